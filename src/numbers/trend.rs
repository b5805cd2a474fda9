//! Whether a figure drifts over time, and by how much a year: the slope of Theil and Sen
//! and the test of Mann and Kendall. Draws no line and sets no intercept.

use super::normal::{self, Confidence};
use super::slopes;

pub use super::points::Point;

/// With fewer observations than this a report gives no trend. The functions below do not
/// hold to it: they say from how many points on they are defined.
pub const LEAST_FOR_TREND: usize = 8;

/// The slope of Theil and Sen: the value's unit for one unit of time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slope {
    /// The median slope, in units of value a unit of time.
    pub slope: f64,
    /// Lower end of its interval.
    pub low: f64,
    /// Upper end of its interval.
    pub high: f64,
    /// The number of pairs of points at different times, each of which gave a slope.
    pub pairs: usize,
}

/// The test of Mann and Kendall for a trend in one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MannKendall {
    /// Pairs that rise with time, less pairs that fall.
    pub score: i64,
    /// The variance of the score were there no trend.
    pub variance: f64,
    /// The score in standard deviations, one step nearer to 0; 0 where the variance is 0.
    pub z: f64,
    /// The chance of a score this far from 0, either way, were there no trend.
    pub p: f64,
}

/// The median slope over all pairs of points at different times, with Sen's interval;
/// `None` if there is no such pair (fewer than two points, or all at one time) or a number
/// is not finite. The points may stand in any order.
///
/// ```text
/// slope  = median of (y[j] - y[i]) / (x[j] - x[i]) over x[j] > x[i], N of them
/// s^2    = [n(n-1)(2n+5) - sum t(t-1)(2t+5)] / 18, t over the ties in x and those in y
/// low    = slope of rank max(r(N - z s) - 1, 0),  high = rank min(r(N + z s), N - 1)
/// r(u)   = u / 2 rounded half to even; ranks from 0, ascending
/// ```
///
/// The variance counts as 0 where ties in both make the formula negative. Up to 1,400 points
/// all pairs are looked at. Beyond, the ranks are closed in on by counting, n log n steps a
/// count and some dozens of counts, and the answer is the same to the digit. Where rounding
/// leaves a doubt, or a million pairs share the slope asked for (other than 0), it goes through
/// all pairs at most 13 times and holds a million slopes at once: ten thousand points then take
/// some seconds at worst, and never more than about 10 MiB.
/// Source: Theil (1950); Sen (1968), JASA 63, 2.6 for the interval.
pub fn theil_sen(points: &[Point], confidence: Confidence) -> Option<Slope> {
    let points = in_order(points)?;
    let times = runs(points.iter().map(|point| point.at));
    let values = runs(values_in_order(&points));
    let pairs = pairs_of(points.len()) - pairs_within(&times);
    if pairs == 0 {
        return None;
    }
    let ties = kendall_sum(&times) + kendall_sum(&values);
    let variance = (kendall_sum(&[points.len()]) - ties).max(0.0) / 18.0;
    let spread = confidence.upper_z() * variance.sqrt();
    let half = |sum: f64| (sum / 2.0).round_ties_even();
    // A negative rank stops at 0 when it becomes a usize.
    let low = (half(pairs as f64 - spread) - 1.0) as usize;
    let high = (half(pairs as f64 + spread) as usize).min(pairs - 1);
    let ranks = [low, (pairs - 1) / 2, pairs / 2, high];
    let [low, lower_middle, upper_middle, high] = slopes::at_ranks(&points, ranks, pairs);
    Some(Slope {
        slope: f64::midpoint(lower_middle, upper_middle),
        low,
        high,
        pairs,
    })
}

/// The score of Mann and Kendall with its normal approximation, two-sided; `None` for
/// fewer than two points or a number that is not finite. The points may stand in any
/// order. All values equal, or all at one time: score 0, z 0, p 1.
///
/// ```text
/// S   = sum over pairs of sign(x[j] - x[i]) sign(y[j] - y[i])
/// var = [n(n-1)(2n+5) - sum t(t-1)(2t+5) - sum u(u-1)(2u+5)] / 18
///       + sum t(t-1)(t-2) sum u(u-1)(u-2) / (9n(n-1)(n-2))
///       + sum t(t-1) sum u(u-1) / (2n(n-1))
/// z   = (S -+ 1) / sqrt var, towards 0;  p = 2 Phi(-|z|)
/// ```
///
/// `t` are the sizes of the groups tied in time, `u` of those tied in value. With no two
/// points at one time the last two lines vanish, which leaves Mann's test with its tie
/// correction. Takes n log n steps (Knight 1966, JASA 61). Source: Mann (1945),
/// Econometrica 13; Kendall (1975), Rank Correlation Methods, for ties in both.
pub fn mann_kendall(points: &[Point]) -> Option<MannKendall> {
    let points = in_order(points)?;
    let count = points.len();
    if count < 2 {
        return None;
    }
    let times = runs(points.iter().map(|point| point.at));
    let values = runs(values_in_order(&points));
    let both = runs(points.iter().map(|point| (point.at, point.value)));
    // Pairs tied in both are among those tied in either twice.
    let untied =
        pairs_of(count) + pairs_within(&both) - pairs_within(&times) - pairs_within(&values);
    let mut by_time: Vec<f64> = points.iter().map(|point| point.value).collect();
    let falling = sort_counting_falls(&mut by_time);
    let score = untied as i64 - 2 * falling as i64;
    let variance = score_variance(count, &times, &values);
    let z = if variance > 0.0 {
        (score - score.signum()) as f64 / variance.sqrt()
    } else {
        0.0
    };
    Some(MannKendall {
        score,
        variance,
        z,
        p: normal::both_tails(z),
    })
}

/// The points by time and, at one time, by value; `None` if a number is not finite.
fn in_order(points: &[Point]) -> Option<Vec<Point>> {
    if points
        .iter()
        .any(|point| !(point.at.is_finite() && point.value.is_finite()))
    {
        return None;
    }
    // Adding 0 makes a negative zero a plain one: they are equal, but not in total order.
    let mut ordered: Vec<Point> = points
        .iter()
        .map(|point| Point {
            at: point.at + 0.0,
            value: point.value + 0.0,
        })
        .collect();
    ordered.sort_unstable_by(|one, other| {
        let by_time = one.at.total_cmp(&other.at);
        by_time.then(one.value.total_cmp(&other.value))
    });
    Some(ordered)
}

fn values_in_order(points: &[Point]) -> Vec<f64> {
    let mut values: Vec<f64> = points.iter().map(|point| point.value).collect();
    values.sort_unstable_by(f64::total_cmp);
    values
}

/// The sizes of the groups of equal neighbours.
fn runs<T: PartialEq>(items: impl IntoIterator<Item = T>) -> Vec<usize> {
    let mut sizes: Vec<usize> = Vec::new();
    let mut previous = None;
    for item in items {
        match sizes.last_mut() {
            Some(size) if previous.as_ref() == Some(&item) => *size += 1,
            _ => sizes.push(1),
        }
        previous = Some(item);
    }
    sizes
}

fn pairs_of(count: usize) -> usize {
    count * count.saturating_sub(1) / 2
}

fn pairs_within(groups: &[usize]) -> usize {
    groups.iter().map(|&size| pairs_of(size)).sum()
}

/// The sum of `t (t - 1) (2t + 5)` over group sizes.
fn kendall_sum(groups: &[usize]) -> f64 {
    sum_over(groups, |t| t * (t - 1.0) * (2.0 * t + 5.0))
}

fn sum_over(groups: &[usize], term: impl Fn(f64) -> f64) -> f64 {
    groups.iter().map(|&size| term(size as f64)).sum()
}

/// The variance of the score of `count` points with these groups of ties.
fn score_variance(count: usize, times: &[usize], values: &[usize]) -> f64 {
    let twos = |groups| sum_over(groups, |t| t * (t - 1.0));
    let threes = |groups| sum_over(groups, |t| t * (t - 1.0) * (t - 2.0));
    let alone = (kendall_sum(&[count]) - kendall_sum(times) - kendall_sum(values)) / 18.0;
    let by_twos = twos(times) * twos(values) / (2.0 * twos(&[count]));
    let by_threes = if count > 2 {
        threes(times) * threes(values) / (9.0 * threes(&[count]))
    } else {
        0.0
    };
    // All tied in one of them makes it exactly 0, but for rounding.
    if times.len() == 1 || values.len() == 1 {
        0.0
    } else {
        alone + by_twos + by_threes
    }
}

/// Sorts the values and returns how many pairs of them stood in falling order.
fn sort_counting_falls(values: &mut [f64]) -> usize {
    if values.len() < 2 {
        return 0;
    }
    let (left, right) = values.split_at_mut(values.len() / 2);
    let mut falls = sort_counting_falls(left) + sort_counting_falls(right);
    let mut merged = Vec::with_capacity(left.len() + right.len());
    let mut taken = 0;
    for &value in right.iter() {
        let larger_from = taken + left[taken..].partition_point(|&before| before <= value);
        merged.extend_from_slice(&left[taken..larger_from]);
        merged.push(value);
        taken = larger_from;
        falls += left.len() - taken;
    }
    merged.extend_from_slice(&left[taken..]);
    values.copy_from_slice(&merged);
    falls
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn points(pairs: &[(f64, f64)]) -> Vec<Point> {
        pairs
            .iter()
            .map(|&(at, value)| Point { at, value })
            .collect()
    }

    fn slope_of(pairs: &[(f64, f64)]) -> Option<Slope> {
        theil_sen(&points(pairs), Confidence::NINETY_FIVE)
    }

    /// The score by its definition, pair by pair.
    fn plain_score(points: &[Point]) -> i64 {
        let sign = |from: f64, to: f64| i64::from(to > from) - i64::from(to < from);
        let mut score = 0;
        for (index, one) in points.iter().enumerate() {
            for other in &points[index + 1..] {
                score += sign(one.at, other.at) * sign(one.value, other.value);
            }
        }
        score
    }

    /// Few distinct times and values, so that ties are common.
    fn tied_points() -> impl Strategy<Value = Vec<Point>> {
        let point = (0..12_i32, -8..8_i32).prop_map(|(at, value)| Point {
            at: f64::from(at) / 3.0,
            value: f64::from(value) / 7.0,
        });
        prop::collection::vec(point, 2..40)
    }

    #[test]
    fn no_point_and_one_point_have_no_trend() {
        for few in [vec![], vec![(2020.0, 60.0)]] {
            assert_eq!(slope_of(&few), None);
            assert_eq!(mann_kendall(&points(&few)), None);
        }
    }

    #[test]
    fn a_number_that_is_not_finite_has_no_trend() {
        let odd = [(2020.0, 60.0), (2021.0, f64::NAN), (2022.0, 50.0)];
        assert_eq!(slope_of(&odd), None);
        assert_eq!(mann_kendall(&points(&odd)), None);
    }

    #[test]
    fn two_points_give_the_slope_between_them() {
        let slope = slope_of(&[(2022.0, 50.0), (2020.0, 60.0)]).expect("two times");
        assert_eq!((slope.slope, slope.low, slope.high), (-5.0, -5.0, -5.0));
        assert_eq!(slope.pairs, 1);
        let test = mann_kendall(&points(&[(2022.0, 50.0), (2020.0, 60.0)])).expect("two points");
        // The one step towards 0 takes the whole score.
        assert_eq!(
            (test.score, test.variance, test.z, test.p),
            (-1, 1.0, 0.0, 1.0)
        );
    }

    #[test]
    fn one_time_has_no_slope_and_no_score() {
        let same = [(2020.0, 60.0), (2020.0, 50.0), (2020.0, 40.0)];
        assert_eq!(slope_of(&same), None);
        let test = mann_kendall(&points(&same)).expect("three points");
        assert_eq!(
            (test.score, test.variance, test.z, test.p),
            (0, 0.0, 0.0, 1.0)
        );
    }

    #[test]
    fn equal_values_are_level_and_leave_no_doubt() {
        let level: Vec<_> = (0..9).map(|year| (f64::from(year), 45.0)).collect();
        let slope = slope_of(&level).expect("nine times");
        assert_eq!((slope.slope, slope.low, slope.high), (0.0, 0.0, 0.0));
        assert!(slope.slope.is_sign_positive());
        let test = mann_kendall(&points(&level)).expect("nine points");
        assert_eq!(
            (test.score, test.variance, test.z, test.p),
            (0, 0.0, 0.0, 1.0)
        );
    }

    #[test]
    fn ties_in_both_can_not_make_the_interval_undefined() {
        // All values equal and some times: the formula gives a negative variance.
        let tied = [(1.0, 5.0), (1.0, 5.0), (2.0, 5.0), (2.0, 5.0), (3.0, 5.0)];
        let slope = slope_of(&tied).expect("three times");
        assert_eq!((slope.low, slope.high, slope.pairs), (0.0, 0.0, 8));
    }

    #[test]
    fn ties_in_both_have_the_variance_of_all_orders() {
        // Without a trend every order of the values over the times is as likely: over all
        // 720 the mean square score is the variance.
        let times = [1.0, 1.0, 2.0, 3.0, 3.0, 3.0];
        let mut values = [4.0, 4.0, 5.0, 6.0, 6.0, 9.0];
        let mut squares = 0;
        let mut orders = 0;
        each_order(&mut values, 0, &mut |order| {
            let pairs: Vec<_> = times.into_iter().zip(order.iter().copied()).collect();
            squares += plain_score(&points(&pairs)).pow(2);
            orders += 1;
        });
        assert_eq!(orders, 720);
        let pairs: Vec<_> = times.into_iter().zip(values).collect();
        let test = mann_kendall(&points(&pairs)).expect("six points");
        assert!((test.variance - squares as f64 / 720.0).abs() < 1e-12);
    }

    fn each_order(values: &mut [f64], from: usize, look: &mut impl FnMut(&[f64])) {
        if from == values.len() {
            look(values);
        }
        for with in from..values.len() {
            values.swap(from, with);
            each_order(values, from + 1, look);
            values.swap(from, with);
        }
    }

    #[test]
    fn thousands_of_points_keep_to_the_memory_and_agree_with_the_plain_way() {
        // 1,500 points have more pairs than are held; values in steps of 5 give many ties.
        let many: Vec<Point> = (0..1500_u32)
            .map(|index| Point {
                at: f64::from(index / 2) / 50.0,
                value: f64::from(index.wrapping_mul(2_654_435_761) >> 26) * 5.0,
            })
            .collect();
        let slope = theil_sen(&many, Confidence::NINETY_FIVE).expect("many times");
        assert!(slope.pairs > slopes::HELD);
        let mut all = Vec::new();
        crate::numbers::points::for_each(&many, |slope| all.push(slope));
        all.sort_unstable_by(f64::total_cmp);
        assert_eq!(all.len(), slope.pairs);
        assert_eq!(
            slope.slope,
            f64::midpoint(all[(all.len() - 1) / 2], all[all.len() / 2])
        );
        let test = mann_kendall(&many).expect("many points");
        assert_eq!(test.score, plain_score(&many));
    }

    proptest! {
        #[test]
        fn the_score_is_that_of_the_pairs(points in tied_points()) {
            let test = mann_kendall(&points).expect("two points or more");
            prop_assert_eq!(test.score, plain_score(&points));
            prop_assert!(test.variance >= 0.0);
        }
    }

    /// Worked by hand and over all orders of the values: n = 6, times in threes, values in three, two and one.
    /// 294 / 18 + 12 times 8 / 60 + 12 times 6 / (9 times 120) = 16.3333 + 1.6 + 0.0667.
    #[test]
    fn ties_of_three_in_both_make_the_variance_larger() {
        let points = [
            (1.0, 5.0),
            (1.0, 5.0),
            (1.0, 7.0),
            (2.0, 5.0),
            (2.0, 7.0),
            (2.0, 9.0),
        ];
        let points = points.map(|(at, value)| Point { at, value });
        let found = mann_kendall(&points).expect("six points");
        assert!((found.variance - 18.0).abs() < 1e-12, "{}", found.variance);
    }

    #[test]
    fn a_negative_nought_is_nought() {
        let score = |pairs| mann_kendall(&points(pairs)).expect("points").score;
        assert_eq!(score(&[(-0.0, 5.0), (0.0, 1.0), (1.0, 3.0)]), 0);
        assert_eq!(score(&[(0.0, 0.0), (1.0, -0.0)]), 0);
        let ordered = in_order(&points(&[(-0.0, -0.0)])).expect("finite");
        assert!(ordered[0].at.is_sign_positive() && ordered[0].value.is_sign_positive());
    }

    /// By hand: 8 7 21 = 1176, less 54 for the ties in time and 222 for those in value, is 900; over 18, its root
    /// times 1.96 is 13.86. Of 25 pairs that leaves the ranks 6 - 1 and 19; the 25 slopes were listed in full.
    #[test]
    fn ties_narrow_the_interval() {
        let times = [0.0, 0.0, 1.0, 1.0, 2.0, 3.0, 3.0, 4.0];
        let values = [3.0, 1.0, 2.0, 3.0, 2.0, 3.0, 3.0, 2.0];
        let points = times
            .into_iter()
            .zip(values)
            .map(|(at, value)| Point { at, value });
        let slope = theil_sen(&points.collect::<Vec<_>>(), Confidence::NINETY_FIVE).expect("times");
        assert_eq!((slope.low, slope.high), (-1.0 / 3.0, 2.0 / 3.0));
    }
}
