//! The words that ship with the program, as `content/jot/words.json` has them. Knows nothing of a diary's own.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use super::word_set::WordSet;

/// The words that ship with the program.
#[derive(Debug, Deserialize)]
pub struct BuiltIn {
    pub tasks: BTreeMap<String, BuiltInTask>,
    pub materials: Vec<BuiltInMaterial>,
    pub kinds: BTreeMap<String, Vec<String>>,
    pub who: BTreeMap<String, Vec<String>>,
    pub told: BTreeMap<String, Option<String>>,
    pub done: Vec<String>,
    pub fillers: WordSet,
    pub work: Vec<String>,
    pub cable_words: Vec<String>,
    pub parking: Vec<String>,
    pub breaks: Vec<String>,
    pub material_marks: WordSet,
    pub not_material: Vec<String>,
}

#[derive(Debug, Deserialize)]
pub struct BuiltInTask {
    pub name: String,
    pub unit: String,
    pub also: Vec<String>,
}

#[derive(Debug, Deserialize)]
pub struct BuiltInMaterial {
    pub item: String,
    pub also: Vec<String>,
}

/// They, read once.
pub static BUILT_IN: LazyLock<BuiltIn> = LazyLock::new(|| {
    serde_json::from_str(include_str!("../../content/jot/words.json"))
        .expect("the words are part of the program; a test reads them")
});

/// Words that never make a line unread, and marks standing alone.
pub fn is_filler(word: &str) -> bool {
    matches!(word, "," | ";" | ":" | "." | "-" | "@" | "(" | ")") || BUILT_IN.fillers.contains(word)
}

/// Words for work done that may stand before a task: `changed 3 dbl skts`.
pub fn is_work(word: &str) -> bool {
    has(&BUILT_IN.work, word)
}

/// Words that a cable goes by: beside them metres are metres.
pub fn is_cable(word: &str) -> bool {
    has(&BUILT_IN.cable_words, word)
}

/// Words after which materials come.
pub fn is_material_mark(word: &str) -> bool {
    BUILT_IN.material_marks.contains(word)
}

/// Words that speak of money which is not for materials.
pub fn is_about_pay(word: &str) -> bool {
    has(&BUILT_IN.not_material, word)
}

/// A word for telling somebody, and how it was done if the word says so.
pub fn telling(word: &str) -> Option<Option<&'static str>> {
    BUILT_IN.told.get(word).map(Option::as_deref)
}

fn has(words: &[String], word: &str) -> bool {
    words.iter().any(|known| known == word)
}
