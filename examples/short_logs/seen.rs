//! What was found and measured on a job, and the few words about it.

use std::fmt::Write as _;

use crate::dice::Dice;
use crate::plan::{Job, for_location};
use crate::tables::*;
use crate::text::{capital, hundredths};

pub fn add_finding(job: &mut Job, room: &str, dice: &mut Dice) {
    if !dice.chance(27) {
        return;
    }
    let rented = job.client.rented == Tenure::Rented;
    let fits: Vec<&'static Found> = FINDINGS
        .iter()
        .filter(|found| found.at.contains(&job.client.location))
        .filter(|found| {
            !rented || found.ends == Ends::ThatDay || matches!(found.code, "C3" | "note")
        })
        .collect();
    let code = match dice.below(100) {
        0..12 => "C1",
        12..52 => "C2",
        52..80 => "C3",
        80..92 => "FI",
        _ => "note",
    };
    let coded: Vec<&'static Found> = fits
        .iter()
        .copied()
        .filter(|found| found.code == code)
        .collect();
    let found = dice.pick(if coded.is_empty() { &fits } else { &coded });
    let seen = job
        .visits
        .iter()
        .find(|visit| visit.kind != "survey")
        .unwrap_or(&job.visits[0])
        .day;
    let right = job
        .visits
        .iter()
        .filter(|visit| visit.kind == "planned")
        .map(|visit| visit.day)
        .max()
        .unwrap_or(seen);
    job.finding = Some((found, where_of(found.what, room).to_owned(), seen, right));
}

/// Where a finding was: its own words say, or it was in the room that the job was in.
fn where_of<'a>(what: &str, room: &'a str) -> &'a str {
    const SAID: [(&str, &str); 15] = [
        ("shower", "shower"),
        ("cooker", "kitchen"),
        ("loft", "loft hatch"),
        ("pontoon", "pontoon"),
        ("quay", "quay"),
        ("barn", "barn"),
        ("gas", "meter"),
        ("Landing", "landing"),
        ("stairs", "stairs"),
        ("store", "store"),
        ("Smoke", "landing"),
        ("Outside", "outside wall"),
        ("board", "board"),
        ("chart", "board"),
        ("clamp", "meter"),
    ];
    SAID.iter()
        .find(|(word, _)| what.contains(word))
        .map_or(room, |(_, place)| place)
}

/// A reading now and then; always two where a finding is about one, so that what was found has its after.
pub fn add_readings(job: &mut Job, room: &str, dice: &mut Dice) {
    let (circuit, kind, rating) = job.recipe.circuit;
    let circuit = match circuit {
        "Ring" | "Sockets" | "Feed" => format!("{} {}", capital(room), circuit.to_lowercase()),
        other => other.to_owned(),
    };
    let device = format!("{{type: {kind}, rating: {rating}}}");
    let what = job.finding.as_ref().map_or("", |(found, ..)| found.what);
    let day = |job: &Job| {
        job.visits
            .iter()
            .filter(|visit| visit.kind != "survey")
            .map(|visit| visit.day)
            .max()
            .unwrap_or(job.finished())
    };
    let zs = ZS.iter().find(|zs| zs.0 == kind && zs.1 == rating);
    let limit = zs.map(|zs| zs.2);
    let (slow, high) = (what.starts_with("RCD slow"), what.starts_with("Zs above"));
    if slow {
        let (on, ms) = (day(job), dice.between(318, 410));
        job.readings.push(format!(
            "{{circuit: {circuit}, visit: {on}, as_found: true, device: {device}, rcd: {{at: 30, ms: {ms}}}}}"
        ));
    }
    if let (true, Some(limit)) = (high, limit) {
        let zs = limit * i64::from(dice.between(108, 150)) / 100;
        job.readings.push(format!(
            "{{circuit: {circuit}, visit: {}, as_found: true, device: {device}, zs: {}}}",
            day(job),
            hundredths(zs)
        ));
    }
    let tested = job
        .visits
        .iter()
        .flat_map(|visit| &visit.tasks)
        .any(|task| task.key == TEST || task.key == "condition-report");
    if !(slow || high || tested && dice.chance(45)) {
        return;
    }
    let mut text = format!(
        "{{circuit: {circuit}, visit: {}, device: {device}",
        day(job)
    );
    if !slow || dice.chance(50) {
        let insulation = match dice.below(10) {
            0 => "62".to_owned(),
            1 => "118".to_owned(),
            _ => "\">200\"".to_owned(),
        };
        let _ = write!(
            text,
            ", insulation: {{at: 500, live_to_earth: {insulation}}}"
        );
    }
    // A holding with its own electrode is judged by its RCD, so no Zs is typed for one.
    if let (Some((.., highest)), true) = (zs, job.client.location != FARM) {
        let share = if dice.chance(9) {
            dice.between(82, 97)
        } else {
            dice.between(20, 66)
        };
        let _ = write!(
            text,
            ", zs: {}",
            hundredths((highest * i64::from(share) / 100).max(24))
        );
    }
    let _ = write!(
        text,
        ", rcd: {{at: 30, ms: {}}}, polarity: right}}",
        dice.between(14, 34)
    );
    job.readings.push(text);
}

pub fn add_body(job: &mut Job, dice: &mut Dice) {
    let mut body = vec![dice.pick(job.recipe.notes)];
    if dice.chance(55) {
        body.push(dice.pick(for_location(&PLACE_NOTES, job.client.location)));
    }
    if dice.chance(60) {
        body.push(dice.pick(&NOTES));
    }
    if body.len() > 1 && dice.chance(40) {
        body.rotate_left(1);
    }
    job.body = body;
}
