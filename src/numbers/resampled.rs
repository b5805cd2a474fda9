//! The exact distribution of the median of a resample: what infinitely many draws would
//! come to, without drawing. Makes no interval: see `bootstrap`.

use super::quantile::Sorted;
use statrs::function::beta::beta_reg;

/// The exact distribution of the median of n draws with replacement from n values.
pub(super) enum Resampled<'a> {
    /// n odd: the median is one order statistic.
    Single(&'a [f64]),
    /// n even: it is halfway between the two middle ones.
    Pairs(Pairs<'a>),
}

impl<'a> Resampled<'a> {
    pub(super) fn of(sample: &'a Sorted) -> Self {
        let values = sample.values();
        if values.len().is_multiple_of(2) {
            Self::Pairs(Pairs::of(values))
        } else {
            Self::Single(values)
        }
    }

    /// The share of resamples whose median `keeps` holds for. `keeps` must hold up to some
    /// value and for none above it.
    pub(super) fn share(&self, keeps: impl Fn(f64) -> bool) -> f64 {
        match self {
            Self::Single(values) => {
                middle_within(values.len(), values.partition_point(|&value| keeps(value)))
            }
            Self::Pairs(pairs) => pairs.share(keeps),
        }
    }

    /// The least median whose cumulative share is `level` or more.
    pub(super) fn least_reaching(&self, level: f64) -> f64 {
        match self {
            Self::Single(values) => {
                let (mut below, mut reached) = (0, values.len());
                while reached - below > 1 {
                    let rank = below.midpoint(reached);
                    if middle_within(values.len(), rank) >= level {
                        reached = rank;
                    } else {
                        below = rank;
                    }
                }
                values[reached - 1]
            }
            Self::Pairs(pairs) => pairs.least_reaching(level),
        }
    }
}

/// The chance that the (lower) middle of n draws from n ranks is at most `rank`: that a
/// majority, or for even n at least half, of the draws are.
///
/// ```text
/// P(Bin(n, rank / n) >= k) = I(rank / n; k, n - k + 1),  k = ceil(n / 2)
/// ```
fn middle_within(count: usize, rank: usize) -> f64 {
    if rank == 0 {
        0.0
    } else if rank >= count {
        1.0
    } else {
        let needed = count.div_ceil(2);
        beta_reg(
            needed as f64,
            (count - needed + 1) as f64,
            rank as f64 / count as f64,
        )
    }
}

/// The middle pair (I, J) of n = 2m draws from n ranks, counted from 1.
///
/// ```text
/// P(I = i, J > j) = C(2m, m) (a(i) - a(i - 1)) b(j + 1)   for j >= i
/// a(i) = (i / n)^m,  b(j) = ((n - j + 1) / n)^m
/// ```
///
/// m draws are at most i with i among them, the other m above j. There are n^2 / 2 pairs,
/// but a share needs only, for each i, the largest j whose midpoint with i still counts,
/// and that j falls as i rises: one walk down the staircase. Ranks outside `window` are
/// out of the middle with a chance under e^-40 each way (Hoeffding 1963), so the walk is
/// over about the root of n of them; up to n = 80 over all.
pub(super) struct Pairs<'a> {
    values: &'a [f64],
    /// First and last rank that can be in the middle.
    window: (usize, usize),
    /// For each rank of the window, the logarithm of `2^m C (a(i) - a(i - 1))`, where
    /// `C = C(2m, m) / 4^m`.
    log_lower: Vec<f64>,
    /// For each rank of the window, the logarithm of `2^m b(j)`.
    log_upper: Vec<f64>,
}

impl<'a> Pairs<'a> {
    fn of(values: &'a [f64]) -> Self {
        let count = values.len();
        let half = count / 2;
        let m = half as f64;
        let reach = (20.0 * count as f64).sqrt().ceil() as usize + 1;
        let window = (half.saturating_sub(reach).max(1), (half + reach).min(count));
        // C(2m, m) / 4^m as the product of (2k - 1) / 2k: no factorial, no cancelling.
        let central: f64 = (1..=half).map(|k| 1.0 - 0.5 / k as f64).product();
        // The logarithm of (2 part / n)^m, by how far `part` is from the half.
        let log_power = |part: usize| m * ((part as f64 - m) / m).ln_1p();
        let (log_lower, log_upper) = (window.0..=window.1)
            .map(|rank| {
                // a(i) - a(i - 1) = a(i) (1 - (1 - 1/i)^m).
                let newest = -(m * (-1.0 / rank as f64).ln_1p()).exp_m1();
                (
                    central.ln() + log_power(rank) + newest.ln(),
                    log_power(count - rank + 1),
                )
            })
            .unzip();
        Self {
            values,
            window,
            log_lower,
            log_upper,
        }
    }

    fn midpoint(&self, lower: usize, upper: usize) -> f64 {
        f64::midpoint(self.values[lower - 1], self.values[upper - 1])
    }

    fn share(&self, keeps: impl Fn(f64) -> bool) -> f64 {
        let (first, last) = self.window;
        // The midpoint of a value with itself is that value.
        let kept = self.values.partition_point(|&value| keeps(value));
        let mut share = middle_within(self.values.len(), kept);
        let mut upper = last;
        for lower in first..=kept.min(last) {
            while !keeps(self.midpoint(lower, upper)) {
                upper -= 1;
            }
            // The pair (lower, upper) is the last that counts; past the window's end no
            // larger one is to be taken away.
            if upper < last {
                share -= (self.log_lower[lower - first] + self.log_upper[upper + 1 - first]).exp();
            }
        }
        share.clamp(0.0, 1.0)
    }

    /// Halves the span of values, and moves each end on to a median that can occur, until
    /// none is left between: a few dozen shares for anything measured.
    fn least_reaching(&self, level: f64) -> f64 {
        let mut reached = self.values[self.window.1 - 1];
        let mut next = self.values[self.window.0 - 1];
        while next < reached {
            let halfway = f64::midpoint(next, reached);
            let pivot = if halfway < reached { halfway } else { next };
            if self.share(|value| value <= pivot) >= level {
                reached = self.largest_up_to(pivot);
            } else {
                next = self.least_above(pivot);
            }
        }
        reached
    }

    /// The largest midpoint within the window that is at most `limit`, which must not be
    /// below the window's least value.
    fn largest_up_to(&self, limit: f64) -> f64 {
        let (first, last) = self.window;
        let mut largest = f64::NEG_INFINITY;
        let mut upper = last;
        for lower in first..=last {
            if self.values[lower - 1] > limit {
                break;
            }
            while self.midpoint(lower, upper) > limit {
                upper -= 1;
            }
            largest = largest.max(self.midpoint(lower, upper));
        }
        largest
    }

    /// The least midpoint within the window that is above `limit`, which must be below the
    /// window's largest value.
    fn least_above(&self, limit: f64) -> f64 {
        let (first, last) = self.window;
        let mut least = f64::INFINITY;
        // Ranks from `upper` on make a midpoint above the limit; one past the end: none.
        let mut upper = last + 1;
        for lower in first..=last {
            while upper > lower && self.midpoint(lower, upper - 1) > limit {
                upper -= 1;
            }
            let upper = upper.max(lower);
            if upper <= last {
                least = least.min(self.midpoint(lower, upper));
            }
            if self.values[lower - 1] > limit {
                break;
            }
        }
        least
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn sorted(values: &[f64]) -> Sorted {
        Sorted::new(values.to_vec()).expect("the tests give finite values")
    }

    fn near(got: f64, want: f64, within: f64) {
        assert!((got - want).abs() <= within, "{got:e} is not {want:e}");
    }

    /// The medians of all n^n resamples.
    fn all_medians(sample: &Sorted) -> Vec<f64> {
        let values = sample.values();
        let count = values.len();
        let mut medians = Vec::new();
        for code in 0..count.pow(count as u32) {
            let mut rest = code;
            let mut drawn = Vec::with_capacity(count);
            for _ in 0..count {
                drawn.push(values[rest % count]);
                rest /= count;
            }
            medians.push(sorted(&drawn).median());
        }
        medians.sort_unstable_by(f64::total_cmp);
        medians
    }

    fn every_share_is_counted(sample: &Sorted) {
        let medians = all_medians(sample);
        let resampled = Resampled::of(sample);
        let all = medians.len() as f64;
        let mut support = medians.clone();
        support.dedup();
        for &median in &support {
            let below = medians.partition_point(|&other| other < median) as f64 / all;
            let up_to = medians.partition_point(|&other| other <= median) as f64 / all;
            near(resampled.share(|value| value < median), below, 1e-13);
            near(resampled.share(|value| value <= median), up_to, 1e-13);
            assert_eq!(resampled.least_reaching(below + 1e-9), median);
            assert_eq!(resampled.least_reaching(up_to - 1e-9), median);
        }
    }

    #[test]
    fn shares_are_those_of_all_resamples() {
        every_share_is_counted(&sorted(&[60.0]));
        every_share_is_counted(&sorted(&[60.0, 75.0]));
        every_share_is_counted(&sorted(&[60.0; 4]));
        every_share_is_counted(&sorted(&[15.0, 20.0, 25.0, 35.0, 90.0]));
        every_share_is_counted(&sorted(&[15.0, 20.0, 20.0, 35.0, 90.0]));
        every_share_is_counted(&sorted(&[15.0, 20.0, 25.0, 30.0, 35.0, 90.0]));
        every_share_is_counted(&sorted(&[15.0, 20.0, 20.0, 20.0, 35.0, 35.0]));
    }

    #[test]
    fn neighbours_with_no_number_between_are_told_apart() {
        // Halfway rounds to the one that ends in an even bit: 1, and the second above it.
        let next = 1.0_f64.next_up();
        every_share_is_counted(&sorted(&[next, next.next_up()]));
        every_share_is_counted(&sorted(&[0.0, 1.0, next, 2.0]));
    }

    // Worked with 60 digits by Python integers and mpmath 1.3: the sum over the binomial
    // for one rank, over the pairs for two; x[i] = i*i/n + i/3, whole parts.
    fn curved(count: u32) -> Vec<f64> {
        (1..=count)
            .map(|i| f64::from(i * i / count + i / 3))
            .collect()
    }

    #[test]
    fn shares_of_thousands_agree_with_sixty_digits() {
        for (count, rank, share) in [
            (999, 480, 0.10847389964014992),
            (10_000, 4950, 0.16107483988778432),
            (10_001, 5060, 0.882979235595718),
            (100_000, 49_700, 0.02909750048482833),
        ] {
            near(middle_within(count, rank), share, 1e-10);
        }
        for (count, median, share) in [
            (1000, 390.0, 0.10071796886640066),
            (1000, 400.0, 0.2163084940427558),
            (1000, 430.5, 0.741377216018165),
            (10_000, 4100.0, 0.15777874222035668),
            (10_000, 4200.5, 0.6931012305551394),
        ] {
            let sample = sorted(&curved(count));
            let got = Resampled::of(&sample).share(|value| value <= median);
            near(got, share, 1e-10);
        }
    }

    proptest! {
        #[test]
        fn the_least_median_that_reaches_a_level_is_the_least(
            minutes in prop::collection::vec(1..60_u32, 5..24),
            level in 0.001..0.999_f64,
        ) {
            let sample = sorted(&minutes.into_iter().map(|part| f64::from(part) / 3.0).collect::<Vec<_>>());
            let medians = Resampled::of(&sample);
            let end = medians.least_reaching(level);
            prop_assert!(medians.share(|value| value <= end) >= level);
            prop_assert!(medians.share(|value| value < end) < level + 1e-12);
        }
    }
}
