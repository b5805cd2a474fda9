//! WebVTT and SubRip files: the words said, by whom and when, and what is wrong with the file.
//!
//! WebVTT is read as W3C's recommendation, section 6, has it; SubRip, which has no standard, as the same without a
//! header, comments and escapes. Never fails: whatever has a time is kept, for a word left out is a word that no gate
//! looks at. Knows no diary.

use std::ops::Range;

use pulldown_cmark::{Event, Parser};

use crate::model::Private;
use crate::model::captions::{Captions, Said};

/// What a captions file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Begins with a line `WEBVTT`.
    WebVtt,
    /// Cues with a number each.
    SubRip,
}

/// What is wrong at a place of a captions file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Where, in bytes.
    pub place: Range<usize>,
    /// What.
    pub kind: FaultKind,
}

/// What can be wrong with a captions file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FaultKind {
    /// A `.vtt` file without its first line.
    NoHeader,
    /// No cue in it.
    NoCues,
    /// Words that no line of times goes with.
    NoTimes,
    /// Two times without the arrow between them.
    NoArrow,
    /// What stands beside the arrow is no time.
    BadTime,
    /// A cue ends before it begins.
    EndsEarly,
    /// A cue begins before the one above it.
    Backwards,
    /// In SubRip, which shows one cue at a time: a cue begins before the one above it has ended.
    Overlaps,
}

/// What a text is; `None` where it is neither.
pub fn form(text: &str) -> Option<Form> {
    if begins_webvtt(text) {
        return Some(Form::WebVtt);
    }
    let mut lines = lines(text).into_iter().map(|(_, line)| line.trim());
    let number = lines.find(|line| !line.is_empty())?;
    let is_number = number.bytes().all(|byte| byte.is_ascii_digit());
    (is_number && times(lines.next()?).is_ok()).then_some(Form::SubRip)
}

/// Reads a captions file of a form.
pub fn read(text: &str, form: Form) -> (Captions, Vec<Fault>) {
    let lines = lines(text);
    let mut reader = Reader {
        text,
        form,
        lines: &lines,
        at: 0,
        said: Vec::new(),
        faults: Vec::new(),
        before: None,
    };
    reader.file();
    if reader.before.is_none() && reader.faults.is_empty() {
        let first = lines
            .first()
            .map_or(0..0, |(at, line)| *at..at + line.len());
        reader.fault(first, FaultKind::NoCues);
    }
    (Captions { said: reader.said }, reader.faults)
}

/// Whether a text begins as WebVTT does: the word, and then a blank or the line's end.
fn begins_webvtt(text: &str) -> bool {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    text.strip_prefix("WEBVTT")
        .is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '\t', '\r', '\n']))
}

/// Every line with the byte at which it begins; CRLF, LF and CR each end one. A byte-order mark is no part of the first.
fn lines(text: &str) -> Vec<(usize, &str)> {
    let mut found = Vec::new();
    let mut start = text.len() - text.trim_start_matches('\u{feff}').len();
    while start < text.len() {
        let rest = &text[start..];
        let length = rest.find(['\r', '\n']).unwrap_or(rest.len());
        found.push((start, &rest[..length]));
        let end = match rest[length..].starts_with("\r\n") {
            true => 2,
            false => 1,
        };
        start += length + end;
    }
    found
}

struct Reader<'t> {
    text: &'t str,
    form: Form,
    lines: &'t [(usize, &'t str)],
    at: usize,
    said: Vec<Said>,
    faults: Vec<Fault>,
    /// Times of the cue before.
    before: Option<(u64, u64)>,
}

impl<'t> Reader<'t> {
    fn file(&mut self) {
        if self.form == Form::WebVtt {
            if begins_webvtt(self.text) {
                // What else stands before the first blank line is the header's.
                while self
                    .line()
                    .is_some_and(|line| !line.trim().is_empty() && !is_times(line))
                {
                    self.at += 1;
                }
            } else if let Some(&(start, line)) = self.lines.first() {
                self.fault(start..start + line.len(), FaultKind::NoHeader);
            }
        }
        while let Some(line) = self.line() {
            if line.trim().is_empty() {
                self.at += 1;
            } else {
                self.block(line);
            }
        }
    }

    fn line(&self) -> Option<&'t str> {
        self.lines.get(self.at).map(|(_, line)| *line)
    }

    fn fault(&mut self, place: Range<usize>, kind: FaultKind) {
        self.faults.push(Fault { place, kind });
    }

    /// From a line that is not blank to the next that is.
    fn block(&mut self, first: &'t str) {
        let start = self.at;
        let word = first.split([' ', '\t']).next().unwrap_or_default();
        let aside = self.form == Form::WebVtt
            && (word == "NOTE"
                || (self.before.is_none() && matches!(first.trim_end(), "STYLE" | "REGION")));
        if aside {
            self.skip();
            return;
        }
        // A name or a number may stand above the times.
        if !is_times(first) {
            self.at += 1;
            if !self.line().is_some_and(is_times) {
                self.at = start;
                self.without_times();
                return;
            }
        }
        self.cue();
    }

    fn skip(&mut self) {
        while self.line().is_some_and(|line| !line.trim().is_empty()) {
            self.at += 1;
        }
    }

    /// A block that holds no line of times: told at the line where one was meant, else at its first.
    fn without_times(&mut self) {
        let start = self.at;
        self.skip();
        let block = &self.lines[start..self.at];
        let meant = block.iter().find(|(_, line)| meant_as_times(line));
        let (kind, (at, line)) = match meant {
            Some(line) => (FaultKind::NoArrow, *line),
            None => (FaultKind::NoTimes, block[0]),
        };
        self.fault(at..at + line.len(), kind);
    }

    /// A line of times and the words under it.
    fn cue(&mut self) {
        let (at, line) = self.lines[self.at];
        self.at += 1;
        let first = self.at;
        while self
            .line()
            .is_some_and(|line| !line.trim().is_empty() && !is_times(line))
        {
            self.at += 1;
        }
        let mut end = self.at;
        // Without a blank line between, the next cue's number would be said.
        let numbered = self.line().is_some_and(is_times) && end > first;
        let is_number = |line: &str| line.trim().bytes().all(|byte| byte.is_ascii_digit());
        if numbered && self.form == Form::SubRip && is_number(self.lines[end - 1].1) {
            end -= 1;
        }
        let place = at..at + line.len();
        let (from, to) = match times(line) {
            Ok(times) => times,
            Err(bad) => {
                let start = at + bad.start;
                self.fault(start..at + bad.end, FaultKind::BadTime);
                return;
            }
        };
        let early = to < from;
        let before = self.before.unwrap_or_default();
        if early {
            self.fault(place, FaultKind::EndsEarly);
        } else if from < before.0 {
            self.fault(place, FaultKind::Backwards);
        } else if self.form == Form::SubRip && from < before.1 {
            self.fault(place, FaultKind::Overlaps);
        }
        self.before = Some((from, to.max(from)));
        if end > first {
            let (start, (last, words)) = (self.lines[first].0, self.lines[end - 1]);
            self.words(start..last + words.len(), (from, to.max(from)));
        }
    }

    /// The words of a cue: marks out, escapes undone, a piece for each line and voice.
    fn words(&mut self, range: Range<usize>, times: (u64, u64)) {
        let mut piece = Piece::new(range.start);
        let mut at = range.start;
        while let Some(c) = self.text[at..range.end].chars().next() {
            let rest = &self.text[at..range.end];
            let mut used = c.len_utf8();
            match c {
                '\n' | '\r' => {
                    self.said.extend(piece.close(at, times));
                    piece.begin(at + used);
                }
                '<' => match mark(rest, self.form) {
                    Some((length, voice)) => {
                        used = length;
                        if let Some(voice) = voice {
                            self.said.extend(piece.close(at, times));
                            piece.voice = voice;
                        }
                        if piece.words.is_empty() {
                            piece.begin(at + used);
                        }
                    }
                    None => piece.words.push('<'),
                },
                '{' if self.form == Form::SubRip && rest.starts_with("{\\") => {
                    match rest.find('}') {
                        Some(end) => {
                            used = end + 1;
                            if piece.words.is_empty() {
                                piece.begin(at + used);
                            }
                        }
                        None => piece.words.push('{'),
                    }
                }
                '&' if self.form == Form::WebVtt => match escape(rest) {
                    Some((meant, length)) => {
                        used = length;
                        piece.words.push_str(&meant);
                    }
                    None => piece.words.push('&'),
                },
                c => piece.words.push(c),
            }
            at += used;
        }
        self.said.extend(piece.close(range.end, times));
    }
}

/// Words of one line and one voice while they are read.
struct Piece {
    start: usize,
    voice: Option<Private<String>>,
    words: String,
}

impl Piece {
    fn new(start: usize) -> Self {
        Piece {
            start,
            voice: None,
            words: String::new(),
        }
    }

    fn begin(&mut self, start: usize) {
        self.start = start;
    }

    /// The piece, which ends at a byte; `None` where it holds no words. The voice goes on.
    fn close(&mut self, end: usize, (from, to): (u64, u64)) -> Option<Said> {
        let words = folded(&std::mem::take(&mut self.words));
        (!words.is_empty()).then(|| Said {
            from,
            to,
            voice: self.voice.clone(),
            words,
            place: self.start..end,
        })
    }
}

/// Words with one space between, and without signs that no page can hold.
fn folded(words: &str) -> String {
    words
        .split(|c: char| c.is_whitespace() || c.is_control())
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// A mark of voice, style or time at the start of a text: its bytes, and the voice where one begins (`Some(Some(…))`)
/// or ends (`Some(None)`). `None` where the sign is only a sign: `U < 5 V`.
fn mark(text: &str, form: Form) -> Option<(usize, Option<Option<Private<String>>>)> {
    let end = text.find('>')?;
    let inner = &text[1..end];
    let bare = inner.strip_prefix('/').unwrap_or(inner);
    let name_end = bare
        .find(['.', ' ', '\t', '\r', '\n'])
        .unwrap_or(bare.len());
    let name = &bare[..name_end];
    let known = match form {
        Form::WebVtt => {
            bare.is_empty()
                || bare.starts_with('.')
                || matches!(name, "c" | "i" | "b" | "u" | "ruby" | "rt" | "v" | "lang")
                || moment(inner).is_some()
        }
        Form::SubRip => ["b", "i", "u", "s", "font"]
            .iter()
            .any(|known| known.eq_ignore_ascii_case(name)),
    };
    // W3C's reader drops whatever stands between < and >. Dropped words are words that nobody has looked at.
    if !known {
        return None;
    }
    let voice = (form == Form::WebVtt && name == "v").then(|| {
        let said_by = folded(
            bare[name_end..]
                .split_once([' ', '\t', '\r', '\n'])
                .unwrap_or_default()
                .1,
        );
        let named = !inner.starts_with('/') && !said_by.is_empty();
        named.then(|| Private::new(plain(&said_by)))
    });
    Some((end + 1, voice))
}

/// A text with its escapes undone.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    while let Some(c) = text[at..].chars().next() {
        match escape(&text[at..]) {
            Some((meant, length)) => {
                out.push_str(&meant);
                at += length;
            }
            None => {
                out.push(c);
                at += c.len_utf8();
            }
        }
    }
    out
}

/// A character reference at the start of a text, and its bytes: `&amp;`, `&#233;`, `&eacute;`.
fn escape(text: &str) -> Option<(String, usize)> {
    const LONGEST: usize = 34;
    let rest = text.strip_prefix('&')?;
    let end = rest.bytes().take(LONGEST).position(|byte| byte == b';')?;
    let name = &rest[..end];
    if !name
        .bytes()
        .all(|byte| byte.is_ascii_alphanumeric() || byte == b'#')
    {
        return None;
    }
    // The Markdown parser carries the whole of HTML's list; asking it keeps a second list from going stale.
    let asked = &text[..end + 2];
    let meant: String = Parser::new(asked)
        .filter_map(|event| match event {
            Event::Text(text) => Some(text.into_string()),
            _ => None,
        })
        .collect();
    (meant != asked && !meant.is_empty()).then_some((meant, end + 2))
}

fn is_times(line: &str) -> bool {
    line.contains("-->")
}

/// Whether a line without an arrow was to be one of times.
fn meant_as_times(line: &str) -> bool {
    let clock = |word: &&str| moment(word.trim_matches(|c: char| !c.is_ascii_digit())).is_some();
    line.split([' ', '\t', '-', '>', '=']).filter(clock).count() >= 2
}

/// The two times of a line, in milliseconds: `00:01:02.500 --> 00:01:05.000`, with a comma in SubRip, which is taken in
/// both, as is an hour left out. The error is the part of the line that is no time.
fn times(line: &str) -> Result<(u64, u64), Range<usize>> {
    let (start, end) = line.split_once("-->").ok_or(0..line.len())?;
    let end_word = end.split_whitespace().next().unwrap_or_default();
    let from = moment(start.trim()).ok_or(0..start.len())?;
    let end_at = start.len() + "-->".len();
    let to = moment(end_word).ok_or_else(|| {
        let word_at = end_at + (end.len() - end.trim_start().len());
        match end_word {
            "" => start.len()..end_at,
            word => word_at..word_at + word.len(),
        }
    })?;
    Ok((from, to))
}

/// A moment in milliseconds; `None` for a text that is none.
fn moment(text: &str) -> Option<u64> {
    let (clock, part) = text.split_once(['.', ','])?;
    let figures = |text: &str, most: usize| {
        let fits = !text.is_empty() && text.len() <= most;
        let number = text.bytes().all(|byte| byte.is_ascii_digit());
        (fits && number).then(|| text.parse::<u64>().ok()).flatten()
    };
    let milliseconds = figures(part, 3)? * [100, 10, 1][part.len() - 1];
    let parts: Vec<&str> = clock.split(':').collect();
    let (hours, minutes, seconds) = match parts[..] {
        [hours, minutes, seconds] => (
            figures(hours, 4)?,
            figures(minutes, 2)?,
            figures(seconds, 2)?,
        ),
        [minutes, seconds] => (0, figures(minutes, 2)?, figures(seconds, 2)?),
        _ => return None,
    };
    (minutes < 60 && seconds < 60)
        .then_some(((hours * 60 + minutes) * 60 + seconds) * 1000 + milliseconds)
}
