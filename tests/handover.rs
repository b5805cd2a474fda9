//! `daywork handover`: what stands on whose paper, what never does, and what press leaves alone.

mod common;

use std::fs;
use std::path::Path;

use serde_json::Value;

/// How a run ended.
struct Ran {
    code: i32,
    stdout: String,
    stderr: String,
}

fn ran(folder: &Path, args: &[&str], path: Option<&str>) -> Ran {
    let mut command = common::daywork();
    command.current_dir(folder).args(args);
    if let Some(path) = path {
        command.env("PATH", path);
    }
    let out = command.output().expect("it runs");
    Ran {
        code: out.status.code().expect("it was not killed"),
        stdout: common::stdout(&out),
        stderr: common::stderr(&out),
    }
}

fn daywork(folder: &Path, args: &[&str]) -> Ran {
    ran(folder, args, None)
}

const DAY: &str = "2026-11-25";

const SETTINGS: &str = "title: A diary
trader: {name: Nan Tregarrow, trading_as: Gullwick Electrical, phone: 01632 960123, email: nan@example.com}
site: {address: https://example.com, language: en-GB, timezone: Europe/London}
rates: {hour: 42.00, markup_percent: 15, vat_percent: 20}
locations: {rented-flat: Rented flat}
tasks: {fault-finding: {name: Fault finding, unit: job}}
guarantee: {years: 6}
";

const CLIENTS: &str = "harbour-lets:
  name: Harbour Lets
  contact: Marten Gask
  address: 27 Hawser Street
  phone: 01632 960152
  email: repairs@example.com
  role: agent
pellow:
  name: Ivo Pellow
  address: 40 Tamarisk Road
  phone: 07700 900184
  role: landlord
brannick:
  name: Odo Brannick
  address: 9 Slipway Cottages
  phone: 07700 900118
  email: odo@example.com
";

/// A job in a let flat: a C1 nobody was told of and kept out of the write-up, a C2 told, a private note; a bad reading.
const LOG: &str = "---
title: Sockets that went warm
ref: 2026-007
location: rented-flat
client: pellow
place: Flat 2, 40 Tamarisk Road
tenure: rented
quoted: {hours: 2h, labour: 84.00}
charged: {labour: 126.00, materials: 21.00, on: 2026-11-12}
extras: [{what: one more socket, labour: 42.00, agreed: {who: owner, on: 2026-11-10}}]
visits:
  - {date: 2026-11-10, from: 09:00, to: 12:00, note: gate code is 4471, tasks: [{task: fault-finding, time: 2h}]}
findings:
  - {what: Live parts showing behind the cooker, where: kitchen, code: C1, private: true, done: isolated at the board}
  - {what: RCD slow on test, code: C2, done: replaced, told: {who: Ivo Pellow, on: 2026-11-10, how: by email}, put_right: 2026-11-10}
  - {what: Cupboard full of papers, code: note, private: true}
readings:
  - {circuit: Kitchen ring, device: {type: B, rating: 32}, zs: 1.84, insulation: {at: 500, live_to_earth: \">200\"}}
materials: [{item: RCBO single-module, count: 1, cost: 17.00, charge: 21.00}]
---

Words.

```private
He pays late.
```
";

struct Diary(tempfile::TempDir);

impl Diary {
    fn new(log: &str) -> Diary {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let diary = Diary(folder);
        diary.write("diary.yaml", SETTINGS);
        diary.write("clients.yaml", CLIENTS);
        diary.write("jobs/2026/warm.md", log);
        diary
    }

    fn path(&self) -> &Path {
        self.0.path()
    }

    fn write(&self, name: &str, text: &str) {
        let path = self.path().join(name);
        fs::create_dir_all(path.parent().expect("it has a folder")).expect("a temporary folder");
        fs::write(path, text).expect("a temporary folder");
    }

    fn read(&self, name: &str) -> String {
        let path = self.path().join("out/office/handover/2026-007").join(name);
        fs::read_to_string(&path).unwrap_or_else(|_| panic!("{} was written", path.display()))
    }

    /// A page without its style: the letters of a font spell anything.
    fn page(&self, name: &str) -> String {
        let html = self.read(name);
        let (before, rest) = html.split_once("<style>").expect("its style is inside");
        let (_, after) = rest.split_once("</style>").expect("its style ends");
        format!("{before}{after}")
    }

    fn run(&self, args: &[&str]) -> Ran {
        let mut all = vec!["handover", "2026-007", "--as-of", DAY];
        all.extend(args);
        daywork(self.path(), &all)
    }
}

#[test]
fn the_one_who_paid_gets_everything_but_what_is_private_to_the_trader() {
    let diary = Diary::new(LOG);
    let ran = diary.run(&[]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    let page = diary.page("paper.html");
    for words in [
        "Ivo Pellow",
        "Flat 2, 40 Tamarisk Road",
        "Planned, 09:00 to 12:00: fault finding.",
        "Live parts showing behind the cooker (kitchen).",
        "The record names nobody as told before this paper: take it as told now.",
        "keep it off and keep people away until it is put right",
        "due by 7 December 2026",
        "You were told on 10 November 2026, by email.",
        "1.84 Ω",
        "at most 1.37 Ω",
        "outside</span>",
        "One more socket, agreed 10 November 2026",
        "VAT at 20 %",
        "176.40",
        "9 November 2032",
        "This is no certificate.",
        "Cupboard full of papers",
    ] {
        assert!(page.contains(words), "{words}\n{page}");
    }
    for never in [
        "4471",
        "He pays late",
        "17.00",
        "07700 900184",
        "is safe",
        "<script",
    ] {
        assert!(!page.contains(never), "{never}");
    }
    let email = diary.read("email.txt");
    assert!(
        email.contains("Subject: PLEASE READ: Sockets that went warm (job 2026-007)"),
        "{email}"
    );
    assert!(
        email.contains("Zs 1.84 Ω: outside (at most 1.37 Ω)"),
        "{email}"
    );
    // The amounts of the paper, a line each; reckoned by hand: 20 % of 84 is 16.80, of 147 it is 29.40.
    let charged = [
        "CHARGED",
        "Amounts in £                                       quoted      charged",
        "Labour, extras apart                                84.00        84.00",
        "One more socket, agreed 10 November 2026                         42.00",
        "Materials                                                        21.00",
        "VAT at 20 %                                         16.80        29.40",
        "Billed 12 November 2026                            100.80       176.40",
        "£176.40 in all, VAT in it.",
    ];
    assert!(email.contains(&charged.join("\n")), "{email}");
    assert!(
        email.lines().all(|line| line.chars().count() <= 78),
        "{email}"
    );
    assert!(!email.contains("4471") && !email.contains("He pays late"));
    let note = diary.read("certificate.txt");
    assert!(
        note.contains("C1 (danger present): Live parts showing behind the cooker"),
        "{note}"
    );
    // What nobody was told of is said on the spot as well.
    assert!(
        ran.stderr.contains("nobody has been told"),
        "{}",
        ran.stderr
    );
}

/// Words without their line breaks.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_email_says_what_was_measured_again_and_has_the_papers_key_to_its_verdicts() {
    let log = LOG.replace(
        "readings:\n",
        "readings:\n  - {circuit: Kitchen ring, as_found: true, polarity: reversed, device: {type: B, rating: 32}, zs: 2.10}\n",
    );
    let diary = Diary::new(&log);
    assert_eq!(diary.run(&[]).code, 0);
    let page = diary.page("paper.html");
    assert!(
        page.contains("Zs<span class=\"n\">, measured again since</span>"),
        "{page}"
    );
    let email = diary.read("email.txt");
    for line in [
        // 95 % of 230 V over five times 32 A is 1.37 ohm (BS 7671, Table 41.3).
        "  Zs 2.10 Ω, measured again since: outside (at most 1.37 Ω)",
        "  Polarity reversed: not as it should be",
        "  Zs 1.84 Ω: outside (at most 1.37 Ω)",
    ] {
        assert!(email.contains(line), "{line}\n{email}");
    }
    let (_, key) = page.split_once("<b>Within</b>").expect("the paper's key");
    let (key, _) = key.split_once(" Figures:").expect("its books follow");
    let key = format!("Within{key}")
        .replace("<b>", "")
        .replace("</b>", "");
    assert!(flat(&email).contains(&key), "{key}\n{email}");
}

#[test]
fn a_long_extra_stands_above_its_amount_and_no_quote_is_no_column() {
    let log = LOG
        .replace("quoted: {hours: 2h, labour: 84.00}\n", "")
        .replace(
            "one more socket",
            "one more socket behind the tall cupboard",
        );
    let diary = Diary::new(&log);
    assert_eq!(diary.run(&[]).code, 0);
    let charged = [
        "Amounts in £                                                   charged",
        "Labour, extras apart                                             84.00",
        "One more socket behind the tall cupboard, agreed 10 November 2026",
        "                                                                 42.00",
        "Materials                                                        21.00",
    ];
    let email = diary.read("email.txt");
    assert!(email.contains(&charged.join("\n")), "{email}");
}

#[test]
fn a_client_who_opens_the_door_is_named_once() {
    let diary = Diary::new(LOG);
    let himself = "name: Ivo Pellow\n  contact: Ivo Pellow";
    diary.write(
        "clients.yaml",
        &CLIENTS.replace("name: Ivo Pellow", himself),
    );
    let ran = diary.run(&[]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    assert_eq!(diary.page("paper.html").matches("Ivo Pellow").count(), 1);
}

#[test]
fn the_paper_is_one_file_that_loads_nothing() {
    let diary = Diary::new(LOG);
    assert_eq!(diary.run(&["--daywork"]).code, 0);
    for name in ["paper.html", "daywork.html"] {
        let html = diary.read(name);
        assert!(
            !html.contains("http://") && !html.contains("https://"),
            "{name}"
        );
        assert!(
            !html.contains("<link rel=\"stylesheet\"") && !html.contains("src="),
            "{name}"
        );
        let loaded: Vec<&str> = html
            .split("url(")
            .skip(1)
            .filter_map(|rest| rest.split(')').next())
            .filter(|url| !url.starts_with("\"data:") && !url.starts_with('#'))
            .collect();
        assert_eq!(loaded, Vec::<&str>::new(), "{name}");
    }
}

#[test]
fn a_tenant_sees_no_price_and_nothing_of_the_landlord_but_every_danger() {
    let diary = Diary::new(LOG);
    assert_eq!(diary.run(&["--for", "tenant"]).code, 0);
    for text in [
        diary.page("paper-tenant.html"),
        diary.read("email-tenant.txt"),
    ] {
        for never in [
            "Pellow",
            "84.00",
            "126.00",
            "176.40",
            "21.00",
            "£",
            "VAT",
            "Billed",
            "Cupboard full",
            "4471",
        ] {
            assert!(!text.contains(never), "{never}\n{text}");
        }
        let flat = flat(&text);
        for words in [
            "Live parts showing behind the cooker",
            "RCD slow on test",
            "Somebody else was told on 10 November 2026, by email.",
            "1.84 Ω",
        ] {
            assert!(flat.contains(words), "{words}\n{flat}");
        }
    }
    let folder = diary.path().join("out/office/handover/2026-007");
    assert!(!folder.join("certificate.txt").exists() && !folder.join("paper.html").exists());
    let daywork = diary.run(&["--for", "tenant", "--daywork"]);
    assert_eq!(daywork.code, 2, "{}", daywork.stderr);
    assert!(
        daywork.stderr.contains("shows prices"),
        "{}",
        daywork.stderr
    );
}

#[test]
fn an_agent_sees_prices_only_as_the_one_who_pays() {
    let other = Diary::new(LOG);
    assert_eq!(other.run(&["--for", "agent"]).code, 0);
    let page = other.page("paper-agent.html");
    assert!(
        !page.contains("Billed") && !page.contains("Pellow"),
        "{page}"
    );
    assert!(page.contains("Live parts showing") && page.contains("It asks for action at once"));
    let paying = Diary::new(
        &LOG.replace("client: pellow", "client: harbour-lets")
            .replace("who: Ivo Pellow", "who: agent"),
    );
    assert_eq!(paying.run(&["--for", "agent"]).code, 0);
    let page = paying.page("paper-agent.html");
    assert!(page.contains("Billed 12 November 2026") && page.contains("Harbour Lets, Marten Gask"));
}

#[test]
fn no_word_of_another_client_stands_on_any_paper() {
    for (word, owner) in [
        ("Odo Brannick", "the name of client brannick"),
        ("at 9 Slipway Cottages", "the address of client brannick"),
        ("ring 07700 900118", "the phone of client brannick"),
        ("as for odo@example.com", "the email of client brannick"),
    ] {
        let diary =
            Diary::new(&LOG.replace("done: replaced,", &format!("done: \"replaced, {word}\",")));
        for whom in ["owner", "agent", "tenant"] {
            let ran = diary.run(&["--for", whom]);
            assert_eq!(ran.code, 1, "{word} for {whom}: {}", ran.stderr);
            assert!(ran.stderr.contains(owner), "{word}: {}", ran.stderr);
            assert!(
                ran.stderr.contains("jobs/2026/warm.md, line 1"),
                "{}",
                ran.stderr
            );
            assert!(ran.stdout.is_empty());
        }
        assert!(
            !diary.path().join("out/office").exists(),
            "nothing was written"
        );
    }
    // A name under `told` is another's too.
    let diary = Diary::new(&LOG.replace("who: Ivo Pellow", "who: Odo Brannick"));
    let ran = diary.run(&[]);
    assert_eq!(ran.code, 1, "{}", ran.stderr);
    assert!(
        ran.stderr
            .contains("the paper of this job would show Odo Brannick, the name of client brannick")
            && ran.stderr.contains("write a role in its place"),
        "{}",
        ran.stderr
    );
    // The client's own words, and a street that another client shares, stop nothing.
    let shared = CLIENTS.replace("9 Slipway Cottages", "40 Tamarisk Road");
    let diary = Diary::new(LOG);
    diary.write("clients.yaml", &shared);
    assert_eq!(diary.run(&[]).code, 0);
}

#[test]
fn the_report_has_its_shape() {
    let diary = Diary::new(LOG);
    let ran = diary.run(&["--format", "json", "--daywork"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    let report: Value = serde_json::from_str(&ran.stdout).expect("JSON");
    assert_eq!(report["report"], "handover");
    assert_eq!(
        (&report["version"], &report["ref"]),
        (&1.into(), &"2026-007".into())
    );
    let files: Vec<&str> = report["files"]
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(Value::as_str)
        .collect();
    assert_eq!(
        files,
        [
            "out/office/handover/2026-007/certificate.txt",
            "out/office/handover/2026-007/daywork.html",
            "out/office/handover/2026-007/email.txt",
            "out/office/handover/2026-007/paper.html",
        ]
    );
    assert!(files.iter().all(|file| diary.path().join(file).is_file()));
    assert_eq!(report["guarantee"]["from"], "2026-11-10");
    assert_eq!(report["guarantee"]["until"], "2032-11-09");
    assert_eq!(report["findings"][0]["code"], "C1");
    assert_eq!(report["findings"][0]["told"], Value::Null);
    assert_eq!(report["findings"][1]["told"]["on"], "2026-11-10");
    let zs = report["readings"]
        .as_array()
        .and_then(|rows| rows.iter().find(|row| row["quantity"] == "zs"))
        .expect("a Zs was measured");
    assert_eq!(
        (&zs["circuit"], &zs["value"], &zs["limit"], &zs["verdict"]),
        (
            &"Kitchen ring".into(),
            &"1.84".into(),
            &1.37.into(),
            &"outside".into()
        )
    );
    assert!(
        zs["source"]
            .as_str()
            .is_some_and(|source| source.contains("41.3"))
    );
    assert_eq!(
        report["readings"][0]["quantity"],
        "insulation.live_to_earth"
    );
}

#[test]
fn press_neither_sweeps_nor_refuses_what_was_handed_over() {
    let diary = Diary::new(LOG);
    assert_eq!(diary.run(&[]).code, 0);
    let before = diary.read("paper.html");
    for _ in 0..2 {
        let pressed = daywork(diary.path(), &["press", "--as-of", DAY]);
        assert_eq!(pressed.code, 0, "{}", pressed.stderr);
        assert_eq!(diary.read("paper.html"), before);
    }
    diary.write("jobs/2026/warm.md", &LOG.replace("2026-007", "2026-008"));
    assert_eq!(daywork(diary.path(), &["press", "--as-of", DAY]).code, 0);
    assert_eq!(
        diary.read("paper.html"),
        before,
        "it is what was handed over"
    );
    assert!(!diary.path().join("out/site/handover").exists());
}

#[test]
fn a_ref_that_is_not_there_names_the_nearest() {
    let diary = Diary::new(LOG);
    let ran = daywork(diary.path(), &["handover", "2026-070"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.stderr.contains("no job has the ref 2026-070"),
        "{}",
        ran.stderr
    );
}

#[test]
fn without_a_browser_the_paper_is_there_and_the_way_to_print_it_is_told() {
    let diary = Diary::new(LOG);
    let ran = ran(diary.path(), &["handover", "2026-007", "--pdf"], Some(""));
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    assert!(
        ran.stderr.contains("No Chromium or Chrome was found"),
        "{}",
        ran.stderr
    );
    assert!(diary.read("paper.html").contains("Sockets that went warm"));
}

#[test]
fn clock_times_say_the_break_and_the_night_on_which_the_clocks_change() {
    const VISIT: &str = "{date: 2026-11-10, from: 09:00, to: 12:00, note: gate code is 4471";
    for (zone, visit, said, on_site) in [
        // 4 h 50 less the break.
        (
            "Europe/London",
            "{date: 2026-11-10, from: 08:10, to: 13:00, break: 15m",
            "Planned, 08:10 to 13:00, break 15 min: fault finding.",
            "4 h 35",
        ),
        // Clocks in the United Kingdom go back at 2:00 on the last Sunday of October and forward at 1:00 on that of March.
        (
            "Europe/London",
            "{date: 2026-10-24, from: 23:30, to: 03:30, break: 15m",
            "Planned, 23:30 to 03:30 (the clocks went back an hour), break 15 min: fault finding.",
            "4 h 45",
        ),
        (
            "Europe/London",
            "{date: 2026-03-28, from: 23:30, to: 03:30",
            "Planned, 23:30 to 03:30 (the clocks went forward an hour): fault finding.",
            "3 h",
        ),
        // Lord Howe Island has half an hour of summer time, until the first Sunday of April.
        (
            "Australia/Lord_Howe",
            "{date: 2026-04-04, from: 23:30, to: 03:30",
            "Planned, 23:30 to 03:30 (the clocks went back 30 min): fault finding.",
            "4 h 30",
        ),
        (
            "Europe/London",
            "{date: 2026-11-10, time: 4h, break: 30m",
            "Planned, 3 h 30: fault finding.",
            "3 h 30",
        ),
    ] {
        let diary = Diary::new(&LOG.replace(VISIT, visit));
        diary.write("diary.yaml", &SETTINGS.replace("Europe/London", zone));
        let ran = diary.run(&["--daywork"]);
        assert_eq!(ran.code, 0, "{}", ran.stderr);
        let email = flat(&diary.read("email.txt"));
        assert!(email.contains(said), "{said}\n{email}");
        assert!(email.contains(&format!("; {on_site} on site.")), "{email}");
        let page = diary.page("paper.html");
        assert!(page.contains(said), "{said}\n{page}");
        let sheet = diary.page("daywork.html");
        if let Some((_, clock)) = said
            .trim_end_matches(": fault finding.")
            .split_once("Planned, ")
            .filter(|(_, when)| when.contains(" to "))
        {
            assert!(
                sheet.contains(&format!(
                    "planned, {clock}</th><td class=\"num\">{on_site}</td>"
                )),
                "{clock}\n{sheet}"
            );
        }
    }
}

#[test]
fn what_has_no_number_to_lie_outside_of_is_said_to_be_not_as_it_should_be() {
    let log = LOG.replace(
        "zs: 1.84,",
        "zs: 1.84, polarity: reversed, ring: {r1: 0.40, rn: \">2000\", r2: 0.66},",
    );
    let ran = Diary::new(&log).run(&[]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    for line in [
        "  polarity reversed on Kitchen ring: not as it should be\n",
        "  ring.rn >2000 on Kitchen ring: not as it should be\n",
        "  zs 1.84 on Kitchen ring: outside its figure of 1.37\n",
    ] {
        assert!(ran.stdout.contains(line), "{line}\n{}", ran.stdout);
    }
}

#[test]
fn a_refusal_in_writing_has_one_wording() {
    const ISOLATED: &str = "private: true, done: isolated at the board}";
    let log = LOG
        .replace("put_right: 2026-11-10}", "refused: true}")
        .replace(ISOLATED, "refused: true}");
    let diary = Diary::new(&log);
    let ran = diary.run(&[]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    for line in [
        "  C1   Live parts showing behind the cooker (refused, in writing; told to nobody yet)\n",
        "  C2   RCD slow on test (refused, in writing)\n",
    ] {
        assert!(ran.stdout.contains(line), "{line}\n{}", ran.stdout);
    }
    assert_eq!(daywork(diary.path(), &["press", "--as-of", DAY]).code, 0);
    let job = diary.path().join("out/office/jobs/2026-007.html");
    let job = fs::read_to_string(job).expect("the job has its page");
    for text in [
        diary.page("paper.html"),
        diary.read("email.txt"),
        diary.read("certificate.txt"),
        job,
    ] {
        let said = "Consent to isolate it or put it right was refused, in writing.";
        assert_eq!(flat(&text).matches(said).count(), 2, "{text}");
    }
}

#[test]
fn a_day_that_has_passed_is_told_as_past() {
    let diary = Diary::new(LOG);
    // Seen on 10 November, 28 days on; the day itself is in time.
    for (day, is) in [("2026-12-07", "is"), ("2026-12-08", "was")] {
        let ran = daywork(diary.path(), &["handover", "2026-007", "--as-of", day]);
        assert_eq!(ran.code, 0, "{}", ran.stderr);
        for text in [diary.page("paper.html"), diary.read("email.txt")] {
            let said = format!("In a rented home in England that {is} due by 7 December 2026.");
            assert!(flat(&text).contains(&said), "{said}\n{text}");
        }
        assert_eq!(daywork(diary.path(), &["press", "--as-of", day]).code, 0);
        let list = fs::read_to_string(diary.path().join("out/office/findings/index.html"))
            .expect("the office book lists findings");
        let said = format!("In a rented home it {is} due by 7 December 2026.");
        assert!(list.contains(&said), "{said}\n{list}");
    }
}

#[test]
fn a_daywork_sheet_writes_its_amounts_and_counts_as_sentences_do() {
    let log = LOG.replace(
        "materials: [",
        "plant: [{item: Tower, count: 2, unit: day, cost: 35.00}, {item: Hoist, unit: day, cost: 50.00}]\n\
         materials: [{item: Cable, count: 24, unit: m}, {item: Clips, count: 2, unit: box}, {item: Gland, count: 4, unit: each}, ",
    );
    let diary = Diary::new(&log);
    diary.write(
        "diary.yaml",
        &SETTINGS.replace("rates: {", "rates: {currency: NOK, "),
    );
    let ran = diary.run(&["--daywork"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    let sheet = diary.page("daywork.html");
    assert!(
        sheet.contains("Labour goes at NOK 42.00 an hour,"),
        "{sheet}"
    );
    for (item, count) in [
        ("Tower", "2 days"),
        ("Hoist", "1 day"),
        ("Cable", "24 m"),
        ("Clips", "2 boxes"),
        ("Gland", "4"),
    ] {
        let line = format!("{item}</th><td class=\"num\">{count}</td>");
        assert!(sheet.contains(&line), "{line}\n{sheet}");
    }
}

#[test]
fn plant_is_named_as_materials_are_without_its_cost() {
    const MATERIALS: &str =
        "materials: [{item: RCBO single-module, count: 1, cost: 17.00, charge: 21.00}]\n";
    const PLANT: &str = "plant: [{item: Tower, count: 2, unit: day, cost: 35.00, charge: 47.00, supplier: hire counter}]\n";
    let both = format!("{MATERIALS}{PLANT}");
    for (lists, materials) in [(both.as_str(), true), (PLANT, false)] {
        let diary = Diary::new(&LOG.replace(MATERIALS, lists));
        let ran = diary.run(&[]);
        assert_eq!(ran.code, 0, "{}", ran.stderr);
        let (page, email) = (diary.page("paper.html"), diary.read("email.txt"));
        assert!(page.contains(">Plant</h2>"), "{page}");
        assert!(
            page.contains("<li><b>2 days</b><span>Tower</span></li>"),
            "{page}"
        );
        assert!(email.contains("\nPLANT\n- 2 days Tower\n"), "{email}");
        assert_eq!(page.contains(">Materials</h2>"), materials);
        for never in ["35.00", "47.00", "70.00", "94.00", "hire counter"] {
            assert!(!page.contains(never) && !email.contains(never), "{never}");
        }
    }
}

#[test]
fn a_paper_promises_what_was_measured_only_where_something_was() {
    let (without, _) = LOG.split_once("readings:").expect("it has readings");
    for (log, measured) in [
        (LOG.to_owned(), true),
        (format!("{without}---\n\nWords.\n"), false),
    ] {
        let diary = Diary::new(&log);
        let ran = diary.run(&[]);
        assert_eq!(ran.code, 0, "{}", ran.stderr);
        for text in [diary.page("paper.html"), diary.read("email.txt")] {
            let text = flat(&text);
            let said = match measured {
                true => {
                    "what was found and who was told, what was measured, and what stands behind it."
                }
                false => "what was found and who was told, and what stands behind it.",
            };
            assert!(text.contains(said), "{said}\n{text}");
        }
    }
}
