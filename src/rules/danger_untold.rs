//! C1, C2 or FI, and nobody told: always said first.
//!
//! Telling the person responsible is common practice of the trade, no source; any one of the three codes makes a
//! condition report unsatisfactory (the council page and firm named in `tests/checks/trade_published.json`).

use crate::diagnose::{Code, Diagnostic};
use crate::model::{FindingCode, Job};

use super::{day, named, seen_at};

/// One warning for each grave finding whose `told` is missing or names nobody.
pub fn check(job: &Job, said: &mut Vec<Diagnostic>) {
    for finding in &job.findings {
        if !matches!(
            finding.code,
            FindingCode::C1 | FindingCode::C2 | FindingCode::FI
        ) {
            continue;
        }
        let code = named(finding.code);
        let on = seen_at(job, finding)
            .map_or_else(|| "2026-03-02".to_owned(), |visit| day(visit).to_string());
        match &finding.told {
            None => said.push(Diagnostic::warning(
                Code::DangerUntold,
                finding.what.span,
                format!("{code} stands here and nobody has been told of it"),
                format!(
                    "Tell the person responsible, then write told: {{who: agent, on: {on}, how: in person and by email}}."
                ),
            )),
            Some(told) if told.who.is_none() => said.push(Diagnostic::warning(
                Code::DangerUntold,
                told.span,
                format!("the log does not say who was told of {code}"),
                "Write who: agent, tenant, owner or another role. If it was nobody, tell them first.",
            )),
            Some(_) => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::told;

    #[test]
    fn a_grave_finding_with_nobody_told_is_named_with_its_day() {
        insta::assert_snapshot!(told(
            "visits: [{date: 2026-11-12, time: 2h}]
findings:
  - {what: Blank missing from the board, code: C1, done: blank fitted}
  - {what: Circuit that could not be found, code: FI, done: time quoted}
"
        ), @r#"
        jobs/2026/a.md, line 7: warning: a C1 (danger present) stands here and nobody has been told of it.
            7 |   - {what: Blank missing from the board, code: C1, done: blank fitted}
              |            ^^^^^^^^^^^^^^^^^^^^^^^^^^^^
        Tell the person responsible, then write told: {who: agent, on: 2026-11-12, how:
        in person and by email}.                                        (danger-untold)

        jobs/2026/a.md, line 8: warning: an FI (further investigation) stands here and nobody has been told of it.
            8 |   - {what: Circuit that could not be found, code: FI, done: time quoted}
              |            ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
        Tell the person responsible, then write told: {who: agent, on: 2026-11-12, how:
        in person and by email}.                                        (danger-untold)

        2 warnings.
        "#);
    }

    #[test]
    fn told_without_a_who_is_nobody() {
        insta::assert_snapshot!(told(
            "visits: [{date: 2026-11-12, time: 2h}]
findings:
  - {what: RCD slow on test, code: C2, done: replaced, told: {on: 2026-11-12, how: by email}}
"
        ), @r#"
        jobs/2026/a.md, line 7: warning: the log does not say who was told of a C2 (potentially dangerous).
            7 |   - {what: RCD slow on test, code: C2, done: replaced, told: {on: 2026-11-12, how: by email}}
              |                                                              ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
        Write who: agent, tenant, owner or another role. If it was nobody, tell them
        first.                                                          (danger-untold)

        1 warning.
        "#);
    }

    #[test]
    fn a_c3_a_note_and_a_told_danger_are_left_alone() {
        assert_eq!(
            told(
                "visits: [{date: 2026-11-12, time: 2h}]
findings:
  - {what: Circuit chart missing, code: C3}
  - {what: Timer runs slow, code: note}
  - {what: RCD slow on test, code: C2, done: replaced, told: {who: agent, on: 2026-11-12, how: by email}}
"
            ),
            ""
        );
    }
}
