//! Readings beside the figures that they were held against, as a page shows them: the value, the figure in words, the
//! verdict, its gauge and the sum behind it.
//!
//! Judges nothing itself ([`super::judge`] does), and writes no HTML. No circuit's name is in it, so that readers may see
//! it.

use serde::Serialize;

use crate::model::Reading;

use super::judge::{Judgement, judge_readings};
use super::limits::Figures;
use super::verdict::{Limit, Quantity, Verdict};

/// One measured value beside its figure.
#[derive(Clone, Debug, Default, Serialize, PartialEq)]
pub struct Held {
    /// `Zs`, `R1+R2`, `RCD at 30 mA`, `Live to earth at 500 V`.
    pub quantity: String,
    /// `0.92`, `>200`, `LIM`.
    pub value: String,
    /// `Ω`, `MΩ`, `ms`, `kA`; empty where there is none.
    pub unit: String,
    /// `at most 1.37 Ω`; empty where it was held against none.
    pub figure: String,
    /// `within`, `near`, `outside`, `not judged`; for polarity, which has no figure, what it is.
    pub verdict: String,
    /// `in`, `near`, `out`; empty where there is no gauge.
    pub gauge: &'static str,
    /// Whether the figure is a least: the gauge is turned round.
    pub least: bool,
    /// Why, as words that follow the value: `over the published figure of 1.37 ohm for B32`.
    pub why: String,
    /// The sum: `230 x 0.95 / (5 x 32) = 1.37 ohm`; empty where there is none.
    pub worked: String,
    /// The book that the figure stands in: `BS 7671:2018+A2:2022, Table 41.3`; empty where there is no figure.
    pub book: String,
    /// Taken as found and measured again later.
    pub again: bool,
}

/// Every value of each reading, in the order of the readings and in that of the tests within one. As long as `readings`.
pub fn held(readings: &[Reading], figures: &Figures) -> Vec<Vec<Held>> {
    let mut all: Vec<Vec<Held>> = readings.iter().map(|_| Vec::new()).collect();
    for judged in judge_readings(readings, figures) {
        let reading = &readings[judged.reading];
        all[judged.reading].push(one(&judged, reading));
    }
    all
}

/// The books of every figure among these, each once, in the order in which they come; empty where no figure was held
/// against any.
pub fn books<'h>(all: impl Iterator<Item = &'h Held>) -> String {
    let mut books: Vec<&str> = Vec::new();
    for held in all {
        if !held.figure.is_empty() && !held.book.is_empty() && !books.contains(&held.book.as_str())
        {
            books.push(&held.book);
        }
    }
    books.join("; ")
}

fn one(judged: &Judgement, reading: &Reading) -> Held {
    let outcome = &judged.outcome;
    let unit = match judged.value.as_str() {
        // A limitation has no unit.
        "LIM" => "",
        _ => sign(judged.quantity),
    };
    let verdict = match (judged.quantity, outcome.verdict) {
        (_, Verdict::NotJudged) => "not judged".to_owned(),
        (Quantity::Polarity, _) => outcome.why.clone(),
        (_, verdict) => verdict.word().to_owned(),
    };
    let gauge = match (outcome.limit, outcome.verdict) {
        // Between two figures there is no one tick to draw.
        (None | Some(Limit::Between(..)), _) | (_, Verdict::NotJudged) => "",
        (_, Verdict::Within) => "in",
        (_, Verdict::Near) => "near",
        (_, Verdict::Outside) => "out",
    };
    Held {
        quantity: name(judged.quantity, reading),
        value: judged.value.clone(),
        unit: unit.to_owned(),
        figure: outcome
            .limit
            .map_or(String::new(), |limit| figure(limit, judged.quantity)),
        verdict,
        gauge,
        least: matches!(outcome.limit, Some(Limit::AtLeast(_))),
        why: outcome.why.clone(),
        worked: outcome.worked.clone().unwrap_or_default(),
        book: outcome
            .ground
            .as_ref()
            .map_or(String::new(), |ground| ground.book.clone()),
        again: judged.superseded,
    }
}

/// A figure with its unit: `at most 1.37 Ω`. Impedances have two places, as the printed tables do.
fn figure(limit: Limit, quantity: Quantity) -> String {
    let sign = sign(quantity);
    let number = |number: f64| match quantity {
        Quantity::Zs | Quantity::R1R2 | Quantity::RingNeutral | Quantity::RingCpc
            if number < 100.0 =>
        {
            format!("{number:.2}")
        }
        _ => number.to_string(),
    };
    match limit {
        // The cpc of a ring is held against its line's reading, so many times over.
        Limit::Between(low, high) if quantity == Quantity::RingCpc => {
            format!("{low} to {high} times r1")
        }
        Limit::AtMost(most) => format!("at most {} {sign}", number(most)),
        Limit::AtLeast(least) => format!("at least {} {sign}", number(least)),
        Limit::Apart(apart) if quantity == Quantity::R1R2 => {
            format!("at most {} {sign} from (r1 + r2) / 4", number(apart))
        }
        Limit::Apart(apart) => format!("at most {} {sign} from r1", number(apart)),
        Limit::Between(low, high) => format!("{} to {} {sign}", number(low), number(high)),
    }
    .trim_end()
    .to_owned()
}

/// The sign of a quantity's unit.
fn sign(quantity: Quantity) -> &'static str {
    match quantity.unit() {
        "ohm" => "Ω",
        "megohm" => "MΩ",
        other => other,
    }
}

/// A quantity as pages name it, with what it was tested at.
fn name(quantity: Quantity, reading: &Reading) -> String {
    let volts = || {
        let at = reading.insulation.as_ref().and_then(|it| it.at.as_ref());
        at.map_or(String::new(), |at| format!(" at {} V", at.value))
    };
    match quantity {
        Quantity::RingLine => "Ring r1".to_owned(),
        Quantity::RingNeutral => "Ring rn".to_owned(),
        Quantity::RingCpc => "Ring r2".to_owned(),
        Quantity::R1R2 => "R1+R2".to_owned(),
        Quantity::InsulationToEarth => format!("Live to earth{}", volts()),
        Quantity::InsulationBetween => format!("Live to live{}", volts()),
        Quantity::Ze => "Ze".to_owned(),
        Quantity::Zs => "Zs".to_owned(),
        Quantity::Pfc => "Prospective fault current".to_owned(),
        Quantity::Rcd => {
            let rcd = reading.rcd.as_ref();
            let at = rcd
                .and_then(|rcd| rcd.at.as_ref())
                .map_or(String::new(), |at| format!(" at {} mA", at.value));
            let kind = rcd
                .and_then(|rcd| rcd.kind.as_ref())
                .map_or(String::new(), |kind| format!(", type {}", kind.value));
            format!("RCD{at}{kind}")
        }
        Quantity::Polarity => "Polarity".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(readings: &str) -> Vec<Held> {
        let log = format!(
            "---\ntitle: A job\nref: 2026-001\nvisits: [{{date: 2026-03-02, time: 2h}}]\nreadings:\n{readings}---\n"
        );
        let settings = include_bytes!("../../content/starter/diary.yaml").to_vec();
        let files = vec![
            ("diary.yaml".to_owned(), settings),
            ("jobs/2026/a.md".to_owned(), log.into()),
        ];
        let job = crate::diary::read_files(files).diary.jobs.remove(0);
        held(&job.readings, &Figures::published()).concat()
    }

    fn line(held: &Held) -> String {
        let turned = if held.least { " turned" } else { "" };
        format!(
            "{} {} {} | {} | {} | {}{turned}",
            held.quantity, held.value, held.unit, held.figure, held.verdict, held.gauge
        )
    }

    #[test]
    fn a_value_stands_beside_its_figure_in_the_order_of_the_tests() {
        let all = of(
            "  - {circuit: A, device: {type: C, rating: 16}, zs: 1.21, insulation: {at: 500, live_to_earth: \">200\"}, \
             rcd: {at: 30, ms: 412, kind: A}, polarity: right}\n",
        );
        assert_eq!(
            all.iter().map(line).collect::<Vec<_>>(),
            [
                "Live to earth at 500 V >200 MΩ | at least 1 MΩ | within | in turned",
                "Zs 1.21 Ω | at most 1.37 Ω | near | near",
                "RCD at 30 mA, type A 412 ms | at most 300 ms | outside | out",
                "Polarity right  |  | as it should be | ",
            ]
        );
        assert!(all[1].worked.contains("230 x 0.95"), "{:?}", all[1]);
        let books = books(all.iter());
        assert!(
            books.contains("41.3") && !books.contains("common practice"),
            "{books}"
        );
    }

    #[test]
    fn what_was_not_judged_says_why_and_has_no_gauge() {
        let all = of("  - {circuit: A, zs: 0.4, ze: LIM}\n");
        assert_eq!(
            all.iter().map(line).collect::<Vec<_>>(),
            ["Ze LIM  |  | not judged | ", "Zs 0.4 Ω |  | not judged | "]
        );
        assert_eq!(
            all[1].why,
            "no device is written, and a value without one proves nothing"
        );
        assert_eq!(books(all.iter()), "");
    }

    #[test]
    fn a_ring_is_held_against_its_own_line() {
        let all = of("  - {circuit: A, ring: {r1: 0.39, rn: 0.52, r2: 0.65}}\n");
        assert_eq!(
            all.iter().map(line).collect::<Vec<_>>(),
            [
                "Ring r1 0.39 Ω |  | not judged | ",
                "Ring rn 0.52 Ω | at most 0.05 Ω from r1 | outside | out",
                "Ring r2 0.65 Ω | 1.6 to 1.7 times r1 | within | ",
            ]
        );
    }

    #[test]
    fn what_was_found_and_measured_again_is_marked() {
        let all = of(
            "  - {circuit: A, as_found: true, device: {type: B, rating: 32}, zs: 1.84}\n  - {circuit: A, device: {type: B, rating: 32}, zs: 0.51}\n",
        );
        assert_eq!(
            all.iter().map(|held| held.again).collect::<Vec<_>>(),
            [true, false]
        );
    }
}
