//! Parking paid on the visits of a charged job, and not charged.
//!
//! Common practice, no source.

use crate::diagnose::{Code, Diagnostic};
use crate::model::{Job, Money, Visit, VisitKind};

/// At most one warning for each job. Parking at a free return is the guarantee's own cost and does not count;
/// `uncharged` gives a reason and answers for the rest.
pub fn check(job: &Job, said: &mut Vec<Diagnostic>) {
    let Some(charged) = job.charged.as_ref().map(|charged| charged.in_office()) else {
        return;
    };
    let paid = |visit: &Visit| {
        visit
            .parking
            .as_ref()
            .map_or(Money::NOUGHT, |paid| paid.in_office().value)
    };
    let visits = || {
        job.visits
            .iter()
            .filter(|visit| visit.kind != VisitKind::Guarantee)
    };
    let all: Money = visits().map(paid).sum();
    let asked = charged
        .parking
        .as_ref()
        .map_or(Money::NOUGHT, |parking| parking.value);
    if asked >= all || job.uncharged.is_some() {
        return;
    }
    let (span, message) = match &charged.parking {
        Some(parking) => (
            parking.span,
            format!("{all} was paid to park and {asked} is charged for it"),
        ),
        None => (
            charged.span,
            format!("{all} was paid to park and none of it is charged"),
        ),
    };
    let help =
        format!("Write parking: {all} in charged. If it is meant, write uncharged: and why.");
    let mut warning = Diagnostic::warning(Code::ParkingUncharged, span, message, help);
    if let Some(parking) = visits().find_map(|visit| {
        visit
            .parking
            .as_ref()
            .filter(|_| paid(visit) > Money::NOUGHT)
    }) {
        warning = warning.also(parking.in_office().span, "paid here");
    }
    said.push(warning);
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::told;

    fn job(charged: &str, kind: &str) -> String {
        told(&format!(
            "charged: {{labour: 84.00{charged}}}
visits:
  - {{date: 2026-05-01, kind: {kind}, time: 2h, parking: 6.50}}
  - {{date: 2026-05-02, kind: {kind}, time: 2h, parking: 2.00}}
"
        ))
    }

    #[test]
    fn parking_that_is_not_charged_is_asked_about() {
        insta::assert_snapshot!(job("", "planned"), @r#"
        jobs/2026/a.md, line 5: warning: 8.50 was paid to park and none of it is charged.
            5 | charged: {labour: 84.00}
              |          ^^^^^^^^^^^^^^^
          line 7: paid here
            7 |   - {date: 2026-05-01, kind: planned, time: 2h, parking: 6.50}
              |                                                          ----
        Write parking: 8.50 in charged. If it is meant, write uncharged: and why. (parking-uncharged)

        1 warning.
        "#);
    }

    #[test]
    fn parking_that_is_charged_in_part_is_asked_about() {
        insta::assert_snapshot!(job(", parking: 6.50", "planned"), @r#"
        jobs/2026/a.md, line 5: warning: 8.50 was paid to park and 6.50 is charged for it.
            5 | charged: {labour: 84.00, parking: 6.50}
              |                                   ^^^^
          line 7: paid here
            7 |   - {date: 2026-05-01, kind: planned, time: 2h, parking: 6.50}
              |                                                          ----
        Write parking: 8.50 in charged. If it is meant, write uncharged: and why. (parking-uncharged)

        1 warning.
        "#);
        assert_eq!(job(", parking: 8.50", "planned"), "");
    }

    #[test]
    fn parking_at_a_free_return_is_not_asked_about() {
        let log = "charged: {labour: 84.00}
visits:
  - {date: 2026-05-01, time: 2h}
  - {date: 2026-05-02, kind: guarantee, time: 2h, parking: 2.00}
";
        assert_eq!(told(log), "");
    }
}
