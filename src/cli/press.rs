//! `daywork press`: compiles the diary into the site and the office book.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::time::Duration;

use clap::Args;
use indicatif::{ProgressBar, ProgressStyle};
use jiff::civil::Date;

use crate::diagnose::{self, Code, Diagnostic};
use crate::diary::{Read, photo};
use crate::model::Publish;
use crate::office::back_test::Kept;
use crate::office::book::handbook::Handbook;
use crate::office::cover::Cover;
use crate::office::hours::Hours;
use crate::office::rates::Rates;
use crate::office::{book, cover, hours, rates};
use crate::pages;
use crate::pages::sheets::Sheets;
use crate::press::{self, Done, Gatekeeper, Held, Photos, PressError, Stopped};
use crate::public::view::{PhotoFile, SiteViews};
use crate::public::{self, FileKind, Gate, Leak, PublicFile, photos};

use super::{Exit, Failure, Shared, back_test, has_errors, plural};

/// The arguments of `press`.
#[derive(Debug, Args)]
pub struct PressArgs {
    /// The folder to write site/, office/ and ledger/ into; otherwise out/ in the diary
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    #[command(flatten)]
    shared: Shared,
}

/// Runs the command.
pub fn run(args: &PressArgs) -> Result<Exit, Failure> {
    let shared = &args.shared;
    let as_of = shared.day();
    let folder = shared.folder()?;
    let out = args.out.clone().unwrap_or_else(|| folder.join("out"));
    match once(shared.read()?, as_of, shared.clock(), &out) {
        Ok(pressed) => {
            let Pressed { read, done, .. } = &pressed;
            let (first, rest): (Vec<Diagnostic>, Vec<Diagnostic>) =
                read.diagnostics.iter().cloned().partition(is_told_always);
            shared.tell(&first, &read.sources)?;
            shared.print(&summary(read, done, as_of, &out))?;
            if !rest.is_empty() {
                let warnings = plural(rest.len(), "warning");
                shared.tell_line(&format!(
                    "{warnings}: daywork inspect tells them, and so does the office book."
                ))?;
            }
            // The program ends here, and the machine takes back a large diary's memory in one piece.
            std::mem::forget(pressed);
            Ok(Exit::Done)
        }
        Err(NotPressed::Machine(error)) => Err(error.into()),
        Err(NotPressed::Diary(read)) => stop(shared, &read),
    }
}

/// Whether a diagnostic that stops nothing is told at every press: a danger that nobody was told of, a sheet's fault.
/// The rest is a count, and inspect's to tell.
pub fn is_told_always(diagnostic: &Diagnostic) -> bool {
    diagnostic.code.comes_first() || diagnostic.code == Code::BadSheet
}

/// Why a press wrote nothing, or not everything.
pub enum NotPressed {
    /// The diary, with everything that is wrong in the order of telling.
    Diary(Box<Read>),
    /// The machine failed.
    Machine(PressError),
}

/// A diary that was pressed, and what its pages were made with.
pub struct Pressed {
    /// The diary.
    pub read: Read,
    /// What was done.
    pub done: Done,
    pub(super) sheets: Sheets,
    pub(super) reports: Reports,
    pub(super) views: SiteViews,
}

/// What was reckoned of the whole diary.
pub(super) struct Reports {
    pub(super) hours: Hours,
    rates: Vec<Rates>,
    cover: Cover,
    back_test: Option<Kept>,
}

impl Reports {
    /// As the office book takes them.
    pub(super) fn for_book(&self) -> book::Reports<'_> {
        book::Reports {
            hours: &self.hours,
            rates: &self.rates,
            cover: &self.cover,
            back_test: self.back_test.as_ref(),
        }
    }
}

/// Presses a diary that was read, once. `clock` is the day where the clock gave it.
pub fn once(
    mut read: Read,
    as_of: Date,
    clock: Option<Date>,
    out: &Path,
) -> Result<Pressed, NotPressed> {
    photo::look_at_all(&mut read);
    if has_errors(&read.diagnostics) {
        return Err(NotPressed::Diary(Box::new(read)));
    }
    let pressed = Sheets::load(&read.diary.sheets)
        .map_err(Stopped::Diagnostics)
        .and_then(|sheets| {
            read.diagnostics.extend(sheets.warnings().iter().cloned());
            let made = press_diary(&read, &sheets, as_of, clock, out)?;
            Ok((sheets, made))
        });
    match pressed {
        Ok((sheets, (reports, views, done))) => Ok(Pressed {
            read,
            done,
            sheets,
            reports,
            views,
        }),
        Err(Stopped::Machine(error)) => Err(NotPressed::Machine(error)),
        Err(Stopped::Diagnostics(faults)) => {
            read.diagnostics.extend(faults);
            diagnose::put_in_order(&mut read.diagnostics, &read.sources);
            Err(NotPressed::Diary(Box::new(read)))
        }
    }
}

/// Everything that the site is made from, and the gate before it.
struct Site<'a> {
    read: &'a Read,
    as_of: Date,
    gate: Gate,
    views: SiteViews,
}

impl<'a> Site<'a> {
    /// With the hours that it shows something of.
    fn of(read: &'a Read, as_of: Date) -> (Self, Hours) {
        let diary = &read.diary;
        let (gate, hours) = rayon::join(
            || Gate::new(diary, &read.sources),
            || hours::hours(diary, None, None, as_of),
        );
        let views = public::views(diary, &hours, as_of, &gate);
        let site = Site {
            read,
            as_of,
            gate,
            views,
        };
        (site, hours)
    }

    fn look(&self, path: &str, bytes: &[u8]) -> Vec<Leak> {
        let kind = FileKind::of_path(path);
        self.gate.check(&PublicFile { path, kind, bytes })
    }

    fn tell(&self, leaks: &[Leak]) -> Vec<Diagnostic> {
        if leaks.is_empty() {
            return Vec::new();
        }
        let origins = public::origins(&self.read.diary, self.as_of);
        let origin = |path: &str| origins.get(path).copied();
        self.gate.diagnose(leaks, &origin, &self.read.sources)
    }
}

/// What would stop a press of a diary without errors: its own sheets, and private words on public pages. Writes
/// nothing.
pub fn faults(read: &Read, as_of: Date) -> Vec<Diagnostic> {
    let sheets = match Sheets::load(&read.diary.sheets) {
        Ok(sheets) => sheets,
        Err(faults) => return faults,
    };
    let (site, _) = Site::of(read, as_of);
    let outputs = pages::site::outputs(&site.views, &sheets, site.gate.digest());
    let keeper = Gatekeeper {
        look: &|path, bytes| site.look(path, bytes),
        tell: &|leaks| site.tell(leaks),
    };
    let mut faults = sheets.warnings().to_vec();
    faults.extend(press::look_over(&outputs, &keeper));
    faults
}

/// Everything from a read diary to `out`.
fn press_diary(
    read: &Read,
    sheets: &Sheets,
    as_of: Date,
    clock: Option<Date>,
    out: &Path,
) -> Result<(Reports, SiteViews, Done), Stopped> {
    let handbook = Handbook::built_in();
    let ((site, hours), (back_test, (rates, cover))) = rayon::join(
        || Site::of(read, as_of),
        || {
            let reckoned = || {
                let rates = rates::each_year(&read.diary, as_of);
                (rates, cover::cover(&read.diary, as_of))
            };
            let tried = || back_test::for_press(out, &read.diary, as_of);
            rayon::join(tried, reckoned)
        },
    );
    let reports = Reports {
        hours,
        rates,
        cover,
        back_test,
    };
    let book = book::book(
        &read.diary,
        &read.sources,
        reports.for_book(),
        &read.diagnostics,
        as_of,
        &handbook,
    );
    let held = Held::take(out, clock)?;
    let photos = Photos::of(&held, &read.diary);
    let of_book: BTreeMap<String, PhotoFile> = book
        .photos()
        .into_iter()
        .map(|(address, seen)| (address.to_owned(), photos::usual(seen)))
        .collect();
    let (mut readers, mut office) = rayon::join(
        || pages::site::outputs(&site.views, sheets, site.gate.digest()),
        || pages::office::outputs(&book, sheets),
    );
    convert(&photos, site.views.photos.values().chain(of_book.values()))?;
    readers.extend(photos.outputs(&site.views.photos));
    office.extend(photos.outputs(&of_book));
    let keeper = Gatekeeper {
        look: &|path, bytes| site.look(path, bytes),
        tell: &|leaks| site.tell(leaks),
    };
    let progress = progress_bar(readers.len() + office.len());
    let done = press::press(&held, &readers, &office, &keeper, &|| progress.inc(1));
    progress.finish_and_clear();
    let done = done?;
    photos.sweep(site.views.photos.values().chain(of_book.values()))?;
    if let Some(tried) = &reports.back_test {
        back_test::keep(out, &held, tried)?;
    }
    drop((readers, office));
    Ok((reports, site.views, done))
}

/// Shown on a terminal only, and only once the work is long.
fn progress_bar(files: usize) -> ProgressBar {
    const FEW: usize = 2_000;
    bar("Pressing {bar:32} {pos} of {len} files", files, FEW)
}

/// Makes the photos that are shown and not kept from an earlier press.
fn convert<'d>(
    photos: &Photos<'_>,
    shown: impl Iterator<Item = &'d PhotoFile>,
) -> Result<(), Stopped> {
    const FEW: usize = 8;
    let missing = photos.missing(shown);
    let progress = bar(
        "Making photos small {bar:32} {pos} of {len}",
        missing.len(),
        FEW,
    );
    let done = photos.convert(&missing, &|| progress.inc(1));
    progress.finish_and_clear();
    done
}

fn bar(template: &str, length: usize, few: usize) -> ProgressBar {
    if length < few {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new(length as u64);
    let style = ProgressStyle::with_template(template).expect("a template that holds");
    bar.set_style(style);
    bar.enable_steady_tick(Duration::from_millis(200));
    bar
}

/// Tells what is wrong; nothing was written.
fn stop(shared: &Shared, read: &Read) -> Result<Exit, Failure> {
    shared.tell(&read.diagnostics, &read.sources)?;
    shared.tell_line(&what_to_mend(read))?;
    Ok(Exit::DiaryHasErrors)
}

/// The line under the errors that stopped a press.
pub fn what_to_mend(read: &Read) -> String {
    let (errors, _) = diagnose::counts(&read.diagnostics);
    let word = if errors == 1 { "error" } else { "errors" };
    format!("Nothing was written: mend the {word} first.")
}

/// What was made, what stayed private and why, and where to look.
fn summary(read: &Read, done: &Done, as_of: Date, out: &Path) -> String {
    let diary = &read.diary;
    let mut text = String::new();
    let mut say = |line: &str| writeln!(text, "{line}").expect("writing to a String");
    if let Some(note) = &done.note {
        say(note);
    }
    let public_jobs = diary
        .jobs
        .iter()
        .filter(|job| job.publish.is_public(as_of))
        .count();
    let public_pages = diary
        .pages
        .iter()
        .filter(|page| page.publish.is_public(as_of))
        .count();
    let held: usize = diary
        .jobs
        .iter()
        .map(|job| job.publish)
        .chain(diary.pages.iter().map(|page| page.publish))
        .filter(|publish| matches!(publish, Publish::On(date) if *date > as_of))
        .count();
    let private_jobs = diary
        .jobs
        .iter()
        .filter(|job| job.publish == Publish::Never)
        .count();
    let blocks: usize = diary.jobs.iter().map(|job| job.body.private.len()).sum();
    say(&format!(
        "Pressed {}: {} and {} for readers, {} in the office book.",
        plural(diary.jobs.len(), "job"),
        plural(public_jobs, "write-up"),
        plural(public_pages, "other page"),
        plural(done.office_files, "file"),
    ));
    if done.written.is_empty() && done.swept.is_empty() {
        say("Nothing had changed.");
    } else {
        let swept = if done.swept.is_empty() {
            String::new()
        } else {
            format!(", {} swept", plural(done.swept.len(), "stale file"))
        };
        let files = done.site_files + done.office_files;
        say(&format!(
            "Wrote {} of {}{swept}.",
            done.written.len(),
            plural(files, "file")
        ));
    }
    let mut kept = vec![format!(
        "{} that {} not say publish",
        plural(private_jobs, "job"),
        if private_jobs == 1 { "does" } else { "do" }
    )];
    if held > 0 {
        kept.push(format!(
            "{} held back until {} day",
            plural(held, "page"),
            if held == 1 { "its" } else { "their" }
        ));
    }
    match diary.waiting.len() {
        0 => {}
        1 => kept.push("1 question that waits for an answer".to_owned()),
        more => kept.push(format!("{more} questions that wait for an answer")),
    }
    if blocks > 0 {
        kept.push(plural(blocks, "private block"));
    }
    say(&format!(
        "Kept private: {}; and of every job its ref, client, place, dates and amounts.",
        kept.join(", ")
    ));
    say("");
    say(&format!(
        "For readers:  {}",
        out.join("site").join("index.html").display()
    ));
    say(&format!(
        "For you only: {}",
        out.join("office").join("index.html").display()
    ));
    text
}
