//! The cover report as a ledger with the answer first: guarantees by the year of finishing, how often work is gone
//! back to, what that costs, and what to put aside. Its charts' places are in [`super::cover_charts`]; the figures are
//! [`crate::office::cover`]'s.

use serde::Serialize;

use crate::model::Money;
use crate::office::cover::{Cover, a_year, at_ages, years};
use crate::office::words::{counted, grouped, iso_day};

use super::Book;
use super::cover_charts::{CurveStep, Lanes, first_return_steps, lanes, returns_steps};
use super::cover_lists::{YearCount, short_sums};
use super::cover_sum::SumLine;
use super::cover_words::{
    FEWEST_FOR_CURVE, NEWEST, ages_said, first_say, how, lanes_say, newest_say, returns_say,
    too_few,
};
use super::figure::FigureRow;
use super::hours_letter::ENOUGH;
use super::rates_words::Step;

/// Guarantees named among those that end next.
const NEXT: usize = 8;

/// The ledger.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct CoverLedger {
    /// `25 November 2026`.
    pub as_of: String,
    /// The answer: `Six years’ guarantee costs £4.30 a job`.
    pub headline: String,
    /// The rest of the answer.
    pub say: String,
    /// Running, one free return, what should be in the pot; empty without a job.
    pub three: Vec<CoverFigure>,
    /// What the lanes say.
    pub lanes_say: String,
    /// The lanes, with their table.
    pub lanes: Lanes,
    /// What the curve of first returns says; empty where it is not drawn.
    pub first_say: String,
    /// Its steps.
    pub first: Vec<CurveStep>,
    /// Where the record ends, in years of a job's age.
    pub seen: f64,
    /// Its figures in a sentence.
    pub first_said: String,
    /// What the returns a job say.
    pub returns_say: String,
    /// Their steps.
    pub returns: Vec<CurveStep>,
    /// The whole guarantee, in years.
    pub full: f64,
    /// Returns of a job over the whole guarantee; `None` where they are not carried on.
    pub by_full: Option<f64>,
    /// Their figures in a sentence.
    pub returns_said: String,
    /// Both curves at a few ages.
    pub ages: Vec<AgeRow>,
    /// Rented against owner-occupied.
    pub tenure: Vec<TenureRow>,
    /// The reserve as a sum; empty without a return.
    pub sum: Vec<SumLine>,
    /// What the sum says.
    pub sum_say: String,
    /// The newest free returns.
    pub newest: Vec<FigureRow>,
    /// The sums of all of them, where all are shown.
    pub newest_foot: Vec<String>,
    /// What they say.
    pub newest_say: String,
    /// Free returns by year.
    pub return_years: Vec<YearCount>,
    /// Guarantees that end next.
    pub next: Vec<FigureRow>,
    /// Guarantees by the year they end.
    pub guarantee_years: Vec<YearCount>,
    /// Logs of free returns that do not say for which job: ref and page.
    pub not_placed: Vec<(String, String)>,
    /// Heads what to do next.
    pub steps_heading: &'static str,
    /// What to do next.
    pub steps: Vec<Step>,
    /// How it was reckoned.
    pub how: String,
    /// Pages of the handbook on its figures: address and name.
    pub handbook: Vec<(String, String)>,
}

/// A figure at the head.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct CoverFigure {
    /// `Running`.
    pub label: &'static str,
    /// `168`.
    pub figure: String,
    /// `of 168 jobs; the first ends on 3 December 2029`.
    pub under: String,
    /// A place of the page with what is behind it.
    pub link: &'static str,
}

/// Both curves at an age.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct AgeRow {
    /// `1 year`.
    pub age: String,
    /// Jobs in sight; empty past the record.
    pub in_sight: String,
    /// `92.6 %`; empty past the record.
    pub share: String,
    /// `87 to 96 %`; empty where it is undefined.
    pub range: String,
    /// `0.082`.
    pub mean: String,
    /// `the record`, `carried on`.
    pub from: &'static str,
}

/// Returns to rented or owned homes.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct TenureRow {
    /// `Rented homes`.
    pub name: &'static str,
    /// Jobs.
    pub jobs: usize,
    /// Whether they are too few to lean on.
    pub few: bool,
    /// Returns.
    pub returns: usize,
    /// Years of those jobs together: `42`.
    pub job_years: String,
    /// `one in 14 job years (between …)`.
    pub rate: String,
}

impl Book<'_> {
    /// The ledger.
    pub fn cover_ledger(&self) -> CoverLedger {
        let cover = self.reports.cover;
        let drawn = cover.jobs.len() >= FEWEST_FOR_CURVE && cover.seen_days.unwrap_or(0.0) > 0.0;
        let curve = |steps: Vec<CurveStep>| if drawn { steps } else { Vec::new() };
        let (steps_heading, steps) = self.cover_steps();
        let earlier = cover.costs.len().saturating_sub(NEWEST);
        let in_years = |days: f64| days / crate::office::hours::DAYS_OF_YEAR;
        let running = cover.jobs.iter().filter(|job| job.state == "running");
        CoverLedger {
            as_of: crate::office::words::day(self.as_of),
            headline: self.cover_headline(),
            say: self.cover_say(),
            three: self.cover_three(),
            lanes_say: lanes_say(cover),
            lanes: lanes(self),
            first_say: if drawn {
                first_say(cover)
            } else {
                too_few(cover)
            },
            first: curve(first_return_steps(cover)),
            seen: in_years(cover.seen_days.unwrap_or(0.0)),
            first_said: ages_said(cover, |at| {
                format!(
                    "after {} {:.0} in a hundred not yet",
                    at.name,
                    at.share * 100.0
                )
            }),
            returns_say: if drawn {
                returns_say(cover)
            } else {
                String::new()
            },
            returns: curve(returns_steps(cover)),
            full: f64::from(cover.guarantee_years),
            by_full: cover.expected_per_job,
            returns_said: ages_said(cover, |at| {
                format!("{:.3} a job after {}", at.mean, at.name)
            }),
            ages: age_rows(cover),
            tenure: tenure_rows(cover),
            sum: self.sum(),
            sum_say: self.sum_say(),
            newest: cover.costs[earlier..]
                .iter()
                .rev()
                .map(|one| self.return_in_short(one))
                .collect(),
            newest_foot: if earlier == 0 {
                short_sums(&cover.costs)
            } else {
                Vec::new()
            },
            newest_say: newest_say(cover, earlier),
            return_years: self.return_years(),
            next: running
                .take(NEXT)
                .map(|job| self.guarantee_in_short(job))
                .collect(),
            guarantee_years: self.guarantee_years(),
            not_placed: cover
                .not_placed
                .iter()
                .map(|reference| (reference.clone(), super::job_link(reference)))
                .collect(),
            steps_heading,
            steps,
            how: how(cover),
            handbook: self.figures_explained(&[
                "first-return",
                "returns-a-job",
                "cost-of-a-return",
                "reserve",
            ]),
        }
    }

    fn cover_three(&self) -> Vec<CoverFigure> {
        let cover = self.reports.cover;
        if cover.jobs.is_empty() {
            return Vec::new();
        }
        let first = cover.jobs.iter().find(|job| job.state == "running");
        let money = |money: Option<Money>| {
            money.map_or_else(|| "not known".to_owned(), |money| self.money(money))
        };
        let few = if cover.costs.len() < ENOUGH {
            ", too few to lean on"
        } else {
            ""
        };
        vec![
            CoverFigure {
                label: "Running",
                figure: grouped(cover.running as u64),
                under: format!(
                    "of {}{}",
                    counted(cover.jobs.len(), "job", "jobs"),
                    first.map_or_else(String::new, |job| format!(
                        "; the first ends on {}",
                        iso_day(&job.until)
                    ))
                ),
                link: "#h_all",
            },
            CoverFigure {
                label: "One free return",
                figure: money(cover.cost_per_return),
                under: match cover.costs.len() {
                    0 => "none has been made yet".to_owned(),
                    n => format!("time, van, miles and parts: the mean of {n}{few}"),
                },
                link: "#h_returns",
            },
            CoverFigure {
                label: "Should be in the pot",
                figure: money(cover.reserve_running),
                under: format!(
                    "for what the {} may still bring",
                    counted(cover.running, "guarantee running", "guarantees running")
                ),
                link: "#h_reserve",
            },
        ]
    }
}

fn age_rows(cover: &Cover) -> Vec<AgeRow> {
    let mut rows: Vec<AgeRow> = at_ages(cover)
        .into_iter()
        .map(|at| AgeRow {
            age: at.name.to_owned(),
            in_sight: grouped(at.in_sight as u64),
            share: format!("{:.1} %", at.share * 100.0),
            range: match (at.low, at.high) {
                (Some(low), Some(high)) => {
                    format!("{:.0} to {:.0} %", low * 100.0, high * 100.0)
                }
                _ => String::new(),
            },
            mean: format!("{:.3}", at.mean),
            from: "the record",
        })
        .collect();
    if let (Some(_), Some(expected)) = (cover.carried, cover.expected_per_job) {
        rows.push(AgeRow {
            age: counted(cover.guarantee_years as usize, "year", "years"),
            in_sight: String::new(),
            share: String::new(),
            range: String::new(),
            mean: format!("{expected:.3}"),
            from: "carried on",
        });
    }
    rows
}

fn tenure_rows(cover: &Cover) -> Vec<TenureRow> {
    let rows = cover.tenure.iter().map(|one| TenureRow {
        name: if one.tenure == "rented" {
            "Rented homes"
        } else {
            "Owner-occupied homes"
        },
        jobs: one.jobs,
        few: one.jobs < ENOUGH,
        returns: one.returns,
        job_years: years(one.job_years),
        rate: one.rate.map_or_else(String::new, |rate| {
            crate::office::words::capital(&a_year(rate))
        }),
    });
    rows.collect()
}
