//! A reading without its circuit, or a Zs or RCD time without its device: a number with no device proves nothing.
//!
//! Common practice of the trade, no source. Whether a value lies within its published figure is not asked here.

use crate::diagnose::{Code, Diagnostic};
use crate::model::{Job, Measured, Reading};
use crate::trade::Quantity;
use crate::trade::superseded;

/// At most one warning for each reading, at its first line. A limitation (`LIM`) needs no device.
pub fn check(job: &Job, said: &mut Vec<Diagnostic>) {
    for (index, reading) in job.readings.iter().enumerate() {
        let no_circuit = reading.circuit.is_none();
        if !no_circuit && is_history(job, index) {
            continue;
        }
        let quantity = wants_device(reading);
        let (message, help) = match (no_circuit, quantity) {
            (false, None) => continue,
            (true, None) => (
                "this reading does not say which circuit it was taken on".to_owned(),
                "Write circuit: and its name on the chart, or circuit: origin for a reading at the intake.",
            ),
            (false, Some(quantity)) => (
                format!("this {quantity} has no device to be held against"),
                "Write the device of the circuit: device: {type: B, rating: 32}.",
            ),
            (true, Some(quantity)) => (
                format!("this {quantity} has neither circuit nor device"),
                "Write both: circuit: Kitchen sockets, device: {type: B, rating: 32}.",
            ),
        };
        said.push(Diagnostic::warning(
            Code::ReadingIncomplete,
            reading.span,
            message,
            help,
        ));
    }
}

/// The measured quantity that has no use without its device, where the device is not wholly written.
fn wants_device(reading: &Reading) -> Option<&'static str> {
    let device = reading.device.as_ref();
    if zs(reading) && !device.is_some_and(|device| device.kind.is_some() && device.rating.is_some())
    {
        return Some("Zs");
    }
    (rcd(reading) && device.is_none()).then_some("RCD time")
}

fn zs(reading: &Reading) -> bool {
    reading
        .zs
        .as_ref()
        .is_some_and(|zs| zs.value != Measured::Limitation)
}

fn rcd(reading: &Reading) -> bool {
    let ms = reading.rcd.as_ref().and_then(|rcd| rcd.ms.as_ref());
    ms.is_some_and(|ms| ms.value != Measured::Limitation)
}

/// Whether all that wants a device was taken as found and measured again on the same circuit: then the later counts.
fn is_history(job: &Job, index: usize) -> bool {
    let reading = &job.readings[index];
    reading.as_found
        && (!zs(reading) || superseded(&job.readings, index, Quantity::Zs))
        && (!rcd(reading) || superseded(&job.readings, index, Quantity::Rcd))
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::told;

    fn with(readings: &[&str]) -> String {
        let lines: String = readings
            .iter()
            .map(|reading| format!("  - {{{reading}}}\n"))
            .collect();
        told(&format!(
            "visits: [{{date: 2026-11-12, time: 2h}}]\nreadings:\n{lines}"
        ))
    }

    #[test]
    fn a_zs_or_an_rcd_time_with_no_device_is_asked_about() {
        insta::assert_snapshot!(with(&[
            "circuit: Sockets, zs: 0.92",
            "circuit: Sockets, rcd: {at: 30, ms: 24}",
            "circuit: Lights, device: {type: B}, zs: 1.1",
        ]), @r#"
        jobs/2026/a.md, line 7: warning: this Zs has no device to be held against.
            7 |   - {circuit: Sockets, zs: 0.92}
              |               ^^^^^^^
        Write the device of the circuit: device: {type: B, rating: 32}. (reading-incomplete)

        jobs/2026/a.md, line 8: warning: this RCD time has no device to be held against.
            8 |   - {circuit: Sockets, rcd: {at: 30, ms: 24}}
              |               ^^^^^^^
        Write the device of the circuit: device: {type: B, rating: 32}. (reading-incomplete)

        jobs/2026/a.md, line 9: warning: this Zs has no device to be held against.
            9 |   - {circuit: Lights, device: {type: B}, zs: 1.1}
              |               ^^^^^^
        Write the device of the circuit: device: {type: B, rating: 32}. (reading-incomplete)

        3 warnings.
        "#);
    }

    #[test]
    fn a_reading_with_no_circuit_is_asked_about_once() {
        insta::assert_snapshot!(with(&["zs: 0.92", "insulation: {at: 500, live_to_earth: 120}"]), @r#"
        jobs/2026/a.md, line 7: warning: this Zs has neither circuit nor device.
            7 |   - {zs: 0.92}
              |     ^^^^^^^^^^
        Write both: circuit: Kitchen sockets, device: {type: B, rating: 32}. (reading-incomplete)

        jobs/2026/a.md, line 8: warning: this reading does not say which circuit it was taken on.
            8 |   - {insulation: {at: 500, live_to_earth: 120}}
              |     ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
        Write circuit: and its name on the chart, or circuit: origin for a reading at
        the intake.                                                     (reading-incomplete)

        2 warnings.
        "#);
    }

    #[test]
    fn what_needs_no_device_and_what_was_measured_again_is_left_alone() {
        assert_eq!(
            with(&[
                "circuit: origin, ze: 0.35, pfc: 1.1",
                "circuit: Sockets, zs: LIM",
                "circuit: Lights, as_found: true, zs: 9.1",
                "circuit: lights, device: {type: B, rating: 6}, zs: 1.1",
            ]),
            ""
        );
    }
}
