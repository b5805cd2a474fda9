//! How long a save takes to show under `daywork proof`, in a diary of any size:
//!
//!     cargo run --release --example many_logs -- DIARY 10000
//!     cargo bench --bench proof_speed -- DIARY
//!
//! Saves a log that is public and one that is not, in turn, and asks for its page whenever the open pages are told of
//! something: `seen` is from the save until the page holds the new words, `pressed` until all the rest is written. Both
//! hold the 40 ms in which proof waits for the save to be over. What a browser takes to draw the page is not in them.

#[expect(dead_code, reason = "the tests of proof use the rest of it")]
#[path = "../tests/common/proofing.rs"]
mod proofing;

use std::fs::{self, OpenOptions};
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use proofing::Proof;

const SAVES: usize = 10;
/// Between two saves: nobody writes faster.
const PAUSE: Duration = Duration::from_secs(1);

#[expect(clippy::print_stdout, reason = "the table is what it is for")]
fn main() {
    let given = std::env::args().skip(1).find(|arg| !arg.starts_with('-'));
    let diary = PathBuf::from(given.expect("give a diary of examples/many_logs"));
    let public = logs(&diary, true);
    let private = logs(&diary, false);
    let mut proof = Proof::of(&diary);
    proof.line_with("pressed");
    println!("{:48} {:>8} {:>8}   ms", "page", "seen", "pressed");
    for number in 0..SAVES {
        let logs = if number % 2 == 0 { &public } else { &private };
        let log = &logs[number % logs.len()];
        // The first save tells which page the log has.
        add(log, "Once");
        let told = proof.line_with("pressed");
        let page = told.rsplit_once("http://127.0.0.1:");
        let page = page.and_then(|(_, at)| at.trim().split_once('/'));
        let page = format!("/{}", page.expect("an address").1);
        std::thread::sleep(PAUSE);
        let (seen, pressed) = save(&mut proof, log, &page, &format!("Wordmore{number}"));
        let (seen, pressed) = (seen.as_millis(), pressed.as_millis());
        println!("{page:48} {seen:8} {pressed:8}");
        std::thread::sleep(PAUSE);
    }
}

fn add(log: &Path, word: &str) {
    let file = OpenOptions::new().append(true).open(log);
    let line = format!("\n{word} {}.\n", std::process::id());
    let saved = file.and_then(|mut file| file.write_all(line.as_bytes()));
    saved.expect("saved");
}

/// The first logs that are public, or that are not.
fn logs(diary: &Path, public: bool) -> Vec<PathBuf> {
    let folders = fs::read_dir(diary.join("jobs")).expect("a diary");
    let mut years: Vec<PathBuf> = folders.map(|it| it.expect("a folder").path()).collect();
    years.sort();
    let logs = fs::read_dir(&years[0]).expect("a year's logs");
    let mut logs: Vec<PathBuf> = logs.map(|log| log.expect("a log").path()).collect();
    logs.sort();
    logs.retain(|log| {
        let text = fs::read_to_string(log).expect("a text");
        text.contains("\npublish:") == public
    });
    logs.truncate(SAVES);
    logs
}

/// From a save until its page holds the word, and until all is written.
fn save(proof: &mut Proof, log: &Path, page: &str, word: &str) -> (Duration, Duration) {
    let mut line = proof.listen();
    line.next();
    let began = Instant::now();
    add(log, word);
    let seen = loop {
        line.next();
        if proof.get(page).2.contains(word) {
            break began.elapsed();
        }
    };
    proof.line_with("pressed");
    (seen, began.elapsed())
}
