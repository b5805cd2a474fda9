//! What a diary's folder may hold on a real disk: links, loops, pipes, huge files, deep folders, files that are no
//! text. Each is a clear error, in bounded time and memory, and never a crash.
#![cfg(unix)]

mod common;

use std::fs;
use std::os::unix::fs::{PermissionsExt as _, symlink};
use std::path::Path;
use std::time::{Duration, Instant};

use common::{daywork, put, stdout};
use tempfile::TempDir;

const SETTINGS: &str = "title: A small diary\nsite: {address: https://example.com, timezone: Europe/London}\n\
    locations: {shop: Shop}\n";
const LOG: &str = "---\ntitle: One\nref: 2026-001\nlocation: shop\nvisits: [{date: 2026-03-02, time: 2h}]\n---\nText.\n";

fn diary() -> TempDir {
    let diary = TempDir::new().expect("a temporary folder");
    put(&diary.path().join("diary.yaml"), SETTINGS);
    put(&diary.path().join("jobs/2026/one.md"), LOG);
    diary
}

/// The codes and files that `inspect` tells, within a bounded time.
fn told(diary: &Path) -> Vec<(String, String)> {
    let started = Instant::now();
    let out = daywork()
        .args([
            "inspect",
            "--format",
            "json",
            "--as-of",
            "2026-11-25",
            "--diary",
        ])
        .arg(diary)
        .timeout(Duration::from_secs(60))
        .output()
        .expect("it runs");
    assert!(started.elapsed() < Duration::from_secs(30), "too slow");
    let json: serde_json::Value = serde_json::from_str(&stdout(&out)).expect("JSON");
    json["diagnostics"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|d| {
            let text = |key: &str| d[key].as_str().expect("text").to_owned();
            (text("code"), text("file"))
        })
        .collect()
}

fn one(code: &str, file: &str) -> Vec<(String, String)> {
    vec![(code.to_owned(), file.to_owned())]
}

#[test]
fn a_plain_diary_has_nothing_to_tell() {
    assert_eq!(told(diary().path()), []);
}

#[test]
fn a_link_out_of_the_diary_is_not_followed() {
    let (diary, outside) = (diary(), TempDir::new().expect("a temporary folder"));
    put(&outside.path().join("secret.md"), LOG);
    symlink(
        outside.path().join("secret.md"),
        diary.path().join("jobs/2026/two.md"),
    )
    .expect("linked");
    assert_eq!(told(diary.path()), one("link-outside", "jobs/2026/two.md"));
}

#[test]
fn a_folder_link_out_of_the_diary_is_not_followed() {
    let (diary, outside) = (diary(), TempDir::new().expect("a temporary folder"));
    put(&outside.path().join("secret.md"), LOG);
    symlink(outside.path(), diary.path().join("jobs/away")).expect("linked");
    assert_eq!(told(diary.path()), one("link-outside", "jobs/away"));
}

#[test]
fn a_link_in_a_circle_ends() {
    let diary = diary();
    symlink(
        diary.path().join("jobs"),
        diary.path().join("jobs/2026/again"),
    )
    .expect("linked");
    assert_eq!(told(diary.path()), one("link-outside", "jobs/2026/again"));
}

#[test]
fn a_link_to_nothing_is_told() {
    let diary = diary();
    symlink(
        diary.path().join("nowhere.md"),
        diary.path().join("jobs/2026/two.md"),
    )
    .expect("linked");
    assert_eq!(told(diary.path()), one("link-outside", "jobs/2026/two.md"));
}

#[test]
fn a_pipe_is_not_waited_for() {
    let diary = diary();
    let pipe = diary.path().join("jobs/2026/pipe.md");
    let made = std::process::Command::new("mkfifo")
        .arg(&pipe)
        .status()
        .expect("mkfifo runs");
    assert!(made.success());
    assert_eq!(told(diary.path()), one("cannot-read", "jobs/2026/pipe.md"));
}

#[test]
fn a_huge_file_is_refused_and_a_large_value_too() {
    let diary = diary();
    put(
        &diary.path().join("jobs/2026/huge.md"),
        vec![b'x'; 9 * 1024 * 1024],
    );
    let value = format!(
        "---\ntitle: {}\nref: 2026-002\n---\n",
        "x".repeat(5 * 1024 * 1024)
    );
    put(&diary.path().join("jobs/2026/value.md"), value);
    assert_eq!(
        told(diary.path()),
        [
            one("file-too-large", "jobs/2026/huge.md"),
            one("yaml-too-big", "jobs/2026/value.md")
        ]
        .concat()
    );
}

#[test]
fn deep_folders_end() {
    let diary = diary();
    let deep = diary.path().join("jobs").join("a/".repeat(40));
    put(&deep.join("x.md"), LOG);
    let told = told(diary.path());
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!(told[0].0, "folders-too-deep");
}

#[test]
fn a_file_that_is_no_text_is_told_with_its_line() {
    let diary = diary();
    let mut bytes = LOG.replace("2026-001", "2026-002").into_bytes();
    bytes.extend(b"caf\xe9\n");
    put(&diary.path().join("jobs/2026/latin.md"), bytes);
    put(&diary.path().join("jobs/2026/nul.md"), b"\0\0\0");
    assert_eq!(
        told(diary.path()),
        [
            one("not-utf8", "jobs/2026/latin.md"),
            one("no-front-matter", "jobs/2026/nul.md")
        ]
        .concat()
    );
}

#[test]
fn a_file_that_may_not_be_read_is_told() {
    let diary = diary();
    let path = diary.path().join("jobs/2026/locked.md");
    put(&path, LOG);
    fs::set_permissions(&path, fs::Permissions::from_mode(0o000)).expect("locked");
    if fs::read(&path).is_ok() {
        // Root reads everything: there is nothing to see here.
        return;
    }
    assert_eq!(
        told(diary.path()),
        one("cannot-read", "jobs/2026/locked.md")
    );
}

#[test]
fn hidden_files_photos_and_an_editor_s_leavings_are_passed_over() {
    let diary = diary();
    put(&diary.path().join("jobs/2026/.one.md.swp"), b"\xff\xff");
    put(&diary.path().join("jobs/.git/config"), b"x");
    put(
        &diary.path().join("jobs/2026/one/IMG_0001.jpg"),
        vec![0xff; 100],
    );
    put(&diary.path().join("jobs/2026/one.md~"), LOG);
    assert_eq!(told(diary.path()), []);
}
