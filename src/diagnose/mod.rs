//! Diagnostics: what is wrong in a diary, where, and what to write instead.
//!
//! A diagnostic is plain data. Drawing it for people ([`text`]) or as JSON ([`json`]) is separate and pure.
//! Nothing here reads a file or decides what is wrong.

pub mod code;
pub mod json;
pub mod near;
pub mod sources;
pub mod text;

pub use code::Code;
pub use near::nearest;
pub use sources::{FileId, Source, Sources, Span};

/// How grave a diagnostic is. An error stops every command but `inspect`; a warning stops none.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// The diary cannot be used as it stands.
    Error,
    /// The diary can be used; something in it is missing, doubtful or unwise.
    Warning,
}

/// One thing that is wrong, as data.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// Error or warning.
    pub level: Level,
    /// The stable kebab-case name; the handbook has a page for each.
    pub code: Code,
    /// One plain sentence that stands alone, without its full stop.
    pub message: String,
    /// What to do or write instead, one or two plain sentences with their full stops.
    pub help: String,
    /// The place that is wrong.
    pub span: Span,
    /// Other places that belong to it, each with a few words that say why.
    pub also: Vec<(Span, String)>,
}

impl Diagnostic {
    /// An error at a place.
    pub fn error(
        code: Code,
        span: Span,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> Self {
        Self::new(Level::Error, code, span, message, help)
    }

    /// A warning at a place.
    pub fn warning(
        code: Code,
        span: Span,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> Self {
        Self::new(Level::Warning, code, span, message, help)
    }

    fn new(
        level: Level,
        code: Code,
        span: Span,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> Self {
        Diagnostic {
            level,
            code,
            message: message.into(),
            help: help.into(),
            span,
            also: Vec::new(),
        }
    }

    /// The same diagnostic with another place that belongs to it.
    #[must_use]
    pub fn also(mut self, span: Span, label: impl Into<String>) -> Self {
        self.also.push((span, label.into()));
        self
    }
}

/// Sorts diagnostics as they are told: untold dangers first, then by file, place and code; exact repeats go.
pub fn put_in_order(diagnostics: &mut Vec<Diagnostic>, sources: &Sources) {
    diagnostics.sort_by(|a, b| {
        let key = |d: &Diagnostic| {
            (
                !d.code.comes_first(),
                sources.path(d.span.file).to_owned(),
                d.span.start,
                d.code.as_str(),
            )
        };
        key(a).cmp(&key(b)).then_with(|| a.message.cmp(&b.message))
    });
    diagnostics.dedup();
}

/// The errors of a list, in its order.
pub fn errors(diagnostics: &[Diagnostic]) -> Vec<Diagnostic> {
    diagnostics
        .iter()
        .filter(|d| d.level == Level::Error)
        .cloned()
        .collect()
}

/// The counts of errors and warnings in a list.
pub fn counts(diagnostics: &[Diagnostic]) -> (usize, usize) {
    let errors = diagnostics
        .iter()
        .filter(|d| d.level == Level::Error)
        .count();
    (errors, diagnostics.len() - errors)
}
