//! A C1 or C2 with nothing done, not put right, and no later visit.
//!
//! Making it secure with consent, or writing that consent was refused, is common practice of the trade, no source.

use crate::diagnose::{Code, Diagnostic};
use crate::model::{FindingCode, Job};

use super::{day, named, seen_at};

/// One warning for each grave finding that the log leaves as it was. A job that leads to another (`for`) has its
/// later visit there.
pub fn check(job: &Job, said: &mut Vec<Diagnostic>) {
    for finding in &job.findings {
        let grave = matches!(finding.code, FindingCode::C1 | FindingCode::C2);
        let dealt_with = finding.done.is_some() || finding.put_right.is_some() || finding.refused;
        if !grave || dealt_with || job.led_to.is_some() {
            continue;
        }
        // A finding that does not say which visit saw it counts from the first one: only what is sure is said.
        let Some(seen) = seen_at(job, finding)
            .map(day)
            .or_else(|| job.visits.iter().map(day).min())
        else {
            continue;
        };
        if job.visits.iter().any(|visit| day(visit) > seen) {
            continue;
        }
        said.push(Diagnostic::warning(
            Code::DangerLeft,
            finding.what.span,
            format!("{} was left with nothing done and nobody has been back", named(finding.code)),
            "Write done: and what was isolated or made secure. If consent was refused, get it in writing and write \
             refused: true.",
        ));
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::told;

    const TOLD: &str = "told: {who: owner, on: 2026-11-12, how: in person}";

    #[test]
    fn a_danger_with_nothing_done_and_no_return_is_asked_about() {
        insta::assert_snapshot!(told(&format!(
            "visits: [{{date: 2026-11-12, time: 2h}}]\nfindings:\n  - {{what: Neutral to earth fault, code: C2, {TOLD}}}\n"
        )), @r#"
        jobs/2026/a.md, line 7: warning: a C2 (potentially dangerous) was left with nothing done and nobody has been back.
            7 |   - {what: Neutral to earth fault, code: C2, told: {who: owner, on: 2026-11-12, how: in person}}
              |            ^^^^^^^^^^^^^^^^^^^^^^
        Write done: and what was isolated or made secure. If consent was refused, get it
        in writing and write refused: true.                             (danger-left)

        1 warning.
        "#);
    }

    #[test]
    fn done_put_right_refused_or_a_later_visit_answers_it() {
        for answer in [
            "done: disconnected",
            "put_right: 2026-11-12",
            "refused: true",
            "visit: 2026-11-12",
        ] {
            let log = format!(
                "visits: [{{date: 2026-11-12, time: 2h}}, {{date: 2026-11-14, time: 2h}}]
findings:
  - {{what: Neutral to earth fault, code: C2, {answer}, {TOLD}}}
"
            );
            assert_eq!(told(&log), "", "{answer}");
        }
    }

    #[test]
    fn a_danger_seen_at_the_last_of_two_visits_is_still_left() {
        insta::assert_snapshot!(told(
            "visits: [{date: 2026-11-12, time: 2h}, {date: 2026-11-14, time: 2h}]
findings:
  - {what: Board open at the top, code: C1, visit: 2026-11-14, told: {who: owner, on: 2026-11-14, how: by email}}
"
        ), @r#"
        jobs/2026/a.md, line 7: warning: a C1 (danger present) was left with nothing done and nobody has been back.
            7 |   - {what: Board open at the top, code: C1, visit: 2026-11-14, told: {who: owner, on: 2026-11-14, how: by email}}
              |            ^^^^^^^^^^^^^^^^^^^^^
        Write done: and what was isolated or made secure. If consent was refused, get it
        in writing and write refused: true.                             (danger-left)

        1 warning.
        "#);
    }
}
