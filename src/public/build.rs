//! The whole public site as views, from a diary on a day.
//!
//! Takes from the model only what readers may see; whatever is private has a type that fits no view.

use std::collections::{BTreeMap, HashMap};

use jiff::civil::Date;
use rayon::prelude::*;

use crate::diagnose::FileId;
use crate::model::{Diary, Trader};
use crate::office::hours::Hours;

use super::builder::{Builder, Built};
use super::catalogue::{ABOUT, Catalogue};
use super::listed::Made;
use super::prose::Files;
use super::view::{Feed, NotFound, SEARCH, Site, SiteViews, Sitemap, Tab, TraderLine};
use super::{Gate, lists, prose, timing};

/// Every public page of a diary on a day.
pub fn views(diary: &Diary, hours: &Hours, as_of: Date, gate: &Gate) -> SiteViews {
    let catalogue = Catalogue::new(diary, as_of);
    let builder = Builder::new(&catalogue, hours, as_of, gate);
    let mut files = Files::default();
    let mut write_ups = Vec::new();
    let mut how_tos = Vec::new();
    let mut reviews = Vec::new();
    let mut answers = Vec::new();
    let built: Vec<(Built, Files)> = catalogue
        .listed
        .par_iter()
        .map(|listed| builder.page(listed))
        .collect();
    for (page, with_it) in built {
        files.extend(with_it);
        match page {
            Built::WriteUp(page) => write_ups.push(*page),
            Built::HowTo(page) => how_tos.push(*page),
            Built::Review(page) => reviews.push(*page),
            Built::Answer(page) => answers.push(*page),
        }
    }
    write_ups.sort_by(|a, b| a.head.link.cmp(&b.head.link));
    how_tos.sort_by(|a, b| a.head.link.cmp(&b.head.link));
    reviews.sort_by(|a, b| a.head.link.cmp(&b.head.link));
    answers.sort_by(|a, b| a.head.link.cmp(&b.head.link));

    let about = builder.about(&mut files);
    let how_long = timing::how_long(&catalogue, hours);
    let summary = catalogue
        .about
        .map(|about| prose::summary(&about.body.open))
        .unwrap_or_default();
    let home = lists::home(&catalogue, &reviews, how_long.as_ref(), summary);
    let section_lists = lists::sections(&catalogue, &reviews);
    let subject_list = lists::subject_list(&catalogue);
    let subjects = lists::subjects(&catalogue);
    let mut others = vec![String::new(), ABOUT.to_owned(), SEARCH.to_owned()];
    others.extend(section_lists.iter().map(|list| list.head.link.clone()));
    others.extend(subject_list.iter().map(|list| list.head.link.clone()));
    others.extend(subjects.iter().map(|subject| subject.head.link.clone()));
    others.extend(how_long.iter().map(|page| page.head.link.clone()));
    let sitemap = lists::sitemap(&catalogue, others);
    let mut masthead: Vec<Tab> = section_lists
        .iter()
        .map(|list| tab(&list.head.title, &list.head.link))
        .collect();
    masthead.extend(how_long.iter().map(|page| tab("How long", &page.head.link)));

    SiteViews {
        site: Site {
            title: diary.settings.title.clone(),
            address: diary.settings.address.clone(),
            language: diary.settings.language.clone(),
            trader: trader(&diary.settings.trader),
            masthead,
        },
        home,
        write_ups,
        how_tos,
        reviews,
        answers,
        lists: section_lists,
        subject_list,
        subjects,
        how_long,
        about,
        not_found: NotFound {
            head: lists::head("404.html", "There is no page here", String::new(), ""),
        },
        feeds: lists::feeds(&catalogue, as_of),
        moved: lists::moved(&catalogue, &sitemap),
        sitemap,
        drawings: files.drawings,
        photos: files.photos,
    }
}

/// What is left of a site without its pages and the lists of them: what every page stands in.
pub fn frame_of(views: SiteViews) -> SiteViews {
    SiteViews {
        write_ups: Vec::new(),
        how_tos: Vec::new(),
        reviews: Vec::new(),
        answers: Vec::new(),
        lists: Vec::new(),
        subjects: Vec::new(),
        how_long: None,
        feeds: views
            .feeds
            .into_iter()
            .map(|feed| Feed {
                entries: Vec::new(),
                ..feed
            })
            .collect(),
        sitemap: Sitemap { pages: Vec::new() },
        moved: Vec::new(),
        drawings: BTreeMap::new(),
        photos: BTreeMap::new(),
        ..views
    }
}

/// The page of one file as it would stand in a site, alone in its [frame](frame_of); with its address. `None` where the
/// file has no public page on that day, or another page stands at its address.
pub fn views_of_one(
    frame: &SiteViews,
    diary: &Diary,
    hours: &Hours,
    as_of: Date,
    gate: &Gate,
    file: FileId,
) -> Option<(String, SiteViews)> {
    let catalogue = Catalogue::new(diary, as_of);
    let builder = Builder::new(&catalogue, hours, as_of, gate);
    let mut views = frame.clone();
    if catalogue.about.is_some_and(|about| about.file == file) {
        views.about = builder.about(&mut Files::default());
        return Some((ABOUT.to_owned(), views));
    }
    let listed = catalogue
        .listed
        .iter()
        .find(|listed| listed.made.file() == file)?;
    let mut others = catalogue.listed.iter();
    if others.any(|other| other.link == listed.link && other.made.file() != file) {
        return None;
    }
    match builder.page(listed).0 {
        Built::WriteUp(page) => views.write_ups.push(*page),
        Built::HowTo(page) => views.how_tos.push(*page),
        Built::Review(page) => views.reviews.push(*page),
        Built::Answer(page) => views.answers.push(*page),
    }
    Some((listed.link.clone(), views))
}

/// The file each path of the site is made from: `write-ups/x/index.html` to its log. Lists and feeds have none.
pub fn origins(diary: &Diary, as_of: Date) -> HashMap<String, FileId> {
    let catalogue = Catalogue::new(diary, as_of);
    let mut origins = HashMap::new();
    let mut take = |link: &str, made: Made<'_>, file: FileId| {
        origins.insert(format!("{link}index.html"), file);
        for (_, path, address) in prose::drawing_links(made.body(), link) {
            if let Some(drawing) = diary.drawings.get(path) {
                origins.insert(address, drawing.file);
            }
        }
    };
    for listed in &catalogue.listed {
        take(&listed.link, listed.made, listed.made.file());
    }
    if let Some(about) = catalogue.about {
        take(ABOUT, Made::Page(about), about.file);
    }
    origins
}

fn tab(name: &str, link: &str) -> Tab {
    Tab {
        name: name.to_owned(),
        link: link.to_owned(),
    }
}

fn trader(trader: &Trader) -> TraderLine {
    TraderLine {
        name: trader.name.clone(),
        trading_as: trader.trading_as.clone(),
        phone: trader.phone.clone(),
        phone_link: phone_link(&trader.phone),
        email: trader.email.clone(),
    }
}

/// `01632 960123` as a link dials it: `+441632960123`. Empty where the text holds no number.
fn phone_link(phone: &str) -> String {
    let figures: String = phone.chars().filter(char::is_ascii_digit).collect();
    if figures.len() < 5 {
        return String::new();
    }
    if phone.trim_start().starts_with('+') {
        // `+44 (0)1632` dials without the nought.
        return format!(
            "+{}",
            figures.replacen("440", "44", usize::from(figures.starts_with("440")))
        );
    }
    match figures
        .strip_prefix("00")
        .or_else(|| figures.strip_prefix('0'))
    {
        Some(rest) if figures.starts_with("00") => format!("+{rest}"),
        Some(rest) => format!("+44{rest}"),
        None => figures,
    }
}

#[cfg(test)]
mod tests {
    use super::phone_link;

    #[test]
    fn a_number_is_dialled_from_anywhere() {
        assert_eq!(phone_link("01632 960123"), "+441632960123");
        assert_eq!(phone_link("+44 (0)1632 960123"), "+441632960123");
        assert_eq!(phone_link("0044 1632 960123"), "+441632960123");
        assert_eq!(phone_link("ring me"), "");
        assert_eq!(
            (phone_link("5234"), phone_link("234")),
            (String::new(), String::new())
        );
        assert_eq!(phone_link("52341"), "52341");
    }
}
