//! Diagnostics drawn for people: where, one sentence, the line with its mark, what to write instead, the code.
//!
//! Pure: gives text back and prints nothing. The drawing library draws the marked line only.

use std::fmt::Write as _;
use std::ops::Range;

use annotate_snippets::renderer::{DEFAULT_TERM_WIDTH, DecorStyle};
use annotate_snippets::{AnnotationKind, Group, Level as DrawnLevel, Renderer, Snippet};

use super::{Diagnostic, Level, Sources, Span, counts};

/// Whether the text carries colour for a terminal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Colour {
    /// Plain text.
    Plain,
    /// ANSI colour codes.
    Ansi,
}

/// Where the code stands in the last line of a diagnostic.
const CODE_COLUMN: usize = 64;
/// Columns that a help line keeps within.
const WIDTH: usize = 80;
/// A longer mark is cut: it shows where, and need not show how far.
const LONGEST_MARK: usize = 100;
/// A longer source line is cut to what stands round the mark.
const LONGEST_LINE: usize = 2_000;

/// Every diagnostic drawn, a blank line between, and a closing line with the counts. Empty for an empty list.
pub fn render(diagnostics: &[Diagnostic], sources: &Sources, colour: Colour) -> String {
    if diagnostics.is_empty() {
        return String::new();
    }
    let mut out = String::new();
    for diagnostic in diagnostics {
        out.push_str(&render_one(diagnostic, sources, colour));
        out.push('\n');
    }
    out.push_str(&summary(diagnostics));
    out.push('\n');
    out
}

/// `2 errors, 1 warning.`
pub fn summary(diagnostics: &[Diagnostic]) -> String {
    let (errors, warnings) = counts(diagnostics);
    let say = |n: usize, word: &str| match n {
        1 => format!("1 {word}"),
        n => format!("{n} {word}s"),
    };
    match (errors, warnings) {
        (0, 0) => "Nothing to mend.".to_owned(),
        (e, 0) => format!("{}.", say(e, "error")),
        (0, w) => format!("{}.", say(w, "warning")),
        (e, w) => format!("{}, {}.", say(e, "error"), say(w, "warning")),
    }
}

/// One diagnostic, drawn.
pub fn render_one(diagnostic: &Diagnostic, sources: &Sources, colour: Colour) -> String {
    let mut out = String::new();
    let (bold, reset) = match colour {
        Colour::Plain => ("", ""),
        Colour::Ansi => ("\u{1b}[1m", "\u{1b}[0m"),
    };
    let word = match diagnostic.level {
        Level::Error => "",
        Level::Warning => "warning: ",
    };
    let place = place(diagnostic.span, sources);
    let message = shown(&diagnostic.message);
    writeln!(out, "{bold}{place}: {word}{message}.{reset}").expect("writing to a String");
    draw_line(
        &mut out,
        diagnostic.span,
        None,
        sources,
        diagnostic.level,
        colour,
    );
    for (span, label) in &diagnostic.also {
        draw_line(
            &mut out,
            *span,
            Some((diagnostic.span, label)),
            sources,
            diagnostic.level,
            colour,
        );
    }
    let help = wrap(&shown(&diagnostic.help));
    let code = format!("({})", diagnostic.code);
    // The code stands at the right of the last line where there is room, else on a line of its own.
    let last = help.lines().last().unwrap_or_default().chars().count();
    if help.is_empty() {
        writeln!(out, "{code:>width$}", width = CODE_COLUMN + code.len())
            .expect("writing to a String");
    } else if last + 2 <= CODE_COLUMN {
        let pad = CODE_COLUMN - last;
        writeln!(out, "{help}{:pad$}{code}", "").expect("writing to a String");
    } else {
        writeln!(out, "{help} {code}").expect("writing to a String");
    }
    out
}

/// `jobs/2026/slip-shed.md, line 7`, or the path alone where the whole file is meant.
fn place(span: Span, sources: &Sources) -> String {
    let path = shown(sources.path(span.file));
    if span.end == 0 && sources.text(span.file).is_empty() {
        return path;
    }
    let (line, _) = sources.line_and_column(span.file, span.start);
    format!("{path}, line {line}")
}

/// The source line with its mark. A second place in another file, or an empty file, is named in words.
fn draw_line(
    out: &mut String,
    span: Span,
    secondary: Option<(Span, &str)>,
    sources: &Sources,
    level: Level,
    colour: Colour,
) {
    if let Some((primary, label)) = secondary {
        let label = shown(label);
        if primary.file == span.file {
            let (line, _) = sources.line_and_column(span.file, span.start);
            writeln!(out, "  line {line}: {label}").expect("writing to a String");
        } else {
            writeln!(out, "  {}: {label}", place(span, sources)).expect("writing to a String");
        }
    }
    let text = sources.text(span.file);
    let Some((line_text, mark, line_number)) = marked_line(text, span, sources) else {
        return;
    };
    let kind = if secondary.is_some() {
        AnnotationKind::Context
    } else {
        AnnotationKind::Primary
    };
    let drawn_level = match level {
        Level::Error => DrawnLevel::ERROR,
        Level::Warning => DrawnLevel::WARNING,
    };
    let renderer = match colour {
        Colour::Plain => Renderer::plain(),
        Colour::Ansi => Renderer::styled(),
    }
    .decor_style(DecorStyle::Ascii)
    .term_width(DEFAULT_TERM_WIDTH);
    let snippet = Snippet::source(line_text)
        .line_start(line_number)
        .annotation(kind.span(mark));
    let drawn = renderer.render(&[Group::with_level(drawn_level).element(snippet)]);
    for line in drawn.lines() {
        // The library frames the line with empty gutter lines and an arrow; our manner has the line and its mark.
        let bare = anstream::adapter::strip_str(line).to_string();
        let bare = bare.trim();
        if bare == "|" || bare.starts_with("-->") || bare.starts_with("::: ") || bare.is_empty() {
            continue;
        }
        writeln!(out, "    {}", line.trim_end()).expect("writing to a String");
    }
}

/// The line that holds the start of a span, the mark within it, and its number. `None` for an empty text.
fn marked_line(text: &str, span: Span, sources: &Sources) -> Option<(String, Range<usize>, usize)> {
    if text.is_empty() {
        return None;
    }
    let floor = |mut byte: usize| {
        byte = byte.min(text.len());
        while !text.is_char_boundary(byte) {
            byte -= 1;
        }
        byte
    };
    let start = floor(span.start as usize);
    let line_start = text[..start].rfind(['\n', '\r']).map_or(0, |at| at + 1);
    let line_end = text[start..]
        .find(['\n', '\r'])
        .map_or(text.len(), |at| start + at);
    let end = floor((span.end as usize).min(start + LONGEST_MARK)).clamp(start, line_end);
    let (line_number, _) = sources.line_and_column(span.file, span.start);
    // A byte-order mark has no width; drawn, it would push the mark aside.
    let line_start = if text[line_start..].starts_with('\u{feff}') && start >= line_start + 3 {
        line_start + 3
    } else {
        line_start
    };
    let (line_start, line_end) = if line_end - line_start > LONGEST_LINE {
        let cut_start = floor(start.saturating_sub(LONGEST_LINE / 4).max(line_start));
        let cut_end = floor((cut_start + LONGEST_LINE).min(line_end));
        (cut_start, cut_end)
    } else {
        (line_start, line_end)
    };
    let mark = start - line_start..end.min(line_end) - line_start;
    Some((text[line_start..line_end].to_owned(), mark, line_number))
}

/// Long help broken into lines at its spaces.
fn wrap(text: &str) -> String {
    let mut out = String::new();
    let mut column = 0;
    for word in text.split(' ') {
        let length = word.chars().count();
        if column > 0 && column + 1 + length > WIDTH {
            out.push('\n');
            column = 0;
        } else if column > 0 {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += length;
    }
    out
}

/// Text from a diary made fit for a terminal: control characters (an escape sequence, say) are shown, not obeyed.
fn shown(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\n' => '\n',
            c if c.is_control() => '\u{fffd}',
            // Marks that turn the direction of writing round could make a line read as another.
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => '\u{fffd}',
            c => c,
        })
        .collect()
}
