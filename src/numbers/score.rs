//! How good forecasts were, once the outcome is known: the pinball loss of a quantile, and how
//! often a band held. Makes no forecast.

use super::normal::Confidence;
use super::wilson::{Share, wilson};

/// What a forecast of a chance `level` cost, in the outcome's unit: 0 where it was met.
///
/// ```text
/// level (actual - forecast) where it fell short, (1 - level) (forecast - actual) where it was over
/// ```
///
/// The mean over many outcomes is least for the true quantile. Source: Koenker and Bassett
/// (1978), Econometrica 46; Gneiting and Raftery (2007), JASA 102, on proper scores.
pub fn pinball(level: f64, forecast: f64, actual: f64) -> f64 {
    let short = actual - forecast;
    if short >= 0.0 {
        level * short
    } else {
        (level - 1.0) * short
    }
}

/// One forecast with its outcome, all in one unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// Forecast to be undercut one time in ten.
    pub q10: f64,
    /// Forecast to hold eight times in ten.
    pub q80: f64,
    /// Forecast to hold nine times in ten.
    pub q90: f64,
    /// What it came to.
    pub actual: f64,
}

/// How a row of forecasts held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Calibration {
    /// How many there were.
    pub count: usize,
    /// How often the outcome lay from `q10` to `q90`: 80 in 100 if all is right.
    pub band: Share,
    /// How often it was at most `q80`: 80 in 100 if all is right.
    pub upper: Share,
    /// The mean pinball loss of `q80`, in the outcome's unit.
    pub pinball: f64,
}

/// How the forecasts held; `None` for none.
pub fn calibration(outcomes: &[Outcome], confidence: Confidence) -> Option<Calibration> {
    let count = outcomes.len();
    let share = |holds: fn(&Outcome) -> bool| {
        wilson(
            outcomes.iter().filter(|one| holds(one)).count(),
            count,
            confidence,
        )
    };
    let losses = outcomes.iter().map(|one| pinball(0.8, one.q80, one.actual));
    Some(Calibration {
        count,
        band: share(|one| (one.q10..=one.q90).contains(&one.actual))?,
        upper: share(|one| one.actual <= one.q80)?,
        pinball: losses.sum::<f64>() / count as f64,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numbers::quantile::Sorted;

    #[test]
    fn falling_short_of_a_high_forecast_costs_more_than_being_over() {
        assert_eq!(pinball(0.8, 100.0, 110.0), 8.0);
        assert!((pinball(0.8, 100.0, 90.0) - 2.0).abs() < 1e-12);
        assert_eq!(pinball(0.8, 100.0, 100.0), 0.0);
        // At one half it is half the distance, either way.
        assert_eq!(pinball(0.5, 100.0, 90.0), pinball(0.5, 90.0, 100.0));
    }

    #[test]
    fn the_quantile_costs_least() {
        let sample: Vec<f64> = (1..=99).map(f64::from).collect();
        let cost = |forecast: f64| -> f64 {
            sample
                .iter()
                .map(|&actual| pinball(0.8, forecast, actual))
                .sum()
        };
        let best = Sorted::new(sample.clone()).expect("values").quantile(0.8);
        assert!(cost(best) < cost(best - 2.0) && cost(best) < cost(best + 2.0));
    }

    #[test]
    fn no_forecast_has_no_calibration() {
        assert_eq!(calibration(&[], Confidence::NINETY_FIVE), None);
    }

    #[test]
    fn both_ends_of_a_band_are_in_it() {
        let outcome = |actual| Outcome {
            q10: 10.0,
            q80: 18.0,
            q90: 20.0,
            actual,
        };
        let all = [10.0, 18.0, 20.0, 9.0, 21.0].map(outcome);
        let held = calibration(&all, Confidence::NINETY_FIVE).expect("five");
        assert_eq!(
            (held.count, held.band.estimate, held.upper.estimate),
            (5, 0.6, 0.6)
        );
        // By hand: 0.2 (8 + 0 + 9) + 0.8 (2 + 3), over five.
        assert!((held.pinball - 7.4 / 5.0).abs() < 1e-12);
    }
}
