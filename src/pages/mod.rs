//! View to bytes: sheets, Markdown, charts, feeds. A page is a pure function of its view and of the sheets.
//!
//! Nothing here reads the diary, asks the clock or writes a file: [`site::outputs`] says what the site is made of,
//! each piece with a digest of all that goes into it, and makes a piece only when asked.

pub mod calendar;
mod card;
pub mod charts;
pub mod code;
pub mod feed;
mod linked_data;
pub mod markdown;
mod markdown_flow;
mod notes;
pub mod office;
pub mod paper;
pub mod photos;
mod pictures;
mod search;
mod sheet_words;
pub mod sheets;
pub mod site;
mod site_page;
pub mod tables;

use serde::Serialize;

use crate::diagnose::Diagnostic;

/// When a file is written: what others point at comes before what points at it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rank {
    /// Photos and cards: many and large, without a word that a program reads. Made when they are written and not before.
    Picture,
    /// Style, font and drawings.
    Asset,
    /// A page that stands for itself.
    Leaf,
    /// A page that lists others, a feed, the sitemap.
    List,
}

/// How an [`Output`] is made when it is wanted.
pub type Make<'a> = Box<dyn Fn() -> Result<Vec<u8>, Diagnostic> + Send + Sync + 'a>;

/// One file of an output folder, not yet made.
pub struct Output<'a> {
    /// Path below the folder, with `/` between parts: `write-ups/pump-controls/index.html`.
    pub path: String,
    /// When it is written.
    pub rank: Rank,
    /// Digest of everything that its bytes depend on: the same digest, the same bytes.
    pub digest: blake3::Hash,
    /// Makes the bytes. Fails only where a sheet of the diary's own does, or where a photo that was kept is gone.
    pub make: Make<'a>,
}

/// What stands at an address below the root: `""` is `index.html`, `about/` is `about/index.html`.
pub fn file_of(link: &str) -> String {
    if link.is_empty() || link.ends_with('/') {
        format!("{link}index.html")
    } else {
        link.to_owned()
    }
}

/// The way from a page up to the root, with a slash at its end: `./`, `../`, `../../`.
pub fn root_of(link: &str) -> String {
    match link.matches('/').count() {
        0 => "./".to_owned(),
        depth => "../".repeat(depth),
    }
}

/// Adds a value's JSON to a digest, in one piece: many small ones cost far more than the copy.
fn write_json(hasher: &mut blake3::Hasher, value: &impl Serialize) {
    let json = serde_json::to_vec(value).expect("views are plain values");
    hasher.update(&json);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_give_files_and_the_way_back() {
        assert_eq!(
            [file_of(""), file_of("a/b/"), file_of("404.html")],
            ["index.html", "a/b/index.html", "404.html"]
        );
        assert_eq!(
            [root_of(""), root_of("a/b/"), root_of("a/feed.xml")],
            ["./", "../../", "../"]
        );
    }
}
