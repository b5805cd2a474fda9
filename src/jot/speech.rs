//! A run of words without lines, as a phone takes dictation, cut into lines: at `then`, `next` and their like, before
//! a day and clock times, after a length, an amount, or who was told. Typed notes never come here.

use super::captions::Captions;
use super::clock;
use super::date::{self, Days, Said as DateSaid};
use super::finding;
use super::length;
use super::line::{self, Line, Scan};
use super::odds;
use super::spoken;
use super::vocabulary::{Group, Vocabulary, is_filler, is_material_mark};

/// Fewest words of a run.
const FEWEST: usize = 20;
/// Fewest words where one of them is said rather than typed.
const FEWEST_WITH_A_JOINT: usize = 10;

/// Whether a note is such a run: one long line.
pub fn is_run(lines: &[Line]) -> bool {
    let mut written = lines.iter().filter(|line| !line.is_blank());
    let (Some(line), None) = (written.next(), written.next()) else {
        return false;
    };
    let scan = Scan::new(line);
    let joints = (0..scan.len()).any(|at| joint(&scan, at).is_some());
    scan.len() >= FEWEST || joints && scan.len() >= FEWEST_WITH_A_JOINT
}

/// The words at which people go on to the next thing: how many there are at a word.
fn joint(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let next = scan.word(at + 1);
    match scan.word(at) {
        "and" if next == "then" => Some(2),
        "after" if next == "that" => Some(2),
        "full" if next == "stop" => Some(2),
        "new" if next == "line" => Some(2),
        "next"
            if !matches!(
                next,
                "week" | "door" | "to" | "time" | "year" | "month" | "day" | "job"
            ) =>
        {
            Some(1)
        }
        "then" | "afterwards" | "." | ";" => Some(1),
        _ => None,
    }
}

/// Cuts a run into lines.
pub fn lines(
    run: &Line,
    vocabulary: &Vocabulary,
    days: Days,
    captions: Option<&Captions>,
) -> Vec<Line> {
    let said = spoken::typed(&run.text, &run.low, &line::words(&run.low));
    let mut typed = String::with_capacity(run.text.len());
    // Where each said phrase begins in the typed form, to find the words again that were said.
    let mut starts = Vec::with_capacity(said.len());
    for said in &said {
        if !typed.is_empty() && !matches!(said.text.as_str(), "," | ";") {
            typed.push(' ');
        }
        starts.push(typed.len());
        typed.push_str(&said.text);
    }
    let whole = Line::spoken(run.number, &run.text, &typed);
    let scan = Scan::new(&whole);
    let cutter = Cutter {
        scan: &scan,
        vocabulary,
        days,
    };
    cutter
        .cut()
        .into_iter()
        .enumerate()
        .filter_map(|(index, (start, end, mark))| {
            let (from, to) = (scan.start(start), scan.end(end - 1));
            let first = starts.partition_point(|at| *at <= from).checked_sub(1)?;
            let last = starts.partition_point(|at| *at < to).checked_sub(1)?;
            let words = said.get(first)?.range.start..said.get(last)?.range.end;
            let reading = format!("{mark}{}", &scan.text[from..to]);
            let mut line = Line::spoken(index + 1, &run.text[words.clone()], &reading);
            line.at = captions
                .and_then(|captions| captions.at(words.start))
                .map(str::to_owned);
            Some(line)
        })
        .collect()
}

struct Cutter<'a> {
    scan: &'a Scan<'a>,
    vocabulary: &'a Vocabulary,
    days: Days,
}

/// A segment: its first word, the word after it, and what is put before it for reading.
type Segment = (usize, usize, &'static str);

impl Cutter<'_> {
    fn cut(&self) -> Vec<Segment> {
        let mut segments = Vec::new();
        let (mut start, mut at, mut mark) = (0, 0, "");
        // Whether what the segment is about has been said, so that a length or an amount ends it.
        let mut close = |start: &mut usize,
                         end: usize,
                         next: usize,
                         mark: &mut &'static str,
                         begin: &'static str| {
            let words = (*start..end)
                .filter(|at| !is_filler(self.scan.word(*at)))
                .count();
            if words > 0 || !mark.is_empty() {
                segments.push((*start, end.max(*start + 1), *mark));
                *mark = "";
            }
            *start = next;
            if !begin.is_empty() {
                *mark = begin;
            }
        };
        while at < self.scan.len() {
            if let Some(words) = joint(self.scan, at) {
                close(&mut start, at, at + words, &mut mark, "");
                at += words;
            } else if matches!(self.scan.word(at), "next" | "new")
                && self.scan.word(at + 1) == "job"
            {
                close(&mut start, at, at + 2, &mut mark, "job: ");
                at += 2;
            } else if self.begins(at, start) {
                close(&mut start, at, at, &mut mark, "");
                at = self.after_opening(at);
            } else if let Some(end) = self.ends(at, start) {
                close(&mut start, end, end, &mut mark, "");
                at = end;
            } else {
                at += 1;
            }
        }
        let end = self.scan.len();
        close(&mut start, end, end, &mut mark, "");
        segments
    }

    /// Whether a new line begins at a word.
    fn begins(&self, at: usize, start: usize) -> bool {
        let word = self.scan.word(at);
        let opens =
            self.opens_a_visit(at) && !(start..at).all(|before| self.goes_with_a_visit(before));
        let topic = self.vocabulary.is(Group::Parking, self.scan, at)
            || is_material_mark(word)
            || matches!(word, "note" | "found");
        opens || topic && at > start
    }

    fn opens_a_visit(&self, at: usize) -> bool {
        let byte = self.scan.start(at);
        if clock::range(self.scan.low, byte).is_some() {
            return true;
        }
        match date::at(self.scan.low, byte, self.days) {
            Some((_, DateSaid::InFull, _)) => true,
            Some((_, DateSaid::ByAWord, end)) => {
                let next = (self.scan.word_from(end)..self.scan.len())
                    .find(|at| !is_filler(self.scan.word(*at)))
                    .unwrap_or(self.scan.len());
                let byte = self.scan.start(next);
                clock::range(self.scan.low, byte).is_some()
                    || length::at(self.scan.low, byte, self.vocabulary.day).is_some()
            }
            None => false,
        }
    }

    fn goes_with_a_visit(&self, at: usize) -> bool {
        let low = self.scan.word(at);
        is_filler(low)
            || date::at(self.scan.low, self.scan.start(at), self.days).is_some()
            || self.vocabulary.is(Group::Kind, self.scan, at)
    }

    /// The word after a visit's date, so that its own clocks do not begin another line.
    fn after_opening(&self, at: usize) -> usize {
        let byte = self.scan.start(at);
        let end = date::at(self.scan.low, byte, self.days).map(|(_, _, end)| end);
        let end = end.map_or(at, |end| self.scan.word_from(end));
        let next = (end..self.scan.len())
            .find(|at| !is_filler(self.scan.word(*at)))
            .unwrap_or(end);
        let clocks =
            clock::range(self.scan.low, self.scan.start(next)).filter(|_| next < self.scan.len());
        clocks.map_or(end.max(at + 1), |_| next)
    }

    /// The word after the line that ends with the phrase at a word.
    fn ends(&self, at: usize, start: usize) -> Option<usize> {
        let byte = self.scan.start(at);
        if let Some((_, end)) = clock::range(self.scan.low, byte) {
            return Some(self.scan.word_from(end));
        }
        if let Some(end) = finding::told_end(self.scan, at, self.vocabulary) {
            return Some(end);
        }
        if odds::is_mile(self.scan.word(at)) {
            // `travel nine miles, thirty five minutes`: the comma parts nothing.
            let named = at >= start + 2 && odds::begins_a_trip(self.scan.word(at - 2));
            let next = if named {
                odds::past_a_comma(self.scan, at + 1)
            } else {
                at + 1
            };
            let length = length::at(self.scan.low, self.scan.start(next), self.vocabulary.day)
                .filter(|_| next < self.scan.len());
            return Some(length.map_or(at + 1, |length| self.scan.word_from(length.end)));
        }
        if let Some(length) = length::at(self.scan.low, byte, self.vocabulary.day) {
            let end = self.scan.word_from(length.end);
            let next = self.scan.word(end);
            let belongs = self.vocabulary.is(Group::Break, self.scan, end)
                || matches!(next, "drive" | "travel");
            if belongs {
                return Some(end + 1);
            }
            // `an hour fault finding`: the task comes after its length.
            let first = (start..at).all(|before| is_filler(self.scan.word(before)));
            let task = self
                .vocabulary
                .at(Group::Task, self.scan, end, self.scan.len());
            return match task {
                Some((_, end)) if first => Some(end),
                _ => Some(end),
            };
        }
        let amount = self.scan.word(at).starts_with('\u{a3}')
            || self.scan.word(at).ends_with('p') && self.is_pence(at);
        amount.then(|| at + 1 + usize::from(matches!(self.scan.word(at + 1), "each" | "ea")))
    }

    fn is_pence(&self, at: usize) -> bool {
        self.scan
            .word(at)
            .trim_end_matches('p')
            .bytes()
            .all(|b| b.is_ascii_digit())
            && self.scan.word(at).len() > 1
    }
}
