//! A call-out that stands in no charge and leads to no later job.
//!
//! The fourteen days are common practice, no source.

use jiff::civil::Date;

use crate::diagnose::{Code, Diagnostic};
use crate::model::{Job, VisitKind};

use super::{day, days_after, days_between};

/// Days after a call-out by which it is charged or belongs to a job.
const DAYS_TO_CHARGE: i64 = 14;

/// One warning for each such call-out, at its date. `uncharged` gives a reason and answers for it.
pub fn check(job: &Job, as_of: Date, said: &mut Vec<Diagnostic>) {
    if job.charged.is_some() || job.led_to.is_some() || job.uncharged.is_some() {
        return;
    }
    for visit in job
        .visits
        .iter()
        .filter(|visit| visit.kind == VisitKind::CallOut)
    {
        if days_after(day(visit), DAYS_TO_CHARGE) > as_of {
            continue;
        }
        said.push(Diagnostic::warning(
            Code::CallOutUnpaid,
            visit.span,
            format!("nobody pays for this call-out of {} days ago", days_between(day(visit), as_of)),
            "Charge it. If it led to a later job, write that job's ref: for: 2026-031. If it is free, write uncharged: \
             and why.",
        ));
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::{told, told_of};

    #[test]
    fn a_call_out_of_a_fortnight_ago_is_asked_about() {
        insta::assert_snapshot!(told("visits: [{date: 2026-11-11, kind: call-out, time: 1h15}]\n"), @r#"
        jobs/2026/a.md, line 5: warning: nobody pays for this call-out of 14 days ago.
            5 | visits: [{date: 2026-11-11, kind: call-out, time: 1h15}]
              |                 ^^^^^^^^^^
        Charge it. If it led to a later job, write that job's ref: for: 2026-031. If it
        is free, write uncharged: and why.                              (call-out-unpaid)

        1 warning.
        "#);
        assert_eq!(
            told("visits: [{date: 2026-11-12, kind: call-out, time: 1h15}]\n"),
            ""
        );
    }

    #[test]
    fn a_charge_a_reason_or_a_later_job_answers_for_it() {
        let visit = "visits: [{date: 2026-05-01, kind: call-out, time: 1h15}]\n";
        assert_eq!(told(&format!("charged: {{labour: 65.00}}\n{visit}")), "");
        assert_eq!(told(&format!("uncharged: my own lamp failed\n{visit}")), "");
        let first = format!(
            "---\ntitle: A\nref: 2026-001\nlocation: shop\nfor: 2026-002\n{visit}---\n\nWords.\n"
        );
        let later = "---\ntitle: B\nref: 2026-002\nlocation: shop\nvisits: [{date: 2026-05-04, time: 1h}]\n---\n\nWords.\n";
        assert_eq!(
            told_of(&[("jobs/2026/a.md", &first), ("jobs/2026/b.md", later)]),
            ""
        );
    }
}
