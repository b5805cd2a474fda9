//! The program as it is run: streams, exit codes, options, in fresh folders.

mod common;

use assert_cmd::Command;
use common::{daywork, started, stderr, stdout, tree};
use std::fs;
use std::path::Path;
use tempfile::TempDir;

fn in_diary(diary: &Path, arguments: &[&str]) -> std::process::Output {
    daywork()
        .current_dir(diary)
        .args(arguments)
        .args(["--as-of", "2026-11-25"])
        .output()
        .expect("it runs")
}

#[test]
fn a_new_diary_inspects_and_presses_clean() {
    let (_folder, diary) = started();
    let inspect = in_diary(&diary, &["inspect"]);
    assert_eq!(inspect.status.code(), Some(0));
    assert_eq!(stdout(&inspect), "Nothing to mend in 1 job and 1 page.\n");
    let press = in_diary(&diary, &["press"]);
    assert_eq!(press.status.code(), Some(0), "{}", stderr(&press));
    assert_eq!(stderr(&press), "");
    assert!(diary.join("out/site/index.html").is_file());
    assert!(diary.join("out/office/index.html").is_file());
}

#[test]
fn inspect_names_the_slowest_files_when_asked_and_leaves_its_report_alone() {
    let (_folder, diary) = started();
    for format in ["text", "json"] {
        let plain = in_diary(&diary, &["inspect", "--format", format]);
        let more = in_diary(&diary, &["inspect", "--format", format, "-v"]);
        assert_eq!(stdout(&more), stdout(&plain));
        assert_eq!(stderr(&plain), "");
        let told = stderr(&more);
        assert!(
            told.starts_with("4 files read one after the other in "),
            "{told}"
        );
        let mut times = Vec::new();
        let mut paths = Vec::new();
        for line in told.lines().skip(1) {
            let (time, path) = line.split_once(" ms  ").expect("a time and a path");
            times.push(time.trim().parse::<f64>().expect("a time"));
            paths.push(path);
        }
        assert!(times.is_sorted_by(|a, b| a >= b), "{told}");
        paths.sort_unstable();
        assert_eq!(
            paths,
            [
                "clients.yaml",
                "diary.yaml",
                "guides/first-how-to.md",
                "jobs/2026/first-job.md"
            ]
        );
    }
}

#[test]
fn schemas_are_renewed_in_a_diary_and_another_s_file_is_left_alone() {
    let (_folder, diary) = started();
    let renew = || {
        daywork()
            .args(["start", "--schemas"])
            .arg(&diary)
            .output()
            .expect("it runs")
    };
    let before = tree(&diary);
    let log = diary.join("schemas/log.json");
    let old = r#"{"$schema": "http://json-schema.org/draft-07/schema#"}"#;
    fs::write(&log, old).expect("written");
    let out = renew();
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    assert_eq!(tree(&diary), before);
    fs::write(&log, "mine").expect("written");
    let out = renew();
    assert_eq!(out.status.code(), Some(2));
    assert!(
        stderr(&out).contains("is not daywork's"),
        "{}",
        stderr(&out)
    );
    assert_eq!(fs::read(&log).expect("still there"), b"mine");
}

#[test]
fn start_refuses_a_folder_with_something_in_it_and_leaves_it_alone() {
    let folder = TempDir::new().expect("a temporary folder");
    fs::write(folder.path().join("mine.txt"), "mine").expect("written");
    let out = daywork()
        .arg("start")
        .arg(folder.path())
        .output()
        .expect("it runs");
    assert_eq!(out.status.code(), Some(2));
    assert!(
        stderr(&out).contains("already holds something"),
        "{}",
        stderr(&out)
    );
    assert_eq!(tree(folder.path()).len(), 1);
}

#[test]
fn without_a_diary_every_command_says_where_it_looked_and_ends_with_2() {
    let folder = TempDir::new().expect("a temporary folder");
    for command in ["inspect", "press", "hours"] {
        let out = in_diary(folder.path(), &[command]);
        assert_eq!(out.status.code(), Some(2), "{command}");
        assert!(
            stderr(&out).starts_with("there is no diary.yaml in "),
            "{command}: {}",
            stderr(&out)
        );
        assert_eq!(stdout(&out), "");
    }
}

#[test]
fn the_nearest_diary_upwards_is_taken() {
    let (_folder, diary) = started();
    let out = in_diary(&diary.join("jobs/2026"), &["inspect"]);
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
}

#[test]
fn a_wrong_command_line_ends_with_2() {
    for arguments in [
        &["inspekt"][..],
        &["inspect", "--format", "xml"],
        &["inspect", "--as-of", "yesterday"],
        &["hours", "--from", "2026-02-30"],
        &["press", "--nowhere"],
        &[],
    ] {
        let out = daywork().args(arguments).output().expect("it runs");
        assert_eq!(
            out.status.code(),
            Some(2),
            "{arguments:?}: {}",
            stderr(&out)
        );
    }
    let (_folder, diary) = started();
    let swapped = in_diary(
        &diary,
        &["hours", "--from", "2026-03-01", "--to", "2026-02-01"],
    );
    assert_eq!(swapped.status.code(), Some(2));
}

#[test]
fn a_day_that_no_calendar_has_is_told_in_plain_words() {
    for (arguments, told) in [
        (
            ["inspect", "--as-of", "2026-02-30"],
            "--as-of: February 2026 has 28 days, so there is no 2026-02-30. Write 2026-02-28 if its last \
             day is meant.\n",
        ),
        (
            ["hours", "--from", "2/3/26"],
            "--from: 2/3/26 is no date. Write 2026-03-02 if that is the day: year first, then month, then \
             day.\n",
        ),
    ] {
        let out = daywork().args(arguments).output().expect("it runs");
        assert_eq!(out.status.code(), Some(2), "{arguments:?}");
        assert_eq!(stderr(&out), told);
    }
}

#[test]
fn each_command_offers_only_the_options_that_it_uses() {
    let all = ["--diary", "--as-of", "--format", "--colour"];
    for (command, takes) in [
        ("start", &[][..]),
        ("inspect", &all[..]),
        ("press", &["--diary", "--as-of", "--colour"]),
        ("hours", &all[..]),
    ] {
        let help = stdout(
            &daywork()
                .args([command, "--help"])
                .output()
                .expect("it runs"),
        );
        for option in all {
            let offered = help.contains(option);
            assert_eq!(offered, takes.contains(&option), "{command} {option}");
        }
    }
}

#[test]
fn an_option_that_a_command_has_no_use_for_ends_with_2_and_says_why() {
    for (arguments, told) in [
        (
            &["press", "--format", "json"][..],
            "daywork press takes no --format: it prints no report. Leave it away.\n",
        ),
        (
            &["start", "new", "--as-of=2026-11-25"],
            "daywork start takes no --as-of: it makes a new diary and reads none. Leave it away.\n",
        ),
        (
            &["--diary", "mine", "hours"],
            "--diary goes after the command: daywork hours --diary. daywork hours --help lists what it takes.\n",
        ),
    ] {
        let out = daywork().args(arguments).output().expect("it runs");
        assert_eq!(out.status.code(), Some(2), "{arguments:?}");
        assert_eq!((stdout(&out).as_str(), stderr(&out).as_str()), ("", told));
    }
}

#[test]
fn an_error_stops_press_with_1_and_nothing_is_written() {
    let (_folder, diary) = started();
    let log = diary.join("jobs/2026/first-job.md");
    let text = fs::read_to_string(&log).expect("the starter log");
    fs::write(&log, text.replace("location:", "locaton:")).expect("written");
    let out = in_diary(&diary, &["press"]);
    assert_eq!(out.status.code(), Some(1));
    assert_eq!(stdout(&out), "");
    let told = stderr(&out);
    assert!(told.contains("there is no key called locaton"), "{told}");
    assert!(told.contains("Write location."), "{told}");
    assert!(
        told.ends_with("Nothing was written: mend the error first.\n"),
        "{told}"
    );
    assert!(!diary.join("out").exists());
}

#[test]
fn reports_other_than_inspect_print_no_json_where_the_diary_has_errors() {
    let (_folder, diary) = started();
    fs::write(diary.join("jobs/2026/bad.md"), "no front matter\n").expect("written");
    let hours = in_diary(&diary, &["hours", "--format", "json"]);
    assert_eq!(
        (hours.status.code(), stdout(&hours).as_str()),
        (Some(1), "")
    );
    assert!(stderr(&hours).contains("(no-front-matter)"));
    let inspect = in_diary(&diary, &["inspect", "--format", "json"]);
    assert_eq!(inspect.status.code(), Some(1));
    let json: serde_json::Value = serde_json::from_str(&stdout(&inspect)).expect("JSON");
    assert_eq!(json["report"], "inspect");
    assert_eq!(json["errors"], 1);
    let first = &json["diagnostics"][0];
    assert_eq!(first["file"], "jobs/2026/bad.md");
    assert_eq!((&first["line"], &first["column"]), (&1.into(), &1.into()));
    for key in ["level", "code", "message", "help"] {
        assert!(first[key].is_string(), "{key}");
    }
}

#[test]
fn hours_as_json_has_the_agreed_shape() {
    let (_folder, diary) = started();
    let out = in_diary(&diary, &["hours", "--format", "json"]);
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    let json: serde_json::Value = serde_json::from_str(&stdout(&out)).expect("JSON");
    assert_eq!(json["report"], "hours");
    assert_eq!(json["version"], 1);
    assert_eq!(json["jobs"], 1);
    for key in ["on_site", "by_task", "other", "travel"] {
        assert!(json["minutes"][key].is_number(), "{key}");
    }
    let task = &json["tasks"][0];
    for key in ["task", "name", "unit"] {
        assert!(task[key].is_string(), "{key}");
    }
    for key in ["mean", "median", "q10", "q25", "q75", "q90"] {
        assert!(task["each"][key].is_number(), "{key}");
    }
    assert!(
        task["median_interval"].is_null(),
        "one job gives no interval"
    );
    assert!(task["trend"].is_null(), "one job gives no trend");
    assert_eq!(task["refs"][0], "2026-001");
}

#[test]
fn a_closed_pipe_is_a_quiet_end() {
    let (_folder, diary) = started();
    let mut command = std::process::Command::new(assert_cmd::cargo::cargo_bin!("daywork"));
    let child = command
        .current_dir(&diary)
        .arg("hours")
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn();
    let mut child = child.expect("it runs");
    drop(child.stdout.take());
    let out = child.wait_with_output().expect("it ends");
    assert_eq!(out.status.code(), Some(0));
    assert_eq!(stderr(&out), "");
}

#[test]
fn colour_is_for_those_who_ask() {
    let (_folder, diary) = started();
    fs::write(diary.join("jobs/2026/bad.md"), "no front matter\n").expect("written");
    let plain = in_diary(&diary, &["inspect"]);
    assert!(!stdout(&plain).contains('\u{1b}'));
    let coloured = in_diary(&diary, &["inspect", "--colour", "always"]);
    assert!(stdout(&coloured).contains('\u{1b}'));
}

#[test]
fn help_fits_a_terminal_of_80_columns() {
    for arguments in [&["--help"][..], &["press", "--help"], &["hours", "--help"]] {
        let out = Command::new(assert_cmd::cargo::cargo_bin!("daywork"))
            .args(arguments)
            .env("COLUMNS", "80")
            .output()
            .expect("it runs");
        assert_eq!(out.status.code(), Some(0));
        for line in stdout(&out).lines() {
            assert!(line.chars().count() <= 100, "{line}");
        }
    }
}

#[test]
fn hours_fits_a_terminal_of_80_columns() {
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/example-site");
    let out = daywork()
        .args(["hours", "--as-of", "2026-11-25", "--diary", demo])
        .output()
        .expect("it runs");
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    let text = stdout(&out);
    assert!(text.lines().count() > 40, "{text}");
    for line in text.lines() {
        assert!(
            line.chars().count() <= 80,
            "{} columns: {line}",
            line.chars().count()
        );
    }
}

#[test]
fn a_span_without_visits_says_so() {
    let (_folder, diary) = started();
    let out = in_diary(
        &diary,
        &["hours", "--from", "2020-01-01", "--to", "2020-12-31"],
    );
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    assert_eq!(
        stdout(&out),
        "No visits from 2020-01-01 to 2020-12-31, so there is nothing to count.\n"
    );
}
