//! What a note would do to a diary: the logs it makes, the logs it adds to, and what is there already. Works on texts
//! in memory; writes nothing.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::body::Kept;
use super::insert::{self, Insertion};
use super::note::{Note, NoteJob};
pub use super::refusal::Refusal;
use super::refusal::{MOST_JOBS, MOST_OF_ONE};
use super::remark::{self, Written};
use super::vocabulary::Vocabulary;
use super::{amend, new_log};
use crate::diagnose::{Code, Diagnostic, Level, Sources};
use crate::diary::{self, Read};
use crate::model::page;
use crate::rules;

/// Where one job of a note goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Placed {
    /// The log's path, relative to the diary.
    pub path: String,
    /// Its ref.
    pub reference: String,
    /// How it gets there.
    pub how: How,
}

/// How a job gets into the diary.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// As a new log.
    New,
    /// Into the log that its ref names.
    Added,
    /// It is there already, from an earlier run.
    Already,
}

/// A file as it is to stand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// Relative to the diary.
    pub path: String,
    /// What stands there now; `None` for a file that must not be there yet.
    pub before: Option<String>,
    /// What is to stand there.
    pub text: String,
}

/// A diary in memory, as notes are put into it one after another.
pub struct Desk {
    /// Every file by its path. What is no text stands here empty: only that it is there matters.
    files: BTreeMap<String, String>,
    before: BTreeMap<String, String>,
    refs: BTreeMap<String, String>,
    written: BTreeMap<String, Written>,
    expected: BTreeMap<String, usize>,
    /// What was said of the diary before.
    said: BTreeSet<Saying>,
}

/// A diagnostic apart from its place, which shifts as lines go in: its code, file and words.
type Saying = (Code, String, String);

fn saying(diagnostic: &Diagnostic, sources: &Sources) -> Saying {
    let file = sources.path(diagnostic.span.file).to_owned();
    (diagnostic.code, file, diagnostic.message.clone())
}

impl Desk {
    /// A diary as it was read, with all that `inspect` says of it.
    pub fn new(read: &Read) -> Self {
        let files: BTreeMap<String, String> = read
            .sources
            .iter()
            .map(|(_, source)| (source.path.clone(), source.text.to_string()))
            .collect();
        let refs = read
            .diary
            .jobs
            .iter()
            .map(|job| {
                (
                    job.reference.in_office().value.clone(),
                    job.path.in_office().clone(),
                )
            })
            .collect();
        let expected = read
            .diary
            .jobs
            .iter()
            .map(|job| (job.path.in_office().clone(), job.visits.len()))
            .collect();
        Desk {
            before: files.clone(),
            files,
            refs,
            written: BTreeMap::new(),
            expected,
            said: read
                .diagnostics
                .iter()
                .map(|diagnostic| saying(diagnostic, &read.sources))
                .collect(),
        }
    }

    /// The text of a file.
    pub fn text(&self, path: &str) -> Option<&str> {
        self.files.get(path).map(String::as_str)
    }

    /// Puts another text in a file's place.
    pub fn put(&mut self, path: &str, text: String) {
        self.files.insert(path.to_owned(), text);
    }

    /// Puts every job of a note into the diary in memory, and says where each went.
    ///
    /// # Errors
    /// The first job that has no sure place. The desk is then no longer of use.
    pub fn take(
        &mut self,
        note: &Note,
        kept: &Kept,
        scenes: &[(String, String)],
        vocabulary: &Vocabulary,
    ) -> Result<Vec<Placed>, Refusal> {
        let of = note.jobs.len();
        if of > MOST_JOBS {
            return Err(Refusal::TooManyJobs(of));
        }
        if let Some(refusal) = note.jobs.iter().find_map(too_much) {
            return Err(refusal);
        }
        note.jobs
            .iter()
            .enumerate()
            .map(|(index, job)| {
                let mark = kept.mark(index, of);
                if let Some(placed) = self.already(&mark) {
                    return Ok(placed);
                }
                match &job.reference {
                    Some(reference) => self.add(reference, job, kept, &mark, scenes),
                    None => Ok(self.begin(job, note.today, kept, &mark, scenes, vocabulary)),
                }
            })
            .collect()
    }

    /// The log that an earlier run put this job in.
    fn already(&self, mark: &str) -> Option<Placed> {
        let (path, _) = self
            .files
            .iter()
            .find(|(path, text)| path.starts_with("jobs/") && text.contains(mark))?;
        let reference = self
            .refs
            .iter()
            .find(|(_, at)| *at == path)
            .map(|(reference, _)| reference.clone());
        Some(Placed {
            path: path.clone(),
            reference: reference.unwrap_or_default(),
            how: How::Already,
        })
    }

    fn begin(
        &mut self,
        job: &NoteJob,
        today: Date,
        kept: &Kept,
        mark: &str,
        scenes: &[(String, String)],
        vocabulary: &Vocabulary,
    ) -> Placed {
        let first = job.visits.iter().map(|visit| visit.date).min();
        let year = first.or(job.day).unwrap_or(today).year();
        let reference = self.next_ref(year);
        let path = self.free_path(year, job.title.as_deref(), &reference);
        let text = new_log::text(job, &reference, vocabulary, kept, mark, scenes);
        self.refs.insert(reference.clone(), path.clone());
        self.expected.insert(path.clone(), job.visits.len().max(1));
        self.written.insert(path.clone(), Written::Whole);
        self.put(&path, text);
        Placed {
            path,
            reference,
            how: How::New,
        }
    }

    fn add(
        &mut self,
        reference: &str,
        job: &NoteJob,
        kept: &Kept,
        mark: &str,
        scenes: &[(String, String)],
    ) -> Result<Placed, Refusal> {
        let no_such = || Refusal::NoSuchRef {
            reference: reference.to_owned(),
        };
        let path = self.refs.get(reference).cloned().ok_or_else(no_such)?;
        let text = self.files.get(&path).cloned().ok_or_else(no_such)?;
        let insertions =
            amend::insertions(&text, job, kept, mark, scenes).map_err(|why| Refusal::Layout {
                path: path.clone(),
                why,
            })?;
        self.note_written(&path, &insertions);
        self.put(&path, insert::apply(&text, &insertions));
        *self.expected.entry(path.clone()).or_default() += job.visits.len();
        Ok(Placed {
            path,
            reference: reference.to_owned(),
            how: How::Added,
        })
    }

    fn note_written(&mut self, path: &str, insertions: &[Insertion]) {
        if self.written.get(path) != Some(&Written::Whole) {
            let written = self
                .written
                .entry(path.to_owned())
                .or_insert_with(|| Written::Parts(Vec::new()));
            written.add(insertions);
        }
    }

    /// The next ref of a year: one more than the highest, so that refs follow time.
    fn next_ref(&self, year: i16) -> String {
        let highest = self
            .refs
            .keys()
            .filter_map(|reference| reference.strip_prefix(&format!("{year:04}-")))
            .filter(|number| number.len() <= 6)
            .filter_map(|number| number.parse::<u32>().ok())
            .max()
            .unwrap_or(0);
        let mut number = highest + 1;
        loop {
            let reference = format!("{year:04}-{number:03}");
            if !self.refs.contains_key(&reference) {
                return reference;
            }
            number += 1;
        }
    }

    /// `jobs/YEAR/title.md`, with the ref behind it where that name is taken.
    fn free_path(&self, year: i16, title: Option<&str>, reference: &str) -> String {
        let slug = page::slug(title.unwrap_or(new_log::NO_TITLE));
        let mut slug: String = slug.chars().take(60).collect();
        slug.truncate(slug.trim_end_matches('-').len());
        let slug = if slug.is_empty() {
            "job".to_owned()
        } else {
            slug
        };
        let taken = |path: &String| {
            self.files
                .keys()
                .any(|there| there.eq_ignore_ascii_case(path))
        };
        let plain = format!("jobs/{year:04}/{slug}.md");
        if !taken(&plain) {
            return plain;
        }
        let with_ref = format!("jobs/{year:04}/{slug}-{reference}.md");
        if !taken(&with_ref) {
            return with_ref;
        }
        (2..)
            .map(|n| format!("jobs/{year:04}/{slug}-{reference}-{n}.md"))
            .find(|path| !taken(path))
            .expect("numbers do not end")
    }

    /// Reads the result back, writes what `inspect` says of it beside what it is about, and gives the files that
    /// change with what is still wrong in them.
    ///
    /// # Errors
    /// A changed log does not read back with every visit it should have.
    pub fn finish(mut self, as_of: Date) -> Result<Finished, Refusal> {
        if self.files == self.before {
            return Ok(Finished::default());
        }
        let mut read = self.read_back();
        let mut said = judged(&read, as_of);
        let mut remarked = false;
        for (path, written) in &self.written {
            let text = self.files.get(path).cloned().unwrap_or_default();
            let beside = remark::beside(&text, path, written, &said, &read.sources);
            remarked |= beside != text;
            self.files.insert(path.clone(), beside);
        }
        if remarked {
            read = self.read_back();
            said = judged(&read, as_of);
        }
        for path in self.written.keys() {
            let visits = read
                .diary
                .jobs
                .iter()
                .find(|job| job.path.in_office() == path)
                .map(|job| job.visits.len());
            if visits != self.expected.get(path).copied() {
                return Err(Refusal::DidNotReadBack { path: path.clone() });
            }
        }
        let said: Vec<Diagnostic> = said
            .into_iter()
            .filter(|diagnostic| !self.said.contains(&saying(diagnostic, &read.sources)))
            .collect();
        let settings_broken = said
            .iter()
            .any(|d| d.level == Level::Error && read.sources.path(d.span.file) == "diary.yaml");
        if settings_broken {
            return Err(Refusal::DidNotReadBack {
                path: "diary.yaml".to_owned(),
            });
        }
        let changes = self
            .files
            .iter()
            .filter(|(path, _)| self.is_changed(path))
            .map(|(path, text)| Change {
                path: path.clone(),
                before: self.before.get(path).cloned(),
                text: text.clone(),
            })
            .collect();
        Ok(Finished {
            changes,
            said,
            sources: read.sources,
        })
    }

    fn is_changed(&self, path: &str) -> bool {
        self.files.get(path) != self.before.get(path)
    }

    fn read_back(&self) -> Read {
        let files = self
            .files
            .iter()
            .map(|(path, text)| (path.clone(), text.clone().into_bytes()))
            .collect();
        diary::read_files(files)
    }
}

/// What a job holds more of than a log takes.
fn too_much(job: &NoteJob) -> Option<Refusal> {
    [
        ("visits", job.visits.len()),
        ("findings", job.findings.len()),
        ("readings", job.readings.len()),
        ("materials", job.materials.len()),
    ]
    .into_iter()
    .find(|(_, count)| *count > MOST_OF_ONE)
    .map(|(what, count)| Refusal::TooMuch { what, count })
}

/// What is to be written, and what is still wrong with it.
#[derive(Debug, Default)]
pub struct Finished {
    /// The files, in order of path; empty where there is nothing to do.
    pub changes: Vec<Change>,
    /// What `inspect` says of the diary with them that it did not say before.
    pub said: Vec<Diagnostic>,
    /// The texts that it points into.
    pub sources: Sources,
}

fn judged(read: &Read, as_of: Date) -> Vec<Diagnostic> {
    let mut said = read.diagnostics.clone();
    said.extend(rules::check(&read.diary, as_of));
    crate::diagnose::put_in_order(&mut said, &read.sources);
    said
}
