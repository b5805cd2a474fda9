//! `daywork price`: a new job priced from this diary's own record.

use std::path::{Path, PathBuf};

use clap::Args;

use crate::model::price::{Question, Wanted, guess};
use crate::model::{Diary, Minutes, Money, Price, Private};
use crate::office::price::{self, PriceReport, Refused};
use crate::press;

use super::{Exit, Failure, Reported, back_test, has_errors};

/// The arguments of `price`.
#[derive(Debug, Args)]
pub struct PriceArgs {
    /// A price to ask again, such as prices/barn-lights.yaml; otherwise the question is in the options
    #[arg(value_name = "FILE", conflicts_with_all = ["task", "guess", "location", "visits", "materials", "parking", "miles", "write"])]
    file: Option<PathBuf>,
    /// A task and how many, such as downlight=6; again for each
    #[arg(long, value_name = "KEY=COUNT", value_parser = read_task)]
    task: Vec<(String, f64)>,
    /// Hours for a task that the record has never seen, such as car-point=2h..4h; again for each
    #[arg(long, value_name = "KEY=LOW..HIGH", value_parser = read_guess)]
    guess: Vec<(String, (Minutes, Minutes))>,
    /// The location type
    #[arg(long, value_name = "KEY")]
    location: Option<String>,
    /// Visits it will take; otherwise as many as the time fills days
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1000))]
    visits: Option<u32>,
    /// What the materials cost, without markup
    #[arg(long, value_name = "AMOUNT", value_parser = read_money, default_value = "0")]
    materials: Money,
    /// Parking, in all
    #[arg(long, value_name = "AMOUNT", value_parser = read_money, default_value = "0")]
    parking: Money,
    /// Miles of one trip, there and back
    #[arg(long, value_name = "N", value_parser = read_miles, default_value = "0")]
    miles: f64,
    /// The chance in a hundred that the labour should be enough [default: 80]
    #[arg(long, value_name = "N", value_parser = read_chance)]
    chance: Option<f64>,
    /// Keep question and answer in the diary as prices/NAME.yaml
    #[arg(long, value_name = "NAME", value_parser = read_name)]
    write: Option<String>,
    /// Try such prices on the past jobs now, whatever the last press kept of it
    #[arg(long)]
    back_test: bool,
    #[command(flatten)]
    reported: Reported,
}

/// Runs the command.
pub fn run(args: &PriceArgs) -> Result<Exit, Failure> {
    let shared = &args.reported.shared;
    let as_of = shared.day();
    let read = shared.read()?;
    if has_errors(&read.diagnostics) {
        shared.tell(&read.diagnostics, &read.sources)?;
        return Ok(Exit::DiaryHasErrors);
    }
    if let Some(name) = &args.write
        && named(&read.diary, name).is_some()
    {
        return Err(Failure::Usage(format!(
            "prices/{name}.yaml is there already. Give another name, or delete it first"
        )));
    }
    let mut question = match &args.file {
        Some(file) => asked_before(&read.diary, file)?,
        None => args.question(),
    };
    question.chance = args.chance.or(question.chance);
    let kept = back_test::known(shared, &read.diary, as_of, args.back_test);
    let report = price::price(&read.diary, &question, as_of, kept).map_err(refused)?;
    let currency = &read.diary.settings.rates.in_office().currency;
    args.reported
        .print(&report, |report| price::text(report, currency))?;
    if let Some(name) = &args.write {
        write(args, name, &question, &report)?;
    }
    Ok(Exit::Done)
}

fn refused(refused: Refused) -> Failure {
    Failure::Usage(format!(
        "{}. {}",
        refused.why,
        refused.help.trim_end_matches('.')
    ))
}

impl PriceArgs {
    fn question(&self) -> Question {
        let mut tasks: Vec<Wanted> = self
            .task
            .iter()
            .map(|(task, count)| Wanted {
                task: task.clone(),
                count: *count,
                guess: None,
            })
            .collect();
        for (key, range) in &self.guess {
            match tasks.iter_mut().find(|wanted| wanted.task == *key) {
                Some(wanted) => wanted.guess = Some(*range),
                // Hours are enough to ask for it: the whole task, once.
                None => tasks.push(Wanted {
                    task: key.clone(),
                    count: 1.0,
                    guess: Some(*range),
                }),
            }
        }
        Question {
            tasks,
            location: self.location.clone(),
            visits: self.visits,
            materials: self.materials,
            parking: self.parking,
            miles: self.miles,
            chance: None,
        }
    }
}

/// The price that the diary keeps under a name.
fn named<'a>(diary: &'a Diary, name: &str) -> Option<&'a Price> {
    let mut prices = diary.prices.iter().map(Private::in_office);
    prices.find(|price| price.name == name)
}

/// The question of a price in the diary, by its path or its name.
fn asked_before(diary: &Diary, file: &Path) -> Result<Question, Failure> {
    let name = file
        .file_stem()
        .and_then(|name| name.to_str())
        .unwrap_or_default();
    match named(diary, name) {
        Some(price) => Ok(price.question.clone()),
        None => Err(Failure::Usage(format!(
            "prices/ has no {name}. Give one that is there, or ask with --task"
        ))),
    }
}

fn write(
    args: &PriceArgs,
    name: &str,
    question: &Question,
    report: &PriceReport,
) -> Result<(), Failure> {
    let shared = &args.reported.shared;
    let path = format!("prices/{name}.yaml");
    let text = price::file_text(question, report, shared.day());
    press::new_file(&shared.folder()?.join(&path), text.as_bytes())?;
    shared.tell_line(&format!(
        "Kept as {path}. When the job is quoted by it, its log says priced: {name}."
    ))
}

fn read_task(text: &str) -> Result<(String, f64), String> {
    let (key, count) = text.split_once('=').unwrap_or((text, "1"));
    let count: f64 = count
        .trim()
        .parse()
        .ok()
        .filter(|count| (0.001..=1e6).contains(count))
        .ok_or_else(|| format!("write the task and how many: {}=6", key.trim()))?;
    Ok((key.trim().to_owned(), count))
}

fn read_guess(text: &str) -> Result<(String, (Minutes, Minutes)), String> {
    let wrong = || "write the task, the least and the most: car-point=2h..4h".to_owned();
    let (key, range) = text.split_once('=').ok_or_else(wrong)?;
    Ok((key.trim().to_owned(), guess(range).ok_or_else(wrong)?))
}

fn read_money(text: &str) -> Result<Money, String> {
    Money::from_text(text).map_err(|error| format!("{error}; write an amount such as 210.00"))
}

fn read_miles(text: &str) -> Result<f64, String> {
    let miles = text
        .parse()
        .ok()
        .filter(|miles| (0.0..=5000.0).contains(miles));
    miles.ok_or_else(|| "write a number of miles: 12".to_owned())
}

fn read_chance(text: &str) -> Result<f64, String> {
    let chance = text
        .parse()
        .ok()
        .filter(|chance| (1.0..=99.0).contains(chance));
    chance.ok_or_else(|| "write a chance from 1 to 99 in a hundred: 80".to_owned())
}

/// A name is a file's: letters, figures and hyphens.
fn read_name(text: &str) -> Result<String, String> {
    let plain = |c: char| c.is_ascii_alphanumeric() || c == '-';
    if (1..=60).contains(&text.len()) && text.chars().all(plain) && !text.starts_with('-') {
        Ok(text.to_owned())
    } else {
        Err("write letters, figures and hyphens: barn-lights".to_owned())
    }
}
