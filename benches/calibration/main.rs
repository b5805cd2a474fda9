//! How often the band of a price holds on invented diaries, by the lines of the job, by how
//! often the type had been seen, and by the length of the record:
//!
//!     cargo bench --bench calibration -- [DIARIES] [FIRST_SEED]

mod pricing;
mod simulator;

use pricing::{Held, PricedJob, Way, price_next};
use rayon::prelude::*;
use simulator::{Setting, diary};
use std::collections::BTreeMap;

/// Records of so many jobs are priced from.
const RECORDS: [usize; 6] = [25, 40, 80, 150, 250, 390];
/// Jobs priced from each.
const NEXT: usize = 8;
/// Draws of a total: enough that their error is far below that of the number of jobs.
const DRAWS: usize = 4_000;

#[expect(clippy::print_stdout, reason = "a report for whoever runs it")]
fn main() {
    // Cargo hands every bench a word of its own.
    let mut given = std::env::args().skip(1).filter(|word| word != "--bench");
    let mut number = |usual: u64| match given.next() {
        Some(text) => text
            .parse()
            .expect("DIARIES and FIRST_SEED are whole numbers"),
        None => usual,
    };
    let (diaries, first_seed) = (number(200), number(1_000_000));
    let settings = [
        ("all", Setting::ALL),
        ("all, steadier types", Setting::ALL_STEADY),
        ("clean", Setting::CLEAN),
    ];
    for (name, setting) in settings {
        let priced = |way: Way| -> Vec<PricedJob> {
            (first_seed..first_seed + diaries)
                .into_par_iter()
                .flat_map_iter(|seed| {
                    let diary = diary(seed, &setting, RECORDS[5] + NEXT);
                    let price = |&record| price_next(&diary, way, record, NEXT, DRAWS);
                    RECORDS.iter().flat_map(price).collect::<Vec<_>>()
                })
                .collect()
        };
        let plain = tables(&priced(Way::Plain));
        let as_priced = tables(&priced(Way::AsPriced));
        println!("{name}: {diaries} diaries from seed {first_seed}");
        println!("                            the method alone            as priced");
        println!("                      n     band upper  pinball    band upper  pinball");
        for (label, held) in &plain {
            let columns = |held: &Held| {
                let ratio = held.pinball_ratio();
                format!("{:5.1} {:5.1}   {ratio:.4}", held.band(), held.upper())
            };
            let (one, other) = (columns(held), columns(&as_priced[label]));
            println!("{label:20} {:6}  {one}  {other}", held.count);
        }
        println!();
    }
    println!("band: how often the central 80 % band held, in 100; upper: how often the 80 %");
    println!("quantile did; pinball: the loss over .1 .5 .8 .9 in shares of the plain median's.");
}

/// The groups in the order they are printed.
fn tables(priced: &[PricedJob]) -> BTreeMap<String, Held> {
    let mut groups: BTreeMap<String, Held> = BTreeMap::new();
    for job in priced {
        let lines = job.lines.len();
        let keys = [
            "a all jobs".to_owned(),
            format!("b lines in job {lines}"),
            format!("c record of {:3}", job.record),
        ];
        for key in keys {
            groups.entry(key).or_default().add(&job.whole);
        }
        for (seen, line) in &job.lines {
            let times = match seen {
                0 | 1 => "  1",
                2 => "  2",
                3..=5 => "3-5",
                6..=15 => "6-15",
                _ => ">15",
            };
            let order = [1, 2, 5, 15].iter().filter(|&&most| *seen > most).count();
            groups
                .entry(format!("d{order} line seen {times}"))
                .or_default()
                .add(line);
        }
    }
    groups
}
