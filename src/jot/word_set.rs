//! A set of words that most words asked for are not in, which it knows from their length and first letter.

use std::collections::BTreeSet;

use serde::Deserialize;

/// Lengths that are told apart; all longer words count as one.
const LENGTHS: usize = 24;

/// Words to be found whole.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(from = "Vec<String>")]
pub struct WordSet {
    words: BTreeSet<String>,
    /// For each length in bytes, a bit for each first byte that a word of that length has.
    shapes: [u64; LENGTHS],
}

impl WordSet {
    /// Adds a word.
    pub fn insert(&mut self, word: String) {
        if let Some((length, bit)) = shape(&word) {
            self.shapes[length] |= bit;
            self.words.insert(word);
        }
    }

    /// Whether a word is among them; no empty word is.
    pub fn contains(&self, word: &str) -> bool {
        shape(word).is_some_and(|(length, bit)| self.shapes[length] & bit != 0)
            && self.words.contains(word)
    }
}

fn shape(word: &str) -> Option<(usize, u64)> {
    let first = word.bytes().next()?;
    Some((word.len().min(LENGTHS - 1), 1 << (first % 64)))
}

impl From<Vec<String>> for WordSet {
    fn from(words: Vec<String>) -> Self {
        let mut set = WordSet::default();
        for word in words {
            set.insert(word);
        }
        set
    }
}
