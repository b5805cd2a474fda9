//! Findings as paper has them: the code in words, what was done, who was told, what it asks for and by when.
//!
//! Leaves out nothing grave. Says of no circuit that it is sound.

use jiff::civil::Date;
use serde::Serialize;

use crate::model::{Finding, FindingCode, Private, Tenure, Told};
use crate::office::book::mark;
use crate::office::words::{REFUSED, capital, day, is_or_was, stopped};
use crate::trade::dates;

use super::{For, FoundRow, Subject, ToldRow};

/// A finding on paper.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct PaperFinding {
    /// `C1`.
    pub code: &'static str,
    /// The mark's id.
    pub mark: &'static str,
    /// `Danger present`; empty for a note.
    pub meaning: &'static str,
    /// What was seen and where, as a sentence.
    pub what: String,
    /// What was done, when it was seen and put right, as sentences; may be empty.
    pub done: String,
    /// Who was told, as a sentence.
    pub told: String,
    /// What it asks for, as sentences; empty once it is put right.
    pub asks: String,
    /// A C1, C2 or FI that is not put right.
    pub stands: bool,
}

/// Whether a finding must reach every reader.
pub(super) fn is_grave(code: FindingCode) -> bool {
    matches!(code, FindingCode::C1 | FindingCode::C2 | FindingCode::FI)
}

/// Findings that the reader gets, gravest first, else in the order of the log. A private C3 or note stays between the
/// electrician and the one who pays; what is grave goes to everybody.
pub(super) fn shown(subject: Subject<'_>) -> impl Iterator<Item = &Finding> {
    FindingCode::ALL.into_iter().flat_map(move |code| {
        subject.job.findings.iter().filter(move |finding| {
            finding.code == code && (is_grave(code) || !finding.private || subject.pays())
        })
    })
}

/// Findings as paper has them.
pub(super) fn findings(subject: Subject<'_>) -> Vec<PaperFinding> {
    shown(subject)
        .map(|finding| PaperFinding {
            code: finding.code.shown(),
            mark: mark(finding.code),
            meaning: finding.code.meaning(),
            what: what(finding),
            done: done(finding),
            told: told(subject, finding),
            asks: asks(subject, finding),
            stands: is_grave(finding.code) && finding.put_right.is_none(),
        })
        .collect()
}

/// Findings as JSON has them.
pub(super) fn rows(subject: Subject<'_>) -> Vec<FoundRow> {
    shown(subject)
        .map(|finding| FoundRow {
            code: finding.code.shown(),
            meaning: finding.code.meaning(),
            what: finding.what.value.clone(),
            place: finding.location.as_ref().map(|at| at.value.clone()),
            done: finding.done.as_ref().map(|done| done.value.clone()),
            told: finding.told.as_ref().map(|told| ToldRow {
                who: who(subject, told),
                on: told.on.as_ref().map(|on| on.in_office().value.to_string()),
                how: told.how.as_ref().map(|how| how.value.clone()),
            }),
            put_right: put_right(finding).map(|day| day.to_string()),
            refused: finding.refused,
            asks: asks(subject, finding),
        })
        .collect()
}

fn put_right(finding: &Finding) -> Option<Date> {
    finding.put_right.as_ref().map(|day| day.in_office().value)
}

/// What was seen and where, as a sentence.
pub(super) fn what(finding: &Finding) -> String {
    stopped(&capital(&finding.what_and_where()))
}

/// What was done, when it was seen and when it was put right. Told the day it was seen, the one date says both.
fn done(finding: &Finding) -> String {
    let day_of = |at: &Private<crate::model::At<Date>>| at.in_office().value;
    let told_on = finding.told.as_ref().and_then(|told| told.on.as_ref());
    let same = told_on
        .zip(finding.visit.as_ref())
        .is_some_and(|(on, seen)| day_of(on) == day_of(seen));
    let seen = if same { String::new() } else { seen(finding) };
    format!("{seen} {}", dealt_with(finding)).trim().to_owned()
}

/// `Seen 2 March 2026.`; empty where the log does not say.
pub(super) fn seen(finding: &Finding) -> String {
    finding.visit.as_ref().map_or(String::new(), |seen| {
        format!("Seen {}.", day(seen.in_office().value))
    })
}

/// What was done, and when it was put right or refused.
pub(super) fn dealt_with(finding: &Finding) -> String {
    let mut said = Vec::new();
    if let Some(done) = &finding.done {
        said.push(stopped(&capital(&done.value)));
    }
    if let Some(on) = put_right(finding) {
        said.push(format!("Put right {}.", day(on)));
    }
    if finding.refused {
        said.push(REFUSED.to_owned());
    }
    said.join(" ")
}

/// Whom the record has as told: a role; a name only for the one who pays.
fn who(subject: Subject<'_>, told: &Told) -> Option<String> {
    let name = || told.who.as_ref().map(|who| who.in_office().value.clone());
    match subject.pays() {
        true => name().or_else(|| told.role.clone()),
        false => told
            .role
            .clone()
            .or_else(|| told.who.as_ref().map(|_| "somebody else".to_owned())),
    }
}

/// Whether the one told is the reader.
fn is_reader(subject: Subject<'_>, told: &Told) -> bool {
    let role = told.role.as_deref().unwrap_or_default();
    match subject.reader {
        For::Tenant => role == "tenant",
        For::Agent => role.ends_with("agent"),
        For::Owner => {
            let client = subject.client();
            let own_role = client.and_then(|client| client.role.as_ref());
            let contact =
                client.and_then(|client| client.contact.as_ref().or(client.name.as_ref()));
            let named = told
                .who
                .as_ref()
                .zip(contact)
                .is_some_and(|(who, contact)| {
                    who.in_office().value.trim() == contact.in_office().value.trim()
                });
            named
                || own_role.is_some_and(|own| !role.is_empty() && own.value.to_lowercase() == role)
        }
    }
}

/// Who was told, when and how; of what is grave and was told to nobody, that.
pub(super) fn told(subject: Subject<'_>, finding: &Finding) -> String {
    let who = finding
        .told
        .as_ref()
        .and_then(|told| Some((told, who(subject, told)?)));
    let Some((told, who)) = who else {
        return match is_grave(finding.code) {
            true => {
                "The record names nobody as told before this paper: take it as told now.".to_owned()
            }
            false => String::new(),
        };
    };
    let mut said = if is_reader(subject, told) {
        "You were told".to_owned()
    } else {
        let one = told.role.as_deref().is_some_and(|role| role == who);
        format!("{}{who} was told", if one { "The " } else { "" })
    };
    if who.contains(" and ") {
        said = said.replace(" was told", " were told");
    }
    if let Some(on) = told.on.as_ref().map(Private::in_office) {
        said.push_str(&format!(" on {}", day(on.value)));
    }
    if let Some(how) = told.how_in_words() {
        said.push_str(&format!(", {how}"));
    }
    stopped(&capital(&said))
}

/// What a code asks for while it is not put right. The words for the codes are BS 7671's own; that of the day is England's
/// rule for rented homes (SI 2020/312).
pub(super) fn asks(subject: Subject<'_>, finding: &Finding) -> String {
    if finding.put_right.is_some() {
        return String::new();
    }
    let asked = match finding.code {
        FindingCode::C1 => {
            "It asks for action at once: keep it off and keep people away until it is put right."
        }
        FindingCode::C2 => "It asks to be put right without delay.",
        FindingCode::FI => "It asks to be looked into without delay.",
        FindingCode::C3 => "It would be better than it is; nothing has to be done at once.",
        FindingCode::Note => return String::new(),
    };
    match due(subject, finding) {
        Some(due) => format!(
            "{asked} In a rented home in England that {} due by {}.",
            is_or_was(due, subject.as_of),
            day(due)
        ),
        None => asked.to_owned(),
    }
}

/// The last day for a grave finding in a rented home: 28 days from the inspection, or from the visit that saw it, or the
/// earlier day that the report gives. `None` elsewhere.
fn due(subject: Subject<'_>, finding: &Finding) -> Option<Date> {
    if subject.job.tenure != Some(Tenure::Rented) || !is_grave(finding.code) {
        return None;
    }
    work_due(subject.job, finding)
}

/// As [`due`], of a job that is known to be in a rented home and a finding that is known to be grave.
pub(in crate::office) fn work_due(job: &crate::model::Job, finding: &Finding) -> Option<Date> {
    let report = job.report.as_ref().map(Private::in_office);
    let inspected = report.and_then(|report| report.inspected.as_ref());
    let seen = finding.visit.as_ref().map(|seen| seen.in_office().value);
    let only = match job.visits.as_slice() {
        [only] => Some(only.date.in_office().value),
        _ => None,
    };
    let from = inspected.map(|at| at.value).or(seen).or(only);
    let by_rule = from.map(|from| dates::remedial_work(from, None));
    let by_report = report
        .and_then(|report| report.due.as_ref())
        .map(|at| at.value);
    [by_rule, by_report].into_iter().flatten().min()
}
