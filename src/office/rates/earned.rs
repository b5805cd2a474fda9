//! What each task type and location type earned an hour.
//!
//! A job's labour falls to its minutes on site alike, the call-outs and returns among them; a task type earned what
//! fell to its minutes. A job not to be charged earned nothing and counts.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::model::{Diary, Money};
use crate::numbers::bootstrap::median_interval;
use crate::numbers::normal::Confidence;
use crate::numbers::quantile::Sorted;
use crate::office::bills::{Bill, Paid};
use crate::office::reckon::an_hour;
use crate::office::reckon::part;

use super::{Behind, Needs};

/// What a task type or a location type earned.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Earned {
    /// Its key.
    #[serde(rename = "task", skip_serializing_if = "Option::is_none")]
    pub task: Option<String>,
    /// Its key, of a location type.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub location: Option<String>,
    /// Its name.
    pub name: String,
    /// Minutes on it, of jobs that were done in the span and charged, or are not to be.
    pub minutes: i64,
    /// Those jobs.
    pub jobs: usize,
    /// Labour that fell to those minutes, for each hour of them.
    pub earned_per_hour: Option<Money>,
    /// What it lacked to the rate needed, in all; `None` where it lacked nothing or no rate is known.
    pub short: Option<Money>,
    /// What half of its jobs earned less than, an hour; `None` with fewer than five jobs.
    pub middle: Option<Spread>,
    /// Their refs, in order.
    pub refs: Vec<String>,
    /// What each of them gave to it, in order of ref; the office book shows them.
    #[serde(skip)]
    pub behind: Vec<Behind>,
}

/// The middle of its jobs, an hour, with a 90 % interval.
#[derive(Clone, Copy, Debug, Serialize, PartialEq)]
pub struct Spread {
    /// The median.
    pub median: Money,
    /// 0.9.
    pub level: f64,
    /// Lower end.
    pub low: Money,
    /// Upper end.
    pub high: Money,
}

/// Minutes and money of one key.
#[derive(Default)]
struct Sum {
    minutes: i64,
    labour: Money,
    /// Each job's labour an hour, in pence.
    rates: Vec<f64>,
    behind: Vec<Behind>,
}

/// Task types, the least earning first.
pub(super) fn by_task(
    diary: &Diary,
    done: &[&Bill<'_>],
    needs: &Needs,
    needed: Option<Money>,
) -> Vec<Earned> {
    let sums = sums(done, needs, |bill| {
        let mut minutes: BTreeMap<&str, i64> = BTreeMap::new();
        for task in bill.visits.iter().flat_map(|(_, visit)| &visit.tasks) {
            *minutes.entry(&task.key.value).or_default() += task.time.unwrap_or_default().get();
        }
        minutes
    });
    let name = |key: &str| diary.settings.tasks.get(key).map(|task| task.name.clone());
    in_order(sums, needed, |key, name_of, earned| Earned {
        task: Some(key.to_owned()),
        name: name(key).unwrap_or(name_of),
        ..earned
    })
}

/// Location types, the least earning first.
pub(super) fn by_location(
    diary: &Diary,
    done: &[&Bill<'_>],
    needs: &Needs,
    needed: Option<Money>,
) -> Vec<Earned> {
    let sums = sums(done, needs, |bill| {
        let location = bill.job.location.as_ref();
        let minutes = bill.minutes(|_| true).get();
        location
            .map(|at| (at.value.as_str(), minutes))
            .into_iter()
            .collect()
    });
    in_order(sums, needed, |key, name_of, earned| Earned {
        location: Some(key.to_owned()),
        name: diary
            .settings
            .locations
            .get(key)
            .cloned()
            .unwrap_or(name_of),
        ..earned
    })
}

fn sums<'a>(
    done: &[&Bill<'a>],
    needs: &Needs,
    split: impl Fn(&Bill<'a>) -> BTreeMap<&'a str, i64>,
) -> BTreeMap<&'a str, Sum> {
    let mut sums: BTreeMap<&str, Sum> = BTreeMap::new();
    for bill in done {
        let on_site = bill.minutes(|_| true);
        let labour = match bill.paid {
            Paid::Charged(labour) => needs.as_if(labour),
            Paid::Uncharged | Paid::Open => Money::NOUGHT,
        };
        for (key, minutes) in split(bill) {
            if minutes <= 0 {
                continue;
            }
            let sum = sums.entry(key).or_default();
            sum.minutes += minutes;
            let fell = part(labour, minutes, on_site.get());
            sum.labour = sum.labour + fell;
            #[expect(
                clippy::cast_precision_loss,
                reason = "pence of one job, far below 2^52"
            )]
            sum.rates
                .push(labour.pence() as f64 * 60.0 / on_site.as_f64());
            sum.behind.push(Behind {
                reference: bill.reference().to_owned(),
                minutes,
                labour: Some(fell),
            });
        }
    }
    sums
}

fn in_order(
    sums: BTreeMap<&str, Sum>,
    needed: Option<Money>,
    dress: impl Fn(&str, String, Earned) -> Earned,
) -> Vec<Earned> {
    let mut all: Vec<Earned> = sums
        .into_iter()
        .map(|(key, mut sum)| {
            sum.behind
                .sort_unstable_by(|a, b| a.reference.cmp(&b.reference));
            let wanted = needed.map(|needed| part(needed, sum.minutes, 60));
            let earned = Earned {
                task: None,
                location: None,
                name: String::new(),
                minutes: sum.minutes,
                jobs: sum.behind.len(),
                earned_per_hour: an_hour(sum.labour, sum.minutes),
                short: wanted
                    .map(|wanted| wanted - sum.labour)
                    .filter(|short| *short > Money::NOUGHT),
                middle: middle(sum.rates),
                refs: sum.behind.iter().map(|one| one.reference.clone()).collect(),
                behind: sum.behind,
            };
            dress(key, key.to_owned(), earned)
        })
        .collect();
    // Stable: equal earners stay in order of key.
    all.sort_by_key(|earned| earned.earned_per_hour);
    all
}

fn middle(rates: Vec<f64>) -> Option<Spread> {
    let sorted = Sorted::new(rates)?;
    let interval = median_interval(&sorted, Confidence::NINETY)?;
    let pence = |pence: f64| Money::from_pence(crate::office::words::whole(pence));
    Some(Spread {
        median: pence(sorted.median()),
        level: 0.9,
        low: pence(interval.low),
        high: pence(interval.high),
    })
}
