//! The public text of each file of a diary, to find in a log the line that put a private word on its page.
//!
//! Looks only; what is private in the file (client, place, private blocks) is passed over.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::diagnose::{FileId, Sources, Span};
use crate::model::captions::clock;
use crate::model::{At, Body, Captions, Diary, Film, Job, Page};

use super::file_kind::FileKind;
use super::fold::Folded;
use super::markup;

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
        /// The captions and chapters of its films.
        films: Vec<FileId>,
    },
    /// A drawing.
    Drawn(Arc<str>),
    /// What is said in a film.
    Spoken(Captions),
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
        let captions = diary
            .captions
            .iter()
            .map(|(file, captions)| (*file, OpenText::Spoken(captions.clone())));
        jobs.chain(pages).chain(drawings).chain(captions).collect()
    }

    fn of_job(job: &Job) -> Self {
        let mut values = vec![job.title.span];
        let mut take = |value: Option<&At<String>>| values.extend(value.map(|at| at.span));
        take(job.location.as_ref());
        take(job.series.as_ref());
        values.extend(job.video.as_ref().map(|at| at.span));
        let title = job.video.as_ref().and_then(|film| film.title.as_ref());
        values.extend(title.map(|at| at.span));
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
            films: films(job.video.as_ref(), &job.body),
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
            films: films(page.video.as_ref(), &page.body),
        }
    }

    /// The captions files of its films; none but of a log or page.
    pub(super) fn films(&self) -> &[FileId] {
        match self {
            OpenText::Written { films, .. } => films,
            OpenText::Drawn(_) | OpenText::Spoken(_) => &[],
        }
    }

    /// When a place of a captions file is said: `4:12`. `None` for any other text.
    pub(super) fn when(&self, span: Span) -> Option<String> {
        match self {
            OpenText::Spoken(captions) => captions.when(span.start as usize).map(clock),
            OpenText::Written { .. } | OpenText::Drawn(_) => None,
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
                films: _,
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
            OpenText::Spoken(captions) => find_said(captions, sources.text(file), find)
                .map(|(first, last)| Span::new(file, first, last)),
            OpenText::Drawn(text) => {
                let rows = markup::read(FileKind::Svg, "", text);
                rows.iter()
                    .find_map(|row| Some(span_of(text, 0, find(row)?)))
            }
        }
    }
}

/// The captions and chapters of every film of a log or page.
fn films(video: Option<&At<Film>>, body: &Body) -> Vec<FileId> {
    let blocks = body.films.iter().filter_map(|film| film.film.as_ref());
    video
        .map(|at| &at.value)
        .into_iter()
        .chain(blocks)
        .flat_map(|film| [film.captions, film.chapters])
        .flatten()
        .collect()
}

/// Where in a captions file `find` finds something, as the bytes from its first to one past its last: read as a page
/// shows it, one line after another, whatever stands between them in the file.
fn find_said(
    captions: &Captions,
    file: &str,
    find: impl Fn(&Folded) -> Option<(usize, usize)>,
) -> Option<(usize, usize)> {
    let mut folded = Folded::with_room(file.len());
    for said in &captions.said {
        // Where an escape or a mark stands in the line, its letters cannot be told apart and the line stands for each.
        let exact = file.get(said.place.clone()) == Some(said.words.as_str());
        let step = usize::from(exact);
        folded.push_str(&said.words, |at| said.place.start + at * step);
        folded.push(' ', said.place.end);
    }
    folded.close();
    let (first, last) = find(&folded)?;
    let line = captions
        .said
        .iter()
        .find(|said| said.place.contains(&last))?;
    let exact = file.get(line.place.clone()) == Some(line.words.as_str());
    let letter = file.get(last..)?.chars().next().map_or(0, char::len_utf8);
    let end = if exact { last + letter } else { line.place.end };
    Some((first, end))
}
