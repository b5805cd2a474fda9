//! A ring final's three end-to-end figures against each other, and a board's insulation from its circuits' values.
//!
//! Says nothing of a ring's sockets or spurs beyond what those figures show.

use crate::model::{Measured, Reading};

use super::conductors::greatest_cpc_share;
use super::limits::{Figures, Ground, SLACK, half_up, plain, two_places};
use super::tables::{Name, row};
use super::taken::{current, number};
use super::verdict::{Limit, Outcome, Quantity, Verdict};

/// r1 is what the others are held against; beyond the tester's range it is open.
pub(super) fn line(r1: &Measured) -> Outcome {
    match r1 {
        Measured::Above { .. } => open(),
        _ => Outcome::none("rn and r2 are held against it"),
    }
}

/// rn against r1: no more than 0.05 ohm apart.
pub(super) fn neutral(rn: &Measured, reading: &Reading) -> Outcome {
    if let Measured::Above { .. } = rn {
        return open();
    }
    let (Some(rn), Some(r1)) = (number(rn), line_of(reading)) else {
        return Outcome::none("it is held against r1, which is not a number here");
    };
    let most = row(Name::RingLegsApart);
    let apart = (rn - r1).abs();
    let (verdict, how) = if apart > most.figure + SLACK {
        (Verdict::Outside, "more than")
    } else {
        (Verdict::Within, "within")
    };
    let (larger, smaller) = if rn > r1 { (rn, r1) } else { (r1, rn) };
    Outcome {
        limit: Some(Limit::Apart(most.figure)),
        verdict,
        why: format!(
            "{} ohm from r1, {how} the published {} ohm between the legs of a ring",
            plain(apart),
            plain(most.figure)
        ),
        worked: Some(format!(
            "{} - {} = {} ohm",
            plain(larger),
            plain(smaller),
            plain(apart)
        )),
        ground: Some(Ground::published(&most.book, &most.source)),
    }
}

/// r2 against r1. In 2.5/1.5 mm² cable it is 1.6 to 1.7 times r1; the reading does not say its cable, so what lies
/// outside that is judged only where no usual cable has so small a cpc.
///
/// The band is met where the figures could meet it before they were rounded to what is written.
pub(super) fn cpc(r2: &Measured, reading: &Reading) -> Outcome {
    if let Measured::Above { .. } = r2 {
        return open();
    }
    let (Some(cpc), Some(r1)) = (number(r2), line_of(reading)) else {
        return Outcome::none("it is held against r1, which is not a number here");
    };
    let r1_written = reading.ring.as_ref().and_then(|ring| ring.r1.as_ref());
    let half_r1 = r1_written.map_or(0.0, |r1| half_of_last_place(r1));
    let half_r2 = half_of_last_place(r2);
    if r1 <= half_r1 {
        return Outcome::none("it is held against r1, which reads as nothing");
    }
    let share = cpc / r1;
    let least = (cpc - half_r2) / (r1 + half_r1);
    let most = (cpc + half_r2) / (r1 - half_r1);
    let (low, high) = (row(Name::RingShareLow), row(Name::RingShareHigh));
    let greatest = greatest_cpc_share();
    let band = format!(
        "{} to {} is published for 2.5/1.5 mm2 cable",
        plain(low.figure),
        plain(high.figure)
    );
    let times = two_places(share);
    let (limit, verdict, why) = if least <= high.figure + SLACK && most + SLACK >= low.figure {
        (
            Some(Limit::Between(low.figure, high.figure)),
            Verdict::Within,
            format!("{times} times r1, and {band}"),
        )
    } else if least > greatest + SLACK {
        (
            Some(Limit::AtMost(half_up(greatest))),
            Verdict::Outside,
            format!(
                "{times} times r1, more than the {} of the smallest cpc in any usual cable; {band}",
                two_places(greatest)
            ),
        )
    } else {
        (
            None,
            Verdict::NotJudged,
            format!("{times} times r1; {band}, and the reading does not say its cable"),
        )
    };
    Outcome {
        limit,
        verdict,
        why,
        worked: Some(format!("{} / {} = {times}", plain(cpc), plain(r1))),
        ground: Some(Ground::published(&low.book, &low.source)),
    }
}

fn open() -> Outcome {
    let ground = row(Name::RingLegsApart);
    Outcome {
        limit: None,
        verdict: Verdict::Outside,
        why: "beyond the tester's range from end to end: this leg of the ring is open".to_owned(),
        worked: None,
        ground: Some(Ground::published(&ground.book, &ground.source)),
    }
}

fn line_of(reading: &Reading) -> Option<f64> {
    number(reading.ring.as_ref()?.r1.as_ref()?)
}

/// Half of the last place that a value is written to: 0.005 for `0.46`.
fn half_of_last_place(value: &Measured) -> f64 {
    let places = value
        .as_written()
        .split_once('.')
        .map_or(0, |(_, places)| places.len());
    0.5 / 10_f64.powi(i32::try_from(places.min(9)).unwrap_or(9))
}

/// A board's insulation, live conductors to earth, worked out from its circuits.
#[derive(Clone, Debug, PartialEq)]
pub struct WholeBoard {
    /// Megohms.
    pub megohms: f64,
    /// How many circuits stand behind it.
    pub circuits: usize,
    /// Whether a circuit was beyond the tester's range, so that the board is at least this.
    pub at_least: bool,
    /// How it lies to the minimum.
    pub verdict: Verdict,
    /// The minimum that it was held against, in megohms.
    pub minimum: f64,
    /// `1 / (1/120 + 1/74 + 1/200) = at least 37.27 megohm`.
    pub worked: String,
    /// Where the minimum comes from. That it holds for a whole board too is from memory (BS 7671, regulation 643.3).
    pub ground: Ground,
}

/// What a board as a whole would read, live to earth: its circuits' values in parallel, the last that counts of each
/// circuit. A value beyond the tester's range counts as the range's end. `None` with fewer than two circuits, or where
/// one reads nothing at all.
///
/// It is for the readings of one board; that they are is for whoever calls it to know.
pub fn whole_board(readings: &[Reading], figures: &Figures) -> Option<WholeBoard> {
    let mut last: Vec<(&Reading, &Measured)> = Vec::new();
    for (reading, value) in current(readings, Quantity::InsulationToEarth) {
        match last
            .iter_mut()
            .find(|(other, _)| other.same_circuit(reading))
        {
            Some(kept) => *kept = (reading, &value.value),
            None => last.push((reading, &value.value)),
        }
    }
    if last.len() < 2 {
        return None;
    }
    let mut sum = 0.0;
    let mut at_least = false;
    for (_, value) in &last {
        let (Measured::Number { value: each, .. } | Measured::Above { value: each, .. }) = value
        else {
            return None;
        };
        if *each <= 0.0 {
            return None;
        }
        at_least |= matches!(value, Measured::Above { .. });
        sum += 1.0 / each;
    }
    let megohms = 1.0 / sum;
    let least = figures.min_insulation(500.0)?;
    let parts: Vec<String> = last
        .iter()
        .map(|(_, value)| format!("1/{}", value.as_written().trim_start_matches('>')))
        .collect();
    let verdict = if megohms + SLACK >= least.limit {
        Verdict::Within
    } else if at_least {
        Verdict::NotJudged
    } else {
        Verdict::Outside
    };
    Some(WholeBoard {
        megohms,
        circuits: last.len(),
        at_least,
        verdict,
        minimum: least.limit,
        worked: format!(
            "1 / ({}) = {}{} megohm",
            parts.join(" + "),
            if at_least { "at least " } else { "" },
            two_places(megohms)
        ),
        ground: least.ground,
    })
}
