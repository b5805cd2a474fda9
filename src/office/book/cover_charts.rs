//! Where the marks of the cover ledger's charts stand: lanes of guarantees, and the steps of the two curves, few
//! enough to be drawn however long the record is. Draws nothing.

use std::collections::BTreeMap;

use jiff::civil::{Date, date};
use serde::Serialize;

use crate::office::cover::{Cover, Guarantee};
use crate::office::hours::DAYS_OF_YEAR;
use crate::office::words::{counted, iso_day};

use super::Book;
use super::cover_lists::year_of;
use super::list::year_link;

/// The most dots beneath a lane; where there are more, one stands for a month.
const MOST_DOTS: usize = 60;
/// The most steps of a curve that can be told apart.
const MOST_STEPS: f64 = 200.0;

/// The lanes.
#[derive(Clone, Debug, Default, Serialize, PartialEq)]
pub struct Lanes {
    /// Where today stands, in per cent.
    pub today: f64,
    /// The most guarantees that run in one lane at one time.
    pub most: usize,
    /// New Year's Days: place and year.
    pub ticks: Vec<(f64, String)>,
    /// A lane for each year of finishing, oldest first.
    pub lanes: Vec<Lane>,
}

/// The guarantees of work finished in one year.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Lane {
    /// `2024`.
    pub year: String,
    /// The list of that year's jobs; empty where there is none.
    pub link: String,
    /// Jobs.
    pub jobs: usize,
    /// Running today.
    pub running: usize,
    /// Free returns.
    pub returns: usize,
    /// `3 December 2029 to 30 December 2029`.
    pub end: String,
    /// From one per cent to another, and how many run.
    pub spans: Vec<(f64, f64, usize)>,
    /// Where its free returns stand.
    pub dots: Vec<f64>,
    /// Its figures in a sentence.
    pub said: String,
}

/// A step of a curve.
#[derive(Clone, Copy, Debug, Serialize, PartialEq)]
pub struct CurveStep {
    /// Age in years.
    pub at: f64,
    /// What holds from there on.
    pub value: f64,
    /// Lower end of its interval.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
}

/// Places along the years from the first that work was finished in to the last that a guarantee ends in.
struct Calendar {
    from: Date,
    days: f64,
}

impl Calendar {
    fn of(cover: &Cover) -> Option<Self> {
        let year = |date: &str| year_of(date).parse::<i16>().ok();
        let first = cover
            .jobs
            .iter()
            .filter_map(|job| year(&job.finished))
            .min()?;
        let last = cover.jobs.iter().filter_map(|job| year(&job.until)).max()?;
        let (from, to) = (date(first, 1, 1), date(last, 12, 31));
        Some(Calendar {
            from,
            days: f64::from((to - from).get_days() + 1),
        })
    }

    fn place(&self, day: Date) -> f64 {
        (f64::from((day - self.from).get_days()) * 100.0 / self.days).clamp(0.0, 100.0)
    }
}

/// The lanes of a book; none without a guarantee.
pub(super) fn lanes(book: &Book<'_>) -> Lanes {
    let cover = book.reports.cover;
    let Some(calendar) = Calendar::of(cover) else {
        return Lanes::default();
    };
    let mut by_year: BTreeMap<&str, Vec<&Guarantee>> = BTreeMap::new();
    for job in &cover.jobs {
        by_year.entry(year_of(&job.finished)).or_default().push(job);
    }
    let lanes: Vec<Lane> = by_year
        .iter()
        .map(|(year, jobs)| lane(book, &calendar, year, jobs))
        .collect();
    let most = lanes
        .iter()
        .flat_map(|lane| lane.spans.iter().map(|span| span.2))
        .max();
    let years = calendar.from.year()..=calendar.from.year() + whole_years(calendar.days);
    Lanes {
        today: calendar.place(book.as_of),
        most: most.unwrap_or(0),
        ticks: years
            .map(|year| (calendar.place(date(year, 1, 1)), year.to_string()))
            .collect(),
        lanes,
    }
}

#[expect(clippy::cast_possible_truncation, reason = "a calendar's years fit")]
fn whole_years(days: f64) -> i16 {
    (days / DAYS_OF_YEAR).round() as i16 - 1
}

fn lane(book: &Book<'_>, calendar: &Calendar, year: &str, jobs: &[&Guarantee]) -> Lane {
    let running = jobs.iter().filter(|job| job.state == "running").count();
    let returns = jobs.iter().map(|job| job.returns.len()).sum();
    // They stand in order of their end.
    let (first, last) = (jobs.first(), jobs.last());
    let day = |job: Option<&&Guarantee>| job.map_or_else(String::new, |job| iso_day(&job.until));
    let (first, last) = (day(first), day(last));
    let (ends, they_end) = if first == last {
        (first.clone(), format!("on {first}"))
    } else {
        (
            format!("{first} to {last}"),
            format!("from {first} to {last}"),
        )
    };
    let number = year
        .parse()
        .ok()
        .filter(|year| book.index.years.contains_key(year));
    Lane {
        year: year.to_owned(),
        link: number.map_or_else(String::new, year_link),
        jobs: jobs.len(),
        running,
        returns,
        said: format!(
            "{} finished in {year}: {running} running, {} ended. They end {they_end}. {} so far.",
            counted(jobs.len(), "job", "jobs"),
            jobs.len() - running,
            counted(returns, "free return", "free returns")
        ),
        end: ends,
        spans: spans(calendar, jobs),
        dots: dots(calendar, jobs),
    }
}

/// How many run, month by month; months alike are one span.
fn spans(calendar: &Calendar, jobs: &[&Guarantee]) -> Vec<(f64, f64, usize)> {
    let mut change: BTreeMap<Date, i64> = BTreeMap::new();
    for job in jobs {
        let (Ok(finished), Ok(until)) = (job.finished.parse::<Date>(), job.until.parse::<Date>())
        else {
            continue;
        };
        *change.entry(finished.first_of_month()).or_default() += 1;
        // It runs to the end of its last day, so its month counts whole.
        let next = until.last_of_month().tomorrow().unwrap_or(Date::MAX);
        *change.entry(next).or_default() -= 1;
    }
    let mut spans = Vec::new();
    let mut running: i64 = 0;
    let days: Vec<(Date, i64)> = change.into_iter().filter(|(_, by)| *by != 0).collect();
    for (number, (day, by)) in days.iter().enumerate() {
        running += by;
        let next = days
            .get(number + 1)
            .map_or(100.0, |(next, _)| calendar.place(*next));
        if let Some(running) = usize::try_from(running).ok().filter(|&running| running > 0) {
            spans.push((calendar.place(*day), next, running));
        }
    }
    spans
}

fn dots(calendar: &Calendar, jobs: &[&Guarantee]) -> Vec<f64> {
    let mut days: Vec<Date> = jobs
        .iter()
        .filter_map(|job| Some((job.finished.parse::<Date>().ok()?, job)))
        .flat_map(|(finished, job)| {
            let after = |age: &i32| finished.checked_add(jiff::Span::new().days(*age)).ok();
            job.returns.iter().filter_map(after).collect::<Vec<Date>>()
        })
        .collect();
    days.sort_unstable();
    if days.len() > MOST_DOTS {
        days = days.into_iter().map(Date::first_of_month).collect();
        days.dedup();
    }
    days.into_iter().map(|day| calendar.place(day)).collect()
}

/// The steps of first returns as far as ten jobs are in sight.
pub(super) fn first_return_steps(cover: &Cover) -> Vec<CurveStep> {
    let steps = cover.first_return.iter().map(|step| CurveStep {
        at: step.days / DAYS_OF_YEAR,
        value: step.survival,
        low: step.low,
        high: step.high,
    });
    thinned(steps, cover.seen_days.unwrap_or(0.0) / DAYS_OF_YEAR)
}

/// The steps of returns a job as far as ten jobs are in sight.
pub(super) fn returns_steps(cover: &Cover) -> Vec<CurveStep> {
    let steps = cover.returns_per_job.iter().map(|step| CurveStep {
        at: step.days / DAYS_OF_YEAR,
        value: step.mean,
        low: None,
        high: None,
    });
    thinned(steps, cover.seen_days.unwrap_or(0.0) / DAYS_OF_YEAR)
}

/// The last of the steps that fall on one place of the chart.
fn thinned(steps: impl Iterator<Item = CurveStep>, end: f64) -> Vec<CurveStep> {
    let mut kept: Vec<CurveStep> = Vec::new();
    let place = |step: &CurveStep| (step.at * MOST_STEPS / end).floor();
    for step in steps.filter(|step| step.at <= end) {
        match kept.last_mut() {
            Some(last) if place(last) == place(&step) => {
                *last = CurveStep {
                    at: last.at,
                    ..step
                }
            }
            _ => kept.push(step),
        }
    }
    kept
}
