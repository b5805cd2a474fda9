//! Columns and cells that the whole export and the anonymous one have in common: all of what readers may see anyway.
//!
//! Looks inside no private value; `tests/rooms.rs` holds it.

use jiff::civil::Time;

use crate::model::table::{Cell, Column, Kind, Refers};
use crate::model::{Diary, Job, Measured, Minutes, Reading, Task, Visit};
use crate::trade::{Quantity, measured};

/// The version of the tables: goes up when a column or a table goes or changes its meaning.
pub const VERSION: i64 = 1;

/// `version` of `about`.
pub const VERSION_COLUMN: Column = Column::always(
    "version",
    Kind::Whole,
    "The version of these tables, 1: goes up when a column goes or changes its meaning, not when one is added",
);
/// `as_of` of `about`.
pub const AS_OF: Column = Column::always(
    "as_of",
    Kind::Date,
    "The day to reckon by: visits after it are left out, and jobs that have no other",
);
/// `anonymous` of `about`.
pub const ANONYMOUS: Column = Column::always(
    "anonymous",
    Kind::Truth,
    "Whether this is an anonymous export",
);

/// To its job.
pub const TO_JOB: Refers = Refers {
    columns: &["job"],
    table: "jobs",
    there: &["job"],
};
/// To its visit.
pub const TO_VISIT: Refers = Refers {
    columns: &["job", "visit"],
    table: "visits",
    there: &["job", "visit"],
};

/// The key of the location type.
pub const LOCATION: Column = Column::maybe(
    "location",
    Kind::Text,
    "Location type: its key in diary.yaml",
);
/// Its name.
pub const LOCATION_NAME: Column = Column::maybe(
    "location_name",
    Kind::Text,
    "Location type: its name in diary.yaml; the key where it has none there",
);
/// How many visits.
pub const VISITS: Column = Column::always("visits", Kind::Whole, "How many visits it took");
/// Minutes on site.
pub const MINUTES_ON_SITE: Column = Column::always(
    "minutes_on_site",
    Kind::Whole,
    "Minutes on site: by the clock less the break, else the length written, else what its tasks add up to",
);
/// Minutes on tasks.
pub const MINUTES_BY_TASK: Column =
    Column::always("minutes_by_task", Kind::Whole, "Of those, minutes on tasks");
/// Minutes on none.
pub const MINUTES_OTHER: Column =
    Column::always("minutes_other", Kind::Whole, "Of those, minutes on no task");

/// The visit's number.
pub const VISIT: Column = Column::always(
    "visit",
    Kind::Whole,
    "The visit's number within its job, from 1, in order of time",
);
/// Why.
pub const VISIT_KIND: Column = Column::always(
    "kind",
    Kind::Word,
    "planned, call-out, survey, follow-up, or guarantee (a free return)",
);
/// Arrival.
pub const FROM_CLOCK: Column = Column::maybe("from_clock", Kind::Clock, "Arrival on the clock");
/// Leaving.
pub const TO_CLOCK: Column = Column::maybe(
    "to_clock",
    Kind::Clock,
    "Leaving on the clock; on the next day where it is before from_clock",
);
/// The break.
pub const MINUTES_BREAK: Column = Column::always(
    "minutes_break",
    Kind::Whole,
    "Minutes of the visit not worked",
);

/// A task's number.
pub const LINE: Column = Column::always(
    "line",
    Kind::Whole,
    "The task's number within its visit, from 1",
);
/// How many.
pub const COUNT: Column = Column::maybe(
    "count",
    Kind::Number,
    "How many, in the task type's unit; none where the log writes none",
);
/// How long.
pub const MINUTES: Column = Column::maybe("minutes", Kind::Whole, "Minutes on it");
/// The unit of a task type.
pub const TASK_UNIT: Column = Column::maybe(
    "unit",
    Kind::Text,
    "What the task type is counted in: each, job, metre, circuit or a word of diary.yaml; none where diary.yaml does \
     not know the task type",
);
/// Its name.
pub const TASK_NAME: Column = Column::maybe(
    "task_name",
    Kind::Text,
    "Task type: its name in diary.yaml; the key where it has none there",
);

/// Minutes of an observation.
pub const OBSERVED: Column = Column::always(
    "minutes",
    Kind::Whole,
    "Minutes of this job on this task type, over its visits without free returns; where its unit asks for a count \
     (metre, circuit), those of lines with a count",
);
/// Count of an observation.
pub const OBSERVED_COUNT: Column = Column::always(
    "count",
    Kind::Number,
    "The count that goes with those minutes; 1 where none is written",
);
/// The observation itself.
pub const MINUTES_EACH: Column = Column::always(
    "minutes_each",
    Kind::Number,
    "Minutes divided by count: what daywork hours takes its medians of",
);

/// The finding's number.
pub const FINDING: Column = Column::always(
    "finding",
    Kind::Whole,
    "The finding's number within its job, from 1, as the log lists them",
);
/// Its code.
pub const CODE: Column = Column::always("code", Kind::Word, "C1, C2, C3, FI or Note");
/// A finding's role.
pub const TOLD_ROLE: Column = Column::maybe(
    "told_role",
    Kind::Text,
    "Who was told, where a role says it: agent, tenant, owner",
);

/// The reading's number.
pub const READING: Column = Column::always(
    "reading",
    Kind::Whole,
    "The reading's number within its job, from 1, as the log lists them",
);
/// As found.
pub const AS_FOUND: Column = Column::always(
    "as_found",
    Kind::Truth,
    "Whether it was measured before anything was done",
);
/// The device.
pub const DEVICE_TYPE: Column = Column::maybe(
    "device_type",
    Kind::Text,
    "The protective device's type, or its standard for a fuse",
);
/// Its rating.
pub const DEVICE_AMPS: Column = Column::maybe(
    "device_amps",
    Kind::Number,
    "The protective device's rating in amperes",
);
/// What was measured.
pub const QUANTITY: Column = Column::always(
    "quantity",
    Kind::Word,
    "ring.r1, ring.rn, ring.r2, r1_r2, insulation.live_to_earth, insulation.live_to_live, ze, zs, pfc, rcd or polarity",
);
/// The figure.
pub const VALUE: Column = Column::maybe(
    "value",
    Kind::Number,
    "The figure in the unit; the end of the tester's range where beyond says above; none for polarity and LIM",
);
/// Its unit.
pub const UNIT: Column = Column::maybe(
    "unit",
    Kind::Word,
    "ohm, megohm, kA or ms; none for polarity",
);
/// Whether the figure is one.
pub const BEYOND: Column = Column::maybe(
    "beyond",
    Kind::Word,
    "above: more than the tester's range (>200); limitation: it could not be measured (LIM)",
);
/// Its text.
pub const AS_WRITTEN: Column = Column::maybe(
    "as_written",
    Kind::Text,
    "As the log writes it, which keeps the tester's decimals",
);
/// The test voltage.
pub const TEST_VOLTS: Column = Column::maybe(
    "test_volts",
    Kind::Number,
    "Insulation: the test voltage in volts",
);
/// The test current.
pub const TEST_MILLIAMPS: Column = Column::maybe(
    "test_milliamps",
    Kind::Number,
    "RCD: the test current in milliamperes",
);
/// The kind of RCD.
pub const RCD_KIND: Column = Column::maybe("rcd_kind", Kind::Text, "RCD: its kind");

/// A location type: key and name.
pub fn location(diary: &Diary, job: &Job) -> [Cell; 2] {
    let key = job.location.as_ref().map(|at| at.value.as_str());
    let name = key.map(|key| {
        diary
            .settings
            .locations
            .get(key)
            .map_or(key, String::as_str)
    });
    [key.into(), name.into()]
}

/// A task type: key, name and unit.
pub fn task_type(diary: &Diary, key: &str) -> [Cell; 3] {
    let known = diary.settings.tasks.get(key);
    [
        Cell::written(key),
        known.map_or(key, |task| &task.name).into(),
        known.map(|task| task.unit.word()).into(),
    ]
}

/// A task's count and minutes.
pub fn worked(task: &Task) -> [Cell; 2] {
    [task.count.into(), task.time.into()]
}

/// Minutes on site, on tasks and on none, over some visits.
pub fn minutes<'a>(visits: impl Iterator<Item = &'a Visit> + Clone) -> [Cell; 3] {
    let sum = |of: fn(&Visit) -> Minutes| Cell::from(visits.clone().map(of).sum::<Minutes>());
    [
        sum(Visit::minutes),
        sum(Visit::task_minutes),
        sum(Visit::other_minutes),
    ]
}

/// A visit's kind, clock times and break.
pub fn clock(visit: &Visit) -> [Cell; 4] {
    let time = |time: Option<Time>| Cell::from(time.map(|time| time.strftime("%H:%M").to_string()));
    [
        visit.kind.word().into(),
        time(visit.from),
        time(visit.to),
        visit.rest.into(),
    ]
}

/// One measured value.
pub struct Value {
    /// What was measured.
    pub quantity: Quantity,
    /// [`VALUE`] and [`UNIT`] and [`BEYOND`].
    pub figure: [Cell; 3],
    /// [`AS_WRITTEN`].
    pub as_written: Cell,
    /// [`TEST_VOLTS`] and [`TEST_MILLIAMPS`].
    pub test: [Cell; 2],
    /// [`RCD_KIND`].
    pub rcd_kind: Cell,
}

/// Every value of a reading, in the order of the tests.
pub fn values(reading: &Reading) -> Vec<Value> {
    let mut values: Vec<Value> = measured(reading)
        .map(|(quantity, at)| value(reading, quantity, &at.value))
        .collect();
    values.extend(reading.polarity.as_ref().map(|polarity| Value {
        quantity: Quantity::Polarity,
        figure: [Cell::Nothing, Cell::Nothing, Cell::Nothing],
        as_written: polarity.into(),
        test: [Cell::Nothing, Cell::Nothing],
        rcd_kind: Cell::Nothing,
    }));
    values
}

fn value(reading: &Reading, quantity: Quantity, measured: &Measured) -> Value {
    let (figure, beyond) = match measured {
        Measured::Number { value, .. } => (Some(*value), None),
        Measured::Above { value, .. } => (Some(*value), Some("above")),
        Measured::Limitation => (None, Some("limitation")),
    };
    let rcd = reading.rcd.as_ref().filter(|_| quantity == Quantity::Rcd);
    let insulation = reading.insulation.as_ref().filter(|_| {
        matches!(
            quantity,
            Quantity::InsulationToEarth | Quantity::InsulationBetween
        )
    });
    let volts = insulation.and_then(|insulation| insulation.at.as_ref());
    let milliamps = rcd.and_then(|rcd| rcd.at.as_ref());
    Value {
        quantity,
        figure: [figure.into(), quantity.unit().into(), beyond.into()],
        as_written: measured.as_written().into(),
        test: [
            volts.map(|at| at.value).into(),
            milliamps.map(|at| at.value).into(),
        ],
        rcd_kind: rcd.and_then(|rcd| rcd.kind.as_ref()).into(),
    }
}
