//! Press killed at random moments: whatever the moment, every file is whole, every link leads to a file, no private word
//! is out and nobody else's file is touched; and the next press gives the bytes of a fresh one.
//!
//! `DAYWORK_KILLS` is how many kills there are (50 where it is not set), `DAYWORK_KILL_SEED` where their moments come
//! from, and `DAYWORK_KILL_DIARY` a diary that is pressed instead of the small one, for an earlier and for a later day.
#![cfg(unix)]

mod common;
#[path = "kill/diary.rs"]
mod diary;
#[path = "kill/standing.rs"]
mod standing;

use std::collections::BTreeMap;
use std::env;
use std::fs;
use std::os::unix::process::ExitStatusExt as _;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use common::{put, tree};
use standing::{Looker, lasting};
use tempfile::TempDir;

const KILLS: usize = 50;
const SEED: u64 = 20_261_125;
const EARLY: &str = "2025-06-01";
const LATE: &str = "2026-11-25";
/// Longest wait for the ledger that says what is about to be written; a press takes less.
const PATIENCE: Duration = Duration::from_secs(120);
/// Files of somebody else's among those of press.
const STRANGERS: [&str; 3] = [
    "site/mine.txt",
    "site/write-ups/the-eighth-shop/mine.txt",
    "office/jobs/mine.txt",
];

/// What is pressed: a diary for a day.
struct Pressed {
    diary: PathBuf,
    day: &'static str,
}

impl Pressed {
    fn start(&self, out: &Path) -> Child {
        Command::new(assert_cmd::cargo::cargo_bin!("daywork"))
            .args(["press", "--as-of", self.day, "--diary"])
            .arg(&self.diary)
            .arg("--out")
            .arg(out)
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it runs")
    }

    fn whole(&self, out: &Path) {
        let ended = self.start(out).wait_with_output().expect("it ends");
        let said = String::from_utf8_lossy(&ended.stderr);
        assert_eq!(ended.status.code(), Some(0), "{said}");
    }
}

/// A press over what an earlier one left, or over nothing.
struct Case {
    name: &'static str,
    /// What stands in `out/` before.
    template: TempDir,
    after: Pressed,
    /// What a fresh press gives, on disk and by path.
    pressed: TempDir,
    fresh: BTreeMap<String, Vec<u8>>,
    /// How long the press takes, and how long from its list of what it is about to write.
    takes: Duration,
    writes: Duration,
}

impl Case {
    fn new(
        name: &'static str,
        strangers: &[&str],
        before: Option<&Pressed>,
        after: Pressed,
    ) -> Self {
        let folder = || TempDir::new().expect("a temporary folder");
        let (template, fresh, timed) = (folder(), folder(), folder());
        for out in [&template, &fresh] {
            for path in strangers {
                put(&out.path().join(path), "mine");
            }
        }
        if let Some(before) = before {
            before.whole(template.path());
        }
        after.whole(fresh.path());
        copy(template.path(), timed.path());
        let began = Instant::now();
        let mut child = after.start(timed.path());
        wait_for_the_list(timed.path(), &mut child);
        let listed = began.elapsed();
        assert!(child.wait().expect("it ends").success());
        let takes = began.elapsed();
        Case {
            name,
            template,
            after,
            fresh: lasting(fresh.path()),
            pressed: fresh,
            takes,
            writes: takes - listed,
        }
    }

    /// Kills one press and looks at what is left; whether it was killed before its end, and whether it had begun to write.
    fn kill(&self, dice: &mut Dice, while_writing: bool, looker: &mut Looker) -> Ended {
        let out = TempDir::new().expect("a temporary folder");
        copy(self.template.path(), out.path());
        let mut child = self.after.start(out.path());
        let moment = if while_writing {
            wait_for_the_list(out.path(), &mut child);
            self.writes.mul_f64(dice.part())
        } else {
            self.takes.mul_f64(dice.part())
        };
        sleep(moment);
        child.kill().expect("a child of ours");
        let status = child.wait().expect("it ends");
        let killed = status.signal() == Some(9);
        assert!(killed || status.success(), "{status}");
        let at = format!(
            "{}, killed after {moment:?} of {}",
            self.name,
            if while_writing {
                "writing"
            } else {
                "the whole"
            }
        );
        let faults = looker.faults(out.path());
        assert!(faults.is_empty(), "{at}: {faults:#?}");
        let ended = match (killed, is_settled(out.path())) {
            (false, _) => Ended::Whole,
            (true, Some(false)) => Ended::Writing,
            (true, _) => Ended::Between,
        };
        self.after.whole(out.path());
        let now = lasting(out.path());
        let paths = |files: &BTreeMap<String, Vec<u8>>| files.keys().cloned().collect::<Vec<_>>();
        assert_eq!(paths(&now), paths(&self.fresh), "{at}");
        for (path, bytes) in &now {
            assert!(bytes == &self.fresh[path], "{at}: {path} differs");
        }
        ended
    }
}

/// Where the kill found the press.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
enum Ended {
    /// It had come to its end.
    Whole,
    /// The ledger said that it was writing.
    Writing,
    /// It was reading or making, or had written everything.
    Between,
}

fn copy(from: &Path, to: &Path) {
    for (path, bytes) in tree(from) {
        put(&to.join(path), bytes);
    }
}

/// Whether the last press came to its end, as the ledger says; `None` where there is no ledger.
fn is_settled(out: &Path) -> Option<bool> {
    let text = fs::read_to_string(out.join("ledger/written.json")).ok()?;
    Some(text.contains("\"intended\":[]"))
}

/// Waits until the press has said what it is about to write.
fn wait_for_the_list(out: &Path, child: &mut Child) {
    let began = Instant::now();
    while is_settled(out) != Some(false) {
        if child.try_wait().expect("a child of ours").is_some() {
            return;
        }
        assert!(began.elapsed() < PATIENCE, "nothing is written");
        sleep(Duration::from_micros(200));
    }
}

/// A small generator of our own, so that the same moments are drawn on every machine.
struct Dice(u64);

impl Dice {
    /// From 0 to a little over 1.
    fn part(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let bits = u32::try_from(self.0 >> 33).expect("31 bits");
        1.05 * f64::from(bits) / f64::from(1_u32 << 31)
    }
}

fn number<T: std::str::FromStr>(name: &str, usual: T) -> T {
    match env::var(name) {
        Ok(text) => text
            .parse()
            .unwrap_or_else(|_| panic!("{name}={text} is no number")),
        Err(_) => usual,
    }
}

/// Words that no reader of a diary may see: whole names of clients, their numbers and post, every job's ref, and what the
/// private blocks say.
fn private_words(diary: &Path) -> Vec<String> {
    let read = daywork::diary::read(diary).expect("a diary").diary;
    let mut words = Vec::new();
    for client in read.clients.values() {
        let known_by = [
            &client.name,
            &client.contact,
            &client.postcode,
            &client.phone,
            &client.email,
        ];
        words.extend(
            known_by
                .into_iter()
                .flatten()
                .map(|word| word.in_office().value.clone()),
        );
    }
    for job in &read.jobs {
        words.push(job.reference.in_office().value.clone());
        for block in &job.body.private {
            let lines = block.text.in_office().lines().map(str::trim);
            words.extend(lines.filter(|line| line.len() > 20).map(str::to_owned));
        }
    }
    words
}

fn cases(folder: &TempDir) -> (Vec<Case>, Vec<String>) {
    let pressed = |diary: &Path, day| Pressed {
        diary: diary.to_owned(),
        day,
    };
    if let Ok(given) = env::var("DAYWORK_KILL_DIARY") {
        let given = Path::new(&given);
        let (early, late) = (|| pressed(given, EARLY), || pressed(given, LATE));
        let cases = vec![
            Case::new("a first press", &[], None, late()),
            Case::new("a later day", &STRANGERS, Some(&early()), late()),
            Case::new("an earlier day", &STRANGERS, Some(&late()), early()),
        ];
        return (cases, private_words(given));
    }
    let (one, two) = (folder.path().join("one"), folder.path().join("two"));
    diary::before(&one);
    diary::after(&two);
    let cases = vec![
        Case::new("a first press", &[], None, pressed(&two, LATE)),
        Case::new(
            "a first press among other files",
            &STRANGERS,
            None,
            pressed(&two, LATE),
        ),
        Case::new(
            "an edited diary",
            &STRANGERS,
            Some(&pressed(&one, LATE)),
            pressed(&two, LATE),
        ),
        Case::new(
            "the edit undone",
            &STRANGERS,
            Some(&pressed(&two, LATE)),
            pressed(&one, LATE),
        ),
    ];
    let words = diary::PRIVATE.map(str::to_owned).to_vec();
    (cases, words)
}

#[test]
fn a_press_killed_at_any_moment_leaves_everything_whole() {
    let kills: usize = number("DAYWORK_KILLS", KILLS);
    let seed: u64 = number("DAYWORK_KILL_SEED", SEED);
    let folder = TempDir::new().expect("a temporary folder");
    let (cases, words) = cases(&folder);
    assert!(words.len() > 10, "{words:?}");
    let mut looker = Looker::new(words, "https://example.com/");
    for case in &cases {
        println!(
            "{}: {} files, takes {:?}, of it writing {:?}",
            case.name,
            case.fresh.len(),
            case.takes,
            case.writes
        );
        // Where nothing was killed there is nothing to see.
        for out in [&case.template, &case.pressed] {
            assert_eq!(looker.faults(out.path()), Vec::<String>::new());
        }
    }
    println!("{kills} kills, seed {seed}");
    let mut dice = Dice(seed);
    let mut ended: BTreeMap<Ended, usize> = BTreeMap::new();
    for kill in 0..kills {
        let case = &cases[kill % cases.len()];
        let while_writing = kill / cases.len() % 3 > 0;
        *ended
            .entry(case.kill(&mut dice, while_writing, &mut looker))
            .or_default() += 1;
    }
    println!("where they came: {ended:?}");
    let while_writing = ended.get(&Ended::Writing).copied().unwrap_or_default();
    assert!(
        while_writing * 5 > kills,
        "too few came while files were written: {ended:?}"
    );
}
