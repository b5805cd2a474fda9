//! The ledger: what press wrote and what it meant to write.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::PressError;
use super::write::Folder;

/// Where the ledger stands below `out/`.
const PATH: &str = "ledger/written.json";
/// Counts up when the ledger's own form changes.
const FORM: u32 = 1;

/// What was written.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Ledger {
    form: u32,
    program: String,
    /// Path below `out/` to what stands there.
    files: BTreeMap<String, Entry>,
    /// Paths that a press was about to write when this was written; empty once it is done.
    intended: BTreeSet<String>,
    /// The day that the clock said when this was written; none where a day was given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    day: Option<String>,
}

/// One file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// Digest of its view.
    pub digest: String,
    /// Its length in bytes.
    pub length: u64,
}

impl Ledger {
    /// The ledger of a finished press.
    pub fn settled(files: BTreeMap<String, Entry>) -> Self {
        Ledger {
            form: FORM,
            program: env!("CARGO_PKG_VERSION").to_owned(),
            files,
            intended: BTreeSet::new(),
            day: None,
        }
    }

    /// Reads the ledger. One that cannot be read, or of another form, is taken for none, with a note: everything
    /// is made anew and nothing that it may have named is swept.
    pub fn read(folder: &Folder) -> (Self, Option<String>) {
        let Some(bytes) = folder.get(PATH) else {
            return (Ledger::default(), None);
        };
        match serde_json::from_slice::<Ledger>(&bytes) {
            Ok(ledger) if ledger.form == FORM => (ledger, None),
            _ => (
                Ledger {
                    form: FORM,
                    ..Ledger::default()
                },
                Some(
                    "The ledger of the last press could not be used: everything was made anew."
                        .to_owned(),
                ),
            ),
        }
    }

    /// Writes the ledger.
    ///
    /// # Errors
    /// The disk refuses.
    pub fn write(&self, folder: &Folder) -> Result<(), PressError> {
        let mut bytes = serde_json::to_vec(self).expect("a map of texts and numbers serializes");
        bytes.push(b'\n');
        folder.put(PATH, &bytes)
    }

    /// Whether press wrote what stands at a path, or was about to.
    pub fn names(&self, path: &str) -> bool {
        self.files.contains_key(path) || self.intended.contains(path)
    }

    /// The day of the last press by the clock; `None` where the last one was given its day.
    pub fn day(&self) -> Option<Date> {
        self.day.as_ref()?.parse().ok()
    }

    /// Notes the day that the clock says; `None` where the day was given.
    pub fn set_day(&mut self, day: Option<Date>) {
        self.day = day.map(|day| day.to_string());
    }

    /// Whether a path holds what this digest makes.
    pub fn holds(&self, path: &str, digest: blake3::Hash) -> bool {
        self.files
            .get(path)
            .is_some_and(|entry| entry.digest == digest.to_hex().as_str())
    }

    /// The length of a file that was written; 0 where none was.
    pub fn length(&self, path: &str) -> u64 {
        self.files.get(path).map_or(0, |entry| entry.length)
    }

    /// Every path that was written or was meant to be, in order.
    pub fn paths(&self) -> impl Iterator<Item = &str> {
        let all: BTreeSet<&str> = self
            .files
            .keys()
            .chain(&self.intended)
            .map(String::as_str)
            .collect();
        all.into_iter()
    }

    /// Whether the last press came to its end.
    pub fn is_settled(&self) -> bool {
        self.form == FORM && self.intended.is_empty()
    }

    /// Notes what is about to be written: until the press is done, what stands at these paths is unknown.
    pub fn intend(&mut self, paths: impl Iterator<Item = String>) {
        self.form = FORM;
        env!("CARGO_PKG_VERSION").clone_into(&mut self.program);
        for path in paths {
            self.files.remove(&path);
            self.intended.insert(path);
        }
    }
}
