//! `diary.yaml`: who I am, rates, task types, location types, what may be public.

use std::collections::BTreeMap;

use jiff::civil::Date;
use jiff::tz::TimeZone;

use crate::diagnose::Span;

use super::{At, Minutes, Money, Private};

/// The whole of `diary.yaml`.
#[derive(Clone, Debug)]
pub struct Settings {
    /// The site's title.
    pub title: String,
    /// Who writes it. Public: it stands at the foot of each page.
    pub trader: Trader,
    /// `https://example.com`, without a slash at its end.
    pub address: String,
    /// Language tag of the site, `en-GB`.
    pub language: String,
    /// The zone in which clock times are written.
    pub timezone: TimeZone,
    /// What is charged.
    pub rates: Private<Rates>,
    /// What each year must earn, in order of date.
    pub years: Vec<Private<Year>>,
    /// Location types: key to name.
    pub locations: BTreeMap<String, String>,
    /// Task types by key.
    pub tasks: BTreeMap<String, TaskType>,
    /// The price book.
    pub materials: Vec<Private<PriceBookItem>>,
    /// Years of guarantee on a job that does not say its own.
    pub guarantee_years: u32,
    /// What a diary-wide guarantee leaves out.
    pub guarantee_not_in_it: Option<String>,
    /// Whether the page on how long things take is made.
    pub how_long: bool,
    /// Fewest jobs behind a public figure.
    pub fewest_jobs: usize,
    /// Words that never appear in public.
    pub keep_private: Vec<Private<At<String>>>,
    /// Figures that readings are held against instead of the published ones.
    pub figures: OwnFigures,
}

/// Figures of the diary's own, each with where it comes from; they take the place of the published ones.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OwnFigures {
    /// Maximum earth-fault-loop impedances.
    pub max_zs: Vec<OwnMaxZs>,
    /// Minimum insulation resistances.
    pub min_insulation: Vec<OwnMinInsulation>,
    /// Maximum trip times.
    pub max_rcd: Vec<OwnMaxRcd>,
}

/// A device's maximum Zs.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnMaxZs {
    /// The device's type, as readings write it: `B`, `BS 3036`, or one that no table here has.
    pub kind: String,
    /// Its rating, in amperes.
    pub rating: f64,
    /// Ohms.
    pub ohms: f64,
    /// Where the figure comes from, in the diary's words.
    pub source: String,
}

/// A minimum insulation resistance.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnMinInsulation {
    /// Test voltage, in volts.
    pub at: f64,
    /// Megohms.
    pub megohms: f64,
    /// Where the figure comes from, in the diary's words.
    pub source: String,
}

/// A residual-current device's maximum trip time.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnMaxRcd {
    /// The kind, as readings write it: `A`, `S`, `BS 4293`; `general` for what names none.
    pub kind: String,
    /// Times its rated residual current.
    pub times: f64,
    /// Milliseconds.
    pub ms: f64,
    /// Where the figure comes from, in the diary's words.
    pub source: String,
}

/// Who keeps the diary.
#[derive(Clone, Debug, Default)]
pub struct Trader {
    /// Name.
    pub name: String,
    /// Trading name.
    pub trading_as: String,
    /// Telephone, as written.
    pub phone: String,
    /// Email address.
    pub email: String,
}

/// What is charged. Amounts are without VAT.
#[derive(Clone, Debug, PartialEq)]
pub struct Rates {
    /// Currency code, `GBP`.
    pub currency: String,
    /// An hour.
    pub hour: Money,
    /// A day.
    pub day: Money,
    /// Length of a day.
    pub day_length: Minutes,
    /// A call-out: pays its first hour.
    pub call_out: Money,
    /// A mile.
    pub mile: Money,
    /// Markup on materials, in per cent.
    pub markup_percent: f64,
    /// VAT in per cent; 0 where not registered.
    pub vat_percent: f64,
    /// What daywork adds to prime cost.
    pub daywork: Daywork,
}

/// Percentage additions of daywork, one for each section of its prime cost; `None` where the diary gives none.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Daywork {
    /// On labour.
    pub labour_percent: Option<f64>,
    /// On materials and goods.
    pub materials_percent: Option<f64>,
    /// On plant.
    pub plant_percent: Option<f64>,
}

/// A year's needs: from a date to the day before its anniversary.
#[derive(Clone, Debug, PartialEq)]
pub struct Year {
    /// First day.
    pub from: Date,
    /// What the trader must take home.
    pub pay: Money,
    /// Van, insurance, tools, fees.
    pub overheads: Money,
    /// Weeks worked.
    pub weeks: f64,
    /// Unpaid hours a week.
    pub admin: Minutes,
}

/// A kind of work that recurs and is timed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TaskType {
    /// As pages name it.
    pub name: String,
    /// What is counted.
    pub unit: Unit,
    /// What people type for it.
    pub also: Vec<String>,
    /// Where its key stands.
    pub span: Span,
}

/// What a task type is counted in.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Unit {
    /// One by one.
    Each,
    /// Once a job.
    Job,
    /// By length.
    Metre,
    /// By circuit.
    Circuit,
    /// A word of the diary's own.
    Other(String),
}

impl Unit {
    /// The unit of a word of `diary.yaml`.
    pub fn from_word(word: &str) -> Self {
        match word {
            "each" => Unit::Each,
            "job" => Unit::Job,
            "metre" => Unit::Metre,
            "circuit" => Unit::Circuit,
            other => Unit::Other(other.to_owned()),
        }
    }

    /// The word as `diary.yaml` writes it.
    pub fn word(&self) -> &str {
        match self {
            Unit::Each => "each",
            Unit::Job => "job",
            Unit::Metre => "metre",
            Unit::Circuit => "circuit",
            Unit::Other(word) => word,
        }
    }

    /// Whether one is meant where no count is written.
    pub fn counts_as_one(&self) -> bool {
        matches!(self, Unit::Each | Unit::Job)
    }
}

/// A line of the price book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PriceBookItem {
    /// As paperwork names it.
    pub item: String,
    /// What it is sold by.
    pub unit: Option<String>,
    /// What one costs.
    pub cost: Option<Money>,
    /// What people type for it.
    pub also: Vec<String>,
}
