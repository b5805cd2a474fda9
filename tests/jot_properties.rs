//! What holds for every note: nothing typed is lost, nothing is public, nothing panics, nothing takes long.

mod common;

use std::convert::Infallible;
use std::path::Path;
use std::time::{Duration, Instant};

use common::{notes, tree};
use daywork::diary::{self, Read};
use daywork::jot::Opened;
use daywork::jot::ask::{self, Answer};
use daywork::jot::plan::{Desk, How};
use daywork::jot::shown;
use daywork::jot::vocabulary::Vocabulary;
use jiff::civil::{Date, date};
use proptest::prelude::*;

const TODAY: Date = date(2026, 11, 25);
/// How many edits of the sets are read.
const EDITS: usize = 10_000;
/// Every so many of them also becomes a log that is read back.
const WRITTEN_EVERY: usize = 40;

fn starter() -> Vec<(String, Vec<u8>)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("content/starter");
    tree(&root).into_iter().collect()
}

fn diary() -> Read {
    diary::read_files(starter())
}

fn sets() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/notes");
    tree(&folder)
        .into_iter()
        .filter(|(name, _)| name.ends_with(".txt") || name.ends_with(".vtt"))
        .map(|(_, bytes)| String::from_utf8(bytes).expect("text"))
        .collect()
}

fn without_spaces(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_whitespace() && *c != '\u{feff}')
        .collect()
}

/// Writes a note into a diary and finds all of it again: in the private part of the log of each of its jobs, word for
/// word, with nothing in the part that readers might see.
fn nothing_is_lost(read: &Read, vocabulary: &Vocabulary, note: &str) {
    let opened = Opened::new(note);
    let said = opened.read(vocabulary, TODAY);
    let scenes = opened.scenes(vocabulary, TODAY);
    let mut desk = Desk::new(read);
    let Ok(placed) = desk.take(&said, &opened.kept, &scenes, vocabulary) else {
        // A ref that no log has: refused as a whole, and the note stays where it is.
        assert!(
            said.jobs.iter().any(|job| job.reference.is_some()) || said.jobs.len() > 50,
            "{note}"
        );
        return;
    };
    let finished = desk
        .finish(TODAY)
        .unwrap_or_else(|refusal| panic!("{refusal}\n{note}"));
    assert_eq!(placed.len(), said.jobs.len());
    let mut files = starter();
    for change in &finished.changes {
        assert!(
            without_spaces(&change.text).contains(&without_spaces(note)),
            "{note}\n{}",
            change.text
        );
        files.push((change.path.clone(), change.text.clone().into_bytes()));
    }
    let again = diary::read_files(files);
    for change in &finished.changes {
        let job = again
            .diary
            .jobs
            .iter()
            .find(|job| *job.path.in_office() == change.path);
        let job = job.unwrap_or_else(|| panic!("unreadable:\n{}", change.text));
        assert_eq!(job.body.open.trim(), "", "{}", change.text);
        for left in said.jobs.iter().flat_map(|job| &job.left_over) {
            let private: String = job
                .body
                .private
                .iter()
                .map(|block| block.text.in_office().to_string())
                .collect();
            // NUL is read as its replacement wherever Markdown is read.
            let plain = |text: &str| text.replace('\0', "\u{fffd}");
            let (text, private) = (plain(&left.text), plain(&private));
            assert!(
                private.contains(&text) || said.jobs.len() > 1,
                "{text:?} in {private}"
            );
        }
    }
    let mut desk = Desk::new(&again);
    let second = desk
        .take(&said, &opened.kept, &scenes, vocabulary)
        .expect("placed once, placed again");
    assert!(
        second.iter().all(|placed| placed.how == How::Already),
        "{note}"
    );
    assert!(desk.finish(TODAY).expect("finished").changes.is_empty());
}

/// A small generator of our own, so that the same edits are made on every machine.
struct Dice(u64);

impl Dice {
    fn throw(&mut self, sides: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).expect("31 bits") % sides.max(1)
    }
}

const BITS: [&str; 44] = [
    "9-5",
    "half 8",
    "2x",
    "x2",
    "c2",
    "told owner",
    "all",
    "45m",
    "1h 20",
    "mats:",
    "used",
    "\n\n",
    "\r",
    "ref 2026-031",
    "# ",
    "job: ",
    "wed",
    "12/3",
    "2 mar",
    "29 feb",
    "zs .42",
    "ir >200 @500",
    "b32",
    "parking 4",
    "brk 30",
    "6 miles",
    "\u{1f525}",
    "\u{2013}",
    "\u{a3}4.50",
    "4.50 ea",
    "30m 2.5 t&e",
    "swa",
    "test and certify",
    "note:",
    "quoted",
    "```",
    "---",
    "\0",
    "\u{feff}",
    "\"",
    ": ",
    "#",
    "\u{130}",
    "999999999999",
];

fn edited(dice: &mut Dice, sets: &[String]) -> String {
    let mut note = sets[dice.throw(sets.len())].clone();
    for _ in 0..=dice.throw(4) {
        let mut at = dice.throw(note.len() + 1);
        while !note.is_char_boundary(at) {
            at -= 1;
        }
        match dice.throw(5) {
            0 => note.insert_str(at, BITS[dice.throw(BITS.len())]),
            1 => note.insert_str(at, &format!(" {} ", BITS[dice.throw(BITS.len())])),
            2 => note.insert_str(at, &format!("\n{}\n", BITS[dice.throw(BITS.len())])),
            3 => {
                let gone: usize = note[at..]
                    .chars()
                    .take(dice.throw(12))
                    .map(char::len_utf8)
                    .sum();
                note.replace_range(at..at + gone, "");
            }
            _ => {
                let other = &sets[dice.throw(sets.len())];
                let mut from = dice.throw(other.len() + 1);
                while !other.is_char_boundary(from) {
                    from -= 1;
                }
                let piece: String = other[from..].chars().take(dice.throw(60)).collect();
                note.insert_str(at, &piece);
            }
        }
    }
    note
}

#[test]
fn ten_thousand_edits_of_the_sets_read_and_lose_nothing() {
    let read = diary();
    let vocabulary = Vocabulary::new(&read.diary.settings);
    let sets = sets();
    let mut dice = Dice(20_261_125);
    for edit in 0..EDITS {
        let note = edited(&mut dice, &sets);
        let opened = Opened::new(&note);
        let said = opened.read(&vocabulary, TODAY);
        let kept: usize = said.lines.iter().filter(|line| line.kept).count();
        let left: usize = said.jobs.iter().map(|job| job.left_over.len()).sum();
        assert_eq!(kept, left, "{note}");
        let written: usize = opened
            .kept
            .text
            .lines()
            .filter(|line| !line.trim().is_empty())
            .count();
        assert!(
            said.lines.len() <= written || said.lines.len() < 200,
            "{note}"
        );
        if edit % WRITTEN_EVERY == 0 {
            shown::reading(&said, &opened.near(&said, &vocabulary));
            nothing_is_lost(&read, &vocabulary, &note);
        }
    }
}

#[test]
fn every_set_and_every_other_hand_is_found_again_whole() {
    let read = diary();
    let vocabulary = Vocabulary::new(&read.diary.settings);
    for note in sets() {
        nothing_is_lost(&read, &vocabulary, &note);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_at_all_is_found_again(note in "\\PC{0,60}(\n\\PC{0,60}){0,6}") {
        let read = diary();
        let vocabulary = Vocabulary::new(&read.diary.settings);
        nothing_is_lost(&read, &vocabulary, &note);
    }

    #[test]
    fn any_words_of_the_trade_are_found_again(words in prop::collection::vec(prop::sample::select(&BITS[..]), 0..40)) {
        let read = diary();
        let vocabulary = Vocabulary::new(&read.diary.settings);
        nothing_is_lost(&read, &vocabulary, &words.join(" "));
        nothing_is_lost(&read, &vocabulary, &words.join("\n"));
    }
}

/// Bytes of the short and of the long note that are timed against each other.
const SHORT: usize = 8_000;
const LONG: usize = 8 * SHORT;
/// Longest that the long one may take. A build without optimization is some twenty times slower than the program that
/// is given out, which reads a megabyte in under a second; and a test machine may be busy with others.
const LONGEST: Duration = Duration::from_secs(if cfg!(debug_assertions) { 12 } else { 1 });
/// How much more than eight times as long eight times as much may take: noise, never a square.
const MARGIN: u32 = 3;

#[test]
fn eight_times_as_much_takes_about_eight_times_as_long() {
    let read = diary();
    let time = |note: &str| {
        let start = Instant::now();
        let mut vocabulary = Vocabulary::new(&read.diary.settings);
        let opened = Opened::new(note);
        let settled = ask::settle(&opened, &mut vocabulary, TODAY, &mut |_| {
            Ok::<_, Infallible>(Answer::No)
        });
        settled.unwrap_or_else(|never| match never {});
        start.elapsed()
    };
    for text in notes::texts(Path::new(env!("CARGO_MANIFEST_DIR"))) {
        let (short, long) = (text.of_length(SHORT), text.of_length(LONG));
        // A busy machine may spoil one run, and not three.
        let fits = (0..3).any(|_| {
            let (once, eight) = (time(&short), time(&long));
            eight < LONGEST && eight < (once + Duration::from_millis(5)) * 8 * MARGIN
        });
        assert!(
            fits,
            "{:?} again and again takes more than its share",
            text.name
        );
    }
}
