//! Prices from a record: what is refused, what is said, what is kept, and that the same question gets the same answer.

mod common;

use std::fs;
use std::path::Path;

use common::{daywork, put, stderr, stdout};
use tempfile::TempDir;

const SETTINGS: &str = "title: A small diary\n\
    site: {address: https://example.com, timezone: Europe/London}\n\
    rates: {currency: GBP, hour: 42.00, day: 320.00, day_length: 8h, call_out: 65.00, mile: 0.45, markup_percent: 15}\n\
    locations: {shop: Shop, rented-flat: Rented flat}\n\
    tasks:\n  socket: {name: Change a socket outlet, unit: each}\n  downlight: {name: Fit a downlight, unit: each}\n\
    \x20 car-point: {name: Fit a car charging point, unit: each}\n\
    guarantee: {years: 6, not_in_it: lamps and batteries}\n";

/// Ten jobs in a shop: two sockets each, and on half of them four downlights.
fn ten_jobs() -> TempDir {
    let diary = TempDir::new().expect("a temporary folder");
    put(&diary.path().join("diary.yaml"), SETTINGS);
    for number in 1..=10 {
        let minutes = 40 + 5 * (number % 4);
        let downlights = if number % 2 == 0 {
            format!(
                ", {{task: downlight, count: 4, time: {}m}}",
                70 + 5 * (number % 3)
            )
        } else {
            String::new()
        };
        put(
            &diary.path().join(format!("jobs/2026/job-{number}.md")),
            format!(
                "---\ntitle: Job number {number}\nref: 2026-{number:03}\nlocation: shop\nquoted: {{hours: 2h}}\n\
                 charged: {{labour: 84.00}}\nvisits:\n  - {{date: 2026-{:02}-10, from: 08:00, to: 10:30, tasks: [{{task: \
                 socket, count: 2, time: {minutes}m}}{downlights}]}}\n---\n\nWords.\n",
                number
            ),
        );
    }
    diary
}

fn price(diary: &Path, arguments: &[&str]) -> std::process::Output {
    daywork()
        .args(["price", "--as-of", "2026-11-25", "--diary"])
        .arg(diary)
        .args(arguments)
        .output()
        .expect("it runs")
}

fn json(diary: &Path, arguments: &[&str]) -> serde_json::Value {
    let out = price(diary, &[arguments, &["--format", "json"]].concat());
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    serde_json::from_str(&stdout(&out)).expect("JSON")
}

fn pence(amount: &serde_json::Value) -> i64 {
    let text = amount.as_str().expect("money is text");
    let (pounds, pence) = text.split_once('.').expect("two decimals");
    assert_eq!(pence.len(), 2);
    pounds.parse::<i64>().expect("pounds") * 100 + pence.parse::<i64>().expect("pence")
}

#[test]
fn the_total_adds_its_lines_and_each_says_how_it_came_about() {
    let diary = ten_jobs();
    let report = json(
        diary.path(),
        &[
            "--task",
            "socket=4",
            "--task",
            "downlight=6",
            "--location",
            "shop",
            "--visits",
            "2",
        ]
        .iter()
        .chain(&[
            "--materials",
            "100.00",
            "--parking",
            "8.00",
            "--miles",
            "12",
        ])
        .copied()
        .collect::<Vec<_>>(),
    );
    let lines = report["lines"].as_array().expect("lines");
    let sum: i64 = lines.iter().map(|line| pence(&line["amount"])).sum();
    assert_eq!(sum, pence(&report["total"]));
    for line in lines {
        assert!(
            !line["how"].as_str().expect("a reason").is_empty(),
            "{line}"
        );
    }
    let amount = |what: &str| {
        let line = lines.iter().find(|line| line["what"] == what);
        pence(&line.unwrap_or_else(|| panic!("{what} is missing"))["amount"])
    };
    // 100.00 and 15 % on it; 12 miles on two visits at 0.45.
    assert_eq!(
        [amount("materials"), amount("parking"), amount("travel")],
        [11_500, 800, 1_080]
    );
    // The labour line is its minutes at 42.00 an hour, which is 70 pence a minute.
    let minutes = report["labour_minutes"].as_f64().expect("minutes");
    assert!((minutes * 70.0 - amount("labour") as f64).abs() <= 0.5 + 1e-6);
    let other = &report["other"];
    assert_eq!(other["visits"], 2);
    assert_eq!(
        other["minutes"].as_f64().expect("minutes"),
        2.0 * other["per_visit"].as_f64().expect("minutes")
    );
    // What half of the jobs stay under is less than what eight in ten do.
    for of in [
        &report["minutes"],
        &report["tasks"][0]["minutes"],
        &report["tasks"][1]["minutes"],
    ] {
        let at = |key: &str| of[key].as_f64().expect("a quantile");
        assert!(
            at("q10") < at("q50") && at("q50") < at("q80") && at("q80") < at("q90"),
            "{of}"
        );
    }
    assert_eq!(report["tasks"][0]["n"], 10);
    assert_eq!(
        report["tasks"][1]["refs"].as_array().expect("refs").len(),
        5
    );
}

#[test]
fn six_downlights_take_less_than_one_and_a_half_times_four() {
    let diary = ten_jobs();
    let half = |count: &str| {
        let report = json(diary.path(), &["--task", count, "--location", "shop"]);
        report["minutes"]["q50"].as_f64().expect("a median")
    };
    let (four, six) = (half("downlight=4"), half("downlight=6"));
    assert!(four < six && six < four * 1.5, "{four} {six}");
}

#[test]
fn a_higher_chance_costs_more_and_the_same_question_the_same() {
    let diary = ten_jobs();
    let two = ["--task", "socket=2", "--task", "downlight=4"];
    let at = |chance: &str| {
        let report = json(diary.path(), &[&two[..], &["--chance", chance]].concat());
        pence(&report["lines"][0]["amount"])
    };
    assert!(at("50") < at("80") && at("80") < at("95"));
    assert_eq!(
        stdout(&price(diary.path(), &two)),
        stdout(&price(diary.path(), &two))
    );
}

#[test]
fn a_task_never_timed_is_refused_unless_its_hours_are_given() {
    let diary = ten_jobs();
    let refused = price(diary.path(), &["--task", "car-point=1"]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(
        stderr(&refused).contains("has never been timed"),
        "{}",
        stderr(&refused)
    );
    assert!(stderr(&refused).contains("--guess car-point=2h..4h"));
    let misspelt = price(diary.path(), &["--task", "sockets=1"]);
    assert_eq!(misspelt.status.code(), Some(2));
    assert!(
        stderr(&misspelt).contains("Write socket"),
        "{}",
        stderr(&misspelt)
    );
    assert_eq!(price(diary.path(), &[]).status.code(), Some(2));

    let report = json(
        diary.path(),
        &["--task", "car-point=1", "--guess", "car-point=2h..4h"],
    );
    let task = &report["tasks"][0];
    assert_eq!((&task["guessed"], &task["n"]), (&true.into(), &0.into()));
    // The range holds four times in five: its ends are one in ten and nine in ten.
    let at = |key: &str| task["minutes"][key].as_f64().expect("a quantile");
    assert!(
        (at("q10") - 120.0).abs() < 1e-6 && (at("q90") - 240.0).abs() < 1e-6,
        "{task}"
    );
    let said = report["warnings"].to_string();
    assert!(said.contains("hours given by hand"), "{said}");
}

#[test]
fn what_the_record_hardly_knows_is_said() {
    let diary = ten_jobs();
    let said = |arguments: &[&str]| json(diary.path(), arguments)["warnings"].to_string();
    assert!(
        said(&["--task", "socket=9", "--location", "shop"])
            .contains("the most on one job so far was 2")
    );
    assert!(
        said(&["--task", "socket=2", "--location", "rented-flat"])
            .contains("No log is from a place like this")
    );
    assert!(said(&["--task", "socket=2"]).contains("No location type is given"));
    let sure = json(diary.path(), &["--task", "socket=2", "--location", "shop"]);
    assert_eq!(sure["warnings"], serde_json::json!([]));
}

#[test]
fn a_price_is_kept_in_the_diary_once_and_asked_again_from_there() {
    let diary = ten_jobs();
    let question = [
        "--task",
        "socket=2",
        "--location",
        "shop",
        "--write",
        "two-sockets",
    ];
    let first = price(diary.path(), &question);
    assert_eq!(first.status.code(), Some(0), "{}", stderr(&first));
    let kept = diary.path().join("prices/two-sockets.yaml");
    let text = fs::read_to_string(&kept).expect("it was kept");
    let again = price(diary.path(), &question);
    assert_eq!(again.status.code(), Some(2), "{}", stderr(&again));
    assert_eq!(stdout(&again), "", "nothing was kept, so nothing is told");
    let told = stderr(&again);
    assert!(
        told.contains("prices/two-sockets.yaml is there already"),
        "{told}"
    );
    assert_eq!(fs::read_to_string(&kept).expect("still there"), text);

    let inspected = daywork()
        .args(["inspect", "--as-of", "2026-11-25", "--diary"])
        .arg(diary.path())
        .output()
        .expect("it runs");
    assert!(
        !stdout(&inspected).contains("prices/"),
        "{}",
        stdout(&inspected)
    );
    let asked = json(diary.path(), &["prices/two-sockets.yaml"]);
    let fresh = json(diary.path(), &question[..4]);
    assert_eq!(asked, fresh);
    let both = price(
        diary.path(),
        &["prices/two-sockets.yaml", "--task", "socket=1"],
    );
    assert_eq!(both.status.code(), Some(2));
    let none = price(diary.path(), &["prices/never-asked.yaml"]);
    assert_eq!(none.status.code(), Some(2));
}

#[test]
fn a_kept_price_that_is_broken_is_told_at_its_place() {
    let diary = ten_jobs();
    let told = |text: &str| {
        put(&diary.path().join("prices/odd.yaml"), text);
        let out = daywork()
            .args(["inspect", "--as-of", "2026-11-25", "--diary"])
            .arg(diary.path())
            .output()
            .expect("it runs");
        stdout(&out)
    };
    for (text, code) in [
        ("", "missing-key"),
        ("tasks: []\nlocation: shop\n", "missing-key"),
        ("tasks: [{task: sockit, count: 2}]\n", "unknown-task"),
        ("tasks: [{task: socket, count: 0}]\n", "bad-number"),
        ("tasks: [{task: socket, guess: 4h..2h}]\n", "bad-length"),
        ("tasks: [{task: socket}]\nmaterials: 4.5\n", "bad-money"),
        ("tasks: [{task: socket}]\nchance: 180\n", "bad-number"),
        (
            "tasks: [{task: socket}]\nanswer: {on: 2026-11-25}\n",
            "missing-key",
        ),
    ] {
        let said = told(text);
        assert!(said.contains("prices/odd.yaml"), "{text}: {said}");
        assert!(said.contains(code), "{text}: {said}");
    }
}

#[test]
fn the_past_is_priced_from_what_came_before_it() {
    let diary = ten_jobs();
    let report = json(diary.path(), &["--task", "socket=2", "--back-test"]);
    let tried = &report["back_test"];
    let number = |value: &serde_json::Value| value.as_u64().expect("a count");
    // Six jobs are the least that a price is held to; the rest of the ten are tried or hold a new type.
    let tried_jobs = number(&tried["n"]) + number(&tried["with_new_type"]);
    assert!((1..=4).contains(&tried_jobs), "{tried}");
    assert_eq!(number(&tried["quotes"]["n"]), number(&tried["n"]));
    let share = tried["band"]["share"].as_f64().expect("a share");
    assert!((0.0..=1.0).contains(&share));
    // Without being asked it is not reckoned, and nothing was kept yet.
    assert!(json(diary.path(), &["--task", "socket=2"])["back_test"].is_null());
}

fn press(diary: &Path) {
    let out = daywork()
        .args(["press", "--as-of", "2026-11-25", "--diary"])
        .arg(diary)
        .output()
        .expect("it runs");
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
}

#[test]
fn press_makes_the_sheet_and_the_client_s_copy_without_the_workings() {
    let diary = ten_jobs();
    let question = [
        "--task",
        "socket=2",
        "--location",
        "shop",
        "--materials",
        "10.00",
    ];
    price(
        diary.path(),
        &[&question[..], &["--write", "two-sockets"]].concat(),
    );
    press(diary.path());
    let page = |name: &str| {
        let path = diary.path().join("out/office/prices").join(name);
        fs::read_to_string(path).expect("the page is there")
    };
    let (sheet, client) = (page("two-sockets.html"), page("two-sockets_client.html"));
    assert!(sheet.contains("such jobs stay within") && sheet.contains("at cost"));
    assert!(
        client.contains("Not in the guarantee: lamps and batteries.</p>"),
        "{client}"
    );
    for working in [
        "such jobs",
        "at cost",
        "Call-outs",
        "likely to take",
        "By the hour",
    ] {
        assert!(!client.contains(working), "{working}");
    }
    let report = json(diary.path(), &question);
    let total = report["total"].as_str().expect("money is text");
    assert!(sheet.contains(total) && client.contains(total), "{total}");
    let list = page("index.html");
    assert!(list.contains("two-sockets.html"));
    assert!(list.contains("None of them stands behind a job"), "{list}");
    assert!(!diary.path().join("out/site/prices").exists());
}

#[test]
fn the_back_test_is_kept_until_the_record_changes() {
    let diary = ten_jobs();
    let known = || json(diary.path(), &["--task", "socket=2"])["back_test"].clone();
    assert!(known().is_null());
    press(diary.path());
    let kept = known();
    assert!(kept["n"].as_u64().expect("a count") > 0);
    assert_eq!(
        kept,
        json(diary.path(), &["--task", "socket=2", "--back-test"])["back_test"]
    );
    // Words change no record; minutes do.
    let log = diary.path().join("jobs/2026/job-9.md");
    let text = fs::read_to_string(&log).expect("a log");
    put(&log, text.replace("Words.", "Other words."));
    assert_eq!(known(), kept);
    put(&log, text.replace("to: 10:30", "to: 11:00"));
    assert!(known().is_null());
    press(diary.path());
    assert!(!known().is_null());
}

/// A diary without a job: hours given by hand are all that a price of it stands on.
fn no_jobs(settings: &str) -> TempDir {
    let diary = TempDir::new().expect("a temporary folder");
    put(&diary.path().join("diary.yaml"), settings);
    diary
}

#[test]
fn both_totals_say_that_vat_is_in_them_and_how_much_the_day_price_holds() {
    let with_vat = SETTINGS.replace("markup_percent: 15", "markup_percent: 15, vat_percent: 20");
    let question = [
        "--task",
        "car-point=1",
        "--guess",
        "car-point=3h",
        "--materials",
        "100.00",
    ];
    // 3 h at 42.00 is 126.00 and materials are 115.00: 241.00, with 20 % of it (48.20) 289.20. Half a day is 160.00:
    // 275.00, with 20 % of it (55.00) 330.00.
    let diary = no_jobs(&with_vat);
    let kept = [&question[..], &["--write", "point"]].concat();
    let text = stdout(&price(diary.path(), &kept));
    for (name, amount) in [
        ("By the hour, with VAT", "£289.20"),
        ("By the day, with VAT", "£330.00"),
    ] {
        let line = text.lines().find(|line| line.starts_with(name));
        assert!(line.is_some_and(|line| line.ends_with(amount)), "{text}");
    }
    assert!(text.contains("£55.00 of VAT"), "{text}");
    press(diary.path());
    let sheet = fs::read_to_string(diary.path().join("out/office/prices/point.html"));
    let sheet = sheet.expect("the sheet is there");
    assert!(sheet.contains("By the hour, with VAT"), "{sheet}");
    assert!(sheet.contains("comes to £330.00, with VAT."), "{sheet}");

    let diary = no_jobs(SETTINGS);
    let text = stdout(&price(diary.path(), &kept));
    assert!(text.contains("By the hour  ") && text.contains("By the day  "));
    assert!(
        !text.contains("with VAT") && !text.contains("of VAT"),
        "{text}"
    );
    press(diary.path());
    let sheet = fs::read_to_string(diary.path().join("out/office/prices/point.html"));
    assert!(!sheet.expect("the sheet is there").contains("with VAT"));
}

#[test]
fn an_amount_that_cannot_be_read_is_refused_in_no_one_currency_s_words() {
    let diary = ten_jobs();
    let refused = price(diary.path(), &["--task", "socket=2", "--materials", "4.5"]);
    assert_eq!(refused.status.code(), Some(2));
    let said = stderr(&refused);
    assert!(said.contains("write an amount such as 210.00"), "{said}");
    assert!(!said.contains("pound"), "{said}");
}

#[test]
fn a_guarantee_of_one_year_is_said_in_the_singular() {
    let diary = ten_jobs();
    let settings = SETTINGS.replace("years: 6", "years: 1");
    put(&diary.path().join("diary.yaml"), settings);
    put(
        &diary.path().join("jobs/2026/back.md"),
        "---\ntitle: One faceplate loose\nref: 2026-020\nfor: 2026-001\nvisits: [{date: 2026-03-12, kind: guarantee, \
         time: 1h}]\n---\n\nWords.\n",
    );
    let report = json(diary.path(), &["--task", "socket=2"]);
    let lines = report["lines"].as_array().expect("lines");
    let line = lines.iter().find(|line| line["what"] == "guarantee");
    let how = line.expect("a free return was made")["how"].to_string();
    assert!(how.contains(" free returns in 1 year, at "), "{how}");
}

#[test]
fn hours_given_by_hand_for_a_known_task_show_none_of_the_record_s_jobs() {
    let diary = ten_jobs();
    let question = ["--task", "socket=2", "--guess", "socket=3h"];
    let report = json(diary.path(), &question);
    let task = &report["tasks"][0];
    assert_eq!(
        (&task["guessed"], &task["n"], &task["refs"]),
        (&true.into(), &0.into(), &serde_json::json!([]))
    );
    assert_eq!(report["lines"][0]["refs"], serde_json::json!([]));
    let text = stdout(&price(diary.path(), &question));
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains("Change a socket outlet is priced at 3 h, by your own hours."),
        "{text}"
    );
    assert!(
        !text.contains("3 h to 3 h") && !text.contains("2026-0"),
        "{text}"
    );
    let line = text
        .lines()
        .find(|line| line.starts_with("Change a socket outlet"))
        .expect("the task has a line");
    let columns: Vec<&str> = line["Change a socket outlet".len()..]
        .split_whitespace()
        .collect();
    assert_eq!(columns, ["2", "3", "h", "3", "h", "3", "h"], "{line}");
    let two = ["--task", "downlight=4", "--guess", "downlight=1h"];
    let text = stdout(&price(diary.path(), &[&question[..], &two].concat()));
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains("each task is priced at a single length, by your own hours."),
        "{text}"
    );
    // A range still says what it holds.
    let text = stdout(&price(
        diary.path(),
        &["--task", "socket=2", "--guess", "socket=2h..4h"],
    ));
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("2 h to 4 h, by your own range"), "{text}");
}
