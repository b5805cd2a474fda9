//! Proof as it is run: what it serves and to whom, what it sees of a save, and how it ends.

mod common;
#[path = "common/proofing.rs"]
mod proofing;

use std::fs;
use std::io::Read as _;
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::process::Output;
use std::time::{Duration, Instant};

use common::{daywork, put, stderr, tree};
use proofing::{Line, PATIENCE, Proof};
use serde_json::Value;
use tempfile::TempDir;

const SETTINGS: &str = "title: A small diary\n\
    site: {address: https://example.com, timezone: Europe/London}\n\
    locations: {shop: Shop}\n\
    tasks:\n  socket: {name: Change a socket outlet, unit: each}\n";

fn log(reference: &str, title: &str, rest: &str) -> String {
    format!(
        "---\ntitle: {title}\nref: {reference}\nlocation: shop\nvisits:\n  - {{date: 2026-03-02, time: 2h, \
         tasks: [{{task: socket, count: 2, time: 1h}}]}}\n{rest}---\n\nSome words.\n"
    )
}

fn small() -> TempDir {
    let diary = TempDir::new().expect("a temporary folder");
    put(&diary.path().join("diary.yaml"), SETTINGS);
    let public = log("2026-001", "The first shop", "publish: 2026-03-09\n");
    put(&diary.path().join("jobs/2026/a.md"), public);
    let private = log("2026-002", "Kept back", "");
    put(&diary.path().join("jobs/2026/b.md"), private);
    diary
}

fn pressed_once(told: &Value) -> bool {
    told["press"].as_u64() >= Some(1)
}

#[test]
fn pages_are_served_with_the_script_and_their_files_stay_as_press_writes_them() {
    let diary = small();
    let proof = Proof::of(diary.path());
    proof.listen().until(pressed_once);
    let file = diary
        .path()
        .join("out/site/write-ups/the-first-shop/index.html");
    let file = fs::read_to_string(file).expect("it was pressed");
    assert!(!file.contains("proof/client.js"));
    let (status, head, body) = proof.get("/site/write-ups/the-first-shop/");
    assert_eq!(status, 200);
    assert!(
        head.contains("Content-Type: text/html; charset=utf-8"),
        "{head}"
    );
    assert!(
        head.contains("Cache-Control: no-store")
            && head.contains("X-Content-Type-Options: nosniff")
    );
    let script = body
        .lines()
        .find(|line| line.contains("/proof/client.js"))
        .expect("the script");
    assert_eq!(body.replace(&format!("{script}\n"), ""), file);

    assert_eq!(proof.get("/").0, 200);
    assert_eq!(proof.get("/proof/client.js").0, 200);
    let (status, head, body) = proof.get("/site/docket.css?x=1");
    assert_eq!(status, 200);
    assert!(head.contains("Content-Type: text/css"), "{head}");
    assert_eq!(
        body,
        fs::read_to_string(diary.path().join("out/site/docket.css")).expect("pressed")
    );
    let (status, head, _) = proof.get("/site/write-ups/the-first-shop");
    assert_eq!(status, 308);
    assert!(
        head.contains("Location: /site/write-ups/the-first-shop/"),
        "{head}"
    );
    let (status, _, body) = proof.get("/site/nowhere/");
    assert_eq!(status, 404);
    assert!(body.contains("There is no such page") && body.contains("/proof/client.js"));
    // The write-up of a log that is not public is in the office book.
    assert!(
        proof
            .get("/office/jobs/2026-002.html")
            .2
            .contains("Some words.")
    );

    presses_alike(diary.path());
}

/// A press from the command line finds everything as it would make it.
fn presses_alike(diary: &Path) {
    let before = tree(&diary.join("out"));
    let again = daywork()
        .args(["press", "--as-of", "2026-11-25", "--diary"])
        .arg(diary)
        .output()
        .expect("it runs");
    let told = common::stdout(&again);
    assert!(told.contains("Nothing had changed."), "{told}");
    assert!(before == tree(&diary.join("out")));
}

#[test]
fn strangers_and_paths_that_climb_are_refused() {
    let diary = small();
    put(&diary.path().join("out/secret.txt"), "secret words");
    put(&diary.path().join("secret.txt"), "secret words");
    let proof = Proof::of(diary.path());
    proof.listen().until(pressed_once);
    let port = proof.port;
    let own = format!("Host: 127.0.0.1:{port}");
    let ask = |method: &str, path: &str, headers: &str| {
        proof.ask(&format!(
            "{method} {path} HTTP/1.1\r\n{headers}\r\nConnection: close\r\n\r\n"
        ))
    };
    for (headers, status) in [
        (own.clone(), 200),
        (format!("Host: localhost:{port}"), 200),
        (format!("Host: [::1]:{port}"), 200),
        (format!("{own}\r\nOrigin: http://localhost:{port}"), 200),
        ("Host: example.com".to_owned(), 403),
        (format!("Host: example.com:{port}"), 403),
        ("Host: localhost:1".to_owned(), 403),
        ("X-None: there is no host".to_owned(), 403),
        (format!("{own}\r\nHost: example.com"), 403),
        (format!("{own}\r\nOrigin: http://example.com"), 403),
        (format!("{own}\r\nOrigin: null"), 403),
    ] {
        for path in ["/", "/site/", "/office/", "/proof/client.js"] {
            assert_eq!(ask("GET", path, &headers).0, status, "{path} {headers}");
        }
        let listens = ask("HEAD", "/proof/events", &headers).0;
        assert_eq!(listens, status, "/proof/events {headers}");
    }
    for method in ["POST", "PUT", "DELETE", "OPTIONS"] {
        let (status, head, _) = ask(method, "/site/", &own);
        assert!(
            status == 405 && head.contains("Allow: GET, HEAD"),
            "{method} {head}"
        );
    }
    let (status, _, body) = ask("HEAD", "/site/", &own);
    assert!(status == 200 && body.is_empty());
    for path in [
        "/secret.txt",
        "/ledger/written.json",
        "/site/../secret.txt",
        "/site/../../secret.txt",
        "/site/%2e%2e/secret.txt",
        "/site/%2e%2e%2fsecret.txt",
        "/site/..%5csecret.txt",
        "/site/..\\secret.txt",
        "/site/%252e%252e/secret.txt",
        "/site/%252e%252e%252fsecret.txt",
        "/site/....//secret.txt",
        "/site//secret.txt",
        "/site/%00/../secret.txt",
        "/site/index.html%00.txt",
        "//secret.txt",
        "http://example.com/site/",
        "/../secret.txt",
        "/site/.index.html.daywork-part",
    ] {
        let (status, _, body) = ask("GET", path, &own);
        assert!((400..500).contains(&status), "{path}: {status}");
        assert!(!body.contains("secret words"), "{path}");
    }
}

#[cfg(unix)]
#[test]
fn a_link_in_out_leads_nowhere_outside_it() {
    use std::os::unix::fs::symlink;
    let diary = small();
    let proof = Proof::of(diary.path());
    proof.listen().until(pressed_once);
    let site = diary.path().join("out/site");
    symlink(diary.path().join("diary.yaml"), site.join("away.yaml")).expect("linked");
    symlink(diary.path().join("jobs"), site.join("away")).expect("linked");
    symlink("../ledger/written.json", site.join("ledger.json")).expect("linked");
    for path in [
        "/site/away.yaml",
        "/site/away/2026/a.md",
        "/site/away",
        "/site/ledger.json",
    ] {
        assert_eq!(proof.get(path).0, 404, "{path}");
    }
}

#[test]
fn every_way_of_saving_is_seen() {
    let diary = small();
    let at = |path: &str| diary.path().join(path);
    let mut proof = Proof::of(diary.path());
    proof.listen().until(pressed_once);
    let page = "/office/jobs/2026-002.html";

    // Written anew where it stands.
    put(&at("jobs/2026/b.md"), log("2026-002", "Written anew", ""));
    proof.shows(page, "Written anew");
    // By another name, renamed over it, as most editors do.
    put(
        &at("jobs/2026/.b.md.new"),
        log("2026-002", "Renamed over", ""),
    );
    fs::rename(at("jobs/2026/.b.md.new"), at("jobs/2026/b.md")).expect("renamed");
    proof.shows(page, "Renamed over");
    // The old one moved away first.
    fs::rename(at("jobs/2026/b.md"), at("jobs/2026/b.md~")).expect("renamed");
    put(&at("jobs/2026/b.md"), log("2026-002", "After a copy", ""));
    proof.shows(page, "After a copy");
    // The settings.
    put(
        &at("diary.yaml"),
        SETTINGS.replace("Change a socket outlet", "A new name for it"),
    );
    proof.shows(page, "A new name for it");
    // A folder with logs moved in from elsewhere, and a log in it saved afterwards.
    let elsewhere = TempDir::new_in(diary.path()).expect("a temporary folder");
    put(
        &elsewhere.path().join("2025/deep/c.md"),
        log("2025-003", "Moved in", ""),
    );
    fs::rename(elsewhere.path().join("2025"), at("jobs/2025")).expect("moved");
    proof.shows("/office/jobs/2025-003.html", "Moved in");
    put(
        &at("jobs/2025/deep/c.md"),
        log("2025-003", "Saved in the new folder", ""),
    );
    proof.shows("/office/jobs/2025-003.html", "Saved in the new folder");
    // Folders that the diary did not have, with what is put into them at once.
    put(
        &at("guides/isolating.md"),
        "---\ntitle: How to isolate\npublish: 2026-03-01\n---\n\nLock it off.\n",
    );
    proof.shows("/site/how-tos/how-to-isolate/", "Lock it off.");
    put(
        &at("sheets/office/frame.html"),
        "{% extends \"frame.html\" %}\n{% block foot %}A foot of my own{% endblock foot %}\n",
    );
    proof.shows(page, "A foot of my own");
    // A whole folder away, and back.
    fs::rename(at("jobs"), elsewhere.path().join("jobs")).expect("moved");
    proof.listen().until(|_| proof.get(page).0 == 404);
    fs::rename(elsewhere.path().join("jobs"), at("jobs")).expect("moved");
    proof.shows(page, "After a copy");
    put(&at("jobs/2026/b.md"), log("2026-002", "Still seen", ""));
    proof.shows(page, "Still seen");
    // Deleted.
    fs::remove_file(at("jobs/2026/b.md")).expect("deleted");
    proof.listen().until(|_| proof.get(page).0 == 404);
    #[cfg(unix)]
    {
        assert_eq!(proof.interrupt(), Some(0));
        presses_alike(diary.path());
    }
}

#[test]
fn the_page_of_a_log_is_told_of_before_the_press_and_after_it() {
    let diary = small();
    let proof = Proof::of(diary.path());
    let count = |told: &Value| told["press"].as_u64().expect("a number");
    let before = count(&proof.listen().until(pressed_once));
    let saved = log("2026-001", "The first shop", "publish: 2026-03-09\n") + "More of them.\n";
    put(&diary.path().join("jobs/2026/a.md"), saved);
    // A page made at once counts for one, and the press that writes it for another.
    proof.listen().until(|told| count(told) >= before + 2);
    let page = proof.get("/site/write-ups/the-first-shop/").2;
    assert!(page.contains("More of them."));
}

#[test]
fn a_fault_is_told_as_on_a_terminal_and_goes_when_it_is_mended() {
    let diary = small();
    let path = diary.path().join("jobs/2026/b.md");
    let whole = fs::read_to_string(&path).expect("it is there");
    let proof = Proof::of(diary.path());
    let mut line = proof.listen();
    let press = line.until(pressed_once)["press"].clone();

    put(&path, whole.replace("location: shop", "locaton: shop"));
    let told = line.until(|told| !told["trouble"].is_null());
    let trouble = told["trouble"].as_str().expect("a text");
    let inspect = daywork()
        .args(["inspect", "--as-of", "2026-11-25", "--diary"])
        .arg(diary.path())
        .output()
        .expect("it runs");
    let fault = "jobs/2026/b.md, line 4: there is no key called locaton";
    assert!(trouble.contains(fault), "{trouble}");
    for shown in trouble.lines().take_while(|line| !line.is_empty()) {
        let terminal = common::stdout(&inspect) + &stderr(&inspect);
        assert!(terminal.contains(shown), "{shown} in {terminal}");
    }
    assert_eq!(told["press"], press, "the pages stay");
    assert!(
        proof
            .get("/office/jobs/2026-002.html")
            .2
            .contains("Kept back")
    );

    // Half of it, as a slow writer leaves it; then all.
    put(&path, &whole[..whole.len() / 2]);
    line.until(|told| told["trouble"].as_str().is_some_and(|text| text != trouble));
    put(&path, &whole);
    let told = line.until(|told| told["trouble"].is_null());
    assert_eq!(told["press"], press, "nothing was changed in the end");

    // No settings at all for a moment.
    fs::remove_file(diary.path().join("diary.yaml")).expect("deleted");
    line.until(|told| !told["trouble"].is_null());
    put(&diary.path().join("diary.yaml"), SETTINGS);
    line.until(|told| told["trouble"].is_null());
}

#[test]
fn a_thousand_files_at_once_are_one_change_or_a_few() {
    let diary = small();
    let mut proof = Proof::of(diary.path());
    proof.line_with("pressed");
    for number in 0..1000 {
        // Guides that are not public: read and looked at, and quickly pressed.
        let path = diary
            .path()
            .join(format!("guides/{}/{number}.md", number % 7));
        put(
            &path,
            format!("---\ntitle: Guide {number}\n---\n\nWords.\n"),
        );
    }
    put(
        &diary.path().join("jobs/2026/b.md"),
        log("2026-002", "The last of them", ""),
    );
    let mut line = proof.listen();
    line.until(|_| {
        proof
            .get("/office/jobs/2026-002.html")
            .2
            .contains("The last of them")
    });
    let presses = proof.get("/").2;
    let presses: u64 = presses
        .split("data-press=\"")
        .nth(1)
        .and_then(|rest| rest.split('"').next()?.parse().ok())
        .expect("a number");
    assert!(presses <= 6, "{presses} presses for one change");
}

#[test]
fn a_taken_port_is_told_with_the_next_free_one() {
    let diary = small();
    let (held, port) = loop {
        let held = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).expect("a free port");
        let port = held.local_addr().expect("bound").port();
        if port < u16::MAX - 100 {
            break (held, port);
        }
    };
    let out: Output = daywork()
        .args(["proof", "--port", &port.to_string(), "--diary"])
        .arg(diary.path())
        .output()
        .expect("it runs");
    drop(held);
    assert_eq!(out.status.code(), Some(3));
    let told = stderr(&out);
    assert!(told.contains(&format!("port {port} is taken")), "{told}");
    let free: u16 = told
        .split("--port ")
        .nth(1)
        .and_then(|rest| rest.trim().trim_end_matches('.').parse().ok())
        .unwrap_or_else(|| panic!("no port in {told}"));
    assert!(free > port && TcpListener::bind((Ipv4Addr::LOCALHOST, free)).is_ok());
    assert!(!diary.path().join("out").exists());
}

#[test]
fn another_press_is_waited_for() {
    let diary = small();
    let mut proof = Proof::of(diary.path());
    proof.line_with("pressed");
    let lock = fs::File::open(lock_of(diary.path())).expect("there is a lock");
    lock.lock().expect("locked");
    let changed = log("2026-002", "Kept back", "").replace("Some words", "After the other");
    put(&diary.path().join("jobs/2026/b.md"), changed);
    proof.line_with("another press is at work");
    // The page is shown meanwhile, and nothing is written.
    let written = || {
        let page = diary.path().join("out/office/jobs/2026-002.html");
        let page = fs::read_to_string(page).expect("pressed before");
        page.contains("After the other")
    };
    let shown = proof.get("/office/jobs/2026-002.html").2;
    assert!(shown.contains("After the other") && !written());
    lock.unlock().expect("unlocked");
    let told = proof.line_with("pressed");
    assert!(told.contains("/office/jobs/2026-002.html"), "{told}");
    assert!(written());
}

fn lock_of(diary: &Path) -> PathBuf {
    diary.join("out/ledger/lock")
}

#[cfg(unix)]
#[test]
fn ctrl_c_ends_it_cleanly() {
    let diary = small();
    let mut proof = Proof::of(diary.path());
    proof.line_with("pressed");
    let mut line = proof.listen();
    line.next();
    assert_eq!(proof.interrupt(), Some(0));
    let mut rest = Vec::new();
    // The page's line ends with it, however it is told.
    let _ = line.0.read_to_end(&mut rest);
    assert!(TcpListener::bind((Ipv4Addr::LOCALHOST, proof.port)).is_ok());
    let lock = fs::File::open(lock_of(diary.path())).expect("there is a lock");
    assert!(lock.try_lock().is_ok());
}

#[test]
fn more_open_pages_than_it_listens_to_are_refused_until_some_go() {
    let diary = small();
    let proof = Proof::of(diary.path());
    proof.listen().until(pressed_once);
    let mut lines: Vec<Line> = (0..40).map(|_| proof.listen()).collect();
    let refused = lines
        .iter_mut()
        .filter_map(|line| line.status().contains(" 503 ").then_some(()))
        .count();
    assert!((8..=9).contains(&refused), "{refused} refused");
    // Pages are served all the same.
    assert_eq!(proof.get("/site/").0, 200);
    drop(lines);
    let began = Instant::now();
    while proof.listen().status().contains(" 503 ") {
        assert!(
            began.elapsed() < PATIENCE,
            "pages that have gone are never noticed"
        );
    }
}

#[test]
fn more_requests_than_it_answers_are_refused_at_once() {
    let diary = small();
    let proof = Proof::of(diary.path());
    proof.listen().until(pressed_once);
    // 64 are waited for; the others are refused, and take no notice.
    let idle: Vec<TcpStream> = (0..64 + 40)
        .map(|_| TcpStream::connect((Ipv4Addr::LOCALHOST, proof.port)).expect("it listens"))
        .collect();
    let began = Instant::now();
    let told = proof.listen().status();
    let took = began.elapsed();
    assert!(told.contains(" 503 "), "{told}");
    assert!(took < Duration::from_secs(1), "told after {took:?}");
    drop(idle);
    while proof.listen().status().contains(" 503 ") {
        assert!(began.elapsed() < PATIENCE, "no place is given back");
    }
    assert_eq!(proof.get("/site/").0, 200);
}
