//! Why a note cannot be put into a diary, and what to do about it.

use std::fmt;

use super::insert::Unsure;

/// Why a note cannot be put into the diary.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// No log has the ref that the note names.
    NoSuchRef {
        /// The ref.
        reference: String,
    },
    /// The log's layout is one that text cannot be put into surely.
    Layout {
        /// The log.
        path: String,
        /// What about it.
        why: Unsure,
    },
    /// The note holds more jobs than an evening has.
    TooManyJobs(usize),
    /// A job holds more of one thing than a log takes.
    TooMuch {
        /// What of: visits.
        what: &'static str,
        /// How many.
        count: usize,
    },
    /// The result did not read back as it should.
    DidNotReadBack {
        /// The log.
        path: String,
    },
}

/// Most jobs of one note.
pub const MOST_JOBS: usize = 50;
/// Most visits, findings, readings or materials of one job.
pub const MOST_OF_ONE: usize = 1_000;

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let by_hand =
            "Add the lines by hand, or write the log's front matter a key a line and run jot again";
        match self {
            Refusal::NoSuchRef { reference } => write!(
                f,
                "no log has the ref {reference}. Correct the ref in the note, or give the job a title instead to begin a new log"
            ),
            Refusal::Layout { path, why } => match why {
                Unsure::Broken => write!(
                    f,
                    "the front matter of {path} does not read. Run daywork inspect and mend it first"
                ),
                Unsure::InBrackets => write!(
                    f,
                    "the front matter of {path} stands in brackets as a whole. {by_hand}"
                ),
                Unsure::NoList(key) => write!(
                    f,
                    "{key} in {path} is no list. Make it one, and run jot again"
                ),
                Unsure::Layout(key) => write!(
                    f,
                    "{key} in {path} is laid out in a way that jot does not write into. {by_hand}"
                ),
            },
            Refusal::TooManyJobs(n) => write!(
                f,
                "the note holds {n} jobs, and jot makes {MOST_JOBS} logs of one note at most. Split it, or take the # from lines that are no titles"
            ),
            Refusal::TooMuch { what, count } => write!(
                f,
                "one job of the note holds {count} {what}, and jot puts {MOST_OF_ONE} into a log at most. Split the note, or give each job a title of its own"
            ),
            Refusal::DidNotReadBack { path } => write!(
                f,
                "what jot would make of {path} does not read back as it should, so it was left alone. {by_hand}"
            ),
        }
    }
}

impl std::error::Error for Refusal {}
