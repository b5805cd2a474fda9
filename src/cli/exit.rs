//! How the program ends, and why it failed.

use std::fmt;
use std::io;
use std::path::PathBuf;
use std::process::ExitCode;

use crate::diary::store::StoreError;
use crate::press::PressError;
use crate::proof::ProofError;

/// How the program ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Done.
    Done,
    /// The diary has errors.
    DiaryHasErrors,
    /// The command line is wrong.
    Usage,
    /// The machine failed: disk, port, permission.
    MachineFailed,
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        ExitCode::from(match exit {
            Exit::Done => 0,
            Exit::DiaryHasErrors => 1,
            Exit::Usage => 2,
            Exit::MachineFailed => 3,
        })
    }
}

/// Why a command could not do its work.
#[derive(Debug)]
pub enum Failure {
    /// The diary's folder.
    Store(StoreError),
    /// Writing `out/`.
    Press(PressError),
    /// The port, or watching the diary.
    Proof(ProofError),
    /// Printing, or the folder that the program stands in.
    Io {
        /// What was being done, in words.
        doing: String,
        /// Why it failed.
        cause: io::Error,
    },
    /// The command asks for something that cannot be.
    Usage(String),
    /// `start` was given a folder with something in it.
    NotEmpty(PathBuf),
}

impl Failure {
    /// Standard output or error would not take it.
    pub fn output(cause: io::Error) -> Self {
        Failure::Io {
            doing: "printing".to_owned(),
            cause,
        }
    }

    /// The folder that the program stands in cannot be read.
    pub fn here(cause: io::Error) -> Self {
        Failure::Io {
            doing: "looking at this folder".to_owned(),
            cause,
        }
    }

    /// Whether whoever read the output has gone: no failure of ours.
    pub fn is_closed_pipe(&self) -> bool {
        matches!(self, Failure::Io { cause, .. } if cause.kind() == io::ErrorKind::BrokenPipe)
    }

    /// Writing files where others may stand that are not the program's: no fault of the machine's.
    pub fn of_files(error: PressError) -> Self {
        match error {
            PressError::NotAnExport { path } => Failure::Usage(format!(
                "{} is there already and is not daywork's, so it was left alone and nothing was written. Move it away, or give another folder",
                path.display()
            )),
            other => other.into(),
        }
    }

    /// The exit code it ends in.
    pub fn exit(&self) -> Exit {
        match self {
            Failure::Usage(_)
            | Failure::NotEmpty(_)
            | Failure::Store(StoreError::NoDiary { .. } | StoreError::NotADiary { .. }) => {
                Exit::Usage
            }
            Failure::Store(StoreError::Io { .. })
            | Failure::Press(_)
            | Failure::Proof(_)
            | Failure::Io { .. } => Exit::MachineFailed,
        }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Failure::Store(error) => error.fmt(f),
            Failure::Press(error) => error.fmt(f),
            Failure::Proof(error) => error.fmt(f),
            Failure::Io { doing, cause } => write!(f, "{doing} failed: {cause}"),
            Failure::Usage(message) => f.write_str(message),
            Failure::NotEmpty(folder) => write!(
                f,
                "{} already holds something, and start never writes among other files. Give a new folder",
                folder.display()
            ),
        }
    }
}

impl std::error::Error for Failure {}

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Self {
        Failure::Store(error)
    }
}

impl From<PressError> for Failure {
    fn from(error: PressError) -> Self {
        Failure::Press(error)
    }
}

impl From<ProofError> for Failure {
    fn from(error: ProofError) -> Self {
        Failure::Proof(error)
    }
}
