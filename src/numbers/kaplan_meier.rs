//! How long until it happens the first time, when for many it has not happened yet: the
//! product-limit estimate of Kaplan and Meier. Counts no second time: see
//! `mean_cumulative`.

use super::normal::Confidence;

/// One unit's time in sight, in any unit of time, from 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spell {
    /// How long it was in sight.
    pub duration: f64,
    /// Why it went out of sight.
    pub end: SpellEnd,
}

/// Why a unit went out of sight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpellEnd {
    /// What was waited for happened.
    Event,
    /// The looking stopped and it had not happened: censored.
    Censored,
}

/// The estimate just after one time at which it happened.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SurvivalStep {
    /// When, in the unit of the durations.
    pub time: f64,
    /// Units in sight up to then; those censored at this very time are among them.
    pub at_risk: usize,
    /// Units it happened to at this time.
    pub events: usize,
    /// The share it has still not happened to.
    pub survival: f64,
    /// Greenwood's standard error of the share; `None` where the share is 0.
    pub standard_error: Option<f64>,
    /// The log-log interval of the share, low and high; `None` where the share is 0.
    pub interval: Option<[f64; 2]>,
}

/// The whole curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Survival {
    /// One step for each time it happened, ascending; none if it never did.
    pub steps: Vec<SurvivalStep>,
    /// The longest duration: what lies beyond it nobody has seen.
    pub longest: f64,
}

impl Survival {
    /// The share it has not happened to by `time`: 1 before the first step; past the
    /// longest duration that of the last step.
    pub fn at(&self, time: f64) -> f64 {
        let passed = self.steps.partition_point(|step| step.time <= time);
        match passed {
            0 => 1.0,
            _ => self.steps[passed - 1].survival,
        }
    }
}

/// The share it has not happened to yet, by time, with Greenwood's standard error and the
/// log-log interval, which stays between 0 and 1; `None` for no spell, or a duration that
/// is negative or not finite. The spells may stand in any order.
///
/// ```text
/// S(t)     = product over times <= t of (1 - d/n)
/// se       = S sqrt(G),  G = sum of d / (n (n - d))
/// interval = S^exp(-+ z sqrt(G) / ln S)
/// ```
///
/// `d` it happened to at a time, `n` in sight up to it. At one time events come before
/// censorings. Source: Kaplan and Meier (1958), JASA 53; Greenwood (1926); Kalbfleisch and
/// Prentice (1980) for the interval.
pub fn kaplan_meier(spells: &[Spell], confidence: Confidence) -> Option<Survival> {
    let odd = |spell: &Spell| !(spell.duration >= 0.0 && spell.duration.is_finite());
    if spells.iter().any(odd) {
        return None;
    }
    let mut spells = spells.to_vec();
    spells.sort_unstable_by(|one, other| one.duration.total_cmp(&other.duration));
    let longest = spells.last()?.duration;
    let z = confidence.upper_z();
    let mut steps = Vec::new();
    let (mut survival, mut greenwood) = (1.0, 0.0);
    let mut seen = 0;
    for group in spells.chunk_by(|one, other| one.duration == other.duration) {
        let at_risk = spells.len() - seen;
        seen += group.len();
        let is_event = |spell: &&Spell| spell.end == SpellEnd::Event;
        let events = group.iter().filter(is_event).count();
        if events == 0 {
            continue;
        }
        let left = (at_risk - events) as f64;
        survival *= left / at_risk as f64;
        greenwood += events as f64 / (at_risk as f64 * left);
        let defined = survival > 0.0;
        steps.push(SurvivalStep {
            time: group[0].duration,
            at_risk,
            events,
            survival,
            standard_error: defined.then(|| survival * greenwood.sqrt()),
            interval: defined.then(|| {
                let log = survival.ln();
                let reach = z * greenwood.sqrt() / -log;
                [reach, -reach].map(|power| (log * power.exp()).exp())
            }),
        });
    }
    Some(Survival { steps, longest })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn spells(durations: &[(f64, SpellEnd)]) -> Vec<Spell> {
        durations
            .iter()
            .map(|&(duration, end)| Spell { duration, end })
            .collect()
    }

    fn curve(durations: &[(f64, SpellEnd)]) -> Option<Survival> {
        kaplan_meier(&spells(durations), Confidence::NINETY_FIVE)
    }

    use SpellEnd::{Censored, Event};

    #[test]
    fn nothing_or_a_duration_that_can_not_be_has_no_curve() {
        assert_eq!(curve(&[]), None);
        assert_eq!(curve(&[(-1.0, Event)]), None);
        assert_eq!(curve(&[(1.0, Event), (f64::NAN, Censored)]), None);
    }

    #[test]
    fn what_never_happened_leaves_everyone() {
        let level = curve(&[(10.0, Censored), (400.0, Censored)]).expect("two spells");
        assert_eq!(level.steps, []);
        assert_eq!((level.at(0.0), level.at(1000.0)), (1.0, 1.0));
        assert_eq!(level.longest, 400.0);
    }

    #[test]
    fn one_unit_it_happened_to_leaves_nobody_and_no_interval() {
        let one = curve(&[(3.0, Event)]).expect("one spell");
        let step = one.steps[0];
        assert_eq!((step.at_risk, step.events, step.survival), (1, 1, 0.0));
        assert_eq!((step.standard_error, step.interval), (None, None));
        assert_eq!((one.at(2.9), one.at(3.0)), (1.0, 0.0));
    }

    #[test]
    fn the_censored_at_a_time_are_still_in_sight_of_it() {
        let tied = curve(&[(5.0, Event), (5.0, Censored), (8.0, Censored)]).expect("spells");
        assert_eq!((tied.steps[0].at_risk, tied.steps[0].events), (3, 1));
        assert!((tied.at(5.0) - 2.0 / 3.0).abs() < 1e-15);
    }

    proptest! {
        #[test]
        fn the_curve_falls_and_stays_in_its_interval(
            seen in prop::collection::vec((0..40_u32, any::<bool>()), 1..60),
        ) {
            let seen: Vec<_> = seen
                .into_iter()
                .map(|(time, event)| (f64::from(time), if event { Event } else { Censored }))
                .collect();
            let curve = curve(&seen).expect("spells");
            let mut before = 1.0;
            for step in &curve.steps {
                prop_assert!(step.survival < before);
                before = step.survival;
                if let Some([low, high]) = step.interval {
                    prop_assert!(0.0 <= low && low <= step.survival && step.survival <= high);
                    prop_assert!(high <= 1.0);
                }
            }
        }
    }
}
