//! The office book as a list of files, each made from its view when it is wanted.
//!
//! Every link names a file, so that the book opens from disk without a server. A job's view is made for its digest
//! and let go, and made again only where its page must be; nothing here grows with the square of the jobs.

use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;
use serde::Serialize;
use tera::{Context, Value};

use super::calendar::calendar;
use super::markdown::{self, Blocks, Readers};
use super::sheets::Sheets;
use super::site_page::{films, still};
use super::{Output, Rank, root_of, write_json};
use crate::diagnose::Diagnostic;
use crate::office::book::{Book, JobPage, Office, Text};
use crate::public::view::{BodyView, Picture};

/// Sheets that go out as they are: the book has its own, and needs nothing of the site's.
const ASSETS: &[&str] = &[
    "docket.css",
    "office.css",
    "docket.woff2",
    "docket-font-licence.txt",
    "docket-mark.svg",
];

/// Every file of the office book, in order of rank and path.
pub fn outputs<'a>(book: &'a Book<'a>, sheets: &'a Sheets) -> Vec<Output<'a>> {
    let desk = Desk::new(book, sheets);
    let mut outputs = desk.assets();
    let all = |count: usize| 0..count;
    let sizes = Arc::new(sizes(book));
    outputs.par_extend(all(book.job_count()).into_par_iter().map(|job| {
        let sizes = Arc::clone(&sizes);
        desk.page(move || job_leaf(book, job, &sizes))
    }));
    outputs.par_extend(all(book.task_count()).into_par_iter().map(|task| {
        list(&desk, "office/task.html", "hours.html", move || {
            let page = book.task_page(task);
            (page.link.clone(), page)
        })
    }));
    outputs.par_extend(all(book.location_count()).into_par_iter().map(|at| {
        list(&desk, "office/location.html", "hours.html", move || {
            let page = book.location_page(at);
            (page.link.clone(), page)
        })
    }));
    outputs.par_extend(book.year_numbers().into_par_iter().map(|year| {
        list(&desk, "office/year.html", "jobs/index.html", move || {
            let page = book.year(year);
            (page.link.clone(), page)
        })
    }));
    outputs.par_extend(book.handbook_codes().into_par_iter().map(|code| {
        desk.page(move || {
            let page = book.handbook_page(code);
            let body = Some(body_view(&page.text, &BTreeMap::new()));
            Leaf {
                body,
                ..Leaf::new(
                    "office/code.html",
                    Rank::Leaf,
                    "handbook/index.html",
                    page.link.clone(),
                    page,
                )
            }
        })
    }));
    outputs.par_extend(book.handbook_figures().into_par_iter().map(|name| {
        desk.page(move || {
            let page = book.handbook_figure(name);
            let body = Some(body_view(&page.text, &BTreeMap::new()));
            Leaf {
                body,
                ..Leaf::new(
                    "office/explained.html",
                    Rank::Leaf,
                    "handbook/index.html",
                    page.link.clone(),
                    page,
                )
            }
        })
    }));
    outputs.extend(money_pages(book, &desk));
    outputs.extend(price_pages(book, &desk));
    outputs.extend(finding_pages(book, &desk));
    let fronts: [&(dyn Fn() -> Output<'a> + Sync); 7] = [
        &|| desk.calendar(),
        &|| {
            front(&desk, "office/dates.html", "dates.html", || {
                book.dates_page()
            })
        },
        &|| {
            front(&desk, "office/publishing.html", "publishing.html", || {
                book.publishing()
            })
        },
        &|| front(&desk, "office/desk.html", "index.html", || book.desk()),
        &|| {
            front(&desk, "office/years.html", "jobs/index.html", || {
                book.years()
            })
        },
        &|| {
            front(&desk, "office/hours.html", "hours.html", || {
                book.hours_letter()
            })
        },
        &|| {
            front(&desk, "office/handbook.html", "handbook/index.html", || {
                book.handbook_index()
            })
        },
    ];
    outputs.par_extend(fronts.par_iter().map(|output| output()));
    outputs.sort_by(|a, b| (a.rank, &a.path).cmp(&(b.rank, &b.path)));
    outputs
}

/// The page of one job alone.
pub fn job_page<'a>(book: &'a Book<'a>, sheets: &'a Sheets, job: usize) -> Output<'a> {
    let sizes = sizes(book);
    Desk::new(book, sheets).page(move || job_leaf(book, job, &sizes))
}

/// The rate reviews, the cover ledger, and the lists of jobs behind both.
fn money_pages<'a>(book: &'a Book<'a>, desk: &Desk<'a>) -> Vec<Output<'a>> {
    let mut outputs: Vec<Output<'a>> = Vec::new();
    outputs.par_extend((0..book.review_count()).into_par_iter().map(|review| {
        list(desk, "office/rates.html", "rates.html", move || {
            let page = book.rates_letter(review);
            (page.link.clone(), page)
        })
    }));
    outputs.par_extend(book.figure_ids().into_par_iter().map(|id| {
        list(desk, "office/figure.html", "rates.html", move || {
            let page = book.figure_page(id);
            (page.link.clone(), page)
        })
    }));
    outputs.par_extend(book.years_of_guarantees().into_par_iter().map(|year| {
        list(desk, "office/guarantees.html", "cover.html", move || {
            let page = book.guarantees_page(year);
            (page.link.clone(), page)
        })
    }));
    outputs.par_extend(book.years_of_returns().into_par_iter().map(|year| {
        list(desk, "office/returns.html", "cover.html", move || {
            let page = book.returns_page(year);
            (page.link.clone(), page)
        })
    }));
    outputs.push(front(desk, "office/cover.html", "cover.html", || {
        book.cover_ledger()
    }));
    outputs
}

/// Prices given: the list, each price's sheet and the client's copy, and how such prices have done.
fn price_pages<'a>(book: &'a Book<'a>, desk: &Desk<'a>) -> Vec<Output<'a>> {
    const PART: &str = "prices/index.html";
    let mut outputs: Vec<Output<'a>> = (0..book.price_count())
        .map(|number| {
            list(desk, "office/price.html", PART, move || {
                let page = book.price_sheet(number);
                (page.link.clone(), page)
            })
        })
        .collect();
    let answered = (0..book.price_count()).filter(|number| book.client_price(*number).is_some());
    outputs.extend(answered.map(|number| {
        list(desk, "paper/price.html", PART, move || {
            let page = book.client_price(number).expect("it is answered");
            (page.link.clone(), page)
        })
    }));
    if book.back_test_page().is_some() {
        outputs.push(list(desk, "office/back-test.html", PART, move || {
            let page = book.back_test_page().expect("it was reckoned");
            (page.link.clone(), page)
        }));
    }
    outputs.push(front(desk, "office/prices.html", PART, || {
        book.price_list()
    }));
    outputs
}

/// The findings book: what is open, by location type and by year.
fn finding_pages<'a>(book: &'a Book<'a>, desk: &Desk<'a>) -> Vec<Output<'a>> {
    const PART: &str = "findings/index.html";
    let mut outputs: Vec<Output<'a>> = Vec::new();
    outputs.par_extend(
        (0..book.finding_location_count())
            .into_par_iter()
            .map(|at| {
                list(desk, "office/findings-at.html", PART, move || {
                    let page = book.location_findings(at);
                    (page.link.clone(), page)
                })
            }),
    );
    outputs.par_extend(book.finding_years().into_par_iter().map(|year| {
        list(desk, "office/findings-year.html", PART, move || {
            let page = book.year_findings(year);
            (page.link.clone(), page)
        })
    }));
    outputs.push(front(desk, "office/findings.html", PART, || {
        book.findings_page()
    }));
    outputs
}

/// A list of the book: its address and its view.
fn list<'a, V, F>(desk: &Desk<'a>, sheet: &'static str, part: &'static str, view: F) -> Output<'a>
where
    V: Serialize,
    F: Fn() -> (String, V) + Send + Sync + 'a,
{
    desk.page(move || {
        let (link, view) = view();
        Leaf::new(sheet, Rank::List, part, link, view)
    })
}

/// The first page of one of the masthead's parts, at the part's own address.
fn front<'a, V, F>(desk: &Desk<'a>, sheet: &'static str, part: &'static str, view: F) -> Output<'a>
where
    V: Serialize,
    F: Fn() -> V + Send + Sync + 'a,
{
    list(desk, sheet, part, move || (part.to_owned(), view()))
}

fn job_leaf(book: &Book<'_>, job: usize, sizes: &Sizes) -> Leaf<JobPage> {
    let page = book.job(job);
    let body = page.body.as_ref().map(|text| body_view(text, sizes));
    Leaf {
        body,
        ..Leaf::new(
            "office/job.html",
            Rank::Leaf,
            "jobs/index.html",
            page.link.clone(),
            page,
        )
    }
}

/// Width and height of each photo, and of each drawing that says them, by its address in the book.
type Sizes = BTreeMap<String, (u32, u32)>;

fn sizes(book: &Book<'_>) -> Sizes {
    book.drawings()
        .into_iter()
        .filter_map(|(address, drawing)| Some((address.to_owned(), drawing.size?)))
        .chain(
            book.photos()
                .into_iter()
                .map(|(address, seen)| (address.to_owned(), (seen.width, seen.height))),
        )
        .collect()
}

/// A text as the renderer takes it.
fn body_view(text: &Text, sizes: &Sizes) -> BodyView {
    let picture = |address: &String| {
        let size = sizes.get(address);
        Picture {
            link: address.clone(),
            width: size.map(|size| size.0),
            height: size.map(|size| size.1),
            sizes: Vec::new(),
        }
    };
    BodyView {
        markdown: text.markdown.to_string(),
        links: text.links.clone(),
        pictures: text
            .pictures
            .iter()
            .map(|(written, address)| (written.clone(), picture(address)))
            .collect(),
        film: text.film.clone(),
        films: text.films.clone(),
    }
}

/// What every page is made with.
struct Desk<'a> {
    book: &'a Book<'a>,
    sheets: &'a Sheets,
    office: Office,
    /// Program, sheets and what every page shows: what every digest begins with.
    common: blake3::Hash,
}

/// A page with its view.
struct Leaf<V> {
    sheet: &'static str,
    rank: Rank,
    /// The masthead's part it stands in.
    part: &'static str,
    /// Its own address.
    link: String,
    /// A text of it that is Markdown.
    body: Option<BodyView>,
    view: V,
}

impl<V> Leaf<V> {
    fn new(sheet: &'static str, rank: Rank, part: &'static str, link: String, view: V) -> Self {
        Leaf {
            sheet,
            rank,
            part,
            link,
            body: None,
            view,
        }
    }
}

impl<'a> Desk<'a> {
    fn new(book: &'a Book<'a>, sheets: &'a Sheets) -> Self {
        let office = book.office();
        let mut hasher = blake3::Hasher::new();
        let version = env!("CARGO_PKG_VERSION");
        hasher
            .update(&version.len().to_le_bytes())
            .update(version.as_bytes());
        hasher.update(sheets.digest().as_bytes());
        write_json(&mut hasher, &office);
        Desk {
            book,
            sheets,
            office,
            common: hasher.finalize(),
        }
    }

    fn assets(&self) -> Vec<Output<'a>> {
        let mut outputs = Vec::new();
        for &name in ASSETS {
            let bytes = self
                .sheets
                .asset(name)
                .expect("a test holds that every asset is embedded");
            outputs.push(Output {
                path: name.to_owned(),
                rank: Rank::Asset,
                digest: self.digest("asset", "", &blake3::hash(&bytes).to_hex().to_string()),
                make: Box::new(move || Ok(bytes.to_vec())),
            });
        }
        for (address, drawing) in self.book.drawings() {
            let svg = &*drawing.text;
            outputs.push(Output {
                path: address.to_owned(),
                rank: Rank::Asset,
                digest: self.digest("drawing", "", &svg),
                make: Box::new(move || Ok(svg.as_bytes().to_vec())),
            });
        }
        outputs
    }

    /// The dates as a calendar, `dates.ics`.
    fn calendar(&self) -> Output<'a> {
        let book = self.book;
        Output {
            path: "dates.ics".to_owned(),
            rank: Rank::Asset,
            digest: self.digest("calendar", "", &book.calendar()),
            make: Box::new(move || Ok(calendar(&book.calendar()).into_bytes())),
        }
    }

    fn digest(&self, kind: &str, part: &str, view: &impl Serialize) -> blake3::Hash {
        let mut hasher = blake3::Hasher::new();
        hasher.update(self.common.as_bytes());
        for word in [kind, part] {
            hasher
                .update(&word.len().to_le_bytes())
                .update(word.as_bytes());
        }
        write_json(&mut hasher, view);
        hasher.finalize()
    }

    /// A page: its view is made now for the digest, and again when the page is wanted.
    fn page<V, F>(&self, leaf: F) -> Output<'a>
    where
        V: Serialize,
        F: Fn() -> Leaf<V> + Send + Sync + 'a,
    {
        let Leaf {
            sheet,
            rank,
            part,
            link,
            body,
            view,
        } = leaf();
        let pictures = body.map(|body| body.pictures);
        let digest = self.digest(sheet, part, &(view, pictures));
        let (sheets, office) = (self.sheets, self.office.clone());
        Output {
            path: link,
            rank,
            digest,
            make: Box::new(move || fill(sheets, &office, &leaf())),
        }
    }
}

/// A page: its text rendered, then its sheet filled in.
fn fill<V: Serialize>(
    sheets: &Sheets,
    office: &Office,
    leaf: &Leaf<V>,
) -> Result<Vec<u8>, Diagnostic> {
    let root = root_of(&leaf.link);
    let mut context = Context::new();
    context.insert("site", office);
    context.insert("root", &root);
    context.insert("part", leaf.part);
    context.insert("here", &leaf.link);
    context.insert("page", &leaf.view);
    let html = match &leaf.body {
        Some(body) => body_html(sheets, office, body, &leaf.view, &root)?,
        None => String::new(),
    };
    context.insert_value("text", Value::safe_string(&html));
    context.insert_value("still", still(leaf.body.as_ref(), &root));
    sheets.render(leaf.sheet, &context).map(String::into_bytes)
}

/// A text as readers would see it, with the tables of its job in their places.
fn body_html(
    sheets: &Sheets,
    office: &Office,
    body: &BodyView,
    view: &impl Serialize,
    root: &str,
) -> Result<String, Diagnostic> {
    let mut context = Context::new();
    context.insert("page", view);
    context.insert("root", root);
    let readings = sheets.render("office/readings.html", &context)?;
    let materials = sheets.render("office/materials.html", &context)?;
    let films = films(sheets, body, root)?;
    let blocks = Blocks {
        films: &films,
        readings: readings.trim(),
        materials: materials.trim(),
        caution_heading: "Caution",
        readers: Readers::Public,
    };
    let html = markdown::render(body, root, &blocks).html;
    if office.site.is_empty() {
        return Ok(html);
    }
    // A public page stands on the site and not in the book, so the way up must not stand in front of its address.
    Ok(html.replace(
        &format!("href=\"{root}{}", office.site),
        &format!("href=\"{}", office.site),
    ))
}
