//! The handbook: a page for each thing that can be wrong in a diary, with where it stands in this one, and a page for
//! each figure that the letters show. The texts are inside the program; nothing here renders them.

use std::collections::BTreeMap;
use std::sync::Arc;

use rust_embed::RustEmbed;
use serde::Serialize;

use crate::diagnose::Code;

use super::desk::TodoRow;
use super::job::Text;
use super::{Book, job_link};
use crate::office::words::{capital, counted};

#[derive(RustEmbed)]
#[folder = "content/handbook/"]
struct Embedded;

/// The handbook's texts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Handbook {
    /// By code.
    pages: BTreeMap<String, Entry>,
    /// On figures, by name.
    figures: BTreeMap<String, Entry>,
}

/// Where pages on figures stand, in the handbook's folder and in the book.
const FIGURES: &str = "figures/";
/// The figures in the order in which one reads of them; any other comes after, by name.
const FIGURES_IN_ORDER: [&str; 16] = [
    "needed",
    "charged",
    "earned",
    "short",
    "utilisation",
    "middle-of-its-jobs",
    "quoted-against-taken",
    "first-return",
    "returns-a-job",
    "cost-of-a-return",
    "reserve",
    "what-a-job-will-take",
    "other-time-on-site",
    "unplanned-call-outs",
    "how-sure-a-price-is",
    "how-such-prices-have-done",
];

/// One page of it.
#[derive(Clone, Debug, PartialEq)]
struct Entry {
    title: String,
    text: Arc<str>,
}

/// The handbook's list of pages.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct HandbookIndex {
    /// Codes that this diary has now, then the others; each in order of the program's own list.
    pub here: Vec<CodeEntry>,
    /// The others.
    pub others: Vec<CodeEntry>,
    /// Pages on figures: address and title.
    pub figures: Vec<(String, String)>,
}

/// A page on a figure.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct FigureText {
    /// Its own address: `handbook/figures/needed.html`.
    pub link: String,
    /// Its title.
    pub title: String,
    /// The text below the title.
    pub text: Text,
}

/// A page in the list.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct CodeEntry {
    /// `danger-untold`.
    pub code: String,
    /// Its title.
    pub title: String,
    /// `handbook/danger-untold.html`.
    pub link: String,
    /// How often it stands in the diary now: `3 places`; empty where nowhere.
    pub count: String,
}

/// A page of the handbook.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct CodePage {
    /// Its own address.
    pub link: String,
    /// `danger-untold`.
    pub code: String,
    /// Its title.
    pub title: String,
    /// The text below the title.
    pub text: Text,
    /// Where it stands in this diary now, in the order of `inspect`.
    pub here: Vec<TodoRow>,
}

impl Handbook {
    /// The handbook inside the program.
    pub fn built_in() -> Handbook {
        Handbook::from_texts(Embedded::iter().filter_map(|name| {
            let code = name.strip_suffix(".md")?.to_owned();
            let text = Embedded::get(&name)?.data;
            Some((code, String::from_utf8_lossy(&text).into_owned()))
        }))
    }

    /// A handbook from texts by code, those on figures by `figures/NAME`. A text's first heading is its page's title;
    /// a page without one, or with its code there, is called by its code in words.
    pub fn from_texts(texts: impl IntoIterator<Item = (String, String)>) -> Handbook {
        let mut handbook = Handbook::default();
        for (name, text) in texts {
            let (pages, name) = match name.strip_prefix(FIGURES) {
                Some(name) => (&mut handbook.figures, name.to_owned()),
                None => (&mut handbook.pages, name),
            };
            let (title, rest) = split_title(&text);
            let title = title
                .filter(|title| *title != name)
                .map_or_else(|| in_words(&name), str::to_owned);
            let text = rest.into();
            pages.insert(name, Entry { title, text });
        }
        handbook
    }

    /// A figure's page, address and title; `None` where it has none.
    pub(super) fn figure(&self, name: &str) -> Option<(String, String)> {
        let entry = self.figures.get(name)?;
        Some((figure_link(name), entry.title.clone()))
    }

    /// Figures in the order in which one reads of them.
    fn figures_in_order(&self) -> Vec<&str> {
        let mut names: Vec<&str> = self.figures.keys().map(String::as_str).collect();
        names.sort_by_key(|name| {
            let place = FIGURES_IN_ORDER.iter().position(|known| known == name);
            (place.unwrap_or(usize::MAX), *name)
        });
        names
    }

    /// Whether a code has a page.
    pub fn has(&self, code: &str) -> bool {
        self.pages.contains_key(code)
    }

    /// A code's title, or the code in words.
    pub(super) fn title(&self, code: &str) -> String {
        self.pages
            .get(code)
            .map_or_else(|| in_words(code), |page| page.title.clone())
    }

    /// Pages in the order of the program's list of codes, then any of another name.
    fn in_order(&self) -> Vec<&str> {
        let known: Vec<&str> = Code::ALL.iter().map(|code| code.as_str()).collect();
        let mut codes: Vec<&str> = self.pages.keys().map(String::as_str).collect();
        codes.sort_by_key(|code| {
            (
                known
                    .iter()
                    .position(|known| known == code)
                    .unwrap_or(usize::MAX),
                *code,
            )
        });
        codes
    }
}

fn figure_link(name: &str) -> String {
    format!("handbook/{FIGURES}{name}.html")
}

/// A code in words: `danger-untold` is `Danger untold`.
fn in_words(code: &str) -> String {
    let words = capital(&code.replace('-', " "));
    [
        ("utf8", "UTF-8"),
        ("Yaml", "YAML"),
        ("yaml", "YAML"),
        ("html", "HTML"),
    ]
    .iter()
    .fold(words, |words, (plain, written)| {
        words.replace(plain, written)
    })
}

/// A leading heading and what follows it.
fn split_title(text: &str) -> (Option<&str>, &str) {
    let text = text.trim_start_matches('\u{feff}').trim_start();
    match text.strip_prefix("# ") {
        Some(rest) => {
            let (title, rest) = rest.split_once('\n').unwrap_or((rest, ""));
            (
                Some(title.trim().trim_end_matches('#').trim_end()),
                rest.trim_start(),
            )
        }
        None => (None, text),
    }
}

impl Book<'_> {
    /// A code's page in the handbook; empty where it has none.
    pub(super) fn handbook_link(&self, code: &str) -> String {
        if self.handbook.has(code) {
            format!("handbook/{code}.html")
        } else {
            String::new()
        }
    }

    /// The handbook's list.
    pub fn handbook_index(&self) -> HandbookIndex {
        let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
        for fault in self.diagnostics {
            *counts.entry(fault.code.as_str()).or_default() += 1;
        }
        let (here, others) = self
            .handbook
            .in_order()
            .into_iter()
            .map(|code| CodeEntry {
                code: code.to_owned(),
                title: self.handbook.title(code),
                link: self.handbook_link(code),
                count: counts
                    .get(code)
                    .map_or(String::new(), |&count| counted(count, "place", "places")),
            })
            .partition(|entry| !entry.count.is_empty());
        let figures = self.handbook.figures_in_order();
        HandbookIndex {
            here,
            others,
            figures: figures
                .into_iter()
                .filter_map(|name| self.handbook.figure(name))
                .collect(),
        }
    }

    /// The codes that have a page, in order of name.
    pub fn handbook_codes(&self) -> Vec<&str> {
        self.handbook.pages.keys().map(String::as_str).collect()
    }

    /// The figures that have a page, in order of name.
    pub fn handbook_figures(&self) -> Vec<&str> {
        self.handbook.figures.keys().map(String::as_str).collect()
    }

    /// A page on a figure; one without text for a figure that has none.
    pub fn handbook_figure(&self, name: &str) -> FigureText {
        let entry = self.handbook.figures.get(name);
        FigureText {
            link: figure_link(name),
            title: entry.map_or_else(|| in_words(name), |entry| entry.title.clone()),
            text: Text {
                links: self
                    .handbook
                    .figures
                    .keys()
                    .map(|other| (format!("{other}.md"), figure_link(other)))
                    .collect(),
                pictures: BTreeMap::new(),
                film: None,
                films: BTreeMap::new(),
                markdown: entry.map_or_else(|| "".into(), |entry| entry.text.clone()),
            },
        }
    }

    /// A page of the handbook; one without text for a code that has none.
    pub fn handbook_page(&self, code: &str) -> CodePage {
        let text = self
            .handbook
            .pages
            .get(code)
            .map_or_else(|| "".into(), |page| page.text.clone());
        CodePage {
            link: format!("handbook/{code}.html"),
            code: code.to_owned(),
            title: self.handbook.title(code),
            // Pages of the handbook link to each other by file, as they do where they are written.
            text: Text {
                links: self
                    .handbook
                    .pages
                    .keys()
                    .map(|other| (format!("{other}.md"), format!("handbook/{other}.html")))
                    .collect(),
                pictures: BTreeMap::new(),
                film: None,
                films: BTreeMap::new(),
                markdown: text,
            },
            here: self
                .diagnostics
                .iter()
                .filter(|fault| fault.code.as_str() == code)
                .map(|fault| self.todo_row(fault))
                .collect(),
        }
    }

    /// A diagnostic with the job it belongs to.
    pub(super) fn todo_row(&self, fault: &crate::diagnose::Diagnostic) -> TodoRow {
        let row = self.fault_row(fault);
        let job = self
            .index
            .by_file
            .get(&fault.span.file)
            .map(|&job| &self.diary.jobs[job]);
        let path = self.sources.path(fault.span.file);
        TodoRow {
            link: job.map_or(String::new(), |job| {
                job_link(&job.reference.in_office().value)
            }),
            reference: job.map_or(String::new(), |job| job.reference.in_office().value.clone()),
            title: job.map_or_else(|| path.to_owned(), |job| job.title.value.clone()),
            place: format!("{path}, {}", row.place),
            level: row.level,
            message: row.message,
            help: row.help,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_heading_is_the_title_and_not_said_twice() {
        assert_eq!(
            split_title("\u{feff}# Told nobody #\r\n\r\nTell them.\n"),
            (Some("Told nobody"), "Tell them.\n")
        );
        assert_eq!(split_title("Tell them."), (None, "Tell them."));
        assert_eq!(split_title("# Alone"), (Some("Alone"), ""));
    }

    #[test]
    fn pages_stand_in_the_order_of_the_codes() {
        let text = |code: &str| (code.to_owned(), String::new());
        let handbook = Handbook::from_texts([
            text("bad-sheet"),
            text("a-page-of-its-own"),
            text("not-utf8"),
        ]);
        assert_eq!(
            handbook.in_order(),
            ["not-utf8", "bad-sheet", "a-page-of-its-own"]
        );
        assert_eq!(handbook.title("bad-sheet"), "Bad sheet");
        let named = Handbook::from_texts([(
            "bad-date".to_owned(),
            "# bad-date\n\nWrite it so.\n".to_owned(),
        )]);
        assert_eq!(named.title("bad-date"), "Bad date");
    }
}
