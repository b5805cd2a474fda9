//! One log or page of a diary that was read already, read again in its place: what proof shows before all the rest is
//! looked at again.

use std::path::Path;
use std::sync::Arc;

use crate::diagnose::{FileId, Level};
use crate::model::{Job, Page};

use super::{Kept, Piece, Read, job, question, read_piece, store};

/// Reads one text again and puts what it says now in the place of what it said: gives its file. `None`, with nothing
/// changed, where it does not stand on its own: it was no log or page before, cannot be read, holds an error, or is
/// another log than it was. What other texts say of it, and the photos it shows, are left as they were.
pub fn read_one(read: &mut Read, kept: &Kept, root: &Path, path: &str) -> Option<FileId> {
    let file = kept.file(path)?;
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
            let reference = |job: &Job| job.reference.in_office().value.clone();
            let jobs = &mut read.diary.jobs;
            let old = jobs.iter_mut().find(|old| old.file == file)?;
            if reference(old) != reference(&job) {
                return None;
            }
            *old = *job;
        }
        Piece::Page(page) if !question::waits(&page) => {
            let mut pages = read.diary.pages.iter_mut();
            let old: &mut Page = pages.find(|old| old.file == file)?;
            *old = *page;
        }
        Piece::Page(_) | Piece::Price(_) | Piece::Nothing => return None,
    }
    read.sources.replace(file, text);
    read.diagnostics.retain(|fault| fault.span.file != file);
    read.diagnostics.extend(faults);
    Some(file)
}
