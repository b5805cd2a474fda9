//! What is read out of a body, and what is said of it, whole.

use daywork::diagnose::text::{Colour, render_one};
use daywork::diagnose::{Diagnostic, Sources};
use daywork::diary::body;
use daywork::model::Body;
use daywork::pages::markdown::{Blocks, Readers, render};
use daywork::public::view::BodyView;

const FRONT: &str = "---\ntitle: x\n---\n";

fn read(markdown: &str) -> (Body, Vec<Diagnostic>, Sources) {
    let text = format!("{FRONT}{markdown}");
    let mut sources = Sources::default();
    let file = sources.add("jobs/2026/x.md", text.as_str());
    let mut diagnostics = Vec::new();
    let body = body::read(file, &text, FRONT.len(), "jobs/2026/x.md", &mut diagnostics);
    (body, diagnostics, sources)
}

fn told(markdown: &str) -> String {
    let (_, diagnostics, sources) = read(markdown);
    diagnostics
        .iter()
        .map(|d| render_one(d, &sources, Colour::Plain))
        .collect()
}

#[track_caller]
fn check(markdown: &str, expected: &str) {
    assert_eq!(told(markdown), expected);
}

fn public_html(body: &Body) -> String {
    let view = BodyView {
        markdown: body.open.to_string(),
        ..BodyView::default()
    };
    let blocks = Blocks {
        films: &Default::default(),
        readings: "",
        materials: "",
        caution_heading: "Caution",
        readers: Readers::Public,
    };
    render(&view, "", &blocks).html
}

#[test]
fn plain_markdown_is_told_nothing() {
    check("Plain **words**, `a < b`, &lt; and 3 < 4.\n", "");
}

#[test]
fn inline_html_is_told_once_a_tag_at_its_place() {
    check(
        "A <b>bold</b> word and <i>another</i>.\n",
        r#"jobs/2026/x.md, line 4: HTML is not used in a diary: <b>.
    4 | A <b>bold</b> word and <i>another</i>.
      |   ^^^
Write plain Markdown. To show the sign <, write &lt; or put the words between
backticks.                                                      (raw-html)
jobs/2026/x.md, line 4: HTML is not used in a diary: <i>.
    4 | A <b>bold</b> word and <i>another</i>.
      |                        ^^^
Write plain Markdown. To show the sign <, write &lt; or put the words between
backticks.                                                      (raw-html)
"#,
    );
    check(
        "é\t<br>\r\nnext\r\n",
        r#"jobs/2026/x.md, line 4: HTML is not used in a diary: <br>.
    4 | é    <br>
      |      ^^^^
Write plain Markdown. To show the sign <, write &lt; or put the words between
backticks.                                                      (raw-html)
"#,
    );
}

#[test]
fn a_comment_is_pointed_to_a_private_block_and_a_block_of_html_is_told_once() {
    check(
        "<!-- the key is under the stone -->\n\n<div class=\"x\">\n\nwords\n\n</div>\n",
        r#"jobs/2026/x.md, line 4: a comment in HTML is not used in a diary.
    4 | <!-- the key is under the stone -->
      | ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
For a note that readers must not see, write a private block: ```private, the
note, ```.                                                      (raw-html)
jobs/2026/x.md, line 6: HTML is not used in a diary: <div>.
    6 | <div class="x">
      | ^^^^^^^^^^^^^^^
Write plain Markdown. To show the sign <, write &lt; or put the words between
backticks.                                                      (raw-html)
"#,
    );
}

#[test]
fn a_block_of_ours_that_never_ends_is_told_wherever_it_stops() {
    check(
        "```private\nthe key is under the stone\n",
        r#"jobs/2026/x.md, line 4: this block begins and never ends.
    4 | ```private
      | ^^^^^^^^^^
Write its fence again, alone on a line, where the block ends.   (fence-open)
"#,
    );
    check(
        "> ```private\nthe key\n```\n",
        r#"jobs/2026/x.md, line 4: this block begins and never ends.
    4 | > ```private
      |   ^^^^^^^^^^
Write its fence again, alone on a line, where the block ends.   (fence-open)
jobs/2026/x.md, line 6: this block begins and never ends.
    6 | ```
      | ^^^
Write its fence again, alone on a line, where the block ends.   (fence-open)
"#,
    );
}

#[test]
fn a_fence_that_lost_its_end_and_swallowed_a_private_block_is_told_with_both_places() {
    check(
        "text\n\n```\ncode\n\n```private\nthe key\n```\n",
        r#"jobs/2026/x.md, line 6: this block ends only after a private block has begun in it.
    6 | ```
      | ^^^
  line 9: the private block
    9 | ```private
      | ----------
Write its fence again where the block ends. To show such a block as text, fence
it with ~~~~.                                                   (fence-open)
"#,
    );
}

#[test]
fn code_that_runs_to_the_end_of_the_file_is_told_and_code_that_ends_with_its_list_is_not() {
    check(
        "```\ncode\n",
        r#"jobs/2026/x.md, line 4: this block begins and never ends.
    4 | ```
      | ^^^
Write its fence again, alone on a line, where the block ends.   (fence-open)
"#,
    );
    check("- item\n\n  ```text\n  code\n\nafter\n", "");
}

#[test]
fn a_private_block_indented_into_code_is_told() {
    check(
        "    ```private\n    the key\n    ```\n",
        r#"jobs/2026/x.md, line 4: this private block is indented so far that it is only code.
    4 |     ```private
      |     ^^^^^^^^^^
Write its fence no further in than the text round it.           (fence-open)
"#,
    );
}

#[test]
fn a_block_shown_as_text_on_purpose_is_told_nothing() {
    check("~~~~\n```private\nshown on purpose\n```\n~~~~\n", "");
}

#[test]
fn a_slip_near_private_is_an_error_and_near_another_word_a_warning() {
    check(
        "```privat\nthe key\n```\n\n```reading\n```\n\n```python\nx\n```\n",
        r#"jobs/2026/x.md, line 4: privat is not one of the words for a block.
    4 | ```privat
      | ^^^^^^^^^
Write private, or readers would see the block as code.          (unknown-word)
jobs/2026/x.md, line 8: warning: reading is not one of the words for a block.
    8 | ```reading
      | ^^^^^^^^^^
Write readings if that is meant; as it stands, readers see the block as code. (unknown-word)
"#,
    );
}

#[test]
fn a_private_note_on_one_line_is_told() {
    check(
        "```private the key is under the stone```\n",
        r#"jobs/2026/x.md, line 4: readers would see this private note as code.
    4 | ```private the key is under the stone```
      | ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
Write ```private, the note and ``` each on a line of its own.   (unknown-word)
"#,
    );
}

#[test]
fn a_block_of_photos_is_told_line_by_line() {
    check(
        "> ```photos\n> a.jpg\n> B.HEIC: The door\n> the door\n> ../../../a.jpg: x\n> ```\n",
        r#"jobs/2026/x.md, line 5: warning: this picture has no words for those who cannot see it.
    5 | > a.jpg
      |   ^^^^^
Write a colon after the photo's name, and what it shows.        (picture-no-words)
jobs/2026/x.md, line 6: this photo is HEIC, which browsers cannot show.
    6 | > B.HEIC: The door
      |   ^^^^^^^^^^^^^^^^
Export it as JPEG and name that file here. On an iPhone, Settings, Camera,
Formats, Most Compatible saves JPEG from now on.                (photo-heic)
jobs/2026/x.md, line 7: this line names no photo.
    7 | > the door
      |   ^^^^^^^^
Write the photo's file name, a colon, and what it shows: door-open.jpg: The
feeder with its door off.                                       (photo-line)
jobs/2026/x.md, line 8: this path leads out of the diary.
    8 | > ../../../a.jpg: x
      |   ^^^^^^^^^^^^^^^^^
Link to files of the diary only; count how often ../ is written. (broken-link)
"#,
    );
}

#[test]
fn links_that_leave_the_diary_wrongly_are_told_each_with_its_mending() {
    check(
        "[a](../../../x.md) [b](/x.md) [c](javascript:alert) [d]() [e](//example.com) [f](..\\y.md)\n",
        r#"jobs/2026/x.md, line 4: this path leads out of the diary.
    4 | [a](../../../x.md) [b](/x.md) [c](javascript:alert) [d]() [e](//example.com) [f](..\y.md)
      | ^^^^^^^^^^^^^^^^^^
Link to files of the diary only; count how often ../ is written. (broken-link)
jobs/2026/x.md, line 4: this path begins at the root of a machine or a site.
    4 | [a](../../../x.md) [b](/x.md) [c](javascript:alert) [d]() [e](//example.com) [f](..\y.md)
      |                    ^^^^^^^^^^
Write the path from this file's own folder, for example ../2026/name-of-log.md. (broken-link)
jobs/2026/x.md, line 4: a link of the kind javascript: is not used in a diary.
    4 | [a](../../../x.md) [b](/x.md) [c](javascript:alert) [d]() [e](//example.com) [f](..\y.md)
      |                               ^^^^^^^^^^^^^^^^^^^^^
Write an address with https://, mailto: or tel:, or the path of a file of the
diary.                                                          (broken-link)
jobs/2026/x.md, line 4: this link leads nowhere.
    4 | [a](../../../x.md) [b](/x.md) [c](javascript:alert) [d]() [e](//example.com) [f](..\y.md)
      |                                                     ^^^^^
Write the address or the file between the round brackets.       (broken-link)
jobs/2026/x.md, line 4: this web address does not say how to reach it.
    4 | [a](../../../x.md) [b](/x.md) [c](javascript:alert) [d]() [e](//example.com) [f](..\y.md)
      |                                                           ^^^^^^^^^^^^^^^^^^
Write https: in front of it.                                    (broken-link)
jobs/2026/x.md, line 4: this path is written with \ between its folders.
    4 | [a](../../../x.md) [b](/x.md) [c](javascript:alert) [d]() [e](//example.com) [f](..\y.md)
      |                                                                              ^^^^^^^^^^^^
Write / between folders: it is understood on every machine.     (broken-link)
"#,
    );
}

#[test]
fn web_email_and_telephone_links_are_told_nothing() {
    check(
        "[a](https://example.com) [b](mailto:nan@example.com) [c](tel:+441632960123) <nan@example.com>\n",
        "",
    );
}

#[test]
fn pictures_need_words_and_must_be_files_of_the_diary() {
    check(
        "![](d.svg) ![w](p.gif) ![w](https://example.com/p.svg) ![w](data:image/png,x) ![w](../../../d.svg)\n",
        r#"jobs/2026/x.md, line 4: warning: this picture has no words for those who cannot see it.
    4 | ![](d.svg) ![w](p.gif) ![w](https://example.com/p.svg) ![w](data:image/png,x) ![w](../../../d.svg)
      | ^^^^^^^^^^
Write what it shows between the square brackets.                (picture-no-words)
jobs/2026/x.md, line 4: a picture of this kind cannot be shown.
    4 | ![](d.svg) ![w](p.gif) ![w](https://example.com/p.svg) ![w](data:image/png,x) ![w](../../../d.svg)
      |            ^^^^^^^^^^^
Show a photo as JPEG, PNG or WebP, and a drawing as SVG.        (bad-picture)
jobs/2026/x.md, line 4: a picture from another place cannot be shown.
    4 | ![](d.svg) ![w](p.gif) ![w](https://example.com/p.svg) ![w](data:image/png,x) ![w](../../../d.svg)
      |                        ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
Put the picture itself in the diary, or write a link.           (bad-picture)
jobs/2026/x.md, line 4: a picture from another place cannot be shown.
    4 | ![](d.svg) ![w](p.gif) ![w](https://example.com/p.svg) ![w](data:image/png,x) ![w](../../../d.svg)
      |                                                        ^^^^^^^^^^^^^^^^^^^^^^
Put the picture itself in the diary, or write a link.           (bad-picture)
jobs/2026/x.md, line 4: this path leads out of the diary.
    4 | ![](d.svg) ![w](p.gif) ![w](https://example.com/p.svg) ![w](data:image/png,x) ![w](../../../d.svg)
      |                                                                               ^^^^^^^^^^^^^^^^^^^^
Link to files of the diary only; count how often ../ is written. (broken-link)
"#,
    );
}

#[test]
fn a_link_to_a_heading_that_is_not_there_names_the_nearest_or_all() {
    check(
        "# The long run\n\n[a](#the-long-run) [b](#the-long-rum) [c](#tide)\n",
        r#"jobs/2026/x.md, line 6: warning: there is no heading #the-long-rum on this page.
    6 | [a](#the-long-run) [b](#the-long-rum) [c](#tide)
      |                    ^^^^^^^^^^^^^^^^^^
Write #the-long-run.                                            (broken-anchor)
jobs/2026/x.md, line 6: warning: there is no heading #tide on this page.
    6 | [a](#the-long-run) [b](#the-long-rum) [c](#tide)
      |                                       ^^^^^^^^^^
Its headings are #the-long-run.                                 (broken-anchor)
"#,
    );
    check(
        "[a](#x)\n",
        r#"jobs/2026/x.md, line 4: warning: there is no heading #x on this page.
    4 | [a](#x)
      | ^^^^^^^
The page has no headings to link to.                            (broken-anchor)
"#,
    );
}

#[test]
fn what_stands_in_blocks_of_ours_is_looked_at_too_and_told_at_its_own_line() {
    check(
        "- one\n- ```caution\n  <b>\n  ```\n\n> ```private\n> [x](nowhere\\y)\n> ```\n",
        r#"jobs/2026/x.md, line 6: HTML is not used in a diary: <b>.
    6 |   <b>
      |   ^^^
Write plain Markdown. To show the sign <, write &lt; or put the words between
backticks.                                                      (raw-html)
jobs/2026/x.md, line 10: this path is written with \ between its folders.
    10 | > [x](nowhere\y)
       |   ^^^^^^^^^^^^^^
Write / between folders: it is understood on every machine.     (broken-link)
"#,
    );
}

#[test]
fn a_private_block_is_taken_out_and_every_other_byte_keeps_its_place() {
    let markdown =
        "Before\r\n\r\n```Private for me\r\nthe key is under the stöne\r\n```\r\n\r\nafter\r\n";
    let (body, diagnostics, _) = read(markdown);
    assert_eq!(diagnostics, []);
    assert_eq!(body.start as usize, FRONT.len());
    assert_eq!(
        &*body.open,
        format!(
            "Before\r\n\r\n{}\r\n{}\r\n   \r\n\r\nafter\r\n",
            " ".repeat(17),
            " ".repeat(27)
        )
    );
    assert_eq!(body.private.len(), 1);
    assert_eq!(
        body.private[0].text.in_office(),
        "the key is under the stöne\n"
    );
    let span = body.private[0].span;
    let at = |byte: u32| byte as usize - FRONT.len();
    assert!(markdown[at(span.start)..at(span.end)].starts_with("```Private"));
    assert!(markdown[at(span.start)..at(span.end)].ends_with("```"));
}

#[test]
fn without_private_blocks_the_open_text_is_the_whole() {
    let (body, _, _) = read("words\n");
    assert_eq!((&*body.open, body.private.len()), ("words\n", 0));
    let (body, diagnostics, _) = read("");
    assert_eq!((&*body.open, diagnostics.len()), ("", 0));
}

#[test]
fn no_private_word_is_left_wherever_the_block_stands_and_the_text_round_it_stays() {
    let places = [
        ("before\n", "", "", "after\n"),
        ("before\n\n", "", "", "\nafter\n"),
        ("- before\n", "  ", "  ", "  after\n- next\n"),
        ("- ", "", "  ", "  after\n- next\n"),
        ("before\n\n1.  ", "", "    ", "    after\n2.  next\n"),
        ("> before\n", "> ", "> ", "> after\n"),
        ("> - ", "", ">   ", ">   after\n"),
        ("- > before\n", "  > ", "  > ", "  > after\n"),
        ("before[^1]\n\n[^1]: ", "", "    ", "    after\n"),
        ("-\t", "", "\t", "\tafter\n"),
    ];
    for (before, first, rest, after) in places {
        for fence in ["```", "~~~~"] {
            for end in ["\n", "\r\n", "\r"] {
                let lines = format!(
                    "{first}{fence}private secret\n{rest}a secret\n{rest}\n{rest}> secret\n{rest}{fence}\n"
                );
                let markdown = format!("{before}{lines}{after}").replace('\n', end);
                let (body, diagnostics, _) = read(&markdown);
                assert_eq!(diagnostics, [], "{markdown:?}");
                assert_eq!(body.open.len(), markdown.len(), "{markdown:?}");
                assert!(
                    !body.open.contains("secret"),
                    "{markdown:?} gives {:?}",
                    body.open
                );
                assert!(
                    !body.open.contains("private"),
                    "{markdown:?} gives {:?}",
                    body.open
                );
                assert_eq!(
                    body.private[0].text.in_office(),
                    "a secret\n\n> secret\n",
                    "{markdown:?}"
                );
                let html = public_html(&body);
                assert!(
                    html.contains("after") && !html.contains("<pre"),
                    "{markdown:?} gives {html}"
                );
                let kept = |mark: &str, tag: &str| {
                    !before.contains(mark) || html.matches(tag).count() == 1
                };
                assert!(kept(">", "<blockquote>"), "{markdown:?} gives {html}");
                assert!(
                    kept("-", "<ul>") && kept("1.", "<ol>"),
                    "{markdown:?} gives {html}"
                );
            }
        }
    }
}

#[test]
fn links_and_pictures_are_listed_with_path_heading_and_place() {
    let markdown = "[a](../2025/y.md#the-run) ![w](x/dr%20a.svg)\n\n## Run {#run}\n\n## Run\n\n[here](#run)\n\n\
        > ```private\n> [p](z.md)\n> ```\n\n```caution\n- [c](c.md)\n```\n";
    let (body, diagnostics, _) = read(markdown);
    assert_eq!(diagnostics, []);
    assert_eq!(body.anchors, ["run", "run-2"]);
    let listed: Vec<String> = body
        .links
        .iter()
        .map(|link| {
            let at = |byte: u32| byte as usize - FRONT.len();
            format!(
                "{} | {} | {:?} | picture {} | private {} | {}",
                link.written,
                link.path,
                link.anchor,
                link.picture,
                link.private,
                &markdown[at(link.span.start)..at(link.span.end)]
            )
        })
        .collect();
    assert_eq!(
        listed,
        [
            "../2025/y.md#the-run | jobs/2025/y.md | Some(\"the-run\") | picture false | private false | [a](../2025/y.md#the-run)",
            "x/dr%20a.svg | jobs/2026/x/dr a.svg | None | picture true | private false | ![w](x/dr%20a.svg)",
            "#run |  | Some(\"run\") | picture false | private false | [here](#run)",
            "z.md | jobs/2026/z.md | None | picture false | private true | [p](z.md)",
            "c.md | jobs/2026/c.md | None | picture false | private false | [c](c.md)",
        ]
    );
}

#[test]
fn a_byte_order_mark_before_a_body_without_front_matter_is_passed_over() {
    let text = "\u{feff}# Title\n";
    let mut sources = Sources::default();
    let file = sources.add("guides/x.md", text);
    let body = body::read(file, text, 0, "guides/x.md", &mut Vec::new());
    assert_eq!((body.start, &*body.open), (3, "# Title\n"));
    assert_eq!(body.anchors, ["title"]);
}

#[test]
fn the_first_heading_gives_its_words_and_its_place() {
    let heading = |text: &str| {
        let file = Sources::default().add("guides/x.md", text);
        body::first_heading(file, text, 0).map(|title| {
            let span = title.span;
            (
                title.value,
                text[span.start as usize..span.end as usize].to_owned(),
            )
        })
    };
    let found = |title: &str, place: &str| Some((title.to_owned(), place.to_owned()));
    assert_eq!(
        heading("\u{feff}# Proving *dead* {#x}\r\n\r\nwords\r\n"),
        found("Proving dead", "# Proving *dead* {#x}")
    );
    assert_eq!(
        heading("words\n\nTwo\nlines\n---\n# Next\n"),
        found("Two lines", "Two\nlines\n---")
    );
    assert_eq!(
        heading("```private\n# Not this\n```\n## This\n"),
        found("This", "## This")
    );
    assert_eq!(heading("#\n"), None);
    assert_eq!(heading("words\n"), None);
}

#[test]
fn a_tag_in_a_private_block_is_a_word_like_any_other() {
    let (_, diagnostics, _) = read("```private\nthe <b>key</b>\n\n<div>\n```\n");
    assert_eq!(diagnostics, []);
}
