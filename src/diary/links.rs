//! Where a link in a body leads: away, to a file of the diary, or nowhere that a diary can send a reader.
//!
//! Works on the written text alone. Does not look whether a file is there.

use percent_encoding::percent_decode_str;

use crate::diagnose::{Code, Diagnostic, Span};
use crate::model::BodyLink;

/// What a written destination means.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Destination {
    /// Another host, an email address or a telephone number.
    Away,
    /// A page that is to come: `coming:` and its title.
    Promise(String),
    /// A file of the diary, or (with an empty path) the page itself.
    Diary {
        /// Relative to the diary, with `/` between parts.
        path: String,
        /// What follows `#`; `None` where nothing does.
        anchor: Option<String>,
    },
    /// Nothing that may stand in a diary.
    Wrong {
        /// What is wrong, without a full stop.
        message: String,
        /// What to write instead.
        help: &'static str,
    },
}

/// Kinds of address that a link may have.
const LINKED: [&str; 4] = ["http", "https", "mailto", "tel"];

/// The kind of address that promises a page, and not a place.
const PROMISE: &str = "coming";

/// The kind of an address before its colon, in lower case: `https`; `None` where there is none (RFC 3986, 3.1).
pub fn scheme(written: &str) -> Option<String> {
    let (scheme, _) = written.split_once(':')?;
    let mut letters = scheme.chars();
    let first = letters.next()?;
    let well_formed = first.is_ascii_alphabetic()
        && letters.all(|c| c.is_ascii_alphanumeric() || matches!(c, '+' | '-' | '.'));
    well_formed.then(|| scheme.to_ascii_lowercase())
}

/// Whether a link may be left as it is written: a web address, an email address or a telephone number.
pub fn leads_away(written: &str) -> bool {
    scheme(written).is_some_and(|scheme| LINKED.contains(&scheme.as_str()))
}

/// Reads a destination as written in the file at `from` (relative to the diary).
pub fn destination(written: &str, from: &str) -> Destination {
    if written.trim().is_empty() {
        return wrong(
            "this link leads nowhere",
            "Write the address or the file between the round brackets.",
        );
    }
    if written.chars().any(char::is_control) {
        return wrong(
            "this link's address holds a character that cannot be seen",
            "Write the address again.",
        );
    }
    if let Some(scheme) = scheme(written) {
        if scheme == PROMISE {
            return promise(&written[PROMISE.len() + 1..]);
        }
        return if LINKED.contains(&scheme.as_str()) {
            Destination::Away
        } else {
            wrong(
                format!("a link of the kind {scheme}: is not used in a diary"),
                "Write an address with https://, mailto: or tel:, or the path of a file of the diary.",
            )
        };
    }
    if written.starts_with("//") {
        return wrong(
            "this web address does not say how to reach it",
            "Write https: in front of it.",
        );
    }
    let (path, anchor) = match written.split_once('#') {
        Some((path, anchor)) => (path, Some(anchor)),
        None => (written, None),
    };
    let decoded = |text: &str| {
        percent_decode_str(text)
            .decode_utf8()
            .map(|text| text.into_owned())
    };
    let (Ok(path), Ok(anchor)) = (decoded(path), anchor.map(decoded).transpose()) else {
        return wrong(
            "this link holds a % that does not stand for a letter",
            "Write the file's name as it is, between < and > if it holds a space.",
        );
    };
    let anchor = anchor.filter(|anchor| !anchor.is_empty());
    if path.is_empty() {
        return Destination::Diary {
            path: String::new(),
            anchor,
        };
    }
    if path.contains('\\') {
        return wrong(
            "this path is written with \\ between its folders",
            "Write / between folders: it is understood on every machine.",
        );
    }
    if path.starts_with('/') {
        return wrong(
            "this path begins at the root of a machine or a site",
            "Write the path from this file's own folder, for example ../2026/name-of-log.md.",
        );
    }
    match normal(&path, from) {
        Some(path) => Destination::Diary { path, anchor },
        None => wrong(
            "this path leads out of the diary",
            "Link to files of the diary only; count how often ../ is written.",
        ),
    }
}

/// What stands after `coming:`.
fn promise(title: &str) -> Destination {
    let title = percent_decode_str(title).decode_utf8_lossy();
    let words: Vec<&str> = title.split_whitespace().collect();
    if words.is_empty() {
        return wrong(
            "this link promises a page and does not say which",
            "Write its title after the colon, between < and >: <coming:The new board>.",
        );
    }
    Destination::Promise(words.join(" "))
}

/// A link written in the file at `from`: `None` where it leads away from the diary.
///
/// # Errors
/// A broken link, told at `span`.
pub fn resolve_link(from: &str, written: &str, span: Span) -> Result<Option<BodyLink>, Diagnostic> {
    match destination(written, from) {
        Destination::Away => Ok(None),
        Destination::Promise(title) => Ok(Some(BodyLink {
            written: written.to_owned(),
            path: String::new(),
            anchor: None,
            promise: Some(title),
            picture: false,
            private: false,
            span,
        })),
        Destination::Diary { path, anchor } => Ok(Some(BodyLink {
            written: written.to_owned(),
            path,
            anchor,
            promise: None,
            picture: false,
            private: false,
            span,
        })),
        Destination::Wrong { message, help } => {
            Err(Diagnostic::error(Code::BrokenLink, span, message, help))
        }
    }
}

fn wrong(message: impl Into<String>, help: &'static str) -> Destination {
    Destination::Wrong {
        message: message.into(),
        help,
    }
}

/// `path`, as seen from the file `from`, without `.` and `..`; `None` where it climbs out or ends at the top.
fn normal(path: &str, from: &str) -> Option<String> {
    let mut parts: Vec<&str> = from.split('/').collect();
    parts.pop();
    for part in path.split('/') {
        match part {
            "" | "." => {}
            ".." => {
                parts.pop()?;
            }
            part => parts.push(part),
        }
    }
    (!parts.is_empty()).then(|| parts.join("/"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(written: &str) -> String {
        match destination(written, "jobs/2026/x.md") {
            Destination::Away => "away".to_owned(),
            Destination::Promise(title) => format!("promise: {title}"),
            Destination::Diary { path, anchor } => match anchor {
                Some(anchor) => format!("{path} # {anchor}"),
                None => path,
            },
            Destination::Wrong { message, .. } => format!("wrong: {message}"),
        }
    }

    #[test]
    fn paths_are_read_from_the_folder_of_their_file() {
        assert_eq!(shown("y.md"), "jobs/2026/y.md");
        assert_eq!(shown("./../2025/y.md#the-run"), "jobs/2025/y.md # the-run");
        assert_eq!(shown("../../guides//a%20b.md"), "guides/a b.md");
        assert_eq!(shown("x/dr%C3%A4wing.svg"), "jobs/2026/x/dräwing.svg");
        assert_eq!(shown("#run"), " # run");
        assert_eq!(shown("#"), "");
    }

    #[test]
    fn what_climbs_out_or_begins_at_a_root_is_wrong() {
        let out = "wrong: this path leads out of the diary";
        assert_eq!(shown("../../../x.md"), out);
        assert_eq!(shown("../../.."), out);
        assert_eq!(shown("../.."), out);
        assert_eq!(shown("%2e%2e/../../x.md"), out);
        assert_eq!(
            shown("/etc/x"),
            "wrong: this path begins at the root of a machine or a site"
        );
        assert_eq!(
            shown("%2Fetc/x"),
            "wrong: this path begins at the root of a machine or a site"
        );
        assert_eq!(
            shown("a\\b.md"),
            "wrong: this path is written with \\ between its folders"
        );
    }

    #[test]
    fn a_page_that_is_to_come_is_named_by_its_title() {
        let title = "promise: The hall, room by room: the new board";
        assert_eq!(shown("coming:The hall, room by room: the new board"), title);
        assert_eq!(
            shown("Coming: The%20hall, room  by room: the new board"),
            title
        );
        let none = "wrong: this link promises a page and does not say which";
        assert_eq!(shown("coming:"), none);
        assert_eq!(shown("coming:%20"), none);
    }

    #[test]
    fn only_four_kinds_of_address_lead_away() {
        for written in [
            "https://example.com/a",
            "HTTP://example.com",
            "mailto:nan@example.com",
            "tel:+441632960123",
        ] {
            assert_eq!(shown(written), "away", "{written}");
        }
        assert_eq!(
            shown("JavaScript:alert(1)"),
            "wrong: a link of the kind javascript: is not used in a diary"
        );
        assert_eq!(
            shown("data:text/html,x"),
            "wrong: a link of the kind data: is not used in a diary"
        );
        assert_eq!(
            shown("C:/photos/x.svg"),
            "wrong: a link of the kind c: is not used in a diary"
        );
        assert_eq!(
            shown("java\tscript:x"),
            "wrong: this link's address holds a character that cannot be seen"
        );
        assert_eq!(
            shown("//example.com"),
            "wrong: this web address does not say how to reach it"
        );
        assert_eq!(shown(""), "wrong: this link leads nowhere");
        assert_eq!(
            shown("%FF"),
            "wrong: this link holds a % that does not stand for a letter"
        );
    }
}
