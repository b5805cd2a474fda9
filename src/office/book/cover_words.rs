//! The sentences of the cover ledger, and what to do next. Every sentence is built from the figures and stands only where
//! they hold; reckons none of them.

use crate::office::cover::{AtAge, Cover, at_ages, outside_guarantee, past_the_record};
use crate::office::words::{counted, grouped, iso_day, lower_first};

use super::Book;
use super::hours_letter::ENOUGH;
use super::rates_words::Step;

/// Free returns named in the letter, the newest; the pages by year have them all.
pub(super) const NEWEST: usize = 20;
/// Without so many jobs the curves say too little to be drawn.
pub(super) const FEWEST_FOR_CURVE: usize = crate::numbers::mean_cumulative::LEAST_IN_SIGHT;

/// Days in three months.
const THREE_MONTHS: i32 = 91;

impl Book<'_> {
    /// `Six years’`.
    pub(super) fn guarantee_words(&self) -> String {
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

    pub(super) fn cover_headline(&self) -> String {
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

    pub(super) fn cover_say(&self) -> String {
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
                times(cover.returns)
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
    pub(super) fn book_name(&self) -> &str {
        let name = &self.diary.settings.trader.name;
        name.split(' ').next().unwrap_or_default()
    }

    pub(super) fn cover_steps(&self) -> (&'static str, Vec<Step>) {
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
                    times(job.returns.len())
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

/// `once`, `twice`, `3 times`.
fn times(count: usize) -> String {
    match count {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        more => counted(more, "time", "times"),
    }
}

pub(super) fn lanes_say(cover: &Cover) -> String {
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

pub(super) fn too_few(cover: &Cover) -> String {
    format!(
        "{} under guarantee so far. From fewer than ten no curve is drawn: one return more or less would turn it over.",
        counted(cover.jobs.len(), "job has been", "jobs have been")
    )
}

pub(super) fn first_say(cover: &Cover) -> String {
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

pub(super) fn returns_say(cover: &Cover) -> String {
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

pub(super) fn ages_said(cover: &Cover, say: impl Fn(&AtAge) -> String) -> String {
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

pub(super) fn newest_say(cover: &Cover, earlier: usize) -> String {
    let outside = outside_guarantee(cover);
    let said = match (cover.costs.len(), earlier) {
        (0, _) if outside.is_some() => "No free return was under a guarantee.".to_owned(),
        (0, _) => "No free return is written down.".to_owned(),
        (all, 0) => format!(
            "{}, the newest first.",
            counted(all, "free return", "free returns")
        ),
        (all, _) => format!(
            "{} in all; these are the newest {NEWEST}, and the pages by year have the rest.",
            counted(all, "free return", "free returns")
        ),
    };
    [Some(said), outside]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(" ")
}

pub(super) fn how(cover: &Cover) -> String {
    format!(
        "Reckoned from {} under guarantee. A job is watched from its last visit that is not a free return until {}, or \
         until its guarantee ends. The share gone back to is the curve of Kaplan and Meier with log-log Greenwood \
         intervals; the number of returns is Nelson’s mean cumulative function. A return costs its time on site and on \
         the road at your hourly rate, miles, parking and materials. What the guarantee leaves out is not in it.",
        counted(cover.jobs.len(), "job", "jobs"),
        iso_day(&cover.as_of)
    )
}
