//! The slopes of given ranks among thousands of points, without looking at every pair: two
//! steepnesses close in on a rank, and only the pairs between them are looked at. Gives up
//! where rounding leaves a doubt, and then `slopes` goes through all pairs.
//!
//! Of two points at different times, the pair's slope is at most `s` where the later one's
//! `value - s at` is at most the earlier one's. So sorting counts the pairs up to a slope, in
//! n log n steps. Source: Cole, Salowe, Steiger and Szemeredi (1989), SIAM J. Comput. 18.

use super::merging::{Keyed, merge_runs};
use super::points::{Point, from_order_key, order_key, slope_between};

/// Looks at the middle of a range of slopes before giving up; each halves the 64 bits' range.
const MOST_LOOKS: usize = 80;

/// The slopes of the ranks (ascending, from 0, below `count`); `None` where rounding leaves one
/// in doubt, or too many pairs share a slope. `count` is the number of pairs at different
/// times, the points stand by time, and at most `held` pairs are looked at one by one.
pub(super) fn at_ranks<const N: usize>(
    points: &[Point],
    ranks: [usize; N],
    count: usize,
    held: usize,
) -> Option<[f64; N]> {
    // Fewer are quicker; where a few hundred thousand pairs share a slope, only more will do.
    closing_in(points, ranks, count, held / 8).or_else(|| closing_in(points, ranks, count, held))
}

/// [`at_ranks`] that looks at pairs once they are no more than `few`.
fn closing_in<const N: usize>(
    points: &[Point],
    ranks: [usize; N],
    count: usize,
    few: usize,
) -> Option<[f64; N]> {
    let mut search = Search::over(points, count, few)?;
    let mut found = [0.0; N];
    for (slope, &rank) in found.iter_mut().zip(&ranks) {
        *slope = search.at_rank(rank)?;
    }
    Some(found)
}

/// A steepness, and how many pairs' slopes are at most that.
#[derive(Clone, Copy)]
struct Mark {
    steepness: f64,
    pairs: usize,
}

struct Search<'a> {
    points: &'a [Point],
    few: usize,
    /// Times from the middle one: the products with a steepness then lose few digits.
    at: Vec<f64>,
    /// Where each group of points at one time ends.
    ends: Vec<usize>,
    /// Rounding puts no pair on the wrong side of `s` whose slope is further from it than
    /// `error_level + error_slope |s|`.
    error_level: f64,
    error_slope: f64,
    /// What has been counted, ascending; the first and the last hold all pairs between them.
    marks: Vec<Mark>,
    /// The slopes of some pairs, ascending: where to count first.
    pilot: Vec<f64>,
    /// Pairs of equal values: their slope is 0.
    level: usize,
    /// The slopes of the last pairs looked at, ascending, and the steepness that they are above.
    between: Option<(f64, Vec<f64>)>,
}

impl<'a> Search<'a> {
    fn over(points: &'a [Point], count: usize, few: usize) -> Option<Self> {
        let middle = points[points.len() / 2].at;
        let at: Vec<f64> = points.iter().map(|point| point.at - middle).collect();
        let mut ends: Vec<usize> = (1..points.len())
            .filter(|&place| points[place - 1].at < points[place].at)
            .collect();
        ends.push(points.len());
        let gaps = points.windows(2).map(|two| two[1].at - two[0].at);
        let gap = gaps.filter(|&gap| gap > 0.0).fold(f64::INFINITY, f64::min);
        let largest = |of: &dyn Fn(&Point) -> f64| points.iter().map(of).fold(0.0, f64::max);
        let value = largest(&|point| point.value.abs());
        let time = largest(&|point| point.at.abs()) + middle.abs();
        let steepest = 3.0 * value / gap;
        if !steepest.is_finite() {
            return None;
        }
        let mut search = Self {
            points,
            few,
            at,
            ends,
            error_level: 16.0 * f64::EPSILON * value / gap,
            error_slope: 16.0 * f64::EPSILON * (time / gap + 1.0),
            marks: vec![
                Mark {
                    steepness: -steepest,
                    pairs: 0,
                },
                Mark {
                    steepness: steepest,
                    pairs: count,
                },
            ],
            pilot: pilot(points),
            level: level_pairs(points),
            between: None,
        };
        search.mark(0.0);
        Some(search)
    }

    fn at_rank(&mut self, rank: usize) -> Option<f64> {
        // At 0 there is no product to round, so both counts are exact; and times in steps of
        // five minutes have millions of pairs there.
        let to_level = self.marks.iter().find(|mark| mark.steepness == 0.0)?.pairs;
        if (to_level.checked_sub(self.level)?..to_level).contains(&rank) {
            return Some(0.0);
        }
        for _ in 0..MOST_LOOKS {
            let after = self.marks.partition_point(|mark| mark.pairs <= rank);
            let (low, high) = (*self.marks.get(after - 1)?, *self.marks.get(after)?);
            if high.pairs - low.pairs <= self.few {
                return self.among(low, high, rank);
            }
            self.mark(self.next_look(low.steepness, high.steepness)?);
        }
        None
    }

    /// A steepness between the two: halfway down the pilot slopes between them, else halfway
    /// down the numbers there are; `None` if there is none.
    fn next_look(&self, low: f64, high: f64) -> Option<f64> {
        let from = self.pilot.partition_point(|&slope| slope <= low);
        let to = self.pilot.partition_point(|&slope| slope < high);
        if to > from + 1 {
            let place = from.midpoint(to);
            // Between two slopes rather than on one, where many pairs may lie.
            let look = f64::midpoint(self.pilot[place - 1], self.pilot[place]);
            if low < look && look < high {
                return Some(look);
            }
        }
        let look = from_order_key(order_key(low).midpoint(order_key(high)));
        (low < look && look < high).then_some(look)
    }

    /// The slope of a rank among the pairs between two marks.
    fn among(&mut self, low: Mark, high: Mark, rank: usize) -> Option<f64> {
        // Between two marks with so few pairs no mark is set: the lower one says which they are.
        let known = self.between.as_ref();
        if known.is_none_or(|(above, _)| *above != low.steepness) {
            let mut slopes = self.slopes_between(low.steepness, high.steepness);
            slopes.sort_unstable_by(f64::total_cmp);
            self.between = Some((low.steepness, slopes));
        }
        let (_, slopes) = self.between.as_ref()?;
        // Rounding put a pair below the lower and above the upper one.
        if slopes.len() != high.pairs - low.pairs {
            return None;
        }
        let slope = slopes[rank - low.pairs];
        let error = |mark: Mark| self.error_level + self.error_slope * mark.steepness.abs();
        let clear = low.steepness + error(low) < slope && slope < high.steepness - error(high);
        clear.then_some(slope)
    }

    fn keys(&self, steepness: f64) -> Vec<f64> {
        let key = |(point, at): (&Point, &f64)| point.value - steepness * at;
        self.points.iter().zip(&self.at).map(key).collect()
    }

    /// Counts the pairs whose slope is at most `steepness`.
    fn mark(&mut self, steepness: f64) {
        let mut keys = self.keys(steepness);
        let mut from = 0;
        // Points at one time are no pair, and stand sorted before any are merged.
        for &end in &self.ends {
            keys[from..end].sort_unstable_by(f64::total_cmp);
            from = end;
        }
        let mut pairs = 0;
        merge_runs(&mut keys, &self.ends, |left, right| {
            let mut below = 0;
            for later in right {
                below += left[below..].partition_point(|earlier| earlier < later);
                pairs += left.len() - below;
            }
        });
        let place = self
            .marks
            .partition_point(|mark| mark.steepness < steepness);
        self.marks.insert(place, Mark { steepness, pairs });
    }

    /// The slopes of the pairs above `low` and up to `high`, in no order.
    fn slopes_between(&self, low: f64, high: f64) -> Vec<f64> {
        let (lower, upper) = (self.keys(low), self.keys(high));
        let mut order: Vec<usize> = (0..self.points.len()).collect();
        order.sort_unstable_by(|&one, &other| {
            let by_lower = lower[one].total_cmp(&lower[other]);
            by_lower.then(one.cmp(&other))
        });
        // Such a pair stands in order of the lower keys and out of order of the upper ones.
        let mut entries: Vec<Entry> = order
            .into_iter()
            .map(|place| Entry {
                key: upper[place],
                place,
            })
            .collect();
        let ends: Vec<usize> = (1..=entries.len()).collect();
        let mut slopes = Vec::new();
        merge_runs(&mut entries, &ends, |left, right| {
            let mut below = 0;
            for later in right {
                below += left[below..].partition_point(|earlier| earlier.key < later.key);
                for earlier in &left[below..] {
                    let (from, to) = (earlier.place, later.place);
                    let (one, other) = (&self.points[from], &self.points[to]);
                    if one.at < other.at && lower[from] < lower[to] {
                        slopes.push(slope_between(one, other));
                    }
                }
            }
        });
        slopes
    }
}

/// A point by its key at the upper steepness.
#[derive(Clone, Copy)]
struct Entry {
    key: f64,
    place: usize,
}

impl Keyed for Entry {
    fn key(&self) -> f64 {
        self.key
    }
}

/// The slopes of each point of the earlier half with one half the record later, ascending.
fn pilot(points: &[Point]) -> Vec<f64> {
    let half = points.len() / 2;
    let mut slopes: Vec<f64> = points
        .iter()
        .zip(&points[half..])
        .filter(|(one, other)| one.at < other.at)
        .map(|(one, other)| slope_between(one, other))
        .collect();
    slopes.sort_unstable_by(f64::total_cmp);
    slopes
}

/// The pairs of equal values at different times.
fn level_pairs(points: &[Point]) -> usize {
    let pairs = |count: usize| count * (count - 1) / 2;
    let mut values: Vec<(f64, f64)> = points.iter().map(|p| (p.value, p.at)).collect();
    values.sort_unstable_by(|one, other| {
        let by_value = one.0.total_cmp(&other.0);
        by_value.then(one.1.total_cmp(&other.1))
    });
    values
        .chunk_by(|one, other| one.0 == other.0)
        .map(|equal| {
            let at_one_time = equal.chunk_by(|one, other| one.1 == other.1);
            pairs(equal.len()) - at_one_time.map(|same| pairs(same.len())).sum::<usize>()
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numbers::points::for_each;

    /// As many pairs as are held in earnest.
    const HELD: usize = 1 << 20;
    use proptest::prelude::*;

    fn all_slopes(points: &[Point]) -> Vec<f64> {
        let mut all = Vec::new();
        for_each(points, |slope| all.push(slope));
        all.sort_unstable_by(f64::total_cmp);
        all
    }

    /// Points by time and, at one time, by value; negative zeros are not among them.
    fn sorted(mut points: Vec<Point>) -> Vec<Point> {
        points.sort_by(|one, other| {
            let by_time = one.at.total_cmp(&other.at);
            by_time.then(one.value.total_cmp(&other.value))
        });
        points
    }

    /// Days over some years as years, and minutes in steps of five or by the second.
    fn diaries() -> impl Strategy<Value = Vec<Point>> {
        let point = |step: f64| {
            (0..900_u32, 1..60_u32).prop_map(move |(day, minutes)| Point {
                at: 2020.0 + f64::from(day) / 365.25,
                value: f64::from(minutes) * step,
            })
        };
        prop_oneof![
            prop::collection::vec(point(5.0), 2..150),
            prop::collection::vec(point(1.0 / 60.0), 2..150),
        ]
        .prop_map(sorted)
    }

    proptest! {
        #[test]
        fn what_is_found_is_what_all_pairs_give(points in diaries(), few in 5..400_usize) {
            let all = all_slopes(&points);
            prop_assume!(!all.is_empty());
            let last = all.len() - 1;
            let ranks = [0, last / 3, last / 2, last * 2 / 3, last];
            let right = ranks.map(|rank| all[rank]);
            prop_assert_eq!(at_ranks(&points, ranks, all.len(), HELD), Some(right));
            // Closing in on few of them, it is right or leaves it to all pairs.
            if let Some(found) = closing_in(&points, ranks, all.len(), few) {
                prop_assert_eq!(found, right);
            }
        }

        #[test]
        fn points_too_near_in_time_are_left_or_right(
            near in prop::collection::vec((0..50_u32, -3..3_i32), 2..40),
        ) {
            // A billionth of a time apart at 2020: hardly more than a digit's worth.
            let points = sorted(near.into_iter().map(|(step, value)| Point {
                at: 2020.0 + f64::from(step) * 1e-12,
                value: f64::from(value) / 7.0,
            }).collect());
            let all = all_slopes(&points);
            prop_assume!(!all.is_empty());
            let rank = all.len() / 2;
            if let Some([found]) = at_ranks(&points, [rank], all.len(), HELD) {
                prop_assert_eq!(found, all[rank]);
            }
        }
    }

    #[test]
    fn many_pairs_close_in_on_the_rank() {
        // 2,000 points have more pairs than are looked at, so the marks must close in.
        let points = sorted(
            (0..2000_u32)
                .map(|at| Point {
                    at: f64::from(at / 3) / 365.25,
                    value: f64::from(at.wrapping_mul(2_654_435_761) >> 20) / 37.0,
                })
                .collect(),
        );
        let all = all_slopes(&points);
        let last = all.len() - 1;
        let ranks = [last / 20, last / 2, last / 2 + 1, last - last / 20];
        let found = closing_in(&points, ranks, all.len(), 50_000);
        assert_eq!(found, Some(ranks.map(|rank| all[rank])));
    }

    /// From 40 below nought to 40 above it in one step of time is twice the largest value.
    #[test]
    fn the_steepest_pair_is_between_the_marks() {
        let points = [(0.0, -40.0), (1.0, 40.0), (2.0, -40.0), (3.0, 10.0)];
        let points = points.map(|(at, value)| Point { at, value });
        assert_eq!(at_ranks(&points, [0, 5], 6, HELD), Some([-80.0, 80.0]));
    }

    #[test]
    fn one_value_throughout_is_level() {
        for value in [45.0, 0.0] {
            let points: Vec<Point> = (0..1500_u32)
                .map(|at| Point {
                    at: f64::from(at),
                    value,
                })
                .collect();
            let count = 1500 * 1499 / 2;
            assert_eq!(
                at_ranks(&points, [0, count - 1], count, HELD),
                Some([0.0, 0.0])
            );
        }
    }
}
