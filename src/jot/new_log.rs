//! A new log's text: front matter with every key a job log wants, and the private blocks below it.

use super::body::{self, Kept};
use super::entry::{self, Dated};
use super::note::NoteJob;
use super::vocabulary::Vocabulary;
use super::yaml::Yaml;

/// What stands for the title of a note without one.
pub const NO_TITLE: &str = "A job without a title yet";

/// A new log, whole.
pub fn text(
    job: &NoteJob,
    reference: &str,
    vocabulary: &Vocabulary,
    kept: &Kept,
    mark: &str,
    scenes: &[(String, String)],
) -> String {
    let mut out = String::from("---\n");
    if job.title.is_none() {
        out.push_str("# The note has no title. Write a few words that say what the job was.\n");
    }
    let title = job.title.as_deref().unwrap_or(NO_TITLE);
    out.push_str(&format!("title: {}\n", Yaml::text(title).flow()));
    out.push_str(&format!("ref: {reference}\n"));
    out.push_str(&location(job, vocabulary));
    if let Some(client) = &job.client {
        out.push_str(&format!("client: {}\n", Yaml::text(client).flow()));
    }
    if job.visits.is_empty() {
        out.push_str(
            "# The note names no visit. Correct the date, and add from: and to:, or time:.\n",
        );
    }
    let dated = if job.visits.len() > 1 {
        Dated::Yes
    } else {
        Dated::No
    };
    for (key, entries) in entry::lists(job, dated) {
        out.push_str(&format!("{key}:\n"));
        for entry in entries {
            // A material is short and reads best as a row.
            let lines = if key == "materials" {
                vec![entry.flow()]
            } else {
                entry.item()
            };
            for (index, line) in lines.iter().enumerate() {
                let mark = if index == 0 { "  - " } else { "    " };
                out.push_str(&format!("{mark}{line}\n"));
            }
        }
    }
    out.push_str("---\n\n");
    out.push_str(&body::blocks(job, kept, mark, scenes, "\n"));
    out
}

/// The location type where a line of the note is one and nothing else; otherwise a remark that gives the choice.
fn location(job: &NoteJob, vocabulary: &Vocabulary) -> String {
    if let Some(key) = location_typed(job, vocabulary) {
        return format!("location: {key}\n");
    }
    let title = job.title.as_deref().unwrap_or_default();
    let keys = vocabulary.location_keys();
    match vocabulary.location_in(title) {
        Some(key) => {
            format!("# location: {key}   (the title says so; take the # away if it is right)\n")
        }
        None if keys.is_empty() => String::new(),
        None => format!("# location:   one of {}\n", keys.join(", ")),
    }
}

/// The location type that a line of the note is, alone or after `location:`.
pub fn location_typed<'v>(job: &NoteJob, vocabulary: &'v Vocabulary) -> Option<&'v str> {
    job.left_over.iter().find_map(|left| {
        let words = left.text.strip_prefix("location:").unwrap_or(&left.text);
        vocabulary.location(words.trim())
    })
}
