//! What to mind of a price, and what makes it most doubtful.

use jiff::civil::Date;

use crate::model::Diary;
use crate::model::price::Question;
use crate::office::record::Record;
use crate::office::words::{counted, number};

use super::draws::Drawn;

/// Fewer jobs than this behind a task, and the price says so.
const FEW: usize = 5;
/// A count over the largest seen by this factor is out of the record's sight.
const FAR_OVER: f64 = 2.0;
/// A task timed last so many years ago may take another time today.
const LONG_AGO: f64 = 2.0;
/// A width from fewer degrees of freedom is a guess itself.
const FEW_DEGREES: f64 = 4.0;

/// One sentence each, tasks in the order asked.
pub(super) fn warnings(
    diary: &Diary,
    record: &Record<'_>,
    question: &Question,
    drawn: &Drawn,
    as_of: Date,
) -> Vec<String> {
    let mut said = Vec::new();
    for ((wanted, task), dof) in question.tasks.iter().zip(&drawn.tasks).zip(&drawn.dof) {
        let name = &task.name;
        if task.guessed {
            said.push(format!(
                "{name} is priced from hours given by hand, and the record has no part in it."
            ));
            continue;
        }
        let number_of = record.task(&wanted.task);
        let rows = || record.rows.iter().filter(|row| Some(row.task) == number_of);
        if task.n < FEW {
            said.push(format!(
                "{name} rests on {}.",
                counted(task.n, "job", "jobs")
            ));
        } else if *dof < FEW_DEGREES {
            said.push(format!("How much {name} varies is itself hardly known."));
        }
        let most = rows().map(|row| row.count).fold(0.0, f64::max);
        if wanted.count > FAR_OVER * most {
            said.push(format!(
                "{name}: {} asked for, and the most on one job so far was {}.",
                number(wanted.count),
                number(most)
            ));
        }
        if rows().all(|row| row.age < -LONG_AGO) {
            said.push(format!(
                "{name} was last timed over two years before {as_of}."
            ));
        }
    }
    if let Some(location) = &question.location {
        let seen = record
            .jobs
            .iter()
            .any(|job| job.location.as_deref() == Some(location));
        if !seen {
            let name = diary.settings.locations.get(location);
            said.push(format!(
                "No log is from a place like this ({}): what such a place adds is not known.",
                name.unwrap_or(location)
            ));
        }
    } else {
        said.push("No location type is given: the price is for a place like any other.".to_owned());
    }
    said
}

/// The task with the widest band, four times in five, in a sentence.
pub(super) fn widest_doubt(drawn: &Drawn) -> String {
    let band = |task: &super::PricedTask| task.minutes.q90 - task.minutes.q10;
    let widest = drawn
        .tasks
        .iter()
        .max_by(|a, b| band(a).total_cmp(&band(b)))
        .expect("a question has a task");
    let length = |minutes: f64| crate::office::words::minutes(minutes);
    let (low, high) = (length(widest.minutes.q10), length(widest.minutes.q90));
    if widest.guessed && low == high {
        let priced = match drawn.tasks.as_slice() {
            [task] => format!("{} is priced at {low}", task.name),
            _ => "each task is priced at a single length".to_owned(),
        };
        return format!("How far out it could be is not known: {priced}, by your own hours.");
    }
    let why = if widest.guessed {
        "by your own range".to_owned()
    } else if widest.n < FEW {
        format!("from {} so far", counted(widest.n, "job", "jobs"))
    } else {
        format!("as it was on {}", counted(widest.n, "job", "jobs"))
    };
    format!(
        "Most of the doubt lies in {}: eight times in ten {low} to {high}, {why}.",
        widest.name
    )
}
