//! Paperwork: files for one job below `out/office/handover/`, written whole when they are asked for.
//!
//! The ledger does not name them, so press never sweeps or remakes them: a paper is what was handed over on its day. They
//! can be made again by the same command.

use std::path::Path;
use std::time::Duration;

use super::PressError;
use super::write::Folder;

/// A proof that is open presses after every save, and has done within this on all but the largest diaries.
const PATIENCE: Duration = Duration::from_secs(10);

/// Writes files below `out`, each whole, under the lock of the folder, which is waited for.
///
/// # Errors
/// The disk refuses, a path leads out of the folder, another press is at work all the while, or `out` is a diary's own folder.
pub fn paperwork(out: &Path, files: &[(String, Vec<u8>)]) -> Result<(), PressError> {
    let folder = Folder::open(out)?;
    let _lock = folder.lock_within(PATIENCE)?;
    for (path, bytes) in files {
        folder.put(path, bytes)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use std::fs;
    use std::thread;

    use super::*;

    #[test]
    fn a_press_at_work_is_waited_for() {
        let place = tempfile::tempdir().expect("a temporary folder");
        let out = place.path().join("out");
        let folder = Folder::open(&out).expect("opened");
        let lock = folder.lock().expect("held");
        assert!(matches!(
            folder.lock_within(Duration::from_millis(50)),
            Err(PressError::Busy { .. })
        ));
        let path = "office/handover/2026-001/email.txt";
        thread::scope(|scope| {
            let asked = scope.spawn(|| paperwork(&out, &[(path.to_owned(), b"Dear".to_vec())]));
            thread::sleep(Duration::from_millis(100));
            assert!(!out.join(path).exists());
            drop(lock);
            asked.join().expect("no panic").expect("written");
        });
        assert_eq!(fs::read(out.join(path)).expect("there"), b"Dear");
    }
}
