//! The office book as it stands on disk: every link leads to a file or a heading that is there, nothing is fetched
//! from elsewhere, and what is reckoned reads as it should. The demo diary is what it is made from. The letters about
//! money are in `office_book/money.rs`.

#[path = "office_book/money.rs"]
mod money;

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use daywork::diagnose::{Code, Diagnostic, put_in_order};
use daywork::diary::Read;
use daywork::office::book::handbook::Handbook;
use daywork::office::book::{Book, Reports, book};
use daywork::office::cover::{Cover, cover};
use daywork::office::hours::{Hours, hours};
use daywork::office::rates::{Rates, each_year};
use daywork::pages::office::outputs;
use daywork::pages::sheets::Sheets;
use jiff::civil::{Date, date};

/// The day the demo diary is looked at.
const AS_OF: Date = date(2026, 11, 25);

/// A diary with what the book is made from.
struct Desk {
    read: Read,
    hours: Hours,
    rates: Vec<Rates>,
    cover: Cover,
    handbook: Handbook,
}

impl Desk {
    fn demo() -> Desk {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("example-site");
        Desk::of(daywork::diary::read(&root).expect("the demo diary is beside the tests"))
    }

    fn of(mut read: Read) -> Desk {
        let danger = read
            .diary
            .jobs
            .iter()
            .find_map(|job| job.findings.first())
            .map(|finding| finding.what.span);
        read.diagnostics.extend(danger.map(|span| {
            Diagnostic::warning(
                Code::DangerUntold,
                span,
                "nobody was told of this",
                "Tell them today.",
            )
        }));
        put_in_order(&mut read.diagnostics, &read.sources);
        let hours = hours(&read.diary, None, None, AS_OF);
        let page = |code: &str, text: &str| (code.to_owned(), text.to_owned());
        let handbook = Handbook::from_texts([
            page(
                "danger-untold",
                "# A danger that nobody was told of\n\nSee [no location](no-location.md).\n",
            ),
            page("no-location", "# No location type\n\nWrite one.\n"),
            page(
                "figures/needed",
                "# Needed an hour\n\nSee [earned](earned.md).\n",
            ),
            page("figures/earned", "# Earned an hour\n\nWhat came in.\n"),
        ]);
        let rates = each_year(&read.diary, AS_OF);
        let cover = cover(&read.diary, AS_OF);
        Desk {
            read,
            hours,
            rates,
            cover,
            handbook,
        }
    }

    fn book(&self, as_of: Date) -> Book<'_> {
        book(
            &self.read.diary,
            &self.read.sources,
            Reports {
                hours: &self.hours,
                rates: &self.rates,
                cover: &self.cover,
                back_test: None,
            },
            &self.read.diagnostics,
            as_of,
            &self.handbook,
        )
    }
}

/// Puts the book into a folder whose name has a space, as press would.
fn press(desk: &Desk, as_of: Date) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let out = folder.path().join("my diary, 2026");
    let book = desk.book(as_of);
    let sheets = Sheets::built_in();
    for output in outputs(&book, &sheets) {
        let path = out.join(&output.path);
        std::fs::create_dir_all(path.parent().expect("it has a folder"))
            .expect("a temporary folder");
        let bytes = (output.make)().expect("built-in sheets can be filled in");
        std::fs::write(path, bytes).expect("a temporary folder");
    }
    (folder, out)
}

/// Every page by its path below the book, with `/` between parts.
fn pages(out: &Path) -> BTreeMap<String, String> {
    let mut pages = BTreeMap::new();
    let mut folders = vec![out.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).expect("written above") {
            let path = entry.expect("written above").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| ending == "html") {
                let below = path
                    .strip_prefix(out)
                    .expect("it is below")
                    .to_string_lossy()
                    .replace('\\', "/");
                pages.insert(
                    below,
                    std::fs::read_to_string(&path).expect("pages are UTF-8"),
                );
            }
        }
    }
    pages
}

/// The values of an attribute, entities undone.
fn values(html: &str, attribute: &str) -> Vec<String> {
    html.split(&format!(" {attribute}=\""))
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .map(|value| {
            value
                .replace("&amp;", "&")
                .replace("&#x2F;", "/")
                .replace("&#x27;", "'")
        })
        .collect()
}

/// A page of the book with its entities undone.
fn page_text(out: &Path, page: &str) -> String {
    std::fs::read_to_string(out.join(page))
        .expect("a page of the book")
        .replace("&#x2F;", "/")
        .replace("&#x27;", "'")
        .replace("&amp;", "&")
}

/// Where a link of a page leads: a path below the book and an anchor.
fn target(page: &str, link: &str) -> (String, String) {
    let (path, anchor) = link.split_once('#').unwrap_or((link, ""));
    if path.is_empty() {
        return (page.to_owned(), anchor.to_owned());
    }
    let mut parts: Vec<&str> = page.split('/').collect();
    parts.pop();
    for part in path.split('/') {
        match part {
            "." | "" => {}
            ".." => assert!(
                parts.pop().is_some(),
                "{page}: {link} leads out of the book"
            ),
            part => parts.push(part),
        }
    }
    (parts.join("/"), anchor.to_owned())
}

fn is_elsewhere(link: &str) -> bool {
    link.contains("://")
        || link.starts_with("mailto:")
        || link.starts_with("tel:")
        || link.starts_with("//")
}

#[test]
fn every_link_leads_to_a_file_and_a_place_that_are_there() {
    let desk = Desk::demo();
    let (_folder, out) = press(&desk, AS_OF);
    let pages = pages(&out);
    let mut checked = 0;
    let mut linked = BTreeSet::from(["index.html".to_owned()]);
    for (page, html) in &pages {
        for link in [values(html, "href"), values(html, "src")].concat() {
            if is_elsewhere(&link) {
                continue;
            }
            let (path, anchor) = target(page, &link);
            let file = out.join(&path);
            assert!(
                file.is_file(),
                "{page}: {link} leads to {path}, which is no file"
            );
            assert!(
                !link.ends_with('/'),
                "{page}: {link} names a folder, which a disk does not open"
            );
            if !anchor.is_empty() {
                let there = values(&pages[&path], "id").contains(&anchor);
                assert!(there, "{page}: {link} leads to no place of {path}");
            }
            linked.insert(path);
            checked += 1;
        }
    }
    assert!(checked > 3_000, "only {checked} links were looked at");
    let alone: Vec<&String> = pages
        .keys()
        .filter(|page| !linked.contains(*page))
        .collect();
    assert_eq!(alone, Vec::<&String>::new(), "pages that nothing leads to");
}

#[test]
fn nothing_is_fetched_from_another_host_and_links_out_lead_to_the_site_or_the_text_s_own() {
    let desk = Desk::demo();
    let (_folder, out) = press(&desk, AS_OF);
    for (page, html) in pages(&out) {
        for attribute in ["src", "srcset", "poster", "data"] {
            let away: Vec<String> = values(&html, attribute)
                .into_iter()
                .filter(|link| is_elsewhere(link))
                .collect();
            assert_eq!(away, Vec::<String>::new(), "{page}: {attribute}");
        }
        for tag in html.split("<link ").skip(1) {
            let tag = tag.split('>').next().unwrap_or_default();
            assert!(!tag.contains("://"), "{page}: <link {tag}>");
        }
        assert!(
            !html.contains("<script") && !html.contains("@import") && !html.contains("url(http"),
            "{page}"
        );
    }
    for name in ["docket.css", "office.css"] {
        let style = std::fs::read_to_string(out.join(name)).expect("the book has its own style");
        assert!(!style.contains("://"), "{name}");
    }
}

#[test]
fn each_page_has_one_first_heading_a_title_and_no_id_twice() {
    let desk = Desk::demo();
    let (_folder, out) = press(&desk, AS_OF);
    let mut titles = BTreeSet::new();
    for (page, html) in pages(&out) {
        assert_eq!(html.matches("<h1").count(), 1, "{page}");
        // A client's copy is the top copy: the book keeps it, and it looks like what the client holds.
        let is_book_copy = html.contains("<body class=\"office\">");
        assert_eq!(is_book_copy, !page.ends_with("_client.html"), "{page}");
        assert!(
            html.contains("<meta name=\"robots\" content=\"noindex\">"),
            "{page}"
        );
        let title = html
            .split("<title>")
            .nth(1)
            .and_then(|rest| rest.split("</title>").next())
            .unwrap_or_default();
        assert!(
            titles.insert(title.to_owned()),
            "{page}: the title {title} is another page's too"
        );
        let ids = values(&html, "id");
        let distinct: BTreeSet<&String> = ids.iter().collect();
        assert_eq!(ids.len(), distinct.len(), "{page}: an id stands twice");
        // Who listens and jumps from part to part must not hear the same name twice.
        for label in values(&html, "aria-label") {
            let heading = format!("\">{label}</h2>");
            assert!(
                !html.contains(&heading),
                "{page}: two parts are called {label}"
            );
        }
    }
}

#[test]
fn a_job_has_its_money_its_guarantee_and_its_people_on_one_page() {
    let desk = Desk::demo();
    let (_folder, out) = press(&desk, AS_OF);
    let html = std::fs::read_to_string(out.join("jobs/2026-015.html"))
        .expect("the demo diary has this job");
    for words in [
        "6 years, from 18 March 2026 until the end of 17 March 2032: running.",
        "Quoted at 12 h and took 10 h: 17 % under. Labour of £504.00 over 10 h on site is £50.40 an hour",
        "<td class=\"num\">205.40</td><td class=\"num\">236.40</td><td class=\"num\">31.00</td><td class=\"num\">15 %</td>",
        // Materials at 205.40, 5.00 of parking, and a day's hire of the drum stand at 24.00.
        "<td class=\"num\">722.00</td><td class=\"num\">745.40</td><td class=\"num\">234.40</td>",
        "Told: yard manager, 2 March 2026, in person and by email.",
        "Odo Brannick",
        "insurers will pay",
        "https://example.com/write-ups/two-shore-power-outlets-and-a-long-run/",
    ] {
        assert!(html.contains(words), "{words}");
    }
    assert!(
        !html.contains("as readers would see it"),
        "a public write-up is on the site and not here"
    );
    let (_, pictures) = html
        .split_once("Pictures from the write-up")
        .expect("they stand on the page");
    assert!(!pictures.contains("Under the bucket"));
    assert!(pictures.contains("<figcaption>The pillar at the head of the pontoon.</figcaption>"));
}

#[test]
fn a_place_that_the_words_name_is_not_said_twice() {
    let desk = Desk::demo();
    let (_folder, out) = press(&desk, AS_OF);
    let pages = pages(&out);
    for page in ["jobs/2024-040.html", "findings/2024.html"] {
        let page = &pages[page];
        assert!(page.contains("No surge protection at the board."));
        assert!(!page.contains("No surge protection at the board (board)"));
    }
    assert!(
        pages["jobs/2024-040.html"].contains("Bare ends behind the cooker, circuit on (kitchen).")
    );
}

#[test]
fn a_write_up_that_readers_do_not_see_yet_stands_on_its_job_s_page_without_private_blocks() {
    let desk = Desk::demo();
    let before = date(2026, 3, 19);
    let (_folder, out) = press(&desk, before);
    let html = std::fs::read_to_string(out.join("jobs/2026-015.html"))
        .expect("the demo diary has this job");
    assert!(html.contains("it is held back until 20 March 2026."));
    let (_, write_up) = html
        .split_once("The write-up, as readers would see it")
        .expect("it stands on the page");
    assert!(write_up.contains("Under the bucket"));
    assert!(
        write_up.contains("Pontoon outlet 2") && write_up.contains("Armoured gland, outdoor"),
        "tables in place"
    );
    assert!(
        !write_up.contains("insurers will pay"),
        "private blocks are no part of it"
    );
    assert!(
        !html.contains("href=\"../https:"),
        "a link to the site has no way up in front of it"
    );
}

#[test]
fn a_film_stands_with_the_write_up_that_readers_do_not_see_yet() {
    let log = "---\ntitle: Two outlets\nref: 2026-001\nvideo: https://films.example.com/1\nvisits: [{date: 2026-03-12, \
               time: 2h}]\n---\n\nWords.\n";
    let desk = Desk::of(daywork::diary::read_files(vec![
        ("diary.yaml".to_owned(), b"title: A diary\n".to_vec()),
        ("jobs/a.md".to_owned(), log.as_bytes().to_vec()),
    ]));
    let (_folder, out) = press(&desk, AS_OF);
    let html = std::fs::read_to_string(out.join("jobs/2026-001.html")).expect("the job's page");
    let (_, write_up) = html
        .split_once("The write-up, as readers would see it")
        .expect("it stands on the page");
    assert!(
        write_up
            .contains("<a class=\"reel\" href=\"https://films.example.com/1\" rel=\"noreferrer\">"),
        "{write_up}"
    );
}

#[test]
fn an_untold_danger_comes_first_and_leads_to_its_job_and_its_handbook_page() {
    let desk = Desk::demo();
    let first = desk.book(AS_OF).desk();
    assert_eq!(
        first.headline,
        "A danger, and nobody is written down as told"
    );
    let group = &first.todo[0];
    assert_eq!(
        (group.code, group.link.as_str()),
        ("danger-untold", "handbook/danger-untold.html")
    );
    assert!(
        group.rows[0].link.starts_with("jobs/"),
        "{}",
        group.rows[0].link
    );
    let page = desk.book(AS_OF).handbook_page("danger-untold");
    assert_eq!(page.here.len(), 1);
    assert_eq!(page.title, "A danger that nobody was told of");
}

#[test]
fn every_observation_of_a_task_stands_on_its_page_with_its_job() {
    let desk = Desk::demo();
    let book = desk.book(AS_OF);
    for number in 0..book.task_count() {
        let page = book.task_page(number);
        let task = &desk.hours.tasks[number];
        let refs: Vec<&str> = page
            .observations
            .iter()
            .map(|one| one.job.reference.as_str())
            .collect();
        assert_eq!(refs, task.refs, "{}", task.task);
        assert_eq!(
            page.headline.contains("too few"),
            task.n < 5,
            "{}: {}",
            task.task,
            page.headline
        );
        assert!(
            page.by_year
                .iter()
                .chain(&page.by_location)
                .all(|group| group.few == (group.n < 5))
        );
    }
}

#[test]
fn a_change_to_one_job_changes_its_page_and_no_other_job_s() {
    let with = |note: &str| {
        let log = |reference: &str, note: &str| {
            let text = format!(
                "---\ntitle: Job {reference}\nref: {reference}\nvisits:\n  - {{date: 2026-03-02, time: 2h{note}}}\n---\n"
            );
            (format!("jobs/2026/{reference}.md"), text.into_bytes())
        };
        let settings = include_bytes!("../example-site/diary.yaml").to_vec();
        let files = vec![
            ("diary.yaml".to_owned(), settings),
            log("2026-001", note),
            log("2026-002", ""),
        ];
        Desk::of(daywork::diary::read_files(files))
    };
    let sheets = Sheets::built_in();
    let digests = |desk: &Desk| -> BTreeMap<String, String> {
        let book = desk.book(AS_OF);
        outputs(&book, &sheets)
            .into_iter()
            .map(|one| (one.path, one.digest.to_hex().to_string()))
            .collect()
    };
    let (before, after) = (
        digests(&with("")),
        digests(&with(", note: the gate code has changed")),
    );
    let changed: Vec<&String> = before
        .iter()
        .filter(|(path, digest)| after.get(*path) != Some(*digest))
        .map(|(path, _)| path)
        .collect();
    assert_eq!(changed, ["jobs/2026-001.html"]);
    assert_eq!(before.len(), after.len());
}

#[test]
fn a_diary_without_a_job_still_has_a_book_that_opens() {
    let settings = include_bytes!("../example-site/diary.yaml").to_vec();
    let desk = Desk::of(daywork::diary::read_files(vec![(
        "diary.yaml".to_owned(),
        settings,
    )]));
    let (_folder, out) = press(&desk, AS_OF);
    let pages = pages(&out);
    assert!(pages["index.html"].contains("<a href=\"https://example.com/\">The site</a>"));
    assert!(pages["index.html"].contains("No job is written down yet."));
    assert!(pages["hours.html"].contains("Nothing is timed yet"));
    assert!(
        pages["rates.html"].contains("No hour is written down")
            || pages["rates.html"].contains("Evening paperwork")
    );
    assert!(pages["rates.html"].contains("no time charged yet"));
    assert!(pages["cover.html"].contains("Nothing is under guarantee yet"));
    assert!(pages.contains_key("jobs/index.html"));
}

#[test]
fn without_settings_there_is_no_link_to_a_site_that_has_no_address() {
    let log = "---\ntitle: A job\nref: 2026-001\npublish: ready\nvisits:\n  - {date: 2026-03-02, time: 2h}\n---\n";
    let desk = Desk::of(daywork::diary::read_files(vec![(
        "jobs/2026/a.md".to_owned(),
        log.into(),
    )]));
    let (_folder, out) = press(&desk, AS_OF);
    for (page, html) in pages(&out) {
        let rooted: Vec<String> = values(&html, "href")
            .into_iter()
            .filter(|link| link.starts_with('/'))
            .collect();
        assert_eq!(rooted, Vec::<String>::new(), "{page}");
    }
}

/// A let flat with a danger nobody was told of, a report that was not sent, and work past its day.
fn let_flat() -> Desk {
    let log = |reference: &str, keys: &str| {
        let text = format!(
            "---\ntitle: Job {reference}\nref: {reference}\nlocation: rented-flat\nplace: Flat {reference}\n{keys}---\n"
        );
        (format!("jobs/2026/{reference}.md"), text.into_bytes())
    };
    Desk::of(daywork::diary::read_files(vec![
        (
            "diary.yaml".to_owned(),
            include_bytes!("../example-site/diary.yaml").to_vec(),
        ),
        log(
            "2026-001",
            "tenure: rented\nvisits: [{date: 2026-09-01, time: 2h}]\nreport: {inspected: 2026-09-01}\nfindings:\n  \
             - {what: No RCD for the sockets, code: C2, told: {who: agent, on: 2026-09-01, how: by email}}\n  \
             - {what: Lid off the junction box, code: C1, done: isolated}\n  - {what: Timer slow, code: note}\n",
        ),
        log(
            "2026-002",
            "visits: [{date: 2026-11-20, time: 2h}]\nfindings:\n  \
             - {what: no RCD for the sockets, code: C2, done: fitted, put_right: 2026-11-20, told: {who: owner, on: 2026-11-20, how: by email}}\n",
        ),
        log("2026-003", "visits: [{date: 2026-11-21, time: 2h}]\n"),
    ]))
}

#[test]
fn the_findings_book_lists_what_stands_with_its_age_and_its_next_step() {
    let desk = let_flat();
    let page = desk.book(AS_OF).findings_page();
    assert_eq!(page.headline, "2 findings stand open");
    assert!(
        page.say.contains("Of 1 C1, C2 or FI among them nobody"),
        "{}",
        page.say
    );
    let rows: Vec<(&str, &str, &str, &str)> = page
        .open
        .iter()
        .map(|row| (row.code, row.age.as_str(), row.told.as_str(), row.state))
        .collect();
    assert_eq!(
        rows,
        [
            (
                "C1",
                "85 days",
                "nobody told",
                "done, not marked as put right"
            ),
            (
                "C2",
                "85 days",
                "told agent, 1 September 2026",
                "nothing done"
            ),
        ]
    );
    assert!(
        page.open[0].untold
            && page.open[0]
                .next
                .starts_with("Tell the person responsible today")
    );
    assert!(
        page.open[1].next.contains("due by 28 September 2026"),
        "{}",
        page.open[1].next
    );
    let c2 = page
        .codes
        .iter()
        .find(|line| line.code == "C2")
        .expect("every code has a line");
    assert_eq!((c2.found, c2.told, c2.put_right, c2.open), (2, 2, 1, 1));
    // Alike whatever the capitals, over jobs: two of three.
    assert_eq!((page.common[0].n, page.common[0].of), (2, 3));
    assert_eq!(page.common[0].share.share, "67 %");
    let at = desk.book(AS_OF).location_findings(0);
    assert_eq!(at.link, "findings/at-rented-flat.html");
    assert_eq!(at.headline, "Rented flat: a C1, C2 or FI on 2 of 3 jobs");
    assert!(at.few);
    assert_eq!(
        at.alike[0].jobs,
        [
            ("2026-002".to_owned(), "jobs/2026-002.html".to_owned()),
            ("2026-001".to_owned(), "jobs/2026-001.html".to_owned())
        ]
    );
    let (_folder, out) = press(&desk, AS_OF);
    let pages = pages(&out);
    assert!(pages["findings/index.html"].contains("<b>nobody told</b>"));
    assert_eq!(
        pages["findings/2026.html"].matches("<li>").count(),
        4 + 10,
        "its findings and the masthead"
    );
}

#[test]
fn only_a_let_home_has_a_tenant_who_was_sent_the_report() {
    let sent = |desk: &Desk| {
        let (_folder, out) = press(desk, AS_OF);
        let page = &pages(&out)["jobs/2026-001.html"];
        let labels = [">Sent to the tenant<", ">Sent<"];
        labels.map(|label| page.contains(label))
    };
    assert_eq!(sent(&let_flat()), [false, false], "it was not sent yet");
    let log = include_str!("../example-site/diary.yaml");
    let flat = |tenure: &str| {
        let text = format!(
            "---\ntitle: Job\nref: 2026-001\n{tenure}visits: [{{date: 2026-09-01, time: 2h}}]\n\
             report: {{inspected: 2026-09-01, sent: 2026-09-03}}\n---\n"
        );
        Desk::of(daywork::diary::read_files(vec![
            ("diary.yaml".to_owned(), log.into()),
            ("jobs/2026/a.md".to_owned(), text.into_bytes()),
        ]))
    };
    assert_eq!(sent(&flat("tenure: rented\n")), [true, false]);
    assert_eq!(sent(&flat("tenure: owned\n")), [false, true]);
    assert_eq!(sent(&flat("")), [false, true]);
}

#[test]
fn logs_in_order_are_not_all_that_there_is_to_do() {
    let mut desk = let_flat();
    desk.read.diagnostics.clear();
    let first = desk.book(AS_OF).desk();
    assert_eq!(first.headline, "The logs are in order");
    let left = "2 findings stand open, and 2 dates have passed";
    assert!(first.say.contains(left), "{}", first.say);
    desk.read.diary.jobs.clear();
    assert_eq!(desk.book(AS_OF).desk().headline, "Nothing needs doing");
}

#[test]
fn dates_that_passed_come_before_those_to_come_and_the_calendar_has_both() {
    let desk = let_flat();
    let page = desk.book(AS_OF).dates_page();
    assert_eq!(
        page.headline,
        "2 dates have passed, and none comes within 90 days"
    );
    let late: Vec<(&str, &str, &str)> = page.lists[0]
        .rows
        .iter()
        .map(|row| (row.date.as_str(), row.away.as_str(), row.kind))
        .collect();
    assert_eq!(
        late,
        [
            ("28 September 2026", "58 days ago", "Work due"),
            ("29 September 2026", "57 days ago", "Report to the tenant"),
        ]
    );
    let calendar = desk.book(AS_OF).calendar();
    assert_eq!(calendar.events.len(), 6);
    assert_eq!(calendar.events[0].uid, "work-2026-001@example.com");
    assert_eq!(
        calendar.events[0].summary,
        "Work due (C1, C2): Job 2026-001 (2026-001)"
    );
    let (_folder, out) = press(&desk, AS_OF);
    let text = std::fs::read_to_string(out.join("dates.ics")).expect("press makes it");
    assert_eq!(text.matches("BEGIN:VEVENT\r\n").count(), 6);
    assert!(text.contains("DTSTART;VALUE=DATE:20260928\r\n"));
    // The same day gives the same bytes; another day another stamp and the same names.
    let uids = |text: &str| -> Vec<String> {
        text.lines()
            .filter(|line| line.starts_with("UID:"))
            .map(str::to_owned)
            .collect()
    };
    let (_folder, again) = press(&desk, AS_OF);
    assert_eq!(
        std::fs::read_to_string(again.join("dates.ics")).expect("made"),
        text
    );
    let (_folder, next) = press(&desk, date(2026, 11, 26));
    let next = std::fs::read_to_string(next.join("dates.ics")).expect("made");
    assert!(next.contains("DTSTAMP:20261126T000000Z") && uids(&next) == uids(&text));
}

#[test]
fn lists_of_ten_thousand_findings_stay_short() {
    let mut files = vec![(
        "diary.yaml".to_owned(),
        include_bytes!("../example-site/diary.yaml").to_vec(),
    )];
    for number in 0..600 {
        let text = format!(
            "---\ntitle: Job {number}\nref: 2026-{number:04}\nlocation: shop\ntenure: rented\nvisits: [{{date: 2026-09-01, time: 2h}}]\n\
             findings: [{{what: Finding {number}, code: C2}}, {{what: The same, code: C3}}]\n---\n"
        );
        files.push((format!("jobs/2026/{number}.md"), text.into_bytes()));
    }
    let desk = Desk::of(daywork::diary::read_files(files));
    let book = desk.book(AS_OF);
    let page = book.findings_page();
    assert_eq!((page.open.len(), page.more), (100, 1_100));
    assert_eq!((page.common[0].jobs.len(), page.common[0].more), (60, 540));
    let at = book.location_findings(0);
    assert!(at.alike.len() == 40 && at.more == 561);
    let dates = book.dates_page();
    assert!(dates.lists.iter().all(|list| list.rows.len() <= 100));
    assert_eq!(dates.lists[0].more, 500);
}
