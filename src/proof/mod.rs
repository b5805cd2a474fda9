//! Proof: serves what was pressed on this machine alone, watches the diary, has it pressed again on every save, and
//! tells the open page.
//!
//! Knows nothing of diaries or pages: pressing is a function that it is given, and what that function wants to keep
//! between two presses is its own.

mod files;
pub mod guard;
mod http;
mod page;
mod server;
mod state;
mod watch;

use std::collections::BTreeSet;
use std::fmt;
use std::io;
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender};
use std::thread::sleep;
use std::time::Duration;

use state::State;
use watch::Watch;

/// The port where none is given: the number of the wiring regulations.
pub const PORT: u16 = 7671;
/// How far above a taken port a free one is looked for.
const PORTS_TRIED: u16 = 100;
/// Quiet for so long, a save is over: editors write in several steps.
const QUIET: Duration = Duration::from_millis(40);
/// A program that goes on writing (a sync of thousands of files) is waited for so many times, then pressed in between.
const QUIETS_WAITED: u32 = 12;
/// Between two tries while another press holds the folder.
const BUSY: Duration = Duration::from_millis(300);
/// When a new folder is looked at again: what was written into it before it was watched was never told.
const NEW_FOLDER: Duration = Duration::from_millis(300);

/// Files that a save may change and be a save: an editor keeps the old text under another name. More are a program's doing.
const FEW: usize = 4;

/// What a press came to.
#[derive(Clone, Debug)]
pub enum Outcome {
    /// Pages are as the diary is.
    Good {
        /// The paths below `out/` that were written or swept.
        changed: Vec<String>,
        /// Where the change is best seen, below the proof's own address: the start where no one page is it.
        look: String,
    },
    /// The pages stay as they were, for the reason told: text as a terminal shows it.
    Trouble(String),
    /// Another press is at work in the folder; proof comes back to it.
    Busy,
}

/// What proof is given to press with.
pub trait Presser {
    /// Pages of the files that changed since the last good press, all of them (their paths in the diary), ahead of the
    /// press that follows, as far as they can be made at once: path below `out/`, and bytes.
    fn at_once(&mut self, changed: &BTreeSet<PathBuf>) -> Vec<(String, Vec<u8>)>;

    /// Brings `out/` up to date with the diary.
    fn press(&mut self) -> Outcome;
}

/// Why there is no proof.
#[derive(Debug)]
pub enum ProofError {
    /// Another program listens on the port.
    PortTaken {
        /// The port that was asked for.
        port: u16,
        /// The next one up that is free; `None` where none is.
        free: Option<u16>,
    },
    /// The machine refuses the port for another reason.
    Port {
        /// The port that was asked for.
        port: u16,
        /// Why.
        cause: io::Error,
    },
    /// The diary's folder cannot be watched at all.
    Watch {
        /// The folder.
        folder: PathBuf,
        /// Why.
        cause: String,
    },
}

impl fmt::Display for ProofError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ProofError::PortTaken {
                port,
                free: Some(free),
            } => write!(
                f,
                "port {port} is taken, by another proof or another program. End that one, or take the next free port: daywork proof --port {free}"
            ),
            ProofError::PortTaken { port, free: None } => write!(
                f,
                "port {port} is taken, by another proof or another program. End that one, or take any free port: daywork proof --port 0"
            ),
            ProofError::Port { port, cause } => write!(
                f,
                "port {port} cannot be had: {cause}. Take any free port: daywork proof --port 0"
            ),
            ProofError::Watch { folder, cause } => write!(
                f,
                "{} cannot be watched: {cause}. Use daywork press after each change instead",
                folder.display()
            ),
        }
    }
}

impl std::error::Error for ProofError {}

/// What the loop wakes for.
enum Event {
    /// A file of the diary may have changed: this one, where it is known.
    Changed(Option<PathBuf>),
    /// A folder of the diary is new, or came back: it is watched from now on, and looked at twice.
    NewFolder(PathBuf),
    /// The machine cannot watch any longer, for this reason.
    WatchFailed(String),
    /// The end.
    Stop,
}

/// Ends a proof from another thread.
#[derive(Clone, Debug)]
pub struct Stopper(Sender<Event>);

impl Stopper {
    /// Ends the proof once the press at hand is done. Again is no harm.
    pub fn stop(&self) {
        // A loop that has gone has stopped already.
        let _ = self.0.send(Event::Stop);
    }
}

/// A proof whose port is bound and whose folder is watched.
pub struct Proof {
    port: u16,
    out: PathBuf,
    state: Arc<State>,
    watch: Watch,
    events: Receiver<Event>,
    stopper: Stopper,
}

impl Proof {
    /// Binds `port` (0: any free one) on this machine alone, begins to serve `out` and to watch the `watched` files and
    /// folders of the diary in `folder`.
    ///
    /// # Errors
    /// The port is taken, or the folder cannot be watched.
    pub fn open(
        folder: &Path,
        out: &Path,
        port: u16,
        watched: &'static [&'static str],
    ) -> Result<Self, ProofError> {
        let listener = listen(port)?;
        let refused = |cause| ProofError::Port { port, cause };
        let bound = listener.local_addr().map_err(refused)?.port();
        let (send, events) = mpsc::channel();
        let watch = Watch::begin(folder, watched, &send).map_err(|cause| ProofError::Watch {
            folder: folder.to_owned(),
            cause,
        })?;
        let state = Arc::new(State::default());
        server::begin(listener, &state, out.to_owned(), bound);
        Ok(Proof {
            port: bound,
            out: out.to_owned(),
            state,
            watch,
            events,
            stopper: Stopper(send),
        })
    }

    /// Where a browser finds it, with the slash at the end.
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}/", self.port)
    }

    /// A way to end it.
    pub fn stopper(&self) -> Stopper {
        self.stopper.clone()
    }

    /// Presses, and presses again whenever the diary has changed, until it is stopped: the page of a file that was saved is
    /// shown first, and then all the rest is made. Errors of a press are told to the open pages and end nothing. `remark` is
    /// given what is to be told of the watching, should it not go as it ought.
    pub fn run(mut self, presser: &mut dyn Presser, remark: &mut dyn FnMut(&str)) {
        let mut look_again = None;
        let mut changed = BTreeSet::new();
        let mut all_known = true;
        loop {
            self.watch.tell(remark);
            match presser.press() {
                Outcome::Good {
                    changed: paths,
                    look,
                } => {
                    self.state.pressed(&paths, look);
                    changed.clear();
                    all_known = true;
                }
                Outcome::Trouble(text) => self.state.trouble(text),
                Outcome::Busy => look_again = Some(BUSY),
            }
            let mut saved = false;
            for event in self.woken(&mut look_again) {
                match event {
                    Event::Stop => {
                        self.state.close();
                        // The one connection more that lets go of the port.
                        drop(TcpStream::connect((Ipv4Addr::LOCALHOST, self.port)));
                        return;
                    }
                    Event::NewFolder(path) => {
                        self.watch.add(&path);
                        look_again = Some(NEW_FOLDER);
                        all_known = false;
                    }
                    Event::WatchFailed(cause) => self.watch.fall_back(&cause),
                    Event::Changed(Some(path)) => {
                        changed.insert(path);
                        saved = true;
                    }
                    Event::Changed(None) => all_known = false,
                }
            }
            if saved && all_known && changed.len() <= FEW {
                let mut pages = presser.at_once(&changed);
                // What was taken back is as it was pressed.
                pages.retain(|(path, page)| !files::is(&self.out, path, page));
                self.state.show_at_once(pages);
            }
        }
    }

    /// Waits until something happens and is over: what happened, in order. Nothing where the time to look again came
    /// first.
    fn woken(&self, look_again: &mut Option<Duration>) -> Vec<Event> {
        let first = match *look_again {
            Some(wait) => self.events.recv_timeout(wait),
            None => self
                .events
                .recv()
                .map_err(|_| RecvTimeoutError::Disconnected),
        };
        let mut woken = match first {
            Ok(event) => vec![event],
            Err(RecvTimeoutError::Timeout) => {
                *look_again = None;
                return Vec::new();
            }
            Err(RecvTimeoutError::Disconnected) => return vec![Event::Stop],
        };
        for _ in 0..QUIETS_WAITED {
            sleep(QUIET);
            let before = woken.len();
            woken.extend(self.events.try_iter());
            if woken.len() == before {
                break;
            }
        }
        woken
    }
}

/// Binds a port of this machine alone.
fn listen(port: u16) -> Result<TcpListener, ProofError> {
    let bind = |port| TcpListener::bind((Ipv4Addr::LOCALHOST, port));
    bind(port).map_err(|cause| {
        if cause.kind() == io::ErrorKind::AddrInUse {
            let above = (1..=PORTS_TRIED).filter_map(|step| port.checked_add(step));
            let free = above.into_iter().find(|port| bind(*port).is_ok());
            ProofError::PortTaken { port, free }
        } else {
            ProofError::Port { port, cause }
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Notes what it is asked to show at once. Its presses come to these in turn, and the last ends the proof.
    struct Noting {
        asked: Vec<usize>,
        presses: Vec<Outcome>,
        /// What is saved during each press, of those that are left.
        saves: Vec<Vec<Event>>,
        stopper: Stopper,
    }

    impl Presser for Noting {
        fn at_once(&mut self, changed: &BTreeSet<PathBuf>) -> Vec<(String, Vec<u8>)> {
            self.asked.push(changed.len());
            Vec::new()
        }

        fn press(&mut self) -> Outcome {
            let outcome = self.presses.remove(0);
            if self.presses.is_empty() {
                self.stopper.stop();
            } else {
                for event in self.saves.remove(0) {
                    self.stopper.0.send(event).expect("it listens");
                }
            }
            outcome
        }
    }

    fn good() -> Outcome {
        Outcome::Good {
            changed: Vec::new(),
            look: String::new(),
        }
    }

    /// How many files were asked for at once, each time, by presses that came to these while these were saved.
    fn asked(folder: &Path, presses: Vec<Outcome>, saves: Vec<Vec<Event>>) -> Vec<usize> {
        let proof = Proof::open(folder, folder, 0, &[]).expect("a free port");
        let mut noting = Noting {
            asked: Vec::new(),
            presses,
            saves,
            stopper: proof.stopper(),
        };
        proof.run(&mut noting, &mut |_| {});
        noting.asked
    }

    fn saved(name: &str) -> Event {
        Event::Changed(Some(PathBuf::from(name)))
    }

    #[test]
    fn pages_are_shown_at_once_only_where_all_that_changed_is_known() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let new = || Event::NewFolder(folder.path().join("jobs"));
        let told = [
            (vec![saved("a"), saved("a"), saved("b")], vec![2]),
            (vec![saved("a"), Event::Changed(None)], vec![]),
            (vec![new(), saved("a")], vec![]),
            (["a", "b", "c", "d", "e"].map(saved).into(), vec![]),
        ];
        for (events, counts) in told {
            let presses = vec![good(), good()];
            assert_eq!(asked(folder.path(), presses, vec![events]), counts);
        }
    }

    #[test]
    fn what_no_press_took_in_is_shown_at_once_with_the_next_save() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let trouble = || Outcome::Trouble("no such key".to_owned());
        let asked = |presses, saves| asked(folder.path(), presses, saves);
        assert_eq!(
            asked(
                vec![good(), trouble(), good(), good()],
                vec![vec![saved("a")], vec![saved("b")], vec![saved("c")]]
            ),
            [1, 2, 1]
        );
        // Nothing is known again until a press has gone through.
        assert_eq!(
            asked(
                vec![good(), trouble(), good(), good()],
                vec![
                    vec![Event::Changed(None)],
                    vec![saved("b")],
                    vec![saved("c")]
                ]
            ),
            [1]
        );
        // Another press holds the folder: proof comes back to it of itself, and that is no save.
        assert_eq!(
            asked(
                vec![good(), Outcome::Busy, good()],
                vec![vec![saved("a")], vec![]]
            ),
            [1]
        );
    }
}
