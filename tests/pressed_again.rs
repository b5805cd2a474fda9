//! Whatever is edited between two presses, what the second leaves is what a first one into an empty folder makes, byte for
//! byte.

mod common;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use common::{daywork, put, stderr, tree};
use image::RgbImage;
use jpeg_encoder::{ColorType, Encoder};
use proptest::prelude::*;
use tempfile::TempDir;

/// Logs that may be there.
const LOGS: u8 = 6;

/// What somebody does to a diary.
#[derive(Clone, Debug)]
enum Edit {
    /// Adds a log, or writes it anew.
    Write(u8, Words),
    Delete(u8),
    /// Gives a log's file another name; where there is none, nothing.
    Rename(u8),
    Settings(u8),
    About(u8),
    /// Puts another picture in the place of the photo.
    Picture(u8),
}

/// What a log says.
#[derive(Clone, Debug)]
struct Words {
    title: u8,
    text: u8,
    public: bool,
    minutes: u8,
    photo: bool,
}

fn words() -> impl Strategy<Value = Words> {
    (0..3u8, 0..4u8, any::<bool>(), 1..4u8, any::<bool>()).prop_map(
        |(title, text, public, minutes, photo)| Words {
            title,
            text,
            public,
            minutes,
            photo,
        },
    )
}

fn edit() -> impl Strategy<Value = Edit> {
    prop_oneof![
        4 => (0..LOGS, words()).prop_map(|(log, words)| Edit::Write(log, words)),
        1 => (0..LOGS).prop_map(Edit::Delete),
        1 => (0..LOGS).prop_map(Edit::Rename),
        1 => (0..3u8).prop_map(Edit::Settings),
        1 => (0..3u8).prop_map(Edit::About),
        1 => (0..3u8).prop_map(Edit::Picture),
    ]
}

fn log(number: u8, words: &Words) -> String {
    let day = number + 1;
    let title = ["Shop", "Shop again", "Boat shed"][usize::from(words.title)];
    let publish = if words.public {
        format!(
            "publish: 2026-03-1{number}\nsubjects: [{}]\n",
            ["sockets", "lighting"][usize::from(words.text % 2)]
        )
    } else {
        String::new()
    };
    let text = [
        "The ring gave one figure.",
        "Loose ends at the board: Côté.",
        "Words.\n\n## More\n\nMore words.",
        "",
    ][usize::from(words.text)];
    let photo = if words.photo {
        "\n![The slip](slip.jpg)\n"
    } else {
        ""
    };
    format!(
        "---\ntitle: {title} {number}\nref: 2026-00{number}\nlocation: shop\nclient: slip\nvisits:\n  - {{date: 2026-03-0{day}, \
         from: 08:00, to: 10:00, tasks: [{{task: socket, count: 2, time: {}m}}]}}\n{publish}---\n\n{text}\n{photo}",
        20 * words.minutes
    )
}

fn settings(version: u8) -> String {
    let (title, fewest) =
        [("A diary", 3), ("A diary", 4), ("Another diary", 3)][usize::from(version)];
    format!(
        "title: {title}\ntrader: {{name: Nan Tregarrow, trading_as: Gullwick Electrical, phone: 01632 960123, email: nan@example.com}}\n\
         site: {{address: https://example.com, language: en-GB, timezone: Europe/London}}\nlocations: {{shop: Shop}}\n\
         tasks:\n  socket: {{name: Change a socket outlet, unit: each}}\npublic: {{how_long: true, fewest_jobs: {fewest}}}\n"
    )
}

fn picture(version: u8) -> Vec<u8> {
    let pixels = RgbImage::from_pixel(64, 48, image::Rgb([80 * version, 90, 120]));
    let mut bytes = Vec::new();
    Encoder::new(&mut bytes, 90)
        .encode(pixels.as_raw(), 64, 48, ColorType::Rgb)
        .expect("a small picture");
    bytes
}

/// Does it, where there is anything to do it to.
fn apply(root: &Path, edit: &Edit) {
    let place = |number: u8| root.join(format!("jobs/2026/log-{number}.md"));
    let other = |number: u8| root.join(format!("jobs/2026/renamed-{number}.md"));
    match edit {
        Edit::Write(number, words) => {
            // One of the two names at a time: a ref stands in one log.
            let there = other(*number).exists();
            let path = if there {
                other(*number)
            } else {
                place(*number)
            };
            put(&path, log(*number, words));
        }
        Edit::Delete(number) => {
            for path in [place(*number), other(*number)] {
                if path.exists() {
                    fs::remove_file(path).expect("deleted");
                }
            }
        }
        Edit::Rename(number) => {
            let (from, to) = (place(*number), other(*number));
            let (from, to) = if from.exists() {
                (from, to)
            } else {
                (to, from)
            };
            if from.exists() {
                fs::rename(from, to).expect("renamed");
            }
        }
        Edit::Settings(version) => put(&root.join("diary.yaml"), settings(*version)),
        Edit::About(version) => put(
            &root.join("about.md"),
            format!("---\ntitle: About\npublish: ready\n---\n\nText {version}.\n"),
        ),
        Edit::Picture(version) => put(&root.join("jobs/2026/slip.jpg"), picture(*version)),
    }
}

/// Presses into a folder: what readers and the trader get, without press's own record.
fn press(root: &Path, out: &Path) -> BTreeMap<String, Vec<u8>> {
    let done = daywork()
        .args(["press", "--as-of", "2026-11-25", "--diary"])
        .arg(root)
        .arg("--out")
        .arg(out)
        .output()
        .expect("it runs");
    assert_eq!(done.status.code(), Some(0), "{}", stderr(&done));
    let mut files = tree(out);
    files.retain(|path, _| !path.starts_with("ledger/"));
    files
}

/// Paths that are in one only or differ.
fn differing(
    one: &BTreeMap<String, Vec<u8>>,
    other: &BTreeMap<String, Vec<u8>>,
) -> BTreeSet<String> {
    one.keys()
        .chain(other.keys())
        .filter(|path| one.get(*path) != other.get(*path))
        .cloned()
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_press_after_any_edit_leaves_what_a_fresh_one_makes(edits in prop::collection::vec(edit(), 4..8)) {
        let diary = TempDir::new().expect("a temporary folder");
        let root = diary.path();
        put(&root.join("clients.yaml"), "slip: {name: Odo Brannick}\n");
        for first in [Edit::Settings(0), Edit::About(0), Edit::Picture(0)] {
            apply(root, &first);
        }
        for number in 0..3 {
            let words = Words { title: number, text: number, public: true, minutes: 1, photo: number == 0 };
            apply(root, &Edit::Write(number, words));
        }
        let folders = TempDir::new().expect("a temporary folder");
        let again = folders.path().join("again");
        press(root, &again);
        for (step, edit) in edits.iter().enumerate() {
            apply(root, edit);
            let fresh = press(root, &folders.path().join(step.to_string()));
            let kept = press(root, &again);
            prop_assert_eq!(differing(&kept, &fresh), BTreeSet::new(), "after {:?}", edit);
        }
    }
}
