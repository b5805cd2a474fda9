//! Whose a private thing is, in the words of the office.
//!
//! Holds no private value itself.

/// Whose private thing it is. Told in the office only: a path may hold an address.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Owner {
    /// `client tarrow-slip`, `jobs/2026/x.md`, `diary.yaml`.
    pub whose: String,
    /// `name`, `contact`, `place`, `private block`.
    pub what: &'static str,
    /// The client it has to do with, by key.
    pub client: Option<String>,
}

/// `client tarrow-slip, contact`
impl std::fmt::Display for Owner {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}, {}", self.whose, self.what)
    }
}

impl Owner {
    /// Beside which client `allow` would let it through: names only, since a place is no plain word.
    pub fn may_be_allowed(&self) -> Option<&str> {
        match self.what {
            "name" | "contact" | "told" => self.client.as_deref(),
            _ => None,
        }
    }

    /// As the end of a sentence: `the contact of client tarrow-slip`.
    pub fn in_words(&self) -> String {
        match self.what {
            "told" => format!("somebody told in {}", self.whose),
            "keep_private" => "which diary.yaml keeps private".to_owned(),
            "private block" => format!("from a private block of {}", self.whose),
            "question" => format!("from the question that waits in {}", self.whose),
            what => format!("the {what} of {}", self.whose),
        }
    }
}
