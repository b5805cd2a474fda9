//! The public site as a list of files, each made from its view when it is wanted.
//!
//! Decides what a page is made of and what its digest covers; what it looks like is the sheets' business. Nothing
//! is rendered until an output's `make` is called.

use std::collections::BTreeMap;

use rayon::prelude::*;
use serde::Serialize;
use tera::{Context, Value};

use super::card::{self, Card};
use super::linked_data::{self, Kind, linked_data};
use super::markdown::{self, Blocks, Readers};
use super::pictures::Pictures;
use super::sheets::Sheets;
use super::{Make, Output, Rank, feed, file_of, root_of, search};
use crate::diagnose::Diagnostic;
use crate::public::view::{
    About, AnswerPage, BodyView, Head, HowTo, MaterialLine, Moved, NotFound, ReadingLine,
    ReviewPage, SEARCH, Site, SiteViews,
};

/// Sheets that go out as they are, and under what name.
const ASSETS: &[&str] = &[
    "docket.css",
    "docket.woff2",
    "docket-font-licence.txt",
    "docket-mark.svg",
    "search/search.js",
];

/// A card's file, in its page's folder.
const CARD: &str = "card.png";

/// Heading of the lock-off tag.
const CAUTION: &str = "Caution";

/// Every file of the site, in order of rank and path. `extra` is a digest of whatever else decides how pages come out.
pub fn outputs<'a>(
    views: &'a SiteViews,
    sheets: &'a Sheets,
    extra: blake3::Hash,
) -> Vec<Output<'a>> {
    let press = Press::new(views, sheets, extra);
    let mut outputs = Vec::new();
    for &name in ASSETS {
        let bytes = sheets
            .asset(name)
            .expect("a test holds that every asset is embedded");
        let digest = press.digest("asset", &blake3::hash(&bytes).to_hex().to_string());
        outputs.push(Output {
            path: name.to_owned(),
            rank: Rank::Asset,
            digest,
            make: Box::new(move || Ok(bytes.to_vec())),
        });
    }
    for (link, svg) in &views.drawings {
        outputs.push(Output {
            path: link.clone(),
            rank: Rank::Asset,
            digest: press.digest("drawing", svg),
            make: Box::new(move || Ok(svg.clone().into_bytes())),
        });
    }

    outputs.par_extend(views.write_ups.par_iter().flat_map_iter(|page| {
        let parts = Parts {
            body: Some(&page.body),
            readings: &page.readings,
            figures: &page.figures,
            materials: &page.materials,
            kind: Kind::WriteUp,
        };
        [
            press.page("site/write-up.html", Rank::Leaf, &page.head, page, parts),
            press.card(Kind::WriteUp, &page.head),
        ]
    }));
    for page in &views.how_tos {
        outputs.extend(press.text("site/how-to.html", Kind::HowTo, page));
    }
    for page in &views.reviews {
        outputs.extend(press.text("site/review.html", Kind::Review(&page.material), page));
    }
    for page in &views.answers {
        outputs.extend(press.text("site/answer.html", Kind::Answer(&page.question), page));
    }
    outputs.extend(press.text("site/about.html", Kind::About, &views.about));
    for moved in &views.moved {
        outputs.push(press.moved(moved));
    }

    let none = Parts::default();
    for page in &views.lists {
        outputs.push(press.page("site/section-list.html", Rank::List, &page.head, page, none));
    }
    if let Some(page) = &views.subject_list {
        outputs.push(press.page("site/subject-list.html", Rank::List, &page.head, page, none));
    }
    for page in &views.subjects {
        outputs.push(press.page("site/subject.html", Rank::List, &page.head, page, none));
    }
    if let Some(page) = &views.how_long {
        outputs.push(press.page("site/how-long.html", Rank::List, &page.head, page, none));
    }
    let home = Parts {
        kind: Kind::Home,
        ..none
    };
    outputs.push(press.page(
        "site/home.html",
        Rank::List,
        &views.home.head,
        &views.home,
        home,
    ));
    outputs.push(press.card(Kind::Home, &views.home.head));
    outputs.push(press.not_found(&views.not_found));
    let (page, files) = search::search(views);
    outputs.push(press.own("site/search.html", Rank::List, SEARCH, page));
    for (path, text) in files {
        outputs.push(Output {
            path,
            rank: Rank::List,
            digest: press.digest("search", &text),
            make: Box::new(move || Ok(text.clone().into_bytes())),
        });
    }
    for feed in &views.feeds {
        outputs.push(press.xml(
            &feed.link,
            "feed",
            feed,
            Box::new(|| Ok(feed::atom(feed, &views.site))),
        ));
        outputs.push(press.xml(
            &linked_data::json_link(feed),
            "json feed",
            feed,
            Box::new(|| Ok(linked_data::json_feed(feed, &views.site))),
        ));
    }
    let sitemap = &views.sitemap;
    outputs.push(press.xml(
        "sitemap.xml",
        "sitemap",
        sitemap,
        Box::new(|| Ok(feed::sitemap(sitemap, &views.site))),
    ));
    outputs.push(press.xml(
        "robots.txt",
        "robots",
        &"",
        Box::new(|| Ok(feed::robots(&views.site))),
    ));

    outputs.sort_by(|a, b| (a.rank, &a.path).cmp(&(b.rank, &b.path)));
    outputs
}

/// What every page is made with.
struct Press<'a> {
    sheets: &'a Sheets,
    site: &'a Site,
    frame: Frame<'a>,
    /// Program, sheets, `extra` and frame: what every digest begins with.
    common: blake3::Hash,
}

/// What every page shows around its own view.
#[derive(Clone, Serialize)]
struct Frame<'a> {
    site: &'a Site,
    /// Every feed: address, page and title.
    feeds: Vec<FeedLink<'a>>,
    /// Address of the list of subjects; empty where there is none.
    subjects_link: &'a str,
}

#[derive(Clone, Serialize)]
struct FeedLink<'a> {
    link: &'a str,
    /// The same as a JSON Feed.
    json: String,
    page: &'a str,
    title: &'a str,
}

/// What of a view is rendered before its sheet is filled in.
#[derive(Clone, Copy, Default)]
struct Parts<'a> {
    body: Option<&'a BodyView>,
    readings: &'a [ReadingLine],
    /// The books of the readings' figures.
    figures: &'a str,
    materials: &'a [MaterialLine],
    kind: Kind<'a>,
}

impl<'a> Parts<'a> {
    fn text(kind: Kind<'a>, body: &'a BodyView) -> Self {
        Parts {
            body: Some(body),
            kind,
            ..Parts::default()
        }
    }
}

/// A view that is a text under a title.
trait TextPage {
    fn head(&self) -> &Head;
    fn body(&self) -> &BodyView;
}

macro_rules! text_pages {
    ($($view:ty),*) => {$(
        impl TextPage for $view {
            fn head(&self) -> &Head {
                &self.head
            }

            fn body(&self) -> &BodyView {
                &self.body
            }
        }
    )*};
}

text_pages!(HowTo, ReviewPage, AnswerPage, About);

/// The view of a page at an old address.
#[derive(Clone, Serialize)]
struct MovedPage {
    head: Head,
    to: String,
    title: String,
}

impl<'a> Press<'a> {
    fn new(views: &'a SiteViews, sheets: &'a Sheets, extra: blake3::Hash) -> Self {
        let frame = Frame {
            site: &views.site,
            feeds: views
                .feeds
                .iter()
                .map(|feed| FeedLink {
                    link: &feed.link,
                    json: linked_data::json_link(feed),
                    page: &feed.page,
                    title: &feed.title,
                })
                .collect(),
            subjects_link: views
                .subject_list
                .as_ref()
                .map_or("", |list| &list.head.link),
        };
        let mut hasher = blake3::Hasher::new();
        let version = env!("CARGO_PKG_VERSION");
        hasher
            .update(&version.len().to_le_bytes())
            .update(version.as_bytes());
        hasher
            .update(sheets.digest().as_bytes())
            .update(extra.as_bytes());
        write_json(&mut hasher, &frame);
        Press {
            sheets,
            site: &views.site,
            frame,
            common: hasher.finalize(),
        }
    }

    /// The digest of a file of this kind made from this view.
    fn digest(&self, kind: &str, view: &impl Serialize) -> blake3::Hash {
        let mut hasher = blake3::Hasher::new();
        hasher.update(self.common.as_bytes());
        hasher
            .update(&kind.len().to_le_bytes())
            .update(kind.as_bytes());
        write_json(&mut hasher, view);
        hasher.finalize()
    }

    fn page<V: Serialize + Sync>(
        &self,
        sheet: &'static str,
        rank: Rank,
        head: &'a Head,
        view: &'a V,
        parts: Parts<'a>,
    ) -> Output<'a> {
        let (sheets, frame) = (self.sheets, self.frame.clone());
        let root = root_of(&head.link);
        Output {
            path: file_of(&head.link),
            rank,
            digest: self.digest(sheet, view),
            make: Box::new(move || fill(sheets, sheet, &frame, Some(head), &root, view, parts)),
        }
    }

    /// A page that is a text, and its card.
    fn text<V: TextPage + Serialize + Sync>(
        &self,
        sheet: &'static str,
        kind: Kind<'a>,
        page: &'a V,
    ) -> [Output<'a>; 2] {
        let parts = Parts::text(kind, page.body());
        [
            self.page(sheet, Rank::Leaf, page.head(), page, parts),
            self.card(kind, page.head()),
        ]
    }

    /// The picture that a link to a page is shown with elsewhere.
    fn card(&self, kind: Kind<'_>, head: &'a Head) -> Output<'a> {
        let card = Card {
            title: &head.title,
            kind: kind.shown(),
            when: &head.date_shown,
            site: match kind {
                Kind::Home => &self.site.address,
                _ => &self.site.title,
            },
        };
        Output {
            path: format!("{}{CARD}", head.link),
            // Its words stand on its page too, where the gate reads them.
            rank: Rank::Picture,
            digest: self.digest("card", &card),
            make: Box::new(move || Ok(card::draw(&card))),
        }
    }

    /// The page for an address that leads nowhere may be shown at any depth, so its links are absolute.
    fn not_found(&self, view: &'a NotFound) -> Output<'a> {
        const SHEET: &str = "site/not-found.html";
        let (sheets, frame) = (self.sheets, self.frame.clone());
        let root = format!("{}/", frame.site.address);
        Output {
            path: "404.html".to_owned(),
            rank: Rank::List,
            digest: self.digest(SHEET, view),
            make: Box::new(move || {
                fill(sheets, SHEET, &frame, None, &root, view, Parts::default())
            }),
        }
    }

    /// A page whose view is made here.
    fn own<V: Serialize + Send + Sync + 'a>(
        &self,
        sheet: &'static str,
        rank: Rank,
        link: &str,
        view: V,
    ) -> Output<'a> {
        let (sheets, frame) = (self.sheets, self.frame.clone());
        let root = root_of(link);
        Output {
            path: file_of(link),
            rank,
            digest: self.digest(sheet, &view),
            make: Box::new(move || {
                fill(sheets, sheet, &frame, None, &root, &view, Parts::default())
            }),
        }
    }

    fn moved(&self, moved: &Moved) -> Output<'a> {
        let view = MovedPage {
            head: Head {
                link: moved.from.clone(),
                title: moved.title.clone(),
                summary: String::new(),
                part: String::new(),
                date: String::new(),
                date_shown: String::new(),
            },
            to: moved.to.clone(),
            title: moved.title.clone(),
        };
        self.own("site/moved.html", Rank::Leaf, &moved.from, view)
    }

    fn xml(&self, path: &str, kind: &str, view: &impl Serialize, make: Make<'a>) -> Output<'a> {
        Output {
            path: path.to_owned(),
            rank: Rank::List,
            digest: self.digest(kind, view),
            make,
        }
    }
}

/// A page: its body rendered, then its sheet filled in. One without a head is not told to machines.
fn fill<V: Serialize>(
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
        let data = linked_data(parts.kind, head, frame.site, &card, parts.body);
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

/// Adds a value's JSON to a digest.
fn write_json(hasher: &mut blake3::Hasher, value: &impl Serialize) {
    serde_json::to_writer(hasher, value)
        .expect("views are plain values and a hasher takes every byte");
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
