//! A piece of a line, between its commas: a task with its count and time, or a material with its count and price.

use std::ops::Range;

use super::amount::{self, Written};
use super::length::{self, Length};
use super::line::Scan;
use super::note::{CostFor, NoteMaterial, NoteTask};
use super::vocabulary::{Group, Vocabulary, is_cable, is_cut, is_filler, is_work};
use crate::model::{Money, Unit};

/// Why a piece may be a material.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// After a word such as `mats`: whatever stands there is a material.
    AfterMark,
    /// Anywhere: it must name a material, and a price or metres.
    Anywhere,
}

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

fn skip_fillers(scan: &Scan<'_>, piece: &Range<usize>, mut at: usize) -> usize {
    while at < piece.end && is_filler(scan.word(at)) && amount::count(scan, at).is_none() {
        at += 1;
    }
    at
}

fn length_at(
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

/// A task. With no length it must be read to the end of the piece.
pub fn task(scan: &Scan<'_>, piece: &Range<usize>, vocabulary: &Vocabulary) -> Option<TaskRead> {
    let mut reader = TaskReader {
        scan,
        piece,
        vocabulary,
        minutes: None,
        count: None,
    };
    let mut at = skip_fillers(scan, piece, piece.start);
    if at < piece.end && is_work(scan.word(at)) {
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
    let read_to_the_end = skip_fillers(scan, piece, end) == piece.end;
    (reader.minutes.is_some() || read_to_the_end).then_some(TaskRead {
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

/// A material; the whole piece is read where it is one.
pub fn material(
    scan: &Scan<'_>,
    piece: &Range<usize>,
    vocabulary: &Vocabulary,
    place: Place,
) -> Option<NoteMaterial> {
    let cable = piece.clone().any(|at| is_cable(scan.word(at)));
    let timed = piece.clone().any(|at| {
        length_at(scan, piece, at, vocabulary.day).is_some_and(|(length, _)| {
            length.minutes.is_some() && !(cable && length.metres.is_some())
        })
    });
    if timed {
        return None;
    }
    let mut left: Vec<usize> = piece.clone().collect();
    let cost = take_cost(scan, &mut left)?;
    let metres = cable.then(|| take_metres(scan, &mut left)).flatten();
    let count = metres.or_else(|| take_count(scan, &mut left));
    trim_fillers(scan, &mut left);
    if place == Place::Anywhere {
        let measured = cost.is_some() || metres.is_some();
        let named = if measured {
            names_a_material(scan, piece, vocabulary)
        } else {
            is_own_material(scan, &left, vocabulary)
        };
        if tells_of_work(scan, piece) || !named {
            return None;
        }
    }
    (!left.is_empty()).then(|| NoteMaterial {
        item: item(scan, &left, vocabulary),
        count: count.unwrap_or(1.0),
        unit: metres.map(|_| "m"),
        cost,
    })
}

/// An item of the diary's price book by its name there, where words that stand together are a spelling of it; any other
/// as typed.
fn item(scan: &Scan<'_>, words: &[usize], vocabulary: &Vocabulary) -> String {
    together(words)
        .and_then(|whole| vocabulary.priced_item(scan, whole))
        .map_or_else(|| scan.joined(words), str::to_owned)
}

/// `ran 18m of swa` tells what was done, and is no line of a bill.
fn tells_of_work(scan: &Scan<'_>, piece: &Range<usize>) -> bool {
    piece
        .clone()
        .map(|at| scan.word(at))
        .find(|word| !is_filler(word))
        .is_some_and(|word| {
            is_work(word)
                || matches!(
                    word,
                    "ran" | "laid" | "pulled" | "clipped" | "buried" | "threaded" | "rerouted"
                )
        })
}

/// Whether words that would be a task of the program's are a spelling of the diary's price book, and of none of its task
/// types: `1 spur`.
fn is_own_material(scan: &Scan<'_>, words: &[usize], vocabulary: &Vocabulary) -> bool {
    let Some(whole) = together(words) else {
        return false;
    };
    let task = vocabulary.at(Group::Task, scan, whole.start, whole.end);
    task.is_some_and(|(_, end)| end == whole.end)
        && vocabulary.is_own(Group::Material, scan, whole.clone())
        && !vocabulary.is_own(Group::Task, scan, whole)
}

/// Some words as a range, where they stand together.
fn together(words: &[usize]) -> Option<Range<usize>> {
    let start = *words.first()?;
    let whole = start..start + words.len();
    words.iter().copied().eq(whole.clone()).then_some(whole)
}

/// Whether a piece that has a price or metres holds a material's name, and is not rather a task: by its longer name, or
/// by a name that the diary has for a task type alone.
fn names_a_material(scan: &Scan<'_>, piece: &Range<usize>, vocabulary: &Vocabulary) -> bool {
    let longest = piece
        .clone()
        .filter_map(|at| {
            vocabulary
                .at(Group::Material, scan, at, piece.end)
                .map(|(_, end)| end - at)
        })
        .max();
    let Some(words) = longest else {
        return false;
    };
    // `swa run 18m` is a run of so many metres, `swa 18m` is cable.
    let run = task(scan, piece, vocabulary).is_some_and(|TaskRead { task, end, .. }| {
        let longer = piece.clone().any(|at| {
            vocabulary
                .at(Group::Task, scan, at, piece.end)
                .is_some_and(|(key, end)| {
                    let own = end - at == words
                        && vocabulary.is_own(Group::Task, scan, at..end)
                        && !vocabulary.is_own(Group::Material, scan, at..end);
                    key == task.task && (end - at > words || own)
                })
        });
        longer && skip_fillers(scan, piece, end) == piece.end
    });
    !run
}

/// Takes the price of a piece out of its words. `None` where two stand there: then it is not sure which is meant.
fn take_cost(scan: &Scan<'_>, left: &mut Vec<usize>) -> Option<Option<(Money, CostFor)>> {
    let prices: Vec<(usize, Money, Option<CostFor>)> = left
        .iter()
        .filter_map(|&at| price(scan.word(at)).map(|(amount, cost_for)| (at, amount, cost_for)))
        .collect();
    let (at, amount, said) = match prices.as_slice() {
        [] => return Some(None),
        [one] => *one,
        _ => return None,
    };
    let mut taken = vec![at];
    let mut cost_for = said.unwrap_or(CostFor::All);
    if left.contains(&(at + 1)) {
        match scan.word(at + 1) {
            "ea" | "each" | "/m" | "/mtr" | "/ea" | "/each" => {
                cost_for = CostFor::Each;
                taken.push(at + 1);
            }
            "tot" | "total" => taken.push(at + 1),
            _ => {}
        }
    }
    if at > 0 && scan.word(at - 1) == "@" && left.contains(&(at - 1)) {
        cost_for = CostFor::Each;
        taken.push(at - 1);
    }
    left.retain(|at| !taken.contains(at));
    Some(Some((amount, cost_for)))
}

/// A price with pence or a pound sign; what it is for where that hangs on it (`0.60/m`, `5.80ea`).
fn price(word: &str) -> Option<(Money, Option<CostFor>)> {
    let hung = ["/mtr", "/m", "/each", "/ea", "each", "ea"]
        .iter()
        .find_map(|unit| word.strip_suffix(unit));
    let (amount, written) = amount::money(hung.unwrap_or(word))?;
    (written == Written::Plainly).then_some((amount, hung.map(|_| CostFor::Each)))
}

fn take_metres(scan: &Scan<'_>, left: &mut Vec<usize>) -> Option<f64> {
    let (metres, start, end) = left
        .iter()
        .find_map(|&at| amount::metres(scan, at).map(|(metres, end)| (metres, at, end)))?;
    left.retain(|at| !(start..end).contains(at));
    Some(metres)
}

/// A count at the front, or one such as `x6` or `2 off` anywhere.
fn take_count(scan: &Scan<'_>, left: &mut Vec<usize>) -> Option<f64> {
    let whole = |start: usize, end: usize| (start..end).all(|at| left.contains(&at));
    let signed = left
        .iter()
        .find_map(|&at| amount::count(scan, at).map(|(count, end)| (count, at, end)))
        .filter(|(_, start, end)| whole(*start, *end));
    let front = left.iter().copied().find(|at| !is_filler(scan.word(*at)));
    let (count, start, end) = signed.or_else(|| {
        let at = front?;
        let count = amount::bare_count(scan, at)?;
        (!is_size(scan, at)).then_some((count, at, at + 1))
    })?;
    left.retain(|at| !(start..end).contains(at));
    Some(count)
}

/// Whether a bare figure says how big, not how many: `10 mm earth`, `20 amp isolator`, `6 t&e`.
fn is_size(scan: &Scan<'_>, at: usize) -> bool {
    matches!(
        scan.word(at + 1),
        "mm" | "mm2"
            | "sq"
            | "amp"
            | "amps"
            | "w"
            | "watt"
            | "kw"
            | "v"
            | "volt"
            | "way"
            | "gang"
            | "core"
            | "inch"
            | "pole"
            | "t&e"
            | "twin"
            | "c&e"
            | "swa"
    )
}

fn trim_fillers(scan: &Scan<'_>, left: &mut Vec<usize>) {
    // A name may end in brackets: `box (surface)`.
    let filler = |at: &usize| !matches!(scan.word(*at), "(" | ")") && is_filler(scan.word(*at));
    while left.last().is_some_and(filler) {
        left.pop();
    }
    let front = left.iter().take_while(|at| filler(at)).count();
    left.drain(..front);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jot::bench::settings;
    use crate::jot::line::Line;

    #[test]
    fn an_item_of_the_price_book_has_its_name_there() {
        let vocabulary = Vocabulary::new(&settings());
        let item = |text: &str| {
            let line = Line::new(1, text);
            let scan = Scan::new(&line);
            material(&scan, &(0..scan.len()), &vocabulary, Place::AfterMark).map(|m| m.item)
        };
        for (typed, read) in [
            ("1 jb", "Junction box"),
            ("2 JBs 3.20 ea", "Junction box"),
            ("2 junction boxes", "Junction box"),
            ("1 jb, deep", "jb, deep"),
            ("1 jb 3.20 lid", "jb lid"),
            // The program knows a bulkhead; this diary's price book has none.
            ("1 Bulkhead", "Bulkhead"),
        ] {
            assert_eq!(item(typed).as_deref(), Some(read), "{typed}");
        }
    }

    #[test]
    fn the_diary_s_own_words_say_whether_a_thing_or_a_task_is_meant() {
        let mut settings = settings();
        let lights = settings
            .tasks
            .get_mut("light-fitting")
            .expect("it is there");
        lights.also = ["swa", "jb"].map(str::to_owned).into();
        let mut book = settings.materials[0].in_office().clone();
        book.item = "Fused spur plate".to_owned();
        book.also = ["spur", "em lt", "plate"].map(str::to_owned).into();
        settings.materials.push(crate::model::Private::new(book));
        let vocabulary = Vocabulary::new(&settings);
        let read = |text: &str| {
            let line = Line::new(1, text);
            let scan = Scan::new(&line);
            let piece = 0..scan.len();
            match material(&scan, &piece, &vocabulary, Place::Anywhere) {
                Some(material) => Some((material.item, Some(material.count))),
                None => {
                    task(&scan, &piece, &vocabulary).map(|read| (read.task.task, read.task.count))
                }
            }
        };
        let text = |text: &str| text.to_owned();
        for (typed, means) in [
            // Of the program's words, `spur` is a task: a fused connection unit. With a time it still is.
            ("2 spurs", Some((text("Fused spur plate"), Some(2.0)))),
            ("1 em lt", Some((text("Fused spur plate"), Some(1.0)))),
            ("2 spur 40m", Some((text("fused-spur"), Some(2.0)))),
            ("spur", Some((text("Fused spur plate"), Some(1.0)))),
            ("1 plate", None),
            // `swa` is a cable of the program's, and a task of this diary.
            ("2 swa", Some((text("light-fitting"), Some(2.0)))),
            ("2 swa 18m", Some((text("light-fitting"), Some(2.0)))),
            // A diary that has a word for both: the price says which.
            ("2 jb", Some((text("light-fitting"), Some(2.0)))),
            ("2 jb 3.20", Some((text("Junction box"), Some(2.0)))),
            ("2 bulkhead", None),
        ] {
            assert_eq!(read(typed), means, "{typed}");
        }
    }

    #[test]
    fn work_told_of_is_no_material() {
        let vocabulary = Vocabulary::new(&settings());
        let item = |text: &str| {
            let line = Line::new(1, text);
            let scan = Scan::new(&line);
            material(&scan, &(0..scan.len()), &vocabulary, Place::Anywhere)
                .map(|m| (m.item, m.count))
        };
        assert_eq!(item("18m of 4mm swa"), Some(("4mm swa".to_owned(), 18.0)));
        assert_eq!(item("ran 18m of 4mm swa"), None);
        assert_eq!(item("also laid 18m of 4mm swa"), None);
    }

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
            ("swapped 3 skts", Some(3.0), None, ""),
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
