//! `clients.yaml` into [`Client`]s.

use std::collections::BTreeMap;

use crate::diagnose::Code;
use crate::model::{At, Client, Private};

use super::fields::Reader;
use super::keys::page as keys;
use super::yaml::{Node, Value};

/// Reads every client, by key. Empty for an empty file.
pub fn read(reader: &mut Reader<'_>, node: &Node) -> BTreeMap<String, Client> {
    let Value::Map(entries) = &node.value else {
        reader.error(
            Code::WrongShape,
            node.span,
            format!("clients.yaml holds keys with clients, and this is {}", node.shape()),
            "Write a key of your own and the client's particulars under it: pennick-hall: {name: Pennick Hall}.",
        );
        return BTreeMap::new();
    };
    entries
        .iter()
        .filter_map(|(key, node)| Some((key.value.clone(), read_one(reader, key, node)?)))
        .collect()
}

fn read_one(reader: &mut Reader<'_>, key: &At<String>, node: &Node) -> Option<Client> {
    let fields = reader.fields(node, "a client", keys::CLIENT)?;
    let mut text = |name: &str| fields.get(name).and_then(|node| reader.text(node));
    let role = text("role");
    let mut private = |name: &str| text(name).map(Private::new);
    Some(Client {
        name: private("name"),
        contact: private("contact"),
        address: private("address"),
        town: private("town"),
        postcode: private("postcode"),
        email: private("email"),
        phone: private("phone"),
        note: private("note"),
        role,
        allow: fields
            .get("allow")
            .map_or_else(Vec::new, |node| reader.texts(node)),
        key: key.clone(),
        span: key.span,
    })
}
