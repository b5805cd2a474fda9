//! Films: the key and the block `video`, the captions and chapters that lie beside a log, and what is wrong with those.
//!
//! A film takes the files that have its log's name (`x.vtt`, `x.chapters.vtt`, or `.srt`), or those it names. Does not
//! read a captions file: that is `captions`.

use std::collections::{BTreeMap, BTreeSet};

use crate::diagnose::{Code, Diagnostic, FileId, Level, Span, nearest};
use crate::model::{At, Body, BodyFilm, Captions, Diary, Film};

use super::captions::{self, Fault, FaultKind, Form};
use super::fields::Reader;
use super::keys::page as keys;
use super::links::{Destination, destination};
use super::pictures;
use super::shorten::shorten;
use super::yaml::{self, Node, Value};

/// The endings of a captions file.
const ENDINGS: [&str; 2] = ["vtt", "srt"];
/// What stands between the name and the ending of a file of chapters.
const CHAPTERS: &str = ".chapters";

/// The captions files of a diary: path to file.
pub type Shelf = BTreeMap<String, FileId>;

/// Where a film is named.
#[derive(Clone, Copy)]
pub struct Beside<'a> {
    /// The path of the log or page that names it, relative to the diary.
    pub path: &'a str,
    /// The captions files.
    pub shelf: &'a Shelf,
}

/// Which film of a text this is: the first takes the captions of the log's own name.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Order {
    /// The front matter's, or the first block where that has none.
    First,
    /// Any other.
    Later,
}

/// Whether a file of the diary holds captions, by its ending.
pub fn is_captions(extension: &str) -> bool {
    ENDINGS.contains(&extension)
}

/// Reads a captions file; what is wrong with it is told at its line.
pub fn read_captions(
    file: FileId,
    path: &str,
    text: &str,
    diagnostics: &mut Vec<Diagnostic>,
) -> Captions {
    // A file goes by what it holds; one that holds neither, by its ending.
    let named = match path.to_ascii_lowercase().ends_with(".srt") {
        true => Form::SubRip,
        false => Form::WebVtt,
    };
    let (read, faults) = captions::read(text, captions::form(text).unwrap_or(named));
    diagnostics.extend(faults.into_iter().map(|fault| told(file, fault)));
    read
}

/// A fault of a captions file in words.
fn told(file: FileId, fault: Fault) -> Diagnostic {
    let span = Span::new(file, fault.place.start, fault.place.end);
    let (level, message, help) = match fault.kind {
        FaultKind::NoHeader => (
            Level::Error,
            "these captions do not begin with WEBVTT",
            "Write WEBVTT alone on the first line and leave the second blank, or save the file as .srt if its cues are numbered.",
        ),
        FaultKind::NoCues => (
            Level::Error,
            "there are no captions in this file",
            "Save them again from where the film was captioned, or delete the file.",
        ),
        FaultKind::NoTimes => (
            Level::Error,
            "these words have no times above them, so nobody knows when they are said",
            "Write the times on the line above: 00:01:02.500 --> 00:01:05.000. Inside a caption leave no blank line.",
        ),
        FaultKind::NoArrow => (
            Level::Error,
            "there is no arrow between these times",
            "Write --> between them, with a space on either side: 00:01:02.500 --> 00:01:05.000.",
        ),
        FaultKind::BadTime => (
            Level::Error,
            "this is no time of a caption",
            "Write hours, minutes, seconds and thousandths: 00:01:02.500 --> 00:01:05.000.",
        ),
        FaultKind::EndsEarly => (
            Level::Warning,
            "this caption ends before it begins",
            "Put the earlier time first.",
        ),
        FaultKind::Backwards => (
            Level::Warning,
            "this caption begins before the one above it",
            "Put the captions in order of time: the page shows them in the order of the file.",
        ),
        FaultKind::Overlaps => (
            Level::Warning,
            "this caption begins before the one above it has ended",
            "Let the one above end sooner: a player shows one of the two, or both on top of each other.",
        ),
    };
    let code = match level {
        Level::Error => Code::BadCaptions,
        Level::Warning => Code::CaptionsOrder,
    };
    match level {
        Level::Error => Diagnostic::error(code, span, message, help),
        Level::Warning => Diagnostic::warning(code, span, message, help),
    }
}

/// A film as the front matter or a block names it: its address alone, or keys.
pub fn read(
    reader: &mut Reader<'_>,
    node: &Node,
    beside: Beside<'_>,
    order: Order,
) -> Option<At<Film>> {
    if !matches!(node.value, Value::Map(_)) {
        let address = reader.text(node)?;
        let mut film = at(reader, &address)?;
        if order == Order::First {
            own_files(reader, &mut film, beside, address.span);
        }
        return Some(At::new(film, address.span));
    }
    let fields = reader.fields(node, "a film", keys::FILM)?;
    let help = "Write video: {address: https://…, title: What it shows}.";
    let address = reader.required(&fields, "address", "this film", node.span, help)?;
    let address = reader.text(address)?;
    let mut film = at(reader, &address)?;
    film.title = fields.get("title").and_then(|node| reader.text(node));
    film.still = fields
        .get("still")
        .and_then(|node| reader.text(node))
        .and_then(|name| pictures::file(&name, beside.path, name.span, reader.faults));
    match fields.get("captions").and_then(|node| reader.text(node)) {
        Some(named) => named_files(reader, &mut film, beside, &named),
        None if order == Order::First => own_files(reader, &mut film, beside, address.span),
        None => {}
    }
    Some(At::new(film, address.span))
}

/// The films of a text's blocks. `order` is that of the first.
pub fn read_blocks(
    reader: &mut Reader<'_>,
    text: &str,
    films: &mut [BodyFilm],
    beside: Beside<'_>,
    order: Order,
) {
    let mut order = order;
    for film in films {
        let place = film.span.start as usize..film.span.end as usize;
        if film.written.trim().is_empty() {
            reader.error(
                Code::EmptyValue,
                film.span,
                "this film has no address",
                "Write it between the fences, alone or as address: https://…, with title:, captions: and still: if you like.",
            );
            continue;
        }
        // In a list the parser takes the indentation off, and the places of the words would be wrong.
        let as_it_stands = text[place.clone()]
            .replace("\r\n", "\n")
            .replace('\r', "\n");
        if as_it_stands.trim_end() != film.written.trim_end() {
            reader.error(
                Code::UnknownWord,
                film.span,
                "a film stands by itself, not inside a list",
                "Move its block to the lines before or after, and begin each of its lines at the margin.",
            );
            continue;
        }
        film.film = yaml::parse(film.span.file, text, place, reader.faults)
            .and_then(|node| read(reader, &node, beside, order))
            .map(|at| at.value);
        order = Order::Later;
    }
}

/// Puts the stills of a page's films among the pictures that it shows.
pub fn add_stills(video: Option<&At<Film>>, body: &mut Body) {
    let of_blocks = body.films.iter().filter_map(|film| film.film.as_ref());
    let films = video.map(|at| &at.value).into_iter().chain(of_blocks);
    let stills: Vec<_> = films.filter_map(|film| film.still.clone()).collect();
    body.links.extend(stills);
}

/// Captions that no log or page shows: a name that is spelt otherwise than its log's.
pub fn tell_unused(diary: &Diary, shelf: &Shelf, diagnostics: &mut Vec<Diagnostic>) {
    let of_jobs = diary.jobs.iter().map(|job| (&job.video, &job.body));
    let of_pages = diary.pages.iter().map(|page| (&page.video, &page.body));
    let used: BTreeSet<FileId> = of_jobs
        .chain(of_pages)
        .flat_map(|(video, body)| {
            let blocks = body.films.iter().filter_map(|film| film.film.as_ref());
            video.iter().map(|at| &at.value).chain(blocks)
        })
        .flat_map(|film| [film.captions, film.chapters])
        .flatten()
        .collect();
    // A file that cannot be read is told of once.
    let broken: BTreeSet<FileId> = diagnostics
        .iter()
        .filter(|fault| fault.level == Level::Error)
        .map(|fault| fault.span.file)
        .collect();
    for (path, file) in shelf {
        if used.contains(file) || broken.contains(file) {
            continue;
        }
        let name = path.rsplit('/').next().unwrap_or(path);
        diagnostics.push(Diagnostic::warning(
            Code::CaptionsUnused,
            Span::file_start(*file),
            "no film takes these captions",
            format!("Give the file the name of the log that has the film, or name it there: video: {{address: https://…, captions: {name}}}."),
        ));
    }
}

fn at(reader: &mut Reader<'_>, address: &At<String>) -> Option<Film> {
    let film = Film::at(address);
    if film.is_none() {
        reader.error(
            Code::BadAddress,
            address.span,
            format!("{} is no web address of a film", shorten(address)),
            "Copy it from the browser with the film open: video: https://….",
        );
    }
    film
}

/// The files of the log's own name.
fn own_files(reader: &mut Reader<'_>, film: &mut Film, beside: Beside<'_>, span: Span) {
    let stem = beside
        .path
        .rsplit_once('.')
        .map_or(beside.path, |(stem, _)| stem);
    film.captions = one_of(reader, stem, beside.shelf, span);
    film.chapters = one_of(reader, &format!("{stem}{CHAPTERS}"), beside.shelf, span);
}

/// The file that a film names, and the chapters that go with it.
fn named_files(reader: &mut Reader<'_>, film: &mut Film, beside: Beside<'_>, named: &At<String>) {
    let path = match destination(named, beside.path) {
        Destination::Diary { path, .. } => path,
        Destination::Away | Destination::Promise(_) | Destination::Wrong { .. } => String::new(),
    };
    let Some(file) = beside.shelf.get(&path) else {
        let folder = beside
            .path
            .rsplit_once('/')
            .map_or("", |(folder, _)| folder);
        let near_by = beside
            .shelf
            .keys()
            .filter_map(|path| path.strip_prefix(folder)?.strip_prefix('/'));
        let help = match nearest(named, near_by) {
            Some(near) => format!("Write {near}."),
            None => "Put the file, ending in .vtt or .srt, beside this one and write its name."
                .to_owned(),
        };
        reader.error(
            Code::BadCaptions,
            named.span,
            format!("there are no captions {}", shorten(named)),
            help,
        );
        return;
    };
    film.captions = Some(*file);
    let stem = path
        .rsplit_once('.')
        .map_or(path.as_str(), |(stem, _)| stem);
    film.chapters = one_of(
        reader,
        &format!("{stem}{CHAPTERS}"),
        beside.shelf,
        named.span,
    );
}

/// The file of a name with either ending; two are one too many.
fn one_of(reader: &mut Reader<'_>, stem: &str, shelf: &Shelf, span: Span) -> Option<FileId> {
    let mut found = ENDINGS
        .iter()
        .filter_map(|ending| shelf.get(&format!("{stem}.{ending}")));
    let first = found.next()?;
    if let Some(other) = found.next() {
        reader.faults.push(
            Diagnostic::error(
                Code::BadCaptions,
                span,
                "this film has two captions files",
                "Keep one of the two, .vtt or .srt, and delete the other.",
            )
            .also(Span::file_start(*first), "one")
            .also(Span::file_start(*other), "the other"),
        );
    }
    Some(*first)
}
