//! The 652 examples of CommonMark 0.31.2 (`suites/commonmark.json`) through the renderer of pages.
//!
//! What we add to every page is taken off again, narrowly, before comparing. Where we mean to differ, the example
//! is listed with its reason, and held to exactly what that reason gives; a listed example that would pass unlisted
//! fails the test, so that the lists cannot grow stale.

use daywork::diary::links::leads_away;
use daywork::diary::markdown::options;
use daywork::pages::markdown::{Blocks, Readers, render};
use daywork::public::view::{BodyView, Picture};
use pulldown_cmark::{Event, LinkType, Parser, Tag, TagEnd, html};
use serde::Deserialize;

#[derive(Deserialize)]
struct Example {
    example: u32,
    markdown: String,
    html: String,
}

/// Raw HTML is an error in a diary, and a page shows it as typed.
const HTML_AS_TYPED: &[u32] = &[
    21, 31, 148, 149, 150, 151, 152, 153, 154, 155, 156, 157, 158, 159, 160, 161, 162, 163, 164,
    165, 166, 167, 168, 169, 170, 171, 172, 173, 174, 175, 176, 177, 178, 179, 180, 181, 182, 183,
    184, 185, 186, 187, 188, 189, 190, 191, 201, 308, 309, 344, 475, 476, 477, 491, 494, 524, 536,
    613, 614, 615, 616, 617, 623, 625, 626, 627, 628, 629, 630, 631, 642, 643,
];

/// A page has its own first heading, so a body with a first-level heading moves down by one level.
const HEADINGS_DOWN: &[u32] = &[
    10, 62, 66, 67, 68, 72, 75, 76, 78, 79, 80, 81, 82, 83, 84, 115, 141, 214, 215, 227, 228, 229,
    230, 232, 300,
];

/// A picture alone in its paragraph is a figure, its title the caption.
const FIGURES: &[u32] = &[
    520, 572, 573, 574, 575, 576, 577, 578, 580, 581, 582, 583, 584, 585, 586, 588, 589, 591,
];

#[test]
fn every_example_matches_or_differs_for_its_listed_reason() {
    let examples: Vec<Example> =
        serde_json::from_str(include_str!("suites/commonmark.json")).expect("a list of examples");
    assert_eq!(examples.len(), 652);
    let mut faults = Vec::new();
    let (mut matched, mut listed) = (0, [0; 3]);
    for example in &examples {
        let ours = without_our_additions(&rendered(&example.markdown));
        let theirs = example.html.clone();
        let reasons =
            [HTML_AS_TYPED, HEADINGS_DOWN, FIGURES].map(|list| list.contains(&example.example));
        let meant = match reasons {
            [false, false, false] => theirs.clone(),
            [true, false, false] => html_as_typed(&example.markdown),
            [false, true, false] => headings_down(&theirs),
            [false, false, true] => figure(&theirs),
            _ => panic!("example {} is listed twice", example.example),
        };
        let listed_here = reasons.contains(&true);
        if ours != meant {
            faults.push(format!(
                "{}: {:?}\n  meant {meant:?}\n  ours  {ours:?}",
                example.example, example.markdown
            ));
        } else if listed_here && ours == theirs {
            faults.push(format!("{}: listed, and yet it matches", example.example));
        } else if listed_here {
            (0..3)
                .filter(|&at| reasons[at])
                .for_each(|at| listed[at] += 1);
        } else {
            matched += 1;
        }
    }
    assert!(
        faults.is_empty(),
        "{} faults\n{}",
        faults.len(),
        faults.join("\n")
    );
    assert_eq!(
        listed,
        [HTML_AS_TYPED.len(), HEADINGS_DOWN.len(), FIGURES.len()]
    );
    assert_eq!(matched + listed.iter().sum::<usize>(), examples.len());
}

/// Renders as a page does; every link and picture that would stay in the diary leads where it is written.
fn rendered(markdown: &str) -> String {
    let mut body = BodyView {
        markdown: markdown.to_owned(),
        ..BodyView::default()
    };
    for event in Parser::new_ext(markdown, options()) {
        match event {
            Event::Start(Tag::Link {
                dest_url,
                link_type,
                ..
            }) if link_type != LinkType::Email && !leads_away(&dest_url) => {
                body.links
                    .insert(dest_url.to_string(), dest_url.to_string());
            }
            Event::Start(Tag::Image { dest_url, .. }) => {
                let picture = Picture {
                    link: dest_url.to_string(),
                    width: None,
                    height: None,
                    sizes: Vec::new(),
                };
                body.pictures.insert(dest_url.to_string(), picture);
            }
            _ => {}
        }
    }
    let blocks = Blocks {
        films: &Default::default(),
        readings: "",
        materials: "",
        caution_heading: "Caution",
        readers: Readers::Public,
    };
    render(&body, "", &blocks).html
}

/// Takes off exactly what a page adds: the first paragraph's class, ids of headings, how a picture is loaded, the
/// mark of a link that leads away, the tab stop and the colours of code. `&#39;` is another spelling of `'`.
fn without_our_additions(html: &str) -> String {
    let mut out = html
        .replacen("<p class=\"lead\">", "<p>", 1)
        .replace(" decoding=\"async\" />", " />")
        .replace(" rel=\"noopener\">", ">")
        .replace("<pre tabindex=\"0\">", "<pre>")
        .replace("&#39;", "'");
    for level in 1..=6 {
        out = without(&out, &format!("<h{level}"), " id=\"", "\"");
    }
    if out.contains("<span class=\"c-") {
        out = without(&out, "", "<span class=\"c-", "\">").replace("</span>", "");
    }
    out
}

/// Takes out each stretch from `begin` to the next `end` that stands straight after `before`.
fn without(html: &str, before: &str, begin: &str, end: &str) -> String {
    let key = format!("{before}{begin}");
    let mut out = String::new();
    let mut rest = html;
    while let Some(at) = rest.find(&key) {
        out.push_str(&rest[..at + before.len()]);
        let after = &rest[at + key.len()..];
        let stop = after.find(end).expect("an attribute ends");
        rest = &after[stop + end.len()..];
    }
    out + rest
}

/// What the library alone makes of an example whose HTML is text.
fn html_as_typed(markdown: &str) -> String {
    let mut block: Option<String> = None;
    let mut events = Vec::new();
    for event in Parser::new_ext(markdown, options()) {
        match event {
            Event::Start(Tag::HtmlBlock) => block = Some(String::new()),
            Event::End(TagEnd::HtmlBlock) => {
                let typed = block.take().expect("a block begins before it ends");
                events.push(Event::Start(Tag::Paragraph));
                events.push(Event::Text(typed.trim_end().to_owned().into()));
                events.push(Event::End(TagEnd::Paragraph));
            }
            Event::Html(text) | Event::Text(text) if block.is_some() => {
                block.as_mut().expect("just looked").push_str(&text);
            }
            Event::InlineHtml(text) => events.push(Event::Text(text)),
            event => events.push(event),
        }
    }
    let mut out = String::new();
    html::push_html(&mut out, events.into_iter());
    // Between tags the library leaves `"` as it is; the specification and we do not.
    let mut quoted = String::new();
    let mut in_tag = false;
    for c in out.chars() {
        match c {
            '<' => in_tag = true,
            '>' => in_tag = false,
            _ => {}
        }
        if c == '"' && !in_tag {
            quoted.push_str("&quot;")
        } else {
            quoted.push(c)
        }
    }
    quoted
}

fn headings_down(html: &str) -> String {
    (1..=5).rev().fold(html.to_owned(), |html, level| {
        let below = level + 1;
        html.replace(&format!("<h{level}>"), &format!("<h{below}>"))
            .replace(&format!("</h{level}>"), &format!("</h{below}>"))
    })
}

fn figure(html: &str) -> String {
    let img = html
        .strip_prefix("<p>")
        .and_then(|html| html.strip_suffix(" /></p>\n"))
        .expect("one picture in one paragraph");
    match img.split_once(" title=\"") {
        Some((img, title)) => {
            let title = title
                .strip_suffix('"')
                .expect("the title is the last attribute");
            format!("<figure class=\"photo\">{img} /><figcaption>{title}</figcaption></figure>\n")
        }
        None => format!("<figure class=\"photo\">{img} /></figure>\n"),
    }
}
