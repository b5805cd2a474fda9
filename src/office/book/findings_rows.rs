//! What the pages of the findings book show, as plain values. How they come about is in `findings.rs`.

use serde::Serialize;

/// The first page of the findings book.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct FindingsPage {
    /// `25 November 2026`.
    pub as_of: String,
    /// The answer first: `15 findings stand open`.
    pub headline: String,
    /// The rest of the answer.
    pub say: String,
    /// A line for each code.
    pub codes: Vec<CodeLine>,
    /// What stands open: told to nobody first, then gravest, then oldest.
    pub open: Vec<OpenRow>,
    /// How many more stand open.
    pub more: usize,
    /// Location types, most jobs first.
    pub locations: Vec<LocationLine>,
    /// What turns up most, over the whole diary.
    pub common: Vec<OftenRow>,
    /// Years with findings, newest first: page, year, count.
    pub years: Vec<(String, String, String)>,
}

/// A code over the whole diary.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct CodeLine {
    /// `C1`.
    pub code: &'static str,
    /// The mark's id.
    pub mark: &'static str,
    /// `Danger present`; empty for a note.
    pub meaning: &'static str,
    /// Found.
    pub found: usize,
    /// Told to somebody.
    pub told: usize,
    /// Put right.
    pub put_right: usize,
    /// Done, not marked as put right.
    pub done: usize,
    /// Nothing done.
    pub open: usize,
    /// Refused in writing.
    pub refused: usize,
}

/// A finding that stands open, or any of a year.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct OpenRow {
    /// `C1`.
    pub code: &'static str,
    /// The mark's id.
    pub mark: &'static str,
    /// What and where, as a sentence.
    pub what: String,
    /// `12 days`; empty where no visit is written.
    pub age: String,
    /// `told agent, 8 April 2026`, `nobody told`.
    pub told: String,
    /// Whether a danger stands untold.
    pub untold: bool,
    /// `nothing done`, `put right`.
    pub state: &'static str,
    /// What to do next, as sentences; empty where nothing is.
    pub next: String,
    /// The job's page.
    pub link: String,
    /// The job's ref.
    pub reference: String,
    /// Who and where; may be empty.
    pub at: String,
}

/// A location type.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct LocationLine {
    /// Its page: `findings/at-boat-shed.html`.
    pub link: String,
    /// `Boat shed or yard`.
    pub name: String,
    /// Jobs there.
    pub jobs: usize,
    /// Too few to lean on.
    pub few: bool,
    /// The share of jobs with a finding of each code, in the order of `FindingCode::ALL` without notes; then of any
    /// C1, C2 or FI.
    pub shares: Vec<ShareCell>,
}

/// A share with its interval.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct ShareCell {
    /// `31 %`; empty of no jobs.
    pub share: String,
    /// `18 to 48 %`; empty of no jobs.
    pub interval: String,
}

/// How often something turns up.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct OftenRow {
    /// What: `C2, potentially dangerous`, or a finding's words.
    pub what: String,
    /// Jobs with it.
    pub n: usize,
    /// Jobs that could have had it.
    pub of: usize,
    /// The share with its interval.
    pub share: ShareCell,
    /// Ref and page of jobs with it, newest first.
    pub jobs: Vec<(String, String)>,
    /// How many more jobs have it.
    pub more: usize,
}

/// What was found at a location type.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct LocationFindings {
    /// Its own address.
    pub link: String,
    /// `Boat shed or yard`.
    pub name: String,
    /// `31 jobs`.
    pub jobs: String,
    /// The answer first.
    pub headline: String,
    /// Whether the jobs are too few to lean on.
    pub few: bool,
    /// By code, gravest first.
    pub codes: Vec<OftenRow>,
    /// By likeness, most jobs first.
    pub alike: Vec<OftenRow>,
    /// How many more sorts there are.
    pub more: usize,
}

/// Every finding of a year.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct YearFindings {
    /// Its own address.
    pub link: String,
    /// `2026`.
    pub year: String,
    /// `31 findings`.
    pub count: String,
    /// Gravest first, then newest job first.
    pub rows: Vec<OpenRow>,
}
