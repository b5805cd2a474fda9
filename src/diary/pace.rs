//! How long each file of a diary takes to read by itself, for who wonders which of them makes every command wait.
//!
//! Reads everything once more, one file after the other, so that no file waits for another's turn.

use std::hint::black_box;
use std::time::Duration;

use crate::diagnose::FileId;

use super::film::{self, Shelf};
use super::{Kind, Read, Text, drawing, job, kind_of, photo, read_clients, read_piece};
use super::{read_settings, store};

/// A file and how long it took.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Took {
    /// The file.
    pub file: FileId,
    /// From the first byte to the last value; of a photo also fetching its bytes.
    pub time: Duration,
}

/// Every text, drawing and captions file, and every photo that a text shows; the slowest first, files of equal time in
/// the order of reading. `clock` says how long it has been running.
pub fn of_each(read: &Read, clock: &dyn Fn() -> Duration) -> Vec<Took> {
    let path = |file: &FileId| read.sources.path(*file).to_owned();
    let shelf: Shelf = read
        .diary
        .captions
        .keys()
        .map(|file| (path(file), *file))
        .collect();
    let against = job::Against {
        settings: Some(&read.diary.settings),
        zone: &read.diary.settings.timezone,
        shelf: &shelf,
    };
    let mut all: Vec<Took> = read
        .sources
        .iter()
        .filter_map(|(file, source)| {
            let text = (file, source.path.clone(), source.text.clone());
            let start = clock();
            let was_read = read_one(read, &text, against);
            let time = clock().saturating_sub(start);
            was_read.then_some(Took { file, time })
        })
        .collect();
    all.sort_by_key(|took| std::cmp::Reverse(took.time));
    all
}

/// Reads one file and drops what it gave; `false` for what is not read at all.
fn read_one(read: &Read, text: &Text, against: job::Against<'_>) -> bool {
    let (file, path, words) = text;
    let mut faults = Vec::new();
    let texts = std::slice::from_ref(text);
    match kind_of(path) {
        Kind::Text if path == "diary.yaml" => {
            black_box(read_settings(texts, &mut faults));
        }
        Kind::Text if path == "clients.yaml" => {
            black_box(read_clients(texts, &mut faults));
        }
        Kind::Text => {
            black_box(read_piece(*file, path, words, against));
        }
        Kind::Drawing => {
            black_box((drawing::drawing_faults(words), drawing::size(words)));
        }
        Kind::Captions => {
            black_box(film::read_captions(*file, path, words, &mut faults));
        }
        Kind::Photo => {
            let Some(shown) = read
                .diary
                .photos
                .get(path)
                .filter(|photo| photo.seen.is_some())
            else {
                return false;
            };
            let bytes = store::photo(&shown.stored);
            black_box(bytes.is_ok_and(|bytes| photo::look(&bytes).is_ok()));
        }
        Kind::Sheet | Kind::Other => return false,
    }
    true
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use super::super::read_files;
    use super::*;

    #[test]
    fn the_slowest_comes_first_and_what_is_not_read_is_left_out() {
        let files = [
            (
                "diary.yaml",
                "title: A\nsite: {address: https://example.com}\n",
            ),
            ("guides/a.md", "# A\n"),
            ("guides/b.md", "# B\n"),
            ("guides/leavings.tmp", "nothing"),
        ];
        let files = files.map(|(path, text)| (path.to_owned(), text.as_bytes().to_vec()));
        let read = read_files(files.to_vec());
        // Each look at this clock takes longer than the last, so later files are slower.
        let looks = Cell::new(0);
        let clock = || {
            looks.set(looks.get() + 1);
            Duration::from_millis(looks.get() * looks.get())
        };
        let paths: Vec<&str> = of_each(&read, &clock)
            .iter()
            .map(|took| read.sources.path(took.file))
            .collect();
        assert_eq!(paths, ["guides/b.md", "guides/a.md", "diary.yaml"]);
    }
}
