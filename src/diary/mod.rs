//! A folder of texts read into the model: folder, text, spanned YAML, typed values; each file on its own, every
//! error kept. Decides nothing about what a colleague would say of a diary: that is `rules`.

mod addresses;
mod blocks;
pub mod body;
mod brackets;
mod came_back;
pub mod captions;
mod clients;
mod clock;
mod cross;
mod cut_short;
pub mod dates;
mod drawing;
mod few;
mod fields;
mod figures;
mod film;
mod finding;
pub mod front_matter;
mod job;
mod kept;
mod keys;
pub mod links;
pub mod markdown;
mod offsets;
pub mod pace;
mod page;
pub mod photo;
pub mod photo_block;
mod pictures;
mod price;
pub mod question;
mod reading;
pub mod schema;
mod settings;
mod shorten;
pub mod store;
mod taken;
mod visit;
pub mod yaml;
mod yaml_fault;

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use rayon::prelude::*;

use crate::diagnose::{Code, Diagnostic, FileId, Level, Sources, Span};
use crate::model::{
    Body, Client, Diary, Drawing, Job, Page, Photo, Price, Private, Settings, Sheet,
};

pub use few::read_few;
pub use kept::Kept;
pub use keys::log::JOB as JOB_KEYS;

use cross::Clients;
use fields::Reader;
use film::Order;
use store::{Content, Found, StoreError};
use taken::{Kind, Taken, kind_of, take_in};

/// A diary as far as it could be read, with everything wrong in it.
#[derive(Clone, Debug)]
pub struct Read {
    /// The texts.
    pub sources: Sources,
    /// What they say.
    pub diary: Diary,
    /// What is wrong with them, in no order yet.
    pub diagnostics: Vec<Diagnostic>,
}

/// Reads the diary in a folder.
///
/// # Errors
/// The folder itself cannot be read. What is wrong with single files is in the diagnostics.
pub fn read(root: &Path) -> Result<Read, StoreError> {
    Ok(read_found(store::gather(root, &is_text)?, None))
}

/// Reads the diary in a folder again: the same as [`read`], sooner where little has changed since `kept` was last given.
///
/// # Errors
/// As [`read`].
pub fn read_again(root: &Path, kept: &mut Kept) -> Result<Read, StoreError> {
    Ok(read_found(store::gather(root, &is_text)?, Some(kept)))
}

/// Whether a file is read whole: photos are looked at when they are shown, and what is neither is not.
fn is_text(path: &str) -> bool {
    !matches!(kind_of(path), Kind::Photo | Kind::Other)
}

/// Reads a diary from texts in memory: paths relative to the diary, with their bytes.
pub fn read_files(files: Vec<(String, Vec<u8>)>) -> Read {
    let mut found: Vec<Found> = files
        .into_iter()
        .map(|(path, bytes)| Found {
            path,
            content: Ok(Content::Read(bytes)),
        })
        .collect();
    found.sort_by(|a, b| a.path.cmp(&b.path));
    read_found(found, None)
}

/// A text with its file's path.
type Text = (FileId, String, Arc<str>);

/// What one file gives.
#[derive(Clone)]
enum Piece {
    Job(Box<Job>),
    Page(Box<Page>),
    Price(Box<Price>),
    Nothing,
}

fn read_found(found: Vec<Found>, kept: Option<&mut Kept>) -> Read {
    let mut diagnostics = Vec::new();
    let mut sources = Sources::default();
    let mut texts: Vec<Text> = Vec::new();
    let mut drawings = BTreeMap::new();
    let mut photos = BTreeMap::new();
    let mut sheets = BTreeMap::new();
    let mut captions = BTreeMap::new();
    let mut shelf = film::Shelf::new();
    let mut paths = BTreeMap::new();
    for file in found {
        let path = file.path.clone();
        let kind = kind_of(&path);
        let (id, text) = match take_in(file, kind, &mut sources, &mut diagnostics) {
            Some((id, Taken::Text(text))) => (id, text),
            Some((id, Taken::Left(stored))) => {
                if kind == Kind::Photo {
                    let photo = Photo {
                        file: id,
                        stored,
                        seen: None,
                    };
                    photos.insert(path.clone(), photo);
                }
                paths.insert(path, id);
                continue;
            }
            None => continue,
        };
        paths.insert(path.clone(), id);
        match kind {
            Kind::Text => texts.push((id, path, text)),
            Kind::Drawing => {
                for fault in drawing::drawing_faults(&text) {
                    diagnostics.push(Diagnostic::error(
                        Code::DrawingUnsound,
                        Span::file_start(id),
                        format!("this drawing holds {fault}"),
                        "Save it as a plain SVG: lines, shapes and words, with nothing that runs or reaches out.",
                    ));
                }
                let size = drawing::size(&text);
                drawings.insert(
                    path,
                    Drawing {
                        file: id,
                        text,
                        size,
                    },
                );
            }
            Kind::Captions => {
                captions.insert(id, film::read_captions(id, &path, &text, &mut diagnostics));
                shelf.insert(path, id);
            }
            Kind::Sheet => {
                let name = path.strip_prefix("sheets/").unwrap_or(&path).to_owned();
                sheets.insert(name, Sheet { file: id, text });
            }
            Kind::Photo | Kind::Other => {}
        }
    }

    let known = read_settings(&texts, &mut diagnostics);
    let (clients, clients_found) = read_clients(&texts, &mut diagnostics);
    let settings = known.clone().unwrap_or_else(settings::stand_in);
    let against = job::Against {
        settings: known.as_ref(),
        zone: &settings.timezone,
        shelf: &shelf,
    };
    let pieces: Vec<(Piece, Vec<Diagnostic>)> = match kept {
        Some(kept) => {
            let settings = texts.iter().find(|(_, path, _)| path == "diary.yaml");
            kept.read(&texts, settings.map(|(_, _, text)| text), against)
        }
        None => texts
            .par_iter()
            .map(|(file, path, text)| read_piece(*file, path, text, against))
            .collect(),
    };

    let mut jobs = Vec::new();
    let mut pages = Vec::new();
    let mut waiting = Vec::new();
    let mut prices = Vec::new();
    for (piece, faults) in pieces {
        diagnostics.extend(faults);
        match piece {
            Piece::Job(job) => jobs.push(*job),
            Piece::Page(page) if question::waits(&page) => waiting.push(Private::new(*page)),
            Piece::Page(page) => pages.push(*page),
            Piece::Price(price) => prices.push(Private::new(*price)),
            Piece::Nothing => {}
        }
    }
    if let (Some(known), Some((file, _, text))) = (
        &known,
        texts.iter().find(|(_, path, _)| path == "diary.yaml"),
    ) {
        cut_short::tell_once(&jobs, known, (*file, text), &mut diagnostics);
    }
    fn place(job: &Job) -> (&str, &str) {
        (&job.reference.in_office().value, job.path.in_office())
    }
    jobs.sort_by(|a, b| place(a).cmp(&place(b)));
    let diary = Diary {
        settings,
        clients,
        jobs,
        pages,
        waiting,
        prices,
        drawings,
        photos,
        captions,
        sheets,
    };
    cross::check(&diary, clients_found, &paths, &mut diagnostics);
    film::tell_unused(&diary, &shelf, &mut diagnostics);
    Read {
        sources,
        diary,
        diagnostics,
    }
}

/// `diary.yaml`, or `None` where it is missing or holds an error: then nothing else is held against it.
fn read_settings(texts: &[Text], diagnostics: &mut Vec<Diagnostic>) -> Option<Settings> {
    let (file, _, text) = texts.iter().find(|(_, path, _)| path == "diary.yaml")?;
    let before = diagnostics.len();
    let settings = match yaml::parse(*file, text, yaml_range(text), diagnostics) {
        Some(node) => Some(settings::read(
            &mut Reader {
                faults: diagnostics,
            },
            &node,
        )),
        None => {
            if diagnostics.len() == before {
                diagnostics.push(Diagnostic::error(
                    Code::MissingKey,
                    Span::file_start(*file),
                    "this file is empty",
                    "Write title: and site: at least; daywork start DIR makes one to copy from.",
                ));
            }
            None
        }
    };
    let broken = diagnostics[before..]
        .iter()
        .any(|fault| fault.level == Level::Error);
    settings.filter(|_| !broken)
}

fn read_clients(
    texts: &[Text],
    diagnostics: &mut Vec<Diagnostic>,
) -> (BTreeMap<String, Client>, Clients) {
    let Some((file, _, text)) = texts.iter().find(|(_, path, _)| path == "clients.yaml") else {
        return (BTreeMap::new(), Clients::Missing);
    };
    let before = diagnostics.len();
    let clients = yaml::parse(*file, text, yaml_range(text), diagnostics).map(|node| {
        let mut reader = Reader {
            faults: diagnostics,
        };
        clients::read(&mut reader, &node)
    });
    let broken = diagnostics[before..]
        .iter()
        .any(|fault| fault.level == Level::Error);
    let found = if broken {
        Clients::Broken
    } else {
        Clients::Read
    };
    (clients.unwrap_or_default(), found)
}

/// A whole YAML file, without a byte-order mark.
fn yaml_range(text: &str) -> std::ops::Range<usize> {
    let start = if text.starts_with('\u{feff}') { 3 } else { 0 };
    start..text.len()
}

/// One Markdown file, on its own.
fn read_piece(
    file: FileId,
    path: &str,
    text: &str,
    against: job::Against<'_>,
) -> (Piece, Vec<Diagnostic>) {
    let mut faults = Vec::new();
    if let Some(name) = path.strip_prefix("prices/") {
        return read_price(file, name, text, against);
    }
    let is_job = path.starts_with("jobs/");
    if !is_job && page::Folder::of(path).is_none() {
        return (Piece::Nothing, faults);
    }
    let parts = match front_matter::split(file, text) {
        Ok(parts) => parts,
        Err(fault) => return (Piece::Nothing, vec![fault]),
    };
    let mut body = body::read(file, text, parts.body, path, &mut faults);
    let before = faults.len();
    let node = parts
        .yaml
        .clone()
        .and_then(|yaml| yaml::parse(file, text, yaml, &mut faults));
    let broken = faults.len() > before && node.is_none();
    if broken {
        return (Piece::Nothing, faults);
    }
    let mut reader = Reader {
        faults: &mut faults,
    };
    let beside = against.beside(path);
    let order = match node.as_ref().is_some_and(|node| node.has("video")) {
        true => Order::Later,
        false => Order::First,
    };
    film::read_blocks(&mut reader, text, &mut body.films, beside, order);
    let piece = if is_job {
        read_job(&mut reader, file, path, text, node.as_ref(), body, against)
    } else {
        let heading = body::first_heading(file, text, parts.body);
        page::read(&mut reader, file, beside, node.as_ref(), heading, body)
            .map(|page| Piece::Page(Box::new(page)))
    };
    let mut piece = piece.unwrap_or(Piece::Nothing);
    match &mut piece {
        Piece::Job(job) => film::add_stills(job.video.as_ref(), &mut job.body),
        Piece::Page(page) => film::add_stills(page.video.as_ref(), &mut page.body),
        _ => {}
    }
    if faults.iter().any(|fault| fault.level == Level::Error) {
        // What could not be read looks as if it were not there; remarks on what is absent wait until it is mended.
        faults.retain(|fault| fault.code != Code::NoLocation);
        if let Piece::Job(job) = &mut piece {
            job.has_error = true;
        }
    }
    (piece, faults)
}

/// A price: the file's name without its ending is the price's.
fn read_price(
    file: FileId,
    name: &str,
    text: &str,
    against: job::Against<'_>,
) -> (Piece, Vec<Diagnostic>) {
    let mut faults = Vec::new();
    let name = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    let node = yaml::parse(file, text, yaml_range(text), &mut faults);
    if node.is_none() && faults.is_empty() {
        faults.push(Diagnostic::error(
            Code::MissingKey,
            Span::file_start(file),
            "this price is empty",
            "Ask for one with daywork price and --write, or delete the file.",
        ));
    }
    let mut reader = Reader {
        faults: &mut faults,
    };
    let price = node.and_then(|node| price::read(&mut reader, file, name, &node, against.settings));
    let piece = price.map_or(Piece::Nothing, |price| Piece::Price(Box::new(price)));
    (piece, faults)
}

fn read_job(
    reader: &mut Reader<'_>,
    file: FileId,
    path: &str,
    text: &str,
    node: Option<&yaml::Node>,
    body: Body,
    against: job::Against<'_>,
) -> Option<Piece> {
    let Some(node) = node else {
        let first_line = text.split(['\n', '\r']).next().unwrap_or_default();
        let message = if first_line.trim_start_matches('\u{feff}').trim_end() == "---" {
            "the front matter of this log is empty"
        } else {
            "this log has no front matter"
        };
        reader.error(
            Code::NoFrontMatter,
            Span::new(file, 0, first_line.len()),
            message,
            "Begin it with a line of ---, then title:, ref: and visits:, then --- again.",
        );
        return None;
    };
    job::read(reader, file, path, node, body, against).map(|job| Piece::Job(Box::new(job)))
}
