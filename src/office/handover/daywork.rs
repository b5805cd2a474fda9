//! The daywork sheet: labour by the hour, materials and plant, each section with its percentage addition, and a line to
//! sign.
//!
//! Laid out by sections as the trade's published definitions of the prime cost of daywork are (labour; materials and
//! goods; plant; an addition in per cent on each). The rates and percentages are the diary's own, not those of any
//! schedule. A free return is no daywork. What was agreed or billed is not looked at.

use serde::Serialize;

use crate::model::{Material, Minutes, Money, Private, Visit, VisitKind};
use crate::office::reckon::part;
use crate::office::reckon::{line_amounts, percent};
use crate::office::words::{amount, day, figure, number};

use super::done::by_the_clock;
use super::paper::to;
use super::{Paper, Subject, paper};

/// The daywork sheet.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct DayworkSheet {
    /// Who, where and when: the head of the client's paper.
    pub head: Paper,
    /// Whom it is for.
    pub to: String,
    /// Labour, a line a visit.
    pub labour: Section,
    /// Materials and goods, at cost.
    pub materials: Section,
    /// Plant, at cost; to be filled in by hand where the log has no line of it.
    pub plant: Section,
    /// Parking as paid, and VAT.
    pub others: Vec<Line>,
    /// The sum.
    pub total: String,
    /// What the sheet leaves out or takes for granted, as sentences.
    pub notes: Vec<String>,
}

/// A section of prime cost.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Section {
    /// Its lines.
    pub lines: Vec<Line>,
    /// Their sum.
    pub sum: String,
    /// Its addition.
    pub addition: Addition,
    /// Both together.
    pub whole: String,
}

/// An addition in per cent.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Addition {
    /// `15`.
    pub percent: String,
    /// The amount.
    pub amount: String,
}

/// A line of the sheet.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Line {
    /// `2 March 2026, call-out, 18:10 to 19:25`.
    pub what: String,
    /// `1 h 15`, `24 m`.
    pub count: String,
    /// The rate, `42.00`; empty where the line is one amount.
    pub rate: String,
    /// The amount; empty where no cost is written.
    pub amount: String,
}

/// The daywork sheet of a job.
pub fn sheet(subject: Subject<'_>) -> DayworkSheet {
    let job = subject.job;
    let rates = subject.diary.settings.rates.in_office();
    let additions = rates.daywork;
    let labour_percent = additions.labour_percent.unwrap_or(0.0);
    // Without a percentage of its own, what is bought in goes at the usual markup.
    let materials_percent = additions.materials_percent.unwrap_or(rates.markup_percent);
    let plant_percent = additions.plant_percent.unwrap_or(rates.markup_percent);

    let charged: Vec<&Visit> = job
        .visits
        .iter()
        .filter(|visit| visit.kind != VisitKind::Guarantee)
        .collect();
    let labour: Vec<(Line, Money)> = charged
        .iter()
        .map(|visit| {
            let amount = part(rates.hour, visit.minutes().get(), 60);
            let line = Line {
                what: attendance(visit),
                count: visit.minutes().to_string(),
                rate: figure(rates.hour),
                amount: figure(amount),
            };
            (line, amount)
        })
        .collect();
    let mut uncosted = 0;
    let mut at_cost = |material: &Material| {
        let cost = line_amounts(material).0;
        uncosted += usize::from(cost.is_none());
        (item(material, cost), cost.unwrap_or(Money::NOUGHT))
    };
    let materials: Vec<(Line, Money)> = job.materials.iter().map(&mut at_cost).collect();
    let plant: Vec<(Line, Money)> = job
        .plant
        .iter()
        .map(Private::in_office)
        .map(&mut at_cost)
        .collect();
    let (labour, labour_sum) = section(labour, labour_percent);
    let (materials, materials_sum) = section(materials, materials_percent);
    let (plant, plant_sum) = section(plant, plant_percent);
    let parking: Money = charged
        .iter()
        .filter_map(|visit| visit.parking.as_ref())
        .map(|paid| paid.in_office().value)
        .sum();
    let mut others = Vec::new();
    let mut other = |what: String, amount: Money| {
        others.push(Line {
            what,
            count: String::new(),
            rate: String::new(),
            amount: figure(amount),
        });
    };
    if parking != Money::NOUGHT {
        other("Parking, as paid".to_owned(), parking);
    }
    let net = labour_sum + materials_sum + plant_sum + parking;
    let vat = percent(net, rates.vat_percent);
    if rates.vat_percent > 0.0 {
        other(format!("VAT at {} %", number(rates.vat_percent)), vat);
    }
    DayworkSheet {
        head: paper(subject),
        to: to(subject),
        labour,
        materials,
        plant,
        others,
        total: figure(net + vat),
        notes: notes(subject, uncosted, charged.len()),
    }
}

/// A line of materials or plant, at what it cost.
fn item(material: &Material, cost: Option<Money>) -> Line {
    Line {
        what: material.item.value.clone(),
        count: material.how_many(),
        rate: match (&material.cost, material.for_all) {
            (Some(cost), false) => figure(cost.in_office().value),
            _ => String::new(),
        },
        amount: cost.map_or(String::new(), figure),
    }
}

fn section(lines: Vec<(Line, Money)>, addition: f64) -> (Section, Money) {
    let sum: Money = lines.iter().map(|(_, amount)| *amount).sum();
    let added = percent(sum, addition);
    let section = Section {
        lines: lines.into_iter().map(|(line, _)| line).collect(),
        sum: figure(sum),
        addition: Addition {
            percent: number(addition),
            amount: figure(added),
        },
        whole: figure(sum + added),
    };
    (section, sum + added)
}

/// `2 March 2026, call-out, 18:10 to 19:25, break 15 min`.
fn attendance(visit: &Visit) -> String {
    let mut said = format!(
        "{}, {}",
        day(visit.date.in_office().value),
        visit.kind.shown().to_lowercase()
    );
    match by_the_clock(visit) {
        Some(when) => said.push_str(&format!(", {when}")),
        None if visit.rest > Minutes::NOUGHT => said.push_str(&format!(", break {}", visit.rest)),
        None => {}
    }
    said
}

fn notes(subject: Subject<'_>, uncosted: usize, visits: usize) -> Vec<String> {
    let rates = subject.diary.settings.rates.in_office();
    let additions = rates.daywork;
    let mut notes = vec![format!(
        "Labour goes at {} an hour, the diary's own rate, time on site without breaks; materials at cost.",
        amount(rates.hour, &rates.currency)
    )];
    if additions.labour_percent.is_none()
        || additions.materials_percent.is_none()
        || additions.plant_percent.is_none()
    {
        notes.push(
            "The diary does not give every addition (rates: daywork): labour without one has none, and materials or plant without one have the usual markup."
                .to_owned(),
        );
    }
    if subject.job.plant.is_empty() {
        notes.push(
            "No plant is written in the log: if there was any, write it in by hand, at cost."
                .to_owned(),
        );
    }
    if uncosted > 0 {
        notes.push(format!(
            "{uncosted} of the materials and plant {} no cost written and {} nothing here.",
            if uncosted == 1 { "has" } else { "have" },
            if uncosted == 1 { "adds" } else { "add" },
        ));
    }
    let free = subject.job.visits.len() - visits;
    if free > 0 {
        notes.push("Free returns under the guarantee are no daywork and are left out.".to_owned());
    }
    notes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::office::handover::For;

    #[test]
    fn each_section_has_its_own_addition_and_the_sum_adds_rounded_lines() {
        let settings = "title: A diary\nsite: {address: https://example.com}\nrates: {hour: 42.00, vat_percent: 20, \
            daywork: {labour_percent: 10, materials_percent: 12.5}, markup_percent: 15}\n";
        let log = "---\ntitle: A job\nref: 2026-001\nvisits:\n  - {date: 2026-03-02, from: 08:00, to: 09:10, parking: 2.50}\n  \
            - {date: 2026-03-03, kind: guarantee, time: 2h}\nmaterials: [{item: Gland, count: 3, cost: 4.55}, {item: Clip}]\n\
            plant: [{item: Tower, count: 2, unit: day, cost: 35.00}]\n---\n";
        let read = crate::diary::read_files(vec![
            ("diary.yaml".to_owned(), settings.into()),
            ("jobs/2026/a.md".to_owned(), log.into()),
        ]);
        let sheet = sheet(Subject {
            diary: &read.diary,
            job: &read.diary.jobs[0],
            reader: For::Owner,
            as_of: jiff::civil::date(2026, 11, 25),
        });
        assert_eq!(sheet.labour.lines.len(), 1);
        assert_eq!(
            (
                sheet.labour.sum.as_str(),
                sheet.labour.addition.amount.as_str()
            ),
            ("49.00", "4.90")
        );
        assert_eq!(
            (
                sheet.materials.sum.as_str(),
                sheet.materials.addition.amount.as_str(),
                sheet.materials.addition.percent.as_str()
            ),
            ("13.65", "1.71", "12.5")
        );
        assert_eq!(
            (
                sheet.plant.sum.as_str(),
                sheet.plant.addition.amount.as_str(),
                sheet.plant.addition.percent.as_str()
            ),
            ("70.00", "10.50", "15")
        );
        // 49.00 + 4.90 + 13.65 + 1.71 + 70.00 + 10.50 + 2.50 = 152.26, and a fifth of it is 30.45.
        assert_eq!(
            (sheet.others[1].amount.as_str(), sheet.total.as_str()),
            ("30.45", "182.71")
        );
        assert!(
            sheet
                .notes
                .iter()
                .any(|note| note.contains("no cost written"))
        );
        assert!(sheet.notes.iter().any(|note| note.contains("Free returns")));
    }
}
