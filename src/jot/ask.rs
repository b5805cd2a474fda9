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
    /// The answer that some words give to a question; `None` where they give none. What no diary can keep is not
    /// answered with always.
    pub fn from_words(words: &str, near: &Near) -> Option<Self> {
        match words.trim().to_lowercase().as_str() {
            "y" | "yes" => Some(Answer::Yes),
            "n" | "no" | "" => Some(Answer::No),
            "a" | "always" if near.can_be_kept() => Some(Answer::Always),
            _ => None,
        }
    }
}

/// A note whose near spellings have been asked about.
#[derive(Debug)]
pub struct Settled {
    /// The note.
    pub note: Note,
    /// The spellings that stand as they were typed.
    pub near: Vec<Near>,
    /// The spellings to keep.
    pub always: Vec<Near>,
}

/// A note read with every near spelling asked about. What was answered with yes or always joins the vocabulary;
/// the note is read again only after an answer that changes its reading.
///
/// # Errors
/// The asking failed.
pub fn settle<E>(
    opened: &Opened,
    vocabulary: &mut Vocabulary,
    today: Date,
    ask: &mut dyn FnMut(&Near) -> Result<Answer, E>,
) -> Result<Settled, E> {
    let mut asked = BTreeSet::new();
    let mut always = Vec::new();
    'reading: loop {
        let lines = opened.lines(vocabulary, today);
        let note = super::gather::gather(&lines, vocabulary, today);
        let near = near::near(&lines, &note, vocabulary);
        for one in &near {
            if !asked.insert(one.typed.clone()) {
                continue;
            }
            let answer = ask(one)?;
            if answer == Answer::No {
                continue;
            }
            vocabulary.add(one.group, &one.typed, &one.meaning);
            if answer == Answer::Always {
                always.push(one.clone());
            }
            continue 'reading;
        }
        return Ok(Settled { note, near, always });
    }
}

#[cfg(test)]
mod tests {
    use super::super::vocabulary::Group;
    use super::*;

    #[test]
    fn what_no_diary_can_keep_is_not_answered_with_always() {
        let near = |group| Near {
            line: 1,
            whole: "2 soket".to_owned(),
            typed: "soket".to_owned(),
            group,
            spelling: "socket".to_owned(),
            meaning: "socket".to_owned(),
        };
        let (task, kind) = (near(Group::Task), near(Group::Kind));
        for (words, to_task, to_kind) in [
            ("yes", Some(Answer::Yes), Some(Answer::Yes)),
            (" N\n", Some(Answer::No), Some(Answer::No)),
            ("\n", Some(Answer::No), Some(Answer::No)),
            ("Always\n", Some(Answer::Always), None),
            ("a", Some(Answer::Always), None),
            ("perhaps", None, None),
        ] {
            assert_eq!(Answer::from_words(words, &task), to_task, "{words}");
            assert_eq!(Answer::from_words(words, &kind), to_kind, "{words}");
        }
    }
}
