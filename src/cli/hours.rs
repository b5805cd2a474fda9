//! `daywork hours`: how long each type of task takes.

use clap::Args;

use crate::office::hours;

use super::{Days, Exit, Failure, Reported};

/// The arguments of `hours`.
#[derive(Debug, Args)]
pub struct HoursArgs {
    #[command(flatten)]
    days: Days,
    #[command(flatten)]
    reported: Reported,
}

/// Runs the command.
pub fn run(args: &HoursArgs) -> Result<Exit, Failure> {
    let days = args.days.in_order()?;
    args.reported.report(
        |diary, as_of| hours::hours(diary, days.from, days.to, as_of),
        |report, _| hours::text(report),
    )
}
