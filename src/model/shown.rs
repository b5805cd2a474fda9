//! What a job's private values give to readers without being shown themselves. Each says why it may.

use std::collections::HashMap;

use jiff::civil::Date;

use super::{Diary, Job};

impl Diary {
    /// Leaves out visits after a day, and jobs that have no other: what is left is the record up to that day.
    ///
    /// The dates decide and do not show. Whoever gets the rest cannot read one from it: the day is an input that the
    /// file names, and a job that is there says no more than that it had begun by then.
    pub fn keep_up_to(&mut self, day: Date) {
        for job in &mut self.jobs {
            job.visits
                .retain(|visit| visit.date.in_office().value <= day);
        }
        self.jobs.retain(|job| !job.visits.is_empty());
    }
}

/// Jobs by the path of their file.
///
/// A path is private: a file name may hold an address. Whoever asks already has the path (it stands in the text
/// that links to it) and gets a number back, so nothing is shown that was not known.
#[derive(Debug)]
pub struct JobPaths<'a> {
    numbers: HashMap<&'a str, usize>,
}

impl<'a> JobPaths<'a> {
    /// The paths of a list of jobs.
    pub fn of(jobs: &'a [Job]) -> Self {
        JobPaths {
            numbers: jobs
                .iter()
                .enumerate()
                .map(|(number, job)| (job.path.in_office().as_str(), number))
                .collect(),
        }
    }

    /// The number in the list of the job at a path relative to the diary; `None` where there is none.
    pub fn find(&self, path: &str) -> Option<usize> {
        self.numbers.get(path).copied()
    }
}
