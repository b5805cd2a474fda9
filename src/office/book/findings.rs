//! The findings book: what stands open with its age and its next step, what was found in each location type and how
//! often, and every finding of a year.
//!
//! Lists are bounded and say how many more there are; a year's page has all of its findings. Counts nothing itself:
//! [`crate::office::findings`] does.

use jiff::civil::Date;

use super::dates_page::days_between;
use super::findings_rows::{
    CodeLine, FindingsPage, LocationFindings, LocationLine, OftenRow, OpenRow, ShareCell,
    YearFindings,
};
use super::seen::mark;
use super::{Book, done_day, stems};
use crate::model::{Finding, FindingCode, Job, Tenure};
use crate::office::findings::{AtLocation, Often, Sort, State, is_told, seen, stands, state};
use crate::office::handover::work_due;
use crate::office::words::{capital, counted, day, grouped, is_or_was, stopped};

/// How many open findings the first page shows.
const OPEN: usize = 100;
/// How many findings that are alike a page shows.
const ALIKE: usize = 40;
/// How many jobs a figure names.
const NAMED: usize = 60;
/// Fewer jobs are too few to lean on.
const FEW: usize = 5;
/// The codes that must not be left.
const GRAVE: [FindingCode; 3] = [FindingCode::C1, FindingCode::C2, FindingCode::FI];

impl Book<'_> {
    /// The first page of the findings book.
    pub fn findings_page(&self) -> FindingsPage {
        let (at, whole) = &self.found;
        let links = location_links(at);
        let mut open: Vec<(usize, &Finding)> = self
            .all_findings()
            .filter(|(_, finding)| stands(finding))
            .collect();
        open.sort_by_key(|(number, finding)| {
            let job = &self.diary.jobs[*number];
            let untold = GRAVE.contains(&finding.code) && !is_told(finding);
            (!untold, order(finding.code), seen(job, finding), *number)
        });
        let untold = open
            .iter()
            .filter(|(_, finding)| GRAVE.contains(&finding.code) && !is_told(finding))
            .count();
        let mut locations: Vec<LocationLine> = at
            .iter()
            .zip(links)
            .map(|(at, link)| self.location_line(at, link))
            .collect();
        locations.sort_by(|a, b| b.jobs.cmp(&a.jobs).then_with(|| a.name.cmp(&b.name)));
        FindingsPage {
            as_of: day(self.as_of),
            headline: match open.len() {
                0 => "No finding stands open".to_owned(),
                n => format!("{} open", counted(n, "finding stands", "findings stand")),
            },
            say: match untold {
                0 => {
                    "Of every C1, C2 and FI among them somebody is written down as told.".to_owned()
                }
                n => format!(
                    "Of {} C1, C2 or FI among them nobody is written down as told: that comes first.",
                    grouped(n as u64)
                ),
            },
            codes: FindingCode::ALL.map(|code| self.code_line(code)).to_vec(),
            more: open.len().saturating_sub(OPEN),
            open: open
                .into_iter()
                .take(OPEN)
                .map(|(number, finding)| self.open_row(number, finding))
                .collect(),
            locations,
            common: whole
                .alike()
                .into_iter()
                .filter(|(_, often)| often.jobs.len() > 1)
                .take(ALIKE)
                .map(|(what, often)| self.often_row(capital(what), often))
                .collect(),
            years: self
                .finding_years()
                .into_iter()
                .rev()
                .map(|year| {
                    let count = self.year_count(year);
                    let count = counted(count, "finding", "findings");
                    (year_link(year), year.to_string(), count)
                })
                .collect(),
        }
    }

    /// How many location types there are with jobs; [`Book::location_findings`] takes a number below it.
    pub fn finding_location_count(&self) -> usize {
        self.found.0.len()
    }

    /// What was found at a location type, by its number in order of key.
    pub fn location_findings(&self, number: usize) -> LocationFindings {
        let (at, _) = &self.found;
        let link = location_links(at).swap_remove(number);
        let at = &at[number];
        let name = self.finding_location_name(at.location);
        let grave = at.often(&Sort::AnyOf(&GRAVE));
        let alike = at.alike();
        LocationFindings {
            link,
            headline: format!(
                "{name}: a C1, C2 or FI on {} of {}",
                grave.jobs.len(),
                counted(at.jobs, "job", "jobs")
            ),
            jobs: counted(at.jobs, "job", "jobs"),
            name,
            few: at.jobs < FEW,
            codes: FindingCode::ALL
                .into_iter()
                .map(|code| {
                    let what = match code.meaning() {
                        "" => code.shown().to_owned(),
                        meaning => format!("{}, {}", code.shown(), meaning.to_lowercase()),
                    };
                    self.often_row(what, at.often(&Sort::Code(code)))
                })
                .collect(),
            more: alike.len().saturating_sub(ALIKE),
            alike: alike
                .into_iter()
                .take(ALIKE)
                .map(|(what, often)| self.often_row(capital(what), often))
                .collect(),
        }
    }

    /// The years that have findings, oldest first.
    pub fn finding_years(&self) -> Vec<i16> {
        self.index
            .years
            .iter()
            .filter(|(_, jobs)| {
                jobs.iter()
                    .any(|&job| !self.diary.jobs[job].findings.is_empty())
            })
            .map(|(year, _)| *year)
            .collect()
    }

    /// Every finding of a year; none for a year that has none.
    pub fn year_findings(&self, year: i16) -> YearFindings {
        let jobs = self.index.years.get(&year).map_or(&[][..], Vec::as_slice);
        let mut all: Vec<(usize, &Finding)> = jobs
            .iter()
            .flat_map(|&job| {
                self.diary.jobs[job]
                    .findings
                    .iter()
                    .map(move |one| (job, one))
            })
            .collect();
        // Stable: within a code the newest job stays first, its findings in the order of its log.
        all.sort_by_key(|(_, finding)| order(finding.code));
        YearFindings {
            link: year_link(year),
            year: year.to_string(),
            count: counted(all.len(), "finding", "findings"),
            rows: all
                .into_iter()
                .map(|(job, finding)| self.open_row(job, finding))
                .collect(),
        }
    }

    fn year_count(&self, year: i16) -> usize {
        let jobs = self.index.years.get(&year).map_or(&[][..], Vec::as_slice);
        jobs.iter()
            .map(|&job| self.diary.jobs[job].findings.len())
            .sum()
    }

    fn all_findings(&self) -> impl Iterator<Item = (usize, &Finding)> {
        self.diary
            .jobs
            .iter()
            .enumerate()
            .flat_map(|(number, job)| job.findings.iter().map(move |finding| (number, finding)))
    }

    fn code_line(&self, code: FindingCode) -> CodeLine {
        let mut line = CodeLine {
            code: code.shown(),
            mark: mark(code),
            meaning: code.meaning(),
            found: 0,
            told: 0,
            put_right: 0,
            done: 0,
            open: 0,
            refused: 0,
        };
        for (_, finding) in self.all_findings().filter(|(_, one)| one.code == code) {
            line.found += 1;
            line.told += usize::from(is_told(finding));
            *match state(finding) {
                State::Open => &mut line.open,
                State::Done => &mut line.done,
                State::Refused => &mut line.refused,
                State::PutRight => &mut line.put_right,
            } += 1;
        }
        line
    }

    fn location_line(&self, at: &AtLocation<'_>, link: String) -> LocationLine {
        let codes = FindingCode::ALL
            .into_iter()
            .filter(|code| *code != FindingCode::Note);
        LocationLine {
            link,
            name: self.finding_location_name(at.location),
            jobs: at.jobs,
            few: at.jobs < FEW,
            shares: codes
                .map(Sort::Code)
                .chain([Sort::AnyOf(&GRAVE)])
                .map(|sort| cell(&at.often(&sort)))
                .collect(),
        }
    }

    fn finding_location_name(&self, key: &str) -> String {
        match key {
            "" => "No location type".to_owned(),
            key => self.location_name(key),
        }
    }

    fn often_row(&self, what: String, often: Often) -> OftenRow {
        let share = cell(&often);
        let mut jobs: Vec<(Option<Date>, usize)> = often
            .jobs
            .iter()
            .map(|&job| (done_day(&self.diary.jobs[job]), job))
            .collect();
        jobs.sort_unstable_by(|a, b| b.cmp(a));
        OftenRow {
            what,
            n: jobs.len(),
            of: often.of,
            share,
            more: jobs.len().saturating_sub(NAMED),
            jobs: jobs
                .into_iter()
                .take(NAMED)
                .map(|(_, job)| {
                    let reference = self.diary.jobs[job].reference.in_office();
                    (reference.value.clone(), self.job_link(job))
                })
                .collect(),
        }
    }

    fn open_row(&self, number: usize, finding: &Finding) -> OpenRow {
        let job = &self.diary.jobs[number];
        let age = seen(job, finding).map(|seen| days_between(seen, self.as_of));
        let untold = GRAVE.contains(&finding.code) && !is_told(finding);
        OpenRow {
            code: finding.code.shown(),
            mark: mark(finding.code),
            what: stopped(&capital(&finding.what_and_where())),
            age: match age {
                Some(days @ 0..) => counted(usize::try_from(days).unwrap_or(0), "day", "days"),
                _ => String::new(),
            },
            told: told(finding),
            untold,
            state: state(finding).words(),
            next: next(job, finding, self.as_of),
            link: self.job_link(number),
            reference: job.reference.in_office().value.clone(),
            at: self.at(job),
        }
    }
}

/// `told agent, 8 April 2026`; of a note that nobody was told of, nothing.
fn told(finding: &Finding) -> String {
    let Some(told) = finding.told.as_ref().filter(|_| is_told(finding)) else {
        return match finding.code {
            FindingCode::Note => String::new(),
            _ => "nobody told".to_owned(),
        };
    };
    let who = told
        .who
        .as_ref()
        .map(|who| who.in_office().value.clone())
        .or_else(|| told.role.clone())
        .unwrap_or_default();
    match &told.on {
        Some(on) => format!("told {who}, {}", day(on.in_office().value)),
        None => format!("told {who}"),
    }
}

/// What to do next with a finding that stands.
fn next(job: &Job, finding: &Finding, as_of: Date) -> String {
    if !stands(finding) {
        return String::new();
    }
    let grave = GRAVE.contains(&finding.code);
    let mut steps = Vec::new();
    if grave && !is_told(finding) {
        steps.push(
            "Tell the person responsible today, in writing, and write told: who, on, how."
                .to_owned(),
        );
    }
    steps.push(
        match (finding.code, state(finding)) {
            (FindingCode::FI, _) => "Look into it, then write put_right: and the date.",
            (FindingCode::C3, _) => "Write under done what was advised.",
            (_, State::Open) => "Isolate it or make it secure, with consent, and write done:; refused in writing, write refused: true.",
            _ => "Put it right or have the quote answered, then write put_right: and the date.",
        }
        .to_owned(),
    );
    if job.tenure == Some(Tenure::Rented)
        && grave
        && let Some(due) = work_due(job, finding)
    {
        let is = is_or_was(due, as_of);
        steps.push(format!("In a rented home it {is} due by {}.", day(due)));
    }
    steps.join(" ")
}

fn order(code: FindingCode) -> usize {
    FindingCode::ALL
        .iter()
        .position(|one| *one == code)
        .unwrap_or_default()
}

fn cell(often: &Often) -> ShareCell {
    let percent = |share: f64| (share * 100.0).round();
    often.share.map_or(
        ShareCell {
            share: String::new(),
            interval: String::new(),
        },
        |share| ShareCell {
            share: format!("{} %", percent(share.estimate)),
            interval: format!("{} to {} %", percent(share.low), percent(share.high)),
        },
    )
}

/// The pages of location types, in their order.
fn location_links(at: &[AtLocation<'_>]) -> Vec<String> {
    let stems = stems(at.iter().map(|at| at.location), |key| key);
    at.iter()
        .map(|at| format!("findings/at-{}.html", stems[at.location]))
        .collect()
}

fn year_link(year: i16) -> String {
    format!("findings/{year}.html")
}
