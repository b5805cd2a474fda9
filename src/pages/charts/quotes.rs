//! Hours taken over hours quoted: a dot for each quoted job, piled where they fall together. Solid dots ran over by a
//! quarter or more; the ink line is the quote. Where the piles would grow too high, they are drawn as columns.

use super::{Anchor, Chart, whole};

/// Widths of a pile; each divides a quarter, so that the line at a quarter over stands between two piles.
const WIDTHS: [f64; 4] = [0.05, 0.125, 0.25, 0.5];
/// The most piles that stand clear of each other on a phone.
const MOST_PILES: f64 = 26.0;
/// The highest pile of dots.
const MOST_DOTS: usize = 12;
/// Where the piles end; a job further over stands in the last.
const FURTHEST: f64 = 3.0;
/// Over by this much a dot is solid.
const MUCH_OVER: f64 = 1.25;
/// The foot of low piles, and of columns.
const FOOT: i64 = 92;
/// From one dot of a pile to the next.
const PITCH: i64 = 13;

/// Places along the chart.
struct Scale {
    from: f64,
    to: f64,
    width: f64,
}

impl Scale {
    fn of(ratios: &[f64]) -> Scale {
        let low = ratios.iter().copied().fold(1.0, f64::min);
        let high = ratios.iter().copied().fold(1.5, f64::max).min(FURTHEST);
        let (from, to) = (
            ((low - 0.01) / 0.25).floor() * 0.25,
            (high / 0.25).ceil() * 0.25,
        );
        let from = from.clamp(0.0, 0.75);
        let width = WIDTHS
            .into_iter()
            .find(|width| (to - from) / width <= MOST_PILES)
            .unwrap_or(0.5);
        Scale { from, to, width }
    }

    fn place(&self, ratio: f64) -> f64 {
        3.0 + 94.0 * ((ratio - self.from) / (self.to - self.from)).clamp(0.0, 1.0)
    }

    /// The pile that a ratio falls on, by number.
    fn pile(&self, ratio: f64) -> usize {
        let last = whole((self.to - self.from) / self.width) - 1;
        // A ratio on the line between two piles falls on the upper one, whatever the last digit of the division.
        let number = ((ratio - self.from) / self.width + 1e-9).floor();
        usize::try_from(whole(number).clamp(0, last.max(0))).unwrap_or(0)
    }
}

/// The chart. `said` is its figures in a sentence.
pub fn piles(ratios: &[f64], said: &str, prefix: &str) -> String {
    let scale = Scale::of(ratios);
    let mut piles: Vec<usize> = Vec::new();
    for &ratio in ratios {
        let number = scale.pile(ratio);
        if piles.len() <= number {
            piles.resize(number + 1, 0);
        }
        piles[number] += 1;
    }
    let most = piles.iter().copied().max().unwrap_or(0);
    let jobs = if ratios.len() == 1 { "job" } else { "jobs" };
    let title = format!("Hours taken against hours quoted, {} {jobs}", ratios.len());
    let foot = match i64::try_from(most) {
        Ok(dots) if most <= MOST_DOTS => FOOT.max(dots * PITCH + 14),
        _ => FOOT,
    };
    let mut chart = Chart::new(prefix, foot + 24, title, said);
    #[expect(clippy::cast_precision_loss, reason = "pixels of one chart")]
    chart.along("ax", 0.0, 100.0, foot as f64);
    chart.upright("med", scale.place(1.0), 2, foot + 5);
    chart.ink_words(scale.place(1.0), foot + 20, Anchor::Middle, "as quoted");
    for tick in ticks(&scale) {
        chart.upright("ax", scale.place(tick), foot - 2, foot + 5);
        let more = whole((tick - 1.0) * 100.0);
        let words = if more > 0 {
            format!("+{more} %")
        } else {
            format!("−{} %", -more)
        };
        chart.words(scale.place(tick), foot + 20, Anchor::Middle, &words);
    }
    for (number, &count) in piles.iter().enumerate() {
        #[expect(clippy::cast_precision_loss, reason = "at most a few dozen piles")]
        let begins = scale.from + scale.width * number as f64;
        let class = if begins + 1e-9 >= MUCH_OVER {
            "bar"
        } else {
            "open"
        };
        if most > MOST_DOTS {
            column(&mut chart, &scale, begins, class, count, most);
        } else {
            let middle = scale.place(begins + scale.width / 2.0);
            let mut y = foot - 9;
            for _ in 0..count {
                chart.dot(class, middle, y, 5);
                y -= PITCH;
            }
        }
    }
    chart.finish()
}

fn column(chart: &mut Chart, scale: &Scale, begins: f64, class: &str, count: usize, most: usize) {
    if count == 0 {
        return;
    }
    let (left, right) = (scale.place(begins), scale.place(begins + scale.width));
    let gap = (right - left) * 0.12;
    #[expect(
        clippy::cast_precision_loss,
        reason = "counts of jobs are far below 2^52"
    )]
    let height = whole(count as f64 * 84.0 / most as f64).max(2);
    chart.bar(class, left + gap, right - gap, FOOT - height, height);
}

/// Quarters, or halves where quarters would stand too close; none where `as quoted` stands.
fn ticks(scale: &Scale) -> Vec<f64> {
    let step = if scale.to - scale.from > 1.3 {
        0.5
    } else {
        0.25
    };
    let mut ticks = Vec::new();
    let mut tick = (scale.from / step).ceil() * step;
    while tick < scale.to - 0.01 {
        let clear = (scale.place(tick) - scale.place(1.0)).abs() > 18.0;
        if clear && scale.place(tick) > 6.0 {
            ticks.push(tick);
        }
        tick += step;
    }
    ticks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_ran_over_by_a_quarter_or_more_is_solid() {
        let svg = piles(&[0.9, 1.0, 1.249, 1.25, 2.25], "Said.", "q");
        assert_eq!(svg.matches("class=\"open\"").count(), 3);
        assert_eq!(svg.matches("class=\"bar\"").count(), 2);
        assert!(svg.contains("5 jobs") && svg.contains("as quoted"));
    }

    #[test]
    fn a_job_far_over_stands_in_the_last_pile() {
        let scale = Scale::of(&[1.0, 40.0]);
        assert_eq!(scale.to, FURTHEST);
        assert!(scale.place(40.0) <= 97.0);
        assert_eq!(piles(&[1.0, 40.0], "", "q").matches("<circle").count(), 2);
    }

    #[test]
    fn many_jobs_are_columns_and_no_more_marks_than_piles() {
        let ratios: Vec<f64> = (0..5_000_i32)
            .map(|n| 0.6 + f64::from(n % 97) / 60.0)
            .collect();
        let svg = piles(&ratios, "Said.", "q");
        assert!(!svg.contains("<circle") && svg.matches("<rect").count() <= 30);
    }
}
