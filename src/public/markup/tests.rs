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
        (Html, "x<b hidden>y=z<i =Odo>", "|x~y.z|", "|"),
        (Html, "<svg hidden/>a <b>b", "|a b|", "|"),
        // Scripts and styles end at their own end alone, and are looked into as markup besides.
        (
            Html,
            "a<script>x</b></i>y</SCRIPT>z",
            "|a~z|",
            "|x.b.i.y|x~y|",
        ),
        (Html, "a<style>x</st></style>z", "|a~z|", "|x.st|x|"),
        (
            Html,
            "a<style>Odo Bran</b</style>z",
            "|a~z|",
            "|odo bran.b|odo bran|",
        ),
        (Html, "a<script/>b", "|a~b|", "|"),
        // In a drawing, white space beside a tag may not show; past its end it does.
        (
            Html,
            "<svg>a <tspan>b</tspan></svg>c <b>d",
            "|a~b~c d|",
            "|",
        ),
        (Html, "<svg/>a <b>b", "|a b|", "|"),
        (Html, "<svg>a<i>b</i>c <i>d", "|a~b~c~d|", "|"),
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
        // What is not shown leaves the text whole, whatever stands in it.
        (
            Html,
            "Odo<!-- a<i title=b>c -->Bran",
            "|odo~bran|",
            "|b|a~c|",
        ),
        (
            Html,
            "Odo<i title='a<b lang=c>d'>Bran",
            "|odo~bran|",
            "|a.b lang.c.d|c|a~d|",
        ),
        // Markup in a value is looked into, and markup in a value of that, and no further.
        (
            Html,
            "x<a b='<i c=\"<u d=<s/e=Odo>\">'>y",
            "|x~y|",
            "|i c.u d.s.e.odo|u d.s.e.odo|s.e.odo|",
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
        ("{\"a\":[1,2],\"b\":3}", "|a|1|2|b|3|"),
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
    for text in ["{\"a\":\"Odo", "{\"a\":\"Odo\\"] {
        assert_eq!(letters(FileKind::Json, text).1, "aodo");
    }
    let rows = read(FileKind::Html, "", "<a href='Odo");
    assert_eq!(rows[1].lower, b"odo");
}

/// The letters of the text and of the values beside it.
fn letters(kind: FileKind, file: &str) -> (String, String) {
    let rows = read(kind, "", file);
    let letters = |row: &Folded| String::from_utf8(row.lower.clone()).expect("ASCII");
    (letters(&rows[0]), letters(&rows[1]))
}

#[test]
fn what_is_written_in_another_way_is_read_as_what_it_means() {
    use FileKind::{Html, Xml};
    for (kind, file, text, aside) in [
        (Html, "Chloë Ren&eacute;e x", "chloereneex", ""),
        // A feed's escaped markup is the page again; a page's is what it shows.
        (Xml, "a<b>&lt;i&gt;Odo</b>c", "aiodoc", "odo"),
        (Xml, "a<b>c</b>&lt;i&gt;Odo", "aciodo", "odo"),
        (Xml, "a<b>Ren&eacute;</b>c", "arenec", ""),
        (Html, "a<b>&lt;i&gt;Odo</b>c", "aiodoc", ""),
        // `b` by its number, as style sheets (CSS Syntax) and as scripts (ECMAScript) have it.
        (Html, "<style>a\\62 c</style>", "", "abc"),
        (Html, "<script>a\\x62c</script>", "", "abc"),
        (Html, "<p style='a\\62 c'>", "", "abca62c"),
        (Html, "<p id='x'style='a\\62 c'>", "", "xabca62c"),
        (Html, "<p hidden style='a\\62 c'>", "", "abca62c"),
    ] {
        assert_eq!(
            letters(kind, file),
            (text.to_owned(), aside.to_owned()),
            "{file}"
        );
    }
    let rows = read(Html, "", "Chloë Ren&eacute;e x");
    assert_eq!(rows[0].from, [0, 1, 2, 3, 4, 7, 8, 9, 10, 18, 20]);
}

#[test]
fn a_page_with_times_is_read_past_them_as_well() {
    use FileKind::{Html, Xml};
    for (kind, file, past) in [
        (Html, "Odo <b>Bran</b>", None),
        (Html, "Odo <time>4:12</time> Bran", Some("|odo bran|")),
        (
            Html,
            "Odo <time>4:<b>1</b>2</time> Bran</time>",
            Some("|odo bran|"),
        ),
        (
            Html,
            "<time>4:12</time>a<time>5:13</time>b<i>c",
            Some("|a~b~c|"),
        ),
        (Html, "a<time>4:12", Some("|a~4.12|")),
        (Xml, "Odo <time>4:12</time> Bran", None),
    ] {
        let rows = read(kind, "", file);
        let past: Vec<String> = past.map(str::to_owned).into_iter().collect();
        let read: Vec<String> = rows[2..].iter().map(shown).collect();
        assert_eq!(read, past, "{file}");
    }
}

#[test]
fn markdown_is_read_as_its_page_shows_it() {
    let text = "> # Odo *Bran*nick &amp; R&D | Ren&eacute;, 4\\.5 [x](y)\n";
    assert_eq!(
        shown(&read_markdown(text)),
        "|odo bran~nick.r.d rene.4.5 x.y|"
    );
}
