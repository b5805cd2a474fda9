//! Near spellings settled with whoever sits at the terminal: yes for this note, no, or always.

use std::collections::BTreeSet;

use jiff::civil::Date;

use super::Opened;
use super::near::{self, Near};
use super::note::Note;
use super::vocabulary::Vocabulary;

/// What was answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// It is meant, in this note.
    Yes,
    /// It is not.
    No,
    /// It is meant, here and from now on.
    Always,
}

impl Answer {
    /// The answer that some words give; `None` where they give none.
    pub fn from_words(words: &str) -> Option<Self> {
        match words.trim().to_lowercase().as_str() {
            "y" | "yes" => Some(Answer::Yes),
            "n" | "no" | "" => Some(Answer::No),
            "a" | "always" => Some(Answer::Always),
            _ => None,
        }
    }
}

/// A note read with every near spelling asked about. What was answered with yes or always joins the vocabulary;
/// gives the note, the spellings to keep, and those that stand unanswered.
///
/// # Errors
/// The asking failed.
pub fn settle<E>(
    opened: &Opened,
    vocabulary: &mut Vocabulary,
    today: Date,
    ask: &mut dyn FnMut(&Near) -> Result<Answer, E>,
) -> Result<(Note, Vec<Near>), E> {
    let mut asked = BTreeSet::new();
    let mut always = Vec::new();
    loop {
        let lines = opened.lines(vocabulary, today);
        let note = super::gather::gather(&lines, vocabulary, today);
        let next = near::near(&lines, &note, vocabulary)
            .into_iter()
            .find(|near| !asked.contains(&near.typed));
        let Some(near) = next else {
            return Ok((note, always));
        };
        asked.insert(near.typed.clone());
        match ask(&near)? {
            Answer::No => {}
            answer => {
                vocabulary.add(near.group, &near.typed, &near.meaning);
                if answer == Answer::Always {
                    always.push(near);
                }
            }
        }
    }
}
