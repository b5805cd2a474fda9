//! A few logs and pages of a diary that was read already, read again in their places: what proof shows before all the
//! rest is looked at again.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::diagnose::{FileId, Level};

use super::taken::{Kind, kind_of};
use super::{Kept, Piece, Read, job, question, read_piece, store};

/// Reads what was saved again, by its paths below the diary's folder, and puts what it says now in the place of what it
/// said: gives the files. Photos and what is no part of a diary (an editor's leavings) are passed over. `None` where one
/// of the others does not stand on its own: it was no log or page before, cannot be read, holds an error, or is another
/// log than it was; the diary is then to be read anew. What other texts say of them, and the photos they show, are left
/// as they were.
pub fn read_few(
    read: &mut Read,
    kept: &Kept,
    root: &Path,
    saved: &BTreeSet<PathBuf>,
) -> Option<Vec<FileId>> {
    let paths = saved.iter().map(|path| store::relative(root, path));
    paths
        .filter(|path| !matches!(kind_of(path), Kind::Photo | Kind::Other))
        .map(|path| read_one(read, kept, root, &path))
        .collect()
}

fn read_one(read: &mut Read, kept: &Kept, root: &Path, path: &str) -> Option<FileId> {
    let file = read.sources.file(path)?;
    let text: Arc<str> = String::from_utf8(store::text(root, path).ok()?)
        .ok()?
        .into();
    let settings = &read.diary.settings;
    let against = job::Against {
        settings: Some(settings),
        zone: &settings.timezone,
        shelf: kept.shelf(),
    };
    let (piece, faults) = read_piece(file, path, &text, against);
    if faults.iter().any(|fault| fault.level == Level::Error) {
        return None;
    }
    match piece {
        Piece::Job(job) => {
            let old = read.diary.jobs.iter_mut().find(|old| old.file == file)?;
            if old.reference.in_office().value != job.reference.in_office().value {
                return None;
            }
            *old = *job;
        }
        Piece::Page(page) if !question::waits(&page) => {
            let mut pages = read.diary.pages.iter_mut();
            *pages.find(|old| old.file == file)? = *page;
        }
        Piece::Page(_) | Piece::Price(_) | Piece::Nothing => return None,
    }
    read.sources.replace(file, text);
    read.diagnostics.retain(|fault| fault.span.file != file);
    read.diagnostics.extend(faults);
    Some(file)
}
