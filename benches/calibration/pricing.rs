//! Prices the next jobs of invented diaries from what came before, and counts how often the
//! bands held. Invents no diary: see `simulator`.

use crate::simulator::{Diary, LOCATIONS};
use daywork::numbers::back_test::plain_medians;
use daywork::numbers::log_linear::fit;
use daywork::numbers::log_student::{LogStudent, total};
use daywork::numbers::record::{Observation, Wanted};
use daywork::numbers::score::pinball;

/// The chances that a job is priced at: the pinball loss is their mean.
const LEVELS: [f64; 4] = [0.1, 0.5, 0.8, 0.9];

/// What a job or a line was priced at and what it took, in minutes.
#[derive(Clone, Copy)]
pub struct Priced {
    /// At each of [`LEVELS`].
    quantiles: [f64; 4],
    plain_median: f64,
    actual: f64,
}

impl Priced {
    /// Whether it lay within the central 80 % band.
    pub fn in_band(&self) -> bool {
        (self.quantiles[0]..=self.quantiles[3]).contains(&self.actual)
    }

    /// Whether it was within the 80 % quantile.
    pub fn in_upper(&self) -> bool {
        self.actual <= self.quantiles[2]
    }

    /// The mean pinball loss over the levels.
    pub fn loss(&self) -> f64 {
        self.mean_loss(|place| self.quantiles[place])
    }

    /// The same of the plain median, given for every level.
    pub fn plain_loss(&self) -> f64 {
        self.mean_loss(|_| self.plain_median)
    }

    fn mean_loss(&self, forecast: impl Fn(usize) -> f64) -> f64 {
        let losses = LEVELS
            .iter()
            .enumerate()
            .map(|(place, &level)| pinball(level, forecast(place), self.actual));
        losses.sum::<f64>() / LEVELS.len() as f64
    }
}

/// Which forecast is measured.
#[derive(Clone, Copy)]
pub enum Way {
    /// The method alone, with Student's t.
    Plain,
    /// As a price is worked out: with the shape of the residuals where there is one.
    AsPriced,
}

/// A job that was priced, with its lines and how often each line's type had been seen.
pub struct PricedJob {
    /// Jobs in the record it was priced from.
    pub record: usize,
    pub whole: Priced,
    pub lines: Vec<(usize, Priced)>,
}

/// Prices the `next` jobs from number `record` on, each from the first `record` jobs; one that
/// holds a type not seen before has no price.
pub fn price_next(
    diary: &Diary,
    way: Way,
    record: usize,
    next: usize,
    draws: usize,
) -> Vec<PricedJob> {
    let Some(first) = diary.jobs.get(record) else {
        return Vec::new();
    };
    let today = first[0].age;
    let mut seen: Vec<Observation> = diary.jobs[..record].concat();
    for line in &mut seen {
        line.age -= today;
    }
    let Some(fit) = fit(&seen, LOCATIONS) else {
        return Vec::new();
    };
    let medians = plain_medians(&seen);
    let mut priced = Vec::new();
    for job in diary.jobs[record..].iter().take(next) {
        let wanted: Vec<Wanted> = job
            .iter()
            .map(|line| Wanted {
                task: line.task,
                location: line.location,
                count: line.count,
                age: line.age - today,
            })
            .collect();
        let forecasts: Option<Vec<LogStudent>> = match way {
            Way::Plain => wanted.iter().map(|wanted| fit.line(wanted)).collect(),
            Way::AsPriced => fit.lines(&wanted).into_iter().collect(),
        };
        let Some(forecasts) = forecasts else {
            continue;
        };
        let alone = |(line, forecast): (&Observation, &LogStudent)| {
            let times = fit.tasks[line.task].map_or(0, |task| task.seen);
            let one = Priced {
                quantiles: LEVELS.map(|level| forecast.quantile(level)),
                plain_median: medians[&line.task] * line.count,
                actual: line.minutes,
            };
            (times, one)
        };
        let lines: Vec<(usize, Priced)> = job.iter().zip(&forecasts).map(alone).collect();
        let sum = |of: fn(&Priced) -> f64| lines.iter().map(|(_, line)| of(line)).sum();
        let quantiles = match lines.as_slice() {
            [(_, line)] => line.quantiles,
            _ => {
                let drawn = total(&forecasts, job[0].job as u64, draws);
                let drawn = drawn.expect("a job has lines, and their numbers are finite");
                LEVELS.map(|level| drawn.quantile(level))
            }
        };
        let whole = Priced {
            quantiles,
            plain_median: sum(|line| line.plain_median),
            actual: sum(|line| line.actual),
        };
        priced.push(PricedJob {
            record,
            whole,
            lines,
        });
    }
    priced
}

/// How many held, in a group of jobs or lines.
#[derive(Default, Clone, Copy)]
pub struct Held {
    pub count: usize,
    band: usize,
    upper: usize,
    loss: f64,
    plain_loss: f64,
}

impl Held {
    pub fn add(&mut self, one: &Priced) {
        self.count += 1;
        self.band += usize::from(one.in_band());
        self.upper += usize::from(one.in_upper());
        self.loss += one.loss();
        self.plain_loss += one.plain_loss();
    }

    /// In 100, how often the central 80 % band held.
    pub fn band(&self) -> f64 {
        100.0 * self.band as f64 / self.count as f64
    }

    /// In 100, how often the 80 % quantile held.
    pub fn upper(&self) -> f64 {
        100.0 * self.upper as f64 / self.count as f64
    }

    /// The pinball loss in shares of the plain median's.
    pub fn pinball_ratio(&self) -> f64 {
        self.loss / self.plain_loss
    }
}
