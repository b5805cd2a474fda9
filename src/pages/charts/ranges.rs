//! Range strips: how long tasks take, on a doubling scale, so that a metre of cable and a new board fit on one line.
//!
//! Line: one job in ten to nine in ten. Pale bar: the middle half. Ink tick: half took less. Ink wedge: this job.
//! Where there are too few jobs each one is an open dot, and no range is made up.

use serde::{Deserialize, Serialize};

use super::{Anchor, Chart, percent, time_words};
use crate::public::view::TaskRange;

/// Where the first and the last tick stand, in per cent; half a label has room outside them.
const LEFT: f64 = 6.0;
const RIGHT: f64 = 94.0;

/// Minutes that may carry a tick when the times lie far apart: each about twice the one before.
const DOUBLING: &[f64] = &[
    1.0, 2.0, 4.0, 8.0, 15.0, 30.0, 60.0, 120.0, 240.0, 480.0, 960.0, 1920.0, 3840.0, 7680.0,
];
/// The same with a step between, for times that lie close together.
const CLOSE: &[f64] = &[
    1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 15.0, 20.0, 30.0, 45.0, 60.0, 90.0, 120.0, 180.0,
    240.0, 360.0, 480.0, 720.0, 960.0, 1440.0, 1920.0, 2880.0, 3840.0, 5760.0, 7680.0,
];

/// The scale that a list of strips shares.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Scale {
    /// Its ticks, lowest first; at least two.
    pub ticks: Vec<Tick>,
}

/// A tick of a scale.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tick {
    /// Minutes.
    pub minutes: f64,
    /// `4 min`, `8`, `1 h`.
    pub words: String,
}

impl Scale {
    /// The scale for these ranges: its ticks are the fewest that hold every time drawn. From four minutes to an
    /// hour where nothing is drawn.
    pub fn of(ranges: &[TaskRange]) -> Scale {
        let drawn: Vec<f64> = ranges
            .iter()
            .flat_map(drawn)
            .filter(|m| m.is_finite() && *m > 0.0)
            .collect();
        let low = drawn.iter().copied().fold(f64::INFINITY, f64::min);
        let high = drawn.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let (low, high) = if drawn.is_empty() {
            (4.0, 60.0)
        } else {
            (low, high)
        };
        let wide = between(DOUBLING, low, high);
        let minutes = if wide.len() > 3 {
            wide
        } else {
            between(CLOSE, low, high)
        };
        let unit = minutes
            .first()
            .map_or(First::Minutes, |&first| minutes_first(first));
        let ticks = minutes
            .iter()
            .enumerate()
            .map(|(index, &minutes)| Tick {
                minutes,
                words: tick_words(minutes, index == 0, unit),
            })
            .collect();
        Scale { ticks }
    }

    /// A time's place in per cent; times off the scale stand at its end.
    pub fn place(&self, minutes: f64) -> f64 {
        let (Some(first), Some(last)) = (self.ticks.first(), self.ticks.last()) else {
            return LEFT;
        };
        let doublings = |m: f64| m.max(f64::MIN_POSITIVE).log2();
        let share = (doublings(minutes) - doublings(first.minutes))
            / (doublings(last.minutes) - doublings(first.minutes));
        LEFT + (RIGHT - LEFT) * share.clamp(0.0, 1.0)
    }
}

/// Every time of a range that is drawn.
fn drawn(range: &TaskRange) -> Vec<f64> {
    let mut times: Vec<f64> = [
        range.q10,
        range.q25,
        range.median,
        range.q75,
        range.q90,
        range.here,
    ]
    .into_iter()
    .flatten()
    .collect();
    if range.median.is_none() {
        times.extend(&range.singles);
    }
    times
}

/// The ticks from the last one at or below `low` to the first at or above `high`; two at least.
fn between(ticks: &[f64], low: f64, high: f64) -> Vec<f64> {
    let first = ticks.iter().rposition(|&t| t <= low).unwrap_or(0);
    let last = ticks
        .iter()
        .position(|&t| t >= high)
        .unwrap_or(ticks.len() - 1);
    let (first, last) = if first >= last {
        (last.saturating_sub(1), last.max(1))
    } else {
        (first, last)
    };
    ticks[first..=last].to_vec()
}

/// What a scale's first tick is counted in.
#[derive(Clone, Copy, PartialEq, Eq)]
enum First {
    Minutes,
    Hours,
}

fn minutes_first(tick: f64) -> First {
    if tick < 60.0 {
        First::Minutes
    } else {
        First::Hours
    }
}

/// The unit stands at the first tick, and again at every hour where the scale began in minutes.
fn tick_words(minutes: f64, is_first: bool, first: First) -> String {
    let number = |n: f64| {
        let halves = n.fract() > 0.25;
        match (n.trunc(), halves) {
            (whole, true) => format!("{whole}½"),
            (whole, false) => format!("{whole}"),
        }
    };
    let unit = match (minutes < 60.0, is_first, first) {
        (true, true, _) => " min",
        (false, true, _) | (false, false, First::Minutes) => " h",
        _ => "",
    };
    let count = if minutes < 60.0 {
        minutes
    } else {
        minutes / 60.0
    };
    format!("{}{unit}", number(count))
}

/// One strip. Says "this job" where the range has `here`.
pub fn strip(range: &TaskRange, scale: &Scale, prefix: &str) -> String {
    let title = if range.here.is_some() {
        format!("{}: this job against the record", range.name)
    } else {
        format!("{}: the record", range.name)
    };
    let mut chart = Chart::new(prefix, 28, title, sentence(range));
    for tick in &scale.ticks {
        chart.upright("gr", scale.place(tick.minutes), -4, 32);
    }
    if let (Some(low), Some(high)) = (range.q10, range.q90) {
        chart.along("whisk", scale.place(low), scale.place(high), 14.0);
    }
    if let (Some(low), Some(high)) = (range.q25, range.q75) {
        chart.bar("soft", scale.place(low), scale.place(high), 7, 14);
    }
    if let Some(median) = range.median {
        chart.upright("med", scale.place(median), 4, 24);
    } else {
        for &single in &range.singles {
            chart.dot("open", scale.place(single), 14, 4);
        }
    }
    if let Some(here) = range.here {
        chart.draw(&format!(
            r#"<svg class="pt" x="{}" y="2" width="1" height="1"><path class="here" d="M0 8 -5 0H5Z"/></svg>"#,
            percent(scale.place(here))
        ));
    }
    chart.finish()
}

/// The axis beneath or above a list of strips. It is hidden from those who listen: each strip says its figures.
pub fn axis(scale: &Scale) -> String {
    let mut chart = Chart::new("", 0, "", "");
    for tick in &scale.ticks {
        chart.words(scale.place(tick.minutes), 15, Anchor::Middle, &tick.words);
    }
    format!(
        r#"<svg class="axis" height="22" aria-hidden="true">{}</svg>"#,
        chart.body
    )
}

/// `Half of 11 jobs took less than 1 h 12 each; the middle half 1 h 01 to 1 h 41, eight in ten 47 min to 2 h 29.`
fn sentence(range: &TaskRange) -> String {
    let per = match range.per.as_str() {
        "" | "a job" => String::new(),
        per => format!(" {per}"),
    };
    let jobs = if range.n == 1 { "job" } else { "jobs" };
    let mut words = if let Some(median) = range.median {
        let mut words = format!(
            "Half of {} {jobs} took less than {}{per}",
            range.n,
            time_words(median)
        );
        if let (Some(low), Some(high)) = (range.q25, range.q75) {
            words.push_str(&format!(
                "; the middle half {} to {}",
                time_words(low),
                time_words(high)
            ));
        }
        if let (Some(low), Some(high)) = (range.q10, range.q90) {
            words.push_str(&format!(
                ", eight in ten {} to {}",
                time_words(low),
                time_words(high)
            ));
        }
        words.push('.');
        words
    } else {
        let mut words = format!("Only {} {jobs}, too few yet for a range.", range.n);
        if !range.singles.is_empty() {
            let times: Vec<String> = range.singles.iter().map(|&m| time_words(m)).collect();
            words.push_str(&format!(" They took {}{per}.", times.join(", ")));
        }
        words
    };
    if let Some(here) = range.here {
        words.push_str(&format!(" This job: {}{per}.", time_words(here)));
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    fn range(times: [f64; 5], here: Option<f64>) -> TaskRange {
        let [q10, q25, median, q75, q90] = times.map(Some);
        TaskRange {
            name: "Shore-power outlet".to_owned(),
            per: "each".to_owned(),
            n: 11,
            q10,
            q25,
            median,
            q75,
            q90,
            singles: Vec::new(),
            here,
            jobs_link: String::new(),
        }
    }

    fn words(scale: &Scale) -> Vec<&str> {
        scale.ticks.iter().map(|tick| tick.words.as_str()).collect()
    }

    #[test]
    fn ticks_hold_every_time_and_no_more() {
        let metre = range([4.0, 6.0, 8.0, 12.0, 19.0], None);
        let board = range([310.0, 365.0, 425.0, 500.0, 590.0], None);
        assert_eq!(
            words(&Scale::of(&[metre, board.clone()])),
            ["4 min", "8", "15", "30", "1 h", "2 h", "4 h", "8 h", "16 h"]
        );
        assert_eq!(words(&Scale::of(&[board])), ["4 h", "6", "8", "12"]);
        assert_eq!(words(&Scale::of(&[])), ["4 min", "8", "15", "30", "1 h"]);
    }

    #[test]
    fn times_that_are_all_the_same_still_have_a_scale() {
        let flat = range([60.0; 5], None);
        let scale = Scale::of(&[flat]);
        assert_eq!(words(&scale), ["45 min", "1 h"]);
        assert!((scale.place(60.0) - RIGHT).abs() < 1e-9);
    }

    #[test]
    fn a_doubling_takes_the_same_width_anywhere() {
        let scale = Scale::of(&[range([4.0, 8.0, 30.0, 120.0, 240.0], None)]);
        let step = |from: f64| scale.place(2.0 * from) - scale.place(from);
        assert!((step(4.0) - step(100.0)).abs() < 1e-9);
        assert!(
            (scale.place(1.0) - LEFT).abs() < 1e-9,
            "off the scale stands at its end"
        );
    }

    #[test]
    fn a_range_is_drawn_exactly_so() {
        let one = range([30.0, 60.0, 60.0, 120.0, 240.0], Some(120.0));
        let scale = Scale {
            ticks: [30.0, 240.0]
                .map(|minutes| Tick {
                    minutes,
                    words: String::new(),
                })
                .to_vec(),
        };
        assert_eq!(
            strip(&one, &scale, "hl0"),
            concat!(
                r#"<svg height="28" role="img" aria-labelledby="hl0_t hl0_d">"#,
                r#"<title id="hl0_t">Shore-power outlet: this job against the record</title>"#,
                r#"<desc id="hl0_d">Half of 11 jobs took less than 1 h each; the middle half 1 h to 2 h, "#,
                r#"eight in ten 30 min to 4 h. This job: 2 h each.</desc>"#,
                r#"<line class="gr" x1="6.00%" x2="6.00%" y1="-4" y2="32"/>"#,
                r#"<line class="gr" x1="94.00%" x2="94.00%" y1="-4" y2="32"/>"#,
                r#"<line class="whisk" x1="6.00%" x2="94.00%" y1="14" y2="14"/>"#,
                r#"<rect class="soft" x="35.33%" width="29.33%" y="7" height="14"/>"#,
                r#"<line class="med" x1="35.33%" x2="35.33%" y1="4" y2="24"/>"#,
                r#"<svg class="pt" x="64.67%" y="2" width="1" height="1"><path class="here" d="M0 8 -5 0H5Z"/></svg>"#,
                r#"</svg>"#,
            )
        );
    }

    #[test]
    fn too_few_jobs_are_dots_and_no_range_is_made_up() {
        let few = TaskRange {
            n: 2,
            q10: None,
            q25: None,
            median: None,
            q75: None,
            q90: None,
            singles: vec![30.0, 90.0],
            ..range([0.0; 5], None)
        };
        let drawn = strip(&few, &Scale::of(std::slice::from_ref(&few)), "f");
        assert!(
            drawn.contains("Only 2 jobs, too few yet for a range. They took 30 min, 1 h 30 each."),
            "{drawn}"
        );
        assert_eq!(drawn.matches("<circle").count(), 2);
        assert!(
            !drawn.contains("whisk") && !drawn.contains("soft"),
            "{drawn}"
        );
    }
}
