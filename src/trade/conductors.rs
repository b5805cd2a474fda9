//! Resistances of copper: a conductor's, a cable's R1+R2 by length and temperature, and what Zs they come to.
//!
//! Sums on the tables of `content/trade`; the readings of a ring are held against them. Sizes no cable.

use super::tables::{Name, cables, conductors, figure};

/// The temperature of the tables, in °C.
const TABLES_AT: f64 = 20.0;

/// Resistance of a copper conductor at 20 °C, in milliohms a metre (IEC 60228). `None` for a size that the table does
/// not have.
pub fn milliohms_per_metre(mm2: f64) -> Option<f64> {
    conductors()
        .iter()
        .find(|conductor| conductor.mm2 == mm2)
        .map(|conductor| conductor.milliohms_per_metre)
}

/// How many times its resistance at 20 °C copper has at another temperature: 1 + 0.004 (t − 20); 1.20 at 70 °C.
pub fn by_temperature(celsius: f64) -> f64 {
    1.0 + figure(Name::CopperByDegree) * (celsius - TABLES_AT)
}

/// R1+R2 in ohms of a line and a cpc of these sizes over a length, at a temperature. `None` for a size that the table
/// does not have.
pub fn r1_r2(line_mm2: f64, cpc_mm2: f64, metres: f64, celsius: f64) -> Option<f64> {
    let each = milliohms_per_metre(line_mm2)? + milliohms_per_metre(cpc_mm2)?;
    Some(each * metres / 1000.0 * by_temperature(celsius))
}

/// Zs in ohms of a circuit at its working temperature of 70 °C, from Ze and from an R1+R2 measured at 20 °C:
/// Ze + (R1+R2) × 1.20 (BS 7671's definition of Zs; the multiplier from [`by_temperature`]).
pub fn zs_when_warm(ze: f64, r1_r2: f64) -> f64 {
    ze + r1_r2 * by_temperature(70.0)
}

/// The greatest r2 to r1 of any usual twin-and-earth cable: that of 16/6 mm², 2.68, with 4/1.5 mm² close to it.
pub fn greatest_cpc_share() -> f64 {
    cables()
        .iter()
        .filter_map(|cable| {
            Some(milliohms_per_metre(cable.cpc)? / milliohms_per_metre(cable.line)?)
        })
        .fold(1.0, f64::max)
}

/// What R1+R2 should come to at the sockets of a sound ring final, in ohms: (r1 + r2) / 4
/// (<https://www.scribd.com/document/72915510/Ring>).
pub fn ring_r1_r2(r1: f64, r2: f64) -> f64 {
    (r1 + r2) / 4.0
}

/// The lowest R1+R2 of a sound ring final whose cpc is smaller than its line, next to the board, in ohms:
/// r1 r2 / (r1 + r2) (the same derivation). `None` where both are nought.
pub fn ring_lowest(r1: f64, r2: f64) -> Option<f64> {
    (r1 + r2 > 0.0).then(|| r1 * r2 / (r1 + r2))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_of_cable_is_its_conductors_together() {
        // 22 m of 2.5/1.5 mm²: 22 × (7.41 + 12.1) / 1000.
        let cold = r1_r2(2.5, 1.5, 22.0, 20.0).expect("both sizes are in the table");
        assert!((cold - 0.42922).abs() < 1e-9, "{cold}");
        let warm = r1_r2(2.5, 1.5, 22.0, 70.0).expect("both sizes are in the table");
        assert!((warm / cold - 1.2).abs() < 1e-9);
        assert_eq!(r1_r2(2.5, 1.4, 22.0, 20.0), None);
    }

    #[test]
    fn the_widest_step_down_is_sixteen_to_six() {
        assert!((greatest_cpc_share() - 3.08 / 1.15).abs() < 1e-12);
    }

    #[test]
    fn a_ring_of_nothing_has_no_lowest_reading() {
        assert_eq!(ring_lowest(0.0, 0.0), None);
        assert_eq!(ring_lowest(1.0, 1.0), Some(0.5));
    }
}
