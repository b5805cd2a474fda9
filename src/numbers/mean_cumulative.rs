//! How often it happens to one unit by an age, when it can happen again and again: the mean
//! cumulative function of Nelson, and what the record says beyond the age it has seen.
//! The first time alone is `kaplan_meier`'s.

use super::normal::Confidence;

/// An age that fewer units than this have reached says too little: from there on the mean
/// is carried on at a rate.
pub const LEAST_IN_SIGHT: usize = 10;

/// What happened to one unit from age 0 on, in any unit of time.
#[derive(Debug, Clone, PartialEq)]
pub struct History {
    /// The age up to which it was in sight.
    pub end: f64,
    /// The ages at which it happened, in any order, none past `end`.
    pub events: Vec<f64>,
}

/// The estimate just after one age at which it happened to somebody.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeanStep {
    /// The age, in the unit of the histories.
    pub age: f64,
    /// Units in sight at this age.
    pub at_risk: usize,
    /// Times it happened at this age.
    pub events: usize,
    /// Times it has happened to one unit by then, on average.
    pub mean: f64,
    /// The robust standard error of the mean.
    pub standard_error: f64,
    /// The interval of the mean, on its logarithm.
    pub low: f64,
    /// Upper end of the interval.
    pub high: f64,
}

/// The mean cumulative function with what carries it on.
#[derive(Debug, Clone, PartialEq)]
pub struct MeanCumulative {
    /// One step for each age at which it happened, ascending; none if it never did.
    pub steps: Vec<MeanStep>,
    /// The ends of all histories, ascending.
    ends: Vec<f64>,
    /// The ages of all events, ascending.
    ages: Vec<f64>,
}

/// The rate by which the mean is carried on past what the record has seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CarriedOn {
    /// The age from which on.
    pub from: f64,
    /// The age after which the rate was counted; 0 where it is the rate of everything.
    pub counted_after: f64,
    /// Events that the rate was counted from.
    pub events: usize,
    /// Time in sight that it was counted over, summed over the units.
    pub exposure: f64,
}

impl CarriedOn {
    /// Events for one unit in one unit of time; 0 with no time in sight.
    pub fn rate(&self) -> f64 {
        if self.exposure > 0.0 {
            self.events as f64 / self.exposure
        } else {
            0.0
        }
    }
}

/// How often it happens by an age.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// Times it happens to one unit by then, on average.
    pub mean: f64,
    /// What the mean was carried on by; `None` where the record reaches that far.
    pub carried: Option<CarriedOn>,
}

/// The mean number of times it has happened by each age, with the robust standard error of
/// Lawless and Nadeau and an interval on the logarithm; `None` for no history, an age that
/// is negative or not finite, or an event past its history's end.
///
/// ```text
/// M(t)     = sum over ages a <= t of d/r
/// se^2     = sum over units of [sum over a <= t, a <= end, of (own events at a - d/r) / r]^2
/// interval = M exp(-+ z se / M)
/// ```
///
/// `d` times it happened at an age, `r` units in sight then (end >= age). The standard error
/// holds also where some units are worse than others or the first time brings on the next,
/// which Poisson's would not. Takes n log n steps. Source: Nelson (1995), Technometrics 37;
/// Lawless and Nadeau (1995), Technometrics 37.
pub fn mean_cumulative(histories: &[History], confidence: Confidence) -> Option<MeanCumulative> {
    let is_age = |age: f64| age >= 0.0 && age.is_finite();
    let holds = |history: &History| {
        let within = |&age: &f64| is_age(age) && age <= history.end;
        is_age(history.end) && history.events.iter().all(within)
    };
    if histories.is_empty() || !histories.iter().all(holds) {
        return None;
    }
    let mut by_end: Vec<usize> = (0..histories.len()).collect();
    by_end.sort_by(|&one, &other| histories[one].end.total_cmp(&histories[other].end));
    let mut happened: Vec<(f64, usize)> = histories
        .iter()
        .enumerate()
        .flat_map(|(unit, history)| history.events.iter().map(move |&age| (age, unit)))
        .collect();
    happened.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));

    let mut deviations = Deviations::of(histories.len());
    let mut gone = by_end.iter().copied().peekable();
    let mut at_risk = histories.len();
    let z = confidence.upper_z();
    let mut mean = 0.0;
    let mut steps = Vec::new();
    for group in happened.chunk_by(|one, other| one.0 == other.0) {
        let age = group[0].0;
        while let Some(unit) = gone.next_if(|&unit| histories[unit].end < age) {
            deviations.freeze(unit);
            at_risk -= 1;
        }
        mean += group.len() as f64 / at_risk as f64;
        for &(_, unit) in group {
            deviations.add(unit, 1.0 / at_risk as f64);
        }
        deviations.pass(group.len() as f64 / (at_risk as f64).powi(2));
        let standard_error = deviations.sum_of_squares(at_risk).sqrt();
        let factor = (z * standard_error / mean).exp();
        steps.push(MeanStep {
            age,
            at_risk,
            events: group.len(),
            mean,
            standard_error,
            low: mean / factor,
            high: mean * factor,
        });
    }
    Some(MeanCumulative {
        steps,
        ends: by_end.iter().map(|&unit| histories[unit].end).collect(),
        ages: happened.into_iter().map(|(age, _)| age).collect(),
    })
}

/// Each unit's deviation from the mean, kept as sums so that a step costs the events of its
/// age and not all units: a unit in sight deviates by `own - common`, one out of sight by
/// what that was when it went.
struct Deviations {
    own: Vec<f64>,
    common: f64,
    /// Sums over the units in sight.
    sum: f64,
    squares: f64,
    /// The sum of squared deviations of those out of sight.
    frozen: f64,
}

impl Deviations {
    fn of(units: usize) -> Self {
        Self {
            own: vec![0.0; units],
            common: 0.0,
            sum: 0.0,
            squares: 0.0,
            frozen: 0.0,
        }
    }

    fn add(&mut self, unit: usize, amount: f64) {
        let before = self.own[unit];
        let after = before + amount;
        self.own[unit] = after;
        self.sum += amount;
        self.squares += after * after - before * before;
    }

    fn pass(&mut self, amount: f64) {
        self.common += amount;
    }

    fn freeze(&mut self, unit: usize) {
        let own = self.own[unit];
        self.sum -= own;
        self.squares -= own * own;
        self.frozen += (own - self.common).powi(2);
    }

    fn sum_of_squares(&self, in_sight: usize) -> f64 {
        let seen = self.squares - 2.0 * self.common * self.sum
            + in_sight as f64 * self.common * self.common;
        // One unit alone has no deviation, and rounding may leave less than none.
        self.frozen + seen.max(0.0)
    }
}

impl MeanCumulative {
    /// The mean by `age` as the record has it: 0 before the first step.
    pub fn at(&self, age: f64) -> f64 {
        let passed = self.steps.partition_point(|step| step.age <= age);
        match passed {
            0 => 0.0,
            _ => self.steps[passed - 1].mean,
        }
    }

    /// The greatest age that at least [`LEAST_IN_SIGHT`] units have reached; 0 where there
    /// are not so many.
    pub fn seen_to(&self) -> f64 {
        match self.ends.len().checked_sub(LEAST_IN_SIGHT) {
            Some(place) => self.ends[place],
            None => 0.0,
        }
    }

    /// How often it happens to one unit by `age`. Past [`Self::seen_to`] the mean is carried
    /// on at the rate of everything that happened after `settled`, the age at which the first
    /// rush is over (a year, in the unit of the histories).
    ///
    /// ```text
    /// M(h) = M(s) + (h - s) events after `settled` / time in sight after `settled`,  h > s
    /// ```
    ///
    /// The rate of the last year alone is as right on average and half as far out again
    /// (600 simulated records: RMSE 0.135 against 0.087 for a truth of 0.180). Where the
    /// record does not reach past `settled` with [`LEAST_IN_SIGHT`] units the rate is that of
    /// everything; that choice is ours. With no time in sight at all the mean is 0.
    pub fn expected_by(&self, age: f64, settled: f64) -> Expected {
        let from = self.seen_to();
        if age <= from {
            return Expected {
                mean: self.at(age),
                carried: None,
            };
        }
        let counted_after = if from > settled { settled } else { 0.0 };
        // For the rate of everything, an event at age 0 itself counts too.
        let early = if counted_after > 0.0 {
            self.ages.partition_point(|&at| at <= counted_after)
        } else {
            0
        };
        let events = self.ages.len() - early;
        let exposure = self
            .ends
            .iter()
            .map(|end| (end - counted_after).max(0.0))
            .sum();
        let carried = CarriedOn {
            from,
            counted_after,
            events,
            exposure,
        };
        let more = (age - from) * carried.rate();
        // Carried on from age 0, the rate takes the place of the whole curve.
        let seen = if from > 0.0 { self.at(from) } else { 0.0 };
        Expected {
            mean: seen + more,
            carried: Some(carried),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn history(end: f64, events: &[f64]) -> History {
        History {
            end,
            events: events.to_vec(),
        }
    }

    fn curve(histories: &[History]) -> Option<MeanCumulative> {
        mean_cumulative(histories, Confidence::NINETY_FIVE)
    }

    #[test]
    fn nothing_or_ages_that_can_not_be_have_no_curve() {
        assert_eq!(curve(&[]), None);
        assert_eq!(curve(&[history(-1.0, &[])]), None);
        assert_eq!(curve(&[history(f64::NAN, &[])]), None);
        assert_eq!(curve(&[history(5.0, &[6.0])]), None);
        assert_eq!(curve(&[history(5.0, &[f64::NAN])]), None);
    }

    #[test]
    fn what_never_happened_is_expected_never() {
        let level = curve(&vec![history(400.0, &[]); 12]).expect("twelve units");
        assert_eq!(level.steps, []);
        assert_eq!(level.expected_by(300.0, 365.25).mean, 0.0);
        let far = level.expected_by(2000.0, 365.25);
        assert_eq!(far.mean, 0.0);
        let carried = far.carried.expect("past 400");
        assert_eq!((carried.from, carried.counted_after), (400.0, 365.25));
        assert_eq!((carried.events, carried.exposure), (0, 12.0 * 34.75));
    }

    #[test]
    fn past_ten_units_in_sight_the_late_rate_carries_on() {
        // Twelve units; the tenth from the end has reached 3. After 1: events at 2 and 4,
        // exposure 0 + 1 + 9 times 2 + 3.
        let mut units = vec![history(3.0, &[]); 8];
        units.push(history(3.0, &[0.5]));
        units.push(history(4.0, &[2.0, 4.0]));
        units.push(history(2.0, &[]));
        units.push(history(1.0, &[]));
        let curve = curve(&units).expect("twelve units");
        assert_eq!(curve.seen_to(), 3.0);
        let near = curve.expected_by(3.0, 1.0);
        assert_eq!(near.carried, None);
        assert!((near.mean - (1.0 / 12.0 + 1.0 / 11.0)).abs() < 1e-15);
        let far = curve.expected_by(6.0, 1.0);
        let carried = far.carried.expect("past 3");
        assert_eq!(
            (carried.from, carried.events, carried.exposure),
            (3.0, 2, 22.0)
        );
        assert!((far.mean - (near.mean + 3.0 * 2.0 / 22.0)).abs() < 1e-15);
    }

    #[test]
    fn a_young_record_goes_by_the_rate_of_everything() {
        // Eleven units of half a year: nothing has been seen past the first year.
        let mut units = vec![history(0.5, &[]); 10];
        units.push(history(0.5, &[0.0, 0.25]));
        let young = curve(&units).expect("eleven units");
        let carried = young.expected_by(6.0, 1.0).carried.expect("past 0.5");
        assert_eq!((carried.from, carried.counted_after), (0.5, 0.0));
        assert_eq!((carried.events, carried.exposure), (2, 5.5));
        // Three units: too few for any age.
        let few = curve(&units[8..]).expect("three units");
        let expected = few.expected_by(1.5, 1.0);
        assert_eq!(expected.carried.expect("from 0").from, 0.0);
        assert!((expected.mean - 1.5 * 2.0 / 1.5).abs() < 1e-15);
        // In sight for no time at all.
        let none = curve(&[history(0.0, &[])]).expect("one unit");
        assert_eq!(none.expected_by(6.0, 1.0).mean, 0.0);
    }

    /// The robust variance by its definition, unit by unit.
    fn plain_variance(histories: &[History], curve: &MeanCumulative, upto: f64) -> f64 {
        let deviation = |history: &History| -> f64 {
            let steps = curve.steps.iter().filter(|step| step.age <= upto);
            steps
                .filter(|step| step.age <= history.end)
                .map(|step| {
                    let own = history.events.iter().filter(|&&age| age == step.age);
                    let r = step.at_risk as f64;
                    (own.count() as f64 - step.events as f64 / r) / r
                })
                .sum()
        };
        histories
            .iter()
            .map(|history| deviation(history).powi(2))
            .sum()
    }

    proptest! {
        #[test]
        fn the_sums_give_the_variance_of_the_definition(
            units in prop::collection::vec(
                (1..30_u32, prop::collection::vec(0.0..=1.0_f64, 0..4)),
                1..25,
            ),
        ) {
            let histories: Vec<History> = units
                .into_iter()
                .map(|(end, shares)| {
                    let end = f64::from(end);
                    let events: Vec<f64> = shares.iter().map(|s| (s * end).floor()).collect();
                    history(end, &events)
                })
                .collect();
            let curve = curve(&histories).expect("units");
            for step in &curve.steps {
                let plain = plain_variance(&histories, &curve, step.age);
                prop_assert!((step.standard_error.powi(2) - plain).abs() < 1e-12);
                prop_assert!(step.low <= step.mean && step.mean <= step.high);
            }
        }
    }
}
