//! How long a job's lines take, fitted to a whole record at once: one linear model on the
//! logarithm of the minutes. Draws no total: see `log_student`. Knows types, locations and
//! jobs as indices only.

use super::equations::{Columns, Row, Solution, Variances, solve};
use super::record::{self, Observation};
use super::shape::Shape;
use super::spread::{self, Drawn, Own, Residual, start};

pub use super::fitted::{Fit, TaskFit};

/// The passes of a fit: fixed, not until it settles, so that every value repeats to the digit.
const PASSES: usize = 8;
/// A residual of more standard deviations than this weighs less in the next pass.
const HUBER: f64 = 1.5;
/// A line can pull its own mean to itself all but this much.
const LEAST_FREE: f64 = 1e-9;
/// A residual's spread is taken for at least this share of its line's, however much the line
/// pulled its mean to itself.
const LEAST_SHOWN: f64 = 0.05;
/// Times are taken for rounded to this many minutes ...
const COARSE_GRID: f64 = 5.0;
/// ... where at least so large a share of them is a multiple of it, else to one minute.
const COARSE_SHARE: f64 = 0.9;

/// Fits the record; `None` if no line can be used, or if its numbers lie so far apart that the
/// equations have no solution in 53 bits. Lines of one job are those with its number;
/// they may stand in any order. `locations` is the number of location types there are, also
/// those that no job was at.
///
/// ```text
/// ln minutes = mean + type + (exponent + type's exponent) ln count + drift age + location + job + rest
/// type ~ N(0, between), exponent ~ N(0.9, 0.15^2), type's ~ N(0, 0.1^2), drift ~ N(0, 0.1^2),
/// location ~ N(0, location variance);  Var(job + rest) = the type's variance, job's part shared
/// ```
///
/// Eight passes of: means by Henderson's mixed equations; Huber weights (1964) at 1.5 standard
/// deviations for the next pass's means; each type's variance from its residuals and leverages,
/// drawn to the others' (Smyth 2004); what a job's lines share; the locations' and the types'
/// variance. It does not divide minutes by count: six downlights take less than six times one.
///
/// The time grows with the lines, plus the cube of twice the number of types. The same record
/// in any order gives the same digits on every machine.
pub fn fit(observations: &[Observation], locations: usize) -> Option<Fit> {
    let mut used: Vec<&Observation> = observations.iter().filter(|one| one.is_usable()).collect();
    if used.is_empty() {
        return None;
    }
    used.sort_by(|one, other| record::in_order(one, other));
    let places = record::places_of(&used);
    let columns = Columns {
        tasks: places.iter().flatten().count(),
        locations: used
            .iter()
            .map(|one| one.location + 1)
            .fold(locations, usize::max),
    };
    let rows: Vec<Row> = used
        .iter()
        .map(|one| record::row_of(one, &places, columns))
        .collect();
    let rounding = rounding_of(&used, &rows, columns.tasks);

    let mut variances = Variances {
        task: vec![start::TASK; columns.tasks],
        job: start::JOB,
        location: start::LOCATION,
        between: start::BETWEEN,
    };
    let mut weights = vec![1.0; rows.len()];
    let mut last = None;
    for _ in 0..PASSES {
        let solution = solve(columns, &rows, &weights, &variances)?;
        let residuals = residuals_of(&rows, &solution, &variances.task);
        for ((weight, row), residual) in weights.iter_mut().zip(&rows).zip(&residuals) {
            let z = residual.value.abs() / variances.task[row.task].sqrt();
            *weight = if z <= HUBER { 1.0 } else { HUBER / z };
        }
        let own = spread::own(&rows, &residuals, &rounding);
        let drawn = spread::draw_together(&own);
        variances = Variances {
            job: spread::shared_in_job(&rows, &residuals, &drawn.variance)?,
            location: spread::between_locations(columns, &solution),
            between: spread::between_tasks(columns, &solution),
            task: drawn.variance.clone(),
        };
        last = Some((solution, own, drawn));
    }
    let (solution, own, drawn) = last.expect("there are eight passes");
    let effects = &solution.effects;
    let shape = Shape::of(standardised(&rows, &solution, &variances.task));
    Some(Fit {
        shape,
        tasks: tasks_of(&places, &rows, &own, &drawn, columns, &solution),
        used: rows.len(),
        left_out: observations.len() - rows.len(),
        grand_mean: effects[Columns::MEAN],
        exponent: effects[columns.exponent()],
        drift: effects[columns.drift()],
        locations: (0..columns.locations)
            .map(|location| effects[columns.location(location)])
            .collect(),
        location_variance: variances.location,
        between_tasks: variances.between,
        job_variance: variances.job,
        prior_df: drawn.prior_df,
        prior_variance: drawn.prior_variance,
        places,
        columns,
        solution,
    })
}

/// By seen type, the variance that rounding gives.
fn rounding_of(used: &[&Observation], rows: &[Row], tasks: usize) -> Vec<f64> {
    let round = used
        .iter()
        .filter(|one| one.minutes % COARSE_GRID == 0.0)
        .count();
    let grid = if (round as f64) < COARSE_SHARE * used.len() as f64 {
        1.0
    } else {
        COARSE_GRID
    };
    let mut sums = vec![(0.0, 0.0); tasks];
    for row in rows {
        let (count, logs) = &mut sums[row.task];
        *count += 1.0;
        *logs += row.log;
    }
    sums.into_iter()
        .map(|(count, logs)| spread::rounding_variance(grid, libm::exp(logs / count)))
        .collect()
}

fn residuals_of(rows: &[Row], solution: &Solution, variance: &[f64]) -> Vec<Residual> {
    rows.iter()
        .map(|row| {
            let pull = solution.covariance(&row.cells, &row.cells) / variance[row.task];
            Residual {
                value: row.log - solution.mean(&row.cells),
                leverage: pull.min(1.0 - LEAST_FREE),
            }
        })
        .collect()
}

/// The residuals in standard deviations of what a line leaves over.
fn standardised(rows: &[Row], solution: &Solution, variance: &[f64]) -> Vec<f64> {
    let residuals = residuals_of(rows, solution, variance);
    rows.iter()
        .zip(residuals)
        .map(|(row, residual)| {
            let free = (1.0 - residual.leverage).max(LEAST_SHOWN);
            residual.value / (variance[row.task] * free).sqrt()
        })
        .collect()
}

fn tasks_of(
    places: &[Option<usize>],
    rows: &[Row],
    own: &[Own],
    drawn: &Drawn,
    columns: Columns,
    solution: &Solution,
) -> Vec<Option<TaskFit>> {
    let mut seen = vec![0; own.len()];
    for row in rows {
        seen[row.task] += 1;
    }
    let task = |&place: &usize| TaskFit {
        seen: seen[place],
        own_variance: own[place].variance,
        own_df: own[place].df,
        variance: drawn.variance[place],
        dof: drawn.dof[place],
        exponent: solution.effects[columns.exponent()]
            + solution.effects[columns.exponent_of(place)],
    };
    places
        .iter()
        .map(|place| place.as_ref().map(task))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numbers::record::Wanted;
    use nalgebra::{DMatrix, DVector};
    use proptest::prelude::*;

    fn line(job: usize, task: usize, count: f64, age: f64, minutes: f64) -> Observation {
        Observation {
            job,
            task,
            location: job % 2,
            count,
            age,
            minutes,
        }
    }

    fn wanted(task: usize, count: f64) -> Wanted {
        Wanted {
            task,
            location: 0,
            count,
            age: 0.0,
        }
    }

    /// Forty jobs of two types: 60 minutes for one, times count^0.8, and 200; a tenth less
    /// or more in turn.
    fn record() -> Vec<Observation> {
        (0..40_usize)
            .flat_map(|job| {
                let age = -(40.0 - job as f64) / 20.0;
                let swing = if job / 2 % 2 == 0 { 1.1 } else { 1.0 / 1.1 };
                let count = (1 + job % 7) as f64;
                let first = line(job, 0, count, age, 60.0 * count.powf(0.8) * swing);
                let second = line(job, 3, 1.0, age, 200.0 * swing);
                [first, second]
            })
            .collect()
    }

    #[test]
    fn nothing_to_use_is_no_fit() {
        assert!(fit(&[], 3).is_none());
        let odd = [
            line(0, 0, 1.0, -1.0, 0.0),
            line(1, 0, 1.0, -1.0, -5.0),
            line(2, 0, 0.0, -1.0, 60.0),
            line(3, 0, 1.0, f64::NAN, 60.0),
            line(4, 0, f64::INFINITY, -1.0, 60.0),
        ];
        assert!(fit(&odd, 3).is_none());
    }

    #[test]
    fn what_can_not_be_used_is_left_out_and_counted() {
        let mut lines = record();
        let plain = fit(&lines, 2).expect("a record");
        lines.push(line(3, 5, 1.0, -1.0, 0.0));
        lines.push(line(3, 0, 0.0, -1.0, 60.0));
        let with_odd = fit(&lines, 2).expect("a record");
        assert_eq!((with_odd.used, with_odd.left_out), (80, 2));
        assert_eq!(with_odd.line(&wanted(0, 2.0)), plain.line(&wanted(0, 2.0)));
        // A type of which no line could be used is not known.
        assert_eq!(with_odd.line(&wanted(5, 1.0)), None);
    }

    #[test]
    fn one_line_is_a_fit_with_a_usual_spread() {
        let one = fit(&[line(9, 4, 2.0, -0.5, 90.0)], 1).expect("one line");
        let task = one.tasks[4].expect("seen");
        assert_eq!((task.seen, task.own_df, task.dof), (1, 0.0, 5.0));
        assert!((task.variance - 0.12).abs() < 1e-15);
        let line = one.line(&wanted(4, 2.0)).expect("known");
        // The drift's prior has a say in half a year, the mean's none to speak of.
        assert!((line.mean - 90.0_f64.ln()).abs() < 0.01, "{}", line.mean);
        assert!(line.quantile(0.1) < 60.0 && 135.0 < line.quantile(0.9));
    }

    #[test]
    fn types_and_counts_come_back_out() {
        let fit = fit(&record(), 2).expect("a record");
        let six = fit.line(&wanted(0, 6.0)).expect("known").quantile(0.5);
        assert!(
            (six / (60.0 * 6.0_f64.powf(0.8)) - 1.0).abs() < 0.05,
            "{six}"
        );
        let other = fit.line(&wanted(3, 1.0)).expect("known").quantile(0.5);
        assert!((other / 200.0 - 1.0).abs() < 0.05, "{other}");
        let exponent = fit.tasks[0].expect("seen").exponent;
        assert!((exponent - 0.8).abs() < 0.03, "{exponent}");
        assert!(fit.drift.abs() < 0.03);
    }

    #[test]
    fn equal_times_leave_the_doubt_of_rounding() {
        let lines: Vec<_> = (0..9)
            .map(|job| line(job, job % 3, 1.0, -1.0, 60.0))
            .collect();
        let fit = fit(&lines, 2).expect("a record");
        let line = fit.line(&wanted(0, 1.0)).expect("known");
        assert!((line.quantile(0.5) - 60.0).abs() < 1e-6);
        assert!(line.quantile(0.1) < 59.0 && 61.0 < line.quantile(0.9));
    }

    proptest! {
        #[test]
        fn numbers_far_apart_give_a_fit_or_none(
            lines in prop::collection::vec((0..5_usize, 0..4_usize, -300..300_i32), 1..12),
        ) {
            let record: Vec<Observation> = lines
                .into_iter()
                .map(|(job, task, power)| line(job, task, 2.0, -1.0, 10.0_f64.powi(power)))
                .collect();
            if let Some(fit) = fit(&record, 2) {
                prop_assert_eq!(fit.used, record.len());
            }
        }

        #[test]
        fn the_order_of_the_record_changes_no_digit(
            lines in prop::collection::vec((0..9_usize, 0..4_usize, 1..7_u32, 1..60_u32), 1..30),
            turn in 0..30_usize,
        ) {
            let mut record: Vec<Observation> = lines
                .into_iter()
                .map(|(job, task, count, steps)| {
                    line(job, task, f64::from(count), -(job as f64), f64::from(steps) * 5.0)
                })
                .collect();
            let before = fit(&record, 2).expect("lines");
            let by = turn % record.len();
            record.rotate_left(by);
            record.reverse();
            let after = fit(&record, 2).expect("lines");
            for task in 0..4 {
                prop_assert_eq!(before.line(&wanted(task, 3.0)), after.line(&wanted(task, 3.0)));
                if let Some(line) = before.line(&wanted(task, 3.0)) {
                    let (low, high) = (line.quantile(0.1), line.quantile(0.9));
                    prop_assert!(0.0 < low && low < high && high.is_finite());
                }
            }
        }
    }

    #[test]
    fn three_types_have_a_variance_of_their_own_and_two_take_one() {
        let between = |types: usize| {
            let lines: Vec<_> = (0..types)
                .map(|task| line(task, task, 1.0, -0.5, 60.0 + 30.0 * task as f64))
                .collect();
            fit(&lines, 1).expect("a record").between_tasks
        };
        assert_eq!(between(2), 1.0);
        assert!(between(3) < 1.0, "{}", between(3));
    }

    /// The times in pairs whose product is 100 times 100, so that their geometric mean is 100. Nine
    /// in ten are multiples of five, and then eight: a step of 5 minutes, and of 1, squared over 12.
    #[test]
    fn nine_in_ten_at_full_five_minutes_are_rounded_to_them() {
        let (full, odd) = ([50.0, 200.0], [625.0, 16.0]);
        for (pairs, step) in [
            ([full, full, full, full, odd], 5.0),
            ([full, full, full, odd, odd], 1.0),
        ] {
            let lines = pairs.as_flattened().iter();
            let lines: Vec<_> = lines.map(|&at| line(0, 0, 1.0, -1.0, at)).collect();
            let used: Vec<&Observation> = lines.iter().collect();
            let row = |one: &&Observation| record::row_of(one, &[Some(0)], SMALL);
            let rows: Vec<Row> = used.iter().map(row).collect();
            let found = rounding_of(&used, &rows, 1)[0];
            let want = step * step / 12.0 / 10_000.0;
            assert!((found / want - 1.0).abs() < 1e-12, "{step}: {found}");
        }
    }

    const SMALL: Columns = Columns {
        tasks: 1,
        locations: 2,
    };

    /// A solution whose effects are all 0.5 and not correlated, each with a variance of 0.25, and a
    /// row of six ones: its mean is 3, and its mean's variance 1.5. Of a variance of 2 that is a
    /// leverage of three quarters, which leaves 2 / 4 for the residual's own; of 1 it is more than
    /// all, where the leverage stops just short of 1 and a twentieth is left.
    #[test]
    fn residuals_are_measured_by_what_their_line_left_them() {
        let solution = Solution {
            effects: DVector::from_element(SMALL.count(), 0.5),
            covariance: DMatrix::from_diagonal_element(SMALL.count(), SMALL.count(), 0.25),
        };
        let row = Row {
            job: 0,
            task: 0,
            cells: Row::cells(SMALL, 0, 0, 1.0, 1.0),
            log: 5.0,
        };
        for (variance, leverage, deviations) in [
            (2.0, 0.75, 2.0 / 0.5_f64.sqrt()),
            (1.0, 1.0 - 1e-9, 2.0 / 0.05_f64.sqrt()),
        ] {
            let found = residuals_of(&[row], &solution, &[variance])[0];
            assert_eq!((found.value, found.leverage), (2.0, leverage));
            let found = standardised(&[row], &solution, &[variance])[0];
            assert!((found - deviations).abs() < 1e-12, "{found}");
        }
    }

    /// Nineteen lines of an hour and one of e^3 hours, in jobs of their own. By hand: the
    /// variance, from all residuals, is near 9 / 20, so the far line is about 4.36 = root of 19
    /// deviations off and weighs 1.5 / 4.36 = 0.344. Its pull on the mean of the logarithms is
    /// 3 times 0.344 / 19.344 = 0.053; with its full weight it would be 0.15.
    #[test]
    fn a_line_far_off_pulls_a_third_as_much() {
        let minutes = |job| if job == 7 { 60.0 * 3.0_f64.exp() } else { 60.0 };
        let lines: Vec<_> = (0..20)
            .map(|job| line(job, 0, 1.0, 0.0, minutes(job)))
            .collect();
        let fit = fit(&lines, 2).expect("a record");
        let pull = fit.line(&wanted(0, 1.0)).expect("known").mean - 60.0_f64.ln();
        assert!((pull - 0.053).abs() < 0.01, "{pull}");
    }
}
