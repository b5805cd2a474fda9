//! Many groups' variances, each from few values, held together: Smyth's moderated variance.
//! Works no variance out itself: it takes them with their degrees of freedom.

use super::polygamma::{inverse_trigamma, trigamma};
use super::quantile::Sorted;
use statrs::function::gamma::digamma;

/// For fitting the prior, a variance below this share of the median one counts as that: a
/// variance of 0 has no logarithm.
const LEAST_SHARE: f64 = 1e-5;

/// The prior that groups' variances are drawn to, and what each is drawn to.
#[derive(Debug, Clone, PartialEq)]
pub struct Moderated {
    /// How many degrees of freedom the prior is worth; infinite where the variances differ
    /// no more than chance would have them.
    pub prior_df: f64,
    /// The variance that all are drawn to.
    pub prior_variance: f64,
    /// By how much the logarithms differ beyond chance; 0 or less gives an infinite prior.
    pub excess: f64,
    /// The mean of the logarithms, each freed of its bias.
    pub mean_log: f64,
    /// Each group's variance, drawn to the prior, in the order given.
    pub posterior: Vec<f64>,
}

/// Draws the groups' variances towards a common one, by as much as they agree. A group of no
/// degrees of freedom takes the common one. `None` with fewer than two groups of more than
/// none, for unequal lengths, or a number that is negative or not finite, or variances that
/// are all 0.
///
/// ```text
/// e  = ln s2 - psi(df/2) + ln(df/2)
/// x  = Var(e) - mean psi'(df/2)                      Var with k - 1
/// x > 0:  d0 = 2 psi'^-1(x),  s02 = exp(mean e + psi(d0/2) - ln(d0/2))
/// else:   d0 = infinite,      s02 = sum(df s2) / sum(df)
/// drawn = (d0 s02 + df s2) / (d0 + df)
/// ```
///
/// Source: Smyth (2004), Stat. Appl. Genet. Mol. Biol. 3:3. For an infinite prior the pooled
/// variance is taken; exp(mean e), which has been used for it, is too large.
pub fn moderated_variance(variances: &[f64], df: &[f64]) -> Option<Moderated> {
    let odd = |value: &f64| !(*value >= 0.0 && value.is_finite());
    if variances.len() != df.len() || variances.iter().chain(df).any(odd) {
        return None;
    }
    let used: Vec<(f64, f64)> = variances
        .iter()
        .copied()
        .zip(df.iter().copied())
        .filter(|&(_, df)| df > 0.0)
        .collect();
    let k = used.len() as f64;
    if used.len() < 2 {
        return None;
    }
    let median = Sorted::new(used.iter().map(|&(variance, _)| variance).collect())?.median();
    let least = LEAST_SHARE * median;
    if median <= 0.0 {
        return None;
    }
    let logs: Vec<f64> = used
        .iter()
        .map(|&(variance, df)| libm::log(variance.max(least)) - log_bias(df))
        .collect();
    let mean_log = logs.iter().sum::<f64>() / k;
    let spread = logs.iter().map(|e| (e - mean_log).powi(2)).sum::<f64>() / (k - 1.0);
    let by_chance = used.iter().map(|&(_, df)| trigamma(df / 2.0)).sum::<f64>() / k;
    let excess = spread - by_chance;
    let (prior_df, prior_variance) = match inverse_trigamma(excess) {
        Some(half) => {
            let prior_df = 2.0 * half;
            (prior_df, libm::exp(mean_log + log_bias(prior_df)))
        }
        None => (f64::INFINITY, pooled_variance(&used)),
    };
    let posterior = variances
        .iter()
        .zip(df)
        .map(|(&variance, &df)| drawn(prior_df, prior_variance, variance, df))
        .collect();
    Some(Moderated {
        prior_df,
        prior_variance,
        excess,
        mean_log,
        posterior,
    })
}

/// A variance of `df` degrees of freedom, drawn towards a prior of `prior_df`.
pub(super) fn drawn(prior_df: f64, prior_variance: f64, variance: f64, df: f64) -> f64 {
    if prior_df.is_infinite() {
        prior_variance
    } else {
        (prior_df * prior_variance + df * variance) / (prior_df + df)
    }
}

/// The mean variance by degrees of freedom, over pairs of variance and degrees of freedom.
pub(super) fn pooled_variance(groups: &[(f64, f64)]) -> f64 {
    let weighted: f64 = groups.iter().map(|(variance, df)| variance * df).sum();
    weighted / groups.iter().map(|(_, df)| df).sum::<f64>()
}

/// By how much the logarithm of a variance of `df` degrees of freedom lies off that of the
/// true one, on average.
fn log_bias(df: f64) -> f64 {
    digamma(df / 2.0) - libm::log(df / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fewer_than_two_groups_have_no_prior() {
        assert_eq!(moderated_variance(&[], &[]), None);
        assert_eq!(moderated_variance(&[0.1], &[4.0]), None);
        assert_eq!(moderated_variance(&[0.1, 0.2], &[4.0, 0.0]), None);
    }

    #[test]
    fn what_is_no_variance_has_no_prior() {
        assert!(moderated_variance(&[0.1, 0.2, 0.4], &[4.0; 3]).is_some());
        assert_eq!(moderated_variance(&[0.1, 0.2, 0.4], &[4.0; 2]), None);
        assert_eq!(moderated_variance(&[0.1, 0.2], &[4.0; 3]), None);
        for odd in [-0.2, f64::NAN, f64::INFINITY] {
            assert_eq!(moderated_variance(&[0.1, 0.2, odd], &[4.0; 3]), None);
            assert_eq!(moderated_variance(&[0.1, 0.2, 0.4], &[4.0, 4.0, odd]), None);
        }
        assert_eq!(moderated_variance(&[0.0, 0.0], &[4.0, 4.0]), None);
    }

    #[test]
    fn equal_variances_are_all_the_common_one() {
        let alike = moderated_variance(&[0.1; 4], &[3.0; 4]).expect("four groups");
        assert_eq!(alike.prior_df, f64::INFINITY);
        for drawn in alike.posterior {
            assert!((drawn - 0.1).abs() < 1e-15);
        }
    }

    #[test]
    fn a_group_without_freedom_takes_the_common_variance() {
        let mixed = moderated_variance(&[0.04, 0.3, 0.09, 7.0], &[12.0, 3.0, 5.0, 0.0])
            .expect("three groups");
        assert!((mixed.posterior[3] - mixed.prior_variance).abs() < 1e-15);
    }
}
