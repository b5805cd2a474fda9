//! Press on a machine in trouble: the disk full, the folder read-only, files that go while they are read, other presses at
//! work, a clock set back, files of somebody else's in the way. Each is told plainly and breaks nothing.
#![cfg(unix)]

mod common;
#[path = "kill/diary.rs"]
mod diary;
#[path = "kill/standing.rs"]
mod standing;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::Duration;

use common::{daywork, put, stderr, tree};
use jiff::ToSpan as _;
use standing::{Looker, lasting};
use tempfile::TempDir;

const DAY: &str = "2026-11-25";

/// A diary before and after an edit, what a press of each leaves, and room for more.
struct Setting {
    folder: TempDir,
    looker: Looker,
}

impl Setting {
    fn new() -> Self {
        let folder = TempDir::new().expect("a temporary folder");
        let setting = Setting {
            folder,
            looker: Looker::new(diary::PRIVATE.map(str::to_owned), "https://example.com/"),
        };
        diary::before(&setting.at("one"));
        diary::after(&setting.at("two"));
        for name in ["one", "two"] {
            let out = press(&setting.at(name), &setting.at(&format!("pressed-{name}")));
            assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
        }
        setting
    }

    fn at(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// A copy of what the press of the diary before left.
    fn pressed_before(&self, name: &str) -> PathBuf {
        let out = self.at(name);
        for (path, bytes) in tree(&self.at("pressed-one")) {
            put(&out.join(path), bytes);
        }
        out
    }

    fn is_whole(&mut self, out: &Path, when: &str) {
        assert_eq!(self.looker.faults(out), Vec::<String>::new(), "{when}");
    }

    /// Holds a folder against a fresh press of the diary after.
    fn is_as_fresh(&self, out: &Path, when: &str) {
        let fresh = lasting(&self.at("pressed-two"));
        assert_eq!(
            differ(&lasting(out), &fresh),
            Vec::<&String>::new(),
            "{when}"
        );
    }

    /// Holds a folder against what the press of the diary before left; photos made small for the next press may be kept.
    fn is_as_before(&self, out: &Path, when: &str) {
        let [mut now, before] = [out, &self.at("pressed-one")].map(lasting);
        now.retain(|path, _| before.contains_key(path) || !path.starts_with("ledger/photos/"));
        assert_eq!(differ(&now, &before), Vec::<&String>::new(), "{when}");
    }
}

type Files = BTreeMap<String, Vec<u8>>;

/// Paths at which two folders hold something else.
fn differ<'f>(one: &'f Files, two: &'f Files) -> Vec<&'f String> {
    let paths: BTreeSet<&String> = one.keys().chain(two.keys()).collect();
    let mut paths: Vec<&String> = paths.into_iter().collect();
    paths.retain(|path| one.get(*path) != two.get(*path));
    paths
}

fn press(diary: &Path, out: &Path) -> Output {
    let mut command = daywork();
    command.args(["press", "--as-of", DAY, "--diary"]);
    command.arg(diary).arg("--out").arg(out);
    command.output().expect("it runs")
}

/// Runs a script with mounts of its own, which go when it ends, as who may mount; its `$press DIARY OUT` presses. `None`, said
/// aloud, where this machine lets nobody do so.
fn apart(script: &str, args: &[&str]) -> Option<Output> {
    for who in [&["--mount"][..], &["--mount", "--map-root-user"]] {
        let tried = Command::new("unshare").args(who).arg("true").output();
        if tried.is_ok_and(|out| out.status.success()) {
            let program = assert_cmd::cargo::cargo_bin!("daywork");
            let out = Command::new("unshare")
                .args(who)
                .args(["sh", "-eu", "-c", script, "sh"])
                .args(args)
                .env("daywork", program)
                .env("day", DAY)
                .output();
            return Some(out.expect("it runs"));
        }
    }
    say("Not tried: a disk of its own for a test needs unshare and the right to mount.");
    None
}

/// Past what the test harness keeps to itself.
fn say(what: &str) {
    writeln!(io::stderr(), "{what}").expect("standard error takes it");
}

#[test]
fn a_full_disk_is_told_and_what_is_there_stays_whole() {
    const SCRIPT: &str = r#"
        out=$1 left=$2 diary=$3 before=$4 size=$5
        mkdir -p "$out" "$left"
        mount -t tmpfs -o "size=$size" none "$out"
        if [ -d "$before" ]; then cp -r "$before/." "$out"; fi
        "$daywork" press --as-of "$day" --diary "$diary" --out "$out" 2>"$left/said" >/dev/null && echo 0 >"$left/code" || echo $? >"$left/code"
        cp -r "$out" "$left/stopped"
        mount -o remount,size=64m "$out"
        "$daywork" press --as-of "$day" --diary "$diary" --out "$out" >/dev/null
        cp -r "$out" "$left/mended"
    "#;
    let mut setting = Setting::new();
    // A small disk gives out pages of this size.
    let used = |out: &Path| -> usize {
        tree(out)
            .values()
            .map(|bytes| bytes.len().next_multiple_of(4096))
            .sum()
    };
    let all = used(&setting.at("pressed-two"));
    let before = used(&setting.at("pressed-one"));
    let first = [4096, all / 6, all / 3, all / 2, all * 3 / 4, all - 65_536];
    let first = first.map(|size| (size, "none"));
    let again = [8192, 65_536, 131_072].map(|more| (before + more, "pressed-one"));
    let mut stopped = 0;
    for (number, (size, before)) in first.into_iter().chain(again).enumerate() {
        let left = setting.at(&format!("left-{number}"));
        let args = [
            setting.at("disk"),
            left.clone(),
            setting.at("two"),
            setting.at(before),
        ]
        .map(|path| path.to_str().expect("a plain path").to_owned());
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let Some(out) = apart(SCRIPT, &[&args[..], &[&size.to_string()]].concat()) else {
            return;
        };
        let when = format!("{size} bytes over {before}");
        assert!(out.status.success(), "{when}: {}", stderr(&out));
        let said = fs::read_to_string(left.join("said")).expect("said");
        let code = fs::read_to_string(left.join("code")).expect("a code");
        if code.trim() != "0" {
            stopped += 1;
            assert_eq!(code.trim(), "3", "{when}: {said}");
            assert!(said.starts_with("the disk is full: "), "{when}: {said}");
            assert!(said.ends_with("Make room and press again.\n"), "{said}");
        }
        setting.is_whole(&left.join("stopped"), &when);
        setting.is_as_fresh(&left.join("mended"), &when);
        let parts = tree(&left.join("mended"));
        assert!(!parts.keys().any(|path| path.ends_with("-part")), "{when}");
    }
    assert!(stopped >= 7, "{stopped} of 9 were stopped");
}

#[test]
fn a_read_only_folder_is_told_and_read_all_the_same() {
    const SCRIPT: &str = r#"
        out=$1 diary=$2
        mount --bind "$out" "$out"
        mount -o remount,bind,ro "$out"
        "$daywork" press --as-of "$day" --diary "$diary" --out "$out" >/dev/null || echo "ended in $?" >&2
        mount --bind "$diary" "$diary"
        mount -o remount,bind,ro "$diary"
        "$daywork" press --as-of "$day" --diary "$diary" >/dev/null || echo "ended in $?" >&2
        # Who only reads needs no more.
        "$daywork" inspect --as-of "$day" --diary "$diary" >/dev/null
        "$daywork" hours --as-of "$day" --diary "$diary" >/dev/null
    "#;
    let setting = Setting::new();
    let out = setting.pressed_before("out");
    let diary = setting.at("two");
    let [folder, read] = [&out, &diary].map(|path| path.to_str().expect("a plain path"));
    let Some(ran) = apart(SCRIPT, &[folder, read]) else {
        return;
    };
    assert!(ran.status.success(), "{}", stderr(&ran));
    let told = "may not be written to: the folder or its disk is read-only. Give another folder with --out.\nended in 3\n";
    let expected = format!("{folder}/ledger/lock {told}{read}/out {told}");
    assert!(stderr(&ran).starts_with(&expected), "{}", stderr(&ran));
    setting.is_as_before(&out, "while it may not be written to");
    assert!(!diary.join("out").exists());
    let mended = press(&diary, &out);
    assert_eq!(mended.status.code(), Some(0), "{}", stderr(&mended));
    setting.is_as_fresh(&out, "once it may be written to");
}

#[test]
fn files_that_go_and_come_while_they_are_read_stop_a_press_or_do_not() {
    const ENOUGH: usize = 4;
    const MOST: usize = 80;
    let mut setting = Setting::new();
    let out = setting.pressed_before("out");
    let root = setting.at("two");
    let comes_and_goes = AtomicBool::new(true);
    let (mut stopped, mut presses) = (0, 0);
    thread::scope(|scope| {
        scope.spawn(|| {
            let going = [
                "diary.yaml",
                "clients.yaml",
                "jobs/2026/two.md",
                "jobs/2026/one/board.jpg",
                "jobs/2026",
            ];
            let away = setting.at("away");
            for name in going.iter().cycle() {
                if !comes_and_goes.load(Ordering::Relaxed) {
                    break;
                }
                fs::rename(root.join(name), &away).expect("it goes");
                thread::sleep(Duration::from_millis(4));
                fs::rename(&away, root.join(name)).expect("it comes back");
                thread::sleep(Duration::from_millis(16));
            }
        });
        while stopped < ENOUGH && presses < MOST {
            let ended = press(&root, &out);
            let said = stderr(&ended);
            presses += 1;
            let code = ended.status.code();
            assert!(matches!(code, Some(0..=3)), "{code:?}: {said}");
            assert!(code == Some(0) || !said.is_empty());
            stopped += usize::from(code != Some(0));
        }
        comes_and_goes.store(false, Ordering::Relaxed);
    });
    assert!(
        stopped > 0,
        "nothing went while it was read: {presses} presses"
    );
    setting.is_whole(&out, "after all of them");
    assert_eq!(press(&root, &out).status.code(), Some(0));
    setting.is_as_fresh(&out, "once all were back");
}

#[test]
fn a_diary_without_its_clients_or_settings_is_not_pressed() {
    for (gone, code) in [("clients.yaml", 1), ("diary.yaml", 2)] {
        let setting = Setting::new();
        let out = setting.pressed_before("out");
        fs::remove_file(setting.at("one").join(gone)).expect("it goes");
        let ended = press(&setting.at("one"), &out);
        assert_eq!(ended.status.code(), Some(code), "{}", stderr(&ended));
        setting.is_as_before(&out, gone);
    }
}

#[test]
fn presses_at_once_do_it_one_after_another_or_say_so() {
    let mut setting = Setting::new();
    for round in 0..4 {
        // Over nothing every photo is yet to be made small.
        let out = match round % 2 {
            0 => setting.at(&format!("out-{round}")),
            _ => setting.pressed_before(&format!("out-{round}")),
        };
        let children: Vec<_> = (0..4)
            .map(|_| {
                Command::new(assert_cmd::cargo::cargo_bin!("daywork"))
                    .args(["press", "--as-of", DAY, "--diary"])
                    .arg(setting.at("two"))
                    .arg("--out")
                    .arg(&out)
                    .stdout(Stdio::null())
                    .stderr(Stdio::piped())
                    .spawn()
                    .expect("it runs")
            })
            .collect();
        let mut done = 0;
        for child in children {
            let ended = child.wait_with_output().expect("it ends");
            let said = stderr(&ended);
            match ended.status.code() {
                Some(0) => done += 1,
                Some(3) => assert!(said.starts_with("another press is at work in "), "{said}"),
                other => panic!("{other:?}: {said}"),
            }
        }
        assert!(done > 0, "nobody pressed");
        setting.is_whole(&out, "after four at once");
        setting.is_as_fresh(&out, "after four at once");
    }
}

#[test]
fn a_clock_that_was_set_back_takes_no_page_down() {
    let setting = Setting::new();
    let out = setting.at("out");
    let ledger = out.join("ledger/written.json");
    let run = |as_of: &[&str]| {
        let mut command = daywork();
        command.arg("press").args(as_of).arg("--diary");
        command.arg(setting.at("two")).arg("--out").arg(&out);
        command.output().expect("it runs")
    };
    let code = |out: &Output| (out.status.code(), stderr(out));
    let noted = || {
        let text = fs::read_to_string(&ledger).expect("a ledger");
        text.split_once("\"day\":\"")
            .map(|(_, day)| day[..10].to_owned())
    };
    assert_eq!(code(&run(&[])).0, Some(0));
    let today: jiff::civil::Date = noted().expect("a day").parse().expect("a day");
    let last_pressed = |day: jiff::civil::Date| {
        let text = fs::read_to_string(&ledger).expect("a ledger");
        let then = noted().expect("a day");
        put(&ledger, text.replace(&then, &day.to_string()));
    };

    // A journey west may cost a day, and no more.
    last_pressed(today.saturating_add(1.day()));
    assert_eq!(code(&run(&[])).0, Some(0));
    last_pressed(today.saturating_add(40.days()));
    let before = tree(&out);
    let (ended, said) = code(&run(&[]));
    assert_eq!(ended, Some(3), "{said}");
    let last = today.saturating_add(40.days());
    assert!(
        said.starts_with("the clock says 2") && said.contains(&format!(" was on {last}. ")),
        "{said}"
    );
    assert!(
        said.ends_with("Set the clock, or give the day with --as-of.\n"),
        "{said}"
    );
    assert_eq!(differ(&tree(&out), &before), Vec::<&String>::new());

    // Who gives the day is asked nothing, and the clock is believed again.
    let given = today.to_string();
    assert_eq!(code(&run(&["--as-of", &given])).0, Some(0));
    assert_eq!(noted(), None);
    assert_eq!(code(&run(&[])).0, Some(0));
}

#[test]
fn files_of_somebody_else_s_are_never_touched() {
    let setting = Setting::new();
    let out = setting.pressed_before("out");
    // One in every folder, as other programs name theirs, and some that look like press's own.
    let folders: BTreeSet<String> = tree(&out)
        .keys()
        .filter_map(|path| Some(path.rsplit_once('/')?.0.to_owned()))
        .collect();
    let names = [
        "mine.html",
        ".htaccess",
        ".mine.html.daywork-part",
        "mine.jpg",
    ];
    let mine: Vec<PathBuf> = folders
        .iter()
        .zip(names.iter().cycle())
        .map(|(folder, name)| out.join(folder).join(name))
        .collect();
    assert!(mine.len() > 25, "{mine:?}");
    for path in &mine {
        put(path, "mine");
    }
    let state = || -> BTreeMap<&PathBuf, _> {
        mine.iter()
            .map(|path| {
                let written = fs::metadata(path).and_then(|it| it.modified());
                (path, (fs::read(path).ok(), written.ok()))
            })
            .collect()
    };
    let before = state();
    for name in ["two", "one", "two"] {
        let ended = press(&setting.at(name), &out);
        assert_eq!(ended.status.code(), Some(0), "{}", stderr(&ended));
        assert_eq!(state(), before);
    }
}

#[test]
fn a_file_in_the_way_of_a_new_page_stops_the_press() {
    let mut setting = Setting::new();
    let out = setting.pressed_before("out");
    let (old, new) = (
        tree(&setting.at("pressed-one")),
        tree(&setting.at("pressed-two")),
    );
    let mut pages = new.keys().filter(|path| !old.contains_key(*path));
    let path = pages.find(|path| path.ends_with("/index.html"));
    let mine = out.join(path.expect("the edit brings a page"));
    put(&mine, "mine</html>");
    let ended = press(&setting.at("two"), &out);
    assert_eq!(ended.status.code(), Some(3), "{}", stderr(&ended));
    let told = format!(
        "{} is there already, and no ledger says that press wrote it",
        mine.display()
    );
    assert!(stderr(&ended).starts_with(&told), "{}", stderr(&ended));
    let kept = fs::read(&mine).expect("it is there");
    assert_eq!(kept, b"mine</html>");
    fs::remove_file(&mine).expect("moved away");
    setting.is_as_before(&out, "with a file in the way");
    assert_eq!(press(&setting.at("two"), &out).status.code(), Some(0));
    setting.is_whole(&out, "once it is out of the way");
    setting.is_as_fresh(&out, "once it is out of the way");
}
