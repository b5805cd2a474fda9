//! Bodies, and the pages that are not job logs: how-tos, reviews, answers and the page about the diary.

use std::sync::Arc;

use crate::diagnose::{FileId, Span};
use jiff::civil::Date;

use super::{At, BodyFilm, Film, Private};

/// Whether a thing is public, and from when.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Publish {
    /// Not public: `publish` is absent.
    Never,
    /// Public now.
    Ready,
    /// Public from this day on.
    On(Date),
}

impl Publish {
    /// Whether readers see it on a day: a date holds it back until then.
    pub fn is_public(self, as_of: Date) -> bool {
        match self {
            Publish::Never => false,
            Publish::Ready => true,
            Publish::On(date) => date <= as_of,
        }
    }
}

/// A Markdown body.
#[derive(Clone, Debug)]
pub struct Body {
    /// The text that may be public: every byte of a private block is blanked, so that offsets still fit the file.
    pub open: Arc<str>,
    /// Where the body begins in its file.
    pub start: u32,
    /// The private blocks, in order.
    pub private: Vec<PrivateBlock>,
    /// Links and pictures of the open text that stay in the diary, in order.
    pub links: Vec<BodyLink>,
    /// Ids of its headings, in order, as its page gives them.
    pub anchors: Vec<String>,
    /// The films of its `video` blocks, in order; none of a private block.
    pub films: Vec<BodyFilm>,
}

impl Body {
    /// Blanks a place of the file in the text, every other byte where it was.
    pub fn blank(&mut self, span: Span) {
        let range = span.start.saturating_sub(self.start) as usize
            ..span.end.saturating_sub(self.start) as usize;
        let text = &*self.open;
        let kept = |part| text.get(part).unwrap_or_default();
        let gone = kept(range.clone());
        let blank: String = gone
            .chars()
            .flat_map(|c| match c {
                '\n' | '\r' => std::iter::repeat_n(c, 1),
                c => std::iter::repeat_n(' ', c.len_utf8()),
            })
            .collect();
        let rest = &text[(range.start + gone.len()).min(text.len())..];
        self.open = format!("{}{blank}{rest}", kept(0..range.start)).into();
    }
}

/// A ```` ```private ```` block.
#[derive(Clone, Debug)]
pub struct PrivateBlock {
    /// Its text, without the fence.
    pub text: Private<String>,
    /// Where the block stands.
    pub span: Span,
}

/// A link or picture in a body that names a file of the diary or a heading of the page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BodyLink {
    /// As written: `../2026/x.md#run`, `drawing.svg`, `#run`.
    pub written: String,
    /// The path it leads to, relative to the diary, without its `#` part; empty for the page itself.
    pub path: String,
    /// The heading after `#`.
    pub anchor: Option<String>,
    /// The title of a page that is to come, of a link written `coming:TITLE`; its path is empty.
    pub promise: Option<String>,
    /// A picture rather than a link.
    pub picture: bool,
    /// The link stands in a private block.
    pub private: bool,
    /// Where it stands.
    pub span: Span,
}

impl BodyLink {
    /// What it may name a promised page by: the title after `coming:`, or itself as written.
    pub fn title(&self) -> &str {
        self.promise.as_deref().unwrap_or(&self.written)
    }
}

/// Which part of the site a page belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Section {
    /// Write-ups of jobs.
    WriteUps,
    /// How-tos, from `guides/`.
    HowTos,
    /// Reviews.
    Reviews,
    /// Answers.
    Answers,
}

impl Section {
    /// Every section, in the order of the masthead.
    pub const ALL: [Section; 4] = [
        Section::WriteUps,
        Section::HowTos,
        Section::Reviews,
        Section::Answers,
    ];

    /// The folder of its addresses: `write-ups`.
    pub fn folder(self) -> &'static str {
        match self {
            Section::WriteUps => "write-ups",
            Section::HowTos => "how-tos",
            Section::Reviews => "reviews",
            Section::Answers => "answers",
        }
    }

    /// As the masthead names it: `Write-ups`.
    pub fn name(self) -> &'static str {
        match self {
            Section::WriteUps => "Write-ups",
            Section::HowTos => "How-tos",
            Section::Reviews => "Reviews",
            Section::Answers => "Answers",
        }
    }

    /// One of it, in a sentence: `how-to`.
    pub fn one(self) -> &'static str {
        match self {
            Section::WriteUps => "write-up",
            Section::HowTos => "how-to",
            Section::Reviews => "review",
            Section::Answers => "answer",
        }
    }
}

/// A page that is not a job log.
#[derive(Clone, Debug)]
pub struct Page {
    /// Its file.
    pub file: FileId,
    /// Its path relative to the diary: `guides/proving-dead.md`.
    pub path: String,
    /// Title.
    pub title: At<String>,
    /// The last part of its address; empty where the title gives none.
    pub slug: String,
    /// What kind of page it is, with what only that kind has.
    pub kind: PageKind,
    /// Whether it is public, and from when.
    pub publish: Publish,
    /// Where `publish` stands, or the title.
    pub publish_span: Span,
    /// What it is tagged with.
    pub subjects: Vec<At<String>>,
    /// The series it is a part of.
    pub series: Option<At<String>>,
    /// A film that goes with it.
    pub video: Option<At<Film>>,
    /// Old addresses.
    pub was: Vec<At<String>>,
    /// Titles of pages that are to come: those of `coming`, then those that its links promise.
    pub coming: Vec<At<String>>,
    /// The text.
    pub body: Body,
}

impl Page {
    /// The section it belongs to; `None` for the page about the diary.
    pub fn section(&self) -> Option<Section> {
        match self.kind {
            PageKind::About => None,
            PageKind::HowTo => Some(Section::HowTos),
            PageKind::Review(_) => Some(Section::Reviews),
            PageKind::Answer(_) => Some(Section::Answers),
        }
    }
}

/// The kinds of page.
#[derive(Clone, Debug)]
pub enum PageKind {
    /// `about.md`.
    About,
    /// In `guides/`.
    HowTo,
    /// In `reviews/`.
    Review(Review),
    /// In `answers/`.
    Answer(Answer),
}

/// What only a review has.
#[derive(Clone, Debug)]
pub struct Review {
    /// The material it judges, as job logs name it.
    pub material: Option<At<String>>,
    /// How it was come by.
    pub came_by: Option<At<CameBy>>,
    /// What it was judged by.
    pub criteria: Vec<Criterion>,
    /// Whether it is still used.
    pub kept: Option<bool>,
}

/// How a reviewed thing was come by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CameBy {
    /// Paid for.
    Bought,
    /// A gift.
    Given,
    /// To go back.
    Lent,
}

/// One point a review judges by.
#[derive(Clone, Debug)]
pub struct Criterion {
    /// The point.
    pub name: String,
    /// What was found.
    pub verdict: String,
}

/// What only an answer has.
#[derive(Clone, Debug)]
pub struct Answer {
    /// When and where it was asked.
    pub asked: Option<Asked>,
    /// What it is about.
    pub about: Vec<BodyLink>,
}

/// When and where a question was asked.
#[derive(Clone, Debug)]
pub struct Asked {
    /// The day.
    pub on: Option<At<Date>>,
    /// Where, in words.
    pub place: Option<At<String>>,
}

/// A title or a name as two of them are held against each other: without its capitals and odd spaces.
pub fn folded(name: &str) -> String {
    let words: Vec<&str> = name.split_whitespace().collect();
    words.join(" ").to_lowercase()
}

/// The titles that links promise outside private blocks, in order, each once.
pub fn promised(links: &[BodyLink]) -> Vec<At<String>> {
    let mut titles: Vec<At<String>> = Vec::new();
    for link in links.iter().filter(|link| !link.private) {
        if let Some(title) = &link.promise
            && titles.iter().all(|known| known.value != *title)
        {
            titles.push(At::new(title.clone(), link.span));
        }
    }
    titles
}

/// The last part of an address, from a title: ASCII, lower case, words joined by hyphens. Empty where the title
/// holds nothing that can be written so. A long title is cut between words: a file name ends at 255 bytes.
pub fn slug(title: &str) -> String {
    const LONGEST: usize = 100;
    let whole = slug::slugify(title);
    if whole.len() <= LONGEST {
        return whole;
    }
    let cut = whole[..LONGEST].rfind('-').unwrap_or(LONGEST);
    whole[..cut].to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnose::Sources;

    #[test]
    fn a_blanked_place_leaves_every_other_byte_where_it_was() {
        let file = Sources::default().add("a.md", "");
        let mut body = Body {
            open: "# Höhe\nof it".into(),
            start: 100,
            private: Vec::new(),
            links: Vec::new(),
            anchors: Vec::new(),
            films: Vec::new(),
        };
        body.blank(Span::new(file, 102, 108));
        assert_eq!(&*body.open, "#      \nof it");
        body.blank(Span::new(file, 100, 109));
        assert_eq!(&*body.open, "       \n f it");
    }

    #[test]
    fn a_title_is_promised_once_and_never_from_a_private_block() {
        let file = Sources::default().add("a.md", "");
        let link = |promise: Option<&str>, private| BodyLink {
            written: String::new(),
            path: String::new(),
            anchor: None,
            promise: promise.map(str::to_owned),
            picture: false,
            private,
            span: Span::new(file, 0, 1),
        };
        let links = [
            link(Some("Two posts"), false),
            link(Some("One post"), false),
            link(Some("Two posts"), false),
            link(Some("No post"), true),
            link(None, false),
        ];
        let titles: Vec<_> = promised(&links).into_iter().map(|at| at.value).collect();
        assert_eq!(titles, ["Two posts", "One post"]);
    }
}
