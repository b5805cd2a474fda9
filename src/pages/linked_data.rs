//! What a page is, for machines: JSON-LD in the words of schema.org, and the feed of a section as a JSON Feed.
//!
//! Says nothing that the page does not show: no rating, since the author gives none, and no date of a visit.

use serde_json::{Map, Value, json};

use crate::model::ShownFilm;
use crate::public::view::{BodyView, Feed, Head, SeriesView, Site};

/// What kind of page it is.
#[derive(Clone, Copy, Debug, Default)]
pub enum Kind<'a> {
    /// A list of pages, or of figures.
    #[default]
    List,
    /// The first page.
    Home,
    /// Who writes it.
    About,
    /// A job, written up.
    WriteUp,
    /// A how-to.
    HowTo,
    /// A review of this material or tool; of what the title says where it is empty.
    Review(&'a str),
    /// An answer to a reader; the question in its words, or empty.
    Answer(&'a str),
}

impl Kind<'_> {
    /// What the card's stub says; empty for a page that has no card of its own.
    pub fn shown(self) -> &'static str {
        match self {
            Kind::List => "",
            Kind::Home => "Job diary",
            Kind::About => "About",
            Kind::WriteUp => "Write-up",
            Kind::HowTo => "How-to",
            Kind::Review(_) => "Review",
            Kind::Answer(_) => "Answer",
        }
    }

    /// Open Graph's `og:type`.
    pub fn graph_type(self) -> &'static str {
        match self {
            Kind::List | Kind::Home | Kind::About => "website",
            Kind::WriteUp | Kind::HowTo | Kind::Review(_) | Kind::Answer(_) => "article",
        }
    }
}

/// The page as JSON-LD, ready to stand in a `script` element: no `<` is left in it. `image` is its card's address.
pub fn linked_data(
    kind: Kind<'_>,
    head: &Head,
    site: &Site,
    image: &str,
    body: Option<&BodyView>,
    series: Option<&SeriesView>,
) -> String {
    let url = format!("{}/{}", site.address, head.link);
    let author = json!({"@type": "Person", "name": site.trader.name});
    let mut thing = Map::new();
    let mut say = |key: &str, value: Value| {
        thing.insert(key.to_owned(), value);
    };
    say("@context", "https://schema.org".into());
    let schema_type = match kind {
        Kind::List => "CollectionPage",
        Kind::Home => "WebSite",
        Kind::About => "AboutPage",
        Kind::WriteUp => "Article",
        Kind::HowTo => "TechArticle",
        Kind::Review(_) => "Review",
        Kind::Answer(_) => "QAPage",
    };
    say("@type", schema_type.into());
    say("url", url.clone().into());
    say("inLanguage", site.language.clone().into());
    say("image", image.into());
    let name = if matches!(kind, Kind::WriteUp | Kind::HowTo) {
        "headline"
    } else {
        "name"
    };
    say(name, head.title.clone().into());
    if !head.summary.is_empty() {
        say("description", head.summary.clone().into());
    }
    if !head.date.is_empty() {
        say("datePublished", head.date.clone().into());
    }
    if let Some(series) = series {
        // A series has no page of its own, and so no address.
        say(
            "isPartOf",
            json!({"@type": "CreativeWorkSeries", "name": series.name}),
        );
        say("position", series.place.into());
    }
    let films: Vec<Value> = body
        .into_iter()
        .flat_map(|body| {
            body.film
                .iter()
                .chain(body.films.values())
                .map(move |film| (film, body))
        })
        .map(|(film, body)| video(film, body, head, site))
        .collect();
    if !films.is_empty() {
        say("video", films.into());
    }
    match kind {
        Kind::List | Kind::About => {}
        Kind::Home => say("author", author),
        Kind::WriteUp | Kind::HowTo => {
            say("author", author);
            say("mainEntityOfPage", url.into());
        }
        Kind::Review(material) => {
            let name = if material.is_empty() {
                &head.title
            } else {
                material
            };
            say("author", author);
            say("itemReviewed", json!({"@type": "Product", "name": name}));
        }
        Kind::Answer(question) => {
            let question = if question.is_empty() {
                &head.title
            } else {
                question
            };
            let answer =
                json!({"@type": "Answer", "text": head.summary, "url": url, "author": author});
            say(
                "mainEntity",
                json!({
                    "@type": "Question", "name": head.title, "text": question, "answerCount": 1,
                    "acceptedAnswer": answer
                }),
            );
        }
    }
    // The one sign that could end the element early. JSON allows it written so anywhere in a text.
    Value::Object(thing).to_string().replace('<', "\\u003c")
}

/// A film on a page. When it was put where it is, nobody has told us, and so no date is said.
fn video(film: &ShownFilm, body: &BodyView, head: &Head, site: &Site) -> Value {
    let name = if film.title.is_empty() {
        &head.title
    } else {
        &film.title
    };
    let address = if film.file { "contentUrl" } else { "url" };
    let mut video = json!({"@type": "VideoObject", "name": name, address: film.link, "inLanguage": site.language});
    if let Some(still) = body.pictures.get(&film.still) {
        video["thumbnailUrl"] = format!("{}/{}", site.address, still.link).into();
    }
    if !film.chapters.is_empty() {
        let chapters = film.chapters.iter().map(|chapter| {
            let mut clip = json!({"@type": "Clip", "name": chapter.title, "startOffset": chapter.moment.seconds});
            if !chapter.moment.link.is_empty() {
                clip["url"] = chapter.moment.link.clone().into();
            }
            clip
        });
        video["hasPart"] = chapters.collect();
    }
    video
}

/// Where a feed's JSON stands: `write-ups/feed.json` for `write-ups/feed.xml`.
pub fn json_link(feed: &Feed) -> String {
    format!("{}json", feed.link.trim_end_matches("xml"))
}

/// A feed as a JSON Feed, version 1.1 (jsonfeed.org), as UTF-8.
pub fn json_feed(feed: &Feed, site: &Site) -> Vec<u8> {
    let absolute = |link: &str| format!("{}/{link}", site.address);
    let items: Vec<Value> = feed
        .entries
        .iter()
        .map(|entry| {
            let words = if entry.summary.is_empty() {
                &entry.title
            } else {
                &entry.summary
            };
            json!({
                "id": absolute(&entry.link),
                "url": absolute(&entry.link),
                "title": entry.title,
                "content_text": words,
                "date_published": format!("{}T00:00:00Z", entry.date),
            })
        })
        .collect();
    let feed = json!({
        "version": "https://jsonfeed.org/version/1.1",
        "title": feed.title,
        "home_page_url": absolute(&feed.page),
        "feed_url": absolute(&json_link(feed)),
        "language": site.language,
        "authors": [{"name": site.trader.name}],
        "items": items,
    });
    let mut text = feed.to_string();
    text.push('\n');
    text.into_bytes()
}
