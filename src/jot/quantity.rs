//! One measured quantity at a word of a line: its name, its value in the forms people type, its unit. No circuits.

use super::line::Scan;
use super::note::Value;

/// Whether a word names a quantity that may stand before the circuit's name.
pub fn is_quantity(word: &str) -> bool {
    matches!(
        word,
        "zs" | "ze" | "r1+r2" | "r1r2" | "r1/r2" | "ir" | "rcd" | "pfc"
    )
}

/// A quantity and its value at a word; the word after them.
pub fn value(scan: &Scan<'_>, at: usize) -> Option<(Value, usize)> {
    value_of(scan, at, skip_equals(scan, at + 1))
}

/// The value at a word of the quantity that is named at another; the word after it.
pub fn value_of(scan: &Scan<'_>, at: usize, from: usize) -> Option<(Value, usize)> {
    match scan.word(at) {
        "zs" => ohms(scan, from).map(|(v, end)| (Value::Zs(v), end)),
        "ze" => ohms(scan, from).map(|(v, end)| (Value::Ze(v), end)),
        "r1+r2" | "r1r2" | "r1/r2" => ohms(scan, from).map(|(v, end)| (Value::R1R2(v), end)),
        "r1" if matches!(scan.word(at + 1), "+" | "&") && scan.word(at + 2) == "r2" => {
            let from = skip_equals(scan, at + 3);
            ohms(scan, from).map(|(v, end)| (Value::R1R2(v), end))
        }
        "ring" => ring(scan, from),
        "r1" => named_ring(scan, at),
        "ir" => insulation(scan, from),
        "rcd" => rcd(scan, from),
        "pfc" => {
            let (v, end) = with_unit(scan, from, &["ka"])?;
            Some((Value::Pfc(v), end))
        }
        "pol" => {
            let word = scan.word(from);
            let said = matches!(
                word,
                "ok" | "correct" | "good" | "fine" | "wrong" | "reversed" | "bad" | "no"
            );
            said.then(|| (Value::Polarity(word.to_owned()), from + 1))
        }
        _ => None,
    }
}

/// Past an equals sign or a colon, where one stands.
pub fn skip_equals(scan: &Scan<'_>, at: usize) -> usize {
    at + usize::from(matches!(scan.word(at), "=" | ":"))
}

/// A number of a reading as a log writes it: `.42` is `0.42`, `200+` is `>200`, `lim` is `LIM`.
pub fn number(text: &str) -> Option<String> {
    if text == "lim" {
        return Some("LIM".to_owned());
    }
    let (above, bare) = match (text.strip_prefix('>'), text.strip_suffix('+')) {
        (Some(bare), None) | (None, Some(bare)) => (">", bare),
        (None, None) => ("", text),
        (Some(_), Some(_)) => return None,
    };
    let (whole, part) = bare
        .split_once('.')
        .map_or((bare, None), |(w, p)| (w, Some(p)));
    let digits = |text: &str| text.len() <= 6 && text.bytes().all(|b| b.is_ascii_digit());
    if !digits(whole)
        || part.is_some_and(|part| part.is_empty() || !digits(part))
        || bare.is_empty()
    {
        return None;
    }
    let nought = if whole.is_empty() { "0" } else { "" };
    Some(format!("{above}{nought}{bare}"))
}

/// A number with one of some units on it, after it, or none.
fn with_unit(scan: &Scan<'_>, at: usize, units: &[&str]) -> Option<(String, usize)> {
    let (text, end) = match scan.word(at) {
        // `> 200`
        ">" => (format!(">{}", scan.word(at + 1)), at + 2),
        word => (word.to_owned(), at + 1),
    };
    if let Some(value) = number(&text) {
        let unit = units.contains(&scan.word(end));
        return Some((value, end + usize::from(unit)));
    }
    let bare = units.iter().find_map(|unit| text.strip_suffix(unit))?;
    Some((number(bare)?, end))
}

fn ohms(scan: &Scan<'_>, at: usize) -> Option<(String, usize)> {
    with_unit(scan, at, &["ohms", "ohm", "\u{3c9}", "\u{2126}"])
}

/// `ring .51 .52 .84`; strokes or commas may stand between.
fn ring(scan: &Scan<'_>, at: usize) -> Option<(Value, usize)> {
    if let Some(found) = named_ring(scan, at) {
        return Some(found);
    }
    if let [a, b, c] = scan.word(at).split('/').collect::<Vec<_>>()[..]
        && let (Some(a), Some(b), Some(c)) = (number(a), number(b), number(c))
    {
        return Some((Value::Ring([a, b, c]), at + 1));
    }
    let skip = |at: usize| at + usize::from(matches!(scan.word(at), "," | "/"));
    let (a, end) = ohms(scan, at)?;
    let (b, end) = ohms(scan, skip(end))?;
    let (c, end) = ohms(scan, skip(end))?;
    Some((Value::Ring([a, b, c]), end))
}

/// `r1 .51 rn .51 r2 .84`: the ends of a ring with each conductor named, in this order.
fn named_ring(scan: &Scan<'_>, at: usize) -> Option<(Value, usize)> {
    let mut at = at;
    let mut of = |name: &str| {
        at += usize::from(scan.word(at) == ",");
        (scan.word(at) == name).then_some(())?;
        let (value, end) = ohms(scan, skip_equals(scan, at + 1))?;
        at = end;
        Some(value)
    };
    let values = [of("r1")?, of("rn")?, of("r2")?];
    Some((Value::Ring(values), at))
}

const MEGOHMS: [&str; 5] = ["mohm", "mohms", "meg", "m\u{3c9}", "m\u{2126}"];

/// `IR >200 @500`, `IR L-N >200`, `IR 200+ L-N @ 250 v`.
fn insulation(scan: &Scan<'_>, at: usize) -> Option<(Value, usize)> {
    let between = |at: usize| match scan.word(at) {
        "l-n" | "l/n" | "l-l" => Some((Live::ToLive, at + 1)),
        "l-e" | "l/e" | "n-e" | "n/e" => Some((Live::ToEarth, at + 1)),
        _ => None,
    };
    let mut kind = between(at);
    let from = kind.map_or(at, |(_, end)| skip_equals(scan, end));
    let (value, mut end) = with_unit(scan, from, &MEGOHMS)?;
    let mut volts = None;
    for _ in 0..2 {
        if kind.is_none()
            && let Some(found) = between(end)
        {
            kind = Some(found);
            end = found.1;
        } else if volts.is_none()
            && let Some((found, after)) = test_voltage(scan, end)
        {
            volts = Some(found);
            end = after;
        }
    }
    let value = match kind {
        Some((Live::ToLive, _)) => Value::LiveToLive(value, volts),
        _ => Value::LiveToEarth(value, volts),
    };
    Some((value, end))
}

#[derive(Clone, Copy)]
enum Live {
    ToLive,
    ToEarth,
}

fn test_voltage(scan: &Scan<'_>, at: usize) -> Option<(String, usize)> {
    if !matches!(scan.word(at), "@" | "at") {
        return None;
    }
    let (volts, end) = with_unit(scan, at + 1, &["v", "volts", "volt"])?;
    volts
        .bytes()
        .all(|b| b.is_ascii_digit())
        .then_some((volts, end))
}

/// `rcd 30mA 24ms` in either order; a figure without its unit may be either and is not read.
fn rcd(scan: &Scan<'_>, at: usize) -> Option<(Value, usize)> {
    let (mut current, mut time) = (None, None);
    let mut end = at;
    while current.is_none() || time.is_none() {
        let next = if matches!(scan.word(end), "@" | ",") {
            end + 1
        } else {
            end
        };
        if current.is_none()
            && let Some((value, after)) = in_unit(scan, next, "ma")
            // What a device is rated at is one figure; only what is measured is above or below one.
            && value.starts_with(|c: char| c.is_ascii_digit())
        {
            current = Some(value);
            end = after;
        } else if time.is_none()
            && let Some((value, after)) = in_unit(scan, next, "ms")
        {
            time = Some(value);
            end = after;
        } else {
            break;
        }
    }
    (current.is_some() || time.is_some()).then_some((Value::Rcd(current, time), end))
}

fn in_unit(scan: &Scan<'_>, at: usize, unit: &str) -> Option<(String, usize)> {
    let word = scan.word(at);
    if let Some(value) = word.strip_suffix(unit).and_then(number) {
        return Some((value, at + 1));
    }
    let value = number(word).filter(|_| scan.word(at + 1) == unit)?;
    Some((value, at + 2))
}
