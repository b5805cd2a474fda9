//! Two visits at once, and two visits with less time between them than the drive takes. One person keeps the diary.

use jiff::Timestamp;

use crate::diagnose::{Code, Diagnostic};
use crate::model::page::folded;
use crate::model::{Diary, Job, Visit};

use super::{day, last_day};

/// A visit with clock times, and its job.
struct Attendance<'a> {
    start: Timestamp,
    end: Timestamp,
    job: &'a Job,
    visit: &'a Visit,
}

/// An error for each visit that begins before an earlier one has ended; a warning for each that begins, on the same
/// day, sooner after another job's than half of its travel there and back. Visits without clock times are not
/// looked at, and those that touch do not overlap.
///
/// One pass in order of beginning: each visit is held against the one so far that ends last, so a whole diary of
/// visits at one hour gives as many errors as visits and not as many as pairs.
pub fn check(diary: &Diary, said: &mut Vec<Diagnostic>) {
    let mut all: Vec<Attendance<'_>> = diary
        .jobs
        .iter()
        .flat_map(|job| job.visits.iter().map(move |visit| (job, visit)))
        .filter_map(|(job, visit)| {
            let (start, end) = *visit.instants.as_ref()?.in_office();
            Some(Attendance {
                start,
                end,
                job,
                visit,
            })
        })
        .collect();
    all.sort_by_key(|it| (it.start, it.end, it.visit.span));
    let mut latest: Option<&Attendance<'_>> = None;
    for it in &all {
        if let Some(earlier) = latest {
            said.extend(overlap(earlier, it).or_else(|| too_close(earlier, it)));
        }
        if latest.is_none_or(|earlier| it.end > earlier.end) {
            latest = Some(it);
        }
    }
}

fn overlap(earlier: &Attendance<'_>, it: &Attendance<'_>) -> Option<Diagnostic> {
    (it.start < earlier.end).then(|| {
        Diagnostic::error(
            Code::VisitsOverlap,
            it.visit.span,
            format!(
                "this visit ({}) begins before another has ended",
                clock(it.visit)
            ),
            "Nobody is in two places at once. Correct the date or a time of one of them.",
        )
        .also(
            earlier.visit.span,
            format!("the other ({})", clock(earlier.visit)),
        )
    })
}

fn too_close(earlier: &Attendance<'_>, it: &Attendance<'_>) -> Option<Diagnostic> {
    let travel = it.visit.travel.as_ref()?.in_office().time?;
    let one_day = last_day(earlier.visit) == day(it.visit);
    if !one_day || earlier.job.file == it.job.file || same_place(earlier.job, it.job) {
        return None;
    }
    let between = it.start.duration_since(earlier.end).as_mins();
    // The travel is there and back; the gap is held against half of it, without halving an odd number of minutes.
    (between * 2 < travel.get()).then(|| {
        Diagnostic::warning(
            Code::VisitsTooClose,
            it.visit.span,
            format!(
                "this visit begins {between} min after another job's ends, sooner than its drive there (half of {travel})"
            ),
            "Check from and to of both, and the travel time: it is for the whole trip, there and back.",
        )
        .also(earlier.visit.span, format!("the visit before it ({})", clock(earlier.visit)))
    })
}

fn same_place(a: &Job, b: &Job) -> bool {
    match (&a.place, &b.place) {
        (Some(a), Some(b)) => folded(a.in_office()) == folded(b.in_office()),
        _ => false,
    }
}

/// `08:15 to 17:00`.
fn clock(visit: &Visit) -> String {
    match (visit.from, visit.to) {
        (Some(from), Some(to)) => format!("{} to {}", from.strftime("%H:%M"), to.strftime("%H:%M")),
        _ => day(visit).to_string(),
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::told_of;

    fn two(first: &str, second: &str) -> String {
        let log = |reference: &str, visit: &str| {
            format!(
                "---\ntitle: Job {reference}\nref: {reference}\nlocation: shop\nvisits:\n  - {{date: {visit}}}\n---\n\nWords.\n"
            )
        };
        told_of(&[
            ("jobs/2026/a.md", &log("2026-001", first)),
            ("jobs/2026/b.md", &log("2026-002", second)),
        ])
    }

    #[test]
    fn two_visits_at_once_in_two_logs_are_shown_in_both() {
        insta::assert_snapshot!(two("2026-05-01, from: 09:00, to: 12:00", "2026-05-01, from: 11:30, to: 13:00"), @r#"
        jobs/2026/b.md, line 6: this visit (11:30 to 13:00) begins before another has ended.
            6 |   - {date: 2026-05-01, from: 11:30, to: 13:00}
              |            ^^^^^^^^^^
          jobs/2026/a.md, line 6: the other (09:00 to 12:00)
            6 |   - {date: 2026-05-01, from: 09:00, to: 12:00}
              |            ----------
        Nobody is in two places at once. Correct the date or a time of one of them. (visits-overlap)

        1 error.
        "#);
    }

    #[test]
    fn a_night_runs_into_the_next_morning() {
        assert!(
            two(
                "2026-05-01, from: 22:00, to: 02:00",
                "2026-05-02, from: 01:00, to: 03:00"
            )
            .contains("(visits-overlap)")
        );
    }

    #[test]
    fn visits_that_touch_do_not_overlap() {
        assert_eq!(
            two(
                "2026-05-01, from: 09:00, to: 12:00",
                "2026-05-01, from: 12:00, to: 13:00"
            ),
            ""
        );
    }

    #[test]
    fn less_time_than_the_drive_is_asked_about() {
        insta::assert_snapshot!(two(
            "2026-05-01, from: 09:00, to: 12:00",
            "2026-05-01, from: 12:10, to: 13:00, travel: {time: 41m}"
        ), @r#"
        jobs/2026/b.md, line 6: warning: this visit begins 10 min after another job's ends, sooner than its drive there (half of 41 min).
            6 |   - {date: 2026-05-01, from: 12:10, to: 13:00, travel: {time: 41m}}
              |            ^^^^^^^^^^
          jobs/2026/a.md, line 6: the visit before it (09:00 to 12:00)
            6 |   - {date: 2026-05-01, from: 09:00, to: 12:00}
              |            ----------
        Check from and to of both, and the travel time: it is for the whole trip, there
        and back.                                                       (visits-too-close)

        1 warning.
        "#);
        assert_eq!(
            two(
                "2026-05-01, from: 09:00, to: 12:00",
                "2026-05-01, from: 12:10, to: 13:00, travel: {time: 20m}"
            ),
            ""
        );
    }

    #[test]
    fn three_visits_at_one_hour_give_two_errors() {
        let visits = "visits:\n  - {date: 2026-05-01, from: 09:00, to: 12:00}\n  - {date: 2026-05-01, from: 09:00, to: 12:00}\n  - {date: 2026-05-01, from: 09:00, to: 12:00}\n";
        assert!(crate::rules::bench::told(visits).ends_with("2 errors.\n"));
    }
}
