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

/// What stands behind the colon of one of some fields.
fn field<'l>(line: &'l Line, names: &[&str]) -> Option<&'l str> {
    let (name, value) = line.low.split_once(':')?;
    names.contains(&name.trim_end()).then(|| value.trim())
}
