//! What a careful colleague says across a diary: one module a rule, or a tight pair of rules, each with its words
//! and its tests. The handbook has a page for every code.
//!
//! Nothing here reads a file or asks the clock. What a measured value is held against is the trade's
//! ([`crate::trade`]). A rule looks only at what is written down, and no rule ever calls a circuit or an installation
//! sound.

mod below_cost;
mod call_out_unpaid;
mod came_back_unsaid;
mod caution_missing;
mod charge_dates;
mod danger_left;
mod danger_told;
mod danger_untold;
mod finding_dates;
mod guarantee_paid;
mod hours_over_quote;
mod house_number;
mod in_future;
mod metres_no_unit;
mod parking_uncharged;
mod quote_no_hours;
mod reading_incomplete;
mod reading_outside;
mod rented_late;
mod visit_length;
mod visit_year;
mod visits_overlap;

#[cfg(test)]
mod bench;

use jiff::ToSpan;
use jiff::civil::Date;
use rayon::prelude::*;

use crate::diagnose::{Diagnostic, FileId};
use crate::model::{Diary, Finding, FindingCode, Job, Page, Visit, VisitKind};
use crate::trade::{Figures, cautions};

/// Everything that the rules have to say about a diary on a day, in no stated order
/// ([`crate::diagnose::put_in_order`] gives it one). Empty for a diary without jobs.
pub fn check(diary: &Diary, as_of: Date) -> Vec<Diagnostic> {
    let mut said = check_each(diary, as_of, &|_| true);
    visits_overlap::check(diary, &mut said);
    guarantee_paid::check(diary, &mut said);
    came_back_unsaid::check(diary, &mut said);
    finding_dates::check(diary, &mut said);
    said
}

/// What the rules have to say about the jobs and pages of some files, each by itself, whatever stands in the others.
pub fn check_each(
    diary: &Diary,
    as_of: Date,
    wanted: &(dyn Fn(FileId) -> bool + Sync),
) -> Vec<Diagnostic> {
    let book = metres_no_unit::Book::new(&diary.settings);
    let figures = Figures::with_own(&diary.settings.figures);
    let of_job = |job: &Job| {
        let mut said = Vec::new();
        cautions::check(job.file, &job.body, &mut said);
        caution_missing::check_job(job, &mut said);
        if job.has_error {
            return said;
        }
        danger_untold::check(job, &mut said);
        danger_told::check(job, &mut said);
        danger_left::check(job, &mut said);
        reading_incomplete::check(job, &mut said);
        reading_outside::check(job, &figures, &mut said);
        charge_dates::check(job, as_of, &mut said);
        hours_over_quote::check(job, &mut said);
        quote_no_hours::check(job, &mut said);
        visit_length::check(job, &mut said);
        in_future::check(job, as_of, &mut said);
        visit_year::check(job, as_of, &mut said);
        call_out_unpaid::check(job, as_of, &mut said);
        rented_late::check(job, as_of, &mut said);
        house_number::check(diary, job, &mut said);
        below_cost::check(job, &mut said);
        metres_no_unit::check(&book, job, &mut said);
        parking_uncharged::check(job, &mut said);
        said
    };
    let of_page = |page: &Page| {
        let mut said = Vec::new();
        cautions::check(page.file, &page.body, &mut said);
        caution_missing::check_page(page, &mut said);
        said
    };
    let jobs = diary.jobs.par_iter().filter(|job| wanted(job.file));
    let pages = diary.pages.iter().filter(|page| wanted(page.file));
    let mut said: Vec<Diagnostic> = jobs.flat_map_iter(of_job).collect();
    said.extend(pages.flat_map(of_page));
    said
}

/// The day of a visit.
fn day(visit: &Visit) -> Date {
    visit.date.in_office().value
}

/// The last visit that is not a free return: the day the work was finished. `None` where every visit is one.
fn finished(job: &Job) -> Option<&Visit> {
    job.visits
        .iter()
        .filter(|visit| visit.kind != VisitKind::Guarantee)
        .max_by_key(|visit| day(visit))
}

/// The visit that saw a finding: the one it names, or the only one there is. `None` where the log does not say.
fn seen_at<'a>(job: &'a Job, finding: &Finding) -> Option<&'a Visit> {
    match (&finding.visit, job.visits.as_slice()) {
        (Some(date), visits) => visits
            .iter()
            .find(|visit| day(visit) == date.in_office().value),
        (None, [only]) => Some(only),
        (None, _) => None,
    }
}

/// The last day on which a visit was still going on: the day after its date where it ran over midnight.
fn last_day(visit: &Visit) -> Date {
    match (visit.from, visit.to) {
        (Some(from), Some(to)) if to < from => days_after(day(visit), 1),
        _ => day(visit),
    }
}

/// The date so many days after another; the calendar's last day where there is none so late.
fn days_after(date: Date, days: i64) -> Date {
    date.saturating_add(days.days())
}

/// How many days lie between two dates; negative where the second is the earlier.
fn days_between(from: Date, to: Date) -> i64 {
    to.duration_since(from).as_hours() / 24
}

/// `1 day`, `12 days`.
fn say_days(days: i64) -> String {
    match days {
        1 => "1 day".to_owned(),
        n => format!("{n} days"),
    }
}

/// `a C1`, `an FI`: a code with its article, and what it means.
fn named(code: FindingCode) -> &'static str {
    match code {
        FindingCode::C1 => "a C1 (danger present)",
        FindingCode::C2 => "a C2 (potentially dangerous)",
        FindingCode::C3 => "a C3 (improvement recommended)",
        FindingCode::FI => "an FI (further investigation)",
        FindingCode::Note => "a note",
    }
}
