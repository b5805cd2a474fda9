//! How long the job will take: each task's minutes and the job's, from the record or from hours given by hand.

use jiff::civil::Date;

use crate::diagnose::nearest;
use crate::model::Diary;
use crate::model::price::{Question, Wanted};
use crate::numbers::log_linear::{Fit, fit};
use crate::numbers::log_student::{DRAWS, LogStudent, total};
use crate::numbers::record;
use crate::office::record::Record;

use super::{PricedTask, Quantiles, Refused};

/// What was drawn for a question.
pub(super) struct Drawn {
    pub(super) tasks: Vec<PricedTask>,
    /// The job's minutes on its tasks.
    pub(super) minutes: Quantiles,
    /// Degrees of freedom of each task's width, in the order of the tasks; infinite for hours given by hand.
    pub(super) dof: Vec<f64>,
}

/// Draws for a question.
///
/// # Errors
/// See [`super::price`].
pub(super) fn draw(
    diary: &Diary,
    record: &Record<'_>,
    question: &Question,
    as_of: Date,
    chance: f64,
) -> Result<Drawn, Refused> {
    if question.tasks.is_empty() {
        return Err(Refused {
            why: "there is no task to price".to_owned(),
            help: "Give the job's tasks: --task downlight=6.".to_owned(),
        });
    }
    let known = question
        .tasks
        .iter()
        .try_for_each(|wanted| is_known(diary, wanted));
    known?;
    let fit = fit(&record.rows, record.location_count());
    let lines = lines(diary, record, fit.as_ref(), question)?;
    let seed = seed(record, question, as_of);
    let minutes = match lines.as_slice() {
        // One line has exact quantiles; draws would only add their own error.
        [line] => quantiles(|p| line.quantile(p), chance),
        lines => {
            let total = total(lines, seed, DRAWS).expect("a question has a task");
            quantiles(|p| total.quantile(p), chance)
        }
    };
    let tasks = question
        .tasks
        .iter()
        .zip(&lines)
        .map(|(wanted, line)| priced(diary, record, wanted, line, chance))
        .collect();
    Ok(Drawn {
        tasks,
        minutes,
        dof: lines.iter().map(|line| line.dof).collect(),
    })
}

fn is_known(diary: &Diary, wanted: &Wanted) -> Result<(), Refused> {
    let tasks = &diary.settings.tasks;
    if tasks.contains_key(&wanted.task) || wanted.guess.is_some() {
        return Ok(());
    }
    let by_alias = tasks.iter().find(|(_, task)| {
        let mut also = task.also.iter();
        also.any(|alias| alias.eq_ignore_ascii_case(&wanted.task))
    });
    let near = by_alias
        .map(|(key, _)| key.as_str())
        .or_else(|| nearest(&wanted.task, tasks.keys().map(String::as_str)));
    Err(Refused {
        why: format!("diary.yaml knows no task type {}", wanted.task),
        help: match near {
            Some(near) => format!("Write {near}, or add it to tasks in diary.yaml."),
            None => "Add it to tasks in diary.yaml.".to_owned(),
        },
    })
}

fn lines(
    diary: &Diary,
    record: &Record<'_>,
    fit: Option<&Fit>,
    question: &Question,
) -> Result<Vec<LogStudent>, Refused> {
    let location = question.location.as_deref();
    let location = record.location(location);
    let wanted: Vec<record::Wanted> = question
        .tasks
        .iter()
        .map(|wanted| record::Wanted {
            task: record.task(&wanted.task).unwrap_or(usize::MAX),
            location,
            count: wanted.count,
            age: 0.0,
        })
        .collect();
    let fitted = fit.map_or_else(|| vec![None; wanted.len()], |fit| fit.lines(&wanted));
    question
        .tasks
        .iter()
        .zip(fitted)
        .map(|(wanted, fitted)| {
            let given = wanted
                .guess
                .and_then(|(low, high)| LogStudent::from_band(low.as_f64(), high.as_f64()));
            given
                .or(fitted)
                .ok_or_else(|| never_done(diary, record, wanted))
        })
        .collect()
}

fn never_done(diary: &Diary, record: &Record<'_>, wanted: &Wanted) -> Refused {
    let key = &wanted.task;
    let name = diary.settings.tasks.get(key).map_or(key, |task| &task.name);
    let near = nearest(key, record.tasks.iter().copied());
    let like = near.map_or_else(String::new, |near| {
        format!(" If it is much like {near}, price that.",)
    });
    Refused {
        why: format!("{name} has never been timed, so the record says nothing of it"),
        help: format!(
            "Give its hours: --guess {key}=2h..4h, as wide as you would bet four times in five.{like}"
        ),
    }
}

fn quantiles(at: impl Fn(f64) -> f64, chance: f64) -> Quantiles {
    Quantiles {
        q10: at(0.1),
        q50: at(0.5),
        q80: at(0.8),
        q90: at(0.9),
        at_chance: at(chance / 100.0),
    }
}

fn priced(
    diary: &Diary,
    record: &Record<'_>,
    wanted: &Wanted,
    line: &LogStudent,
    chance: f64,
) -> PricedTask {
    let key = &wanted.task;
    let known = diary.settings.tasks.get(key);
    // Hours given by hand stand on no job, whatever the record knows.
    let number = record.task(key).filter(|_| wanted.guess.is_none());
    let rows = record.rows.iter().filter(|row| number == Some(row.task));
    let mut refs: Vec<String> = rows
        .map(|row| record.jobs[row.job].reference.in_office().value.clone())
        .collect();
    refs.sort_unstable();
    PricedTask {
        task: key.clone(),
        name: known.map_or_else(|| key.clone(), |task| task.name.clone()),
        unit: known.map_or("each", |task| task.unit.word()).to_owned(),
        count: wanted.count,
        n: refs.len(),
        guessed: wanted.guess.is_some(),
        minutes: quantiles(|p| line.quantile(p), chance),
        refs,
    }
}

/// The same question of the same record draws the same numbers, on every machine.
fn seed(record: &Record<'_>, question: &Question, as_of: Date) -> u64 {
    let mut hasher = blake3::Hasher::new();
    hasher.update(record.digest.as_bytes());
    for wanted in &question.tasks {
        hasher.update(wanted.task.as_bytes()).update(b"\n");
        hasher.update(&wanted.count.to_le_bytes());
        if let Some((low, high)) = wanted.guess {
            hasher
                .update(&low.get().to_le_bytes())
                .update(&high.get().to_le_bytes());
        }
    }
    let location = question.location.as_deref();
    hasher.update(location.unwrap_or_default().as_bytes());
    hasher.update(as_of.to_string().as_bytes());
    let bytes = hasher.finalize();
    let first = bytes.as_bytes()[..8]
        .try_into()
        .expect("a digest is longer");
    u64::from_le_bytes(first)
}
