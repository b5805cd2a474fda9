//! The texts that diagnostics point into. Ids, not paths, travel through the program; only drawing turns an id
//! into a path. Nothing here reads a file.

use std::sync::Arc;

/// A file of the diary, as a number into [`Sources`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(u32);

/// A range of bytes in one file.
///
/// Invariant: `start <= end`; both lie on character boundaries of the file's text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// The file.
    pub file: FileId,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// The range `start..end` of a file. Files are refused beyond 4 GiB, so a `u32` holds every offset.
    pub fn new(file: FileId, start: usize, end: usize) -> Self {
        let clamp = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Span {
            file,
            start: clamp(start),
            end: clamp(end.max(start)),
        }
    }

    /// The very beginning of a file: for what is wrong with the file as a whole.
    pub fn file_start(file: FileId) -> Self {
        Span::new(file, 0, 0)
    }
}

/// One file's path and text.
#[derive(Clone, Debug)]
pub struct Source {
    /// Relative to the diary, with `/` between parts.
    pub path: String,
    /// The text as it stands in the file; empty where it is not text.
    pub text: Arc<str>,
}

/// Every file that was looked at, in the order of reading.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    files: Vec<Source>,
}

impl Sources {
    /// Takes in a file and gives it its id.
    pub fn add(&mut self, path: impl Into<String>, text: impl Into<Arc<str>>) -> FileId {
        let id = FileId(
            u32::try_from(self.files.len()).expect("fewer than four thousand million files"),
        );
        self.files.push(Source {
            path: path.into(),
            text: text.into(),
        });
        id
    }

    /// Puts another text in the place of a file's.
    pub fn replace(&mut self, file: FileId, text: Arc<str>) {
        self.files[file.0 as usize].text = text;
    }

    /// The file at a path, relative to the diary.
    pub fn file(&self, path: &str) -> Option<FileId> {
        let mut files = self.iter();
        files.find_map(|(file, source)| (source.path == path).then_some(file))
    }

    /// The path of a file, relative to the diary.
    pub fn path(&self, file: FileId) -> &str {
        &self.files[file.0 as usize].path
    }

    /// The text of a file.
    pub fn text(&self, file: FileId) -> &Arc<str> {
        &self.files[file.0 as usize].text
    }

    /// Every file with its id, in order of reading.
    pub fn iter(&self) -> impl Iterator<Item = (FileId, &Source)> {
        self.files.iter().enumerate().map(|(index, source)| {
            let id = FileId(u32::try_from(index).expect("checked by Sources::add"));
            (id, source)
        })
    }

    /// How many files there are.
    pub fn len(&self) -> usize {
        self.files.len()
    }

    /// Whether no file was read.
    pub fn is_empty(&self) -> bool {
        self.files.is_empty()
    }

    /// Line and column of a byte, both from 1. The column counts characters, as an editor does; a byte-order
    /// mark at the start of the file is not counted, and CRLF, LF and CR each end one line.
    pub fn line_and_column(&self, file: FileId, byte: u32) -> (usize, usize) {
        let text = self.text(file);
        let mut byte = (byte as usize).min(text.len());
        while !text.is_char_boundary(byte) {
            byte -= 1;
        }
        let before = &text[..byte];
        let bytes = before.as_bytes();
        let mut line = 1;
        let mut line_start = 0;
        for (index, &b) in bytes.iter().enumerate() {
            let ends_line =
                b == b'\n' || (b == b'\r' && text.as_bytes().get(index + 1) != Some(&b'\n'));
            if ends_line {
                line += 1;
                line_start = index + 1;
            }
        }
        let column = before[line_start..]
            .chars()
            .filter(|&c| c != '\u{feff}')
            .count();
        (line, column + 1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(text: &str, byte: u32) -> (usize, usize) {
        let mut sources = Sources::default();
        let file = sources.add("x.md", text);
        sources.line_and_column(file, byte)
    }

    #[test]
    fn every_kind_of_line_end_counts_once() {
        assert_eq!(place("a\nb", 2), (2, 1));
        assert_eq!(place("a\r\nb", 3), (2, 1));
        assert_eq!(place("a\rb", 2), (2, 1));
    }

    #[test]
    fn columns_count_characters_and_skip_the_byte_order_mark() {
        assert_eq!(place("\u{feff}é x", 6), (1, 3));
        assert_eq!(place("", 9), (1, 1));
    }
}
