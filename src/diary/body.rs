//! STUB, replaced.
use crate::diagnose::{Code, Diagnostic, FileId, Span};
use crate::model::{At, Body, BodyLink};

pub fn read(
    file: FileId,
    text: &str,
    body_start: usize,
    _path: &str,
    _d: &mut Vec<Diagnostic>,
) -> Body {
    let _ = file;
    Body {
        open: text[body_start..].into(),
        whole: None,
        start: body_start as u32,
        private: vec![],
        links: vec![],
        anchors: vec![],
    }
}
pub fn resolve_link(path: &str, written: &str, span: Span) -> Result<Option<BodyLink>, Diagnostic> {
    if written.contains("://") {
        return Ok(None);
    }
    let mut parts: Vec<&str> = path.split('/').collect();
    parts.pop();
    let (p, a) = written
        .split_once('#')
        .map_or((written, None), |(p, a)| (p, Some(a.to_owned())));
    for part in p.split('/') {
        match part {
            "." | "" => {}
            ".." => {
                if parts.pop().is_none() {
                    return Err(Diagnostic::error(Code::BrokenLink, span, "out", ""));
                }
            }
            x => parts.push(x),
        }
    }
    Ok(Some(BodyLink {
        written: written.to_owned(),
        path: parts.join("/"),
        anchor: a,
        picture: false,
        private: false,
        span,
    }))
}
pub fn first_heading(_file: FileId, _text: &str, _start: usize) -> Option<At<String>> {
    None
}
