//! What jot writes: new logs, additions to logs that are there, spellings learnt. All in memory, read back by the diary.

mod common;

use std::path::Path;

use common::tree;
use daywork::diagnose::Level;
use daywork::diary::{self, Read};
use daywork::jot::Opened;
use daywork::jot::alias;
use daywork::jot::ask::{self, Answer, Settled};
use daywork::jot::near::Near;
use daywork::jot::plan::{Change, Desk, Finished, How, Placed, Refusal};
use daywork::jot::vocabulary::Vocabulary;
use daywork::rules;
use jiff::civil::{Date, date};

const TODAY: Date = date(2026, 11, 25);

fn read(files: &[(&str, &str)]) -> Read {
    let files = files
        .iter()
        .map(|(path, text)| ((*path).to_owned(), text.as_bytes().to_vec()))
        .collect();
    let mut read = diary::read_files(files);
    let more = rules::check(&read.diary, TODAY);
    read.diagnostics.extend(more);
    read
}

fn starter() -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("content/starter");
    tree(&root)
        .into_iter()
        .map(|(path, bytes)| (path, String::from_utf8(bytes).expect("text")))
        .collect()
}

fn with_starter(more: &[(&str, &str)]) -> Read {
    let starter = starter();
    let files: Vec<(&str, &str)> = starter
        .iter()
        .map(|(path, text)| (path.as_str(), text.as_str()))
        .chain(more.iter().copied())
        .collect();
    read(&files)
}

fn jot(read: &Read, notes: &[&str]) -> Result<(Vec<Placed>, Finished), Refusal> {
    let vocabulary = Vocabulary::new(&read.diary.settings).with_clients(read.diary.clients.keys());
    let mut desk = Desk::new(read);
    let mut placed = Vec::new();
    for note in notes {
        let opened = Opened::new(note);
        let scenes = opened.scenes(&vocabulary, TODAY);
        placed.extend(desk.take(
            &opened.read(&vocabulary, TODAY),
            &opened.kept,
            &scenes,
            &vocabulary,
        )?);
    }
    Ok((placed, desk.finish(TODAY)?))
}

fn one_change(read: &Read, note: &str) -> Change {
    let (_, finished) = jot(read, &[note]).unwrap_or_else(|refusal| panic!("{refusal}"));
    assert_eq!(finished.changes.len(), 1, "{finished:?}");
    finished.changes.into_iter().next().expect("counted")
}

const NOTE: &str = "Hall sockets\nlocation: shop\n2026-11-12 0900-1130\nbrk 15\n2 skt 50m\nspare key with the warden\n\
no bond to the gas C2 made safe, told owner by email\nring B32 zs 0.71\n2 jb 3.20 ea\n12m 2.5 t&e 11.40\nIMG_1234.jpg\n";

#[test]
fn a_new_log_is_whole_and_inspects_clean() {
    let change = one_change(&with_starter(&[]), NOTE);
    assert_eq!(change.path, "jobs/2026/hall-sockets.md");
    assert_eq!(change.before, None);
    insta::assert_snapshot!("a_new_log", change.text);
    let again = with_starter(&[(&change.path, &change.text)]);
    let said: Vec<&str> = again.diagnostics.iter().map(|d| d.code.as_str()).collect();
    assert_eq!(said, Vec::<&str>::new());
}

#[test]
fn a_client_by_the_short_name_is_in_the_log_and_any_other_stays_text() {
    let there = with_starter(&[]);
    let log = |note: &str| one_change(&there, note).text;
    let text = log("client first-client\nHall sockets\n2026-11-12 0900-1130\n2 skt 50m\n");
    assert!(
        text.contains("title: Hall sockets\n") && text.contains("\nclient: first-client\n"),
        "{text}"
    );
    assert!(!text.contains("stayed text"), "{text}");
    for note in [
        "Hall sockets\n2026-11-12 0900-1130\n2 skt 50m\nclient hobbs\n",
        // The next job's, maybe.
        "Hall sockets\n2026-11-12 0900-1130\n2 skt 50m\n\nclient first-client\n",
    ] {
        let text = log(note);
        assert!(!text.contains("\nclient: "), "{text}");
        assert!(text.contains("stayed text:\n"), "{text}");
    }
    let twice = log(
        "Hall sockets\nclient first client\nclient: First-Client\n2026-11-12 0900-1130\n2 skt 50m\n",
    );
    assert_eq!(
        twice.matches("\nclient: first-client\n").count(),
        1,
        "{twice}"
    );
    assert!(twice.contains("stayed text:"), "{twice}");
    let to_a_log = log("2026-001\n2026-11-12 0900-1130\n2 skt 50m\nclient first-client\n");
    assert!(to_a_log.contains("stayed text:"), "{to_a_log}");
}

#[test]
fn what_is_missing_is_said_in_the_log_where_it_is_missing() {
    let note = "tue 17 nov\neicr 2h\nC2\nzs 0.4\n4 skts 1h";
    let change = one_change(&with_starter(&[]), note);
    insta::assert_snapshot!("a_log_with_gaps", change.text);
}

#[test]
fn an_error_of_the_note_is_kept_told_and_marked() {
    let note = "Shop sockets\n2026-11-12 0900-1000\n2 skt 3h\n";
    let (_, finished) = jot(&with_starter(&[]), &[note]).expect("placed");
    let errors: Vec<&str> = finished
        .said
        .iter()
        .filter(|d| d.level == Level::Error)
        .map(|d| d.code.as_str())
        .collect();
    assert_eq!(errors, ["tasks-exceed-visit"]);
    assert!(
        finished.changes[0]
            .text
            .contains("    # inspect: the tasks of this visit add up to 3 h"),
        "{}",
        finished.changes[0].text
    );
}

#[test]
fn a_visit_at_the_time_of_another_job_is_marked_though_the_other_log_is_the_one_told() {
    let first = one_change(
        &with_starter(&[]),
        "Hall sockets\n2026-11-12 0900-1130\n2 skt 50m\n",
    );
    let there = with_starter(&[(&first.path, &first.text)]);
    let (_, finished) =
        jot(&there, &["Yard light\n2026-11-12 1000-1100\n1 skt 20m\n"]).expect("placed");
    let codes: Vec<&str> = finished.said.iter().map(|d| d.code.as_str()).collect();
    assert!(codes.contains(&"visits-overlap"), "{codes:?}");
    assert_eq!(finished.changes.len(), 1, "the other log is left alone");
    assert!(
        finished.changes[0].text.contains("# inspect:"),
        "{}",
        finished.changes[0].text
    );
}

#[test]
fn the_whole_note_is_private() {
    let note = "Barn ```` lights\n```private\n18 nov 9-12\n```\n~~~\n# not a title?\n<b>html</b>\n[link](x.md)\n---\n";
    let (_, finished) = jot(&with_starter(&[]), &[note]).expect("placed");
    for change in &finished.changes {
        let again = with_starter(&[(&change.path, &change.text)]);
        let job = again
            .diary
            .jobs
            .iter()
            .find(|job| job.path.in_office() == &change.path)
            .expect("the log");
        assert_eq!(job.body.open.trim(), "", "{}", change.text);
        let private: String = job
            .body
            .private
            .iter()
            .map(|block| block.text.in_office().to_string())
            .collect();
        for line in note.lines() {
            assert!(private.contains(line), "{line} in {private}");
        }
    }
}

#[test]
fn two_jobs_in_one_note_are_two_logs_and_refs_follow_on() {
    let note = "Hall sockets\n12 nov 9-11\n2 skt 50m\n\nYard light\n1-2\n1 o/s light 50m\n";
    let (placed, finished) = jot(&with_starter(&[]), &[note]).expect("placed");
    let refs: Vec<&str> = placed.iter().map(|p| p.reference.as_str()).collect();
    assert_eq!(refs, ["2026-002", "2026-003"]);
    let paths: Vec<&str> = finished.changes.iter().map(|c| c.path.as_str()).collect();
    assert_eq!(
        paths,
        ["jobs/2026/hall-sockets.md", "jobs/2026/yard-light.md"]
    );
    assert!(
        finished
            .changes
            .iter()
            .all(|c| c.text.contains("Hall sockets\n12 nov 9-11\n"))
    );
}

#[test]
fn a_ref_is_of_the_visit_s_year() {
    let (placed, _) =
        jot(&with_starter(&[]), &["Old job\n3 Dec 9-11\n2 skt 50m\n"]).expect("placed");
    assert_eq!(placed[0].reference, "2025-001");
    assert_eq!(placed[0].path, "jobs/2025/old-job.md");
}

#[test]
fn a_title_that_is_taken_gets_its_ref_behind_it() {
    let first = one_change(&with_starter(&[]), NOTE);
    let there = with_starter(&[(&first.path, &first.text)]);
    let other = NOTE.replace("12", "13");
    assert_eq!(
        one_change(&there, &other).path,
        "jobs/2026/hall-sockets-2026-003.md"
    );
}

#[test]
fn a_second_run_adds_nothing_whatever_the_line_ends() {
    let first = one_change(&with_starter(&[]), NOTE);
    let there = with_starter(&[(&first.path, &first.text)]);
    for note in [
        NOTE.to_owned(),
        NOTE.replace('\n', "\r\n"),
        format!("\u{feff}{NOTE}\n\n"),
    ] {
        let (placed, finished) = jot(&there, &[&note]).expect("placed");
        assert_eq!(placed[0].how, How::Already);
        assert_eq!(placed[0].path, first.path);
        assert!(finished.changes.is_empty(), "{:?}", finished.changes);
    }
    let (_, twice) = jot(&with_starter(&[]), &[NOTE, NOTE]).expect("placed");
    assert_eq!(twice.changes.len(), 1);
}

#[test]
fn a_run_cut_short_between_two_logs_is_finished_by_the_next() {
    let note = "Hall sockets\n12 nov 9-11\n2 skt 50m\n\nYard light\n1-2\n1 o/s light 50m\n";
    let (_, finished) = jot(&with_starter(&[]), &[note]).expect("placed");
    let first = &finished.changes[0];
    let there = with_starter(&[(&first.path, &first.text)]);
    let change = one_change(&there, note);
    assert_eq!(change.path, "jobs/2026/yard-light.md");
}

const LOG: &str = "---\n# mine\ntitle:   Hall sockets   # as she said\nref: 2026-031\nlocation: shop\nvisits:   # all of them\n  \
# the first\n  - date: 2026-03-02\n    time: 2h   # about\n  # the second\n  - {date: 2026-05-04, time: 3h}\n# below\nfindings:\n    \
- what: No chart\n      code: C3\nsubjects: [lighting]\n---\n\nText.\n";

const MORE: &str = "ref 2026-031\n2026-04-10 0900-1100 f/up\n2 skt 50m\nlid off C1 made safe, told owner\nring B32 zs 0.71\n2 jb 3.20 ea\n";

/// Every character that stood there, in order, is in the new text; and what is between is new.
fn keeps_every_character(before: &str, after: &str) {
    let mut rest = after.chars();
    for c in before.chars() {
        assert!(
            rest.any(|there| there == c),
            "lost {c:?} of {before} in {after}"
        );
    }
}

fn added(log: &str, note: &str) -> String {
    let there = with_starter(&[("jobs/2026/hall.md", log)]);
    let change = one_change(&there, note);
    assert_eq!(change.path, "jobs/2026/hall.md");
    assert_eq!(change.before.as_deref(), Some(log));
    keeps_every_character(log, &change.text);
    let again = with_starter(&[(&change.path, &change.text)]);
    let errors: Vec<_> = again
        .diagnostics
        .iter()
        .filter(|d| d.level == Level::Error)
        .collect();
    assert!(errors.is_empty(), "{errors:?}\n{}", change.text);
    change.text
}

#[test]
fn an_addition_keeps_comments_order_and_layout() {
    insta::assert_snapshot!("an_addition", added(LOG, MORE));
}

#[test]
fn a_visit_goes_in_by_its_date() {
    let early = added(LOG, "ref 2026-031\n2026-01-10 2h\n");
    assert!(
        early.contains("visits:   # all of them\n  - date: 2026-01-10\n    time: 2h\n  # the first\n  - date: 2026-03-02"),
        "{early}"
    );
    let late = added(LOG, "ref 2026-031\n2026-08-10 2h\n2026-06-10 1h\n");
    assert!(late.contains("time: 3h}\n  - date: 2026-08-10"), "{late}");
}

#[test]
fn an_addition_has_the_log_s_own_line_ends() {
    for end in ["\r\n", "\r"] {
        let log = LOG.replace('\n', end);
        let text = added(&log, MORE);
        let bare = text.replace(end, "");
        assert!(!bare.contains(['\n', '\r']), "{end:?}: {text:?}");
    }
}

#[test]
fn lists_in_brackets_take_additions_in_brackets() {
    let log = "---\ntitle: Hall\nref: 2026-031\nlocation: shop\nvisits: [{date: 2026-03-02, time: 2h}]\nmaterials: []\n\
               readings: [\n  {circuit: Old, device: {type: B, rating: 6}, zs: 1.00},   # kept\n  ]\n---\n";
    let text = added(
        log.replace(
            "readings: [\n  {circuit: Old, device: {type: B, rating: 6}, zs: 1.00},   # kept\n  ]\n",
            "",
        )
        .as_str(),
        MORE,
    );
    assert!(
        text.contains("visits: [{date: 2026-03-02, time: 2h}, {date: 2026-04-10, kind: follow-up, from: 09:00, to: 11:00, tasks: [{task: socket, count: 2, time: 50m}]}]"),
        "{text}"
    );
    assert!(
        text.contains("materials: [{item: jb, count: 2, cost: 3.20}]"),
        "{text}"
    );
    assert!(text.contains("findings:\n  - what: lid off\n"), "{text}");
    let text = {
        let there = with_starter(&[("jobs/2026/hall.md", log)]);
        one_change(&there, MORE).text
    };
    assert!(text.contains("zs: 1.00}, {circuit: ring,"), "{text}");
    assert!(text.contains(",   # kept\n  ]"), "{text}");
}

#[test]
fn a_key_without_items_a_block_of_text_and_no_last_line_end_are_no_trouble() {
    let log = "---\ntitle: Hall\nref: 2026-031\nlocation: shop\nvisits:\n- date: 2026-03-02\n  time: 2h\n  note: |\n    one\n    two\nmaterials:   # none yet\nfindings:\n---\nText";
    let there = with_starter(&[("jobs/2026/hall.md", log)]);
    let change = one_change(&there, MORE);
    assert!(
        change
            .text
            .contains("    two\n- date: 2026-04-10\n  kind: follow-up\n"),
        "{}",
        change.text
    );
    assert!(
        change
            .text
            .contains("materials:   # none yet\n  - {item: jb"),
        "{}",
        change.text
    );
    assert!(
        change.text.contains("---\nText\n\n```private\n"),
        "{}",
        change.text
    );
}

#[test]
fn a_log_in_brackets_as_a_whole_and_an_unknown_ref_are_refused_with_what_to_do() {
    let log = "---\n{title: Hall, ref: 2026-031, location: shop, visits: [{date: 2026-03-02, time: 2h}]}\n---\n";
    let there = with_starter(&[("jobs/2026/hall.md", log)]);
    let refusal = jot(&there, &[MORE]).expect_err("refused");
    assert_eq!(
        refusal.to_string(),
        "the front matter of jobs/2026/hall.md stands in brackets as a whole. Add the lines by hand, or write the log's front matter a key a line and run jot again"
    );
    let refusal = jot(&with_starter(&[]), &["ref 2026-099\n9-11\n"]).expect_err("refused");
    assert!(
        matches!(&refusal, Refusal::NoSuchRef { reference } if reference == "2026-099"),
        "{refusal}"
    );
}

#[test]
fn two_notes_for_one_log_both_go_in() {
    let there = with_starter(&[("jobs/2026/hall.md", LOG)]);
    let (placed, finished) = jot(&there, &[MORE, "ref 2026-031\n2026-08-10 2h\n"]).expect("placed");
    assert_eq!(placed.len(), 2);
    assert_eq!(finished.changes.len(), 1);
    let again = with_starter(&[("jobs/2026/hall.md", &finished.changes[0].text)]);
    let job = again
        .diary
        .jobs
        .iter()
        .find(|job| job.reference.in_office().value == "2026-031")
        .expect("the log");
    assert_eq!(job.visits.len(), 4);
    let (second, nothing) = {
        let vocabulary = Vocabulary::new(&again.diary.settings);
        let mut desk = Desk::new(&again);
        let opened = Opened::new(MORE);
        let placed = desk
            .take(
                &opened.read(&vocabulary, TODAY),
                &opened.kept,
                &[],
                &vocabulary,
            )
            .expect("placed");
        (placed, desk.finish(TODAY).expect("finished"))
    };
    assert_eq!(second[0].how, How::Already);
    assert!(nothing.changes.is_empty());
}

#[test]
fn a_film_gives_its_chapter_marks() {
    let vtt = "WEBVTT\n\n00:00.000 --> 00:04.000\nHall sockets\n\n00:12.000 --> 00:20.000\nyesterday nine till eleven\n\n01:02.000 --> 01:10.000\ntwo sockets fifty minutes then key under the mat\n";
    let change = one_change(&with_starter(&[]), vtt);
    insta::assert_snapshot!("a_film", change.text);
}

#[test]
fn a_spelling_learnt_goes_into_diary_yaml_with_the_log_that_needed_it() {
    let read = with_starter(&[]);
    let mut vocabulary = Vocabulary::new(&read.diary.settings);
    let opened = Opened::new("Hall\n2026-11-12 0900-1130\n2 sokets 50m\n");
    let mut yes = |_: &Near| Ok::<_, ()>(Answer::Always);
    let Settled { note, always, .. } =
        ask::settle(&opened, &mut vocabulary, TODAY, &mut yes).expect("answered");
    let mut desk = Desk::new(&read);
    let settings = desk.text("diary.yaml").expect("settings").to_owned();
    let learnt = alias::learn(&settings, &always[0]).expect("learnt");
    desk.put("diary.yaml", learnt);
    desk.take(&note, &opened.kept, &[], &vocabulary)
        .expect("placed");
    let finished = desk.finish(TODAY).expect("finished");
    let paths: Vec<&str> = finished
        .changes
        .iter()
        .map(|change| change.path.as_str())
        .collect();
    assert_eq!(paths, ["diary.yaml", "jobs/2026/hall.md"]);
    let changed = &finished.changes[0].text;
    assert!(
        changed.contains("also: [skt, double socket, sokets]}"),
        "{changed}"
    );
    assert_eq!(
        changed.replace(", sokets]", "]"),
        settings,
        "nothing else has changed"
    );
    assert!(
        finished.changes[1]
            .text
            .contains("{task: socket, count: 2, time: 50m}")
    );
}
