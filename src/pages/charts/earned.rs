//! Earned strips: what task types and location types earned an hour, against what an hour had to bring.
//!
//! Solid dot: earned an hour, over all minutes. Pale bar: where the middle of its jobs lies. Dotted line: what is
//! lacking to the rate needed, which is the ink line. Under five jobs each job is an open dot and no bar is drawn.

use serde::{Deserialize, Serialize};

use super::{Anchor, Chart, whole};
use crate::office::words::grouped;

/// Where the scale begins and ends, in per cent; half a label has room outside it.
const LEFT: f64 = 6.0;
const RIGHT: f64 = 92.0;
/// Steps between ticks, and ten, a hundred, … times as much: the first that gives few enough.
const STEPS: [f64; 3] = [1.0, 2.0, 5.0];
/// Up to a step of five million.
const TENFOLDS: i32 = 7;
/// At most so many steps.
const MOST_STEPS: f64 = 6.0;
/// A tick's words need so much room from those of the rate needed, in per cent.
const ROOM: f64 = 21.0;

/// What is drawn.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct EarnedList {
    /// `£`.
    pub sign: String,
    /// The rate needed.
    pub needed: Option<f64>,
    /// `needed £42.14`.
    pub needed_words: String,
    /// The strips.
    pub strips: Vec<EarnedStrip>,
}

/// A strip.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct EarnedStrip {
    /// Name.
    pub name: String,
    /// Earned an hour.
    pub rate: f64,
    /// The middle of its jobs, lower end.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
    /// Each job's, where they are too few for a middle.
    pub singles: Vec<f64>,
    /// Its figures in a sentence.
    pub said: String,
}

/// The scale that a list of strips shares.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Scale {
    /// Lower end, in whole units of money.
    pub from: f64,
    /// Upper end.
    pub to: f64,
    /// Between ticks.
    pub step: f64,
    /// `£`.
    pub sign: String,
    /// The rate needed.
    pub needed: Option<f64>,
    /// Its words.
    pub needed_words: String,
}

impl Scale {
    /// The scale that holds every rate and every middle of a list; a single job past it stands at its end.
    pub fn of(list: &EarnedList) -> Scale {
        let drawn = list
            .strips
            .iter()
            .flat_map(|strip| [Some(strip.rate), strip.low, strip.high])
            .chain([list.needed])
            .flatten();
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for rate in drawn.filter(|rate| rate.is_finite()) {
            low = low.min(rate);
            high = high.max(rate);
        }
        if low > high {
            (low, high) = (0.0, 10.0);
        }
        let wide = |step: f64| {
            let (from, to) = ((low / step).floor() * step, (high / step).ceil() * step);
            (from, if to > from { to } else { from + step })
        };
        let step = (0..TENFOLDS)
            .flat_map(|tenfold| STEPS.map(|step| step * 10_f64.powi(tenfold)))
            .find(|&step| {
                let (from, to) = wide(step);
                (to - from) / step <= MOST_STEPS
            })
            .unwrap_or((high - low).max(1.0));
        let (from, to) = wide(step);
        Scale {
            from,
            to,
            step,
            sign: list.sign.clone(),
            needed: list.needed,
            needed_words: list.needed_words.clone(),
        }
    }

    /// A rate's place in per cent.
    pub fn place(&self, rate: f64) -> f64 {
        let share = (rate - self.from) / (self.to - self.from);
        LEFT + (RIGHT - LEFT) * share.clamp(0.0, 1.0)
    }

    fn ticks(&self) -> Vec<f64> {
        let steps = whole((self.to - self.from) / self.step).clamp(1, 12);
        #[expect(clippy::cast_precision_loss, reason = "at most twelve")]
        let at = |number: i64| self.from + self.step * number as f64;
        (0..=steps).map(at).collect()
    }
}

/// One strip.
pub fn strip(strip: &EarnedStrip, scale: &Scale, prefix: &str) -> String {
    let mut chart = Chart::new(prefix, 28, strip.name.clone(), strip.said.clone());
    for tick in scale.ticks() {
        chart.upright("gr", scale.place(tick), -4, 33);
    }
    if let (Some(low), Some(high)) = (strip.low, strip.high) {
        chart.bar("soft", scale.place(low), scale.place(high), 8, 12);
    }
    if let Some(needed) = scale.needed {
        chart.upright("med", scale.place(needed), -4, 33);
        if strip.rate < needed && strip.low.is_some() {
            chart.along("gap", scale.place(strip.rate), scale.place(needed), 14.0);
        }
    }
    if strip.low.is_some() || strip.singles.is_empty() {
        chart.dot("dot", scale.place(strip.rate), 14, 6);
    }
    if strip.low.is_none() {
        for &single in &strip.singles {
            chart.dot("open", scale.place(single), 14, 5);
        }
    }
    chart.finish()
}

/// The axis above a list of strips, hidden from those who listen: each strip says its figures.
pub fn axis(scale: &Scale) -> String {
    let mut chart = Chart::new("", 24, "", "");
    let needed = scale.needed.map(|needed| scale.place(needed));
    for tick in scale.ticks() {
        let at = scale.place(tick);
        if needed.is_none_or(|needed| (at - needed).abs() >= ROOM) {
            let minus = if tick < 0.0 { "−" } else { "" };
            let amount = grouped(whole(tick).unsigned_abs());
            let words = format!("{minus}{}{amount}", scale.sign);
            chart.words(at, 17, Anchor::Middle, &words);
        }
    }
    if let Some(needed) = needed {
        // Near an end the words lean inwards, so that nothing is cut off on a phone.
        let anchor = match needed {
            at if at > 80.0 => Anchor::End,
            at if at < 20.0 => Anchor::Start,
            _ => Anchor::Middle,
        };
        let at = match anchor {
            Anchor::End => (needed + 4.0).min(100.0),
            Anchor::Start => (needed - 4.0).max(0.0),
            Anchor::Middle => needed,
        };
        chart.ink_words(at, 17, anchor, &scale.needed_words);
    }
    chart.finish_axis()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(rates: &[f64], needed: Option<f64>) -> EarnedList {
        let strips = rates.iter().map(|&rate| EarnedStrip {
            name: "Fault finding".to_owned(),
            rate,
            low: Some(rate - 2.0),
            high: Some(rate + 3.0),
            singles: Vec::new(),
            said: "Said.".to_owned(),
        });
        EarnedList {
            sign: "£".to_owned(),
            needed,
            needed_words: "needed".to_owned(),
            strips: strips.collect(),
        }
    }

    #[test]
    fn the_scale_holds_every_rate_and_has_few_ticks() {
        let list = of(&[26.69, 41.95], Some(42.14));
        let scale = Scale::of(&list);
        assert_eq!((scale.from, scale.to, scale.step), (20.0, 45.0, 5.0));
        assert!(scale.ticks().len() <= 8);
        let places: Vec<f64> = [24.69, 26.69, 42.14, 44.95]
            .map(|rate| scale.place(rate))
            .into();
        assert!(places.is_sorted() && places[0] > LEFT && places[3] < RIGHT);
    }

    #[test]
    fn a_scale_of_thousands_has_round_ticks_grouped_as_in_the_words() {
        let scale = Scale::of(&of(&[5_630.66], Some(11_164.2)));
        assert_eq!(
            (scale.from, scale.to, scale.step),
            (4_000.0, 12_000.0, 2_000.0)
        );
        assert!(axis(&scale).contains(">£6,000<"), "{}", axis(&scale));
        // What was paid back may be more than what came in.
        let scale = Scale::of(&of(&[-40.0, 15.0], None));
        assert!(axis(&scale).contains(">−£40<"), "{}", axis(&scale));
    }

    #[test]
    fn nothing_drawn_still_has_a_scale() {
        let scale = Scale::of(&of(&[], None));
        assert!(scale.to > scale.from && !axis(&scale).contains("NaN"));
    }

    #[test]
    fn under_five_jobs_each_job_is_an_open_dot_and_no_bar_is_drawn() {
        let mut list = of(&[30.0], Some(40.0));
        list.strips[0] = EarnedStrip {
            low: None,
            high: None,
            singles: vec![25.0, 35.0],
            ..list.strips[0].clone()
        };
        let svg = strip(&list.strips[0], &Scale::of(&list), "a");
        assert_eq!(svg.matches("class=\"open\"").count(), 2);
        assert!(!svg.contains("class=\"soft\"") && !svg.contains("class=\"dot\""));
    }
}
