//! How such prices have done: each past job priced from the earlier ones alone, and held against what it took.
//!
//! The method is that of `METHOD`'s back-test: refitted at most 200 times, evenly spaced; location and counts known; a
//! job with a task type not seen before is skipped and counted. Losses are pinball losses at 0.8, in minutes: a price
//! that is too low by a minute costs four times as much as one that is too high by one (Gneiting and Raftery 2007).

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::model::{Diary, Job, Minutes, Private};
use crate::numbers::back_test::{Tested, back_test};
use crate::numbers::normal::Confidence;
use crate::numbers::quantile::Sorted;
use crate::numbers::score::pinball;
use crate::numbers::wilson;

use super::other_time;
use super::reckon::{is_done, taken};
use super::record::Record;

/// The level that labour is priced at and that losses are taken at.
const UPPER: f64 = 0.8;
/// Past jobs that are drawn, the latest.
const MOST_DRAWN: usize = 60;

/// A back-test, as it is kept between presses. Serialized into the ledger.
#[derive(Clone, Debug, Serialize, Deserialize, PartialEq)]
pub struct Kept {
    /// Digest of the record that it was reckoned from.
    pub record: String,
    /// Past jobs that were priced.
    pub n: usize,
    /// Past jobs that were not, since a task type of theirs had not been seen before.
    pub with_new_type: usize,
    /// Jobs that took between one in ten and nine in ten of what was likely.
    pub band: Coverage,
    /// Jobs that took no longer than eight in ten were likely to.
    pub upper: Coverage,
    /// Losses against the median minutes a unit, times the count.
    pub plain_median: Losses,
    /// Losses against the trader's own quotes; `None` where no past job had hours quoted.
    pub quotes: Option<Losses>,
    /// Prices that were written down and whose jobs are done; `None` without any.
    pub given: Option<GivenPrices>,
    /// The latest of the jobs, oldest first.
    pub drawn: Vec<DrawnJob>,
}

/// A share of jobs with a 90 % Wilson interval.
#[derive(Clone, Copy, Debug, Serialize, Deserialize, PartialEq)]
pub struct Coverage {
    /// The share.
    pub share: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// Mean losses a job, in minutes, of these prices and of something else.
#[derive(Clone, Copy, Debug, Serialize, Deserialize, PartialEq)]
pub struct Losses {
    /// Jobs.
    pub n: usize,
    /// Of these prices.
    pub price: f64,
    /// Of the other.
    pub other: f64,
}

/// Prices that were given, held against their jobs.
#[derive(Clone, Copy, Debug, Serialize, Deserialize, PartialEq)]
pub struct GivenPrices {
    /// Jobs.
    pub n: usize,
    /// Of them, how many took between one in ten and nine in ten of what was likely.
    pub in_band: usize,
    /// Of them, how many took no longer than labour was priced at.
    pub within: usize,
}

/// One job of the back-test: minutes on its tasks.
#[derive(Clone, Debug, Serialize, Deserialize, PartialEq)]
pub struct DrawnJob {
    /// Its ref.
    #[serde(rename = "ref")]
    pub reference: String,
    /// One in ten.
    pub q10: f64,
    /// Half.
    pub q50: f64,
    /// Eight in ten.
    pub q80: f64,
    /// Nine in ten.
    pub q90: f64,
    /// What it took.
    pub took: f64,
}

/// The digest by which a kept back-test is known to be of this record: the rows that prices come from, and what is
/// held against them.
pub fn digest(diary: &Diary, as_of: Date) -> String {
    let record = Record::of(diary, as_of);
    digest_of(&record, diary, as_of)
}

fn digest_of(record: &Record<'_>, diary: &Diary, as_of: Date) -> String {
    let mut hasher = blake3::Hasher::new();
    hasher.update(env!("CARGO_PKG_VERSION").as_bytes());
    hasher.update(record.digest.as_bytes());
    for (job, quoted) in quoted(diary, as_of) {
        hasher.update(job.reference.in_office().value.as_bytes());
        hasher.update(&quoted.get().to_le_bytes());
        hasher.update(&taken(job, as_of).get().to_le_bytes());
    }
    for (day, job, minutes) in other_time::each(diary, as_of) {
        hasher.update(day.to_string().as_bytes());
        hasher.update(job.reference.in_office().value.as_bytes());
        hasher.update(&minutes.to_le_bytes());
    }
    for (job, price) in priced(diary, as_of) {
        hasher.update(job.reference.in_office().value.as_bytes());
        hasher.update(price.name.as_bytes());
        let minutes = price.answer.as_ref().map(|answer| answer.minutes);
        for minutes in minutes.unwrap_or_default() {
            hasher.update(&minutes.to_le_bytes());
        }
    }
    hasher.finalize().to_hex().to_string()
}

/// Prices every past job from the earlier ones. `None` for a record too short to hold one against another.
pub fn reckon(diary: &Diary, as_of: Date) -> Option<Kept> {
    let record = Record::of(diary, as_of);
    let result = back_test(&record.rows, record.location_count());
    let tested = &result.tested;
    let share = |keep: &dyn Fn(&Tested) -> bool| {
        let count = tested.iter().filter(|one| keep(one)).count();
        let share = wilson::wilson(count, tested.len(), Confidence::NINETY)?;
        Some(Coverage {
            share: share.estimate,
            low: share.low,
            high: share.high,
        })
    };
    let drawn = tested.iter().skip(tested.len().saturating_sub(MOST_DRAWN));
    Some(Kept {
        record: digest_of(&record, diary, as_of),
        n: tested.len(),
        with_new_type: result.with_new_type,
        band: share(&|one| one.q10 <= one.actual && one.actual <= one.q90)?,
        upper: share(&|one| one.actual <= one.q80)?,
        plain_median: losses(
            tested
                .iter()
                .map(|one| (one.q80, one.plain_median, one.actual)),
        )?,
        quotes: against_quotes(diary, &record, tested, as_of),
        given: given(diary, as_of),
        drawn: drawn
            .map(|one| DrawnJob {
                reference: record.jobs[one.job].reference.in_office().value.clone(),
                q10: one.q10,
                q50: one.q50,
                q80: one.q80,
                q90: one.q90,
                took: one.actual,
            })
            .collect(),
    })
}

/// Mean losses of (price, other, took); `None` of none.
fn losses(all: impl Iterator<Item = (f64, f64, f64)>) -> Option<Losses> {
    let (mut n, mut price, mut other) = (0_usize, 0.0, 0.0);
    for (priced, otherwise, took) in all {
        n += 1;
        price += pinball(UPPER, priced, took);
        other += pinball(UPPER, otherwise, took);
    }
    #[expect(clippy::cast_precision_loss, reason = "jobs of one diary")]
    let count = n as f64;
    (n > 0).then(|| Losses {
        n,
        price: price / count,
        other: other / count,
    })
}

/// Done jobs that had hours quoted, with those hours.
fn quoted(diary: &Diary, as_of: Date) -> Vec<(&Job, Minutes)> {
    let done = diary.jobs.iter().filter(|job| is_done(job, as_of));
    done.filter_map(|job| {
        let quoted = job.quoted.as_ref()?.in_office();
        let hours = quoted.hours.as_ref()?.value;
        (hours > Minutes::NOUGHT).then_some((job, hours))
    })
    .collect()
}

/// Quotes are hours on site: other time, as it was known before the job, is put to the tasks' own.
fn against_quotes(
    diary: &Diary,
    record: &Record<'_>,
    tested: &[Tested],
    as_of: Date,
) -> Option<Losses> {
    let hours: BTreeMap<&str, Minutes> = quoted(diary, as_of)
        .into_iter()
        .map(|(job, hours)| (job.reference.in_office().value.as_str(), hours))
        .collect();
    let each = other_time::each(diary, as_of);
    let rows = tested.iter().filter_map(|one| {
        let job = record.jobs[one.job];
        let quoted = hours.get(job.reference.in_office().value.as_str())?;
        let first = job
            .visits
            .iter()
            .map(|visit| visit.date.in_office().value)
            .min()?;
        let before = each.iter().take_while(|(day, _, _)| *day < first);
        let per_visit = Sorted::new(before.map(|(_, _, minutes)| *minutes).collect());
        let per_visit = per_visit.map_or(0.0, |all| all.median());
        let planned = job.visits.iter().filter(|visit| {
            visit.kind == crate::model::VisitKind::Planned && visit.date.in_office().value <= as_of
        });
        #[expect(clippy::cast_precision_loss, reason = "visits of one job")]
        let other = per_visit * planned.count() as f64;
        Some((one.q80 + other, quoted.as_f64(), taken(job, as_of).as_f64()))
    });
    losses(rows)
}

/// Done jobs that were quoted by a price in `prices/`.
fn priced(diary: &Diary, as_of: Date) -> Vec<(&Job, &crate::model::Price)> {
    let by_name: BTreeMap<&str, &crate::model::Price> = diary
        .prices
        .iter()
        .map(Private::in_office)
        .map(|price| (price.name.as_str(), price))
        .collect();
    let done = diary.jobs.iter().filter(|job| is_done(job, as_of));
    done.filter_map(|job| {
        let name = job.priced.as_ref()?.in_office();
        Some((job, *by_name.get(name.value.as_str())?))
    })
    .collect()
}

fn given(diary: &Diary, as_of: Date) -> Option<GivenPrices> {
    let mut all = GivenPrices {
        n: 0,
        in_band: 0,
        within: 0,
    };
    for (job, price) in priced(diary, as_of) {
        let Some(answer) = &price.answer else {
            continue;
        };
        let took = taken(job, as_of).as_f64();
        let [low, _, _, high] = answer.minutes;
        all.n += 1;
        all.in_band += usize::from((low..=high).contains(&took));
        all.within += usize::from(took <= answer.labour_minutes);
    }
    (all.n > 0).then_some(all)
}

impl Kept {
    /// What it comes to, for a tradesperson.
    pub fn in_a_sentence(&self) -> String {
        let percent = |share: f64| format!("{:.0}", share * 100.0);
        let mut said = format!(
            "Tried on {} past jobs, each priced from the earlier ones alone: {} in 100 took no longer than the price \
             allowed (80 were meant; between {} and {}, nine times in ten), and {} in 100 fell within the range of \
             eight in ten.",
            self.n,
            percent(self.upper.share),
            percent(self.upper.low),
            percent(self.upper.high),
            percent(self.band.share),
        );
        if let Some(quotes) = &self.quotes {
            let verdict = if quotes.price < quotes.other {
                format!(
                    "these prices would have been out by {:.0} % less than your own quotes",
                    (1.0 - quotes.price / quotes.other) * 100.0
                )
            } else {
                "your own quotes were no further out than these prices".to_owned()
            };
            said += &format!(
                " Over {} quoted jobs, a minute short counted four times a minute over, {verdict}.",
                quotes.n
            );
        }
        if let Some(given) = &self.given {
            said += &format!(
                " Of {} given by daywork price and done since, {} took no longer than was priced.",
                given.n, given.within
            );
        }
        said
    }
}
