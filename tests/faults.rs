//! What a person reads when something in a diary is wrong: the whole text, for each fault, as it is printed.
//!
//! The texts are kept in `tests/snapshots` and are read by a person before they are accepted. Each test is a small
//! diary made of texts; nothing here touches a disk.

use daywork::diagnose::put_in_order;
use daywork::diagnose::text::{Colour, render};
use daywork::diary::read_files;
use daywork::rules;

const DIARY: &str = "\
title: The Gullwick job diary
trader: {name: Nan Tregarrow, trading_as: Gullwick Electrical, phone: 01632 960123, email: nan@example.com}
site: {address: https://example.com, language: en-GB, timezone: Europe/London}
rates: {currency: GBP, hour: 42.00, day: 320.00, day_length: 8h, call_out: 65.00, mile: 0.45, markup_percent: 15}
years:
  - {from: 2026-04-06, pay: 34000, overheads: 9800, weeks: 44, admin: 5h}
locations: {boat-shed: Boat shed or yard, shop: Shop or cafe, rented-flat: Rented flat}
tasks:
  shore-point: {name: Change a shore-power outlet, unit: each, also: [shore pt]}
  armoured-run: {name: Lay or clip armoured cable, unit: metre}
  downlight: {name: Fit or change a downlight, unit: each}
materials:
  - {item: Armoured cable 4 mm2 three-core, unit: m, cost: 3.10}
guarantee: {years: 6}
";

const CLIENTS: &str = "\
tarrow-slip:
  name: Tarrow Slip Boatyard
  phone: 07700 900118
";

/// A log's standard keys but for the visit.
const HEAD: &str = "title: Two shore-power outlets\nref: 2026-031\nlocation: boat-shed\n";
/// One visit that is as it should be.
const VISIT: &str = "visits:\n  - {date: 2026-03-12, from: 08:15, to: 12:15}\n";

/// Everything that is said on 2026-11-25 of a diary made of these files, beside a good `diary.yaml` and
/// `clients.yaml` where they are not among them.
fn said_of(files: &[(&str, &[u8])]) -> String {
    let mut all: Vec<(String, Vec<u8>)> = files
        .iter()
        .map(|(path, bytes)| ((*path).to_owned(), bytes.to_vec()))
        .collect();
    for (path, text) in [("diary.yaml", DIARY), ("clients.yaml", CLIENTS)] {
        if all.iter().all(|(given, _)| given != path) {
            all.push((path.to_owned(), text.as_bytes().to_vec()));
        }
    }
    let mut read = read_files(all);
    let mut diagnostics = std::mem::take(&mut read.diagnostics);
    diagnostics.extend(rules::check(&read.diary, jiff::civil::date(2026, 11, 25)));
    put_in_order(&mut diagnostics, &read.sources);
    render(&diagnostics, &read.sources, Colour::Plain)
}

/// A whole log as one file.
fn log(text: &str) -> String {
    said_of(&[("jobs/2026/slip-shed.md", text.as_bytes())])
}

/// Front matter between its two lines, with a line of text below.
fn keys(front_matter: &str) -> String {
    log(&format!("---\n{front_matter}---\n\nWords.\n"))
}

/// Keys of a log beside the standard ones and a good visit.
fn beside(more: &str) -> String {
    keys(&format!("{HEAD}{VISIT}{more}"))
}

/// The text of a good log that is public.
fn body(text: &str) -> String {
    log(&format!("---\n{HEAD}{VISIT}publish: ready\n---\n\n{text}"))
}

/// One visit, in curly brackets, in a standard log.
fn visit(visit: &str) -> String {
    keys(&format!("{HEAD}visits:\n  - {{{visit}}}\n"))
}

/// `diary.yaml` with one of its lines, known by its beginning, written otherwise.
fn settings(begins: &str, instead: &str) -> String {
    let text: String = DIARY
        .lines()
        .map(|line| {
            if line.starts_with(begins) {
                instead
            } else {
                line
            }
        })
        .flat_map(|line| [line, "\n"])
        .collect();
    assert!(
        text.contains(instead),
        "a line of the diary begins with {begins}"
    );
    said_of(&[("diary.yaml", text.as_bytes())])
}

/// A test that holds the whole text of a fault to its snapshot of the same name.
macro_rules! fault {
    ($($(#[$doc:meta])* $name:ident = $said:expr;)*) => {
        $($(#[$doc])* #[test] fn $name() { insta::assert_snapshot!(stringify!($name), $said); })*
    };
}

// Files.
fault! {
    a_good_log_says_nothing = format!("[{}]", beside(""));
    an_empty_log = log("");
    an_empty_diary_yaml = said_of(&[("diary.yaml", b"")]);
    a_log_that_is_not_text = said_of(&[("jobs/2026/slip-shed.md", b"---\ntitle: Zs 0.92 \xd9\n---\n")]);
    a_log_without_front_matter = log("# Slip shed\n\nTwo outlets.\n");
    front_matter_that_never_ends = log(&format!("---\n{HEAD}{VISIT}\nTwo outlets, and no second line.\n"));
    front_matter_with_nothing_in_it = log("---\n---\n");
    diary_yaml_that_is_a_list = said_of(&[("diary.yaml", b"- title\n")]);
    clients_that_are_a_list = said_of(&[("clients.yaml", b"- Tarrow Slip\n")]);
}

// How front matter is written.
fault! {
    a_tab_where_spaces_belong = keys("title: Two outlets\nref: 2026-031\nlocation: shop\nvisits:\n\t- {date: 2026-03-12, time: 2h}\n");
    a_second_colon_in_a_title = keys("title: Slip shed: two outlets\nref: 2026-031\n");
    a_bracket_that_never_closes = keys(&format!("{HEAD}visits:\n  - {{date: 2026-03-12, from: 08:15, to: 12:15\npublish: ready\n"));
    a_bracket_closed_by_the_other_kind = visit("date: 2026-03-12, time: 2h, tasks: [{task: fault-finding, time: 1h]");
    a_bracket_closed_by_the_other_kind_lines_below = keys(&format!("{HEAD}visits: [\n  {{date: 2026-03-12, tasks: [\n    {{task: fault-finding, time: 1h}}\n  }}}}\n]\n"));
    a_bracket_that_nothing_opened = keys(&format!("{HEAD}visits:\n  - date: 2026-03-12, time: 2h}}\n"));
    a_bracket_too_many = visit("date: 2026-03-12, time: 2h, tasks: [{task: fault-finding, time: 1h}]}");
    a_visit_that_the_last_line_leaves_open = keys(&format!("{HEAD}visits:\n  - {{date: 2026-03-12, time: 2h, tasks: [{{task: fault-finding, time: 1h}}]\n"));
    a_comma_left_out_between_keys = visit("date: 2026-03-12, from: 08:15 to: 12:15");
    a_second_colon_inside_brackets = beside("findings:\n  - {what: Slip shed: outlet smashed, code: C1}\n");
    keys_side_by_side_without_brackets = keys(&format!("{HEAD}visits:\n  - date: 2026-03-12, time: 2h\n"));
    a_quotation_mark_that_never_closes = keys(&format!("{HEAD}place: \"Shed 3\n{VISIT}"));
    a_key_that_does_not_line_up = keys("title: Two outlets\n ref: 2026-031\n");
    a_value_that_begins_like_a_tag = keys(&format!("place: !Shed 3\n{HEAD}{VISIT}"));
    an_anchor_copied_from_elsewhere = keys(&format!("place: &shed Shed 3\n{HEAD}{VISIT}"));
    brackets_beyond_all_need = beside(&format!("subjects: {}boats{}\n", "[".repeat(26), "]".repeat(26)));
}

// Keys and values.
fault! {
    a_misspelt_key = beside("locaton: boat-shed\n");
    a_key_near_to_none = beside("weather: fair\n");
    a_comma_that_began_a_new_key = beside("extras:\n  - {what: label both outlets, and the feeder, labour: 15.00}\n");
    a_key_given_twice = keys(&format!("{HEAD}{VISIT}charged: {{labour: 504.00}}\npublish: ready\ncharged: {{materials: 236.40}}\n"));
    a_log_without_a_ref = keys(&format!("title: Two outlets\nlocation: shop\n{VISIT}"));
    a_log_without_visits = keys(&format!("{HEAD}visits: []\n"));
    a_visit_without_a_date = visit("from: 08:15, to: 12:15");
    a_key_without_a_value = beside("place:\n");
    one_visit_where_a_list_belongs = keys(&format!("{HEAD}visits: 2026-03-12\n"));
    a_device_in_one_word = beside("readings:\n  - {circuit: Pontoon, device: C16, zs: 0.92}\n");
    an_unknown_kind_of_visit = visit("date: 2026-03-12, kind: emergency, time: 2h");
    a_code_that_is_none = beside("findings:\n  - {what: Board open at the top, code: C4}\n");
    a_date_with_the_day_first = visit("date: 12/3/26, time: 2h");
    a_film_that_is_no_web_address = beside("video: films.example.com/1\n");
    a_day_that_does_not_exist = visit("date: 2026-02-30, time: 2h");
    a_clock_with_a_point = visit("date: 2026-03-12, from: 8.15, to: 5pm");
    a_clock_time_in_the_hour_that_was_skipped = visit("date: 2026-03-29, from: 01:30, to: 04:00");
    a_length_that_reads_as_a_clock = visit("date: 2026-03-12, from: 08:15, to: 17:00, break: 1:30");
    a_length_without_its_unit = visit("date: 2026-03-12, time: 90");
    money_with_one_figure_of_pence = visit("date: 2026-03-12, time: 2h, parking: 4.5");
    money_below_nothing = beside("charged: {labour: -20.00}\n");
    a_count_in_words = visit("date: 2026-03-12, time: 2h, tasks: [{task: shore-point, count: two, time: 1h}]");
    a_reading_with_its_unit = beside("readings:\n  - {circuit: Pontoon, device: {type: C, rating: 16}, zs: 0.92 ohm}\n");
    a_ref_with_a_stroke = keys(&format!("title: Two outlets\nref: 2026/031\nlocation: shop\n{VISIT}"));
    a_way_to_publish_that_is_none = beside("publish: soon\n");
    a_time_zone_that_is_none = settings("site:", "site: {address: https://example.com, timezone: UK time}");
    a_site_without_its_scheme = settings("site:", "site: {address: www.example.com}");
    a_task_type_without_a_name = settings("  downlight:", "  downlight: {unit: each}");
    a_task_key_with_capitals = settings("  downlight:", "  Down Light: {name: Fit a downlight}");
}

// One visit.
fault! {
    a_visit_with_neither_times_nor_length = visit("date: 2026-03-12, tasks: [{task: shore-point, count: 2, time: 2h}]");
    a_visit_that_ends_as_it_begins = visit("date: 2026-03-12, from: 08:15, to: 08:15");
    a_visit_with_times_and_a_length = visit("date: 2026-03-12, from: 08:15, to: 12:15, time: 4h");
    a_visit_with_one_end = visit("date: 2026-03-12, from: 08:15");
    a_break_as_long_as_the_visit = visit("date: 2026-03-12, from: 08:15, to: 09:15, break: 1h");
    tasks_longer_than_their_visit = visit("date: 2026-03-12, from: 08:15, to: 10:15, tasks: [{task: shore-point, count: 2, time: 2h30}]");
    a_task_type_that_is_misspelt = visit("date: 2026-03-12, time: 2h, tasks: [{task: shore-pont, count: 2, time: 1h}]");
    a_task_type_by_what_is_typed_on_the_phone = visit("date: 2026-03-12, time: 2h, tasks: [{task: shore pt, count: 2, time: 1h}]");
    a_run_without_its_metres = visit("date: 2026-03-12, time: 2h, tasks: [{task: armoured-run, time: 1h}]");
    a_task_without_its_time = visit("date: 2026-03-12, time: 2h, tasks: [{task: shore-point, count: 2}]");
}

// Across the diary, and more than one thing at once.
fault! {
    a_client_that_is_misspelt = beside("client: tarrow-slop\n");
    a_location_type_that_is_misspelt = keys(&format!("title: Two outlets\nref: 2026-031\nlocation: boat-shd\n{VISIT}"));
    a_call_out_that_led_to_no_log = beside("for: 2026-310\n");
    a_finding_of_a_day_without_a_visit = beside("findings:\n  - {what: Circuit chart missing, code: C3, visit: 2026-03-13}\n");
    a_material_that_came_back_on_a_day_without_a_free_return = beside("materials:\n  - {item: Lamp, count: 2, came_back: [2026-03-12]}\n");
    more_came_back_than_were_fitted = beside("  - {date: 2026-04-12, kind: guarantee, time: 1h}\nmaterials:\n  - {item: Lamp, count: 1, came_back: [2026-04-12, 2026-04-12]}\n");
    a_title_that_gives_no_address = keys(&format!("title: \"???\"\nref: 2026-031\nlocation: shop\n{VISIT}publish: ready\n"));
    two_logs_with_one_ref = said_of(&[
        ("jobs/2026/a.md", format!("---\n{HEAD}{VISIT}---\n").as_bytes()),
        ("jobs/2026/b.md", format!("---\n{HEAD}visits: [{{date: 2026-03-13, time: 2h}}]\n---\n").as_bytes()),
    ]);
    two_titles_with_one_address = said_of(&[
        ("jobs/2026/a.md", format!("---\n{HEAD}{VISIT}publish: ready\n---\n").as_bytes()),
        (
            "jobs/2026/b.md",
            b"---\ntitle: Two shore-power outlets!\nref: 2026-032\nlocation: shop\nvisits: [{date: 2026-03-13, time: 2h}]\npublish: ready\n---\n",
        ),
    ]);
    two_errors_in_one_file = keys("title: Two outlets\nref: 2026-031\nlocaton: shop\nvisits:\n  - {date: 2026-03-12, from: 8.15, to: 12:15}\n");
    errors_in_two_files_are_told_together = said_of(&[
        ("jobs/2026/a.md", b"---\ntitle: One\nref: 2026-001\nlocation: shop\nvisits: [{date: 2026-03-12, time: 90}]\n---\n"),
        ("jobs/2026/b.md", b"---\ntitle: Slip shed: two outlets\n---\n"),
        ("jobs/2026/c.md", b"---\ntitle: Three\nref: 2026-003\nlocation: shop\nvisits: [{date: 2026-03-13, time: 2h}]\n---\n"),
    ]);
    a_danger_that_nobody_was_told_of_comes_first = said_of(&[
        ("jobs/2026/a.md", b"---\ntitle: One\nref: 2026-001\nlocation: shop\nvisits: [{date: 2026-03-12, time: 90}, {date: 2026-03-13, time: 1h}]\n---\n"),
        (
            "jobs/2026/z.md",
            format!("---\n{HEAD}{VISIT}findings:\n  - {{what: Bare ends behind the cooker, code: C1, done: locked off}}\n---\n").as_bytes(),
        ),
    ]);
    visits_that_overlap_across_midnight = said_of(&[
        ("jobs/2026/a.md", b"---\ntitle: One\nref: 2026-001\nlocation: shop\nvisits: [{date: 2026-03-12, from: 22:30, to: 01:15}]\n---\n"),
        ("jobs/2026/b.md", b"---\ntitle: Two\nref: 2026-002\nlocation: shop\nvisits: [{date: 2026-03-13, from: 1:00, to: 2:00}]\n---\n"),
    ]);
    a_guide_that_is_ready_and_undated = said_of(&[("guides/dead.md", b"---\ntitle: Proving dead\npublish: ready\n---\n\nWords.\n")]);
    a_review_that_does_not_say_how_it_was_come_by = said_of(&[("reviews/torch.md", b"---\ntitle: Mossel head torch\npublish: 2026-03-20\n---\n\nWords.\n")]);
}

// What editors, phones and copying do to a text. The mark has to stand under the right sign all the same.
fault! {
    lines_that_end_in_crlf = log(&format!("---\n{HEAD}{VISIT}locaton: shop\n---\n").replace('\n', "\r\n"));
    lines_that_end_in_cr = log(&format!("---\n{HEAD}{VISIT}locaton: shop\n---\n").replace('\n', "\r"));
    a_byte_order_mark = log(&format!("\u{feff}---\n{HEAD}{VISIT}locaton: shop\n---\n"));
    a_byte_order_mark_before_the_place_itself = said_of(&[("diary.yaml", format!("\u{feff}titel: x\n{DIARY}").as_bytes())]);
    a_tab_before_the_place = visit("date: 2026-03-12,\ttime: 90");
    wide_characters_before_the_place = beside("findings:\n  - {what: 分電盤の蓋が開いている, code: C9}\n");
    combining_characters_before_the_place = beside("findings:\n  - {what: Ho\u{302}tel sa\u{308}le\u{301}, code: C9}\n");
    emoji_before_the_place = beside("findings:\n  - {what: \u{26a1}\u{1f468}\u{200d}\u{1f527} bare ends, code: C9}\n");
    a_wide_value_is_marked_whole = beside("client: 港の会社\n");
    a_last_line_without_its_end = said_of(&[("clients.yaml", b"tarrow-slip:\n  nam: Tarrow Slip")]);
    a_place_at_the_end_of_the_file = said_of(&[("clients.yaml", b"tarrow-slip: {name: Tarrow Slip")]);
    a_key_with_nothing_after_it_at_the_very_end = said_of(&[("clients.yaml", b"tarrow-slip:\n  name: Tarrow Slip\n  note:")]);
    a_quotation_mark_at_the_very_end = said_of(&[("clients.yaml", b"tarrow-slip:\n  name: \"")]);
    a_place_at_the_end_of_the_file_after_a_wide_character = said_of(&[("clients.yaml", "tarrow-slip: {name: 港".as_bytes())]);
    a_very_long_line = beside(&format!(
        "findings:\n  - {{what: {}, code: C9, done: {}}}\n",
        "cable clipped ".repeat(200).trim(),
        "and clipped again ".repeat(200).trim()
    ));
    a_long_value_is_cut_in_the_message = beside(&format!("client: {}\n", "tarrow-".repeat(30)));
    terminal_escape_characters_are_shown_and_not_obeyed = beside("\"loc\\e[2Jaton\": shop\nclient: \"\\e]0;gone\\a\\e[31mred\"\n");
    raw_escape_characters_in_a_text = log("---\ntitle: \u{1b}[31mred\nref: 2026/031\nvisits: [{date: 2026-03-12, time: 2h}]\n---\n");
    writing_turned_round_is_shown_straight = beside("client: \"abc\u{202e}fed\"\n");
    a_file_name_with_escape_characters = said_of(&[("jobs/2026/\u{1b}[2J.md", b"no front matter\n")]);
}

// The text below the front matter.
fault! {
    html_in_the_text = body("The feeder is in the locker.<br>The key is not.\n");
    a_remark_in_html_that_readers_would_receive = body("<!-- the key hangs behind the pot -->\n");
    a_private_block_that_never_ends = body("```private\nThe key hangs behind the pot.\n\nThe feeder was found off.\n");
    a_private_block_that_is_misspelt = body("```privat\nThe key hangs behind the pot.\n```\n");
    a_link_to_no_log = body("As on [the quay](quay-light.md).\n");
    a_link_to_a_heading_that_is_not_there = body("See [the run](#the-run).\n\n## The long run\n\nClipped.\n");
    a_picture_that_is_not_there = body("![The feeder](slip-shed/feeder.svg)\n");
    a_picture_without_words = said_of(&[
        ("jobs/2026/slip-shed.md", format!("---\n{HEAD}{VISIT}publish: ready\n---\n\n![](slip-shed/feeder.svg)\n").as_bytes()),
        ("jobs/2026/slip-shed/feeder.svg", b"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 4 2\"/>"),
    ]);
    a_place_in_the_text_after_crlf_and_wide_characters = log(
        &format!("---\n{HEAD}{VISIT}---\n\n分電盤 <b>open</b>\n").replace('\n', "\r\n")
    );
}

fault! {
    a_misspelt_addition_of_daywork =
        settings("rates:", "rates: {hour: 42.00, daywork: {labor_percent: 10, plant_percent: ten}}");
}
