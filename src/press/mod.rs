//! What must be made, what has changed; writes it whole, sweeps what is stale, keeps the ledger.
//!
//! Works on outputs, each a path, the digest of its view and a way to make its bytes. Knows nothing of diaries
//! or templates, and writes nothing outside its own folder.

mod export;
mod keep;
mod ledger;
mod paperwork;
mod photos;
mod print;
mod way;
mod write;

use std::collections::BTreeMap;
use std::fmt;
use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};

use jiff::ToSpan as _;
use jiff::civil::Date;
use rayon::prelude::*;

use crate::diagnose::Diagnostic;
use crate::pages::{Output, Rank};

pub use export::{ExportFile, export, export_place, sweep_export};
pub use keep::{keep, kept, new_file};
pub use paperwork::paperwork;
pub use photos::{Missing, Photos};
pub use print::print;
pub use write::new_part;

use ledger::{Entry, Ledger};
use write::Folder;

/// Which half of `out/` a file belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Half {
    /// `out/site`: readers see it; every byte passes the leak gate.
    Site,
    /// `out/office`: nobody else sees it.
    Office,
}

impl Half {
    const BOTH: [Half; 2] = [Half::Site, Half::Office];

    fn folder(self) -> &'static str {
        match self {
            Half::Site => "site",
            Half::Office => "office",
        }
    }

    /// The path below `out/` of a file that has this one below its half.
    pub fn path_of(self, path: &str) -> String {
        format!("{}/{path}", self.folder())
    }
}

/// The machine failed: disk, permission, another press.
#[derive(Debug)]
pub enum PressError {
    /// A file or folder could not be read or written.
    Io {
        /// Which.
        path: PathBuf,
        /// Why.
        cause: io::Error,
    },
    /// A folder of `out/` leads somewhere else.
    LeadsOut {
        /// Which.
        path: PathBuf,
    },
    /// Another press is at work in the same folder.
    Busy {
        /// Which folder.
        out: PathBuf,
    },
    /// The clock says a day long before that of the last press.
    ClockBack {
        /// Which folder.
        out: PathBuf,
        /// What the clock says.
        today: Date,
        /// What it said then.
        last: Date,
    },
    /// A file stands where one of press's would, and no ledger says that press wrote it.
    NotOurs {
        /// Which.
        path: PathBuf,
    },
    /// A new file would stand where something is.
    There {
        /// Which.
        path: PathBuf,
    },
    /// The folder to write to is, or holds, the diary itself.
    InDiary {
        /// Which.
        out: PathBuf,
    },
    /// A file stands where an export would, and is none.
    NotAnExport {
        /// Which.
        path: PathBuf,
    },
    /// An export would stand among the pages that go out.
    InSite {
        /// Where.
        path: PathBuf,
    },
}

impl fmt::Display for PressError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PressError::Io { path, cause }
                if matches!(
                    cause.kind(),
                    io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded
                ) =>
            {
                write!(
                    f,
                    "the disk is full: {} could not be written. Make room and press again",
                    path.display()
                )
            }
            PressError::Io { path, cause }
                if matches!(
                    cause.kind(),
                    io::ErrorKind::ReadOnlyFilesystem | io::ErrorKind::PermissionDenied
                ) =>
            {
                write!(
                    f,
                    "{} may not be written to: the folder or its disk is read-only. Give another folder with --out",
                    path.display()
                )
            }
            PressError::Io { path, cause } if cause.kind() == io::ErrorKind::AlreadyExists => {
                write!(
                    f,
                    "{} is a file, and a folder belongs there. Give a folder with --out",
                    path.display()
                )
            }
            PressError::Io { path, cause } => write!(f, "{}: {cause}", path.display()),
            PressError::NotOurs { path } => write!(
                f,
                "{} is there already, and no ledger says that press wrote it. Move it away, or give another folder with --out",
                path.display()
            ),
            PressError::There { path } => write!(
                f,
                "{} is there already, and is left as it is. Give another name",
                path.display()
            ),
            PressError::LeadsOut { path } => write!(
                f,
                "{} is a link that leads out of the folder that is written to. Delete it and press again",
                path.display()
            ),
            PressError::Busy { out } => write!(
                f,
                "another press is at work in {}. Wait for it to end and try again",
                out.display()
            ),
            PressError::ClockBack { out, today, last } => write!(
                f,
                "the clock says {today}, and the last press into {} was on {last}. Set the clock, or give the day with --as-of",
                out.display()
            ),
            PressError::InDiary { out } => write!(
                f,
                "{} cannot be written to: that would be among the logs. Give another folder with --out",
                out.display()
            ),
            PressError::NotAnExport { path } => write!(
                f,
                "{} is there already and is no such export, so it was left alone and nothing was written. Move it away, or give another place with --out",
                path.display()
            ),
            PressError::InSite { path } => write!(
                f,
                "{} would stand among the pages that go to readers. Give another place with --out",
                path.display()
            ),
        }
    }
}

impl std::error::Error for PressError {}

/// Why nothing was written, or not everything.
#[derive(Debug)]
pub enum Stopped {
    /// A page could not be made, or would have shown a private word: nothing was written.
    Diagnostics(Vec<Diagnostic>),
    /// The machine failed.
    Machine(PressError),
}

impl From<PressError> for Stopped {
    fn from(error: PressError) -> Self {
        Stopped::Machine(error)
    }
}

/// What a press did.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Done {
    /// Files of the site.
    pub site_files: usize,
    /// Files of the office book.
    pub office_files: usize,
    /// Paths below `out/` that were made anew, in order.
    pub written: Vec<String>,
    /// Paths below `out/` that were swept, in order.
    pub swept: Vec<String>,
    /// Said once: the ledger could not be used and everything was made anew.
    pub note: Option<String>,
}

/// Stands before the site: looks at every page before any is written.
pub struct Gatekeeper<'a, Leak> {
    /// What a file, with its path below the site, would let out.
    pub look: &'a (dyn Fn(&str, &[u8]) -> Vec<Leak> + Sync),
    /// All of it, as diagnostics.
    pub tell: &'a dyn Fn(&[Leak]) -> Vec<Diagnostic>,
}

/// A folder that is written to by nobody else for as long as the value lives.
pub struct Held {
    folder: Folder,
    _lock: File,
    ledger: Ledger,
    note: Option<String>,
    /// What the clock says, where it is the day to reckon by.
    today: Option<Date>,
}

impl Held {
    /// Takes hold of `out`, making it where it is not there. `today` is the day by the clock, and `None` where the day to
    /// reckon by was given: a clock that was set back would take pages down again, so it is asked about.
    ///
    /// # Errors
    /// The disk refuses, `out` is a diary's own folder, another press is at work in it, or the last one there was more
    /// than a day (a journey may cost one) after `today`.
    pub fn take(out: &Path, today: Option<Date>) -> Result<Self, PressError> {
        let folder = Folder::open(out)?;
        let lock = folder.lock()?;
        let (ledger, note) = Ledger::read(&folder);
        if let (Some(today), Some(last)) = (today, ledger.day())
            && today.saturating_add(1.day()) < last
        {
            return Err(PressError::ClockBack {
                out: out.to_owned(),
                today,
                last,
            });
        }
        Ok(Held {
            folder,
            _lock: lock,
            ledger,
            note,
            today,
        })
    }
}

/// Told after each file that is made or passed over.
pub type Tick<'a> = dyn Fn() + Sync + 'a;

/// Brings a folder up to date with `site` and `office`. Every changed page of the site is made and checked before
/// the first byte is written.
///
/// # Errors
/// [`Stopped::Diagnostics`] leaves it exactly as it was; [`Stopped::Machine`] leaves whole files, and the next
/// press mends the rest.
pub fn press<Leak: Send>(
    held: &Held,
    site: &[Output<'_>],
    office: &[Output<'_>],
    gate: &Gatekeeper<'_, Leak>,
    tick: &Tick<'_>,
) -> Result<Done, Stopped> {
    let Held { folder, note, .. } = held;
    let before = held.ledger.clone();

    let all: Vec<Job<'_>> = plan(Half::Site, site)
        .chain(plan(Half::Office, office))
        .collect();
    let is_stale = |job: &&Job<'_>| {
        let stands = before.holds(&job.path, job.output.digest)
            && folder.has(&job.path, before.length(&job.path));
        if stands {
            tick();
        }
        !stands
    };
    let stale: Vec<&Job<'_>> = all.par_iter().filter(is_stale).collect();
    // A ledger that cannot be used may have named all of them.
    if note.is_none() {
        let paths = stale.iter().map(|job| job.path.as_str());
        folder.refuse_others(paths.filter(|path| !before.names(path)))?;
    }
    let made = make_site(&stale, gate, tick)?;

    let kept: BTreeMap<&str, &Job<'_>> = all.iter().map(|job| (job.path.as_str(), job)).collect();
    let swept: Vec<String> = before
        .paths()
        .filter(|path| !kept.contains_key(path))
        .map(str::to_owned)
        .collect();
    let mut done = Done {
        site_files: site.len(),
        office_files: office.len(),
        note: note.clone(),
        ..Done::default()
    };
    let forgets_day = held.today.is_none() && before.day().is_some();
    if stale.is_empty() && swept.is_empty() && before.is_settled() && !forgets_day {
        return Ok(done);
    }

    let mut ledger = before;
    ledger.set_day(held.today);
    let written = stale.iter().map(|job| job.path.clone());
    ledger.intend(written.chain(swept.iter().cloned()));
    ledger.write(folder)?;

    let lengths = way::write(folder, &stale, &made, tick)?;
    // Pages that go may lead to each other, and to what goes with them: none leads anywhere before the first goes.
    let pages = swept.par_iter().filter(|path| is_page(path));
    pages.try_for_each(|path| folder.blank(path))?;
    for path in &swept {
        folder.sweep(path)?;
    }
    let entries = all.iter().map(|job| {
        let length = lengths
            .get(&job.path)
            .copied()
            .unwrap_or_else(|| ledger.length(&job.path));
        let digest = job.output.digest.to_hex().to_string();
        (job.path.clone(), Entry { digest, length })
    });
    let mut settled = Ledger::settled(entries.collect());
    settled.set_day(held.today);
    settled.write(folder)?;
    done.written = stale.iter().map(|job| job.path.clone()).collect();
    done.written.sort_unstable();
    done.swept = swept;
    Ok(done)
}

/// Makes every file of the site and has the gate look at it, and writes nothing. Empty where a press would pass.
pub fn look_over<Leak: Send>(site: &[Output<'_>], gate: &Gatekeeper<'_, Leak>) -> Vec<Diagnostic> {
    let jobs: Vec<Job<'_>> = plan(Half::Site, site).collect();
    match make_site(&jobs.iter().collect::<Vec<_>>(), gate, &|| ()) {
        Err(Stopped::Diagnostics(faults)) => faults,
        Ok(_) | Err(Stopped::Machine(_)) => Vec::new(),
    }
}

/// An output with its path below `out/`.
struct Job<'a> {
    half: Half,
    path: String,
    output: &'a Output<'a>,
}

fn plan<'a>(half: Half, outputs: &'a [Output<'a>]) -> impl Iterator<Item = Job<'a>> {
    outputs.iter().map(move |output| Job {
        half,
        path: half.path_of(&output.path),
        output,
    })
}

/// Whether a file is a page, which leads to others, and not a drawing, a feed or a style.
fn is_page(path: &str) -> bool {
    path.ends_with(".html")
}

/// Makes every stale page of the site, photos left out, and has the gate look at it; all faults together, in order of path.
fn make_site<Leak: Send>(
    stale: &[&Job<'_>],
    gate: &Gatekeeper<'_, Leak>,
    tick: &Tick<'_>,
) -> Result<BTreeMap<String, Vec<u8>>, Stopped> {
    type Made<Leak> = Result<(Option<Vec<u8>>, Vec<Leak>), Diagnostic>;
    let results: Vec<(String, Made<Leak>)> = stale
        .par_iter()
        .filter(|job| job.half == Half::Site)
        .map(|job| {
            if job.output.rank == Rank::Picture {
                // No word is in it, and a thousand of them would not fit in memory: only its address is looked at.
                let leaks = (gate.look)(&job.output.path, &[]);
                return (job.path.clone(), Ok((None, leaks)));
            }
            let made = (job.output.make)().map(|bytes| {
                let leaks = (gate.look)(&job.output.path, &bytes);
                (Some(bytes), leaks)
            });
            tick();
            (job.path.clone(), made)
        })
        .collect();
    let mut made = BTreeMap::new();
    let mut faults = Vec::new();
    let mut leaks = Vec::new();
    for (path, result) in results {
        match result {
            Ok((bytes, more)) => {
                made.extend(bytes.map(|bytes| (path, bytes)));
                leaks.extend(more);
            }
            Err(fault) => faults.push(fault),
        }
    }
    faults.extend((gate.tell)(&leaks));
    if faults.is_empty() {
        Ok(made)
    } else {
        Err(Stopped::Diagnostics(faults))
    }
}
