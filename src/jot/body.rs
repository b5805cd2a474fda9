//! The private blocks that jot writes into a log: what stayed text, and the whole note with its mark.

use super::note::{NoteJob, NoteVisit};
use super::time::clock_text;

/// A note's own mark: the same text has the same, whatever its line ends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// The note, its lines ended by LF.
    pub text: String,
    /// A few figures that stand for it.
    pub digest: String,
}

impl Kept {
    /// The note as it is kept.
    pub fn new(note: &str) -> Self {
        let text = note.strip_prefix('\u{feff}').unwrap_or(note);
        let text = text.replace("\r\n", "\n").replace('\r', "\n");
        let text = text.trim_end_matches('\n').to_owned();
        let digest = blake3::hash(text.trim().as_bytes()).to_hex()[..16].to_owned();
        Kept { text, digest }
    }

    /// What says in a log that a job of this note is in it.
    pub fn mark(&self, job: usize, of: usize) -> String {
        format!("note {}, job {} of {of}", self.digest, job + 1)
    }
}

/// The blocks of a job, with the line end of their log. `scenes` are the times and words of a film.
pub fn blocks(
    job: &NoteJob,
    kept: &Kept,
    mark: &str,
    scenes: &[(String, String)],
    line_end: &str,
) -> String {
    let mut out = String::new();
    if !job.left_over.is_empty() {
        out.push_str(&block(&left_over(job)));
        out.push('\n');
    }
    if !scenes.is_empty() {
        let lines: Vec<String> = scenes
            .iter()
            .map(|(at, words)| format!("{at} {words}"))
            .collect();
        out.push_str(&block(&format!(
            "Chapter marks of the film:\n\n{}",
            lines.join("\n")
        )));
        out.push('\n');
    }
    out.push_str(&block(&format!(
        "The whole note as typed ({mark}):\n\n{}",
        kept.text
    )));
    if line_end == "\n" {
        out
    } else {
        out.replace('\n', line_end)
    }
}

/// A private block whose fence is longer than any in its text.
fn block(text: &str) -> String {
    let longest = text
        .split(|c| c != '`')
        .map(str::len)
        .max()
        .unwrap_or_default();
    let fence = "`".repeat(longest.max(2) + 1);
    format!("{fence}private\n{text}\n{fence}\n")
}

fn left_over(job: &NoteJob) -> String {
    let mut out = String::from("Lines of the note that stayed text:\n");
    let mut under = None;
    for left in &job.left_over {
        if under != Some(left.visit) {
            under = Some(left.visit);
            let visit = left.visit.and_then(|at| job.visits.get(at));
            out.push_str(&format!(
                "\n{}\n",
                visit.map_or_else(|| "Above the visits:".to_owned(), heading)
            ));
        }
        if let Some(at) = &left.at {
            out.push_str(&format!("[{at}] "));
        }
        out.push_str(&left.text);
        out.push('\n');
    }
    out.truncate(out.trim_end_matches('\n').len());
    out
}

fn heading(visit: &NoteVisit) -> String {
    let at = visit.clocks.map_or_else(String::new, |clocks| {
        format!(", {}", clock_text(clocks.from))
    });
    format!("Visit of {}{at}:", visit.date)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_note_has_one_mark_whatever_its_line_ends() {
        let mark = |text: &str| Kept::new(text).mark(0, 1);
        assert_eq!(mark("a\nb"), mark("a\r\nb\r\n"));
        assert_eq!(mark("a\nb"), mark("\u{feff}a\rb\r"));
        assert_ne!(mark("a\nb"), mark("a b"));
    }

    #[test]
    fn no_text_breaks_out_of_its_block() {
        let text = block("a\n````\nb");
        assert!(
            text.starts_with("`````private\n") && text.ends_with("\n`````\n"),
            "{text}"
        );
    }
}
