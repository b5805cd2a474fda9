//! A piece of a line that is a material, with its count and price.

use std::ops::Range;

use super::amount::{self, Written};
use super::line::Scan;
use super::note::{CostFor, NoteMaterial};
use super::piece::{TaskRead, length_at, skip_fillers, task};
use super::vocabulary::{Group, Vocabulary, is_cable, is_filler, is_work};
use crate::model::Money;

/// Why a piece may be a material.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// After a word such as `mats`: whatever stands there is a material.
    AfterMark,
    /// Anywhere: it must name a material, and a price or metres.
    Anywhere,
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
}
