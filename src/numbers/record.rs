//! The lines that a price is worked out from and for, with jobs, types of task and locations
//! as indices; and how they become rows of the equations. Fits nothing: see `log_linear`.

use super::equations::{Columns, Row};
use std::cmp::Ordering;

/// One job's minutes on one type of task.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observation {
    /// Which job; any numbers, equal within a job.
    pub job: usize,
    /// Which type of task, from 0.
    pub task: usize,
    /// Which location type, from 0; a job without one takes an index of its own.
    pub location: usize,
    /// How many, in the type's unit; 1 where none is given.
    pub count: f64,
    /// When, in years from the day of the question: 0 or negative.
    pub age: f64,
    /// How long in all, in minutes.
    pub minutes: f64,
}

impl Observation {
    /// Whether the line can be fitted: its minutes and its count are above 0, and all its
    /// numbers are finite.
    pub fn is_usable(&self) -> bool {
        let positive = |value: f64| value > 0.0 && value.is_finite();
        positive(self.count) && positive(self.minutes) && self.age.is_finite()
    }
}

/// One line of a job to come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// Which type of task.
    pub task: usize,
    /// Which location type.
    pub location: usize,
    /// How many, in the type's unit.
    pub count: f64,
    /// When, in years from the day of the question: 0 for a job to come.
    pub age: f64,
}

/// Sums are taken in this order, whatever the order of the record.
pub(super) fn in_order(one: &Observation, other: &Observation) -> Ordering {
    let place = |of: &Observation| (of.job, of.task, of.location);
    place(one)
        .cmp(&place(other))
        .then(one.age.total_cmp(&other.age))
        .then(one.count.total_cmp(&other.count))
        .then(one.minutes.total_cmp(&other.minutes))
}

/// By type of task, its place among those seen.
pub(super) fn places_of(used: &[&Observation]) -> Vec<Option<usize>> {
    let most = used.iter().map(|one| one.task + 1).max().unwrap_or(0);
    let mut seen = vec![false; most];
    for one in used {
        seen[one.task] = true;
    }
    let mut next = 0;
    let mut place = |seen: bool| {
        next += usize::from(seen);
        seen.then(|| next - 1)
    };
    seen.into_iter().map(&mut place).collect()
}

pub(super) fn row_of(one: &Observation, places: &[Option<usize>], columns: Columns) -> Row {
    let task = places[one.task].expect("the places are those of these lines");
    Row {
        job: one.job,
        task,
        cells: Row::cells(columns, task, one.location, libm::log(one.count), one.age),
        log: libm::log(one.minutes),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LINE: Observation = Observation {
        job: 0,
        task: 2,
        location: 0,
        count: 3.0,
        age: -1.0,
        minutes: 90.0,
    };

    #[test]
    fn only_times_and_counts_above_nothing_are_usable() {
        assert!(LINE.is_usable());
        for odd in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(
                !Observation {
                    minutes: odd,
                    ..LINE
                }
                .is_usable()
            );
            assert!(!Observation { count: odd, ..LINE }.is_usable());
        }
        assert!(
            !Observation {
                age: f64::NAN,
                ..LINE
            }
            .is_usable()
        );
    }

    #[test]
    fn types_that_were_seen_have_places_in_their_order() {
        let other = Observation { task: 0, ..LINE };
        assert_eq!(places_of(&[&LINE, &other, &LINE]), [Some(0), None, Some(1)]);
        assert_eq!(places_of(&[]), []);
    }
}
