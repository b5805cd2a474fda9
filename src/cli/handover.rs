//! `daywork handover`: the client's paperwork for a job.

use std::env;
use std::fmt::Write as _;
use std::path::PathBuf;

use clap::{Args, ValueEnum};
use serde::Serialize;

use crate::diagnose::{self, Diagnostic, nearest};
use crate::diary::Read;
use crate::model::Job;
use crate::office::handover::{self, For, Handover, Subject};
use crate::pages::paper;
use crate::pages::sheets::Sheets;
use crate::press;
use crate::public::{FileKind, Gate, Leak, PublicFile, tell_others};

use super::{Exit, Failure, Reported, Shared, has_errors, plural};

/// Browsers that print to PDF without a window, by the names they go by.
const BROWSERS: [&str; 8] = [
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
    "chromium.exe",
    "chrome.exe",
    "msedge.exe",
];

/// The arguments of `handover`.
#[derive(Debug, Args)]
pub struct HandoverArgs {
    /// The job's ref, such as 2026-031
    #[arg(value_name = "REF")]
    reference: String,
    /// Whom it is for: the one who pays, an agent or a tenant
    #[arg(long = "for", value_enum, value_name = "WHOM", default_value_t = Whom::Owner)]
    whom: Whom,
    /// Make the daywork sheet too: time, materials and plant with their additions
    #[arg(long)]
    daywork: bool,
    /// Print the paper to PDF with an installed Chromium or Chrome
    #[arg(long)]
    pdf: bool,
    #[command(flatten)]
    reported: Reported,
}

/// Whom a paper is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Whom {
    /// No prices, unless the agent is the client who pays
    Agent,
    /// No prices, and nothing of whoever pays
    Tenant,
    /// The one who pays: everything that is the client's
    Owner,
}

impl From<Whom> for For {
    fn from(whom: Whom) -> Self {
        match whom {
            Whom::Agent => For::Agent,
            Whom::Tenant => For::Tenant,
            Whom::Owner => For::Owner,
        }
    }
}

/// Runs the command.
pub fn run(args: &HandoverArgs) -> Result<Exit, Failure> {
    let shared = &args.reported.shared;
    let folder = shared.folder()?;
    let read = shared.read()?;
    if has_errors(&read.diagnostics) {
        shared.tell(&read.diagnostics, &read.sources)?;
        return Ok(Exit::DiaryHasErrors);
    }
    let job = find(&read, &args.reference)?;
    let subject = Subject {
        diary: &read.diary,
        job,
        reader: args.whom.into(),
        as_of: shared.day(),
    };
    if args.daywork && !subject.pays() {
        return Err(Failure::Usage(format!(
            "a daywork sheet shows prices, and --for {} gets none. Leave --for or --daywork away",
            subject.reader.word()
        )));
    }
    let made = match made(&read, subject, args) {
        Ok(made) => made,
        Err(mut faults) => {
            diagnose::put_in_order(&mut faults, &read.sources);
            shared.tell(&faults, &read.sources)?;
            shared.tell_line("Nothing was written: mend this first.")?;
            return Ok(Exit::DiaryHasErrors);
        }
    };
    let out = folder.join("out");
    let below = handover::folder(&job.reference.in_office().value);
    let files: Vec<(String, Vec<u8>)> = made
        .into_iter()
        .map(|(name, text)| (format!("{below}/{name}"), text.into_bytes()))
        .collect();
    press::paperwork(&out, &files)?;
    let mut names: Vec<String> = files.into_iter().map(|(path, _)| path).collect();
    let browser = browser();
    if let Some(browser) = browser.as_deref().filter(|_| args.pdf) {
        let pages: Vec<String> = names
            .iter()
            .filter(|name| name.ends_with(".html"))
            .cloned()
            .collect();
        for page in pages {
            let pdf = format!("{}.pdf", page.trim_end_matches(".html"));
            press::print(browser, &out.join(&page), &out.join(&pdf))?;
            names.push(pdf);
        }
    }
    names.sort();
    let mut report = handover::handover(subject);
    report.files = names.iter().map(|name| format!("out/{name}")).collect();
    args.reported.print(&report, |report| text(report, job))?;
    tell_warnings(shared, &read, job)?;
    if args.pdf && browser.is_none() {
        shared.tell_line(
            "No Chromium or Chrome was found to make the PDF. Open the page in any browser, print it on A4 and choose \
             to save it as PDF.",
        )?;
    }
    Ok(Exit::Done)
}

/// The job of a ref, whatever the case it is typed in.
fn find<'r>(read: &'r Read, reference: &str) -> Result<&'r Job, Failure> {
    let refs = || {
        read.diary
            .jobs
            .iter()
            .map(|job| job.reference.in_office().value.as_str())
    };
    let at = refs()
        .position(|one| one == reference)
        .or_else(|| refs().position(|one| one.eq_ignore_ascii_case(reference)));
    at.map(|at| &read.diary.jobs[at]).ok_or_else(|| {
        let help = match nearest(reference, refs()) {
            Some(near) => format!("The nearest is {near}"),
            None => "A job's ref stands in its log, as ref: 2026-031".to_owned(),
        };
        Failure::Usage(format!("no job has the ref {reference}. {help}"))
    })
}

/// Every text to write, by name, once no other client's word was found in it.
fn made(
    read: &Read,
    subject: Subject<'_>,
    args: &HandoverArgs,
) -> Result<Vec<(String, String)>, Vec<Diagnostic>> {
    let sheets = Sheets::load(&read.diary.sheets)?;
    let gate = Gate::new(&read.diary, &read.sources);
    let reader = subject.reader;
    let paper = handover::paper(subject);
    let mut pages = vec![Page::of(
        &sheets,
        reader.file("paper", "html"),
        "paper/handover.html",
        &paper,
    )];
    if args.daywork {
        let sheet = handover::daywork::sheet(subject);
        let name = reader.file("daywork", "html");
        pages.push(Page::of(&sheets, name, "paper/daywork.html", &sheet));
    }
    let mut looked_at = vec![(reader.file("email", "txt"), handover::email(subject))];
    let mut files = looked_at.clone();
    for page in pages {
        let Page { name, bare, whole } = page.map_err(|fault| vec![fault])?;
        looked_at.push((name.clone(), bare));
        files.push((name, whole));
    }
    if subject.pays() {
        let note = ("certificate.txt".to_owned(), handover::note(subject));
        looked_at.push(note.clone());
        files.push(note);
    }
    let leaks: Vec<Leak> = looked_at
        .iter()
        .flat_map(|(name, text)| {
            let file = PublicFile {
                path: name,
                kind: FileKind::of_path(name),
                bytes: text.as_bytes(),
            };
            gate.check_others(&file, subject.diary, subject.job)
        })
        .collect();
    if leaks.is_empty() {
        Ok(files)
    } else {
        Err(tell_others(&leaks, subject.job, &read.sources))
    }
}

/// A paper, with its style and without.
struct Page {
    name: String,
    bare: String,
    whole: String,
}

impl Page {
    fn of(
        sheets: &Sheets,
        name: String,
        sheet: &str,
        view: &impl Serialize,
    ) -> Result<Page, Diagnostic> {
        Ok(Page {
            name,
            bare: paper::bare(sheets, sheet, view)?,
            whole: paper::whole(sheets, sheet, view)?,
        })
    }
}

/// The first browser of the list that stands on the path.
fn browser() -> Option<PathBuf> {
    let path = env::var_os("PATH")?;
    let folders: Vec<PathBuf> = env::split_paths(&path).collect();
    BROWSERS.iter().find_map(|name| {
        folders
            .iter()
            .map(|folder| folder.join(name))
            .find(|file| file.is_file())
    })
}

/// What inspect says of the job: what comes first in full, the rest as a count.
fn tell_warnings(shared: &Shared, read: &Read, job: &Job) -> Result<(), Failure> {
    let (first, rest): (Vec<Diagnostic>, Vec<Diagnostic>) = read
        .diagnostics
        .iter()
        .filter(|one| one.span.file == job.file)
        .cloned()
        .partition(|one| one.code.comes_first());
    shared.tell(&first, &read.sources)?;
    if !rest.is_empty() {
        shared.tell_line(&format!(
            "{} of this job: daywork inspect tells them.",
            plural(rest.len(), "other warning")
        ))?;
    }
    Ok(())
}

/// What stands on the paper, in short, and where it is.
fn text(report: &Handover, job: &Job) -> String {
    let mut out = String::new();
    let mut say = |line: &str| writeln!(out, "{line}").expect("writing to a String");
    say(&format!(
        "Job {}, {}: paperwork for the {}.",
        report.reference,
        job.title.value,
        match report.reader {
            "owner" => "one who pays",
            other => other,
        }
    ));
    say("");
    for finding in &report.findings {
        let state = match (&finding.put_right, &finding.told) {
            (Some(on), _) => format!("put right {on}"),
            (None, Some(_)) if finding.refused => "refused, in writing".to_owned(),
            (None, None) if finding.refused => "refused, in writing; told to nobody yet".to_owned(),
            (None, Some(_)) if finding.asks.is_empty() => String::new(),
            (None, Some(_)) => "not marked as put right".to_owned(),
            (None, None) => "told to nobody yet".to_owned(),
        };
        let state = if state.is_empty() {
            state
        } else {
            format!(" ({state})")
        };
        say(&format!("  {:<5}{}{state}", finding.code, finding.what));
    }
    let outside = report
        .readings
        .iter()
        .filter(|held| held.verdict == "outside" && !held.measured_again);
    for held in outside {
        // Polarity and an open leg of a ring have no number to lie outside of.
        let how = held
            .limit
            .map_or("not as it should be".to_owned(), |limit| {
                format!("outside its figure of {limit}")
            });
        say(&format!(
            "  {} {} on {}: {how}",
            held.quantity,
            held.value,
            held.circuit
                .as_deref()
                .unwrap_or("a circuit without a name"),
        ));
    }
    if let Some(guarantee) = &report.guarantee {
        say(&format!(
            "  Guarantee from {} until the end of {}",
            guarantee.from, guarantee.until
        ));
    }
    say("");
    for file in &report.files {
        say(file);
    }
    out
}
