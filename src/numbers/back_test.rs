//! Prices every past job from the earlier ones alone, so that a record can show how its own
//! prices would have held. Judges nothing: see `score`.

use super::log_linear::{Fit, fit};
use super::log_student::{LogStudent, total};
use super::quantile::Sorted;
use super::record::{Observation, Wanted};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::ops::Range;

/// The record is fitted again at most this many times, evenly over its jobs.
pub const MOST_FITS: usize = 200;
/// The first job that is priced has at least so many before it.
pub const LEAST_RECORD: usize = 6;
/// Draws for a past job's total: fewer than for a price, since thousands are priced, and their
/// errors even out over the jobs.
const DRAWS: usize = 500;

/// One past job, with what it would have been priced at; all in minutes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tested {
    /// The job's number.
    pub job: usize,
    /// Lines of it.
    pub lines: usize,
    /// The least number of earlier jobs that one of its types was seen in.
    pub least_seen: usize,
    /// The total that was to be undercut one time in ten.
    pub q10: f64,
    /// The middle of the total.
    pub q50: f64,
    /// The total that was to hold eight times in ten.
    pub q80: f64,
    /// The total that was to hold nine times in ten.
    pub q90: f64,
    /// The plain medians of minutes a unit, times the counts.
    pub plain_median: f64,
    /// What its lines took.
    pub actual: f64,
}

/// What a back-test came to.
#[derive(Debug, Clone, PartialEq)]
pub struct BackTest {
    /// By age, then number.
    pub tested: Vec<Tested>,
    /// Jobs after the first few that hold a type that was new then, and so had no price.
    pub with_new_type: usize,
    /// Times the record was fitted.
    pub fits: usize,
}

/// Prices each job from the earlier ones, by age and then number; with fewer than
/// [`LEAST_RECORD`] jobs, or all on one day, nothing is tested. Lines that a fit leaves out are
/// left out here.
///
/// A job is priced from the last fit before it, and that knows only jobs of an earlier day.
/// Location and counts are taken as known. A job's age is that of its latest line. At most
/// [`MOST_FITS`] fits, each linear in its lines.
pub fn back_test(observations: &[Observation], locations: usize) -> BackTest {
    let jobs = jobs_of(observations);
    let places: Vec<Range<usize>> = spans(jobs.len());
    let spans: Vec<Vec<Option<Tested>>> = places
        .into_par_iter()
        .map(|span| test_span(&jobs, span, locations))
        .collect();
    let fits = spans.iter().filter(|span| !span.is_empty()).count();
    let all: Vec<Option<Tested>> = spans.into_iter().flatten().collect();
    BackTest {
        with_new_type: all.iter().filter(|tested| tested.is_none()).count(),
        tested: all.into_iter().flatten().collect(),
        fits,
    }
}

/// The jobs to price from one fit each: at most [`MOST_FITS`] spans, evenly.
fn spans(jobs: usize) -> Vec<Range<usize>> {
    let tested = jobs.saturating_sub(LEAST_RECORD);
    let fits = tested.min(MOST_FITS);
    (0..fits)
        .map(|fit| {
            let edge = |fit: usize| LEAST_RECORD + tested * fit / fits;
            edge(fit)..edge(fit + 1)
        })
        .collect()
}

/// The lines of each job, by the job's age and then number.
fn jobs_of(observations: &[Observation]) -> Vec<Vec<Observation>> {
    let mut by_job: BTreeMap<usize, Vec<Observation>> = BTreeMap::new();
    for one in observations.iter().filter(|one| one.is_usable()) {
        by_job.entry(one.job).or_default().push(*one);
    }
    let mut jobs: Vec<Vec<Observation>> = by_job.into_values().collect();
    // Stable: at one age the jobs stay by number.
    jobs.sort_by(|one, other| age_of(one).total_cmp(&age_of(other)));
    jobs
}

fn age_of(job: &[Observation]) -> f64 {
    job.iter()
        .map(|line| line.age)
        .fold(f64::NEG_INFINITY, f64::max)
}

/// Prices the jobs of one span; empty where nothing is of an earlier day than its first.
fn test_span(
    jobs: &[Vec<Observation>],
    span: Range<usize>,
    locations: usize,
) -> Vec<Option<Tested>> {
    let day = age_of(&jobs[span.start]);
    let known = jobs.partition_point(|job| age_of(job) < day);
    let mut lines: Vec<Observation> = jobs[..known].concat();
    for line in &mut lines {
        line.age -= day;
    }
    let Some(fit) = fit(&lines, locations) else {
        return Vec::new();
    };
    let medians = plain_medians(&lines);
    jobs[span]
        .iter()
        .map(|job| test_job(&fit, &medians, day, job))
        .collect()
}

/// `None` where the job holds a type that the fit has not seen.
fn test_job(
    fit: &Fit,
    medians: &BTreeMap<usize, f64>,
    day: f64,
    job: &[Observation],
) -> Option<Tested> {
    let wanted: Vec<Wanted> = job
        .iter()
        .map(|line| Wanted {
            task: line.task,
            location: line.location,
            count: line.count,
            age: line.age - day,
        })
        .collect();
    let lines: Vec<LogStudent> = fit.lines(&wanted).into_iter().collect::<Option<_>>()?;
    let number = job[0].job;
    let quantile: Box<dyn Fn(f64) -> f64> = match lines.as_slice() {
        [line] => Box::new(|p| line.quantile(p)),
        lines => {
            let total = total(lines, number as u64, DRAWS)?;
            Box::new(move |p| total.quantile(p))
        }
    };
    let seen = |line: &Observation| fit.tasks[line.task].map_or(0, |task| task.seen);
    Some(Tested {
        job: number,
        lines: job.len(),
        least_seen: job.iter().map(seen).min().unwrap_or(0),
        q10: quantile(0.1),
        q50: quantile(0.5),
        q80: quantile(0.8),
        q90: quantile(0.9),
        plain_median: job
            .iter()
            .map(|line| {
                medians
                    .get(&line.task)
                    .map_or(0.0, |each| each * line.count)
            })
            .sum(),
        actual: job.iter().map(|line| line.minutes).sum(),
    })
}

/// By type, the median of minutes a unit.
pub fn plain_medians(lines: &[Observation]) -> BTreeMap<usize, f64> {
    let mut each: BTreeMap<usize, Vec<f64>> = BTreeMap::new();
    for line in lines.iter().filter(|line| line.is_usable()) {
        each.entry(line.task)
            .or_default()
            .push(line.minutes / line.count);
    }
    each.into_iter()
        .filter_map(|(task, each)| Some((task, Sorted::new(each)?.median())))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(job: usize, task: usize, age: f64, minutes: f64) -> Observation {
        Observation {
            job,
            task,
            location: 0,
            count: 1.0,
            age,
            minutes,
        }
    }

    /// One job a day, of one type, an hour more or less.
    fn record(jobs: usize) -> Vec<Observation> {
        (0..jobs)
            .map(|job| {
                let age = job as f64 / 365.25 - 3.0;
                line(job, 0, age, 55.0 + 5.0 * (job % 3) as f64)
            })
            .collect()
    }

    #[test]
    fn few_jobs_or_one_day_test_nothing() {
        for lines in [vec![], record(6), vec![line(0, 0, -1.0, 60.0); 3]] {
            assert_eq!(back_test(&lines, 1).tested, []);
        }
        let one_day: Vec<_> = (0..20).map(|job| line(job, 0, -1.0, 60.0)).collect();
        let none = back_test(&one_day, 1);
        assert_eq!((none.tested, none.fits), (vec![], 0));
    }

    #[test]
    fn every_job_after_the_first_six_is_priced_from_earlier_ones() {
        let tested = back_test(&record(20), 1).tested;
        let jobs: Vec<usize> = tested.iter().map(|tested| tested.job).collect();
        assert_eq!(jobs, (6..20).collect::<Vec<_>>());
        assert_eq!(tested[0].least_seen, 6);
        assert_eq!(tested[0].plain_median, 60.0);
        assert!(
            tested
                .iter()
                .all(|one| one.q10 < one.q50 && one.q50 < one.q90)
        );
    }

    #[test]
    fn a_later_job_changes_no_earlier_price() {
        let short = back_test(&record(20), 1).tested;
        let mut longer = record(20);
        longer.push(line(20, 0, -0.1, 900.0));
        let long = back_test(&longer, 1).tested;
        assert_eq!(short[..], long[..short.len()]);
    }

    #[test]
    fn a_new_type_has_no_price_and_is_counted() {
        let mut lines = record(20);
        lines.push(line(20, 7, -0.1, 60.0));
        lines.push(line(21, 7, -0.05, 60.0));
        let outcome = back_test(&lines, 1);
        assert_eq!(outcome.with_new_type, 1);
        assert_eq!(outcome.tested.last().expect("tested").job, 21);
    }

    #[test]
    fn long_records_are_fitted_two_hundred_times() {
        let spans = spans(1000);
        assert_eq!(spans.len(), MOST_FITS);
        assert_eq!((spans[0].start, spans[199].end), (LEAST_RECORD, 1000));
        assert!(spans.windows(2).all(|two| two[0].end == two[1].start));
        assert!(spans.iter().all(|span| (4..=5).contains(&span.len())));
    }

    /// A job is priced as of its own day, by a fit to the earlier ones as of that day.
    #[test]
    fn a_price_is_that_of_its_own_day() {
        let mut lines = record(8);
        for (at, line) in lines.iter_mut().enumerate() {
            // Ever quicker, and by the pair.
            line.minutes *= 0.9_f64.powi(at as i32);
            line.count = 2.0;
        }
        let day = lines[7].age;
        let mut earlier = lines[..7].to_vec();
        for line in &mut earlier {
            line.age -= day;
        }
        let wanted = Wanted {
            task: 0,
            location: 0,
            count: 2.0,
            age: 0.0,
        };
        let line = fit(&earlier, 1)
            .expect("a fit")
            .line(&wanted)
            .expect("a line");
        let tested = back_test(&lines, 1).tested;
        let last = tested.last().expect("the eighth job");
        assert_eq!((last.job, last.q50), (7, line.quantile(0.5)));
        // The middle of seven times for a pair, which is a time: the fourth by length.
        let mut minutes: Vec<f64> = earlier.iter().map(|line| line.minutes).collect();
        minutes.sort_by(f64::total_cmp);
        assert!((last.plain_median - minutes[3]).abs() < 1e-12);
    }
}
