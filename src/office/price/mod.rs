//! `price`: a new job priced from the record.
//!
//! The method is one linear model on the log of a job's minutes by task type (type, count with an exponent, drift
//! over the years, location type, a job effect) with weak priors, widths by moderated variance and draws of
//! Student's t: `numbers::log_linear` has it, with its sources. No mean of the draws is shown, because none exists.
//! To the tasks come other time on site, materials with their markup, the trip, the call-outs that such jobs bring
//! with them unplanned, and what the guarantee costs. Every line is rounded to the penny, half up, and the total adds
//! the rounded lines.

mod draws;
mod file;
mod sum;
mod text;
mod warnings;

use jiff::civil::Date;
use serde::Serialize;

use crate::model::price::Question;
use crate::model::{Diary, Money};

use super::back_test::Kept;
use super::record::Record;

pub use file::file_text;
pub use text::text;

/// The chance in a hundred that labour is priced at where a question names none.
pub const USUAL_CHANCE: f64 = 80.0;

/// The report. Its serialized form is the JSON of `daywork price --format json`.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct PriceReport {
    /// `price`.
    pub report: &'static str,
    /// 1.
    pub version: u32,
    /// The day of the record, ISO.
    pub as_of: String,
    /// Location type; `None` where the question names none.
    pub location: Option<String>,
    /// The chance in a hundred that the labour should be enough.
    pub chance: f64,
    /// The tasks, in the order asked.
    pub tasks: Vec<PricedTask>,
    /// The job's minutes on its tasks.
    pub minutes: Quantiles,
    /// Other time on site.
    pub other: OtherTime,
    /// Minutes that labour is priced at: the job's at the chance, and the other time.
    pub labour_minutes: f64,
    /// The sum by the hour.
    pub lines: Vec<Line>,
    /// Its total: the rounded lines added up.
    pub total: Money,
    /// The same job by the day; `None` where `diary.yaml` gives no day's rate.
    pub by_the_day: Option<ByTheDay>,
    /// What makes the price most doubtful, in a sentence.
    pub widest_doubt: String,
    /// What to mind.
    pub warnings: Vec<String>,
    /// How such prices have done; `None` where it was not reckoned for this record.
    pub back_test: Option<Kept>,
}

/// Minutes that a share of such jobs stays below.
#[derive(Clone, Copy, Debug, Serialize, PartialEq)]
pub struct Quantiles {
    /// One in ten.
    pub q10: f64,
    /// Half.
    pub q50: f64,
    /// Eight in ten.
    pub q80: f64,
    /// Nine in ten.
    pub q90: f64,
    /// The share asked for.
    pub at_chance: f64,
}

/// A task of the question.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct PricedTask {
    /// Its key.
    pub task: String,
    /// Its name.
    pub name: String,
    /// What it is counted in.
    pub unit: String,
    /// How many.
    pub count: f64,
    /// Jobs that its minutes rest on: those that it was timed on, none for hours given by hand.
    pub n: usize,
    /// Whether its hours were given by hand.
    pub guessed: bool,
    /// Its minutes.
    pub minutes: Quantiles,
    /// Refs of those jobs, in order.
    pub refs: Vec<String>,
}

/// Other time on site.
#[derive(Clone, Copy, Debug, Serialize, PartialEq)]
pub struct OtherTime {
    /// The median of a planned visit, in minutes.
    pub per_visit: f64,
    /// Visits.
    pub visits: u32,
    /// In all.
    pub minutes: f64,
    /// Visits of the record that tell it.
    pub n: usize,
}

/// A line of the sum.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Line {
    /// `labour`, `materials`, `parking`, `travel`, `call-outs`, `guarantee`, `VAT`.
    pub what: &'static str,
    /// How much.
    pub amount: Money,
    /// How it came about.
    pub how: String,
    /// Refs of the jobs behind it, in order; empty where none are.
    pub refs: Vec<String>,
}

/// The job by the day.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct ByTheDay {
    /// Days, in halves.
    pub days: f64,
    /// Their labour.
    pub labour: Money,
    /// VAT on its net sum; nought where none is charged.
    pub vat: Money,
    /// The whole sum with it.
    pub total: Money,
    /// How it came about.
    pub how: String,
}

/// Why a question cannot be answered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// One plain sentence without its full stop.
    pub why: String,
    /// What to do instead, with its full stop.
    pub help: String,
}

/// Prices a question from the record up to a day. `kept` is how such prices have done, where that is known.
///
/// # Errors
/// No task, a task type that `diary.yaml` does not know, or one that the record has never seen and that has no hours
/// given.
pub fn price(
    diary: &Diary,
    question: &Question,
    as_of: Date,
    kept: Option<Kept>,
) -> Result<PriceReport, Refused> {
    let record = Record::of(diary, as_of);
    let chance = question.chance.unwrap_or(USUAL_CHANCE);
    let location = question.location.as_deref();
    let drawn = draws::draw(diary, &record, question, as_of, chance)?;
    let sum = sum::sum(diary, question, &drawn, as_of);
    let mut warnings = warnings::warnings(diary, &record, question, &drawn, as_of);
    warnings.extend(sum.warnings);
    Ok(PriceReport {
        report: "price",
        version: 1,
        as_of: as_of.to_string(),
        location: location.map(str::to_owned),
        chance,
        widest_doubt: warnings::widest_doubt(&drawn),
        tasks: drawn.tasks,
        minutes: drawn.minutes,
        other: sum.other,
        labour_minutes: sum.labour_minutes,
        lines: sum.lines,
        total: sum.total,
        by_the_day: sum.by_the_day,
        warnings,
        back_test: kept,
    })
}
