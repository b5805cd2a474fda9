//! `daywork cover`: guarantees running, call-backs, and what to put aside.

use crate::office::cover;

use super::{Exit, Failure, Shared};

/// Runs the command.
pub fn run(shared: &Shared) -> Result<Exit, Failure> {
    shared.report(cover::cover, |report, diary| {
        cover::text(report, &diary.settings.rates.in_office().currency)
    })
}
