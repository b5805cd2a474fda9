//! The rate review for a terminal of 80 columns: the answer first, then where it comes from.

use std::fmt::Write as _;

use crate::model::{Minutes, Money};
use crate::office::words::{amount, counted, figure, fit, wrap};

use super::{Earned, Lever, MUCH_OVER, OverQuote, Quotes, Rates, Ratio, Unpaid, as_f64};

/// Columns for a name.
const NAME: usize = 32;
/// Quoted jobs named.
const MOST_OVER: usize = 5;
/// A trend is spoken of where chance alone would show one as clear this seldom.
const SELDOM: f64 = 0.05;

/// The report as text. `currency` is the diary's own.
pub fn text(rates: &Rates, currency: &str) -> String {
    let mut out = Out {
        text: String::new(),
        currency,
    };
    let (Some(from), Some(to)) = (&rates.from, &rates.to) else {
        return "No visits in the record yet, so there is nothing to reckon.\n".to_owned();
    };
    out.line(&format!("Rates: {from} to {to}"));
    if !rates.what_if.is_empty() {
        out.line(&format!("What if {}", rates.what_if.join(", ")));
    }
    out.blank();
    out.answer(rates);
    out.three(rates);
    out.hours(rates);
    out.earned("Task types", &rates.tasks, rates.needed_per_hour);
    out.earned("Location types", &rates.locations, rates.needed_per_hour);
    out.quotes(&rates.quotes);
    out.unpaid(&rates.unpaid);
    out.levers(&rates.levers);
    if let Some(kept) = &rates.back_test {
        out.blank();
        out.wrapped(&kept.in_a_sentence());
    }
    out.blank();
    out.wrapped(
        "Needed is pay and overheads over the hours charged; charged and earned are the labour charged over those \
         hours and over every hour on site. A job's labour falls to its minutes on site alike. The middle of its \
         jobs: half earned less an hour than a figure that lies between these two, nine times in ten. * marks what is \
         below the rate needed at both ends. The jobs behind each figure are in the office book and in --format json.",
    );
    out.text
}

struct Out<'a> {
    text: String,
    currency: &'a str,
}

impl Out<'_> {
    fn line(&mut self, line: &str) {
        writeln!(self.text, "{}", line.trim_end()).expect("writing to a String");
    }

    fn blank(&mut self) {
        self.line("");
    }

    fn wrapped(&mut self, text: &str) {
        for line in wrap(text) {
            self.line(&line);
        }
    }

    fn money(&self, money: Money) -> String {
        amount(money, self.currency)
    }

    fn answer(&mut self, rates: &Rates) {
        let Some((pay, overheads)) = rates.pay.zip(rates.overheads) else {
            self.wrapped(&format!(
                "Labour brought in {}. What it had to bring in is not known: write it in diary.yaml, years: \
                 [{{from: 2025-04-06, pay: 34000, overheads: 9800, weeks: 44, admin: 5h}}].",
                self.money(rates.labour)
            ));
            return;
        };
        let until = match &rates.ends {
            Some(ends) => format!(" (for the days reached; the year ends on {ends})"),
            None => String::new(),
        };
        let short = rates.short.unwrap_or_default();
        let days = if rates.ends.is_some() {
            "The year so far"
        } else {
            "These days"
        };
        let came_out = if short > Money::NOUGHT {
            format!("{} short", self.money(short))
        } else {
            format!("{} over", self.money(Money::NOUGHT - short))
        };
        self.wrapped(&format!(
            "{days} came out {came_out}: pay of {} and overheads of {} were to be earned{until}, and labour brought in {}.",
            self.money(pay),
            self.money(overheads),
            self.money(rates.labour)
        ));
        if rates.days_without_year > 0 {
            self.wrapped(&format!(
                "{} of them stand in no year of diary.yaml, and nothing is reckoned as needed for those.",
                counted(usize::try_from(rates.days_without_year).unwrap_or(0), "day", "days")
            ));
        }
    }

    fn three(&mut self, rates: &Rates) {
        self.blank();
        let rows = [
            (
                "Needed",
                rates.needed_per_hour,
                rates.minutes.charged,
                "charged",
            ),
            (
                "Charged",
                rates.charged_per_hour,
                rates.minutes.charged,
                "charged",
            ),
            (
                "Earned",
                rates.earned_per_hour,
                rates.minutes.on_site,
                "on site",
            ),
        ];
        for (what, rate, minutes, of) in rows {
            let line = match rate {
                Some(rate) => format!(
                    "{what:<9}{:>11} an hour, over {} {of}",
                    self.money(rate),
                    length(minutes)
                ),
                None if minutes == 0 => format!("{what:<9}{:>11}: no time {of} yet", "not known"),
                None => format!(
                    "{what:<9}{:>11}: no year of diary.yaml says it",
                    "not known"
                ),
            };
            self.line(&line);
        }
        if let Some(share) = rates.utilisation {
            self.line(&format!(
                "{:<9}{:>9.0} % of the hours worked",
                "Billed",
                share * 100.0
            ));
        }
    }

    fn hours(&mut self, rates: &Rates) {
        let minutes = rates.minutes;
        if minutes.all <= 0.0 {
            return;
        }
        self.blank();
        self.line(&format!(
            "{:NAME$}{:>12}{:>9}   {}",
            "Where the hours went", "time", "share", "paid by"
        ));
        // What neither a call-out, a follow-up nor a free return accounts for, by whether it will be charged.
        let unpaid = |cause: &str| {
            let row = rates.unpaid.iter().find(|one| one.cause == cause);
            row.map_or(0.0, |row| as_f64(row.minutes))
        };
        let rows = [
            ("Charged", as_f64(minutes.charged), "the bill"),
            (
                "Call-outs on no bill",
                as_f64(minutes.call_outs_uncharged),
                "nobody",
            ),
            ("Follow-ups", as_f64(minutes.follow_ups), "nobody"),
            ("Free returns", as_f64(minutes.free_returns), "nobody"),
            (
                "Not charged yet",
                unpaid("not-charged-yet"),
                "nobody so far",
            ),
            ("Not to be charged", unpaid("not-to-be-charged"), "nobody"),
            ("On the road", as_f64(minutes.travel), "the rate"),
            ("Evening paperwork", minutes.admin, "the rate"),
        ];
        for (what, time, by) in rows.into_iter().filter(|(_, time, _)| *time > 0.0) {
            let share = time * 100.0 / minutes.all;
            self.line(&format!(
                "{what:NAME$}{:>12}{share:>7.0} %   {by}",
                rounded(time)
            ));
        }
        self.line(&format!(
            "{:NAME$}{:>12}{:>7} %",
            "All",
            rounded(minutes.all),
            100
        ));
    }

    fn earned(&mut self, heading: &str, all: &[Earned], needed: Option<Money>) {
        if all.is_empty() {
            return;
        }
        self.blank();
        self.line(&format!(
            "{heading:NAME$}{:>5}{:>10}{:>10}{:>22}",
            "jobs", "time", "an hour", "middle of its jobs"
        ));
        for one in all {
            let rate = one.earned_per_hour.map_or_else(String::new, figure);
            let middle = one.middle.as_ref().map_or_else(
                || "too few yet".to_owned(),
                |middle| format!("{} to {}", figure(middle.low), figure(middle.high)),
            );
            let surely = needed
                .zip(one.middle)
                .is_some_and(|(needed, middle)| middle.high < needed);
            let mark = if surely { "*" } else { "" };
            self.line(&format!(
                "{:NAME$}{:>5}{:>10}{rate:>10}{:>22}{mark}",
                fit(&one.name, NAME),
                one.jobs,
                length(one.minutes),
                middle
            ));
        }
        let short: Vec<&Earned> = all.iter().filter(|one| one.short.is_some()).collect();
        if let (Some(needed), false) = (needed, short.is_empty()) {
            let sum: Money = short.iter().filter_map(|one| one.short).sum();
            let needed = self.money(needed);
            let sum = self.money(sum);
            self.wrapped(&format!(
                "{} of {} earned less than the {needed} needed, and lacked {sum} between them.",
                short.len(),
                all.len()
            ));
        }
    }

    fn quotes(&mut self, quotes: &Quotes) {
        let Some(ratio) = quotes.hours_ratio else {
            return;
        };
        self.blank();
        self.wrapped(&quoted_against_taken(quotes, ratio));
        let worst: Vec<&OverQuote> = quotes
            .jobs
            .iter()
            .filter(|job| job.ratio > 1.0)
            .take(MOST_OVER)
            .collect();
        if worst.is_empty() {
            return;
        }
        self.line(&format!(
            "{:<53}{:>9}{:>9}{:>8}",
            "Furthest over the hours quoted", "quoted", "took", "over"
        ));
        for job in worst {
            let title = fit(&job.title, 41);
            self.line(&format!(
                "{:<10} {title:42}{:>9}{:>9}{:>6.0} %",
                job.reference,
                length(job.quoted),
                length(job.took),
                (job.ratio - 1.0) * 100.0
            ));
        }
    }

    fn unpaid(&mut self, unpaid: &[Unpaid]) {
        if unpaid.is_empty() {
            return;
        }
        self.blank();
        self.line(&format!(
            "{:NAME$}{:>7}{:>10}{:>14}",
            "Time that no bill pays", "visits", "time", "at your rate"
        ));
        for one in unpaid {
            let worth = self.money(one.worth);
            self.line(&format!(
                "{:NAME$}{:>7}{:>10}{worth:>14}",
                cause_in_words(one.cause),
                one.visits,
                length(one.minutes)
            ));
        }
    }

    fn levers(&mut self, levers: &[Lever]) {
        if levers.is_empty() {
            return;
        }
        self.blank();
        self.line(&format!(
            "{:NAME$}{:>14}{:>14}{:>14}",
            "What one change would do", "brings", "needed", "earned"
        ));
        for lever in levers {
            let rate = |rate: Option<Money>| rate.map_or_else(String::new, |rate| self.money(rate));
            let (worth, needed, earned) = (
                self.money(lever.worth),
                rate(lever.needed_per_hour),
                rate(lever.earned_per_hour),
            );
            self.line(&format!(
                "{:NAME$}{worth:>14}{needed:>14}{earned:>14}",
                change_in_words(lever.change, self.currency)
            ));
        }
    }
}

/// What the quotes of a span say, in sentences.
pub(in crate::office) fn quoted_against_taken(quotes: &Quotes, ratio: Ratio) -> String {
    let over = quotes.jobs.iter().filter(|job| job.ratio >= MUCH_OVER);
    let over = match (over.count(), quotes.n) {
        (0, 1) => "It did not run over by a quarter.".to_owned(),
        (1, 1) => "It ran over by a quarter or more.".to_owned(),
        (0, _) => "None ran over by a quarter or more.".to_owned(),
        (over, _) => format!("{over} ran over by a quarter or more."),
    };
    let middle = match (quotes.n, ratio.low.zip(ratio.high)) {
        (1, _) => format!(
            "The one quoted job took {:.2} times the hours quoted, and one says nothing of the next.",
            ratio.median
        ),
        (n, Some((low, high))) => format!(
            "Of {}, half took more than {:.2} times the hours quoted (the true middle lies between {low:.2} and \
             {high:.2}, nine times in ten).",
            counted(n, "quoted job", "quoted jobs"),
            ratio.median
        ),
        (n, None) => format!(
            "Of {}, half took more than {:.2} times the hours quoted, which is too few to say how sure that is.",
            counted(n, "quoted job", "quoted jobs"),
            ratio.median
        ),
    };
    format!("{middle} {over} {}", getting_better(quotes))
}

/// Whether quoting gets better, in a sentence.
pub(in crate::office) fn getting_better(quotes: &Quotes) -> String {
    match &quotes.trend {
        None => "Whether your quoting gets better cannot be told yet: that needs eight jobs.".to_owned(),
        Some(trend) if trend.p >= SELDOM => {
            "Whether your quoting gets better or worse cannot be told: the change from year to year is no more than \
             chance would make."
                .to_owned()
        }
        Some(trend) => {
            let way = if trend.per_year < 0.0 { "less" } else { "more" };
            format!(
                "Over the whole record a job takes {:.0} % {way} of its quote from one year to the next.",
                trend.per_year.abs() * 100.0
            )
        }
    }
}

/// A cause in words: `Call-outs on no bill`.
pub(in crate::office) fn cause_in_words(cause: &str) -> &str {
    match cause {
        "call-outs" => "Call-outs on no bill",
        "follow-ups" => "Follow-ups",
        "free-returns" => "Free returns",
        "not-to-be-charged" => "Not to be charged",
        "not-charged-yet" => "Not charged yet",
        other => other,
    }
}

/// A change in words, amounts in the diary's currency.
pub(in crate::office) fn change_in_words(change: &str, currency: &str) -> String {
    match change {
        "one-more-hour-a-week" => "One more hour charged a week".to_owned(),
        "one-pound-an-hour" => format!("{} more an hour", amount(Money::from_pence(100), currency)),
        "one-call-out-in-ten-fewer" => "One unpaid call-out in ten fewer".to_owned(),
        other => other.to_owned(),
    }
}

fn length(minutes: i64) -> String {
    Minutes::new(minutes).to_string()
}

fn rounded(minutes: f64) -> String {
    length(crate::office::words::whole(minutes))
}
