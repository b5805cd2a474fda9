//! What a fit of a record came to, and the lines that are read off it. Fits nothing: see
//! `log_linear`.

use super::equations::{Columns, Row, Solution};
use super::log_student::LogStudent;
use super::record::Wanted;
use super::shape::Shape;

/// At most so much of a line's variance is taken for shared in its job.
const MOST_RHO: f64 = 0.95;

/// What the record says of one type of task.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TaskFit {
    /// Jobs it was seen in.
    pub seen: usize,
    /// Its own variance of the logarithm, at least what rounding gives.
    pub own_variance: f64,
    /// The degrees of freedom of that, 0 where too few to count.
    pub own_df: f64,
    /// Its variance as drawn to the other types'.
    pub variance: f64,
    /// The degrees of freedom of that.
    pub dof: f64,
    /// The power of the count that its minutes go by: with 0.9, twice as many take 1.87
    /// times as long.
    pub exponent: f64,
}

/// A record, fitted.
#[derive(Debug, Clone)]
pub struct Fit {
    /// By type of task; `None` for one that no line was used of.
    pub tasks: Vec<Option<TaskFit>>,
    /// Lines used.
    pub used: usize,
    /// Lines left out, for minutes or a count of 0 or less, or a number that is not finite.
    pub left_out: usize,
    /// The grand mean of the logarithm of the minutes, for a count of 1 on the day.
    pub grand_mean: f64,
    /// The power of the count that is common to all types.
    pub exponent: f64,
    /// The change of the logarithm a year: -0.05 is about five in a hundred quicker.
    pub drift: f64,
    /// By location type: the logarithm's difference there, 0 for one not in the record.
    pub locations: Vec<f64>,
    /// Variance of the locations.
    pub location_variance: f64,
    /// Variance of the types' means.
    pub between_tasks: f64,
    /// The variance that the lines of one job share.
    pub job_variance: f64,
    /// Degrees of freedom of the prior of the variances, infinite where the types do not
    /// differ in theirs; `None` with fewer than three types to fit it to.
    pub prior_df: Option<f64>,
    /// The variance that the types' are drawn to.
    pub prior_variance: f64,
    /// By type of task, its place among those seen.
    pub(super) places: Vec<Option<usize>>,
    pub(super) columns: Columns,
    pub(super) solution: Solution,
    pub(super) shape: Option<Shape>,
}

impl Fit {
    /// What a line would take, in minutes; `None` for a type that the record does not hold, a
    /// location past those that were fitted, or a count that is not above 0.
    ///
    /// ```text
    /// ln minutes ~ m + sqrt(v + se^2) t(dof),  m and se^2 of the line's mean,  shared = job's part / v
    /// ```
    ///
    /// A location that no job was at counts as 0 with the locations' variance, which is in se^2.
    pub fn line(&self, wanted: &Wanted) -> Option<LogStudent> {
        let task = self.tasks.get(wanted.task).copied().flatten()?;
        let cells = self.cells(wanted)?;
        Some(LogStudent {
            mean: self.solution.mean(&cells),
            variance: task.variance,
            doubt: self.solution.covariance(&cells, &cells),
            dof: task.dof,
            shared: (self.job_variance / task.variance).min(MOST_RHO),
            shape: None,
        })
    }

    /// What each line of one job would take: [`Self::line`] for each, bent to the shape of the
    /// record's residuals where there are a hundred or more; see `shape`.
    pub fn lines(&self, wanted: &[Wanted]) -> Vec<Option<LogStudent>> {
        let bent = |line: LogStudent| match self.shape {
            Some(shape) => LogStudent {
                shared: shape.shared(line.shared).min(MOST_RHO),
                shape: Some(shape),
                ..line
            },
            None => line,
        };
        let line = |wanted| self.line(wanted).map(bent);
        wanted.iter().map(line).collect()
    }

    fn cells(&self, wanted: &Wanted) -> Option<[(usize, f64); 6]> {
        let place = self.places.get(wanted.task).copied().flatten()?;
        let finite = wanted.count.is_finite() && wanted.age.is_finite();
        if !finite || wanted.count <= 0.0 || wanted.location >= self.columns.locations {
            return None;
        }
        let log_count = libm::log(wanted.count);
        Some(Row::cells(
            self.columns,
            place,
            wanted.location,
            log_count,
            wanted.age,
        ))
    }
}

#[cfg(test)]
mod tests {
    use crate::numbers::log_linear::fit;
    use crate::numbers::record::{Observation, Wanted};

    /// So many jobs of types 0 and 3, at two locations in turn; one in ten takes three times
    /// as long.
    fn record_of(jobs: usize) -> Vec<Observation> {
        (0..jobs)
            .flat_map(|job| {
                [0, 3].map(|task| Observation {
                    job,
                    task,
                    location: job % 2,
                    count: (1 + job % 3) as f64,
                    age: -1.0,
                    minutes: if (job + task) % 10 == 0 {
                        180.0
                    } else {
                        50.0 + 5.0 * (job / 2 % 4) as f64
                    },
                })
            })
            .collect()
    }

    fn record() -> Vec<Observation> {
        record_of(40)
    }

    fn wanted(task: usize, count: f64) -> Wanted {
        Wanted {
            task,
            location: 0,
            count,
            age: 0.0,
        }
    }

    #[test]
    fn a_type_or_a_location_that_is_not_there_has_no_line() {
        let fit = fit(&record(), 2).expect("a record");
        assert_eq!(fit.line(&wanted(1, 1.0)), None);
        assert_eq!(fit.line(&wanted(99, 1.0)), None);
        assert_eq!(fit.line(&wanted(0, 0.0)), None);
        assert_eq!(fit.line(&wanted(0, f64::NAN)), None);
        let elsewhere = Wanted {
            location: 2,
            ..wanted(0, 1.0)
        };
        assert_eq!(fit.line(&elsewhere), None);
    }

    #[test]
    fn a_location_nobody_was_at_is_less_sure() {
        let fit = fit(&record(), 3).expect("a record");
        let known = fit.line(&wanted(0, 1.0)).expect("known");
        let new = Wanted {
            location: 2,
            ..wanted(0, 1.0)
        };
        let new = fit.line(&new).expect("known");
        assert_eq!(fit.locations[2], 0.0);
        assert!(new.doubt > known.doubt);
    }

    #[test]
    fn fewer_than_a_hundred_lines_are_the_plain_method() {
        let fit = fit(&record(), 2).expect("a record");
        let plain = fit.line(&wanted(0, 2.0));
        assert_eq!(fit.lines(&[wanted(0, 2.0), wanted(7, 1.0)]), [plain, None]);
    }

    #[test]
    fn a_hundred_lines_and_more_take_the_shape_of_what_went_wrong() {
        let fit = fit(&record_of(80), 2).expect("a record");
        let plain = fit.line(&wanted(0, 2.0)).expect("known");
        let bent = fit.lines(&[wanted(0, 2.0)])[0].expect("known");
        // What mostly happens is in a narrower band, with what is shared a larger part of it.
        assert!(bent.quantile(0.2) > plain.quantile(0.2));
        assert!(bent.quantile(0.8) < plain.quantile(0.8));
        assert!(bent.shared > plain.shared);
        assert_eq!((bent.mean, bent.dof), (plain.mean, plain.dof));
    }
}
