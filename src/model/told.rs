//! Who was told of a finding, and how.

use jiff::civil::Date;

use super::{At, Private};
use crate::diagnose::Span;

/// Who was told of a finding.
#[derive(Clone, Debug)]
pub struct Told {
    /// A role (agent, tenant, owner) may show in public; a name may not.
    pub role: Option<String>,
    /// As written.
    pub who: Option<Private<At<String>>>,
    /// The day.
    pub on: Option<Private<At<Date>>>,
    /// In person, by email and so on.
    pub how: Option<At<String>>,
    /// Where `told` stands.
    pub span: Span,
}

impl Told {
    /// How, as words that follow who was told: `by phone`, `in person and by email`. `None` where it is not written.
    pub fn how_in_words(&self) -> Option<String> {
        let how = self.how.as_ref()?.value.trim();
        (!how.is_empty()).then(|| in_words(how))
    }
}

/// What somebody is told by.
pub const MEANS: [&str; 10] = [
    "phone",
    "telephone",
    "mobile",
    "email",
    "e-mail",
    "letter",
    "post",
    "text",
    "message",
    "note",
];

/// A way of telling, as words that follow who was told.
pub fn in_words(how: &str) -> String {
    let first = how.split([' ', ',']).next().unwrap_or_default();
    let means = MEANS.iter().find(|means| first.eq_ignore_ascii_case(means));
    means.map_or_else(
        || how.to_owned(),
        |means| format!("by {means}{}", &how[first.len()..]),
    )
}

/// Roles that may show in public; anything else in `told.who` is taken for a name.
pub const ROLES: &[&str] = &[
    "agent",
    "tenant",
    "landlord",
    "owner",
    "client",
    "customer",
    "occupier",
    "caretaker",
    "committee",
    "secretary",
    "yard manager",
    "manager",
    "skipper",
    "farmer",
    "keyholder",
    "cleaner",
    "guest",
    "neighbour",
    "treasurer",
    "network operator",
    "council",
    "builder",
    "plumber",
    "staff",
    "shopkeeper",
    "warden",
    "yard",
    "letting agent",
];

/// The role that `who` names, in lower case without an article: `the Agent` is `agent`, `agent and tenant` is both.
/// `None` where any part of it is no role.
pub fn role(who: &str) -> Option<String> {
    let lower = who.to_lowercase();
    let parts: Vec<&str> = lower
        .split([',', '&', '/'])
        .flat_map(|part| part.split(" and "))
        .map(|part| part.trim())
        .map(|part| part.strip_prefix("the ").unwrap_or(part))
        .collect();
    let all_roles = parts.iter().all(|part| ROLES.contains(part));
    all_roles.then(|| parts.join(" and "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_role_is_told_from_a_name() {
        assert_eq!(role("Yard manager").as_deref(), Some("yard manager"));
        assert_eq!(
            role("the agent and the tenant").as_deref(),
            Some("agent and tenant")
        );
        assert_eq!(role("Odo Brannick"), None);
        assert_eq!(role("tenant, Mr Pell"), None);
        assert_eq!(role(""), None);
    }

    #[test]
    fn a_bare_means_is_said_with_by() {
        for (written, said) in [
            ("phone", "by phone"),
            ("Email", "by email"),
            ("phone and email", "by phone and email"),
            ("text message", "by text message"),
            ("by phone", "by phone"),
            ("in person", "in person"),
            ("face to face", "face to face"),
        ] {
            assert_eq!(in_words(written), said);
        }
    }
}
