//! What the tests of this room share.

use crate::diagnose::{FileId, Sources, Span};
use crate::diary::read_files;
use crate::model::Settings;

/// A small diary's `diary.yaml`.
pub const DIARY: &str = "title: A diary\nsite: {address: https://example.com, language: en-GB, timezone: Europe/London}\n\
rates: {currency: GBP, hour: 42.00, day: 320.00, day_length: 8h, call_out: 65.00, mile: 0.45}\n\
locations: {boat-shed: Boat shed or yard, village-hall: Village hall}\n\
tasks:\n  fault-finding: {name: Fault finding, unit: job, also: [ff, fault find]}\n  \
socket: {name: Change a socket outlet, unit: each, also: [skt]}\n  \
light-fitting: {name: Change a light fitting, unit: each, also: [light, batten]}\n  \
test-and-certify: {name: Test and certify after work, unit: job, also: [test]}\n\
materials:\n  - {item: Junction box, unit: each, cost: 3.20, also: [jb]}\n";

/// Its settings.
pub fn settings() -> Settings {
    read_files(vec![("diary.yaml".to_owned(), DIARY.as_bytes().to_vec())])
        .diary
        .settings
}

/// A place in no file that matters.
pub fn nowhere() -> Span {
    Span::file_start(file())
}

fn file() -> FileId {
    Sources::default().add("x", "")
}
