//! A body's Markdown as HTML. The library writes the plain parts; what is ours (links of the diary, pictures,
//! tables, notes, blocks with a word of ours) is put into its events as finished markup.
//!
//! Everything typed is escaped, raw HTML too. Reads no file and reports nothing.

use std::collections::BTreeMap;

use pulldown_cmark::{
    CodeBlockKind, CowStr, Event, HeadingLevel, LinkType, Parser, Tag, TagEnd, html,
};
use serde::Serialize;

use crate::diary::links::leads_away;
use crate::diary::markdown::{Fence, FenceWord, HeadingIds, fence, options};
use crate::public::view::BodyView;
use crate::trade::cautions;

use super::code::{self, escaped};
use super::markdown_flow::{
    Flow, Place, Table, all_words, item_words, levels_down, line, lower, matching, table_name,
    typed_html,
};
use super::notes::Notes;
use super::pictures::{Pictures, href, title_attribute};

/// Who reads the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Readers {
    /// Everybody: a private block gives nothing.
    Public,
    /// The trader alone: private blocks are shown and marked.
    Office,
}

/// What takes the place of the blocks that show something from outside the text.
#[derive(Clone, Debug)]
pub struct Blocks<'a> {
    /// Finished HTML for a `readings` block; may be empty.
    pub readings: &'a str,
    /// Finished HTML for a `materials` block; may be empty.
    pub materials: &'a str,
    /// Finished HTML for each `video` block, by what stands in it.
    pub films: &'a BTreeMap<String, String>,
    /// Heading of a `caution` block, plain text: `Caution`.
    pub caution_heading: &'a str,
    /// Who reads the page.
    pub readers: Readers,
}

/// A body as HTML.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Rendered {
    /// The HTML, in blocks; empty for an empty body.
    pub html: String,
    /// Its headings, in order.
    pub headings: Vec<Heading>,
    /// Whether it has a `caution` block of its own.
    pub has_caution: bool,
}

/// A heading of a body.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Heading {
    /// 2 to 6, as on the page.
    pub level: u8,
    /// Its id.
    pub id: String,
    /// Its plain text, not escaped.
    pub text: String,
}

/// Renders a body. `root` is put in front of every address of the site: `../../`.
///
/// The page has a first heading of its own, so a body's headings begin with the second level; a body that has a
/// first-level heading is moved down by one as a whole.
pub fn render(body: &BodyView, root: &str, blocks: &Blocks<'_>) -> Rendered {
    let mut writer = Writer {
        body,
        root,
        blocks,
        ids: HeadingIds::default(),
        headings: Vec::new(),
        cautions: 0,
        texts: 0,
        tables: 0,
        pictures: Pictures::new(&body.pictures, root),
    };
    let html = writer.text(&body.markdown, Place::Page);
    Rendered {
        html,
        headings: writer.headings,
        has_caution: writer.cautions > 0,
    }
}

struct Writer<'w> {
    body: &'w BodyView,
    root: &'w str,
    blocks: &'w Blocks<'w>,
    ids: HeadingIds,
    headings: Vec<Heading>,
    cautions: usize,
    /// Texts begun: the body and the blocks within it.
    texts: usize,
    tables: usize,
    pictures: Pictures<'w>,
}

impl Writer<'_> {
    fn text(&mut self, markdown: &str, place: Place) -> String {
        self.texts += 1;
        let prefix = match place {
            Place::Page => "foot".to_owned(),
            Place::Block => format!("foot.in.{}", self.texts),
        };
        let (events, notes) = Notes::take(Parser::new_ext(markdown, options()).collect(), prefix);
        let mut flow = Flow {
            out: Vec::with_capacity(events.len()),
            notes,
            place,
            down: levels_down(&events, place),
            lead: place == Place::Page,
            depth: 0,
            links: Vec::new(),
            table: None,
        };
        self.map(&events, &mut flow);
        self.notes(&mut flow);
        let mut out = String::with_capacity(markdown.len() * 2);
        html::push_html(&mut out, flow.out.into_iter());
        out
    }

    fn map<'e>(&mut self, events: &[Event<'e>], flow: &mut Flow<'e>) {
        let mut at = 0;
        while at < events.len() {
            let event = &events[at];
            let top = flow.depth == 0;
            match event {
                Event::Start(_) => flow.depth += 1,
                Event::End(_) => flow.depth -= 1,
                _ => {}
            }
            match event {
                Event::Text(text) | Event::InlineHtml(text) => flow.inline(escaped(text)),
                Event::Code(text) => flow.inline(format!("<code>{}</code>", escaped(text))),
                Event::Start(Tag::CodeBlock(kind)) => {
                    let end = matching(events, at);
                    let text = all_words(&events[at..end]);
                    let block = match kind {
                        CodeBlockKind::Fenced(info) => self.fenced(info, &text),
                        CodeBlockKind::Indented => code::block(None, &text),
                    };
                    flow.block(block);
                    at = flow.skip_to(end);
                }
                Event::Start(Tag::HtmlBlock) => {
                    let end = matching(events, at);
                    let typed: String = events[at..end].iter().filter_map(typed_html).collect();
                    flow.block(format!("<p>{}</p>\n", escaped(typed.trim_end())));
                    at = flow.skip_to(end);
                }
                Event::Start(Tag::Paragraph) => {
                    if let Some((end, figure)) = self.figure(events, at) {
                        flow.block(figure);
                        at = flow.skip_to(end);
                    } else if flow.lead && top {
                        flow.lead = false;
                        let end = matching(events, at);
                        flow.block("<p class=\"lead\">".to_owned());
                        self.map(&events[at + 1..end], flow);
                        flow.inline("</p>\n".to_owned());
                        at = flow.skip_to(end);
                    } else {
                        flow.out.push(event.clone());
                    }
                }
                Event::Start(Tag::Heading { level, id, .. }) => {
                    let text = all_words(&events[at..matching(events, at)]);
                    let level = lower(*level, flow.down);
                    let id = (flow.place == Place::Page)
                        .then(|| self.heading(level, id.as_deref(), text));
                    flow.out.push(Event::Start(Tag::Heading {
                        level,
                        id: id.map(CowStr::from),
                        classes: Vec::new(),
                        attrs: Vec::new(),
                    }));
                }
                Event::End(TagEnd::Heading(level)) => {
                    flow.out
                        .push(Event::End(TagEnd::Heading(lower(*level, flow.down))));
                }
                Event::Start(Tag::Link {
                    link_type,
                    dest_url,
                    title,
                    ..
                }) => {
                    let (begin, end) = self.link(*link_type, dest_url, title);
                    flow.inline(begin);
                    flow.links.push(end);
                }
                Event::End(TagEnd::Link) => {
                    let end = flow.links.pop().unwrap_or_default();
                    flow.inline(end.to_owned());
                }
                Event::Start(Tag::Image {
                    dest_url, title, ..
                }) => {
                    let end = matching(events, at);
                    let alt = all_words(&events[at..end]);
                    let img = self.pictures.img(dest_url, &alt, title);
                    flow.inline(img.unwrap_or_else(|| escaped(&alt)));
                    at = flow.skip_to(end);
                }
                Event::FootnoteReference(name) => {
                    let mark = flow.notes.mention(name);
                    flow.inline(mark);
                }
                Event::TaskListMarker(done) => {
                    let what = item_words(&events[at + 1..]);
                    let checked = if *done { " checked" } else { "" };
                    let what = if what.is_empty() { "Task" } else { &what };
                    flow.inline(format!(
                        "<input type=\"checkbox\" disabled{checked} aria-label=\"{}\" /> ",
                        escaped(what)
                    ));
                }
                Event::Start(Tag::Table(alignments)) => {
                    self.tables += 1;
                    let name = table_name(&events[at..], self.tables);
                    flow.block(format!(
                        "<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"{}\">\n<table>\n",
                        escaped(&name)
                    ));
                    flow.table = Some(Table {
                        alignments: alignments.clone(),
                        cell: 0,
                        rows: 0,
                        tag: "th",
                    });
                }
                event if flow.table.is_some() && flow.table_event(event) => {}
                event => flow.out.push(event.clone()),
            }
            at += 1;
        }
    }

    fn heading(&mut self, level: HeadingLevel, explicit: Option<&str>, text: String) -> String {
        let id = self.ids.next(explicit, &text);
        self.headings.push(Heading {
            level: level as u8,
            id: id.clone(),
            text: text.trim().to_owned(),
        });
        id
    }

    /// A fenced block: one of ours, or code.
    fn fenced(&mut self, info: &str, text: &str) -> String {
        match fence(info) {
            kind if kind.keeps_private() => match self.blocks.readers {
                Readers::Public => String::new(),
                Readers::Office => {
                    let inner = self.text(text, Place::Block);
                    format!(
                        "<aside class=\"private\" aria-label=\"Private\">\n<p class=\"label\">Private</p>\n{inner}</aside>\n"
                    )
                }
            },
            Fence::Ours(FenceWord::Caution) => {
                self.cautions += 1;
                let id = match self.cautions {
                    1 => "h-caution".to_owned(),
                    n => format!("h-caution-{n}"),
                };
                let heading = escaped(self.blocks.caution_heading);
                // No name of its own: two regions called Caution on one page tell a listener nothing.
                let inner = self.text(&cautions::in_words(text), Place::Block);
                format!(
                    "<section class=\"tag\"><h2 id=\"{id}\">{heading}</h2>\n{inner}</section>\n"
                )
            }
            Fence::Ours(FenceWord::Readings) => line(self.blocks.readings),
            Fence::Ours(FenceWord::Materials) => line(self.blocks.materials),
            Fence::Ours(FenceWord::Photos) => self.pictures.block(text),
            Fence::Ours(FenceWord::Video) => match self.blocks.films.get(text) {
                Some(film) => line(film),
                None => code::block(Some(info), text),
            },
            Fence::Ours(_) | Fence::Near(_) | Fence::Other => code::block(Some(info), text),
        }
    }

    /// What begins and ends a link. One that leads nowhere a reader may go is only its words.
    fn link(&self, kind: LinkType, written: &str, title: &str) -> (String, &'static str) {
        let (address, rel) = if let Some(link) = self.body.links.get(written) {
            (format!("{}{link}", self.root), "")
        } else if kind == LinkType::Email {
            (format!("mailto:{written}"), "")
        } else if leads_away(written) {
            let web = written
                .get(..4)
                .is_some_and(|kind| kind.eq_ignore_ascii_case("http"));
            (
                written.to_owned(),
                if web { " rel=\"noopener\"" } else { "" },
            )
        } else if written.len() > 1 && written.starts_with('#') {
            (written.to_owned(), "")
        } else {
            return (String::new(), "");
        };
        (
            format!(
                "<a href=\"{}\"{}{rel}>",
                href(&address),
                title_attribute(title)
            ),
            "</a>",
        )
    }

    /// A paragraph that is one picture and nothing else: where it ends, and its figure.
    fn figure(&mut self, events: &[Event<'_>], at: usize) -> Option<(usize, String)> {
        let Event::Start(Tag::Image {
            dest_url, title, ..
        }) = events.get(at + 1)?
        else {
            return None;
        };
        let end = matching(events, at + 1);
        if events.get(end + 1) != Some(&Event::End(TagEnd::Paragraph)) {
            return None;
        }
        let alt = all_words(&events[at + 1..end]);
        Some((end + 1, self.pictures.figure(dest_url, &alt, title)?))
    }

    /// The list of notes at the end of a text.
    fn notes<'e>(&mut self, flow: &mut Flow<'e>) {
        flow.lead = false;
        let mut number = 1;
        while let Some(events) = flow.notes.nth(number) {
            if number == 1 {
                flow.block(
                    "<section class=\"notes\" role=\"doc-endnotes\" aria-label=\"Notes\">\n<ol>\n"
                        .to_owned(),
                );
            }
            flow.block(format!("<li id=\"{}\">\n", flow.notes.to(number)));
            self.map(&events, flow);
            let back = flow.notes.back(number);
            match flow.out.last() {
                Some(Event::End(TagEnd::Paragraph)) => {
                    flow.out.pop();
                    flow.inline(back);
                    flow.out.push(Event::End(TagEnd::Paragraph));
                }
                _ if back.is_empty() => {}
                _ => flow.block(format!("<p>{}</p>\n", back.trim_start())),
            }
            flow.block("</li>\n".to_owned());
            number += 1;
        }
        if number > 1 {
            flow.block("</ol>\n</section>\n".to_owned());
        }
    }
}
