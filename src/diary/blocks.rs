//! Fenced and indented blocks of a body: whether one was ever shut, what it swallowed, and how a private one is
//! blanked. Works on texts and byte ranges; knows no file and reports nothing.

use std::ops::Range;

use super::markdown::{Fence, fence};

/// What takes the place of a blanked block.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StandIn {
    /// Blanks alone.
    None,
    /// A definition that shows as nothing. A list item whose first line is blank ends there, and its other lines
    /// would fall out of the list.
    Definition,
}

/// A link definition under a name that nobody types: a word joiner.
const DEFINITION: &str = "[\u{2060}]:<>";

/// A block while it is read.
#[derive(Debug)]
pub struct Block {
    /// What stands after the fence; `None` for an indented block.
    pub info: Option<String>,
    /// Its bytes, fences and all.
    pub range: Range<usize>,
    /// Sign and length of its fence; for an indented block those of the shortest one that it could show.
    fence: (char, usize),
    /// Block quotes round it.
    pub quotes: usize,
    /// What takes its place if it is blanked.
    pub stand_in: StandIn,
    /// Its text, without fences and without the marks of the blocks round it.
    pub text: String,
    /// Where each piece of the text begins in it, and its bytes in the text round it.
    pub pieces: Vec<(usize, Range<usize>)>,
}

/// Whether a block has its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shut {
    /// It has, or it is indented and needs none.
    Closed,
    /// It has none.
    Open {
        /// Nothing follows it: it ends with the text, and not with the list or quote round it.
        to_the_end: bool,
    },
}

impl Block {
    /// A block at its beginning, in the text that holds it.
    pub fn new(
        around: &str,
        info: Option<String>,
        range: Range<usize>,
        quotes: usize,
        stand_in: StandIn,
    ) -> Self {
        let mark = around[range.start..].chars().next().unwrap_or('`');
        let fence = if info.is_some() {
            (
                mark,
                around[range.start..]
                    .chars()
                    .take_while(|&c| c == mark)
                    .count(),
            )
        } else {
            ('`', 3)
        };
        Block {
            info,
            range,
            fence,
            quotes,
            stand_in,
            text: String::new(),
            pieces: Vec::new(),
        }
    }

    /// The next piece of its text.
    pub fn push(&mut self, text: &str, range: Range<usize>) {
        self.pieces.push((self.text.len(), range));
        self.text.push_str(text);
    }

    /// Whether it has its end, in the text that holds it.
    pub fn shut(&self, around: &str) -> Shut {
        if self.info.is_none() {
            return Shut::Closed;
        }
        let block = &around[self.range.clone()];
        let first_line = block.find(['\r', '\n']).unwrap_or(block.len());
        let text_end = self.pieces.last().map_or(0, |(_, range)| range.end);
        let after =
            &around[text_end.clamp(self.range.start + first_line, self.range.end)..self.range.end];
        if after.contains("```") || after.contains("~~~") {
            return Shut::Closed;
        }
        Shut::Open {
            to_the_end: around[self.range.end..].trim().is_empty(),
        }
    }

    /// The first line of the text that looks like the beginning of a block of ours, where this block would have
    /// hidden that by accident: its bytes in the text, and the word meant.
    pub fn swallowed(&self) -> Option<(Range<usize>, &'static str)> {
        let (mark, length) = self.fence;
        let mut at = 0;
        for line in self.text.split_inclusive('\n') {
            let words = line.trim_end();
            let bare = words.trim_start();
            let start = at + (words.len() - bare.len());
            at += line.len();
            let ticks = bare.chars().take_while(|&c| c == mark).count();
            if ticks < length {
                continue;
            }
            if let Fence::Ours(word) | Fence::Near(word) = fence(&bare[ticks..]) {
                return Some((start..start + bare.len(), word.as_str()));
            }
        }
        None
    }
}

/// Blanks a private block in a body, keeping every byte's place, every line break and the marks of the block
/// quotes round it, so that what stands round it still means what it did.
pub fn blank(body: &mut String, range: Range<usize>, quotes: usize, stand_in: StandIn) {
    let mut blanked = String::with_capacity(range.len());
    for (number, line) in body[range.clone()]
        .split_inclusive(['\r', '\n'])
        .enumerate()
    {
        let mut marks_left = if number == 0 { 0 } else { quotes };
        let mut in_marks = true;
        for c in line.chars() {
            match c {
                '\r' | '\n' => blanked.push(c),
                '>' if in_marks && marks_left > 0 => {
                    marks_left -= 1;
                    blanked.push('>');
                }
                c => {
                    in_marks &= c == ' ' || c == '\t';
                    blanked.extend(std::iter::repeat_n(' ', c.len_utf8()));
                }
            }
        }
    }
    let first_line = blanked.find(['\r', '\n']).unwrap_or(blanked.len());
    if stand_in == StandIn::Definition && first_line >= DEFINITION.len() {
        blanked.replace_range(..DEFINITION.len(), DEFINITION);
    }
    body.replace_range(range, &blanked);
}

/// The beginning of a piece of HTML, for a message: `<div>`, `</div>`, `<!--`.
pub fn tag(html: &str) -> String {
    let html = html.trim_start();
    if html.starts_with("<!--") {
        return "<!--".to_owned();
    }
    let name: String = html
        .chars()
        .skip(1)
        .enumerate()
        .take_while(|&(at, c)| {
            c.is_ascii_alphanumeric() || c == '-' || (at == 0 && matches!(c, '/' | '!' | '?'))
        })
        .map(|(_, c)| c)
        .take(24)
        .collect();
    format!("<{name}>")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn blanked(body: &str, from: &str, quotes: usize, stand_in: StandIn) -> String {
        let mut out = body.to_owned();
        let start = body.find(from).expect("the test's own text");
        let end = body.rfind("```").expect("the test's own text") + 3;
        blank(&mut out, start..end, quotes, stand_in);
        assert_eq!(out.len(), body.len());
        out
    }

    #[test]
    fn every_line_break_and_quote_mark_stays_and_nothing_else() {
        assert_eq!(
            blanked(
                "a\r\n```private\r\ném > x\r\n```\r\nb",
                "```p",
                0,
                StandIn::None
            ),
            "a\r\n          \r\n       \r\n   \r\nb"
        );
        assert_eq!(
            blanked(
                "> ```private\n> > she said\n>```\n> b",
                "```p",
                1,
                StandIn::None
            ),
            ">           \n>           \n>   \n> b"
        );
    }

    #[test]
    fn a_blanked_block_that_opens_a_list_item_leaves_a_definition() {
        assert_eq!(
            blanked(
                "- ```private\n  x\n  ```\n  b",
                "```p",
                0,
                StandIn::Definition
            ),
            "- [\u{2060}]:<>  \n   \n     \n  b"
        );
    }

    #[test]
    fn html_is_named_by_its_first_tag() {
        assert_eq!(tag("  <div class=x>\n"), "<div>");
        assert_eq!(tag("</b>"), "</b>");
        assert_eq!(tag("<!-- x"), "<!--");
        assert_eq!(tag("<!DOCTYPE html>"), "<!DOCTYPE>");
        assert_eq!(tag("<?php"), "<?php>");
    }
}
