//! A piece of a line, between its commas: where the pieces are, and a task with its count and time.

use std::ops::Range;

use super::amount;
use super::length::{self, Length};
use super::line::Scan;
use super::note::NoteTask;
use super::vocabulary::{Group, Vocabulary, is_cut, is_filler, is_work};
use crate::model::Unit;

/// The pieces of a line's unread words, cut at commas and their like.
pub fn pieces(scan: &Scan<'_>, vocabulary: &Vocabulary) -> Vec<Range<usize>> {
    let mut pieces = Vec::new();
    let mut start = 0;
    let mut at = 0;
    while at < scan.len() {
        // `test and certify` is not cut.
        let whole = vocabulary.has_cuts().then(|| {
            [Group::Task, Group::Material]
                .iter()
                .filter_map(|group| vocabulary.at(*group, scan, at, scan.len()))
                .map(|(_, end)| end)
                .max()
        });
        if let Some(end) = whole
            .flatten()
            .filter(|end| (at + 1..*end).any(|i| is_cut(scan.word(i))))
        {
            at = end;
            continue;
        }
        let cuts = is_cut(scan.word(at)) && !is_within_a_length(scan, at);
        if scan.is_claimed(at) || cuts {
            pieces.push(start..at);
            start = at + 1;
        }
        at += 1;
    }
    pieces.push(start..scan.len());
    pieces.retain(|piece| piece.clone().any(|at| !is_filler(scan.word(at))));
    pieces
}

/// The `and` of `1 and a half hrs`.
fn is_within_a_length(scan: &Scan<'_>, at: usize) -> bool {
    scan.word(at) == "and"
        && scan.word(at + 1) == "a"
        && matches!(scan.word(at + 2), "half" | "quarter")
}

pub(super) fn skip_fillers(scan: &Scan<'_>, piece: &Range<usize>, mut at: usize) -> usize {
    while at < piece.end && is_filler(scan.word(at)) && amount::count(scan, at).is_none() {
        at += 1;
    }
    at
}

pub(super) fn length_at(
    scan: &Scan<'_>,
    piece: &Range<usize>,
    at: usize,
    day: i64,
) -> Option<(Length, usize)> {
    if at >= piece.end {
        return None;
    }
    let length = length::at(scan.low, scan.start(at), day)?;
    let end = scan.word_from(length.end);
    (end <= piece.end).then_some((length, end))
}

/// The length that begins at a word, in minutes, and the word after it.
pub fn length_at_word(scan: &Scan<'_>, at: usize, vocabulary: &Vocabulary) -> Option<(i64, usize)> {
    let (length, end) = length_at(scan, &(at..scan.len()), at, vocabulary.day)?;
    Some((length.minutes?, end))
}

/// The length that a whole piece is, in minutes.
pub fn length_alone(scan: &Scan<'_>, piece: &Range<usize>, vocabulary: &Vocabulary) -> Option<i64> {
    let at = skip_fillers(scan, piece, piece.start);
    let (length, end) = length_at(scan, piece, at, vocabulary.day)?;
    (skip_fillers(scan, piece, end) == piece.end)
        .then_some(length.minutes)
        .flatten()
}

/// A task as its piece has it.
#[derive(Clone, Debug, PartialEq)]
pub struct TaskRead {
    /// The task.
    pub task: NoteTask,
    /// The word after what was read.
    pub end: usize,
    /// Where it was done, which no task says: these words stay unread. Mostly empty.
    pub place: Range<usize>,
}

/// A task. With no length it must be read to the end of the piece, and no word for work stand before it: in
/// `changed 2 skts, took 50 mins` the length is elsewhere.
pub fn task(scan: &Scan<'_>, piece: &Range<usize>, vocabulary: &Vocabulary) -> Option<TaskRead> {
    let mut reader = TaskReader {
        scan,
        piece,
        vocabulary,
        minutes: None,
        count: None,
    };
    let mut at = skip_fillers(scan, piece, piece.start);
    let told = at < piece.end && is_work(scan.word(at));
    if told {
        at = skip_fillers(scan, piece, at + 1);
    }
    let at = reader.before_the_name(at);
    let (key, after) = vocabulary.at(Group::Task, scan, at, piece.end)?;
    let key = key.to_owned();
    let mut end = reader.after_the_name(after, &key);
    let mut place = end..end;
    if let Some((minutes, words)) = reader.place_and_length(end, &key) {
        reader.minutes = Some(minutes);
        place = words;
        end = piece.end;
    }
    let bare = !told && skip_fillers(scan, piece, end) == piece.end;
    (reader.minutes.is_some() || bare).then_some(TaskRead {
        task: NoteTask {
            task: key,
            count: reader.count,
            minutes: reader.minutes,
        },
        end,
        place,
    })
}

/// Most words of a place.
const LONGEST_PLACE: usize = 4;

struct TaskReader<'a> {
    scan: &'a Scan<'a>,
    piece: &'a Range<usize>,
    vocabulary: &'a Vocabulary,
    minutes: Option<i64>,
    count: Option<f64>,
}

impl TaskReader<'_> {
    /// The count or the length before a task's name; the word where the name must begin.
    fn before_the_name(&mut self, at: usize) -> usize {
        let mut at = at;
        if let Some(end) = self.metres_of_a_metred_task(at) {
            at = self.skip(end);
        }
        if self.minutes.is_none()
            && let Some((length, end)) = length_at(self.scan, self.piece, at, self.vocabulary.day)
            && length.minutes.is_some()
        {
            self.minutes = length.minutes;
            at = self.skip(end);
            if let Some(end) = self.metres_of_a_metred_task(at) {
                at = self.skip(end);
            }
        }
        if self.count.is_none()
            && let Some((count, end)) = self.count_before(at)
        {
            self.count = Some(count);
            at = self.skip(end);
        }
        at
    }

    fn skip(&self, at: usize) -> usize {
        skip_fillers(self.scan, self.piece, at)
    }

    /// `40m` right before the name of a task that is sold by the metre.
    fn metres_of_a_metred_task(&mut self, at: usize) -> Option<usize> {
        if at >= self.piece.end || self.count.is_some() {
            return None;
        }
        let (metres, end) = amount::metres(self.scan, at)?;
        let name_at = self.skip(end);
        let (key, _) = self
            .vocabulary
            .at(Group::Task, self.scan, name_at, self.piece.end)?;
        (*self.vocabulary.unit(key) == Unit::Metre).then_some(())?;
        self.count = Some(metres);
        Some(end)
    }

    /// A count before the name; a bare figure must stand straight before it.
    fn count_before(&self, at: usize) -> Option<(f64, usize)> {
        if at >= self.piece.end {
            return None;
        }
        if let Some((count, end)) = amount::count(self.scan, at) {
            return Some((count, end));
        }
        if let Some((count, end)) = amount::circuits(self.scan, at) {
            let (key, _) =
                self.vocabulary
                    .at(Group::Task, self.scan, self.skip(end), self.piece.end)?;
            return (*self.vocabulary.unit(key) == Unit::Circuit).then_some((count, end));
        }
        let count = amount::bare_count(self.scan, at)?;
        self.vocabulary
            .at(Group::Task, self.scan, at + 1, self.piece.end)
            .map(|_| (count, at + 1))
    }

    /// `in kitchen 1hr 10` to the end of the piece: the minutes, and the words of the place. Beside a task that is sold
    /// by the metre a bare `m` may be either, and nothing is read.
    fn place_and_length(&self, from: usize, key: &str) -> Option<(i64, Range<usize>)> {
        let start = self.skip(from);
        let led = (from..start).any(|at| matches!(self.scan.word(at), "in" | "at" | "on"));
        if self.minutes.is_some() || !led {
            return None;
        }
        let in_letters = |at: &usize| {
            self.scan
                .word(*at)
                .chars()
                .all(|c| c.is_alphabetic() || c == '\'' || c == '\u{2019}')
        };
        let name = (start..self.piece.end.min(start + LONGEST_PLACE)).take_while(in_letters);
        // `in half an hour` is no place: the first length that ends the piece ends the name before it.
        let (length, end) = (start..=start + name.count()).find_map(|end| {
            let (length, after) = length_at(self.scan, self.piece, end, self.vocabulary.day)?;
            (self.skip(after) == self.piece.end).then_some((length, end))
        })?;
        let metres = *self.vocabulary.unit(key) == Unit::Metre && length.metres.is_some();
        let named = (start..end).rfind(|at| !is_filler(self.scan.word(*at)))?;
        let minutes = length.minutes.filter(|_| !metres)?;
        Some((minutes, start..named + 1))
    }

    /// The count and the length after a task's name; the word after them.
    fn after_the_name(&mut self, after: usize, key: &str) -> usize {
        let mut end = after;
        let mut at = self.skip(after);
        if self.count.is_none() && at < self.piece.end {
            let own_unit = match self.vocabulary.unit(key) {
                Unit::Metre => amount::metres(self.scan, at),
                Unit::Circuit => amount::circuits(self.scan, at),
                Unit::Each | Unit::Job | Unit::Other(_) => None,
            };
            let counted = own_unit.filter(|(_, next)| *next <= self.piece.end);
            if let Some((count, next)) = counted.or_else(|| amount::count(self.scan, at)) {
                self.count = Some(count);
                end = next;
                at = self.skip(next);
            }
        }
        if self.minutes.is_none()
            && let Some((length, next)) = length_at(self.scan, self.piece, at, self.vocabulary.day)
            && length.minutes.is_some()
        {
            self.minutes = length.minutes;
            end = next;
        }
        end
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jot::bench::settings;
    use crate::jot::line::Line;

    #[test]
    fn a_task_may_have_a_word_for_work_before_it_and_a_place_before_its_length() {
        let vocabulary = Vocabulary::new(&settings());
        let read = |text: &str| {
            let line = Line::new(1, text);
            let scan = Scan::new(&line);
            task(&scan, &(0..scan.len()), &vocabulary).map(|read| {
                let place: Vec<usize> = read.place.collect();
                (read.task.count, read.task.minutes, scan.joined(&place))
            })
        };
        for (typed, count, minutes, place) in [
            (
                "changed 3 dbl skts in kitchen 1hr 10",
                Some(3.0),
                Some(70),
                "kitchen",
            ),
            ("changed 3 dbl skts 1hr 10", Some(3.0), Some(70), ""),
            ("replaced the batten 40m", None, Some(40), ""),
            (
                "2 skt at the boat shed's end 40m",
                Some(2.0),
                Some(40),
                "boat shed's end",
            ),
            ("skt on landing took an hour", None, Some(60), "landing"),
            ("skt on landing an hour", None, Some(60), "landing"),
        ] {
            let want = (count, minutes, place.to_owned());
            assert_eq!(read(typed), Some(want), "{typed}");
        }
        for typed in [
            "waited 30m for skt",
            "skt kitchen 40m",
            "3 skts in kitchen",
            "skt in flat 3 40m",
            "skt in the back of the long low shed 40m",
            // Forty metres, or forty minutes.
            "swa run in trench 40m",
            "changed 40m",
            "swapped 3 skts",
            "changed",
        ] {
            assert_eq!(read(typed), None, "{typed}");
        }
        assert_eq!(
            read("swa run in trench 40 mins"),
            Some((None, Some(40), "trench".to_owned()))
        );
    }
}
