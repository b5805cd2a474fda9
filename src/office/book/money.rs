//! A job's money as the office book shows it: materials with their margin, what was quoted against what was charged
//! and what it took, extras. Whole pence throughout; what is not written is left out of the sums and said.

use jiff::civil::Date;
use serde::Serialize;

use crate::model::{At, Job, Material, Minutes, Money, Private, Quoted, VisitKind};

use super::visits::parking_paid;
use crate::office::reckon::{an_hour, line_amounts, over_cost, taken};
use crate::office::words::{amount, capital, counted, day, figure, percent_of, stopped};

/// A job's money.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct JobMoney {
    /// Materials in the order of the log.
    pub materials: Vec<MaterialRow>,
    /// Plant on site.
    pub plant: Vec<MaterialRow>,
    /// The sums of the materials; `None` without any.
    pub material_sums: Option<MaterialSums>,
    /// Quoted, charged and taken, line by line; empty where neither a quote nor a charge is written.
    pub lines: Vec<MoneyLine>,
    /// The sum of the lines of money; `None` with them empty.
    pub total: Option<MoneyLine>,
    /// What the figures say, as sentences; may be empty.
    pub say: String,
    /// Where the figures come from: the quote's basis and date, the charge's date, why nothing is charged. Sentences.
    pub sources: Vec<String>,
    /// Extras in the order of the log.
    pub extras: Vec<ExtraRow>,
}

/// A material.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct MaterialRow {
    /// `24 m`, `4`.
    pub count: String,
    /// What it is.
    pub item: String,
    /// Where it was bought; may be empty.
    pub supplier: String,
    /// The whole line's cost; empty where none is written.
    pub cost: String,
    /// The whole line's charge; empty where none is written.
    pub charge: String,
    /// Charge less cost; empty where one of them is not written.
    pub margin: String,
    /// The margin over the cost: `15 %`; empty where it is undefined.
    pub over: String,
}

/// Sums of materials.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct MaterialSums {
    /// Of what is written.
    pub cost: String,
    /// Of what is written.
    pub charge: String,
    /// Of lines that have both; empty where none has.
    pub margin: String,
    /// Over those lines' cost.
    pub over: String,
    /// Which lines a sum leaves out; empty where none.
    pub left_out: String,
}

/// A line of quoted, charged and taken.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct MoneyLine {
    /// `Labour`.
    pub what: &'static str,
    /// Quoted; empty where none is written.
    pub quoted: String,
    /// Charged; empty where none is written.
    pub charged: String,
    /// What it took or cost; empty where that is not known.
    pub took: String,
}

/// An extra.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct ExtraRow {
    /// What.
    pub what: String,
    /// How much; empty where none is written.
    pub labour: String,
    /// Who agreed it and when: `yard manager, 12 March 2026`; may be empty.
    pub agreed: String,
}

/// A job's money, in the words of its page.
pub(super) fn job_money(job: &Job, currency: &str, as_of: Date) -> JobMoney {
    let took = Took::of(job, as_of);
    let quoted = job.quoted.as_ref().map(Private::in_office);
    let charged = job.charged.as_ref().map(Private::in_office);
    let (lines, total) = if quoted.is_none() && charged.is_none() {
        (Vec::new(), None)
    } else {
        let (lines, total) = lines(job, quoted, charged, took);
        (lines, Some(total))
    };
    JobMoney {
        materials: job.materials.iter().map(material_row).collect(),
        plant: job
            .plant
            .iter()
            .map(|item| material_row(item.in_office()))
            .collect(),
        material_sums: (!job.materials.is_empty()).then(|| material_sums(&job.materials)),
        lines,
        total,
        say: say(quoted, charged, took, currency),
        sources: sources(job, quoted, charged),
        extras: job
            .extras
            .iter()
            .map(|extra| extra_row(extra.in_office()))
            .collect(),
    }
}

fn material_row(material: &Material) -> MaterialRow {
    let (cost, charge) = line_amounts(material);
    let both = cost.zip(charge);
    MaterialRow {
        count: material.how_many(),
        item: material.item.value.clone(),
        supplier: material
            .supplier
            .as_ref()
            .map_or(String::new(), |supplier| supplier.in_office().value.clone()),
        cost: cost.map_or(String::new(), figure),
        charge: charge.map_or(String::new(), figure),
        margin: both.map_or(String::new(), |(cost, charge)| figure(charge - cost)),
        over: both
            .and_then(|(cost, charge)| over_cost(cost, charge))
            .map_or(String::new(), percent),
    }
}

/// `15 %`, `−25 %`.
fn percent(over: i64) -> String {
    let sign = if over < 0 { "−" } else { "" };
    format!("{sign}{} %", over.unsigned_abs())
}

fn material_sums(materials: &[Material]) -> MaterialSums {
    let amounts: Vec<(Option<Money>, Option<Money>)> = materials.iter().map(line_amounts).collect();
    let both: Vec<(Money, Money)> = amounts
        .iter()
        .filter_map(|(cost, charge)| cost.zip(*charge))
        .collect();
    let cost: Money = both.iter().map(|(cost, _)| *cost).sum();
    let charge: Money = both.iter().map(|(_, charge)| *charge).sum();
    let missing = amounts.len() - both.len();
    MaterialSums {
        cost: figure(amounts.iter().filter_map(|(cost, _)| *cost).sum()),
        charge: figure(amounts.iter().filter_map(|(_, charge)| *charge).sum()),
        margin: if both.is_empty() {
            String::new()
        } else {
            figure(charge - cost)
        },
        over: if both.is_empty() {
            None
        } else {
            over_cost(cost, charge)
        }
        .map_or(String::new(), percent),
        left_out: if missing == 0 {
            String::new()
        } else {
            let lines = capital(&counted(missing, "line has", "lines have"));
            format!("{lines} no cost or no charge written, and no part in the margin.")
        },
    }
}

/// What materials or plant cost over the lines that say so; `None` where none does.
fn cost<'a>(lines: impl Iterator<Item = &'a Material>) -> Option<Money> {
    let costs: Vec<Money> = lines
        .filter_map(|material| line_amounts(material).0)
        .collect();
    (!costs.is_empty()).then(|| costs.into_iter().sum())
}

/// A part of a quote or of a charge.
type Part = fn(&Quoted) -> &Option<At<Money>>;

/// Hours on site.
#[derive(Clone, Copy)]
struct Took {
    /// What a quote is held against: without free returns, as the rates reckon it.
    quoted_for: Minutes,
    /// On every visit.
    on_site: Minutes,
    /// Whether free returns are among them.
    free_returns: bool,
}

impl Took {
    fn of(job: &Job, as_of: Date) -> Self {
        let mut visits = job.visits.iter();
        Took {
            quoted_for: taken(job, as_of),
            on_site: job.minutes_on_site(),
            free_returns: visits.any(|visit| visit.kind == VisitKind::Guarantee),
        }
    }
}

fn lines(
    job: &Job,
    quoted: Option<&Quoted>,
    charged: Option<&Quoted>,
    took: Took,
) -> (Vec<MoneyLine>, MoneyLine) {
    let money = |side: Option<&Quoted>, part: Part| {
        side.and_then(|side| part(side).as_ref())
            .map(|money| money.value)
    };
    let hours = |side: Option<&Quoted>| {
        side.and_then(|side| side.hours.as_ref())
            .map(|hours| hours.value)
    };
    let plant = job.plant.iter().map(Private::in_office);
    // A quote and a charge have no part for plant: what is asked for it is in their labour or materials.
    let parts: [(&'static str, Part, Option<Money>); 4] = [
        ("Labour", |side| &side.labour, None),
        (
            "Materials",
            |side| &side.materials,
            cost(job.materials.iter()),
        ),
        ("Plant", |_| &None, cost(plant)),
        ("Parking", |side| &side.parking, parking_paid(job)),
    ];
    let shown = |money: Option<Money>| money.map_or(String::new(), figure);
    let mut lines = vec![MoneyLine {
        what: if took.free_returns {
            "Hours on site without free returns"
        } else {
            "Hours on site"
        },
        quoted: hours(quoted).map_or(String::new(), |hours| hours.to_string()),
        charged: hours(charged).map_or(String::new(), |hours| hours.to_string()),
        took: took.quoted_for.to_string(),
    }];
    let mut sums = (None, None, None);
    for (what, part, took) in parts {
        let (quoted, charged) = (money(quoted, part), money(charged, part));
        if quoted.is_none() && charged.is_none() && took.is_none() {
            continue;
        }
        sums = (sum(sums.0, quoted), sum(sums.1, charged), sum(sums.2, took));
        lines.push(MoneyLine {
            what,
            quoted: shown(quoted),
            charged: shown(charged),
            took: shown(took),
        });
    }
    let total = MoneyLine {
        what: "In all",
        quoted: shown(sums.0),
        charged: shown(sums.1),
        took: shown(sums.2),
    };
    (lines, total)
}

fn sum(so_far: Option<Money>, more: Option<Money>) -> Option<Money> {
    match (so_far, more) {
        (Some(so_far), Some(more)) => Some(so_far + more),
        (one, other) => one.or(other),
    }
}

/// Hours against the quote, and what an hour on site brought.
fn say(quoted: Option<&Quoted>, charged: Option<&Quoted>, took: Took, currency: &str) -> String {
    let on_site = took.on_site;
    let mut words = Vec::new();
    if let Some(hours) = quoted
        .and_then(|quoted| quoted.hours.as_ref())
        .map(|hours| hours.value)
        && hours > Minutes::NOUGHT
    {
        let quoted_for = took.quoted_for;
        let off = percent_of((quoted_for - hours).get(), hours.get());
        let how = match off {
            0 => "as quoted".to_owned(),
            more @ 1.. => format!("{more} % over"),
            less => format!("{} % under", -less),
        };
        let without = if took.free_returns {
            " without free returns"
        } else {
            ""
        };
        words.push(format!(
            "Quoted at {hours} and took {quoted_for}{without}: {how}."
        ));
    }
    if let Some(labour) = charged
        .and_then(|charged| charged.labour.as_ref())
        .map(|labour| labour.value)
        && let Some(each) = an_hour(labour, on_site.get())
    {
        words.push(format!(
            "Labour of {} over {on_site} on site is {} an hour, call-outs and free returns in it.",
            amount(labour, currency),
            amount(each, currency)
        ));
    }
    words.join(" ")
}

fn sources(job: &Job, quoted: Option<&Quoted>, charged: Option<&Quoted>) -> Vec<String> {
    let mut words = Vec::new();
    if let Some(quoted) = quoted {
        let on = quoted
            .on
            .as_ref()
            .map_or(String::new(), |on| format!(" on {}", day(on.value)));
        match &quoted.basis {
            Some(basis) => words.push(stopped(&format!("Quoted{on} as {}", basis.value))),
            None if !on.is_empty() => words.push(format!("Quoted{on}.")),
            None => {}
        }
    }
    if let Some(on) = charged.and_then(|charged| charged.on.as_ref()) {
        words.push(format!("Charged on {}.", day(on.value)));
    }
    if let Some(why) = &job.uncharged {
        words.push(stopped(&format!("Not charged: {}", why.in_office().value)));
    } else if charged.is_none() {
        words.push("No charge is written in this log.".to_owned());
    }
    words
}

fn extra_row(extra: &crate::model::Extra) -> ExtraRow {
    let agreed: Vec<String> = [
        extra.agreed_by.as_ref().map(|who| who.value.clone()),
        extra.agreed_on.as_ref().map(|on| day(on.value)),
    ]
    .into_iter()
    .flatten()
    .collect();
    ExtraRow {
        what: capital(&extra.what.value),
        labour: extra
            .labour
            .as_ref()
            .map_or(String::new(), |labour| figure(labour.value)),
        agreed: agreed.join(", "),
    }
}
