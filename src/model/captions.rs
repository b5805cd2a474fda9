//! What is said in a film, and when: captions and chapters as a file beside the log gives them.
//!
//! Plain values. Reads no file and knows no file format.

use std::ops::Range;

use super::Private;

/// The captions, or the chapters, of one film.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Captions {
    /// What is said, in the order of the file: a line of a cue each. Empty for a file without cues.
    pub said: Vec<Said>,
}

/// One line of a cue.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// Milliseconds from the film's start at which its cue begins.
    pub from: u64,
    /// Milliseconds at which it ends.
    pub to: u64,
    /// Who speaks, as the file names the voice. Private: it may be anybody's name.
    pub voice: Option<Private<String>>,
    /// The words, without marks of voice and style, spaces folded. Never empty.
    pub words: String,
    /// Where the line stands in its file, in bytes.
    pub place: Range<usize>,
}

impl Captions {
    /// When the line that holds a byte of the file is said, in milliseconds; `None` where none does.
    pub fn when(&self, byte: usize) -> Option<u64> {
        self.said
            .iter()
            .find(|said| said.place.contains(&byte))
            .map(|said| said.from)
    }

    /// When the last cue ends, in milliseconds; `None` for a file without cues.
    pub fn end(&self) -> Option<u64> {
        self.said.iter().map(|said| said.to).max()
    }
}

/// A moment of a film as people write it: `0:12`, `1:02:05`. Milliseconds are left out.
pub fn clock(milliseconds: u64) -> String {
    let seconds = milliseconds / 1000;
    let (hours, minutes, seconds) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    match hours {
        0 => format!("{minutes}:{seconds:02}"),
        _ => format!("{hours}:{minutes:02}:{seconds:02}"),
    }
}

#[cfg(test)]
mod tests {
    use super::clock;

    #[test]
    fn a_moment_is_written_as_on_a_players_clock() {
        assert_eq!(clock(0), "0:00");
        assert_eq!(clock(12_999), "0:12");
        assert_eq!(clock(3_725_000), "1:02:05");
    }
}
