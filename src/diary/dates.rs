//! Dates as they are written: year, month, day. Says what is wrong with one and what to write instead; does not ask
//! which day it is.

use jiff::civil::Date;

use crate::model::job::MONTHS;

use super::shorten::shorten;

/// The years that a diary may speak of.
pub const YEARS: std::ops::RangeInclusive<i16> = 1970..=2199;

/// An ISO date, or what is wrong with it (no full stop) and what to write (with one).
///
/// # Errors
/// The text is no date, or a day that no calendar has, or lies outside 1970 to 2199.
pub fn read(text: &str) -> Result<Date, (String, String)> {
    let typed = shorten(text);
    let parts: Vec<&str> = text.split('-').collect();
    let digits = |s: &str, n: usize| s.len() == n && s.bytes().all(|b| b.is_ascii_digit());
    if let [year, month, day] = parts[..]
        && digits(year, 4)
        && digits(month, 2)
        && digits(day, 2)
    {
        let number = |s: &str| s.parse::<i16>().unwrap_or_default();
        let small = |s: &str| i8::try_from(number(s)).unwrap_or_default();
        let (year, month, day) = (number(year), small(month), small(day));
        return match Date::new(year, month, day) {
            Ok(date) if YEARS.contains(&year) => Ok(date),
            Ok(_) => Err((
                format!("{typed} is a date outside 1970 to 2199"),
                "Look at the year.".to_owned(),
            )),
            Err(_) => Err(no_such_day(&typed, year, month, day)),
        };
    }
    let help = match suggest(text) {
        Some(date) => format!("Write {date} if that is the day: year first, then month, then day."),
        None => "Write year, month and day: 2026-03-02.".to_owned(),
    };
    Err((format!("{typed} is no date"), help))
}

/// What is wrong with a day that no calendar has.
fn no_such_day(typed: &str, year: i16, month: i8, day: i8) -> (String, String) {
    let name = usize::try_from(month - 1)
        .ok()
        .and_then(|month| MONTHS.get(month));
    match (name, Date::new(year, month, 1)) {
        (Some(name), Ok(first)) if day > 0 => {
            let last = first.last_of_month();
            (
                format!(
                    "{name} {year} has {} days, so there is no {typed}",
                    last.day()
                ),
                format!("Write {last} if its last day is meant."),
            )
        }
        _ => (
            format!("there is no such day as {typed}"),
            match Date::new(year, day, month) {
                Ok(turned) => {
                    format!("Write {turned} if that is the day: year first, then month, then day.")
                }
                Err(_) => {
                    "Look at the month and the day: year first, then month, then day.".to_owned()
                }
            },
        ),
    }
}

/// What may have been meant by `2/3/26`, `2.3.2026` or `2026-3-2`: the day stands before the month.
fn suggest(text: &str) -> Option<Date> {
    let parts: Vec<i16> = text
        .split(['/', '.', '-'])
        .map(|part| part.trim().parse().ok())
        .collect::<Option<_>>()?;
    let [a, b, c] = parts[..] else { return None };
    let (year, month, day) = if a > 31 { (a, b, c) } else { (c, b, a) };
    let year = if (0..100).contains(&year) {
        year + 2000
    } else {
        year
    };
    Date::new(year, i8::try_from(month).ok()?, i8::try_from(day).ok()?).ok()
}

#[cfg(test)]
mod tests {
    use super::read;

    fn wrong(text: &str) -> String {
        match read(text) {
            Ok(date) => format!("taken as {date}"),
            Err((what, help)) => format!("{what}. {help}"),
        }
    }

    #[test]
    fn dates_that_people_write_are_offered_the_right_way_round() {
        for (text, meant) in [
            ("2/3/26", "2026-03-02"),
            ("2.3.2026", "2026-03-02"),
            ("2026-3-2", "2026-03-02"),
            ("2026/03/02", "2026-03-02"),
        ] {
            let (_, help) = read(text).expect_err("not ISO");
            assert!(help.contains(meant), "{text}: {help}");
        }
        assert_eq!(
            wrong("Tuesday"),
            "Tuesday is no date. Write year, month and day: 2026-03-02."
        );
    }

    #[test]
    fn a_day_past_the_end_of_its_month_is_told_how_long_that_month_is() {
        assert_eq!(
            wrong("2026-02-30"),
            "February 2026 has 28 days, so there is no 2026-02-30. Write 2026-02-28 if its last day is meant."
        );
        assert_eq!(
            wrong("2028-02-30"),
            "February 2028 has 29 days, so there is no 2028-02-30. Write 2028-02-29 if its last day is meant."
        );
        assert_eq!(wrong("2028-02-29"), "taken as 2028-02-29");
    }

    #[test]
    fn a_month_that_is_a_day_is_turned_round() {
        assert_eq!(
            wrong("2026-13-02"),
            "there is no such day as 2026-13-02. Write 2026-02-13 if that is the day: year first, then month, then \
             day."
        );
        for text in ["2026-13-14", "2026-00-10", "2026-01-00", "0000-02-30"] {
            assert!(read(text).is_err(), "{text}");
        }
    }
}
