//! The SQLite export of the demo diary, asked in SQL: by the library, and by the program `sqlite3` as anybody would.
#![cfg(feature = "sqlite")]

mod common;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

use common::{daywork, stderr};
use rusqlite::Connection;
use rusqlite::types::Value as Sql;
use serde_json::Value;
use tempfile::TempDir;

/// What a sum of floats in another order may be off by.
const SLACK: f64 = 1e-9;

/// The median of each task type's observations: the middle one, or the mean of the two in the middle. Type 8 of Hyndman
/// and Fan gives the same at a half.
const MEDIANS: &str = "
WITH ranked AS (
  SELECT task, minutes_each,
         row_number() OVER (PARTITION BY task ORDER BY minutes_each) AS place,
         count(*) OVER (PARTITION BY task) AS n
  FROM observations
)
SELECT task, n, printf('%.17g', avg(minutes_each)) FROM ranked
WHERE place IN ((n + 1) / 2, (n + 2) / 2)
GROUP BY task ORDER BY task";

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("example-site")
}

fn ask(arguments: &[&str]) -> Vec<u8> {
    let out = daywork()
        .args(arguments)
        .args(["--as-of", "2026-11-25", "--diary"])
        .arg(demo())
        .output()
        .expect("it runs");
    assert!(out.status.success(), "{}", stderr(&out));
    out.stdout
}

/// The demo's database, written by the program.
fn database() -> (TempDir, PathBuf) {
    let folder = TempDir::new().expect("a temporary folder");
    let path = folder.path().join("record.sqlite");
    let given = path.to_str().expect("UTF-8").to_owned();
    ask(&["export", "--to", "sqlite", "--out", &given]);
    (folder, path)
}

/// `n` and the median of each task type, as the report has them.
fn reported() -> BTreeMap<String, (u64, f64)> {
    let report: Value = serde_json::from_slice(&ask(&["hours", "--format", "json"])).expect("JSON");
    let tasks = report["tasks"].as_array().expect("tasks");
    tasks
        .iter()
        .filter_map(|task| {
            let median = task["each"]["median"].as_f64()?;
            let n = task["n"].as_u64()?;
            Some((task["task"].as_str()?.to_owned(), (n, median)))
        })
        .collect()
}

fn same_as_reported(found: &BTreeMap<String, (u64, f64)>) {
    let wanted = reported();
    assert!(wanted.len() > 20, "the demo times many task types");
    assert!(found.keys().eq(wanted.keys()));
    for (task, (n, median)) in &wanted {
        let (found_n, found_median) = found[task];
        assert_eq!(found_n, *n, "{task}");
        assert!(
            (found_median - median).abs() <= SLACK * median,
            "{task}: {found_median} is not {median}"
        );
    }
}

#[test]
fn medians_by_sql_are_those_of_the_hours_report() {
    let (_folder, path) = database();
    let database = Connection::open(path).expect("a database");
    let mut query = database.prepare(MEDIANS).expect("SQL");
    let rows = query
        .query_map([], |row| {
            let median: String = row.get(2)?;
            let n: i64 = row.get(1)?;
            Ok((row.get::<_, String>(0)?, (n, median)))
        })
        .expect("rows");
    let found = rows
        .map(|row| {
            let (task, (n, median)) = row.expect("a row");
            let n = u64::try_from(n).expect("a count");
            (task, (n, median.parse().expect("a number")))
        })
        .collect();
    same_as_reported(&found);
}

#[test]
fn the_program_sqlite3_reads_it_and_finds_the_same() {
    let (_folder, path) = database();
    let asked = Command::new("sqlite3")
        .arg(&path)
        .arg(MEDIANS)
        .arg("PRAGMA foreign_key_check")
        .arg("PRAGMA integrity_check")
        .output();
    let asked = match asked {
        Ok(asked) => asked,
        Err(cause) => {
            assert!(std::env::var_os("CI").is_none(), "sqlite3: {cause}");
            eprintln!("Not run: the program sqlite3 is not installed. tests/run.sh installs it.");
            return;
        }
    };
    assert!(asked.status.success(), "{}", stderr(&asked));
    let said = String::from_utf8(asked.stdout).expect("UTF-8");
    let mut lines: Vec<&str> = said.lines().collect();
    // Nothing for the foreign keys, one word for the whole.
    assert_eq!(lines.pop(), Some("ok"));
    let found = lines
        .iter()
        .map(|line| {
            let parts: Vec<&str> = line.split('|').collect();
            let [task, n, median] = parts[..] else {
                panic!("{line} is no row of three");
            };
            let figures = (
                n.parse().expect("a count"),
                median.parse().expect("a number"),
            );
            (task.to_owned(), figures)
        })
        .collect();
    same_as_reported(&found);
}

#[test]
fn every_key_leads_somewhere_and_a_wrong_one_would_be_found() {
    let (_folder, path) = database();
    let database = Connection::open(path).expect("a database");
    let lost = |database: &Connection| {
        let mut check = database.prepare("PRAGMA foreign_key_check").expect("SQL");
        let rows = check.query_map([], |row| row.get::<_, String>(0));
        rows.expect("rows").count()
    };
    assert_eq!(lost(&database), 0);
    database
        .pragma_update(None, "foreign_keys", false)
        .expect("a setting");
    database
        .execute("DELETE FROM visits WHERE visit = 1", [])
        .expect("SQL");
    assert!(lost(&database) > 0);
}

#[test]
fn the_database_says_what_the_document_says() {
    let (folder, path) = database();
    let document = folder.path().join("record.json");
    let given = document.to_str().expect("UTF-8");
    ask(&["export", "--to", "json", "--out", given]);
    let whole: Value =
        serde_json::from_slice(&std::fs::read(&document).expect("written")).expect("JSON");
    let database = Connection::open(path).expect("a database");
    let mut amounts = 0;
    for (name, rows) in whole["tables"].as_object().expect("tables") {
        let rows = rows.as_array().expect("rows");
        let columns: Vec<&String> = rows[0].as_object().expect("a row").keys().collect();
        let view: i64 = database
            .query_row(
                "SELECT count(*) FROM sqlite_schema WHERE type = 'view' AND name = ?",
                [format!("{name}_amounts")],
                |row| row.get(0),
            )
            .expect("a count");
        let from = if view == 1 {
            format!("{name}_amounts")
        } else {
            name.clone()
        };
        // A whole table is read in the order in which its rows went in.
        let mut query = database
            .prepare(&format!("SELECT * FROM {from}"))
            .expect("SQL");
        assert!(query.column_names().eq(columns.iter().copied()), "{name}");
        let found: Vec<Vec<Sql>> = query
            .query_map([], |row| (0..columns.len()).map(|at| row.get(at)).collect())
            .expect("rows")
            .map(|row| row.expect("a row"))
            .collect();
        assert_eq!(found.len(), rows.len(), "{name}");
        for (cells, row) in found.iter().zip(rows) {
            for (cell, (column, value)) in cells.iter().zip(row.as_object().expect("a row")) {
                let same = match (cell, value) {
                    (Sql::Null, Value::Null) => true,
                    (Sql::Integer(whole), Value::Bool(truth)) => *whole == i64::from(*truth),
                    (Sql::Integer(whole), Value::Number(number)) => number.as_i64() == Some(*whole),
                    // The reader of JSON may be out in the last bit; the writer is not.
                    (Sql::Real(float), Value::Number(number)) => {
                        let number = number.as_f64().expect("finite");
                        (float - number).abs() <= 1e-15 * number.abs()
                    }
                    (Sql::Text(text), Value::String(other)) => text == other,
                    _ => false,
                };
                assert!(same, "{name}.{column}: {cell:?} is not {value}");
                amounts += usize::from(view == 1 && value.is_string());
            }
        }
    }
    assert!(amounts > 500, "the demo has amounts: {amounts}");
    // Whole pence, and the sum of the text is the sum of the pence.
    let (pence, text): (i64, String) = database
        .query_row(
            "SELECT sum(charged_labour_pence), (SELECT group_concat(charged_labour) FROM jobs_amounts) FROM jobs",
            [],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )
        .expect("a sum");
    let added: i64 = text
        .split(',')
        .map(|amount| amount.replace('.', "").parse::<i64>().expect("pence"))
        .sum();
    assert_eq!(added, pence);
}
