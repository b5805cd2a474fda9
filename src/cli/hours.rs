//! `daywork hours`: how long each type of task takes.

use clap::Args;
use jiff::civil::Date;

use crate::office::hours;

use super::{Exit, Failure, Shared, read_date};

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
    shared.report(
        |diary, as_of| hours::hours(diary, args.from, args.to, as_of),
        |report, _| hours::text(report),
    )
}
