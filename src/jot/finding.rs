//! A finding on a line: its code, what was seen, what was done, who was told. And a line that only says who was told.

use std::ops::Range;

use super::line::Scan;
use super::vocabulary::{Group, Vocabulary, is_filler, telling};
use crate::model::told::{MEANS, in_words};

/// A finding as its line has it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FindingLine {
    /// What was seen; `None` where the line above says it.
    pub what: Option<String>,
    /// `C1`, `C2`, `C3`, `FI` or `note`.
    pub code: &'static str,
    /// What was done at once.
    pub done: Option<String>,
    /// Who was told.
    pub told: Option<Telling>,
    /// Somebody is yet to be told: the line is kept as well.
    pub kept: bool,
    /// Whether it can be nothing else: it begins with its code, or says what was done or who was told. A title may
    /// hold `Unit C3`.
    pub sure: bool,
}

/// Who was told, and how.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Telling {
    /// A role, or a name as typed.
    pub who: String,
    /// How, where typed.
    pub how: Option<String>,
}

/// Which findings a line that tells is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// The one above.
    TheOneAbove,
    /// Every untold one of the visit.
    All,
}

/// Most people beside the first who are told at once.
const MOST_PEOPLE: usize = 5;

/// Reads a finding line. `None` where no code stands on the line.
pub fn finding(scan: &Scan<'_>, vocabulary: &Vocabulary) -> Option<FindingLine> {
    let note =
        (matches!(scan.word(0), "note" | "nb")).then(|| if scan.word(1) == ":" { 2 } else { 1 });
    let coded = code(scan);
    let (code, code_at) = match (&coded, note) {
        (Some((code, range)), _) => (*code, range.clone()),
        (None, Some(end)) => ("note", 0..end),
        (None, None) => return None,
    };
    let mut out: Vec<Range<usize>> = vec![code_at.clone()];
    if let (Some(_), Some(end)) = (&coded, note) {
        out.push(0..end);
    }
    let nobody = (0..scan.len()).any(|at| tells_nobody(scan, at));
    let told = if nobody {
        None
    } else {
        told_phrase(scan, vocabulary)
    };
    if let Some((range, _)) = &told {
        out.push(with_brackets(scan, range));
    }
    let done = done_phrase(
        scan,
        vocabulary,
        &code_at,
        told.as_ref().map(|(range, _)| range),
    );
    if let Some(range) = &done {
        out.push(range.clone());
    }
    let outside = |range: Range<usize>| -> Vec<usize> {
        range
            .filter(|at| !out.iter().any(|out| out.contains(at)))
            .collect()
    };
    let what = trimmed(scan, outside(0..scan.len()));
    let done = done.and_then(|range| {
        let kept = range.filter(|at| !code_at.contains(at)).collect();
        trimmed(scan, kept)
    });
    Some(FindingLine {
        sure: code_at.start == 0 || done.is_some() || told.is_some(),
        what,
        code,
        done,
        told: told.map(|(_, telling)| telling),
        kept: nobody,
    })
}

/// A range with the brackets right round it: `(tenant told)`.
fn with_brackets(scan: &Scan<'_>, range: &Range<usize>) -> Range<usize> {
    let round = range.start > 0 && scan.word(range.start - 1) == "(" && scan.word(range.end) == ")";
    if round {
        range.start - 1..range.end + 1
    } else {
        range.clone()
    }
}

/// The first code on a line, and its words: `c2`, `code 2`, `code c2`.
fn code(scan: &Scan<'_>) -> Option<(&'static str, Range<usize>)> {
    (0..scan.len()).find_map(|at| {
        let plain = |word: &str| match word {
            "c1" => Some("C1"),
            "c2" => Some("C2"),
            "c3" => Some("C3"),
            "fi" => Some("FI"),
            _ => None,
        };
        if let Some(code) = plain(scan.word(at)) {
            return Some((code, at..at + 1));
        }
        let code = match scan.word(at + 1) {
            "1" => Some("C1"),
            "2" => Some("C2"),
            "3" => Some("C3"),
            word => plain(word),
        };
        code.filter(|_| scan.word(at) == "code")
            .map(|code| (code, at..at + 2))
    })
}

/// `must tell`, `not told`, `never told`: nobody has been told.
fn tells_nobody(scan: &Scan<'_>, at: usize) -> bool {
    let next = scan.word(at + 1);
    match scan.word(at) {
        "must" | "to" | "need" | "needs" | "should" => next == "tell",
        "not" | "never" | "nobody" | "havent" | "haven't" | "haven\u{2019}t" | "hasnt"
        | "hasn't" | "hasn\u{2019}t" => {
            telling(next).is_some() || (next == "yet" && telling(scan.word(at + 2)).is_some())
        }
        _ => false,
    }
}

/// The first phrase on a line that says who was told, and its words.
fn told_phrase(scan: &Scan<'_>, vocabulary: &Vocabulary) -> Option<(Range<usize>, Telling)> {
    (0..scan.len()).find_map(|at| told_at(scan, at, vocabulary))
}

/// The word after a phrase that says who was told, where one begins at a word.
pub fn told_end(scan: &Scan<'_>, at: usize, vocabulary: &Vocabulary) -> Option<usize> {
    told_at(scan, at, vocabulary).map(|(range, _)| range.end)
}

fn told_at(scan: &Scan<'_>, at: usize, vocabulary: &Vocabulary) -> Option<(Range<usize>, Telling)> {
    if let Some(how) = telling(scan.word(at)) {
        let (who, end) = people(scan, at + 1, vocabulary)?;
        let (by, end) = by(scan, end);
        return Some((
            at..end,
            Telling {
                who,
                how: by.or(how.map(str::to_owned)),
            },
        ));
    }
    let (who, end) = people(scan, at, vocabulary)?;
    if scan.word(end) != "told" {
        return None;
    }
    let (by, after) = by(scan, end + 1);
    // `tenant told me` tells of the tenant telling.
    let ends = by.is_some()
        || after >= scan.len()
        || is_joint(scan.word(after))
        || code_word(scan.word(after));
    ends.then_some((at..after, Telling { who, how: by }))
}

fn is_joint(word: &str) -> bool {
    matches!(
        word,
        "," | ";" | ":" | "." | "-" | "and" | "&" | "+" | "all" | "both" | ")"
    )
}

fn code_word(word: &str) -> bool {
    matches!(word, "c1" | "c2" | "c3" | "fi")
}

/// One who or several: `agent`, `the tenant and agent`, `Mrs Pell`; the word after them.
fn people(scan: &Scan<'_>, at: usize, vocabulary: &Vocabulary) -> Option<(String, usize)> {
    let (mut who, mut end) = person(scan, at, vocabulary)?;
    // More than a few is no list of people but a long line.
    for _ in 0..MOST_PEOPLE {
        let Some((next, after)) = matches!(scan.word(end), "and" | "&" | "+")
            .then(|| person(scan, end + 1, vocabulary))
            .flatten()
        else {
            break;
        };
        who = format!("{who} and {next}");
        end = after;
    }
    Some((who, end))
}

fn person(scan: &Scan<'_>, at: usize, vocabulary: &Vocabulary) -> Option<(String, usize)> {
    let at = if scan.word(at) == "the" { at + 1 } else { at };
    if let Some((who, end)) = vocabulary.at(Group::Who, scan, at, scan.len()) {
        return Some((who.to_owned(), end));
    }
    let titled = matches!(scan.word(at), "mr" | "mrs" | "ms" | "miss");
    let dotted = usize::from(scan.word(at + 1) == ".");
    let name = at + 1 + dotted;
    let named = scan.word(name).starts_with(char::is_alphabetic);
    (titled && named).then(|| {
        (
            scan.text[scan.start(at)..scan.end(name)].to_owned(),
            name + 1,
        )
    })
}

/// Ways of telling without `by`, as typed and as a log has them.
const WAYS: [(&[&str], &str); 5] = [
    (&["over", "the", "phone"], "phone"),
    (&["on", "the", "phone"], "phone"),
    (&["in", "person"], "in person"),
    (&["face", "to", "face"], "face to face"),
    (&["verbally"], "verbally"),
];

fn means(word: &str) -> Option<&'static str> {
    MEANS.into_iter().find(|means| *means == word)
}

/// One way of telling at a word; the word after it.
fn way(scan: &Scan<'_>, at: usize) -> Option<(&'static str, usize)> {
    if scan.word(at) == "by" {
        return means(scan.word(at + 1)).map(|means| (means, at + 2));
    }
    let is = |words: &[&str]| (at..).zip(words).all(|(at, word)| scan.word(at) == *word);
    let (words, way) = WAYS.into_iter().find(|(words, _)| is(words))?;
    Some((way, at + words.len()))
}

/// `by email`, `by phone and letter`, `in person and by email`; the word after it.
fn by(scan: &Scan<'_>, at: usize) -> (Option<String>, usize) {
    let Some((first, end)) = way(scan, at) else {
        return (None, at);
    };
    let second = matches!(scan.word(end), "and" | "&" | "+")
        .then(|| {
            let bare = || means(scan.word(end + 1)).map(|means| (means, end + 2));
            way(scan, end + 1).or_else(bare)
        })
        .flatten();
    let Some((second, end)) = second else {
        return (Some(first.to_owned()), end);
    };
    // `phone and letter` is read with one `by` before both.
    let second = match means(first) {
        Some(_) => second.to_owned(),
        None => in_words(second),
    };
    (Some(format!("{first} and {second}")), end)
}

/// What was done: from a done word after the code, a comma or a dash, up to who was told, or the end.
fn done_phrase(
    scan: &Scan<'_>,
    vocabulary: &Vocabulary,
    code: &Range<usize>,
    told: Option<&Range<usize>>,
) -> Option<Range<usize>> {
    let after_code = (code.end..scan.len()).find(|at| !is_filler(scan.word(*at)));
    let begins = |at: usize| {
        after_code == Some(at) || at > 0 && matches!(scan.word(at - 1), "," | ";" | "-")
    };
    let start = (0..scan.len()).find(|&at| {
        begins(at)
            && !told.is_some_and(|told| told.contains(&at))
            && vocabulary.at(Group::Done, scan, at, scan.len()).is_some()
    })?;
    let end = told
        .map(|told| told.start)
        .filter(|end| *end > start)
        .unwrap_or(scan.len());
    Some(start..end)
}

/// Text of some words without the joining marks at its ends; `None` where nothing is left.
fn trimmed(scan: &Scan<'_>, mut words: Vec<usize>) -> Option<String> {
    let joins = |at: &usize| {
        matches!(
            scan.word(*at),
            "," | ";" | ":" | "." | "-" | "->" | ">" | "@" | "&" | "+" | "and" | "then"
        )
    };
    while words.last().is_some_and(joins) {
        words.pop();
    }
    let front = words.iter().take_while(|at| joins(at)).count();
    words.drain(..front);
    (!words.is_empty()).then(|| scan.joined(&words))
}

/// Reads a line that only says who was told, to its last word.
pub fn told_line(scan: &Scan<'_>, vocabulary: &Vocabulary) -> Option<(Telling, About)> {
    if (0..scan.len()).any(|at| tells_nobody(scan, at)) {
        return None;
    }
    let start = (0..scan.len()).find(|at| !is_filler(scan.word(*at)))?;
    // `all` stands between who and how.
    let (range, mut telling) = told_at(scan, start, vocabulary)?;
    let (mut about, mut end) = (About::TheOneAbove, range.end);
    if matches!(scan.word(end), "all" | "both") {
        about = About::All;
        let (how, after) = by(scan, end + 1);
        telling.how = how.or(telling.how);
        end = after;
    }
    (end..scan.len())
        .all(|at| is_filler(scan.word(at)))
        .then_some((telling, about))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jot::bench::settings;
    use crate::jot::line::Line;

    fn read(text: &str) -> Option<FindingLine> {
        let line = Line::new(1, text);
        finding(&Scan::new(&line), &Vocabulary::new(&settings()))
    }

    fn parts(text: &str) -> (String, String, String, String) {
        let read = read(text).expect("a finding");
        let told = read.told.map_or(String::new(), |t| {
            format!("{} by {}", t.who, t.how.unwrap_or_default())
        });
        (
            read.what.unwrap_or_default(),
            read.code.to_owned(),
            read.done.unwrap_or_default(),
            told,
        )
    }

    fn four(a: &str, b: &str, c: &str, d: &str) -> (String, String, String, String) {
        (a.to_owned(), b.to_owned(), c.to_owned(), d.to_owned())
    }

    #[test]
    fn a_finding_gives_its_parts_in_any_order() {
        assert_eq!(
            parts("cracked front in hall, live parts C1 isolated, told tenant"),
            four(
                "cracked front in hall, live parts",
                "C1",
                "isolated",
                "tenant by "
            )
        );
        assert_eq!(
            parts("C2 disconnected & left off, told owner"),
            four("", "C2", "disconnected & left off", "owner by ")
        );
        assert_eq!(
            parts("lid off the box - put right code 2 rang the yard manager"),
            four(
                "lid off the box",
                "C2",
                "put right",
                "yard manager by phone"
            )
        );
        assert_eq!(
            parts("FI cant find cct 5"),
            four("cant find cct 5", "FI", "", "")
        );
        assert_eq!(
            parts("note: timer slow"),
            four("timer slow", "note", "", "")
        );
        assert_eq!(
            parts("nb key is stiff"),
            four("key is stiff", "note", "", "")
        );
        assert_eq!(
            parts("no bond C2 told agent and tenant by email"),
            four("no bond", "C2", "", "agent and tenant by email")
        );
        assert_eq!(
            parts("no bond C2, Mrs Pell told"),
            four("no bond", "C2", "", "Mrs Pell by ")
        );
        assert_eq!(
            parts("C2 no bond: told owner in person"),
            four("no bond", "C2", "", "owner by in person")
        );
        assert_eq!(
            parts("tenant told me switch sparks C2"),
            four("tenant told me switch sparks", "C2", "", "")
        );
    }

    #[test]
    fn nobody_is_told_by_a_plan_to_tell() {
        let read = read("no bond C2 not told owner yet").expect("a finding");
        assert_eq!((read.told, read.kept), (None, true));
        assert!(self::read("notes from the agent").is_none());
        assert!(self::read("6 c16 mcb").is_none());
    }

    #[test]
    fn how_somebody_was_told_goes_with_the_telling() {
        for (typed, how) in [
            ("in person", "in person"),
            ("face to face", "face to face"),
            ("verbally", "verbally"),
            ("over the phone", "phone"),
            ("on the phone & by text", "phone and text"),
            ("by phone and in person", "phone and in person"),
            ("in person and by email", "in person and by email"),
            ("in person + letter", "in person and by letter"),
        ] {
            let read =
                read(&format!("open box in loft C2, told owner {typed}")).expect("a finding");
            let told = read.told.and_then(|told| told.how);
            assert_eq!(told.as_deref(), Some(how), "{typed}");
            assert_eq!(read.what.as_deref(), Some("open box in loft"), "{typed}");
        }
        let read = read("open box C2 told owner in the porch").expect("a finding");
        assert_eq!(read.told.and_then(|told| told.how), None);
        assert_eq!(read.what.as_deref(), Some("open box in the porch"));
    }

    #[test]
    fn a_told_line_is_only_that() {
        let told = |text: &str| {
            let line = Line::new(1, text);
            told_line(&Scan::new(&line), &Vocabulary::new(&settings()))
                .map(|(telling, about)| (telling.who, telling.how, about))
        };
        let email = Some("email".to_owned());
        assert_eq!(
            told("told landlord all by email"),
            Some(("landlord".to_owned(), email.clone(), About::All))
        );
        assert_eq!(
            told("emailed ll"),
            Some(("landlord".to_owned(), email, About::TheOneAbove))
        );
        assert_eq!(
            told("told owner all in person"),
            Some(("owner".to_owned(), Some("in person".to_owned()), About::All))
        );
        assert_eq!(told("told owner 2 days wait"), None);
        assert_eq!(told("rang mum re sunday"), None);
        assert_eq!(told("must tell agent too"), None);
        assert_eq!(told("not told agent"), None);
    }
}
