//! Leaks told: each as an error at the line of the diary that put the word on its page.
//!
//! Looks for nothing but that line; what a leak is, `gate` says.

use std::collections::BTreeSet;

use crate::diagnose::{Code, Diagnostic, FileId, Sources, Span};

use super::gate::{Gate, Leak, PublicFile};
use super::markup::FileKind;
use super::open_text::OpenText;

impl Gate {
    /// What `press` asks of a file: its leaks as diagnostics, the page made from the file `source`.
    pub fn faults(
        &self,
        path: &str,
        bytes: &[u8],
        source: Option<FileId>,
        sources: &Sources,
    ) -> Vec<Diagnostic> {
        let file = PublicFile {
            path,
            kind: FileKind::of_path(path),
            bytes,
        };
        let leaks = self.check(&file);
        self.diagnose(&leaks, &|_| source, sources)
    }

    /// Leaks as errors, each at the line of the log that holds the word; where that is not found, at the log's
    /// beginning; for a page with no log of its own, at the first public line that holds it, else where the diary
    /// keeps the word. One word at one place is told once, however many pages show it.
    pub fn diagnose(
        &self,
        leaks: &[Leak],
        source_of_path: &dyn Fn(&str) -> Option<FileId>,
        sources: &Sources,
    ) -> Vec<Diagnostic> {
        let mut places: Vec<(Span, &Leak, BTreeSet<&str>)> = Vec::new();
        for leak in leaks {
            let span = self.place_of(leak, source_of_path(&leak.path), sources);
            let same = places.iter_mut().find(|(at, other, _)| {
                at.file == span.file && other.owner == leak.owner && meet(*at, span)
            });
            match same {
                // `Odo Brannick` at a place says all that `Brannick` there would.
                Some((at, shown, pages)) => {
                    pages.insert(&leak.path);
                    if span.end - span.start > at.end - at.start {
                        (*at, *shown) = (span, leak);
                    }
                }
                None => places.push((span, leak, BTreeSet::from([leak.path.as_str()]))),
            }
        }
        places
            .into_iter()
            .map(|(span, leak, pages)| {
                // The page itself rather than the feeds and lists that quote it.
                let own = pages.iter().find(|page| source_of_path(page).is_some());
                let first = own
                    .or_else(|| pages.first())
                    .expect("each place came from a page");
                let others = match pages.len() - 1 {
                    0 => String::new(),
                    1 => " and one other".to_owned(),
                    more => format!(" and {more} others"),
                };
                let message = format!(
                    "{}{others} would show {}, {}",
                    page_shown(first),
                    shorten(&leak.term),
                    leak.owner.in_words()
                );
                Diagnostic::error(Code::PrivateWord, span, message, help(leak))
            })
            .collect()
    }

    fn place_of(&self, leak: &Leak, file: Option<FileId>, sources: &Sources) -> Span {
        let term = &self.terms[leak.number];
        let find = |file: FileId, open: &OpenText| {
            open.find(file, sources, |folded| self.find(folded, leak.number))
        };
        match file {
            Some(file) => self
                .open
                .get(&file)
                .and_then(|open| find(file, open))
                .unwrap_or_else(|| Span::file_start(file)),
            None => self
                .open
                .iter()
                .find_map(|(file, open)| find(*file, open))
                .unwrap_or(term.span),
        }
    }
}

fn meet(a: Span, b: Span) -> bool {
    a == b || (a.start < b.end && b.start < a.end)
}

/// `write-ups/x/index.html` is the page `write-ups/x/`; what is no page goes by its path.
fn page_shown(path: &str) -> String {
    match path.strip_suffix("index.html") {
        Some("") => "the home page".to_owned(),
        Some(page) => format!("the page {page}"),
        None => path.to_owned(),
    }
}

/// A private sentence may be long; its beginning says which it is.
fn shorten(term: &str) -> String {
    const LONGEST: usize = 60;
    let mut short: String = term.chars().take(LONGEST).collect();
    if short.len() < term.len() {
        short.push('…');
    }
    short
}

fn help(leak: &Leak) -> String {
    match &leak.owner.client {
        Some(client) => {
            let beside = match leak.owner.whose.starts_with("client ") {
                true => "the client".to_owned(),
                false => format!("client {client}"),
            };
            format!(
                "Take it out, move it into a private block, or write allow: [{}] beside {beside} if it is only a plain word.",
                leak.term.to_lowercase()
            )
        }
        None => "Take it out or move it into a private block.".to_owned(),
    }
}
