//! Paperwork: files for one job below `out/office/handover/`, written whole when they are asked for.
//!
//! The ledger does not name them, so press never sweeps or remakes them: a paper is what was handed over on its day. They
//! can be made again by the same command.

use std::path::Path;

use super::PressError;
use super::write::Folder;

/// Writes files below `out`, each whole, under the lock of the folder.
///
/// # Errors
/// The disk refuses, a path leads out of the folder, another press is at work, or `out` is a diary's own folder.
pub fn paperwork(out: &Path, files: &[(String, Vec<u8>)]) -> Result<(), PressError> {
    let folder = Folder::open(out)?;
    let _lock = folder.lock()?;
    for (path, bytes) in files {
        folder.put(path, bytes)?;
    }
    Ok(())
}
