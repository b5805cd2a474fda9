//! Reads the Markdown body of one file: private blocks out of it, links and pictures, and what is wrong with it.
//!
//! Does not look whether a linked file is there, does not know the names of the cautions, and writes no HTML.

use std::borrow::Cow;
use std::collections::BTreeSet;
use std::ops::Range;
use std::sync::Arc;

use pulldown_cmark::{CodeBlockKind, Event, LinkType, Parser, Tag, TagEnd};

use crate::diagnose::{Code, Diagnostic, FileId, Span, nearest};
use crate::model::{At, Body, BodyFilm, BodyLink, Private, PrivateBlock};

use super::blocks::{self, Block, Shut};
pub use super::links::resolve_link;
use super::markdown::{Fence, FenceWord, HeadingIds, fence, first_word, options, words};
use super::offsets::Offsets;
use super::{photo_block, pictures};

/// Reads the body of a file. `text` is the whole file, `body_start` the byte where its body begins, `diary_path`
/// the file's path relative to the diary. Whatever is wrong is added to `diagnostics`, in order of the text.
///
/// `open` of the result holds the body alone, `start` bytes into the file; a lone CR in it is an LF.
pub fn read(
    file: FileId,
    text: &str,
    body_start: usize,
    diary_path: &str,
    diagnostics: &mut Vec<Diagnostic>,
) -> Body {
    let mark = if text[body_start..].starts_with('\u{feff}') {
        '\u{feff}'.len_utf8()
    } else {
        0
    };
    let start = body_start + mark;
    let body = one_kind_of_line(&text[start..]);
    let mut reader = Reader {
        file,
        diary_path,
        found: Vec::new(),
        links: Vec::new(),
        private: Vec::new(),
        blanks: Vec::new(),
        films: Vec::new(),
        ids: HeadingIds::default(),
        anchors: Vec::new(),
        open_tags: BTreeSet::new(),
    };
    reader.scan(&body, &Offsets::whole(start, body.len()), Within::Page, 0);
    reader.check_anchors();
    reader
        .found
        .sort_by_key(|d| (d.span.start, d.span.end, d.code));
    diagnostics.append(&mut reader.found);

    let mut open = body.clone().into_owned();
    for blank in &reader.blanks {
        blocks::blank(
            &mut open,
            blank.start - start..blank.end - start,
            blank.quotes,
            blank.stand_in,
        );
    }
    Body {
        open: Arc::from(open),
        start: u32::try_from(start).expect("files beyond 4 GiB are refused"),
        private: reader.private,
        links: reader.links,
        anchors: reader.anchors,
        films: reader.films,
    }
}

/// The first heading of a body, which gives a page without front matter its title: its plain text, and where it
/// stands. `None` where there is none, or one without words.
pub fn first_heading(file: FileId, text: &str, body_start: usize) -> Option<At<String>> {
    let body = one_kind_of_line(&text[body_start..]);
    // A byte-order mark would make a paragraph of the heading behind it.
    let bare = body.trim_start_matches('\u{feff}');
    let start = body_start + body.len() - bare.len();
    let mut heading: Option<(Range<usize>, String)> = None;
    for (event, range) in Parser::new_ext(bare, options()).into_offset_iter() {
        match (&event, &mut heading) {
            (Event::Start(Tag::Heading { .. }), _) => heading = Some((range, String::new())),
            (Event::End(TagEnd::Heading(_)), Some(_)) => break,
            (event, Some((_, text))) => text.extend(words(event)),
            _ => {}
        }
    }
    let (range, text) = heading?;
    let line = bare[range.clone()].trim_end();
    let span = Span::new(file, start + range.start, start + range.start + line.len());
    let title = text.trim();
    (!title.is_empty()).then(|| At::new(title.to_owned(), span))
}

/// The parser finds no fence on lines that end in CR alone, and would show a private block as a paragraph.
fn one_kind_of_line(body: &str) -> Cow<'_, str> {
    let bytes = body.as_bytes();
    let lone = |at: usize| bytes[at] == b'\r' && bytes.get(at + 1) != Some(&b'\n');
    if !(0..bytes.len()).any(lone) {
        return Cow::Borrowed(body);
    }
    let mut rest = body.chars().peekable();
    let mut out = String::with_capacity(body.len());
    while let Some(c) = rest.next() {
        out.push(if c == '\r' && rest.peek() != Some(&'\n') {
            '\n'
        } else {
            c
        });
    }
    Cow::Owned(out)
}

/// What the scanned text is part of.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Within {
    Page,
    Caution,
    Private,
}

/// A private block to be blanked: bytes in the file.
struct Blank {
    start: usize,
    end: usize,
    /// Block quotes round it.
    quotes: usize,
    /// Whether it is the first thing in a list item or footnote.
    stand_in: blocks::StandIn,
}

struct Reader<'t> {
    file: FileId,
    diary_path: &'t str,
    found: Vec<Diagnostic>,
    links: Vec<BodyLink>,
    private: Vec<PrivateBlock>,
    blanks: Vec<Blank>,
    films: Vec<BodyFilm>,
    ids: HeadingIds,
    anchors: Vec<String>,
    /// Inline HTML tags already told of: their end tags are not told again.
    open_tags: BTreeSet<String>,
}

impl Reader<'_> {
    fn span(&self, range: Range<usize>) -> Span {
        Span::new(self.file, range.start, range.end)
    }

    /// Goes through one text. `quotes` counts the block quotes round it in the file.
    fn scan(&mut self, text: &str, offsets: &Offsets, within: Within, quotes: usize) {
        let mut depth = quotes;
        let mut stand_in = blocks::StandIn::None;
        let mut block: Option<Block> = None;
        let mut heading: Option<(Option<String>, String)> = None;
        let mut pictures: Vec<(String, String)> = Vec::new();
        for (event, range) in Parser::new_ext(text, options()).into_offset_iter() {
            if let Some(open) = &mut block {
                match event {
                    Event::Text(words) => open.push(&words, range),
                    Event::End(_) => {
                        let done = block.take().expect("just matched");
                        self.block(text, offsets, &done, within);
                    }
                    _ => {}
                }
                continue;
            }
            if let Some(words) = words(&event) {
                heading
                    .iter_mut()
                    .for_each(|(_, text)| text.push_str(words));
                pictures.iter_mut().for_each(|(_, alt)| alt.push_str(words));
            }
            let first = std::mem::replace(&mut stand_in, blocks::StandIn::None);
            match event {
                Event::Start(Tag::BlockQuote(_)) => depth += 1,
                Event::End(TagEnd::BlockQuote(_)) => depth -= 1,
                Event::Start(Tag::Item | Tag::FootnoteDefinition(_)) => {
                    stand_in = blocks::StandIn::Definition
                }
                Event::Start(Tag::CodeBlock(kind)) => {
                    let info = match kind {
                        CodeBlockKind::Fenced(info) => Some(info.into_string()),
                        CodeBlockKind::Indented => None,
                    };
                    block = Some(Block::new(text, info, range, depth, first));
                }
                Event::Start(Tag::Heading { id, .. }) => {
                    heading = Some((id.map(|id| id.into_string()), String::new()));
                }
                Event::End(TagEnd::Heading(_)) => {
                    if let (Some((id, text)), Within::Page) = (heading.take(), within) {
                        let id = self.ids.next(id.as_deref(), &text);
                        self.anchors.push(id);
                    }
                }
                // A private block is shown as it was typed, in the office: a tag in it is a word like any other.
                Event::Start(Tag::HtmlBlock) | Event::InlineHtml(_)
                    if within == Within::Private => {}
                Event::Start(Tag::HtmlBlock) => {
                    let line = text[range.clone()]
                        .find(['\r', '\n'])
                        .unwrap_or(range.len());
                    let at = range.start..range.start + line;
                    self.html(&text[range], offsets.range(&at));
                }
                Event::InlineHtml(tag) => self.html(&tag, offsets.range(&range)),
                Event::Code(code) => self.one_line_private(text, &code, &range, offsets),
                Event::Start(Tag::Link {
                    link_type,
                    dest_url,
                    ..
                }) if link_type != LinkType::Email => {
                    self.link(&dest_url, offsets.range(&range), within);
                }
                Event::Start(Tag::Image { dest_url, .. }) => {
                    pictures.push((dest_url.into_string(), String::new()))
                }
                Event::End(TagEnd::Image) => {
                    if let Some((written, alt)) = pictures.pop() {
                        self.picture(written, &alt, offsets.range(&range), within);
                    }
                }
                _ => {}
            }
        }
    }

    fn block(&mut self, text: &str, offsets: &Offsets, block: &Block, within: Within) {
        let in_file = offsets.range(&block.range);
        let first_line = {
            let line = text[block.range.clone()]
                .find(['\r', '\n'])
                .unwrap_or(block.range.len());
            self.span(offsets.range(&(block.range.start..block.range.start + line)))
        };
        let pieces = Offsets(
            block
                .pieces
                .iter()
                .map(|(at, range)| {
                    let range = offsets.range(range);
                    (*at, range.start, range.len())
                })
                .collect(),
        );
        let kind = block.info.as_deref().map_or(Fence::Other, fence);
        match block.shut(text) {
            Shut::Closed => self.swallowed(block, first_line, &pieces),
            Shut::Open { .. } if kind != Fence::Other => self.never_ends(first_line),
            Shut::Open { to_the_end: true } => self.never_ends(first_line),
            Shut::Open { to_the_end: false } => {}
        }
        let inner = |within_word| {
            if within == Within::Private {
                Within::Private
            } else {
                within_word
            }
        };
        match kind {
            kind if kind.keeps_private() => {
                if let Fence::Near(_) = kind {
                    self.near(block, first_line, FenceWord::Private);
                }
                if within != Within::Private {
                    self.private.push(PrivateBlock {
                        text: Private::new(block.text.clone()),
                        span: self.span(in_file.clone()),
                    });
                    self.blanks.push(Blank {
                        start: in_file.start,
                        end: in_file.end,
                        quotes: block.quotes,
                        stand_in: block.stand_in,
                    });
                }
                self.scan(&block.text, &pieces, Within::Private, block.quotes);
            }
            Fence::Ours(FenceWord::Caution) => {
                self.scan(&block.text, &pieces, inner(Within::Caution), block.quotes);
            }
            Fence::Ours(FenceWord::Photos) => self.photos(block, &pieces, within),
            Fence::Ours(FenceWord::Video) if within == Within::Private => {}
            Fence::Ours(FenceWord::Video) => self.film(block, first_line, &pieces, within),
            Fence::Near(meant) => self.near(block, first_line, meant),
            Fence::Ours(_) | Fence::Other => {}
        }
    }

    /// What a `video` block holds is read with the front matter's words, so it must stand in the file as it is read.
    fn film(&mut self, block: &Block, first_line: Span, pieces: &Offsets, within: Within) {
        if within != Within::Page || block.quotes > 0 {
            self.found.push(Diagnostic::error(
                Code::UnknownWord,
                first_line,
                "a film stands by itself, not inside another block or a quotation",
                "Move it to the lines before or after.",
            ));
            return;
        }
        let span = match block.text.is_empty() {
            true => first_line,
            false => self.span(pieces.range(&(0..block.text.len()))),
        };
        self.films.push(BodyFilm {
            written: block.text.clone(),
            span,
            film: None,
        });
    }

    fn never_ends(&mut self, first_line: Span) {
        self.found.push(Diagnostic::error(
            Code::FenceOpen,
            first_line,
            "this block begins and never ends",
            "Write its fence again, alone on a line, where the block ends.",
        ));
    }

    /// A block that lost its end runs on to the end of the next one, and shows or hides what it must not.
    fn swallowed(&mut self, block: &Block, first_line: Span, pieces: &Offsets) {
        let Some((at, word)) = block.swallowed() else {
            return;
        };
        let place = self.span(pieces.range(&at));
        if block.info.is_none() {
            self.found.push(Diagnostic::error(
                Code::FenceOpen,
                place,
                format!("this {word} block is indented so far that it is only code"),
                "Write its fence no further in than the text round it.",
            ));
        } else {
            self.found.push(
                Diagnostic::error(
                    Code::FenceOpen,
                    first_line,
                    format!("this block ends only after a {word} block has begun in it"),
                    "Write its fence again where the block ends. To show such a block as text, fence it with ~~~~.",
                )
                .also(place, format!("the {word} block")),
            );
        }
    }

    fn near(&mut self, block: &Block, first_line: Span, meant: FenceWord) {
        let typed = first_word(block.info.as_deref().unwrap_or_default());
        let meant = meant.as_str();
        let message = format!("{typed} is not one of the words for a block");
        self.found.push(if meant == FenceWord::Private.as_str() {
            let help = "Write private, or readers would see the block as code.";
            Diagnostic::error(Code::UnknownWord, first_line, message, help)
        } else {
            let help = format!(
                "Write {meant} if that is meant; as it stands, readers see the block as code."
            );
            Diagnostic::warning(Code::UnknownWord, first_line, message, help)
        });
    }

    /// ```` ```private like this``` ```` is no block to Markdown but a piece of code in a line.
    fn one_line_private(
        &mut self,
        text: &str,
        code: &str,
        range: &Range<usize>,
        offsets: &Offsets,
    ) {
        let fence_like = text[range.start..].starts_with("```")
            || (text[range.start..].starts_with("``") && text[range.clone()].contains('\n'));
        let more = code.trim().contains(char::is_whitespace);
        if fence_like && more && fence(code).keeps_private() {
            let span = self.span(offsets.range(range));
            self.found.push(Diagnostic::error(
                Code::UnknownWord,
                span,
                "readers would see this private note as code",
                "Write ```private, the note and ``` each on a line of its own.",
            ));
        }
    }

    fn html(&mut self, html: &str, at: Range<usize>) {
        let tag = blocks::tag(html);
        if let Some(name) = tag.strip_prefix("</") {
            if self.open_tags.contains(name) {
                return;
            }
        } else if let Some(name) = tag.strip_prefix('<') {
            self.open_tags.insert(name.to_owned());
        }
        let span = self.span(at);
        let diagnostic = if tag == "<!--" {
            Diagnostic::error(
                Code::RawHtml,
                span,
                "a comment in HTML is not used in a diary",
                "For a note that readers must not see, write a private block: ```private, the note, ```.",
            )
        } else {
            Diagnostic::error(
                Code::RawHtml,
                span,
                format!("HTML is not used in a diary: {tag}"),
                "Write plain Markdown. To show the sign <, write &lt; or put the words between backticks.",
            )
        };
        self.found.push(diagnostic);
    }

    fn link(&mut self, written: &str, at: Range<usize>, within: Within) {
        match resolve_link(self.diary_path, written, self.span(at)) {
            Ok(link) => self.links.extend(link.map(|link| BodyLink {
                private: within == Within::Private,
                ..link
            })),
            Err(fault) => self.found.push(fault),
        }
    }

    fn picture(&mut self, written: String, alt: &str, at: Range<usize>, within: Within) {
        let span = self.span(at);
        let link = pictures::picture(written, alt, self.diary_path, span, &mut self.found);
        self.take_picture(link, within);
    }

    fn take_picture(&mut self, link: Option<BodyLink>, within: Within) {
        self.links.extend(link.map(|link| BodyLink {
            private: within == Within::Private,
            ..link
        }));
    }

    /// The photos of a block, which has a line or two for each.
    fn photos(&mut self, block: &Block, pieces: &Offsets, within: Within) {
        let (figures, wrong) = photo_block::figures(&block.text);
        for wrong in wrong {
            let span = self.span(pieces.range(&wrong.at));
            self.found.push(Diagnostic::error(
                Code::PhotoLine,
                span,
                wrong.message,
                wrong.help,
            ));
        }
        for photo in figures.iter().flat_map(|figure| &figure.photos) {
            let span = self.span(pieces.range(&photo.at));
            let link = pictures::photo(photo, self.diary_path, span, &mut self.found);
            self.take_picture(link, within);
        }
    }

    fn check_anchors(&mut self) {
        for link in self
            .links
            .iter()
            .filter(|link| link.path.is_empty() && !link.picture)
        {
            let Some(anchor) = link.anchor.as_deref() else {
                continue;
            };
            if self.anchors.iter().any(|id| id == anchor) {
                continue;
            }
            let help = match nearest(anchor, self.anchors.iter().map(String::as_str)) {
                Some(id) => format!("Write #{id}."),
                None if self.anchors.is_empty() => {
                    "The page has no headings to link to.".to_owned()
                }
                None => format!("Its headings are #{}.", self.anchors.join(", #")),
            };
            self.found.push(Diagnostic::warning(
                Code::BrokenAnchor,
                link.span,
                format!("there is no heading #{anchor} on this page"),
                help,
            ));
        }
    }
}
