//! `daywork rates`: what the year must earn an hour, and what it did earn.

use clap::Args;
use jiff::civil::Date;

use crate::office::rates::{self, Asked, WhatIf};

use super::{Exit, Failure, Shared, read_date};

/// The arguments of `rates`.
#[derive(Debug, Args)]
pub struct RatesArgs {
    /// First day of the span; without --from and --to the latest year of diary.yaml
    #[arg(long, value_name = "DATE", value_parser = read_date)]
    from: Option<Date>,
    /// Last day of the span
    #[arg(long, value_name = "DATE", value_parser = read_date)]
    to: Option<Date>,
    /// Change an input for this run, such as hour=45.00; again for each
    #[arg(long, value_name = "KEY=VALUE", value_parser = WhatIf::from_text)]
    what_if: Vec<WhatIf>,
}

/// Runs the command.
pub fn run(shared: &Shared, args: &RatesArgs) -> Result<Exit, Failure> {
    let asked = match (args.from, args.to) {
        (None, None) => Asked::Year,
        (Some(from), Some(to)) if from > to => {
            return Err(Failure::Usage(format!(
                "--from {from} is after --to {to}. Swap the two"
            )));
        }
        (from, to) => Asked::Span { from, to },
    };
    shared.report(
        |diary, as_of| rates::rates(diary, asked, &args.what_if, as_of),
        |report, diary| rates::text(report, &diary.settings.rates.in_office().currency),
    )
}
