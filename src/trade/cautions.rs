//! The standard cautions by name, from `content/trade/cautions.csv`, and their names in a body's `caution` blocks.
//!
//! Does not choose which cautions a page carries, and writes no HTML.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::diagnose::{Code, Diagnostic, FileId, Span, nearest};
use crate::diary::markdown::{FenceWord, lines_of};
use crate::model::Body;

/// One standard caution.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct Caution {
    /// `prove-dead`: what is typed in a `caution` block.
    pub name: String,
    /// What the reader sees: plain sentences, no Markdown.
    pub words: String,
    /// Where it comes from, or that it is common practice without a source. Seen 25 November 2026.
    pub source: String,
}

static CAUTIONS: LazyLock<Vec<Caution>> = LazyLock::new(|| {
    csv::Reader::from_reader(include_str!("../../content/trade/cautions.csv").as_bytes())
        .deserialize()
        .collect::<Result<_, _>>()
        .expect("the table is part of the program; a test reads every row")
});

/// Every standard caution, in the order of the table.
pub fn cautions() -> &'static [Caution] {
    &CAUTIONS
}

/// The caution of a name; `None` where the program has none.
pub fn caution(name: &str) -> Option<&'static Caution> {
    cautions().iter().find(|caution| caution.name == name)
}

/// A line of a `caution` block that is one word in small letters, with hyphens or without, and perhaps the mark of
/// a list in front: its name, and the byte in the line where that begins. `None` for any other line.
pub fn name_in(line: &str) -> Option<(usize, &str)> {
    let indent = line.len() - line.trim_start().len();
    let bare = line.trim();
    let name = ["- ", "* ", "+ "]
        .iter()
        .find_map(|mark| bare.strip_prefix(mark))
        .unwrap_or(bare);
    let name = name.trim_start();
    let kebab = name.starts_with(|c: char| c.is_ascii_lowercase())
        && !name.ends_with('-')
        && !name.contains("--")
        && name
            .chars()
            .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
    kebab.then(|| (indent + bare.len() - name.len(), name))
}

/// The text of a `caution` block with each name replaced by its words, as an item of a list. What is no known name
/// stays as it is.
pub fn in_words(block: &str) -> String {
    let mut out = String::with_capacity(block.len());
    for line in block.lines() {
        match name_in(line).and_then(|(at, name)| Some((at, caution(name)?))) {
            Some((at, caution)) => {
                let marks = &line[..at];
                out.push_str(if marks.trim().is_empty() { "- " } else { marks });
                out.push_str(&caution.words);
            }
            None => out.push_str(line),
        }
        out.push('\n');
    }
    out
}

/// Warns of each name in the open text's `caution` blocks that the program does not have. One word without a
/// hyphen may be the end of a sentence, so it is told only where it is near to a name.
pub fn check(file: FileId, body: &Body, diagnostics: &mut Vec<Diagnostic>) {
    for (bytes, line) in lines_of(&body.open, FenceWord::Caution) {
        let Some((at, name)) = name_in(&line).filter(|(_, name)| caution(name).is_none()) else {
            continue;
        };
        let near = nearest(name, cautions().iter().map(|caution| caution.name.as_str()));
        if near.is_none() && !name.contains('-') {
            continue;
        }
        let start = body.start as usize + bytes.start + at;
        diagnostics.push(Diagnostic::warning(
            Code::UnknownCaution,
            Span::new(file, start, start + name.len()),
            format!("there is no standard caution called {name}"),
            match near {
                Some(near) => format!("Write {near}, or write the caution out in words."),
                None => "Write the caution out in words.".to_owned(),
            },
        ));
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::diagnose::Sources;

    fn checked(open: &str, start: u32) -> Vec<Diagnostic> {
        let file = Sources::default().add("x.md", open);
        let body = Body {
            open: Arc::from(open),
            start,
            private: Vec::new(),
            links: Vec::new(),
            films: Vec::new(),
            anchors: Vec::new(),
        };
        let mut diagnostics = Vec::new();
        check(file, &body, &mut diagnostics);
        diagnostics
    }

    #[test]
    fn every_caution_has_a_name_of_its_own_words_and_a_source() {
        assert_eq!(cautions().len(), 18);
        for caution in cautions() {
            assert_eq!(name_in(&caution.name), Some((0, caution.name.as_str())));
            assert!(caution.name.contains('-'), "{}", caution.name);
            assert!(caution.words.ends_with('.'), "{}", caution.name);
            assert!(
                !caution.words.contains(['*', '_', '<', '`', '[', '&', '\n']),
                "{}",
                caution.name
            );
            assert!(!caution.source.is_empty(), "{}", caution.name);
        }
        let mut names: Vec<_> = cautions().iter().map(|caution| &caution.name).collect();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), cautions().len());
    }

    #[test]
    fn an_unknown_name_is_told_with_the_nearest() {
        let file = Sources::default().add("x.md", "");
        assert_eq!(
            checked(
                "```caution\nprove-dead\n- prove-ded\n- lines carry\n  re-tested\nwater\n```\n",
                100
            ),
            [
                Diagnostic::warning(
                    Code::UnknownCaution,
                    Span::new(file, 124, 133),
                    "there is no standard caution called prove-ded",
                    "Write prove-dead, or write the caution out in words.",
                ),
                Diagnostic::warning(
                    Code::UnknownCaution,
                    Span::new(file, 150, 159),
                    "there is no standard caution called re-tested",
                    "Write the caution out in words.",
                ),
            ]
        );
        assert_eq!(checked("prove-ded\n\n```text\nprove-ded\n```\n", 0), []);
    }

    #[test]
    fn a_name_becomes_an_item_of_its_words() {
        assert_eq!(
            in_words("charged-cable\n- charged-cable\n- Mind the dog.\nno-such-name\n"),
            "- Cable stays charged after an insulation test. Let the instrument discharge it before touching the ends.\n\
             - Cable stays charged after an insulation test. Let the instrument discharge it before touching the ends.\n\
             - Mind the dog.\nno-such-name\n"
        );
    }
}
