//! Films: captions and chapters beside a log, the transcript on its page, and a client's name said aloud.

mod common;

use std::collections::BTreeMap;

use common::gate_faults;
use daywork::diagnose::text::{Colour, render};
use daywork::diagnose::{Code, Diagnostic, FileId};
use daywork::diary::captions::{FaultKind, Form, form, read as read_captions};
use daywork::diary::{Read, read_files};
use daywork::model::captions::clock;
use daywork::office::hours::hours;
use daywork::pages::sheets::Sheets;
use daywork::pages::site;
use daywork::public::view::SiteViews;
use daywork::public::{Gate, views};
use jiff::civil::{Date, date};
use proptest::prelude::*;

const AS_OF: Date = date(2026, 11, 25);
const LOG: &str = "jobs/2026/posts.md";
const PAGE: &str = "write-ups/two-posts/index.html";

const DIARY: &str = "\
title: A diary
trader: {name: Nan Tregarrow, trading_as: Gullwick Electrical, phone: 01632 960123, email: nan@example.com}
site: {address: https://example.com, language: en-GB, timezone: Europe/London}
locations: {boat-shed: Boat shed}
";

const CLIENTS: &str = "\
pot:
  name: The Tar Pot
  contact: Mrs Wenna Brannick
";

/// A diary of one public log with a film, and files beside it.
fn diary(video: &str, body: &str, beside: &[(&str, &str)]) -> Read {
    let log = format!(
        "---\ntitle: Two posts\nref: 2026-031\nlocation: boat-shed\nclient: pot\n{video}visits: [{{date: 2026-03-12, time: 4h}}]\npublish: 2026-03-20\n---\n\nWords.\n\n{body}"
    );
    let mut files = vec![
        ("diary.yaml".to_owned(), DIARY.as_bytes().to_vec()),
        ("clients.yaml".to_owned(), CLIENTS.as_bytes().to_vec()),
        (LOG.to_owned(), log.into_bytes()),
    ];
    let beside = beside
        .iter()
        .map(|(path, text)| (format!("jobs/2026/{path}"), text.as_bytes().to_vec()));
    files.extend(beside);
    read_files(files)
}

fn site_of(read: &Read) -> SiteViews {
    let gate = Gate::new(&read.diary, &read.sources);
    views(
        &read.diary,
        &hours(&read.diary, None, None, AS_OF),
        AS_OF,
        &gate,
    )
}

/// The page of the log.
fn page(read: &Read) -> String {
    let (views, sheets) = (site_of(read), Sheets::built_in());
    let outputs = site::outputs(&views, &sheets, blake3::hash(b""));
    let output = outputs.iter().find(|output| output.path == PAGE);
    let bytes = (output.expect("the log is public").make)().expect("built-in sheets hold");
    String::from_utf8(bytes).expect("pages are UTF-8")
}

fn file(read: &Read, path: &str) -> FileId {
    let mut files = read.sources.iter();
    files
        .find(|(_, source)| source.path == path)
        .expect("it is in the diary")
        .0
}

/// What the gate says of the log's page.
fn told(read: &Read) -> String {
    let gate = Gate::new(&read.diary, &read.sources);
    let source = Some(file(read, LOG));
    let faults = gate_faults(&gate, PAGE, page(read).as_bytes(), source, &read.sources);
    render(&faults, &read.sources, Colour::Plain)
}

/// Diagnostics of films as text.
fn faults(read: &Read) -> String {
    const OURS: [Code; 6] = [
        Code::BadCaptions,
        Code::CaptionsOrder,
        Code::CaptionsUnused,
        Code::NotUtf8,
        Code::EmptyValue,
        Code::UnknownWord,
    ];
    let mut ours: Vec<Diagnostic> = read.diagnostics.clone();
    ours.retain(|fault| OURS.contains(&fault.code));
    daywork::diagnose::put_in_order(&mut ours, &read.sources);
    render(&ours, &read.sources, Colour::Plain)
}

/// A page's words without its markup, spaces folded.
fn plain(html: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for c in html.chars() {
        match c {
            '<' => inside = true,
            '>' if inside => inside = false,
            c if !inside => out.push(c),
            _ => {}
        }
    }
    let out = out
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
        .replace("&#39;", "'")
        .replace("&#x27;", "'")
        .replace("&#x2F;", "/")
        .replace("&amp;", "&");
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

const VIDEO: &str = "video: https://films.example.com/posts\n";

#[test]
fn captions_and_chapters_of_the_log_s_own_name_stand_on_its_page() {
    let vtt = "WEBVTT\n\n00:01.000 --> 00:04.000 align:start\n<v Nan>The breaker is <b>off</b>,\n\n00:04.500 --> 00:08.000\n<v Nan>and my lock &amp; tag are on it.\n\n04:12.000 --> 04:15.000\n<v Agent>How long?\n\n04:16.000 --> 04:18.000\n<v Jem>Ask her.\n";
    let chapters =
        "WEBVTT\n\n00:00.000 --> 04:00.000\nLock off\n\n04:00.000 --> 06:30.000\nQuestions\n";
    let read = diary(
        VIDEO,
        "",
        &[("posts.vtt", vtt), ("posts.chapters.vtt", chapters)],
    );
    assert_eq!(faults(&read), "");
    let html = page(&read);
    assert!(html.contains("<a class=\"reel\" href=\"https://films.example.com/posts\""));
    assert!(html.contains("on films.example.com, about 7 min"));
    assert!(html.contains("<time datetime=\"PT240S\">4:00</time> <span>Questions</span>"));
    assert!(html.contains(
        "<p><time datetime=\"PT1S\">0:01</time> <b>Nan:</b> The breaker is off, and my lock &amp; tag are on it.</p>"
    ), "{html}");
    assert!(
        html.contains("<b>Agent:</b> How long?"),
        "a role is no name"
    );
    assert!(html.contains("<b>Another voice:</b> Ask her."));
    assert!(!html.contains("Jem"), "whoever else speaks stays unnamed");
    assert!(
        !html.contains("#t="),
        "no moment is added to a page of a host"
    );
    assert!(!html.contains("<video") && !html.contains("<iframe") && !html.contains("<img"));
}

#[test]
fn a_plain_media_file_is_opened_at_a_chapter() {
    let srt =
        "1\n00:00:01,000 --> 00:01:04,000\nBefore\n\n2\n01:02:05,000 --> 01:03:00,000\nAfter\n";
    let video = "video: {address: https://films.example.com/posts.mp4, title: Two posts, captions: said.srt}\n";
    let read = diary(video, "", &[("said.srt", srt), ("said.chapters.srt", srt)]);
    let html = page(&read);
    assert!(
        html.contains("href=\"https://films.example.com/posts.mp4#t=3725\""),
        "{html}"
    );
    assert!(html.contains("about 1 h 3"));
}

#[test]
fn films_of_blocks_stand_where_they_are_written() {
    let srt = "1\n00:00:01,000 --> 00:00:04,000\nThe first\n";
    let vtt = "WEBVTT\n\n00:01.000 --> 00:04.000\nThe second\n";
    let body = "Before.\n\n```video\nhttps://films.example.com/one\n```\n\nBetween.\n\n```video\naddress: https://films.example.com/two\ntitle: The other\ncaptions: other.vtt\n```\n\nAfter.\n";
    let read = diary("", body, &[("posts.srt", srt), ("other.vtt", vtt)]);
    assert_eq!(faults(&read), "");
    let html = page(&read);
    let (_, text) = html.split_once("<main").expect("it has a text");
    let words = plain(text);
    let at = |part: &str| {
        words
            .find(part)
            .unwrap_or_else(|| panic!("{part}: {words}"))
    };
    let order = [
        "Before.",
        "The first",
        "Between.",
        "The other",
        "The second",
        "After.",
    ];
    assert!(order.map(at).is_sorted());
    assert!(!words.contains("other.vtt"), "a file's name stays at home");
}

#[test]
fn a_name_said_aloud_is_caught_with_its_time() {
    let vtt = "WEBVTT\n\n00:01.000 --> 00:04.000\nThe breaker is off.\n\n04:12.000 --> 04:15.000\n<i>So</i> I rang Brannick first.\n";
    insta::assert_snapshot!(told(&diary(VIDEO, "", &[("posts.vtt", vtt)])));
}

#[test]
fn a_name_split_over_two_cues_is_caught() {
    // No part of it is looked for alone: its last word has three letters.
    let near = "1\n00:04:12,000 --> 00:04:13,000\nnext door to the tar\n\n2\n00:04:13,200 --> 00:04:15,000\npot, as it was\n";
    let found = told(&diary(VIDEO, "", &[("posts.srt", near)]));
    assert!(found.contains("jobs/2026/posts.srt, line 3"), "{found}");
    assert!(found.contains("at 4:12 in the film"), "{found}");
    // A pause makes two paragraphs of it, with a time between.
    let far = "WEBVTT\n\n04:12.000 --> 04:13.000\nnext door to the tar\n\n04:44.000 --> 04:50.000\npot, as it was\n";
    let read = diary(VIDEO, "", &[("posts.vtt", far)]);
    assert!(page(&read).contains("4:44"));
    let found = told(&read);
    assert!(found.contains("jobs/2026/posts.vtt, line 4"), "{found}");
    // And the words alone, each where the other is not, are nobody's name.
    let apart = "WEBVTT\n\n04:12.000 --> 04:13.000\nthe tar on the rope, in a pot\n";
    assert_eq!(told(&diary(VIDEO, "", &[("posts.vtt", apart)])), "");
}

#[test]
fn a_name_in_a_chapter_or_a_title_is_caught_too() {
    let chapters = "WEBVTT\n\n00:00.000 --> 00:30.000\nLock off\n\n00:30.000 --> 01:00.000\nMrs Brannick asks\n";
    let found = told(&diary(VIDEO, "", &[("posts.chapters.vtt", chapters)]));
    assert!(found.contains("posts.chapters.vtt, line 7"), "{found}");
    assert!(found.contains("at 0:30 in the film"), "{found}");
    // In a line as it is read, the name alone is pointed at.
    let pointed = "    7 | Mrs Brannick asks\n      |     ^^^^^^^^\n";
    assert!(found.contains(pointed), "{found}");
    let video = "video: {address: https://films.example.com/1, title: At Brannick's}\n";
    let found = told(&diary(video, "", &[]));
    assert!(found.contains("jobs/2026/posts.md, line 6"), "{found}");
}

#[test]
fn faulty_captions_are_told_with_their_line() {
    let vtt = "00:01.000 --> 00:04.000\nno header\n\n00:05.000 00:08.000\nno arrow\n\nwords alone\n\n1:75.000 --> 00:09.000\nbad start\n\n00:10.000 --> late\nbad end\n\n00:20.000 --> 00:15.000\nends early\n\n00:11.000 --> 00:12.000\nbackwards\n";
    let srt = "\u{feff}1\r\n00:00:01,000 --> 00:00:06,000\r\nOne\r\n\r\n2\r\n00:00:05.000 --> 00:08,000\r\nTwo\r\n";
    let read = diary(
        "video: {address: https://films.example.com/1, captions: post.vtt}\n",
        "> ```video\n> https://films.example.com/2\n> ```\n\n```video\n```\n",
        &[
            ("posts.vtt", vtt),
            ("two.srt", srt),
            ("empty.vtt", ""),
            ("bare.vtt", "WEBVTT\n"),
        ],
    );
    insta::assert_snapshot!(faults(&read));
}

#[test]
fn captions_that_are_no_utf8_and_two_of_a_name_are_told() {
    let mut files = vec![
        ("diary.yaml".to_owned(), DIARY.as_bytes().to_vec()),
        (
            LOG.to_owned(),
            b"---\ntitle: Two posts\nref: 2026-031\nlocation: boat-shed\nvideo: https://films.example.com/1\nvisits: [{date: 2026-03-12, time: 4h}]\n---\n".to_vec(),
        ),
    ];
    let cue = b"WEBVTT\n\n00:01.000 --> 00:02.000\nOn\n".to_vec();
    files.push(("jobs/2026/posts.vtt".to_owned(), cue.clone()));
    files.push(("jobs/2026/posts.srt".to_owned(), cue));
    files.push(("jobs/2026/latin.vtt".to_owned(), b"WEBVTT\n\n\xe9".to_vec()));
    let told = faults(&read_files(files));
    assert!(told.contains("this film has two captions files"), "{told}");
    assert!(told.contains("latin.vtt: this file is not UTF-8"), "{told}");
}

/// Words, voice and times of each line, as `0:11 Roger Bingham: words`.
fn said(text: &str) -> Vec<String> {
    let (read, faults) = read_captions(text, form(text).expect("it is one of the two"));
    assert_eq!(faults, []);
    read.said
        .iter()
        .map(|said| {
            // A private value prints no more than that it is one.
            let voice = if said.voice.is_some() { "voice " } else { "" };
            format!("{} {voice}{}", clock(said.from), said.words)
        })
        .collect()
}

/// Examples of W3C's recommendation WebVTT: The Web Video Text Tracks Format, sections 1.1, 1.2, 1.3 and 1.4.
#[test]
fn the_recommendation_s_own_examples_are_read() {
    let interview = "WEBVTT\n\n00:30.000 --> 00:31.500 align:right size:50%\n<v Roger Bingham>When we e-mailed&mdash;\n\n00:30.500 --> 00:32.500 align:left size:50%\n<v Neil deGrasse Tyson>Didn't we talk about enough in that conversation?\n\n00:32.000 --> 00:35.500 align:right size:50%\n<v Roger Bingham>No! No no no no; 'cos 'cos obviously 'cos\n\n00:32.500 --> 00:33.500 align:left size:50%\n<v Neil deGrasse Tyson><i>Laughs</i>\n";
    assert_eq!(
        said(interview),
        [
            "0:30 voice When we e-mailed—",
            "0:30 voice Didn't we talk about enough in that conversation?",
            "0:32 voice No! No no no no; 'cos 'cos obviously 'cos",
            "0:32 voice Laughs",
        ]
    );
    let lines = "WEBVTT\n\n00:01.000 --> 00:04.000\nNever drink liquid nitrogen.\n\n00:05.000 --> 00:09.000\n&mdash; It will perforate your stomach.\n&mdash; You could die.\n";
    assert_eq!(
        said(lines),
        [
            "0:01 Never drink liquid nitrogen.",
            "0:05 — It will perforate your stomach.",
            "0:05 — You could die.",
        ]
    );
    let styled = "WEBVTT\n\nSTYLE\n::cue {\n  background-image: linear-gradient(to bottom, dimgray, lightgray);\n  color: papayawhip;\n}\n/* Style blocks cannot use blank lines nor \"dash dash greater than\" */\n\nNOTE comment blocks can be used between style blocks.\n\nSTYLE\n::cue(b) {\n  color: peachpuff;\n}\n\nhello\n00:00:00.000 --> 00:00:10.000\nHello <b>world</b>.\n\nNOTE style blocks cannot appear after the first cue.\n";
    assert_eq!(said(styled), ["0:00 Hello world."]);
    let named = "WEBVTT\n\ntest\n00:00.000 --> 00:02.000\nThis is a test.\n\n123\n00:00.000 --> 00:02.000\nThat's an, an, that's an L!\n\ncrédit de transcription\n00:04.000 --> 00:05.000\nTranscrit par Célestes&trade;\n";
    assert_eq!(
        said(named),
        [
            "0:00 This is a test.",
            "0:00 That's an, an, that's an L!",
            "0:04 Transcrit par Célestes™",
        ]
    );
    let tongue = "WEBVTT\n\n04:05.001 --> 04:07.800\nSur les <i.foreignphrase><lang en>playground</lang></i>, ici à Montpellier\n";
    assert_eq!(said(tongue), ["4:05 Sur les playground, ici à Montpellier"]);
    let voices = "WEBVTT\n\n00:00.000 --> 00:02.000\n<v.first.loud Esme>It's a blue apple tree!\n\n00:04.000 --> 00:06.000\n<v Esme>Hee!</v> <i>laughter</i>\n";
    assert_eq!(
        said(voices),
        [
            "0:00 voice It's a blue apple tree!",
            "0:04 voice Hee!",
            "0:04 laughter"
        ]
    );
}

#[test]
fn every_kind_of_line_end_mark_and_blank_is_read() {
    let lf = "WEBVTT a title\nkind: captions\n\n00:01.000-->00:02.0\nU < 5 V & I > 3 <00:01.500>A\n \n01:00:00,250\t-->\t01:00:01,000\none\ntwo\n";
    let expected = ["0:01 U < 5 V & I > 3 A", "1:00:00 one", "1:00:00 two"];
    assert_eq!(said(lf), expected);
    assert_eq!(said(&lf.replace('\n', "\r\n")), expected);
    assert_eq!(said(&lf.replace('\n', "\r")), expected);
    assert_eq!(said(&format!("\u{feff}{lf}")), expected);
    // SubRip without a blank line between: the number is not said.
    let srt = "1\n00:00:01,000 --> 00:00:02,000\n{\\an8}<FONT color=\"red\">Off</FONT>\n2\n00:00:03,000 --> 00:00:04,000\nL1 <> N &amp;\n";
    assert_eq!(said(srt), ["0:01 Off", "0:03 L1 <> N &amp;"]);
    assert_eq!(form("WEBVTTX\n"), None);
    let (_, faults) = read_captions("", Form::SubRip);
    assert_eq!(faults[0].kind, FaultKind::NoCues);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn no_text_is_too_much_for_the_reader_of_captions(text in "(WEBVTT\n|1\n)?([<>&;{}\\\\/v. \r\n\ta-z0-9:,é\u{feff}\u{0}-]|-->|00:01\\.000 --> 00:02,000\n|<v |NOTE ){0,60}") {
        for form in [Form::WebVtt, Form::SubRip] {
            let (read, faults) = read_captions(&text, form);
            for said in &read.said {
                prop_assert!(!said.words.is_empty() && said.from <= said.to);
                prop_assert!(text.get(said.place.clone()).is_some());
            }
            for fault in faults {
                prop_assert!(text.get(fault.place.clone()).is_some());
            }
        }
    }

    #[test]
    fn every_cue_s_words_are_on_the_page(cues in prop::collection::vec(("[a-zA-Z<>&\"'é.,!?-]{1,8}( [a-z&<;#0-9]{1,6}){0,5}", 0_u32..5000), 1..6)) {
        let mut srt = String::new();
        let mut start = 0;
        for (number, (words, pause)) in cues.iter().enumerate() {
            let at = |ms: u32| format!("{:02}:{:02}:{:02},{:03}", ms / 3_600_000, ms / 60_000 % 60, ms / 1000 % 60, ms % 1000);
            srt.push_str(&format!("{}\n{} --> {}\n{words}\n\n", number + 1, at(start), at(start + 900)));
            start += 900 + pause;
        }
        prop_assume!(!srt.replace(" --> ", "").contains("-->"));
        let tags = ["<b", "<i", "<u", "<s", "</"];
        let small = srt.to_ascii_lowercase();
        prop_assume!(!tags.iter().any(|tag| small.contains(tag)));
        let read = diary(VIDEO, "", &[("posts.srt", &srt)]);
        let film = &site_of(&read).write_ups[0].body.film.clone().expect("it has one");
        let all: Vec<&str> = film.said.iter().map(|part| part.words.as_str()).collect();
        let wanted: Vec<&str> = cues.iter().map(|(words, _)| words.as_str()).collect();
        prop_assert_eq!(all.join(" "), wanted.join(" "));
        let words = plain_escaped(&page(&read));
        for part in &film.said {
            prop_assert!(words.contains(&escaped(&part.words)), "{} not in {}", part.words, words);
        }
    }
}

/// As a page writes a text.
fn escaped(text: &str) -> String {
    let mut context = tera::Context::new();
    context.insert("text", text);
    tera::Tera::one_off("{{ text }}", &context, true).expect("a template of one value")
}

/// A page with its spaces folded.
fn plain_escaped(html: &str) -> String {
    html.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_film_without_captions_is_a_link_and_no_more() {
    let read = diary(VIDEO, "", &[]);
    assert!(read.diary.captions.is_empty());
    let html = page(&read);
    let figure = html
        .split_once("<figure class=\"film\">")
        .and_then(|(_, rest)| rest.split_once("</figure>"));
    let (figure, _) = figure.expect("the film is there");
    assert_eq!(plain(figure), "Film of this job on films.example.com");
    let none: BTreeMap<FileId, daywork::model::Captions> = BTreeMap::new();
    assert_eq!(read.diary.captions, none);
}

const STILL: &str =
    "video: {address: https://films.example.com/posts.mp4, title: Two posts, still: gate.svg}\n";
const DRAWING: &str =
    "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 64 36\"><title>A gate</title></svg>\n";

#[test]
fn a_films_own_still_stands_for_it_under_no_name_of_its_file() {
    let block = "```video\naddress: https://films.example.com/two\nstill: ./posts/gate.svg\n```\n";
    let read = diary(STILL, block, &[("posts/gate.svg", DRAWING)]);
    assert_eq!(read.diagnostics, []);
    let html = page(&read);
    let still = "<img src=\"../../write-ups/two-posts/figure-1.svg\" alt=\"\"";
    assert_eq!(html.matches(still).count(), 2, "{html}");
    assert!(!html.contains("gate"), "{html}");
    assert!(!html.contains("class=\"drawn\""), "{html}");
}

#[test]
fn a_still_that_is_not_there_is_told_at_its_place() {
    let read = diary(STILL, "", &[]);
    let told = render(&read.diagnostics, &read.sources, Colour::Plain);
    assert!(told.contains("jobs/2026/posts.md, line 6:"), "{told}");
    assert!(told.contains("gate.svg"), "{told}");
    assert!(page(&read).contains("class=\"drawn\""));
}

/// Names of schema.org: VideoObject, Clip and their properties. `tests/browser/jsonld-types.mjs` holds the demo's
/// against the whole vocabulary.
#[test]
fn a_film_is_told_to_machines_with_its_still_and_chapters() {
    let chapters =
        "WEBVTT\n\n00:00.000 --> 00:09.000\nThe gate\n\n01:05.000 --> 01:20.000\nThe post\n";
    let beside = [
        ("posts/gate.svg", DRAWING),
        ("posts.chapters.vtt", chapters),
    ];
    let html = page(&diary(STILL, "", &beside));
    let (_, rest) = html
        .split_once("<script type=\"application/ld+json\">")
        .expect("it is told");
    let (json, _) = rest.split_once("</script>").expect("it ends");
    let data: serde_json::Value = serde_json::from_str(json).expect("JSON");
    let video = serde_json::json!([{
        "@type": "VideoObject",
        "name": "Two posts",
        "contentUrl": "https://films.example.com/posts.mp4",
        "thumbnailUrl": "https://example.com/write-ups/two-posts/figure-1.svg",
        "inLanguage": "en-GB",
        "hasPart": [
            {"@type": "Clip", "name": "The gate", "startOffset": 0, "url": "https://films.example.com/posts.mp4#t=0"},
            {"@type": "Clip", "name": "The post", "startOffset": 65, "url": "https://films.example.com/posts.mp4#t=65"},
        ],
    }]);
    assert_eq!(data["video"], video);
}
