//! One text of a body while its events are mapped: what has been written so far, its table, and what is read off the
//! events ahead.
//!
//! Knows no page; what an event becomes is [`super::markdown`]'s business.

use pulldown_cmark::{Alignment, Event, HeadingLevel, Tag, TagEnd};

use super::notes::Notes;
use crate::diary::markdown::words;

/// What a text is part of.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Place {
    Page,
    /// Within a block of ours, under that block's heading.
    Block,
}

/// One text while its events are mapped.
pub(super) struct Flow<'e> {
    pub(super) out: Vec<Event<'e>>,
    pub(super) notes: Notes<'e>,
    pub(super) place: Place,
    /// Levels that headings move down.
    pub(super) down: usize,
    /// Whether the first paragraph is still to come.
    pub(super) lead: bool,
    pub(super) depth: usize,
    /// What ends each open link.
    pub(super) links: Vec<&'static str>,
    pub(super) table: Option<Table>,
}

pub(super) struct Table {
    pub(super) alignments: Vec<Alignment>,
    pub(super) cell: usize,
    pub(super) rows: usize,
    /// `th` in the head, `td` below.
    pub(super) tag: &'static str,
}

impl<'e> Flow<'e> {
    pub(super) fn inline(&mut self, html: String) {
        if !html.is_empty() {
            self.out.push(Event::InlineHtml(html.into()));
        }
    }

    /// Finished markup that begins on a line of its own.
    pub(super) fn block(&mut self, html: String) {
        if html.is_empty() {
            return;
        }
        if !self.at_line_start() {
            self.out.push(Event::InlineHtml("\n".into()));
        }
        self.out.push(Event::Html(html.into()));
    }

    fn at_line_start(&self) -> bool {
        match self.out.last() {
            None => true,
            Some(Event::Html(html) | Event::InlineHtml(html)) => html.ends_with('\n'),
            Some(Event::Start(tag)) => matches!(tag, Tag::List(_) | Tag::BlockQuote(_)),
            Some(Event::End(tag)) => !matches!(
                tag,
                TagEnd::Emphasis | TagEnd::Strong | TagEnd::Strikethrough
            ),
            Some(Event::SoftBreak | Event::HardBreak | Event::Rule) => true,
            Some(_) => false,
        }
    }

    /// Passes over everything up to an end, which is counted as passed too.
    pub(super) fn skip_to(&mut self, end: usize) -> usize {
        self.depth -= 1;
        end
    }

    /// Writes a part of a table; false for what is no such part.
    pub(super) fn table_event(&mut self, event: &Event<'_>) -> bool {
        let Some(table) = &mut self.table else {
            return false;
        };
        let html = match event {
            Event::Start(Tag::TableHead) => "<thead>\n<tr>".to_owned(),
            Event::End(TagEnd::TableHead) => {
                table.tag = "td";
                "</tr>\n</thead>\n".to_owned()
            }
            Event::Start(Tag::TableRow) => {
                table.cell = 0;
                table.rows += 1;
                if table.rows == 1 {
                    "<tbody>\n<tr>"
                } else {
                    "<tr>"
                }
                .to_owned()
            }
            Event::End(TagEnd::TableRow) => "</tr>\n".to_owned(),
            Event::Start(Tag::TableCell) => {
                let class = match table.alignments.get(table.cell) {
                    Some(Alignment::Right) => " class=\"num\"",
                    Some(Alignment::Center) => " class=\"mid\"",
                    _ => "",
                };
                let scope = if table.tag == "th" {
                    " scope=\"col\""
                } else {
                    ""
                };
                format!("<{}{scope}{class}>", table.tag)
            }
            Event::End(TagEnd::TableCell) => {
                table.cell += 1;
                format!("</{}>", table.tag)
            }
            Event::End(TagEnd::Table) => {
                let body = if table.rows > 0 { "</tbody>\n" } else { "" };
                self.table = None;
                format!("{body}</table>\n</div>\n")
            }
            _ => return false,
        };
        self.inline(html);
        true
    }
}

/// How far the headings of a text move down.
pub(super) fn levels_down(events: &[Event<'_>], place: Place) -> usize {
    let highest = events
        .iter()
        .filter_map(|event| match event {
            Event::Start(Tag::Heading { level, .. }) => Some(*level as usize),
            _ => None,
        })
        .min();
    let first = match place {
        Place::Page => 2,
        Place::Block => 3,
    };
    highest.map_or(0, |highest| first - highest.min(first))
}

pub(super) fn lower(level: HeadingLevel, by: usize) -> HeadingLevel {
    HeadingLevel::try_from((level as usize + by).min(6)).expect("1 to 6")
}

/// Where the event at `start` has its end.
pub(super) fn matching(events: &[Event<'_>], start: usize) -> usize {
    let mut depth = 0;
    for (at, event) in events.iter().enumerate().skip(start) {
        match event {
            Event::Start(_) => depth += 1,
            Event::End(_) => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return at;
        }
    }
    events.len() - 1
}

pub(super) fn all_words(events: &[Event<'_>]) -> String {
    events.iter().filter_map(words).collect()
}

pub(super) fn typed_html<'t>(event: &'t Event<'_>) -> Option<&'t str> {
    match event {
        Event::Html(text) | Event::Text(text) => Some(text),
        _ => None,
    }
}

/// The words of a task, up to the end of its first line of text.
pub(super) fn item_words(after: &[Event<'_>]) -> String {
    let inline = |event: &&Event<'_>| match event {
        Event::Start(tag) => matches!(
            tag,
            Tag::Emphasis | Tag::Strong | Tag::Strikethrough | Tag::Link { .. } | Tag::Image { .. }
        ),
        Event::End(tag) => matches!(
            tag,
            TagEnd::Emphasis
                | TagEnd::Strong
                | TagEnd::Strikethrough
                | TagEnd::Link
                | TagEnd::Image
        ),
        Event::Html(_) | Event::Rule => false,
        _ => true,
    };
    let text: String = after.iter().take_while(inline).filter_map(words).collect();
    text.trim().to_owned()
}

/// A table's name for those who hear it: what its columns are called.
pub(super) fn table_name(events: &[Event<'_>], number: usize) -> String {
    let mut columns: Vec<String> = Vec::new();
    for event in events {
        match event {
            Event::Start(Tag::TableCell) => columns.push(String::new()),
            Event::End(TagEnd::TableHead) => break,
            event => {
                if let (Some(column), Some(words)) = (columns.last_mut(), words(event)) {
                    column.push_str(words);
                }
            }
        }
    }
    columns.retain(|column| !column.trim().is_empty());
    let table = if number == 1 {
        "Table".to_owned()
    } else {
        format!("Table {number}")
    };
    if columns.is_empty() {
        table
    } else {
        format!("{table}: {}", columns.join(", "))
    }
}

pub(super) fn line(html: &str) -> String {
    if html.is_empty() || html.ends_with('\n') {
        html.to_owned()
    } else {
        format!("{html}\n")
    }
}
