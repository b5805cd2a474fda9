//! What can only be seen with every file read: refs used twice, clients and logs that do not exist, links that
//! lead nowhere.

use std::collections::{BTreeMap, HashMap, HashSet};

use crate::diagnose::{Code, Diagnostic, FileId, nearest};
use crate::model::page::folded;
use crate::model::{At, BodyLink, Diary, Job, Page, PageKind, Private, Publish};

use super::addresses;
use super::shorten::shorten;

/// How `clients.yaml` was found.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Clients {
    /// Read.
    Read,
    /// It holds an error.
    Broken,
    /// It is not there.
    Missing,
}

/// Checks the whole diary. `paths` holds every file of the diary that a link may name.
pub fn check(
    diary: &Diary,
    clients: Clients,
    paths: &BTreeMap<String, FileId>,
    diagnostics: &mut Vec<Diagnostic>,
) {
    refs(diary, diagnostics);
    // With `clients.yaml` broken, every log would be told that its client is missing.
    if clients != Clients::Broken {
        for job in &diary.jobs {
            client(diary, job, clients, diagnostics);
        }
    }
    prices(diary, diagnostics);
    addresses::check(diary, diagnostics);
    links(diary, paths, diagnostics);
    promises_near(diary, diagnostics);
}

/// A client that a log names stands in `clients.yaml`.
fn client(diary: &Diary, job: &Job, found: Clients, diagnostics: &mut Vec<Diagnostic>) {
    let Some(key) = job.client.as_ref().map(Private::in_office) else {
        return;
    };
    if diary.clients.contains_key(&key.value) {
        return;
    }
    if found == Clients::Missing {
        diagnostics.push(Diagnostic::error(
            Code::UnknownClient,
            key.span,
            "there is no clients.yaml beside diary.yaml",
            "Put it back, or make one and write the client under this key.",
        ));
        return;
    }
    let help = match nearest(key, diary.clients.keys().map(String::as_str)) {
        Some(near) => format!("Write {near}, or add the client to clients.yaml."),
        None => "Add the client to clients.yaml under this key.".to_owned(),
    };
    diagnostics.push(Diagnostic::error(
        Code::UnknownClient,
        key.span,
        format!("clients.yaml has no client {}", shorten(key)),
        help,
    ));
}

/// A price that a log was quoted by stands in `prices/`.
fn prices(diary: &Diary, diagnostics: &mut Vec<Diagnostic>) {
    let names: Vec<&str> = diary
        .prices
        .iter()
        .map(|price| price.in_office().name.as_str())
        .collect();
    for job in &diary.jobs {
        let Some(priced) = job.priced.as_ref().map(Private::in_office) else {
            continue;
        };
        if names.contains(&priced.value.as_str()) {
            continue;
        }
        let help = match nearest(priced, names.iter().copied()) {
            Some(near) => format!("Write {near}."),
            None => "Write the name of a file in prices/, without its ending.".to_owned(),
        };
        diagnostics.push(Diagnostic::error(
            Code::UnknownPrice,
            priced.span,
            format!("prices/ has no {}", shorten(priced)),
            help,
        ));
    }
}

fn refs(diary: &Diary, diagnostics: &mut Vec<Diagnostic>) {
    // Refs are file names in the office book, and some disks hold A and a for one.
    let mut by_ref: HashMap<String, &Job> = HashMap::new();
    for job in &diary.jobs {
        let reference = job.reference.in_office();
        if let Some(first) = by_ref.insert(reference.to_lowercase(), job) {
            let first_ref = first.reference.in_office();
            diagnostics.push(
                Diagnostic::error(
                    Code::DuplicateRef,
                    reference.span,
                    format!("the ref {} is used twice", reference.value),
                    "Give one of the two logs the next free ref.",
                )
                .also(first_ref.span, "used here too"),
            );
        }
    }
    for job in &diary.jobs {
        let Some(led_to) = job.led_to.as_ref().map(Private::in_office) else {
            continue;
        };
        if by_ref.contains_key(&led_to.to_lowercase())
            && *led_to.value != *job.reference.in_office().value
        {
            continue;
        }
        let own = &job.reference.in_office().value;
        let refs = diary
            .jobs
            .iter()
            .map(|job| job.reference.in_office().value.as_str())
            .filter(|reference| reference != own);
        let message = if led_to.value == job.reference.in_office().value {
            "for names this very log".to_owned()
        } else {
            format!("no log has the ref {}", led_to.value)
        };
        let help = match nearest(led_to, refs) {
            Some(near) if near != led_to.value => {
                format!("Write {near}, or the ref of the job that this call-out led to.")
            }
            _ => "Write the ref of the job that this call-out led to.".to_owned(),
        };
        diagnostics.push(Diagnostic::error(
            Code::UnknownRef,
            led_to.span,
            message,
            help,
        ));
    }
}

fn links(diary: &Diary, paths: &BTreeMap<String, FileId>, diagnostics: &mut Vec<Diagnostic>) {
    // What a link may lead to: whether readers see it, and the headings it has.
    let mut targets: HashMap<&str, (bool, &[String])> = HashMap::new();
    for job in &diary.jobs {
        let public = job.publish != Publish::Never;
        targets.insert(job.path.in_office(), (public, &job.body.anchors));
    }
    // A question that waits may be linked and links; readers see neither.
    let pages: Vec<(bool, &Page)> = pages(diary);
    for (public, page) in &pages {
        targets.insert(&page.path, (*public, &page.body.anchors));
    }
    // A page that is promised is linked by its title, and still is once it is written.
    let titles: HashSet<String> = promises(diary).map(|title| folded(title)).collect();
    let of_jobs = diary.jobs.iter();
    let of_jobs = of_jobs.map(|job| (job.publish != Publish::Never, &job.body.links));
    let of_pages = pages
        .iter()
        .map(|(public, page)| (*public, &page.body.links));
    let of_answers = pages.iter().filter_map(|(public, page)| match &page.kind {
        PageKind::Answer(answer) => Some((*public, &answer.about)),
        _ => None,
    });
    for (public, links) in of_jobs.chain(of_pages).chain(of_answers) {
        for link in links {
            check_link(
                link,
                public && !link.private,
                &targets,
                &titles,
                diary,
                paths,
                diagnostics,
            );
        }
    }
}

/// Every page with whether readers see it, now or on a day to come; questions that wait among them.
fn pages(diary: &Diary) -> Vec<(bool, &Page)> {
    let seen = |page: &Page| page.publish != Publish::Never;
    let waiting = diary.waiting.iter().map(|page| (false, page.in_office()));
    let pages = diary.pages.iter().map(|page| (seen(page), page));
    pages.chain(waiting).collect()
}

/// Every title that is promised, with the place of the promise.
fn promises(diary: &Diary) -> impl Iterator<Item = &At<String>> {
    let of_jobs = diary.jobs.iter().flat_map(|job| &job.coming);
    let of_waiting = diary.waiting.iter().map(Private::in_office);
    of_jobs.chain(
        diary
            .pages
            .iter()
            .chain(of_waiting)
            .flat_map(|page| &page.coming),
    )
}

/// Promised titles that no page has and that one nearly has: the links to it would stay plain words for ever.
fn promises_near(diary: &Diary, diagnostics: &mut Vec<Diagnostic>) {
    let of_jobs = diary.jobs.iter().map(|job| &job.title);
    let titles: Vec<&At<String>> = of_jobs
        .chain(diary.pages.iter().map(|page| &page.title))
        .collect();
    let written: HashSet<String> = titles.iter().map(|title| folded(title)).collect();
    // `Part 2` is another page than `Part 3`.
    let figures = |text: &str| -> String { text.chars().filter(char::is_ascii_digit).collect() };
    for promise in promises(diary) {
        if written.contains(&folded(promise)) {
            continue;
        }
        let others = titles.iter().filter(|title| {
            title.span.file != promise.span.file && figures(title) == figures(promise)
        });
        if let Some(near) = nearest(promise, others.map(|title| title.value.as_str())) {
            diagnostics.push(Diagnostic::warning(
                Code::PromiseNear,
                promise.span,
                format!("no page is called {}, and one is called {near}", shorten(promise)),
                "If that is the page that was promised, write its title here just as it is; until then the links to it are plain words.",
            ));
        }
    }
}

fn check_link(
    link: &BodyLink,
    seen_by_readers: bool,
    targets: &HashMap<&str, (bool, &[String])>,
    titles: &HashSet<String>,
    diary: &Diary,
    paths: &BTreeMap<String, FileId>,
    diagnostics: &mut Vec<Diagnostic>,
) {
    if link.picture {
        if !diary.drawings.contains_key(&link.path) && !paths.contains_key(&link.path) {
            let pictures = diary.drawings.keys().chain(diary.photos.keys());
            let help = match nearest_path(&link.path, pictures.map(String::as_str)) {
                Some(near) => format!("There is {near}."),
                None => "Put it in the folder of the log's own name beside the log, or correct its name."
                    .to_owned(),
            };
            diagnostics.push(Diagnostic::error(
                Code::BadPicture,
                link.span,
                format!("there is no picture {}", link.path),
                help,
            ));
        }
        return;
    }
    if link.path.is_empty() || titles.contains(&folded(link.title())) {
        return;
    }
    let Some((public, anchors)) = targets.get(link.path.as_str()) else {
        if paths.contains_key(&link.path) && link.path.ends_with(".md") {
            // The file is there and could not be read; its own errors say so.
            return;
        }
        let help = match nearest_path(&link.path, targets.keys().copied()) {
            Some(near) => format!("There is {near}."),
            None => "Write the path from this file to the other log, with its .md.".to_owned(),
        };
        diagnostics.push(Diagnostic::error(
            Code::BrokenLink,
            link.span,
            format!("there is no log or page {}", link.path),
            help,
        ));
        return;
    };
    if seen_by_readers && !public {
        diagnostics.push(Diagnostic::warning(
            Code::LinkToPrivate,
            link.span,
            format!(
                "readers cannot see {}: the link will show as plain words",
                link.path
            ),
            "Publish it, or take the link out.",
        ));
    }
    if let Some(anchor) = &link.anchor
        && !anchors.contains(anchor)
    {
        let help = match nearest(anchor, anchors.iter().map(String::as_str)) {
            Some(near) => format!("There is #{near}."),
            None => "Link to the page itself, or to one of its headings.".to_owned(),
        };
        diagnostics.push(Diagnostic::warning(
            Code::BrokenAnchor,
            link.span,
            format!("{} has no heading {anchor}", link.path),
            help,
        ));
    }
}

/// The nearest of some paths, in a fixed order; by file name where the folder is wrong.
fn nearest_path<'a>(path: &str, candidates: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let mut all: Vec<&str> = candidates.collect();
    all.sort_unstable();
    let name = |path: &str| path.rsplit('/').next().unwrap_or_default().to_owned();
    let wanted = name(path);
    all.iter()
        .copied()
        .find(|candidate| name(candidate) == wanted)
        .or_else(|| nearest(path, all))
}
