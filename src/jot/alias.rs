//! A spelling learnt: added to `also` in `diary.yaml`, under the task type or the line of the price book that it
//! stands for. Everything that stood there stays.

use std::fmt;

use super::insert::{self, Document, Insertion, Place, Unsure};
use super::near::Near;
use super::vocabulary::Group;
use super::yaml::Yaml;
use crate::diary::yaml::{Node, Value};

/// Why a spelling was not added.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotLearnt {
    /// The diary has no such task type or material.
    NotThere(String),
    /// It has no place for such a word.
    NoPlace,
    /// `diary.yaml` is laid out in a way that jot does not write into.
    Layout(Unsure),
}

impl fmt::Display for NotLearnt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NotLearnt::NotThere(what) => write!(
                f,
                "diary.yaml has no {what} of its own, so the spelling counts for this note only. Add it there and it can be kept"
            ),
            NotLearnt::NoPlace => f.write_str("diary.yaml has no place for this word, so it counts for this note only"),
            NotLearnt::Layout(_) => f.write_str(
                "diary.yaml is laid out in a way that jot does not write into, so the spelling counts for this note only. Add it under also: by hand",
            ),
        }
    }
}

/// `diary.yaml` with a spelling added.
///
/// # Errors
/// Says why it could not be.
pub fn learn(text: &str, near: &Near) -> Result<String, NotLearnt> {
    let start = if text.starts_with('\u{feff}') { 3 } else { 0 };
    let document = Document::new(text, start..text.len()).map_err(NotLearnt::Layout)?;
    let not_there = || NotLearnt::NotThere(near.meaning.clone());
    let node = match near.group {
        Group::Task => {
            let tasks = document.get("tasks").ok_or_else(not_there)?;
            insert::entry(tasks, &near.meaning).map(|(_, node)| node)
        }
        Group::Material => {
            let materials = document.get("materials").ok_or_else(not_there)?;
            material(materials, &near.meaning)
        }
        _ => return Err(NotLearnt::NoPlace),
    };
    let node = node.ok_or_else(not_there)?;
    let insertion = add(&document, node, &near.typed).map_err(NotLearnt::Layout)?;
    Ok(insert::apply(text, &[insertion]))
}

fn material<'n>(materials: &'n Node, item: &str) -> Option<&'n Node> {
    let Value::List(items) = &materials.value else {
        return None;
    };
    items.iter().find(
        |node| match insert::entry(node, "item").map(|(_, node)| &node.value) {
            Some(Value::Scalar { text, .. }) => {
                text.split_whitespace().collect::<Vec<_>>().join(" ") == item
            }
            _ => false,
        },
    )
}

fn add(document: &Document<'_>, node: &Node, spelling: &str) -> Result<Insertion, Unsure> {
    let spelling = Yaml::text(spelling);
    match insert::entry(node, "also") {
        Some((_, also)) if !also.is_empty() => {
            document.append_to_list(also, &[spelling], Place::Last, "also")
        }
        Some(_) => Err(Unsure::NoList("also")),
        None => document.add_key(node, "also", &Yaml::List(vec![spelling])),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(group: Group, typed: &str, meaning: &str) -> Near {
        Near {
            line: 1,
            whole: typed.to_owned(),
            typed: typed.to_owned(),
            group,
            spelling: String::new(),
            meaning: meaning.to_owned(),
        }
    }

    #[test]
    fn a_spelling_goes_into_every_layout_and_nothing_else_changes() {
        let socket = near(Group::Task, "sokets", "socket");
        for (before, after) in [
            (
                "tasks:   # mine\n  socket: {name: Socket, also: [skt, s/o]}   # often\n",
                "tasks:   # mine\n  socket: {name: Socket, also: [skt, s/o, sokets]}   # often\n",
            ),
            (
                "tasks:\n  socket: {name: Socket, also: []}\n",
                "tasks:\n  socket: {name: Socket, also: [sokets]}\n",
            ),
            (
                "tasks:\n  socket: {name: Socket, unit: each}  # x\n",
                "tasks:\n  socket: {name: Socket, unit: each, also: [sokets]}  # x\n",
            ),
            (
                "tasks:\r\n  socket:\r\n    name: Socket   # x\r\n  fan: {name: Fan}\r\n",
                "tasks:\r\n  socket:\r\n    name: Socket   # x\r\n    also: [sokets]\r\n  fan: {name: Fan}\r\n",
            ),
            (
                "tasks:\n  socket:\n    also:\n      - skt # first\n      # second\n    name: Socket\n",
                "tasks:\n  socket:\n    also:\n      - skt # first\n      - sokets\n      # second\n    name: Socket\n",
            ),
            (
                "tasks: {socket: {name: Socket, also: [skt]}, fan: {name: Fan}}\n",
                "tasks: {socket: {name: Socket, also: [skt, sokets]}, fan: {name: Fan}}\n",
            ),
        ] {
            assert_eq!(learn(before, &socket).as_deref(), Ok(after), "{before}");
        }
    }

    #[test]
    fn a_material_is_found_by_its_name() {
        let before = "materials:\n  - {item: Box, cost: 1.00}\n  - {item: \"Gland, outdoor\", also: [gland]}\n";
        let after = "materials:\n  - {item: Box, cost: 1.00}\n  - {item: \"Gland, outdoor\", also: [gland, glnd]}\n";
        assert_eq!(
            learn(before, &near(Group::Material, "glnd", "Gland, outdoor")).as_deref(),
            Ok(after)
        );
    }

    #[test]
    fn what_has_no_place_is_told() {
        let text = "tasks:\n  socket: {name: Socket}\n";
        assert_eq!(
            learn(text, &near(Group::Task, "fam", "fan")),
            Err(NotLearnt::NotThere("fan".to_owned()))
        );
        assert_eq!(
            learn(text, &near(Group::Parking, "parknig", "parking")),
            Err(NotLearnt::NoPlace)
        );
    }
}
