//! Materials sold below their cost, and a material with a count of nought.
//!
//! Common practice, no source.

use crate::diagnose::{Code, Diagnostic};
use crate::model::{Job, Material, Money};

/// A warning for each line with a charge below its cost or a count of nought, and one where all that was charged for
/// materials is below what the lines cost. `uncharged` gives a reason and answers for the money.
pub fn check(job: &Job, said: &mut Vec<Diagnostic>) {
    for material in &job.materials {
        said.extend(nought(material));
    }
    if job.uncharged.is_some() {
        return;
    }
    let before = said.len();
    said.extend(job.materials.iter().filter_map(line_below));
    if said.len() == before {
        said.extend(all_below(job));
    }
}

fn nought(material: &Material) -> Option<Diagnostic> {
    let span = material.counted.filter(|_| material.count == 0.0)?;
    Some(Diagnostic::warning(
        Code::CountNought,
        span,
        "this material has a count of nought",
        "Write how many were used, or take the line out.",
    ))
}

/// `cost` and `charge` of a line are both each or both for all, so they compare as they stand.
fn line_below(material: &Material) -> Option<Diagnostic> {
    let cost = material.cost.as_ref()?.in_office().value;
    let charge = material.charge.as_ref()?.in_office();
    (charge.value < cost).then(|| {
        Diagnostic::warning(
            Code::BelowCost,
            charge.span,
            format!("this is charged at {} and cost {cost}", charge.value),
            "Charge at least what it cost. If it is meant, write uncharged: and why.",
        )
    })
}

/// All materials charged together against what is known of their cost, which the true cost is never below.
fn all_below(job: &Job) -> Option<Diagnostic> {
    let charged = job.charged.as_ref()?.in_office().materials.as_ref()?;
    let cost: Money = job.materials.iter().filter_map(line_cost).sum();
    (charged.value < cost).then(|| {
        Diagnostic::warning(
            Code::BelowCost,
            charged.span,
            format!(
                "{} were charged for materials that cost {cost} together",
                charged.value
            ),
            "Charge at least what they cost. If it is meant, write uncharged: and why.",
        )
    })
}

/// The cost of a line, rounded down to the penny: a count has thousandths at the most that matter.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a count is far below 2^50, and a float cast saturates"
)]
fn line_cost(material: &Material) -> Option<Money> {
    let cost = material.cost.as_ref()?.in_office().value;
    if material.for_all {
        return Some(cost);
    }
    let thousandths = (material.count * 1000.0).round() as i64;
    Some(Money::from_pence(
        cost.pence().saturating_mul(thousandths) / 1000,
    ))
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::told;

    fn with(charged: &str, material: &str) -> String {
        told(&format!(
            "{charged}visits: [{{date: 2026-11-20, time: 1h}}]\nmaterials:\n  - {{item: Gland, {material}}}\n"
        ))
    }

    #[test]
    fn a_line_charged_below_its_cost_is_asked_about() {
        insta::assert_snapshot!(with("", "count: 4, cost: 4.50, charge: 4.05"), @r#"
        jobs/2026/a.md, line 7: warning: this is charged at 4.05 and cost 4.50.
            7 |   - {item: Gland, count: 4, cost: 4.50, charge: 4.05}
              |                                                 ^^^^
        Charge at least what it cost. If it is meant, write uncharged: and why. (below-cost)

        1 warning.
        "#);
        assert_eq!(with("", "count: 4, cost: 4.50, charge: 4.50"), "");
    }

    #[test]
    fn all_materials_charged_below_what_they_cost_together_are_asked_about() {
        let charged = "charged: {labour: 42.00, materials: 15.00}\n";
        insta::assert_snapshot!(with(charged, "count: 4, cost: 4.50"), @r#"
        jobs/2026/a.md, line 5: warning: 15.00 were charged for materials that cost 18.00 together.
            5 | charged: {labour: 42.00, materials: 15.00}
              |                                     ^^^^^
        Charge at least what they cost. If it is meant, write uncharged: and why. (below-cost)

        1 warning.
        "#);
        assert_eq!(with(charged, "count: 4, cost: 4.50, cost_for: all"), "");
        assert_eq!(
            with(
                &format!("uncharged: glands at my own cost\n{charged}"),
                "count: 4, cost: 4.50"
            ),
            ""
        );
    }

    #[test]
    fn a_count_of_nought_is_asked_about() {
        insta::assert_snapshot!(with("", "count: 0, cost: 4.50"), @r#"
        jobs/2026/a.md, line 7: warning: this material has a count of nought.
            7 |   - {item: Gland, count: 0, cost: 4.50}
              |                          ^
        Write how many were used, or take the line out.                 (count-nought)

        1 warning.
        "#);
    }
}
