//! Other clients' words on a client's paper: the leak gate turned to what is private, but not to this client.
//!
//! Looks for names, people, addresses, numbers and places of every other client; what this client's own lines hold is
//! no other's. A name under `told` is another's where it is a client's: a role says as much. Changes no byte.

use std::collections::BTreeSet;

use crate::diagnose::{Code, Diagnostic, Sources, Span};
use crate::model::{Diary, Job};

use super::fold::Folded;
use super::gate::{Gate, Leak, PublicFile};

impl Gate {
    /// Every word of another client in a file that is made for the client of `job`, once each, in order of place.
    pub fn check_others(&self, file: &PublicFile<'_>, diary: &Diary, job: &Job) -> Vec<Leak> {
        let own = self.terms_of(diary, job);
        self.check(file)
            .into_iter()
            .filter(|leak| leak.owner.client.is_some() && !own.contains(&leak.number))
            .collect()
    }

    /// The terms that are this client's, or that stand in this client's own lines: two clients in one street share it.
    fn terms_of(&self, diary: &Diary, job: &Job) -> BTreeSet<usize> {
        let key = job
            .client
            .as_ref()
            .map(|key| key.in_office().value.as_str());
        let mut own: BTreeSet<usize> = self
            .terms
            .iter()
            .enumerate()
            .filter(|(_, term)| key.is_some() && term.owner.client.as_deref() == key)
            .map(|(number, _)| number)
            .collect();
        let mut lines: Vec<&str> = Vec::new();
        if let Some(client) = key.and_then(|key| diary.clients.get(key)) {
            let parts = [
                &client.name,
                &client.contact,
                &client.address,
                &client.town,
                &client.postcode,
                &client.email,
                &client.phone,
            ];
            lines.extend(
                parts
                    .into_iter()
                    .flatten()
                    .map(|at| at.in_office().value.as_str()),
            );
        }
        lines.extend(job.place.as_ref().map(|at| at.in_office().value.as_str()));
        for line in lines {
            own.extend(self.terms_in(&Folded::of(line)));
        }
        own
    }
}

/// Other clients' words on a job's paper as errors, each once, at the line of its log that writes it; at the log's start
/// where none does.
pub fn tell_others(leaks: &[Leak], job: &Job, sources: &Sources) -> Vec<Diagnostic> {
    let text = sources.text(job.file);
    let mut told = BTreeSet::new();
    leaks
        .iter()
        .filter(|leak| told.insert(leak.number))
        .map(|leak| {
            let at = [leak.term.as_str(), leak.found.as_str()]
                .into_iter()
                .filter(|words| !words.is_empty())
                .find_map(|words| Some((text.find(words)?, words.len())));
            let span = at.map_or(Span::file_start(job.file), |(start, length)| {
                Span::new(job.file, start, start + length)
            });
            Diagnostic::error(
                Code::PrivateWord,
                span,
                format!(
                    "the paper of this job would show {}, {}",
                    leak.term,
                    leak.owner.in_words()
                ),
                "Take it out, or write a role in its place: agent, landlord, tenant. Paper goes to one client, and this is another's.",
            )
        })
        .collect()
}
