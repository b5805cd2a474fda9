//! What never leaves the office.

/// A private value: a name, an address, a date of a visit, an amount.
///
/// It has no `Serialize`, `Display`, `Debug` text, `Deref` or conversion, so that no public view, template or
/// format string can take it by accident; `tests/compile_fail` proves it. The one way to its inside is
/// [`Private::in_office`], whose callers `tests/rooms.rs` holds to the office's own rooms.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Private<T>(T);

impl<T> Private<T> {
    /// Marks a value as private.
    pub fn new(value: T) -> Self {
        Private(value)
    }

    /// The value, for the office book, paperwork, reports and the leak gate only.
    pub fn in_office(&self) -> &T {
        &self.0
    }
}

impl<T> std::fmt::Debug for Private<T> {
    /// Says that something is there and not what: a debug print may end in a log that others read.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Private(…)")
    }
}

#[cfg(test)]
mod tests {
    use super::Private;

    #[test]
    fn a_debug_print_says_that_something_is_there_and_not_what() {
        assert_eq!(format!("{:?}", Private::new("Perran")), "Private(…)");
        assert_eq!(
            format!("{:#?}", Some(Private::new(4))),
            "Some(\n    Private(…),\n)"
        );
    }
}
