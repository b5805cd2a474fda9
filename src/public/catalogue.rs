//! Every public page with what others need to know of it: its address, date, subjects, series; what a link leads
//! to; which pages are alike. Builds no page.

use std::cmp::Reverse;
use std::collections::{BTreeMap, HashMap};

use jiff::civil::Date;
use rayon::prelude::*;

use crate::model::page::folded;
use crate::model::shown::JobPaths;
use crate::model::{BodyLink, Diary, Page, PageKind, page};

use super::listed::{Listed, Made};
use super::view::{Entry, SeriesView};

/// A page's address below the root where the page about the diary stands.
pub(super) const ABOUT: &str = "about/";

/// Pages that are like a page, at most.
const MOST_ALIKE: usize = 3;

/// A subject.
pub(super) struct SubjectPages {
    /// As its newest page writes it.
    pub(super) name: String,
    /// Numbers of its pages, newest first.
    pub(super) pages: Vec<usize>,
}

/// Every public page.
pub(super) struct Catalogue<'a> {
    pub(super) diary: &'a Diary,
    /// Newest first; of one day, and undated ones last, in order of address.
    pub(super) listed: Vec<Listed<'a>>,
    /// By slug.
    pub(super) subjects: BTreeMap<String, SubjectPages>,
    pub(super) about: Option<&'a Page>,
    jobs_by_path: JobPaths<'a>,
    /// The number of each public job, by its number in the diary.
    listed_jobs: Vec<Option<usize>>,
    pages_by_path: HashMap<&'a str, usize>,
    by_title: HashMap<String, usize>,
    series: BTreeMap<String, Vec<usize>>,
    reviews: HashMap<String, usize>,
    kin: HashMap<Kin<'a>, Vec<usize>>,
}

/// What makes pages alike: their subjects and location type.
type Kin<'a> = (Vec<String>, Option<&'a str>);

impl<'a> Catalogue<'a> {
    /// The catalogue of a day: only what is public on it.
    pub(super) fn new(diary: &'a Diary, as_of: Date) -> Self {
        let jobs = diary
            .jobs
            .par_iter()
            .filter(|job| job.publish.is_public(as_of) && !job.slug.is_empty());
        let pages = diary
            .pages
            .par_iter()
            .filter(|page| page.publish.is_public(as_of) && !page.slug.is_empty());
        let mut listed: Vec<Listed<'a>> = jobs.map(Listed::of_job).collect();
        listed.par_extend(pages.filter_map(Listed::of_page));
        listed.sort_by(|a, b| b.date.cmp(&a.date).then_with(|| a.link.cmp(&b.link)));

        let mut catalogue = Catalogue {
            diary,
            subjects: BTreeMap::new(),
            about: diary
                .pages
                .iter()
                .find(|page| matches!(page.kind, PageKind::About) && page.publish.is_public(as_of)),
            jobs_by_path: JobPaths::of(&diary.jobs),
            listed_jobs: vec![None; diary.jobs.len()],
            pages_by_path: HashMap::new(),
            by_title: HashMap::new(),
            series: BTreeMap::new(),
            reviews: HashMap::new(),
            kin: HashMap::new(),
            listed,
        };
        catalogue.index();
        catalogue
    }

    fn index(&mut self) {
        let by_file: HashMap<_, usize> = self
            .diary
            .jobs
            .iter()
            .enumerate()
            .map(|(number, job)| (job.file, number))
            .collect();
        for (number, listed) in self.listed.iter().enumerate() {
            match listed.made {
                Made::Job(job) => self.listed_jobs[by_file[&job.file]] = Some(number),
                Made::Page(page) => {
                    self.pages_by_path.insert(&page.path, number);
                    if let PageKind::Review(review) = &page.kind
                        && let Some(material) = &review.material
                    {
                        self.reviews
                            .entry(folded(&material.value))
                            .or_insert(number);
                    }
                }
            }
            self.by_title
                .entry(folded(listed.made.title()))
                .or_insert(number);
            if let Some(series) = listed.made.series() {
                self.series.entry(folded(series)).or_default().push(number);
            }
            for written in listed.made.subjects() {
                let slug = page::slug(&written.value);
                if slug.is_empty() {
                    continue;
                }
                let subject = self.subjects.entry(slug).or_insert_with(|| SubjectPages {
                    name: written.value.clone(),
                    pages: Vec::new(),
                });
                if subject.pages.last() != Some(&number) {
                    subject.pages.push(number);
                }
            }
        }
        for parts in self.series.values_mut() {
            parts.sort_by_key(|&number| {
                let listed = &self.listed[number];
                (listed.date.is_none(), listed.date, listed.link.clone())
            });
        }
        self.kin = kin(&self.listed);
    }

    /// The public page that a link of a text leads to, with the heading it names; `None` for a page that readers
    /// cannot see. A link may also name a page by its title: that is how a page that was promised is linked.
    pub(super) fn address(&self, link: &BodyLink, own: &str) -> Option<String> {
        let anchor = link
            .anchor
            .as_ref()
            .map(|anchor| format!("#{anchor}"))
            .unwrap_or_default();
        let page = if link.path.is_empty() && link.promise.is_none() {
            own.to_owned()
        } else if self.about.is_some_and(|about| about.path == link.path) {
            ABOUT.to_owned()
        } else {
            self.listed[self.leads_to(link)?].link.clone()
        };
        Some(page + &anchor)
    }

    /// The number of the page that a link leads to.
    pub(super) fn leads_to(&self, link: &BodyLink) -> Option<usize> {
        let job = self.jobs_by_path.find(&link.path);
        match job {
            Some(job) => self.listed_jobs[job],
            None => self
                .pages_by_path
                .get(link.path.as_str())
                .or_else(|| self.by_title.get(&folded(link.title())))
                .copied(),
        }
    }

    /// The address of the review of a material; empty where there is none.
    pub(super) fn review_of(&self, item: &str) -> String {
        self.reviews
            .get(&folded(item))
            .map(|&number| self.listed[number].link.clone())
            .unwrap_or_default()
    }

    /// Its subjects as links, in the order of their names.
    pub(super) fn subject_links(&self, listed: &Listed<'_>) -> Vec<Entry> {
        listed
            .subjects
            .iter()
            .map(|slug| Entry {
                title: self.subjects[slug].name.clone(),
                link: subject_link(slug),
                line: String::new(),
            })
            .collect()
    }

    /// The public parts of its series in order of date, its own without a link; `None` where it has none or is the
    /// only one.
    pub(super) fn series_of(&self, listed: &Listed<'_>) -> Option<SeriesView> {
        let name = listed.made.series()?;
        let numbers = self
            .series
            .get(&folded(name))
            .map(Vec::as_slice)
            .unwrap_or_default();
        let mut parts: Vec<Entry> = numbers
            .iter()
            .map(|&number| self.listed[number].entry(self.diary))
            .collect();
        let own = parts.iter().position(|part| part.link == listed.link)?;
        let previous = own.checked_sub(1).map(|before| parts[before].clone());
        let next = parts.get(own + 1).cloned();
        parts[own].link.clear();
        (parts.len() > 1).then(|| SeriesView {
            name: name.to_owned(),
            parts,
            place: own + 1,
            previous,
            next,
        })
    }

    /// Up to three pages that share most subjects with it, then those of the same location type, then the newest.
    pub(super) fn like(&self, listed: &Listed<'a>) -> Vec<Entry> {
        let kin: Kin<'a> = (listed.subjects.clone(), listed.location);
        self.kin
            .get(&kin)
            .map(Vec::as_slice)
            .unwrap_or_default()
            .iter()
            .map(|&number| &self.listed[number])
            .filter(|other| other.link != listed.link)
            .take(MOST_ALIKE)
            .map(|other| other.entry(self.diary))
            .collect()
    }

    /// Titles that a page promises and that no public page has yet.
    pub(super) fn coming(&self, listed: &Listed<'_>) -> Vec<String> {
        let promised = listed.made.coming().iter().map(|at| at.value.clone());
        promised
            .filter(|title| !self.by_title.contains_key(&folded(title)))
            .collect()
    }
}

/// `subjects/boats-and-yards/`
pub(super) fn subject_link(slug: &str) -> String {
    format!("subjects/{slug}/")
}

/// For each set of subjects and location type that occurs: the pages nearest to it, one more than are ever shown,
/// since a page is nearest to itself. Thousands of pages share a few hundred sets, so sets are compared and not pages.
fn kin<'a>(listed: &[Listed<'a>]) -> HashMap<Kin<'a>, Vec<usize>> {
    let mut groups: BTreeMap<Kin<'a>, Vec<usize>> = BTreeMap::new();
    for (number, page) in listed.iter().enumerate() {
        let group = groups
            .entry((page.subjects.clone(), page.location))
            .or_default();
        if group.len() <= MOST_ALIKE {
            group.push(number);
        }
    }
    let groups: Vec<(Kin<'a>, Vec<usize>)> = groups.into_iter().collect();
    let mut by_subject: HashMap<&str, Vec<usize>> = HashMap::new();
    for (index, ((subjects, _), _)) in groups.iter().enumerate() {
        for subject in subjects {
            by_subject.entry(subject).or_default().push(index);
        }
    }
    let nearest = |(subjects, location): &Kin<'a>| -> Vec<usize> {
        let mut shared: HashMap<usize, usize> = HashMap::new();
        for subject in subjects {
            for &group in &by_subject[subject.as_str()] {
                *shared.entry(group).or_default() += 1;
            }
        }
        let mut near: Vec<_> = shared
            .into_iter()
            .flat_map(|(group, shared)| {
                let ((_, other), pages) = &groups[group];
                let elsewhere = location.is_none() || location != other;
                pages
                    .iter()
                    .map(move |&page| (Reverse(shared), elsewhere, page))
            })
            .collect();
        // Pages are numbered newest first, so a smaller number is a newer page.
        near.sort_unstable();
        near.truncate(MOST_ALIKE + 1);
        near.into_iter().map(|(_, _, page)| page).collect()
    };
    groups
        .par_iter()
        .map(|(kin, _)| (kin.clone(), nearest(kin)))
        .collect()
}
