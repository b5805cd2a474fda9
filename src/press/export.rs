//! The files of an export: written whole over their own kind, never over anything else, and never among logs or pages.
//!
//! Press's ledger does not know them, so no press sweeps them.

use std::fs;
use std::path::{Path, PathBuf};

use super::PressError;
use super::write::{among_logs, io_error, part_of, write_part};

/// A file to write.
#[derive(Clone, Debug)]
pub struct ExportFile {
    /// Where.
    pub path: PathBuf,
    /// All of it.
    pub bytes: Vec<u8>,
}

/// Where a file goes that is to be written to `out`: into it where it is a folder or is written as one (`mine/`), else
/// to that very path.
pub fn export_place(out: &Path, name: &str) -> PathBuf {
    let written_as_folder = out.to_string_lossy().ends_with(std::path::is_separator);
    if written_as_folder || out.is_dir() {
        out.join(name)
    } else {
        out.to_owned()
    }
}

/// Writes all of these files or, where one may not be written, none. `is_own` says of a new file and of the bytes that
/// stand at its path whether they may go.
///
/// All are written beside their places before the first takes its own, so that a full disk leaves the former ones.
///
/// # Errors
/// Something else stands at a path; the path lies among a diary's logs or in a pressed site; the disk refuses.
pub fn export(
    files: &[ExportFile],
    is_own: &dyn Fn(&ExportFile, &[u8]) -> bool,
) -> Result<(), PressError> {
    for file in files {
        may_stand(&file.path)?;
        if file.path.symlink_metadata().is_ok() {
            let own =
                file.path.is_file() && fs::read(&file.path).is_ok_and(|there| is_own(file, &there));
            if !own {
                return Err(PressError::NotAnExport {
                    path: file.path.clone(),
                });
            }
        }
    }
    let written = write_parts(files).and_then(|()| {
        files.iter().try_for_each(|file| {
            fs::rename(part_of(&file.path), &file.path).map_err(|cause| io_error(&file.path, cause))
        })
    });
    if written.is_err() {
        for file in files {
            // What was renamed is gone from here; that the rest cannot be deleted either changes nothing.
            let _ = fs::remove_file(part_of(&file.path));
        }
    }
    written
}

/// Deletes what an earlier export left in the folders below `folder` and these files do not hold: a file of the same
/// name that `is_own` knows, and then its folder if that is empty.
///
/// # Errors
/// The disk refuses.
pub fn sweep_export(
    folder: &Path,
    files: &[ExportFile],
    is_own: &dyn Fn(&[u8]) -> bool,
) -> Result<(), PressError> {
    let failed = |cause| io_error(folder, cause);
    if !folder.is_dir() {
        return Ok(());
    }
    let names: Vec<_> = files
        .iter()
        .filter_map(|file| file.path.file_name())
        .collect();
    for entry in fs::read_dir(folder).map_err(failed)? {
        let part = entry.map_err(failed)?.path();
        for name in &names {
            let path = part.join(name);
            let stale = !files.iter().any(|file| file.path == path)
                && path.is_file()
                && fs::read(&path).is_ok_and(|there| is_own(&there));
            if stale {
                fs::remove_file(&path).map_err(|cause| io_error(&path, cause))?;
                // A folder with something else in it stays.
                let _ = fs::remove_dir(&part);
            }
        }
    }
    Ok(())
}

fn write_parts(files: &[ExportFile]) -> Result<(), PressError> {
    for file in files {
        let failed = |cause| io_error(&file.path, cause);
        if let Some(parent) = file.path.parent() {
            fs::create_dir_all(parent).map_err(|cause| io_error(parent, cause))?;
        }
        write_part(&part_of(&file.path), &file.bytes).map_err(failed)?;
    }
    Ok(())
}

/// Refuses a place among a diary's logs, and one in `out/site`, which goes to a web host as it stands.
fn may_stand(path: &Path) -> Result<(), PressError> {
    let folder = real_folder(path)?;
    if among_logs(&folder) {
        return Err(PressError::InDiary { out: folder });
    }
    let in_site = folder.ancestors().any(|folder| {
        folder.file_name().is_some_and(|name| name == "site")
            && folder
                .parent()
                .is_some_and(|out| out.join("ledger").is_dir())
    });
    if in_site {
        return Err(PressError::InSite {
            path: path.to_owned(),
        });
    }
    Ok(())
}

/// The folder of a path, links followed as far as it is there yet.
fn real_folder(path: &Path) -> Result<PathBuf, PressError> {
    let failed = |cause| io_error(path, cause);
    let whole = std::path::absolute(path).map_err(failed)?;
    let folder = whole.parent().unwrap_or(&whole);
    let there = folder.ancestors().find(|folder| folder.exists());
    let there = there.unwrap_or(folder);
    let rest = folder.strip_prefix(there).unwrap_or(Path::new(""));
    Ok(there.canonicalize().map_err(failed)?.join(rest))
}
