//! A share and how far it could be out: a line with a dot on a scale that starts at nought.

use super::{Anchor, Chart};
use crate::public::view::ShareRange;

const LEFT: f64 = 2.0;
const RIGHT: f64 = 96.0;

/// The strip with its own scale below it.
pub fn strip(share: &ShareRange, prefix: &str) -> String {
    let ends = [5, 10, 20, 40, 100];
    let end = ends
        .into_iter()
        .find(|end| share.high <= f64::from(*end))
        .unwrap_or(100);
    let place = |percent: f64| LEFT + (RIGHT - LEFT) * (percent / f64::from(end)).clamp(0.0, 1.0);
    let sentence = format!(
        "{} of {}: {} in a hundred. Nine times in ten the true share is between {} and {} in a hundred.",
        share.back,
        share.of,
        shown(share.percent),
        shown(share.low),
        shown(share.high)
    );
    let mut chart = Chart::new(prefix, 54, "How many of a hundred came back", sentence);
    for quarter in 0..=4 {
        let at = f64::from(end) * f64::from(quarter) / 4.0;
        chart.upright(if quarter == 0 { "ax" } else { "gr" }, place(at), 4, 34);
        let (anchor, words) = match quarter {
            0 => (Anchor::Start, "none".to_owned()),
            4 => (Anchor::End, format!("{} in 100", shown(at))),
            _ => (Anchor::Middle, shown(at)),
        };
        let x = match quarter {
            0 => 0.0,
            4 => 100.0,
            _ => place(at),
        };
        chart.words(x, 50, anchor, &words);
    }
    chart.along("whisk", place(share.low), place(share.high), 19.0);
    chart.dot("dot", place(share.percent), 19, 5);
    chart.finish()
}

/// `2.4`, `12`: one decimal below ten, where it is not whole.
pub fn shown(percent: f64) -> String {
    if percent < 9.95 {
        format!("{}", (percent * 10.0).round() / 10.0)
    } else {
        format!("{percent:.0}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_is_drawn_with_its_line_and_said_in_a_sentence() {
        let share = ShareRange {
            back: 2,
            of: 22,
            percent: 9.0909,
            low: 3.05,
            high: 24.08,
        };
        insta::assert_snapshot!(strip(&share, "s"), @r#"<svg height="54" role="img" aria-labelledby="s_t s_d"><title id="s_t">How many of a hundred came back</title><desc id="s_d">2 of 22: 9.1 in a hundred. Nine times in ten the true share is between 3.1 and 24 in a hundred.</desc><line class="ax" x1="2.00%" x2="2.00%" y1="4" y2="34"/><text x="0.00%" y="50" text-anchor="start">none</text><line class="gr" x1="25.50%" x2="25.50%" y1="4" y2="34"/><text x="25.50%" y="50" text-anchor="middle">10</text><line class="gr" x1="49.00%" x2="49.00%" y1="4" y2="34"/><text x="49.00%" y="50" text-anchor="middle">20</text><line class="gr" x1="72.50%" x2="72.50%" y1="4" y2="34"/><text x="72.50%" y="50" text-anchor="middle">30</text><line class="gr" x1="96.00%" x2="96.00%" y1="4" y2="34"/><text x="100.00%" y="50" text-anchor="end">40 in 100</text><line class="whisk" x1="9.17%" x2="58.59%" y1="19" y2="19"/><circle class="dot" cx="23.36%" cy="19" r="5"/></svg>"#);
    }

    #[test]
    fn figures_below_ten_keep_one_decimal() {
        assert_eq!([0.0, 2.44, 9.96, 24.1].map(shown), ["0", "2.4", "10", "24"]);
    }
}
