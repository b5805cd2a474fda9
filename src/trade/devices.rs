//! Devices and kinds of device as people write them, told apart.
//!
//! Knows names and no figures.

use super::tables::{self, Breaker, RcdKind};

/// A kind of RCD as people write it: `A`, `AC`, `type S`, `S-type`, `time-delayed`, `BS 4293`. `None` for anything
/// else.
pub fn rcd_kind(written: &str) -> Option<RcdKind> {
    match folded(written).as_str() {
        "a" | "ac" | "f" | "b" | "b+" | "g" | "general" | "rcbo" | "rccb" | "rcd" | "bsen61008"
        | "bsen61009" => Some(RcdKind::General),
        "s" | "delayed" | "timedelayed" | "timedelay" | "selective" => Some(RcdKind::Delayed),
        "bs4293" | "bs7288" => Some(RcdKind::Older),
        _ => None,
    }
}

/// A circuit-breaker's type as people write it: `B`, `type B`, `RCBO B`, `BS EN 60898 B`. `None` for anything else.
pub(super) fn breaker(written: &str) -> Option<&'static Breaker> {
    let bare = folded(written);
    let bare =
        ["rcbo", "mcb", "bsen60898", "bsen61009"]
            .into_iter()
            .fold(bare.as_str(), |bare, name| {
                bare.strip_prefix(name)
                    .or_else(|| bare.strip_suffix(name))
                    .unwrap_or(bare)
            });
    let bare = bare.strip_prefix("type").unwrap_or(bare);
    tables::breakers()
        .iter()
        .find(|breaker| breaker.kind.eq_ignore_ascii_case(bare))
}

/// A name without case, spaces, hyphens, and the words `type` and `curve` at its ends.
pub(super) fn folded(name: &str) -> String {
    let bare: String = name
        .chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '-' | '/' | '.'))
        .flat_map(char::to_lowercase)
        .collect();
    ["type", "curve"]
        .into_iter()
        .fold(bare.as_str(), |bare, word| {
            bare.strip_prefix(word)
                .or_else(|| bare.strip_suffix(word))
                .filter(|rest| !rest.is_empty())
                .unwrap_or(bare)
        })
        .to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_of_rcd_are_known_however_they_are_written() {
        for kind in ["S", "type S", "S-type", "Time-delayed", "selective"] {
            assert_eq!(rcd_kind(kind), Some(RcdKind::Delayed), "{kind}");
        }
        for kind in ["A", "type A", "AC", "F", "type B", "RCBO"] {
            assert_eq!(rcd_kind(kind), Some(RcdKind::General), "{kind}");
        }
        assert_eq!(rcd_kind("BS 7288"), Some(RcdKind::Older));
        assert_eq!(rcd_kind("portable"), None);
    }

    #[test]
    fn a_breaker_s_type_is_one_letter_and_what_usually_stands_round_it() {
        let kind = |written: &str| breaker(written).map(|breaker| breaker.kind.as_str());
        assert_eq!(kind("rcbo type c"), Some("C"));
        assert_eq!(kind("D"), Some("D"));
        for other in ["K", "BS 3036", "RCBO", "type", "", "BC"] {
            assert_eq!(kind(other), None, "{other}");
        }
    }
}
