//! Clock times as typed, and from when to when: `9-5`, `half 8 - 10`, `10.30pm-1.15`. No dates.

use super::length::digits;
use super::line::ends_word;
use super::numerals::small;

/// A clock time as typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Clock {
    /// Minutes after midnight, as the figures say.
    minutes: i64,
    /// Whether the half of the day is certain.
    half: Half,
    /// The byte where it ends.
    end: usize,
}

/// Which half of the day is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Half {
    /// A leading zero, four digits, an hour of 13 or more, am, pm, noon or midnight.
    Fixed,
    /// Morning or afternoon.
    Open,
}

/// From when to when, in minutes after midnight. An end that is not after its start is the next day's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    /// Arrival.
    pub from: i64,
    /// Leaving.
    pub to: i64,
}

const NOON: i64 = 12 * 60;
const DAY: i64 = 24 * 60;

/// The range of clock times that begins at a byte of a line's small text, and the byte where it ends.
pub fn range(low: &str, start: usize) -> Option<(Span, usize)> {
    let first = clock(low, start)?;
    let second_at = separator(low, first.end)?;
    let second = clock(low, second_at)?;
    if !ends_word(low, second.end) {
        return None;
    }
    Some((resolve(first, second)?, second.end))
}

fn skip_spaces(low: &str, at: usize) -> usize {
    at + (low[at..].len() - low[at..].trim_start_matches(' ').len())
}

/// What stands between two clocks; the byte where the second begins.
fn separator(low: &str, at: usize) -> Option<usize> {
    let from = skip_spaces(low, at);
    if low[from..].starts_with('-') {
        return Some(skip_spaces(low, from + 1));
    }
    // `9 till 5` stands apart; `9till5` is no word.
    let comma = low[from..].starts_with(',');
    let from = if comma {
        skip_spaces(low, from + 1)
    } else {
        from
    };
    let leaving = [
        "left site ",
        "left at ",
        "left ",
        "dep at ",
        "dep ",
        "off site ",
        "off at ",
        "off ",
        "out: ",
        "out at ",
    ];
    let until = ["to ", "till ", "til ", "until "];
    let found = leaving
        .iter()
        .chain(until.iter().filter(|_| !comma))
        .find(|word| low[from..].starts_with(**word));
    found
        .filter(|_| from > at)
        .map(|word| skip_spaces(low, from + word.len()))
}

fn clock(low: &str, start: usize) -> Option<Clock> {
    named(low, start)
        .or_else(|| half_past(low, start))
        .or_else(|| figures(low, start))
}

fn named(low: &str, start: usize) -> Option<Clock> {
    [("noon", NOON), ("midnight", 0)]
        .iter()
        .find_map(|(name, minutes)| {
            let end = start + name.len();
            let fits = low[start..].starts_with(name)
                && !low[end..].starts_with(|c: char| c.is_alphanumeric());
            fits.then_some(Clock {
                minutes: *minutes,
                half: Half::Fixed,
                end,
            })
        })
}

/// `half 8`, `half past 8` and `half eight` are 8:30.
fn half_past(low: &str, start: usize) -> Option<Clock> {
    let at = ["half past ", "half "]
        .iter()
        .find(|words| low[start..].starts_with(**words))
        .map(|words| start + words.len())?;
    let (hour, end) = digits(low, at)
        .filter(|(_, end)| end - at <= 2)
        .or_else(|| hour_in_a_word(low, at))?;
    let plain = (1..=12).contains(&hour);
    let bare = !low[end..].starts_with(|c: char| {
        c.is_alphanumeric() && !"ap".contains(c) || c == '.' || c == ':' || c == '/'
    });
    (plain && bare).then_some(())?;
    let minutes = hour * 60 + 30;
    Some(with_half_of_day(low, end, minutes, hour).unwrap_or(Clock {
        minutes,
        half: Half::Open,
        end,
    }))
    .filter(|clock| !low[clock.end..].starts_with(|c: char| c.is_alphanumeric()))
}

fn hour_in_a_word(low: &str, at: usize) -> Option<(i64, usize)> {
    let letters = low[at..]
        .bytes()
        .take_while(u8::is_ascii_alphabetic)
        .count();
    let end = at + letters;
    small(&low[at..end]).map(|hour| (hour, end))
}

/// `9`, `8.15`, `8:15`, `0815`, `9am`, `8.15 pm`.
fn figures(low: &str, start: usize) -> Option<Clock> {
    let (value, mut end) = digits(low, start)?;
    let (hour, minute, mut half) = match end - start {
        4 => {
            end = after_hours(low, end);
            (value / 100, value % 100, Half::Fixed)
        }
        1 | 2 => {
            let zero = low[start..].starts_with('0');
            let minute = if low[end..].starts_with(['.', ':']) {
                // `10.5` is no clock, nor is the 10 in it; a mark with no figure after it ends the clock.
                match digits(low, end + 1) {
                    Some((minute, after)) if after - end == 3 => {
                        end = after;
                        minute
                    }
                    Some(_) => return None,
                    None => 0,
                }
            } else {
                0
            };
            let half = if zero || value >= 13 {
                Half::Fixed
            } else {
                Half::Open
            };
            (value, minute, half)
        }
        _ => return None,
    };
    if hour > 23 || minute > 59 {
        return None;
    }
    let mut minutes = hour * 60 + minute;
    if let Some(clock) = with_half_of_day(low, end, minutes, hour) {
        (minutes, end, half) = (clock.minutes, clock.end, clock.half);
    }
    let goes_on = {
        let mut rest = low[end..].chars();
        match rest.next() {
            Some(c) if c.is_alphanumeric() || c == '/' || c == '%' => true,
            Some('.' | ':') => rest.next().is_some_and(|c| c.is_ascii_digit()),
            _ => false,
        }
    };
    (!goes_on).then_some(Clock { minutes, half, end })
}

/// Past the `hrs` of `0915hrs` or `0915 hrs`.
fn after_hours(low: &str, end: usize) -> usize {
    let at = end + usize::from(low[end..].starts_with(' '));
    ["hrs", "hours", "h"]
        .iter()
        .map(|word| (word, at + word.len()))
        .find(|(word, after)| {
            low[at..].starts_with(**word) && !low[*after..].starts_with(char::is_alphanumeric)
        })
        .map_or(end, |(_, after)| after)
}

/// A clock with `am` or `pm` after it.
fn with_half_of_day(low: &str, end: usize, minutes: i64, hour: i64) -> Option<Clock> {
    let at = end + usize::from(low[end..].starts_with(' '));
    let after = at + 2;
    let half = low
        .get(at..after)
        .filter(|word| matches!(*word, "am" | "pm"))?;
    if !(1..=12).contains(&hour) || low[after..].starts_with(|c: char| c.is_alphanumeric()) {
        return None;
    }
    let minutes = minutes % NOON + if half == "pm" { NOON } else { 0 };
    Some(Clock {
        minutes,
        half: Half::Fixed,
        end: after,
    })
}

/// What two clocks mean together. `None` where the end is the start.
fn resolve(first: Clock, second: Clock) -> Option<Span> {
    let after = |start: i64, end: i64| {
        // The first such time after the start, of the two that an open end may be.
        let gone = |end: i64| (end - start - 1).rem_euclid(DAY);
        [end % NOON, end % NOON + NOON]
            .into_iter()
            .min_by_key(|end| gone(*end))
            .unwrap_or(end)
    };
    let (from, to) = match (first.half, second.half) {
        (Half::Fixed, Half::Fixed) => (first.minutes, second.minutes),
        (Half::Fixed, Half::Open) => (first.minutes, after(first.minutes, second.minutes)),
        (Half::Open, Half::Open) => {
            let early = first.minutes < 7 * 60;
            let from = first.minutes + if early { NOON } else { 0 };
            (from, after(from, second.minutes))
        }
        (Half::Open, Half::Fixed) => {
            let back = |start: i64| (second.minutes - start - 1).rem_euclid(DAY);
            let start = first.minutes % NOON;
            let from = [start, start + NOON]
                .into_iter()
                .min_by_key(|start| back(*start));
            (from.unwrap_or(start), second.minutes)
        }
    };
    (from != to).then_some(Span { from, to })
}

#[cfg(test)]
mod tests {
    use super::range;

    #[test]
    fn ranges_mean_what_a_tradesman_means() {
        let at = |h: i64, m: i64| h * 60 + m;
        for (text, from, to) in [
            ("9-5", at(9, 0), at(17, 0)),
            ("0915hrs off site 1145hrs", at(9, 15), at(11, 45)),
            ("0915 hrs - 1145h", at(9, 15), at(11, 45)),
            ("9.15 out: 11.45", at(9, 15), at(11, 45)),
            ("8-4.30", at(8, 0), at(16, 30)),
            ("11-1", at(11, 0), at(13, 0)),
            ("12.30 till 3", at(12, 30), at(15, 0)),
            ("half 8 - 10", at(8, 30), at(10, 0)),
            ("2pm til half 4", at(14, 0), at(16, 30)),
            ("2pm til half past 4", at(14, 0), at(16, 30)),
            ("2pm til half four", at(14, 0), at(16, 30)),
            ("half past eight - 10", at(8, 30), at(10, 0)),
            ("2-5", at(14, 0), at(17, 0)),
            ("8.15-5pm", at(8, 15), at(17, 0)),
            ("8-10pm", at(20, 0), at(22, 0)),
            ("10-1am", at(22, 0), at(1, 0)),
            ("10.30pm-1.15", at(22, 30), at(1, 15)),
            ("0800-12:15", at(8, 0), at(12, 15)),
            ("2200-0045", at(22, 0), at(0, 45)),
            ("00.15-3.45", at(0, 15), at(3, 45)),
            ("9 am to noon", at(9, 0), at(12, 0)),
            ("9, left 11", at(9, 0), at(11, 0)),
            ("9 left at 11.30", at(9, 0), at(11, 30)),
            ("10pm-midnight", at(22, 0), 0),
            ("12pm-4", at(12, 0), at(16, 0)),
            ("6-9", at(18, 0), at(21, 0)),
            ("9-9", at(9, 0), at(21, 0)),
        ] {
            let read = range(text, 0).map(|(span, end)| (span.from, span.to, end));
            assert_eq!(read, Some((from, to, text.len())), "{text}");
        }
    }

    #[test]
    fn what_is_no_range_is_not_taken_for_one() {
        for text in [
            "9",
            "9-",
            "10.5-11",
            "9-10.5",
            "25-26",
            "9.60-10",
            "0900-0900",
            "2-gang",
            "9-11x",
            "12-3-26",
            "1h-2h",
            "9 and 5",
            "noon",
            "2pm til half thirteen",
            "2pm til half fourth",
            "2pm til half past",
            "9/10-11",
            "815-930",
        ] {
            assert_eq!(range(text, 0), None, "{text}");
        }
    }
}
