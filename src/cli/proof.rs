//! `daywork proof`: presses, shows the pages on this machine, and presses again on every save.

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::thread;
use std::time::Instant;

use clap::Args;

use crate::diagnose;
use crate::diagnose::text::{self, Colour};
use crate::diary::store::{self, PLACES};
use crate::diary::{self, Kept, Read};
use crate::press::{Done, PressError};
use crate::proof::{Outcome, PORT, Presser, Proof};

use super::press::{self, NotPressed, Pressed};
use super::{Exit, Failure, Shared, plural};

/// The arguments of `proof`.
#[derive(Debug, Args)]
pub struct ProofArgs {
    /// The port to show the pages on; 0 takes any free one
    #[arg(long, value_name = "N", default_value_t = PORT)]
    port: u16,
    #[command(flatten)]
    shared: Shared,
}

/// Runs the command until Ctrl-C.
pub fn run(args: &ProofArgs) -> Result<Exit, Failure> {
    let shared = &args.shared;
    let folder = shared.folder()?;
    let out = folder.join("out");
    let proof = Proof::open(&folder, &out, args.port, &PLACES)?;
    let stopper = proof.stopper();
    ctrlc::set_handler(move || stopper.stop()).map_err(|cause| Failure::Io {
        doing: "listening for Ctrl-C".to_owned(),
        cause: std::io::Error::other(cause),
    })?;
    let address = proof.address();
    shared.print(&format!(
        "Proof of {} at {address} for this machine alone. Ctrl-C ends it.\n",
        folder.display()
    ))?;
    let mut teller = Teller {
        shared,
        address,
        folder,
        out,
        state: Last::None,
        kept: Kept::default(),
        pressed: None,
        saved: Vec::new(),
    };
    proof.run(
        &mut teller,
        // Whoever has closed the terminal needs no remark; the pages are served all the same.
        &mut |remark| drop(shared.tell_line(remark)),
    );
    Ok(Exit::Done)
}

/// What the last press came to, as far as the next one's line hangs on it.
#[derive(Clone, PartialEq, Eq)]
enum Last {
    /// There was none.
    None,
    /// Pages as the diary is.
    Good,
    /// This was wrong.
    Trouble(String),
    /// Another press had the folder.
    Busy,
}

/// Presses and tells the terminal of each press.
struct Teller<'a> {
    shared: &'a Shared,
    address: String,
    folder: PathBuf,
    out: PathBuf,
    state: Last,
    /// What the diary gave the last time.
    kept: Kept,
    /// What was pressed the last time that it went through.
    pressed: Option<Pressed>,
    /// The pages that were made at once of the files saved since then.
    saved: Vec<String>,
}

impl Presser for Teller<'_> {
    fn at_once(&mut self, changed: &BTreeSet<PathBuf>) -> Vec<(String, Vec<u8>)> {
        let day = self.shared.day();
        let pages = self.pressed.as_mut().map_or_else(Vec::new, |pressed| {
            pressed.pages_of(changed, &self.kept, &self.folder, day)
        });
        self.saved = pages.iter().map(|(path, _)| path.clone()).collect();
        pages
    }

    fn press(&mut self) -> Outcome {
        let began = Instant::now();
        let saved = std::mem::take(&mut self.saved);
        // The day is asked anew: a proof may be left open over midnight.
        let read = store::find(Some(&self.folder), &self.folder)
            .and_then(|folder| diary::read_again(&folder, &mut self.kept));
        let pressed = match read {
            Ok(read) => {
                let read = self.shared.looked_over(read);
                press::once(read, self.shared.day(), self.shared.clock(), &self.out)
            }
            Err(error) => return self.trouble(&format!("{error}.\n"), &format!("{error}.")),
        };
        match pressed {
            Ok(pressed) => {
                let outcome = self.good(&pressed.read, &pressed.done, &saved, began);
                let last = self.pressed.replace(pressed.without_pages());
                // A large diary takes a while to let go of, and nobody need wait for it.
                thread::spawn(move || drop(last));
                outcome
            }
            Err(NotPressed::Diary(read)) => {
                let drawn = |colour| drawn(&read, colour);
                self.trouble(&drawn(Colour::Ansi), &drawn(Colour::Plain))
            }
            Err(NotPressed::Machine(PressError::Busy { .. })) => {
                if self.state != Last::Busy {
                    self.say("another press is at work in out/: proof waits for it");
                }
                self.state = Last::Busy;
                Outcome::Busy
            }
            Err(NotPressed::Machine(error)) => {
                self.trouble(&format!("{error}.\n"), &format!("{error}."))
            }
        }
    }
}

impl Teller<'_> {
    fn good(&mut self, read: &Read, done: &Done, saved: &[String], began: Instant) -> Outcome {
        let changed: Vec<String> = done.written.iter().chain(&done.swept).cloned().collect();
        let look = page_to_look_at(saved, &done.written);
        // A save that changes nothing is no news, unless there was trouble before.
        if !changed.is_empty() || self.state != Last::Good {
            let first = read.diagnostics.iter().filter(|d| press::is_told_always(d));
            let first: Vec<_> = first.cloned().collect();
            // The pages are served all the same where the terminal has gone.
            let _ = self.shared.tell(&first, &read.sources);
            let swept = match done.swept.len() {
                0 => String::new(),
                n => format!(" and swept {n}"),
            };
            self.say(&format!(
                "pressed {}{swept} in {:.1} s \u{b7} {}{}",
                plural(done.written.len(), "file"),
                began.elapsed().as_secs_f64(),
                self.address,
                look
            ));
        }
        self.state = Last::Good;
        Outcome::Good { changed, look }
    }

    /// Tells what stopped the press, `shown` on the terminal and `plain` on the open pages; once.
    fn trouble(&mut self, shown: &str, plain: &str) -> Outcome {
        let now = Last::Trouble(plain.to_owned());
        if self.state != now {
            self.say("not pressed: the pages stay as they were");
            let _ = self.shared.tell_text(shown);
        }
        self.state = now;
        Outcome::Trouble(plain.to_owned())
    }

    /// A line with the time of day before it.
    fn say(&self, what: &str) {
        let now = jiff::ZonedDateTime::now().strftime("%H:%M:%S");
        let _ = self.shared.print(&format!("{now} {what}\n"));
    }
}

/// The errors that stopped a press, as they are told. Warnings wait until it goes through again.
fn drawn(read: &Read, colour: Colour) -> String {
    let errors = diagnose::errors(&read.diagnostics);
    let drawn = text::render(&errors, &read.sources, colour);
    format!("{drawn}{}\n", press::what_to_mend(read))
}

/// Where the change is best seen, as an address below the proof's own: a page for readers, else a job's page in the office
/// book, else the first page of all. A page of a `saved` file goes before the others that changed with it.
fn page_to_look_at(saved: &[String], written: &[String]) -> String {
    let both: Vec<String> = written
        .iter()
        .filter(|path| saved.contains(path))
        .cloned()
        .collect();
    match the_one_page(&both) {
        page if page.is_empty() => the_one_page(written),
        page => page,
    }
}

/// The one page among these, or nothing.
fn the_one_page(written: &[String]) -> String {
    let is_readers = |path: &&String| {
        path.starts_with("site/") && path.ends_with("/index.html") && path.matches('/').count() == 3
    };
    let is_jobs = |path: &&String| {
        path.starts_with("office/jobs/")
            && path.ends_with(".html")
            && !path.ends_with("/index.html")
    };
    let mut pages = written.iter().filter(is_readers);
    let mut jobs = written.iter().filter(is_jobs);
    // A first press writes everything: then no page is the one.
    match (pages.next(), pages.next(), jobs.next(), jobs.next()) {
        (Some(page), None, _, _) => page.trim_end_matches("index.html").to_owned(),
        (None, _, Some(job), None) => job.clone(),
        _ => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_page_to_look_at_is_the_one_that_changed() {
        let look = |paths: &[&str]| {
            let written: Vec<String> = paths.iter().map(|path| (*path).to_owned()).collect();
            page_to_look_at(&[], &written)
        };
        let shared = [
            "office/index.html",
            "office/jobs/index.html",
            "site/index.html",
        ];
        assert_eq!(look(&shared), "");
        assert_eq!(
            look(
                &[
                    &shared[..],
                    &["office/jobs/7.html", "site/write-ups/a/index.html"]
                ]
                .concat()
            ),
            "site/write-ups/a/"
        );
        assert_eq!(
            look(&["office/index.html", "office/jobs/7.html"]),
            "office/jobs/7.html"
        );
        assert_eq!(
            look(&["site/write-ups/a/index.html", "site/write-ups/b/index.html"]),
            ""
        );
    }

    #[test]
    fn the_page_of_the_saved_log_goes_before_those_that_changed_with_it() {
        let look = |saved: &[&str], written: &[&str]| {
            let owned = |paths: &[&str]| -> Vec<String> {
                paths.iter().map(|path| (*path).to_owned()).collect()
            };
            page_to_look_at(&owned(saved), &owned(written))
        };
        let (a, b) = ("site/write-ups/a/index.html", "site/write-ups/b/index.html");
        let (seven, eight) = ("office/jobs/7.html", "office/jobs/8.html");
        let all = [a, b, seven, eight];
        assert_eq!(look(&[b, seven], &all), "site/write-ups/b/");
        // A log that was taken off the site has its page in the office book.
        assert_eq!(look(&[seven], &all), "office/jobs/7.html");
        assert_eq!(look(&[seven], &[b, eight]), "site/write-ups/b/");
        assert_eq!(look(&[a, b], &all), "");
    }
}
