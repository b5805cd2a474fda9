//! Views of what lists pages: home, sections, subjects, how long things take, feeds, the sitemap, old addresses.
//!
//! Plain values as in [`super::view`], which hands them on.

use serde::Serialize;

use super::view::{Docket, Entry, Head, TaskRange};

/// The home page.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Home {
    /// What every page has.
    pub head: Head,
    /// Newest write-ups, at most six.
    pub write_ups: Vec<Docket>,
    /// Newest how-tos, at most five.
    pub how_tos: Vec<Entry>,
    /// Newest reviews.
    pub reviews: Vec<Entry>,
    /// Newest answers.
    pub answers: Vec<Entry>,
    /// Subjects, most pages first.
    pub subjects: Vec<SubjectCount>,
    /// Jobs timed, where `public.how_long`.
    pub timed_jobs: Option<usize>,
}

/// A section's list.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct SectionList {
    /// What every page has.
    pub head: Head,
    /// `write-ups`.
    pub section: String,
    /// Write-ups, by year of their month, newest first; empty for other sections.
    pub years: Vec<YearOfDockets>,
    /// Answers, by subject in alphabetical order; an answer stands under each of its subjects. Empty for other sections.
    pub by_subject: Vec<SubjectEntries>,
    /// Other pages, newest first.
    pub entries: Vec<Entry>,
}

/// The answers of a subject.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct SubjectEntries {
    /// `boats and yards`; `No subject` for those that name none.
    pub name: String,
    /// `subjects/boats-and-yards/`; empty for those that name none.
    pub link: String,
    /// Newest first, each with its first sentence.
    pub entries: Vec<Entry>,
}

/// The dockets of a year.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct YearOfDockets {
    /// `2026`.
    pub year: String,
    /// Newest first.
    pub dockets: Vec<Docket>,
}

/// All subjects.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct SubjectList {
    /// What every page has.
    pub head: Head,
    /// In alphabetical order.
    pub subjects: Vec<SubjectCount>,
}

/// A subject and how many pages it has.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct SubjectCount {
    /// `boats and yards`.
    pub name: String,
    /// `subjects/boats-and-yards/`.
    pub link: String,
    /// Pages.
    pub pages: usize,
}

/// One subject's pages.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Subject {
    /// What every page has.
    pub head: Head,
    /// Its write-ups, newest first.
    pub write_ups: Vec<Docket>,
    /// Its other pages, newest first, `line` naming the section.
    pub entries: Vec<Entry>,
}

/// How long things take.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct HowLong {
    /// What every page has.
    pub head: Head,
    /// Jobs timed.
    pub jobs: usize,
    /// Whole hours on tasks.
    pub hours: i64,
    /// `December 2023`.
    pub from: String,
    /// `November 2026`.
    pub to: String,
    /// Fewest jobs behind a figure.
    pub fewest_jobs: usize,
    /// Task types with enough jobs, slowest median first.
    pub tasks: Vec<TaskRange>,
    /// Names of task types with too few jobs yet, in alphabetical order.
    pub too_few: Vec<String>,
    /// Location types with enough jobs: how much longer the same task takes there.
    pub locations: Vec<LocationRange>,
}

/// How much longer the same task takes at a location type, against the whole record.
#[derive(Clone, Debug, Serialize, serde::Deserialize, PartialEq)]
pub struct LocationRange {
    /// `Stone cottage`.
    pub name: String,
    /// Jobs behind it.
    pub n: usize,
    /// Median over its observations of minutes divided by the task type's median; 1 is the same.
    pub ratio: f64,
    /// Interval of that median.
    pub low: Option<f64>,
    /// Interval of that median.
    pub high: Option<f64>,
}

/// An Atom feed.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Feed {
    /// Its address below the root: `feed.xml`, `write-ups/feed.xml`.
    pub link: String,
    /// The page it belongs to.
    pub page: String,
    /// Title.
    pub title: String,
    /// The newest entry's date; of a feed without entries the day of the press.
    pub updated: String,
    /// Newest first, at most thirty.
    pub entries: Vec<FeedEntry>,
}

/// An entry of a feed.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct FeedEntry {
    /// Title.
    pub title: String,
    /// Address below the root.
    pub link: String,
    /// `2026-03-20`.
    pub date: String,
    /// One sentence.
    pub summary: String,
}

/// The sitemap: every page with its date, in order of address.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Sitemap {
    /// Address below the root, and date (empty where undated).
    pub pages: Vec<(String, String)>,
}

/// A small page at an old address.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Moved {
    /// The old address below the root, with a slash at its end.
    pub from: String,
    /// The new one.
    pub to: String,
    /// Title of the page that moved.
    pub title: String,
}
