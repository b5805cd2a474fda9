//! Money, counts and metres as typed: `£4`, `80p`, `2 off`, `x6`, `12 mtr`. Lengths of time are `length`'s.

use super::line::Scan;
use crate::model::Money;

/// How an amount was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Written {
    /// With a pound sign, pence of two figures, or a `p`: money wherever it stands.
    Plainly,
    /// `4` or `6.5`: money only after a word that says so.
    Barely,
}

/// The amount that a word is: `6.50`, `£4`, `4`, `6.5`, `80p`, `1,200.00`.
pub fn money(word: &str) -> Option<(Money, Written)> {
    if let Some(pence) = word.strip_suffix('p') {
        return Some((Money::from_pence(figures(pence, 4)?), Written::Plainly));
    }
    let bare = word.strip_prefix('\u{a3}');
    let text = bare.unwrap_or(word);
    let (pounds, pence) = match text.split_once('.') {
        Some((pounds, pence)) => (pounds, Some(pence)),
        None => (text, None),
    };
    let pounds = match pounds.split_once(',') {
        Some((thousands, rest)) if rest.len() == 3 && (1..=3).contains(&thousands.len()) => {
            figures(thousands, 3)? * 1000 + figures(rest, 3)?
        }
        Some(_) => return None,
        None if pounds.is_empty() && pence.is_some() => 0,
        None => figures(pounds, 6)?,
    };
    let (pence, two) = match pence {
        None => (0, false),
        Some(one) if one.len() == 1 => (figures(one, 1)? * 10, false),
        Some(two) if two.len() == 2 => (figures(two, 2)?, true),
        Some(_) => return None,
    };
    let written = if bare.is_some() || two {
        Written::Plainly
    } else {
        Written::Barely
    };
    Some((Money::from_pence(pounds * 100 + pence), written))
}

/// A word of so many digits at most.
pub fn figures(word: &str, most: usize) -> Option<i64> {
    let plain = !word.is_empty() && word.len() <= most && word.bytes().all(|b| b.is_ascii_digit());
    plain.then(|| word.parse().ok()).flatten()
}

/// A count at a word: `2x`, `2 x`, `x2`, `x 2`, `2 off`, `2no`; its value and the word after it.
pub fn count(scan: &Scan<'_>, at: usize) -> Option<(f64, usize)> {
    let word = scan.word(at);
    let next = scan.word(at + 1);
    let sign = |text: &str| figures(text, 5).filter(|n| *n > 0);
    let found = if let Some(n) = word
        .strip_suffix('x')
        .or_else(|| word.strip_suffix("no"))
        .and_then(sign)
    {
        (n, at + 1)
    } else if let Some(n) = word.strip_suffix("off").and_then(sign) {
        (n, at + 1)
    } else if let Some(n) = word.strip_prefix('x').and_then(sign) {
        (n, at + 1)
    } else if word == "x" {
        (sign(next)?, at + 2)
    } else {
        let n = sign(word).filter(|_| matches!(next, "x" | "off" | "no"))?;
        (n, at + 2)
    };
    #[expect(clippy::cast_precision_loss, reason = "five figures at most")]
    Some((found.0 as f64, found.1))
}

/// `8 ccts`, `8cct`, `12 circuits`.
pub fn circuits(scan: &Scan<'_>, at: usize) -> Option<(f64, usize)> {
    const NAMES: [&str; 4] = ["circuits", "circuit", "ccts", "cct"];
    if NAMES.contains(&scan.word(at + 1)) {
        return Some((bare_count(scan, at)?, at + 2));
    }
    let figures_alone = NAMES
        .iter()
        .find_map(|name| scan.word(at).strip_suffix(name))?;
    let n = figures(figures_alone, 3).filter(|n| *n > 0)?;
    #[expect(clippy::cast_precision_loss, reason = "three figures at most")]
    Some((n as f64, at + 1))
}

/// A bare whole number at a word.
pub fn bare_count(scan: &Scan<'_>, at: usize) -> Option<f64> {
    let n = figures(scan.word(at), 5).filter(|n| *n > 0)?;
    #[expect(clippy::cast_precision_loss, reason = "five figures at most")]
    Some(n as f64)
}

/// Metres at a word: `30m`, `2.5m`, `12 mtr`; their value and the word after them.
pub fn metres(scan: &Scan<'_>, at: usize) -> Option<(f64, usize)> {
    const UNITS: [&str; 6] = ["metres", "metre", "mtrs", "mtr", "mts", "m"];
    let word = scan.word(at);
    let length = |text: &str| {
        let (whole, part) = text.split_once('.').unwrap_or((text, "0"));
        let fits = figures(whole, 5).is_some() && figures(part, 2).is_some();
        fits.then(|| text.parse::<f64>().ok())
            .flatten()
            .filter(|n| *n > 0.0)
    };
    if UNITS.contains(&scan.word(at + 1))
        && let Some(n) = length(word)
    {
        return Some((n, at + 2));
    }
    let n = UNITS
        .iter()
        .find_map(|unit| length(word.strip_suffix(unit)?))?;
    Some((n, at + 1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jot::line::Line;

    #[test]
    fn money_is_read_as_typed() {
        for (word, pence, written) in [
            ("6.50", 650, Written::Plainly),
            ("\u{a3}4", 400, Written::Plainly),
            ("4", 400, Written::Barely),
            ("6.5", 650, Written::Barely),
            ("80p", 80, Written::Plainly),
            (".50", 50, Written::Plainly),
            ("1,200.00", 120_000, Written::Plainly),
        ] {
            assert_eq!(
                money(word),
                Some((Money::from_pence(pence), written)),
                "{word}"
            );
        }
        for word in [
            "", "p", "\u{a3}", "4.505", "1,20", "12,000,0", "4x", "-4", "9999999",
        ] {
            assert_eq!(money(word), None, "{word}");
        }
    }

    #[test]
    fn counts_and_metres_are_read_at_their_word() {
        let read = |text: &str| {
            let line = Line::new(1, text);
            let scan = Scan::new(&line);
            (count(&scan, 0), metres(&scan, 0))
        };
        assert_eq!(read("2x fan").0, Some((2.0, 1)));
        assert_eq!(read("2 x fan").0, Some((2.0, 2)));
        assert_eq!(read("x2 fan").0, Some((2.0, 1)));
        assert_eq!(read("2 off fan").0, Some((2.0, 2)));
        assert_eq!(read("2no fan").0, Some((2.0, 1)));
        assert_eq!(read("2 fan").0, None);
        assert_eq!(read("0x fan").0, None);
        assert_eq!(read("30m flex").1, Some((30.0, 1)));
        assert_eq!(read("12 mtr flex").1, Some((12.0, 2)));
        assert_eq!(read("2.5m flex").1, Some((2.5, 1)));
        assert_eq!(read("10mm flex").1, None);
    }
}
