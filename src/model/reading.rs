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
