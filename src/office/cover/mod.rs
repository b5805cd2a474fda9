//! `cover`: guarantees running and ended, how often work is gone back to, and what to put aside for it.
//!
//! A free return is a `guarantee` visit. Its age counts from the day the job was done: that of its last visit which
//! is not one. A job is in sight until the day to reckon by or the end of its guarantee. How long until the first
//! return is a curve of Kaplan and Meier; how many to expect is the mean cumulative function, since the curve of first
//! returns would be a fifth short once bad jobs come back. Past what the record has seen, the rate of everything
//! after a job's first year is carried on, and the text says from which age.

mod ages;
mod costs;
mod placed;
mod text;

use jiff::civil::Date;
use serde::Serialize;

use crate::model::{Diary, Job, Money, Tenure};
use crate::numbers::garwood::garwood;
use crate::numbers::kaplan_meier::{Spell, SpellEnd, kaplan_meier};
use crate::numbers::mean_cumulative::{History, MeanCumulative, mean_cumulative};
use crate::numbers::normal::Confidence;

use super::hours::DAYS_OF_YEAR;
use super::reckon::{guarantee, guarantee_until};
use super::words::whole;

pub(in crate::office) use ages::{AtAge, at_ages};
pub use costs::ReturnCost;
use placed::Placed;
pub use text::text;
pub(in crate::office) use text::{a_year, outside_guarantee, past_the_record, years};

/// The report. Its serialized form is the JSON of `daywork cover --format json`.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Cover {
    /// `cover`.
    pub report: &'static str,
    /// 1.
    pub version: u32,
    /// The day to reckon by, ISO.
    pub as_of: String,
    /// Years of guarantee that the diary gives.
    pub guarantee_years: u32,
    /// Every job done with a guarantee, the one that ends first at the head, then by ref.
    pub jobs: Vec<Guarantee>,
    /// Guarantees running on the day.
    pub running: usize,
    /// Free returns to these jobs within their guarantee.
    pub returns: usize,
    /// Years of all these jobs together, from done until the day or the guarantee's end.
    pub job_years: f64,
    /// Free returns for each of those years, with a 90 % interval; `None` for no time.
    pub returns_per_job_year: Option<YearlyRate>,
    /// The share of jobs not gone back to, by age; a step where it falls.
    pub first_return: Vec<FirstReturn>,
    /// Returns for each job, by age; a step where it rises.
    pub returns_per_job: Vec<ReturnsPerJob>,
    /// The age up to which ten jobs or more are in sight.
    pub seen_days: Option<f64>,
    /// From where, and by what, the returns are carried on past the record; `None` where they need not be.
    pub carried: Option<Carried>,
    /// What each free return cost, oldest first.
    pub costs: Vec<ReturnCost>,
    /// Their mean; `None` without any.
    pub cost_per_return: Option<Money>,
    /// Returns to expect of a job over its whole guarantee; `None` where there is no record of any job.
    pub expected_per_job: Option<f64>,
    /// To put aside for a job done today.
    pub reserve_per_job: Option<Money>,
    /// To hold for all guarantees running.
    pub reserve_running: Option<Money>,
    /// Rented homes against those their owners live in; empty where the diary knows of none.
    pub tenure: Vec<TenureReturns>,
    /// Free returns past the end of a job's guarantee, before it began, or to a job without one: they count in no
    /// other figure.
    pub outside_guarantee: usize,
    /// Refs of jobs of free returns alone that do not say for which job.
    pub not_placed: Vec<String>,
}

/// A guarantee.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Guarantee {
    /// The job's ref.
    #[serde(rename = "ref")]
    pub reference: String,
    /// Its title.
    pub title: String,
    /// The day it was done, ISO.
    pub finished: String,
    /// The guarantee's last day, ISO.
    pub until: String,
    /// `running` or `ended`.
    pub state: &'static str,
    /// Days from done to the day to reckon by, or to the guarantee's end.
    pub days_in_sight: i32,
    /// Days from done to each free return, in order.
    pub returns: Vec<i32>,
}

/// A rate for each job year.
#[derive(Clone, Copy, Debug, Serialize, PartialEq)]
pub struct YearlyRate {
    /// Events over exposure.
    pub rate: f64,
    /// 0.9.
    pub level: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// A step of the curve of first returns.
#[derive(Clone, Copy, Debug, Serialize, PartialEq)]
pub struct FirstReturn {
    /// Days since the job was done.
    pub days: f64,
    /// Jobs in sight and not gone back to before.
    pub at_risk: usize,
    /// Jobs gone back to on that day.
    pub events: usize,
    /// The share not gone back to until then.
    pub survival: f64,
    /// Lower end of its 95 % interval; `None` where it is undefined.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
}

/// A step of the returns for each job.
#[derive(Clone, Copy, Debug, Serialize, PartialEq)]
pub struct ReturnsPerJob {
    /// Days since the job was done.
    pub days: f64,
    /// Jobs in sight.
    pub at_risk: usize,
    /// Returns on that day.
    pub events: usize,
    /// Mean returns of a job up to then.
    pub mean: f64,
    /// Lower end of its 95 % interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// How returns are carried on past the record.
#[derive(Clone, Copy, Debug, Serialize, PartialEq)]
pub struct Carried {
    /// The age from which they are, in days.
    pub from_days: f64,
    /// The age after which the returns were counted that give the rate.
    pub counted_after_days: f64,
    /// Those returns.
    pub returns: usize,
    /// The job years they were counted over.
    pub job_years: f64,
}

/// Returns to rented or owned homes.
#[derive(Clone, Copy, Debug, Serialize, PartialEq)]
pub struct TenureReturns {
    /// `rented` or `owned`.
    pub tenure: &'static str,
    /// Jobs.
    pub jobs: usize,
    /// Returns.
    pub returns: usize,
    /// Years of those jobs together.
    pub job_years: f64,
    /// Returns for each of them; `None` for no time.
    pub rate: Option<YearlyRate>,
}

/// A job under guarantee, as far as it can be seen on the day.
struct Covered<'a> {
    job: &'a Job,
    finished: Date,
    until: Date,
    /// Days in sight.
    seen: i32,
    /// Ages in days of its returns.
    returns: Vec<i32>,
}

/// Reckons the cover of a diary on a day.
pub fn cover(diary: &Diary, as_of: Date) -> Cover {
    // A job's guarantee begins once it is done.
    let span = |job: &Job| {
        let (from, until, _) = guarantee(job, &diary.settings)?;
        (from <= as_of).then_some((from, until))
    };
    let spans: Vec<Option<(Date, Date)>> = diary.jobs.iter().map(span).collect();
    let placed = Placed::of(diary, &spans, as_of);
    let covered: Vec<Covered<'_>> = diary
        .jobs
        .iter()
        .zip(&spans)
        .enumerate()
        .filter_map(|(number, (job, span))| {
            Some(Covered::of((job, (*span)?), placed.of.get(&number), as_of))
        })
        .collect();
    let costs = costs::costs(&placed.counted, diary.settings.rates.in_office());
    let cost_per_return = costs::mean(&costs);
    let spells: Vec<Spell> = covered.iter().map(Covered::spell).collect();
    let histories: Vec<History> = covered.iter().map(Covered::history).collect();
    let means = mean_cumulative(&histories, Confidence::NINETY_FIVE);
    let full = full_days(diary, as_of);
    let expected = means
        .as_ref()
        .zip(full)
        .map(|(means, full)| means.expected_by(full, DAYS_OF_YEAR));
    let to_come: f64 = means.as_ref().map_or(0.0, |means| {
        let pace = Pace::of(means);
        let running = covered.iter().filter(|one| one.until >= as_of);
        running.map(|one| one.to_come(&pace)).sum()
    });
    let reserve = |expected: f64| cost_per_return.map(|cost| times(cost, expected));
    let mut jobs: Vec<Guarantee> = covered.iter().map(|one| one.shown(as_of)).collect();
    jobs.sort_by(|a, b| (&a.until, &a.reference).cmp(&(&b.until, &b.reference)));
    let returns = covered.iter().map(|one| one.returns.len()).sum();
    let job_years = covered.iter().map(Covered::years).sum();
    Cover {
        report: "cover",
        version: 1,
        as_of: as_of.to_string(),
        guarantee_years: diary.settings.guarantee_years,
        running: jobs.iter().filter(|job| job.state == "running").count(),
        jobs,
        returns,
        job_years,
        returns_per_job_year: yearly_rate(returns, job_years),
        first_return: first_return(&spells),
        returns_per_job: means.as_ref().map_or_else(Vec::new, returns_per_job),
        seen_days: means.as_ref().map(MeanCumulative::seen_to),
        carried: expected.as_ref().and_then(|expected| {
            expected.carried.as_ref().map(|carried| Carried {
                from_days: carried.from,
                counted_after_days: carried.counted_after,
                returns: carried.events,
                job_years: carried.exposure / DAYS_OF_YEAR,
            })
        }),
        costs,
        cost_per_return,
        expected_per_job: expected.as_ref().map(|expected| expected.mean),
        reserve_per_job: expected.and_then(|expected| reserve(expected.mean)),
        reserve_running: reserve(to_come).filter(|_| means.is_some()),
        tenure: tenure(&covered),
        outside_guarantee: placed.outside,
        not_placed: placed.not_placed,
    }
}

impl<'a> Covered<'a> {
    fn of(
        (job, (finished, until)): (&'a Job, (Date, Date)),
        returns: Option<&Vec<Date>>,
        as_of: Date,
    ) -> Self {
        let returns = returns.into_iter().flatten();
        let mut returns: Vec<i32> = returns.map(|day| days(finished, *day)).collect();
        returns.sort_unstable();
        Covered {
            job,
            finished,
            until,
            seen: days(finished, until.min(as_of)),
            returns,
        }
    }

    fn spell(&self) -> Spell {
        match self.returns.first() {
            Some(&age) => Spell {
                duration: f64::from(age),
                end: SpellEnd::Event,
            },
            None => Spell {
                duration: f64::from(self.seen),
                end: SpellEnd::Censored,
            },
        }
    }

    fn history(&self) -> History {
        History {
            end: f64::from(self.seen),
            events: self.returns.iter().copied().map(f64::from).collect(),
        }
    }

    fn years(&self) -> f64 {
        f64::from(self.seen) / DAYS_OF_YEAR
    }

    /// Returns still to expect until its guarantee ends.
    fn to_come(&self, pace: &Pace<'_>) -> f64 {
        let by = |age: i32| pace.by(f64::from(age));
        (by(days(self.finished, self.until)) - by(self.seen)).max(0.0)
    }

    fn shown(&self, as_of: Date) -> Guarantee {
        Guarantee {
            reference: self.job.reference.in_office().value.clone(),
            title: self.job.title.value.clone(),
            finished: self.finished.to_string(),
            until: self.until.to_string(),
            state: if self.until >= as_of {
                "running"
            } else {
                "ended"
            },
            days_in_sight: self.seen,
            returns: self.returns.clone(),
        }
    }
}

/// How returns come with age, reckoned once for all jobs: the rate past the record takes a walk over every job.
struct Pace<'a> {
    means: &'a MeanCumulative,
    /// The age from which the rate holds.
    from: f64,
    /// The mean by then.
    by_then: f64,
    /// Returns a job for each day past it.
    rate: f64,
}

impl<'a> Pace<'a> {
    fn of(means: &'a MeanCumulative) -> Self {
        let from = means.seen_to();
        let past = means.expected_by(from + 1.0, DAYS_OF_YEAR);
        let rate = past.carried.map_or(0.0, |carried| carried.rate());
        Pace {
            means,
            from,
            by_then: past.mean - rate,
            rate,
        }
    }

    /// Returns of a job by an age.
    fn by(&self, age: f64) -> f64 {
        if age <= self.from {
            self.means.at(age)
        } else {
            self.by_then + (age - self.from) * self.rate
        }
    }
}

impl Cover {
    /// Jobs still in sight at an age.
    pub(super) fn in_sight(&self, days: f64) -> usize {
        let in_sight = self
            .jobs
            .iter()
            .filter(|job| f64::from(job.days_in_sight) >= days);
        in_sight.count()
    }
}

fn days(from: Date, to: Date) -> i32 {
    (to - from).get_days()
}

/// Days of a guarantee that begins on the day; `None` where the diary gives none.
fn full_days(diary: &Diary, as_of: Date) -> Option<f64> {
    let until = guarantee_until(as_of, diary.settings.guarantee_years)?;
    Some(f64::from(days(as_of, until)))
}

/// So many times an amount, to the penny, half up.
#[expect(
    clippy::cast_precision_loss,
    reason = "pence of one visit, far below 2^52"
)]
fn times(cost: Money, count: f64) -> Money {
    Money::from_pence(whole(cost.pence() as f64 * count))
}

fn first_return(spells: &[Spell]) -> Vec<FirstReturn> {
    let Some(curve) = kaplan_meier(spells, Confidence::NINETY_FIVE) else {
        return Vec::new();
    };
    let steps = curve.steps.iter().filter(|step| step.events > 0);
    steps
        .map(|step| FirstReturn {
            days: step.time,
            at_risk: step.at_risk,
            events: step.events,
            survival: step.survival,
            low: step.interval.map(|[low, _]| low),
            high: step.interval.map(|[_, high]| high),
        })
        .collect()
}

fn returns_per_job(means: &MeanCumulative) -> Vec<ReturnsPerJob> {
    let steps = means.steps.iter().map(|step| ReturnsPerJob {
        days: step.age,
        at_risk: step.at_risk,
        events: step.events,
        mean: step.mean,
        low: step.low,
        high: step.high,
    });
    steps.collect()
}

fn yearly_rate(returns: usize, job_years: f64) -> Option<YearlyRate> {
    let rate = garwood(returns, job_years, Confidence::NINETY)?;
    Some(YearlyRate {
        rate: rate.rate,
        level: 0.9,
        low: rate.low,
        high: rate.high,
    })
}

fn tenure(covered: &[Covered<'_>]) -> Vec<TenureReturns> {
    [(Tenure::Rented, "rented"), (Tenure::Owned, "owned")]
        .into_iter()
        .filter_map(|(tenure, word)| {
            let of = covered.iter().filter(|one| one.job.tenure == Some(tenure));
            let (jobs, returns, job_years) = of.fold((0, 0, 0.0), |(jobs, returns, years), one| {
                (jobs + 1, returns + one.returns.len(), years + one.years())
            });
            (jobs > 0).then(|| TenureReturns {
                tenure: word,
                jobs,
                returns,
                job_years,
                rate: yearly_rate(returns, job_years),
            })
        })
        .collect()
}
