//! The sheets: the templates and the style that pages are made with. Built-in ones are inside the program; one in
//! the diary's `sheets/` with the same path is used instead.
//!
//! Reads no file, knows no page. What a sheet may use beside the template language's own words:
//!
//! | word | on what | gives |
//! |---|---|---|
//! | `visits_strip(id=)` | `docket.visits` | the visits as bars, with words; empty without visits |
//! | `visits_small(id=)` | `docket.visits` | the bars alone; empty where no times are written |
//! | `time_scale` | a list of task ranges | the scale that they share |
//! | `time_strip(scale=, id=)` | one task range | its strip |
//! | `time_axis` | a time scale | its axis |
//! | `location_scale`, `location_strip(scale=, id=)`, `location_axis` | location ranges | the same for locations |
//! | `share_strip(id=)` | a share with its interval | its strip and scale |
//! | `share_words` | per cent | `2.4`, `12` |
//! | `time_words` | minutes | `1 h 22` |
//! | `whole` | a number | the nearest whole one |
//! | `thousands` | a whole number | `2,214` |
//! | `longer`, `signed` | a ratio | `31 % longer`; `+31 %` |
//!
//! Every `id` must be given, and be another for each chart of a page. What a sheet prints is escaped, save what these
//! words and the text renderer made. A sheet of the diary's own may build on the built-in one of its name:
//! `{% extends "docket/site/write-up.html" %}`.

use std::borrow::Cow;
use std::collections::BTreeMap;

use rust_embed::RustEmbed;
use tera::{Context, ErrorKind, Tera};

use super::sheet_words::add_words;
use crate::diagnose::{Code, Diagnostic, Span, nearest};
use crate::model::Sheet;

/// What the built-in templates are called inside the template engine: an own sheet has the name without it.
const BUILT_IN: &str = "docket/";

#[derive(RustEmbed)]
#[folder = "themes/docket/"]
struct Embedded;

/// Every sheet, built in or the diary's own, ready to use.
pub struct Sheets {
    tera: Tera,
    own: BTreeMap<String, Sheet>,
    digest: blake3::Hash,
    warnings: Vec<Diagnostic>,
}

impl Sheets {
    /// The built-in sheets with the diary's own in place of those of the same name. `own` is keyed by the path below
    /// `sheets/`: `site/write-up.html`, `docket.css`.
    ///
    /// # Errors
    /// One [`Code::BadSheet`] for each fault found in the diary's own sheets. Faults of form in all sheets are told
    /// together; faults between sheets (a block or a part that is not there) once the form is right.
    pub fn load(own: &BTreeMap<String, Sheet>) -> Result<Sheets, Vec<Diagnostic>> {
        let mut tera = Tera::new();
        tera.set_fallback_prefixes([BUILT_IN])
            .expect("no template was added yet");
        add_words(&mut tera);
        let built_in: Vec<(String, String)> = Embedded::iter()
            .filter(|name| is_template(name))
            .map(|name| {
                let text = String::from_utf8(
                    embedded(&name)
                        .expect("listed by the same embedding")
                        .into_owned(),
                )
                .expect("built-in sheets are UTF-8");
                (format!("{BUILT_IN}{name}"), text)
            })
            .collect();
        if let Err(error) = tera.add_raw_templates(built_in) {
            unreachable!("a built-in sheet does not parse: {error}");
        }
        let mut sheets = Sheets {
            tera,
            own: own.clone(),
            digest: digest(own),
            warnings: unknown_names(own),
        };
        sheets.add_own()?;
        Ok(sheets)
    }

    /// The built-in sheets alone.
    pub fn built_in() -> Sheets {
        Sheets::load(&BTreeMap::new())
            .unwrap_or_else(|_| unreachable!("faults are only found in own sheets"))
    }

    /// A digest of every sheet, built in and own, in order of name.
    pub fn digest(&self) -> blake3::Hash {
        self.digest
    }

    /// Own sheets that no built-in sheet has the name of and no own sheet mentions.
    pub fn warnings(&self) -> &[Diagnostic] {
        &self.warnings
    }

    /// The bytes of a sheet that is no template: `docket.css`, `docket.woff2`. `None` for an unknown name.
    pub fn asset(&self, name: &str) -> Option<Cow<'_, [u8]>> {
        match self.own.get(name) {
            Some(sheet) => Some(Cow::Borrowed(sheet.text.as_bytes())),
            None => embedded(name),
        }
    }

    /// A sheet filled in.
    ///
    /// # Errors
    /// A [`Code::BadSheet`] that points into the own sheet at fault.
    ///
    /// # Panics
    /// Where a built-in sheet fails and the diary has none of its own: a fault of this program, which the tests
    /// that fill in every sheet are there to catch.
    pub fn render(&self, name: &str, context: &Context) -> Result<String, Diagnostic> {
        self.tera.render(name, context).map_err(|error| {
            self.diagnostics(&error)
                .into_iter()
                .next()
                .unwrap_or_else(|| {
                    unreachable!("the built-in sheet {name} cannot be filled in: {error}")
                })
        })
    }

    /// Adds the diary's own templates.
    fn add_own(&mut self) -> Result<(), Vec<Diagnostic>> {
        let templates: Vec<(&String, &Sheet)> = self
            .own
            .iter()
            .filter(|(name, _)| is_template(name))
            .collect();
        if templates.is_empty() {
            return Ok(());
        }
        // Each alone first: one sheet's fault of form must not hide another's.
        let faults: Vec<Diagnostic> = templates
            .iter()
            .filter_map(
                |(name, sheet)| match Tera::new().add_raw_template(name, &sheet.text) {
                    Err(error) if matches!(error.kind(), ErrorKind::SyntaxError(_)) => {
                        Some(self.diagnostics(&error))
                    }
                    _ => None,
                },
            )
            .flatten()
            .collect();
        if !faults.is_empty() {
            return Err(faults);
        }
        let mut tera = self.tera.clone();
        match tera.add_raw_templates(
            templates
                .iter()
                .map(|(name, sheet)| (name.as_str(), &*sheet.text)),
        ) {
            Ok(()) => {
                self.tera = tera;
                Ok(())
            }
            Err(error) => Err(self.diagnostics(&error)),
        }
    }

    /// The engine's error as faults of the diary's own sheets; empty only where there are none of these.
    fn diagnostics(&self, error: &tera::Error) -> Vec<Diagnostic> {
        let fault = match error.kind() {
            ErrorKind::SyntaxError(report) | ErrorKind::RenderingError(report) => {
                let range = &report.span().range;
                self.fault(
                    report.filename(),
                    Place::Bytes(range.start, range.end),
                    report.message(),
                )
            }
            ErrorKind::CircularExtend { tpl, .. } => {
                self.fault(tpl, Place::Start, "it builds on itself in a circle")
            }
            ErrorKind::CircularInclude { tpl, .. } => {
                self.fault(tpl, Place::Start, "it includes itself in a circle")
            }
            ErrorKind::MissingParent { current, parent } => self.fault(
                current,
                Place::Start,
                &format!("it builds on `{parent}`, which is not there"),
            ),
            // Faults between sheets come as one text of reports, an empty line between them.
            ErrorKind::Msg(message) if message.contains("--> ") => {
                return message
                    .split("\n\n")
                    .filter_map(|report| {
                        let (name, line, column) = located(report)?;
                        let words = report.lines().next().unwrap_or(report);
                        let words = words.strip_prefix("error: ").unwrap_or(words);
                        Some(self.fault(name, Place::LineColumn(line, column), words))
                    })
                    .flatten()
                    .collect();
            }
            other => self.fault("", Place::Start, &other.to_string()),
        };
        fault.into_iter().collect()
    }

    /// A fault in the sheet of that name; where that one is built in, in the own sheet that must have caused it.
    fn fault(&self, name: &str, place: Place, message: &str) -> Option<Diagnostic> {
        let message = message.trim_end_matches('.');
        let (sheet, place) = match self.own.get(name) {
            Some(sheet) => (sheet, place),
            None => (self.cause_of(message)?, Place::Start),
        };
        let (start, end) = place.bytes(&sheet.text);
        Some(Diagnostic::error(
            Code::BadSheet,
            Span::new(sheet.file, start, end),
            format!("this sheet cannot be used: {}", lower_first(message)),
            "Mend it, or take the file out of sheets/, and the built-in sheet of that name is used again.",
        ))
    }

    /// The own sheet whose built-in namesake holds what the message says is missing; else the first of all.
    fn cause_of(&self, message: &str) -> Option<&Sheet> {
        let missing = message.split('`').nth(1).unwrap_or_default();
        let templates = || self.own.iter().filter(|(name, _)| is_template(name));
        templates()
            .find(|(name, sheet)| {
                let had = embedded(name)
                    .is_some_and(|text| String::from_utf8_lossy(&text).contains(missing));
                !missing.is_empty() && had && !sheet.text.contains(missing)
            })
            .or_else(|| templates().next())
            .map(|(_, sheet)| sheet)
    }
}

/// Where in a sheet a fault is.
#[derive(Clone, Copy)]
enum Place {
    Start,
    Bytes(usize, usize),
    /// Both from 1; the column counts characters.
    LineColumn(usize, usize),
}

impl Place {
    /// As bytes on character boundaries, within the text.
    fn bytes(self, text: &str) -> (usize, usize) {
        let within = |mut byte: usize| {
            byte = byte.min(text.len());
            while !text.is_char_boundary(byte) {
                byte -= 1;
            }
            byte
        };
        match self {
            Place::Start => (0, 0),
            Place::Bytes(start, end) => (within(start), within(end)),
            Place::LineColumn(line, column) => {
                let start: usize = text
                    .split_inclusive('\n')
                    .take(line.saturating_sub(1))
                    .map(str::len)
                    .sum();
                let rest = &text[start..];
                let row = rest.lines().next().unwrap_or_default();
                let before: usize = row
                    .chars()
                    .take(column.saturating_sub(1))
                    .map(char::len_utf8)
                    .sum();
                (start + before, start + row.len())
            }
        }
    }
}

/// `  --> site/home.html:3:7` in a report: name, line, column.
fn located(report: &str) -> Option<(&str, usize, usize)> {
    let place = report
        .lines()
        .find_map(|line| line.trim_start().strip_prefix("--> "))?;
    let (rest, column) = place.rsplit_once(':')?;
    let (name, line) = rest.rsplit_once(':')?;
    Some((name, line.parse().ok()?, column.parse().ok()?))
}

fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or(String::new(), |first| {
        first.to_lowercase().chain(chars).collect()
    })
}

fn is_template(name: &str) -> bool {
    std::path::Path::new(name)
        .extension()
        .is_some_and(|ending| ending == "html")
}

fn embedded(name: &str) -> Option<Cow<'static, [u8]>> {
    Embedded::get(name).map(|file| file.data)
}

/// Names and texts of all sheets, each with its length before it, so that no two sets give one digest.
fn digest(own: &BTreeMap<String, Sheet>) -> blake3::Hash {
    let mut hasher = blake3::Hasher::new();
    let mut take = |part: &[u8]| {
        hasher.update(&part.len().to_le_bytes());
        hasher.update(part);
    };
    let mut names: Vec<Cow<'static, str>> = Embedded::iter().collect();
    names.sort();
    for name in names {
        take(name.as_bytes());
        take(&embedded(&name).expect("listed by the same embedding"));
    }
    take(b"own");
    for (name, sheet) in own {
        take(name.as_bytes());
        take(sheet.text.as_bytes());
    }
    hasher.finalize()
}

/// A warning for each own sheet that nothing uses.
fn unknown_names(own: &BTreeMap<String, Sheet>) -> Vec<Diagnostic> {
    let mut names: Vec<Cow<'static, str>> = Embedded::iter().collect();
    names.sort();
    own.iter()
        .filter(|(name, _)| !names.iter().any(|known| known == name.as_str()))
        .filter(|(name, _)| {
            !own.values()
                .any(|sheet| sheet.text.contains(&format!("\"{name}\"")))
        })
        .map(|(name, sheet)| {
            let help = match nearest(name, names.iter().map(AsRef::as_ref)) {
                Some(near) => format!("Call it {near}, or take it out."),
                None => "Give it the name of a built-in sheet, or take it out.".to_owned(),
            };
            Diagnostic::warning(
                Code::BadSheet,
                Span::file_start(sheet.file),
                format!("no sheet is called {name}, so this one is not used"),
                help,
            )
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnose::{Level, Sources};

    /// The faults, or else the warnings, as `path:line:column message (help)`.
    fn told(files: &[(&str, &str)]) -> Vec<String> {
        let mut sources = Sources::default();
        let own = files
            .iter()
            .map(|(name, text)| {
                let file = sources.add(format!("sheets/{name}"), *text);
                (
                    (*name).to_owned(),
                    Sheet {
                        file,
                        text: (*text).into(),
                    },
                )
            })
            .collect();
        let diagnostics = match Sheets::load(&own) {
            Ok(sheets) => sheets.warnings().to_vec(),
            Err(faults) => faults,
        };
        diagnostics
            .iter()
            .map(|d| {
                let (line, column) = sources.line_and_column(d.span.file, d.span.start);
                let level = if d.level == Level::Error {
                    "error"
                } else {
                    "warning"
                };
                format!(
                    "{level} {}:{line}:{column} {}",
                    sources.path(d.span.file),
                    d.message
                )
            })
            .collect()
    }

    #[test]
    fn faults_of_form_in_several_sheets_are_told_together_each_at_its_place() {
        let faults = told(&[
            ("site/foot.html", "<p>\n  {{ 1 + }}</p>"),
            ("site/home.html", "a\r\né {% if %}"),
        ]);
        assert_eq!(faults.len(), 2, "{faults:?}");
        assert!(
            faults[0].starts_with("error sheets/site/foot.html:2:10 this sheet cannot be used: "),
            "{faults:?}"
        );
        assert!(
            faults[1].starts_with("error sheets/site/home.html:2:9 this sheet cannot be used: "),
            "{faults:?}"
        );
    }

    #[test]
    fn a_word_that_is_not_there_is_told_at_its_place() {
        let faults = told(&[("site/foot.html", "<p>\n  {{ page | visits_stripe }}</p>")]);
        assert_eq!(faults.len(), 1, "{faults:?}");
        assert!(
            faults[0].starts_with("error sheets/site/foot.html:2:"),
            "{faults:?}"
        );
        assert!(
            faults[0].contains("unknown filter `visits_stripe`"),
            "{faults:?}"
        );
    }

    #[test]
    fn a_block_that_an_own_frame_dropped_is_told_in_the_frame() {
        let faults = told(&[(
            "frame.html",
            "<!doctype html>{% block main %}{% endblock %}",
        )]);
        assert!(!faults.is_empty());
        assert!(
            faults[0].starts_with("error sheets/frame.html:1:1"),
            "{faults:?}"
        );
    }

    #[test]
    fn a_name_that_no_sheet_has_is_a_warning_unless_another_sheet_names_it() {
        assert_eq!(
            told(&[("site/hom.html", "x")]),
            [
                "warning sheets/site/hom.html:1:1 no sheet is called site/hom.html, so this one is not used"
            ]
        );
        let named = [
            ("site/foot.html", "{% include \"site/mine.html\" %}"),
            ("site/mine.html", "x"),
        ];
        assert_eq!(told(&named), Vec::<String>::new());
    }

    #[test]
    fn an_own_sheet_may_build_on_its_built_in_namesake_and_changes_the_digest() {
        let text = "{% extends \"docket/site/not-found.html\" %}{% block main %}<h1>Mine</h1>{% endblock %}";
        assert_eq!(told(&[("site/not-found.html", text)]), Vec::<String>::new());
        let mut sources = Sources::default();
        let file = sources.add("sheets/docket.css", "p {}");
        let own = BTreeMap::from([(
            "docket.css".to_owned(),
            Sheet {
                file,
                text: "p {}".into(),
            },
        )]);
        let sheets = Sheets::load(&own).expect("style is not parsed");
        assert_eq!(sheets.asset("docket.css").as_deref(), Some(&b"p {}"[..]));
        assert_ne!(sheets.digest(), Sheets::built_in().digest());
        assert!(
            Sheets::built_in()
                .asset("docket.woff2")
                .is_some_and(|font| font.starts_with(b"wOF2"))
        );
        assert_eq!(Sheets::built_in().asset("docket.xcf"), None);
    }
}
