//! The index: each word with the pages that hold it and how much it says about each, cut into files that a reader's
//! browser asks for one by one.
//!
//! The words stand in order, so a file holds all between two words, and the first words of the files are the key to
//! them. Same pages, same bytes.

use std::collections::HashMap;
use std::fmt::Write as _;

use rayon::prelude::*;

use super::fold;
use super::texts::Sought;

/// A file of words ends with the word that brings it past this many bytes: about 4 kB as a host sends it.
const BYTES_OF_WORDS: usize = 12_000;
/// Pages in a file of pages: about 2 kB as a host sends it.
pub(super) const PAGES_IN_A_FILE: usize = 20;

/// What a word weighs on a page: bits, so that the script can tell them apart again. In the text: 1 for once, 2 for up
/// to three times, 3 for more.
const IN_A_SUBJECT: u8 = 4;
const IN_THE_TITLE: u8 = 8;

/// The files of the index.
pub(super) struct Index {
    /// The first word of each file of words.
    pub(super) first: Vec<String>,
    /// Each file's name without its ending, and what it tells the script as a JSON value.
    pub(super) files: Vec<(String, String)>,
    /// How many pages can be found.
    pub(super) pages: usize,
    /// Changes with every byte of the files; what a browser has kept of older ones is not mixed with newer.
    pub(super) stamp: String,
}

/// The index of these pages; their place in the list is their number.
pub(super) fn index(pages: &[Sought<'_>]) -> Index {
    let (first, words) = cut(postings(pages));
    let mut files: Vec<(String, String)> = words
        .into_iter()
        .enumerate()
        .map(|(number, words)| (format!("words-{number}"), json(&words)))
        .collect();
    files.extend(
        pages
            .chunks(PAGES_IN_A_FILE)
            .enumerate()
            .map(|(number, part)| {
                let rows: Vec<[&str; 5]> = part
                    .iter()
                    .map(|page| {
                        let (line, subjects) = (&*page.line, &*page.subjects);
                        [page.title, page.link, line, page.gist, subjects]
                    })
                    .collect();
                (format!("pages-{number}"), json(&rows))
            }),
    );
    let mut hasher = blake3::Hasher::new();
    for (_, value) in &files {
        hasher
            .update(&value.len().to_le_bytes())
            .update(value.as_bytes());
    }
    Index {
        first,
        files,
        pages: pages.len(),
        stamp: hasher.finalize().to_hex()[..8].to_owned(),
    }
}

fn json(value: &impl serde::Serialize) -> String {
    serde_json::to_string(value).expect("plain values")
}

/// Every word with its postings, in order of word.
///
/// A posting is the way from the page before as a decimal number (from 1), then the weight as a letter, `a` for 1:
/// `1a3l` is the first page, once in the text, and the fourth, in title, subject and often in the text. A letter
/// between any two numbers also keeps the leak gate from reading a row of them as somebody's telephone number.
fn postings(pages: &[Sought<'_>]) -> Vec<(String, String)> {
    let weighed: Vec<Vec<(String, u8)>> = pages.par_iter().map(weights).collect();
    let mut by_word: HashMap<String, (usize, String)> = HashMap::new();
    for (number, words) in weighed.into_iter().enumerate() {
        for (word, weight) in words {
            let (next, postings) = by_word.entry(word).or_default();
            let way = number + 1 - *next;
            write!(postings, "{way}{}", char::from(b'a' - 1 + weight))
                .expect("writing to a String");
            *next = number + 1;
        }
    }
    let mut rows: Vec<(String, String)> = by_word
        .into_iter()
        .map(|(word, (_, postings))| (word, postings))
        .collect();
    rows.par_sort_unstable();
    rows
}

/// A page's words, each once, in order.
fn weights(page: &Sought<'_>) -> Vec<(String, u8)> {
    let text = fold::folded(&page.text);
    let mut words = fold::words(&text);
    words.sort_unstable();
    let mut weights: Vec<(String, u8)> = words
        .chunk_by(|a, b| a == b)
        .map(|same| {
            let weight = match same.len() {
                1 => 1,
                2..=3 => 2,
                _ => 3,
            };
            (same[0].to_string(), weight)
        })
        .collect();
    for (text, weight) in [
        (page.subjects.as_str(), IN_A_SUBJECT),
        (page.title, IN_THE_TITLE),
    ] {
        for word in fold::words(&fold::folded(text)) {
            match weights.binary_search_by(|(other, _)| other.as_str().cmp(&word)) {
                Ok(at) => weights[at].1 |= weight,
                Err(at) => weights.insert(at, (word.into_owned(), weight)),
            }
        }
    }
    weights
}

/// Files of words, `word:postings` with commas between, and the first word of each.
fn cut(rows: Vec<(String, String)>) -> (Vec<String>, Vec<String>) {
    let mut first = Vec::new();
    let mut files: Vec<String> = Vec::new();
    for (word, postings) in rows {
        let full = files.last().is_none_or(|file| file.len() > BYTES_OF_WORDS);
        if full {
            first.push(word.clone());
            files.push(String::new());
        }
        let file = files.last_mut().expect("one was just put there");
        if !file.is_empty() {
            file.push(',');
        }
        file.push_str(&word);
        file.push(':');
        file.push_str(&postings);
    }
    (first, files)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(word: &str, postings: &str) -> (String, String) {
        (word.to_owned(), postings.to_owned())
    }

    #[test]
    fn files_are_cut_between_words_and_their_first_words_are_the_key() {
        let long = "1a".repeat(BYTES_OF_WORDS / 2);
        let rows = vec![
            row("a", &long),
            row("b", "1a"),
            row("c", &long),
            row("d", "2b"),
        ];
        let (first, files) = cut(rows);
        assert_eq!(first, ["a", "b", "d"]);
        assert!(files[1].starts_with("b:1a,c:1a1a"));
        assert_eq!(files[2], "d:2b");
        assert_eq!(cut(Vec::new()), (Vec::new(), Vec::new()));
    }
}
