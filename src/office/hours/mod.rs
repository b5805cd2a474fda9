//! `daywork hours`: how long each type of task takes, from the whole record or a span of it.
//!
//! An observation is one job's minutes on one task type, over all its visits but the free returns, divided by the
//! summed count. Draws nothing: [`text`] is for a terminal, the views of the office book are `book`'s.

pub(super) mod count;
mod text;

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use rayon::prelude::*;
use serde::{Serialize, Serializer};

use crate::model::{Diary, Job, VisitKind};
use crate::numbers::bootstrap::{LEAST_FOR_INTERVAL, median_interval};
use crate::numbers::normal::Confidence;
use crate::numbers::quantile::Sorted;
use crate::numbers::trend::{LEAST_FOR_TREND, Point, mann_kendall, theil_sen};

pub use count::{Observation, Span, Tally};
pub use text::text;

/// Fewest observations behind an interval or a range; below it the report says so.
pub const FEWEST_FOR_RANGE: usize = LEAST_FOR_INTERVAL;
/// Fewest observations behind a trend.
pub const FEWEST_FOR_TREND: usize = LEAST_FOR_TREND;
/// Days of a year, for trends.
pub(super) const DAYS_OF_YEAR: f64 = 365.25;

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
    /// Visits by kind, every kind there, in the order of `VisitKind::ALL`; in JSON under the kind's word.
    #[serde(serialize_with = "under_their_words")]
    pub visits: Vec<KindHours>,
    /// Minutes, by what they went on.
    pub minutes: SpanMinutes,
    /// Task types, most minutes first, then by key.
    pub tasks: Vec<TaskHours>,
    /// Location types against the record, slowest first, then by key.
    pub locations: Vec<LocationHours>,
    /// Calendar years, oldest first.
    pub years: Vec<YearHours>,
}

/// The visits of one kind.
#[derive(Clone, Copy, Debug, Serialize, PartialEq)]
pub struct KindHours {
    /// Which kind.
    #[serde(skip)]
    pub kind: VisitKind,
    /// How many.
    pub count: usize,
    /// Their minutes on site.
    pub minutes: i64,
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

/// Counts the record from `from` to `to`, both within it; to `as_of` at the latest.
///
/// An empty span gives a report with no tasks, its dates null where nothing gives them.
pub fn hours(diary: &Diary, from: Option<Date>, to: Option<Date>, as_of: Date) -> Hours {
    let span = Span {
        from,
        to: to.map_or(as_of, |to| to.min(as_of)),
    };
    let visits: Vec<(&Job, &crate::model::Visit)> = diary
        .jobs
        .iter()
        .flat_map(|job| job.visits.iter().map(move |visit| (job, visit)))
        .filter(|(_, visit)| span.holds(visit))
        .collect();
    let dates = || visits.iter().map(|(_, visit)| visit.date.in_office().value);
    let tallies = count::tallies(diary, span);
    Hours {
        report: "hours",
        version: 1,
        from: from.or_else(|| dates().min()).map(|date| date.to_string()),
        to: to
            .map(|_| span.to)
            .or_else(|| dates().max())
            .map(|date| date.to_string()),
        jobs: visits
            .iter()
            .map(|(job, _)| job.file)
            .collect::<BTreeSet<_>>()
            .len(),
        visits: by_kind(&visits),
        minutes: total(visits.iter().map(|(_, visit)| *visit)),
        tasks: tasks(diary, &tallies),
        locations: locations(diary, &tallies),
        years: years(&visits),
    }
}

fn by_kind(visits: &[(&Job, &crate::model::Visit)]) -> Vec<KindHours> {
    VisitKind::ALL
        .into_iter()
        .map(|kind| {
            let of_kind = visits.iter().filter(|(_, visit)| visit.kind == kind);
            KindHours {
                kind,
                count: of_kind.clone().count(),
                minutes: of_kind.map(|(_, visit)| visit.minutes().get()).sum(),
            }
        })
        .collect()
}

fn under_their_words<S: Serializer>(kinds: &[KindHours], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_map(kinds.iter().map(|kind| (kind.kind.word(), kind)))
}

fn total<'a>(visits: impl Iterator<Item = &'a crate::model::Visit>) -> SpanMinutes {
    visits.fold(SpanMinutes::default(), |sum, visit| SpanMinutes {
        on_site: sum.on_site + visit.minutes().get(),
        by_task: sum.by_task + visit.task_minutes().get(),
        other: sum.other + visit.other_minutes().get(),
        travel: sum.travel + count::travel(visit).get(),
    })
}

fn tasks(diary: &Diary, tallies: &BTreeMap<&str, Tally<'_>>) -> Vec<TaskHours> {
    let mut tasks: Vec<TaskHours> = tallies
        .par_iter()
        .map(|(key, tally)| task(diary, key, tally))
        .collect();
    tasks.sort_by(|a, b| b.minutes.cmp(&a.minutes).then_with(|| a.task.cmp(&b.task)));
    tasks
}

fn task(diary: &Diary, key: &str, tally: &Tally<'_>) -> TaskHours {
    let known = diary.settings.tasks.get(key);
    let observations: Vec<f64> = tally.observations.iter().map(Observation::each).collect();
    let sorted = Sorted::new(observations.clone());
    let enough = observations.len() >= FEWEST_FOR_RANGE;
    TaskHours {
        task: key.to_owned(),
        name: known.map_or_else(|| key.to_owned(), |task| task.name.clone()),
        unit: known.map_or("each", |task| task.unit.word()).to_owned(),
        n: observations.len(),
        // An empty sum of floats is minus nought.
        count: tally
            .observations
            .iter()
            .fold(0.0, |sum, one| sum + one.count),
        minutes: tally.minutes.get(),
        each: sorted.as_ref().map(|sorted| EachMinutes {
            mean: sorted.mean(),
            median: sorted.median(),
            q10: sorted.quantile(0.1),
            q25: sorted.quantile(0.25),
            q75: sorted.quantile(0.75),
            q90: sorted.quantile(0.9),
        }),
        median_interval: sorted.as_ref().filter(|_| enough).and_then(interval),
        trend: trend(&tally.observations),
        refs: tally
            .observations
            .iter()
            .map(|one| one.reference.to_owned())
            .collect(),
        by_location: groups(&tally.observations, |one| {
            one.job.location.as_ref().map(|at| at.value.clone())
        }),
        by_year: groups(&tally.observations, |one| Some(one.date.year().to_string())),
        observations,
    }
}

/// The 90 % interval of a median; `None` with fewer than [`FEWEST_FOR_RANGE`].
fn interval(sorted: &Sorted) -> Option<Interval> {
    median_interval(sorted, Confidence::NINETY).map(|found| Interval {
        level: 0.9,
        low: found.low,
        high: found.high,
    })
}

fn trend(observations: &[Observation<'_>]) -> Option<Trend> {
    if observations.len() < FEWEST_FOR_TREND {
        return None;
    }
    let first = observations.iter().map(|one| one.date).min()?;
    let points: Vec<Point> = observations
        .iter()
        .map(|one| Point {
            at: f64::from((one.date - first).get_days()) / DAYS_OF_YEAR,
            value: one.each(),
        })
        .collect();
    let slope = theil_sen(&points, Confidence::NINETY_FIVE)?;
    let test = mann_kendall(&points)?;
    Some(Trend {
        minutes_per_year: slope.slope,
        low: Some(slope.low),
        high: Some(slope.high),
        p: test.p,
    })
}

fn groups(
    observations: &[Observation<'_>],
    key: impl Fn(&Observation<'_>) -> Option<String>,
) -> BTreeMap<String, GroupMinutes> {
    let mut grouped: BTreeMap<String, Vec<&Observation<'_>>> = BTreeMap::new();
    for one in observations {
        if let Some(key) = key(one) {
            grouped.entry(key).or_default().push(one);
        }
    }
    grouped
        .into_iter()
        .filter_map(|(key, ones)| {
            let median = Sorted::new(ones.iter().map(|one| one.each()).collect())?.median();
            let refs = ones.iter().map(|one| one.reference.to_owned()).collect();
            Some((
                key,
                GroupMinutes {
                    n: ones.len(),
                    median,
                    refs,
                },
            ))
        })
        .collect()
}

/// Each location type against the record. A job gives one figure, the median of its ratios, so that a job with
/// six task types does not count six times.
fn locations(diary: &Diary, tallies: &BTreeMap<&str, Tally<'_>>) -> Vec<LocationHours> {
    let mut ratios: BTreeMap<&str, BTreeMap<&str, Vec<f64>>> = BTreeMap::new();
    for tally in tallies.values() {
        if tally.observations.len() < FEWEST_FOR_RANGE {
            continue;
        }
        let Some(sorted) = Sorted::new(tally.observations.iter().map(Observation::each).collect())
        else {
            continue;
        };
        let median = sorted.median();
        for one in &tally.observations {
            if let Some(location) = &one.job.location {
                let of_location = ratios.entry(location.value.as_str()).or_default();
                of_location
                    .entry(one.reference)
                    .or_default()
                    .push(one.each() / median);
            }
        }
    }
    let mut locations: Vec<LocationHours> = ratios
        .into_iter()
        .map(|(key, jobs)| {
            let by_job = jobs
                .values()
                .filter_map(|ratios| Some(Sorted::new(ratios.clone())?.median()));
            let sorted = Sorted::new(by_job.collect());
            LocationHours {
                location: key.to_owned(),
                name: diary
                    .settings
                    .locations
                    .get(key)
                    .cloned()
                    .unwrap_or_else(|| key.to_owned()),
                n: jobs.len(),
                ratio: sorted.as_ref().map(Sorted::median),
                interval: sorted.as_ref().and_then(interval),
                refs: jobs
                    .keys()
                    .map(|reference| (*reference).to_owned())
                    .collect(),
            }
        })
        .collect();
    locations.sort_by(|a, b| {
        let ratio = |one: &LocationHours| one.ratio.unwrap_or(f64::NEG_INFINITY);
        ratio(b)
            .total_cmp(&ratio(a))
            .then_with(|| a.location.cmp(&b.location))
    });
    locations
}

fn years(visits: &[(&Job, &crate::model::Visit)]) -> Vec<YearHours> {
    let mut by_year: BTreeMap<i16, Vec<(&Job, &crate::model::Visit)>> = BTreeMap::new();
    for (job, visit) in visits {
        by_year
            .entry(visit.date.in_office().value.year())
            .or_default()
            .push((job, visit));
    }
    by_year
        .into_iter()
        .map(|(year, visits)| YearHours {
            year: year.to_string(),
            jobs: visits
                .iter()
                .map(|(job, _)| job.file)
                .collect::<BTreeSet<_>>()
                .len(),
            visits: visits.len(),
            minutes: total(visits.iter().map(|(_, visit)| *visit)),
        })
        .collect()
}
