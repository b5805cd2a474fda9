//! The page for the phone: what is in it, what never is, how it is written.

mod common;

use std::fs;
use std::path::Path;
use std::process::Output;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use common::{daywork, put, started, stderr, stdout, tree};
use daywork::diary;
use daywork::jot::pocket::{LARGEST, Page, is_pocket};
use sha2::{Digest as _, Sha256};

const HEAD: &str = "title: A diary\nsite: {address: https://example.com, language: en-GB, timezone: Europe/London}\n";

fn page_of(yaml: &str) -> Page {
    let text = format!("{HEAD}{yaml}");
    let read = diary::read_files(vec![("diary.yaml".to_owned(), text.into_bytes())]);
    assert_eq!(read.diagnostics.len(), 0, "{:?}", read.diagnostics);
    Page::new(&read.diary.settings)
}

fn demo() -> Page {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("example-site");
    let read = diary::read(&root).expect("the demo diary");
    Page::new(&read.diary.settings)
}

/// What stands between the first `open` and the next `close`.
fn between<'t>(text: &'t str, open: &str, close: &str) -> &'t str {
    let (_, rest) = text.split_once(open).expect("it opens");
    rest.split_once(close).expect("it shuts").0
}

fn pocket(diary: &Path, file: &Path, more: &[&str]) -> Output {
    daywork()
        .args(["jot", "--diary"])
        .arg(diary)
        .arg("--pocket")
        .arg(file)
        .args(more)
        .output()
        .expect("it runs")
}

#[test]
fn the_demo_s_page_is_small_and_has_every_task_type() {
    let page = demo();
    assert!(page.html.len() < LARGEST, "{} bytes", page.html.len());
    assert_eq!(page.tasks, 24);
    assert_eq!(page.left_out, Vec::<String>::new());
    for words in [
        "Fit or change an emergency light",
        "em light",
        "Boat shed or yard",
    ] {
        assert!(page.html.contains(words), "{words}");
    }
}

#[test]
fn two_hundred_task_types_still_make_a_small_page() {
    let mut yaml = String::from("tasks:\n");
    for n in 0..200 {
        yaml.push_str(&format!(
            "  kind-{n}-work: {{name: Change a light fitting or pendant {n}, unit: each, also: [lt{n}, pendant{n}, batten{n}]}}\n"
        ));
    }
    let page = page_of(&yaml);
    assert_eq!(page.tasks, 200, "{:?}", page.left_out);
    assert!(page.html.len() < 60_000, "{} bytes", page.html.len());
    assert!(page.html.contains("Change a light fitting or pendant 199"));
}

#[test]
fn the_same_diary_makes_the_same_bytes() {
    assert_eq!(demo().html, demo().html);
}

#[test]
fn the_policy_lets_the_page_s_own_style_and_script_run_and_nothing_else() {
    let html = demo().html;
    let policy = between(
        &html,
        "http-equiv=\"Content-Security-Policy\" content=\"",
        "\"",
    );
    let hash = |text: &str| STANDARD.encode(Sha256::digest(text.as_bytes()));
    let style = hash(between(&html, "<style>", "</style>"));
    let script = hash(between(&html, "<script>", "</script>"));
    assert_eq!(
        policy,
        format!(
            "default-src 'none'; style-src 'sha256-{style}'; script-src 'sha256-{script}'; base-uri 'none'; form-action 'none'"
        )
    );
    let before = html.find("<style>").expect("a style");
    let at = html.find(policy).expect("a policy");
    assert!(at < before, "the policy comes after what it is for");
}

#[test]
fn no_host_is_named_and_nothing_is_asked_for() {
    let html = demo().html;
    for words in [
        "http:",
        "https:",
        "//www",
        "src=",
        "url(",
        "@import",
        "fetch(",
        "XMLHttpRequest",
        "WebSocket",
        "EventSource",
        "sendBeacon",
        "importScripts",
        "serviceWorker",
        "eval(",
        "innerHTML",
        "document.write",
    ] {
        assert!(!html.contains(words), "the page holds {words}");
    }
}

#[test]
fn nothing_private_gets_into_the_page() {
    let (folder, diary) = started();
    let words = [
        "Quillfeather",
        "Zanderlane",
        "ZZ9 9ZZ",
        "01632 960777",
        "quill@example.com",
        "Ospreyquay",
        "2026-077",
        "61.23",
        "crowberry",
        "Gullgrey",
        "19.87",
        "Wrenhide",
        "Barnowl",
    ];
    put(
        &diary.join("diary.yaml"),
        format!(
            "{HEAD}trader: {{name: Wrenhide, trading_as: Barnowl, phone: 01632 960777, email: quill@example.com}}\n\
             rates: {{currency: GBP, hour: 61.23, day: 320.00, day_length: 8h, call_out: 65.00, mile: 0.45}}\n\
             locations: {{shop: Shop}}\ntasks:\n  socket: {{name: Change a socket, unit: each, also: [skt]}}\n\
             materials:\n  - {{item: Gullgrey clip, unit: each, cost: 19.87}}\nkeep_private: [crowberry]\n"
        ),
    );
    put(
        &diary.join("clients.yaml"),
        "quill: {name: Quillfeather, address: 4 Zanderlane Road, postcode: ZZ9 9ZZ, phone: 01632 960777, email: quill@example.com}\n",
    );
    put(
        &diary.join("jobs/2026/first-job.md"),
        "---\ntitle: Sockets\nref: 2026-077\nlocation: shop\nclient: quill\nplace: Ospreyquay Yard\n\
         visits:\n  - {date: 2026-03-02, from: 09:00, to: 10:00}\n---\n",
    );
    let file = folder.path().join("pocket.html");
    let out = pocket(&diary, &file, &[]);
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    let html = fs::read_to_string(&file).expect("a page");
    assert!(html.contains("Change a socket"), "the diary was not read");
    for word in words {
        assert!(!html.contains(word), "the page holds {word}");
    }
}

#[test]
fn a_page_of_ours_is_written_anew_and_nothing_else_is() {
    let (folder, diary) = started();
    let file = folder.path().join("pocket.html");
    let out = pocket(&diary, &file, &[]);
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    assert!(stdout(&out).starts_with("Wrote "), "{}", stdout(&out));
    let first = fs::read_to_string(&file).expect("a page");
    assert!(is_pocket(&first));

    put(&file, first.replace("Pocket docket", "An older one"));
    let out = pocket(&diary, &file, &[]);
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    assert_eq!(fs::read_to_string(&file).expect("a page"), first);

    put(&file, "<!doctype html>\n<title>Mine</title>\n");
    let before = tree(folder.path());
    let out = pocket(&diary, &file, &[]);
    assert_eq!(out.status.code(), Some(2), "{}", stderr(&out));
    assert!(
        stderr(&out).ends_with("is no pocket page, and was not touched. Give another name.\n"),
        "{}",
        stderr(&out)
    );
    assert_eq!(
        tree(folder.path()),
        before,
        "something was written all the same"
    );
}

#[test]
fn a_dry_run_a_wrong_ending_and_a_note_beside_it_write_nothing() {
    let (folder, diary) = started();
    let before = tree(folder.path());
    let file = folder.path().join("pocket.html");
    let out = pocket(&diary, &file, &["--dry-run"]);
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    assert!(stdout(&out).starts_with("Would write "), "{}", stdout(&out));
    let out = pocket(&diary, &folder.path().join("pocket.txt"), &[]);
    assert_eq!(out.status.code(), Some(2));
    assert!(
        stderr(&out).contains("does not end in .html"),
        "{}",
        stderr(&out)
    );
    let out = pocket(&diary, &file, &["note.txt"]);
    assert_eq!(out.status.code(), Some(2));
    assert_eq!(tree(folder.path()), before);
}

#[test]
fn a_folder_that_is_not_there_is_the_machine_s_failure() {
    let (folder, diary) = started();
    let out = pocket(&diary, &folder.path().join("nowhere/pocket.html"), &[]);
    assert_eq!(out.status.code(), Some(3), "{}", stderr(&out));
}

#[test]
fn a_line_marked_as_text_is_searched_for_nothing() {
    let (_folder, diary) = started();
    let note = "job: Hall\n2026-11-12 09:00-11:00\ntext: 2 skt 50m, parking 4, C1 and zs 1.2\nphoto: 2026-03-12 10.15.jpg\n\
                mats:\ntext: 6 fan £4.00\n";
    let out = daywork()
        .args([
            "jot",
            "--as-of",
            "2026-11-25",
            "--dry-run",
            "--format",
            "json",
        ])
        .args(["--diary".as_ref(), diary.as_os_str()])
        .write_stdin(note)
        .output()
        .expect("it runs");
    let report: serde_json::Value = serde_json::from_str(&stdout(&out)).expect("JSON");
    let job = &report["jobs"][0];
    assert_eq!(
        job["left_over"],
        serde_json::json!([
            "text: 2 skt 50m, parking 4, C1 and zs 1.2",
            "photo: 2026-03-12 10.15.jpg",
            "text: 6 fan £4.00"
        ])
    );
    assert_eq!(job["visits"].as_array().map(Vec::len), Some(1));
    for empty in ["findings", "readings", "materials"] {
        assert_eq!(job[empty], serde_json::json!([]), "{empty}");
    }
}
