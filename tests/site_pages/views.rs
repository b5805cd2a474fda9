//! A whole site as views, made by hand: the figures are invented, and no diary stands behind them.

use std::collections::BTreeMap;

use daywork::public::view::*;

fn text(words: &str) -> String {
    words.to_owned()
}

fn head(link: &str, title: &str, summary: &str, part: &str, date: &str) -> Head {
    let date_shown = if date.is_empty() {
        String::new()
    } else {
        format!("on {date}")
    };
    Head {
        link: text(link),
        title: text(title),
        summary: text(summary),
        part: text(part),
        date: text(date),
        date_shown,
    }
}

pub fn entry(title: &str, link: &str, line: &str) -> Entry {
    Entry {
        title: text(title),
        link: text(link),
        line: text(line),
    }
}

fn clock(minute: i64) -> String {
    format!("{:02}:{:02}", minute / 60 % 24, minute % 60)
}

fn visit(
    kind: &str,
    shown: &str,
    times: Option<(i64, i64)>,
    length: &str,
    rest: &str,
) -> VisitLine {
    VisitLine {
        kind: text(kind),
        shown: text(shown),
        from: times.map(|(from, _)| from),
        to: times.map(|(_, to)| to),
        from_shown: times.map_or(String::new(), |(from, _)| clock(from)),
        to_shown: times.map_or(String::new(), |(_, to)| clock(to)),
        length: text(length),
        rest: text(rest),
    }
}

fn task(name: &str, count: &str, time: &str, minutes: i64, each: &str) -> TaskLine {
    TaskLine {
        name: text(name),
        count: text(count),
        time: text(time),
        minutes,
        each: text(each),
    }
}

fn found(code: &str, count: usize) -> Found {
    Found {
        code: text(code),
        mark: code.to_lowercase(),
        count,
    }
}

fn range(name: &str, per: &str, n: usize, times: [f64; 5], here: Option<f64>) -> TaskRange {
    let [q10, q25, median, q75, q90] = times.map(Some);
    TaskRange {
        name: text(name),
        per: text(per),
        n,
        q10,
        q25,
        median,
        q75,
        q90,
        singles: Vec::new(),
        here,
        jobs_link: String::new(),
    }
}

fn card(
    link: &str,
    title: &str,
    location: &str,
    month: &str,
    on_site: &str,
    visits: Vec<VisitLine>,
) -> Docket {
    Docket {
        link: text(link),
        title: text(title),
        location: text(location),
        month: text(month),
        on_site: text(on_site),
        minutes: 0,
        visits,
        tasks: Vec::new(),
        other: String::new(),
        findings: Vec::new(),
        found: vec![found("C2", 2), found("FI", 1)],
    }
}

/// The docket with everything on it.
pub fn full_docket() -> Docket {
    let finding = |code: &str, mark: &str, meaning: &str, words: &str| FindingLine {
        code: text(code),
        mark: text(mark),
        meaning: text(meaning),
        words: text(words),
    };
    Docket {
        link: text("write-ups/outlets/"),
        title: text("Two shore-power outlets and a long run"),
        location: text("Boat shed or yard"),
        month: text("March 2026"),
        on_site: text("10 h"),
        minutes: 600,
        visits: vec![
            visit("call-out", "Call-out", Some((1090, 1165)), "1 h 15", ""),
            visit("planned", "Planned", Some((495, 1020)), "8 h", "45 min"),
            visit("follow-up", "Follow-up", Some((975, 1020)), "45 min", ""),
        ],
        tasks: vec![
            task("Lay or clip armoured cable", "24 m", "3 h 10", 190, "8"),
            task("Change a shore-power outlet", "2", "2 h 30", 150, "75"),
            task("Test and certify after work", "1", "1 h 05", 65, "65"),
            task("Fault finding", "", "1 h", 60, ""),
        ],
        other: text("2 h 15"),
        findings: vec![
            finding(
                "C1",
                "c1",
                "Danger present",
                "Outlet casing smashed on the pontoon, conductors showing. Locked off at the feeder, notice left. \
                 Yard manager told the same day, in person and in writing.",
            ),
            finding(
                "C3",
                "c3",
                "Improvement recommended",
                "Circuit chart missing at the shed board. Chart left.",
            ),
            finding(
                "Note",
                "note",
                "",
                "Timer for the pontoon lights runs an hour slow. Reset.",
            ),
        ],
        found: vec![found("C1", 1), found("C3", 1), found("Note", 1)],
    }
}

fn sections() -> [(&'static str, &'static str, &'static str); 4] {
    [
        ("write-ups", "Write-ups", "Jobs as they were, newest first."),
        (
            "how-tos",
            "How-tos",
            "How I do the things that come up again and again.",
        ),
        (
            "reviews",
            "Reviews",
            "Tools and materials, judged by the record.",
        ),
        ("answers", "Answers", "What readers asked."),
    ]
}

const BODY: &str = "The yard rang at half past five: a boat had swung on the ebb and caught the post.\n\n\
I was there by ten past six with the light going.[^1] I switched off at the feeder, locked it, hung the notice, and \
proved the post dead before I went near it.\n\n![A post](post.svg)\n\n## Note\n\nThe cable took *three hours* and ten \
minutes, see [how long](../how.md).\n\n> Somebody had hung a bucket over it.\n\n1. Dead tests\n2. Live tests\n\n\
- [x] labelled\n- [ ] chart\n\n```readings\n```\n\n### Settings\n\n```yaml\na: 1\n```\n\nAnd `zs`, ~~0.92~~ 0.88.\n\n\
[^1]: It gets dark early at the end of the pontoon.\n";

/// A body with most of what Markdown gives.
fn body(markdown: &str) -> BodyView {
    let picture = Picture {
        link: text("write-ups/outlets/post.svg"),
        width: Some(640),
        height: Some(300),
        sizes: Vec::new(),
    };
    BodyView {
        markdown: text(markdown),
        links: BTreeMap::from([(text("../how.md"), text("how-long/"))]),
        pictures: BTreeMap::from([(text("post.svg"), picture)]),
        film: None,
        films: BTreeMap::new(),
    }
}

fn write_ups() -> Vec<WriteUp> {
    let reading = |quantity: &str, value: &str, unit: &str| ReadingValue {
        quantity: text(quantity),
        value: text(value),
        unit: text(unit),
        ..ReadingValue::default()
    };
    let full = WriteUp {
        head: head(
            "write-ups/outlets/",
            "Two shore-power outlets and a long run",
            "The yard rang at half past five: a boat had swung on the ebb & caught the post.",
            "write-ups/",
            "2026-03-20",
        ),
        docket: full_docket(),
        body: body(BODY),
        cautions: vec![
            text("Isolate, lock off, and prove dead with a tester that has itself been proved."),
            text("A neutral can be live, and water carries what a dry day hides."),
            text("Dead tests come before live tests."),
        ],
        materials: vec![
            MaterialLine {
                item: text("Armoured cable 4 mm² three-core"),
                count: text("24 m"),
                review: String::new(),
            },
            MaterialLine {
                item: text("Saltrick 16 shore-power outlet"),
                count: text("2"),
                review: text("reviews/saltrick-16/"),
            },
        ],
        readings: vec![
            ReadingLine {
                circuit: text("Pontoon outlets"),
                device: text("C16"),
                values: vec![
                    reading("Zs", "0.92", "Ω"),
                    reading("Live to earth at 500 V", ">200", "MΩ"),
                ],
                as_found: false,
            },
            ReadingLine {
                circuit: text("Circuit 2"),
                device: String::new(),
                values: vec![reading("Ze", "LIM", "")],
                as_found: true,
            },
        ],
        figures: text("BS 7671:2018+A2:2022, Table 41.3"),
        usual: vec![
            range(
                "Fault finding",
                "a job",
                63,
                [35.0, 55.0, 82.0, 140.0, 235.0],
                Some(60.0),
            ),
            range(
                "Change a shore-power outlet",
                "each",
                11,
                [47.0, 61.0, 72.0, 101.0, 149.0],
                Some(75.0),
            ),
            range(
                "Armoured cable",
                "a metre",
                19,
                [4.0, 6.0, 8.0, 12.0, 19.0],
                Some(7.9),
            ),
        ],
        series: Some(SeriesView {
            name: text("Tarrow Slip"),
            parts: vec![
                entry("Two shore-power outlets and a long run", "", ""),
                entry("A night trip", "write-ups/night/", "February 2026"),
            ],
            place: 1,
            previous: None,
            next: Some(entry("A night trip", "write-ups/night/", "February 2026")),
        }),
        subjects: vec![entry("boats and yards", "subjects/boats-and-yards/", "")],
        readers_ask: vec![entry(
            "Why a day and a half to feed one barn?",
            "answers/barn/",
            "Five hours of it was trench and cable.",
        )],
        coming: vec!["Where the water goes".to_owned()],
        like: vec![entry(
            "Why a day and a half to feed one barn?",
            "answers/barn/",
            "Answer",
        )],
    };
    // The least that a write-up can have.
    let bare = WriteUp {
        head: head(
            "write-ups/night/",
            "A night trip",
            "A trip in the night.",
            "write-ups/",
            "2026-02-01",
        ),
        docket: Docket {
            link: text("write-ups/night/"),
            title: text("A night trip"),
            location: String::new(),
            month: text("February 2026"),
            on_site: text("4 h 40"),
            minutes: 280,
            visits: vec![
                visit("call-out", "Call-out", Some((1350, 1510)), "2 h 40", ""),
                visit("guarantee", "Free return", Some((330, 390)), "1 h", ""),
                visit("survey", "Survey", None, "1 h", ""),
            ],
            tasks: Vec::new(),
            other: String::new(),
            findings: Vec::new(),
            found: Vec::new(),
        },
        body: body(
            "```caution\nThe board was behind a fridge: call for help before you pull one out.\n```\n\nIt tripped at eleven.\n",
        ),
        cautions: vec![text("Isolate.")],
        materials: Vec::new(),
        readings: Vec::new(),
        figures: String::new(),
        usual: Vec::new(),
        series: None,
        readers_ask: Vec::new(),
        subjects: Vec::new(),
        coming: Vec::new(),
        like: Vec::new(),
    };
    vec![bare, full]
}

fn cards() -> Vec<Docket> {
    let planned = |from, to| visit("planned", "Planned", Some((from, to)), "7 h", "");
    vec![
        full_docket(),
        card(
            "write-ups/night/",
            "A night trip",
            "",
            "February 2026",
            "4 h 40",
            vec![
                visit("call-out", "Call-out", Some((1350, 1510)), "2 h 40", ""),
                visit("guarantee", "Free return", Some((330, 390)), "1 h", ""),
            ],
        ),
        card(
            "write-ups/outlets/",
            "Emergency lights above the stage",
            "Village hall",
            "January 2026",
            "8 h 05",
            vec![
                planned(510, 930),
                visit("follow-up", "Follow-up", Some((1080, 1146)), "1 h 06", ""),
            ],
        ),
        card(
            "write-ups/night/",
            "Heating controls between guests",
            "Holiday let",
            "January 2026",
            "5 h 45",
            vec![planned(606, 951)],
        ),
    ]
}

fn how_long() -> HowLong {
    let location = |name: &str, n, ratio: f64, out: f64| LocationRange {
        name: text(name),
        n,
        ratio,
        low: Some(ratio - out),
        high: Some(ratio + out),
    };
    HowLong {
        head: head(
            "how-long/",
            "How long things take",
            "How long an electrician’s tasks really take.",
            "how-long/",
            "",
        ),
        jobs: 157,
        hours: 2214,
        from: text("April 2024"),
        to: text("March 2026"),
        fewest_jobs: 5,
        tasks: vec![
            TaskRange {
                jobs_link: text("subjects/boats-and-yards/"),
                ..range(
                    "Consumer unit",
                    "each",
                    14,
                    [310.0, 365.0, 425.0, 500.0, 590.0],
                    None,
                )
            },
            range(
                "Electric shower",
                "each",
                16,
                [78.0, 92.0, 112.0, 146.0, 195.0],
                None,
            ),
            range(
                "Fault finding",
                "a job",
                63,
                [35.0, 55.0, 82.0, 140.0, 235.0],
                None,
            ),
            range(
                "Socket outlet, changed",
                "each",
                52,
                [14.0, 17.0, 20.0, 27.0, 38.0],
                None,
            ),
            range(
                "Armoured cable",
                "a metre",
                19,
                [4.0, 6.0, 8.0, 12.0, 19.0],
                None,
            ),
        ],
        too_few: vec![text("Car charging point"), text("Lightning rod")],
        locations: vec![
            location("Stone cottage", 29, 1.31, 0.14),
            location("Village hall", 9, 1.11, 0.18),
            location("Family house", 12, 0.92, 0.09),
        ],
    }
}

fn feed(link: &str, page: &str, title: &str) -> Feed {
    Feed {
        link: text(link),
        page: text(page),
        title: text(title),
        updated: text("2026-03-20"),
        entries: vec![FeedEntry {
            title: text("Two shore-power outlets & a long run"),
            link: text("write-ups/outlets/"),
            date: text("2026-03-20"),
            summary: text("The yard rang at half past five."),
        }],
    }
}

/// The whole site.
pub fn site() -> SiteViews {
    let subject = SubjectCount {
        name: text("boats and yards"),
        link: text("subjects/boats-and-yards/"),
        pages: 2,
    };
    let how_to_entries = vec![entry(
        "Proving dead",
        "how-tos/proving-dead/",
        "Proved tester, all pairs, prove again",
    )];
    let review_entries = vec![entry(
        "Saltrick 16 shore-power outlet",
        "reviews/saltrick-16/",
        "Kept. 22 fitted",
    )];
    let lists = sections()
        .into_iter()
        .map(|(section, title, summary)| SectionList {
            head: head(
                &format!("{section}/"),
                title,
                summary,
                &format!("{section}/"),
                "",
            ),
            section: text(section),
            by_subject: match section {
                "answers" => vec![SubjectEntries {
                    name: text("boats and yards"),
                    link: text("subjects/boats-and-yards/"),
                    entries: vec![entry(
                        "Why a day and a half to feed one barn?",
                        "answers/barn/",
                        "Five hours of it was trench and cable.",
                    )],
                }],
                _ => Vec::new(),
            },
            years: match section {
                "write-ups" => vec![
                    YearOfDockets {
                        year: text("2026"),
                        dockets: cards(),
                    },
                    YearOfDockets {
                        year: text("2025"),
                        dockets: cards(),
                    },
                ],
                _ => Vec::new(),
            },
            entries: match section {
                "how-tos" => how_to_entries.clone(),
                "reviews" => review_entries.clone(),
                _ => Vec::new(),
            },
        })
        .collect();
    SiteViews {
        site: Site {
            title: text("The Gullwick job diary"),
            address: text("https://example.com"),
            language: text("en-GB"),
            trader: TraderLine {
                name: text("Nan Tregarrow"),
                trading_as: text("Gullwick Electrical"),
                phone: text("01632 960123"),
                phone_link: text("+441632960123"),
                email: text("nan@example.com"),
            },
            masthead: sections()
                .into_iter()
                .map(|(section, name, _)| Tab {
                    name: text(name),
                    link: format!("{section}/"),
                })
                .chain([Tab {
                    name: text("How long"),
                    link: text("how-long/"),
                }])
                .collect(),
        },
        home: Home {
            head: head(
                "",
                "The Gullwick job diary",
                "What the job was, what was found, and how long it took.",
                "",
                "",
            ),
            write_ups: cards(),
            how_tos: how_to_entries,
            reviews: review_entries,
            answers: vec![entry(
                "Why a day and a half to feed one barn?",
                "answers/barn/",
                "Trench and cable",
            )],
            subjects: vec![subject.clone()],
            timed_jobs: Some(1157),
        },
        write_ups: write_ups(),
        how_tos: vec![HowTo {
            head: head(
                "how-tos/proving-dead/",
                "Proving dead",
                "Proved tester, all pairs.",
                "how-tos/",
                "2026-01-05",
            ),
            body: body("Prove the tester first.\n\n## Then the circuit\n\nAll pairs.\n"),
            cautions: vec![text("A neutral can be live.")],
            series: None,
            readers_ask: Vec::new(),
            subjects: vec![entry("boats and yards", "subjects/boats-and-yards/", "")],
            coming: Vec::new(),
            like: Vec::new(),
        }],
        reviews: vec![ReviewPage {
            head: head(
                "reviews/saltrick-16/",
                "Saltrick 16 shore-power outlet",
                "A review.",
                "reviews/",
                "2026-04-02",
            ),
            month: text("April 2026"),
            material: "Saltrick 16 shore-power outlet".to_owned(),
            verdict: text("Kept"),
            came_by: text("Bought, all 22, over the trade counter."),
            criteria: vec![
                CriterionLine {
                    name: text("Casing"),
                    verdict: text("No crack in 22."),
                },
                CriterionLine {
                    name: text("Lid spring"),
                    verdict: text("Two of 22 stopped shutting."),
                },
            ],
            fitted: Some(Fitted {
                count: text("22"),
                jobs: 9,
                since: text("May 2024"),
                back: text("2 on 2 jobs"),
                said: text("Two of 22 came back, or one in eleven."),
                share: Some(ShareRange {
                    back: 2,
                    of: 22,
                    percent: 9.1,
                    low: 3.1,
                    high: 24.1,
                }),
            }),
            fitted_on: vec![entry(
                "Two shore-power outlets and a long run",
                "write-ups/outlets/",
                "Boat shed, March 2026, 2 fitted",
            )],
            unwritten: 8,
            body: body("An outlet on a pontoon is rained on, salted and kicked.\n"),
            series: None,
            readers_ask: Vec::new(),
            subjects: Vec::new(),
            coming: Vec::new(),
            like: vec![entry(
                "Two shore-power outlets and a long run",
                "write-ups/outlets/",
                "Boat shed, March 2026",
            )],
        }],
        answers: vec![AnswerPage {
            head: head(
                "answers/barn/",
                "Why a day and a half to feed one barn?",
                "A reader asks.",
                "answers/",
                "2026-03-01",
            ),
            month: text("March 2026"),
            asked: text("at the counter"),
            question: text("It is thirty metres. Why?"),
            body: body(
                "> It is *thirty* metres. Why?\n\nFive hours of it was trench and cable.\n\n| Part | Time |\n|---|---|\n| Trench | 5 h |\n",
            ),
            about: vec![entry(
                "Two shore-power outlets and a long run",
                "write-ups/outlets/",
                "Write-up",
            )],
            series: None,
            readers_ask: Vec::new(),
            subjects: Vec::new(),
            coming: Vec::new(),
            like: vec![entry("Proving dead", "how-tos/proving-dead/", "How-to")],
        }],
        lists,
        subject_list: Some(SubjectList {
            head: head("subjects/", "Subjects", "Every subject.", "", ""),
            subjects: vec![subject],
        }),
        subjects: vec![Subject {
            head: head(
                "subjects/boats-and-yards/",
                "boats and yards",
                "Pages on boats and yards.",
                "",
                "",
            ),
            write_ups: cards(),
            entries: vec![entry("Proving dead", "how-tos/proving-dead/", "How-to")],
        }],
        how_long: Some(how_long()),
        about: About {
            head: head("about/", "About this diary", "Who writes it.", "", ""),
            body: BodyView::default(),
        },
        not_found: NotFound {
            head: head("404.html", "No such page", "", "", ""),
        },
        feeds: vec![
            feed("feed.xml", "", "The Gullwick job diary"),
            feed(
                "write-ups/feed.xml",
                "write-ups/",
                "The Gullwick job diary: write-ups",
            ),
        ],
        sitemap: Sitemap {
            pages: vec![
                (String::new(), String::new()),
                (text("about/"), String::new()),
                (text("write-ups/outlets/"), text("2026-03-20")),
            ],
        },
        moved: vec![Moved {
            from: text("old/post/"),
            to: text("write-ups/outlets/"),
            title: text("Two shore-power outlets"),
        }],
        photos: BTreeMap::new(),
        drawings: BTreeMap::from([(
            text("write-ups/outlets/post.svg"),
            text(
                r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 640 300"><path d="M0 246H640M262 222V40H378V222" fill="none" stroke="#5b5244" stroke-width="2"/></svg>"##,
            ),
        )]),
    }
}

/// The least that a site can be: no page but home, about and 404.
pub fn empty_site() -> SiteViews {
    let full = site();
    let nobody = TraderLine {
        trading_as: String::new(),
        phone: text("ask at the yard"),
        phone_link: String::new(),
        email: String::new(),
        ..full.site.trader.clone()
    };
    SiteViews {
        site: Site {
            trader: nobody,
            masthead: Vec::new(),
            ..full.site.clone()
        },
        home: Home {
            write_ups: Vec::new(),
            how_tos: Vec::new(),
            reviews: Vec::new(),
            answers: Vec::new(),
            subjects: Vec::new(),
            timed_jobs: None,
            ..full.home.clone()
        },
        write_ups: Vec::new(),
        how_tos: Vec::new(),
        reviews: Vec::new(),
        answers: Vec::new(),
        lists: Vec::new(),
        subject_list: None,
        subjects: Vec::new(),
        how_long: None,
        feeds: Vec::new(),
        moved: Vec::new(),
        drawings: BTreeMap::new(),
        ..full
    }
}
