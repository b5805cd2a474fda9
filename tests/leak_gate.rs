//! The leak gate: every private thing is found in every disguise, and nothing else is.

mod common;
#[path = "leak_gate/edges.rs"]
mod edges;

use common::{gate_faults, settings};
use daywork::diagnose::Sources;
use daywork::diary::read_files;
use daywork::model::Diary;
use daywork::public::{FileKind, Gate, PublicFile};
use proptest::prelude::*;

/// What this diary's settings add to the usual ones.
const DIARY: &str = "\
locations: {boat-shed: Boat shed}
tasks:
  shore-point: {name: Change a shore-power outlet, unit: each}
keep_private: [key safe, spare key]
";

const CLIENTS: &str = "\
tarrow-slip:
  name: Tarrow Slip
  contact: Odo Brannick
  address: Flat 9, 27 Hawser Street, Quern Cottage, 5 Ropewalk, Wrack Head
  town: Wrack Head
  postcode: ZZ99 1TS
  phone: 07700 900118
  email: yard@example.com
  role: yard manager
  allow: [slip]
hall:
  name: Dunnage & Fairlead Ltd
  contact: Mrs Tolvane
rose:
  name: Rose
  contact: José O'Hara-Penn
  allow: [rose]
short:
  name: The Tar Pot
";

const JOB: &str = "\
---
title: Two shore-power outlets
ref: 2026-031
location: boat-shed
client: tarrow-slip
place: Shed 3, Long Pontoon, Slip
visits:
  - {date: 2026-03-02, from: 18:10, to: 19:25, tasks: [{task: shore-point, time: 1h}]}
findings:
  - {what: Casing smashed, code: C1, done: locked off, told: {who: Wenna Haldrick, on: 2026-03-02, how: in person}}
  - {what: Chart missing, code: C3, told: {who: yard manager, on: 2026-03-02, how: by email}}
publish: 2026-03-20
---
The yard rang.

```private
Gate chain code as before. Dog is loose! Ring
first.
```
";

fn read() -> (Diary, Sources) {
    let settings = settings(DIARY);
    let files = [
        ("diary.yaml", settings.as_str()),
        ("clients.yaml", CLIENTS),
        ("jobs/2026/slip.md", JOB),
    ];
    let read = read_files(
        files
            .iter()
            .map(|(path, text)| ((*path).to_owned(), text.as_bytes().to_vec()))
            .collect(),
    );
    (read.diary, read.sources)
}

fn gate() -> Gate {
    let (diary, sources) = read();
    Gate::new(&diary, &sources)
}

fn leaks(gate: &Gate, kind: FileKind, path: &str, text: &str) -> Vec<String> {
    let file = PublicFile {
        path,
        kind,
        bytes: text.as_bytes(),
    };
    gate.check(&file)
        .iter()
        .map(|leak| leak.owner.to_string())
        .collect()
}

fn in_html(gate: &Gate, text: &str) -> Vec<String> {
    leaks(
        gate,
        FileKind::Html,
        "write-ups/x/index.html",
        &format!("<p>{text}</p>"),
    )
}

#[test]
fn each_private_thing_is_found_as_the_table_says() {
    let gate = gate();
    for (text, owner) in [
        // Names: whole in any case, the last word as written.
        ("told odo brannick of it", "client tarrow-slip, contact"),
        ("ODO BRANNICK", "client tarrow-slip, contact"),
        ("rang Brannick.", "client tarrow-slip, contact"),
        ("Brannick’s boat", "client tarrow-slip, contact"),
        ("at tarrow slip", "client tarrow-slip, name"),
        ("dunnage & fairlead ltd", "client hall, name"),
        ("Dunnage and Fairlead", "client hall, name"),
        ("the Fairlead order", "client hall, name"),
        ("the tar pot", "client short, name"),
        ("mrs tolvane", "client hall, contact"),
        ("tolvane", "client hall, contact"),
        ("jose o’hara-penn", "client rose, contact"),
        ("O'Hara-Penn", "client rose, contact"),
        ("wenna haldrick", "jobs/2026/slip.md, told"),
        ("Haldrick", "jobs/2026/slip.md, told"),
        // Addresses and places: each part of two words or more, with and without its number.
        ("27 hawser street", "client tarrow-slip, address"),
        ("in HAWSER STREET", "client tarrow-slip, address"),
        ("28 Hawser Street", "client tarrow-slip, address"),
        ("quern cottage", "client tarrow-slip, address"),
        ("5 ropewalk", "client tarrow-slip, address"),
        ("the long pontoon", "jobs/2026/slip.md, place"),
        // Postcode and phone: any case, spaces or none.
        ("zz99 1ts", "client tarrow-slip, postcode"),
        ("ZZ991TS", "client tarrow-slip, postcode"),
        ("07700 900118", "client tarrow-slip, phone"),
        ("07700900118", "client tarrow-slip, phone"),
        ("07700-900-118", "client tarrow-slip, phone"),
        ("(07700) 900 118", "client tarrow-slip, phone"),
        ("+44 7700 900118", "client tarrow-slip, phone"),
        ("+44 (0)7700 900118", "client tarrow-slip, phone"),
        ("0044 7700 900118", "client tarrow-slip, phone"),
        // Mail, words kept private, private blocks.
        ("YARD@Example.com", "client tarrow-slip, email"),
        ("the Key Safe", "diary.yaml, keep_private"),
        (
            "gate chain code as before",
            "jobs/2026/slip.md, private block",
        ),
        ("Dog is loose", ""),
        (
            "Gate chain code, as before",
            "jobs/2026/slip.md, private block",
        ),
    ] {
        let found = in_html(&gate, text);
        if owner.is_empty() {
            assert_eq!(found, Vec::<String>::new(), "{text}");
        } else {
            assert!(found.iter().any(|o| o == owner), "{text}: {found:?}");
        }
    }
}

#[test]
fn what_the_table_leaves_alone_is_left_alone() {
    let gate = gate();
    for text in [
        // The last word in another case, inside another word, too short, or allowed.
        "a brannick",
        "BRANNICK",
        "Brannicks",
        "McBrannick",
        "Odo",
        "Slip",
        "slip",
        "a Pot of tea",
        "rosewood and Rosewater",
        "a ceiling Rose and a rose",
        "Penn",
        "Ltd",
        "Mrs",
        // Units, single words, towns.
        "Flat 9",
        "Shed 3",
        "27",
        "Ropewalk",
        "Hawser",
        "Street",
        "at Wrack Head",
        // Roles.
        "told the yard manager",
        // Words in a row that only seem to be one phrase.
        "turn the key. Safe isolation",
        "the key, safe",
        "the key - safe",
        // Near numbers and near mail.
        "07700 900119",
        "107700 9001181",
        "boatyard@example.com",
        "old.yard@example.com",
        // Short sentences of a private block.
        "Ring first.",
        // The trader's own.
        "Nan Tregarrow, 01632 960123, nan@example.com",
        "",
    ] {
        assert_eq!(in_html(&gate, text), Vec::<String>::new(), "{text}");
    }
}

#[test]
fn no_coat_hides_a_name() {
    let gate = gate();
    let owner = "client tarrow-slip, contact";
    let html = FileKind::Html;
    for (kind, text) in [
        (html, "<p>Od<b>o Brannick</b></p>"),
        (html, "<p>Odo<br>Brannick</p>"),
        (html, "<span>odo</span><span>brannick</span>"),
        (html, "<div>odo</div><div>brannick</div>"),
        (html, "<p>odo bran<wbr>nick"),
        (html, "<p>odo bran&shy;nick"),
        (html, "<p>odo bran\u{ad}nick"),
        (html, "<p>odo\u{200b}bran\u{200d}nick"),
        (html, "<p>odo bran\u{feff}nick"),
        (html, "<p>odo&nbsp;brannick"),
        (html, "<p>odo&#160;&#98;rannick"),
        (html, "<p>odo&#xA0;&#x62rannick"),
        (
            html,
            "<p>odo&NonBreakingSpace;bra&nfr;nick odo&Tab;brannick",
        ),
        (html, "<p>odo\r\n\t brannick"),
        (html, "<p>odo\u{2003}brannick"),
        (html, "<p>odo<!-- x -->brannick"),
        (html, "<p>odo bran<!-- x -->nick"),
        (html, "<p>odo<!-- <i class=x> -->brannick"),
        (html, "<p>odo <i title='<b lang=x>'>brannick"),
        (html, "<!-- odo brannick -->"),
        (html, "<!-- <b>odo</b> brannick -->"),
        (html, "<p>ódo bránnick"),
        (html, "<p>o\u{301}do bra\u{301}nnick"),
        (html, "<p>Ｏｄｏ Ｂｒａｎｎｉｃｋ"),
        (html, "<p title='odo brannick'>"),
        (html, "<p title=\"odo &#98;rannick\">"),
        (html, "<img alt=\"odo\nbrannick\">"),
        (
            html,
            "<meta name=description content='the boat of odo brannick'>",
        ),
        (html, "<a aria-label='odo brannick'>"),
        (html, "<a href='/x/odo-brannick/'>"),
        (html, "<a href='/x/odo%20brannick/'>"),
        (html, "<a href='?q=odo+brannick'>"),
        (html, "<a href='?q=%6fdo_brannick'>"),
        (html, "<a id=odo-brannick>"),
        (html, "<p data-x='odo brannick"),
        (html, "<p style=\"content:'odo\\20 brannick'\">"),
        (
            html,
            "<style>p::after{content:\"odo \" \"brannick\"}</style>",
        ),
        (
            html,
            "<style>p::after{content:\"odo\\a0 \\62rannick\"}</style>",
        ),
        (html, "<script>var a=\"odo \\u0062rannick\"</script>"),
        (html, "<script>var a='odo bran'+'nick'</script>"),
        (
            html,
            "<script type=application/ld+json>{\"name\":\"odo brannick\"}</script>",
        ),
        (
            html,
            "<iframe srcdoc='&lt;b&gt;odo&lt;/b&gt; &amp;#98;rannick'>",
        ),
        (
            html,
            "<svg><text><tspan>odo bran</tspan>\n  <tspan>nick</tspan></text></svg>",
        ),
        (html, "<h1>odo</h1>\n<p>brannick</p>"),
        (html, "<title>odo brannick"),
        (html, "<![CDATA[odo brannick]]>"),
        (html, "<p>odo brannick <"),
        (FileKind::Xml, "<title>odo brannick</title>"),
        (
            FileKind::Xml,
            "<content type='html'>&lt;p&gt;odo bran&lt;b&gt;nick&lt;/b&gt;</content>",
        ),
        (
            FileKind::Xml,
            "<content type='html'>odo&amp;nbsp;brannick</content>",
        ),
        (
            FileKind::Xml,
            "<content><![CDATA[<i>od</i>o brannick]]></content>",
        ),
        (
            FileKind::Xml,
            "<loc>https://example.com/write-ups/odo-brannick/</loc>",
        ),
        (FileKind::Json, r#"{"t":"odo brannick"}"#),
        (FileKind::Json, r#"{"t":"odo\u00a0\u0062rannick"}"#),
        (FileKind::Json, r#"{"t":"odo\nbrannick"}"#),
        (FileKind::Json, r#"{"odo brannick":1}"#),
        (FileKind::Json, r#"["<b>odo</b> bran<i>nick</i>"]"#),
        (FileKind::Json, r#"["odo &#98;rannick"]"#),
        (FileKind::Json, r#"["/x/odo-brannick/"]"#),
        (
            FileKind::Svg,
            "<svg><text><tspan>odo bran</tspan>\n<tspan x='4'>nick</tspan></text></svg>",
        ),
        (
            FileKind::Svg,
            "<svg><text>o</text> <text>d</text> <text>o</text> <text>brannick</text></svg>",
        ),
        (FileKind::Svg, "<svg><title>odo brannick</title></svg>"),
        (
            FileKind::Svg,
            "<svg><desc>x</desc><g inkscape:label='odo brannick'/></svg>",
        ),
        (FileKind::Css, "p::after{content:'odo \\000062rannick'}"),
        (FileKind::Css, "/* odo brannick */"),
        (FileKind::Script, "a(\"odo \\x62rannick\")"),
        (FileKind::Text, "for odo\nbrannick"),
        (FileKind::Text, "see /odo%20brannick/"),
    ] {
        let found = leaks(&gate, kind, "x/index.html", text);
        assert!(
            found.iter().any(|o| o == owner),
            "{kind:?} {text}: {found:?}"
        );
    }
}

#[test]
fn a_path_is_searched_like_a_page() {
    let gate = gate();
    for path in [
        "write-ups/odo-brannick/index.html",
        "write-ups/x/odo_brannick.svg",
        "write-ups/27-hawser-street/index.html",
        "write-ups/x/quern%20cottage.svg",
        "how-tos/key-safe/index.html",
    ] {
        assert!(
            !leaks(&gate, FileKind::Other, path, "").is_empty(),
            "{path}"
        );
    }
    assert_eq!(
        leaks(&gate, FileKind::Other, "write-ups/slip/index.html", "").len(),
        0
    );
}

#[test]
fn one_hit_never_hides_another() {
    let gate = gate();
    let found = in_html(
        &gate,
        "Odo Brannick of 27 Hawser Street and tarrow slip key safe",
    );
    for owner in [
        "client tarrow-slip, contact",
        "client tarrow-slip, address",
        "client tarrow-slip, name",
        "diary.yaml, keep_private",
    ] {
        assert!(found.iter().any(|o| o == owner), "{owner}: {found:?}");
    }
    // Both the whole name and its last word.
    assert_eq!(
        found
            .iter()
            .filter(|o| *o == "client tarrow-slip, contact")
            .count(),
        2
    );
}

#[test]
fn values_that_only_stand_beside_each_other_are_not_read_as_one() {
    let gate = gate();
    for (kind, text) in [
        (FileKind::Json, r#"["key","safe"]"#),
        (FileKind::Html, "<a title='the key' lang='safe'>"),
    ] {
        assert_eq!(
            leaks(&gate, kind, "x", text),
            Vec::<String>::new(),
            "{text}"
        );
    }
}

#[test]
fn a_client_who_shares_the_traders_name_does_not_stop_the_site() {
    let clients = "a:\n  name: Piran Tregarrow\n  contact: Nan Tregarrow\n  phone: 01632 960123\n";
    let settings = settings(DIARY);
    let files = [("diary.yaml", settings.as_str()), ("clients.yaml", clients)];
    let read = read_files(
        files
            .iter()
            .map(|(p, t)| ((*p).to_owned(), t.as_bytes().to_vec()))
            .collect(),
    );
    let gate = Gate::new(&read.diary, &read.sources);
    assert_eq!(
        in_html(
            &gate,
            "Nan Tregarrow <a href='tel:+441632960123'>01632 960123</a>"
        ),
        Vec::<String>::new()
    );
    assert_eq!(in_html(&gate, "Piran Tregarrow"), ["client a, name"]);
}

#[test]
fn the_digest_changes_with_the_words_and_with_nothing_else() {
    let (diary, sources) = read();
    let before = Gate::new(&diary, &sources).digest();
    assert_eq!(before, Gate::new(&diary, &sources).digest());
    let mut other = diary.clone();
    other.jobs[0].title.value = "Another title".to_owned();
    assert_eq!(before, Gate::new(&other, &sources).digest());
    other.clients.remove("hall");
    assert_ne!(before, Gate::new(&other, &sources).digest());
}

#[test]
fn a_diary_with_nothing_private_lets_everything_through() {
    let read = read_files(vec![]);
    let gate = Gate::new(&read.diary, &read.sources);
    assert!(!gate.holds("Odo Brannick"));
    assert_eq!(in_html(&gate, "Odo Brannick"), Vec::<String>::new());
}

#[test]
fn a_leak_is_told_at_the_line_that_made_it() {
    let (diary, _) = read();
    let job = JOB.replace(
        "The yard rang.",
        "The yard rang.\n\nOdo\n*Brannick* had a boat.",
    );
    let files = [
        ("diary.yaml", settings(DIARY)),
        ("clients.yaml", CLIENTS.to_owned()),
        ("jobs/2026/slip.md", job),
    ];
    let read = read_files(
        files
            .into_iter()
            .map(|(p, t)| (p.to_owned(), t.into_bytes()))
            .collect(),
    );
    let gate = Gate::new(&read.diary, &read.sources);
    let file = read.diary.jobs[0].file;
    drop(diary);
    let page = b"<p>Odo <em>Brannick</em> had a boat.</p>";
    let faults = gate_faults(
        &gate,
        "write-ups/x/index.html",
        page,
        Some(file),
        &read.sources,
    );
    let expected = "\
jobs/2026/slip.md, line 16: the page write-ups/x/ would show Odo Brannick, the contact of client tarrow-slip.
    16 | Odo
       | ^^^
Take it out, move it into a private block, or write allow: [odo brannick] beside
the client if it is only a plain word.                          (private-word)

1 error.
";
    assert_eq!(shown(&faults, &read.sources), expected);
    // A list has no log of its own; the line is found all the same.
    let faults = gate_faults(
        &gate,
        "feed.xml",
        b"<title>Odo Brannick</title>",
        None,
        &read.sources,
    );
    assert_eq!(
        shown(&faults, &read.sources),
        expected.replace("the page write-ups/x/", "feed.xml")
    );
    // What no log holds the page writes by itself: told where the diary keeps it.
    let faults = gate_faults(
        &gate,
        "write-ups/x/index.html",
        b"<p>zz991ts</p>",
        Some(file),
        &read.sources,
    );
    assert!(
        shown(&faults, &read.sources).starts_with(
            "clients.yaml, line 6: the page write-ups/x/ would show ZZ99 1TS, the postcode of client tarrow-slip.\n"
        ),
        "{}",
        shown(&faults, &read.sources)
    );
    // What no log holds came from a sheet; then the private word itself is pointed at.
    let faults = gate_faults(
        &gate,
        "index.html",
        b"<p>the key safe</p>",
        None,
        &read.sources,
    );
    assert_eq!(
        shown(&faults, &read.sources),
        "\
diary.yaml, line 8: the home page would show key safe, which diary.yaml keeps private.
    8 | keep_private: [key safe, spare key]
      |                ^^^^^^^^
No log writes it: the page does by itself (a heading, a month, a sheet of
yours). Take it out of the sheet, or write more of it here.     (private-word)

1 error.
"
    );
}

fn shown(faults: &[daywork::diagnose::Diagnostic], sources: &Sources) -> String {
    use daywork::diagnose::text::{Colour, render};
    render(faults, sources, Colour::Plain)
}

#[test]
fn leaks_on_many_pages_from_one_line_are_one_error() {
    let (diary, sources) = read();
    let gate = Gate::new(&diary, &sources);
    let mut all = Vec::new();
    for path in ["a/index.html", "b/index.html", "index.html"] {
        let file = PublicFile {
            path,
            kind: FileKind::Html,
            bytes: b"Odo Brannick, Brannick",
        };
        all.extend(gate.check(&file));
    }
    let faults = gate.diagnose(&all, &|_| None, &sources);
    assert_eq!(faults.len(), 1);
    assert_eq!(
        faults[0].message,
        "the page a/ and 2 others would show Odo Brannick, the contact of client tarrow-slip"
    );
}

#[test]
fn circuits_that_hold_a_private_word_go_by_their_number() {
    let job = JOB.replace(
        "publish:",
        "readings:\n  - {circuit: Pontoon outlets, zs: 0.92}\n  - {circuit: Brannick office, zs: 0.9}\n  - {circuit: Pontoon outlets, ze: 0.2}\n  - {circuit: Brannick office, ze: 0.3}\npublish:",
    );
    let files = [
        ("diary.yaml", settings(DIARY)),
        ("clients.yaml", CLIENTS.to_owned()),
        ("jobs/2026/slip.md", job),
    ];
    let read = read_files(
        files
            .into_iter()
            .map(|(p, t)| (p.to_owned(), t.into_bytes()))
            .collect(),
    );
    let gate = Gate::new(&read.diary, &read.sources);
    assert_eq!(
        gate.circuits(&read.diary.jobs[0]),
        [
            "Pontoon outlets",
            "Circuit 2",
            "Pontoon outlets",
            "Circuit 2"
        ]
    );
}

/// What may stand between two letters of a name and hide it from a plain search.
fn coat() -> impl Strategy<Value = &'static str> {
    prop_oneof![
        6 => Just(""),
        1 => Just("<b>"),
        1 => Just("</b>"),
        1 => Just("<span class=\"x\">"),
        1 => Just("</span>"),
        1 => Just("<wbr>"),
        1 => Just("<!-- x -->"),
        1 => Just("&shy;"),
        1 => Just("\u{ad}"),
        1 => Just("\u{200d}"),
        1 => Just("\u{feff}"),
        1 => Just("&zwnj;"),
        1 => Just("\u{301}"),
    ]
}

fn gap() -> impl Strategy<Value = &'static str> {
    prop_oneof![
        Just(" "),
        Just("\n   "),
        Just("&nbsp;"),
        Just("\u{a0}"),
        Just("&#32;"),
        Just("&emsp;"),
        Just("-"),
        Just("_"),
        Just("<br>"),
        Just("</p><p>"),
        Just("</li>\n<li>"),
        Just(" <i>"),
        Just("\u{200b}"),
    ]
}

fn letter(c: char, how: u8) -> String {
    match how % 6 {
        0 => format!("&#{};", c as u32),
        1 => format!("&#x{:x};", c as u32),
        2 => c.to_uppercase().to_string(),
        3 => c.to_lowercase().to_string(),
        _ => c.to_string(),
    }
}

proptest! {
    #[test]
    fn a_planted_name_is_found_whatever_it_wears(
        which in 0..4_usize,
        coats in prop::collection::vec((coat(), any::<u8>()), 24),
        gaps in prop::collection::vec(gap(), 3),
        before in prop_oneof![Just("<p>"), Just("x "), Just("("), Just("<td>12</td>"), Just("&lt;"), Just("")],
        after in prop_oneof![Just("</p>"), Just(" x"), Just(", "), Just("&rsquo;s"), Just(".")],
    ) {
        let gate = gate();
        let phrase = ["odo brannick", "quern cottage", "tarrow slip", "wenna haldrick"][which];
        let mut text = before.to_owned();
        let mut gaps = gaps.iter();
        for (index, c) in phrase.char_indices() {
            if c == ' ' {
                text.push_str(gaps.next().expect("two words and three gaps"));
            } else {
                let (coat, how) = coats[index];
                // A coat belongs between two letters; before the first it would only be what stands before.
                if index > 0 && !phrase[..index].ends_with(' ') {
                    text.push_str(coat);
                }
                text.push_str(&letter(c, how));
            }
        }
        text.push_str(after);
        let found = leaks(&gate, FileKind::Html, "x/index.html", &text);
        prop_assert!(!found.is_empty(), "{}", text);
    }

    #[test]
    fn no_file_makes_the_gate_fail(text in "\\PC{0,60}", markup in "[<>&;\"'a-z/!#%\\\\{}u0-9é -]{0,80}") {
        let gate = gate();
        for kind in [FileKind::Html, FileKind::Xml, FileKind::Json, FileKind::Svg, FileKind::Text, FileKind::Css, FileKind::Script] {
            leaks(&gate, kind, &text, &markup);
            leaks(&gate, kind, "x", &text);
        }
    }
}

#[test]
fn each_person_of_a_list_is_a_name_and_a_role_among_them_is_none() {
    let front = |who: &str| {
        format!(
            "---\ntitle: Lights in a shed\nref: 2026-001\nvisits: [{{date: 2026-03-02, time: 2h}}]\nfindings:\n  - {{what: \
             Circuit chart missing, code: C3, told: {{who: \"{who}\"}}}}\npublish: ready\n---\n"
        )
    };
    let leaks = |who: &str, body: &str| {
        let settings = "title: A diary\nsite: {address: https://example.com}\n";
        let log = format!("{}\n{body}\n", front(who));
        let read = daywork::diary::read_files(vec![
            ("diary.yaml".to_owned(), settings.into()),
            ("jobs/2026/a.md".to_owned(), log.into()),
        ]);
        let gate = daywork::public::Gate::new(&read.diary, &read.sources);
        let page = format!("<p>{body}</p>");
        !gate_faults(
            &gate,
            "write-ups/a/index.html",
            page.as_bytes(),
            None,
            &read.sources,
        )
        .is_empty()
    };
    for who in [
        "Agnes Pillow, agent",
        "Agnes Pillow (tenant)",
        "Agnes Pillow and Tom Wick",
        "the agent, Agnes Pillow of Wick Homes",
        "agnes pillow",
    ] {
        assert!(leaks(who, "then Agnes Pillow rang"), "{who}");
        assert!(
            !leaks(who, "the agent, the tenant and a robot rang"),
            "{who}"
        );
    }
    for who in [
        "landlady",
        "tenants",
        "hall secretary",
        "site manager",
        "tenant + agent",
    ] {
        assert!(
            !leaks(
                who,
                "the landlady, the tenants, the secretary and the manager"
            ),
            "{who}"
        );
    }
}

#[test]
fn allow_lets_a_name_through_and_no_place() {
    let clients =
        "slip:\n  name: Pia March\n  address: 4 Quern Cottage\n  allow: [quern cottage, march]\n";
    let leaks = |clients: &str, text: &str| {
        let read = read_files(vec![("clients.yaml".to_owned(), clients.into())]);
        let gate = Gate::new(&read.diary, &read.sources);
        let page = format!("<p>{text}</p>");
        let faults = gate_faults(&gate, "index.html", page.as_bytes(), None, &read.sources);
        faults.first().map(|fault| fault.help.clone())
    };
    assert_eq!(leaks(clients, "March 2026"), None);
    assert!(leaks(clients, "Pia March").is_some());
    let place = leaks(clients, "at Quern Cottage").expect("a place is no plain word");
    assert!(!place.contains("allow"), "{place}");
    // A month that the page writes by itself: no line of a log is to blame, and only `allow` helps.
    let month = leaks(&clients.replace(", march", ""), "March 2026").expect("a name");
    assert!(
        month.starts_with("No log writes it") && month.contains("allow: [march]"),
        "{month}"
    );
}
