//! How often something happens, and how sure that is: a rate of events with Garwood's exact
//! interval. Knows nothing of when they happened: see `mean_cumulative`.

use super::normal::Confidence;
use statrs::distribution::{ContinuousCDF, Gamma};

/// A rate of events for one unit of exposure, with its interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    /// Events over exposure.
    pub rate: f64,
    /// Lower end; exactly 0 where there was no event.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// The rate of `events` over `exposure` (any unit: jobs, years) with the central exact
/// interval for a Poisson count; `None` unless the exposure is above 0 and finite. No event
/// gives rate 0 and a true upper end: having seen none is not proof of none.
///
/// ```text
/// low = chi2(a/2; 2k) / 2T, 0 for k = 0;   high = chi2(1 - a/2; 2k + 2) / 2T
/// ```
///
/// `a` is 1 less the confidence, half of it in each tail also for `k` = 0; half a chi-square
/// of 2k degrees of freedom is a gamma of shape k. Source: Garwood (1936), Biometrika 28.
pub fn garwood(events: usize, exposure: f64, confidence: Confidence) -> Option<Rate> {
    if !(exposure > 0.0 && exposure.is_finite()) {
        return None;
    }
    let count = events as f64;
    let tail = confidence.each_tail();
    let low = if events == 0 {
        0.0
    } else {
        gamma_quantile(count, tail) / exposure
    };
    Some(Rate {
        rate: count / exposure,
        low,
        high: gamma_quantile(count + 1.0, 1.0 - tail) / exposure,
    })
}

fn gamma_quantile(shape: f64, p: f64) -> f64 {
    Gamma::new(shape, 1.0)
        .expect("the shape is 1 or more")
        .inverse_cdf(p)
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::function::gamma::gamma_lr;

    #[test]
    fn no_exposure_has_no_rate() {
        for exposure in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(garwood(1, exposure, Confidence::NINETY), None);
        }
    }

    #[test]
    fn no_event_has_a_true_upper_end() {
        let none = garwood(0, 10.0, Confidence::NINETY).expect("exposure");
        assert_eq!((none.rate, none.low), (0.0, 0.0));
        // By hand: exp(-10 high) = 0.05.
        assert!((none.high - 20.0_f64.ln() / 10.0).abs() < 1e-12);
    }

    #[test]
    fn the_ends_leave_half_the_doubt_on_each_side() {
        for events in [1, 2, 5, 40, 196, 2000, 50_000] {
            let rate = garwood(events, 1.0, Confidence::NINETY_FIVE).expect("exposure");
            let k = events as f64;
            assert!((gamma_lr(k, rate.low) - 0.025).abs() < 1e-11);
            assert!((gamma_lr(k + 1.0, rate.high) - 0.975).abs() < 1e-11);
        }
    }
}
