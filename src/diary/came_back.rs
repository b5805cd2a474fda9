//! What of a material came back: `came_back: [2026-04-15]`, a day for each, or `[]` for none.
//!
//! Counts nothing: [`crate::model::fitted`] does.

use crate::diagnose::Code;
use crate::model::{Job, VisitKind};

use super::fields::Reader;
use super::shorten::shorten;

/// Each day is that of a free return, and no more came back than were fitted.
pub fn check(reader: &mut Reader<'_>, job: &Job) {
    for material in &job.materials {
        let Some(days) = material.came_back.as_ref().map(|days| days.in_office()) else {
            continue;
        };
        for day in days {
            let returned = job.visits.iter().any(|visit| {
                visit.kind == VisitKind::Guarantee && visit.date.in_office().value == day.value
            });
            if !returned {
                reader.error(
                    Code::NoSuchVisit,
                    day.span,
                    format!("this log has no free return on {}", day.value),
                    "Write the date of the visit of kind guarantee that went back to it.",
                );
            }
        }
        #[expect(
            clippy::cast_precision_loss,
            reason = "a log's days are far below 2^52"
        )]
        let more = days.len() as f64 > material.count;
        if material.counted_in().is_none()
            && more
            && let Some(last) = days.last()
        {
            reader.error(
                Code::BadNumber,
                last.span,
                format!(
                    "more of {} came back than were fitted",
                    shorten(&material.item)
                ),
                "Write a day for each that came back, or correct the count.",
            );
        }
    }
}
