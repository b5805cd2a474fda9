//! The whole export: three forms that say the same, and files that are written over nothing else.

mod common;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Output;

use common::{daywork, put, started, stderr, stdout, tree};
use daywork::model::table::Table;
use daywork::office::export;
use daywork::pages::tables::{Form, files};
use jiff::civil::date;
use serde_json::{Map, Value};

/// Whether the program under test has SQLite in it.
const SQLITE: bool = cfg!(feature = "sqlite");

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn demo() -> Vec<Table> {
    let mut read = daywork::diary::read(&root().join("example-site")).expect("the demo diary");
    let as_of = date(2026, 11, 25);
    read.diary.keep_up_to(as_of);
    export::tables(&read.diary, as_of)
}

/// A form of one file.
fn one_file(tables: &[Table], form: Form) -> Vec<u8> {
    let mut made = files(tables, form).expect("it is built in");
    assert_eq!(made.len(), 1);
    made.remove(0).bytes
}

fn json(tables: &[Table]) -> BTreeMap<String, Vec<Map<String, Value>>> {
    let whole: Value =
        serde_json::from_slice(&one_file(tables, Form::Json)).expect("well-formed JSON");
    assert_eq!(whole["export"], "daywork");
    serde_json::from_value(whole["tables"].clone()).expect("tables of rows")
}

fn run(diary: &Path, arguments: &[&str]) -> Output {
    daywork()
        .current_dir(diary)
        .args(arguments)
        .args(["--as-of", "2026-11-25"])
        .output()
        .expect("it runs")
}

#[test]
fn a_file_of_values_says_what_the_document_says() {
    let tables = demo();
    let document = json(&tables);
    let made = files(&tables, Form::Csv).expect("it is built in");
    assert_eq!(made.len(), tables.len());
    for (made, table) in made.iter().zip(&tables) {
        let name = table.schema.name;
        assert_eq!(made.table, Some(name));
        let mut reader = csv::Reader::from_reader(made.bytes.as_slice());
        let header: Vec<String> = reader
            .headers()
            .expect("a header")
            .iter()
            .map(str::to_owned)
            .collect();
        let rows: Vec<csv::StringRecord> =
            reader.records().map(|row| row.expect("a row")).collect();
        assert_eq!(rows.len(), document[name].len(), "{name}");
        assert!(!rows.is_empty(), "{name} of the demo has rows");
        for (row, object) in rows.iter().zip(&document[name]) {
            assert!(object.keys().eq(&header), "{name}");
            for (field, value) in row.iter().zip(object.values()) {
                let same = match value {
                    Value::Null => field.is_empty(),
                    Value::Bool(truth) => field == if *truth { "yes" } else { "no" },
                    // The reader of JSON may be out in the last bit; the writer is not.
                    Value::Number(number) => {
                        let (field, number) = (field.parse(), number.as_f64().expect("finite"));
                        field.is_ok_and(|field: f64| (field - number).abs() <= 1e-15 * number.abs())
                    }
                    Value::String(text) => field == text,
                    _ => false,
                };
                assert!(same, "{name}: {field} is not {value}");
            }
        }
    }
}

#[test]
fn the_same_tables_give_the_same_bytes() {
    for form in [Form::Csv, Form::Json, Form::Sqlite] {
        assert_eq!(files(&demo(), form), files(&demo(), form), "{form:?}");
    }
}

#[test]
fn amounts_are_those_of_the_logs_to_the_penny() {
    let read = daywork::diary::read(&root().join("example-site")).expect("the demo diary");
    let wanted: BTreeMap<String, String> = read
        .diary
        .jobs
        .iter()
        .filter_map(|job| {
            let labour = job.charged.as_ref()?.in_office().labour.as_ref()?;
            let reference = &job.reference.in_office().value;
            Some((reference.clone(), labour.value.to_string()))
        })
        .collect();
    let document = json(&demo());
    let found: BTreeMap<String, String> = document["jobs"]
        .iter()
        .filter_map(|row| {
            let labour = row["charged_labour"].as_str()?;
            Some((row["job"].as_str()?.to_owned(), labour.to_owned()))
        })
        .collect();
    assert!(wanted.len() > 100, "the demo has charges");
    assert_eq!(found, wanted);
}

#[test]
fn what_stands_in_the_way_is_left_alone() {
    let (_folder, diary) = started();
    put(&diary.join("mine.json"), "mine");
    put(&diary.join("tables/visits.csv"), "mine");
    assert!(run(&diary, &["press"]).status.success());
    let before = tree(&diary);
    for (arguments, told) in [
        (
            ["export", "--to", "json", "--out", "mine.json"],
            "is no such export",
        ),
        (
            ["export", "--to", "json", "--out", "diary.yaml"],
            "is no such export",
        ),
        (
            ["export", "--to", "csv", "--out", "tables"],
            "is no such export",
        ),
        (
            ["export", "--to", "csv", "--out", "jobs/2026"],
            "among the logs",
        ),
        (
            ["export", "--to", "json", "--out", "jobs/new/x.json"],
            "among the logs",
        ),
        (
            ["export", "--to", "json", "--out", "out/site/x.json"],
            "that go to readers",
        ),
        (
            [
                "export",
                "--to",
                "json",
                "--out",
                "out/office/../site/x.json",
            ],
            "that go to readers",
        ),
    ] {
        let out = run(&diary, &arguments);
        assert_eq!(out.status.code(), Some(3), "{arguments:?}");
        assert!(
            stderr(&out).contains(told),
            "{arguments:?}: {}",
            stderr(&out)
        );
        assert_eq!(stdout(&out), "");
    }
    assert_eq!(tree(&diary), before);
}

#[test]
fn an_export_is_written_over_its_former_self_and_no_press_sweeps_it() {
    let (_folder, diary) = started();
    let wanted: &[&[&str]] = &[
        &["export", "--to", "csv"],
        &["export", "--to", "json"],
        &["export", "--to", "csv", "--anonymous"],
        &["export", "--to", "json", "--anonymous"],
        &["export", "--to", "csv", "--out", "mine"],
        &["export", "--to", "json", "--out", "mine"],
        &["export", "--to", "json", "--out", "new/"],
        // The last two where the program has SQLite in it.
        &["export", "--to", "sqlite"],
        &["export", "--to", "sqlite", "--out", "record.db"],
    ];
    let wanted = if SQLITE {
        wanted
    } else {
        &wanted[..wanted.len() - 2]
    };
    let once = || {
        for arguments in wanted {
            let out = run(&diary, arguments);
            assert_eq!(
                out.status.code(),
                Some(0),
                "{arguments:?}: {}",
                stderr(&out)
            );
            assert_eq!(stderr(&out), "", "{arguments:?}");
        }
        tree(&diary)
    };
    let first = once();
    for path in [
        "out/export/record-csv/jobs.csv",
        "out/export/record.json",
        "out/export/anonymous-csv/jobs.csv",
        "out/export/anonymous.json",
        "mine/clients.csv",
        "mine/record.json",
        "new/record.json",
    ] {
        assert!(first.contains_key(path), "{path}");
    }
    for path in ["out/export/record.sqlite", "record.db"] {
        assert_eq!(first.contains_key(path), SQLITE, "{path}");
    }
    assert_eq!(once(), first, "the same again");
    let more = diary.join("jobs/2026/more.md");
    put(
        &more,
        "---\ntitle: More\nref: 2026-900\nvisits: [{date: 2026-10-01, time: 1h}]\npublish: ready\n---\n",
    );
    assert!(run(&diary, &["press"]).status.success());
    assert!(diary.join("out/site/write-ups/more/index.html").exists());
    fs::remove_file(more).expect("it is there");
    assert!(run(&diary, &["press"]).status.success());
    assert!(!diary.join("out/site/write-ups/more/index.html").exists());
    let after = tree(&diary);
    for (path, bytes) in &first {
        assert_eq!(after.get(path), Some(bytes), "{path}");
    }
}

#[test]
fn the_anonymous_tables_are_not_laid_among_those_of_the_whole_record() {
    let (_folder, diary) = started();
    let whole = run(&diary, &["export", "--to", "csv", "--out", "mine"]);
    assert!(whole.status.success(), "{}", stderr(&whole));
    let before = tree(&diary);
    let anonymous = run(
        &diary,
        &["export", "--to", "csv", "--out", "mine", "--anonymous"],
    );
    assert_eq!(anonymous.status.code(), Some(3));
    assert!(stderr(&anonymous).contains("is no such export"));
    assert_eq!(tree(&diary), before);
}

#[test]
fn what_was_written_is_said_with_its_rows() {
    let (_folder, diary) = started();
    let out = run(&diary, &["export", "--to", "json", "--out", "x.json"]);
    let said = stdout(&out);
    assert!(said.starts_with("Exported 1 job up to 2026-11-25, private things too"));
    assert!(
        said.contains("\nWrote x.json:\n  about         1 row\n"),
        "{said}"
    );
    assert!(said.contains("\n  jobs          1 row\n"), "{said}");
}

#[test]
fn visits_after_the_day_are_left_out() {
    let (_folder, diary) = started();
    let log = "---\ntitle: Two days\nref: 2026-900\nlocation: workshop\nvisits:\n  \
               - {date: 2026-10-01, time: 1h}\n  - {date: 2026-10-09, time: 2h}\n---\n";
    put(&diary.join("jobs/2026/two.md"), log);
    let minutes = |as_of: &str| {
        let out = daywork()
            .current_dir(&diary)
            .args([
                "export", "--to", "json", "--out", "x.json", "--as-of", as_of,
            ])
            .output()
            .expect("it runs");
        assert!(out.status.success(), "{}", stderr(&out));
        let bytes = fs::read(diary.join("x.json")).expect("written");
        let whole: Value = serde_json::from_slice(&bytes).expect("JSON");
        let jobs = whole["tables"]["jobs"].as_array().expect("jobs").clone();
        jobs.iter()
            .find(|job| job["job"] == "2026-900")
            .map(|job| job["minutes_on_site"].clone())
    };
    assert_eq!(minutes("2026-09-30"), None);
    assert_eq!(minutes("2026-10-08"), Some(60.into()));
    assert_eq!(minutes("2026-10-09"), Some(180.into()));
}

#[test]
fn plant_and_what_came_back_are_in_the_record() {
    let log = "---\ntitle: Lights\nref: 2026-900\nvisits: [{date: 2026-10-01, time: 2h}]\nmaterials:\n  \
               - {item: Lamp, count: 6, cost: 4.10, came_back: [2026-10-20, 2026-11-03]}\n  \
               - {item: Clip, came_back: []}\n  - {item: Box}\nplant:\n  \
               - {item: Tower hire, count: 2, unit: day, cost: 45.00, charge: 60.00, supplier: The yard}\n---\n";
    let read = daywork::diary::read_files(vec![("jobs/2026/a.md".to_owned(), log.into())]);
    let tables = json(&export::tables(&read.diary, date(2026, 11, 25)));
    let row = |table: &str, line: usize| Value::Object(tables[table][line].clone());
    assert_eq!(tables["plant"].len(), 1);
    assert_eq!(
        row("plant", 0),
        serde_json::json!({
            "job": "2026-900", "plant": 1, "item": "Tower hire", "count": 2.0, "unit": "day",
            "cost_each": "45.00", "charge_each": "60.00", "cost": "90.00", "charge": "120.00",
            "supplier": "The yard",
        })
    );
    let back = |line| {
        [
            &row("materials", line)["came_back"],
            &row("materials", line)["came_back_on"],
        ]
        .map(Value::clone)
    };
    assert_eq!(
        back(0),
        [serde_json::json!(2), "2026-10-20 2026-11-03".into()]
    );
    assert_eq!(back(1), [serde_json::json!(0), Value::Null]);
    assert_eq!(back(2), [Value::Null, Value::Null]);
}

#[test]
fn texts_that_are_written_empty_go_out_empty() {
    let (_folder, diary) = started();
    let log = "---\ntitle: Odd\nref: 2026-901\nlocation: \"\"\nplace: \"\"\nvisits:\n  \
               - {date: 2026-10-01, time: 2h, note: \"\", tasks: [{task: \"\", time: 1h}]}\nfindings:\n  \
               - {what: \"\", code: C3, told: {who: \"\", on: 2026-10-01, how: \"\"}}\nmaterials:\n  \
               - {item: \"\", count: 2}\nextras:\n  - {what: \"\", labour: 15.00}\n---\n";
    put(&diary.join("jobs/2026/odd.md"), log);
    let form = if SQLITE { "sqlite" } else { "csv" };
    for arguments in [
        ["export", "--to", form].as_slice(),
        &["export", "--to", "json", "--anonymous"],
    ] {
        let out = run(&diary, arguments);
        assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    }
}

#[test]
fn a_diary_with_errors_gives_no_export() {
    let (_folder, diary) = started();
    put(&diary.join("jobs/2026/bad.md"), "---\ntitle: Bad\n---\n");
    let out = run(&diary, &["export", "--to", "json"]);
    assert_eq!(out.status.code(), Some(1));
    assert!(stderr(&out).contains("jobs/2026/bad.md"));
    assert!(!diary.join("out").exists());
}

#[test]
fn the_form_is_asked_for_and_format_is_told_apart_from_it() {
    let (_folder, diary) = started();
    assert_eq!(run(&diary, &["export"]).status.code(), Some(2));
    assert_eq!(
        run(&diary, &["export", "--to", "xml"]).status.code(),
        Some(2)
    );
    let out = run(&diary, &["export", "--format", "json"]);
    assert_eq!(out.status.code(), Some(2));
    assert_eq!(
        stderr(&out),
        "daywork export takes no --format: --to says the form. Leave it away.\n"
    );
}

#[test]
fn parquet_is_for_pooling_and_never_holds_anything_private() {
    let (_folder, diary) = started();
    let out = run(&diary, &["export", "--to", "parquet"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(stderr(&out).starts_with("--to parquet is for pooling with others"));
    assert!(!diary.join("out").exists());
}

#[cfg(not(feature = "parquet"))]
#[test]
fn a_program_without_parquet_says_so_and_writes_nothing() {
    let (_folder, diary) = started();
    let out = run(&diary, &["export", "--to", "parquet", "--anonymous"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(
        stderr(&out)
            .starts_with("this daywork was built without Parquet. Take --to csv or --to json")
    );
    assert!(!diary.join("out").exists());
}

#[cfg(not(feature = "sqlite"))]
#[test]
fn a_program_without_sqlite_says_so_and_writes_nothing() {
    let (_folder, diary) = started();
    let out = run(&diary, &["export", "--to", "sqlite"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(
        stderr(&out)
            .starts_with("this daywork was built without SQLite. Take --to csv or --to json")
    );
    assert!(!diary.join("out").exists());
}
