//! What a date holds back, and questions that wait: nothing of either is anywhere in the site before its day.

mod common;

use std::collections::BTreeMap;

use common::{gate_faults, settings};
use daywork::diagnose::text::{Colour, render};
use daywork::diagnose::{Code, Diagnostic, Level};
use daywork::diary::{Read, read_files};
use daywork::office::book::handbook::Handbook;
use daywork::office::book::{PublishingPage, Reports, book};
use daywork::office::cover::cover;
use daywork::office::hours::hours;
use daywork::office::rates::each_year;
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
location: yard
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
location: yard
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
    diary_with(&[])
}

/// The three parts and the answer, and other files.
fn diary_with(more: &[(&str, &str)]) -> Read {
    let settings = settings(
        "locations: {yard: Yard}\ntasks:\n  quokkatask: {name: Quokkatask, unit: job}\npublic: {how_long: true, fewest_jobs: 5}\n",
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
    let files = files.iter().chain(more);
    let files = files.map(|(path, text)| ((*path).to_owned(), text.as_bytes().to_vec()));
    let read = read_files(files.collect());
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

/// A reader's question. `publish` may say what it likes.
const QUESTION: &str = "\
---
title: Numbattitle?
publish: 2026-09-20
asked: {on: 2026-09-12, where: numbatplace}
about: [../guides/second.md]
subjects: [numbatsubject]
series: The yard
was: [old/numbatwas]
---

> My numbatquestion has been buzzing since Tuesday. Is that all right?
";

#[test]
fn a_question_that_waits_is_nowhere_in_the_site() {
    let read = diary_with(&[("answers/numbat.md", QUESTION)]);
    assert_eq!(read.diary.waiting.len(), 1);
    let told: Vec<Code> = read.diagnostics.iter().map(|fault| fault.code).collect();
    assert_eq!(told, [Code::QuestionWaiting]);
    let files = site_on(&read, DAY);
    assert_eq!(holding(&files, "numbat"), Vec::<&str>::new());
    // With its answer it is there.
    let answered = format!("{QUESTION}\nNo: switch it off and ring.\n");
    let files = site_on(&diary_with(&[("answers/numbat.md", &answered)]), DAY);
    assert_eq!(
        holding(&files, "numbatquestion").first(),
        Some(&"answers/numbattitle/index.html")
    );
}

/// What the gate says of the page that quotes the question.
fn leaks(read: &Read) -> Vec<Diagnostic> {
    let page = "how-tos/what-people-ask/index.html";
    let text = &site_on(read, DAY)[page];
    let file = read
        .sources
        .iter()
        .find(|(_, source)| source.path == "guides/ask.md");
    let gate = Gate::new(&read.diary, &read.sources);
    gate_faults(
        &gate,
        page,
        text.as_bytes(),
        file.map(|(id, _)| id),
        &read.sources,
    )
}

#[test]
fn a_film_answers_a_question() {
    let filmed = QUESTION.replace(
        "publish:",
        "video: https://films.example.com/numbat\npublish:",
    );
    let read = diary_with(&[("answers/numbat.md", &filmed)]);
    assert!(read.diary.waiting.is_empty());
    assert!(site_on(&read, DAY).contains_key("answers/numbattitle/index.html"));
}

#[test]
fn the_gate_holds_back_the_words_of_a_question_that_waits() {
    let quoting = "\
---
title: What people ask
publish: 2026-10-01
---

Somebody wrote: my numbatquestion has been buzzing since Tuesday. I went.
";
    let read = diary_with(&[("answers/numbat.md", QUESTION), ("guides/ask.md", quoting)]);
    let faults = leaks(&read);
    let codes: Vec<Code> = faults.iter().map(|fault| fault.code).collect();
    assert!(codes.contains(&Code::PrivateWord), "{codes:?}");
    let text = render(&faults, &read.sources, Colour::Plain);
    assert!(
        text.contains("from the question that waits in answers/numbat.md"),
        "{text}"
    );
    assert!(text.contains("guides/ask.md, line 6"), "{text}");
    assert!(
        text.contains("Answer the question, or put it here in words of your own."),
        "{text}"
    );
    // Nothing is amiss once it is answered.
    let answered = format!("{QUESTION}\nNo: switch it off and ring.\n");
    let read = diary_with(&[("answers/numbat.md", &answered), ("guides/ask.md", quoting)]);
    assert!(leaks(&read).is_empty());
}

/// A page that promises another in its text.
const PROMISE: &str = "\
---
title: Proving dead
publish: 2026-10-01
---

How it is kept is [another page](<coming:Looking after the tester>), to come.
";
const KEPT: &str =
    "---\ntitle: Looking after the  Tester\npublish: 2026-12-01\n---\n\nIt hangs up dry.\n";

#[test]
fn a_promise_is_plain_words_until_its_page_comes_and_then_a_link() {
    let read = diary_with(&[("guides/dead.md", PROMISE)]);
    assert!(read.diagnostics.is_empty(), "{:?}", read.diagnostics);
    let page = "how-tos/proving-dead/index.html";
    let before = &site_on(&read, DAY)[page];
    assert!(
        before.contains("How it is kept is another page, to come."),
        "{before}"
    );
    assert!(before.contains("Still to come"), "{before}");
    assert!(
        before.contains("<li>Looking after the tester</li>"),
        "{before}"
    );

    let read = diary_with(&[("guides/dead.md", PROMISE), ("guides/tester.md", KEPT)]);
    let the_day_before = &site_on(&read, date(2026, 11, 30))[page];
    assert!(
        !the_day_before.contains("looking-after-the-tester"),
        "{the_day_before}"
    );
    let after = &site_on(&read, DAY)[page];
    let link = "<a href=\"../../how-tos/looking-after-the-tester/\">another page</a>";
    assert!(after.contains(link), "{after}");
    assert!(!after.contains("Still to come"), "{after}");
}

#[test]
fn a_title_nearly_kept_is_told_and_another_part_is_not() {
    let told_of = |promised: &str, title: &str| -> Vec<String> {
        let page = format!("---\ntitle: {title}\npublish: 2026-10-02\n---\n\nIt hangs up dry.\n");
        let promise = PROMISE.replace("Looking after the tester", promised);
        let read = diary_with(&[("guides/dead.md", &promise), ("guides/tester.md", &page)]);
        let near = read
            .diagnostics
            .iter()
            .filter(|fault| fault.code == Code::PromiseNear);
        near.map(|fault| fault.message.clone()).collect()
    };
    let told = |title: &str| told_of("Looking after the tester 2", title);
    assert_eq!(
        told("Looking after a tester 2"),
        [
            "no page is called “Looking after the tester 2”, and one is called Looking after a tester 2"
        ]
    );
    assert!(told("Looking after the tester 3").is_empty());
    assert!(told("looking after  the Tester 2").is_empty());
    // A question of two lines, as readers write them.
    let question =
        "Why does the hall's RCD trip only when the urn and both heaters are on after a wet week";
    let near = told_of(question, &question.replace("week", "weeks"));
    assert_eq!(near.len(), 1, "{near:?}");
}

/// The office book's publishing list on a day.
fn publishing_on(read: &Read, day: Date) -> PublishingPage {
    let (hours, rates, cover) = (
        hours(&read.diary, None, None, day),
        each_year(&read.diary, day),
        cover(&read.diary, day),
    );
    let reports = Reports {
        hours: &hours,
        rates: &rates,
        cover: &cover,
        back_test: None,
    };
    let handbook = Handbook::from_texts([]);
    book(&read.diary, &read.sources, reports, &[], day, &handbook).publishing()
}

#[test]
fn the_office_lists_what_is_due_what_waits_and_what_is_promised() {
    const UNDATED: &str = "---\ntitle: And the bandicoot?\n---\n\n> Well?\n";
    const PRIVATE: &str = "---\ntitle: Quokkacoming\n---\n\nA draft.\n";
    let read = diary_with(&[
        ("answers/bandicoot.md", UNDATED),
        ("answers/numbat.md", QUESTION),
        ("guides/dead.md", PROMISE),
        ("guides/draft.md", PRIVATE),
    ]);
    let page = publishing_on(&read, date(2026, 11, 30));
    assert_eq!(
        page.headline,
        "1 page is due, 2 questions wait, and 2 pages are promised"
    );
    let due = &page.due.rows[0];
    assert_eq!(
        (
            &*due.date,
            &*due.away,
            &*due.title,
            due.kind,
            &*due.link,
            &*due.file
        ),
        (
            "1 December 2026",
            "tomorrow",
            "Quokkatitle at last",
            "write-up",
            "jobs/2026-041.html",
            "jobs/2026/third.md"
        )
    );
    assert_eq!(due.series, "Part of “The yard”.");
    let asked: Vec<_> = page
        .questions
        .rows
        .iter()
        .map(|row| {
            (
                &*row.title,
                &*row.asked,
                &*row.waits,
                &*row.place,
                &*row.question,
            )
        })
        .collect();
    assert_eq!(
        asked,
        [
            (
                "Numbattitle?",
                "12 September 2026",
                "waits 79 days",
                "numbatplace",
                "My numbatquestion has been buzzing since Tuesday. Is that all right?"
            ),
            ("And the bandicoot?", "No date", "", "", "Well?"),
        ]
    );
    let promised: Vec<_> = page
        .promised
        .rows
        .iter()
        .map(|row| {
            (
                &*row.title,
                &*row.state,
                &*row.places[0].title,
                &*row.places[0].place,
            )
        })
        .collect();
    assert_eq!(
        promised,
        [
            (
                "Looking after the tester",
                "Not begun.",
                "Proving dead",
                "guides/dead.md, line 6"
            ),
            (
                "Quokkacoming",
                "Written, and private: it has no publish line.",
                "Quokkatitle at last",
                "jobs/2026/third.md, line 14"
            ),
        ]
    );
    assert_eq!(
        page.promised.rows[0].places[0].link,
        "https://example.com/how-tos/proving-dead/"
    );

    let read = diary_with(&[("guides/dead.md", PROMISE), ("guides/tester.md", KEPT)]);
    let before = publishing_on(&read, date(2026, 11, 30));
    let state = |page: &PublishingPage, title: &str| {
        let mut rows = page.promised.rows.iter();
        rows.find(|row| row.title == title)
            .map(|row| row.state.clone())
    };
    let comes_out = "Written, and comes out on 1 December 2026.";
    assert_eq!(
        state(&before, "Looking after the tester").as_deref(),
        Some(comes_out)
    );
    let on_the_day = publishing_on(&read, DAY);
    assert_eq!(state(&on_the_day, "Looking after the tester"), None);
    assert_eq!(on_the_day.headline, "1 page is promised");
}
