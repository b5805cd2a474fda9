//! The leak gate: no private word of the diary goes out in a public file, whatever coat it wears.
//!
//! Types keep what is private out of the views; this stands behind them, because prose is prose and anybody can
//! write a name into it. It looks at finished bytes and changes none of them.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use aho_corasick::{AhoCorasick, MatchKind};

use crate::diagnose::{FileId, Sources};
use crate::model::{Diary, Job};

use super::file_kind::FileKind;
use super::fold::{Folded, Join};
use super::markup;
use super::open_text::OpenText;
use super::owner::Owner;
use super::words::{self, Manner, Term};

/// A finished file of the site.
#[derive(Clone, Copy, Debug)]
pub struct PublicFile<'a> {
    /// Its path below the site's root; looked at like everything else.
    pub path: &'a str,
    /// What it is.
    pub kind: FileKind,
    /// All of it.
    pub bytes: &'a [u8],
}

/// A private word in a public file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Leak {
    /// The file's path below the site's root.
    pub path: String,
    /// Whose word it is.
    pub owner: Owner,
    /// The word as the diary writes it.
    pub term: String,
    /// What stands in the file, markup and all; empty where it is the path itself.
    pub found: String,
    pub(super) number: usize,
}

/// Every private word of a diary, ready to be looked for.
pub struct Gate {
    pub(super) terms: Vec<Term>,
    /// The terms that share a row of letters, in the order of the automaton's patterns.
    alike: Vec<Vec<usize>>,
    /// `None` for a diary without anything private.
    finder: Option<AhoCorasick>,
    pub(super) open: BTreeMap<FileId, OpenText>,
    digest: blake3::Hash,
}

/// A term in a folded text, as a range of its bytes.
struct Hit {
    term: usize,
    start: usize,
    end: usize,
}

impl Gate {
    /// Collects every private thing of a diary with its owner.
    pub fn new(diary: &Diary, sources: &Sources) -> Gate {
        let terms = words::collect(diary, sources);
        let mut gate = Gate::of_terms(terms, OpenText::of_diary(diary));
        let own = gate.own_terms(diary);
        if !own.is_empty() {
            let kept = std::mem::take(&mut gate.terms)
                .into_iter()
                .enumerate()
                .filter(|(index, _)| !own.contains(index))
                .map(|(_, term)| term)
                .collect();
            gate = Gate::of_terms(kept, gate.open);
        }
        gate
    }

    fn of_terms(terms: Vec<Term>, open: BTreeMap<FileId, OpenText>) -> Gate {
        let mut by_letters: BTreeMap<&[u8], Vec<usize>> = BTreeMap::new();
        for (index, term) in terms.iter().enumerate() {
            by_letters.entry(&term.lower).or_default().push(index);
        }
        // Every hit of every term is wanted, also one inside another or across it: hence `Standard`, the only kind
        // that can report overlapping hits.
        let finder = (!terms.is_empty()).then(|| {
            AhoCorasick::builder()
                .match_kind(MatchKind::Standard)
                .build(by_letters.keys())
                .expect("a diary's private words stay below the automaton's limits")
        });
        let alike = by_letters.into_values().collect();
        let digest = digest_of(&terms);
        Gate {
            terms,
            alike,
            finder,
            open,
            digest,
        }
    }

    /// Terms of clients and places that the trader's own lines hold: a trader called Brannick may sign a site on
    /// which no client called Brannick is ever named. Numbers and mail are the trader's only where they are equal.
    fn own_terms(&self, diary: &Diary) -> BTreeSet<usize> {
        let trader = &diary.settings.trader;
        let lines = [
            &diary.settings.title,
            &trader.name,
            &trader.trading_as,
            &trader.phone,
            &trader.email,
        ];
        let mut own = BTreeSet::new();
        for line in lines {
            let folded = Folded::of(line);
            for hit in self.hits(&folded) {
                let term = &self.terms[hit.term];
                let whole = hit.end - hit.start == folded.lower.len();
                let of_a_client = term.owner.client.is_some();
                if of_a_client
                    && (whole || matches!(term.manner, Manner::Words | Manner::AsWritten))
                {
                    own.insert(hit.term);
                }
            }
        }
        // The same number from abroad is the same number.
        let own_numbers: BTreeSet<(&Owner, &str)> = own
            .iter()
            .filter(|&&index| self.terms[index].manner == Manner::Number)
            .map(|&index| (&self.terms[index].owner, self.terms[index].shown.as_str()))
            .collect();
        let forms = self.terms.iter().enumerate().filter(|(_, term)| {
            term.manner == Manner::Number
                && own_numbers.contains(&(&term.owner, term.shown.as_str()))
        });
        let forms: Vec<usize> = forms.map(|(index, _)| index).collect();
        own.extend(forms);
        own
    }

    /// Changes with every term: a page that was found clean is not clean against a new one.
    pub fn digest(&self) -> blake3::Hash {
        self.digest
    }

    /// Whether a plain text holds a private word.
    pub fn holds(&self, text: &str) -> bool {
        !self.hits(&Folded::of(text)).is_empty()
    }

    /// Every private word in a file, once each, in order of place. Bytes that are no UTF-8 are read as far as they go.
    pub fn check(&self, file: &PublicFile<'_>) -> Vec<Leak> {
        if self.finder.is_none() {
            return Vec::new();
        }
        let text = match file.kind {
            FileKind::Other => Cow::Borrowed(""),
            _ => String::from_utf8_lossy(file.bytes),
        };
        let mut told = BTreeSet::new();
        let mut leaks = Vec::new();
        for folded in markup::read(file.kind, file.path, &text) {
            for hit in self.hits_in(&folded, Some(&text)) {
                if !told.insert(hit.term) {
                    continue;
                }
                let term = &self.terms[hit.term];
                leaks.push(Leak {
                    path: file.path.to_owned(),
                    owner: term.owner.clone(),
                    term: term.shown.clone(),
                    found: found(&folded, &hit, &text),
                    number: hit.term,
                });
            }
        }
        leaks
    }

    /// Where one term stands in a folded text, as places in the text.
    pub(super) fn find(&self, folded: &Folded, term: usize) -> Option<(usize, usize)> {
        let hit = self.hits(folded).into_iter().find(|hit| hit.term == term)?;
        Some((
            folded.from[hit.start] as usize,
            folded.from[hit.end - 1] as usize,
        ))
    }

    /// The name of each of a job's circuits, as readers see it: where a name holds a private word, its number.
    pub fn circuits(&self, job: &Job) -> Vec<String> {
        let mut known: Vec<Option<&str>> = Vec::new();
        job.readings
            .iter()
            .map(|reading| {
                let name = reading
                    .circuit
                    .as_ref()
                    .map(|circuit| circuit.in_office().value.as_str());
                let number = known
                    .iter()
                    .position(|other| *other == name)
                    .unwrap_or_else(|| {
                        known.push(name);
                        known.len() - 1
                    });
                match name {
                    Some(name) if !self.holds(name) => name.to_owned(),
                    _ => format!("Circuit {}", number + 1),
                }
            })
            .collect()
    }

    /// The terms that stand in a folded text.
    pub(super) fn terms_in(&self, folded: &Folded) -> Vec<usize> {
        self.hits(folded).into_iter().map(|hit| hit.term).collect()
    }

    fn hits(&self, folded: &Folded) -> Vec<Hit> {
        self.hits_in(folded, None)
    }

    fn hits_in(&self, folded: &Folded, text: Option<&str>) -> Vec<Hit> {
        let mut hits = Vec::new();
        let Some(finder) = &self.finder else {
            return hits;
        };
        for found in finder.find_overlapping_iter(&folded.lower) {
            for &term in &self.alike[found.pattern().as_usize()] {
                if self.terms[term].stands_in(folded, found.start(), text) {
                    hits.push(Hit {
                        term,
                        start: found.start(),
                        end: found.end(),
                    });
                }
            }
        }
        hits.sort_by_key(|hit| (hit.start, usize::MAX - hit.end, hit.term));
        hits
    }
}

impl std::fmt::Debug for Gate {
    /// How many and not which: a debug print may end in a log that others read.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Gate({} terms)", self.terms.len())
    }
}

impl Term {
    /// Whether the letters found at `start` are this term: whole, with the joins and the case it asks for.
    fn stands_in(&self, folded: &Folded, start: usize, text: Option<&str>) -> bool {
        let end = start + self.lower.len();
        let (before, after) = (folded.joins[start], folded.joins[end]);
        let edges = match self.manner {
            // A number may stand against a letter (`tel07700…`), not against another figure.
            Manner::Number => {
                let figure = |at: Option<&u8>| at.is_some_and(u8::is_ascii_digit);
                let starts = before.is_edge()
                    || !figure(start.checked_sub(1).and_then(|at| folded.lower.get(at)));
                let ends = after.is_edge() || !figure(folded.lower.get(end));
                starts && ends
            }
            _ => before.is_edge() && after.is_edge(),
        };
        let joins = folded.joins[start + 1..end].iter().zip(&self.wanted);
        edges
            && joins.into_iter().all(|(join, wanted)| join.fits(*wanted))
            && match self.manner {
                Manner::AsWritten => folded.cased[start..end] == self.cased,
                // `boat.yard@example.com` is another address than `yard@example.com`.
                Manner::Email => {
                    !(before == Join::Point || before == Join::Hyphen)
                        || !joined_mail(folded, start, text)
                }
                _ => true,
            }
    }
}

/// Whether the letter at `start` goes on from a mail address's first part.
fn joined_mail(folded: &Folded, start: usize, text: Option<&str>) -> bool {
    let before = (folded.from[start] as usize).checked_sub(1);
    let byte = text
        .zip(before)
        .and_then(|(text, at)| text.as_bytes().get(at));
    byte.is_some_and(|byte| b".-_+".contains(byte))
}

/// What stands in the file at a hit.
fn found(folded: &Folded, hit: &Hit, text: &str) -> String {
    let start = folded.from[hit.start] as usize;
    let last = folded.from[hit.end - 1] as usize;
    let end = text
        .get(last..)
        .and_then(|rest| rest.chars().next())
        .map_or(last, |c| last + c.len_utf8());
    text.get(start..end).unwrap_or_default().to_owned()
}

fn digest_of(terms: &[Term]) -> blake3::Hash {
    let mut rows: Vec<Vec<u8>> = terms
        .iter()
        .map(|term| {
            let mut row = vec![term.manner as u8];
            row.extend_from_slice(if term.manner == Manner::AsWritten {
                &term.cased
            } else {
                &term.lower
            });
            row.push(0);
            row.extend(term.wanted.iter().map(|wanted| wanted.as_byte()));
            row
        })
        .collect();
    rows.sort();
    let mut hasher = blake3::Hasher::new();
    for row in rows {
        hasher.update(&(row.len() as u64).to_le_bytes());
        hasher.update(&row);
    }
    hasher.finalize()
}
