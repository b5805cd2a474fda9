//! What the office book reckons of one job: its guarantee's days, what materials cost and bring. Whole pence and
//! whole days; no float holds money. Statistics over many jobs are not here.

use jiff::civil::Date;

use crate::model::{Job, Material, Minutes, Money, Private, Rates, Settings, Visit, VisitKind};
use crate::trade::dates;

use super::words::whole;

/// A quoted job without a charge counts as done this many days after its last visit. Common practice, no source.
const DAYS_UNTIL_DONE: i32 = 30;

/// The day a job was done: that of its last visit which is not a free return. `None` where there is none: a job of
/// free returns alone is covered by the guarantee of the job it puts right.
pub fn finished(job: &Job) -> Option<Date> {
    job.visits
        .iter()
        .filter(|visit| visit.kind != VisitKind::Guarantee)
        .map(|visit| visit.date.in_office().value)
        .max()
}

/// Minutes on site that a quote's hours are held against: every visit but the free returns, up to a day.
pub fn taken(job: &Job, as_of: Date) -> Minutes {
    job.visits
        .iter()
        .filter(|visit| visit.kind != VisitKind::Guarantee && visit.date.in_office().value <= as_of)
        .map(Visit::minutes)
        .sum()
}

/// Whether a job's time can be told: it is charged, or its last visit is some weeks gone.
pub fn is_done(job: &Job, as_of: Date) -> bool {
    let Some(last) = finished(job).filter(|last| *last <= as_of) else {
        return false;
    };
    let charged = job.charged.as_ref().map(Private::in_office);
    let charged = charged.is_some_and(|one| one.on.as_ref().is_none_or(|on| on.value <= as_of));
    charged || job.uncharged.is_some() || (as_of - last).get_days() >= DAYS_UNTIL_DONE
}

/// The last day of a guarantee that begins on `from` and runs `years`; the trade's reckoning
/// ([`crate::trade::dates::guarantee_end`]).
pub fn guarantee_until(from: Date, years: u32) -> Option<Date> {
    dates::guarantee_end(from, years)
}

/// The last day of a year that begins on `from`: the day before its anniversary.
pub fn year_ends(from: Date) -> Date {
    dates::year_end(from)
}

/// A job's guarantee: its first and last day and its years. `None` for a job of free returns alone, and without years.
pub fn guarantee(job: &Job, settings: &Settings) -> Option<(Date, Date, u32)> {
    let from = finished(job)?;
    let years = job
        .guarantee_years
        .as_ref()
        .map_or(settings.guarantee_years, |years| years.value);
    Some((from, guarantee_until(from, years)?, years))
}

/// A line's amount: `each` so many times over, to the penny, half up; `each` itself where it stands for the whole
/// line.
pub fn line_amount(each: Money, material: &Material) -> Money {
    if material.for_all {
        return each;
    }
    many(each, material.count)
}

/// `part` in `all` of an amount, to the penny, half up; nought of nothing.
pub fn part(money: Money, part: i64, all: i64) -> Money {
    if all <= 0 {
        return Money::NOUGHT;
    }
    let product = i128::from(money.pence()) * i128::from(part);
    let all = i128::from(all);
    let pence = (2 * product + all).div_euclid(2 * all);
    Money::from_pence(i64::try_from(pence).unwrap_or(i64::MAX))
}

/// So many per cent of an amount, to the penny, half up. The per cent are taken to the thousandth.
pub fn percent(money: Money, percent: f64) -> Money {
    part(money, whole(percent * 1000.0), 100_000)
}

/// An amount so many times over, to the penny, half up. The count is taken to the thousandth.
pub fn many(each: Money, count: f64) -> Money {
    let thousandths = whole(count * 1000.0);
    let product = i128::from(each.pence()) * i128::from(thousandths);
    let pence = (product + 500).div_euclid(1000);
    Money::from_pence(i64::try_from(pence).unwrap_or(i64::MAX))
}

/// What a visit that nobody pays for costs: its time on site and on the road at the hourly rate, and its trip (miles
/// at the rate a mile, parking).
pub fn visit_cost(visit: &Visit, rates: &Rates) -> (Money, Money) {
    let travel = visit.travel.as_ref().map(Private::in_office);
    let road = travel.and_then(|travel| travel.time).unwrap_or_default();
    let miles = travel.and_then(|travel| travel.miles).unwrap_or_default();
    let parking = visit.parking.as_ref().map(Private::in_office);
    let time = part(rates.hour, (visit.minutes() + road).get(), 60);
    let trip = many(rates.mile, miles) + parking.map_or(Money::NOUGHT, |at| at.value);
    (time, trip)
}

/// What a material line cost and what was charged for it, where both or one is written.
pub fn line_amounts(material: &Material) -> (Option<Money>, Option<Money>) {
    let all = |each: Option<&crate::model::Private<crate::model::At<Money>>>| {
        each.map(|each| line_amount(each.in_office().value, material))
    };
    (all(material.cost.as_ref()), all(material.charge.as_ref()))
}

/// What a charge is over its cost in whole per cent, half away from nought; `None` where it cost nothing.
pub fn over_cost(cost: Money, charge: Money) -> Option<i64> {
    (cost.pence() != 0).then(|| super::words::percent_of((charge - cost).pence(), cost.pence()))
}

/// Money for each hour, to the penny, half up; `None` for no time.
pub fn an_hour(money: Money, minutes: i64) -> Option<Money> {
    (minutes > 0).then(|| {
        let pence = i128::from(money.pence()) * 60;
        let rounded = (2 * pence + i128::from(minutes)).div_euclid(2 * i128::from(minutes));
        Money::from_pence(i64::try_from(rounded).unwrap_or(i64::MAX))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnose::{Sources, Span};
    use crate::model::{At, Private};
    use jiff::civil::date;

    fn material(count: f64, cost: i64, charge: Option<i64>) -> Material {
        let file = Sources::default().add("x", "");
        let at = |pence| Private::new(At::new(Money::from_pence(pence), Span::file_start(file)));
        Material {
            item: At::new("Gland".to_owned(), Span::file_start(file)),
            count,
            counted: None,
            unit: None,
            cost: Some(at(cost)),
            charge: charge.map(at),
            for_all: false,
            supplier: None,
            came_back: None,
        }
    }

    #[test]
    fn a_guarantee_ends_the_day_before_its_anniversary() {
        assert_eq!(
            guarantee_until(date(2026, 3, 18), 6),
            Some(date(2032, 3, 17))
        );
        assert_eq!(
            guarantee_until(date(2026, 1, 1), 1),
            Some(date(2026, 12, 31))
        );
        assert_eq!(
            guarantee_until(date(2022, 3, 1), 6),
            Some(date(2028, 2, 29))
        );
        assert_eq!(guarantee_until(date(2026, 3, 18), 0), None);
        assert_eq!(guarantee_until(date(9999, 3, 18), 6), None);
    }

    #[test]
    fn a_guarantee_from_a_leap_day_runs_its_years_in_full() {
        assert_eq!(
            guarantee_until(date(2024, 2, 29), 6),
            Some(date(2030, 2, 28))
        );
        assert_eq!(
            guarantee_until(date(2024, 2, 29), 4),
            Some(date(2028, 2, 28))
        );
    }

    #[test]
    fn a_line_is_its_count_times_each_to_the_penny_half_up() {
        let (cost, charge) = line_amounts(&material(4.0, 450, Some(520)));
        assert_eq!(
            (cost, charge),
            (Some(Money::from_pence(1800)), Some(Money::from_pence(2080)))
        );
        assert_eq!(
            line_amounts(&material(1.5, 333, None)),
            (Some(Money::from_pence(500)), None)
        );
        let all = Material {
            for_all: true,
            ..material(24.0, 7440, Some(8556))
        };
        assert_eq!(
            line_amounts(&all),
            (Some(Money::from_pence(7440)), Some(Money::from_pence(8556)))
        );
    }

    #[test]
    fn margin_is_over_cost_and_undefined_for_what_cost_nothing() {
        assert_eq!(
            over_cost(Money::from_pence(7440), Money::from_pence(8556)),
            Some(15)
        );
        assert_eq!(
            over_cost(Money::from_pence(400), Money::from_pence(300)),
            Some(-25)
        );
        assert_eq!(over_cost(Money::NOUGHT, Money::from_pence(300)), None);
    }

    #[test]
    fn an_hour_s_money_is_rounded_half_up() {
        // The worked example of the design: 640.00 over 11.75 h.
        assert_eq!(
            an_hour(Money::from_pence(64_000), 705),
            Some(Money::from_pence(5_447))
        );
        assert_eq!(
            an_hour(Money::from_pence(1), 120),
            Some(Money::from_pence(1))
        );
        assert_eq!(an_hour(Money::from_pence(1), 0), None);
    }
}
