//! Every private thing of a diary as terms that the leak gate looks for, each with its owner.
//!
//! Goes by the table of private things exactly; looks at no public file.

use std::collections::{BTreeMap, BTreeSet};

use crate::diagnose::{Sources, Span};
use crate::diary::question;
use crate::model::{At, Body, Client, Diary, Private, told};

use super::fold::{Folded, Join, Wanted};
use super::owner::Owner;

/// How a term is looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Manner {
    /// Whole words, in any case.
    Words,
    /// Whole words, in the case they are written in.
    AsWritten,
    /// A private sentence: its words in a row, in any case, whatever stops stand between them.
    Sentence,
    /// A postcode: spaces or none.
    Code,
    /// A telephone number: whatever stands between its figures.
    Number,
    /// An email address.
    Email,
}

/// One thing that is looked for.
#[derive(Clone, Debug)]
pub(super) struct Term {
    pub(super) manner: Manner,
    /// Its letters in lower case; never empty.
    pub(super) lower: Vec<u8>,
    /// Its letters as written.
    pub(super) cased: Vec<u8>,
    /// What it asks of each join between two of its bytes.
    pub(super) wanted: Vec<Wanted>,
    /// As the diary writes it.
    pub(super) shown: String,
    pub(super) owner: Owner,
    /// Where the diary writes it.
    pub(super) span: Span,
}

/// Titles are no part of a name, and a firm's legal form is none either.
const TITLES: &[&str] = &[
    "mr",
    "mrs",
    "ms",
    "miss",
    "mx",
    "dr",
    "prof",
    "professor",
    "rev",
    "revd",
    "reverend",
    "sir",
    "dame",
    "capt",
    "captain",
    "cllr",
    "councillor",
];
const FORMS: &[&str] = &["ltd", "limited", "llp", "plc", "cic", "cio"];

/// A last word of fewer letters is too likely a plain word.
const LETTERS_OF_LAST_WORD: usize = 4;
/// A sentence of a private block below this says nothing by itself: `Not before ten` would stop pages that have
/// never heard of the block.
const WORDS_OF_SENTENCE: usize = 3;
const LETTERS_OF_SENTENCE: usize = 12;
/// Fewer figures are no telephone number that anybody could ring.
const FIGURES_OF_NUMBER: usize = 5;

/// Whether a text holds three figures or more in a row: a code, a door, a number on a meter.
fn has_figures(text: &str) -> bool {
    let bytes = text.as_bytes();
    bytes
        .windows(3)
        .any(|three| three.iter().all(u8::is_ascii_digit))
}

/// Every term of a diary, without what `allow` lets through, each pattern once with its first owner.
pub(super) fn collect(diary: &Diary, sources: &Sources) -> Vec<Term> {
    let mut words = Words {
        terms: Vec::new(),
        seen: BTreeSet::new(),
        towns: diary
            .clients
            .values()
            .filter_map(|client| client.town.as_ref())
            .map(|town| Folded::of(&town.in_office().value).lower)
            .collect(),
        allowed: diary
            .clients
            .iter()
            .map(|(key, client)| (key.as_str(), allowed(client)))
            .collect(),
    };
    for (key, client) in &diary.clients {
        words.client(key, client);
    }
    for kept in &diary.settings.keep_private {
        let kept = kept.in_office();
        let owner = Owner {
            whose: sources.path(kept.span.file).to_owned(),
            what: "keep_private",
            client: None,
        };
        words.add(Manner::Words, &kept.value, &owner, kept.span);
    }
    for job in &diary.jobs {
        let path = sources.path(job.file);
        let client = job.client.as_ref().map(|key| key.in_office().value.clone());
        let owner = |what| Owner {
            whose: path.to_owned(),
            what,
            client: client.clone(),
        };
        if let Some(place) = &job.place {
            words.place(place.in_office(), &owner("place"));
        }
        let told = job
            .findings
            .iter()
            .filter_map(|finding| finding.told.as_ref());
        for who in told
            .filter(|told| told.role.is_none())
            .filter_map(|told| told.who.as_ref())
        {
            words.people(who.in_office(), &owner("told"));
        }
        words.private_blocks(&job.body, path);
    }
    for page in &diary.pages {
        words.private_blocks(&page.body, &page.path);
    }
    for page in diary.waiting.iter().map(Private::in_office) {
        words.private_blocks(&page.body, &page.path);
        let owner = Owner {
            whose: page.path.clone(),
            what: "question",
            client: None,
        };
        let start = page.body.start;
        let end = start + u32::try_from(page.body.open.len()).unwrap_or_default();
        let span = Span {
            start,
            end,
            file: page.file,
        };
        words.sentences(&question::of(&page.body.open).asked, &owner, span);
    }
    words.terms
}

fn allowed(client: &Client) -> BTreeSet<Vec<u8>> {
    client
        .allow
        .iter()
        .map(|word| Folded::of(&word.value).lower)
        .collect()
}

struct Words<'a> {
    terms: Vec<Term>,
    seen: BTreeSet<(Manner, Vec<u8>, Vec<Wanted>)>,
    towns: BTreeSet<Vec<u8>>,
    allowed: BTreeMap<&'a str, BTreeSet<Vec<u8>>>,
}

impl Words<'_> {
    fn client(&mut self, key: &str, client: &Client) {
        let owner = |what| Owner {
            whose: format!("client {key}"),
            what,
            client: Some(key.to_owned()),
        };
        let inside = |value: &Option<Private<At<String>>>| {
            value.as_ref().map(|value| value.in_office().clone())
        };
        if let Some(name) = inside(&client.name) {
            self.name(&name, &owner("name"));
        }
        if let Some(contact) = inside(&client.contact) {
            self.people(&contact, &owner("contact"));
        }
        if let Some(address) = inside(&client.address) {
            self.place(&address, &owner("address"));
        }
        if let Some(postcode) = inside(&client.postcode) {
            self.add(
                Manner::Code,
                &postcode.value,
                &owner("postcode"),
                postcode.span,
            );
        }
        if let Some(email) = inside(&client.email) {
            self.add(Manner::Email, &email.value, &owner("email"), email.span);
        }
        if let Some(phone) = inside(&client.phone) {
            for number in phone.value.split([',', ';', '/']) {
                self.number(number, &owner("phone"), phone.span);
            }
        }
    }

    /// One person or several, roles among them (`Agnes Pillow, agent`; `the agent, Tom Wick of Wick Homes`): every part that
    /// is no role is a name. A small word alone, or small words that end in a role (`hall secretary`), are a role too.
    fn people(&mut self, who: &At<String>, owner: &Owner) {
        let text = who.value.replace(" and ", ",").replace(" of ", ",");
        for part in text.split([',', ';', '/', '&', '+', '(', ')']) {
            let part = part.trim();
            let part = part.strip_prefix("the ").unwrap_or(part);
            let words: Vec<&str> = part.split_whitespace().collect();
            let Some(last) = words.last() else { continue };
            let singular = last.strip_suffix('s').unwrap_or(last);
            let small = !part.contains(char::is_uppercase);
            let role_word = [last, singular]
                .iter()
                .any(|word| told::role(word).is_some());
            if told::role(part).is_some() || (small && (role_word || words.len() == 1)) {
                continue;
            }
            if small {
                self.name_words(&words, owner, who.span);
            } else {
                self.name(&At::new(part.to_owned(), who.span), owner);
            }
        }
    }

    /// The whole name with and without its title; its last word as written.
    fn name(&mut self, name: &At<String>, owner: &Owner) {
        let whole = name.value.trim();
        let mut words: Vec<&str> = whole.split_whitespace().collect();
        self.name_words(&words, owner, name.span);
        let is = |word: &str, list: &[&str]| {
            list.contains(&word.trim_matches('.').to_lowercase().as_str())
        };
        let mut titled = false;
        while words.len() > 1
            && (is(words[0], TITLES) || (titled && matches!(words[0], "&" | "and")))
        {
            words.remove(0);
            titled = true;
        }
        while words.len() > 1 && words.last().is_some_and(|word| is(word, FORMS)) {
            words.pop();
        }
        self.name_words(&words, owner, name.span);
        if let Some(last) = words.last()
            && last.chars().filter(|c| c.is_alphabetic()).count() >= LETTERS_OF_LAST_WORD
        {
            self.add(Manner::AsWritten, last, owner, name.span);
        }
    }

    /// A whole name, with `&` and `and` for each other. One letter alone is nobody's name.
    fn name_words(&mut self, words: &[&str], owner: &Owner, span: Span) {
        let whole = words.join(" ");
        if whole.chars().filter(|c| c.is_alphanumeric()).count() < 2 {
            return;
        }
        self.add(Manner::Words, &whole, owner, span);
        for (from, to) in [(" & ", " and "), (" and ", " & ")] {
            if whole.contains(from) {
                self.add(Manner::Words, &whole.replace(from, to), owner, span);
            }
        }
    }

    /// An address: each part between commas.
    fn place(&mut self, place: &At<String>, owner: &Owner) {
        for part in place.value.split([',', '\n', ';']) {
            let words: Vec<&str> = part.split_whitespace().collect();
            self.place_part(&words, owner, place.span);
            if is_postcode(&words[words.len().saturating_sub(2)..]) {
                self.add(
                    Manner::Code,
                    &words[words.len() - 2..].join(" "),
                    owner,
                    place.span,
                );
            }
            let numbers = words
                .iter()
                .take_while(|word| word.starts_with(|c: char| c.is_ascii_digit()))
                .count();
            let number = if numbers == 0 && words.len() > 2 && is_unit(&words[..2]) {
                2
            } else {
                numbers
            };
            if number > 0 {
                self.place_part(&words[number..], owner, place.span);
            }
        }
    }

    fn place_part(&mut self, words: &[&str], owner: &Owner, span: Span) {
        let part = words.join(" ");
        if words.len() < 2 || is_unit(words) || self.towns.contains(&Folded::of(&part).lower) {
            return;
        }
        self.add(Manner::Words, &part, owner, span);
    }

    /// A telephone number, at home and from abroad.
    fn number(&mut self, written: &str, owner: &Owner, span: Span) {
        let written = written.trim();
        let figures: String = written
            .chars()
            .take_while(|c| !c.is_alphabetic())
            .filter(char::is_ascii_digit)
            .collect();
        if figures.len() < FIGURES_OF_NUMBER {
            return;
        }
        let abroad = figures.strip_prefix("0044").or_else(|| {
            let rest = figures.strip_prefix("44")?;
            written.starts_with('+').then_some(rest)
        });
        let home = match abroad {
            Some(rest) => format!("0{}", rest.trim_start_matches('0')),
            None => figures,
        };
        let mut forms = vec![home.clone()];
        if let Some(rest) = home.strip_prefix('0') {
            forms.extend([
                format!("44{rest}"),
                format!("440{rest}"),
                format!("0044{rest}"),
            ]);
        }
        for form in forms {
            self.add_shown(Manner::Number, &form, written, owner, span);
        }
    }

    /// A private block's sentences.
    fn private_blocks(&mut self, body: &Body, path: &str) {
        for block in &body.private {
            let owner = Owner {
                whose: path.to_owned(),
                what: "private block",
                client: None,
            };
            self.sentences(block.text.in_office(), &owner, block.span);
        }
    }

    /// The sentences of a text that say something by themselves; of one over several lines also each line.
    fn sentences(&mut self, text: &str, owner: &Owner, span: Span) {
        let paragraphs = text
            .split("\n\n")
            .map(|paragraph| paragraph.replace('\n', " "));
        let lines = text.lines().map(str::to_owned);
        for piece in paragraphs.chain(lines) {
            for sentence in sentences(&piece) {
                let words = sentence
                    .split_whitespace()
                    .filter(|word| word.contains(char::is_alphanumeric))
                    .count();
                let letters = sentence.chars().filter(|c| c.is_alphanumeric()).count();
                // `Code 4711` is short, and just what must not go out.
                let code = words >= 2 && has_figures(sentence);
                if code || (words >= WORDS_OF_SENTENCE && letters >= LETTERS_OF_SENTENCE) {
                    self.add(Manner::Sentence, sentence, owner, span);
                }
            }
        }
    }

    fn add(&mut self, manner: Manner, text: &str, owner: &Owner, span: Span) {
        self.add_shown(manner, text, text, owner, span);
    }

    fn add_shown(&mut self, manner: Manner, text: &str, shown: &str, owner: &Owner, span: Span) {
        let folded = Folded::of(text);
        let let_through = owner
            .may_be_allowed()
            .and_then(|key| self.allowed.get(key))
            .is_some_and(|words| words.contains(&folded.lower));
        if folded.lower.is_empty() || let_through {
            return;
        }
        let inner = &folded.joins[1..folded.joins.len() - 1];
        let wanted: Vec<Wanted> = inner
            .iter()
            .map(|&join| match manner {
                Manner::Words | Manner::AsWritten | Manner::Email => Wanted::of(join),
                Manner::Sentence if join == Join::Nothing => Wanted::of(join),
                Manner::Sentence => Wanted::of(Join::Point),
                Manner::Code => Wanted::CLOSED_OR_SPACED,
                Manner::Number => Wanted::ANYTHING,
            })
            .collect();
        let mark = match manner {
            Manner::AsWritten => folded.cased.clone(),
            _ => folded.lower.clone(),
        };
        if !self.seen.insert((manner, mark, wanted.clone())) {
            return;
        }
        self.terms.push(Term {
            manner,
            lower: folded.lower,
            cased: folded.cased,
            wanted,
            shown: shown.trim().to_owned(),
            owner: owner.clone(),
            span,
        });
    }
}

/// `Flat 9`, `Shed 3a`, `Unit B`: a word and a number, which thousands of doors share.
fn is_unit(words: &[&str]) -> bool {
    let [word, number] = words else {
        return false;
    };
    let starts_with_figure = |word: &str| word.starts_with(|c: char| c.is_ascii_digit());
    let numbered =
        number.contains(|c: char| c.is_ascii_digit()) && number.len() <= LETTERS_OF_LAST_WORD;
    let lettered = number.chars().count() == 1;
    !starts_with_figure(word) && (numbered || lettered)
}

/// The two halves of a postcode: `ZZ99 1TS`.
fn is_postcode(words: &[&str]) -> bool {
    let [area, rest] = words else {
        return false;
    };
    let (area, rest) = (area.as_bytes(), rest.as_bytes());
    let letters = area.iter().take_while(|b| b.is_ascii_alphabetic()).count();
    let area_fits = (1..=2).contains(&letters)
        && (letters + 1..=letters + 2).contains(&area.len())
        && area[letters].is_ascii_digit()
        && area.iter().all(u8::is_ascii_alphanumeric);
    let rest_fits = rest.len() == 3
        && rest[0].is_ascii_digit()
        && rest[1..].iter().all(u8::is_ascii_alphabetic);
    area_fits && rest_fits
}

/// Split at full stops and marks that end a sentence; a point inside a figure ends none.
fn sentences(text: &str) -> impl Iterator<Item = &str> {
    let mut rest = text;
    std::iter::from_fn(move || {
        if rest.is_empty() {
            return None;
        }
        let end = rest
            .char_indices()
            .find(|&(at, c)| {
                let after = rest[at + c.len_utf8()..].chars().next();
                matches!(c, '.' | '!' | '?') && after.is_none_or(|next| !next.is_alphanumeric())
            })
            .map_or(rest.len(), |(at, c)| at + c.len_utf8());
        let (sentence, after) = rest.split_at(end);
        rest = after;
        Some(sentence.trim())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_unit_is_a_word_and_a_number_and_nothing_longer() {
        for unit in ["Flat 9", "Shed 3", "Unit B", "Berth 12a"] {
            assert!(is_unit(&unit.split(' ').collect::<Vec<_>>()), "{unit}");
        }
        for part in ["27 Quay", "Tarrow Slip", "Flat 9 Hawser", "Slip"] {
            assert!(!is_unit(&part.split(' ').collect::<Vec<_>>()), "{part}");
        }
    }

    #[test]
    fn a_postcode_is_known_by_its_form() {
        let fits = |code: &str| is_postcode(&code.split('/').collect::<Vec<_>>());
        assert!("ZZ99/1TS B1/1aa ZZ9A/1TS Z9A/1TS".split(' ').all(fits));
        let none = "Shed/3AB ZZ99 ZZ/1TS ZZ999/1TS ZZZ9/1TS 9Z/1TS ZZ9-/1TS ZZ99/1T ZZ99/TTS";
        assert_eq!(none.split(' ').find(|code| fits(code)), None);
    }

    #[test]
    fn sentences_end_at_stops_and_not_inside_figures() {
        let all: Vec<_> = sentences("Draws 4.5 kW. Ring first! Dog is loose").collect();
        assert_eq!(all, ["Draws 4.5 kW.", "Ring first!", "Dog is loose"]);
        assert_eq!(sentences("").count(), 0);
    }
}
