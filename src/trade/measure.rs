//! What each quantity goes by: one function a quantity, from a measured value to its outcome.
//!
//! A value beyond the tester's range (`>200`) is within a minimum that the range's end reaches, and outside a maximum
//! that it passes; else it could lie on either side and is not judged. Looks at no diary and no date.

use crate::model::{Device, Measured, Reading};

use super::conductors::{ring_lowest, ring_r1_r2, zs_when_warm};
use super::limits::{Care, Figures, Ground, MaxZs, SLACK, down, half_up, plain, two_places};
use super::ring;
use super::tables::{InsulationOf, Name, row};
use super::taken::{Taken, current, number, passes, reaches};
use super::trip;
use super::verdict::{Limit, Outcome, Quantity, Verdict, either_side};

/// Judges a value that was measured. Not for limitations, nor for polarity, which is a word.
pub(super) fn judge(
    quantity: Quantity,
    value: &Measured,
    taken: &Taken<'_>,
    figures: &Figures,
) -> Outcome {
    match quantity {
        Quantity::RingLine => ring::line(value),
        Quantity::RingNeutral => ring::neutral(value, taken.reading()),
        Quantity::RingCpc => ring::cpc(value, taken.reading()),
        Quantity::R1R2 => r1_r2(value, taken, figures),
        Quantity::InsulationToEarth | Quantity::InsulationBetween => {
            insulation(value, taken.reading(), figures)
        }
        Quantity::Ze => ze(value),
        Quantity::Zs => zs(value, taken, figures),
        Quantity::Pfc => Outcome::none(
            "a fault current is held against what the devices can break, which the log does not state",
        ),
        Quantity::Rcd => trip::judge(value, taken.reading(), figures),
        Quantity::Polarity => Outcome::none("polarity is a word"),
    }
}

fn zs(value: &Measured, taken: &Taken<'_>, figures: &Figures) -> Outcome {
    match zs_figure(taken, figures) {
        Ok((most, _)) => against_zs(value, &most),
        Err(why) => Outcome::none(why),
    }
}

/// What protects a circuit from a fault to earth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Protection {
    /// Its own device, as far as the log shows.
    Device,
    /// An RCD alone: the installation has its own electrode.
    Rcd,
    /// An RCD, of which the log says nothing.
    RcdNotWritten,
}

/// The maximum Zs of a reading's circuit. Where every Ze of the log is over the device's own figure and over any that a
/// usual breaker has, no circuit there can come within its own: the installation has its own electrode, and the RCD
/// of the circuit protects.
fn zs_figure(taken: &Taken<'_>, figures: &Figures) -> Result<(MaxZs, Protection), String> {
    let device = taken
        .reading()
        .device
        .as_ref()
        .ok_or("no device is written, and a value without one proves nothing")?;
    let most = figures.max_zs(device)?;
    let supply = most.limit.max(highest_of_a_supply());
    let mut electrodes = current(taken.readings, Quantity::Ze).peekable();
    let on_electrode =
        electrodes.peek().is_some() && electrodes.all(|(_, ze)| passes(ze, supply) == Some(true));
    Ok(match (on_electrode, rated_current(taken)) {
        (false, _) => (most, Protection::Device),
        (true, Some(rated)) => (figures.max_zs_by_rcd(rated), Protection::Rcd),
        (true, None) => (most, Protection::RcdNotWritten),
    })
}

/// The figure of the smallest usual breaker, B6, which no Ze of the network's own earth comes near. A large device's own
/// figure can lie under a good supply's Ze and makes no electrode of it. Common practice, no source.
fn highest_of_a_supply() -> f64 {
    let smallest = Device {
        kind: Some("B".to_owned()),
        rating: Some(6.0),
    };
    Figures::published()
        .max_zs(&smallest)
        .map_or(f64::INFINITY, |most| most.limit)
}

/// The rated residual current of the circuit's RCD, by the test current of this reading or of another of the circuit.
fn rated_current(taken: &Taken<'_>) -> Option<f64> {
    let own = taken.reading();
    std::iter::once(own)
        .chain(
            taken
                .readings
                .iter()
                .filter(|other| own.same_circuit(other)),
        )
        .find_map(|reading| {
            let at = reading.rcd.as_ref()?.at.as_ref()?;
            trip::multiple(at.value).ok().map(|(rated, _)| rated)
        })
}

fn against_zs(value: &Measured, most: &MaxZs) -> Outcome {
    let (whose, of) = (most.ground.whose(), &most.of);
    let limit = if most.limit < 100.0 {
        two_places(most.limit)
    } else {
        plain(most.limit)
    };
    let care = match most.care {
        Care::Electrode(ohms) => {
            format!(
                "{} ohm, above which an electrode may not be steady",
                plain(ohms)
            )
        }
        Care::Cold(ohms) => format!(
            "80 % of it, the {} ohm for a reading taken cold",
            two_places(down(ohms))
        ),
    };
    let (verdict, why) = match (passes(value, most.limit), passes(value, most.care.ohms())) {
        (Some(true), _) => (
            Verdict::Outside,
            format!("over {whose} figure of {limit} ohm for {of}"),
        ),
        (Some(false), Some(true)) => (
            Verdict::Near,
            format!("within {whose} figure of {limit} ohm for {of}, but over {care}"),
        ),
        (Some(false), _) => (
            Verdict::Within,
            format!("within {whose} figure of {limit} ohm for {of}, and within {care}"),
        ),
        (None, _) => return either_side(&format!("{limit} ohm for {of}")),
    };
    Outcome {
        limit: Some(Limit::AtMost(most.limit)),
        verdict,
        why,
        worked: Some(most.worked.clone()),
        ground: Some(most.ground.clone()),
    }
}

/// No figure is published for R1+R2 by itself. It is held against the ring's own figures where the reading has them;
/// else, with one Ze in the log, against the Zs that it comes to when warm.
fn r1_r2(value: &Measured, taken: &Taken<'_>, figures: &Figures) -> Outcome {
    let Some(measured) = number(value) else {
        return Outcome::none(
            "more than the tester's range: look for an open line or cpc. No figure is published for R1+R2 by itself",
        );
    };
    if let Some(legs) = &taken.reading().ring
        && let (Some(r1), Some(r2)) = (&legs.r1, &legs.r2)
        && let (Some(line), Some(cpc)) = (number(r1), number(r2))
    {
        if ring::cpc(r2, taken.reading()).verdict == Verdict::Outside {
            return Outcome::none("it is held against r1 and r2, and r2 is not as it should be");
        }
        return ring_quarter(measured, line, cpc);
    }
    let mut origins = current(taken.readings, Quantity::Ze).filter_map(|(_, ze)| number(ze));
    let (Some(ze), None) = (origins.next(), origins.next()) else {
        return Outcome::none(
            "no figure is published for R1+R2 by itself; with one Ze in the log, the Zs that it comes to is judged",
        );
    };
    let most = match zs_figure(taken, figures) {
        Ok((_, Protection::RcdNotWritten)) => {
            return Outcome::none(
                "the Ze of the log is an electrode's, and no RCD is written for this circuit",
            );
        }
        Ok((most, _)) => most,
        Err(why) => return Outcome::none(why),
    };
    let warm = zs_when_warm(ze, measured);
    let (verdict, how) = if warm > most.limit + SLACK {
        (Verdict::Outside, "over")
    } else {
        (Verdict::Within, "within")
    };
    Outcome {
        limit: Some(Limit::AtMost(most.limit)),
        verdict,
        why: format!(
            "with the Ze of {} ohm a Zs of {} ohm when warm, and that is {how} {} figure of {} ohm for {}",
            plain(ze),
            two_places(half_up(warm)),
            most.ground.whose(),
            plain(most.limit),
            most.of
        ),
        worked: Some(format!(
            "{} + {} x 1.2 = {} ohm",
            plain(ze),
            plain(measured),
            two_places(half_up(warm))
        )),
        ground: Some(most.ground),
    }
}

/// No spread is published for R1+R2 of a ring, and a spur reads higher by right: what lies apart is asked about and
/// not judged.
fn ring_quarter(measured: f64, r1: f64, r2: f64) -> Outcome {
    let spread = row(Name::RingLegsApart);
    let quarter = ring_r1_r2(r1, r2);
    let worked = format!(
        "({} + {}) / 4 = {} ohm",
        plain(r1),
        plain(r2),
        two_places(half_up(quarter))
    );
    let lowest = ring_lowest(r1, r2).unwrap_or_default().min(quarter);
    let about = format!(
        "a quarter of r1 and r2 together is {} ohm",
        two_places(half_up(quarter))
    );
    let (limit, verdict, why) = if measured > quarter + spread.figure + SLACK {
        (
            None,
            Verdict::NotJudged,
            format!("{about}: a spur reads higher, and so does a loose joint"),
        )
    } else if measured + SLACK < lowest - spread.figure {
        (
            None,
            Verdict::NotJudged,
            format!("{about}: a lower one has another path to earth beside the cpc"),
        )
    } else {
        (
            Some(Limit::Apart(spread.figure)),
            Verdict::Within,
            format!(
                "{about}, and within {} ohm of it is as expected",
                plain(spread.figure)
            ),
        )
    };
    Outcome {
        limit,
        verdict,
        why,
        worked: Some(worked),
        ground: Some(Ground::published(&spread.book, &spread.source)),
    }
}

fn insulation(value: &Measured, reading: &Reading, figures: &Figures) -> Outcome {
    let at = reading
        .insulation
        .as_ref()
        .and_then(|insulation| insulation.at.as_ref())
        .map(|at| at.value);
    // The minimum of ordinary circuits holds at every voltage that they are tested at.
    const USUAL: f64 = 500.0;
    let at_its_own = at.and_then(|at| figures.min_insulation(at));
    let Some(least) = at_its_own.clone().or_else(|| figures.min_insulation(USUAL)) else {
        return Outcome::none("no minimum is published here for circuits of this voltage");
    };
    let (whose, limit) = (least.ground.whose(), plain(least.limit));
    let met = match reaches(value, least.limit) {
        Some(met) => met,
        None => return either_side(&format!("{limit} megohm")),
    };
    if met && at_its_own.is_none() {
        return match at {
            None => Outcome::none(
                "the test voltage is not written, and the minimum is for a stated one",
            ),
            Some(at) => Outcome::none(format!(
                "no minimum is published here for a test at {} V",
                plain(at)
            )),
        };
    }
    let low_voltage = match least.circuits {
        Some(InsulationOf::EquipmentStaysIn) if met => {
            "; 250 V is for SELV, PELV and equipment that could not be disconnected"
        }
        Some(InsulationOf::EquipmentStaysIn) => "; only a SELV or PELV circuit may go down to 0.5",
        _ => "",
    };
    let how = if met { "at or over" } else { "under" };
    Outcome {
        limit: Some(Limit::AtLeast(least.limit)),
        verdict: if met {
            Verdict::Within
        } else {
            Verdict::Outside
        },
        why: match at {
            Some(at) => format!(
                "{how} {whose} minimum of {limit} megohm, tested at {} V{low_voltage}",
                plain(at)
            ),
            None => format!("{how} {whose} minimum of {limit} megohm"),
        },
        worked: None,
        ground: Some(least.ground),
    }
}

fn ze(value: &Measured) -> Outcome {
    let steady = row(Name::SteadyElectrode);
    let mut outcome =
        Outcome::none("the figure for Ze goes by the kind of supply, which the log does not state");
    if passes(value, steady.figure) == Some(true) {
        outcome.why = format!(
            "above {} ohm an electrode may not be steady; the kind of supply is not stated, so no figure is held against it",
            plain(steady.figure)
        );
        outcome.ground = Some(Ground::published(&steady.book, &steady.source));
    }
    outcome
}

/// Polarity is a word: right ones and wrong ones are known, and any other is not judged. Common practice, no source.
pub(super) fn polarity(written: &str) -> Outcome {
    const RIGHT: [&str; 8] = [
        "right",
        "correct",
        "ok",
        "yes",
        "good",
        "confirmed",
        "true",
        "pass",
    ];
    const WRONG: [&str; 8] = [
        "wrong",
        "incorrect",
        "reversed",
        "crossed",
        "swapped",
        "no",
        "fail",
        "failed",
    ];
    let word = written.trim().to_lowercase();
    let (verdict, why) = if RIGHT.contains(&word.as_str()) {
        (Verdict::Within, "as it should be")
    } else if WRONG.contains(&word.as_str()) {
        (Verdict::Outside, "not as it should be")
    } else if word == "lim" {
        return Outcome::none("a limitation (LIM) kept it from being tested");
    } else {
        return Outcome::none("polarity is judged where it says right or wrong");
    };
    Outcome {
        limit: None,
        verdict,
        why: why.to_owned(),
        worked: None,
        ground: Some(Ground::published(
            "common practice",
            "Common practice of the trade, no source",
        )),
    }
}
