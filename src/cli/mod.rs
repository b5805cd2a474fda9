//! The command line: reads arguments, calls, prints. The only room that asks the clock or the terminal.

mod at_once;
mod back_test;
mod cover;
mod exit;
mod export;
mod handover;
mod hours;
mod inspect;
mod jot;
mod manual;
mod press;
mod price;
mod proof;
mod rates;
mod start;
mod usage;
mod waiting;

use std::io::{self, Write};
use std::path::PathBuf;

use anstream::AutoStream;
use clap::{Args, CommandFactory, Parser, Subcommand, ValueEnum};
use jiff::civil::Date;
use serde::Serialize;

use crate::diagnose::text::{self, Colour};
use crate::diagnose::{self, Diagnostic, Sources};
use crate::diary::{self, Read, dates, store};
use crate::model::Diary;
use crate::rules;

pub use exit::{Exit, Failure};

/// An electrician's job diary: logs in, a public site and a private office book out.
#[derive(Debug, Parser)]
#[command(name = "daywork", version, arg_required_else_help = true)]
struct Command {
    #[command(subcommand)]
    action: Action,
}

/// What every command takes that reads a diary.
#[derive(Debug, Args)]
struct Shared {
    /// The diary's folder; otherwise the nearest folder upwards with a diary.yaml
    #[arg(long, value_name = "DIR")]
    diary: Option<PathBuf>,
    /// The day to reckon by, such as 2026-03-20; otherwise today
    #[arg(long, value_name = "DATE", value_parser = read_date)]
    as_of: Option<Date>,
    /// Whether to colour what is printed
    #[arg(long, value_enum, default_value_t = When::Auto)]
    colour: When,
}

/// What every command takes, besides, that prints a report.
#[derive(Debug, Args)]
struct Printed {
    /// How the report is printed
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

/// The span of a report.
#[derive(Debug, Args)]
struct Days {
    /// First day of the span; otherwise the beginning of the record
    #[arg(long, value_name = "DATE", value_parser = read_date)]
    from: Option<Date>,
    /// Last day of the span; otherwise the last visit up to the day to reckon by
    #[arg(long, value_name = "DATE", value_parser = read_date)]
    to: Option<Date>,
}

impl Days {
    /// The span itself, where it does not end before it begins.
    fn in_order(&self) -> Result<&Self, Failure> {
        match (self.from, self.to) {
            (Some(from), Some(to)) if from > to => Err(Failure::Usage(format!(
                "--from {from} is after --to {to}. Swap the two"
            ))),
            _ => Ok(self),
        }
    }
}

/// What every report takes.
#[derive(Debug, Args)]
struct Reported {
    #[command(flatten)]
    shared: Shared,
    #[command(flatten)]
    printed: Printed,
}

impl Reported {
    /// Reads the diary, reckons a report and prints it; a diary with errors is told instead.
    fn report<R: Serialize>(
        &self,
        reckon: impl FnOnce(&Diary, Date) -> R,
        text: impl FnOnce(&R, &Diary) -> String,
    ) -> Result<Exit, Failure> {
        let shared = &self.shared;
        let read = shared.read()?;
        if has_errors(&read.diagnostics) {
            shared.tell(&read.diagnostics, &read.sources)?;
            return Ok(Exit::DiaryHasErrors);
        }
        let report = waiting::at("Reckoning", || reckon(&read.diary, shared.day()));
        self.print(&report, |report| text(report, &read.diary))?;
        Ok(Exit::Done)
    }

    /// Prints a report as text or as JSON.
    fn print<R: Serialize>(
        &self,
        report: &R,
        text: impl FnOnce(&R) -> String,
    ) -> Result<(), Failure> {
        let printed = match self.printed.format {
            Format::Json => {
                let mut text = serde_json::to_string_pretty(report)
                    .expect("a report of texts and numbers serializes");
                text.push('\n');
                text
            }
            Format::Text => text(report),
        };
        self.shared.print(&printed)
    }
}

/// The form of a report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For people
    Text,
    /// For machines
    Json,
}

/// When colour is used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum When {
    /// On a terminal that takes it
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

#[derive(Debug, Subcommand)]
enum Action {
    /// Make a new diary that presses clean
    Start(start::StartArgs),
    /// Turn phone notes into job logs
    Jot(jot::JotArgs),
    /// Check everything, write nothing
    Inspect(inspect::InspectArgs),
    /// Compile the diary into out/: the site and the office book
    Press(press::PressArgs),
    /// Press, show it on this machine, and press again on every save
    Proof(proof::ProofArgs),
    /// How long each type of task takes
    Hours(hours::HoursArgs),
    /// What the year must earn an hour, and what it did earn
    Rates(rates::RatesArgs),
    /// Price a new job from this diary's own record
    Price(price::PriceArgs),
    /// Guarantees running, call-backs, and what to put aside
    Cover(cover::CoverArgs),
    /// The client's paperwork for a job
    Handover(handover::HandoverArgs),
    /// The record as CSV, JSON or an SQLite database
    Export(export::ExportArgs),
    /// Man pages, and completions for the shells, into a folder
    Manual(manual::ManualArgs),
}

/// Runs the program on the machine's arguments and says how it ended.
pub fn run() -> Exit {
    let command = match Command::try_parse() {
        Ok(command) => command,
        Err(error) => return usage::tell(&error, &Command::command()),
    };
    let result = match command.action {
        Action::Start(args) => start::run(&args),
        Action::Jot(args) => jot::run(&args),
        Action::Inspect(args) => inspect::run(&args),
        Action::Press(args) => press::run(&args),
        Action::Proof(args) => proof::run(&args),
        Action::Hours(args) => hours::run(&args),
        Action::Rates(args) => rates::run(&args),
        Action::Price(args) => price::run(&args),
        Action::Cover(args) => cover::run(&args),
        Action::Handover(args) => handover::run(&args),
        Action::Export(args) => export::run(&args),
        Action::Manual(args) => manual::run(&args),
    };
    match result {
        Ok(exit) => exit,
        Err(failure) if failure.is_closed_pipe() => Exit::Done,
        Err(failure) => {
            let mut err = io::stderr().lock();
            // There is nowhere left to say that standard error is closed.
            let _ = writeln!(err, "{failure}.");
            failure.exit()
        }
    }
}

/// Prints what was done on standard output.
fn print_plain(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    out.write_all(text.as_bytes())
        .and_then(|()| out.flush())
        .map_err(Failure::output)
}

fn read_date(text: &str) -> Result<Date, String> {
    dates::read(text).map_err(|(what, help)| format!("{what}. {help}"))
}

impl Shared {
    /// The day to reckon by.
    fn day(&self) -> Date {
        self.as_of
            .unwrap_or_else(|| jiff::ZonedDateTime::now().date())
    }

    /// The day by the clock, where it is the day to reckon by.
    fn clock(&self) -> Option<Date> {
        self.as_of.is_none().then(|| self.day())
    }

    /// The diary's folder.
    fn folder(&self) -> Result<PathBuf, Failure> {
        let here = std::env::current_dir().map_err(Failure::here)?;
        Ok(store::find(self.diary.as_deref(), &here)?)
    }

    /// Reads the diary and what the rules say of it, in the order of telling.
    fn read(&self) -> Result<Read, Failure> {
        let folder = self.folder()?;
        waiting::at("Reading the diary", || {
            Ok(self.looked_over(diary::read(&folder)?))
        })
    }

    /// A diary that was read, with what the rules say of it, in the order of telling.
    fn looked_over(&self, mut read: Read) -> Read {
        let more = rules::check(&read.diary, self.day());
        read.diagnostics.extend(more);
        diagnose::put_in_order(&mut read.diagnostics, &read.sources);
        read
    }

    fn colour_choice(&self) -> anstream::ColorChoice {
        match self.colour {
            When::Auto => anstream::ColorChoice::Auto,
            When::Always => anstream::ColorChoice::AlwaysAnsi,
            When::Never => anstream::ColorChoice::Never,
        }
    }

    /// Prints a report on standard output.
    fn print(&self, report: &str) -> Result<(), Failure> {
        let mut out = AutoStream::new(io::stdout(), self.colour_choice());
        out.write_all(report.as_bytes())
            .and_then(|()| out.flush())
            .map_err(Failure::output)
    }

    /// Prints diagnostics on standard error.
    fn tell(&self, diagnostics: &[Diagnostic], sources: &Sources) -> Result<(), Failure> {
        self.tell_text(&text::render(diagnostics, sources, Colour::Ansi))
    }

    /// Prints a text with its own line ends on standard error.
    fn tell_text(&self, text: &str) -> Result<(), Failure> {
        let mut err = AutoStream::new(io::stderr(), self.colour_choice());
        err.write_all(text.as_bytes()).map_err(Failure::output)
    }

    /// Prints one line on standard error.
    fn tell_line(&self, line: &str) -> Result<(), Failure> {
        let mut err = AutoStream::new(io::stderr(), self.colour_choice());
        writeln!(err, "{line}").map_err(Failure::output)
    }
}

/// Whether any of these stops every command but `inspect`.
fn has_errors(diagnostics: &[Diagnostic]) -> bool {
    diagnostics
        .iter()
        .any(|d| d.level == diagnose::Level::Error)
}

/// `1 job`, `3 jobs`.
fn plural(n: usize, word: &str) -> String {
    if n == 1 {
        format!("1 {word}")
    } else {
        format!("{n} {word}s")
    }
}
