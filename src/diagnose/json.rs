//! Diagnostics as the JSON of `daywork inspect --format json`.

use serde::Serialize;

use super::{Diagnostic, Level, Sources, counts};

/// The whole report: `{"report":"inspect","version":1,…}`.
#[derive(Serialize)]
pub struct InspectJson<'a> {
    report: &'static str,
    version: u32,
    errors: usize,
    warnings: usize,
    diagnostics: Vec<DiagnosticJson<'a>>,
}

#[derive(Serialize)]
struct DiagnosticJson<'a> {
    level: &'static str,
    code: &'static str,
    file: &'a str,
    line: usize,
    column: usize,
    message: &'a str,
    help: &'a str,
    also: Vec<PlaceJson<'a>>,
}

#[derive(Serialize)]
struct PlaceJson<'a> {
    file: &'a str,
    line: usize,
    column: usize,
    label: &'a str,
}

/// The report as a value ready to be written; an empty list gives an empty array. Its order is by file, line
/// and column, whatever the order told to people.
pub fn report<'a>(diagnostics: &'a [Diagnostic], sources: &'a Sources) -> InspectJson<'a> {
    let (errors, warnings) = counts(diagnostics);
    let mut sorted: Vec<&Diagnostic> = diagnostics.iter().collect();
    sorted.sort_by(|a, b| {
        let key = |d: &Diagnostic| {
            (
                sources.path(d.span.file).to_owned(),
                d.span.start,
                d.code.as_str(),
            )
        };
        key(a).cmp(&key(b))
    });
    InspectJson {
        report: "inspect",
        version: 1,
        errors,
        warnings,
        diagnostics: sorted
            .into_iter()
            .map(|d| {
                let (line, column) = sources.line_and_column(d.span.file, d.span.start);
                DiagnosticJson {
                    level: match d.level {
                        Level::Error => "error",
                        Level::Warning => "warning",
                    },
                    code: d.code.as_str(),
                    file: sources.path(d.span.file),
                    line,
                    column,
                    message: &d.message,
                    help: &d.help,
                    also: d
                        .also
                        .iter()
                        .map(|(span, label)| {
                            let (line, column) = sources.line_and_column(span.file, span.start);
                            PlaceJson {
                                file: sources.path(span.file),
                                line,
                                column,
                                label,
                            }
                        })
                        .collect(),
                }
            })
            .collect(),
    }
}
