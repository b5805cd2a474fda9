//! Makes cases from seeds and runs a target over them. A case follows from the target's name and its number alone.

use std::env;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::{Duration, Instant};

use arbitrary::{Arbitrary, Result, Unstructured};

/// Longest case, in bytes; seeds are cut to it.
const LONGEST: usize = 4_000;
/// A case that takes longer has found something too; a busy machine takes its time.
const SLOW: Duration = Duration::from_secs(10);

/// What is tried, on what, and what it is salted with.
pub struct Target<'t> {
    pub name: &'t str,
    /// Cases in the suite.
    pub smoke: u64,
    pub seeds: Vec<String>,
    pub words: &'t [&'t str],
    /// Panics where something that must hold does not.
    pub holds: &'t dyn Fn(&str),
}

/// One change of a text; places are parts of its length in 65,536ths.
#[derive(Arbitrary, Debug)]
enum Edit {
    Cut(u16, u8),
    Double(u16, u8),
    Salt(u16, u8),
    Character(u16, char),
    Byte(u16, u8),
    Splice(u16, u16),
    Many(u16, u8, u8),
}

#[derive(Arbitrary, Debug)]
struct Plan {
    seed: u16,
    other: u16,
    edits: [Edit; 6],
    how_many: u8,
}

impl Target<'_> {
    /// Runs the smoke cases, or as many as the environment says.
    #[expect(
        clippy::print_stdout,
        reason = "what was tried is what a long run is for"
    )]
    pub fn run(&self) {
        assert!(!self.seeds.is_empty(), "{} has no seeds", self.name);
        if let Some(case) = number("DAYWORK_FUZZ_CASE") {
            let text = self.case(case);
            println!("{text}");
            return (self.holds)(&text);
        }
        let from = number("DAYWORK_FUZZ_FROM").unwrap_or_default();
        let cases = number("DAYWORK_FUZZ_CASES").unwrap_or(self.smoke);
        let began = Instant::now();
        let mut slowest = Duration::ZERO;
        for seed in &self.seeds {
            (self.holds)(seed);
        }
        for case in from..from + cases {
            let text = self.case(case);
            let started = Instant::now();
            if catch_unwind(AssertUnwindSafe(|| (self.holds)(&text))).is_err() {
                panic!("{}, case {case}: {text:?}", self.name);
            }
            let took = started.elapsed();
            assert!(
                took < SLOW,
                "{}, case {case} took {took:?}: {text:?}",
                self.name
            );
            slowest = slowest.max(took);
        }
        println!(
            "{}: {cases} cases from {from} over {} seeds in {:.1} s, the slowest {slowest:?}",
            self.name,
            self.seeds.len(),
            began.elapsed().as_secs_f64()
        );
    }

    fn case(&self, number: u64) -> String {
        let mut bytes = [0; 256];
        blake3::Hasher::new()
            .update(self.name.as_bytes())
            .update(&number.to_le_bytes())
            .finalize_xof()
            .fill(&mut bytes);
        let plan: Result<Plan> = Plan::arbitrary(&mut Unstructured::new(&bytes));
        self.follow(&plan.expect("as many bytes as a plan takes"))
    }

    fn follow(&self, plan: &Plan) -> String {
        let seed = |at: u16| &self.seeds[usize::from(at) % self.seeds.len()];
        let mut text = seed(plan.seed).clone();
        for edit in plan.edits.iter().take(1 + usize::from(plan.how_many) % 6) {
            let piece = |text: &str, at: u16, length: u8| {
                let from = place(text, at);
                let to = (from + usize::from(length)).min(text.len());
                (from, text.floor_char_boundary(to).max(from))
            };
            match *edit {
                Edit::Cut(at, length) => {
                    let (from, to) = piece(&text, at, length);
                    text.replace_range(from..to, "");
                }
                Edit::Double(at, length) => {
                    let (from, to) = piece(&text, at, length);
                    let again = text[from..to].to_owned();
                    text.insert_str(to, &again);
                }
                Edit::Salt(at, word) => {
                    let word = self.words[usize::from(word) % self.words.len()];
                    text.insert_str(place(&text, at), word);
                }
                Edit::Character(at, character) => text.insert(place(&text, at), character),
                Edit::Byte(at, byte) => {
                    let (from, to) = piece(&text, at, 1);
                    text.replace_range(from..to, &char::from(byte % 128).to_string());
                }
                Edit::Splice(at, from) => {
                    let other = seed(plan.other);
                    text.truncate(place(&text, at));
                    text.push_str(&other[place(other, from)..]);
                }
                Edit::Many(at, word, times) => {
                    let word = self.words[usize::from(word) % self.words.len()];
                    text.insert_str(place(&text, at), &word.repeat(1 + usize::from(times)));
                }
            }
            text.truncate(text.floor_char_boundary(LONGEST));
        }
        text
    }
}

/// A place between two characters.
fn place(text: &str, part: u16) -> usize {
    text.floor_char_boundary(text.len() * usize::from(part) / usize::from(u16::MAX))
}

fn number(name: &str) -> Option<u64> {
    let text = env::var(name).ok()?;
    Some(
        text.parse()
            .unwrap_or_else(|_| panic!("{name}={text} is no number")),
    )
}

#[test]
fn a_case_is_the_same_again_and_cases_differ() {
    let target = Target {
        name: "itself",
        smoke: 0,
        seeds: vec!["a café by the quay".to_owned(), "2h15".to_owned()],
        words: &["---", "\u{feff}"],
        holds: &|_| (),
    };
    let cases: std::collections::BTreeSet<String> =
        (0..200).map(|case| target.case(case)).collect();
    assert!(cases.len() > 150, "{}", cases.len());
    assert_eq!(target.case(7), target.case(7));
}

#[test]
#[should_panic(expected = "itself, case 0")]
fn what_does_not_hold_is_told_with_its_case() {
    let holds = |text: &str| assert_eq!(text, "seed");
    let (name, smoke, seeds) = ("itself", 50, vec!["seed".to_owned()]);
    let words = &["x"];
    Target {
        name,
        smoke,
        seeds,
        words,
        holds: &holds,
    }
    .run();
}
