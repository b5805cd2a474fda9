//! Findings over a whole diary: what stands open and since when, and how often each turns up in each location type, with
//! Wilson's interval.
//!
//! A share is of jobs: those with such a finding among all of the location type that were begun. Alike are findings
//! whose `what` is the same text, case and spaces aside. Judges no finding.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use crate::model::{Diary, Finding, FindingCode, Job, page};
use crate::numbers::normal::Confidence;
use crate::numbers::wilson::{Share, wilson};

/// How sure an interval of a share is asked to be.
pub const CONFIDENCE: Confidence = Confidence::NINETY;

/// Where a finding stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum State {
    /// Nothing is written as done.
    Open,
    /// Something was done (isolated, advised, quoted for); not marked as put right.
    Done,
    /// Consent was refused, in writing.
    Refused,
    /// Put right.
    PutRight,
}

impl State {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            State::Open => "nothing done",
            State::Done => "done, not marked as put right",
            State::Refused => "refused",
            State::PutRight => "put right",
        }
    }
}

/// Where a finding stands on its own log.
pub fn state(finding: &Finding) -> State {
    if finding.put_right.is_some() {
        State::PutRight
    } else if finding.refused {
        State::Refused
    } else if finding.done.is_some() {
        State::Done
    } else {
        State::Open
    }
}

/// Whether a finding waits for something: a C1, C2 or FI that is not put right and was not refused, or a C3 of which
/// nothing is written at all.
pub fn stands(finding: &Finding) -> bool {
    match (finding.code, state(finding)) {
        (FindingCode::C1 | FindingCode::C2 | FindingCode::FI, State::Open | State::Done) => true,
        (FindingCode::C3, state) => state == State::Open,
        _ => false,
    }
}

/// Whether somebody is written down as told.
pub fn is_told(finding: &Finding) -> bool {
    finding
        .told
        .as_ref()
        .is_some_and(|told| told.who.is_some() || told.role.is_some())
}

/// The day a finding was seen: that of the visit it names, else of the first one. `None` for a job without visits.
pub fn seen(job: &Job, finding: &Finding) -> Option<Date> {
    finding
        .visit
        .as_ref()
        .map(|day| day.in_office().value)
        .or_else(|| first_visit(job))
}

fn first_visit(job: &Job) -> Option<Date> {
    job.visits
        .iter()
        .map(|visit| visit.date.in_office().value)
        .min()
}

/// What findings are counted by.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sort<'a> {
    /// Their code.
    Code(FindingCode),
    /// What they say, folded.
    Alike(String),
    /// Any of a list of codes: what must not be left.
    AnyOf(&'a [FindingCode]),
}

/// How often a sort of finding turns up.
#[derive(Clone, Debug, PartialEq)]
pub struct Often {
    /// Numbers of the jobs that have it, in the diary's order.
    pub jobs: Vec<usize>,
    /// Jobs that could have had it.
    pub of: usize,
    /// The share with its interval; `None` of no jobs.
    pub share: Option<Share>,
}

/// The jobs of one location type, and what was found there.
#[derive(Clone, Debug, PartialEq)]
pub struct AtLocation<'a> {
    /// The key; empty for jobs that name none.
    pub location: &'a str,
    /// Jobs begun.
    pub jobs: usize,
    found: BTreeMap<Sort<'a>, BTreeSet<usize>>,
    /// A text for each folded `what`: the first as written.
    written: BTreeMap<String, &'a str>,
}

impl<'a> AtLocation<'a> {
    /// How often a sort turned up here; 0 jobs for one that never did.
    pub fn often(&self, sort: &Sort<'a>) -> Often {
        let jobs: Vec<usize> = match sort {
            Sort::AnyOf(codes) => {
                let mut any = BTreeSet::new();
                for code in *codes {
                    any.extend(self.found.get(&Sort::Code(*code)).into_iter().flatten());
                }
                any.into_iter().collect()
            }
            one => self.found.get(one).into_iter().flatten().copied().collect(),
        };
        Often {
            share: wilson(jobs.len(), self.jobs, CONFIDENCE),
            of: self.jobs,
            jobs,
        }
    }

    /// Findings that are alike, as first written, most jobs first, then by their words.
    pub fn alike(&self) -> Vec<(&'a str, Often)> {
        let mut all: Vec<(&'a str, Often)> = self
            .written
            .iter()
            .map(|(folded, written)| (*written, self.often(&Sort::Alike(folded.clone()))))
            .collect();
        all.sort_by(|a, b| {
            b.1.jobs
                .len()
                .cmp(&a.1.jobs.len())
                .then_with(|| a.0.cmp(b.0))
        });
        all
    }
}

/// What was found at each location type up to a day, in order of key; and over all of them last, under no key's name.
pub fn by_location(diary: &Diary, as_of: Date) -> (Vec<AtLocation<'_>>, AtLocation<'_>) {
    let nothing = |location| AtLocation {
        location,
        jobs: 0,
        found: BTreeMap::new(),
        written: BTreeMap::new(),
    };
    let mut all: BTreeMap<&str, AtLocation<'_>> = BTreeMap::new();
    let mut whole = nothing("");
    for (number, job) in diary.jobs.iter().enumerate() {
        if first_visit(job).is_none_or(|day| day > as_of) {
            continue;
        }
        let key = job.location.as_ref().map_or("", |at| at.value.as_str());
        for at in [all.entry(key).or_insert_with(|| nothing(key)), &mut whole] {
            at.jobs += 1;
            for finding in &job.findings {
                let folded = folded(&finding.what.value);
                at.found
                    .entry(Sort::Code(finding.code))
                    .or_default()
                    .insert(number);
                at.found
                    .entry(Sort::Alike(folded.clone()))
                    .or_default()
                    .insert(number);
                at.written
                    .entry(folded)
                    .or_insert(finding.what.value.trim());
            }
        }
    }
    (all.into_values().collect(), whole)
}

/// A text as it is compared.
fn folded(text: &str) -> String {
    page::folded(text.trim_end_matches('.'))
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn diary(jobs: &[(&str, &str)]) -> Diary {
        let settings = "title: A diary\nsite: {address: https://example.com}\nlocations: {boat-shed: Boat shed, shop: Shop}\n";
        let mut files = vec![("diary.yaml".to_owned(), settings.into())];
        for (number, (location, findings)) in jobs.iter().enumerate() {
            let log = format!(
                "---\ntitle: A job\nref: 2026-{number:03}\nlocation: {location}\nvisits: [{{date: 2026-03-02, time: 2h}}]\nfindings: [{findings}]\n---\n"
            );
            files.push((format!("jobs/{number}.md"), log.into_bytes()));
        }
        crate::diary::read_files(files).diary
    }

    #[test]
    fn a_share_counts_jobs_and_likeness_is_the_same_words() {
        let diary = diary(&[
            (
                "boat-shed",
                "{what: No RCD for the sockets, code: C2}, {what: Chart missing, code: C3}",
            ),
            (
                "boat-shed",
                "{what: \"no  RCD for the sockets.\", code: C2}, {what: no rcd for the sockets, code: C2}",
            ),
            ("boat-shed", ""),
            ("shop", "{what: No RCD for the sockets, code: C3}"),
        ]);
        let (at, whole) = by_location(&diary, date(2026, 11, 25));
        assert_eq!(
            at.iter()
                .map(|at| (at.location, at.jobs))
                .collect::<Vec<_>>(),
            [("boat-shed", 3), ("shop", 1)]
        );
        let c2 = at[0].often(&Sort::Code(FindingCode::C2));
        assert_eq!((c2.jobs.as_slice(), c2.of), (&[0, 1][..], 3));
        let share = c2.share.expect("of three jobs");
        assert_eq!(share, wilson(2, 3, CONFIDENCE).expect("of three jobs"));
        assert_eq!(at[0].alike()[0].0, "No RCD for the sockets");
        assert_eq!(at[0].alike()[0].1.jobs, [0, 1]);
        assert_eq!(whole.alike()[0].1.jobs, [0, 1, 3]);
        let grave = [FindingCode::C1, FindingCode::C2];
        assert_eq!(whole.often(&Sort::AnyOf(&grave)).jobs, [0, 1]);
        assert_eq!(
            at[1].often(&Sort::Code(FindingCode::C1)).jobs,
            Vec::<usize>::new()
        );
    }

    #[test]
    fn a_job_to_come_is_no_part_of_a_share() {
        let diary = diary(&[("shop", "")]);
        let (at, whole) = by_location(&diary, date(2026, 3, 1));
        assert!(at.is_empty() && whole.jobs == 0);
        assert_eq!(whole.often(&Sort::Code(FindingCode::C1)).share, None);
    }

    #[test]
    fn what_stands_is_grave_and_not_put_right_or_a_c3_of_which_nothing_is_written() {
        let diary = diary(&[(
            "shop",
            "{what: A, code: C1, done: isolated}, {what: B, code: C2, put_right: 2026-03-02}, {what: C, code: FI}, \
             {what: D, code: C3, done: advised}, {what: E, code: C3}, {what: F, code: note}, {what: G, code: C2, refused: true}",
        )]);
        let standing: Vec<&str> = diary.jobs[0]
            .findings
            .iter()
            .filter(|finding| stands(finding))
            .map(|finding| finding.what.value.as_str())
            .collect();
        assert_eq!(standing, ["A", "C", "E"]);
    }
}
