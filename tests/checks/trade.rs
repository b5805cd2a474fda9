//! The trade's cases by topic: figures and rules that the program uses are worked out and set beside the case's own;
//! the others are named with the reason why they are not in this program.

use daywork::diary::read_files;
use daywork::model::{Device, FindingCode};
use daywork::office::handover::daywork::{DayworkSheet, sheet};
use daywork::office::handover::{For, Subject};
use daywork::trade::Verdict;
use daywork::trade::cautions::caution;
use daywork::trade::conductors::{
    by_temperature, milliohms_per_metre, r1_r2, ring_lowest, ring_r1_r2, zs_when_warm,
};
use daywork::trade::limits::{MaxZs, down, insulation_row, rcd_row};
use daywork::trade::tables::{self, InsulationOf, Name, RcdKind, figure};
use daywork::trade::{Figures, Quantity, dates, judge_readings};
use serde_json::Value;

use super::{Figure, Run, Tolerance, Want, when_usable};

/// Tolerances of the trade's cases are one number, absolute; the program's own rounding is finer than any of them.
fn tolerance(case: &Value) -> Tolerance {
    Tolerance {
        relative: 0.0,
        absolute: case["tolerance"].as_f64().unwrap_or(0.0) + 1e-9,
    }
}

impl Run {
    fn number(&mut self, case: &Value, name: &str, got: Option<f64>, want: &Value) {
        self.hold(name, got, want, tolerance(case));
    }

    /// Holds something that is either so or not.
    fn holds(&mut self, what: &str, so: bool) {
        self.figures.push(Figure {
            name: what.to_owned(),
            got: Some(f64::from(u8::from(so))),
            want: Want::Within(1.0, 1.0),
        });
    }
}

/// A case that the program has no use for, and why.
fn not_here(why: &str) -> Run {
    let mut run = Run::default();
    run.not_here.push(why.to_owned());
    run
}

fn id(case: &Value) -> &str {
    case["id"].as_str().unwrap_or_default()
}

fn max_zs(kind: &str, rating: f64) -> Option<MaxZs> {
    Figures::published()
        .max_zs(&Device {
            kind: Some(kind.to_owned()),
            rating: Some(rating),
        })
        .ok()
}

/// What the program says of one reading of a log, by its published figures. `None` where the log cannot be read.
fn judged(reading: &str, quantity: Quantity) -> Option<Verdict> {
    let log = format!(
        "---\ntitle: A job\nref: 2026-001\nvisits: [{{date: 2026-03-02, time: 1h}}]\nreadings:\n  - {{circuit: One, {reading}}}\n---\n\nWords.\n"
    );
    let read = read_files(vec![("jobs/2026/a.md".to_owned(), log.into_bytes())]);
    let job = read.diary.jobs.first().filter(|job| !job.has_error)?;
    judge_readings(&job.readings, &Figures::published())
        .into_iter()
        .find(|judged| judged.quantity == quantity)
        .map(|judged| judged.outcome.verdict)
}

/// The ratings that a case's `expected` is keyed by.
fn by_rating(run: &mut Run, case: &Value, kind: &str) -> Option<()> {
    for (rating, want) in case["expected"].as_object()? {
        let got = max_zs(kind, rating.parse().ok()?).map(|figure| figure.limit);
        run.number(case, &format!("{kind} {rating} A"), got, want);
    }
    Some(())
}

pub fn zs_mcb(case: &Value) -> Run {
    when_usable(|run| {
        let inputs = &case["inputs"];
        if inputs["types"].is_array() {
            for breaker in tables::breakers() {
                let want = &case["expected"][&breaker.kind];
                let name = |end: &str| format!("{} {end}", breaker.kind);
                run.number(case, &name("holds to"), Some(breaker.holds_to), &want[0]);
                run.number(case, &name("trips by"), Some(breaker.trips_by), &want[1]);
            }
            return Some(());
        }
        let kind = inputs["type"].as_str()?;
        match inputs["rating_a"].as_f64() {
            Some(rating) => {
                let got = max_zs(kind, rating).map(|figure| figure.limit);
                run.number(case, "Zs", got, &case["expected"]);
            }
            None => by_rating(run, case, kind)?,
        }
        Some(())
    })
}

pub fn zs_fuse(case: &Value) -> Run {
    when_usable(|run| by_rating(run, case, case["inputs"]["device"].as_str()?))
}

pub fn zs_80pct(case: &Value) -> Run {
    when_usable(|run| {
        let inputs = &case["inputs"];
        let kind = inputs["type"].as_str().or(inputs["device"].as_str())?;
        let rating = inputs["rating_a"].as_f64()?;
        let Some(measured) = inputs["measured_ohm"].as_f64() else {
            let got = max_zs(kind, rating).map(|figure| down(figure.care.ohms()));
            run.number(case, "80 %", got, &case["expected"]);
            return Some(());
        };
        let row = format!("device: {{type: {kind}, rating: {rating}}}, zs: {measured}");
        let verdict = judged(&row, Quantity::Zs)?;
        let (over_cold, over) = (
            matches!(verdict, Verdict::Near | Verdict::Outside),
            verdict == Verdict::Outside,
        );
        let expected = &case["expected"];
        run.holds(
            "over 80 % as expected",
            Some(over_cold) == expected["over_80_percent"].as_bool(),
        );
        run.holds(
            "over the figure as expected",
            Some(over) == expected["over_tabulated"].as_bool(),
        );
        Some(())
    })
}

pub fn zs_rcd_tt(case: &Value) -> Run {
    when_usable(|run| {
        let rated = case["inputs"]["rcd_ma"].as_f64()?;
        let got = Figures::published().max_zs_by_rcd(rated).limit;
        run.number(case, "Zs", Some(got), &case["expected"]);
        Some(())
    })
}

pub fn disconnection(case: &Value) -> Run {
    when_usable(|run| {
        for (key, name) in [
            ("with_sockets_max_a", Name::SocketCircuitsTo),
            ("fixed_equipment_max_a", Name::FixedCircuitsTo),
        ] {
            run.number(case, key, Some(figure(name)), &case["expected"][key]);
        }
        Some(())
    })
}

pub fn insulation(case: &Value) -> Run {
    when_usable(|run| {
        let inputs = &case["inputs"];
        if let Some(measured) = inputs["reading_mohm"].as_f64() {
            let row = format!("insulation: {{at: 500, live_to_earth: {measured}}}");
            let verdict = judged(&row, Quantity::InsulationToEarth)?;
            let meets = verdict == Verdict::Within;
            run.holds(
                "meets the minimum as expected",
                Some(meets) == case["expected"].as_bool(),
            );
            return Some(());
        }
        let circuits = if inputs["system"] == "SELV" {
            InsulationOf::SelvOrPelv
        } else if inputs["spd_cannot_be_disconnected"] == true {
            InsulationOf::EquipmentStaysIn
        } else if inputs["nominal_v"].as_f64()? > 500.0 {
            InsulationOf::Over500V
        } else {
            InsulationOf::UpTo500V
        };
        let row = insulation_row(circuits);
        let expected = &case["expected"];
        run.number(case, "test_v", Some(row.test), &expected["test_v"]);
        run.number(case, "min_mohm", Some(row.megohms), &expected["min_mohm"]);
        Some(())
    })
}

pub fn rcd_time(case: &Value) -> Run {
    when_usable(|run| {
        let (inputs, expected) = (&case["inputs"], &case["expected"]);
        let kind = match inputs["standard"].as_str() {
            Some("BS 4293/BS 7288") => RcdKind::Older,
            _ if inputs["kind"] == "S" => RcdKind::Delayed,
            _ => RcdKind::General,
        };
        if let Some(times) = expected.as_object().filter(|all| all.contains_key("1x")) {
            for (key, want) in times {
                let times: f64 = key.strip_suffix('x')?.parse().ok()?;
                let got = rcd_row(kind, times).map(|row| row.at_most);
                run.number(case, key, got, want);
            }
            return Some(());
        }
        let times = inputs["multiple"].as_f64()?;
        if times < 1.0 {
            let held = figure(Name::HalfCurrentHeld) / 1000.0;
            run.number(case, "hold_s", Some(held), &expected["hold_s"]);
            let tripped = judged("rcd: {at: 15, ms: 18}", Quantity::Rcd)?;
            run.holds("a trip is outside", tripped == Verdict::Outside);
            let held = judged("rcd: {at: 15, ms: '>2000'}", Quantity::Rcd)?;
            run.holds("none is within", held == Verdict::Within);
        } else if let Some(measured) = inputs["reading_ms"].as_f64() {
            let row = format!("rcd: {{at: {}, ms: {measured}}}", 30.0 * times);
            let within = judged(&row, Quantity::Rcd)? == Verdict::Within;
            run.holds("within as expected", Some(within) == expected.as_bool());
        } else if case["unit"] == "ms (min)" {
            let got = rcd_row(kind, times).and_then(|row| row.at_least);
            run.number(case, "at least", got, expected);
        } else {
            let got = rcd_row(kind, times).map(|row| row.at_most);
            run.number(case, "at most", got, expected);
        }
        Some(())
    })
}

/// That an RCD is needed is for whoever designs; of it the program says only what its caution on bathrooms says.
pub fn rcd_required(case: &Value) -> Run {
    if id(case) != "rcd-req-bath" {
        return not_here("where an RCD is asked for: no reading says what a circuit feeds");
    }
    when_usable(|run| {
        let most = case["expected"]["max_ma"].as_f64()?;
        let words = format!("{most} mA RCD protection");
        run.holds(
            "the caution bathroom-zones says so",
            caution("bathroom-zones")?.words.contains(&words),
        );
        Some(())
    })
}

pub fn bath_zones(case: &Value) -> Run {
    when_usable(|run| {
        let expected = &case["expected"];
        match id(case) {
            "zone-height" => {
                run.number(case, "m", Some(figure(Name::ZoneHeight)), expected);
            }
            "zone2-width" => {
                run.number(case, "m", Some(figure(Name::Zone2Width)), expected);
            }
            "zone1-nobasin" => {
                run.number(case, "m", Some(figure(Name::Zone1NoTray)), expected);
            }
            "bath-socket" => {
                run.number(case, "m", Some(figure(Name::SocketFromZone1)), expected);
            }
            "zone-ip" => {
                for zone in tables::zones() {
                    let want = expected[zone.zone.to_string()].as_str()?;
                    run.holds(&format!("zone {} {want}", zone.zone), zone.ip == want);
                }
            }
            "ip-digits" => {
                for zone in tables::zones() {
                    let numeral = zone.ip.strip_prefix("IPX")?;
                    let want = expected[numeral].as_str()?;
                    run.holds(&format!("{} {want}", zone.ip), zone.against == want);
                }
                run.not_here
                    .push("numeral 5: no zone of the table asks for it".to_owned());
            }
            _ => return None,
        }
        Some(())
    })
}

pub fn ring(case: &Value) -> Run {
    when_usable(|run| {
        let (inputs, expected) = (&case["inputs"], &case["expected"]);
        let leg = |key: &str| inputs[key].as_f64();
        match id(case) {
            // Line with neutral goes by the same sum as line with cpc.
            "ring-ln" => {
                let got = ring_r1_r2(leg("r1")?, leg("rn")?);
                run.number(case, "(r1 + rn) / 4", Some(got), expected);
            }
            "ring-lcpc" => {
                let got = ring_r1_r2(leg("r1")?, leg("r2")?);
                run.number(case, "(r1 + r2) / 4", Some(got), expected);
            }
            "ring-min" => {
                let got = ring_lowest(leg("r1")?, leg("r2")?);
                run.number(case, "lowest", got, expected);
            }
            "ring-ratio" => {
                for name in [Name::RingShareLow, Name::RingShareHigh] {
                    run.number(case, &format!("{name:?}"), Some(figure(name)), expected);
                }
                let by_table = milliohms_per_metre(1.5)? / milliohms_per_metre(2.5)?;
                run.holds(
                    "the tabulated resistances lie in the band",
                    (figure(Name::RingShareLow)..=figure(Name::RingShareHigh)).contains(&by_table),
                );
            }
            "ring-match" => {
                let row = format!("ring: {{r1: {}, rn: {}}}", leg("r1")?, leg("rn")?);
                let verdict = judged(&row, Quantity::RingNeutral)?;
                run.holds(
                    "agree as expected",
                    Some(verdict == Verdict::Within) == expected.as_bool(),
                );
            }
            _ => return None,
        }
        Some(())
    })
}

pub fn conductor_r(case: &Value) -> Run {
    when_usable(|run| {
        for (size, want) in case["expected"].as_object()? {
            let got = milliohms_per_metre(size.parse().ok()?);
            run.number(case, &format!("{size} mm2"), got, want);
        }
        Some(())
    })
}

fn sizes(cable: &str) -> Option<(f64, f64)> {
    let (line, cpc) = cable.split_once('/')?;
    Some((line.parse().ok()?, cpc.parse().ok()?))
}

pub fn r1r2(case: &Value) -> Run {
    when_usable(|run| {
        let (inputs, expected) = (&case["inputs"], &case["expected"]);
        match id(case) {
            "te-r1r2" => {
                for (cable, want) in expected.as_object()? {
                    let (line, cpc) = sizes(cable)?;
                    let got = r1_r2(line, cpc, 1000.0, 20.0);
                    run.number(case, cable, got, want);
                    let listed = tables::cables()
                        .iter()
                        .any(|cable| (cable.line, cable.cpc) == (line, cpc));
                    run.holds(&format!("{cable} is a usual cable"), listed);
                }
            }
            "r1r2-22m" => {
                let (line, cpc) = sizes(inputs["cable"].as_str()?)?;
                let metres = inputs["length_m"].as_f64()?;
                let got = r1_r2(line, cpc, metres, inputs["temp_c"].as_f64()?);
                run.number(case, "R1+R2", got, expected);
            }
            "temp-120" => {
                let got = by_temperature(inputs["to_c"].as_f64()?);
                run.number(case, "multiplier", Some(got), expected);
            }
            "zs-design" => {
                let (line, cpc) = sizes(inputs["cable"].as_str()?)?;
                let cold = r1_r2(line, cpc, inputs["length_m"].as_f64()?, 20.0)?;
                let got = zs_when_warm(inputs["ze"].as_f64()?, cold);
                run.number(case, "Zs", Some(got), expected);
            }
            _ => return None,
        }
        Some(())
    })
}

pub fn volt_drop(_: &Value) -> Run {
    not_here("voltage drop: the program sizes no cable")
}

pub fn adiabatic(_: &Value) -> Run {
    not_here("the adiabatic sum: the program sizes no conductor")
}

/// What each code means. Which codes make a report unsatisfactory is for whoever signs it.
pub fn codes(case: &Value) -> Run {
    if id(case) != "code-meaning" {
        return not_here("a report's outcome: the program calls no installation satisfactory");
    }
    when_usable(|run| {
        for code in FindingCode::ALL {
            let Some(want) = case["expected"][code.shown()].as_str() else {
                continue;
            };
            run.holds(
                &format!("{} {want}", code.shown()),
                code.meaning().to_lowercase().starts_with(want),
            );
        }
        Some(())
    })
}

/// Only the caution on old colours names any.
pub fn colours(case: &Value) -> Run {
    if id(case) != "col-three" {
        return not_here("the colours of conductors: no page or reading states them");
    }
    when_usable(|run| {
        let words = &caution("old-colours")?.words;
        let (neutral, phase) = (
            case["expected"]["old_N"].as_str()?,
            case["expected"]["old_L3"].as_str()?,
        );
        run.holds(
            "the caution old-colours says so",
            words.contains(&format!("{neutral} was neutral and {phase} was a phase")),
        );
        run.not_here
            .push("the colours of now: no page or reading states them".to_owned());
        Some(())
    })
}

/// The daywork sheet of a diary made from the case's inputs.
pub fn dayworks(case: &Value) -> Run {
    when_usable(|run| {
        if id(case) == "dw-parts" {
            let sheet = daywork_sheet(2.0, 40.0, 30.0, 20.0, [10.0, 15.0, 20.0])?;
            let pence = |amount: &str| amount.replace('.', "").parse::<i64>().ok();
            let parts = [&sheet.labour, &sheet.materials, &sheet.plant];
            let whole: Option<i64> = parts.map(|part| pence(&part.whole)).into_iter().sum();
            run.holds(
                "the total adds labour, materials and plant, each with its addition",
                whole.is_some() && whole == pence(&sheet.total),
            );
            return Some(());
        }
        let inputs = &case["inputs"];
        let given = |key: &str| inputs[key].as_f64();
        let percent = |key: &str| inputs["add_pct"][key].as_f64();
        let sheet = daywork_sheet(
            given("labour_h")?,
            given("labour_rate")?,
            given("materials")?,
            given("plant")?,
            [percent("labour")?, percent("materials")?, percent("plant")?],
        )?;
        run.number(case, "total", sheet.total.parse().ok(), &case["expected"]);
        Some(())
    })
}

fn daywork_sheet(
    hours: f64,
    rate: f64,
    materials: f64,
    plant: f64,
    percent: [f64; 3],
) -> Option<DayworkSheet> {
    let [on_labour, on_materials, on_plant] = percent;
    let settings = format!(
        "title: A diary\nsite: {{address: https://example.com}}\nrates: {{hour: {rate:.2}, daywork: \
         {{labour_percent: {on_labour}, materials_percent: {on_materials}, plant_percent: {on_plant}}}}}\n"
    );
    let log = format!(
        "---\ntitle: A job\nref: 2026-001\nvisits: [{{date: 2026-03-02, time: {hours}h}}]\n\
         materials: [{{item: Goods, cost: {materials:.2}}}]\nplant: [{{item: Tower, cost: {plant:.2}}}]\n---\n"
    );
    let read = read_files(vec![
        ("diary.yaml".to_owned(), settings.into()),
        ("jobs/2026/a.md".to_owned(), log.into()),
    ]);
    Some(sheet(Subject {
        diary: &read.diary,
        job: read.diary.jobs.first()?,
        reader: For::Owner,
        as_of: jiff::civil::date(2026, 11, 25),
    }))
}

pub fn mileage(_: &Value) -> Run {
    not_here(
        "tax relief on miles: the program charges miles at the diary's own rate and makes no tax return",
    )
}

pub fn vat(_: &Value) -> Run {
    not_here("rates of VAT by supply and date: the rate is the diary's own `vat_percent`")
}

pub fn cis(_: &Value) -> Run {
    not_here("deductions from subcontractors: the program pays nobody")
}

pub fn landlord(case: &Value) -> Run {
    when_usable(|run| {
        let (inputs, expected) = (&case["inputs"], &case["expected"]);
        match id(case) {
            "prs-times" => {
                for (key, name) in [
                    ("interval_years", Name::InspectionYears),
                    ("tenant_days", Name::TenantDays),
                    ("council_days", Name::CouncilDays),
                    ("remedial_days", Name::RemedialDays),
                ] {
                    run.number(case, key, Some(figure(name)), &expected[key]);
                }
            }
            "prs-short" => {
                let inspected = inputs["inspected"].as_str()?.parse().ok()?;
                let days = u32::try_from(inputs["report_days"].as_u64()?).ok()?;
                let got = dates::remedial_work(inspected, Some(days));
                run.holds(
                    &format!("{got} is the last day"),
                    Some(got.to_string().as_str()) == expected.as_str(),
                );
            }
            _ => {
                run.not_here
                    .push("a council's penalty: no report states it".to_owned());
            }
        }
        Some(())
    })
}

pub fn phone(_: &Value) -> Run {
    not_here("numbers set aside for drama: a matter of the demo diary, not of the program")
}

pub fn part_p(case: &Value) -> Run {
    when_usable(|run| {
        let words = &caution("notify-work")?.words;
        for want in case["expected"].as_array()? {
            // The caution says `a change to a circuit` for the case's `addition or alteration`.
            let want = want
                .as_str()?
                .replace("addition or alteration in", "change to a circuit in");
            run.holds(&format!("notify-work says {want}"), words.contains(&want));
        }
        Some(())
    })
}

pub fn consumer(_: &Value) -> Run {
    not_here("what the Consumer Rights Act implies: no paper of the program states it")
}

pub fn edition(case: &Value) -> Run {
    when_usable(|run| {
        let want = case["expected"].as_str()?;
        run.holds(
            &format!("the current edition is {want}"),
            tables::CURRENT == want,
        );
        run.holds("the figures name an older one", tables::CHECKED != want);
        Some(())
    })
}

#[test]
fn every_trade_case_is_run_or_named_with_its_reason() {
    let text =
        std::fs::read_to_string("tests/checks/trade_published.json").expect("part of the crate");
    let content = serde_json::from_str(&text).expect("it is JSON");
    let mut tally = super::Tally::default();
    tally.take_file("trade_published.json", &content);
    assert_eq!(tally.missed, Vec::<String>::new());
    assert_eq!(tally.unknown, Vec::<String>::new());
    let cases = content.as_array().expect("a list of cases").len();
    let named: usize = tally.not_here.values().sum();
    assert_eq!(tally.cases + named, cases);
    // Fewer run than this means that a topic has gone quiet.
    assert!(tally.cases >= 48, "only {} run, {named} named", tally.cases);
}

#[test]
fn a_wrong_figure_of_the_trade_is_missed() {
    let case = serde_json::json!([{
        "id": "off", "topic": "zs_mcb", "inputs": {"type": "B", "rating_a": 32},
        "expected": 1.39, "tolerance": 0.01
    }, {
        "id": "ring-match", "topic": "ring", "inputs": {"r1": 0.36, "rn": 0.38}, "expected": false
    }]);
    let mut tally = super::Tally::default();
    tally.take_file("made-up.json", &case);
    assert_eq!(
        tally.missed,
        [
            "made-up.json, off, Zs: 1.37, wanted 1.39: MISSED",
            "made-up.json, ring-match, agree as expected: 0, wanted 1 to 1: MISSED"
        ]
    );
}
