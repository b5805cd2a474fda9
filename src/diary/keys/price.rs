//! The keys of `prices/NAME.yaml`.

use super::Shape::{Date, Keys, List, Money, Number, OneOrMore, Range, Text, Texts};
use super::log::MOST_MILES;
use super::{Key, may, must};

/// Longest time a job is priced at, in minutes: ten years of days, so that a slip of the pen is told.
pub const LONGEST: f64 = 1_000_000.0;
/// Least and most of a task that is priced.
pub const LEAST: f64 = 0.001;
/// See [`LEAST`].
pub const MOST: f64 = 1_000_000.0;
/// Most visits of a job.
pub const MOST_VISITS: f64 = 1_000.0;

/// A price.
pub const PRICE: &[Key] = &[
    may("title", Text, "What it is for"),
    may("client", Text, "Who asked: a key of clients.yaml"),
    must("tasks", OneOrMore(&Keys(TASK)), "What the job is made of"),
    may(
        "location",
        Text,
        "The kind of place: a key of locations in diary.yaml",
    ),
    may(
        "visits",
        Number(1.0, MOST_VISITS),
        "How many visits it will take",
    ),
    may("materials", Money, "What materials will be charged at"),
    may("parking", Money, "What parking will cost"),
    may("miles", Number(0.0, MOST_MILES), "Miles of one trip"),
    may(
        "chance",
        Number(1.0, 99.0),
        "Chance in a hundred that it is enough",
    ),
    may("answer", Keys(ANSWER), "What daywork price answered"),
];

/// One of a price's `tasks`.
pub const TASK: &[Key] = &[
    must("task", Text, "The task type: a key of tasks in diary.yaml"),
    may(
        "count",
        Number(LEAST, MOST),
        "How many, in the task type's unit",
    ),
    may(
        "guess",
        Range,
        "The least and the most it may take, where the record does not know",
    ),
];

/// A price's `answer`.
pub const ANSWER: &[Key] = &[
    must("on", Date, "The day it was given"),
    must(
        "minutes",
        Keys(MINUTES),
        "How long the job takes, in minutes",
    ),
    must(
        "labour_minutes",
        Number(0.0, LONGEST),
        "Minutes that are charged",
    ),
    must("lines", List(&Keys(LINE)), "Each line of the price"),
    must("total", Money, "All of it"),
    may("by_the_day", Money, "The same by the day"),
    may("warnings", Texts, "What makes it doubtful"),
];

/// An answer's `minutes`: in as many of a hundred such jobs it is enough.
pub const MINUTES: &[Key] = &[
    must("q10", Number(0.0, LONGEST), "Enough in 10 of 100"),
    must("q50", Number(0.0, LONGEST), "Enough in 50 of 100"),
    must("q80", Number(0.0, LONGEST), "Enough in 80 of 100"),
    must("q90", Number(0.0, LONGEST), "Enough in 90 of 100"),
];

/// One of an answer's `lines`.
pub const LINE: &[Key] = &[
    must("what", Text, "What it is for"),
    must("amount", Money, "How much"),
    may("how", Text, "How it was reckoned"),
];
