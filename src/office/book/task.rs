//! A page for each task type and each location type, with the jobs behind its figures. Reckons none of them:
//! [`crate::office::hours`] does.

use std::collections::HashSet;

use serde::Serialize;

use crate::model::Minutes;

use super::Book;
use super::hours_letter::{ENOUGH, Strip};
use super::labelled::Labelled;
use super::list::ListedJob;
use super::sure::{interval_words, level, times, times_between, trend_words};
use crate::office::hours::{GroupMinutes, TaskHours};
use crate::office::words::{counted, minutes, number, per};

/// A task type's page.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct TaskPage {
    /// Its own address: `hours/shore-point.html`.
    pub link: String,
    /// Name.
    pub name: String,
    /// `12 jobs`.
    pub jobs: String,
    /// The answer.
    pub headline: String,
    /// The rest of it.
    pub say: String,
    /// The strip; `None` without observations.
    pub strip: Option<Strip>,
    /// How far the middle could be out.
    pub interval: String,
    /// The trend in words.
    pub trend: String,
    /// Rows of the figures.
    pub figures: Vec<Labelled>,
    /// By location type.
    pub by_location: Vec<Group>,
    /// By year.
    pub by_year: Vec<Group>,
    /// Observations in order of ref.
    pub observations: Vec<Observation>,
    /// Jobs with minutes on it that give no figure each.
    pub without: Vec<ListedJob>,
}

/// A part of a task type's observations.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Group {
    /// Location type or year.
    pub name: String,
    /// Jobs.
    pub n: usize,
    /// Half took less: `1 h 12`.
    pub median: String,
    /// Whether there are too few jobs to lean on.
    pub few: bool,
    /// The jobs: ref and page.
    pub jobs: Vec<(String, String)>,
}

/// One job's time on a task type.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Observation {
    /// The job.
    pub job: ListedJob,
    /// `1 h 15`.
    pub each: String,
}

/// A location type's page.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct LocationPage {
    /// Its own address: `locations/boat-shed.html`.
    pub link: String,
    /// Name.
    pub name: String,
    /// `12 jobs`.
    pub count: String,
    /// What its figure says.
    pub say: String,
    /// The jobs behind it.
    pub jobs: Vec<ListedJob>,
}

impl Book<'_> {
    /// How many task types have a page; [`Book::task_page`] takes a number below it.
    pub fn task_count(&self) -> usize {
        self.hours.tasks.len()
    }

    /// A task type's page, by its number in the report.
    pub fn task_page(&self, number: usize) -> TaskPage {
        let task = &self.hours.tasks[number];
        let unit = per(&task.unit);
        let headline = match task.each {
            Some(each) if task.n >= ENOUGH => format!(
                "{}: half took less than {} {unit}",
                task.name,
                minutes(each.median)
            ),
            _ => format!("{}: too few jobs yet", task.name),
        };
        let say = match task.each {
            Some(each) if task.n >= ENOUGH => format!(
                "The middle half took {} to {}, eight in ten {} to {}. From {}, {} on it in all.",
                minutes(each.q25),
                minutes(each.q75),
                minutes(each.q10),
                minutes(each.q90),
                counted(task.n, "job", "jobs"),
                Minutes::new(task.minutes)
            ),
            Some(_) => format!(
                "Only {}, which is too few to say more than the times themselves. {} on it in all.",
                counted(task.n, "job", "jobs"),
                Minutes::new(task.minutes)
            ),
            None => format!(
                "No job says how many, so there is no time {unit}. {} on it in all.",
                Minutes::new(task.minutes)
            ),
        };
        TaskPage {
            link: self.task_link(&task.task),
            name: task.name.clone(),
            jobs: counted(task.n, "job", "jobs"),
            headline,
            say,
            strip: task.each.is_some().then(|| self.strip(task)),
            interval: interval_words(task.median_interval.as_ref(), task.n),
            trend: match &task.trend {
                Some(trend) => trend_words(trend),
                None => format!(
                    "A trend is reckoned from eight jobs; there {} {}.",
                    are(task.n),
                    counted(task.n, "job", "jobs")
                ),
            },
            figures: figures(task),
            by_location: self.groups(task.by_location.iter(), |key| self.location_name(key)),
            by_year: self.groups(task.by_year.iter(), str::to_owned),
            observations: task
                .refs
                .iter()
                .zip(&task.observations)
                .filter_map(|(reference, each)| {
                    let job = *self.index.by_ref.get(reference.as_str())?;
                    Some(Observation {
                        job: self.listed(job),
                        each: minutes(*each),
                    })
                })
                .collect(),
            without: self.without_figure(task),
        }
    }

    /// How many location types have a page.
    pub fn location_count(&self) -> usize {
        self.hours.locations.len()
    }

    /// A location type's page, by its number in the report.
    pub fn location_page(&self, number: usize) -> LocationPage {
        let at = &self.hours.locations[number];
        let few = if at.n < ENOUGH {
            " That is too few jobs to lean on."
        } else {
            ""
        };
        let say = match at.ratio {
            None => {
                "No job here has a task type with five jobs or more to be held against.".to_owned()
            }
            Some(ratio) => {
                let out = at.interval.as_ref().map_or(String::new(), |interval| {
                    format!(
                        " The true middle lies {}, {}.",
                        times_between(interval.low, interval.high),
                        level(interval.level)
                    )
                });
                format!(
                    "The same task takes {} here as over the whole record, by the middle of {}.{out}{few}",
                    times(ratio),
                    counted(at.n, "job", "jobs")
                )
            }
        };
        LocationPage {
            link: self.location_link(&at.location),
            name: at.name.clone(),
            count: counted(at.n, "job", "jobs"),
            say,
            jobs: self.listed_refs(&at.refs),
        }
    }

    pub(super) fn location_link(&self, key: &str) -> String {
        self.index
            .locations
            .get(key)
            .map_or(String::new(), |stem| format!("locations/{stem}.html"))
    }

    fn listed_refs(&self, refs: &[String]) -> Vec<ListedJob> {
        refs.iter()
            .filter_map(|reference| self.index.by_ref.get(reference.as_str()))
            .map(|&job| self.listed(job))
            .collect()
    }

    fn groups<'g>(
        &self,
        groups: impl Iterator<Item = (&'g String, &'g GroupMinutes)>,
        name: impl Fn(&str) -> String,
    ) -> Vec<Group> {
        groups
            .map(|(key, group)| Group {
                name: name(key),
                n: group.n,
                median: minutes(group.median),
                few: group.n < ENOUGH,
                jobs: group
                    .refs
                    .iter()
                    .filter_map(|reference| {
                        let job = *self.index.by_ref.get(reference.as_str())?;
                        Some((reference.clone(), self.job_link(job)))
                    })
                    .collect(),
            })
            .collect()
    }

    /// Jobs that have the task and are not among its observations.
    fn without_figure(&self, task: &TaskHours) -> Vec<ListedJob> {
        let behind: HashSet<&str> = task.refs.iter().map(String::as_str).collect();
        self.diary
            .jobs
            .iter()
            .enumerate()
            .filter(|(_, job)| !behind.contains(job.reference.in_office().value.as_str()))
            .filter(|(_, job)| {
                job.visits
                    .iter()
                    .flat_map(|visit| &visit.tasks)
                    .any(|t| t.key.value == task.task)
            })
            .map(|(number, _)| self.listed(number))
            .collect()
    }
}

fn figures(task: &TaskHours) -> Vec<Labelled> {
    let unit = per(&task.unit);
    let row = |label: String, value: String| Labelled { label, value };
    let mut rows = Vec::new();
    if let Some(each) = task.each {
        rows.push(row(format!("Half took less, {unit}"), minutes(each.median)));
        rows.push(row("Mean".to_owned(), minutes(each.mean)));
        rows.push(row("One in ten took less".to_owned(), minutes(each.q10)));
        rows.push(row("A quarter took less".to_owned(), minutes(each.q25)));
        rows.push(row(
            "Three quarters took less".to_owned(),
            minutes(each.q75),
        ));
        rows.push(row("Nine in ten took less".to_owned(), minutes(each.q90)));
        rows.push(row(
            "How many, over those jobs".to_owned(),
            number(task.count),
        ));
    }
    rows.push(row(
        "Time on it, all jobs".to_owned(),
        Minutes::new(task.minutes).to_string(),
    ));
    rows
}

fn are(n: usize) -> &'static str {
    if n == 1 { "is" } else { "are" }
}
