//! The anonymous export: nothing private in any of the three forms, and nothing that hangs on what is private.

use daywork::diary::{Read, read_files};
use daywork::model::table::{Cell, Table};
use daywork::office::export;
use daywork::pages::tables::{Form, files};
use daywork::public::Gate;
use daywork::public::anonymous::{self, Anonymous};
use jiff::civil::{Date, date};

const AS_OF: Date = date(2026, 11, 25);

/// Two diaries are made from one text: what stands between `‹` and `›` is private, and of its two halves the first is
/// of one diary and the second of the other.
const SETTINGS: &str = "\
title: The Gullwick job diary
trader: {name: Nan Tregarrow, trading_as: Gullwick Electrical, phone: 01632 960123, email: nan@example.com}
site: {address: https://example.com, language: en-GB, timezone: Europe/London}
rates: {currency: GBP, hour: ‹41.37|52.11›, day: ‹318.42|417.55›, day_length: 8h, call_out: 65.00, mile: 0.45}
locations: {boat-shed: Boat shed}
tasks: {shore-point: {name: Change a shore-power outlet, unit: each}, fault-finding: {name: Fault finding, unit: job}}
guarantee: {years: 6, not_in_it: ‹lamps that Quillon bought|tubes from Ambleton›}
keep_private: [‹zebra cabinet|walrus cupboard›]
";

const CLIENTS: &str = "\
‹tarrow-yard|brine-works›:
  name: ‹Tarrow Slipway|Brine Works›
  contact: ‹Odo Brannick|Una Fesker›
  address: ‹27 Hawser Street|9 Tollgate Row›
  town: ‹Wrackheadton|Farlowmouth›
  postcode: ‹ZZ99 1TS|ZZ99 7QD›
  phone: ‹07700 900118|07700 900774›
  email: ‹yard@example.com|brine@example.com›
  note: ‹ring before coming by night|cash only and no cheques›
";

const PRICE: &str = "tasks: [{task: shore-point, count: 2}]\n";

const SEEN: &str = "\
---
title: Two shore-power outlets
ref: ‹2026-031|1999-777›
location: boat-shed
client: ‹tarrow-yard|brine-works›
priced: ‹shed-long-pontoon|bay-short-jetty›
place: ‹Shed 3, Long Pontoon|Bay 8, Short Jetty›
quoted: {hours: ‹12h17|9h41›, labour: ‹504.91|613.37›, materials: ‹210.83|199.61›, parking: ‹8.07|9.03›, basis: ‹a day and a half of reckoning|two days by guess›, on: ‹2026-02-27|2026-02-11›}
charged: {labour: ‹523.19|711.43›, materials: ‹236.47|287.29›, parking: ‹5.13|6.11›, on: ‹2026-03-23|2026-03-29›}
report: {inspected: ‹2026-02-03|2026-02-05›, due: ‹2026-03-30|2026-03-31›, sent: ‹2026-02-07|2026-02-09›}
visits:
  - {date: ‹2026-03-02|2026-03-04›, kind: call-out, from: 18:10, to: 19:25, travel: {miles: ‹61.75|83.25›, time: ‹3h07|2h53›}, parking: ‹2.59|3.67›, note: ‹key under the third pot|ask at the chandlery›, tasks: [{task: fault-finding, time: 1h}]}
  - {date: ‹2026-03-12|2026-03-17›, from: 08:15, to: 17:00, break: 45m, tasks: [{task: shore-point, count: 2, time: 2h30}, {task: ‹brannick-special|fesker-special›, time: 20m}]}
findings:
  - {what: Casing smashed, where: pontoon, code: C1, done: locked off, told: {who: ‹Wenna Haldrick|Piers Oxley›, on: ‹2026-03-02|2026-03-04›, how: in person}, put_right: ‹2026-03-12|2026-03-17›, visit: ‹2026-03-02|2026-03-04›}
  - {what: ‹Brannick|Fesker› has wired this himself, where: by the ‹zebra cabinet|walrus cupboard›, code: C3, done: note left for ‹Haldrick|Oxley›, told: {who: yard manager, on: ‹2026-03-12|2026-03-17›, how: ‹by telephone to 07700 900118|by telephone to 07700 900774›}}
  - {what: ‹a box of moonstones in the loft|a row of ledgers behind the bath›, code: note, private: true}
readings:
  - {circuit: ‹Brannick's pontoon|Fesker's pontoon›, visit: ‹2026-03-12|2026-03-17›, device: {type: C, rating: 16}, zs: 0.92, polarity: right}
  - {circuit: Lights, visit: ‹2026-03-12|2026-03-17›, device: {type: B, rating: 6}, zs: 1.18, rcd: {at: 30, ms: 24, kind: A}}
materials:
  - {item: \"Armoured gland, outdoor\", count: 4, cost: ‹4.57|5.63›, charge: ‹6.29|7.13›, supplier: ‹Plumstone Counter|Oakham Counter›}
  - {item: Gland for ‹Odo Brannick|Una Fesker›, count: 1, cost: ‹7.77|8.88›}
extras:
  - {what: ‹label both outlets in brass|polish the brass of both›, labour: ‹15.53|16.61›, agreed: {who: ‹the harbour bailiff|the tide waiter›, on: ‹2026-03-12|2026-03-17›}}
publish: 2026-03-20
---
The yard rang.

```private
‹Gate chain code is four seven one one|The dog answers to a whistle only›.
```
";

const UNSEEN: &str = "\
---
title: ‹A lighthouse nobody must hear of|A mansion that stays unnamed›
ref: ‹2026-007|1999-888›
location: ‹folly-of-merrivale|grange-of-harcombe›
client: ‹tarrow-yard|brine-works›
for: ‹2026-031|1999-777›
uncharged: ‹goodwill towards the keeper|he paid in herring›
visits:
  - {date: ‹2026-02-02|2026-02-24›, time: 2h, tasks: [{task: shore-point, count: 1, time: 1h10}]}
findings:
  - {what: ‹lamp room flooded to the sill|ballroom chandelier hung by twine›, where: ‹the gallery of the tower|the minstrels' loft›, code: C2, done: ‹bailed out with a bucket|taken down on a ladder›, told: {who: owner, on: ‹2026-02-02|2026-02-24›, how: ‹by signal flag|by carrier pigeon›}}
readings:
  - {circuit: ‹Lantern gallery|Minstrels' gallery›, device: {type: ‹Keeper's own fuse|Butler's own fuse›, rating: 5}, zs: 0.44, polarity: ‹as the keeper left it|as the butler left it›}
  - {circuit: ‹Stair of the tower|Stair of the loft›, rcd: {at: 30, ms: 21, kind: type S}}
  - {circuit: ‹Lens motor|Chandelier winch›, rcd: {at: 30, ms: 26, kind: ‹keeper's own trip|butler's own trip›}}
materials:
  - {item: ‹Foghorn reed of brass|Chandelier drop of glass›, count: 1}
---
";

/// Another of the same month, whose ref comes first in one diary and last in the other.
const LIKE_IT: &str = "\
---
title: ‹Pilchard cellar rewired|Chapel organ loft›
ref: ‹2026-001|1999-999›
visits:
  - {date: ‹2026-02-02|2026-02-24›, time: 3h, tasks: [{task: shore-point, count: 1, time: 1h30}]}
---
";

/// The first diary or the second.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Which {
    First,
    Second,
}

fn halves(template: &str) -> Vec<(&str, &str)> {
    template
        .split('‹')
        .skip(1)
        .map(|rest| {
            let private = rest.split('›').next().expect("it ends");
            private.split_once('|').expect("two halves")
        })
        .collect()
}

fn one_of(template: &str, which: Which) -> String {
    let mut text = String::new();
    for (index, part) in template.split('‹').enumerate() {
        if index == 0 {
            text.push_str(part);
            continue;
        }
        let (private, open) = part.split_once('›').expect("it ends");
        let (first, second) = private.split_once('|').expect("two halves");
        text.push_str(if which == Which::First { first } else { second });
        text.push_str(open);
    }
    text
}

fn diary(which: Which) -> Read {
    // A file name may hold an address, and the order of files is no business of anybody's.
    let seen = if which == Which::First {
        "jobs/2026/hawser-street.md"
    } else {
        "jobs/1999/z.md"
    };
    let unseen = if which == Which::First {
        "jobs/2026/lighthouse.md"
    } else {
        "jobs/1999/a.md"
    };
    let priced = match which {
        Which::First => "prices/shed-long-pontoon.yaml",
        Which::Second => "prices/bay-short-jetty.yaml",
    };
    let texts = [
        ("diary.yaml", SETTINGS),
        ("clients.yaml", CLIENTS),
        (priced, PRICE),
        (seen, SEEN),
        (unseen, UNSEEN),
        ("jobs/2026/like-it.md", LIKE_IT),
    ];
    let files = texts.map(|(path, text)| (path.to_owned(), one_of(text, which).into_bytes()));
    let mut files = files.to_vec();
    files.sort();
    let mut read = read_files(files);
    let errors: Vec<&str> = read
        .diagnostics
        .iter()
        .filter(|one| one.level == daywork::diagnose::Level::Error)
        .map(|one| one.message.as_str())
        .collect();
    assert!(errors.is_empty(), "{which:?}: {errors:?}");
    read.diary.jobs.sort_by(|a, b| {
        let by = |job: &daywork::model::Job| job.reference.in_office().value.clone();
        by(a).cmp(&by(b))
    });
    read
}

fn anonymous(which: Which) -> Anonymous {
    let mut read = diary(which);
    let gate = Gate::new(&read.diary, &read.sources);
    read.diary.keep_up_to(AS_OF);
    let timed = export::timed(&read.diary, AS_OF);
    anonymous::export(&read.diary, &timed, AS_OF, &gate)
}

fn whole(which: Which) -> Vec<Table> {
    let mut read = diary(which);
    read.diary.keep_up_to(AS_OF);
    export::tables(&read.diary, AS_OF)
}

fn forms() -> Vec<Form> {
    let mut forms = vec![Form::Csv, Form::Json];
    if cfg!(feature = "sqlite") {
        forms.push(Form::Sqlite);
    }
    forms
}

/// Every file of a form, as one text. A database keeps its texts as they are.
fn text(tables: &[Table], form: Form) -> String {
    let made = files(tables, form).expect("it is built in");
    let whole: Vec<u8> = made.into_iter().flat_map(|made| made.bytes).collect();
    String::from_utf8_lossy(&whole).to_lowercase()
}

/// What each private value would look like in a file.
fn planted(which: Which) -> Vec<String> {
    let mut words: Vec<String> = [SETTINGS, CLIENTS, SEEN, UNSEEN, LIKE_IT]
        .iter()
        .flat_map(|template| halves(template))
        .map(|(first, second)| if which == Which::First { first } else { second })
        .map(str::to_lowercase)
        .collect();
    words.sort();
    words.dedup();
    words
}

/// Not in the whole export either: rates, kept words and private blocks belong to no row, and lengths and miles are
/// written as numbers there.
fn belongs_to_no_row(word: &str) -> bool {
    let length =
        word.ends_with(|c: char| c.is_ascii_digit()) && word.contains('h') && word.len() < 6;
    length
        || [
            "41.37",
            "318.42",
            "gate chain code",
            "zebra cabinet",
            "hawser-street",
        ]
        .iter()
        .any(|other| word.starts_with(other))
}

#[test]
fn nothing_private_is_in_any_form() {
    let made = anonymous(Which::First);
    for form in forms() {
        let text = text(&made.tables, form);
        for word in planted(Which::First) {
            assert!(!text.contains(&word), "{form:?} shows {word}");
        }
        // Lengths, miles and amounts as numbers, and the words of longer texts alone.
        for word in [
            "hawser",
            "lighthouse",
            "brannick",
            "haldrick",
            "quillon",
            "moonstone",
            "merrivale",
            "keeper",
            "61.75",
            "737",
            "187",
            "50491",
            "52319",
            "2026-03-",
            "2026-02-",
        ] {
            assert!(!text.contains(word), "{form:?} shows {word}");
        }
    }
}

#[test]
fn the_whole_export_has_what_the_anonymous_one_leaves_out() {
    let tables = whole(Which::First);
    for form in [Form::Csv, Form::Json] {
        let text = text(&tables, form);
        for word in planted(Which::First) {
            let there = text.contains(&word);
            assert!(there || belongs_to_no_row(&word), "{form:?} lacks {word}");
        }
    }
}

#[test]
fn what_is_private_changes_no_byte() {
    let (first, second) = (anonymous(Which::First), anonymous(Which::Second));
    for form in forms() {
        assert!(
            files(&first.tables, form) == files(&second.tables, form),
            "{form:?} tells the two diaries apart:\n{}\n{}",
            text(&first.tables, Form::Json),
            text(&second.tables, Form::Json)
        );
    }
    assert_ne!(
        files(&whole(Which::First), Form::Json),
        files(&whole(Which::Second), Form::Json)
    );
}

#[test]
fn what_readers_may_see_is_there() {
    let made = anonymous(Which::First);
    assert_eq!((made.with_words, made.held), (1, 5));
    let text = text(&made.tables, Form::Json);
    for shown in [
        "two shore-power outlets",
        "\"month\":\"2026-03\"",
        "\"month\":\"2026-02\"",
        "\"location\":\"boat-shed\"",
        "\"from_clock\":\"18:10\"",
        "\"kind\":\"call-out\"",
        "casing smashed",
        "\"told_role\":\"yard manager\"",
        "\"circuit\":\"circuit 1\"",
        "\"circuit\":\"lights\"",
        "\"device_type\":\"c\"",
        "\"as_written\":\"0.44\"",
        "\"rcd_kind\":\"a\"",
        "\"rcd_kind\":\"type s\"",
        "armoured gland, outdoor",
        "\"minutes_each\":75.0",
        "\"minutes_each\":70.0",
    ] {
        assert!(text.contains(shown), "{shown} is missing from\n{text}");
    }
    let jobs = made.tables[1].rows().iter().map(|row| row[0].clone());
    assert_eq!(jobs.collect::<Vec<_>>(), [1, 2, 3].map(Cell::Whole));
    let rows: Vec<(&str, usize)> = made
        .tables
        .iter()
        .map(|table| (table.schema.name, table.rows().len()))
        .collect();
    assert_eq!(
        rows,
        [
            ("about", 1),
            ("jobs", 3),
            ("visits", 4),
            ("tasks", 5),
            ("findings", 3),
            ("readings", 8),
            ("materials", 2),
            ("observations", 5),
        ]
    );
}
