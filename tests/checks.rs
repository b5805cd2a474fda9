//! Holds the program's figures against values from outside it: every case of
//! `tests/checks/*.json`, and of the folder that `DAYWORK_CHECKS` names, if it names one.
//! Prints file, case and figure. Does not hold the program to what no report uses.
//!
//! A case names its function, in the trade file its topic; `TABLE` says what becomes of it.

#[path = "checks/trade.rs"]
mod trade;

use daywork::numbers::bootstrap::{LEAST_FOR_INTERVAL, median_interval};
use daywork::numbers::normal::Confidence;
use daywork::numbers::quantile::Sorted;
use daywork::numbers::trend::{Point, mann_kendall, theil_sen};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

#[path = "checks/events.rs"]
mod events;
#[path = "checks/price.rs"]
mod price;
#[path = "checks/tree.rs"]
mod tree;

/// Fewer cases than this from the project's own folder mean that the runner has gone blind.
const LEAST_CASES: usize = 51;

/// Where a case gives no tolerance for a figure.
const TOLERANCE: f64 = 1e-9;

/// What becomes of the cases of a function.
enum Row {
    /// Works the case's figures out and sets them beside the case's own.
    Runs(fn(&Value) -> Run),
    /// No report uses it.
    NotHere,
}

const TABLE: &[(&str, Row)] = &[
    // Statistics.
    ("quantile", Row::Runs(quantile)),
    ("median", Row::Runs(median)),
    ("bootstrap_bca", Row::Runs(bootstrap_bca)),
    ("theil_sen", Row::Runs(theil_sen_slope)),
    ("mann_kendall", Row::Runs(mann_kendall_test)),
    ("binomial_ci", Row::Runs(events::binomial_ci)),
    ("poisson_rate_ci", Row::Runs(events::poisson_rate_ci)),
    ("kaplan_meier", Row::Runs(events::survival)),
    ("trimmed_mean", Row::NotHere),
    ("lognormal_fit", Row::NotHere),
    ("lognormal_predictive", Row::NotHere),
    ("normal_shrinkage", Row::NotHere),
    ("normal_shrinkage_raw", Row::NotHere),
    // Price and cover.
    (
        "moderated_variance_moments",
        Row::Runs(price::moderated_variance_moments),
    ),
    ("trigamma_inverse", Row::Runs(price::trigamma_inverse)),
    (
        "mean_cumulative_function",
        Row::Runs(events::mean_cumulative_function),
    ),
    ("price_quantiles", Row::Runs(price::price_quantiles)),
    // Trade, by topic: what is judged of a reading or a finding.
    ("zs_mcb", Row::Runs(trade::zs_mcb)),
    ("zs_fuse", Row::Runs(trade::zs_fuse)),
    ("zs_80pct", Row::Runs(trade::zs_80pct)),
    ("zs_rcd_tt", Row::Runs(trade::zs_rcd_tt)),
    ("disconnection", Row::Runs(trade::disconnection)),
    ("insulation", Row::Runs(trade::insulation)),
    ("rcd_time", Row::Runs(trade::rcd_time)),
    ("rcd_required", Row::Runs(trade::rcd_required)),
    ("bath_zones", Row::Runs(trade::bath_zones)),
    ("ring", Row::Runs(trade::ring)),
    ("conductor_r", Row::Runs(trade::conductor_r)),
    ("r1r2", Row::Runs(trade::r1r2)),
    ("volt_drop", Row::Runs(trade::volt_drop)),
    ("adiabatic", Row::Runs(trade::adiabatic)),
    ("codes", Row::Runs(trade::codes)),
    ("colours", Row::Runs(trade::colours)),
    // Trade, by topic: money, papers and the law.
    ("dayworks", Row::Runs(trade::dayworks)),
    ("mileage", Row::Runs(trade::mileage)),
    ("vat", Row::Runs(trade::vat)),
    ("cis", Row::Runs(trade::cis)),
    ("landlord", Row::Runs(trade::landlord)),
    ("phone", Row::Runs(trade::phone)),
    ("part_p", Row::Runs(trade::part_p)),
    ("consumer", Row::Runs(trade::consumer)),
    ("edition", Row::Runs(trade::edition)),
];

/// What working a case out gave.
#[derive(Default)]
struct Run {
    figures: Vec<Figure>,
    /// Figures of the case that the program does not have, or has no use for.
    not_here: Vec<String>,
}

/// One figure of the program's beside the case's.
struct Figure {
    name: String,
    /// `None` where the program has no such figure for this input.
    got: Option<f64>,
    want: Want,
}

enum Want {
    /// This number, to a tolerance of the case.
    Number(f64, Tolerance),
    /// No such figure.
    Undefined,
    /// Anything from the first to the second.
    Within(f64, f64),
}

#[derive(Clone, Copy)]
struct Tolerance {
    relative: f64,
    absolute: f64,
}

impl Want {
    fn exactly(number: f64) -> Self {
        let exact = Tolerance {
            relative: 0.0,
            absolute: 0.0,
        };
        Self::Number(number, exact)
    }
}

impl Figure {
    fn passes(&self) -> bool {
        match (self.got, &self.want) {
            // Two infinities have no difference.
            (Some(got), Want::Number(want, _)) if got == *want => true,
            (Some(got), Want::Number(want, tolerance)) => {
                let room = tolerance.absolute.max(tolerance.relative * want.abs());
                (got - want).abs() <= room
            }
            (Some(got), Want::Within(low, high)) => (*low..=*high).contains(&got),
            (None, Want::Undefined) => true,
            _ => false,
        }
    }

    fn line(&self) -> String {
        let got = match self.got {
            Some(got) => got.to_string(),
            None => "undefined".to_owned(),
        };
        let want = match self.want {
            Want::Number(want, _) => want.to_string(),
            Want::Undefined => "undefined".to_owned(),
            Want::Within(low, high) => format!("{low} to {high}"),
        };
        let verdict = if self.passes() { "held" } else { "MISSED" };
        format!("{}: {got}, wanted {want}: {verdict}", self.name)
    }
}

impl Run {
    /// Sets `got` beside a number of the case, or beside its null.
    fn hold(&mut self, name: &str, got: Option<f64>, want: &Value, tolerance: Tolerance) {
        let want = match want {
            Value::Null => Want::Undefined,
            Value::String(word) if word == "inf" => Want::exactly(f64::INFINITY),
            number => match number.as_f64() {
                Some(number) => Want::Number(number, tolerance),
                None => return self.not_here.push(format!("{name}: not a number")),
            },
        };
        self.figures.push(Figure {
            name: name.to_owned(),
            got,
            want,
        });
    }

    /// Sets the named figures beside `expected` and beside what was `published`; the
    /// case's other figures are named as not in this program.
    fn hold_all(&mut self, case: &Value, ours: &[(&str, Option<f64>)]) {
        let expected = case["expected"].as_object().into_iter().flatten();
        for (key, want) in expected {
            match ours.iter().find(|(name, _)| name == key) {
                Some((_, got)) => self.hold(key, *got, want, tolerance_of(case, key)),
                None => self.not_here.push(key.clone()),
            }
        }
        for printed in published(case) {
            let key = printed["key"].as_str().unwrap_or_default();
            if let Some((_, got)) = ours.iter().find(|(name, _)| *name == key) {
                self.hold_printed(key, *got, printed);
            }
        }
    }

    fn hold_printed(&mut self, key: &str, got: Option<f64>, printed: &Value) {
        let tolerance = Tolerance {
            relative: 0.0,
            absolute: printed["abs_tol"].as_f64().unwrap_or(TOLERANCE),
        };
        let name = format!("{key} as printed");
        self.hold(&name, got, &printed["printed"], tolerance);
    }
}

fn published(case: &Value) -> impl Iterator<Item = &Value> {
    case["published"].as_array().into_iter().flatten()
}

/// The tolerance for one figure: its own, else the one for exact values (`ideal`), else
/// the case's.
fn tolerance_of(case: &Value, key: &str) -> Tolerance {
    let given = &case["tolerance"];
    let has_number = |value: &Value| value["rel"].is_number() || value["abs"].is_number();
    let of = |value: &Value| Tolerance {
        relative: value["rel"].as_f64().unwrap_or(0.0),
        absolute: value["abs"].as_f64().unwrap_or(0.0),
    };
    [&given[key], &given["ideal"], given]
        .into_iter()
        .find(|value| has_number(value))
        .map_or(
            Tolerance {
                relative: TOLERANCE,
                absolute: TOLERANCE,
            },
            of,
        )
}

fn numbers(value: &Value) -> Option<Vec<f64>> {
    value.as_array()?.iter().map(Value::as_f64).collect()
}

fn confidence(case: &Value) -> Option<Confidence> {
    Confidence::from_share(case["inputs"]["confidence"].as_f64()?)
}

/// Runs a handler that gives up with `None` on an input the program has no use for.
fn when_usable(work: impl FnOnce(&mut Run) -> Option<()>) -> Run {
    let mut run = Run::default();
    if work(&mut run).is_none() {
        run.figures.clear();
        run.not_here
            .push("inputs of a shape that no report has".to_owned());
    }
    run
}

/// Types 1 to 7 and 9 are not in this program: every quantile it gives is of type 8.
fn quantile(case: &Value) -> Run {
    when_usable(|run| {
        let data = numbers(&case["inputs"]["data"])?;
        let shares = numbers(&case["inputs"]["probs"])?;
        let sample = Sorted::new(data);
        for (kind, wanted) in case["expected"].as_object()? {
            if kind != "8" {
                run.not_here.push(format!("type {kind}"));
                continue;
            }
            let wanted = wanted.as_array().filter(|all| all.len() == shares.len())?;
            for (place, (&share, want)) in shares.iter().zip(wanted).enumerate() {
                let got = sample.as_ref().map(|sample| sample.quantile(share));
                let name = format!("type 8 at {share}");
                run.hold(&name, got, want, tolerance_of(case, "8"));
                for printed in published(case) {
                    if printed["key"] == format!("8.{place}") {
                        run.hold_printed(&name, got, printed);
                    }
                }
            }
        }
        Some(())
    })
}

fn median(case: &Value) -> Run {
    when_usable(|run| {
        let sample = Sorted::new(numbers(&case["inputs"]["data"])?);
        let got = sample.as_ref().map(Sorted::median);
        run.hold_all(case, &[("median", got)]);
        Some(())
    })
}

/// Of a median only, with the exact distribution and bias by midrank. Where the case has
/// no acceleration (0/0) the program takes 0 and says so; then the case's figures for that
/// choice hold.
fn bootstrap_bca(case: &Value) -> Run {
    let statistic = case["inputs"]["statistic"].as_str().unwrap_or("?");
    if statistic != "median" {
        let mut run = Run::default();
        run.not_here.push(format!("the interval of a {statistic}"));
        return run;
    }
    when_usable(|run| {
        let sample = Sorted::new(numbers(&case["inputs"]["data"])?)?;
        if sample.count() < LEAST_FOR_INTERVAL {
            return None;
        }
        let interval = median_interval(&sample, confidence(case)?)?;
        let expected = &case["expected"];
        let mut ours = vec![
            ("theta_hat", Some(sample.median())),
            ("z0_ideal_midrank", Some(interval.bias)),
        ];
        // A null is 0/0; the program takes 0 there, as the case's `a0` figures do.
        let undefined = expected["acceleration"].is_null();
        if !undefined {
            ours.push(("acceleration", Some(interval.acceleration)));
        }
        run.hold_all(case, &ours);
        if undefined && expected["alpha_fallback_a0"].is_array() {
            run.not_here.retain(|name| name != "acceleration");
            let exact = Tolerance {
                relative: 0.0,
                absolute: 0.0,
            };
            let name = "acceleration where it is 0/0";
            run.hold(name, Some(interval.acceleration), &Value::from(0), exact);
        }
        let ends = [interval.low, interval.high];
        for (key, got) in [
            ("alpha_ideal_midrank", interval.levels),
            ("interval_ideal_midrank", ends),
            ("alpha_fallback_a0", interval.levels),
            ("interval_fallback_a0_midrank", ends),
        ] {
            let Some(pair) = expected[key].as_array() else {
                continue;
            };
            run.not_here.retain(|name| name != key);
            for ((end, got), want) in ["low", "high"].into_iter().zip(got).zip(pair) {
                let name = format!("{key} {end}");
                run.hold(&name, Some(got), want, tolerance_of(case, key));
            }
        }
        for (key, got) in [("band_low", interval.low), ("band_high", interval.high)] {
            if let Some([low, high]) = numbers(&expected[key]).as_deref() {
                run.not_here.retain(|name| name != key);
                run.figures.push(Figure {
                    name: key.to_owned(),
                    got: Some(got),
                    want: Want::Within(*low, *high),
                });
            }
        }
        Some(())
    })
}

fn theil_sen_slope(case: &Value) -> Run {
    when_usable(|run| {
        let at = numbers(&case["inputs"]["x"])?;
        let values = numbers(&case["inputs"]["y"])?;
        let slope = theil_sen(&points(&at, &values)?, confidence(case)?);
        run.hold_all(
            case,
            &[
                ("slope", slope.map(|slope| slope.slope)),
                ("low", slope.map(|slope| slope.low)),
                ("high", slope.map(|slope| slope.high)),
                ("n_slopes", slope.map(|slope| slope.pairs as f64)),
            ],
        );
        Some(())
    })
}

/// A series has its places as times; its Sen slope is that of `theil_sen`.
fn mann_kendall_test(case: &Value) -> Run {
    when_usable(|run| {
        let series = numbers(&case["inputs"]["series"])?;
        let places: Vec<f64> = (0..series.len()).map(|place| place as f64).collect();
        let points = points(&places, &series)?;
        let test = mann_kendall(&points);
        let slope = theil_sen(&points, Confidence::NINETY_FIVE);
        run.hold_all(
            case,
            &[
                ("S", test.map(|test| test.score as f64)),
                ("var_S", test.map(|test| test.variance)),
                ("z", test.map(|test| test.z)),
                ("p_two_sided", test.map(|test| test.p)),
                ("sen_slope", slope.map(|slope| slope.slope)),
            ],
        );
        Some(())
    })
}

fn points(at: &[f64], values: &[f64]) -> Option<Vec<Point>> {
    let point = |(&at, &value): (&f64, &f64)| Point { at, value };
    (at.len() == values.len()).then(|| at.iter().zip(values).map(point).collect())
}

/// What a folder's cases came to.
#[derive(Default)]
struct Tally {
    lines: Vec<String>,
    cases: usize,
    figures: usize,
    missed: Vec<String>,
    /// By function, the number of cases.
    not_here: BTreeMap<String, usize>,
    /// Files, functions and shapes that the runner does not know.
    unknown: Vec<String>,
}

impl Tally {
    fn take_folder(&mut self, folder: &Path) {
        let listing = std::fs::read_dir(folder)
            .unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
        let mut files: Vec<PathBuf> = listing
            .map(|entry| entry.expect("a folder just opened can be listed").path())
            .filter(|path| path.extension().is_some_and(|ending| ending == "json"))
            .collect();
        files.sort();
        for file in files {
            let name = file.file_name().unwrap_or_default().to_string_lossy();
            let read = std::fs::read_to_string(&file).map_err(|error| error.to_string());
            match read.and_then(|text| serde_json::from_str(&text).map_err(|e| e.to_string())) {
                Ok(content) => self.take_file(&name, &content),
                Err(error) => self.missed.push(format!("{name}: {error}")),
            }
        }
    }

    /// A file is a list of cases, or holds one under `cases`.
    fn take_file(&mut self, file: &str, content: &Value) {
        match content.as_array().or_else(|| content["cases"].as_array()) {
            Some(cases) => cases.iter().for_each(|case| self.take_case(file, case)),
            None => self.unknown.push(format!("{file}: no list of cases")),
        }
    }

    fn take_case(&mut self, file: &str, case: &Value) {
        let id = case["id"].as_str().unwrap_or("a case with no id");
        let Some(function) = case["function"].as_str().or(case["topic"].as_str()) else {
            self.unknown
                .push(format!("{file}, {id}: names no function"));
            return;
        };
        match TABLE.iter().find(|(name, _)| *name == function) {
            Some((_, Row::Runs(work))) => {
                let run = work(case);
                if run.figures.is_empty() {
                    let kind = format!("{function} of a kind no report uses");
                    *self.not_here.entry(kind).or_default() += 1;
                }
                self.take_run(&format!("{file}, {id}"), run);
                if let Some(source) = case["source"].as_str() {
                    self.lines.push(format!("    {source}"));
                }
            }
            Some((_, Row::NotHere)) => *self.not_here.entry(function.to_owned()).or_default() += 1,
            None => self.unknown.push(format!("{file}, {id}: {function}")),
        }
    }

    fn take_run(&mut self, place: &str, run: Run) {
        self.cases += usize::from(!run.figures.is_empty());
        self.figures += run.figures.len();
        for figure in &run.figures {
            let line = format!("{place}, {}", figure.line());
            if !figure.passes() {
                self.missed.push(line.clone());
            }
            self.lines.push(line);
        }
        if !run.not_here.is_empty() {
            let names = run.not_here.join(", ");
            self.lines
                .push(format!("{place}, not in this program: {names}"));
        }
    }

    #[expect(
        clippy::print_stdout,
        reason = "the runner's report is for whoever runs it with --nocapture"
    )]
    fn print(&self, folder: &Path) {
        println!("{}", folder.display());
        for line in &self.lines {
            println!("  {line}");
        }
        for (function, cases) in &self.not_here {
            println!("  not in this program: {function} ({cases})");
        }
        for line in &self.unknown {
            println!("  unknown: {line}");
        }
        for line in &self.missed {
            println!("  missed: {line}");
        }
        println!(
            "  {} cases run, {} figures, {} missed; {} cases not in this program, {} unknown",
            self.cases,
            self.figures,
            self.missed.len(),
            self.not_here.values().sum::<usize>(),
            self.unknown.len(),
        );
    }
}

fn tally(folder: &Path) -> Tally {
    let mut tally = Tally::default();
    tally.take_folder(folder);
    tally.print(folder);
    tally
}

#[test]
fn outside_values_hold() {
    let own = tally(Path::new("tests/checks"));
    assert!(own.missed.is_empty(), "missed: {:#?}", own.missed);
    assert!(own.unknown.is_empty(), "unknown: {:#?}", own.unknown);
    assert!(
        own.cases >= LEAST_CASES,
        "only {} cases were run",
        own.cases
    );
}

#[test]
fn values_from_another_folder_hold() {
    // The variable names a folder of somebody else's cases, so without it there is
    // nothing to hold, and cases of a kind not known here are listed and no more.
    if let Some(folder) = std::env::var_os("DAYWORK_CHECKS") {
        let other = tally(Path::new(&folder));
        assert!(other.missed.is_empty(), "missed: {:#?}", other.missed);
    }
}

fn tally_of(cases: Value) -> Tally {
    let mut tally = Tally::default();
    tally.take_file("made-up.json", &cases);
    tally
}

#[test]
fn a_wrong_figure_is_missed() {
    let wrong = tally_of(serde_json::json!({"cases": [
        {"id": "off", "function": "median", "inputs": {"data": [1, 2, 9]},
         "expected": {"median": 2.1}, "tolerance": {"rel": 1e-9, "abs": 0.05}},
        {"id": "near", "function": "median", "inputs": {"data": [1, 2, 9]},
         "expected": {"median": 2.1}, "tolerance": {"rel": 0.1}},
        {"id": "printed", "function": "median", "inputs": {"data": [1, 2, 9]},
         "expected": {"median": 2}, "tolerance": {"abs": 0},
         "published": [{"key": "median", "printed": 2.3, "abs_tol": 0.2}]},
        {"id": "none", "function": "median", "inputs": {"data": []},
         "expected": {"median": null}, "tolerance": {"abs": 0}},
    ]}));
    assert_eq!(wrong.cases, 4);
    assert_eq!(
        wrong.missed,
        [
            "made-up.json, off, median: 2, wanted 2.1: MISSED",
            "made-up.json, printed, median as printed: 2, wanted 2.3: MISSED",
        ]
    );
}

#[test]
fn what_is_not_known_is_listed_and_not_run() {
    let strange = tally_of(serde_json::json!([
        {"id": "b", "function": "trimmed_mean"},
        {"id": "c", "function": "tea_leaves"},
        {"id": "d"},
        {"id": "e", "function": "median", "inputs": {"data": "1, 2, 9"}},
    ]));
    assert_eq!((strange.cases, strange.missed.len()), (0, 0));
    assert_eq!(
        strange.not_here.keys().collect::<Vec<_>>(),
        ["median of a kind no report uses", "trimmed_mean"]
    );
    assert_eq!(
        strange.unknown,
        [
            "made-up.json, c: tea_leaves",
            "made-up.json, d: names no function"
        ]
    );
    assert_eq!(
        strange.lines,
        ["made-up.json, e, not in this program: inputs of a shape that no report has"]
    );
    assert_eq!(tally_of(serde_json::json!({"notes": 1})).unknown.len(), 1);
}
