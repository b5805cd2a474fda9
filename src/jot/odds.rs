//! What belongs to a visit and may stand anywhere on a line: parking, the trip, the break.

use super::amount::{self, Written, figures};
use super::length;
use super::line::Scan;
use super::vocabulary::{Group, Vocabulary, is_filler};
use crate::model::Money;

/// Longest break that is read as bare minutes.
const LONGEST_BREAK: i64 = 480;

/// Parking paid on a line, all of it together; its words are claimed. `None` where no amount stands beside the word.
pub fn parking(scan: &mut Scan<'_>, vocabulary: &Vocabulary) -> Option<Money> {
    let mut paid = None;
    for at in 0..scan.len() {
        if scan.is_claimed(at) {
            continue;
        }
        let found = if vocabulary.is(Group::Parking, scan, at) {
            parking_then_amount(scan, at, vocabulary)
        } else {
            amount_then_parking(scan, at, vocabulary)
        };
        if let Some((amount, end)) = found {
            scan.claim(at..end);
            paid = Some(paid.map_or(amount, |before: Money| before + amount));
        }
    }
    paid
}

fn parking_then_amount(
    scan: &Scan<'_>,
    at: usize,
    vocabulary: &Vocabulary,
) -> Option<(Money, usize)> {
    let from = skip_fillers(scan, at + 1);
    let word = scan.word(from);
    if matches!(word, "free" | "nil") {
        return Some((Money::NOUGHT, from + 1));
    }
    let (amount, written) = amount::money(word)?;
    let is_money = written == Written::Plainly || is_alone(scan, from, vocabulary);
    (is_money && !scan.is_claimed(from)).then_some((amount, from + 1))
}

/// `£2 parking`, `free parking`; a bare figure before the word may be anything.
fn amount_then_parking(
    scan: &Scan<'_>,
    at: usize,
    vocabulary: &Vocabulary,
) -> Option<(Money, usize)> {
    let amount = match scan.word(at) {
        "free" | "nil" => Money::NOUGHT,
        word => {
            amount::money(word)
                .filter(|(_, written)| *written == Written::Plainly)?
                .0
        }
    };
    if !vocabulary.is(Group::Parking, scan, at + 1) || scan.is_claimed(at + 1) {
        return None;
    }
    // `left 11.15 parking 2.50`: a figure without a sign gives way to the one after the word.
    let signed = amount == Money::NOUGHT
        || scan.word(at).starts_with('\u{a3}')
        || scan.word(at).ends_with('p');
    let gives_way = !signed && parking_then_amount(scan, at + 1, vocabulary).is_some();
    (!gives_way).then_some((amount, at + 2))
}

/// Whether a bare figure is neither a length nor the count of what follows it.
fn is_alone(scan: &Scan<'_>, at: usize, vocabulary: &Vocabulary) -> bool {
    let counts = [Group::Task, Group::Material]
        .iter()
        .any(|group| vocabulary.at(*group, scan, at + 1, scan.len()).is_some());
    let counts = counts || amount::count(scan, at).is_some() || amount::metres(scan, at).is_some();
    !counts && length::at(scan.low, scan.start(at), vocabulary.day).is_none()
}

fn skip_fillers(scan: &Scan<'_>, mut at: usize) -> usize {
    while at < scan.len()
        && (is_filler(scan.word(at)) || scan.word(at) == "=")
        && scan.word(at) != ","
    {
        at += 1;
    }
    at
}

/// The break on a line in minutes; its words are claimed.
pub fn rest(scan: &mut Scan<'_>, vocabulary: &Vocabulary) -> Option<i64> {
    let mut total = None;
    for at in 0..scan.len() {
        if scan.is_claimed(at) || !vocabulary.is(Group::Break, scan, at) {
            continue;
        }
        let found = if at > 0 && scan.word(at - 1) == "no" {
            Some((0, at - 1, at + 1))
        } else {
            minutes_after(scan, at + 1, vocabulary)
                .map(|(minutes, end)| (minutes, at, end))
                .or_else(|| {
                    let (minutes, start) = minutes_before(scan, at, vocabulary)?;
                    Some((minutes, start, at + 1))
                })
        };
        if let Some((minutes, start, end)) = found {
            scan.claim(start..end);
            total = Some(total.unwrap_or(0) + minutes);
        }
    }
    total
}

fn minutes_after(scan: &Scan<'_>, at: usize, vocabulary: &Vocabulary) -> Option<(i64, usize)> {
    let from = skip_fillers(scan, at);
    if let Some(length) = length::at(scan.low, scan.start(from), vocabulary.day) {
        return Some((length.minutes?, scan.word_from(length.end)));
    }
    let bare = figures(scan.word(from), 3).filter(|m| (1..=LONGEST_BREAK).contains(m))?;
    is_alone(scan, from, vocabulary).then_some((bare, from + 1))
}

/// The length that ends right before a word, and the word where it begins.
fn minutes_before(scan: &Scan<'_>, at: usize, vocabulary: &Vocabulary) -> Option<(i64, usize)> {
    (at.saturating_sub(3)..at).find_map(|from| {
        let length = length::at(scan.low, scan.start(from), vocabulary.day)?;
        let fits = scan.word_from(length.end) == at && !scan.is_claimed(from);
        fits.then_some((length.minutes?, from))
    })
}

/// What a length behind a comma is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BehindAComma {
    /// The trip, where a word for it stands before its miles: `travel 9 miles, 35m`.
    TheTrip,
    /// The visit: its line gives no clocks.
    TheVisit,
}

/// The trip on a line: miles, and minutes on the road; its words are claimed.
pub fn trip(
    scan: &mut Scan<'_>,
    vocabulary: &Vocabulary,
    behind: BehindAComma,
) -> (Option<f64>, Option<i64>) {
    let (mut miles, mut road) = (None, None);
    for at in 0..scan.len() {
        if scan.is_claimed(at) {
            continue;
        }
        if miles.is_none()
            && let Some((n, end)) = read_miles(scan, at)
        {
            let named = at > 0 && begins_a_trip(scan.word(at - 1));
            let start = at - usize::from(named);
            let from = if named && behind == BehindAComma::TheTrip {
                past_a_comma(scan, end)
            } else {
                end
            };
            let time = length::at(scan.low, scan.start(from), vocabulary.day)
                .and_then(|length| Some((length.minutes?, scan.word_from(length.end))))
                .filter(|_| from < scan.len() && road.is_none());
            scan.claim(start..time.map_or(end, |(_, end)| end));
            miles = Some(n);
            road = road.or(time.map(|(minutes, _)| minutes));
        } else if road.is_none() && begins_a_trip(scan.word(at)) && begins_a_phrase(scan, at) {
            let after = skip_fillers(scan, at + 1);
            let length = length::at(scan.low, scan.start(after), vocabulary.day)
                .filter(|_| after < scan.len());
            if let Some((minutes, end)) =
                length.and_then(|l| Some((l.minutes?, scan.word_from(l.end))))
            {
                scan.claim(at..end);
                road = Some(minutes);
            }
        } else if road.is_none()
            && let Some(length) = length::at(scan.low, scan.start(at), vocabulary.day)
            && let Some(minutes) = length.minutes
        {
            let end = scan.word_from(length.end);
            if is_road(scan.word(end)) {
                scan.claim(at..end + 1);
                road = Some(minutes);
            }
        }
    }
    (miles, road)
}

/// A word for a trip that may stand behind its time: `25m drive`.
fn is_road(word: &str) -> bool {
    matches!(word, "travel" | "drive")
}

/// A word for a trip that stands before its miles or its time.
pub fn begins_a_trip(word: &str) -> bool {
    is_road(word) || matches!(word, "drove" | "travelled")
}

/// A word that miles are counted in.
pub fn is_mile(word: &str) -> bool {
    matches!(word, "miles" | "mile")
}

/// Past a comma, where one stands.
pub fn past_a_comma(scan: &Scan<'_>, at: usize) -> usize {
    at + usize::from(scan.word(at) == ",")
}

/// Whether nothing unread that matters stands before a word: the drive of `along the drive 40m` is no trip.
fn begins_a_phrase(scan: &Scan<'_>, at: usize) -> bool {
    at == 0
        || scan.is_claimed(at - 1)
        || matches!(scan.word(at - 1), "," | ";" | "+" | "&" | "and" | "-")
}

/// `12 miles`, `12mi`, `7.5 miles`.
fn read_miles(scan: &Scan<'_>, at: usize) -> Option<(f64, usize)> {
    let word = scan.word(at);
    let number = |text: &str| {
        let (whole, part) = text.split_once('.').unwrap_or((text, "0"));
        figures(whole, 4)?;
        figures(part, 2)?;
        text.parse::<f64>().ok()
    };
    let next = scan.word(at + 1);
    let (miles, end) = if is_mile(next) || next == "mi" {
        (number(word)?, at + 2)
    } else {
        let bare = ["miles", "mile", "mi"]
            .iter()
            .find_map(|unit| word.strip_suffix(unit))?;
        (number(bare)?, at + 1)
    };
    // Miles of a visit are there and back in any case.
    let after = [scan.word(end), scan.word(end + 1), scan.word(end + 2)];
    let said = match after {
        ["round", "trip", _] => 2,
        ["there", "and" | "&", "back"] => 3,
        _ => 0,
    };
    Some((miles, end + said))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jot::bench::settings;
    use crate::jot::line::Line;

    type Trip = (Option<f64>, Option<i64>);

    fn read(text: &str) -> (Option<i64>, Option<i64>, Trip) {
        let vocabulary = Vocabulary::new(&settings());
        let line = Line::new(1, text);
        let mut scan = Scan::new(&line);
        let trip = trip(&mut scan, &vocabulary, BehindAComma::TheTrip);
        let rest = rest(&mut scan, &vocabulary);
        (
            parking(&mut scan, &vocabulary).map(Money::pence),
            rest,
            trip,
        )
    }

    #[test]
    fn parking_is_read_with_its_amount_only() {
        for (text, pence) in [
            ("parking 6.50", Some(650)),
            ("parkin \u{a3}4", Some(400)),
            ("park: 4", Some(400)),
            ("pkg 6.5", Some(650)),
            ("pk 3.20", Some(320)),
            ("p&d 80p", Some(80)),
            ("parking free", Some(0)),
            ("park nil", Some(0)),
            ("\u{a3}2 parking", Some(200)),
            ("parking 2, parking 3", Some(500)),
            ("\u{a3}2 parking \u{a3}3 parking", Some(500)),
            ("2.40 parking", Some(240)),
            ("left 11.15 parking 2.50", Some(250)),
            ("no parking", None),
            ("park 5 mins away", None),
            ("car park 4 lights 1h", None),
            ("2 parking", None),
        ] {
            assert_eq!(read(text).0, pence, "{text}");
        }
    }

    #[test]
    fn breaks_are_read_before_or_after_their_word() {
        for (text, minutes) in [
            ("brk 45", Some(45)),
            ("lunch 1h", Some(60)),
            ("45m lunch", Some(45)),
            ("half an hour lunch", Some(30)),
            ("no break", Some(0)),
            ("brk 15 lunch 30", Some(45)),
            ("lunch with agent", None),
            ("break 12.30", None),
        ] {
            assert_eq!(read(text).1, minutes, "{text}");
        }
    }

    #[test]
    fn a_trip_is_miles_and_the_time_straight_after() {
        for (text, trip) in [
            ("6 miles 25m", (Some(6.0), Some(25))),
            ("12mi", (Some(12.0), None)),
            ("16 miles round trip, 50m drive", (Some(16.0), Some(50))),
            ("9 mi there and back 40m", (Some(9.0), Some(40))),
            ("7.5 miles", (Some(7.5), None)),
            ("travel 25m", (None, Some(25))),
            ("25m drive", (None, Some(25))),
            ("travel 9 miles, 35m", (Some(9.0), Some(35))),
            ("9 miles, 35m", (Some(9.0), None)),
            ("drove 4 miles", (Some(4.0), None)),
            ("travelled 4 miles 10m", (Some(4.0), Some(10))),
            ("drove 25m", (None, Some(25))),
            ("2 skt 2h drove 4 miles", (Some(4.0), None)),
            ("swa along drive 40m 3h", (None, None)),
            ("miles away", (None, None)),
        ] {
            assert_eq!(read(text).2, trip, "{text}");
        }
    }

    #[test]
    fn a_length_behind_a_comma_is_the_visit_s_where_its_line_has_no_clocks() {
        let line = Line::new(1, "mon travel 9 miles, 2h");
        let mut scan = Scan::new(&line);
        let vocabulary = Vocabulary::new(&settings());
        assert_eq!(
            super::trip(&mut scan, &vocabulary, BehindAComma::TheVisit),
            (Some(9.0), None)
        );
        assert!(!scan.is_claimed(scan.len() - 1));
    }
}
