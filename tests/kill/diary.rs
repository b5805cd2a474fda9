//! A diary with one of everything that press writes, before and after an evening's edits.

use std::fs;
use std::io::Cursor;
use std::path::Path;

use crate::common::put;

/// Words of the diary that no reader may see, each as it is written: whole names and their last words, numbers, addresses,
/// refs, days of visits, amounts, private blocks.
pub const PRIVATE: [&str; 17] = [
    "Septimus Wrayle",
    "wrayle",
    "Ottoline Pengarth",
    "pengarth",
    "14 Ropewalk Steps",
    "ropewalk",
    "ZZ99 3AB",
    "zz993ab",
    "07700 900155",
    "07700900155",
    "sep@example.com",
    "2026-00",
    "2026-02-1",
    "731.45",
    "the dog bites",
    "quarterdeck",
    "planted note",
];

const SETTINGS: &str = "title: A small diary\n\
    trader: {name: Nan Tregarrow, trading_as: Gullwick Electrical, phone: 01632 960123, email: nan@example.com}\n\
    site: {address: https://example.com, timezone: Europe/London}\n\
    rates: {currency: GBP, hour: 42.00, day: 320.00, day_length: 8h, call_out: 65.00, mile: 0.45}\n\
    locations: {shop: Shop, boat-shed: Boat shed}\n\
    tasks:\n  socket: {name: Change a socket outlet, unit: each}\n\
    guarantee: {years: 6}\n\
    public: {how_long: true, fewest_jobs: 3}\n\
    keep_private: [quarterdeck]\n";
const CLIENTS: &str = "quay:\n  name: Septimus Wrayle\n  contact: Ottoline Pengarth\n  address: 14 Ropewalk Steps\n  \
    town: Gullwick\n  postcode: ZZ99 3AB\n  phone: 07700 900155\n  email: sep@example.com\n";
const NUMBERS: [&str; 9] = [
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
];

fn log(number: usize, title: &str, rest: &str, body: &str) -> String {
    format!(
        "---\ntitle: {title}\nref: 2026-00{number}\nlocation: shop\nclient: quay\nplace: 14 Ropewalk Steps\n\
         visits:\n  - {{date: 2026-02-1{number}, from: 08:00, to: 10:00, tasks: [{{task: socket, count: 2, time: 1h}}]}}\n\
         charged: {{labour: 731.45, on: 2026-02-20}}\n{rest}---\n\n{body}\n\n```private\nMind: the dog bites on the quarterdeck.\n```\n"
    )
}

fn write(root: &Path, name: &str, number: usize, title: &str, rest: &str, body: &str) {
    put(
        &root.join(format!("jobs/2026/{name}.md")),
        log(number, title, rest, body),
    );
}

/// A photo in two colours with a camera's note in it.
fn photo(shade: u8) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    let picture = image::RgbImage::from_fn(420, 300, |x, _| {
        image::Rgb(if x < 210 {
            [shade, 90, 120]
        } else {
            [200, 30, 60]
        })
    });
    picture
        .write_to(&mut bytes, image::ImageFormat::Jpeg)
        .expect("a small picture");
    let mut bytes = bytes.into_inner();
    let note = b"\xff\xe1\x00\x16Exif\0\0planted note\0\0";
    bytes.splice(2..2, note.iter().copied());
    bytes
}

const DRAWING: &str =
    "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 4 2\"><path d=\"M0 0h4\"/></svg>";

/// The diary before.
pub fn before(root: &Path) {
    put(&root.join("diary.yaml"), SETTINGS);
    put(&root.join("clients.yaml"), CLIENTS);
    for number in 1..=6 {
        let word = NUMBERS[number - 1];
        let publish = format!(
            "publish: 2026-03-0{number}\nsubjects: [shops, {}]\n",
            if number % 2 == 0 {
                "earthing"
            } else {
                "lighting"
            }
        );
        let next = NUMBERS[number % 6];
        let body = format!("The {word} one.\n\nSee [the next]({next}.md).");
        let title = format!("The shop of number {word}");
        write(root, word, number, &title, &publish, &body);
    }
    write(root, "seven", 7, "Kept back", "", "Seven.");
    // A photo and a drawing that stay, and a photo that the edit takes away.
    let with =
        "![The board](one/board.jpg)\n\n![The plan](one/plan.svg)\n\nSee [the next](two.md).";
    let rest = "publish: 2026-03-01\nsubjects: [shops]\nseries: shops\n";
    write(root, "one", 1, "The shop of number one", rest, with);
    put(&root.join("jobs/2026/one/board.jpg"), photo(10));
    put(&root.join("jobs/2026/one/plan.svg"), DRAWING);
    put(&root.join("jobs/2026/four/gone.jpg"), photo(60));
    let with = "![The wall](four/gone.jpg)\n\nSee [the next](five.md).";
    write(
        root,
        "four",
        4,
        "The shop of number four",
        "publish: 2026-03-04\n",
        with,
    );
    put(
        &root.join("about.md"),
        "---\ntitle: Who writes this\n---\n\nSomebody.\n",
    );
}

/// The edits of an evening: pages that are new, renamed, taken back, deleted; a photo more and one less; a section and
/// subjects that come and go.
pub fn after(root: &Path) {
    before(root);
    let remove = |path: &str| fs::remove_file(root.join(path)).expect("removed");
    // Renamed, with its old address left behind; another photo.
    let rest = "publish: 2026-03-01\nsubjects: [boards]\nseries: shops\nwas: [write-ups/the-shop-of-number-one]\n";
    let body = "![The board](one/board.jpg)\n\n![Another](one/other.jpg)\n\nSee [the next](two.md) and [the new one](eight.md).";
    write(root, "one", 1, "The first shop", rest, body);
    put(&root.join("jobs/2026/one/other.jpg"), photo(110));
    remove("jobs/2026/one/plan.svg");
    // Taken back, and nothing leads to it any more.
    write(root, "four", 4, "The shop of number four", "", "Four.");
    let rest = "publish: 2026-03-03\nsubjects: [shops, lighting]\n";
    write(
        root,
        "three",
        3,
        "The shop of number three",
        rest,
        "See [the fifth](five.md).",
    );
    remove("jobs/2026/four/gone.jpg");
    remove("jobs/2026/seven.md");
    // New, in a section and under a subject that are new as well; pages that lead to each other.
    let rest = "publish: 2026-03-12\nsubjects: [quays]\nseries: shops\n";
    let body = "See [how](../../guides/how.md).\n\n![The plan](eight/plan.svg)";
    write(root, "eight", 8, "The eighth shop", rest, body);
    put(&root.join("jobs/2026/eight/plan.svg"), DRAWING);
    put(
        &root.join("guides/how.md"),
        "---\ntitle: How I do it\npublish: 2026-03-13\nsubjects: [quays]\n---\n\nSee [the eighth](../jobs/2026/eight.md).\n",
    );
}
