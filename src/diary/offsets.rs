//! From places in a text that was put together to places in its file.

use std::ops::Range;

/// Where the pieces of a scanned text stand in the file: `(start in the text, start in the file, length there)`.
pub struct Offsets(pub Vec<(usize, usize, usize)>);

impl Offsets {
    /// A text that is one piece of the file.
    pub fn whole(start: usize, length: usize) -> Self {
        Offsets(vec![(0, start, length)])
    }

    /// Where a byte of the text stands in the file.
    pub fn byte(&self, at: usize) -> usize {
        let piece = self
            .0
            .partition_point(|&(start, _, _)| start <= at)
            .saturating_sub(1);
        let Some(&(start, in_file, length)) = self.0.get(piece) else {
            return 0;
        };
        // A tab that is partly indentation reaches us as spaces, so a text may be longer than its piece of file.
        in_file + (at - start).min(length)
    }

    /// Where a range of the text stands in the file.
    pub fn range(&self, range: &Range<usize>) -> Range<usize> {
        let start = self.byte(range.start);
        let end = if range.end > range.start {
            self.byte(range.end - 1) + 1
        } else {
            start
        };
        start..end
    }
}
