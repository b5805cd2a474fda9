//! The pocket page: one HTML file on which a day is noted on the phone, in lines that `jot` reads back exactly. Made
//! of the program's own page and of the diary's words alone: task types, location types, what is typed for them.
//! Knows of no client, no job and no money, and writes no file.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use jiff::civil::{Date, date};
use serde_json::{Value, json};
use sha2::{Digest as _, Sha256};

use super::built_in::BUILT_IN;
use super::note::NoteTask;
use super::vocabulary::{Group, Vocabulary};
use super::{new_log, read};
use crate::model::{Settings, TaskType, Unit};

const HTML: &str = include_str!("../../content/pocket/pocket.html");
const STYLE: &str = include_str!("../../content/pocket/pocket.css");
const SCRIPT: &str = include_str!("../../content/pocket/pocket.js");

/// What a pocket page is known by.
const MARK: &str = "<meta name=\"daywork\" content=\"pocket\">";

/// How far into a file the mark stands at most, in bytes.
const MARK_WITHIN: usize = 1000;

/// The largest page, in bytes: past it a page does without the spellings that tasks are only looked up by.
pub const LARGEST: usize = 60_000;

/// A pocket page.
#[derive(Clone, Debug)]
pub struct Page {
    /// The whole file.
    pub html: String,
    /// How many task types are on it.
    pub tasks: usize,
    /// Keys of task and location types that no spelling reads back to; they are not on it. Empty as a rule.
    pub left_out: Vec<String>,
}

/// Whether a text is a pocket page, of this version or another.
pub fn is_pocket(text: &str) -> bool {
    text.find(MARK).is_some_and(|at| at < MARK_WITHIN)
}

impl Page {
    /// The page of a diary: the same settings give the same bytes.
    pub fn new(settings: &Settings) -> Self {
        let vocabulary = Vocabulary::new(settings);
        let mut left_out = Vec::new();
        let mut tasks = Vec::new();
        for (key, task) in &settings.tasks {
            match spelling(key, task, &vocabulary) {
                Some(say) => tasks.push((task, say)),
                None => left_out.push(key.clone()),
            }
        }
        let mut locations = Vec::new();
        for (key, name) in &settings.locations {
            if location_reads_back(key, &vocabulary) {
                locations.push((key.as_str(), name.as_str()));
            } else {
                left_out.push(key.clone());
            }
        }
        // A kind whose name the diary has for its work would be read as that.
        let kinds: Vec<&str> = BUILT_IN
            .kinds
            .keys()
            .map(String::as_str)
            .filter(|kind| vocabulary.has(Group::Kind, kind))
            .collect();
        let full = html(&words(&tasks, &locations, &kinds, LookedUpBy::Everything));
        let html = if full.len() <= LARGEST {
            full
        } else {
            html(&words(&tasks, &locations, &kinds, LookedUpBy::Name))
        };
        Page {
            html,
            tasks: tasks.len(),
            left_out,
        }
    }
}

/// What a task type is found by on the page.
#[derive(Clone, Copy)]
enum LookedUpBy {
    /// Its name and all that is typed for it.
    Everything,
    /// Its name and what the note says for it.
    Name,
}

/// The words of a diary and of the program as the script takes them. A location type is its key and its name.
fn words(
    tasks: &[(&TaskType, String)],
    locations: &[(&str, &str)],
    kinds: &[&str],
    by: LookedUpBy,
) -> Value {
    json!({
        "tasks": tasks.iter().map(|(task, say)| task_words(task, say, by)).collect::<Vec<_>>(),
        "locations": locations,
        "kinds": kinds,
        "who": BUILT_IN.who.keys().collect::<Vec<_>>(),
        "telling": BUILT_IN.told.keys().collect::<Vec<_>>(),
        "done": BUILT_IN.done,
        "cable": BUILT_IN.cable_words,
        "pay": BUILT_IN.not_material,
    })
}

/// A task type as the script takes it: its name, what the note says for it, what it is looked up by besides, and its
/// unit where that changes the line.
fn task_words(task: &TaskType, say: &str, by: LookedUpBy) -> Value {
    let also: Vec<&str> = task
        .also
        .iter()
        .map(String::as_str)
        .filter(|word| *word != say && matches!(by, LookedUpBy::Everything))
        .collect();
    match &task.unit {
        Unit::Metre | Unit::Circuit => json!([task.name, say, also.join(" "), task.unit.word()]),
        _ => json!([task.name, say, also.join(" ")]),
    }
}

fn html(words: &Value) -> String {
    // Every `<` is written as its number: no name in a diary can end the block of words.
    let words = words.to_string().replace('<', "\\u003c");
    // In a style, unlike in a script, a space after these marks never means anything.
    let style = [
        (": ", ":"),
        ("; ", ";"),
        (", ", ","),
        (" { ", "{"),
        (" {\n", "{\n"),
    ]
    .iter()
    .fold(lean(STYLE), |style, (wide, narrow)| {
        style.replace(wide, narrow)
    });
    let script = lean(SCRIPT);
    let policy = format!(
        "default-src 'none'; style-src 'sha256-{}'; script-src 'sha256-{}'; base-uri 'none'; form-action 'none'",
        digest(&style),
        digest(&script)
    );
    let parts = [
        ("<!--policy-->", policy.as_str()),
        ("/*style*/", style.as_str()),
        ("<!--words-->", words.as_str()),
        ("/*script*/", script.as_str()),
    ];
    let mut page = String::new();
    let mut rest = HTML;
    for (place, text) in parts {
        let (before, after) = rest
            .split_once(place)
            .expect("the page is part of the program and holds its places in this order");
        page.push_str(before);
        page.push_str(text);
        rest = after;
    }
    page.push_str(rest);
    page
}

/// A style or script without the comments that have lines of their own, without blank lines and indents: a third of the
/// page is for whoever reads the source. Neither file has a text that runs over a line's end.
fn lean(text: &str) -> String {
    let mut out = String::new();
    for line in text.lines().map(str::trim) {
        let comment = line.starts_with("//") || line.starts_with("/*") && line.ends_with("*/");
        if !line.is_empty() && !comment {
            out.push_str(line);
            out.push('\n');
        }
    }
    out
}

/// SHA-256 in base 64, as a Content-Security-Policy names an inline style or script.
fn digest(text: &str) -> String {
    STANDARD.encode(Sha256::digest(text.as_bytes()))
}

/// A day to try lines on; any will do.
const SOME_DAY: Date = date(2026, 1, 2);

/// The first spelling of a task type that reads back as it in every line that the page may write.
fn spelling(key: &str, task: &TaskType, vocabulary: &Vocabulary) -> Option<String> {
    let plain = key.replace('-', " ");
    task.also
        .iter()
        .map(String::as_str)
        .chain([plain.as_str(), key, task.name.as_str()])
        .find(|say| !say.contains('\n') && says(say, key, &task.unit, vocabulary))
        .map(str::to_owned)
}

fn says(say: &str, key: &str, unit: &Unit, vocabulary: &Vocabulary) -> bool {
    let lines: [(String, Option<f64>, Option<i64>); 4] = match unit {
        Unit::Metre => [
            (say.to_owned(), None, None),
            (format!("{say} 24m"), Some(24.0), None),
            (format!("{say} 24m 0h45"), Some(24.0), Some(45)),
            (format!("{say} 0h45"), None, Some(45)),
        ],
        Unit::Circuit => [
            (say.to_owned(), None, None),
            (format!("{say} x9"), Some(9.0), None),
            (format!("{say} x9 3h30"), Some(9.0), Some(210)),
            (format!("{say} 45m"), None, Some(45)),
        ],
        _ => [
            (say.to_owned(), None, None),
            (format!("2x {say}"), Some(2.0), None),
            (format!("2x {say} 3h05"), Some(2.0), Some(185)),
            (format!("{say} 45m"), None, Some(45)),
        ],
    };
    lines.into_iter().all(|(line, count, minutes)| {
        let note = read(
            &format!("job: x\n2026-01-02 08:15-17:00\n{line}\n"),
            vocabulary,
            SOME_DAY,
        );
        let [job] = note.jobs.as_slice() else {
            return false;
        };
        let meant = NoteTask {
            task: key.to_owned(),
            count,
            minutes,
        };
        let [visit] = job.visits.as_slice() else {
            return false;
        };
        visit.tasks == [meant]
            && visit.minutes == Some(525)
            && visit.rest == 0
            && visit.parking.is_none()
            && job.left_over.is_empty()
            && job.materials.is_empty()
            && job.findings.is_empty()
            && job.readings.is_empty()
    })
}

fn location_reads_back(key: &str, vocabulary: &Vocabulary) -> bool {
    let note = read(
        &format!("job: x\n2026-01-02 08:15-17:00\nlocation: {key}\n"),
        vocabulary,
        SOME_DAY,
    );
    note.jobs
        .first()
        .is_some_and(|job| new_log::location_typed(job, vocabulary) == Some(key))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diary::read_files;

    fn settings(yaml: &str) -> Settings {
        let text = format!(
            "title: A diary\nsite: {{address: https://example.com, language: en-GB, timezone: Europe/London}}\n{yaml}"
        );
        read_files(vec![("diary.yaml".to_owned(), text.into_bytes())])
            .diary
            .settings
    }

    #[test]
    fn a_spelling_that_belongs_to_another_task_is_passed_over() {
        let settings = settings(
            "tasks:\n  fan: {name: Change a fan, unit: each, also: [iso]}\n  \
             isolator: {name: Fit an isolator, unit: each, also: [iso]}\n  \
             lay: {name: Lay cable, unit: metre, also: [swa, swa run]}\n\
             materials:\n  - {item: Armoured cable, unit: m, cost: 3.10, also: [swa]}\n",
        );
        let vocabulary = Vocabulary::new(&settings);
        let say = |key: &str| spelling(key, &settings.tasks[key], &vocabulary);
        assert_eq!(say("fan").as_deref(), Some("iso"));
        assert_eq!(say("isolator").as_deref(), Some("isolator"));
        assert_eq!(say("lay").as_deref(), Some("swa run"));
    }

    #[test]
    fn a_task_type_that_nothing_reads_back_to_is_named() {
        let page = Page::new(&settings(
            "tasks:\n  c1: {name: C1, unit: each}\n  skt: {name: Change a socket, unit: each}\n",
        ));
        assert_eq!(page.left_out, ["c1"]);
        assert_eq!(page.tasks, 1);
    }

    #[test]
    fn a_kind_of_visit_that_is_a_task_of_the_diary_is_not_on_the_page() {
        let kinds = |also: &str| {
            let page = Page::new(&settings(&format!(
                "tasks:\n  look: {{name: Look at a job, unit: each, also: [{also}]}}\n"
            )));
            let (_, kinds) = page.html.split_once("\"kinds\":[").expect("its kinds");
            let (kinds, _) = kinds.split_once(']').expect("their end");
            kinds.contains("\"survey\"")
        };
        assert!(kinds("look over"));
        assert!(!kinds("survey"));
    }

    #[test]
    fn no_name_ends_the_block_of_words() {
        let page = Page::new(&settings(
            "tasks:\n  skt: {name: \"Change </script><b>a socket\", unit: each}\n",
        ));
        assert!(page.html.contains("\\u003c/script>\\u003cb>a socket"));
        assert_eq!(page.html.matches("</script>").count(), 2);
    }
}
