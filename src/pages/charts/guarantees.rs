//! Guarantees as lanes: one a year of finishing, height the number running, solid behind today, pale still promised,
//! today an ink tick, each free return an ink dot beneath the line.

use serde::{Deserialize, Serialize};

use super::{Anchor, Chart, whole};

/// How high the most guarantees stand.
const HEIGHT: f64 = 30.0;
/// Where the lane's line lies.
const LINE: i64 = 34;
/// Words of two years need so much room between them, in per cent.
const ROOM: f64 = 15.0;

/// What the lanes share.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Lanes {
    /// Where today stands, in per cent.
    pub today: f64,
    /// The most that run in one lane at one time.
    pub most: usize,
    /// New Year's Days: place and year.
    pub ticks: Vec<(f64, String)>,
}

/// A lane.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Lane {
    /// `2024`.
    pub year: String,
    /// From one per cent to another, and how many run.
    pub spans: Vec<(f64, f64, usize)>,
    /// Where its free returns stand.
    pub dots: Vec<f64>,
    /// Its figures in a sentence.
    pub said: String,
}

/// Ticks far enough apart to be read.
fn apart(ticks: &[(f64, String)]) -> impl Iterator<Item = &(f64, String)> {
    let room = ticks.get(1).map_or(100.0, |next| next.0 - ticks[0].0);
    let every = (1..)
        .find(|&every| room * f64::from(every) >= ROOM)
        .unwrap_or(1);
    ticks.iter().step_by(usize::try_from(every).unwrap_or(1))
}

/// One lane.
pub fn lane(lane: &Lane, lanes: &Lanes, prefix: &str) -> String {
    let title = format!("Guarantees on work finished in {}", lane.year);
    let mut chart = Chart::new(prefix, 48, title, lane.said.clone());
    for (at, _) in apart(&lanes.ticks) {
        chart.upright("gr", *at, -4, 48);
    }
    chart.along("ax", 0.0, 100.0, 34.5);
    for &(from, to, running) in &lane.spans {
        #[expect(
            clippy::cast_precision_loss,
            reason = "counts of jobs are far below 2^52"
        )]
        let height = whole(running as f64 * HEIGHT / lanes.most.max(1) as f64).max(1);
        let top = LINE - height;
        if from < lanes.today {
            chart.bar("bar", from, to.min(lanes.today), top, height);
        }
        if to > lanes.today {
            let from = from.max(lanes.today);
            chart.bar("promised", from, to, top, height);
            #[expect(clippy::cast_precision_loss, reason = "pixels of one lane")]
            chart.along("edge", from, to, top as f64);
        }
    }
    for &dot in &lane.dots {
        chart.dot("here", dot, 41, 3);
    }
    chart.upright("med", lanes.today, -4, 48);
    chart.finish()
}

/// The axis beneath the lanes, hidden from those who listen: each lane says its figures.
pub fn axis(lanes: &Lanes) -> String {
    let mut chart = Chart::new("", 20, "", "");
    for (at, year) in apart(&lanes.ticks) {
        if (at - lanes.today).abs() < ROOM {
            continue;
        }
        let anchor = match *at {
            at if at < 5.0 => Anchor::Start,
            at if at > 95.0 => Anchor::End,
            _ => Anchor::Middle,
        };
        chart.words(*at, 14, anchor, year);
    }
    let anchor = if lanes.today < 6.0 {
        Anchor::Start
    } else if lanes.today > 94.0 {
        Anchor::End
    } else {
        Anchor::Middle
    };
    chart.ink_words(lanes.today, 14, anchor, "today");
    chart.finish_axis()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lanes(today: f64) -> Lanes {
        Lanes {
            today,
            most: 10,
            ticks: (0..10_u32)
                .map(|year| (f64::from(year) * 10.0, (2023 + year).to_string()))
                .collect(),
        }
    }

    #[test]
    fn a_span_over_today_is_solid_behind_it_and_pale_before_it() {
        let one = Lane {
            year: "2024".to_owned(),
            spans: vec![(10.0, 70.0, 5)],
            dots: vec![20.0],
            said: "Said.".to_owned(),
        };
        let svg = lane(&one, &lanes(40.0), "l");
        assert!(
            svg.contains(r#"<rect class="bar" x="10.00%" width="30.00%" y="19" height="15"/>"#),
            "{svg}"
        );
        assert!(
            svg.contains(r#"<rect class="promised" x="40.00%" width="30.00%""#),
            "{svg}"
        );
        assert_eq!(svg.matches("class=\"here\"").count(), 1);
    }

    #[test]
    fn years_stand_apart_and_clear_of_today() {
        let svg = axis(&lanes(41.0));
        assert!(
            svg.contains(">2023<") && !svg.contains(">2024<") && !svg.contains(">2027<"),
            "{svg}"
        );
        assert!(svg.contains(">today<"));
    }
}
