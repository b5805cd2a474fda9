//! The bench that the rules' tests stand on: a small diary made from text, and what the rules say of it.

use jiff::civil::Date;

use crate::diagnose::text::{Colour, render};
use crate::diagnose::{errors, put_in_order};
use crate::diary::read_files;

const DIARY: &str = "\
title: A test diary
trader: {name: Nan Tregarrow, trading_as: Gullwick Electrical, phone: 01632 960123, email: nan@example.com}
site: {address: https://example.com, language: en-GB, timezone: Europe/London}
rates: {currency: GBP, hour: 42.00, day: 320.00, day_length: 8h, call_out: 65.00, mile: 0.45, markup_percent: 15}
years:
  - {from: 2026-04-06, pay: 34000, overheads: 9800, weeks: 44, admin: 5h}
locations: {shop: Shop or cafe, rented-flat: Rented flat}
tasks:
  fault-finding: {name: Fault finding, unit: job}
  socket: {name: Change a socket outlet, unit: each}
  downlight: {name: Fit or change a downlight, unit: each}
materials:
  - {item: Armoured cable 4 mm2 three-core, unit: m, cost: 3.10, also: [swa]}
  - {item: \"Cable clips, box of 100\", unit: box, cost: 2.40}
guarantee: {years: 6}
";

const CLIENTS: &str = "\
dunnage:
  name: Dunnage & Fairlead
  address: 12 Mill Lane
  town: Gullwick
";

/// What the rules say on 2026-11-25 of one log, drawn. The log is `title`, `ref` and `location` on its lines 2 to
/// 4 and the given text from line 5 on.
pub fn told(front_matter: &str) -> String {
    told_with_body(front_matter, "Words.\n")
}

/// The same with a body of its own.
pub fn told_with_body(front_matter: &str, body: &str) -> String {
    let log =
        format!("---\ntitle: A job\nref: 2026-001\nlocation: shop\n{front_matter}---\n\n{body}");
    told_of(&[("jobs/2026/a.md", &log)])
}

/// What the rules say on 2026-11-25 of several files, drawn.
///
/// Panics where the reader finds an error, so that no rule is tested on a log that could not be read.
pub fn told_of(files: &[(&str, &str)]) -> String {
    let mut all = vec![
        ("diary.yaml".to_owned(), DIARY.as_bytes().to_vec()),
        ("clients.yaml".to_owned(), CLIENTS.as_bytes().to_vec()),
    ];
    all.extend(
        files
            .iter()
            .map(|(path, text)| ((*path).to_owned(), text.as_bytes().to_vec())),
    );
    let read = read_files(all);
    let errors = errors(&read.diagnostics);
    assert!(
        errors.is_empty(),
        "{}",
        render(&errors, &read.sources, Colour::Plain)
    );
    let mut said = super::check(&read.diary, today());
    put_in_order(&mut said, &read.sources);
    render(&said, &read.sources, Colour::Plain)
}

fn today() -> Date {
    jiff::civil::date(2026, 11, 25)
}
