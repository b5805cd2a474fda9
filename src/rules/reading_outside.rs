//! A reading outside its figure, or within it and past what a reading taken cold should keep to.
//!
//! The figures and their sources are the trade's (`crate::trade`). A reading that was taken as found and measured again
//! later is history and is left alone; so is what could not be judged. Nothing here says that a circuit is sound.

use crate::diagnose::{Code, Diagnostic};
use crate::model::Job;
use crate::trade::{Figures, Judgement, Quantity, Verdict, judge_readings};

/// One warning for each value that is outside or near, at the value.
pub fn check(job: &Job, figures: &Figures, said: &mut Vec<Diagnostic>) {
    for judged in judge_readings(&job.readings, figures) {
        let code = match judged.outcome.verdict {
            Verdict::Outside => Code::ReadingOutside,
            Verdict::Near => Code::ReadingNear,
            Verdict::Within | Verdict::NotJudged => continue,
        };
        if judged.superseded {
            continue;
        }
        said.push(Diagnostic::warning(
            code,
            judged.span,
            message(&judged),
            help(&judged),
        ));
    }
}

/// The value, how it lies to its figure, the sum and the book.
fn message(judged: &Judgement) -> String {
    let ground = judged
        .outcome
        .ground
        .as_ref()
        .map(|ground| ground.book.as_str());
    let behind: Vec<&str> = judged
        .outcome
        .worked
        .as_deref()
        .into_iter()
        .chain(ground)
        .collect();
    let behind = if behind.is_empty() {
        String::new()
    } else {
        format!(" ({})", behind.join("; "))
    };
    format!("{} {}{behind}", subject(judged), judged.outcome.why)
}

/// `a Zs of 1.52 ohm is`.
fn subject(judged: &Judgement) -> String {
    let (value, unit) = (&judged.value, judged.quantity.unit());
    match judged.quantity {
        Quantity::RingLine => format!("r1 of {value} {unit} is"),
        Quantity::RingNeutral => format!("rn of {value} {unit} is"),
        Quantity::RingCpc => format!("r2 of {value} {unit} is"),
        Quantity::R1R2 => format!("an R1+R2 of {value} {unit} makes"),
        Quantity::InsulationToEarth => format!("insulation of {value} {unit}, live to earth, is"),
        Quantity::InsulationBetween => format!("insulation of {value} {unit}, live to live, is"),
        Quantity::Ze => format!("a Ze of {value} {unit} is"),
        Quantity::Zs => format!("a Zs of {value} {unit} is"),
        Quantity::Pfc => format!("a fault current of {value} {unit} is"),
        Quantity::Rcd => format!("an RCD time of {value} {unit} is"),
        Quantity::Polarity => format!("polarity is written as {value}, which is"),
    }
}

fn help(judged: &Judgement) -> &'static str {
    match (judged.outcome.verdict, judged.quantity) {
        (Verdict::Near, _) => {
            "Check the connections and measure again. A circuit that has carried load is warmer and reads higher. If \
             the value stands, say why in the log."
        }
        (_, Quantity::Zs | Quantity::R1R2) => {
            "Check device, connections and cpc, put the cause right and measure again; then mark this one as_found: \
             true. With an electrode of its own, write its ze and the circuit's rcd: then the RCD's figure is taken."
        }
        (_, Quantity::InsulationToEarth | Quantity::InsulationBetween) => {
            "Disconnect what is connected, find the cause and measure again; then mark this one as_found: true. Until \
             then write a finding, and who was told."
        }
        (_, Quantity::Rcd) => {
            "Take the loads off and test again; if it stays so, the device is changed. Then mark this one as_found: \
             true."
        }
        (_, Quantity::Polarity) => {
            "Put it right before it is energised again, test once more, and write polarity: right in a later reading."
        }
        (_, _) => {
            "Find the break or the loose joint, put it right and measure all three ends again; then mark this one \
             as_found: true."
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::told;

    fn with(readings: &[&str]) -> String {
        let lines: String = readings
            .iter()
            .map(|reading| format!("  - {{{reading}}}\n"))
            .collect();
        told(&format!(
            "visits: [{{date: 2026-11-12, time: 2h}}]\nreadings:\n{lines}"
        ))
    }

    #[test]
    fn a_zs_over_its_figure_is_told_with_the_sum_and_the_book() {
        insta::assert_snapshot!(with(&[
            "circuit: Sockets, device: {type: B, rating: 32}, zs: 1.52",
        ]), @r#"
        jobs/2026/a.md, line 7: warning: a Zs of 1.52 ohm is over the published figure of 1.37 ohm for B32 (230 x 0.95 / (5 x 32) = 1.37 ohm; BS 7671:2018+A2:2022, Table 41.3).
            7 |   - {circuit: Sockets, device: {type: B, rating: 32}, zs: 1.52}
              |                                                           ^^^^
        Check device, connections and cpc, put the cause right and measure again; then
        mark this one as_found: true. With an electrode of its own, write its ze and the
        circuit's rcd: then the RCD's figure is taken.                  (reading-outside)

        1 warning.
        "#);
    }

    #[test]
    fn a_zs_past_four_fifths_of_its_figure_is_near() {
        insta::assert_snapshot!(with(&[
            "circuit: Sockets, device: {type: B, rating: 32}, zs: 1.20",
            "circuit: Cooker, device: {type: B, rating: 32}, zs: 1.09",
        ]), @r#"
        jobs/2026/a.md, line 7: warning: a Zs of 1.20 ohm is within the published figure of 1.37 ohm for B32, but over 80 % of it, the 1.09 ohm for a reading taken cold (230 x 0.95 / (5 x 32) = 1.37 ohm; BS 7671:2018+A2:2022, Table 41.3).
            7 |   - {circuit: Sockets, device: {type: B, rating: 32}, zs: 1.20}
              |                                                           ^^^^
        Check the connections and measure again. A circuit that has carried load is
        warmer and reads higher. If the value stands, say why in the log. (reading-near)

        1 warning.
        "#);
    }

    #[test]
    fn each_value_of_a_row_is_told_at_its_own_place() {
        insta::assert_snapshot!(with(&[
            "circuit: Sockets, device: {type: B, rating: 32}, ring: {r1: 0.46, rn: \">200\", r2: 2.31}, insulation: {at: 500, live_to_earth: 0.3}, rcd: {at: 30, ms: 312}, polarity: reversed",
        ]), @r#"
        jobs/2026/a.md, line 7: warning: rn of >200 ohm is beyond the tester's range from end to end: this leg of the ring is open (trade practice for ring finals).
            7 |   - {circuit: Sockets, device: {type: B, rating: 32}, ring: {r1: 0.46, rn: ">200", r2: 2.31}, insulation: {at: 500, live_to_earth: 0....
              |                                                                            ^^^^^^
        Find the break or the loose joint, put it right and measure all three ends
        again; then mark this one as_found: true.                       (reading-outside)

        jobs/2026/a.md, line 7: warning: r2 of 2.31 ohm is 5.02 times r1, more than the 2.68 of the smallest cpc in any usual cable; 1.6 to 1.7 is published for 2.5/1.5 mm2 cable (2.31 / 0.46 = 5.02; trade practice for ring finals).
            7 |   - {circuit: Sockets, device: {type: B, rating: 32}, ring: {r1: 0.46, rn: ">200", r2: 2.31}, insulation: {at: 500, live_to_earth: 0....
              |                                                                                        ^^^^
        Find the break or the loose joint, put it right and measure all three ends
        again; then mark this one as_found: true.                       (reading-outside)

        jobs/2026/a.md, line 7: warning: insulation of 0.3 megohm, live to earth, is under the published minimum of 1 megohm, tested at 500 V (BS 7671:2018+A2:2022, regulation 643.3).
            7 | ...6, rn: ">200", r2: 2.31}, insulation: {at: 500, live_to_earth: 0.3}, rcd: {at: 30, ms: 312}, polarity: reversed}
              |                                                                   ^^^
        Disconnect what is connected, find the cause and measure again; then mark this
        one as_found: true. Until then write a finding, and who was told. (reading-outside)

        jobs/2026/a.md, line 7: warning: an RCD time of 312 ms is over the published 300 ms for an RCD at its 30 mA (BS EN 61008 and 61009).
            7 | ..., insulation: {at: 500, live_to_earth: 0.3}, rcd: {at: 30, ms: 312}, polarity: reversed}
              |                                                                   ^^^
        Take the loads off and test again; if it stays so, the device is changed. Then
        mark this one as_found: true.                                   (reading-outside)

        jobs/2026/a.md, line 7: warning: polarity is written as reversed, which is not as it should be (common practice).
            7 | ... 500, live_to_earth: 0.3}, rcd: {at: 30, ms: 312}, polarity: reversed}
              |                                                                 ^^^^^^^^
        Put it right before it is energised again, test once more, and write polarity:
        right in a later reading.                                       (reading-outside)

        5 warnings.
        "#);
    }

    #[test]
    fn on_its_own_electrode_the_rcd_s_figure_is_taken() {
        assert_eq!(
            with(&[
                "circuit: Electrode, ze: 84",
                "circuit: Barn, device: {type: B, rating: 16}, r1_r2: 0.31, zs: 86, rcd: {at: 30, ms: 26}",
            ]),
            ""
        );
        assert_ne!(
            with(&["circuit: Barn, device: {type: B, rating: 16}, zs: 86, rcd: {at: 30, ms: 26}"]),
            ""
        );
    }

    #[test]
    fn what_was_found_and_measured_again_is_history() {
        assert_eq!(
            with(&[
                "circuit: Sockets, as_found: true, device: {type: B, rating: 32}, zs: 1.84, rcd: {at: 30, ms: 312}",
                "circuit: sockets, device: {type: B, rating: 32}, zs: 0.51, rcd: {at: 30, ms: 31}",
            ]),
            ""
        );
    }

    #[test]
    fn a_limitation_measures_nothing_again() {
        let said = with(&[
            "circuit: Sockets, as_found: true, device: {type: B, rating: 32}, zs: 1.84",
            "circuit: Sockets, device: {type: B, rating: 32}, zs: LIM",
        ]);
        assert!(said.contains("reading-outside"), "{said}");
    }
}
