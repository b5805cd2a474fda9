//! Dates as typed: `2 Mar`, `thu 12 mar`, `12/3`, `yesterday`, `last thu`, `wed`. No clock times but those that
//! keep `20xx` from being a year.

use jiff::ToSpan;
use jiff::civil::{Date, Weekday};

use crate::diary::dates::{self, YEARS};

use super::clock;
use super::length::digits;
use super::line::ends_word;

/// What dates are reckoned from.
#[derive(Clone, Copy, Debug)]
pub struct Days {
    /// The day the note is read.
    pub today: Date,
    /// The date read last in this note.
    pub last: Option<Date>,
}

impl Days {
    /// The date of a visit that names none.
    pub fn without_date(self) -> Date {
        self.last.unwrap_or(self.today)
    }
}

/// How a date was said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Said {
    /// With its day and month.
    InFull,
    /// By a weekday or by its distance from today; both are everyday words too.
    ByAWord,
}

const MONTHS: [(&str, &str); 12] = [
    ("january", "jan"),
    ("february", "feb"),
    ("march", "mar"),
    ("april", "apr"),
    ("may", "may"),
    ("june", "jun"),
    ("july", "jul"),
    ("august", "aug"),
    ("september", "sep"),
    ("october", "oct"),
    ("november", "nov"),
    ("december", "dec"),
];

/// The date that begins at a byte of a line's small text, how it was said, and the byte where it ends.
pub fn at(low: &str, start: usize, days: Days) -> Option<(Date, Said, usize)> {
    let weekday = weekday(low, start);
    let after_weekday = weekday.map(|(_, end)| skip_joins(low, end));
    // A weekday beside a date is ignored, even a wrong one.
    for from in after_weekday.into_iter().chain([start]) {
        if let Some((date, end)) = in_full(low, from, days) {
            let next = skip_joins(low, end);
            let end = self::weekday(low, next).map_or(end, |(_, end)| end);
            return Some((date, Said::InFull, end));
        }
    }
    if let Some((date, end)) = by_distance(low, start, days.today) {
        return Some((date, Said::ByAWord, end));
    }
    let (weekday, end) = weekday?;
    Some((bare_weekday(weekday, days), Said::ByAWord, end))
}

/// The first such day on or after the date read last, unless that is in the future; else the latest up to today.
fn bare_weekday(weekday: Weekday, days: Days) -> Date {
    let next = days.last.and_then(|last| {
        let ahead = last.weekday().until(weekday).rem_euclid(7);
        last.checked_add(i64::from(ahead).days()).ok()
    });
    match next {
        Some(date) if date <= days.today => date,
        _ => latest(weekday, days.today),
    }
}

/// The latest such weekday on or before a day.
fn latest(weekday: Weekday, day: Date) -> Date {
    let back = day.weekday().since(weekday).rem_euclid(7);
    day.checked_sub(i64::from(back).days()).unwrap_or(day)
}

fn by_distance(low: &str, start: usize, today: Date) -> Option<(Date, usize)> {
    let (word, end) = word(low, start)?;
    match word {
        "today" => Some((today, end)),
        "yest" | "yday" | "yesterday" => Some((today.yesterday().ok()?, end)),
        "last" => {
            let (weekday, end) = weekday(low, skip_spaces(low, end))?;
            Some((latest(weekday, today.yesterday().ok()?), end))
        }
        _ => None,
    }
}

fn in_full(low: &str, start: usize, days: Days) -> Option<(Date, usize)> {
    iso(low, start)
        .or_else(|| in_figures(low, start, days.today))
        .or_else(|| with_month(low, start, days.today))
}

/// `2026-03-12`.
fn iso(low: &str, start: usize) -> Option<(Date, usize)> {
    let end = start + 10;
    let text = low.get(start..end)?;
    let shaped = text.bytes().enumerate().all(|(index, b)| match index {
        4 | 7 => b == b'-',
        _ => b.is_ascii_digit(),
    });
    (shaped && ends_word(low, end)).then_some(())?;
    // The diary's own form, so its own reader: a year that no log may have is no date here either.
    Some((dates::read(text).ok()?, end))
}

/// `12/3`, `12/3/26`, `12.3.26`, `24.11` before clocks: the day first.
fn in_figures(low: &str, start: usize, today: Date) -> Option<(Date, usize)> {
    let (day, end) = digits(low, start).filter(|(_, end)| end - start <= 2)?;
    let mark = low[end..]
        .chars()
        .next()
        .filter(|c| matches!(c, '/' | '.'))?;
    let (month, after) = digits(low, end + 1).filter(|(_, after)| after - end <= 3)?;
    if low[after..].starts_with(mark) {
        let (year, end) = digits(low, after + 1)?;
        let year = match end - after {
            3 => 2000 + year,
            5 => year,
            _ => return None,
        };
        return ends_word(low, end).then_some((date(year, month, day)?, end));
    }
    let next = low[after..].trim_start();
    let half_of_something =
        (day, month) == (1, 2) && (next.starts_with("day") || next.starts_with('h'));
    // `24.11` may be anything, but for what clocks come after it.
    let a_date =
        mark == '/' || after - end == 3 && clock::range(low, skip_joins(low, after)).is_some();
    if !a_date || half_of_something || !ends_word(low, after) {
        return None;
    }
    Some((latest_such(month, day, today)?, after))
}

/// `2 Mar`, `2nd of March 2026`, `Mar 2`.
fn with_month(low: &str, start: usize, today: Date) -> Option<(Date, usize)> {
    let (month, day, end) = match month(low, start) {
        Some((month, end)) => {
            let (day, end) = day(low, skip_spaces(low, end))?;
            (month, day, end)
        }
        None => {
            let (day, end) = day(low, start)?;
            let next = skip_spaces(low, end);
            let next = low[next..].strip_prefix("of ").map_or(next, |_| next + 3);
            let (month, end) = month(low, next)?;
            (month, day, end)
        }
    };
    // `19 nov 2015-2200` is a day and clocks.
    let year_at = skip_spaces(low, end);
    let year = digits(low, year_at).filter(|(year, end)| {
        (2000..=2099).contains(year)
            && end - year_at == 4
            && ends_word(low, *end)
            && clock::range(low, year_at).is_none()
    });
    match year {
        Some((year, end)) => Some((date(year, month, day)?, end)),
        None => Some((latest_such(month, day, today)?, end)),
    }
}

/// A day of the month: `2`, `2nd`, `the 2nd`.
fn day(low: &str, start: usize) -> Option<(i64, usize)> {
    let start = low[start..]
        .strip_prefix("the ")
        .map_or(start, |_| start + 4);
    let (day, end) = digits(low, start).filter(|(day, end)| end - start <= 2 && *day <= 31)?;
    let end = ["st", "nd", "rd", "th"]
        .iter()
        .find(|mark| low[end..].starts_with(**mark))
        .map_or(end, |_| end + 2);
    ends_word(low, end).then_some((day, end))
}

fn month(low: &str, start: usize) -> Option<(i64, usize)> {
    let (word, end) = word(low, start)?;
    let index = MONTHS.iter().position(|(long, short)| {
        word == *long || word == *short || word == "sept" && *short == "sep"
    })?;
    Some((i64::try_from(index).ok()? + 1, end))
}

/// The weekday at a byte, in full or short.
fn weekday(low: &str, start: usize) -> Option<(Weekday, usize)> {
    let (word, end) = word(low, start)?;
    let weekday = match word {
        "mon" | "monday" => Weekday::Monday,
        "tue" | "tues" | "tuesday" => Weekday::Tuesday,
        "wed" | "weds" | "wednesday" => Weekday::Wednesday,
        "thu" | "thur" | "thurs" | "thursday" => Weekday::Thursday,
        "fri" | "friday" => Weekday::Friday,
        "sat" | "saturday" => Weekday::Saturday,
        "sun" | "sunday" => Weekday::Sunday,
        _ => return None,
    };
    Some((weekday, end))
}

/// The run of letters at a byte that is a whole word.
fn word(low: &str, start: usize) -> Option<(&str, usize)> {
    let length = low[start..]
        .bytes()
        .take(12)
        .take_while(u8::is_ascii_alphabetic)
        .count();
    let end = start + length;
    (length > 0 && ends_word(low, end)).then(|| (&low[start..end], end))
}

fn skip_spaces(low: &str, at: usize) -> usize {
    at + (low[at..].len() - low[at..].trim_start_matches(' ').len())
}

/// Past spaces, a comma or full stop: what stands between a weekday and its date.
fn skip_joins(low: &str, at: usize) -> usize {
    let rest = low[at..].trim_start_matches([',', '.']);
    skip_spaces(low, low.len() - rest.len())
}

fn date(year: i64, month: i64, day: i64) -> Option<Date> {
    let year = i16::try_from(year).ok()?;
    // A log with another year would not be read.
    if !YEARS.contains(&year) {
        return None;
    }
    Date::new(year, i8::try_from(month).ok()?, i8::try_from(day).ok()?).ok()
}

/// The latest such day of a year that is not after today; looks back far enough for the 29th of February.
fn latest_such(month: i64, day: i64, today: Date) -> Option<Date> {
    let year = i64::from(today.year());
    (0..=8).find_map(|back| date(year - back, month, day).filter(|date| *date <= today))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn days() -> Days {
        Days {
            today: jiff::civil::date(2026, 11, 25),
            last: None,
        }
    }

    fn read(text: &str, days: Days) -> Option<(String, usize)> {
        at(text, 0, days).map(|(date, _, end)| (date.to_string(), end))
    }

    #[test]
    fn dates_are_read_in_every_form() {
        for (text, date, end) in [
            ("2 mar", "2026-03-02", 5),
            ("2nd march", "2026-03-02", 9),
            ("2nd of march 2025", "2025-03-02", 17),
            ("mar 2", "2026-03-02", 5),
            ("thu 12 mar", "2026-03-12", 10),
            ("fri, 12 mar", "2026-03-12", 11),
            ("12 mar thu", "2026-03-12", 10),
            ("12/3", "2026-03-12", 4),
            ("12/3/26", "2026-03-12", 7),
            ("12/3/2025", "2025-03-12", 9),
            ("12.3.26", "2026-03-12", 7),
            ("24.11 9-11", "2026-11-24", 5),
            ("tue 24.11, 9-11", "2026-11-24", 9),
            ("2026-03-12", "2026-03-12", 10),
            ("26 nov", "2025-11-26", 6),
            ("25 nov", "2026-11-25", 6),
            ("29 feb", "2024-02-29", 6),
            ("19 nov 2015-2200", "2026-11-19", 6),
            ("19 nov 2015", "2015-11-19", 11),
            ("today", "2026-11-25", 5),
            ("yest", "2026-11-24", 4),
            ("last thu", "2026-11-19", 8),
            ("last wed", "2026-11-18", 8),
            ("wed", "2026-11-25", 3),
            ("thursday", "2026-11-19", 8),
        ] {
            assert_eq!(read(text, days()), Some((date.to_owned(), end)), "{text}");
        }
    }

    #[test]
    fn a_bare_weekday_follows_the_date_read_last() {
        let last = |y, m, d| Days {
            last: Some(jiff::civil::date(y, m, d)),
            ..days()
        };
        assert_eq!(
            read("wed", last(2026, 3, 2)).map(|r| r.0).as_deref(),
            Some("2026-03-04")
        );
        assert_eq!(
            read("mon", last(2026, 3, 2)).map(|r| r.0).as_deref(),
            Some("2026-03-02")
        );
        assert_eq!(
            read("sat", last(2026, 11, 23)).map(|r| r.0).as_deref(),
            Some("2026-11-21")
        );
    }

    #[test]
    fn what_is_no_date_is_not_taken_for_one() {
        for text in [
            "31/2",
            "12/13",
            "20/11/2615",
            "5026-10-05",
            "1/2 day",
            "1/2 hour",
            "2026-02-30",
            "12.3",
            "12.03",
            "24.11 9 off",
            "24.13 9-11",
            "2.5 9-11",
            "32 mar",
            "mar",
            "may be",
            "2-5 mar",
            "last",
            "monkey",
            "12/3x",
            "0/0",
            "4 marks",
            "",
        ] {
            assert_eq!(read(text, days()), None, "{text}");
        }
    }
}
