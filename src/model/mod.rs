//! What a diary holds: jobs, visits, tasks, findings, readings, materials, pages, clients and settings.
//!
//! Plain typed values. Nothing here reads a file, asks the clock, or decides what is wrong with a diary.

pub mod captions;
pub mod client;
pub mod film;
pub mod fitted;
pub mod job;
pub mod minutes;
pub mod money;
pub mod page;
pub mod photo;
pub mod price;
pub mod private;
pub mod reading;
pub mod settings;
pub mod shown;
pub mod table;
pub mod told;

use std::collections::BTreeMap;
use std::ops::Deref;
use std::sync::Arc;

use jiff::civil::Date;

use crate::diagnose::{FileId, Span};

pub use captions::Captions;
pub use client::Client;
pub use film::{BodyFilm, Film, ShownFilm};
pub use job::{
    Charged, Extra, Finding, FindingCode, Job, Material, Quoted, Report, Task, Tenure, Travel,
    Visit, VisitKind,
};
pub use minutes::{LengthError, Minutes};
pub use money::{Money, MoneyError};
pub use page::{
    Answer, Asked, Body, BodyLink, CameBy, Criterion, Page, PageKind, PrivateBlock, Publish,
    Review, Section,
};
pub use photo::{Photo, SeenPhoto, Stored};
pub use price::Price;
pub use private::Private;
pub use reading::{Device, Insulation, Measured, Rcd, Reading, Ring};
pub use settings::{
    Daywork, OwnFigures, OwnMaxRcd, OwnMaxZs, OwnMinInsulation, PriceBookItem, Rates, Settings,
    TaskType, Trader, Unit, Year,
};
pub use told::Told;

/// A value and the place in the diary where it is written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct At<T> {
    /// The value.
    pub value: T,
    /// Where it is written.
    pub span: Span,
}

impl<T> At<T> {
    /// A value at a place.
    pub fn new(value: T, span: Span) -> Self {
        At { value, span }
    }
}

impl<T> Deref for At<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.value
    }
}

/// A whole diary, read.
#[derive(Clone, Debug)]
pub struct Diary {
    /// `diary.yaml`.
    pub settings: Settings,
    /// `clients.yaml`, by key.
    pub clients: BTreeMap<String, Client>,
    /// Every job, in order of ref.
    pub jobs: Vec<Job>,
    /// Every guide, review and answer, and `about.md`, in order of path.
    pub pages: Vec<Page>,
    /// Questions of readers that nothing answers yet, in order of path: answers to be, and the office's alone until then.
    pub waiting: Vec<Private<Page>>,
    /// Prices given, in order of name.
    pub prices: Vec<Private<Price>>,
    /// Drawings that bodies show, by their path relative to the diary.
    pub drawings: BTreeMap<String, Drawing>,
    /// Photos beside the logs, shown or not, by their path relative to the diary.
    pub photos: BTreeMap<String, Photo>,
    /// What is said in films, by the file beside a log or page that holds it.
    pub captions: BTreeMap<FileId, Captions>,
    /// The diary's own sheets, by their path below `sheets/`.
    pub sheets: BTreeMap<String, Sheet>,
}

/// A drawn figure: an SVG file that a body shows.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// Its file.
    pub file: FileId,
    /// Its text.
    pub text: Arc<str>,
    /// Width and height in pixels, where the drawing states them.
    pub size: Option<(u32, u32)>,
}

/// A template of the diary's own, used instead of the built-in sheet of the same name.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Its file.
    pub file: FileId,
    /// Its text.
    pub text: Arc<str>,
}

/// The day a report is made for: an input like any other, never asked of the machine below the command line.
pub type AsOf = Date;
