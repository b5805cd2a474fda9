//! The client's paper as a view: one sheet, in the order in which a client reads.

use serde::Serialize;

use crate::model::{Client, FindingCode, Private};
use crate::office::book::{ReadingRow, figures_of, readings};
use crate::office::reckon;
use crate::office::words::{counted, currency_sign, day, stopped};
use crate::trade::cautions::caution;

use super::charged::{ChargedTable, table};
use super::done::{DoneLine, attended, lines};
use super::found::{PaperFinding, findings};
use super::{For, Subject};

/// The client's paper.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Paper {
    /// `en-GB`.
    pub language: String,
    /// Who did the work: trading name, name, telephone, email.
    pub trader: PaperTrader,
    /// `owner`, `agent`, `tenant`.
    pub reader: &'static str,
    /// The job's ref.
    pub reference: String,
    /// Its title.
    pub title: String,
    /// Whom the paper is for.
    pub to: String,
    /// Where the work was; empty where nothing is written.
    pub place: String,
    /// The days.
    pub attended: String,
    /// `10 h`.
    pub on_site: String,
    /// What is grave and not put right, in a sentence; empty where there is none.
    pub first: String,
    /// A line for each visit.
    pub done: Vec<DoneLine>,
    /// Findings, gravest first.
    pub findings: Vec<PaperFinding>,
    /// Readings in the order of the log.
    pub readings: Vec<ReadingRow>,
    /// The books of their figures.
    pub figures: String,
    /// Why a value was held against no figure, each reason once: `R1+R2: no figure is published for it by itself.`
    pub not_judged: Vec<String>,
    /// What was fitted.
    pub materials: Vec<PaperMaterial>,
    /// What plant there was, without its cost.
    pub plant: Vec<PaperMaterial>,
    /// What was charged; none where the reader does not pay or nothing is written.
    pub charged: Option<ChargedTable>,
    /// What is said where there is no table of charges; empty where the reader does not pay.
    pub uncharged: &'static str,
    /// `£`.
    pub sign: String,
    /// The guarantee; none for a job without one.
    pub guarantee: Option<PaperGuarantee>,
    /// What to do if, and what not to do.
    pub cautions: Vec<String>,
    /// What the paper is not.
    pub no_certificate: Vec<String>,
    /// `25 November 2026`.
    pub made: String,
}

/// Who did the work.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct PaperTrader {
    /// Trading name; the name where there is none.
    pub trading_as: String,
    /// Name; empty where it is the trading name.
    pub name: String,
    /// Telephone, as written.
    pub phone: String,
    /// Email address.
    pub email: String,
}

/// What was fitted, or an item of plant.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct PaperMaterial {
    /// `24 m`, `4`.
    pub count: String,
    /// What it is.
    pub item: String,
}

/// A guarantee on paper.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct PaperGuarantee {
    /// `6 years`.
    pub years: String,
    /// First day.
    pub from: String,
    /// Last day.
    pub until: String,
    /// What it covers.
    pub covers: &'static str,
    /// What it does not; may be empty.
    pub not_in_it: String,
}

/// The paper of a job.
pub fn paper(subject: Subject<'_>) -> Paper {
    let Subject { diary, job, .. } = subject;
    let settings = &diary.settings;
    let rates = settings.rates.in_office();
    let measured = readings(job, &subject.figures());
    let findings = findings(subject);
    let (charged, uncharged) = match subject.pays().then(|| table(job, rates)) {
        Some(Ok(table)) => (Some(table), ""),
        Some(Err(why)) => (None, why),
        None => (None, ""),
    };
    let trader = &settings.trader;
    let trading_as = match trader.trading_as.as_str() {
        "" => &trader.name,
        name => name,
    };
    Paper {
        language: settings.language.clone(),
        reader: subject.reader.word(),
        reference: job.reference.in_office().value.clone(),
        title: job.title.value.clone(),
        to: to(subject),
        place: place(subject),
        attended: attended(job),
        on_site: job.minutes_on_site().to_string(),
        first: first(&findings),
        done: lines(job, settings),
        figures: figures_of(&measured),
        not_judged: not_judged(&measured),
        readings: measured,
        materials: job.materials.iter().map(material).collect(),
        plant: job
            .plant
            .iter()
            .map(|item| material(item.in_office()))
            .collect(),
        charged,
        uncharged,
        sign: currency_sign(&rates.currency),
        guarantee: guarantee(subject),
        cautions: cautions(&trader.phone, &findings),
        no_certificate: no_certificate(),
        made: day(subject.as_of),
        trader: PaperTrader {
            name: match trader.name == trading_as {
                true => String::new(),
                false => trader.name.clone(),
            },
            trading_as: trading_as.to_owned(),
            phone: trader.phone.clone(),
            email: trader.email.clone(),
        },
        findings,
    }
}

/// Whom it is for: the client by name where the reader pays, else the reader's part.
pub(super) fn to(subject: Subject<'_>) -> String {
    let inside = |value: Option<&Private<crate::model::At<String>>>| {
        value.map(|at| at.in_office().value.clone())
    };
    let named = |client: &Client| {
        let mut parts: Vec<String> = [
            inside(client.name.as_ref()),
            inside(client.contact.as_ref()),
        ]
        .into_iter()
        .flatten()
        .collect();
        parts.dedup_by(|contact, name| contact.trim() == name.trim());
        parts.join(", ")
    };
    let name = subject
        .client()
        .filter(|_| subject.pays())
        .map(named)
        .filter(|name| !name.is_empty());
    name.unwrap_or_else(|| {
        match subject.reader {
            For::Owner => "The client",
            For::Agent => "The agent",
            For::Tenant => "The tenant",
        }
        .to_owned()
    })
}

/// Where the work was; the client's own address where the log gives no place and the reader is the client.
fn place(subject: Subject<'_>) -> String {
    let address = || {
        subject
            .client()
            .filter(|_| subject.reader == For::Owner)
            .and_then(|client| client.address.as_ref())
    };
    subject
        .job
        .place
        .as_ref()
        .or_else(address)
        .map_or(String::new(), |at| at.in_office().value.clone())
}

fn material(material: &crate::model::Material) -> PaperMaterial {
    PaperMaterial {
        count: material.how_many(),
        item: material.item.value.clone(),
    }
}

/// The reasons of what was not judged, each once with the quantities it is for.
fn not_judged(rows: &[ReadingRow]) -> Vec<String> {
    let mut reasons: Vec<(&str, Vec<&str>)> = Vec::new();
    let values = rows.iter().flat_map(|row| &row.values);
    for held in values.filter(|held| held.verdict == "not judged") {
        match reasons.iter_mut().find(|(why, _)| *why == held.why) {
            Some((_, of)) if of.contains(&held.quantity.as_str()) => {}
            Some((_, of)) => of.push(&held.quantity),
            None => reasons.push((&held.why, vec![&held.quantity])),
        }
    }
    reasons
        .into_iter()
        .map(|(why, of)| stopped(&format!("{}: {why}", of.join(", "))))
        .collect()
}

/// `Read this first: 1 danger present and 2 potentially dangerous are not put right.`
fn first(findings: &[PaperFinding]) -> String {
    let standing = |code: FindingCode| {
        findings
            .iter()
            .filter(|finding| finding.stands && finding.code == code.shown())
            .count()
    };
    let parts: Vec<String> = [
        (FindingCode::C1, "C1 (danger present)"),
        (FindingCode::C2, "C2 (potentially dangerous)"),
        (FindingCode::FI, "FI (further investigation required)"),
    ]
    .into_iter()
    .map(|(code, words)| (standing(code), words))
    .filter(|(count, _)| *count > 0)
    .map(|(count, words)| format!("{count} {words}"))
    .collect();
    if parts.is_empty() {
        return String::new();
    }
    format!(
        "Read this first. Not marked as put right: {}. What each asks for stands below.",
        super::done::and(&parts)
    )
}

fn guarantee(subject: Subject<'_>) -> Option<PaperGuarantee> {
    let (from, until, years) = reckon::guarantee(subject.job, &subject.diary.settings)?;
    let own = subject.job.guarantee_not_in_it.as_ref();
    Some(PaperGuarantee {
        years: counted(years as usize, "year", "years"),
        from: day(from),
        until: day(until),
        covers: "The work, and coming back to it",
        not_in_it: own
            .map(|words| words.value.as_str())
            .or(subject.diary.settings.guarantee_not_in_it.as_deref())
            .map_or(String::new(), stopped),
    })
}

/// The usual cautions for somebody who is no electrician. Common practice, no source.
fn cautions(phone: &str, findings: &[PaperFinding]) -> Vec<String> {
    let ring = match phone.trim() {
        "" => "ring me".to_owned(),
        phone => format!("ring {phone}"),
    };
    let mut lines = Vec::new();
    if findings.iter().any(|one| one.stands && one.code == "C1") {
        lines.push(
            "What is marked C1 and not put right stays off. Do not switch it on again, and keep people away from it."
                .to_owned(),
        );
    }
    lines.extend([
        format!(
            "If anything is broken, wet, hot or smells of burning, or trips twice: leave it off, keep people away, and {ring}."
        ),
        "A tingle from metal or water: keep off it, keep others off it, and ring now.".to_owned(),
        "Do not open fittings or the board. A neutral can be live, and so can a circuit that looks dead.".to_owned(),
    ]);
    lines
}

/// What the paper is not, with the trade's own caution.
fn no_certificate() -> Vec<String> {
    let mut lines = vec![
        "It is the record of one job; a certificate is a paper of its own: ask for it if the work needs one and it did not come."
            .to_owned(),
    ];
    lines.extend(caution("competent-person").map(|caution| caution.words.clone()));
    lines
}
