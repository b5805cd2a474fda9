//! The days that a rate review is of, and what they must earn: the latest year, or any span, with what a run changes.

use std::fmt;

use jiff::civil::Date;

use crate::model::{Diary, Minutes, Money, Private, Year};

use crate::office::reckon::part;
use crate::office::reckon::year_ends;

/// What a review is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asked {
    /// The latest of `years` that has begun.
    Year,
    /// From one day to another, both within it; an open end is that of the record.
    Span {
        /// First day.
        from: Option<Date>,
        /// Last day.
        to: Option<Date>,
    },
}

/// An input that is changed for one run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WhatIf {
    /// What the year must pay.
    Pay(Money),
    /// What the year must carry.
    Overheads(Money),
    /// Weeks worked a year.
    Weeks(f64),
    /// Unpaid hours a week.
    Admin(Minutes),
    /// The hourly rate: labour charged goes up or down with it.
    Hour(Money),
}

/// Why a `--what-if` cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WhatIfError {
    /// There is no `=` in it.
    NoValue,
    /// The key is none of [`WhatIf::KEYS`].
    UnknownKey(String),
    /// The value does not fit the key.
    BadValue {
        /// Which key.
        key: &'static str,
        /// A value that would.
        such_as: &'static str,
    },
}

impl fmt::Display for WhatIfError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            WhatIfError::NoValue => write!(f, "write what is changed and to what: hour=45.00"),
            WhatIfError::UnknownKey(key) => write!(
                f,
                "{key} is nothing that can be changed; it is one of {}",
                WhatIf::KEYS.join(", ")
            ),
            WhatIfError::BadValue { key, such_as } => write!(f, "write it so: {key}={such_as}"),
        }
    }
}

impl std::error::Error for WhatIfError {}

impl WhatIf {
    /// What can be changed.
    pub const KEYS: [&'static str; 5] = ["pay", "overheads", "weeks", "admin", "hour"];

    /// Reads `hour=45.00`.
    ///
    /// # Errors
    /// Says what to write instead.
    pub fn from_text(text: &str) -> Result<Self, WhatIfError> {
        let (key, value) = text.split_once('=').ok_or(WhatIfError::NoValue)?;
        let (key, value) = (key.trim(), value.trim());
        let bad = |key, such_as| WhatIfError::BadValue { key, such_as };
        let money = |key, such_as| Money::from_text(value).map_err(|_| bad(key, such_as));
        match key {
            "pay" => money("pay", "36000").map(WhatIf::Pay),
            "overheads" => money("overheads", "10400").map(WhatIf::Overheads),
            "hour" => money("hour", "45.00").map(WhatIf::Hour),
            "admin" => Minutes::from_length_text(value)
                .map(WhatIf::Admin)
                .map_err(|_| bad("admin", "4h")),
            "weeks" => value
                .parse()
                .ok()
                .filter(|weeks| (0.0..=53.0).contains(weeks))
                .map(WhatIf::Weeks)
                .ok_or_else(|| bad("weeks", "44")),
            other => Err(WhatIfError::UnknownKey(other.to_owned())),
        }
    }
}

/// `hour=45.00`
impl fmt::Display for WhatIf {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            WhatIf::Pay(money) => write!(f, "pay={money}"),
            WhatIf::Overheads(money) => write!(f, "overheads={money}"),
            WhatIf::Weeks(weeks) => write!(f, "weeks={weeks}"),
            WhatIf::Admin(admin) => write!(f, "admin={admin}"),
            WhatIf::Hour(money) => write!(f, "hour={money}"),
        }
    }
}

/// The days of a review and what they must earn.
pub(super) struct Needs {
    /// First day; `None` for a diary without years or visits.
    pub(super) from: Option<Date>,
    /// Last day reached.
    pub(super) to: Date,
    /// Last day of the year, where `to` has not reached it.
    pub(super) ends: Option<Date>,
    pub(super) pay: Option<Money>,
    pub(super) overheads: Option<Money>,
    /// Minutes at the desk.
    pub(super) admin: f64,
    /// Weeks worked.
    pub(super) weeks: f64,
    pub(super) days_without_year: i32,
    /// The hourly rate that time is valued at.
    pub(super) hour: Money,
    /// The rate that labour was charged at, where the run puts another in its place.
    charged_at: Option<Money>,
    pub(super) what_if: Vec<String>,
}

impl Needs {
    pub(super) fn of(diary: &Diary, asked: Asked, what_if: &[WhatIf], as_of: Date) -> Self {
        let rates = diary.settings.rates.in_office();
        let years = changed(diary, what_if);
        let (from, to, ends) = days(diary, asked, as_of);
        let mut needs = Needs {
            from,
            to,
            ends,
            pay: None,
            overheads: None,
            admin: 0.0,
            weeks: 0.0,
            days_without_year: 0,
            hour: rates.hour,
            charged_at: None,
            what_if: what_if.iter().map(WhatIf::to_string).collect(),
        };
        if let Some(WhatIf::Hour(hour)) = what_if.iter().rfind(|one| matches!(one, WhatIf::Hour(_)))
        {
            needs.charged_at = Some(needs.hour);
            needs.hour = *hour;
        }
        let Some(from) = from.filter(|from| *from <= to) else {
            return needs;
        };
        let mut covered = 0;
        for year in &years {
            let last = year_ends(year.from);
            let (first, last_day) = (year.from.max(from), last.min(to));
            if first > last_day {
                continue;
            }
            let reached = days_in(first, last_day);
            let all = days_in(year.from, last);
            let share = f64::from(reached) / f64::from(all);
            let of_year = |money| part(money, i64::from(reached), i64::from(all));
            needs.pay = Some(needs.pay.unwrap_or_default() + of_year(year.pay));
            needs.overheads = Some(needs.overheads.unwrap_or_default() + of_year(year.overheads));
            needs.weeks += year.weeks * share;
            needs.admin += year.admin.as_f64() * year.weeks * share;
            covered += reached;
        }
        needs.days_without_year = (days_in(from, to) - covered).max(0);
        needs
    }

    /// Whether a day is one of them.
    pub(super) fn holds(&self, day: Date) -> bool {
        self.from.is_some_and(|from| from <= day) && day <= self.to
    }

    /// Labour as it would have been at the rate of this run.
    pub(super) fn as_if(&self, labour: Money) -> Money {
        match self.charged_at {
            Some(was) if was > Money::NOUGHT => part(labour, self.hour.pence(), was.pence()),
            _ => labour,
        }
    }
}

/// Both ends within it.
fn days_in(first: Date, last: Date) -> i32 {
    (last - first).get_days() + 1
}

/// `years` in order of date with the run's changes, each cut short where the next begins within it.
fn changed(diary: &Diary, what_if: &[WhatIf]) -> Vec<Year> {
    let years = diary.settings.years.iter().map(Private::in_office);
    years
        .map(|year| {
            let mut year = year.clone();
            for change in what_if {
                match *change {
                    WhatIf::Pay(pay) => year.pay = pay,
                    WhatIf::Overheads(overheads) => year.overheads = overheads,
                    WhatIf::Weeks(weeks) => year.weeks = weeks,
                    WhatIf::Admin(admin) => year.admin = admin,
                    WhatIf::Hour(_) => {}
                }
            }
            year
        })
        .collect()
}

/// First day, last day reached, and the year's own last day where that lies ahead.
fn days(diary: &Diary, asked: Asked, as_of: Date) -> (Option<Date>, Date, Option<Date>) {
    let visits = || {
        let all = diary.jobs.iter().flat_map(|job| &job.visits);
        all.map(|visit| visit.date.in_office().value)
            .filter(|day| *day <= as_of)
    };
    let years = diary
        .settings
        .years
        .iter()
        .map(|year| year.in_office().from);
    match asked {
        Asked::Year => match years.filter(|from| *from <= as_of).max() {
            Some(from) => {
                let ends = year_ends(from);
                (Some(from), ends.min(as_of), (ends > as_of).then_some(ends))
            }
            None => (visits().min(), as_of, None),
        },
        Asked::Span { from, to } => {
            let to = to.map_or(as_of, |to| to.min(as_of));
            (from.or_else(|| visits().min()), to, None)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_can_be_changed_is_read_from_its_text() {
        assert_eq!(
            WhatIf::from_text("hour=45.00"),
            Ok(WhatIf::Hour(Money::from_pence(4_500)))
        );
        assert_eq!(
            WhatIf::from_text("admin = 4h"),
            Ok(WhatIf::Admin(Minutes::new(240)))
        );
        for (text, said) in [
            ("hour", "write what is changed and to what: hour=45.00"),
            ("hour=4.5", "write it so: hour=45.00"),
            ("weeks=60", "write it so: weeks=44"),
            (
                "rent=1",
                "rent is nothing that can be changed; it is one of pay, overheads, weeks, admin, hour",
            ),
        ] {
            let error = WhatIf::from_text(text).expect_err("no such thing");
            assert_eq!(error.to_string(), said);
        }
    }
}
