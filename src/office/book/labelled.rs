//! A label with its value, as a page lists them.

use serde::Serialize;

/// A label and its value.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Labelled {
    /// `Telephone`.
    pub label: String,
    /// The value.
    pub value: String,
}
