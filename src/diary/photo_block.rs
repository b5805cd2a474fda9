//! A `photos` block: lines that name photos and say what each shows, before and after side by side.
//!
//! Shared by the reader of bodies and by the pages, so that both see the same figures. Does not look whether a photo
//! is there, and writes no HTML.
//!
//! ```text
//! door-open.jpg: The feeder with its door off, rust along the foot
//! caption: Pontoon C, the morning after the gale
//! before: glands-wet.jpg: Green terminals under a gland that let the rain in
//! after: glands-dry.jpg: The same terminals renewed, the gland from below
//! ```

use std::ops::Range;

use super::photo;

/// A figure of a block: one photo, or two that are before and after.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// One photo, or before and after.
    pub photos: Vec<Named>,
    /// The line under it; may be empty.
    pub caption: String,
}

/// A photo as a line names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Named {
    /// The file as typed: a bare name stands in the log's own folder, a path begins at the log.
    pub file: String,
    /// What it shows; empty where the line does not say.
    pub words: String,
    /// The bytes of its line in the block's text.
    pub at: Range<usize>,
}

/// A line that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wrong {
    /// Its bytes in the block's text.
    pub at: Range<usize>,
    /// What is wrong, without a full stop.
    pub message: &'static str,
    /// What to write instead.
    pub help: &'static str,
}

const EACH_LINE: &str = "Write the photo's file name, a colon, and what it shows: door-open.jpg: The feeder with its door off.";
const PAIR: &str = "Write before: and its photo on one line, after: and its photo on the next.";

/// Under what name a body's pictures hold a photo of a block. It is no address that a link could have.
pub fn key(file: &str) -> String {
    format!("photos: {file}")
}

/// The figures of a block's text, in order, and its lines that cannot be used. A line that begins with a space goes on
/// with what the line above says.
pub fn figures(text: &str) -> (Vec<Figure>, Vec<Wrong>) {
    let mut block = Block::default();
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        let words = line.trim();
        let start = at + (line.len() - line.trim_start().len());
        at += line.len();
        if !words.is_empty() {
            let goes_on = line.starts_with([' ', '\t']);
            block.line(words, start..start + words.len(), goes_on);
        }
    }
    block.end_pair();
    (block.figures, block.wrong)
}

#[derive(Default)]
struct Block {
    figures: Vec<Figure>,
    wrong: Vec<Wrong>,
    /// A `before` that waits for its `after`.
    before: Option<Named>,
    /// Whether the last line of words was a caption.
    in_caption: bool,
}

impl Block {
    fn line(&mut self, line: &str, at: Range<usize>, goes_on: bool) {
        if goes_on && let Some(words) = self.last_words() {
            words.push(' ');
            words.push_str(line);
            return;
        }
        let line = line.strip_prefix("- ").unwrap_or(line).trim_start();
        let (first, rest) = line.split_once(':').unwrap_or((line, ""));
        let (first, rest) = (first.trim(), rest.trim());
        let is = |word: &str| first.eq_ignore_ascii_case(word);
        if is("after") {
            match (self.before.take(), named(rest, at.clone())) {
                (Some(before), Some(after)) => self.push(vec![before, after]),
                (None, Some(_)) => self.refuse(at, "this after has no before above it", PAIR),
                (_, None) => self.refuse(at, "this line names no photo", EACH_LINE),
            }
            return;
        }
        self.end_pair();
        if is("before") {
            self.in_caption = false;
            match named(rest, at.clone()) {
                Some(before) => self.before = Some(before),
                None => self.refuse(at, "this line names no photo", EACH_LINE),
            }
        } else if is("caption") {
            match self.figures.last_mut() {
                Some(figure) if figure.caption.is_empty() => {
                    rest.clone_into(&mut figure.caption);
                    self.in_caption = true;
                }
                Some(_) => self.refuse(
                    at,
                    "this photo has a caption already",
                    "Write both as one caption: a line that begins with a space goes on with the one above.",
                ),
                None => self.refuse(
                    at,
                    "this caption stands above its photo",
                    "Write the photo's line first and the caption below it.",
                ),
            }
        } else {
            match named(line, at.clone()) {
                Some(photo) => self.push(vec![photo]),
                None => self.refuse(at, "this line names no photo", EACH_LINE),
            }
        }
    }

    fn push(&mut self, photos: Vec<Named>) {
        self.in_caption = false;
        self.figures.push(Figure {
            photos,
            caption: String::new(),
        });
    }

    fn refuse(&mut self, at: Range<usize>, message: &'static str, help: &'static str) {
        self.wrong.push(Wrong { at, message, help });
    }

    /// What a line that goes on belongs to.
    fn last_words(&mut self) -> Option<&mut String> {
        if let Some(before) = &mut self.before {
            return Some(&mut before.words);
        }
        let figure = self.figures.last_mut()?;
        if self.in_caption {
            return Some(&mut figure.caption);
        }
        figure.photos.last_mut().map(|photo| &mut photo.words)
    }

    /// A `before` that nothing followed.
    fn end_pair(&mut self) {
        if let Some(before) = self.before.take() {
            self.refuse(before.at, "this before has no after below it", PAIR);
        }
    }
}

/// `FILE: words`; `None` where the file's name does not end as a photo's does.
fn named(text: &str, at: Range<usize>) -> Option<Named> {
    let (file, words) = text.split_once(':').unwrap_or((text, ""));
    let file = file.trim();
    photo::kind(file)?;
    Some(Named {
        file: file.to_owned(),
        words: words.trim().to_owned(),
        at,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(text: &str) -> Vec<String> {
        let (figures, wrong) = figures(text);
        let one = |photo: &Named| format!("{}={}", photo.file, photo.words);
        let figures = figures.iter().map(|figure| {
            let photos: Vec<_> = figure.photos.iter().map(one).collect();
            format!("{} ({})", photos.join(" | "), figure.caption)
        });
        let wrong = wrong
            .iter()
            .map(|wrong| format!("{}: {}", &text[wrong.at.clone()], wrong.message));
        figures.chain(wrong).collect()
    }

    #[test]
    fn each_line_is_a_figure_and_a_pair_is_one() {
        assert_eq!(
            shown(
                "a.jpg: The door: off\n\n- B.JPEG: Two\n  lines of it\ncaption: Pontoon C,\n  in June\nBefore: x/c.png: Wet\nafter: d.webp: Dry\n"
            ),
            [
                "a.jpg=The door: off ()",
                "B.JPEG=Two lines of it (Pontoon C, in June)",
                "x/c.png=Wet | d.webp=Dry ()",
            ]
        );
    }

    #[test]
    fn a_photo_without_words_is_still_one() {
        assert_eq!(shown("a.jpg\nb.jpg:"), ["a.jpg= ()", "b.jpg= ()"]);
        assert_eq!(shown(""), Vec::<String>::new());
    }

    #[test]
    fn what_cannot_be_used_is_told_at_its_own_line() {
        assert_eq!(
            shown(
                "caption: x\nafter: b.jpg: dry\nthe door\nbefore: the door\nbefore: a.jpg: wet\nhttps://example.com/a.jpg: x"
            ),
            [
                "caption: x: this caption stands above its photo",
                "after: b.jpg: dry: this after has no before above it",
                "the door: this line names no photo",
                "before: the door: this line names no photo",
                "before: a.jpg: wet: this before has no after below it",
                "https://example.com/a.jpg: x: this line names no photo",
            ]
        );
        assert_eq!(
            shown("a.jpg: x\ncaption: one\ncaption: two"),
            [
                "a.jpg=x (one)",
                "caption: two: this photo has a caption already"
            ]
        );
    }
}
