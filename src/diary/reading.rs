//! One row of a job's `readings`.

use crate::diagnose::Code;
use crate::model::{At, Device, Insulation, Private, Rcd, Reading, Ring};

use super::fields::{Fields, Reader};
use super::keys::log as keys;
use super::yaml::{Node, Value};

/// Reads one row. Which quantities it needs is a rule's affair.
pub fn read(reader: &mut Reader<'_>, node: &Node) -> Option<Reading> {
    let fields = reader.fields(node, "a reading", keys::READING)?;
    let circuit = fields.get("circuit").and_then(|node| reader.text(node));
    let measured = |reader: &mut Reader<'_>, fields: &Fields<'_>, key: &str| {
        fields.get(key).and_then(|node| reader.measured(node))
    };
    let reading = Reading {
        span: circuit.as_ref().map_or(node.span, |circuit| circuit.span),
        circuit: circuit.map(Private::new),
        visit: fields
            .get("visit")
            .and_then(|node| reader.date(node))
            .map(Private::new),
        as_found: fields
            .get("as_found")
            .and_then(|node| reader.truth(node))
            .unwrap_or_default(),
        device: fields
            .get("device")
            .and_then(|node| read_device(reader, node)),
        insulation: fields
            .get("insulation")
            .and_then(|node| reader.fields(node, "insulation", keys::INSULATION))
            .map(|fields| Insulation {
                at: fields.get("at").and_then(|node| {
                    reader.number(node, "a test voltage", 1.0, keys::HIGHEST_TEST)
                }),
                live_to_earth: measured(reader, &fields, "live_to_earth"),
                live_to_live: measured(reader, &fields, "live_to_live"),
            }),
        zs: measured(reader, &fields, "zs"),
        ze: measured(reader, &fields, "ze"),
        r1_r2: measured(reader, &fields, "r1_r2"),
        ring: fields
            .get("ring")
            .and_then(|node| reader.fields(node, "ring", keys::RING))
            .map(|fields| Ring {
                r1: measured(reader, &fields, "r1"),
                rn: measured(reader, &fields, "rn"),
                r2: measured(reader, &fields, "r2"),
            }),
        rcd: fields
            .get("rcd")
            .and_then(|node| reader.fields(node, "rcd", keys::RCD))
            .map(|fields| Rcd {
                at: fields.get("at").and_then(|node| {
                    reader.number(node, "a test current", 1.0, keys::LARGEST_TRIP)
                }),
                ms: measured(reader, &fields, "ms"),
                kind: fields.get("kind").and_then(|node| reader.text(node)),
            }),
        pfc: measured(reader, &fields, "pfc"),
        polarity: fields.get("polarity").and_then(|node| reader.text(node)),
    };
    Some(reading)
}

fn read_device(reader: &mut Reader<'_>, node: &Node) -> Option<At<Device>> {
    if let Value::Scalar { text, .. } = &node.value {
        let kind: String = text.chars().take_while(char::is_ascii_alphabetic).collect();
        let rating = text[kind.len()..].trim();
        let help = if kind.is_empty() || rating.is_empty() {
            "Write device: {type: B, rating: 32}; for a fuse the standard is its type, BS 3036 say."
                .to_owned()
        } else {
            format!("Write device: {{type: {kind}, rating: {rating}}}.")
        };
        reader.error(
            Code::WrongShape,
            node.span,
            "a device is written as its type and its rating",
            help,
        );
        return None;
    }
    let fields = reader.fields(node, "a device", keys::DEVICE)?;
    let kind = fields
        .get("type")
        .and_then(|node| reader.text(node))
        .map(|at| at.value);
    let rating = fields
        .get("rating")
        .and_then(|node| reader.number(node, "a rating in amperes", 0.1, keys::LARGEST_DEVICE))
        .map(|at| at.value);
    Some(At::new(Device { kind, rating }, node.span))
}
