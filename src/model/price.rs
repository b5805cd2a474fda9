//! A price: the question that was asked of the record and the answer that was given. One file in `prices/`.

use jiff::civil::Date;

use crate::diagnose::FileId;

use super::{At, Minutes, Money};

/// `prices/NAME.yaml`.
#[derive(Clone, Debug)]
pub struct Price {
    /// Its file.
    pub file: FileId,
    /// The file's name without its ending: what a log's `priced` names.
    pub name: String,
    /// What the client's copy is headed with; the name where it is empty.
    pub title: String,
    /// Client, a key of `clients.yaml`.
    pub client: Option<At<String>>,
    /// What was asked.
    pub question: Question,
    /// What was answered; `None` for a question that was never reckoned.
    pub answer: Option<Given>,
}

/// What is asked of the record.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Question {
    /// The job's tasks, in the order asked.
    pub tasks: Vec<Wanted>,
    /// Location type, a key of `locations`.
    pub location: Option<String>,
    /// Visits it will take; reckoned where it is not said.
    pub visits: Option<u32>,
    /// What the materials cost, without markup.
    pub materials: Money,
    /// Parking, in all.
    pub parking: Money,
    /// Miles of one trip, there and back.
    pub miles: f64,
    /// The chance in a hundred that the labour should be enough; 80 where it is not said.
    pub chance: Option<f64>,
}

/// A task that is asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// Task type, a key of `tasks`.
    pub task: String,
    /// How many.
    pub count: f64,
    /// Hours given by hand, for a task type that the record has never seen: the least and the most, four times in
    /// five.
    pub guess: Option<(Minutes, Minutes)>,
}

/// What was answered, as it was written down on the day.
#[derive(Clone, Debug, PartialEq)]
pub struct Given {
    /// The day.
    pub on: Date,
    /// Minutes on site, tasks and other time: one in ten, half, eight in ten, nine in ten below it.
    pub minutes: [f64; 4],
    /// Minutes that labour was priced at.
    pub labour_minutes: f64,
    /// The sum's lines.
    pub lines: Vec<GivenLine>,
    /// Their total.
    pub total: Money,
    /// The same by the day, where there is a day's rate.
    pub by_the_day: Option<Money>,
    /// What to mind.
    pub warnings: Vec<String>,
}

/// A line of the sum.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GivenLine {
    /// `labour`, `materials`.
    pub what: String,
    /// How much.
    pub amount: Money,
    /// How it came about.
    pub how: String,
}

/// What `4h` and `2h..4h` are: least and most, the least first. `None` for what is neither, or is no time at all.
pub fn guess(text: &str) -> Option<(Minutes, Minutes)> {
    let (low, high) = text.split_once("..").unwrap_or((text, text));
    let low = Minutes::from_length_text(low).ok()?;
    let high = Minutes::from_length_text(high).ok()?;
    (low > Minutes::NOUGHT && low <= high).then_some((low, high))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_guess_is_a_range_of_lengths() {
        let minutes = |low, high| Some((Minutes::new(low), Minutes::new(high)));
        assert_eq!(guess("2h..4h"), minutes(120, 240));
        assert_eq!(guess("45m .. 1h30"), minutes(45, 90));
        for wrong in ["4h..2h", "0m..1h", "2..4", "2h..", ""] {
            assert_eq!(guess(wrong), None, "{wrong}");
        }
    }
}
