//! How a word is looked for: without case, accents, plural. `themes/docket/search/search.js` does the same to what a
//! reader types, and `tests/browser/search.mjs` holds the two against each other.
//!
//! A run of letters and figures is parted where a letter follows a figure: `30mA` is `30` and `ma`, `4 mm²` is `4` and
//! `mm2`, `R1+R2` is `r1` and `r2`, while `C16` stays whole. A single letter is no word. Knows nothing of pages.

use std::borrow::Cow;
use std::sync::LazyLock;

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// Too common to tell one page from another: left out of the index, and told to the script with it.
pub const COMMON: &[&str] = &[
    "am", "an", "and", "are", "as", "at", "be", "been", "but", "by", "did", "do", "for", "from",
    "had", "has", "have", "he", "her", "his", "if", "in", "is", "it", "its", "my", "of", "on",
    "or", "she", "so", "that", "the", "their", "them", "then", "there", "they", "this", "to",
    "was", "we", "were", "which", "with", "you",
];

/// Nobody types a longer one; it would be a drawing's data or an address.
const LONGEST: usize = 40;

/// The words of a [folded] text as they stand in the index, in order, repeated as often as they stand there. `C 16` gives
/// `c16` too, `BS7671` its halves and `call-out` also `callout`, so that either way of typing finds either way of writing.
pub fn words(folded: &str) -> Vec<Cow<'_, str>> {
    let mut words = Vec::new();
    // The part before, and what stands between it and this one.
    let mut before = "";
    let mut end = 0;
    for (start, part) in parts(folded) {
        let between = &folded[end..start];
        let pair = !before.is_empty()
            && match between {
                " " => is_letters(before) && before.len() <= 3 && is_figures(part),
                "-" => is_letters(before) && (is_letters(part) || is_figures(part)),
                _ => false,
            };
        if pair && !is_common(before) {
            let whole = format!("{before}{part}");
            words.extend(word(&whole).map(|word| Cow::Owned(word.into_owned())));
        }
        words.extend(word(part));
        let letters = part.trim_end_matches(char::is_numeric);
        let figures = &part[letters.len()..];
        if is_letters(letters) && !letters.is_empty() && figures.chars().count() > 1 {
            words.extend(word(letters));
            words.extend(word(figures));
        }
        before = part;
        end = start + part.len();
    }
    words
}

/// A part as it stands in the index; `None` where it does not.
fn word(part: &str) -> Option<Cow<'_, str>> {
    let length = part.chars().count();
    let single = length == 1 && !is_figures(part);
    (!single && length <= LONGEST && !is_common(part)).then(|| one_of(part))
}

fn is_common(word: &str) -> bool {
    /// Asked of every word of a diary, so the list is held as numbers, which compare in one step.
    static NUMBERS: LazyLock<Vec<u64>> =
        LazyLock::new(|| COMMON.iter().filter_map(|word| number(word)).collect());
    number(word).is_some_and(|number| NUMBERS.contains(&number))
}

/// A short word's bytes as one number; `None` for a long one.
fn number(word: &str) -> Option<u64> {
    let mut bytes = [0; 8];
    bytes
        .get_mut(..word.len())?
        .copy_from_slice(word.as_bytes());
    Some(u64::from_le_bytes(bytes))
}

/// Lower case, accents off, `mm²` as `mm2`; apostrophes and soft hyphens gone.
pub fn folded(text: &str) -> String {
    if text.is_ascii() {
        // The same, and most of a diary.
        return text.replace('\'', "").to_ascii_lowercase();
    }
    let plain: String = text
        .nfkd()
        .filter(|c| !is_combining_mark(*c) && !matches!(c, '\'' | '\u{2019}' | '\u{ad}'))
        .collect();
    plain.to_lowercase()
}

/// Runs of letters and figures, parted where a letter follows a figure, each with where it begins. A full stop between
/// two figures is within.
fn parts(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut at = 0;
    std::iter::from_fn(move || {
        at += text[at..].find(char::is_alphanumeric)?;
        let start = at;
        let mut last = None;
        let mut rest = text[at..].chars();
        while let Some(c) = rest.next() {
            let figure = |c: Option<char>| c.is_some_and(char::is_numeric);
            let within = match c {
                '.' => figure(last) && figure(rest.clone().next()),
                c if c.is_numeric() => true,
                c => c.is_alphanumeric() && !figure(last),
            };
            if !within {
                break;
            }
            last = Some(c);
            at += c.len_utf8();
        }
        Some((start, &text[start..at]))
    })
}

fn is_letters(part: &str) -> bool {
    part.chars().all(char::is_alphabetic)
}

fn is_figures(part: &str) -> bool {
    part.chars().all(char::is_numeric)
}

/// The word for one of them: `batteries` is `battery`, `switches` is `switch`, `RCBOs` is `rcbo`. After Harman (1991),
/// "How effective is suffixing?", with the `es` of `switches` and `boxes` besides. It need not be a word, only the
/// same for both forms.
fn one_of(word: &str) -> Cow<'_, str> {
    let length = word.chars().count();
    let ends = |ending: &str| word.ends_with(ending);
    let cut = if length <= 3 || !ends("s") || ends("ss") || ends("us") {
        0
    } else if ends("ies") && length > 4 {
        return Cow::Owned(format!("{}y", &word[..word.len() - 3]));
    } else if ["ches", "shes", "xes", "sses", "zes"]
        .iter()
        .any(|e| ends(e))
    {
        2
    } else {
        1
    };
    Cow::Borrowed(&word[..word.len() - cut])
}

#[cfg(test)]
mod tests {
    use super::{COMMON, folded};

    fn words(text: &str) -> Vec<String> {
        let text = folded(text);
        let words = super::words(&text).into_iter();
        words.map(std::borrow::Cow::into_owned).collect()
    }

    /// What the script is held against as well: a text, and the words it gives a reader who types it.
    const TABLE: &str = include_str!("../../../tests/browser/folding.tsv");

    #[test]
    fn a_text_gives_the_words_that_the_table_says() {
        let mut rows = 0;
        for row in TABLE.lines().filter(|row| !row.starts_with('#')) {
            let (text, wanted) = row.split_once('\t').expect("two columns");
            // The index holds pairs besides, which what is typed does not ask for.
            let found = words(text);
            let typed: Vec<&str> = wanted.split_whitespace().collect();
            let mut rest = found.iter();
            for word in &typed {
                assert!(rest.any(|other| other == word), "{text}: {found:?}");
            }
            assert!(found.len() - typed.len() <= 2, "{text}: {found:?}");
            rows += 1;
        }
        assert!(rows > 20);
    }

    #[test]
    fn a_space_or_a_hyphen_within_is_found_with_and_without() {
        assert_eq!(words("C 16"), ["c16", "16"]);
        assert_eq!(words("C16"), ["c16", "16"]);
        assert_eq!(words("BS 7671"), ["bs", "bs7671", "7671"]);
        assert_eq!(words("BS7671"), ["bs7671", "bs", "7671"]);
        assert_eq!(words("call-out"), ["call", "callout", "out"]);
        assert_eq!(words("at 16, of 3"), ["16", "3"]);
    }

    #[test]
    fn every_common_word_is_known_as_one() {
        for word in COMMON {
            assert!(super::is_common(word), "{word}");
        }
        assert!(!super::is_common("a") && !super::is_common("thex"));
    }

    #[test]
    fn what_is_no_word_gives_none() {
        for text in ["", "a", "the of and", "— … ’", &"x".repeat(41)] {
            assert_eq!(words(text), Vec::<String>::new(), "{text}");
        }
    }
}
