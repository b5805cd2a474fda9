//! A visit dated after the day that the diary is looked at.

use jiff::civil::Date;

use crate::diagnose::{Code, Diagnostic};
use crate::model::Job;

use super::day;
use super::visit_year::ref_year;

/// One warning for each such visit, at its date.
pub fn check(job: &Job, as_of: Date, said: &mut Vec<Diagnostic>) {
    for visit in job.visits.iter().filter(|visit| day(visit) > as_of) {
        let year = match ref_year(job) {
            Some(year) if year != day(visit).year() => {
                format!("Is the year right? The ref begins with {year}.")
            }
            _ => "Check the day, the month and the year.".to_owned(),
        };
        said.push(Diagnostic::warning(
            Code::VisitInFuture,
            visit.span,
            format!("this visit is on {}, which has not come yet", day(visit)),
            format!("{year} Today is taken to be {as_of}; --as-of says otherwise."),
        ));
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::told;

    #[test]
    fn a_visit_in_a_year_far_from_the_refs_is_asked_for_its_year() {
        insta::assert_snapshot!(told("visits: [{date: 2062-03-02, time: 1h}]\n"), @r#"
        jobs/2026/a.md, line 5: warning: this visit is on 2062-03-02, which has not come yet.
            5 | visits: [{date: 2062-03-02, time: 1h}]
              |                 ^^^^^^^^^^
        Is the year right? The ref begins with 2026. Today is taken to be 2026-11-25;
        --as-of says otherwise.                                         (visit-in-future)

        1 warning.
        "#);
    }

    #[test]
    fn a_visit_tomorrow_is_asked_about_and_one_today_is_not() {
        insta::assert_snapshot!(told("visits: [{date: 2026-11-25, time: 1h}, {date: 2026-11-26, time: 1h}]\n"), @r#"
        jobs/2026/a.md, line 5: warning: this visit is on 2026-11-26, which has not come yet.
            5 | visits: [{date: 2026-11-25, time: 1h}, {date: 2026-11-26, time: 1h}]
              |                                               ^^^^^^^^^^
        Check the day, the month and the year. Today is taken to be 2026-11-25; --as-of
        says otherwise.                                                 (visit-in-future)

        1 warning.
        "#);
    }
}
