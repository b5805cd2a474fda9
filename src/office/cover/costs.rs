//! What each free return cost: time on site and on the road at the hourly rate, miles, parking, materials.

use serde::Serialize;

use crate::model::{Job, Money, Rates, Visit};
use crate::office::hours::count::travel;
use crate::office::reckon::part;
use crate::office::reckon::{finished, line_amounts, visit_cost};

use super::placed::Returns;

/// A free return and its cost.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct ReturnCost {
    /// The log it stands in.
    #[serde(rename = "ref")]
    pub reference: String,
    /// Its day, ISO.
    pub on: String,
    /// Minutes on site and on the road.
    pub minutes: i64,
    /// Those at the hourly rate.
    pub time: Money,
    /// Miles at the rate a mile, and parking.
    pub trip: Money,
    /// Materials, of a log of free returns alone: in any other they cannot be told from the job's own.
    pub materials: Money,
    /// All of it.
    pub cost: Money,
}

/// The cost of each return, oldest first, then by ref.
pub(super) fn costs(counted: &[Returns<'_>], rates: &Rates) -> Vec<ReturnCost> {
    let mut all: Vec<ReturnCost> = counted
        .iter()
        .flat_map(|(job, returns)| {
            let mut returns = returns.clone();
            returns.sort_by_key(|visit| visit.date.in_office().value);
            // What a log of several returns used is told once, with the first.
            let materials = materials(job);
            returns.into_iter().enumerate().map(move |(number, visit)| {
                let materials = if number == 0 {
                    materials
                } else {
                    Money::NOUGHT
                };
                cost(rates, job, visit, materials)
            })
        })
        .collect();
    all.sort_by(|a, b| (&a.on, &a.reference).cmp(&(&b.on, &b.reference)));
    all
}

fn cost(rates: &Rates, job: &Job, visit: &Visit, materials: Money) -> ReturnCost {
    let (time, trip) = visit_cost(visit, rates);
    let minutes = (visit.minutes() + travel(visit)).get();
    ReturnCost {
        reference: job.reference.in_office().value.clone(),
        on: visit.date.in_office().value.to_string(),
        minutes,
        time,
        trip,
        materials,
        cost: time + trip + materials,
    }
}

fn materials(job: &Job) -> Money {
    if finished(job).is_some() {
        return Money::NOUGHT;
    }
    let costs = job.materials.iter().filter_map(|line| line_amounts(line).0);
    costs.sum()
}

/// The mean cost, to the penny, half up; `None` without a return.
pub(super) fn mean(costs: &[ReturnCost]) -> Option<Money> {
    let count = i64::try_from(costs.len()).ok().filter(|count| *count > 0)?;
    Some(part(costs.iter().map(|one| one.cost).sum(), 1, count))
}
