//! `rates`: what the year must earn an hour, what it did earn, and where the difference went.
//!
//! Common practice of the trade, no source: needed an hour is pay and overheads over the hours charged; charged an
//! hour is the labour charged over the same hours; earned an hour is that labour over every hour on site, with the
//! call-outs and the returns that nobody paid for. Pay and overheads go by the days of the year that the day to
//! reckon by has reached. Money is rounded to the penny, half up, wherever it is shown.

mod behind;
mod earned;
mod quotes;
mod span;
mod text;
mod unpaid;

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

use crate::model::{Diary, Money, Visit};

use super::back_test::Kept;
use super::bills::{Bill, Paid, bills, can_be_charged};
use super::hours::count::travel;
use super::reckon::{an_hour, year_ends};

pub use behind::{Behind, Part};
pub use earned::{Earned, Spread};
pub use quotes::{MUCH_OVER, OverQuote, Quotes, Ratio, RatioTrend};
pub use span::{Asked, WhatIf, WhatIfError};
pub use text::text;
pub(in crate::office) use text::{cause_in_words, change_in_words, quoted_against_taken};
pub use unpaid::{Lever, Unpaid};

use span::Needs;

/// The report. Its serialized form is the JSON of `daywork rates --format json`.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Rates {
    /// `rates`.
    pub report: &'static str,
    /// 1.
    pub version: u32,
    /// First day, ISO; `None` for a diary without years or visits.
    pub from: Option<String>,
    /// Last day that is reckoned with, ISO.
    pub to: Option<String>,
    /// The last day of the year, where the day to reckon by has not reached it.
    pub ends: Option<String>,
    /// What the trader was to take home, for the days reached; `None` where `years` says nothing of them.
    pub pay: Option<Money>,
    /// Van, insurance, tools, fees, for the days reached.
    pub overheads: Option<Money>,
    /// Labour charged for the visits of these days.
    pub labour: Money,
    /// Pay and overheads less that labour; below nought where labour brought in more.
    pub short: Option<Money>,
    /// Where the hours went.
    pub minutes: YearMinutes,
    /// Minutes charged of all minutes worked; `None` of none.
    pub utilisation: Option<f64>,
    /// Pay and overheads for each hour charged.
    pub needed_per_hour: Option<Money>,
    /// Labour charged for each hour charged.
    pub charged_per_hour: Option<Money>,
    /// Labour charged for each hour on site.
    pub earned_per_hour: Option<Money>,
    /// Jobs that were done in these days and charged, or are not to be.
    pub jobs: usize,
    /// Task types, the least earning first, then by key.
    pub tasks: Vec<Earned>,
    /// Location types, the least earning first, then by key.
    pub locations: Vec<Earned>,
    /// Hours quoted against hours taken.
    pub quotes: Quotes,
    /// Time on site that no bill pays, most minutes first.
    pub unpaid: Vec<Unpaid>,
    /// What one change would do.
    pub levers: Vec<Lever>,
    /// Days within the span that no entry of `years` covers.
    pub days_without_year: i32,
    /// Inputs that were changed for this run, as typed.
    pub what_if: Vec<String>,
    /// How prices from this record have done; `None` where it was not reckoned for it.
    pub back_test: Option<Kept>,
    /// The jobs behind each part of the hours, for the office book; the JSON has refs beside each figure.
    #[serde(skip)]
    pub behind: BTreeMap<Part, Vec<Behind>>,
}

/// Where the hours of a span went, in minutes.
#[derive(Clone, Copy, Debug, Default, Serialize, PartialEq)]
pub struct YearMinutes {
    /// On site, every visit.
    pub on_site: i64,
    /// Planned, survey and call-out visits of jobs that were charged.
    pub charged: i64,
    /// Call-outs that stand on no bill.
    pub call_outs_uncharged: i64,
    /// Follow-ups.
    pub follow_ups: i64,
    /// Free returns.
    pub free_returns: i64,
    /// Planned and survey visits of jobs that were not charged, or not yet.
    pub other: i64,
    /// On the road.
    pub travel: i64,
    /// Unpaid hours at the desk: the year's `admin` a week.
    pub admin: f64,
    /// All of it.
    pub all: f64,
}

/// A review of each of the diary's `years` that has begun, the latest first; of the whole record for a diary without.
pub fn each_year(diary: &Diary, as_of: Date) -> Vec<Rates> {
    let mut begun: Vec<Date> = diary
        .settings
        .years
        .iter()
        .map(|year| year.in_office().from)
        .filter(|from| *from <= as_of)
        .collect();
    begun.sort_unstable();
    begun.dedup();
    let earlier = begun.iter().rev().skip(1).map(|&from| Asked::Span {
        from: Some(from),
        to: Some(year_ends(from)),
    });
    let record = Record::of(diary, as_of);
    std::iter::once(Asked::Year)
        .chain(earlier)
        .map(|asked| review(&record, &Needs::of(diary, asked, &[], as_of)))
        .collect()
}

/// Reckons the rates of a year or a span, up to `as_of`.
pub fn rates(diary: &Diary, asked: Asked, what_if: &[WhatIf], as_of: Date) -> Rates {
    let needs = Needs::of(diary, asked, what_if, as_of);
    review(&Record::of(diary, as_of), &needs)
}

/// What reviews of several years share.
struct Record<'a> {
    diary: &'a Diary,
    bills: Vec<Bill<'a>>,
    quoted: quotes::Quoted,
}

impl<'a> Record<'a> {
    fn of(diary: &'a Diary, as_of: Date) -> Self {
        Record {
            diary,
            bills: bills(diary, as_of),
            quoted: quotes::Quoted::of(diary, as_of),
        }
    }
}

fn review(record: &Record<'_>, needs: &Needs) -> Rates {
    let Record {
        diary,
        bills,
        quoted,
    } = record;
    let within = |visit: &Visit| needs.holds(visit.date.in_office().value);

    let mut minutes = YearMinutes {
        admin: needs.admin,
        ..YearMinutes::default()
    };
    for bill in bills {
        for (_, visit) in bill.visits.iter().filter(|(_, visit)| within(visit)) {
            let time = visit.minutes().get();
            minutes.on_site += time;
            minutes.travel += travel(visit).get();
            *match Part::of(bill, visit) {
                Part::FollowUps => &mut minutes.follow_ups,
                Part::FreeReturns => &mut minutes.free_returns,
                Part::Charged => &mut minutes.charged,
                Part::CallOuts => &mut minutes.call_outs_uncharged,
                _ => &mut minutes.other,
            } += time;
        }
    }
    let at_work = minutes.on_site + minutes.travel;
    minutes.all = as_f64(at_work) + minutes.admin;

    let labour: Money = bills
        .iter()
        .map(|bill| bill.labour_of(|day| needs.holds(day)))
        .sum();
    let labour = needs.as_if(labour);
    let to_earn = needs
        .pay
        .zip(needs.overheads)
        .map(|(pay, overheads)| pay + overheads);
    let needed_per_hour = to_earn.and_then(|money| an_hour(money, minutes.charged));
    let done: Vec<&Bill<'_>> = bills
        .iter()
        .filter(|bill| bill.paid != Paid::Open && bill.done().is_some_and(|day| needs.holds(day)))
        .collect();
    let unpaid = unpaid::unpaid(bills, needs);
    let (charged_per_hour, earned_per_hour) = (
        an_hour(labour, minutes.charged),
        an_hour(labour, minutes.on_site),
    );
    Rates {
        report: "rates",
        version: 1,
        from: needs.from.map(|day| day.to_string()),
        to: needs.from.map(|_| needs.to.to_string()),
        ends: needs.ends.map(|day| day.to_string()),
        pay: needs.pay,
        overheads: needs.overheads,
        labour,
        short: to_earn.map(|money| money - labour),
        utilisation: (minutes.all > 0.0).then(|| as_f64(minutes.charged) / minutes.all),
        needed_per_hour,
        charged_per_hour,
        earned_per_hour,
        jobs: done.len(),
        tasks: earned::by_task(diary, &done, needs, needed_per_hour),
        locations: earned::by_location(diary, &done, needs, needed_per_hour),
        quotes: quotes::quotes(quoted, needs),
        levers: unpaid::levers(&minutes, labour, to_earn, needs),
        unpaid,
        behind: behind::behind(bills, needs),
        minutes,
        days_without_year: needs.days_without_year,
        what_if: needs.what_if.clone(),
        back_test: None,
    }
}

#[expect(
    clippy::cast_precision_loss,
    reason = "a diary's minutes are far below 2^52"
)]
fn as_f64(minutes: i64) -> f64 {
    minutes as f64
}
