//! The calendar of dates, as iCalendar (RFC 5545) text: whole days, the same bytes from the same view.

use std::fmt::Write as _;

use icalendar::{Calendar, Component as _, Event, Property};

use crate::office::book::CalendarView;

/// Octets of a line before it is folded.
const LINE: usize = 75;

/// The calendar as text. Every event is stamped with the first moment of the view's day, so that nothing depends on the
/// clock.
pub fn calendar(view: &CalendarView) -> String {
    let mut calendar = Calendar::empty();
    for (key, value) in [
        ("VERSION", "2.0"),
        ("PRODID", "-//Daywork//Dates//EN"),
        ("CALSCALE", "GREGORIAN"),
    ] {
        calendar.append_property(Property::new(key, value));
    }
    calendar.name(&view.name).description(&view.about);
    let day = |key: &str, date: &str| {
        Property::new(key, date)
            .add_parameter("VALUE", "DATE")
            .done()
    };
    for event in &view.events {
        calendar.push(
            Event::with_uid(&event.uid)
                .add_property("DTSTAMP", format!("{}T000000Z", view.stamp))
                .append_property(day("DTSTART", &event.on))
                .append_property(day("DTEND", &event.after))
                .summary(&event.summary)
                .description(&event.description)
                .add_property("TRANSP", "TRANSPARENT")
                .done(),
        );
    }
    folded(&calendar.to_string())
}

/// Folds every line at 75 octets. The library's own folding lets the last piece of a line grow to 76.
fn folded(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for line in text.replace("\r\n ", "").split_terminator("\r\n") {
        let mut octets = 0;
        for c in line.chars() {
            if octets + c.len_utf8() > LINE {
                out.push_str("\r\n ");
                octets = 1;
            }
            out.push(c);
            octets += c.len_utf8();
        }
        write!(out, "\r\n").expect("writing to a String");
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::office::book::CalendarEvent;
    use proptest::prelude::*;

    fn view(summary: &str) -> CalendarView {
        CalendarView {
            name: "A diary: dates".to_owned(),
            about: "Dates that pass.".to_owned(),
            stamp: "20261125".to_owned(),
            events: vec![CalendarEvent {
                uid: "work-2026-001@example.com".to_owned(),
                on: "20261201".to_owned(),
                after: "20261202".to_owned(),
                summary: summary.to_owned(),
                description: "Why.".to_owned(),
            }],
        }
    }

    /// Undoes folding and escaping by hand, as RFC 5545 says.
    fn summary_of(text: &str) -> String {
        let unfolded = text.replace("\r\n ", "");
        let line = unfolded
            .split("\r\n")
            .find_map(|line| line.strip_prefix("SUMMARY:"))
            .expect("it has one");
        let mut out = String::new();
        let mut chars = line.chars();
        while let Some(c) = chars.next() {
            out.push(match c {
                '\\' => chars.next().expect("something is escaped"),
                c => c,
            });
        }
        out
    }

    #[test]
    fn an_event_is_a_whole_day_with_a_stamp_that_no_clock_gave() {
        let text = calendar(&view("Work due (C2): Flat 1, the stairs; all"));
        for line in [
            "BEGIN:VCALENDAR",
            "VERSION:2.0",
            "DTSTAMP:20261125T000000Z",
            "DTSTART;VALUE=DATE:20261201",
            "DTEND;VALUE=DATE:20261202",
            "UID:work-2026-001@example.com",
            "SUMMARY:Work due (C2): Flat 1\\, the stairs\\; all",
            "END:VCALENDAR",
        ] {
            assert!(text.split("\r\n").any(|one| one == line), "{line}\n{text}");
        }
        assert!(!text.replace("\r\n", "").contains(['\r', '\n']));
        assert_eq!(
            text,
            calendar(&view("Work due (C2): Flat 1, the stairs; all"))
        );
    }

    proptest! {
        #[test]
        fn every_line_fits_and_the_summary_comes_back(summary in "[a-zA-Zé€😀,;:\\\\ 0-9\"]{0,200}") {
            let text = calendar(&view(&summary));
            prop_assert!(text.ends_with("\r\n"));
            for line in text.split_terminator("\r\n") {
                prop_assert!(line.len() <= LINE, "{} octets: {line}", line.len());
            }
            prop_assert_eq!(summary_of(&text), summary);
        }
    }
}
