//! What the last press kept of the back-test, and reckoning it again.

use std::path::Path;

use jiff::civil::Date;

use crate::model::Diary;
use crate::office::back_test::{self, Kept};
use crate::press::{self, Held, PressError};

use super::Shared;

/// Its name among what press keeps.
const NAME: &str = "back-test.json";

/// What is known of a record: kept by the last press, where it is of this record; reckoned where it is asked for.
pub fn known(shared: &Shared, diary: &Diary, as_of: Date, asked: bool) -> Option<Kept> {
    if asked {
        return back_test::reckon(diary, as_of);
    }
    let out = shared.folder().ok()?.join("out");
    kept(&out, &back_test::digest(diary, as_of))
}

/// What press shows: kept by the last one, else reckoned now.
pub fn for_press(out: &Path, diary: &Diary, as_of: Date) -> Option<Kept> {
    kept(out, &back_test::digest(diary, as_of)).or_else(|| back_test::reckon(diary, as_of))
}

/// Keeps it for the next run, unless the last one kept the same.
///
/// # Errors
/// The disk refuses.
pub fn keep(out: &Path, held: &Held, known: &Kept) -> Result<(), PressError> {
    if kept(out, &known.record).is_some() {
        return Ok(());
    }
    let bytes = serde_json::to_vec(known).expect("figures and refs serialize");
    press::keep(held, NAME, &bytes)
}

fn kept(out: &Path, digest: &str) -> Option<Kept> {
    let kept: Kept = serde_json::from_slice(&press::kept(out, NAME)?).ok()?;
    (kept.record == digest).then_some(kept)
}
