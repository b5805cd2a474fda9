//! The public site as a list of files, each made from its view when it is wanted.
//!
//! Decides what a page is made of and what its digest covers; what it looks like is the sheets' business. Nothing
//! is rendered until an output's `make` is called.

use rayon::prelude::*;
use serde::Serialize;

use super::card::{self, Card};
use super::linked_data::{self, Kind};
use super::sheets::Sheets;
use super::site_page::{CARD, FeedLink, Frame, Parts, fill};
use super::{Make, Output, Rank, feed, file_of, root_of, search, write_json};
use crate::public::view::{
    About, AnswerPage, BodyView, Head, HowTo, Moved, NotFound, ReviewPage, SEARCH, SeriesView,
    Site, SiteViews,
};

/// Sheets that go out as they are, and under what name.
const ASSETS: &[&str] = &[
    "docket.css",
    "docket.woff2",
    "docket-font-licence.txt",
    "docket-mark.svg",
    "search/search.js",
];

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
            series: page.series.as_ref(),
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

/// A view that is a text under a title.
trait TextPage {
    fn head(&self) -> &Head;
    fn body(&self) -> &BodyView;
    fn series(&self) -> Option<&SeriesView>;
}

macro_rules! text_pages {
    ($($view:ty: $series:expr),*) => {$(
        impl TextPage for $view {
            fn head(&self) -> &Head {
                &self.head
            }

            fn body(&self) -> &BodyView {
                &self.body
            }

            fn series(&self) -> Option<&SeriesView> {
                let series: fn(&Self) -> Option<&SeriesView> = $series;
                series(self)
            }
        }
    )*};
}

text_pages!(
    HowTo: |page| page.series.as_ref(),
    ReviewPage: |page| page.series.as_ref(),
    AnswerPage: |page| page.series.as_ref(),
    About: |_| None
);

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
        let parts = Parts::text(kind, page.body(), page.series());
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
