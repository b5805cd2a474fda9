//! Near spellings: what a line would mean if a word of it were spelt as a known one. Offered, never taken unasked.

use std::collections::BTreeSet;

use super::date::Days;
use super::line::{Line, Scan};
use super::meaning::{self, Meaning};
use super::note::{LineRead, Note, Part};
use super::plain::PlainLine;
use super::vocabulary::{Group, Vocabulary, is_cut, is_filler, telling};
use crate::diagnose::nearest;

/// A word that is spelt nearly as a known one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Near {
    /// The line's number in the note.
    pub line: usize,
    /// The whole line as typed.
    pub whole: String,
    /// The words as typed, in small letters.
    pub typed: String,
    /// The kind of word.
    pub group: Group,
    /// The known spelling.
    pub spelling: String,
    /// What it stands for: a task type's key, a material of the price book.
    pub meaning: String,
}

impl Near {
    /// What is offered: a task type by its key, anything else as it is spelt.
    pub fn offered(&self) -> &str {
        if self.group == Group::Task {
            &self.meaning
        } else {
            &self.spelling
        }
    }

    /// Whether a diary has a place to keep the spelling in.
    pub fn can_be_kept(&self) -> bool {
        matches!(self.group, Group::Task | Group::Material)
    }
}

/// Most words of a spelling that are compared.
const LONGEST: usize = 4;
/// Longest line that is looked at, in characters; longer ones are prose.
const LONGEST_LINE: usize = 120;
/// Most lines that are looked at: a note of thousands of unread lines has no spelling mistakes but another trouble.
const MOST_LINES: usize = 200;

/// The near spellings of lines that are kept, and of findings that tell nobody: at most one a line, each once.
pub fn near(lines: &[Line], note: &Note, vocabulary: &Vocabulary) -> Vec<Near> {
    let worth: BTreeSet<usize> = note
        .lines
        .iter()
        .filter(|line| line.kept || tells_nobody(note, line))
        .map(|line| line.number)
        .collect();
    let days = Days {
        today: note.today,
        last: Some(note.today),
    };
    let mut seen = BTreeSet::new();
    lines
        .iter()
        .filter(|line| worth.contains(&line.number) && line.text.len() <= LONGEST_LINE)
        .take(MOST_LINES)
        .filter_map(|line| of_line(line, vocabulary, days))
        .filter(|near| seen.insert(near.typed.clone()))
        .collect()
}

fn tells_nobody(note: &Note, line: &LineRead) -> bool {
    let untold = |at: &usize| {
        let finding = note
            .jobs
            .get(line.job)
            .and_then(|job| job.findings.get(*at));
        finding.is_some_and(|finding| finding.told.is_none())
    };
    line.parts
        .iter()
        .any(|part| matches!(part, Part::Finding(at) if untold(at)))
}

fn of_line(line: &Line, vocabulary: &Vocabulary, days: Days) -> Option<Near> {
    let scan = Scan::new(line);
    let before = facts(&meaning::of(line, None, vocabulary, days));
    for start in starts(&scan) {
        for end in (start + 1..=scan.len().min(start + LONGEST)).rev() {
            if (start..end).any(|at| is_cut(scan.word(at))) {
                continue;
            }
            let typed = &scan.low[scan.start(start)..scan.end(end - 1)];
            let letters = typed.chars().filter(|c| c.is_alphabetic()).count();
            if letters < 3 {
                continue;
            }
            let after_telling = start > 0 && telling(scan.word(start - 1)).is_some();
            for group in [
                Group::Task,
                Group::Material,
                Group::Parking,
                Group::Break,
                Group::Who,
            ] {
                if (group == Group::Who) != after_telling {
                    continue;
                }
                let Some((spelling, means)) = nearest_of(group, typed, vocabulary) else {
                    continue;
                };
                let (from, to) = (scan.start(start), scan.end(end - 1));
                let text = format!("{}{spelling}{}", &line.text[..from], &line.text[to..]);
                let mended = facts(&meaning::of(
                    &Line::spoken(line.number, &line.typed, &text),
                    None,
                    vocabulary,
                    days,
                ));
                if mended > before {
                    return Some(Near {
                        line: line.number,
                        whole: line.typed.clone(),
                        typed: typed.to_owned(),
                        group,
                        spelling: spelling.to_owned(),
                        meaning: means.to_owned(),
                    });
                }
            }
        }
    }
    None
}

/// The words at which a name may begin: after a cut, fillers and figures.
fn starts(scan: &Scan<'_>) -> Vec<usize> {
    (0..scan.len())
        .filter(|at| {
            let word = scan.word(*at);
            let a_name = !is_filler(word) && !is_cut(word) && word.starts_with(char::is_alphabetic);
            let before = at.checked_sub(1).map_or(",", |before| scan.word(before));
            let after = is_cut(before)
                || is_filler(before)
                || telling(before).is_some()
                || before.contains(|c: char| c.is_ascii_digit());
            a_name && after
        })
        .collect()
}

/// The nearest spelling of a group, where no word of the group is meant already.
fn nearest_of<'v>(
    group: Group,
    typed: &str,
    vocabulary: &'v Vocabulary,
) -> Option<(&'v str, &'v str)> {
    let length = typed.chars().count();
    let close = |spelling: &&str| spelling.chars().count().abs_diff(length) <= 3;
    // A slip keeps the first letter, and a spelling of three letters is near to too much.
    let first = typed.chars().next();
    let candidates = vocabulary
        .spellings(group)
        .map(|(spelling, _)| spelling)
        .filter(close)
        .filter(|spelling| spelling.chars().count() > 2 && spelling.chars().next() == first);
    let found = nearest(typed, candidates)?;
    let known = found == typed || typed.strip_suffix('s') == Some(found);
    vocabulary
        .spellings(group)
        .find(|(spelling, _)| *spelling == found && !known)
}

/// How much a line says: tasks with a count or time, materials with a price, and the rest.
fn facts(meaning: &Meaning) -> usize {
    match meaning {
        Meaning::Plain(line) => plain_facts(line),
        Meaning::Told(..) => 1,
        Meaning::Finding(finding) => 1 + usize::from(finding.told.is_some()),
        Meaning::Measured(line) => line.values.len(),
    }
}

fn plain_facts(line: &PlainLine) -> usize {
    let tasks = line
        .tasks
        .iter()
        .filter(|task| task.minutes.is_some() || task.count.is_some())
        .count();
    let materials = line
        .materials
        .iter()
        .filter(|material| material.cost.is_some() || material.unit.is_some())
        .count();
    tasks + materials + usize::from(line.parking.is_some()) + usize::from(line.rest.is_some())
}
