//! How sure a median is: the BCa interval over the exact bootstrap distribution of the
//! median. Draws no random numbers, so the answer is the same on every machine; does no
//! other statistic than the median.

use super::normal::{self, Confidence};
use super::quantile::Sorted;
use super::resampled::Resampled;

/// With fewer observations than this an interval is left out: the text says why.
pub const LEAST_FOR_INTERVAL: usize = 5;

/// Two medians that differ by less than this share of themselves differ by rounding
/// alone, and count as tied.
const TIE: f64 = 1e-12;

/// An interval of a median, in the sample's unit, with what its ends were worked out from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MedianInterval {
    /// Lower end, in the unit of the sample.
    pub low: f64,
    /// Upper end, in the unit of the sample.
    pub high: f64,
    /// How far the bootstrap medians lie to one side of the sample's own, in standard
    /// deviations of a normal.
    pub bias: f64,
    /// How fast the spread of the median changes with the median; no unit.
    pub acceleration: f64,
    /// The bootstrap shares that `low` and `high` are read at.
    pub levels: [f64; 2],
}

/// The BCa interval of the median of `sample`; `None` with fewer than
/// [`LEAST_FOR_INTERVAL`] values. Equal values give an interval of no width.
///
/// ```text
/// level(z)     = Phi(b + (b + z) / (1 - a (b + z))),  z = -+ the confidence's quantile
/// b            = Phi^-1(P(t* < t) + P(t* = t) / 2)
/// a            = sum d^3 / (6 (sum d^2)^1.5),  d = mean of the t(-i), less t(-i)
/// end          = least bootstrap median whose cumulative share reaches the level
/// ```
///
/// `t` is the sample's median, `t*` that of a resample, `t(-i)` that of the sample without
/// value `i`; `a` is 0 where all `t(-i)` are equal, which leaves a bias-corrected interval.
///
/// Takes about the root of n steps for each bootstrap share asked, and a few dozen shares.
/// Sources: Efron (1987), JASA 82; Efron and Tibshirani (1993), 14.9 to 14.15; Maritz and
/// Jarrett (1978), JASA 73, for the distribution.
pub fn median_interval(sample: &Sorted, confidence: Confidence) -> Option<MedianInterval> {
    if sample.count() < LEAST_FOR_INTERVAL {
        return None;
    }
    let medians = Resampled::of(sample);
    let median = sample.median();
    let tie = TIE * median.abs();
    let below = medians.share(|value| value < median - tie);
    let up_to = medians.share(|value| value <= median + tie);
    let bias = normal::quantile(below + (up_to - below) / 2.0);
    let acceleration = acceleration(sample);
    let z = confidence.upper_z();
    let levels = [-z, z].map(|z| level(bias, acceleration, z));
    let [low, high] = levels.map(|level| medians.least_reaching(level));
    Some(MedianInterval {
        low,
        high,
        bias,
        acceleration,
        levels,
    })
}

/// The bootstrap share that stands for the normal quantile `z`. Where the correction runs
/// over its pole, which takes a confidence of more than 0.999, the level is the end it
/// was running to.
fn level(bias: f64, acceleration: f64, z: f64) -> f64 {
    let shifted = bias + z;
    let room = 1.0 - acceleration * shifted;
    if room > 0.0 {
        normal::cdf(bias + shifted / room)
    } else {
        normal::cdf(shifted.signum() * f64::INFINITY)
    }
}

/// The jackknife's acceleration of a median. Leaving one value out gives at most three
/// medians: one for those below the middle, one for the middle, one for those above.
fn acceleration(sample: &Sorted) -> f64 {
    let values = sample.values();
    let half = values.len() / 2;
    if values.len().is_multiple_of(2) {
        // Half the values give one median and half the other, so the cubes cancel.
        return 0.0;
    }
    let (before, middle, after) = (values[half - 1], values[half], values[half + 1]);
    let without = [
        (half as f64, f64::midpoint(middle, after)),
        (1.0, f64::midpoint(before, after)),
        (half as f64, f64::midpoint(before, middle)),
    ];
    // Taken from the middle value, so that equal medians give differences of exactly 0.
    let mean = without
        .iter()
        .map(|(times, median)| times * (median - middle))
        .sum::<f64>()
        / values.len() as f64;
    let sum = |power: i32| -> f64 {
        without
            .iter()
            .map(|(times, median)| times * (mean - (median - middle)).powi(power))
            .sum()
    };
    let squares = sum(2);
    if squares == 0.0 {
        0.0
    } else {
        sum(3) / (6.0 * squares.powf(1.5))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn sorted(values: &[f64]) -> Sorted {
        Sorted::new(values.to_vec()).expect("the tests give finite values")
    }

    fn ninety(values: &[f64]) -> Option<MedianInterval> {
        median_interval(&sorted(values), Confidence::NINETY)
    }

    fn near(got: f64, want: f64, within: f64) {
        assert!((got - want).abs() <= within, "{got:e} is not {want:e}");
    }

    #[test]
    fn too_few_values_have_no_interval() {
        // None at all can not be a sample: see `quantile`.
        assert_eq!(ninety(&[60.0]), None);
        assert_eq!(ninety(&[60.0, 75.0]), None);
        assert_eq!(ninety(&[60.0, 75.0, 80.0, 90.0]), None);
        assert!(ninety(&[60.0, 75.0, 80.0, 90.0, 95.0]).is_some());
    }

    #[test]
    fn equal_values_have_an_interval_of_no_width() {
        for count in [5, 6, 1000, 1001] {
            for value in [0.1, 0.0] {
                let interval = ninety(&vec![value; count]).expect("enough values");
                assert_eq!((interval.low, interval.high), (value, value));
                assert_eq!((interval.bias, interval.acceleration), (0.0, 0.0));
            }
        }
    }

    #[test]
    fn medians_equal_but_for_rounding_are_tied() {
        // In tenths, the midpoints of (2, 4) and (1, 5) are 3; in binary they differ.
        assert_ne!(f64::midpoint(0.2, 0.4), f64::midpoint(0.1, 0.5));
        let plain = ninety(&[1.0, 2.0, 2.0, 4.0, 5.0, 5.0]).expect("six values");
        let interval = ninety(&[0.1, 0.2, 0.2, 0.4, 0.5, 0.5]).expect("six values");
        assert!(plain.bias.abs() > 0.01, "{}", plain.bias);
        near(interval.bias, plain.bias, 1e-12);
        near(interval.levels[0], plain.levels[0], 1e-12);
        // Whatever the size, here in powers of two, which round nothing: a tie is a share of the median.
        for size in [2.0_f64.powi(30), 2.0_f64.powi(-30)] {
            let sized = [0.1, 0.2, 0.2, 0.4, 0.5, 0.5].map(|value: f64| value * size);
            near(ninety(&sized).expect("six values").bias, plain.bias, 1e-12);
        }
    }

    // Worked with 60 digits by Python integers and mpmath 1.3: the sum over the binomial
    // for one rank, over all pairs for two; x[i] = i*i/n + i/3, whole parts.
    fn curved(count: u32) -> Vec<f64> {
        (1..=count)
            .map(|i| f64::from(i * i / count + i / 3))
            .collect()
    }

    #[test]
    fn intervals_of_thousands_agree_with_sixty_digits() {
        for (count, acceleration, low_level, ends) in [
            (1000, 0.0, 0.05, (382.5, 451.5)),
            (
                1001,
                -5.069735741734508e-06,
                0.04999858535545924,
                (383.0, 452.0),
            ),
            (10_000, 0.0, 0.05, (4057.0, 4277.0)),
            (
                10_001,
                -1.604763393579302e-07,
                0.04999995522101433,
                (4058.0, 4277.0),
            ),
        ] {
            let interval = ninety(&curved(count)).expect("enough values");
            near(interval.bias, 0.0, 1e-9);
            near(interval.acceleration, acceleration, 1e-15);
            near(interval.levels[0], low_level, 1e-9);
            assert_eq!((interval.low, interval.high), ends);
        }
    }

    #[test]
    fn intervals_of_many_ties_agree_with_sixty_digits() {
        for (count, bias, levels, ends) in [
            (
                1000_u32,
                -0.2007961988548849,
                [0.02035625389262162, 0.8931142068786969],
                (220.0, 260.0),
            ),
            (
                1001,
                -0.1695660973502829,
                [0.02362871027069794, 0.9041763465933778],
                (220.0, 260.0),
            ),
        ] {
            let values: Vec<f64> = (1..=count)
                .map(|i| f64::from(i * i / count / 15 * 5 + i / 30 * 10))
                .collect();
            let interval = ninety(&values).expect("enough values");
            near(interval.bias, bias, 1e-9);
            near(interval.levels[0], levels[0], 1e-9);
            near(interval.levels[1], levels[1], 1e-9);
            assert_eq!((interval.low, interval.high), ends);
        }
    }

    #[test]
    fn a_correction_past_its_pole_stays_a_share() {
        assert_eq!(level(0.0, 0.5, 3.0), 1.0);
        assert_eq!(level(0.0, -0.5, -3.0), 0.0);
        near(level(0.0, 0.0, 0.0), 0.5, 1e-15);
    }

    proptest! {
        #[test]
        fn an_interval_holds_its_median_and_lies_in_the_sample(
            minutes in prop::collection::vec(1..200_u32, 5..120),
        ) {
            let sample = sorted(&minutes.into_iter().map(f64::from).collect::<Vec<_>>());
            let interval = median_interval(&sample, Confidence::NINETY).expect("5 or more");
            prop_assert!(sample.least() <= interval.low);
            prop_assert!(interval.low <= sample.median());
            prop_assert!(sample.median() <= interval.high);
            prop_assert!(interval.high <= sample.greatest());
        }
    }
}
