//! The office book: private pages about every job, the hours and the handbook, as plain views. A page's view is
//! made when it is asked for, so that ten thousand jobs are never held as pages at once.
//!
//! Renders nothing, reads no file, and nothing of it goes to the site or to a client.

mod back_test;
mod cover_charts;
mod cover_ledger;
mod cover_lists;
mod cover_sum;
mod cover_words;
mod dates_page;
mod desk;
mod earned_strips;
mod figure;
mod findings;
mod findings_rows;
pub mod handbook;
mod hours_letter;
mod hours_words;
mod job;
mod labelled;
mod list;
mod money;
mod prices;
mod publishing;
mod rates_figures;
mod rates_letter;
mod rates_words;
mod seen;
mod sure;
mod task;
mod visits;
mod whose;

use std::collections::{BTreeMap, HashMap};

use jiff::civil::Date;
use serde::Serialize;

use crate::diagnose::{Diagnostic, FileId, Sources};
use crate::model::{Diary, Drawing, Job, SeenPhoto, page};
use crate::office::back_test::Kept;
use crate::office::cover::Cover;
use crate::office::findings::{self as found, AtLocation};
use crate::office::hours::Hours;
use crate::office::rates::Rates;

use handbook::Handbook;

pub use back_test::BackTestPage;
pub use cover_ledger::CoverLedger;
pub use cover_lists::{GuaranteesPage, ReturnsPage};
pub use dates_page::{CalendarEvent, CalendarView, DatesPage};
pub use desk::{Desk, JobRow, Published, TodoGroup, TodoRow};
pub use figure::{FigureId, FigurePage, Of};
pub use findings_rows::{FindingsPage, LocationFindings, YearFindings};
pub use handbook::{CodeEntry, CodePage, FigureText, HandbookIndex};
pub use hours_letter::HoursLetter;
pub use job::{JobPage, Text};
pub use list::{YearList, YearPage};
pub use prices::{ClientPrice, PriceList, PriceSheet};
pub use publishing::PublishingPage;
pub use rates_letter::RatesLetter;
pub use task::{LocationPage, TaskPage};

pub use seen::ReadingRow;
pub(in crate::office) use seen::{figures_of, mark, readings};
pub(in crate::office) use visits::add;

/// The office book of a diary.
pub struct Book<'a> {
    diary: &'a Diary,
    sources: &'a Sources,
    hours: &'a Hours,
    reports: Reports<'a>,
    diagnostics: &'a [Diagnostic],
    as_of: Date,
    handbook: &'a Handbook,
    index: Index<'a>,
    /// What was found at each location type, and over all of them.
    found: (Vec<AtLocation<'a>>, AtLocation<'a>),
}

/// The reports that the book puts into letters, all of them of one day.
#[derive(Clone, Copy)]
pub struct Reports<'a> {
    /// How long each type of task takes.
    pub hours: &'a Hours,
    /// What each year had to earn and did, the latest first; one at least.
    pub rates: &'a [Rates],
    /// Guarantees and what they cost.
    pub cover: &'a Cover,
    /// How prices from this record have done; `None` for a record too short to say.
    pub back_test: Option<&'a Kept>,
}

/// What every page of the book shows.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Office {
    /// The diary's title.
    pub title: String,
    /// `en-GB`.
    pub language: String,
    /// Where the public site stands, with a slash at its end; empty where the diary does not say.
    pub site: String,
    /// What heads a column of amounts: `£`.
    pub sign: String,
}

/// Where things are found, built once. Maps without an order are only looked up in, never walked.
struct Index<'a> {
    /// Jobs by ref.
    pub by_ref: HashMap<&'a str, usize>,
    /// Jobs by path.
    pub by_path: HashMap<&'a str, usize>,
    /// Jobs by file.
    pub by_file: HashMap<FileId, usize>,
    /// Pages by path.
    pub pages: HashMap<&'a str, usize>,
    /// Diagnostics by file, in their order.
    pub faults: HashMap<FileId, Vec<usize>>,
    /// Jobs that led to a job.
    pub led_here: HashMap<usize, Vec<usize>>,
    /// Jobs by the year they were done, newest first within it; newest year last.
    pub years: BTreeMap<i16, Vec<usize>>,
    /// Task types of the hours report by key: the file's stem.
    pub tasks: BTreeMap<&'a str, String>,
    /// Location types of the hours report by key: the file's stem.
    pub locations: BTreeMap<&'a str, String>,
    /// Task types and location types of each rate review by key: the file's stem.
    pub reviews: figure::Stems<'a>,
    /// Prices by name: the file's stem.
    pub prices: BTreeMap<&'a str, String>,
    /// Drawings by path: address in the book.
    pub drawings: BTreeMap<&'a str, String>,
    /// Photos by path: address in the book.
    pub photos: BTreeMap<&'a str, String>,
}

/// The office book of a diary, its reports and what is wrong with it. `diagnostics` are in the order of
/// [`crate::diagnose::put_in_order`]; `as_of` decides what is public and which guarantees run.
pub fn book<'a>(
    diary: &'a Diary,
    sources: &'a Sources,
    reports: Reports<'a>,
    diagnostics: &'a [Diagnostic],
    as_of: Date,
    handbook: &'a Handbook,
) -> Book<'a> {
    let (index, found) = rayon::join(
        || Index::of(diary, reports, diagnostics),
        || found::by_location(diary, as_of),
    );
    Book {
        diary,
        sources,
        hours: reports.hours,
        reports,
        diagnostics,
        as_of,
        handbook,
        index,
        found,
    }
}

impl<'a> Book<'a> {
    /// What every page shows.
    pub fn office(&self) -> Office {
        Office {
            title: self.diary.settings.title.clone(),
            language: self.diary.settings.language.clone(),
            site: match self.diary.settings.address.as_str() {
                "" => String::new(),
                address => format!("{address}/"),
            },
            sign: crate::office::words::currency_sign(self.currency()),
        }
    }

    /// How many jobs there are; [`Book::job`] takes a number below it.
    pub fn job_count(&self) -> usize {
        self.diary.jobs.len()
    }

    /// Address of a job's page below the book's root: `jobs/2026-031.html`.
    pub fn job_link(&self, job: usize) -> String {
        job_link(&self.diary.jobs[job].reference.in_office().value)
    }

    /// Every drawing that a body shows: address below the book's root, and SVG text; in order of address.
    pub fn drawings(&self) -> Vec<(&str, &'a Drawing)> {
        let mut drawings: Vec<(&str, &'a Drawing)> = self
            .index
            .drawings
            .iter()
            .filter_map(|(path, address)| Some((address.as_str(), self.diary.drawings.get(*path)?)))
            .collect();
        drawings.sort_unstable_by_key(|(address, _)| *address);
        drawings
    }

    /// Every photo that a page of the book shows: address below the book's root, and what was seen of it; in order of
    /// address.
    pub fn photos(&self) -> Vec<(&str, SeenPhoto)> {
        let mut photos: Vec<(&str, SeenPhoto)> = self
            .index
            .photos
            .iter()
            .filter_map(|(path, address)| Some((address.as_str(), self.diary.photos[*path].seen?)))
            .collect();
        photos.sort_unstable_by_key(|(address, _)| *address);
        photos
    }

    /// Pages of the handbook on figures, those that it has: address and name.
    fn figures_explained(&self, names: &[&str]) -> Vec<(String, String)> {
        names
            .iter()
            .filter_map(|name| self.handbook.figure(name))
            .collect()
    }

    fn currency(&self) -> &'a str {
        &self.diary.settings.rates.in_office().currency
    }

    /// Address of a public page of the site; empty where the site has no address.
    fn site_link(&self, section: page::Section, slug: &str) -> String {
        match self.diary.settings.address.as_str() {
            "" => String::new(),
            address => format!("{address}/{}/{slug}/", section.folder()),
        }
    }

    fn location_name(&self, key: &str) -> String {
        self.diary
            .settings
            .locations
            .get(key)
            .cloned()
            .unwrap_or_else(|| key.to_owned())
    }

    fn client_name(&self, job: &Job) -> String {
        let Some(key) = job.client.as_ref().map(|key| key.in_office()) else {
            return String::new();
        };
        let client = self.diary.clients.get(&key.value);
        let name = client
            .and_then(|client| client.name.as_ref())
            .map(|name| name.in_office().value.clone());
        name.unwrap_or_else(|| key.value.clone())
    }
}

impl<'a> Index<'a> {
    fn of(diary: &'a Diary, reports: Reports<'a>, diagnostics: &[Diagnostic]) -> Self {
        let hours = reports.hours;
        let mut by_ref = HashMap::new();
        let mut by_path = HashMap::new();
        let mut by_file = HashMap::new();
        let mut years: BTreeMap<i16, Vec<usize>> = BTreeMap::new();
        for (number, job) in diary.jobs.iter().enumerate() {
            by_ref.insert(job.reference.in_office().value.as_str(), number);
            by_path.insert(job.path.in_office().as_str(), number);
            by_file.insert(job.file, number);
            years
                .entry(job.month().map_or(0, |month| month.year))
                .or_default()
                .push(number);
        }
        for jobs in years.values_mut() {
            jobs.sort_by_key(|&number| {
                let job = &diary.jobs[number];
                std::cmp::Reverse((done_day(job), &job.reference.in_office().value))
            });
        }
        let mut led_here: HashMap<usize, Vec<usize>> = HashMap::new();
        for (number, job) in diary.jobs.iter().enumerate() {
            let later = job
                .led_to
                .as_ref()
                .and_then(|led_to| by_ref.get(led_to.in_office().value.as_str()));
            if let Some(&later) = later {
                led_here.entry(later).or_default().push(number);
            }
        }
        let mut faults: HashMap<FileId, Vec<usize>> = HashMap::new();
        for (number, fault) in diagnostics.iter().enumerate() {
            faults.entry(fault.span.file).or_default().push(number);
        }
        let shown = diary
            .jobs
            .iter()
            .flat_map(|job| &job.body.links)
            .filter(|link| link.picture)
            .filter_map(|link| {
                diary
                    .drawings
                    .get_key_value(&link.path)
                    .map(|(path, _)| path.as_str())
            })
            .collect::<std::collections::BTreeSet<&str>>();
        let drawings = stems(shown.into_iter(), |path| path.trim_end_matches(".svg"))
            .into_iter()
            .map(|(path, stem)| (path, format!("drawings/{stem}.svg")))
            .collect();
        let photos = diary
            .jobs
            .iter()
            .flat_map(|job| &job.body.links)
            .filter(|link| link.picture && !link.private)
            .filter_map(|link| diary.photos.get_key_value(&link.path))
            .filter(|(_, photo)| photo.seen.is_some())
            .map(|(path, _)| path.as_str());
        let photos = stems(photos, |path| {
            path.rsplit_once('.').map_or(path, |(stem, _)| stem)
        })
        .into_iter()
        .map(|(path, stem)| (path, format!("photos/{stem}.jpg")))
        .collect();
        Index {
            by_ref,
            by_path,
            by_file,
            pages: diary
                .pages
                .iter()
                .enumerate()
                .map(|(number, page)| (page.path.as_str(), number))
                .collect(),
            faults,
            led_here,
            years,
            tasks: stems(hours.tasks.iter().map(|task| task.task.as_str()), |key| key),
            locations: stems(
                hours.locations.iter().map(|at| at.location.as_str()),
                |key| key,
            ),
            reviews: figure::stems_of(reports.rates),
            prices: stems(
                diary
                    .prices
                    .iter()
                    .map(|price| price.in_office().name.as_str()),
                |name| name,
            ),
            drawings,
            photos,
        }
    }
}

/// The day a job was done, by which lists are ordered; the last day of one that is free returns alone.
fn done_day(job: &Job) -> Option<Date> {
    let last = || {
        job.visits
            .iter()
            .map(|visit| visit.date.in_office().value)
            .max()
    };
    crate::office::reckon::finished(job).or_else(last)
}

/// A job's page below the book's root. A ref that is also a year, the list's own name or a name that some disks keep
/// for themselves gets a sign that no ref can hold.
fn job_link(reference: &str) -> String {
    let lower = reference.to_ascii_lowercase();
    let is_year = lower.len() <= 4 && lower.bytes().all(|b| b.is_ascii_digit());
    let kept = ["index", "undated", "con", "prn", "aux", "nul"].contains(&lower.as_str());
    if is_year || kept {
        format!("jobs/{reference}_.html")
    } else {
        format!("jobs/{reference}.html")
    }
}

/// A file's stem for each key, none twice whatever the disk thinks of case: the key's slug, with a number where that
/// is taken, is nothing, or is `index`.
fn stems<'k>(
    keys: impl Iterator<Item = &'k str>,
    part: impl Fn(&str) -> &str,
) -> BTreeMap<&'k str, String> {
    let mut keys: Vec<&str> = keys.collect();
    keys.sort_unstable();
    keys.dedup();
    let mut taken = std::collections::HashSet::from(["index".to_owned()]);
    let mut stems = BTreeMap::new();
    for key in keys {
        let slug = page::slug(part(key));
        let slug = if slug.is_empty() {
            "other".to_owned()
        } else {
            slug
        };
        let mut stem = slug.clone();
        let mut next = 2;
        while !taken.insert(stem.clone()) {
            stem = format!("{slug}-{next}");
            next += 1;
        }
        stems.insert(key, stem);
    }
    stems
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_ref_takes_the_place_of_a_list() {
        assert_eq!(job_link("2026-031"), "jobs/2026-031.html");
        assert_eq!(job_link("2026"), "jobs/2026_.html");
        assert_eq!(job_link("INDEX"), "jobs/INDEX_.html");
    }

    #[test]
    fn no_two_keys_share_a_stem() {
        let stems = stems(["shore pt", "shore-pt", "Index", "°"].into_iter(), |key| {
            key
        });
        let all: Vec<(&str, &str)> = stems
            .iter()
            .map(|(key, stem)| (*key, stem.as_str()))
            .collect();
        assert_eq!(
            all,
            [
                ("Index", "index-2"),
                ("shore pt", "shore-pt"),
                ("shore-pt", "shore-pt-2"),
                ("°", "deg")
            ]
        );
    }
}
