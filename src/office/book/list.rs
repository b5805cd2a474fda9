//! The lists of the office book: all years, and the jobs of each year, newest first.

use serde::Serialize;

use crate::model::{Job, Minutes, Money, Private};

use super::{Book, done_day, job_link};
use crate::office::words::{amount, counted, day, figure};

/// The years of the record.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct YearList {
    /// Jobs in the whole record: `163 jobs`.
    pub jobs: String,
    /// Years, newest first.
    pub years: Vec<YearRow>,
    /// Sums over all years.
    pub total: YearRow,
}

/// A year in the list.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct YearRow {
    /// `2026`; empty in the sum.
    pub year: String,
    /// Its page: `jobs/2026.html`; empty in the sum.
    pub link: String,
    /// Jobs.
    pub jobs: usize,
    /// Visits.
    pub visits: usize,
    /// Time on site.
    pub on_site: String,
    /// Charged: labour, materials and parking as written; empty where nothing is.
    pub charged: String,
    /// Jobs that readers see.
    pub public: usize,
    /// Jobs held back until a date.
    pub held: usize,
}

/// The jobs of one year.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct YearPage {
    /// Its own address: `jobs/2026.html`.
    pub link: String,
    /// `2026`.
    pub year: String,
    /// Its figures.
    pub row: YearRow,
    /// What the figures say, as a sentence.
    pub say: String,
    /// Its jobs, newest first.
    pub jobs: Vec<ListedJob>,
    /// The year before it in the record: its page and name; empty where there is none.
    pub earlier: (String, String),
    /// The year after it.
    pub later: (String, String),
}

/// A job in a list.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct ListedJob {
    /// Its ref.
    pub reference: String,
    /// Its page.
    pub link: String,
    /// Title.
    pub title: String,
    /// Who, and the location type: `Tarrow Slip, boat shed or yard`.
    pub line: String,
    /// The day it was done: `18 March 2026`.
    pub date: String,
    /// How many visits.
    pub visits: usize,
    /// `10 h`.
    pub on_site: String,
    /// Charged: `745.40`; empty where nothing is written.
    pub charged: String,
    /// `public`, `held`, `private`.
    pub state: &'static str,
    /// `public`, `from 1 December 2026`, `private`.
    pub standing: String,
}

impl Book<'_> {
    /// The list of years.
    pub fn years(&self) -> YearList {
        let all: Vec<&[usize]> = self.index.years.values().map(Vec::as_slice).collect();
        let mut total = self.year_row(&all.concat());
        total.year = String::new();
        YearList {
            jobs: counted(self.diary.jobs.len(), "job", "jobs"),
            years: self
                .index
                .years
                .iter()
                .rev()
                .map(|(year, jobs)| YearRow {
                    year: year.to_string(),
                    link: year_link(*year),
                    ..self.year_row(jobs)
                })
                .collect(),
            total,
        }
    }

    /// The years that have a page, oldest first.
    pub fn year_numbers(&self) -> Vec<i16> {
        self.index.years.keys().copied().collect()
    }

    /// The jobs of a year; a page without jobs for a year that has none.
    pub fn year(&self, year: i16) -> YearPage {
        let jobs = self.index.years.get(&year).map_or(&[][..], Vec::as_slice);
        let row = YearRow {
            year: year.to_string(),
            link: year_link(year),
            ..self.year_row(jobs)
        };
        let neighbour = |year: Option<&i16>| {
            year.map_or_else(Default::default, |year| {
                (year_link(*year), year.to_string())
            })
        };
        let charged: Money = jobs
            .iter()
            .filter_map(|&job| charged(&self.diary.jobs[job]))
            .sum();
        YearPage {
            link: year_link(year),
            year: year.to_string(),
            say: format!(
                "{}, {}, {} on site. The logs write down {} as charged.",
                counted(row.jobs, "job", "jobs"),
                counted(row.visits, "visit", "visits"),
                row.on_site,
                amount(charged, self.currency())
            ),
            row,
            jobs: jobs.iter().map(|&job| self.listed(job)).collect(),
            earlier: neighbour(
                self.index
                    .years
                    .range(..year)
                    .next_back()
                    .map(|(year, _)| year),
            ),
            later: neighbour(
                self.index
                    .years
                    .range(year + 1..)
                    .next()
                    .map(|(year, _)| year),
            ),
        }
    }

    /// A job as lists show it.
    pub(super) fn listed(&self, number: usize) -> ListedJob {
        let job = &self.diary.jobs[number];
        let standing = self.standing(job);
        let location = job
            .location
            .as_ref()
            .map(|key| self.location_name(&key.value));
        let line: Vec<String> = [Some(self.client_name(job)), location]
            .into_iter()
            .flatten()
            .filter(|part| !part.is_empty())
            .collect();
        ListedJob {
            reference: job.reference.in_office().value.clone(),
            link: job_link(&job.reference.in_office().value),
            title: job.title.value.clone(),
            line: line.join(", "),
            date: done_day(job).map_or(String::new(), day),
            visits: job.visits.len(),
            on_site: job.minutes_on_site().to_string(),
            charged: charged(job).map_or(String::new(), figure),
            state: standing.state,
            standing: standing.short,
        }
    }

    fn year_row(&self, jobs: &[usize]) -> YearRow {
        let jobs: Vec<&Job> = jobs.iter().map(|&job| &self.diary.jobs[job]).collect();
        let state = |state: &str| {
            jobs.iter()
                .filter(|job| self.standing(job).state == state)
                .count()
        };
        let charges: Vec<Money> = jobs.iter().filter_map(|job| charged(job)).collect();
        YearRow {
            year: String::new(),
            link: String::new(),
            jobs: jobs.len(),
            visits: jobs.iter().map(|job| job.visits.len()).sum(),
            on_site: jobs
                .iter()
                .map(|job| job.minutes_on_site())
                .sum::<Minutes>()
                .to_string(),
            charged: if charges.is_empty() {
                String::new()
            } else {
                figure(charges.into_iter().sum())
            },
            public: state("public"),
            held: state("held"),
        }
    }
}

/// A year's page.
pub(super) fn year_link(year: i16) -> String {
    format!("jobs/{year}.html")
}

/// Labour, materials and parking charged; `None` where none of them is written.
pub(super) fn charged(job: &Job) -> Option<Money> {
    let charged = job.charged.as_ref().map(Private::in_office)?;
    let parts: Vec<Money> = [&charged.labour, &charged.materials, &charged.parking]
        .into_iter()
        .flatten()
        .map(|part| part.value)
        .collect();
    (!parts.is_empty()).then(|| parts.into_iter().sum())
}
