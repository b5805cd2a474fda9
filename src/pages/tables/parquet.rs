//! One table as Parquet files (Apache Parquet format 2), a file for each value of one of its columns.
//!
//! Engines that read a folder of such files take the value from the folder's name, `task=socket`, so the column is not
//! in the files. Nothing is compressed: an observation is a few bytes.

use std::collections::BTreeMap;
use std::sync::Arc;

use parquet::basic::{LogicalType, Repetition, Type as Physical};
use parquet::data_type::{BoolType, ByteArray, ByteArrayType, DataType, DoubleType, Int64Type};
use parquet::errors::{ParquetError, Result};
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedColumnWriter, SerializedFileWriter};
use parquet::schema::types::{Type, TypePtr};

use crate::model::table::{Cell, Column, Kind, Presence, Table};

/// What stands in the folder's name for rows without a value: the convention of Apache Hive, which other engines keep.
const WITHOUT: &str = "__HIVE_DEFAULT_PARTITION__";
/// Places after the point of an amount.
const DECIMALS: i32 = 2;
/// Figures of an amount: what 64 bits hold.
const FIGURES: i32 = 18;

/// The files: the folder's name of each value of the column `by`, and the bytes of its file.
pub(super) fn parts(table: &Table, by: &str, made_by: &str) -> Result<Vec<(String, Vec<u8>)>> {
    let columns = table.schema.columns;
    let at = columns
        .iter()
        .position(|column| column.name == by)
        .ok_or_else(|| ParquetError::General(format!("there is no column {by}")))?;
    let mut rows: BTreeMap<&str, Vec<&[Cell]>> = BTreeMap::new();
    for row in table.rows() {
        let value = match &row[at] {
            Cell::Text(text) => text,
            _ => WITHOUT,
        };
        rows.entry(value).or_default().push(row);
    }
    let kept: Vec<(usize, &Column)> = columns
        .iter()
        .enumerate()
        .filter(|(index, _)| *index != at)
        .collect();
    let schema = schema(table.schema.name, &kept)?;
    let properties = Arc::new(
        WriterProperties::builder()
            .set_created_by(made_by.to_owned())
            .build(),
    );
    rows.into_iter()
        .map(|(value, rows)| {
            let mut file =
                SerializedFileWriter::new(Vec::new(), schema.clone(), properties.clone())?;
            let mut group = file.next_row_group()?;
            for (index, column) in &kept {
                let cells: Vec<&Cell> = rows.iter().map(|row| &row[*index]).collect();
                let mut writer = group.next_column()?.ok_or_else(|| {
                    ParquetError::General(format!("there is no place for {}", column.name))
                })?;
                write(&mut writer, column, &cells)?;
                writer.close()?;
            }
            group.close()?;
            Ok((format!("{by}={value}"), file.into_inner()?))
        })
        .collect()
}

fn schema(name: &str, columns: &[(usize, &Column)]) -> Result<TypePtr> {
    let fields = columns
        .iter()
        .map(|(_, column)| {
            let (physical, logical) = stored_as(column.kind);
            let repetition = match column.presence {
                Presence::Always => Repetition::REQUIRED,
                Presence::Maybe => Repetition::OPTIONAL,
            };
            let mut field = Type::primitive_type_builder(column.name, physical)
                .with_repetition(repetition)
                .with_logical_type(logical);
            if column.kind == Kind::Money {
                field = field.with_precision(FIGURES).with_scale(DECIMALS);
            }
            field.build().map(Arc::new)
        })
        .collect::<Result<Vec<_>>>()?;
    let whole = Type::group_type_builder(name).with_fields(fields).build()?;
    Ok(Arc::new(whole))
}

fn stored_as(kind: Kind) -> (Physical, Option<LogicalType>) {
    match kind {
        Kind::Text | Kind::Word | Kind::Date | Kind::Month | Kind::Clock => {
            (Physical::BYTE_ARRAY, Some(LogicalType::String))
        }
        Kind::Whole => (Physical::INT64, None),
        Kind::Money => (
            Physical::INT64,
            Some(LogicalType::decimal(DECIMALS, FIGURES)),
        ),
        Kind::Number => (Physical::DOUBLE, None),
        Kind::Truth => (Physical::BOOLEAN, None),
    }
}

fn write(writer: &mut SerializedColumnWriter<'_>, column: &Column, cells: &[&Cell]) -> Result<()> {
    match column.kind {
        Kind::Text | Kind::Word | Kind::Date | Kind::Month | Kind::Clock => {
            values::<ByteArrayType>(writer, column, cells, |cell| match cell {
                Cell::Text(text) => Some(ByteArray::from(text.as_str())),
                _ => None,
            })
        }
        Kind::Whole | Kind::Money => {
            values::<Int64Type>(writer, column, cells, |cell| match cell {
                Cell::Whole(whole) => Some(*whole),
                Cell::Money(money) => Some(money.pence()),
                _ => None,
            })
        }
        Kind::Number => values::<DoubleType>(writer, column, cells, |cell| match cell {
            Cell::Number(number) => Some(*number),
            _ => None,
        }),
        Kind::Truth => values::<BoolType>(writer, column, cells, |cell| match cell {
            Cell::Truth(truth) => Some(*truth),
            _ => None,
        }),
    }
}

/// Writes the values there are, and of a column that may be without one which rows have it.
fn values<T: DataType>(
    writer: &mut SerializedColumnWriter<'_>,
    column: &Column,
    cells: &[&Cell],
    value: fn(&Cell) -> Option<T::T>,
) -> Result<()> {
    let all: Vec<Option<T::T>> = cells.iter().map(|cell| value(cell)).collect();
    let there: Vec<i16> = all.iter().map(|value| i16::from(value.is_some())).collect();
    let all: Vec<T::T> = all.into_iter().flatten().collect();
    let there = (column.presence == Presence::Maybe).then_some(there.as_slice());
    writer.typed::<T>().write_batch(&all, there, None)?;
    Ok(())
}
