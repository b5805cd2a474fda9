//! The words of a finished file, folded for the leak gate: markup taken out, entities and escapes decoded.
//!
//! Reads whatever it is given to the end and never fails: a broken page is searched as far as a browser would show
//! it, and further. It renders nothing and is no check of a page's form.

use super::decode::{Decoded, Origin, entity, glued, percent, script_escapes, style_escapes};
use super::file_kind::FileKind;
use super::fold::{Folded, Join, MARKUP};

/// Elements that end a line of text. All others are read both ways, as a space and as nothing.
const BLOCKS: &[&str] = &[
    "address",
    "article",
    "aside",
    "blockquote",
    "body",
    "caption",
    "dd",
    "details",
    "div",
    "dl",
    "dt",
    "entry",
    "feed",
    "fieldset",
    "figcaption",
    "figure",
    "footer",
    "form",
    "h1",
    "h2",
    "h3",
    "h4",
    "h5",
    "h6",
    "head",
    "header",
    "hr",
    "html",
    "li",
    "loc",
    "main",
    "nav",
    "ol",
    "option",
    "p",
    "pre",
    "section",
    "summary",
    "svg",
    "table",
    "tbody",
    "td",
    "tfoot",
    "th",
    "thead",
    "title",
    "tr",
    "ul",
    "url",
];

/// How many times escaped markup inside a value is looked into.
const DEEPEST: u8 = 2;

/// A file's words in rows: what reads on as one text, every value that stands for itself (attributes, comments,
/// scripts, the path), and, where there are times in the text, that text read past them.
pub(super) fn read(kind: FileKind, path: &str, text: &str) -> Vec<Folded> {
    let mut reader = Reader {
        text: Folded::with_room(text.len() / 2),
        aside: Folded::with_room(text.len()),
        drawing: 0,
        times: Vec::new(),
    };
    let origin = Origin::itself();
    reader.value(path, Origin::nowhere(), DEEPEST);
    match kind {
        FileKind::Html => reader.scan(text, origin, Flavour::Html, 0),
        FileKind::Xml => reader.scan(text, origin, Flavour::Xml, 0),
        FileKind::Svg => reader.scan(text, origin, Flavour::Svg, 0),
        FileKind::Json => reader.json(text),
        FileKind::Text => reader.value(text, origin, DEEPEST),
        FileKind::Css => reader.decoded(&glued(&style_escapes(text, origin)), DEEPEST),
        FileKind::Script => reader.decoded(&glued(&script_escapes(text, origin)), 0),
        FileKind::Other => {}
    }
    reader.text.close();
    reader.aside.close();
    let mut rows = vec![reader.text, reader.aside];
    if !reader.times.is_empty() {
        rows.push(rows[0].without(&reader.times));
    }
    rows
}

/// Markdown folded the same way, to find in a log what was found on its page.
pub(super) fn read_markdown(text: &str) -> Folded {
    let mut folded = Folded::with_room(text.len());
    let mut decoded = String::new();
    let mut at = 0;
    while let Some(c) = text[at..].chars().next() {
        let mut used = c.len_utf8();
        match c {
            '*' | '`' | '~' | '[' | ']' => folded.push(MARKUP, at),
            '>' | '|' | '#' => folded.join(Join::Space),
            '\\' => {}
            '&' => {
                decoded.clear();
                used = entity(&text[at..], &mut decoded).unwrap_or(used);
                folded.push_str(if decoded.is_empty() { "&" } else { &decoded }, |_| at);
            }
            c => folded.push(c, at),
        }
        at += used;
    }
    folded.close();
    folded
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Flavour {
    Html,
    Xml,
    Svg,
}

struct Reader {
    text: Folded,
    aside: Folded,
    /// How many `svg` elements are open.
    drawing: usize,
    /// Letters of the text that stand in a `time` element: a name said across two cues has the time between.
    times: Vec<std::ops::Range<usize>>,
}

impl Reader {
    /// Text with markup.
    fn scan(&mut self, text: &str, origin: Origin<'_>, flavour: Flavour, depth: u8) {
        let bytes = text.as_bytes();
        let mut decoded = String::new();
        let mut at = 0;
        let mut run = 0;
        let mut escaped = false;
        while at < bytes.len() {
            match bytes[at] {
                b'<' => {
                    if escaped {
                        self.escaped_markup(&text[run..at], origin.from(run), flavour, depth);
                        escaped = false;
                    }
                    at = self.tag(text, at, origin, flavour, depth);
                    run = at;
                }
                b'&' => {
                    decoded.clear();
                    let used = entity(&text[at..], &mut decoded).unwrap_or_else(|| {
                        decoded.push('&');
                        1
                    });
                    self.text.push_str(&decoded, |_| origin.at(at));
                    escaped = true;
                    at += used;
                }
                byte if byte.is_ascii() => {
                    self.text.push(byte as char, origin.at(at));
                    at += 1;
                }
                _ => {
                    let c = text[at..].chars().next().expect("a character begins here");
                    self.text.push(c, origin.at(at));
                    at += c.len_utf8();
                }
            }
        }
        if escaped {
            self.escaped_markup(&text[run..], origin.from(run), flavour, depth);
        }
    }

    /// Feeds hold pages with their markup escaped.
    fn escaped_markup(&mut self, text: &str, origin: Origin<'_>, flavour: Flavour, depth: u8) {
        if flavour == Flavour::Xml {
            let value = Decoded::entities(text, origin);
            self.look_into(&value.text, value.origin(), depth);
        }
    }

    /// Looks once more into a value that is itself markup.
    fn look_into(&mut self, text: &str, origin: Origin<'_>, depth: u8) {
        if depth < DEEPEST && text.contains(['<', '&']) {
            self.aside_scan(text, origin, Flavour::Html, depth + 1);
        }
    }

    /// Reads a text with markup as a value of its own: neither it nor what stands in its attributes is in the text.
    fn aside_scan(&mut self, text: &str, origin: Origin<'_>, flavour: Flavour, depth: u8) {
        let mut reader = Reader {
            text: Folded::with_room(text.len()),
            aside: std::mem::replace(&mut self.aside, Folded::with_room(0)),
            drawing: 0,
            times: Vec::new(),
        };
        reader.scan(text, origin, flavour, depth);
        self.aside = reader.aside;
        self.aside.append(reader.text);
    }

    /// A value that stands for itself.
    fn value(&mut self, text: &str, origin: Origin<'_>, depth: u8) {
        self.aside.join(Join::Wall);
        self.aside.push_str(text, |at| origin.at(at));
        self.aside.join(Join::Wall);
        if let Some(decoded) = percent(text, origin) {
            self.aside
                .push_str(&decoded.text, |at| decoded.origin().at(at));
            self.aside.join(Join::Wall);
        }
        self.look_into(text, origin, depth);
    }

    fn decoded(&mut self, value: &Decoded, depth: u8) {
        self.value(&value.text, value.origin(), depth);
    }

    /// What begins with `<`; gives where the text goes on.
    fn tag(
        &mut self,
        text: &str,
        at: usize,
        origin: Origin<'_>,
        flavour: Flavour,
        depth: u8,
    ) -> usize {
        let rest = &text[at..];
        if let Some(inner) = rest.strip_prefix("<!--") {
            let (comment, used) = until(inner, "-->");
            self.aside_scan(comment, origin.from(at + 4), flavour, depth);
            self.text.join(Join::Markup);
            return at + 4 + used;
        }
        if let Some(inner) = rest.strip_prefix("<![CDATA[") {
            let (data, used) = until(inner, "]]>");
            let origin = origin.from(at + 9);
            self.text.push_str(data, |index| origin.at(index));
            self.look_into(data, origin, depth);
            return at + 9 + used;
        }
        match rest.as_bytes().get(1) {
            Some(b'!' | b'?') => {
                let (inner, used) = until(&rest[2..], ">");
                self.value(inner, origin.from(at + 2), DEEPEST);
                self.text.join(Join::Space);
                at + 2 + used
            }
            Some(b'/') => {
                let (name, _) = tag_name(&rest[2..]);
                self.markup(&name, flavour);
                if name == "svg" {
                    self.drawing = self.drawing.saturating_sub(1);
                }
                if name == "time"
                    && let Some(time) = self.times.last_mut()
                    && time.start == time.end
                {
                    time.end = self.text.lower.len();
                }
                at + 2 + until(&rest[2..], ">").1
            }
            Some(byte) if byte.is_ascii_alphabetic() => {
                self.open_tag(text, at, origin, flavour, depth)
            }
            _ => {
                self.text.push('<', origin.at(at));
                at + 1
            }
        }
    }

    fn markup(&mut self, name: &str, flavour: Flavour) {
        if flavour == Flavour::Svg || self.drawing > 0 {
            self.text.drawn_markup();
        } else if BLOCKS.binary_search(&name).is_ok() {
            self.text.join(Join::Space);
        } else {
            self.text.join(Join::Markup);
        }
    }

    fn open_tag(
        &mut self,
        text: &str,
        at: usize,
        origin: Origin<'_>,
        flavour: Flavour,
        depth: u8,
    ) -> usize {
        let (name, used) = tag_name(&text[at + 1..]);
        self.markup(&name, flavour);
        let bytes = text.as_bytes();
        let mut i = at + 1 + used;
        let mut closed = false;
        while i < bytes.len() && bytes[i] != b'>' {
            if bytes[i].is_ascii_whitespace() || bytes[i] == b'/' {
                closed = bytes[i] == b'/';
                i += 1;
                continue;
            }
            closed = false;
            i = self.attribute(text, i, origin, depth);
        }
        i = (i + 1).min(bytes.len());
        if name == "svg" && !closed {
            self.drawing += 1;
        }
        if name == "time" && flavour == Flavour::Html {
            let start = self.text.lower.len();
            self.times.push(start..start);
        }
        if !closed && (name == "script" || name == "style") {
            let inner = &text[i..];
            let end = end_of_raw(inner, &name);
            let (raw, origin) = (&inner[..end], origin.from(i));
            if name == "style" {
                self.decoded(&glued(&style_escapes(raw, origin)), depth);
            } else {
                self.decoded(&glued(&script_escapes(raw, origin)), depth);
            }
            i += end;
        }
        i
    }

    /// One attribute, from the first byte of its name; gives where the next may begin.
    fn attribute(&mut self, text: &str, start: usize, origin: Origin<'_>, depth: u8) -> usize {
        let bytes = text.as_bytes();
        let find = |from: usize, stop: &dyn Fn(u8) -> bool| {
            (from..bytes.len())
                .find(|&i| stop(bytes[i]))
                .unwrap_or(bytes.len())
        };
        // An `=` at the very start belongs to the name, as HTML's own standard has it.
        let name_end = find(start + 1, &|b| {
            b == b'=' || b == b'>' || b == b'/' || b.is_ascii_whitespace()
        });
        let name = &text[start..name_end];
        let equals = find(name_end, &|b| !b.is_ascii_whitespace());
        if bytes.get(equals) != Some(&b'=') {
            return name_end;
        }
        let value_start = find(equals + 1, &|b| !b.is_ascii_whitespace());
        let (from, to, next) = match bytes.get(value_start) {
            Some(&quote @ (b'"' | b'\'')) => {
                let end = find(value_start + 1, &|b| b == quote);
                (value_start + 1, end, (end + 1).min(bytes.len()))
            }
            _ => {
                let end = find(value_start, &|b| b == b'>' || b.is_ascii_whitespace());
                (value_start, end, end)
            }
        };
        let (value, origin) = (&text[from..to], origin.from(from));
        if name.eq_ignore_ascii_case("style") {
            self.decoded(&glued(&style_escapes(value, origin)), DEEPEST);
        }
        if value.contains('&') {
            self.decoded(&Decoded::entities(value, origin), depth);
        } else {
            self.value(value, origin, depth);
        }
        next
    }

    /// JSON: every string on its own.
    fn json(&mut self, text: &str) {
        let bytes = text.as_bytes();
        let mut at = 0;
        while at < bytes.len() {
            match bytes[at] {
                b'"' => {
                    let start = at + 1;
                    let mut end = start;
                    while end < bytes.len() && bytes[end] != b'"' {
                        end += if bytes[end] == b'\\' { 2 } else { 1 };
                    }
                    let end = end.min(bytes.len());
                    let inner = &text[start..end];
                    let origin = Origin::itself().from(start);
                    if inner.contains('\\') {
                        self.decoded(&script_escapes(inner, origin), 0);
                    } else {
                        self.value(inner, origin, 0);
                    }
                    at = (end + 1).min(bytes.len());
                }
                byte if byte.is_ascii_alphanumeric() => {
                    self.aside.push(byte as char, at);
                    at += 1;
                }
                _ => {
                    self.aside.join(Join::Wall);
                    at += 1;
                }
            }
        }
    }
}

/// What stands before `end`, and how many bytes it takes with `end`; all of it where there is no end.
fn until<'a>(text: &'a str, end: &str) -> (&'a str, usize) {
    match text.find(end) {
        Some(at) => (&text[..at], at + end.len()),
        None => (text, text.len()),
    }
}

/// An element's name in lower case, without a prefix, and its bytes.
fn tag_name(text: &str) -> (String, usize) {
    let used = text
        .find(|c: char| c.is_ascii_whitespace() || c == '/' || c == '>')
        .unwrap_or(text.len());
    let name = &text[..used];
    let name = name.rsplit_once(':').map_or(name, |(_, name)| name);
    (name.to_ascii_lowercase(), used)
}

/// Where `</script` or `</style` stands; the end of the text where it does not.
fn end_of_raw(text: &str, name: &str) -> usize {
    let mut at = 0;
    while let Some(found) = text[at..].find("</") {
        let after = &text.as_bytes()[at + found + 2..];
        if after.len() >= name.len() && after[..name.len()].eq_ignore_ascii_case(name.as_bytes()) {
            return at + found;
        }
        at += found + 2;
    }
    text.len()
}

#[cfg(test)]
mod tests;
