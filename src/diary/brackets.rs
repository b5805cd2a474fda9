//! What is wrong with the brackets of a text that is no YAML: one that closes with the other kind, one that nothing
//! opened, a comma left out, keys side by side with no brackets round them. Looks at text only; reads no values.

use std::ops::Range;

/// A slip, with places in bytes of the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Slip {
    /// A bracket is closed by the other kind.
    Mismatch {
        /// The bracket that opens.
        opens: usize,
        /// The one that closes.
        closes: usize,
    },
    /// A bracket closes that nothing opened.
    Stray(usize),
    /// A key inside brackets follows a value with no comma between.
    NoComma(Range<usize>),
    /// Several keys on one line with no brackets round them: the place of the first key.
    Bare(Range<usize>),
}

/// The first slip of a text. `open` is the outermost bracket that was open where the reader gave up, `at` that
/// place; both are bytes. Looks from `open` to the end of the line of `at`, or at that line alone. `None` where
/// something else is wrong: a bracket that never closes is for the caller to tell.
pub fn find(text: &str, open: Option<usize>, at: usize) -> Option<Slip> {
    let line_end = text[at..]
        .find(['\n', '\r'])
        .map_or(text.len(), |length| at + length);
    let line_start = text[..at].rfind(['\n', '\r']).map_or(0, |at| at + 1);
    match open {
        Some(open) => in_brackets(text, open..line_end),
        None => on_a_line(text, line_start..line_end),
    }
}

/// Inside brackets every bracket outside quotation marks counts, and no unquoted text holds a colon and a space.
fn in_brackets(text: &str, range: Range<usize>) -> Option<Slip> {
    let mut open: Vec<(usize, char)> = Vec::new();
    let mut quote = None;
    let mut before = ' ';
    // Whether the entry that is being read has its colon, at each depth.
    let mut colons: Vec<bool> = Vec::new();
    let mut remark = false;
    let mut no_comma = None;
    for (place, c) in text[range.clone()].char_indices() {
        let at = range.start + place;
        match (quote, c) {
            (_, '\n' | '\r') => remark = false,
            _ if remark => {}
            (Some(mark), c) if c == mark => quote = None,
            (Some(_), _) => {}
            (None, '#') if before.is_whitespace() => remark = true,
            (None, '"' | '\'') if matches!(before, ' ' | '\n' | '[' | '{' | ',') => quote = Some(c),
            (None, '[' | '{') => {
                open.push((at, c));
                colons.push(false);
            }
            (None, ']' | '}') => {
                colons.pop();
                match open.pop() {
                    None => return Some(Slip::Stray(at)),
                    Some((_, '[')) if c == ']' => {}
                    Some((_, '{')) if c == '}' => {}
                    Some((opens, _)) => return Some(Slip::Mismatch { opens, closes: at }),
                }
            }
            (None, ',') => {
                if let Some(colon) = colons.last_mut() {
                    *colon = false;
                }
            }
            (None, ':') if text[at + 1..].starts_with([' ', '\n', '\r']) => {
                if let Some(colon) = colons.last_mut()
                    && std::mem::replace(colon, true)
                {
                    no_comma.get_or_insert(word_before(text, at));
                }
            }
            _ => {}
        }
        before = c;
    }
    // With a bracket left open the missing comma is only what that looks like.
    no_comma.filter(|_| open.is_empty()).map(Slip::NoComma)
}

/// A line outside brackets: `- task: socket, time: 1h}` and `- task: socket, time: 1h`.
fn on_a_line(text: &str, line: Range<usize>) -> Option<Slip> {
    let written = text[line.clone()].trim_end();
    let first = written.find(|c: char| c != ' ' && c != '-')?;
    let entries = &written[first..];
    let (key, rest) = entries.split_once(": ")?;
    let value_opens = rest.starts_with(['[', '{', '"', '\'']);
    if !is_key(key) || value_opens {
        return None;
    }
    let start = line.start + first;
    if written.ends_with(['}', ']']) && !rest.contains(['{', '[']) {
        return Some(Slip::Stray(line.start + written.len() - 1));
    }
    // `tasks: task: socket, time: 1h` wants more than one pair of brackets, which is not ours to guess.
    if rest.split_once(": ").is_some_and(|(next, _)| is_key(next)) {
        return None;
    }
    let second = rest
        .split(", ")
        .skip(1)
        .any(|entry| entry.split_once(':').is_some_and(|(key, _)| is_key(key)));
    second.then(|| Slip::Bare(start..start + key.len()))
}

/// A word such as a key of a log is: lower case and underscores.
fn is_key(word: &str) -> bool {
    !word.is_empty() && word.bytes().all(|b| b.is_ascii_lowercase() || b == b'_')
}

/// The word that ends at a place.
fn word_before(text: &str, end: usize) -> Range<usize> {
    let start = text[..end]
        .rfind([' ', '\n', '\r', ',', '{', '['])
        .map_or(0, |at| at + 1);
    start..end
}

#[cfg(test)]
mod tests {
    use super::{Slip, find};

    /// The slip in one line, with the text of its places; `from` is where the reader's outermost bracket opens.
    fn slip(line: &str, from: Option<usize>) -> Option<(Slip, String)> {
        let slip = find(line, from, line.len())?;
        let shown = match &slip {
            Slip::Mismatch { opens, closes } => {
                format!("{}…{}", &line[*opens..=*opens], &line[*closes..=*closes])
            }
            Slip::Stray(at) => line[*at..=*at].to_owned(),
            Slip::NoComma(word) | Slip::Bare(word) => line[word.clone()].to_owned(),
        };
        Some((slip, shown))
    }

    #[test]
    fn a_bracket_closed_by_the_other_kind_is_found_with_both_its_ends() {
        let line = "- {date: 2026-03-02, tasks: [{task: socket, time: 1h]}";
        assert_eq!(
            slip(line, Some(2)),
            Some((
                Slip::Mismatch {
                    opens: 29,
                    closes: 52
                },
                "{…]".to_owned()
            ))
        );
    }

    #[test]
    fn a_bracket_that_nothing_opened_is_found_at_its_end() {
        let line = "- task: socket, time: 1h}";
        assert_eq!(slip(line, None), Some((Slip::Stray(24), "}".to_owned())));
        let line = "- {tasks: task: socket, time: 1h}]}";
        assert!(matches!(slip(line, Some(2)), Some((Slip::Stray(33), _))));
    }

    #[test]
    fn a_comma_left_out_is_found_before_the_next_key() {
        let line = "- {task: \"a: b\", note: two, socket time: 1h, count: 2 time: 3h}";
        assert!(matches!(slip(line, Some(2)), Some((Slip::NoComma(_), word)) if word == "time"));
        assert_eq!(slip("- {task: socket time: 1h", Some(2)), None);
        assert_eq!(slip("- {at: 08:15, note: 'a: b: c'}", Some(2)), None);
    }

    #[test]
    fn keys_side_by_side_are_told_from_text_with_a_colon() {
        let line = "  - task: socket, time: 1h";
        assert!(matches!(slip(line, None), Some((Slip::Bare(_), word)) if word == "task"));
        for line in [
            "title: Two lights, and a lesson: look first",
            "title: A lesson: look first",
            "what: \"one, two: three\"",
            "tasks: [a, b: c]",
            "",
        ] {
            assert_eq!(slip(line, None), None, "{line}");
        }
    }
}
