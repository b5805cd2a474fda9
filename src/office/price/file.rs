//! A price as it is written down: the question and the answer, as `prices/NAME.yaml`.

use std::fmt::Write as _;

use jiff::civil::Date;

use crate::model::Money;
use crate::model::price::Question;

use super::PriceReport;

/// The file's text. Written to be read: a person may put a title and a client into it.
pub fn file_text(question: &Question, report: &PriceReport, on: Date) -> String {
    let mut text = String::new();
    let mut say = |line: &str| writeln!(text, "{line}").expect("writing to a String");
    say(
        "# A price given: what was asked of the record, and what it answered on the day. Write a title and a client's",
    );
    say(
        "# key for the client's copy; a log that was quoted by it says priced: and this file's name.",
    );
    say("tasks:");
    for wanted in &question.tasks {
        let guess = wanted.guess.map_or_else(String::new, |(low, high)| {
            format!(
                ", guess: {}..{}",
                low.to_length_text(),
                high.to_length_text()
            )
        });
        say(&format!(
            "  - {{task: {}, count: {}{guess}}}",
            quoted(&wanted.task),
            wanted.count
        ));
    }
    if let Some(location) = &question.location {
        say(&format!("location: {}", quoted(location)));
    }
    if let Some(visits) = question.visits {
        say(&format!("visits: {visits}"));
    }
    for (key, money) in [
        ("materials", question.materials),
        ("parking", question.parking),
    ] {
        if money > Money::NOUGHT {
            say(&format!("{key}: {money}"));
        }
    }
    if question.miles > 0.0 {
        say(&format!("miles: {}", question.miles));
    }
    say(&format!("chance: {}", report.chance));
    say("answer:");
    say(&format!("  on: {on}"));
    let minutes = report.minutes;
    let other = report.other.minutes;
    say(&format!(
        "  minutes: {{q10: {:.1}, q50: {:.1}, q80: {:.1}, q90: {:.1}}}    # on site, other time with it",
        minutes.q10 + other,
        minutes.q50 + other,
        minutes.q80 + other,
        minutes.q90 + other
    ));
    say(&format!("  labour_minutes: {:.1}", report.labour_minutes));
    say("  lines:");
    for line in &report.lines {
        say(&format!(
            "    - {{what: {}, amount: {}, how: {}}}",
            quoted(line.what),
            line.amount,
            quoted(&line.how)
        ));
    }
    say(&format!("  total: {}", report.total));
    if let Some(by_the_day) = &report.by_the_day {
        say(&format!("  by_the_day: {}", by_the_day.total));
    }
    if !report.warnings.is_empty() {
        say("  warnings:");
        for warning in &report.warnings {
            say(&format!("    - {}", quoted(warning)));
        }
    }
    text
}

/// A text as YAML reads it back: JSON's quotes are YAML's.
fn quoted(text: &str) -> String {
    serde_json::to_string(text).expect("a text serializes")
}
