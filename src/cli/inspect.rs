//! `daywork inspect`: checks everything, writes nothing.

use std::fmt::Write as _;
use std::time::{Duration, Instant};

use clap::Args;

use crate::diagnose::{self, json, text};
use crate::diary::pace::{self, Took};
use crate::diary::{Read, photo};

use super::{Exit, Failure, Format, Printed, Shared, has_errors, plural, press, waiting};

/// The arguments of `inspect`.
#[derive(Debug, Args)]
pub struct InspectArgs {
    /// Name the files that take longest to read, too
    #[arg(short, long)]
    verbose: bool,
    #[command(flatten)]
    shared: Shared,
    #[command(flatten)]
    printed: Printed,
}

/// Runs the command. The report goes to standard output: it is what was asked for.
pub fn run(args: &InspectArgs) -> Result<Exit, Failure> {
    let shared = &args.shared;
    let mut read = shared.read()?;
    waiting::at("Looking at the photos", || photo::look_at_all(&mut read));
    if !has_errors(&read.diagnostics) {
        let more = waiting::at("Looking at every page as readers see it", || {
            press::faults(&read, shared.day())
        });
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
            let pages = read.diary.pages.len() + read.diary.waiting.len();
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
    if args.verbose {
        let start = Instant::now();
        let took = waiting::at("Timing each file", || {
            pace::of_each(&read, &|| start.elapsed())
        });
        shared.tell_text(&slowest(&read, &took))?;
    }
    Ok(if has_errors(&read.diagnostics) {
        Exit::DiaryHasErrors
    } else {
        Exit::Done
    })
}

/// The files that took longest, and what all took together.
fn slowest(read: &Read, took: &[Took]) -> String {
    const SHOWN: usize = 10;
    let milliseconds = |time: Duration| time.as_secs_f64() * 1000.0;
    let all: Duration = took.iter().map(|took| took.time).sum();
    let mut text = format!(
        "{} read one after the other in {:.0} ms. The slowest:\n",
        plural(took.len(), "file"),
        milliseconds(all)
    );
    for took in took.iter().take(SHOWN) {
        writeln!(
            text,
            "{:>10.2} ms  {}",
            milliseconds(took.time),
            read.sources.path(took.file)
        )
        .expect("writing to a String");
    }
    text
}
