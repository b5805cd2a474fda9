//! The measured values of a log: in the order of the tests, which of them still count, and on which side of a number
//! each lies. Knows no figure of the trade.

use crate::model::{At, Measured, Reading};

use super::limits::SLACK;
use super::verdict::Quantity;

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

    /// Whether it is history: see [`superseded`].
    pub fn superseded(&self, quantity: Quantity) -> bool {
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

/// How a value lies to a maximum. `None` where it could lie on either side.
pub(super) fn passes(value: &Measured, most: f64) -> Option<bool> {
    match value {
        Measured::Number { value, .. } => Some(*value > most + SLACK),
        Measured::Above { value, .. } => (*value + SLACK >= most).then_some(true),
        Measured::Limitation => None,
    }
}

/// How a value lies to a minimum. `None` where it could lie on either side.
pub(super) fn reaches(value: &Measured, least: f64) -> Option<bool> {
    match value {
        Measured::Number { value, .. } => Some(*value + SLACK >= least),
        Measured::Above { value, .. } => (*value + SLACK >= least).then_some(true),
        Measured::Limitation => None,
    }
}

/// A number, where one was measured.
pub(super) fn number(value: &Measured) -> Option<f64> {
    match value {
        Measured::Number { value, .. } => Some(*value),
        Measured::Above { .. } | Measured::Limitation => None,
    }
}
