//! What a wrong command line is told, where a sentence of ours says it better than the library's. Reads no diary.

use std::error::Error as _;
use std::io::Write as _;

use clap::Command;
use clap::error::{ContextKind, ContextValue, ErrorKind};

use super::Exit;

/// The options that many commands take and none takes before its name.
const SHARED: [&str; 4] = ["--diary", "--as-of", "--format", "--colour"];

/// Prints help, or what is wrong with the command line, and gives how the program ends.
pub fn tell(error: &clap::Error, command: &Command) -> Exit {
    let words: Vec<String> = std::env::args_os()
        .skip(1)
        .map(|word| word.to_string_lossy().into_owned())
        .collect();
    // Help that nobody reads any more (a closed pipe) is no failure.
    let _ = match in_our_words(error, command, &words) {
        Some(line) => writeln!(std::io::stderr().lock(), "{line}"),
        None => error.print(),
    };
    if error.use_stderr() {
        Exit::Usage
    } else {
        Exit::Done
    }
}

/// A sentence for a shared option in the wrong place and for a value that cannot be read; `None` for the rest.
fn in_our_words(error: &clap::Error, command: &Command, words: &[String]) -> Option<String> {
    let Some(ContextValue::String(option)) = error.get(ContextKind::InvalidArg) else {
        return None;
    };
    match error.kind() {
        ErrorKind::ValueValidation => {
            let option = option.split(' ').next().unwrap_or(option);
            Some(format!("{option}: {}", error.source()?))
        }
        ErrorKind::UnknownArgument if SHARED.contains(&option.as_str()) => {
            let option_at = words.iter().position(|word| is(word, option))?;
            let name_at = words
                .iter()
                .position(|word| command.find_subcommand(word).is_some());
            let name = name_at.map_or("inspect", |at| words[at].as_str());
            Some(match name_at {
                Some(at) if at < option_at => format!(
                    "daywork {name} takes no {option}: {}. Leave it away.",
                    why_not(name, option)
                ),
                _ => format!(
                    "{option} goes after the command: daywork {name} {option}. daywork {name} --help lists what it \
                     takes."
                ),
            })
        }
        _ => None,
    }
}

/// Whether a word of the command line is this option, with its value behind `=` or not.
fn is(word: &str, option: &str) -> bool {
    word.split('=').next() == Some(option)
}

/// Why a command does not take an option.
fn why_not(name: &str, option: &str) -> &'static str {
    match (name, option) {
        ("start", _) => "it makes a new diary and reads none",
        ("export", "--format") => "--to says the form",
        (_, "--format") => "it prints no report",
        _ => "it has no use for one",
    }
}
