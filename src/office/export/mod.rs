//! The whole record as tables: every job with what it holds, private things too, for the diary's keeper.
//!
//! Makes no bytes: `pages::tables` does. What may be handed to others is built in `public::anonymous`.

pub mod columns;
pub mod open;

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use crate::diagnose::FileId;
use crate::model::table::{Cell, Table};
use crate::model::{At, Diary, Job, Material, Private, Publish, Quoted, Tenure};

use super::hours::count::{Span, tallies};
use super::reckon;

use columns::{
    ABOUT, CLIENTS, EXTRAS, FINDINGS, JOBS, MATERIALS, OBSERVATIONS, PLANT, READINGS, TASKS, VISITS,
};

/// Every table of a diary that was cut to the day ([`Diary::keep_up_to`]), in the order of [`columns::ALL`].
///
/// A diary without jobs gives tables without rows.
pub fn tables(diary: &Diary, as_of: Date) -> Vec<Table> {
    let mut about = Table::new(&ABOUT);
    about.push(vec![
        open::VERSION.into(),
        as_of.into(),
        false.into(),
        Cell::written(&diary.settings.rates.in_office().currency),
    ]);
    let there: BTreeMap<String, &str> = diary
        .jobs
        .iter()
        .map(|job| (reference(job).to_lowercase(), reference(job)))
        .collect();
    let mut made = vec![about, clients(diary)];
    let mut jobs = Table::new(&JOBS);
    let mut of_jobs = [
        Table::new(&VISITS),
        Table::new(&TASKS),
        Table::new(&FINDINGS),
        Table::new(&READINGS),
        Table::new(&MATERIALS),
        Table::new(&PLANT),
        Table::new(&EXTRAS),
    ];
    for job in &diary.jobs {
        jobs.push(job_row(diary, job, &there));
        let [visits, tasks, findings, readings, materials, plant, extras] = &mut of_jobs;
        add_visits(diary, job, visits, tasks);
        add_findings(job, findings);
        add_readings(job, readings);
        add_materials(job, materials);
        add_plant(job, plant);
        add_extras(job, extras);
    }
    made.push(jobs);
    made.extend(of_jobs);
    made.push(observations(diary, as_of));
    made
}

/// An observation without the job's ref and the day: what of it may be handed to others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Timed<'a> {
    /// The job's file.
    pub job: FileId,
    /// The task type's key.
    pub task: &'a str,
    /// Minutes.
    pub minutes: i64,
    /// The count that goes with them.
    pub count: f64,
    /// Minutes each.
    pub each: f64,
}

/// The observations of the hours report, by task and then by ref.
pub fn timed(diary: &Diary, as_of: Date) -> Vec<Timed<'_>> {
    tallies(diary, whole_record(as_of))
        .iter()
        .flat_map(|(task, tally)| tally.observations.iter().map(move |one| (*task, one)))
        .map(|(task, one)| Timed {
            job: one.job.file,
            task,
            minutes: one.minutes.get(),
            count: one.count,
            each: one.each(),
        })
        .collect()
}

fn whole_record(as_of: Date) -> Span {
    Span {
        from: None,
        to: as_of,
    }
}

fn reference(job: &Job) -> &str {
    &job.reference.in_office().value
}

fn key(job: &Job) -> Cell {
    Cell::written(reference(job))
}

fn text(value: Option<&Private<At<String>>>) -> Cell {
    value.map(Private::in_office).into()
}

fn day(value: Option<&Private<At<Date>>>) -> Cell {
    value.map(Private::in_office).into()
}

fn clients(diary: &Diary) -> Table {
    let mut table = Table::new(&CLIENTS);
    for (key, client) in &diary.clients {
        table.push(vec![
            Cell::written(key),
            text(client.name.as_ref()),
            text(client.contact.as_ref()),
            text(client.address.as_ref()),
            text(client.town.as_ref()),
            text(client.postcode.as_ref()),
            text(client.email.as_ref()),
            text(client.phone.as_ref()),
            client.role.as_ref().into(),
            text(client.note.as_ref()),
        ]);
    }
    table
}

/// `there` holds the refs of the jobs that are exported, by their small letters.
fn job_row(diary: &Diary, job: &Job, there: &BTreeMap<String, &str>) -> Vec<Cell> {
    let dates: BTreeSet<Date> = job
        .visits
        .iter()
        .map(|visit| visit.date.in_office().value)
        .collect();
    let finished = reckon::finished(job);
    let years = job
        .guarantee_years
        .as_ref()
        .map_or(diary.settings.guarantee_years, |years| years.value);
    let not_in_it = job.guarantee_not_in_it.as_ref().map(|at| &at.value);
    let led_to = job.led_to.as_ref().map(|at| at.in_office().to_lowercase());
    let report = job.report.as_ref().map(Private::in_office);
    let mut row = vec![key(job), Cell::written(&job.title)];
    row.extend(open::location(diary, job));
    row.extend([
        text(job.client.as_ref()),
        text(job.place.as_ref()),
        job.tenure
            .map(|tenure| match tenure {
                Tenure::Rented => "rented",
                Tenure::Owned => "owned",
            })
            .into(),
        dates.first().copied().into(),
        dates.last().copied().into(),
        finished.into(),
        job.visits.len().into(),
    ]);
    row.extend(open::minutes(job.visits.iter()));
    row.push(text(job.priced.as_ref()));
    row.extend(amounts(job.quoted.as_ref()));
    row.extend(amounts(job.charged.as_ref()));
    row.extend([
        text(job.uncharged.as_ref()),
        led_to.and_then(|led_to| there.get(&led_to).copied()).into(),
        years.into(),
        finished
            .and_then(|finished| reckon::guarantee_until(finished, years))
            .into(),
        not_in_it
            .or(diary.settings.guarantee_not_in_it.as_ref())
            .filter(|_| years > 0)
            .into(),
        report.and_then(|report| report.inspected.as_ref()).into(),
        report.and_then(|report| report.due.as_ref()).into(),
        report.and_then(|report| report.sent.as_ref()).into(),
        match job.publish {
            Publish::Never => Cell::Nothing,
            Publish::Ready => "ready".into(),
            Publish::On(date) => date.into(),
        },
    ]);
    row
}

fn amounts(quoted: Option<&Private<Quoted>>) -> [Cell; 6] {
    let quoted = quoted.map(Private::in_office);
    [
        quoted.and_then(|quoted| quoted.hours.as_ref()).into(),
        quoted.and_then(|quoted| quoted.labour.as_ref()).into(),
        quoted.and_then(|quoted| quoted.materials.as_ref()).into(),
        quoted.and_then(|quoted| quoted.parking.as_ref()).into(),
        quoted.and_then(|quoted| quoted.basis.as_ref()).into(),
        quoted.and_then(|quoted| quoted.on.as_ref()).into(),
    ]
}

fn add_visits(diary: &Diary, job: &Job, visits: &mut Table, tasks: &mut Table) {
    for (index, visit) in job.visits.iter().enumerate() {
        let own = [key(job), (index + 1).into()];
        let travel = visit.travel.as_ref().map(Private::in_office);
        let mut row = own.to_vec();
        row.push(visit.date.in_office().into());
        row.extend(open::clock(visit));
        row.extend(open::minutes(std::iter::once(visit)));
        row.extend([
            travel.and_then(|travel| travel.miles).into(),
            travel.and_then(|travel| travel.time).into(),
            visit.parking.as_ref().map(Private::in_office).into(),
            text(visit.note.as_ref()),
        ]);
        visits.push(row);
        for (line, task) in visit.tasks.iter().enumerate() {
            let mut row = own.to_vec();
            row.push((line + 1).into());
            row.extend(open::task_type(diary, &task.key));
            row.extend(open::worked(task));
            tasks.push(row);
        }
    }
}

fn add_findings(job: &Job, findings: &mut Table) {
    for (index, finding) in job.findings.iter().enumerate() {
        let told = finding.told.as_ref();
        findings.push(vec![
            key(job),
            (index + 1).into(),
            finding.code.shown().into(),
            Cell::written(&finding.what),
            finding.location.as_ref().into(),
            finding.done.as_ref().into(),
            told.and_then(|told| told.role.as_ref()).into(),
            text(told.and_then(|told| told.who.as_ref())),
            day(told.and_then(|told| told.on.as_ref())),
            told.and_then(|told| told.how.as_ref()).into(),
            day(finding.put_right.as_ref()),
            finding.refused.into(),
            day(finding.visit.as_ref()),
            finding.private.into(),
        ]);
    }
}

fn add_readings(job: &Job, readings: &mut Table) {
    for (index, reading) in job.readings.iter().enumerate() {
        let device = reading.device.as_ref();
        for value in open::values(reading) {
            let mut row = vec![
                key(job),
                (index + 1).into(),
                text(reading.circuit.as_ref()),
                day(reading.visit.as_ref()),
                reading.as_found.into(),
                device.and_then(|device| device.kind.as_ref()).into(),
                device.and_then(|device| device.rating).into(),
                value.quantity.key().into(),
            ];
            row.extend(value.figure);
            row.push(value.as_written);
            row.extend(value.test);
            row.push(value.rcd_kind);
            readings.push(row);
        }
    }
}

fn add_materials(job: &Job, materials: &mut Table) {
    for (index, material) in job.materials.iter().enumerate() {
        let mut row = line(job, index, material);
        let days = material.came_back.as_ref().map(Private::in_office);
        row.push(days.map(|days| days.len()).into());
        let days = days.filter(|days| !days.is_empty());
        row.push(days.map(|days| words(days)).into());
        materials.push(row);
    }
}

fn add_plant(job: &Job, plant: &mut Table) {
    for (index, one) in job.plant.iter().map(Private::in_office).enumerate() {
        plant.push(line(job, index, one));
    }
}

/// What lines of materials and of plant have in common.
fn line(job: &Job, index: usize, material: &Material) -> Vec<Cell> {
    let (cost, charge) = reckon::line_amounts(material);
    let each = |amount: Option<&Private<_>>| {
        let each = amount.filter(|_| !material.for_all);
        Cell::from(each.map(Private::in_office))
    };
    vec![
        key(job),
        (index + 1).into(),
        Cell::written(&material.item),
        material.count.into(),
        material.unit.as_ref().into(),
        each(material.cost.as_ref()),
        each(material.charge.as_ref()),
        cost.into(),
        charge.into(),
        text(material.supplier.as_ref()),
    ]
}

/// Days with a space between.
fn words(days: &[At<Date>]) -> String {
    let days: Vec<String> = days.iter().map(|day| day.value.to_string()).collect();
    days.join(" ")
}

fn add_extras(job: &Job, extras: &mut Table) {
    for (index, extra) in job.extras.iter().map(Private::in_office).enumerate() {
        extras.push(vec![
            key(job),
            (index + 1).into(),
            Cell::written(&extra.what),
            extra.labour.as_ref().into(),
            extra.agreed_by.as_ref().into(),
            extra.agreed_on.as_ref().into(),
        ]);
    }
}

/// By ref and then by task, as the other tables go.
fn observations(diary: &Diary, as_of: Date) -> Table {
    let tallies = tallies(diary, whole_record(as_of));
    let mut rows: Vec<_> = tallies
        .iter()
        .flat_map(|(task, tally)| tally.observations.iter().map(move |one| (*task, one)))
        .collect();
    rows.sort_by_key(|(task, one)| (one.reference, *task));
    let mut table = Table::new(&OBSERVATIONS);
    for (task, one) in rows {
        let [location, _] = open::location(diary, one.job);
        let mut row = vec![Cell::written(one.reference)];
        row.extend(open::task_type(diary, task));
        row.extend([
            location,
            one.date.into(),
            one.minutes.into(),
            one.count.into(),
            one.each().into(),
        ]);
        table.push(row);
    }
    table
}
