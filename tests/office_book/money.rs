//! The rate review and the cover ledger: the answer first, every figure leading to its jobs, and sums that add up.

use daywork::office::book::{FigureId, Of};

use super::{AS_OF, Desk, page_text, pages, press};

#[test]
fn the_rate_review_says_the_answer_and_every_figure_of_it_leads_to_its_jobs() {
    let desk = Desk::demo();
    let (_folder, out) = press(&desk, AS_OF);
    let html = page_text(&out, "rates.html");
    for words in [
        "<h1>The year is £36.18 short so far</h1>",
        "Year to 5 April 2027",
        "<a class=\"fig\" href=\"./rates/2026-04-06/charged.html\">£42.14</a>",
        "<a class=\"fig\" href=\"./rates/2026-04-06/on-site.html\">£35.10</a>",
        "<a href=\"./rates/2026-04-06/not-charged-yet.html\">Not charged yet</a>",
        "two fans, one fan isolator, testing",
        "<a href=\"./rates/2026-04-06/quotes.html\">All 20 quoted jobs</a>",
        "Three things to do next",
        "<a href=\"./rates/2025-04-06.html\">Year to 5 April 2026</a>",
        "<a href=\"./handbook/figures/needed.html\">needed an hour</a>",
    ] {
        assert!(html.contains(words), "{words}");
    }
    let latest = &desk.rates[0];
    for (number, task) in latest.tasks.iter().enumerate() {
        let id = FigureId {
            review: 0,
            of: Of::Task(number),
        };
        let page = desk.book(AS_OF).figure_page(id);
        let refs: Vec<&str> = page.rows.iter().map(|row| row.reference.as_str()).collect();
        assert_eq!(refs, task.refs, "{}", page.link);
        let behind = page_text(&out, &page.link);
        for reference in refs {
            let link = format!("href=\"../../jobs/{reference}.html\"");
            assert!(behind.contains(&link), "{}: {reference}", page.link);
        }
        let few = behind.contains("too few to lean on");
        assert_eq!(few, task.jobs < 5, "{}", page.link);
    }
}

#[test]
fn every_page_of_jobs_behind_a_figure_adds_up_to_the_figure() {
    let desk = Desk::demo();
    let book = desk.book(AS_OF);
    let minutes = |text: &str| -> i64 {
        let number = |text: &str| text.parse::<i64>().unwrap_or(0);
        match text.split_once(" h") {
            Some((hours, rest)) => number(&hours.replace(',', "")) * 60 + number(rest.trim()),
            None => number(text.trim_end_matches(" min")),
        }
    };
    let mut pages = 0;
    for id in book.figure_ids() {
        let page = book.figure_page(id);
        assert!(!page.rows.is_empty(), "{}", page.link);
        let sum: i64 = page.rows.iter().map(|row| minutes(&row.cells[0])).sum();
        assert_eq!(sum, minutes(&page.foot[0]), "{}", page.link);
        assert!(
            page.rows
                .iter()
                .all(|row| row.cells.len() == page.heads.len())
        );
        pages += 1;
    }
    assert!(pages > 100, "only {pages} pages were looked at");
}

#[test]
fn the_cover_ledger_says_the_answer_and_lists_every_guarantee_once() {
    let desk = Desk::demo();
    let (_folder, out) = press(&desk, AS_OF);
    let html = page_text(&out, "cover.html");
    for words in [
        "<h1>Six years’ guarantee costs £4.30 a job</h1>",
        "<a class=\"fig\" href=\"#h_all\">168</a>",
        "time, van, miles and parts: the mean of 12",
        "<a class=\"n\" href=\"./jobs/2024.html\">56 jobs</a>",
        "record ends",
        "The scale starts at 80 %.",
        "<a href=\"./jobs/2025-046.html\">2025-046</a>",
        "Owner-occupied homes <span class=\"n\">too few to lean on</span>",
    ] {
        assert!(html.contains(words), "{words}");
    }
    let book = desk.book(AS_OF);
    let listed: Vec<String> = book
        .years_of_guarantees()
        .into_iter()
        .flat_map(|year| book.guarantees_page(year).rows)
        .map(|row| row.reference)
        .collect();
    let all: Vec<String> = desk
        .cover
        .jobs
        .iter()
        .map(|job| job.reference.clone())
        .collect();
    assert_eq!(listed, all);
    let costs: Vec<String> = book
        .years_of_returns()
        .into_iter()
        .flat_map(|year| book.returns_page(year).rows)
        .map(|row| row.cells[4].clone())
        .collect();
    let all: Vec<String> = desk
        .cover
        .costs
        .iter()
        .map(|one| one.cost.to_string())
        .collect();
    assert_eq!(costs, all);
}

#[test]
fn the_sum_of_the_reserve_adds_up_line_by_line() {
    let desk = Desk::demo();
    let ledger = desk.book(AS_OF).cover_ledger();
    let pence = |number: usize| -> i64 {
        let text = ledger.sum[number].amount.replace(['.', ','], "");
        text.parse().expect("an amount")
    };
    assert_eq!(pence(0) + pence(1) + pence(2), pence(3));
    assert_eq!(ledger.sum[3].kind, "part");
    // 631.85 over 12 returns is 52.654.
    assert_eq!((pence(3), pence(4)), (63_185, 5_265));
    assert_eq!(ledger.sum.last().map(|line| line.kind), Some("total"));
}

#[test]
fn every_chart_of_the_money_letters_says_its_figures_and_has_its_table() {
    let desk = Desk::demo();
    let (_folder, out) = press(&desk, AS_OF);
    for page in ["rates.html", "cover.html"] {
        let html = std::fs::read_to_string(out.join(page)).expect("written above");
        let mut charts = 0;
        for svg in html.split("<svg ").skip(1) {
            let svg = svg.split("</svg>").next().unwrap_or_default();
            if !svg.contains("role=\"img\"") {
                continue;
            }
            assert!(
                !svg.contains("viewBox") && !svg.contains("NaN"),
                "{page}: {svg}"
            );
            let said = svg
                .split("<desc id=")
                .nth(1)
                .and_then(|rest| rest.split('<').next());
            let said = said
                .and_then(|said| said.split('>').nth(1))
                .unwrap_or_default();
            assert!(said.chars().any(|c| c.is_ascii_digit()), "{page}: {svg}");
            charts += 1;
        }
        assert!(charts > 5, "{page}: {charts} charts");
        for section in html.split("<section ").skip(1) {
            let has_chart = section.contains("role=\"img\"");
            assert!(
                !has_chart || section.contains("<table"),
                "{page}: {section}"
            );
        }
    }
}

#[test]
fn a_diary_without_years_says_how_to_write_them_and_still_shows_what_was_earned() {
    let settings = "title: A diary\nsite: {address: https://example.com, timezone: Europe/London}\n\
                    tasks: {socket: {name: Change a socket outlet, unit: each}}\nguarantee: {years: 6}\n";
    let log = "---\ntitle: Two outlets\nref: 2026-001\ncharged: {labour: 84.00, on: 2026-03-13}\nvisits: [{date: 2026-03-12, \
               time: 2h, tasks: [{task: socket, count: 2, time: 1h}]}]\n---\n\nWords.\n";
    let desk = Desk::of(daywork::diary::read_files(vec![
        ("diary.yaml".to_owned(), settings.as_bytes().to_vec()),
        ("jobs/a.md".to_owned(), log.as_bytes().to_vec()),
    ]));
    let (_folder, out) = press(&desk, AS_OF);
    let pages = pages(&out);
    let rates = &pages["rates.html"];
    for words in [
        "<h1>Labour brought in £84.00</h1>",
        "diary.yaml has no years.",
        "years: [{from: 2026-04-06, pay: 34000",
        "no year of diary.yaml says what it must bring",
        "What each kind of work earned",
        "1 h, 1 job, too few yet",
    ] {
        assert!(rates.contains(words), "{words}");
    }
    let cover = &pages["cover.html"];
    assert!(
        cover.contains("1 guarantee running and no free return so far"),
        "{cover}"
    );
    assert!(cover.contains("From fewer than ten no curve is drawn"));
}

const SMALL: &str = "title: A diary\nsite: {address: https://example.com, timezone: Europe/London}\n\
                     rates: {currency: NOK, hour: 42.00, day: 320.00, day_length: 8h, mile: 0.45}\n\
                     tasks: {socket: {name: Change a socket outlet, unit: each}}\nguarantee: {years: 6}\n";

/// A small diary's book, page by page, with the desk it was made from.
fn small(logs: &[&str]) -> (Desk, std::collections::BTreeMap<String, String>) {
    let mut files = vec![("diary.yaml".to_owned(), SMALL.as_bytes().to_vec())];
    for (number, log) in logs.iter().enumerate() {
        let text = format!("---\n{log}\n---\n\nWords.\n");
        files.push((format!("jobs/{number}.md"), text.into_bytes()));
    }
    let desk = Desk::of(daywork::diary::read_files(files));
    let (_folder, out) = press(&desk, AS_OF);
    let read = pages(&out);
    let read = read
        .keys()
        .map(|page| (page.clone(), page_text(&out, page)));
    let read = read.collect();
    (desk, read)
}

/// The cells of a table's row, without their markup.
fn cells(html: &str, name: &str) -> Vec<String> {
    let row = html
        .split("<tr")
        .find(|row| row.contains(&format!("<th scope=\"row\">{name}")))
        .unwrap_or_else(|| panic!("no row {name}: {html}"));
    let cells = row.split("<td").skip(1);
    let cells = cells.filter_map(|cell| cell.split_once('>')?.1.split_once("</td>"));
    cells.map(|(cell, _)| cell.to_owned()).collect()
}

#[test]
fn a_job_s_hours_over_the_quote_leave_out_free_returns_as_the_rates_do() {
    // 9 h 35 of work against 8 h is 19.8 % over; the free return of 50 min is in the 10 h 25 that labour paid for.
    let (desk, pages) = small(&[
        "title: Four outlets\nref: 2026-001\nquoted: {hours: 8h, labour: 320.00}\n\
         charged: {labour: 320.00, on: 2026-05-06}\n\
         visits: [{date: 2026-05-04, time: 9h35}, {date: 2026-05-20, kind: guarantee, time: 50m}]",
        "title: As quoted\nref: 2026-002\nquoted: {hours: 2h}\ncharged: {labour: 84.00, on: 2026-05-06}\n\
         visits: [{date: 2026-05-05, time: 2h}]",
    ]);
    let quotes = desk.rates.iter().flat_map(|review| &review.quotes.jobs);
    let took: Vec<(&str, i64)> = quotes
        .map(|job| (job.reference.as_str(), job.took))
        .collect();
    assert_eq!(took, [("2026-001", 575), ("2026-002", 120)]);
    let page = &pages["jobs/2026-001.html"];
    assert!(
        page.contains("Quoted at 8 h and took 9 h 35 without free returns: 20 % over."),
        "{page}"
    );
    assert!(page.contains("over 10 h 25 on site"), "{page}");
    assert_eq!(
        cells(page, "Hours on site without free returns"),
        ["8 h", "", "9 h 35"]
    );
    let page = &pages["jobs/2026-002.html"];
    assert!(
        page.contains("Quoted at 2 h and took 2 h: as quoted."),
        "{page}"
    );
    assert_eq!(cells(page, "Hours on site<"), ["2 h", "", "2 h"]);
}

#[test]
fn plant_has_its_line_in_what_a_job_cost_and_shows_its_charge() {
    let (_desk, pages) = small(&["title: A tower\nref: 2026-001\nquoted: {labour: 84.00}\n\
         charged: {labour: 84.00, on: 2026-05-06}\nvisits: [{date: 2026-05-04, time: 2h}]\n\
         materials: [{item: Clips, count: 1, cost: 5.00, charge: 6.00}]\n\
         plant: [{item: Tower, count: 2, unit: day, cost: 35.00, charge: 45.00}]"]);
    let page = &pages["jobs/2026-001.html"];
    // Two days at 35.00; with the clips 75.00.
    assert_eq!(cells(page, "Plant"), ["", "", "70.00"]);
    assert_eq!(cells(page, "In all"), ["84.00", "84.00", "75.00"]);
    assert_eq!(cells(page, "Tower"), ["2 days", "70.00", "90.00"]);
}

#[test]
fn the_cover_letter_of_a_small_record_counts_alike_and_reads_as_english() {
    let (_desk, pages) = small(&[
        "title: Short\nref: 2024-001\nguarantee: {years: 1}\nvisits: [{date: 2024-06-17, time: 2h}, {date: 2025-06-16, \
         kind: guarantee, time: 1h}, {date: 2025-06-18, kind: guarantee, time: 1h}]",
    ]);
    let cover = &pages["cover.html"];
    for words in [
        "You have gone back free to 1 job, once in all.",
        "1 free return was outside a guarantee (past its end,",
        "the mean of 1, too few",
    ] {
        assert!(cover.contains(words), "{words}: {cover}");
    }
    // What came after the end is told on the job's page as well.
    assert!(
        pages["jobs/2024-001.html"]
            .contains("Free returns: 16 June 2025; 18 June 2025, outside it."),
        "{}",
        pages["jobs/2024-001.html"]
    );
    let (_desk, pages) = small(&[
        "title: Twice\nref: 2026-001\nvisits: [{date: 2026-05-04, time: 2h}, {date: 2026-05-16, kind: guarantee, time: 1h}, \
         {date: 2026-05-18, kind: guarantee, time: 1h}]",
    ]);
    assert!(pages["cover.html"].contains("You have gone back free to 1 job, twice in all."));
    assert!(!pages["cover.html"].contains("outside a guarantee"));
}

#[test]
fn few_of_anything_are_counted_in_words_that_fit() {
    let job = |number: usize| {
        format!(
            "title: Job {number}\nref: 2026-00{number}\nquoted: {{hours: 2h}}\n\
             charged: {{labour: 84.00, on: 2026-05-06}}\nvisits: [{{date: 2026-05-0{number}, time: 2h}}]"
        )
    };
    let jobs: Vec<String> = (1..=3).map(job).collect();
    for (count, words) in [
        (1, ">The one quoted job</a>"),
        (2, ">Both quoted jobs</a>"),
        (3, ">All 3 quoted jobs</a>"),
    ] {
        let logs: Vec<&str> = jobs[..count].iter().map(String::as_str).collect();
        let (_desk, pages) = small(&logs);
        assert!(pages["rates.html"].contains(words), "{words}");
        assert!(pages["publishing.html"].contains(">None.</p>"));
        assert!(!pages["publishing.html"].contains("every promised page is out"));
    }
    let (_desk, pages) = small(&[
        "title: Short\nref: 2024-001\nguarantee: {years: 1}\nvisits: [{date: 2024-06-17, time: 2h}]",
    ]);
    let cover = &pages["cover.html"];
    assert!(cover.contains("They end on 16 June 2025."), "{cover}");
    assert!(
        cover.contains("<td class=\"num\">16 June 2025</td></tr>"),
        "{cover}"
    );
    let (_desk, pages) = small(&[
        "title: A look\nref: 2026-001\nvisits: [{date: 2026-05-04, time: 2h}]\n\
         findings: [{code: FI, what: No earth at the post}]",
    ]);
    assert!(
        pages["findings/index.html"]
            .contains("Of 1 C1, C2 or FI among them nobody is written down as told"),
        "{}",
        pages["findings/index.html"]
    );
}

#[test]
fn no_letter_reckons_in_another_currency_than_the_diary_s() {
    let (_desk, pages) = small(&[
        "title: Again\nref: 2026-001\ncharged: {labour: 84.00, on: 2026-05-06}\n\
         visits: [{date: 2026-05-04, time: 2h}, {date: 2026-05-16, kind: guarantee, time: 1h}]",
    ]);
    assert!(pages["rates.html"].contains("NOK 1.00 more an hour"));
    let cover = &pages["cover.html"];
    // One return in the 205 days to 25 November, at 42.00; the 2,191 days of six years that begin then bring 10.6878 of
    // them, 448.89, and that is 140.3 % of a day.
    assert!(
        cover.contains("On a day’s work at NOK 320.00 that is 140.3 %."),
        "{cover}"
    );
    assert!(
        !cover.contains("pence") && !cover.contains("pound"),
        "{cover}"
    );
}
