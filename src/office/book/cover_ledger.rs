//! The cover report as a ledger with the answer first: guarantees by the year of finishing, how often work is gone
//! back to, what that costs, and what to put aside. Its charts' places are in [`super::cover_charts`]; the figures are
//! [`crate::office::cover`]'s.

use serde::Serialize;

use crate::model::{Minutes, Money};
use crate::office::cover::{Cover, a_year, at_ages, past_the_record, years};
use crate::office::words::{counted, figure, grouped, iso_day, lower_first};

use super::Book;
use super::cover_charts::{CurveStep, Lanes, first_return_steps, lanes, returns_steps};
use super::cover_lists::{YearCount, short_sums};
use super::figure::FigureRow;
use super::hours_letter::ENOUGH;
use super::rates_words::Step;

/// Free returns named in the letter, the newest; the pages by year have them all.
const NEWEST: usize = 20;
/// Guarantees named among those that end next.
const NEXT: usize = 8;
/// Without so many jobs the curves say too little to be drawn.
const FEWEST_FOR_CURVE: usize = crate::numbers::mean_cumulative::LEAST_IN_SIGHT;
/// Days in three months.
const THREE_MONTHS: i32 = 91;

/// The ledger.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct CoverLedger {
    /// `25 November 2026`.
    pub as_of: String,
    /// The answer: `Six years’ guarantee costs £4.30 a job`.
    pub headline: String,
    /// The rest of the answer.
    pub say: String,
    /// Running, one free return, what should be in the pot; empty without a job.
    pub three: Vec<CoverFigure>,
    /// What the lanes say.
    pub lanes_say: String,
    /// The lanes, with their table.
    pub lanes: Lanes,
    /// What the curve of first returns says; empty where it is not drawn.
    pub first_say: String,
    /// Its steps.
    pub first: Vec<CurveStep>,
    /// Where the record ends, in years of a job's age.
    pub seen: f64,
    /// Its figures in a sentence.
    pub first_said: String,
    /// What the returns a job say.
    pub returns_say: String,
    /// Their steps.
    pub returns: Vec<CurveStep>,
    /// The whole guarantee, in years.
    pub full: f64,
    /// Returns of a job over the whole guarantee; `None` where they are not carried on.
    pub by_full: Option<f64>,
    /// Their figures in a sentence.
    pub returns_said: String,
    /// Both curves at a few ages.
    pub ages: Vec<AgeRow>,
    /// Rented against owner-occupied.
    pub tenure: Vec<TenureRow>,
    /// The reserve as a sum; empty without a return.
    pub sum: Vec<SumLine>,
    /// What the sum says.
    pub sum_say: String,
    /// The newest free returns.
    pub newest: Vec<FigureRow>,
    /// The sums of all of them, where all are shown.
    pub newest_foot: Vec<String>,
    /// What they say.
    pub newest_say: String,
    /// Free returns by year.
    pub return_years: Vec<YearCount>,
    /// Guarantees that end next.
    pub next: Vec<FigureRow>,
    /// Guarantees by the year they end.
    pub guarantee_years: Vec<YearCount>,
    /// Logs of free returns that do not say for which job: ref and page.
    pub not_placed: Vec<(String, String)>,
    /// Heads what to do next.
    pub steps_heading: &'static str,
    /// What to do next.
    pub steps: Vec<Step>,
    /// How it was reckoned.
    pub how: String,
    /// Pages of the handbook on its figures: address and name.
    pub handbook: Vec<(String, String)>,
}

/// A figure at the head.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct CoverFigure {
    /// `Running`.
    pub label: &'static str,
    /// `168`.
    pub figure: String,
    /// `of 168 jobs; the first ends on 3 December 2029`.
    pub under: String,
    /// A place of the page with what is behind it.
    pub link: &'static str,
}

/// Both curves at an age.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct AgeRow {
    /// `1 year`.
    pub age: String,
    /// Jobs in sight; empty past the record.
    pub in_sight: String,
    /// `92.6 %`; empty past the record.
    pub share: String,
    /// `87 to 96 %`; empty where it is undefined.
    pub range: String,
    /// `0.082`.
    pub mean: String,
    /// `the record`, `carried on`.
    pub from: &'static str,
}

/// Returns to rented or owned homes.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct TenureRow {
    /// `Rented homes`.
    pub name: &'static str,
    /// Jobs.
    pub jobs: usize,
    /// Whether they are too few to lean on.
    pub few: bool,
    /// Returns.
    pub returns: usize,
    /// Years of those jobs together: `42`.
    pub job_years: String,
    /// `one in 14 job years (between …)`.
    pub rate: String,
}

/// A line of the sum.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct SumLine {
    /// What.
    pub what: String,
    /// Its amount, or what it is multiplied by.
    pub amount: String,
    /// A line beneath it; empty where there is none.
    pub why: String,
    /// `part` for a subtotal, `total` for the answer; else empty.
    pub kind: &'static str,
}

impl Book<'_> {
    /// The ledger.
    pub fn cover_ledger(&self) -> CoverLedger {
        let cover = self.reports.cover;
        let drawn = cover.jobs.len() >= FEWEST_FOR_CURVE && cover.seen_days.unwrap_or(0.0) > 0.0;
        let curve = |steps: Vec<CurveStep>| if drawn { steps } else { Vec::new() };
        let (steps_heading, steps) = self.cover_steps();
        let earlier = cover.costs.len().saturating_sub(NEWEST);
        let in_years = |days: f64| days / crate::office::hours::DAYS_OF_YEAR;
        let running = cover.jobs.iter().filter(|job| job.state == "running");
        CoverLedger {
            as_of: crate::office::words::day(self.as_of),
            headline: self.cover_headline(),
            say: self.cover_say(),
            three: self.cover_three(),
            lanes_say: lanes_say(cover),
            lanes: lanes(self),
            first_say: if drawn {
                first_say(cover)
            } else {
                too_few(cover)
            },
            first: curve(first_return_steps(cover)),
            seen: in_years(cover.seen_days.unwrap_or(0.0)),
            first_said: ages_said(cover, |at| {
                format!(
                    "after {} {:.0} in a hundred not yet",
                    at.name,
                    at.share * 100.0
                )
            }),
            returns_say: if drawn {
                returns_say(cover)
            } else {
                String::new()
            },
            returns: curve(returns_steps(cover)),
            full: f64::from(cover.guarantee_years),
            by_full: cover.expected_per_job,
            returns_said: ages_said(cover, |at| {
                format!("{:.3} a job after {}", at.mean, at.name)
            }),
            ages: age_rows(cover),
            tenure: tenure_rows(cover),
            sum: self.sum(),
            sum_say: self.sum_say(),
            newest: cover.costs[earlier..]
                .iter()
                .rev()
                .map(|one| self.return_in_short(one))
                .collect(),
            newest_foot: if earlier == 0 {
                short_sums(&cover.costs)
            } else {
                Vec::new()
            },
            newest_say: newest_say(cover, earlier),
            return_years: self.return_years(),
            next: running
                .take(NEXT)
                .map(|job| self.guarantee_in_short(job))
                .collect(),
            guarantee_years: self.guarantee_years(),
            not_placed: cover
                .not_placed
                .iter()
                .map(|reference| (reference.clone(), super::job_link(reference)))
                .collect(),
            steps_heading,
            steps,
            how: how(cover),
            handbook: self.figures_explained(&[
                "first-return",
                "returns-a-job",
                "cost-of-a-return",
                "reserve",
            ]),
        }
    }

    /// `Six years’`.
    fn guarantee_words(&self) -> String {
        match self.reports.cover.guarantee_years {
            1 => "one year’s".to_owned(),
            years @ 2..=10 => format!(
                "{} years’",
                [
                    "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"
                ][years as usize - 2]
            ),
            years => format!("{years} years’"),
        }
    }

    fn cover_headline(&self) -> String {
        let cover = self.reports.cover;
        if cover.jobs.is_empty() {
            return "Nothing is under guarantee yet".to_owned();
        }
        match cover.reserve_per_job {
            Some(_) if cover.jobs.len() < FEWEST_FOR_CURVE => {
                "Too few jobs yet to say what the guarantee costs".to_owned()
            }
            Some(each) => crate::office::words::capital(&format!(
                "{} guarantee costs {} a job",
                self.guarantee_words(),
                self.money(each)
            )),
            None => format!(
                "{} and no free return so far",
                counted(cover.running, "guarantee running", "guarantees running")
            ),
        }
    }

    fn cover_say(&self) -> String {
        let cover = self.reports.cover;
        if cover.jobs.is_empty() {
            return if cover.guarantee_years == 0 {
                "diary.yaml gives no guarantee, and no log gives one of its own.".to_owned()
            } else {
                "No job is done yet. A guarantee runs from the day of a job’s last visit."
                    .to_owned()
            };
        }
        let ended = cover.jobs.len() - cover.running;
        let back = cover
            .jobs
            .iter()
            .filter(|job| !job.returns.is_empty())
            .count();
        let mut said = if ended == 0 {
            format!(
                "Every job in the record is still under its guarantee: {} of them.",
                grouped(cover.jobs.len() as u64)
            )
        } else {
            format!(
                "{} running, {} ended.",
                counted(cover.running, "guarantee", "guarantees"),
                grouped(ended as u64)
            )
        };
        said += &match back {
            0 => " You have gone back free to none.".to_owned(),
            back => format!(
                " You have gone back free to {}, {} in all.",
                counted(back, "job", "jobs"),
                counted(cover.returns, "time", "times")
            ),
        };
        if let (Some(each), Some(all)) = (cover.reserve_per_job, cover.reserve_running) {
            said += &format!(
                " Put {} aside from each new job, and hold {} for those that run.",
                self.money(each),
                self.money(all)
            );
        }
        if !cover.costs.is_empty() && cover.costs.len() < ENOUGH {
            said += &format!(
                " All of it rests on {}, too few to lean on.",
                counted(cover.costs.len(), "return", "returns")
            );
        }
        let name = self.book_name();
        if name.is_empty() {
            said
        } else {
            format!("{name}, {}", lower_first(&said))
        }
    }

    /// The trader's first name; empty where the diary has none.
    fn book_name(&self) -> &str {
        let name = &self.diary.settings.trader.name;
        name.split(' ').next().unwrap_or_default()
    }

    fn cover_three(&self) -> Vec<CoverFigure> {
        let cover = self.reports.cover;
        if cover.jobs.is_empty() {
            return Vec::new();
        }
        let first = cover.jobs.iter().find(|job| job.state == "running");
        let money = |money: Option<Money>| {
            money.map_or_else(|| "not known".to_owned(), |money| self.money(money))
        };
        let few = if cover.costs.len() < ENOUGH {
            ", too few to lean on"
        } else {
            ""
        };
        vec![
            CoverFigure {
                label: "Running",
                figure: grouped(cover.running as u64),
                under: format!(
                    "of {}{}",
                    counted(cover.jobs.len(), "job", "jobs"),
                    first.map_or_else(String::new, |job| format!(
                        "; the first ends on {}",
                        iso_day(&job.until)
                    ))
                ),
                link: "#h_all",
            },
            CoverFigure {
                label: "One free return",
                figure: money(cover.cost_per_return),
                under: match cover.costs.len() {
                    0 => "none has been made yet".to_owned(),
                    n => format!("time, van, miles and parts: the mean of {n}{few}"),
                },
                link: "#h_returns",
            },
            CoverFigure {
                label: "Should be in the pot",
                figure: money(cover.reserve_running),
                under: format!(
                    "for what the {} may still bring",
                    counted(cover.running, "guarantee running", "guarantees running")
                ),
                link: "#h_reserve",
            },
        ]
    }

    fn sum(&self) -> Vec<SumLine> {
        let cover = self.reports.cover;
        let (Some(cost), Some(each), Some(expected)) = (
            cover.cost_per_return,
            cover.reserve_per_job,
            cover.expected_per_job,
        ) else {
            return Vec::new();
        };
        let n = cover.costs.len();
        let total = |of: fn(&crate::office::cover::ReturnCost) -> Money| -> Money {
            cover.costs.iter().map(of).sum()
        };
        let minutes = Minutes::new(cover.costs.iter().map(|one| one.minutes).sum());
        let hour = self.diary.settings.rates.in_office().hour;
        let returns = counted(n, "free return", "free returns");
        let line = |what: &str, amount: String, why: String, kind| SumLine {
            what: what.to_owned(),
            amount,
            why,
            kind,
        };
        vec![
            line(
                "Time on site and on the road",
                figure(total(|one| one.time)),
                format!("{minutes} over {returns}, at your {}", self.money(hour)),
                "",
            ),
            line("Miles and parking", figure(total(|one| one.trip)), String::new(), ""),
            line(
                "Materials",
                figure(total(|one| one.materials)),
                "of returns that have a log of their own; in any other log they cannot be told from the job’s".to_owned(),
                "",
            ),
            line(&crate::office::words::capital(&returns), figure(total(|one| one.cost)), String::new(), "part"),
            line(
                "One free return",
                figure(cost),
                match n {
                    1 => "the only one so far".to_owned(),
                    n => format!("the same, over {n}"),
                },
                "",
            ),
            line(
                &format!("Returns a job, over {}", counted(cover.guarantee_years as usize, "year", "years")),
                format!("× {expected:.3}"),
                past_the_record(cover).unwrap_or_default(),
                "",
            ),
            line("Put aside, each job", figure(each), String::new(), "total"),
        ]
    }

    fn sum_say(&self) -> String {
        let cover = self.reports.cover;
        let Some(each) = cover.reserve_per_job else {
            return "No free return so far, so nothing says what one costs, and nothing is put aside.".to_owned();
        };
        let day = self.diary.settings.rates.in_office().day;
        let mut said = "It goes on each price as its own line.".to_owned();
        if day > Money::NOUGHT {
            said += &format!(
                " On a day’s work at {} it is {:.1} pence in the pound.",
                self.money(day),
                pence_in_the_pound(each, day)
            );
        }
        said
    }

    fn cover_steps(&self) -> (&'static str, Vec<Step>) {
        let cover = self.reports.cover;
        let mut steps = Vec::new();
        let mut add = |what: String, why: String, link: &str| {
            steps.push(Step {
                what,
                why,
                link: link.to_owned(),
            });
        };
        if !cover.not_placed.is_empty() {
            add(
                "Say which job each return was for.".to_owned(),
                format!(
                    "{} of free returns alone name no job: write for: and its ref. Until then they count in what a \
                     return costs and not in how often.",
                    counted(cover.not_placed.len(), "log", "logs")
                ),
                "#h_loose",
            );
        }
        if let (Some(each), Some(all)) = (cover.reserve_per_job, cover.reserve_running)
            && cover.jobs.len() >= FEWEST_FOR_CURVE
        {
            add(
                format!("Put {} on every price.", self.money(each)),
                format!(
                    "And see that {} is in the pot for the guarantees that run.",
                    self.money(all)
                ),
                "#h_reserve",
            );
        }
        let again = cover
            .jobs
            .iter()
            .filter(|job| job.returns.len() > 1)
            .max_by_key(|job| job.returns.len());
        if let Some(job) = again {
            add(
                format!("Look at {} again.", job.reference),
                format!(
                    "{}: gone back to {}. What brings you back twice will bring you back a third time.",
                    job.title,
                    match job.returns.len() {
                        2 => "twice".to_owned(),
                        times => format!("{times} times"),
                    }
                ),
                "#h_returns",
            );
        }
        let heading = match steps.len() {
            1 => "One thing to do",
            2 => "Two things to do",
            _ => "Three things to do",
        };
        (heading, steps)
    }
}

#[expect(
    clippy::cast_precision_loss,
    reason = "pence of one job, far below 2^52"
)]
fn pence_in_the_pound(part: Money, all: Money) -> f64 {
    part.pence() as f64 * 100.0 / all.pence() as f64
}

fn lanes_say(cover: &Cover) -> String {
    let first = cover.jobs.iter().find(|job| job.state == "running");
    let ends = match first {
        Some(job) => format!(
            " Of those that run, the first ends on {}.",
            iso_day(&job.until)
        ),
        None => " None is running.".to_owned(),
    };
    format!("The height is how many run, the dots beneath are free returns.{ends}")
}

fn too_few(cover: &Cover) -> String {
    format!(
        "{} under guarantee so far. From fewer than ten no curve is drawn: one return more or less would turn it over.",
        counted(cover.jobs.len(), "job has been", "jobs have been")
    )
}

fn first_say(cover: &Cover) -> String {
    let ages: Vec<i32> = cover
        .jobs
        .iter()
        .flat_map(|job| job.returns.iter().copied())
        .collect();
    let mut said = match ages.len() {
        0 => "No job has been gone back to.".to_owned(),
        all => {
            let early = ages.iter().filter(|&&age| age <= THREE_MONTHS).count();
            format!(
                "{early} of {} came inside three months.",
                counted(all, "return", "returns")
            )
        }
    };
    let at = at_ages(cover);
    let year = at.iter().rfind(|at| at.days <= 365.0);
    if let Some(at) = year {
        said += &format!(
            " After {} {:.0} jobs in a hundred have not been gone back to",
            at.name,
            at.share * 100.0
        );
        if let (Some(low), Some(high)) = (at.low, at.high) {
            said += &format!(
                "; it could be {:.0} or {:.0}, nineteen times in twenty",
                low * 100.0,
                high * 100.0
            );
        }
        said.push('.');
    }
    said
}

fn returns_say(cover: &Cover) -> String {
    let again = cover
        .jobs
        .iter()
        .filter(|job| job.returns.len() > 1)
        .count();
    let mut said = match again {
        0 => "A job can be gone back to more than once, so the first return is not the whole cost."
            .to_owned(),
        again => format!(
            "{} gone back to more than once, so the first return is not the whole cost.",
            counted(again, "job was", "jobs were")
        ),
    };
    let mean = cover
        .returns_per_job
        .iter()
        .rfind(|step| Some(step.days) <= cover.seen_days);
    said += &format!(
        " This line counts them all: {:.2} a job by the end of the record.",
        mean.map_or(0.0, |step| step.mean)
    );
    if let Some(past) = past_the_record(cover) {
        said.push(' ');
        said += &past;
        if cover
            .carried
            .is_some_and(|carried| carried.returns < ENOUGH)
        {
            said += " That is thin; each year will move it.";
        }
    }
    said
}

fn ages_said(cover: &Cover, say: impl Fn(&crate::office::cover::AtAge) -> String) -> String {
    let ages: Vec<String> = at_ages(cover).iter().map(say).collect();
    format!(
        "{}: {}.",
        counted(cover.jobs.len(), "job", "jobs"),
        if ages.is_empty() {
            "none is old enough yet".to_owned()
        } else {
            ages.join(", ")
        }
    )
}

fn age_rows(cover: &Cover) -> Vec<AgeRow> {
    let mut rows: Vec<AgeRow> = at_ages(cover)
        .into_iter()
        .map(|at| AgeRow {
            age: at.name.to_owned(),
            in_sight: grouped(at.in_sight as u64),
            share: format!("{:.1} %", at.share * 100.0),
            range: match (at.low, at.high) {
                (Some(low), Some(high)) => {
                    format!("{:.0} to {:.0} %", low * 100.0, high * 100.0)
                }
                _ => String::new(),
            },
            mean: format!("{:.3}", at.mean),
            from: "the record",
        })
        .collect();
    if let (Some(_), Some(expected)) = (cover.carried, cover.expected_per_job) {
        rows.push(AgeRow {
            age: counted(cover.guarantee_years as usize, "year", "years"),
            in_sight: String::new(),
            share: String::new(),
            range: String::new(),
            mean: format!("{expected:.3}"),
            from: "carried on",
        });
    }
    rows
}

fn tenure_rows(cover: &Cover) -> Vec<TenureRow> {
    let rows = cover.tenure.iter().map(|one| TenureRow {
        name: if one.tenure == "rented" {
            "Rented homes"
        } else {
            "Owner-occupied homes"
        },
        jobs: one.jobs,
        few: one.jobs < ENOUGH,
        returns: one.returns,
        job_years: years(one.job_years),
        rate: one.rate.map_or_else(String::new, |rate| {
            crate::office::words::capital(&a_year(rate))
        }),
    });
    rows.collect()
}

fn newest_say(cover: &Cover, earlier: usize) -> String {
    match (cover.costs.len(), earlier) {
        (0, _) => "No free return is written down.".to_owned(),
        (all, 0) => format!(
            "{}, the newest first.",
            counted(all, "free return", "free returns")
        ),
        (all, _) => format!(
            "{} in all; these are the newest {NEWEST}, and the pages by year have the rest.",
            counted(all, "free return", "free returns")
        ),
    }
}

fn how(cover: &Cover) -> String {
    format!(
        "Reckoned from {} under guarantee. A job is watched from its last visit that is not a free return until {}, or \
         until its guarantee ends. The share gone back to is the curve of Kaplan and Meier with log-log Greenwood \
         intervals; the number of returns is Nelson’s mean cumulative function. A return costs its time on site and on \
         the road at your hourly rate, miles, parking and materials. What the guarantee leaves out is not in it.",
        counted(cover.jobs.len(), "job", "jobs"),
        iso_day(&cover.as_of)
    )
}
