//! Tables to bytes: CSV, JSON, SQLite and Parquet. A form is a file of this folder and a variant of [`Form`].
//!
//! The same tables give the same bytes. Nothing here knows what a table is about.

mod csv;
mod json;
#[cfg(feature = "parquet")]
mod parquet;
#[cfg(feature = "sqlite")]
mod sqlite;

use crate::model::table::Table;

/// The form that tables are written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// A file of comma-separated values for each table.
    Csv,
    /// One file, every row an object.
    Json,
    /// One database.
    Sqlite,
}

/// A file that was made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Made {
    /// The table it holds; `None` where it holds them all.
    pub table: Option<&'static str>,
    /// All of it.
    pub bytes: Vec<u8>,
}

/// Why tables could not be written in a form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FormError {
    /// This program was built without it.
    LeftOut,
    /// The library's own words: no memory, most likely.
    Library(String),
}

/// Writes tables in a form: a file for each table, or one for all.
///
/// # Errors
/// SQLite alone can fail, and is left out where the program was built without its feature.
pub fn files(tables: &[Table], form: Form) -> Result<Vec<Made>, FormError> {
    let whole = |bytes| Made { table: None, bytes };
    match form {
        Form::Csv => Ok(tables
            .iter()
            .map(|table| Made {
                table: Some(table.schema.name),
                bytes: csv::bytes(table),
            })
            .collect()),
        Form::Json => Ok(vec![whole(json::bytes(tables))]),
        #[cfg(feature = "sqlite")]
        Form::Sqlite => match sqlite::bytes(tables) {
            Ok(bytes) => Ok(vec![whole(bytes)]),
            Err(error) => Err(FormError::Library(error.to_string())),
        },
        #[cfg(not(feature = "sqlite"))]
        Form::Sqlite => Err(FormError::LeftOut),
    }
}

/// One table as Parquet files: the folder's name of each value of the column `by`, and the bytes of its file.
///
/// # Errors
/// The program was built without its feature, or the table has no such column.
pub fn parquet(table: &Table, by: &str) -> Result<Vec<(String, Vec<u8>)>, FormError> {
    #[cfg(feature = "parquet")]
    return parquet::parts(table, by, PARQUET_BY)
        .map_err(|error| FormError::Library(error.to_string()));
    #[cfg(not(feature = "parquet"))]
    {
        let _ = (table, by);
        Err(FormError::LeftOut)
    }
}

/// Whether a file is Parquet that this program wrote, whatever its version.
pub fn is_own_parquet(there: &[u8]) -> bool {
    let name = b"daywork version ";
    there.starts_with(b"PAR1") && there.windows(name.len()).any(|at| at == name)
}

/// Who made a Parquet file, as its end says.
#[cfg(feature = "parquet")]
const PARQUET_BY: &str = concat!("daywork version ", env!("CARGO_PKG_VERSION"));

/// Whether what stands at a file's path is an export in the same form, of this program and of the same tables: what may
/// be written over.
pub fn is_own(form: Form, made: &[u8], there: &[u8]) -> bool {
    match form {
        // Its header names every column, and no two tables have the same.
        Form::Csv => first_line(there) == first_line(made),
        Form::Json => there.starts_with(json::HEAD.as_bytes()),
        Form::Sqlite => {
            there.starts_with(b"SQLite format 3\0")
                && there.get(68..72) == Some(&APPLICATION.to_be_bytes())
        }
    }
}

/// `DAYW`: how a database says whose it is.
const APPLICATION: u32 = 0x4441_5957;

fn first_line(bytes: &[u8]) -> &[u8] {
    bytes
        .split_inclusive(|byte| *byte == b'\n')
        .next()
        .unwrap_or_default()
}

/// A number as briefly as it can be read back: `24`, `1.5`.
fn number(number: f64) -> String {
    format!("{number}")
}
