use super::*;

/// A row as it is read: each letter with what stands before it, `|` for the edge of a value, `~` for markup.
fn shown(row: &Folded) -> String {
    let mark = |join: &Join| match join {
        Join::Nothing => "",
        Join::Unseen => "?",
        Join::Markup => "~",
        Join::Apostrophe => "'",
        Join::Hyphen => "-",
        Join::Space => " ",
        Join::Point => ".",
        Join::Wall => "|",
    };
    let letters = row.lower.iter().map(|byte| char::from(*byte));
    let joins = row.joins.iter().map(mark);
    let mut shown: String = joins
        .zip(letters)
        .map(|(join, letter)| format!("{join}{letter}"))
        .collect();
    shown.push('|');
    shown
}

/// The text of a file and the values beside it; every letter must know the place that it came from.
fn rows(kind: FileKind, file: &str) -> (String, String) {
    let rows = read(kind, "", file);
    for row in &rows {
        for (letter, from) in row.cased.iter().zip(&row.from) {
            let there = file.as_bytes()[*from as usize];
            assert_eq!(char::from(*letter), char::from(there), "{file} at {from}");
        }
    }
    (shown(&rows[0]), shown(&rows[1]))
}

#[test]
fn tags_comments_and_values_are_told_apart_and_keep_their_places() {
    use FileKind::{Html, Svg, Xml};
    // Worked by hand, by how HTML's own standard cuts a text into tags and attributes.
    for (kind, file, text, aside) in [
        (
            Html,
            "<p>Odo <b>Bran</b>nick</p>x",
            "|odo bran~nick x|",
            "|",
        ),
        (Html, "a<!--Odo-->b", "|a~b|", "|odo|"),
        (
            Html,
            "a<!doctype Odo>b<?Odo x?>c",
            "|a b c|",
            "|doctype odo|odo x|",
        ),
        (Html, "1 < 2 <3 </b>4", "|1.2.3 4|", "|"),
        (Html, "a<br/>b<br>c", "|a~b~c|", "|"),
        // Attributes: quoted either way, bare, without a value, with room about the sign, hard against one another.
        (
            Html,
            "x<a href='Odo'title=\"Bran nick\">y",
            "|x~y|",
            "|odo|bran nick|",
        ),
        (Html, "x<a b=Odo c=d/e>y<i f=g>z", "|x~y~z|", "|odo|d.e|g|"),
        (Html, "x<a hidden b = Odo\tc/d=e>y", "|x~y|", "|odo|e|"),
        // Scripts and styles end at their own end alone, and are looked into as markup besides.
        (
            Html,
            "a<script>x</b></i>y</SCRIPT>z",
            "|a~z|",
            "|x.b.i.y|x~y|",
        ),
        (Html, "a<style>x</st></style>z", "|a~z|", "|x.st|x|"),
        (Html, "a<script/>b", "|a~b|", "|"),
        // In a drawing, white space beside a tag may not show; past its end it does.
        (
            Html,
            "<svg>a <tspan>b</tspan></svg>c <b>d",
            "|a~b~c d|",
            "|",
        ),
        (Html, "<svg/>a <b>b", "|a b|", "|"),
        (Html, "<b>a <b>b</b> c</b>", "|a b c|", "|"),
        (Svg, "<svg><text>a <tspan>b", "|a~b|", "|"),
        // A feed may hold a page as it is.
        (Xml, "<x>a<![CDATA[Odo]]>b</x>c", "|aodob~c|", "|"),
        (
            Xml,
            "<x>a<![CDATA[b <p>Odo</p>]]>c",
            "|ab.p.odo.p.c|",
            "|b odo|",
        ),
    ] {
        assert_eq!(
            rows(kind, file),
            (text.to_owned(), aside.to_owned()),
            "{file}"
        );
    }
}

#[test]
fn in_json_each_string_stands_for_itself() {
    for (file, aside) in [
        ("{\"a\":\"Odo Bran\"}", "|a|odo bran|"),
        (
            "{\"a\":[\"b\",\"c\"],\"d\":12,\"e\":true}",
            "|a|b|c|d|12|e|true|",
        ),
        (r#"{"a":"b\"c","d":"e\\","f":1}"#, "|a|b.c|d|e|f|1|"),
    ] {
        assert_eq!(
            rows(FileKind::Json, file),
            ("|".to_owned(), aside.to_owned()),
            "{file}"
        );
    }
}

#[test]
fn the_list_of_blocks_is_in_order_for_its_search() {
    assert!(BLOCKS.is_sorted());
}

#[test]
fn whatever_is_cut_off_is_still_read() {
    for text in [
        "<",
        "<!--Odo",
        "<a href='Odo",
        "<p title=Odo",
        "<![CDATA[Odo",
        "<script>Odo",
        "&#x4f",
        "a &am",
        "<a =Odo",
    ] {
        let _ = read(FileKind::Html, "x/index.html", text);
        let _ = read(FileKind::Xml, "feed.xml", text);
    }
    let rows = read(FileKind::Json, "", "{\"a\":\"Odo\\");
    assert_eq!(rows[1].lower, b"aodo");
    let rows = read(FileKind::Html, "", "<a href='Odo");
    assert_eq!(rows[1].lower, b"odo");
}
