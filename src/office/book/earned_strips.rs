//! What task types and location types earned an hour, as strips and as rows. Reckons none of it:
//! [`crate::office::rates`] does.

use serde::Serialize;

use crate::model::{Minutes, Money};
use crate::office::rates::{Earned, Rates};
use crate::office::reckon::an_hour;
use crate::office::words::{counted, figure};

use super::Book;
use super::figure::{FigureId, Of};
use super::hours_letter::ENOUGH;

/// What task types or location types earned, for the chart.
#[derive(Clone, Debug, Default, Serialize, PartialEq)]
pub struct EarnedChart {
    /// What heads the axis: `£`.
    pub sign: String,
    /// The rate needed; `None` where it is not known.
    pub needed: Option<f64>,
    /// `needed £42.14`.
    pub needed_words: String,
    /// The strips.
    pub strips: Vec<EarnedStrip>,
}

/// A strip of that chart.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct EarnedStrip {
    /// Name.
    pub name: String,
    /// The jobs behind it.
    pub link: String,
    /// `10 h 40, 9 jobs`; says when they are too few.
    pub count: String,
    /// `£46.85`.
    pub value: String,
    /// Earned an hour.
    pub rate: f64,
    /// The middle of its jobs, lower end; `None` with too few.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
    /// Each job's, where there are too few.
    pub singles: Vec<f64>,
    /// Its figures in a sentence.
    pub said: String,
}

/// A row of the table behind it.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct EarnedRow {
    /// Name.
    pub name: String,
    /// The jobs behind it.
    pub link: String,
    /// How many they are.
    pub n: usize,
    /// Whether they are too few to lean on.
    pub few: bool,
    /// Time on it.
    pub time: String,
    /// Earned an hour.
    pub rate: String,
    /// `42.00 to 48.40`; empty with too few jobs.
    pub middle: String,
    /// What it lacked; empty where it lacked nothing.
    pub short: String,
}

impl Book<'_> {
    /// The strips of some task types or location types of a review; `numbers` are those of its list.
    pub(super) fn earned_chart(
        &self,
        review: usize,
        numbers: &[usize],
        of: fn(usize) -> Of,
    ) -> EarnedChart {
        let rates = &self.reports.rates[review];
        let strips = numbers.iter().filter_map(|&number| {
            let of = of(number);
            let earned = match of {
                Of::Task(number) => rates.tasks.get(number)?,
                Of::Location(number) => rates.locations.get(number)?,
                Of::Part(_) | Of::Quotes => return None,
            };
            Some(self.earned_strip(earned, rates, self.figure_link(FigureId { review, of })))
        });
        EarnedChart {
            sign: crate::office::words::currency_sign(self.currency()),
            needed: rates.needed_per_hour.map(pounds),
            needed_words: rates.needed_per_hour.map_or_else(String::new, |needed| {
                format!("needed {}", self.money(needed))
            }),
            strips: strips.collect(),
        }
    }

    fn earned_strip(&self, earned: &Earned, rates: &Rates, link: String) -> EarnedStrip {
        let rate = earned.earned_per_hour.unwrap_or_default();
        let few = earned.jobs < ENOUGH;
        let jobs = counted(earned.jobs, "job", "jobs");
        let time = Minutes::new(earned.minutes);
        let mut said = format!("Earned {} an hour", self.money(rate));
        if let Some(needed) = rates.needed_per_hour {
            said += &format!(" against {} needed", self.money(needed));
        }
        said += &format!(", over {time} on {jobs}");
        if let Some(short) = earned.short {
            said += &format!(": {} short", self.money(short));
        }
        said += &match &earned.middle {
            Some(middle) => format!(
                ". The middle of its jobs lies between {} and {}, nine times in ten.",
                self.money(middle.low),
                self.money(middle.high)
            ),
            None => ". Too few to lean on; each dot is a job.".to_owned(),
        };
        EarnedStrip {
            name: earned.name.clone(),
            link,
            count: if few {
                format!("{time}, {jobs}, too few yet")
            } else {
                format!("{time}, {jobs}")
            },
            value: self.money(rate),
            rate: pounds(rate),
            low: earned.middle.map(|middle| pounds(middle.low)),
            high: earned.middle.map(|middle| pounds(middle.high)),
            singles: if few {
                earned
                    .behind
                    .iter()
                    .filter_map(|one| an_hour(one.labour?, one.minutes))
                    .map(pounds)
                    .collect()
            } else {
                Vec::new()
            },
            said,
        }
    }
}

/// A row of the table behind the strips.
pub(super) fn earned_row(earned: &Earned, link: String) -> EarnedRow {
    EarnedRow {
        name: earned.name.clone(),
        link,
        n: earned.jobs,
        few: earned.jobs < ENOUGH,
        time: Minutes::new(earned.minutes).to_string(),
        rate: earned.earned_per_hour.map_or_else(String::new, figure),
        middle: earned.middle.as_ref().map_or_else(String::new, |middle| {
            format!("{} to {}", figure(middle.low), figure(middle.high))
        }),
        short: earned.short.map_or_else(String::new, figure),
    }
}

/// A rate as a place on a chart.
#[expect(
    clippy::cast_precision_loss,
    reason = "pence of one hour, far below 2^52"
)]
pub(super) fn pounds(money: Money) -> f64 {
    money.pence() as f64 / 100.0
}
