//! The keys of guides, reviews, answers and `about.md`, of a film, and of `clients.yaml`.

use super::Shape::{
    Address, AddressOrKeys, Called, Date, Keys, List, Publish, Text, Texts, Truth, Words,
};
use super::{Key, Shape, may, must};

/// What every page may hold.
pub const SHARED: &[Key] = &[
    may(
        "title",
        Text,
        "Its title; otherwise the first heading of the text",
    ),
    may(
        "publish",
        Publish,
        "The day from which readers may see it, or ready; without it the page stays private",
    ),
    may("subjects", Texts, "What the page is found under"),
    may("series", Text, "Pages of one series are tied together"),
    may("video", AddressOrKeys(FILM), "The address of a film"),
    may("was", Texts, "Old addresses of the page"),
    may(
        "coming",
        Texts,
        "Titles of pages that are promised and not written yet; a link in the text may promise one as well: <coming:Its title>",
    ),
];

/// What a review holds besides.
pub const REVIEW: &[Key] = &[
    may("material", Text, "What is reviewed"),
    must(
        "came_by",
        Words(&["bought", "given", "lent"]),
        "How it was come by: readers are told",
    ),
    may("criteria", List(&Keys(CRITERION)), "What it was judged by"),
    may("kept", Truth, "Whether it is still used"),
];

/// One of a review's `criteria`.
pub const CRITERION: &[Key] = &[
    must("name", Text, "What was judged"),
    must("verdict", Text, "How it did"),
];

/// What an answer holds besides.
pub const ANSWER: &[Key] = &[
    may("asked", Keys(ASKED), "When and where it was asked"),
    may("about", Texts, "Links to the logs it is about"),
];

/// An answer's `asked`.
pub const ASKED: &[Key] = &[
    may("on", Date, "The day"),
    may("where", Text, "Where, in words"),
];

/// `video`, in a log or page and in a block.
pub const FILM: &[Key] = &[
    must("address", Address, "Where the film is"),
    may("title", Text, "What it shows"),
    may(
        "captions",
        Text,
        "The captions file, where it has not the log's own name",
    ),
    may("still", Text, "A picture of your own to stand for it"),
];

/// `clients.yaml`.
pub const CLIENTS: Shape = Called(&Keys(CLIENT));

/// One of its clients.
pub const CLIENT: &[Key] = &[
    may("name", Text, "The person or the firm"),
    may("contact", Text, "Who opens the door"),
    may("address", Text, "Without the town"),
    may("town", Text, "Town"),
    may("postcode", Text, "Postcode"),
    may("email", Text, "Email"),
    may("phone", Text, "Telephone"),
    may(
        "role",
        Text,
        "owner, tenant, agent, landlord: this word may be public",
    ),
    may("note", Text, "For yourself"),
    may("allow", Texts, "Words of the name that are plain words too"),
];
