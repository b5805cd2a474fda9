//! The rooms of `src/` and the arrows between them: a room uses only rooms above it (and `diagnose`), and only the
//! office's rooms look inside a private value.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// The rooms from the top down, as `src/lib.rs` and DEVELOPERS.md list them.
const ROOMS: [&str; 13] = [
    "diagnose", "model", "diary", "trade", "rules", "numbers", "office", "public", "pages",
    "press", "proof", "jot", "cli",
];

/// Where `Private::in_office` may be called: the model itself, the readers and rules that check private values, the
/// office, the leak gate with its word list, the reader of notes, and the command line's summary.
const SEES_PRIVATE: [&str; 10] = [
    "src/model/",
    "src/diary/",
    "src/rules/",
    "src/office/",
    "src/public/gate",
    "src/public/words",
    "src/public/origins.rs",
    "src/jot/",
    "src/cli/",
    "src/pages/office",
];

/// Files of those rooms that never do, because what they make may be handed to others.
const NEVER_SEES_PRIVATE: [&str; 1] = ["src/office/export/open.rs"];

fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).expect("src is there") {
        let path = entry.expect("src can be read").path();
        if path.is_dir() {
            files.extend(sources(&path));
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            files.push(path);
        }
    }
    files.sort();
    files
}

fn all() -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    sources(&root.join("src"))
        .into_iter()
        .map(|path| {
            let text = fs::read_to_string(&path).expect("sources are text");
            let name = path
                .strip_prefix(root)
                .expect("below the root")
                .to_string_lossy()
                .replace('\\', "/");
            (name, text)
        })
        .collect()
}

/// The rooms that a source names after `crate::`, outside its tests and comments.
fn rooms_used(text: &str) -> Vec<&str> {
    let code = text
        .split("#[cfg(test)]\nmod tests")
        .next()
        .unwrap_or_default();
    code.lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .flat_map(|line| {
            line.match_indices("crate::")
                .map(|(at, found)| &line[at + found.len()..])
        })
        .map(|rest| {
            rest.split(|c: char| !c.is_alphanumeric() && c != '_')
                .next()
                .unwrap_or_default()
        })
        .collect()
}

#[test]
fn no_arrow_runs_up_the_list_of_rooms() {
    let order: BTreeMap<&str, usize> = ROOMS
        .iter()
        .enumerate()
        .map(|(at, room)| (*room, at))
        .collect();
    let mut seen = 0;
    for (path, text) in all() {
        let Some(room) = path
            .strip_prefix("src/")
            .and_then(|rest| rest.split_once('/'))
            .map(|(room, _)| room)
        else {
            continue;
        };
        let own = *order
            .get(room)
            .unwrap_or_else(|| panic!("{path}: {room} is no room of the list"));
        for used in rooms_used(&text) {
            let Some(other) = order.get(used) else {
                panic!("{path} uses crate::{used}, which is no room of the list");
            };
            assert!(*other <= own, "{path}: {room} uses {used}, a room below it");
            seen += usize::from(*other < own);
        }
    }
    assert!(
        seen > 50,
        "the test has lost sight of the use lines: only {seen} arrows seen"
    );
}

#[test]
fn braces_do_not_hide_an_arrow() {
    for (path, text) in all() {
        assert!(
            !text.contains("use crate::{"),
            "{path}: write one use line a room, so that arrows can be read"
        );
    }
}

#[test]
fn only_the_office_s_rooms_look_inside_a_private_value() {
    let mut seen = 0;
    for (path, text) in all() {
        let looks = text.contains(".in_office()") || text.contains("Private::in_office");
        let may = SEES_PRIVATE.iter().any(|room| path.starts_with(room))
            && !NEVER_SEES_PRIVATE.contains(&path.as_str());
        assert!(!looks || may, "{path} looks inside a private value");
        seen += usize::from(looks);
    }
    assert!(
        seen > 5,
        "the test has lost sight of in_office: only {seen} files seen"
    );
}

#[test]
fn files_are_touched_in_their_own_rooms_only() {
    const MAY: [&str; 5] = [
        "src/diary/store.rs",
        "src/press/",
        "src/proof/files.rs",
        "src/jot/disk.rs",
        "src/cli/start.rs",
    ];
    for (path, text) in all() {
        let code = without_tests(&text);
        let touches = code.contains("std::fs") || code.contains("fs::");
        let may = MAY.iter().any(|room| path.starts_with(room));
        assert!(!touches || may, "{path} touches the disk");
    }
}

/// The code of a file above its own tests.
fn without_tests(text: &str) -> &str {
    text.split("#[cfg(test)]\nmod tests")
        .next()
        .unwrap_or_default()
}

#[test]
fn nothing_below_the_command_line_asks_the_clock() {
    for (path, text) in all() {
        let asks = [
            "Zoned::now",
            "Timestamp::now",
            "SystemTime::now",
            "Instant::now",
        ]
        .iter()
        .any(|clock| without_tests(&text).contains(clock));
        assert!(
            !asks || path.starts_with("src/cli/"),
            "{path} asks the clock"
        );
    }
}

#[test]
fn the_anonymous_export_takes_nothing_from_the_whole_one_but_what_may_show() {
    const MAY: [&str; 2] = ["open", "Timed"];
    let mut seen = 0;
    for (path, text) in all() {
        if !path.starts_with("src/public/") {
            continue;
        }
        for (at, found) in text.match_indices("office::export::") {
            let rest = &text[at + found.len()..];
            let named = rest
                .split(|c: char| !c.is_alphanumeric() && c != '_')
                .next()
                .unwrap_or_default();
            assert!(
                MAY.contains(&named),
                "{path} takes {named} from the whole export"
            );
            seen += 1;
        }
        assert!(
            !text.contains("office::export;"),
            "{path} takes the whole export"
        );
    }
    assert!(seen > 1, "the test has lost sight of the use lines");
}
