//! The standard normal distribution, and how sure an interval is asked to be. Does not
//! build intervals: `bootstrap` and `trend` do.

use statrs::function::erf::erfc_inv;
use statrs::function::gamma::gamma_ur;
use std::f64::consts::SQRT_2;

/// How often an interval made this way holds the true value: a share between 0 and 1,
/// both excluded.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Confidence(f64);

impl Confidence {
    /// 90 in 100: what an interval of a median is given with.
    pub const NINETY: Self = Self(0.90);
    /// 95 in 100: what the interval of a trend is given with.
    pub const NINETY_FIVE: Self = Self(0.95);

    /// A confidence from a share, such as 0.9; `None` unless it is above 0 and below 1.
    pub fn from_share(share: f64) -> Option<Self> {
        (share > 0.0 && share < 1.0).then_some(Self(share))
    }

    /// What lies beyond each end of a two-sided interval: 0.05 for 90 in 100.
    pub fn each_tail(self) -> f64 {
        (1.0 - self.0) / 2.0
    }

    /// The normal quantile of the upper end of a two-sided interval: `z((1 + share) / 2)`,
    /// 1.645 for 90 in 100. The lower end is its negative.
    pub fn upper_z(self) -> f64 {
        quantile(0.5 + self.0 / 2.0)
    }
}

/// The share of a standard normal distribution that lies at or below `z`.
///
/// ```text
/// P(Z <= z) = P(|Z| >= |z|) / 2 for z < 0, else 1 less that
/// ```
///
/// A far lower tail keeps its digits. Source: Abramowitz and Stegun (1964), 26.2.
pub fn cdf(z: f64) -> f64 {
    let tail = both_tails(z) / 2.0;
    if z < 0.0 { tail } else { 1.0 - tail }
}

/// The share of a standard normal distribution at least as far from 0 as `z`, either way.
///
/// ```text
/// P(|Z| >= |z|) = erfc(|z| / sqrt 2) = Q(1/2, z^2 / 2)
/// ```
///
/// `Q` is the upper regularised gamma function: good to 13 digits in `statrs` 0.19, while
/// its `erfc` has 10. Source: Abramowitz and Stegun (1964), 6.5.17.
pub fn both_tails(z: f64) -> f64 {
    let half_square = z * z / 2.0;
    // The gamma function refuses both ends of its range.
    if half_square == 0.0 {
        1.0
    } else if half_square.is_infinite() {
        0.0
    } else {
        gamma_ur(0.5, half_square)
    }
}

/// The value that a standard normal variable is at or below with probability `p`:
/// the inverse of [`cdf`], minus infinity at 0 and plus infinity at 1.
///
/// ```text
/// z = -sqrt 2 * erfc_inv(2p)
/// ```
///
/// Good to 15 digits in `statrs` 0.19, so nothing is refined here. Source: Abramowitz and
/// Stegun (1964), 26.2.
pub fn quantile(p: f64) -> f64 {
    // Taken from 0, so that one half gives no negative zero.
    0.0 - SQRT_2 * erfc_inv(2.0 * p)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the functions are held to here: ten times finer than the finest check.
    const RELATIVE: f64 = 1e-13;

    fn close(got: f64, want: f64) {
        assert!(
            (got - want).abs() <= RELATIVE * want.abs(),
            "{got:e} is not {want:e}"
        );
    }

    // Worked to 40 digits with mpmath 1.3: sqrt(2) * erfinv(2p - 1), the first by
    // root-finding on log(ncdf(z)).
    #[test]
    fn quantiles_agree_with_forty_digits() {
        for (p, z) in [
            (1e-300, -37.0470962993612),
            (1e-10, -6.361340902404057),
            (0.001, -3.0902323061678136),
            (0.02117490148, -2.0300662756922736),
            (0.05, -1.6448536269514726),
            (0.3, -0.5244005127080408),
            (0.6, 0.2533471031357997),
            (0.95, 1.6448536269514722),
            (0.975, 1.9599639845400538),
            (0.999, 3.090232306167813),
        ] {
            close(quantile(p), z);
        }
    }

    // Worked to 40 digits with mpmath 1.3: ncdf(z).
    #[test]
    fn shares_agree_with_forty_digits() {
        for (z, share) in [
            (-37.0, 5.725571222524577e-300),
            (-8.2, 1.2019351542735859e-16),
            (-4.1280665228441, 1.829131460832171e-05),
            (-1.96, 0.024997895148220435),
            (-0.3, 0.3820885778110474),
            (0.7, 0.758036347776927),
            (2.5, 0.9937903346742238),
            (6.0, 0.9999999990134123),
        ] {
            close(cdf(z), share);
        }
    }

    #[test]
    fn the_ends_are_infinite_and_the_middle_is_zero() {
        assert_eq!(quantile(0.0), f64::NEG_INFINITY);
        assert_eq!(quantile(1.0), f64::INFINITY);
        assert_eq!(quantile(0.5), 0.0);
        assert_eq!((cdf(f64::NEG_INFINITY), cdf(f64::INFINITY)), (0.0, 1.0));
    }

    #[test]
    fn both_tails_hold_from_the_middle_to_the_end() {
        close(both_tails(-1.9599639845400538), 0.05);
        close(both_tails(1.9599639845400538), 0.05);
        for z in [0.0, 1e-200, -1e-200] {
            assert_eq!(both_tails(z), 1.0);
        }
        for z in [1e200, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(both_tails(z), 0.0);
        }
    }

    #[test]
    fn a_confidence_lies_between_none_and_all() {
        for share in [0.0, 1.0, -0.5, 90.0, f64::NAN] {
            assert_eq!(Confidence::from_share(share), None);
        }
        assert_eq!(Confidence::from_share(0.9), Some(Confidence::NINETY));
        close(Confidence::NINETY_FIVE.upper_z(), 1.9599639845400538);
    }
}
