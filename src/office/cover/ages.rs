//! The two curves of the cover report at a few ages, as far as the record has seen.

use super::Cover;

/// Ages in days and what they are called.
const AGES: [(f64, &str); 8] = [
    (30.0, "a month"),
    (91.0, "3 months"),
    (182.0, "6 months"),
    (365.0, "1 year"),
    (730.0, "2 years"),
    (1_095.0, "3 years"),
    (1_461.0, "4 years"),
    (1_826.0, "5 years"),
];

/// Both curves at an age.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::office) struct AtAge {
    /// Days since the job was done.
    pub(in crate::office) days: f64,
    /// `1 year`.
    pub(in crate::office) name: &'static str,
    /// Jobs in sight.
    pub(in crate::office) in_sight: usize,
    /// The share not gone back to.
    pub(in crate::office) share: f64,
    /// Lower end of its 95 % interval; `None` before the first return.
    pub(in crate::office) low: Option<f64>,
    /// Upper end.
    pub(in crate::office) high: Option<f64>,
    /// Returns for each job.
    pub(in crate::office) mean: f64,
}

/// The ages that ten jobs or more have reached; none where there are not so many jobs.
pub(in crate::office) fn at_ages(cover: &Cover) -> Vec<AtAge> {
    let seen = cover.seen_days.unwrap_or(0.0);
    AGES.into_iter()
        .filter(|(days, _)| *days <= seen)
        .map(|(days, name)| {
            let first = cover.first_return.iter().rfind(|step| step.days <= days);
            let mean = cover.returns_per_job.iter().rfind(|step| step.days <= days);
            AtAge {
                days,
                name,
                in_sight: cover.in_sight(days),
                share: first.map_or(1.0, |step| step.survival),
                low: first.and_then(|step| step.low),
                high: first.and_then(|step| step.high),
                mean: mean.map_or(0.0, |step| step.mean),
            }
        })
        .collect()
}
