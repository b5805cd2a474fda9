//! Captions as a note that was said: all words in one run, and when each cue begins. What the file holds, `diary` reads.

use crate::diary::captions::{form, read as read_file};
use crate::model::captions::clock;

/// What was said in a film.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Captions {
    /// All words, one space between.
    pub words: String,
    /// Where in the words each cue begins, and when it was said: `0:12`, `1:02:05`.
    pub cues: Vec<(usize, String)>,
}

impl Captions {
    /// When the word at a byte was said.
    pub fn at(&self, byte: usize) -> Option<&str> {
        let index = self
            .cues
            .partition_point(|(start, _)| *start <= byte)
            .checked_sub(1)?;
        self.cues.get(index).map(|(_, at)| at.as_str())
    }
}

/// Reads a caption file; `None` where the text is none.
pub fn read(text: &str) -> Option<Captions> {
    let (read, _) = read_file(text, form(text)?);
    let mut found = Captions {
        words: String::new(),
        cues: Vec::new(),
    };
    for said in read.said {
        if !found.words.is_empty() {
            found.words.push(' ');
        }
        let start = clock(said.from);
        if found.cues.last().is_none_or(|(_, at)| *at != start) {
            found.cues.push((found.words.len(), start));
        }
        found.words.push_str(&said.words);
    }
    Some(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn webvtt_and_subrip_give_words_and_times() {
        let vtt = "WEBVTT\n\nNOTE made by the phone\n\nstyle\n00:01.000 --> 00:04.000 line:0\n<v Nan>hello there\n\n01:02:03.000 --> 01:02:05.000\nagain\n";
        let read = read(vtt).expect("captions");
        assert_eq!(read.words, "hello there again");
        assert_eq!(
            read.cues,
            [(0, "0:01".to_owned()), (12, "1:02:03".to_owned())]
        );
        assert_eq!(read.at(3), Some("0:01"));
        assert_eq!(read.at(12), Some("1:02:03"));
        let srt = "1\r\n00:00:01,000 --> 00:00:02,000\r\nhello\r\n\r\n2\r\n00:00:03,000 --> 00:00:04,000\r\n<i>again</i>\r\n";
        assert_eq!(self::read(srt).expect("captions").words, "hello again");
    }

    #[test]
    fn a_note_is_no_captions() {
        assert_eq!(read("Barn lights\n9-5 --> home"), None);
        assert_eq!(read("12\nfan 1h"), None);
        assert_eq!(read(""), None);
    }
}
