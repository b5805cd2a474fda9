//! The keys of a job log.

use super::Shape::{
    AddressOrKeys, Clock, Date, Keys, Length, List, Measured, Money, Number, OneOrMore, Publish,
    Ref, Text, Texts, Truth, Whole, Words,
};
use super::{Key, may, must, page};

/// Most of anything that is counted: metres of cable, sockets.
pub const MOST: f64 = 100_000.0;
/// Most miles of one trip.
pub const MOST_MILES: f64 = 5_000.0;
/// Longest guarantee, in years.
pub const LONGEST_GUARANTEE: f64 = 50.0;
/// Largest rating of a device, in amperes.
pub const LARGEST_DEVICE: f64 = 1600.0;
/// Highest insulation test voltage, in volts.
pub const HIGHEST_TEST: f64 = 5000.0;
/// Largest residual test current, in milliamperes.
pub const LARGEST_TRIP: f64 = 30_000.0;

/// A log's front matter.
pub const JOB: &[Key] = &[
    must("title", Text, "What the job was, as readers see it"),
    must("ref", Ref, "The job's own number: private"),
    may(
        "location",
        Text,
        "The kind of place: a key of locations in diary.yaml",
    ),
    may(
        "client",
        Text,
        "Who it was for: a key of clients.yaml; private",
    ),
    may("place", Text, "Where it was: private"),
    may(
        "tenure",
        Words(&["rented", "owned"]),
        "Whether the place is rented or owned",
    ),
    may(
        "priced",
        Text,
        "The price in prices/ that was given: private",
    ),
    may("quoted", Keys(SUM), "What was quoted: private"),
    may("charged", Keys(SUM), "What was charged: private"),
    may("uncharged", Text, "Why nothing is charged: private"),
    must(
        "visits",
        OneOrMore(&Keys(VISIT)),
        "Each attendance, with its date",
    ),
    may("findings", List(&Keys(FINDING)), "What was seen"),
    may(
        "readings",
        List(&Keys(READING)),
        "What was measured, circuit by circuit",
    ),
    may("materials", List(&Keys(MATERIAL)), "What was fitted"),
    may(
        "plant",
        List(&Keys(MATERIAL)),
        "What was hired or brought: private",
    ),
    may(
        "extras",
        List(&Keys(EXTRA)),
        "What was asked for on the day: private",
    ),
    may(
        "guarantee",
        Keys(GUARANTEE),
        "How long this job is stood by, where not as diary.yaml says",
    ),
    may("report", Keys(REPORT), "An inspection's dates: private"),
    may(
        "for",
        Text,
        "The ref of the later job that this call-out led to",
    ),
    may(
        "publish",
        Publish,
        "The day from which readers may see it, or ready; without it the log stays private",
    ),
    may("subjects", Texts, "What the page is found under"),
    may("series", Text, "Pages of one series are tied together"),
    may("video", AddressOrKeys(page::FILM), "The address of a film"),
    may("was", Texts, "Old addresses of the page"),
    may(
        "coming",
        Texts,
        "Pages that are promised and not written yet",
    ),
];

/// `quoted` and `charged`.
pub const SUM: &[Key] = &[
    may("hours", Length, "Time on site that was reckoned with"),
    may("labour", Money, "Without VAT"),
    may("materials", Money, "Without VAT"),
    may("parking", Money, "Without VAT"),
    may("basis", Text, "What it is for"),
    may("on", Date, "The day it was sent"),
];

/// One of `visits`.
pub const VISIT: &[Key] = &[
    must("date", Date, "The day it began"),
    may(
        "kind",
        Words(&["planned", "call-out", "survey", "follow-up", "guarantee"]),
        "planned if left out; guarantee is a free return",
    ),
    may("from", Clock, "Arrival by the clock"),
    may("to", Clock, "Leaving by the clock"),
    may("break", Length, "Time within the visit that was not worked"),
    may(
        "time",
        Length,
        "How long it was, where from and to are not known",
    ),
    may(
        "tasks",
        List(&Keys(TASK)),
        "What was done, each with its time",
    ),
    may("travel", Keys(TRAVEL), "The whole trip, there and back"),
    may("parking", Money, "What parking cost"),
    may("note", Text, "For yourself: private"),
];

/// One of a visit's `tasks`.
pub const TASK: &[Key] = &[
    must("task", Text, "The task type: a key of tasks in diary.yaml"),
    may(
        "count",
        Number(0.0, MOST),
        "How many, in the task type's unit",
    ),
    may("time", Length, "How long they took together"),
];

/// A visit's `travel`.
pub const TRAVEL: &[Key] = &[
    may("miles", Number(0.0, MOST_MILES), "Miles driven"),
    may("time", Length, "Time on the road"),
];

/// One of `findings`.
pub const FINDING: &[Key] = &[
    must("what", Text, "What was seen"),
    may("where", Text, "Where in the place"),
    must(
        "code",
        Words(&["C1", "C2", "C3", "FI", "note"]),
        "The observation code, or note",
    ),
    may("done", Text, "What was done about it"),
    may("told", Keys(TOLD), "Who was told"),
    may("put_right", Date, "The day it was put right"),
    may(
        "refused",
        Truth,
        "Whether consent to isolate it or put it right was refused, in writing",
    ),
    may("visit", Date, "The visit that saw it"),
    may("private", Truth, "Whether readers never see it"),
];

/// A finding's `told`.
pub const TOLD: &[Key] = &[
    may("who", Text, "A role, such as owner; a name stays private"),
    may("on", Date, "The day"),
    may("how", Text, "In person, by email"),
];

/// One of `readings`.
pub const READING: &[Key] = &[
    may("circuit", Text, "Which circuit"),
    may("visit", Date, "The visit that measured it"),
    may("as_found", Truth, "Whether it was measured before any work"),
    may("device", Keys(DEVICE), "The protective device"),
    may(
        "insulation",
        Keys(INSULATION),
        "Insulation resistance, in megohms",
    ),
    may("zs", Measured, "Earth fault loop impedance, in ohms"),
    may(
        "ze",
        Measured,
        "External earth fault loop impedance, in ohms",
    ),
    may(
        "r1_r2",
        Measured,
        "Line and protective conductor together, in ohms",
    ),
    may("ring", Keys(RING), "Ends of a ring, in ohms"),
    may("rcd", Keys(RCD), "The RCD's time"),
    may("pfc", Measured, "Prospective fault current, in kiloamperes"),
    may("polarity", Text, "correct, or what is wrong"),
];

/// A reading's `device`.
pub const DEVICE: &[Key] = &[
    may("type", Text, "B, C, D or the standard of a fuse"),
    may("rating", Number(0.1, LARGEST_DEVICE), "Amperes"),
];

/// A reading's `insulation`.
pub const INSULATION: &[Key] = &[
    may("at", Number(1.0, HIGHEST_TEST), "Test voltage, in volts"),
    may("live_to_earth", Measured, "Megohms"),
    may("live_to_live", Measured, "Megohms"),
];

/// A reading's `ring`.
pub const RING: &[Key] = &[
    may("r1", Measured, "Line, in ohms"),
    may("rn", Measured, "Neutral, in ohms"),
    may("r2", Measured, "Protective conductor, in ohms"),
];

/// A reading's `rcd`.
pub const RCD: &[Key] = &[
    may(
        "at",
        Number(1.0, LARGEST_TRIP),
        "Test current, in milliamperes",
    ),
    may("ms", Measured, "Time to trip, in milliseconds"),
    may("kind", Text, "general, or time-delayed"),
];

/// One of `materials` and of `plant`.
pub const MATERIAL: &[Key] = &[
    must("item", Text, "What it is"),
    may("count", Number(0.0, MOST), "How many; one if left out"),
    may("unit", Text, "m, day; each if left out"),
    may("cost", Money, "What it cost you: private"),
    may("charge", Money, "What it is charged at: private"),
    may(
        "cost_for",
        Words(&["each", "all"]),
        "Whether cost and charge are for each or for all of the line",
    ),
    may("supplier", Text, "Where it came from: private"),
    may(
        "came_back",
        List(&Date),
        "The day of the free return for each that failed, [] for none: private, the count is not",
    ),
];

/// One of `extras`.
pub const EXTRA: &[Key] = &[
    must("what", Text, "What was asked for"),
    may("labour", Money, "Its part of the labour that was charged"),
    may("agreed", Keys(AGREED), "Who agreed to it"),
];

/// An extra's `agreed`.
pub const AGREED: &[Key] = &[
    may("who", Text, "A role or a name"),
    may("on", Date, "The day"),
];

/// `guarantee` of a log and of `diary.yaml`.
pub const GUARANTEE: &[Key] = &[
    may("years", Whole(0.0, LONGEST_GUARANTEE), "Whole years"),
    may("not_in_it", Text, "What it does not hold for"),
];

/// `report` of a log.
pub const REPORT: &[Key] = &[
    may("inspected", Date, "The day of the inspection"),
    may(
        "due",
        Date,
        "The day by which work must be done, where the report says",
    ),
    may("sent", Date, "The day it went to the tenant"),
];
