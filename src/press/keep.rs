//! Files that are no part of `out/site` or `out/office`: what press keeps for the next run in its ledger's folder, and
//! new files of the diary itself, which are never written over.

use std::fs;
use std::io;
use std::path::Path;

use super::write::{io_error, part_of, write_part};
use super::{Held, PressError};

/// What was kept under a name by the last press into `out`; `None` where there is nothing that can be read.
pub fn kept(out: &Path, name: &str) -> Option<Vec<u8>> {
    fs::read(out.join("ledger").join(name)).ok()
}

/// Keeps something under a name for the next run.
///
/// # Errors
/// The disk refuses.
pub fn keep(held: &Held, name: &str, bytes: &[u8]) -> Result<(), PressError> {
    held.folder.put(&format!("ledger/{name}"), bytes)
}

/// Writes a file that is not there yet, whole or not at all.
///
/// # Errors
/// The disk refuses, or something stands at the path.
pub fn new_file(target: &Path, bytes: &[u8]) -> Result<(), PressError> {
    let failed = |cause| io_error(target, cause);
    if let Some(parent) = target.parent() {
        fs::create_dir_all(parent).map_err(failed)?;
    }
    let part = part_of(target);
    let written = write_part(&part, bytes).and_then(|()| match fs::hard_link(&part, target) {
        // A second name for the part is made in one step, and only where nothing stands. A disk that knows no second
        // names gets the next best.
        Err(cause) if cause.kind() != io::ErrorKind::AlreadyExists => {
            if target.symlink_metadata().is_ok() {
                return Err(io::ErrorKind::AlreadyExists.into());
            }
            fs::rename(&part, target)
        }
        linked => linked,
    });
    // After a rename there is nothing left to delete.
    let _ = fs::remove_file(&part);
    written.map_err(|cause| match cause.kind() {
        io::ErrorKind::AlreadyExists => PressError::There {
            path: target.to_owned(),
        },
        _ => failed(cause),
    })
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_came_of_a_killed_run_is_not_written_over_by_the_next() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let target = folder.path().join("price.md");
        fs::write(&target, "edited since").expect("written");
        // Killed between giving the file its name and taking the other away.
        fs::hard_link(&target, part_of(&target)).expect("left");
        let refused = new_file(&target, b"new").expect_err("something stands there");
        assert!(matches!(refused, PressError::There { path } if path == target));
        assert_eq!(fs::read(&target).expect("there"), b"edited since");
        assert!(!part_of(&target).exists());
    }
}
