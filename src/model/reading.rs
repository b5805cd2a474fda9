//! Measured values on circuits.

use std::cmp::Ordering;

use crate::diagnose::Span;

use super::{At, Private};
use jiff::civil::Date;

/// One row of `readings`: a circuit and what was measured on it.
#[derive(Clone, Debug)]
pub struct Reading {
    /// The circuit's name. Private: it may hold a name or a number on a door.
    pub circuit: Option<Private<At<String>>>,
    /// The date of the visit that measured it.
    pub visit: Option<Private<At<Date>>>,
    /// Measured before anything was done; a later reading of the same circuit supersedes it.
    pub as_found: bool,
    /// The protective device.
    pub device: Option<At<Device>>,
    /// Insulation resistance.
    pub insulation: Option<Insulation>,
    /// Earth-fault-loop impedance of the circuit, in ohms.
    pub zs: Option<At<Measured>>,
    /// External earth-fault-loop impedance, in ohms.
    pub ze: Option<At<Measured>>,
    /// Line and cpc together, in ohms.
    pub r1_r2: Option<At<Measured>>,
    /// A ring final's three end-to-end figures.
    pub ring: Option<Ring>,
    /// A residual-current device's trip.
    pub rcd: Option<Rcd>,
    /// Prospective fault current, in kiloamperes.
    pub pfc: Option<At<Measured>>,
    /// Polarity, as written.
    pub polarity: Option<At<String>>,
    /// Where the reading begins.
    pub span: Span,
}

impl Reading {
    /// Whether another reading names the same circuit, case and spaces aside. Not where either names none.
    pub fn same_circuit(&self, other: &Reading) -> bool {
        let folded = |reading: &Reading| {
            let circuit = reading.circuit.as_ref()?;
            Some(
                circuit
                    .in_office()
                    .split_whitespace()
                    .map(str::to_lowercase)
                    .collect::<Vec<_>>()
                    .join(" "),
            )
        };
        let own = folded(self);
        own.is_some() && own == folded(other)
    }

    /// How the day it was taken lies to that of another. `None` where either does not say its visit.
    pub fn day_against(&self, other: &Reading) -> Option<Ordering> {
        let day = |reading: &Reading| Some(reading.visit.as_ref()?.in_office().value);
        Some(day(self)?.cmp(&day(other)?))
    }
}

/// A protective device.
#[derive(Clone, Debug, PartialEq)]
pub struct Device {
    /// `B`, `C`, `D`, or a fuse's standard (`BS 3036`), as written.
    pub kind: Option<String>,
    /// Rated current, in amperes.
    pub rating: Option<f64>,
}

/// A measured value as written: a number, more than a number, or a limitation.
#[derive(Clone, Debug, PartialEq)]
pub enum Measured {
    /// A number, with its written text.
    Number {
        /// The value.
        value: f64,
        /// As it was written, which keeps the tester's decimals.
        text: String,
    },
    /// More than the tester's range: `>200`.
    Above {
        /// The end of the range.
        value: f64,
        /// As it was written.
        text: String,
    },
    /// `LIM`: a limitation kept it from being measured.
    Limitation,
}

impl Measured {
    /// The value as written: `0.92`, `>200`, `LIM`.
    pub fn as_written(&self) -> &str {
        match self {
            Measured::Number { text, .. } | Measured::Above { text, .. } => text,
            Measured::Limitation => "LIM",
        }
    }
}

/// Insulation resistance in megohms at a test voltage.
#[derive(Clone, Debug)]
pub struct Insulation {
    /// Test voltage, in volts.
    pub at: Option<At<f64>>,
    /// Live conductors to earth, in megohms.
    pub live_to_earth: Option<At<Measured>>,
    /// Live to live, in megohms.
    pub live_to_live: Option<At<Measured>>,
}

/// A ring final's end-to-end figures, in ohms.
#[derive(Clone, Debug)]
pub struct Ring {
    /// Line.
    pub r1: Option<At<Measured>>,
    /// Neutral.
    pub rn: Option<At<Measured>>,
    /// Circuit protective conductor.
    pub r2: Option<At<Measured>>,
}

/// A residual-current device's trip time.
#[derive(Clone, Debug)]
pub struct Rcd {
    /// Test current, in milliamperes.
    pub at: Option<At<f64>>,
    /// Trip time, in milliseconds.
    pub ms: Option<At<Measured>>,
    /// Kind, as written.
    pub kind: Option<At<String>>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diary::read_files;

    fn readings() -> Vec<Reading> {
        let log = "---\ntitle: x\nref: 2026-001\nvisits: [{date: 2026-11-02, time: 2h}, {date: 2026-11-05, time: 2h}]\nreadings:\n  \
            - {circuit: Ring final, visit: 2026-11-02, zs: 0.9}\n  \
            - {circuit: ' ring  FINAL', visit: 2026-11-05, zs: 0.8}\n  \
            - {circuit: Lights, zs: 0.7}\n  \
            - {zs: 0.6}\n---\n";
        let settings = "title: x\nsite: {address: https://example.com, timezone: Europe/London}\n";
        let files = [("diary.yaml", settings), ("jobs/2026/a.md", log)];
        let read = read_files(
            files
                .map(|(path, text)| (path.to_owned(), text.as_bytes().to_vec()))
                .to_vec(),
        );
        read.diary.jobs[0].readings.clone()
    }

    #[test]
    fn a_circuit_is_the_same_whatever_its_case_and_none_is_no_circuit() {
        let readings = readings();
        let same = |one: usize, other: usize| readings[one].same_circuit(&readings[other]);
        assert!(same(0, 1) && same(1, 0));
        assert!(!same(0, 2) && !same(0, 3) && !same(3, 0));
        assert!(!same(3, 3), "a reading of no circuit is of none");
    }

    #[test]
    fn days_are_held_against_each_other_where_both_are_given() {
        let readings = readings();
        let against = |one: usize, other: usize| readings[one].day_against(&readings[other]);
        assert_eq!(against(0, 1), Some(Ordering::Less));
        assert_eq!(against(1, 0), Some(Ordering::Greater));
        assert_eq!(against(1, 1), Some(Ordering::Equal));
        assert_eq!((against(0, 2), against(2, 0)), (None, None));
    }
}
