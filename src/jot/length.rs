//! Lengths of time as typed: `45m`, `2h15`, `1hr 20`, `half hour`, `all day`. No clocks.

use super::line::ends_word;

/// A length of time, read at a place of a line.
#[derive(Clone, Debug, PartialEq)]
pub struct Length {
    /// In minutes. `None` where the text can only be metres (`2.5m`).
    pub minutes: Option<i64>,
    /// The figures, where a bare `m` follows them: `30m` beside a cable is thirty metres.
    pub metres: Option<f64>,
    /// The byte where it ends.
    pub end: usize,
}

/// Longest length that is read: a week, as in a log.
const LONGEST: i64 = 7 * 24 * 60;

/// The length that begins at a byte of a line's small text. `day` is a full day, in minutes.
pub fn at(low: &str, start: usize, day: i64) -> Option<Length> {
    words(low, start, day).or_else(|| figures(low, start))
}

/// Lengths in words.
fn words(low: &str, start: usize, day: i64) -> Option<Length> {
    let rest = &low[start..];
    let known = [
        ("half a day", day / 2),
        ("half day", day / 2),
        ("1/2 day", day / 2),
        ("\u{bd} day", day / 2),
        ("all day", day),
        ("full day", day),
        ("half an hour", 30),
        ("half hour", 30),
        ("1/2 hour", 30),
        ("\u{bd} hour", 30),
        ("1/2 hr", 30),
        ("\u{bd} hr", 30),
        ("1/2h", 30),
        ("an hour and a half", 90),
        ("hour and a half", 90),
        ("an hour", 60),
    ];
    known.iter().find_map(|(words, minutes)| {
        let end = start + words.len();
        let fits = rest.starts_with(words) && ends_word(low, end);
        fits.then_some(Length {
            minutes: Some(*minutes),
            metres: None,
            end,
        })
    })
}

/// The run of digits at a byte, and its end; at most six of them, since no figure in a note is longer.
pub fn digits(low: &str, start: usize) -> Option<(i64, usize)> {
    let count = low.as_bytes()[start..]
        .iter()
        .take(7)
        .take_while(|b| b.is_ascii_digit())
        .count();
    (1..=6)
        .contains(&count)
        .then(|| low[start..start + count].parse().ok())
        .flatten()
        .map(|value| (value, start + count))
}

/// Hundredths of a unit after the figures: `.5`, `.25`, `½`, ` and a half`.
fn part(low: &str, at: usize) -> Option<(i64, usize)> {
    for (words, hundredths) in [(" and a half", 50), (" and a quarter", 25)] {
        if low[at..].starts_with(words) {
            return Some((hundredths, at + words.len()));
        }
    }
    for (sign, hundredths) in [('\u{bd}', 50), ('\u{bc}', 25), ('\u{be}', 75)] {
        if low[at..].starts_with(sign) {
            return Some((hundredths, at + sign.len_utf8()));
        }
    }
    let after = low[at..].strip_prefix('.').map(|_| at + 1)?;
    let (value, end) = digits(low, after)?;
    match end - after {
        1 => Some((value * 10, end)),
        2 => Some((value, end)),
        _ => None,
    }
}

fn figures(low: &str, start: usize) -> Option<Length> {
    let (whole, mut at) = match digits(low, start) {
        Some(found) => found,
        // `½h`, `.5h`.
        None => (0, part(low, start).map(|_| start)?),
    };
    let mut hundredths = None;
    if let Some((value, end)) = part(low, at) {
        hundredths = Some(value);
        at = end;
    } else if let Some(end) = unit(low, skip_space(low, at), &["hours", "hour", "hrs", "hr"])
        && let Some((value, end)) = part(low, end).filter(|_| low[end..].starts_with(" and"))
        && ends_word(low, end)
    {
        // `2 hours and a half`.
        return (whole * 60 <= LONGEST - 60).then_some(Length {
            minutes: Some(whole * 60 + value * 60 / 100),
            metres: None,
            end,
        });
    }
    let unit_at = skip_space(low, at);
    let total = whole * 100 + hundredths.unwrap_or_default();
    if let Some(end) = unit(low, unit_at, &["hours", "hour", "hrs", "hr", "h"]) {
        let minutes = (total * 60 % 100 == 0).then_some(total * 60 / 100)?;
        let more = hundredths
            .is_none()
            .then(|| minutes_after(low, end))
            .flatten();
        let (minutes, end) = more.map_or((minutes, end), |(m, end)| (minutes + m, end));
        return (ends_word(low, end) && minutes <= LONGEST).then_some(Length {
            minutes: Some(minutes),
            metres: None,
            end,
        });
    }
    let bare = unit(low, unit_at, &["m"]);
    let end = bare.or_else(|| unit(low, unit_at, &["minutes", "minute", "mins", "min"]))?;
    let minutes = (total % 100 == 0)
        .then_some(total / 100)
        .filter(|m| *m <= LONGEST);
    #[expect(clippy::cast_precision_loss, reason = "eight figures at most")]
    let metres = bare.map(|_| total as f64 / 100.0);
    (ends_word(low, end) && (minutes.is_some() || metres.is_some())).then_some(Length {
        minutes,
        metres,
        end,
    })
}

fn skip_space(low: &str, at: usize) -> usize {
    at + usize::from(low[at..].starts_with(' '))
}

/// One of the unit words at a byte, with no letter after it.
fn unit(low: &str, at: usize, words: &[&str]) -> Option<usize> {
    words.iter().find_map(|word| {
        let end = at + word.len();
        let fits =
            low[at..].starts_with(word) && !low[end..].starts_with(|c: char| c.is_alphabetic());
        fits.then_some(end)
    })
}

/// Minutes after hours: `1h45`, `1h45m`, `1h 45m`, `1hr 20`. After a space they have two digits or an m.
fn minutes_after(low: &str, at: usize) -> Option<(i64, usize)> {
    let spaced = low[at..].starts_with(' ');
    let from = skip_space(low, at);
    let (minutes, end) = digits(low, from)?;
    if minutes > 59 || end - from > 2 {
        return None;
    }
    let with_unit = unit(low, end, &["minutes", "minute", "mins", "min", "m"])
        .or_else(|| {
            unit(
                low,
                skip_space(low, end),
                &["minutes", "minute", "mins", "min"],
            )
        })
        .filter(|end| ends_word(low, *end));
    if let Some(end) = with_unit {
        return Some((minutes, end));
    }
    (end - from == 2 && ends_word(low, end))
        .then_some((minutes, end))
        // `1hr 20 mtr`: what follows the space is a length of cable, so the hour stands alone.
        .filter(|_| !spaced || !low[end..].trim_start().starts_with("mtr"))
}

#[cfg(test)]
mod tests {
    use super::at;

    #[test]
    fn lengths_are_read_in_every_form() {
        for (text, minutes, end) in [
            ("45m", 45, 3),
            ("45min", 45, 5),
            ("50 mins x", 50, 7),
            ("2h", 120, 2),
            ("2hrs", 120, 4),
            ("1h45", 105, 4),
            ("1h 45m", 105, 6),
            ("1h5m", 65, 4),
            ("3.5h", 210, 4),
            ("3\u{bd}h", 210, 4),
            ("1.25h", 75, 5),
            ("1hr 20", 80, 6),
            ("2h 1 skt", 120, 2),
            ("2 hours 10 minutes", 130, 18),
            ("an hour", 60, 7),
            ("1 and a half hrs", 90, 16),
            ("2 and a quarter hours x", 135, 21),
            ("2 hours and a half", 150, 18),
            ("an hour and a half", 90, 18),
            ("half hour", 30, 9),
            ("half an hour", 30, 12),
            ("half day", 240, 8),
            ("1/2 day parking", 240, 7),
            ("all day", 480, 7),
            ("75m,", 75, 3),
        ] {
            let read = at(text, 0, 480).map(|length| (length.minutes, length.end));
            assert_eq!(read, Some((Some(minutes), end)), "{text}");
        }
    }

    #[test]
    fn what_is_no_length_is_not_taken_for_one() {
        for text in [
            "1 and a half",
            "1 and a half skt",
            "1:45",
            "45",
            "45mm",
            "45mtr",
            "1h75",
            "2hx",
            "half",
            "9-5",
            "h",
            "",
            "0.333h",
            "9999h",
        ] {
            assert_eq!(at(text, 0, 480), None, "{text}");
        }
    }

    #[test]
    fn a_bare_m_may_be_metres() {
        assert_eq!(at("30m", 0, 480).and_then(|l| l.metres), Some(30.0));
        assert_eq!(at("30min", 0, 480).and_then(|l| l.metres), None);
        let short = at("2.5m", 0, 480).expect("metres");
        assert_eq!((short.minutes, short.metres), (None, Some(2.5)));
    }
}
