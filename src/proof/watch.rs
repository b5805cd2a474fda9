//! Watches the diary's folders: by the machine's own telling, or by looking every second where that is not to be had.
//!
//! Tells that something may have changed, and where it can be told which file: a press reads the whole diary as it then
//! is all the same. Never watches `out/`.

use std::ffi::OsStr;
use std::path::{Component, Path, PathBuf};
use std::sync::mpsc::Sender;
use std::time::Duration;

use notify::event::{CreateKind, EventKind, ModifyKind};
use notify::{Config, ErrorKind, PollWatcher, RecursiveMode, Watcher, recommended_watcher};

use super::Event;

/// Between two looks where the machine does not tell.
const LOOK_EVERY: Duration = Duration::from_secs(1);

/// Watching, for as long as the value lives.
pub struct Watch {
    root: PathBuf,
    watched: &'static [&'static str],
    send: Sender<Event>,
    watcher: Box<dyn Watcher + Send>,
    way: Way,
    /// Not told yet.
    remark: Option<String>,
}

/// How it is known that something changed.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Way {
    /// The machine tells.
    Told,
    /// By looking every second.
    Looking,
}

impl Watch {
    /// Watches the files and folders `watched` of the folder `root`, and waits for those that are not there yet.
    ///
    /// # Errors
    /// Neither way of watching is to be had; why not.
    pub fn begin(
        root: &Path,
        watched: &'static [&'static str],
        send: &Sender<Event>,
    ) -> Result<Self, String> {
        let root = root.canonicalize().map_err(|cause| cause.to_string())?;
        let native = recommended_watcher(listener(&root, watched, send.clone()))
            .map(|watcher| Box::new(watcher) as Box<dyn Watcher + Send>)
            .and_then(|mut watcher| {
                watch_all(watcher.as_mut(), &root, watched)?;
                Ok(watcher)
            });
        let (watcher, way, remark) = match native {
            Ok(watcher) => (watcher, Way::Told, None),
            Err(error) => (
                looking(&root, watched, send).map_err(|error| error.to_string())?,
                Way::Looking,
                Some(looks_instead(&why(&error))),
            ),
        };
        Ok(Watch {
            root,
            watched,
            send: send.clone(),
            watcher,
            way,
            remark,
        })
    }

    /// Gives `tell` what has not been told yet of how the watching goes.
    pub fn tell(&mut self, tell: &mut dyn FnMut(&str)) {
        if let Some(remark) = self.remark.take() {
            tell(&remark);
        }
    }

    /// Watches a folder that has come. One below a watched folder is watched already.
    pub fn add(&mut self, folder: &Path) {
        if folder.parent() != Some(&self.root) {
            return;
        }
        match self.watcher.watch(folder, RecursiveMode::Recursive) {
            Ok(()) => {}
            // It has gone again.
            Err(_) if !folder.exists() => {}
            Err(error) => self.fall_back(&why(&error)),
        }
    }

    /// Looks every second from now on.
    pub fn fall_back(&mut self, cause: &str) {
        if self.way == Way::Looking {
            return;
        }
        match looking(&self.root, self.watched, &self.send) {
            Ok(watcher) => {
                self.watcher = watcher;
                self.way = Way::Looking;
                self.remark = Some(looks_instead(cause));
            }
            Err(error) => {
                self.remark = Some(format!(
                    "The diary cannot be watched any longer ({error}). End proof and start it again"
                ));
            }
        }
    }
}

fn looks_instead(cause: &str) -> String {
    format!(
        "The system does not tell when files change ({cause}), so proof looks every second: a save shows a little later."
    )
}

fn why(error: &notify::Error) -> String {
    match &error.kind {
        ErrorKind::MaxFilesWatch => {
            "more folders than it is set to watch: raise fs.inotify.max_user_watches".to_owned()
        }
        ErrorKind::Io(cause) => cause.to_string(),
        _ => error.to_string(),
    }
}

/// A watcher that looks every second.
fn looking(
    root: &Path,
    watched: &'static [&'static str],
    send: &Sender<Event>,
) -> notify::Result<Box<dyn Watcher + Send>> {
    let config = Config::default().with_poll_interval(LOOK_EVERY);
    let mut watcher = PollWatcher::new(listener(root, watched, send.clone()), config)?;
    watch_all(&mut watcher, root, watched)?;
    Ok(Box::new(watcher))
}

/// The root by itself, which holds `out/` too; and each folder with all below it.
fn watch_all(watcher: &mut dyn Watcher, root: &Path, watched: &[&str]) -> notify::Result<()> {
    watcher.watch(root, RecursiveMode::NonRecursive)?;
    for folder in watched.iter().map(|name| root.join(name)) {
        if folder.is_dir() {
            watcher.watch(&folder, RecursiveMode::Recursive)?;
        }
    }
    Ok(())
}

/// What the watcher calls, on a thread of its own.
fn listener(
    root: &Path,
    watched: &'static [&'static str],
    send: Sender<Event>,
) -> impl FnMut(notify::Result<notify::Event>) + Send + 'static {
    let root = root.to_owned();
    move |told| {
        let events = match told {
            Ok(event) => meaning(&event, &root, watched),
            // A file that went before it could be looked at is a change like another.
            Err(error) if matches!(error.kind, ErrorKind::MaxFilesWatch) => {
                vec![Event::WatchFailed(why(&error))]
            }
            Err(_) => vec![Event::Changed(None)],
        };
        for event in events {
            // A loop that has gone needs to hear nothing.
            let _ = send.send(event);
        }
    }
}

/// What an event means for the diary; nothing for reading, for hidden files and for what is no part of it.
fn meaning(event: &notify::Event, root: &Path, watched: &[&str]) -> Vec<Event> {
    if event.need_rescan() {
        return vec![Event::Changed(None)];
    }
    if matches!(event.kind, EventKind::Access(_)) {
        return Vec::new();
    }
    let may_bring_folder = matches!(
        event.kind,
        EventKind::Create(CreateKind::Folder | CreateKind::Any)
            | EventKind::Modify(ModifyKind::Name(_))
    );
    event
        .paths
        .iter()
        .map(|path| (path, path.strip_prefix(root).unwrap_or(path)))
        .filter(|(_, below)| is_of_diary(below, watched))
        .map(|(path, below)| {
            if may_bring_folder && path.is_dir() {
                Event::NewFolder(path.clone())
            } else {
                Event::Changed(Some(below.to_owned()))
            }
        })
        .collect()
}

fn is_of_diary(below: &Path, watched: &[&str]) -> bool {
    let mut names = below.components().map(|part| match part {
        Component::Normal(name) => name,
        _ => OsStr::new("."),
    });
    let first = names.next();
    watched.iter().any(|name| first == Some(OsStr::new(name)))
        && names.all(|name| name.as_encoded_bytes().first() != Some(&b'.'))
}

#[cfg(test)]
mod tests {
    use std::fs;
    use std::sync::mpsc;
    use std::time::Instant;

    use notify::event::{AccessKind, DataChange, RenameMode};

    use super::*;

    const WATCHED: &[&str] = &["diary.yaml", "jobs"];

    fn told(kind: EventKind, path: &str) -> usize {
        let root = Path::new("/diary");
        let event = notify::Event::new(kind).add_path(root.join(path));
        meaning(&event, root, WATCHED).len()
    }

    #[test]
    fn only_the_diary_s_own_files_wake_it() {
        let written = EventKind::Modify(ModifyKind::Data(DataChange::Any));
        assert_eq!(told(written, "jobs/2026/a.md"), 1);
        assert_eq!(told(written, "diary.yaml"), 1);
        assert_eq!(told(written, "out/site/index.html"), 0);
        assert_eq!(told(written, "notes.txt"), 0);
        assert_eq!(told(written, "jobs/2026/.a.md.swp"), 0);
        assert_eq!(told(written, "jobs/.git/index"), 0);
        assert_eq!(told(EventKind::Access(AccessKind::Any), "jobs/a.md"), 0);
        let renamed = EventKind::Modify(ModifyKind::Name(RenameMode::Both));
        assert_eq!(told(renamed, "diary.yaml"), 1);
    }

    #[test]
    fn looking_every_second_sees_a_save_and_a_new_folder() {
        let diary = tempfile::tempdir().expect("a temporary folder");
        let root = diary.path().canonicalize().expect("it is there");
        let (send, events) = mpsc::channel();
        let mut watch = Watch::begin(&root, WATCHED, &send).expect("it can be watched");
        watch.fall_back("no watches left");
        let mut remarks = Vec::new();
        watch.tell(&mut |remark| remarks.push(remark.to_owned()));
        watch.tell(&mut |remark| remarks.push(remark.to_owned()));
        assert_eq!(remarks.len(), 1);
        assert!(remarks[0].contains("no watches left") && remarks[0].contains("every second"));

        fs::create_dir(root.join("jobs")).expect("made");
        // Either watcher may tell of the folder, and both may: the one that looks and, if it is slow to end, the one before.
        let told_in_time = |wanted: &dyn Fn(&Event) -> bool| {
            let end = Instant::now() + Duration::from_secs(20);
            std::iter::from_fn(|| {
                let left = end.checked_duration_since(Instant::now())?;
                events.recv_timeout(left).ok()
            })
            .find(wanted)
        };
        let folder = root.join("jobs");
        told_in_time(&|event| matches!(event, Event::NewFolder(path) if *path == folder))
            .expect("the folder is seen");
        watch.add(&folder);
        fs::write(folder.join("a.md"), "a").expect("written");
        told_in_time(&|event| matches!(event, Event::Changed(_))).expect("the save is seen");
    }
}
