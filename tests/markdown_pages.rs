//! What a page makes of a body, whole.

use daywork::pages::markdown::{Blocks, Heading, Readers, Rendered, render};
use daywork::public::view::{BodyView, Picture, PictureSize};

fn page_for(markdown: &str, readers: Readers) -> Rendered {
    let picture = Picture {
        link: "write-ups/x/d.svg".to_owned(),
        width: Some(640),
        height: Some(300),
        sizes: Vec::new(),
    };
    let photo = |number: usize| Picture {
        link: format!("write-ups/x/photo-{number}-800.jpg"),
        width: Some(1000),
        height: Some(750),
        sizes: [480, 1000]
            .map(|width| PictureSize {
                link: format!("write-ups/x/photo-{number}-{width}.jpg"),
                width,
            })
            .into(),
    };
    let body = BodyView {
        markdown: markdown.to_owned(),
        links: [("y.md#run".to_owned(), "write-ups/y/#run".to_owned())].into(),
        pictures: [
            ("d.svg".to_owned(), picture),
            ("x/a.jpg".to_owned(), photo(1)),
            ("photos: a.jpg".to_owned(), photo(1)),
            ("photos: b.jpg".to_owned(), photo(2)),
        ]
        .into(),
        film: None,
        films: Default::default(),
    };
    let blocks = Blocks {
        films: &Default::default(),
        readings: "<table>readings</table>",
        materials: "",
        caution_heading: "Caution",
        readers,
    };
    render(&body, "../../", &blocks)
}

#[track_caller]
fn check(markdown: &str, expected: &str) {
    assert_eq!(page_for(markdown, Readers::Public).html, expected);
}

#[test]
fn an_empty_body_gives_nothing() {
    assert_eq!(page_for("", Readers::Public), Rendered::default());
}

#[test]
fn the_first_paragraph_leads_and_no_other_does() {
    check(
        "- a\n\n  b\n\nfirst\n\nsecond\n",
        "<ul>\n<li>\n<p>a</p>\n<p>b</p>\n</li>\n</ul>\n<p class=\"lead\">first</p>\n<p>second</p>\n",
    );
}

#[test]
fn links_lead_below_the_root_or_away_and_others_are_only_words() {
    check(
        "[a](y.md#run \"t\") [b](https://example.com/?a=1&b=2) [c](z.md) [d](javascript:alert%281%29) [e](#x) <nan@example.com>\n",
        "<p class=\"lead\"><a href=\"../../write-ups/y/#run\" title=\"t\">a</a> \
         <a href=\"https://example.com/?a=1&amp;b=2\" rel=\"noopener\">b</a> c d <a href=\"#x\">e</a> \
         <a href=\"mailto:nan@example.com\">nan@example.com</a></p>\n",
    );
}

#[test]
fn a_picture_alone_is_a_figure_and_in_a_line_it_is_a_picture() {
    check(
        "![a *\"b\"*](d.svg 'One & two')\n\nsee ![a](d.svg) and ![lost](e.svg)\n",
        "<figure class=\"photo\"><img src=\"../../write-ups/x/d.svg\" alt=\"a &quot;b&quot;\" width=\"640\" height=\"300\" \
         decoding=\"async\" /><figcaption>One &amp; two</figcaption></figure>\n\
         <p class=\"lead\">see <img src=\"../../write-ups/x/d.svg\" alt=\"a\" width=\"640\" height=\"300\" \
         decoding=\"async\" /> and lost</p>\n",
    );
}

#[test]
fn a_photo_comes_in_its_sizes_and_all_but_the_first_wait() {
    check(
        "![A *door*](x/a.jpg \"Pontoon C\")\n\n![A door](x/a.jpg)\n",
        "<figure class=\"photo\"><img src=\"../../write-ups/x/photo-1-800.jpg\" \
         srcset=\"../../write-ups/x/photo-1-480.jpg 480w, ../../write-ups/x/photo-1-1000.jpg 1000w\" \
         sizes=\"(min-width: 40rem) 36rem, 94vw\" alt=\"A door\" width=\"1000\" height=\"750\" decoding=\"async\" />\
         <figcaption>Pontoon C</figcaption></figure>\n\
         <figure class=\"photo\"><img src=\"../../write-ups/x/photo-1-800.jpg\" \
         srcset=\"../../write-ups/x/photo-1-480.jpg 480w, ../../write-ups/x/photo-1-1000.jpg 1000w\" \
         sizes=\"(min-width: 40rem) 36rem, 94vw\" loading=\"lazy\" alt=\"A door\" width=\"1000\" height=\"750\" \
         decoding=\"async\" /></figure>\n",
    );
}

#[test]
fn before_and_after_are_one_figure_and_what_is_not_there_leaves_its_words() {
    check(
        "```photos\nbefore: a.jpg: \"Wet\"\nafter: b.jpg: Dry & shut\ncaption: <Three weeks>\nlost.jpg: A door\n```\n",
        "<figure class=\"photo pair\"><div><p class=\"label\">Before</p>\
         <img src=\"../../write-ups/x/photo-1-800.jpg\" \
         srcset=\"../../write-ups/x/photo-1-480.jpg 480w, ../../write-ups/x/photo-1-1000.jpg 1000w\" \
         sizes=\"(min-width: 40rem) 18rem, 94vw\" alt=\"&quot;Wet&quot;\" width=\"1000\" height=\"750\" decoding=\"async\" /></div>\
         <div><p class=\"label\">After</p><img src=\"../../write-ups/x/photo-2-800.jpg\" \
         srcset=\"../../write-ups/x/photo-2-480.jpg 480w, ../../write-ups/x/photo-2-1000.jpg 1000w\" \
         sizes=\"(min-width: 40rem) 18rem, 94vw\" loading=\"lazy\" alt=\"Dry &amp; shut\" width=\"1000\" height=\"750\" \
         decoding=\"async\" /></div><figcaption>&lt;Three weeks&gt;</figcaption></figure>\n\
         <figure class=\"photo\"><p>A door</p></figure>\n",
    );
}

#[test]
fn headings_move_down_only_where_the_body_has_a_first_level_one() {
    let heading = |level, id: &str, text: &str| Heading {
        level,
        id: id.to_owned(),
        text: text.to_owned(),
    };
    let with = page_for("# One `a`\n\n## Two {#b .x onclick=y}\n", Readers::Public);
    assert_eq!(
        with.html,
        "<h2 id=\"one-a\">One <code>a</code></h2>\n<h3 id=\"b\">Two</h3>\n"
    );
    assert_eq!(
        with.headings,
        [heading(2, "one-a", "One a"), heading(3, "b", "Two")]
    );
    let without = page_for("## One\n\n## One\n", Readers::Public);
    assert_eq!(
        without.headings,
        [heading(2, "one", "One"), heading(2, "one-2", "One")]
    );
}

#[test]
fn a_table_can_be_scrolled_by_keyboard_and_says_what_it_holds() {
    check(
        "| Circuit | Zs |\n|---|--:|\n| \"A\" | 0.92 |\n\n| a |\n|---|\n",
        "<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"Table: Circuit, Zs\">\n<table>\n<thead>\n\
         <tr><th scope=\"col\">Circuit</th><th scope=\"col\" class=\"num\">Zs</th></tr>\n</thead>\n<tbody>\n\
         <tr><td>&quot;A&quot;</td><td class=\"num\">0.92</td></tr>\n</tbody>\n</table>\n</div>\n\
         <div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"Table 2: a\">\n<table>\n<thead>\n\
         <tr><th scope=\"col\">a</th></tr>\n</thead>\n</table>\n</div>\n",
    );
}

#[test]
fn notes_are_numbered_as_mentioned_and_linked_both_ways() {
    check(
        "x[^b] y[^a] z[^B]\n\n[^a]: first *a*\n[^b]:\n    ```\n    code\n    ```\n[^c]: unmentioned\n",
        "<p class=\"lead\">x<sup class=\"note-mark\"><a href=\"#foot.1\" id=\"foot.1.from.1\" role=\"doc-noteref\" aria-label=\"Note 1\">1</a></sup> \
         y<sup class=\"note-mark\"><a href=\"#foot.2\" id=\"foot.2.from.1\" role=\"doc-noteref\" aria-label=\"Note 2\">2</a></sup> \
         z<sup class=\"note-mark\"><a href=\"#foot.1\" id=\"foot.1.from.2\" role=\"doc-noteref\" aria-label=\"Note 1\">1</a></sup></p>\n\
         <section class=\"notes\" role=\"doc-endnotes\" aria-label=\"Notes\">\n<ol>\n\
         <li id=\"foot.1\">\n<pre tabindex=\"0\"><code>code\n</code></pre>\n\
         <p><a class=\"note-back\" href=\"#foot.1.from.1\" role=\"doc-backlink\" aria-label=\"Back to where note 1 is mentioned\">Back</a> \
         <a class=\"note-back\" href=\"#foot.1.from.2\" role=\"doc-backlink\" aria-label=\"Back 2 to where note 1 is mentioned\">Back 2</a></p>\n</li>\n\
         <li id=\"foot.2\">\n<p>first <em>a</em> \
         <a class=\"note-back\" href=\"#foot.2.from.1\" role=\"doc-backlink\" aria-label=\"Back to where note 2 is mentioned\">Back</a></p>\n</li>\n\
         <li id=\"foot.3\">\n<p>unmentioned</p>\n</li>\n</ol>\n</section>\n",
    );
}

#[test]
fn tasks_are_boxes_that_say_their_words() {
    check(
        "- [x] prove **dead**\n- [ ] label\n",
        "<ul>\n<li><input type=\"checkbox\" disabled checked aria-label=\"prove dead\" /> prove <strong>dead</strong></li>\n\
         <li><input type=\"checkbox\" disabled aria-label=\"label\" /> label</li>\n</ul>\n",
    );
}

#[test]
fn html_is_shown_as_typed_and_never_passed_on() {
    check(
        "a <b onclick=\"x\">b</b>\n\n<script>\nalert('1')\n</script>\n\n`<i>`\n",
        "<p class=\"lead\">a &lt;b onclick=&quot;x&quot;&gt;b&lt;/b&gt;</p>\n\
         <p>&lt;script&gt;\nalert(&#39;1&#39;)\n&lt;/script&gt;</p>\n<p><code>&lt;i&gt;</code></p>\n",
    );
}

#[test]
fn quotation_marks_and_tildes_stay_as_typed() {
    check(
        "\"a\" -- b... H~2~O ~~gone~~ 4 mm^2^\n",
        "<p class=\"lead\">&quot;a&quot; -- b... H~2~O <del>gone</del> 4 mm^2^</p>\n",
    );
}

#[test]
fn a_caution_block_is_a_tag_with_names_in_words() {
    let page = page_for(
        "```caution\ncharged-cable\n- Mind the **dog**.\n```\n\n```caution\nWords.\n```\n",
        Readers::Public,
    );
    assert_eq!(
        page.html,
        "<section class=\"tag\"><h2 id=\"h-caution\">Caution</h2>\n<ul>\n\
         <li>Cable stays charged after an insulation test. Let the instrument discharge it before touching the ends.</li>\n\
         <li>Mind the <strong>dog</strong>.</li>\n</ul>\n</section>\n\
         <section class=\"tag\"><h2 id=\"h-caution-2\">Caution</h2>\n<p>Words.</p>\n</section>\n"
    );
    assert!(page.has_caution);
    assert!(!page_for("words\n", Readers::Public).has_caution);
}

#[test]
fn readings_and_materials_take_their_places() {
    check(
        "a\n\n```readings\n```\n\n```materials\n```\n",
        "<p class=\"lead\">a</p>\n<table>readings</table>\n",
    );
}

#[test]
fn a_private_block_is_for_the_office_alone() {
    for typed in ["private", "Private", "privat"] {
        let markdown = format!("a\n\n```{typed}\n# the *key*\n```\n");
        assert_eq!(
            page_for(&markdown, Readers::Public).html,
            "<p class=\"lead\">a</p>\n"
        );
        let office = page_for(&markdown, Readers::Office);
        assert_eq!(
            office.html,
            "<p class=\"lead\">a</p>\n<aside class=\"private\" aria-label=\"Private\">\n<p class=\"label\">Private</p>\n\
             <h3>the <em>key</em></h3>\n</aside>\n"
        );
        assert_eq!(office.headings, []);
    }
}

#[test]
fn finished_markup_in_a_list_begins_on_its_own_line() {
    check(
        "- a\n  ```text\n  x\n  ```\n",
        "<ul>\n<li>a\n<pre tabindex=\"0\"><code class=\"language-text\">x\n</code></pre>\n</li>\n</ul>\n",
    );
}
