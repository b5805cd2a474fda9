//! The office book's publishing list: pages that a date holds back, promises of pages that are not written yet, and
//! readers' questions that wait for an answer.
//!
//! Reads what the diary says and the day; judges no text.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

use super::Book;
use super::dates_page::{away, days_between};
use crate::diagnose::Span;
use crate::diary::question;
use crate::model::{At, Page, PageKind, Private, Publish, Section, page};
use crate::office::words::{counted, day};

/// How many of each list the page shows.
const SHOWN: usize = 200;

/// The publishing list.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct PublishingPage {
    /// `25 November 2026`.
    pub as_of: String,
    /// The answer first: `2 pages are due, 1 question waits, and 3 pages are promised`.
    pub headline: String,
    /// Pages that a date holds back, soonest first.
    pub due: Listing<DuePage>,
    /// Questions without an answer, the longest wait first; those without a date last.
    pub questions: Listing<WaitingQuestion>,
    /// Promised titles that readers see no page of, in alphabetical order.
    pub promised: Listing<Promised>,
}

/// So many of a list, and how many more there are.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Listing<T> {
    /// `2 pages`.
    pub count: String,
    /// The first of them.
    pub rows: Vec<T>,
    /// How many more.
    pub more: usize,
}

/// A page that a date holds back.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct DuePage {
    /// `1 December 2026`.
    pub date: String,
    /// `in 6 days`.
    pub away: String,
    /// Title.
    pub title: String,
    /// `write-up`, `how-to`, `page about the diary`.
    pub kind: &'static str,
    /// Its page in the book; empty where it has none there.
    pub link: String,
    /// Its file: `guides/proving-dead.md`.
    pub file: String,
    /// `Part of “Testing, in order”.`; may be empty.
    pub series: String,
}

/// A question that waits.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct WaitingQuestion {
    /// `3 November 2026`; `No date` where none is written.
    pub asked: String,
    /// `waits 22 days`; empty where no date is written, or one to come.
    pub waits: String,
    /// What its page will be called.
    pub title: String,
    /// `by post`; may be empty.
    pub place: String,
    /// The question; may be empty.
    pub question: String,
    /// Its file.
    pub file: String,
}

/// A promised title.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Promised {
    /// The title.
    pub title: String,
    /// How far it is: `Not begun.`, `Written, and comes out on 1 December 2026.`
    pub state: String,
    /// Where it is promised, in order of file.
    pub places: Vec<Place>,
}

/// Where a page is promised.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Place {
    /// Title of the promising page.
    pub title: String,
    /// Its page in the book, or on the site; empty where it has neither.
    pub link: String,
    /// Whether `link` is an address on the site.
    pub on_site: bool,
    /// `jobs/2026/slip-shed.md, line 87`.
    pub place: String,
}

/// A log or page with what it promises.
struct Promising<'a> {
    title: &'a str,
    link: String,
    on_site: bool,
    coming: &'a [At<String>],
}

impl Book<'_> {
    /// The publishing list.
    pub fn publishing(&self) -> PublishingPage {
        let (due, questions, promised) = (self.due(), self.questions(), self.promised());
        PublishingPage {
            as_of: day(self.as_of),
            headline: headline(due.len(), questions.len(), promised.len())
                .unwrap_or_else(|| "Nothing is due, asked or promised".to_owned()),
            due: listing(due, "page", "pages"),
            questions: listing(questions, "question", "questions"),
            promised: listing(promised, "page", "pages"),
        }
    }

    /// The publishing list's headline; `None` where there is nothing on it.
    pub(super) fn to_publish(&self) -> Option<String> {
        let (due, promised) = (self.due().len(), self.promised().len());
        headline(due, self.diary.waiting.len(), promised)
    }

    fn due(&self) -> Vec<DuePage> {
        let mut due: Vec<(Date, DuePage)> = Vec::new();
        let mut take = |publish: Publish, row: DuePage| {
            if let Publish::On(on) = publish
                && !publish.is_public(self.as_of)
            {
                due.push((
                    on,
                    DuePage {
                        date: day(on),
                        away: away(self.as_of, on),
                        ..row
                    },
                ));
            }
        };
        let row = |title: &At<String>,
                   section: Option<Section>,
                   series: Option<&At<String>>,
                   link| DuePage {
            date: String::new(),
            away: String::new(),
            title: title.value.clone(),
            kind: section.map_or("page about the diary", Section::one),
            link,
            file: self.sources.path(title.span.file).to_owned(),
            series: series
                .map_or_else(String::new, |series| format!("Part of “{}”.", series.value)),
        };
        for (number, job) in self.diary.jobs.iter().enumerate() {
            let section = Some(Section::WriteUps);
            take(
                job.publish,
                row(
                    &job.title,
                    section,
                    job.series.as_ref(),
                    self.job_link(number),
                ),
            );
        }
        for page in &self.diary.pages {
            take(
                page.publish,
                row(
                    &page.title,
                    page.section(),
                    page.series.as_ref(),
                    String::new(),
                ),
            );
        }
        due.sort_by(|a, b| (a.0, &a.1.title).cmp(&(b.0, &b.1.title)));
        due.into_iter().map(|(_, row)| row).collect()
    }

    fn questions(&self) -> Vec<WaitingQuestion> {
        let mut waiting: Vec<(Option<Date>, WaitingQuestion)> = self
            .diary
            .waiting
            .iter()
            .map(Private::in_office)
            .map(|page| self.question(page))
            .collect();
        waiting.sort_by(|a, b| {
            let key = |date: Option<Date>| (date.is_none(), date);
            (key(a.0), &a.1.file).cmp(&(key(b.0), &b.1.file))
        });
        waiting.into_iter().map(|(_, row)| row).collect()
    }

    fn question(&self, page: &Page) -> (Option<Date>, WaitingQuestion) {
        let asked = match &page.kind {
            PageKind::Answer(answer) => answer.asked.as_ref(),
            _ => None,
        };
        let on = asked.and_then(|asked| asked.on.as_ref()).map(|at| at.value);
        let place = asked.and_then(|asked| asked.place.as_ref());
        let days = on.map(|on| days_between(on, self.as_of));
        let row = WaitingQuestion {
            asked: on.map_or_else(|| "No date".to_owned(), day),
            waits: match days {
                Some(0) => "since today".to_owned(),
                Some(1) => "waits 1 day".to_owned(),
                Some(days) if days > 1 => format!("waits {days} days"),
                _ => String::new(),
            },
            title: page.title.value.clone(),
            place: place.map(|at| at.value.clone()).unwrap_or_default(),
            question: question::of(&page.body.open).asked,
            file: page.path.clone(),
        };
        (on, row)
    }

    fn promised(&self) -> Vec<Promised> {
        let written = self.written();
        let mut promised: BTreeMap<String, Promised> = BTreeMap::new();
        for promising in self.promising() {
            for title in promising.coming {
                let key = page::folded(title);
                let state = match written.get(&key).copied() {
                    None => "Not begun.".to_owned(),
                    Some(Publish::Never) => {
                        "Written, and private: it has no publish line.".to_owned()
                    }
                    Some(Publish::On(on)) if on > self.as_of => {
                        format!("Written, and comes out on {}.", day(on))
                    }
                    // The promise is kept.
                    Some(Publish::On(_) | Publish::Ready) => continue,
                };
                let one = promised.entry(key).or_insert_with(|| Promised {
                    title: title.value.clone(),
                    state,
                    places: Vec::new(),
                });
                one.places.push(Place {
                    title: promising.title.to_owned(),
                    link: promising.link.clone(),
                    on_site: promising.on_site,
                    place: self.place(title.span),
                });
            }
        }
        promised.into_values().collect()
    }

    /// How far the page of each title is, by folded title: the furthest where two have one.
    fn written(&self) -> BTreeMap<String, Publish> {
        let of_jobs = self.diary.jobs.iter().map(|job| (&job.title, job.publish));
        let of_pages = self
            .diary
            .pages
            .iter()
            .map(|page| (&page.title, page.publish));
        let mut written = BTreeMap::new();
        for (title, publish) in of_jobs.chain(of_pages) {
            let known = written.entry(page::folded(title)).or_insert(publish);
            if publish.is_public(self.as_of) || *known == Publish::Never {
                *known = publish;
            }
        }
        written
    }

    /// Every log and page that promises another, questions that wait among them.
    fn promising(&self) -> Vec<Promising<'_>> {
        let of_jobs = self
            .diary
            .jobs
            .iter()
            .enumerate()
            .map(|(number, job)| Promising {
                title: &job.title,
                link: self.job_link(number),
                on_site: false,
                coming: &job.coming,
            });
        let of_pages = self.diary.pages.iter().map(|page| {
            let section = page
                .section()
                .filter(|_| page.publish.is_public(self.as_of));
            Promising {
                title: &page.title,
                link: section
                    .map_or_else(String::new, |section| self.site_link(section, &page.slug)),
                on_site: true,
                coming: &page.coming,
            }
        });
        let of_waiting = self.diary.waiting.iter().map(Private::in_office);
        let of_waiting = of_waiting.map(|page| Promising {
            title: &page.title,
            link: String::new(),
            on_site: false,
            coming: &page.coming,
        });
        let all = of_jobs.chain(of_pages).chain(of_waiting);
        all.filter(|one| !one.coming.is_empty()).collect()
    }

    /// `jobs/2026/slip-shed.md, line 87`
    fn place(&self, span: Span) -> String {
        let (line, _) = self.sources.line_and_column(span.file, span.start);
        format!("{}, line {line}", self.sources.path(span.file))
    }
}

/// `2 pages are due, 1 question waits, and 3 pages are promised`; `None` where all are none.
fn headline(due: usize, waiting: usize, promised: usize) -> Option<String> {
    let said = [
        (due, "page is due", "pages are due"),
        (waiting, "question waits", "questions wait"),
        (promised, "page is promised", "pages are promised"),
    ];
    let said: Vec<String> = said
        .into_iter()
        .filter(|(count, ..)| *count > 0)
        .map(|(count, one, many)| counted(count, one, many))
        .collect();
    let (last, first) = said.split_last()?;
    Some(match first.len() {
        0 => last.clone(),
        1 => format!("{} and {last}", first[0]),
        _ => format!("{}, and {last}", first.join(", ")),
    })
}

fn listing<T>(mut rows: Vec<T>, one: &str, many: &str) -> Listing<T> {
    let count = counted(rows.len(), one, many);
    let more = rows.len().saturating_sub(SHOWN);
    rows.truncate(SHOWN);
    Listing { count, rows, more }
}
