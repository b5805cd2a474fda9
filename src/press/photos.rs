//! Photos as readers get them, kept below `out/ledger/photos` by what they are made from: each is converted once,
//! wherever it is shown and however often its page changes.
//!
//! Knows where converted photos are kept and how many may be converted at once; how one is converted is the pages'
//! business.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Condvar, Mutex, PoisonError};

use rayon::prelude::*;

use crate::diagnose::{Code, Diagnostic, Span};
use crate::diary::photo::{self, Fault};
use crate::diary::store;
use crate::model::{Diary, Photo};
use crate::pages::{Output, Rank, photos};
use crate::public::view::PhotoFile;

use super::write::Folder;
use super::{Held, PressError, Stopped, Tick};

/// Where converted photos are kept below `out/`.
const KEPT: &str = "ledger/photos";
/// Bytes of memory for all photos that are converted at one time: seven of twelve megapixels.
const MEMORY: u64 = 1024 * 1024 * 1024;

/// The photos that texts of a diary show, and what is kept of them below a folder.
pub struct Photos<'d> {
    folder: &'d Folder,
    /// By the digest of its bytes: a photo, and the first place that shows it.
    shown: BTreeMap<[u8; 32], (&'d Photo, Span)>,
}

/// A photo that is yet to be converted.
pub struct Missing<'d> {
    photo: &'d Photo,
    place: Span,
    digest: blake3::Hash,
}

impl<'d> Photos<'d> {
    /// The photos of a diary that were looked at, and those kept in the folder that is held.
    pub fn of(held: &'d Held, diary: &'d Diary) -> Self {
        let mut shown = BTreeMap::new();
        for (path, places) in photo::shown(diary) {
            let photo = diary.photos.get(&path);
            if let (Some(photo), Some(&place)) = (photo, places.first())
                && let Some(seen) = photo.seen
            {
                shown
                    .entry(*seen.digest.as_bytes())
                    .or_insert((photo, place));
            }
        }
        Photos {
            folder: &held.folder,
            shown,
        }
    }

    /// The photos of which one of the `wanted` files is not there yet, each once, in order of digest.
    pub fn missing<'w>(&self, wanted: impl Iterator<Item = &'w PhotoFile>) -> Vec<Missing<'d>> {
        let mut missing = BTreeMap::new();
        for file in wanted.filter(|file| !self.is_kept(file)) {
            let digest = *file.digest.as_bytes();
            if let Some(&(photo, place)) = self.shown.get(&digest) {
                missing.entry(digest).or_insert(Missing {
                    photo,
                    place,
                    digest: file.digest,
                });
            }
        }
        missing.into_values().collect()
    }

    /// Converts photos on all cores, as many at a time as memory is set aside for. What is done stays done, whatever
    /// becomes of the rest.
    ///
    /// # Errors
    /// [`Stopped::Diagnostics`] for photos that turn out to be damaged; [`Stopped::Machine`] where the disk refuses.
    pub fn convert(&self, missing: &[Missing<'_>], tick: &Tick<'_>) -> Result<(), Stopped> {
        let memory = Memory::new(MEMORY);
        let done: Vec<Result<(), Stopped>> = missing
            .par_iter()
            .map(|photo| {
                let done = self.convert_one(photo, &memory);
                tick();
                done
            })
            .collect();
        let mut faults = Vec::new();
        for result in done {
            match result {
                Err(Stopped::Diagnostics(more)) => faults.extend(more),
                other => other?,
            }
        }
        if faults.is_empty() {
            Ok(())
        } else {
            Err(Stopped::Diagnostics(faults))
        }
    }

    fn convert_one(&self, missing: &Missing<'_>, memory: &Memory) -> Result<(), Stopped> {
        let fault = |fault: Fault| Stopped::Diagnostics(vec![fault.tell(missing.place)]);
        let seen = missing
            .photo
            .seen
            .expect("only photos that were seen are missing");
        let _share = memory.take(photos::memory(seen.width, seen.height));
        let bytes = store::photo(&missing.photo.stored).map_err(|why| fault(Fault::Unread(why)))?;
        if blake3::hash(&bytes) != missing.digest {
            return Err(Stopped::Diagnostics(vec![Diagnostic::error(
                Code::PhotoBroken,
                missing.place,
                "this photo changed while it was read",
                "Wait until it is copied whole, and press again.",
            )]));
        }
        for size in photos::convert(&bytes).map_err(fault)? {
            let path = kept(seen.digest, size.width);
            self.folder.put(&path, &size.jpeg)?;
        }
        Ok(())
    }

    /// Deletes the kept photos that none of the `wanted` files comes from.
    ///
    /// # Errors
    /// The disk refuses.
    pub fn sweep<'w>(&self, wanted: impl Iterator<Item = &'w PhotoFile>) -> Result<(), PressError> {
        let wanted: BTreeSet<String> = wanted
            .map(|file| photos::key(file.digest).to_hex().to_string())
            .collect();
        for name in self.folder.names(KEPT) {
            // Nothing but what was named here goes.
            let ours = name.ends_with(".jpg") && name.find('-') == Some(64);
            if ours && !wanted.contains(&name[..64]) {
                self.folder.sweep(&format!("{KEPT}/{name}"))?;
            }
        }
        Ok(())
    }

    /// The files of the site or of the book that are photos, each at its address.
    pub fn outputs<'a>(
        &'a self,
        files: &'a BTreeMap<String, PhotoFile>,
    ) -> impl Iterator<Item = Output<'a>> {
        files.iter().map(|(path, file)| self.output(path, file))
    }

    fn output<'a>(&'a self, path: &str, file: &'a PhotoFile) -> Output<'a> {
        let mut hasher = blake3::Hasher::new();
        hasher
            .update(photos::key(file.digest).as_bytes())
            .update(&file.width.to_le_bytes());
        Output {
            path: path.to_owned(),
            rank: Rank::Picture,
            digest: hasher.finalize(),
            make: Box::new(move || {
                let kept = self.folder.get(&kept(file.digest, file.width));
                kept.ok_or_else(|| self.gone(file))
            }),
        }
    }

    fn gone(&self, file: &PhotoFile) -> Diagnostic {
        let (_, place) = self.shown[file.digest.as_bytes()];
        Diagnostic::error(
            Code::PhotoBroken,
            place,
            "this photo was made small and is gone again",
            "Press again: it is made anew.",
        )
    }

    /// Whether a file is there, whole: a JPEG has a beginning and an end.
    fn is_kept(&self, file: &PhotoFile) -> bool {
        self.folder
            .ends(&kept(file.digest, file.width))
            .is_some_and(|ends| ends == [0xff, 0xd8, 0xff, 0xd9])
    }
}

fn kept(digest: blake3::Hash, width: u32) -> String {
    format!("{KEPT}/{}-{width}.jpg", photos::key(digest).to_hex())
}

/// Memory that several share: who finds too little left waits until another is done.
struct Memory {
    all: u64,
    left: Mutex<u64>,
    given_back: Condvar,
}

/// What one has taken of it, given back when it goes.
struct Share<'m> {
    memory: &'m Memory,
    bytes: u64,
}

impl Memory {
    fn new(all: u64) -> Self {
        Memory {
            all,
            left: Mutex::new(all),
            given_back: Condvar::new(),
        }
    }

    /// Takes so many bytes, or all there are where that is less: the largest photo goes alone.
    fn take(&self, bytes: u64) -> Share<'_> {
        let bytes = bytes.min(self.all);
        let left = self.left.lock().unwrap_or_else(PoisonError::into_inner);
        let mut left = self
            .given_back
            .wait_while(left, |left| *left < bytes)
            .unwrap_or_else(PoisonError::into_inner);
        *left -= bytes;
        Share {
            memory: self,
            bytes,
        }
    }
}

impl Drop for Share<'_> {
    fn drop(&mut self) {
        let left = self.memory.left.lock();
        *left.unwrap_or_else(PoisonError::into_inner) += self.bytes;
        self.memory.given_back.notify_all();
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicU64, Ordering};

    use super::*;

    #[test]
    fn no_more_memory_is_given_out_than_there_is() {
        let memory = Memory::new(10);
        let (taken, most) = (AtomicU64::new(0), AtomicU64::new(0));
        std::thread::scope(|scope| {
            for bytes in [3, 7, 4, 20, 6, 1, 9, 10] {
                let (memory, taken, most) = (&memory, &taken, &most);
                scope.spawn(move || {
                    let share = memory.take(bytes);
                    let now = taken.fetch_add(share.bytes, Ordering::SeqCst) + share.bytes;
                    most.fetch_max(now, Ordering::SeqCst);
                    std::thread::yield_now();
                    taken.fetch_sub(share.bytes, Ordering::SeqCst);
                });
            }
        });
        assert!(most.into_inner() <= 10);
        assert_eq!(*memory.left.lock().expect("nobody failed"), 10);
    }
}
