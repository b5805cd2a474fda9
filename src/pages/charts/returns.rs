//! The two curves of free returns by a job's age: the share of jobs not gone back to, with how far that could be out,
//! and the returns for each job, carried on past the record as a dotted line from an ink tick.

use serde::{Deserialize, Serialize};
use std::fmt::Write as _;

use super::{Anchor, Chart, percent, whole};

/// Where the curves begin, in per cent; the scale's words stand before it.
const LEFT: f64 = 14.0;
/// The highest and the lowest line of the scale.
const TOP: f64 = 12.0;
const FOOT: f64 = 178.0;

/// A step of a curve.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct CurveStep {
    /// Age in years.
    pub at: f64,
    /// What holds from there on.
    pub value: f64,
    /// Lower end of its interval.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
}

/// Heights and places of one chart.
struct Frame {
    chart: Chart,
    /// Years that the chart holds.
    years: f64,
    low: f64,
    high: f64,
}

impl Frame {
    fn x(&self, years: f64) -> f64 {
        LEFT + (100.0 - LEFT) * (years / self.years).clamp(0.0, 1.0)
    }

    fn y(&self, value: f64) -> f64 {
        let share = ((value - self.low) / (self.high - self.low)).clamp(0.0, 1.0);
        FOOT - (FOOT - TOP) * share
    }

    fn line(&mut self, class: &str, from: (f64, f64), to: (f64, f64)) {
        let (x1, x2) = (percent(self.x(from.0)), percent(self.x(to.0)));
        let (y1, y2) = (self.y(from.1), self.y(to.1));
        let mut part = String::new();
        let _ = write!(
            part,
            r#"<line class="{class}" x1="{x1}" x2="{x2}" y1="{y1:.1}" y2="{y2:.1}"/>"#
        );
        self.chart.draw(&part);
    }

    fn band(&mut self, from: f64, to: f64, low: f64, high: f64) {
        let (x, width) = (percent(self.x(from)), percent(self.x(to) - self.x(from)));
        let (top, height) = (self.y(high), self.y(low) - self.y(high));
        self.chart.draw(&format!(
            r#"<rect class="band" x="{x}" width="{width}" y="{top:.1}" height="{height:.1}"/>"#
        ));
    }

    /// A line of the scale with its words.
    fn rung(&mut self, value: f64, words: &str) {
        let y = self.y(value);
        self.chart.along("gr", LEFT, 100.0, whole_px(y));
        self.chart
            .words(LEFT - 1.2, whole(y) + 4, Anchor::End, words);
    }

    /// The steps as a line, from `start` at age nought to the end.
    fn steps(&mut self, start: f64, steps: &[CurveStep], end: f64) {
        let (mut at, mut value) = (0.0, start);
        for step in steps {
            self.line("step", (at, value), (step.at, value));
            self.line("step", (step.at, value), (step.at, step.value));
            (at, value) = (step.at, step.value);
        }
        self.line("step", (at, value), (end, value));
    }

    /// Ages beneath the chart.
    fn ages(&mut self) {
        self.chart.along("ax", LEFT, 100.0, 178.5);
        for (years, words) in ages(self.years) {
            let x = self.x(years);
            self.chart.upright("ax", x, 178, 184);
            let anchor = match x {
                x if x > 96.0 => Anchor::End,
                x if x <= LEFT => Anchor::Start,
                _ => Anchor::Middle,
            };
            self.chart.words(x, 200, anchor, &words);
        }
    }
}

fn whole_px(y: f64) -> f64 {
    (y * 10.0).round() / 10.0
}

/// Ages that carry words: `done`, then half years or years.
fn ages(years: f64) -> Vec<(f64, String)> {
    let mut ages = vec![(0.0, "done".to_owned())];
    let named = |years: f64| match whole(years * 12.0) {
        6 => "6 months".to_owned(),
        12 => "1 year".to_owned(),
        months if months % 12 == 0 => format!("{} years", months / 12),
        months => format!("{months} months"),
    };
    if years <= 1.5 {
        let mut at = 0.5;
        while at <= years + 0.01 {
            ages.push((at, named(at)));
            at += 0.5;
        }
        return ages;
    }
    let every = (years / 6.0).ceil().max(1.0);
    let mut at = every;
    while at <= years + 0.01 {
        let last = at + every > years + 0.01;
        // The word before the last would run into it on a phone; its tick stands all the same.
        let before_last = at + 2.0 * every > years + 0.01 && years / every > 4.0;
        let words = match (last, before_last) {
            (true, _) => named(at),
            (false, true) => String::new(),
            (false, false) => whole(at).to_string(),
        };
        ages.push((at, words));
        at += every;
    }
    ages
}

/// Jobs not gone back to: steps with their band, as far as the record sees. The scale starts where `scale_from` says.
pub fn first_return(steps: &[CurveStep], end: f64, said: &str, prefix: &str) -> String {
    let low = scale_from(steps);
    let chart = Chart::new(
        prefix,
        212,
        "Share of jobs not yet gone back to, by age of the job",
        said,
    );
    let mut frame = Frame {
        chart,
        years: if end <= 1.5 { end.max(0.5) } else { end.ceil() },
        low,
        high: 1.0,
    };
    for rung in 0..=4_u32 {
        let value = low + (1.0 - low) * f64::from(rung) / 4.0;
        let words = format!("{} %", whole(value * 100.0));
        frame.rung(value, &words);
    }
    for (number, step) in steps.iter().enumerate() {
        let until = steps.get(number + 1).map_or(end, |next| next.at);
        if let (Some(low), Some(high)) = (step.low, step.high) {
            frame.band(step.at, until, low, high);
            frame.line("edge", (step.at, low), (until, low));
            frame.line("edge", (step.at, high), (until, high));
        }
    }
    frame.steps(1.0, steps, end);
    frame.ages();
    frame.chart.finish()
}

/// The share that the scale of first returns starts at: a whole fifth below everything drawn.
pub fn scale_from(steps: &[CurveStep]) -> f64 {
    let low = steps
        .iter()
        .flat_map(|step| [Some(step.value), step.low])
        .flatten()
        .fold(1.0, f64::min);
    ((low * 5.0 - 1e-9).floor() / 5.0).clamp(0.0, 0.8)
}

/// Returns for each job: steps as far as the record sees, then a dotted line to `by_full`, which is reached after
/// `full` years.
pub fn returns(
    steps: &[CurveStep],
    end: f64,
    full: f64,
    by_full: Option<f64>,
    said: &str,
    prefix: &str,
) -> String {
    let most = steps
        .iter()
        .map(|step| step.value)
        .chain(by_full)
        .fold(0.0, f64::max);
    let step = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0]
        .into_iter()
        .find(|step| most / step <= 4.0)
        .unwrap_or_else(|| most.max(1.0));
    let rungs = whole((most / step).ceil()).clamp(1, 5);
    #[expect(clippy::cast_precision_loss, reason = "at most five")]
    let high = step * rungs as f64;
    let chart = Chart::new(
        prefix,
        212,
        "Mean number of free returns a job, by age of the job",
        said,
    );
    let mut frame = Frame {
        chart,
        years: full.max(end).max(0.5),
        low: 0.0,
        high,
    };
    for rung in 1..=rungs {
        #[expect(clippy::cast_precision_loss, reason = "at most five")]
        let value = step * rung as f64;
        let words = if step < 0.1 {
            format!("{value:.2}")
        } else {
            format!("{value:.1}")
        };
        frame.rung(value, &words);
    }
    frame.steps(0.0, steps, end);
    let by_end = steps.last().map_or(0.0, |step| step.value);
    if let Some(by_full) = by_full.filter(|_| end < full) {
        frame.line("gap", (end, by_end), (full, by_full));
        let x = frame.x(end);
        let top = frame.y(by_end) - 14.0;
        frame.chart.upright("med", x, whole(top), 178);
        // Past the middle the words stand before the tick, so that they are not cut off.
        let (at, anchor) = if x > 70.0 {
            (x - 1.5, Anchor::End)
        } else {
            (x + 1.5, Anchor::Start)
        };
        frame.chart.ink_words(at, 170, anchor, "record ends");
        let y = whole(frame.y(by_full)) - 8;
        frame
            .chart
            .ink_words(100.0, y.max(11), Anchor::End, &format!("{by_full:.2}"));
    }
    frame.ages();
    frame.chart.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn step(at: f64, value: f64) -> CurveStep {
        CurveStep {
            at,
            value,
            low: Some(value - 0.05),
            high: Some((value + 0.03_f64).min(1.0)),
        }
    }

    #[test]
    fn the_scale_of_shares_starts_at_a_whole_fifth_below_everything() {
        assert_eq!(scale_from(&[]), 0.8);
        assert_eq!(scale_from(&[step(0.2, 0.92)]), 0.8);
        assert!((scale_from(&[step(0.2, 0.7)]) - 0.6).abs() < 1e-9);
        assert_eq!(scale_from(&[step(0.2, 0.04)]), 0.0);
    }

    #[test]
    fn the_first_curve_stops_where_the_record_stops() {
        let svg = first_return(&[step(0.1, 0.97), step(0.5, 0.92)], 1.9, "Said.", "km");
        // 1.9 of 2 years: 14 + 86 x 0.95.
        assert!(
            svg.contains("x2=\"95.70%\"") && !svg.contains("class=\"gap\""),
            "{svg}"
        );
        assert_eq!(svg.matches("class=\"band\"").count(), 2);
        assert!(svg.contains(">80 %<") && svg.contains(">2 years<"));
    }

    #[test]
    fn past_the_record_the_line_is_dotted_and_says_where_it_ends() {
        let svg = returns(
            &[step(0.1, 0.05), step(1.0, 0.11)],
            1.9,
            6.0,
            Some(0.22),
            "Said.",
            "mc",
        );
        assert_eq!(svg.matches("class=\"gap\"").count(), 1);
        assert!(svg.contains("record ends") && svg.contains(">0.22<") && svg.contains(">6 years<"));
        let whole = returns(&[step(0.1, 0.05)], 6.0, 6.0, Some(0.05), "Said.", "mc");
        assert!(!whole.contains("record ends"));
    }

    #[test]
    fn no_return_is_a_line_along_the_foot() {
        let svg = returns(&[], 2.0, 6.0, Some(0.0), "Said.", "mc");
        assert!(
            !svg.contains("NaN") && svg.contains("y1=\"178.0\" y2=\"178.0\""),
            "{svg}"
        );
    }
}
