//! What a job of a note says, as entries of a log's front matter.

use jiff::civil::Date;

use super::note::{CostFor, NoteFinding, NoteJob, NoteMaterial, NoteReading, NoteVisit, Value};
use super::time::clock_text;
use super::yaml::Yaml;
use crate::model::{Minutes, VisitKind};

/// A job's lists, by the key they stand under, in the order of a log. Lists without entries are left out.
pub fn lists(job: &NoteJob, dated: Dated) -> Vec<(&'static str, Vec<Yaml>)> {
    let mut lists = vec![("visits", visits(job))];
    let seen_on = |visit: usize| match dated {
        Dated::Yes => job.visits.get(visit).map(|visit| visit.date),
        Dated::No => None,
    };
    lists.push((
        "findings",
        job.findings
            .iter()
            .map(|f| finding(f, seen_on(f.visit)))
            .collect(),
    ));
    lists.push((
        "readings",
        job.readings
            .iter()
            .map(|r| reading(r, seen_on(r.visit)))
            .collect(),
    ));
    lists.push(("materials", job.materials.iter().map(material).collect()));
    lists.retain(|(_, entries)| !entries.is_empty());
    lists
}

/// Whether findings and readings say which visit they belong to: needless where the log has but one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dated {
    /// By its date.
    Yes,
    /// Not.
    No,
}

fn visits(job: &NoteJob) -> Vec<Yaml> {
    if job.visits.is_empty() {
        // A log has a visit; a note without one was typed on a day all the same.
        return job
            .day
            .map(|day| Yaml::Map(vec![("date", Yaml::bare(day))]))
            .into_iter()
            .collect();
    }
    job.visits.iter().map(visit).collect()
}

fn length(minutes: i64) -> Yaml {
    Yaml::bare(Minutes::new(minutes).to_length_text())
}

fn visit(visit: &NoteVisit) -> Yaml {
    let mut keys = vec![("date", Yaml::bare(visit.date))];
    if visit.kind != VisitKind::Planned {
        keys.push(("kind", Yaml::bare(visit.kind.word())));
    }
    match (visit.clocks, visit.length) {
        (Some(clocks), _) => {
            keys.push(("from", Yaml::bare(clock_text(clocks.from))));
            keys.push(("to", Yaml::bare(clock_text(clocks.to))));
        }
        // A length typed is time on site, and a log takes the break off the length it gives.
        (None, Some(minutes)) => keys.push(("time", length(minutes + visit.rest))),
        (None, None) => {}
    }
    if visit.rest > 0 {
        keys.push(("break", length(visit.rest)));
    }
    let trip: Vec<(&str, Yaml)> = [
        visit.miles.map(|miles| ("miles", Yaml::number(miles))),
        visit.road.map(|minutes| ("time", length(minutes))),
    ]
    .into_iter()
    .flatten()
    .collect();
    if !trip.is_empty() {
        keys.push(("travel", Yaml::Map(trip)));
    }
    if let Some(paid) = visit.parking {
        keys.push(("parking", Yaml::bare(paid)));
    }
    if !visit.tasks.is_empty() {
        let tasks = visit.tasks.iter().map(|task| {
            let mut keys = vec![("task", Yaml::text(&task.task))];
            keys.extend(task.count.map(|count| ("count", Yaml::number(count))));
            keys.extend(task.minutes.map(|minutes| ("time", length(minutes))));
            Yaml::Map(keys)
        });
        keys.push(("tasks", Yaml::List(tasks.collect())));
    }
    Yaml::Map(keys)
}

fn finding(finding: &NoteFinding, seen_on: Option<Date>) -> Yaml {
    // The code alone was typed; a log must say what was seen, and only the electrician knows.
    let what = finding.what.as_deref().unwrap_or(NOT_TYPED);
    let mut keys = vec![
        ("what", Yaml::text(what)),
        ("code", Yaml::bare(finding.code)),
    ];
    keys.extend(
        finding
            .done
            .as_deref()
            .map(|done| ("done", Yaml::text(done))),
    );
    keys.extend(seen_on.map(|date| ("visit", Yaml::bare(date))));
    if let Some(told) = &finding.told {
        let mut how = vec![("who", Yaml::text(&told.who)), ("on", Yaml::bare(told.on))];
        how.extend(told.how.as_deref().map(|way| ("how", Yaml::text(way))));
        keys.push(("told", Yaml::Map(how)));
    }
    Yaml::Map(keys)
}

/// Stands for what a note does not say and a log must.
pub const NOT_TYPED: &str = "to be written (the note gives the code and no words)";

fn reading(reading: &NoteReading, measured_on: Option<Date>) -> Yaml {
    let mut keys = Vec::new();
    keys.extend(
        reading
            .circuit
            .as_deref()
            .map(|circuit| ("circuit", Yaml::text(circuit))),
    );
    keys.extend(measured_on.map(|date| ("visit", Yaml::bare(date))));
    keys.extend(reading.device.as_ref().map(|(kind, rating)| {
        (
            "device",
            Yaml::Map(vec![
                ("type", Yaml::bare(kind)),
                ("rating", Yaml::bare(rating)),
            ]),
        )
    }));
    let mut insulation = Vec::new();
    let mut others = Vec::new();
    for value in &reading.values {
        match value {
            Value::LiveToEarth(v, at) | Value::LiveToLive(v, at) => {
                if insulation.is_empty() {
                    insulation.extend(at.as_deref().map(|at| ("at", Yaml::bare(at))));
                }
                let key = if matches!(value, Value::LiveToEarth(..)) {
                    "live_to_earth"
                } else {
                    "live_to_live"
                };
                insulation.push((key, Yaml::text(v)));
            }
            Value::Zs(v) => others.push(("zs", Yaml::text(v))),
            Value::Ze(v) => others.push(("ze", Yaml::text(v))),
            Value::R1R2(v) => others.push(("r1_r2", Yaml::text(v))),
            Value::Ring([r1, rn, r2]) => {
                let ends = vec![
                    ("r1", Yaml::text(r1)),
                    ("rn", Yaml::text(rn)),
                    ("r2", Yaml::text(r2)),
                ];
                others.push(("ring", Yaml::Map(ends)));
            }
            Value::Rcd(at, ms) => {
                let mut rcd = Vec::new();
                rcd.extend(at.as_deref().map(|at| ("at", Yaml::bare(at))));
                rcd.extend(ms.as_deref().map(|ms| ("ms", Yaml::text(ms))));
                others.push(("rcd", Yaml::Map(rcd)));
            }
            Value::Pfc(v) => others.push(("pfc", Yaml::text(v))),
            Value::Polarity(v) => others.push(("polarity", Yaml::text(v))),
        }
    }
    if !insulation.is_empty() {
        keys.push(("insulation", Yaml::Map(insulation)));
    }
    keys.extend(others);
    Yaml::Map(keys)
}

fn material(material: &NoteMaterial) -> Yaml {
    let mut keys = vec![
        ("item", Yaml::text(&material.item)),
        ("count", Yaml::number(material.count)),
    ];
    keys.extend(material.unit.map(|unit| ("unit", Yaml::bare(unit))));
    if let Some((amount, cost_for)) = material.cost {
        keys.push(("cost", Yaml::bare(amount)));
        let one = (material.count - 1.0).abs() < f64::EPSILON;
        if cost_for == CostFor::All && !one {
            keys.push(("cost_for", Yaml::bare("all")));
        }
    }
    Yaml::Map(keys)
}
