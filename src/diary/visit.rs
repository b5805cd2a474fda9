//! Visits and their tasks: the clock, the time zone, and what fits into a visit.

use jiff::Timestamp;
use jiff::civil::{Date, Time};
use jiff::tz::{AmbiguousOffset, TimeZone};

use crate::diagnose::{Code, nearest};
use crate::model::{At, Minutes, Private, Settings, Task, Travel, Visit, VisitKind};

use super::fields::{Fields, Reader};
use super::keys::log as keys;
use super::shorten::shorten;
use super::yaml::Node;

/// Reads one visit. `settings` is `None` where `diary.yaml` could not be read: then nothing is held against it.
pub fn read(
    reader: &mut Reader<'_>,
    node: &Node,
    zone: &TimeZone,
    settings: Option<&Settings>,
) -> Option<Visit> {
    let fields = reader.fields(node, "a visit", keys::VISIT)?;
    let date = reader
        .required(
            &fields,
            "date",
            "this visit",
            node.span,
            "Write the day it began: date: 2026-03-02.",
        )
        .and_then(|node| reader.date(node));
    let kinds = VisitKind::ALL.map(|kind| (kind.word(), kind));
    let kind = fields
        .get("kind")
        .and_then(|node| reader.word(node, "kind of visit", &kinds))
        .map_or(VisitKind::Planned, |kind| kind.value);
    let from = fields.get("from").and_then(|node| reader.clock(node));
    let to = fields.get("to").and_then(|node| reader.clock(node));
    let rest = fields.get("break").and_then(|node| reader.length(node));
    let time = fields.get("time").and_then(|node| reader.length(node));
    let tasks = fields.get("tasks").map_or_else(Vec::new, |node| {
        reader
            .list(node, "Write each task after a dash, or all in brackets: [{task: socket, count: 2, time: 45m}].")
            .iter()
            .filter_map(|node| read_task(reader, node, settings))
            .collect()
    });
    let travel = fields
        .get("travel")
        .and_then(|node| read_travel(reader, node));
    let parking = fields
        .get("parking")
        .and_then(|node| reader.money(node))
        .map(Private::new);
    let note = fields
        .get("note")
        .and_then(|node| reader.text(node))
        .map(Private::new);
    let date = date?;

    let ends =
        one_way_of_saying_how_long(reader, &fields, from.as_ref(), to.as_ref(), time.as_ref());
    let instants = ends.and_then(|(from, to)| instants(reader, &date, from, to, zone));
    let elapsed =
        instants.map(|(start, end)| Minutes::new((end.as_second() - start.as_second()) / 60));
    let visit = Visit {
        span: date.span,
        date: Private::new(date),
        kind,
        from: from.map(|at| at.value),
        to: to.map(|at| at.value),
        instants: instants.map(Private::new),
        rest: rest.as_ref().map_or(Minutes::NOUGHT, |at| at.value),
        time: time.as_ref().map(|at| at.value),
        elapsed,
        tasks,
        travel,
        parking,
        note,
    };
    fits(reader, &visit, rest.as_ref(), time.as_ref(), &fields);
    Some(visit)
}

/// A visit gives `from` and `to`, or `time`; the pair of ends where it gives those.
fn one_way_of_saying_how_long<'a>(
    reader: &mut Reader<'_>,
    fields: &Fields<'_>,
    from: Option<&'a At<Time>>,
    to: Option<&'a At<Time>>,
    time: Option<&At<Minutes>>,
) -> Option<(&'a At<Time>, &'a At<Time>)> {
    match (from, to, time) {
        (Some(_), _, Some(time)) | (_, Some(_), Some(time)) => {
            reader.error(
                Code::VisitTimes,
                time.span,
                "this visit has clock times and a length",
                "Keep from and to, or keep time; delete the other.",
            );
            None
        }
        // A clock time that could not be read has its own error.
        (Some(from), None, None) if fields.get("to").is_none() => {
            reader.error(
                Code::VisitTimes,
                from.span,
                "this visit has an arrival and no leaving",
                "Write to: and the time you left, or time: and the length.",
            );
            None
        }
        (None, Some(to), None) if fields.get("from").is_none() => {
            reader.error(
                Code::VisitTimes,
                to.span,
                "this visit has a leaving and no arrival",
                "Write from: and the time you came, or time: and the length.",
            );
            None
        }
        (Some(from), Some(to), None) if from.value == to.value => {
            reader.error(
                Code::VisitEmpty,
                to.span,
                "this visit ends at the minute it begins",
                "Correct one of the two times.",
            );
            None
        }
        (Some(from), Some(to), None) => Some((from, to)),
        (None, None, None)
            if fields.get("time").is_none()
                && fields.get("from").is_none()
                && fields.get("to").is_none() =>
        {
            reader.warning(
                Code::VisitNoLength,
                fields.key_span("date"),
                "this visit has neither times nor a length; only its tasks' times count",
                "Write from: and to:, or time: and the length.",
            );
            None
        }
        _ => None,
    }
}

/// Arrival and leaving as instants. A leaving before the arrival is the next day's. On the night the clocks go
/// back an hour comes twice: the first is meant, for a leaving the first that is after the arrival.
fn instants(
    reader: &mut Reader<'_>,
    date: &At<Date>,
    from: &At<Time>,
    to: &At<Time>,
    zone: &TimeZone,
) -> Option<(Timestamp, Timestamp)> {
    let end_date = if to.value < from.value {
        date.value.tomorrow().ok()?
    } else {
        date.value
    };
    let start = instant(reader, date.value, from, zone, None)?;
    let end = instant(reader, end_date, to, zone, Some(start))?;
    Some((start, end))
}

fn instant(
    reader: &mut Reader<'_>,
    date: Date,
    time: &At<Time>,
    zone: &TimeZone,
    after: Option<Timestamp>,
) -> Option<Timestamp> {
    let ambiguous = zone.to_ambiguous_timestamp(date.to_datetime(time.value));
    if let AmbiguousOffset::Gap { before, after } = ambiguous.offset() {
        let skipped = (after.seconds() - before.seconds()) / 60;
        reader.error(
            Code::ClockSkipped,
            time.span,
            format!(
                "there was no {} on {date}: the clocks went forward {skipped} minutes that night",
                time.value.strftime("%H:%M")
            ),
            "Write the time that the clock showed, after the change if it was after.",
        );
        return None;
    }
    let first = ambiguous.earlier().ok()?;
    match after {
        Some(after) if first <= after => ambiguous.later().ok(),
        _ => Some(first),
    }
}

/// The break and the tasks must fit into the visit.
fn fits(
    reader: &mut Reader<'_>,
    visit: &Visit,
    rest: Option<&At<Minutes>>,
    time: Option<&At<Minutes>>,
    fields: &Fields<'_>,
) {
    let Some(gone) = visit.elapsed.or(visit.time) else {
        return;
    };
    if let Some(rest) = rest
        && rest.value >= gone
    {
        reader.error(
            Code::BreakTooLong,
            rest.span,
            format!(
                "the break is {} and the visit {gone}, break and all",
                rest.value
            ),
            "Correct the break or the times.",
        );
        return;
    }
    let tasks = visit.task_minutes();
    let on_site = visit.minutes();
    if tasks > on_site {
        let span = time.map_or_else(|| fields.key_span("tasks"), |time| time.span);
        reader.error(
            Code::TasksExceedVisit,
            span,
            format!("the tasks of this visit add up to {tasks}, and it was {on_site} on site"),
            "Correct a task's time, or the times of the visit.",
        );
    }
}

fn read_travel(reader: &mut Reader<'_>, node: &Node) -> Option<Private<Travel>> {
    let fields = reader.fields(node, "travel", keys::TRAVEL)?;
    Some(Private::new(Travel {
        miles: fields
            .get("miles")
            .and_then(|node| reader.number(node, "miles", 0.0, keys::MOST_MILES))
            .map(|at| at.value),
        time: fields
            .get("time")
            .and_then(|node| reader.length(node))
            .map(|at| at.value),
    }))
}

fn read_task(reader: &mut Reader<'_>, node: &Node, settings: Option<&Settings>) -> Option<Task> {
    let fields = reader.fields(node, "a task", keys::TASK)?;
    let key = reader
        .required(
            &fields,
            "task",
            "this task",
            node.span,
            "Write which: task: socket.",
        )
        .and_then(|node| reader.text(node));
    let count = fields
        .get("count")
        .and_then(|node| reader.number(node, "a count", 0.0, keys::MOST));
    let time = fields.get("time").and_then(|node| reader.length(node));
    let key = key?;
    if fields.get("time").is_none() {
        reader.warning(
            Code::TaskNoTime,
            key.span,
            format!("{} has no time", shorten(&key)),
            "Write how long it took: time: 45m. Without it the job stands behind no figure for this task.",
        );
    }
    if let Some(count) = &count
        && count.value == 0.0
    {
        reader.error(
            Code::BadNumber,
            count.span,
            format!("{} is counted nought times", shorten(&key)),
            "Write how many, or leave count away for one.",
        );
    }
    if let Some(settings) = settings {
        match settings.tasks.get(&key.value) {
            None => unknown_task(reader, &key, settings),
            Some(task) if !task.unit.counts_as_one() && fields.get("count").is_none() => {
                reader.warning(
                    Code::TaskNoCount,
                    key.span,
                    format!(
                        "{} is timed by the {} and has no count",
                        task.name,
                        task.unit.word()
                    ),
                    "Write how many: count: 24. Its minutes count in totals only until then.",
                );
            }
            Some(_) => {}
        }
    }
    Some(Task {
        key,
        count: count.map(|at| at.value).filter(|count| *count > 0.0),
        time: time.map(|at| at.value),
    })
}

/// The task type that a key means which is not one: by what is also typed for it, else by the nearest name.
pub fn meant_task<'s>(key: &str, settings: &'s Settings) -> Option<&'s str> {
    let by_alias = settings.tasks.iter().find(|(_, task)| {
        task.also
            .iter()
            .any(|alias| alias.eq_ignore_ascii_case(key))
    });
    by_alias
        .map(|(key, _)| key.as_str())
        .or_else(|| nearest(key, settings.tasks.keys().map(String::as_str)))
}

/// Told of a task type that `diary.yaml` does not know.
pub fn unknown_task(reader: &mut Reader<'_>, key: &At<String>, settings: &Settings) {
    let near = meant_task(&key.value, settings);
    let help = match near {
        Some(near) => format!("Write {near}, or add it to tasks in diary.yaml."),
        None => {
            "Add it to tasks in diary.yaml, with a name and a unit. Its time counts all the same."
                .to_owned()
        }
    };
    reader.warning(
        Code::UnknownTask,
        key.span,
        format!("diary.yaml knows no task type {}", shorten(&key.value)),
        help,
    );
}

/// Visits in order of time: by day, then by arrival; those without times come after those with.
pub fn put_in_order(visits: &mut [Visit]) {
    visits.sort_by_key(|visit| {
        let date = visit.date.in_office().value;
        (date, visit.from.is_none(), visit.from)
    });
}

/// Where a visit stands, for a finding that names its date.
pub fn has_visit_on(visits: &[Visit], date: Date) -> bool {
    visits
        .iter()
        .any(|visit| visit.date.in_office().value == date)
}

/// Used where `site.timezone` cannot be read, so that one fault does not become many.
pub fn stand_in_zone() -> TimeZone {
    TimeZone::get("Europe/London").unwrap_or(TimeZone::UTC)
}
