//! The fourteen sets of notes, each read exactly as it is meant to be.

use std::fs;
use std::path::Path;

use daywork::diary;
use daywork::jot;
use daywork::jot::vocabulary::Vocabulary;

fn vocabulary() -> Vocabulary {
    let yaml = "title: A diary\nsite: {address: https://example.com, language: en-GB, timezone: Europe/London}\n";
    let read = diary::read_files(vec![("diary.yaml".to_owned(), yaml.as_bytes().to_vec())]);
    Vocabulary::new(&read.diary.settings)
}

#[test]
fn every_set_reads_as_expected_to_the_last_key() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/notes");
    let vocabulary = vocabulary();
    let mut names: Vec<_> = fs::read_dir(&folder)
        .expect("the sets are there")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "txt"))
        .collect();
    names.sort();
    assert_eq!(names.len(), 14, "a set has been lost");
    let mut wrong = Vec::new();
    for path in names {
        let note = fs::read_to_string(&path).expect("a note");
        let expected: serde_json::Value = serde_json::from_str(
            &fs::read_to_string(path.with_extension("expected.json")).expect("its reading"),
        )
        .expect("JSON");
        let today = expected["today"]
            .as_str()
            .expect("a day")
            .parse()
            .expect("a date");
        let read = jot::json::report(&jot::read(&note, &vocabulary, today));
        if read["today"] != expected["today"] || read["jobs"] != expected["jobs"] {
            wrong.push(format!(
                "{}\nread: {}\nwant: {}",
                path.display(),
                serde_json::to_string_pretty(&read["jobs"]).expect("JSON"),
                serde_json::to_string_pretty(&expected["jobs"]).expect("JSON"),
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}
