//! What the texts of a diary gave the last time they were read, so that only those that changed are read again.
//!
//! Holds texts against texts and trusts no date on a file: two saves within one tick of the disk's clock are two texts.

use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;

use crate::diagnose::{Diagnostic, FileId};

use super::film::Shelf;
use super::{Piece, Text, job, read_piece};

/// What was read of a diary. Begins empty.
#[derive(Default)]
pub struct Kept {
    /// The settings that everything was held against.
    settings: Option<Arc<str>>,
    /// The captions files that films were looked for among.
    shelf: Shelf,
    pieces: BTreeMap<String, KeptPiece>,
}

struct KeptPiece {
    /// Every place within the piece names this file.
    file: FileId,
    text: Arc<str>,
    piece: Piece,
    faults: Vec<Diagnostic>,
}

impl Kept {
    /// What each text gives, in their order: the same as reading it anew.
    pub(super) fn read(
        &mut self,
        texts: &[Text],
        settings: Option<&Arc<str>>,
        against: job::Against<'_>,
    ) -> Vec<(Piece, Vec<Diagnostic>)> {
        if self.settings.as_ref() != settings || self.shelf != *against.shelf {
            self.settings = settings.cloned();
            self.shelf.clone_from(against.shelf);
            self.pieces.clear();
        }
        let read: Vec<(Piece, Vec<Diagnostic>)> = texts
            .par_iter()
            .map(|text| match self.of(text) {
                Some(kept) => (kept.piece.clone(), kept.faults.clone()),
                None => read_piece(text.0, &text.1, &text.2, against),
            })
            .collect();
        let mut before = std::mem::take(&mut self.pieces);
        for ((file, path, text), (piece, faults)) in texts.iter().zip(&read) {
            let same = |kept: &KeptPiece| kept.file == *file && kept.text == *text;
            let kept = before
                .remove(path)
                .filter(same)
                .unwrap_or_else(|| KeptPiece {
                    file: *file,
                    text: text.clone(),
                    piece: piece.clone(),
                    faults: faults.clone(),
                });
            self.pieces.insert(path.clone(), kept);
        }
        read
    }

    /// The captions files that films were looked for among.
    pub(super) fn shelf(&self) -> &Shelf {
        &self.shelf
    }

    fn of(&self, (file, path, text): &Text) -> Option<&KeptPiece> {
        let kept = self.pieces.get(path)?;
        (kept.file == *file && kept.text == *text).then_some(kept)
    }
}

#[cfg(test)]
mod tests {
    use super::super::store::{Content, Found};
    use super::super::{Read, read_files, read_found};
    use super::*;

    const SETTINGS: &str = "title: A diary\nsite: {address: https://example.com, timezone: Europe/London}\n\
        locations: {shop: Shop}\ntasks:\n  socket: {name: Change a socket, unit: each}\n";

    fn log(reference: &str, location: &str) -> String {
        format!(
            "---\ntitle: Job {reference}\nref: {reference}\n{location}\nvisits:\n  - {{date: 2026-03-02, time: 1h}}\n---\nWords.\n"
        )
    }

    /// Everything that was read and may be shown, with its places.
    fn all(read: &Read) -> String {
        format!("{:?}\n{:?}", read.diary, read.diagnostics)
    }

    #[test]
    fn reading_again_gives_what_reading_anew_gives() {
        let mut kept = Kept::default();
        let mut files: BTreeMap<&str, String> = BTreeMap::new();
        let mut reads_alike = |files: &BTreeMap<&str, String>| {
            let bytes = |text: &String| text.clone().into_bytes();
            let found = files.iter().map(|(path, text)| Found {
                path: (*path).to_owned(),
                content: Ok(Content::Read(bytes(text))),
            });
            let again = read_found(found.collect(), Some(&mut kept));
            let files = files
                .iter()
                .map(|(path, text)| ((*path).to_owned(), bytes(text)));
            assert_eq!(all(&again), all(&read_files(files.collect())));
        };
        files.insert("diary.yaml", SETTINGS.to_owned());
        files.insert("jobs/b.md", log("2026-002", "location: shop"));
        files.insert("jobs/d.md", log("2026-004", "locaton: shop"));
        reads_alike(&files);
        reads_alike(&files);
        // One that comes before others moves their places.
        files.insert("jobs/a.md", log("2026-001", "location: barn"));
        reads_alike(&files);
        files.insert("jobs/d.md", log("2026-004", "location: shop"));
        reads_alike(&files);
        // The settings that all were held against.
        files.insert("diary.yaml", SETTINGS.replace("shop: Shop", "barn: Barn"));
        reads_alike(&files);
        files.remove("jobs/a.md");
        reads_alike(&files);
        files.remove("diary.yaml");
        reads_alike(&files);
    }
}
