//! The hours report for a terminal of 80 columns.

use std::fmt::Write as _;

use crate::model::Minutes;
use crate::office::words::{fit, wrap};

use super::{FEWEST_FOR_RANGE, FEWEST_FOR_TREND, Hours, LocationHours, TaskHours, YearHours};

/// Columns for the name of a task or location.
const NAME: usize = 27;
/// A trend is spoken of where chance alone would show one as steep this seldom.
const SELDOM: f64 = 0.05;

/// The report as text.
pub fn text(hours: &Hours) -> String {
    let mut out = String::new();
    let mut say = |line: &str| writeln!(out, "{}", line.trim_end()).expect("writing to a String");
    let (Some(from), Some(to)) = (&hours.from, &hours.to) else {
        return "No visits in the record yet, so there is nothing to count.\n".to_owned();
    };
    if hours.jobs == 0 {
        return format!("No visits from {from} to {to}, so there is nothing to count.\n");
    }
    say(&format!(
        "How long things take: {} job{}, {from} to {to}",
        hours.jobs,
        if hours.jobs == 1 { "" } else { "s" }
    ));
    say("");
    let minutes = hours.minutes;
    say(&format!(
        "On site {}: on tasks {}, other time {}. Travelling {}.",
        length(minutes.on_site),
        length(minutes.by_task),
        length(minutes.other),
        length(minutes.travel)
    ));
    let kinds: Vec<String> = hours
        .visits
        .iter()
        .filter(|visits| visits.count > 0)
        .map(|visits| {
            let kind = visits.kind.shown().to_lowercase();
            format!("{kind} {} ({})", visits.count, length(visits.minutes))
        })
        .collect();
    for line in wrap(&format!("Visits: {}.", kinds.join(", "))) {
        say(&line);
    }
    if hours.tasks.is_empty() {
        say("");
        say("No visit of this span names a task with its time.");
        return out;
    }
    say("");
    say(&format!(
        "{:NAME$}{:>6}{:>10}{:>18}{:>19}",
        "Time each, most time first", "jobs", "half took", "middle half", "8 in 10"
    ));
    for task in &hours.tasks {
        say(&range_line(task));
    }
    if hours.tasks.iter().any(|task| task.n >= FEWEST_FOR_RANGE) {
        say("");
        say(&format!(
            "{:NAME$}{:>6}{:>10}{:>18}{:>19}",
            "How sure, and which way", "jobs", "half took", "middle, 9 in 10", "change a year"
        ));
        for task in hours.tasks.iter().filter(|task| task.n >= FEWEST_FOR_RANGE) {
            say(&doubt_line(task));
        }
    }
    if !hours.locations.is_empty() {
        say("");
        say(&format!(
            "{:NAME$}{:>6}{:>17}{:>30}",
            "Against the record", "jobs", "in the middle", "nine times in ten within"
        ));
        for location in &hours.locations {
            say(&location_line(location));
        }
    }
    say("");
    say(&format!(
        "{:<8}{:>8}{:>9}{:>13}{:>13}{:>13}{:>13}",
        "Year", "jobs", "visits", "on site", "on tasks", "other", "travel"
    ));
    for year in &hours.years {
        say(&year_line(year));
    }
    say("");
    for line in wrap(&format!(
        "Half took: half of the jobs took less. Middle half: a quarter took less, a quarter more. A figure needs \
         {FEWEST_FOR_RANGE} jobs, a change a year {FEWEST_FOR_TREND}; * marks a change that chance would show less \
         than one time in twenty. The jobs behind each figure are in the office book and in --format json."
    )) {
        say(&line);
    }
    out
}

fn range_line(task: &TaskHours) -> String {
    let start = format!("{:NAME$}{:>6}", fit(&task_name(task), NAME), task.n);
    match &task.each {
        Some(each) if task.n >= FEWEST_FOR_RANGE => {
            let middle = between(each.q25, each.q75);
            let most = between(each.q10, each.q90);
            format!(
                "{start}{:>10}{middle:>18}{most:>19}",
                each_length(each.median)
            )
        }
        Some(_) => {
            let mut single = task.observations.clone();
            single.sort_by(f64::total_cmp);
            let single: Vec<String> = single.iter().map(|one| each_length(*one)).collect();
            format!("{start}  too few yet: {}", single.join(", "))
        }
        None => format!("{start}  {} in all, no count", length(task.minutes)),
    }
}

fn doubt_line(task: &TaskHours) -> String {
    let median = task
        .each
        .as_ref()
        .map_or_else(String::new, |each| each_length(each.median));
    let interval = task
        .median_interval
        .as_ref()
        .map_or_else(String::new, |interval| between(interval.low, interval.high));
    let change = task.trend.as_ref().map_or_else(
        || "too few yet".to_owned(),
        |trend| {
            let mark = if trend.p < SELDOM { " *" } else { "" };
            format!("{:+.1} min{mark}", trend.minutes_per_year)
        },
    );
    format!(
        "{:NAME$}{:>6}{median:>10}{interval:>18}{change:>19}",
        fit(&task_name(task), NAME),
        task.n
    )
}

fn location_line(location: &LocationHours) -> String {
    let start = format!("{:NAME$}{:>6}", fit(&location.name, NAME), location.n);
    match (location.ratio, &location.interval) {
        (Some(ratio), Some(interval)) => {
            let within = format!("{} to {}", longer(interval.low), longer(interval.high));
            format!("{start}{:>17}{within:>30}", longer(ratio))
        }
        _ => format!("{start}{:>17}", "too few yet"),
    }
}

fn year_line(year: &YearHours) -> String {
    let minutes = year.minutes;
    format!(
        "{:<8}{:>8}{:>9}{:>13}{:>13}{:>13}{:>13}",
        year.year,
        year.jobs,
        year.visits,
        length(minutes.on_site),
        length(minutes.by_task),
        length(minutes.other),
        length(minutes.travel)
    )
}

/// `31 % longer`, `8 % shorter`, `the same`.
fn longer(ratio: f64) -> String {
    let percent = ((ratio - 1.0) * 100.0).round();
    if percent == 0.0 {
        "the same".to_owned()
    } else if percent > 0.0 {
        format!("{percent} % longer")
    } else {
        format!("{} % shorter", -percent)
    }
}

fn length(minutes: i64) -> String {
    Minutes::new(minutes).to_string()
}

/// Whole minutes; one decimal where they are few, as for a metre of cable.
fn each_length(minutes: f64) -> String {
    if minutes < 9.95 {
        return format!("{minutes:.1} min");
    }
    #[expect(
        clippy::cast_possible_truncation,
        reason = "minutes of one job, far below 2^63"
    )]
    length(minutes.round() as i64)
}

fn between(low: f64, high: f64) -> String {
    format!("{} - {}", each_length(low), each_length(high))
}

/// A task's name, with its unit where that is neither one by one nor once a job.
fn task_name(task: &TaskHours) -> String {
    match task.unit.as_str() {
        "each" | "job" => task.name.clone(),
        unit => {
            let unit = format!(", a {unit}");
            let room = NAME - 1 - unit.chars().count();
            if task.name.chars().count() <= room {
                return format!("{}{unit}", task.name);
            }
            let cut: String = task.name.chars().take(room - 1).collect();
            format!("{}…{unit}", cut.trim_end())
        }
    }
}
