//! The reserve of the cover ledger as a sum whose lines add up. Reckons none of it: [`crate::office::cover`] does.

use serde::Serialize;

use crate::model::{Minutes, Money};
use crate::office::cover::past_the_record;
use crate::office::words::{counted, figure};

use super::Book;

/// A line of the sum.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct SumLine {
    /// What.
    pub what: String,
    /// Its amount, or what it is multiplied by.
    pub amount: String,
    /// A line beneath it; empty where there is none.
    pub why: String,
    /// `part` for a subtotal, `total` for the answer; else empty.
    pub kind: &'static str,
}

impl Book<'_> {
    pub(super) fn sum(&self) -> Vec<SumLine> {
        let cover = self.reports.cover;
        let (Some(cost), Some(each), Some(expected)) = (
            cover.cost_per_return,
            cover.reserve_per_job,
            cover.expected_per_job,
        ) else {
            return Vec::new();
        };
        let n = cover.costs.len();
        let total = |of: fn(&crate::office::cover::ReturnCost) -> Money| -> Money {
            cover.costs.iter().map(of).sum()
        };
        let minutes = Minutes::new(cover.costs.iter().map(|one| one.minutes).sum());
        let hour = self.diary.settings.rates.in_office().hour;
        let returns = counted(n, "free return", "free returns");
        let line = |what: &str, amount: String, why: String, kind| SumLine {
            what: what.to_owned(),
            amount,
            why,
            kind,
        };
        vec![
            line(
                "Time on site and on the road",
                figure(total(|one| one.time)),
                format!("{minutes} over {returns}, at your {}", self.money(hour)),
                "",
            ),
            line("Miles and parking", figure(total(|one| one.trip)), String::new(), ""),
            line(
                "Materials",
                figure(total(|one| one.materials)),
                "of returns that have a log of their own; in any other log they cannot be told from the job’s".to_owned(),
                "",
            ),
            line(&crate::office::words::capital(&returns), figure(total(|one| one.cost)), String::new(), "part"),
            line(
                "One free return",
                figure(cost),
                match n {
                    1 => "the only one so far".to_owned(),
                    n => format!("the same, over {n}"),
                },
                "",
            ),
            line(
                &format!("Returns a job, over {}", counted(cover.guarantee_years as usize, "year", "years")),
                format!("× {expected:.3}"),
                past_the_record(cover).unwrap_or_default(),
                "",
            ),
            line("Put aside, each job", figure(each), String::new(), "total"),
        ]
    }

    pub(super) fn sum_say(&self) -> String {
        let cover = self.reports.cover;
        let Some(each) = cover.reserve_per_job else {
            return "No free return so far, so nothing says what one costs, and nothing is put aside.".to_owned();
        };
        let day = self.diary.settings.rates.in_office().day;
        let mut said = "It goes on each price as its own line.".to_owned();
        if day > Money::NOUGHT {
            said += &format!(
                " On a day’s work at {} that is {:.1} %.",
                self.money(day),
                per_cent(each, day)
            );
        }
        said
    }
}

#[expect(
    clippy::cast_precision_loss,
    reason = "pence of one job, far below 2^52"
)]
fn per_cent(part: Money, all: Money) -> f64 {
    part.pence() as f64 * 100.0 / all.pence() as f64
}
