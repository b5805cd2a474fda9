//! A sample put in order once, and what is read off it: quantiles, median, mean. Does not
//! say how sure they are: see `bootstrap`.

/// How far a position may lie from a whole rank, in units of `f64::EPSILON` relative to
/// it, and still be that rank. The factor 4 is the one R's `quantile` uses.
const RANK_FUZZ: f64 = 4.0 * f64::EPSILON;

/// A sample in ascending order, so that a report sorts once and then reads off as many
/// figures as it likes.
// Invariant: not empty, every value finite, ascending.
#[derive(Debug, Clone, PartialEq)]
pub struct Sorted(Vec<f64>);

impl Sorted {
    /// Puts a sample (any order, any unit) in order; `None` if it is empty or holds a
    /// value that is not a finite number.
    pub fn new(mut values: Vec<f64>) -> Option<Self> {
        if values.is_empty() || values.iter().any(|value| !value.is_finite()) {
            return None;
        }
        values.sort_unstable_by(f64::total_cmp);
        Some(Self(values))
    }

    /// The values, ascending; never empty.
    pub fn values(&self) -> &[f64] {
        &self.0
    }

    /// The number of values, at least 1.
    pub fn count(&self) -> usize {
        self.0.len()
    }

    /// The smallest value.
    pub fn least(&self) -> f64 {
        self.0[0]
    }

    /// The largest value.
    pub fn greatest(&self) -> f64 {
        self.0[self.0.len() - 1]
    }

    /// The value that a share `p` of what the sample was drawn from is at or below, in
    /// the sample's own unit; `p` outside 0 to 1 counts as the nearer end. One value is
    /// its own quantile for every `p`.
    ///
    /// ```text
    /// h = (n + 1/3) p + 1/3,  j = floor h,  g = h - j
    /// Q = (1 - g) x[j] + g x[j + 1],  ranks held within 1..=n
    /// ```
    ///
    /// A position that misses a whole rank by rounding alone is that rank. Source: Hyndman
    /// and Fan (1996), type 8: median-unbiased whatever the distribution.
    pub fn quantile(&self, p: f64) -> f64 {
        let count = self.0.len();
        let position = (count as f64 + 1.0 / 3.0) * p.clamp(0.0, 1.0) + 1.0 / 3.0;
        let nearest = position.round();
        let position = if (position - nearest).abs() <= RANK_FUZZ * nearest.max(1.0) {
            nearest
        } else {
            position
        };
        let rank = position.floor();
        let part = position - rank;
        // The position is at least 1/3 and at most n + 2/3, so the rank fits in a usize.
        let lower = self.at_rank(rank as usize);
        let upper = self.at_rank(rank as usize + 1);
        // This form gives the value itself when both are equal; the other one can round.
        lower + part * (upper - lower)
    }

    /// The middle value, or halfway between the two middle ones, in the sample's unit.
    /// Type 8 at one half is the same number; this form has no rounding to spare.
    pub fn median(&self) -> f64 {
        let count = self.0.len();
        f64::midpoint(self.0[(count - 1) / 2], self.0[count / 2])
    }

    /// The arithmetic mean, in the sample's unit: the least value plus the mean of what
    /// the others have over it, so that equal values have exactly that value as mean.
    pub fn mean(&self) -> f64 {
        let least = self.least();
        let over: f64 = self.0.iter().map(|value| value - least).sum();
        least + over / self.0.len() as f64
    }

    /// The value of a rank counted from 1; below the first rank it is the least value,
    /// past the last one the greatest.
    fn at_rank(&self, rank: usize) -> f64 {
        self.0[rank.clamp(1, self.0.len()) - 1]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn sorted(values: &[f64]) -> Sorted {
        Sorted::new(values.to_vec()).expect("the tests give finite values")
    }

    #[test]
    fn nothing_or_not_a_number_has_no_figures() {
        assert_eq!(Sorted::new(vec![]), None);
        assert_eq!(Sorted::new(vec![1.0, f64::NAN]), None);
        assert_eq!(Sorted::new(vec![f64::INFINITY]), None);
    }

    #[test]
    fn one_value_is_every_figure() {
        let one = sorted(&[3.5]);
        for p in [0.0, 0.1, 0.5, 0.9, 1.0] {
            assert_eq!(one.quantile(p), 3.5);
        }
        assert_eq!((one.median(), one.mean()), (3.5, 3.5));
        assert_eq!((one.least(), one.greatest(), one.count()), (3.5, 3.5, 1));
    }

    #[test]
    fn two_values_share_the_middle() {
        let two = sorted(&[40.0, 10.0]);
        assert_eq!(two.values(), [10.0, 40.0]);
        assert_eq!(two.median(), 25.0);
        assert_eq!(two.mean(), 25.0);
        // h = 7/3 * 1/2 + 1/3 = 3/2: halfway.
        assert_eq!(two.quantile(0.5), 25.0);
        // h = 7/3 * 0.4 + 1/3 = 19/15, so 10 + 4/15 * 30 = 18.
        assert!((two.quantile(0.4) - 18.0).abs() < 1e-12);
        assert_eq!((two.quantile(0.0), two.quantile(1.0)), (10.0, 40.0));
    }

    #[test]
    fn equal_values_keep_every_digit() {
        let equal = sorted(&[0.1; 7]);
        for percent in 0..=100 {
            assert_eq!(equal.quantile(f64::from(percent) / 100.0), 0.1);
        }
        assert_eq!((equal.median(), equal.mean()), (0.1, 0.1));
    }

    #[test]
    fn a_share_beyond_the_ends_counts_as_the_end() {
        let three = sorted(&[1.0, 2.0, 3.0]);
        assert_eq!(three.quantile(-0.5), 1.0);
        assert_eq!(three.quantile(1.5), 3.0);
    }

    #[test]
    fn a_rank_missed_by_rounding_is_that_rank() {
        // With 1..=n and p = (j - 1/3) / (n + 1/3) the position is rank j exactly, but
        // seldom so in binary.
        let mut off_in_binary = 0;
        for n in 1..=300_usize {
            let sample = sorted(&(1..=n).map(|rank| rank as f64).collect::<Vec<_>>());
            for j in 1..=n {
                let p = (3 * j - 1) as f64 / (3 * n + 1) as f64;
                let plain = (n as f64 + 1.0 / 3.0) * p + 1.0 / 3.0;
                off_in_binary += usize::from(plain != j as f64);
                assert_eq!(sample.quantile(p), j as f64, "n {n}, rank {j}");
            }
        }
        assert!(off_in_binary > 1000, "the trap is never sprung");
    }

    proptest! {
        #[test]
        fn quantiles_rise_and_stay_within_the_sample(
            values in prop::collection::vec(-1e6..1e6_f64, 1..40),
            p in 0.0..=1.0_f64,
            q in 0.0..=1.0_f64,
        ) {
            let sample = sorted(&values);
            let (low, high) = (sample.quantile(p.min(q)), sample.quantile(p.max(q)));
            prop_assert!(sample.least() <= low);
            prop_assert!(low <= high + 1e-9);
            prop_assert!(high <= sample.greatest() + 1e-9);
            prop_assert!((sample.quantile(0.5) - sample.median()).abs() <= 1e-9);
        }
    }
}
