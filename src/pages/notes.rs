//! Footnotes of one text: numbered in order of first mention, listed at its end, linked both ways.

use std::collections::BTreeMap;

use pulldown_cmark::{Event, Tag, TagEnd};

/// The notes of one text while it is written.
#[derive(Debug)]
pub struct Notes<'e> {
    /// What their ids begin with, so that two texts of one page do not share any.
    prefix: String,
    written: BTreeMap<String, Vec<Event<'e>>>,
    /// Names in order of first mention, each with how often it is mentioned.
    mentioned: Vec<(String, usize)>,
}

impl<'e> Notes<'e> {
    /// Takes the notes out of a text and gives back what is left of it.
    pub fn take(events: Vec<Event<'e>>, prefix: String) -> (Vec<Event<'e>>, Self) {
        let mut flow = Vec::with_capacity(events.len());
        let mut written = BTreeMap::new();
        let mut open: Vec<(String, Vec<Event<'e>>)> = Vec::new();
        for event in events {
            match event {
                Event::Start(Tag::FootnoteDefinition(name)) => open.push((key(&name), Vec::new())),
                Event::End(TagEnd::FootnoteDefinition) => {
                    if let Some((name, events)) = open.pop() {
                        written.entry(name).or_insert(events);
                    }
                }
                event => match open.last_mut() {
                    Some((_, events)) => events.push(event),
                    None => flow.push(event),
                },
            }
        }
        let notes = Notes {
            prefix,
            written,
            mentioned: Vec::new(),
        };
        (flow, notes)
    }

    /// The mark of a note in the text.
    pub fn mention(&mut self, name: &str) -> String {
        let name = key(name);
        let at = self.number(&name);
        self.mentioned[at].1 += 1;
        let number = at + 1;
        let from = self.from(number, self.mentioned[at].1);
        let to = self.to(number);
        format!(
            "<sup class=\"note-mark\"><a href=\"#{to}\" id=\"{from}\" role=\"doc-noteref\" aria-label=\"Note {number}\">{number}</a></sup>"
        )
    }

    /// The note that is to be written as number `number` (from 1), and `None` when all are written. Notes that
    /// nothing mentions come last: what somebody wrote is not lost.
    pub fn nth(&mut self, number: usize) -> Option<Vec<Event<'e>>> {
        if number > self.mentioned.len() {
            let rest = self
                .written
                .keys()
                .find(|name| {
                    !self
                        .mentioned
                        .iter()
                        .any(|(mentioned, _)| mentioned == *name)
                })?
                .clone();
            self.mentioned.push((rest, 0));
        }
        let (name, _) = &self.mentioned[number - 1];
        Some(self.written.get(name).cloned().unwrap_or_default())
    }

    /// The id of a note, from 1.
    pub fn to(&self, number: usize) -> String {
        format!("{}.{number}", self.prefix)
    }

    /// Links from a note back to where the text mentions it; empty where nothing does.
    pub fn back(&self, number: usize) -> String {
        let times = self.mentioned[number - 1].1;
        (1..=times)
            .map(|time| {
                let (from, which) = (self.from(number, time), if time == 1 { String::new() } else { format!(" {time}") });
                format!(
                    " <a class=\"note-back\" href=\"#{from}\" role=\"doc-backlink\" aria-label=\"Back{which} to where note {number} is mentioned\">Back{which}</a>"
                )
            })
            .collect()
    }

    fn from(&self, number: usize, time: usize) -> String {
        format!("{}.{number}.from.{time}", self.prefix)
    }

    fn number(&mut self, name: &str) -> usize {
        if let Some(at) = self
            .mentioned
            .iter()
            .position(|(mentioned, _)| mentioned == name)
        {
            return at;
        }
        self.mentioned.push((name.to_owned(), 0));
        self.mentioned.len() - 1
    }
}

/// Names of notes are matched without regard to case.
fn key(name: &str) -> String {
    name.to_lowercase()
}
