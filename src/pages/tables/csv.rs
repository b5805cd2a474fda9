//! A table as comma-separated values (RFC 4180): UTF-8, a header line, CRLF line ends, nothing for what there is not.

use crate::model::table::{Cell, Table};

use super::number;

/// The whole file.
pub(super) fn bytes(table: &Table) -> Vec<u8> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    let header = table.schema.columns.iter().map(|column| column.name);
    writer
        .write_record(header)
        .expect("memory takes what is written to it");
    for row in table.rows() {
        writer
            .write_record(row.iter().map(field))
            .expect("every row has a cell for each column");
    }
    writer
        .into_inner()
        .expect("memory takes what is written to it")
}

fn field(cell: &Cell) -> String {
    match cell {
        Cell::Nothing => String::new(),
        Cell::Whole(whole) => whole.to_string(),
        Cell::Number(float) => number(*float),
        Cell::Text(text) => text.clone(),
        Cell::Money(money) => money.to_string(),
        Cell::Truth(true) => "yes".to_owned(),
        Cell::Truth(false) => "no".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Money;
    use crate::model::table::{Column, Kind, Schema};

    const SCHEMA: Schema = Schema {
        name: "things",
        row: "A thing",
        key: &["thing"],
        refers: &[],
        columns: &[
            Column::always("thing", Kind::Whole, "Its number"),
            Column::maybe("word", Kind::Text, "Its word"),
            Column::maybe("cost", Kind::Money, "Its cost"),
            Column::maybe("each", Kind::Number, "Each"),
            Column::always("there", Kind::Truth, "Whether it is there"),
        ],
    };

    #[test]
    fn commas_quotes_and_line_ends_stay_within_their_field() {
        let mut table = Table::new(&SCHEMA);
        table.push(vec![
            1_i64.into(),
            "a, \"b\"\nc".into(),
            Money::from_pence(-5).into(),
            24.0.into(),
            true.into(),
        ]);
        table.push(vec![
            2_i64.into(),
            Cell::Nothing,
            Cell::Nothing,
            Cell::Nothing,
            false.into(),
        ]);
        let text = String::from_utf8(bytes(&table)).expect("UTF-8");
        assert_eq!(
            text,
            "thing,word,cost,each,there\r\n1,\"a, \"\"b\"\"\nc\",-0.05,24,yes\r\n2,,,,no\r\n"
        );
    }
}
