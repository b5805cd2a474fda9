//! An answer's text as a question and what follows it: the quotation that it begins with is what the reader asked.
//!
//! Judges nothing: whether what follows answers the question is the writer's affair.

use pulldown_cmark::{CodeBlockKind, Event, Parser, Tag, TagEnd};

use super::markdown::{Fence, FenceWord, fence, options, words};

use crate::model::{Page, PageKind};

/// Whether a page is a question that nothing answers yet: an answer without a film and without a word of its own.
pub fn waits(page: &Page) -> bool {
    matches!(page.kind, PageKind::Answer(_))
        && page.video.is_none()
        && !of(&page.body.open).answered
}

/// What an answer's text holds.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Question {
    /// The reader's question in plain words, its paragraphs joined; empty where the text does not begin with a quotation.
    pub asked: String,
    /// Whether anything besides quotations, cautions and lines across says something.
    pub answered: bool,
}

/// Reads the open text of an answer. An empty text has no question and no answer.
pub fn of(open: &str) -> Question {
    let mut question = Question::default();
    let mut depth = 0_usize;
    let mut blocks = 0_usize;
    let mut quoted = false;
    for event in Parser::new_ext(open, options()) {
        match &event {
            Event::Start(tag) => {
                if depth == 0 {
                    blocks += 1;
                    quoted = matches!(tag, Tag::BlockQuote(_));
                    question.answered |= !quoted && !is_caution(tag);
                }
                depth += 1;
            }
            Event::End(tag) => {
                depth -= 1;
                if matches!(tag, TagEnd::Paragraph | TagEnd::Item) {
                    push(&mut question.asked, " ", quoted && blocks == 1);
                }
            }
            Event::SoftBreak | Event::HardBreak => {
                push(&mut question.asked, " ", quoted && blocks == 1);
            }
            event => {
                let said = words(event).unwrap_or_default();
                push(&mut question.asked, said, quoted && blocks == 1);
            }
        }
    }
    let plain: Vec<&str> = question.asked.split_whitespace().collect();
    question.asked = plain.join(" ");
    question
}

fn push(asked: &mut String, words: &str, is_question: bool) {
    if is_question {
        asked.push_str(words);
    }
}

fn is_caution(tag: &Tag<'_>) -> bool {
    matches!(tag, Tag::CodeBlock(CodeBlockKind::Fenced(info))
        if matches!(fence(info), Fence::Ours(FenceWord::Caution)))
}

#[cfg(test)]
mod tests {
    use super::of;

    #[test]
    fn the_quotation_it_begins_with_is_the_question() {
        let read = of(
            "> Is *1.32* good,\n> or not?\n>\n> And why?\n\nNothing, alone.\n\n> A quotation further on.\n",
        );
        assert_eq!(read.asked, "Is 1.32 good, or not? And why?");
        assert!(read.answered);
        assert_eq!(of("Nothing, alone.\n\n> Not a question.\n").asked, "");
    }

    #[test]
    fn a_question_alone_or_with_a_caution_is_not_answered() {
        assert!(!of("").answered);
        assert!(!of("> Is that good?\n").answered);
        assert!(!of("> Is that good?\n\n---\n\n```caution\n- Ring now.\n```\n").answered);
        assert!(of("> Is that good?\n\n- Yes.\n").answered);
    }
}
