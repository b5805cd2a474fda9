//! All tables as one SQLite database, made in memory and given as the bytes of its file.
//!
//! Amounts are whole pence in a column of the same name with `_pence`; beside each table that has one stands a view
//! with `_amounts` at its end, whose columns are those of the other forms: amounts as text with two decimals.

use rusqlite::types::ToSqlOutput;
use rusqlite::{Connection, MAIN_DB, ToSql, params_from_iter};

use crate::model::table::{Cell, Column, Kind, Presence, Schema, Table};

use super::APPLICATION;

/// The whole file.
pub(super) fn bytes(tables: &[Table]) -> rusqlite::Result<Vec<u8>> {
    let mut database = Connection::open_in_memory()?;
    database.pragma_update(None, "application_id", APPLICATION)?;
    database.pragma_update(None, "user_version", crate::office::export::open::VERSION)?;
    // Held while rows go in, so that a mistake of the program is found here and not by whoever opens the file.
    database.pragma_update(None, "foreign_keys", true)?;
    // A job may lead to one further down.
    let all = database.transaction()?;
    all.pragma_update(None, "defer_foreign_keys", true)?;
    for table in tables {
        all.execute_batch(&create(table.schema))?;
        let marks = vec!["?"; table.schema.columns.len()].join(", ");
        let insert = format!("INSERT INTO {} VALUES ({marks})", table.schema.name);
        let mut insert = all.prepare(&insert)?;
        for row in table.rows() {
            insert.execute(params_from_iter(row))?;
        }
    }
    all.commit()?;
    Ok(database.serialize(MAIN_DB)?.to_vec())
}

impl ToSql for Cell {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        match self {
            Cell::Nothing => Ok(rusqlite::types::Null.into()),
            Cell::Whole(whole) => whole.to_sql(),
            Cell::Number(float) => float.to_sql(),
            Cell::Text(text) => text.to_sql(),
            Cell::Money(money) => Ok(money.pence().into()),
            Cell::Truth(truth) => truth.to_sql(),
        }
    }
}

/// The statements that make a table, its view and its indexes. Meanings stand beside the columns: `.schema` shows them.
fn create(schema: &Schema) -> String {
    let mut lines: Vec<String> = Vec::new();
    for column in schema.columns {
        let not_null = match column.presence {
            Presence::Always => " NOT NULL",
            Presence::Maybe => "",
        };
        let check = match column.kind {
            Kind::Truth => format!(" CHECK ({} IN (0, 1))", column.name),
            _ => String::new(),
        };
        let name = in_database(column);
        lines.push(format!(
            "  {name} {}{not_null}{check}, -- {}\n",
            stored_as(column.kind),
            column.meaning
        ));
    }
    lines.push(format!("  PRIMARY KEY ({})", schema.key.join(", ")));
    for refers in schema.refers {
        lines.push(format!(
            ",\n  FOREIGN KEY ({}) REFERENCES {} ({})",
            refers.columns.join(", "),
            refers.table,
            refers.there.join(", ")
        ));
    }
    let name = schema.name;
    let mut text = format!(
        "CREATE TABLE {name} ( -- {}\n{}\n) STRICT;\n",
        schema.row,
        lines.concat()
    );
    if schema
        .columns
        .iter()
        .any(|column| column.kind == Kind::Money)
    {
        let columns: Vec<String> = schema.columns.iter().map(with_decimals).collect();
        text += &format!(
            "CREATE VIEW {name}_amounts AS SELECT {} FROM {name};\n",
            columns.join(", ")
        );
    }
    text
}

fn stored_as(kind: Kind) -> &'static str {
    match kind {
        Kind::Text | Kind::Word | Kind::Date | Kind::Month | Kind::Clock => "TEXT",
        Kind::Whole | Kind::Money | Kind::Truth => "INTEGER",
        Kind::Number => "REAL",
    }
}

/// The column's name in a table: an amount says that it is whole pence.
fn in_database(column: &Column) -> String {
    match column.kind {
        Kind::Money => format!("{}_pence", column.name),
        _ => column.name.to_owned(),
    }
}

/// A column of the view. Whole numbers all the way: no float ever holds money.
fn with_decimals(column: &Column) -> String {
    let (name, pence) = (column.name, in_database(column));
    match column.kind {
        Kind::Money => format!(
            "CASE WHEN {pence} IS NOT NULL THEN printf('%s%d.%02d', CASE WHEN {pence} < 0 THEN '-' ELSE '' END, \
             abs({pence}) / 100, abs({pence}) % 100) END AS {name}"
        ),
        _ => name.to_owned(),
    }
}
