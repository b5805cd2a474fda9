//! `daywork jot` as it is run: what it prints, what it writes, how it ends.

mod common;

use std::fs;
use std::path::Path;
use std::process::Output;

use common::{daywork, put, started, stderr, stdout, tree};

const NOTE: &str = "Hall sockets\n2026-11-12 0900-1130\n2 skt 50m\nspare key with the warden\n";

fn jot(diary: &Path, arguments: &[&str], note: &str) -> Output {
    daywork()
        .current_dir(diary)
        .args(["jot", "--as-of", "2026-11-25"])
        .args(arguments)
        .write_stdin(note)
        .output()
        .expect("it runs")
}

fn inspect(diary: &Path) -> String {
    let out = daywork()
        .current_dir(diary)
        .args(["inspect", "--as-of", "2026-11-25"])
        .output()
        .expect("it runs");
    stdout(&out)
}

#[test]
fn the_note_of_the_readme_is_read_whole() {
    let readme = include_str!("../README.md");
    let (_, rest) = readme.split_once("**Notes.**").expect("a part on notes");
    let (_, rest) = rest.split_once("```text\n").expect("a note");
    let (note, _) = rest.split_once("```").expect("its end");
    assert_eq!(note.lines().count(), 9);
    let (_folder, diary) = started();
    let out = jot(&diary, &["--dry-run"], note);
    let told = stdout(&out);
    assert!(
        told.contains("Every line was read."),
        "{told}{}",
        stderr(&out)
    );
}

#[test]
fn a_note_from_a_file_or_from_standard_input_becomes_a_log() {
    let (folder, diary) = started();
    let file = folder.path().join("note.txt");
    put(&file, NOTE);
    let out = jot(&diary, &[file.to_str().expect("a plain path")], "");
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    assert_eq!(stderr(&out), "");
    let told = stdout(&out);
    assert!(
        told.contains("  3  2 skt 50m                            task 2 x socket, 50 min\n"),
        "{told}"
    );
    assert!(
        told.contains("A new log, 2026-002: jobs/2026/hall-sockets.md\n"),
        "{told}"
    );
    assert!(
        told.ends_with("1 thing to look at; comments in the log say what.\n"),
        "{told}"
    );
    assert!(
        fs::read_to_string(diary.join("jobs/2026/hall-sockets.md"))
            .expect("a log")
            .contains(NOTE)
    );
    let out = jot(
        &diary,
        &[],
        "Yard light\n2026-11-13 0900-1130\n1 o/s light 50m\n",
    );
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    assert!(diary.join("jobs/2026/yard-light.md").is_file());
    let said = inspect(&diary);
    assert!(said.ends_with("2 warnings.\n"), "{said}");
    assert_eq!(said.matches("(no-location)").count(), 2, "{said}");
}

#[test]
fn a_dry_run_shows_and_writes_nothing() {
    let (_folder, diary) = started();
    let before = tree(&diary);
    let out = jot(&diary, &["--dry-run"], NOTE);
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    assert!(
        stdout(&out).contains("Would be a new log, 2026-002: jobs/2026/hall-sockets.md\n"),
        "{}",
        stdout(&out)
    );
    assert_eq!(tree(&diary), before);
}

#[test]
fn a_second_run_adds_nothing() {
    let (_folder, diary) = started();
    jot(&diary, &[], NOTE);
    let before = tree(&diary);
    let out = jot(&diary, &[], &NOTE.replace('\n', "\r\n"));
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    assert!(
        stdout(&out)
            .contains("Nothing to add: this note is in jobs/2026/hall-sockets.md already.\n"),
        "{}",
        stdout(&out)
    );
    assert_eq!(tree(&diary), before);
}

#[test]
fn a_note_with_a_ref_goes_into_its_log_and_changes_nothing_else() {
    let (_folder, diary) = started();
    let path = diary.join("jobs/2026/first-job.md");
    let before = fs::read_to_string(&path).expect("the starter log");
    let files = tree(&diary).len();
    let out = jot(
        &diary,
        &[],
        "ref 2026-001\nmon 10-11.30 guarantee\n1 skt 25m\nlamp had gone\n",
    );
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    assert!(
        stdout(&out).contains("Added to 2026-001: jobs/2026/first-job.md\n"),
        "{}",
        stdout(&out)
    );
    let after = fs::read_to_string(&path).expect("the log");
    let mut rest = after.as_str();
    for line in before.split_inclusive('\n') {
        let at = rest.find(line).unwrap_or_else(|| panic!("lost {line}"));
        rest = &rest[at + line.len()..];
    }
    assert!(
        after.contains("  - date: 2026-11-23\n    kind: guarantee\n    from: 10:00\n"),
        "{after}"
    );
    assert_eq!(tree(&diary).len(), files, "no other file has come");
    assert_eq!(inspect(&diary), "Nothing to mend in 1 job and 1 page.\n");
}

#[test]
fn a_name_that_is_taken_is_never_written_over() {
    let (_folder, diary) = started();
    let mine = diary.join("jobs/2026/hall-sockets.md");
    let text = "---\ntitle: Mine\nref: 2026-009\nvisits: [{date: 2026-01-02, time: 1h}]\n---\n";
    put(&mine, text);
    let out = jot(&diary, &[], NOTE);
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    assert_eq!(fs::read_to_string(&mine).expect("mine"), text);
    assert!(
        diary.join("jobs/2026/hall-sockets-2026-010.md").is_file(),
        "{}",
        stdout(&out)
    );
}

#[test]
fn json_has_the_shape_of_the_reports_and_says_where_each_job_went() {
    let (_folder, diary) = started();
    let out = jot(&diary, &["--format", "json", "--dry-run"], NOTE);
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    let report: serde_json::Value = serde_json::from_str(&stdout(&out)).expect("JSON");
    assert_eq!(report["report"], "jot");
    assert_eq!(report["version"], 1);
    assert_eq!(report["today"], "2026-11-25");
    assert_eq!(report["jobs"][0]["visits"][0]["tasks"][0]["minutes"], 50);
    assert_eq!(
        report["jobs"][0]["left_over"][0],
        "spare key with the warden"
    );
    assert_eq!(report["logs"][0]["file"], "jobs/2026/hall-sockets.md");
    assert_eq!(report["logs"][0]["how"], "new");
}

#[test]
fn an_empty_note_is_no_job() {
    let (_folder, diary) = started();
    let before = tree(&diary);
    let out = jot(&diary, &[], " \n\n");
    assert_eq!(
        (out.status.code(), stdout(&out).as_str()),
        (Some(0), "The note is empty.\n")
    );
    assert_eq!(tree(&diary), before);
}

#[test]
fn a_diary_with_an_error_ends_with_1_and_nothing_is_written() {
    let (_folder, diary) = started();
    let log = diary.join("jobs/2026/first-job.md");
    let text = fs::read_to_string(&log).expect("the starter log");
    put(&log, text.replace("location:", "locaton:"));
    let before = tree(&diary);
    let out = jot(&diary, &["--format", "json"], NOTE);
    assert_eq!(out.status.code(), Some(1));
    assert_eq!(stdout(&out), "");
    assert!(
        stderr(&out).contains("there is no key called locaton"),
        "{}",
        stderr(&out)
    );
    assert!(
        stderr(&out).ends_with("Nothing was written: mend the diary first.\n"),
        "{}",
        stderr(&out)
    );
    assert_eq!(tree(&diary), before);
}

#[test]
fn an_error_of_the_note_itself_is_kept_and_ends_with_1() {
    let (_folder, diary) = started();
    let out = jot(
        &diary,
        &[],
        "Hall sockets\n2026-11-12 0900-1000\n2 skt 3h\n",
    );
    assert_eq!(out.status.code(), Some(1));
    assert!(
        stderr(&out).contains("(tasks-exceed-visit)"),
        "{}",
        stderr(&out)
    );
    assert!(diary.join("jobs/2026/hall-sockets.md").is_file());
}

#[test]
fn what_was_asked_for_wrongly_ends_with_2_and_nothing_is_written() {
    let (folder, diary) = started();
    let before = tree(&diary);
    let latin = folder.path().join("latin.txt");
    fs::write(&latin, b"caf\xe9\n").expect("written");
    let large = folder.path().join("large.txt");
    fs::write(&large, "x".repeat(2 * 1024 * 1024)).expect("written");
    let path = |path: &Path| path.to_str().expect("a plain path").to_owned();
    for (arguments, note, told) in [
        (
            vec![path(&folder.path().join("none.txt"))],
            "",
            "there is no note ",
        ),
        (vec![path(&latin)], "", "is not UTF-8 text"),
        (vec![path(&large)], "", "is larger than 1 MB"),
        (vec!["--nowhere".to_owned()], "", "--nowhere"),
        (
            vec![],
            "ref 2026-077\n9-11\n",
            "no log has the ref 2026-077",
        ),
        (
            vec![],
            &"9-5\n".repeat(1_002),
            "one job of the note holds 1002 visits, and jot puts 1000 into a log at most",
        ),
    ] {
        let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
        let out = jot(&diary, &arguments, note);
        assert_eq!(
            out.status.code(),
            Some(2),
            "{arguments:?}: {}",
            stderr(&out)
        );
        assert!(
            stderr(&out).contains(told),
            "{arguments:?}: {}",
            stderr(&out)
        );
    }
    assert_eq!(tree(&diary), before);
    let out = jot(folder.path(), &[], NOTE);
    assert_eq!(out.status.code(), Some(2), "{}", stderr(&out));
}

#[test]
fn a_disk_that_refuses_ends_with_3_and_leaves_no_part_of_a_log() {
    let (_folder, diary) = started();
    // A file stands where the year's folder would have to be made.
    put(&diary.join("jobs/2025"), "");
    let before = tree(&diary);
    let out = jot(&diary, &[], "Old job\n2025-11-12 9-11\n");
    assert_eq!(out.status.code(), Some(3), "{}", stderr(&out));
    assert!(stderr(&out).contains("jobs/2025"), "{}", stderr(&out));
    assert!(stdout(&out).contains("  1  Old job "), "{}", stdout(&out));
    assert!(!stdout(&out).contains("log"), "{}", stdout(&out));
    assert_eq!(tree(&diary), before);
    let out = jot(&diary, &["--format", "json"], "Old job\n2025-11-12 9-11\n");
    assert!(
        stdout(&out).contains("\"how\": \"failed\""),
        "{}",
        stdout(&out)
    );
    // Of two logs one can be written, and that one alone is told of.
    let out = jot(
        &diary,
        &[],
        "Older job\n2024-11-12 9-11\n\nOld job\n2025-11-12 9-11\n",
    );
    assert!(
        stdout(&out)
            .ends_with("A new log, 2024-001: jobs/2024/older-job.md\nEvery line was read.\n"),
        "{}",
        stdout(&out)
    );
    assert_eq!(out.status.code(), Some(3), "{}", stderr(&out));
}
