//! What the tests of the running program share.

#![allow(dead_code, reason = "each test program uses its own part")]

pub mod notes;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Output;

use assert_cmd::Command;
use daywork::diagnose::{Diagnostic, FileId, Sources};
use daywork::public::{FileKind, Gate, PublicFile};
use tempfile::TempDir;

/// The program, without the machine's own wishes about colour.
pub fn daywork() -> Command {
    let mut command = Command::new(assert_cmd::cargo::cargo_bin!("daywork"));
    command.env_remove("CLICOLOR_FORCE").env("NO_COLOR", "1");
    command
}

/// A new diary as `start` makes it, in a folder of its own whose name has a space.
pub fn started() -> (TempDir, PathBuf) {
    let folder = TempDir::new().expect("a temporary folder");
    let diary = folder.path().join("my diary");
    let out = daywork()
        .arg("start")
        .arg(&diary)
        .output()
        .expect("it runs");
    assert!(out.status.success(), "{}", stderr(&out));
    (folder, diary)
}

/// Settings of a small diary: the usual ones, and what a test adds.
pub fn settings(more: &str) -> String {
    const USUAL: &str = "\
title: The Gullwick job diary
trader: {name: Nan Tregarrow, trading_as: Gullwick Electrical, phone: 01632 960123, email: nan@example.com}
site: {address: https://example.com, language: en-GB, timezone: Europe/London}
rates: {currency: GBP, hour: 42.00, day: 320.00, day_length: 8h, call_out: 65.00, mile: 0.45, markup_percent: 15}
";
    format!("{USUAL}{more}")
}

/// Standard output as text.
pub fn stdout(out: &Output) -> String {
    String::from_utf8(out.stdout.clone()).expect("output is UTF-8")
}

/// Standard error as text.
pub fn stderr(out: &Output) -> String {
    String::from_utf8(out.stderr.clone()).expect("output is UTF-8")
}

/// Every file below a folder: its path with `/`, and its bytes.
pub fn tree(root: &Path) -> BTreeMap<String, Vec<u8>> {
    fn walk(root: &Path, folder: &Path, files: &mut BTreeMap<String, Vec<u8>>) {
        for entry in fs::read_dir(folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                walk(root, &path, files);
            } else {
                let name = path
                    .strip_prefix(root)
                    .expect("below")
                    .to_string_lossy()
                    .replace('\\', "/");
                files.insert(name, fs::read(&path).expect("a file"));
            }
        }
    }
    let mut files = BTreeMap::new();
    if root.exists() {
        walk(root, root, &mut files);
    }
    files
}

/// Writes a file, making its folders.
pub fn put(path: &Path, text: impl AsRef<[u8]>) {
    fs::create_dir_all(path.parent().expect("a parent")).expect("folders");
    fs::write(path, text).expect("written");
}

/// What the gate says of one finished file of the site, made from the file `source`.
pub fn gate_faults(
    gate: &Gate,
    path: &str,
    bytes: &[u8],
    source: Option<FileId>,
    sources: &Sources,
) -> Vec<Diagnostic> {
    let kind = FileKind::of_path(path);
    let leaks = gate.check(&PublicFile { path, kind, bytes });
    gate.diagnose(&leaks, &|_| source, sources)
}
