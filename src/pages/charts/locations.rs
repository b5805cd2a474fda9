//! Location strips: how much longer the same task takes at a location type, as a dot and how far it could be out.
//!
//! The scale is even, in per cent longer or shorter than the whole record; "the same" is always on it.

use serde::{Deserialize, Serialize};

use super::{Anchor, Chart, whole};
use crate::public::view::LocationRange;

const LEFT: f64 = 8.0;
const RIGHT: f64 = 92.0;
/// Steps between ticks, in per cent of time, smallest first.
const STEPS: &[i64] = &[5, 10, 25, 50, 100, 250];

/// The scale that a list of location strips shares.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Scale {
    /// Ticks in per cent longer than the whole record, lowest first; 0 is among them; at least two.
    pub ticks: Vec<i64>,
}

impl Scale {
    /// The scale whose ticks, at most five, hold every figure.
    pub fn of(locations: &[LocationRange]) -> Scale {
        let mut low: f64 = 0.0;
        let mut high: f64 = 0.0;
        for location in locations {
            for ratio in [Some(location.ratio), location.low, location.high]
                .into_iter()
                .flatten()
            {
                low = low.min(longer(ratio));
                high = high.max(longer(ratio));
            }
        }
        let ends = |step: i64| {
            let (low, high) = (whole(low.floor()), whole(high.ceil()));
            (low.div_euclid(step), (high + step - 1).div_euclid(step))
        };
        let step = STEPS
            .iter()
            .copied()
            .find(|&step| {
                let (first, last) = ends(step);
                last - first < 5
            })
            .unwrap_or(1000);
        let (first, last) = ends(step);
        let last = if first == last { first + 1 } else { last };
        Scale {
            ticks: (first..=last).map(|tick| tick * step).collect(),
        }
    }

    /// A ratio's place in per cent of the width.
    pub fn place(&self, ratio: f64) -> f64 {
        self.place_longer(longer(ratio))
    }

    #[expect(clippy::cast_precision_loss, reason = "ticks are small whole numbers")]
    fn place_longer(&self, longer: f64) -> f64 {
        let (Some(&first), Some(&last)) = (self.ticks.first(), self.ticks.last()) else {
            return LEFT;
        };
        let share = (longer - first as f64) / (last - first) as f64;
        LEFT + (RIGHT - LEFT) * share.clamp(0.0, 1.0)
    }
}

/// Per cent longer than the whole record: 1.31 is 31.
fn longer(ratio: f64) -> f64 {
    (ratio - 1.0) * 100.0
}

/// `31 % longer`, `8 % shorter`, `the same`.
pub fn words(ratio: f64) -> String {
    match whole(longer(ratio)) {
        0 => "the same".to_owned(),
        more @ 1.. => format!("{more} % longer"),
        less => format!("{} % shorter", -less),
    }
}

/// `+31 %`, `−8 %`, `0 %`: for a table.
pub fn signed(ratio: f64) -> String {
    signed_number(whole(longer(ratio)))
}

fn signed_number(longer: i64) -> String {
    match longer {
        0 => "0 %".to_owned(),
        more @ 1.. => format!("+{more} %"),
        less => format!("−{} %", -less),
    }
}

/// One strip.
pub fn strip(location: &LocationRange, scale: &Scale, prefix: &str) -> String {
    let mut sentence = match words(location.ratio).as_str() {
        "the same" => "The same as that task over the whole record".to_owned(),
        words => format!("{words} than the same task over the whole record"),
    };
    if let (Some(low), Some(high)) = (location.low, location.high) {
        let usual = |ratio| match words(ratio).as_str() {
            "the same" => "the same time".to_owned(),
            words => words.to_owned(),
        };
        sentence.push_str(&format!(
            "; anything from {} to {}",
            usual(low),
            usual(high)
        ));
    }
    let jobs = if location.n == 1 { "job" } else { "jobs" };
    sentence.push_str(&format!(". From {} {jobs}.", location.n));
    let mut chart = Chart::new(prefix, 24, location.name.clone(), sentence);
    for &tick in &scale.ticks {
        chart.upright(
            if tick == 0 { "ax" } else { "gr" },
            place_tick(scale, tick),
            -4,
            28,
        );
    }
    if let (Some(low), Some(high)) = (location.low, location.high) {
        chart.along("whisk", scale.place(low), scale.place(high), 12.0);
    }
    chart.dot("dot", scale.place(location.ratio), 12, 5);
    chart.finish()
}

/// The axis above a list of location strips, hidden from those who listen.
pub fn axis(scale: &Scale) -> String {
    let mut chart = Chart::new("", 0, "", "");
    for &tick in &scale.ticks {
        let words = if tick == 0 {
            "the same".to_owned()
        } else {
            signed_number(tick)
        };
        chart.words(place_tick(scale, tick), 15, Anchor::Middle, &words);
    }
    format!(
        r#"<svg class="axis" height="22" aria-hidden="true">{}</svg>"#,
        chart.body
    )
}

#[expect(clippy::cast_precision_loss, reason = "ticks are small whole numbers")]
fn place_tick(scale: &Scale, tick: i64) -> f64 {
    scale.place_longer(tick as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn location(ratio: f64, bounds: Option<(f64, f64)>) -> LocationRange {
        LocationRange {
            name: "Village hall".to_owned(),
            n: 9,
            ratio,
            low: bounds.map(|(low, _)| low),
            high: bounds.map(|(_, high)| high),
        }
    }

    #[test]
    fn the_scale_holds_every_figure_and_the_same() {
        let scale = Scale::of(&[
            location(1.31, Some((1.18, 1.45))),
            location(0.92, Some((0.83, 1.02))),
        ]);
        assert_eq!(scale.ticks, [-25, 0, 25, 50]);
        assert_eq!(Scale::of(&[location(1.0, None)]).ticks, [0, 5]);
        assert_eq!(Scale::of(&[location(1.2, None)]).ticks, [0, 5, 10, 15, 20]);
        assert_eq!(
            Scale::of(&[location(60.0, None)]).ticks,
            [0, 1000, 2000, 3000, 4000, 5000, 6000]
        );
    }

    #[test]
    fn a_location_is_drawn_exactly_so() {
        let hall = location(1.1, Some((0.9, 1.3)));
        let scale = Scale {
            ticks: vec![-25, 0, 75],
        };
        assert_eq!(
            strip(&hall, &scale, "l0"),
            concat!(
                r#"<svg height="24" role="img" aria-labelledby="l0_t l0_d"><title id="l0_t">Village hall</title>"#,
                r#"<desc id="l0_d">10 % longer than the same task over the whole record; anything from 10 % shorter "#,
                r#"to 30 % longer. From 9 jobs.</desc>"#,
                r#"<line class="gr" x1="8.00%" x2="8.00%" y1="-4" y2="28"/>"#,
                r#"<line class="ax" x1="29.00%" x2="29.00%" y1="-4" y2="28"/>"#,
                r#"<line class="gr" x1="92.00%" x2="92.00%" y1="-4" y2="28"/>"#,
                r#"<line class="whisk" x1="20.60%" x2="54.20%" y1="12" y2="12"/>"#,
                r#"<circle class="dot" cx="37.40%" cy="12" r="5"/></svg>"#,
            )
        );
    }

    #[test]
    fn longer_and_shorter_are_said_in_words_and_signs() {
        assert_eq!(
            [1.31, 1.0, 0.92].map(words),
            ["31 % longer", "the same", "8 % shorter"]
        );
        assert_eq!([1.31, 1.0, 0.92].map(signed), ["+31 %", "0 %", "−8 %"]);
    }
}
