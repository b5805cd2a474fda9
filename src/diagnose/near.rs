//! The nearest name to a misspelt one.

/// Longest name that is measured. A title of two lines is shorter; a pasted paragraph is near to nothing.
const LONGEST: usize = 256;

/// The candidate nearest to `typed` (Damerau–Levenshtein distance, case aside), or `None` where nothing is near:
/// at most a third of the letters, and never more than three, may differ. Of equals the first in order wins.
pub fn nearest<'a, I>(typed: &str, candidates: I) -> Option<&'a str>
where
    I: IntoIterator<Item = &'a str>,
{
    let typed = fold(typed);
    let length = typed.chars().count();
    if length > LONGEST {
        return None;
    }
    let allowed = (length / 3).clamp(1, 3);
    candidates
        .into_iter()
        .map(|candidate| (fold(candidate), candidate))
        // What is longer or shorter by more than may differ need not be measured.
        .filter(|(folded, _)| folded.chars().count().abs_diff(length) <= allowed)
        .map(|(folded, candidate)| (strsim::damerau_levenshtein(&typed, &folded), candidate))
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

    #[test]
    fn a_title_of_two_lines_is_measured_and_a_paragraph_is_not() {
        let title = "the hall ".repeat(28);
        let paragraph = title.clone() + "and more";
        assert_eq!((title.len(), paragraph.len()), (252, 260));
        for (text, found) in [(title, true), (paragraph, false)] {
            assert_eq!(nearest(&text[1..], [text.as_str()]).is_some(), found);
        }
    }
}
