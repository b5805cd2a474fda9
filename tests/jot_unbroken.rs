//! A log of jot stands whole or not at all: whenever the program is killed, and on a disk that takes no more.

#![cfg(unix)]

mod common;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use assert_cmd::cargo::cargo_bin;
use common::{put, started, stderr, tree};
use tempfile::TempDir;

/// How often the program is killed; `JOT_KILLS` asks for another number.
const KILLS: u32 = 20;

/// A new log, and an addition to one that is there. Its text takes some time to write.
fn note() -> String {
    format!(
        "ref 2026-001\nmon 10-11.30 guarantee\n1 skt 25m\nlamp had gone {0}\n\n# Hall sockets\n2026-11-12 0900-1130\n2 skt 50m\nspare key {0}\n",
        "x".repeat(60_000)
    )
}

fn with_note() -> (TempDir, PathBuf, PathBuf) {
    let (folder, diary) = started();
    let file = folder.path().join("note.txt");
    put(&file, note());
    (folder, diary, file)
}

fn jot(diary: &Path, note: &Path) -> Child {
    Command::new(cargo_bin!("daywork"))
        .current_dir(diary)
        .args(["jot", "--as-of", "2026-11-25"])
        .arg(note)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("it runs")
}

/// Files by their paths.
type Files = BTreeMap<String, Vec<u8>>;

/// The files that a diary reads; what a killed run was still writing is hidden, and no part of it.
fn files(diary: &Path) -> Files {
    tree(diary)
        .into_iter()
        .filter(|(path, _)| !path.ends_with(".daywork-part"))
        .collect()
}

/// The files before and after a run that nobody disturbs, and the least time of three that it takes.
fn undisturbed() -> (Files, Files, Duration) {
    let runs = (0..3).map(|_| {
        let (_folder, diary, note) = with_note();
        let before = files(&diary);
        let start = Instant::now();
        assert!(jot(&diary, &note).wait().expect("it ends").success());
        (start.elapsed(), before, files(&diary))
    });
    let (whole, before, after) = runs.min_by_key(|run| run.0).expect("three runs");
    (before, after, whole)
}

/// Waits until a run has begun to write, or has ended.
fn wait_for_a_part(run: &mut Child, diary: &Path) {
    let begun = || {
        fs::read_dir(diary.join("jobs/2026"))
            .into_iter()
            .flatten()
            .flatten()
            .any(|entry| entry.path().to_string_lossy().ends_with(".daywork-part"))
    };
    while !begun() && run.try_wait().expect("it can be asked").is_none() {
        std::thread::yield_now();
    }
}

#[test]
fn a_run_that_is_killed_at_any_moment_leaves_a_whole_log_or_none() {
    let (before, after, whole) = undisturbed();
    let kills = std::env::var("JOT_KILLS").ok().and_then(|n| n.parse().ok());
    let kills: u32 = kills.unwrap_or(KILLS);
    let mut seen = BTreeMap::new();
    for kill in 0..kills {
        let (_folder, diary, note) = with_note();
        let mut run = jot(&diary, &note);
        if kill % 4 == 0 {
            std::thread::sleep(whole.mul_f64(f64::from(kill + 1) / f64::from(kills)));
        } else {
            // The writing is short: these are killed in it, some millionths of a second after it began.
            wait_for_a_part(&mut run, &diary);
            std::thread::sleep(Duration::from_micros(u64::from(kill % 40) * 60));
        }
        let _ = run.kill();
        run.wait().expect("it ends");
        let there = files(&diary);
        let mut written = 0;
        for (path, bytes) in &there {
            let is = |files: &Files| files.get(path) == Some(bytes);
            assert!(
                is(&before) || is(&after),
                "{path} is neither as before nor whole"
            );
            written += usize::from(!is(&before));
        }
        assert!(before.keys().all(|path| there.contains_key(path)));
        *seen.entry(written).or_insert(0_u32) += 1;
        // The next run does what is left, and no more; it leaves no part of the run that was killed.
        assert!(jot(&diary, &note).wait().expect("it ends").success());
        assert_eq!(tree(&diary), after);
    }
    // Printed where a run is watched; the moments hang on the machine, so nothing is asserted of them.
    eprintln!("{kills} kills; files written by then, and how often: {seen:?}");
}

#[test]
fn a_disk_that_takes_no_more_ends_with_3_and_changes_nothing() {
    let (_folder, diary, note) = with_note();
    let before = tree(&diary);
    // A file may grow to 20 kB, and the kernel says so instead of ending the program.
    let out = Command::new("sh")
        .arg("-c")
        .arg("trap '' XFSZ; ulimit -f 40; exec \"$@\"")
        .arg("sh")
        .arg(cargo_bin!("daywork"))
        .args(["jot", "--as-of", "2026-11-25"])
        .arg(&note)
        .current_dir(&diary)
        .output()
        .expect("it runs");
    assert_eq!(out.status.code(), Some(3), "{}", stderr(&out));
    assert!(stderr(&out).contains("jobs/2026/"), "{}", stderr(&out));
    assert!(stderr(&out).contains("too large"), "{}", stderr(&out));
    let told = String::from_utf8(out.stdout.clone()).expect("text");
    assert!(told.contains("  visit, "), "{told}");
    assert!(
        !told.contains("A new log") && !told.contains("Added to"),
        "{told}"
    );
    assert_eq!(tree(&diary), before, "no part is left");
}
