//! Every guarantee, by the year in which it ends, and every free return, by the year it was made: pages that stay
//! bounded however long the record is. Reckons nothing.

use serde::Serialize;

use crate::model::{Minutes, Money};
use crate::office::cover::{Guarantee, ReturnCost};
use crate::office::words::{counted, figure, iso_day};

use super::Book;
use super::figure::FigureRow;

/// The guarantees that end in a year.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct GuaranteesPage {
    /// Its own address: `cover/2031.html`.
    pub link: String,
    /// `2031`.
    pub year: String,
    /// What the rows say, in a sentence.
    pub say: String,
    /// Until and state; the one that ends first at the head.
    pub rows: Vec<FigureRow>,
    /// The year before and the year after in the list: address and name; empty where there is none.
    pub earlier: (String, String),
    /// The year after.
    pub later: (String, String),
}

/// The free returns of a year.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct ReturnsPage {
    /// Its own address: `cover/returns-2026.html`.
    pub link: String,
    /// `2026`.
    pub year: String,
    /// What the rows say, in a sentence.
    pub say: String,
    /// The returns.
    pub rows: Vec<FigureRow>,
    /// Their sums.
    pub foot: Vec<String>,
}

/// A year of a list with how many it holds.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct YearCount {
    /// Its page.
    pub link: String,
    /// `2031`.
    pub year: String,
    /// `52 guarantees`.
    pub count: String,
}

/// The year of an ISO date.
pub(super) fn year_of(date: &str) -> &str {
    date.split('-').next().unwrap_or_default()
}

pub(super) fn guarantees_link(year: &str) -> String {
    format!("cover/{year}.html")
}

pub(super) fn returns_link(year: &str) -> String {
    format!("cover/returns-{year}.html")
}

/// The rows of a year; they stand in order of date.
fn of_year<'r, T>(rows: &'r [T], date: fn(&T) -> &str, year: &str) -> &'r [T] {
    let first = rows.partition_point(|row| year_of(date(row)) < year);
    let next = rows.partition_point(|row| year_of(date(row)) <= year);
    &rows[first..next]
}

/// The years of rows that stand in order of date, each once.
fn years<T>(rows: &[T], date: fn(&T) -> &str) -> Vec<&str> {
    let mut years = Vec::new();
    let mut rest = rows;
    while let Some(row) = rest.first() {
        let year = year_of(date(row));
        years.push(year);
        rest = &rest[rest.partition_point(|row| year_of(date(row)) <= year)..];
    }
    years
}

impl Book<'_> {
    /// The years in which guarantees end, in order.
    pub fn years_of_guarantees(&self) -> Vec<&str> {
        years(&self.reports.cover.jobs, |job| &job.until)
    }

    /// The years in which free returns were made, in order.
    pub fn years_of_returns(&self) -> Vec<&str> {
        years(&self.reports.cover.costs, |one| &one.on)
    }

    /// The guarantees that end in a year.
    pub fn guarantees_page(&self, year: &str) -> GuaranteesPage {
        let jobs = of_year(&self.reports.cover.jobs, |job| &job.until, year);
        let running = jobs.iter().filter(|job| job.state == "running").count();
        let names = self.years_of_guarantees();
        let here = names.iter().position(|name| *name == year);
        let neighbour = |at: Option<usize>| {
            let year = at.and_then(|at| names.get(at));
            year.map_or_else(Default::default, |year| {
                (guarantees_link(year), (*year).to_owned())
            })
        };
        GuaranteesPage {
            link: guarantees_link(year),
            year: year.to_owned(),
            say: format!(
                "{} in {year}; {running} of them {} running.",
                counted(jobs.len(), "guarantee ends", "guarantees end"),
                if running == 1 { "is" } else { "are" }
            ),
            rows: jobs.iter().map(|job| self.guarantee_row(job)).collect(),
            earlier: neighbour(here.and_then(|at| at.checked_sub(1))),
            later: neighbour(here.map(|at| at + 1)),
        }
    }

    /// The free returns of a year.
    pub fn returns_page(&self, year: &str) -> ReturnsPage {
        let returns = of_year(&self.reports.cover.costs, |one| &one.on, year);
        ReturnsPage {
            link: returns_link(year),
            year: year.to_owned(),
            say: format!(
                "{} in {year}. Time is on site and on the road, at the hourly rate of diary.yaml.",
                counted(returns.len(), "free return", "free returns")
            ),
            rows: returns.iter().map(|one| self.return_row(one)).collect(),
            foot: return_sums(returns),
        }
    }

    pub(super) fn guarantee_years(&self) -> Vec<YearCount> {
        let jobs = &self.reports.cover.jobs;
        let years = self
            .years_of_guarantees()
            .into_iter()
            .map(|year| YearCount {
                link: guarantees_link(year),
                year: year.to_owned(),
                count: counted(
                    of_year(jobs, |job| &job.until, year).len(),
                    "guarantee",
                    "guarantees",
                ),
            });
        years.collect()
    }

    pub(super) fn return_years(&self) -> Vec<YearCount> {
        let costs = &self.reports.cover.costs;
        let years = self.years_of_returns().into_iter().map(|year| YearCount {
            link: returns_link(year),
            year: year.to_owned(),
            count: counted(
                of_year(costs, |one| &one.on, year).len(),
                "return",
                "returns",
            ),
        });
        years.collect()
    }

    /// A guarantee with its last day and its state; the day it began stands beneath the title.
    fn guarantee_row(&self, job: &Guarantee) -> FigureRow {
        let mut row = self.guarantee_in_short(job);
        row.cells.push(job.state.to_owned());
        row
    }

    /// The same without its state.
    pub(super) fn guarantee_in_short(&self, job: &Guarantee) -> FigureRow {
        let done = format!("done {}", iso_day(&job.finished));
        self.figure_row(&job.reference, done, vec![short_day(&job.until)])
    }

    /// A return with its time and its cost alone.
    pub(super) fn return_in_short(&self, one: &ReturnCost) -> FigureRow {
        let cells = vec![Minutes::new(one.minutes).to_string(), figure(one.cost)];
        self.figure_row(&one.reference, iso_day(&one.on), cells)
    }

    pub(super) fn return_row(&self, one: &ReturnCost) -> FigureRow {
        let cells = vec![
            Minutes::new(one.minutes).to_string(),
            figure(one.time),
            figure(one.trip),
            figure(one.materials),
            figure(one.cost),
        ];
        self.figure_row(&one.reference, iso_day(&one.on), cells)
    }
}

/// `4 Dec 2029`: a month of nine letters leaves a title no room on a phone.
fn short_day(text: &str) -> String {
    let long = iso_day(text);
    let parts: Vec<&str> = long.split(' ').collect();
    match parts.as_slice() {
        [day, month, year] => format!("{day} {} {year}", month.get(..3).unwrap_or(month)),
        _ => long,
    }
}

/// The sums below a list of returns with their time and cost alone.
pub(super) fn short_sums(returns: &[ReturnCost]) -> Vec<String> {
    let mut sums = return_sums(returns);
    let cost = sums.pop();
    sums.truncate(1);
    sums.extend(cost);
    sums
}

/// The sums below a list of returns, under the same heads as its rows.
pub(super) fn return_sums(returns: &[ReturnCost]) -> Vec<String> {
    let sum = |of: fn(&ReturnCost) -> Money| figure(returns.iter().map(of).sum());
    let minutes = returns.iter().map(|one| one.minutes).sum();
    vec![
        Minutes::new(minutes).to_string(),
        sum(|one| one.time),
        sum(|one| one.trip),
        sum(|one| one.materials),
        sum(|one| one.cost),
    ]
}
