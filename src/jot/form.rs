//! Two lines of a form that are one range of clocks: `IN: 9.15` above `OUT: 11.45`.

use super::clock;
use super::line::Line;

const ARRIVAL: [&str; 6] = ["in", "time in", "start", "arrived", "arr", "on site"];
const LEAVING: [&str; 7] = [
    "out", "time out", "finish", "left", "dep", "off site", "end",
];

/// From when to when, where a line says the one and the line below it the other; as a line to be read.
pub fn times(line: &Line, next: Option<&Line>) -> Option<Line> {
    let from = field(line, &ARRIVAL)?;
    let to = field(next?, &LEAVING)?;
    let range = Line::spoken(line.number, &line.typed, &format!("{from} - {to}"));
    clock::range(&range.low, 0)
        .is_some_and(|(_, end)| end == range.low.len())
        .then_some(range)
}

/// `TIME: 10-12.30` as the range that it is.
pub fn span(line: &Line) -> Option<Line> {
    let value = field(line, &["time", "times", "hours", "on site"])?;
    clock::range(value, 0)
        .is_some_and(|(_, end)| end == value.len())
        .then(|| Line::spoken(line.number, &line.typed, value))
}

/// What stands behind the colon of one of some fields.
fn field<'l>(line: &'l Line, names: &[&str]) -> Option<&'l str> {
    let (name, value) = line.low.split_once(':')?;
    names.contains(&name.trim_end()).then(|| value.trim())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_with_its_name_is_the_range() {
        let read = |text: &str| span(&Line::new(1, text)).map(|line| line.low);
        assert_eq!(read("- Time: 10-12.30").as_deref(), Some("10-12.30"));
        assert_eq!(read("HOURS: 0915 to 1145").as_deref(), Some("0915 to 1145"));
        assert_eq!(read("time: 10-12.30 kettle on"), None);
        assert_eq!(read("next time: 9-5"), None);
        assert_eq!(read("time: 2h"), None);
    }
}
