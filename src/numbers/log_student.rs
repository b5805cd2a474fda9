//! What a job to come will take: each line a Student t on the logarithm of its minutes, and
//! the total of the lines by draws. Fits nothing: see `log_linear`.

use super::draws::Draws;
use super::normal;
use super::quantile::Sorted;
use super::shape::Shape;
use statrs::distribution::{ContinuousCDF, StudentsT};

/// How many times a price's total is drawn: its quantiles then err by 0.2 to 0.3 in a hundred.
pub const DRAWS: usize = 20_000;

/// No logarithm of minutes is taken for more than this in a draw: e^30 minutes is no length.
const LONGEST_LOG: f64 = 30.0;

/// What one line of a job will take: a Student t on the logarithm of the minutes. It has
/// quantiles and no mean: the exponential of a t variable has none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogStudent {
    /// The middle of the logarithm.
    pub mean: f64,
    /// The variance of the logarithm about its true mean.
    pub variance: f64,
    /// The variance of the mean itself, for what the record leaves open.
    pub doubt: f64,
    /// Degrees of freedom; infinite for a normal.
    pub dof: f64,
    /// The share of the spread that the lines of one job have in common, 0 to 1.
    pub shared: f64,
    /// What bends the t where a record's residuals are no normal's; `None` for a plain t.
    pub shape: Option<Shape>,
}

impl LogStudent {
    /// A line for which hours are given instead of a record: from `low` to `high` minutes four
    /// times in five, evenly on the logarithm; `None` unless both are finite and 0 < low <= high.
    pub fn from_band(low: f64, high: f64) -> Option<Self> {
        let usable = low > 0.0 && low <= high && high.is_finite();
        let (low, high) = (libm::log(low), libm::log(high));
        let sd = (high - low) / 2.0 / normal::quantile(0.9);
        usable.then_some(Self {
            mean: f64::midpoint(low, high),
            variance: sd * sd,
            doubt: 0.0,
            dof: f64::INFINITY,
            shared: 0.0,
            shape: None,
        })
    }

    /// The minutes that the line stays within with chance `p` (above 0, below 1). Exact: no
    /// draws.
    ///
    /// ```text
    /// exp(m + sqrt(v + se^2) t(p; dof)),  t bent where there is a shape
    /// ```
    pub fn quantile(&self, p: f64) -> f64 {
        let t = if self.dof.is_infinite() {
            normal::quantile(p)
        } else {
            StudentsT::new(0.0, 1.0, self.dof)
                .expect("degrees of freedom are above 0")
                .inverse_cdf(p)
        };
        libm::exp(self.log_minutes(t))
    }

    /// The logarithm of the minutes at a value of Student's t.
    fn log_minutes(&self, t: f64) -> f64 {
        let bent = self.shape.map_or(t, |shape| shape.bend(t, self.dof));
        self.mean + self.scale() * bent
    }

    fn scale(&self) -> f64 {
        (self.variance + self.doubt).sqrt()
    }
}

/// What all lines of a job will take together, as drawn; never a mean.
#[derive(Debug, Clone, PartialEq)]
pub struct Total(Sorted);

impl Total {
    /// The minutes that the total stays within with chance `p`: type 8 of the draws.
    pub fn quantile(&self, p: f64) -> f64 {
        self.0.quantile(p)
    }
}

/// Draws the total of the lines `draws` times; `None` for no line, no draw, or a line whose
/// numbers are not finite.
///
/// ```text
/// z = sqrt(shared) g0 + sqrt(1 - shared) g;  minutes = exp(m + sqrt(v + se^2) z sqrt(dof / chi2(dof)))
/// ```
///
/// `g0` is drawn once for the job, `g` and the chi-square for each line, so that each line's
/// own distribution is exactly its (bent) Student t. The same lines in the same order with the same
/// seed give the same digits on every machine.
pub fn total(lines: &[LogStudent], seed: u64, draws: usize) -> Option<Total> {
    let odd = |line: &LogStudent| !(line.mean.is_finite() && line.scale().is_finite());
    if lines.is_empty() || lines.iter().any(odd) {
        return None;
    }
    let mut random = Draws::from_seed(seed);
    let totals = (0..draws)
        .map(|_| {
            let common = random.normal();
            lines
                .iter()
                .map(|line| {
                    let z =
                        line.shared.sqrt() * common + (1.0 - line.shared).sqrt() * random.normal();
                    let heavier = if line.dof.is_infinite() {
                        1.0
                    } else {
                        (line.dof / random.chi_square(line.dof)).sqrt()
                    };
                    libm::exp(line.log_minutes(z * heavier).min(LONGEST_LOG))
                })
                .sum()
        })
        .collect();
    Sorted::new(totals).map(Total)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(mean: f64, variance: f64, dof: f64, shared: f64) -> LogStudent {
        LogStudent {
            mean,
            variance,
            doubt: 0.0,
            dof,
            shared,
            shape: None,
        }
    }

    // mpmath 1.3, 30 digits: exp of the root of I(...) for Student's t.
    #[test]
    fn quantiles_agree_with_thirty_digits() {
        for (dof, p, want) in [
            (2.29, 0.9, 1.784815125889426),
            (2.29, 0.1, -1.784815125889425),
            (5.0, 0.8, 0.9195437802408262),
            (41.7, 0.9, 1.302185249726079),
            (350.0, 0.8, 0.8426494133372433),
        ] {
            let got = line(0.0, 1.0, dof, 0.0).quantile(p).ln();
            assert!((got - want).abs() < 1e-9, "{dof}, {p}: {got} is not {want}");
        }
    }

    #[test]
    fn the_middle_is_the_median() {
        let median = line(4.0, 0.1, 2.3, 0.0).quantile(0.5);
        assert!((median - 4.0_f64.exp()).abs() < 1e-9);
    }

    #[test]
    fn a_given_band_holds_four_times_in_five() {
        let given = LogStudent::from_band(60.0, 240.0).expect("a band");
        assert!((given.quantile(0.1) - 60.0).abs() < 1e-9);
        assert!((given.quantile(0.5) - 120.0).abs() < 1e-9);
        assert!((given.quantile(0.9) - 240.0).abs() < 1e-9);
        let sure = LogStudent::from_band(90.0, 90.0).expect("a band of no width");
        assert!((sure.quantile(0.9) - 90.0).abs() < 1e-9);
        for (low, high) in [
            (0.0, 10.0),
            (20.0, 10.0),
            (f64::NAN, 10.0),
            (1.0, f64::INFINITY),
        ] {
            assert_eq!(LogStudent::from_band(low, high), None);
        }
    }

    #[test]
    fn no_line_or_no_draw_has_no_total() {
        assert_eq!(total(&[], 1, 100), None);
        assert_eq!(total(&[line(4.0, 0.1, 5.0, 0.1)], 1, 0), None);
        assert_eq!(total(&[line(f64::NAN, 0.1, 5.0, 0.1)], 1, 100), None);
    }

    #[test]
    fn draws_of_one_line_are_its_own_distribution() {
        let alone = line(4.5, 0.09, 5.0, 0.4);
        let drawn = total(&[alone], 3, DRAWS).expect("a line");
        for p in [0.1, 0.5, 0.8, 0.9] {
            let share = drawn.quantile(p) / alone.quantile(p);
            assert!((share - 1.0).abs() < 0.015, "{p}: {share}");
        }
    }

    #[test]
    fn what_lines_share_widens_their_total() {
        let width = |shared| {
            let drawn = total(&[line(4.0, 0.08, 20.0, shared); 4], 5, DRAWS).expect("lines");
            drawn.quantile(0.9) - drawn.quantile(0.1)
        };
        assert!(width(0.0) < 0.8 * width(0.5));
    }

    #[test]
    fn a_given_line_and_a_seen_one_add_up() {
        let given = LogStudent::from_band(60.0, 60.0).expect("a band of no width");
        let seen = line(4.0, 0.02, 8.0, 0.2);
        let drawn = total(&[given, seen], 9, DRAWS).expect("two lines");
        let want = 60.0 + seen.quantile(0.8);
        assert!((drawn.quantile(0.8) / want - 1.0).abs() < 0.01);
    }

    #[test]
    fn the_same_seed_gives_the_same_total() {
        let lines = [line(4.0, 0.1, 3.0, 0.2), line(3.0, 0.2, 6.0, 0.1)];
        assert_eq!(total(&lines, 11, 500), total(&lines, 11, 500));
        assert_ne!(total(&lines, 11, 500), total(&lines, 12, 500));
    }
}
