//! The tables of the anonymous export: what of the record may be handed to others.

use crate::model::table::{Column, Kind, Schema};
use crate::office::export::open::{self, TO_JOB, TO_VISIT};

/// A job by a number.
const JOB: Column = Column::always(
    "job",
    Kind::Whole,
    "The job's number in this export, from 1; it follows from what is shown here and from nothing else",
);
/// A task type by its key.
const TASK: Column = Column::maybe(
    "task",
    Kind::Text,
    "Task type: its key in diary.yaml; none where diary.yaml does not know what the log writes",
);

/// Every table, in the order of writing: what is referred to comes before what refers.
pub const ALL: [&Schema; 8] = [
    &ABOUT,
    &JOBS,
    &VISITS,
    &TASKS,
    &FINDINGS,
    &READINGS,
    &MATERIALS,
    &OBSERVATIONS,
];

pub(super) const ABOUT: Schema = Schema {
    name: "about",
    row: "The export itself, in one row",
    key: &["version"],
    refers: &[],
    columns: &[open::VERSION_COLUMN, open::AS_OF, open::ANONYMOUS],
};

pub(super) const JOBS: Schema = Schema {
    name: "jobs",
    row: "A job that had begun by the day to reckon by, in order of month",
    key: &["job"],
    refers: &[],
    columns: &[
        JOB,
        Column::always(
            "month",
            Kind::Month,
            "The month of its last visit that is not a free return; of its last visit where all are",
        ),
        Column::maybe("title", Kind::Text, "Title, of a job that readers may see"),
        open::LOCATION,
        open::LOCATION_NAME,
        open::VISITS,
        open::MINUTES_ON_SITE,
        open::MINUTES_BY_TASK,
        open::MINUTES_OTHER,
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
        open::VISIT_KIND,
        open::FROM_CLOCK,
        open::TO_CLOCK,
        open::MINUTES_BREAK,
        open::MINUTES_ON_SITE,
        open::MINUTES_BY_TASK,
        open::MINUTES_OTHER,
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
        TASK,
        open::TASK_NAME,
        open::TASK_UNIT,
        open::COUNT,
        open::MINUTES,
    ],
};

pub(super) const FINDINGS: Schema = Schema {
    name: "findings",
    row: "Something seen on site, where its log does not keep it private",
    key: &["job", "finding"],
    refers: &[TO_JOB],
    columns: &[
        JOB,
        Column::always(
            "finding",
            Kind::Whole,
            "The finding's number within its job, from 1, among those shown",
        ),
        open::CODE,
        Column::maybe(
            "what",
            Kind::Text,
            "What was seen, on a job that readers may see",
        ),
        Column::maybe(
            "whereabouts",
            Kind::Text,
            "Where, on a job that readers may see",
        ),
        Column::maybe(
            "done",
            Kind::Text,
            "What was done at once, on a job that readers may see",
        ),
        open::TOLD_ROLE,
        Column::maybe(
            "told_how",
            Kind::Text,
            "How they were told, on a job that readers may see",
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
        Column::maybe(
            "circuit",
            Kind::Text,
            "The circuit's name, on a job that readers may see; its number within its job where the name holds a \
             private word, and on other jobs",
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
    row: "A line of materials of a job that readers may see",
    key: &["job", "material"],
    refers: &[TO_JOB],
    columns: &[
        JOB,
        Column::always(
            "material",
            Kind::Whole,
            "The line's number within its job, from 1",
        ),
        Column::maybe("item", Kind::Text, "What it is"),
        Column::always("count", Kind::Number, "How many; 1 where none is written"),
        Column::maybe("unit", Kind::Text, "What it is counted in"),
    ],
};

pub(super) const OBSERVATIONS: Schema = Schema {
    name: "observations",
    row: "One job's minutes on one task type: what daywork hours is made of",
    key: &["job", "line"],
    refers: &[TO_JOB],
    columns: &[
        JOB,
        Column::always(
            "line",
            Kind::Whole,
            "The observation's number within its job, from 1",
        ),
        TASK,
        open::TASK_NAME,
        open::TASK_UNIT,
        open::LOCATION,
        open::OBSERVED,
        open::OBSERVED_COUNT,
        open::MINUTES_EACH,
    ],
};
