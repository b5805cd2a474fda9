//! The words that notes are read by: those of `content/jot/words.json`, and before them the diary's own task types,
//! price book and location types with what is typed for them. Reads no note.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use jiff::tz::TimeZone;

use crate::model::{Minutes, Settings, Unit};

use super::built_in::BUILT_IN;
pub use super::built_in::{is_about_pay, is_cable, is_filler, is_material_mark, is_work, telling};
use super::line::{self, Scan};
use super::word_set::WordSet;

/// A kind of word whose spellings are looked up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// Task types.
    Task,
    /// Materials.
    Material,
    /// Kinds of visit.
    Kind,
    /// Who is told.
    Who,
    /// What was done about a finding.
    Done,
    /// Parking.
    Parking,
    /// A break.
    Break,
}

/// Spellings, each one to several words, and what each stands for.
#[derive(Clone, Debug, Default)]
struct Spellings {
    meanings: BTreeMap<String, String>,
    /// The first words of all spellings: most words of a note begin none, and need not be looked at further.
    firsts: WordSet,
    /// The most words in a spelling.
    longest: usize,
    /// Spellings with a word in them at which lines are cut (`test and certify`).
    with_cuts: usize,
}

impl Spellings {
    /// Adds a spelling; the one that was there first stays.
    fn add(&mut self, spelling: &str, meaning: &str) {
        let words = spelling_words(spelling);
        if words.is_empty()
            || words
                .iter()
                .any(|word| matches!(word.as_str(), "," | ";" | ":"))
        {
            return;
        }
        self.longest = self.longest.max(words.len());
        self.with_cuts += usize::from(words.iter().any(|word| is_cut(word)));
        self.firsts.insert(words[0].clone());
        self.meanings
            .entry(words.join(" "))
            .or_insert_with(|| meaning.to_owned());
    }

    /// Whether a spelling is among them.
    fn has(&self, spelling: &str) -> bool {
        self.meanings
            .contains_key(&spelling_words(spelling).join(" "))
    }

    /// The longest spelling that begins at a word and ends before `limit`: its meaning, and the word after it.
    fn at(&self, scan: &Scan<'_>, at: usize, limit: usize) -> Option<(&str, usize)> {
        let word = scan.word(at);
        let first = word.split('-').find(|part| !part.is_empty());
        let begins = singulars(word)
            .chain(
                first
                    .filter(|first| first.len() < word.len())
                    .into_iter()
                    .flat_map(singulars),
            )
            .any(|word| self.firsts.contains(word));
        if !begins {
            return None;
        }
        let mut phrase = String::new();
        let mut found = None;
        let mut words = 0;
        for index in at..limit.min(scan.len()).min(at + self.longest) {
            if !phrase.is_empty() {
                phrase.push(' ');
            }
            let word = scan.word(index);
            if word.contains('-') {
                let parts = hyphens_apart(word);
                words += parts.len();
                phrase.push_str(&parts.join(" "));
            } else {
                words += 1;
                phrase.push_str(word);
            }
            if words > self.longest {
                break;
            }
            if let Some(meaning) = look_up(&self.meanings, &phrase) {
                found = Some((meaning, index + 1));
            }
        }
        found
    }
}

/// A spelling as it is looked up: small letters, hyphens as spaces, its words parted as a line's are.
fn spelling_words(spelling: &str) -> Vec<String> {
    let low = line::lower(&spelling.split_whitespace().collect::<Vec<_>>().join(" "));
    line::words(&low)
        .into_iter()
        .flat_map(|range| hyphens_apart(&low[range]))
        .collect()
}

fn hyphens_apart(word: &str) -> Vec<String> {
    let letters = word.chars().all(|c| c.is_alphabetic() || c == '-');
    let parts: Vec<&str> = word.split('-').filter(|part| !part.is_empty()).collect();
    if letters && parts.len() > 1 {
        parts.into_iter().map(str::to_owned).collect()
    } else {
        vec![word.to_owned()]
    }
}

/// Whether a line is cut at this word.
pub fn is_cut(word: &str) -> bool {
    matches!(word, "," | ";" | "+" | "&" | "and")
}

/// Everything that a note is read by.
#[derive(Clone, Debug)]
pub struct Vocabulary {
    groups: BTreeMap<Group, Spellings>,
    /// What the diary itself has of them, for its task types and its price book.
    own: BTreeMap<Group, Spellings>,
    /// Task types that are counted in another unit than pieces.
    units: BTreeMap<String, Unit>,
    locations: BTreeMap<String, String>,
    /// Short names of clients, by what is typed for them.
    clients: BTreeMap<String, String>,
    /// The items of the diary's price book.
    price_book: BTreeSet<String>,
    /// A full day on site, in minutes.
    pub day: i64,
    /// The zone that clock times are of.
    pub zone: TimeZone,
}

impl Vocabulary {
    /// The words of the program with those of a diary before them.
    pub fn new(settings: &Settings) -> Self {
        let mut vocabulary = Vocabulary {
            groups: BTreeMap::new(),
            own: BTreeMap::new(),
            units: BTreeMap::new(),
            locations: BTreeMap::new(),
            clients: BTreeMap::new(),
            price_book: BTreeSet::new(),
            day: settings.rates.in_office().day_length.get(),
            zone: settings.timezone.clone(),
        };
        if vocabulary.day <= 0 {
            vocabulary.day = Minutes::new(8 * 60).get();
        }
        for (key, task) in &settings.tasks {
            vocabulary.add_task(key, &task.name, &task.also);
            vocabulary.units.insert(key.clone(), task.unit.clone());
        }
        for material in &settings.materials {
            let material = material.in_office();
            vocabulary.add_material(&material.item, &material.also);
            vocabulary.price_book.insert(material.item.clone());
        }
        for (key, name) in &settings.locations {
            for spelling in [name, key] {
                let words = spelling_words(spelling).join(" ");
                vocabulary
                    .locations
                    .entry(words)
                    .or_insert_with(|| key.clone());
            }
        }
        vocabulary.own = vocabulary.groups.clone();
        vocabulary.add_built_in();
        vocabulary
    }

    /// The same with the short names of a diary's clients.
    pub fn with_clients<'c>(mut self, keys: impl IntoIterator<Item = &'c String>) -> Self {
        for key in keys {
            let words = spelling_words(key).join(" ");
            self.clients.entry(words).or_insert_with(|| key.clone());
        }
        self
    }

    fn add_built_in(&mut self) {
        for (key, task) in &BUILT_IN.tasks {
            self.add_task(key, &task.name, &task.also);
            self.units
                .entry(key.clone())
                .or_insert_with(|| Unit::from_word(&task.unit));
        }
        for material in &BUILT_IN.materials {
            self.add_material(&material.item, &material.also);
        }
        for (group, words) in [(Group::Kind, &BUILT_IN.kinds), (Group::Who, &BUILT_IN.who)] {
            for (meaning, spellings) in words {
                for spelling in spellings.iter().chain([meaning]) {
                    self.add_beside_own(group, spelling, meaning);
                }
            }
        }
        let plain = [
            (Group::Done, &BUILT_IN.done),
            (Group::Parking, &BUILT_IN.parking),
            (Group::Break, &BUILT_IN.breaks),
        ];
        for (group, words) in plain {
            for word in words {
                self.add_beside_own(group, word, word);
            }
        }
    }

    /// Adds a word of the program, unless it is one of a visit's that the diary itself has for its work.
    fn add_beside_own(&mut self, group: Group, spelling: &str, meaning: &str) {
        let of_a_visit = matches!(group, Group::Kind | Group::Parking | Group::Break);
        let taken = self.own.values().any(|own| own.has(spelling));
        if !(of_a_visit && taken) {
            self.add(group, spelling, meaning);
        }
    }

    fn add_task(&mut self, key: &str, name: &str, also: &[String]) {
        for spelling in also.iter().map(String::as_str).chain([key, name]) {
            self.add(Group::Task, spelling, key);
        }
    }

    fn add_material(&mut self, item: &str, also: &[String]) {
        for spelling in also.iter().map(String::as_str).chain([item]) {
            self.add(Group::Material, spelling, item);
        }
    }

    /// Adds a spelling of a meaning; a spelling that is known already stays what it was.
    pub fn add(&mut self, group: Group, spelling: &str, meaning: &str) {
        self.groups.entry(group).or_default().add(spelling, meaning);
    }

    /// Every spelling of a group with its meaning, in order of the spelling.
    pub fn spellings(&self, group: Group) -> impl Iterator<Item = (&str, &str)> {
        self.groups
            .get(&group)
            .into_iter()
            .flat_map(|spellings| &spellings.meanings)
            .map(|(spelling, meaning)| (spelling.as_str(), meaning.as_str()))
    }

    /// The longest spelling of a group that begins at a word and ends before `limit`: its meaning, and the word
    /// after it. A plural counts as its singular.
    pub fn at(
        &self,
        group: Group,
        scan: &Scan<'_>,
        at: usize,
        limit: usize,
    ) -> Option<(&str, usize)> {
        self.groups.get(&group)?.at(scan, at, limit)
    }

    /// Whether some words are, to the last of them, a spelling that the diary itself has.
    pub fn is_own(&self, group: Group, scan: &Scan<'_>, words: Range<usize>) -> bool {
        self.own
            .get(&group)
            .and_then(|spellings| spellings.at(scan, words.start, words.end))
            .is_some_and(|(_, end)| end == words.end)
    }

    /// Whether a spelling is one of a group's.
    pub fn has(&self, group: Group, spelling: &str) -> bool {
        self.groups
            .get(&group)
            .is_some_and(|spellings| spellings.has(spelling))
    }

    /// Whether a word is one of a group's, alone.
    pub fn is(&self, group: Group, scan: &Scan<'_>, at: usize) -> bool {
        self.at(group, scan, at, at + 1).is_some()
    }

    /// Whether any task or material is spelt with a word at which lines are cut.
    pub fn has_cuts(&self) -> bool {
        [Group::Task, Group::Material]
            .iter()
            .any(|group| self.groups.get(group).is_some_and(|s| s.with_cuts > 0))
    }

    /// What a task type is counted in.
    pub fn unit(&self, task: &str) -> &Unit {
        self.units.get(task).unwrap_or(&Unit::Each)
    }

    /// The item of the diary's price book that some words name, to the last of them.
    pub fn priced_item(&self, scan: &Scan<'_>, words: Range<usize>) -> Option<&str> {
        let (item, end) = self.at(Group::Material, scan, words.start, words.end)?;
        (end == words.end && self.price_book.contains(item)).then_some(item)
    }

    /// The client whose short name some text is.
    pub fn client(&self, text: &str) -> Option<&str> {
        self.clients
            .get(&spelling_words(text).join(" "))
            .map(String::as_str)
    }

    /// The location type that some text names, and names alone.
    pub fn location(&self, text: &str) -> Option<&str> {
        self.locations
            .get(&spelling_words(text).join(" "))
            .map(String::as_str)
    }

    /// The location type that stands in some text, as whole words; the longest of several.
    pub fn location_in(&self, text: &str) -> Option<&str> {
        let words = format!(" {} ", spelling_words(text).join(" "));
        self.locations
            .iter()
            .filter(|(spelling, _)| words.contains(&format!(" {spelling} ")))
            .max_by_key(|(spelling, _)| spelling.len())
            .map(|(_, key)| key.as_str())
    }

    /// The keys of the diary's location types.
    pub fn location_keys(&self) -> Vec<&str> {
        let mut keys: Vec<&str> = self.locations.values().map(String::as_str).collect();
        keys.sort_unstable();
        keys.dedup();
        keys
    }
}

fn look_up<'m>(meanings: &'m BTreeMap<String, String>, phrase: &str) -> Option<&'m str> {
    singulars(phrase)
        .find_map(|phrase| meanings.get(phrase))
        .map(String::as_str)
}

/// A word as it is, and what it would be the plural of.
fn singulars(word: &str) -> impl Iterator<Item = &str> {
    [Some(word), word.strip_suffix('s'), word.strip_suffix("es")]
        .into_iter()
        .flatten()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jot::bench::settings;
    use crate::jot::line::Line;
    use crate::model::VisitKind;

    fn task(text: &str) -> Option<(String, usize)> {
        let vocabulary = Vocabulary::new(&settings());
        let line = Line::new(1, text);
        let scan = Scan::new(&line);
        vocabulary
            .at(Group::Task, &scan, 0, scan.len())
            .map(|(key, end)| (key.to_owned(), end))
    }

    #[test]
    fn the_longest_spelling_wins_in_the_singular_or_plural() {
        assert_eq!(task("new skts 1h"), Some(("new-socket".to_owned(), 2)));
        assert_eq!(task("skt"), Some(("socket".to_owned(), 1)));
        assert_eq!(
            task("shower switches"),
            Some(("shower-isolator".to_owned(), 2))
        );
        assert_eq!(
            task("Emergency-Light 1h"),
            Some(("emergency-light".to_owned(), 1))
        );
        assert_eq!(
            task("test and certify"),
            Some(("test-and-certify".to_owned(), 3))
        );
        assert_eq!(task("boat 1h"), None);
    }

    #[test]
    fn a_diary_s_own_words_come_first() {
        let mut settings = settings();
        settings.tasks.insert(
            "quay-spot".to_owned(),
            crate::model::TaskType {
                name: "Fit a quay spot".to_owned(),
                unit: Unit::Each,
                also: vec!["spot".to_owned()],
                span: crate::jot::bench::nowhere(),
            },
        );
        let vocabulary = Vocabulary::new(&settings);
        let line = Line::new(1, "6 spots");
        let scan = Scan::new(&line);
        assert_eq!(
            vocabulary.at(Group::Task, &scan, 1, 2),
            Some(("quay-spot", 2))
        );
    }

    #[test]
    fn a_word_of_a_visit_gives_way_to_the_diary_s_own() {
        let with = |also: &str| {
            let mut settings = settings();
            let socket = settings.tasks.get_mut("socket").expect("it is there");
            socket.also.push(also.to_owned());
            Vocabulary::new(&settings)
        };
        let read = |also: &str, text: &str| {
            let note = crate::jot::read(
                &format!("Barn\n2026-11-23 9-11\n{text}\n"),
                &with(also),
                jiff::civil::date(2026, 11, 25),
            );
            let visit = note.jobs[0].visits[0].clone();
            let task = visit.tasks.first().map(|t| (t.task.clone(), t.minutes));
            (visit.kind, task)
        };
        let socket = Some(("socket".to_owned(), Some(40)));
        assert_eq!(
            read("survey", "survey 40m"),
            (VisitKind::Planned, socket.clone())
        );
        assert_eq!(read("break", "break 40m"), (VisitKind::Planned, socket));
        assert_eq!(read("plate", "survey"), (VisitKind::Survey, None));
        let parking = |also: &str| {
            with(also)
                .spellings(Group::Parking)
                .any(|(s, _)| s == "park")
        };
        assert!(parking("plate") && !parking("park"));
    }

    #[test]
    fn every_word_for_done_kind_and_who_is_found() {
        let vocabulary = Vocabulary::new(&settings());
        assert_eq!(
            vocabulary.spellings(Group::Done).count(),
            BUILT_IN.done.len()
        );
        assert!(
            vocabulary
                .spellings(Group::Kind)
                .any(|(spelling, kind)| spelling == "f/up" && kind == "follow-up")
        );
        assert!(
            vocabulary
                .spellings(Group::Who)
                .any(|(spelling, who)| spelling == "ll" && who == "landlord")
        );
        assert!(is_filler("and") && is_cable("t&e") && telling("rang") == Some(Some("phone")));
    }
}
