//! What was quoted and charged, as the one who pays sees it: extras as lines of their own, VAT as its own line. No cost
//! and no margin stands here.

use serde::Serialize;

use crate::model::{Charged, Extra, Job, Money, Private, Quoted, Rates};
use crate::office::reckon::percent;
use crate::office::words::{amount, capital, day, figure, number};

/// The table of charges.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct ChargedTable {
    /// Lines.
    pub lines: Vec<ChargedLine>,
    /// The sum.
    pub total: ChargedLine,
    /// Whether a quote stands beside it.
    pub quoted: bool,
    /// What is said beneath; may be empty.
    pub note: String,
}

/// A line of charges.
#[derive(Clone, Debug, Default, Serialize, PartialEq)]
pub struct ChargedLine {
    /// `Labour`.
    pub what: String,
    /// Quoted; empty where none is written.
    pub quoted: String,
    /// Charged; empty where none is written.
    pub charged: String,
}

/// What was charged; `None` where neither a quote nor a charge is written. `because` is then what to say.
pub(super) fn table(job: &Job, rates: &Rates) -> Result<ChargedTable, &'static str> {
    let quoted = job.quoted.as_ref().map(Private::in_office);
    let charged = job.charged.as_ref().map(Private::in_office);
    if job.uncharged.is_some() && charged.is_none() {
        return Err("Nothing is charged for this job.");
    }
    if quoted.is_none() && charged.is_none() {
        return Err("No bill is written in the record yet.");
    }
    let mut sums = (None, None);
    let mut lines = Vec::new();
    let mut line = |what: String, quoted: Option<Money>, charged: Option<Money>| {
        if quoted.is_none() && charged.is_none() {
            return;
        }
        sums = (more(sums.0, quoted), more(sums.1, charged));
        lines.push(ChargedLine {
            what,
            quoted: shown(quoted),
            charged: shown(charged),
        });
    };
    let part = |side: Option<&Quoted>, part: fn(&Quoted) -> Option<Money>| side.and_then(part);
    let labour = |side: &Quoted| side.labour.as_ref().map(|at| at.value);
    let extras = extras(job, charged);
    let extra_labour: Money = extras.iter().map(|(_, labour)| *labour).sum();
    line(
        match extras.is_empty() {
            true => "Labour".to_owned(),
            false => "Labour, extras apart".to_owned(),
        },
        part(quoted, labour),
        part(charged, labour).map(|all| all - extra_labour),
    );
    for (extra, labour) in &extras {
        line(extra_words(extra), None, Some(*labour));
    }
    let materials = |side: &Quoted| side.materials.as_ref().map(|at| at.value);
    line(
        "Materials".to_owned(),
        part(quoted, materials),
        part(charged, materials),
    );
    let parking = |side: &Quoted| side.parking.as_ref().map(|at| at.value);
    line(
        "Parking".to_owned(),
        part(quoted, parking),
        part(charged, parking),
    );
    let (mut quoted_sum, mut charged_sum) = sums;
    if rates.vat_percent > 0.0 {
        let vat = |sum: Option<Money>| sum.map(|sum| percent(sum, rates.vat_percent));
        let (on_quote, on_charge) = (vat(quoted_sum), vat(charged_sum));
        lines.push(ChargedLine {
            what: format!("VAT at {} %", number(rates.vat_percent)),
            quoted: shown(on_quote),
            charged: shown(on_charge),
        });
        quoted_sum = more(quoted_sum, on_quote);
        charged_sum = more(charged_sum, on_charge);
    }
    let billed = charged
        .and_then(|charged| charged.on.as_ref())
        .map(|on| format!("Billed {}", day(on.value)));
    Ok(ChargedTable {
        total: ChargedLine {
            what: billed.unwrap_or_else(|| "In all".to_owned()),
            quoted: shown(quoted_sum),
            charged: shown(charged_sum),
        },
        lines,
        quoted: quoted_sum.is_some(),
        note: note(charged, charged_sum, rates),
    })
}

fn note(charged: Option<&Charged>, sum: Option<Money>, rates: &Rates) -> String {
    match (charged, sum) {
        (None, _) => "This is what was quoted; no bill is written in the record yet.".to_owned(),
        (Some(_), Some(sum)) if rates.vat_percent > 0.0 => {
            format!("{} in all, VAT in it.", amount(sum, &rates.currency))
        }
        _ => "No VAT is charged.".to_owned(),
    }
}

/// Extras that are lines of their own: those with an amount, where together they are no more than all labour charged.
fn extras<'a>(job: &'a Job, charged: Option<&Charged>) -> Vec<(&'a Extra, Money)> {
    let labour = charged.and_then(|charged| charged.labour.as_ref());
    let extras: Vec<(&Extra, Money)> = job
        .extras
        .iter()
        .map(Private::in_office)
        .filter_map(|extra| Some((extra, extra.labour.as_ref()?.value)))
        .collect();
    let sum: Money = extras.iter().map(|(_, labour)| *labour).sum();
    match labour {
        Some(all) if sum <= all.value => extras,
        _ => Vec::new(),
    }
}

/// `Label both outlets, agreed 12 March 2026`.
fn extra_words(extra: &Extra) -> String {
    let what = capital(extra.what.value.trim());
    match &extra.agreed_on {
        Some(on) => format!("{what}, agreed {}", day(on.value)),
        None => what,
    }
}

fn more(sum: Option<Money>, more: Option<Money>) -> Option<Money> {
    match (sum, more) {
        (Some(sum), Some(more)) => Some(sum + more),
        (one, other) => one.or(other),
    }
}

fn shown(money: Option<Money>) -> String {
    money.map_or(String::new(), figure)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(vat: f64, keys: &str) -> Vec<String> {
        let log = format!(
            "---\ntitle: A job\nref: 2026-001\nvisits: [{{date: 2026-03-02, time: 2h}}]\n{keys}---\n"
        );
        let settings =
            String::from_utf8(include_bytes!("../../../content/starter/diary.yaml").to_vec())
                .expect("the starter is text");
        let files = vec![
            ("diary.yaml".to_owned(), settings.into_bytes()),
            ("jobs/2026/a.md".to_owned(), log.into()),
        ];
        let diary = crate::diary::read_files(files).diary;
        let rates = Rates {
            vat_percent: vat,
            ..diary.settings.rates.in_office().clone()
        };
        match table(&diary.jobs[0], &rates) {
            Ok(table) => {
                let line = |line: &ChargedLine| {
                    format!("{} | {} | {}", line.what, line.quoted, line.charged)
                };
                let mut all: Vec<String> = table.lines.iter().map(line).collect();
                all.push(line(&table.total));
                all.push(table.note.clone());
                all
            }
            Err(why) => vec![why.to_owned()],
        }
    }

    const EXTRA: &str = "quoted: {labour: 504.00, materials: 210.00}\ncharged: {labour: 504.00, materials: 236.40, parking: 5.00, \
        on: 2026-03-20}\nextras: [{what: label both outlets, labour: 15.00, agreed: {who: owner, on: 2026-03-12}}]\n";

    #[test]
    fn extras_are_lines_of_their_own_within_all_labour() {
        assert_eq!(
            told(0.0, EXTRA),
            [
                "Labour, extras apart | 504.00 | 489.00",
                "Label both outlets, agreed 12 March 2026 |  | 15.00",
                "Materials | 210.00 | 236.40",
                "Parking |  | 5.00",
                "Billed 20 March 2026 | 714.00 | 745.40",
                "No VAT is charged.",
            ]
        );
    }

    #[test]
    fn vat_is_a_line_of_its_own_to_the_penny() {
        let with = told(20.0, EXTRA);
        assert_eq!(with[4], "VAT at 20 % | 142.80 | 149.08");
        assert_eq!(with[5], "Billed 20 March 2026 | 856.80 | 894.48");
        assert_eq!(with[6], "£894.48 in all, VAT in it.");
    }

    #[test]
    fn what_is_not_written_is_said() {
        assert_eq!(told(0.0, ""), ["No bill is written in the record yet."]);
        assert_eq!(
            told(0.0, "uncharged: a favour to the neighbour\n"),
            ["Nothing is charged for this job."]
        );
        assert_eq!(
            told(0.0, "quoted: {labour: 84.00}\n")[2],
            "This is what was quoted; no bill is written in the record yet."
        );
    }
}
