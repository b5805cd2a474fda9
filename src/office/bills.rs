//! Bills: a job with the call-outs that led to it, what was charged for its labour and which of its time that paid.
//!
//! A call-out whose log says `for` stands on the bill of the later job. Reckons no rate and knows no span but a day.

use std::collections::HashMap;

use jiff::civil::Date;

use crate::model::{Diary, Job, Minutes, Money, Private, Visit, VisitKind};

use super::reckon::{finished, part};

/// What became of a job's labour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Paid {
    /// Charged: this much labour.
    Charged(Money),
    /// Never to be charged, the log says why.
    Uncharged,
    /// Neither yet.
    Open,
}

/// A job and the call-outs that led to it.
pub(super) struct Bill<'a> {
    /// The job whose log holds the charge.
    pub(super) job: &'a Job,
    pub(super) paid: Paid,
    /// Every visit up to the day, with the log it stands in; in order of log, then of time.
    pub(super) visits: Vec<(&'a Job, &'a Visit)>,
}

/// Every bill of a diary with a visit up to `as_of`, in order of the diary's jobs.
pub(super) fn bills(diary: &Diary, as_of: Date) -> Vec<Bill<'_>> {
    let by_ref: HashMap<&str, usize> = diary
        .jobs
        .iter()
        .enumerate()
        .map(|(number, job)| (job.reference.in_office().value.as_str(), number))
        .collect();
    let mut bills: Vec<Bill<'_>> = diary
        .jobs
        .iter()
        .map(|job| Bill {
            job,
            paid: paid(job, as_of),
            visits: visits(job, as_of).collect(),
        })
        .collect();
    for number in 0..diary.jobs.len() {
        let job = &diary.jobs[number];
        // A log with a charge of its own is a bill of its own, whatever it led to.
        let led_to = job
            .led_to
            .as_ref()
            .filter(|_| bills[number].paid == Paid::Open)
            .and_then(|led_to| by_ref.get(led_to.in_office().value.as_str()));
        if let Some(&later) = led_to
            && later != number
        {
            let visits = std::mem::take(&mut bills[number].visits);
            bills[later].visits.extend(visits);
        }
    }
    bills.retain(|bill| !bill.visits.is_empty());
    bills
}

fn visits(job: &Job, as_of: Date) -> impl Iterator<Item = (&Job, &Visit)> {
    job.visits
        .iter()
        .filter(move |visit| visit.date.in_office().value <= as_of)
        .map(move |visit| (job, visit))
}

fn paid(job: &Job, as_of: Date) -> Paid {
    let charged = job.charged.as_ref().map(Private::in_office);
    // Seen from an earlier day, a later charge has not been made.
    let charged = charged.filter(|charged| charged.on.as_ref().is_none_or(|on| on.value <= as_of));
    match (charged, &job.uncharged) {
        (Some(charged), _) => {
            Paid::Charged(charged.labour.as_ref().map_or(Money::NOUGHT, |at| at.value))
        }
        (None, Some(_)) => Paid::Uncharged,
        (None, None) => Paid::Open,
    }
}

/// Whether a charge pays for such a visit: planned, survey and call-out; what follows the work never is.
pub(super) fn can_be_charged(kind: VisitKind) -> bool {
    matches!(
        kind,
        VisitKind::Planned | VisitKind::Survey | VisitKind::CallOut
    )
}

impl<'a> Bill<'a> {
    /// Minutes of the visits that `keep` keeps.
    pub(super) fn minutes(&self, keep: impl Fn(&Visit) -> bool) -> Minutes {
        let visits = self.visits.iter().filter(|(_, visit)| keep(visit));
        visits.map(|(_, visit)| visit.minutes()).sum()
    }

    /// Its ref.
    pub(super) fn reference(&self) -> &'a str {
        &self.job.reference.in_office().value
    }

    /// The day its work was done.
    pub(super) fn done(&self) -> Option<Date> {
        finished(self.job)
    }

    /// Of the labour charged, what falls to the visits that `keep` keeps, by minutes, to the penny, half up; nought
    /// where nothing was charged. Where no visit could be charged for, all of it falls to the day of the charge.
    pub(super) fn labour_of(&self, keep: impl Fn(Date) -> bool) -> Money {
        let Paid::Charged(labour) = self.paid else {
            return Money::NOUGHT;
        };
        let day = |visit: &Visit| visit.date.in_office().value;
        let all = self.minutes(|visit| can_be_charged(visit.kind)).get();
        if all == 0 {
            let charged = self.job.charged.as_ref().map(Private::in_office);
            let on = charged.and_then(|charged| charged.on.as_ref().map(|on| on.value));
            let on = on.or_else(|| self.visits.iter().map(|(_, visit)| day(visit)).max());
            return if on.is_some_and(keep) {
                labour
            } else {
                Money::NOUGHT
            };
        }
        let kept = self.minutes(|visit| can_be_charged(visit.kind) && keep(day(visit)));
        part(labour, kept.get(), all)
    }
}
