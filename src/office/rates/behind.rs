//! The jobs behind each figure of a review, with what each of them gave to it.

use std::collections::BTreeMap;

use crate::model::{Money, Visit, VisitKind};
use crate::office::bills::{Bill, Paid};
use crate::office::hours::count::travel;

use super::Needs;

/// What one job gave to a figure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Behind {
    /// Its ref.
    pub reference: String,
    /// Minutes.
    pub minutes: i64,
    /// Labour that fell to those minutes; `None` for time that no bill pays.
    pub labour: Option<Money>,
}

/// A part of the hours of a span.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// Every visit.
    OnSite,
    /// Planned, survey and call-out visits of jobs that were charged.
    Charged,
    /// Call-outs that stand on no bill.
    CallOuts,
    /// Follow-ups.
    FollowUps,
    /// Free returns.
    FreeReturns,
    /// Planned and survey visits of jobs that are not to be charged.
    NotToBeCharged,
    /// Planned and survey visits of jobs that are not charged yet.
    NotChargedYet,
    /// On the road.
    Travel,
}

impl Part {
    /// Every part, in order.
    pub const ALL: [Part; 8] = [
        Part::OnSite,
        Part::Charged,
        Part::CallOuts,
        Part::FollowUps,
        Part::FreeReturns,
        Part::NotToBeCharged,
        Part::NotChargedYet,
        Part::Travel,
    ];

    /// Its word in addresses, and the `cause` of [`super::Unpaid`] where it is one: `call-outs`.
    pub fn word(self) -> &'static str {
        match self {
            Part::OnSite => "on-site",
            Part::Charged => "charged",
            Part::CallOuts => "call-outs",
            Part::FollowUps => "follow-ups",
            Part::FreeReturns => "free-returns",
            Part::NotToBeCharged => "not-to-be-charged",
            Part::NotChargedYet => "not-charged-yet",
            Part::Travel => "travel",
        }
    }

    /// The part that a visit's time on site belongs to, besides [`Part::OnSite`].
    pub(super) fn of(bill: &Bill<'_>, visit: &Visit) -> Part {
        match (visit.kind, bill.paid) {
            (VisitKind::FollowUp, _) => Part::FollowUps,
            (VisitKind::Guarantee, _) => Part::FreeReturns,
            (_, Paid::Charged(_)) => Part::Charged,
            (VisitKind::CallOut, _) => Part::CallOuts,
            (VisitKind::Planned | VisitKind::Survey, Paid::Uncharged) => Part::NotToBeCharged,
            (VisitKind::Planned | VisitKind::Survey, Paid::Open) => Part::NotChargedYet,
        }
    }
}

/// The jobs behind each part of the hours, in order of ref; a part without a job is left out. What a bill brought
/// stands with the job whose log holds the charge, and so do the call-outs that it pays for; any other time stands
/// with the log that its visit is in.
pub(super) fn behind(bills: &[Bill<'_>], needs: &Needs) -> BTreeMap<Part, Vec<Behind>> {
    let mut minutes: BTreeMap<(Part, &str), i64> = BTreeMap::new();
    let mut labour: BTreeMap<&str, Money> = BTreeMap::new();
    for bill in bills {
        let brought = needs.as_if(bill.labour_of(|day| needs.holds(day)));
        if brought > Money::NOUGHT {
            labour.insert(bill.reference(), brought);
            // A charge without a visit that could earn it is behind the figures all the same.
            minutes.entry((Part::OnSite, bill.reference())).or_default();
            minutes
                .entry((Part::Charged, bill.reference()))
                .or_default();
        }
        for (job, visit) in &bill.visits {
            if !needs.holds(visit.date.in_office().value) {
                continue;
            }
            let own = job.reference.in_office().value.as_str();
            let part = Part::of(bill, visit);
            let stands_with = if part == Part::Charged {
                bill.reference()
            } else {
                own
            };
            let time = visit.minutes().get();
            *minutes.entry((Part::OnSite, bill.reference())).or_default() += time;
            *minutes.entry((part, stands_with)).or_default() += time;
            let on_the_road = travel(visit).get();
            if on_the_road > 0 {
                *minutes.entry((Part::Travel, own)).or_default() += on_the_road;
            }
        }
    }
    let mut parts: BTreeMap<Part, Vec<Behind>> = BTreeMap::new();
    for ((part, reference), minutes) in minutes {
        let earns = matches!(part, Part::OnSite | Part::Charged);
        parts.entry(part).or_default().push(Behind {
            reference: reference.to_owned(),
            minutes,
            labour: earns.then(|| labour.get(reference).copied().unwrap_or_default()),
        });
    }
    parts
}
