//! The jobs behind each figure of a rate review: a page for each, so that every figure leads to what it is made of.
//! Reckons no figure: [`crate::office::rates`] does.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::model::{Minutes, Money};
use crate::office::rates::{Behind, Earned, OverQuote, Part, Rates};
use crate::office::reckon::an_hour;
use crate::office::words::{amount, counted, figure, iso_day, lower_first, percent_of};

use super::hours_letter::ENOUGH;
use super::{Book, job_link, stems};

/// What a page of jobs is behind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Of {
    /// A part of the hours.
    Part(Part),
    /// A task type, by its number in the review.
    Task(usize),
    /// A location type, by its number in the review.
    Location(usize),
    /// Hours quoted against hours taken.
    Quotes,
}

/// A page of jobs: the review's number, the latest first, and what the jobs are behind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FigureId {
    /// Which review.
    pub review: usize,
    /// Which figure of it.
    pub of: Of,
}

/// The jobs behind a figure.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct FigurePage {
    /// Its own address: `rates/2026-04-06/task-downlight.html`.
    pub link: String,
    /// Its title, like no other page's.
    pub title: String,
    /// The review's days: `Year to 5 April 2027`.
    pub serial: String,
    /// The answer: `Fault finding earned £46.85 an hour`.
    pub headline: String,
    /// The rest of it.
    pub say: String,
    /// The review.
    pub review: String,
    /// Heads of the columns after the job's.
    pub heads: Vec<&'static str>,
    /// The jobs.
    pub rows: Vec<FigureRow>,
    /// The sums below the columns.
    pub foot: Vec<String>,
}

/// A job behind a figure.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct FigureRow {
    /// Its ref.
    pub reference: String,
    /// Its page.
    pub link: String,
    /// Its title.
    pub title: String,
    /// A line beneath it; empty where there is none.
    pub why: String,
    /// What it gave, under the heads.
    pub cells: Vec<String>,
}

/// Addresses within the reviews: for each one the stems of its task types and of its location types.
pub(super) type Stems<'a> = Vec<(BTreeMap<&'a str, String>, BTreeMap<&'a str, String>)>;

pub(super) fn stems_of(reviews: &[Rates]) -> Stems<'_> {
    let of = |earned: fn(&Earned) -> Option<&str>, all| {
        stems(Iterator::filter_map(all, earned), |key| key)
    };
    reviews
        .iter()
        .map(|review| {
            (
                of(|one| one.task.as_deref(), review.tasks.iter()),
                of(|one| one.location.as_deref(), review.locations.iter()),
            )
        })
        .collect()
}

impl Book<'_> {
    /// Every page of jobs behind a figure of a review, in order of review.
    pub fn figure_ids(&self) -> Vec<FigureId> {
        let mut ids = Vec::new();
        for (review, rates) in self.reports.rates.iter().enumerate() {
            let parts = rates.behind.keys().copied().map(Of::Part);
            let tasks = (0..rates.tasks.len()).map(Of::Task);
            let locations = (0..rates.locations.len()).map(Of::Location);
            let quotes = (rates.quotes.n > 0).then_some(Of::Quotes);
            let all = parts.chain(tasks).chain(locations).chain(quotes);
            ids.extend(all.map(|of| FigureId { review, of }));
        }
        ids
    }

    /// The page of jobs behind a figure.
    pub fn figure_page(&self, id: FigureId) -> FigurePage {
        let rates = &self.reports.rates[id.review];
        let page = match id.of {
            Of::Part(part) => self.part_page(rates, part),
            Of::Task(number) => self.earned_page(&rates.tasks[number], "task type"),
            Of::Location(number) => self.earned_page(&rates.locations[number], "location type"),
            Of::Quotes => self.quotes_page(&rates.quotes.jobs),
        };
        let serial = review_days(rates);
        FigurePage {
            link: self.figure_link(id),
            title: format!("{}, {}", page.title, lower_first(&serial)),
            serial,
            review: self.review_link(id.review),
            ..page
        }
    }

    /// Address of a review: the latest is `rates.html`.
    pub(super) fn review_link(&self, review: usize) -> String {
        match &self.reports.rates[review].from {
            Some(from) if review > 0 => format!("rates/{from}.html"),
            _ => "rates.html".to_owned(),
        }
    }

    /// Address of the jobs behind a figure; empty where no job is behind it.
    pub(super) fn figure_link(&self, id: FigureId) -> String {
        let rates = &self.reports.rates[id.review];
        let (tasks, locations) = &self.index.reviews[id.review];
        let stem = |stems: &BTreeMap<&str, String>, key: Option<&String>| {
            key.and_then(|key| stems.get(key.as_str())).cloned()
        };
        let name = match id.of {
            Of::Part(part) => rates
                .behind
                .contains_key(&part)
                .then(|| part.word().to_owned()),
            Of::Task(number) => {
                stem(tasks, rates.tasks[number].task.as_ref()).map(|stem| format!("task-{stem}"))
            }
            Of::Location(number) => stem(locations, rates.locations[number].location.as_ref())
                .map(|stem| format!("location-{stem}")),
            Of::Quotes => (rates.quotes.n > 0).then(|| "quotes".to_owned()),
        };
        match (name, &rates.from) {
            (Some(name), Some(from)) => format!("rates/{from}/{name}.html"),
            _ => String::new(),
        }
    }

    fn part_page(&self, rates: &Rates, part: Part) -> FigurePage {
        let jobs = rates.behind.get(&part).map_or(&[][..], Vec::as_slice);
        let minutes = jobs.iter().map(|one| one.minutes).sum();
        let time = Minutes::new(minutes);
        let labour: Money = jobs.iter().filter_map(|one| one.labour).sum();
        let labour_words = amount(labour, self.currency());
        let (title, headline, say) = match part {
            Part::OnSite => (
                "On site",
                format!("{time} on site brought {labour_words}"),
                "Every visit of these days, by the job that the time stands with. A call-out that led to a job stands \
                 with that job.",
            ),
            Part::Charged => (
                "Charged",
                format!("{time} charged brought {labour_words}"),
                "Planned, survey and call-out visits of jobs that were charged. A charge that also pays for visits on \
                 other days counts here for its share of the minutes.",
            ),
            Part::CallOuts => (
                "Call-outs on no bill",
                format!("{time} of call-outs on no bill"),
                "Their logs have no charge and lead to no job that has one. If a later bill paid for one, write its \
                 ref: for.",
            ),
            Part::FollowUps => (
                "Follow-ups",
                format!("{time} of follow-ups"),
                "Second visits that finished or explained a job. No bill pays for them.",
            ),
            Part::FreeReturns => (
                "Free returns",
                format!("{time} of free returns"),
                "Visits under guarantee. What they cost in all is in the cover letter.",
            ),
            Part::NotToBeCharged => (
                "Not to be charged",
                format!("{time} that is not to be charged"),
                "Their logs say why there is no charge.",
            ),
            Part::NotChargedYet => (
                "Not charged yet",
                format!("{time} not charged yet"),
                "Their logs have no charge so far: the bill is not sent, or not written down.",
            ),
            Part::Travel => (
                "On the road",
                format!("{time} on the road"),
                "Travel of each visit, there and back, as its log says. The rate carries it.",
            ),
        };
        let earns = matches!(part, Part::OnSite | Part::Charged);
        FigurePage {
            headline,
            say: format!(
                "{say} {} behind it.{}",
                counted(jobs.len(), "job", "jobs"),
                few(jobs.len())
            ),
            ..self.jobs_page(title, jobs, earns)
        }
    }

    fn earned_page(&self, earned: &Earned, kind: &str) -> FigurePage {
        let rate = earned
            .earned_per_hour
            .map_or_else(String::new, |rate| amount(rate, self.currency()));
        let middle = earned.middle.as_ref().map_or_else(String::new, |middle| {
            format!(
                " Half of the jobs earned less than {} an hour; the true middle lies between {} and {}, nine times in \
                 ten.",
                amount(middle.median, self.currency()),
                amount(middle.low, self.currency()),
                amount(middle.high, self.currency())
            )
        });
        FigurePage {
            headline: format!("{} earned {rate} an hour", earned.name),
            say: format!(
                "{} on this {kind}, on {} that were done in these days and charged, or are not to be.{middle}{}",
                Minutes::new(earned.minutes),
                counted(earned.jobs, "job", "jobs"),
                few(earned.jobs)
            ),
            ..self.jobs_page(&earned.name, &earned.behind, true)
        }
    }

    fn jobs_page(&self, title: &str, jobs: &[Behind], earns: bool) -> FigurePage {
        let rate =
            |labour: Money, minutes| an_hour(labour, minutes).map_or_else(String::new, figure);
        let rows = jobs.iter().map(|one| {
            let mut cells = vec![Minutes::new(one.minutes).to_string()];
            if let (true, Some(labour)) = (earns, one.labour) {
                cells.push(figure(labour));
                cells.push(rate(labour, one.minutes));
            }
            self.figure_row(&one.reference, String::new(), cells)
        });
        let minutes = jobs.iter().map(|one| one.minutes).sum();
        let mut foot = vec![Minutes::new(minutes).to_string()];
        if earns {
            let labour: Money = jobs.iter().filter_map(|one| one.labour).sum();
            foot.push(figure(labour));
            foot.push(rate(labour, minutes));
        }
        FigurePage {
            link: String::new(),
            title: title.to_owned(),
            serial: String::new(),
            headline: String::new(),
            say: String::new(),
            review: String::new(),
            heads: if earns {
                vec!["Time", "Labour", "An hour"]
            } else {
                vec!["Time"]
            },
            rows: rows.collect(),
            foot,
        }
    }

    fn quotes_page(&self, jobs: &[OverQuote]) -> FigurePage {
        let rows = jobs.iter().map(|job| {
            let cells = vec![
                Minutes::new(job.quoted).to_string(),
                Minutes::new(job.took).to_string(),
                over_words(job),
            ];
            self.figure_row(&job.reference, job.basis.clone(), cells)
        });
        let sum = |of: fn(&OverQuote) -> i64| jobs.iter().map(of).sum::<i64>();
        let (quoted, took) = (sum(|job| job.quoted), sum(|job| job.took));
        FigurePage {
            headline: format!(
                "{} quoted, {} taken",
                Minutes::new(quoted),
                Minutes::new(took)
            ),
            say: format!(
                "Hours on site without free returns, of {} that had hours quoted, the furthest over first.{}",
                counted(jobs.len(), "job", "jobs"),
                few(jobs.len())
            ),
            heads: vec!["Quoted", "Took", "Over"],
            rows: rows.collect(),
            foot: vec![
                Minutes::new(quoted).to_string(),
                Minutes::new(took).to_string(),
                signed_percent(percent_of(took - quoted, quoted)),
            ],
            ..self.jobs_page("Quoted against taken", &[], false)
        }
    }

    pub(super) fn figure_row(&self, reference: &str, why: String, cells: Vec<String>) -> FigureRow {
        let job = self
            .index
            .by_ref
            .get(reference)
            .map(|&job| &self.diary.jobs[job]);
        FigureRow {
            reference: reference.to_owned(),
            link: job.map_or_else(String::new, |_| job_link(reference)),
            title: job.map_or_else(String::new, |job| job.title.value.clone()),
            why,
            cells,
        }
    }
}

/// The days of a review: `Year to 5 April 2027`, or `To 25 November 2026` where `years` says nothing of them.
pub(super) fn review_days(rates: &Rates) -> String {
    let to = rates.ends.as_ref().or(rates.to.as_ref());
    match (to, rates.pay) {
        (Some(to), Some(_)) => format!("Year to {}", iso_day(to)),
        (Some(to), None) => format!("To {}", iso_day(to)),
        (None, _) => "No visits yet".to_owned(),
    }
}

/// What a quoted job took over its quote: `+81 %`.
pub(super) fn over_words(job: &OverQuote) -> String {
    signed_percent(percent_of(job.took - job.quoted, job.quoted))
}

fn signed_percent(over: i64) -> String {
    match over {
        0 => "0 %".to_owned(),
        over @ 1.. => format!("+{over} %"),
        under => format!("−{} %", -under),
    }
}

/// What a figure from so many jobs must say.
fn few(jobs: usize) -> &'static str {
    if jobs < ENOUGH {
        " That is too few to lean on."
    } else {
        ""
    }
}
