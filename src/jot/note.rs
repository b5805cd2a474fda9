//! What a note says, as plain values: jobs, visits, tasks, findings, readings, materials, and what stayed text.
//! What was not typed is `None`: nothing here is a guess.

use jiff::civil::Date;

use crate::model::{Money, VisitKind};

/// A note, read.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// The day it was read.
    pub today: Date,
    /// Its jobs, in the order typed.
    pub jobs: Vec<NoteJob>,
    /// Every line that is not blank, and what was made of it.
    pub lines: Vec<LineRead>,
}

/// A job of a note.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct NoteJob {
    /// The log that the note goes on with.
    pub reference: Option<String>,
    /// The title typed.
    pub title: Option<String>,
    /// The short name of the client typed, as in `clients.yaml`.
    pub client: Option<String>,
    /// The day that rule 10 gives a visit without a date.
    pub day: Option<Date>,
    /// Visits in the order typed.
    pub visits: Vec<NoteVisit>,
    /// Findings in the order typed.
    pub findings: Vec<NoteFinding>,
    /// Readings in the order typed.
    pub readings: Vec<NoteReading>,
    /// Materials in the order typed.
    pub materials: Vec<NoteMaterial>,
    /// Lines of which something stayed unread, in order.
    pub left_over: Vec<Left>,
}

/// A line that is kept as text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Left {
    /// As typed.
    pub text: String,
    /// Its number in the note.
    pub line: usize,
    /// The visit it stands under, by its place in the job; `None` above the first.
    pub visit: Option<usize>,
    /// Where in a film it was said.
    pub at: Option<String>,
}

/// A visit.
#[derive(Clone, Debug, PartialEq)]
pub struct NoteVisit {
    /// The day it began.
    pub date: Date,
    /// Why; planned where nothing is typed.
    pub kind: VisitKind,
    /// From when to when, in minutes after midnight.
    pub clocks: Option<super::clock::Span>,
    /// The length typed where no clocks are, in minutes.
    pub length: Option<i64>,
    /// The break, in minutes; none typed is none taken.
    pub rest: i64,
    /// Minutes on site: by the clock of the zone less the break, or the length; `None` where neither is known.
    pub minutes: Option<i64>,
    /// Tasks in the order typed.
    pub tasks: Vec<NoteTask>,
    /// Paid for parking.
    pub parking: Option<Money>,
    /// Miles, there and back.
    pub miles: Option<f64>,
    /// Minutes on the road, there and back.
    pub road: Option<i64>,
}

/// A task.
#[derive(Clone, Debug, PartialEq)]
pub struct NoteTask {
    /// A task type's key.
    pub task: String,
    /// How many.
    pub count: Option<f64>,
    /// How long, in minutes.
    pub minutes: Option<i64>,
}

/// A finding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoteFinding {
    /// What was seen.
    pub what: Option<String>,
    /// `C1`, `C2`, `C3`, `FI` or `note`.
    pub code: &'static str,
    /// What was done at once.
    pub done: Option<String>,
    /// Who was told.
    pub told: Option<NoteTold>,
    /// The visit that saw it, by its place in the job.
    pub visit: usize,
}

/// Who was told of a finding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoteTold {
    /// A role, or a name as typed.
    pub who: String,
    /// The visit's date.
    pub on: Date,
    /// In person, by phone and so on, where typed: `in person`, `phone`.
    pub how: Option<String>,
}

/// What was measured on a circuit. Values are text as typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NoteReading {
    /// The circuit.
    pub circuit: Option<String>,
    /// The device: its type and its rating.
    pub device: Option<(String, String)>,
    /// The values by quantity, in the order typed.
    pub values: Vec<Value>,
    /// The visit that measured it, by its place in the job.
    pub visit: usize,
}

/// One measured quantity.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value {
    /// Ohms.
    Zs(String),
    /// Ohms.
    Ze(String),
    /// Ohms.
    R1R2(String),
    /// A ring's three figures, in ohms.
    Ring([String; 3]),
    /// Megohms live to earth, and the test voltage.
    LiveToEarth(String, Option<String>),
    /// Megohms live to live, and the test voltage.
    LiveToLive(String, Option<String>),
    /// The test current in mA and the time in ms.
    Rcd(Option<String>, Option<String>),
    /// Kiloamperes.
    Pfc(String),
    /// As typed.
    Polarity(String),
}

/// Something fitted or used.
#[derive(Clone, Debug, PartialEq)]
pub struct NoteMaterial {
    /// What it is, as typed.
    pub item: String,
    /// How many, or how many metres.
    pub count: f64,
    /// Whether the count is metres.
    pub unit: Option<&'static str>,
    /// What it cost.
    pub cost: Option<(Money, CostFor)>,
}

/// What a cost is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CostFor {
    /// One.
    Each,
    /// The whole line.
    All,
}

/// A line and what was made of it.
#[derive(Clone, Debug, PartialEq)]
pub struct LineRead {
    /// Its number in the note.
    pub number: usize,
    /// As typed.
    pub typed: String,
    /// Its job, by its place in the note.
    pub job: usize,
    /// What was understood, in order.
    pub parts: Vec<Part>,
    /// Whether it is kept as text.
    pub kept: bool,
}

/// Whether a line of values began a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Joined {
    /// It did.
    Began,
    /// It joined the one above.
    TheOneAbove,
}

/// One thing that was understood of a line.
#[derive(Clone, Debug, PartialEq)]
pub enum Part {
    /// A mark alone: the job below it is a new one.
    NewJob,
    /// The job's title.
    Title(String),
    /// The log it goes on with.
    Reference(String),
    /// Whose job it is.
    Client(String),
    /// The day of the jobs under it.
    Day(Date),
    /// A visit, by its place in the job: opened here, or given its times here.
    Visit(usize),
    /// A kind of visit.
    Kind(VisitKind),
    /// A break in minutes.
    Break(i64),
    /// Paid for parking.
    Parking(Money),
    /// Miles and minutes on the road.
    Travel(Option<f64>, Option<i64>),
    /// A task.
    Task(NoteTask),
    /// A material.
    Material(NoteMaterial),
    /// Materials come below.
    MaterialsBelow,
    /// A finding, by its place in the job.
    Finding(usize),
    /// What the next line's finding is about.
    WhatOfFinding,
    /// So many findings above were told.
    Told(NoteTold, usize),
    /// Values of a reading, by its place in the job.
    Reading(usize, Vec<Value>, Joined),
}
