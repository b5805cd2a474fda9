//! A visit of more than fourteen hours, and a break of more than half a visit: clocks read wrong, more often than not.
//!
//! Both limits are common practice, no source. A break as long as its visit is an error of the reader's own.

use crate::diagnose::{Code, Diagnostic};
use crate::model::{Job, Minutes};

/// A longer visit is asked about.
const VERY_LONG: Minutes = Minutes::new(14 * 60);

/// At most one warning of each of the two kinds for each visit, at its date.
pub fn check(job: &Job, said: &mut Vec<Diagnostic>) {
    for visit in &job.visits {
        let Some(there) = visit.elapsed.or(visit.time) else {
            continue;
        };
        if there > VERY_LONG {
            said.push(Diagnostic::warning(
                Code::VisitVeryLong,
                visit.span,
                format!("this visit is {there} long"),
                "Was nine till five read as a night? Check from and to: the afternoon is 17:00, not 5:00.",
            ));
        }
        if visit.rest < there && visit.rest.get() * 2 > there.get() {
            said.push(Diagnostic::warning(
                Code::BreakLong,
                visit.span,
                format!("the break of this visit is {} out of {there}", visit.rest),
                "Check the break. If you left and came back, write two visits, each with its own times.",
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::told;

    fn visit(keys: &str) -> String {
        told(&format!("visits:\n  - {{date: 2026-05-01, {keys}}}\n"))
    }

    #[test]
    fn a_night_that_was_meant_as_a_day_is_asked_about() {
        insta::assert_snapshot!(visit("from: 9:00, to: 5:00"), @r#"
        jobs/2026/a.md, line 6: warning: this visit is 20 h long.
            6 |   - {date: 2026-05-01, from: 9:00, to: 5:00}
              |            ^^^^^^^^^^
        Was nine till five read as a night? Check from and to: the afternoon is 17:00,
        not 5:00.                                                       (visit-very-long)

        1 warning.
        "#);
        assert_eq!(visit("from: 06:00, to: 20:00"), "");
    }

    #[test]
    fn a_break_of_more_than_half_is_asked_about() {
        insta::assert_snapshot!(visit("from: 09:00, to: 11:00, break: 1h15"), @r#"
        jobs/2026/a.md, line 6: warning: the break of this visit is 1 h 15 out of 2 h.
            6 |   - {date: 2026-05-01, from: 09:00, to: 11:00, break: 1h15}
              |            ^^^^^^^^^^
        Check the break. If you left and came back, write two visits, each with its own
        times.                                                          (break-long)

        1 warning.
        "#);
        assert_eq!(visit("from: 09:00, to: 11:00, break: 1h"), "");
    }
}
