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
    let part = pages.len().div_ceil(rayon::current_num_threads()).max(1);
    let parts: Vec<Words> = pages
        .par_chunks(part)
        .enumerate()
        .map(|(number, pages)| Words::of(pages, number * part))
        .collect();
    let mut parts = parts.into_iter();
    let mut all = parts.next().unwrap_or_default();
    for more in parts {
        all.extend(more);
    }
    let mut rows: Vec<(String, String)> = all
        .held
        .into_par_iter()
        .map(|held| {
            let postings = held.postings();
            (held.word, postings)
        })
        .collect();
    rows.par_sort_unstable();
    rows
}

/// The words of some pages, and the pages that hold each.
#[derive(Default)]
struct Words {
    /// Each word's place among those held.
    numbers: HashMap<String, usize>,
    held: Vec<Held>,
}

/// A word and the pages that hold it, in order: each page's number and the word's weight there.
struct Held {
    word: String,
    pages: Vec<(usize, u8)>,
}

impl Words {
    /// Of pages whose numbers begin with `first`.
    fn of(pages: &[Sought<'_>], first: usize) -> Self {
        let mut words = Words::default();
        let mut counted: Vec<usize> = Vec::new();
        for (page, number) in pages.iter().zip(first..) {
            let text = fold::folded(&page.text);
            counted.extend(fold::words(&text).iter().map(|word| words.number(word)));
            counted.sort_unstable();
            for same in counted.chunk_by(|a, b| a == b) {
                let weight = match same.len() {
                    1 => 1,
                    2..=3 => 2,
                    _ => 3,
                };
                words.held[same[0]].add(number, weight);
            }
            counted.clear();
            for (text, weight) in [
                (page.subjects.as_str(), IN_A_SUBJECT),
                (page.title, IN_THE_TITLE),
            ] {
                for word in fold::words(&fold::folded(text)) {
                    let word = words.number(&word);
                    words.held[word].add(number, weight);
                }
            }
        }
        words
    }

    fn number(&mut self, word: &str) -> usize {
        if let Some(number) = self.numbers.get(word) {
            return *number;
        }
        let number = self.held.len();
        self.numbers.insert(word.to_owned(), number);
        self.held.push(Held {
            word: word.to_owned(),
            pages: Vec::new(),
        });
        number
    }

    /// Takes in the words of the pages that come next.
    fn extend(&mut self, more: Words) {
        for held in more.held {
            let own = self.number(&held.word);
            self.held[own].pages.extend(held.pages);
        }
    }
}

impl Held {
    /// The page is the last one, or comes after it.
    fn add(&mut self, page: usize, weight: u8) {
        match self.pages.last_mut() {
            Some((last, weights)) if *last == page => *weights |= weight,
            _ => self.pages.push((page, weight)),
        }
    }

    fn postings(&self) -> String {
        let mut text = String::new();
        let mut next = 0;
        for (page, weight) in &self.pages {
            let way = page + 1 - next;
            write!(text, "{way}{}", char::from(b'a' - 1 + weight)).expect("writing to a String");
            next = page + 1;
        }
        text
    }
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
