//! Which words of a page call for which standard caution, from `content/trade/caution_words.csv`.
//!
//! The lists are our own and short on purpose: a word stands there only if a page that uses it plainly deals with the
//! thing. Common practice, no source. Finds words; what is said about them is a rule's affair.

use std::ops::Range;
use std::sync::LazyLock;

use pulldown_cmark::{Event, Parser, Tag, TagEnd};
use serde::Deserialize;

use crate::diary::markdown::{FenceWord, lines_of, options};

use super::cautions::name_in;

/// A standard caution and what calls for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Need {
    /// The caution's name.
    pub caution: String,
    /// What it is about, for a sentence: `insulation testing`.
    pub about: String,
    words: Vec<Vec<String>>,
    covered_by: Vec<Vec<String>>,
}

/// A caution that a text calls for and does not carry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// Which, and what calls for it.
    pub need: &'static Need,
    /// The first words that call for it: their bytes in the text.
    pub bytes: Range<usize>,
}

#[derive(Deserialize)]
struct Row {
    caution: String,
    about: String,
    words: String,
    covered_by: String,
}

static NEEDS: LazyLock<Vec<Need>> = LazyLock::new(|| {
    let phrases = |list: &str| {
        list.split(';')
            .map(|phrase| phrase.split_whitespace().map(str::to_owned).collect())
            .collect()
    };
    csv::Reader::from_reader(include_str!("../../content/trade/caution_words.csv").as_bytes())
        .deserialize()
        .map(|row| {
            row.map(|row: Row| Need {
                words: phrases(&row.words),
                covered_by: phrases(&row.covered_by),
                caution: row.caution,
                about: row.about,
            })
        })
        .collect::<Result<_, _>>()
        .expect("the table is part of the program; a test reads every row")
});

/// Every caution that words can call for, in the order of the table.
pub fn needs() -> &'static [Need] {
    &NEEDS
}

/// A phrase that calls for a caution, and which of the needs.
type Call = (usize, &'static [String]);

/// Each phrase by its first letter: every word of a diary is held against them.
static CALLS: LazyLock<[Vec<Call>; 26]> = LazyLock::new(|| {
    let mut calls = [const { Vec::new() }; 26];
    for (number, need) in needs().iter().enumerate() {
        for phrase in &need.words {
            let letter = phrase.first().and_then(|word| letter(word));
            calls[letter.expect("a test reads every row")].push((number, &phrase[..]));
        }
    }
    calls
});

/// The place in the alphabet of a word's first letter; `None` for any other beginning.
fn letter(word: &str) -> Option<usize> {
    let first = word.bytes().next()?.to_ascii_lowercase();
    first
        .is_ascii_lowercase()
        .then(|| usize::from(first - b'a'))
}

/// The cautions that the open text of a body calls for and that none of its `caution` blocks gives, by name or in
/// words of its own. In the order of the table; each at the first words that call for it. Code and links' addresses
/// call for nothing.
pub fn missing(open: &str) -> Vec<Missing> {
    let text = words_of(open);
    let mut called: Vec<Option<Range<usize>>> = vec![None; needs().len()];
    for (at, (_, word)) in text.iter().enumerate() {
        let calls = letter(word).map_or(&[][..], |letter| &CALLS[letter]);
        for (number, phrase) in calls {
            if called[*number].is_none() {
                called[*number] = begins_with(&text[at..], phrase);
            }
        }
    }
    if called.iter().all(Option::is_none) {
        return Vec::new();
    }
    let blocks = lines_of(open, FenceWord::Caution);
    let mut block_words = Vec::new();
    for (_, line) in &blocks {
        split(line, 0, &mut block_words);
    }
    let calling = needs().iter().zip(called);
    calling
        .filter_map(|(need, bytes)| {
            let bytes = bytes?;
            let named = blocks
                .iter()
                .any(|(_, line)| name_in(line).is_some_and(|(_, name)| name == need.caution));
            let covered = named
                || need
                    .covered_by
                    .iter()
                    .any(|phrase| stands_in(&block_words, phrase));
            (!covered).then_some(Missing { need, bytes })
        })
        .collect()
}

/// A word as it is written, and its bytes in the text.
type Word<'t> = (Range<usize>, &'t str);

/// The words that readers see outside blocks of code, each with its bytes.
fn words_of(markdown: &str) -> Vec<Word<'_>> {
    let mut words = Vec::new();
    let mut in_code = false;
    for (event, range) in Parser::new_ext(markdown, options()).into_offset_iter() {
        match event {
            Event::Start(Tag::CodeBlock(_)) => in_code = true,
            Event::End(TagEnd::CodeBlock) => in_code = false,
            Event::Text(_) if !in_code => {
                split(&markdown[range.clone()], range.start, &mut words);
            }
            _ => {}
        }
    }
    words
}

fn split<'t>(text: &'t str, start: usize, words: &mut Vec<Word<'t>>) {
    let mut begun: Option<usize> = None;
    for (at, c) in text.char_indices().chain([(text.len(), ' ')]) {
        match (c.is_alphanumeric(), begun) {
            (true, None) => begun = Some(at),
            (false, Some(from)) => {
                words.push((start + from..start + at, &text[from..at]));
                begun = None;
            }
            _ => {}
        }
    }
}

/// The bytes of the phrase that words begin with.
fn begins_with(words: &[Word<'_>], phrase: &[String]) -> Option<Range<usize>> {
    let words = words.get(..phrase.len())?;
    let same = words
        .iter()
        .zip(phrase)
        .all(|((_, word), wanted)| word.eq_ignore_ascii_case(wanted));
    same.then(|| Some(words.first()?.0.start..words.last()?.0.end))?
}

fn stands_in(words: &[Word<'_>], phrase: &[String]) -> bool {
    (0..words.len()).any(|at| begins_with(&words[at..], phrase).is_some())
}

#[cfg(test)]
mod tests {
    use super::super::cautions::caution;
    use super::*;

    fn said(text: &str) -> Vec<(&str, &str)> {
        missing(text)
            .into_iter()
            .map(|missing| (missing.need.caution.as_str(), &text[missing.bytes]))
            .collect()
    }

    #[test]
    fn every_need_is_a_standard_caution_with_words_of_both_sorts() {
        assert_eq!(needs().len(), 5);
        for need in needs() {
            assert!(caution(&need.caution).is_some(), "{}", need.caution);
            assert!(!need.about.is_empty());
            for phrase in need.words.iter().chain(&need.covered_by) {
                assert!(!phrase.is_empty(), "{}", need.caution);
                for word in phrase {
                    let mut words = Vec::new();
                    split(word, 0, &mut words);
                    assert_eq!(words, [(0..word.len(), word.as_str())]);
                    assert!(word.bytes().all(|byte| byte.is_ascii_lowercase()), "{word}");
                }
            }
            // A standard caution in full covers itself.
            let caution = caution(&need.caution).expect("looked up above");
            let mut words = Vec::new();
            split(&caution.words, 0, &mut words);
            assert!(
                need.covered_by
                    .iter()
                    .any(|phrase| stands_in(&words, phrase)),
                "{}",
                need.caution
            );
        }
    }

    #[test]
    fn the_first_words_that_call_for_a_caution_are_pointed_at() {
        assert_eq!(
            said(
                "The board was **locked\noff**, and isolated since.\n\nThen the Insulation tests."
            ),
            [
                ("prove-dead", "locked\noff"),
                ("insulation-electronics", "Insulation tests")
            ]
        );
    }

    #[test]
    fn a_block_with_the_name_or_with_words_of_its_own_is_enough() {
        assert_eq!(said("Isolated.\n\n```caution\nprove-dead\n```\n"), []);
        assert_eq!(
            said("Isolated.\n\n```caution\n- Prove it dead, every time.\n```\n"),
            []
        );
        assert_eq!(
            said("Isolated.\n\n```caution\ncharged-cable\n```\n"),
            [("prove-dead", "Isolated")]
        );
    }

    #[test]
    fn code_addresses_and_longer_words_call_for_nothing() {
        assert_eq!(
            said("See [this](isolated/bathroom.md).\n\n```\nisolated\n```\n\nIt was deisolated.\n"),
            []
        );
        assert_eq!(said("The ceiling was high, with one downlight.\n"), []);
    }
}
