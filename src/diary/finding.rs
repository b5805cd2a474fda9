//! What was found on a job, with its code, who was told and whether it was put right.

use crate::model::{Finding, FindingCode, Private, Told, told};

use super::fields::Reader;
use super::keys::log as keys;
use super::yaml::Node;

/// Reads one finding. `None` where what was seen, or its code, is missing or cannot be read; each fault is told.
pub fn read(reader: &mut Reader<'_>, node: &Node) -> Option<Finding> {
    let fields = reader.fields(node, "a finding", keys::FINDING)?;
    let what = reader
        .required(
            &fields,
            "what",
            "this finding",
            node.span,
            "Write what was seen: what: Circuit chart missing.",
        )
        .and_then(|node| reader.text(node));
    let codes = [
        ("C1", FindingCode::C1),
        ("C2", FindingCode::C2),
        ("C3", FindingCode::C3),
        ("FI", FindingCode::FI),
        ("note", FindingCode::Note),
    ];
    let at = what.as_ref().map_or(node.span, |what| what.span);
    let code = reader
        .required(
            &fields,
            "code",
            "this finding",
            at,
            "Write code: and one of C1, C2, C3, FI, note.",
        )
        .and_then(|node| reader.word(node, "observation code", &codes));
    let truth = |reader: &mut Reader<'_>, key: &str| {
        fields
            .get(key)
            .and_then(|node| reader.truth(node))
            .unwrap_or_default()
    };
    let refused = truth(reader, "refused");
    // A flag that cannot be read must not publish the finding: its error stops the press.
    let private = truth(reader, "private");
    Some(Finding {
        location: fields.get("where").and_then(|node| reader.text(node)),
        done: fields.get("done").and_then(|node| reader.text(node)),
        told: fields.get("told").and_then(|node| read_told(reader, node)),
        put_right: fields
            .get("put_right")
            .and_then(|node| reader.date(node))
            .map(Private::new),
        refused,
        visit: fields
            .get("visit")
            .and_then(|node| reader.date(node))
            .map(Private::new),
        private,
        what: what?,
        code: code?.value,
    })
}

fn read_told(reader: &mut Reader<'_>, node: &Node) -> Option<Told> {
    let fields = reader.fields(node, "told", keys::TOLD)?;
    let who = fields.get("who").and_then(|node| reader.text(node));
    Some(Told {
        role: who.as_ref().and_then(|who| told::role(who)),
        who: who.map(Private::new),
        on: fields
            .get("on")
            .and_then(|node| reader.date(node))
            .map(Private::new),
        how: fields.get("how").and_then(|node| reader.text(node)),
        span: node.span,
    })
}
