//! A share, and how sure it is: Wilson's interval of a proportion. Does not count what the
//! share is of.

use super::normal::Confidence;

/// A share of trials, with its interval; all three between 0 and 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// Successes over trials.
    pub estimate: f64,
    /// Lower end; exactly 0 where there was no success.
    pub low: f64,
    /// Upper end; exactly 1 where every trial was one.
    pub high: f64,
}

/// The share of `successes` in `trials` with Wilson's score interval, without a correction
/// for continuity; `None` for no trials, or more successes than trials.
///
/// ```text
/// p = k/n,  c = (p + z^2/2n) / (1 + z^2/n),  h = z sqrt(p(1 - p)/n + z^2/4n^2) / (1 + z^2/n)
/// low = c - h,  high = c + h
/// ```
///
/// Source: Wilson (1927), JASA 22.
pub fn wilson(successes: usize, trials: usize, confidence: Confidence) -> Option<Share> {
    if trials == 0 || successes > trials {
        return None;
    }
    let n = trials as f64;
    let estimate = successes as f64 / n;
    let z = confidence.upper_z();
    let square = z * z;
    let whole = 1.0 + square / n;
    let centre = (estimate + square / (2.0 * n)) / whole;
    let half = z * (estimate * (1.0 - estimate) / n + square / (4.0 * n * n)).sqrt() / whole;
    // Both ends are exact at no success and at nothing else, where rounding leaves dust.
    Some(Share {
        estimate,
        low: if successes == 0 { 0.0 } else { centre - half },
        high: if successes == trials {
            1.0
        } else {
            centre + half
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn no_trials_have_no_share() {
        assert_eq!(wilson(0, 0, Confidence::NINETY_FIVE), None);
        assert_eq!(wilson(3, 2, Confidence::NINETY_FIVE), None);
    }

    #[test]
    fn none_and_all_stop_at_the_ends() {
        let none = wilson(0, 7, Confidence::NINETY).expect("seven trials");
        assert_eq!((none.estimate, none.low), (0.0, 0.0));
        let all = wilson(7, 7, Confidence::NINETY).expect("seven trials");
        assert_eq!((all.estimate, all.high), (1.0, 1.0));
        assert!((none.high - (1.0 - all.low)).abs() < 1e-15);
    }

    #[test]
    fn one_trial_says_little() {
        let one = wilson(1, 1, Confidence::NINETY_FIVE).expect("one trial");
        // By hand: the lower end of 1 in 1 is 1 / (1 + z^2).
        assert!((one.low - 1.0 / (1.0 + 3.841458820694124)).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn the_interval_holds_its_share(trials in 1..5000_usize, part in 0.0..=1.0_f64) {
            let successes = (trials as f64 * part) as usize;
            let share = wilson(successes, trials, Confidence::NINETY_FIVE).expect("trials");
            prop_assert!(0.0 <= share.low && share.low <= share.estimate);
            prop_assert!(share.estimate <= share.high && share.high <= 1.0);
        }
    }
}
