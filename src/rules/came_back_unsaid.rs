//! A reviewed material on a job that was gone back to free, where the log does not say whether it was this that failed.
//!
//! Common practice, no source. Without it a review would count what nobody wrote down as good.

use std::collections::HashSet;

use crate::diagnose::{Code, Diagnostic};
use crate::model::page::folded;
use crate::model::{Diary, PageKind, VisitKind};

/// One warning for each line of such a material.
pub fn check(diary: &Diary, said: &mut Vec<Diagnostic>) {
    let reviewed: HashSet<String> = diary
        .pages
        .iter()
        .filter_map(|page| match &page.kind {
            PageKind::Review(review) => review.material.as_ref(),
            _ => None,
        })
        .map(|material| folded(material))
        .collect();
    if reviewed.is_empty() {
        return;
    }
    for job in diary.jobs.iter().filter(|job| !job.has_error) {
        let Some(back) = job
            .visits
            .iter()
            .find(|visit| visit.kind == VisitKind::Guarantee)
        else {
            continue;
        };
        for material in &job.materials {
            if material.came_back.is_none() && reviewed.contains(&folded(&material.item)) {
                let day = &back.date.in_office();
                said.push(
                    Diagnostic::warning(
                        Code::CameBackUnsaid,
                        material.item.span,
                        "this job had a free return, and the log does not say whether this had failed",
                        format!(
                            "A review counts it: write came_back: [{}] if one did, or came_back: [].",
                            day.value
                        ),
                    )
                    .also(day.span, "gone back here"),
                );
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::told_of;

    const REVIEW: &str =
        "---\ntitle: A lamp\nmaterial: Lantick  Lamp\ncame_by: bought\n---\nWords.\n";

    fn job(kind: &str, came_back: &str) -> String {
        let log = format!(
            "---
title: A job
ref: 2026-001
location: shop
visits:
  - {{date: 2026-05-01, time: 2h}}
  - {{date: 2026-05-20, kind: {kind}, time: 30m}}
materials:
  - {{item: Lantick lamp, count: 4{came_back}}}
  - {{item: Something else, count: 4}}
---
Words.
"
        );
        told_of(&[("jobs/2026/a.md", &log), ("reviews/lamp.md", REVIEW)])
    }

    #[test]
    fn a_free_return_is_asked_about_for_what_a_review_counts() {
        insta::assert_snapshot!(job("guarantee", ""), @r"
        jobs/2026/a.md, line 9: warning: this job had a free return, and the log does not say whether this had failed.
            9 |   - {item: Lantick lamp, count: 4}
              |            ^^^^^^^^^^^^
          line 7: gone back here
            7 |   - {date: 2026-05-20, kind: guarantee, time: 30m}
              |            ----------
        A review counts it: write came_back: [2026-05-20] if one did, or came_back: []. (came-back-unsaid)

        1 warning.
        ");
    }

    #[test]
    fn what_the_log_says_is_not_asked_about() {
        assert_eq!(job("guarantee", ", came_back: []"), "");
        assert_eq!(job("guarantee", ", came_back: [2026-05-20]"), "");
        assert_eq!(job("follow-up", ""), "");
    }
}
