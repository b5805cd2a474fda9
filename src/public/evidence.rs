//! How often a reviewed material was fitted and came back, in words for readers.
//!
//! Counts nothing itself: [`crate::model::fitted`] does, over public and private jobs alike.

use crate::model::fitted;
use crate::numbers::normal::Confidence;
use crate::numbers::wilson::{Share, wilson};
use crate::office::words::{capital, counted, grouped};

use super::docket::number;
use super::view::{Fitted, ShareRange};

/// The evidence as a review shows it. From fewer than `fewest_jobs` jobs no share is given, and the words say so.
pub(super) fn shown(record: &fitted::Fitted, fewest_jobs: usize) -> Fitted {
    let pieces = pieces(record);
    let (back, of) = match pieces {
        Some(pieces) => (record.came_back, pieces),
        None => (record.jobs_back, record.jobs),
    };
    let share = (record.jobs >= fewest_jobs)
        .then(|| wilson(back, of, Confidence::NINETY))
        .flatten();
    let of_what = match pieces {
        Some(_) => in_words(of),
        None => counted(of, "job", "jobs"),
    };
    let mut said = match (back, pieces) {
        (0, Some(_)) => format!("None of {of_what} is written down as having come back."),
        (0, None) => format!("None of the {of_what} is written down as gone back to for it."),
        (back, Some(_)) => format!("{} of {of_what} came back", capital(&in_words(back))),
        (back, None) => format!(
            "{} of {of_what} {} gone back to for it",
            capital(&in_words(back)),
            if back == 1 { "was" } else { "were" }
        ),
    };
    match &share {
        Some(share) if back == 0 => said.push_str(&format!(
            " {} could still be as high as {}, nine times in ten.",
            from(of),
            one_in(share.high)
        )),
        Some(share) if back == of => said.push_str(&format!(
            ". {} could still be as low as {}, nine times in ten.",
            from(of),
            one_in(share.low)
        )),
        Some(share) => said.push_str(&format!(
            ", or {}. {} could be anything from {} to {}, nine times in ten.",
            one_in(share.estimate),
            from(of),
            one_in(share.low),
            one_in(share.high)
        )),
        None => {
            if back > 0 {
                said.push('.');
            }
            said.push_str(&format!(
                " It was fitted on {}, too few yet to give a share: this diary gives none from fewer than {}.",
                counted(record.jobs, "job", "jobs"),
                in_words(fewest_jobs)
            ));
        }
    }
    if record.unsaid > 0 {
        said.push_str(&match record.unsaid {
            1 => " One of the jobs had a free return and its log does not say what for; \
                  here it is not counted as back."
                .to_owned(),
            more => format!(
                " {} of the jobs had a free return and their logs do not say what for; \
                 here they are not counted as back.",
                capital(&in_words(more))
            ),
        });
    }
    Fitted {
        count: counted_in(record.count, record.unit.as_deref()),
        jobs: record.jobs,
        since: record.since.to_string(),
        back: match back {
            0 => "none".to_owned(),
            back if pieces.is_some() => format!(
                "{} on {}",
                grouped(back as u64),
                counted(record.jobs_back, "job", "jobs")
            ),
            back => counted(back, "job", "jobs"),
        },
        said,
        share: share.map(|share| range(&share, back, of)),
    }
}

/// `7`, `412.5 m`.
pub(super) fn counted_in(count: f64, unit: Option<&str>) -> String {
    match unit {
        Some(unit) => format!("{} {unit}", number(count)),
        None => number(count),
    }
}

/// How many pieces there are to count by; `None` for what is counted in metres, boxes or parts of one.
fn pieces(record: &fitted::Fitted) -> Option<usize> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number, and a log's count is far below 2^52"
    )]
    let pieces = record.count as usize;
    (record.unit.is_none() && record.count.fract() == 0.0 && pieces >= record.came_back)
        .then_some(pieces)
}

fn range(share: &Share, back: usize, of: usize) -> ShareRange {
    ShareRange {
        back,
        of,
        percent: share.estimate * 100.0,
        low: share.low * 100.0,
        high: share.high * 100.0,
    }
}

/// What the interval is of, and that it rests on little where it does.
fn from(of: usize) -> &'static str {
    if of < 50 {
        "From so few the true share"
    } else {
        "The true share"
    }
}

/// A share as people say one: `one in eleven`, `four in ten`, `one in 150`. Nearest, not outward: the ends of an interval are
/// themselves no surer than that.
fn one_in(share: f64) -> String {
    if share >= 0.995 {
        return "all of them".to_owned();
    }
    if share >= 0.35 {
        let tenths = nearest(share * 10.0);
        return match tenths {
            10 => "nearly all".to_owned(),
            5 => "a half".to_owned(),
            tenths => format!("{} in ten", in_words(tenths)),
        };
    }
    if share <= 0.0 {
        return "none".to_owned();
    }
    let one_in = 1.0 / share;
    let step = match one_in {
        below if below < 20.0 => 1.0,
        below if below < 100.0 => 5.0,
        below if below < 1000.0 => 50.0,
        _ => return "fewer than one in a thousand".to_owned(),
    };
    format!(
        "one in {}",
        in_words(nearest(one_in / step) * nearest(step))
    )
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "called with positive numbers below a thousand"
)]
fn nearest(number: f64) -> usize {
    number.round() as usize
}

/// Up to twelve in words, and the tens below a hundred; the rest in figures.
fn in_words(number: usize) -> String {
    const WORDS: [&str; 13] = [
        "none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    const TENS: [&str; 8] = [
        "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
    ];
    match number {
        0..=12 => WORDS[number].to_owned(),
        20..=90 if number.is_multiple_of(10) => TENS[number / 10 - 2].to_owned(),
        100 => "a hundred".to_owned(),
        _ => grouped(number as u64),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::job::Month;
    use jiff::civil::date;

    fn record(count: f64, jobs: usize, came_back: usize, jobs_back: usize) -> fitted::Fitted {
        fitted::Fitted {
            count,
            unit: None,
            jobs,
            since: Month::of(date(2024, 5, 9)),
            came_back,
            jobs_back,
            unsaid: 0,
        }
    }

    #[test]
    fn a_share_is_told_with_how_far_it_could_be_out() {
        let shown = shown(&record(22.0, 9, 2, 2), 5);
        assert_eq!(shown.back, "2 on 2 jobs");
        assert_eq!(
            shown.said,
            "Two of 22 came back, or one in eleven. From so few the true share could be anything from one in 35 \
             to one in four, nine times in ten."
        );
    }

    #[test]
    fn the_interval_is_wilson_s() {
        // statsmodels 0.15.0: proportion_confint(back, of, alpha=0.1, method="wilson").
        for (back, of, low, high) in [
            (2, 22, 0.030554152, 0.240864425),
            (0, 22, 0.0, 0.109511594),
            (1, 19, 0.011830636, 0.204959303),
            (6, 6, 0.689216019, 1.0),
        ] {
            let shown = shown(&record(f64::from(of), 9, back, 2), 5);
            let share = shown.share.expect("nine jobs");
            assert!(
                (share.low - low * 100.0).abs() < 1e-6,
                "{back} of {of}: {}",
                share.low
            );
            assert!(
                (share.high - high * 100.0).abs() < 1e-6,
                "{back} of {of}: {}",
                share.high
            );
        }
    }

    #[test]
    fn none_back_is_no_promise() {
        insta::assert_snapshot!(shown(&record(22.0, 9, 0, 0), 5).said, @"None of 22 is written down as having come back. From so few the true share could still be as high as one in nine, nine times in ten.");
    }

    #[test]
    fn from_too_few_jobs_there_is_no_share() {
        let shown = shown(&record(22.0, 4, 2, 1), 5);
        assert_eq!(shown.share, None);
        insta::assert_snapshot!(shown.said, @"Two of 22 came back. It was fitted on 4 jobs, too few yet to give a share: this diary gives none from fewer than five.");
    }

    #[test]
    fn what_is_measured_is_counted_by_its_jobs() {
        let cable = fitted::Fitted {
            unit: Some("m".to_owned()),
            unsaid: 2,
            ..record(412.5, 19, 1, 1)
        };
        let shown = shown(&cable, 5);
        assert_eq!(
            (shown.count.as_str(), shown.back.as_str()),
            ("412.5 m", "1 job")
        );
        insta::assert_snapshot!(shown.said, @"One of 19 jobs was gone back to for it, or one in 19. From so few the true share could be anything from one in 85 to one in five, nine times in ten. Two of the jobs had a free return and their logs do not say what for; here they are not counted as back.");
    }

    #[test]
    fn all_back_is_told_too() {
        insta::assert_snapshot!(shown(&record(6.0, 6, 6, 6), 5).said, @"Six of six came back. From so few the true share could still be as low as seven in ten, nine times in ten.");
    }

    #[test]
    fn shares_are_said_as_people_say_them() {
        let shares = [0.0305, 0.24, 0.11, 0.4, 0.5, 0.97, 0.05, 0.004, 0.0002, 1.0];
        assert_eq!(
            shares.map(one_in),
            [
                "one in 35",
                "one in four",
                "one in nine",
                "four in ten",
                "a half",
                "nearly all",
                "one in twenty",
                "one in 250",
                "fewer than one in a thousand",
                "all of them"
            ]
        );
    }

    #[test]
    fn whole_metres_are_no_pieces() {
        let metres = fitted::Fitted {
            unit: Some("m".to_owned()),
            ..record(12.0, 9, 1, 1)
        };
        assert_eq!(
            (pieces(&metres), pieces(&record(12.0, 9, 1, 1))),
            (None, Some(12))
        );
    }

    #[test]
    fn a_share_is_drawn_in_hundredths() {
        let share = Share {
            estimate: 0.25,
            low: 0.125,
            high: 0.5,
        };
        let range = range(&share, 1, 4);
        assert_eq!((range.percent, range.low, range.high), (25.0, 12.5, 50.0));
    }

    #[test]
    fn the_ends_of_what_is_said_of_a_share() {
        assert_eq!(
            (from(49), from(50)),
            ("From so few the true share", "The true share")
        );
        assert_eq!(one_in(0.01), "one in a hundred");
        assert_eq!(one_in(0.001), "fewer than one in a thousand");
        let few = shown(&record(22.0, 4, 0, 0), 5).said;
        assert!(!few.contains(".."), "{few}");
    }
}
