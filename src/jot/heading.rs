//! What a job begins with: the ref of a log that is there already, a title with its mark, or whose job it is.

use super::line::{Line, ends_word};
use super::vocabulary::Vocabulary;

/// The ref that a line begins with, and the rest of the line where there are more words.
pub fn reference(line: &Line) -> Option<(String, Option<Line>)> {
    let low = line.low.as_str();
    let mut at = 0;
    if let Some(rest) = low.strip_prefix("ref") {
        let bare = rest.trim_start_matches([' ', ':', '.']);
        if bare.len() < rest.len() {
            at = low.len() - bare.len();
        }
    }
    if let Some(rest) = low[at..].strip_prefix('#') {
        at = low.len() - rest.trim_start().len();
    }
    let end = at + "2026-031".len();
    let reference = low.get(at..end)?;
    let shaped = reference.bytes().enumerate().all(|(index, b)| match index {
        4 => b == b'-',
        _ => b.is_ascii_digit(),
    });
    // A ref is not the range of clocks `0900-115`.
    let of_a_year = reference.starts_with("20") || reference.starts_with("19");
    if !(shaped && of_a_year && ends_word(low, end)) {
        return None;
    }
    let after = low[end..].trim_start_matches([' ', ':', ',', ';', '.', '-', '@', '=', ')', ']']);
    let rest = (!after.is_empty()).then(|| line.from(low.len() - after.len()));
    Some((reference.to_owned(), rest))
}

/// The title of a line that begins with a title's mark; empty where nothing follows the mark.
pub fn title(line: &Line) -> Option<String> {
    let mark = ["# ", "job:", "new job:", "next job:"]
        .iter()
        .find(|mark| line.low.starts_with(**mark))?;
    Some(line.text[mark.len()..].trim().to_owned())
}

/// The client of a line that is the word and a client's short name: `client hobbs`, `Client: Hobbs`.
pub fn client<'v>(line: &Line, vocabulary: &'v Vocabulary) -> Option<&'v str> {
    let rest = line.low.strip_prefix("client")?;
    let name = rest.trim_start_matches([' ', ':']);
    (name.len() < rest.len())
        .then(|| vocabulary.client(name))
        .flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Option<(String, Option<String>)> {
        reference(&Line::new(1, text))
            .map(|(reference, rest)| (reference, rest.map(|line| line.text)))
    }

    #[test]
    fn a_ref_stands_at_the_start_of_its_line() {
        let found = |rest: Option<&str>| Some(("2026-031".to_owned(), rest.map(str::to_owned)));
        assert_eq!(read("ref 2026-031"), found(None));
        assert_eq!(read("Ref: 2026-031"), found(None));
        assert_eq!(read("#2026-031"), found(None));
        assert_eq!(read("# 2026-031 stables"), found(Some("stables")));
        assert_eq!(read("2026-031: mon 9-11"), found(Some("mon 9-11")));
        assert_eq!(read("2026-03-12"), None);
        assert_eq!(read("see 2026-031"), None);
        assert_eq!(read("refit 2026-031"), None);
        assert_eq!(read("0900-115"), None);
    }

    #[test]
    fn a_client_goes_by_the_short_name_alone() {
        let keys = ["hobbs".to_owned(), "harbour-office".to_owned()];
        let vocabulary = Vocabulary::new(&crate::jot::bench::settings()).with_clients(&keys);
        let read = |text: &str| {
            let line = Line::new(1, text);
            client(&line, &vocabulary).map(str::to_owned)
        };
        for (typed, key) in [
            ("client hobbs", Some("hobbs")),
            ("Client: Hobbs", Some("hobbs")),
            ("client harbour-office", Some("harbour-office")),
            ("client harbour office", Some("harbour-office")),
            ("client hobbs told", None),
            ("client nobody", None),
            ("clienthobbs", None),
            ("client", None),
            ("hobbs", None),
        ] {
            assert_eq!(read(typed).as_deref(), key, "{typed}");
        }
    }

    #[test]
    fn a_marked_title_loses_its_mark() {
        let read = |text: &str| title(&Line::new(1, text));
        assert_eq!(read("# Barn lights").as_deref(), Some("Barn lights"));
        assert_eq!(read("Next job: Barn 9-5").as_deref(), Some("Barn 9-5"));
        assert_eq!(read("job:").as_deref(), Some(""));
        assert_eq!(read("#barn"), None);
        assert_eq!(read("job at the barn"), None);
    }
}
