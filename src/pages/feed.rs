//! Feeds and the sitemap as XML. Every date comes from the view; an id is the page's absolute address.

use std::fmt::Write as _;

use atom_syndication::{Entry, FixedDateTime, Generator, Link, Person, Text};

use super::charts::escaped;
use crate::public::view::{Feed, Site, Sitemap};

/// An Atom feed (RFC 4287), as UTF-8.
///
/// # Panics
/// Where neither the feed nor any entry has a date: the public room makes no such feed.
pub fn atom(feed: &Feed, site: &Site) -> Vec<u8> {
    let absolute = |link: &str| format!("{}/{link}", site.address);
    let link = |rel: &str, address: String, mime: &str| Link {
        href: address,
        rel: rel.to_owned(),
        mime_type: Some(mime.to_owned()),
        ..Link::default()
    };
    let entries: Vec<Entry> = feed
        .entries
        .iter()
        .filter_map(|entry| {
            let date = midnight(&entry.date)?;
            let address = absolute(&entry.link);
            Some(Entry {
                title: Text::plain(entry.title.clone()),
                id: address.clone(),
                updated: date,
                published: Some(date),
                links: vec![link("alternate", address, "text/html")],
                summary: (!entry.summary.is_empty()).then(|| Text::plain(entry.summary.clone())),
                ..Entry::default()
            })
        })
        .collect();
    let updated = midnight(&feed.updated)
        .or_else(|| entries.iter().map(|entry| entry.updated).max())
        .expect("the public room dates every feed");
    atom_syndication::Feed {
        title: Text::plain(feed.title.clone()),
        id: absolute(&feed.link),
        updated,
        authors: vec![Person {
            name: site.trader.name.clone(),
            ..Person::default()
        }],
        generator: Some(Generator {
            value: "Daywork".to_owned(),
            ..Generator::default()
        }),
        links: vec![
            link("self", absolute(&feed.link), "application/atom+xml"),
            link("alternate", absolute(&feed.page), "text/html"),
        ],
        lang: Some(site.language.clone()),
        entries,
        ..atom_syndication::Feed::default()
    }
    .to_string()
    .into_bytes()
}

/// Midnight, universal time, of `2026-03-20`; `None` for what is no date.
fn midnight(date: &str) -> Option<FixedDateTime> {
    format!("{date}T00:00:00Z").parse().ok()
}

/// The sitemap (sitemaps.org, 0.9), as UTF-8.
pub fn sitemap(sitemap: &Sitemap, site: &Site) -> Vec<u8> {
    let mut xml = String::from(concat!(
        r#"<?xml version="1.0" encoding="utf-8"?>"#,
        "\n",
        r#"<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">"#,
        "\n"
    ));
    for (link, date) in &sitemap.pages {
        let _ = write!(
            xml,
            "<url><loc>{}/{}</loc>",
            escaped(&site.address),
            escaped(link)
        );
        if !date.is_empty() {
            let _ = write!(xml, "<lastmod>{}</lastmod>", escaped(date));
        }
        xml.push_str("</url>\n");
    }
    xml.push_str("</urlset>\n");
    xml.into_bytes()
}

/// `robots.txt`: everything may be read, and where the sitemap is.
pub fn robots(site: &Site) -> Vec<u8> {
    format!(
        "User-agent: *\nAllow: /\nSitemap: {}/sitemap.xml\n",
        site.address
    )
    .into_bytes()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::public::view::{FeedEntry, TraderLine};

    fn site() -> Site {
        Site {
            title: "The diary".to_owned(),
            address: "https://example.com/diary".to_owned(),
            language: "en-GB".to_owned(),
            trader: TraderLine {
                name: "Nan & Co".to_owned(),
                trading_as: String::new(),
                phone: String::new(),
                phone_link: String::new(),
                email: String::new(),
            },
            masthead: Vec::new(),
        }
    }

    #[test]
    fn a_feed_is_written_exactly_so_and_never_dated_1970() {
        let feed = Feed {
            link: "write-ups/feed.xml".to_owned(),
            page: "write-ups/".to_owned(),
            title: "The diary: write-ups".to_owned(),
            updated: "2026-03-20".to_owned(),
            entries: vec![FeedEntry {
                title: "A <lid> & a spring".to_owned(),
                link: "write-ups/lid/".to_owned(),
                date: "2026-03-20".to_owned(),
                summary: "One lid.".to_owned(),
            }],
        };
        let xml = String::from_utf8(atom(&feed, &site())).expect("XML is UTF-8");
        assert!(!xml.contains("1970"), "{xml}");
        for part in [
            "xml:lang=\"en-GB\"",
            "<id>https://example.com/diary/write-ups/feed.xml</id>",
            "<updated>2026-03-20T00:00:00+00:00</updated>",
            "href=\"https://example.com/diary/write-ups/\"",
            "<title>A &lt;lid&gt; &amp; a spring</title><id>https://example.com/diary/write-ups/lid/</id>",
            "<name>Nan &amp; Co</name>",
            "<summary>One lid.</summary>",
        ] {
            assert!(xml.contains(part), "{part} in {xml}");
        }
        let undated = Feed {
            updated: String::new(),
            ..feed
        };
        let xml = String::from_utf8(atom(&undated, &site())).expect("XML is UTF-8");
        assert!(
            xml.contains("<updated>2026-03-20T00:00:00+00:00</updated>") && !xml.contains("1970"),
            "{xml}"
        );
    }

    #[test]
    fn the_sitemap_and_robots_are_written_exactly_so() {
        let pages = vec![
            (String::new(), "2026-03-20".to_owned()),
            ("about/".to_owned(), String::new()),
        ];
        assert_eq!(
            String::from_utf8(sitemap(&Sitemap { pages }, &site())).expect("XML is UTF-8"),
            "<?xml version=\"1.0\" encoding=\"utf-8\"?>\n\
             <urlset xmlns=\"http://www.sitemaps.org/schemas/sitemap/0.9\">\n\
             <url><loc>https://example.com/diary/</loc><lastmod>2026-03-20</lastmod></url>\n\
             <url><loc>https://example.com/diary/about/</loc></url>\n</urlset>\n"
        );
        assert_eq!(
            robots(&site()),
            b"User-agent: *\nAllow: /\nSitemap: https://example.com/diary/sitemap.xml\n"
        );
    }
}
