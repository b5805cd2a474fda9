//! What of each page is looked for: its title, its subjects, and the words of its text, docket, tables, photos and films.
//!
//! Takes them from the public view alone, so that nothing is found that the page does not show. Folds no word.

use pulldown_cmark::{CodeBlockKind, Event, Parser, Tag, TagEnd};
use rayon::prelude::*;

use crate::diary::markdown::{Fence, FenceWord, fence, options};
use crate::diary::photo_block;
use crate::model::ShownFilm;
use crate::public::view::{
    AnswerPage, BodyView, Docket, Entry, Head, HowLong, HowTo, ReadingLine, ReviewPage, SeriesView,
    SiteViews, Subject, WriteUp,
};
use crate::trade::cautions;

/// A page as it is looked for.
pub(super) struct Sought<'v> {
    /// Address below the root.
    pub(super) link: &'v str,
    pub(super) title: &'v str,
    /// What it is, where and when: `Write-up, Boat shed, March 2026`.
    pub(super) line: String,
    /// Its first sentence; may be empty.
    pub(super) gist: &'v str,
    /// `earthing, lighting`; may be empty.
    pub(super) subjects: String,
    /// Everything else that the page says.
    pub(super) text: String,
    /// Where it stands among the pages: oldest first, undated ones before.
    date: &'v str,
}

/// Every page that can be found, oldest first: a new page comes last and leaves the numbers of the others.
pub(super) fn sought(views: &SiteViews) -> Vec<Sought<'_>> {
    let mut pages: Vec<Sought<'_>> = Vec::new();
    pages.extend(views.how_long.as_ref().map(how_long));
    pages.extend(views.subjects.iter().map(subject));
    if !views.about.body.markdown.trim().is_empty() {
        pages.push(page(
            &views.about.head,
            "About",
            String::new(),
            body(&views.about.body, &[]),
        ));
    }
    pages.par_extend(views.write_ups.par_iter().map(write_up));
    pages.extend(views.how_tos.iter().map(how_to));
    pages.extend(views.reviews.iter().map(review));
    pages.extend(views.answers.iter().map(answer));
    // The dates are ISO, so their order as text is that of time.
    pages.sort_by(|a, b| (a.date, a.link).cmp(&(b.date, b.link)));
    pages
}

fn page<'v>(head: &'v Head, line: &str, subjects: String, text: String) -> Sought<'v> {
    Sought {
        link: &head.link,
        title: &head.title,
        line: line.to_owned(),
        gist: &head.summary,
        subjects,
        text,
        date: &head.date,
    }
}

fn subject(view: &Subject) -> Sought<'_> {
    let pages = view.write_ups.len() + view.entries.len();
    let line = format!("Subject, {pages} page{}", if pages == 1 { "" } else { "s" });
    // Its name is title and subject at once, which puts it above every page that has but one of the two.
    let mut sought = page(&view.head, &line, view.head.title.clone(), String::new());
    sought.gist = "";
    sought
}

fn how_long(view: &HowLong) -> Sought<'_> {
    let mut text = lines(view.tasks.iter().map(|task| task.name.as_str()));
    text += &lines(view.too_few.iter().map(String::as_str));
    text += &lines(view.locations.iter().map(|location| location.name.as_str()));
    let jobs = if view.jobs == 1 { "job" } else { "jobs" };
    let line = format!("Times of {} {jobs}", view.jobs);
    page(&view.head, &line, String::new(), text)
}

fn write_up(view: &WriteUp) -> Sought<'_> {
    let mut text = body(&view.body, &view.readings);
    text += &docket(&view.docket);
    text += &lines(view.materials.iter().map(|line| line.item.as_str()));
    text += &beside(view.series.as_ref(), &view.coming);
    let line = joined(["Write-up", &view.docket.location, &view.docket.month]);
    page(&view.head, &line, names(&view.subjects), text)
}

fn how_to(view: &HowTo) -> Sought<'_> {
    let text = body(&view.body, &[]) + &beside(view.series.as_ref(), &view.coming);
    // A day of the month is more than a list needs.
    let month = view
        .head
        .date_shown
        .split_once(' ')
        .map_or("", |(_, month)| month);
    let line = joined(["How-to", month]);
    page(&view.head, &line, names(&view.subjects), text)
}

fn review(view: &ReviewPage) -> Sought<'_> {
    let mut text = body(&view.body, &[]);
    text += &lines([view.verdict.as_str(), &view.came_by].into_iter());
    for point in &view.criteria {
        text += &lines([point.name.as_str(), &point.verdict].into_iter());
    }
    text += &beside(view.series.as_ref(), &view.coming);
    let line = joined(["Review", &view.month]);
    page(&view.head, &line, names(&view.subjects), text)
}

fn answer(view: &AnswerPage) -> Sought<'_> {
    let mut text = body(&view.body, &[]);
    text += &lines([view.asked.as_str()].into_iter());
    text += &beside(view.series.as_ref(), &view.coming);
    let line = joined(["Answer", &view.month]);
    page(&view.head, &line, names(&view.subjects), text)
}

fn docket(docket: &Docket) -> String {
    let mut text = lines([docket.location.as_str(), &docket.month].into_iter());
    text += &lines(docket.visits.iter().map(|visit| visit.shown.as_str()));
    text += &lines(docket.tasks.iter().map(|task| task.name.as_str()));
    for finding in &docket.findings {
        text += &lines([finding.code.as_str(), &finding.meaning, &finding.words].into_iter());
    }
    text
}

fn beside(series: Option<&SeriesView>, coming: &[String]) -> String {
    lines(series.map(|series| series.name.as_str()).into_iter())
        + &lines(coming.iter().map(String::as_str))
}

fn names(entries: &[Entry]) -> String {
    let names: Vec<&str> = entries.iter().map(|entry| entry.title.as_str()).collect();
    names.join(", ")
}

fn lines<'t>(parts: impl Iterator<Item = &'t str>) -> String {
    parts.flat_map(|part| [part, "\n"]).collect()
}

fn joined<const N: usize>(parts: [&str; N]) -> String {
    let filled = parts.into_iter().filter(|part| !part.is_empty());
    filled.collect::<Vec<_>>().join(", ")
}

/// A body's words as its page shows them. `readings` stand where the body places them; code is text like any other.
fn body(body: &BodyView, readings: &[ReadingLine]) -> String {
    let mut text = body.film.as_ref().map(film).unwrap_or_default();
    take(&body.markdown, body, readings, &mut text);
    text
}

fn take(markdown: &str, body: &BodyView, readings: &[ReadingLine], text: &mut String) {
    // What a fenced block of ours holds, until it ends.
    let mut ours: Option<(Fence, String)> = None;
    for event in Parser::new_ext(markdown, options()) {
        match event {
            Event::Start(Tag::CodeBlock(CodeBlockKind::Fenced(info))) => {
                let kind = fence(&info);
                let is_ours = kind.keeps_private() || matches!(kind, Fence::Ours(_));
                ours = is_ours.then(|| (kind, String::new()));
            }
            Event::End(TagEnd::CodeBlock) => {
                if let Some((Fence::Ours(word), inner)) = ours.take() {
                    match word {
                        FenceWord::Caution => {
                            take(&cautions::in_words(&inner), body, readings, text);
                        }
                        FenceWord::Readings => *text += &self::readings(readings),
                        FenceWord::Photos => *text += &photos(&inner),
                        FenceWord::Video => {
                            *text += &body.films.get(&inner).map(film).unwrap_or_default();
                        }
                        FenceWord::Private | FenceWord::Materials => {}
                    }
                }
                text.push('\n');
            }
            Event::Text(part) | Event::Code(part) => match ours.as_mut() {
                Some((_, inner)) => inner.push_str(&part),
                None => text.push_str(&part),
            },
            Event::InlineHtml(part) => text.push_str(&part),
            Event::SoftBreak | Event::HardBreak => text.push(' '),
            // A picture's title is its caption; the words for those who cannot see it come as text.
            Event::Start(Tag::Image { title, .. }) => *text += &lines(["", &title].into_iter()),
            // A word may change its weight in the middle; a paragraph, a cell or an item ends it.
            Event::Start(Tag::Emphasis | Tag::Strong | Tag::Strikethrough | Tag::Link { .. })
            | Event::End(
                TagEnd::Emphasis | TagEnd::Strong | TagEnd::Strikethrough | TagEnd::Link,
            ) => {}
            _ => text.push('\n'),
        }
    }
}

fn readings(readings: &[ReadingLine]) -> String {
    let mut text = String::new();
    for line in readings {
        text += &lines([line.circuit.as_str(), &line.device].into_iter());
        text += &lines(line.values.iter().map(|held| held.quantity.as_str()));
    }
    text
}

/// The words and captions of a `photos` block.
fn photos(block: &str) -> String {
    let (figures, _) = photo_block::figures(block);
    let mut text = String::new();
    for figure in &figures {
        text += &lines(figure.photos.iter().map(|photo| photo.words.as_str()));
        text += &lines([figure.caption.as_str()].into_iter());
    }
    text
}

/// What a film shows, its chapters, and what is said in it.
fn film(film: &ShownFilm) -> String {
    let mut text = lines([film.title.as_str()].into_iter());
    text += &lines(film.chapters.iter().map(|chapter| chapter.title.as_str()));
    text += &lines(film.said.iter().map(|said| said.words.as_str()));
    text
}

#[cfg(test)]
mod tests {
    use super::body;
    use crate::model::ShownFilm;
    use crate::public::view::BodyView;

    fn text(markdown: &str) -> String {
        words(&BodyView {
            markdown: markdown.to_owned(),
            ..BodyView::default()
        })
    }

    fn words(view: &BodyView) -> String {
        let text = body(view, &[]);
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn marks_of_form_are_no_words_and_part_none() {
        assert_eq!(
            text(
                "# A *b*oard\n\nthe **n**eutral\nbar, [here](x.md)\n\n| a | b |\n|---|---|\n| c | d |"
            ),
            "A board the neutral bar, here a b c d"
        );
    }

    #[test]
    fn a_caution_gives_its_words_and_a_place_of_something_else_gives_none() {
        assert!(text("```caution\nprove-dead\n```").contains("tester"));
        assert_eq!(
            text(
                "```materials\n```\n\n```private\nkey\n```\n\n```privat\nkey\n```\n\n~~~\ncode\n~~~"
            ),
            "code"
        );
    }

    #[test]
    fn a_photo_gives_its_words_and_caption_and_not_its_file() {
        assert_eq!(
            text(
                "See ![the winch](a.jpg \"Pontoon C\")\n\n```photos\nbefore: tap-1.jpg: Wet gland\nafter: tap-2.jpg: Dry\n  gland\ncaption: In June\n```\n"
            ),
            "See Pontoon C the winch Wet gland Dry gland In June"
        );
    }

    #[test]
    fn a_film_gives_its_title_in_its_place() {
        let film = |title: &str| ShownFilm {
            title: title.to_owned(),
            link: "https://films.example.com/one".to_owned(),
            ..ShownFilm::default()
        };
        let view = BodyView {
            markdown: "Before\n\n```video\nhttps://films.example.com/two\n```\n\nAfter".to_owned(),
            film: Some(film("First")),
            films: [("https://films.example.com/two\n".to_owned(), film("Second"))].into(),
            ..BodyView::default()
        };
        assert_eq!(words(&view), "First Before Second After");
    }
}
