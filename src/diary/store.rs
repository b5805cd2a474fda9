//! The diary's folder on disk: finds it, walks it, reads its files within bounds. Understands none of them.

use std::borrow::Cow;
use std::fmt;
use std::fs;
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use rayon::prelude::*;
use walkdir::WalkDir;

use crate::model::Stored;

/// Largest file that is read; a long log is a few tens of kilobytes.
pub const LARGEST_FILE: u64 = 8 * 1024 * 1024;
/// Largest photo that is read; the largest that phones save are about half of it.
pub const LARGEST_PHOTO: u64 = 64 * 1024 * 1024;
/// Deepest folder below the diary.
const DEEPEST_FOLDER: usize = 8;
/// Everything that is looked at: the files at the diary's root, then the folders that hold its texts.
pub const PLACES: [&str; 10] = [
    "diary.yaml",
    "clients.yaml",
    "about.md",
    "jobs",
    "guides",
    "reviews",
    "answers",
    "about",
    "prices",
    "sheets",
];
const ROOT_FILES: &[&str] = PLACES.split_at(3).0;
const FOLDERS: &[&str] = PLACES.split_at(3).1;

/// A file of the diary as it stands on disk.
pub struct Found {
    /// Relative to the diary, with `/` between parts.
    pub path: String,
    /// Its bytes or where they are, or why there are none.
    pub content: Result<Content, Unread>,
}

/// What was done with a file that can be read.
pub enum Content {
    /// All of it, and it is text.
    Text(Arc<str>),
    /// All its bytes.
    Read(Vec<u8>),
    /// Left where it is: not a text.
    Left(Stored),
}

impl Content {
    fn of(bytes: Vec<u8>) -> Self {
        match String::from_utf8(bytes) {
            Ok(text) => Content::Text(text.into()),
            Err(error) => Content::Read(error.into_bytes()),
        }
    }
}

/// Why a file was not read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unread {
    /// A symbolic link that leads out of the diary, in a circle, or nowhere.
    Link,
    /// Larger than [`LARGEST_FILE`], or a photo larger than [`LARGEST_PHOTO`].
    TooLarge,
    /// Folders deeper than a diary needs.
    TooDeep,
    /// Not a file: a pipe or a device.
    NotAFile,
    /// A name that is not UTF-8.
    Name,
    /// The machine would not give it.
    Refused(String),
}

/// The folder could not be found or read at all.
#[derive(Debug)]
pub enum StoreError {
    /// No `diary.yaml` here or in any folder above.
    NoDiary {
        /// Where the search began.
        from: PathBuf,
    },
    /// A folder given that holds no `diary.yaml`.
    NotADiary {
        /// The folder.
        folder: PathBuf,
    },
    /// The machine refused.
    Io {
        /// What was asked for.
        path: PathBuf,
        /// Why not.
        cause: io::Error,
    },
}

impl fmt::Display for StoreError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            StoreError::NoDiary { from } => write!(
                f,
                "there is no diary.yaml in {} or in any folder above it. Go into your diary's folder, give it with --diary, or make one with daywork start DIR",
                from.display()
            ),
            StoreError::NotADiary { folder } => write!(
                f,
                "{} holds no diary.yaml. Give the folder that does, or make a diary with daywork start DIR",
                folder.display()
            ),
            StoreError::Io { path, cause } => write!(f, "{}: {cause}", path.display()),
        }
    }
}

impl std::error::Error for StoreError {}

/// The diary's folder: the one given, or the nearest upwards from `here` that holds a `diary.yaml`.
///
/// # Errors
/// There is none.
pub fn find(given: Option<&Path>, here: &Path) -> Result<PathBuf, StoreError> {
    if let Some(folder) = given {
        return if folder.join("diary.yaml").exists() {
            Ok(folder.to_owned())
        } else {
            Err(StoreError::NotADiary {
                folder: folder.to_owned(),
            })
        };
    }
    here.ancestors()
        .find(|folder| folder.join("diary.yaml").exists())
        .map(Path::to_owned)
        .ok_or_else(|| StoreError::NoDiary {
            from: here.to_owned(),
        })
}

/// Every file of the diary that may hold something, in order of path; those that `is_text` says are read. `out/` and
/// hidden files are not looked at.
///
/// # Errors
/// The folder itself cannot be read, or holds no `diary.yaml` (any more); a single file that cannot is among the found,
/// with its reason.
pub fn gather(
    root: &Path,
    is_text: &(dyn Fn(&str) -> bool + Sync),
) -> Result<Vec<Found>, StoreError> {
    let io = |path: &Path, cause| StoreError::Io {
        path: path.to_owned(),
        cause,
    };
    let real_root = root.canonicalize().map_err(|cause| io(root, cause))?;
    let mut listed: Vec<(String, Result<PathBuf, Unread>)> = Vec::new();
    for name in ROOT_FILES {
        let path = root.join(name);
        if path.symlink_metadata().is_ok() {
            listed.push(((*name).to_owned(), Ok(path)));
        }
    }
    // It may have gone since it was looked for: a diary without it would be read as one that says nothing.
    if listed.first().is_none_or(|(path, _)| path != "diary.yaml") {
        return Err(StoreError::NotADiary {
            folder: root.to_owned(),
        });
    }
    for folder in FOLDERS {
        let start = root.join(folder);
        if !start.is_dir() {
            continue;
        }
        let walk = WalkDir::new(&start)
            .follow_links(true)
            .max_depth(DEEPEST_FOLDER + 1)
            .sort_by_file_name()
            .into_iter()
            .filter_entry(|entry| !is_hidden(entry.file_name()) && stays_inside(entry, &real_root));
        for entry in walk {
            match entry {
                Ok(entry) if entry.file_type().is_dir() => {
                    if entry.depth() > DEEPEST_FOLDER {
                        listed.push((relative(root, entry.path()), Err(Unread::TooDeep)));
                    }
                }
                Ok(entry) => {
                    let named = entry.path().to_str().is_some();
                    let path = entry.path().to_owned();
                    listed.push((
                        relative(root, entry.path()),
                        if named { Ok(path) } else { Err(Unread::Name) },
                    ));
                }
                Err(error) => {
                    let path = error
                        .path()
                        .map_or_else(|| (*folder).to_owned(), |path| relative(root, path));
                    let link = error.loop_ancestor().is_some()
                        || error.path().is_some_and(|path| {
                            path.symlink_metadata().is_ok_and(|m| m.is_symlink())
                        });
                    let why = if link {
                        Unread::Link
                    } else {
                        Unread::Refused(
                            error
                                .io_error()
                                .map_or_else(|| error.to_string(), ToString::to_string),
                        )
                    };
                    listed.push((path, Err(why)));
                }
            }
        }
        // A link that leads out is passed over by the walk without a word; it is told here.
        listed.extend(links_that_leave(root, &start, &real_root));
    }
    listed.sort_by(|a, b| a.0.cmp(&b.0));
    listed.dedup_by(|a, b| a.0 == b.0);
    Ok(listed
        .into_par_iter()
        .map(|(path, file)| Found {
            content: file.and_then(|file| match is_text(&path) {
                true => read_within_bounds(&file, &real_root).map(Content::of),
                false => leave(&file, &real_root).map(Content::Left),
            }),
            path,
        })
        .collect())
}

fn is_hidden(name: &std::ffi::OsStr) -> bool {
    name.as_encoded_bytes().first() == Some(&b'.')
}

fn stays_inside(entry: &walkdir::DirEntry, real_root: &Path) -> bool {
    !entry.path_is_symlink()
        || entry
            .path()
            .canonicalize()
            .is_ok_and(|real| real.starts_with(real_root))
}

fn links_that_leave(
    root: &Path,
    start: &Path,
    real_root: &Path,
) -> Vec<(String, Result<PathBuf, Unread>)> {
    WalkDir::new(start)
        .max_depth(DEEPEST_FOLDER + 1)
        .into_iter()
        .filter_entry(|entry| !is_hidden(entry.file_name()))
        .filter_map(Result::ok)
        .filter(|entry| entry.path_is_symlink() && !stays_inside(entry, real_root))
        .map(|entry| (relative(root, entry.path()), Err(Unread::Link)))
        .collect()
}

/// The path of a file as [`Found`] has it: below the diary's folder, with slashes on every system.
pub fn relative(root: &Path, path: &Path) -> String {
    let below = path.strip_prefix(root).unwrap_or(path);
    below
        .components()
        .map(|part| part.as_os_str().to_string_lossy())
        .collect::<Vec<_>>()
        .join("/")
}

/// The bytes of a photo, all of them.
///
/// # Errors
/// It is too large, gone, or the machine refuses.
pub fn photo(stored: &Stored) -> Result<Cow<'_, [u8]>, Unread> {
    match stored {
        Stored::Memory(bytes) => Ok(Cow::Borrowed(bytes)),
        Stored::Disk(path) => read_up_to(path, LARGEST_PHOTO).map(Cow::Owned),
    }
}

/// A file that is not read yet: the file itself where a link leads to it, so that the link may change its mind later.
fn leave(path: &Path, real_root: &Path) -> Result<Stored, Unread> {
    check_inside(path, real_root)?;
    let refused = |cause: io::Error| Unread::Refused(cause.to_string());
    if !fs::metadata(path).map_err(refused)?.is_file() {
        return Err(Unread::NotAFile);
    }
    path.canonicalize().map(Stored::Disk).map_err(refused)
}

/// The bytes of one text of the diary, by its path as [`Found`] has it.
///
/// # Errors
/// As for a file among the found.
pub fn text(root: &Path, path: &str) -> Result<Vec<u8>, Unread> {
    let refused = |cause: io::Error| Unread::Refused(cause.to_string());
    let real_root = root.canonicalize().map_err(refused)?;
    // No walk has looked at the folders on the way.
    let file = root.join(path).canonicalize().map_err(refused)?;
    if !file.starts_with(&real_root) {
        return Err(Unread::Link);
    }
    read_up_to(&file, LARGEST_FILE)
}

fn read_within_bounds(path: &Path, real_root: &Path) -> Result<Vec<u8>, Unread> {
    check_inside(path, real_root)?;
    read_up_to(path, LARGEST_FILE)
}

/// Refuses a link that leads out of the diary.
fn check_inside(path: &Path, real_root: &Path) -> Result<(), Unread> {
    let is_link = path
        .symlink_metadata()
        .is_ok_and(|metadata| metadata.is_symlink());
    if is_link
        && !path
            .canonicalize()
            .is_ok_and(|real| real.starts_with(real_root))
    {
        return Err(Unread::Link);
    }
    Ok(())
}

fn read_up_to(path: &Path, largest: u64) -> Result<Vec<u8>, Unread> {
    let refused = |cause: &io::Error| Unread::Refused(cause.to_string());
    // A pipe would wait for ever; a device may never end.
    let metadata = fs::metadata(path).map_err(|cause| refused(&cause))?;
    if !metadata.is_file() {
        return Err(Unread::NotAFile);
    }
    if metadata.len() > largest {
        return Err(Unread::TooLarge);
    }
    let file = fs::File::open(path).map_err(|cause| refused(&cause))?;
    let mut bytes = Vec::with_capacity(usize::try_from(metadata.len()).unwrap_or_default());
    // The file may grow while it is read.
    file.take(largest + 1)
        .read_to_end(&mut bytes)
        .map_err(|cause| refused(&cause))?;
    if bytes.len() as u64 > largest {
        return Err(Unread::TooLarge);
    }
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A folder of the build's own that is empty.
    fn folder(name: &str) -> PathBuf {
        let folder = std::env::temp_dir().join(format!("daywork-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(folder.join("jobs")).expect("made");
        folder
    }

    #[test]
    fn what_goes_between_the_look_and_the_reading_is_found_with_its_reason() {
        let root = folder("going");
        for name in ["diary.yaml", "jobs/a.md", "jobs/b.md"] {
            fs::write(root.join(name), "title: A diary\n").expect("written");
        }
        // Asked of each file after all were listed and before it is read.
        let goes = |path: &str| {
            if path != "jobs/b.md" {
                fs::remove_file(root.join(path)).expect("removed");
            }
            true
        };
        let found = gather(&root, &goes).expect("the folder is there");
        let was_read: Vec<(&str, bool)> = found
            .iter()
            .map(|found| {
                let gone = matches!(&found.content, Err(Unread::Refused(_)));
                assert!(gone || found.content.is_ok());
                (found.path.as_str(), !gone)
            })
            .collect();
        let expected = [
            ("diary.yaml", false),
            ("jobs/a.md", false),
            ("jobs/b.md", true),
        ];
        assert_eq!(was_read, expected);
        // By now there is none to begin with.
        let none = gather(&root, &|_| true);
        assert!(matches!(none, Err(StoreError::NotADiary { .. })));
        fs::remove_dir_all(&root).expect("removed");
    }

    #[cfg(unix)]
    #[test]
    fn one_text_is_read_through_no_link_that_leads_out() {
        let root = tempfile::tempdir().expect("a temporary folder");
        let outside = tempfile::tempdir().expect("a temporary folder");
        for folder in [root.path().join("jobs"), outside.path().to_owned()] {
            fs::create_dir_all(&folder).expect("made");
            fs::write(folder.join("a.md"), "words").expect("written");
        }
        std::os::unix::fs::symlink(outside.path(), root.path().join("away")).expect("linked");
        let given = |path: &str| text(root.path(), path);
        assert_eq!(given("jobs/a.md"), Ok(b"words".to_vec()));
        assert_eq!(given("away/a.md"), Err(Unread::Link));
        assert!(given("../a.md").is_err());
    }
}
