//! A quoted job long finished and not charged, and a charge dated before the last visit.
//!
//! The thirty days are common practice, no source.

use jiff::civil::Date;

use crate::diagnose::{Code, Diagnostic};
use crate::model::{Job, Money};

use super::{day, days_after, days_between, finished};

/// Days after the last visit by which a quoted job is charged.
const DAYS_TO_CHARGE: i64 = 30;

/// At most one warning for each job. Free returns are never charged, so they do not move the last visit; a job
/// that leads to another (`for`) may be charged there.
pub fn check(job: &Job, as_of: Date, said: &mut Vec<Diagnostic>) {
    let Some(last) = finished(job) else { return };
    match (&job.quoted, &job.charged) {
        (Some(quoted), None) => {
            let gone = days_after(day(last), DAYS_TO_CHARGE) <= as_of;
            if gone && job.uncharged.is_none() && job.led_to.is_none() {
                said.push(
                    Diagnostic::warning(
                        Code::NotCharged,
                        quoted.in_office().span,
                        format!(
                            "this job was quoted and finished {} days ago, and nothing is charged",
                            days_between(day(last), as_of)
                        ),
                        format!(
                            "Send the bill, then write charged: {{labour: {}, on: {as_of}}} with what was billed. If \
                             nothing is to be charged, write uncharged: and why.",
                            quoted.in_office().labour.as_ref().map_or(Money::NOUGHT, |labour| labour.value)
                        ),
                    )
                    .also(last.span, "the last visit"),
                );
            }
        }
        (_, Some(charged)) => {
            let Some(on) = &charged.in_office().on else {
                return;
            };
            if on.value < day(last) {
                said.push(
                    Diagnostic::warning(
                        Code::ChargedEarly,
                        on.span,
                        format!("this job was charged on {}, before its last visit", on.value),
                        "Check both dates, and that the last visit is in the charge. If it was a free return, write \
                         kind: guarantee.",
                    )
                    .also(last.span, "the last visit"),
                );
            }
        }
        (None, None) => {}
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::told;

    #[test]
    fn thirty_days_after_the_last_visit_a_quoted_job_wants_its_charge() {
        insta::assert_snapshot!(told("quoted: {hours: 2h, labour: 84.00}\nvisits: [{date: 2026-10-26, time: 2h}]\n"), @r#"
        jobs/2026/a.md, line 5: warning: this job was quoted and finished 30 days ago, and nothing is charged.
            5 | quoted: {hours: 2h, labour: 84.00}
              |         ^^^^^^^^^^^^^^^^^^^^^^^^^^
          line 6: the last visit
            6 | visits: [{date: 2026-10-26, time: 2h}]
              |                 ----------
        Send the bill, then write charged: {labour: 84.00, on: 2026-11-25} with what was
        billed. If nothing is to be charged, write uncharged: and why.  (not-charged)

        1 warning.
        "#);
        assert_eq!(
            told("quoted: {hours: 2h, labour: 84.00}\nvisits: [{date: 2026-10-27, time: 2h}]\n"),
            ""
        );
    }

    #[test]
    fn a_reason_or_a_later_job_answers_for_the_charge() {
        let log = "quoted: {hours: 2h}\nvisits: [{date: 2026-05-01, time: 2h}]\n";
        assert_eq!(
            told(&format!("uncharged: a favour for the hall\n{log}")),
            ""
        );
    }

    #[test]
    fn a_charge_before_the_last_visit_is_asked_about_and_a_free_return_is_not() {
        let log = |kind: &str| {
            format!(
                "charged: {{labour: 84.00, on: 2026-05-02}}
visits:
  - {{date: 2026-05-01, time: 2h}}
  - {{date: 2026-06-01, kind: {kind}, time: 1h}}
"
            )
        };
        insta::assert_snapshot!(told(&log("planned")), @r#"
        jobs/2026/a.md, line 5: warning: this job was charged on 2026-05-02, before its last visit.
            5 | charged: {labour: 84.00, on: 2026-05-02}
              |                              ^^^^^^^^^^
          line 8: the last visit
            8 |   - {date: 2026-06-01, kind: planned, time: 1h}
              |            ----------
        Check both dates, and that the last visit is in the charge. If it was a free
        return, write kind: guarantee.                                  (charged-early)

        1 warning.
        "#);
        assert_eq!(told(&log("guarantee")), "");
    }
}
