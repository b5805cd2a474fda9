//! The office book's page of dates, and the calendar of the same: what is overdue, what comes within ninety days, what
//! comes later.
//!
//! A page shows so many of each and says how many more there are; the calendar holds the soonest. Reckons no date:
//! [`crate::office::dates`] does.

use jiff::ToSpan;
use jiff::civil::Date;
use serde::Serialize;

use super::Book;
use crate::office::dates::{Due, Kind, dates};
use crate::office::words::{counted, day, grouped};

/// How many of each list the page shows.
const SHOWN: usize = 100;
/// How many days are soon.
const SOON: i32 = 90;
/// How many dates the calendar holds.
const IN_CALENDAR: usize = 5_000;

/// The page of dates.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct DatesPage {
    /// `25 November 2026`.
    pub as_of: String,
    /// The answer first: `3 dates have passed, and 2 come within 90 days`.
    pub headline: String,
    /// Lists: overdue, soon, later.
    pub lists: Vec<DueList>,
    /// Where each kind of date comes from: its name and a sentence.
    pub kinds: Vec<(&'static str, &'static str)>,
}

/// A list of dates.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct DueList {
    /// Its id: `late`, `soon`, `later`.
    pub id: &'static str,
    /// `Overdue`.
    pub title: &'static str,
    /// `3 dates`.
    pub count: String,
    /// Soonest first.
    pub rows: Vec<DueRow>,
    /// How many more there are.
    pub more: usize,
}

/// A date.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct DueRow {
    /// `30 March 2026`.
    pub date: String,
    /// `in 14 days`, `12 days ago`, `today`.
    pub away: String,
    /// `Work due`.
    pub kind: &'static str,
    /// `C2, FI`; empty where it is about no finding.
    pub codes: String,
    /// The job's page.
    pub link: String,
    /// The job's ref.
    pub reference: String,
    /// The job's title.
    pub title: String,
    /// Who and where; may be empty.
    pub at: String,
}

/// The dates as a calendar.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct CalendarView {
    /// Its name.
    pub name: String,
    /// What it holds, as a sentence.
    pub about: String,
    /// The day it is made: `20261125`.
    pub stamp: String,
    /// Soonest first.
    pub events: Vec<CalendarEvent>,
}

/// A date in the calendar: a whole day.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct CalendarEvent {
    /// The same in every press: `guarantee-2026-015@example.com`.
    pub uid: String,
    /// `20320317`.
    pub on: String,
    /// The day after it.
    pub after: String,
    /// `Guarantee ends: Two outlets (2026-015)`.
    pub summary: String,
    /// Who, where and why.
    pub description: String,
}

impl Book<'_> {
    /// The page of dates.
    pub fn dates_page(&self) -> DatesPage {
        let all = dates(self.diary, self.as_of);
        let last_soon = self.as_of.saturating_add(SOON.days());
        let late = all.partition_point(|due| due.on < self.as_of);
        let soon = all.partition_point(|due| due.on <= last_soon);
        let list = |id, title, dues: &[Due]| DueList {
            id,
            title,
            count: counted(dues.len(), "date", "dates"),
            rows: dues
                .iter()
                .take(SHOWN)
                .map(|due| self.due_row(due))
                .collect(),
            more: dues.len().saturating_sub(SHOWN),
        };
        let passed = match late {
            0 => "No date has passed".to_owned(),
            late => format!("{} passed", counted(late, "date has", "dates have")),
        };
        let coming = match soon - late {
            0 => format!("none comes within {SOON} days"),
            soon => format!("{} within {SOON} days", counted(soon, "comes", "come")),
        };
        DatesPage {
            as_of: day(self.as_of),
            headline: format!("{passed}, and {coming}"),
            lists: vec![
                list("late", "Overdue", &all[..late]),
                list("soon", "Within ninety days", &all[late..soon]),
                list("later", "Later", &all[soon..]),
            ],
            kinds: Kind::ALL.map(|kind| (kind.shown(), kind.why())).to_vec(),
        }
    }

    /// How many dates have passed, and how many come within ninety days.
    pub(super) fn dates_near(&self) -> (usize, usize) {
        let all = dates(self.diary, self.as_of);
        let last_soon = self.as_of.saturating_add(SOON.days());
        let late = all.partition_point(|due| due.on < self.as_of);
        (late, all.partition_point(|due| due.on <= last_soon) - late)
    }

    /// The dates as a calendar.
    pub fn calendar(&self) -> CalendarView {
        let all = dates(self.diary, self.as_of);
        let kept = all.len().min(IN_CALENDAR);
        let left = match all.len() - kept {
            0 => String::new(),
            left => format!(
                " The {} after these are left out.",
                counted(left, "one", "dates")
            ),
        };
        CalendarView {
            name: format!("{}: dates", self.diary.settings.title),
            about: format!(
                "Dates that pass, as the diary stood on {}.{left}",
                day(self.as_of)
            ),
            stamp: basic(self.as_of),
            events: all.iter().take(kept).map(|due| self.event(due)).collect(),
        }
    }

    fn due_row(&self, due: &Due) -> DueRow {
        let job = &self.diary.jobs[due.job];
        DueRow {
            date: day(due.on),
            away: away(self.as_of, due.on),
            kind: due.kind.shown(),
            codes: codes(due),
            link: self.job_link(due.job),
            reference: job.reference.in_office().value.clone(),
            title: job.title.value.clone(),
            at: self.at(job),
        }
    }

    fn event(&self, due: &Due) -> CalendarEvent {
        let job = &self.diary.jobs[due.job];
        let reference = &job.reference.in_office().value;
        let codes = match codes(due).as_str() {
            "" => String::new(),
            codes => format!(" ({codes})"),
        };
        let at = match self.at(job).as_str() {
            "" => String::new(),
            at => format!("{at}. "),
        };
        let address = &self.diary.settings.address;
        let host = address
            .split("://")
            .nth(1)
            .and_then(|rest| rest.split('/').next())
            .filter(|host| !host.is_empty())
            .unwrap_or("diary.invalid");
        CalendarEvent {
            uid: format!("{}-{reference}@{host}", due.kind.word()),
            on: basic(due.on),
            after: basic(due.on.tomorrow().unwrap_or(due.on)),
            summary: plain(&format!(
                "{}{codes}: {} ({reference})",
                due.kind.shown(),
                job.title.value
            )),
            description: plain(&format!("{at}{}", due.kind.why())),
        }
    }
}

fn codes(due: &Due) -> String {
    let codes: Vec<&str> = due.codes.iter().map(|code| code.shown()).collect();
    codes.join(", ")
}

/// `20261125`.
fn basic(date: Date) -> String {
    format!("{:04}{:02}{:02}", date.year(), date.month(), date.day())
}

/// One line without control characters.
fn plain(text: &str) -> String {
    let text: String = text
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// How far a day is from another, in words.
pub(super) fn away(from: Date, on: Date) -> String {
    match days_between(from, on) {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        -1 => "yesterday".to_owned(),
        days @ 2.. => format!("in {} days", grouped(days.unsigned_abs())),
        days => format!("{} days ago", grouped(days.unsigned_abs())),
    }
}

/// Days from one date to another; negative where the second is the earlier.
pub(super) fn days_between(from: Date, to: Date) -> i64 {
    to.duration_since(from).as_hours() / 24
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn how_far_a_day_is_in_words() {
        let from = jiff::civil::date(2026, 11, 25);
        let said = |days: i64| away(from, from.saturating_add(jiff::Span::new().days(days)));
        assert_eq!(
            [-1_200, -2, -1, 0, 1, 2, 1_104].map(said),
            [
                "1,200 days ago",
                "2 days ago",
                "yesterday",
                "today",
                "tomorrow",
                "in 2 days",
                "in 1,104 days",
            ]
        );
    }
}
