//! A note cut into lines, and a line cut into words. Knows no word's meaning.

use std::ops::Range;

use jiff::civil::Date;

/// One line of a note.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// Its number in the note, from 1.
    pub number: usize,
    /// As typed, without the spaces outside.
    pub typed: String,
    /// For reading: no emoji, one kind of dash, single spaces, no bullet. Keeps its case.
    pub text: String,
    /// `text` in small letters, byte for byte as long.
    pub low: String,
    /// Where in a film it begins, for a line that came from captions.
    pub at: Option<String>,
    /// The day it was written, where the note says so beside it.
    pub written: Option<Date>,
    /// Where in `typed` the words begin that are read.
    begins: usize,
}

impl Line {
    /// A line from what was typed.
    pub fn new(number: usize, typed: &str) -> Self {
        let typed = typed.trim_matches(is_blank);
        Line::spoken(number, typed, typed)
    }

    /// A line whose words are to be read in another form than they were said in.
    pub fn spoken(number: usize, typed: &str, for_reading: &str) -> Self {
        let text = fold(for_reading);
        Line {
            number,
            typed: typed.trim_matches(is_blank).to_owned(),
            low: lower(&text),
            text,
            at: None,
            written: None,
            begins: 0,
        }
    }

    /// The same line with other words to be read, and the day that it was written.
    pub fn read_as(self, text: &str, written: Option<Date>) -> Self {
        let begins = self.typed.rfind(text).unwrap_or(0);
        Line {
            low: lower(text),
            text: text.to_owned(),
            written,
            begins,
            ..self
        }
    }

    /// Whether nothing stands in it. A line of emoji alone is not blank.
    pub fn is_blank(&self) -> bool {
        self.typed.is_empty()
    }

    /// What was typed or said, fit to be handed on: without emoji and bullet.
    pub fn in_words(&self) -> String {
        fold(&self.typed[self.begins..])
    }

    /// The same line from a byte of its text on; what was typed stays whole.
    pub fn from(&self, byte: usize) -> Self {
        let text = self.text[byte..].trim_start().to_owned();
        Line {
            low: lower(&text),
            text,
            ..self.clone()
        }
    }
}

/// The lines of a note; CRLF, LF and CR each end one. A byte-order mark is no part of the first.
pub fn lines(note: &str) -> Vec<Line> {
    let note = note.strip_prefix('\u{feff}').unwrap_or(note);
    note.replace("\r\n", "\n")
        .split(['\n', '\r'])
        .enumerate()
        .map(|(index, typed)| Line::new(index + 1, typed))
        .collect()
}

/// A space of any kind, or a mark without width.
fn is_blank(c: char) -> bool {
    c.is_whitespace() || matches!(c, '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{feff}')
}

/// Emoji, dingbats, arrows, and the marks that join or colour them.
fn is_picture(c: char) -> bool {
    matches!(c,
        '\u{200d}' | '\u{20e3}' | '\u{fe00}'..='\u{fe0f}' | '\u{2190}'..='\u{21ff}' | '\u{2300}'..='\u{23ff}'
        | '\u{25a0}'..='\u{27bf}' | '\u{2900}'..='\u{297f}' | '\u{2b00}'..='\u{2bff}' | '\u{3030}'
        | '\u{1f000}'..='\u{1faff}' | '\u{e0020}'..='\u{e007f}')
}

/// Text for reading: pictures and control characters become spaces, dashes one kind, spaces single; a bullet goes.
fn fold(typed: &str) -> String {
    let mut text = String::with_capacity(typed.len());
    for c in typed.chars() {
        let c = match c {
            '\u{2010}'..='\u{2015}' | '\u{2212}' => '-',
            c if is_blank(c) || is_picture(c) || c.is_control() => ' ',
            c => c,
        };
        if c != ' ' || !(text.is_empty() || text.ends_with(' ')) {
            text.push(c);
        }
    }
    text.truncate(text.trim_end().len());
    match without_list_mark(&text) {
        Some(rest) => rest.to_owned(),
        None => text,
    }
}

/// The rest of a line that begins as one of a list: with a bullet, a ticked box, or its number.
fn without_list_mark(text: &str) -> Option<&str> {
    let bullets = ["- ", "* ", "\u{2022} "];
    let bare = bullets.iter().find_map(|bullet| text.strip_prefix(bullet));
    let rest = bare.unwrap_or(text).trim_start();
    let ticked = ["[x] ", "[X] "]
        .iter()
        .find_map(|mark| rest.strip_prefix(mark));
    ticked
        .map(str::trim_start)
        .or_else(|| numbered(rest))
        .or_else(|| bare.map(|_| rest))
}

/// What follows `1.` or `2)`, where that is neither a clock (`9. till 5`) nor a day (`12. Nov`).
fn numbered(text: &str) -> Option<&str> {
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    let rest = text[digits..]
        .strip_prefix(". ")
        .or_else(|| text[digits..].strip_prefix(") "))
        .filter(|rest| rest.starts_with(char::is_alphabetic))?;
    let word = lower(rest.split(' ').next().unwrap_or_default());
    let clock = [
        "to", "till", "til", "until", "left", "dep", "off", "out", "am", "pm",
    ];
    let month = [
        "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec", "of",
    ];
    let other = clock.contains(&word.as_str()) || month.iter().any(|m| word.starts_with(m));
    ((1..=2).contains(&digits) && !other).then_some(rest)
}

/// Small letters, where a small letter is as long as its capital; so that places in both texts agree.
pub fn lower(text: &str) -> String {
    text.chars()
        .map(|c| {
            let mut small = c.to_lowercase();
            match (small.next(), small.next()) {
                (Some(s), None) if s.len_utf8() == c.len_utf8() => s,
                _ => c,
            }
        })
        .collect()
}

/// The words of a line's small text, as byte ranges: parted at spaces, with the marks round them and between them
/// as words of their own.
pub fn words(low: &str) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut at = 0;
    for word in low.split(' ') {
        if !word.is_empty() {
            cut_word(low, at..at + word.len(), &mut found);
        }
        at += word.len() + 1;
    }
    found
}

fn cut_word(low: &str, word: Range<usize>, found: &mut Vec<Range<usize>>) {
    let (mut start, mut end) = (word.start, word.end);
    while let Some(c) = low[start..end].chars().next() {
        let next = low[start + c.len_utf8()..end].chars().next();
        let mark = match c {
            ',' | ';' | ':' | '@' | '+' | '&' | '(' | '[' | '"' | '\u{201c}' | '\u{2018}' | '-'
            | '=' => true,
            '.' => !next.is_some_and(|next| next.is_ascii_digit()),
            _ => false,
        };
        if !mark {
            break;
        }
        found.push(start..start + c.len_utf8());
        start += c.len_utf8();
    }
    let mut after = Vec::new();
    while let Some(c) = low[start..end].chars().next_back() {
        let mark = matches!(
            c,
            ',' | ';' | ':' | '.' | ')' | ']' | '"' | '\u{201d}' | '!' | '?' | '-' | '='
        );
        if !mark {
            break;
        }
        after.push(end - c.len_utf8()..end);
        end -= c.len_utf8();
    }
    cut_within(low, start..end, found);
    found.extend(after.into_iter().rev());
}

/// `fan,skt`, `mats:1` and `zs=1.32` are three words each; `1,200` and `8:15` are one.
fn cut_within(low: &str, word: Range<usize>, found: &mut Vec<Range<usize>>) {
    let bytes = low.as_bytes();
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let mut start = word.start;
    for at in word.clone() {
        let cuts = match bytes[at] {
            b',' => !(digit(at - 1) && digit(at + 1) && digit(at + 2) && digit(at + 3)),
            b';' | b'=' => true,
            b':' => bytes[at - 1].is_ascii_alphabetic(),
            _ => false,
        };
        if cuts {
            if start < at {
                found.push(start..at);
            }
            found.push(at..at + 1);
            start = at + 1;
        }
    }
    if start < word.end {
        found.push(start..word.end);
    }
}

/// A line's words, and which of them have been read.
pub struct Scan<'l> {
    /// The line's text.
    pub text: &'l str,
    /// The same in small letters.
    pub low: &'l str,
    words: Vec<Range<usize>>,
    read: Vec<bool>,
}

impl<'l> Scan<'l> {
    /// The words of a line, none of them read.
    pub fn new(line: &'l Line) -> Self {
        let words = words(&line.low);
        Scan {
            text: &line.text,
            low: &line.low,
            read: vec![false; words.len()],
            words,
        }
    }

    /// How many words there are.
    pub fn len(&self) -> usize {
        self.words.len()
    }

    /// A word in small letters; empty past the end.
    pub fn word(&self, index: usize) -> &'l str {
        self.words
            .get(index)
            .map_or("", |range| &self.low[range.clone()])
    }

    /// Where a word begins; past the end, the end of the line.
    pub fn start(&self, index: usize) -> usize {
        self.words
            .get(index)
            .map_or(self.low.len(), |range| range.start)
    }

    /// Where a word ends.
    pub fn end(&self, index: usize) -> usize {
        self.words
            .get(index)
            .map_or(self.low.len(), |range| range.end)
    }

    /// The first word that begins at a byte or after it.
    pub fn word_from(&self, byte: usize) -> usize {
        self.words.partition_point(|range| range.start < byte)
    }

    /// Marks words as read.
    pub fn claim(&mut self, words: Range<usize>) {
        self.read[words].fill(true);
    }

    /// Marks every word as unread again.
    pub fn forget(&mut self) {
        self.read.fill(false);
    }

    /// Whether a word was read.
    pub fn is_claimed(&self, index: usize) -> bool {
        self.read[index]
    }

    /// Whether any word was read.
    pub fn any_claimed(&self) -> bool {
        self.read.contains(&true)
    }

    /// The text of some words as typed: what stands together stays together, and one space joins the rest.
    pub fn joined(&self, kept: &[usize]) -> String {
        let mut out = String::new();
        let mut last: Option<usize> = None;
        for &index in kept {
            let range = &self.words[index];
            match last {
                Some(before) if before + 1 == index => {
                    out.push_str(&self.text[self.words[before].end..range.start]);
                }
                Some(_) => out.push(' '),
                None => {}
            }
            out.push_str(&self.text[range.clone()]);
            last = Some(index);
        }
        out
    }
}

/// Whether a word may end here: at a space, the end, or a mark that no word goes on after.
pub fn ends_word(low: &str, at: usize) -> bool {
    let mut rest = low[at..].chars();
    match rest.next() {
        None | Some(' ' | ',' | ';' | ')' | ']' | '!' | '?' | '"' | '=') => true,
        Some('.' | ':' | '-') => rest.next().is_none_or(|c| c == ' '),
        Some(_) => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(text: &str) -> Vec<&str> {
        words(text).into_iter().map(|range| &text[range]).collect()
    }

    #[test]
    fn words_part_at_spaces_and_marks() {
        assert_eq!(
            cut("mats: 1 fan 24.00, 2 iso"),
            ["mats", ":", "1", "fan", "24.00", ",", "2", "iso"]
        );
        assert_eq!(cut("9-10.15 c/o."), ["9-10.15", "c/o", "."]);
        assert_eq!(
            cut("ir >200 @500 .42 200+"),
            ["ir", ">200", "@", "500", ".42", "200+"]
        );
        assert_eq!(
            cut("fan,skt 1,200.00 8:15"),
            ["fan", ",", "skt", "1,200.00", "8:15"]
        );
        assert_eq!(cut("zs=1.32 note:x"), ["zs", "=", "1.32", "note", ":", "x"]);
        assert_eq!(cut("??"), ["?", "?"]);
        assert_eq!(cut(""), Vec::<&str>::new());
    }

    #[test]
    fn lines_end_three_ways_and_lose_bullets_and_emoji_for_reading_only() {
        let note = "a\r\nb\rc\n\n\u{2022} caf\u{c9} \u{1f600} \u{2013} x";
        let read: Vec<(String, String)> = lines(note)
            .into_iter()
            .map(|line| (line.typed, line.low))
            .collect();
        let pair = |a: &str, b: &str| (a.to_owned(), b.to_owned());
        assert_eq!(
            read[..4],
            [pair("a", "a"), pair("b", "b"), pair("c", "c"), pair("", "")]
        );
        assert_eq!(
            read[4],
            pair("\u{2022} caf\u{c9} \u{1f600} \u{2013} x", "caf\u{e9} - x")
        );
    }

    #[test]
    fn a_place_in_a_list_is_no_part_of_a_line() {
        for (typed, text) in [
            ("1. C3 no chart", "C3 no chart"),
            ("2) zs .84", "zs .84"),
            ("- [x] 1 jb 3.20", "1 jb 3.20"),
            ("- [ ] order lid", "[ ] order lid"),
            ("9. till 5", "9. till 5"),
            ("12. Nov 9-5", "12. Nov 9-5"),
            ("1. 2 skt", "1. 2 skt"),
            ("100. lamps", "100. lamps"),
        ] {
            assert_eq!(Line::new(1, typed).text, text);
        }
    }

    #[test]
    fn a_line_of_emoji_is_not_blank() {
        let line = Line::new(1, " \u{2615}\u{2615} ");
        assert!(!line.is_blank());
        assert_eq!(line.text, "");
    }
}
