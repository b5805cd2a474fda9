//! `daywork cover`: guarantees running, call-backs, and what to put aside.

use clap::Args;

use crate::office::cover;

use super::{Exit, Failure, Reported};

/// The arguments of `cover`.
#[derive(Debug, Args)]
pub struct CoverArgs {
    #[command(flatten)]
    reported: Reported,
}

/// Runs the command.
pub fn run(args: &CoverArgs) -> Result<Exit, Failure> {
    args.reported.report(cover::cover, |report, diary| {
        cover::text(report, &diary.settings.rates.in_office().currency)
    })
}
