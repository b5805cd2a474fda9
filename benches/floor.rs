//! The floor that a press is held against: the least program that reads the same logs, parses and renders each of them, and
//! writes as many files of the same lengths, with the same libraries and on all cores.
//!
//!     cargo run --release --example floor -- DIARY PRESSED NEW
//!
//! `DIARY` is a diary, `PRESSED` what press made of it, `NEW` a folder to write to. No figure is reckoned, no private word
//! looked for, nothing digested or drawn, nothing written under another name first: what press takes beyond this is its own.

use std::collections::BTreeMap;
use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};

use granit_parser::{Event, Parser as Yaml};
use pulldown_cmark::{Options, Parser as Markdown, html};
use rayon::prelude::*;
use serde::Deserialize;
use tera::{Context, Tera};

const SHEET: &str = "<!doctype html>\n<html lang=\"en\">\n<head><meta charset=\"utf-8\"><title>{{ title }}</title></head>\n\
<body>\n<dl>{% for word in words %}<dd>{{ word }}</dd>{% endfor %}</dl>\n{{ text | safe }}</body>\n</html>\n";

/// As much of the ledger as is needed.
#[derive(Deserialize)]
struct Ledger {
    files: BTreeMap<String, Entry>,
}

#[derive(Deserialize)]
struct Entry {
    length: usize,
}

struct Log {
    words: Vec<String>,
    html: String,
}

fn main() -> Result<(), Box<dyn Error + Send + Sync>> {
    let folders: Vec<PathBuf> = std::env::args_os().skip(1).map(PathBuf::from).collect();
    let [diary, pressed, new] = folders.as_slice() else {
        return Err("give three folders: floor DIARY PRESSED NEW".into());
    };
    let mut paths = Vec::new();
    list(&diary.join("jobs"), &mut paths)?;
    paths.sort();
    let logs: Vec<Log> = paths
        .par_iter()
        .map(|path| read(path))
        .collect::<Result<_, _>>()?;
    if logs.is_empty() {
        return Err("the diary has no logs".into());
    }
    let mut sheets = Tera::default();
    sheets.add_raw_template("page.html", SHEET)?;

    let ledger: Ledger = serde_json::from_slice(&fs::read(pressed.join("ledger/written.json"))?)?;
    for path in ledger.files.keys() {
        if let Some(folder) = Path::new(path).parent() {
            fs::create_dir_all(new.join(folder))?;
        }
    }
    let files: Vec<(&String, &Entry)> = ledger.files.iter().collect();
    files
        .par_iter()
        .enumerate()
        .try_for_each(|(number, (path, entry))| {
            let mut bytes = Vec::new();
            if path.ends_with(".html") {
                bytes = page(&sheets, &logs[number % logs.len()])?;
            }
            bytes.resize(entry.length, b' ');
            fs::write(new.join(path), bytes).map_err(Into::into)
        })
}

fn list(folder: &Path, paths: &mut Vec<PathBuf>) -> std::io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            list(&path, paths)?;
        } else {
            paths.push(path);
        }
    }
    Ok(())
}

fn read(path: &Path) -> Result<Log, Box<dyn Error + Send + Sync>> {
    let text = fs::read_to_string(path)?;
    let (front, body) = text
        .strip_prefix("---\n")
        .and_then(|rest| rest.split_once("\n---\n"))
        .ok_or("a log without front matter")?;
    let mut words = Vec::new();
    for event in Yaml::new_from_str(front) {
        if let (Event::Scalar(value, ..), _) = event? {
            words.push(value.into_owned());
        }
    }
    let mut rendered = String::new();
    html::push_html(&mut rendered, Markdown::new_ext(body, Options::all()));
    Ok(Log {
        words,
        html: rendered,
    })
}

fn page(sheets: &Tera, log: &Log) -> tera::TeraResult<Vec<u8>> {
    let mut context = Context::new();
    context.insert("title", &log.words[1]);
    context.insert("words", &log.words);
    context.insert("text", &log.html);
    sheets.render("page.html", &context).map(String::into_bytes)
}
