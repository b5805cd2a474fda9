//! What stands round the words of a message: the stamp before each line of a talk, the head of a letter. It is no part
//! of what was noted, but says on what day it was written.

use jiff::civil::Date;

use super::line::Line;

/// The fields of a letter's head.
const FIELDS: [&str; 8] = [
    "from", "to", "cc", "bcc", "reply-to", "sent", "date", "subject",
];

/// Takes heads and stamps off for reading. What was typed stays whole.
pub fn without_heads(lines: Vec<Line>) -> Vec<Line> {
    let head = head(&lines);
    lines
        .into_iter()
        .enumerate()
        .map(|(index, line)| match index < head {
            true => of_the_head(line),
            false => without_stamp(line),
        })
        .collect()
}

/// How many lines the head of a letter has: at least two fields, a subject among them.
fn head(lines: &[Line]) -> usize {
    let fields: Vec<&str> = lines
        .iter()
        .map_while(|line| {
            let (name, _) = line.low.split_once(':').filter(|_| !line.is_blank())?;
            FIELDS.contains(&name).then_some(name)
        })
        .collect();
    if fields.len() > 1 && fields.contains(&"subject") {
        fields.len()
    } else {
        0
    }
}

/// The subject is the title; the other fields are kept as text.
fn of_the_head(line: Line) -> Line {
    let (name, value) = line.low.split_once(':').unwrap_or_default();
    if name == "subject" {
        let text = format!("# {}", line.text["subject:".len()..].trim());
        return line.read_as(&text, None);
    }
    let day = matches!(name, "date" | "sent")
        .then(|| day_in(value))
        .flatten();
    line.read_as("", day)
}

/// The day that stands in a date of a letter's head, with its year.
fn day_in(value: &str) -> Option<Date> {
    // Any day will do to reckon from: the year is written.
    let days = |today| super::date::Days { today, last: None };
    let read = |today| super::date::at(value.trim(), 0, days(today)).map(|(date, ..)| date);
    let (early, late) = (Date::constant(2000, 1, 1), Date::constant(2099, 12, 31));
    read(early).filter(|date| read(late) == Some(*date))
}

/// `[23/11/2026, 08:41] Me: here` and `23/11/2026, 08:41 - Me: here` are read as `here`, on that day.
fn without_stamp(line: Line) -> Line {
    let low = line.low.as_str();
    let bracket = low.starts_with('[');
    let inner = low.trim_start_matches('[');
    let Some((date, rest)) = inner.split_once(", ") else {
        return line;
    };
    let clock = rest.split([']', ' ']).next().unwrap_or_default();
    let is_clock = (4..=8).contains(&clock.len())
        && clock.contains(':')
        && clock.bytes().all(|b| b.is_ascii_digit() || b == b':');
    let end = if bracket { "] " } else { " - " };
    let after = rest[clock.len()..].strip_prefix(end);
    let (Some(day), true, Some(after)) = (day_in(date), is_clock, after) else {
        return line;
    };
    // A name of one to three words, and a colon.
    let said = after
        .split_once(": ")
        .filter(|(who, _)| who.split(' ').count() <= 3 && !who.contains([',', ';', '.']))
        .map_or(after, |(_, said)| said);
    let text = line.text[low.len() - said.len()..].to_owned();
    line.read_as(&text, Some(day))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jot::line::lines;

    fn read(note: &str) -> Vec<(String, Option<String>)> {
        without_heads(lines(note))
            .into_iter()
            .map(|line| (line.text, line.written.map(|day| day.to_string())))
            .collect()
    }

    fn line(text: &str, day: &str) -> (String, Option<String>) {
        (text.to_owned(), (!day.is_empty()).then(|| day.to_owned()))
    }

    #[test]
    fn stamps_go_and_leave_their_day() {
        assert_eq!(
            read(
                "[23/11/2026, 08:41:07] Me: 2 Skt 45m\n23/11/26, 08:41 - Jo Pascoe: zs: 1.2\n[23/11/26, 9:05] here"
            ),
            [
                line("2 Skt 45m", "2026-11-23"),
                line("zs: 1.2", "2026-11-23"),
                line("here", "2026-11-23"),
            ]
        );
    }

    #[test]
    fn the_head_of_a_letter_is_its_day_and_its_subject() {
        assert_eq!(
            read("To: me\nDate: Mon, 23 Nov 2026 18:40\nSubject: Cold store\n\nto: x"),
            [
                line("", ""),
                line("", "2026-11-23"),
                line("# Cold store", ""),
                line("", ""),
                line("to: x", ""),
            ]
        );
    }

    #[test]
    fn what_is_no_stamp_and_no_head_stays() {
        for text in [
            "[x] 2 skt",
            "23/11, 08:41 - Me: no year",
            "23/11/2026, 9-11 - two",
            "[23/11/2026] Me: x",
            "Date: 23/11/26",
            "to: the tenant\ndate: 23/11",
        ] {
            assert!(read(text).iter().all(|(_, day)| day.is_none()), "{text}");
            assert!(
                read(text).iter().all(|(said, _)| text.contains(said)),
                "{text}"
            );
        }
    }
}
