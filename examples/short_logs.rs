//! Writes the short private logs of the demo diary: four a month, from December 2023 to November 2026.
//!
//! `cargo run --example short_logs -- example-site` fills `jobs/YYYY/REF-slug.md`. The same diary gives the same
//! bytes on every run. It keeps off every day on which a log that it did not write has a visit, and off that log's
//! ref, and it replaces only files whose names begin with one of its own refs. It does not check what it wrote:
//! `daywork inspect` does.
//!
//! Times are drawn, not remembered: a task's usual minutes, times a job effect, a slow kind of place, a drift of
//! six per cent a year, and now and then a day that goes wrong. The tables are common practice, with no source.
#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "an example talks to whoever runs it"
)]

#[path = "short_logs/days.rs"]
mod days;
#[path = "short_logs/dice.rs"]
mod dice;
#[path = "short_logs/money.rs"]
mod money;
#[path = "short_logs/plan.rs"]
mod plan;
#[path = "short_logs/seen.rs"]
mod seen;
#[path = "short_logs/tables.rs"]
mod tables;
#[path = "short_logs/text.rs"]
mod text;
#[path = "short_logs/visits.rs"]
mod visits;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::{env, fs, io};

use days::Day;
use text::{slug, text_of};

fn main() -> ExitCode {
    let Some(diary) = env::args_os().nth(1).map(PathBuf::from) else {
        eprintln!("Say which diary: cargo run --example short_logs -- example-site");
        return ExitCode::from(2);
    };
    if !diary.join("diary.yaml").is_file() {
        eprintln!(
            "{}: no diary.yaml here, so this is no diary",
            diary.display()
        );
        return ExitCode::from(2);
    }
    match run(&diary) {
        Ok(written) => {
            println!(
                "{written} short logs written under {}",
                diary.join("jobs").display()
            );
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("{}: {error}", diary.display());
            ExitCode::from(3)
        }
    }
}

/// Plans every log, then takes away the old ones and writes the new; gives how many. `Err` is the disk's.
fn run(diary: &Path) -> io::Result<usize> {
    let mut own = Vec::new();
    let mut taken = BTreeSet::new();
    let mut refs = BTreeSet::new();
    for path in markdown_under(&diary.join("jobs"))? {
        let name = path
            .file_name()
            .and_then(|name| name.to_str())
            .unwrap_or("");
        if is_own(name) {
            own.push(path);
        } else {
            let text = fs::read_to_string(&path)?;
            taken.extend(days_in_front_matter(&text));
            refs.extend(
                text.lines()
                    .find_map(|line| line.strip_prefix("ref: "))
                    .map(|reference| reference.trim().to_owned()),
            );
        }
    }
    let jobs = plan::plan(&mut taken, &refs);
    for path in own {
        fs::remove_file(path)?;
    }
    for job in &jobs {
        let folder = diary.join("jobs").join(&job.reference[..4]);
        fs::create_dir_all(&folder)?;
        fs::write(
            folder.join(format!("{}-{}.md", job.reference, slug(&job.title))),
            text_of(job),
        )?;
    }
    Ok(jobs.len())
}

/// Every `.md` under a folder, in order of path; none if the folder is not there.
fn markdown_under(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut found = Vec::new();
    if !folder.is_dir() {
        return Ok(found);
    }
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            found.extend(markdown_under(&path)?);
        } else if path.extension().is_some_and(|ending| ending == "md") {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}

/// Whether a file name begins with a ref that is one of these: `2026-031-`, and no multiple of five.
fn is_own(name: &str) -> bool {
    let mut parts = name.splitn(3, '-');
    let (Some(year), Some(number), Some(_)) = (parts.next(), parts.next(), parts.next()) else {
        return false;
    };
    let digits = |text: &str, length: usize| {
        text.len() == length && text.bytes().all(|byte| byte.is_ascii_digit())
    };
    digits(year, 4) && digits(number, 3) && !number.ends_with(['0', '5'])
}

/// The days of every `date: YYYY-MM-DD` between the first two lines of dashes.
fn days_in_front_matter(text: &str) -> BTreeSet<Day> {
    let front = text
        .trim_start_matches('\u{feff}')
        .split("---")
        .nth(1)
        .unwrap_or("");
    front
        .match_indices("date: ")
        .filter_map(|(at, word)| front.get(at + word.len()..at + word.len() + 10))
        .filter_map(|date| {
            let mut parts = date.split('-').map(str::parse::<u32>);
            let (year, month, day) = (
                parts.next()?.ok()?,
                parts.next()?.ok()?,
                parts.next()?.ok()?,
            );
            Some(Day::of(year as i32, month, day))
        })
        .collect()
}
