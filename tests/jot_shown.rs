//! The reading of notes as it is shown, eighty columns wide.

mod common;

use std::fs;
use std::path::Path;

use common::tree;
use daywork::diary;
use daywork::jot::Opened;
use daywork::jot::ask::{self, Answer, Settled};
use daywork::jot::near::Near;
use daywork::jot::plan::Desk;
use daywork::jot::shown;
use daywork::jot::vocabulary::Vocabulary;
use jiff::civil::{Date, date};

const TODAY: Date = date(2026, 11, 25);

/// The demo's settings, with three logs that the notes go on with.
fn demo() -> diary::Read {
    let settings = Path::new(env!("CARGO_MANIFEST_DIR")).join("example-site/diary.yaml");
    let mut files = vec![(
        "diary.yaml".to_owned(),
        fs::read(settings).expect("settings"),
    )];
    for reference in ["2026-027", "2026-031", "2026-054"] {
        let log = format!(
            "---\ntitle: A job\nref: {reference}\nlocation: shop\nvisits: [{{date: 2026-06-10, time: 2h}}]\n---\n"
        );
        files.push((format!("jobs/2026/{reference}.md"), log.into_bytes()));
    }
    diary::read_files(files)
}

fn shown(read: &diary::Read, note: &str) -> String {
    let vocabulary = Vocabulary::new(&read.diary.settings);
    let opened = Opened::new(note);
    let note = opened.read(&vocabulary, TODAY);
    let near = opened.near(&note, &vocabulary);
    let scenes = opened.scenes(&vocabulary, TODAY);
    let placed = Desk::new(read)
        .take(&note, &opened.kept, &scenes, &vocabulary)
        .expect("placed");
    shown::plan(&note, &near, &placed)
}

#[test]
fn every_set_is_shown_line_by_line_within_eighty_columns() {
    let read = demo();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/notes");
    let mut names: Vec<_> = fs::read_dir(&folder)
        .expect("the sets are there")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "txt"))
        .collect();
    names.sort();
    for path in names {
        let name = path
            .file_stem()
            .expect("a name")
            .to_string_lossy()
            .into_owned();
        let text = shown(&read, &fs::read_to_string(&path).expect("a note"));
        assert!(
            text.lines().all(|line| line.chars().count() <= 80),
            "{text}"
        );
        insta::assert_snapshot!(name, text);
    }
}

#[test]
fn other_hands_are_read_as_far_as_they_can_be() {
    let read = demo();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/notes/other_hands");
    for (name, bytes) in tree(&folder) {
        let text = shown(&read, &String::from_utf8(bytes).expect("text"));
        assert!(
            text.lines().all(|line| line.chars().count() <= 80),
            "{text}"
        );
        insta::assert_snapshot!(name, text);
    }
}

#[test]
fn what_a_terminal_would_obey_is_shown_and_not_obeyed() {
    let text = shown(&demo(), "Barn\n\u{1b}[2J wiped \u{202e}backwards\n");
    assert!(!text.contains(['\u{1b}', '\u{202e}']), "{text:?}");
}

fn answered(note: &str, answers: &[Answer]) -> (String, Vec<Near>, Vec<String>) {
    let read = demo();
    let mut vocabulary = Vocabulary::new(&read.diary.settings);
    let opened = Opened::new(note);
    let mut asked = Vec::new();
    let mut answers = answers.iter();
    let Settled { note, always, .. } =
        ask::settle(&opened, &mut vocabulary, TODAY, &mut |near: &Near| {
            asked.push(format!("{}: {}", near.typed, near.meaning));
            answers.next().copied().ok_or("no more answers")
        })
        .expect("answered");
    (shown::reading(&note, &[]), always, asked)
}

const MISSPELT: &str = "Chandlery\n16/11 8.30-12\nfault fnid 1h15\n3 sokets 55m\nparknig 2.40\nno bond C2 told onwer\n";

#[test]
fn each_near_spelling_is_asked_about_once_and_taken_only_with_a_yes() {
    let (text, always, asked) = answered(
        MISSPELT,
        &[Answer::Yes, Answer::Always, Answer::Yes, Answer::No],
    );
    assert_eq!(
        asked,
        [
            "fault fnid: fault-finding",
            "sokets: socket",
            "parknig: parking",
            "onwer: owner"
        ]
    );
    assert!(text.contains("task fault-finding, 1 h 15"), "{text}");
    assert!(text.contains("task 3 x socket, 55 min"), "{text}");
    assert!(text.contains("parking, 2.40"), "{text}");
    assert!(text.contains("nobody told"), "{text}");
    assert_eq!(always.len(), 1);
    assert_eq!(
        (always[0].typed.as_str(), always[0].meaning.as_str()),
        ("sokets", "socket")
    );
}

#[test]
fn a_no_leaves_every_line_as_text() {
    let (text, always, asked) = answered(MISSPELT, &[Answer::No; 4]);
    assert_eq!(asked.len(), 4);
    assert!(always.is_empty());
    assert!(
        text.contains("3 sokets 55m                         stays text"),
        "{text}"
    );
}

#[test]
fn a_spelling_learnt_in_one_place_is_read_in_every_other() {
    let (text, _, asked) = answered(
        "Hall\n16/11 9-12\n3 sokets 55m\n1 soket 20m\n2 sokets 30m\n",
        &[Answer::Yes, Answer::Yes],
    );
    assert_eq!(asked, ["sokets: socket", "soket: socket"]);
    assert_eq!(text.matches("x socket").count(), 3, "{text}");
}

#[test]
fn a_question_stands_below_its_line_with_the_answers_that_it_takes() {
    let mut asked = Vec::new();
    let read = demo();
    ask::settle(
        &Opened::new("Chandlery\n16/11 8.30-12\n3 Sokets 55m\nno bond C2\u{7} told onwer\n"),
        &mut Vocabulary::new(&read.diary.settings),
        TODAY,
        &mut |near: &Near| {
            let always = Answer::from_words("always", near);
            asked.push((shown::question(near), shown::answers(near, " or "), always));
            Ok::<_, ()>(Answer::No)
        },
    )
    .expect("answered");
    let text = |text: &str| text.to_owned();
    assert_eq!(
        asked,
        [
            (
                text("  3  3 Sokets 55m\n     sokets: did you mean socket? (yes, no, always) "),
                text("yes, no or always"),
                Some(Answer::Always),
            ),
            (
                text(
                    "  4  no bond C2\u{fffd} told onwer\n     onwer: did you mean owner? (yes, no) "
                ),
                text("yes or no"),
                None,
            ),
        ]
    );
}
