//! `daywork jot`: phone notes into job logs.

use std::collections::BTreeSet;
use std::convert::Infallible;
use std::io::{self, BufRead as _, IsTerminal as _, Write as _};
use std::path::{Path, PathBuf};

use clap::Args;
use serde_json::json;

use crate::diagnose::{self, counts};
use crate::jot::ask::{self, Answer, Settled};
use crate::jot::disk::{self, DiskError};
use crate::jot::near::Near;
use crate::jot::note::Note;
use crate::jot::plan::{Desk, Finished, How, Placed};
use crate::jot::pocket::{self, Page};
use crate::jot::shown;
use crate::jot::vocabulary::Vocabulary;
use crate::jot::{Opened, alias, json as report};
use crate::model::Settings;

use super::{Exit, Failure, Format, Printed, Shared, has_errors, plural};

/// The arguments of `jot`.
#[derive(Debug, Args)]
pub struct JotArgs {
    /// The notes: text files, or captions (WebVTT, SubRip); without any, standard input
    #[arg(value_name = "FILE")]
    files: Vec<PathBuf>,
    /// Show how the notes are read, and write nothing
    #[arg(long)]
    dry_run: bool,
    /// Write the page for the phone, on which a day is noted without a signal
    #[arg(long, value_name = "FILE", conflicts_with = "files")]
    pocket: Option<PathBuf>,
    #[command(flatten)]
    shared: Shared,
    #[command(flatten)]
    printed: Printed,
}

/// A note, its reading and where its jobs go.
struct Taken {
    note: Note,
    near: Vec<Near>,
    placed: Vec<Placed>,
}

/// Runs the command.
pub fn run(args: &JotArgs) -> Result<Exit, Failure> {
    let shared = &args.shared;
    let folder = shared.folder()?;
    let read = shared.read()?;
    if has_errors(&read.diagnostics) {
        shared.tell(&diagnose::errors(&read.diagnostics), &read.sources)?;
        shared.tell_line("Nothing was written: mend the diary first.")?;
        return Ok(Exit::DiaryHasErrors);
    }
    if let Some(file) = &args.pocket {
        return pocket(args, file, &read.diary.settings);
    }
    let notes = texts(shared, args)?;
    let mut vocabulary =
        Vocabulary::new(&read.diary.settings).with_clients(read.diary.clients.keys());
    let mut desk = Desk::new(&read);
    let mut taken = Vec::new();
    for text in &notes {
        let opened = Opened::new(text);
        let settled = settle(shared, args, &opened, &mut vocabulary)?;
        for near in &settled.always {
            learn(shared, &mut desk, near)?;
        }
        let (note, near) = (settled.note, settled.near);
        let scenes = opened.scenes(&vocabulary, shared.day());
        let placed = match desk.take(&note, &opened.kept, &scenes, &vocabulary) {
            Ok(placed) => placed,
            Err(refusal) => {
                let placed = Vec::new();
                taken.push(Taken { note, near, placed });
                if args.printed.format == Format::Text {
                    show(shared, &taken, |taken| {
                        shown::plan(&taken.note, &taken.near, &taken.placed)
                    })?;
                }
                return Err(Failure::Usage(format!("{refusal}. Nothing was written")));
            }
        };
        taken.push(Taken { note, near, placed });
    }
    let finished = desk
        .finish(shared.day())
        .map_err(|refusal| Failure::Usage(format!("{refusal}. Nothing was written")))?;
    if args.dry_run {
        match args.printed.format {
            Format::Text => show(shared, &taken, |taken| {
                shown::plan(&taken.note, &taken.near, &taken.placed)
            })?,
            Format::Json => show_json(shared, &taken, |_| true)?,
        }
        return Ok(Exit::Done);
    }
    // Whoever stops reading what is printed still gets what was asked for.
    let printed = match args.printed.format {
        Format::Text => show(shared, &taken, |taken| {
            shown::reading(&taken.note, &taken.near)
        }),
        Format::Json => Ok(()),
    };
    disk::sweep(&folder);
    let (written, done) = write(&folder, &finished);
    let is_done = |placed: &Placed| placed.how == How::Already || written.contains(&placed.path);
    let told = match args.printed.format {
        Format::Text => taken.iter().try_for_each(|taken| {
            shared.print(&shown::outcome(&taken.note, &taken.placed, is_done))
        }),
        Format::Json => show_json(shared, &taken, is_done),
    };
    done.map_err(failure)?;
    printed.and(told)?;
    remarks(args, &finished)
}

/// Writes the page for the phone.
fn pocket(args: &JotArgs, file: &Path, settings: &Settings) -> Result<Exit, Failure> {
    let shared = &args.shared;
    if file.extension().is_none_or(|ending| ending != "html") {
        return Err(Failure::Usage(format!(
            "{} does not end in .html, and a phone would not open it as a page. Write --pocket {}",
            file.display(),
            file.with_extension("html").display()
        )));
    }
    let page = Page::new(settings);
    for word in &page.left_out {
        shared.tell_line(&format!(
            "{word} is not on the page: no spelling of it reads back as itself. Give it one of its own under also."
        ))?;
    }
    if !args.dry_run {
        disk::write_page(file, &page.html, pocket::is_pocket).map_err(failure)?;
    }
    let name = file.display();
    match args.printed.format {
        Format::Text => {
            let begin = if args.dry_run { "Would write" } else { "Wrote" };
            shared.print(&format!(
                "{begin} {name}: {} bytes, {}.\n\
                 Put it on the phone and open it there. It needs no signal, and holds nothing of clients or money.\n",
                page.html.len(),
                plural(page.tasks, "task type"),
            ))?;
        }
        Format::Json => {
            let report = json!({
                "report": "jot",
                "version": 1,
                "pocket": name.to_string(),
                "written": !args.dry_run,
                "bytes": page.html.len(),
                "tasks": page.tasks,
                "left_out": page.left_out,
            });
            let text = serde_json::to_string_pretty(&report)
                .expect("a report of texts and numbers serializes");
            shared.print(&format!("{text}\n"))?;
        }
    }
    Ok(Exit::Done)
}

/// The notes' texts, in the order given.
fn texts(shared: &Shared, args: &JotArgs) -> Result<Vec<String>, Failure> {
    if args.files.is_empty() {
        if io::stdin().is_terminal() {
            shared.tell_line("Type or paste the note; end it with Ctrl-D on a line of its own.")?;
        }
        let text =
            disk::note_from(io::stdin().lock(), Path::new("standard input")).map_err(failure)?;
        return Ok(vec![text]);
    }
    args.files
        .iter()
        .map(|path| disk::note(path).map_err(failure))
        .collect()
}

fn failure(error: DiskError) -> Failure {
    match error {
        DiskError::Io { path, cause } => Failure::Io {
            doing: format!("reading or writing {}", path.display()),
            cause,
        },
        other => Failure::Usage(other.to_string()),
    }
}

/// Reads a note; near spellings are asked about where somebody sits at a terminal who can answer.
fn settle(
    shared: &Shared,
    args: &JotArgs,
    opened: &Opened,
    vocabulary: &mut Vocabulary,
) -> Result<Settled, Failure> {
    let today = shared.day();
    let answers = !args.files.is_empty() && !args.dry_run && args.printed.format == Format::Text;
    if answers && io::stdin().is_terminal() && io::stderr().is_terminal() {
        return ask::settle(opened, vocabulary, today, &mut |near| {
            question(shared, near)
        });
    }
    let unasked: Result<_, Infallible> =
        ask::settle(opened, vocabulary, today, &mut |_| Ok(Answer::No));
    Ok(unasked.unwrap_or_else(|never| match never {}))
}

fn question(shared: &Shared, near: &Near) -> Result<Answer, Failure> {
    let asked = shown::question(near);
    loop {
        let mut err = io::stderr().lock();
        write!(err, "{asked}")
            .and_then(|()| err.flush())
            .map_err(Failure::output)?;
        let mut words = String::new();
        let length = io::stdin()
            .lock()
            .read_line(&mut words)
            .map_err(Failure::output)?;
        if length == 0 {
            return Ok(Answer::No);
        }
        if let Some(answer) = Answer::from_words(&words, near) {
            return Ok(answer);
        }
        shared.tell_line(&format!("Answer with {}.", shown::answers(near, " or ")))?;
    }
}

/// Adds a spelling to `diary.yaml` on the desk; says so where that cannot be.
fn learn(shared: &Shared, desk: &mut Desk, near: &Near) -> Result<(), Failure> {
    let text = desk.text("diary.yaml").unwrap_or_default();
    match alias::learn(text, near) {
        Ok(text) => {
            desk.put("diary.yaml", text);
            Ok(())
        }
        Err(why) => shared.tell_line(&format!("{}: {why}.", near.typed)),
    }
}

/// Prints something of each note, an empty line between them.
fn show(shared: &Shared, taken: &[Taken], text: impl Fn(&Taken) -> String) -> Result<(), Failure> {
    for (index, taken) in taken.iter().enumerate() {
        let gap = if index > 0 { "\n" } else { "" };
        shared.print(&format!("{gap}{}", text(taken)))?;
    }
    Ok(())
}

fn show_json(
    shared: &Shared,
    taken: &[Taken],
    is_done: impl Fn(&Placed) -> bool,
) -> Result<(), Failure> {
    let mut jobs = Vec::new();
    let mut files = Vec::new();
    for taken in taken {
        let report = report::report(&taken.note);
        jobs.extend(report["jobs"].as_array().cloned().unwrap_or_default());
        let placed = taken.placed.iter();
        files.extend(placed.map(|placed| placed_json(placed, is_done(placed))));
    }
    let report = json!({
        "report": "jot",
        "version": 1,
        "today": shared.day().to_string(),
        "jobs": jobs,
        "logs": files,
    });
    let text =
        serde_json::to_string_pretty(&report).expect("a report of texts and numbers serializes");
    shared.print(&format!("{text}\n"))
}

/// Where a job goes, in the order of `jobs`.
fn placed_json(placed: &Placed, done: bool) -> serde_json::Value {
    let how = match placed.how {
        _ if !done => "failed",
        How::New => "new",
        How::Added => "added",
        How::Already => "already",
    };
    json!({"file": placed.path, "ref": placed.reference, "how": how})
}

/// Writes what changed, up to the first file that cannot be written; and the paths of those that were.
fn write(folder: &Path, finished: &Finished) -> (BTreeSet<String>, Result<(), DiskError>) {
    // diary.yaml comes last: a spelling is learnt only once the log that needed it stands.
    let (settings, logs): (Vec<_>, Vec<_>) = finished
        .changes
        .iter()
        .partition(|change| change.path == "diary.yaml");
    let mut written = BTreeSet::new();
    for change in logs.into_iter().chain(settings) {
        if let Err(error) = disk::write(folder, change) {
            return (written, Err(error));
        }
        written.insert(change.path.clone());
    }
    (written, Ok(()))
}

/// Says what is still to be mended in what was written.
fn remarks(args: &JotArgs, finished: &Finished) -> Result<Exit, Failure> {
    let shared = &args.shared;
    let (errors, warnings) = counts(&finished.said);
    if errors > 0 {
        shared.tell(&diagnose::errors(&finished.said), &finished.sources)?;
        shared.tell_line(
            "The note was kept as typed. Mend this in the log; comments stand at the places.",
        )?;
        return Ok(Exit::DiaryHasErrors);
    }
    if warnings > 0 && args.printed.format == Format::Text {
        shared.print(&format!(
            "{} to look at; comments in the log say what.\n",
            plural(warnings, "thing")
        ))?;
    }
    Ok(Exit::Done)
}
