//! Text folded for the leak gate: letters and figures in one row, and what stands between each two of them.
//!
//! A private name may reach a page in many coats: `Od<b>o</b> Brannick`, `odo-brannick`, `Odo&nbsp;Brannick`. Folded,
//! all of them are the letters `odobrannick` with a note at each join of how it can be read: as nothing, as a
//! space, as a stop. A term asks for its letters and then for joins that fit. Nothing here knows what is private.

/// What stands between two letters, gravest last: where several meet, the gravest counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Join {
    /// Nothing.
    Nothing,
    /// A space that has no width.
    Unseen,
    /// Markup inside a line. A reader may see a space there or none, so it fits both.
    Markup,
    /// An apostrophe.
    Apostrophe,
    /// A hyphen, underscore or plus with a letter on either side: a slug's space.
    Hyphen,
    /// A space, a line end, the edge of a block.
    Space,
    /// A full stop, a comma, a dash with spaces round it.
    Point,
    /// The end of one value and the beginning of another: no term reaches across.
    Wall,
}

/// The join can be read as nothing at all.
const CLOSED: u8 = 1;
/// The join can be read as a space.
const SPACED: u8 = 2;
/// A word may begin or end here.
const EDGE: u8 = 4;
/// The join is a stop.
const POINTED: u8 = 8;

impl Join {
    /// Whether a word may begin or end here.
    pub(super) fn is_edge(self) -> bool {
        self.bits() & EDGE != 0
    }

    /// Whether this join of a page fits what a term asks for.
    pub(super) fn fits(self, wanted: Wanted) -> bool {
        self.bits() & wanted.0 != 0
    }

    fn bits(self) -> u8 {
        match self {
            Join::Nothing => CLOSED,
            Join::Unseen => CLOSED | SPACED,
            Join::Markup => CLOSED | SPACED | EDGE,
            Join::Apostrophe | Join::Hyphen | Join::Space => SPACED | EDGE,
            Join::Point => POINTED | EDGE,
            Join::Wall => EDGE,
        }
    }
}

/// What a term asks of a join.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct Wanted(u8);

impl Wanted {
    /// Anything that can be read as one number or code: nothing, a space, a hyphen.
    pub(super) const CLOSED_OR_SPACED: Wanted = Wanted(CLOSED | SPACED);
    /// Anything but the end of a value.
    pub(super) const ANYTHING: Wanted = Wanted(CLOSED | SPACED | POINTED);

    /// What a term's own join asks for. A stop in a term is also found as a space: `Key & Linen` is `key-linen` in a
    /// slug; an apostrophe is also found as nothing.
    pub(super) fn of(join: Join) -> Self {
        match join {
            Join::Nothing | Join::Unseen | Join::Markup => Wanted(CLOSED),
            Join::Apostrophe => Wanted(CLOSED | SPACED),
            Join::Hyphen | Join::Space => Wanted(SPACED),
            Join::Point | Join::Wall => Wanted(SPACED | POINTED),
        }
    }

    /// The mark that a digest takes in.
    pub(super) fn as_byte(self) -> u8 {
        self.0
    }
}

/// Stands in a text for markup that was taken out of it.
pub(super) const MARKUP: char = '\u{1}';

/// Folded text. `lower`, `cased` and `from` have one entry for each byte; `joins` has one more.
#[derive(Clone, Debug)]
pub(super) struct Folded {
    /// Letters and figures in lower case, accents off where they come off.
    pub(super) lower: Vec<u8>,
    /// The same, in the case they were written in.
    pub(super) cased: Vec<u8>,
    /// `joins[i]` stands before byte `i`; the last one ends the text.
    pub(super) joins: Vec<Join>,
    /// Where in the text each came from.
    pub(super) from: Vec<u32>,
    pending: Join,
    soft: bool,
}

impl Folded {
    /// Empty, ready to take in some bytes of text.
    pub(super) fn with_room(bytes: usize) -> Self {
        Folded {
            lower: Vec::with_capacity(bytes),
            cased: Vec::with_capacity(bytes),
            joins: Vec::with_capacity(bytes + 1),
            from: Vec::with_capacity(bytes),
            pending: Join::Wall,
            soft: false,
        }
    }

    /// A plain text, folded and closed.
    pub(super) fn of(text: &str) -> Self {
        let mut folded = Folded::with_room(text.len());
        folded.push_str(text, |at| at);
        folded.close();
        folded
    }

    /// Takes in a text; `from` turns a byte of it into a place.
    pub(super) fn push_str(&mut self, text: &str, from: impl Fn(usize) -> usize) {
        for (at, c) in text.char_indices() {
            self.push(c, from(at));
        }
    }

    /// Takes in one character.
    pub(super) fn push(&mut self, c: char, from: usize) {
        match c {
            'a'..='z' | 'A'..='Z' | '0'..='9' => {
                self.letter(c.to_ascii_lowercase() as u8, c as u8, from)
            }
            ' ' | '\t' | '\n' | '\r' | '\u{b}' | '\u{c}' => self.join(Join::Space),
            '-' | '_' | '+' => self.join(Join::Hyphen),
            '\'' => self.join(Join::Apostrophe),
            MARKUP => self.join(Join::Markup),
            c if c.is_ascii_control() => {}
            c if c.is_ascii() => self.join(Join::Point),
            c => self.push_rare(c, from),
        }
    }

    fn push_rare(&mut self, c: char, from: usize) {
        match c {
            // Soft hyphens, joiners, direction marks, variation selectors, accents written apart: no reader sees them
            // as anything between two letters.
            '\u{ad}'
            | '\u{300}'..='\u{36f}'
            | '\u{61c}'
            | '\u{17b4}'
            | '\u{17b5}'
            | '\u{180b}'..='\u{180f}'
            | '\u{1ab0}'..='\u{1aff}'
            | '\u{1dc0}'..='\u{1dff}'
            | '\u{200c}'..='\u{200f}'
            | '\u{202a}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}'
            | '\u{20d0}'..='\u{20ff}'
            | '\u{fe00}'..='\u{fe0f}'
            | '\u{fe20}'..='\u{fe2f}'
            | '\u{feff}'
            | '\u{e0000}'..='\u{e0fff}' => {}
            '\u{200b}' => self.join(Join::Unseen),
            '\u{2018}' | '\u{2019}' | '\u{201b}' | '\u{2bc}' | '\u{2032}' | '\u{ff07}' => {
                self.join(Join::Apostrophe)
            }
            '\u{2010}'..='\u{2015}' | '\u{2212}' | '\u{fe58}' | '\u{fe63}' | '\u{ff0d}' => {
                self.join(Join::Hyphen)
            }
            c if c.is_whitespace() => self.join(Join::Space),
            c if c.is_alphanumeric() => self.rare_letter(c, from),
            _ => self.join(Join::Point),
        }
    }

    /// A letter beyond ASCII, as the ASCII letters it would be in an address (`é` is `e`), so that accents, however
    /// they are written, and slugs agree; as itself where it has none.
    fn rare_letter(&mut self, c: char, from: usize) {
        let plain: String = slug::slugify(c.to_string())
            .chars()
            .filter(char::is_ascii_alphanumeric)
            .collect();
        if plain.is_empty() {
            let mut buffer = [0; 4];
            let lower = c.to_lowercase().next().unwrap_or(c);
            for &byte in lower.encode_utf8(&mut buffer).as_bytes() {
                self.letter(byte, byte, from);
            }
            return;
        }
        for (index, byte) in plain.bytes().enumerate() {
            let cased = if index == 0 && c.is_uppercase() {
                byte.to_ascii_uppercase()
            } else {
                byte
            };
            self.letter(byte, cased, from);
        }
    }

    fn letter(&mut self, lower: u8, cased: u8, from: usize) {
        let join = match self.pending {
            Join::Space if self.soft => Join::Markup,
            join => join,
        };
        self.joins.push(join);
        self.lower.push(lower);
        self.cased.push(cased);
        self.from.push(u32::try_from(from).unwrap_or(u32::MAX));
        self.pending = Join::Nothing;
        self.soft = false;
    }

    /// Notes what stands after the last letter.
    pub(super) fn join(&mut self, join: Join) {
        use Join::{Apostrophe, Hyphen, Point, Space};
        // A hyphen that has a space or another hyphen beside it is a dash, and a mark of quotation is no apostrophe.
        self.pending = match (self.pending, join) {
            (Hyphen | Apostrophe, Hyphen | Apostrophe | Space) | (Space, Hyphen | Apostrophe) => {
                Point
            }
            (before, now) => before.max(now),
        };
    }

    /// Notes markup inside a drawing: white space beside it is the file's and may not show.
    pub(super) fn drawn_markup(&mut self) {
        self.join(Join::Markup);
        self.soft = true;
    }

    /// Takes in another text, not closed yet, as a value that stands for itself.
    pub(super) fn append(&mut self, value: Folded) {
        self.joins.extend(value.joins);
        self.lower.extend(value.lower);
        self.cased.extend(value.cased);
        self.from.extend(value.from);
        self.pending = Join::Wall;
        self.soft = false;
    }

    /// The closed text without some ranges of its letters, in order: what stands on either side of one is read on, as
    /// over the gravest of the joins between.
    pub(super) fn without(&self, ranges: &[std::ops::Range<usize>]) -> Self {
        let mut kept = Folded::with_room(self.lower.len());
        let mut left = ranges
            .iter()
            .filter(|range| range.start < range.end)
            .peekable();
        for at in 0..self.lower.len() {
            while left.peek().is_some_and(|range| range.end <= at) {
                left.next();
            }
            let range = left.peek().filter(|range| range.contains(&at));
            // The stop inside `4:12` is not between the words.
            if range.is_none_or(|range| range.start == at) {
                kept.pending = kept.pending.max(self.joins[at]);
            }
            if range.is_some() {
                continue;
            }
            kept.letter(self.lower[at], self.cased[at], self.from[at] as usize);
        }
        kept.close();
        kept
    }

    /// Ends the text. Must be called once, before it is searched.
    pub(super) fn close(&mut self) {
        self.joins.push(Join::Wall);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(text: &str) -> String {
        String::from_utf8(Folded::of(text).lower).expect("ASCII")
    }

    fn joins(text: &str) -> Vec<Join> {
        let folded = Folded::of(text);
        folded.joins[1..folded.joins.len() - 1]
            .iter()
            .copied()
            .filter(|join| *join != Join::Nothing)
            .collect()
    }

    #[test]
    fn letters_come_out_lower_and_without_accents_however_they_are_written() {
        assert_eq!(row("Café Ångström"), "cafeangstrom");
        assert_eq!(row("Cafe\u{301}"), "cafe");
        assert_eq!(row("Bran\u{ad}nick"), "brannick");
        assert_eq!(row(""), "");
    }

    #[test]
    fn a_hyphen_between_letters_is_a_slugs_space_and_a_dash_is_a_stop() {
        assert_eq!(joins("key-safe"), [Join::Hyphen]);
        assert_eq!(joins("key\u{2013}safe"), [Join::Hyphen]);
        assert_eq!(joins("key - safe"), [Join::Point]);
        assert_eq!(joins("key. Safe"), [Join::Point]);
        assert_eq!(joins("O’Brien"), [Join::Apostrophe]);
        assert_eq!(joins("Odo \u{a0}\n Brannick"), [Join::Space]);
    }

    #[test]
    fn every_byte_knows_where_it_came_from() {
        let folded = Folded::of("é b");
        assert_eq!(folded.lower, b"eb");
        assert_eq!(folded.from, [0, 3]);
        assert_eq!(folded.joins.len(), folded.lower.len() + 1);
    }
}
