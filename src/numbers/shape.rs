//! The shape of a record's residuals where it is not a normal's: narrower in the middle and
//! longer on the side of what went wrong. Bends the quantiles of a line; fits nothing else.
//!
//! Why: the spread of a type is found from all its residuals. Where one line in twenty takes
//! three times as long, that spread is too wide for the other nineteen, and a band meant to
//! hold 80 times in 100 holds 84; while what a job's lines share is a larger part of the narrow
//! middle than of the whole, so that a job of four lines is held 78 times only. This step comes
//! after the fit and changes none of its values. It is ours, and measured by
//! `benches/calibration`.

use super::normal;
use super::quantile::Sorted;

/// Fewer residuals than this say nothing of a shape.
pub(super) const LEAST: usize = 100;
/// The normal shape counts as so many residuals.
const NORMAL_WORTH: f64 = 50.0;

/// The shape is known at these normal scores, half a score apart, and level beyond.
const KNOTS: usize = 9;
const STEP: f64 = 0.5;
const MIDDLE: usize = KNOTS / 2;
/// A knot is the mean of the quantiles at these scores about it, so that no single residual
/// makes it.
const ABOUT: [f64; 5] = [-0.2, -0.1, 0.0, 0.1, 0.2];

/// By how much the quantiles of standardised residuals lie off the normal's, by normal score.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shape([f64; KNOTS]);

impl Shape {
    /// The shape of residuals in standard deviations; `None` for fewer than [`LEAST`], or one
    /// that is not finite.
    ///
    /// ```text
    /// off(z) = n / (n + 50) mean over d of [Q(Phi(z + d)) - (z + d)],  d = -0.2, -0.1 .. 0.2
    /// ```
    ///
    /// at `z` = -2, -1.5 .. 2; `Q` are the residuals' type 8 quantiles, `n` their number.
    pub(super) fn of(residuals: Vec<f64>) -> Option<Self> {
        if residuals.len() < LEAST {
            return None;
        }
        let count = residuals.len() as f64;
        let worth = count / (count + NORMAL_WORTH);
        let residuals = Sorted::new(residuals)?;
        let off = |z: f64| residuals.quantile(normal::cdf(z)) - z;
        Some(Self(std::array::from_fn(|knot| {
            let score = STEP * (knot as f64 - MIDDLE as f64);
            worth * ABOUT.iter().map(|d| off(score + d)).sum::<f64>() / ABOUT.len() as f64
        })))
    }

    /// A value of Student's t, bent to the shape; rises with `t`.
    ///
    /// ```text
    /// t + off(z),  z = sign(t) (8 dof + 1) / (8 dof + 3) sqrt(dof ln(1 + t^2 / dof))
    /// ```
    ///
    /// `z` is the normal score of `t`, to a hundredth or two: it grows with `t` by less than
    /// `t` does, and `off` falls by less than `z` grows, so quantiles stay in order and a line's
    /// are still exact. Source of `z`: Wallace (1959), Ann. Math. Stat. 30.
    pub(super) fn bend(&self, t: f64, dof: f64) -> f64 {
        let score = if dof.is_infinite() {
            t
        } else {
            let size = (8.0 * dof + 1.0) / (8.0 * dof + 3.0);
            t.signum() * size * (dof * libm::log1p(t * t / dof)).sqrt()
        };
        let last = KNOTS - 1;
        let place = (score / STEP + MIDDLE as f64).clamp(0.0, last as f64);
        let knot = (place as usize).min(last - 1);
        let part = place - knot as f64;
        t + self.0[knot] + part * (self.0[knot + 1] - self.0[knot])
    }

    /// What is shared in a job, as a part of the middle's spread and not of the whole: `shared`
    /// over the cube of the middle's width.
    ///
    /// The square would make it the same variance over a smaller one. The cube was better on
    /// the diaries that it was chosen with and on fresh ones: below the middle, where nothing
    /// goes three times as fast, the spread is narrower still.
    pub(super) fn shared(&self, shared: f64) -> f64 {
        shared / self.width().powi(3)
    }

    /// The spread from one standard deviation below to one above, 1 for a normal.
    fn width(&self) -> f64 {
        let (below, above) = (self.0[MIDDLE - 2], self.0[MIDDLE + 2]);
        1.0 + (above - below) / (4.0 * STEP)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The middles of `count` equal parts of a normal.
    fn normal_scores(count: usize) -> Vec<f64> {
        (0..count)
            .map(|at| normal::quantile((at as f64 + 0.5) / count as f64))
            .collect()
    }

    /// One in twenty is 3 deviations up; the others are narrower for it.
    fn with_trouble(count: usize) -> Vec<f64> {
        let mut residuals: Vec<f64> = normal_scores(count).iter().map(|z| 0.7 * z).collect();
        for at in (0..count).step_by(20) {
            residuals[at] += 3.0;
        }
        residuals
    }

    #[test]
    fn few_residuals_or_odd_ones_have_no_shape() {
        assert_eq!(Shape::of(vec![]), None);
        assert_eq!(Shape::of(normal_scores(LEAST - 1)), None);
        assert_eq!(Shape::of(vec![f64::NAN; LEAST]), None);
    }

    #[test]
    fn normal_residuals_bend_next_to_nothing() {
        let shape = Shape::of(normal_scores(500)).expect("enough");
        for t in [-3.0, -1.3, 0.0, 0.84, 2.2] {
            assert!((shape.bend(t, 8.0) - t).abs() < 0.02);
        }
        assert!((shape.shared(0.2) - 0.2).abs() < 0.005);
    }

    #[test]
    fn trouble_narrows_the_middle_and_shares_more() {
        let shape = Shape::of(with_trouble(500)).expect("enough");
        assert!(shape.bend(-1.28, 30.0) > -1.28 * 0.85);
        assert!(shape.bend(0.84, 30.0) < 0.84);
        assert!(shape.bend(2.5, 30.0) > 2.5);
        assert!(shape.shared(0.2) > 0.3);
    }

    #[test]
    fn equal_residuals_have_a_narrow_shape_and_stay_in_order() {
        let shape = Shape::of(vec![0.0; 1000]).expect("enough");
        assert!(shape.bend(-1.0, 9.0) < shape.bend(1.0, 9.0));
        assert!(shape.width() > 0.0);
    }

    /// A thousand that are 0 are off a normal by all of its score, and the normal counts as 50: of a
    /// score is left 50 / 1050, a twenty-first.
    #[test]
    fn a_knot_stands_at_the_middle_of_the_scores_about_it() {
        let shape = Shape::of(vec![0.0; 1000]).expect("enough");
        for score in [-2.0, -1.0, 0.0, 1.0, 2.0] {
            let bent = shape.bend(score, f64::INFINITY);
            assert!((bent - score / 21.0).abs() < 1e-12, "{score}: {bent}");
        }
    }

    proptest! {
        #[test]
        fn quantiles_stay_in_order(
            residuals in prop::collection::vec(-4.0..6.0_f64, LEAST..200),
            dof in prop::sample::select(vec![1.5, 2.3, 5.0, 40.0, f64::INFINITY]),
        ) {
            let shape = Shape::of(residuals).expect("enough");
            let mut before = f64::NEG_INFINITY;
            for step in -80..=80 {
                let bent = shape.bend(f64::from(step) / 10.0, dof);
                prop_assert!(before < bent);
                before = bent;
            }
            prop_assert!(shape.width() > 0.0);
        }
    }

    #[test]
    fn a_hundred_residuals_have_a_shape() {
        assert!(Shape::of(normal_scores(LEAST)).is_some());
    }

    /// By a tenth of the normal score, which at t = 1 and 4 degrees of freedom is
    /// 33/35 sqrt(4 ln 1.25) = 0.8907751 (Wallace; the exact one is 0.8892).
    #[test]
    fn a_straight_shape_bends_by_its_share_of_the_score() {
        let shape = Shape(std::array::from_fn(|knot| 0.1 * STEP * (knot as f64 - 4.0)));
        let size = 33.0 / 35.0 * (4.0 * 1.25_f64.ln()).sqrt();
        assert!((size - 0.890_775_1).abs() < 1e-6);
        assert!((shape.bend(1.0, 4.0) - (1.0 + 0.1 * size)).abs() < 1e-14);
        assert!((shape.bend(-1.0, 4.0) + (1.0 + 0.1 * size)).abs() < 1e-14);
        // Level beyond two scores.
        assert!((shape.bend(5.0, f64::INFINITY) - 5.2).abs() < 1e-14);
        // Wider by a tenth: its cube.
        assert!((shape.shared(0.2) - 0.2 / 1.331).abs() < 1e-14);
    }
}
