//! The pictures of a body as HTML: drawings, photos in their sizes, figures with captions, before beside after.
//!
//! Everything typed is escaped. Knows nothing of the text round a picture.

use std::collections::BTreeMap;

use pulldown_cmark_escape::escape_href;

use crate::diary::photo_block;
use crate::public::view::Picture;

use super::code::escaped;

/// The room that a photo has on a page, as a browser is told of it: the measure of a text or nearly the whole phone.
const ONE: &str = "(min-width: 40rem) 36rem, 94vw";
/// The room of each of a pair, side by side where there is the width for it.
const HALF: &str = "(min-width: 40rem) 18rem, 94vw";

/// The pictures of one page, while it is written.
pub(super) struct Pictures<'w> {
    /// Each as written, to what stands on the site.
    known: &'w BTreeMap<String, Picture>,
    /// What stands in front of every address.
    root: &'w str,
    /// Photos shown so far.
    photos: usize,
}

impl<'w> Pictures<'w> {
    pub fn new(known: &'w BTreeMap<String, Picture>, root: &'w str) -> Self {
        Pictures {
            known,
            root,
            photos: 0,
        }
    }

    /// The still of a film, within a link that says what it shows; empty where there is none.
    pub fn still(&mut self, written: &str) -> String {
        self.img(written, "", "").unwrap_or_default()
    }

    /// A picture within a line; `None` where it cannot be shown.
    pub fn img(&mut self, written: &str, alt: &str, title: &str) -> Option<String> {
        let picture = self.known.get(written)?;
        Some(self.tag(picture, alt, title, ONE))
    }

    /// A picture that stands alone, its title as its caption; `None` where it cannot be shown.
    pub fn figure(&mut self, written: &str, alt: &str, title: &str) -> Option<String> {
        let img = self.img(written, alt, "")?;
        Some(format!(
            "<figure class=\"photo\">{img}{}</figure>\n",
            caption(title)
        ))
    }

    /// The figures of a `photos` block. A photo that cannot be shown leaves its words.
    pub fn block(&mut self, text: &str) -> String {
        let (figures, _) = photo_block::figures(text);
        let mut html = String::new();
        for figure in figures {
            let pair = figure.photos.len() > 1;
            html.push_str(if pair {
                "<figure class=\"photo pair\">"
            } else {
                "<figure class=\"photo\">"
            });
            for (photo, moment) in figure.photos.iter().zip(["Before", "After"]) {
                let room = if pair { HALF } else { ONE };
                let picture = self.known.get(&photo_block::key(&photo.file));
                let shown = match picture {
                    Some(picture) => self.tag(picture, &photo.words, "", room),
                    None => format!("<p>{}</p>", escaped(&photo.words)),
                };
                html.push_str(&if pair {
                    format!("<div><p class=\"label\">{moment}</p>{shown}</div>")
                } else {
                    shown
                });
            }
            html.push_str(&caption(&figure.caption));
            html.push_str("</figure>\n");
        }
        html
    }

    /// A picture. Of a photo the browser takes the size that it needs for the `room` it has; all after the first come
    /// when they are nearly in sight.
    fn tag(&mut self, picture: &Picture, alt: &str, title: &str, room: &str) -> String {
        let size = |name: &str, size: Option<u32>| {
            size.map(|size| format!(" {name}=\"{size}\""))
                .unwrap_or_default()
        };
        let address = |link: &str| href(&format!("{}{link}", self.root));
        let mut choice = String::new();
        if !picture.sizes.is_empty() {
            let sizes: Vec<String> = picture
                .sizes
                .iter()
                .map(|size| format!("{} {}w", address(&size.link), size.width))
                .collect();
            choice = format!(" srcset=\"{}\" sizes=\"{room}\"", sizes.join(", "));
            if self.photos > 0 {
                choice.push_str(" loading=\"lazy\"");
            }
            self.photos += 1;
        }
        format!(
            "<img src=\"{}\"{choice} alt=\"{}\"{}{}{} decoding=\"async\" />",
            address(&picture.link),
            escaped(alt),
            title_attribute(title),
            size("width", picture.width),
            size("height", picture.height),
        )
    }
}

fn caption(words: &str) -> String {
    if words.is_empty() {
        String::new()
    } else {
        format!("<figcaption>{}</figcaption>", escaped(words))
    }
}

pub(super) fn href(address: &str) -> String {
    let mut out = String::with_capacity(address.len());
    escape_href(&mut out, address).expect("writing to a String");
    out
}

pub(super) fn title_attribute(title: &str) -> String {
    if title.is_empty() {
        String::new()
    } else {
        format!(" title=\"{}\"", escaped(title))
    }
}
