//! Pages that list other pages: home, sections, subjects, feeds, the sitemap, old addresses.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use rayon::prelude::*;

use crate::model::{Diary, Section};

use super::catalogue::{Catalogue, subject_link};
use super::docket::docket;
use super::listed::{Listed, Made, iso};
use super::view::{
    Docket, Entry, Feed, FeedEntry, Head, Home, HowLong, Moved, ReviewPage, SectionList, Sitemap,
    Subject, SubjectCount, SubjectEntries, SubjectList, YearOfDockets,
};

const HOME_WRITE_UPS: usize = 6;
const HOME_OTHERS: usize = 5;
const FEED_ENTRIES: usize = 30;

/// The head of a page that is no diary page of its own.
pub(super) fn head(link: &str, title: &str, summary: String, part: &str) -> Head {
    Head {
        link: link.to_owned(),
        title: title.to_owned(),
        summary,
        part: part.to_owned(),
        date: String::new(),
        date_shown: String::new(),
    }
}

/// The home page. `summary` is the first sentence of the page about the diary, where there is one.
pub(super) fn home(
    catalogue: &Catalogue<'_>,
    reviews: &[ReviewPage],
    how_long: Option<&HowLong>,
    summary: String,
) -> Home {
    let newest = |section, most| in_section(catalogue, section).take(most);
    let write_ups = newest(Section::WriteUps, HOME_WRITE_UPS);
    let mut subjects = subject_counts(catalogue);
    subjects.sort_by(|a, b| b.pages.cmp(&a.pages).then_with(|| a.name.cmp(&b.name)));
    let summary = if summary.is_empty() {
        "Job write-ups, how-tos, reviews and answers from an electrician who works alone: what was found and how long it took."
            .to_owned()
    } else {
        summary
    };
    Home {
        head: head("", &catalogue.diary.settings.title, summary, ""),
        write_ups: write_ups
            .filter_map(|listed| docket_of(catalogue.diary, listed))
            .collect(),
        how_tos: newest(Section::HowTos, HOME_OTHERS)
            .map(plain_entry)
            .collect(),
        reviews: newest(Section::Reviews, HOME_OTHERS)
            .map(|listed| review_entry(listed, reviews))
            .collect(),
        answers: newest(Section::Answers, HOME_OTHERS)
            .map(plain_entry)
            .collect(),
        subjects,
        timed_jobs: how_long.map(|how_long| how_long.jobs),
    }
}

/// A section's pages, newest first.
fn in_section<'c, 'a>(
    catalogue: &'c Catalogue<'a>,
    section: Section,
) -> impl Iterator<Item = &'c Listed<'a>> {
    catalogue
        .listed
        .iter()
        .filter(move |listed| listed.section == section)
}

fn docket_of(diary: &Diary, listed: &Listed<'_>) -> Option<Docket> {
    match listed.made {
        Made::Job(job) => Some(docket(diary, job, &listed.link)),
        Made::Page(_) => None,
    }
}

/// A link with the page's first sentence under it.
pub(super) fn plain_entry(listed: &Listed<'_>) -> Entry {
    Entry {
        title: listed.made.title().to_owned(),
        link: listed.link.clone(),
        line: listed.summary.clone(),
    }
}

/// `Kept. 22 fitted on 9 jobs.` for what is fitted and counted, else the verdict and the first sentence. A text that
/// begins with its verdict does not get it twice.
fn review_entry(listed: &Listed<'_>, reviews: &[ReviewPage]) -> Entry {
    let mut entry = plain_entry(listed);
    let review = reviews
        .iter()
        .find(|review| review.head.link == listed.link);
    let Some(review) = review else { return entry };
    if let Some(fitted) = &review.fitted {
        let jobs = if fitted.jobs == 1 { "job" } else { "jobs" };
        entry.line = format!("{} fitted on {} {jobs}.", fitted.count, fitted.jobs);
    }
    let verdict = &review.verdict;
    if !verdict.is_empty() && !entry.line.starts_with(verdict.as_str()) {
        entry.line = format!("{verdict}. {}", entry.line).trim_end().to_owned();
    }
    entry
}

/// The list of each section that holds a page.
pub(super) fn sections(catalogue: &Catalogue<'_>, reviews: &[ReviewPage]) -> Vec<SectionList> {
    Section::ALL
        .into_iter()
        .filter(|&section| in_section(catalogue, section).next().is_some())
        .map(|section| {
            let link = format!("{}/", section.folder());
            let order = match section {
                Section::Answers => "by subject",
                _ => "newest first",
            };
            let summary = format!("{}, {order}.", section.name());
            let mut list = SectionList {
                head: head(&link, section.name(), summary, &link),
                section: section.folder().to_owned(),
                years: Vec::new(),
                by_subject: Vec::new(),
                entries: Vec::new(),
            };
            let pages = in_section(catalogue, section);
            match section {
                Section::WriteUps => list.years = years(catalogue),
                Section::Answers => list.by_subject = by_subject(catalogue, section),
                Section::HowTos => list.entries = pages.map(plain_entry).collect(),
                Section::Reviews => {
                    list.entries = pages.map(|listed| review_entry(listed, reviews)).collect();
                }
            }
            list
        })
        .collect()
}

/// A section's pages by subject, those without one last.
fn by_subject(catalogue: &Catalogue<'_>, section: Section) -> Vec<SubjectEntries> {
    let mut groups: Vec<SubjectEntries> = subject_counts(catalogue)
        .into_iter()
        .map(|subject| SubjectEntries {
            entries: in_section(catalogue, section)
                .filter(|listed| {
                    let mut slugs = listed.subjects.iter();
                    slugs.any(|slug| subject_link(slug) == subject.link)
                })
                .map(plain_entry)
                .collect(),
            name: subject.name,
            link: subject.link,
        })
        .collect();
    groups.push(SubjectEntries {
        name: "No subject".to_owned(),
        link: String::new(),
        entries: in_section(catalogue, section)
            .filter(|listed| listed.subjects.is_empty())
            .map(plain_entry)
            .collect(),
    });
    groups.retain(|group| !group.entries.is_empty());
    groups
}

/// Write-ups by the year of their month, newest month first.
fn years(catalogue: &Catalogue<'_>) -> Vec<YearOfDockets> {
    let mut write_ups: Vec<&Listed<'_>> = in_section(catalogue, Section::WriteUps).collect();
    // Stable: within a month the order stays that of the dates of publishing.
    write_ups.sort_by_key(|listed| std::cmp::Reverse(listed.month));
    let dockets: Vec<Option<Docket>> = write_ups
        .par_iter()
        .map(|listed| docket_of(catalogue.diary, listed))
        .collect();
    let mut years: Vec<YearOfDockets> = Vec::new();
    for (listed, docket) in write_ups.into_iter().zip(dockets) {
        let year = listed
            .month
            .map(|month| month.year.to_string())
            .unwrap_or_default();
        if years.last().is_none_or(|last| last.year != year) {
            years.push(YearOfDockets {
                year,
                dockets: Vec::new(),
            });
        }
        let dockets = &mut years.last_mut().expect("one was just put there").dockets;
        dockets.extend(docket);
    }
    years
}

fn subject_counts(catalogue: &Catalogue<'_>) -> Vec<SubjectCount> {
    let mut counts: Vec<SubjectCount> = catalogue
        .subjects
        .iter()
        .map(|(slug, subject)| SubjectCount {
            name: subject.name.clone(),
            link: subject_link(slug),
            pages: subject.pages.len(),
        })
        .collect();
    counts.sort_by_cached_key(|subject| (subject.name.to_lowercase(), subject.link.clone()));
    counts
}

/// All subjects; `None` where no page has any.
pub(super) fn subject_list(catalogue: &Catalogue<'_>) -> Option<SubjectList> {
    let subjects = subject_counts(catalogue);
    (!subjects.is_empty()).then(|| SubjectList {
        head: head(
            "subjects/",
            "Subjects",
            "Every subject and how many pages it has.".to_owned(),
            "",
        ),
        subjects,
    })
}

/// A page for each subject, in order of address.
pub(super) fn subjects(catalogue: &Catalogue<'_>) -> Vec<Subject> {
    catalogue
        .subjects
        .par_iter()
        .map(|(slug, subject)| {
            let pages: Vec<&Listed<'_>> = subject
                .pages
                .iter()
                .map(|&number| &catalogue.listed[number])
                .collect();
            let others = pages
                .iter()
                .filter(|listed| listed.section != Section::WriteUps);
            Subject {
                head: head(
                    &subject_link(slug),
                    &subject.name,
                    format!("Pages on {}.", subject.name),
                    "",
                ),
                write_ups: pages
                    .par_iter()
                    .filter_map(|listed| docket_of(catalogue.diary, listed))
                    .collect(),
                entries: others.map(|listed| listed.entry(catalogue.diary)).collect(),
            }
        })
        .collect()
}

/// The site's feed, and one for each section that has a page: empty where none has a date.
pub(super) fn feeds(catalogue: &Catalogue<'_>, as_of: Date) -> Vec<Feed> {
    let title = &catalogue.diary.settings.title;
    let all = feed("", title.clone(), catalogue.listed.iter(), as_of);
    let sections = Section::ALL.into_iter();
    let with_pages = sections.filter(|&section| in_section(catalogue, section).next().is_some());
    let of_sections = with_pages.map(|section| {
        let page = format!("{}/", section.folder());
        feed(
            &page,
            format!("{title}: {}", section.name()),
            in_section(catalogue, section),
            as_of,
        )
    });
    std::iter::once(all).chain(of_sections).collect()
}

fn feed<'c, 'a: 'c>(
    page: &str,
    title: String,
    pages: impl Iterator<Item = &'c Listed<'a>>,
    as_of: Date,
) -> Feed {
    let entries: Vec<FeedEntry> = pages
        .filter(|listed| listed.date.is_some())
        .take(FEED_ENTRIES)
        .map(|listed| FeedEntry {
            title: listed.made.title().to_owned(),
            link: listed.link.clone(),
            date: iso(listed.date),
            summary: listed.summary.clone(),
        })
        .collect();
    Feed {
        link: format!("{page}feed.xml"),
        page: page.to_owned(),
        title,
        updated: entries
            .first()
            .map_or_else(|| iso(Some(as_of)), |newest| newest.date.clone()),
        entries,
    }
}

/// Every address that is a page, with its date; `others` are those that no diary page stands behind.
pub(super) fn sitemap(
    catalogue: &Catalogue<'_>,
    others: impl IntoIterator<Item = String>,
) -> Sitemap {
    let listed = catalogue
        .listed
        .iter()
        .map(|listed| (listed.link.clone(), iso(listed.date)));
    let pages: BTreeMap<String, String> = others
        .into_iter()
        .map(|link| (link, String::new()))
        .chain(listed)
        .collect();
    Sitemap {
        pages: pages.into_iter().collect(),
    }
}

/// A small page at each old address that no page stands at now, in order of address.
pub(super) fn moved(catalogue: &Catalogue<'_>, sitemap: &Sitemap) -> Vec<Moved> {
    let taken: BTreeSet<&str> = sitemap
        .pages
        .iter()
        .map(|(link, _)| link.as_str())
        .collect();
    let mut moved: BTreeMap<String, Moved> = BTreeMap::new();
    for listed in &catalogue.listed {
        for was in listed.made.was() {
            let Some(from) = old_address(&was.value).filter(|from| !taken.contains(from.as_str()))
            else {
                continue;
            };
            moved.entry(from.clone()).or_insert_with(|| Moved {
                from,
                to: listed.link.clone(),
                title: listed.made.title().to_owned(),
            });
        }
    }
    moved.into_values().collect()
}

/// An old address below the root with a slash at its end; `None` for the root itself, and for one that would climb
/// out of the site.
fn old_address(written: &str) -> Option<String> {
    let path = written
        .trim()
        .trim_end_matches("index.html")
        .trim_matches('/');
    let sound =
        |part: &str| !part.is_empty() && part != "." && part != ".." && !part.contains('\\');
    path.split('/').all(sound).then(|| format!("{path}/"))
}

#[cfg(test)]
mod tests {
    use super::old_address;

    #[test]
    fn an_old_address_ends_in_a_slash_and_stays_inside_the_site() {
        assert_eq!(old_address("old/address").as_deref(), Some("old/address/"));
        assert_eq!(
            old_address("/jobs/x/index.html").as_deref(),
            Some("jobs/x/")
        );
        assert_eq!(old_address("/"), None);
        assert_eq!(old_address("../x"), None);
        assert_eq!(old_address("a//b"), None);
    }
}
