//! What is tried, and what must hold of it.

use std::path::Path;

use daywork::diagnose::Level;
use daywork::diagnose::text::{Colour, render};
use daywork::diary::{Read, captions, dates, read_files};
use daywork::jot::Opened;
use daywork::jot::plan::Desk;
use daywork::jot::vocabulary::Vocabulary;
use daywork::model::{Minutes, Money};
use daywork::office::hours::hours;
use daywork::pages::sheets::Sheets;
use daywork::pages::site;
use daywork::proof::guard;
use daywork::public::{self, Gate};
use daywork::rules;
use jiff::civil::{Date, date};

use crate::common::{settings, tree};
use crate::driver::Target;

const TODAY: Date = date(2026, 11, 25);

/// Texts of the project below a folder, whose names end so.
fn texts(folder: &str, endings: &[&str]) -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut files = tree(&folder);
    files.retain(|path, _| endings.iter().any(|ending| path.ends_with(ending)));
    files
        .into_values()
        .filter_map(|bytes| String::from_utf8(bytes).ok())
        .collect()
}

fn seeds(lines: &str) -> Vec<String> {
    lines.lines().map(str::to_owned).collect()
}

/// The front matter and the body of every log of the demo.
fn logs() -> Vec<(String, String)> {
    texts("example-site/jobs", &[".md"])
        .iter()
        .filter_map(|log| {
            let (front, body) = log.strip_prefix("---\n")?.split_once("\n---\n")?;
            Some((front.to_owned(), body.to_owned()))
        })
        .collect()
}

/// A small diary with one log.
fn diary(front: &str, body: &str) -> Read {
    let more = "locations: {shop: Shop, boat-shed: Boat shed}\n\
        tasks:\n  socket: {name: Change a socket outlet, unit: each}\n  call-out: {name: Call-out, unit: visit}\n";
    let clients = "quay: {name: Septimus Wrayle, address: 14 Ropewalk Steps}\n";
    let log = format!("---\n{front}\n---\n{body}\n");
    read_files(vec![
        ("diary.yaml".to_owned(), settings(more).into_bytes()),
        ("clients.yaml".to_owned(), clients.to_owned().into_bytes()),
        ("jobs/2026/x.md".to_owned(), log.into_bytes()),
    ])
}

/// Every remark on a diary can be drawn, with its place.
fn is_told(read: &Read) {
    let mut told = read.diagnostics.clone();
    told.extend(rules::check(&read.diary, TODAY));
    let drawn = render(&told, &read.sources, Colour::Plain);
    assert!(drawn.is_empty() == told.is_empty());
}

fn has_errors(read: &Read) -> bool {
    read.diagnostics.iter().any(|it| it.level == Level::Error)
}

#[test]
fn front_matter() {
    Target {
        name: "front-matter",
        smoke: 600,
        seeds: logs().into_iter().map(|(front, _)| front).collect(),
        words: &[
            "---\n",
            "visits:",
            "  - {",
            "}",
            "[",
            "]",
            ": ",
            "- ",
            "\n",
            "\r",
            "\t",
            "\u{feff}",
            "&a ",
            "*a",
            "!x ",
            "<<: ",
            "? ",
            "| ",
            "> ",
            "\"",
            "'",
            "#",
            "publish: ready\n",
            "date: 2026-02-30",
            "from: 24:00",
            "1e9h",
            "~",
            "\0",
        ],
        holds: &|front| is_told(&diary(front, "Words.")),
    }
    .run();
}

#[test]
fn settings_and_clients() {
    let mut all = texts("content/starter", &["diary.yaml", "clients.yaml"]);
    all.extend(texts("example-site", &["diary.yaml", "clients.yaml"]));
    Target {
        name: "settings",
        smoke: 300,
        seeds: all,
        words: &[
            ": ",
            "\n",
            "  ",
            "- ",
            "{",
            "}",
            "[",
            "]",
            "\"",
            "rates:",
            "£",
            "-1",
            "999999999999",
            "\u{feff}",
            "\t",
        ],
        holds: &|text| {
            let log = "---\ntitle: A log\nref: 2026-001\nclient: quay\n---\nWords.\n";
            is_told(&read_files(vec![
                ("diary.yaml".to_owned(), text.to_owned().into_bytes()),
                ("clients.yaml".to_owned(), text.to_owned().into_bytes()),
                ("jobs/2026/x.md".to_owned(), log.to_owned().into_bytes()),
            ]));
        },
    }
    .run();
}

/// A private block stays private, whatever stands before and after it.
#[test]
fn blocks() {
    const FRONT: &str = "title: A log\nref: 2026-001\nlocation: shop\nclient: quay\npublish: 2026-03-01\n\
        visits:\n  - {date: 2026-02-01, from: 08:00, to: 10:00, tasks: [{task: socket, count: 2, time: 1h}]}";
    let sheets = Sheets::built_in();
    let mut bodies: Vec<String> = logs().into_iter().map(|(_, body)| body).collect();
    bodies.extend(texts("example-site/guides", &[".md"]));
    Target {
        name: "blocks",
        smoke: 60,
        seeds: bodies,
        words: &[
            "```",
            "~~~",
            "```private\n",
            "```\n",
            "\n\n",
            "> ",
            "- ",
            "    ",
            "\t",
            "<!--",
            "-->",
            "<pre>",
            "<script>",
            "](",
            "![",
            "[^1]: ",
            "| a |\n|---|\n",
            "`",
            "**",
            "<details>",
            "\\",
            "&#x",
            "\0",
            "\r",
            "# ",
            "1. ",
            "```readings\n",
            "```before-after\n",
        ],
        holds: &|body| {
            let half = body.floor_char_boundary(body.len() / 2);
            let (before, after) = body.split_at(half);
            // Longer fences, and those of the other mark, are how a private block is shown as text on purpose.
            if before.contains("````") || before.contains("~~~") {
                return;
            }
            let read = diary(
                FRONT,
                &format!("{before}\n\n```private\nMind the quillwork.\n```\n\n{after}"),
            );
            is_told(&read);
            if has_errors(&read) {
                return;
            }
            let gate = Gate::new(&read.diary, &read.sources);
            let report = hours(&read.diary, None, None, TODAY);
            let views = public::views(&read.diary, &report, TODAY, &gate);
            for output in site::outputs(&views, &sheets, gate.digest()) {
                if !output.path.starts_with("write-ups/") || !output.path.ends_with(".html") {
                    continue;
                }
                let bytes = (output.make)().expect("a page of a diary without errors");
                let page = String::from_utf8(bytes).expect("a page is text");
                // A gate that speaks stops the press: nothing of this page would go out.
                let stopped = !crate::common::gate_faults(
                    &gate,
                    &output.path,
                    page.as_bytes(),
                    None,
                    &read.sources,
                )
                .is_empty();
                assert!(stopped || !page.contains("quillwork"), "{page}");
                assert!(page.trim_end().ends_with("</html>"));
            }
        },
    }
    .run();
}

/// Nothing typed is lost: every log that a note becomes, or is added to, holds all of it.
#[test]
fn notes() {
    let starter = texts("content/starter", &["diary.yaml"]);
    let read = read_files(vec![(
        "diary.yaml".to_owned(),
        starter[0].clone().into_bytes(),
    )]);
    let vocabulary = Vocabulary::new(&read.diary.settings);
    let bare = |text: &str| -> String {
        text.chars()
            .filter(|c| !c.is_whitespace() && *c != '\u{feff}')
            .collect()
    };
    Target {
        name: "notes",
        smoke: 200,
        seeds: texts("tests/notes", &[".txt", ".vtt"]),
        words: &[
            "9-5",
            "half 8",
            "2x",
            "c2",
            "45m",
            "1h 20",
            "mats:",
            "\n\n",
            "\r",
            "ref 2026-031",
            "£",
            "text:",
            "photo:",
            "told owner",
            "yesterday",
            "\u{feff}",
            "\0",
            "```",
            "---\n",
            "until",
            "mr",
            "-->",
            "zs",
            "ω",
        ],
        holds: &|note| {
            let opened = Opened::new(note);
            let said = opened.read(&vocabulary, TODAY);
            let scenes = opened.scenes(&vocabulary, TODAY);
            let mut desk = Desk::new(&read);
            if desk
                .take(&said, &opened.kept, &scenes, &vocabulary)
                .is_err()
            {
                return;
            }
            let finished = desk
                .finish(TODAY)
                .unwrap_or_else(|refusal| panic!("{refusal}"));
            for change in &finished.changes {
                assert!(bare(&change.text).contains(&bare(note)), "{}", change.text);
            }
        },
    }
    .run();
}

#[test]
fn spoken_words() {
    let mut all = texts("tests/notes", &[".vtt", ".srt"]);
    all.extend(texts("example-site/jobs", &[".vtt", ".srt"]));
    Target {
        name: "captions",
        smoke: 1_000,
        seeds: all,
        words: &[
            "-->",
            "00:00:01.000",
            "\n\n",
            "WEBVTT",
            "NOTE",
            "<v Nan>",
            "</v>",
            "&amp;",
            "1\n",
            ",",
            "\r",
            "\0",
            "99:99:99.999",
        ],
        holds: &|text| {
            if let Some(form) = captions::form(text) {
                let _ = captions::read(text, form);
            }
        },
    }
    .run();
}

/// A length that is read is written and read as the same again.
#[test]
fn lengths() {
    Target {
        name: "lengths",
        smoke: 20_000,
        seeds: seeds("45m\n2h\n2h15\n2h15m\n2h 15m\n1.5h\n1:30\n0m\n167h59\n0.25h\n90"),
        words: &[
            "h",
            "m",
            ".",
            ":",
            " ",
            "0",
            "9",
            "60",
            "999999999",
            "-",
            "+",
            "\u{661}",
            "½",
        ],
        holds: &|text| {
            if let Ok(length) = Minutes::from_length_text(text) {
                assert!((0..=7 * 24 * 60).contains(&length.get()), "{length:?}");
                let written = length.to_length_text();
                assert_eq!(Minutes::from_length_text(&written), Ok(length), "{written}");
            }
        },
    }
    .run();
}

/// Money that is read is written and read as the same again, and is what its figures say.
#[test]
fn money() {
    Target {
        name: "money",
        smoke: 20_000,
        seeds: seeds("504\n504.00\n£504.00\n1,504.00\n0\n0.05\n999,999,999.99\n-5\n£ 12\n12.5"),
        words: &[
            "£",
            ",",
            ".",
            "-",
            " ",
            "0",
            "00",
            "9",
            "000",
            "999999999",
            "e",
            "\u{661}",
            "+",
        ],
        holds: &|text| {
            if let Ok(money) = Money::from_text(text) {
                assert_eq!(Money::from_text(&money.to_string()), Ok(money));
                let figures: String = text.chars().filter(char::is_ascii_digit).collect();
                let pence = if text.contains('.') { 1 } else { 100 };
                assert_eq!(
                    figures.parse::<i64>().map(|figures| figures * pence),
                    Ok(money.pence())
                );
            }
        },
    }
    .run();
}

/// A date that is read is the one that was written.
#[test]
fn days() {
    Target {
        name: "dates",
        smoke: 20_000,
        seeds: seeds("2026-03-02\n2024-02-29\n1970-01-01\n2199-12-31\n2/3/2026\n2 March 2026\n2026-3-2\n02.03.26\nMarch 2nd"),
        words: &["-", "/", ".", " ", "0", "00", "31", "02", "2100", "March", "th", "+", "\u{661}"],
        holds: &|text| match dates::read(text) {
            Ok(date) => assert_eq!(date.to_string(), text),
            Err((what, help)) => assert!(!what.is_empty() && help.ends_with('.'), "{what} {help}"),
        },
    }
    .run();
}

/// No request's path climbs, and none names a hidden file or more than one name at a time.
#[test]
fn request_paths() {
    Target {
        name: "paths",
        smoke: 20_000,
        seeds: seeds("/\n/site/\n/site/write-ups/a-log/\n/office/jobs/2026-001.html?x=1#y\n/site/%2e%2e/%2e%2e/etc/passwd\n/site/..%2f..%2f\n/site/a%20b.html"),
        words: &["/", "..", ".", "%2e", "%2F", "%5c", "%00", "%", "%25", "%252e", "\\", ":", "//", "?", "#", "%c0%ae", "\0", "\n", "C:"],
        holds: &|target| {
            let Some(names) = guard::names(target) else {
                return;
            };
            assert!(!names.is_empty());
            let below: std::path::PathBuf = names.iter().collect();
            let plain = |part| matches!(part, std::path::Component::Normal(_));
            assert!(below.components().all(plain), "{below:?}");
            let slashes = target.split(['?', '#']).next().map_or(0, |path| path.matches('/').count());
            assert_eq!(names.len(), slashes, "{names:?}");
            for (at, name) in names.iter().enumerate() {
                assert!(!name.starts_with('.') && !name.contains(['/', '\\', ':', '\0', '\n']), "{name:?}");
                assert!(!name.is_empty() || at + 1 == names.len(), "{names:?}");
            }
        },
    }
    .run();
}

/// Only this machine asks, and only for this port.
#[test]
fn hosts() {
    Target {
        name: "hosts",
        smoke: 20_000,
        seeds: seeds("127.0.0.1:7671\nlocalhost:7671\n[::1]:7671\nlocalhost\nlocalhost.example.com:7671\nuser@localhost:7671\nLOCALHOST:7671"),
        words: &[":", "7671", ".", "@", "localhost", "[", "]", "::1", "127.0.0.1", " ", "\0", "example.com", "+", "0"],
        holds: &|host| {
            if guard::is_own_host(host, 7671) {
                let name = host.rsplit_once(':').map(|(name, _)| name.to_ascii_lowercase());
                let name = name.expect("a port is named");
                assert!(["127.0.0.1", "localhost", "[::1]"].contains(&name.as_str()), "{host:?}");
            }
        },
    }
    .run();
}
