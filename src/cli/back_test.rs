//! What the last press kept of the back-test, and reckoning it again.

use std::path::Path;

use jiff::civil::Date;

use crate::model::Diary;
use crate::office::back_test::{self, Kept};
use crate::press::{self, PressError};

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

/// What press shows: kept by the last one, else reckoned and kept.
///
/// # Errors
/// The disk refuses.
pub fn for_press(out: &Path, diary: &Diary, as_of: Date) -> Result<Option<Kept>, PressError> {
    let digest = back_test::digest(diary, as_of);
    if let Some(kept) = kept(out, &digest) {
        return Ok(Some(kept));
    }
    let Some(kept) = back_test::reckon(diary, as_of) else {
        return Ok(None);
    };
    let bytes = serde_json::to_vec(&kept).expect("figures and refs serialize");
    press::keep(out, NAME, &bytes)?;
    Ok(Some(kept))
}

fn kept(out: &Path, digest: &str) -> Option<Kept> {
    let kept: Kept = serde_json::from_slice(&press::kept(out, NAME)?).ok()?;
    (kept.record == digest).then_some(kept)
}
