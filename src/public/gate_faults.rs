//! Leaks told: each as an error at the line of the diary that put the word on its page.
//!
//! Looks for nothing but that line; what a leak is, `gate` says.

use std::collections::BTreeSet;

use crate::diagnose::{Code, Diagnostic, FileId, Sources, Span};

use super::gate::{Gate, Leak};
use super::open_text::OpenText;

impl Gate {
    /// Leaks as errors, each at the line of the log that holds the word; for a page with no log of its own, at the
    /// first public line that does. A word that no line holds is one the page writes by itself (a month, a heading):
    /// told where the diary keeps it. One word at one place is told once, however many pages show it.
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
                let when = self.open.get(&span.file).and_then(|open| open.when(span));
                let when = when.map_or_else(String::new, |at| format!(", at {at} in the film"));
                let message = format!(
                    "{}{others} would show {}, {}{when}",
                    page_shown(first),
                    shorten(&leak.term),
                    leak.owner.in_words()
                );
                let by_itself = span == self.terms[leak.number].span;
                let help = match when.is_empty() {
                    true => help(leak, by_itself),
                    false => help_in_film(leak),
                };
                Diagnostic::error(Code::PrivateWord, span, message, help)
            })
            .collect()
    }

    fn place_of(&self, leak: &Leak, file: Option<FileId>, sources: &Sources) -> Span {
        let term = &self.terms[leak.number];
        let find = |file: FileId, open: &OpenText| {
            open.find(file, sources, |folded| self.find(folded, leak.number))
        };
        let line = match file {
            // First the log itself, then what is said in its films.
            Some(file) => self.open.get(&file).and_then(|open| {
                let said = |file: &FileId| find(*file, self.open.get(file)?);
                find(file, open).or_else(|| open.films().iter().find_map(said))
            }),
            None => self.open.iter().find_map(|(file, open)| find(*file, open)),
        };
        line.unwrap_or(term.span)
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

/// A private block has no place in a captions file, and taking the word from the page leaves it in the film.
fn help_in_film(leak: &Leak) -> String {
    let allow = leak.owner.may_be_allowed().map_or_else(String::new, |_| {
        let word = leak.term.to_lowercase();
        format!(
            ", or write allow: [{word}] beside {} if it is only a plain word",
            beside(leak)
        )
    });
    format!(
        "Cut it from the film, put a role in its place here (the owner, the agent){allow}. The words of a film are heard as well as read."
    )
}

/// The client that owns a word.
fn beside(leak: &Leak) -> String {
    match leak.owner.whose.starts_with("client ") {
        true => "the client".to_owned(),
        false => format!(
            "client {}",
            leak.owner.client.as_deref().unwrap_or_default()
        ),
    }
}

fn help(leak: &Leak, by_itself: bool) -> String {
    let beside = beside(leak);
    let word = leak.term.to_lowercase();
    match (leak.owner.may_be_allowed(), by_itself) {
        (Some(_), false) => format!(
            "Take it out, move it into a private block, or write allow: [{word}] beside {beside} if it is only a plain word."
        ),
        (None, false) if leak.owner.what == "question" => {
            "Answer the question, or put it here in words of your own.".to_owned()
        }
        (None, false) => "Take it out or move it into a private block.".to_owned(),
        (Some(_), true) => format!(
            "No log writes it: the page does by itself (a heading, a month, a sheet of yours). Write allow: [{word}] beside {beside} if it is only a plain word."
        ),
        (None, true) => {
            "No log writes it: the page does by itself (a heading, a month, a sheet of yours). Take it out of the sheet, or write more of it here."
                .to_owned()
        }
    }
}
