//! Photos beside the logs. Their bytes are many, so a diary holds where they are and not the bytes themselves.

use std::path::PathBuf;
use std::sync::Arc;

use crate::diagnose::FileId;

/// A photo of the diary.
#[derive(Clone, Debug)]
pub struct Photo {
    /// Its file.
    pub file: FileId,
    /// Where its bytes are.
    pub stored: Stored,
    /// What was seen of it; `None` until it was looked at, and where it cannot be shown.
    pub seen: Option<SeenPhoto>,
}

/// Where the bytes of a file are.
#[derive(Clone, Debug)]
pub enum Stored {
    /// Here: a diary that is read from memory.
    Memory(Arc<[u8]>),
    /// In a file of the machine.
    Disk(PathBuf),
}

/// What a look at a photo's file gives, without its pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SeenPhoto {
    /// The digest of all its bytes.
    pub digest: blake3::Hash,
    /// Pixels across, once it stands upright.
    pub width: u32,
    /// Pixels from top to bottom, once it stands upright.
    pub height: u32,
}
