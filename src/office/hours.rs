//! `daywork hours`: how long each type of task takes, from the whole record or a span of it.

use std::collections::BTreeMap;

use serde::Serialize;

/// The report. Its serialized form is the JSON of `daywork hours --format json`.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Hours {
    /// `hours`.
    pub report: &'static str,
    /// 1.
    pub version: u32,
    /// First day of the span, ISO; `None` for a diary without visits.
    pub from: Option<String>,
    /// Last day of the span, ISO.
    pub to: Option<String>,
    /// Jobs with a visit in the span.
    pub jobs: usize,
    /// Visits by the word of their kind, every kind present, in the order of `VisitKind::ALL`.
    pub visits: serde_json::Map<String, serde_json::Value>,
    /// Minutes, by what they went on.
    pub minutes: SpanMinutes,
    /// Task types, most minutes first, then by key.
    pub tasks: Vec<TaskHours>,
    /// Location types against the record, slowest first, then by key.
    pub locations: Vec<LocationHours>,
    /// Calendar years, oldest first.
    pub years: Vec<YearHours>,
}

/// Minutes of a span.
#[derive(Clone, Copy, Debug, Default, Serialize, PartialEq)]
pub struct SpanMinutes {
    /// On site, all visits.
    pub on_site: i64,
    /// Of that, on tasks.
    pub by_task: i64,
    /// Of that, on no task.
    pub other: i64,
    /// Travelling.
    pub travel: i64,
}

/// A task type.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct TaskHours {
    /// Key.
    pub task: String,
    /// Name; the key where the diary does not know it.
    pub name: String,
    /// Unit's word.
    pub unit: String,
    /// Observations: jobs with time on it (not `guarantee` visits), and a count where its unit asks for one.
    pub n: usize,
    /// Summed counts of those.
    pub count: f64,
    /// Summed minutes, all of them (also of jobs that give no observation).
    pub minutes: i64,
    /// Minutes each, over the observations; `None` where there is none.
    pub each: Option<EachMinutes>,
    /// Interval of the median, 90 %; `None` with fewer than 5 observations.
    pub median_interval: Option<Interval>,
    /// Trend over years; `None` with fewer than 8 observations.
    pub trend: Option<Trend>,
    /// The jobs behind it, in order of ref.
    pub refs: Vec<String>,
    /// Their observations, in the same order: minutes each.
    pub observations: Vec<f64>,
    /// By location type: key to n and median.
    pub by_location: BTreeMap<String, GroupMinutes>,
    /// By calendar year of the job's first counted visit: year to n and median.
    pub by_year: BTreeMap<String, GroupMinutes>,
}

/// Minutes each.
#[derive(Clone, Copy, Debug, Serialize, PartialEq)]
pub struct EachMinutes {
    /// Mean.
    pub mean: f64,
    /// Half took less.
    pub median: f64,
    /// One in ten took less.
    pub q10: f64,
    /// A quarter took less.
    pub q25: f64,
    /// Three quarters took less.
    pub q75: f64,
    /// Nine in ten took less.
    pub q90: f64,
}

/// An interval with its level.
#[derive(Clone, Copy, Debug, Serialize, PartialEq)]
pub struct Interval {
    /// 0.9 for 90 %.
    pub level: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// A trend over years.
#[derive(Clone, Copy, Debug, Serialize, PartialEq)]
pub struct Trend {
    /// Theil–Sen slope.
    pub minutes_per_year: f64,
    /// Sen's 95 % interval.
    pub low: Option<f64>,
    /// Sen's 95 % interval.
    pub high: Option<f64>,
    /// Mann–Kendall, two-sided, ties corrected.
    pub p: f64,
}

/// A part of a task type's observations.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct GroupMinutes {
    /// Observations.
    pub n: usize,
    /// Median minutes each.
    pub median: f64,
    /// The jobs behind it, in order of ref.
    pub refs: Vec<String>,
}

/// A location type against the record: over its observations, minutes each divided by the task type's median.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct LocationHours {
    /// Key.
    pub location: String,
    /// Name.
    pub name: String,
    /// Jobs.
    pub n: usize,
    /// Median ratio; 1 is the same. Only task types with 5 observations or more count; one figure a job: the
    /// median of its ratios. `None` where no job has one.
    pub ratio: Option<f64>,
    /// Interval of that median.
    pub interval: Option<Interval>,
    /// The jobs behind it, in order of ref.
    pub refs: Vec<String>,
}

/// A calendar year.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct YearHours {
    /// `2026`.
    pub year: String,
    /// Jobs with a visit in it.
    pub jobs: usize,
    /// Visits in it.
    pub visits: usize,
    /// Minutes of those visits.
    pub minutes: SpanMinutes,
}
