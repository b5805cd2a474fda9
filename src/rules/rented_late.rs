//! A rented home's report or the work that it asks for, past its days.
//!
//! The rule is England's: SI 2020/312, the copy of the report to the tenant within 28 days of the inspection; further
//! investigation and remedial work within 28 days, or the shorter time that the report gives, starting with the date
//! of the inspection (so that day is day 1; `tests/checks/trade_published.json`, topic `landlord`). Not legal advice.

use jiff::civil::Date;

use crate::diagnose::{Code, Diagnostic};
use crate::model::{FindingCode, Job, Tenure};
use crate::trade::dates;

use super::{day, named, seen_at};

const RULE: &str = "The rule is England's (SI 2020/312); elsewhere go by the local one.";

/// For a job whose `tenure` is `rented`: at most one warning for its report, and one for each C1, C2 or FI. With no
/// report the days count from the visit that saw the finding.
pub fn check(job: &Job, as_of: Date, said: &mut Vec<Diagnostic>) {
    if job.tenure != Some(Tenure::Rented) {
        return;
    }
    said.extend(report_late(job, as_of));
    work_late(job, as_of, said);
}

fn report_late(job: &Job, as_of: Date) -> Option<Diagnostic> {
    let report = job.report.as_ref()?.in_office();
    let inspected = report.inspected.as_ref()?;
    let last = dates::report_to_tenant(inspected.value);
    let (span, message) = match &report.sent {
        Some(sent) if sent.value > last => (
            sent.span,
            format!(
                "this report went to the tenant on {}, and its 28 days ended on {last}",
                sent.value
            ),
        ),
        None if as_of > last => (
            inspected.span,
            format!("the report on this rented home was due by {last} and is not marked as sent"),
        ),
        _ => return None,
    };
    let help = match report.sent {
        Some(_) => format!("Check both dates, and keep a note of why it was late. {RULE}"),
        None => format!("Send the tenant the report and write sent: {as_of} under report. {RULE}"),
    };
    Some(Diagnostic::warning(Code::RentedLate, span, message, help))
}

fn work_late(job: &Job, as_of: Date, said: &mut Vec<Diagnostic>) {
    let report = job.report.as_ref().map(|report| report.in_office());
    for finding in &job.findings {
        // What is refused in writing is the landlord's to answer for, and no date in this log will mend it.
        if !matches!(
            finding.code,
            FindingCode::C1 | FindingCode::C2 | FindingCode::FI
        ) || finding.refused
        {
            continue;
        }
        let inspected = report
            .and_then(|report| report.inspected.as_ref())
            .map(|at| at.value);
        let counted_from = inspected.or_else(|| seen_at(job, finding).map(day));
        let by_rule = counted_from.map(|from| dates::remedial_work(from, None));
        let by_report = report
            .and_then(|report| report.due.as_ref())
            .map(|at| at.value);
        let Some(due) = [by_rule, by_report].into_iter().flatten().min() else {
            continue;
        };
        let code = named(finding.code);
        match &finding.put_right {
            Some(put_right) => {
                let put_right = put_right.in_office();
                if put_right.value > due {
                    said.push(Diagnostic::warning(
                        Code::RentedLate,
                        put_right.span,
                        format!(
                            "{code} in a rented home was put right on {}, and it was due by {due}",
                            put_right.value
                        ),
                        format!("Check the date, and keep what shows why it took so long. {RULE}"),
                    ));
                }
            }
            None if finding.done.is_none() && as_of > due => said.push(Diagnostic::warning(
                Code::RentedLate,
                finding.what.span,
                format!("{code} in a rented home was due by {due}, and nothing is written as done"),
                format!("When it is put right or looked into, write put_right: and the date. Until then write done: and what was made secure. {RULE}"),
            )),
            None => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::told;

    fn rented(report: &str, finding: &str) -> String {
        told(&format!(
            "tenure: rented
{report}visits: [{{date: 2026-10-01, time: 2h}}, {{date: 2026-10-02, time: 1h}}]
findings:
  - {{what: No main bonding, visit: 2026-10-01, told: {{who: agent, on: 2026-10-01, how: by email}}, {finding}}}
"
        ))
    }

    #[test]
    fn a_report_not_sent_within_its_days_is_asked_about() {
        insta::assert_snapshot!(rented("report: {inspected: 2026-10-01}\n", "code: C3"), @r#"
        jobs/2026/a.md, line 6: warning: the report on this rented home was due by 2026-10-29 and is not marked as sent.
            6 | report: {inspected: 2026-10-01}
              |                     ^^^^^^^^^^
        Send the tenant the report and write sent: 2026-11-25 under report. The rule is
        England's (SI 2020/312); elsewhere go by the local one.         (rented-late)

        1 warning.
        "#);
        assert_eq!(rented("report: {inspected: 2026-10-28}\n", "code: C3"), "");
    }

    #[test]
    fn a_report_sent_late_is_asked_about() {
        insta::assert_snapshot!(rented("report: {inspected: 2026-10-01, sent: 2026-10-30}\n", "code: C3"), @r#"
        jobs/2026/a.md, line 6: warning: this report went to the tenant on 2026-10-30, and its 28 days ended on 2026-10-29.
            6 | report: {inspected: 2026-10-01, sent: 2026-10-30}
              |                                       ^^^^^^^^^^
        Check both dates, and keep a note of why it was late. The rule is England's (SI
        2020/312); elsewhere go by the local one.                       (rented-late)

        1 warning.
        "#);
        assert_eq!(
            rented(
                "report: {inspected: 2026-10-01, sent: 2026-10-29}\n",
                "code: C3"
            ),
            ""
        );
    }

    #[test]
    fn work_past_its_days_is_asked_about_and_the_inspection_is_day_one() {
        let report = "report: {inspected: 2026-10-01, sent: 2026-10-02}\n";
        insta::assert_snapshot!(rented(report, "code: FI"), @r#"
        jobs/2026/a.md, line 9: warning: an FI (further investigation) in a rented home was due by 2026-10-28, and nothing is written as done.
            9 |   - {what: No main bonding, visit: 2026-10-01, told: {who: agent, on: 2026-10-01, how: by email}, code: FI}
              |            ^^^^^^^^^^^^^^^
        When it is put right or looked into, write put_right: and the date. Until then
        write done: and what was made secure. The rule is England's (SI 2020/312);
        elsewhere go by the local one.                                  (rented-late)

        1 warning.
        "#);
        insta::assert_snapshot!(rented(report, "code: C2, put_right: 2026-10-29"), @r#"
        jobs/2026/a.md, line 9: warning: a C2 (potentially dangerous) in a rented home was put right on 2026-10-29, and it was due by 2026-10-28.
            9 |   - {what: No main bonding, visit: 2026-10-01, told: {who: agent, on: 2026-10-01, how: by email}, code: C2, put_right: 2026-10-29}
              |                                                                                                                        ^^^^^^^^^^
        Check the date, and keep what shows why it took so long. The rule is England's
        (SI 2020/312); elsewhere go by the local one.                   (rented-late)

        1 warning.
        "#);
        assert_eq!(rented(report, "code: C2, put_right: 2026-10-28"), "");
        assert_eq!(rented(report, "code: C2, done: isolated"), "");
    }

    #[test]
    fn the_shorter_time_of_the_report_counts() {
        let report = "report: {inspected: 2026-10-01, due: 2026-10-14, sent: 2026-10-02}\n";
        assert!(rented(report, "code: C2, put_right: 2026-10-15").contains("due by 2026-10-14"));
    }

    #[test]
    fn an_owned_home_is_left_alone() {
        assert_eq!(
            told(
                "tenure: owned\nreport: {inspected: 2026-01-01}\nvisits: [{date: 2026-01-01, time: 2h}]\n"
            ),
            ""
        );
    }
}
