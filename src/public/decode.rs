//! Entities, escapes and percent signs decoded, each decoded byte knowing where it came from.
//!
//! Decodes more than a browser would: for the leak gate a name that might be read is a name that is read.

use pulldown_cmark::{Event, Parser};

use super::fold::MARKUP;

/// Where the bytes of a text stand in the file it came from.
#[derive(Clone, Copy)]
pub(super) struct Origin<'a> {
    map: Option<&'a [u32]>,
    offset: usize,
}

impl<'a> Origin<'a> {
    /// The text is the file.
    pub(super) fn itself() -> Self {
        Origin {
            map: None,
            offset: 0,
        }
    }

    /// The text is not in the file.
    pub(super) fn nowhere() -> Self {
        Origin {
            map: Some(&[]),
            offset: 0,
        }
    }

    /// The origin of the part that begins at a byte.
    pub(super) fn from(self, byte: usize) -> Self {
        Origin {
            map: self.map,
            offset: self.offset + byte,
        }
    }

    /// Where a byte stands; the end of four thousand million where it is nowhere.
    pub(super) fn at(self, byte: usize) -> usize {
        match self.map {
            None => self.offset + byte,
            Some(map) => map
                .get(self.offset + byte)
                .map_or(u32::MAX as usize, |at| *at as usize),
        }
    }
}

/// A decoded text.
pub(super) struct Decoded {
    /// The text.
    pub(super) text: String,
    from: Vec<u32>,
}

impl Decoded {
    fn with_room(bytes: usize) -> Self {
        Decoded {
            text: String::with_capacity(bytes),
            from: Vec::with_capacity(bytes),
        }
    }

    fn push(&mut self, c: char, from: usize) {
        self.text.push(c);
        let from = u32::try_from(from).unwrap_or(u32::MAX);
        self.from.resize(self.text.len(), from);
    }

    /// Where its bytes stand in the file.
    pub(super) fn origin(&self) -> Origin<'_> {
        Origin {
            map: Some(&self.from),
            offset: 0,
        }
    }

    /// A text with its entities decoded.
    pub(super) fn entities(text: &str, origin: Origin<'_>) -> Self {
        let mut out = Decoded::with_room(text.len());
        let mut decoded = String::new();
        let mut at = 0;
        while let Some(c) = text[at..].chars().next() {
            decoded.clear();
            let used = match c {
                '&' => entity(&text[at..], &mut decoded),
                _ => None,
            };
            if used.is_none() {
                out.push(c, origin.at(at));
            }
            for c in decoded.chars() {
                out.push(c, origin.at(at));
            }
            at += used.unwrap_or(c.len_utf8());
        }
        out
    }
}

/// Decodes the entity that a text begins with and gives its bytes; `None` where there is none. Takes every name of
/// HTML, and numbers without a closing semicolon as browsers do.
pub(super) fn entity(text: &str, out: &mut String) -> Option<usize> {
    let rest = text.strip_prefix('&')?;
    if let Some(number) = rest.strip_prefix('#') {
        return numbered(number, out).map(|used| used + 2);
    }
    let length = rest
        .bytes()
        .take(32)
        .take_while(u8::is_ascii_alphanumeric)
        .count();
    let name = &rest[..length];
    let closed = rest.as_bytes().get(length) == Some(&b';');
    let known = match name {
        "amp" => Some('&'),
        "lt" => Some('<'),
        "gt" => Some('>'),
        "quot" => Some('"'),
        "nbsp" => Some('\u{a0}'),
        "shy" => Some('\u{ad}'),
        _ => None,
    };
    if let Some(c) = known {
        out.push(c);
        return Some(1 + length + usize::from(closed));
    }
    if !closed {
        // The oldest names need no semicolon, whatever follows them.
        for (old, c) in [("nbsp", '\u{a0}'), ("shy", '\u{ad}'), ("amp", '&')] {
            if name.starts_with(old) {
                out.push(c);
                return Some(1 + old.len());
            }
        }
    }
    if length == 0 {
        return None;
    }
    // The Markdown parser carries the whole of HTML's list; asking it keeps a second list from going stale.
    let asked = format!("&{name};");
    let answer: String = Parser::new(&asked)
        .filter_map(|event| match event {
            Event::Text(text) => Some(text.into_string()),
            _ => None,
        })
        .collect();
    if answer == asked || answer.is_empty() {
        return None;
    }
    out.push_str(&answer);
    Some(1 + length + usize::from(closed))
}

/// `65;` or `x41`: the character's number after `&#`.
fn numbered(text: &str, out: &mut String) -> Option<usize> {
    let (radix, prefix) = match text.as_bytes().first() {
        Some(b'x' | b'X') => (16, 1),
        _ => (10, 0),
    };
    let digits = text[prefix..]
        .bytes()
        .take_while(|b| (*b as char).is_digit(radix))
        .count();
    if digits == 0 {
        return None;
    }
    let end = prefix + digits;
    let number = u32::from_str_radix(&text[prefix..end], radix).unwrap_or(0);
    let c = match number {
        // Browsers read these as the Windows characters that they once were.
        0x91 | 0x92 => '\'',
        0x96 | 0x97 => '-',
        number => char::from_u32(number).unwrap_or('\u{fffd}'),
    };
    out.push(c);
    Some(end + usize::from(text.as_bytes().get(end) == Some(&b';')))
}

/// `%20` and its like decoded; `None` where there is none, or where they spell no text.
pub(super) fn percent(text: &str, origin: Origin<'_>) -> Option<Decoded> {
    let bytes = text.as_bytes();
    let hex = |at: usize| bytes.get(at).and_then(|b| (*b as char).to_digit(16));
    let escape = |at: usize| -> Option<u8> {
        (bytes[at] == b'%').then_some(())?;
        u8::try_from(hex(at + 1)? * 16 + hex(at + 2)?).ok()
    };
    if !text.contains('%') || !(0..bytes.len()).any(|at| escape(at).is_some()) {
        return None;
    }
    let mut raw = Vec::with_capacity(bytes.len());
    let mut from = Vec::with_capacity(bytes.len());
    let mut at = 0;
    while at < bytes.len() {
        let (byte, used) = escape(at).map_or((bytes[at], 1), |byte| (byte, 3));
        raw.push(byte);
        from.push(u32::try_from(origin.at(at)).unwrap_or(u32::MAX));
        at += used;
    }
    let text = String::from_utf8(raw).ok()?;
    Some(Decoded { text, from })
}

/// A text in which a backslash stands before what it means; `read` gives what stands after it: the letter that is
/// meant, if any, and how many bytes it took.
fn unescape(
    text: &str,
    origin: Origin<'_>,
    read: impl Fn(&str) -> (Option<char>, usize),
) -> Decoded {
    let mut out = Decoded::with_room(text.len());
    let mut at = 0;
    while let Some(c) = text[at..].chars().next() {
        let (meant, used) = match c {
            '\\' => {
                let (meant, used) = read(&text[at + 1..]);
                (meant, 1 + used)
            }
            c => (Some(c), c.len_utf8()),
        };
        if let Some(c) = meant {
            out.push(c, origin.at(at));
        }
        at += used;
    }
    out
}

/// A script's or JSON's escapes decoded: `\u0042`, `\u{42}`, `\x42`, pairs of surrogates, `\n` as a space.
pub(super) fn script_escapes(text: &str, origin: Origin<'_>) -> Decoded {
    unescape(text, origin, |rest| match rest.chars().next() {
        None => (None, 0),
        Some('u') => match code_unit(rest) {
            (high @ 0xd800..=0xdbff, length) => {
                let low = rest[length..].strip_prefix('\\').map(code_unit);
                match low {
                    Some((low @ 0xdc00..=0xdfff, more)) => (
                        char::from_u32(0x10000 + ((high - 0xd800) << 10) + (low - 0xdc00)),
                        length + 1 + more,
                    ),
                    _ => (None, length),
                }
            }
            (unit, length) => (char::from_u32(unit), length),
        },
        Some('x') => {
            let digits = hex_digits(&rest[1..], 2);
            let number = u32::from_str_radix(&rest[1..=digits], 16).ok();
            (number.and_then(char::from_u32), 1 + digits)
        }
        Some('n' | 'r' | 't' | 'b' | 'f' | 'v') => (Some(' '), 1),
        Some('\n' | '\r') => (None, 1),
        Some(c) => (Some(c), c.len_utf8()),
    })
}

/// `u0042` or `u{42}`: its number and its bytes; nought where it is neither.
fn code_unit(text: &str) -> (u32, usize) {
    let Some(rest) = text.strip_prefix('u') else {
        return (0, 0);
    };
    let (figures, wrap) = match rest.strip_prefix('{') {
        Some(inner) => {
            let figures = &inner[..hex_digits(inner, 6)];
            (
                figures,
                1 + usize::from(inner[figures.len()..].starts_with('}')),
            )
        }
        None => (&rest[..hex_digits(rest, 4)], 0),
    };
    (
        u32::from_str_radix(figures, 16).unwrap_or(0),
        1 + figures.len() + wrap,
    )
}

fn hex_digits(text: &str, most: usize) -> usize {
    text.bytes()
        .take(most)
        .take_while(u8::is_ascii_hexdigit)
        .count()
}

/// A style sheet's escapes decoded: `\42 ` and `\000042`.
pub(super) fn style_escapes(text: &str, origin: Origin<'_>) -> Decoded {
    unescape(text, origin, |rest| {
        match (hex_digits(rest, 6), rest.chars().next()) {
            (0, None) => (None, 0),
            (0, Some('\n' | '\r')) => (None, 1),
            (0, Some(c)) => (Some(c), c.len_utf8()),
            (digits, _) => {
                let number = u32::from_str_radix(&rest[..digits], 16)
                    .expect("hexadecimal, at most six figures");
                // One space after an escape ends it and is not shown.
                let space = rest
                    .as_bytes()
                    .get(digits)
                    .is_some_and(u8::is_ascii_whitespace);
                (
                    Some(char::from_u32(number).unwrap_or('\u{fffd}')),
                    digits + usize::from(space),
                )
            }
        }
    })
}

/// Strings that are written one after the other read as one: `"Od" "o Brannick"`, `"Od" + "o"`.
pub(super) fn glued(code: &Decoded) -> Decoded {
    let is_quote = |c: char| matches!(c, '"' | '\'' | '`');
    let mut out = Decoded::with_room(code.text.len());
    let mut at = 0;
    while let Some(c) = code.text[at..].chars().next() {
        let origin = code.origin().at(at);
        at += c.len_utf8();
        if is_quote(c) {
            let between = code.text[at..]
                .find(|c: char| !c.is_ascii_whitespace() && c != '+')
                .filter(|length| code.text[at + length..].starts_with(is_quote));
            if let Some(length) = between {
                out.push(MARKUP, origin);
                at += length + 1;
                continue;
            }
        }
        out.push(c, origin);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn decoded(text: &str) -> String {
        Decoded::entities(text, Origin::itself()).text
    }

    #[test]
    fn entities_of_every_kind_are_read() {
        assert_eq!(
            decoded("&#66;&#x72;&#X61;n&shy;&nbsp;&eacute;&rsquo;&period;"),
            "Bran\u{ad}\u{a0}é’."
        );
        assert_eq!(
            decoded("&#66ran &nbspBran &amp;amp;"),
            "Bran \u{a0}Bran &amp;"
        );
        assert_eq!(decoded("AT&T &nothing; & &;"), "AT&T &nothing; & &;");
        assert_eq!(
            decoded("O&#146;Brien &#0; &#xffffff;"),
            "O'Brien \0 \u{fffd}"
        );
    }

    #[test]
    fn escapes_of_scripts_and_style_sheets_are_read() {
        let script = |text: &str| script_escapes(text, Origin::itself()).text;
        assert_eq!(script(r"\u0042r\x61n\u{6e}\/\ud83d\ude00\n"), "Brann/😀 ");
        assert_eq!(script(r"\ud83d \u12 \"), " \u{12} ");
        let style = |text: &str| style_escapes(text, Origin::itself()).text;
        assert_eq!(style("\\42 ran\\00006eick\\\n\\'"), "Brannick'");
    }

    #[test]
    fn percent_signs_are_read_where_they_spell_a_text() {
        let read = |text: &str| percent(text, Origin::itself()).map(|d| d.text);
        assert_eq!(read("Odo%20Brannick").as_deref(), Some("Odo Brannick"));
        assert_eq!(read("caf%C3%A9").as_deref(), Some("café"));
        assert_eq!(read("15 % and 20%"), None);
        assert_eq!(read("%ff"), None);
    }

    #[test]
    fn the_oldest_names_need_no_semicolon() {
        assert_eq!(decoded("a &lt b &gt c &quot d"), "a < b > c \" d");
        assert_eq!(decoded("a &lt; b &gt; c &quot; d"), "a < b > c \" d");
    }
}
