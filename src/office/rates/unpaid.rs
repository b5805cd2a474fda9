//! Time on site that no bill pays, by cause, and what one change would do.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::model::{Money, Visit, VisitKind};
use crate::office::bills::{Bill, Paid};
use crate::office::reckon::an_hour;
use crate::office::reckon::part;

use super::{Needs, YearMinutes, can_be_charged};

/// Time that no bill pays.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Unpaid {
    /// `call-outs`, `follow-ups`, `free-returns`, `not-to-be-charged`, `not-charged-yet`.
    pub cause: &'static str,
    /// Visits.
    pub visits: usize,
    /// Minutes on site.
    pub minutes: i64,
    /// Those minutes at the hourly rate.
    pub worth: Money,
    /// Refs of the jobs, in order.
    pub refs: Vec<String>,
}

/// What one change would do over the days of the review.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Lever {
    /// `one-more-hour-a-week`, `one-pound-an-hour`, `one-call-out-in-ten-fewer`.
    pub change: &'static str,
    /// Minutes charged that it adds, or minutes without a bill that it saves.
    pub minutes: f64,
    /// What it would bring.
    pub worth: Money,
    /// Needed for each hour charged, with it.
    pub needed_per_hour: Option<Money>,
    /// Earned for each hour on site, with it.
    pub earned_per_hour: Option<Money>,
}

/// A cause, and whether a visit of a bill belongs to it.
type Cause = (&'static str, fn(&Bill<'_>, &Visit) -> bool);

const CAUSES: [Cause; 5] = [
    ("call-outs", |bill, visit| {
        visit.kind == VisitKind::CallOut && !is_charged(bill)
    }),
    ("follow-ups", |_, visit| visit.kind == VisitKind::FollowUp),
    ("free-returns", |_, visit| {
        visit.kind == VisitKind::Guarantee
    }),
    ("not-to-be-charged", |bill, visit| {
        is_work(visit) && bill.paid == Paid::Uncharged
    }),
    ("not-charged-yet", |bill, visit| {
        is_work(visit) && bill.paid == Paid::Open
    }),
];

fn is_charged(bill: &Bill<'_>) -> bool {
    matches!(bill.paid, Paid::Charged(_))
}

fn is_work(visit: &Visit) -> bool {
    can_be_charged(visit.kind) && visit.kind != VisitKind::CallOut
}

/// By cause, most minutes first; causes without a visit are left out.
pub(super) fn unpaid(bills: &[Bill<'_>], needs: &Needs) -> Vec<Unpaid> {
    let mut all: Vec<Unpaid> = CAUSES
        .iter()
        .filter_map(|(cause, belongs)| {
            let mut refs = BTreeSet::new();
            let mut visits = 0;
            let mut minutes = 0;
            for bill in bills {
                for (job, visit) in &bill.visits {
                    if needs.holds(visit.date.in_office().value) && belongs(bill, visit) {
                        visits += 1;
                        minutes += visit.minutes().get();
                        refs.insert(job.reference.in_office().value.clone());
                    }
                }
            }
            (visits > 0).then(|| Unpaid {
                cause,
                visits,
                minutes,
                worth: part(needs.hour, minutes, 60),
                refs: refs.into_iter().collect(),
            })
        })
        .collect();
    all.sort_by_key(|one| std::cmp::Reverse(one.minutes));
    all
}

/// What one more charged hour a week, one pound more an hour and one unpaid call-out in ten fewer would each do.
/// Nothing where no hour was charged.
pub(super) fn levers(
    minutes: &YearMinutes,
    labour: Money,
    to_earn: Option<Money>,
    needs: &Needs,
) -> Vec<Lever> {
    let Some(charged_at) = an_hour(labour, minutes.charged) else {
        return Vec::new();
    };
    let lever = |change, minutes_of: f64, worth, charged: i64, on_site: i64, labour: Money| Lever {
        change,
        minutes: minutes_of,
        worth,
        needed_per_hour: to_earn.and_then(|money| an_hour(money, charged)),
        earned_per_hour: an_hour(labour, on_site),
    };
    let (charged, on_site) = (minutes.charged, minutes.on_site);
    let mut levers = Vec::new();
    if needs.weeks > 0.0 {
        let more = needs.weeks * 60.0;
        let whole = crate::office::words::whole(more);
        let worth = part(charged_at, whole, 60);
        levers.push(lever(
            "one-more-hour-a-week",
            more,
            worth,
            charged + whole,
            on_site + whole,
            labour + worth,
        ));
    }
    let pound = part(Money::from_pence(100), charged, 60);
    levers.push(lever(
        "one-pound-an-hour",
        super::as_f64(charged),
        pound,
        charged,
        on_site,
        labour + pound,
    ));
    if minutes.call_outs_uncharged > 0 {
        let saved = super::as_f64(minutes.call_outs_uncharged) / 10.0;
        let whole = crate::office::words::whole(saved);
        // The hour that is not spent on it can be charged to somebody.
        let worth = part(charged_at, whole, 60);
        levers.push(lever(
            "one-call-out-in-ten-fewer",
            saved,
            worth,
            charged + whole,
            on_site,
            labour + worth,
        ));
    }
    levers
}
