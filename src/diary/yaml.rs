//! YAML into a tree in which every key and value knows its place and its written text.
//!
//! Built on the parser's events rather than on a deserializer: keys keep their places, a repeated key is seen,
//! and a scalar stays text until a reader asks for money or a date. What a diary has no use for (anchors, aliases,
//! tags, merge keys, several documents) is an error, so that nothing can grow beyond its written size.
//! Does not know what any key means.

use granit_parser::{Event, Parser, ScalarStyle, StructureStyle, options};

use crate::diagnose::{Code, Diagnostic, FileId, Span};
use crate::model::At;

use super::yaml_fault::{DEEPEST, scan_fault};

/// Longest value, in bytes; a long note is a few thousand.
const LONGEST_VALUE: usize = 64 * 1024;
/// Most keys, values and list items in one file.
const MOST_NODES: usize = 200_000;

/// A value with its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Where it is written; a map's or list's span is that of its first line's part.
    pub span: Span,
    /// What it is.
    pub value: Value,
}

/// The three shapes of YAML.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Text as written, escapes undone.
    Scalar {
        /// The text.
        text: String,
        /// Written without quotes.
        plain: bool,
    },
    /// A list.
    List(Vec<Node>),
    /// Keys and values in the order written.
    Map(Vec<(At<String>, Node)>),
}

impl Node {
    /// Whether nothing is written: an empty value, `~` or `null`.
    pub fn is_empty(&self) -> bool {
        matches!(&self.value, Value::Scalar { text, plain: true } if matches!(text.as_str(), "" | "~" | "null" | "Null" | "NULL"))
    }

    /// Whether it holds a key; `false` for what holds none.
    pub fn has(&self, key: &str) -> bool {
        matches!(&self.value, Value::Map(entries) if entries.iter().any(|(name, _)| name.value == key))
    }

    /// What it is, in words, for a message.
    pub fn shape(&self) -> &'static str {
        match self.value {
            Value::Scalar { .. } => "one value",
            Value::List(_) => "a list",
            Value::Map(_) => "keys with values",
        }
    }
}

/// Reads one YAML document that stands at `range` of a file's text. Faults go to `diagnostics`; `None` where the
/// text is no YAML or is empty.
pub fn parse(
    file: FileId,
    text: &str,
    range: std::ops::Range<usize>,
    diagnostics: &mut Vec<Diagnostic>,
) -> Option<Node> {
    let options = options! {
        strict_indentation: true,
        emit_comments: false,
        emit_unresolved_aliases: true,
        flow_nesting_limit: DEEPEST,
        block_nesting_limit: DEEPEST,
    };
    let yaml = &text[range.clone()];
    let mut builder = Builder {
        file,
        yaml,
        base: range.start,
        limit: range.end,
        stack: Vec::new(),
        root: None,
        nodes: 0,
        documents: 0,
        faults: Vec::new(),
        stop: false,
    };
    for event in Parser::new_from_str_with_options(yaml, options) {
        match event {
            Ok((event, span)) => {
                let start = span.start.byte_offset().unwrap_or_default();
                let end = span.end.byte_offset().unwrap_or(start).max(start);
                if event.tag().is_some() {
                    let tag = span.tag_start().and_then(|mark| mark.byte_offset());
                    builder.not_used(tag.unwrap_or(start)..end, "a tag (`!`)");
                }
                builder.take(&event, start, end);
            }
            Err(error) => {
                let open = builder.open_brackets();
                builder
                    .faults
                    .push(scan_fault(file, yaml, range.start, &error, &open));
                builder.stop = true;
            }
        }
        if builder.stop {
            break;
        }
    }
    let broken = builder.stop;
    diagnostics.append(&mut builder.faults);
    if broken { None } else { builder.root }
}

struct Builder<'t> {
    file: FileId,
    yaml: &'t str,
    base: usize,
    limit: usize,
    stack: Vec<Open>,
    root: Option<Node>,
    nodes: usize,
    documents: usize,
    faults: Vec<Diagnostic>,
    stop: bool,
}

/// A list or map that has not ended yet.
struct Open {
    span: Span,
    style: StructureStyle,
    holds: Holds,
}

enum Holds {
    List(Vec<Node>),
    Map(Vec<(At<String>, Node)>, Key),
}

/// What a map waits for.
enum Key {
    Wanted,
    Read(At<String>),
    /// A key that is no text; its value is read and dropped.
    Unusable,
}

impl Builder<'_> {
    fn take(&mut self, event: &Event<'_>, start: usize, end: usize) {
        let span = Span::new(
            self.file,
            (self.base + start).min(self.limit),
            (self.base + end).min(self.limit),
        );
        if event.is_node() {
            self.nodes += 1;
            if self.nodes > MOST_NODES {
                self.fail(Diagnostic::error(
                    Code::YamlTooBig,
                    span,
                    "this front matter holds more entries than any log needs",
                    "Cut it down, or split the log in two.",
                ));
                return;
            }
        }
        if event.anchor_id().is_some() {
            // The event begins at the value; the anchor stands before it.
            let anchor = self.yaml[..start].rfind('&').unwrap_or(start);
            self.not_used(anchor..end, "an anchor (`&`)");
        }
        match event {
            Event::DocumentStart(..) => {
                self.documents += 1;
                if self.documents > 1 {
                    self.not_used(start..end, "a second document (`---`)");
                    self.stop = true;
                }
            }
            Event::Alias(_) | Event::UnresolvedAlias(_) => {
                self.not_used(start..end, "an alias (`*`)");
                self.add(Node {
                    span,
                    value: Value::Scalar {
                        text: String::new(),
                        plain: true,
                    },
                });
            }
            Event::Scalar(text, style, ..) => {
                if text.len() > LONGEST_VALUE {
                    self.fail(Diagnostic::error(
                        Code::YamlTooBig,
                        Span {
                            end: span.start,
                            ..span
                        },
                        format!(
                            "this value is {} kB long; the longest that is read is 64 kB",
                            text.len() / 1024
                        ),
                        "Move long text into the body, below the second `---`.",
                    ));
                    return;
                }
                let plain = *style == ScalarStyle::Plain;
                // The parser gives `~` where nothing is written.
                let text = if plain && start == end {
                    String::new()
                } else {
                    text.to_string()
                };
                self.add(Node {
                    span,
                    value: Value::Scalar { text, plain },
                });
            }
            Event::SequenceStart(style, ..) => self.open(span, *style, Holds::List(Vec::new())),
            Event::MappingStart(style, ..) => {
                self.open(span, *style, Holds::Map(Vec::new(), Key::Wanted))
            }
            Event::SequenceEnd | Event::MappingEnd => self.close(span),
            _ => {}
        }
    }

    fn open(&mut self, span: Span, style: StructureStyle, holds: Holds) {
        self.stack.push(Open { span, style, holds });
    }

    fn close(&mut self, end: Span) {
        let Some(Open { span, holds, .. }) = self.stack.pop() else {
            return;
        };
        let (start, last, value) = match holds {
            Holds::List(items) => (span, items.last().map(|node| node.span), Value::List(items)),
            Holds::Map(entries, _) => {
                let first = entries.first().map_or(span, |(key, _)| key.span);
                let start = if span.end > span.start { span } else { first };
                (
                    start,
                    entries.last().map(|(_, node)| node.span),
                    Value::Map(entries),
                )
            }
        };
        let span = whole(start, last, end);
        self.add(Node { span, value });
    }

    /// The brackets that have not closed yet, outermost first, as bytes of the YAML text.
    fn open_brackets(&self) -> Vec<usize> {
        self.stack
            .iter()
            .filter(|open| open.style == StructureStyle::Flow)
            .filter_map(|open| (open.span.start as usize).checked_sub(self.base))
            .collect()
    }

    fn add(&mut self, node: Node) {
        match self.stack.last_mut().map(|open| &mut open.holds) {
            None => self.root = Some(node),
            Some(Holds::List(items)) => items.push(node),
            Some(Holds::Map(entries, waiting)) => match std::mem::replace(waiting, Key::Wanted) {
                Key::Wanted => {
                    let (key, fault) = read_key(node, entries);
                    *waiting = key;
                    self.faults.extend(fault);
                }
                Key::Read(key) => entries.push((key, node)),
                Key::Unusable => {}
            },
        }
    }

    fn fail(&mut self, fault: Diagnostic) {
        self.faults.push(fault);
        self.stop = true;
    }

    fn not_used(&mut self, bytes: std::ops::Range<usize>, what: &str) {
        let at = |byte: usize| (self.base + byte).min(self.limit);
        let span = Span::new(self.file, at(bytes.start), at(bytes.end));
        self.faults.push(Diagnostic::error(
            Code::YamlNotUsed,
            span,
            format!("a diary has no use for {what}"),
            "Write the value out; text that begins with one of & * ! goes in quotes.",
        ));
    }
}

fn read_key(node: Node, entries: &[(At<String>, Node)]) -> (Key, Option<Diagnostic>) {
    let Value::Scalar { text, plain } = node.value else {
        let fault = Diagnostic::error(
            Code::YamlNotUsed,
            node.span,
            "a key is a word, not a list or a map",
            "Write a word, a colon and a space. Text that begins with [ or { goes in quotes.",
        );
        return (Key::Unusable, Some(fault));
    };
    if plain && text == "<<" {
        let fault = Diagnostic::error(
            Code::YamlNotUsed,
            node.span,
            "a diary has no use for a merge key (`<<`)",
            "Write the keys out.",
        );
        return (Key::Unusable, Some(fault));
    }
    let fault = entries
        .iter()
        .find(|(key, _)| key.value == text)
        .map(|(first, _)| {
            Diagnostic::error(
                Code::DuplicateKey,
                node.span,
                format!("the key {text} is given twice"),
                "Keep the one that is right and delete the other.",
            )
            .also(first.span, "given here first")
        });
    (Key::Read(At::new(text, node.span)), fault)
}

/// From where a list or map begins to the end of its last part, or of its own closing bracket.
fn whole(start: Span, last: Option<Span>, end: Span) -> Span {
    let closing = if end.end > end.start {
        end.end
    } else {
        start.end
    };
    Span {
        end: last
            .map_or(closing, |last| last.end.max(closing))
            .max(start.start),
        ..start
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnose::Sources;

    fn read(text: &str) -> (Option<Node>, Vec<&'static str>) {
        let file = Sources::default().add("x.md", text);
        let mut faults = Vec::new();
        let node = parse(file, text, 0..text.len(), &mut faults);
        (
            node,
            faults.iter().map(|fault| fault.code.as_str()).collect(),
        )
    }

    #[test]
    fn keys_and_values_keep_their_places_and_their_text() {
        let text = "ref: 007\nvisits:\n  - {date: 2026-03-02, from: 08:15}\n";
        let (node, faults) = read(text);
        assert_eq!(faults, Vec::<&str>::new());
        let Some(Node {
            value: Value::Map(entries),
            ..
        }) = node
        else {
            panic!("a map")
        };
        let (key, value) = &entries[0];
        assert_eq!((key.span.start, key.span.end), (0, 3));
        assert_eq!(
            &text[value.span.start as usize..value.span.end as usize],
            "007"
        );
        let Value::List(visits) = &entries[1].1.value else {
            panic!("a list")
        };
        let span = visits[0].span;
        assert_eq!(
            &text[span.start as usize..span.end as usize],
            "{date: 2026-03-02, from: 08:15}"
        );
    }

    #[test]
    fn repeated_keys_aliases_tags_and_merges_are_errors() {
        assert_eq!(read("a: 1\na: 2\n").1, ["duplicate-key"]);
        assert_eq!(
            read("a: &x 1\nb: *x\n").1,
            ["yaml-not-used", "yaml-not-used"]
        );
        assert_eq!(read("a: !!str 1\n").1, ["yaml-not-used"]);
        assert_eq!(read("a: {<<: {b: 1}}\n").1, ["yaml-not-used"]);
        assert_eq!(read("[a, b]: 1\n").1, ["yaml-not-used"]);
        assert_eq!(read("a: *nothing\n").1, ["yaml-not-used"]);
    }

    #[test]
    fn bombs_and_towers_end_soon() {
        let tower = "[".repeat(100_000);
        assert_eq!(read(&tower).1, ["yaml-too-big"]);
        let long = format!("a: {}\n", "x".repeat(5_000_000));
        assert_eq!(read(&long).1, ["yaml-too-big"]);
        let bomb = "a: &a [x,x]\nb: &b [*a,*a]\nc: &c [*b,*b]\nd: [*c,*c]\n";
        assert!(read(bomb).1.iter().all(|code| *code == "yaml-not-used"));
    }

    #[test]
    fn empty_text_is_no_node() {
        assert_eq!(read("").0, None);
        assert_eq!(read("# only a comment\n").0, None);
    }
}
