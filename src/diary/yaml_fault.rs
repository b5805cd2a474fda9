//! The YAML parser's complaints as diagnostics, marked where the slip was made rather than where it came to light.

use granit_parser::{ErrorKind, ScanError};

use crate::diagnose::{Code, Diagnostic, FileId, Span};

use super::brackets::{self, Slip};

/// Deepest nesting of lists and maps; a job log needs five.
pub(super) const DEEPEST: usize = 24;

/// A longer line is not written out again with its brackets, in bytes.
const LONGEST_SHOWN: usize = 60;

/// Keys that a log writes side by side in brackets.
const OFTEN_IN_BRACKETS: [&str; 26] = [
    "date", "kind", "from", "to", "break", "time", "tasks", "travel", "miles", "parking", "note",
    "task", "count", "what", "where", "code", "done", "told", "who", "on", "how", "item", "unit",
    "cost", "charge", "labour",
];

/// A parser's complaint in words for an electrician. `open`: the brackets that have not closed, outermost first, as
/// bytes of the YAML text.
pub fn scan_fault(
    file: FileId,
    yaml: &str,
    base: usize,
    error: &ScanError,
    open: &[usize],
) -> Diagnostic {
    let at = error
        .marker()
        .byte_offset()
        .unwrap_or(yaml.len())
        .min(yaml.len());
    let mut start = at;
    while !yaml.is_char_boundary(start) {
        start -= 1;
    }
    // A complaint at the very end of the text is about the last thing written.
    if yaml[start..].trim().is_empty() {
        start = yaml[..start].trim_end().len();
        start = yaml[..start]
            .char_indices()
            .next_back()
            .map_or(start, |(at, _)| at);
    }
    // The reader looks ahead, so its own list of open brackets may be behind; a complaint about a bracket stands on it.
    let on_bracket = yaml[start..].starts_with(['[', '{']);
    let outermost = match error.kind() {
        ErrorKind::MismatchedFlowCollectionEnd { .. }
        | ErrorKind::UnclosedFlowCollection { .. }
            if on_bracket =>
        {
            Some(start)
        }
        _ => open.first().copied(),
    };
    let slip = match error.kind() {
        ErrorKind::MisplacedFlowCollectionEnd if open.is_empty() => Some(Slip::Stray(start)),
        ErrorKind::MismatchedFlowCollectionEnd { .. } => {
            brackets::find(yaml, outermost, yaml.len())
        }
        kind if is_about_brackets(kind) => brackets::find(yaml, outermost, start),
        _ => None,
    };
    if let Some(slip) = slip {
        return bracket_fault(file, yaml, base, &slip);
    }
    let open = open
        .last()
        .copied()
        .or_else(|| outermost.filter(|_| on_bracket))
        .or_else(|| unclosed_bracket(&yaml[..start]));
    let letter = |at: usize| at + yaml[at..].chars().next().map_or(0, char::len_utf8);
    let mut span_start = start;
    let mut span_end = letter(start);
    let (code, message, help) = match error.kind() {
        ErrorKind::RecursionLimitExceeded => (
            Code::YamlTooBig,
            format!("lists and maps are nested more than {DEEPEST} deep here"),
            "No log needs more than five levels; look for brackets that never close.",
        ),
        ErrorKind::TabNotAllowed
        | ErrorKind::TabInBlockIndentation
        | ErrorKind::TabInIndentation
        | ErrorKind::TabInPlainScalar
        | ErrorKind::TabAtBlockScalarStart => {
            let line_start = yaml[..start].rfind(['\n', '\r']).map_or(0, |at| at + 1);
            let line_end = yaml[start..]
                .find(['\n', '\r'])
                .map_or(yaml.len(), |at| start + at);
            if let Some(tab) = yaml[line_start..line_end].find('\t') {
                span_start = line_start + tab;
                span_end = span_start + 1;
            }
            (
                Code::NotYaml,
                "there is a tab where spaces belong".to_owned(),
                "Put two spaces for each step in, never a tab.",
            )
        }
        ErrorKind::UnclosedQuotedScalar
        | ErrorKind::DocumentIndicatorInQuotedScalar
        | ErrorKind::InvalidQuotedScalarIndent => {
            let opens = |at: usize| yaml[..at].ends_with([' ', '[', '{', ',', ':', '-']);
            let quotes = yaml[..span_end].match_indices(['"', '\'']);
            if let Some((at, _)) = quotes.rev().find(|(at, _)| opens(*at)) {
                span_start = at;
                span_end = letter(at);
            }
            (
                Code::NotYaml,
                "a quotation mark opens here and never closes".to_owned(),
                "Close it, or take it away: most text needs no quotes.",
            )
        }
        ErrorKind::UnknownQuotedScalarEscape | ErrorKind::InvalidQuotedScalarHexEscape => (
            Code::NotYaml,
            "a backslash in double quotes means something else here".to_owned(),
            "Use single quotes round text that holds a backslash.",
        ),
        ErrorKind::InvalidTrailingSingleQuotedScalar
        | ErrorKind::InvalidTrailingDoubleQuotedScalar => (
            Code::NotYaml,
            "text goes on after its closing quotation mark".to_owned(),
            "Put the quotes round the whole value.",
        ),
        // A line that does not fit, inside a bracket: the bracket is what is wrong.
        ErrorKind::ExpectedBlockMappingKey
        | ErrorKind::InvalidIndentation
        | ErrorKind::MappingKeyNotAllowed
        | ErrorKind::InvalidFlowScalarIndent
        | ErrorKind::BlockEntryInFlowCollection
        | ErrorKind::ExpectedFlowMappingSeparator
        | ErrorKind::ExpectedFlowSequenceSeparator
        | ErrorKind::UnclosedFlowCollection { .. }
        | ErrorKind::UnexpectedEofFlowSequence
        | ErrorKind::UnexpectedEofFlowMapping
            if open.is_some_and(|at| yaml[at..].starts_with(['[', '{'])) =>
        {
            span_start = open.unwrap_or(start);
            span_end = letter(span_start);
            let bracket = &yaml[span_start..span_end];
            let close = if bracket == "[" { "]" } else { "}" };
            (
                Code::NotYaml,
                if span_start == start || yaml[start..].trim().len() <= 1 {
                    format!("a bracket {bracket} opens here and does not close")
                } else {
                    format!("a bracket {bracket} opens here and does not close before the next key")
                },
                if close == "]" {
                    "Close it with ] on its own line or a line that is stepped in."
                } else {
                    "Close it with } on its own line or a line that is stepped in."
                },
            )
        }
        ErrorKind::UnclosedFlowCollection { .. }
        | ErrorKind::UnexpectedEofFlowSequence
        | ErrorKind::UnexpectedEofFlowMapping
        | ErrorKind::UnexpectedEofImplicitFlowMapping
        | ErrorKind::ExpectedFlowMappingSeparator
        | ErrorKind::ExpectedFlowSequenceSeparator
        | ErrorKind::MismatchedFlowCollectionEnd { .. }
        | ErrorKind::MisplacedFlowCollectionEnd
        | ErrorKind::InvalidFlowScalarIndent
        | ErrorKind::BlockEntryInFlowCollection => (
            Code::NotYaml,
            "the brackets here do not match, or a comma is missing".to_owned(),
            "Each { needs its } and each [ its ], with commas between: {task: socket, time: 20m}.",
        ),
        ErrorKind::MappingValueNotAllowed | ErrorKind::InvalidColonPlacement => (
            Code::NotYaml,
            "a second colon and space on the line, or a step in that does not fit".to_owned(),
            "Put text that holds a colon and a space in quotes, and line keys up under each other.",
        ),
        ErrorKind::SimpleKeyExpected | ErrorKind::InvalidSimpleKey => (
            Code::NotYaml,
            "this line is not a key with a value".to_owned(),
            "Write a key, a colon and a space, then the value: title: Two shore-power outlets.",
        ),
        ErrorKind::ExpectedBlockMappingKey
        | ErrorKind::ExpectedBlockSequenceEntry
        | ErrorKind::InvalidIndentation
        | ErrorKind::MappingKeyNotAllowed
        | ErrorKind::BlockSequenceEntryNotAllowed
        | ErrorKind::ExpectedDocumentStart
        | ErrorKind::InvalidBlockEntryWhitespace => (
            Code::NotYaml,
            "this line does not line up with the ones before it".to_owned(),
            "Keys of one thing stand straight under each other; what belongs to a key steps in by two spaces.",
        ),
        ErrorKind::UnexpectedCharacter { character } if character.is_control() => (
            Code::NotYaml,
            "there is a sign here that cannot be seen".to_owned(),
            "Delete it and type the value again.",
        ),
        ErrorKind::UnexpectedCharacter { character } => (
            Code::NotYaml,
            format!("text cannot begin with {character} here"),
            "Put the value in quotes.",
        ),
        other => (
            Code::NotYaml,
            format!("this is not YAML: {other}"),
            "Look at this line and the one above it: a colon, a quotation mark or a bracket is out of place.",
        ),
    };
    Diagnostic::error(
        code,
        Span::new(file, base + span_start, base + span_end),
        message,
        help,
    )
}

/// Whether a complaint may come of brackets or commas.
fn is_about_brackets(kind: &ErrorKind) -> bool {
    matches!(
        kind,
        ErrorKind::UnclosedFlowCollection { .. }
            | ErrorKind::UnexpectedEofFlowSequence
            | ErrorKind::UnexpectedEofFlowMapping
            | ErrorKind::UnexpectedEofImplicitFlowMapping
            | ErrorKind::ExpectedFlowMappingSeparator
            | ErrorKind::ExpectedFlowSequenceSeparator
            | ErrorKind::InvalidFlowScalarIndent
            | ErrorKind::BlockEntryInFlowCollection
            | ErrorKind::MappingValueNotAllowed
            | ErrorKind::InvalidColonPlacement
            | ErrorKind::ExpectedBlockMappingKey
            | ErrorKind::MappingKeyNotAllowed
            | ErrorKind::InvalidIndentation
    )
}

/// A slip of brackets or commas in words.
fn bracket_fault(file: FileId, yaml: &str, base: usize, slip: &Slip) -> Diagnostic {
    let span =
        |range: std::ops::Range<usize>| Span::new(file, base + range.start, base + range.end);
    let one = |at: usize| span(at..at + 1);
    let sign = |at: usize| &yaml[at..=at];
    match slip {
        Slip::Mismatch { opens, closes } => Diagnostic::error(
            Code::NotYaml,
            one(*opens),
            format!(
                "a bracket {} opens here and a {} closes it",
                sign(*opens),
                sign(*closes)
            ),
            "Each { needs its } and each [ its ]: tasks: [{task: socket, time: 20m}].",
        )
        .also(one(*closes), "closed here"),
        Slip::Stray(at) => {
            let line_start = yaml[..*at].rfind(['\n', '\r']).map_or(0, |at| at + 1);
            let written = yaml[line_start..*at].trim_start_matches([' ', '-']);
            let opening = if sign(*at) == "}" { "{" } else { "[" };
            let help = if written.contains(['{', '[']) || written.len() > LONGEST_SHOWN {
                format!(
                    "Write {opening} where it begins, or take the {} away.",
                    sign(*at)
                )
            } else {
                format!(
                    "Write {opening} where it begins: {opening}{written}{}.",
                    sign(*at)
                )
            };
            Diagnostic::error(
                Code::NotYaml,
                one(*at),
                format!("a bracket {} closes here and nothing opened it", sign(*at)),
                help,
            )
        }
        Slip::NoComma(word) => {
            let key = &yaml[word.clone()];
            let message = if OFTEN_IN_BRACKETS.contains(&key) {
                format!("a comma is missing before {key}")
            } else {
                "a second colon and space in one entry".to_owned()
            };
            Diagnostic::error(
                Code::NotYaml,
                span(word.clone()),
                message,
                "Put commas between keys: {task: socket, time: 20m}. Text that holds a colon and a space goes in \
                 quotes.",
            )
        }
        Slip::Bare(key) => {
            let rest = yaml[key.start..].lines().next().unwrap_or_default();
            let written = rest.trim_end();
            let brackets = if written.len() > LONGEST_SHOWN {
                "Put { and } round them".to_owned()
            } else {
                format!("Write {{{written}}}")
            };
            Diagnostic::error(
                Code::NotYaml,
                span(key.clone()),
                "several keys stand on this line with no brackets round them",
                format!(
                    "{brackets}, or each key on a line of its own. If it is one piece of text, put quotes round it."
                ),
            )
        }
    }
}

/// The innermost bracket of a text that opens where a value begins and never closes, quotation marks and remarks
/// passed over.
fn unclosed_bracket(text: &str) -> Option<usize> {
    let mut open = Vec::new();
    let mut quote = None;
    let mut before = '\n';
    let mut remark = false;
    for (at, c) in text.char_indices() {
        match (quote, c) {
            (_, '\n' | '\r') => remark = false,
            _ if remark => {}
            (Some(mark), c) if c == mark => quote = None,
            (Some(_), _) => {}
            (None, '#') if before.is_whitespace() => remark = true,
            (None, '"' | '\'') if matches!(before, ' ' | '[' | '{' | ',') => quote = Some(c),
            (None, '[' | '{') if matches!(before, ' ' | '[' | '{' | ',') => open.push(at),
            (None, ']' | '}') => {
                open.pop();
            }
            _ => {}
        }
        before = c;
    }
    open.pop()
}
