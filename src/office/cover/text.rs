//! The cover report for a terminal of 80 columns.

use std::fmt::Write as _;

use crate::model::{Minutes, Money};
use crate::office::words::{amount, counted, wrap};

use super::{Cover, YearlyRate, at_ages};
use crate::office::hours::DAYS_OF_YEAR;

/// Guarantees named in the list of those that end next.
const NEXT: usize = 8;
/// Free returns named, the newest.
const RETURNS: usize = 20;
/// A mean of fewer returns says so.
const FEW: usize = 5;
/// A rate that could be so many times a year, more often than once a month, says how short the record is and nothing
/// of the work. Common practice, no source.
const MOST_SAID: f64 = 12.0;

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
    let outside = outside_guarantee(cover);
    let outside = outside.map_or_else(String::new, |said| format!(" {said}"));
    for line in wrap(&format!("{}{outside}", how_often(cover))) {
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
            "{} homes: {} to {} in {} job years{rate}.",
            if tenure.tenure == "rented" {
                "Rented"
            } else {
                "Owner-occupied"
            },
            counted(tenure.returns, "free return", "free returns"),
            counted(tenure.jobs, "job", "jobs"),
            years(tenure.job_years),
        )) {
            say(&line);
        }
    }
    if !cover.costs.is_empty() {
        say("");
        say(&format!(
            "{:<12}{:<12}{:>10}{:>14}{:>10}{:>12}{:>10}",
            "Free return", "on", "time", "at your rate", "trip", "materials", "cost"
        ));
        let earlier = cover.costs.len().saturating_sub(RETURNS);
        for one in &cover.costs[earlier..] {
            say(&format!(
                "{:<12}{:<12}{:>10}{:>14}{:>10}{:>12}{:>10}",
                one.reference,
                one.on,
                Minutes::new(one.minutes).to_string(),
                one.time.to_string(),
                one.trip.to_string(),
                one.materials.to_string(),
                one.cost.to_string(),
            ));
        }
        if earlier > 0 {
            say(&format!(
                "and {} before them: the office book and --format json have them all",
                counted(earlier, "return", "returns")
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
            let title = fit(&job.title, 44);
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
                 at {} each.",
                money(all),
                money(each),
                cover.expected_per_job.unwrap_or_default(),
                counted(cover.guarantee_years as usize, "year", "years"),
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
        "{} in {} job years{rate}.",
        counted(cover.returns, "free return", "free returns"),
        years(cover.job_years)
    )
}

/// Says how many free returns were under no guarantee; `None` where none was.
pub(in crate::office) fn outside_guarantee(cover: &Cover) -> Option<String> {
    let outside = cover.outside_guarantee;
    (outside > 0).then(|| {
        format!(
            "{} outside a guarantee (past its end, before the job was done, or to a job that has none) and {} in \
             nothing here.",
            counted(outside, "free return was", "free returns were"),
            if outside == 1 { "counts" } else { "count" }
        )
    })
}

/// `that is one in 24 job years (between one in 80 and one in 10, nine times in ten)`; for none so far, how often it
/// could be all the same; for a record of days, that it is too short.
pub(in crate::office) fn a_year(rate: YearlyRate) -> String {
    let how_often = |rate: f64| match rate {
        rate if rate >= 0.95 => format!("{rate:.1} in each job year"),
        rate if rate >= 0.1 => format!("one in {:.1} job years", 1.0 / rate),
        rate => format!("one in {:.0} job years", 1.0 / rate),
    };
    if rate.high > MOST_SAID {
        return "too short a time to say how often".to_owned();
    }
    if rate.rate <= 0.0 {
        return format!(
            "and it could be as many as {}, nine times in ten",
            how_often(rate.high)
        );
    }
    let (low, high) = (how_often(rate.low), how_often(rate.high));
    // The unit is said once where both ends have the same.
    let low = match low.strip_suffix(" job years") {
        Some(low) if high.ends_with(" job years") => low,
        _ => &low,
    };
    format!(
        "that is {} (between {low} and {high}, nine times in ten)",
        how_often(rate.rate)
    )
}

/// The two curves at a few ages, as far as the record has seen.
fn points(cover: &Cover) -> Vec<String> {
    let ages = at_ages(cover);
    if ages.is_empty() {
        return Vec::new();
    }
    let mut lines = vec![
        String::new(),
        format!(
            "{:<14}{:>9}{:>22}{:>18}",
            "After", "in sight", "not gone back to", "returns a job"
        ),
    ];
    for at in ages {
        let range = match (at.low, at.high) {
            (Some(low), Some(high)) => format!(" ({:.0} to {:.0})", low * 100.0, high * 100.0),
            _ => String::new(),
        };
        lines.push(format!(
            "{:<14}{:>9}{:>22}{:>18.3}",
            at.name,
            at.in_sight,
            format!("{:.1} %{range}", at.share * 100.0),
            at.mean
        ));
    }
    lines.push(String::new());
    lines
}

/// Says from which age on the figure is carried on, and by what.
pub(in crate::office) fn past_the_record(cover: &Cover) -> Option<String> {
    let carried = cover.carried?;
    let returns = counted(carried.returns, "return", "returns");
    let job_years = years(carried.job_years);
    if carried.from_days <= 0.0 {
        return Some(format!(
            "Fewer than ten jobs have been under guarantee so far, so one rate is taken for the whole of it, from the \
             first day: {returns} in {job_years} job years."
        ));
    }
    let everything = if carried.counted_after_days > 0.0 {
        "everything after a job's first year"
    } else {
        "everything so far"
    };
    Some(format!(
        "Fewer than ten jobs are in sight past {} years. From there on the rate of {everything} is carried on: \
         {returns} in {job_years} job years.",
        years(carried.from_days / DAYS_OF_YEAR),
    ))
}

/// Years, with one decimal where there are few.
pub(in crate::office) fn years(years: f64) -> String {
    if years < 9.95 {
        format!("{years:.1}")
    } else {
        format!("{years:.0}")
    }
}

/// A title in so many columns, cut with a sign that it was.
fn fit(title: &str, columns: usize) -> String {
    if title.chars().count() <= columns {
        return title.to_owned();
    }
    title.chars().take(columns - 1).chain(['…']).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_record_of_days_gives_no_yearly_rate() {
        let said = |rate, low, high| {
            a_year(YearlyRate {
                rate,
                level: 0.9,
                low,
                high,
            })
        };
        assert_eq!(said(0.0, 0.0, 547.1), "too short a time to say how often");
        assert_eq!(
            said(0.0, 0.0, 1.2),
            "and it could be as many as 1.2 in each job year, nine times in ten"
        );
        assert_eq!(
            said(0.05, 0.025, 0.5),
            "that is one in 20 job years (between one in 40 and one in 2.0 job years, nine times in ten)"
        );
    }
}
