//! Minutes between two clock times of a day, by the zone.

use jiff::Timestamp;
use jiff::civil::{Date, DateTime};
use jiff::tz::{AmbiguousOffset, TimeZone};

use super::clock::Span;
use super::note::NoteVisit;

/// Minutes on site: time gone by on the clock less the break, or the length typed. `None` where neither is typed,
/// where the clocks name a time that did not exist, or where the break is as long as the visit.
pub fn minutes_on_site(visit: &NoteVisit, zone: &TimeZone) -> Option<i64> {
    match visit.clocks {
        Some(clocks) => elapsed(visit.date, clocks, zone)
            .map(|gone| gone - visit.rest)
            .filter(|minutes| *minutes > 0),
        None => visit.length,
    }
}

/// Minutes gone by. Of an hour that comes twice the first is meant, for an end the first that is after the start.
fn elapsed(date: Date, clocks: Span, zone: &TimeZone) -> Option<i64> {
    let end_date = if clocks.to < clocks.from {
        date.tomorrow().ok()?
    } else {
        date
    };
    let start = instant(at(date, clocks.from)?, zone, None)?;
    let end = instant(at(end_date, clocks.to)?, zone, Some(start))?;
    Some((end.as_second() - start.as_second()) / 60)
}

fn at(date: Date, minutes: i64) -> Option<DateTime> {
    let hour = i8::try_from(minutes / 60).ok()?;
    let minute = i8::try_from(minutes % 60).ok()?;
    (hour < 24).then(|| date.at(hour, minute, 0, 0))
}

fn instant(at: DateTime, zone: &TimeZone, after: Option<Timestamp>) -> Option<Timestamp> {
    let ambiguous = zone.to_ambiguous_timestamp(at);
    if let AmbiguousOffset::Gap { .. } = ambiguous.offset() {
        return None;
    }
    let first = ambiguous.earlier().ok()?;
    match after {
        Some(after) if first <= after => ambiguous.later().ok(),
        _ => Some(first),
    }
}

/// `08:15`.
pub fn clock_text(minutes: i64) -> String {
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nights_the_clocks_change_count_right() {
        let zone = TimeZone::get("Europe/London").expect("a zone that ships");
        let gone = |date: Date, from, to| elapsed(date, Span { from, to }, &zone);
        let march = jiff::civil::date(2026, 3, 29);
        assert_eq!(gone(march, 15, 225), Some(150));
        assert_eq!(gone(march, 75, 225), None);
        let october = jiff::civil::date(2026, 10, 25);
        assert_eq!(gone(october, 30, 150), Some(180));
        assert_eq!(gone(october, 90, 105), Some(15));
        assert_eq!(gone(jiff::civil::date(2026, 11, 20), 1350, 75), Some(165));
    }
}
