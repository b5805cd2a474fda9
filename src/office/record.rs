//! The record as the pricing kernel reads it: one row for each job and task type, keys as numbers.
//!
//! Rows are those of the hours report: minutes over all visits but the free returns, metres that nobody counted left
//! out. Fits nothing.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::model::{Diary, Job};
use crate::numbers::record::Observation;

use super::hours::DAYS_OF_YEAR;
use super::hours::count::{Span, tallies};

/// What every price and back-test is reckoned from.
pub(super) struct Record<'a> {
    /// Task types that were ever timed, in order of key.
    pub(super) tasks: Vec<&'a str>,
    /// Location types of `diary.yaml` and of the logs, in order of key.
    locations: Vec<&'a str>,
    /// Jobs that a row speaks of, in order of ref.
    pub(super) jobs: Vec<&'a Job>,
    /// The rows, by task and then by ref.
    pub(super) rows: Vec<Observation>,
    /// Changes with every row.
    pub(super) digest: blake3::Hash,
}

impl<'a> Record<'a> {
    /// The record up to a day.
    pub(super) fn of(diary: &'a Diary, as_of: Date) -> Self {
        let span = Span {
            from: None,
            to: as_of,
        };
        let tallies = tallies(diary, span);
        let of_jobs = diary.jobs.iter().filter_map(|job| job.location.as_ref());
        let of_jobs = of_jobs.map(|location| location.value.as_str());
        let locations: BTreeSet<&str> = diary
            .settings
            .locations
            .keys()
            .map(String::as_str)
            .chain(of_jobs)
            .collect();
        let observations = || tallies.values().flat_map(|tally| &tally.observations);
        let refs: BTreeSet<&str> = observations().map(|one| one.reference).collect();
        let refs: Vec<&str> = refs.into_iter().collect();
        let mut record = Record {
            tasks: tallies.keys().copied().collect(),
            locations: locations.into_iter().collect(),
            jobs: Vec::with_capacity(refs.len()),
            rows: Vec::new(),
            digest: blake3::hash(b""),
        };
        let by_ref = diary.jobs.iter().filter(|job| {
            refs.binary_search(&job.reference.in_office().value.as_str())
                .is_ok()
        });
        record.jobs.extend(by_ref);
        let mut hasher = blake3::Hasher::new();
        for (task, (key, tally)) in tallies.iter().enumerate() {
            for one in &tally.observations {
                let job = refs
                    .binary_search(&one.reference)
                    .expect("every ref is among them");
                let location = one.job.location.as_ref().map(|at| at.value.as_str());
                record.rows.push(Observation {
                    job,
                    task,
                    location: record.location(location),
                    count: one.count,
                    age: f64::from((one.date - as_of).get_days()) / DAYS_OF_YEAR,
                    minutes: one.minutes.as_f64(),
                });
                for part in [
                    key,
                    one.reference,
                    location.unwrap_or_default(),
                    &one.date.to_string(),
                ] {
                    hasher.update(part.as_bytes()).update(b"\n");
                }
                hasher.update(&one.count.to_le_bytes());
                hasher.update(&one.minutes.get().to_le_bytes());
            }
        }
        record.digest = hasher.finalize();
        record
    }

    /// The number of a task type; `None` for one that was never timed.
    pub(super) fn task(&self, key: &str) -> Option<usize> {
        self.tasks.binary_search(&key).ok()
    }

    /// The number of a location type; the last, one more of its kind, for none and for one that nothing names.
    pub(super) fn location(&self, key: Option<&str>) -> usize {
        let known = key.and_then(|key| self.locations.binary_search(&key).ok());
        known.unwrap_or(self.locations.len())
    }

    /// How many location types there are, with the one for jobs that have none.
    pub(super) fn location_count(&self) -> usize {
        self.locations.len() + 1
    }
}
