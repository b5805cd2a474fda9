//! The public text of each file of a diary, to find in a log the line that put a private word on its page.
//!
//! Looks only; what is private in the file (client, place, private blocks) is passed over.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::diagnose::{FileId, Sources, Span};
use crate::model::{At, Diary, Job, Page};

use super::fold::Folded;
use super::markup::{self, FileKind};

/// What of a file readers may come to see.
pub(super) enum OpenText {
    /// A log or page.
    Written {
        /// Values of its front matter that are public.
        values: Vec<Span>,
        /// Its body without private blocks, and where that begins.
        body: Arc<str>,
        /// Where the body begins.
        start: usize,
    },
    /// A drawing.
    Drawn(Arc<str>),
}

impl OpenText {
    /// The public text of every file, whether or not it is published.
    pub(super) fn of_diary(diary: &Diary) -> BTreeMap<FileId, OpenText> {
        let jobs = diary
            .jobs
            .iter()
            .map(|job| (job.file, OpenText::of_job(job)));
        let pages = diary
            .pages
            .iter()
            .map(|page| (page.file, OpenText::of_page(page)));
        let drawings = diary
            .drawings
            .values()
            .map(|drawing| (drawing.file, OpenText::Drawn(drawing.text.clone())));
        jobs.chain(pages).chain(drawings).collect()
    }

    fn of_job(job: &Job) -> Self {
        let mut values = vec![job.title.span];
        let mut take = |value: Option<&At<String>>| values.extend(value.map(|at| at.span));
        take(job.location.as_ref());
        take(job.series.as_ref());
        values.extend(job.video.as_ref().map(|at| at.span));
        let mut take = |value: Option<&At<String>>| values.extend(value.map(|at| at.span));
        for finding in job.findings.iter().filter(|finding| !finding.private) {
            take(Some(&finding.what));
            take(finding.location.as_ref());
            take(finding.done.as_ref());
            take(finding.told.as_ref().and_then(|told| told.how.as_ref()));
        }
        for material in &job.materials {
            take(Some(&material.item));
        }
        for reading in &job.readings {
            take(reading.polarity.as_ref());
        }
        for value in job.subjects.iter().chain(&job.was).chain(&job.coming) {
            take(Some(value));
        }
        OpenText::Written {
            values,
            body: job.body.open.clone(),
            start: job.body.start as usize,
        }
    }

    /// A page keeps nothing private in its front matter, so all of that is looked through.
    fn of_page(page: &Page) -> Self {
        OpenText::Written {
            values: vec![
                page.title.span,
                Span::new(page.file, 0, page.body.start as usize),
            ],
            body: page.body.open.clone(),
            start: page.body.start as usize,
        }
    }

    /// The first place that `find` finds, given folded text: the front matter's values first, then the body.
    /// `find` gives the places of the first and last byte of what it found.
    pub(super) fn find(
        &self,
        file: FileId,
        sources: &Sources,
        find: impl Fn(&Folded) -> Option<(usize, usize)>,
    ) -> Option<Span> {
        let span_of = |text: &str, start: usize, (first, last): (usize, usize)| {
            let length = text
                .get(last..)
                .and_then(|rest| rest.chars().next())
                .map_or(0, char::len_utf8);
            Span::new(file, start + first, start + last + length)
        };
        match self {
            OpenText::Written {
                values,
                body,
                start,
            } => {
                let whole = sources.text(file);
                let in_value = values.iter().find_map(|span| {
                    let text = whole.get(span.start as usize..span.end as usize)?;
                    let places = find(&markup::read_markdown(text))?;
                    Some(span_of(text, span.start as usize, places))
                });
                in_value
                    .or_else(|| Some(span_of(body, *start, find(&markup::read_markdown(body))?)))
            }
            OpenText::Drawn(text) => {
                let rows = markup::read(FileKind::Svg, "", text);
                rows.iter()
                    .find_map(|row| Some(span_of(text, 0, find(row)?)))
            }
        }
    }
}
