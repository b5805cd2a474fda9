//! A job of a note put into a log that is there: insertions into its front matter, and private blocks at its end.

use jiff::civil::Date;

use super::body::{self, Kept};
use super::entry::{self, Dated};
use super::insert::{self, Document, Insertion, Place, Unsure, line_end_of};
use super::note::NoteJob;
use super::yaml::Yaml;
use crate::diagnose::Sources;
use crate::diary::yaml::{Node, Value};
use crate::diary::{JOB_KEYS, front_matter};

/// The insertions that put a job into a log's text.
///
/// # Errors
/// The log's layout is one that they cannot be put into surely.
pub fn insertions(
    text: &str,
    job: &NoteJob,
    kept: &Kept,
    mark: &str,
    scenes: &[(String, String)],
) -> Result<Vec<Insertion>, Unsure> {
    let file = Sources::default().add("x", "");
    let yaml = front_matter::split(file, text)
        .ok()
        .and_then(|parts| parts.yaml)
        .ok_or(Unsure::Broken)?;
    let document = Document::new(text, yaml)?;
    let mut found = Vec::new();
    if !job.visits.is_empty() {
        for (key, entries) in entry::lists(job, Dated::Yes) {
            if key == "visits" {
                for (entry, visit) in entries.iter().zip(&job.visits) {
                    let place = document
                        .get("visits")
                        .map_or(Place::Last, |list| place_by_date(list, visit.date));
                    found.push(document.append(
                        key,
                        &before(key),
                        std::slice::from_ref(entry),
                        place,
                    )?);
                }
            } else {
                found.push(document.append(
                    key,
                    &before(key),
                    &as_rows(key, entries),
                    Place::Last,
                )?);
            }
        }
    } else {
        // Without a visit there is neither finding nor reading: what is left is materials.
        for (key, entries) in entry::lists(job, Dated::No)
            .into_iter()
            .filter(|(key, _)| *key != "visits")
        {
            found.push(document.append(key, &before(key), &as_rows(key, entries), Place::Last)?);
        }
    }
    let end = line_end_of(text);
    let mut blocks = String::new();
    if !text.ends_with(['\n', '\r']) {
        blocks.push_str(end);
    }
    blocks.push_str(end);
    blocks.push_str(&body::blocks(job, kept, mark, scenes, end));
    found.push(Insertion {
        at: text.len(),
        text: blocks,
    });
    Ok(found)
}

/// A material is short and reads best as a row.
fn as_rows(key: &str, entries: Vec<Yaml>) -> Vec<Yaml> {
    if key != "materials" {
        return entries;
    }
    entries
        .iter()
        .map(|entry| Yaml::Scalar(entry.flow()))
        .collect()
}

/// The keys of a log before a list, so that a new one stands where a reader looks for it.
fn before(key: &str) -> Vec<&'static str> {
    let names = JOB_KEYS.iter().map(|known| known.name);
    names.take_while(|name| *name != key).collect()
}

/// After the last visit that is not later; a list in brackets takes it at its end.
fn place_by_date(list: &Node, date: Date) -> Place {
    let Value::List(items) = &list.value else {
        return Place::Last;
    };
    let day = |item: &Node| match insert::entry(item, "date").map(|(_, node)| &node.value) {
        Some(Value::Scalar { text, .. }) => text.trim().parse::<Date>().ok(),
        _ => None,
    };
    let last = items
        .iter()
        .rposition(|item| day(item).is_some_and(|day| day <= date));
    match last {
        Some(at) if at + 1 == items.len() => Place::Last,
        Some(at) => Place::After(at),
        None if items.iter().all(|item| day(item).is_some()) && !items.is_empty() => Place::First,
        None => Place::Last,
    }
}
