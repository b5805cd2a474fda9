//! The visits strip: one lane a visit, a bar on a day from six to eight in the evening.
//!
//! A visit outside those hours widens the strip to the whole hours that hold it, past midnight too. A visit
//! whose times are not written has a lane with its length in words and no bar; a small strip leaves it out.

use std::fmt::Write as _;

use super::{Anchor, Chart, escaped, percent};
use crate::public::view::VisitLine;

/// The hours that a strip shows, from midnight of the visits' own day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Day {
    first: i64,
    last: i64,
}

impl Day {
    /// Six to eight, or the whole hours that hold every visit.
    fn of(visits: &[VisitLine]) -> Day {
        let mut day = Day { first: 6, last: 20 };
        for (from, to) in visits.iter().filter_map(times) {
            day.first = day.first.min(from.div_euclid(60));
            day.last = day.last.max((to + 59).div_euclid(60));
        }
        day
    }

    /// A minute's place in per cent.
    #[expect(clippy::cast_precision_loss, reason = "minutes of a few days")]
    fn place(self, minute: i64) -> f64 {
        (minute - self.first * 60) as f64 / ((self.last - self.first) * 60) as f64 * 100.0
    }

    /// The hours that carry a tick: every two, every four where the day was widened far.
    fn ticks(self) -> Vec<i64> {
        let every = match self.last - self.first {
            ..=16 => 2,
            17..=32 => 4,
            _ => 12,
        };
        (self.first..=self.last)
            .filter(|hour| hour.rem_euclid(every) == 0)
            .collect()
    }

    fn words(self) -> String {
        let last = match self.last {
            24 => "midnight".to_owned(),
            later => format!("{:02}:00", later.rem_euclid(24)),
        };
        format!("from {:02}:00 to {last}", self.first.rem_euclid(24))
    }
}

/// Arrival and leaving in minutes, where both are written and in order.
fn times(visit: &VisitLine) -> Option<(i64, i64)> {
    match (visit.from, visit.to) {
        (Some(from), Some(to)) if from < to => Some((from, to)),
        _ => None,
    }
}

/// How a kind of visit is filled. An unknown kind is drawn as a planned one.
fn fill(kind: &str) -> &'static str {
    match kind {
        "call-out" => "hatch",
        "survey" | "follow-up" => "soft",
        "guarantee" => "open",
        _ => "bar",
    }
}

/// The strip of a full docket, with words above each bar; empty where there are no visits.
pub fn strip(visits: &[VisitLine], prefix: &str) -> String {
    if visits.is_empty() {
        return String::new();
    }
    let day = Day::of(visits);
    let lanes = i64::try_from(visits.len()).expect("fewer visits than an i64 counts");
    let mut chart = Chart::new(
        prefix,
        24 + 50 * lanes,
        format!("The visits, on a day {}", day.words()),
        visits.iter().map(sentence).collect::<Vec<_>>().join(" "),
    );
    let ticks = day.ticks();
    for &hour in &ticks {
        let x = day.place(hour * 60);
        for (lane, visit) in (0..).zip(visits) {
            // Where no times are written there is no bar to measure, and words stand in its place.
            if times(visit).is_some() {
                chart.upright("gr", x, 29 + 50 * lane, 43 + 50 * lane);
            }
        }
        let anchor = match (x < 0.5, x > 99.5) {
            (true, _) => Anchor::Start,
            (_, true) => Anchor::End,
            _ => Anchor::Middle,
        };
        chart.words(
            x,
            13 + 50 * lanes,
            anchor,
            &format!("{:02}", hour.rem_euclid(24)),
        );
    }
    for (lane, visit) in (0..).zip(visits) {
        let top = 50 * lane;
        let mut words = format!(
            r#"<text class="t-ink" x="0" y="{}">{}"#,
            top + 20,
            escaped(&visit.shown)
        );
        let _ = write!(
            words,
            r#"<tspan class="t-2" dx="8">{}</tspan>"#,
            escaped(&visit.length)
        );
        if !visit.rest.is_empty() {
            // The style leaves it out on a phone, where it would run past the edge; the table below has it.
            let _ = write!(
                words,
                r#"<tspan class="t-2 t-wide">, and {} break</tspan>"#,
                escaped(&visit.rest)
            );
        }
        words.push_str("</text>");
        chart.draw(&words);
        chart.draw(&format!(
            r#"<line class="ax" x1="0" x2="100%" y1="{y}.5" y2="{y}.5"/>"#,
            y = top + 43
        ));
        match times(visit) {
            Some((from, to)) => chart.bar(
                fill(&visit.kind),
                day.place(from),
                day.place(to),
                top + 29,
                14,
            ),
            None => chart.words(0.0, top + 38, Anchor::Start, "times not written"),
        }
    }
    chart.finish()
}

/// The strip of a small docket: bars alone, with a mark at noon; empty where no visit's times are written.
pub fn small(visits: &[VisitLine], prefix: &str) -> String {
    let drawn: Vec<&VisitLine> = visits
        .iter()
        .filter(|visit| times(visit).is_some())
        .collect();
    if drawn.is_empty() {
        return String::new();
    }
    let day = Day::of(visits);
    let lanes = i64::try_from(drawn.len()).expect("fewer visits than an i64 counts");
    let mut chart = Chart::new(
        prefix,
        8 + 14 * lanes,
        if visits.len() == 1 {
            "The visit"
        } else {
            "The visits"
        },
        visits.iter().map(sentence).collect::<Vec<_>>().join(" "),
    );
    for x in [0.0, day.place(12 * 60), 100.0] {
        chart.upright("gr", x, 0, 6 + 14 * lanes);
    }
    for (lane, visit) in (0..).zip(drawn) {
        let top = 14 * lane;
        chart.draw(&format!(
            r#"<line class="gr" x1="0" x2="{}" y1="{y}.5" y2="{y}.5"/>"#,
            percent(100.0),
            y = top + 16
        ));
        if let Some((from, to)) = times(visit) {
            chart.bar(
                fill(&visit.kind),
                day.place(from),
                day.place(to),
                top + 7,
                9,
            );
        }
    }
    chart.finish()
}

/// `8 h, and 45 min break`; says so where the clock times are not written.
fn length(visit: &VisitLine) -> String {
    let mut words = visit.length.clone();
    if !visit.rest.is_empty() {
        words.push_str(&format!(", and {} break", visit.rest));
    }
    if times(visit).is_none() {
        words.push_str(", times not written");
    }
    words
}

/// `Planned 08:15 to 17:00, 8 h, and 45 min break.`
fn sentence(visit: &VisitLine) -> String {
    match times(visit) {
        Some(_) => format!(
            "{} {} to {}, {}.",
            visit.shown,
            visit.from_shown,
            visit.to_shown,
            length(visit)
        ),
        None => format!("{}, {}.", visit.shown, length(visit)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn visit(kind: &str, from: Option<i64>, to: Option<i64>) -> VisitLine {
        let clock = |minute: Option<i64>| {
            minute.map_or(String::new(), |m| {
                format!("{:02}:{:02}", m / 60 % 24, m % 60)
            })
        };
        VisitLine {
            kind: kind.to_owned(),
            shown: kind.to_owned(),
            from,
            to,
            from_shown: clock(from),
            to_shown: clock(to),
            length: "1 h".to_owned(),
            rest: String::new(),
        }
    }

    #[test]
    fn one_visit_is_drawn_exactly_so() {
        let mut planned = visit("planned", Some(780), Some(1200));
        planned.shown = "Planned <1>".to_owned();
        planned.rest = "45 min".to_owned();
        assert_eq!(
            small(&[planned.clone()], "d0"),
            concat!(
                r#"<svg height="22" role="img" aria-labelledby="d0_t d0_d"><title id="d0_t">The visit</title>"#,
                r#"<desc id="d0_d">Planned &lt;1&gt; 13:00 to 20:00, 1 h, and 45 min break.</desc>"#,
                r#"<line class="gr" x1="0.00%" x2="0.00%" y1="0" y2="20"/>"#,
                r#"<line class="gr" x1="42.86%" x2="42.86%" y1="0" y2="20"/>"#,
                r#"<line class="gr" x1="100.00%" x2="100.00%" y1="0" y2="20"/>"#,
                r#"<line class="gr" x1="0" x2="100.00%" y1="16.5" y2="16.5"/>"#,
                r#"<rect class="bar" x="50.00%" width="50.00%" y="7" height="9"/></svg>"#,
            )
        );
        let large = strip(&[planned], "day");
        assert!(large.starts_with(concat!(
            r#"<svg height="74" role="img" aria-labelledby="day_t day_d">"#,
            r#"<title id="day_t">The visits, on a day from 06:00 to 20:00</title>"#
        )));
        assert!(large.contains(r#"<text x="0.00%" y="63" text-anchor="start">06</text>"#));
        assert!(large.contains(r#"<text x="100.00%" y="63" text-anchor="end">20</text>"#));
        assert!(large.ends_with(concat!(
            r#"<text class="t-ink" x="0" y="20">Planned &lt;1&gt;<tspan class="t-2" dx="8">1 h</tspan>"#,
            r#"<tspan class="t-2 t-wide">, and 45 min break</tspan></text><line class="ax" x1="0" x2="100%" y1="43.5" y2="43.5"/>"#,
            r#"<rect class="bar" x="50.00%" width="50.00%" y="29" height="14"/></svg>"#
        )));
    }

    #[test]
    fn a_visit_outside_six_to_eight_widens_the_day_to_whole_hours() {
        let early = visit("planned", Some(5 * 60 + 59), Some(8 * 60));
        assert_eq!(Day::of(&[early]), Day { first: 5, last: 20 });
        let on_the_hour = visit("planned", Some(360), Some(1200));
        assert_eq!(Day::of(&[on_the_hour]), Day { first: 6, last: 20 });
        let night = visit("call-out", Some(22 * 60 + 30), Some(25 * 60 + 10));
        assert_eq!(
            Day::of(std::slice::from_ref(&night)),
            Day { first: 6, last: 26 }
        );
        let drawn = strip(&[night], "n");
        assert!(drawn.contains("from 06:00 to 02:00"), "{drawn}");
        assert!(
            drawn.contains(r#"text-anchor="middle">00</text>"#),
            "midnight has a tick: {drawn}"
        );
        assert!(
            drawn.contains(r#"<rect class="hatch" x="82.50%" width="13.33%""#),
            "{drawn}"
        );
    }

    #[test]
    fn a_visit_without_times_has_words_and_no_bar() {
        let drawn = strip(&[visit("survey", None, None)], "s");
        assert!(drawn.contains("survey, 1 h, times not written."), "{drawn}");
        assert!(
            drawn.contains("survey<tspan") && !drawn.contains("<rect"),
            "{drawn}"
        );
        assert!(drawn.contains(">times not written</text>"), "{drawn}");
        assert!(
            !drawn.contains(r#"class="gr""#),
            "no day to measure against: {drawn}"
        );
        assert_eq!(small(&[visit("survey", None, None)], "s"), "");
        assert_eq!(strip(&[], "s"), "");
    }

    #[test]
    fn each_kind_of_visit_has_its_own_fill() {
        let fills = ["planned", "call-out", "survey", "follow-up", "guarantee"].map(fill);
        assert_eq!(fills, ["bar", "hatch", "soft", "soft", "open"]);
    }
}
