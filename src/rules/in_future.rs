//! A visit, a quote, a charge or anything else that is written down as done, dated after the day that the diary is
//! looked at.

use jiff::civil::Date;

use crate::diagnose::{Code, Diagnostic};
use crate::model::{At, Job};

use super::day;
use super::visit_year::ref_year;

/// One warning for each such date, at its place.
pub fn check(job: &Job, as_of: Date, said: &mut Vec<Diagnostic>) {
    visits(job, as_of, said);
    for (date, what) in done(job).filter(|(date, _)| date.value > as_of) {
        said.push(Diagnostic::warning(
            Code::DateInFuture,
            date.span,
            format!("{what} on {}, which has not come yet", date.value),
            format!(
                "Check the day, the month and the year. What is still to be done is written on the evening that it \
                 is. Today is taken to be {as_of}; --as-of says otherwise."
            ),
        ));
    }
}

/// Every day on which the log says that something was done, other than its visits. A report's `due` lies ahead by
/// its nature.
fn done(job: &Job) -> impl Iterator<Item = (&At<Date>, &'static str)> {
    let quoted = job.quoted.iter().map(|quoted| &quoted.in_office().on);
    let charged = job.charged.iter().map(|charged| &charged.in_office().on);
    let agreed = job.extras.iter().map(|extra| &extra.in_office().agreed_on);
    let inspected = job
        .report
        .iter()
        .map(|report| &report.in_office().inspected);
    let sent = job.report.iter().map(|report| &report.in_office().sent);
    let told = job
        .findings
        .iter()
        .filter_map(|finding| finding.told.as_ref()?.on.as_ref());
    let mended = job
        .findings
        .iter()
        .filter_map(|finding| finding.put_right.as_ref());
    let written = [
        (quoted.flatten().collect::<Vec<_>>(), "this was quoted"),
        (charged.flatten().collect(), "this was charged"),
        (agreed.flatten().collect(), "this was agreed"),
        (inspected.flatten().collect(), "this was inspected"),
        (sent.flatten().collect(), "the report was sent"),
        (
            told.map(|date| date.in_office()).collect(),
            "this was told of",
        ),
        (
            mended.map(|date| date.in_office()).collect(),
            "this was put right",
        ),
    ];
    written
        .into_iter()
        .flat_map(|(dates, what)| dates.into_iter().map(move |date| (date, what)))
}

fn visits(job: &Job, as_of: Date, said: &mut Vec<Diagnostic>) {
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
    fn whatever_is_written_as_done_on_a_day_to_come_is_asked_about_and_a_day_to_be_met_is_not() {
        let told = told(
            "visits: [{date: 2026-11-20, time: 1h}]
quoted: {hours: 1h, on: 2027-11-18}
charged: {labour: 42.00, on: 2026-11-26}
extras: [{what: a label, labour: 5.00, agreed: {who: owner, on: 2026-11-27}}]
report: {inspected: 2026-11-20, due: 2026-12-18, sent: 2026-12-01}
findings: [{what: no bond, code: C2, told: {who: owner, on: 2026-12-20, how: in writing}, put_right: 2026-12-21}]
",
        );
        let asked: Vec<&str> = told
            .lines()
            .filter(|line| line.contains("has not come yet"))
            .collect();
        assert_eq!(
            asked,
            [
                "jobs/2026/a.md, line 6: warning: this was quoted on 2027-11-18, which has not come yet.",
                "jobs/2026/a.md, line 7: warning: this was charged on 2026-11-26, which has not come yet.",
                "jobs/2026/a.md, line 8: warning: this was agreed on 2026-11-27, which has not come yet.",
                "jobs/2026/a.md, line 9: warning: the report was sent on 2026-12-01, which has not come yet.",
                "jobs/2026/a.md, line 10: warning: this was told of on 2026-12-20, which has not come yet.",
                "jobs/2026/a.md, line 10: warning: this was put right on 2026-12-21, which has not come yet.",
            ]
        );
    }

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
