//! A rate review as a letter with the answer first. Puts figures in their places; its sentences are in
//! [`super::rates_words`] and the figures are [`crate::office::rates`]'s.

use serde::Serialize;

use crate::model::{Minutes, Money};
use crate::office::rates::{Earned, change_in_words, quoted_against_taken};
use crate::office::words::{amount, figure, percent_of, whole};

use super::Book;
use super::earned_strips::{EarnedChart, EarnedRow, earned_row};
use super::figure::{FigureId, FigureRow, Of, over_words, review_days};
use super::rates_figures::{RateFigure, UnpaidRow, WentRow};
use super::rates_words::{Step, Words};

/// Quoted jobs named in the letter; the page behind the figure has them all.
const FURTHEST: usize = 5;

/// The letter.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct RatesLetter {
    /// Its own address: `rates.html`.
    pub link: String,
    /// `Rates, year to 5 April 2027`.
    pub title: String,
    /// The docket's serial: `Year to 5 April 2027`.
    pub serial: String,
    /// The answer: `The year came out £590.00 short`.
    pub headline: String,
    /// The rest of the answer.
    pub say: String,
    /// Needed, charged, earned; empty without a visit or a year.
    pub three: Vec<RateFigure>,
    /// What the hours say.
    pub went_say: String,
    /// Where the hours went; empty of none.
    pub went: Vec<WentRow>,
    /// Their sum.
    pub went_total: String,
    /// What is charged of it: `61 %`.
    pub billed: String,
    /// The rest: `39 %`.
    pub not_billed: String,
    /// Heads the part on task types.
    pub tasks_heading: &'static str,
    /// What it says.
    pub tasks_say: String,
    /// Task types that earned less than needed; all of them where no rate is known.
    pub tasks: EarnedChart,
    /// All task types.
    pub task_rows: Vec<EarnedRow>,
    /// What the location types say.
    pub locations_say: String,
    /// Location types.
    pub locations: EarnedChart,
    /// All location types.
    pub location_rows: Vec<EarnedRow>,
    /// What the quotes say.
    pub quotes_say: String,
    /// The quoted jobs' ratios; empty of none.
    pub quotes: Vec<f64>,
    /// The figures of the chart in a sentence.
    pub quotes_said: String,
    /// All quoted jobs.
    pub quotes_link: String,
    /// The furthest over, with the quote's basis.
    pub furthest: Vec<FigureRow>,
    /// Time that no bill pays.
    pub unpaid: Vec<UnpaidRow>,
    /// Its sums: visits, time, worth.
    pub unpaid_total: (usize, String, String),
    /// What one change would do.
    pub levers: Vec<LeverRow>,
    /// Heads what to do next: `Three things to do next`.
    pub steps_heading: String,
    /// What to do next, at most three.
    pub steps: Vec<Step>,
    /// How it was reckoned.
    pub how: String,
    /// Pages of the handbook on its figures: address and name.
    pub handbook: Vec<(String, String)>,
    /// Every review: address and days; empty where this is the only one.
    pub reviews: Vec<(String, String)>,
}

/// What one change would do.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct LeverRow {
    /// `One more hour charged a week`.
    pub change: String,
    /// What it would bring.
    pub worth: String,
    /// Needed an hour with it; empty where it is not known.
    pub needed: String,
    /// Earned an hour with it.
    pub earned: String,
}

impl Book<'_> {
    /// How many rate reviews there are; [`Book::rates_letter`] takes a number below it, 0 the latest.
    pub fn review_count(&self) -> usize {
        self.reports.rates.len()
    }

    /// A rate review.
    pub fn rates_letter(&self, review: usize) -> RatesLetter {
        let rates = &self.reports.rates[review];
        let serial = review_days(rates);
        let words = Words::of(self, rates);
        let steps = words.steps();
        let short_tasks: Vec<usize> = match rates.needed_per_hour {
            Some(_) => (0..rates.tasks.len())
                .filter(|&number| rates.tasks[number].short.is_some())
                .collect(),
            None => (0..rates.tasks.len()).collect(),
        };
        let link_to = |of: Of| self.figure_link(FigureId { review, of });
        let rows = |of: fn(usize) -> Of, all: &[Earned]| {
            let rows = all.iter().enumerate();
            rows.map(|(number, earned)| earned_row(earned, link_to(of(number))))
                .collect()
        };
        let quotes = &rates.quotes;
        let locations: Vec<usize> = (0..rates.locations.len()).collect();
        RatesLetter {
            link: self.review_link(review),
            title: format!("Rates, {}", crate::office::words::lower_first(&serial)),
            headline: words.headline(),
            say: words.answer(),
            three: self.three(review),
            went_say: words.hours(),
            went: self.went(review),
            went_total: Minutes::new(whole(rates.minutes.all)).to_string(),
            billed: percent_words(rates.utilisation),
            not_billed: percent_words(rates.utilisation.map(|share| 1.0 - share)),
            tasks_heading: if rates.needed_per_hour.is_some() {
                "Work that earns less than it needs to"
            } else {
                "What each kind of work earned"
            },
            tasks_say: words.earned(&rates.tasks, "task type", "task types"),
            tasks: self.earned_chart(review, &short_tasks, Of::Task),
            task_rows: rows(Of::Task, &rates.tasks),
            locations_say: words.earned(&rates.locations, "location type", "location types"),
            locations: self.earned_chart(review, &locations, Of::Location),
            location_rows: rows(Of::Location, &rates.locations),
            quotes_say: quotes
                .hours_ratio
                .map_or_else(String::new, |ratio| quoted_against_taken(quotes, ratio)),
            quotes: quotes.jobs.iter().map(|job| job.ratio).collect(),
            quotes_said: words.quotes_said(),
            quotes_link: link_to(Of::Quotes),
            furthest: quotes
                .jobs
                .iter()
                .filter(|job| job.took > job.quoted)
                .take(FURTHEST)
                .map(|job| {
                    let cells = vec![
                        Minutes::new(job.quoted).to_string(),
                        Minutes::new(job.took).to_string(),
                        over_words(job),
                    ];
                    self.figure_row(&job.reference, job.basis.clone(), cells)
                })
                .collect(),
            unpaid: self.unpaid(review),
            unpaid_total: (
                rates.unpaid.iter().map(|one| one.visits).sum(),
                Minutes::new(rates.unpaid.iter().map(|one| one.minutes).sum()).to_string(),
                figure(rates.unpaid.iter().map(|one| one.worth).sum()),
            ),
            levers: rates
                .levers
                .iter()
                .map(|lever| LeverRow {
                    change: change_in_words(lever.change, self.currency()),
                    worth: figure(lever.worth),
                    needed: lever.needed_per_hour.map_or_else(String::new, figure),
                    earned: lever.earned_per_hour.map_or_else(String::new, figure),
                })
                .collect(),
            steps_heading: match steps.len() {
                1 => "One thing to do next".to_owned(),
                2 => "Two things to do next".to_owned(),
                _ => "Three things to do next".to_owned(),
            },
            steps,
            how: words.how(),
            handbook: self.figures_explained(&[
                "needed",
                "charged",
                "earned",
                "utilisation",
                "short",
                "middle-of-its-jobs",
                "quoted-against-taken",
            ]),
            reviews: self.reviews(),
            serial,
        }
    }

    fn reviews(&self) -> Vec<(String, String)> {
        if self.review_count() < 2 {
            return Vec::new();
        }
        let reviews = self.reports.rates.iter().enumerate();
        reviews
            .map(|(number, rates)| (self.review_link(number), review_days(rates)))
            .collect()
    }

    /// An amount in a sentence.
    pub(super) fn money(&self, money: Money) -> String {
        amount(money, self.currency())
    }
}

fn percent_words(share: Option<f64>) -> String {
    share.map_or_else(String::new, |share| {
        format!("{} %", percent_of(whole(share * 1_000_000.0), 1_000_000))
    })
}
