//! One pass of the linear system on logarithms: the equations of the means under their weak
//! priors, with what one job's lines share, solved. Estimates no variance: see `spread`.

use nalgebra::{DMatrix, DVector};

/// The precision of the grand mean's prior: as good as none, and enough to solve with.
const FLAT: f64 = 1e-8;
/// The exponent of the count: six take less than six times one.
const EXPONENT: Prior = Prior::new(0.9, 0.15);
/// By how much a type's exponent differs from the common one.
const EXPONENT_BY_TASK: Prior = Prior::new(0.0, 0.10);
/// The change of the logarithm a year, common to all types.
const DRIFT: Prior = Prior::new(0.0, 0.10);

/// A normal prior.
struct Prior {
    mean: f64,
    precision: f64,
}

impl Prior {
    const fn new(mean: f64, sd: f64) -> Self {
        Self {
            mean,
            precision: 1.0 / (sd * sd),
        }
    }
}

/// Which column of the system is which effect.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Columns {
    pub(super) tasks: usize,
    pub(super) locations: usize,
}

impl Columns {
    pub(super) const MEAN: usize = 0;

    pub(super) fn count(self) -> usize {
        2 * self.tasks + self.locations + 3
    }

    pub(super) fn task(self, task: usize) -> usize {
        1 + task
    }

    pub(super) fn exponent(self) -> usize {
        self.tasks + 1
    }

    pub(super) fn exponent_of(self, task: usize) -> usize {
        self.tasks + 2 + task
    }

    pub(super) fn drift(self) -> usize {
        2 * self.tasks + 2
    }

    pub(super) fn location(self, location: usize) -> usize {
        2 * self.tasks + 3 + location
    }
}

/// One row of the system: six columns that are not 0. A task's index counts seen types only.
#[derive(Debug, Clone, Copy)]
pub(super) struct Row {
    pub(super) job: usize,
    pub(super) task: usize,
    pub(super) cells: [(usize, f64); 6],
    /// The logarithm of the minutes.
    pub(super) log: f64,
}

impl Row {
    /// The cells of a line: its type, location, the logarithm of its count, and its age in years
    /// (0 now, negative before).
    pub(super) fn cells(
        columns: Columns,
        task: usize,
        location: usize,
        log_count: f64,
        age: f64,
    ) -> [(usize, f64); 6] {
        [
            (Columns::MEAN, 1.0),
            (columns.task(task), 1.0),
            (columns.exponent(), log_count),
            (columns.exponent_of(task), log_count),
            (columns.drift(), age),
            (columns.location(location), 1.0),
        ]
    }
}

/// The variances that a pass takes as given.
#[derive(Debug, Clone)]
pub(super) struct Variances {
    /// Of a line about its mean, by type.
    pub(super) task: Vec<f64>,
    /// The part of it that the lines of one job share.
    pub(super) job: f64,
    /// Of the locations about 0.
    pub(super) location: f64,
    /// Of the types about the grand mean.
    pub(super) between: f64,
}

/// The solution of one pass: the effects, and their covariance under the priors.
#[derive(Debug, Clone)]
pub(super) struct Solution {
    pub(super) effects: DVector<f64>,
    pub(super) covariance: DMatrix<f64>,
}

impl Solution {
    /// The mean of a row.
    pub(super) fn mean(&self, cells: &[(usize, f64); 6]) -> f64 {
        cells.iter().map(|&(at, x)| x * self.effects[at]).sum()
    }

    /// The covariance of the estimated means of two rows; of a row with itself, its variance.
    pub(super) fn covariance(&self, one: &[(usize, f64); 6], other: &[(usize, f64); 6]) -> f64 {
        let column = |&(at, x): &(usize, f64)| -> f64 {
            let of = |&(from, y): &(usize, f64)| y * self.covariance[(from, at)];
            x * one.iter().map(of).sum::<f64>()
        };
        other.iter().map(column).sum()
    }
}

/// Solves for the effects, given the variances and each row's weight (`1` or less); `None` where
/// the numbers lie too far apart for 53 bits. The rows stand by job.
///
/// ```text
/// D = max(v - t, v/5) / h,  w = 1/D,  k = t / (1 + t sum w),  s = X'w   in each job
/// A = prior precisions + sum over jobs of [X' diag(w) X - k s s']
/// r = precisions times prior means + sum over jobs of [X'(w y) - k s (w'y)]
/// effects = A^-1 r,  covariance = A^-1
/// ```
///
/// `v` is the type's variance, `t` the job's, `h` the row's weight. The job's covariance
/// `diag(D) + t 11'` is inverted by Sherman and Morrison's formula, so it costs the job's
/// lines and never a dense matrix of rows. Source: Henderson (1975), Biometrics 31.
///
/// Only plain loops of multiply and add, in a fixed order: the digits do not hang on the
/// machine.
pub(super) fn solve(
    columns: Columns,
    rows: &[Row],
    weights: &[f64],
    variances: &Variances,
) -> Option<Solution> {
    let size = columns.count();
    let (mut matrix, mut right) = priors(columns, variances);
    let mut shared = vec![0.0; size];
    let mut touched: Vec<usize> = Vec::new();
    let mut from = 0;
    for job in rows.chunk_by(|one, other| one.job == other.job) {
        let (mut weight_sum, mut log_sum) = (0.0, 0.0);
        for (row, h) in job.iter().zip(&weights[from..]) {
            let v = variances.task[row.task];
            let w = h / (v - variances.job).max(0.2 * v);
            weight_sum += w;
            log_sum += w * row.log;
            for (place, &(at, x)) in row.cells.iter().enumerate() {
                right[at] += w * x * row.log;
                shared[at] += w * x;
                touched.push(at);
                for &(before, y) in &row.cells[..=place] {
                    // The columns of a row ascend, so this is the lower triangle.
                    matrix[(at, before)] += w * x * y;
                }
            }
        }
        from += job.len();
        touched.sort_unstable();
        touched.dedup();
        let k = variances.job / (1.0 + variances.job * weight_sum);
        for (place, &at) in touched.iter().enumerate() {
            right[at] -= k * shared[at] * log_sum;
            for &before in &touched[..=place] {
                matrix[(at, before)] -= k * shared[at] * shared[before];
            }
        }
        for at in touched.drain(..) {
            shared[at] = 0.0;
        }
    }
    // Positive definite by its form, so there is a factor unless rounding or an overflow
    // took that from it.
    let factor = matrix.cholesky()?;
    Some(Solution {
        effects: factor.solve(&right),
        covariance: factor.inverse(),
    })
}

/// The system before any row: the prior precisions on the diagonal, and their pull.
fn priors(columns: Columns, variances: &Variances) -> (DMatrix<f64>, DVector<f64>) {
    let size = columns.count();
    let mut matrix = DMatrix::zeros(size, size);
    let mut right = DVector::zeros(size);
    let mut set = |at: usize, prior: &Prior| {
        matrix[(at, at)] = prior.precision;
        right[at] = prior.precision * prior.mean;
    };
    let about_zero = |variance: f64| Prior {
        mean: 0.0,
        precision: 1.0 / variance,
    };
    set(
        Columns::MEAN,
        &Prior {
            mean: 0.0,
            precision: FLAT,
        },
    );
    set(columns.exponent(), &EXPONENT);
    set(columns.drift(), &DRIFT);
    for task in 0..columns.tasks {
        set(columns.task(task), &about_zero(variances.between));
        set(columns.exponent_of(task), &EXPONENT_BY_TASK);
    }
    for location in 0..columns.locations {
        set(columns.location(location), &about_zero(variances.location));
    }
    (matrix, right)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Four lines of two jobs, two types and two locations.
    fn lines(columns: Columns) -> Vec<Row> {
        [
            (0, 0, 0, 0.7, -1.5, 4.9),
            (0, 1, 0, 0.0, -1.5, 3.8),
            (1, 0, 1, 1.1, -0.5, 5.2),
            (1, 1, 1, 0.4, -0.5, 4.4),
        ]
        .map(|(job, task, location, log_count, age, log)| Row {
            job,
            task,
            cells: Row::cells(columns, task, location, log_count, age),
            log,
        })
        .to_vec()
    }

    /// The same by the definition: the inverse of the whole covariance of the rows.
    fn by_definition(
        columns: Columns,
        rows: &[Row],
        weights: &[f64],
        variances: &Variances,
    ) -> Solution {
        let count = rows.len();
        let mut x = DMatrix::zeros(count, columns.count());
        let mut covariance = DMatrix::zeros(count, count);
        for (at, row) in rows.iter().enumerate() {
            for (column, value) in row.cells {
                x[(at, column)] = value;
            }
            for (other, with) in rows.iter().enumerate() {
                if row.job == with.job {
                    covariance[(at, other)] += variances.job;
                }
            }
            let v = variances.task[row.task];
            covariance[(at, at)] += (v - variances.job).max(0.2 * v) / weights[at];
        }
        let logs = DVector::from_iterator(count, rows.iter().map(|row| row.log));
        let inverse = covariance.try_inverse().expect("positive definite");
        let (prior, pull) = priors(columns, variances);
        let matrix = prior + x.transpose() * &inverse * &x;
        let covariance = matrix.try_inverse().expect("positive definite");
        Solution {
            effects: &covariance * (pull + x.transpose() * inverse * logs),
            covariance,
        }
    }

    #[test]
    fn jobs_of_lines_solve_as_the_whole_matrix_does() {
        let columns = Columns {
            tasks: 2,
            locations: 3,
        };
        let rows = lines(columns);
        let variances = Variances {
            task: vec![0.05, 0.2],
            job: 0.03,
            location: 0.01,
            between: 0.5,
        };
        let weights = [1.0, 0.4, 1.0, 0.9];
        let got = solve(columns, &rows, &weights, &variances).expect("well apart");
        let want = by_definition(columns, &rows, &weights, &variances);
        assert!((got.effects - want.effects).amax() < 1e-9);
        // The grand mean and the types hang together, so that their variances are large.
        assert!((got.covariance - want.covariance).amax() < 1e-8);
    }

    #[test]
    fn a_location_without_a_line_is_nought_with_its_variance() {
        let columns = Columns {
            tasks: 2,
            locations: 3,
        };
        let rows = lines(columns);
        let variances = Variances {
            task: vec![0.05, 0.2],
            job: 0.03,
            location: 0.01,
            between: 0.5,
        };
        let got = solve(columns, &rows, &[1.0; 4], &variances).expect("well apart");
        let place = columns.location(2);
        assert!(got.effects[place].abs() < 1e-12);
        assert!((got.covariance[(place, place)] - 0.01).abs() < 1e-12);
    }
}
