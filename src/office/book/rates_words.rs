//! The sentences of a rate review, and what to do next. Every sentence is built from the figures and stands only where
//! they hold; reckons none of them.

use serde::Serialize;

use crate::model::{Minutes, Money};
use crate::office::rates::{Earned, MUCH_OVER, Rates};
use crate::office::words::{counted, iso_day, lower_first, percent_of, whole};

use super::Book;
use super::hours_letter::ENOUGH;

/// What to do next: at most so many.
const STEPS: usize = 3;

/// A thing to do next.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Step {
    /// What: `Put every call-out on a bill.`
    pub what: String,
    /// Why, and what it is worth.
    pub why: String,
    /// What it leads to; empty where there is nothing to look at.
    pub link: String,
}

/// What a review says, in words.
pub(super) struct Words<'a> {
    book: &'a Book<'a>,
    rates: &'a Rates,
    /// Whether the year is not over.
    running: bool,
    /// The hourly rate of diary.yaml.
    hour: Money,
}

impl<'a> Words<'a> {
    pub(super) fn of(book: &'a Book<'a>, rates: &'a Rates) -> Self {
        Words {
            book,
            rates,
            running: rates.ends.is_some(),
            hour: book.diary.settings.rates.in_office().hour,
        }
    }

    fn money(&self, money: Money) -> String {
        self.book.money(money)
    }

    /// The answer in one sentence.
    pub(super) fn headline(&self) -> String {
        let rates = self.rates;
        let Some(short) = rates.short.filter(|_| rates.from.is_some()) else {
            return if rates.minutes.on_site == 0 {
                "Nothing to reckon yet".to_owned()
            } else {
                format!("Labour brought in {}", self.money(rates.labour))
            };
        };
        let (amount, way) = if short > Money::NOUGHT {
            (self.money(short), "short")
        } else if short < Money::NOUGHT {
            (self.money(Money::NOUGHT - short), "ahead")
        } else {
            return "The year has paid for itself to the penny".to_owned();
        };
        if self.running {
            format!("The year is {amount} {way} so far")
        } else {
            format!("The year came out {amount} {way}")
        }
    }

    /// The rest of the answer.
    pub(super) fn answer(&self) -> String {
        let rates = self.rates;
        if rates.from.is_none() {
            return "No visits are in the record yet. Copy a log into jobs/ and press again."
                .to_owned();
        }
        let Some((pay, overheads)) = rates.pay.zip(rates.overheads) else {
            return format!(
                "What {} had to bring in is not known, because diary.yaml has no years. Write one, with your own \
                 figures: years: [{{from: 2026-04-06, pay: 34000, overheads: 9800, weeks: 44, admin: 5h}}].",
                if rates.minutes.on_site == 0 {
                    "it"
                } else {
                    "labour"
                }
            );
        };
        let reached = match (&rates.to, self.running) {
            (Some(to), true) => format!("For the days up to {} the year was", iso_day(to)),
            _ => "The year was".to_owned(),
        };
        let name = self.book.diary.settings.trader.name.split(' ').next();
        let (name, reached) = match name.filter(|name| !name.is_empty()) {
            Some(name) => (format!("{name}, "), lower_first(&reached)),
            None => (String::new(), reached),
        };
        let mut said = format!(
            "{name}{reached} to pay you {} and to carry {} of overheads: {} in all. Labour brought in {}.",
            self.money(pay),
            self.money(overheads),
            self.money(pay + overheads),
            self.money(rates.labour)
        );
        if let Some(why) = self.why() {
            said.push(' ');
            said += &why;
        }
        if rates.days_without_year > 0 {
            let days = usize::try_from(rates.days_without_year).unwrap_or(0);
            said += &format!(
                " {} of them stand in no year of diary.yaml, and nothing is reckoned as needed for those.",
                counted(days, "day", "days")
            );
        }
        said
    }

    /// What the difference comes from: the rate, or the time that no bill pays.
    fn why(&self) -> Option<String> {
        let rates = self.rates;
        let needed = rates.needed_per_hour?;
        let hour = self.money(self.hour);
        let unpaid: i64 = rates.unpaid.iter().map(|one| one.minutes).sum();
        let unpaid = Minutes::new(unpaid);
        if rates.short? <= Money::NOUGHT {
            return (unpaid > Minutes::NOUGHT)
                .then(|| format!("Another {unpaid} on site stands on no bill."));
        }
        Some(if needed > self.hour {
            format!(
                "For the hours that were charged, your {hour} an hour is not enough: each had to bring {}. Another \
                 {unpaid} on site stands on no bill.",
                self.money(needed)
            )
        } else {
            format!(
                "Your {hour} an hour is enough. What is missing is {unpaid} on site that stands on no bill."
            )
        })
    }

    /// Where the hours went.
    pub(super) fn hours(&self) -> String {
        let rates = self.rates;
        let minutes = rates.minutes;
        if minutes.all <= 0.0 {
            return "No hour is written down for these days.".to_owned();
        }
        let all = Minutes::new(whole(minutes.all));
        let share = rates.utilisation.map_or(0, |share| whole(share * 100.0));
        let mut said = format!("You worked {all} and charged for {share} % of it.");
        if minutes.travel > 0 || minutes.admin > 0.0 {
            said +=
                " Travel and evenings will never have a bill of their own; the rate carries them.";
        }
        let call_outs = rates.unpaid.iter().find(|one| one.cause == "call-outs");
        if let Some(call_outs) = call_outs {
            said += &format!(
                " The call-outs should have had one: {} at your {} is {}.",
                Minutes::new(call_outs.minutes),
                self.money(self.hour),
                self.money(call_outs.worth)
            );
        }
        said
    }

    /// What task types or location types earned.
    pub(super) fn earned(&self, all: &[Earned], one: &str, more: &str) -> String {
        if all.is_empty() {
            return "No job of these days is charged yet, and none is not to be.".to_owned();
        }
        let Some(needed) = self.rates.needed_per_hour else {
            return "What an hour had to bring is not known, so nothing is held against it."
                .to_owned();
        };
        let needed_words = self.money(needed);
        let short: Vec<&Earned> = all.iter().filter(|earned| earned.short.is_some()).collect();
        let Some(most) = short.iter().max_by_key(|earned| earned.short) else {
            return format!("Every {one} earned the {needed_words} needed or more.");
        };
        let sum: Money = short.iter().filter_map(|earned| earned.short).sum();
        let few = if most.jobs < ENOUGH {
            ", too few to lean on"
        } else {
            ""
        };
        let mut said = format!(
            "{} of {} fell below {needed_words} an hour. Furthest behind in money is {}: {} over {} ({}{few}).",
            short.len(),
            counted(all.len(), one, more),
            lower_first(&most.name),
            most.short
                .map_or_else(String::new, |short| self.money(short)),
            Minutes::new(most.minutes),
            counted(most.jobs, "job", "jobs")
        );
        if short.len() > 1 {
            said += &format!(" Together they left {} behind.", self.money(sum));
        }
        let sure: Vec<String> = surely_below(all, needed)
            .map(|earned| lower_first(&earned.name))
            .collect();
        said += &match sure.as_slice() {
            [] => " For none of them do the figures say that it is more than chance.".to_owned(),
            sure => format!(
                " More than chance, with its middle below the line nine times in ten: {}.",
                sure.join(", ")
            ),
        };
        said
    }

    /// The chart of quotes in a sentence.
    pub(super) fn quotes_said(&self) -> String {
        let quotes = &self.rates.quotes;
        let Some(ratio) = quotes.hours_ratio else {
            return String::new();
        };
        let over = quotes
            .jobs
            .iter()
            .filter(|job| job.ratio >= MUCH_OVER)
            .count();
        let furthest = quotes.jobs.first().map_or(1.0, |job| job.ratio);
        format!(
            "Half of {} took more than {:.2} times the hours quoted. {over} took a quarter more or over. The furthest took \
             {furthest:.2} times.",
            counted(quotes.n, "quoted job", "quoted jobs"),
            ratio.median
        )
    }

    /// What to do next: what the figures bear out, the most worth first; then what would help in any year that is
    /// short.
    pub(super) fn steps(&self) -> Vec<Step> {
        let rates = self.rates;
        let mut steps: Vec<(Money, Step)> = Vec::new();
        let mut add = |worth: Money, what: String, why: String, link: &str| {
            steps.push((
                worth,
                Step {
                    what,
                    why,
                    link: link.to_owned(),
                },
            ));
        };
        for one in &rates.unpaid {
            let worth = self.money(one.worth);
            let time = Minutes::new(one.minutes);
            let jobs = counted(one.refs.len(), "job", "jobs");
            match one.cause {
                "not-charged-yet" => add(
                    one.worth,
                    "Send the bills that are not sent.".to_owned(),
                    format!(
                        "{jobs} with {time} on site have no charge written down: {worth} at your rate."
                    ),
                    "#h_unpaid",
                ),
                "call-outs" => add(
                    one.worth,
                    "Put every call-out on a bill.".to_owned(),
                    format!("The day it happens, even at one hour. Worth {worth} in these days."),
                    "#h_unpaid",
                ),
                "follow-ups" => add(
                    one.worth,
                    "Finish on the first visit, or price the second.".to_owned(),
                    format!(
                        "{} took {time} that nobody paid: {worth} at your rate.",
                        counted(one.visits, "follow-up", "follow-ups")
                    ),
                    "#h_unpaid",
                ),
                _ => {}
            }
        }
        if let Some(needed) = rates.needed_per_hour {
            let worst = surely_below(&rates.tasks, needed).max_by_key(|earned| earned.short);
            if let Some((earned, short)) = worst.and_then(|one| Some((one, one.short?))) {
                add(
                    short,
                    format!("Price this for longer: {}.", lower_first(&earned.name)),
                    format!(
                        "At the {} needed it would have earned {} more in these days.",
                        self.money(needed),
                        self.money(short)
                    ),
                    "#h_tasks",
                );
            }
            if needed > self.hour {
                let hours = rates.minutes.charged;
                let worth = crate::office::reckon::part(needed - self.hour, hours, 60);
                add(
                    worth,
                    format!("Ask {} an hour.", self.money(needed)),
                    format!(
                        "Your {} is less than each charged hour has to bring; over {} that is {}.",
                        self.money(self.hour),
                        Minutes::new(hours),
                        self.money(worth)
                    ),
                    "#h_levers",
                );
            }
        }
        let over = rates
            .quotes
            .hours_ratio
            .filter(|ratio| ratio.low.is_some_and(|low| low > 1.0));
        if let Some(ratio) = over {
            let quoted: i64 = rates.quotes.jobs.iter().map(|job| job.quoted).sum();
            let more = Minutes::new(whole(Minutes::new(quoted).as_f64() * (ratio.median - 1.0)));
            add(
                crate::office::reckon::part(self.hour, more.get(), 60),
                format!(
                    "Write down {} % more hours than you think.",
                    percent_of(whole((ratio.median - 1.0) * 1_000.0), 1_000)
                ),
                format!("On the jobs quoted in these days that is {more}."),
                "#h_quotes",
            );
        }
        steps.sort_by_key(|(worth, _)| std::cmp::Reverse(*worth));
        let hour_a_week = rates
            .levers
            .iter()
            .find(|one| one.change == "one-more-hour-a-week");
        if let Some(lever) =
            hour_a_week.filter(|_| rates.short.is_some_and(|short| short > Money::NOUGHT))
        {
            let earned = lever.earned_per_hour.map_or_else(String::new, |rate| {
                format!(
                    ", and each hour on site would have earned {}",
                    self.money(rate)
                )
            });
            steps.push((
                lever.worth,
                Step {
                    what: "Charge one hour more a week.".to_owned(),
                    why: format!(
                        "It would have brought {} in these days{earned}.",
                        self.money(lever.worth)
                    ),
                    link: "#h_levers".to_owned(),
                },
            ));
        }
        steps
            .into_iter()
            .take(STEPS)
            .map(|(_, step)| step)
            .collect()
    }

    /// How it was reckoned.
    pub(super) fn how(&self) -> String {
        let rates = self.rates;
        let (Some(from), Some(to)) = (&rates.from, &rates.to) else {
            return String::new();
        };
        let mut said = format!(
            "Reckoned from the visits of {} to {}, and from {} that were done in these days and charged, or are not to \
             be.",
            iso_day(from),
            iso_day(to),
            counted(rates.jobs, "job", "jobs")
        );
        if self.running {
            said += " Pay, overheads and evenings go by the days that the year has reached.";
        }
        said += " Needed is pay and overheads over the hours charged; charged and earned are the labour charged over \
                  those hours and over every hour on site. A job’s labour falls to its minutes on site alike, the \
                  call-outs and returns among them. Whatever is priced at your rate is priced at the rate that \
                  diary.yaml has now.";
        said
    }
}

/// What is below the rate needed nine times in ten: five jobs or more, and the middle of them below it at both ends.
fn surely_below(all: &[Earned], needed: Money) -> impl Iterator<Item = &Earned> {
    all.iter()
        .filter(move |earned| earned.middle.is_some_and(|middle| middle.high < needed))
}
