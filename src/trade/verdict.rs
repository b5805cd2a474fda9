//! What was measured, the figure it was held against, and how the value lies to it.
//!
//! A verdict says no more than that: nothing here calls a circuit or an installation sound.

use super::limits::Ground;

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

/// Not judged: the value is beyond the tester's range, and so is the figure.
pub(super) fn either_side(limit: &str) -> Outcome {
    Outcome::none(format!(
        "more than the tester's range, and could lie on either side of {limit}"
    ))
}
