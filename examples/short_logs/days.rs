//! Days of the calendar, and which of them are free. It knows nothing of clock times: a visit has its day to itself.

use std::collections::BTreeSet;

use crate::tables::HOLIDAYS;

/// No visit after this day.
pub const LAST_DAY: (i32, u32, u32) = (2026, 11, 20);

/// The day that the demo diary is read on.
pub const TODAY: (i32, u32, u32) = (2026, 11, 25);

/// A day, as days since 1 January 1970.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day(i64);

impl Day {
    /// Hinnant, "chrono-compatible low-level date algorithms": days from civil. The proleptic Gregorian calendar.
    pub fn of(year: i32, month: u32, day: u32) -> Day {
        let year = i64::from(year) - i64::from(month <= 2);
        let era = year.div_euclid(400);
        let month_from_march = (i64::from(month) + 9) % 12;
        let day_of_year = (153 * month_from_march + 2) / 5 + i64::from(day) - 1;
        let year_of_era = year.rem_euclid(400);
        Day(
            era * 146_097 + year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year
                - 719_468,
        )
    }

    /// Year, month, day: the same source, civil from days.
    pub fn civil(self) -> (i32, u32, u32) {
        let days = self.0 + 719_468;
        let era = days.div_euclid(146_097);
        let day_of_era = days.rem_euclid(146_097);
        let year_of_era =
            (day_of_era - day_of_era / 1460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
        let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
        let month_from_march = (5 * day_of_year + 2) / 153;
        let day = day_of_year - (153 * month_from_march + 2) / 5 + 1;
        let month = if month_from_march < 10 {
            month_from_march + 3
        } else {
            month_from_march - 9
        };
        (
            (year_of_era + era * 400 + i64::from(month <= 2)) as i32,
            month as u32,
            day as u32,
        )
    }

    pub fn plus(self, days: i64) -> Day {
        Day(self.0 + days)
    }

    /// 0 is Monday.
    pub fn weekday(self) -> i64 {
        (self.0 + 3).rem_euclid(7)
    }
}

impl From<(i32, u32, u32)> for Day {
    fn from((year, month, day): (i32, u32, u32)) -> Day {
        Day::of(year, month, day)
    }
}

impl std::fmt::Display for Day {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (year, month, day) = self.civil();
        write!(out, "{year:04}-{month:02}-{day:02}")
    }
}

pub fn last_day() -> Day {
    LAST_DAY.into()
}

/// What kind of visit a day is wanted for.
#[derive(Clone, Copy)]
pub enum Suits {
    Weekday,
    Saturday,
    Evening,
}

/// The first day from `start` that suits and that nobody has, which is then taken. It looks back from the end of the
/// record once it has come to it, so that the last month fills from both sides.
pub fn free_day(start: Day, taken: &mut BTreeSet<Day>, suits: Suits) -> Day {
    let mut forward = (0..)
        .map(|ahead| start.plus(ahead))
        .take_while(|day| *day <= last_day());
    let found = forward.find(|day| works(*day, suits) && !taken.contains(day));
    let day = found.or_else(|| {
        (0..400)
            .map(|back| last_day().plus(-back))
            .find(|day| works(*day, suits) && !taken.contains(day))
    });
    let day = day.expect("a year has a free day");
    taken.insert(day);
    day
}

pub fn works(day: Day, suits: Suits) -> bool {
    let (_, month, of_month) = day.civil();
    if month == 12 && of_month >= 24 || HOLIDAYS.iter().any(|holiday| Day::from(*holiday) == day) {
        return false;
    }
    match suits {
        Suits::Weekday => day.weekday() < 5,
        Suits::Saturday => day.weekday() == 5,
        Suits::Evening => day.weekday() < 6,
    }
}
