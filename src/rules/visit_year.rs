//! A visit years away from the year that its job's ref begins with: a year mistyped, more often than not.
//!
//! A ref without a year says nothing. A job may run over New Year, so the year before and the year after are let
//! be; a free return may come years later. A visit that has not come yet is a rule of its own, and says the same.

use jiff::civil::Date;

use crate::diagnose::{Code, Diagnostic};
use crate::model::{Job, VisitKind};

use super::day;

/// At most one warning for each job, at the first such visit.
pub fn check(job: &Job, as_of: Date, said: &mut Vec<Diagnostic>) {
    let Some(year) = ref_year(job) else { return };
    let mut far = job.visits.iter().filter(|visit| {
        let apart = day(visit).year() - year;
        let late_return = visit.kind == VisitKind::Guarantee && apart > 0;
        apart.abs() > 1 && !late_return && day(visit) <= as_of
    });
    let Some(first) = far.next() else { return };
    let more = far.count();
    let reference = job.reference.in_office();
    let also = match more {
        0 => "",
        1 => " Another visit of this log is as far off.",
        _ => " Others of this log are as far off.",
    };
    said.push(
        Diagnostic::warning(
            Code::VisitYear,
            first.span,
            format!(
                "this visit is in {}, and the ref begins with {year}",
                day(first).year()
            ),
            format!("Is the year right? Mend it in the visit, or in the ref.{also}"),
        )
        .also(reference.span, "the ref"),
    );
}

/// The year that a ref begins with, as in `2026-031`; `None` for refs of another kind.
pub(super) fn ref_year(job: &Job) -> Option<i16> {
    let reference = job.reference.in_office();
    let (year, number) = reference.value.split_once('-')?;
    let plain = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    (year.len() == 4 && plain(year) && plain(number))
        .then(|| year.parse().ok())
        .flatten()
        .filter(|year| (1990..=2099).contains(year))
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::{told, told_of};

    #[test]
    fn a_visit_ten_years_before_its_ref_is_asked_about_once() {
        insta::assert_snapshot!(told(
            "visits: [{date: 2016-03-02, time: 1h}, {date: 2016-03-03, time: 1h}, {date: 2026-03-04, time: 1h}]\n"
        ), @r#"
        jobs/2026/a.md, line 5: warning: this visit is in 2016, and the ref begins with 2026.
            5 | visits: [{date: 2016-03-02, time: 1h}, {date: 2016-03-03, time: 1h}, {date: 2026-03-04, time: 1h}]
              |                 ^^^^^^^^^^
          line 3: the ref
            3 | ref: 2026-001
              |      --------
        Is the year right? Mend it in the visit, or in the ref. Another visit of this
        log is as far off.                                              (visit-year)

        1 warning.
        "#);
    }

    #[test]
    fn a_job_over_new_year_and_a_free_return_years_later_are_let_be() {
        assert_eq!(
            told("visits: [{date: 2025-12-30, time: 1h}, {date: 2026-01-03, time: 1h}]\n"),
            ""
        );
        let log = "---\ntitle: A job\nref: 2021-001\nlocation: shop\nvisits:\n  - {date: 2021-05-01, time: 1h}\n  \
                   - {date: 2026-05-01, kind: guarantee, time: 1h}\n---\n\nWords.\n";
        assert_eq!(told_of(&[("jobs/2021/a.md", log)]), "");
    }

    #[test]
    fn a_ref_without_a_year_says_nothing() {
        for reference in ["job-7", "1042-3", "2026x-1", "2026-a", "20260-1"] {
            let log = format!(
                "---\ntitle: A job\nref: {reference}\nlocation: shop\nvisits: [{{date: 2016-05-01, time: 1h}}]\n---\n\nWords.\n"
            );
            assert_eq!(told_of(&[("jobs/2016/a.md", &log)]), "", "{reference}");
        }
    }
}
