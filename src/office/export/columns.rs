//! The tables of the whole export: names, keys, units and meanings, once for every format and for the page about them.

use crate::model::table::{Column, Kind, Refers, Schema};

use super::open::{self, TO_JOB, TO_VISIT};

/// A job by its ref.
const JOB: Column = Column::always("job", Kind::Text, "The job's ref");

/// Every table, in the order of writing: what is referred to comes before what refers.
pub const ALL: [&Schema; 11] = [
    &ABOUT,
    &CLIENTS,
    &JOBS,
    &VISITS,
    &TASKS,
    &FINDINGS,
    &READINGS,
    &MATERIALS,
    &PLANT,
    &EXTRAS,
    &OBSERVATIONS,
];

pub(super) const ABOUT: Schema = Schema {
    name: "about",
    row: "The export itself, in one row",
    key: &["version"],
    refers: &[],
    columns: &[
        open::VERSION_COLUMN,
        open::AS_OF,
        open::ANONYMOUS,
        Column::always(
            "currency",
            Kind::Text,
            "The currency of every amount, such as GBP",
        ),
    ],
};

pub(super) const CLIENTS: Schema = Schema {
    name: "clients",
    row: "A client of clients.yaml",
    key: &["client"],
    refers: &[],
    columns: &[
        Column::always("client", Kind::Text, "The key that job logs use"),
        Column::maybe("name", Kind::Text, "The name on the paperwork"),
        Column::maybe("contact", Kind::Text, "The person who is spoken to"),
        Column::maybe("address", Kind::Text, "Street address"),
        Column::maybe("town", Kind::Text, "Town"),
        Column::maybe("postcode", Kind::Text, "Postcode"),
        Column::maybe("email", Kind::Text, "Email address"),
        Column::maybe("phone", Kind::Text, "Telephone number, as written"),
        Column::maybe("role", Kind::Text, "Agent, tenant, owner and so on"),
        Column::maybe("note", Kind::Text, "A note to self"),
    ],
};

pub(super) const JOBS: Schema = Schema {
    name: "jobs",
    row: "A job that had begun by the day to reckon by",
    key: &["job"],
    refers: &[
        Refers {
            columns: &["client"],
            table: "clients",
            there: &["client"],
        },
        Refers {
            columns: &["led_to"],
            table: "jobs",
            there: &["job"],
        },
    ],
    columns: &[
        JOB,
        Column::always("title", Kind::Text, "Title"),
        open::LOCATION,
        open::LOCATION_NAME,
        Column::maybe("client", Kind::Text, "The client's key"),
        Column::maybe("place", Kind::Text, "Where it was"),
        Column::maybe("tenure", Kind::Word, "rented or owned"),
        Column::always("first_visit", Kind::Date, "The day of its first visit"),
        Column::always("last_visit", Kind::Date, "The day of its last visit"),
        Column::maybe(
            "finished",
            Kind::Date,
            "The day of its last visit that is not a free return: its guarantee runs from here",
        ),
        open::VISITS,
        open::MINUTES_ON_SITE,
        open::MINUTES_BY_TASK,
        open::MINUTES_OTHER,
        Column::maybe(
            "priced",
            Kind::Text,
            "The price in prices/ that it was quoted by",
        ),
        Column::maybe("quoted_minutes", Kind::Whole, "Quoted: minutes on site"),
        Column::maybe("quoted_labour", Kind::Money, "Quoted: labour"),
        Column::maybe("quoted_materials", Kind::Money, "Quoted: materials"),
        Column::maybe("quoted_parking", Kind::Money, "Quoted: parking"),
        Column::maybe("quoted_basis", Kind::Text, "Quoted: what it was based on"),
        Column::maybe("quoted_on", Kind::Date, "Quoted: the day"),
        Column::maybe("charged_minutes", Kind::Whole, "Charged: minutes"),
        Column::maybe(
            "charged_labour",
            Kind::Money,
            "Charged: all labour billed, extras within it",
        ),
        Column::maybe("charged_materials", Kind::Money, "Charged: materials"),
        Column::maybe("charged_parking", Kind::Money, "Charged: parking"),
        Column::maybe("charged_basis", Kind::Text, "Charged: what it was based on"),
        Column::maybe("charged_on", Kind::Date, "Charged: the day"),
        Column::maybe("uncharged", Kind::Text, "Why nothing is charged"),
        Column::maybe(
            "led_to",
            Kind::Text,
            "The later job that this call-out led to; none where that one had not begun",
        ),
        Column::always(
            "guarantee_years",
            Kind::Whole,
            "Years of guarantee; 0 for none",
        ),
        Column::maybe("guarantee_until", Kind::Date, "The guarantee's last day"),
        Column::maybe(
            "guarantee_not_in_it",
            Kind::Text,
            "What its guarantee leaves out",
        ),
        Column::maybe(
            "report_inspected",
            Kind::Date,
            "A rented home's report: the day of the inspection",
        ),
        Column::maybe(
            "report_due",
            Kind::Date,
            "A rented home's report: the day by which work must be done",
        ),
        Column::maybe(
            "report_sent",
            Kind::Date,
            "A rented home's report: the day it went to the tenant",
        ),
        Column::maybe(
            "publish",
            Kind::Word,
            "ready, or the date from which readers see it; none where they never do",
        ),
    ],
};

pub(super) const VISITS: Schema = Schema {
    name: "visits",
    row: "One attendance",
    key: &["job", "visit"],
    refers: &[TO_JOB],
    columns: &[
        JOB,
        open::VISIT,
        Column::always("date", Kind::Date, "The day it began"),
        open::VISIT_KIND,
        open::FROM_CLOCK,
        open::TO_CLOCK,
        open::MINUTES_BREAK,
        open::MINUTES_ON_SITE,
        open::MINUTES_BY_TASK,
        open::MINUTES_OTHER,
        Column::maybe(
            "travel_miles",
            Kind::Number,
            "Miles of the trip, there and back",
        ),
        Column::maybe(
            "travel_minutes",
            Kind::Whole,
            "Minutes of the trip, there and back",
        ),
        Column::maybe("parking", Kind::Money, "Paid for parking"),
        Column::maybe("note", Kind::Text, "A note to self"),
    ],
};

pub(super) const TASKS: Schema = Schema {
    name: "tasks",
    row: "A task of a visit",
    key: &["job", "visit", "line"],
    refers: &[TO_VISIT],
    columns: &[
        JOB,
        open::VISIT,
        open::LINE,
        Column::always(
            "task",
            Kind::Text,
            "Task type: its key in diary.yaml, or as written",
        ),
        open::TASK_NAME,
        open::TASK_UNIT,
        open::COUNT,
        open::MINUTES,
    ],
};

pub(super) const FINDINGS: Schema = Schema {
    name: "findings",
    row: "Something seen on site",
    key: &["job", "finding"],
    refers: &[TO_JOB],
    columns: &[
        JOB,
        open::FINDING,
        open::CODE,
        Column::always("what", Kind::Text, "What was seen"),
        Column::maybe("whereabouts", Kind::Text, "Where"),
        Column::maybe("done", Kind::Text, "What was done at once"),
        open::TOLD_ROLE,
        Column::maybe("told_who", Kind::Text, "Who was told, as written"),
        Column::maybe("told_on", Kind::Date, "The day they were told"),
        Column::maybe("told_how", Kind::Text, "How they were told"),
        Column::maybe("put_right", Kind::Date, "The day it was put right"),
        Column::always(
            "refused",
            Kind::Truth,
            "Whether consent to isolate it or put it right was refused, in writing",
        ),
        Column::maybe("seen_on", Kind::Date, "The day of the visit that saw it"),
        Column::always(
            "private",
            Kind::Truth,
            "Whether it is kept out of the write-up",
        ),
    ],
};

pub(super) const READINGS: Schema = Schema {
    name: "readings",
    row: "One measured value; a reading of the log gives one for each quantity",
    key: &["job", "reading", "quantity"],
    refers: &[TO_JOB],
    columns: &[
        JOB,
        open::READING,
        Column::maybe("circuit", Kind::Text, "The circuit's name"),
        Column::maybe(
            "measured_on",
            Kind::Date,
            "The day of the visit that measured it",
        ),
        open::AS_FOUND,
        open::DEVICE_TYPE,
        open::DEVICE_AMPS,
        open::QUANTITY,
        open::VALUE,
        open::UNIT,
        open::BEYOND,
        open::AS_WRITTEN,
        open::TEST_VOLTS,
        open::TEST_MILLIAMPS,
        open::RCD_KIND,
    ],
};

pub(super) const MATERIALS: Schema = Schema {
    name: "materials",
    row: "A line of materials",
    key: &["job", "material"],
    refers: &[TO_JOB],
    columns: &[
        JOB,
        Column::always("material", Kind::Whole, LINE),
        ITEM,
        COUNT,
        UNIT,
        COST_EACH,
        CHARGE_EACH,
        COST,
        CHARGE,
        SUPPLIER,
        Column::maybe(
            "came_back",
            Kind::Whole,
            "How many failed and were gone back to free; none where the log does not say",
        ),
        Column::maybe(
            "came_back_on",
            Kind::Text,
            "The days of that, with a space between",
        ),
    ],
};

pub(super) const PLANT: Schema = Schema {
    name: "plant",
    row: "A line of plant",
    key: &["job", "plant"],
    refers: &[TO_JOB],
    columns: &[
        JOB,
        Column::always("plant", Kind::Whole, LINE),
        ITEM,
        COUNT,
        UNIT,
        COST_EACH,
        CHARGE_EACH,
        COST,
        CHARGE,
        SUPPLIER,
    ],
};

const LINE: &str = "The line's number within its job, from 1";
const ITEM: Column = Column::always("item", Kind::Text, "What it is");
const COUNT: Column = Column::always("count", Kind::Number, "How many; 1 where none is written");
const UNIT: Column = Column::maybe("unit", Kind::Text, "What it is counted in");
const COST_EACH: Column = Column::maybe(
    "cost_each",
    Kind::Money,
    "What one cost; none where the log gives the line's cost",
);
const CHARGE_EACH: Column = Column::maybe(
    "charge_each",
    Kind::Money,
    "What one was charged at; none where the log gives the line's charge",
);
const COST: Column = Column::maybe(
    "cost",
    Kind::Money,
    "What the line cost, to the penny, half up",
);
const CHARGE: Column = Column::maybe(
    "charge",
    Kind::Money,
    "What the line was charged at, to the penny, half up",
);
const SUPPLIER: Column = Column::maybe("supplier", Kind::Text, "Where it was bought");

pub(super) const EXTRAS: Schema = Schema {
    name: "extras",
    row: "Something asked for on the day",
    key: &["job", "extra"],
    refers: &[TO_JOB],
    columns: &[
        JOB,
        Column::always("extra", Kind::Whole, "Its number within its job, from 1"),
        Column::always("what", Kind::Text, "What"),
        Column::maybe(
            "labour",
            Kind::Money,
            "Labour for it, which charged_labour holds too",
        ),
        Column::maybe("agreed_by", Kind::Text, "Who agreed it"),
        Column::maybe("agreed_on", Kind::Date, "When"),
    ],
};

pub(super) const OBSERVATIONS: Schema = Schema {
    name: "observations",
    row: "One job's minutes on one task type: what daywork hours is made of",
    key: &["job", "task"],
    refers: &[TO_JOB],
    columns: &[
        JOB,
        Column::always(
            "task",
            Kind::Text,
            "Task type: its key in diary.yaml, or as written",
        ),
        open::TASK_NAME,
        open::TASK_UNIT,
        open::LOCATION,
        Column::always(
            "date",
            Kind::Date,
            "The day of its first visit that counts here",
        ),
        open::OBSERVED,
        open::OBSERVED_COUNT,
        open::MINUTES_EACH,
    ],
};
