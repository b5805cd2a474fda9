//! `daywork inspect`: checks everything, writes nothing.

use clap::Args;

use crate::diagnose::{self, json, text};
use crate::diary::photo;

use super::{Exit, Failure, Format, Printed, Shared, has_errors, plural, press};

/// The arguments of `inspect`.
#[derive(Debug, Args)]
pub struct InspectArgs {
    #[command(flatten)]
    shared: Shared,
    #[command(flatten)]
    printed: Printed,
}

/// Runs the command. The report goes to standard output: it is what was asked for.
pub fn run(args: &InspectArgs) -> Result<Exit, Failure> {
    let shared = &args.shared;
    let mut read = shared.read()?;
    photo::look_at_all(&mut read);
    if !has_errors(&read.diagnostics) {
        let more = press::faults(&read, shared.day());
        read.diagnostics.extend(more);
        diagnose::put_in_order(&mut read.diagnostics, &read.sources);
    }
    match args.printed.format {
        Format::Json => {
            let report = json::report(&read.diagnostics, &read.sources);
            let text = serde_json::to_string_pretty(&report)
                .expect("a report of texts and numbers serializes");
            shared.print(&format!("{text}\n"))?;
        }
        Format::Text if read.diagnostics.is_empty() => {
            let jobs = read.diary.jobs.len();
            let pages = read.diary.pages.len();
            shared.print(&format!(
                "Nothing to mend in {} and {}.\n",
                plural(jobs, "job"),
                plural(pages, "page")
            ))?;
        }
        Format::Text => shared.print(&text::render(
            &read.diagnostics,
            &read.sources,
            text::Colour::Ansi,
        ))?,
    }
    Ok(if has_errors(&read.diagnostics) {
        Exit::DiaryHasErrors
    } else {
        Exit::Done
    })
}
