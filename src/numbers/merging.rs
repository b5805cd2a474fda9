//! Sorting by merging runs, with a look at each two runs before they become one: what stands
//! out of order between them is then counted in one pass. Counts nothing itself.

use std::cmp::Ordering;

/// What is merged by its key.
pub(super) trait Keyed: Copy {
    /// What it stands by, least first.
    fn key(&self) -> f64;
}

impl Keyed for f64 {
    fn key(&self) -> f64 {
        *self
    }
}

/// Merges sorted runs, two neighbours at a time, showing each two before they are merged.
pub(super) fn merge_runs<T: Keyed>(
    items: &mut [T],
    ends: &[usize],
    mut look: impl FnMut(&[T], &[T]),
) {
    let mut ends = ends.to_vec();
    let mut merged: Vec<T> = Vec::with_capacity(items.len());
    while ends.len() > 1 {
        let mut from = 0;
        let mut longer = Vec::with_capacity(ends.len().div_ceil(2));
        for two in ends.chunks(2) {
            let &[middle, end] = two else {
                longer.extend(two);
                break;
            };
            let (left, right) = (&items[from..middle], &items[middle..end]);
            look(left, right);
            merge(left, right, &mut merged);
            items[from..end].copy_from_slice(&merged);
            longer.push(end);
            from = end;
        }
        ends = longer;
    }
}

fn merge<T: Keyed>(left: &[T], right: &[T], merged: &mut Vec<T>) {
    merged.clear();
    let (mut one, mut other) = (left, right);
    while let ([first, rest @ ..], [second, later @ ..]) = (one, other) {
        if second.key().total_cmp(&first.key()) == Ordering::Less {
            merged.push(*second);
            other = later;
        } else {
            merged.push(*first);
            one = rest;
        }
    }
    merged.extend_from_slice(one);
    merged.extend_from_slice(other);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_are_merged_in_order_and_each_two_are_shown() {
        let mut items = [2.0, 5.0, 1.0, 4.0, 9.0, 3.0];
        let mut shown = Vec::new();
        merge_runs(&mut items, &[2, 5, 6], |left, right| {
            shown.push((left.to_vec(), right.to_vec()));
        });
        assert_eq!(items, [1.0, 2.0, 3.0, 4.0, 5.0, 9.0]);
        let first = (vec![2.0, 5.0], vec![1.0, 4.0, 9.0]);
        let second = (vec![1.0, 2.0, 4.0, 5.0, 9.0], vec![3.0]);
        assert_eq!(shown, [first, second]);
    }

    #[test]
    fn one_run_or_none_is_left_as_it_is() {
        merge_runs(&mut [1.0, 2.0], &[2], |_, _| {
            panic!("there is no other run")
        });
        merge_runs(&mut [] as &mut [f64], &[], |_, _| panic!("there is no run"));
    }
}
