//! Spoken numbers, times, lengths and amounts in the form that notes are typed in: `half past eight` is `8.30`,
//! `two hours and ten minutes` is `2h10`. Cuts nothing and knows no task.

use std::ops::Range;

use super::numerals::small;

/// Words in typed form, with the bytes of the words said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// As it would be typed.
    pub text: String,
    /// The bytes of what was said.
    pub range: Range<usize>,
}

/// A run of words in typed form; a word that is no number keeps its case. `low` is the run in small letters, `words`
/// its words.
pub fn typed(run: &str, low: &str, words: &[Range<usize>]) -> Vec<Said> {
    let reader = Reader { low, words };
    let mut out = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let (text, end) = reader
            .phrase(at)
            .unwrap_or_else(|| (run[words[at].clone()].to_owned(), at + 1));
        out.push(Said {
            text,
            range: words[at].start..words[end - 1].end,
        });
        at = end;
    }
    out
}

/// The words of a run.
pub(super) struct Reader<'a> {
    low: &'a str,
    words: &'a [Range<usize>],
}

type Phrase = (String, usize);

impl Reader<'_> {
    pub(super) fn word(&self, at: usize) -> &str {
        self.words
            .get(at)
            .map_or("", |range| &self.low[range.clone()])
    }

    fn is(&self, at: usize, words: &[&str]) -> bool {
        words
            .iter()
            .enumerate()
            .all(|(index, word)| self.word(at + index) == *word)
    }

    /// The longest phrase that begins at a word, in typed form, and the word after it.
    fn phrase(&self, at: usize) -> Option<Phrase> {
        self.parts_of_an_hour(at)
            .or_else(|| self.clock(at))
            .or_else(|| self.amount(at))
            .or_else(|| self.letters(at))
            .or_else(|| self.ordinal(at))
            .or_else(|| self.number_alone(at))
    }

    /// `half an hour`, `three quarters of an hour`, `an hour and a half`.
    fn parts_of_an_hour(&self, at: usize) -> Option<Phrase> {
        let fixed: [(&[&str], &str); 6] = [
            (&["half", "an", "hour"], "30m"),
            (&["a", "quarter", "of", "an", "hour"], "15m"),
            (&["quarter", "of", "an", "hour"], "15m"),
            (&["three", "quarters", "of", "an", "hour"], "45m"),
            (&["an", "hour", "and", "a", "half"], "1h30"),
            (&["an", "hour", "and", "a", "quarter"], "1h15"),
        ];
        if let Some((words, text)) = fixed.iter().find(|(words, _)| self.is(at, words)) {
            return Some(((*text).to_owned(), at + words.len()));
        }
        if self.is(at, &["an", "hour"]) {
            let (minutes, end) = self.minutes_after(at + 2).unwrap_or((0, at + 2));
            return Some((length(1, minutes), end));
        }
        let (n, end) = self.number(at)?;
        if self.is(end, &["and", "a", "half", "hours"]) {
            return Some((length(n, 30), end + 4));
        }
        if matches!(self.word(end), "hour" | "hours") {
            let after = end + 1;
            if self.is(after, &["and", "a", "half"]) {
                return Some((length(n, 30), after + 3));
            }
            if self.is(after, &["and", "a", "quarter"]) {
                return Some((length(n, 15), after + 3));
            }
            let (minutes, end) = self.minutes_after(after).unwrap_or((0, after));
            return Some((length(n, minutes), end));
        }
        matches!(self.word(end), "minute" | "minutes" | "mins").then(|| (format!("{n}m"), end + 1))
    }

    /// Minutes after hours: `and ten minutes`, `ten minutes`, `fifteen`.
    fn minutes_after(&self, at: usize) -> Option<(i64, usize)> {
        let from = at + usize::from(self.word(at) == "and");
        let (minutes, end) = self
            .number(from)
            .filter(|(minutes, _)| (1..60).contains(minutes))?;
        if matches!(self.word(end), "minute" | "minutes" | "mins") {
            return Some((minutes, end + 1));
        }
        (from == at && minutes >= 10 && minutes % 5 == 0 && end == from + 1)
            .then_some((minutes, end))
    }

    /// `half past eight`, `quarter to five`, `ten past nine`, `nine o'clock`, `midday`.
    fn clock(&self, at: usize) -> Option<Phrase> {
        if self.word(at) == "midday" {
            return Some(("noon".to_owned(), at + 1));
        }
        let from = at + usize::from(self.word(at) == "a" && self.word(at + 1) == "quarter");
        let (minutes, after) = match self.word(from) {
            "half" => (30, from + 1),
            "quarter" => (15, from + 1),
            _ => self.number(from)?,
        };
        if self.word(after) == "past"
            && let Some((hour, end)) = self.hour(after + 1).filter(|_| minutes < 60)
        {
            return Some((format!("{hour}.{minutes:02}"), end));
        }
        // `ten to twelve` may be two clocks; a quarter and twenty are minutes.
        let certain = self.word(from) == "quarter" || matches!(minutes, 20 | 25);
        if self.word(after) == "to"
            && certain
            && let Some((hour, end)) = self.hour(after + 1)
        {
            let hour = if hour == 1 { 12 } else { hour - 1 };
            return Some((format!("{hour}.{:02}", 60 - minutes), end));
        }
        let (hour, end) = self.hour(from)?;
        if matches!(self.word(end), "o'clock" | "o\u{2019}clock" | "oclock") {
            return Some((hour.to_string(), end + 1));
        }
        self.hour_and_minutes(from, hour, end)
    }

    /// `nine fifteen`, where the words round it say that it is a clock.
    fn hour_and_minutes(&self, at: usize, hour: i64, end: usize) -> Option<Phrase> {
        let oh = usize::from(matches!(self.word(end), "oh" | "o"));
        let (minutes, after) = self.number(end + oh)?;
        let shaped = if oh == 1 {
            minutes < 10
        } else {
            (10..60).contains(&minutes) && minutes % 5 == 0
        };
        let before = at.checked_sub(1).map_or("", |before| self.word(before));
        let around = matches!(
            before,
            "from" | "at" | "arrived" | "till" | "til" | "until" | "to" | "left"
        ) || matches!(
            self.word(after),
            "till" | "til" | "until" | "to" | "am" | "pm"
        );
        (shaped && around).then(|| (format!("{hour}.{minutes:02}"), after))
    }

    fn hour(&self, at: usize) -> Option<(i64, usize)> {
        self.number(at).filter(|(hour, _)| (1..=23).contains(hour))
    }

    /// `four pounds fifty`, `eighty pence`, `nought point seven one`, `greater than two hundred`.
    fn amount(&self, at: usize) -> Option<Phrase> {
        if self.is(at, &["greater", "than"]) || self.is(at, &["more", "than"]) {
            let (n, end) = self.number(at + 2)?;
            return Some((format!(">{n}"), end));
        }
        if self.word(at) == "point"
            && let Some((digits, end)) = self.digits_after_a_point(at + 1)
        {
            return Some((format!(".{digits}"), end));
        }
        let (n, end) = self.number(at)?;
        match self.word(end) {
            "pounds" | "pound" => {
                let and = usize::from(self.word(end + 1) == "and");
                let pence = self
                    .number(end + 1 + and)
                    .filter(|(pence, _)| (1..100).contains(pence));
                match pence {
                    // `four pounds fifty`; in `four pounds two sockets` the two counts what follows.
                    Some((pence, after)) if self.word(after) == "pence" => {
                        Some((format!("\u{a3}{n}.{pence:02}"), after + 1))
                    }
                    Some((pence, after)) if pence >= 10 && and == 0 => {
                        Some((format!("\u{a3}{n}.{pence:02}"), after))
                    }
                    _ => Some((format!("\u{a3}{n}"), end + 1)),
                }
            }
            "pence" => Some((format!("{n}p"), end + 1)),
            "point" => {
                let (digits, end) = self.digits_after_a_point(end + 1)?;
                Some((format!("{n}.{digits}"), end))
            }
            _ => None,
        }
    }

    fn digits_after_a_point(&self, at: usize) -> Option<(String, usize)> {
        let mut digits = String::new();
        let mut at = at;
        while digits.len() < 3
            && let Some(digit) = small(self.word(at)).filter(|n| *n < 10)
        {
            digits.push_str(&digit.to_string());
            at += 1;
        }
        (!digits.is_empty()).then_some((digits, at))
    }

    /// Letters said one by one: `c two`, `f i`, `z s`.
    fn letters(&self, at: usize) -> Option<Phrase> {
        match (self.word(at), self.word(at + 1)) {
            ("c", next) => {
                let n = small(next).filter(|n| (1..=3).contains(n))?;
                Some((format!("C{n}"), at + 2))
            }
            ("f", "i") => Some(("FI".to_owned(), at + 2)),
            ("z" | "zed", "s") => Some(("zs".to_owned(), at + 2)),
            ("a.m", _) => Some(("am".to_owned(), at + 1)),
            ("p.m", _) => Some(("pm".to_owned(), at + 1)),
            _ => None,
        }
    }

    /// `eighteenth`, `twenty first`.
    fn ordinal(&self, at: usize) -> Option<Phrase> {
        const ORDINALS: [&str; 20] = [
            "first",
            "second",
            "third",
            "fourth",
            "fifth",
            "sixth",
            "seventh",
            "eighth",
            "ninth",
            "tenth",
            "eleventh",
            "twelfth",
            "thirteenth",
            "fourteenth",
            "fifteenth",
            "sixteenth",
            "seventeenth",
            "eighteenth",
            "nineteenth",
            "twentieth",
        ];
        let ordinal = |word: &str| {
            let index = ORDINALS.iter().position(|known| *known == word)?;
            Some(index + 1)
        };
        let day = match self.word(at) {
            "thirtieth" => Some((30, at + 1)),
            "twenty" | "thirty" => {
                let tens = if self.word(at) == "twenty" { 20 } else { 30 };
                ordinal(self.word(at + 1))
                    .filter(|n| *n < 10)
                    .map(|n| (tens + n, at + 2))
            }
            word => match word.split_once('-') {
                Some(("twenty", rest)) => ordinal(rest).map(|n| (20 + n, at + 1)),
                Some(("thirty", rest)) => ordinal(rest).map(|n| (30 + n, at + 1)),
                _ => ordinal(word).map(|n| (n, at + 1)),
            },
        };
        let (day, end) = day?;
        // `the second socket` is no day: a month must follow.
        let next = if self.word(end) == "of" { end + 1 } else { end };
        let month = MONTHS
            .iter()
            .any(|month| self.word(next).starts_with(month));
        month.then(|| (day.to_string(), end))
    }

    /// A number by itself. `one` is often no number: `the old one`.
    fn number_alone(&self, at: usize) -> Option<Phrase> {
        let (n, end) = self.number(at)?;
        let before = at.checked_sub(1).map_or("", |before| self.word(before));
        let pointing = matches!(
            before,
            "the" | "no" | "that" | "this" | "which" | "old" | "new" | "another" | "any"
        );
        let ends = matches!(self.word(end), "" | "." | ",");
        (self.word(at) != "one" || !(pointing || ends)).then(|| (n.to_string(), end))
    }
}

const MONTHS: [&str; 12] = [
    "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
];

fn length(hours: i64, minutes: i64) -> String {
    if minutes == 0 {
        format!("{hours}h")
    } else {
        format!("{hours}h{minutes:02}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jot::line;

    fn read(text: &str) -> String {
        let said = typed(text, text, &line::words(text));
        said.into_iter()
            .map(|said| said.text)
            .collect::<Vec<_>>()
            .join(" ")
    }

    #[test]
    fn spoken_times_and_amounts_become_typed_ones() {
        for (said, typed) in [
            ("quarter past nine till half past twelve", "9.15 till 12.30"),
            (
                "from half past eight to quarter to five",
                "from 8.30 to 4.45",
            ),
            ("twenty past nine", "9.20"),
            ("twenty to ten", "9.40"),
            ("nine to five", "9 to 5"),
            ("at nine fifteen", "at 9.15"),
            ("from nine oh five till ten", "from 9.05 till 10"),
            ("nine o'clock till midday", "9 till noon"),
            ("two hours and ten minutes", "2h10"),
            ("two and a half hours", "2h30"),
            ("an hour and a half", "1h30"),
            ("an hour and ten minutes", "1h10"),
            ("one hour fifteen", "1h15"),
            ("three quarters of an hour", "45m"),
            ("half an hour lunch", "30m lunch"),
            ("forty five minutes", "45m"),
            (
                "six lights two hours four sockets one hour",
                "6 lights 2h 4 sockets 1h",
            ),
            ("parking four pounds fifty", "parking \u{a3}4.50"),
            ("parking two pounds", "parking \u{a3}2"),
            ("eighty pence", "80p"),
            ("zed s one point three two", "zs 1.32"),
            ("r1 plus r2 point four two", "r1 plus r2 .42"),
            ("ir greater than two hundred", "ir >200"),
            ("c two isolated", "C2 isolated"),
            ("the eighteenth of november", "the 18 of november"),
            ("twenty first of march", "21 of march"),
            ("the second socket", "the second socket"),
            ("swapped the old one", "swapped the old one"),
            ("a hundred and ten metres", "a hundred and 10 metres"),
            ("one hundred and ten metres", "110 metres"),
        ] {
            assert_eq!(read(said), typed, "{said}");
        }
    }
}
