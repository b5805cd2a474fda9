//! JSON Schemas of the diary's files, for editors that complete and check as one types. Made from the keys that the
//! readers go by.
//!
//! A schema knows the shape of each value by itself. What belongs together, and what stands in another file, is
//! `inspect`'s to say.

use serde_json::{Map, Value, json};

use super::keys::{Key, Shape, log, page as page_keys, price, settings};
use super::page::Folder;

/// A schema and what it is for.
#[derive(Clone, Debug)]
pub struct Schema {
    /// The name of its file.
    pub file: &'static str,
    /// The schema itself (JSON Schema, draft 7: the one that editors know best).
    pub json: Value,
}

/// The schema of each kind of file, by name.
pub fn all() -> Vec<Schema> {
    let file = |file, title: &str, shape: Value| {
        let mut json = json!({
            "$schema": "http://json-schema.org/draft-07/schema#",
            "title": title,
        });
        if let (Value::Object(whole), Value::Object(shape)) = (&mut json, shape) {
            whole.extend(shape);
        }
        Schema { file, json }
    };
    let page = |folder: Folder| map(&folder.keys());
    vec![
        file("about.json", "about.md", page(Folder::About)),
        file(
            "answer.json",
            "An answer's front matter",
            page(Folder::Answers),
        ),
        file("clients.json", "clients.yaml", shape(&page_keys::CLIENTS)),
        file("diary.json", "diary.yaml", map(settings::DIARY)),
        file("guide.json", "A guide's front matter", page(Folder::Guides)),
        file("log.json", "A job log's front matter", map(log::JOB)),
        file("price.json", "A price", map(price::PRICE)),
        file(
            "review.json",
            "A review's front matter",
            page(Folder::Reviews),
        ),
    ]
}

/// A map with these keys and no others.
fn map(keys: &[Key]) -> Value {
    let properties: Map<String, Value> = keys
        .iter()
        .map(|key| {
            let mut shape = shape(&key.shape);
            shape["description"] = key.says.into();
            (key.name.to_owned(), shape)
        })
        .collect();
    let must: Vec<&str> = keys
        .iter()
        .filter(|key| key.must)
        .map(|key| key.name)
        .collect();
    json!({
        "type": "object",
        "properties": properties,
        "required": must,
        "additionalProperties": false,
    })
}

/// What stands behind a key. In YAML `title: 2026` is a number and `item: yes` may be a truth, and both are words to us.
fn shape(shape: &Shape) -> Value {
    const DATE: &str = "^(19[789]|20[0-9]|21[0-9])[0-9]-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$";
    let text = || json!({"type": ["string", "number", "boolean"]});
    let pattern = |pattern: &str| json!({"type": "string", "pattern": pattern});
    // A minimum holds for numbers alone and a pattern for strings alone: `12` and `"12"` are both taken.
    let number = |low: f64, high: f64, pattern: &str| json!({"type": ["number", "string"], "minimum": low, "maximum": high, "pattern": pattern});
    let date = || {
        let mut date = pattern(DATE);
        date["format"] = "date".into();
        date
    };
    match shape {
        Shape::Text => text(),
        Shape::Texts => json!({"type": "array", "items": text()}),
        Shape::Truth => json!({"type": "boolean"}),
        Shape::Date => date(),
        Shape::Clock => pattern("^([01]?[0-9]|2[0-3]):[0-5][0-9]$"),
        Shape::Length => pattern(&format!("^{LENGTH}$")),
        Shape::Range => pattern(&format!("^ *{LENGTH} *(\\.\\. *{LENGTH} *)?$")),
        Shape::Money => {
            json!({
                "type": ["number", "string"],
                "minimum": 0,
                "pattern": "^(£ *)?([0-9]+|[0-9]{1,3}(,[0-9]{3})+)(\\.[0-9]{2})?$",
            })
        }
        Shape::Number(low, high) => number(*low, *high, "^[0-9]*\\.?[0-9]+$|^[0-9]+\\.$"),
        Shape::Whole(low, high) => {
            let mut whole = number(*low, *high, "^[0-9]+$");
            whole["multipleOf"] = 1.into();
            whole
        }
        Shape::Measured => number(
            0.0,
            1e6,
            "^(> *)?([0-9]*\\.?[0-9]+|[0-9]+\\.)$|^[Ll][Ii][Mm]$",
        ),
        Shape::Publish => json!({"anyOf": [{"const": "ready"}, date()]}),
        Shape::Ref => json!({
            "type": ["string", "integer"],
            "pattern": "^[A-Za-z0-9][A-Za-z0-9-]{0,39}$",
        }),
        Shape::Address => pattern("^https?://[A-Za-z0-9_~-]"),
        Shape::Words(words) => json!({"enum": words}),
        Shape::Keys(keys) => map(keys),
        Shape::List(each) => json!({"type": "array", "items": self::shape(each)}),
        Shape::OneOrMore(each) => {
            json!({"type": "array", "items": self::shape(each), "minItems": 1})
        }
        Shape::Named(each) => json!({
            "type": "object",
            "propertyNames": {"pattern": "^[a-z0-9][a-z0-9-]*$"},
            "additionalProperties": self::shape(each),
        }),
        Shape::Called(each) => {
            json!({"type": "object", "additionalProperties": self::shape(each)})
        }
        Shape::AddressOrKeys(keys) => {
            json!({"anyOf": [self::shape(&Shape::Address), map(keys)]})
        }
    }
}

/// `45m`, `2h`, `2h15`, `2h 15m`, `1.5h`.
const LENGTH: &str = "([0-9]+m|[0-9]+h *([0-5]?[0-9]m?)?|[0-9]+\\.[0-9]+h)";

#[cfg(test)]
mod tests {
    use super::super::read_files;
    use super::*;
    use crate::diagnose::{Code, Level};

    /// What a shape by itself can be wrong in; faults between values and between files are none of a schema's.
    const OF_FORM: [Code; 12] = [
        Code::WrongShape,
        Code::UnknownKey,
        Code::MissingKey,
        Code::UnknownWord,
        Code::BadAddress,
        Code::BadClock,
        Code::BadDate,
        Code::BadLength,
        Code::BadMoney,
        Code::BadNumber,
        Code::BadReading,
        Code::BadRef,
    ];

    /// Values that a shape takes, each part of a map tried in turn. The first is the plainest.
    fn right(shape: &Shape) -> Vec<Value> {
        let some = |values: &[&str]| values.iter().map(|value| json!(value)).collect::<Vec<_>>();
        let each = |shape: &Shape| right(shape).into_iter();
        match shape {
            // Three capitals pass for a currency, a language and a word.
            Shape::Text => some(&["GBP"]),
            Shape::Texts => vec![json!(["one", "two"]), json!([])],
            Shape::Truth => vec![json!(true), json!(false)],
            Shape::Date => some(&["2026-03-02", "1970-12-31"]),
            Shape::Clock => some(&["8:15", "08:15", "23:59", "0:00"]),
            Shape::Length => some(&["45m", "2h", "2h15", "1.5h", "2h 15m", "1h5", "100m"]),
            Shape::Range => some(&["2h..4h", "45m .. 1h30", "2h"]),
            Shape::Money => {
                let mut money = some(&["504.00", "1,504.00", "£504", "£ 5.00"]);
                money.extend([json!(504), json!(0.45)]);
                money
            }
            Shape::Number(low, high) => {
                let middle = f64::midpoint(*low, *high);
                vec![json!(middle), json!(high), json!(format!("{middle}"))]
            }
            Shape::Whole(low, high) => vec![json!(low + 1.0), json!(high), json!("6")],
            Shape::Measured => {
                let mut measured = some(&[">200", "> 200", "LIM", "lim", "0.82"]);
                measured.push(json!(0.82));
                measured
            }
            Shape::Publish => some(&["ready", "2026-03-20"]),
            Shape::Ref => {
                let mut refs = some(&["2026-031", "J7"]);
                refs.push(json!(2026));
                refs
            }
            Shape::Address => some(&["https://example.com", "http://example.com/diary"]),
            Shape::Words(words) => some(words),
            Shape::Keys(keys) => maps(keys, right),
            Shape::List(shape) => each(shape)
                .map(|value| json!([value]))
                .chain([json!([])])
                .collect(),
            Shape::OneOrMore(shape) => each(shape).map(|value| json!([value])).collect(),
            Shape::Named(shape) => each(shape).map(|value| json!({"a-1": value})).collect(),
            Shape::Called(shape) => each(shape).map(|value| json!({"A 1": value})).collect(),
            Shape::AddressOrKeys(keys) => {
                let mut all = some(&["https://example.com/film"]);
                all.extend(maps(keys, right));
                all
            }
        }
    }

    /// Values that a shape does not take, each for one reason.
    fn wrong(shape: &Shape) -> Vec<Value> {
        let some = |values: &[&str]| values.iter().map(|value| json!(value)).collect::<Vec<_>>();
        let each = |shape: &Shape| wrong(shape).into_iter();
        let mut all = match shape {
            Shape::Text => vec![json!(["GBP"]), json!({"a": "GBP"})],
            Shape::Texts => vec![json!("GBP"), json!([["GBP"]])],
            Shape::Truth => vec![json!("true"), json!("yes"), json!(1)],
            Shape::Date => some(&[
                "2 March 2026",
                "2026-3-2",
                "2026-13-02",
                "1926-03-02",
                "02-03-2026",
            ]),
            Shape::Clock => some(&["8.15", "24:00", "8:60", "815", "5pm"]),
            Shape::Length => some(&["45", "1:30", "2h75", "1.5", "2 hours", "1.5h30"]),
            Shape::Range => some(&["2..4", "2h-4h", "2h..", "soon"]),
            Shape::Money => {
                let mut money = some(&["5.5", "-5.00", "12,00.00", "5.005", "lots"]);
                money.push(json!(-5));
                money
            }
            Shape::Number(_, high) => {
                vec![json!("many"), json!("1e3"), json!(-1), json!(high * 2.0)]
            }
            Shape::Whole(_, high) => vec![json!("many"), json!(1.5), json!(high * 2.0)],
            Shape::Measured => {
                let mut measured = some(&["0.82 ohm", "LIMIT", "<5", ""]);
                measured.push(json!(-1));
                measured
            }
            Shape::Publish => some(&["soon", "20 March", "Ready"]),
            Shape::Ref => some(&["2026/31", "-1", "", "two words"]),
            Shape::Address => some(&["example.com", "ftp://example.com"]),
            Shape::Words(_) => some(&["none of these"]),
            Shape::Keys(keys) => wrong_maps(keys).chain([json!("GBP")]).collect(),
            Shape::List(shape) => each(shape).map(|value| json!([value])).collect(),
            Shape::OneOrMore(shape) => each(shape)
                .map(|value| json!([value]))
                .chain([json!([])])
                .collect(),
            Shape::Named(shape) => each(shape)
                .map(|value| json!({"a-1": value}))
                .chain([json!("GBP"), json!({"Two Words": right(shape)[0]})])
                .collect(),
            Shape::Called(shape) => each(shape)
                .map(|value| json!({"A 1": value}))
                .chain([json!("GBP")])
                .collect(),
            Shape::AddressOrKeys(keys) => wrong_maps(keys).collect(),
        };
        if !matches!(shape, Shape::Texts | Shape::List(_) | Shape::OneOrMore(_)) {
            all.push(json!([]));
        }
        all
    }

    /// The plainest map of these keys.
    fn plain(keys: &[Key]) -> Map<String, Value> {
        let must = keys.iter().filter(|key| key.must);
        must.map(|key| (key.name.to_owned(), right(&key.shape).swap_remove(0)))
            .collect()
    }

    /// The plainest map, and it again with each value of each key.
    fn maps(keys: &[Key], values: fn(&Shape) -> Vec<Value>) -> Vec<Value> {
        let each = keys.iter().flat_map(|key| {
            values(&key.shape).into_iter().map(|value| {
                let mut map = plain(keys);
                map.insert(key.name.to_owned(), value);
                Value::Object(map)
            })
        });
        std::iter::once(Value::Object(plain(keys)))
            .chain(each)
            .collect()
    }

    fn wrong_maps(keys: &[Key]) -> impl Iterator<Item = Value> {
        let without = keys.iter().filter(|key| key.must).map(|key| {
            let mut map = plain(keys);
            map.remove(key.name);
            Value::Object(map)
        });
        let mut unknown = plain(keys);
        unknown.insert("locaton".to_owned(), json!("GBP"));
        maps(keys, wrong)
            .into_iter()
            .skip(1)
            .chain(without)
            .chain([Value::Object(unknown)])
    }

    /// A kind of file: its schema, a path that it may have, and the shape of the whole.
    fn kinds() -> Vec<(&'static str, &'static str, Shape)> {
        // The readers put the lists of a page together for each folder; the tests may leave them standing.
        let page = |folder: Folder| Shape::Keys(Box::leak(folder.keys().into_boxed_slice()));
        vec![
            ("about.json", "about.md", page(Folder::About)),
            ("answer.json", "answers/a.md", page(Folder::Answers)),
            ("clients.json", "clients.yaml", page_keys::CLIENTS),
            ("diary.json", "diary.yaml", Shape::Keys(settings::DIARY)),
            ("guide.json", "guides/a.md", page(Folder::Guides)),
            ("log.json", "jobs/a.md", Shape::Keys(log::JOB)),
            ("price.json", "prices/a.yaml", Shape::Keys(price::PRICE)),
            ("review.json", "reviews/a.md", page(Folder::Reviews)),
        ]
    }

    /// What the program says of the form of a file that holds this.
    fn faults(path: &str, value: &Value) -> Vec<String> {
        let text = match path.ends_with(".md") {
            true => format!("---\n{value}\n---\n# A page\n"),
            false => value.to_string(),
        };
        read_files(vec![(path.to_owned(), text.into_bytes())])
            .diagnostics
            .iter()
            .filter(|fault| fault.level == Level::Error && OF_FORM.contains(&fault.code))
            .map(|fault| format!("{}: {}", fault.code, fault.message))
            .collect()
    }

    /// The readers take and refuse what the keys say. The same values go to a validator of another language where
    /// `SCHEMA_CASES` names a file for them: `tests/schemas/check.py`.
    #[test]
    fn the_readers_hold_to_the_shapes_of_the_keys() {
        let mut cases = Vec::new();
        let mut apart = Vec::new();
        for (schema, path, whole) in kinds() {
            for (fits, values) in [(true, right(&whole)), (false, wrong(&whole))] {
                assert!(values.len() > 5, "{schema}");
                for value in values {
                    let faults = faults(path, &value);
                    if faults.is_empty() != fits {
                        apart.push(format!("{path}: {value}: {faults:?}"));
                    }
                    cases.push(json!({"schema": schema, "fits": fits, "value": value}));
                }
            }
        }
        assert_eq!(apart, Vec::<String>::new());
        if let Some(file) = std::env::var_os("SCHEMA_CASES") {
            std::fs::write(file, json!(cases).to_string()).expect("written");
        }
    }

    #[test]
    fn every_kind_of_file_has_a_schema() {
        let of_kinds: Vec<&str> = kinds().iter().map(|(schema, ..)| *schema).collect();
        let made: Vec<&str> = all().iter().map(|schema| schema.file).collect();
        assert_eq!(made, of_kinds);
    }
}
