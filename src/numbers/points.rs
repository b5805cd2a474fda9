//! Points in time, the slope between two, and its place in order.

/// One observation: when, and how much.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// When, as a number that grows with time, such as years.
    pub at: f64,
    /// What was seen then, in its own unit, such as minutes.
    pub value: f64,
}

/// Calls `look` with the slope of every pair at different times; points by time.
pub(super) fn for_each(points: &[Point], mut look: impl FnMut(f64)) {
    let mut left = points;
    while let [from, later @ ..] = left {
        for to in later {
            if to.at > from.at {
                look(slope_between(from, to));
            }
        }
        left = later;
    }
}

/// The slope from one point to a later one; a plain zero where their values are equal, since
/// `trend` leaves no negative zero among them.
pub(super) fn slope_between(from: &Point, to: &Point) -> f64 {
    (to.value - from.value) / (to.at - from.at)
}

/// A whole number that orders as the slope does (`f64::total_cmp`).
pub(super) fn order_key(slope: f64) -> u64 {
    let bits = slope.to_bits();
    if bits >> 63 == 0 {
        bits | 1 << 63
    } else {
        !bits
    }
}

/// The slope that [`order_key`] makes this key of.
pub(super) fn from_order_key(key: u64) -> f64 {
    f64::from_bits(if key >> 63 == 1 {
        key & !(1 << 63)
    } else {
        !key
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_order_as_slopes_do_and_come_back() {
        let slopes = [f64::MIN, -2.5, -1e-300, 0.0, 1e-300, 0.1, 2.5, f64::MAX];
        assert!(slopes.map(order_key).is_sorted());
        assert_eq!(slopes.map(order_key).map(from_order_key), slopes);
    }
}
