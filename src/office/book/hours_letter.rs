//! The hours report as a letter with the answer first. Puts figures in words and reckons none: [`crate::office::hours`] does.

use serde::Serialize;

use crate::model::Minutes;

use super::Book;
use super::hours_words::{letter_say, locations_say, tasks_say, trends_say};
use super::list::year_link;
use super::sure::{CLEAR, trend_words};
use crate::office::hours::{FEWEST_FOR_RANGE, LocationHours, SpanMinutes, TaskHours};
use crate::office::words::{iso_day, minutes, number, per, percent_of};

/// Fewer jobs than this behind a figure, and the figure says so.
pub(super) const ENOUGH: usize = FEWEST_FOR_RANGE;
/// The letter.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct HoursLetter {
    /// The docket's serial: `To 20 November 2026`; empty without visits.
    pub span: String,
    /// The answer: `Four hours in five on site go on timed tasks`.
    pub headline: String,
    /// The rest of the answer.
    pub say: String,
    /// Where the hours went: on tasks, other time on site, travel.
    pub went: Vec<Went>,
    /// Their sum.
    pub went_total: String,
    /// Visits by kind.
    pub visits: Vec<VisitKindRow>,
    /// Task types with enough jobs, most minutes first.
    pub tasks: Vec<Strip>,
    /// What the strips say.
    pub tasks_say: String,
    /// Task types with too few jobs.
    pub few: Vec<Strip>,
    /// Task types whose minutes give no figure each: name, page and why.
    pub uncounted: Vec<Uncounted>,
    /// Every task type as a row.
    pub rows: Vec<TaskFigures>,
    /// Task types that clearly changed over the years.
    pub trends: Vec<TrendRow>,
    /// What the others say.
    pub trends_say: String,
    /// Location types with enough jobs, slowest first.
    pub locations: Vec<LocationStrip>,
    /// What they say.
    pub locations_say: String,
    /// Location types with too few jobs.
    pub few_locations: Vec<LocationStrip>,
    /// Calendar years, oldest first.
    pub years: Vec<YearOfHours>,
}

/// A part of the hours, with its place in the bar.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Went {
    /// `On tasks`.
    pub what: &'static str,
    /// How it is filled: a class of the style.
    pub fill: &'static str,
    /// Where it begins, in per cent with a point: `81.25`.
    pub x: String,
    /// How wide it is.
    pub width: String,
    /// `1,184 h`.
    pub time: String,
    /// `81 %`.
    pub share: String,
}

/// A kind of visit.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct VisitKindRow {
    /// `Call-out`.
    pub kind: &'static str,
    /// How many.
    pub count: usize,
    /// How long in all.
    pub time: String,
}

/// A task type as a strip; the chart of ranges reads it.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Strip {
    /// Name.
    pub name: String,
    /// `each`, `a metre`.
    pub per: String,
    /// Jobs.
    pub n: usize,
    /// One in ten took less.
    pub q10: Option<f64>,
    /// A quarter took less.
    pub q25: Option<f64>,
    /// Half took less.
    pub median: Option<f64>,
    /// Three quarters took less.
    pub q75: Option<f64>,
    /// Nine in ten took less.
    pub q90: Option<f64>,
    /// Single jobs, where there are too few.
    pub singles: Vec<f64>,
    /// Always `None`: the letter is about no one job.
    pub here: Option<f64>,
    /// The jobs behind it.
    pub jobs_link: String,
    /// `1 h 12 each`; for too few the times themselves.
    pub value: String,
}

/// A task type without a figure each.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Uncounted {
    /// Name.
    pub name: String,
    /// Its page.
    pub link: String,
    /// `3 h 10`.
    pub time: String,
}

/// A task type's figures in a table.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct TaskFigures {
    /// Name.
    pub name: String,
    /// Its page.
    pub link: String,
    /// `each`.
    pub per: String,
    /// Jobs.
    pub n: usize,
    /// `71`.
    pub count: String,
    /// `39 h 05`.
    pub time: String,
    /// Half took less; empty where there is none.
    pub median: String,
    /// `28 to 36 min`; empty with too few jobs.
    pub interval: String,
    /// One in ten took less.
    pub q10: String,
    /// Nine in ten took less.
    pub q90: String,
    /// Whether there are too few jobs to lean on.
    pub few: bool,
}

/// A trend in words.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct TrendRow {
    /// Name.
    pub name: String,
    /// Its page.
    pub link: String,
    /// Sentences.
    pub words: String,
}

/// A location type as a strip; the chart of locations reads it.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct LocationStrip {
    /// Name.
    pub name: String,
    /// Its page.
    pub link: String,
    /// Jobs.
    pub n: usize,
    /// Median ratio; 1 is the same.
    pub ratio: f64,
    /// Interval.
    pub low: Option<f64>,
    /// Interval.
    pub high: Option<f64>,
}

/// A calendar year.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct YearOfHours {
    /// `2026`.
    pub year: String,
    /// Its list of jobs; empty where there is none.
    pub link: String,
    /// Jobs with a visit in it.
    pub jobs: usize,
    /// Visits in it.
    pub visits: usize,
    /// On site.
    pub on_site: String,
    /// On tasks.
    pub by_task: String,
    /// Other time on site.
    pub other: String,
    /// Travelling.
    pub travel: String,
}

impl Book<'_> {
    /// The letter.
    pub fn hours_letter(&self) -> HoursLetter {
        let hours = self.hours;
        let span = match (&hours.from, &hours.to) {
            (Some(from), Some(to)) => format!("{} to {}", iso_day(from), iso_day(to)),
            _ => String::new(),
        };
        let share = percent_of(hours.minutes.by_task, hours.minutes.on_site);
        let (with_figure, rest): (Vec<&TaskHours>, Vec<&TaskHours>) = hours
            .tasks
            .iter()
            .partition(|task| task.n >= ENOUGH && task.each.is_some());
        let (few, uncounted): (Vec<&TaskHours>, Vec<&TaskHours>) =
            rest.into_iter().partition(|task| task.each.is_some());
        let (locations, few_locations): (Vec<&LocationHours>, Vec<&LocationHours>) = hours
            .locations
            .iter()
            .filter(|at| at.ratio.is_some())
            .partition(|at| at.n >= ENOUGH);
        let locations: Vec<LocationStrip> = locations
            .into_iter()
            .filter_map(|at| self.location_strip(at))
            .collect();
        let trends = self.trends();
        HoursLetter {
            headline: if hours.jobs == 0 {
                "Nothing is timed yet".to_owned()
            } else {
                format!("{share} % of your time on site goes on timed tasks")
            },
            say: letter_say(hours.jobs, &span, &hours.minutes),
            span: self
                .hours
                .to
                .as_ref()
                .map_or(String::new(), |to| format!("To {}", iso_day(to))),
            went: went(&hours.minutes),
            went_total: Minutes::new(hours.minutes.on_site + hours.minutes.travel).to_string(),
            visits: self.visit_kinds(),
            tasks_say: tasks_say(&with_figure),
            tasks: with_figure.iter().map(|task| self.strip(task)).collect(),
            few: few.iter().map(|task| self.strip(task)).collect(),
            uncounted: uncounted
                .iter()
                .map(|task| Uncounted {
                    name: task.name.clone(),
                    link: self.task_link(&task.task),
                    time: Minutes::new(task.minutes).to_string(),
                })
                .collect(),
            rows: hours
                .tasks
                .iter()
                .map(|task| self.figures_row(task))
                .collect(),
            trends_say: trends_say(&hours.tasks, trends.len()),
            trends,
            locations_say: locations_say(&locations),
            locations,
            few_locations: few_locations
                .into_iter()
                .filter_map(|at| self.location_strip(at))
                .collect(),
            years: self.hours_years(),
        }
    }

    pub(super) fn strip(&self, task: &TaskHours) -> Strip {
        let enough = task.each.filter(|_| task.n >= ENOUGH);
        let unit = per(&task.unit);
        Strip {
            name: task.name.clone(),
            n: task.n,
            q10: enough.map(|each| each.q10),
            q25: enough.map(|each| each.q25),
            median: enough.map(|each| each.median),
            q75: enough.map(|each| each.q75),
            q90: enough.map(|each| each.q90),
            singles: if enough.is_some() {
                Vec::new()
            } else {
                task.observations.clone()
            },
            here: None,
            jobs_link: self.task_link(&task.task),
            value: enough.map_or_else(
                || "too few yet".to_owned(),
                |each| format!("{} {unit}", minutes(each.median)),
            ),
            per: unit,
        }
    }

    fn figures_row(&self, task: &TaskHours) -> TaskFigures {
        TaskFigures {
            name: task.name.clone(),
            link: self.task_link(&task.task),
            per: per(&task.unit),
            n: task.n,
            count: number(task.count),
            time: Minutes::new(task.minutes).to_string(),
            median: task.each.map_or(String::new(), |each| minutes(each.median)),
            interval: task
                .median_interval
                .as_ref()
                .map_or(String::new(), |interval| {
                    format!("{} to {}", minutes(interval.low), minutes(interval.high))
                }),
            q10: task.each.map_or(String::new(), |each| minutes(each.q10)),
            q90: task.each.map_or(String::new(), |each| minutes(each.q90)),
            few: task.n < ENOUGH,
        }
    }

    fn trends(&self) -> Vec<TrendRow> {
        self.hours
            .tasks
            .iter()
            .filter_map(|task| {
                let trend = task.trend.as_ref().filter(|trend| trend.p < CLEAR)?;
                Some(TrendRow {
                    name: task.name.clone(),
                    link: self.task_link(&task.task),
                    words: trend_words(trend),
                })
            })
            .collect()
    }

    fn location_strip(&self, at: &LocationHours) -> Option<LocationStrip> {
        Some(LocationStrip {
            name: at.name.clone(),
            link: self.location_link(&at.location),
            n: at.n,
            ratio: at.ratio?,
            low: at.interval.map(|interval| interval.low),
            high: at.interval.map(|interval| interval.high),
        })
    }

    fn visit_kinds(&self) -> Vec<VisitKindRow> {
        let visits = self.hours.visits.iter();
        visits
            .filter(|visits| visits.count > 0)
            .map(|visits| VisitKindRow {
                kind: visits.kind.shown(),
                count: visits.count,
                time: Minutes::new(visits.minutes).to_string(),
            })
            .collect()
    }

    fn hours_years(&self) -> Vec<YearOfHours> {
        let shown = |minutes: i64| Minutes::new(minutes).to_string();
        self.hours
            .years
            .iter()
            .map(|year| YearOfHours {
                link: match year.year.parse::<i16>() {
                    Ok(number) if self.index.years.contains_key(&number) => year_link(number),
                    _ => String::new(),
                },
                year: year.year.clone(),
                jobs: year.jobs,
                visits: year.visits,
                on_site: shown(year.minutes.on_site),
                by_task: shown(year.minutes.by_task),
                other: shown(year.minutes.other),
                travel: shown(year.minutes.travel),
            })
            .collect()
    }
}

fn went(minutes: &SpanMinutes) -> Vec<Went> {
    let all = minutes.on_site + minutes.travel;
    let share = |part: i64| {
        if all == 0 {
            0.0
        } else {
            Minutes::new(part).as_f64() * 100.0 / Minutes::new(all).as_f64()
        }
    };
    let mut x = 0.0;
    [
        ("On tasks", "bar", minutes.by_task),
        ("Other time on site", "open", minutes.other),
        ("On the road", "soft", minutes.travel),
    ]
    .into_iter()
    .map(|(what, fill, part)| {
        let width = share(part).max(0.0);
        let went = Went {
            what,
            fill,
            x: format!("{x:.2}"),
            width: format!("{width:.2}"),
            time: Minutes::new(part).to_string(),
            share: format!("{} %", percent_of(part, all)),
        };
        x += width;
        went
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bar_of_hours_is_full_and_starts_at_nought() {
        let parts = went(&SpanMinutes {
            on_site: 600,
            by_task: 450,
            other: 150,
            travel: 200,
        });
        let shown: Vec<(&str, &str, &str)> = parts
            .iter()
            .map(|part| (part.x.as_str(), part.width.as_str(), part.share.as_str()))
            .collect();
        assert_eq!(
            shown,
            [
                ("0.00", "56.25", "56 %"),
                ("56.25", "18.75", "19 %"),
                ("75.00", "25.00", "25 %")
            ]
        );
        assert!(
            went(&SpanMinutes::default())
                .iter()
                .all(|part| part.width == "0.00")
        );
    }
}
