//! Which guarantee each free return is under: its own log's, that of the job it says `for`, or none.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::model::{Diary, Job, Visit, VisitKind};
use crate::office::reckon::finished;

/// A log with some of its free returns.
pub(super) type Returns<'a> = (&'a Job, Vec<&'a Visit>);

/// The free returns up to the day, by what they belong to.
#[derive(Default)]
pub(super) struct Placed<'a> {
    /// Days of those under a guarantee, by the number of the job that has it.
    pub(super) of: BTreeMap<usize, Vec<Date>>,
    /// Those that cost something under a guarantee, as far as can be told: those of `of`, and those that name no job.
    pub(super) counted: Vec<Returns<'a>>,
    /// How many are under none.
    pub(super) outside: usize,
    /// Refs of logs of free returns alone that name no job.
    pub(super) not_placed: Vec<String>,
}

impl<'a> Placed<'a> {
    /// `spans` holds the first and the last day of each job's guarantee, in order of the diary's jobs.
    pub(super) fn of(diary: &'a Diary, spans: &[Option<(Date, Date)>], as_of: Date) -> Self {
        let by_ref: BTreeMap<&str, usize> = diary
            .jobs
            .iter()
            .enumerate()
            .map(|(number, job)| (job.reference.in_office().value.as_str(), number))
            .collect();
        let mut placed = Placed::default();
        for (number, job) in diary.jobs.iter().enumerate() {
            let returns = job.visits.iter().filter(|visit| is_return(visit, as_of));
            let returns: Vec<&Visit> = returns.collect();
            if returns.is_empty() {
                continue;
            }
            // A log of free returns alone says `for` which job.
            let owner = match (finished(job), &job.led_to) {
                (Some(_), _) => Some(number),
                (None, Some(led_to)) => by_ref.get(led_to.in_office().value.as_str()).copied(),
                (None, None) => None,
            };
            let Some(owner) = owner else {
                let reference = job.reference.in_office().value.clone();
                placed.not_placed.push(reference);
                placed.counted.push((job, returns));
                continue;
            };
            let (under, outside): (Vec<&Visit>, Vec<&Visit>) = returns
                .into_iter()
                .partition(|visit| spans[owner].is_some_and(|span| is_within(span, visit)));
            placed.outside += outside.len();
            let days = under.iter().map(|visit| visit.date.in_office().value);
            placed.of.entry(owner).or_default().extend(days);
            placed.counted.push((job, under));
        }
        placed.not_placed.sort_unstable();
        placed
    }
}

fn is_within((from, until): (Date, Date), visit: &Visit) -> bool {
    (from..=until).contains(&visit.date.in_office().value)
}

fn is_return(visit: &Visit, as_of: Date) -> bool {
    visit.kind == VisitKind::Guarantee && visit.date.in_office().value <= as_of
}
