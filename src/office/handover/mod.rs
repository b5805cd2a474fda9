//! What a job is handed over with: the client's paper, the same as an email, and a note for the certificate, as plain
//! views.
//!
//! Who gets it decides what stands on it ([`For`]). A C1, C2 or FI stands on every one, told or not, private or not.
//! Private blocks, notes of visits, costs and margins stand on none. Makes no bytes, reads no file, and is no
//! certificate.

mod certificate;
mod charged;
pub mod daywork;
mod done;
mod email;
mod found;
mod paper;

use jiff::civil::Date;
use serde::Serialize;

use crate::model::{Client, Diary, Job, Private};
use crate::office::reckon;
use crate::trade::{Figures, Verdict, judge_readings};

pub use certificate::note;
pub use email::email;
pub use found::PaperFinding;
pub(in crate::office) use found::work_due;
pub use paper::{Paper, paper};

/// Whom a paper is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum For {
    /// The one who pays: everything that is the client's business.
    Owner,
    /// An agent: no prices, unless the agent is the one who pays.
    Agent,
    /// A tenant: no prices ever, and nothing of whoever pays.
    Tenant,
}

impl For {
    /// The word of the command line, of JSON and of file names.
    pub fn word(self) -> &'static str {
        match self {
            For::Owner => "owner",
            For::Agent => "agent",
            For::Tenant => "tenant",
        }
    }

    /// What a file for this reader is called: `paper.html`, `paper-tenant.html`.
    pub fn file(self, stem: &str, ending: &str) -> String {
        match self {
            For::Owner => format!("{stem}.{ending}"),
            _ => format!("{stem}-{}.{ending}", self.word()),
        }
    }
}

/// Where a job's paperwork stands below `out/`: `office/handover/2026-031`. A name that some disks keep for themselves gets
/// a sign that no ref can hold.
pub fn folder(reference: &str) -> String {
    let kept = ["con", "prn", "aux", "nul"].contains(&reference.to_ascii_lowercase().as_str());
    let sign = if kept { "_" } else { "" };
    format!("office/handover/{reference}{sign}")
}

/// A job and whom its paper is for.
#[derive(Clone, Copy)]
pub struct Subject<'a> {
    /// The diary.
    pub diary: &'a Diary,
    /// The job.
    pub job: &'a Job,
    /// Whom it is for.
    pub reader: For,
    /// The day it is made.
    pub as_of: Date,
}

impl<'a> Subject<'a> {
    /// The client of the job, where `clients.yaml` has it.
    pub fn client(&self) -> Option<&'a Client> {
        let key = self.job.client.as_ref()?.in_office();
        self.diary.clients.get(&key.value)
    }

    /// Whether the reader is the one who pays.
    pub fn pays(&self) -> bool {
        match self.reader {
            For::Owner => true,
            For::Tenant => false,
            For::Agent => self
                .client()
                .and_then(|client| client.role.as_ref())
                .is_some_and(|role| role.value.to_lowercase().contains("agent")),
        }
    }

    /// What the readings are held against.
    fn figures(&self) -> Figures {
        Figures::with_own(&self.diary.settings.figures)
    }
}

/// What `handover` reports.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Handover {
    report: &'static str,
    version: u32,
    /// The job's ref.
    #[serde(rename = "ref")]
    pub reference: String,
    /// `owner`, `agent`, `tenant`.
    #[serde(rename = "for")]
    pub reader: &'static str,
    /// What was written, relative to the diary, in order of name.
    pub files: Vec<String>,
    /// Findings as the paper has them, gravest first.
    pub findings: Vec<FoundRow>,
    /// Measured values in the order of the log and of the tests.
    pub readings: Vec<HeldRow>,
    /// First and last day of the guarantee; none for a job without one.
    pub guarantee: Option<Span>,
}

/// A finding of the report.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct FoundRow {
    /// `C1`, `C2`, `FI`, `C3`, `Note`.
    pub code: &'static str,
    /// `Danger present`; empty for a note.
    pub meaning: &'static str,
    /// What was seen.
    pub what: String,
    /// Where; null where none is written.
    #[serde(rename = "where")]
    pub place: Option<String>,
    /// What was done; null where nothing is written.
    pub done: Option<String>,
    /// Who was told; null where nobody is written.
    pub told: Option<ToldRow>,
    /// The day it was put right; null where none is written.
    pub put_right: Option<String>,
    /// Consent to isolate it or put it right was refused, in writing.
    pub refused: bool,
    /// What the code asks for; empty once it is put right.
    pub asks: String,
}

/// Who was told.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct ToldRow {
    /// A role, or a name where the paper may show it; null where none is written.
    pub who: Option<String>,
    /// The day.
    pub on: Option<String>,
    /// In person, by email.
    pub how: Option<String>,
}

/// A measured value of the report.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct HeldRow {
    /// The circuit; null where none is written.
    pub circuit: Option<String>,
    /// `zs`, `insulation.live_to_earth`.
    pub quantity: &'static str,
    /// As written: `0.92`, `>200`, `LIM`.
    pub value: String,
    /// The figure's number; null where it was held against none.
    pub limit: Option<f64>,
    /// `within`, `near`, `outside`, `not-judged`.
    pub verdict: &'static str,
    /// The book, and where it was read; null where there is no figure.
    pub source: Option<String>,
    /// Taken as found and measured again later.
    pub measured_again: bool,
}

/// First and last day.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Span {
    /// First.
    pub from: String,
    /// Last.
    pub until: String,
}

/// The report of a job's handover, before its files are known.
pub fn handover(subject: Subject<'_>) -> Handover {
    let Subject { diary, job, .. } = subject;
    Handover {
        report: "handover",
        version: 1,
        reference: job.reference.in_office().value.clone(),
        reader: subject.reader.word(),
        files: Vec::new(),
        findings: found::rows(subject),
        readings: held_rows(subject),
        guarantee: reckon::guarantee(job, &diary.settings).map(|(from, until, _)| Span {
            from: from.to_string(),
            until: until.to_string(),
        }),
    }
}

fn held_rows(subject: Subject<'_>) -> Vec<HeldRow> {
    judge_readings(&subject.job.readings, &subject.figures())
        .into_iter()
        .map(|judged| HeldRow {
            circuit: judged
                .circuit
                .as_ref()
                .map(Private::in_office)
                .map(|at| at.value.clone()),
            quantity: judged.quantity.key(),
            limit: judged.outcome.limit.map(|limit| limit.number()),
            verdict: judged.outcome.verdict.word(),
            source: judged
                .outcome
                .ground
                .as_ref()
                .filter(|_| judged.outcome.verdict != Verdict::NotJudged)
                .map(|ground| match ground.source.contains(&ground.book) {
                    true => ground.source.clone(),
                    false => format!("{}; {}", ground.book, ground.source),
                }),
            measured_again: judged.superseded,
            value: judged.value,
        })
        .collect()
}
