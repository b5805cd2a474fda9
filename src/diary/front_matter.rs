//! Front matter split from the body. Does not look inside either.

use std::ops::Range;

use crate::diagnose::{Code, Diagnostic, FileId, Span};

/// The two parts of a Markdown file, as ranges of its text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Parts {
    /// The YAML between the two lines of `---`; `None` where the file has no front matter.
    pub yaml: Option<Range<usize>>,
    /// Where the body begins.
    pub body: usize,
}

/// Splits a file's text. Front matter begins on the first line (a byte-order mark aside) with `---` alone and
/// ends at the next line that is `---` alone; CRLF, LF and CR all end a line.
///
/// # Errors
/// Front matter that begins and never ends.
pub fn split(file: FileId, text: &str) -> Result<Parts, Diagnostic> {
    let start = if text.starts_with('\u{feff}') { 3 } else { 0 };
    let first = line_at(text, start);
    if text[first.clone()].trim_end() != "---" {
        return Ok(Parts {
            yaml: None,
            body: start,
        });
    }
    let yaml_start = after_line_end(text, first.end);
    let mut at = yaml_start;
    while at < text.len() {
        let line = line_at(text, at);
        let next = after_line_end(text, line.end);
        if text[line.clone()].trim_end() == "---" {
            return Ok(Parts {
                yaml: Some(yaml_start..line.start),
                body: next,
            });
        }
        at = next;
    }
    Err(Diagnostic::error(
        Code::FrontMatterOpen,
        Span::new(file, first.start, first.end),
        "front matter begins here and never ends",
        "Put a line of --- after its last key; the text of the log comes below that.",
    ))
}

/// The line that begins at `start`, without its end.
fn line_at(text: &str, start: usize) -> Range<usize> {
    let end = text[start..]
        .find(['\n', '\r'])
        .map_or(text.len(), |at| start + at);
    start..end
}

fn after_line_end(text: &str, end: usize) -> usize {
    let rest = &text[end..];
    let length = if rest.starts_with("\r\n") {
        2
    } else {
        usize::from(!rest.is_empty())
    };
    end + length
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnose::Sources;

    fn parts(text: &str) -> Result<(Option<&str>, &str), &'static str> {
        let file = Sources::default().add("x.md", text);
        match split(file, text) {
            Ok(parts) => Ok((parts.yaml.map(|yaml| &text[yaml]), &text[parts.body..])),
            Err(fault) => Err(fault.code.as_str()),
        }
    }

    #[test]
    fn every_line_end_and_a_byte_order_mark_split_alike() {
        assert_eq!(parts("---\na: 1\n---\nBody"), Ok((Some("a: 1\n"), "Body")));
        assert_eq!(
            parts("---\r\na: 1\r\n---\r\nBody"),
            Ok((Some("a: 1\r\n"), "Body"))
        );
        assert_eq!(parts("---\ra: 1\r---\rBody"), Ok((Some("a: 1\r"), "Body")));
        assert_eq!(parts("\u{feff}---\na: 1\n---\n"), Ok((Some("a: 1\n"), "")));
        assert_eq!(parts("--- \na: 1\n---"), Ok((Some("a: 1\n"), "")));
        assert_eq!(parts("---\n---\n"), Ok((Some(""), "")));
    }

    #[test]
    fn a_file_without_front_matter_is_all_body() {
        assert_eq!(parts("# Title\n---\n"), Ok((None, "# Title\n---\n")));
        assert_eq!(parts(""), Ok((None, "")));
    }

    #[test]
    fn front_matter_that_never_ends_is_an_error() {
        assert_eq!(parts("---\ntitle: x\n"), Err("front-matter-open"));
        assert_eq!(parts("---"), Err("front-matter-open"));
    }
}
