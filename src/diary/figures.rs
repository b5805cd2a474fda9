//! `figures` of `diary.yaml`: figures that readings are held against instead of the published ones.
//!
//! Knows no published figure: which one a figure of the diary takes the place of is the trade's to say.

use crate::diagnose::{Code, Diagnostic, Span};
use crate::model::{OwnFigures, OwnMaxRcd, OwnMaxZs, OwnMinInsulation};

use super::fields::{Fields, Reader};
use super::keys::log::{HIGHEST_TEST, LARGEST_DEVICE};
use super::keys::settings as keys;
use super::shorten::shorten;
use super::yaml::Node;

/// A figure, what it is for, and where it stands.
type Placed<T> = (T, String, Span);

/// Reads the figures; what cannot be read is left out, its fault told. Two figures for one thing are an error at the
/// second.
pub fn read(reader: &mut Reader<'_>, node: &Node) -> OwnFigures {
    let Some(fields) = reader.fields(node, "figures", keys::FIGURES) else {
        return OwnFigures::default();
    };
    OwnFigures {
        max_zs: list(
            reader,
            &fields,
            "max_zs",
            "{type: B, rating: 32, ohms: 1.30, source: maker's sheet}",
            read_max_zs,
        ),
        min_insulation: list(
            reader,
            &fields,
            "min_insulation",
            "{at: 500, megohms: 2, source: the landlord's terms}",
            read_min_insulation,
        ),
        max_rcd: list(
            reader,
            &fields,
            "max_rcd",
            "{kind: general, times: 1, ms: 200, source: maker's sheet}",
            read_max_rcd,
        ),
    }
}

fn list<T>(
    reader: &mut Reader<'_>,
    fields: &Fields<'_>,
    key: &str,
    like: &str,
    each: fn(&mut Reader<'_>, &Node) -> Option<Placed<T>>,
) -> Vec<T> {
    let Some(node) = fields.get(key) else {
        return Vec::new();
    };
    let mut seen: Vec<(String, Span)> = Vec::new();
    let mut kept = Vec::new();
    for node in reader.list(node, &format!("Write each after a dash: - {like}.")) {
        let Some((figure, of, span)) = each(reader, node) else {
            continue;
        };
        if let Some((_, first)) = seen.iter().find(|(other, _)| *other == of) {
            reader.faults.push(
                Diagnostic::error(
                    Code::DuplicateKey,
                    span,
                    format!("there are two figures for {of} under {key}"),
                    "Keep one of them.",
                )
                .also(*first, "the other one"),
            );
        } else {
            kept.push(figure);
            seen.push((of, span));
        }
    }
    kept
}

fn read_max_zs(reader: &mut Reader<'_>, node: &Node) -> Option<Placed<OwnMaxZs>> {
    let fields = reader.fields(node, "a maximum Zs", keys::MAX_ZS)?;
    let what = "this maximum Zs";
    let kind = text(reader, &fields, "type", what, "Write its type: type: B.");
    let rating = number(
        reader,
        &fields,
        ("rating", what, "Write its rating: rating: 32."),
        ("a rating in amperes", 0.1, LARGEST_DEVICE),
    );
    let ohms = number(
        reader,
        &fields,
        ("ohms", what, "Write the figure: ohms: 1.30."),
        ("a maximum Zs in ohms", 0.01, keys::MOST_FIGURE),
    );
    let source = source(reader, &fields, what);
    let (kind, rating) = (kind?, rating?);
    let of = format!("{} {rating} A", kind.to_lowercase());
    let figure = OwnMaxZs {
        kind,
        rating,
        ohms: ohms?,
        source: source?,
    };
    Some((figure, of, node.span))
}

fn read_min_insulation(reader: &mut Reader<'_>, node: &Node) -> Option<Placed<OwnMinInsulation>> {
    let fields = reader.fields(node, "a minimum insulation", keys::MIN_INSULATION)?;
    let what = "this minimum insulation";
    let at = number(
        reader,
        &fields,
        ("at", what, "Write the test voltage: at: 500."),
        ("a test voltage", 1.0, HIGHEST_TEST),
    );
    let megohms = number(
        reader,
        &fields,
        ("megohms", what, "Write the figure: megohms: 2."),
        ("a minimum in megohms", 0.001, keys::MOST_FIGURE),
    );
    let source = source(reader, &fields, what);
    let at = at?;
    let figure = OwnMinInsulation {
        at,
        megohms: megohms?,
        source: source?,
    };
    Some((figure, format!("{at} V"), node.span))
}

fn read_max_rcd(reader: &mut Reader<'_>, node: &Node) -> Option<Placed<OwnMaxRcd>> {
    let fields = reader.fields(node, "a maximum RCD time", keys::MAX_RCD)?;
    let what = "this maximum RCD time";
    let kind = text(
        reader,
        &fields,
        "kind",
        what,
        "Write its kind: kind: general.",
    );
    let times = number(
        reader,
        &fields,
        (
            "times",
            what,
            "Write how many times its rated current the test is: times: 1.",
        ),
        ("a multiple of the rated current", 0.5, 10.0),
    );
    let ms = number(
        reader,
        &fields,
        ("ms", what, "Write the figure: ms: 200."),
        ("a time in milliseconds", 1.0, keys::MOST_FIGURE),
    );
    let source = source(reader, &fields, what);
    let (kind, times) = (kind?, times?);
    let of = format!("{} at {times} times", kind.to_lowercase());
    let figure = OwnMaxRcd {
        kind,
        times,
        ms: ms?,
        source: source?,
    };
    Some((figure, of, node.span))
}

/// A figure without its source cannot be held against anything: nobody could look it up.
fn source(reader: &mut Reader<'_>, fields: &Fields<'_>, what: &str) -> Option<String> {
    let help = "Write where the figure comes from: source: maker's sheet.";
    text(reader, fields, "source", what, help)
}

fn text(
    reader: &mut Reader<'_>,
    fields: &Fields<'_>,
    key: &str,
    what: &str,
    help: &str,
) -> Option<String> {
    let node = reader.required(fields, key, what, fields.span, help)?;
    let text = reader.text(node)?;
    if text.is_empty() {
        reader.error(
            Code::EmptyValue,
            node.span,
            format!("{} is no {key}", shorten(&text)),
            help,
        );
        return None;
    }
    Some(text.value)
}

fn number(
    reader: &mut Reader<'_>,
    fields: &Fields<'_>,
    (key, what, help): (&str, &str, &str),
    (name, low, high): (&str, f64, f64),
) -> Option<f64> {
    let node = reader.required(fields, key, what, fields.span, help)?;
    Some(reader.number(node, name, low, high)?.value)
}
