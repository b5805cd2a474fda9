//! The search page and its index: plain files that a browser searches by itself, with no server that answers.
//!
//! `search/index.html` holds the key to the index; `search/words-N.js` and `search/pages-N.js` are the index, as calls of
//! one function, because a page that is opened from disk may load a script and may not fetch a file. Like every file of
//! the site they pass the leak gate. What a reader's browser does with them stands in `themes/docket/search/search.js`.

mod fold;
mod index;
mod texts;

use serde::Serialize;

use self::index::{Index, PAGES_IN_A_FILE};
use crate::public::view::{Head, SEARCH, SiteViews, SubjectCount};

/// The view of the search page.
#[derive(Clone, Debug, Serialize)]
pub(super) struct SearchPage {
    head: Head,
    /// Shown until something was found, and all there is without JavaScript; in alphabetical order.
    subjects: Vec<SubjectCount>,
    /// How many pages can be found.
    pages: usize,
    pages_in_a_file: usize,
    /// The first word of each file of words, with commas between.
    first: String,
    /// Words that are not looked for, with commas between.
    common: String,
    /// The index's stamp.
    stamp: String,
}

/// The search page's view, and the index as files: path below the root, and text.
pub(super) fn search(views: &SiteViews) -> (SearchPage, Vec<(String, String)>) {
    let Index {
        first,
        files,
        pages,
        stamp,
    } = index::index(&texts::sought(views));
    let subjects = views.subject_list.as_ref();
    let page = SearchPage {
        head: Head {
            link: SEARCH.to_owned(),
            title: "Search".to_owned(),
            summary: format!(
                "Find a write-up, how-to, review or answer by its words, out of {pages}."
            ),
            part: String::new(),
            date: String::new(),
            date_shown: String::new(),
        },
        subjects: subjects.map_or_else(Vec::new, |list| list.subjects.clone()),
        pages,
        pages_in_a_file: PAGES_IN_A_FILE,
        first: first.join(","),
        common: fold::COMMON.join(","),
        stamp,
    };
    let files = files
        .into_iter()
        .map(|(name, value)| {
            let text = format!("daywork(\"{name}\",{value})\n");
            (format!("{SEARCH}{name}.js"), text)
        })
        .collect();
    (page, files)
}
