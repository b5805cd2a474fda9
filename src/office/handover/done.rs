//! What was done and when, in a client's words: a line for each visit, from its tasks and nothing private.

use std::collections::BTreeMap;

use jiff::civil::{Date, Time};
use serde::Serialize;

use crate::model::{Job, Minutes, Settings, Unit, Visit};
use crate::office::words::{capital, clock, day, stopped, task_count};

/// A visit in a line.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct DoneLine {
    /// `2 Mar`; with the year where the visits span two.
    pub date: String,
    /// `Call-out, 18:10 to 19:25, break 15 min: fault finding.`
    pub words: String,
}

/// A line for each visit, in order of time.
pub(super) fn lines(job: &Job, settings: &Settings) -> Vec<DoneLine> {
    let days = visit_days(job);
    let year = match days.iter().all(|day| day.year() == days[0].year()) {
        true => Year::Left,
        false => Year::Said,
    };
    job.visits
        .iter()
        .map(|visit| DoneLine {
            date: short(visit.date.in_office().value, year),
            words: words(visit, settings),
        })
        .collect()
}

/// Whether a short date says its year.
#[derive(Clone, Copy)]
enum Year {
    Said,
    /// All visits lie in one.
    Left,
}

fn short(date: Date, year: Year) -> String {
    let full = day(date);
    let mut parts = full.split(' ');
    let (number, month) = (
        parts.next().unwrap_or_default(),
        parts.next().unwrap_or_default(),
    );
    let month: String = month.chars().take(3).collect();
    match year {
        Year::Left => format!("{number} {month}"),
        Year::Said => format!("{number} {month} {}", date.year()),
    }
}

fn words(visit: &Visit, settings: &Settings) -> String {
    let when = by_the_clock(visit).unwrap_or_else(|| visit.minutes().to_string());
    let tasks: Vec<String> = tasks(visit)
        .into_iter()
        .map(|(key, count)| {
            let known = settings.tasks.get(key);
            let name = known.map_or_else(|| key.to_owned(), |known| small(&known.name));
            match count.filter(|count| *count != 1.0) {
                Some(count) => {
                    let unit = known.map(|known| &known.unit);
                    let circuits = if unit == Some(&Unit::Circuit) {
                        " circuits"
                    } else {
                        ""
                    };
                    format!("{name} ({}{circuits})", task_count(count, unit))
                }
                None => name,
            }
        })
        .collect();
    let head = format!("{}, {when}", visit.kind.shown());
    match tasks.is_empty() {
        true => stopped(&head),
        false => stopped(&format!("{head}: {}", tasks.join("; "))),
    }
}

/// `18:10 to 19:25, break 15 min`, and whether the clocks changed in between, so that the times add up to those on site;
/// `None` where they are not written.
pub(super) fn by_the_clock(visit: &Visit) -> Option<String> {
    let (from, to) = visit.from.zip(visit.to)?;
    let mut said = format!("{} to {}", clock(from), clock(to));
    if let Some(change) = visit
        .elapsed
        .and_then(|gone| clocks_changed(from, to, gone))
    {
        said.push_str(&format!(" ({change})"));
    }
    if visit.rest > Minutes::NOUGHT {
        said.push_str(&format!(", break {}", visit.rest));
    }
    Some(said)
}

/// `the clocks went back an hour`: more time went by than the clock shows, or less.
fn clocks_changed(from: Time, to: Time, gone: Minutes) -> Option<String> {
    const DAY: i64 = 24 * 60;
    let minute = |time: Time| i64::from(time.hour()) * 60 + i64::from(time.minute());
    let shown = (minute(to) - minute(from)).rem_euclid(DAY);
    let way = match gone.get() - shown {
        0 => return None,
        1.. => "back",
        _ => "forward",
    };
    let by = match (gone.get() - shown).abs() {
        60 => "an hour".to_owned(),
        other => Minutes::new(other).to_string(),
    };
    Some(format!("the clocks went {way} {by}"))
}

/// Tasks of a visit in the order of the log, each once, with their count where one is written.
fn tasks(visit: &Visit) -> Vec<(&str, Option<f64>)> {
    let mut at: BTreeMap<&str, usize> = BTreeMap::new();
    let mut tasks: Vec<(&str, Option<f64>)> = Vec::new();
    for task in &visit.tasks {
        let key = task.key.value.as_str();
        let place = *at.entry(key).or_insert_with(|| {
            tasks.push((key, None));
            tasks.len() - 1
        });
        let sum = &mut tasks[place].1;
        *sum = crate::office::book::add(*sum, task.count);
    }
    tasks
}

/// A name as it stands within a sentence: `RCBO` keeps its capitals.
pub(super) fn small(name: &str) -> String {
    let mut chars = name.chars();
    match (chars.next(), chars.clone().next()) {
        (Some(first), Some(second)) if second.is_lowercase() || second == ' ' => {
            first.to_lowercase().chain(chars).collect()
        }
        _ => name.to_owned(),
    }
}

/// The days of the visits, in order, each once.
fn visit_days(job: &Job) -> Vec<Date> {
    let mut days: Vec<Date> = job
        .visits
        .iter()
        .map(|visit| visit.date.in_office().value)
        .collect();
    days.sort_unstable();
    days.dedup();
    days
}

/// `2, 12 and 18 March 2026`; from the first to the last where there are more than six.
pub(super) fn attended(job: &Job) -> String {
    const MOST: usize = 6;
    let days = visit_days(job);
    let (Some(first), Some(last)) = (days.first(), days.last()) else {
        return String::new();
    };
    if days.len() > MOST {
        return format!("{} days, {} to {}", days.len(), day(*first), day(*last));
    }
    let shown: Vec<String> = days
        .iter()
        .enumerate()
        .map(|(number, date)| {
            let next = days.get(number + 1);
            let same_year = next.is_some_and(|next| next.year() == date.year());
            let same_month = same_year && next.is_some_and(|next| next.month() == date.month());
            let full = day(*date);
            let cut = match (same_month, same_year) {
                (true, _) => 1,
                (false, true) => 2,
                (false, false) => 3,
            };
            full.split(' ').take(cut).collect::<Vec<_>>().join(" ")
        })
        .collect();
    capital(&and(&shown))
}

/// `a`, `a and b`, `a, b and c`; empty for none.
pub(super) fn and(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn job(visits: &str) -> Job {
        let log = format!("---\ntitle: A job\nref: 2026-001\nvisits: [{visits}]\n---\n");
        let files = vec![
            (
                "diary.yaml".to_owned(),
                include_bytes!("../../../content/starter/diary.yaml").to_vec(),
            ),
            ("jobs/2026/a.md".to_owned(), log.into()),
        ];
        crate::diary::read_files(files).diary.jobs.remove(0)
    }

    #[test]
    fn days_are_said_once_for_each_month_and_year() {
        let said = |days: &[&str]| {
            let visits: Vec<String> = days
                .iter()
                .map(|day| format!("{{date: {day}, time: 1h}}"))
                .collect();
            attended(&job(&visits.join(", ")))
        };
        assert_eq!(
            said(&["2026-03-02", "2026-03-12", "2026-03-18"]),
            "2, 12 and 18 March 2026"
        );
        assert_eq!(
            said(&["2025-12-30", "2026-01-02", "2026-02-02"]),
            "30 December 2025, 2 January and 2 February 2026"
        );
        assert_eq!(said(&["2026-03-02"]), "2 March 2026");
    }

    #[test]
    fn a_name_within_a_sentence_keeps_an_abbreviation() {
        assert_eq!(small("Fault finding"), "fault finding");
        assert_eq!(small("RCBO change"), "RCBO change");
        assert_eq!(small(""), "");
    }
}
