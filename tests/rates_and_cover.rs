//! The two reports on money, on diaries small enough to work out by hand: what the year earned, and what the guarantee
//! costs. The hand-worked figures stand beside what they are compared with; the texts are snapshots.

use daywork::diagnose::Level;
use daywork::diary::{Read, read_files};
use daywork::model::Money;
use daywork::office::cover::{self, Cover};
use daywork::office::rates::{self, Asked, Part, Rates, WhatIf};
use jiff::civil::{Date, date};

/// 73 days into the year, both ends counted: a fifth of it.
const AS_OF: Date = date(2026, 6, 17);

const SETTINGS: &str = "title: A small diary\n\
    rates: {currency: GBP, hour: 42.00, day: 320.00, day_length: 8h, call_out: 65.00, mile: 0.45}\n\
    years:\n  - {from: 2026-04-06, pay: 3650, overheads: 730, weeks: 45, admin: 4h}\n\
    locations: {boat-shed: Boat shed, shop: Shop}\n\
    tasks:\n  shore-point: {name: Change a shore-power outlet, unit: each}\n  \
    fault-finding: {name: Fault finding, unit: job}\n  socket: {name: Change a socket outlet, unit: each}\n\
    guarantee: {years: 6}\n";

fn diary(settings: &str, logs: &[&str]) -> Read {
    let site = "site: {address: https://example.com, timezone: Europe/London}\n";
    let settings = format!("{settings}{site}");
    let mut files = vec![("diary.yaml".to_owned(), settings.into_bytes())];
    for (number, log) in logs.iter().enumerate() {
        let text = format!("---\n{log}\n---\n\nWords.\n");
        files.push((format!("jobs/2026/{number:02}.md"), text.into_bytes()));
    }
    let read = read_files(files);
    let errors: Vec<&str> = read
        .diagnostics
        .iter()
        .filter(|fault| fault.level == Level::Error)
        .map(|fault| fault.message.as_str())
        .collect();
    assert_eq!(errors, Vec::<&str>::new());
    read
}

/// Two days' labour at 320.00, for one full day of 8 h and three call-outs of 1 h 15: the design's worked example.
const PUMPS: &str = "title: The slip pumps will not start\nref: 2026-001\nlocation: boat-shed\n\
    quoted: {hours: 10h, labour: 640.00, basis: four outlets and a look}\n\
    charged: {labour: 640.00, on: 2026-04-20}\n\
    visits:\n\
    \x20 - {date: 2026-04-07, kind: call-out, time: 1h15, tasks: [{task: fault-finding, time: 1h}], travel: {time: 30m}}\n\
    \x20 - {date: 2026-04-08, kind: call-out, time: 1h15, tasks: [{task: fault-finding, time: 1h}], travel: {time: 30m}}\n\
    \x20 - {date: 2026-04-09, kind: call-out, time: 1h15, tasks: [{task: fault-finding, time: 1h}], travel: {time: 30m}}\n\
    \x20 - {date: 2026-04-13, time: 8h, tasks: [{task: shore-point, count: 4, time: 6h}], travel: {time: 30m}}";

/// The whole small year: every way in which time can be paid for or not.
fn year() -> Read {
    diary(
        SETTINGS,
        &[
            PUMPS,
            // The call-out stands on the bill of the job that it led to: 6 h at 42.00.
            "title: A look at the counter\nref: 2026-002\nfor: 2026-003\nvisits: [{date: 2026-05-04, kind: call-out, \
             time: 1h}]",
            "title: Sockets behind the counter\nref: 2026-003\nlocation: shop\ncharged: {labour: 252.00, on: 2026-05-06}\n\
             visits: [{date: 2026-05-06, time: 5h, tasks: [{task: socket, count: 3, time: 4h30}]}]",
            "title: Nobody in\nref: 2026-004\nvisits: [{date: 2026-05-11, kind: call-out, time: 1h30}]",
            "title: The chapel lamp\nref: 2026-005\nuncharged: a kindness\nvisits: [{date: 2026-05-18, time: 4h, tasks: \
             [{task: socket, count: 2, time: 4h}]}]",
            "title: The long run, first day\nref: 2026-006\nvisits: [{date: 2026-06-15, time: 3h}]",
            // A free return in a log of its own.
            "title: One faceplate loose\nref: 2026-007\nfor: 2026-003\nvisits: [{date: 2026-06-10, kind: guarantee, \
             time: 1h, travel: {miles: 10, time: 40m}, parking: 2.50}]\n\
             materials: [{item: Faceplate, count: 1, cost: 3.20}]",
            // A quote without hours is no quote of hours.
            "title: A kettle lead\nref: 2026-008\nquoted: {labour: 84.00}\ncharged: {labour: 84.00, on: 2026-05-28}\n\
             visits: [{date: 2026-05-25, time: 2h}, {date: 2026-05-27, kind: follow-up, time: 30m}]",
        ],
    )
}

fn reviewed(read: &Read, what_if: &[&str]) -> Rates {
    let what_if: Vec<WhatIf> = what_if
        .iter()
        .map(|text| WhatIf::from_text(text).expect("it is one of the keys"))
        .collect();
    rates::rates(&read.diary, Asked::Year, &what_if, AS_OF)
}

fn money(text: &str) -> Option<Money> {
    Some(Money::from_text(text).expect("written as money"))
}

fn said(report: &Rates) -> String {
    rates::text(report, "GBP")
}

#[test]
fn two_days_labour_for_a_day_and_three_call_outs_earns_the_worked_example_s_rate() {
    let review = reviewed(&diary(SETTINGS, &[PUMPS]), &[]);
    // 640.00 over 8 h + 3 x 1.25 h = 11.75 h: 54.468.
    assert_eq!(review.minutes.on_site, 705);
    assert_eq!(review.earned_per_hour, money("54.47"));
    // The job is charged, and so are its call-outs.
    assert_eq!(review.minutes.charged, 705);
    assert_eq!(review.charged_per_hour, money("54.47"));
    let hours: Vec<Option<Money>> = review
        .tasks
        .iter()
        .map(|task| task.earned_per_hour)
        .collect();
    assert_eq!(
        hours,
        [money("54.47"), money("54.47")],
        "labour falls to minutes alike"
    );
}

#[test]
fn a_year_is_needed_for_the_days_it_has_reached_and_every_hour_finds_its_part() {
    let review = reviewed(&year(), &[]);
    // 6 April to 17 June is 73 of 365 days: a fifth of 3,650 and of 730.
    assert_eq!(
        (review.pay, review.overheads),
        (money("730.00"), money("146.00"))
    );
    assert_eq!(review.ends.as_deref(), Some("2027-04-05"));
    let minutes = review.minutes;
    // 705 + 60 + 300 + 90 + 240 + 180 + 60 + 120 + 30.
    assert_eq!(minutes.on_site, 1_785);
    // 705, then 60 + 300 on one bill, then 120.
    assert_eq!(minutes.charged, 1_185);
    assert_eq!(
        (
            minutes.call_outs_uncharged,
            minutes.follow_ups,
            minutes.free_returns
        ),
        (90, 30, 60)
    );
    // 240 not to be charged and 180 not charged yet.
    assert_eq!(minutes.other, 420);
    assert_eq!(minutes.travel, 4 * 30 + 40);
    // A fifth of 45 weeks at 4 h: 36 h.
    assert_eq!(minutes.admin, 2_160.0);
    // 640 + 252 + 84.
    assert_eq!(Some(review.labour), money("976.00"));
    // 876.00 / 19.75 h = 44.354; 976.00 / 19.75 h = 49.418; 976.00 / 29.75 h = 32.807.
    assert_eq!(review.needed_per_hour, money("44.35"));
    assert_eq!(review.charged_per_hour, money("49.42"));
    assert_eq!(review.earned_per_hour, money("32.81"));
    // 1,185 of 1,785 + 160 + 2,160.
    let share = review.utilisation.expect("hours were worked");
    assert!((share - 1_185.0 / 4_105.0).abs() < 1e-12, "{share}");
    // Sockets: the bill of 252.00 paid for 7 h on site, the call-out and the free return among them, so the sockets'
    // 4.5 h had 162.00 of it. Nothing came in for the kindness: 162.00 over 8.5 h is 19.059. At 44.35 they had to
    // bring 376.98 (376.975, half up).
    let sockets = &review.tasks[0];
    assert_eq!(sockets.task.as_deref(), Some("socket"));
    assert_eq!(sockets.earned_per_hour, money("19.06"));
    assert_eq!(sockets.short, money("214.98"));
    // The one quote of hours took 705 of 600 minutes; the quote without hours is none.
    assert_eq!(review.quotes.n, 1);
    let ratio = review.quotes.hours_ratio.expect("one quote");
    assert_eq!((ratio.median, ratio.low), (1.175, None));
}

#[test]
fn the_jobs_behind_a_figure_add_up_to_it() {
    let review = reviewed(&year(), &[]);
    let of = |part: Part| review.behind.get(&part).map_or(&[][..], Vec::as_slice);
    let minutes = |part: Part| of(part).iter().map(|one| one.minutes).sum::<i64>();
    assert_eq!(minutes(Part::OnSite), review.minutes.on_site);
    assert_eq!(minutes(Part::Charged), review.minutes.charged);
    assert_eq!(minutes(Part::Travel), review.minutes.travel);
    let labour: Money = of(Part::Charged).iter().filter_map(|one| one.labour).sum();
    assert_eq!(labour, review.labour);
    for unpaid in &review.unpaid {
        let part = Part::ALL
            .into_iter()
            .find(|part| part.word() == unpaid.cause);
        let part = part.expect("every cause is a part");
        assert_eq!(minutes(part), unpaid.minutes, "{}", unpaid.cause);
        let refs: Vec<&str> = of(part).iter().map(|one| one.reference.as_str()).collect();
        assert_eq!(refs, unpaid.refs, "{}", unpaid.cause);
    }
    for earned in review.tasks.iter().chain(&review.locations) {
        let all: i64 = earned.behind.iter().map(|one| one.minutes).sum();
        assert_eq!(all, earned.minutes, "{}", earned.name);
    }
    let bill = &of(Part::Charged)[1];
    assert_eq!(
        (bill.reference.as_str(), bill.minutes, bill.labour),
        ("2026-003", 360, money("252.00")),
        "the call-out stands with the job that pays for it"
    );
}

#[test]
fn a_changed_rate_changes_what_was_charged_and_leaves_the_hours() {
    let review = reviewed(&year(), &["hour=50.40"]);
    // 50.40 is 42.00 and a fifth: 976.00 becomes 1,171.20, over 19.75 h 59.301 and over 29.75 h 39.368.
    assert_eq!(Some(review.labour), money("1171.20"));
    assert_eq!(review.charged_per_hour, money("59.30"));
    assert_eq!(review.earned_per_hour, money("39.37"));
    assert_eq!(review.needed_per_hour, money("44.35"));
    assert_eq!(review.what_if, ["hour=50.40"]);
    assert!(said(&review).contains("What if hour=50.40\n"));
}

#[test]
fn each_year_that_has_begun_has_its_review_the_latest_first() {
    let settings = SETTINGS.replace(
        "years:\n",
        "years:\n  - {from: 2025-04-06, pay: 3000, overheads: 600, weeks: 44, admin: 4h}\n  \
         - {from: 2027-04-06, pay: 9000, overheads: 900, weeks: 44, admin: 4h}\n",
    );
    let read = diary(&settings, &[PUMPS]);
    let spans: Vec<(Option<String>, Option<String>)> = rates::each_year(&read.diary, AS_OF)
        .into_iter()
        .map(|review| (review.from, review.to))
        .collect();
    let day = |text: &str| Some(text.to_owned());
    assert_eq!(
        spans,
        [
            (day("2026-04-06"), day("2026-06-17")),
            (day("2025-04-06"), day("2026-04-05"))
        ]
    );
    let without = diary("title: A diary\n", &[PUMPS]);
    assert_eq!(rates::each_year(&without.diary, AS_OF).len(), 1);
}

#[test]
fn the_review_reads_as_it_should() {
    let text = said(&reviewed(&year(), &[]));
    fits(&text);
    insta::assert_snapshot!(text);
}

#[test]
fn time_on_no_bill_is_told_apart_as_on_the_office_page() {
    let review = reviewed(&year(), &[]);
    let text = said(&review);
    // 240 of the kindness, 180 of the run that goes on.
    for (name, rest) in [
        ("Not charged yet", "3 h 4 % nobody so far"),
        ("Not to be charged", "4 h 6 % nobody"),
        ("Evening paperwork", "36 h 53 % the rate"),
    ] {
        let line = text.lines().find(|line| line.starts_with(name));
        let line = line.unwrap_or_else(|| panic!("{name} is missing: {text}"));
        let cells: Vec<&str> = line[name.len()..].split_whitespace().collect();
        assert_eq!(cells.join(" "), rest, "{line}");
    }
}

#[test]
fn a_lever_is_in_the_diary_s_currency() {
    let review = reviewed(&year(), &[]);
    for (currency, lever) in [
        ("GBP", "£1.00 more an hour"),
        ("EUR", "€1.00 more an hour"),
        ("NOK", "NOK 1.00 more an hour"),
    ] {
        let text = rates::text(&review, currency);
        assert!(text.contains(&format!("\n{lever} ")), "{text}");
        assert!(!text.contains("pound"), "{text}");
    }
}

#[test]
fn without_years_or_visits_the_review_says_so() {
    let read = diary("title: A small diary\n", &[]);
    assert_eq!(
        said(&reviewed(&read, &[])),
        "No visits in the record yet, so there is nothing to reckon.\n"
    );
    let text = said(&reviewed(&diary("title: A small diary\n", &[PUMPS]), &[]));
    fits(&text);
    insta::assert_snapshot!("a_review_without_years", text);
    let text = said(&reviewed(&diary(SETTINGS, &[]), &[]));
    fits(&text);
    insta::assert_snapshot!("a_review_without_visits", text);
}

/// Twelve jobs done two years before the day, one of them gone back to after 35 days in a log of its own, another
/// after 400 days in its own log.
fn guarantees() -> Read {
    let mut logs: Vec<String> = (1..=12)
        .map(|number| {
            let again = if number == 5 {
                ", {date: 2025-07-22, kind: guarantee, time: 1h, travel: {miles: 4, time: 20m}}"
            } else {
                ""
            };
            let tenure = if number < 4 { "rented" } else { "owned" };
            format!(
                "title: Outlet {number}\nref: 2024-{number:03}\ntenure: {tenure}\ncharged: {{labour: 84.00}}\n\
                 visits: [{{date: 2024-06-17, time: 2h}}{again}]"
            )
        })
        .collect();
    logs.push(
        "title: Lid spring\nref: 2024-020\nfor: 2024-003\nvisits: [{date: 2024-07-22, kind: guarantee, time: 1h, \
         travel: {miles: 10, time: 40m}, parking: 2.50}]\nmaterials: [{item: Spring, count: 1, cost: 3.20}]"
            .to_owned(),
    );
    let logs: Vec<&str> = logs.iter().map(String::as_str).collect();
    diary(SETTINGS, &logs)
}

fn covered(read: &Read) -> Cover {
    cover::cover(&read.diary, AS_OF)
}

#[test]
fn what_a_guarantee_costs_is_worked_out_by_hand() {
    let cover = covered(&guarantees());
    assert_eq!(
        (cover.running, cover.jobs.len(), cover.returns),
        (12, 12, 2)
    );
    assert_eq!(cover.jobs[0].until, "2030-06-16");
    // 100 min at 42.00 is 70.00; 10 miles at 0.45 and 2.50 is 7.00; 3.20 of materials, in a log of its own.
    // 80 min at 42.00 is 56.00; 4 miles at 0.45 is 1.80.
    let costs: Vec<(&str, Option<Money>)> = cover
        .costs
        .iter()
        .map(|one| (one.reference.as_str(), Some(one.cost)))
        .collect();
    assert_eq!(
        costs,
        [("2024-020", money("80.20")), ("2024-005", money("57.80"))]
    );
    assert_eq!(cover.cost_per_return, money("69.00"));
    // 11/12 after 35 days, then 10/11 of it after 400: 10/12.
    let shares: Vec<(f64, f64)> = cover
        .first_return
        .iter()
        .map(|step| (step.days, step.survival))
        .collect();
    assert_eq!(shares.len(), 2);
    assert_eq!((shares[0].0, shares[1].0), (35.0, 400.0));
    assert!((shares[0].1 - 11.0 / 12.0).abs() < 1e-12 && (shares[1].1 - 10.0 / 12.0).abs() < 1e-12);
    // The record ends after 730 days with 2/12 of a return a job. Past a job's first year one return came in 12 x
    // (730 - 365.25) = 4,377 days, so the 2,191 days of a guarantee that begins today bring
    // 2/12 + (2,191 - 730) / 4,377 = 0.50046 of one, at 69.00: 34.53.
    let expected = cover.expected_per_job.expect("twelve jobs");
    assert!(
        (expected - (2.0 / 12.0 + 1_461.0 / 4_377.0)).abs() < 1e-9,
        "{expected}"
    );
    assert_eq!(cover.reserve_per_job, money("34.53"));
    // The twelve that run have 2,190 - 730 days each before them: 12 x 1,460 / 4,377 = 4.00274, at 69.00: 276.19.
    assert_eq!(cover.reserve_running, money("276.19"));
    let carried = cover.carried.expect("six years are longer than two");
    assert_eq!((carried.from_days, carried.returns), (730.0, 1));
}

#[test]
fn a_guarantee_that_has_ended_no_longer_counts_returns() {
    let read = diary(
        SETTINGS,
        &[
            "title: Short\nref: 2024-001\nguarantee: {years: 1}\nvisits: [{date: 2024-06-17, time: 2h}, {date: 2025-06-16, \
           kind: guarantee, time: 1h}, {date: 2025-06-18, kind: guarantee, time: 1h}]",
        ],
    );
    let cover = covered(&read);
    assert_eq!((cover.running, cover.returns), (0, 1));
    assert_eq!(cover.jobs[0].state, "ended");
    assert_eq!(cover.jobs[0].returns, [364]);
}

#[test]
fn a_return_outside_a_guarantee_counts_neither_in_how_often_nor_in_what_one_costs() {
    let read = diary(
        SETTINGS,
        &[
            "title: Short\nref: 2024-001\nguarantee: {years: 1}\nvisits: [{date: 2024-06-17, time: 2h}, {date: 2025-06-16, \
           kind: guarantee, time: 1h}, {date: 2025-06-18, kind: guarantee, time: 3h}]",
            "title: Without\nref: 2024-002\nguarantee: {years: 0}\nvisits: [{date: 2024-06-17, time: 2h}]",
            "title: To the one without\nref: 2024-003\nfor: 2024-002\nvisits: [{date: 2024-06-20, kind: guarantee, time: \
           5h}]",
            // Which job it was for is not written, so it may have been within.
            "title: To nobody knows which\nref: 2024-004\nvisits: [{date: 2025-07-01, kind: guarantee, time: 2h}]",
        ],
    );
    let cover = covered(&read);
    assert_eq!((cover.returns, cover.outside_guarantee), (1, 2));
    let costs: Vec<(&str, &str)> = cover
        .costs
        .iter()
        .map(|one| (one.reference.as_str(), one.on.as_str()))
        .collect();
    assert_eq!(
        costs,
        [("2024-001", "2025-06-16"), ("2024-004", "2025-07-01")]
    );
    // One hour at 42.00 and two of it: 63.00 each.
    assert_eq!(cover.cost_per_return, money("63.00"));
    let text = cover::text(&cover, "GBP");
    fits(&text);
    let said = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains(
            "2 free returns were outside a guarantee (past its end, before the job was done, or to a job that has \
             none) and count in nothing here."
        ),
        "{text}"
    );
    assert!(!cover::text(&covered(&guarantees()), "GBP").contains("outside"));
}

#[test]
fn the_cover_reads_as_it_should() {
    let text = cover::text(&covered(&guarantees()), "GBP");
    fits(&text);
    insta::assert_snapshot!(text);
    let few = cover::text(&covered(&year()), "GBP");
    fits(&few);
    insta::assert_snapshot!("a_cover_of_few_jobs", few);
    let none = diary(
        SETTINGS,
        &["title: A\nref: 2026-001\nvisits: [{date: 2026-03-17, time: 2h}]"],
    );
    let none = cover::text(&covered(&none), "GBP");
    fits(&none);
    insta::assert_snapshot!("a_cover_without_returns", none);
}

#[test]
fn no_heading_runs_into_its_neighbour() {
    for text in [
        said(&reviewed(&year(), &[])),
        cover::text(&covered(&guarantees()), "GBP"),
    ] {
        for pair in [
            "timeat",
            "hourhalf",
            "hourmiddle",
            "jobstime",
            "Furthest   over",
        ] {
            assert!(!text.contains(pair), "{pair}");
        }
    }
}

/// No line of a report is wider than a terminal.
fn fits(text: &str) {
    for line in text.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
}
