//! From a YAML tree to typed values: the small steps that every reader of front matter shares.
//!
//! Each step takes a node and gives the value, or `None` with a diagnostic kept. Knows no key by name.

use jiff::civil::{Date, Time};

use crate::diagnose::{Code, Diagnostic, Span, nearest};
use crate::model::{At, LengthError, Measured, Minutes, Money, MoneyError};

use super::keys::Key;
use super::shorten::shorten;
use super::yaml::{Node, Value};
use super::{clock, dates};

/// Collects what is wrong while values are read.
pub struct Reader<'d> {
    /// Everything wrong so far.
    pub faults: &'d mut Vec<Diagnostic>,
}

/// A map whose keys have been checked.
pub struct Fields<'t> {
    entries: &'t [(At<String>, Node)],
    /// Where the map stands.
    pub span: Span,
}

impl<'t> Fields<'t> {
    /// The value of a key, or `None` where the key is absent or empty.
    pub fn get(&self, key: &str) -> Option<&'t Node> {
        self.entry(key).map(|(_, node)| node)
    }

    /// Where a key stands, if it has a value; the map's place otherwise.
    pub fn key_span(&self, key: &str) -> Span {
        self.entry(key).map_or(self.span, |(key, _)| key.span)
    }

    fn entry(&self, key: &str) -> Option<&'t (At<String>, Node)> {
        self.entries
            .iter()
            .find(|(name, node)| name.value == key && !node.is_empty())
    }
}

impl Reader<'_> {
    /// Keeps an error.
    pub fn error(
        &mut self,
        code: Code,
        span: Span,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.faults
            .push(Diagnostic::error(code, span, message, help));
    }

    /// Keeps a warning.
    pub fn warning(
        &mut self,
        code: Code,
        span: Span,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.faults
            .push(Diagnostic::warning(code, span, message, help));
    }

    /// A map with only known keys; unknown keys and keys without a value are told. `what` names it: `a visit`.
    pub fn fields<'t>(&mut self, node: &'t Node, what: &str, keys: &[Key]) -> Option<Fields<'t>> {
        let Value::Map(entries) = &node.value else {
            self.wrong_shape(
                node,
                &format!("{what} is written as keys with values"),
                &example(keys),
            );
            return None;
        };
        for (key, value) in entries {
            if !keys.iter().any(|known| known.name == key.value) {
                self.unknown_key(key, value, what, keys);
            } else if value.is_empty() {
                self.warning(
                    Code::EmptyValue,
                    key.span,
                    format!("{} has no value", key.value),
                    "Write one, or delete the key.",
                );
            }
        }
        Some(Fields {
            entries,
            span: node.span,
        })
    }

    fn unknown_key(&mut self, key: &At<String>, value: &Node, what: &str, keys: &[Key]) {
        let name = shorten(&key.value);
        let help = match nearest(&key.value, names(keys)) {
            Some(near) => format!("Write {near}."),
            // `zs: 0,82` and `labour: 1,200.00`: the comma began a new key.
            None if value.is_empty() && key.value.chars().all(|c| c.is_ascii_digit() || c == '.') => {
                "Inside brackets a comma begins a new key: write 0.82, not 0,82, and 1200.00, not 1,200.00.".to_owned()
            }
            // `{what: sockets, two of them}`: the comma began a new key.
            None if value.is_empty() => {
                "Text that holds a comma goes in quotes inside brackets.".to_owned()
            }
            None => {
                let names: Vec<&str> = names(keys).collect();
                format!("The keys of {what} are {}.", names.join(", "))
            },
        };
        self.error(
            Code::UnknownKey,
            key.span,
            format!("there is no key called {name} in {what}"),
            help,
        );
    }

    fn wrong_shape(&mut self, node: &Node, message: &str, help: &str) {
        self.error(
            Code::WrongShape,
            node.span,
            format!("{message}, and this is {}", node.shape()),
            help,
        );
    }

    /// A required value; its absence is told at `span`.
    pub fn required<'t>(
        &mut self,
        fields: &Fields<'t>,
        key: &str,
        what: &str,
        span: Span,
        help: &str,
    ) -> Option<&'t Node> {
        let found = fields.get(key);
        if found.is_none() {
            self.error(Code::MissingKey, span, format!("{what} has no {key}"), help);
        }
        found
    }

    /// Text, its runs of spaces and line ends folded.
    pub fn text(&mut self, node: &Node) -> Option<At<String>> {
        let (text, _) = self.scalar(node, "text")?;
        Some(At::new(
            text.split_whitespace().collect::<Vec<_>>().join(" "),
            node.span,
        ))
    }

    /// The written text of one value, and whether it is without quotes.
    fn scalar<'t>(&mut self, node: &'t Node, wanted: &str) -> Option<(&'t str, bool)> {
        match &node.value {
            Value::Scalar { text, plain } => Some((text.trim(), *plain)),
            _ => {
                let help = if wanted == "text" {
                    "Write one value after the colon; text that begins with [ or { goes in quotes."
                } else {
                    "Write one value after the colon."
                };
                self.wrong_shape(node, &format!("{wanted} belongs here"), help);
                None
            }
        }
    }

    /// A list; a single value is told as such.
    pub fn list<'t>(&mut self, node: &'t Node, help: &str) -> &'t [Node] {
        match &node.value {
            Value::List(items) => items,
            _ => {
                self.wrong_shape(node, "a list belongs here", help);
                &[]
            }
        }
    }

    /// A list of texts; empty items are told.
    pub fn texts(&mut self, node: &Node) -> Vec<At<String>> {
        self.list(
            node,
            "Write them in brackets with commas between: [one, two].",
        )
        .iter()
        .filter_map(|item| self.text(item))
        .filter(|text| !text.is_empty())
        .collect()
    }

    /// `true` or `false`, and nothing that merely looks like it.
    pub fn truth(&mut self, node: &Node) -> Option<bool> {
        let (text, plain) = self.scalar(node, "true or false")?;
        match (text, plain) {
            ("true", true) => Some(true),
            ("false", true) => Some(false),
            _ => {
                self.error(
                    Code::UnknownWord,
                    node.span,
                    format!("{} is neither true nor false", shorten(text)),
                    "Write true or false.",
                );
                None
            }
        }
    }

    /// One of a few words.
    pub fn word<T: Copy>(&mut self, node: &Node, what: &str, words: &[(&str, T)]) -> Option<At<T>> {
        let (text, _) = self.scalar(node, what)?;
        if let Some((_, value)) = words.iter().find(|(word, _)| *word == text) {
            return Some(At::new(*value, node.span));
        }
        let all: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
        // A code of two letters is near to every other: which is meant is not ours to guess.
        let near = match all.iter().find(|word| word.eq_ignore_ascii_case(text)) {
            Some(same) => Some(*same),
            None if text.chars().count() > 3 => nearest(text, all.iter().copied()),
            None => None,
        };
        let help = match near {
            Some(near) => format!("Write {near}."),
            None => format!("Write one of {}.", all.join(", ")),
        };
        self.error(
            Code::UnknownWord,
            node.span,
            format!("{} is no {what}", shorten(text)),
            help,
        );
        None
    }

    /// An ISO date.
    pub fn date(&mut self, node: &Node) -> Option<At<Date>> {
        let (text, _) = self.scalar(node, "a date")?;
        match dates::read(text) {
            Ok(date) => Some(At::new(date, node.span)),
            Err((message, help)) => {
                self.error(Code::BadDate, node.span, message, help);
                None
            }
        }
    }

    /// A clock time, `8:15` or `08:15`.
    pub fn clock(&mut self, node: &Node) -> Option<At<Time>> {
        let (text, _) = self.scalar(node, "a clock time")?;
        match clock::read(text) {
            Some(time) => Some(At::new(time, node.span)),
            None => {
                let help = match clock::suggest(text) {
                    Some(time) => format!("Write {time}."),
                    None => {
                        "Write hours, a colon and two figures of minutes: 8:15 or 17:00.".to_owned()
                    }
                };
                self.error(
                    Code::BadClock,
                    node.span,
                    format!("{} is no clock time", shorten(text)),
                    help,
                );
                None
            }
        }
    }

    /// A length of time, `45m`, `2h15`, `1.5h`.
    pub fn length(&mut self, node: &Node) -> Option<At<Minutes>> {
        let (text, _) = self.scalar(node, "a length of time")?;
        let error = match Minutes::from_length_text(text) {
            Ok(minutes) => return Some(At::new(minutes, node.span)),
            Err(error) => error,
        };
        let typed = shorten(text);
        let (message, help) = match error {
            LengthError::LooksLikeClock(Some(meant)) => (
                format!("{typed} reads as a time on the clock, and a length belongs here"),
                format!("Write {} for that long.", meant.to_length_text()),
            ),
            LengthError::NoUnit => (
                format!("{typed} could be minutes or hours"),
                // Nobody is on site for thirteen hours without writing them otherwise.
                if text.parse::<f64>().is_ok_and(|number| number > 12.0) {
                    format!("Write {typed}m for minutes.")
                } else {
                    format!("Write {typed}m or {typed}h.")
                },
            ),
            LengthError::TooManyMinutes => (
                format!("{typed} has more than 59 minutes after its hours"),
                "Carry the hour over: 2h15 rather than 1h75.".to_owned(),
            ),
            LengthError::TooLong => (
                format!("{typed} is longer than a week"),
                "Give each attendance as a visit of its own.".to_owned(),
            ),
            LengthError::PartOfAMinute => (
                format!("{typed} is not a whole number of minutes"),
                "Write hours and minutes: 1h20.".to_owned(),
            ),
            LengthError::Empty | LengthError::LooksLikeClock(None) | LengthError::NotALength => (
                format!("{typed} is no length of time"),
                "Write 45m, 2h, 2h15 or 1.5h.".to_owned(),
            ),
        };
        self.error(Code::BadLength, node.span, message, help);
        None
    }

    /// An amount of money.
    pub fn money(&mut self, node: &Node) -> Option<At<Money>> {
        let (text, _) = self.scalar(node, "an amount of money")?;
        let error = match Money::from_text(text) {
            Ok(money) => return Some(At::new(money, node.span)),
            Err(error) => error,
        };
        let typed = shorten(text);
        let help = match error {
            MoneyError::OneFigure => format!("Write {text}0 if that is meant."),
            MoneyError::Negative => {
                "Write what was charged; an allowance comes off the amount itself.".to_owned()
            }
            _ => "Write an amount such as 504.00 or 1,504.00.".to_owned(),
        };
        self.error(
            Code::BadMoney,
            node.span,
            format!("{typed} is no amount of money: {error}"),
            help,
        );
        None
    }

    /// A number between two bounds.
    pub fn number(&mut self, node: &Node, what: &str, low: f64, high: f64) -> Option<At<f64>> {
        let (text, _) = self.scalar(node, "a number")?;
        let number = plain_number(text);
        match number {
            Some(number) if (low..=high).contains(&number) => Some(At::new(number, node.span)),
            Some(_) => {
                self.error(
                    Code::BadNumber,
                    node.span,
                    format!("{} is out of range for {what}", shorten(text)),
                    format!("Write a number from {low} to {high}."),
                );
                None
            }
            None => {
                self.error(
                    Code::BadNumber,
                    node.span,
                    format!(
                        "{what} is written in figures, and this is {}",
                        shorten(text)
                    ),
                    "Write figures only, with a point for parts: 12 or 2.5.",
                );
                None
            }
        }
    }

    /// A measured value: a number, `>200` or `LIM`.
    pub fn measured(&mut self, node: &Node) -> Option<At<Measured>> {
        let (text, _) = self.scalar(node, "a measured value")?;
        if text.eq_ignore_ascii_case("lim") {
            return Some(At::new(Measured::Limitation, node.span));
        }
        let (above, figures) = match text.strip_prefix('>') {
            Some(rest) => (true, rest.trim_start()),
            None => (false, text),
        };
        match plain_number(figures) {
            Some(value) if (0.0..=1e6).contains(&value) => {
                let measured = if above {
                    Measured::Above {
                        value,
                        text: format!(">{figures}"),
                    }
                } else {
                    Measured::Number {
                        value,
                        text: figures.to_owned(),
                    }
                };
                Some(At::new(measured, node.span))
            }
            _ => {
                self.error(
                    Code::BadReading,
                    node.span,
                    format!("{} is no reading", shorten(text)),
                    "Write a number without its unit, \">200\" in quotes for more than the tester shows, or LIM.",
                );
                None
            }
        }
    }
}

/// Figures with at most one point; no exponent, no sign, no `inf`.
fn plain_number(text: &str) -> Option<f64> {
    let well_formed = !text.is_empty()
        && text.len() <= 18
        && text.bytes().all(|b| b.is_ascii_digit() || b == b'.')
        && text.bytes().any(|b| b.is_ascii_digit());
    if !well_formed {
        return None;
    }
    text.parse().ok()
}

fn names(keys: &[Key]) -> impl Iterator<Item = &'static str> {
    keys.iter().map(|key| key.name)
}

/// A first line that shows the shape: `Write {date: …, from: …}.`
fn example(keys: &[Key]) -> String {
    let shown: Vec<String> = names(keys).take(3).map(|key| format!("{key}: …")).collect();
    format!(
        "Write {{{}}}, or one key a line, stepped in.",
        shown.join(", ")
    )
}
