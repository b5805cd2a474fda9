//! Long notes made of short ones, for whatever times the reading: the sets, the words that are hard, plain words.

use std::path::Path;

/// A text to be said again and again.
pub struct Text {
    /// What the tables call it.
    pub name: String,
    bits: Vec<String>,
}

impl Text {
    fn new(name: &str, bits: Vec<String>) -> Self {
        Text {
            name: name.to_owned(),
            bits,
        }
    }

    /// The text said until it has some bytes, and ended there.
    pub fn of_length(&self, bytes: usize) -> String {
        let mut out = String::with_capacity(bytes + 4);
        for bit in self.bits.iter().cycle() {
            out.push_str(bit);
            if out.len() >= bytes {
                break;
            }
        }
        let end = (0..=bytes).rev().find(|at| out.is_char_boundary(*at));
        out.truncate(end.unwrap_or_default());
        out
    }
}

/// What is hard for a reader that looks back or ahead too far, or that measures each word against all others.
const HARD: [&str; 30] = [
    "a",
    "\n",
    "9-5 ",
    "9-5\n",
    "mon 2 mar ",
    "agent and ",
    "told agent and ",
    "C2 and ",
    "C2\ntold ll all\n",
    "2 skt 20m, ",
    "2 skt 20m\n",
    "park ",
    "park 4 ",
    "zs .4 ",
    "ir >200 @500 ",
    "zs .4\n",
    "swa 30m ",
    "mats\n",
    "# a\n",
    "\u{1f525}",
    "1h 20 ",
    "then ",
    "one hundred and ",
    "6 miles ",
    "lunch ",
    "fan issolator 1h\n",
    "no bond C2 told onwer\n",
    "then six lights two hours ",
    "ref 2026-001\n",
    "pull cord, ",
];

const WORDS: &str = "the tenant was out so I rang round and nobody had the key for the meter cupboard under the stairs \
    which is where the board is and it is an old one with a wooden back that somebody has painted over more than once \
    so nothing comes off without a knife and the paint flakes all over the carpet which is new";

/// Every text of the tables.
pub fn texts(root: &Path) -> Vec<Text> {
    let mut texts: Vec<Text> = HARD
        .iter()
        .map(|bit| {
            Text::new(
                bit.trim_end_matches(' ')
                    .escape_debug()
                    .to_string()
                    .as_str(),
                vec![(*bit).to_owned()],
            )
        })
        .collect();
    let sets = sets(root);
    texts.push(Text::new("the sets", vec![sets.join("\n\n")]));
    texts.push(Text::new("the sets' lines, shuffled", shuffled(&sets)));
    texts.push(Text::new(
        "the sets as one run of words",
        vec![sets.join(" ").replace(['\n', '\r'], " ")],
    ));
    texts.push(Text::new(
        "plain words, one line",
        vec![format!("{WORDS} ")],
    ));
    texts.push(Text::new(
        "plain words, a line each",
        WORDS.split(' ').map(|word| format!("{word}\n")).collect(),
    ));
    texts.push(Text::new("plain words, 9 a line", lines(WORDS, 9)));
    texts.push(Text::new("made-up words, 6 a line", made_up()));
    texts.push(Text::new("one job, many visits", many_visits()));
    texts.push(Text::new(
        "one visit, many readings",
        (1..=9_000)
            .map(|n| {
                format!(
                    "cct {n} B32 zs .{:02} r1r2 .{:02}\nir >200 @500\n",
                    n % 97,
                    n % 89
                )
            })
            .collect(),
    ));
    texts
}

fn sets(root: &Path) -> Vec<String> {
    let mut paths: Vec<_> = ["tests/notes", "tests/notes/other_hands"]
        .iter()
        .flat_map(|folder| std::fs::read_dir(root.join(folder)).expect("the sets are there"))
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "txt"))
        .collect();
    paths.sort();
    paths
        .iter()
        .map(|path| std::fs::read_to_string(path).expect("a note"))
        .collect()
}

/// The same lines in another order, the same on every machine.
fn shuffled(sets: &[String]) -> Vec<String> {
    let mut lines: Vec<String> = sets
        .iter()
        .flat_map(|set| set.lines())
        .map(|line| format!("{line}\n"))
        .collect();
    let mut state: u64 = 20_261_125;
    for at in (1..lines.len()).rev() {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        lines.swap(
            at,
            usize::try_from(state >> 33).unwrap_or_default() % (at + 1),
        );
    }
    lines
}

fn lines(words: &str, a_line: usize) -> Vec<String> {
    let words: Vec<&str> = words.split(' ').collect();
    words
        .chunks(a_line)
        .map(|words| format!("{}\n", words.join(" ")))
        .collect()
}

/// No two words alike, each near to none or to some of the trade.
fn made_up() -> Vec<String> {
    let parts = [
        "fan", "sock", "iso", "lat", "or", "et", "ligh", "tin", "cab", "le", "par", "kin", "lun",
    ];
    (0..40_000_usize)
        .map(|n| {
            let word = |n: usize| {
                format!(
                    "{}{}{}",
                    parts[n % 13],
                    parts[n / 13 % 13],
                    parts[n / 169 % 13]
                )
            };
            let end = if n % 6 == 5 { '\n' } else { ' ' };
            format!("{}{end}", word(n.wrapping_mul(7919)))
        })
        .collect()
}

fn many_visits() -> Vec<String> {
    (0..900)
        .map(|n| format!("{}/{} 9-11.30\n2 skt 50m, 1 fan iso 20m\nmats: 2 skt 12.40, 6m 2.5 t&e 9.00\nparking 4, 6 miles 20m\n", n % 28 + 1, n % 12 + 1))
        .collect()
}
