//! A `diary.yaml` that was cut off, by a full disk or a half-made copy: most of what the logs name is missing from
//! it. Said once, at its last line, instead of at every use. Reads nothing.

use std::collections::BTreeMap;
use std::ops::Range;

use crate::diagnose::{Code, Diagnostic, FileId, Span, nearest};
use crate::model::{At, Job, Settings};

use super::shorten::shorten;
use super::visit::meant_task;

/// Fewer missing types than this are told one by one.
const MANY: usize = 3;
/// So many names stand in the message; the rest is a count.
const NAMED: usize = 12;

/// Takes the warnings about single types away and tells them as one, where three types or more, and a third or more
/// of those that the logs use, are missing from `diary.yaml` and near to none of its own: three slips of the
/// finger are hardly ever that.
pub fn tell_once(
    jobs: &[Job],
    settings: &Settings,
    (file, text): (FileId, &str),
    diagnostics: &mut Vec<Diagnostic>,
) {
    let tasks = jobs
        .iter()
        .flat_map(|job| &job.visits)
        .flat_map(|visit| &visit.tasks)
        .map(|task| &task.key);
    let tasks = Used::of(tasks, |key| {
        settings.tasks.contains_key(key) || meant_task(key, settings).is_some()
    });
    let locations = jobs.iter().filter_map(|job| job.location.as_ref());
    let locations = Used::of(locations, |key| {
        settings.locations.contains_key(key)
            || nearest(key, settings.locations.keys().map(String::as_str)).is_some()
    });
    if !tasks.is_short() && !locations.is_short() {
        return;
    }
    let short: Vec<(&Used<'_>, &str, &str, Code)> = [
        (&tasks, "task", "tasks", Code::UnknownTask),
        (&locations, "location", "locations", Code::UnknownLocation),
    ]
    .into_iter()
    .filter(|(used, ..)| !used.missing.is_empty())
    .collect();
    for (used, _, _, code) in &short {
        let places: Vec<Span> = used.missing.values().flatten().copied().collect();
        diagnostics.retain(|said| said.code != *code || !places.contains(&said.span));
    }
    let counts: Vec<String> = short
        .iter()
        .map(|(used, kind, ..)| used.count(kind))
        .collect();
    let names: Vec<String> = short
        .iter()
        .map(|(used, _, key, _)| format!("under {key}: {}", used.names()))
        .collect();
    let last = last_line(text);
    diagnostics.push(Diagnostic::warning(
        Code::DiaryCutShort,
        Span::new(file, last.start, last.end),
        format!(
            "diary.yaml lacks {} that the logs use",
            counts.join(" and ")
        ),
        format!(
            "If it was cut off here, bring the whole file back from a copy: words under keep_private may be missing \
             with the rest. Otherwise add {}.",
            names.join("; and ")
        ),
    ));
}

/// The types of one kind that the logs name.
struct Used<'a> {
    all: usize,
    /// Those that `diary.yaml` lacks, with every place that names them.
    missing: BTreeMap<&'a str, Vec<Span>>,
}

impl<'a> Used<'a> {
    fn of(keys: impl Iterator<Item = &'a At<String>>, known: impl Fn(&str) -> bool) -> Self {
        let mut by_key: BTreeMap<&str, Vec<Span>> = BTreeMap::new();
        for key in keys {
            by_key.entry(&key.value).or_default().push(key.span);
        }
        let all = by_key.len();
        by_key.retain(|key, _| !known(key));
        Used {
            all,
            missing: by_key,
        }
    }

    fn is_short(&self) -> bool {
        self.missing.len() >= MANY && self.missing.len() * 3 >= self.all
    }

    /// `all 24 task types`, `3 of the 24 task types`.
    fn count(&self, kind: &str) -> String {
        match (self.missing.len(), self.all) {
            (_, 1) => format!("the one {kind} type"),
            (missing, all) if missing == all => format!("all {all} {kind} types"),
            (missing, all) => format!("{missing} of the {all} {kind} types"),
        }
    }

    /// The missing ones, most used first, then in order of name.
    fn names(&self) -> String {
        let mut by_use: Vec<(&str, usize)> = self
            .missing
            .iter()
            .map(|(key, places)| (*key, places.len()))
            .collect();
        by_use.sort_by_key(|(_, uses)| std::cmp::Reverse(*uses));
        let mut names: Vec<String> = by_use
            .iter()
            .take(NAMED)
            .map(|(key, _)| shorten(key))
            .collect();
        if by_use.len() > NAMED {
            names.push(format!("and {} more", by_use.len() - NAMED));
        }
        names.join(", ")
    }
}

/// The last line with something on it; empty where there is none.
fn last_line(text: &str) -> Range<usize> {
    let end = text.trim_end().len();
    let start = text[..end].rfind(['\n', '\r']).map_or(0, |at| at + 1);
    let indent = text[start..end].len() - text[start..end].trim_start().len();
    start + indent..end
}

#[cfg(test)]
mod tests {
    use crate::diagnose::put_in_order;
    use crate::diagnose::text::{Colour, render};
    use crate::diary::read_files;

    const HEAD: &str =
        "title: A diary\nsite: {address: https://example.com}\nlocations: {shop: Shop}\n";

    /// What is said of a `diary.yaml` that ends as given, beside two logs of four task types.
    fn said(tail: &str) -> String {
        let log = |number: u8, tasks: &str| {
            let text = format!(
                "---\ntitle: Job {number}\nref: 2026-00{number}\nlocation: shop\nvisits:\n  - {{date: 2026-03-1{number}, \
                 time: 8h, tasks: [{tasks}]}}\n---\n\nWords.\n"
            );
            (format!("jobs/{number}.md"), text.into_bytes())
        };
        let mut read = read_files(vec![
            (
                "diary.yaml".to_owned(),
                format!("{HEAD}{tail}").into_bytes(),
            ),
            log(1, "{task: socket, time: 1h}, {task: downlight, time: 1h}"),
            log(
                2,
                "{task: bonding, time: 1h}, {task: alarm, time: 1h}, {task: alarm, time: 1h}",
            ),
        ]);
        put_in_order(&mut read.diagnostics, &read.sources);
        render(&read.diagnostics, &read.sources, Colour::Plain)
    }

    #[test]
    fn a_file_without_its_tasks_is_told_once_at_its_last_line() {
        insta::assert_snapshot!(said("  \n"), @r#"
        diary.yaml, line 3: warning: diary.yaml lacks all 4 task types that the logs use.
            3 | locations: {shop: Shop}
              | ^^^^^^^^^^^^^^^^^^^^^^^
        If it was cut off here, bring the whole file back from a copy: words under
        keep_private may be missing with the rest. Otherwise add under tasks: alarm,
        bonding, downlight, socket.                                     (diary-cut-short)

        1 warning.
        "#);
    }

    #[test]
    fn one_type_left_of_four_is_told_once_too() {
        insta::assert_snapshot!(said("tasks:\n  socket: {name: Socket, unit: each}\n"), @r#"
        diary.yaml, line 5: warning: diary.yaml lacks 3 of the 4 task types that the logs use.
            5 |   socket: {name: Socket, unit: each}
              |   ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
        If it was cut off here, bring the whole file back from a copy: words under
        keep_private may be missing with the rest. Otherwise add under tasks: alarm,
        bonding, downlight.                                             (diary-cut-short)

        1 warning.
        "#);
    }

    #[test]
    fn single_types_and_slips_are_told_one_by_one() {
        let two_missing = said(
            "tasks:\n  socket: {name: Socket, unit: each}\n  downlight: {name: Downlight, unit: each}\n",
        );
        assert_eq!(
            two_missing.matches("(unknown-task)").count(),
            3,
            "{two_missing}"
        );
        let slips = said(
            "tasks:\n  sockets: {name: Socket, unit: each}\n  downlights: {name: Downlight, unit: each}\n  bond: \
             {name: Bonding, unit: each, also: [bonding]}\n  alarms: {name: Alarm, unit: each}\n",
        );
        assert_eq!(slips.matches("(unknown-task)").count(), 5, "{slips}");
    }
}
