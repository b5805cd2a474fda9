//! What a job was quoted and charged, and its materials. Every amount is whole pence.

use crate::days::TODAY;
use crate::dice::Dice;
use crate::plan::{Charge, Job, Line, Quote, Visit, task_of};
use crate::tables::*;
use crate::text::in_words;
use crate::visits::in_proportion;

/// Pence an hour, a half day and a call-out, by year.
pub fn rates(year: i32) -> (i64, i64, i64) {
    match year {
        ..=2024 => (3800, 14500, 5500),
        2025 => (4000, 15250, 6000),
        _ => (4200, 16000, 6500),
    }
}

/// How much of the usual time she thinks of when she quotes, in per cent, least and most.
pub const QUOTE_PERCENT: (u32, u32) = (86, 111);

pub fn materials(recipe: &Recipe, count: u32, year: i32, dice: &mut Dice) -> Vec<Line> {
    let percent = match year {
        ..=2024 => 94,
        2025 => 97,
        _ => 100,
    };
    let mut lines = Vec::new();
    for (item, anyway, each) in recipe.uses {
        // Before the spring of 2024 she fitted another make; the review says so.
        let item = if *item == "Lantick fire-rated downlight" && year < 2024 {
            "LED downlight, fire-rated, IP65"
        } else {
            item
        };
        let (_, unit, book) = PRICES
            .iter()
            .find(|price| price.0 == item)
            .expect("every recipe uses the price book");
        let cost = (book * percent + 50) / 100;
        let charge = (cost * i64::from(dice.between(115, 125)) / 100 / 5 + 1) * 5;
        lines.push(Line {
            item,
            unit,
            count: anyway + each * count,
            cost,
            charge,
        });
    }
    if dice.chance(35) {
        lines.push(Line {
            item: "Cable clips, box of 100",
            unit: "box",
            count: 1,
            cost: 240,
            charge: 290,
        });
    }
    lines
}

pub fn add_money(job: &mut Job, wanted: &[(&'static str, u32)], dice: &mut Dice) {
    let (hour, half_day, call_out) = rates(job.year);
    let sold: i64 = job
        .lines
        .iter()
        .map(|line| line.charge * i64::from(line.count))
        .sum();
    let planned: Vec<u32> = job
        .visits
        .iter()
        .filter(|visit| visit.kind == "planned")
        .map(Visit::minutes)
        .collect();
    let on_site: u32 = planned.iter().sum();
    let last = job
        .visits
        .iter()
        .filter(|visit| visit.kind == "planned")
        .map(|visit| visit.day)
        .max();

    if dice.chance(job.recipe.chances.2) && on_site > 0 {
        let guess: f64 = wanted
            .iter()
            .map(|(key, count)| {
                let task = task_of(key);
                task.usual
                    * in_proportion(task, *count)
                    * if task.slower.contains(&job.client.location) {
                        1.15
                    } else {
                        1.0
                    }
            })
            .sum();
        let guess =
            (guess + 20.0) * f64::from(dice.between(QUOTE_PERCENT.0, QUOTE_PERCENT.1)) / 100.0;
        let half_hours = ((guess / 30.0).round() as u32).max(2);
        let materials = (sold * i64::from(dice.between(90, 106)) / 100 / 500 + 1) * 500;
        job.quote = Some(Quote {
            half_hours,
            labour: hour * i64::from(half_hours) / 2,
            materials,
            basis: basis_of(wanted),
        });
    }
    let mut labour = 0;
    for visit in job.visits.iter().filter(|visit| visit.kind == "call-out") {
        let more = i64::from(visit.minutes().saturating_sub(60).div_ceil(15));
        labour += call_out + more * hour / 4;
    }
    labour += match &job.quote {
        Some(quote) => quote.labour,
        None if on_site >= 360 => i64::from(on_site.div_ceil(240)) * half_day,
        None => i64::from(on_site.div_ceil(15)) * hour / 4,
    };
    if let (Some(quote), Some(last)) = (&job.quote, last)
        && on_site * 4 > quote.half_hours * 30 * 5
        && dice.chance(75)
    {
        let more = 500 * i64::from(dice.between(4, 12));
        labour += more;
        job.extra = Some((dice.pick(&EXTRAS), more, last));
    }
    let finished = job.finished();
    let on = finished.plus(dice.between(1, 8) as i64);
    let recent = finished.plus(30) >= TODAY.into();
    if on < TODAY.into() && (!recent || dice.chance(40)) {
        let parked: i64 = job
            .visits
            .iter()
            .map(|visit| i64::from(visit.parking))
            .sum();
        let parking = if dice.chance(88) { parked } else { 0 };
        job.charge = Some(Charge {
            labour,
            materials: sold,
            parking,
            on,
        });
    }
}

pub fn basis_of(wanted: &[(&str, u32)]) -> String {
    let parts: Vec<String> = wanted
        .iter()
        .map(|(key, count)| {
            let (one, many) = match *key {
                "fault-finding" => return "finding the fault".to_owned(),
                "outbuilding-supply" => return "the supply to it".to_owned(),
                TEST => return "testing".to_owned(),
                "armoured-run" => return format!("{count} m of armoured"),
                "condition-report" => return format!("report on {count} circuits"),
                "fan-isolator" => ("fan isolator", "fan isolators"),
                "extractor-fan" => ("fan", "fans"),
                "downlight" => ("downlight", "downlights"),
                "light-fitting" => ("light fitting", "light fittings"),
                "emergency-light" => ("emergency light", "emergency lights"),
                "outside-light" => ("outside light", "outside lights"),
                "socket" => ("socket", "sockets"),
                "new-socket" => ("new socket", "new sockets"),
                "fused-spur" => ("fused spur", "fused spurs"),
                "shower-isolator" => ("shower isolator", "shower isolators"),
                "electric-shower" => ("shower", "showers"),
                "consumer-unit" => ("board change", "board changes"),
                "breaker-change" => ("RCBO", "RCBOs"),
                "main-bonding" => ("bond", "bonds"),
                "smoke-alarm" => ("alarm", "alarms"),
                "shore-point" => ("shore outlet", "shore outlets"),
                "car-point" => ("car point", "car points"),
                "heating-control" => ("heating control", "heating controls"),
                _ => ("immersion", "immersions"),
            };
            format!(
                "{} {}",
                in_words(*count),
                if *count == 1 { one } else { many }
            )
        })
        .collect();
    parts.join(", ")
}
