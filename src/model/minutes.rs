//! Lengths of time in whole minutes.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Sub};

use serde::{Serialize, Serializer};

/// A length of time in whole minutes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Minutes(i64);

/// Why a text is not a length of time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LengthError {
    /// There is nothing there.
    Empty,
    /// `1:30` could be a clock time; the length that it would be.
    LooksLikeClock(Option<Minutes>),
    /// A bare number: minutes or hours?
    NoUnit,
    /// `1h75`: minutes after hours go up to 59.
    TooManyMinutes,
    /// Longer than a week.
    TooLong,
    /// `1.33h` is no whole number of minutes.
    PartOfAMinute,
    /// Anything else.
    NotALength,
}

impl Minutes {
    /// No time at all.
    pub const NOUGHT: Minutes = Minutes(0);
    /// The longest length that may be written: a week.
    pub const LONGEST: Minutes = Minutes(7 * 24 * 60);

    /// A length from whole minutes.
    pub const fn new(minutes: i64) -> Self {
        Minutes(minutes)
    }

    /// The length in whole minutes.
    pub const fn get(self) -> i64 {
        self.0
    }

    /// The length in minutes, for statistics.
    #[expect(
        clippy::cast_precision_loss,
        reason = "a diary's minutes are far below 2^52"
    )]
    pub fn as_f64(self) -> f64 {
        self.0 as f64
    }

    /// Reads `45m`, `2h`, `2h15`, `2h15m`, `2h 15m`, `1.5h`.
    ///
    /// # Errors
    /// Says what about the text is not a length; nothing is rounded.
    pub fn from_length_text(text: &str) -> Result<Self, LengthError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(LengthError::Empty);
        }
        if let Some((hours, minutes)) = text.split_once(':') {
            let meant = match (whole(hours), whole(minutes)) {
                (Some(h), Some(m)) if m < 60 && h < 100 => Some(Minutes(h * 60 + m)),
                (None, _) | (_, None) => return Err(LengthError::NotALength),
                _ => None,
            };
            return Err(LengthError::LooksLikeClock(meant));
        }
        if text.bytes().all(|b| b.is_ascii_digit() || b == b'.') {
            return Err(LengthError::NoUnit);
        }
        let total = if let Some((hours, rest)) = text.split_once('h') {
            let rest = rest.trim_start();
            let after = if rest.is_empty() {
                0
            } else {
                let figures = rest.strip_suffix('m').unwrap_or(rest);
                let minutes = whole(figures).ok_or(LengthError::NotALength)?;
                if minutes > 59 {
                    return Err(LengthError::TooManyMinutes);
                }
                minutes
            };
            let before = match hours.split_once('.') {
                None => whole(hours)
                    .ok_or(LengthError::NotALength)?
                    .saturating_mul(60),
                Some((whole_hours, part)) => {
                    if !rest.is_empty() {
                        return Err(LengthError::NotALength);
                    }
                    let hours = whole(whole_hours).ok_or(LengthError::NotALength)?;
                    let figures = whole(part).ok_or(LengthError::NotALength)?;
                    let scale = 10_i64
                        .checked_pow(u32::try_from(part.len()).unwrap_or(u32::MAX))
                        .ok_or(LengthError::PartOfAMinute)?;
                    let sixtieths = figures.checked_mul(60).ok_or(LengthError::PartOfAMinute)?;
                    if sixtieths % scale != 0 {
                        return Err(LengthError::PartOfAMinute);
                    }
                    hours.saturating_mul(60).saturating_add(sixtieths / scale)
                }
            };
            before.saturating_add(after)
        } else {
            let figures = text.strip_suffix('m').ok_or(LengthError::NotALength)?;
            whole(figures).ok_or(LengthError::NotALength)?
        };
        if total > Self::LONGEST.0 {
            return Err(LengthError::TooLong);
        }
        Ok(Minutes(total))
    }

    /// The length as front matter writes it: `45m`, `2h`, `2h15`.
    pub fn to_length_text(self) -> String {
        match (self.0 / 60, self.0 % 60) {
            (0, m) => format!("{m}m"),
            (h, 0) => format!("{h}h"),
            (h, m) => format!("{h}h{m:02}"),
        }
    }
}

/// Digits only, at most nine of them.
fn whole(figures: &str) -> Option<i64> {
    let plain =
        !figures.is_empty() && figures.len() <= 9 && figures.bytes().all(|b| b.is_ascii_digit());
    plain.then(|| figures.parse().ok()).flatten()
}

/// The length as pages show it: `45 min`, `2 h`, `2 h 15`, `1 h 05`.
impl fmt::Display for Minutes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.0 / 60, self.0 % 60) {
            (0, m) => write!(f, "{m} min"),
            (h, 0) => write!(f, "{h} h"),
            (h, m) => write!(f, "{h} h {m:02}"),
        }
    }
}

/// A plain number of minutes.
impl Serialize for Minutes {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_i64(self.0)
    }
}

impl Add for Minutes {
    type Output = Minutes;
    fn add(self, other: Minutes) -> Minutes {
        Minutes(self.0.saturating_add(other.0))
    }
}

impl Sub for Minutes {
    type Output = Minutes;
    fn sub(self, other: Minutes) -> Minutes {
        Minutes(self.0.saturating_sub(other.0))
    }
}

impl Sum for Minutes {
    fn sum<I: Iterator<Item = Minutes>>(lengths: I) -> Minutes {
        lengths.fold(Minutes::NOUGHT, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn written_lengths_become_whole_minutes() {
        for (text, minutes) in [
            ("45m", 45),
            ("2h", 120),
            ("2h15", 135),
            ("2h05m", 125),
            ("2h 15m", 135),
            ("1.5h", 90),
            ("0.25h", 15),
            ("0m", 0),
            ("90m", 90),
        ] {
            assert_eq!(
                Minutes::from_length_text(text),
                Ok(Minutes(minutes)),
                "{text}"
            );
        }
    }

    #[test]
    fn what_is_not_a_length_says_why() {
        for (text, why) in [
            ("", LengthError::Empty),
            ("1:30", LengthError::LooksLikeClock(Some(Minutes(90)))),
            ("99:59", LengthError::LooksLikeClock(Some(Minutes(5_999)))),
            ("1:60", LengthError::LooksLikeClock(None)),
            ("100:00", LengthError::LooksLikeClock(None)),
            ("noon:30", LengthError::NotALength),
            ("1:", LengthError::NotALength),
            ("9999999999m", LengthError::NotALength),
            ("90", LengthError::NoUnit),
            ("1.5", LengthError::NoUnit),
            ("1h75", LengthError::TooManyMinutes),
            ("200h", LengthError::TooLong),
            ("999999999h", LengthError::TooLong),
            ("1.33h", LengthError::PartOfAMinute),
            ("1.5h15", LengthError::NotALength),
            ("an hour", LengthError::NotALength),
            ("-1h", LengthError::NotALength),
            ("h", LengthError::NotALength),
        ] {
            assert_eq!(Minutes::from_length_text(text), Err(why), "{text}");
        }
    }

    #[test]
    fn lengths_are_shown_in_the_look_s_way() {
        assert_eq!(Minutes(45).to_string(), "45 min");
        assert_eq!(Minutes(65).to_string(), "1 h 05");
        assert_eq!(Minutes(120).to_string(), "2 h");
    }
}
