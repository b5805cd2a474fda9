//! Photos from the diary to the pages, whole: what goes out, what stays, what is kept, what stops a press.

mod common;

use std::collections::BTreeMap;
use std::fs;
use std::io::Cursor;
use std::path::Path;

use common::{daywork, stderr, stdout, tree};
use daywork::diary::photo::{Fault, look};
use daywork::pages::photos::convert;
use image::{ImageFormat, RgbImage};
use jpeg_encoder::{ColorType, Encoder};
use proptest::prelude::*;
use tempfile::TempDir;

const SETTINGS: &str = "\
title: Photos
trader: {name: Nan Tregarrow, trading_as: Gullwick Electrical, phone: 01632 960123, email: nan@example.com}
site: {address: https://example.com, language: en-GB, timezone: Europe/London}
locations: {boat-shed: Boat shed}
";
const CLIENTS: &str = "slip: {name: Odo Brannick}\n";

/// A picture in two colours, so that no two of different numbers are alike.
fn pixels(width: u32, height: u32, number: u8) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        image::Rgb([
            if x < width / 2 { number } else { 200 },
            if y < height / 2 { 90 } else { 30 },
            120,
        ])
    })
}

/// A JPEG with a note in it that no reader may get.
fn jpeg(width: u16, height: u16, number: u8) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, 90);
    encoder
        .add_app_segment(1, b"Exif\0\0planted note".to_vec())
        .expect("a short note");
    let pixels = pixels(width.into(), height.into(), number);
    encoder
        .encode(pixels.as_raw(), width, height, ColorType::Rgb)
        .expect("a small picture");
    bytes
}

fn put(root: &Path, path: &str, bytes: impl AsRef<[u8]>) {
    let path = root.join(path);
    fs::create_dir_all(path.parent().expect("below the root")).expect("a folder");
    fs::write(path, bytes).expect("a file");
}

fn log(reference: &str, publish: &str, body: &str) -> String {
    format!(
        "---\ntitle: Job {reference}\nref: {reference}\nlocation: boat-shed\nclient: slip\n\
         visits: [{{date: 2026-03-12, time: 4h}}]\n{publish}---\n{body}\n"
    )
}

/// A diary of one public log with these words, and two photos beside it.
fn diary(body: &str) -> TempDir {
    let diary = TempDir::new().expect("a folder");
    let root = diary.path();
    put(root, "diary.yaml", SETTINGS);
    put(root, "clients.yaml", CLIENTS);
    put(
        root,
        "jobs/2026/x.md",
        log("2026-001", "publish: ready\n", body),
    );
    put(root, "jobs/2026/x/Quay slip.jpg", jpeg(1400, 700, 10));
    put(root, "jobs/2026/x/mine.jpg", jpeg(600, 900, 20));
    diary
}

/// Presses; whether it was done, and all that was said.
fn press(root: &Path) -> (bool, String) {
    let out = daywork()
        .args(["press", "--as-of", "2026-11-25", "--diary"])
        .arg(root)
        .output()
        .expect("the program runs");
    (
        out.status.success(),
        format!("{}{}", stdout(&out), stderr(&out)),
    )
}

fn pictures(root: &Path, below: &str) -> BTreeMap<String, Vec<u8>> {
    let mut files = tree(&root.join("out").join(below));
    files.retain(|path, _| path.ends_with(".jpg"));
    files
}

fn names(root: &Path, below: &str) -> Vec<String> {
    pictures(root, below).into_keys().collect()
}

#[test]
fn only_photos_that_a_text_names_go_out_and_under_no_name_of_theirs() {
    let diary = diary("Text.\n\n```photos\nQuay slip.jpg: The slip\n```\n");
    assert!(press(diary.path()).0);
    assert_eq!(
        names(diary.path(), "site"),
        [
            "write-ups/job-2026-001/photo-1-1280.jpg",
            "write-ups/job-2026-001/photo-1-480.jpg",
            "write-ups/job-2026-001/photo-1-800.jpg",
        ]
    );
    assert_eq!(
        names(diary.path(), "office"),
        ["photos/jobs-2026-x-quay-slip.jpg"]
    );
    let page =
        fs::read_to_string(diary.path().join("out/office/jobs/2026-001.html")).expect("its page");
    assert!(
        page.contains("<img src=\"../photos/jobs-2026-x-quay-slip.jpg\" alt=\"The slip\""),
        "{page}"
    );
    for (path, bytes) in tree(&diary.path().join("out/site")) {
        let holds = |words: &[u8]| bytes.windows(words.len()).any(|at| at == words);
        assert!(!holds(b"Quay") && !holds(b"planted"), "{path}");
    }
}

#[test]
fn a_photo_of_a_private_log_is_in_the_office_book_alone() {
    let diary = diary("Text.\n");
    let text = "![The slip](x/mine.jpg)\n\n```private\n![Hers](<x/Quay slip.jpg>)\n```\n";
    put(diary.path(), "jobs/2026/y.md", log("2026-002", "", text));
    assert!(press(diary.path()).0);
    assert_eq!(names(diary.path(), "site"), [""; 0]);
    assert_eq!(
        names(diary.path(), "office"),
        ["photos/jobs-2026-x-mine.jpg"]
    );
    let page =
        fs::read_to_string(diary.path().join("out/office/jobs/2026-002.html")).expect("its page");
    assert!(
        page.contains("src=\"../photos/jobs-2026-x-mine.jpg\""),
        "{page}"
    );
}

#[test]
fn a_photo_is_made_small_once_wherever_its_page_goes_and_swept_when_nothing_shows_it() {
    let diary = diary("```photos\nQuay slip.jpg: The slip\nmine.jpg: The winch\n```\n");
    let root = diary.path();
    assert!(press(root).0);
    let first = pictures(root, "ledger/photos");
    assert_eq!(first.len(), 5);
    // Marks in what is kept would be gone if a photo were made again; a JPEG may say a word between its parts.
    for (name, bytes) in &first {
        let mut marked = bytes[..2].to_vec();
        marked.extend(b"\xff\xfe\0\x06kept");
        marked.extend(&bytes[2..]);
        put(&root.join("out/ledger/photos"), name, marked);
    }
    let (_, again) = press(root);
    assert!(again.contains("Nothing had changed."), "{again}");
    let text = fs::read_to_string(root.join("jobs/2026/x.md")).expect("the log");
    put(
        root,
        "jobs/2026/x.md",
        text.replace("title: Job", "title: Work"),
    );
    assert!(press(root).0);
    let moved = pictures(root, "site/write-ups/work-2026-001");
    assert_eq!(moved.len(), 5);
    assert!(moved.values().all(|bytes| bytes[6..10] == *b"kept"));
    assert!(!root.join("out/site/write-ups/job-2026-001").exists());

    let text = fs::read_to_string(root.join("jobs/2026/x.md")).expect("the log");
    put(
        root,
        "jobs/2026/x.md",
        text.replace("mine.jpg: The winch\n", ""),
    );
    assert!(press(root).0);
    assert_eq!(pictures(root, "ledger/photos").len(), 3);
}

#[test]
fn what_is_kept_and_broken_is_made_again_to_the_same_bytes() {
    let diary = diary("```photos\nmine.jpg: The winch\n```\n");
    let root = diary.path();
    assert!(press(root).0);
    let first = pictures(root, "");
    for path in first.keys().filter(|path| path.starts_with("ledger")) {
        put(&root.join("out"), path, b"\xff\xd8 cut");
    }
    fs::remove_dir_all(root.join("out/site")).expect("pages deleted by hand");
    assert!(press(root).0);
    assert_eq!(pictures(root, ""), first);
}

#[test]
fn a_caption_or_words_that_hold_a_private_name_stop_the_press_at_their_line() {
    for line in [
        "mine.jpg: The freezer circuit of Mr Brannick",
        "mine.jpg: The winch\ncaption: Brannick's freezer",
    ] {
        let diary = diary(&format!("Text.\n\n```photos\n{line}\n```\n"));
        let (done, said) = press(diary.path());
        assert!(!done && said.contains("(private-word)"), "{said}");
        let at = if line.contains("caption") { 13 } else { 12 };
        assert!(
            said.contains(&format!("jobs/2026/x.md, line {at}")),
            "{said}"
        );
        assert!(!diary.path().join("out/site").exists());
    }
}

#[test]
fn a_damaged_photo_is_told_at_its_line_by_inspect_too_and_nothing_is_written() {
    let diary = diary("Text.\n\n```photos\nmine.jpg: The winch\n```\n");
    let whole = jpeg(600, 900, 20);
    put(
        diary.path(),
        "jobs/2026/x/mine.jpg",
        &whole[..whole.len() / 2],
    );
    let (done, said) = press(diary.path());
    assert!(
        !done && said.contains("jobs/2026/x.md, line 12: the end of this photo is missing"),
        "{said}"
    );
    assert!(!diary.path().join("out").exists());
    let inspected = daywork()
        .args(["inspect", "--diary"])
        .arg(diary.path())
        .output()
        .expect("the program runs");
    assert!(stdout(&inspected).contains("(photo-broken)"));
    // A report does not look at pictures and goes on.
    let hours = daywork()
        .args(["hours", "--diary"])
        .arg(diary.path())
        .output()
        .expect("the program runs");
    assert!(hours.status.success());
}

#[test]
fn a_misspelt_photo_is_told_with_the_one_that_is_there() {
    let diary = diary("Text.\n\n```photos\nmin.jpg: The winch\n```\n");
    let (done, said) = press(diary.path());
    assert!(
        !done && said.contains("There is jobs/2026/x/mine.jpg."),
        "{said}"
    );
}

#[test]
fn more_pixels_than_memory_should_hold_are_told_before_any_is_read() {
    let mut bomb = b"\x89PNG\r\n\x1a\n".to_vec();
    let head = [
        &b"IHDR"[..],
        &60_000_u32.to_be_bytes(),
        &60_000_u32.to_be_bytes(),
        &[8, 2, 0, 0, 0],
    ]
    .concat();
    for (name, data) in [(&head[..4], &head[4..]), (b"IDAT", b""), (b"IEND", b"")] {
        let both = [name, data].concat();
        bomb.extend(u32::try_from(data.len()).expect("short").to_be_bytes());
        bomb.extend(&both);
        bomb.extend(crc(&both).to_be_bytes());
    }
    assert_eq!(
        look(&bomb),
        Err(Fault::TooManyPixels {
            width: 60_000,
            height: 60_000
        })
    );
}

/// The checksum of a PNG's parts (ISO 3309).
fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| {
            (sum >> 1) ^ (0xedb8_8320 & (sum & 1).wrapping_neg())
        })
    })
}

#[test]
fn a_photo_keeps_its_colours_and_one_that_its_reader_would_mistake_is_told() {
    let middle = |pixels: &RgbImage, (x, y): (u32, u32)| {
        pixels[(pixels.width() * x / 4, pixels.height() * y / 4)].0
    };
    let whole = pixels(1600, 1000, 10);
    for (name, bytes) in [("a JPEG", jpeg(1600, 1000, 10)), ("a PNG", png(&whole))] {
        let sizes = convert(&bytes).expect("a photo");
        assert_eq!(sizes.len(), 3);
        for size in sizes {
            let made = image::load_from_memory(&size.jpeg)
                .expect("a photo")
                .into_rgb8();
            for place in [(1, 1), (3, 1), (1, 3), (3, 3)] {
                let (is, should) = (middle(&made, place), middle(&whole, place));
                let apart = is.iter().zip(should).map(|(a, b)| a.abs_diff(b)).max();
                assert!(
                    apart <= Some(4),
                    "{name}, {}: {is:?} for {should:?}",
                    size.width
                );
            }
        }
    }
    let mut apart = Vec::new();
    let mut encoder = Encoder::new(&mut apart, 90);
    encoder.set_optimized_huffman_tables(true);
    encoder
        .encode(whole.as_raw(), 1600, 1000, ColorType::Rgb)
        .expect("a small picture");
    assert_eq!(look(&apart), Err(Fault::Rare));
}

fn png(pixels: &RgbImage) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    pixels
        .write_to(&mut bytes, ImageFormat::Png)
        .expect("a small picture");
    bytes.into_inner()
}

fn saved_as(format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    pixels(61, 47, 5)
        .write_to(&mut bytes, format)
        .expect("a small picture");
    bytes.into_inner()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Whatever becomes of a file on its way, the program says so or shows it, and never falls over.
    #[test]
    fn a_file_with_bytes_changed_or_missing_is_never_a_fault_of_the_program(
        kind in 0_usize..3,
        changes in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..12),
        cut in proptest::option::of(any::<prop::sample::Index>()),
    ) {
        let mut bytes = saved_as([ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::WebP][kind]);
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        if let Some(cut) = cut {
            bytes.truncate(cut.index(bytes.len()));
        }
        if look(&bytes).is_ok() {
            let _ = convert(&bytes);
        }
    }
}
