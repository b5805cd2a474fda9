//! The handbook: every code has its page, every page its code, and what a page says sets a code off really does.
//!
//! A fenced block of a page takes part by words after its language:
//! - `sets-it-off`: the blocks with this word together are a diary that gives the page's code;
//! - `mended`: the blocks with this word together are a diary that gives it no more;
//! - a path (`jobs/2026/slip-shed.md`, `diary.yaml`): the file that the block stands in, else a log of its own;
//! - `whole`: front matter to which no standard key is added.
//!
//! A `yaml` block is front matter, or keys of `diary.yaml`, in a standard frame of the keys that it does not give.
//! An `md` block with a path is a whole file; without one it is the text of a standard public log.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::PathBuf;

use daywork::diagnose::text::{Colour, render};
use daywork::diagnose::{Code, put_in_order};
use daywork::diary::read_files;
use daywork::rules;
use daywork::trade::cautions;
use pulldown_cmark::{CodeBlockKind, Event, HeadingLevel, Parser, Tag, TagEnd};

/// Codes whose pages cannot show the fault by a diary of texts, and why.
const NOT_SHOWN: &[(Code, &str)] = &[
    (Code::NotUtf8, "a page of the handbook is UTF-8 itself"),
    (Code::CannotRead, "about the file on its disk, not its text"),
    (
        Code::FileTooLarge,
        "a page of eight megabytes helps nobody; tests of the store make one",
    ),
    (Code::LinkOutside, "about links of the file system"),
    (Code::FoldersTooDeep, "about folders on a disk"),
    (
        Code::PhotoBroken,
        "about a file that is no text; tests/photos shows files of this kind to the program",
    ),
    (
        Code::PhotoTooLarge,
        "about a file that is no text; a test of the look at photos makes one",
    ),
    (
        Code::DrawingUnsound,
        "judged by whoever takes a drawing onto the site, after reading and rules",
    ),
    (
        Code::BadSheet,
        "about templates, which no text of a log can break",
    ),
];

const DIARY: &[(&str, &str)] = &[
    ("title", "title: The test diary\n"),
    (
        "trader",
        "trader: {name: Nan Tregarrow, trading_as: Gullwick Electrical, phone: 01632 960123, email: nan@example.com}\n",
    ),
    (
        "site",
        "site: {address: https://example.com, language: en-GB, timezone: Europe/London}\n",
    ),
    (
        "rates",
        "rates: {currency: GBP, hour: 42.00, day: 320.00, day_length: 8h, call_out: 65.00, mile: 0.45, markup_percent: 15}\n",
    ),
    (
        "years",
        "years:\n  - {from: 2026-04-06, pay: 34000, overheads: 9800, weeks: 44, admin: 5h}\n",
    ),
    (
        "locations",
        "locations: {boat-shed: Boat shed or yard, shop: Shop or cafe, rented-flat: Rented flat}\n",
    ),
    (
        "tasks",
        "tasks:
  shore-point: {name: Change a shore-power outlet, unit: each}
  armoured-run: {name: Lay or clip armoured cable, unit: metre}
  downlight: {name: Fit or change a downlight, unit: each}
  fault-finding: {name: Fault finding, unit: job}
",
    ),
    (
        "materials",
        "materials:
  - {item: \"Armoured gland, outdoor\", unit: each, cost: 4.50}
  - {item: Armoured cable 4 mm2 three-core, unit: m, cost: 3.10}
",
    ),
    ("guarantee", "guarantee: {years: 6}\n"),
];

const CLIENTS: &str = "\
tarrow-slip:
  name: Tarrow Slip Boatyard
  contact: Odo Brannick
  phone: 07700 900118
";

/// A page as it stands in the handbook.
struct Page {
    code: String,
    text: String,
}

/// A fenced block: its language, the words after that, its text.
struct Block {
    language: String,
    words: Vec<String>,
    text: String,
}

impl Block {
    fn has(&self, word: &str) -> bool {
        self.words.iter().any(|w| w == word)
    }

    fn path(&self) -> Option<&str> {
        self.words
            .iter()
            .map(String::as_str)
            .find(|word| word.contains('.'))
    }
}

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("content/handbook")
}

/// Every page but the handbook's own first page, in order of name.
fn pages() -> Vec<Page> {
    let mut pages: Vec<Page> = fs::read_dir(folder())
        .expect("the handbook is part of the crate")
        .map(|entry| entry.expect("its folder can be listed").path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "md"))
        .map(|path| Page {
            code: path
                .file_stem()
                .and_then(|stem| stem.to_str())
                .expect("names are plain")
                .to_owned(),
            text: fs::read_to_string(&path).expect("a page is text"),
        })
        .filter(|page| page.code != "index")
        .collect();
    pages.sort_by(|a, b| a.code.cmp(&b.code));
    pages
}

fn page(code: Code) -> Page {
    pages()
        .into_iter()
        .find(|page| page.code == code.as_str())
        .unwrap_or_else(|| panic!("{code} has no page"))
}

fn blocks(page: &str) -> Vec<Block> {
    let mut blocks = Vec::new();
    let mut open: Option<Block> = None;
    for event in Parser::new(page) {
        match event {
            Event::Start(Tag::CodeBlock(CodeBlockKind::Fenced(info))) => {
                let mut words = info.split_whitespace().map(str::to_owned);
                open = Some(Block {
                    language: words.next().unwrap_or_default(),
                    words: words.collect(),
                    text: String::new(),
                });
            }
            Event::Text(text) => {
                if let Some(block) = &mut open {
                    block.text.push_str(&text);
                }
            }
            Event::End(TagEnd::CodeBlock) => blocks.extend(open.take()),
            _ => {}
        }
    }
    blocks
}

/// The keys of `frame` that `given` does not have at its margin, before it.
fn framed(given: &str, frame: &[(&str, String)]) -> String {
    let has = |key: &str| {
        given
            .lines()
            .any(|line| line.split(':').next() == Some(key))
    };
    let mut text: String = frame
        .iter()
        .filter(|(key, _)| !has(key))
        .map(|(_, lines)| lines.as_str())
        .collect();
    text.push_str(given);
    text
}

/// The files of the diary that the blocks with a word make.
fn diary(page: &str, word: &str) -> Vec<(String, Vec<u8>)> {
    let mut files: BTreeMap<String, String> = BTreeMap::new();
    files.insert("clients.yaml".to_owned(), CLIENTS.to_owned());
    let settings: Vec<(&str, String)> = DIARY
        .iter()
        .map(|(key, lines)| (*key, (*lines).to_owned()))
        .collect();
    files.insert("diary.yaml".to_owned(), framed("", &settings));
    for (number, block) in blocks(page)
        .iter()
        .filter(|block| block.has(word))
        .enumerate()
    {
        // Each log of the frame has a ref and a day of its own, so that only what a page writes can clash.
        let log_frame = [
            ("title", format!("title: Log number {}\n", number + 1)),
            ("ref", format!("ref: 2026-9{number:02}\n")),
            ("location", "location: boat-shed\n".to_owned()),
            (
                "visits",
                format!(
                    "visits:\n  - {{date: 2026-03-{:02}, time: 3h}}\n",
                    12 + number
                ),
            ),
        ];
        let own_path = format!("jobs/2026/log-{}.md", number + 1);
        let path = block.path().unwrap_or(&own_path);
        let text = match block.language.as_str() {
            "yaml" if path == "diary.yaml" => framed(&block.text, &settings),
            "yaml" if block.has("whole") => format!("---\n{}---\n\nWords.\n", block.text),
            "yaml" if path.ends_with(".md") => {
                format!("---\n{}---\n\nWords.\n", framed(&block.text, &log_frame))
            }
            "md" if block.path().is_none() => {
                format!(
                    "---\n{}publish: 2026-03-20\n---\n\n{}",
                    framed("", &log_frame),
                    block.text
                )
            }
            _ => block.text.clone(),
        };
        files.insert(path.to_owned(), text);
    }
    files
        .into_iter()
        .map(|(path, text)| (path, text.into_bytes()))
        .collect()
}

/// The codes that a diary gives, and everything said of it.
fn said(files: Vec<(String, Vec<u8>)>) -> (BTreeSet<Code>, String) {
    let mut read = read_files(files);
    let mut all = std::mem::take(&mut read.diagnostics);
    for job in &read.diary.jobs {
        cautions::check(job.file, &job.body, &mut all);
    }
    all.extend(rules::check(&read.diary, jiff::civil::date(2026, 11, 25)));
    put_in_order(&mut all, &read.sources);
    let codes = all.iter().map(|diagnostic| diagnostic.code).collect();
    (codes, render(&all, &read.sources, Colour::Plain))
}

/// The codes whose pages show their fault.
fn shown() -> impl Iterator<Item = Code> {
    Code::ALL
        .iter()
        .copied()
        .filter(|code| NOT_SHOWN.iter().all(|(other, _)| other != code))
}

#[test]
fn every_code_has_a_page_and_every_page_a_code() {
    let codes: BTreeSet<&str> = Code::ALL.iter().map(|code| code.as_str()).collect();
    let pages = pages();
    let named: BTreeSet<&str> = pages.iter().map(|page| page.code.as_str()).collect();
    assert_eq!(named, codes);
}

#[test]
fn every_page_has_its_heading_an_example_and_a_length_that_is_read() {
    for page in pages() {
        let code = &page.code;
        assert!(
            page.text
                .starts_with(&format!("# {code}\n\n## What it says\n")),
            "{code}: heading"
        );
        let headings = Parser::new(&page.text)
            .filter(|event| {
                matches!(
                    event,
                    Event::Start(Tag::Heading {
                        level: HeadingLevel::H2,
                        ..
                    })
                )
            })
            .count();
        assert_eq!(
            headings, 4,
            "{code}: what it says, why it matters, what sets it off, how to write it right"
        );
        let examples = blocks(&page.text);
        assert!(
            examples
                .iter()
                .any(|block| block.language == "yaml" || block.language == "md"),
            "{code}: an example"
        );
        let mut in_block = false;
        let mut words = 0;
        for event in Parser::new(&page.text) {
            match event {
                Event::Start(Tag::CodeBlock(_)) => in_block = true,
                Event::End(TagEnd::CodeBlock) => in_block = false,
                Event::Text(text) | Event::Code(text) if !in_block => {
                    words += text.split_whitespace().count()
                }
                _ => {}
            }
        }
        assert!((60..=220).contains(&words), "{code}: {words} words");
    }
}

/// No page of ours calls a circuit, a reading or an installation by that word.
#[test]
fn no_page_calls_anything_safe() {
    for page in pages() {
        let said = page
            .text
            .split(|c: char| !c.is_alphabetic())
            .find(|word| word.eq_ignore_ascii_case("safe"));
        assert_eq!(said, None, "{}", page.code);
    }
}

#[test]
fn every_page_but_those_named_shows_its_fault_and_its_mending() {
    for page in pages() {
        let cannot = NOT_SHOWN.iter().any(|(code, _)| code.as_str() == page.code);
        let blocks = blocks(&page.text);
        for word in ["sets-it-off", "mended"] {
            assert_eq!(
                blocks.iter().any(|block| block.has(word)),
                !cannot,
                "{}: {word}",
                page.code
            );
        }
    }
}

#[test]
fn what_sets_a_code_off_gives_that_code() {
    let mut wrong = String::new();
    for code in shown() {
        let (codes, text) = said(diary(&page(code).text, "sets-it-off"));
        if !codes.contains(&code) {
            wrong.push_str(&format!(
                "\n{code} is not set off by its page. What was said:\n{text}"
            ));
        }
    }
    assert_eq!(wrong, "");
}

/// Not its own code alone: an example to copy from sets off nothing at all.
#[test]
fn what_is_mended_is_wholly_quiet() {
    let mut wrong = String::new();
    for code in shown() {
        let (_, text) = said(diary(&page(code).text, "mended"));
        if !text.is_empty() {
            wrong.push_str(&format!("\n{code}: what is mended still says:\n{text}"));
        }
    }
    assert_eq!(wrong, "");
}

/// The pages on figures: name and text, in order of name.
fn figures() -> Vec<(String, String)> {
    let mut figures: Vec<(String, String)> = fs::read_dir(folder().join("figures"))
        .expect("part of the handbook")
        .map(|entry| entry.expect("its folder can be listed").path())
        .map(|path| {
            let name = path.file_stem().and_then(|stem| stem.to_str());
            let text = fs::read_to_string(&path).expect("a page is text");
            (name.expect("names are plain").to_owned(), text)
        })
        .collect();
    figures.sort();
    figures
}

#[test]
fn every_figure_is_explained_in_words_with_where_it_comes_from() {
    let figures = figures();
    assert!(figures.len() >= 11, "{} pages", figures.len());
    for (name, text) in &figures {
        let headings: Vec<&str> = text
            .lines()
            .filter(|line| line.starts_with("## "))
            .collect();
        assert_eq!(
            headings,
            [
                "## How it comes about",
                "## What it does not say",
                "## Where it comes from"
            ],
            "{name}"
        );
        assert!(text.starts_with("# "), "{name}: a title");
        let words = text.split_whitespace().count();
        assert!((100..=230).contains(&words), "{name}: {words} words");
        let symbol = text.chars().find(|c| "=+×÷√∑≤≥^".contains(*c));
        let symbol = symbol.filter(|_| !text.contains("--what-if"));
        assert_eq!(symbol, None, "{name}: words, no formula");
        let said = text
            .split(|c: char| !c.is_alphabetic())
            .find(|word| word.eq_ignore_ascii_case("safe"));
        assert_eq!(said, None, "{name}");
    }
}

#[test]
fn figures_lead_to_each_other_by_names_that_are_there() {
    let figures = figures();
    let mut links = 0;
    for (name, text) in &figures {
        for event in Parser::new(text) {
            if let Event::Start(Tag::Link { dest_url, .. }) = event {
                let other = dest_url.strip_suffix(".md").unwrap_or_default();
                assert!(
                    figures.iter().any(|(there, _)| there == other),
                    "{name}: {dest_url}"
                );
                links += 1;
            }
        }
    }
    assert!(links > 10, "only {links} links were looked at");
}
