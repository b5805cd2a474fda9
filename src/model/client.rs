//! People and firms of `clients.yaml`. All of it is private.

use crate::diagnose::Span;

use super::{At, Private};

/// A client: an entry of `clients.yaml`.
#[derive(Clone, Debug)]
pub struct Client {
    /// The key that job logs use.
    pub key: At<String>,
    /// The name on the paperwork.
    pub name: Option<Private<At<String>>>,
    /// The person who is spoken to.
    pub contact: Option<Private<At<String>>>,
    /// Street address, parts between commas.
    pub address: Option<Private<At<String>>>,
    /// Town.
    pub town: Option<Private<At<String>>>,
    /// Postcode.
    pub postcode: Option<Private<At<String>>>,
    /// Email address.
    pub email: Option<Private<At<String>>>,
    /// Telephone number.
    pub phone: Option<Private<At<String>>>,
    /// Agent, tenant, owner and so on: a role, not a name.
    pub role: Option<At<String>>,
    /// A note to self.
    pub note: Option<Private<At<String>>>,
    /// Plain words that are also this client's name and may appear in public.
    pub allow: Vec<At<String>>,
    /// The key's place.
    pub span: Span,
}
