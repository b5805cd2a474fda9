//! A job's visits as rows, with their dates, travel and parking, and the sums beneath; the days of its report. Says nothing of
//! what was done.

use jiff::civil::Time;
use serde::Serialize;

use crate::model::{Job, Minutes, Money, Private, Tenure, Visit};

use super::labelled::Labelled;
use crate::office::words::{clock, day, figure, number};

/// A visit with its date. The chart of visits reads the first eight fields.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct VisitRow {
    /// `planned`, `call-out`, `survey`, `guarantee`, `follow-up`.
    pub kind: &'static str,
    /// As the chart names it: `Planned, 12 March 2026`.
    pub shown: String,
    /// Minutes after midnight of arrival, where times are given.
    pub from: Option<i64>,
    /// Minutes after the same midnight of leaving.
    pub to: Option<i64>,
    /// `08:15`.
    pub from_shown: String,
    /// `17:00`.
    pub to_shown: String,
    /// `8 h`.
    pub length: String,
    /// `45 min`; empty where there was no break.
    pub rest: String,
    /// `12 March 2026`.
    pub date: String,
    /// `Planned`.
    pub kind_shown: &'static str,
    /// Miles there and back; empty where none are written.
    pub miles: String,
    /// Time there and back; empty where none is written.
    pub travel: String,
    /// Paid for parking: `2.50`; empty where nothing is written.
    pub parking: String,
}

/// Sums of the visits.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct VisitSums {
    /// On site.
    pub length: String,
    /// Miles.
    pub miles: String,
    /// Time on the road.
    pub travel: String,
    /// Parking.
    pub parking: String,
}

/// `2 March 2026 to 18 March 2026`; one date where there is one; empty without visits.
pub(super) fn dates(job: &Job) -> String {
    let days = job.visits.iter().map(|visit| visit.date.in_office().value);
    let Some(first) = days.clone().min() else {
        return String::new();
    };
    match days.max() {
        Some(last) if last != first => format!("{} to {}", day(first), day(last)),
        _ => day(first),
    }
}

/// A visit as a row.
pub(super) fn visit_row(visit: &Visit) -> VisitRow {
    let minutes = |time: Time| i64::from(time.hour()) * 60 + i64::from(time.minute());
    let from = visit.from.map(minutes);
    let to = visit.to.map(minutes).map(|to| {
        if from.is_some_and(|from| to < from) {
            to + 24 * 60
        } else {
            to
        }
    });
    let date = day(visit.date.in_office().value);
    let travel = visit.travel.as_ref().map(Private::in_office);
    VisitRow {
        kind: visit.kind.word(),
        shown: format!("{}, {date}", visit.kind.shown()),
        from,
        to,
        from_shown: visit.from.map_or(String::new(), clock),
        to_shown: visit.to.map_or(String::new(), clock),
        length: visit.minutes().to_string(),
        rest: match visit.rest {
            Minutes::NOUGHT => String::new(),
            rest => rest.to_string(),
        },
        date,
        kind_shown: visit.kind.shown(),
        miles: travel
            .and_then(|travel| travel.miles)
            .map_or(String::new(), number),
        travel: travel
            .and_then(|travel| travel.time)
            .map_or(String::new(), |time| time.to_string()),
        parking: visit
            .parking
            .as_ref()
            .map_or(String::new(), |paid| figure(paid.in_office().value)),
    }
}

/// Sums over all visits; empty where nothing is written.
pub(super) fn visit_sums(job: &Job) -> VisitSums {
    let travels = || {
        job.visits
            .iter()
            .filter_map(|visit| visit.travel.as_ref())
            .map(Private::in_office)
    };
    let miles = travels()
        .filter_map(|travel| travel.miles)
        .fold(None, |sum, miles| add(sum, Some(miles)));
    let times: Vec<Minutes> = travels().filter_map(|travel| travel.time).collect();
    VisitSums {
        length: job.minutes_on_site().to_string(),
        miles: miles.map_or(String::new(), number),
        travel: if times.is_empty() {
            String::new()
        } else {
            times.into_iter().sum::<Minutes>().to_string()
        },
        parking: parking_paid(job).map_or(String::new(), figure),
    }
}

/// What was paid for parking over all visits; `None` where nothing is written.
pub(super) fn parking_paid(job: &Job) -> Option<Money> {
    let paid: Vec<Money> = job
        .visits
        .iter()
        .filter_map(|visit| visit.parking.as_ref())
        .map(|paid| paid.in_office().value)
        .collect();
    (!paid.is_empty()).then(|| paid.into_iter().sum())
}

/// The days of the job's report, where it has one.
pub(super) fn report(job: &Job) -> Vec<Labelled> {
    let Some(report) = job.report.as_ref().map(Private::in_office) else {
        return Vec::new();
    };
    // Only a let home has a tenant to send it to.
    let sent = match job.tenure {
        Some(Tenure::Rented) => "Sent to the tenant",
        _ => "Sent",
    };
    [
        ("Inspected", &report.inspected),
        ("Work due by", &report.due),
        (sent, &report.sent),
    ]
    .into_iter()
    .filter_map(|(label, date)| {
        let date = date.as_ref()?;
        Some(Labelled {
            label: label.to_owned(),
            value: day(date.value),
        })
    })
    .collect()
}

/// Notes of visits, with their dates.
pub(super) fn notes(job: &Job) -> Vec<Labelled> {
    job.visits
        .iter()
        .filter_map(|visit| {
            let note = visit.note.as_ref()?.in_office();
            Some(Labelled {
                label: day(visit.date.in_office().value),
                value: note.value.clone(),
            })
        })
        .collect()
}

/// The sum of what is written; `None` of nothing.
pub(in crate::office) fn add(sum: Option<f64>, more: Option<f64>) -> Option<f64> {
    match (sum, more) {
        (Some(sum), Some(more)) => Some(sum + more),
        (one, other) => one.or(other),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn job(visits: &str) -> Job {
        let log = format!("---\ntitle: A job\nref: 2026-001\nvisits:\n{visits}---\n");
        let settings = include_bytes!("../../../content/starter/diary.yaml").to_vec();
        let files = vec![
            ("diary.yaml".to_owned(), settings),
            ("jobs/2026/a.md".to_owned(), log.into()),
        ];
        crate::diary::read_files(files).diary.jobs.remove(0)
    }

    #[test]
    fn a_visit_over_midnight_ends_past_1440() {
        let job = job("  - {date: 2026-03-02, from: 22:30, to: 01:15}\n");
        let row = visit_row(&job.visits[0]);
        assert_eq!((row.from, row.to), (Some(1350), Some(1515)));
        assert_eq!(
            (row.length.as_str(), row.date.as_str()),
            ("2 h 45", "2 March 2026")
        );
    }

    #[test]
    fn sums_leave_empty_what_no_visit_writes() {
        let bare = job("  - {date: 2026-03-02, time: 2h}\n");
        let sums = visit_sums(&bare);
        assert_eq!(
            (
                sums.length.as_str(),
                sums.miles.as_str(),
                sums.parking.as_str()
            ),
            ("2 h", "", "")
        );
        let paid = job(concat!(
            "  - {date: 2026-03-02, time: 2h, parking: 2.50, travel: {miles: 6.5}}\n",
            "  - {date: 2026-03-03, time: 1h, parking: 2.50, travel: {miles: 6, time: 25m}}\n",
        ));
        let sums = visit_sums(&paid);
        assert_eq!(
            (
                sums.miles.as_str(),
                sums.travel.as_str(),
                sums.parking.as_str()
            ),
            ("12.5", "25 min", "5.00")
        );
        assert_eq!(dates(&paid), "2 March 2026 to 3 March 2026");
    }
}
