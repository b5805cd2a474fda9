//! What `inspect` says of a log that jot writes, put into it as comments above the lines it is about.

use super::insert::{Insertion, line_end_of};
use crate::diagnose::{Code, Diagnostic, Sources};
use crate::diary::front_matter;

/// Which parts of a log are jot's own, so that it may write comments there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Written {
    /// All of it: the log is new.
    Whole,
    /// These texts, put in among what was there.
    Parts(Vec<String>),
}

impl Written {
    /// Takes in more parts. What stands on a line with older text is left out: a comment above would be about both.
    pub fn add(&mut self, insertions: &[Insertion]) {
        if let Written::Parts(parts) = self {
            let whole_lines = insertions
                .iter()
                .filter(|insertion| insertion.text.ends_with(['\n', '\r']));
            parts.extend(whole_lines.map(|insertion| insertion.text.clone()));
        }
    }

    fn holds(&self, text: &str, at: usize) -> bool {
        match self {
            Written::Whole => true,
            Written::Parts(parts) => parts.iter().any(|part| {
                text.match_indices(part.as_str())
                    .any(|(start, found)| (start..start + found.len()).contains(&at))
            }),
        }
    }
}

/// Widest comment.
const WIDTH: usize = 100;

/// A log with comments above the lines that something is said of.
pub fn beside(
    text: &str,
    path: &str,
    written: &Written,
    said: &[Diagnostic],
    sources: &Sources,
) -> String {
    let Some(file) = sources
        .iter()
        .find(|(_, source)| source.path == path)
        .map(|(id, _)| id)
    else {
        return text.to_owned();
    };
    let Some(yaml) = front_matter::split(file, text)
        .ok()
        .and_then(|parts| parts.yaml)
    else {
        return text.to_owned();
    };
    let end = line_end_of(text);
    let ours = |at: u32| yaml.contains(&(at as usize)) && written.holds(text, at as usize);
    let mut comments: Vec<(usize, String)> = Vec::new();
    // A new log has a remark of its own where the location type goes, with the diary's choice.
    for d in said.iter().filter(|d| d.code != Code::NoLocation) {
        let words = format!("{}. {}", d.message, d.help);
        if d.span.file == file && ours(d.span.start) {
            comments.push(comment(text, d.span.start as usize, &words, end));
        }
        let other = sources.path(d.span.file);
        for (span, _) in &d.also {
            if span.file == file && d.span.file != file && ours(span.start) {
                let words = format!("this goes against {other}, where {words}");
                comments.push(comment(text, span.start as usize, &words, end));
            }
        }
    }
    comments.sort();
    comments.dedup();
    let mut out = String::with_capacity(text.len());
    let mut done = 0;
    for (at, comment) in comments {
        out.push_str(&text[done..at]);
        out.push_str(&comment);
        done = at;
    }
    out.push_str(&text[done..]);
    out
}

/// A comment, and the start of the line that it stands above.
fn comment(text: &str, at: usize, words: &str, end: &str) -> (usize, String) {
    let start = text[..at].rfind(['\n', '\r']).map_or(0, |at| at + 1);
    let indent: String = text[start..].chars().take_while(|c| *c == ' ').collect();
    let mut out = String::new();
    let mut line = format!("{indent}# inspect:");
    for word in words.split_whitespace() {
        if line.chars().count() + 1 + word.chars().count() > WIDTH {
            out.push_str(&line);
            out.push_str(end);
            line = format!("{indent}#  ");
        }
        line.push(' ');
        line.push_str(word);
    }
    out.push_str(&line);
    out.push_str(end);
    (start, out)
}
