//! Hours quoted against hours taken.

use jiff::civil::Date;
use serde::Serialize;

use crate::model::{Diary, Job, Minutes};
use crate::numbers::bootstrap::median_interval;
use crate::numbers::normal::Confidence;
use crate::numbers::quantile::Sorted;
use crate::numbers::trend::{LEAST_FOR_TREND, Point, mann_kendall, theil_sen};
use crate::office::hours::DAYS_OF_YEAR;
use crate::office::reckon::{finished, is_done, taken};

use super::Needs;

/// Over the quote by this share is worth naming. Common practice, no source.
pub const MUCH_OVER: f64 = 1.25;

/// Quotes against what the jobs took.
#[derive(Clone, Debug, Default, Serialize, PartialEq)]
pub struct Quotes {
    /// Jobs done in the span that had hours quoted.
    pub n: usize,
    /// Hours on site, without free returns, over hours quoted; `None` without any.
    pub hours_ratio: Option<Ratio>,
    /// The ratio's change a year, over the whole record; `None` with fewer than eight jobs.
    pub trend: Option<RatioTrend>,
    /// Every quoted job, the furthest over first.
    pub jobs: Vec<OverQuote>,
}

/// Half of the quoted jobs took less than `median` times the hours quoted.
#[derive(Clone, Copy, Debug, Serialize, PartialEq)]
pub struct Ratio {
    /// The median.
    pub median: f64,
    /// 0.9.
    pub level: f64,
    /// Lower end of its interval; `None` with fewer than five jobs.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
}

/// How the ratio changes over the years.
#[derive(Clone, Copy, Debug, Serialize, PartialEq)]
pub struct RatioTrend {
    /// Theil-Sen slope: the ratio's change a year.
    pub per_year: f64,
    /// Lower end of its 95 % interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// The chance of so clear a change were there none.
    pub p: f64,
}

/// A quoted job.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct OverQuote {
    /// Its ref.
    #[serde(rename = "ref")]
    pub reference: String,
    /// Its title.
    pub title: String,
    /// Minutes quoted.
    pub quoted: i64,
    /// Minutes taken.
    pub took: i64,
    /// Taken over quoted.
    pub ratio: f64,
    /// What the quote was based on; empty where it does not say.
    pub basis: String,
}

/// Every quoted job of the record that is done, with the day it was, and how their ratio changes over the years. Made
/// once for reviews of several years: the change is looked for in every pair of jobs.
pub(super) struct Quoted {
    all: Vec<(Date, OverQuote)>,
    trend: Option<RatioTrend>,
}

impl Quoted {
    pub(super) fn of(diary: &Diary, as_of: Date) -> Self {
        let all: Vec<(Date, OverQuote)> = diary
            .jobs
            .iter()
            .filter(|job| is_done(job, as_of))
            .filter_map(|job| Some((finished(job)?, over_quote(job, as_of)?)))
            .collect();
        let trend = trend(&all);
        Quoted { all, trend }
    }
}

pub(super) fn quotes(quoted: &Quoted, needs: &Needs) -> Quotes {
    let mut jobs: Vec<OverQuote> = quoted
        .all
        .iter()
        .filter(|(day, _)| needs.holds(*day))
        .map(|(_, quote)| quote.clone())
        .collect();
    jobs.sort_by(|a, b| {
        b.ratio
            .total_cmp(&a.ratio)
            .then_with(|| a.reference.cmp(&b.reference))
    });
    let sorted = Sorted::new(jobs.iter().map(|job| job.ratio).collect());
    let interval = sorted
        .as_ref()
        .and_then(|sorted| median_interval(sorted, Confidence::NINETY));
    Quotes {
        n: jobs.len(),
        hours_ratio: sorted.map(|sorted| Ratio {
            median: sorted.median(),
            level: 0.9,
            low: interval.map(|interval| interval.low),
            high: interval.map(|interval| interval.high),
        }),
        trend: quoted.trend,
        jobs,
    }
}

fn over_quote(job: &Job, as_of: Date) -> Option<OverQuote> {
    let quoted = job.quoted.as_ref()?.in_office();
    let hours = quoted.hours.as_ref()?.value;
    let took = taken(job, as_of);
    (hours > Minutes::NOUGHT && took > Minutes::NOUGHT).then(|| OverQuote {
        reference: job.reference.in_office().value.clone(),
        title: job.title.value.clone(),
        quoted: hours.get(),
        took: took.get(),
        ratio: took.as_f64() / hours.as_f64(),
        basis: quoted
            .basis
            .as_ref()
            .map(|at| at.value.clone())
            .unwrap_or_default(),
    })
}

fn trend(all: &[(Date, OverQuote)]) -> Option<RatioTrend> {
    if all.len() < LEAST_FOR_TREND {
        return None;
    }
    let first = all.iter().map(|(day, _)| *day).min()?;
    let points: Vec<Point> = all
        .iter()
        .map(|(day, quote)| Point {
            at: f64::from((*day - first).get_days()) / DAYS_OF_YEAR,
            value: quote.ratio,
        })
        .collect();
    let slope = theil_sen(&points, Confidence::NINETY_FIVE)?;
    Some(RatioTrend {
        per_year: slope.slope,
        low: slope.low,
        high: slope.high,
        p: mann_kendall(&points)?.p,
    })
}
