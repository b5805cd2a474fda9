//! A price for a terminal of 80 columns: the sum with its reasons first, then what stands behind it.

use std::fmt::Write as _;

use crate::model::Money;
use crate::office::words::{amount, figure, fit, minutes, number, wrap};

use super::{PriceReport, Quantiles};

/// Columns for a name.
const NAME: usize = 34;
/// Refs that are named of a task.
const MOST_REFS: usize = 6;

/// The report as text. `currency` is the diary's own.
pub fn text(report: &PriceReport, currency: &str) -> String {
    let mut out = String::new();
    let mut say = |line: &str| writeln!(out, "{}", line.trim_end()).expect("writing to a String");
    let money = |money: Money| amount(money, currency);
    say(&format!("Price on {}", report.as_of));
    say("");
    for line in &report.lines {
        say(&format!(
            "{:<NAME$}{:>12}",
            capital(line.what),
            figure(line.amount)
        ));
        for reason in wrap(&line.how) {
            say(&format!("  {reason}"));
        }
    }
    let total = |name: &str, vat: bool, amount: Money| {
        let vat = if vat { ", with VAT" } else { "" };
        format!("{:<NAME$}{:>12}", format!("{name}{vat}"), money(amount))
    };
    let with_vat = report.lines.iter().any(|line| line.what == "VAT");
    say(&total("By the hour", with_vat, report.total));
    if let Some(by_the_day) = &report.by_the_day {
        let vat = by_the_day.vat;
        say(&total("By the day", with_vat, by_the_day.total));
        let rest = if with_vat {
            format!(
                "the other lines before VAT as above, and {} of VAT",
                money(vat)
            )
        } else {
            "the other lines as above".to_owned()
        };
        for reason in wrap(&format!(
            "{} of labour: {}; {rest}",
            money(by_the_day.labour),
            by_the_day.how
        )) {
            say(&format!("  {reason}"));
        }
    }
    say("");
    say(&format!(
        "{:NAME$}{:>5}{:>5}{:>12}{:>12}{:>12}",
        "Time", "No.", "jobs", "half under", "8 in 10", "9 in 10"
    ));
    for task in &report.tasks {
        say(&format!(
            "{:NAME$}{:>5}{:>5}{}",
            fit(&task.name, NAME),
            number(task.count),
            if task.guessed {
                String::new()
            } else {
                task.n.to_string()
            },
            times(&task.minutes)
        ));
        if !task.refs.is_empty() {
            let shown = task
                .refs
                .iter()
                .rev()
                .take(MOST_REFS)
                .cloned()
                .collect::<Vec<_>>();
            let more = task.refs.len() - shown.len();
            let more = if more > 0 {
                format!(" and {more} more")
            } else {
                String::new()
            };
            say(&format!("  {}{more}", shown.join(", ")));
        }
    }
    if report.tasks.len() > 1 {
        say(&format!(
            "{:NAME$}{:>10}{}",
            "All of them",
            "",
            times(&report.minutes)
        ));
    }
    say(&format!(
        "{:NAME$}{:>5}{:>17}",
        "Other time, each visit",
        report.other.visits,
        minutes(report.other.per_visit)
    ));
    say("");
    for line in wrap(&report.widest_doubt) {
        say(&line);
    }
    for warning in &report.warnings {
        for line in wrap(warning) {
            say(&line);
        }
    }
    if let Some(kept) = &report.back_test {
        for line in wrap(&kept.in_a_sentence()) {
            say(&line);
        }
    }
    say("");
    for line in wrap(
        "Amounts are without VAT unless a line says so. The times are what the record makes likely for a job like \
         this, not a promise; a survey that shows more changes the price. The jobs behind each line are in --format \
         json.",
    ) {
        say(&line);
    }
    out
}

fn times(quantiles: &Quantiles) -> String {
    format!(
        "{:>12}{:>12}{:>12}",
        minutes(quantiles.q50),
        minutes(quantiles.q80),
        minutes(quantiles.q90)
    )
}

fn capital(what: &str) -> String {
    crate::office::words::capital(what)
}
