//! A line that is neither finding nor reading: a visit's beginning, its break, parking and trip, tasks, materials.

use std::ops::Range;

use jiff::civil::Date;

use super::clock;
use super::date::{self, Days, Said};
use super::length;
use super::line::Scan;
use super::material::{self, Place};
use super::note::{NoteMaterial, NoteTask};
use super::odds::{self, BehindAComma};
use super::piece;
use super::vocabulary::{Group, Vocabulary, is_about_pay, is_filler, is_material_mark};
use crate::model::{Money, VisitKind};

/// What was read of such a line.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlainLine {
    /// Whether it starts a visit.
    pub starts_visit: bool,
    /// The date it begins with.
    pub date: Option<Date>,
    /// From when to when.
    pub clocks: Option<clock::Span>,
    /// The visit's length, in minutes.
    pub length: Option<i64>,
    /// The visit's kind.
    pub kind: Option<VisitKind>,
    /// The break, in minutes.
    pub rest: Option<i64>,
    /// Paid for parking.
    pub parking: Option<Money>,
    /// Miles there and back.
    pub miles: Option<f64>,
    /// Minutes on the road.
    pub road: Option<i64>,
    /// Tasks.
    pub tasks: Vec<NoteTask>,
    /// Materials.
    pub materials: Vec<NoteMaterial>,
    /// Whether every line below is materials.
    pub materials_below: bool,
    /// Whether every word was read.
    pub whole: bool,
    /// Whether any word was read.
    pub any: bool,
    /// The words after the date and clocks of a visit, where no task or material is on the line.
    pub subject: Option<Subject>,
}

/// The words of a visit line that may name its job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Subject {
    /// The words as typed.
    pub text: String,
    /// The length that stands after them at the end of the line, in minutes.
    pub length: Option<i64>,
    /// Whether all else on the line was read.
    pub rest_is_read: bool,
}

impl PlainLine {
    /// Whether the line is a date and nothing else.
    pub fn is_date_alone(&self) -> bool {
        let bare = PlainLine {
            starts_visit: true,
            date: self.date,
            whole: true,
            any: true,
            ..PlainLine::default()
        };
        self.date.is_some() && *self == bare
    }

    /// Whether something in it belongs to a visit. A kind alone waits for its visit.
    pub fn belongs_to_a_visit(&self) -> bool {
        self.rest.is_some()
            || self.parking.is_some()
            || self.miles.is_some()
            || self.road.is_some()
            || !self.tasks.is_empty()
    }
}

/// Reads a line. `place` says whether it stands below a word such as `mats`. What was read of it before is forgotten.
pub fn read(scan: &mut Scan<'_>, vocabulary: &Vocabulary, days: Days, place: Place) -> PlainLine {
    scan.forget();
    if let Some(opening) = opening(scan, vocabulary, days) {
        let read = Reader::new(scan, vocabulary).visit_line(opening, place);
        // `Sunday school lights` starts nothing: a weekday alone needs a clock, a length, or nothing unread.
        if opening.said == Said::InFull || read.whole || has_a_time(scan, opening.end, vocabulary) {
            return read;
        }
        scan.forget();
    }
    Reader::new(scan, vocabulary).other_line(place)
}

/// How a line begins a visit.
#[derive(Clone, Copy)]
struct Opening {
    date: Option<Date>,
    clocks: Option<clock::Span>,
    said: Said,
    /// The words of date and clocks.
    start: usize,
    end: usize,
}

/// The date or the clocks that a line begins with, after fillers and kinds of visit.
fn opening(scan: &Scan<'_>, vocabulary: &Vocabulary, days: Days) -> Option<Opening> {
    let mut start = 0;
    while start < scan.len() {
        if let Some((_, end)) = vocabulary.at(Group::Kind, scan, start, scan.len()) {
            start = end;
        } else if is_filler(scan.word(start)) {
            start += 1;
        } else {
            break;
        }
    }
    if start >= scan.len() {
        return None;
    }
    // `DATE: 24/11/26`, as a form has it.
    let label = (scan.word(start) == "date").then_some(start);
    if label.is_some() {
        start += 1 + usize::from(scan.word(start + 1) == ":");
    }
    let byte = scan.start(start);
    if let Some((clocks, end)) = clock::range(scan.low, byte) {
        let end = scan.word_from(end);
        // `9-11.45 18 Nov`: the date may come after the clocks.
        let next = (end..scan.len())
            .find(|at| !is_filler(scan.word(*at)))
            .unwrap_or(end);
        let date = date::at(scan.low, scan.start(next), days).filter(|_| next < scan.len());
        let (date, end) = date.map_or((None, end), |(date, _, end)| {
            (Some(date), scan.word_from(end))
        });
        return Some(Opening {
            date,
            clocks: Some(clocks),
            said: Said::InFull,
            start: label.unwrap_or(start),
            end,
        });
    }
    let (date, said, end) = date::at(scan.low, byte, days)?;
    Some(Opening {
        date: Some(date),
        clocks: None,
        said,
        start: label.unwrap_or(start),
        end: scan.word_from(end),
    })
}

/// Whether a range of clocks or a length stands on a line from a word on.
fn has_a_time(scan: &Scan<'_>, from: usize, vocabulary: &Vocabulary) -> bool {
    (from..scan.len()).any(|at| {
        let byte = scan.start(at);
        clock::range(scan.low, byte).is_some()
            || length::at(scan.low, byte, vocabulary.day)
                .is_some_and(|length| length.minutes.is_some())
    })
}

struct Reader<'s, 'l> {
    scan: &'s mut Scan<'l>,
    vocabulary: &'s Vocabulary,
    out: PlainLine,
}

impl<'s, 'l> Reader<'s, 'l> {
    fn new(scan: &'s mut Scan<'l>, vocabulary: &'s Vocabulary) -> Self {
        Reader {
            scan,
            vocabulary,
            out: PlainLine::default(),
        }
    }

    fn visit_line(mut self, opening: Opening, place: Place) -> PlainLine {
        self.out.starts_visit = true;
        self.out.date = opening.date;
        self.out.clocks = opening.clocks;
        self.scan.claim(opening.start..opening.end);
        if opening.clocks.is_none() {
            self.read_clocks(opening.end);
        }
        self.read_kind();
        if !self.speaks_of_pay() {
            let subject_at = self.skip_read(opening.end);
            self.read_odds();
            let pieces = piece::pieces(self.scan, self.vocabulary);
            for piece in &pieces {
                self.read_length(piece);
            }
            self.read_pieces(place);
            self.out.subject = self.subject(subject_at);
        }
        self.finish()
    }

    /// The first word from one on that is neither read nor a filler.
    fn skip_read(&self, from: usize) -> usize {
        (from..self.scan.len())
            .find(|at| !self.scan.is_claimed(*at) && !is_filler(self.scan.word(*at)))
            .unwrap_or(self.scan.len())
    }

    /// The unread words from one on, up to the next that was read or to a length that ends the line.
    fn subject(&self, from: usize) -> Option<Subject> {
        if !(self.out.tasks.is_empty() && self.out.materials.is_empty()) {
            return None;
        }
        let end = (from..self.scan.len())
            .find(|at| self.scan.is_claimed(*at))
            .unwrap_or(self.scan.len());
        let free = self.out.clocks.is_none() && self.out.length.is_none();
        let timed = (from..end).filter(|_| free).find_map(|at| {
            let (minutes, after) = piece::length_at_word(self.scan, at, self.vocabulary)?;
            (after == self.scan.len()).then_some((minutes, at))
        });
        let (length, name_end) = timed.map_or((None, end), |(minutes, at)| (Some(minutes), at));
        let mut words: Vec<usize> = (from..name_end).collect();
        while words
            .last()
            .is_some_and(|at| is_filler(self.scan.word(*at)))
        {
            words.pop();
        }
        let named = words
            .iter()
            .any(|at| self.scan.word(*at).chars().any(char::is_alphabetic));
        named.then(|| Subject {
            text: self.scan.joined(&words),
            length,
            rest_is_read: self.skip_read(end) == self.scan.len(),
        })
    }

    fn other_line(mut self, place: Place) -> PlainLine {
        if self.speaks_of_pay() {
            return self.finish();
        }
        if place == Place::Anywhere {
            self.read_odds();
            self.read_what_stands_alone();
        }
        self.read_pieces(place);
        self.finish()
    }

    /// `quoted 380 all in` is about money, and about no visit.
    fn speaks_of_pay(&self) -> bool {
        (0..self.scan.len()).any(|at| is_about_pay(self.scan.word(at)))
    }

    /// Clocks after the date of a visit line.
    fn read_clocks(&mut self, from: usize) {
        let found = (from..self.scan.len()).find_map(|at| {
            clock::range(self.scan.low, self.scan.start(at))
                .map(|(clocks, end)| (clocks, at, self.scan.word_from(end)))
        });
        if let Some((clocks, start, end)) = found {
            self.out.clocks = Some(clocks);
            self.scan.claim(start..end);
        }
    }

    /// The kind of visit, anywhere on its line, where the words are not a longer task's.
    fn read_kind(&mut self) {
        for at in 0..self.scan.len() {
            if self.scan.is_claimed(at) {
                continue;
            }
            let Some((kind, end)) = self
                .vocabulary
                .at(Group::Kind, self.scan, at, self.scan.len())
            else {
                continue;
            };
            let task = self
                .vocabulary
                .at(Group::Task, self.scan, at, self.scan.len());
            if task.is_none_or(|(_, task_end)| task_end <= end) {
                self.out.kind = kind_of(kind);
                self.scan.claim(at..end);
                return;
            }
        }
    }

    fn read_odds(&mut self) {
        let behind_a_comma = if self.out.starts_visit && self.out.clocks.is_none() {
            BehindAComma::TheVisit
        } else {
            BehindAComma::TheTrip
        };
        (self.out.miles, self.out.road) = odds::trip(self.scan, self.vocabulary, behind_a_comma);
        self.out.rest = odds::rest(self.scan, self.vocabulary);
        self.out.parking = odds::parking(self.scan, self.vocabulary);
    }

    /// A kind of visit or a length that is all there is on a line.
    fn read_what_stands_alone(&mut self) {
        let all = 0..self.scan.len();
        if all.clone().any(|at| self.scan.is_claimed(at)) {
            return;
        }
        // One kind, one length, in either order, and nothing but fillers with them.
        let (mut kind, mut length, mut at) = (None, None, 0);
        while at < all.end {
            if is_filler(self.scan.word(at)) {
                at += 1;
            } else if kind.is_none()
                && let Some((found, end)) = self.vocabulary.at(Group::Kind, self.scan, at, all.end)
            {
                kind = kind_of(found);
                at = end;
            } else if length.is_none()
                && let Some((minutes, end)) = piece::length_at_word(self.scan, at, self.vocabulary)
            {
                length = Some(minutes);
                at = end;
            } else {
                return;
            }
        }
        if kind.is_some() || length.is_some() {
            self.out.kind = kind;
            self.out.length = length;
            self.scan.claim(all);
        }
    }

    fn read_length(&mut self, piece: &Range<usize>) {
        if self.out.clocks.is_some() || self.out.length.is_some() {
            return;
        }
        if let Some(minutes) = piece::length_alone(self.scan, piece, self.vocabulary) {
            self.out.length = Some(minutes);
            self.scan.claim(piece.clone());
        }
    }

    fn read_pieces(&mut self, place: Place) {
        let mut place = place;
        for piece in piece::pieces(self.scan, self.vocabulary) {
            let mut piece = piece;
            let first = piece
                .clone()
                .find(|at| !is_filler(self.scan.word(*at)))
                .unwrap_or(piece.start);
            let mut mark = None;
            if is_material_mark(self.scan.word(first)) {
                place = Place::AfterMark;
                mark = Some(first);
                piece = first + 1..piece.end;
            }
            let below = piece.clone().all(|at| is_filler(self.scan.word(at)));
            let read = if below {
                true
            } else {
                self.read_piece(&piece, place)
            };
            if let Some(mark) = mark.filter(|_| read) {
                self.scan.claim(mark..mark + 1);
                self.out.materials_below = below;
            }
        }
    }

    fn read_piece(&mut self, piece: &Range<usize>, place: Place) -> bool {
        if let Some(material) = material::material(self.scan, piece, self.vocabulary, place) {
            self.out.materials.push(material);
            self.scan.claim(piece.clone());
            return true;
        }
        if let Some(read) = piece::task(self.scan, piece, self.vocabulary) {
            self.out.tasks.push(read.task);
            self.scan.claim(piece.start..read.place.start);
            self.scan.claim(read.place.end..read.end);
            return true;
        }
        false
    }

    fn finish(mut self) -> PlainLine {
        self.out.any = self.scan.any_claimed();
        self.out.whole = self.scan.len() > 0
            && (0..self.scan.len())
                .all(|at| self.scan.is_claimed(at) || is_filler(self.scan.word(at)));
        // Materials come below a mark only where nothing else stands on its line.
        self.out.materials_below &= self.out.whole && self.out.materials.is_empty();
        self.out
    }
}

fn kind_of(word: &str) -> Option<VisitKind> {
    VisitKind::ALL.into_iter().find(|kind| kind.word() == word)
}
