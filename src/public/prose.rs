//! Bodies made ready for the renderer: what links and pictures lead to, first sentences, cautions. Renders nothing.

use std::collections::BTreeMap;

use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

use crate::diary::photo;
use crate::model::{Body, Diary};

use super::photos;
use super::view::{PhotoFile, Picture, PictureSize};

/// Said on a page whose text has no caution of its own. From the trade's usual practice; the room `trade` has those
/// that a text may ask for by name.
pub(super) const USUAL_CAUTIONS: [&str; 3] = [
    "Isolate, lock off, and prove dead with a tester that has itself been proved.",
    "A neutral can be live, and water carries what a dry day hides.",
    "Dead tests come before live tests.",
];

/// Longest summary, in characters.
const LONGEST_SUMMARY: usize = 200;
/// A first sentence shorter than this (`Kept.`) takes the next one with it.
const SHORTEST_SUMMARY: usize = 40;
/// The first paragraph stands in the first few thousand bytes of any text worth a summary.
const HEAD_OF_BODY: usize = 6_000;

/// The text without the blanks that private blocks leave: the length of what is private is nobody's business, and
/// a page must not change with it.
pub(super) fn markdown(body: &Body) -> String {
    let open = &body.open;
    let mut text = String::with_capacity(open.len());
    let mut at = 0;
    for block in &body.private {
        let place = |byte: u32| (byte.saturating_sub(body.start) as usize).min(open.len());
        let (start, end) = (place(block.span.start), place(block.span.end));
        let blank = open
            .get(start..end)
            .is_some_and(|part| part.trim().is_empty());
        if start >= at && blank {
            text.push_str(&open[at..start]);
            text.push('\n');
            at = end;
        }
    }
    text.push_str(&open[at..]);
    text
}

/// Whether a text has a `caution` block of its own.
pub(super) fn has_caution(text: &str) -> bool {
    text.lines().any(|line| {
        let line = line.trim_start();
        let info = line
            .strip_prefix("```")
            .or_else(|| line.strip_prefix("~~~"));
        info.is_some_and(|info| {
            info.trim_matches(['`', '~', ' ']).split_whitespace().next() == Some("caution")
        })
    })
}

/// The usual cautions, or none where the text has its own.
pub(super) fn cautions(text: &str) -> Vec<String> {
    if has_caution(text) {
        return Vec::new();
    }
    USUAL_CAUTIONS.iter().map(|&line| line.to_owned()).collect()
}

/// The first sentence of a text's first paragraph in plain words, with those after it while it is short; empty for
/// a text without a paragraph. A quotation comes first only where nothing else does: in an answer the reader's
/// question is no summary.
pub(super) fn summary(text: &str) -> String {
    let mut end = text.len().min(HEAD_OF_BODY);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let paragraphs = paragraphs(&text[..end]);
    let plain = paragraphs
        .iter()
        .find(|(quoted, _)| !quoted)
        .or(paragraphs.first());
    plain
        .map(|(_, words)| first_sentences(words))
        .unwrap_or_default()
}

/// Paragraphs up to the first that is no quotation: whether quoted, and its words.
fn paragraphs(text: &str) -> Vec<(bool, String)> {
    let mut found = Vec::new();
    let mut quotes = 0_usize;
    let mut pictures = 0_usize;
    let mut words: Option<String> = None;
    let options =
        Options::ENABLE_TABLES | Options::ENABLE_FOOTNOTES | Options::ENABLE_STRIKETHROUGH;
    for event in Parser::new_ext(text, options) {
        match event {
            Event::Start(Tag::BlockQuote(_) | Tag::FootnoteDefinition(_) | Tag::Item) => {
                quotes += 1
            }
            Event::End(TagEnd::BlockQuote(_) | TagEnd::FootnoteDefinition | TagEnd::Item) => {
                quotes -= 1
            }
            Event::Start(Tag::Paragraph) => words = Some(String::new()),
            Event::End(TagEnd::Paragraph) => {
                let done = words.take().unwrap_or_default();
                let done = done.split_whitespace().collect::<Vec<_>>().join(" ");
                if !done.is_empty() {
                    found.push((quotes > 0, done));
                    if quotes == 0 {
                        break;
                    }
                }
            }
            Event::Start(Tag::Image { .. }) => pictures += 1,
            Event::End(TagEnd::Image) => pictures -= 1,
            Event::Text(part) | Event::Code(part) => {
                if let (0, Some(words)) = (pictures, words.as_mut()) {
                    words.push_str(&part);
                }
            }
            Event::SoftBreak | Event::HardBreak => {
                if let Some(words) = words.as_mut() {
                    words.push(' ');
                }
            }
            _ => {}
        }
    }
    found
}

fn first_sentences(words: &str) -> String {
    let length = |text: &str| text.chars().count();
    let mut end = 0;
    while end < words.len() {
        let next = end_of_sentence(words, end);
        if end > 0
            && (length(&words[..end]) >= SHORTEST_SUMMARY
                || length(&words[..next]) > LONGEST_SUMMARY)
        {
            break;
        }
        end = next;
    }
    let sentence = words[..end].trim();
    if length(sentence) <= LONGEST_SUMMARY {
        return sentence.to_owned();
    }
    let cut: String = sentence.chars().take(LONGEST_SUMMARY - 1).collect();
    let cut = cut
        .rsplit_once(' ')
        .map_or(cut.as_str(), |(whole, _)| whole);
    format!("{}…", cut.trim_end_matches([',', ';', ':', '.', '-', ' ']))
}

/// One past the stop that ends the sentence at `start`; the end of the text where none does.
fn end_of_sentence(text: &str, start: usize) -> usize {
    text[start..]
        .char_indices()
        .map(|(at, c)| (start + at, c))
        .find(|&(at, c)| {
            let rest = &text[at + c.len_utf8()..];
            let rest = rest.trim_start_matches(['"', '”', '’', ')']);
            matches!(c, '.' | '!' | '?') && (rest.is_empty() || starts_a_sentence(rest))
        })
        .map_or(text.len(), |(at, c)| {
            let rest = &text[at + c.len_utf8()..];
            text.len() - rest.trim_start_matches(['"', '”', '’', ')']).len()
        })
}

/// A space and then anything but a small letter: `e.g. a board` goes on, `board. Then` does not.
fn starts_a_sentence(rest: &str) -> bool {
    let mut chars = rest.chars();
    chars.next().is_some_and(char::is_whitespace) && chars.next().is_none_or(|c| !c.is_lowercase())
}

/// The files that go out with pages: drawings and photos.
#[derive(Default)]
pub(super) struct Files {
    /// Drawings: address below the root to SVG text.
    pub drawings: BTreeMap<String, String>,
    /// Photos: address below the root to what stands there.
    pub photos: BTreeMap<String, PhotoFile>,
}

impl Files {
    /// Takes in the files of another page.
    pub fn extend(&mut self, more: Files) {
        self.drawings.extend(more.drawings);
        self.photos.extend(more.photos);
    }
}

/// Pictures of a body on the site, and the files that go with them.
pub(super) fn pictures(
    body: &Body,
    page_link: &str,
    diary: &Diary,
) -> (BTreeMap<String, Picture>, Files) {
    let mut pictures = BTreeMap::new();
    let mut files = Files::default();
    for (written, path, link) in drawing_links(body, page_link) {
        let Some(drawing) = diary.drawings.get(path) else {
            continue;
        };
        let size = drawing.size;
        let picture = Picture {
            link: link.clone(),
            width: size.map(|(width, _)| width),
            height: size.map(|(_, height)| height),
            sizes: Vec::new(),
        };
        pictures.insert(written.to_owned(), picture);
        files.drawings.insert(link, drawing.text.to_string());
    }
    for (written, path, number) in numbered(body, is_photo) {
        let Some(seen) = diary.photos.get(path).and_then(|photo| photo.seen) else {
            continue;
        };
        let sizes: Vec<PictureSize> = photos::sizes(seen.width, seen.height)
            .into_iter()
            .map(|(width, _)| PictureSize {
                link: photos::address(page_link, number, width),
                width,
            })
            .collect();
        files.photos.extend(sizes.iter().map(|size| {
            let file = PhotoFile {
                digest: seen.digest,
                width: size.width,
            };
            (size.link.clone(), file)
        }));
        let usual = photos::usual(seen).width;
        let picture = Picture {
            link: photos::address(page_link, number, usual),
            width: Some(seen.width),
            height: Some(seen.height),
            sizes,
        };
        pictures.insert(written.to_owned(), picture);
    }
    (pictures, files)
}

/// Each drawing of a body as written, its path, and its address: the page's own and `figure-1.svg` in order of first
/// use. The file's own name stays at home: it may hold an address.
pub(super) fn drawing_links<'a>(
    body: &'a Body,
    page_link: &str,
) -> Vec<(&'a str, &'a str, String)> {
    numbered(body, |path| !is_photo(path))
        .into_iter()
        .map(|(written, path, number)| {
            let (_, end) = path.rsplit_once('.').unwrap_or((path, "svg"));
            let name = format!("figure-{number}.{}", end.to_ascii_lowercase());
            (written, path, format!("{page_link}{name}"))
        })
        .collect()
}

fn is_photo(path: &str) -> bool {
    photo::kind(path).is_some()
}

/// The pictures of one kind that readers see: as written, the path, and its number from 1 in order of first use.
fn numbered(body: &Body, of_kind: impl Fn(&str) -> bool) -> Vec<(&str, &str, usize)> {
    let mut known: Vec<&str> = Vec::new();
    body.links
        .iter()
        .filter(|link| link.picture && !link.private && of_kind(&link.path))
        .map(|link| {
            let path = link.path.as_str();
            let at = known.iter().position(|other| *other == path);
            let at = at.unwrap_or_else(|| {
                known.push(path);
                known.len() - 1
            });
            (link.written.as_str(), path, at + 1)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_summary_is_the_first_sentence_of_the_first_paragraph() {
        assert_eq!(
            summary(
                "# Rain\n\n```caution\n- Lock off.\n```\n\nIt tripped in the *evening*, and when\nit was [raining](x.md). By then it was dark."
            ),
            "It tripped in the evening, and when it was raining."
        );
        assert_eq!(
            summary("Kept. When one fails it is the driver and not the body. More."),
            "Kept. When one fails it is the driver and not the body."
        );
        assert_eq!(
            summary("> You were here for ten minutes.\n\nBecause a look is an hour."),
            "Because a look is an hour."
        );
        assert_eq!(summary("> Only a question?"), "Only a question?");
        assert_eq!(
            summary("He said “bits.” Then it rained all the way home to Wrack."),
            "He said “bits.” Then it rained all the way home to Wrack."
        );
        assert_eq!(summary("![A plan](x.svg)\n\nWords."), "Words.");
        assert_eq!(summary(""), "");
        assert_eq!(summary("# Only a heading"), "");
    }

    #[test]
    fn a_long_sentence_is_cut_at_a_word() {
        let long = "word ".repeat(80);
        let short = summary(&long);
        assert!(short.chars().count() <= LONGEST_SUMMARY);
        assert!(short.ends_with("word…"));
    }

    #[test]
    fn a_text_with_its_own_caution_gets_no_other() {
        assert_eq!(
            cautions("Text.\n\n```caution\n- Lock off.\n```\n"),
            Vec::<String>::new()
        );
        assert_eq!(cautions("~~~ caution\n~~~\n"), Vec::<String>::new());
        assert_eq!(
            cautions("Mind the caution.\n\n```\ncaution\n```\n").len(),
            3
        );
    }

    /// The body of a log.
    fn body(text: &str) -> Body {
        let log = format!(
            "---\ntitle: x\nref: 2026-001\nvisits: [{{date: 2026-03-02, time: 1h}}]\n---\n\n{text}\n"
        );
        let settings = "title: x\nsite: {address: https://example.com, timezone: Europe/London}\n";
        let files = [("diary.yaml", settings), ("jobs/2026/a.md", log.as_str())];
        let files = files.map(|(path, text)| (path.to_owned(), text.as_bytes().to_vec()));
        crate::diary::read_files(files.to_vec()).diary.jobs[0]
            .body
            .clone()
    }

    #[test]
    fn the_length_of_what_is_private_changes_nothing() {
        let text = |one: &str, other: &str| {
            markdown(&body(&format!(
                "A.\n\n```private\n{one}\n```\n\nB.\n\n```private\n{other}\n```\n\nC."
            )))
        };
        let short = text("x", "y");
        assert_eq!(text("Ring the owner first.\nThen again.", "Dog."), short);
        assert!(short.contains("A.") && short.contains("B.") && short.contains("C."));
    }

    #[test]
    fn only_pictures_that_readers_see_are_numbered() {
        let body = body(
            "![](b.svg) ![](a.jpg) ![](d.svg) ![](b.svg) [x](e.svg)\n\n```private\n![](c.svg)\n```",
        );
        let links: Vec<_> = drawing_links(&body, "x/")
            .into_iter()
            .map(|(written, _, link)| (written, link))
            .collect();
        let expected = [
            ("b.svg", "x/figure-1.svg"),
            ("d.svg", "x/figure-2.svg"),
            ("b.svg", "x/figure-1.svg"),
        ];
        assert_eq!(
            links,
            expected.map(|(written, link)| (written, link.to_owned()))
        );
    }

    #[test]
    fn a_summary_reads_tables_footnotes_and_strokes_as_the_page_does() {
        assert_eq!(
            summary("| a | b |\n|---|---|\n| 1 | 2 |\n\nWords."),
            "Words."
        );
        assert_eq!(summary("It is ~~not~~ done."), "It is not done.");
        assert_eq!(summary("[^1]: A note.\n\nWords[^1] here."), "Words here.");
    }

    #[test]
    fn a_letter_across_the_end_of_the_head_is_left_out() {
        let long = format!("Kept.\n\n{}", "é".repeat(HEAD_OF_BODY));
        assert_eq!(summary(&long), "Kept.");
    }

    #[test]
    fn two_hundred_letters_are_taken_and_one_more_is_not() {
        let two = |letters: usize| summary(&format!("Kept. {}.", "X".repeat(letters)));
        assert_eq!(two(193).len(), LONGEST_SUMMARY);
        assert_eq!(two(194), "Kept.");
        let cut = format!("{}…", ["ab"; 66].join(" "));
        assert_eq!(summary(&"ab ".repeat(100)), cut);
        // A cut after a stop that ends no sentence has one mark, not two.
        let stop = format!("{}e.g. {}", "ab ".repeat(64), "c".repeat(50));
        assert_eq!(summary(&stop), format!("{}e.g…", "ab ".repeat(64)));
    }

    #[test]
    fn a_stop_inside_a_sentence_ends_none() {
        for whole in [
            "The whole heating of the old boat shed draws about 4.5 kW.",
            "Any of the boards that we have seen so far will do, e.g. a grey one.",
        ] {
            assert_eq!(summary(&format!("{whole} Then more.")), whole);
        }
    }
}
