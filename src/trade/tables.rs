//! The published figures as they stand in `content/trade/*.csv`, each with the book it belongs to and where it was
//! read.
//!
//! Every figure of BS 7671 here was checked against texts of the time of A2:2022 or older ([`CHECKED`]); none
//! against the current edition ([`CURRENT`]). Looks rows up; works nothing out and judges nothing.

use std::sync::LazyLock;

use serde::Deserialize;
use serde::de::DeserializeOwned;

/// The edition that the figures of BS 7671 were checked against, at best.
pub const CHECKED: &str = "BS 7671:2018+A2:2022";

/// The edition in force on 25 November 2026: published 15 April 2026; A2:2022 with A3:2024 was withdrawn on 15
/// October 2026 (<https://inspectelectrical.co.uk/electrical-advice/bs-7671-amendment-4-eicr-testing-competence/>).
pub const CURRENT: &str = "BS 7671:2018+A4:2026";

/// A type of circuit-breaker to BS EN 60898 or 61009.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Breaker {
    /// `B`, `C` or `D`.
    #[serde(rename = "type")]
    pub kind: String,
    /// It does not trip at once up to this many times its rating.
    pub holds_to: f64,
    /// It trips at once by this many times its rating: what a maximum Zs is worked out from.
    pub trips_by: f64,
    /// The book.
    pub book: String,
    /// Where it was read.
    pub source: String,
}

/// A fuse's maximum Zs at 230 V with Cmin, for 0.4 s.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Fuse {
    /// `BS 3036`.
    pub standard: String,
    /// Amperes.
    pub rating: f64,
    /// Ohms, to two places as printed.
    pub ohms: f64,
    /// The book.
    pub book: String,
    /// Where it was read.
    pub source: String,
}

/// Which circuits a minimum insulation resistance is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum InsulationOf {
    /// Separated or protective extra-low voltage.
    SelvOrPelv,
    /// Up to and including 500 V.
    #[serde(rename = "up-to-500-v")]
    UpTo500V,
    /// Up to 500 V, where equipment that the test would harm or that would falsify it cannot be disconnected.
    EquipmentStaysIn,
    /// Over 500 V.
    #[serde(rename = "over-500-v")]
    Over500V,
}

/// A minimum insulation resistance.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct MinimumInsulation {
    /// Which circuits.
    pub circuits: InsulationOf,
    /// Test voltage, in volts d.c.
    pub test: f64,
    /// Megohms.
    pub megohms: f64,
    /// The book.
    pub book: String,
    /// Where it was read.
    pub source: String,
}

/// Kinds of residual-current device that have times of their own. The kinds of current that they see (AC, A, F, B)
/// make no difference to the times.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RcdKind {
    /// Without delay, BS EN 61008 and 61009.
    General,
    /// Time-delayed, type S.
    Delayed,
    /// To BS 4293, or a socket's to BS 7288.
    Older,
}

/// Trip times of a kind of residual-current device at a multiple of its rated current.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct RcdTime {
    /// The kind.
    pub kind: RcdKind,
    /// Times its rated residual current.
    pub times: f64,
    /// Milliseconds by which it trips.
    pub at_most: f64,
    /// Milliseconds that it holds off, where it must.
    pub at_least: Option<f64>,
    /// The standard.
    pub book: String,
    /// Where it was read.
    pub source: String,
}

/// A copper conductor's resistance at 20 °C.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Conductor {
    /// Square millimetres.
    pub mm2: f64,
    /// Milliohms a metre.
    pub milliohms_per_metre: f64,
    /// The standard.
    pub book: String,
    /// Where it was read.
    pub source: String,
}

/// A usual twin-and-earth cable.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Cable {
    /// Line and neutral, in square millimetres.
    pub line: f64,
    /// Circuit protective conductor, in square millimetres.
    pub cpc: f64,
    /// The book.
    pub book: String,
    /// Where it was read.
    pub source: String,
}

/// A zone of a room with a bath or shower.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct Zone {
    /// 0, 1 or 2.
    pub zone: u8,
    /// The least protection against water.
    pub ip: String,
    /// What its numeral keeps out.
    pub against: String,
    /// The book.
    pub book: String,
    /// Where it was read.
    pub source: String,
}

/// A figure that stands alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Name {
    /// U0, line to earth.
    LineVoltage,
    /// Cmin.
    VoltageFactor,
    /// What share of a maximum Zs a reading taken cold should not pass.
    ColdShare,
    /// What the earth may rise to, for an RCD alone.
    TouchVoltage,
    /// Above this an electrode may not be steady.
    SteadyElectrode,
    /// Largest circuit with socket-outlets that the 0.4 s are for.
    SocketCircuitsTo,
    /// Largest circuit of fixed equipment that the 0.4 s are for.
    FixedCircuitsTo,
    /// How long a device holds at half its rated current.
    HalfCurrentHeld,
    /// How far r1 and rn of a ring may lie apart.
    RingLegsApart,
    /// r2 to r1 of a 2.5/1.5 mm² ring: the low end.
    #[serde(rename = "ring-share-low")]
    RingShareLow,
    /// The high end.
    RingShareHigh,
    /// What a degree adds to copper's resistance at 20 °C.
    CopperByDegree,
    /// Height of zones 1 and 2, where no fixed outlet is higher.
    ZoneHeight,
    /// Width of zone 2.
    #[serde(rename = "zone-2-width")]
    Zone2Width,
    /// Zone 1 round a fixed outlet with no tray.
    #[serde(rename = "zone-1-no-tray")]
    Zone1NoTray,
    /// From zone 1 to a socket-outlet.
    #[serde(rename = "socket-from-zone-1")]
    SocketFromZone1,
    /// Years between inspections of a rented home, at most.
    InspectionYears,
    /// Days for the report to the tenant.
    TenantDays,
    /// Days for the report to the council, once asked.
    CouncilDays,
    /// Days for remedial work, at most.
    RemedialDays,
    /// Days for written proof of the work.
    ProofDays,
}

/// A row of the figures that stand alone.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Figure {
    /// Which.
    pub name: Name,
    /// The figure.
    pub figure: f64,
    /// Its unit; empty for a factor.
    pub unit: String,
    /// The book.
    pub book: String,
    /// Where it was read.
    pub source: String,
}

fn rows<T: DeserializeOwned>(table: &str) -> Vec<T> {
    csv::Reader::from_reader(table.as_bytes())
        .deserialize()
        .collect::<Result<_, _>>()
        .expect("the table is part of the program; a test reads every row")
}

macro_rules! table {
    ($(#[$doc:meta])* $name:ident: $row:ty = $file:literal) => {
        $(#[$doc])*
        pub fn $name() -> &'static [$row] {
            static ROWS: LazyLock<Vec<$row>> =
                LazyLock::new(|| rows(include_str!(concat!("../../content/trade/", $file))));
            &ROWS
        }
    };
}

table! {
    /// Circuit-breakers.
    breakers: Breaker = "breakers.csv"
}
table! {
    /// Fuses, by standard and rating.
    fuses: Fuse = "fuses.csv"
}
table! {
    /// Minimum insulation resistances.
    insulation: MinimumInsulation = "insulation.csv"
}
table! {
    /// Trip times of residual-current devices.
    rcds: RcdTime = "rcds.csv"
}
table! {
    /// Copper conductors, by size.
    conductors: Conductor = "conductors.csv"
}
table! {
    /// Usual twin-and-earth cables.
    cables: Cable = "cables.csv"
}
table! {
    /// Zones of a room with a bath or shower.
    zones: Zone = "zones.csv"
}
table! {
    /// Figures that stand alone.
    figures: Figure = "figures.csv"
}

/// The row of a figure that stands alone.
pub fn row(name: Name) -> &'static Figure {
    figures()
        .iter()
        .find(|row| row.name == name)
        .expect("every name has its row; a test looks")
}

/// A figure that stands alone.
pub fn figure(name: Name) -> f64 {
    row(name).figure
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every name, so that `row` cannot fail.
    const NAMES: [Name; 21] = [
        Name::LineVoltage,
        Name::VoltageFactor,
        Name::ColdShare,
        Name::TouchVoltage,
        Name::SteadyElectrode,
        Name::SocketCircuitsTo,
        Name::FixedCircuitsTo,
        Name::HalfCurrentHeld,
        Name::RingLegsApart,
        Name::RingShareLow,
        Name::RingShareHigh,
        Name::CopperByDegree,
        Name::ZoneHeight,
        Name::Zone2Width,
        Name::Zone1NoTray,
        Name::SocketFromZone1,
        Name::InspectionYears,
        Name::TenantDays,
        Name::CouncilDays,
        Name::RemedialDays,
        Name::ProofDays,
    ];

    #[test]
    fn every_figure_that_stands_alone_has_one_row() {
        assert_eq!(figures().len(), NAMES.len());
        for (name, row) in NAMES.iter().zip(figures()) {
            assert_eq!(row.name, *name);
        }
    }

    #[test]
    fn every_row_names_its_book_and_where_it_was_read() {
        let mut grounds: Vec<(&str, &str)> = Vec::new();
        grounds.extend(breakers().iter().map(|row| (&*row.book, &*row.source)));
        grounds.extend(fuses().iter().map(|row| (&*row.book, &*row.source)));
        grounds.extend(insulation().iter().map(|row| (&*row.book, &*row.source)));
        grounds.extend(rcds().iter().map(|row| (&*row.book, &*row.source)));
        grounds.extend(conductors().iter().map(|row| (&*row.book, &*row.source)));
        grounds.extend(cables().iter().map(|row| (&*row.book, &*row.source)));
        grounds.extend(zones().iter().map(|row| (&*row.book, &*row.source)));
        grounds.extend(figures().iter().map(|row| (&*row.book, &*row.source)));
        assert_eq!(grounds.len(), 3 + 12 + 4 + 8 + 7 + 6 + 3 + 21);
        for (book, source) in grounds {
            assert!(!book.is_empty() && !source.is_empty(), "{book}: {source}");
            // What was not read anywhere says so where people see it, in the name of the book.
            if source.starts_with("From memory") {
                assert!(book.ends_with("from memory"), "{book}: {source}");
            }
        }
    }

    #[test]
    fn a_cable_s_conductors_are_in_the_table() {
        for cable in cables() {
            for size in [cable.line, cable.cpc] {
                assert!(
                    conductors().iter().any(|conductor| conductor.mm2 == size),
                    "{size}"
                );
            }
        }
    }

    #[test]
    fn the_caution_about_bathrooms_says_what_the_table_says() {
        let words = &super::super::cautions::caution("bathroom-zones")
            .expect("a standard caution")
            .words;
        for name in [Name::ZoneHeight, Name::Zone2Width, Name::Zone1NoTray] {
            let figure = format!("{} m", figure(name));
            assert!(words.contains(&figure), "{figure}");
        }
    }
}
