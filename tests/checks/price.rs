//! The cases of the price's method: the moderated variance, the fit and the quantiles.

use super::tree::Got;
use super::{Run, Tolerance, numbers, when_usable};
use daywork::numbers::log_linear::{Fit, TaskFit, fit};
use daywork::numbers::log_student::{DRAWS, LogStudent, total};
use daywork::numbers::moderated::moderated_variance;
use daywork::numbers::polygamma::inverse_trigamma;
use daywork::numbers::record::{Observation, Wanted};
use serde_json::Value;
use std::collections::BTreeSet;

/// Any seed will do: the tolerance is that of 20,000 draws.
const SEED: u64 = 1;

pub(crate) fn trigamma_inverse(case: &Value) -> Run {
    when_usable(|run| {
        let y = inverse_trigamma(case["inputs"]["x"].as_f64()?);
        run.hold_trees(case, &[], &[("y", Got::One(y))]);
        Some(())
    })
}

pub(crate) fn moderated_variance_moments(case: &Value) -> Run {
    when_usable(|run| {
        let variances = numbers(&case["inputs"]["s2"])?;
        let moderated = moderated_variance(&variances, &numbers(&case["inputs"]["df"])?)?;
        let ours = [
            ("mean_e", Got::one(moderated.mean_log)),
            ("excess", Got::one(moderated.excess)),
            ("d0", Got::one(moderated.prior_df)),
            ("s0_squared", Got::one(moderated.prior_variance)),
            ("posterior", Got::list(moderated.posterior)),
        ];
        run.hold_trees(case, &[], &ours);
        Some(())
    })
}

/// A case gives either the lines' moments or a whole record and what is wanted.
pub(crate) fn price_quantiles(case: &Value) -> Run {
    when_usable(|run| {
        let inputs = &case["inputs"];
        let levels = numbers(&inputs["levels"])?;
        if inputs["tasks"].is_array() {
            let lines: Vec<LogStudent> = inputs["tasks"]
                .as_array()?
                .iter()
                .map(line_of_moments)
                .collect::<Option<_>>()?;
            hold_quantiles(run, case, &lines, &levels)
        } else {
            hold_record(run, case, &levels)
        }
    })
}

fn line_of_moments(task: &Value) -> Option<LogStudent> {
    Some(LogStudent {
        mean: task["mean_log"].as_f64()?,
        variance: task["scale_squared"].as_f64()?,
        doubt: 0.0,
        dof: task["dof"].as_f64().unwrap_or(f64::INFINITY),
        shared: task["rho"].as_f64()?,
        shape: None,
    })
}

/// The tolerance of quantiles by the exact method or by draws.
fn of_quantiles(case: &Value, method: &str, usual: f64) -> Tolerance {
    Tolerance {
        relative: case["tolerance"][method].as_f64().unwrap_or(usual),
        absolute: 0.0,
    }
}

/// The total's quantiles, by draws; those of one line are exact.
fn hold_quantiles(run: &mut Run, case: &Value, lines: &[LogStudent], levels: &[f64]) -> Option<()> {
    let wanted = numbers(&case["expected"]["quantiles"])?;
    if wanted.len() != levels.len() {
        return None;
    }
    let total = total(lines, SEED, DRAWS)?;
    let drawn = of_quantiles(case, "quantiles_rel_20000_draws", 0.02);
    for (&level, &want) in levels.iter().zip(&wanted) {
        let got = total.quantile(level);
        let name = format!("the total's quantile at {level}, by draws");
        run.hold(&name, Some(got), &want.into(), drawn);
        if let [line] = lines {
            let exact = of_quantiles(case, "quantiles_rel_exact_method", 2e-4);
            let name = format!("the line's quantile at {level}");
            run.hold(&name, Some(line.quantile(level)), &want.into(), exact);
        }
    }
    Some(())
}

/// A record with its names, which are places here.
struct Record {
    tasks: Vec<String>,
    locations: Vec<String>,
    observations: Vec<Observation>,
    wanted: Vec<Wanted>,
}

impl Record {
    fn of(inputs: &Value) -> Option<Self> {
        let lines = inputs["record"].as_array()?;
        let names = |key: &str| -> Option<Vec<String>> {
            let all: Option<BTreeSet<&str>> = lines.iter().map(|line| line[key].as_str()).collect();
            Some(all?.into_iter().map(str::to_owned).collect())
        };
        let (jobs, tasks) = (names("job")?, names("task")?);
        let mut locations: Vec<String> = inputs["location_types"]
            .as_array()?
            .iter()
            .map(|name| name.as_str().map(str::to_owned))
            .collect::<Option<_>>()?;
        locations.sort();
        let place = |all: &[String], name: &Value| {
            let name = name.as_str()?;
            all.iter().position(|one| one == name)
        };
        let observation = |line: &Value| {
            Some(Observation {
                job: place(&jobs, &line["job"])?,
                task: place(&tasks, &line["task"])?,
                location: place(&locations, &line["location"])?,
                count: line["count"].as_f64()?,
                age: line["years"].as_f64()?,
                minutes: line["minutes"].as_f64()?,
            })
        };
        let want = |line: &Value| {
            Some(Wanted {
                task: place(&tasks, &line["task"])?,
                location: place(&locations, &inputs["location"])?,
                count: line["count"].as_f64()?,
                age: 0.0,
            })
        };
        let wanted = inputs["wanted"].as_array()?;
        Some(Self {
            observations: lines.iter().map(observation).collect::<Option<_>>()?,
            wanted: wanted.iter().map(want).collect::<Option<_>>()?,
            tasks,
            locations,
        })
    }
}

fn hold_record(run: &mut Run, case: &Value, levels: &[f64]) -> Option<()> {
    let record = Record::of(&case["inputs"])?;
    // The case's lists stand in the order of the names, as ours do.
    let in_order = |key: &str, names: &[String]| {
        let order = &case["expected"][key];
        order.is_null() || order.as_array().is_some_and(|order| order == names)
    };
    if !in_order("task_order", &record.tasks) || !in_order("locations", &record.locations) {
        return None;
    }
    let fit = fit(&record.observations, record.locations.len())?;
    // The cases are of the method alone, without what `lines` adds to it from a hundred
    // lines on.
    let lines: Vec<LogStudent> = record
        .wanted
        .iter()
        .map(|wanted| fit.line(wanted))
        .collect::<Option<_>>()?;
    let words = [
        "task_order",
        "locations",
        "quantiles",
        "task_quantiles",
        "by_10_million_draws",
        "their_standard_error",
    ];
    run.hold_trees(case, &words, &fitted(&fit));
    run.not_here.retain(|key| !key.starts_with("task_"));
    run.hold_trees(&only(case, "task_"), &words, &priced(&lines));
    let exact = of_quantiles(case, "quantiles_rel_exact_method", 2e-4);
    for (place, line) in lines.iter().enumerate() {
        for (at, &level) in levels.iter().enumerate() {
            let want = &case["expected"]["task_quantiles"][place][at];
            let name = format!("line {place}'s quantile at {level}");
            if want.is_number() {
                run.hold(&name, Some(line.quantile(level)), want, exact);
            }
        }
    }
    hold_quantiles(run, case, &lines, levels)
}

/// The case with those of its expected figures whose key begins so.
fn only(case: &Value, begins: &str) -> Value {
    let mut part = case.clone();
    if let Some(expected) = part["expected"].as_object_mut() {
        expected.retain(|key, _| key.starts_with(begins));
    }
    part
}

fn fitted(fit: &Fit) -> Vec<(&'static str, Got)> {
    let by_task = |of: fn(&TaskFit) -> f64| Got::list(fit.tasks.iter().flatten().map(of));
    vec![
        ("times_seen", by_task(|task| task.seen as f64)),
        ("s2", by_task(|task| task.own_variance)),
        ("df", by_task(|task| task.own_df)),
        ("posterior_variance", by_task(|task| task.variance)),
        ("dof", by_task(|task| task.dof)),
        ("exponent_by_task", by_task(|task| task.exponent)),
        ("d0", Got::One(fit.prior_df)),
        ("s0_squared", Got::one(fit.prior_variance)),
        ("job_variance_tau2", Got::one(fit.job_variance)),
        ("job_sd", Got::one(fit.job_variance.sqrt())),
        ("location_variance", Got::one(fit.location_variance)),
        ("between_type_variance", Got::one(fit.between_tasks)),
        ("grand_mean_log", Got::one(fit.grand_mean)),
        ("exponent_common", Got::one(fit.exponent)),
        ("drift_per_year", Got::one(fit.drift)),
        ("location_effect", Got::list(fit.locations.iter().copied())),
    ]
}

fn priced(lines: &[LogStudent]) -> Vec<(&'static str, Got)> {
    let by_line = |of: fn(&LogStudent) -> f64| Got::list(lines.iter().map(of));
    vec![
        ("task_mean_log", by_line(|line| line.mean)),
        ("task_se2_of_mean", by_line(|line| line.doubt)),
        ("task_variance", by_line(|line| line.variance)),
        ("task_dof", by_line(|line| line.dof)),
        ("task_rho", by_line(|line| line.shared)),
    ]
}
