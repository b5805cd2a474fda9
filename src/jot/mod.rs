//! Phone notes into job logs. Reads down this list, one step a file:
//!
//! `line` cuts a note into lines and words, `letter` takes heads and stamps off; `length`, `clock`, `date` and `amount` read one value
//! at a place of a line; `vocabulary`, `built_in` and `word_set` hold the words; `odds`, `piece`, `material`, `finding`, `quantity` and `measured` read one
//! kind of fact; `plain` and `meaning` say what a whole line means; `heading`, `form`, `gather` and `join` make jobs and visits of lines; `note` is what comes out.
//! `captions`, `numerals`, `spoken` and `speech` cut what was dictated into lines first.
//!
//! Then `entry`, `yaml` and `body` say it as a log does; `new_log` writes a new one and `amend` adds to one that is
//! there, by `insert`; `remark` puts what `inspect` says beside it; `plan` holds it all together, or has a `refusal`; `disk` writes.
//! `near`, `ask` and `alias` offer and learn spellings, `shown` and `json` print the reading.
//! `pocket` makes the page on which a day is noted on the phone, in lines that read back exactly.
//!
//! Never guesses: what was not typed stays empty, and a line of which any word is unread is kept as text.

pub mod alias;
mod amend;
mod amount;
pub mod ask;
#[cfg(test)]
mod bench;
pub mod body;
mod built_in;
mod captions;
mod clock;
mod date;
pub mod disk;
mod entry;
mod finding;
mod form;
mod gather;
mod heading;
mod insert;
mod join;
pub mod json;
mod length;
mod letter;
mod line;
mod material;
mod meaning;
mod measured;
pub mod near;
mod new_log;
pub mod note;
mod numerals;
mod odds;
mod piece;
mod plain;
pub mod plan;
pub mod pocket;
mod quantity;
mod refusal;
mod remark;
pub mod shown;
mod speech;
mod spoken;
mod time;
pub mod vocabulary;
mod word_set;
mod yaml;

use jiff::civil::Date;

use body::Kept;
use captions::Captions;
use date::Days;
use line::Line;
use note::Note;
use vocabulary::Vocabulary;

/// A note before it is read: typed, dictated or said in a film.
#[derive(Clone, Debug)]
pub struct Opened {
    /// The note as it is kept in a log.
    pub kept: Kept,
    lines: Vec<Line>,
    captions: Option<Captions>,
}

impl Opened {
    /// A note's text.
    pub fn new(text: &str) -> Self {
        let captions = captions::read(text);
        let lines = match &captions {
            Some(captions) => vec![Line::new(1, &captions.words)],
            None => letter::without_heads(line::lines(text)),
        };
        Opened {
            kept: Kept::new(text),
            lines,
            captions,
        }
    }

    /// The lines to be read: those typed, or those that a run of words is cut into.
    fn lines(&self, vocabulary: &Vocabulary, today: Date) -> Vec<Line> {
        let run = self.lines.iter().find(|line| !line.is_blank());
        match run {
            Some(run) if self.captions.is_some() || speech::is_run(&self.lines) => {
                let days = Days { today, last: None };
                speech::lines(run, vocabulary, days, self.captions.as_ref())
            }
            _ => self.lines.clone(),
        }
    }

    /// Reads the note on `today`. An empty note has no jobs.
    pub fn read(&self, vocabulary: &Vocabulary, today: Date) -> Note {
        gather::gather(&self.lines(vocabulary, today), vocabulary, today)
    }

    /// The near spellings in a note that was read so.
    pub fn near(&self, note: &Note, vocabulary: &Vocabulary) -> Vec<near::Near> {
        near::near(&self.lines(vocabulary, note.today), note, vocabulary)
    }

    /// The chapter marks of a film: when each thing was said, and its words. Empty for a typed note.
    pub fn scenes(&self, vocabulary: &Vocabulary, today: Date) -> Vec<(String, String)> {
        if self.captions.is_none() {
            return Vec::new();
        }
        self.lines(vocabulary, today)
            .into_iter()
            .filter_map(|line| Some((line.at?, line.typed)))
            .collect()
    }
}

/// Reads a note on `today`. An empty note has no jobs.
pub fn read(text: &str, vocabulary: &Vocabulary, today: Date) -> Note {
    Opened::new(text).read(vocabulary, today)
}
