//! A line of readings: the circuit, the device and the measured values, as text.

use std::ops::Range;

use super::line::Scan;
use super::note::Value;
use super::quantity::{is_quantity, number, skip_equals, value, value_of};
use super::vocabulary::is_filler;

/// What a line measures.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MeasuredLine {
    /// The words before the first value or device.
    pub circuit: Option<String>,
    /// Type and rating.
    pub device: Option<Device>,
    /// The values, in the order typed; never empty but for a line that a reading follows.
    pub values: Vec<Value>,
    /// Whether every word was read.
    pub whole: bool,
}

/// Reads a line of readings. `None` where no quantity with a value stands on it.
pub fn read(scan: &mut Scan<'_>) -> Option<MeasuredLine> {
    let line = any(scan)?;
    (!line.values.is_empty()).then_some(line)
}

/// A line that ends in its device and measures nothing: the head of the readings below it, where there are any.
pub fn head(scan: &mut Scan<'_>) -> Option<MeasuredLine> {
    let last = (0..scan.len())
        .find(|at| device_at(scan, *at).is_some_and(|(_, end)| end == scan.len()))?;
    // `zs high 1.84 B32` would measure something, and is not read: no name of a circuit.
    if is_quantity(scan.word(0)) && (1..last).any(|at| number(scan.word(at)).is_some()) {
        return None;
    }
    any(scan).filter(|line| line.values.is_empty() && line.circuit.is_some() && line.whole)
}

/// Whether a figure stands beside a quantity's name, even one that is no value: `zs 1.3x`.
pub fn is_meant(scan: &Scan<'_>) -> bool {
    (0..scan.len())
        .filter(|at| is_quantity(scan.word(*at)))
        .any(|at| {
            let word = scan.word(skip_equals(scan, at + 1));
            word.trim_start_matches(['.', '>'])
                .starts_with(|c: char| c.is_ascii_digit())
        })
}

fn any(scan: &mut Scan<'_>) -> Option<MeasuredLine> {
    let mut line = MeasuredLine {
        circuit: None,
        device: None,
        values: Vec::new(),
        whole: false,
    };
    let mut first = None;
    let mut at = 0;
    while at < scan.len() {
        let end = if let Some((value, end)) = value(scan, at) {
            line.values.push(value);
            end
        } else if line.device.is_none()
            && let Some((found, end)) = device_at(scan, at)
        {
            line.device = Some(found);
            end
        } else {
            at += 1;
            continue;
        };
        scan.claim(at..end);
        first.get_or_insert(at);
        at = end;
    }
    let name_from = name_after_quantity(scan, first.unwrap_or(scan.len()));
    if let Some((value, name, end)) = name_from {
        line.values.insert(0, value);
        scan.claim(0..1);
        scan.claim(name.end..end);
        line.circuit = Some(scan.joined(&name.clone().collect::<Vec<_>>()));
        scan.claim(name);
        line.whole = rest_is_read(scan, 0);
        merge_insulation(&mut line.values);
        return Some(line);
    }
    let first = first?;
    let mut words: Vec<usize> = (0..first).collect();
    let mark = |at: &usize| matches!(scan.word(*at), "," | ";" | ":" | "." | "-" | "@" | "=");
    while words.last().is_some_and(mark) {
        words.pop();
    }
    // `Tested: heater B32`: the list's own head is no part of a circuit's name.
    if matches!(scan.word(0), "tested" | "tests" | "readings" | "results") && scan.word(1) == ":" {
        words.drain(..words.len().min(2));
    }
    let front = words.iter().take_while(|at| mark(at)).count();
    words.drain(..front);
    line.circuit = (!words.is_empty()).then(|| scan.joined(&words));
    line.whole = rest_is_read(scan, first);
    merge_insulation(&mut line.values);
    Some(line)
}

fn rest_is_read(scan: &Scan<'_>, from: usize) -> bool {
    (from..scan.len()).all(|at| scan.is_claimed(at) || is_filler(scan.word(at)))
}

/// Most words of a circuit's name between a quantity and its value.
const LONGEST_NAME: usize = 4;

/// `zs heater 1.84`: a quantity at the head of a line, a circuit's name in words alone, and the quantity's value. Gives
/// the value, the words of the name, and the word after the value. `first` is the first word read otherwise.
fn name_after_quantity(scan: &Scan<'_>, first: usize) -> Option<(Value, Range<usize>, usize)> {
    if !is_quantity(scan.word(0)) || first == 0 {
        return None;
    }
    let start = skip_equals(scan, 1);
    let in_words = |at: &usize| {
        let word = scan.word(*at);
        !is_filler(word)
            && word
                .chars()
                .all(|c| c.is_alphabetic() || matches!(c, '-' | '/' | '\''))
    };
    let name = (start..first.min(start + LONGEST_NAME))
        .take_while(in_words)
        .count();
    let end = start + name;
    if name == 0 || end >= first {
        return None;
    }
    let at = match scan.word(end) {
        "-" => end + 1,
        _ => skip_equals(scan, end),
    };
    let (value, end) = value_of(scan, 0, at)?;
    // `zs old board 1 way`: a value says itself to be one by its point, its unit or its sign.
    let plain = scan.word(at).bytes().all(|b| b.is_ascii_digit()) && end == at + 1;
    (!plain).then_some((value, start..start + name, end))
}

/// A device's type and rating.
type Device = (String, String);

/// The device at a word, and the word after it: `B32`, `b32a`, `32a type b`, `type b 32 amp`. A rating or a type alone
/// stays with the words round it.
fn device_at(scan: &Scan<'_>, at: usize) -> Option<(Device, usize)> {
    if let Some(found) = device(scan.word(at)) {
        return Some((found, past_amperes(scan, at + 1)));
    }
    if let Some((kind, end)) = named_type(scan, at) {
        if let Some(found) = device(scan.word(end)).filter(|(of, _)| *of == kind) {
            return Some((found, past_amperes(scan, end + 1)));
        }
        let (rating, end) = rating(scan, end)?;
        return Some(((kind, rating), end));
    }
    let (rating, end) = amperes(scan, at)?;
    let (kind, end) = named_type(scan, end)?;
    // An RCD of type B is another thing than a breaker of type B.
    (!matches!(scan.word(end), "rcd" | "rccb")).then_some(((kind, rating), end))
}

/// `type b`.
fn named_type(scan: &Scan<'_>, at: usize) -> Option<(String, usize)> {
    let kind = scan.word(at + 1);
    let named = scan.word(at) == "type" && matches!(kind, "b" | "c" | "d");
    named.then(|| (kind.to_ascii_uppercase(), at + 2))
}

/// A rating with its unit: `32a`, `32 amp`.
fn amperes(scan: &Scan<'_>, at: usize) -> Option<(String, usize)> {
    let word = scan.word(at);
    let bare = AMPERES.iter().find_map(|unit| word.strip_suffix(unit));
    let (figures, end) = match bare {
        Some(figures) => (figures, at + 1),
        None => (word, past_amperes(scan, at + 1)),
    };
    (is_rating(figures) && (bare.is_some() || end > at + 1)).then(|| (figures.to_owned(), end))
}

/// A rating with its unit or without.
fn rating(scan: &Scan<'_>, at: usize) -> Option<(String, usize)> {
    let bare = || is_rating(scan.word(at)).then(|| (scan.word(at).to_owned(), at + 1));
    amperes(scan, at).or_else(bare)
}

const AMPERES: [&str; 3] = ["amps", "amp", "a"];

fn past_amperes(scan: &Scan<'_>, at: usize) -> usize {
    at + usize::from(matches!(scan.word(at), "amps" | "amp"))
}

fn is_rating(figures: &str) -> bool {
    (1..=3).contains(&figures.len())
        && figures.bytes().all(|b| b.is_ascii_digit())
        && !figures.starts_with('0')
}

/// `B6`, `C16`, `b32a`: a type and a rating of 6 or more, so that C1 to C3 stay codes.
fn device(word: &str) -> Option<Device> {
    let kind = word
        .chars()
        .next()
        .filter(|c| matches!(c, 'b' | 'c' | 'd'))?;
    let rating = &word[1..];
    let rating = AMPERES
        .iter()
        .find_map(|unit| rating.strip_suffix(unit))
        .unwrap_or(rating);
    let large = rating.parse::<u16>().is_ok_and(|amperes| amperes >= 6);
    (is_rating(rating) && large).then(|| (kind.to_ascii_uppercase().to_string(), rating.to_owned()))
}

/// One test voltage typed for both insulation values of a line goes with both.
fn merge_insulation(values: &mut [Value]) {
    let volts = values.iter().find_map(|value| match value {
        Value::LiveToEarth(_, volts) | Value::LiveToLive(_, volts) => volts.clone(),
        _ => None,
    });
    for value in values {
        if let Value::LiveToEarth(_, at) | Value::LiveToLive(_, at) = value
            && at.is_none()
        {
            at.clone_from(&volts);
        }
    }
}

impl Value {
    /// Whether two values are of one quantity, so that one reading cannot hold both.
    pub fn same_quantity(&self, other: &Value) -> bool {
        std::mem::discriminant(self) == std::mem::discriminant(other)
    }

    /// Whether it is measured at the origin of the installation.
    pub fn is_of_the_origin(&self) -> bool {
        matches!(self, Value::Ze(_) | Value::Pfc(_))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jot::line::Line;

    fn line(text: &str) -> Option<MeasuredLine> {
        let line = Line::new(1, text);
        read(&mut Scan::new(&line))
    }

    #[test]
    fn a_line_gives_circuit_device_and_values() {
        let read =
            line("kitchen ring B32 ring .51 .52 .84 zs 0.71 rcd 30mA 22ms").expect("readings");
        assert_eq!(read.circuit.as_deref(), Some("kitchen ring"));
        assert_eq!(read.device, Some(("B".to_owned(), "32".to_owned())));
        let text = |t: &str| t.to_owned();
        assert_eq!(
            read.values,
            [
                Value::Ring([text("0.51"), text("0.52"), text("0.84")]),
                Value::Zs(text("0.71")),
                Value::Rcd(Some(text("30")), Some(text("22"))),
            ]
        );
        assert!(read.whole);
    }

    #[test]
    fn a_circuit_may_be_named_between_a_quantity_and_its_value() {
        let read = line("zs heater 1.84 B32").expect("a reading");
        assert_eq!(read.circuit.as_deref(), Some("heater"));
        assert_eq!(read.device, Some(("B".to_owned(), "32".to_owned())));
        assert_eq!(read.values, [Value::Zs("1.84".to_owned())]);
        assert!(read.whole);
        let read = line("IR Water-heater >200 @500 zs 1.2").expect("a reading");
        assert_eq!(read.circuit.as_deref(), Some("Water-heater"));
        assert_eq!(
            read.values,
            [
                Value::LiveToEarth(">200".into(), Some("500".into())),
                Value::Zs("1.2".into())
            ]
        );
        for text in ["zs heater high", "zs heater 3 of 4", "rcd upstairs 24"] {
            assert_eq!(line(text), None, "{text}");
        }
    }

    #[test]
    fn a_device_is_a_type_and_a_rating_in_either_order() {
        let read = |text: &str| {
            let read = line(&format!("{text} zs 0.71")).expect("a reading");
            assert!(read.whole, "{text}");
            (read.circuit.unwrap_or_default(), read.device)
        };
        let device = |kind: &str, rating: &str| Some((kind.to_owned(), rating.to_owned()));
        for text in [
            "kitchen ring b32",
            "kitchen ring B32A",
            "kitchen ring b32 amp",
            "kitchen ring 32a type b",
            "kitchen ring 32A Type B",
            "kitchen ring 32 amps type b",
            "kitchen ring type b 32a",
            "kitchen ring, type b 32",
            "kitchen ring type b b32",
        ] {
            assert_eq!(
                read(text),
                ("kitchen ring".to_owned(), device("B", "32")),
                "{text}"
            );
        }
        assert_eq!(
            read("lamp 3a type c"),
            ("lamp".to_owned(), device("C", "3"))
        );
        // A rating or a type alone is part of the name; so is what may be no device.
        for text in [
            "shower 40a",
            "board type b",
            "flat b 32",
            "pump type b c32x",
            "charger 40a type b rccb",
            "charger 400000a type b",
        ] {
            assert_eq!(read(text), (text.to_owned(), None), "{text}");
        }
    }

    #[test]
    fn the_head_of_a_list_is_no_part_of_a_circuit() {
        let circuit = |text: &str| line(text).and_then(|line| line.circuit);
        assert_eq!(
            circuit("Tested: compressor C20 zs 0.74").as_deref(),
            Some("compressor")
        );
        assert_eq!(circuit("Readings: zs 0.74"), None);
        assert_eq!(
            circuit("tested pump zs 0.74").as_deref(),
            Some("tested pump")
        );
    }

    #[test]
    fn a_measured_value_that_is_not_read_is_no_circuit() {
        let head = |text: &str| {
            let line = Line::new(1, text);
            head(&mut Scan::new(&line)).and_then(|line| line.circuit)
        };
        assert_eq!(head("zs up the long yard 1.84 B32"), None);
        assert_eq!(head("zs 2 heater B32"), None);
        assert_eq!(head("heater 2 B32").as_deref(), Some("heater 2"));
        assert_eq!(head("ring B32").as_deref(), Some("ring"));
        assert_eq!(head("ring 32a type b").as_deref(), Some("ring"));
        assert_eq!(head("ring type b"), None);
        assert_eq!(head("zs 2 heater 32a type b"), None);
    }

    #[test]
    fn values_are_read_in_every_form() {
        for (text, value) in [
            ("zs 1.32", Value::Zs("1.32".into())),
            ("Zs = 1.32ohm", Value::Zs("1.32".into())),
            ("zs: 1.32 ohms", Value::Zs("1.32".into())),
            ("zs lim", Value::Zs("LIM".into())),
            ("ze .21", Value::Ze("0.21".into())),
            ("r1+r2 .42", Value::R1R2("0.42".into())),
            ("r1r2 .42", Value::R1R2("0.42".into())),
            ("IR 200+", Value::LiveToEarth(">200".into(), None)),
            (
                "IR >200 @500v",
                Value::LiveToEarth(">200".into(), Some("500".into())),
            ),
            (
                "IR L-N > 200 @ 250",
                Value::LiveToLive(">200".into(), Some("250".into())),
            ),
            (
                "IR >200 @500 L-N",
                Value::LiveToLive(">200".into(), Some("500".into())),
            ),
            ("rcd 24 ms", Value::Rcd(None, Some("24".into()))),
            (
                "rcd 22ms 30mA",
                Value::Rcd(Some("30".into()), Some("22".into())),
            ),
            ("pfc 1.1kA", Value::Pfc("1.1".into())),
            ("pol ok", Value::Polarity("ok".into())),
        ] {
            let read = line(text).unwrap_or_else(|| panic!("{text}"));
            assert_eq!(read.values, [value], "{text}");
            assert!(read.whole && read.circuit.is_none(), "{text}");
        }
    }

    #[test]
    fn what_measures_nothing_is_no_line_of_readings() {
        for text in [
            "earth rod 21 ohm today",
            "2 C16 mcb",
            "rcd 24",
            "rcd >30mA 22ms",
            "ring the agent",
            "zs high",
            "pol box",
            "pfc 1100a",
        ] {
            assert_eq!(line(text), None, "{text}");
        }
        assert_eq!(device("c3"), None);
        assert!(!line("zs 1.32 far end").expect("a reading").whole);
    }
}
