//! Dates that pass: what a rented home's report and work are due by, the next inspection, and the last days of
//! guarantees.
//!
//! The days are the trade's ([`crate::trade::dates`]; a rented home's are England's). What is written down as sent or
//! put right is not listed. Nothing here is legal advice, and no clock is asked.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::model::{Diary, Finding, FindingCode, Job, Private, Tenure};
use crate::trade::dates;

use super::handover::work_due;
use super::reckon::guarantee;

/// What is due.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// A C1, C2 or FI of a rented home, to be put right or looked into.
    Work,
    /// A rented home's report, to the tenant.
    Report,
    /// Written proof of finished work, to the tenant and the council. Only days to come: no log says that it was sent.
    Proof,
    /// A rented home's next inspection.
    Inspection,
    /// A guarantee's last day. Only days to come.
    Guarantee,
}

impl Kind {
    /// Every kind, in the order in which a day's are listed.
    pub const ALL: [Kind; 5] = [
        Kind::Work,
        Kind::Report,
        Kind::Proof,
        Kind::Inspection,
        Kind::Guarantee,
    ];

    /// The word of addresses: `work`.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Work => "work",
            Kind::Report => "report",
            Kind::Proof => "proof",
            Kind::Inspection => "inspection",
            Kind::Guarantee => "guarantee",
        }
    }

    /// As a list names it.
    pub fn shown(self) -> &'static str {
        match self {
            Kind::Work => "Work due",
            Kind::Report => "Report to the tenant",
            Kind::Proof => "Proof of the work",
            Kind::Inspection => "Next inspection",
            Kind::Guarantee => "Guarantee ends",
        }
    }

    /// Where the day comes from, as a sentence.
    pub fn why(self) -> &'static str {
        match self {
            Kind::Work => {
                "Put right or looked into within 28 days of the inspection, that day the first, or by the day that the report gives (England, SI 2020/312)."
            }
            Kind::Report => {
                "A copy to the tenant within 28 days of the inspection (England, SI 2020/312)."
            }
            Kind::Proof => {
                "Written proof to tenant and council within 28 days of the work (England, SI 2020/312)."
            }
            Kind::Inspection => {
                "Five years after the last inspection at this place (England, SI 2020/312)."
            }
            Kind::Guarantee => "The last day on which coming back costs nothing.",
        }
    }
}

/// One date.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Due {
    /// The last day.
    pub on: Date,
    /// What is due.
    pub kind: Kind,
    /// Number of its job in the diary.
    pub job: usize,
    /// Codes it is about, gravest first; empty but for work and proof.
    pub codes: Vec<FindingCode>,
}

/// Every date of a diary that is still open on a day, soonest first; on one day by kind and by ref. Dates before `as_of`
/// are overdue.
pub fn dates(diary: &Diary, as_of: Date) -> Vec<Due> {
    let latest = latest_inspections(diary, as_of);
    let mut all = Vec::new();
    for (number, job) in diary.jobs.iter().enumerate() {
        let mut add = |on: Option<Date>, kind: Kind, codes: Vec<FindingCode>| {
            all.extend(on.map(|on| Due {
                on,
                kind,
                job: number,
                codes,
            }));
        };
        if let Some((from, until, _)) = guarantee(job, &diary.settings)
            && from <= as_of
            && until >= as_of
        {
            add(Some(until), Kind::Guarantee, Vec::new());
        }
        if job.tenure != Some(Tenure::Rented) {
            continue;
        }
        let report = job.report.as_ref().map(Private::in_office);
        let inspected = report
            .and_then(|report| report.inspected.as_ref())
            .map(|at| at.value)
            .filter(|on| *on <= as_of);
        if let Some(inspected) = inspected {
            if report.is_some_and(|report| report.sent.is_none()) {
                add(
                    Some(dates::report_to_tenant(inspected)),
                    Kind::Report,
                    Vec::new(),
                );
            }
            if latest.get(&place_of(job)) == Some(&inspected) {
                add(
                    Some(dates::next_inspection(inspected)),
                    Kind::Inspection,
                    Vec::new(),
                );
            }
        }
        let (on, codes) = work(job);
        add(on, Kind::Work, codes);
        let (on, codes) = proof(job, as_of);
        add(on, Kind::Proof, codes);
    }
    all.sort_by_key(|due| (due.on, due.kind, due.job));
    all
}

fn is_grave(finding: &&Finding) -> bool {
    matches!(
        finding.code,
        FindingCode::C1 | FindingCode::C2 | FindingCode::FI
    )
}

/// The earliest day by which what still stands is due, and its codes. What was refused in writing is the landlord's to
/// answer for.
fn work(job: &Job) -> (Option<Date>, Vec<FindingCode>) {
    let standing: Vec<&Finding> = job
        .findings
        .iter()
        .filter(is_grave)
        .filter(|finding| finding.put_right.is_none() && !finding.refused)
        .collect();
    let on = standing
        .iter()
        .filter_map(|finding| work_due(job, finding))
        .min();
    (on, codes(&standing))
}

/// The day for proof of the last work that was put right, while it is to come.
fn proof(job: &Job, as_of: Date) -> (Option<Date>, Vec<FindingCode>) {
    let put_right: Vec<(&Finding, Date)> = job
        .findings
        .iter()
        .filter(is_grave)
        .filter_map(|finding| Some((finding, finding.put_right.as_ref()?.in_office().value)))
        .filter(|(_, on)| *on <= as_of)
        .collect();
    let last = put_right.iter().map(|(_, on)| *on).max();
    let on = last.map(dates::proof_of_work).filter(|on| *on >= as_of);
    let findings: Vec<&Finding> = put_right.into_iter().map(|(finding, _)| finding).collect();
    (on, codes(&findings))
}

fn codes(findings: &[&Finding]) -> Vec<FindingCode> {
    FindingCode::ALL
        .into_iter()
        .filter(|code| findings.iter().any(|finding| finding.code == *code))
        .collect()
}

/// Client and place, folded: what two inspections must share for the later to follow the earlier. A job that names no
/// place stands for itself.
fn place_of(job: &Job) -> (String, String) {
    let folded = |text: &str| {
        text.split_whitespace()
            .map(str::to_lowercase)
            .collect::<Vec<_>>()
            .join(" ")
    };
    let client = job.client.as_ref().map_or("", |key| &key.in_office().value);
    match &job.place {
        Some(place) => (folded(client), folded(&place.in_office().value)),
        None => (
            String::new(),
            format!("\n{}", job.reference.in_office().value),
        ),
    }
}

fn latest_inspections(diary: &Diary, as_of: Date) -> BTreeMap<(String, String), Date> {
    let mut latest = BTreeMap::new();
    for job in &diary.jobs {
        let inspected = job
            .report
            .as_ref()
            .and_then(|report| report.in_office().inspected.as_ref())
            .map(|at| at.value)
            .filter(|on| *on <= as_of);
        if let Some(inspected) = inspected {
            let last = latest.entry(place_of(job)).or_insert(inspected);
            *last = inspected.max(*last);
        }
    }
    latest
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn listed(logs: &[&str], as_of: Date) -> Vec<String> {
        let settings =
            "title: A diary\nsite: {address: https://example.com}\nguarantee: {years: 6}\n";
        let mut files = vec![("diary.yaml".to_owned(), settings.into())];
        for (number, keys) in logs.iter().enumerate() {
            let log = format!("---\ntitle: A job\nref: 2026-00{number}\n{keys}\n---\n");
            files.push((format!("jobs/{number}.md"), log.into_bytes()));
        }
        let diary = crate::diary::read_files(files).diary;
        assert_eq!(diary.jobs.len(), logs.len());
        dates(&diary, as_of)
            .into_iter()
            .map(|due| {
                let codes: Vec<&str> = due.codes.iter().map(|code| code.shown()).collect();
                format!(
                    "{} {} {} {}",
                    due.on,
                    due.kind.word(),
                    due.job,
                    codes.join("+")
                )
                .trim_end()
                .to_owned()
            })
            .collect()
    }

    const RENTED: &str = "tenure: rented\nplace: Flat 1\nvisits: [{date: 2026-03-02, time: 2h}]\n";

    #[test]
    fn a_report_and_its_work_have_their_days() {
        let log = format!(
            "{RENTED}report: {{inspected: 2026-03-02, due: 2026-03-15}}\nfindings: [{{what: A, code: C2}}, {{what: B, code: FI}}, {{what: C, code: C3}}]"
        );
        assert_eq!(
            listed(&[&log], date(2026, 11, 25)),
            [
                "2026-03-15 work 0 C2+FI",
                "2026-03-30 report 0",
                "2031-03-02 inspection 0",
                "2032-03-01 guarantee 0",
            ]
        );
    }

    #[test]
    fn what_is_sent_put_right_or_refused_is_off_the_list_and_proof_is_on_it_for_its_days() {
        let log = format!(
            "{RENTED}guarantee: {{years: 0}}\nreport: {{inspected: 2026-03-02, sent: 2026-03-05}}\nfindings: [{{what: A, code: C2, put_right: 2026-03-20}}, {{what: B, code: C1, refused: true}}]"
        );
        assert_eq!(
            listed(&[&log], date(2026, 4, 1)),
            ["2026-04-17 proof 0 C2", "2031-03-02 inspection 0"]
        );
        assert_eq!(
            listed(&[&log], date(2026, 4, 18)),
            ["2031-03-02 inspection 0"]
        );
    }

    #[test]
    fn only_the_latest_inspection_of_a_place_has_a_next() {
        let log = |on: &str, place: &str| {
            format!(
                "tenure: rented\nguarantee: {{years: 0}}\nplace: {place}\nvisits: [{{date: {on}, time: 2h}}]\nreport: {{inspected: {on}, sent: {on}}}"
            )
        };
        assert_eq!(
            listed(
                &[
                    &log("2016-03-02", "Flat 1"),
                    &log("2021-03-02", "flat  1"),
                    &log("2019-03-02", "Flat 2")
                ],
                date(2026, 11, 25)
            ),
            ["2024-03-02 inspection 2", "2026-03-02 inspection 1"]
        );
    }

    #[test]
    fn elsewhere_only_a_guarantee_has_a_day_and_only_while_it_runs() {
        let log = "tenure: owned\nguarantee: {years: 1}\nvisits: [{date: 2026-03-02, time: 2h}]\nfindings: [{what: A, code: C1}]";
        assert_eq!(listed(&[log], date(2027, 3, 1)), ["2027-03-01 guarantee 0"]);
        assert_eq!(listed(&[log], date(2027, 3, 2)), Vec::<String>::new());
        assert_eq!(listed(&[log], date(2026, 3, 1)), Vec::<String>::new());
    }
}
