//! Dates, amounts and counts in the office book's words. Decides nothing about a job.

use jiff::civil::{Date, Time};

use crate::model::{Money, Unit};

/// What is said of a finding of which `refused` is written.
pub(super) const REFUSED: &str = "Consent to isolate it or put it right was refused, in writing.";

/// `20 March 2026`.
pub(super) fn day(date: Date) -> String {
    let month = crate::model::job::Month::of(date).to_string();
    format!("{} {month}", date.day())
}

/// Whether a last day is still to come, the day itself with it: `is`, then `was`.
pub(super) fn is_or_was(last: Date, as_of: Date) -> &'static str {
    if last < as_of { "was" } else { "is" }
}

/// An ISO date of a report in words; as written where it is none.
pub(super) fn iso_day(text: &str) -> String {
    text.parse::<Date>().map_or_else(|_| text.to_owned(), day)
}

/// `08:15`.
pub(super) fn clock(time: Time) -> String {
    format!("{:02}:{:02}", time.hour(), time.minute())
}

/// An amount for a column whose head names the currency: `1,844.47`, `−12.00`.
pub(super) fn figure(money: Money) -> String {
    let pence = money.pence().unsigned_abs();
    let sign = if money.pence() < 0 { "−" } else { "" };
    format!("{sign}{}.{:02}", grouped(pence / 100), pence % 100)
}

/// An amount in a sentence: `£1,844.47`. A currency without a sign of its own stands as its code: `NOK 12.00`.
pub(super) fn amount(money: Money, currency: &str) -> String {
    let figure = figure(money);
    let (sign, plain) = figure
        .strip_prefix('−')
        .map_or(("", figure.as_str()), |plain| ("−", plain));
    match currency {
        "GBP" => format!("{sign}£{plain}"),
        "EUR" => format!("{sign}€{plain}"),
        other => format!("{sign}{other} {plain}"),
    }
}

/// What heads a column of amounts: `£`.
pub(super) fn currency_sign(currency: &str) -> String {
    match currency {
        "GBP" => "£".to_owned(),
        "EUR" => "€".to_owned(),
        other => other.to_owned(),
    }
}

/// `2,214`.
pub fn grouped(number: u64) -> String {
    let digits = number.to_string();
    let mut out = String::new();
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// `1 job`, `2,214 jobs`.
pub fn counted(count: usize, one: &str, more: &str) -> String {
    let word = if count == 1 { one } else { more };
    format!("{} {word}", grouped(count as u64))
}

/// A count as written: `24`, `1.5`.
pub(super) fn number(count: f64) -> String {
    let text = format!("{count:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A count with what it is counted in, for a task: `2`, `24 m`.
pub(super) fn task_count(count: f64, unit: Option<&Unit>) -> String {
    match unit {
        Some(Unit::Metre) => format!("{} m", number(count)),
        Some(Unit::Other(word)) => format!("{} {word}", number(count)),
        _ => number(count),
    }
}

/// What minutes are each of: `each`, `a job`, `a metre`.
pub(super) fn per(unit: &str) -> String {
    match unit {
        "each" => "each".to_owned(),
        other => format!("a {other}"),
    }
}

/// Minutes in words, to the nearest whole one: `1 h 22`; under ten, with one decimal where it is not whole: `7.6 min`.
pub(super) fn minutes(minutes: f64) -> String {
    if minutes.abs() < 9.95 {
        return format!("{} min", number((minutes * 10.0).round() / 10.0));
    }
    crate::model::Minutes::new(whole(minutes)).to_string()
}

/// The nearest whole number, half away from nought.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a float that is too large becomes the largest integer"
)]
pub(super) fn whole(number: f64) -> i64 {
    number.round() as i64
}

/// A share in whole per cent; 0 of nothing.
#[expect(
    clippy::cast_precision_loss,
    reason = "a diary's minutes and counts are far below 2^52"
)]
pub(super) fn percent_of(part: i64, all: i64) -> i64 {
    if all == 0 {
        0
    } else {
        whole(part as f64 * 100.0 / all as f64)
    }
}

/// The first letter in upper case, the rest as it is; a text that begins with the name of a file stays.
pub fn capital(text: &str) -> String {
    let first_word = text.split_whitespace().next().unwrap_or_default();
    if first_word.trim_end_matches('.').contains(['.', '/', '_']) {
        return text.to_owned();
    }
    let mut chars = text.chars();
    chars.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(chars).collect()
    })
}

/// The first letter in lower case, unless the second is a capital too: `RCD` stays.
pub(super) fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    match (chars.next(), chars.clone().next()) {
        (Some(first), second) if !second.is_some_and(char::is_uppercase) => {
            first.to_lowercase().chain(chars).collect()
        }
        _ => text.to_owned(),
    }
}

/// A sentence's end: one full stop, unless it ends in a mark of its own.
pub(super) fn stopped(text: &str) -> String {
    let text = text.trim_end();
    if text.is_empty() || text.ends_with(['.', '!', '?', '…']) {
        text.to_owned()
    } else {
        format!("{text}.")
    }
}

/// A name cut to its column.
pub(super) fn fit(name: &str, columns: usize) -> String {
    if name.chars().count() < columns {
        return name.to_owned();
    }
    name.chars().take(columns - 2).chain(['…']).collect()
}

/// Lines of at most 80 columns, broken at spaces.
pub(super) fn wrap(text: &str) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let line = lines.last_mut().expect("one line from the start");
        if line.chars().count() + 1 + word.chars().count() > 80 && !line.is_empty() {
            lines.push(word.to_owned());
        } else {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_carry_commas_and_their_sign() {
        assert_eq!(figure(Money::from_pence(184_447)), "1,844.47");
        assert_eq!(figure(Money::from_pence(-5)), "−0.05");
        assert_eq!(amount(Money::from_pence(-184_447), "GBP"), "−£1,844.47");
        assert_eq!(amount(Money::from_pence(1_200), "NOK"), "NOK 12.00");
    }

    #[test]
    fn numbers_drop_noughts_after_the_point_only() {
        assert_eq!(
            [24.0, 1.5, 0.125, 100.0].map(number),
            ["24", "1.5", "0.125", "100"]
        );
        assert_eq!(
            [7.64, 9.96, 81.6].map(minutes),
            ["7.6 min", "10 min", "1 h 22"]
        );
    }

    #[test]
    fn a_file_s_name_keeps_its_small_letter() {
        assert_eq!(
            capital("diary.yaml knows no such key"),
            "diary.yaml knows no such key"
        );
        assert_eq!(capital("yard manager"), "Yard manager");
        assert_eq!(
            [stopped("reset"), stopped("reset."), stopped("")],
            ["reset.", "reset.", ""]
        );
    }

    #[test]
    fn a_share_of_nothing_is_nought() {
        assert_eq!(percent_of(0, 0), 0);
        assert_eq!(percent_of(2, 3), 67);
    }

    #[test]
    fn a_name_in_a_sentence_keeps_its_capitals_where_they_are_letters() {
        assert_eq!(lower_first("RCD change"), "RCD change");
        assert_eq!(lower_first("Boat shed"), "boat shed");
    }
}
