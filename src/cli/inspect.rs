//! `daywork inspect`: checks everything, writes nothing.

use crate::diagnose::{self, json, text};

use super::{Exit, Failure, Format, Shared, has_errors, plural, press};

/// Runs the command. The report goes to standard output: it is what was asked for.
pub fn run(shared: &Shared) -> Result<Exit, Failure> {
    let mut read = shared.read()?;
    if !has_errors(&read.diagnostics) {
        let more = press::faults(&read, shared.day());
        read.diagnostics.extend(more);
        diagnose::put_in_order(&mut read.diagnostics, &read.sources);
    }
    match shared.format {
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
