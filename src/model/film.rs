//! A film that goes with a page: where it is, and what its page shows of it.
//!
//! The film itself lies on another host and is never fetched. What is shown is built here from captions read
//! elsewhere; nothing here makes a byte of a page.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::diagnose::FileId;

use super::captions::{Captions, Said, clock};
use super::{At, BodyLink, Private, Trader, told};

/// A pause that begins a paragraph, in milliseconds.
const PAUSE: u64 = 2_000;
/// A paragraph of this many bytes ends with its next sentence.
const LONG: usize = 500;
/// How finely places along a film are given.
const WHOLE: u64 = 1_000;
/// Files that a browser plays by itself, and to which a moment can therefore be added as W3C Media Fragments URI 1.0,
/// section 4.2.1, writes it.
const MEDIA_FILES: [&str; 6] = [".mp4", ".m4v", ".webm", ".ogv", ".mov", ".mp3"];

/// A film as the diary names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Film {
    /// Its address: `https://example.com/film`.
    pub link: String,
    /// The host, which readers are told before they follow the link: `example.com`.
    pub host: String,
    /// What it shows.
    pub title: Option<At<String>>,
    /// The file beside the log that holds its captions. Its name may hold an address and shows nowhere.
    pub captions: Option<FileId>,
    /// The file beside the log that holds its chapters.
    pub chapters: Option<FileId>,
    /// The photo or drawing that stands for it on its page.
    pub still: Option<BodyLink>,
}

impl Film {
    /// A film at a web address; `None` where the text is none: `http` or `https`, a host, and no blanks.
    pub fn at(address: &str) -> Option<Self> {
        let rest = address
            .strip_prefix("https://")
            .or_else(|| address.strip_prefix("http://"))?;
        let host = rest.split(['/', '?', '#']).next().unwrap_or_default();
        let plain = |c: char| c.is_alphanumeric() || matches!(c, '.' | '-' | ':');
        let fits = host.starts_with(char::is_alphanumeric)
            && host.chars().all(plain)
            && !address.contains(|c: char| c.is_whitespace() || c.is_control());
        fits.then(|| Film {
            link: address.to_owned(),
            host: host.split(':').next().unwrap_or_default().to_owned(),
            title: None,
            captions: None,
            chapters: None,
            still: None,
        })
    }

    /// The film as its page shows it. `captions` holds every captions file of the diary; one that could not be read is
    /// passed over.
    pub fn shown(&self, captions: &BTreeMap<FileId, Captions>, trader: &Trader) -> ShownFilm {
        let file = |file: Option<FileId>| file.and_then(|file| captions.get(&file));
        let (said, chapters) = (file(self.captions), file(self.chapters));
        let end = said
            .and_then(Captions::end)
            .max(chapters.and_then(Captions::end));
        let whole = end.unwrap_or_default().max(1);
        let along = |at: u64| at.min(whole) * WHOLE / whole;
        let chapters = self.chapters_of(chapters);
        ShownFilm {
            link: self.link.clone(),
            host: self.host.clone(),
            title: self
                .title
                .as_ref()
                .map_or_else(String::new, |title| title.value.clone()),
            about: end.map(about).unwrap_or_default(),
            file: self.is_file(),
            still: self
                .still
                .as_ref()
                .map_or_else(String::new, |still| still.written.clone()),
            spoken: said.map_or_else(Vec::new, |said| stretches(said, along)),
            marks: chapters.iter().map(|(at, _)| along(*at)).collect(),
            said: said.map_or_else(Vec::new, |said| self.paragraphs(said, &chapters, trader)),
            chapters: chapters
                .into_iter()
                .map(|(at, title)| Chapter {
                    moment: self.moment(at),
                    title,
                })
                .collect(),
        }
    }

    /// When each chapter begins, and its title. The lines of one cue make one title.
    fn chapters_of(&self, chapters: Option<&Captions>) -> Vec<(u64, String)> {
        let mut found: Vec<(u64, String)> = Vec::new();
        for said in chapters.iter().flat_map(|chapters| &chapters.said) {
            match found.last_mut() {
                Some((at, title)) if *at == said.from => {
                    title.push(' ');
                    title.push_str(&said.words);
                }
                _ => found.push((said.from, said.words.clone())),
            }
        }
        found
    }

    /// Cues joined until somebody pauses, another voice speaks, a chapter begins, or the paragraph is long enough.
    fn paragraphs(
        &self,
        captions: &Captions,
        chapters: &[(u64, String)],
        trader: &Trader,
    ) -> Vec<Paragraph> {
        let voices = Voices::of(captions, trader);
        let mut found: Vec<Paragraph> = Vec::new();
        let mut before: Option<&Said> = None;
        for said in &captions.said {
            let goes_on = before.is_some_and(|before| {
                let chapter = chapters
                    .iter()
                    .any(|(at, _)| *at > before.from && *at <= said.from);
                let long = found.last().is_some_and(|paragraph| {
                    paragraph.words.len() >= LONG && paragraph.words.ends_with(['.', '?', '!'])
                });
                said.from >= before.from
                    && said.from <= before.to.saturating_add(PAUSE)
                    && said.voice == before.voice
                    && !chapter
                    && !long
            });
            match found.last_mut() {
                Some(paragraph) if goes_on => {
                    paragraph.words.push(' ');
                    paragraph.words.push_str(&said.words);
                }
                _ => found.push(Paragraph {
                    moment: self.moment(said.from),
                    who: voices.shown(said),
                    words: said.words.clone(),
                }),
            }
            before = Some(said);
        }
        found
    }

    /// Whether the address is that of a plain media file.
    fn is_file(&self) -> bool {
        let path = self.link.split(['?', '#']).next().unwrap_or_default();
        let path = path.to_ascii_lowercase();
        MEDIA_FILES.iter().any(|end| path.ends_with(end)) && !self.link.contains('#')
    }

    fn moment(&self, at: u64) -> Moment {
        let seconds = at / 1000;
        Moment {
            shown: clock(at),
            seconds,
            link: if self.is_file() {
                format!("{}#t={seconds}", self.link)
            } else {
                String::new()
            },
        }
    }
}

/// A film in a text: a `video` block.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BodyFilm {
    /// What stands between the fences, as written.
    pub written: String,
    /// Where that stands.
    pub span: crate::diagnose::Span,
    /// The film; `None` where the block could not be read.
    pub film: Option<Film>,
}

/// A film as its page shows it. Public: everything private has been left out.
#[derive(Clone, Debug, Default, Serialize, PartialEq, Eq)]
pub struct ShownFilm {
    /// Its address.
    pub link: String,
    /// The host.
    pub host: String,
    /// What it shows; may be empty.
    pub title: String,
    /// `about 7 min`, by the end of its last caption or chapter; empty where it has neither.
    pub about: String,
    /// Whether the address is that of a plain media file.
    pub file: bool,
    /// Its still, by the name under which its page's pictures hold it; empty where it has none.
    pub still: String,
    /// Its chapters, in the order of their file.
    pub chapters: Vec<Chapter>,
    /// What is said in it, in the order of its file.
    pub said: Vec<Paragraph>,
    /// Stretches in which somebody speaks, in thousandths of the film: where each begins, and how long it is.
    pub spoken: Vec<(u64, u64)>,
    /// Where its chapters begin, in thousandths of the film.
    pub marks: Vec<u64>,
}

/// A moment of a film.
#[derive(Clone, Debug, Serialize, PartialEq, Eq)]
pub struct Moment {
    /// `4:12`.
    pub shown: String,
    /// The same in seconds.
    pub seconds: u64,
    /// The film from this moment on, where its address is a plain media file; else empty.
    pub link: String,
}

/// A chapter of a film.
#[derive(Clone, Debug, Serialize, PartialEq, Eq)]
pub struct Chapter {
    /// When it begins.
    pub moment: Moment,
    /// What it is about.
    pub title: String,
}

/// A paragraph of what is said.
#[derive(Clone, Debug, Serialize, PartialEq, Eq)]
pub struct Paragraph {
    /// When it begins.
    pub moment: Moment,
    /// Who speaks: the trader or a role; `Another voice` for anybody else; empty where one voice alone is heard.
    pub who: String,
    /// The words, as plain text.
    pub words: String,
}

/// Who may be named in a transcript.
struct Voices<'t> {
    trader: &'t Trader,
    several: bool,
}

impl<'t> Voices<'t> {
    fn of(captions: &Captions, trader: &'t Trader) -> Self {
        let mut voices = captions.said.iter().map(|said| &said.voice);
        let first = voices.next();
        Voices {
            trader,
            several: voices.any(|voice| Some(voice) != first),
        }
    }

    /// The voice's name, where it may be shown. As with `told.who`: the trader signs the site and a role is nobody's
    /// name; any other name stays at home.
    fn shown(&self, said: &Said) -> String {
        let Some(voice) = said.voice.as_ref().map(Private::in_office) else {
            return String::new();
        };
        if !self.several {
            return String::new();
        }
        let of_the_trader = |name: &str| {
            let mut own = self.trader.name.split_whitespace();
            name == self.trader.name || name == self.trader.trading_as || own.any(|own| own == name)
        };
        if of_the_trader(voice) {
            return voice.clone();
        }
        match told::role(voice) {
            Some(role) => capital(&role),
            None => "Another voice".to_owned(),
        }
    }
}

/// `yard manager` as it begins a line.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// The stretches in which somebody speaks, those closer than a pause joined.
fn stretches(captions: &Captions, along: impl Fn(u64) -> u64) -> Vec<(u64, u64)> {
    let mut cues: Vec<(u64, u64)> = captions
        .said
        .iter()
        .map(|said| (said.from, said.to))
        .collect();
    cues.sort_unstable();
    let mut found: Vec<(u64, u64)> = Vec::new();
    for (from, to) in cues {
        match found.last_mut() {
            Some((_, end)) if from <= end.saturating_add(PAUSE) => *end = (*end).max(to),
            _ => found.push((from, to)),
        }
    }
    found
        .into_iter()
        .map(|(from, to)| {
            let start = along(from);
            (start, along(to).saturating_sub(start).max(1))
        })
        .collect()
}

/// A length in whole minutes, upwards: the last word is rarely the film's end.
fn about(milliseconds: u64) -> String {
    match milliseconds.div_ceil(60_000).max(1) {
        minutes @ ..60 => format!("about {minutes} min"),
        minutes if minutes % 60 == 0 => format!("about {} h", minutes / 60),
        minutes => format!("about {} h {}", minutes / 60, minutes % 60),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnose::Sources;

    fn film() -> Film {
        Film::at("https://films.example.com/posts").expect("an address")
    }

    fn trader() -> Trader {
        Trader {
            name: "Nan Tregarrow".to_owned(),
            trading_as: "Gullwick Electrical".to_owned(),
            ..Trader::default()
        }
    }

    /// Cues of nobody in particular: from, to, words.
    fn captions(cues: &[(u64, u64, &str)]) -> Captions {
        let said = |&(from, to, words): &(u64, u64, &str)| Said {
            from,
            to,
            voice: None,
            words: words.to_owned(),
            place: 0..0,
        };
        Captions {
            said: cues.iter().map(said).collect(),
        }
    }

    fn paragraphs(cues: &[(u64, u64, &str)], chapters: &[u64]) -> Vec<String> {
        let chapters: Vec<_> = chapters.iter().map(|at| (*at, String::new())).collect();
        let found = film().paragraphs(&captions(cues), &chapters, &trader());
        found.into_iter().map(|each| each.words).collect()
    }

    #[test]
    fn an_address_has_a_host_of_plain_letters_and_no_blanks() {
        let host = |address| Film::at(address).map(|film| film.host);
        assert_eq!(
            host("https://a.example.com:8443/x?y#z").as_deref(),
            Some("a.example.com")
        );
        for none in [
            "ftp://example.com",
            "https://",
            "https://.example.com/x",
            "https://ex_ample.com/x",
            "https://example.com/a b",
            "https://example.com/a\u{7}b",
        ] {
            assert_eq!(Film::at(none), None, "{none}");
        }
    }

    /// Of 50 seconds: thousandths are twentieths of a second.
    #[test]
    fn places_along_a_film_are_thousandths_of_its_end() {
        let mut sources = Sources::default();
        let (said, chapters) = (sources.add("a.vtt", ""), sources.add("b.vtt", ""));
        let film = Film {
            captions: Some(said),
            chapters: Some(chapters),
            ..film()
        };
        let cues = [
            (0, 1_000, "One"),
            (3_500, 9_000, "two"),
            (40_000, 45_000, "three"),
        ];
        let marks = [
            (0, 10_000, "First"),
            (0, 10_000, "fix"),
            (10_000, 50_000, "Then"),
        ];
        let files = BTreeMap::from([(said, captions(&cues)), (chapters, captions(&marks))]);
        let shown = film.shown(&files, &trader());
        assert_eq!(shown.spoken, [(0, 20), (70, 110), (800, 100)]);
        assert_eq!(shown.marks, [0, 200]);
        let titles: Vec<_> = shown.chapters.iter().map(|each| &*each.title).collect();
        assert_eq!(titles, ["First fix", "Then"]);
    }

    #[test]
    fn stretches_closer_than_a_pause_are_one() {
        let spoken = |cues: &[(u64, u64, &str)]| stretches(&captions(cues), |at| at);
        let pause = |to: u64| [(0, 1_000, "One"), (to, to + 500, "two")];
        assert_eq!(spoken(&pause(1_000 + PAUSE)), [(0, 3_500)]);
        assert_eq!(spoken(&pause(1_001 + PAUSE)), [(0, 1_000), (3_001, 500)]);
        assert_eq!(
            spoken(&[(0, 9_000, "One"), (1_000, 2_000, "two")]),
            [(0, 9_000)]
        );
    }

    #[test]
    fn a_pause_a_chapter_or_five_hundred_bytes_begin_a_paragraph() {
        let three = [
            (0, 2_000, "One"),
            (2_000, 4_000, "two."),
            (4_000, 6_000, "three"),
        ];
        assert_eq!(paragraphs(&three, &[]), ["One two. three"]);
        assert_eq!(paragraphs(&three, &[0, 4_000]), ["One two.", "three"]);
        let apart = |at| [(0, 2_000, "One"), (at, 9_000, "two")];
        assert_eq!(paragraphs(&apart(2_000 + PAUSE), &[]).len(), 1);
        assert_eq!(paragraphs(&apart(2_001 + PAUSE), &[]).len(), 2);
        for (letters, end, whole) in [(LONG, "", 1), (LONG - 2, ".", 1), (LONG - 1, ".", 2)] {
            let long = format!("{}{end}", "x".repeat(letters));
            let cues = [(0, 2_000, long.as_str()), (2_000, 4_000, "on")];
            assert_eq!(
                paragraphs(&cues, &[]).len(),
                whole,
                "{letters} letters and {end:?}"
            );
        }
    }

    #[test]
    fn the_trader_is_named_where_another_is_heard_too() {
        let by = |voices: &[&str]| -> Vec<String> {
            let cues: Vec<_> = (0_u64..)
                .map(|at| (at * 9_000, at * 9_000 + 1, "So"))
                .take(voices.len())
                .collect();
            let mut captions = captions(&cues);
            for (said, voice) in captions.said.iter_mut().zip(voices) {
                said.voice = Some(Private::new((*voice).to_owned()));
            }
            let found = film().paragraphs(&captions, &[], &trader());
            found.into_iter().map(|each| each.who).collect()
        };
        assert_eq!(by(&["Nan", "Nan"]), ["", ""]);
        assert_eq!(
            by(&[
                "Nan Tregarrow",
                "Gullwick Electrical",
                "Tregarrow",
                "Perran Hocking"
            ]),
            [
                "Nan Tregarrow",
                "Gullwick Electrical",
                "Tregarrow",
                "Another voice"
            ]
        );
    }

    #[test]
    fn a_length_is_given_in_whole_minutes_upwards() {
        for (milliseconds, shown) in [
            (1, "about 1 min"),
            (60_001, "about 2 min"),
            (3_540_000, "about 59 min"),
            (3_600_000, "about 1 h"),
            (7_500_000, "about 2 h 5"),
        ] {
            assert_eq!(about(milliseconds), shown, "{milliseconds}");
        }
    }
}
