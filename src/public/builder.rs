//! One public page from a job or a page of the diary, with the catalogue of all others at hand.

use std::collections::{BTreeSet, HashMap};

use jiff::civil::Date;

use crate::diary::question;
use crate::model::fitted::Fitted;
use crate::model::page::folded;
use crate::model::{CameBy, Film, Job, Page, PageKind, Review};
use crate::office::hours::Hours;
use crate::trade::held;

use super::catalogue::{ABOUT, Catalogue};
use super::listed::{Listed, Made};
use super::prose::Files;
use super::view::{About, AnswerPage, BodyView, CriterionLine, Entry, HowTo, ReviewPage, WriteUp};
use super::{Gate, docket, evidence, lists, prose, timing};

/// Answers about each page, newest first, by the page's address: the way back from a page to what readers asked.
fn answers_about<'c>(catalogue: &'c Catalogue<'_>) -> HashMap<&'c str, Vec<Entry>> {
    let mut about: HashMap<&str, Vec<Entry>> = HashMap::new();
    for listed in &catalogue.listed {
        let Made::Page(page) = listed.made else {
            continue;
        };
        let PageKind::Answer(answer) = &page.kind else {
            continue;
        };
        let pages: BTreeSet<usize> = answer
            .about
            .iter()
            .filter_map(|link| catalogue.leads_to(link))
            .collect();
        for number in pages {
            let link = catalogue.listed[number].link.as_str();
            about
                .entry(link)
                .or_default()
                .push(lists::plain_entry(listed));
        }
    }
    about
}

/// A page of one kind or another.
pub(super) enum Built {
    WriteUp(Box<WriteUp>),
    HowTo(Box<HowTo>),
    Review(Box<ReviewPage>),
    Answer(Box<AnswerPage>),
}

/// What every page is built with.
pub(super) struct Builder<'c, 'a> {
    catalogue: &'c Catalogue<'a>,
    hours: &'c Hours,
    as_of: Date,
    gate: &'c Gate,
    /// Answers about a page, by its address.
    answers: HashMap<&'c str, Vec<Entry>>,
}

impl<'c, 'a> Builder<'c, 'a> {
    pub(super) fn new(
        catalogue: &'c Catalogue<'a>,
        hours: &'c Hours,
        as_of: Date,
        gate: &'c Gate,
    ) -> Self {
        Builder {
            catalogue,
            hours,
            as_of,
            gate,
            answers: answers_about(catalogue),
        }
    }

    /// The page of what is listed, and the files that go with it.
    pub(super) fn page(&self, listed: &Listed<'a>) -> (Built, Files) {
        match listed.made {
            Made::Job(job) => {
                let (write_up, files) = self.write_up(listed, job);
                (Built::WriteUp(Box::new(write_up)), files)
            }
            Made::Page(page) => {
                let (body, files) = self.body(listed.made, &listed.link);
                let built = match &page.kind {
                    PageKind::Review(review) => {
                        Built::Review(Box::new(self.review(listed, review, body)))
                    }
                    PageKind::Answer(_) => Built::Answer(Box::new(self.answer(listed, page, body))),
                    PageKind::HowTo | PageKind::About => {
                        Built::HowTo(Box::new(self.how_to(listed, page, body)))
                    }
                };
                (built, files)
            }
        }
    }

    fn write_up(&self, listed: &Listed<'a>, job: &Job) -> (WriteUp, Files) {
        let diary = self.catalogue.diary;
        let (body, files) = self.body(listed.made, &listed.link);
        let readings = docket::readings(diary, job, self.gate);
        let write_up = WriteUp {
            head: listed.head(),
            docket: docket::docket(diary, job, &listed.link),
            body,
            cautions: prose::cautions(&job.body.open),
            materials: docket::materials(job, |item| self.catalogue.review_of(item)),
            figures: held::books(readings.iter().flat_map(|line| &line.values)),
            readings,
            usual: timing::usual(diary, job, self.hours),
            series: self.catalogue.series_of(listed),
            readers_ask: self.readers_ask(listed),
            subjects: self.catalogue.subject_links(listed),
            like: self.like(listed),
            coming: self.catalogue.coming(listed),
        };
        (write_up, files)
    }

    fn how_to(&self, listed: &Listed<'a>, page: &Page, body: BodyView) -> HowTo {
        HowTo {
            head: listed.head(),
            body,
            cautions: prose::cautions(&page.body.open),
            series: self.catalogue.series_of(listed),
            readers_ask: self.readers_ask(listed),
            subjects: self.catalogue.subject_links(listed),
            like: self.like(listed),
            coming: self.catalogue.coming(listed),
        }
    }

    fn review(&self, listed: &Listed<'a>, review: &Review, body: BodyView) -> ReviewPage {
        let verdict = match review.kept {
            Some(true) => "Kept",
            Some(false) => "Given up",
            None => "",
        };
        let came_by = match review.came_by.as_ref().map(|at| at.value) {
            // A thing that was lent and kept did not go back: the review says how that came.
            Some(CameBy::Lent) if review.kept == Some(true) => "Lent to me at first.",
            Some(CameBy::Bought) => "Bought, at the price that anyone in the trade pays.",
            Some(CameBy::Given) => "Given to me. I paid nothing for it.",
            Some(CameBy::Lent) => "Lent to me, and it goes back.",
            None => "",
        };
        let item = review.material.as_ref().map(|at| at.value.as_str());
        let fewest_jobs = self.catalogue.diary.settings.fewest_jobs;
        let record = item.and_then(|item| self.catalogue.diary.fitted(item, self.as_of));
        let (fitted_on, unwritten) = item
            .zip(record.as_ref())
            .map_or_else(Default::default, |(item, record)| {
                self.fitted_on(item, record)
            });
        ReviewPage {
            head: listed.head(),
            month: listed
                .month
                .map(|month| month.to_string())
                .unwrap_or_default(),
            material: review
                .material
                .as_ref()
                .map(|at| at.value.clone())
                .unwrap_or_default(),
            verdict: verdict.to_owned(),
            came_by: came_by.to_owned(),
            criteria: review
                .criteria
                .iter()
                .map(|criterion| CriterionLine {
                    name: criterion.name.clone(),
                    verdict: criterion.verdict.clone(),
                })
                .collect(),
            fitted: record.map(|record| evidence::shown(&record, fewest_jobs)),
            fitted_on,
            unwritten,
            body,
            series: self.catalogue.series_of(listed),
            readers_ask: self.readers_ask(listed),
            subjects: self.catalogue.subject_links(listed),
            like: self.like(listed),
            coming: self.catalogue.coming(listed),
        }
    }

    /// Write-ups of the jobs that a record counts, newest first, and how many more there are.
    fn fitted_on(&self, item: &str, record: &Fitted) -> (Vec<Entry>, usize) {
        let item = folded(item);
        let entry = |listed: &Listed<'a>| {
            let Made::Job(job) = listed.made else {
                return None;
            };
            let count: f64 = job
                .materials
                .iter()
                .filter(|line| folded(&line.item) == item)
                .filter(|line| line.counted_in() == record.unit.as_deref())
                .map(|line| line.count)
                .sum();
            (count > 0.0).then(|| {
                let mut entry = listed.entry(self.catalogue.diary);
                let count = evidence::counted_in(count, record.unit.as_deref());
                entry.line = format!("{}, {count} fitted", entry.line);
                entry
            })
        };
        let entries: Vec<Entry> = self.catalogue.listed.iter().filter_map(entry).collect();
        let unwritten = record.jobs.saturating_sub(entries.len());
        (entries, unwritten)
    }

    /// Pages like it, but for the answers that stand beside it already.
    fn like(&self, listed: &Listed<'a>) -> Vec<Entry> {
        let asked = self.answers.get(listed.link.as_str());
        let mut like = self.catalogue.like(listed);
        like.retain(|entry| {
            let mut beside = asked.into_iter().flatten();
            beside.all(|answer| answer.link != entry.link)
        });
        like
    }

    fn readers_ask(&self, listed: &Listed<'a>) -> Vec<Entry> {
        let answers = self.answers.get(listed.link.as_str());
        answers.cloned().unwrap_or_default()
    }

    fn answer(&self, listed: &Listed<'a>, page: &Page, body: BodyView) -> AnswerPage {
        let PageKind::Answer(answer) = &page.kind else {
            unreachable!("called for answers only")
        };
        let place = answer.asked.as_ref().and_then(|asked| asked.place.as_ref());
        let about: Vec<Entry> = answer
            .about
            .iter()
            .filter_map(|link| self.catalogue.leads_to(link))
            .map(|number| self.catalogue.listed[number].entry(self.catalogue.diary))
            .collect();
        let mut like = self.like(listed);
        like.retain(|entry| about.iter().all(|other| other.link != entry.link));
        AnswerPage {
            head: listed.head(),
            month: listed
                .month
                .map(|month| month.to_string())
                .unwrap_or_default(),
            asked: place.map(|at| at.value.clone()).unwrap_or_default(),
            question: question::of(&page.body.open).asked,
            body,
            about,
            series: self.catalogue.series_of(listed),
            readers_ask: self.readers_ask(listed),
            subjects: self.catalogue.subject_links(listed),
            like,
            coming: self.catalogue.coming(listed),
        }
    }

    /// The page about the diary: always there, with nothing in it where nobody wrote it.
    pub(super) fn about(&self, files: &mut Files) -> About {
        let Some(page) = self.catalogue.about else {
            return About {
                head: lists::head(ABOUT, "About this diary", String::new(), ""),
                body: BodyView::default(),
            };
        };
        let (body, with_it) = self.body(Made::Page(page), ABOUT);
        files.extend(with_it);
        About {
            head: lists::head(
                ABOUT,
                &page.title.value,
                prose::summary(&page.body.open),
                "",
            ),
            body,
        }
    }

    /// A body with what its links and pictures lead to. A link that leads to nothing public is left out; the
    /// renderer prints its words plain.
    fn body(&self, made: Made<'_>, own: &str) -> (BodyView, Files) {
        let body = made.body();
        let (pictures, files) = prose::pictures(body, own, self.catalogue.diary);
        let diary = self.catalogue.diary;
        let shown = |film: &Film| film.shown(&diary.captions, &diary.settings.trader);
        let links = body
            .links
            .iter()
            .filter(|link| !link.picture && !link.private);
        let view = BodyView {
            markdown: prose::markdown(body),
            links: links
                .filter_map(|link| Some((link.written.clone(), self.catalogue.address(link, own)?)))
                .collect(),
            pictures,
            film: made.film().map(shown),
            films: body
                .films
                .iter()
                .filter_map(|film| Some((film.written.clone(), shown(film.film.as_ref()?))))
                .collect(),
        };
        (view, files)
    }
}
