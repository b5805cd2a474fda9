//! One page as the lists see it: its address, date, month, summary and subjects.
//!
//! Knows nothing of other pages.

use jiff::civil::Date;

use crate::diagnose::FileId;
use crate::model::job::Month;
use crate::model::{At, Body, Diary, Film, Job, Page, PageKind, Publish, Section, page};

use super::docket;
use super::prose;
use super::view::{Entry, Head};

/// What a page is made from.
#[derive(Clone, Copy)]
pub(super) enum Made<'a> {
    /// A job log.
    Job(&'a Job),
    /// A guide, a review or an answer.
    Page(&'a Page),
}

impl<'a> Made<'a> {
    pub(super) fn title(self) -> &'a str {
        match self {
            Made::Job(job) => &job.title.value,
            Made::Page(page) => &page.title.value,
        }
    }

    pub(super) fn file(self) -> FileId {
        match self {
            Made::Job(job) => job.file,
            Made::Page(page) => page.file,
        }
    }

    pub(super) fn body(self) -> &'a Body {
        match self {
            Made::Job(job) => &job.body,
            Made::Page(page) => &page.body,
        }
    }

    pub(super) fn film(self) -> Option<&'a Film> {
        let film = match self {
            Made::Job(job) => &job.video,
            Made::Page(page) => &page.video,
        };
        film.as_ref().map(|at| &at.value)
    }

    pub(super) fn was(self) -> &'a [At<String>] {
        match self {
            Made::Job(job) => &job.was,
            Made::Page(page) => &page.was,
        }
    }

    pub(super) fn subjects(self) -> &'a [At<String>] {
        match self {
            Made::Job(job) => &job.subjects,
            Made::Page(page) => &page.subjects,
        }
    }

    pub(super) fn series(self) -> Option<&'a str> {
        match self {
            Made::Job(job) => job.series.as_ref(),
            Made::Page(page) => page.series.as_ref(),
        }
        .map(|at| at.value.as_str())
    }

    pub(super) fn coming(self) -> &'a [At<String>] {
        match self {
            Made::Job(job) => &job.coming,
            Made::Page(page) => &page.coming,
        }
    }
}

/// A page and what others need to know of it.
pub(super) struct Listed<'a> {
    pub(super) made: Made<'a>,
    pub(super) section: Section,
    /// Below the root, with a slash at its end.
    pub(super) link: String,
    pub(super) date: Option<Date>,
    /// A job's month; of other pages that of their date.
    pub(super) month: Option<Month>,
    pub(super) summary: String,
    /// Slugs of its subjects, sorted, each once.
    pub(super) subjects: Vec<String>,
    /// A job's location type.
    pub(super) location: Option<&'a str>,
}

impl<'a> Listed<'a> {
    /// A job that readers see.
    pub(super) fn of_job(job: &'a Job) -> Self {
        let month = job.month();
        let date = job.public_date().or_else(|| month.map(Month::first_day));
        let location = job.location.as_ref().map(|at| at.value.as_str());
        Listed::new(
            Made::Job(job),
            Section::WriteUps,
            &job.slug,
            date,
            month,
            location,
        )
    }

    /// `None` for the page about the diary, which stands in no section.
    pub(super) fn of_page(page: &'a Page) -> Option<Self> {
        let section = page.section()?;
        let asked = match &page.kind {
            PageKind::Answer(answer) => answer.asked.as_ref().and_then(|asked| asked.on.as_ref()),
            _ => None,
        };
        let asked = asked.map(|at| Month::of(at.value));
        let date = match page.publish {
            Publish::On(date) => Some(date),
            // `ready` has no date of its own; an answer has the month in which it was asked.
            Publish::Ready | Publish::Never => asked.map(Month::first_day),
        };
        let month = asked.or(date.map(Month::of));
        Some(Listed::new(
            Made::Page(page),
            section,
            &page.slug,
            date,
            month,
            None,
        ))
    }

    fn new(
        made: Made<'a>,
        section: Section,
        slug: &str,
        date: Option<Date>,
        month: Option<Month>,
        location: Option<&'a str>,
    ) -> Self {
        let mut subjects: Vec<String> = made
            .subjects()
            .iter()
            .map(|at| page::slug(&at.value))
            .filter(|slug| !slug.is_empty())
            .collect();
        subjects.sort();
        subjects.dedup();
        Listed {
            made,
            section,
            link: format!("{}/{slug}/", section.folder()),
            date,
            month,
            summary: prose::summary(&made.body().open),
            subjects,
            location,
        }
    }

    /// What every page has.
    pub(super) fn head(&self) -> Head {
        Head {
            link: self.link.clone(),
            title: self.made.title().to_owned(),
            summary: self.summary.clone(),
            part: format!("{}/", self.section.folder()),
            date: iso(self.date),
            date_shown: self
                .date
                .map(|date| format!("{} {}", date.day(), Month::of(date)))
                .unwrap_or_default(),
        }
    }

    /// A link to it, its line saying what it is: `Boat shed, March 2026`, `How-to`.
    pub(super) fn entry(&self, diary: &Diary) -> Entry {
        let line = match self.made {
            Made::Job(job) => {
                let month = self
                    .month
                    .map(|month| month.to_string())
                    .unwrap_or_default();
                let parts = [docket::location(diary, job), month];
                parts
                    .into_iter()
                    .filter(|part| !part.is_empty())
                    .collect::<Vec<_>>()
                    .join(", ")
            }
            Made::Page(_) => docket::sentence(self.section.one())
                .trim_end_matches('.')
                .to_owned(),
        };
        Entry {
            title: self.made.title().to_owned(),
            link: self.link.clone(),
            line,
        }
    }
}

/// `2026-03-20`; empty for none.
pub(super) fn iso(date: Option<Date>) -> String {
    date.map(|date| date.to_string()).unwrap_or_default()
}
