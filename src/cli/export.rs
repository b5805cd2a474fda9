//! `daywork export`: the record as CSV, JSON or an SQLite database; its observations as Parquet.

use std::fmt::Write as _;
use std::io;
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use crate::model::table::Table;
use crate::office::export;
use crate::pages::tables::{self, Form, FormError, Made};
use crate::press::{self, ExportFile};
use crate::public::Gate;
use crate::public::anonymous::{self, Anonymous};

use super::{Exit, Failure, Shared, has_errors, plural};

/// The arguments of `export`.
#[derive(Debug, Args)]
pub struct ExportArgs {
    /// The form to write
    #[arg(long, value_enum, value_name = "FORM")]
    to: To,
    /// Leave out whatever is private: for others to reckon with
    #[arg(long)]
    anonymous: bool,
    /// The file to write, or the folder for CSV; otherwise in out/export/ of the diary
    #[arg(long, value_name = "FILE-or-DIR")]
    out: Option<PathBuf>,
    #[command(flatten)]
    shared: Shared,
}

/// The form of an export.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum To {
    /// A file of comma-separated values for each table
    Csv,
    /// One file
    Json,
    /// One database
    Sqlite,
    /// The observations alone, a folder for each task type, to be pooled with others'; wants --anonymous
    Parquet,
}

impl To {
    /// The form of all tables; Parquet holds one alone.
    fn form(self) -> Option<Form> {
        match self {
            To::Csv => Some(Form::Csv),
            To::Json => Some(Form::Json),
            To::Sqlite => Some(Form::Sqlite),
            To::Parquet => None,
        }
    }
}

/// What is exported, and what is said of it.
struct Exported {
    tables: Vec<Table>,
    said: String,
}

/// Runs the command.
pub fn run(args: &ExportArgs) -> Result<Exit, Failure> {
    let shared = &args.shared;
    let as_of = shared.day();
    if args.to == To::Parquet && !args.anonymous {
        return Err(Failure::Usage(
            "--to parquet is for pooling with others, so it wants --anonymous. For yourself there are csv, json and sqlite"
                .to_owned(),
        ));
    }
    let folder = shared.folder()?;
    let mut read = shared.read()?;
    if has_errors(&read.diagnostics) {
        shared.tell(&read.diagnostics, &read.sources)?;
        return Ok(Exit::DiaryHasErrors);
    }
    // The gate knows the words of every job, also of those that have not begun.
    let gate = args
        .anonymous
        .then(|| Gate::new(&read.diary, &read.sources));
    read.diary.keep_up_to(as_of);
    let diary = &read.diary;
    let jobs = format!("{} up to {as_of}", plural(diary.jobs.len(), "job"));
    let exported = match gate {
        None => Exported {
            tables: export::tables(diary, as_of),
            said: format!(
                "Exported {jobs}, private things too: keep it in the office. For others there is --anonymous."
            ),
        },
        Some(gate) => {
            let timed = export::timed(diary, as_of);
            let made = anonymous::export(diary, &timed, as_of, &gate);
            let said = said_of(&made, &jobs, diary.jobs.len());
            Exported {
                tables: made.tables,
                said,
            }
        }
    };
    let Some(form) = args.to.form() else {
        return pooled(args, &folder, &exported);
    };
    let made = tables::files(&exported.tables, form).map_err(|error| failed(error, "SQLite"))?;
    let files = files(args, &folder, made);
    press::export(&files, &|file, there| {
        // What stands in the diary's own out/export is an export, whatever version of this program wrote it.
        args.out.is_none() || tables::is_own(form, &file.bytes, there)
    })?;
    shared.print(&summary(&exported, &files))?;
    Ok(Exit::Done)
}

/// Writes the observations as Parquet, a folder for each task type.
fn pooled(args: &ExportArgs, diary: &Path, exported: &Exported) -> Result<Exit, Failure> {
    const BY: &str = "task";
    let table = exported
        .tables
        .iter()
        .find(|table| table.schema.name == "observations")
        .expect("the anonymous export has observations");
    let folder = match &args.out {
        Some(out) => out.clone(),
        None => diary.join("out").join("export").join("anonymous-parquet"),
    };
    let folder = folder.join(table.schema.name);
    let files: Vec<ExportFile> = tables::parquet(table, BY)
        .map_err(|error| failed(error, "Parquet"))?
        .into_iter()
        .map(|(part, bytes)| ExportFile {
            path: folder.join(part).join("part.parquet"),
            bytes,
        })
        .collect();
    press::export(&files, &|_, there| tables::is_own_parquet(there))?;
    press::sweep_export(&folder, &files, &tables::is_own_parquet)?;
    args.shared.print(&format!(
        "{}\nWrote {} of {} into {}.\n",
        exported.said,
        plural(table.rows().len(), "observation"),
        plural(files.len(), "task type"),
        folder.display()
    ))?;
    Ok(Exit::Done)
}

fn failed(error: FormError, name: &str) -> Failure {
    match error {
        FormError::LeftOut => Failure::Usage(format!(
            "this daywork was built without {name}. Take --to csv or --to json, or build it with its feature {}",
            name.to_lowercase()
        )),
        FormError::Library(words) => Failure::Io {
            doing: "making the file".to_owned(),
            cause: io::Error::other(words),
        },
    }
}

/// Each file with its place. The two kinds of export have different names, so that neither is taken for the other.
fn files(args: &ExportArgs, diary: &Path, made: Vec<Made>) -> Vec<ExportFile> {
    let kind = if args.anonymous {
        "anonymous"
    } else {
        "record"
    };
    let own = diary.join("out").join("export");
    let place = |table: Option<&str>| match (table, args.to, &args.out) {
        (Some(table), _, Some(out)) => out.join(format!("{table}.csv")),
        (Some(table), _, None) => own.join(format!("{kind}-csv")).join(format!("{table}.csv")),
        (None, to, out) => {
            let end = if to == To::Json { "json" } else { "sqlite" };
            let name = format!("{kind}.{end}");
            match out {
                Some(out) => press::export_place(out, &name),
                None => own.join(name),
            }
        }
    };
    made.into_iter()
        .map(|made| ExportFile {
            path: place(made.table),
            bytes: made.bytes,
        })
        .collect()
}

fn said_of(made: &Anonymous, jobs: &str, all: usize) -> String {
    let others = all - made.with_words;
    let held = match made.held {
        0 => String::new(),
        1 => " One text holds a private word and was left out.".to_owned(),
        held => format!(" {held} texts hold a private word and were left out."),
    };
    format!(
        "Exported {jobs} without refs, clients, places, dates (but the month), names, amounts and notes.\n\
         Titles, findings and materials are those of the {} that readers may see; of the other {others}, figures \
         alone.{held}",
        plural(made.with_words, "job")
    )
}

/// What was written where, and how many rows.
fn summary(exported: &Exported, files: &[ExportFile]) -> String {
    let mut text = String::new();
    let mut say = |line: &str| writeln!(text, "{line}").expect("writing to a String");
    say(&exported.said);
    let rows = |table: &Table| plural(table.rows().len(), "row");
    match files {
        [file] => {
            say(&format!("Wrote {}:", file.path.display()));
            for table in &exported.tables {
                say(&format!("  {:<14}{}", table.schema.name, rows(table)));
            }
        }
        files => {
            say("Wrote:");
            for (file, table) in files.iter().zip(&exported.tables) {
                say(&format!("  {}  {}", file.path.display(), rows(table)));
            }
        }
    }
    text
}
