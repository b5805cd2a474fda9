//! The nearest name to a misspelt one.

/// The candidate nearest to `typed` (Damerau–Levenshtein distance, case aside), or `None` where nothing is near:
/// at most a third of the letters, and never more than three, may differ. Of equals the first in order wins.
pub fn nearest<'a, I>(typed: &str, candidates: I) -> Option<&'a str>
where
    I: IntoIterator<Item = &'a str>,
{
    // Keys are short; a pasted paragraph is near to nothing and need not be measured.
    if typed.chars().count() > 64 {
        return None;
    }
    let typed = fold(typed);
    let allowed = (typed.chars().count() / 3).clamp(1, 3);
    candidates
        .into_iter()
        .map(|candidate| {
            (
                strsim::damerau_levenshtein(&typed, &fold(candidate)),
                candidate,
            )
        })
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

fn fold(name: &str) -> String {
    name.to_lowercase().replace(['-', ' '], "_")
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn a_slip_finds_its_key_and_nonsense_finds_none() {
        let keys = ["location", "title", "visits"];
        assert_eq!(nearest("locaton", keys), Some("location"));
        assert_eq!(nearest("Titel", keys), Some("title"));
        assert_eq!(nearest("weather", keys), None);
        assert_eq!(nearest("", keys), None);
    }
}
