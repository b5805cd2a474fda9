//! Charts as our own SVG: x in per cent, y and text in pixels, so that words stay readable at every width.
//!
//! Each chart is `role="img"` with a title that says what it shows and a description that says the figures in a
//! sentence. Every id carries the prefix that its caller gives, so that ids stay unique on a page. Nothing here
//! reckons a figure: what comes in is drawn.

pub mod earned;
pub mod guarantees;
pub mod locations;
pub mod quotes;
pub mod ranges;
pub mod returns;
pub mod share;
pub mod visits;

use std::fmt::Write as _;

use crate::model::Minutes;

/// A chart in the making: its body, and what its words are.
pub(crate) struct Chart {
    prefix: String,
    height: i64,
    title: String,
    description: String,
    body: String,
}

impl Chart {
    /// An empty chart. `prefix` is what its ids begin with; signs that an id may not hold become `-`.
    pub(crate) fn new(
        prefix: &str,
        height: i64,
        title: impl Into<String>,
        description: impl Into<String>,
    ) -> Self {
        let prefix = prefix
            .chars()
            .map(|c| {
                if c.is_ascii_alphanumeric() || c == '_' {
                    c
                } else {
                    '-'
                }
            })
            .collect();
        Chart {
            prefix,
            height,
            title: title.into(),
            description: description.into(),
            body: String::new(),
        }
    }

    /// Adds drawn parts, as SVG text.
    pub(crate) fn draw(&mut self, parts: &str) {
        self.body.push_str(parts);
    }

    /// An upright line at `x` per cent.
    pub(crate) fn upright(&mut self, class: &str, x: f64, top: i64, foot: i64) {
        let x = percent(x);
        let _ = write!(
            self.body,
            r#"<line class="{class}" x1="{x}" x2="{x}" y1="{top}" y2="{foot}"/>"#
        );
    }

    /// A line along the chart at `y`, from one per cent to another.
    pub(crate) fn along(&mut self, class: &str, from: f64, to: f64, y: f64) {
        let (from, to) = (percent(from), percent(to));
        let _ = write!(
            self.body,
            r#"<line class="{class}" x1="{from}" x2="{to}" y1="{y}" y2="{y}"/>"#
        );
    }

    /// A bar from one per cent to another.
    pub(crate) fn bar(&mut self, class: &str, from: f64, to: f64, y: i64, height: i64) {
        let (x, width) = (percent(from), percent(to - from));
        let _ = write!(
            self.body,
            r#"<rect class="{class}" x="{x}" width="{width}" y="{y}" height="{height}"/>"#
        );
    }

    /// A dot at `x` per cent.
    pub(crate) fn dot(&mut self, class: &str, x: f64, y: i64, radius: i64) {
        let x = percent(x);
        let _ = write!(
            self.body,
            r#"<circle class="{class}" cx="{x}" cy="{y}" r="{radius}"/>"#
        );
    }

    /// Words whose `anchor` stands at `x` per cent.
    pub(crate) fn words(&mut self, x: f64, y: i64, anchor: Anchor, words: &str) {
        let (x, anchor, words) = (percent(x), anchor.as_str(), escaped(words));
        let _ = write!(
            self.body,
            r#"<text x="{x}" y="{y}" text-anchor="{anchor}">{words}</text>"#
        );
    }

    /// The same in ink: the line that matters, and what is said of it.
    pub(crate) fn ink_words(&mut self, x: f64, y: i64, anchor: Anchor, words: &str) {
        let (x, anchor, words) = (percent(x), anchor.as_str(), escaped(words));
        let _ = write!(
            self.body,
            r#"<text class="t-ink" x="{x}" y="{y}" text-anchor="{anchor}">{words}</text>"#
        );
    }

    /// The parts alone, in an axis that those who listen need not hear.
    pub(crate) fn finish_axis(self) -> String {
        format!(
            r#"<svg class="axis" height="{}" aria-hidden="true">{}</svg>"#,
            self.height, self.body
        )
    }

    /// The finished SVG.
    pub(crate) fn finish(self) -> String {
        let Chart {
            prefix,
            height,
            title,
            description,
            body,
        } = self;
        let (title, description) = (escaped(&title), escaped(&description));
        format!(
            concat!(
                r#"<svg height="{height}" role="img" aria-labelledby="{prefix}_t {prefix}_d">"#,
                r#"<title id="{prefix}_t">{title}</title><desc id="{prefix}_d">{description}</desc>{body}</svg>"#
            ),
            height = height,
            prefix = prefix,
            title = title,
            description = description,
            body = body,
        )
    }
}

/// Which end of a word stands at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

impl Anchor {
    fn as_str(self) -> &'static str {
        match self {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        }
    }
}

/// A place along a chart: `14.29%`. Two decimals are finer than a pixel at any width.
pub(crate) fn percent(x: f64) -> String {
    // Minus nought would be written as "-0.00%".
    format!("{:.2}%", if x.abs() < 0.005 { 0.0 } else { x })
}

/// Text for inside an element or an attribute.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            other => out.push(other),
        }
    }
    out
}

/// Minutes in words, to the nearest whole one: `1 h 22`. Anything that is no number of minutes is nought.
pub fn time_words(minutes: f64) -> String {
    Minutes::new(whole(minutes)).to_string()
}

/// The nearest whole number, half away from nought; nought for what is no number.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a float that is too large becomes the largest integer"
)]
pub fn whole(number: f64) -> i64 {
    number.round() as i64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_a_chart_cannot_break_out_of_it() {
        let chart = Chart::new("a b\"", 8, "<script>", "\"&'");
        assert_eq!(
            chart.finish(),
            "<svg height=\"8\" role=\"img\" aria-labelledby=\"a-b-_t a-b-_d\"><title id=\"a-b-_t\">&lt;script&gt;\
             </title><desc id=\"a-b-_d\">&quot;&amp;&#39;</desc></svg>"
        );
    }

    #[test]
    fn places_never_read_minus_nought() {
        assert_eq!(percent(-0.000_1), "0.00%");
        assert_eq!(percent(14.286), "14.29%");
    }

    #[test]
    fn minutes_are_rounded_before_they_are_put_in_words() {
        assert_eq!(time_words(81.6), "1 h 22");
        assert_eq!(time_words(59.5), "1 h");
        assert_eq!(time_words(f64::NAN), "0 min");
    }
}
