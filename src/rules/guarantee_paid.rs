//! Free returns that are charged, and paid work on what a guarantee still covers.
//!
//! Common practice of the trade, no source.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::diagnose::{Code, Diagnostic};
use crate::model::page::folded;
use crate::model::{Diary, Job, Money, Quoted, Settings, Unit, VisitKind};
use crate::trade::dates;

use super::{day, finished};

/// At most one warning for each job.
///
/// A paid visit is held against the guarantee only of work on the same task type at the same place (the same
/// client, where the log gives no place), so that the many jobs of one good client stay quiet. So do planned visits of
/// a job that was quoted, which is new work by agreement; and a task counted by the job or by the circuit (finding a
/// fault, testing, a report), which leaves nothing behind that a guarantee could cover.
pub fn check(diary: &Diary, said: &mut Vec<Diagnostic>) {
    let covered = covered(diary);
    for job in &diary.jobs {
        if !is_charged(job) {
            continue;
        }
        said.extend(
            free_return_charged(job).or_else(|| paid_inside(&diary.settings, &covered, job)),
        );
    }
}

fn free_return_charged(job: &Job) -> Option<Diagnostic> {
    let all_free = !job.visits.is_empty()
        && job
            .visits
            .iter()
            .all(|visit| visit.kind == VisitKind::Guarantee);
    let charged = job.charged.as_ref()?.in_office();
    all_free.then(|| {
        Diagnostic::warning(
            Code::FreeReturnCharged,
            charged.span,
            "this job is free returns alone and it is charged",
            "If it was a guarantee, take charged away. If it was paid work, write kind: follow-up or kind: call-out \
             for the visit.",
        )
    })
}

/// Work under guarantee.
struct Cover<'a> {
    /// The day the work was finished.
    finished: Date,
    /// The last day of the longest guarantee among this work and all that was finished before it.
    until: Date,
    /// The job that gives it.
    job: &'a Job,
}

/// By place and task type, in order of the day of finishing.
type Covered<'a> = BTreeMap<(String, &'a str), Vec<Cover<'a>>>;

fn covered(diary: &Diary) -> Covered<'_> {
    let mut covered: Covered<'_> = BTreeMap::new();
    for job in &diary.jobs {
        let years = job
            .guarantee_years
            .as_ref()
            .map_or(diary.settings.guarantee_years, |years| years.value);
        let (Some(place), Some(last)) = (place_of(job), finished(job)) else {
            continue;
        };
        let finished = day(last);
        let Some(until) = dates::guarantee_end(finished, years) else {
            continue;
        };
        for task in lasting_tasks(&diary.settings, job) {
            let cover = Cover {
                finished,
                until,
                job,
            };
            covered
                .entry((place.clone(), task))
                .or_default()
                .push(cover);
        }
    }
    for list in covered.values_mut() {
        list.sort_by_key(|cover| cover.finished);
        for index in 1..list.len() {
            if list[index - 1].until > list[index].until {
                (list[index].until, list[index].job) = (list[index - 1].until, list[index - 1].job);
            }
        }
    }
    covered
}

fn paid_inside(settings: &Settings, covered: &Covered<'_>, job: &Job) -> Option<Diagnostic> {
    let place = place_of(job)?;
    for visit in &job.visits {
        let asked_about = match visit.kind {
            VisitKind::CallOut => true,
            // Work that was priced beforehand was asked for as new work, and knows its price.
            VisitKind::Planned => job.quoted.is_none(),
            VisitKind::Survey | VisitKind::FollowUp | VisitKind::Guarantee => false,
        };
        if !asked_about {
            continue;
        }
        for task in &visit.tasks {
            let Some(list) = covered.get(&(place.clone(), task.key.value.as_str())) else {
                continue;
            };
            // A job's own work is finished on the day of this visit or later, so it is never among these.
            let before = list.partition_point(|cover| cover.finished < day(visit));
            let Some(cover) = before.checked_sub(1).map(|index| &list[index]) else {
                continue;
            };
            let led_here = cover
                .job
                .led_to
                .as_ref()
                .is_some_and(|to| to.in_office().value == job.reference.in_office().value);
            if cover.until < day(visit) || led_here {
                continue;
            }
            let name = settings
                .tasks
                .get(&task.key.value)
                .map_or(task.key.value.as_str(), |known| &known.name);
            let earlier = cover.job.reference.in_office();
            return Some(
                Diagnostic::warning(
                    Code::PaidInsideGuarantee,
                    task.key.span,
                    format!(
                        "{} did the like here ({name}), its guarantee runs to {}, and this visit is paid",
                        earlier.value, cover.until
                    ),
                    "If it was a return to that work, write kind: guarantee. If it is other work, leave it.",
                )
                .also(earlier.span, "the earlier job"),
            );
        }
    }
    None
}

/// The task types of a job's own visits that leave something fitted behind, each once.
fn lasting_tasks<'a>(settings: &Settings, job: &'a Job) -> Vec<&'a str> {
    let mut keys: Vec<&str> = job
        .visits
        .iter()
        .filter(|visit| visit.kind != VisitKind::Guarantee)
        .flat_map(|visit| &visit.tasks)
        .map(|task| task.key.value.as_str())
        .filter(|key| {
            settings
                .tasks
                .get(*key)
                .is_some_and(|task| !matches!(task.unit, Unit::Job | Unit::Circuit))
        })
        .collect();
    keys.sort_unstable();
    keys.dedup();
    keys
}

/// What two jobs at one place have alike: the place as written, else the client.
fn place_of(job: &Job) -> Option<String> {
    let text = |of: &crate::model::Private<crate::model::At<String>>| folded(of.in_office());
    let place = job
        .place
        .as_ref()
        .map(|place| format!("place {}", text(place)));
    place.or_else(|| {
        job.client
            .as_ref()
            .map(|client| format!("client {}", text(client)))
    })
}

/// Whether money was asked for: a charge of nought is a note that nothing was.
fn is_charged(job: &Job) -> bool {
    let more_than_nought = |charged: &Quoted| {
        let parts = [&charged.labour, &charged.materials];
        parts
            .into_iter()
            .flatten()
            .any(|amount| amount.value > Money::NOUGHT)
    };
    job.charged
        .as_ref()
        .is_some_and(|charged| more_than_nought(charged.in_office()))
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::{told, told_of};

    fn two(first: &str, second: &str) -> String {
        let log = |reference: &str, rest: &str| {
            format!(
                "---\ntitle: Job {reference}\nref: {reference}\nlocation: shop\ncharged: {{labour: 84.00}}\n{rest}---\n\nWords.\n"
            )
        };
        told_of(&[
            ("jobs/2026/a.md", &log("2026-001", first)),
            ("jobs/2026/b.md", &log("2026-002", second)),
        ])
    }

    const LIGHTS: &str = "place: The Net Loft\nvisits: [{date: 2025-03-18, time: 2h, tasks: [{task: downlight, count: 4, time: 2h}]}]\n";

    #[test]
    fn a_charged_free_return_is_asked_about() {
        insta::assert_snapshot!(
            told("charged: {labour: 42.00}\nvisits: [{date: 2026-05-01, kind: guarantee, time: 1h}]\n"), @r#"
        jobs/2026/a.md, line 5: warning: this job is free returns alone and it is charged.
            5 | charged: {labour: 42.00}
              |          ^^^^^^^^^^^^^^^
        If it was a guarantee, take charged away. If it was paid work, write kind:
        follow-up or kind: call-out for the visit.                      (free-return-charged)

        1 warning.
        "#
        );
        assert_eq!(
            told(
                "charged: {labour: 0.00}\nvisits: [{date: 2026-05-01, kind: guarantee, time: 1h}]\n"
            ),
            ""
        );
    }

    #[test]
    fn paid_like_work_at_the_same_place_inside_the_guarantee_is_asked_about() {
        insta::assert_snapshot!(two(
            LIGHTS,
            "place: the net  loft\nvisits: [{date: 2026-05-01, time: 1h, tasks: [{task: downlight, count: 1, time: 1h}]}]\n"
        ), @r#"
        jobs/2026/b.md, line 7: warning: 2026-001 did the like here (Fit or change a downlight), its guarantee runs to 2031-03-17, and this visit is paid.
            7 | visits: [{date: 2026-05-01, time: 1h, tasks: [{task: downlight, count: 1, time: 1h}]}]
              |                                                      ^^^^^^^^^
          jobs/2026/a.md, line 3: the earlier job
            3 | ref: 2026-001
              |      --------
        If it was a return to that work, write kind: guarantee. If it is other work,
        leave it.                                                       (paid-inside-guarantee)

        1 warning.
        "#);
    }

    #[test]
    fn another_place_another_task_quoted_work_or_a_free_return_is_left_alone() {
        for second in [
            "place: The Sail Loft\nvisits: [{date: 2026-05-01, time: 1h, tasks: [{task: downlight, count: 1, time: 1h}]}]\n",
            "place: The Net Loft\nvisits: [{date: 2026-05-01, time: 1h, tasks: [{task: socket, count: 1, time: 1h}]}]\n",
            "place: The Net Loft\nvisits: [{date: 2026-05-01, time: 1h, tasks: [{task: fault-finding, time: 1h}]}]\n",
            "place: The Net Loft\nquoted: {hours: 1h, labour: 84.00}\nvisits: [{date: 2026-05-01, time: 1h, tasks: [{task: downlight, count: 1, time: 1h}]}]\n",
            "place: The Net Loft\nvisits: [{date: 2026-05-01, time: 1h}, {date: 2026-05-02, kind: guarantee, time: 1h, tasks: [{task: downlight, count: 1, time: 1h}]}]\n",
        ] {
            assert_eq!(two(LIGHTS, second), "", "{second}");
        }
    }

    #[test]
    fn the_last_day_of_the_guarantee_counts_and_the_day_after_does_not() {
        let first = format!("guarantee: {{years: 1}}\n{LIGHTS}");
        let second = |date: &str| {
            format!(
                "place: The Net Loft\nvisits: [{{date: {date}, time: 1h, tasks: [{{task: downlight, count: 1, time: 1h}}]}}]\n"
            )
        };
        assert!(two(&first, &second("2026-03-17")).contains("runs to 2026-03-17"));
        assert_eq!(two(&first, &second("2026-03-18")), "");
    }
}
