//! The slopes of all pairs of points, by rank. There are n^2 / 2 of them: exact, in bounded
//! memory, without sorting them all. Knows no statistic: see `trend`.

use super::points::{Point, for_each, from_order_key, order_key};
use super::steep;

/// The most slopes held in memory at a time: 8 MiB.
pub(super) const HELD: usize = 1 << 20;

/// A rank is looked for by this many bits of a slope at a time.
const DIGIT_BITS: u32 = 16;
const DIGIT_MASK: usize = (1 << DIGIT_BITS) - 1;

/// The slopes of the given ranks (ascending, from 0, below `count`), in the value's unit
/// for one unit of time; `count` is the number of pairs at different times, and the points
/// stand by time.
pub(super) fn at_ranks<const N: usize>(
    points: &[Point],
    ranks: [usize; N],
    count: usize,
) -> [f64; N] {
    if count > HELD
        && let Some(found) = steep::at_ranks(points, ranks, count, HELD)
    {
        return found;
    }
    let all = Digits {
        known: 0,
        prefix: 0,
    };
    let found = within(points, all, &ranks, count, HELD);
    found.try_into().expect("each rank has one slope")
}

/// The slopes whose highest `known` bits, in the order of [`order_key`], are `prefix`.
#[derive(Clone, Copy)]
struct Digits {
    known: u32,
    prefix: u64,
}

impl Digits {
    fn holds(self, key: u64) -> bool {
        // Shifting out all 64 bits leaves the prefix of no bits, 0.
        key.checked_shr(u64::BITS - self.known).unwrap_or(0) == self.prefix
    }
}

/// The slopes of the given ranks (ascending, from 0) among the `count` slopes that
/// `digits` holds for.
///
/// While these are more than `held`, they are counted by their next [`DIGIT_BITS`] bits
/// and only those that share a rank's bits are looked at again, so memory stays bounded
/// and nothing is approximate. At most one look at every pair, then three for each of the
/// ranks that part ways.
fn within(
    points: &[Point],
    digits: Digits,
    ranks: &[usize],
    count: usize,
    held: usize,
) -> Vec<f64> {
    if digits.known == u64::BITS {
        return vec![from_order_key(digits.prefix); ranks.len()];
    }
    if count <= held {
        let mut slopes = Vec::with_capacity(count);
        for_each(points, |slope| {
            if digits.holds(order_key(slope)) {
                slopes.push(slope);
            }
        });
        return ranks
            .iter()
            .map(|&rank| *slopes.select_nth_unstable_by(rank, f64::total_cmp).1)
            .collect();
    }
    let shift = u64::BITS - digits.known - DIGIT_BITS;
    let mut counts = vec![0_usize; DIGIT_MASK + 1];
    for_each(points, |slope| {
        let key = order_key(slope);
        if digits.holds(key) {
            counts[(key >> shift) as usize & DIGIT_MASK] += 1;
        }
    });
    let mut found = Vec::with_capacity(ranks.len());
    let mut before = 0;
    for (digit, &count) in counts.iter().enumerate() {
        let inside: Vec<usize> = ranks
            .iter()
            .filter(|&&rank| (before..before + count).contains(&rank))
            .map(|&rank| rank - before)
            .collect();
        if !inside.is_empty() {
            let longer = Digits {
                known: digits.known + DIGIT_BITS,
                prefix: digits.prefix << DIGIT_BITS | digit as u64,
            };
            found.extend(within(points, longer, &inside, count, held));
        }
        before += count;
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Few distinct times and values, so that ties are common.
    fn tied_points() -> impl Strategy<Value = Vec<Point>> {
        let point = (0..12_i32, -8..8_i32).prop_map(|(at, value)| Point {
            at: f64::from(at) / 3.0,
            value: f64::from(value) / 7.0,
        });
        prop::collection::vec(point, 2..40).prop_map(|mut points| {
            points.sort_by(|one, other| one.at.total_cmp(&other.at));
            points
        })
    }

    proptest! {
        #[test]
        fn ranks_are_found_whatever_is_held(points in tied_points(), held in 0..60_usize) {
            let mut all = Vec::new();
            for_each(&points, |slope| all.push(slope));
            prop_assume!(!all.is_empty());
            all.sort_unstable_by(f64::total_cmp);
            let ranks = [0, all.len() / 3, all.len() / 2, all.len() - 1];
            let digits = Digits { known: 0, prefix: 0 };
            let found = within(&points, digits, &ranks, all.len(), held);
            prop_assert_eq!(found, ranks.map(|rank| all[rank]).to_vec());
        }
    }
}
