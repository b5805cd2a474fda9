//! Whole numbers as they are said: `forty five`, `two hundred and ten`.

use super::spoken::Reader;

impl Reader<'_> {
    /// A whole number in words or figures, and the word after it.
    pub(super) fn number(&self, at: usize) -> Option<(i64, usize)> {
        let word = self.word(at);
        if !word.is_empty() && word.len() <= 4 && word.bytes().all(|b| b.is_ascii_digit()) {
            return Some((word.parse().ok()?, at + 1));
        }
        let (mut n, mut end) = self.below_a_hundred(at)?;
        if self.word(end) == "hundred" && (1..10).contains(&n) {
            n *= 100;
            end += 1;
            let and = usize::from(self.word(end) == "and");
            if let Some((rest, after)) = self
                .below_a_hundred(end + and)
                .filter(|(rest, _)| *rest > 0)
            {
                n += rest;
                end = after;
            }
        }
        Some((n, end))
    }

    fn below_a_hundred(&self, at: usize) -> Option<(i64, usize)> {
        let word = self.word(at);
        if let Some((tens, ones)) = word.split_once('-') {
            let ones = small(ones).filter(|n| (1..10).contains(n))?;
            return Some((tens_of(tens)? + ones, at + 1));
        }
        if let Some(tens) = tens_of(word) {
            let ones = small(self.word(at + 1)).filter(|n| (1..10).contains(n));
            return Some(ones.map_or((tens, at + 1), |ones| (tens + ones, at + 2)));
        }
        small(word).map(|n| (n, at + 1))
    }
}

/// A number below twenty.
pub(super) fn small(word: &str) -> Option<i64> {
    const SMALL: [&str; 20] = [
        "nought",
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
        "thirteen",
        "fourteen",
        "fifteen",
        "sixteen",
        "seventeen",
        "eighteen",
        "nineteen",
    ];
    let index = match word {
        "zero" => 0,
        word => SMALL.iter().position(|known| *known == word)?,
    };
    i64::try_from(index).ok()
}

fn tens_of(word: &str) -> Option<i64> {
    const TENS: [&str; 8] = [
        "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
    ];
    let index = TENS.iter().position(|known| *known == word)?;
    i64::try_from(index + 2).ok().map(|n| n * 10)
}
