//! A job's docket: all that readers see of its visits, tasks, findings, materials and readings.
//!
//! Built from what the model gives openly. Reckons nothing that spans jobs.

use std::collections::BTreeMap;

use jiff::civil::Time;

use crate::model::{Device, Diary, Finding, FindingCode, Job, Minutes, Task, Unit, Visit};
use crate::trade::Figures;
use crate::trade::held::held;

use super::Gate;
use super::view::{Docket, FindingLine, Found, MaterialLine, ReadingLine, TaskLine, VisitLine};

/// Minutes of a day.
const DAY: i64 = 24 * 60;

/// The docket of a job whose write-up stands at `link`.
pub(super) fn docket(diary: &Diary, job: &Job, link: &str) -> Docket {
    let on_site = job.minutes_on_site();
    let on_tasks: Minutes = job.visits.iter().map(Visit::task_minutes).sum();
    let other = on_site - on_tasks;
    Docket {
        link: link.to_owned(),
        title: job.title.value.clone(),
        location: location(diary, job),
        month: job
            .month()
            .map(|month| month.to_string())
            .unwrap_or_default(),
        on_site: on_site.to_string(),
        minutes: on_site.get(),
        visits: job.visits.iter().map(visit).collect(),
        tasks: tasks(diary, job),
        other: or_empty(other),
        findings: findings(job),
        found: found(job),
    }
}

/// The name of a job's location type; its key where the diary does not know it, empty where the log gives none.
pub(super) fn location(diary: &Diary, job: &Job) -> String {
    let key = job
        .location
        .as_ref()
        .map(|at| at.value.as_str())
        .unwrap_or_default();
    diary
        .settings
        .locations
        .get(key)
        .map_or(key, String::as_str)
        .to_owned()
}

/// A task's minutes and count over some visits of a job.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Worked {
    pub(super) minutes: Minutes,
    /// `None` where no visit wrote one.
    pub(super) count: Option<f64>,
}

/// What was worked on each task type, in order of key.
pub(super) fn worked<'a>(visits: impl Iterator<Item = &'a Visit>) -> BTreeMap<&'a str, Worked> {
    let mut all: BTreeMap<&str, Worked> = BTreeMap::new();
    for Task { key, count, time } in visits.flat_map(|visit| &visit.tasks) {
        let worked = all.entry(&key.value).or_default();
        worked.minutes = worked.minutes + time.unwrap_or_default();
        if let Some(count) = count {
            worked.count = Some(worked.count.unwrap_or(0.0) + count);
        }
    }
    all
}

impl Worked {
    /// What the minutes are divided by: the count, or one where none is written and the unit counts as one.
    pub(super) fn divisor(self, unit: &Unit) -> Option<f64> {
        self.count
            .or(unit.counts_as_one().then_some(1.0))
            .filter(|count| *count > 0.0)
    }

    /// Minutes each; `None` without a count to divide by or without minutes.
    pub(super) fn each(self, unit: &Unit) -> Option<f64> {
        let minutes = Some(self.minutes.as_f64()).filter(|minutes| *minutes > 0.0)?;
        Some(minutes / self.divisor(unit)?)
    }
}

/// A length as shown; empty where there is none.
fn or_empty(length: Minutes) -> String {
    if length > Minutes::NOUGHT {
        length.to_string()
    } else {
        String::new()
    }
}

fn visit(visit: &Visit) -> VisitLine {
    let minutes = |time: Time| i64::from(time.hour()) * 60 + i64::from(time.minute());
    let shown = |time: Option<Time>| {
        time.map(|time| time.strftime("%H:%M").to_string())
            .unwrap_or_default()
    };
    let from = visit.from.map(minutes);
    let to = visit.to.map(minutes).map(|to| match from {
        Some(from) if to <= from => to + DAY,
        _ => to,
    });
    VisitLine {
        kind: visit.kind.word().to_owned(),
        shown: visit.kind.shown().to_owned(),
        from,
        to,
        from_shown: shown(visit.from),
        to_shown: shown(visit.to),
        length: visit.minutes().to_string(),
        rest: or_empty(visit.rest),
    }
}

fn tasks(diary: &Diary, job: &Job) -> Vec<TaskLine> {
    let own = Unit::Job;
    let mut lines: Vec<TaskLine> = worked(job.visits.iter())
        .into_iter()
        .map(|(key, worked)| {
            let kind = diary.settings.tasks.get(key);
            // A task type that the diary does not know still counts; nobody knows what its unit would be.
            let unit = kind.map_or(&own, |kind| &kind.unit);
            TaskLine {
                name: kind.map_or(key, |kind| &kind.name).to_owned(),
                count: worked
                    .divisor(unit)
                    .map(|count| counted(count, unit))
                    .unwrap_or_default(),
                time: or_empty(worked.minutes),
                minutes: worked.minutes.get(),
                each: worked
                    .each(unit)
                    .map(|each| format!("{each:.0}"))
                    .unwrap_or_default(),
            }
        })
        .collect();
    lines.sort_by(|a, b| b.minutes.cmp(&a.minutes).then_with(|| a.name.cmp(&b.name)));
    lines
}

fn counted(count: f64, unit: &Unit) -> String {
    let number = number(count);
    match unit {
        Unit::Each | Unit::Job | Unit::Circuit => number,
        Unit::Metre => format!("{number} m"),
        Unit::Other(word) => format!("{number} {word}"),
    }
}

/// A count without noughts at its end, to the thousandth.
pub(super) fn number(count: f64) -> String {
    format!("{}", (count * 1000.0).round() / 1000.0)
}

fn findings(job: &Job) -> Vec<FindingLine> {
    in_order(job)
        .map(|finding| FindingLine {
            code: finding.code.shown().to_owned(),
            mark: mark(finding.code),
            meaning: finding.code.meaning().to_owned(),
            words: words(finding),
        })
        .collect()
}

/// Findings that readers see, gravest first, then as written.
fn in_order(job: &Job) -> impl Iterator<Item = &Finding> {
    FindingCode::ALL.into_iter().flat_map(|code| {
        job.findings
            .iter()
            .filter(move |finding| finding.code == code && !finding.private)
    })
}

fn found(job: &Job) -> Vec<Found> {
    FindingCode::ALL
        .into_iter()
        .map(|code| Found {
            code: code.shown().to_owned(),
            mark: mark(code),
            count: in_order(job).filter(|finding| finding.code == code).count(),
        })
        .filter(|found| found.count > 0)
        .collect()
}

fn mark(code: FindingCode) -> String {
    code.shown().to_lowercase()
}

/// `Casing smashed (pontoon). Locked off at the feeder. Told yard manager in person and by email.` Says which role was
/// told and never who or when.
fn words(finding: &Finding) -> String {
    let mut sentences = vec![finding.what_and_where()];
    sentences.extend(finding.done.as_ref().map(|done| done.value.clone()));
    if let Some(told) = &finding.told {
        let how = told.how_in_words();
        let parts = [told.role.as_deref(), how.as_deref()];
        let parts: Vec<&str> = parts
            .into_iter()
            .flatten()
            .map(str::trim)
            .filter(|part| !part.is_empty())
            .collect();
        sentences.push(
            ["Told"]
                .into_iter()
                .chain(parts)
                .collect::<Vec<_>>()
                .join(" "),
        );
    }
    let sentences: Vec<String> = sentences
        .iter()
        .map(|text| sentence(text))
        .filter(|text| !text.is_empty())
        .collect();
    sentences.join(" ")
}

/// A text with a capital in front and a stop behind; empty for an empty one.
pub(super) fn sentence(text: &str) -> String {
    let text = text.trim();
    let mut chars = text.chars();
    let Some(first) = chars.next() else {
        return String::new();
    };
    let stop = if text.ends_with(['.', '!', '?', '…', '”', '"']) {
        ""
    } else {
        "."
    };
    first.to_uppercase().chain(chars).collect::<String>() + stop
}

/// Materials without what they cost; `review` gives the address of an item's review, or nothing.
pub(super) fn materials(job: &Job, review: impl Fn(&str) -> String) -> Vec<MaterialLine> {
    job.materials
        .iter()
        .map(|material| MaterialLine {
            item: material.item.value.clone(),
            count: material.how_many(),
            review: review(&material.item.value),
        })
        .collect()
}

/// Readings beside the figures they were held against, circuits by the names that the gate lets through.
pub(super) fn readings(diary: &Diary, job: &Job, gate: &Gate) -> Vec<ReadingLine> {
    let figures = Figures::with_own(&diary.settings.figures);
    gate.circuits(job)
        .into_iter()
        .zip(&job.readings)
        .zip(held(&job.readings, &figures))
        .map(|((circuit, reading), values)| ReadingLine {
            circuit,
            device: reading
                .device
                .as_ref()
                .map(|at| device(&at.value))
                .unwrap_or_default(),
            values,
            as_found: reading.as_found,
        })
        .collect()
}

/// `C16`, `BS 3036 30 A`, `16 A`, `C`.
fn device(device: &Device) -> String {
    let rating = device.rating.map(number);
    match (device.kind.as_deref(), rating) {
        (None, None) => String::new(),
        (None, Some(rating)) => format!("{rating} A"),
        (Some(kind), None) => kind.to_owned(),
        (Some(kind), Some(rating)) if kind.chars().count() == 1 => format!("{kind}{rating}"),
        (Some(kind), Some(rating)) => format!("{kind} {rating} A"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_device_is_named_as_the_trade_names_it() {
        let named = |kind: Option<&str>, rating| {
            device(&Device {
                kind: kind.map(str::to_owned),
                rating,
            })
        };
        assert_eq!(named(Some("C"), Some(16.0)), "C16");
        assert_eq!(named(Some("BS 3036"), Some(30.0)), "BS 3036 30 A");
        assert_eq!(named(None, Some(6.0)), "6 A");
        assert_eq!(named(Some("B"), None), "B");
        assert_eq!(named(None, None), "");
    }

    #[test]
    fn counts_have_no_noughts_at_their_end() {
        assert_eq!(number(24.0), "24");
        assert_eq!(number(1.5), "1.5");
        assert_eq!(number(0.1 + 0.2), "0.3");
        assert_eq!(counted(24.0, &Unit::Metre), "24 m");
        assert_eq!(counted(2.0, &Unit::Each), "2");
    }

    #[test]
    fn minutes_are_divided_by_what_was_counted_and_by_nothing_else() {
        let each = |minutes, count| {
            let minutes = Minutes::new(minutes);
            let worked = Worked { minutes, count };
            [Unit::Metre, Unit::Job].map(|unit| worked.each(&unit))
        };
        // Of a job there is one where no count is written; of cable nobody knows how much.
        assert_eq!(each(90, None), [None, Some(90.0)]);
        assert_eq!(each(90, Some(4.0)), [Some(22.5), Some(22.5)]);
        assert_eq!(each(90, Some(0.0)), [None, None]);
        assert_eq!(each(0, Some(4.0)), [None, None]);
    }

    #[test]
    fn a_visit_that_ends_by_the_clock_it_began_at_ends_the_next_day() {
        let ends = |from, to| {
            let times = format!("- {{date: 2026-03-02, from: {from}, to: {to}}}");
            let log = format!("---\ntitle: A\nref: a\nvisits:\n  {times}\n---\n");
            let read = crate::diary::read_files(vec![("jobs/a.md".to_owned(), log.into_bytes())]);
            visit(&read.diary.jobs[0].visits[0]).to
        };
        // Minutes from the midnight before; a day has 1,440.
        assert_eq!(ends("08:00", "08:01"), Some(481));
        assert_eq!(ends("08:00", "07:59"), Some(1919));
        assert_eq!(ends("08:00", "08:00"), Some(1920));
    }

    #[test]
    fn sentences_begin_and_end_as_sentences_do() {
        assert_eq!(
            sentence(" locked off, notice left "),
            "Locked off, notice left."
        );
        assert_eq!(sentence("Done!"), "Done!");
        assert_eq!(sentence("C1"), "C1.");
        assert_eq!(sentence(""), "");
    }
}
