//! Public views: plain values, the only way out of the diary. A public page is a pure function of one of these
//! and of the sheets. Nothing here can hold a [`crate::model::Private`]: it does not serialize.
//!
//! Links are addresses below the site's root, without a slash in front: `write-ups/pump-controls/`. The sheets
//! put `root` in front of them, so that the site works at a domain's root and under a path.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::model::ShownFilm;

pub use super::view_lists::{
    Feed, FeedEntry, Home, HowLong, LocationRange, Moved, SectionList, Sitemap, Subject,
    SubjectCount, SubjectEntries, SubjectList, YearOfDockets,
};

/// Where the search page stands, below the root.
pub const SEARCH: &str = "search/";

/// What every page shows of the site.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Site {
    /// The site's title.
    pub title: String,
    /// `https://example.com`, without a slash at its end.
    pub address: String,
    /// `en-GB`.
    pub language: String,
    /// Who writes it.
    pub trader: TraderLine,
    /// The masthead: only parts that hold a page.
    pub masthead: Vec<Tab>,
}

/// The foot's last line.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct TraderLine {
    /// Name.
    pub name: String,
    /// Trading name.
    pub trading_as: String,
    /// Telephone, as written.
    pub phone: String,
    /// Telephone, as a link: `+441632960123`; empty where the number gives none.
    pub phone_link: String,
    /// Email address.
    pub email: String,
}

/// A part of the site, in the masthead.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Tab {
    /// `Write-ups`.
    pub name: String,
    /// `write-ups/`.
    pub link: String,
}

/// What a page has whatever its kind.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Head {
    /// The page's address below the root: `write-ups/pump-controls/`; empty for home.
    pub link: String,
    /// Title.
    pub title: String,
    /// One sentence for machines and lists, from the page's first words; at most 200 characters.
    pub summary: String,
    /// The masthead part it stands in (a [`Tab`]'s link), or empty.
    pub part: String,
    /// `2026-03-20`; empty where undated.
    pub date: String,
    /// `20 March 2026`; empty where undated.
    pub date_shown: String,
}

/// A link with a line under it.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Entry {
    /// Title.
    pub title: String,
    /// Address below the root.
    pub link: String,
    /// One plain line; may be empty.
    pub line: String,
}

/// A body, ready for the Markdown renderer.
#[derive(Clone, Debug, Default, Serialize, PartialEq)]
pub struct BodyView {
    /// Markdown without a private word.
    pub markdown: String,
    /// Each link as written to its address below the root (with its `#` part).
    pub links: BTreeMap<String, String>,
    /// Each picture as written to what stands on the site.
    pub pictures: BTreeMap<String, Picture>,
    /// The film that goes with the page.
    pub film: Option<ShownFilm>,
    /// The films of its `video` blocks, by what stands in the block.
    pub films: BTreeMap<String, ShownFilm>,
}

/// A drawing or photo on the site.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Picture {
    /// Address below the root: `write-ups/x/figure-1.svg`; of a photo, the size that serves most readers.
    pub link: String,
    /// Pixels, where known.
    pub width: Option<u32>,
    /// Pixels, where known.
    pub height: Option<u32>,
    /// Every size of a photo, narrowest first; empty for a drawing.
    pub sizes: Vec<PictureSize>,
}

/// One size of a photo.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct PictureSize {
    /// Address below the root: `write-ups/x/photo-1-800.jpg`.
    pub link: String,
    /// Pixels across.
    pub width: u32,
}

/// A photo's file on the site.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PhotoFile {
    /// Digest of the photo's own bytes, by which it is found again.
    pub digest: blake3::Hash,
    /// Pixels across.
    pub width: u32,
}

/// A write-up.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct WriteUp {
    /// What every page has.
    pub head: Head,
    /// The docket on top.
    pub docket: Docket,
    /// The text.
    pub body: BodyView,
    /// The usual cautions, where the text has no `caution` block of its own; empty where it has one.
    pub cautions: Vec<String>,
    /// `materials` blocks and the list beside.
    pub materials: Vec<MaterialLine>,
    /// `readings` blocks.
    pub readings: Vec<ReadingLine>,
    /// The books that the readings' figures stand in; empty where none was held against any.
    pub figures: String,
    /// Its task types against the record; empty unless `public.how_long`.
    pub usual: Vec<TaskRange>,
    /// Parts of its series, itself among them without a link; `None` where it is the only one.
    pub series: Option<SeriesView>,
    /// Answers to readers that are about it, newest first.
    pub readers_ask: Vec<Entry>,
    /// Subjects.
    pub subjects: Vec<Entry>,
    /// Pages like it, at most three.
    pub like: Vec<Entry>,
    /// Titles that are promised and not yet written.
    pub coming: Vec<String>,
}

/// A job's docket: all of it that readers see.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Docket {
    /// Address of its write-up.
    pub link: String,
    /// Title.
    pub title: String,
    /// `Boat shed or yard`; empty where the log gives none.
    pub location: String,
    /// `March 2026`.
    pub month: String,
    /// `10 h`.
    pub on_site: String,
    /// Minutes on site.
    pub minutes: i64,
    /// Visits, in order of time.
    pub visits: Vec<VisitLine>,
    /// Tasks over all visits, most minutes first.
    pub tasks: Vec<TaskLine>,
    /// Time that no task accounts for: `2 h 15`; empty where there is none.
    pub other: String,
    /// Findings, gravest first.
    pub findings: Vec<FindingLine>,
    /// Codes with their counts, gravest first.
    pub found: Vec<Found>,
}

/// A visit, without its date.
#[derive(Clone, Debug, Serialize, serde::Deserialize, PartialEq)]
pub struct VisitLine {
    /// `planned`, `call-out`, `survey`, `guarantee`, `follow-up`.
    pub kind: String,
    /// `Planned`, `Call-out`, `Survey`, `Free return`, `Follow-up`.
    pub shown: String,
    /// Minutes after midnight of arrival, where times are given.
    pub from: Option<i64>,
    /// Minutes after the same midnight of leaving; past 1440 where the visit runs over midnight.
    pub to: Option<i64>,
    /// `08:15`.
    pub from_shown: String,
    /// `17:00`.
    pub to_shown: String,
    /// `8 h`.
    pub length: String,
    /// `45 min`; empty where there was no break.
    pub rest: String,
}

/// A task of a docket.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct TaskLine {
    /// As `diary.yaml` names it.
    pub name: String,
    /// `2`, `24 m`; `1` for what counts as one where none is written, empty for anything else.
    pub count: String,
    /// `3 h 10`; empty where none is written.
    pub time: String,
    /// Minutes.
    pub minutes: i64,
    /// Minutes each, rounded to a whole one; empty where there is no count to divide by.
    pub each: String,
}

/// A finding of a docket.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct FindingLine {
    /// `C1`.
    pub code: String,
    /// The mark's id: `c1`, `c2`, `c3`, `fi`, `note`.
    pub mark: String,
    /// `Danger present`; empty for a note.
    pub meaning: String,
    /// What was seen, where, what was done and which role was told, as sentences.
    pub words: String,
}

/// How many findings of a code.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Found {
    /// `C1`.
    pub code: String,
    /// The mark's id.
    pub mark: String,
    /// How many.
    pub count: usize,
}

/// A material, without what it cost.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct MaterialLine {
    /// What it is.
    pub item: String,
    /// `24 m`, `4`, `1 box`.
    pub count: String,
    /// Address of its review; empty where there is none.
    pub review: String,
}

/// A row of a readings table.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct ReadingLine {
    /// The circuit, or `Circuit 1` where its name holds a private word.
    pub circuit: String,
    /// `C16`, `BS 3036 30 A`; empty where none is written.
    pub device: String,
    /// What was measured, each value beside its figure.
    pub values: Vec<ReadingValue>,
    /// Measured before anything was done.
    pub as_found: bool,
}

/// One measured value beside the figure it was held against; no circuit's name is in it.
pub type ReadingValue = crate::trade::Held;

/// A task type against the record: a line of a range chart.
#[derive(Clone, Debug, Serialize, serde::Deserialize, PartialEq)]
pub struct TaskRange {
    /// As `diary.yaml` names it.
    pub name: String,
    /// `each`, `a job`, `a metre`, `a circuit`.
    pub per: String,
    /// Jobs behind it.
    pub n: usize,
    /// Minutes that one job in ten stays under; `None` where there are too few jobs.
    pub q10: Option<f64>,
    /// A quarter stays under.
    pub q25: Option<f64>,
    /// Half stay under.
    pub median: Option<f64>,
    /// Three quarters stay under.
    pub q75: Option<f64>,
    /// Nine in ten stay under.
    pub q90: Option<f64>,
    /// Single jobs, where there are too few for a range; empty on public pages.
    pub singles: Vec<f64>,
    /// This job's minutes, on its own page.
    pub here: Option<f64>,
    /// Where the jobs behind it are listed: an address, or empty.
    pub jobs_link: String,
}

/// The parts of a series.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct SeriesView {
    /// Its name.
    pub name: String,
    /// Its parts that readers see, in order of date; the page's own has an empty link.
    pub parts: Vec<Entry>,
    /// Which of the parts the page is, the first being 1.
    pub place: usize,
    /// The part before it.
    pub previous: Option<Entry>,
    /// The part after it.
    pub next: Option<Entry>,
}

/// A how-to.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct HowTo {
    /// What every page has.
    pub head: Head,
    /// The text.
    pub body: BodyView,
    /// The usual cautions, where the text has no `caution` block of its own; empty where it has one.
    pub cautions: Vec<String>,
    /// Parts of its series.
    pub series: Option<SeriesView>,
    /// Answers to readers that are about it, newest first.
    pub readers_ask: Vec<Entry>,
    /// Subjects.
    pub subjects: Vec<Entry>,
    /// Pages like it, at most three.
    pub like: Vec<Entry>,
    /// Titles that are promised and not yet written.
    pub coming: Vec<String>,
}

/// A review.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct ReviewPage {
    /// What every page has.
    pub head: Head,
    /// The month on the stub; empty where undated.
    pub month: String,
    /// `Kept`, `Given up`; empty where the review does not say.
    pub verdict: String,
    /// What is reviewed: the material or tool that it names; may be empty.
    pub material: String,
    /// How it was come by, as a sentence.
    pub came_by: String,
    /// Points judged by.
    pub criteria: Vec<CriterionLine>,
    /// How many were fitted, on public and private jobs alike: a count and no more; `None` for a tool.
    pub fitted: Option<Fitted>,
    /// Write-ups of jobs that fitted it, newest first.
    pub fitted_on: Vec<Entry>,
    /// Jobs that fitted it and are not written up.
    pub unwritten: usize,
    /// The text.
    pub body: BodyView,
    /// Parts of its series.
    pub series: Option<SeriesView>,
    /// Answers to readers that are about it, newest first.
    pub readers_ask: Vec<Entry>,
    /// Subjects.
    pub subjects: Vec<Entry>,
    /// Pages like it, at most three.
    pub like: Vec<Entry>,
    /// Titles that are promised and not yet written.
    pub coming: Vec<String>,
}

/// How often a reviewed material was fitted.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Fitted {
    /// How many.
    pub count: String,
    /// On how many jobs.
    pub jobs: usize,
    /// Month of the first.
    pub since: String,
    /// `2 on 2 jobs`, `none`: how many were gone back to because they had failed.
    pub back: String,
    /// How many came back and how far the share could be out, as sentences; why no share is given where none is.
    pub said: String,
    /// The share; `None` where too few jobs stand behind it.
    pub share: Option<ShareRange>,
}

/// A share of what was fitted, with its 90 % interval (Wilson 1927); all in per cent.
#[derive(Clone, Debug, Serialize, serde::Deserialize, PartialEq)]
pub struct ShareRange {
    /// How many came back.
    pub back: usize,
    /// Of how many.
    pub of: usize,
    /// The share.
    pub percent: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// A point judged by.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct CriterionLine {
    /// The point.
    pub name: String,
    /// What was found.
    pub verdict: String,
}

/// An answer to a reader.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct AnswerPage {
    /// What every page has.
    pub head: Head,
    /// The month on the stub; empty where undated.
    pub month: String,
    /// Where it was asked, in words; may be empty.
    pub asked: String,
    /// The reader's question in plain words, from the quotation that its text begins with; empty where it begins with
    /// none.
    pub question: String,
    /// The text.
    pub body: BodyView,
    /// What it is about.
    pub about: Vec<Entry>,
    /// Parts of its series.
    pub series: Option<SeriesView>,
    /// Answers to readers that are about it, newest first.
    pub readers_ask: Vec<Entry>,
    /// Subjects.
    pub subjects: Vec<Entry>,
    /// Pages like it, at most three.
    pub like: Vec<Entry>,
    /// Titles that are promised and not yet written.
    pub coming: Vec<String>,
}

/// The page about the diary.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct About {
    /// What every page has.
    pub head: Head,
    /// The text; empty where the diary has no `about.md`.
    pub body: BodyView,
}

/// The page for an address that leads nowhere.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct NotFound {
    /// What every page has.
    pub head: Head,
}

/// The whole site as views.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct SiteViews {
    /// What every page shows.
    pub site: Site,
    /// Home.
    pub home: Home,
    /// Write-ups, in order of address.
    pub write_ups: Vec<WriteUp>,
    /// How-tos, in order of address.
    pub how_tos: Vec<HowTo>,
    /// Reviews, in order of address.
    pub reviews: Vec<ReviewPage>,
    /// Answers, in order of address.
    pub answers: Vec<AnswerPage>,
    /// Lists of the sections that hold a page.
    pub lists: Vec<SectionList>,
    /// All subjects; `None` where there are none.
    pub subject_list: Option<SubjectList>,
    /// Each subject.
    pub subjects: Vec<Subject>,
    /// How long things take, where `public.how_long`.
    pub how_long: Option<HowLong>,
    /// About.
    pub about: About,
    /// 404.
    pub not_found: NotFound,
    /// Feeds.
    pub feeds: Vec<Feed>,
    /// The sitemap.
    pub sitemap: Sitemap,
    /// Old addresses.
    pub moved: Vec<Moved>,
    /// Drawings: address below the root to SVG text.
    pub drawings: BTreeMap<String, String>,
    /// Photos: address below the root to what stands there.
    #[serde(skip)]
    pub photos: BTreeMap<String, PhotoFile>,
}
