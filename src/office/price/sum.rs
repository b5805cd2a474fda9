//! The sum: labour, materials, parking, the trip, unplanned call-outs, the guarantee, VAT; by the hour and by the day.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::model::price::Question;
use crate::model::{Diary, Minutes, Money, Rates, Visit, VisitKind};
use crate::numbers::garwood::garwood;
use crate::numbers::normal::Confidence;
use crate::office::bills::{Bill, bills};
use crate::office::cover::{self, Cover};
use crate::office::other_time;
use crate::office::reckon::{many, part, percent, visit_cost};
use crate::office::words::{amount, counted, number, whole};

use super::draws::Drawn;
use super::{ByTheDay, Line, OtherTime};

/// With fewer jobs of its kind, all jobs say how often a job brings a call-out.
const FEWEST_LIKE_IT: usize = 5;

/// The sum of a question.
pub(super) struct Sum {
    pub(super) other: OtherTime,
    pub(super) labour_minutes: f64,
    pub(super) lines: Vec<Line>,
    pub(super) total: Money,
    pub(super) by_the_day: Option<ByTheDay>,
    pub(super) warnings: Vec<String>,
}

pub(super) fn sum(diary: &Diary, question: &Question, drawn: &Drawn, as_of: Date) -> Sum {
    let rates = diary.settings.rates.in_office();
    let mut warnings = Vec::new();
    let other = other_time(diary, question, drawn, rates, as_of);
    if other.n == 0 {
        warnings.push(
            "No planned visit of the record tells other time on site: none is in this price."
                .to_owned(),
        );
    }
    let labour_minutes = drawn.minutes.at_chance + other.minutes;
    let labour = labour_by_the_hour(drawn, &other, labour_minutes, question, rates);
    let mut rest = Vec::new();
    rest.extend(materials(question, rates));
    rest.extend(parking(question));
    rest.extend(trip(question, &other, rates));
    rest.extend(call_outs(diary, question, rates, as_of));
    rest.extend(guarantee(&cover::cover(diary, as_of), &rates.currency));
    let before_vat: Money = rest.iter().map(|line| line.amount).sum();
    let mut lines = vec![labour];
    lines.extend(rest);
    let net: Money = lines.iter().map(|line| line.amount).sum();
    lines.extend(vat(net, rates));
    Sum {
        total: lines.iter().map(|line| line.amount).sum(),
        by_the_day: by_the_day(labour_minutes, before_vat, rates),
        other,
        labour_minutes,
        lines,
        warnings,
    }
}

fn other_time(
    diary: &Diary,
    question: &Question,
    drawn: &Drawn,
    rates: &Rates,
    as_of: Date,
) -> OtherTime {
    let each = other_time::each(diary, as_of);
    let per_visit = other_time::median(&each).unwrap_or(0.0);
    let day = rates.day_length.as_f64();
    let days = if day > 0.0 {
        drawn.minutes.q50 / day
    } else {
        1.0
    };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a float out of range becomes the nearest whole number in it"
    )]
    let reckoned = (days.ceil() as u32).max(1);
    let visits = question.visits.unwrap_or(reckoned);
    OtherTime {
        per_visit,
        visits,
        minutes: per_visit * f64::from(visits),
        n: each.len(),
    }
}

/// Minutes at the hourly rate, to the penny, half up. Minutes are drawn and no whole number; they are taken to the
/// thousandth.
fn at_the_rate(hour: Money, minutes: f64) -> Money {
    part(hour, whole(minutes * 1000.0), 60_000)
}

fn length(minutes: f64) -> String {
    Minutes::new(whole(minutes)).to_string()
}

fn labour_by_the_hour(
    drawn: &Drawn,
    other: &OtherTime,
    minutes: f64,
    question: &Question,
    rates: &Rates,
) -> Line {
    let chance = question.chance.unwrap_or(super::USUAL_CHANCE);
    let refs: BTreeSet<String> = drawn
        .tasks
        .iter()
        .flat_map(|task| task.refs.clone())
        .collect();
    let visits = counted(other.visits as usize, "visit", "visits");
    Line {
        what: "labour",
        amount: at_the_rate(rates.hour, minutes),
        how: format!(
            "{} on the tasks, which {} in 100 such jobs stay within, and {} of other time on {visits}, at {} an hour",
            length(drawn.minutes.at_chance),
            number(chance),
            length(other.minutes),
            amount(rates.hour, &rates.currency),
        ),
        refs: refs.into_iter().collect(),
    }
}

fn plain(what: &'static str, amount: Money, how: String) -> Option<Line> {
    (amount > Money::NOUGHT).then(|| Line {
        what,
        amount,
        how,
        refs: Vec::new(),
    })
}

fn materials(question: &Question, rates: &Rates) -> Option<Line> {
    let cost = amount(question.materials, &rates.currency);
    plain(
        "materials",
        question.materials + percent(question.materials, rates.markup_percent),
        format!(
            "{cost} at cost, and {} % on it",
            number(rates.markup_percent)
        ),
    )
}

fn parking(question: &Question) -> Option<Line> {
    plain("parking", question.parking, "as given, in all".to_owned())
}

fn trip(question: &Question, other: &OtherTime, rates: &Rates) -> Option<Line> {
    let miles = question.miles * f64::from(other.visits);
    plain(
        "travel",
        many(rates.mile, miles),
        format!(
            "{} miles there and back on {}, at {} a mile",
            number(question.miles),
            counted(other.visits as usize, "visit", "visits"),
            amount(rates.mile, &rates.currency)
        ),
    )
}

fn vat(net: Money, rates: &Rates) -> Option<Line> {
    plain(
        "VAT",
        percent(net, rates.vat_percent),
        format!("{} % of the lines above", number(rates.vat_percent)),
    )
}

/// Call-outs that came once the planned work had begun: what led to a job is not brought by it.
fn brought<'a>(bill: &Bill<'a>) -> Vec<&'a Visit> {
    let day = |visit: &Visit| visit.date.in_office().value;
    let visits = || bill.visits.iter().map(|(_, visit)| *visit);
    let planned = visits().filter(|visit| visit.kind == VisitKind::Planned);
    let Some(begun) = planned.map(day).min() else {
        return Vec::new();
    };
    visits()
        .filter(|visit| visit.kind == VisitKind::CallOut && day(visit) > begun)
        .collect()
}

/// The call-outs that such jobs brought with them, at what one costs. A job of call-outs alone is no such job.
fn call_outs(diary: &Diary, question: &Question, rates: &Rates, as_of: Date) -> Option<Line> {
    let bills = bills(diary, as_of);
    let planned = |bill: &&Bill<'_>| {
        let mut visits = bill.visits.iter();
        visits.any(|(_, visit)| visit.kind == VisitKind::Planned)
    };
    let all: Vec<&Bill<'_>> = bills.iter().filter(planned).collect();
    let wanted: BTreeSet<&str> = question.tasks.iter().map(|one| one.task.as_str()).collect();
    let like_it: Vec<&Bill<'_>> = all
        .iter()
        .copied()
        .filter(|bill| {
            let mut tasks = bill.visits.iter().flat_map(|(_, visit)| &visit.tasks);
            tasks.any(|task| wanted.contains(task.key.value.as_str()))
        })
        .collect();
    let (jobs, such) = if like_it.len() >= FEWEST_LIKE_IT {
        (like_it, "jobs with one of these tasks")
    } else {
        (all, "planned jobs of every kind")
    };
    let visits: Vec<&Visit> = jobs.iter().flat_map(|bill| brought(bill)).collect();
    let count = i64::try_from(jobs.len()).ok().filter(|count| *count > 0)?;
    let cost: Money = visits
        .iter()
        .map(|visit| visit_cost(visit, rates))
        .map(|(time, trip)| time + trip)
        .sum();
    #[expect(clippy::cast_precision_loss, reason = "jobs of one diary")]
    let rate = garwood(visits.len(), count as f64, Confidence::NINETY)?;
    let refs = jobs.iter().filter(|bill| !brought(bill).is_empty());
    Some(Line {
        what: "call-outs",
        amount: part(cost, 1, count),
        how: format!(
            "{} in {} {such} once the work had begun: {} a job (between {} and {}, nine times in ten), at what they cost",
            counted(visits.len(), "call-out", "call-outs"),
            jobs.len(),
            hundredths(rate.rate),
            hundredths(rate.low),
            hundredths(rate.high),
        ),
        refs: refs.map(|bill| bill.reference().to_owned()).collect(),
    })
}

fn hundredths(rate: f64) -> String {
    format!("{rate:.2}")
}

fn guarantee(cover: &Cover, currency: &str) -> Option<Line> {
    let (reserve, expected, cost) = (
        cover.reserve_per_job?,
        cover.expected_per_job?,
        cover.cost_per_return?,
    );
    let refs: BTreeSet<String> = cover
        .costs
        .iter()
        .map(|one| one.reference.clone())
        .collect();
    Some(Line {
        what: "guarantee",
        amount: reserve,
        how: format!(
            "{expected:.2} free returns in {}, at {} each, from {} so far",
            counted(cover.guarantee_years as usize, "year", "years"),
            amount(cost, currency),
            cover.costs.len(),
        ),
        refs: refs.into_iter().collect(),
    })
}

fn by_the_day(minutes: f64, rest: Money, rates: &Rates) -> Option<ByTheDay> {
    let day = rates.day_length.as_f64();
    if rates.day <= Money::NOUGHT || day <= 0.0 {
        return None;
    }
    let halves = (minutes / (day / 2.0)).ceil().max(1.0);
    let labour = part(rates.day, whole(halves), 2);
    let days = halves / 2.0;
    let net = labour + rest;
    let vat = percent(net, rates.vat_percent);
    Some(ByTheDay {
        days,
        labour,
        vat,
        total: net + vat,
        how: format!(
            "{} {}, reckoned in halves, at {} a day of {}",
            number(days),
            if days == 1.0 { "day" } else { "days" },
            amount(rates.day, &rates.currency),
            rates.day_length
        ),
    })
}
