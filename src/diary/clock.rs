//! Clock times as they are written, and what may have been meant by others. Keeps no diagnostics.

use jiff::civil::Time;

/// A clock time from hours, a colon and two figures of minutes.
pub fn read(text: &str) -> Option<Time> {
    let (hours, minutes) = text.split_once(':')?;
    let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
    if !(1..=2).contains(&hours.len()) || minutes.len() != 2 || !digits(hours) || !digits(minutes) {
        return None;
    }
    Time::new(hours.parse().ok()?, minutes.parse().ok()?, 0, 0).ok()
}

/// What may have been meant by `8.15`, `0815`, `5pm` or `8`.
pub fn suggest(text: &str) -> Option<String> {
    let lower = text.to_lowercase();
    if lower == "24:00" {
        return Some("0:00, which is the midnight that begins the next day".to_owned());
    }
    let (figures, add) = if let Some(rest) = lower.strip_suffix("pm") {
        (rest.trim(), 12)
    } else if let Some(rest) = lower.strip_suffix("am") {
        (rest.trim(), 0)
    } else {
        (lower.trim(), 0)
    };
    let digits: String = figures.chars().filter(char::is_ascii_digit).collect();
    let separators = figures
        .chars()
        .filter(|c| matches!(c, '.' | ':' | ' '))
        .count();
    if digits.len() + separators != figures.chars().count() || separators > 1 {
        return None;
    }
    let (hours, minutes) = match digits.len() {
        1 | 2 => (digits.parse::<i8>().ok()?, 0),
        3 | 4 => {
            let (h, m) = digits.split_at(digits.len() - 2);
            (h.parse::<i8>().ok()?, m.parse::<i8>().ok()?)
        }
        _ => return None,
    };
    let hours = if hours == 12 && lower.ends_with('m') {
        add
    } else {
        hours + add
    };
    let time = Time::new(hours, minutes, 0, 0).ok()?;
    Some(time.strftime("%H:%M").to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clocks_that_people_write_are_offered_in_figures() {
        for (text, meant) in [
            ("8.15", Some("08:15")),
            ("0815", Some("08:15")),
            ("5pm", Some("17:00")),
            ("12am", Some("00:00")),
            ("12.30pm", Some("12:30")),
            ("9", Some("09:00")),
            ("25:00", None),
            ("late", None),
        ] {
            assert_eq!(read(text), None, "{text}");
            assert_eq!(suggest(text).as_deref(), meant, "{text}");
        }
        assert!(read("8:15").is_some() && read("23:59").is_some());
        assert_eq!(read("24:00"), None);
    }
}
