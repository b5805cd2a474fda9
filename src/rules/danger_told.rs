//! A C1 told on a later day than it was found, or a C1 or C2 told by telephone and by nothing that leaves a copy.
//!
//! Telling at once and in writing is common practice of the trade, no source.

use crate::diagnose::{Code, Diagnostic};
use crate::model::{Finding, FindingCode, Job, Told};

use super::{day, days_between, last_day, named, say_days, seen_at};

/// At most one warning of each of the two kinds for each finding.
pub fn check(job: &Job, said: &mut Vec<Diagnostic>) {
    for finding in &job.findings {
        let Some(told) = &finding.told else { continue };
        if finding.code == FindingCode::C1 {
            said.extend(told_late(job, finding, told));
        }
        if matches!(finding.code, FindingCode::C1 | FindingCode::C2) {
            said.extend(told_by_phone(finding, told));
        }
    }
}

fn told_late(job: &Job, finding: &Finding, told: &Told) -> Option<Diagnostic> {
    let help = "A C1 is told the day it is found. Check the date, or write under done what kept people away from it \
                until they were told.";
    let Some(on) = &told.on else {
        return told.who.as_ref().map(|_| {
            Diagnostic::warning(
                Code::DangerToldLate,
                told.span,
                "the log does not say on which day the C1 was told",
                "Write on: and the date. A C1 is told the day it is found.",
            )
        });
    };
    let on = on.in_office();
    if let Some(visit) = seen_at(job, finding) {
        let late = days_between(day(visit), on.value);
        return (on.value > last_day(visit)).then(|| {
            Diagnostic::warning(
                Code::DangerToldLate,
                on.span,
                format!(
                    "a C1 found on {} was told {} later",
                    day(visit),
                    say_days(late)
                ),
                help,
            )
        });
    }
    // The log does not say which visit saw it. Told on the day of some visit, it may have been that one; told on
    // a day without a visit, it was told late whichever visit it was.
    let first = job.visits.iter().map(day).min()?;
    let on_a_visit = job
        .visits
        .iter()
        .any(|visit| day(visit) <= on.value && on.value <= last_day(visit));
    (on.value > first && !on_a_visit).then(|| {
        Diagnostic::warning(
            Code::DangerToldLate,
            on.span,
            format!(
                "a C1 was told on {}, a day on which nobody was on site",
                on.value
            ),
            help,
        )
    })
}

fn told_by_phone(finding: &Finding, told: &Told) -> Option<Diagnostic> {
    let how = told.how.as_ref()?;
    by_phone_only(&how.value).then(|| {
        Diagnostic::warning(
            Code::DangerToldByPhone,
            how.span,
            format!(
                "{} was told by telephone only, which leaves no copy",
                named(finding.code)
            ),
            "Put it in writing as well and keep the copy, then write how: by phone and by email.",
        )
    })
}

/// Whether `how` speaks of the telephone and of no other way.
fn by_phone_only(how: &str) -> bool {
    const PHONE: [&str; 14] = [
        "phone",
        "phoned",
        "telephone",
        "telephoned",
        "tel",
        "mobile",
        "rang",
        "rung",
        "ring",
        "call",
        "called",
        "voicemail",
        "answerphone",
        "spoke",
    ];
    // Words of ways that leave a copy, or that need both people in one room.
    const OTHER: [&str; 26] = [
        "email",
        "emailed",
        "mail",
        "letter",
        "text",
        "texted",
        "sms",
        "writing",
        "written",
        "wrote",
        "person",
        "face",
        "note",
        "notice",
        "message",
        "messaged",
        "report",
        "certificate",
        "post",
        "posted",
        "photo",
        "photos",
        "card",
        "form",
        "sheet",
        "label",
    ];
    let how = how.to_lowercase().replace("e-mail", "email");
    let has = |list: &[&str]| {
        how.split(|c: char| !c.is_alphanumeric())
            .any(|word| list.contains(&word))
    };
    has(&PHONE) && !has(&OTHER)
}

#[cfg(test)]
mod tests {
    use super::by_phone_only;
    use crate::rules::bench::told;

    fn with(visits: &str, finding: &str) -> String {
        told(&format!(
            "visits: [{visits}]\nfindings:\n  - {{what: Board open, done: closed, {finding}}}\n"
        ))
    }

    #[test]
    fn a_c1_told_the_next_day_is_late() {
        insta::assert_snapshot!(with(
            "{date: 2026-11-12, time: 2h}",
            "code: C1, told: {who: owner, on: 2026-11-13, how: in person}"
        ), @r#"
        jobs/2026/a.md, line 7: warning: a C1 found on 2026-11-12 was told 1 day later.
            7 |   - {what: Board open, done: closed, code: C1, told: {who: owner, on: 2026-11-13, how: in person}}
              |                                                                       ^^^^^^^^^^
        A C1 is told the day it is found. Check the date, or write under done what kept
        people away from it until they were told.                       (danger-told-late)

        1 warning.
        "#);
    }

    #[test]
    fn a_c1_told_on_no_visits_day_is_late_and_on_one_is_not() {
        let visits = "{date: 2026-11-12, time: 2h}, {date: 2026-11-14, time: 2h}";
        insta::assert_snapshot!(with(visits, "code: C1, told: {who: owner, on: 2026-11-13, how: in person}"), @r#"
        jobs/2026/a.md, line 7: warning: a C1 was told on 2026-11-13, a day on which nobody was on site.
            7 |   - {what: Board open, done: closed, code: C1, told: {who: owner, on: 2026-11-13, how: in person}}
              |                                                                       ^^^^^^^^^^
        A C1 is told the day it is found. Check the date, or write under done what kept
        people away from it until they were told.                       (danger-told-late)

        1 warning.
        "#);
        assert_eq!(
            with(
                visits,
                "code: C1, told: {who: owner, on: 2026-11-14, how: in person}"
            ),
            ""
        );
    }

    #[test]
    fn a_c1_told_after_midnight_of_the_same_visit_is_in_time() {
        assert_eq!(
            with(
                "{date: 2026-11-12, from: 22:00, to: 01:15}",
                "code: C1, told: {who: owner, on: 2026-11-13, how: in person}"
            ),
            ""
        );
    }

    #[test]
    fn a_c1_told_on_a_day_that_is_not_written_is_asked_for() {
        insta::assert_snapshot!(with(
            "{date: 2026-11-12, time: 2h}",
            "code: C1, told: {who: owner, how: in person}"
        ), @r#"
        jobs/2026/a.md, line 7: warning: the log does not say on which day the C1 was told.
            7 |   - {what: Board open, done: closed, code: C1, told: {who: owner, how: in person}}
              |                                                      ^^^^^^^^^^^^^^^^^^^^^^^^^^^^
        Write on: and the date. A C1 is told the day it is found.       (danger-told-late)

        1 warning.
        "#);
    }

    #[test]
    fn a_c2_may_be_told_later_but_not_by_phone_alone() {
        insta::assert_snapshot!(with(
            "{date: 2026-11-12, time: 2h}",
            "code: C2, told: {who: owner, on: 2026-11-20, how: by phone}"
        ), @r#"
        jobs/2026/a.md, line 7: warning: a C2 (potentially dangerous) was told by telephone only, which leaves no copy.
            7 |   - {what: Board open, done: closed, code: C2, told: {who: owner, on: 2026-11-20, how: by phone}}
              |                                                                                        ^^^^^^^^
        Put it in writing as well and keep the copy, then write how: by phone and by
        email.                                                          (danger-told-by-phone)

        1 warning.
        "#);
    }

    #[test]
    fn the_telephone_with_anything_in_writing_will_do() {
        for how in ["by phone", "Phoned", "rang the office", "called twice"] {
            assert!(by_phone_only(how), "{how}");
        }
        for how in [
            "by phone and e-mail",
            "rang, then letter",
            "in person",
            "text",
            "by email",
            "handed over",
            "",
        ] {
            assert!(!by_phone_only(how), "{how}");
        }
    }
}
