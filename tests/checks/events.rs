//! The cases of shares, rates and events over time.

use super::tree::Got;
use super::{Run, confidence, numbers, when_usable};
use daywork::numbers::garwood::garwood;
use daywork::numbers::kaplan_meier::{Spell, SpellEnd, kaplan_meier};
use daywork::numbers::mean_cumulative::{History, mean_cumulative};
use daywork::numbers::normal::Confidence;
use daywork::numbers::wilson::wilson;
use serde_json::Value;

fn whole(value: &Value) -> Option<usize> {
    let number = value.as_f64()?;
    (number >= 0.0 && number.fract() == 0.0).then_some(number as usize)
}

/// Wilson's interval; the program has no other of a share.
pub(crate) fn binomial_ci(case: &Value) -> Run {
    when_usable(|run| {
        let inputs = &case["inputs"];
        let share = wilson(
            whole(&inputs["successes"])?,
            whole(&inputs["trials"])?,
            confidence(case)?,
        );
        let figure =
            |of: fn(&daywork::numbers::wilson::Share) -> f64| Got::One(share.as_ref().map(of));
        let ours = [
            ("estimate", figure(|share| share.estimate)),
            (
                "wilson",
                Got::List(vec![figure(|share| share.low), figure(|share| share.high)]),
            ),
        ];
        run.hold_trees(case, &[], &ours);
        Some(())
    })
}

pub(crate) fn poisson_rate_ci(case: &Value) -> Run {
    when_usable(|run| {
        let inputs = &case["inputs"];
        let exposure = inputs["exposure"].as_f64()?;
        let rate = garwood(whole(&inputs["count"])?, exposure, confidence(case)?);
        let ours = [
            ("rate", Got::One(rate.map(|rate| rate.rate))),
            ("low", Got::One(rate.map(|rate| rate.low))),
            ("high", Got::One(rate.map(|rate| rate.high))),
        ];
        run.hold_trees(case, &[], &ours);
        Some(())
    })
}

/// The curve with Greenwood's error and the log-log interval. No report asks for the median
/// or the plain interval.
pub(crate) fn survival(case: &Value) -> Run {
    when_usable(|run| {
        let inputs = &case["inputs"];
        let durations = numbers(&inputs["duration"])?;
        let happened: Vec<bool> = inputs["event"]
            .as_array()?
            .iter()
            .map(|event| {
                event
                    .as_bool()
                    .or(event.as_f64().map(|number| number != 0.0))
            })
            .collect::<Option<_>>()?;
        if durations.len() != happened.len() {
            return None;
        }
        let spells: Vec<Spell> = durations
            .into_iter()
            .zip(happened)
            .map(|(duration, happened)| Spell {
                duration,
                end: if happened {
                    SpellEnd::Event
                } else {
                    SpellEnd::Censored
                },
            })
            .collect();
        let curve = kaplan_meier(&spells, confidence(case)?)?;
        let steps = &curve.steps;
        let queries = numbers(&inputs["query_times"]).unwrap_or_default();
        let at = |&time: &f64| Got::list([time, curve.at(time)]);
        let interval = |ends: Option<[f64; 2]>| {
            Got::List(
                (0..2)
                    .map(|end| Got::One(ends.map(|ends| ends[end])))
                    .collect(),
            )
        };
        let ours = [
            ("time", Got::list(steps.iter().map(|step| step.time))),
            (
                "n_risk",
                Got::list(steps.iter().map(|step| step.at_risk as f64)),
            ),
            (
                "n_event",
                Got::list(steps.iter().map(|step| step.events as f64)),
            ),
            (
                "survival",
                Got::list(steps.iter().map(|step| step.survival)),
            ),
            (
                "se_greenwood",
                Got::List(
                    steps
                        .iter()
                        .map(|step| Got::One(step.standard_error))
                        .collect(),
                ),
            ),
            (
                "ci_loglog",
                Got::List(steps.iter().map(|step| interval(step.interval)).collect()),
            ),
            ("n", Got::one(spells.len() as f64)),
            (
                "events",
                Got::one(steps.iter().map(|step| step.events).sum::<usize>() as f64),
            ),
            ("survival_at", Got::List(queries.iter().map(at).collect())),
        ];
        run.hold_trees(case, &[], &ours);
        Some(())
    })
}

/// Nelson's curve with the robust error and the interval on the logarithm, 95 in 100 where the
/// case names no other. Poisson's error is in no report.
pub(crate) fn mean_cumulative_function(case: &Value) -> Run {
    when_usable(|run| {
        let history = |unit: &Value| {
            Some(History {
                end: unit["end"].as_f64()?,
                events: numbers(&unit["events"])?,
            })
        };
        let units = case["inputs"]["units"].as_array()?;
        let histories: Vec<History> = units.iter().map(history).collect::<Option<_>>()?;
        let confidence = confidence(case).unwrap_or(Confidence::NINETY_FIVE);
        let curve = mean_cumulative(&histories, confidence)?;
        let steps = &curve.steps;
        let ours = [
            ("age", Got::list(steps.iter().map(|step| step.age))),
            (
                "at_risk",
                Got::list(steps.iter().map(|step| step.at_risk as f64)),
            ),
            (
                "events",
                Got::list(steps.iter().map(|step| step.events as f64)),
            ),
            ("mean", Got::list(steps.iter().map(|step| step.mean))),
            (
                "se_robust",
                Got::list(steps.iter().map(|step| step.standard_error)),
            ),
            ("low", Got::list(steps.iter().map(|step| step.low))),
            ("high", Got::list(steps.iter().map(|step| step.high))),
        ];
        run.hold_trees(case, &[], &ours);
        Some(())
    })
}
