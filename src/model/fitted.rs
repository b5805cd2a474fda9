//! How often a material was fitted and gone back to, over every job of a diary: counts and a month, no job named.
//!
//! The counts are taken from public and private jobs alike. A sum over jobs says nothing of who, where or on which day;
//! the month of the first is all that is said of any one.

use jiff::civil::Date;

use super::job::Month;
use super::page::folded;
use super::{Diary, Job, Material, VisitKind};

/// What a diary holds of one material up to a day.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitted {
    /// How many, in `unit`.
    pub count: f64,
    /// What it is counted in; `None` for pieces.
    pub unit: Option<String>,
    /// On how many jobs.
    pub jobs: usize,
    /// Month of the first of them.
    pub since: Month,
    /// How many were gone back to free because they had failed.
    pub came_back: usize,
    /// On how many jobs.
    pub jobs_back: usize,
    /// Jobs that had a free return and do not say whether it was this that had failed.
    pub unsaid: usize,
}

impl Diary {
    /// How many of an item were fitted up to a day; `None` where none was. Counted in the unit of its first line: metres
    /// and pieces are never added up.
    pub fn fitted(&self, item: &str, as_of: Date) -> Option<Fitted> {
        let item = folded(item);
        let latest = Month::of(as_of);
        let mut sum: Option<Fitted> = None;
        for job in &self.jobs {
            let Some(month) = job.month().filter(|month| *month <= latest) else {
                continue;
            };
            let mut lines: Vec<&Material> = job
                .materials
                .iter()
                .filter(|material| material.count > 0.0 && folded(&material.item) == item)
                .collect();
            let Some(first) = lines.first() else { continue };
            let unit = match &sum {
                Some(sum) => sum.unit.clone(),
                None => first.counted_in().map(str::to_owned),
            };
            lines.retain(|line| line.counted_in() == unit.as_deref());
            if lines.is_empty() {
                continue;
            }
            let here: f64 = lines.iter().map(|line| line.count).sum();
            let back: usize = lines.iter().map(|line| line.came_back_by(as_of)).sum();
            let sum = sum.get_or_insert(Fitted {
                count: 0.0,
                unit,
                jobs: 0,
                since: month,
                came_back: 0,
                jobs_back: 0,
                unsaid: 0,
            });
            sum.count += here;
            sum.jobs += 1;
            sum.since = sum.since.min(month);
            sum.came_back += back;
            sum.jobs_back += usize::from(back > 0);
            let unsaid =
                job.had_free_return(as_of) && lines.iter().all(|line| line.came_back.is_none());
            sum.unsaid += usize::from(unsaid);
        }
        sum
    }
}

impl Job {
    /// Whether it was gone back to free up to a day.
    fn had_free_return(&self, as_of: Date) -> bool {
        self.visits.iter().any(|visit| {
            visit.kind == VisitKind::Guarantee && visit.date.in_office().value <= as_of
        })
    }
}

impl Material {
    /// What it is counted in; `None` for pieces.
    pub fn counted_in(&self) -> Option<&str> {
        self.unit
            .as_deref()
            .filter(|unit| !matches!(*unit, "each" | ""))
    }

    fn came_back_by(&self, as_of: Date) -> usize {
        let days = self.came_back.as_ref().map(|days| days.in_office());
        days.map_or(0, |days| {
            days.iter().filter(|day| day.value <= as_of).count()
        })
    }
}
