//! One job's page in the office book: everything the log holds, and everything said of it.
//!
//! Money is in [`super::money`], visits in [`super::visits`], what was found and measured in
//! [`super::seen`]. Judges no reading: the trade's tables do.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::Serialize;

use crate::diagnose::{Diagnostic, Level};
use crate::diary::markdown;
use crate::model::{Film, Job, Minutes, Publish, Section, ShownFilm, Tenure, Visit, VisitKind};

use super::labelled::Labelled;
use super::money::{JobMoney, job_money};
use super::seen::{FindingRow, FoundCount, ReadingRow, figures_of, findings, found, readings};
use super::visits::{VisitRow, VisitSums, add, dates, notes, report, visit_row, visit_sums};
use super::{Book, job_link};
use crate::office::reckon::guarantee;
use crate::office::words::{capital, counted, day, number, stopped, task_count};
use crate::trade::Figures;

/// A job's page. Links are addresses below the book's root.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct JobPage {
    /// Its own address: `jobs/2026-031.html`.
    pub link: String,
    /// Its ref: the docket's serial.
    pub reference: String,
    /// Title.
    pub title: String,
    /// Who and where: `Tarrow Slip, Shed 3, Tarrow Slip`; may be empty.
    pub at: String,
    /// Where the log is: `jobs/2026/slip-shed.md`.
    pub file: String,
    /// `Boat shed or yard`; empty where none is written.
    pub location: String,
    /// `let`, `lived in by its owner`; empty where none is written.
    pub tenure: String,
    /// `2 to 18 March 2026` in full dates; one date where there is one.
    pub dates: String,
    /// `10 h`.
    pub on_site: String,
    /// `3 visits`.
    pub attended: String,
    /// Codes with their counts, gravest first.
    pub found: Vec<FoundCount>,
    /// Whether readers see it, and what does and does not stand in the way.
    pub standing: Standing,
    /// The client as `clients.yaml` has it: label and value.
    pub client: Vec<Labelled>,
    /// Visits in order of time.
    pub visits: Vec<VisitRow>,
    /// Sums under the visits' columns.
    pub visit_sums: VisitSums,
    /// Notes of visits: the visit's date, and the note.
    pub notes: Vec<Labelled>,
    /// Tasks over all visits, most minutes first.
    pub tasks: Vec<TaskRow>,
    /// Time that no task accounts for; empty where there is none.
    pub other: String,
    /// Findings, gravest first.
    pub findings: Vec<FindingRow>,
    /// Readings in the order of the log.
    pub readings: Vec<ReadingRow>,
    /// The books that their figures stand in; empty where none was held against any.
    pub figures: String,
    /// Materials, quote, charge and extras.
    pub money: JobMoney,
    /// The guarantee; `None` for a job of free returns alone, or without years.
    pub guarantee: Option<Guarantee>,
    /// A rented home's report: label and day.
    pub report: Vec<Labelled>,
    /// Jobs this one belongs with.
    pub with: Vec<With>,
    /// Subjects and series, as words.
    pub filed_under: String,
    /// The private blocks' texts, in order.
    pub private: Vec<String>,
    /// What `inspect` says of the file, in its order.
    pub faults: Vec<FaultRow>,
    /// The write-up as readers would see it, while they do not; once they do, its pictures and films.
    pub body: Option<Text>,
}

/// Whether readers see a job.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Standing {
    /// `public`, `held`, `private`.
    pub state: &'static str,
    /// One word or two for a list: `public`, `from 1 December 2026`, `private`.
    pub short: String,
    /// A sentence.
    pub words: String,
    /// Its public page; empty where there is none.
    pub link: String,
}

/// A task over all visits.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct TaskRow {
    /// As `diary.yaml` names it.
    pub name: String,
    /// Its page in the book: `hours/shore-point.html`; empty where the hours report does not have it.
    pub link: String,
    /// `2`, `24 m`; empty where none is written.
    pub count: String,
    /// `3 h 10`; empty where none is written.
    pub time: String,
    /// Minutes.
    pub minutes: i64,
    /// Minutes each, to a whole one; empty where there is no count to divide by.
    pub each: String,
}

/// A job's guarantee.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Guarantee {
    /// `18 March 2026`.
    pub from: String,
    /// `17 March 2032`.
    pub until: String,
    /// `6 years`.
    pub years: String,
    /// Whether it runs: `running`, `ended`, `not begun`.
    pub state: &'static str,
    /// What it leaves out; empty where nothing is written.
    pub not_in_it: String,
    /// Days of free returns.
    pub returns: Vec<String>,
}

/// A job that belongs with this one.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct With {
    /// `Led to`, `Followed from`, `Priced as`.
    pub how: &'static str,
    /// Its page; empty where there is none.
    pub link: String,
    /// Its ref.
    pub reference: String,
    /// Its title.
    pub title: String,
}

/// Something that `inspect` says.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct FaultRow {
    /// `error`, `warning`.
    pub level: &'static str,
    /// `danger-untold`.
    pub code: &'static str,
    /// The handbook's page; empty where it has none.
    pub link: String,
    /// `line 7`.
    pub place: String,
    /// A sentence.
    pub message: String,
    /// What to do.
    pub help: String,
}

/// A body for the renderer of texts, without a private word in it.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Text {
    /// Markdown.
    pub markdown: Arc<str>,
    /// Each link as written to where it leads: an address below the book's root, or of the site.
    pub links: BTreeMap<String, String>,
    /// Each picture as written to its drawing's address below the book's root.
    pub pictures: BTreeMap<String, String>,
    /// The film that goes with it.
    pub film: Option<ShownFilm>,
    /// The films of its blocks, by what stands in the block.
    pub films: BTreeMap<String, ShownFilm>,
}

impl Book<'_> {
    /// A job's page, by its number in order of ref.
    pub fn job(&self, number: usize) -> JobPage {
        let job = &self.diary.jobs[number];
        let standing = self.standing(job);
        let figures = Figures::with_own(&self.diary.settings.figures);
        let measured = readings(job, &figures);
        let body = self.text(job, standing.state == "public");
        JobPage {
            link: job_link(&job.reference.in_office().value),
            reference: job.reference.in_office().value.clone(),
            title: job.title.value.clone(),
            at: self.at(job),
            file: job.path.in_office().clone(),
            location: job
                .location
                .as_ref()
                .map_or(String::new(), |key| self.location_name(&key.value)),
            tenure: match job.tenure {
                Some(Tenure::Rented) => "Let".to_owned(),
                Some(Tenure::Owned) => "Lived in by its owner".to_owned(),
                None => String::new(),
            },
            dates: dates(job),
            on_site: job.minutes_on_site().to_string(),
            attended: counted(job.visits.len(), "visit", "visits"),
            found: found(job),
            standing,
            client: self.client(job),
            visits: job.visits.iter().map(visit_row).collect(),
            visit_sums: visit_sums(job),
            notes: notes(job),
            tasks: self.tasks(job),
            other: match job.visits.iter().map(Visit::other_minutes).sum::<Minutes>() {
                Minutes::NOUGHT => String::new(),
                other => other.to_string(),
            },
            findings: findings(job),
            figures: figures_of(&measured),
            readings: measured,
            money: job_money(job, self.currency(), self.as_of),
            guarantee: self.guarantee(job),
            report: report(job),
            with: self.with(number, job),
            filed_under: filed_under(job),
            private: job
                .body
                .private
                .iter()
                .map(|block| block.text.in_office().trim_end().to_owned())
                .collect(),
            faults: self.faults(job),
            body: Some(body).filter(|text| text.film.is_some() || !text.markdown.trim().is_empty()),
        }
    }

    /// Whether readers see a job, in words.
    pub(super) fn standing(&self, job: &Job) -> Standing {
        let link = self.site_link(Section::WriteUps, &job.slug);
        match job.publish {
            Publish::Never => Standing {
                state: "private",
                short: "private".to_owned(),
                words: "Readers do not see this job: its log has no publish line.".to_owned(),
                link: String::new(),
            },
            Publish::Ready => Standing {
                state: "public",
                short: "public".to_owned(),
                words: "Readers see the write-up of this job.".to_owned(),
                link,
            },
            Publish::On(date) if job.publish.is_public(self.as_of) => Standing {
                state: "public",
                short: "public".to_owned(),
                words: format!(
                    "Readers have seen the write-up of this job since {}.",
                    day(date)
                ),
                link,
            },
            Publish::On(date) => Standing {
                state: "held",
                short: format!("from {}", day(date)),
                words: format!(
                    "Readers do not see this job yet: it is held back until {}.",
                    day(date)
                ),
                link: String::new(),
            },
        }
    }

    fn tasks(&self, job: &Job) -> Vec<TaskRow> {
        let mut sums: BTreeMap<&str, (Option<f64>, Option<Minutes>)> = BTreeMap::new();
        for task in job.visits.iter().flat_map(|visit| &visit.tasks) {
            let (count, time) = sums.entry(&task.key.value).or_default();
            *count = add(*count, task.count);
            *time = match (*time, task.time) {
                (Some(so_far), Some(more)) => Some(so_far + more),
                (one, other) => one.or(other),
            };
        }
        let mut rows: Vec<TaskRow> = sums
            .into_iter()
            .map(|(key, (count, time))| {
                let known = self.diary.settings.tasks.get(key);
                let unit = known.map(|known| &known.unit);
                let divisor =
                    count.or_else(|| unit.is_some_and(|unit| unit.counts_as_one()).then_some(1.0));
                TaskRow {
                    name: known.map_or_else(|| key.to_owned(), |known| known.name.clone()),
                    link: self.task_link(key),
                    count: count.map_or(String::new(), |count| task_count(count, unit)),
                    time: time.map_or(String::new(), |time| time.to_string()),
                    minutes: time.map_or(0, Minutes::get),
                    each: match (time, divisor) {
                        (Some(time), Some(count)) if count > 0.0 => {
                            number((time.as_f64() / count).round())
                        }
                        _ => String::new(),
                    },
                }
            })
            .collect();
        rows.sort_by(|a, b| b.minutes.cmp(&a.minutes).then_with(|| a.name.cmp(&b.name)));
        rows
    }

    /// A task type's page; empty where the hours report does not have it.
    pub(super) fn task_link(&self, key: &str) -> String {
        self.index
            .tasks
            .get(key)
            .map_or(String::new(), |stem| format!("hours/{stem}.html"))
    }

    fn guarantee(&self, job: &Job) -> Option<Guarantee> {
        let (from, until, years) = guarantee(job, &self.diary.settings)?;
        let own = job
            .guarantee_not_in_it
            .as_ref()
            .map(|words| words.value.as_str());
        Some(Guarantee {
            from: day(from),
            until: day(until),
            years: counted(years as usize, "year", "years"),
            state: if self.as_of > until {
                "ended"
            } else if self.as_of < from {
                "not begun"
            } else {
                "running"
            },
            not_in_it: own
                .or(self.diary.settings.guarantee_not_in_it.as_deref())
                .map_or(String::new(), stopped),
            returns: job
                .visits
                .iter()
                .filter(|visit| visit.kind == VisitKind::Guarantee)
                .map(|visit| {
                    let on = visit.date.in_office().value;
                    let within = (from..=until).contains(&on);
                    format!("{}{}", day(on), if within { "" } else { ", outside it" })
                })
                .collect(),
        })
    }

    fn with(&self, number: usize, job: &Job) -> Vec<With> {
        let one = |how, number: usize| {
            let other = &self.diary.jobs[number];
            With {
                how,
                link: self.job_link(number),
                reference: other.reference.in_office().value.clone(),
                title: other.title.value.clone(),
            }
        };
        let mut with = Vec::new();
        if let Some(led_to) = &job.led_to {
            with.extend(
                self.index
                    .by_ref
                    .get(led_to.in_office().value.as_str())
                    .map(|&later| one("Led to", later)),
            );
        }
        let earlier = self
            .index
            .led_here
            .get(&number)
            .map_or(&[][..], Vec::as_slice);
        with.extend(earlier.iter().map(|&earlier| one("Came from", earlier)));
        if let Some(priced) = &job.priced {
            with.push(With {
                how: "Priced as",
                link: String::new(),
                reference: priced.in_office().value.clone(),
                title: String::new(),
            });
        }
        with
    }

    fn faults(&self, job: &Job) -> Vec<FaultRow> {
        let numbers = self
            .index
            .faults
            .get(&job.file)
            .map_or(&[][..], Vec::as_slice);
        numbers
            .iter()
            .map(|&number| self.fault_row(&self.diagnostics[number]))
            .collect()
    }

    /// A diagnostic as a row.
    pub(super) fn fault_row(&self, fault: &Diagnostic) -> FaultRow {
        let (line, _) = self
            .sources
            .line_and_column(fault.span.file, fault.span.start);
        FaultRow {
            level: match fault.level {
                Level::Error => "error",
                Level::Warning => "warning",
            },
            code: fault.code.as_str(),
            link: self.handbook_link(fault.code.as_str()),
            place: format!("line {line}"),
            message: stopped(&capital(&fault.message)),
            help: fault.help.clone(),
        }
    }

    /// A body as readers would have it: without private blocks, links leading into the book where it has the page. Of a
    /// job that they have on the site its pictures and films alone.
    fn text(&self, job: &Job, public: bool) -> Text {
        let body = &job.body;
        let mut links = BTreeMap::new();
        let mut pictures = BTreeMap::new();
        for link in body.links.iter().filter(|link| !link.private) {
            if link.picture {
                let path = link.path.as_str();
                let photo = self.index.photos.get(path);
                if let Some(address) = self.index.drawings.get(path).or(photo) {
                    pictures.insert(link.written.clone(), address.clone());
                }
            } else if let Some(target) = self.target(&link.path) {
                let anchor = link
                    .anchor
                    .as_ref()
                    .map_or(String::new(), |anchor| format!("#{anchor}"));
                links.insert(link.written.clone(), format!("{target}{anchor}"));
            }
        }
        let shown = |film: &Film| film.shown(&self.diary.captions, &self.diary.settings.trader);
        Text {
            markdown: if public {
                markdown::pictures(&body.open).into()
            } else {
                body.open.clone()
            },
            links,
            pictures,
            film: job.video.as_ref().map(|film| shown(&film.value)),
            films: body
                .films
                .iter()
                .filter_map(|film| Some((film.written.clone(), shown(film.film.as_ref()?))))
                .collect(),
        }
    }

    /// Where a path of the diary leads: a job's page in the book, a public page on the site; `None` for the page
    /// itself and for a page that readers do not see.
    fn target(&self, path: &str) -> Option<String> {
        if let Some(&job) = self.index.by_path.get(path) {
            return Some(self.job_link(job));
        }
        let page = &self.diary.pages[*self.index.pages.get(path)?];
        let public = page.publish.is_public(self.as_of);
        let link = page
            .section()
            .filter(|_| public)
            .map(|section| self.site_link(section, &page.slug));
        link.filter(|link| !link.is_empty())
    }
}

fn filed_under(job: &Job) -> String {
    let mut words: Vec<String> = job
        .subjects
        .iter()
        .map(|subject| subject.value.clone())
        .collect();
    words.extend(
        job.series
            .as_ref()
            .map(|series| format!("the series {}", series.value)),
    );
    words.join(", ")
}
