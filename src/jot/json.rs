//! What a note says as JSON, in the shape of the program's reports. Every key is there; what was not typed is
//! null. A job has `client` only where one was typed.

use serde_json::{Map, Value as Json, json};

use super::note::{CostFor, Note, NoteJob, NoteReading, NoteVisit, Value};
use super::time::clock_text;

/// The report: `{"report":"jot","version":1,"today":…,"jobs":[…]}`.
pub fn report(note: &Note) -> Json {
    json!({
        "report": "jot",
        "version": 1,
        "today": note.today.to_string(),
        "jobs": note.jobs.iter().map(job).collect::<Vec<_>>(),
    })
}

fn job(job: &NoteJob) -> Json {
    let findings: Vec<Json> = job
        .findings
        .iter()
        .map(|finding| {
            let told = finding
                .told
                .as_ref()
                .map(|told| json!({"who": told.who, "on": told.on.to_string(), "how": told.how}));
            json!({"what": finding.what, "code": finding.code, "done": finding.done, "told": told})
        })
        .collect();
    let materials: Vec<Json> = job
        .materials
        .iter()
        .map(|material| {
            let cost = material.cost.map(|(amount, _)| amount.to_string());
            let cost_for = material.cost.map(|(_, cost_for)| match cost_for {
                CostFor::Each => "each",
                CostFor::All => "all",
            });
            json!({
                "item": material.item,
                "count": number(material.count),
                "unit": material.unit,
                "cost": cost,
                "cost_for": cost_for,
            })
        })
        .collect();
    let left: Vec<&str> = job
        .left_over
        .iter()
        .map(|left| left.text.as_str())
        .collect();
    let visits: Vec<Json> = job
        .visits
        .iter()
        .enumerate()
        .map(|(at, v)| {
            // Lines are in order, so those of a visit stand together.
            let start = job.left_over.partition_point(|left| left.visit < Some(at));
            let left: Vec<&str> = job.left_over[start..]
                .iter()
                .take_while(|left| left.visit == Some(at))
                .map(|left| left.text.as_str())
                .collect();
            visit(v, &left)
        })
        .collect();
    let mut out = json!({
        "ref": job.reference,
        "title": job.title,
        "visits": visits,
        "findings": findings,
        "readings": job.readings.iter().map(reading).collect::<Vec<_>>(),
        "materials": materials,
        "left_over": left,
    });
    if let Some(client) = &job.client {
        out["client"] = json!(client);
    }
    out
}

fn visit(visit: &NoteVisit, left: &[&str]) -> Json {
    let tasks: Vec<Json> = visit
        .tasks
        .iter()
        .map(|task| json!({"task": task.task, "count": task.count.map(number), "minutes": task.minutes}))
        .collect();
    let travel = (visit.miles.is_some() || visit.road.is_some())
        .then(|| json!({"miles": visit.miles.map(number), "minutes": visit.road}));
    json!({
        "date": visit.date.to_string(),
        "kind": visit.kind.word(),
        "from": visit.clocks.map(|clocks| clock_text(clocks.from)),
        "to": visit.clocks.map(|clocks| clock_text(clocks.to)),
        "break_minutes": visit.rest,
        "minutes": visit.minutes,
        "tasks": tasks,
        "parking": visit.parking,
        "travel": travel,
        "left_over": left,
    })
}

/// Only what was read is here, but for circuit, device, and the test voltage and current.
fn reading(reading: &NoteReading) -> Json {
    let mut out = Map::new();
    out.insert("circuit".to_owned(), json!(reading.circuit));
    let device = reading
        .device
        .as_ref()
        .map(|(kind, rating)| json!({"type": kind, "rating": rating}));
    out.insert("device".to_owned(), json!(device));
    for value in &reading.values {
        let (key, value) = match value {
            Value::Zs(v) => ("zs", json!(v)),
            Value::Ze(v) => ("ze", json!(v)),
            Value::R1R2(v) => ("r1_r2", json!(v)),
            Value::Ring([r1, rn, r2]) => ("ring", json!({"r1": r1, "rn": rn, "r2": r2})),
            Value::LiveToEarth(v, at) => {
                insulation(&mut out, "live_to_earth", v, at.as_ref());
                continue;
            }
            Value::LiveToLive(v, at) => {
                insulation(&mut out, "live_to_live", v, at.as_ref());
                continue;
            }
            Value::Rcd(at, ms) => {
                let mut rcd = Map::from_iter([("at".to_owned(), json!(at))]);
                if let Some(ms) = ms {
                    rcd.insert("ms".to_owned(), json!(ms));
                }
                ("rcd", Json::Object(rcd))
            }
            Value::Pfc(v) => ("pfc", json!(v)),
            Value::Polarity(v) => ("polarity", json!(v)),
        };
        out.insert(key.to_owned(), value);
    }
    Json::Object(out)
}

fn insulation(out: &mut Map<String, Json>, key: &str, value: &str, at: Option<&String>) {
    let entry = out
        .entry("insulation")
        .or_insert_with(|| json!({"at": null}));
    if let Json::Object(insulation) = entry {
        if let Some(at) = at {
            insulation.insert("at".to_owned(), json!(at));
        }
        insulation.insert(key.to_owned(), json!(value));
    }
}

/// A whole number without a point.
fn number(n: f64) -> Json {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "whole and of six figures at most"
    )]
    if n.fract() == 0.0 {
        json!(n as i64)
    } else {
        json!(n)
    }
}
