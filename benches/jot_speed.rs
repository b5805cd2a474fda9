//! How long a note takes to be read and to become logs, for each of a table of texts, in seconds for each megabyte:
//!
//!     cargo bench --bench jot_speed
//!
//! `read` is the reading with its near spellings; `all` is the same with everything that `daywork jot` does up to the
//! writing: the log made, read back and inspected, and the reading printed.

#[path = "../tests/common/notes.rs"]
mod notes;

use std::path::Path;
use std::time::{Duration, Instant};

use daywork::diary::{self, Read};
use daywork::jot::Opened;
use daywork::jot::ask::{self, Answer};
use daywork::jot::plan::Desk;
use daywork::jot::shown;
use daywork::jot::vocabulary::Vocabulary;
use jiff::civil::{Date, date};

const TODAY: Date = date(2026, 11, 25);
/// Bytes of each text.
const LENGTH: usize = 1_000_000;

#[expect(clippy::print_stdout, reason = "the table is what it is for")]
fn main() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let settings =
        std::fs::read(root.join("content/starter/diary.yaml")).expect("the starter's settings");
    let read = diary::read_files(vec![("diary.yaml".to_owned(), settings)]);
    let only = std::env::args()
        .nth(1)
        .filter(|name| !name.starts_with('-'));
    println!("{:32} {:>8} {:>8}   s/MB", "text", "read", "all");
    for text in notes::texts(root) {
        if only
            .as_ref()
            .is_some_and(|only| !text.name.contains(only.as_str()))
        {
            continue;
        }
        let (reading, all, refused) = timed(&read, &text.of_length(LENGTH));
        println!(
            "{:32} {:8.3} {:8.3}   {refused}",
            text.name,
            reading.as_secs_f64(),
            all.as_secs_f64()
        );
    }
}

/// Everything that `daywork jot` does with a note up to the writing.
fn timed(read: &Read, text: &str) -> (Duration, Duration, String) {
    let start = Instant::now();
    let mut vocabulary = Vocabulary::new(&read.diary.settings);
    let opened = Opened::new(text);
    let ask::Settled { note, near, .. } = ask::settle(&opened, &mut vocabulary, TODAY, &mut |_| {
        Ok::<_, std::convert::Infallible>(Answer::No)
    })
    .unwrap_or_else(|never| match never {});
    let reading = start.elapsed();
    let scenes = opened.scenes(&vocabulary, TODAY);
    let mut desk = Desk::new(read);
    let refused = match desk.take(&note, &opened.kept, &scenes, &vocabulary) {
        Ok(placed) => {
            shown::plan(&note, &near, &placed);
            desk.finish(TODAY).err().map(|refusal| refusal.to_string())
        }
        Err(refusal) => Some(refusal.to_string()),
    };
    let refused = refused.map_or_else(String::new, |words| {
        format!("refused: {}", words.chars().take(50).collect::<String>())
    });
    (reading, start.elapsed(), refused)
}
