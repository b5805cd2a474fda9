//! New entries put into YAML that is there, as insertions alone: every byte that stood there stays, comments and
//! order and line ends with it. Knows no key of a log.

use std::ops::Range;

use super::yaml::Yaml;
use crate::diagnose::Sources;
use crate::diary::yaml::{self, Node, Value};

/// Text that goes in at a byte.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Insertion {
    /// The byte before which it goes.
    pub at: usize,
    /// The text.
    pub text: String,
}

/// Why an entry cannot be put in surely.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unsure {
    /// The YAML does not read.
    Broken,
    /// All of it stands in brackets.
    InBrackets,
    /// The key holds something that is no list.
    NoList(&'static str),
    /// A list's dash stands on a line of its own, or the like.
    Layout(&'static str),
}

/// YAML with the places of its keys.
pub struct Document<'t> {
    text: &'t str,
    yaml: Range<usize>,
    root: Node,
    line_end: &'static str,
}

impl<'t> Document<'t> {
    /// The YAML at a range of a file's text.
    ///
    /// # Errors
    /// It does not read, or is one map in brackets.
    pub fn new(text: &'t str, range: Range<usize>) -> Result<Self, Unsure> {
        let file = Sources::default().add("x", "");
        let mut faults = Vec::new();
        let root = yaml::parse(file, text, range.clone(), &mut faults).ok_or(Unsure::Broken)?;
        if !matches!(root.value, Value::Map(_)) {
            return Err(Unsure::Broken);
        }
        if is_flow(text, &root) {
            return Err(Unsure::InBrackets);
        }
        Ok(Document {
            text,
            yaml: range,
            root,
            line_end: line_end_of(text),
        })
    }

    /// The value of a key at the top, where it has one.
    pub fn get(&self, key: &str) -> Option<&Node> {
        entry(&self.root, key).map(|(_, node)| node)
    }

    /// Appends entries to the list under a key at the top; the key is made, after the last of `after` that is there,
    /// where it is not. `place` names the item of a list after which the new ones go, if not the last.
    ///
    /// # Errors
    /// The list's layout is one that text cannot be put into surely.
    pub fn append(
        &self,
        key: &'static str,
        after: &[&str],
        entries: &[Yaml],
        place: Place,
    ) -> Result<Insertion, Unsure> {
        let Some((key_span, node)) = entry_with_key(&self.root, key) else {
            return Ok(self.new_key(key, after, entries));
        };
        if node.is_empty() {
            // `findings:` with nothing after it takes items below; `findings: ~` would not.
            let bare =
                node.span.start == node.span.end || self.text[range_of(node)].trim().is_empty();
            let column = self.column(key_span.start);
            return if bare {
                let at = self.line_after(key_span.end as usize);
                Ok(Insertion {
                    at,
                    text: self.block_items(column + 2, entries),
                })
            } else {
                Err(Unsure::NoList(key))
            };
        }
        let mut insertion = self.append_to_list(node, entries, place, key)?;
        // Comments between the key and the first item are about that item, and stay above it.
        if place == Place::First && !is_flow(self.text, node) {
            insertion.at = self.line_after(key_span.end as usize);
        }
        Ok(insertion)
    }

    /// Appends entries to a list, wherever it stands.
    ///
    /// # Errors
    /// As [`Document::append`].
    pub fn append_to_list(
        &self,
        list: &Node,
        entries: &[Yaml],
        place: Place,
        key: &'static str,
    ) -> Result<Insertion, Unsure> {
        let Value::List(items) = &list.value else {
            return Err(Unsure::NoList(key));
        };
        if is_flow(self.text, list) {
            let flow: Vec<String> = entries.iter().map(Yaml::flow).collect();
            let flow = flow.join(", ");
            return Ok(match items.last() {
                Some(last) => Insertion {
                    at: self.end_of(last),
                    text: format!(", {flow}"),
                },
                None => Insertion {
                    at: list.span.start as usize + 1,
                    text: flow,
                },
            });
        }
        let first = items.first().ok_or(Unsure::Layout(key))?;
        let dash = self.dash_column(first).ok_or(Unsure::Layout(key))?;
        let at = match place {
            Place::Last => self.line_after(self.end_of(items.last().unwrap_or(first))),
            Place::After(index) => self.line_after(self.end_of(items.get(index).unwrap_or(first))),
            Place::First => self.line_start(first.span.start as usize),
        };
        let text = format!("{}{}", self.fresh_line(at), self.block_items(dash, entries));
        Ok(Insertion { at, text })
    }

    /// Adds a key with a value to a map, after its last key.
    ///
    /// # Errors
    /// The map is empty or no map.
    pub fn add_key(
        &self,
        map: &Node,
        key: &'static str,
        value: &Yaml,
    ) -> Result<Insertion, Unsure> {
        let Value::Map(entries) = &map.value else {
            return Err(Unsure::Layout(key));
        };
        let (first, _) = entries.first().ok_or(Unsure::Layout(key))?;
        let (last, last_value) = entries.last().ok_or(Unsure::Layout(key))?;
        let end = self.end_of_entry(last.span.end, last_value);
        if is_flow(self.text, map) {
            return Ok(Insertion {
                at: end,
                text: format!(", {key}: {}", value.flow()),
            });
        }
        let column = self.column(first.span.start);
        let at = self.line_after(end);
        let fresh = self.fresh_line(at);
        let text = format!(
            "{fresh}{:column$}{key}: {}{}",
            "",
            value.flow(),
            self.line_end
        );
        Ok(Insertion { at, text })
    }

    /// Where the last thing written in a node ends. A value that is not there may be placed on the next line, so the
    /// key's end counts for it.
    fn end_of(&self, node: &Node) -> usize {
        match &node.value {
            Value::Scalar { .. } => {
                // A block of text (`|`) is said to end where the next line begins.
                let range = range_of(node);
                range.start + self.text[range].trim_end().len()
            }
            Value::List(items) => items.last().map_or(node.span.end as usize, |item| {
                self.end_of(item).max(closing_bracket(node, item))
            }),
            Value::Map(entries) => entries
                .last()
                .map_or(node.span.end as usize, |(key, value)| {
                    self.end_of_entry(key.span.end, value)
                        .max(closing_bracket(node, value))
                }),
        }
    }

    fn end_of_entry(&self, key_end: u32, value: &Node) -> usize {
        if value.is_empty() && value.span.start == value.span.end {
            key_end as usize + 1
        } else {
            self.end_of(value)
        }
    }

    fn new_key(&self, key: &str, after: &[&str], entries: &[Yaml]) -> Insertion {
        let Value::Map(keys) = &self.root.value else {
            return Insertion {
                at: self.yaml.end,
                text: String::new(),
            };
        };
        let column = keys
            .first()
            .map_or(0, |(key, _)| self.column(key.span.start));
        let before = keys
            .iter()
            .rfind(|(key, _)| after.contains(&key.value.as_str()));
        let at = before.map_or(self.yaml.end, |(key, node)| {
            self.line_after(self.end_of_entry(key.span.end, node))
        });
        let head = format!("{:column$}{key}:{}", "", self.line_end);
        Insertion {
            at,
            text: head + &self.block_items(column + 2, entries),
        }
    }

    /// The line end that is wanting before a new line at a byte: the last line of a file may have none.
    fn fresh_line(&self, at: usize) -> &'static str {
        if at == 0 || self.text[..at].ends_with(['\n', '\r']) {
            ""
        } else {
            self.line_end
        }
    }

    fn block_items(&self, dash: usize, entries: &[Yaml]) -> String {
        let mut out = String::new();
        for entry in entries {
            for (index, line) in entry.item().iter().enumerate() {
                let mark = if index == 0 { "- " } else { "  " };
                out.push_str(&format!("{:dash$}{mark}{line}{}", "", self.line_end));
            }
        }
        out
    }

    /// The column of the dash before a list's item; `None` where it does not stand on the item's first line.
    fn dash_column(&self, item: &Node) -> Option<usize> {
        let start = self.line_start(item.span.start as usize);
        let before = &self.text[start..item.span.start as usize];
        let column = before.find('-')?;
        (before.trim() == "-" && before[..column].bytes().all(|b| b == b' ')).then_some(column)
    }

    fn column(&self, byte: u32) -> usize {
        let byte = byte as usize;
        byte - self.line_start(byte)
    }

    fn line_start(&self, byte: usize) -> usize {
        self.text[..byte].rfind(['\n', '\r']).map_or(0, |at| at + 1)
    }

    /// Where the line after the one that holds a byte begins.
    fn line_after(&self, byte: usize) -> usize {
        let rest = &self.text[byte..];
        let Some(end) = rest.find(['\n', '\r']) else {
            return self.text.len();
        };
        byte + end
            + if rest[end..].starts_with("\r\n") {
                2
            } else {
                1
            }
    }
}

/// Where in a list entries go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// At its end.
    Last,
    /// After one of its items.
    After(usize),
    /// Before all of them.
    First,
}

/// The line end that a text uses first; LF where it has none.
pub fn line_end_of(text: &str) -> &'static str {
    match text.find(['\n', '\r']) {
        Some(at) if text[at..].starts_with("\r\n") => "\r\n",
        Some(at) if text[at..].starts_with('\r') => "\r",
        _ => "\n",
    }
}

/// A text with insertions in it; those at one place keep their order.
pub fn apply(text: &str, insertions: &[Insertion]) -> String {
    let mut sorted: Vec<&Insertion> = insertions.iter().collect();
    sorted.sort_by_key(|insertion| insertion.at);
    let mut out =
        String::with_capacity(text.len() + sorted.iter().map(|i| i.text.len()).sum::<usize>());
    let mut done = 0;
    for insertion in sorted {
        out.push_str(&text[done..insertion.at]);
        out.push_str(&insertion.text);
        done = insertion.at;
    }
    out.push_str(&text[done..]);
    out
}

/// The value of a key of a map.
pub fn entry<'n>(map: &'n Node, key: &str) -> Option<(u32, &'n Node)> {
    entry_with_key(map, key).map(|(span, node)| (span.start, node))
}

fn entry_with_key<'n>(map: &'n Node, key: &str) -> Option<(crate::diagnose::Span, &'n Node)> {
    let Value::Map(entries) = &map.value else {
        return None;
    };
    entries
        .iter()
        .find(|(name, _)| name.value == key)
        .map(|(name, node)| (name.span, node))
}

fn range_of(node: &Node) -> Range<usize> {
    node.span.start as usize..node.span.end as usize
}

fn is_flow(text: &str, node: &Node) -> bool {
    text[node.span.start as usize..].starts_with(['[', '{'])
}

/// The end of a node that reaches further than its last part: behind its bracket.
fn closing_bracket(node: &Node, last: &Node) -> usize {
    if node.span.end > last.span.end && !last.is_empty() {
        node.span.end as usize
    } else {
        0
    }
}
