//! Holds readings against the figures: each measured value with the figure, a verdict, and why. What each quantity
//! goes by is in `trade/measure.rs`.

use crate::diagnose::Span;
use crate::model::{At, Device, Measured, Private, Reading};

use super::limits::Figures;
use super::measure;
use super::taken::{Taken, measured};
use super::verdict::{Outcome, Quantity};

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
