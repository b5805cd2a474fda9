//! All tables as one JSON document: a row an object with every column, in the columns' order; a row a line.

use serde_json::{Map, Value};

use crate::model::table::{Cell, Table};

/// What every such file begins with.
pub(super) const HEAD: &str = "{\"export\":\"daywork\",\"tables\":{";

/// The whole file.
pub(super) fn bytes(tables: &[Table]) -> Vec<u8> {
    let mut text = HEAD.to_owned();
    for (index, table) in tables.iter().enumerate() {
        text.push_str(if index == 0 { "\n" } else { ",\n" });
        text.push_str(&format!("\"{}\":[", table.schema.name));
        for (index, row) in table.rows().iter().enumerate() {
            text.push_str(if index == 0 { "\n" } else { ",\n" });
            let names = table
                .schema
                .columns
                .iter()
                .map(|column| column.name.to_owned());
            let row: Map<String, Value> = names.zip(row.iter().map(value)).collect();
            text.push_str(&Value::Object(row).to_string());
        }
        text.push(']');
    }
    text.push_str("}}\n");
    text.into_bytes()
}

fn value(cell: &Cell) -> Value {
    match cell {
        Cell::Nothing => Value::Null,
        Cell::Whole(whole) => Value::from(*whole),
        Cell::Number(float) => Value::from(*float),
        Cell::Text(text) => Value::from(text.as_str()),
        Cell::Money(money) => Value::from(money.to_string()),
        Cell::Truth(truth) => Value::from(*truth),
    }
}
