//! Guides, reviews, answers and `about.md`: front matter into a [`Page`].

use crate::diagnose::{Code, FileId, Span};
use crate::model::{
    Answer, Asked, At, Body, BodyLink, CameBy, Criterion, Page, PageKind, Publish, Review, page,
};

use super::body::resolve_link;
use super::fields::{Fields, Reader};
use super::film::{self, Beside, Order};
use super::job::read_publish;
use super::keys::{Key, page as keys};
use super::question;
use super::yaml::Node;

/// Which kind of page a path makes: the folder says it.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Folder {
    Guides,
    Reviews,
    Answers,
    About,
}

impl Folder {
    /// The folder of a path relative to the diary; `None` for a path that makes no page.
    pub fn of(path: &str) -> Option<Self> {
        match path.split('/').next()? {
            "guides" => Some(Folder::Guides),
            "reviews" => Some(Folder::Reviews),
            "answers" => Some(Folder::Answers),
            "about.md" => Some(Folder::About),
            _ => None,
        }
    }

    /// Every key that a page in it may hold.
    pub fn keys(self) -> Vec<Key> {
        let own = match self {
            Folder::Reviews => keys::REVIEW,
            Folder::Answers => keys::ANSWER,
            Folder::Guides | Folder::About => &[],
        };
        [keys::SHARED, own].concat()
    }

    /// What a page in it is called in a sentence.
    fn one(self) -> &'static str {
        match self {
            Folder::Guides => "a guide",
            Folder::Reviews => "a review",
            Folder::Answers => "an answer",
            Folder::About => "about.md",
        }
    }
}

/// Reads a page's front matter; `node` is `None` where it has none, and then the first heading of the body is the
/// title. `None` where what such a page needs is missing or wrong.
pub fn read(
    reader: &mut Reader<'_>,
    file: FileId,
    beside: Beside<'_>,
    node: Option<&Node>,
    heading: Option<At<String>>,
    mut body: Body,
) -> Option<Page> {
    let path = beside.path;
    let folder = Folder::of(path)?;
    let start = Span::file_start(file);
    let fields = match node {
        Some(node) => Some(reader.fields(node, folder.one(), &folder.keys())?),
        None => None,
    };
    let title = match fields.as_ref().and_then(|fields| fields.get("title")) {
        Some(node) => reader.text(node),
        None if heading.is_some() => {
            // The page shows its title above the text; twice would be once too often.
            if let Some(heading) = &heading {
                body.blank(heading.span);
            }
            heading
        }
        None => {
            reader.error(
                Code::MissingKey,
                node.map_or(start, |node| Span { end: node.span.start, ..node.span }),
                format!("{} has no title", folder.one()),
                "Write title: in its front matter, or begin its text with a heading: # Proving dead.",
            );
            None
        }
    };
    let kind = match (folder, &fields) {
        (Folder::Reviews, Some(fields)) => PageKind::Review(read_review(reader, fields)),
        (Folder::Reviews, None) => {
            came_by_missing(reader, start);
            return None;
        }
        (Folder::Answers, Some(fields)) => PageKind::Answer(read_answer(reader, fields, path)),
        (Folder::Answers, None) => PageKind::Answer(Answer {
            asked: None,
            about: Vec::new(),
        }),
        (Folder::About, _) => PageKind::About,
        (Folder::Guides, _) => PageKind::HowTo,
    };
    let title = title?;
    let text = |reader: &mut Reader<'_>, key: &str| {
        fields.as_ref()?.get(key).and_then(|node| reader.text(node))
    };
    let texts = |reader: &mut Reader<'_>, key: &str| {
        fields
            .as_ref()
            .and_then(|fields| fields.get(key))
            .map_or_else(Vec::new, |node| reader.texts(node))
    };
    let (publish, publish_span) = match &fields {
        Some(fields) => read_publish(reader, fields, title.span),
        // Nothing is public by default, in any folder.
        None => (Publish::Never, title.span),
    };
    let page = Page {
        file,
        path: path.to_owned(),
        slug: page::slug(&title),
        kind,
        publish,
        publish_span,
        subjects: texts(reader, "subjects"),
        series: text(reader, "series"),
        video: fields
            .as_ref()
            .and_then(|fields| fields.get("video"))
            .and_then(|node| film::read(reader, node, beside, Order::First)),
        was: texts(reader, "was"),
        coming: {
            let mut coming = texts(reader, "coming");
            coming.extend(page::promised(&body.links));
            coming
        },
        body,
        title,
    };
    if question::waits(&page) {
        unanswered(reader, &page);
    } else {
        undated(reader, &page);
    }
    Some(page)
}

/// A question is no page of the site, whatever its `publish` says.
fn unanswered(reader: &mut Reader<'_>, page: &Page) {
    if page.publish != Publish::Never {
        reader.warning(
            Code::QuestionWaiting,
            page.publish_span,
            "this question has no answer yet, so readers do not see it",
            "Write the answer below the question; until then it waits on the office book's publishing list.",
        );
    }
}

/// `ready` gives a log the month of its last visit; a page has no visits, so the feeds cannot date it.
fn undated(reader: &mut Reader<'_>, page: &Page) {
    let asked = matches!(&page.kind, PageKind::Answer(answer) if answer.asked.as_ref().is_some_and(|asked| asked.on.is_some()));
    let about = matches!(page.kind, PageKind::About);
    if page.publish == Publish::Ready && !asked && !about {
        reader.warning(
            Code::UndatedPage,
            page.publish_span,
            "ready gives this page no date, so the feeds leave it out",
            "Write the day from which readers may see it: publish: 2026-03-20.",
        );
    }
}

fn came_by_missing(reader: &mut Reader<'_>, span: Span) {
    reader.error(
        Code::MissingKey,
        span,
        "a review has no came_by",
        "Readers are told how it was come by: write came_by: bought, given or lent.",
    );
}

fn read_review(reader: &mut Reader<'_>, fields: &Fields<'_>) -> Review {
    if fields.get("came_by").is_none() {
        let span = fields.key_span("title");
        came_by_missing(reader, span);
    }
    let ways = [
        ("bought", CameBy::Bought),
        ("given", CameBy::Given),
        ("lent", CameBy::Lent),
    ];
    Review {
        material: fields.get("material").and_then(|node| reader.text(node)),
        came_by: fields
            .get("came_by")
            .and_then(|node| reader.word(node, "way to come by a thing", &ways)),
        criteria: fields.get("criteria").map_or_else(Vec::new, |node| {
            reader
                .list(
                    node,
                    "Write each after a dash: - {name: Battery, verdict: lasts a week}.",
                )
                .iter()
                .filter_map(|node| {
                    let fields = reader.fields(node, "a point judged by", keys::CRITERION)?;
                    let span = node.span;
                    let help = "Write {name: Battery, verdict: lasts a week}.";
                    let name = reader.required(&fields, "name", "this point", span, help);
                    let verdict = reader.required(&fields, "verdict", "this point", span, help);
                    Some(Criterion {
                        name: reader.text(name?)?.value,
                        verdict: reader.text(verdict?)?.value,
                    })
                })
                .collect()
        }),
        kept: fields.get("kept").and_then(|node| reader.truth(node)),
    }
}

fn read_answer(reader: &mut Reader<'_>, fields: &Fields<'_>, path: &str) -> Answer {
    let asked = fields
        .get("asked")
        .and_then(|node| reader.fields(node, "asked", keys::ASKED))
        .map(|fields| Asked {
            on: fields.get("on").and_then(|node| reader.date(node)),
            place: fields.get("where").and_then(|node| reader.text(node)),
        });
    let about = fields
        .get("about")
        .map_or_else(Vec::new, |node| reader.texts(node))
        .iter()
        .filter_map(|link| link_of(reader, link, path))
        .collect();
    Answer { asked, about }
}

/// A link in front matter, as one in the text.
fn link_of(reader: &mut Reader<'_>, link: &At<String>, path: &str) -> Option<BodyLink> {
    match resolve_link(path, link, link.span) {
        Ok(link) => link,
        Err(fault) => {
            reader.faults.push(fault);
            None
        }
    }
}
