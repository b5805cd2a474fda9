//! The edges of the gate: what begins or ends a word, what a name or an address is cut into, and what is one error.

use daywork::diagnose::Diagnostic;
use daywork::public::Leak;

use super::*;

/// A diary of one log with these settings, clients and text; the text begins in line 8.
fn read_with(more: &str, clients: &str, body: &str) -> daywork::diary::Read {
    let log = format!(
        "---\ntitle: Two outlets\nref: 2026-031\nvisits: [{{date: 2026-03-02, time: 1h}}]\npublish: 2026-03-20\n---\n\n{body}\n"
    );
    let files = [
        ("diary.yaml", settings(more)),
        ("clients.yaml", clients.to_owned()),
        ("jobs/2026/a.md", log),
    ];
    let files = files.map(|(path, text)| (path.to_owned(), text.into_bytes()));
    read_files(files.to_vec())
}

fn gate_of(more: &str, clients: &str, body: &str) -> Gate {
    let read = read_with(more, clients, body);
    Gate::new(&read.diary, &read.sources)
}

/// The gate of a diary with one client, `a`.
fn gate_with(client: &str) -> Gate {
    gate_of("", &format!("a: {{{client}}}\n"), "Words.")
}

fn stops(gate: &Gate, text: &str) -> bool {
    !in_html(gate, text).is_empty()
}

#[test]
fn a_number_stands_against_letters_and_never_against_figures() {
    let gate = gate_with("name: Jo, phone: 07700 900118");
    for found in [
        "tel07700900118",
        "07700900118x",
        "t07700 900118t",
        "0044 7700 900118",
    ] {
        assert!(stops(&gate, found), "{found}");
    }
    for other in ["107700900118", "077009001181", "207700 900118x"] {
        assert!(!stops(&gate, other), "{other}");
    }
}

#[test]
fn five_figures_are_a_number_and_four_are_none() {
    let gate = gate_with("name: Jo, phone: 52341");
    assert!(stops(&gate, "on 52341"));
    assert!(!stops(&gate_with("name: Jo, phone: 5234"), "on 5234"));
}

#[test]
fn a_mail_address_is_found_after_a_bracket_and_not_as_the_end_of_another() {
    let gate = gate_with("name: Jo, email: yard@example.com");
    for found in [
        "(yard@example.com)",
        "to:yard@example.com",
        "mail yard@example.com",
    ] {
        assert!(stops(&gate, found), "{found}");
    }
    for other in [
        "boat.yard@example.com",
        "boat-yard@example.com",
        "boat+yard@example.com",
    ] {
        assert!(!stops(&gate, other), "{other}");
    }
}

#[test]
fn a_name_is_two_letters_or_more() {
    assert!(stops(&gate_with("name: Jo"), "rang jo at ten"));
    assert!(!stops(&gate_with("name: J"), "plan J"));
}

#[test]
fn a_title_goes_and_the_first_name_stays() {
    let gate = gate_with("name: Mrs Anne Tolvane");
    assert!(stops(&gate, "anne tolvane"));
    assert!(!stops(&gate, "anne") && !stops(&gate, "tolvane"));
    assert!(stops(&gate_with("name: Mr and Mrs Tolvane"), "mrs tolvane"));
    // A surname stays, though it be a title or a firm's form elsewhere.
    assert!(stops(&gate_with("name: Mr Dame"), "rang dame"));
    assert!(stops(&gate_with("name: Mrs Cio"), "rang cio"));
}

#[test]
fn one_last_word_in_two_cases_is_looked_for_in_both() {
    let gate = gate_of("", "a: {name: Tom Vane}\nb: {name: Ann VANE}\n", "Words.");
    assert_eq!(in_html(&gate, "Vane"), ["client a, name"]);
    assert_eq!(in_html(&gate, "VANE"), ["client b, name"]);
    assert!(!stops(&gate, "vane"));
}

#[test]
fn a_letter_of_two_is_written_as_an_address_writes_it() {
    let gate = gate_with("name: Ann Ætherby");
    assert!(stops(&gate, "Ætherby") && stops(&gate, "Aetherby") && stops(&gate, "ann-aetherby"));
    assert!(!stops(&gate, "aetherby"));
}

#[test]
fn marks_beyond_ascii_end_a_word_and_what_nobody_sees_does_not() {
    let gate = gate_with("name: Odo Brannick");
    for found in [
        "so…Brannick…",
        "“Brannick”",
        "Bran\u{7}nick",
        "Bran\u{ad}nick",
    ] {
        assert!(stops(&gate, found), "{found:?}");
    }
}

#[test]
fn an_address_gives_its_postcode_and_what_stands_behind_a_flat() {
    let gate = gate_with("name: Jo, address: 'Flat 9 Tolman Terrace, Wrack Head ZY98 2TS'");
    for found in [
        "tolman terrace",
        "zy982ts",
        "ZY98 2TS",
        "wrack head zy98 2ts",
    ] {
        assert!(stops(&gate, found), "{found}");
    }
    for other in ["Flat 9", "ZY98", "Terrace"] {
        assert!(!stops(&gate, other), "{other}");
    }
}

#[test]
fn two_words_with_a_code_are_a_sentence_and_one_is_not() {
    let gate = gate_of(
        "",
        "a: {name: Jo}\n",
        "```private\nCode 4711. Ring 12. 4712. Mind the.\n```",
    );
    assert!(stops(&gate, "the code 4711 opens it"));
    for other in ["ring 12", "4712", "mind the"] {
        assert!(!stops(&gate, other), "{other}");
    }
}

#[test]
fn a_word_to_keep_is_found_though_the_diary_s_own_title_holds_it() {
    let kept = "keep_private: [key store]\n";
    let more = settings(kept).replace(
        "The Gullwick job diary",
        "A yard@example.com A, the key store diary",
    );
    let files = [
        ("diary.yaml", more.as_str()),
        ("clients.yaml", "a: {name: Jo, email: yard@example.com}\n"),
    ];
    let files = files.map(|(path, text)| (path.to_owned(), text.as_bytes().to_vec()));
    let read = read_files(files.to_vec());
    let gate = Gate::new(&read.diary, &read.sources);
    assert!(stops(&gate, "the key store"));
    assert!(stops(&gate, "mail yard@example.com"));
}

/// Three letters on either side, so that the address stands in the very middle of the title.
#[test]
fn mail_inside_a_line_of_the_trader_s_is_not_the_trader_s() {
    let more = settings("").replace("The Gullwick job diary", "Ask yard@example.com now");
    let files = [
        ("diary.yaml", more.as_str()),
        ("clients.yaml", "a: {name: Jo, email: yard@example.com}\n"),
    ];
    let files = files.map(|(path, text)| (path.to_owned(), text.as_bytes().to_vec()));
    let read = read_files(files.to_vec());
    assert!(stops(
        &Gate::new(&read.diary, &read.sources),
        "mail yard@example.com"
    ));
}

#[test]
fn the_digest_changes_with_a_join_and_with_a_last_word_s_case() {
    let digest = |more: &str, name: &str| {
        gate_of(more, &format!("a: {{name: {name}}}\n"), "Words.").digest()
    };
    assert_ne!(digest("", "Odo Brannick"), digest("", "Odo BRANNICK"));
    assert_eq!(digest("", "Odo Brannick"), digest("", "ODO Brannick"));
    assert_ne!(
        digest("keep_private: [key store]\n", "Jo"),
        digest("keep_private: [keystore]\n", "Jo")
    );
}

#[test]
fn a_gate_printed_says_how_many_and_not_which() {
    let gate = gate_with("name: Jo");
    assert_eq!(format!("{gate:?}"), "Gate(1 terms)");
}

#[test]
fn what_stands_in_the_file_is_given_whole() {
    let gate = gate_with("name: Odo Brannické");
    let found = |text: &str| -> Vec<String> {
        let file = PublicFile {
            path: "a/index.html",
            kind: FileKind::Html,
            bytes: text.as_bytes(),
        };
        gate.check(&file)
            .into_iter()
            .map(|leak| leak.found)
            .collect()
    };
    assert_eq!(
        found("<p>told Odo <em>Brannické</em> of it")[0],
        "Odo <em>Brannické"
    );
    assert_eq!(found("Odo Brannické")[0], "Odo Brannické");
}

#[test]
fn a_file_of_no_text_is_looked_at_by_its_name_alone() {
    let gate = gate_with("name: Odo Brannick");
    assert_eq!(
        leaks(&gate, FileKind::Other, "a.bin", "Odo Brannick"),
        Vec::<String>::new()
    );
    assert_eq!(
        leaks(&gate, FileKind::Other, "odo-brannick.bin", ""),
        ["client a, name"]
    );
}

/// The errors of pages made of these texts, all of one log.
fn faults(read: &daywork::diary::Read, pages: &[&str]) -> Vec<Diagnostic> {
    let gate = Gate::new(&read.diary, &read.sources);
    let leaks: Vec<Leak> = pages
        .iter()
        .flat_map(|text| {
            gate.check(&PublicFile {
                path: "a/index.html",
                kind: FileKind::Html,
                bytes: text.as_bytes(),
            })
        })
        .collect();
    let file = read.diary.jobs[0].file;
    gate.diagnose(&leaks, &|_| Some(file), &read.sources)
}

/// What each error points at.
fn pointed_at(read: &daywork::diary::Read, pages: &[&str]) -> Vec<String> {
    let text = |fault: &Diagnostic| {
        let span = fault.span;
        read.sources.text(span.file)[span.start as usize..span.end as usize].to_owned()
    };
    faults(read, pages).iter().map(text).collect()
}

#[test]
fn an_error_points_at_the_words_and_nothing_beside_them() {
    let body = "Rang Odo Brannick twice.";
    let read = read_with("", "a: {name: Odo Brannick}\n", body);
    assert_eq!(pointed_at(&read, &[body]), ["Odo Brannick"]);
    let body = "Rang Odo Brannické";
    let read = read_with("", "a: {name: Odo Brannické}\n", body);
    assert_eq!(pointed_at(&read, &[body]), ["Odo Brannické"]);
}

#[test]
fn a_finding_is_pointed_at_where_readers_see_it() {
    let log = "---\ntitle: Two outlets\nref: a\nvisits: [{date: 2026-03-02, time: 1h}]\nfindings:\n  - {what: Made by ODO BRANNICK, code: C3, private: true}\n  - {what: Left by Odo Brannick, code: C3}\npublish: 2026-03-20\n---\n\nWords.\n";
    let files = [
        ("diary.yaml", settings("")),
        ("clients.yaml", "a: {name: Odo Brannick}\n".to_owned()),
        ("jobs/2026/a.md", log.to_owned()),
    ];
    let files = files.map(|(path, text)| (path.to_owned(), text.into_bytes()));
    let read = read_files(files.to_vec());
    assert_eq!(pointed_at(&read, &["odo brannick"]), ["Odo Brannick"]);
}

#[test]
fn a_question_that_waits_is_pointed_at_whole() {
    let question = "> May I fit the second one by myself?\n";
    let answer = format!("---\ntitle: A second one?\nasked: {{on: 2026-04-21}}\n---\n{question}");
    let mut files = vec![("answers/second.md".to_owned(), answer.into_bytes())];
    files.push(("diary.yaml".to_owned(), settings("").into_bytes()));
    let log =
        "---\ntitle: Two outlets\nref: a\nvisits: [{date: 2026-03-02, time: 1h}]\n---\n\nWords.\n";
    files.push(("jobs/2026/a.md".to_owned(), log.into()));
    let read = read_files(files);
    let pages = ["May I fit the second one by myself?"];
    assert_eq!(pointed_at(&read, &pages), [question]);
}

#[test]
fn the_longer_word_of_a_place_is_told_whichever_came_first() {
    let body = "Rang Odo Brannick twice.";
    let read = read_with("", "a: {name: Odo Brannick}\n", body);
    assert_eq!(pointed_at(&read, &["Brannick", body]), ["Odo Brannick"]);
    assert_eq!(pointed_at(&read, &[body, "Brannick"]), ["Odo Brannick"]);
}

#[test]
fn two_places_of_one_owner_and_two_owners_of_one_place_are_two_errors() {
    let address = "a: {name: Jo, address: 'Hawser Street, Quern Cottage'}\n";
    let body = "At Hawser Street.\n\nAnd Quern Cottage.";
    let read = read_with("", address, body);
    assert_eq!(
        pointed_at(&read, &[body]),
        ["Hawser Street", "Quern Cottage"]
    );
    let body = "On Odo Brannick boat.";
    let read = read_with(
        "keep_private: [brannick boat]\n",
        "a: {name: Odo Brannick}\n",
        body,
    );
    assert_eq!(
        pointed_at(&read, &[body]),
        ["Odo Brannick", "Brannick boat"]
    );
}

#[test]
fn a_long_sentence_is_told_by_its_first_sixty_letters() {
    let said = |sentence: &str| {
        let read = read_with(
            "",
            "a: {name: Jo}\n",
            &format!("```private\n{sentence}\n```"),
        );
        let faults = faults(&read, &[sentence]);
        faults[0]
            .message
            .split(" would show ")
            .nth(1)
            .expect("what it shows")
            .to_owned()
    };
    let sixty = format!("Ring the {}", "x".repeat(51));
    assert!(
        said(&sixty).starts_with(&format!("{sixty}, ")),
        "{}",
        said(&sixty)
    );
    assert!(said(&format!("{sixty}yz")).starts_with(&format!("{sixty}…, ")));
}

#[test]
fn what_to_do_hangs_on_whose_word_it_is() {
    let read = read_with(
        "keep_private: [key store]\n",
        "a: {name: Jo}\n",
        "The key store.",
    );
    assert_eq!(
        faults(&read, &["The key store."])[0].help,
        "Take it out or move it into a private block."
    );
}

/// Another client's words on the paper of this log's job.
#[test]
fn a_word_on_another_s_paper_is_pointed_at_in_the_log() {
    let read = read_with("", "a: {name: Odo Brannick}\n", "Rang Odo Brannick twice.");
    let gate = Gate::new(&read.diary, &read.sources);
    let file = PublicFile {
        path: "",
        kind: FileKind::Html,
        bytes: b"<p>Odo Brannick",
    };
    let leaks = gate.check(&file);
    let job = &read.diary.jobs[0];
    let faults = daywork::public::tell_others(&leaks, job, &read.sources);
    let text = read.sources.text(job.file);
    let at: Vec<&str> = faults
        .iter()
        .map(|fault| &text[fault.span.start as usize..fault.span.end as usize])
        .collect();
    assert_eq!(at, ["Odo Brannick", "Brannick"]);
}
