//! How long things take, as readers see it: figures with enough jobs behind them, and no job named.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::model::job::Month;
use crate::model::{Diary, Job, Unit, VisitKind};
use crate::office::hours::{Hours, TaskHours};

use super::catalogue::Catalogue;
use super::docket::worked;
use super::listed::Made;
use super::view::{Head, HowLong, LocationRange, TaskRange};

/// The address of the page.
pub(super) const LINK: &str = "how-long/";

/// A job's task types against the record, most minutes first; empty unless `public.how_long`.
pub(super) fn usual(diary: &Diary, job: &Job, hours: &Hours) -> Vec<TaskRange> {
    if !diary.settings.how_long {
        return Vec::new();
    }
    // As an observation is made: free returns are no part of it.
    let counted = job
        .visits
        .iter()
        .filter(|visit| visit.kind != VisitKind::Guarantee);
    let mut tasks: Vec<_> = worked(counted).into_iter().collect();
    tasks.sort_by(|a, b| b.1.minutes.cmp(&a.1.minutes).then_with(|| a.0.cmp(b.0)));
    tasks
        .into_iter()
        .filter_map(|(key, worked)| {
            let task = hours.tasks.iter().find(|task| task.task == key)?;
            let here = worked.each(&Unit::from_word(&task.unit))?;
            enough(task, diary).then(|| range(task, Some(here)))
        })
        .collect()
}

/// The page of all task types; `None` unless `public.how_long`, and where nothing was timed yet.
///
/// A type with too few jobs for a figure is named only where a page that readers see has it: elsewhere its name is a
/// word of a log that they do not see.
pub(super) fn how_long(catalogue: &Catalogue<'_>, hours: &Hours) -> Option<HowLong> {
    let diary = catalogue.diary;
    let settings = &diary.settings;
    if !settings.how_long || hours.tasks.is_empty() {
        return None;
    }
    let mut tasks: Vec<TaskRange> = hours
        .tasks
        .iter()
        .filter(|task| enough(task, diary))
        .map(|task| range(task, None))
        .collect();
    tasks.sort_by(|a, b| {
        let median = |range: &TaskRange| range.median.unwrap_or(0.0);
        median(b)
            .total_cmp(&median(a))
            .then_with(|| a.name.cmp(&b.name))
    });
    let public_jobs = catalogue
        .listed
        .iter()
        .filter_map(|listed| match listed.made {
            Made::Job(job) => Some(job),
            Made::Page(_) => None,
        });
    let seen: BTreeSet<&str> = public_jobs
        .flat_map(|job| worked(job.visits.iter()).into_keys())
        .collect();
    let mut too_few: Vec<String> = hours
        .tasks
        .iter()
        .filter(|task| !enough(task, diary) && seen.contains(task.task.as_str()))
        .map(|task| task.name.clone())
        .collect();
    too_few.sort();
    let locations = hours
        .locations
        .iter()
        .filter(|location| location.n >= settings.fewest_jobs)
        .filter_map(|location| {
            Some(LocationRange {
                name: location.name.clone(),
                n: location.n,
                ratio: location.ratio?,
                low: location.interval.map(|interval| interval.low),
                high: location.interval.map(|interval| interval.high),
            })
        })
        .collect();
    Some(HowLong {
        head: Head {
            link: LINK.to_owned(),
            title: "How long things take".to_owned(),
            summary: format!(
                "Each type of task from {} jobs, timed: the middle, and the range round it.",
                hours.jobs
            ),
            part: LINK.to_owned(),
            date: String::new(),
            date_shown: String::new(),
        },
        jobs: hours.jobs,
        hours: (hours.minutes.by_task + 30) / 60,
        from: month(hours.from.as_deref()),
        to: month(hours.to.as_deref()),
        fewest_jobs: settings.fewest_jobs,
        tasks,
        too_few,
        locations,
    })
}

fn enough(task: &TaskHours, diary: &Diary) -> bool {
    task.n >= diary.settings.fewest_jobs && task.each.is_some()
}

fn range(task: &TaskHours, here: Option<f64>) -> TaskRange {
    let each = task.each;
    TaskRange {
        name: task.name.clone(),
        per: per(&Unit::from_word(&task.unit)),
        n: task.n,
        q10: each.map(|each| each.q10),
        q25: each.map(|each| each.q25),
        median: each.map(|each| each.median),
        q75: each.map(|each| each.q75),
        q90: each.map(|each| each.q90),
        // One job's figure is that job's, and may be a private one's.
        singles: Vec::new(),
        here,
        jobs_link: String::new(),
    }
}

fn per(unit: &Unit) -> String {
    match unit {
        Unit::Each => "each".to_owned(),
        Unit::Job => "a job".to_owned(),
        Unit::Metre => "a metre".to_owned(),
        Unit::Circuit => "a circuit".to_owned(),
        Unit::Other(word) if word.starts_with(['a', 'e', 'i', 'o', 'u']) => format!("an {word}"),
        Unit::Other(word) => format!("a {word}"),
    }
}

/// The month of an ISO date: the day stays in the office. Empty where there is none.
fn month(date: Option<&str>) -> String {
    let date: Option<Date> = date.and_then(|date| date.parse().ok());
    date.map(|date| Month::of(date).to_string())
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::{Unit, per};

    #[test]
    fn a_unit_has_its_article() {
        for (word, shown) in [
            ("each", "each"),
            ("job", "a job"),
            ("metre", "a metre"),
            ("circuit", "a circuit"),
            ("outlet", "an outlet"),
            ("socket", "a socket"),
        ] {
            assert_eq!(per(&Unit::from_word(word)), shown);
        }
    }
}
