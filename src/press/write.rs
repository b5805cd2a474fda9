//! Files of `out/`: written whole under another name and renamed; deleted only by name. The one place that writes.

use std::collections::BTreeSet;
use std::fs::{self, File, TryLockError};
use std::io::{self, Read as _, Seek as _, SeekFrom, Write as _};
use std::path::{Component, Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::Duration;

use super::PressError;

/// What a file is called until it is whole. Hidden, and of our own suffix, so that a sweep knows it.
const PART: &str = ".daywork-part";

/// The page that holds the place of others, and where it stands.
const HELD: &str = "ledger/to-come.html";
const HELD_PAGE: &[u8] = b"<!doctype html>\n<html lang=\"en\">\n<meta charset=\"utf-8\">\n\
<meta name=\"viewport\" content=\"width=device-width\">\n<meta name=\"robots\" content=\"noindex\">\n\
<title>On its way</title>\n<p>This page is on its way. Press has not come to its end: run it again.</p>\n</html>\n";

/// Where files wait that take their places all at once.
const BESIDE: &str = "ledger/under-way";

/// Between two tries to have the lock.
const TRY: Duration = Duration::from_millis(20);

/// The folder that press writes to.
pub struct Folder {
    root: PathBuf,
    real: PathBuf,
    /// Folders already made and found to lie within.
    known: Mutex<BTreeSet<PathBuf>>,
}

impl Folder {
    /// Opens `out`, making it where it is not there.
    ///
    /// # Errors
    /// The disk refuses, or `out` is a diary's own folder.
    pub fn open(out: &Path) -> Result<Self, PressError> {
        if among_logs(out) || out.join("diary.yaml").exists() {
            return Err(PressError::InDiary {
                out: out.to_owned(),
            });
        }
        fs::create_dir_all(out).map_err(|cause| io_error(out, cause))?;
        let real = out.canonicalize().map_err(|cause| io_error(out, cause))?;
        Ok(Folder {
            root: out.to_owned(),
            real,
            known: Mutex::default(),
        })
    }

    /// Refuses where a file of somebody else's stands at one of these paths.
    ///
    /// # Errors
    /// The first path that is taken.
    pub fn refuse_others<'p>(
        &self,
        mut paths: impl Iterator<Item = &'p str>,
    ) -> Result<(), PressError> {
        match paths.find(|path| self.is_there(path)) {
            Some(path) => Err(PressError::NotOurs {
                path: self.root.join(path),
            }),
            None => Ok(()),
        }
    }

    /// Takes the lock of this folder for as long as the value lives. The system lets go of it when the process
    /// ends, however it ends.
    ///
    /// # Errors
    /// Another press holds it, or the disk refuses.
    pub fn lock(&self) -> Result<File, PressError> {
        let path = self.root.join("ledger/lock");
        self.make_parent(&path)?;
        let file = File::options()
            .create(true)
            .truncate(false)
            .write(true)
            .open(&path)
            .map_err(|cause| io_error(&path, cause))?;
        match file.try_lock() {
            Ok(()) => Ok(file),
            Err(TryLockError::WouldBlock) => Err(PressError::Busy {
                out: self.root.clone(),
            }),
            // A disk without locks (some network drives) is no reason not to press.
            Err(TryLockError::Error(cause)) if cause.kind() == io::ErrorKind::Unsupported => {
                Ok(file)
            }
            Err(TryLockError::Error(cause)) => Err(io_error(&path, cause)),
        }
    }

    /// The lock of this folder, waited for as long as `patience` lasts while another press holds it.
    ///
    /// # Errors
    /// Another press holds it still, or the disk refuses.
    pub fn lock_within(&self, patience: Duration) -> Result<File, PressError> {
        for _ in 0..patience.as_millis() / TRY.as_millis() {
            match self.lock() {
                Err(PressError::Busy { .. }) => thread::sleep(TRY),
                done => return done,
            }
        }
        self.lock()
    }

    /// The bytes at a path; `None` where there are none that can be read.
    pub fn get(&self, path: &str) -> Option<Vec<u8>> {
        fs::read(self.root.join(path)).ok()
    }

    /// The first two and the last two bytes of a file; `None` where there are fewer than four that can be read.
    pub fn ends(&self, path: &str) -> Option<[u8; 4]> {
        let mut file = File::open(self.root.join(path)).ok()?;
        let mut ends = [0; 4];
        file.read_exact(&mut ends[..2]).ok()?;
        if file.seek(SeekFrom::End(-2)).ok()? < 2 {
            return None;
        }
        file.read_exact(&mut ends[2..]).ok()?;
        Some(ends)
    }

    /// The names of the files in a folder below, in order; empty where there is none that can be read.
    pub fn names(&self, path: &str) -> Vec<String> {
        let Ok(entries) = fs::read_dir(self.root.join(path)) else {
            return Vec::new();
        };
        let mut names: Vec<String> = entries
            .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
            .collect();
        names.sort_unstable();
        names
    }

    /// Whether anything stands at a path.
    pub fn is_there(&self, path: &str) -> bool {
        self.root.join(path).symlink_metadata().is_ok()
    }

    /// Whether a file of this length stands at a path.
    pub fn has(&self, path: &str, length: u64) -> bool {
        self.root
            .join(path)
            .symlink_metadata()
            .is_ok_and(|metadata| metadata.is_file() && metadata.len() == length)
    }

    /// Writes a file whole: under another name beside it, then renamed over it.
    ///
    /// # Errors
    /// The disk refuses, or the path leads out of the folder.
    pub fn put(&self, path: &str, bytes: &[u8]) -> Result<(), PressError> {
        let target = self.inside(path)?;
        self.make_parent(&target)?;
        let part = part_of(&target);
        let written = write_part(&part, bytes).and_then(|()| fs::rename(&part, &target));
        written.map_err(|cause| {
            // What could not be finished is not left behind; that it cannot be deleted either changes nothing.
            let _ = fs::remove_file(&part);
            io_error(&target, cause)
        })
    }

    /// Writes a file that will stand at a path once its half [moves in](Folder::move_in).
    ///
    /// # Errors
    /// The disk refuses, or the path leads out of the folder.
    pub fn put_beside(&self, path: &str, bytes: &[u8]) -> Result<(), PressError> {
        self.inside(path)?;
        let target = self.root.join(BESIDE).join(path);
        // Nothing stood there before, so nothing leads elsewhere: the folder that is not there is made, and that is all.
        let written = write_part(&target, bytes).or_else(|cause| match cause.kind() {
            io::ErrorKind::NotFound => {
                fs::create_dir_all(target.parent().unwrap_or(&self.root))?;
                write_part(&target, bytes)
            }
            _ => Err(cause),
        });
        written.map_err(|cause| io_error(&target, cause))
    }

    /// Puts a half that was written beside in its place, where nothing stands.
    ///
    /// # Errors
    /// The disk refuses.
    pub fn move_in(&self, half: &str) -> Result<(), PressError> {
        let target = self.root.join(half);
        match fs::rename(self.root.join(BESIDE).join(half), &target) {
            Err(cause) if cause.kind() != io::ErrorKind::NotFound => Err(io_error(&target, cause)),
            // A half without a file was never begun.
            Ok(()) | Err(_) => Ok(()),
        }
    }

    /// Deletes what a press that was stopped left beside.
    ///
    /// # Errors
    /// The disk refuses.
    pub fn clear_beside(&self) -> Result<(), PressError> {
        let beside = self.root.join(BESIDE);
        match fs::remove_dir_all(&beside) {
            Err(cause) if cause.kind() != io::ErrorKind::NotFound => Err(io_error(&beside, cause)),
            Ok(()) | Err(_) => Ok(()),
        }
    }

    /// Puts a page without links, which says that the real one is on its way, where nothing stands yet: from then
    /// on whatever leads to `path` leads to a whole file.
    ///
    /// # Errors
    /// The disk refuses, or the path leads out of the folder.
    pub fn hold(&self, path: &str) -> Result<(), PressError> {
        let target = self.inside(path)?;
        self.make_parent(&target)?;
        // One file under all these names costs next to nothing; a disk that knows no second names gets copies.
        match fs::hard_link(self.root.join(HELD), &target) {
            Ok(()) => Ok(()),
            Err(cause) if cause.kind() == io::ErrorKind::AlreadyExists => Ok(()),
            Err(_) => self.put(path, HELD_PAGE),
        }
    }

    /// Puts the page without links in the place of one that is to go; nothing where none stands.
    ///
    /// # Errors
    /// The disk refuses.
    pub fn blank(&self, path: &str) -> Result<(), PressError> {
        // A ledger that names a path outside was not written by press.
        match self.inside(path) {
            Ok(target) if target.is_file() => self.put(path, HELD_PAGE),
            Ok(_) | Err(_) => Ok(()),
        }
    }

    /// Makes ready for [`hold`](Folder::hold).
    ///
    /// # Errors
    /// The disk refuses.
    pub fn ready_to_hold(&self) -> Result<(), PressError> {
        self.put(HELD, HELD_PAGE)
    }

    /// Deletes a file that press wrote, what a killed press left of it, and folders that are empty without it.
    ///
    /// # Errors
    /// The disk refuses. A file already gone is no error.
    pub fn sweep(&self, path: &str) -> Result<(), PressError> {
        // A ledger that names a path outside was not written by press.
        let Ok(target) = self.inside(path) else {
            return Ok(());
        };
        // Nor was what lies behind a folder that somebody has since made to lead elsewhere.
        let parent = target
            .parent()
            .and_then(|parent| parent.canonicalize().ok());
        if parent.is_none_or(|parent| !parent.starts_with(&self.real)) {
            return Ok(());
        }
        for file in [part_of(&target), target.clone()] {
            match fs::remove_file(&file) {
                Ok(()) => {}
                Err(cause)
                    if matches!(
                        cause.kind(),
                        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory
                    ) => {}
                Err(cause) => return Err(io_error(&file, cause)),
            }
        }
        let mut folder = target.parent();
        while let Some(empty) =
            folder.filter(|folder| *folder != self.root && fs::remove_dir(folder).is_ok())
        {
            folder = empty.parent();
        }
        Ok(())
    }

    /// The place of a path below the folder; plain names only.
    fn inside(&self, path: &str) -> Result<PathBuf, PressError> {
        let plain = Path::new(path)
            .components()
            .all(|part| matches!(part, Component::Normal(_)));
        let target = self.root.join(path);
        if plain && !path.is_empty() {
            Ok(target)
        } else {
            Err(PressError::LeadsOut { path: target })
        }
    }

    fn make_parent(&self, target: &Path) -> Result<(), PressError> {
        let parent = target.parent().unwrap_or(&self.root);
        if self.known().contains(parent) {
            return Ok(());
        }
        fs::create_dir_all(parent).map_err(|cause| io_error(parent, cause))?;
        let real = parent
            .canonicalize()
            .map_err(|cause| io_error(parent, cause))?;
        if !real.starts_with(&self.real) {
            return Err(PressError::LeadsOut {
                path: parent.to_owned(),
            });
        }
        self.known().insert(parent.to_owned());
        Ok(())
    }

    fn known(&self) -> MutexGuard<'_, BTreeSet<PathBuf>> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Whether a folder is one of a diary's own, or lies in one.
pub(super) fn among_logs(folder: &Path) -> bool {
    const OWN: [&str; 7] = [
        "jobs", "guides", "reviews", "answers", "about", "prices", "sheets",
    ];
    folder.ancestors().any(|folder| {
        let name = folder.file_name().and_then(|name| name.to_str());
        let beside = folder
            .parent()
            .is_some_and(|parent| parent.join("diary.yaml").exists());
        beside && name.is_some_and(|name| OWN.contains(&name))
    })
}

/// The name beside a target under which it is written.
pub(super) fn part_of(target: &Path) -> PathBuf {
    let name = target.file_name().unwrap_or_default().to_string_lossy();
    target.with_file_name(format!(".{name}{PART}"))
}

/// Opens a file for what is not whole yet. What a killed run left there may be a second name of a finished file, or
/// lead elsewhere: it is deleted, never written into.
///
/// # Errors
/// The disk refuses.
pub fn new_part(part: &Path) -> io::Result<File> {
    match File::create_new(part) {
        Err(cause) if cause.kind() == io::ErrorKind::AlreadyExists => {
            fs::remove_file(part)?;
            File::create_new(part)
        }
        made => made,
    }
}

pub(super) fn write_part(part: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = new_part(part)?;
    file.write_all(bytes)?;
    // Whatever the machine's habit, a page can be read by the web server and written by its owner.
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        file.set_permissions(fs::Permissions::from_mode(0o644))?;
    }
    Ok(())
}

pub(super) fn io_error(path: &Path, cause: io::Error) -> PressError {
    PressError::Io {
        path: path.to_owned(),
        cause,
    }
}

#[cfg(all(test, unix))]
mod tests {
    use std::os::unix::fs::symlink;

    use super::*;

    #[test]
    fn what_a_killed_press_left_is_never_written_into() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let (mine, target) = (folder.path().join("mine"), folder.path().join("page.html"));
        fs::write(&mine, "mine").expect("written");
        let part = part_of(&target);
        for linked in [true, false] {
            if linked {
                symlink(&mine, &part).expect("left");
            } else {
                fs::hard_link(&mine, &part).expect("left");
            }
            write_part(&part, b"new").expect("written");
            assert_eq!(fs::read(&mine).expect("mine"), b"mine");
            assert_eq!(fs::read(&part).expect("new"), b"new");
            fs::remove_file(&part).expect("gone");
        }
    }

    #[test]
    fn a_sweep_deletes_nothing_behind_a_folder_that_leads_elsewhere() {
        let place = tempfile::tempdir().expect("a temporary folder");
        let elsewhere = place.path().join("elsewhere");
        fs::create_dir(&elsewhere).expect("made");
        fs::write(elsewhere.join("index.html"), "mine").expect("written");
        let folder = Folder::open(&place.path().join("out")).expect("opened");
        folder.put("site/a/index.html", b"ours").expect("written");
        symlink(&elsewhere, place.path().join("out/site/b")).expect("linked");
        folder.sweep("site/b/index.html").expect("nothing to do");
        assert_eq!(
            fs::read(elsewhere.join("index.html")).expect("mine"),
            b"mine"
        );
        folder.sweep("site/a/index.html").expect("swept");
        assert!(!folder.is_there("site/a"));
        folder.sweep("site/a/index.html").expect("gone already");
    }
}
