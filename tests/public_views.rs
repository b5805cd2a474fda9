//! What readers may see of a diary, and that nothing else gets into a view.

mod common;

use common::settings;
use daywork::diagnose::Level;
use daywork::diary::{Read, read_files};
use daywork::model::PageKind;
use daywork::office::hours::hours;
use daywork::public::view::{Entry, SiteViews};
use daywork::public::{Gate, origins, views};
use jiff::civil::{Date, date};

const AS_OF: Date = date(2026, 11, 25);

/// What this diary's settings add to the usual ones.
const DIARY: &str = "\
locations: {boat-shed: Boat shed or yard, smallholding: Smallholding}
tasks:
  shore-point: {name: Change a shore-power outlet, unit: each}
  armoured-run: {name: Lay or clip armoured cable, unit: metre}
  fault-finding: {name: Fault finding, unit: job}
public: {how_long: true, fewest_jobs: 3}
";

const CLIENTS: &str = "\
slip:
  name: Pascoe Boatyard
  contact: Odo Brannick
";

const SLIP: &str = "\
---
title: Two shore-power outlets
ref: 2026-031
location: boat-shed
client: slip
place: Shed 3, Long Pontoon
quoted: {hours: 12h, labour: 512.34}
charged: {labour: 512.34, on: 2026-03-20}
visits:
  - {date: 2026-03-02, kind: call-out, from: 18:10, to: 19:25, parking: 2.57, tasks: [{task: fault-finding, time: 1h}]}
  - date: 2026-03-12
    from: 08:15
    to: 17:00
    break: 45m
    tasks:
      - {task: shore-point, count: 2, time: 2h30}
      - {task: armoured-run, count: 24, time: 3h10}
  - {date: 2026-03-17, kind: follow-up, from: 23:30, to: 00:15}
  - {date: 2026-05-04, kind: guarantee, from: 09:00, to: 09:20}
findings:
  - {what: timer runs slow, code: note, done: reset}
  - {what: Outlet casing smashed on the pontoon, where: Pontoon, code: C1, done: 'locked off, notice left', told: {who: yard manager, on: 2026-03-02, how: in person and by email}}
  - {what: Chart missing, where: shed board, code: C3, told: {who: Wenna Haldrick, on: 2026-03-02, how: in person}}
  - {what: Something private, code: C2, private: true, told: {who: tenant, on: 2026-03-02, how: by email}}
readings:
  - {circuit: Pontoon outlets, device: {type: C, rating: 16}, insulation: {at: 500, live_to_earth: '>200'}, zs: 0.92, rcd: {at: 30, ms: 24}}
  - {circuit: Brannick office, zs: LIM}
materials:
  - {item: Saltrick 16 outlet, count: 2, cost: 31.77, charge: 36.54, supplier: counter}
  - {item: Armoured cable, count: 24, unit: m, cost: 74.41, cost_for: all}
publish: 2026-03-20
subjects: [Boats and yards, earthing]
series: The slip
was: [old/outlets]
coming: [The far pontoon, Proving dead]
---
The *yard* rang. It was half past five, and raining.

Words about [the rain](rain.md#rod), [a private one](quiet.md), [proving dead](../../guides/proving-dead.md) and [below](#run).
";

const RAIN: &str = "\
---
title: The RCD that minded the rain
ref: 2026-002
location: boat-shed
visits:
  - {date: 2026-01-09, from: 08:00, to: 12:00, tasks: [{task: fault-finding, time: 2h}, {task: shore-point, time: 30m}]}
  - {date: 2026-01-11, time: 30m}
materials:
  - {item: saltrick 16  outlet, count: 1}
publish: ready
subjects: [earthing]
series: the slip
---
```caution
- Lock off.
```

Rain.
";

const QUIET: &str = "\
---
title: A quiet one
ref: 2026-003
visits:
  - {date: 2025-06-09, time: 2h, tasks: [{task: fault-finding, time: 1h}, {task: armoured-run, time: 30m}, {task: shore-point, time: 20m}]}
materials:
  - {item: Saltrick 16 outlet, count: 3}
---
Not for readers.
";

const GUIDE: &str = "\
---
title: Proving dead
publish: 2026-02-01
subjects: [earthing, boats and yards]
series: A series of one
---
Every pair, every time.
";

const REVIEW: &str = "\
---
title: Saltrick 16 shore-power outlet
publish: ready
material: Saltrick 16 outlet
came_by: bought
kept: true
criteria: [{name: Lid spring, verdict: Shuts by itself.}]
---
Kept. I fit it again.
";

const ANSWER: &str = "\
---
title: Why charge for a look?
publish: ready
asked: {on: 2026-04-21, where: on the quay}
about: [../guides/proving-dead.md, ../jobs/2026/quiet.md]
subjects: [earthing]
---
> You were here for ten minutes.

Because a look is an hour, some miles and the parking.
";

const LATER: &str = "---\ntitle: Not yet\npublish: 2027-01-01\n---\nLater.\n";
const NEVER: &str = "---\ntitle: Never\n---\nNever.\n";
const ABOUT: &str =
    "---\ntitle: About this diary\npublish: 2024-01-10\n---\nOne van, one harbour.\n";

fn read() -> Read {
    let settings = settings(DIARY);
    let files = [
        ("diary.yaml", settings.as_str()),
        ("clients.yaml", CLIENTS),
        ("jobs/2026/slip.md", SLIP),
        ("jobs/2026/rain.md", RAIN),
        ("jobs/2026/quiet.md", QUIET),
        ("guides/proving-dead.md", GUIDE),
        ("guides/later.md", LATER),
        ("guides/never.md", NEVER),
        ("reviews/saltrick.md", REVIEW),
        ("answers/look.md", ANSWER),
        ("about.md", ABOUT),
    ];
    let files = files
        .into_iter()
        .map(|(path, text)| (path.to_owned(), text.as_bytes().to_vec()))
        .collect();
    let read = read_files(files);
    let errors: Vec<_> = read
        .diagnostics
        .iter()
        .filter(|d| d.level == Level::Error)
        .collect();
    assert!(errors.is_empty(), "{errors:?}");
    read
}

fn site() -> SiteViews {
    let read = read();
    let gate = Gate::new(&read.diary, &read.sources);
    let hours = hours(&read.diary, None, None, AS_OF);
    views(&read.diary, &hours, AS_OF, &gate)
}

#[test]
fn a_film_goes_with_its_page() {
    let log = SLIP.replacen("ref:", "video: https://films.example.com/1\nref:", 1);
    let guide = "---\ntitle: A guide\nvideo: https://films.example.com/2\npublish: 2026-03-20\n---\n\nWords.\n";
    let read = read_files(vec![
        ("diary.yaml".to_owned(), settings(DIARY).into()),
        ("clients.yaml".to_owned(), CLIENTS.into()),
        ("jobs/2026/slip.md".to_owned(), log.into()),
        ("guides/a.md".to_owned(), guide.into()),
    ]);
    let gate = Gate::new(&read.diary, &read.sources);
    let hours = hours(&read.diary, None, None, AS_OF);
    let views = views(&read.diary, &hours, AS_OF, &gate);
    let film =
        |film: &Option<daywork::model::ShownFilm>| film.as_ref().map(|film| film.link.clone());
    assert_eq!(
        (
            film(&views.write_ups[0].body.film),
            film(&views.how_tos[0].body.film)
        ),
        (
            Some("https://films.example.com/1".to_owned()),
            Some("https://films.example.com/2".to_owned())
        )
    );
}

#[test]
fn nothing_private_is_in_any_view() {
    let site = serde_json::to_string(&site()).expect("views are plain values");
    for private in [
        "2026-031",
        "2026-003",
        "Pascoe",
        "Brannick",
        "Haldrick",
        "Long Pontoon",
        "Shed 3",
        "512.34",
        "2.57",
        "31.77",
        "36.54",
        "74.41",
        "counter",
        "Something private",
        "A quiet one",
        "Not for readers",
        "quiet.md\":",
        "2026-03-02",
        "2026-03-12",
        "2026-03-17",
        "2026-05-04",
        "Not yet",
        "Never",
        "key safe",
        "01632 960141",
    ] {
        assert!(!site.contains(private), "{private} is in a view");
    }
    // The test would say nothing if the site were empty.
    assert!(site.contains("Two shore-power outlets") && site.contains("01632 960123"));
}

#[test]
fn a_docket_shows_visits_by_kind_and_clock_and_tasks_with_their_times() {
    let site = site();
    let write_up = &site.write_ups[1];
    assert_eq!(write_up.head.link, "write-ups/two-shore-power-outlets/");
    assert_eq!(
        write_up.head.summary,
        "The yard rang. It was half past five, and raining."
    );
    assert_eq!(
        (
            write_up.head.date.as_str(),
            write_up.head.date_shown.as_str()
        ),
        ("2026-03-20", "20 March 2026")
    );
    let docket = &write_up.docket;
    // The free return in May is not the job's month.
    assert_eq!(
        (docket.location.as_str(), docket.month.as_str()),
        ("Boat shed or yard", "March 2026")
    );
    assert_eq!(
        (
            docket.on_site.as_str(),
            docket.minutes,
            docket.other.as_str()
        ),
        ("10 h 20", 620, "3 h 40")
    );
    let visits: Vec<_> = docket
        .visits
        .iter()
        .map(|v| {
            (
                v.shown.as_str(),
                v.from,
                v.to,
                v.from_shown.as_str(),
                v.length.as_str(),
                v.rest.as_str(),
            )
        })
        .collect();
    assert_eq!(
        visits,
        [
            ("Call-out", Some(1090), Some(1165), "18:10", "1 h 15", ""),
            ("Planned", Some(495), Some(1020), "08:15", "8 h", "45 min"),
            ("Follow-up", Some(1410), Some(1455), "23:30", "45 min", ""),
            ("Free return", Some(540), Some(560), "09:00", "20 min", ""),
        ]
    );
    let tasks: Vec<_> = docket
        .tasks
        .iter()
        .map(|t| {
            (
                t.name.as_str(),
                t.count.as_str(),
                t.time.as_str(),
                t.each.as_str(),
            )
        })
        .collect();
    assert_eq!(
        tasks,
        [
            ("Lay or clip armoured cable", "24 m", "3 h 10", "8"),
            ("Change a shore-power outlet", "2", "2 h 30", "75"),
            ("Fault finding", "1", "1 h", "60"),
        ]
    );
}

#[test]
fn findings_say_what_was_done_and_which_role_was_told() {
    let site = site();
    let docket = &site.write_ups[1].docket;
    let words: Vec<_> = docket
        .findings
        .iter()
        .map(|f| (f.code.as_str(), f.words.as_str()))
        .collect();
    assert_eq!(
        words,
        [
            (
                "C1",
                "Outlet casing smashed on the pontoon. Locked off, notice left. Told yard manager in person and by email."
            ),
            ("C3", "Chart missing (shed board). Told in person."),
            ("Note", "Timer runs slow. Reset."),
        ]
    );
    let found: Vec<_> = docket
        .found
        .iter()
        .map(|f| (f.mark.as_str(), f.count))
        .collect();
    assert_eq!(found, [("c1", 1), ("c3", 1), ("note", 1)]);
}

#[test]
fn readings_keep_their_written_figures_and_lose_a_name() {
    let site = site();
    let readings = &site.write_ups[1].readings;
    assert_eq!(
        (readings[0].circuit.as_str(), readings[0].device.as_str()),
        ("Pontoon outlets", "C16")
    );
    let values: Vec<_> = readings[0]
        .values
        .iter()
        .map(|v| (v.quantity.as_str(), v.value.as_str(), v.unit.as_str()))
        .collect();
    assert_eq!(
        values,
        [
            ("Live to earth at 500 V", ">200", "MΩ"),
            ("Zs", "0.92", "Ω"),
            ("RCD at 30 mA", "24", "ms")
        ]
    );
    assert_eq!(readings[1].circuit, "Circuit 2");
    assert_eq!(
        (
            readings[1].values[0].value.as_str(),
            readings[1].values[0].unit.as_str()
        ),
        ("LIM", "")
    );
}

#[test]
fn materials_have_counts_and_a_link_to_their_review() {
    let site = site();
    let lines: Vec<_> = site.write_ups[1]
        .materials
        .iter()
        .map(|m| (m.item.as_str(), m.count.as_str(), m.review.as_str()))
        .collect();
    assert_eq!(
        lines,
        [
            (
                "Saltrick 16 outlet",
                "2",
                "reviews/saltrick-16-shore-power-outlet/"
            ),
            ("Armoured cable", "24 m", ""),
        ]
    );
}

#[test]
fn a_link_to_what_readers_cannot_see_is_left_out() {
    let site = site();
    let links: Vec<_> = site.write_ups[1]
        .body
        .links
        .iter()
        .map(|(a, b)| (a.as_str(), b.as_str()))
        .collect();
    assert_eq!(
        links,
        [
            ("#run", "write-ups/two-shore-power-outlets/#run"),
            ("../../guides/proving-dead.md", "how-tos/proving-dead/"),
            ("rain.md#rod", "write-ups/the-rcd-that-minded-the-rain/#rod"),
        ]
    );
}

#[test]
fn cautions_are_the_usual_ones_unless_the_text_has_its_own() {
    let site = site();
    assert!(site.write_ups[0].cautions.is_empty());
    assert_eq!(site.write_ups[1].cautions.len(), 3);
}

#[test]
fn a_task_stands_against_the_record_where_enough_jobs_have_it() {
    let site = site();
    let usual: Vec<_> = site.write_ups[1]
        .usual
        .iter()
        .map(|u| (u.name.as_str(), u.n, u.here))
        .collect();
    // The cable has one counted job, and three are asked for.
    assert_eq!(
        usual,
        [
            ("Change a shore-power outlet", 3, Some(75.0)),
            ("Fault finding", 3, Some(60.0))
        ]
    );
    let how_long = site.how_long.expect("public.how_long");
    assert_eq!(
        how_long
            .tasks
            .iter()
            .map(|t| t.name.as_str())
            .collect::<Vec<_>>(),
        ["Fault finding", "Change a shore-power outlet"]
    );
    assert_eq!(how_long.too_few, ["Lay or clip armoured cable"]);
    assert!(
        how_long
            .tasks
            .iter()
            .all(|task| task.singles.is_empty() && task.here.is_none())
    );
    assert_eq!(
        (how_long.from.as_str(), how_long.to.as_str()),
        ("June 2025", "May 2026")
    );
    // 6 h 40 on the slip, 2 h 30 in the rain and 1 h 50 on the quiet one.
    assert_eq!((how_long.jobs, how_long.hours), (3, 11));
}

#[test]
fn a_location_type_stands_against_the_record_where_enough_jobs_have_it() {
    let log = |name: &str, location: &str, minutes: i64| {
        let text = format!(
            "---\ntitle: {name}\nref: {name}\nlocation: {location}\nvisits: [{{date: 2026-03-02, time: 3h, tasks: [{{task: fault-finding, time: {minutes}m}}]}}]\n---\n"
        );
        (format!("jobs/2026/{name}.md"), text.into_bytes())
    };
    let read = read_files(vec![
        ("diary.yaml".to_owned(), settings(DIARY).into()),
        log("a", "boat-shed", 60),
        log("b", "boat-shed", 99),
        log("c", "boat-shed", 120),
        log("d", "smallholding", 90),
        log("e", "smallholding", 30),
    ]);
    let gate = Gate::new(&read.diary, &read.sources);
    let hours = hours(&read.diary, None, None, AS_OF);
    let views = views(&read.diary, &hours, AS_OF, &gate);
    let how_long = views.how_long.expect("public.how_long");
    let locations: Vec<_> = how_long
        .locations
        .iter()
        .map(|at| (at.name.as_str(), at.n, at.ratio))
        .collect();
    // The middle of the five is 90 minutes and of the boat shed's three 99; the other has two where three are asked for.
    assert_eq!(locations, [("Boat shed or yard", 3, 1.1)]);
}

#[test]
fn series_subjects_and_likeness_tie_pages_together() {
    let site = site();
    let slip = &site.write_ups[1];
    let series = slip.series.as_ref().expect("two parts");
    let parts: Vec<_> = series
        .parts
        .iter()
        .map(|p| (p.title.as_str(), p.link.as_str(), p.line.as_str()))
        .collect();
    assert_eq!(
        parts,
        [
            (
                "The RCD that minded the rain",
                "write-ups/the-rcd-that-minded-the-rain/",
                "Boat shed or yard, January 2026"
            ),
            (
                "Two shore-power outlets",
                "",
                "Boat shed or yard, March 2026"
            ),
        ]
    );
    assert_eq!((series.place, series.next.as_ref()), (2, None));
    let previous = series.previous.as_ref().expect("a part before");
    assert_eq!(previous.link, "write-ups/the-rcd-that-minded-the-rain/");
    let first = site.write_ups[0].series.as_ref().expect("two parts");
    let next = first.next.as_ref().expect("a part after");
    assert_eq!((first.place, first.previous.as_ref()), (1, None));
    assert_eq!(next.title, "Two shore-power outlets");
    assert_eq!(site.how_tos[0].series, None);
    // `Proving dead` was promised and has been written since.
    assert_eq!(slip.coming, ["The far pontoon"]);
    let like: Vec<_> = slip
        .like
        .iter()
        .map(|entry| (entry.title.as_str(), entry.line.as_str()))
        .collect();
    assert_eq!(
        like,
        [
            ("Proving dead", "How-to"),
            (
                "The RCD that minded the rain",
                "Boat shed or yard, January 2026"
            ),
            ("Why charge for a look?", "Answer"),
        ]
    );
    let subjects: Vec<_> = site
        .home
        .subjects
        .iter()
        .map(|s| (s.name.as_str(), s.link.as_str(), s.pages))
        .collect();
    assert_eq!(
        subjects,
        [
            ("earthing", "subjects/earthing/", 4),
            ("Boats and yards", "subjects/boats-and-yards/", 2)
        ]
    );
    let boats = &site.subjects[0];
    let write_ups: Vec<_> = boats.write_ups.iter().map(|one| &*one.title).collect();
    let others: Vec<_> = boats.entries.iter().map(|one| &*one.title).collect();
    assert_eq!(
        (write_ups, others),
        (vec!["Two shore-power outlets"], vec!["Proving dead"])
    );
}

#[test]
fn a_review_counts_what_was_fitted_on_every_job() {
    let site = site();
    let review = &site.reviews[0];
    assert_eq!(review.verdict, "Kept");
    let fitted = review.fitted.as_ref().expect("fitted");
    assert_eq!(
        (fitted.count.as_str(), fitted.jobs, fitted.since.as_str()),
        ("6", 3, "June 2025")
    );
    // Fewest here is three, and the one that went back says nothing of the outlets.
    assert_eq!(fitted.back, "none");
    insta::assert_snapshot!(fitted.said, @"None of six is written down as having come back. From so few the true share could still be as high as one in three, nine times in ten. One of the jobs had a free return and its log does not say what for; here it is not counted as back.");
    let on: Vec<&str> = review.fitted_on.iter().map(|on| on.line.as_str()).collect();
    assert_eq!(
        on,
        [
            "Boat shed or yard, March 2026, 2 fitted",
            "Boat shed or yard, January 2026, 1 fitted"
        ]
    );
    assert_eq!(review.unwritten, 1);
    assert_eq!(site.home.reviews[0].line, "Kept. 6 fitted on 3 jobs.");
    assert_eq!((review.month.as_str(), review.head.date.as_str()), ("", ""));
}

#[test]
fn a_review_lists_no_job_without_its_material_and_a_page_no_link_of_a_private_block() {
    let log = |name: &str, more: &str, text: &str| {
        let log = format!(
            "---\ntitle: {name}\nref: {name}\nvisits: [{{date: 2026-03-02, time: 1h}}]\n{more}publish: 2026-03-20\n---\n\n{text}\n"
        );
        (format!("jobs/{name}.md"), log.into_bytes())
    };
    let fitted = "materials: [{item: Saltrick 16 outlet, count: 2}]\n";
    let text = "As [there](b.md).\n\n```private\nAs [he says](./b.md).\n```";
    let read = read_files(vec![
        ("diary.yaml".to_owned(), settings(DIARY).into()),
        log("a", fitted, text),
        log("b", "", "Words."),
        ("reviews/saltrick.md".to_owned(), REVIEW.into()),
    ]);
    let gate = Gate::new(&read.diary, &read.sources);
    let hours = hours(&read.diary, None, None, AS_OF);
    let views = views(&read.diary, &hours, AS_OF, &gate);
    let on = views.reviews[0].fitted_on.iter().map(|on| &*on.title);
    assert_eq!(on.collect::<Vec<_>>(), ["a"]);
    let page = views.write_ups.iter().find(|page| page.head.title == "a");
    let links = page.expect("it is public").body.links.keys();
    assert_eq!(links.collect::<Vec<_>>(), ["b.md"]);
}

#[test]
fn a_list_says_the_verdict_of_a_tool_once_whether_or_not_its_text_does() {
    let review = |kept: &str, text: &str| {
        format!(
            "---\ntitle: A tester\npublish: 2026-03-20\ncame_by: bought\nkept: {kept}\n---\n\n{text}\n"
        )
    };
    for (kept, text, line) in [
        (
            "true",
            "It has been through three winters.",
            "Kept. It has been through three winters.",
        ),
        (
            "true",
            "Kept. It has been through three winters.",
            "Kept. It has been through three winters.",
        ),
        ("false", "It broke.", "Given up. It broke."),
        ("true", "## Only a heading", "Kept."),
    ] {
        let read = read_files(vec![
            ("diary.yaml".to_owned(), settings(DIARY).into()),
            ("reviews/a.md".to_owned(), review(kept, text).into()),
        ]);
        let gate = Gate::new(&read.diary, &read.sources);
        let hours = hours(&read.diary, None, None, AS_OF);
        let views = views(&read.diary, &hours, AS_OF, &gate);
        assert_eq!(views.home.reviews[0].line, line, "{text}");
    }
}

#[test]
fn what_was_lent_and_kept_is_not_said_to_go_back() {
    let came_by = |rest: &str| {
        let review = format!("---\ntitle: A tester\npublish: 2026-03-20\n{rest}\n---\n\nText.\n");
        let read = read_files(vec![
            ("diary.yaml".to_owned(), settings(DIARY).into()),
            ("reviews/a.md".to_owned(), review.into()),
        ]);
        let gate = Gate::new(&read.diary, &read.sources);
        let hours = hours(&read.diary, None, None, AS_OF);
        views(&read.diary, &hours, AS_OF, &gate).reviews[0]
            .came_by
            .clone()
    };
    assert_eq!(came_by("came_by: lent"), "Lent to me, and it goes back.");
    assert_eq!(
        came_by("came_by: lent\nkept: false"),
        "Lent to me, and it goes back."
    );
    assert_eq!(came_by("came_by: lent\nkept: true"), "Lent to me at first.");
}

#[test]
fn an_answer_and_what_it_is_about_lead_to_each_other() {
    let site = site();
    let about: Vec<_> = site.answers[0].about.iter().map(|e| &e.link).collect();
    // The other page that it is about is private.
    assert_eq!(about, ["how-tos/proving-dead/"]);
    // Neither is among what is like the other: they stand beside each other already.
    let titles = |like: &[Entry]| like.iter().map(|e| e.title.clone()).collect::<Vec<_>>();
    let write_ups = ["Two shore-power outlets", "The RCD that minded the rain"];
    assert_eq!(titles(&site.answers[0].like), write_ups);
    assert_eq!(titles(&site.how_tos[0].like), write_ups);
    let asked = &site.how_tos[0].readers_ask;
    let asked: Vec<_> = asked.iter().map(|e| (&*e.link, &*e.line)).collect();
    let line = "Because a look is an hour, some miles and the parking.";
    assert_eq!(asked, [("answers/why-charge-for-a-look/", line)]);
    assert!(
        site.write_ups
            .iter()
            .all(|page| page.readers_ask.is_empty())
    );
}

#[test]
fn each_section_has_its_list_in_its_own_order() {
    let site = site();
    let list = |section: &str| {
        let mut lists = site.lists.iter();
        lists.find(|list| list.section == section).expect("a list")
    };
    let groups: Vec<_> = list("answers")
        .by_subject
        .iter()
        .map(|group| (&*group.name, &*group.link, group.entries.len()))
        .collect();
    assert_eq!(groups, [("earthing", "subjects/earthing/", 1)]);
    assert!(list("answers").entries.is_empty());
    assert!(list("how-tos").by_subject.is_empty());
    let summary = |section: &str| list(section).head.summary.as_str();
    assert_eq!(
        (summary("answers"), summary("how-tos")),
        ("Answers, by subject.", "How-tos, newest first.")
    );
}

#[test]
fn write_ups_are_listed_by_the_year_of_their_month() {
    let log = |name: &str, date: &str| {
        let text = format!(
            "---\ntitle: {name}\nref: {name}\nvisits: [{{date: {date}, time: 1h}}]\npublish: 2026-06-0{}\n---\n\nWords.\n",
            name.len()
        );
        (format!("jobs/{name}.md"), text.into_bytes())
    };
    let read = read_files(vec![
        ("diary.yaml".to_owned(), settings(DIARY).into()),
        log("a", "2025-12-01"),
        log("bb", "2026-02-02"),
        log("ccc", "2025-03-03"),
        log("dddd", "2026-05-04"),
    ]);
    let gate = Gate::new(&read.diary, &read.sources);
    let hours = hours(&read.diary, None, None, AS_OF);
    let views = views(&read.diary, &hours, AS_OF, &gate);
    let years: Vec<(&str, Vec<&str>)> = views.lists[0]
        .years
        .iter()
        .map(|year| {
            let dockets = year.dockets.iter().map(|docket| docket.title.as_str());
            (year.year.as_str(), dockets.collect())
        })
        .collect();
    assert_eq!(
        years,
        [("2026", vec!["dddd", "bb"]), ("2025", vec!["a", "ccc"])]
    );
}

#[test]
fn an_answer_has_the_month_it_was_asked_and_its_reply_for_a_summary() {
    let site = site();
    let answer = &site.answers[0];
    assert_eq!(
        (answer.month.as_str(), answer.asked.as_str()),
        ("April 2026", "on the quay")
    );
    assert_eq!(answer.head.date, "2026-04-01");
    assert_eq!(answer.question, "You were here for ten minutes.");
    assert_eq!(
        answer.head.summary,
        "Because a look is an hour, some miles and the parking."
    );
    let read = read();
    assert!(
        read.diary
            .pages
            .iter()
            .any(|page| matches!(page.kind, PageKind::Answer(_)))
    );
}

#[test]
fn feeds_hold_dated_pages_newest_first() {
    let site = site();
    let links: Vec<_> = site
        .feeds
        .iter()
        .map(|feed| {
            (
                feed.link.as_str(),
                feed.updated.as_str(),
                feed.entries.len(),
            )
        })
        .collect();
    assert_eq!(
        links,
        [
            ("feed.xml", "2026-04-01", 4),
            ("write-ups/feed.xml", "2026-03-20", 2),
            ("how-tos/feed.xml", "2026-02-01", 1),
            // Its one review has no date: there, and empty.
            ("reviews/feed.xml", "2026-11-25", 0),
            ("answers/feed.xml", "2026-04-01", 1),
        ]
    );
    // A job that is `ready` is dated the first of its month.
    assert_eq!(site.feeds[1].entries[1].date, "2026-01-01");
}

#[test]
fn the_masthead_holds_only_parts_that_hold_a_page() {
    let names: Vec<_> = site()
        .site
        .masthead
        .into_iter()
        .map(|tab| tab.name)
        .collect();
    assert_eq!(
        names,
        ["Write-ups", "How-tos", "Reviews", "Answers", "How long"]
    );
    let empty = read_files(vec![("diary.yaml".to_owned(), settings(DIARY).into())]);
    let gate = Gate::new(&empty.diary, &empty.sources);
    let site = views(
        &empty.diary,
        &hours(&empty.diary, None, None, AS_OF),
        AS_OF,
        &gate,
    );
    assert!(
        site.site.masthead.is_empty() && site.how_long.is_none() && site.subject_list.is_none()
    );
    assert_eq!(
        site.sitemap.pages,
        [
            (String::new(), String::new()),
            ("about/".to_owned(), String::new()),
            ("search/".to_owned(), String::new())
        ]
    );
    assert_eq!(site.feeds.len(), 1);
    assert_eq!(site.feeds[0].updated, "2026-11-25");
}

#[test]
fn old_addresses_lead_to_the_page_that_moved() {
    let site = site();
    assert_eq!(site.moved.len(), 1);
    assert_eq!(
        (site.moved[0].from.as_str(), site.moved[0].to.as_str()),
        ("old/outlets/", "write-ups/two-shore-power-outlets/")
    );
}

#[test]
fn a_log_without_publish_is_on_no_page_and_no_list() {
    let site = site();
    let links = site.sitemap.pages.iter().map(|(link, _)| link.as_str());
    let write_ups = site.write_ups.iter().map(|page| page.head.link.as_str());
    assert!(
        read()
            .diary
            .jobs
            .iter()
            .any(|job| job.slug == "a-quiet-one")
    );
    assert!(!links.chain(write_ups).any(|link| link.contains("quiet")));
}

#[test]
fn each_page_of_the_site_knows_its_file() {
    let read = read();
    let origins = origins(&read.diary, AS_OF);
    let path = |page: &str| origins.get(page).map(|file| read.sources.path(*file));
    assert_eq!(
        path("write-ups/two-shore-power-outlets/index.html"),
        Some("jobs/2026/slip.md")
    );
    assert_eq!(path("about/index.html"), Some("about.md"));
    assert_eq!(path("how-tos/not-yet/index.html"), None);
    assert_eq!(path("index.html"), None);
}

#[test]
fn the_same_diary_gives_the_same_views() {
    assert_eq!(site(), site());
}
