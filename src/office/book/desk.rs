//! The desk: the office book's first page. What needs doing, what is new, what readers see and what they do not.

use jiff::civil::Date;
use serde::Serialize;

use crate::diagnose::{Code, Diagnostic, Level};
use crate::model::{Finding, FindingCode, Minutes, Publish, Section};

use super::list::ListedJob;
use super::{Book, done_day};
use crate::office::findings::stands;
use crate::office::words::{counted, day, grouped};

/// How many of a kind of thing to do the desk shows; the handbook's page has them all.
const SHOWN: usize = 8;
/// How many of the newest jobs the desk shows.
const NEWEST: usize = 10;

/// The desk.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Desk {
    /// `25 November 2026`.
    pub as_of: String,
    /// The answer first: `Nothing to mend`, `2 dangers, and nobody is written down as told`.
    pub headline: String,
    /// The rest of the answer, as sentences.
    pub say: String,
    /// Figures of the record.
    pub figures: Vec<Figure>,
    /// What needs doing, untold dangers first, then errors, then warnings in order of the program's list.
    pub todo: Vec<TodoGroup>,
    /// The newest jobs.
    pub newest: Vec<JobRow>,
    /// What readers see and do not.
    pub published: Published,
}

/// A job among the newest.
pub type JobRow = ListedJob;

/// A figure and where it comes from.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Figure {
    /// `Jobs`.
    pub label: &'static str,
    /// `163`.
    pub figure: String,
    /// `in 240 visits`.
    pub under: String,
    /// The page behind it.
    pub link: &'static str,
}

/// Things to do of one kind.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct TodoGroup {
    /// `danger-untold`.
    pub code: &'static str,
    /// `error`, `warning`.
    pub level: &'static str,
    /// The handbook's title.
    pub title: String,
    /// The handbook's page; empty where it has none.
    pub link: String,
    /// `3 places`.
    pub count: String,
    /// The first of them, in the order of `inspect`; all of them where a danger is untold.
    pub rows: Vec<TodoRow>,
    /// How many more there are.
    pub more: usize,
}

/// One thing to do.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct TodoRow {
    /// Its job's page; empty where the fault is in no job.
    pub link: String,
    /// Its job's ref; empty where there is none.
    pub reference: String,
    /// Its job's title, or the file.
    pub title: String,
    /// `jobs/2026/slip-shed.md, line 7`.
    pub place: String,
    /// `error`, `warning`.
    pub level: &'static str,
    /// A sentence.
    pub message: String,
    /// What to do; empty where the row above says the same.
    pub help: String,
}

/// What readers see and what they do not.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Published {
    /// Each kind of page: how many are public, held back and private.
    pub kinds: Vec<PublishedKind>,
    /// A sentence on why the rest is private.
    pub why: String,
    /// What is to come, as the words of the link to the publishing list.
    pub to_come: String,
}

/// A kind of page.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct PublishedKind {
    /// `Write-ups`.
    pub kind: &'static str,
    /// Readers see them.
    pub public: usize,
    /// Held back until a date.
    pub held: usize,
    /// Without a `publish` line.
    pub private: usize,
}

/// The same advice under each other is said at the first of them only.
fn said_once(mut rows: Vec<TodoRow>) -> Vec<TodoRow> {
    for at in (1..rows.len()).rev() {
        if rows[at].help == rows[at - 1].help {
            rows[at].help.clear();
        }
    }
    rows
}

impl Book<'_> {
    /// The desk.
    pub fn desk(&self) -> Desk {
        let todo = self.todo();
        let (errors, warnings) = crate::diagnose::counts(self.diagnostics);
        let untold = self
            .diagnostics
            .iter()
            .filter(|fault| fault.code.comes_first())
            .count();
        let (open, passed) = (self.open_findings().count(), self.dates_near().0);
        let headline = match (untold, errors, warnings) {
            (0, 0, 0) if open + passed == 0 => "Nothing needs doing".to_owned(),
            (0, 0, 0) => "The logs are in order".to_owned(),
            (0, 0, warnings) => format!("{} to look at", counted(warnings, "thing", "things")),
            (0, errors, _) => format!("{} to put right", counted(errors, "error", "errors")),
            (1, ..) => "A danger, and nobody is written down as told".to_owned(),
            (more, ..) => format!("{more} dangers, and nobody is written down as told"),
        };
        let say = if untold > 0 {
            "Tell the person responsible today, then write who, when and how in the log. \
             It is listed first until that is done."
                .to_owned()
        } else if errors > 0 {
            "The site stays as it was until the errors are put right. Each is listed below with what to write instead."
                .to_owned()
        } else if warnings > 0 {
            "None of it stops a press or a handover. Each is listed below with what to do next."
                .to_owned()
        } else {
            in_order(open, passed)
        };
        Desk {
            as_of: day(self.as_of),
            headline,
            say,
            figures: self.figures(),
            todo,
            newest: self.newest(),
            published: self.published(),
        }
    }

    fn figures(&self) -> Vec<Figure> {
        let jobs = &self.diary.jobs;
        let visits: usize = jobs.iter().map(|job| job.visits.len()).sum();
        let minutes: Minutes = jobs.iter().map(crate::model::Job::minutes_on_site).sum();
        let public = jobs
            .iter()
            .filter(|job| job.publish.is_public(self.as_of))
            .count();
        vec![
            Figure {
                label: "Jobs",
                figure: grouped(jobs.len() as u64),
                under: format!("in {}", counted(visits, "visit", "visits")),
                link: "jobs/index.html",
            },
            Figure {
                label: "On site",
                figure: format!(
                    "{} h",
                    grouped(u64::try_from(minutes.get() / 60).unwrap_or(0))
                ),
                under: "in whole hours, every visit".to_owned(),
                link: "hours.html",
            },
            Figure {
                label: "Readers see",
                figure: grouped(public as u64),
                under: "of the jobs, as write-ups".to_owned(),
                link: "index.html#h_public",
            },
            self.earned_figure(),
            Figure {
                label: "Guarantees running",
                figure: grouped(self.reports.cover.running as u64),
                under: format!(
                    "of {}",
                    counted(self.reports.cover.jobs.len(), "job done", "jobs done")
                ),
                link: "cover.html",
            },
            Figure {
                label: "Put aside, each job",
                figure: self
                    .reports
                    .cover
                    .reserve_per_job
                    .map_or_else(|| "not known".to_owned(), |each| self.money(each)),
                under: match self.reports.cover.costs.len() {
                    0 => "no free return yet".to_owned(),
                    returns => format!("from {}", counted(returns, "free return", "free returns")),
                },
                link: "cover.html#h_reserve",
            },
            self.open_findings_figure(),
            self.dates_figure(),
        ]
    }

    /// Findings that wait for something.
    fn open_findings(&self) -> impl Iterator<Item = &Finding> {
        let findings = self.diary.jobs.iter().flat_map(|job| &job.findings);
        findings.filter(|finding| stands(finding))
    }

    /// How many findings wait for something, and how many of them must not.
    fn open_findings_figure(&self) -> Figure {
        let grave = self
            .open_findings()
            .filter(|finding| finding.code != FindingCode::C3)
            .count();
        Figure {
            label: "Findings open",
            figure: grouped(self.open_findings().count() as u64),
            under: match grave {
                0 => "no C1, C2 or FI among them".to_owned(),
                grave => format!("{} C1, C2 or FI", grouped(grave as u64)),
            },
            link: "findings/index.html",
        }
    }

    /// Dates to be met soon, and those that have passed.
    fn dates_figure(&self) -> Figure {
        let (late, soon) = self.dates_near();
        Figure {
            label: "Dates within 90 days",
            figure: grouped(soon as u64),
            under: match late {
                0 => "none has passed".to_owned(),
                late => format!("and {} overdue", grouped(late as u64)),
            },
            link: "dates.html",
        }
    }

    /// What an hour on site earned in the latest year, against what it needed.
    fn earned_figure(&self) -> Figure {
        let latest = self.reports.rates.first();
        let earned = latest.and_then(|rates| rates.earned_per_hour);
        let needed = latest.and_then(|rates| rates.needed_per_hour);
        Figure {
            label: "Earned an hour",
            figure: earned.map_or_else(|| "not known".to_owned(), |rate| self.money(rate)),
            under: needed.map_or_else(
                || "what it needs to be is not known".to_owned(),
                |needed| {
                    format!(
                        "on site; needed, {} for each hour charged",
                        self.money(needed)
                    )
                },
            ),
            link: "rates.html",
        }
    }

    fn todo(&self) -> Vec<TodoGroup> {
        let mut groups: Vec<(Code, Level, Vec<&Diagnostic>)> = Vec::new();
        let mut places: std::collections::BTreeMap<(bool, Level, Code), usize> =
            std::collections::BTreeMap::new();
        for fault in self.diagnostics {
            let key = (!fault.code.comes_first(), fault.level, fault.code);
            let place = *places.entry(key).or_insert_with(|| {
                groups.push((fault.code, fault.level, Vec::new()));
                groups.len() - 1
            });
            groups[place].2.push(fault);
        }
        places
            .into_values()
            .map(|place| {
                let (code, level, faults) = &groups[place];
                let shown = if code.comes_first() {
                    faults.len()
                } else {
                    SHOWN.min(faults.len())
                };
                TodoGroup {
                    code: code.as_str(),
                    level: match level {
                        Level::Error => "error",
                        Level::Warning => "warning",
                    },
                    title: self.handbook.title(code.as_str()),
                    link: self.handbook_link(code.as_str()),
                    count: counted(faults.len(), "place", "places"),
                    rows: said_once(
                        faults[..shown]
                            .iter()
                            .map(|fault| self.todo_row(fault))
                            .collect(),
                    ),
                    more: faults.len() - shown,
                }
            })
            .collect()
    }

    fn newest(&self) -> Vec<JobRow> {
        let mut newest: Vec<(Option<Date>, usize)> = self
            .diary
            .jobs
            .iter()
            .enumerate()
            .map(|(number, job)| (done_day(job), number))
            .collect();
        // Jobs are in order of ref, so the number stands for the ref where days are the same.
        newest.sort_unstable_by(|a, b| b.cmp(a));
        newest
            .into_iter()
            .take(NEWEST)
            .map(|(_, number)| self.listed(number))
            .collect()
    }

    fn published(&self) -> Published {
        let mut kinds: Vec<PublishedKind> = Vec::new();
        let mut private_pages = 0;
        for section in Section::ALL {
            let mut kind = PublishedKind {
                kind: section.name(),
                public: 0,
                held: 0,
                private: 0,
            };
            let mut take = |publish: Publish| match publish {
                Publish::Never => kind.private += 1,
                publish if publish.is_public(self.as_of) => kind.public += 1,
                Publish::On(_) | Publish::Ready => kind.held += 1,
            };
            if section == Section::WriteUps {
                self.diary.jobs.iter().for_each(|job| take(job.publish));
            } else {
                let pages = self.diary.pages.iter();
                for page in pages.filter(|page| page.section() == Some(section)) {
                    take(page.publish);
                    private_pages += usize::from(page.publish == Publish::Never);
                }
            }
            kinds.push(kind);
        }
        let private_jobs = self
            .diary
            .jobs
            .iter()
            .filter(|job| job.publish == Publish::Never)
            .count();
        let why = stay_private(private_jobs, private_pages);
        Published {
            kinds,
            why,
            to_come: self
                .to_publish()
                .unwrap_or_else(|| "The publishing list".to_owned()),
        }
    }
}

/// Why so many logs and pages are not public.
fn stay_private(jobs: usize, pages: usize) -> String {
    let (stay, have) = match jobs + pages {
        0 => return "Nothing is left out: every log and page has a publish line.".to_owned(),
        1 => ("stays", "its file has"),
        _ => ("stay", "their files have"),
    };
    let jobs = (jobs > 0).then(|| counted(jobs, "job", "jobs"));
    let pages = (pages > 0).then(|| counted(pages, "other page", "other pages"));
    let what: Vec<String> = jobs.into_iter().chain(pages).collect();
    format!(
        "{} {stay} private because nothing says otherwise: {have} no publish line.",
        what.join(" and ")
    )
}

/// What is left to do where inspect finds nothing: findings that stand open, and dates that have passed.
fn in_order(open: usize, passed: usize) -> String {
    let (stand, have) = (
        if open == 1 { "stands" } else { "stand" },
        if passed == 1 { "has" } else { "have" },
    );
    let open = (open > 0).then(|| format!("{} {stand} open", counted(open, "finding", "findings")));
    let passed =
        (passed > 0).then(|| format!("{} {have} passed", counted(passed, "date", "dates")));
    let left: Vec<String> = open.into_iter().chain(passed).collect();
    match left.join(", and ") {
        left if left.is_empty() => {
            "Everything that inspect looks for is as it should be.".to_owned()
        }
        left => format!(
            "Everything that inspect looks for is as it should be; {left}: the figures below lead to each."
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::{in_order, stay_private};

    #[test]
    fn what_stands_open_is_said_where_the_logs_are_in_order() {
        let fine = "Everything that inspect looks for is as it should be";
        assert_eq!(in_order(0, 0), format!("{fine}."));
        let lead = "the figures below lead to each.";
        assert_eq!(
            in_order(1, 0),
            format!("{fine}; 1 finding stands open: {lead}")
        );
        assert_eq!(
            in_order(2, 1),
            format!("{fine}; 2 findings stand open, and 1 date has passed: {lead}")
        );
        assert_eq!(
            in_order(0, 3),
            format!("{fine}; 3 dates have passed: {lead}")
        );
    }

    #[test]
    fn one_file_is_spoken_of_as_one() {
        let because = "private because nothing says otherwise:";
        assert_eq!(
            [stay_private(1, 0), stay_private(0, 1)],
            [
                format!("1 job stays {because} its file has no publish line."),
                format!("1 other page stays {because} its file has no publish line."),
            ]
        );
        assert_eq!(
            stay_private(1, 2),
            format!("1 job and 2 other pages stay {because} their files have no publish line.")
        );
        assert!(stay_private(0, 0).starts_with("Nothing is left out"));
    }
}
