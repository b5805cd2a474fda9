//! How such prices have done, as a page. Puts figures in words and reckons none: `office::back_test` does.

use serde::Serialize;

use crate::office::back_test::{Coverage, Kept};
use crate::office::words::{counted, minutes, whole};

use super::{Book, job_link};

/// Its address below the book's root.
pub(super) const LINK: &str = "prices/back-test_.html";

/// The page.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct BackTestPage {
    /// Its own address.
    pub link: String,
    /// The answer as a title.
    pub headline: String,
    /// The answer in a sentence or two.
    pub say: String,
    /// What was meant, what came and how far that could be out.
    pub shares: Vec<ShareRow>,
    /// Losses against other ways to price.
    pub losses: Vec<LossRow>,
    /// Past jobs drawn, oldest first.
    pub jobs: Vec<TriedJob>,
    /// The scale's end, in minutes.
    pub most: f64,
    /// What the drawing shows, in a sentence.
    pub drawn_say: String,
    /// Jobs that could not be priced.
    pub left_out: String,
    /// What its figures mean: title and page of the handbook.
    pub handbook: Vec<(String, String)>,
}

/// A share that was meant.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct ShareRow {
    /// What it is a share of.
    pub what: String,
    /// `80 in 100`.
    pub meant: String,
    /// `81 in 100`.
    pub came: String,
    /// `75 to 86`.
    pub could_be: String,
}

/// Mean losses a job.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct LossRow {
    /// Against what.
    pub against: String,
    /// Jobs.
    pub n: usize,
    /// Of these prices, in minutes.
    pub price: String,
    /// Of the other.
    pub other: String,
}

/// A past job: minutes on its tasks, in hundredths of the scale.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct TriedJob {
    /// Its ref.
    pub reference: String,
    /// Its page.
    pub link: String,
    /// One in ten, half, eight in ten, nine in ten and what it took, in per cent of the scale.
    pub q10: f64,
    /// Half.
    pub q50: f64,
    /// Eight in ten.
    pub q80: f64,
    /// Nine in ten.
    pub q90: f64,
    /// What it took.
    pub took: f64,
    /// Whether it took longer than eight in ten were likely to.
    pub over: bool,
    /// The same in words: `priced at 3 h 10, took 2 h 45`.
    pub words: String,
}

impl Book<'_> {
    /// The page; `None` where the back-test was not reckoned.
    pub fn back_test_page(&self) -> Option<BackTestPage> {
        let kept = self.reports.back_test?;
        let most = kept
            .drawn
            .iter()
            .map(|one| one.q90.max(one.took))
            .fold(1.0, f64::max);
        let over = kept.drawn.iter().filter(|one| one.took > one.q80).count();
        Some(BackTestPage {
            link: LINK.to_owned(),
            headline: headline(kept),
            say: kept.in_a_sentence(),
            shares: vec![
                share("took no longer than labour was priced at", kept.upper),
                share("fell between one in ten and nine in ten", kept.band),
            ],
            losses: losses(kept),
            jobs: kept
                .drawn
                .iter()
                .map(|one| {
                    let at = |value: f64| round(value * 100.0 / most);
                    TriedJob {
                        reference: one.reference.clone(),
                        link: job_link(&one.reference),
                        q10: at(one.q10),
                        q50: at(one.q50),
                        q80: at(one.q80),
                        q90: at(one.q90),
                        took: at(one.took),
                        over: one.took > one.q80,
                        words: format!(
                            "priced at {}, took {}",
                            minutes(one.q80),
                            minutes(one.took)
                        ),
                    }
                })
                .collect(),
            most,
            drawn_say: format!(
                "The last {}, oldest first: {over} took longer than was priced, and are solid.",
                counted(kept.drawn.len(), "job", "jobs")
            ),
            handbook: self.figures_explained(&["how-such-prices-have-done", "how-sure-a-price-is"]),
            left_out: match kept.with_new_type {
                0 => String::new(),
                count => format!(
                    "{} could not be priced: a task of theirs had never been timed before.",
                    counted(count, "past job", "past jobs")
                ),
            },
        })
    }
}

fn headline(kept: &Kept) -> String {
    let meant = 0.8;
    if kept.upper.low > meant {
        "These prices have been a little high".to_owned()
    } else if kept.upper.high < meant {
        "These prices have been too low".to_owned()
    } else {
        "These prices have kept their word".to_owned()
    }
}

fn share(what: &str, coverage: Coverage) -> ShareRow {
    let hundred = |share: f64| whole(share * 100.0);
    ShareRow {
        what: what.to_owned(),
        meant: "80 in 100".to_owned(),
        came: format!("{} in 100", hundred(coverage.share)),
        could_be: format!("{} to {}", hundred(coverage.low), hundred(coverage.high)),
    }
}

fn losses(kept: &Kept) -> Vec<LossRow> {
    let row = |against: &str, losses: crate::office::back_test::Losses| LossRow {
        against: against.to_owned(),
        n: losses.n,
        price: minutes(losses.price),
        other: minutes(losses.other),
    };
    let mut rows = vec![row(
        "the middle time each, times the count",
        kept.plain_median,
    )];
    rows.extend(kept.quotes.map(|quotes| row("your own quotes", quotes)));
    rows
}

/// Two decimals are finer than any screen.
fn round(number: f64) -> f64 {
    (number * 100.0).round() / 100.0
}
