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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diary::read_files;
    use jiff::civil::date;

    /// Each log: when its visits were, and its materials.
    fn diary(logs: &[(&str, &str)]) -> Diary {
        let settings = "title: x\nsite: {address: https://example.com, timezone: Europe/London}\n";
        let mut files = vec![("diary.yaml".to_owned(), settings.as_bytes().to_vec())];
        for (number, (visits, materials)) in logs.iter().enumerate() {
            let log = format!(
                "---\ntitle: x\nref: 2026-{number:03}\nvisits: [{visits}]\nmaterials: [{materials}]\n---\n"
            );
            files.push((format!("jobs/2026/{number}.md"), log.into_bytes()));
        }
        let read = read_files(files);
        assert!(
            !read
                .diagnostics
                .iter()
                .any(|each| each.level == crate::diagnose::Level::Error),
            "{:?}",
            read.diagnostics
        );
        read.diary
    }

    /// Seven lamps on three jobs. Two came back, both to the first job; the third had a free return that says nothing.
    fn lamps() -> Diary {
        diary(&[
            (
                "{date: 2026-01-10, time: 1h}, {date: 2026-03-12, kind: guarantee, time: 1h}, {date: 2026-05-02, kind: guarantee, time: 1h}",
                "{item: Lamp, count: 4, came_back: [2026-03-12, 2026-05-02]}",
            ),
            (
                "{date: 2026-02-01, time: 1h}",
                "{item: ' lamp', count: 2, unit: each, came_back: []}",
            ),
            (
                "{date: 2025-12-05, time: 1h}, {date: 2026-04-01, kind: guarantee, time: 1h}",
                "{item: Lamp, count: 1}",
            ),
            (
                "{date: 2025-11-05, time: 1h}",
                "{item: Wire, count: 5}, {item: Lamp, count: 0}",
            ),
            (
                "{date: 2026-02-05, time: 1h}",
                "{item: Lamp, count: 3, unit: m}",
            ),
            ("{date: 2026-06-01, time: 1h}", "{item: Lamp, count: 9}"),
        ])
    }

    #[test]
    fn what_was_fitted_is_counted_up_to_the_day() {
        let fitted = lamps().fitted("Lamp", date(2026, 5, 2));
        let expected = Fitted {
            count: 7.0,
            unit: None,
            jobs: 3,
            since: Month::of(date(2025, 12, 1)),
            came_back: 2,
            jobs_back: 1,
            unsaid: 1,
        };
        assert_eq!(fitted, Some(expected));
        assert_eq!(lamps().fitted("Clip", date(2026, 5, 2)), None);
    }

    #[test]
    fn what_came_back_counts_from_its_own_day() {
        let back = |day| {
            let fitted = lamps().fitted("lamp", day).expect("lamps");
            (fitted.came_back, fitted.jobs_back, fitted.unsaid)
        };
        assert_eq!(back(date(2026, 3, 11)), (0, 0, 0));
        assert_eq!(back(date(2026, 3, 12)), (1, 1, 0));
        assert_eq!(back(date(2026, 3, 31)), (1, 1, 0));
        assert_eq!(back(date(2026, 4, 1)), (1, 1, 1));
        assert_eq!(back(date(2026, 5, 1)), (1, 1, 1));
    }

    #[test]
    fn the_unit_of_the_first_line_is_the_one_counted() {
        let cable = diary(&[
            (
                "{date: 2026-01-10, time: 1h}",
                "{item: Cable, count: 12, unit: m}",
            ),
            ("{date: 2026-01-11, time: 1h}", "{item: Cable, count: 3}"),
        ]);
        let fitted = cable.fitted("Cable", date(2026, 5, 2)).expect("cable");
        assert_eq!((fitted.count, fitted.jobs), (12.0, 1));
        assert_eq!(fitted.unit.as_deref(), Some("m"));
    }
}
