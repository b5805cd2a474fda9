//! Press on disk: what is made anew, what is swept, what is never touched, and that the same diary gives the same
//! bytes.

mod common;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use common::{daywork, put, stderr, stdout, tree};
use tempfile::TempDir;

const SETTINGS: &str = "title: A small diary\n\
    site: {address: https://example.com, timezone: Europe/London}\n\
    locations: {shop: Shop}\n\
    tasks:\n  socket: {name: Change a socket outlet, unit: each}\n\
    public: {how_long: true, fewest_jobs: 3}\n";

fn log(reference: &str, title: &str, rest: &str, body: &str) -> String {
    // One person is in one place at a time: each log has a day of its own.
    let day = reference.chars().last().expect("a ref has a last figure");
    format!(
        "---\ntitle: {title}\nref: {reference}\nlocation: shop\nvisits:\n  - {{date: 2026-03-0{day}, from: 08:00, to: 10:00, \
         tasks: [{{task: socket, count: 2, time: 1h}}]}}\n{rest}---\n\n{body}\n"
    )
}

fn small() -> TempDir {
    let diary = TempDir::new().expect("a temporary folder");
    put(&diary.path().join("diary.yaml"), SETTINGS);
    put(
        &diary.path().join("jobs/2026/a.md"),
        log(
            "2026-001",
            "The first shop",
            "publish: 2026-03-09\nsubjects: [shops]\n",
            "One.\n\nSee [the other](b.md).",
        ),
    );
    put(
        &diary.path().join("jobs/2026/b.md"),
        log(
            "2026-002",
            "The second shop",
            "publish: 2026-03-10\nsubjects: [shops]\n",
            "Two.",
        ),
    );
    put(
        &diary.path().join("jobs/2026/c.md"),
        log("2026-003", "Kept back", "", "Three."),
    );
    diary
}

fn press(diary: &Path) -> String {
    let out = daywork()
        .args(["press", "--as-of", "2026-11-25", "--diary"])
        .arg(diary)
        .output()
        .expect("it runs");
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    stdout(&out)
}

/// What was pressed, without the ledger and its lock.
fn pressed(diary: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = tree(&diary.join("out"));
    files.retain(|path, _| !path.starts_with("ledger/"));
    files
}

fn changed(before: &BTreeMap<String, Vec<u8>>, after: &BTreeMap<String, Vec<u8>>) -> Vec<String> {
    after
        .iter()
        .filter(|(path, bytes)| before.get(*path) != Some(bytes))
        .map(|(path, _)| path.clone())
        .collect()
}

#[test]
fn a_second_press_writes_nothing() {
    let diary = small();
    press(diary.path());
    let times = |diary: &Path| -> Vec<_> {
        tree(&diary.join("out"))
            .keys()
            .map(|path| {
                fs::metadata(diary.join("out").join(path))
                    .and_then(|m| m.modified())
                    .expect("a time")
            })
            .collect()
    };
    let before = times(diary.path());
    let said = press(diary.path());
    assert!(said.contains("Nothing had changed."), "{said}");
    assert_eq!(times(diary.path()), before);
}

#[test]
fn one_edit_makes_only_the_pages_that_show_it() {
    let diary = small();
    press(diary.path());
    let before = pressed(diary.path());
    put(
        &diary.path().join("jobs/2026/b.md"),
        log(
            "2026-002",
            "The second shop",
            "publish: 2026-03-10\nsubjects: [shops]\n",
            "Two.\n\nAnd a word more.",
        ),
    );
    press(diary.path());
    assert_eq!(
        changed(&before, &pressed(diary.path())),
        [
            // The index has a word more, and the search page knows it by its stamp.
            "site/search/index.html",
            "site/search/words-0.js",
            "site/write-ups/the-second-shop/index.html"
        ]
    );
}

#[test]
fn an_edited_press_gives_the_bytes_of_a_fresh_one() {
    let diary = small();
    press(diary.path());
    put(
        &diary.path().join("jobs/2026/a.md"),
        log(
            "2026-001",
            "The first shop, again",
            "publish: 2026-03-09\nsubjects: [lighting]\n",
            "Another text.",
        ),
    );
    fs::remove_file(diary.path().join("jobs/2026/c.md")).expect("removed");
    press(diary.path());
    let edited = pressed(diary.path());
    fs::remove_dir_all(diary.path().join("out")).expect("removed");
    press(diary.path());
    let fresh = pressed(diary.path());
    assert_eq!(
        edited.keys().collect::<Vec<_>>(),
        fresh.keys().collect::<Vec<_>>()
    );
    assert_eq!(changed(&edited, &fresh), Vec::<String>::new());
    assert!(!fresh.contains_key("site/write-ups/the-first-shop/index.html"));
    assert!(fresh.contains_key("site/write-ups/the-first-shop-again/index.html"));
}

#[test]
fn two_folders_of_the_same_diary_give_the_same_bytes() {
    let (one, two) = (small(), small());
    press(one.path());
    press(two.path());
    assert_eq!(pressed(one.path()), pressed(two.path()));
}

#[test]
fn files_that_press_did_not_write_are_never_touched() {
    let diary = small();
    let mine = diary.path().join("out/site/write-ups/mine.txt");
    put(&mine, "mine");
    press(diary.path());
    fs::remove_file(diary.path().join("jobs/2026/a.md")).expect("removed");
    put(
        &diary.path().join("jobs/2026/b.md"),
        log("2026-002", "The second shop", "", "Two."),
    );
    press(diary.path());
    assert_eq!(fs::read_to_string(&mine).expect("still there"), "mine");
    assert!(
        !diary
            .path()
            .join("out/site/write-ups/the-second-shop")
            .exists()
    );
}

#[test]
fn a_page_that_was_deleted_or_spoilt_is_made_again() {
    let diary = small();
    press(diary.path());
    let before = pressed(diary.path());
    fs::remove_file(diary.path().join("out/site/about/index.html")).expect("removed");
    put(&diary.path().join("out/site/index.html"), "half a pa");
    press(diary.path());
    assert_eq!(pressed(diary.path()), before);
}

#[test]
fn a_spoilt_ledger_means_a_full_press_and_a_note() {
    let diary = small();
    press(diary.path());
    let before = pressed(diary.path());
    for spoilt in ["", "{", "{\"form\":99}", "[1,2]"] {
        put(&diary.path().join("out/ledger/written.json"), spoilt);
        let said = press(diary.path());
        assert!(
            said.contains("everything was made anew"),
            "{spoilt:?}: {said}"
        );
        assert_eq!(pressed(diary.path()), before);
    }
}

#[test]
fn a_ledger_that_names_files_elsewhere_deletes_nothing_there() {
    let diary = small();
    press(diary.path());
    let outside = diary.path().join("keep.txt");
    put(&outside, "keep");
    let ledger = diary.path().join("out/ledger/written.json");
    let text = fs::read_to_string(&ledger).expect("the ledger");
    put(
        &ledger,
        text.replacen(
            "\"files\":{",
            "\"files\":{\"../keep.txt\":{\"digest\":\"00\",\"length\":4},",
            1,
        ),
    );
    press(diary.path());
    assert_eq!(fs::read_to_string(&outside).expect("still there"), "keep");
}

#[test]
fn what_a_killed_press_left_is_swept() {
    let diary = small();
    press(diary.path());
    // As after a kill: the ledger names what was intended, a part file and a page of it stand on disk.
    let ledger = diary.path().join("out/ledger/written.json");
    let text = fs::read_to_string(&ledger).expect("the ledger");
    let intended = "\"intended\":[\"site/write-ups/gone/index.html\"]";
    put(&ledger, text.replacen("\"intended\":[]", intended, 1));
    put(
        &diary.path().join("out/site/write-ups/gone/index.html"),
        "half",
    );
    put(
        &diary
            .path()
            .join("out/site/write-ups/gone/.index.html.daywork-part"),
        "ha",
    );
    press(diary.path());
    assert!(!diary.path().join("out/site/write-ups/gone").exists());
    assert!(
        fs::read_to_string(&ledger)
            .expect("the ledger")
            .contains("\"intended\":[]")
    );
}

#[test]
fn what_a_killed_first_press_left_is_swept() {
    let diary = small();
    press(diary.path());
    let fresh = pressed(diary.path());
    // As after a kill between its two halves: readers' pages are in place, the office book's still wait beside.
    let out = diary.path().join("out");
    fs::create_dir(out.join("ledger/under-way")).expect("a folder");
    fs::rename(out.join("office"), out.join("ledger/under-way/office")).expect("it moves");
    press(diary.path());
    assert!(!out.join("ledger/under-way").exists());
    assert_eq!(
        changed(&fresh, &pressed(diary.path())),
        Vec::<String>::new()
    );
}

#[cfg(unix)]
#[test]
fn a_folder_of_out_that_leads_elsewhere_is_not_written_through() {
    let diary = small();
    let elsewhere = TempDir::new().expect("a temporary folder");
    fs::create_dir_all(diary.path().join("out/site")).expect("made");
    std::os::unix::fs::symlink(elsewhere.path(), diary.path().join("out/site/write-ups"))
        .expect("linked");
    let out = daywork()
        .args(["press", "--diary"])
        .arg(diary.path())
        .output()
        .expect("it runs");
    assert_eq!(out.status.code(), Some(3), "{}", stderr(&out));
    assert!(stderr(&out).contains("leads out"), "{}", stderr(&out));
    assert!(tree(elsewhere.path()).is_empty());
}

#[cfg(unix)]
#[test]
fn pages_can_be_read_by_a_web_server_whatever_the_machine_s_habit() {
    use std::os::unix::fs::PermissionsExt as _;
    let diary = small();
    press(diary.path());
    for path in pressed(diary.path()).keys() {
        let mode = fs::metadata(diary.path().join("out").join(path))
            .expect("a page")
            .permissions()
            .mode();
        assert_eq!(mode & 0o777, 0o644, "{path}");
    }
}

#[test]
fn two_presses_at_once_do_not_mix() {
    let diary = small();
    press(diary.path());
    let lock = fs::File::options()
        .write(true)
        .open(diary.path().join("out/ledger/lock"))
        .expect("the lock");
    lock.lock().expect("held");
    let out = daywork()
        .args(["press", "--diary"])
        .arg(diary.path())
        .output()
        .expect("it runs");
    assert_eq!(out.status.code(), Some(3));
    assert!(
        stderr(&out).contains("another press is at work"),
        "{}",
        stderr(&out)
    );
}

#[test]
fn out_may_stand_elsewhere_but_not_among_the_logs() {
    let diary = small();
    let elsewhere = TempDir::new().expect("a temporary folder");
    let run = |out: &Path| {
        daywork()
            .args(["press", "--diary"])
            .arg(diary.path())
            .arg("--out")
            .arg(out)
            .output()
            .expect("it runs")
    };
    assert_eq!(
        run(&elsewhere.path().join("deep/er")).status.code(),
        Some(0)
    );
    assert!(elsewhere.path().join("deep/er/site/index.html").is_file());
    assert!(!diary.path().join("out").exists());
    let among = run(diary.path());
    assert_eq!(among.status.code(), Some(3));
    assert!(!diary.path().join("site").exists());
}

#[test]
fn a_private_word_stops_the_press_and_the_site_stays_as_it_was() {
    let diary = small();
    press(diary.path());
    let before = tree(&diary.path().join("out"));
    put(
        &diary.path().join("clients.yaml"),
        "quay: {name: Septimus Wrayle, phone: 07700 900155}\n",
    );
    put(
        &diary.path().join("jobs/2026/b.md"),
        log(
            "2026-002",
            "The second shop",
            "client: quay\npublish: 2026-03-10\n",
            "Then Wrayle\nrang me.\n",
        ),
    );
    let out = daywork()
        .args(["press", "--as-of", "2026-11-25", "--diary"])
        .arg(diary.path())
        .output()
        .expect("it runs");
    assert_eq!(out.status.code(), Some(1), "{}", stdout(&out));
    let told = stderr(&out);
    assert!(told.contains("(private-word)"), "{told}");
    assert!(told.contains("jobs/2026/b.md, line 11"), "{told}");
    assert!(told.contains("quay"), "{told}");
    assert_eq!(tree(&diary.path().join("out")), before);
}

#[test]
fn a_page_of_somebody_else_is_never_written_over() {
    let diary = small();
    let mine = diary.path().join("out/site/index.html");
    put(&mine, "precious");
    let out = daywork()
        .args(["press", "--diary"])
        .arg(diary.path())
        .output()
        .expect("it runs");
    assert_eq!(out.status.code(), Some(3), "{}", stderr(&out));
    assert!(stderr(&out).contains("no ledger says"), "{}", stderr(&out));
    assert_eq!(fs::read_to_string(&mine).expect("still there"), "precious");
    let among = daywork()
        .args(["press", "--diary"])
        .arg(diary.path())
        .arg("--out")
        .arg(diary.path().join("jobs/out"))
        .output()
        .expect("it runs");
    assert_eq!(among.status.code(), Some(3), "{}", stderr(&among));
    assert!(!diary.path().join("jobs/out").exists());
}

#[test]
fn inspect_tells_what_would_stop_a_press() {
    let diary = small();
    put(
        &diary.path().join("clients.yaml"),
        "quay: {name: Septimus Wrayle}\n",
    );
    put(
        &diary.path().join("jobs/2026/b.md"),
        log(
            "2026-002",
            "The second shop",
            "client: quay\npublish: 2026-03-10\n",
            "Then Wrayle rang.",
        ),
    );
    put(
        &diary.path().join("sheets/site/foot.html"),
        "<p>{{ nope.nope }}</p>",
    );
    let inspect = || {
        daywork()
            .args(["inspect", "--as-of", "2026-11-25", "--diary"])
            .arg(diary.path())
            .output()
            .expect("it runs")
    };
    let told = stdout(&inspect());
    assert!(told.contains("(bad-sheet)"), "{told}");
    fs::remove_dir_all(diary.path().join("sheets")).expect("removed");
    let out = inspect();
    assert_eq!(out.status.code(), Some(1));
    assert!(stdout(&out).contains("(private-word)"), "{}", stdout(&out));
    assert!(!diary.path().join("out").exists());
}

#[test]
fn a_promised_page_is_linked_by_its_title_and_old_addresses_are_looked_at() {
    let diary = small();
    let path = diary.path().join("jobs/2026/b.md");
    let told = |rest: &str, body: &str| {
        put(&path, log("2026-002", "The second shop", rest, body));
        let out = daywork()
            .args(["inspect", "--as-of", "2026-11-25", "--diary"])
            .arg(diary.path())
            .output()
            .expect("it runs");
        stdout(&out)
    };
    let link = "See [what comes](<The third shop>).";
    assert!(told("publish: ready\n", link).contains("(broken-link)"));
    let promised = "publish: ready\ncoming: [The third shop]\n";
    assert!(
        told(promised, link).starts_with("Nothing to mend"),
        "{}",
        told(promised, link)
    );
    for was in ["feed.xml", "https://example.com/x", "../x", "/", "a?p=12"] {
        let said = told(&format!("publish: ready\nwas: [\"{was}\"]\n"), "Two.");
        assert!(said.contains("(bad-address)"), "{was}: {said}");
    }
    for rest in [
        "was: [old/one, old/one/]",
        "was: [write-ups/the-first-shop/]",
        "was: [write-ups/the-second-shop]",
        "was: [subjects/shops/]",
        "was: [how-long]",
        "subjects: [C, C++]",
        "subjects: [shop s, Shops, shop-s]",
    ] {
        let said = told(&format!("publish: ready\n{rest}\n"), "Two.");
        assert!(said.contains("(same-address)"), "{rest}: {said}");
    }
    let said = told("publish: ready\nsubjects: [\"!!\"]\n", "Two.");
    assert!(said.contains("(no-address)"), "{said}");
    let said = told("publish: ready\nsubjects: [SHOPS]\n", "Two.");
    assert!(said.starts_with("Nothing to mend"), "{said}");
}

/// Links of the pages below `out/` that lead to nothing: page and link.
fn lost_links(out: &Path) -> Vec<(String, String)> {
    let files = tree(out);
    let mut lost = Vec::new();
    for (path, bytes) in &files {
        if !path.ends_with(".html") || path.starts_with("ledger/") {
            continue;
        }
        let text = String::from_utf8(bytes.clone()).expect("a whole page is text");
        assert!(text.trim_end().ends_with("</html>"), "{path} is not whole");
        let links = ["href=\"", "src=\""].into_iter().flat_map(|attribute| {
            let ends = text.split(attribute).skip(1);
            ends.filter_map(|rest| rest.split_once('"').map(|(link, _)| link))
        });
        for link in links {
            let link = link.split(['#', '?']).next().unwrap_or_default();
            if link.is_empty() || link.contains(':') {
                continue;
            }
            let mut parts: Vec<&str> = path.split('/').collect();
            parts.pop();
            for part in link.split('/') {
                match part {
                    "." | "" => {}
                    ".." => drop(parts.pop()),
                    part => parts.push(part),
                }
            }
            let mut target = parts.join("/");
            if link.ends_with('/') {
                target.push_str("/index.html");
            }
            if !files.contains_key(&target) {
                lost.push((path.clone(), link.to_owned()));
            }
        }
    }
    lost
}

#[test]
fn a_press_that_is_stopped_at_any_file_leaves_no_link_to_nothing() {
    // A page, a drawing, a subject and a section that are all new, and that lead to each other.
    let enlarge = |diary: &Path| {
        put(
            &diary.join("jobs/2026/d.md"),
            log(
                "2026-004",
                "The third shop",
                "publish: 2026-03-12\nsubjects: [earthing]\nseries: shops\n",
                "Four. See [how](../../guides/how.md).\n\n![The plan](plan.svg)",
            ),
        );
        put(
            &diary.join("jobs/2026/plan.svg"),
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 4 2\"/>",
        );
        put(
            &diary.join("guides/how.md"),
            "---\ntitle: How I do it\npublish: 2026-03-13\nsubjects: [earthing]\n---\n\nSee [the third](../jobs/2026/d.md).\n",
        );
        fs::remove_file(diary.join("jobs/2026/c.md")).expect("removed");
    };
    let whole = small();
    press(whole.path());
    let before = pressed(whole.path());
    assert_eq!(lost_links(&whole.path().join("out")), []);
    enlarge(whole.path());
    press(whole.path());
    let after = pressed(whole.path());
    let written = changed(&before, &after);
    assert!(written.len() > 20, "{written:?}");
    for new in [
        "site/write-ups/the-third-shop/figure-1.svg",
        "site/how-tos/index.html",
        "site/subjects/earthing/index.html",
    ] {
        assert!(written.iter().any(|path| path == new), "{new}");
    }

    let site = written.iter().filter(|path| path.starts_with("site/"));
    let office = written
        .iter()
        .filter(|path| path.starts_with("office/jobs"));
    for (number, stops_at) in site.chain(office).enumerate() {
        // Every fourth file also in the first press of all, when every page is new.
        for ever_pressed in [true, false]
            .into_iter()
            .take(1 + usize::from(number % 4 == 0))
        {
            let diary = small();
            if ever_pressed {
                press(diary.path());
            }
            enlarge(diary.path());
            // A folder stands where the file is written until it is whole.
            let target = diary.path().join("out").join(stops_at);
            let name = target.file_name().and_then(|name| name.to_str());
            let part = target.with_file_name(format!(".{}.daywork-part", name.expect("a name")));
            put(&part.join("in-the-way"), "x");
            let out = daywork()
                .args(["press", "--as-of", "2026-11-25", "--diary"])
                .arg(diary.path())
                .output()
                .expect("it runs");
            assert_eq!(out.status.code(), Some(3), "{stops_at}: {}", stdout(&out));
            let lost = lost_links(&diary.path().join("out"));
            assert_eq!(lost, [], "stopped at {stops_at}");
            fs::remove_dir_all(&part).expect("removed");
            press(diary.path());
            assert_eq!(pressed(diary.path()), after, "after a stop at {stops_at}");
        }
    }
}
