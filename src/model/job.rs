//! A job: one Markdown file in `jobs/`, however many visits.

use jiff::Timestamp;
use jiff::civil::{Date, Time};

use crate::diagnose::{FileId, Span};

use super::{At, Body, Film, Minutes, Money, Private, Publish, Reading, Told};

/// One job, whole.
#[derive(Clone, Debug)]
pub struct Job {
    /// Its file.
    pub file: FileId,
    /// Its path relative to the diary: `jobs/2026/slip-shed.md`. Private: a file name may hold an address.
    pub path: Private<String>,
    /// Title.
    pub title: At<String>,
    /// The last part of its write-up's address; empty where the title gives none.
    pub slug: String,
    /// The ref: unique, office only.
    pub reference: Private<At<String>>,
    /// Location type, a key of `locations`.
    pub location: Option<At<String>>,
    /// Client, a key of `clients.yaml`.
    pub client: Option<Private<At<String>>>,
    /// Where it was.
    pub place: Option<Private<At<String>>>,
    /// Rented or owned.
    pub tenure: Option<Tenure>,
    /// The price in `prices/` that it was quoted by.
    pub priced: Option<Private<At<String>>>,
    /// What was quoted.
    pub quoted: Option<Private<Quoted>>,
    /// What was charged.
    pub charged: Option<Private<Charged>>,
    /// Why nothing is charged.
    pub uncharged: Option<Private<At<String>>>,
    /// Every attendance, in order of time.
    pub visits: Vec<Visit>,
    /// What was seen.
    pub findings: Vec<Finding>,
    /// What was measured.
    pub readings: Vec<Reading>,
    /// What was fitted.
    pub materials: Vec<Material>,
    /// Plant on site, hired or the trader's own: for the daywork sheet alone.
    pub plant: Vec<Private<Material>>,
    /// What was asked for on the day.
    pub extras: Vec<Private<Extra>>,
    /// Years of guarantee, where the job has its own.
    pub guarantee_years: Option<At<u32>>,
    /// What its guarantee leaves out.
    pub guarantee_not_in_it: Option<At<String>>,
    /// A rented home's report.
    pub report: Option<Private<Report>>,
    /// The later job that this call-out led to (`for`).
    pub led_to: Option<Private<At<String>>>,
    /// Whether it is public, and from when.
    pub publish: Publish,
    /// Where `publish` stands, or the title.
    pub publish_span: Span,
    /// What it is tagged with.
    pub subjects: Vec<At<String>>,
    /// The series it is a part of.
    pub series: Option<At<String>>,
    /// A film's address.
    pub video: Option<At<Film>>,
    /// Old addresses.
    pub was: Vec<At<String>>,
    /// Titles promised and not yet written.
    pub coming: Vec<At<String>>,
    /// The text.
    pub body: Body,
    /// Something in its file could not be read: remarks on what seems to be missing wait until it is mended.
    pub has_error: bool,
}

/// A month of a year: all of a job's date that readers see.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Month {
    /// The year.
    pub year: i16,
    /// The month, from 1.
    pub month: i8,
}

impl Month {
    /// The month of a date.
    pub fn of(date: Date) -> Self {
        Month {
            year: date.year(),
            month: date.month(),
        }
    }

    /// Its first day.
    pub fn first_day(self) -> Date {
        jiff::civil::date(self.year, self.month, 1)
    }
}

/// Names of the months, January first.
pub const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// `March 2026`.
impl std::fmt::Display for Month {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let name = usize::try_from(self.month - 1)
            .ok()
            .and_then(|index| MONTHS.get(index));
        write!(f, "{} {}", name.expect("a month is 1 to 12"), self.year)
    }
}

impl Job {
    /// The month readers see: that of the last visit which is not a free return; of the last visit where all are.
    /// `None` for a job without visits (which is an error of its own).
    pub fn month(&self) -> Option<Month> {
        let last = |visits: &mut dyn Iterator<Item = &Visit>| {
            visits.map(|v| v.date.in_office().value).max()
        };
        last(
            &mut self
                .visits
                .iter()
                .filter(|v| v.kind != VisitKind::Guarantee),
        )
        .or_else(|| last(&mut self.visits.iter()))
        .map(Month::of)
    }

    /// The day a public write-up is dated: its `publish` date, or the first of its month where it is `ready`.
    pub fn public_date(&self) -> Option<Date> {
        match self.publish {
            Publish::Never => None,
            Publish::On(date) => Some(date),
            Publish::Ready => self.month().map(Month::first_day),
        }
    }

    /// Minutes on site over all visits.
    pub fn minutes_on_site(&self) -> Minutes {
        self.visits.iter().map(Visit::minutes).sum()
    }
}

/// Who owns the home that was worked in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tenure {
    /// Let to a tenant.
    Rented,
    /// Lived in by its owner.
    Owned,
}

/// Why somebody attended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum VisitKind {
    /// As arranged.
    Planned,
    /// Called out.
    CallOut,
    /// To look and price.
    Survey,
    /// A free return under guarantee.
    Guarantee,
    /// To finish or look again.
    FollowUp,
}

impl VisitKind {
    /// Every kind, in the order of reports.
    pub const ALL: [VisitKind; 5] = [
        VisitKind::Planned,
        VisitKind::CallOut,
        VisitKind::Survey,
        VisitKind::FollowUp,
        VisitKind::Guarantee,
    ];

    /// The word of front matter and of JSON.
    pub fn word(self) -> &'static str {
        match self {
            VisitKind::Planned => "planned",
            VisitKind::CallOut => "call-out",
            VisitKind::Survey => "survey",
            VisitKind::Guarantee => "guarantee",
            VisitKind::FollowUp => "follow-up",
        }
    }

    /// As readers and clients see it: a guarantee visit is a free return.
    pub fn shown(self) -> &'static str {
        match self {
            VisitKind::Planned => "Planned",
            VisitKind::CallOut => "Call-out",
            VisitKind::Survey => "Survey",
            VisitKind::Guarantee => "Free return",
            VisitKind::FollowUp => "Follow-up",
        }
    }
}

/// One attendance.
#[derive(Clone, Debug)]
pub struct Visit {
    /// The day it began.
    pub date: Private<At<Date>>,
    /// Why.
    pub kind: VisitKind,
    /// Arrival on the clock.
    pub from: Option<Time>,
    /// Leaving on the clock; the next day where it is before `from`.
    pub to: Option<Time>,
    /// Arrival and leaving as instants, through the time zone.
    pub instants: Option<Private<(Timestamp, Timestamp)>>,
    /// Time not worked.
    pub rest: Minutes,
    /// The length that was written instead of times.
    pub time: Option<Minutes>,
    /// From arrival to leaving, break and all, where times are given.
    pub elapsed: Option<Minutes>,
    /// What was done.
    pub tasks: Vec<Task>,
    /// The trip, there and back.
    pub travel: Option<Private<Travel>>,
    /// Paid for parking.
    pub parking: Option<Private<At<Money>>>,
    /// A note to self.
    pub note: Option<Private<At<String>>>,
    /// Where the visit's date stands.
    pub span: Span,
}

impl Visit {
    /// Minutes on site: by the clock less the break, else the written length, else what its tasks add up to.
    pub fn minutes(&self) -> Minutes {
        match (self.elapsed, self.time) {
            (Some(elapsed), _) => elapsed - self.rest,
            (None, Some(time)) => time - self.rest,
            (None, None) => self.task_minutes(),
        }
    }

    /// What its tasks add up to.
    pub fn task_minutes(&self) -> Minutes {
        self.tasks.iter().filter_map(|task| task.time).sum()
    }

    /// Minutes on site that no task accounts for.
    pub fn other_minutes(&self) -> Minutes {
        self.minutes() - self.task_minutes()
    }
}

/// The whole trip of a visit.
#[derive(Clone, Debug, Default)]
pub struct Travel {
    /// Miles, there and back.
    pub miles: Option<f64>,
    /// Time, there and back.
    pub time: Option<Minutes>,
}

/// A task of a visit.
#[derive(Clone, Debug)]
pub struct Task {
    /// A key of `tasks`; kept as written where the diary does not know it.
    pub key: At<String>,
    /// How many.
    pub count: Option<f64>,
    /// How long.
    pub time: Option<Minutes>,
}

/// An observation code of the trade.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FindingCode {
    /// Danger present.
    C1,
    /// Potentially dangerous.
    C2,
    /// Improvement recommended.
    C3,
    /// Further investigation.
    FI,
    /// A note.
    Note,
}

impl FindingCode {
    /// Every code, gravest first.
    pub const ALL: [FindingCode; 5] = [
        FindingCode::C1,
        FindingCode::C2,
        FindingCode::FI,
        FindingCode::C3,
        FindingCode::Note,
    ];

    /// `C1`, `Note`.
    pub fn shown(self) -> &'static str {
        match self {
            FindingCode::C1 => "C1",
            FindingCode::C2 => "C2",
            FindingCode::C3 => "C3",
            FindingCode::FI => "FI",
            FindingCode::Note => "Note",
        }
    }

    /// What the code means, in BS 7671's words for its observation codes; empty for a note.
    pub fn meaning(self) -> &'static str {
        match self {
            FindingCode::C1 => "Danger present",
            FindingCode::C2 => "Potentially dangerous",
            FindingCode::C3 => "Improvement recommended",
            FindingCode::FI => "Further investigation required",
            FindingCode::Note => "",
        }
    }
}

/// Something seen on site.
#[derive(Clone, Debug)]
pub struct Finding {
    /// What was seen.
    pub what: At<String>,
    /// Where.
    pub location: Option<At<String>>,
    /// How grave.
    pub code: FindingCode,
    /// What was done at once.
    pub done: Option<At<String>>,
    /// Who was told, when and how.
    pub told: Option<Told>,
    /// The day it was put right.
    pub put_right: Option<Private<At<Date>>>,
    /// Consent to isolate it or put it right was refused, in writing.
    pub refused: bool,
    /// The date of the visit that saw it.
    pub visit: Option<Private<At<Date>>>,
    /// Kept out of the write-up.
    pub private: bool,
}

impl Finding {
    /// What was seen and where: `Casing smashed (pontoon)`. `Casing smashed on the pontoon` says where already.
    pub fn what_and_where(&self) -> String {
        let what = self.what.value.trim().trim_end_matches(['.', ' ']);
        let place = self.location.as_ref().map_or("", |at| at.value.trim());
        if what.to_lowercase().contains(&place.to_lowercase()) {
            what.to_owned()
        } else {
            format!("{what} ({place})")
        }
    }
}

/// Something fitted or used, or an item of plant.
#[derive(Clone, Debug)]
pub struct Material {
    /// What it is.
    pub item: At<String>,
    /// How many; one where none is written.
    pub count: f64,
    /// Whether a count is written.
    pub counted: Option<Span>,
    /// What it is counted in.
    pub unit: Option<String>,
    /// What it cost, each or in all.
    pub cost: Option<Private<At<Money>>>,
    /// What was charged, each or in all.
    pub charge: Option<Private<At<Money>>>,
    /// Whether `cost` and `charge` are for the whole line.
    pub for_all: bool,
    /// Where it was bought.
    pub supplier: Option<Private<At<String>>>,
    /// Days on which one of it was gone back to free because it had failed, one for each; `None` where the log does not
    /// say.
    pub came_back: Option<Private<Vec<At<Date>>>>,
}

impl Material {
    /// How many, with what they are counted in: `4`, `24 m`, `2 days`. A unit that is a word of this list has a plural;
    /// any other stands as written.
    pub fn how_many(&self) -> String {
        const WORDS: [&str; 16] = [
            "bag", "coil", "day", "drum", "hour", "length", "metre", "month", "night", "pack",
            "pair", "reel", "roll", "sheet", "tube", "week",
        ];
        let count = (self.count * 1000.0).round() / 1000.0;
        match self.unit.as_deref() {
            None | Some("each" | "") => count.to_string(),
            Some("box") if count > 1.0 => format!("{count} boxes"),
            Some(unit) if count > 1.0 && WORDS.contains(&unit) => format!("{count} {unit}s"),
            Some(unit) => format!("{count} {unit}"),
        }
    }
}

/// What was quoted.
#[derive(Clone, Debug)]
pub struct Quoted {
    /// Hours on site.
    pub hours: Option<At<Minutes>>,
    /// Labour.
    pub labour: Option<At<Money>>,
    /// Materials.
    pub materials: Option<At<Money>>,
    /// Parking.
    pub parking: Option<At<Money>>,
    /// What it was based on.
    pub basis: Option<At<String>>,
    /// The day.
    pub on: Option<At<Date>>,
    /// Where `quoted` stands.
    pub span: Span,
}

/// What was charged; the same parts as a quote. `labour` is all labour billed, extras within it.
pub type Charged = Quoted;

/// Asked for on the day.
#[derive(Clone, Debug)]
pub struct Extra {
    /// What.
    pub what: At<String>,
    /// How much.
    pub labour: Option<At<Money>>,
    /// Who agreed it.
    pub agreed_by: Option<At<String>>,
    /// When.
    pub agreed_on: Option<At<Date>>,
}

/// A rented home's report.
#[derive(Clone, Debug)]
pub struct Report {
    /// The day of the inspection.
    pub inspected: Option<At<Date>>,
    /// The day by which work must be done, where the report gives one.
    pub due: Option<At<Date>>,
    /// The day it went to the tenant.
    pub sent: Option<At<Date>>,
    /// Where `report` stands.
    pub span: Span,
}

#[cfg(test)]
mod tests {
    use crate::diary::read_files;

    #[test]
    fn a_break_is_no_time_on_site_and_what_no_task_took_is_left_over() {
        let log = "---\ntitle: x\nref: 2026-001\nvisits:\n  \
            - {date: 2026-03-02, time: 4h, break: 30m, tasks: [{task: point, time: 1h}, {task: point, time: 20m}]}\n  \
            - {date: 2026-03-03, from: 08:15, to: 12:00, break: 45m, tasks: [{task: point, time: 2h}]}\n  \
            - {date: 2026-03-04, tasks: [{task: point, time: 50m}, {task: point}]}\n---\n";
        let settings = "title: x\nsite: {address: https://example.com, timezone: Europe/London}\ntasks: {point: Fit a point}\n";
        let files = [("diary.yaml", settings), ("jobs/2026/a.md", log)];
        let read = read_files(
            files
                .map(|(path, text)| (path.to_owned(), text.as_bytes().to_vec()))
                .to_vec(),
        );
        let visits = &read.diary.jobs[0].visits;
        let minutes: Vec<_> = visits
            .iter()
            .map(|visit| {
                (
                    visit.minutes().get(),
                    visit.task_minutes().get(),
                    visit.other_minutes().get(),
                )
            })
            .collect();
        assert_eq!(minutes, [(210, 80, 130), (180, 120, 60), (50, 50, 0)]);
    }
}
