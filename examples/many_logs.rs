//! Writes a diary of many logs of about 4 kB each, for measuring: `cargo run --release --example many_logs -- DIR 10000`.
//!
//! The settings and clients are the demo's. Every other log is public; no two visits overlap; the same number gives the same
//! bytes. Its prose is made of the demo's trade words and is meant to be weighed, not read.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::process::ExitCode;

/// What a sentence is made of.
const PARTS: [&str; 16] = [
    "The board stood behind the door and had a way left.",
    "I proved it dead with a tester that I had proved first, and put my lock on it.",
    "The cable read forty megohms to earth, which is age and not yet a fault.",
    "Two ends were loose in the neutral bar, and one of them had been warm.",
    "The outlet went back with its cpc sleeved, as it should have been from the start.",
    "Half of the time went on moving what stood in the way.",
    "It rained, and the shed roof let some of it in.",
    "The ring gave the same figure on all three ends, and that is a good morning.",
    "Nobody could say what the sixth way fed, so I traced it.",
    "I wrote the circuit chart again and left it in the lid.",
    "The new device tripped in twenty-four milliseconds on test.",
    "The clips had let go along the beam, and the cable hung in a loop.",
    "What was found is in the list above, with who was told.",
    "There was no bond to the water where it comes in, and now there is.",
    "The timer in the store ran an hour slow and had done so since spring.",
    "I tested, took my lock away and put the covers back.",
];
const TASKS: [(&str, bool); 8] = [
    ("socket", true),
    ("downlight", true),
    ("fault-finding", false),
    ("smoke-alarm", true),
    ("fused-spur", true),
    ("main-bonding", true),
    ("light-fitting", true),
    ("outside-light", true),
];
const LOCATIONS: [&str; 6] = [
    "rented-flat",
    "family-house",
    "stone-cottage",
    "boat-shed",
    "smallholding",
    "shop",
];
const SUBJECTS: [&str; 6] = [
    "lighting",
    "testing",
    "boards",
    "bonding",
    "old wiring",
    "fault finding",
];
/// Bytes that a log is filled up to.
const SIZE: usize = 4_000;

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1);
    let (Some(folder), Some(count)) = (
        arguments.next(),
        arguments.next().and_then(|n| n.parse().ok()),
    ) else {
        return say("give a new folder and how many logs: many_logs DIR 10000");
    };
    match write_all(Path::new(&folder), count) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => say(&error.to_string()),
    }
}

#[expect(clippy::print_stderr, reason = "an example's one message")]
fn say(message: &str) -> ExitCode {
    eprintln!("{message}");
    ExitCode::FAILURE
}

fn write_all(folder: &Path, count: usize) -> std::io::Result<()> {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("example-site");
    fs::create_dir_all(folder)?;
    for name in ["diary.yaml", "clients.yaml"] {
        fs::copy(demo.join(name), folder.join(name))?;
    }
    for number in 0..count {
        let year = 1990 + number / 1000;
        let jobs = folder.join(format!("jobs/{year}"));
        if number.is_multiple_of(1000) {
            fs::create_dir_all(&jobs)?;
        }
        fs::write(
            jobs.join(format!("{year}-{:04}.md", number % 1000)),
            log(number, year),
        )?;
    }
    Ok(())
}

fn log(number: usize, year: usize) -> String {
    let mut dice = number as u64 ^ 0x5eed;
    let mut roll = |sides: usize| {
        dice = dice
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(dice >> 33).unwrap_or_default() % sides
    };
    // Three logs a day at most, one after the other: from 8, from 10 and from 13.
    let in_year = number % 1000;
    let (day, slot) = (in_year / 3, in_year % 3);
    let (month, day_of_month) = (1 + day / 28 % 12, 1 + day % 28);
    let (from, to) = [("08:00", "09:45"), ("10:00", "11:45"), ("13:00", "14:45")][slot];
    let (task, counted) = TASKS[roll(TASKS.len())];
    let minutes = 20 + 5 * roll(14);
    let count = if counted {
        format!("count: {}, ", 1 + roll(3))
    } else {
        String::new()
    };
    let mut text = String::new();
    writeln!(
        text,
        "---\ntitle: Job {number} of the long record\nref: {year}-{in_year:04}\nlocation: {}\n\
         visits:\n  - date: {year}-{month:02}-{day_of_month:02}\n    from: {from}\n    to: {to}\n    travel: {{miles: {}, time: 20m}}\n    \
         tasks:\n      - {{task: {task}, {count}time: {minutes}m}}\n\
         charged: {{labour: {}.00, materials: 21.60, on: {year}-{month:02}-{day_of_month:02}}}\n\
         findings:\n  - {{what: Circuit chart missing, where: board, code: C3, done: chart written and left, \
         told: {{who: owner, on: {year}-{month:02}-{day_of_month:02}, how: in person}}}}\n\
         readings:\n  - {{circuit: Circuit {}, device: {{type: B, rating: 32}}, zs: 0.{}, rcd: {{at: 30, ms: {}}}}}\n\
         materials:\n  - {{item: Junction box, count: 2, cost: 3.20, charge: 4.00}}",
        LOCATIONS[roll(LOCATIONS.len())],
        2 + roll(20),
        60 + roll(60),
        1 + roll(12),
        31 + roll(60),
        15 + roll(20),
    )
    .expect("writing to a String");
    if number.is_multiple_of(2) {
        writeln!(
            text,
            "publish: {year}-{month:02}-{day_of_month:02}\nsubjects: [{}, {}]",
            SUBJECTS[number % 6],
            SUBJECTS[(number + 1 + number / 6 % 5) % 6]
        )
        .expect("writing to a String");
    }
    text.push_str("---\n\n```caution\nprove-dead\ninsulation-electronics\n```\n\n");
    let mut paragraph = 0;
    while text.len() < SIZE {
        if paragraph % 4 == 3 {
            writeln!(text, "## Part {}\n", paragraph / 4 + 1).expect("writing to a String");
        }
        for _ in 0..4 {
            text.push_str(PARTS[roll(PARTS.len())]);
            text.push(' ');
        }
        text.truncate(text.trim_end().len());
        text.push_str("\n\n");
        paragraph += 1;
    }
    text
}
