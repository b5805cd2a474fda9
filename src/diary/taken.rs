//! A file that was found: what it is, by its path, and its text where it is one. Reads nothing of what it says.

use std::sync::Arc;

use crate::diagnose::{Code, Diagnostic, FileId, Sources, Span};
use crate::model::Stored;

use super::store::{self, Content, Found, Unread};
use super::{film, photo};

/// What a file is, by its path.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Markdown or YAML that is read.
    Text,
    /// An SVG file beside a text.
    Drawing,
    /// What is said in a film, beside the log that names it.
    Captions,
    /// A template of the diary's own.
    Sheet,
    /// A picture file of a camera, of a kind that can be shown or told of.
    Photo,
    /// Anything else: films, an editor's leavings.
    Other,
}

/// What a file is. Looks at its path alone.
pub fn kind_of(path: &str) -> Kind {
    let extension = path
        .rsplit_once('.')
        .map(|(_, extension)| extension.to_lowercase());
    let extension = extension.as_deref();
    match path.split('/').next() {
        Some("sheets") => Kind::Sheet,
        Some("diary.yaml" | "clients.yaml" | "about.md") => Kind::Text,
        Some("about") if extension == Some("svg") => Kind::Drawing,
        Some("about") if photo::kind(path).is_some() => Kind::Photo,
        Some("jobs" | "guides" | "reviews" | "answers") => match extension {
            Some("md" | "markdown") => Kind::Text,
            Some("svg") => Kind::Drawing,
            Some(_) if photo::kind(path).is_some() => Kind::Photo,
            Some(extension) if film::is_captions(extension) => Kind::Captions,
            _ => Kind::Other,
        },
        Some("prices") if matches!(extension, Some("yaml" | "yml")) => Kind::Text,
        _ => Kind::Other,
    }
}

/// What a file gives.
pub enum Taken {
    /// Its text.
    Text(Arc<str>),
    /// Where its bytes are.
    Left(Stored),
}

/// Takes a file into the sources; `None`, with its fault told, where it cannot be used.
pub fn take_in(
    file: Found,
    kind: Kind,
    sources: &mut Sources,
    diagnostics: &mut Vec<Diagnostic>,
) -> Option<(FileId, Taken)> {
    let mut refuse = |sources: &mut Sources, code, message: String, help: &str| {
        let id = sources.add(file.path.clone(), "");
        diagnostics.push(Diagnostic::error(code, Span::file_start(id), message, help));
        None
    };
    let bytes = match file.content {
        Ok(Content::Left(stored)) => {
            return Some((sources.add(file.path, ""), Taken::Left(stored)));
        }
        Ok(Content::Text(text)) => {
            let id = sources.add(file.path, text.clone());
            return Some((id, Taken::Text(text)));
        }
        Ok(Content::Read(bytes)) if matches!(kind, Kind::Photo | Kind::Other) => {
            let stored = Stored::Memory(bytes.into());
            return Some((sources.add(file.path, ""), Taken::Left(stored)));
        }
        Ok(Content::Read(bytes)) => bytes,
        Err(why) => {
            let (code, message, help) = match why {
                Unread::Link => (
                    Code::LinkOutside,
                    "this is a link that leads out of the diary, in a circle, or nowhere"
                        .to_owned(),
                    "Put the file itself here, or delete the link.",
                ),
                Unread::TooLarge => (
                    Code::FileTooLarge,
                    format!(
                        "this file is larger than {} MB",
                        store::LARGEST_FILE / 1024 / 1024
                    ),
                    "A log is a few kilobytes: split it, or move what does not belong in it.",
                ),
                Unread::TooDeep => (
                    Code::FoldersTooDeep,
                    "folders are nested too deeply here".to_owned(),
                    "Keep logs in jobs/ and the year's folder.",
                ),
                Unread::NotAFile => (
                    Code::CannotRead,
                    "this is no file".to_owned(),
                    "Delete it, or move it out of the diary.",
                ),
                Unread::Name => (
                    Code::CannotRead,
                    "this file's name is not plain text".to_owned(),
                    "Rename it with letters, figures and hyphens.",
                ),
                Unread::Refused(cause) => (
                    Code::CannotRead,
                    format!("this could not be read: {cause}"),
                    "Look at its permissions, and whether it is still there.",
                ),
            };
            return refuse(sources, code, message, help);
        }
    };
    match String::from_utf8(bytes) {
        Ok(text) => {
            let text: Arc<str> = text.into();
            let id = sources.add(file.path, text.clone());
            Some((id, Taken::Text(text)))
        }
        Err(error) => {
            let at = error.utf8_error().valid_up_to();
            let line = error.as_bytes()[..at].split(|b| *b == b'\n').count();
            refuse(
                sources,
                Code::NotUtf8,
                format!("this file is not UTF-8 text: the first strange byte is in line {line}"),
                "Save it as UTF-8: most editors ask under Save as.",
            )
        }
    }
}
