//! Properties: money and lengths come back as they were written; a diary that inspects clean presses; a planted
//! private word never gets out; no text makes the reader panic.

mod common;

use common::gate_faults;
use daywork::diagnose::Level;
use daywork::diary::read_files;
use daywork::model::{Minutes, Money};
use daywork::office::book::handbook::Handbook;
use daywork::office::book::{Reports, book};
use daywork::office::cover::cover;
use daywork::office::hours::hours;
use daywork::office::rates::each_year;
use daywork::pages::sheets::Sheets;
use daywork::pages::{office, site};
use daywork::public::{self, Gate};
use daywork::rules;
use jiff::civil::{Date, date};
use proptest::prelude::*;

const SETTINGS: &str = "title: A small diary\ntrader: {name: Nan Tregarrow}\n\
    site: {address: https://example.com, timezone: Europe/London}\n\
    locations: {shop: Shop, boat-shed: Boat shed}\n\
    tasks:\n  socket: {name: Change a socket outlet, unit: each}\n  armoured-run: {name: Lay cable, unit: metre}\n\
    public: {how_long: true, fewest_jobs: 3}\n";
const CLIENTS: &str = "quay:\n  name: Septimus Wrayle\n  contact: Mrs Ottoline Pengarth\n  \
    address: 14 Ropewalk Steps, Gullwick\n  postcode: ZZ99 3AB\n  email: wrayle@example.com\n  phone: 07700 900155\n";

fn as_of() -> Date {
    date(2026, 11, 25)
}

/// One of the texts that people write; the odd ones too.
fn prose() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        "[a-zA-Z ,.'éΩ²€-]{0,40}",
        Just("**bold** and `code`".to_owned()),
        Just("- a\n- b\n\n".to_owned()),
        Just("| a | b |\n|---|---|\n| 1 | 2 |\n\n".to_owned()),
        Just("\n\n## A part\n\n".to_owned()),
        Just("```private\nsomething kept\n```\n\n".to_owned()),
        Just("```readings\n```\n\n".to_owned()),
        Just("A note.[^1]\n\n[^1]: Its text.\n\n".to_owned()),
        Just("> quoted\n\n".to_owned()),
        Just("1 < 2 & 3 > 2".to_owned()),
    ];
    proptest::collection::vec(piece, 0..8).prop_map(|parts| parts.concat())
}

fn log(
    index: usize,
    title: &str,
    from: u32,
    minutes: u32,
    public: bool,
    body: &str,
) -> (String, Vec<u8>) {
    let to = from * 60 + minutes;
    let publish = if public { "publish: 2026-03-20\n" } else { "" };
    let text = format!(
        "---\ntitle: \"{title} {index}\"\nref: 2026-{index:03}\nlocation: shop\nclient: quay\nplace: Shed 3, Slip End\n\
         visits:\n  - {{date: 2026-03-{:02}, from: {from:02}:00, to: {:02}:{:02}, tasks: [{{task: socket, count: 2, time: 10m}}]}}\n\
         {publish}subjects: [shops]\n---\n\n{body}\n",
        1 + index,
        to / 60,
        to % 60,
    );
    (format!("jobs/2026/{index}.md"), text.into_bytes())
}

fn diary(logs: Vec<(String, Vec<u8>)>) -> daywork::diary::Read {
    let mut files = vec![
        ("diary.yaml".to_owned(), SETTINGS.as_bytes().to_vec()),
        ("clients.yaml".to_owned(), CLIENTS.as_bytes().to_vec()),
    ];
    files.extend(logs);
    read_files(files)
}

/// Every byte that would be written to the site, or what stops it.
fn pressed(read: &daywork::diary::Read) -> Result<Vec<(String, Vec<u8>)>, String> {
    let sheets = Sheets::built_in();
    let gate = Gate::new(&read.diary, &read.sources);
    let report = hours(&read.diary, None, None, as_of());
    let views = public::views(&read.diary, &report, as_of(), &gate);
    let handbook = Handbook::built_in();
    let rates = each_year(&read.diary, as_of());
    let cover = cover(&read.diary, as_of());
    let book = book(
        &read.diary,
        &read.sources,
        Reports {
            hours: &report,
            rates: &rates,
            cover: &cover,
            back_test: None,
        },
        &read.diagnostics,
        as_of(),
        &handbook,
    );
    for output in office::outputs(&book, &sheets) {
        (output.make)().map_err(|fault| format!("{}: {}", output.path, fault.message))?;
    }
    let mut files = Vec::new();
    for output in site::outputs(&views, &sheets, gate.digest()) {
        let bytes =
            (output.make)().map_err(|fault| format!("{}: {}", output.path, fault.message))?;
        let leaks = gate_faults(&gate, &output.path, &bytes, None, &read.sources);
        if let Some(leak) = leaks.first() {
            return Err(format!("{}: {}", output.path, leak.message));
        }
        files.push((output.path, bytes));
    }
    Ok(files)
}

proptest! {
    #[test]
    fn money_comes_back_as_it_was_written(pence in 0_i64..10_000_000_000) {
        let money = Money::from_pence(pence);
        prop_assert_eq!(Money::from_text(&money.to_string()), Ok(money));
        prop_assert_eq!(Money::from_text(&format!("£{money}")), Ok(money));
    }

    #[test]
    fn lengths_come_back_as_they_were_written(minutes in 0_i64..=7 * 24 * 60) {
        let length = Minutes::new(minutes);
        prop_assert_eq!(Minutes::from_length_text(&length.to_length_text()), Ok(length));
    }

    #[test]
    fn no_text_is_money_or_a_length_by_accident(text in "\\PC{0,12}") {
        if let Ok(money) = Money::from_text(&text) {
            prop_assert!(text.contains(|c: char| c.is_ascii_digit()) && money >= Money::NOUGHT);
        }
        if let Ok(length) = Minutes::from_length_text(&text) {
            prop_assert!(text.contains(['h', 'm']) && length >= Minutes::NOUGHT);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn no_text_makes_the_reader_panic(front in "\\PC{0,200}", body in "\\PC{0,200}", lines in "[-:#\\[\\]{}a-z0-9 \"'\n]{0,200}") {
        let text = format!("---\n{front}\n{lines}\n---\n{body}\n{lines}");
        let read = diary(vec![("jobs/2026/x.md".to_owned(), text.into_bytes())]);
        for fault in &read.diagnostics {
            let drawn = daywork::diagnose::text::render_one(fault, &read.sources, daywork::diagnose::text::Colour::Plain);
            prop_assert!(!drawn.is_empty());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn a_diary_that_inspects_clean_presses(
        jobs in proptest::collection::vec(("[A-Z][a-z]{2,9}", 6_u32..16, 20_u32..400, any::<bool>(), prose()), 1..5)
    ) {
        let logs = jobs
            .iter()
            .enumerate()
            .map(|(index, (title, from, minutes, public, body))| log(index, title, *from, *minutes, *public, body))
            .collect();
        let read = diary(logs);
        let mut all = read.diagnostics.clone();
        all.extend(rules::check(&read.diary, as_of()));
        if all.iter().all(|d| d.level != Level::Error) {
            prop_assert!(pressed(&read).is_ok(), "{:?}", pressed(&read).err());
        }
    }

    #[test]
    fn a_planted_private_word_never_gets_out(
        word in prop_oneof![
            Just("Septimus Wrayle"), Just("septimus WRAYLE"), Just("Wrayle"), Just("ottoline pengarth"),
            Just("14 Ropewalk Steps"), Just("ropewalk steps"), Just("Slip End"), Just("zz993ab"), Just("07700900155"),
            Just("WRAYLE@example.com")
        ],
        wrapped in prop_oneof![
            Just("{}"), Just("**{}**"), Just("[{}](https://example.com)"), Just("`{}`"), Just("# {}"),
            Just("| a |\n|---|\n| {} |"), Just("![{}](x.svg)"), Just("[a](https://example.com \"{}\")"), Just("> {}"),
        ],
        before in "[a-z ]{0,20}",
    ) {
        let body = format!("{before}\n\n{}\n", wrapped.replace("{}", word));
        let drawing = ("jobs/2026/x.svg".to_owned(), b"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\"/>".to_vec());
        let read = diary(vec![log(0, "Plain", 8, 60, true, &body), drawing]);
        let errors = read.diagnostics.iter().any(|d| d.level == Level::Error);
        prop_assert!(errors || pressed(&read).is_err(), "{body}");
    }
}
