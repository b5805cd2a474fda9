//! Drawings: whether an SVG file is sound enough to put on a site, and how large it is.
//!
//! A small scanner of its own that is stricter than XML needs: a drawing is lines and words, and whatever is
//! neither is a fault. It changes nothing in a drawing and reads no file.

/// What in an SVG file carries script, reaches out or is broken, each as a short phrase; empty where it is sound.
/// Equal faults are told once, in order of place.
pub fn drawing_faults(svg: &str) -> Vec<String> {
    let mut faults = Faults::default();
    let mut open: Vec<&str> = Vec::new();
    let mut seen_root = false;
    let mut rest = svg.trim_start_matches('\u{feff}');
    loop {
        let Some(start) = rest.find('<') else {
            faults.text(rest, open.last().copied());
            break;
        };
        faults.text(&rest[..start], open.last().copied());
        rest = &rest[start..];
        let Some((part, after)) = part(rest) else {
            faults.add("a tag or comment that never ends");
            break;
        };
        rest = after;
        match part {
            Part::Comment => {}
            Part::Cdata(text) => faults.text(text, open.last().copied()),
            Part::Declaration => faults.add("a document type or entity"),
            Part::Instruction(name) => {
                if !name.eq_ignore_ascii_case("xml") {
                    faults.add("a processing instruction");
                }
            }
            Part::Close(name) => {
                if open.pop() != Some(name) {
                    faults.add("tags that do not close each other");
                }
            }
            Part::Open {
                name,
                attributes,
                empty,
            } => {
                if open.is_empty() && (seen_root || local(name) != "svg") {
                    faults.add("no single svg element around everything");
                }
                seen_root = true;
                faults.element(local(name));
                for (attribute, value) in split_attributes(attributes, &mut faults) {
                    faults.attribute(local(name), attribute, &decoded(value));
                }
                if !empty {
                    open.push(name);
                }
            }
        }
    }
    if !open.is_empty() {
        faults.add("tags that do not close each other");
    }
    if !seen_root {
        faults.add("no single svg element around everything");
    }
    faults.0
}

/// Width and height in pixels from the root's `width` and `height` (bare numbers or `px`), else from its `viewBox`;
/// `None` where neither says.
pub fn size(svg: &str) -> Option<(u32, u32)> {
    let mut rest = svg;
    loop {
        rest = &rest[rest.find('<')?..];
        let (part, after) = part(rest)?;
        rest = after;
        let Part::Open {
            name, attributes, ..
        } = part
        else {
            continue;
        };
        if local(name) != "svg" {
            return None;
        }
        let mut ignored = Faults::default();
        let attributes = split_attributes(attributes, &mut ignored);
        let value = |wanted: &str| {
            attributes
                .iter()
                .find(|(name, _)| *name == wanted)
                .map(|(_, value)| *value)
        };
        let pixels = |text: &str| length(text.trim().trim_end_matches("px"));
        if let (Some(width), Some(height)) = (
            value("width").and_then(pixels),
            value("height").and_then(pixels),
        ) {
            return Some((width, height));
        }
        let numbers: Vec<&str> = value("viewBox")?
            .split([' ', ',', '\n', '\t'])
            .filter(|n| !n.is_empty())
            .collect();
        let [_, _, width, height] = numbers[..] else {
            return None;
        };
        return Some((length(width)?, length(height)?));
    }
}

/// A positive number of pixels, rounded; `None` for anything else or more than a wall is wide.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "checked to be within 1..=100000"
)]
fn length(text: &str) -> Option<u32> {
    let number: f64 = text.trim().parse().ok()?;
    let rounded = number.round();
    (1.0..=100_000.0)
        .contains(&rounded)
        .then_some(rounded as u32)
}

/// A piece of markup.
enum Part<'a> {
    Comment,
    Cdata(&'a str),
    Declaration,
    Instruction(&'a str),
    Open {
        name: &'a str,
        attributes: &'a str,
        empty: bool,
    },
    Close(&'a str),
}

/// The piece that begins at the `<` that `text` begins with, and what follows it; `None` where it never ends.
fn part(text: &str) -> Option<(Part<'_>, &str)> {
    if let Some(inside) = text.strip_prefix("<!--") {
        let (_, after) = inside.split_once("-->")?;
        return Some((Part::Comment, after));
    }
    if let Some(inside) = text.strip_prefix("<![CDATA[") {
        let (cdata, after) = inside.split_once("]]>")?;
        return Some((Part::Cdata(cdata), after));
    }
    if let Some(inside) = text.strip_prefix("<?") {
        let (instruction, after) = inside.split_once("?>")?;
        let name = instruction.split_whitespace().next().unwrap_or_default();
        return Some((Part::Instruction(name), after));
    }
    if let Some(inside) = text.strip_prefix("<!") {
        let (_, after) = inside.split_once('>')?;
        return Some((Part::Declaration, after));
    }
    // A `>` inside quotes does not end the tag.
    let mut quote = None;
    let end = text
        .char_indices()
        .find_map(|(index, c)| match (quote, c) {
            (None, '>') => Some(index),
            (None, '"' | '\'') => {
                quote = Some(c);
                None
            }
            (Some(open), c) if c == open => {
                quote = None;
                None
            }
            _ => None,
        })?;
    let (inside, after) = (&text[1..end], &text[end + 1..]);
    if let Some(name) = inside.strip_prefix('/') {
        return Some((Part::Close(name.trim()), after));
    }
    let empty = inside.ends_with('/');
    let inside = inside.strip_suffix('/').unwrap_or(inside);
    let (name, attributes) =
        inside.split_at(inside.find(char::is_whitespace).unwrap_or(inside.len()));
    Some((
        Part::Open {
            name,
            attributes,
            empty,
        },
        after,
    ))
}

/// Names and values of a tag, in order.
fn split_attributes<'a>(text: &'a str, faults: &mut Faults) -> Vec<(&'a str, &'a str)> {
    let mut found = Vec::new();
    let mut rest = text.trim();
    while !rest.is_empty() {
        let Some((name, after)) = rest.split_once('=') else {
            faults.add("an attribute without a value");
            break;
        };
        let after = after.trim_start();
        let Some(quote) = after.chars().next().filter(|c| matches!(c, '"' | '\'')) else {
            faults.add("an attribute without quotes");
            break;
        };
        let Some((value, next)) = after[1..].split_once(quote) else {
            faults.add("an attribute without quotes");
            break;
        };
        found.push((name.trim(), value));
        rest = next.trim_start();
    }
    found
}

/// A name without its namespace prefix.
fn local(name: &str) -> &str {
    name.rsplit(':').next().unwrap_or(name)
}

/// A value with its character references put as the characters they stand for, so that nothing hides in them.
fn decoded(value: &str) -> String {
    let mut out = String::with_capacity(value.len());
    let mut rest = value;
    while let Some(start) = rest.find('&') {
        out.push_str(&rest[..start]);
        rest = &rest[start + 1..];
        let Some((name, after)) = rest.split_once(';') else {
            out.push('&');
            continue;
        };
        let character = match name {
            "amp" => Some('&'),
            "lt" => Some('<'),
            "gt" => Some('>'),
            "quot" => Some('"'),
            "apos" => Some('\''),
            _ => name
                .strip_prefix('#')
                .and_then(|n| match n.strip_prefix(['x', 'X']) {
                    Some(hex) => u32::from_str_radix(hex, 16).ok(),
                    None => n.parse().ok(),
                })
                .and_then(char::from_u32),
        };
        match character {
            Some(character) => {
                out.push(character);
                rest = after;
            }
            None => out.push('&'),
        }
    }
    out.push_str(rest);
    out
}

/// The faults found so far.
#[derive(Default)]
struct Faults(Vec<String>);

impl Faults {
    fn add(&mut self, fault: impl Into<String>) {
        let fault = fault.into();
        if !self.0.contains(&fault) {
            self.0.push(fault);
        }
    }

    fn element(&mut self, name: &str) {
        const NOT_DRAWN: &[&str] = &[
            "script",
            "foreignobject",
            "iframe",
            "object",
            "embed",
            "audio",
            "video",
            "canvas",
            "handler",
            "listener",
            "set",
            "animate",
            "animatemotion",
            "animatetransform",
            "link",
            "meta",
            "base",
        ];
        if NOT_DRAWN.contains(&name.to_ascii_lowercase().as_str()) {
            self.add(format!("the element {name}"));
        }
    }

    fn attribute(&mut self, element: &str, name: &str, value: &str) {
        let lower = local(name).to_ascii_lowercase();
        if lower.starts_with("on") {
            self.add(format!("an event attribute, {name}"));
        }
        // Names of namespaces look like addresses and are never fetched.
        if name == "xmlns" || name.starts_with("xmlns:") {
            return;
        }
        if matches!(
            lower.as_str(),
            "href" | "src" | "base" | "action" | "formaction" | "ping"
        ) && !is_inside(value)
        {
            self.add(format!(
                "a link that leads out of the drawing, in {element}"
            ));
        }
        self.style(value);
    }

    /// Text between tags: style sheets are read, words are not.
    fn text(&mut self, text: &str, element: Option<&str>) {
        if element.is_some_and(|name| local(name).eq_ignore_ascii_case("style")) {
            self.style(&decoded(text));
        }
    }

    /// Style, in an attribute or a sheet: nothing may be fetched.
    fn style(&mut self, style: &str) {
        let folded = style.to_ascii_lowercase();
        if folded.contains("@import") {
            self.add("a style sheet that is fetched");
        }
        if folded.contains('\\') && (folded.contains('(') || folded.contains('@')) {
            self.add("a style that hides what it says");
        }
        for (index, _) in folded.match_indices("url(") {
            let target = folded[index + 4..]
                .trim_start()
                .trim_start_matches(['"', '\'']);
            if !is_inside(target) {
                self.add("a picture or paint that is fetched from outside");
            }
        }
        if folded.contains("image-set(")
            || folded.contains("javascript:")
            || folded.contains("expression(")
        {
            self.add("a style that reaches out");
        }
    }
}

/// Whether an address stays inside the drawing: a part of it, or a picture written into it.
fn is_inside(address: &str) -> bool {
    // A picture packed into the drawing could carry words and places that no gate can read.
    address.trim().starts_with('#')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inside(parts: &str) -> Vec<String> {
        drawing_faults(&format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">{parts}</svg>"#
        ))
    }

    #[test]
    fn a_plain_drawing_is_sound() {
        let drawing = "\u{feff}<?xml version=\"1.0\"?><!-- a > b --><svg xmlns='http://www.w3.org/2000/svg' \
            xmlns:xlink='http://www.w3.org/1999/xlink' width='640' height='300'><title>Post &amp; lid</title>\
            <defs><pattern id=\"h\"/></defs><style><![CDATA[ .a { fill: url(#h) } ]]></style>\
            <use xlink:href='#h'/><path class=\"a\" d='M0 0' aria-label=\"1 > 0\"/><text>on = off, url(http)</text></svg>\n";
        assert_eq!(drawing_faults(drawing), Vec::<String>::new());
    }

    #[test]
    fn whatever_carries_script_or_reaches_out_is_told() {
        for (parts, fault) in [
            ("<script>1</script>", "the element script"),
            ("<x:ScRipt/>", "the element ScRipt"),
            ("<foreignObject/>", "the element foreignObject"),
            ("<animate attributeName='href'/>", "the element animate"),
            ("<path onload='x()'/>", "an event attribute, onload"),
            (
                "<a href='https://example.com'/>",
                "a link that leads out of the drawing, in a",
            ),
            (
                "<a xlink:href='&#106;avascript:x()'/>",
                "a link that leads out of the drawing, in a",
            ),
            (
                "<image href='data:image/svg+xml,x'/>",
                "a link that leads out of the drawing, in image",
            ),
            (
                "<use href='other.svg#a'/>",
                "a link that leads out of the drawing, in use",
            ),
            (
                "<path fill='url(//example.com/x)'/>",
                "a picture or paint that is fetched from outside",
            ),
            (
                "<path style='fill:URL( \"x.svg#a\")'/>",
                "a picture or paint that is fetched from outside",
            ),
            (
                "<style>@import 'x.css';</style>",
                "a style sheet that is fetched",
            ),
            (
                "<style>a{fill:u\\72l(x)}</style>",
                "a style that hides what it says",
            ),
            ("<?xml-stylesheet href='x'?>", "a processing instruction"),
            ("<!DOCTYPE svg>", "a document type or entity"),
            ("<g>", "tags that do not close each other"),
            ("<path d=M0/>", "an attribute without quotes"),
            ("<!-- x", "a tag or comment that never ends"),
            ("<path d/>", "an attribute without a value"),
        ] {
            assert!(
                inside(parts).contains(&fault.to_owned()),
                "{parts}: {:?}",
                inside(parts)
            );
        }
        for broken in ["", "words", "<p/>", "<svg/><svg/>"] {
            assert!(!drawing_faults(broken).is_empty(), "{broken}");
        }
    }

    #[test]
    fn size_comes_from_width_and_height_and_else_from_the_view_box() {
        for (root, expected) in [
            ("<svg width='640' height=\"300px\"/>", Some((640, 300))),
            (
                "<?xml version='1.0'?><svg viewBox='0 0 640.4, 300'>",
                Some((640, 300)),
            ),
            (
                "<svg width='100%' height='5' viewBox='0 0 4 3'/>",
                Some((4, 3)),
            ),
            ("<svg width='0' height='5'/>", None),
            ("<svg viewBox='0 0 4'/>", None),
            ("<p/>", None),
            ("", None),
        ] {
            assert_eq!(size(root), expected, "{root}");
        }
    }
}
