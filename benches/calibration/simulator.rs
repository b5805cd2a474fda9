//! Invented diaries whose truth is known, to see how often a price's band holds: each is one
//! trader's record with everything in it that makes pricing hard. Prices nothing: see `pricing`.
//!
//! What a diary is drawn from (the numbers are ours, but for those of [`Setting::ALL`], which are
//! the ones the method was measured with):
//!
//! - 18 types of task, the k-th met in proportion to 1/k; a job has 1, 2, 3 or 4 lines of
//!   different types (50, 28, 14 and 8 in 100);
//! - a type's middle time is even on the logarithm from 20 minutes to 4 hours; its spread, the
//!   standard deviation of the logarithm, is log-normal about `type_sd` (0.40 on the logarithm);
//! - half of the types are counted: the count is 1 and on, each more with chance 0.6, at most 20;
//! - five location types, met in proportion to 1, 1/2 ... 1/5;
//! - 130 jobs a year, evenly apart.

use chacha20::ChaCha8Rng;
use chacha20::rand_core::{Rng, SeedableRng};
use daywork::numbers::record::Observation;
use std::f64::consts::PI;

/// Types of task of a diary.
const TASKS: usize = 18;
/// Location types of a diary.
pub const LOCATIONS: usize = 5;
/// Jobs a year.
const A_YEAR: f64 = 130.0;

/// What makes a diary's times differ from its types' middle times.
#[derive(Clone, Copy)]
pub struct Setting {
    /// The middle of the types' spreads, each the standard deviation of a logarithm.
    pub type_sd: f64,
    /// Standard deviation of the logarithm that one job's lines share.
    pub job_sd: f64,
    /// Standard deviation of the location types' logarithm.
    pub location_sd: f64,
    /// The power of the count.
    pub exponent: f64,
    /// The share of lines that take three times as long.
    pub tripled: f64,
    /// The change of the logarithm a year.
    pub drift: f64,
    /// Minutes are written down to 5 below two hours and to 15 above.
    pub rounded: Rounded,
}

/// How minutes are written down.
#[derive(Clone, Copy)]
pub enum Rounded {
    /// To 5 minutes below two hours, to 15 above.
    FiveOrFifteen,
    /// To the minute.
    Minute,
}

impl Setting {
    /// Everything at once.
    pub const ALL: Self = Self {
        type_sd: 0.30,
        job_sd: 0.18,
        location_sd: 0.12,
        exponent: 0.82,
        tripled: 0.05,
        drift: -0.08,
        rounded: Rounded::FiveOrFifteen,
    };
    /// Everything at once, with types that are steadier in themselves, so that what a job's
    /// lines share and what goes wrong stand out more.
    pub const ALL_STEADY: Self = Self {
        type_sd: 0.20,
        ..Self::ALL
    };
    /// The types' own spread alone.
    pub const CLEAN: Self = Self {
        type_sd: 0.30,
        job_sd: 0.0,
        location_sd: 0.0,
        exponent: 1.0,
        tripled: 0.0,
        drift: 0.0,
        rounded: Rounded::Minute,
    };
}

/// One trader's record: the lines of each job in order of date. An age counts years from the
/// first job here, and becomes 0 or less when a day is taken for today.
pub struct Diary {
    pub jobs: Vec<Vec<Observation>>,
}

/// A type of task, as it truly is.
struct Kind {
    log_middle: f64,
    sd: f64,
    counted: bool,
}

/// Draws from a seed.
struct Dice(ChaCha8Rng);

impl Dice {
    fn even(&mut self) -> f64 {
        ((self.0.next_u64() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        (-2.0 * self.even().ln()).sqrt() * (2.0 * PI * self.even()).cos()
    }

    /// One of the places of `weights`, in proportion to them.
    fn place(&mut self, weights: &[f64]) -> usize {
        let mut left = self.even() * weights.iter().sum::<f64>();
        let reached = weights.iter().position(|weight| {
            left -= weight;
            left < 0.0
        });
        reached.unwrap_or(weights.len() - 1)
    }
}

/// The diary of a seed, of so many jobs.
pub fn diary(seed: u64, setting: &Setting, jobs: usize) -> Diary {
    let mut dice = Dice(ChaCha8Rng::seed_from_u64(seed));
    let kinds: Vec<Kind> = (0..TASKS)
        .map(|_| Kind {
            log_middle: 20_f64.ln() + dice.even() * 12_f64.ln(),
            sd: setting.type_sd * (0.40 * dice.normal()).exp(),
            counted: dice.even() < 0.5,
        })
        .collect();
    let places: Vec<f64> = (0..LOCATIONS)
        .map(|_| setting.location_sd * dice.normal())
        .collect();
    let jobs = (0..jobs)
        .map(|job| one_job(&mut dice, setting, &kinds, &places, job))
        .collect();
    Diary { jobs }
}

fn one_job(
    dice: &mut Dice,
    setting: &Setting,
    kinds: &[Kind],
    places: &[f64],
    job: usize,
) -> Vec<Observation> {
    let age = job as f64 / A_YEAR;
    let met = |count: usize| {
        (1..=count)
            .map(|rank| 1.0 / rank as f64)
            .collect::<Vec<_>>()
    };
    let location = dice.place(&met(LOCATIONS));
    let shared = setting.job_sd * dice.normal() + places[location] + setting.drift * age;
    let lines = 1 + dice.place(&[50.0, 28.0, 14.0, 8.0]);
    let mut weights = met(TASKS);
    (0..lines)
        .map(|_| {
            let task = dice.place(&weights);
            // The types of one job differ.
            weights[task] = 0.0;
            let kind = &kinds[task];
            let mut count = 1.0;
            while kind.counted && count < 20.0 && dice.even() < 0.6 {
                count += 1.0;
            }
            let tripled = if dice.even() < setting.tripled {
                3.0
            } else {
                1.0
            };
            let log = kind.log_middle
                + setting.exponent * f64::ln(count)
                + shared
                + kind.sd * dice.normal();
            Observation {
                job,
                task,
                location,
                count,
                age,
                minutes: written(tripled * log.exp(), setting.rounded),
            }
        })
        .collect()
}

fn written(minutes: f64, rounded: Rounded) -> f64 {
    let grid = match rounded {
        Rounded::Minute => 1.0,
        Rounded::FiveOrFifteen if minutes < 120.0 => 5.0,
        Rounded::FiveOrFifteen => 15.0,
    };
    (minutes / grid).round().max(1.0) * grid
}
