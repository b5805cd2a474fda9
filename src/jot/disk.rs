//! The files of jot: notes read, logs written. A log stands whole under its name or not at all, and none is ever
//! written over: a new one must find its name free, one that is added to must still be what was read.

use std::fmt;
use std::fs::{self, File};
use std::io::{self, Read as _, Write as _};
use std::path::{Path, PathBuf};

use super::plan::Change;
use crate::press::new_part;

/// What a file is called until it is whole. Hidden, so that a reading of the diary passes over it.
const PART: &str = ".daywork-part";

/// Largest note; an evening's is a few kilobytes.
const LARGEST_NOTE: u64 = 1024 * 1024;

/// Why a file could not be read or written.
#[derive(Debug)]
pub enum DiskError {
    /// There is no such note.
    NoNote(PathBuf),
    /// The note is not UTF-8 text.
    NotText(PathBuf),
    /// The note is larger than any note.
    TooLarge(PathBuf),
    /// A file of that name stands there.
    Taken(PathBuf),
    /// The log is no longer what was read.
    Changed(PathBuf),
    /// Something stands there that jot did not make.
    NotOurs(PathBuf),
    /// The machine refused.
    Io {
        /// What was asked for.
        path: PathBuf,
        /// Why not.
        cause: io::Error,
    },
}

impl fmt::Display for DiskError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            DiskError::NoNote(path) => {
                write!(f, "there is no note {}. Check its name", path.display())
            }
            DiskError::NotText(path) => {
                write!(
                    f,
                    "{} is not UTF-8 text. Copy the note's text into a plain text file",
                    path.display()
                )
            }
            DiskError::TooLarge(path) => write!(
                f,
                "{} is larger than 1 MB, and a note is a few kilobytes. Give the note's own file",
                path.display()
            ),
            DiskError::Taken(path) => write!(
                f,
                "{} has come to stand there in the meantime and was not touched. Run jot again",
                path.display()
            ),
            DiskError::Changed(path) => write!(
                f,
                "{} was changed in the meantime and was not touched. Run jot again",
                path.display()
            ),
            DiskError::NotOurs(path) => write!(
                f,
                "{} is no pocket page, and was not touched. Give another name",
                path.display()
            ),
            DiskError::Io { path, cause } => write!(f, "{}: {cause}", path.display()),
        }
    }
}

impl std::error::Error for DiskError {}

fn io_error(path: &Path, cause: io::Error) -> DiskError {
    DiskError::Io {
        path: path.to_owned(),
        cause,
    }
}

/// Reads a note.
///
/// # Errors
/// It is not there, too large, no text, or the machine refuses.
pub fn note(path: &Path) -> Result<String, DiskError> {
    let file = File::open(path).map_err(|cause| match cause.kind() {
        io::ErrorKind::NotFound => DiskError::NoNote(path.to_owned()),
        _ => io_error(path, cause),
    })?;
    note_from(file, path)
}

/// Reads a note from an open stream; `name` is what messages call it.
///
/// # Errors
/// As [`note`].
pub fn note_from(stream: impl io::Read, name: &Path) -> Result<String, DiskError> {
    let mut bytes = Vec::new();
    stream
        .take(LARGEST_NOTE + 1)
        .read_to_end(&mut bytes)
        .map_err(|cause| io_error(name, cause))?;
    if bytes.len() as u64 > LARGEST_NOTE {
        return Err(DiskError::TooLarge(name.to_owned()));
    }
    String::from_utf8(bytes).map_err(|_| DiskError::NotText(name.to_owned()))
}

/// Deletes what runs that were killed had begun to write into a diary. A part that a run still writes is locked.
/// What cannot be deleted changes nothing: it is hidden, and no reading of the diary sees it.
pub fn sweep(diary: &Path) {
    sweep_folder(diary);
    let mut folders = vec![diary.join("jobs")];
    while let Some(folder) = folders.pop() {
        sweep_folder(&folder);
        let entries = fs::read_dir(&folder).into_iter().flatten().flatten();
        folders.extend(
            entries
                .filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_dir()))
                .map(|entry| entry.path()),
        );
    }
}

fn sweep_folder(folder: &Path) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let is_file = entry.file_type().is_ok_and(|kind| kind.is_file());
        if !is_file || !is_part(&entry.file_name().to_string_lossy()) {
            continue;
        }
        let free = File::open(entry.path()).is_ok_and(|part| part.try_lock().is_ok());
        if free {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// Whether a name is one that [`part_of`] gives.
fn is_part(name: &str) -> bool {
    name.strip_prefix('.')
        .and_then(|name| name.strip_suffix(PART)?.rsplit_once('.'))
        .is_some_and(|(_, process)| {
            !process.is_empty() && process.bytes().all(|b| b.is_ascii_digit())
        })
}

/// Writes one change into a diary.
///
/// # Errors
/// The name is taken, the file has changed since it was read, or the machine refuses; then nothing was written.
pub fn write(diary: &Path, change: &Change) -> Result<(), DiskError> {
    let target = diary.join(&change.path);
    if let Some(parent) = target.parent() {
        fs::create_dir_all(parent).map_err(|cause| io_error(parent, cause))?;
    }
    let part = part_of(&target);
    let written = match &change.before {
        None => write_part(&part, &change.text, None)
            .map_err(|cause| io_error(&target, cause))
            .and_then(|_open| name_new(&part, &target)),
        Some(before) => replace(&part, &target, before, &change.text),
    };
    // After a rename there is nothing to delete; that a part cannot be deleted changes nothing.
    let _ = fs::remove_file(&part);
    written
}

/// Writes a page that jot makes anew whenever it is asked to: over an older one of its kind, over nothing else.
///
/// # Errors
/// Something else stands there (`is_ours` says no), or the machine refuses; then nothing was written.
pub fn write_page(
    target: &Path,
    page: &str,
    is_ours: impl Fn(&str) -> bool,
) -> Result<(), DiskError> {
    match fs::read(target) {
        Ok(there) => {
            let before = String::from_utf8(there)
                .ok()
                .filter(|there| is_ours(there))
                .ok_or_else(|| DiskError::NotOurs(target.to_owned()))?;
            replace(&part_of(target), target, &before, page)
        }
        Err(cause) if cause.kind() == io::ErrorKind::NotFound => {
            let part = part_of(target);
            if let Some(folder) = part.parent() {
                sweep_folder(folder);
            }
            let written = write_part(&part, page, None)
                .map_err(|cause| io_error(target, cause))
                .and_then(|_open| name_new(&part, target));
            // As in `write`: after a rename there is nothing to delete.
            let _ = fs::remove_file(&part);
            written
        }
        Err(cause) => Err(io_error(target, cause)),
    }
}

/// The name beside a target under which it is written; the process's own, so that two runs never share one.
fn part_of(target: &Path) -> PathBuf {
    let name = target.file_name().unwrap_or_default().to_string_lossy();
    target.with_file_name(format!(".{name}.{}{PART}", std::process::id()))
}

/// Writes a part. It is locked while the file that comes back is open, so that no sweep takes it for a dead one.
fn write_part(part: &Path, text: &str, like: Option<fs::Permissions>) -> io::Result<File> {
    let mut file = new_part(part)?;
    // A disk without locks is swept by no one either.
    let _ = file.try_lock();
    file.write_all(text.as_bytes())?;
    if let Some(permissions) = like {
        file.set_permissions(permissions)?;
    }
    // A log is the only copy of an evening's work: it is on the disk before it has its name.
    file.sync_all()?;
    Ok(file)
}

/// Gives a whole file its name, which must be free: a second name for it fails where one is taken.
fn name_new(part: &Path, target: &Path) -> Result<(), DiskError> {
    match fs::hard_link(part, target) {
        Ok(()) => Ok(()),
        Err(cause) if cause.kind() == io::ErrorKind::AlreadyExists => {
            Err(DiskError::Taken(target.to_owned()))
        }
        // A disk without second names (a memory stick): look, then rename.
        Err(_) if target.symlink_metadata().is_ok() => Err(DiskError::Taken(target.to_owned())),
        Err(_) => fs::rename(part, target).map_err(|cause| io_error(target, cause)),
    }
}

/// Puts a new text in the place of one that is still there. A log that is a link keeps being one: what it leads to
/// is replaced.
fn replace(part: &Path, target: &Path, before: &str, text: &str) -> Result<(), DiskError> {
    let real = target
        .canonicalize()
        .map_err(|cause| io_error(target, cause))?;
    let part_beside = if real.parent() == target.parent() {
        part.to_owned()
    } else {
        part_of(&real)
    };
    let permissions = fs::metadata(&real)
        .map_err(|cause| io_error(target, cause))?
        .permissions();
    let done = write_part(&part_beside, text, Some(permissions))
        .map_err(|cause| io_error(target, cause))
        .and_then(|_open| {
            let now = fs::read(&real).map_err(|cause| io_error(target, cause))?;
            if now != before.as_bytes() {
                return Err(DiskError::Changed(target.to_owned()));
            }
            fs::rename(&part_beside, &real).map_err(|cause| io_error(target, cause))
        });
    let _ = fs::remove_file(&part_beside);
    done
}

#[cfg(test)]
mod tests {
    use super::*;

    fn change(before: Option<&str>, text: &str) -> Change {
        Change {
            path: "jobs/2026/x.md".to_owned(),
            before: before.map(str::to_owned),
            text: text.to_owned(),
        }
    }

    #[test]
    fn a_new_log_never_takes_a_name_that_is_taken() {
        let folder = tempfile::TempDir::new().expect("a folder");
        write(folder.path(), &change(None, "one")).expect("written");
        let second = write(folder.path(), &change(None, "two"));
        assert!(matches!(second, Err(DiskError::Taken(_))), "{second:?}");
        let there = fs::read_to_string(folder.path().join("jobs/2026/x.md")).expect("a log");
        assert_eq!(there, "one");
        assert_eq!(
            fs::read_dir(folder.path().join("jobs/2026"))
                .expect("a folder")
                .count(),
            1,
            "no part is left"
        );
    }

    #[test]
    fn a_sweep_takes_dead_parts_and_leaves_those_still_written() {
        let folder = tempfile::TempDir::new().expect("a folder");
        let year = folder.path().join("jobs/2026");
        fs::create_dir_all(&year).expect("folders");
        let dead = year.join(".x.md.4711.daywork-part");
        let dead_settings = folder.path().join(".diary.yaml.12.daywork-part");
        fs::write(&dead, "half a l").expect("written");
        fs::write(&dead_settings, "").expect("written");
        let others = [".x.md.daywork-part", "x.md.1.daywork-part", ".x.md", "x.md"];
        for name in others {
            fs::write(year.join(name), "").expect("written");
        }
        let alive = year.join(".y.md.4712.daywork-part");
        let open = write_part(&alive, "half", None).expect("written");
        sweep(folder.path());
        assert!(!dead.exists() && !dead_settings.exists());
        assert!(alive.exists());
        assert!(others.iter().all(|name| year.join(name).exists()));
        drop(open);
        sweep(folder.path());
        assert!(!alive.exists());
    }

    #[test]
    fn a_log_that_changed_meanwhile_is_left_alone() {
        let folder = tempfile::TempDir::new().expect("a folder");
        write(folder.path(), &change(None, "one")).expect("written");
        write(folder.path(), &change(Some("one"), "one and two")).expect("replaced");
        let stale = write(folder.path(), &change(Some("one"), "one and three"));
        assert!(matches!(stale, Err(DiskError::Changed(_))), "{stale:?}");
        let there = fs::read_to_string(folder.path().join("jobs/2026/x.md")).expect("a log");
        assert_eq!(there, "one and two");
    }

    #[cfg(unix)]
    #[test]
    fn what_stands_at_the_place_of_a_part_is_never_written_into() {
        use std::os::unix::fs::symlink;
        let folder = tempfile::TempDir::new().expect("a folder");
        let (mine, target) = (
            folder.path().join("mine"),
            folder.path().join("jobs/2026/x.md"),
        );
        fs::write(&mine, "mine").expect("written");
        fs::create_dir_all(target.parent().expect("a folder")).expect("folders");
        for (before, text) in [(None, "one"), (Some("one"), "one and two")] {
            symlink(&mine, part_of(&target)).expect("left");
            write(folder.path(), &change(before, text)).expect("written");
            assert_eq!(fs::read(&mine).expect("mine"), b"mine");
            assert_eq!(fs::read_to_string(&target).expect("a log"), text);
            assert!(!target.is_symlink());
            assert!(part_of(&target).symlink_metadata().is_err());
        }
    }
}
