//! Other time on site: unloading, finding the board, clearing up. It is real, and a price that leaves it out is short.

use jiff::civil::Date;

use crate::model::{Diary, Job, Visit, VisitKind};
use crate::numbers::quantile::Sorted;

/// Visits that other time can be told of: planned, with their own length, and a task that was timed.
fn tells(visit: &Visit) -> bool {
    let has_length = visit.elapsed.is_some() || visit.time.is_some();
    visit.kind == VisitKind::Planned
        && has_length
        && visit.tasks.iter().any(|task| task.time.is_some())
}

/// Minutes of other time of each such visit up to a day, with the visit's day and its job, in order of day.
pub(super) fn each(diary: &Diary, as_of: Date) -> Vec<(Date, &Job, f64)> {
    let mut all: Vec<(Date, &Job, f64)> = diary
        .jobs
        .iter()
        .flat_map(|job| job.visits.iter().map(move |visit| (job, visit)))
        .filter(|(_, visit)| tells(visit))
        .map(|(job, visit)| {
            (
                visit.date.in_office().value,
                job,
                visit.other_minutes().as_f64(),
            )
        })
        .filter(|(day, _, _)| *day <= as_of)
        .collect();
    all.sort_by_key(|(day, _, _)| *day);
    all
}

/// The median other minutes of a planned visit; `None` without any.
pub(super) fn median(each: &[(Date, &Job, f64)]) -> Option<f64> {
    Sorted::new(each.iter().map(|(_, _, minutes)| *minutes).collect()).map(|all| all.median())
}
