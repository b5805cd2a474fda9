//! `daywork hours`: how long each type of task takes.

use clap::Args;
use jiff::civil::Date;

use crate::office::hours;

use super::{Exit, Failure, Format, Shared, has_errors, read_date};

/// The arguments of `hours`.
#[derive(Debug, Args)]
pub struct HoursArgs {
    /// First day of the span; otherwise the beginning of the record
    #[arg(long, value_name = "DATE", value_parser = read_date)]
    from: Option<Date>,
    /// Last day of the span; otherwise the last visit up to the day to reckon by
    #[arg(long, value_name = "DATE", value_parser = read_date)]
    to: Option<Date>,
}

/// Runs the command.
pub fn run(shared: &Shared, args: &HoursArgs) -> Result<Exit, Failure> {
    if let (Some(from), Some(to)) = (args.from, args.to)
        && from > to
    {
        return Err(Failure::Usage(format!(
            "--from {from} is after --to {to}. Swap the two"
        )));
    }
    let read = shared.read()?;
    if has_errors(&read.diagnostics) {
        shared.tell(&read.diagnostics, &read.sources)?;
        return Ok(Exit::DiaryHasErrors);
    }
    let report = hours::hours(&read.diary, args.from, args.to, shared.day());
    let text = match shared.format {
        Format::Json => {
            let mut text = serde_json::to_string_pretty(&report)
                .expect("a report of texts and numbers serializes");
            text.push('\n');
            text
        }
        Format::Text => hours::text(&report),
    };
    shared.print(&text)?;
    Ok(Exit::Done)
}
