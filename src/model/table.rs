//! Tables of plain values, as `daywork export` writes them: what each holds is said beside it, once for every format.
//!
//! Nothing private fits a cell, for a [`Private`](super::Private) turns into none. Knows no format and no file.

use jiff::civil::Date;

use super::{At, Minutes, Money};

/// One value of a row.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// There is none.
    Nothing,
    /// A whole number.
    Whole(i64),
    /// A number.
    Number(f64),
    /// A text; empty only where a column that always has one is written empty.
    Text(String),
    /// An amount.
    Money(Money),
    /// Yes or no.
    Truth(bool),
}

/// What the cells of a column are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// What somebody typed.
    Text,
    /// One of a few words of the program's own, as the meaning lists them.
    Word,
    /// `2026-03-20`.
    Date,
    /// `2026-03`.
    Month,
    /// `08:15`.
    Clock,
    /// A whole number.
    Whole,
    /// A number.
    Number,
    /// An amount, without VAT.
    Money,
    /// Yes or no.
    Truth,
}

impl Kind {
    /// As the page about the tables names it.
    pub fn shown(self) -> &'static str {
        match self {
            Kind::Text => "text",
            Kind::Word => "word",
            Kind::Date => "date",
            Kind::Month => "month",
            Kind::Clock => "clock time",
            Kind::Whole => "whole number",
            Kind::Number => "number",
            Kind::Money => "amount",
            Kind::Truth => "yes or no",
        }
    }

    /// Whether a cell may stand in a column of this kind.
    pub fn takes(self, cell: &Cell) -> bool {
        match cell {
            Cell::Nothing => true,
            Cell::Whole(_) => self == Kind::Whole,
            Cell::Number(_) => self == Kind::Number,
            Cell::Text(_) => matches!(
                self,
                Kind::Text | Kind::Word | Kind::Date | Kind::Month | Kind::Clock
            ),
            Cell::Money(_) => self == Kind::Money,
            Cell::Truth(_) => self == Kind::Truth,
        }
    }
}

/// Whether a column may be without a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Presence {
    /// Every row has one.
    Always,
    /// A row may have none.
    Maybe,
}

/// A column: its name is stable.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// Small letters, figures and `_`, with its unit where it has one: `minutes_on_site`.
    pub name: &'static str,
    /// What its cells are.
    pub kind: Kind,
    /// Whether each row has one.
    pub presence: Presence,
    /// In words, without a full stop.
    pub meaning: &'static str,
}

impl Column {
    /// A column in which every row has a value.
    pub const fn always(name: &'static str, kind: Kind, meaning: &'static str) -> Self {
        Column {
            name,
            kind,
            presence: Presence::Always,
            meaning,
        }
    }

    /// A column in which a row may have none.
    pub const fn maybe(name: &'static str, kind: Kind, meaning: &'static str) -> Self {
        Column {
            name,
            kind,
            presence: Presence::Maybe,
            meaning,
        }
    }
}

/// Columns that name a row of another table by that table's key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Refers {
    /// Columns here.
    pub columns: &'static [&'static str],
    /// The other table.
    pub table: &'static str,
    /// Columns there: its key.
    pub there: &'static [&'static str],
}

/// What a table holds. Its name is stable, and so is the order of its columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Schema {
    /// Small letters and `_`.
    pub name: &'static str,
    /// What one row is, without a full stop.
    pub row: &'static str,
    /// The columns that tell its rows apart; also their order.
    pub key: &'static [&'static str],
    /// Where it leads.
    pub refers: &'static [Refers],
    /// In their order.
    pub columns: &'static [Column],
}

/// A table with its rows in order.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// What it holds.
    pub schema: &'static Schema,
    rows: Vec<Vec<Cell>>,
}

// Invariant: every row has a cell for each column, of the column's kind.
impl Table {
    /// An empty table.
    pub fn new(schema: &'static Schema) -> Self {
        Table {
            schema,
            rows: Vec::new(),
        }
    }

    /// Its rows, a cell for each column.
    pub fn rows(&self) -> &[Vec<Cell>] {
        &self.rows
    }

    /// Adds a row.
    ///
    /// # Panics
    /// The row does not fit the columns, which is a mistake of the program and of no diary.
    pub fn push(&mut self, row: Vec<Cell>) {
        let columns = self.schema.columns;
        assert_eq!(row.len(), columns.len(), "a row of {}", self.schema.name);
        for (column, cell) in columns.iter().zip(&row) {
            let fits = column.kind.takes(cell)
                && (*cell != Cell::Nothing || column.presence == Presence::Maybe);
            assert!(fits, "{}.{} of a row", self.schema.name, column.name);
        }
        self.rows.push(row);
    }
}

impl Cell {
    /// A text of a column that always has one: as it is written, and be it empty.
    pub fn written(text: &str) -> Self {
        Cell::Text(text.to_owned())
    }
}

/// Turns a value into its cell, and the same value at a place of the diary into the same cell.
macro_rules! cells {
    ($($from:ty => |$value:ident| $cell:expr;)*) => {
        $(
            impl From<$from> for Cell {
                fn from($value: $from) -> Self {
                    $cell
                }
            }

            impl From<&At<$from>> for Cell {
                fn from(at: &At<$from>) -> Self {
                    Cell::from(at.value)
                }
            }
        )*
    };
}

cells! {
    i64 => |number| Cell::Whole(number);
    u32 => |number| Cell::Whole(i64::from(number));
    usize => |number| Cell::Whole(i64::try_from(number).unwrap_or(i64::MAX));
    f64 => |number| Cell::Number(number);
    bool => |truth| Cell::Truth(truth);
    Money => |money| Cell::Money(money);
    Minutes => |minutes| Cell::Whole(minutes.get());
    Date => |date| Cell::Text(date.to_string());
}

/// A text without the spaces round it; nothing where no more is left.
impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        match text.trim() {
            "" => Cell::Nothing,
            text => Cell::Text(text.to_owned()),
        }
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Cell::from(text.as_str())
    }
}

impl From<&String> for Cell {
    fn from(text: &String) -> Self {
        Cell::from(text.as_str())
    }
}

impl From<&At<String>> for Cell {
    fn from(at: &At<String>) -> Self {
        Cell::from(&at.value)
    }
}

impl<T> From<Option<T>> for Cell
where
    Cell: From<T>,
{
    fn from(value: Option<T>) -> Self {
        value.map_or(Cell::Nothing, Cell::from)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SCHEMA: Schema = Schema {
        name: "things",
        row: "A thing",
        key: &["thing"],
        refers: &[],
        columns: &[
            Column::always("thing", Kind::Whole, "Its number"),
            Column::maybe("word", Kind::Text, "Its word"),
        ],
    };

    #[test]
    fn a_text_of_spaces_is_nothing() {
        assert_eq!(Cell::from("  "), Cell::Nothing);
        assert_eq!(Cell::from(" a "), Cell::Text("a".to_owned()));
        assert_eq!(Cell::from(None::<String>), Cell::Nothing);
    }

    #[test]
    fn a_column_takes_cells_of_its_own_kind_and_nothing() {
        use Kind::{Clock, Date, Money, Month, Number, Text, Truth, Whole, Word};
        const KINDS: [Kind; 9] = [Text, Word, Date, Month, Clock, Whole, Number, Money, Truth];
        for (cell, kinds) in [
            (Cell::Nothing, &KINDS[..]),
            (Cell::Whole(1), &[Whole]),
            (Cell::Number(1.5), &[Number]),
            (Cell::from("a"), &[Text, Word, Date, Month, Clock]),
            (Cell::Money(crate::model::Money::NOUGHT), &[Money]),
            (Cell::Truth(true), &[Truth]),
        ] {
            for kind in KINDS {
                assert_eq!(
                    kind.takes(&cell),
                    kinds.contains(&kind),
                    "{kind:?} {cell:?}"
                );
            }
        }
    }

    #[test]
    fn a_row_fits_its_columns() {
        let mut table = Table::new(&SCHEMA);
        table.push(vec![Cell::Whole(1), Cell::Nothing]);
        assert_eq!(table.rows().len(), 1);
    }

    #[test]
    #[should_panic(expected = "things.thing")]
    fn a_row_without_what_each_has_is_refused() {
        Table::new(&SCHEMA).push(vec![Cell::Nothing, Cell::Nothing]);
    }
}
