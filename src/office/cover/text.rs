//! The cover report for a terminal of 80 columns.

use std::fmt::Write as _;

use crate::model::{Minutes, Money};
use crate::office::words::{amount, counted, wrap};

use super::{Cover, YearlyRate};

/// Guarantees named in the list of those that end next.
const NEXT: usize = 8;
/// Points of the curves that are printed: days and what they are called.
const AGES: [(f64, &str); 6] = [
    (30.0, "a month"),
    (91.0, "a quarter"),
    (182.0, "half a year"),
    (365.0, "a year"),
    (730.0, "two years"),
    (1_095.0, "three years"),
];
/// A mean of fewer returns says so.
const FEW: usize = 5;

/// The report as text. `currency` is the diary's own.
pub fn text(cover: &Cover, currency: &str) -> String {
    let mut text = String::new();
    let mut say = |line: &str| writeln!(text, "{}", line.trim_end()).expect("writing to a String");
    let money = |money: Money| amount(money, currency);
    say(&format!("Cover on {}", cover.as_of));
    say("");
    if cover.jobs.is_empty() {
        say("No job under guarantee is done yet, so there is nothing to cover.");
        return text;
    }
    for line in wrap(&answer(cover, &money)) {
        say(&line);
    }
    say("");
    for line in wrap(&how_often(cover)) {
        say(&line);
    }
    for line in points(cover) {
        say(&line);
    }
    if let Some(said) = past_the_record(cover) {
        for line in wrap(&said) {
            say(&line);
        }
    }
    for tenure in &cover.tenure {
        let rate = tenure
            .rate
            .map_or_else(String::new, |rate| format!(", {}", a_year(rate)));
        for line in wrap(&format!(
            "{} homes: {} to {} in {:.1} job years{rate}.",
            if tenure.tenure == "rented" {
                "Rented"
            } else {
                "Owner-occupied"
            },
            counted(tenure.returns, "free return", "free returns"),
            counted(tenure.jobs, "job", "jobs"),
            tenure.job_years,
        )) {
            say(&line);
        }
    }
    if !cover.costs.is_empty() {
        say("");
        say(&format!(
            "{:<12}{:<12}{:>10}{:>12}{:>12}{:>12}{:>10}",
            "Free return", "on", "time", "at your rate", "trip", "materials", "cost"
        ));
        for one in &cover.costs {
            say(&format!(
                "{:<12}{:<12}{:>10}{:>12}{:>12}{:>12}{:>10}",
                one.reference,
                one.on,
                Minutes::new(one.minutes).to_string(),
                one.time.to_string(),
                one.trip.to_string(),
                one.materials.to_string(),
                one.cost.to_string(),
            ));
        }
    }
    let next: Vec<_> = cover
        .jobs
        .iter()
        .filter(|job| job.state == "running")
        .take(NEXT)
        .collect();
    if !next.is_empty() {
        say("");
        say(&format!(
            "{:<12}{:<12}{:<12}{}",
            "Ends next", "done", "until", "job"
        ));
        for job in next {
            let title: String = job.title.chars().take(43).collect();
            say(&format!(
                "{:<12}{:<12}{:<12}{title}",
                job.reference, job.finished, job.until
            ));
        }
    }
    if !cover.not_placed.is_empty() {
        say("");
        for line in wrap(&format!(
            "Left out of the returns, since their logs do not say for which job: {}. Write for: and its ref.",
            cover.not_placed.join(", ")
        )) {
            say(&line);
        }
    }
    say("");
    for line in wrap(
        "A return costs its time on site and on the road at your hourly rate, miles, parking and materials. The share \
         gone back to is a curve of Kaplan and Meier, the number of returns a mean cumulative function; both count a \
         job for as long as it has been in sight. What the guarantee leaves out is not in it.",
    ) {
        say(&line);
    }
    text
}

/// The answer: what runs, what to hold, what to put into a price.
fn answer(cover: &Cover, money: &dyn Fn(Money) -> String) -> String {
    let ended = cover.jobs.len() - cover.running;
    let mut said = format!(
        "{} running, {ended} ended. ",
        counted(cover.running, "guarantee", "guarantees")
    );
    match (
        cover.cost_per_return,
        cover.reserve_per_job,
        cover.reserve_running,
    ) {
        (Some(cost), Some(each), Some(all)) => {
            said += &format!(
                "Hold {} for those that run, and put {} into the price of a job done today: {:.2} free returns in {} \
                 years at {} each.",
                money(all),
                money(each),
                cover.expected_per_job.unwrap_or_default(),
                cover.guarantee_years,
                money(cost),
            );
            if cover.costs.len() < FEW {
                said += &format!(
                    " That is the mean of {}, too few to lean on.",
                    counted(cover.costs.len(), "return", "returns")
                );
            }
        }
        _ => {
            said += "No free return so far, so nothing says what one costs.";
        }
    }
    said
}

fn how_often(cover: &Cover) -> String {
    let rate = cover
        .returns_per_job_year
        .map_or_else(String::new, |rate| format!(", {}", a_year(rate)));
    format!(
        "{} in {:.0} job years{rate}.",
        counted(cover.returns, "free return", "free returns"),
        cover.job_years
    )
}

/// `one in 24 job years (between one in 80 and one in 10, nine times in ten)`
pub(in crate::office) fn a_year(rate: YearlyRate) -> String {
    let one_in = |rate: f64| match rate {
        rate if rate <= 0.0 => "never".to_owned(),
        rate if rate >= 1.0 => format!("{rate:.1} a year"),
        rate => format!("one in {:.0}", 1.0 / rate),
    };
    format!(
        "that is {} job years (between {} and {}, nine times in ten)",
        one_in(rate.rate),
        one_in(rate.low),
        one_in(rate.high)
    )
}

/// The two curves at a few ages, as far as the record has seen.
fn points(cover: &Cover) -> Vec<String> {
    let Some(seen) = cover.seen_days else {
        return Vec::new();
    };
    let mut lines = vec![
        String::new(),
        format!(
            "{:<14}{:>9}{:>22}{:>18}",
            "After", "in sight", "not gone back to", "returns a job"
        ),
    ];
    for (days, name) in AGES.into_iter().filter(|(days, _)| *days <= seen) {
        let in_sight = cover.in_sight(days);
        let first = cover.first_return.iter().rfind(|step| step.days <= days);
        let (share, low, high) = first.map_or((1.0, None, None), |step| {
            (step.survival, step.low, step.high)
        });
        let range = match (low, high) {
            (Some(low), Some(high)) => format!(" ({:.0} - {:.0})", low * 100.0, high * 100.0),
            _ => String::new(),
        };
        let mean = cover.returns_per_job.iter().rfind(|step| step.days <= days);
        let mean = mean.map_or(0.0, |step| step.mean);
        lines.push(format!(
            "{name:<14}{in_sight:>9}{:>22}{mean:>18.3}",
            format!("{:.1} %{range}", share * 100.0)
        ));
    }
    lines.push(String::new());
    lines
}

/// Says from which age on the figure is carried on, and by what.
pub(in crate::office) fn past_the_record(cover: &Cover) -> Option<String> {
    let carried = cover.carried?;
    let years = |days: f64| days / crate::office::hours::DAYS_OF_YEAR;
    let counted_after = if carried.counted_after_days > 0.0 {
        format!(
            " after a job's first {:.0} days",
            carried.counted_after_days
        )
    } else {
        String::new()
    };
    Some(format!(
        "Fewer than ten jobs are in sight past {:.1} years. From there on the rate of everything{counted_after} is \
         carried on: {} in {:.0} job years.",
        years(carried.from_days),
        counted(carried.returns, "return", "returns"),
        carried.job_years,
    ))
}
