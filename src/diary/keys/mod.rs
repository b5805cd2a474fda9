//! Every key that a file of the diary may hold, and the shape of what stands behind it: the one list that the readers
//! go by and that the schemas for editors are made from.

pub mod log;
pub mod page;
pub mod price;
pub mod settings;

/// A key of a map.
#[derive(Clone, Copy, Debug)]
pub struct Key {
    /// As it is written.
    pub name: &'static str,
    /// What stands behind it.
    pub shape: Shape,
    /// What it is for, in a few words without a full stop.
    pub says: &'static str,
    /// Whether the map is wrong without it.
    pub must: bool,
}

/// The shape of a value as it is written. Which values make sense together is the readers' affair.
#[derive(Clone, Copy, Debug)]
pub enum Shape {
    /// Words.
    Text,
    /// A list of words.
    Texts,
    /// `true` or `false`.
    Truth,
    /// `2026-03-02`.
    Date,
    /// `8:15`.
    Clock,
    /// `2h15`.
    Length,
    /// `2h..4h`.
    Range,
    /// `1,504.00`.
    Money,
    /// Figures from the first to the second.
    Number(f64, f64),
    /// Whole figures from the first to the second.
    Whole(f64, f64),
    /// A number, `>200` or `LIM`.
    Measured,
    /// A date, or `ready`.
    Publish,
    /// Letters, figures and hyphens.
    Ref,
    /// `https://example.com`.
    Address,
    /// One of these words.
    Words(&'static [&'static str]),
    /// A map with these keys.
    Keys(&'static [Key]),
    /// One after the other.
    List(&'static Shape),
    /// At least one of them.
    OneOrMore(&'static Shape),
    /// A map whose keys are the diary's own: small letters, figures and hyphens.
    Named(&'static Shape),
    /// A map whose keys are the diary's own, whatever they are.
    Called(&'static Shape),
    /// An address, or a map with these keys.
    AddressOrKeys(&'static [Key]),
}

/// A key that may be left out.
const fn may(name: &'static str, shape: Shape, says: &'static str) -> Key {
    Key {
        name,
        shape,
        says,
        must: false,
    }
}

/// A key that its map is wrong without.
const fn must(name: &'static str, shape: Shape, says: &'static str) -> Key {
    Key {
        name,
        shape,
        says,
        must: true,
    }
}
