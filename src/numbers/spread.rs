//! What the residuals of a pass say of the spread: each type's variance, what one job's lines
//! share, the locations and the types among themselves. Estimates no mean: see `equations`.

use super::equations::{Columns, Row, Solution};
use super::moderated::{drawn, moderated_variance, pooled_variance};
use super::quantile::Sorted;

/// A type's own variance counts from this many degrees of freedom on.
const LEAST_DF: f64 = 0.5;
/// The prior is fitted from this many types on that count.
const LEAST_TYPES: usize = 3;
/// The prior is worth at least so many degrees of freedom.
const LEAST_PRIOR_DF: f64 = 2.0;
/// With fewer types the variance leans on this one, a spread of about a third each way ...
const USUAL_VARIANCE: f64 = 0.12;
/// ... as if it had been found with this many degrees of freedom.
const USUAL_DF: f64 = 5.0;

/// How alike the lines of one job are taken to be before any is seen ...
const JOB_CORRELATION: f64 = 0.15;
/// ... as if so many pairs had shown it.
const JOB_PAIRS: f64 = 10.0;
/// At most so much of the middle variance is shared.
const MOST_SHARED: f64 = 0.8;
/// A residual of more standard deviations than this counts as so many, among pairs.
const FAR: f64 = 2.5;

/// The locations' standard deviation before any is seen ...
const LOCATION_SD: f64 = 0.08;
/// ... as if so many locations had shown it.
const LOCATION_LEVELS: f64 = 3.0;

/// What a pass left over of each row.
#[derive(Debug, Clone, Copy)]
pub(super) struct Residual {
    /// The logarithm less its mean.
    pub(super) value: f64,
    /// How much the row pulled its own mean to itself, from 0 to just under 1.
    pub(super) leverage: f64,
}

/// A type's own variance, before it is drawn to the others'.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Own {
    pub(super) variance: f64,
    /// Degrees of freedom; 0 where they are too few to count.
    pub(super) df: f64,
}

/// All types' variances, drawn together.
#[derive(Debug, Clone)]
pub(super) struct Drawn {
    /// The prior's degrees of freedom, infinite where all types agree; `None` where there
    /// are too few types to fit one.
    pub(super) prior_df: Option<f64>,
    pub(super) prior_variance: f64,
    /// By type.
    pub(super) variance: Vec<f64>,
    /// The degrees of freedom of each variance, as drawn.
    pub(super) dof: Vec<f64>,
}

/// What rounding alone gives a type's logarithms for variance: that of an even spread over
/// one step of `grid` minutes about its geometric mean.
///
/// Two equal rounded times have no spread of their own, which would draw every other type's
/// variance down, and price a type seen once to one or two in a hundred.
pub(super) fn rounding_variance(grid: f64, geometric_mean: f64) -> f64 {
    grid * grid / 12.0 / (geometric_mean * geometric_mean)
}

/// Each type's variance from its residuals, at least what rounding gives.
///
/// ```text
/// df = sum of (1 - leverage), 0 for a type seen once;  s2 = max(sum of squares / df, rounding)
/// ```
pub(super) fn own(rows: &[Row], residuals: &[Residual], rounding: &[f64]) -> Vec<Own> {
    let mut sums = vec![(0_usize, 0.0, 0.0); rounding.len()];
    for (row, residual) in rows.iter().zip(residuals) {
        let (seen, squares, df) = &mut sums[row.task];
        *seen += 1;
        *squares += residual.value * residual.value;
        *df += 1.0 - residual.leverage;
    }
    sums.into_iter()
        .zip(rounding)
        .map(|((seen, squares, df), &least)| {
            if seen > 1 && df > 0.0 {
                Own {
                    variance: (squares / df).max(least),
                    df: if df > LEAST_DF { df } else { 0.0 },
                }
            } else {
                Own {
                    variance: least,
                    df: 0.0,
                }
            }
        })
        .collect()
}

/// Draws the types' variances together: with three or more types that count by Smyth's prior,
/// of at least two degrees of freedom; with fewer they are pooled, and with few degrees of
/// freedom lean on a usual variance of 0.12.
///
/// ```text
/// v   = (d0 s02 + df s2) / (d0 + df),  dof = min(d0 + df, max(F, d0)),  F = sum of df
/// d0 infinite: v = pooled, dof = F
/// fewer than 3 types: v = pooled if F >= 5, else (F pooled + 5 times 0.12) / (F + 5);  dof = max(F, 5)
/// ```
pub(super) fn draw_together(own: &[Own]) -> Drawn {
    let usable: Vec<(f64, f64)> = own
        .iter()
        .filter(|own| own.df > 0.0)
        .map(|own| (own.variance, own.df))
        .collect();
    let all: f64 = usable.iter().map(|(_, df)| df).sum();
    let moderated = if usable.len() >= LEAST_TYPES {
        let (variances, df): (Vec<f64>, Vec<f64>) = usable.iter().copied().unzip();
        moderated_variance(&variances, &df)
    } else {
        None
    };
    let Some(moderated) = moderated else {
        let variance = if all >= USUAL_DF {
            pooled_variance(&usable)
        } else {
            let found: f64 = usable.iter().map(|(variance, df)| variance * df).sum();
            (found + USUAL_DF * USUAL_VARIANCE) / (all + USUAL_DF)
        };
        return Drawn {
            prior_df: None,
            prior_variance: variance,
            variance: vec![variance; own.len()],
            dof: vec![all.max(USUAL_DF); own.len()],
        };
    };
    let prior_df = moderated.prior_df.max(LEAST_PRIOR_DF);
    let prior_variance = moderated.prior_variance;
    let dof = |own: &Own| {
        if prior_df.is_infinite() {
            all
        } else {
            (prior_df + own.df).min(all.max(prior_df))
        }
    };
    Drawn {
        prior_df: Some(prior_df),
        prior_variance,
        variance: own
            .iter()
            .map(|own| drawn(prior_df, prior_variance, own.variance, own.df))
            .collect(),
        dof: own.iter().map(dof).collect(),
    }
}

/// The variance that the lines of one job share, from the products of their residuals, held by
/// ten pairs' worth of a correlation of 0.15; rows by job.
///
/// ```text
/// z   = residual / sqrt v, within -2.5 .. 2.5
/// num = sum over pairs of z z' / sqrt(v v'),  den = sum of (1 - lev)(1 - lev') / (v v')
/// t   = (num + 10 times 0.15 / m) / (den + 10 / m^2) within 0 .. 0.8 m,  m the middle type's v
/// ```
///
/// `None` where a variance is not finite.
pub(super) fn shared_in_job(rows: &[Row], residuals: &[Residual], variance: &[f64]) -> Option<f64> {
    let middle = Sorted::new(variance.to_vec())?.median();
    let (mut products, mut weights) = (0.0, 0.0);
    let mut from = 0;
    for job in rows.chunk_by(|one, other| one.job == other.job) {
        let residuals = &residuals[from..from + job.len()];
        from += job.len();
        for (place, (row, residual)) in job.iter().zip(residuals).enumerate() {
            let v = variance[row.task];
            let scaled = (residual.value / v.sqrt()).clamp(-FAR, FAR) / v.sqrt();
            for (other, other_residual) in job.iter().zip(residuals).skip(place + 1) {
                let u = variance[other.task];
                let other_scaled = (other_residual.value / u.sqrt()).clamp(-FAR, FAR) / u.sqrt();
                products += scaled * other_scaled;
                weights += (1.0 - residual.leverage) * (1.0 - other_residual.leverage) / (v * u);
            }
        }
    }
    let shared = (products + JOB_PAIRS * JOB_CORRELATION / middle)
        / (weights + JOB_PAIRS / (middle * middle));
    Some(shared.clamp(0.0, MOST_SHARED * middle))
}

/// The variance of the locations about 0: one step of restricted maximum likelihood, held by
/// three levels' worth of a standard deviation of 0.08, so that it is never 0.
///
/// ```text
/// sum over locations of [u^2 + Var(u)] + 3 times 0.08^2, over L + 3
/// ```
///
/// Source: Patterson and Thompson (1971), Biometrika 58.
pub(super) fn between_locations(columns: Columns, solution: &Solution) -> f64 {
    let found: f64 = (0..columns.locations)
        .map(|location| square_and_doubt(solution, columns.location(location)))
        .sum();
    let held = LOCATION_LEVELS * LOCATION_SD * LOCATION_SD;
    (found + held) / (columns.locations as f64 + LOCATION_LEVELS)
}

/// The variance of the types about the grand mean; 1 with fewer than three types.
pub(super) fn between_tasks(columns: Columns, solution: &Solution) -> f64 {
    if columns.tasks < LEAST_TYPES {
        return 1.0;
    }
    let found: f64 = (0..columns.tasks)
        .map(|task| square_and_doubt(solution, columns.task(task)))
        .sum();
    found / columns.tasks as f64
}

fn square_and_doubt(solution: &Solution, at: usize) -> f64 {
    solution.effects[at].powi(2) + solution.covariance[(at, at)]
}

/// The spread that the first pass goes by.
pub(super) mod start {
    use super::LOCATION_SD;

    /// Of a line about its mean.
    pub(in crate::numbers) const TASK: f64 = super::USUAL_VARIANCE;
    /// What a job's lines share of it.
    pub(in crate::numbers) const JOB: f64 = 0.01;
    /// Of the locations.
    pub(in crate::numbers) const LOCATION: f64 = LOCATION_SD * LOCATION_SD;
    /// Of the types.
    pub(in crate::numbers) const BETWEEN: f64 = 0.5;
}

#[cfg(test)]
mod tests {
    use super::*;

    fn own(all: &[(f64, f64)]) -> Vec<Own> {
        let own = |&(variance, df): &(f64, f64)| Own { variance, df };
        all.iter().map(own).collect()
    }

    #[test]
    fn one_type_with_little_behind_it_leans_on_the_usual_spread() {
        let drawn = draw_together(&own(&[(0.02, 1.0)]));
        assert_eq!(drawn.prior_df, None);
        // By hand: (1 times 0.02 + 5 times 0.12) / 6.
        assert!((drawn.variance[0] - 0.62 / 6.0).abs() < 1e-15);
        assert_eq!(drawn.dof, [5.0]);
    }

    #[test]
    fn nothing_behind_it_is_the_usual_spread() {
        let drawn = draw_together(&own(&[(1e-4, 0.0), (1e-4, 0.0)]));
        assert!((drawn.variance[1] - USUAL_VARIANCE).abs() < 1e-15);
        assert_eq!(drawn.dof, [5.0, 5.0]);
    }

    #[test]
    fn two_types_are_pooled() {
        let drawn = draw_together(&own(&[(0.02, 6.0), (0.05, 3.0)]));
        assert!((drawn.variance[0] - 0.03).abs() < 1e-15);
        assert_eq!(drawn.dof, [9.0, 9.0]);
    }

    #[test]
    fn a_type_alone_has_the_freedom_of_the_prior() {
        let drawn = draw_together(&own(&[(0.02, 6.0), (0.3, 9.0), (0.05, 3.0), (1e-4, 0.0)]));
        let prior_df = drawn.prior_df.expect("three types");
        assert!(prior_df >= LEAST_PRIOR_DF);
        assert_eq!(drawn.dof[3], prior_df);
        assert!((drawn.variance[3] - drawn.prior_variance).abs() < 1e-15);
        assert!(drawn.dof.iter().all(|&dof| dof <= 18.0));
    }

    fn row(job: usize, task: usize) -> Row {
        let columns = Columns {
            tasks: 2,
            locations: 1,
        };
        Row {
            job,
            task,
            cells: Row::cells(columns, task, 0, 0.0, 0.0),
            log: 4.0,
        }
    }

    fn residuals(values: &[f64]) -> Vec<Residual> {
        let residual = |&value: &f64| Residual {
            value,
            leverage: 0.0,
        };
        values.iter().map(residual).collect()
    }

    #[test]
    fn a_type_seen_once_has_no_spread_of_its_own() {
        let rows = [row(0, 0), row(0, 1), row(1, 1)];
        let own = own_of(&rows, &residuals(&[0.4, 0.1, -0.1]));
        assert_eq!((own[0].variance, own[0].df), (1e-3, 0.0));
        assert!((own[1].variance - 0.01).abs() < 1e-15);
        assert_eq!(own[1].df, 2.0);
    }

    #[test]
    fn two_equal_times_have_the_spread_of_rounding() {
        let rows = [row(0, 0), row(1, 0), row(2, 1)];
        let own = own_of(&rows, &residuals(&[0.0, 0.0, 0.3]));
        assert_eq!((own[0].variance, own[0].df), (1e-3, 2.0));
        // Five minutes on an hour: (5/60)^2 / 12.
        assert!((rounding_variance(5.0, 60.0) - 1.0 / 1728.0).abs() < 1e-15);
    }

    fn own_of(rows: &[Row], residuals: &[Residual]) -> Vec<Own> {
        super::own(rows, residuals, &[1e-3, 1e-3])
    }

    #[test]
    fn jobs_of_one_line_share_what_is_taken_for_usual() {
        let rows = [row(0, 0), row(1, 1), row(2, 0)];
        let shared =
            shared_in_job(&rows, &residuals(&[0.3, -0.2, 0.1]), &[0.1, 0.1]).expect("finite");
        assert!((shared - JOB_CORRELATION * 0.1).abs() < 1e-15);
    }

    #[test]
    fn lines_that_go_together_share_more_and_never_less_than_nothing() {
        let rows: Vec<Row> = (0..40).flat_map(|job| [row(job, 0), row(job, 1)]).collect();
        let together: Vec<f64> = (0..80)
            .map(|at| if at / 2 % 2 == 0 { 0.3 } else { -0.3 })
            .collect();
        let apart: Vec<f64> = (0..80)
            .map(|at| if at % 2 == 0 { 0.3 } else { -0.3 })
            .collect();
        let variance = [0.09, 0.09];
        // By hand (40 + 10 times 0.15) / 50 of the variance, and no more than 0.8 of it.
        let shared = shared_in_job(&rows, &residuals(&together), &variance).expect("finite");
        assert!((shared - 0.8 * 0.09).abs() < 1e-12);
        let none = shared_in_job(&rows, &residuals(&apart), &variance);
        assert_eq!(none, Some(0.0));
        let odd = shared_in_job(&rows, &residuals(&apart), &[0.1, f64::NAN]);
        assert_eq!(odd, None);
    }

    #[test]
    fn two_types_weigh_by_their_degrees_of_freedom() {
        let drawn = draw_together(&own(&[(0.2, 2.0), (0.1, 1.0)]));
        // By hand: (2 times 0.2 + 1 times 0.1 + 5 times 0.12) / (3 + 5).
        assert!((drawn.variance[0] - 1.1 / 8.0).abs() < 1e-15);
    }
}
