//! A residual-current device's trip time: its test current as a multiple of a rated one, and the time held against
//! its kind's.
//!
//! Knows nothing of what the device protects.

use crate::model::{Measured, Reading};

use super::limits::{Figures, Ground, SLACK, plain};
use super::tables::{Name, row};
use super::taken::{number, passes, reaches};
use super::verdict::{Limit, Outcome, Verdict, either_side};

/// A test current as a rated residual current and how many times it: 150 mA is five times 30 mA. `Err` is why it
/// cannot be told.
pub(super) fn multiple(milliamperes: f64) -> Result<(f64, f64), String> {
    const RATED: [f64; 5] = [10.0, 30.0, 100.0, 300.0, 500.0];
    const TIMES: [f64; 3] = [1.0, 2.0, 5.0];
    // Half the current is looked at last: 50 mA is five times 10 mA, and 150 mA is five times 30 mA.
    let at = |times: f64| {
        RATED
            .into_iter()
            .filter(move |rated| (rated * times - milliamperes).abs() < 0.01)
            .map(move |rated| (rated, times))
    };
    let whole: Vec<(f64, f64)> = TIMES.into_iter().flat_map(at).collect();
    match (whole.as_slice(), at(0.5).next()) {
        ([one], _) => Ok(*one),
        ([], Some(half)) => Ok(half),
        ([], None) => Err(format!(
            "{} mA is no usual multiple of a usual RCD's rated current",
            plain(milliamperes)
        )),
        (_, _) => Err(format!(
            "{} mA could be a rated current or a multiple of a smaller one",
            plain(milliamperes)
        )),
    }
}

pub(super) fn judge(value: &Measured, reading: &Reading, figures: &Figures) -> Outcome {
    let Some(at) = reading.rcd.as_ref().and_then(|rcd| rcd.at.as_ref()) else {
        return Outcome::none("the test current is not written, and the time goes by it");
    };
    let (rated, times) = match multiple(at.value) {
        Ok(multiple) => multiple,
        Err(why) => return Outcome::none(why),
    };
    if times < 1.0 {
        return half_current(value, rated);
    }
    let kind = reading.rcd.as_ref().and_then(|rcd| rcd.kind.as_ref());
    let time = match figures.trip_time(kind.map(|kind| kind.as_str()), times) {
        Ok(time) => time,
        Err(why) => return Outcome::none(why),
    };
    let named = match time.at_least {
        Some(_) => "a time-delayed RCD",
        None => "an RCD",
    };
    let of = if times > 1.0 {
        format!("{named} at {} times its {} mA", plain(times), plain(rated))
    } else {
        format!("{named} at its {} mA", plain(rated))
    };
    let whose = time.ground.whose();
    let most = plain(time.at_most);
    let too_soon = time
        .at_least
        .filter(|least| number(value).is_some_and(|measured| measured + SLACK < *least));
    let (verdict, why) = match (passes(value, time.at_most), too_soon) {
        (Some(true), _) => (Verdict::Outside, format!("over {whose} {most} ms for {of}")),
        (Some(false), Some(least)) => (
            Verdict::Outside,
            format!("sooner than {whose} {} ms for {of}", plain(least)),
        ),
        (Some(false), None) => (
            Verdict::Within,
            format!("within {whose} {most} ms for {of}"),
        ),
        (None, _) => return either_side(&format!("{most} ms for {of}")),
    };
    Outcome {
        limit: Some(match time.at_least {
            Some(least) => Limit::Between(least, time.at_most),
            None => Limit::AtMost(time.at_most),
        }),
        verdict,
        why,
        worked: None,
        ground: Some(time.ground),
    }
}

/// At half its rated current a device holds; a time longer than the test (`>2000`) says that it did.
fn half_current(value: &Measured, rated: f64) -> Outcome {
    let held = row(Name::HalfCurrentHeld);
    let of = format!("half of {} mA", plain(rated));
    let (verdict, why) = match (value, reaches(value, held.figure)) {
        (_, Some(true)) => (
            Verdict::Within,
            format!(
                "at or over the {} ms that an RCD should hold at {of}",
                plain(held.figure)
            ),
        ),
        (Measured::Number { .. }, _) => (
            Verdict::Outside,
            format!(
                "short of the {} ms that an RCD should hold at {of}",
                plain(held.figure)
            ),
        ),
        _ => return either_side(&format!("the {} ms of a test at {of}", plain(held.figure))),
    };
    Outcome {
        limit: Some(Limit::AtLeast(held.figure)),
        verdict,
        why,
        worked: None,
        ground: Some(Ground::published(&held.book, &held.source)),
    }
}

#[cfg(test)]
mod tests {
    use super::multiple;

    #[test]
    fn a_test_current_is_read_as_a_multiple_of_a_usual_rating() {
        assert_eq!(multiple(30.0), Ok((30.0, 1.0)));
        assert_eq!(multiple(150.0), Ok((30.0, 5.0)));
        assert_eq!(multiple(50.0), Ok((10.0, 5.0)));
        assert_eq!(multiple(15.0), Ok((30.0, 0.5)));
        assert_eq!(multiple(300.0), Ok((300.0, 1.0)));
        assert!(multiple(500.0).is_err());
        assert!(multiple(31.0).is_err());
    }
}
