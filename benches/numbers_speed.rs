//! How long the figures of a long record take: the fit behind a price, the back-test, and the
//! slope of a trend, each at growing sizes:
//!
//!     cargo bench --bench numbers_speed

#[path = "calibration/simulator.rs"]
#[expect(
    dead_code,
    reason = "the calibration has more settings than are timed here"
)]
mod simulator;

use daywork::numbers::back_test::back_test;
use daywork::numbers::log_linear::fit;
use daywork::numbers::log_student::{DRAWS, LogStudent, total};
use daywork::numbers::normal::Confidence;
use daywork::numbers::record::{Observation, Wanted};
use daywork::numbers::trend::{Point, theil_sen};
use simulator::{LOCATIONS, Setting, diary};
use std::hint::black_box;
use std::time::Instant;

/// Job counts of the records that are timed.
const JOBS: [usize; 4] = [1_000, 10_000, 20_000, 40_000];

fn main() {
    for jobs in JOBS {
        let record = record(jobs);
        let lines = record.len();
        timed(&format!("fit, {jobs} jobs, {lines} lines"), || {
            fit(&record, LOCATIONS)
        });
        let points = points(&record);
        timed(
            &format!("slope, {} points of one type", points.len()),
            || theil_sen(&points, Confidence::NINETY_FIVE),
        );
    }
    for count in [10_000, 100_000] {
        let points: Vec<Point> = record(count).iter().take(count).map(point).collect();
        timed(&format!("slope, {count} points"), || {
            theil_sen(&points, Confidence::NINETY_FIVE)
        });
    }
    let record = record(10_000);
    if let Some(fit) = fit(&record, LOCATIONS) {
        let wanted = [0, 1, 2].map(|task| Wanted {
            task,
            location: 0,
            count: 2.0,
            age: 0.0,
        });
        let lines: Vec<LogStudent> = fit.lines(&wanted).into_iter().flatten().collect();
        timed("total of three lines, 20,000 draws", || {
            total(&lines, 1, DRAWS)
        });
    }
    timed("back-test, 10,000 jobs", || back_test(&record, LOCATIONS));
}

/// A record of so many jobs, seen from its last day.
fn record(jobs: usize) -> Vec<Observation> {
    // Ten thousand jobs are many years here, which a drift would bring down to nothing.
    let steady = Setting {
        drift: 0.0,
        ..Setting::ALL
    };
    let mut record = diary(1, &steady, jobs).jobs.concat();
    let today = record.last().map_or(0.0, |line| line.age);
    for line in &mut record {
        line.age -= today;
    }
    record
}

fn points(record: &[Observation]) -> Vec<Point> {
    record
        .iter()
        .filter(|line| line.task == 0)
        .map(point)
        .collect()
}

/// With up to a minute more, so that the slopes asked for are not those of equal times.
fn point(line: &Observation) -> Point {
    let more = f64::from((line.job as u32).wrapping_mul(2_654_435_761)) / f64::from(u32::MAX);
    Point {
        at: line.age,
        value: line.minutes / line.count + more,
    }
}

#[expect(clippy::print_stdout, reason = "a report for whoever runs it")]
fn timed<T>(what: &str, work: impl FnOnce() -> T) {
    let start = Instant::now();
    black_box(work());
    println!("{:8.1} ms  {what}", start.elapsed().as_secs_f64() * 1000.0);
}
