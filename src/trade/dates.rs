//! The days that a rented home's papers and work have, and a guarantee's last day.
//!
//! The days are England's: SI 2020/312, <https://www.legislation.gov.uk/uksi/2020/312>, as `content/trade/figures.csv`
//! has them. Elsewhere other rules hold; nothing here is legal advice. Asks no clock and reads no diary.

use jiff::ToSpan;
use jiff::civil::Date;

use super::tables::{Name, figure};

/// The day by which a rented home is inspected again: five years after the last inspection, the same date (28
/// February after a 29 February).
pub fn next_inspection(inspected: Date) -> Date {
    years_after(inspected, whole(Name::InspectionYears))
}

/// The last day on which the report may reach the tenant: 28 days after the inspection.
pub fn report_to_tenant(inspected: Date) -> Date {
    days_after(inspected, whole(Name::TenantDays))
}

/// The last day for the report to the council: 7 days after it asked.
pub fn report_to_council(asked: Date) -> Date {
    days_after(asked, whole(Name::CouncilDays))
}

/// The last day for remedial work and for further investigation: 28 days, or the fewer that the report gives.
///
/// The days start with the date of the inspection, so that day is day 1: 14 days from 2 March end on 15 March. That
/// is the cautious reading (`tests/checks/trade_published.json`, `prs-short`). A report that gives 0 days is read
/// as 1.
pub fn remedial_work(inspected: Date, days_in_report: Option<u32>) -> Date {
    let most = whole(Name::RemedialDays);
    let days = days_in_report.map_or(most, |days| i64::from(days.max(1)).min(most));
    days_after(inspected, days - 1)
}

/// The last day for written proof of finished work, to the tenant and to the council: 28 days after it.
pub fn proof_of_work(finished: Date) -> Date {
    days_after(finished, whole(Name::ProofDays))
}

/// A guarantee's last day, the day before its anniversary: six years from 18 March 2026 end on 17 March 2032. One that
/// begins on 29 February has its anniversary on 1 March of a year without that day, so that it runs its years in full.
/// `None` for no years, or past the calendar's end. Common practice, no source.
pub fn guarantee_end(finished: Date, years: u32) -> Option<Date> {
    if years == 0 {
        return None;
    }
    anniversary(finished, i64::from(years))?.yesterday().ok()
}

/// The last day of a year that begins on `from`: the day before its anniversary.
pub fn year_end(from: Date) -> Date {
    anniversary(from, 1)
        .and_then(|day| day.yesterday().ok())
        .unwrap_or(Date::MAX)
}

fn anniversary(from: Date, years: i64) -> Option<Date> {
    let day = from
        .checked_add(jiff::Span::new().try_years(years).ok()?)
        .ok()?;
    if day.day() == from.day() {
        Some(day)
    } else {
        day.tomorrow().ok()
    }
}

fn whole(name: Name) -> i64 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "years and days of the table are small whole numbers"
    )]
    let whole = figure(name) as i64;
    whole
}

/// The calendar's last day where there is none so late.
fn days_after(date: Date, days: i64) -> Date {
    date.saturating_add(days.days())
}

fn years_after(date: Date, years: i64) -> Date {
    date.saturating_add(years.min(1000).years())
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    #[test]
    fn remedial_days_start_with_the_inspection() {
        let inspected = date(2026, 3, 2);
        assert_eq!(remedial_work(inspected, None), date(2026, 3, 29));
        assert_eq!(remedial_work(inspected, Some(14)), date(2026, 3, 15));
        assert_eq!(remedial_work(inspected, Some(1)), inspected);
        assert_eq!(remedial_work(inspected, Some(0)), inspected);
        assert_eq!(remedial_work(inspected, Some(90)), date(2026, 3, 29));
    }

    #[test]
    fn papers_count_from_the_next_day() {
        assert_eq!(report_to_tenant(date(2026, 3, 2)), date(2026, 3, 30));
        assert_eq!(report_to_council(date(2026, 2, 25)), date(2026, 3, 4));
        assert_eq!(proof_of_work(date(2026, 12, 20)), date(2027, 1, 17));
    }

    #[test]
    fn five_years_from_a_leap_day_end_in_february() {
        assert_eq!(next_inspection(date(2024, 2, 29)), date(2029, 2, 28));
        assert_eq!(next_inspection(date(2021, 11, 25)), date(2026, 11, 25));
    }

    #[test]
    fn a_guarantee_ends_the_day_before_its_anniversary() {
        assert_eq!(guarantee_end(date(2026, 3, 18), 6), Some(date(2032, 3, 17)));
        assert_eq!(guarantee_end(date(2024, 2, 29), 1), Some(date(2025, 2, 28)));
        assert_eq!(guarantee_end(date(2024, 2, 29), 4), Some(date(2028, 2, 28)));
        assert_eq!(guarantee_end(date(2026, 3, 18), 0), None);
        // The calendar ends before this guarantee does.
        assert_eq!(guarantee_end(date(2026, 3, 18), u32::MAX), None);
    }
}
