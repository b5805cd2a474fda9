//! Holds readings against the figures: each measured value with the figure, a verdict, and why.
//!
//! A verdict says how a typed value lies to a figure and which figure that is, and no more: nothing here calls a
//! circuit or an installation sound. What each quantity goes by is in
//! `trade/measure.rs`.

use crate::diagnose::Span;
use crate::model::{At, Device, Measured, Private, Reading};

use super::limits::{Figures, Ground};
use super::measure;

/// How a value lies to its figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Within it.
    Within,
    /// Within it, and past the lower figure that a reading taken cold should keep to.
    Near,
    /// Outside it.
    Outside,
    /// Held against nothing; `why` says for what reason.
    NotJudged,
}

impl Verdict {
    /// The word of reports and JSON.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Within => "within",
            Verdict::Near => "near",
            Verdict::Outside => "outside",
            Verdict::NotJudged => "not-judged",
        }
    }
}

/// What was measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Quantity {
    /// Ring final, line end to end.
    RingLine,
    /// Ring final, neutral end to end.
    RingNeutral,
    /// Ring final, circuit protective conductor end to end.
    RingCpc,
    /// Line and cpc together.
    R1R2,
    /// Insulation, live conductors to earth.
    InsulationToEarth,
    /// Insulation, live to live.
    InsulationBetween,
    /// External earth-fault-loop impedance.
    Ze,
    /// Earth-fault-loop impedance.
    Zs,
    /// Prospective fault current.
    Pfc,
    /// Trip time of a residual-current device.
    Rcd,
    /// Polarity.
    Polarity,
}

impl Quantity {
    /// The key of a reading, as JSON names it: `zs`, `insulation.live_to_earth`.
    pub fn key(self) -> &'static str {
        match self {
            Quantity::RingLine => "ring.r1",
            Quantity::RingNeutral => "ring.rn",
            Quantity::RingCpc => "ring.r2",
            Quantity::R1R2 => "r1_r2",
            Quantity::InsulationToEarth => "insulation.live_to_earth",
            Quantity::InsulationBetween => "insulation.live_to_live",
            Quantity::Ze => "ze",
            Quantity::Zs => "zs",
            Quantity::Pfc => "pfc",
            Quantity::Rcd => "rcd",
            Quantity::Polarity => "polarity",
        }
    }

    /// Its unit in words; empty for polarity.
    pub fn unit(self) -> &'static str {
        match self {
            Quantity::InsulationToEarth | Quantity::InsulationBetween => "megohm",
            Quantity::Pfc => "kA",
            Quantity::Rcd => "ms",
            Quantity::Polarity => "",
            _ => "ohm",
        }
    }
}

/// The figure that a value was held against, in the quantity's unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limit {
    /// No more than this.
    AtMost(f64),
    /// No less than this.
    AtLeast(f64),
    /// No further than this from the value that it belongs to.
    Apart(f64),
    /// From the first to the second.
    Between(f64, f64),
}

impl Limit {
    /// One number for a table: the upper end where there are two.
    pub fn number(self) -> f64 {
        match self {
            Limit::AtMost(limit)
            | Limit::AtLeast(limit)
            | Limit::Apart(limit)
            | Limit::Between(_, limit) => limit,
        }
    }

    /// In words, without its unit: `at most 1.37`.
    pub fn words(self) -> String {
        match self {
            Limit::AtMost(limit) => format!("at most {limit}"),
            Limit::AtLeast(limit) => format!("at least {limit}"),
            Limit::Apart(limit) => format!("at most {limit} apart"),
            Limit::Between(low, high) => format!("{low} to {high}"),
        }
    }
}

/// What came of holding one value against its figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// The figure; `None` where there is none to hold it against.
    pub limit: Option<Limit>,
    /// How the value lies to it.
    pub verdict: Verdict,
    /// Why, as words that follow the value: `over the published figure of 1.37 ohm for B32`.
    pub why: String,
    /// The sum, where there is one: `230 x 0.95 / (5 x 32) = 1.37 ohm`.
    pub worked: Option<String>,
    /// Where the figure comes from.
    pub ground: Option<Ground>,
}

impl Outcome {
    /// Not judged, and why.
    pub(super) fn none(why: impl Into<String>) -> Self {
        Outcome {
            limit: None,
            verdict: Verdict::NotJudged,
            why: why.into(),
            worked: None,
            ground: None,
        }
    }
}

/// One measured value, judged.
#[derive(Clone, Debug)]
pub struct Judgement {
    /// Which of the readings it belongs to, from 0.
    pub reading: usize,
    /// The circuit's name, where one is written.
    pub circuit: Option<Private<At<String>>>,
    /// The circuit's device, where one is written.
    pub device: Option<Device>,
    /// What was measured.
    pub quantity: Quantity,
    /// The value as written: `0.92`, `>200`, `LIM`.
    pub value: String,
    /// Where the value is written.
    pub span: Span,
    /// Taken as found, and measured again later: history.
    pub superseded: bool,
    /// What came of it.
    pub outcome: Outcome,
}

/// Judges every measured value of a log, in the order of its readings and in that of the tests within one. Empty for
/// readings without values.
pub fn judge_readings(readings: &[Reading], figures: &Figures) -> Vec<Judgement> {
    let mut judged = Vec::new();
    for (index, reading) in readings.iter().enumerate() {
        let whole = Taken { readings, index };
        let mut keep = |quantity: Quantity, value: &str, span: Span, outcome: Outcome| {
            judged.push(Judgement {
                reading: index,
                circuit: reading.circuit.clone(),
                device: reading.device.as_ref().map(|device| device.value.clone()),
                quantity,
                value: value.to_owned(),
                span,
                superseded: whole.superseded(quantity),
                outcome,
            });
        };
        for (quantity, at) in measured(reading) {
            let outcome = match &at.value {
                Measured::Limitation => {
                    Outcome::none("a limitation (LIM) kept it from being measured")
                }
                value => measure::judge(quantity, value, &whole, figures),
            };
            keep(quantity, at.as_written(), at.span, outcome);
        }
        if let Some(polarity) = &reading.polarity {
            keep(
                Quantity::Polarity,
                polarity,
                polarity.span,
                measure::polarity(polarity),
            );
        }
    }
    judged
}

/// Every measured value of a reading, in the order of the tests: dead ones first.
pub fn measured(reading: &Reading) -> impl Iterator<Item = (Quantity, &At<Measured>)> {
    let ring = reading.ring.as_ref();
    let insulation = reading.insulation.as_ref();
    [
        (Quantity::RingLine, ring.and_then(|ring| ring.r1.as_ref())),
        (
            Quantity::RingNeutral,
            ring.and_then(|ring| ring.rn.as_ref()),
        ),
        (Quantity::RingCpc, ring.and_then(|ring| ring.r2.as_ref())),
        (Quantity::R1R2, reading.r1_r2.as_ref()),
        (
            Quantity::InsulationToEarth,
            insulation.and_then(|insulation| insulation.live_to_earth.as_ref()),
        ),
        (
            Quantity::InsulationBetween,
            insulation.and_then(|insulation| insulation.live_to_live.as_ref()),
        ),
        (Quantity::Ze, reading.ze.as_ref()),
        (Quantity::Zs, reading.zs.as_ref()),
        (Quantity::Pfc, reading.pfc.as_ref()),
        (
            Quantity::Rcd,
            reading.rcd.as_ref().and_then(|rcd| rcd.ms.as_ref()),
        ),
    ]
    .into_iter()
    .filter_map(|(quantity, at)| at.map(|at| (quantity, at)))
}

/// A reading among all of its log.
pub(super) struct Taken<'a> {
    /// Every reading of the log.
    pub readings: &'a [Reading],
    /// Which one.
    pub index: usize,
}

impl<'a> Taken<'a> {
    /// The reading.
    pub fn reading(&self) -> &'a Reading {
        &self.readings[self.index]
    }

    fn superseded(&self, quantity: Quantity) -> bool {
        superseded(self.readings, self.index, quantity)
    }
}

/// The values of a quantity that still count, in the order of the log: limitations and history are left out.
pub(super) fn current(
    readings: &[Reading],
    quantity: Quantity,
) -> impl Iterator<Item = (&Reading, &At<Measured>)> {
    readings
        .iter()
        .enumerate()
        .filter_map(move |(index, reading)| {
            let value = value_of(reading, quantity)?;
            (value.value != Measured::Limitation && !superseded(readings, index, quantity))
                .then_some((reading, value))
        })
}

fn value_of(reading: &Reading, quantity: Quantity) -> Option<&At<Measured>> {
    measured(reading)
        .find(|(other, _)| *other == quantity)
        .map(|(_, value)| value)
}

/// Whether a reading's quantity was taken as found and measured again later on the same circuit; then it is history.
/// A limitation measures nothing again. Of two readings of one day, or without their visits, the later is the one
/// that was not taken as found, else the one further down.
pub fn superseded(readings: &[Reading], index: usize, quantity: Quantity) -> bool {
    let reading = &readings[index];
    reading.as_found
        && readings.iter().enumerate().any(|(other_index, other)| {
            let again = match quantity {
                Quantity::Polarity => other.polarity.is_some(),
                _ => value_of(other, quantity)
                    .is_some_and(|value| value.value != Measured::Limitation),
            };
            other_index != index
                && again
                && reading.same_circuit(other)
                && match other.day_against(reading) {
                    Some(std::cmp::Ordering::Greater) => true,
                    Some(std::cmp::Ordering::Less) => false,
                    Some(std::cmp::Ordering::Equal) | None => {
                        !other.as_found || other_index > index
                    }
                }
        })
}
