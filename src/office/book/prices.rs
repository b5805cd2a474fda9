//! Prices given: the list, each price's sheet with its workings, and the client's copy without them.
//!
//! Shows what was written down on the day. Reckons nothing again: `price` does, when it is asked.

use serde::Serialize;

use crate::model::{Money, Price, Private};
use crate::office::reckon::{is_done, taken};
use crate::office::words::{
    amount, capital, counted, day, figure, grouped, minutes, stopped, task_count,
};

use super::{Book, job_link};

/// The list of prices given.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct PriceList {
    /// What stands at its head.
    pub headline: String,
    /// The answer first.
    pub say: String,
    /// The newest first; those never answered last, in order of name.
    pub prices: Vec<PriceRow>,
    /// Address of the page on how such prices have done; empty where it was not reckoned.
    pub back_test_link: String,
}

/// A price in the list.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct PriceRow {
    /// Its title.
    pub title: String,
    /// Its sheet.
    pub link: String,
    /// `25 November 2026`; empty where it was never answered.
    pub on: String,
    /// The total; empty where it was never answered.
    pub total: String,
    /// What became of it: `2026-061 took 5 h 10, within the price`.
    pub became: String,
}

/// A price's sheet.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct PriceSheet {
    /// Its own address.
    pub link: String,
    /// The client's copy; empty where there is no answer.
    pub client_link: String,
    /// Its title.
    pub title: String,
    /// The client, where it names one.
    pub client: String,
    /// The file, relative to the diary.
    pub file: String,
    /// The day it was given; empty where it was never answered.
    pub on: String,
    /// Location type.
    pub location: String,
    /// What was asked for.
    pub tasks: Vec<AskedTask>,
    /// The sum.
    pub lines: Vec<SumLine>,
    /// Its total.
    pub total: String,
    /// The same by the day; empty where there is none.
    pub by_the_day: String,
    /// Whether VAT is in both totals.
    pub with_vat: bool,
    /// Minutes on site in words: half under, eight in ten, nine in ten.
    pub times: Vec<(String, String)>,
    /// What to mind.
    pub warnings: Vec<String>,
    /// Jobs that name it.
    pub jobs: Vec<PricedJob>,
    /// What its figures mean: title and page of the handbook.
    pub handbook: Vec<(String, String)>,
}

/// A task that was asked for.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct AskedTask {
    /// Its name.
    pub name: String,
    /// Its page in the book; empty where the record has none.
    pub link: String,
    /// How many.
    pub count: String,
    /// `2 h to 4 h`, where its hours were given by hand.
    pub guess: String,
}

/// A line of the sum.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct SumLine {
    /// `Labour`.
    pub what: String,
    /// `237.60`.
    pub amount: String,
    /// Its reason.
    pub how: String,
}

/// A job that was quoted by a price.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct PricedJob {
    /// Its ref.
    pub reference: String,
    /// Its title.
    pub title: String,
    /// Its page.
    pub link: String,
    /// What it took against what was priced.
    pub became: String,
}

/// The client's copy: what it is for and what it comes to.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct ClientPrice {
    /// Its own address.
    pub link: String,
    /// Its title.
    pub title: String,
    /// The trading name, else the trader's.
    pub from: String,
    /// Name, telephone and email, as far as they are known.
    pub from_lines: Vec<String>,
    /// The client's name and address, as far as they are known.
    pub to: Vec<String>,
    /// The day.
    pub on: String,
    /// What it is for.
    pub tasks: Vec<AskedTask>,
    /// Labour with all that comes with it, materials, parking and the trip, VAT.
    pub lines: Vec<SumLine>,
    /// The total.
    pub total: String,
    /// Whether a line of it is VAT.
    pub with_vat: bool,
    /// Years of guarantee.
    pub guarantee_years: u32,
    /// What that leaves out.
    pub not_in_it: String,
}

impl<'a> Book<'a> {
    /// How many prices there are; [`Book::price_sheet`] takes a number below it.
    pub fn price_count(&self) -> usize {
        self.diary.prices.len()
    }

    fn price(&self, number: usize) -> &'a Price {
        self.diary.prices[number].in_office()
    }

    fn price_link(&self, price: &Price) -> String {
        format!("prices/{}.html", self.index.prices[price.name.as_str()])
    }

    /// The list.
    pub fn price_list(&self) -> PriceList {
        let mut all: Vec<&Price> = self.diary.prices.iter().map(Private::in_office).collect();
        all.sort_by_key(|price| {
            let on = price.answer.as_ref().map(|answer| answer.on);
            (std::cmp::Reverse(on), price.name.clone())
        });
        let done = all
            .iter()
            .filter(|price| !self.became(price).is_empty())
            .count();
        PriceList {
            headline: match all.len() {
                0 => "No price given yet".to_owned(),
                count => format!("{} given", counted(count, "price", "prices")),
            },
            say: if all.is_empty() {
                "Ask with daywork price, and keep the answer with --write and a name.".to_owned()
            } else {
                let behind = match done {
                    0 => "None of them stands".to_owned(),
                    1 => "1 of them stands".to_owned(),
                    more => format!("{} of them stand", grouped(more as u64)),
                };
                format!(
                    "{behind} behind a job that is done. Each sheet holds the question, the answer of the day and its \
                     reasons; the client’s copy holds the sum alone.",
                )
            },
            prices: all
                .into_iter()
                .map(|price| PriceRow {
                    title: title(price),
                    link: self.price_link(price),
                    on: price
                        .answer
                        .as_ref()
                        .map(|answer| day(answer.on))
                        .unwrap_or_default(),
                    total: price
                        .answer
                        .as_ref()
                        .map(|answer| amount(answer.total, self.currency()))
                        .unwrap_or_default(),
                    became: self
                        .became(price)
                        .iter()
                        .map(|job| format!("{} {}", job.reference, job.became))
                        .collect::<Vec<_>>()
                        .join("; "),
                })
                .collect(),
            back_test_link: match self.reports.back_test {
                Some(_) => super::back_test::LINK.to_owned(),
                None => String::new(),
            },
        }
    }

    /// A price's sheet.
    pub fn price_sheet(&self, number: usize) -> PriceSheet {
        let price = self.price(number);
        let link = self.price_link(price);
        let answer = price.answer.as_ref();
        let words = [
            "Half of such jobs take under",
            "Eight in ten take under",
            "Nine in ten take under",
        ];
        PriceSheet {
            client_link: match answer {
                Some(_) => client_link(&link),
                None => String::new(),
            },
            title: title(price),
            client: self
                .price_client(price)
                .into_iter()
                .next()
                .unwrap_or_default(),
            file: self.sources.path(price.file).to_owned(),
            on: answer.map(|answer| day(answer.on)).unwrap_or_default(),
            location: price
                .question
                .location
                .as_ref()
                .map(|key| self.location_name(key))
                .unwrap_or_default(),
            tasks: self.asked(price),
            lines: answer.map_or_else(Vec::new, |answer| {
                let lines = answer.lines.iter().map(|line| SumLine {
                    what: capital(&line.what),
                    amount: figure(line.amount),
                    how: line.how.clone(),
                });
                lines.collect()
            }),
            total: answer
                .map(|answer| figure(answer.total))
                .unwrap_or_default(),
            by_the_day: answer
                .and_then(|answer| answer.by_the_day)
                .map(|total| amount(total, self.currency()))
                .unwrap_or_default(),
            with_vat: answer
                .is_some_and(|answer| answer.lines.iter().any(|line| line.what == "VAT")),
            times: answer.map_or_else(Vec::new, |answer| {
                let quantiles = words.iter().zip(&answer.minutes[1..]);
                quantiles
                    .map(|(words, quantile)| ((*words).to_owned(), minutes(*quantile)))
                    .collect()
            }),
            warnings: answer.map_or_else(Vec::new, |answer| answer.warnings.clone()),
            jobs: self.became(price),
            handbook: self.figures_explained(&[
                "what-a-job-will-take",
                "other-time-on-site",
                "unplanned-call-outs",
                "reserve",
                "how-sure-a-price-is",
            ]),
            link,
        }
    }

    /// The client's copy of a price; `None` for one that was never answered.
    pub fn client_price(&self, number: usize) -> Option<ClientPrice> {
        let price = self.price(number);
        let answer = price.answer.as_ref()?;
        let of = |names: &[&str]| -> Money {
            let lines = answer.lines.iter();
            lines
                .filter(|line| names.contains(&line.what.as_str()))
                .map(|line| line.amount)
                .sum()
        };
        let known = ["materials", "parking", "travel", "VAT"];
        // What the work itself costs is one line for whoever pays: what is put aside for it is the trader's affair.
        let labour: Money = answer
            .lines
            .iter()
            .filter(|line| !known.contains(&line.what.as_str()))
            .map(|line| line.amount)
            .sum();
        let lines = [
            ("Labour", labour),
            ("Materials", of(&["materials"])),
            ("Parking and travel", of(&["parking", "travel"])),
            ("VAT", of(&["VAT"])),
        ];
        let trader = &self.diary.settings.trader;
        let names = [&trader.trading_as, &trader.name];
        let from = names.into_iter().find(|name| !name.is_empty());
        let from_lines = [&trader.name, &trader.phone, &trader.email];
        Some(ClientPrice {
            link: client_link(&self.price_link(price)),
            title: title(price),
            from: from.cloned().unwrap_or_default(),
            from_lines: from_lines
                .into_iter()
                .filter(|line| !line.is_empty())
                .cloned()
                .collect(),
            to: self.price_client(price),
            on: day(answer.on),
            tasks: self.asked(price),
            lines: lines
                .into_iter()
                .filter(|(_, amount)| *amount > Money::NOUGHT)
                .map(|(what, amount)| SumLine {
                    what: what.to_owned(),
                    amount: figure(amount),
                    how: String::new(),
                })
                .collect(),
            total: amount(answer.total, self.currency()),
            with_vat: of(&["VAT"]) > Money::NOUGHT,
            guarantee_years: self.diary.settings.guarantee_years,
            not_in_it: self
                .diary
                .settings
                .guarantee_not_in_it
                .as_deref()
                .map_or_else(String::new, stopped),
        })
    }

    fn asked(&self, price: &Price) -> Vec<AskedTask> {
        let tasks = &self.diary.settings.tasks;
        let asked = price.question.tasks.iter().map(|wanted| {
            let known = tasks.get(&wanted.task);
            AskedTask {
                name: known.map_or_else(|| wanted.task.clone(), |task| task.name.clone()),
                link: self.task_link(&wanted.task),
                count: task_count(wanted.count, known.map(|task| &task.unit)),
                guess: wanted
                    .guess
                    .map(|(low, high)| format!("{low} to {high}"))
                    .unwrap_or_default(),
            }
        });
        asked.collect()
    }

    /// Name and address of the client that a price names, line by line.
    fn price_client(&self, price: &Price) -> Vec<String> {
        let Some(key) = &price.client else {
            return Vec::new();
        };
        let Some(client) = self.diary.clients.get(&key.value) else {
            return vec![key.value.clone()];
        };
        let lines = [
            &client.name,
            &client.address,
            &client.town,
            &client.postcode,
        ];
        let lines = lines.into_iter().flatten();
        lines.map(|line| line.in_office().value.clone()).collect()
    }

    /// What became of a price: every job that names it and is done.
    fn became(&self, price: &Price) -> Vec<PricedJob> {
        let Some(answer) = &price.answer else {
            return Vec::new();
        };
        let jobs = self.diary.jobs.iter().filter(|job| {
            let priced = job.priced.as_ref().map(Private::in_office);
            priced.is_some_and(|priced| priced.value == price.name) && is_done(job, self.as_of)
        });
        jobs.map(|job| {
            let took = taken(job, self.as_of).as_f64();
            let within = if took <= answer.labour_minutes {
                "within"
            } else {
                "over"
            };
            PricedJob {
                reference: job.reference.in_office().value.clone(),
                title: job.title.value.clone(),
                link: job_link(&job.reference.in_office().value),
                became: format!(
                    "took {}, {within} the {} that labour was priced at",
                    minutes(took),
                    minutes(answer.labour_minutes)
                ),
            }
        })
        .collect()
    }
}

fn title(price: &Price) -> String {
    if price.title.is_empty() {
        capital(&price.name.replace('-', " "))
    } else {
        price.title.clone()
    }
}

/// A price's name cannot hold the sign, so no other sheet stands there.
fn client_link(link: &str) -> String {
    format!("{}_client.html", link.trim_end_matches(".html"))
}
