//! The anonymous export: the record as tables that may be handed to others.
//!
//! Figures come from every job, words only from jobs that readers may see, and a word that the gate would stop is left
//! out. Built from what the model gives openly: a ref, a client, a date or an amount has a type that fits no cell, and
//! `tests/rooms.rs` holds this room to it. Makes no bytes: `pages::tables` does.

pub mod columns;

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::diagnose::FileId;
use crate::model::job::Month;
use crate::model::table::{Cell, Kind, Schema, Table};
use crate::model::{Diary, Job, Reading};
use crate::office::export::Timed;
use crate::office::export::open;
use crate::trade::{Figures, Quantity, devices};

use super::Gate;

use columns::{ABOUT, FINDINGS, JOBS, MATERIALS, OBSERVATIONS, READINGS, TASKS, VISITS};

/// The tables with a row of a job in them, in the order of writing.
const OF_A_JOB: [&Schema; 7] = [
    &JOBS,
    &VISITS,
    &TASKS,
    &FINDINGS,
    &READINGS,
    &MATERIALS,
    &OBSERVATIONS,
];

/// An anonymous export.
#[derive(Clone, Debug)]
pub struct Anonymous {
    /// Every table, in the order of [`columns::ALL`].
    pub tables: Vec<Table>,
    /// Jobs whose words show.
    pub with_words: usize,
    /// Texts that would show and hold a private word: they were left out.
    pub held: usize,
}

/// The anonymous export of a diary that was cut to the day ([`Diary::keep_up_to`]). `timed` holds its observations;
/// `gate` the private words of the whole diary.
pub fn export(diary: &Diary, timed: &[Timed<'_>], as_of: Date, gate: &Gate) -> Anonymous {
    let mut by_job: BTreeMap<FileId, Vec<&Timed<'_>>> = BTreeMap::new();
    for one in timed {
        by_job.entry(one.job).or_default().push(one);
    }
    let mut jobs: Vec<OfJob> = diary
        .jobs
        .iter()
        .filter_map(|job| {
            let timed = by_job.get(&job.file).map(Vec::as_slice).unwrap_or_default();
            let words = match job.publish.is_public(as_of) {
                true => Words::Shown,
                false => Words::KeptBack,
            };
            let builder = Builder {
                diary,
                job,
                words,
                gate,
            };
            Some(builder.rows(job.month()?, timed))
        })
        .collect();
    // A job's number must not give its ref away. Refs go by date, so jobs are numbered by what is shown of them:
    // where two show the same, it does not matter which is which.
    jobs.sort_by_cached_key(|job| (job.month, format!("{:?}", job.rows)));
    let with_words = jobs.iter().filter(|job| job.words == Words::Shown).count();
    let held = jobs.iter().map(|job| job.held).sum();

    let mut about = Table::new(&ABOUT);
    about.push(vec![open::VERSION.into(), as_of.into(), true.into()]);
    let mut tables = vec![about];
    tables.extend(OF_A_JOB.map(Table::new));
    for (index, job) in jobs.into_iter().enumerate() {
        for (table, rows) in tables[1..].iter_mut().zip(job.rows) {
            for row in rows {
                let number = std::iter::once(Cell::from(index + 1));
                table.push(number.chain(row).collect());
            }
        }
    }
    Anonymous {
        tables,
        with_words,
        held,
    }
}

/// Whether what somebody typed into a log may show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Words {
    /// Readers may see the job.
    Shown,
    /// Its keeper has not said so: figures alone.
    KeptBack,
}

/// The rows of one job in each table of [`OF_A_JOB`], still without the job's number in front.
struct OfJob {
    month: Month,
    words: Words,
    /// Texts taken out for a private word.
    held: usize,
    rows: [Vec<Vec<Cell>>; 7],
}

struct Builder<'a> {
    diary: &'a Diary,
    job: &'a Job,
    words: Words,
    gate: &'a Gate,
}

impl Builder<'_> {
    fn rows(&self, month: Month, timed: &[&Timed<'_>]) -> OfJob {
        let mut rows = [
            vec![self.job(month)],
            self.visits(),
            self.tasks(),
            self.findings(),
            self.readings(),
            self.materials(),
            self.observations(timed),
        ];
        let mut held = 0;
        for (schema, rows) in OF_A_JOB.iter().zip(&mut rows) {
            held += rows
                .iter_mut()
                .map(|row| self.hold(schema, row))
                .sum::<usize>();
        }
        OfJob {
            month,
            words: self.words,
            held,
            rows,
        }
    }

    /// Takes every text out that holds a private word, and says how many. The program's own words and figures are none.
    fn hold(&self, schema: &Schema, row: &mut [Cell]) -> usize {
        let mut held = 0;
        for (column, cell) in schema.columns[1..].iter().zip(row) {
            if let (Kind::Text, Cell::Text(text)) = (column.kind, &*cell)
                && self.gate.holds(text)
            {
                *cell = Cell::Nothing;
                held += 1;
            }
        }
        held
    }

    /// What somebody typed.
    fn text(&self, value: impl Into<Cell>) -> Cell {
        match self.words {
            Words::Shown => value.into(),
            Words::KeptBack => Cell::Nothing,
        }
    }

    fn job(&self, month: Month) -> Vec<Cell> {
        let mut row = vec![
            format!("{:04}-{:02}", month.year, month.month).into(),
            self.text(&self.job.title),
        ];
        row.extend(self.location());
        row.push(self.job.visits.len().into());
        row.extend(open::minutes(self.job.visits.iter()));
        row
    }

    /// Key and name, where `diary.yaml` has them.
    fn location(&self) -> [Cell; 2] {
        let known = &self.diary.settings.locations;
        match &self.job.location {
            Some(key) if known.contains_key(&key.value) => open::location(self.diary, self.job),
            _ => [Cell::Nothing, Cell::Nothing],
        }
    }

    /// Key, name and unit, where `diary.yaml` has them.
    fn task_type(&self, key: &str) -> [Cell; 3] {
        if self.diary.settings.tasks.contains_key(key) {
            open::task_type(self.diary, key)
        } else {
            [Cell::Nothing, Cell::Nothing, Cell::Nothing]
        }
    }

    fn visits(&self) -> Vec<Vec<Cell>> {
        let visits = self.job.visits.iter().enumerate();
        visits
            .map(|(index, visit)| {
                let mut row = vec![(index + 1).into()];
                row.extend(open::clock(visit));
                row.extend(open::minutes(std::iter::once(visit)));
                row
            })
            .collect()
    }

    fn tasks(&self) -> Vec<Vec<Cell>> {
        let mut rows = Vec::new();
        for (index, visit) in self.job.visits.iter().enumerate() {
            for (line, task) in visit.tasks.iter().enumerate() {
                let mut row = vec![(index + 1).into(), (line + 1).into()];
                row.extend(self.task_type(&task.key));
                row.extend(open::worked(task));
                rows.push(row);
            }
        }
        rows
    }

    fn findings(&self) -> Vec<Vec<Cell>> {
        let shown = self.job.findings.iter().filter(|finding| !finding.private);
        shown
            .enumerate()
            .map(|(index, finding)| {
                let told = finding.told.as_ref();
                vec![
                    (index + 1).into(),
                    finding.code.shown().into(),
                    self.text(&finding.what),
                    self.text(finding.location.as_ref()),
                    self.text(finding.done.as_ref()),
                    told.and_then(|told| told.role.as_ref()).into(),
                    self.text(told.and_then(|told| told.how.as_ref())),
                ]
            })
            .collect()
    }

    fn readings(&self) -> Vec<Vec<Cell>> {
        // Where a name holds a private word, the gate gives the circuit's number instead.
        let circuits = self.gate.circuits(self.job);
        let mut rows = Vec::new();
        for (index, reading) in self.job.readings.iter().enumerate() {
            let number = circuits.iter().position(|name| *name == circuits[index]);
            let circuit = match (self.words, number) {
                (Words::KeptBack, Some(number)) => format!("Circuit {}", number + 1),
                _ => circuits[index].clone(),
            };
            let [device_type, rating] = self.device(reading);
            for value in open::values(reading) {
                let rcd_kind = match &value.rcd_kind {
                    Cell::Text(kind) if devices::rcd_kind(kind).is_some() => value.rcd_kind,
                    _ => self.text(value.rcd_kind),
                };
                // Of what is measured the log writes figures; of polarity a word.
                let as_written = match value.quantity {
                    Quantity::Polarity => self.text(value.as_written),
                    _ => value.as_written,
                };
                let mut row = vec![
                    (index + 1).into(),
                    circuit.clone().into(),
                    reading.as_found.into(),
                    device_type.clone(),
                    rating.clone(),
                    value.quantity.key().into(),
                ];
                row.extend(value.figure);
                row.push(as_written);
                row.extend(value.test);
                row.push(rcd_kind);
                rows.push(row);
            }
        }
        rows
    }

    /// A device's type and rating; a type that no published figure knows is what somebody typed.
    fn device(&self, reading: &Reading) -> [Cell; 2] {
        let Some(device) = reading.device.as_ref().map(|at| &at.value) else {
            return [Cell::Nothing, Cell::Nothing];
        };
        let kind = match Figures::published().max_zs(device) {
            Ok(_) => device.kind.as_ref().into(),
            Err(_) => self.text(device.kind.as_ref()),
        };
        [kind, device.rating.into()]
    }

    /// None of a job that readers do not see: a material is a word and its count.
    fn materials(&self) -> Vec<Vec<Cell>> {
        if self.words == Words::KeptBack {
            return Vec::new();
        }
        let materials = self.job.materials.iter().enumerate();
        materials
            .map(|(index, material)| {
                vec![
                    (index + 1).into(),
                    (&material.item).into(),
                    material.count.into(),
                    material.unit.as_ref().into(),
                ]
            })
            .collect()
    }

    /// Sorted by what is shown: they come in the order of their keys, and a key that is left out would still say
    /// where it stood.
    fn observations(&self, timed: &[&Timed<'_>]) -> Vec<Vec<Cell>> {
        let [location, _] = self.location();
        let mut rows: Vec<Vec<Cell>> = timed
            .iter()
            .map(|one| {
                let mut row = self.task_type(one.task).to_vec();
                row.extend([
                    location.clone(),
                    one.minutes.into(),
                    one.count.into(),
                    one.each.into(),
                ]);
                row
            })
            .collect();
        rows.sort_by_cached_key(|row| format!("{row:?}"));
        let numbers = (1_usize..).map(|number| vec![Cell::from(number)]);
        numbers
            .zip(rows)
            .map(|(number, row)| [number, row].concat())
            .collect()
    }
}
