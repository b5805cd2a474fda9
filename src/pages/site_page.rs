//! One page of the site: its body rendered, what is lifted out of it, its sheet filled in.
//!
//! Knows one view at a time; what the site is made of is [`super::site`]'s business.

use std::collections::BTreeMap;

use serde::Serialize;
use tera::{Context, Value};

use super::linked_data::{Kind, linked_data};
use super::markdown::{self, Blocks, Readers};
use super::pictures::Pictures;
use super::sheets::Sheets;
use crate::diagnose::Diagnostic;
use crate::public::view::{BodyView, Head, MaterialLine, ReadingLine, SeriesView, Site};

/// A card's file, in its page's folder.
pub(super) const CARD: &str = "card.png";

/// Heading of the lock-off tag.
const CAUTION: &str = "Caution";

/// What every page shows around its own view.
#[derive(Clone, Serialize)]
pub(super) struct Frame<'a> {
    pub(super) site: &'a Site,
    /// Every feed: address, page and title.
    pub(super) feeds: Vec<FeedLink<'a>>,
    /// Address of the list of subjects; empty where there is none.
    pub(super) subjects_link: &'a str,
}

#[derive(Clone, Serialize)]
pub(super) struct FeedLink<'a> {
    pub(super) link: &'a str,
    /// The same as a JSON Feed.
    pub(super) json: String,
    pub(super) page: &'a str,
    pub(super) title: &'a str,
}

/// What of a view is rendered before its sheet is filled in.
#[derive(Clone, Copy, Default)]
pub(super) struct Parts<'a> {
    pub(super) body: Option<&'a BodyView>,
    pub(super) readings: &'a [ReadingLine],
    /// The books of the readings' figures.
    pub(super) figures: &'a str,
    pub(super) materials: &'a [MaterialLine],
    pub(super) kind: Kind<'a>,
    pub(super) series: Option<&'a SeriesView>,
}

impl<'a> Parts<'a> {
    pub(super) fn text(kind: Kind<'a>, body: &'a BodyView, series: Option<&'a SeriesView>) -> Self {
        Parts {
            body: Some(body),
            kind,
            series,
            ..Parts::default()
        }
    }
}

/// A page: its body rendered, then its sheet filled in. One without a head is not told to machines.
pub(super) fn fill<V: Serialize>(
    sheets: &Sheets,
    sheet: &str,
    frame: &Frame<'_>,
    head: Option<&Head>,
    root: &str,
    view: &V,
    parts: Parts<'_>,
) -> Result<Vec<u8>, Diagnostic> {
    let mut context = Context::from_serialize(frame).expect("views are plain values");
    if let Some(head) = head {
        // A page without a card of its own shows that of home.
        let own = if parts.kind.shown().is_empty() {
            ""
        } else {
            &head.link
        };
        let card = format!("{}/{own}{CARD}", frame.site.address);
        let data = linked_data(
            parts.kind,
            head,
            frame.site,
            &card,
            parts.body,
            parts.series,
        );
        context.insert_value("linked_data", Value::safe_string(&data));
        context.insert("graph_type", parts.kind.graph_type());
        context.insert("card", &card);
    }
    context.insert("page", view);
    context.insert("root", root);
    let mut text = Value::safe_string("");
    let mut caution = Value::safe_string("");
    let mut question = Value::safe_string("");
    let mut materials_placed = false;
    context.insert_value("still", still(parts.body, root));
    if let Some(body) = parts.body {
        let readings = block(
            sheets,
            "site/readings.html",
            "readings",
            parts.readings,
            ("figures", parts.figures),
            root,
        )?;
        let materials = block(
            sheets,
            "site/materials.html",
            "materials",
            parts.materials,
            ("figures", ""),
            root,
        )?;
        let films = films(sheets, body, root)?;
        let blocks = Blocks {
            films: &films,
            readings: &readings,
            materials: &materials,
            caution_heading: CAUTION,
            readers: Readers::Public,
        };
        let (html, own) = lift_caution(&markdown::render(body, root, &blocks).html);
        // A body that places the materials itself needs no second list beside it.
        materials_placed = !materials.is_empty() && html.contains(materials.trim());
        let (html, asked) = match parts.kind {
            Kind::Answer(_) => lift_question(html),
            _ => (html, String::new()),
        };
        text = Value::safe_string(&html);
        question = Value::safe_string(&asked);
        caution = Value::safe_string(&own);
    }
    context.insert_value("text", text);
    context.insert_value("caution", caution);
    context.insert_value("question", question);
    context.insert("materials_placed", &materials_placed);
    sheets.render(sheet, &context).map(String::into_bytes)
}

/// Takes the first caution block out of a rendered body, so that its sheet can put it where it is seen first: the body
/// without it, and what stands in it below its heading; the latter empty where the body has none.
fn lift_caution(html: &str) -> (String, String) {
    const OPENS: &str = "<section class=\"tag\"";
    let whole = || (html.to_owned(), String::new());
    let Some(start) = html.find(OPENS) else {
        return whole();
    };
    let mut depth = 0_usize;
    let mut at = start;
    let end = loop {
        let rest = &html[at..];
        let (next, opens) = match (rest.find("<section"), rest.find("</section>")) {
            (Some(open), Some(close)) if open < close => (open, true),
            (_, Some(close)) => (close, false),
            (_, None) => return whole(),
        };
        at += next
            + if opens {
                "<section".len()
            } else {
                "</section>".len()
            };
        depth = if opens { depth + 1 } else { depth - 1 };
        if depth == 0 {
            break at;
        }
    };
    let block = &html[start..end];
    let inside = block
        .find("</h2>")
        .map_or(block, |heading| &block[heading + "</h2>".len()..]);
    let inside = inside.strip_suffix("</section>").unwrap_or(inside).trim();
    let without = format!("{}{}", &html[..start], html[end..].trim_start());
    (without, inside.to_owned())
}

/// Takes the quotation that an answer's rendered body begins with out of it, so that its sheet can put the question on the
/// docket: the body without it, and what stands in it; the latter empty where the body begins with none.
fn lift_question(html: String) -> (String, String) {
    const TAGS: (&str, &str) = ("<blockquote>", "</blockquote>");
    let Some(inside) = html.strip_prefix(TAGS.0) else {
        return (html, String::new());
    };
    let mut depth = 1_usize;
    let mut at = 0;
    while let Some(close) = inside[at..].find(TAGS.1) {
        depth += inside[at..at + close].matches(TAGS.0).count();
        depth -= 1;
        let end = at + close;
        at = end + TAGS.1.len();
        if depth == 0 {
            let rest = inside[at..].trim_start().to_owned();
            return (rest, inside[..end].trim().to_owned());
        }
    }
    (html, String::new())
}

/// What a `readings` or `materials` block of a body becomes; empty where the view has none.
fn block<T: Serialize>(
    sheets: &Sheets,
    sheet: &str,
    name: &'static str,
    lines: &[T],
    more: (&'static str, &str),
    root: &str,
) -> Result<String, Diagnostic> {
    if lines.is_empty() {
        return Ok(String::new());
    }
    let mut context = Context::new();
    context.insert(name, lines);
    context.insert(more.0, more.1);
    context.insert("root", root);
    sheets.render(sheet, &context)
}

/// The still of the film that goes with a page, as HTML; empty where there is none.
pub(super) fn still(body: Option<&BodyView>, root: &str) -> Value {
    let film = body.and_then(|body| Some((body, body.film.as_ref()?)));
    let html = film.map(|(body, film)| Pictures::new(&body.pictures, root).still(&film.still));
    Value::safe_string(&html.unwrap_or_default())
}

/// What each `video` block of a body becomes, by what stands in it.
pub(super) fn films(
    sheets: &Sheets,
    body: &BodyView,
    root: &str,
) -> Result<BTreeMap<String, String>, Diagnostic> {
    let mut pictures = Pictures::new(&body.pictures, root);
    body.films
        .iter()
        .map(|(written, film)| {
            let mut context = Context::new();
            context.insert("film", film);
            context.insert_value("still", Value::safe_string(&pictures.still(&film.still)));
            Ok((written.clone(), sheets.render("site/film.html", &context)?))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{lift_caution, lift_question};

    #[test]
    fn the_question_leaves_the_text_with_what_is_quoted_in_it() {
        let html = "<blockquote>\n<p>a</p>\n<blockquote>\n<p>b</p>\n</blockquote>\n</blockquote>\n<p>1</p>\n<blockquote>c</blockquote>";
        let (text, question) = lift_question(html.to_owned());
        assert_eq!(question, "<p>a</p>\n<blockquote>\n<p>b</p>\n</blockquote>");
        assert_eq!(text, "<p>1</p>\n<blockquote>c</blockquote>");
        let none = "<p>1</p>\n<blockquote>c</blockquote>";
        assert_eq!(
            lift_question(none.to_owned()),
            (none.to_owned(), String::new())
        );
    }

    #[test]
    fn the_first_caution_leaves_the_text_and_only_the_first() {
        let tag = |words: &str| {
            format!("<section class=\"tag\" id=\"x\"><h2>Caution</h2>\n{words}</section>\n")
        };
        let inner = "<p>a</p>\n<section class=\"notes\"><ol></ol></section>";
        let html = format!("<p>1</p>\n{}<p>2</p>\n{}", tag(inner), tag("<p>b</p>"));
        let (text, caution) = lift_caution(&html);
        assert_eq!(caution, inner);
        assert_eq!(text, format!("<p>1</p>\n<p>2</p>\n{}", tag("<p>b</p>")));
        assert_eq!(
            lift_caution("<p>1</p>"),
            ("<p>1</p>".to_owned(), String::new())
        );
    }
}
