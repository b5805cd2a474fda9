//! Addresses of the site: no two pages at one, none without a letter, none at which another page stood.

use std::collections::HashMap;

use crate::diagnose::{Code, Diagnostic, Span};
use crate::model::page::folded;
use crate::model::{At, Diary, Publish, Section, page};

/// Pages that stand at an address of their own in every site.
const FIXED: [&str; 4] = ["subjects", "how-long", "about", "search"];

/// Checks the addresses of all that is or will be public.
pub fn check(diary: &Diary, diagnostics: &mut Vec<Diagnostic>) {
    let mut taken = titles(diary, diagnostics);
    taken.extend(subjects(diary, diagnostics));
    old(diary, &taken, diagnostics);
}

/// A public thing's place in the site, for clashes.
struct Place<'a> {
    section: Section,
    slug: &'a str,
    title: &'a str,
    span: Span,
}

/// Every page's address comes from its title. Gives back where each stands.
fn titles(diary: &Diary, diagnostics: &mut Vec<Diagnostic>) -> HashMap<String, Span> {
    let jobs = diary
        .jobs
        .iter()
        .filter(|job| job.publish != Publish::Never)
        .map(|job| Place {
            section: Section::WriteUps,
            slug: &job.slug,
            title: &job.title,
            span: job.title.span,
        });
    let pages = diary
        .pages
        .iter()
        .filter(|page| page.publish != Publish::Never)
        .filter_map(|page| {
            Some(Place {
                section: page.section()?,
                slug: &page.slug,
                title: &page.title,
                span: page.title.span,
            })
        });
    let mut taken: HashMap<(Section, &str), Place<'_>> = HashMap::new();
    let all: Vec<Place<'_>> = jobs.chain(pages).collect();
    for place in all {
        if place.slug.is_empty() {
            diagnostics.push(Diagnostic::error(
                Code::NoAddress,
                place.span,
                "this title gives no address: it holds no letter or figure that one can be made of",
                "Put a word or two in the title.",
            ));
            continue;
        }
        if let Some(first) = taken.get(&(place.section, place.slug)) {
            diagnostics.push(
                Diagnostic::error(
                    Code::SameAddress,
                    place.span,
                    format!(
                        "“{}” and “{}” would both stand at {}/{}/",
                        first.title,
                        place.title,
                        place.section.folder(),
                        place.slug
                    ),
                    "Give one of the two another title.",
                )
                .also(first.span, "the other one"),
            );
        } else {
            taken.insert((place.section, place.slug), place);
        }
    }
    taken
        .into_iter()
        .map(|((section, slug), place)| (format!("{}/{slug}", section.folder()), place.span))
        .collect()
}

/// Every subject's address comes from its name, and two names that differ in more than their capitals are two subjects.
fn subjects(diary: &Diary, diagnostics: &mut Vec<Diagnostic>) -> HashMap<String, Span> {
    let of_jobs = diary.jobs.iter().map(|job| (job.publish, &job.subjects));
    let of_pages = diary
        .pages
        .iter()
        .map(|page| (page.publish, &page.subjects));
    let mut taken: HashMap<String, &At<String>> = HashMap::new();
    let public = of_jobs
        .chain(of_pages)
        .filter(|(publish, _)| *publish != Publish::Never);
    for subject in public.flat_map(|(_, subjects)| subjects) {
        let slug = page::slug(subject);
        if slug.is_empty() {
            diagnostics.push(Diagnostic::error(
                Code::NoAddress,
                subject.span,
                "this subject gives no address: it holds no letter or figure that one can be made of",
                "Write the subject in a word or two, or leave it out.",
            ));
            continue;
        }
        let first = *taken.entry(slug.clone()).or_insert(subject);
        if folded(first) != folded(subject) {
            diagnostics.push(
                Diagnostic::error(
                    Code::SameAddress,
                    subject.span,
                    format!(
                        "the subjects “{}” and “{}” would both stand at subjects/{slug}/",
                        first.value, subject.value
                    ),
                    "Write it the same in both, or give one of them another name.",
                )
                .also(first.span, "the other one"),
            );
        }
    }
    taken
        .into_iter()
        .map(|(slug, subject)| (format!("subjects/{slug}"), subject.span))
        .collect()
}

/// `was`: an old address is a folder of the site, written plainly, one page's only, and no page's today.
fn old(diary: &Diary, today: &HashMap<String, Span>, diagnostics: &mut Vec<Diagnostic>) {
    let sections = Section::ALL.map(Section::folder);
    let jobs = diary.jobs.iter().flat_map(|job| &job.was);
    let mut taken: HashMap<&str, Span> = HashMap::new();
    for was in jobs.chain(diary.pages.iter().flat_map(|page| &page.was)) {
        let bare = was.trim_end_matches("index.html").trim_matches('/');
        let plain = |part: &str| {
            (1..=100).contains(&part.len())
                && !part.starts_with('.')
                && part
                    .chars()
                    .all(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.'))
        };
        // A name with an ending is a file, and the site's own files stand there.
        let file = bare
            .rsplit('/')
            .next()
            .is_some_and(|name| name.contains('.'));
        if file || !bare.split('/').all(plain) {
            diagnostics.push(Diagnostic::error(
                Code::BadAddress,
                was.span,
                "this is no old address of a page",
                "Write the part after the site's name, without a file's ending: old/address.",
            ));
        } else if FIXED.contains(&bare) || sections.contains(&bare) || today.contains_key(bare) {
            let stands = Diagnostic::error(
                Code::SameAddress,
                was.span,
                format!("a page stands at {bare}/ today"),
                "Leave this old address out, or give that page another title.",
            );
            diagnostics.push(match today.get(bare) {
                Some(page) => stands.also(*page, "this one"),
                None => stands,
            });
        } else if let Some(first) = taken.insert(bare, was.span) {
            let twice = Diagnostic::error(
                Code::SameAddress,
                was.span,
                format!("two pages say that they stood at {bare}/"),
                "Leave it with the one that did.",
            );
            diagnostics.push(twice.also(first, "the other one"));
        }
    }
}
