//! The tables of both exports: plain names, keys that lead somewhere, and a page that describes every column.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use daywork::model::table::{Kind, Presence, Schema};
use daywork::office::export::columns;
use daywork::public::anonymous;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

#[test]
fn every_name_is_plain_and_every_key_is_there() {
    let all: [&[&Schema]; 2] = [&columns::ALL, &anonymous::columns::ALL];
    for schemas in all {
        for (index, schema) in schemas.iter().enumerate() {
            let has = |schema: &Schema, name: &str| {
                schema
                    .columns
                    .iter()
                    .find(|column| column.name == name)
                    .is_some_and(|column| column.presence == Presence::Always)
            };
            let mut names: Vec<&str> = schema.columns.iter().map(|column| column.name).collect();
            let plain = |name: &&str| {
                name.starts_with(|c: char| c.is_ascii_lowercase())
                    && name
                        .chars()
                        .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
            };
            assert!(names.iter().all(plain), "{}", schema.name);
            names.sort_unstable();
            names.dedup();
            assert_eq!(names.len(), schema.columns.len(), "{}", schema.name);
            assert!(schema.key.iter().all(|key| has(schema, key)));
            for refers in schema.refers {
                let other = schemas[..=index]
                    .iter()
                    .find(|other| other.name == refers.table)
                    .expect("what is referred to comes first");
                assert_eq!(other.key, refers.there, "{}", schema.name);
            }
        }
    }
    // A text that the gate takes out leaves nothing behind, so each may be without.
    for schema in anonymous::columns::ALL {
        for column in schema.columns {
            let may_be_taken_out = column.kind != Kind::Text || column.presence == Presence::Maybe;
            assert!(may_be_taken_out, "{}.{}", schema.name, column.name);
        }
    }
}

/// A table as docs/export.md describes it.
fn described(schema: &Schema) -> String {
    let mut text = format!("### {}\n\n{}. ", schema.name, schema.row);
    write!(text, "Key: {}.", schema.key.join(", ")).expect("a String");
    for refers in schema.refers {
        let columns = refers.columns.join(", ");
        write!(text, " {columns} leads to {}.", refers.table).expect("a String");
    }
    text.push_str("\n\n| column | what it is | may be absent | meaning |\n|---|---|---|---|\n");
    for column in schema.columns {
        let absent = match column.presence {
            Presence::Always => "no",
            Presence::Maybe => "yes",
        };
        writeln!(
            text,
            "| `{}` | {} | {absent} | {} |",
            column.name,
            column.kind.shown(),
            column.meaning
        )
        .expect("a String");
    }
    text
}

#[test]
fn the_page_about_the_tables_describes_every_column() {
    let page = fs::read_to_string(root().join("docs/export.md")).expect("the page is there");
    let (whole, anonymous) = page
        .split_once("\n## The anonymous export\n")
        .expect("the anonymous export has a part of its own");
    for (part, schemas) in [
        (whole, columns::ALL.as_slice()),
        (anonymous, anonymous::columns::ALL.as_slice()),
    ] {
        for schema in schemas {
            let wanted = described(schema);
            assert!(part.contains(&wanted), "docs/export.md needs:\n\n{wanted}");
        }
        assert_eq!(part.matches("\n### ").count(), schemas.len());
    }
}
