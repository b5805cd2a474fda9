//! How sure a figure is, in plain words: intervals, trends and what chance alone would show. Reckons none of it.

use crate::office::hours::{Interval, Trend};
use crate::office::words::{counted, minutes, whole};

/// A trend is told as one where chance alone would show as much in fewer records than this.
pub(super) const CLEAR: f64 = 0.05;

/// A ratio in words: `1.31 times as long`, `as long`.
pub(super) fn times(ratio: f64) -> String {
    let hundredths = whole(ratio * 100.0);
    if hundredths == 100 {
        "as long".to_owned()
    } else {
        format!("{}.{:02} times as long", hundredths / 100, hundredths % 100)
    }
}

/// The same where it stands alone: `1.31 times as long`, `the usual time`.
pub(super) fn times_of_usual(ratio: f64) -> String {
    match times(ratio).as_str() {
        "as long" => "the usual time".to_owned(),
        words => words.to_owned(),
    }
}

/// From one ratio to another: `anywhere from 0.92 to 1.31 times as long`, `anywhere from the usual time to 1.31
/// times it`.
pub(super) fn times_between(low: f64, high: f64) -> String {
    let figure = |hundredths: i64| format!("{}.{:02}", hundredths / 100, hundredths % 100);
    match (whole(low * 100.0), whole(high * 100.0)) {
        (100, 100) => "at the usual time".to_owned(),
        (100, high) => format!("anywhere from the usual time to {} times it", figure(high)),
        (low, 100) => format!(
            "anywhere from {} times the usual time to the whole of it",
            figure(low)
        ),
        (low, high) => format!(
            "anywhere from {} to {} times as long",
            figure(low),
            figure(high)
        ),
    }
}

/// How sure an interval is: `nine times in ten`.
pub(super) fn level(level: f64) -> String {
    match whole(level * 100.0) {
        90 => "nine times in ten".to_owned(),
        95 => "nineteen times in twenty".to_owned(),
        other => format!("{other} times in a hundred"),
    }
}

/// How far the middle of `n` jobs could be out, as a sentence.
pub(super) fn interval_words(interval: Option<&Interval>, n: usize) -> String {
    match interval {
        Some(interval) => format!(
            "The true middle lies between {} and {}, {}.",
            minutes(interval.low),
            minutes(interval.high),
            level(interval.level)
        ),
        None => format!(
            "From {} nobody can say how far the middle could be out; five are the least.",
            counted(n, "job", "jobs")
        ),
    }
}

/// A trend in words, with its interval and what chance alone would show.
pub(super) fn trend_words(trend: &Trend) -> String {
    let year = |slope: f64| {
        let more = if slope < 0.0 { "less" } else { "more" };
        match minutes(slope.abs()).as_str() {
            "0 min" => "no change".to_owned(),
            shown => format!("{shown} {more}"),
        }
    };
    let could_be = match (trend.low, trend.high) {
        (Some(low), Some(high)) => {
            format!(
                " It could be anything from {} to {} a year, nineteen times in twenty.",
                year(low),
                year(high)
            )
        }
        _ => String::new(),
    };
    let slope = trend.minutes_per_year;
    let first = if trend.p >= CLEAR {
        format!(
            "No clear change over the years; the middle guess is {} a year.",
            year(slope)
        )
    } else if slope < 0.0 {
        format!("Getting quicker: about {} each year.", year(slope))
    } else {
        format!("Getting slower: about {} each year.", year(slope))
    };
    format!("{first}{could_be} {}", chance(trend.p))
}

/// A p-value in plain words.
fn chance(p: f64) -> String {
    let in_hundred = whole(p * 100.0);
    let share = match in_hundred {
        ..1 => "fewer than one record in a hundred".to_owned(),
        1 => "about one record in a hundred".to_owned(),
        100.. => "nearly every record".to_owned(),
        more => format!("about {more} records in a hundred"),
    };
    format!("If nothing had changed, chance alone would show as much in {share}.")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_trend_is_told_with_its_interval_and_what_chance_would_show() {
        let quicker = Trend {
            minutes_per_year: -6.4,
            low: Some(-11.0),
            high: Some(-1.5),
            p: 0.012,
        };
        assert_eq!(
            trend_words(&quicker),
            "Getting quicker: about 6.4 min less each year. It could be anything from 11 min less to 1.5 min less a \
             year, nineteen times in twenty. If nothing had changed, chance alone would show as much in about one \
             record in a hundred."
        );
        let unclear = Trend {
            minutes_per_year: 2.0,
            low: None,
            high: None,
            p: 0.6,
        };
        assert_eq!(
            trend_words(&unclear),
            "No clear change over the years; the middle guess is 2 min more a year. If nothing had changed, chance \
             alone would show as much in about 60 records in a hundred."
        );
    }

    #[test]
    fn chance_never_reads_as_nought_or_as_over_a_hundred() {
        assert!(chance(0.000_1).contains("fewer than one"));
        assert!(chance(0.999).contains("nearly every"));
    }

    #[test]
    fn an_interval_says_how_sure_it_is_and_its_lack_says_why() {
        let interval = Interval {
            level: 0.9,
            low: 61.0,
            high: 82.0,
        };
        assert_eq!(
            interval_words(Some(&interval), 12),
            "The true middle lies between 1 h 01 and 1 h 22, nine times in ten."
        );
        assert!(interval_words(None, 3).contains("From 3 jobs"));
    }

    #[test]
    fn ratios_read_as_times_as_long() {
        assert_eq!(
            [1.307, 1.0, 0.92].map(times),
            ["1.31 times as long", "as long", "0.92 times as long"]
        );
        assert_eq!(times_of_usual(1.0), "the usual time");
    }

    #[test]
    fn a_range_of_ratios_reads_well_at_the_usual_time() {
        let words = [(1.0, 1.307), (0.92, 1.31), (0.8, 1.0), (0.999, 1.004)]
            .map(|(low, high)| times_between(low, high));
        assert_eq!(
            words,
            [
                "anywhere from the usual time to 1.31 times it",
                "anywhere from 0.92 to 1.31 times as long",
                "anywhere from 0.80 times the usual time to the whole of it",
                "at the usual time",
            ]
        );
    }
}
