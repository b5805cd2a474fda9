//! The index of the search page: what stands in it, what never does, and how much of it a reader loads.
//!
//! What a browser does with it is held by `tests/browser/search.mjs`, which also searches the 2,000 pages that are
//! written here.

mod common;

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use common::settings;
use daywork::diary::{Read, read_files};
use daywork::office::hours::hours;
use daywork::pages::sheets::Sheets;
use daywork::pages::site;
use daywork::public::view::{SiteViews, WriteUp};
use daywork::public::{FileKind, Gate, PublicFile, views};
use jiff::civil::{Date, date};

const AS_OF: Date = date(2026, 11, 25);

/// What this diary's settings add to the usual ones.
const DIARY: &str = "\
locations: {boat-shed: Boat shed}
tasks:
  shore-point: {name: Change a shore-power outlet, unit: each}
keep_private: [key safe, gland gull]
";

const CLIENTS: &str = "\
slip: {name: Tarrow Slip, contact: Odo Brannick, phone: 07700 900118, allow: [slip]}
";

const LOG: &str = "\
---
title: Outlets with an RCBO each
ref: 2026-031
location: boat-shed
client: slip
place: Shed 3, Long Pontoon
visits:
  - {date: 2026-03-02, from: 18:10, to: 19:25, tasks: [{task: shore-point, time: 1h}]}
findings:
  - {what: Casing smashed, code: C1, done: locked off, told: {who: yard manager, on: 2026-03-02, how: in person}}
  - {what: Hidden trapdoor, code: C3, private: true, told: {who: yard manager, on: 2026-03-02, how: in person}}
readings:
  - {circuit: Brannick berth, device: {type: C, rating: 16}, zs: 0.92}
materials:
  - {item: Armoured gland, count: 2, cost: 4.50, charge: 5.20}
publish: 2026-03-20
subjects: [earthing]
---
The pontoon had gulls, gulls and gulls on every key.

I think it was safe enough for them.

```private
Kelpwhistle is the word for the gate.
```

```readings
```
";

const GUIDE: &str = "\
---
title: What an earth does
publish: 2026-04-01
subjects: [earthing, testing]
---
Nothing about outlets. One RCBO, RCBOs and an rcbo.
";

fn diary(log: &str) -> Vec<(String, Vec<u8>)> {
    vec![
        ("diary.yaml".to_owned(), settings(DIARY).into()),
        ("clients.yaml".to_owned(), CLIENTS.into()),
        ("jobs/2026/slip.md".to_owned(), log.into()),
        ("guides/earth.md".to_owned(), GUIDE.into()),
    ]
}

fn read(log: &str) -> Read {
    read_files(diary(log))
}

fn views_of(read: &Read) -> (SiteViews, Gate) {
    let gate = Gate::new(&read.diary, &read.sources);
    let hours = hours(&read.diary, None, None, AS_OF);
    (views(&read.diary, &hours, AS_OF, &gate), gate)
}

/// Every file below `search/` by its path, with its digest.
fn files_of(views: &SiteViews) -> BTreeMap<String, (String, blake3::Hash)> {
    site::outputs(views, &Sheets::built_in(), blake3::hash(b"gate"))
        .into_iter()
        .filter(|output| output.path.starts_with("search/"))
        .map(|output| {
            let bytes = (output.make)().expect("built-in sheets do not fail");
            let text = String::from_utf8(bytes).expect("all of it is text");
            (output.path, (text, output.digest))
        })
        .collect()
}

fn files(log: &str) -> BTreeMap<String, String> {
    let (views, _) = views_of(&read(log));
    let files = files_of(&views).into_iter();
    files.map(|(path, (text, _))| (path, text)).collect()
}

/// What a file of the index tells the script.
fn told(text: &str) -> serde_json::Value {
    let call = text
        .strip_prefix("daywork(")
        .and_then(|rest| rest.strip_suffix(")\n"));
    let (_, value) = call
        .and_then(|call| call.split_once(','))
        .expect("a call with two values");
    serde_json::from_str(value).expect("the second is JSON")
}

/// Titles in order of number.
fn titles(files: &BTreeMap<String, String>) -> Vec<String> {
    let chunks = (0..).map_while(|number| files.get(&format!("search/pages-{number}.js")));
    chunks
        .flat_map(|text| told(text).as_array().cloned().expect("a list of pages"))
        .map(|page| page[0].as_str().expect("a title").to_owned())
        .collect()
}

/// Every word with the weight it has on each page, by title.
fn words(files: &BTreeMap<String, String>) -> BTreeMap<String, BTreeMap<String, u8>> {
    let titles = titles(files);
    let mut words = BTreeMap::new();
    let chunks = (0..).map_while(|number| files.get(&format!("search/words-{number}.js")));
    for text in chunks {
        for row in told(text).as_str().expect("one text").split(',') {
            let (word, postings) = row.split_once(':').expect("word:postings");
            let mut page = 0;
            let mut way = 0;
            let mut weights = BTreeMap::new();
            for byte in postings.bytes() {
                if byte.is_ascii_digit() {
                    way = way * 10 + usize::from(byte - b'0');
                } else {
                    page += way;
                    way = 0;
                    weights.insert(titles[page - 1].clone(), byte - b'a' + 1);
                }
            }
            let other = words.insert(word.to_owned(), weights);
            assert!(other.is_none(), "{word} stands there twice");
        }
    }
    words
}

#[test]
fn a_title_weighs_more_than_a_subject_and_a_subject_more_than_any_text() {
    let words = words(&files(LOG));
    let rcbo = &words["rcbo"];
    assert_eq!(rcbo["Outlets with an RCBO each"], 8);
    assert_eq!(rcbo["What an earth does"], 2, "three forms of one word");
    assert_eq!(words["gull"]["Outlets with an RCBO each"], 2);
    assert_eq!(words["earthing"]["What an earth does"], 4);
    assert_eq!(words["earthing"]["earthing"], 12, "the subject's own page");
    assert_eq!(words["earth"]["What an earth does"], 8);
}

#[test]
fn what_a_write_up_shows_is_found_and_a_subjects_page_too() {
    let files = files(LOG);
    let words = words(&files);
    // Docket, finding, readings in their place, materials, month.
    for word in [
        "shore", "casing", "c1", "zs", "c16", "gland", "march", "boat",
    ] {
        assert!(words.contains_key(word), "{word}");
    }
    let titles = titles(&files);
    assert_eq!(
        titles,
        [
            "earthing",
            "testing",
            "Outlets with an RCBO each",
            "What an earth does"
        ]
    );
    let page = told(&files["search/pages-0.js"])[2].clone();
    assert_eq!(page[1], "write-ups/outlets-with-an-rcbo-each/");
    assert_eq!(page[2], "Write-up, Boat shed, March 2026");
}

#[test]
fn what_is_said_in_a_film_is_found_and_so_are_its_chapters() {
    let log = LOG.replacen(
        "publish:",
        "video: https://films.example.com/slip\npublish:",
        1,
    );
    let mut files = diary(&log);
    let cue = |words: &str| format!("WEBVTT\n\n00:01.000 --> 00:04.000\n{words}\n");
    let said = cue("<v Jem>The bollard hummed.");
    files.push(("jobs/2026/slip.vtt".to_owned(), said.into()));
    files.push((
        "jobs/2026/slip.chapters.vtt".to_owned(),
        cue("Locking off").into(),
    ));
    let (views, _) = views_of(&read_files(files));
    let files = files_of(&views).into_iter();
    let words = words(&files.map(|(path, (text, _))| (path, text)).collect());
    assert_eq!(words["bollard"]["Outlets with an RCBO each"], 1);
    assert!(words.contains_key("locking"));
    assert!(
        !words.contains_key("jem"),
        "whose voice it is stays at home"
    );
}

#[test]
fn no_word_of_what_is_private_stands_in_the_index() {
    let (views, gate) = views_of(&read(LOG));
    for (path, (text, _)) in files_of(&views) {
        let leaks = gate.check(&PublicFile {
            path: &path,
            kind: FileKind::of_path(&path),
            bytes: text.as_bytes(),
        });
        assert_eq!(leaks, [], "{path}");
        // The page's foot has the trader's own number; the index has nobody's.
        let is_index = path.ends_with(".js");
        for word in [
            "kelpwhistle",
            "trapdoor",
            "brannick",
            "odo",
            "031",
            "960123",
        ] {
            assert!(
                !is_index || !text.to_lowercase().contains(word),
                "{path} holds {word}"
            );
        }
    }
    // Two words that stand beside each other only by their letters make no private phrase.
    let words = words(&files(LOG));
    let order: Vec<&String> = words.keys().collect();
    assert!(order.windows(2).any(|pair| pair == ["gland", "gull"]));
}

#[test]
fn the_gate_finds_a_private_name_in_the_index_by_itself() {
    let log = LOG.replacen("Outlets with an RCBO each", "Outlets for Odo Brannick", 1);
    let (views, gate) = views_of(&read(&log));
    let files = files_of(&views);
    let path = "search/pages-0.js";
    let leaks = gate.check(&PublicFile {
        path,
        kind: FileKind::of_path(path),
        bytes: files[path].0.as_bytes(),
    });
    assert!(
        leaks.iter().any(|leak| leak.term == "Odo Brannick"),
        "{leaks:?}"
    );
}

#[test]
fn the_same_diary_gives_the_same_bytes_and_an_edit_only_what_it_touches() {
    let (once, _) = views_of(&read(LOG));
    let (again, _) = views_of(&read(LOG));
    assert_eq!(files_of(&once), files_of(&again));
    let (edited, _) = views_of(&read(&LOG.replacen("it was safe", "it was fine", 1)));
    let (before, after) = (files_of(&once), files_of(&edited));
    let changed: Vec<&str> = before
        .iter()
        .filter(|(path, file)| after[*path] != **file)
        .map(|(path, _)| path.as_str())
        .collect();
    assert_eq!(changed, ["search/index.html", "search/words-0.js"]);
}

#[test]
fn a_diary_without_pages_has_a_search_page_and_nothing_to_find() {
    let read = read_files(vec![("diary.yaml".to_owned(), settings(DIARY).into())]);
    let (views, _) = views_of(&read);
    let files = files_of(&views);
    let paths: Vec<&str> = files.keys().map(String::as_str).collect();
    assert_eq!(paths, ["search/index.html", "search/search.js"]);
    assert!(files["search/index.html"].0.contains("data-pages=\"0\""));
}

/// Numbers that are the same on every machine.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap_or_default() % sides
    }
}

/// A site of that many write-ups, each as long as the demo's, put together from the demo's own paragraphs. A diary of
/// years also has words that stand on a page or two and nowhere else, makers' numbers and names of things: five new
/// ones a page, made of syllables.
fn long_site(pages: usize) -> SiteViews {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("example-site");
    let read = daywork::diary::read(&folder).expect("the demo can be read");
    let (mut views, _) = views_of(&read);
    let demo: Vec<WriteUp> = views.write_ups.clone();
    let paragraphs: Vec<String> = demo
        .iter()
        .flat_map(|page| page.body.markdown.split("\n\n"))
        .filter(|part| part.len() > 80 && !part.contains(['`', '|', '!', '[']))
        .map(str::to_owned)
        .collect();
    let length = demo
        .iter()
        .map(|page| page.body.markdown.len())
        .sum::<usize>()
        / demo.len();
    let mut dice = Dice(7);
    views.write_ups = (0..pages)
        .map(|number| {
            let mut page = demo[dice.roll(demo.len())].clone();
            let mut text = String::new();
            while text.len() < length {
                text += &paragraphs[dice.roll(paragraphs.len())];
                text += "\n\n";
            }
            for _ in 0..5 {
                let syllables = 2 + dice.roll(3);
                for _ in 0..syllables {
                    const ONSETS: [&str; 12] =
                        ["b", "d", "f", "g", "k", "l", "m", "p", "r", "s", "t", "v"];
                    const ENDS: [&str; 10] =
                        ["a", "e", "i", "o", "u", "an", "el", "in", "or", "um"];
                    text += ONSETS[dice.roll(ONSETS.len())];
                    text += ENDS[dice.roll(ENDS.len())];
                }
                text.push(' ');
            }
            let other = &demo[dice.roll(demo.len())].head.title;
            page.head.title = format!("{}, and {}", page.head.title, other.to_lowercase());
            page.head.link = format!("write-ups/job-{number}/");
            page.head.date = format!("{:04}-{:02}-01", 2000 + number / 80, 1 + number % 12);
            page.body.markdown = text;
            page
        })
        .collect();
    views
}

/// Bytes of 2,000 pages: run with `-- --nocapture` to read them. The folder is left for the browser.
#[test]
fn the_index_of_two_thousand_pages_is_cut_so_that_a_reader_loads_little() {
    let views = long_site(2_000);
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("search-2000");
    let mut words = Vec::new();
    let mut pages = Vec::new();
    for output in site::outputs(&views, &Sheets::built_in(), blake3::hash(b"gate")) {
        let wanted = output.path.starts_with("search/") || output.path.starts_with("docket");
        if !wanted {
            continue;
        }
        let bytes = (output.make)().expect("built-in sheets do not fail");
        if output.path.starts_with("search/words-") {
            words.push(bytes.len());
        } else if output.path.starts_with("search/pages-") {
            pages.push(bytes.len());
        }
        let target = folder.join(&output.path);
        std::fs::create_dir_all(target.parent().expect("a file has a folder"))
            .expect("can be made");
        std::fs::write(target, bytes).expect("can be written");
    }
    let most = |sizes: &[usize]| sizes.iter().copied().max().unwrap_or_default();
    let sum = |sizes: &[usize]| sizes.iter().sum::<usize>();
    println!(
        "2,000 pages: {} files of words, {} bytes, the largest {}; {} files of pages, {} bytes, the largest {}",
        words.len(),
        sum(&words),
        most(&words),
        pages.len(),
        sum(&pages),
        most(&pages),
    );
    assert!(words.len() > 20 && pages.len() >= 100);
    assert!(sum(&words) + sum(&pages) < 2_500_000);
    // One word of a few letters may lie across two files; ten results lie in ten files of pages at most.
    assert!(most(&words) < 24_000, "{}", most(&words));
    assert!(most(&pages) < 10_000, "{}", most(&pages));
    let numbers: BTreeSet<&str> = views
        .write_ups
        .iter()
        .map(|page| page.head.link.as_str())
        .collect();
    assert_eq!(numbers.len(), 2_000);
}
