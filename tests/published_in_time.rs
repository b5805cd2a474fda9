//! What a date holds back, and questions that wait: nothing of either is anywhere in the site before its day.

mod common;

use std::collections::BTreeMap;

use common::settings;
use daywork::diagnose::Level;
use daywork::diary::{Read, read_files};
use daywork::office::hours::hours;
use daywork::pages::sheets::Sheets;
use daywork::pages::site;
use daywork::public::{Gate, views};
use jiff::civil::{Date, date};

/// The day on which the third part comes out.
const DAY: Date = date(2026, 12, 1);

const FIRST: &str = "\
---
title: The long yard
ref: 2026-040
visits: [{date: 2026-09-02, time: 4h}]
publish: 2026-09-10
subjects: [earthing]
series: The yard
---

One day, one trench. See [what came of it](third.md#the-quokkafind).
";

const SECOND: &str = "\
---
title: The yard goes on
publish: 2026-10-01
subjects: [earthing]
series: The yard
---

The second day.
";

/// Every word with `quokka` stands in this part alone, and each in another place of it.
const THIRD: &str = "\
---
title: Quokkatitle at last
ref: 2026-041
visits: [{date: 2026-10-20, time: 4h, tasks: [{task: quokkatask, time: 1h}]}]
findings:
  - {what: A quokkafinding, code: C3, done: left}
materials:
  - {item: Quokkagland, count: 2}
publish: 2026-12-01
subjects: [quokkasubject, earthing]
series: The yard
was: [old/quokkawas]
coming: [Quokkacoming]
video: {address: https://films.example.com/quokkafilm, title: Quokkareel}
---

The quokkabody.

## The quokkafind

![A quokkapicture.](third/quokka.svg)
";

const VTT: &str = "WEBVTT\n\n00:00:01.000 --> 00:00:04.000\nA quokkaword is said.\n";
const SVG: &str =
    "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 4 4\"><title>Quokkasvg</title></svg>";

/// An answer about the third part, out long before it.
const ANSWER: &str = "\
---
title: Why two days?
publish: 2026-09-20
asked: {on: 2026-09-12, where: by post}
about: [../jobs/2026/third.md, ../guides/second.md]
---

> It is one yard.

Because the first was all trench.
";

fn diary() -> Read {
    let settings = settings(
        "tasks:\n  quokkatask: {name: Quokkatask, unit: job}\npublic: {how_long: true, fewest_jobs: 5}\n",
    );
    let files = [
        ("diary.yaml", settings.as_str()),
        ("jobs/2026/first.md", FIRST),
        ("guides/second.md", SECOND),
        ("jobs/2026/third.md", THIRD),
        ("jobs/2026/third.vtt", VTT),
        ("jobs/2026/third/quokka.svg", SVG),
        ("answers/why.md", ANSWER),
    ];
    let files = files.map(|(path, text)| (path.to_owned(), text.as_bytes().to_vec()));
    let read = read_files(files.into());
    let errors = read.diagnostics.iter();
    let errors: Vec<_> = errors.filter(|d| d.level == Level::Error).collect();
    assert!(errors.is_empty(), "{errors:?}");
    read
}

/// Every file of the site on a day, as text; a picture's bytes as far as they are text.
fn site_on(read: &Read, day: Date) -> BTreeMap<String, String> {
    let gate = Gate::new(&read.diary, &read.sources);
    let hours = hours(&read.diary, None, None, day);
    let (views, sheets) = (views(&read.diary, &hours, day, &gate), Sheets::built_in());
    let outputs = site::outputs(&views, &sheets, blake3::hash(b""));
    let made = outputs.iter().map(|output| {
        let bytes = (output.make)().expect("built-in sheets hold");
        let text = String::from_utf8_lossy(&bytes).into_owned();
        (output.path.clone(), text)
    });
    made.collect()
}

/// Files that hold a word, in any case, in their text or their name.
fn holding<'f>(files: &'f BTreeMap<String, String>, word: &str) -> Vec<&'f str> {
    let holds = |text: &str| text.to_lowercase().contains(word);
    let found = files
        .iter()
        .filter(|(path, text)| holds(path) || holds(text));
    found.map(|(path, _)| path.as_str()).collect()
}

#[test]
fn the_day_before_nothing_of_it_is_anywhere() {
    let files = site_on(&diary(), date(2026, 11, 30));
    // The one word of it that other pages write themselves is the link that shows as plain words.
    let first = &files["write-ups/the-long-yard/index.html"];
    assert!(first.contains("See what came of it."), "{first}");
    assert_eq!(holding(&files, "quokka"), Vec::<&str>::new());
    assert_eq!(holding(&files, "third"), Vec::<&str>::new());
    assert!(first.contains("Part 1 of 2"), "{first}");
    let second = &files["how-tos/the-yard-goes-on/index.html"];
    assert!(second.contains("Part 2 of 2"), "{second}");
    assert!(!second.contains("The next part"), "{second}");
}

#[test]
fn on_the_day_it_is_everywhere() {
    let files = site_on(&diary(), DAY);
    let page = "write-ups/quokkatitle-at-last/index.html";
    for (word, path) in [
        ("quokkatitle", "index.html"),
        ("quokkatitle", "write-ups/index.html"),
        ("quokkatitle-at-last/", "feed.xml"),
        ("quokkatitle-at-last/", "feed.json"),
        ("quokkatitle-at-last/", "write-ups/feed.xml"),
        ("quokkatitle-at-last/", "sitemap.xml"),
        ("quokkatitle", "old/quokkawas/index.html"),
        ("quokkatitle", "subjects/quokkasubject/index.html"),
        ("quokkasubject", "subjects/index.html"),
        ("quokkatitle", "how-tos/the-yard-goes-on/index.html"),
        ("quokkatitle", "answers/why-two-days/index.html"),
        ("quokkasvg", "write-ups/quokkatitle-at-last/figure-1.svg"),
        ("quokkaword", page),
        ("quokkareel", page),
        ("quokkacoming", page),
        ("why two days?", page),
        ("part 3 of 3", page),
    ] {
        let text = files.get(path).unwrap_or_else(|| panic!("no {path}"));
        assert!(text.to_lowercase().contains(word), "{word} in {path}");
    }
    let first = &files["write-ups/the-long-yard/index.html"];
    assert!(first.contains("Part 1 of 3"), "{first}");
    let link = "../../write-ups/quokkatitle-at-last/#the-quokkafind";
    assert!(first.contains(link), "{first}");
    let second = &files["how-tos/the-yard-goes-on/index.html"];
    assert!(second.contains("The next part"), "{second}");
    let searched = holding(&files, "quokkabody");
    assert!(
        searched.iter().any(|path| path.starts_with("search/")),
        "{searched:?}"
    );
    assert!(files.contains_key("write-ups/quokkatitle-at-last/card.png"));
}
