//! Our own words for sheets: filters that draw a chart from a view, or put a number in words. Looks for no sheet.

use serde::de::DeserializeOwned;
use tera::{Kwargs, State, Tera, TeraResult, Value};

use super::charts::{
    earned, guarantees, locations, quotes, ranges, returns, share, time_words, visits, whole,
};
use crate::office::words::grouped;
use crate::public::view::{LocationRange, ShareRange, TaskRange, VisitLine};

/// Our own words for sheets.
pub(super) fn add_words(tera: &mut Tera) {
    tera.register_filter("visits_strip", |lines: &Value, args: Kwargs, _: &State| {
        let lines: Vec<VisitLine> = read(lines)?;
        drawn(visits::strip(&lines, args.must_get("id")?))
    });
    tera.register_filter("visits_small", |lines: &Value, args: Kwargs, _: &State| {
        let lines: Vec<VisitLine> = read(lines)?;
        drawn(visits::small(&lines, args.must_get("id")?))
    });
    tera.register_filter("time_scale", |list: &Value, _: Kwargs, _: &State| {
        let list: Vec<TaskRange> = read(list)?;
        Value::try_from_serializable(&ranges::Scale::of(&list))
    });
    tera.register_filter("time_strip", |range: &Value, args: Kwargs, _: &State| {
        let range: TaskRange = read(range)?;
        let scale: ranges::Scale = read(args.must_get("scale")?)?;
        drawn(ranges::strip(&range, &scale, args.must_get("id")?))
    });
    tera.register_filter("time_axis", |scale: &Value, _: Kwargs, _: &State| {
        drawn(ranges::axis(&read(scale)?))
    });
    tera.register_filter("location_scale", |list: &Value, _: Kwargs, _: &State| {
        let list: Vec<LocationRange> = read(list)?;
        Value::try_from_serializable(&locations::Scale::of(&list))
    });
    tera.register_filter(
        "location_strip",
        |location: &Value, args: Kwargs, _: &State| {
            let location: LocationRange = read(location)?;
            let scale: locations::Scale = read(args.must_get("scale")?)?;
            drawn(locations::strip(&location, &scale, args.must_get("id")?))
        },
    );
    tera.register_filter("location_axis", |scale: &Value, _: Kwargs, _: &State| {
        drawn(locations::axis(&read(scale)?))
    });
    tera.register_filter("share_strip", |share: &Value, args: Kwargs, _: &State| {
        drawn(share::strip(
            &read::<ShareRange>(share)?,
            args.must_get("id")?,
        ))
    });
    tera.register_filter("share_words", |percent: f64, _: Kwargs, _: &State| {
        share::shown(percent)
    });
    add_money_charts(tera);
    tera.register_filter("time_words", |minutes: f64, _: Kwargs, _: &State| {
        time_words(minutes)
    });
    tera.register_filter("whole", |number: f64, _: Kwargs, _: &State| whole(number));
    tera.register_filter("thousands", |number: i64, _: Kwargs, _: &State| {
        thousands(number)
    });
    tera.register_filter("longer", |ratio: f64, _: Kwargs, _: &State| {
        locations::words(ratio)
    });
    tera.register_filter("signed", |ratio: f64, _: Kwargs, _: &State| {
        locations::signed(ratio)
    });
}

/// The charts of the rate review and the cover ledger.
fn add_money_charts(tera: &mut Tera) {
    tera.register_filter("earned_scale", |list: &Value, _: Kwargs, _: &State| {
        let list: earned::EarnedList = read(list)?;
        Value::try_from_serializable(&earned::Scale::of(&list))
    });
    tera.register_filter("earned_strip", |strip: &Value, args: Kwargs, _: &State| {
        let strip: earned::EarnedStrip = read(strip)?;
        let scale: earned::Scale = read(args.must_get("scale")?)?;
        drawn(earned::strip(&strip, &scale, args.must_get("id")?))
    });
    tera.register_filter("earned_axis", |scale: &Value, _: Kwargs, _: &State| {
        drawn(earned::axis(&read(scale)?))
    });
    tera.register_filter("quote_piles", |ratios: &Value, args: Kwargs, _: &State| {
        let ratios: Vec<f64> = read(ratios)?;
        drawn(quotes::piles(
            &ratios,
            args.must_get("said")?,
            args.must_get("id")?,
        ))
    });
    tera.register_filter("guarantee_lane", |lane: &Value, args: Kwargs, _: &State| {
        let lane: guarantees::Lane = read(lane)?;
        let lanes: guarantees::Lanes = read(args.must_get("lanes")?)?;
        drawn(guarantees::lane(&lane, &lanes, args.must_get("id")?))
    });
    tera.register_filter("guarantee_axis", |lanes: &Value, _: Kwargs, _: &State| {
        drawn(guarantees::axis(&read(lanes)?))
    });
    tera.register_filter(
        "first_return_curve",
        |steps: &Value, args: Kwargs, _: &State| {
            let steps: Vec<returns::CurveStep> = read(steps)?;
            let (end, said, id) = (
                args.must_get("end")?,
                args.must_get("said")?,
                args.must_get("id")?,
            );
            drawn(returns::first_return(&steps, end, said, id))
        },
    );
    tera.register_filter(
        "first_return_from",
        |steps: &Value, _: Kwargs, _: &State| {
            let steps: Vec<returns::CurveStep> = read(steps)?;
            TeraResult::Ok(whole(returns::scale_from(&steps) * 100.0))
        },
    );
    tera.register_filter("returns_curve", |steps: &Value, args: Kwargs, _: &State| {
        let steps: Vec<returns::CurveStep> = read(steps)?;
        let (end, full) = (args.must_get("end")?, args.must_get("full")?);
        let (said, id) = (args.must_get("said")?, args.must_get("id")?);
        drawn(returns::returns(
            &steps,
            end,
            full,
            args.get("by_full")?,
            said,
            id,
        ))
    });
}

fn read<T: DeserializeOwned>(value: &Value) -> TeraResult<T> {
    T::deserialize(value).map_err(tera::Error::message)
}

#[expect(
    clippy::unnecessary_wraps,
    reason = "the filters that call it can fail before it"
)]
fn drawn(svg: String) -> TeraResult<Value> {
    Ok(Value::safe_string(&svg))
}

/// `2,214`.
fn thousands(number: i64) -> String {
    let sign = if number < 0 { "−" } else { "" };
    format!("{sign}{}", grouped(number.unsigned_abs()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thousands_are_parted_by_commas() {
        assert_eq!(
            [0, 999, 1_000, -2_214_000].map(thousands),
            ["0", "999", "1,000", "−2,214,000"]
        );
    }
}
