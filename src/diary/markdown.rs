//! What Markdown means in a diary: the options it is read with, the fenced words that are ours, the ids of headings.
//!
//! Shared by the reader of bodies and by the pages, so that both see the same text in the same way. Reads no
//! file, reports nothing and writes no HTML.

use std::collections::BTreeSet;
use std::ops::Range;

use pulldown_cmark::{CodeBlockKind, Event, Options, Parser, Tag, TagEnd};

/// CommonMark with tables, footnotes, strikethrough, task lists and ids of headings; nothing else. Quotation
/// marks and dashes stay as typed, and `~` and `^` make no subscript or superscript.
pub fn options() -> Options {
    Options::ENABLE_TABLES
        | Options::ENABLE_FOOTNOTES
        | Options::ENABLE_STRIKETHROUGH
        | Options::ENABLE_TASKLISTS
        | Options::ENABLE_HEADING_ATTRIBUTES
}

/// A word after a fence that makes the block one of ours.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FenceWord {
    /// Never leaves the office.
    Private,
    /// A safety box.
    Caution,
    /// The place of the front matter's readings.
    Readings,
    /// The place of the front matter's materials.
    Materials,
    /// Photos.
    Photos,
    /// A film.
    Video,
}

impl FenceWord {
    const ALL: [FenceWord; 6] = [
        FenceWord::Private,
        FenceWord::Caution,
        FenceWord::Readings,
        FenceWord::Materials,
        FenceWord::Photos,
        FenceWord::Video,
    ];

    /// As it is written after the fence.
    pub fn as_str(self) -> &'static str {
        match self {
            FenceWord::Private => "private",
            FenceWord::Caution => "caution",
            FenceWord::Readings => "readings",
            FenceWord::Materials => "materials",
            FenceWord::Photos => "photos",
            FenceWord::Video => "video",
        }
    }
}

/// What stands after a fence.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fence {
    /// A word of ours, in any case: a phone makes the first letter of a line a capital.
    Ours(FenceWord),
    /// Nearly a word of ours: most likely a slip.
    Near(FenceWord),
    /// Code, or nothing.
    Other,
}

impl Fence {
    /// Whether the block is kept from readers: a private one, and one that is nearly marked so.
    pub fn keeps_private(self) -> bool {
        matches!(
            self,
            Fence::Ours(FenceWord::Private) | Fence::Near(FenceWord::Private)
        )
    }
}

/// A text's pictures alone, in order, as Markdown: its `photos` and `video` blocks, and each picture of a line as a
/// paragraph.
pub fn pictures(text: &str) -> String {
    let parser = Parser::new_ext(text, options());
    // What a picture written `![words][name]` leads to.
    let mut alone: String = parser
        .reference_definitions()
        .iter()
        .map(|(_, definition)| format!("{}\n", &text[definition.span.clone()]))
        .collect();
    let mut block: Option<(FenceWord, String)> = None;
    for (event, range) in parser.into_offset_iter() {
        match event {
            Event::Start(Tag::CodeBlock(CodeBlockKind::Fenced(info))) => {
                block = match fence(&info) {
                    Fence::Ours(word @ (FenceWord::Photos | FenceWord::Video)) => {
                        Some((word, String::new()))
                    }
                    _ => None,
                };
            }
            Event::Text(line) => {
                if let Some((_, block)) = block.as_mut() {
                    block.push_str(&line);
                }
            }
            Event::End(TagEnd::CodeBlock) => {
                if let Some((word, block)) = block.take() {
                    alone.push_str(&format!("\n~~~{}\n{block}~~~\n", word.as_str()));
                }
            }
            Event::Start(Tag::Image { .. }) => {
                alone.push_str(&format!("\n{}\n", &text[range]));
            }
            _ => {}
        }
    }
    alone
}

/// Letters that may be wrong in a word that was meant to be ours.
const SLIPS: usize = 2;

/// The first word after a fence, without marks round it: `private` of `private: for me`. May be empty.
pub fn first_word(info: &str) -> &str {
    let word = |c: char| c.is_alphanumeric() || c == '-' || c == '_';
    let start = info.find(word).unwrap_or(info.len());
    let rest = &info[start..];
    &rest[..rest.find(|c| !word(c)).unwrap_or(rest.len())]
}

/// Reads what stands after a fence. No language that the highlighter knows is near to a word of ours; a test in
/// `pages` holds that.
pub fn fence(info: &str) -> Fence {
    let typed = first_word(info).to_lowercase();
    if let Some(word) = FenceWord::ALL
        .into_iter()
        .find(|word| word.as_str() == typed)
    {
        return Fence::Ours(word);
    }
    // `private-note` is far from `private` by letters and near by meaning.
    if typed.starts_with("privat") {
        return Fence::Near(FenceWord::Private);
    }
    if typed.chars().count() > 16 {
        return Fence::Other;
    }
    [
        FenceWord::Private,
        FenceWord::Caution,
        FenceWord::Readings,
        FenceWord::Materials,
    ]
    .into_iter()
    .map(|word| (strsim::damerau_levenshtein(&typed, word.as_str()), word))
    .filter(|(distance, _)| *distance <= SLIPS)
    .min_by_key(|(distance, _)| *distance)
    .map_or(Fence::Other, |(_, word)| Fence::Near(word))
}

/// Ids that the sheets use themselves.
const TAKEN_BY_SHEETS: [&str; 9] = [
    "main", "c1", "c2", "c3", "fi", "note", "hatch", "usual", "search",
];

/// Gives the headings of one page their ids, each once.
#[derive(Clone, Debug)]
pub struct HeadingIds {
    taken: BTreeSet<String>,
}

impl Default for HeadingIds {
    fn default() -> Self {
        HeadingIds {
            taken: TAKEN_BY_SHEETS.iter().map(|&id| id.to_owned()).collect(),
        }
    }
}

impl HeadingIds {
    /// The id of the next heading: the explicit one, else one from its text; `part` where the text gives none.
    /// One that is taken gets `-2`, `-3` and so on.
    pub fn next(&mut self, explicit: Option<&str>, text: &str) -> String {
        let plain = |id: &&str| {
            !id.is_empty()
                && id
                    .chars()
                    .all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_')
        };
        let mut id = match explicit.filter(plain) {
            Some(id) => id.to_owned(),
            None => slug::slugify(explicit.unwrap_or(text)),
        };
        if id.is_empty() {
            id.push_str("part");
        }
        // Ids that begin so belong to the sheets' own headings.
        if id.starts_with("h-") {
            id.insert_str(0, "part-");
        }
        let first = id.clone();
        let mut number = 2;
        while !self.taken.insert(id.clone()) {
            id = format!("{first}-{number}");
            number += 1;
        }
        id
    }
}

/// The plain words of an inline event, for ids, names and `alt`; `None` for marks without words.
pub fn words<'e>(event: &'e Event<'_>) -> Option<&'e str> {
    match event {
        Event::Text(text) | Event::Code(text) | Event::InlineHtml(text) => Some(text),
        Event::SoftBreak | Event::HardBreak => Some(" "),
        _ => None,
    }
}

/// Every line of the blocks of one of our words, with its bytes in `markdown`, in order.
pub fn lines_of(markdown: &str, word: FenceWord) -> Vec<(Range<usize>, String)> {
    let mut lines = Vec::new();
    let mut line: Option<(Range<usize>, String)> = None;
    let mut inside = false;
    for (event, range) in Parser::new_ext(markdown, options()).into_offset_iter() {
        match event {
            Event::Start(Tag::CodeBlock(CodeBlockKind::Fenced(info))) => {
                inside = fence(&info) == Fence::Ours(word);
            }
            Event::End(TagEnd::CodeBlock) => {
                lines.extend(line.take());
                inside = false;
            }
            Event::Text(text) if inside => {
                // The parser cuts text where a line ends as CRLF, and may give several lines at once.
                for (index, piece) in text.split_inclusive('\n').enumerate() {
                    let at = range.start
                        + text
                            .split_inclusive('\n')
                            .take(index)
                            .map(str::len)
                            .sum::<usize>();
                    let words = piece.trim_end_matches('\n');
                    let (bytes, whole) = line.get_or_insert_with(|| (at..at, String::new()));
                    whole.push_str(words);
                    if !words.is_empty() {
                        bytes.end = (at + words.len()).min(range.end);
                    }
                    if piece.ends_with('\n') {
                        lines.extend(line.take());
                    }
                }
            }
            _ => {}
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_of_ours_is_known_in_any_case_and_with_marks_round_it() {
        for info in [
            "private",
            "Private",
            "PRIVATE",
            "private: for me",
            "{private}",
            "private,x",
        ] {
            assert_eq!(fence(info), Fence::Ours(FenceWord::Private), "{info}");
        }
        assert_eq!(fence("caution"), Fence::Ours(FenceWord::Caution));
    }

    #[test]
    fn a_slip_is_near_and_a_language_is_not() {
        for info in ["privat", "pirvate", "privte x", "private-note", "privates"] {
            assert_eq!(fence(info), Fence::Near(FenceWord::Private), "{info}");
        }
        assert_eq!(fence("reading"), Fence::Near(FenceWord::Readings));
        assert_eq!(fence("material"), Fence::Near(FenceWord::Materials));
        for info in ["", "text", "python", "rust", "yaml", "primavera"] {
            assert_eq!(fence(info), Fence::Other, "{info}");
        }
    }

    #[test]
    fn ids_come_from_text_and_are_given_once() {
        let mut ids = HeadingIds::default();
        assert_eq!(ids.next(None, "The long run"), "the-long-run");
        assert_eq!(ids.next(None, "The long run"), "the-long-run-2");
        assert_eq!(ids.next(None, "The long run!"), "the-long-run-3");
        assert_eq!(ids.next(Some("run"), "The long run"), "run");
        assert_eq!(ids.next(Some("run"), "x"), "run-2");
        assert_eq!(ids.next(Some("a\"b"), "x"), "a-b");
        assert_eq!(ids.next(None, "…"), "part");
        assert_eq!(ids.next(None, "Note"), "note-2");
        assert_eq!(ids.next(None, "H caution"), "part-h-caution");
    }

    #[test]
    fn lines_of_a_block_have_their_own_bytes_under_crlf_and_quotes() {
        let text = "> ```caution\r\n> - prove-dead\r\n> é two\r\n> ```\r\n";
        let lines = lines_of(text, FenceWord::Caution);
        let shown: Vec<_> = lines
            .iter()
            .map(|(range, line)| (&text[range.clone()], line.as_str()))
            .collect();
        assert_eq!(
            shown,
            [("- prove-dead", "- prove-dead"), ("é two", "é two")]
        );
    }

    #[test]
    fn a_text_s_pictures_stand_alone() {
        let text = "# A job\n\nSee ![the winch](a.jpg \"Pontoon C\") and ![the gland][one].\n\n- ```photos\n  tap.jpg: Wet\n    gland\n  ```\n\n\
                    ```private\n![Hers](b.jpg)\n```\n\n```caution\n- Isolate.\n```\n\n[one]: c.jpg\n";
        assert_eq!(
            pictures(text),
            "[one]: c.jpg\n\n![the winch](a.jpg \"Pontoon C\")\n\n![the gland][one]\n\n~~~photos\ntap.jpg: Wet\n  gland\n~~~\n"
        );
        assert_eq!(pictures("No picture.\n"), "");
    }
}
