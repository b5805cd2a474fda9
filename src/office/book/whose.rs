//! Whose job it is and where: the client as `clients.yaml` has it.

use crate::model::{At, Job, Private};

use super::Book;
use super::labelled::Labelled;

impl Book<'_> {
    /// Who and where, for the docket's stub.
    pub(super) fn at(&self, job: &Job) -> String {
        let place = job
            .place
            .as_ref()
            .map_or("", |place| place.in_office().value.as_str());
        let client = self.client_name(job);
        [client.as_str(), place]
            .into_iter()
            .filter(|part| !part.is_empty())
            .collect::<Vec<_>>()
            .join(", ")
    }

    /// Everything that is known of the client, and the place of work; empty for a job without either.
    pub(super) fn client(&self, job: &Job) -> Vec<Labelled> {
        let client = job
            .client
            .as_ref()
            .and_then(|key| self.diary.clients.get(&key.in_office().value));
        let mut rows = Vec::new();
        let mut row = |label: &str, value: Option<&str>| {
            if let Some(value) = value.filter(|value| !value.is_empty()) {
                rows.push(Labelled {
                    label: label.to_owned(),
                    value: value.to_owned(),
                });
            }
        };
        let inside = |value: &'_ Option<Private<At<String>>>| {
            value.as_ref().map(|value| value.in_office().value.clone())
        };
        if let Some(client) = client {
            row("Name", inside(&client.name).as_deref());
            row("Ask for", inside(&client.contact).as_deref());
            row("Role", client.role.as_ref().map(|role| role.value.as_str()));
            let parts = [&client.address, &client.town, &client.postcode];
            let address = joined(parts.into_iter().filter_map(inside));
            row("Address", Some(&address));
            row("Telephone", inside(&client.phone).as_deref());
            row("Email", inside(&client.email).as_deref());
            row("Note", inside(&client.note).as_deref());
        } else if let Some(key) = &job.client {
            row("Name", Some(&key.in_office().value));
        }
        row("Place of work", inside(&job.place).as_deref());
        rows
    }
}

/// The parts of an address in one line. A part with which the address ends already is not said again.
fn joined(parts: impl Iterator<Item = String>) -> String {
    let mut line = String::new();
    for part in parts {
        let (part, so_far) = (part.trim(), line.to_lowercase());
        let ends = so_far.strip_suffix(&part.to_lowercase());
        // `Upper Gullwick` ends with `Gullwick` and is another town.
        let said = ends.is_some_and(|before| before.is_empty() || before.trim_end().ends_with(','));
        if said || part.is_empty() {
            continue;
        }
        if !line.is_empty() {
            line.push_str(", ");
        }
        line.push_str(part);
    }
    line
}

#[cfg(test)]
mod tests {
    use super::joined;

    #[test]
    fn a_town_with_which_the_address_ends_is_not_said_again() {
        let address = |parts: &[&str]| joined(parts.iter().map(|&part| part.to_owned()));
        assert_eq!(
            address(&["4 Quay Street, Gullwick", "Gullwick", "ZX1 2AB"]),
            "4 Quay Street, Gullwick, ZX1 2AB"
        );
        assert_eq!(
            address(&["4 Quay Street, gullwick ", "Gullwick"]),
            "4 Quay Street, gullwick"
        );
        assert_eq!(address(&["Gullwick", "Gullwick"]), "Gullwick");
        assert_eq!(
            address(&["Upper Gullwick", "Gullwick"]),
            "Upper Gullwick, Gullwick"
        );
        assert_eq!(address(&["", "Gullwick"]), "Gullwick");
    }
}
