//! `daywork rates`: what the year must earn an hour, and what it did earn.

use clap::Args;

use crate::office::rates::{self, Asked, WhatIf};

use super::{Days, Exit, Failure, Reported, back_test};

/// The arguments of `rates`. Without --from and --to: the latest year of diary.yaml.
#[derive(Debug, Args)]
pub struct RatesArgs {
    #[command(flatten)]
    days: Days,
    /// Change an input for this run, such as hour=45.00; again for each
    #[arg(long, value_name = "KEY=VALUE", value_parser = WhatIf::from_text)]
    what_if: Vec<WhatIf>,
    /// Try such prices on the past jobs now, whatever the last press kept of it
    #[arg(long)]
    back_test: bool,
    #[command(flatten)]
    reported: Reported,
}

/// Runs the command.
pub fn run(args: &RatesArgs) -> Result<Exit, Failure> {
    let asked = match args.days.in_order()? {
        Days {
            from: None,
            to: None,
        } => Asked::Year,
        Days { from, to } => Asked::Span {
            from: *from,
            to: *to,
        },
    };
    args.reported.report(
        |diary, as_of| {
            let mut report = rates::rates(diary, asked, &args.what_if, as_of);
            report.back_test =
                back_test::known(&args.reported.shared, diary, as_of, args.back_test);
            report
        },
        |report, diary| rates::text(report, &diary.settings.rates.in_office().currency),
    )
}
