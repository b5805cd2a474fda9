//! The sentences of the hours letter. Every one is built from the figures and stands only where they hold; reckons none of
//! them.

use crate::model::Minutes;
use crate::office::hours::{SpanMinutes, TaskHours};
use crate::office::words::{counted, lower_first, number};

use super::hours_letter::LocationStrip;
use super::sure::times_of_usual;

pub(super) fn letter_say(jobs: usize, span: &str, minutes: &SpanMinutes) -> String {
    if jobs == 0 {
        return "Write down how long each task took, and the figures come here.".to_owned();
    }
    format!(
        "{}, {span}: {} on site, {} of it on tasks. The other {} went on unloading, finding the board and \
         clearing up. On top of that came {} on the road.",
        counted(jobs, "job", "jobs"),
        Minutes::new(minutes.on_site),
        Minutes::new(minutes.by_task),
        Minutes::new(minutes.other),
        Minutes::new(minutes.travel)
    )
}

pub(super) fn tasks_say(tasks: &[&TaskHours]) -> String {
    let Some(first) = tasks.first() else {
        return "No task type has five jobs yet, and fewer make no range.".to_owned();
    };
    let spread = tasks
        .iter()
        .filter_map(|task| Some((task, task.each.filter(|each| each.q10 > 0.0)?)))
        .map(|(task, each)| (task, each.q90 / each.q10))
        .max_by(|a, b| a.1.total_cmp(&b.1));
    let mut words = format!(
        "{} has had most of your time, {}.",
        first.name,
        Minutes::new(first.minutes)
    );
    if let Some((task, spread)) = spread {
        words.push_str(&format!(
            " The least sure is {}: its long jobs, one in ten, take over {} times its short ones.",
            lower_first(&task.name),
            number((spread * 10.0).floor() / 10.0)
        ));
    }
    words.push_str(" The scale doubles, so that a metre of cable and a new board fit on one line.");
    words
}

pub(super) fn trends_say(tasks: &[TaskHours], clear: usize) -> String {
    let reckoned = tasks.iter().filter(|task| task.trend.is_some()).count();
    match (reckoned, clear) {
        (0, _) => "A trend is reckoned from eight jobs of a task type, and none has as many yet."
            .to_owned(),
        (_, 0) => format!(
            "None of the {} with eight jobs or more shows a clear change over the years.",
            counted(reckoned, "task type", "task types")
        ),
        (reckoned, clear) => format!(
            "{} of {} with eight jobs or more {} clearly over the years; the rest could be chance. With so many \
             looked at, about one in twenty would seem to change by chance alone.",
            clear,
            counted(reckoned, "task type", "task types"),
            if clear == 1 {
                "has changed"
            } else {
                "have changed"
            }
        ),
    }
}

pub(super) fn locations_say(locations: &[LocationStrip]) -> String {
    match (locations.first(), locations.last()) {
        (Some(slow), Some(quick)) if locations.len() > 1 => format!(
            "The same task takes {} in the slowest, {}, and {} in the quickest, {}. A dot is the middle of its jobs, \
             the line how far that could be out.",
            times_of_usual(slow.ratio),
            lower_first(&slow.name),
            times_of_usual(quick.ratio),
            lower_first(&quick.name)
        ),
        (Some(only), _) => format!(
            "Only {} has five jobs or more: {}.",
            lower_first(&only.name),
            times_of_usual(only.ratio)
        ),
        _ => "No location type has five jobs yet.".to_owned(),
    }
}
