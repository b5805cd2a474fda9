//! The pictures of a body: which file each names, and what is wrong with how it is named.
//!
//! Works on the written text alone. Does not look whether a file is there.

use crate::diagnose::{Code, Diagnostic, Span};
use crate::model::BodyLink;

use super::links::{self, Destination};
use super::photo::{self, Kind};
use super::photo_block::{self, Named};

const NO_WORDS: &str = "this picture has no words for those who cannot see it";

/// A picture as it is written, `![alt](written)`, in the file at `from`: what it leads to, where it can be shown.
pub fn picture(
    written: String,
    alt: &str,
    from: &str,
    span: Span,
    found: &mut Vec<Diagnostic>,
) -> Option<BodyLink> {
    if alt.trim().is_empty() {
        found.push(Diagnostic::warning(
            Code::PictureNoWords,
            span,
            NO_WORDS,
            "Write what it shows between the square brackets.",
        ));
    }
    if links::scheme(&written).is_some() || written.starts_with("//") {
        found.push(Diagnostic::error(
            Code::BadPicture,
            span,
            "a picture from another place cannot be shown",
            "Put the picture itself in the diary, or write a link.",
        ));
        return None;
    }
    let target = links::destination(&written, from);
    leads_to(target, written, span, found)
}

/// A photo of a `photos` block in the file at `from`. A bare name stands in the folder of the log's own name beside it.
pub fn photo(
    named: &Named,
    from: &str,
    span: Span,
    found: &mut Vec<Diagnostic>,
) -> Option<BodyLink> {
    if named.words.is_empty() {
        found.push(Diagnostic::warning(
            Code::PictureNoWords,
            span,
            NO_WORDS,
            "Write a colon after the photo's name, and what it shows.",
        ));
    }
    file(&named.file, from, span, found)
}

/// A photo or drawing by its file's name alone, in the file at `from`. A bare name stands in the folder of the log's own
/// name beside it.
pub fn file(name: &str, from: &str, span: Span, found: &mut Vec<Diagnostic>) -> Option<BodyLink> {
    let written = photo_block::key(name);
    // A name of a file is meant as it stands: nothing in it stands for another letter.
    let file = name.replace('%', "%25").replace('#', "%23");
    let file = if file.contains('/') {
        file
    } else {
        let name = from.rsplit('/').next().unwrap_or(from);
        let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
        let stem = stem.replace('%', "%25").replace('#', "%23");
        format!("./{stem}/{file}")
    };
    let target = links::destination(&file, from);
    leads_to(target, written, span, found)
}

fn leads_to(
    target: Destination,
    written: String,
    span: Span,
    found: &mut Vec<Diagnostic>,
) -> Option<BodyLink> {
    match target {
        Destination::Diary { path, anchor }
            if path.to_ascii_lowercase().ends_with(".svg")
                || photo::kind(&path) == Some(Kind::Shown) =>
        {
            return Some(BodyLink {
                written,
                path,
                anchor,
                promise: None,
                picture: true,
                private: false,
                span,
            });
        }
        Destination::Diary { path, .. } if photo::kind(&path) == Some(Kind::Heic) => {
            found.push(photo::Fault::Heic.tell(span));
        }
        Destination::Wrong { message, help } => {
            let message = message.replace("link", "picture");
            found.push(Diagnostic::error(Code::BrokenLink, span, message, help));
        }
        Destination::Diary { .. } | Destination::Away | Destination::Promise(_) => {
            found.push(Diagnostic::error(
                Code::BadPicture,
                span,
                "a picture of this kind cannot be shown",
                "Show a photo as JPEG, PNG or WebP, and a drawing as SVG.",
            ))
        }
    }
    None
}
