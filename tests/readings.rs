//! Readings as a log writes them, held against the figures: the verdict on each value, why, and the sum behind it.

use daywork::diagnose::text::{Colour, render};
use daywork::diagnose::{Level, put_in_order};
use daywork::diary::read_files;
use daywork::trade::{Figures, Quantity, Verdict, judge_readings, whole_board};

const DIARY: &str = "\
title: A test diary
trader: {name: Nan Tregarrow, trading_as: Gullwick Electrical, phone: 01632 960123, email: nan@example.com}
site: {address: https://example.com, language: en-GB, timezone: Europe/London}
";

/// A log with these rows of readings, read with these keys of `diary.yaml` beside the standard ones.
fn read(rows: &[&str], settings: &str) -> daywork::model::Diary {
    let lines: String = rows.iter().map(|row| format!("  - {{{row}}}\n")).collect();
    let log = format!(
        "---\ntitle: A job\nref: 2026-001\nvisits: [{{date: 2026-11-02, time: 2h}}, {{date: 2026-11-05, time: 2h}}]\nreadings:\n{lines}---\n\nWords.\n"
    );
    let read = read_files(vec![
        (
            "diary.yaml".to_owned(),
            format!("{DIARY}{settings}").into_bytes(),
        ),
        ("jobs/2026/a.md".to_owned(), log.into_bytes()),
    ]);
    let errors: Vec<_> = read
        .diagnostics
        .iter()
        .filter(|diagnostic| diagnostic.level == Level::Error)
        .collect();
    assert!(errors.is_empty(), "{errors:#?}");
    read.diary
}

/// Every judgement of the rows, a line each.
fn said(rows: &[&str]) -> String {
    said_by(rows, "")
}

fn said_by(rows: &[&str], settings: &str) -> String {
    let diary = read(rows, settings);
    let figures = Figures::with_own(&diary.settings.figures);
    judge_readings(&diary.jobs[0].readings, &figures)
        .iter()
        .map(|judged| {
            let outcome = &judged.outcome;
            let limit = outcome
                .limit
                .map(|limit| format!(" [{}]", limit.words()))
                .unwrap_or_default();
            let worked = outcome
                .worked
                .as_ref()
                .map(|worked| format!(" ({worked})"))
                .unwrap_or_default();
            let history = if judged.superseded { ", history" } else { "" };
            format!(
                "{} {} {} {}{history}{limit}: {}{worked}\n",
                judged.reading,
                judged.quantity.key(),
                judged.value,
                outcome.verdict.word(),
                outcome.why
            )
        })
        .collect()
}

#[test]
fn a_zs_is_held_against_its_device() {
    insta::assert_snapshot!(said(&[
        "circuit: a, device: {type: B, rating: 32}, zs: 1.09",
        "circuit: b, device: {type: B, rating: 32}, zs: 1.10",
        "circuit: c, device: {type: B, rating: 32}, zs: 1.37",
        "circuit: d, device: {type: B, rating: 32}, zs: 1.38",
        "circuit: e, device: {type: BS 3036, rating: 30}, zs: 0.90",
        "circuit: f, device: {type: B, rating: 32}, zs: '>2'",
        "circuit: g, device: {type: B, rating: 32}, zs: '>1'",
        "circuit: h, device: {type: B, rating: 32}, zs: LIM",
    ]), @r#"
    0 zs 1.09 within [at most 1.37]: within the published figure of 1.37 ohm for B32, and within 80 % of it, the 1.09 ohm for a reading taken cold (230 x 0.95 / (5 x 32) = 1.37 ohm)
    1 zs 1.10 near [at most 1.37]: within the published figure of 1.37 ohm for B32, but over 80 % of it, the 1.09 ohm for a reading taken cold (230 x 0.95 / (5 x 32) = 1.37 ohm)
    2 zs 1.37 near [at most 1.37]: within the published figure of 1.37 ohm for B32, but over 80 % of it, the 1.09 ohm for a reading taken cold (230 x 0.95 / (5 x 32) = 1.37 ohm)
    3 zs 1.38 outside [at most 1.37]: over the published figure of 1.37 ohm for B32 (230 x 0.95 / (5 x 32) = 1.37 ohm)
    4 zs 0.90 near [at most 1.04]: within the published figure of 1.04 ohm for BS 3036 30 A, but over 80 % of it, the 0.83 ohm for a reading taken cold (1.04 ohm for BS 3036 30 A in 0.4 s)
    5 zs >2 outside [at most 1.37]: over the published figure of 1.37 ohm for B32 (230 x 0.95 / (5 x 32) = 1.37 ohm)
    6 zs >1 not-judged: more than the tester's range, and could lie on either side of 1.37 ohm for B32
    7 zs LIM not-judged: a limitation (LIM) kept it from being measured
    "#);
}

#[test]
fn a_zs_with_nothing_to_hold_it_against_is_not_judged() {
    insta::assert_snapshot!(said(&[
        "circuit: a, zs: 0.92",
        "circuit: b, device: {type: B}, zs: 0.92",
        "circuit: c, device: {type: K, rating: 16}, zs: 0.92",
        "circuit: d, device: {type: BS 3036, rating: 45}, zs: 0.92",
        "circuit: origin, ze: 0.24, pfc: 1.1",
        "circuit: e, r1_r2: 0.4",
    ]), @r#"
    0 zs 0.92 not-judged: no device is written, and a value without one proves nothing
    1 zs 0.92 not-judged: its device has no type or no rating
    2 zs 0.92 not-judged: no figure is published here for a device of type K
    3 zs 0.92 not-judged: the table here has 5, 15, 20, 30 for BS 3036, and not 45 A
    4 ze 0.24 not-judged: the figure for Ze goes by the kind of supply, which the log does not state
    4 pfc 1.1 not-judged: a fault current is held against what the devices can break, which the log does not state
    5 r1_r2 0.4 not-judged: no device is written, and a value without one proves nothing
    "#);
}

#[test]
fn insulation_goes_by_its_test_voltage() {
    insta::assert_snapshot!(said(&[
        "circuit: a, insulation: {at: 500, live_to_earth: '>200', live_to_live: 1.0}",
        "circuit: b, insulation: {at: 500, live_to_earth: 0.99}",
        "circuit: c, insulation: {at: 250, live_to_earth: 0.7, live_to_live: 14}",
        "circuit: d, insulation: {live_to_earth: 0.3, live_to_live: 12}",
        "circuit: e, insulation: {at: 100, live_to_earth: 12}",
        "circuit: f, insulation: {at: 500, live_to_earth: '>0.5', live_to_live: LIM}",
    ]), @r#"
    0 insulation.live_to_earth >200 within [at least 1]: at or over the published minimum of 1 megohm, tested at 500 V
    0 insulation.live_to_live 1.0 within [at least 1]: at or over the published minimum of 1 megohm, tested at 500 V
    1 insulation.live_to_earth 0.99 outside [at least 1]: under the published minimum of 1 megohm, tested at 500 V
    2 insulation.live_to_earth 0.7 outside [at least 1]: under the published minimum of 1 megohm, tested at 250 V; only a SELV or PELV circuit may go down to 0.5
    2 insulation.live_to_live 14 within [at least 1]: at or over the published minimum of 1 megohm, tested at 250 V; 250 V is for SELV, PELV and equipment that could not be disconnected
    3 insulation.live_to_earth 0.3 outside [at least 1]: under the published minimum of 1 megohm
    3 insulation.live_to_live 12 not-judged: the test voltage is not written, and the minimum is for a stated one
    4 insulation.live_to_earth 12 not-judged: no minimum is published here for a test at 100 V
    5 insulation.live_to_earth >0.5 not-judged: more than the tester's range, and could lie on either side of 1 megohm
    5 insulation.live_to_live LIM not-judged: a limitation (LIM) kept it from being measured
    "#);
}

#[test]
fn an_rcd_time_goes_by_kind_and_test_current() {
    insta::assert_snapshot!(said(&[
        "circuit: a, rcd: {at: 30, ms: 300}",
        "circuit: b, rcd: {at: 150, ms: 41, kind: A}",
        "circuit: c, rcd: {at: 100, ms: 120, kind: S}",
        "circuit: d, rcd: {at: 100, ms: 320, kind: type S}",
        "circuit: e, rcd: {at: 30, ms: 240, kind: BS 4293}",
        "circuit: f, rcd: {at: 30, ms: '>300'}",
        "circuit: g, rcd: {at: 15, ms: '>2000'}",
        "circuit: h, rcd: {at: 15, ms: 18}",
        "circuit: i, rcd: {at: 500, ms: 18}",
        "circuit: j, rcd: {at: 33, ms: 18}",
        "circuit: k, rcd: {ms: 18}",
        "circuit: l, rcd: {at: 30, ms: 18, kind: portable}",
        "circuit: m, rcd: {at: 60, ms: 18, kind: BS 4293}",
    ]), @r#"
    0 rcd 300 within [at most 300]: within the published 300 ms for an RCD at its 30 mA
    1 rcd 41 outside [at most 40]: over the published 40 ms for an RCD at 5 times its 30 mA
    2 rcd 120 outside [130 to 500]: sooner than the published 130 ms for a time-delayed RCD at its 100 mA
    3 rcd 320 within [130 to 500]: within the published 500 ms for a time-delayed RCD at its 100 mA
    4 rcd 240 outside [at most 200]: over the published 200 ms for an RCD at its 30 mA
    5 rcd >300 outside [at most 300]: over the published 300 ms for an RCD at its 30 mA
    6 rcd >2000 within [at least 2000]: at or over the 2000 ms that an RCD should hold at half of 30 mA
    7 rcd 18 outside [at least 2000]: short of the 2000 ms that an RCD should hold at half of 30 mA
    8 rcd 18 not-judged: 500 mA could be a rated current or a multiple of a smaller one
    9 rcd 18 not-judged: 33 mA is no usual multiple of a usual RCD's rated current
    10 rcd 18 not-judged: the test current is not written, and the time goes by it
    11 rcd 18 not-judged: portable is no kind of RCD that has published times here; the kinds are A, AC, F, B, S and BS 4293
    12 rcd 18 not-judged: no time is published here for that kind at 2 times its rated current
    "#);
}

#[test]
fn a_ring_s_ends_are_held_against_each_other() {
    insta::assert_snapshot!(said(&[
        "circuit: sound, ring: {r1: 0.46, rn: 0.47, r2: 0.77}, r1_r2: 0.31",
        "circuit: open, ring: {r1: 0.46, rn: '>200', r2: 0.77}",
        "circuit: loose neutral, ring: {r1: 0.46, rn: 0.52, r2: 0.77}",
        "circuit: loose cpc, ring: {r1: 0.58, rn: 0.60, r2: 2.31}, r1_r2: 0.72",
        "circuit: equal sizes, ring: {r1: 0.46, rn: 0.46, r2: 0.46}, r1_r2: 0.05",
        "circuit: open line, ring: {r1: '>200', rn: 0.47, r2: 0.77}",
        "circuit: nothing, ring: {r1: 0.00, rn: 0.00, r2: 0.00}",
    ]), @r#"
    0 ring.r1 0.46 not-judged: rn and r2 are held against it
    0 ring.rn 0.47 within [at most 0.05 apart]: 0.01 ohm from r1, within the published 0.05 ohm between the legs of a ring (0.47 - 0.46 = 0.01 ohm)
    0 ring.r2 0.77 within [1.6 to 1.7]: 1.67 times r1, and 1.6 to 1.7 is published for 2.5/1.5 mm2 cable (0.77 / 0.46 = 1.67)
    0 r1_r2 0.31 within [at most 0.05 apart]: a quarter of r1 and r2 together is 0.31 ohm, and within 0.05 ohm of it is as expected ((0.46 + 0.77) / 4 = 0.31 ohm)
    1 ring.r1 0.46 not-judged: rn and r2 are held against it
    1 ring.rn >200 outside: beyond the tester's range from end to end: this leg of the ring is open
    1 ring.r2 0.77 within [1.6 to 1.7]: 1.67 times r1, and 1.6 to 1.7 is published for 2.5/1.5 mm2 cable (0.77 / 0.46 = 1.67)
    2 ring.r1 0.46 not-judged: rn and r2 are held against it
    2 ring.rn 0.52 outside [at most 0.05 apart]: 0.06 ohm from r1, more than the published 0.05 ohm between the legs of a ring (0.52 - 0.46 = 0.06 ohm)
    2 ring.r2 0.77 within [1.6 to 1.7]: 1.67 times r1, and 1.6 to 1.7 is published for 2.5/1.5 mm2 cable (0.77 / 0.46 = 1.67)
    3 ring.r1 0.58 not-judged: rn and r2 are held against it
    3 ring.rn 0.60 within [at most 0.05 apart]: 0.02 ohm from r1, within the published 0.05 ohm between the legs of a ring (0.6 - 0.58 = 0.02 ohm)
    3 ring.r2 2.31 outside [at most 2.68]: 3.98 times r1, more than the 2.68 of the smallest cpc in any usual cable; 1.6 to 1.7 is published for 2.5/1.5 mm2 cable (2.31 / 0.58 = 3.98)
    3 r1_r2 0.72 not-judged: it is held against r1 and r2, and r2 is not as it should be
    4 ring.r1 0.46 not-judged: rn and r2 are held against it
    4 ring.rn 0.46 within [at most 0.05 apart]: 0 ohm from r1, within the published 0.05 ohm between the legs of a ring (0.46 - 0.46 = 0 ohm)
    4 ring.r2 0.46 not-judged: 1.00 times r1; 1.6 to 1.7 is published for 2.5/1.5 mm2 cable, and the reading does not say its cable (0.46 / 0.46 = 1.00)
    4 r1_r2 0.05 not-judged: a quarter of r1 and r2 together is 0.23 ohm: a lower one has another path to earth beside the cpc ((0.46 + 0.46) / 4 = 0.23 ohm)
    5 ring.r1 >200 outside: beyond the tester's range from end to end: this leg of the ring is open
    5 ring.rn 0.47 not-judged: it is held against r1, which is not a number here
    5 ring.r2 0.77 not-judged: it is held against r1, which is not a number here
    6 ring.r1 0.00 not-judged: rn and r2 are held against it
    6 ring.rn 0.00 within [at most 0.05 apart]: 0 ohm from r1, within the published 0.05 ohm between the legs of a ring (0 - 0 = 0 ohm)
    6 ring.r2 0.00 not-judged: it is held against r1, which reads as nothing
    "#);
}

#[test]
fn r1_and_r2_with_ze_make_a_zs_when_warm() {
    insta::assert_snapshot!(said(&[
        "circuit: origin, ze: 0.35",
        "circuit: a, device: {type: B, rating: 32}, r1_r2: 0.468",
        "circuit: b, device: {type: B, rating: 32}, r1_r2: 0.90",
        "circuit: c, device: {type: B, rating: 32}, r1_r2: '>200'",
    ]), @r#"
    0 ze 0.35 not-judged: the figure for Ze goes by the kind of supply, which the log does not state
    1 r1_r2 0.468 within [at most 1.37]: with the Ze of 0.35 ohm a Zs of 0.91 ohm when warm, and that is within the published figure of 1.37 ohm for B32 (0.35 + 0.468 x 1.2 = 0.91 ohm)
    2 r1_r2 0.90 outside [at most 1.37]: with the Ze of 0.35 ohm a Zs of 1.43 ohm when warm, and that is over the published figure of 1.37 ohm for B32 (0.35 + 0.9 x 1.2 = 1.43 ohm)
    3 r1_r2 >200 not-judged: more than the tester's range: look for an open line or cpc. No figure is published for R1+R2 by itself
    "#);
}

#[test]
fn with_an_electrode_the_rcd_s_figure_is_taken() {
    insta::assert_snapshot!(said(&[
        "circuit: electrode, ze: 84",
        "circuit: a, device: {type: B, rating: 16}, r1_r2: 0.31, zs: 84.5, rcd: {at: 30, ms: 26}",
        "circuit: b, device: {type: B, rating: 16}, r1_r2: 0.31, zs: 240",
        "circuit: b, rcd: {at: 30, ms: 26}",
        "circuit: c, device: {type: B, rating: 16}, r1_r2: 0.31, zs: 84.5",
    ]), @r#"
    0 ze 84 not-judged: the figure for Ze goes by the kind of supply, which the log does not state
    1 r1_r2 0.31 within [at most 1667]: with the Ze of 84 ohm a Zs of 84.37 ohm when warm, and that is within the published figure of 1667 ohm for a 30 mA RCD alone (84 + 0.31 x 1.2 = 84.37 ohm)
    1 zs 84.5 within [at most 1667]: within the published figure of 1667 ohm for a 30 mA RCD alone, and within 200 ohm, above which an electrode may not be steady (50 / 0.03 = 1667 ohm)
    1 rcd 26 within [at most 300]: within the published 300 ms for an RCD at its 30 mA
    2 r1_r2 0.31 within [at most 1667]: with the Ze of 84 ohm a Zs of 84.37 ohm when warm, and that is within the published figure of 1667 ohm for a 30 mA RCD alone (84 + 0.31 x 1.2 = 84.37 ohm)
    2 zs 240 near [at most 1667]: within the published figure of 1667 ohm for a 30 mA RCD alone, but over 200 ohm, above which an electrode may not be steady (50 / 0.03 = 1667 ohm)
    3 rcd 26 within [at most 300]: within the published 300 ms for an RCD at its 30 mA
    4 r1_r2 0.31 not-judged: the Ze of the log is an electrode's, and no RCD is written for this circuit
    4 zs 84.5 outside [at most 2.73]: over the published figure of 2.73 ohm for B16 (230 x 0.95 / (5 x 16) = 2.73 ohm)
    "#);
    // One low Ze in the log: there may be circuits without an electrode, and a device has its own figure.
    let mixed = said(&[
        "circuit: origin, ze: 0.3",
        "circuit: electrode, ze: 84",
        "circuit: a, device: {type: B, rating: 16}, zs: 84.5, rcd: {at: 30, ms: 26}",
    ]);
    assert!(mixed.contains("2 zs 84.5 outside"), "{mixed}");
    // A supply's Ze that a large device's figure lies under makes no electrode of it.
    let large = said(&[
        "circuit: origin, ze: 0.35",
        "circuit: a, device: {type: D, rating: 32}, zs: 0.40, rcd: {at: 100, ms: 26}",
    ]);
    assert!(
        large.contains("1 zs 0.40 outside [at most 0.34]"),
        "{large}"
    );
}

#[test]
fn an_electrode_that_may_not_be_steady_is_near() {
    let said = said(&[
        "circuit: electrode, ze: 310",
        "circuit: a, device: {type: B, rating: 16}, zs: 311, rcd: {at: 30, ms: 26}",
    ]);
    assert!(said.contains("1 zs 311 near [at most 1667]"), "{said}");
}

#[test]
fn what_was_found_is_history_once_it_was_measured_again() {
    insta::assert_snapshot!(said(&[
        // Measured again on a later visit, for the one quantity.
        "circuit: One, visit: 2026-11-02, as_found: true, device: {type: B, rating: 6}, zs: 9.1, rcd: {at: 30, ms: 312}",
        "circuit: one, visit: 2026-11-05, device: {type: B, rating: 6}, zs: 1.1",
        // Not measured again: only a limitation, and an earlier visit.
        "circuit: Two, visit: 2026-11-05, as_found: true, device: {type: B, rating: 6}, zs: 9.2",
        "circuit: Two, visit: 2026-11-05, device: {type: B, rating: 6}, zs: LIM",
        "circuit: Two, visit: 2026-11-02, device: {type: B, rating: 6}, zs: 1.3",
        // Written the other way round on one day.
        "circuit: Three, visit: 2026-11-02, device: {type: B, rating: 6}, zs: 1.4",
        "circuit: Three, visit: 2026-11-02, as_found: true, device: {type: B, rating: 6}, zs: 9.3",
        // As found twice.
        "circuit: Four, as_found: true, device: {type: B, rating: 6}, zs: 9.4",
        "circuit: Four, as_found: true, device: {type: B, rating: 6}, zs: 9.5",
    ]), @r#"
    0 zs 9.1 outside, history [at most 7.28]: over the published figure of 7.28 ohm for B6 (230 x 0.95 / (5 x 6) = 7.28 ohm)
    0 rcd 312 outside [at most 300]: over the published 300 ms for an RCD at its 30 mA
    1 zs 1.1 within [at most 7.28]: within the published figure of 7.28 ohm for B6, and within 80 % of it, the 5.82 ohm for a reading taken cold (230 x 0.95 / (5 x 6) = 7.28 ohm)
    2 zs 9.2 outside [at most 7.28]: over the published figure of 7.28 ohm for B6 (230 x 0.95 / (5 x 6) = 7.28 ohm)
    3 zs LIM not-judged: a limitation (LIM) kept it from being measured
    4 zs 1.3 within [at most 7.28]: within the published figure of 7.28 ohm for B6, and within 80 % of it, the 5.82 ohm for a reading taken cold (230 x 0.95 / (5 x 6) = 7.28 ohm)
    5 zs 1.4 within [at most 7.28]: within the published figure of 7.28 ohm for B6, and within 80 % of it, the 5.82 ohm for a reading taken cold (230 x 0.95 / (5 x 6) = 7.28 ohm)
    6 zs 9.3 outside, history [at most 7.28]: over the published figure of 7.28 ohm for B6 (230 x 0.95 / (5 x 6) = 7.28 ohm)
    7 zs 9.4 outside, history [at most 7.28]: over the published figure of 7.28 ohm for B6 (230 x 0.95 / (5 x 6) = 7.28 ohm)
    8 zs 9.5 outside [at most 7.28]: over the published figure of 7.28 ohm for B6 (230 x 0.95 / (5 x 6) = 7.28 ohm)
    "#);
}

#[test]
fn polarity_is_judged_where_it_says_right_or_wrong() {
    insta::assert_snapshot!(said(&[
        "circuit: a, polarity: right",
        "circuit: b, polarity: Reversed",
        "circuit: c, polarity: LIM",
        "circuit: d, polarity: see text",
    ]), @r#"
    0 polarity right within: as it should be
    1 polarity Reversed outside: not as it should be
    2 polarity LIM not-judged: a limitation (LIM) kept it from being tested
    3 polarity see text not-judged: polarity is judged where it says right or wrong
    "#);
}

#[test]
fn figures_of_the_diary_s_own_take_the_place_of_published_ones() {
    let settings = "\
figures:
  max_zs: [{type: B, rating: 32, ohms: 1.30, source: maker's sheet}, {type: gG, rating: 10, ohms: 4.2, source: maker's sheet}]
  min_insulation: [{at: 500, megohms: 2, source: the landlord's terms}]
  max_rcd: [{kind: general, times: 1, ms: 200, source: maker's sheet}]
";
    insta::assert_snapshot!(said_by(&[
        "circuit: a, device: {type: RCBO B, rating: 32}, zs: 1.34, rcd: {at: 30, ms: 240, kind: A}, insulation: {at: 500, live_to_earth: 1.4}",
        "circuit: b, device: {type: gg, rating: 10}, zs: 2.2",
        "circuit: c, device: {type: B, rating: 20}, zs: 0.9, rcd: {at: 150, ms: 24}",
    ], settings), @r#"
    0 insulation.live_to_earth 1.4 outside [at least 2]: under the diary's own minimum of 2 megohm, tested at 500 V
    0 zs 1.34 outside [at most 1.3]: over the diary's own figure of 1.30 ohm for B32 (1.30 ohm for B32)
    0 rcd 240 outside [at most 200]: over the diary's own 200 ms for an RCD at its 30 mA
    1 zs 2.2 within [at most 4.2]: within the diary's own figure of 4.20 ohm for gg 10 A, and within 80 % of it, the 3.36 ohm for a reading taken cold (4.20 ohm for gg 10 A)
    2 zs 0.9 within [at most 2.19]: within the published figure of 2.19 ohm for B20, and within 80 % of it, the 1.74 ohm for a reading taken cold (230 x 0.95 / (5 x 20) = 2.19 ohm)
    2 rcd 24 within [at most 40]: within the published 40 ms for an RCD at 5 times its 30 mA
    "#);
}

#[test]
fn a_log_without_values_has_no_judgements() {
    assert_eq!(said(&["circuit: a, device: {type: B, rating: 6}"]), "");
}

#[test]
fn a_whole_board_is_its_circuits_in_parallel() {
    let board = |rows: &[&str]| {
        let diary = read(rows, "");
        whole_board(&diary.jobs[0].readings, &Figures::published())
    };
    let all = board(&[
        "circuit: a, as_found: true, insulation: {at: 500, live_to_earth: 0.1}",
        "circuit: a, insulation: {at: 500, live_to_earth: 4}",
        "circuit: b, insulation: {at: 500, live_to_earth: 4}",
        "circuit: c, insulation: {at: 500, live_to_earth: 2}",
        "circuit: d, insulation: {at: 500, live_to_earth: LIM}",
    ])
    .expect("three circuits");
    assert_eq!((all.circuits, all.at_least), (3, false));
    assert_eq!(all.worked, "1 / (1/4 + 1/4 + 1/2) = 1.00 megohm");
    assert_eq!((all.verdict, all.minimum), (Verdict::Within, 1.0));

    let low = board(&[
        "circuit: a, insulation: {at: 500, live_to_earth: 1.5}",
        "circuit: b, insulation: {at: 500, live_to_earth: 1.5}",
    ])
    .expect("two circuits");
    assert_eq!(low.verdict, Verdict::Outside);

    let open_ended = board(&[
        "circuit: a, insulation: {at: 500, live_to_earth: '>200'}",
        "circuit: b, insulation: {at: 500, live_to_earth: '>200'}",
    ])
    .expect("two circuits");
    assert_eq!(
        open_ended.worked,
        "1 / (1/200 + 1/200) = at least 100.00 megohm"
    );
    assert_eq!(open_ended.verdict, Verdict::Within);

    assert_eq!(
        board(&["circuit: a, insulation: {at: 500, live_to_earth: 4}"]),
        None
    );
    assert_eq!(
        board(&[
            "circuit: a, insulation: {at: 500, live_to_earth: 0}",
            "circuit: b, insulation: {at: 500, live_to_earth: 4}",
        ]),
        None
    );
}

#[test]
fn a_judgement_names_its_book() {
    let diary = read(
        &["circuit: a, device: {type: BS 88-3, rating: 32}, zs: 0.6"],
        "",
    );
    let judged = judge_readings(&diary.jobs[0].readings, &Figures::published());
    let zs = judged
        .iter()
        .find(|judged| judged.quantity == Quantity::Zs)
        .expect("one is written");
    let ground = zs.outcome.ground.as_ref().expect("it was judged");
    assert_eq!(ground.book, "BS 7671:2018+A2:2022, from memory");
    assert!(!ground.own && ground.source.contains("NICEIC"));
}

#[test]
fn a_figure_of_the_diary_s_own_that_cannot_be_used_is_told() {
    let settings = "\
figures:
  max_zs:
    - {type: B, ratng: 32, ohms: 1.30, source: maker's sheet}
    - {type: B, rating: 16, ohms: 1.30}
    - {type: B, rating: 20, ohms: 2.00, source: maker's sheet}
    - {type: b, rating: 20, ohms: 2.10, source: maker's sheet}
  min_insulaton: [{at: 500, megohms: 2, source: mine}]
  max_rcd: [{kind: general, times: 1, ms: fast, source: mine}]
";
    let mut read = read_files(vec![(
        "diary.yaml".to_owned(),
        format!("{DIARY}{settings}").into_bytes(),
    )]);
    let mut diagnostics = std::mem::take(&mut read.diagnostics);
    put_in_order(&mut diagnostics, &read.sources);
    insta::assert_snapshot!(render(&diagnostics, &read.sources, Colour::Plain), @r#"
    diary.yaml, line 6: this maximum Zs has no rating.
        6 |     - {type: B, ratng: 32, ohms: 1.30, source: maker's sheet}
          |       ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
    Write its rating: rating: 32.                                   (missing-key)

    diary.yaml, line 6: there is no key called ratng in a maximum Zs.
        6 |     - {type: B, ratng: 32, ohms: 1.30, source: maker's sheet}
          |                 ^^^^^
    Write rating.                                                   (unknown-key)

    diary.yaml, line 7: this maximum Zs has no source.
        7 |     - {type: B, rating: 16, ohms: 1.30}
          |       ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
    Write where the figure comes from: source: maker's sheet.       (missing-key)

    diary.yaml, line 9: there are two figures for b 20 A under max_zs.
        9 |     - {type: b, rating: 20, ohms: 2.10, source: maker's sheet}
          |       ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
      line 8: the other one
        8 |     - {type: B, rating: 20, ohms: 2.00, source: maker's sheet}
          |       --------------------------------------------------------
    Keep one of them.                                               (duplicate-key)

    diary.yaml, line 10: there is no key called min_insulaton in figures.
        10 |   min_insulaton: [{at: 500, megohms: 2, source: mine}]
           |   ^^^^^^^^^^^^^
    Write min_insulation.                                           (unknown-key)

    diary.yaml, line 11: a time in milliseconds is written in figures, and this is fast.
        11 |   max_rcd: [{kind: general, times: 1, ms: fast, source: mine}]
           |                                           ^^^^
    Write figures only, with a point for parts: 12 or 2.5.          (bad-number)

    6 errors.
    "#);
}
