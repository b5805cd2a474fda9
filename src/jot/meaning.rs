//! What one line means: a finding, a reading, who was told, or a plain line of a visit.

use super::date::Days;
use super::finding::{self, About, FindingLine, Telling};
use super::line::{self, Line, Scan};
use super::material::Place;
use super::measured::{self, MeasuredLine};
use super::odds;
use super::plain::{self, PlainLine};
use super::spoken;
use super::vocabulary::{self, Vocabulary, is_filler};

/// What a line means, for itself. What it joins is `gather`'s to decide.
#[derive(Clone, Debug, PartialEq)]
pub enum Meaning {
    /// A finding.
    Finding(FindingLine),
    /// Who was told of the finding above.
    Told(Telling, About),
    /// Measured values.
    Measured(MeasuredLine),
    /// Anything else, read or not.
    Plain(Box<PlainLine>),
}

impl Meaning {
    /// Whether the line, were it the first of a job, would be its title: it starts no visit and is not read to its
    /// last word.
    pub fn may_be_title(&self) -> bool {
        match self {
            Meaning::Finding(finding) => !finding.sure,
            Meaning::Told(..) => true,
            Meaning::Measured(line) => !line.whole,
            Meaning::Plain(line) => !line.starts_visit && !line.whole,
        }
    }

    /// Whether the line, below the first of a job, has words that were not read and starts no visit.
    pub fn is_unread(&self) -> bool {
        match self {
            Meaning::Finding(_) | Meaning::Told(..) => false,
            Meaning::Measured(line) => !line.whole,
            Meaning::Plain(line) => !line.starts_visit && !line.whole,
        }
    }

    /// Whether the line starts a visit.
    pub fn starts_visit(&self) -> bool {
        matches!(self, Meaning::Plain(line) if line.starts_visit)
    }
}

/// Reads one line. `next` is the line below, which may make this one the head of a reading.
pub fn of(line: &Line, next: Option<&Line>, vocabulary: &Vocabulary, days: Days) -> Meaning {
    if is_marked_text(line) {
        return Meaning::Plain(Box::default());
    }
    let mut scan = Scan::new(line);
    if let Some(finding) = finding::finding(&scan, vocabulary) {
        return Meaning::Finding(finding);
    }
    if let Some((telling, about)) = finding::told_line(&scan, vocabulary) {
        return Meaning::Told(telling, about);
    }
    let plain = plain::read(&mut scan, vocabulary, days, Place::Anywhere);
    if plain.starts_visit {
        return Meaning::Plain(Box::new(plain));
    }
    scan.forget();
    if let Some(measured) = measured::read(&mut scan) {
        return Meaning::Measured(measured);
    }
    if !plain.whole
        && let Some(head) = measured::head(&mut scan)
        && next.is_some_and(values_alone)
    {
        return Meaning::Measured(head);
    }
    let in_words = if plain.whole {
        None
    } else {
        trip_in_words(line, vocabulary, days)
    };
    Meaning::Plain(Box::new(in_words.unwrap_or(plain)))
}

/// `Travel nine miles, thirty five minutes`: a trip whose numbers are words, where every word of its line is read so.
fn trip_in_words(line: &Line, vocabulary: &Vocabulary, days: Days) -> Option<PlainLine> {
    let words = line::words(&line.low);
    let of_a_trip = |word: &str| odds::is_mile(word) || odds::begins_a_trip(word);
    if !words
        .iter()
        .any(|range| of_a_trip(&line.low[range.clone()]))
    {
        return None;
    }
    let said = spoken::typed(&line.text, &line.low, &words);
    let said: Vec<&str> = said.iter().map(|said| said.text.as_str()).collect();
    let in_figures = Line::spoken(line.number, &line.typed, &said.join(" "));
    let trip = plain::read(
        &mut Scan::new(&in_figures),
        vocabulary,
        days,
        Place::Anywhere,
    );
    let is_trip = trip.miles.is_some() || trip.road.is_some();
    (is_trip && trip.whole && !trip.starts_visit).then_some(trip)
}

/// Whether a line says of itself that it is text, as the pocket page writes it, or is still to be done: it is kept as typed and searched for
/// nothing, whatever words are in it.
fn is_marked_text(line: &Line) -> bool {
    ["text:", "photo:", "[ ] "]
        .iter()
        .any(|mark| line.low.starts_with(mark))
}

/// Reads a line that stands below a word such as `mats`.
pub fn below_a_mark(line: &Line, vocabulary: &Vocabulary, days: Days) -> PlainLine {
    if is_marked_text(line) {
        return PlainLine::default();
    }
    plain::read(&mut Scan::new(line), vocabulary, days, Place::AfterMark)
}

/// Whether a line begins with a measured value: it has no circuit of its own.
fn values_alone(line: &Line) -> bool {
    measured::read(&mut Scan::new(line))
        .is_some_and(|line| line.circuit.is_none() && line.device.is_none())
}

/// Whether a line begins with a word of pay: no title, which readers would see.
pub fn is_about_pay(line: &Line) -> bool {
    let scan = Scan::new(line);
    (0..scan.len())
        .map(|at| scan.word(at))
        .find(|word| !is_filler(word))
        .is_some_and(vocabulary::is_about_pay)
}

/// Whether a measured value stands on a line, well written or not.
pub fn measures(line: &Line) -> bool {
    measured::is_meant(&Scan::new(line))
}

/// Whether no word of a line was read.
pub fn is_wholly_unread(meaning: &Meaning) -> bool {
    matches!(meaning, Meaning::Plain(line) if !line.any)
}

/// Whether a line holds emoji and no word.
pub fn has_no_word(line: &Line) -> bool {
    let scan = Scan::new(line);
    (0..scan.len()).all(|at| is_filler(scan.word(at)))
}
