//! Holds a price's band to its word on invented diaries whose truth is known: the band that is
//! to hold 80 times in 100 does, over thousands of jobs. The longer run, by lines of the job and
//! by how often a type had been seen, is `cargo bench --bench calibration`.

#[path = "../benches/calibration/pricing.rs"]
#[expect(
    dead_code,
    reason = "the example prints more figures than are held here"
)]
mod pricing;
#[path = "../benches/calibration/simulator.rs"]
#[expect(dead_code, reason = "the example has more settings than are held here")]
mod simulator;

use pricing::{Held, PricedJob, Way, price_next};
use rayon::prelude::*;
use simulator::{Setting, diary};

/// The first seed; nothing was chosen by it, and others do as well (the example prints thousands).
const FIRST_SEED: u64 = 1;
const DIARIES: u64 = 90;
/// Records of so many jobs are priced from ...
const RECORDS: [usize; 2] = [40, 150];
/// ... for so many jobs each.
const NEXT: usize = 20;
/// Draws of a total: their error is a fifth of a percent of coverage, and evens out over jobs.
const DRAWS: usize = 300;

fn priced(setting: Setting) -> Vec<PricedJob> {
    (FIRST_SEED..FIRST_SEED + DIARIES)
        .into_par_iter()
        .flat_map_iter(|seed| {
            let diary = diary(seed, &setting, RECORDS[1] + NEXT);
            let price = |&record| price_next(&diary, Way::AsPriced, record, NEXT, DRAWS);
            RECORDS.iter().flat_map(price).collect::<Vec<_>>()
        })
        .collect()
}

fn held<'a>(jobs: impl IntoIterator<Item = &'a PricedJob>) -> Held {
    let mut held = Held::default();
    for job in jobs {
        held.add(&job.whole);
    }
    held
}

// Some 3,400 jobs: the standard error of a coverage is 0.7 points and somewhat more, since a
// record's jobs are priced from one fit. Over 46,000 jobs of the example the band holds 80.5
// times in 100 and the 80 % quantile 81.8 times.
#[test]
fn the_band_holds_four_times_in_five() {
    let jobs = priced(Setting::ALL);
    let all = held(&jobs);
    println!(
        "{} {} {} {}",
        all.count,
        all.band(),
        all.upper(),
        all.pinball_ratio()
    );
    assert!(all.count > 3000, "only {} jobs", all.count);
    assert!((78.0..=82.0).contains(&all.band()), "band {}", all.band());
    assert!(
        (79.0..=84.5).contains(&all.upper()),
        "upper {}",
        all.upper()
    );
    assert!(
        all.pinball_ratio() < 0.75,
        "pinball {}",
        all.pinball_ratio()
    );
    // Jobs of three and four lines, where the band is hardest: about a fifth of them.
    let long = held(jobs.iter().filter(|job| job.lines.len() >= 3));
    assert!(long.count > 600, "only {} long jobs", long.count);
    assert!((76.0..=84.0).contains(&long.band()), "long {}", long.band());
}
