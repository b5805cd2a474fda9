//! The reading of a note, line by line, for people: what was understood, what stays text, which spelling may be meant.

use super::near::Near;
use super::note::{
    CostFor, Joined, Note, NoteJob, NoteMaterial, NoteReading, NoteTask, NoteTold, Part, Value,
};
use super::plan::{How, Placed};
use super::time::clock_text;
use crate::model::{Minutes, VisitKind, told};

/// Columns that a line keeps within.
const WIDTH: usize = 80;
/// Where the reading of a line begins.
const COLUMN: usize = 42;

/// Whether something is told of before it is done, or after.
#[derive(Clone, Copy, PartialEq, Eq)]
enum When {
    Before,
    After,
}

/// The reading of a note, and where each job would go: `placed`, in order of the jobs.
pub fn plan(note: &Note, near: &[Near], placed: &[Placed]) -> String {
    jobs(note, near, |index, job| {
        placed
            .get(index)
            .map_or_else(String::new, |placed| goes(placed, job, When::Before))
    })
}

/// The reading of a note, without a word of where it goes.
pub fn reading(note: &Note, near: &[Near]) -> String {
    jobs(note, near, |_, _| String::new())
}

/// Where the jobs of a note went, as far as `is_done` says that they did.
pub fn outcome(note: &Note, placed: &[Placed], is_done: impl Fn(&Placed) -> bool) -> String {
    note.jobs
        .iter()
        .zip(placed)
        .filter(|(_, placed)| is_done(placed))
        .map(|(job, placed)| goes(placed, job, When::After))
        .collect()
}

fn jobs(note: &Note, near: &[Near], after: impl Fn(usize, &NoteJob) -> String) -> String {
    if note.jobs.is_empty() {
        return "The note is empty.\n".to_owned();
    }
    let mut out = String::new();
    for (index, job) in note.jobs.iter().enumerate() {
        if index > 0 {
            out.push('\n');
        }
        if note.jobs.len() > 1 {
            out.push_str(&format!("Job {} of {}\n", index + 1, note.jobs.len()));
        }
        // Lines are in order, so those of a job stand together.
        let start = note.lines.partition_point(|line| line.job < index);
        for line in note.lines[start..]
            .iter()
            .take_while(|line| line.job == index)
        {
            let said = said(job, &line.parts, line.kept);
            out.push_str(&row(line.number, &line.typed, &said));
            for near in near.iter().filter(|near| near.line == line.number) {
                out.push_str(&wrapped(&did_you_mean(near), COLUMN));
            }
        }
        out.push_str(&after(index, job));
    }
    out
}

fn did_you_mean(near: &Near) -> String {
    format!("{}: did you mean {}?", shown(&near.typed), near.offered())
}

/// The line that a spelling stands on, and below it the question about it.
pub fn question(near: &Near) -> String {
    format!(
        "{:>3}  {}\n     {} ({}) ",
        near.line,
        shown(&near.whole),
        did_you_mean(near),
        answers(near, ", ")
    )
}

/// The answers that a question takes, the last joined by its own words.
pub fn answers(near: &Near, last: &str) -> String {
    if near.can_be_kept() {
        format!("yes, no{last}always")
    } else {
        format!("yes{last}no")
    }
}

/// Where a job goes.
fn goes(placed: &Placed, job: &NoteJob, when: When) -> String {
    let kept = job.left_over.len();
    let kept = match kept {
        0 => "Every line was read.".to_owned(),
        1 => "1 line stays text, in its private block.".to_owned(),
        n => format!("{n} lines stay text, in its private block."),
    };
    let path = &placed.path;
    let reference = &placed.reference;
    let goes = match (placed.how, when) {
        (How::New, When::After) => format!("A new log, {reference}:"),
        (How::New, When::Before) => format!("Would be a new log, {reference}:"),
        (How::Added, When::After) => format!("Added to {reference}:"),
        (How::Added, When::Before) => format!("Would be added to {reference}:"),
        (How::Already, _) => return format!("Nothing to add: this note is in {path} already.\n"),
    };
    let gap = if goes.len() + 1 + path.len() > WIDTH {
        "\n  "
    } else {
        " "
    };
    format!("{goes}{gap}{path}\n{kept}\n")
}

/// A line of the note beside its reading; below it where it is long.
fn row(number: usize, typed: &str, said: &str) -> String {
    let typed = shown(typed);
    let head = format!("{number:>3}  ");
    let room = COLUMN - head.len() - 2;
    let short = typed.chars().count() <= room;
    let mut out = head;
    if short {
        out.push_str(&format!("{typed:<room$}  "));
        let rest = wrapped(said, COLUMN);
        out.push_str(rest.trim_start());
    } else {
        let mut column = out.chars().count();
        for word in typed.split(' ') {
            let length = word.chars().count();
            if column + length > WIDTH && column > 5 {
                out.truncate(out.trim_end().len());
                out.push_str("\n     ");
                column = 5;
            }
            // A word longer than the line is cut: the log has the whole of it.
            let fits: String = word.chars().take(WIDTH - 5).collect();
            out.push_str(&fits);
            out.push(' ');
            column += fits.chars().count() + 1;
        }
        out.truncate(out.trim_end().len());
        out.push('\n');
        out.push_str(&wrapped(said, COLUMN));
    }
    out
}

/// Words broken into lines, each from a column on.
fn wrapped(text: &str, from: usize) -> String {
    let mut out = String::new();
    let mut line = " ".repeat(from);
    let mut column = from;
    for word in text.split(' ') {
        let length = word.chars().count();
        if column > from && column + 1 + length > WIDTH {
            out.push_str(line.trim_end());
            out.push('\n');
            line = " ".repeat(from);
            column = from;
        }
        if column > from {
            line.push(' ');
            column += 1;
        }
        line.push_str(word);
        column += length;
    }
    out.push_str(line.trim_end());
    out.push('\n');
    out
}

fn said(job: &NoteJob, parts: &[Part], kept: bool) -> String {
    let mut said: Vec<String> = parts.iter().map(|part| part_text(job, part)).collect();
    if kept {
        said.push(
            if said.is_empty() {
                "stays text"
            } else {
                "stays text as well"
            }
            .to_owned(),
        );
    }
    if said.is_empty() {
        // `done.` and its like: joining words alone.
        return "nothing to note".to_owned();
    }
    said.join("; ")
}

fn part_text(job: &NoteJob, part: &Part) -> String {
    match part {
        Part::NewJob => "a new job".to_owned(),
        Part::Title(_) => "title".to_owned(),
        Part::Reference(reference) => format!("goes on with {reference}"),
        Part::Client(client) => format!("client, {}", shown(client)),
        Part::Day(day) => format!("the day of the jobs below, {}", long_date(*day)),
        Part::Visit(at) => visit(job, *at),
        Part::Kind(kind) => format!("visit: {}", kind_text(*kind)),
        Part::Break(0) => "no break".to_owned(),
        Part::Break(minutes) => format!("break, {}", length(*minutes)),
        Part::Parking(paid) => format!("parking, {paid}"),
        Part::Travel(miles, road) => {
            let miles = miles.map(|miles| format!("{miles} miles"));
            let road = road.map(length);
            format!(
                "trip, {}",
                [miles, road]
                    .into_iter()
                    .flatten()
                    .collect::<Vec<_>>()
                    .join(", ")
            )
        }
        Part::Task(task) => task_text(task),
        Part::Material(material) => material_text(material),
        Part::MaterialsBelow => "materials below".to_owned(),
        Part::Finding(at) => job.findings.get(*at).map_or_else(String::new, |finding| {
            let mut said = format!("finding, {}", finding.code);
            if let Some(what) = &finding.what {
                said.push_str(&format!(": {}", shown(what)));
            }
            if let Some(done) = &finding.done {
                said.push_str(&format!("; done: {}", shown(done)));
            }
            match &finding.told {
                Some(told) => said.push_str(&format!("; {}", told_text(told))),
                None if finding.code != "note" => said.push_str("; nobody told"),
                None => {}
            }
            said
        }),
        Part::WhatOfFinding => "what the finding below is about".to_owned(),
        Part::Told(told, 1) => format!("finding above: {}", told_text(told)),
        Part::Told(told, n) => format!("{n} findings above: {}", told_text(told)),
        Part::Reading(_, values, Joined::TheOneAbove) => {
            format!("reading above: {}", values_text(values))
        }
        Part::Reading(at, values, Joined::Began) => job
            .readings
            .get(*at)
            .map_or_else(String::new, |reading| reading_text(reading, values)),
    }
}

fn visit(job: &NoteJob, at: usize) -> String {
    let Some(visit) = job.visits.get(at) else {
        return "visit".to_owned();
    };
    let mut said = format!("visit, {}", long_date(visit.date));
    if let Some(clocks) = visit.clocks {
        let next = if clocks.to < clocks.from {
            " next day"
        } else {
            ""
        };
        said.push_str(&format!(
            ", {} to {}{next}",
            clock_text(clocks.from),
            clock_text(clocks.to)
        ));
    }
    if visit.kind != VisitKind::Planned {
        said.push_str(&format!(", {}", kind_text(visit.kind)));
    }
    match (visit.minutes, visit.clocks) {
        (Some(minutes), _) => said.push_str(&format!(", {} on site", length(minutes))),
        (None, Some(_)) => said.push_str(", its length is not clear"),
        (None, None) => {}
    }
    said
}

fn kind_text(kind: VisitKind) -> String {
    kind.shown().to_lowercase()
}

fn task_text(task: &NoteTask) -> String {
    let count = task
        .count
        .map_or_else(String::new, |count| format!("{count} x "));
    let time = task.minutes.map_or_else(
        || ", no time".to_owned(),
        |minutes| format!(", {}", length(minutes)),
    );
    format!("task {count}{}{time}", task.task)
}

fn material_text(material: &NoteMaterial) -> String {
    let unit = material
        .unit
        .map_or(" x".to_owned(), |unit| format!(" {unit}"));
    let cost = match material.cost {
        None => ", no price".to_owned(),
        Some((amount, CostFor::Each)) => format!(", {amount} each"),
        Some((amount, CostFor::All)) => format!(", {amount}"),
    };
    format!(
        "material {}{unit} {}{cost}",
        material.count,
        shown(&material.item)
    )
}

fn told_text(told: &NoteTold) -> String {
    let how = told
        .how
        .as_ref()
        .map_or_else(String::new, |how| format!(" {}", told::in_words(how)));
    format!("told {}{how}", shown(&told.who))
}

fn reading_text(reading: &NoteReading, values: &[Value]) -> String {
    let circuit = reading
        .circuit
        .as_ref()
        .map_or_else(|| "no circuit".to_owned(), |circuit| shown(circuit));
    let device = reading
        .device
        .as_ref()
        .map_or_else(String::new, |(kind, rating)| format!(" {kind}{rating}"));
    format!("reading, {circuit}{device}: {}", values_text(values))
}

fn values_text(values: &[Value]) -> String {
    if values.is_empty() {
        return "values below".to_owned();
    }
    values.iter().map(value_text).collect::<Vec<_>>().join(", ")
}

fn value_text(value: &Value) -> String {
    let at = |at: &Option<String>| {
        at.as_ref()
            .map_or_else(String::new, |at| format!(" at {at} V"))
    };
    match value {
        Value::Zs(v) => format!("Zs {v}"),
        Value::Ze(v) => format!("Ze {v}"),
        Value::R1R2(v) => format!("R1+R2 {v}"),
        Value::Ring([r1, rn, r2]) => format!("ring {r1} {rn} {r2}"),
        Value::LiveToEarth(v, volts) => format!("insulation {v}{}", at(volts)),
        Value::LiveToLive(v, volts) => format!("insulation L-N {v}{}", at(volts)),
        Value::Rcd(current, time) => {
            let current = current.as_ref().map(|ma| format!("{ma} mA"));
            let time = time.as_ref().map(|ms| format!("{ms} ms"));
            format!(
                "RCD {}",
                [current, time]
                    .into_iter()
                    .flatten()
                    .collect::<Vec<_>>()
                    .join(" ")
            )
        }
        Value::Pfc(v) => format!("PFC {v} kA"),
        Value::Polarity(v) => format!("polarity {v}"),
    }
}

fn length(minutes: i64) -> String {
    Minutes::new(minutes).to_string()
}

/// `Mon 2 March 2026`.
fn long_date(date: jiff::civil::Date) -> String {
    date.strftime("%a %-d %B %Y").to_string()
}

/// Text of a note made fit for a terminal: what would be obeyed is shown as a mark.
fn shown(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\t' => ' ',
            c if c.is_control() => '\u{fffd}',
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => '\u{fffd}',
            c => c,
        })
        .collect()
}
