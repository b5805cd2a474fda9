//! Money in whole pence, read from its written text. No float ever holds money.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Sub};

use serde::{Serialize, Serializer};

/// An amount in whole pence of the diary's one currency; may be negative as a difference.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Money(i64);

/// Why a text is not money.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MoneyError {
    /// There is nothing there.
    Empty,
    /// More than two figures after the point.
    PartOfAPenny,
    /// One figure after the point: `4.5` may be 4.50 or 4.05.
    OneFigure,
    /// Thousands commas in the wrong places.
    Commas,
    /// Less than nothing.
    Negative,
    /// More than the program counts: a thousand million pounds or over.
    TooMuch,
    /// Anything else.
    NotMoney,
}

impl fmt::Display for MoneyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            MoneyError::Empty => "there is no amount",
            MoneyError::PartOfAPenny => "an amount has two figures after the point",
            MoneyError::OneFigure => "an amount has two figures after the point, not one",
            MoneyError::Commas => "the commas of an amount stand before each three figures",
            MoneyError::Negative => "an amount is not less than nothing",
            MoneyError::TooMuch => "the amount is too large to be meant",
            MoneyError::NotMoney => "this is not an amount",
        })
    }
}

impl Money {
    /// Nothing.
    pub const NOUGHT: Money = Money(0);

    /// An amount from whole pence.
    pub const fn from_pence(pence: i64) -> Self {
        Money(pence)
    }

    /// The amount in whole pence.
    pub const fn pence(self) -> i64 {
        self.0
    }

    /// Reads `504`, `504.00`, `£504.00`, `1,504.00`: pounds, and pence of two figures or none.
    ///
    /// # Errors
    /// Says what about the text is not money; nothing is rounded.
    pub fn from_text(text: &str) -> Result<Self, MoneyError> {
        let text = text.trim();
        let text = text.strip_prefix('£').map_or(text, str::trim_start);
        if text.is_empty() {
            return Err(MoneyError::Empty);
        }
        if let Some(rest) = text.strip_prefix('-') {
            return Err(
                if rest.starts_with(|c: char| c.is_ascii_digit() || c == '£') {
                    MoneyError::Negative
                } else {
                    MoneyError::NotMoney
                },
            );
        }
        let (pounds, pence) = text
            .split_once('.')
            .map_or((text, None), |(a, b)| (a, Some(b)));
        let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
        let whole = if pounds.contains(',') {
            let mut groups = pounds.split(',');
            let first = groups.next().unwrap_or_default();
            let well_formed = digits(first)
                && first.len() <= 3
                && groups.clone().all(|g| digits(g) && g.len() == 3);
            if !well_formed {
                return Err(if pounds.bytes().all(|b| b.is_ascii_digit() || b == b',') {
                    MoneyError::Commas
                } else {
                    MoneyError::NotMoney
                });
            }
            pounds.replace(',', "")
        } else if digits(pounds) {
            pounds.to_owned()
        } else {
            return Err(MoneyError::NotMoney);
        };
        let pence = match pence {
            None => 0,
            Some(p) if !digits(p) => return Err(MoneyError::NotMoney),
            Some(p) if p.len() == 1 => return Err(MoneyError::OneFigure),
            Some(p) if p.len() > 2 => return Err(MoneyError::PartOfAPenny),
            Some(p) => p.parse::<i64>().map_err(|_| MoneyError::NotMoney)?,
        };
        if whole.trim_start_matches('0').len() > 9 {
            return Err(MoneyError::TooMuch);
        }
        let pounds: i64 = whole.parse().map_err(|_| MoneyError::TooMuch)?;
        Ok(Money(pounds * 100 + pence))
    }
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let pence = self.0.unsigned_abs();
        write!(f, "{sign}{}.{:02}", pence / 100, pence % 100)
    }
}

impl Serialize for Money {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl Add for Money {
    type Output = Money;
    fn add(self, other: Money) -> Money {
        Money(self.0.saturating_add(other.0))
    }
}

impl Sub for Money {
    type Output = Money;
    fn sub(self, other: Money) -> Money {
        Money(self.0.saturating_sub(other.0))
    }
}

impl Sum for Money {
    fn sum<I: Iterator<Item = Money>>(amounts: I) -> Money {
        amounts.fold(Money::NOUGHT, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn written_amounts_become_whole_pence() {
        for (text, pence) in [
            ("504.00", 50_400),
            ("504", 50_400),
            ("£4.50", 450),
            ("£ 4.50", 450),
            ("1,504.05", 150_405),
            ("12,345,678.90", 1_234_567_890),
            ("0.00", 0),
            ("999999999.99", 99_999_999_999),
        ] {
            assert_eq!(Money::from_text(text), Ok(Money(pence)), "{text}");
        }
    }

    #[test]
    fn what_is_not_money_says_why() {
        for (text, why) in [
            ("", MoneyError::Empty),
            ("£", MoneyError::Empty),
            ("4.5", MoneyError::OneFigure),
            ("4.505", MoneyError::PartOfAPenny),
            ("1,50", MoneyError::Commas),
            ("15,00.00", MoneyError::Commas),
            (",504", MoneyError::Commas),
            ("1234,567", MoneyError::Commas),
            ("-4.00", MoneyError::Negative),
            ("-£4.00", MoneyError::Negative),
            ("-four", MoneyError::NotMoney),
            ("4.-5", MoneyError::NotMoney),
            ("four", MoneyError::NotMoney),
            ("4.", MoneyError::NotMoney),
            ("1e3", MoneyError::NotMoney),
            ("0x10", MoneyError::NotMoney),
            ("10000000000", MoneyError::TooMuch),
        ] {
            assert_eq!(Money::from_text(text), Err(why), "{text}");
        }
    }
}
