//! The figure that a reading is held against: the diary's own where it has one, else the published one, with the sum
//! behind it and its ground.
//!
//! A published figure is rounded half up to two places, as printed tables are. Judges no reading.

use crate::diagnose::nearest;
use crate::model::{Device, OwnFigures};

use super::devices::{self, folded, rcd_kind};
use super::tables::{
    self, Breaker, InsulationOf, MinimumInsulation, Name, RcdKind, RcdTime, figure, row,
};

/// The figures that the readings of a diary are held against.
#[derive(Clone, Debug, Default)]
pub struct Figures {
    own: OwnFigures,
}

/// Where a figure comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ground {
    /// The book and its edition, or the diary's own words: short enough for a sentence.
    pub book: String,
    /// Where it was read, or that it was not: for those who look it up.
    pub source: String,
    /// Whether the diary gives it.
    pub own: bool,
}

impl Ground {
    pub(super) fn published(book: &str, source: &str) -> Self {
        Ground {
            book: book.to_owned(),
            source: source.to_owned(),
            own: false,
        }
    }

    fn own(source: &str) -> Self {
        Ground {
            book: format!("the diary's own figure: {source}"),
            source: source.to_owned(),
            own: true,
        }
    }

    /// `the published`, or `the diary's own`: what stands before a figure in a sentence.
    pub fn whose(&self) -> &'static str {
        if self.own {
            "the diary's own"
        } else {
            "the published"
        }
    }
}

/// A maximum earth-fault-loop impedance.
#[derive(Clone, Debug, PartialEq)]
pub struct MaxZs {
    /// Ohms: two places where it is published.
    pub limit: f64,
    /// Ohms from which care is called for, and why.
    pub care: Care,
    /// What it is a figure for: `B32`, `BS 3036 30 A`.
    pub of: String,
    /// `230 x 0.95 / (5 x 32) = 1.37 ohm`.
    pub worked: String,
    /// Its ground.
    pub ground: Ground,
}

/// From how many ohms a Zs within its figure calls for care.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Care {
    /// Over 80 % of the figure before it was rounded: what a reading taken cold should not pass.
    Cold(f64),
    /// Over what an electrode keeps steady at.
    Electrode(f64),
}

impl Care {
    /// The ohms.
    pub fn ohms(self) -> f64 {
        match self {
            Care::Cold(ohms) | Care::Electrode(ohms) => ohms,
        }
    }
}

/// A minimum insulation resistance.
#[derive(Clone, Debug, PartialEq)]
pub struct MinInsulation {
    /// Megohms.
    pub limit: f64,
    /// Which circuits it is for; `None` for a figure of the diary's own.
    pub circuits: Option<InsulationOf>,
    /// Its ground.
    pub ground: Ground,
}

/// Trip times of a residual-current device.
#[derive(Clone, Debug, PartialEq)]
pub struct TripTime {
    /// Milliseconds by which it trips.
    pub at_most: f64,
    /// Milliseconds that it holds off, where it must.
    pub at_least: Option<f64>,
    /// Its ground.
    pub ground: Ground,
}

impl Figures {
    /// The published figures alone.
    pub fn published() -> Self {
        Figures::default()
    }

    /// The published figures, and in their place the diary's own.
    pub fn with_own(own: &OwnFigures) -> Self {
        Figures { own: own.clone() }
    }

    /// A device's maximum Zs: for circuit-breakers of types B, C and D at any rating U0 Cmin / (n In), with n 5, 10 or
    /// 20; for fuses by the table, for 0.4 s. `Err` is why there is none.
    pub fn max_zs(&self, device: &Device) -> Result<MaxZs, String> {
        let (Some(kind), Some(rating)) = (&device.kind, device.rating) else {
            return Err("its device has no type or no rating".to_owned());
        };
        let breaker = devices::breaker(kind);
        let of = match breaker {
            Some(breaker) => format!("{}{}", breaker.kind, plain(rating)),
            None => format!("{} {} A", kind.trim(), plain(rating)),
        };
        let same = |other: &str| {
            folded(other) == folded(kind) || breaker.is_some() && devices::breaker(other) == breaker
        };
        if let Some(own) = self
            .own
            .max_zs
            .iter()
            .find(|own| own.rating == rating && same(&own.kind))
        {
            return Ok(MaxZs {
                limit: own.ohms,
                care: Care::Cold(own.ohms * figure(Name::ColdShare)),
                worked: format!("{} ohm for {of}", two_places(own.ohms)),
                of,
                ground: Ground::own(&own.source),
            });
        }
        match breaker {
            Some(breaker) => breaker_zs(breaker, rating, of),
            None => fuse_zs(kind, rating, of),
        }
    }

    /// The maximum Zs where an RCD alone protects, on an installation with its own electrode: 50 V over its rated
    /// residual current in milliamperes.
    pub fn max_zs_by_rcd(&self, milliamperes: f64) -> MaxZs {
        let touch = row(Name::TouchVoltage);
        let limit = touch.figure / (milliamperes / 1000.0);
        let limit = (limit + 0.5).floor();
        MaxZs {
            limit,
            // What grows with a conductor's heat is a small part of it; that the electrode keeps steady counts more.
            care: Care::Electrode(figure(Name::SteadyElectrode)),
            of: format!("a {} mA RCD alone", plain(milliamperes)),
            worked: format!(
                "{} / {} = {} ohm",
                plain(touch.figure),
                plain(milliamperes / 1000.0),
                plain(limit)
            ),
            ground: Ground::published(&touch.book, &touch.source),
        }
    }

    /// The minimum insulation resistance at a test voltage. `None` for a voltage that no table has.
    ///
    /// At 250 V it is that of a circuit whose equipment could not be disconnected, 1 MΩ: a reading does not say that its
    /// circuit is SELV or PELV, for which 0.5 MΩ would do.
    pub fn min_insulation(&self, volts: f64) -> Option<MinInsulation> {
        if let Some(own) = self.own.min_insulation.iter().find(|own| own.at == volts) {
            return Some(MinInsulation {
                limit: own.megohms,
                circuits: None,
                ground: Ground::own(&own.source),
            });
        }
        tables::insulation()
            .iter()
            .find(|row| row.test == volts && row.circuits != InsulationOf::SelvOrPelv)
            .map(|row| MinInsulation {
                limit: row.megohms,
                circuits: Some(row.circuits),
                ground: Ground::published(&row.book, &row.source),
            })
    }

    /// The trip time of a device at a multiple of its rated residual current. `kind` is as a reading writes it; none
    /// written is a general one. `Err` is why there is none.
    pub fn trip_time(&self, kind: Option<&str>, times: f64) -> Result<TripTime, String> {
        let written = kind.map(str::trim).filter(|kind| !kind.is_empty());
        let known = written.map_or(Some(RcdKind::General), rcd_kind);
        // The diary's general figure is for every device without delay; one for type A is for type A alone.
        let same = |own: &str| {
            let own = folded(own);
            own == folded(written.unwrap_or("general"))
                || own == "general" && known == Some(RcdKind::General)
        };
        if let Some(own) = self
            .own
            .max_rcd
            .iter()
            .find(|own| own.times == times && same(&own.kind))
        {
            return Ok(TripTime {
                at_most: own.ms,
                at_least: None,
                ground: Ground::own(&own.source),
            });
        }
        let Some(known) = known else {
            return Err(format!(
                "{} is no kind of RCD that has published times here; the kinds are A, AC, F, B, S and BS 4293",
                written.unwrap_or_default()
            ));
        };
        rcd_row(known, times)
            .map(|row| TripTime {
                at_most: row.at_most,
                at_least: row.at_least,
                ground: Ground::published(&row.book, &row.source),
            })
            .ok_or_else(|| {
                format!(
                    "no time is published here for that kind at {} times its rated current",
                    plain(times)
                )
            })
    }
}

/// The published row for a kind of RCD at a multiple of its rated residual current.
pub fn rcd_row(kind: RcdKind, times: f64) -> Option<&'static RcdTime> {
    tables::rcds()
        .iter()
        .find(|row| row.kind == kind && row.times == times)
}

/// The published row for a sort of circuits.
pub fn insulation_row(circuits: InsulationOf) -> &'static MinimumInsulation {
    tables::insulation()
        .iter()
        .find(|row| row.circuits == circuits)
        .expect("every sort has its row; a test looks")
}

fn breaker_zs(breaker: &Breaker, rating: f64, of: String) -> Result<MaxZs, String> {
    let longest = figure(Name::SocketCircuitsTo);
    if breaker.kind == "D" && rating > longest {
        return Err(format!(
            "the figure for a type D is for 0.4 s, which is asked of circuits up to {} A",
            plain(longest)
        ));
    }
    let (volts, factor) = (figure(Name::LineVoltage), figure(Name::VoltageFactor));
    let exact = volts * factor / (breaker.trips_by * rating);
    let limit = half_up(exact);
    Ok(MaxZs {
        limit,
        care: Care::Cold(figure(Name::ColdShare) * exact),
        of,
        worked: format!(
            "{} x {} / ({} x {}) = {} ohm",
            plain(volts),
            plain(factor),
            plain(breaker.trips_by),
            plain(rating),
            two_places(limit)
        ),
        ground: Ground::published(&breaker.book, &breaker.source),
    })
}

fn fuse_zs(kind: &str, rating: f64, of: String) -> Result<MaxZs, String> {
    let standard: Vec<_> = tables::fuses()
        .iter()
        .filter(|fuse| folded(&fuse.standard) == folded(kind))
        .collect();
    if let Some(fuse) = standard.iter().find(|fuse| fuse.rating == rating) {
        return Ok(MaxZs {
            limit: fuse.ohms,
            care: Care::Cold(figure(Name::ColdShare) * fuse.ohms),
            worked: format!("{} ohm for {of} in 0.4 s", two_places(fuse.ohms)),
            of,
            ground: Ground::published(&fuse.book, &fuse.source),
        });
    }
    if standard.is_empty() {
        let known = tables::fuses()
            .iter()
            .map(|fuse| fuse.standard.as_str())
            .chain(["B", "C", "D"]);
        let meant = nearest(kind, known)
            .filter(|_| kind.chars().count() > 3)
            .map(|near| format!("; {near} is the nearest name"))
            .unwrap_or_default();
        return Err(format!(
            "no figure is published here for a device of type {}{meant}",
            kind.trim()
        ));
    }
    let ratings: Vec<String> = standard.iter().map(|fuse| plain(fuse.rating)).collect();
    Err(format!(
        "the table here has {} for {}, and not {} A",
        ratings.join(", "),
        kind.trim(),
        plain(rating)
    ))
}

/// What a sum in binary may be off by, far below what any tester shows.
pub(super) const SLACK: f64 = 1e-9;

/// Two places, half up: 2.185 gives 2.19, whatever binary makes of it.
pub fn half_up(number: f64) -> f64 {
    (number * 100.0 + 0.5 + SLACK).floor() / 100.0
}

/// Two places, down: how a figure for a reading taken cold is printed.
pub fn down(number: f64) -> f64 {
    (number * 100.0 + SLACK).floor() / 100.0
}

/// `1.37`, `9.10`.
pub(super) fn two_places(number: f64) -> String {
    format!("{number:.2}")
}

/// A number with as few figures as it needs, four places at most: `32`, `0.95`, `1667`.
pub(super) fn plain(number: f64) -> String {
    ((number * 10_000.0).round() / 10_000.0).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{OwnMaxRcd, OwnMaxZs};

    fn device(kind: &str, rating: f64) -> Device {
        Device {
            kind: Some(kind.to_owned()),
            rating: Some(rating),
        }
    }

    fn limit(kind: &str, rating: f64) -> Result<f64, String> {
        Figures::published()
            .max_zs(&device(kind, rating))
            .map(|figure| figure.limit)
    }

    #[test]
    fn a_figure_between_two_is_rounded_up_as_tables_are() {
        // 43.7 / 20 is 2.185 on paper and less in binary.
        assert_eq!(half_up(43.7 / 20.0), 2.19);
        assert_eq!(limit("B", 20.0), Ok(2.19));
        assert_eq!(limit("D", 50.0), Ok(0.22));
    }

    #[test]
    fn a_rating_that_no_table_prints_has_its_sum() {
        assert_eq!(limit("B", 25.0), Ok(1.75));
        let figure = Figures::published()
            .max_zs(&device("C", 13.0))
            .expect("any rating has its sum");
        assert_eq!(figure.worked, "230 x 0.95 / (10 x 13) = 1.68 ohm");
        assert_eq!(figure.of, "C13");
    }

    #[test]
    fn a_type_is_known_however_it_is_written() {
        for kind in [
            "B",
            "b",
            "type B",
            "Type-B",
            "B curve",
            "RCBO B",
            "RCBO type B",
            "MCB B",
            "BS EN 60898 type B",
        ] {
            assert_eq!(limit(kind, 32.0), Ok(1.37), "{kind}");
        }
        for kind in ["BS 3036", "bs3036", "BS-3036"] {
            assert_eq!(limit(kind, 30.0), Ok(1.04), "{kind}");
        }
    }

    #[test]
    fn what_no_table_has_says_why() {
        assert_eq!(
            limit("BS 3063", 30.0).expect_err("no such standard"),
            "no figure is published here for a device of type BS 3063; BS 3036 is the nearest name"
        );
        assert_eq!(
            limit("K", 16.0).expect_err("no such type"),
            "no figure is published here for a device of type K"
        );
        assert_eq!(
            limit("BS 88-3", 15.0).expect_err("there is no 15 A one"),
            "the table here has 5, 16, 20, 32 for BS 88-3, and not 15 A"
        );
        assert_eq!(
            limit("D", 80.0).expect_err("0.4 s is not asked of it"),
            "the figure for a type D is for 0.4 s, which is asked of circuits up to 63 A"
        );
    }

    #[test]
    fn a_figure_of_the_diary_s_own_comes_first_and_is_named_so() {
        let figures = Figures::with_own(&OwnFigures {
            max_zs: vec![OwnMaxZs {
                kind: "type b".to_owned(),
                rating: 32.0,
                ohms: 1.3,
                source: "maker's sheet".to_owned(),
            }],
            min_insulation: Vec::new(),
            max_rcd: vec![OwnMaxRcd {
                kind: "general".to_owned(),
                times: 1.0,
                ms: 200.0,
                source: "the landlord's terms".to_owned(),
            }],
        });
        let zs = figures.max_zs(&device("B", 32.0)).expect("given");
        assert_eq!((zs.limit, zs.ground.own), (1.3, true));
        assert_eq!(zs.ground.book, "the diary's own figure: maker's sheet");
        assert_eq!(
            figures.max_zs(&device("B", 16.0)).expect("published").limit,
            2.73
        );
        assert_eq!(figures.trip_time(None, 1.0).expect("given").at_most, 200.0);
        assert_eq!(
            figures.trip_time(Some("A"), 1.0).expect("given").at_most,
            200.0
        );
        assert_eq!(
            figures
                .trip_time(Some("S"), 1.0)
                .expect("published")
                .at_most,
            500.0
        );
    }

    #[test]
    fn every_sort_of_circuit_has_its_minimum() {
        for circuits in [
            InsulationOf::SelvOrPelv,
            InsulationOf::UpTo500V,
            InsulationOf::EquipmentStaysIn,
            InsulationOf::Over500V,
        ] {
            assert!(insulation_row(circuits).megohms > 0.0);
        }
    }
}
