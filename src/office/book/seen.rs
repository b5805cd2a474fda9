//! What was found and measured on a job, as rows: who was told, when and how; each reading as written, beside its
//! figure. Judges nothing itself: whether a reading is within its published figure is the trade's to say.

use serde::Serialize;

use crate::model::{Device, Finding, FindingCode, Job};
use crate::trade::Figures;
use crate::trade::held::{Held, books, held};

use crate::office::words::{capital, day, number, stopped};

/// How many findings of a code.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct FoundCount {
    /// `C1`.
    pub code: &'static str,
    /// The mark's id: `c1`, `c2`, `c3`, `fi`, `note`.
    pub mark: &'static str,
    /// How many.
    pub count: usize,
}

/// A finding with everything on it.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct FindingRow {
    /// `C1`.
    pub code: &'static str,
    /// The mark's id.
    pub mark: &'static str,
    /// `Danger present`; empty for a note.
    pub meaning: &'static str,
    /// What was seen and where, as a sentence.
    pub what: String,
    /// What was done at once, as a sentence; empty where nothing is written.
    pub done: String,
    /// Who was told, when and how, as a sentence; for a danger that nobody was told of, that.
    pub told: String,
    /// Whether a danger stands untold: then `told` is set heavier.
    pub untold: bool,
    /// When it was seen and when it was put right; a refusal; kept out of the write-up. Sentences.
    pub after: String,
}

/// A row of readings.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct ReadingRow {
    /// The circuit; empty where none is written.
    pub circuit: String,
    /// `C16`, `BS 3036 30 A`; empty where none is written.
    pub device: String,
    /// `12 March 2026`; empty where none is written.
    pub date: String,
    /// Measured before anything was done.
    pub as_found: bool,
    /// What was measured, each value beside its figure.
    pub values: Vec<Held>,
}

/// The id of a code's mark.
pub(in crate::office) fn mark(code: FindingCode) -> &'static str {
    match code {
        FindingCode::C1 => "c1",
        FindingCode::C2 => "c2",
        FindingCode::C3 => "c3",
        FindingCode::FI => "fi",
        FindingCode::Note => "note",
    }
}

/// Codes with their counts, gravest first.
pub(super) fn found(job: &Job) -> Vec<FoundCount> {
    FindingCode::ALL
        .into_iter()
        .map(|code| FoundCount {
            code: code.shown(),
            mark: mark(code),
            count: job
                .findings
                .iter()
                .filter(|finding| finding.code == code)
                .count(),
        })
        .filter(|found| found.count > 0)
        .collect()
}

/// Findings, gravest first, else in the order of the log.
pub(super) fn findings(job: &Job) -> Vec<FindingRow> {
    FindingCode::ALL
        .into_iter()
        .flat_map(|code| {
            job.findings
                .iter()
                .filter(move |finding| finding.code == code)
        })
        .map(finding_row)
        .collect()
}

fn finding_row(finding: &Finding) -> FindingRow {
    let is_danger = matches!(
        finding.code,
        FindingCode::C1 | FindingCode::C2 | FindingCode::FI
    );
    let told = told(finding);
    let untold = told.is_empty() && is_danger;
    let mut after = Vec::new();
    if let Some(seen) = &finding.visit {
        after.push(format!("Seen {}.", day(seen.in_office().value)));
    }
    if let Some(put_right) = &finding.put_right {
        after.push(format!("Put right {}.", day(put_right.in_office().value)));
    }
    if finding.refused {
        after.push(crate::office::words::REFUSED.to_owned());
    }
    if finding.private {
        after.push("Kept out of the write-up.".to_owned());
    }
    FindingRow {
        code: finding.code.shown(),
        mark: mark(finding.code),
        meaning: finding.code.meaning(),
        what: stopped(&capital(&finding.what_and_where())),
        done: finding
            .done
            .as_ref()
            .map_or(String::new(), |done| stopped(&capital(&done.value))),
        told: if untold {
            "Nobody is written down as told.".to_owned()
        } else {
            told
        },
        untold,
        after: after.join(" "),
    }
}

/// `Told: yard manager, 2 March 2026, in person and by email.`; empty where nothing of it is written.
fn told(finding: &Finding) -> String {
    let Some(told) = &finding.told else {
        return String::new();
    };
    let parts: Vec<String> = [
        told.who
            .as_ref()
            .map(|who| who.in_office().value.clone())
            .or_else(|| told.role.clone()),
        told.on.as_ref().map(|on| day(on.in_office().value)),
        told.how_in_words(),
    ]
    .into_iter()
    .flatten()
    .collect();
    if parts.is_empty() {
        String::new()
    } else {
        stopped(&format!("Told: {}", parts.join(", ")))
    }
}

/// Readings in the order of the log, each value with its figure.
pub(in crate::office) fn readings(job: &Job, figures: &Figures) -> Vec<ReadingRow> {
    held(&job.readings, figures)
        .into_iter()
        .zip(&job.readings)
        .map(|(values, reading)| ReadingRow {
            circuit: reading
                .circuit
                .as_ref()
                .map_or(String::new(), |circuit| circuit.in_office().value.clone()),
            device: reading
                .device
                .as_ref()
                .map_or(String::new(), |device| device_words(&device.value)),
            date: reading
                .visit
                .as_ref()
                .map_or(String::new(), |visit| day(visit.in_office().value)),
            as_found: reading.as_found,
            values,
        })
        .collect()
}

/// The books of the figures that readings were held against.
pub(in crate::office) fn figures_of(rows: &[ReadingRow]) -> String {
    books(rows.iter().flat_map(|row| &row.values))
}

/// `C16`, `BS 3036 30 A`, `16 A`.
fn device_words(device: &Device) -> String {
    let rating = device.rating.map(number);
    match (device.kind.as_deref(), rating) {
        (Some(kind), Some(rating)) if kind.len() == 1 => format!("{kind}{rating}"),
        (Some(kind), Some(rating)) => format!("{kind} {rating} A"),
        (Some(kind), None) => kind.to_owned(),
        (None, Some(rating)) => format!("{rating} A"),
        (None, None) => String::new(),
    }
}
