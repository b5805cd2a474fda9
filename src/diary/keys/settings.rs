//! The keys of `diary.yaml`.

use super::Shape::{Address, Date, Keys, Length, List, Money, Named, Number, Text, Texts, Truth};
use super::log::{GUARANTEE, HIGHEST_TEST, LARGEST_DEVICE};
use super::{Key, may, must};

/// Most of any percentage.
pub const MOST_PERCENT: f64 = 1_000.0;
/// Most weeks of a year.
pub const MOST_WEEKS: f64 = 53.0;
/// Bounds of the jobs that a public figure wants behind it.
pub const FEWEST: f64 = 3.0;
/// See [`FEWEST`].
pub const MOST_FEWEST: f64 = 1_000.0;
/// Most of a figure of the diary's own.
pub const MOST_FIGURE: f64 = 10_000.0;

/// `diary.yaml`.
pub const DIARY: &[Key] = &[
    must(
        "title",
        Text,
        "The name of the diary, at the head of every page",
    ),
    may("trader", Keys(TRADER), "Who you are"),
    must("site", Keys(SITE), "Where the site stands"),
    may(
        "rates",
        Keys(RATES),
        "What you charge, without VAT: private",
    ),
    may(
        "years",
        List(&Keys(YEAR)),
        "What each year has to bring in: private",
    ),
    may("locations", Named(&Text), "The kinds of place you work in"),
    may("tasks", Named(&Keys(TASK)), "The kinds of work you time"),
    may(
        "materials",
        List(&Keys(MATERIAL)),
        "The price book: private",
    ),
    may(
        "guarantee",
        Keys(GUARANTEE),
        "How long you stand by your work",
    ),
    may("public", Keys(PUBLIC), "What readers see of your figures"),
    may(
        "keep_private",
        Texts,
        "Words that must never reach the site",
    ),
    may(
        "figures",
        Keys(FIGURES),
        "Figures that readings are held against instead of the published ones",
    ),
];

/// `trader`.
pub const TRADER: &[Key] = &[
    may("name", Text, "Your name"),
    may("trading_as", Text, "The name you trade under"),
    may("phone", Text, "Telephone"),
    may("email", Text, "Email"),
];

/// `site`.
pub const SITE: &[Key] = &[
    must("address", Address, "Where the site stands"),
    may("language", Text, "Its language tag, such as en-GB"),
    may(
        "timezone",
        Text,
        "The clock that visits go by, such as Europe/London",
    ),
];

/// `rates`.
pub const RATES: &[Key] = &[
    may("currency", Text, "Three letters: GBP"),
    may("hour", Money, "An hour on site"),
    may("day", Money, "A full day on site"),
    may("day_length", Length, "How long a full day is"),
    may("call_out", Money, "The first hour of a call-out"),
    may("mile", Money, "A mile driven"),
    may(
        "markup_percent",
        Number(0.0, MOST_PERCENT),
        "What goes on materials, in per cent",
    ),
    may(
        "vat_percent",
        Number(0.0, MOST_PERCENT),
        "VAT, if you are registered",
    ),
    may("daywork", Keys(DAYWORK), "What goes on each at daywork"),
];

/// `daywork` of `rates`.
pub const DAYWORK: &[Key] = &[
    may(
        "labour_percent",
        Number(0.0, MOST_PERCENT),
        "Addition to labour, in per cent",
    ),
    may(
        "materials_percent",
        Number(0.0, MOST_PERCENT),
        "Addition to materials, in per cent",
    ),
    may(
        "plant_percent",
        Number(0.0, MOST_PERCENT),
        "Addition to plant, in per cent",
    ),
];

/// One of `years`.
pub const YEAR: &[Key] = &[
    must("from", Date, "Its first day"),
    may("pay", Money, "What you must take home from it"),
    may("overheads", Money, "Van, insurance, tools"),
    may("weeks", Number(0.0, MOST_WEEKS), "Weeks that you work"),
    may("admin", Length, "Unpaid hours a week"),
];

/// One of `tasks`.
pub const TASK: &[Key] = &[
    must("name", Text, "What readers see"),
    may(
        "unit",
        Text,
        "each, job, metre or circuit; each if left out",
    ),
    may("also", Texts, "What you type for it on the phone"),
];

/// One of `materials`.
pub const MATERIAL: &[Key] = &[
    must("item", Text, "What it is"),
    may("unit", Text, "each, m"),
    may("cost", Money, "What it costs you"),
    may("also", Texts, "What you type for it on the phone"),
];

/// `public`.
pub const PUBLIC: &[Key] = &[
    may(
        "how_long",
        Truth,
        "Whether the page of how long things take is public",
    ),
    may(
        "fewest_jobs",
        Number(FEWEST, MOST_FEWEST),
        "A figure from fewer jobs says so",
    ),
];

/// `figures`.
pub const FIGURES: &[Key] = &[
    may(
        "max_zs",
        List(&Keys(MAX_ZS)),
        "Highest earth fault loop impedances",
    ),
    may(
        "min_insulation",
        List(&Keys(MIN_INSULATION)),
        "Lowest insulation resistances",
    ),
    may("max_rcd", List(&Keys(MAX_RCD)), "Longest times of RCDs"),
];

/// One of `max_zs`.
pub const MAX_ZS: &[Key] = &[
    must("type", Text, "Type of the device"),
    must("rating", Number(0.1, LARGEST_DEVICE), "Amperes"),
    must("ohms", Number(0.01, MOST_FIGURE), "The figure"),
    must("source", Text, "Where the figure comes from"),
];

/// One of `min_insulation`.
pub const MIN_INSULATION: &[Key] = &[
    must("at", Number(1.0, HIGHEST_TEST), "Test voltage, in volts"),
    must("megohms", Number(0.001, MOST_FIGURE), "The figure"),
    must("source", Text, "Where the figure comes from"),
];

/// One of `max_rcd`.
pub const MAX_RCD: &[Key] = &[
    must("kind", Text, "general, or time-delayed"),
    must(
        "times",
        Number(0.5, 10.0),
        "How many times its rated current the test is",
    ),
    must("ms", Number(1.0, MOST_FIGURE), "The figure"),
    must("source", Text, "Where the figure comes from"),
];
