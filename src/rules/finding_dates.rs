//! A finding told of or put right on a day before the visit that found it: one of the two dates is a slip.
//!
//! Common sense, no source. A C1 told too late is a rule of its own.

use std::collections::HashMap;

use jiff::civil::Date;

use crate::diagnose::{Code, Diagnostic};
use crate::model::{At, Diary, Finding, Job};

use super::{day, seen_at};

/// At most one warning for each of the two dates of each finding.
pub fn check(diary: &Diary, said: &mut Vec<Diagnostic>) {
    // A call-out of its own log may have seen what the job that it led to puts right.
    let mut led_here: HashMap<&str, Date> = HashMap::new();
    for job in &diary.jobs {
        let (Some(led_to), Some(first)) = (&job.led_to, job.visits.iter().map(day).min()) else {
            continue;
        };
        let earliest = led_here.entry(&led_to.in_office().value).or_insert(first);
        *earliest = first.min(*earliest);
    }
    for job in diary.jobs.iter().filter(|job| !job.has_error) {
        let before = led_here.get(job.reference.in_office().value.as_str());
        for finding in &job.findings {
            let told = finding.told.as_ref().and_then(|told| told.on.as_ref());
            let put_right = finding.put_right.as_ref();
            for (date, done) in [(told, "told of"), (put_right, "put right")] {
                said.extend(
                    date.and_then(|date| {
                        before_found(job, finding, date.in_office(), done, before)
                    }),
                );
            }
        }
    }
}

/// Where the log does not say which visit saw it, it cannot have been seen before the first, nor before `led_here`,
/// the first visit of a call-out that led to this job.
fn before_found(
    job: &Job,
    finding: &Finding,
    date: &At<Date>,
    done: &str,
    led_here: Option<&Date>,
) -> Option<Diagnostic> {
    let named = seen_at(job, finding).filter(|_| finding.visit.is_some());
    let visit = named.or_else(|| job.visits.iter().min_by_key(|visit| day(visit)))?;
    let found = day(visit);
    if date.value >= found || named.is_none() && led_here.is_some_and(|first| date.value >= *first)
    {
        return None;
    }
    let message = match (named, job.visits.len()) {
        (Some(_), _) => format!("this was {done} on {}, and found on {found}", date.value),
        (None, 1) => format!(
            "this was {done} on {}, before the visit on {found}",
            date.value
        ),
        (None, _) => format!(
            "this was {done} on {}, before the first visit on {found}",
            date.value
        ),
    };
    let help = "Check both dates. If an earlier visit saw it, write that visit too; if a call-out of another log did, \
                write there for: and this job's ref.";
    Some(
        Diagnostic::warning(Code::BeforeFound, date.span, message, help)
            .also(visit.span, "the visit"),
    )
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::{told, told_of};

    fn with(visits: &str, finding: &str) -> String {
        told(&format!(
            "visits: [{visits}]\nfindings:\n  - {{what: Board open, done: closed, code: C2, {finding}}}\n"
        ))
    }

    #[test]
    fn told_before_it_was_found_is_asked_about() {
        insta::assert_snapshot!(with(
            "{date: 2026-11-12, time: 2h}",
            "told: {who: owner, on: 2026-10-12, how: by email}"
        ), @r#"
        jobs/2026/a.md, line 7: warning: this was told of on 2026-10-12, before the visit on 2026-11-12.
            7 |   - {what: Board open, done: closed, code: C2, told: {who: owner, on: 2026-10-12, how: by email}}
              |                                                                       ^^^^^^^^^^
          line 5: the visit
            5 | visits: [{date: 2026-11-12, time: 2h}]
              |                 ----------
        Check both dates. If an earlier visit saw it, write that visit too; if a
        call-out of another log did, write there for: and this job's ref. (before-found)

        1 warning.
        "#);
        assert_eq!(
            with(
                "{date: 2026-11-12, time: 2h}",
                "told: {who: owner, on: 2026-11-12, how: by email}, put_right: 2026-11-12"
            ),
            ""
        );
    }

    #[test]
    fn put_right_before_the_visit_that_it_names_is_asked_about() {
        let visits = "{date: 2026-11-02, time: 2h}, {date: 2026-11-12, time: 2h}";
        let told = "told: {who: owner, on: 2026-11-12, how: by email}, put_right: 2026-11-04";
        insta::assert_snapshot!(with(visits, &format!("{told}, visit: 2026-11-12")), @r#"
        jobs/2026/a.md, line 7: warning: this was put right on 2026-11-04, and found on 2026-11-12.
            7 |   - {what: Board open, done: closed, code: C2, told: {who: owner, on: 2026-11-12, how: by email}, put_right: 2026-11-04, visit: 2026-...
              |                                                                                                              ^^^^^^^^^^
          line 5: the visit
            5 | visits: [{date: 2026-11-02, time: 2h}, {date: 2026-11-12, time: 2h}]
              |                                               ----------
        Check both dates. If an earlier visit saw it, write that visit too; if a
        call-out of another log did, write there for: and this job's ref. (before-found)

        1 warning.
        "#);
        assert_eq!(with(visits, told), "", "the first visit may have seen it");
        insta::assert_snapshot!(with(visits, &told.replace("11-04", "11-01")), @r#"
        jobs/2026/a.md, line 7: warning: this was put right on 2026-11-01, before the first visit on 2026-11-02.
            7 |   - {what: Board open, done: closed, code: C2, told: {who: owner, on: 2026-11-12, how: by email}, put_right: 2026-11-01}
              |                                                                                                              ^^^^^^^^^^
          line 5: the visit
            5 | visits: [{date: 2026-11-02, time: 2h}, {date: 2026-11-12, time: 2h}]
              |                 ----------
        Check both dates. If an earlier visit saw it, write that visit too; if a
        call-out of another log did, write there for: and this job's ref. (before-found)

        1 warning.
        "#);
    }

    #[test]
    fn what_a_call_out_of_another_log_saw_may_be_told_before_the_job() {
        let job = "---\ntitle: A job\nref: 2026-002\nlocation: shop\nvisits: [{date: 2026-11-12, time: 2h}]\nfindings:\n  \
                   - {what: Board open, done: closed, code: C2, told: {who: owner, on: 2026-11-02, how: by email}}\n\
                   ---\n\nWords.\n";
        let call_out = "---\ntitle: A call\nref: 2026-001\nlocation: shop\nfor: 2026-002\nvisits: [{date: DAY, kind: \
                        call-out, time: 1h}]\n---\n\nWords.\n";
        let said = |day: &str| {
            let call_out = call_out.replace("DAY", day);
            told_of(&[("jobs/2026/a.md", job), ("jobs/2026/b.md", &call_out)])
        };
        assert_eq!(said("2026-11-02"), "");
        assert!(said("2026-11-03").contains("(before-found)"));
    }
}
