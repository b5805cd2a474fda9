//! Cable, conduit and the like with a number and no unit: thirty what?
//!
//! Common practice, no source.

use std::collections::HashMap;

use crate::diagnose::{Code, Diagnostic};
use crate::model::page::folded;
use crate::model::{Job, Settings};

/// Words of things that are sold by the metre.
const BY_THE_METRE: [&str; 5] = ["cable", "conduit", "trunking", "flex", "tails"];
/// Words that make such a thing a fitting for it, sold one by one.
const FITTINGS: [&str; 26] = [
    "clip",
    "clips",
    "tie",
    "ties",
    "gland",
    "glands",
    "saddle",
    "saddles",
    "box",
    "boxes",
    "outlet",
    "outlets",
    "grip",
    "grips",
    "connector",
    "connectors",
    "bend",
    "bends",
    "coupler",
    "couplers",
    "lug",
    "lugs",
    "marker",
    "markers",
    "cleat",
    "cleats",
];

/// The price book by name, made once for a diary: every name and what people type for it, with the unit.
pub struct Book<'a>(HashMap<String, Option<&'a str>>);

impl<'a> Book<'a> {
    /// The book of a diary's settings. Of two lines with one name the first counts.
    pub fn new(settings: &'a Settings) -> Self {
        let mut names = HashMap::new();
        for item in settings.materials.iter().map(|item| item.in_office()) {
            for name in std::iter::once(&item.item).chain(&item.also) {
                names.entry(folded(name)).or_insert(item.unit.as_deref());
            }
        }
        Book(names)
    }

    /// The unit in which the book sells an item; `None` where the book does not have it, or no unit.
    fn unit(&self, item: &str) -> Option<&'a str> {
        self.0.get(&folded(item)).copied().flatten()
    }
}

/// One warning for each such line. The price book is asked first: what it sells by the metre wants its unit, and what
/// it sells by anything else does not.
pub fn check(book: &Book<'_>, job: &Job, said: &mut Vec<Diagnostic>) {
    for material in job
        .materials
        .iter()
        .filter(|material| material.unit.is_none())
    {
        let wants = match book.unit(&material.item.value) {
            Some(unit) => unit == "m",
            None => material.count > 1.0 && by_the_metre(&material.item.value),
        };
        if wants {
            said.push(Diagnostic::warning(
                Code::MetresNoUnit,
                material.counted.unwrap_or(material.item.span),
                format!("{} is sold by the metre and this line has no unit", material.item.value),
                format!(
                    "If {} metres are meant, write unit: m. For a coil or a single length write unit: each.",
                    material.count
                ),
            ));
        }
    }
}

fn by_the_metre(item: &str) -> bool {
    let item = item.to_lowercase();
    let has = |list: &[&str]| {
        item.split(|c: char| !c.is_alphanumeric())
            .any(|word| list.contains(&word))
    };
    has(&BY_THE_METRE) && !has(&FITTINGS)
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::told;

    fn with(material: &str) -> String {
        told(&format!(
            "visits: [{{date: 2026-11-20, time: 1h}}]\nmaterials:\n  - {{{material}}}\n"
        ))
    }

    #[test]
    fn what_the_price_book_sells_by_the_metre_wants_its_unit() {
        insta::assert_snapshot!(with("item: swa, count: 24"), @r#"
        jobs/2026/a.md, line 7: warning: swa is sold by the metre and this line has no unit.
            7 |   - {item: swa, count: 24}
              |                        ^^
        If 24 metres are meant, write unit: m. For a coil or a single length write unit:
        each.                                                           (metres-no-unit)

        1 warning.
        "#);
        assert_eq!(with("item: SWA, count: 24, unit: m"), "");
    }

    #[test]
    fn a_cable_that_the_book_does_not_have_is_known_by_its_name() {
        insta::assert_snapshot!(with("item: Fire-resisting cable 1.5 mm2, count: 12"), @r#"
        jobs/2026/a.md, line 7: warning: Fire-resisting cable 1.5 mm2 is sold by the metre and this line has no unit.
            7 |   - {item: Fire-resisting cable 1.5 mm2, count: 12}
              |                                                 ^^
        If 12 metres are meant, write unit: m. For a coil or a single length write unit:
        each.                                                           (metres-no-unit)

        1 warning.
        "#);
    }

    #[test]
    fn fittings_and_single_lengths_are_left_alone() {
        for material in [
            "item: \"Cable clips, box of 100\", count: 2",
            "item: Cable ties, count: 20",
            "item: Conduit box, count: 3",
            "item: Flexible coupling, count: 2",
            "item: Conduit 25 mm, count: 1",
        ] {
            assert_eq!(with(material), "", "{material}");
        }
    }
}
