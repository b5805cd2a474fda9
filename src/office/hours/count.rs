//! The record of a span counted: visits, minutes, and one observation for each job and task type.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::model::{Diary, Job, Minutes, Private, Travel, Visit, VisitKind};

/// A span of days, both ends within it; an open end is `None`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    /// First day.
    pub from: Option<Date>,
    /// Last day.
    pub to: Date,
}

impl Span {
    /// Whether a visit falls in it.
    pub fn holds(self, visit: &Visit) -> bool {
        let date = visit.date.in_office().value;
        self.from.is_none_or(|from| from <= date) && date <= self.to
    }
}

/// One job's minutes on one task type, divided by its count.
#[derive(Clone, Debug)]
pub struct Observation<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its ref.
    pub reference: &'a str,
    /// Day of its first visit that counts here.
    pub date: Date,
    /// Summed minutes.
    pub minutes: Minutes,
    /// Summed count; 1 where none is written.
    pub count: f64,
}

impl Observation<'_> {
    /// Minutes each.
    pub fn each(&self) -> f64 {
        self.minutes.as_f64() / self.count
    }
}

/// A task type's part of the record.
#[derive(Clone, Debug, Default)]
pub struct Tally<'a> {
    /// All minutes on it, free returns and uncounted metres too.
    pub minutes: Minutes,
    /// Observations in order of ref.
    pub observations: Vec<Observation<'a>>,
}

/// Every task type's part, by key.
pub fn tallies<'a>(diary: &'a Diary, span: Span) -> BTreeMap<&'a str, Tally<'a>> {
    let mut all: BTreeMap<&str, Tally<'a>> = BTreeMap::new();
    for job in &diary.jobs {
        for (key, part) in of_job(job, span) {
            let tally = all.entry(key).or_default();
            tally.minutes = tally.minutes + part.all_minutes;
            let one_is_meant = diary
                .settings
                .tasks
                .get(key)
                .is_none_or(|task| task.unit.counts_as_one());
            // Metres that nobody counted are in the totals, and in no figure for one metre.
            let minutes = if one_is_meant {
                part.minutes
            } else {
                part.counted
            };
            let count = if part.count > 0.0 {
                Some(part.count)
            } else {
                one_is_meant.then_some(1.0)
            };
            if let (Some(count), Some(date)) = (count, part.date)
                && minutes > Minutes::NOUGHT
            {
                tally.observations.push(Observation {
                    job,
                    reference: &job.reference.in_office().value,
                    date,
                    minutes,
                    count,
                });
            }
        }
    }
    all
}

/// One job's part of a task type.
#[derive(Default)]
struct Part {
    all_minutes: Minutes,
    minutes: Minutes,
    /// Of those, the minutes of lines with a count.
    counted: Minutes,
    count: f64,
    date: Option<Date>,
}

fn of_job(job: &Job, span: Span) -> BTreeMap<&str, Part> {
    let mut parts: BTreeMap<&str, Part> = BTreeMap::new();
    for visit in job.visits.iter().filter(|visit| span.holds(visit)) {
        for task in &visit.tasks {
            let Some(time) = task.time else { continue };
            let part = parts.entry(task.key.value.as_str()).or_default();
            part.all_minutes = part.all_minutes + time;
            // A free return puts right what was done: its minutes say nothing of how long the task takes.
            if visit.kind != VisitKind::Guarantee {
                part.minutes = part.minutes + time;
                if task.count.is_some() {
                    part.counted = part.counted + time;
                }
                part.count += task.count.unwrap_or_default();
                part.date.get_or_insert(visit.date.in_office().value);
            }
        }
    }
    parts
}

/// Travelling time of a visit.
pub fn travel(visit: &Visit) -> Minutes {
    visit
        .travel
        .as_ref()
        .map(Private::in_office)
        .and_then(|travel: &Travel| travel.time)
        .unwrap_or(Minutes::NOUGHT)
}
