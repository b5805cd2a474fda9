//! A picture of a public job whose file name holds a house number: the name would go out with the picture.
//!
//! The words and names of a page itself are the leak gate's.

use crate::diagnose::{Code, Diagnostic};
use crate::model::{Diary, Job, Publish};

/// The last words of street names. Those that a picture of a board or a cable also uses (way, view, end) are left out.
const STREETS: [&str; 26] = [
    "lane",
    "ln",
    "street",
    "st",
    "road",
    "rd",
    "avenue",
    "ave",
    "close",
    "crescent",
    "terrace",
    "gardens",
    "grove",
    "court",
    "square",
    "mews",
    "cottages",
    "cottage",
    "buildings",
    "wharf",
    "quay",
    "parade",
    "drive",
    "hill",
    "row",
    "villas",
];
/// Words before one of those that make it the part of a thing and not a street.
const NOT_A_NAME: [&str; 10] = [
    "top", "bottom", "first", "second", "upper", "lower", "middle", "back", "front", "of",
];

/// One error for each picture that a public job's open text shows under such a name, whether it is public today or
/// from a later day on.
pub fn check(diary: &Diary, job: &Job, said: &mut Vec<Diagnostic>) {
    if job.publish == Publish::Never {
        return;
    }
    for link in job
        .body
        .links
        .iter()
        .filter(|link| link.picture && !link.private)
    {
        let name = link.path.rsplit('/').next().unwrap_or_default();
        let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
        let words = words(stem);
        let known = address_words(diary, job, &words);
        let Some((number, owner)) = known
            .or_else(|| street(&words).map(|number| (number, "readers would see it".to_owned())))
        else {
            continue;
        };
        said.push(Diagnostic::error(
            Code::PrivateWord,
            link.span,
            format!("the name of this picture holds a house number ({number}): {owner}"),
            format!(
                "Name the file after what it shows, board.{} say, and change the name here too.",
                extension(name)
            ),
        ));
    }
}

/// A number and a word of the job's own place or its client's address, side by side in the name; and where they stand.
fn address_words(diary: &Diary, job: &Job, name: &[String]) -> Option<(String, String)> {
    let place = job.place.as_ref().map(|place| {
        (
            place.in_office().value.as_str(),
            "it is in this job's place".to_owned(),
        )
    });
    let client = job
        .client
        .as_ref()
        .and_then(|key| diary.clients.get(&key.in_office().value));
    let address = client.and_then(|client| {
        let address = client.address.as_ref()?.in_office().value.as_str();
        Some((
            address,
            format!("it is in the address of the client {}", client.key.value),
        ))
    });
    for (text, owner) in place.into_iter().chain(address) {
        let text = words(text);
        for pair in text
            .windows(2)
            .filter(|pair| is_number(&pair[0]) && is_word(&pair[1]))
        {
            if name.windows(2).any(|here| here == pair) {
                return Some((format!("{} {}", pair[0], pair[1]), owner));
            }
        }
    }
    None
}

/// `12-mill-lane`: a number, one to three words, and the last word of a street.
fn street(name: &[String]) -> Option<String> {
    (0..name.len())
        .filter(|&at| is_number(&name[at]))
        .find_map(|at| {
            (at + 2..name.len().min(at + 5)).find_map(|end| {
                let between = &name[at + 1..end];
                let a_street = STREETS.contains(&name[end].as_str())
                    && between.iter().all(|word| is_word(word))
                    && !NOT_A_NAME.contains(&name[end - 1].as_str())
                    && name.get(end + 1).is_none_or(|next| next != "up");
                a_street.then(|| name[at..=end].join(" "))
            })
        })
}

/// The words of a name in lower case.
fn words(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect()
}

/// `12`, `12a`; four figures at the most, so that no date is one.
fn is_number(word: &str) -> bool {
    let figures = word.trim_end_matches(|c: char| c.is_ascii_lowercase());
    let letters = word.len() - figures.len();
    (1..=4).contains(&figures.len()) && letters <= 1 && figures.bytes().all(|b| b.is_ascii_digit())
}

fn is_word(word: &str) -> bool {
    word.chars().count() >= 2 && word.chars().all(char::is_alphabetic)
}

fn extension(name: &str) -> &str {
    name.rsplit_once('.')
        .map_or("jpg", |(_, extension)| extension)
}

#[cfg(test)]
mod tests {
    use super::{street, words};
    use crate::rules::bench::told_of;

    const DRAWING: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 4 4\"><title>A board</title></svg>\n";

    fn shown(keys: &str, picture: &str) -> String {
        let log = format!(
            "---\ntitle: A job\nref: 2026-001\nlocation: shop\n{keys}visits: [{{date: 2026-05-01, time: 2h}}]\n---\n\n![The board](a/{picture})\n"
        );
        told_of(&[
            ("jobs/2026/a.md", &log),
            (&format!("jobs/2026/a/{picture}"), DRAWING),
        ])
    }

    #[test]
    fn a_house_number_in_a_public_pictures_name_is_an_error() {
        insta::assert_snapshot!(shown("publish: ready\n", "12-mill-lane.svg"), @r#"
        jobs/2026/a.md, line 9: the name of this picture holds a house number (12 mill lane): readers would see it.
            9 | ![The board](a/12-mill-lane.svg)
              | ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
        Name the file after what it shows, board.svg say, and change the name here too. (private-word)

        1 error.
        "#);
        assert_eq!(shown("", "12-mill-lane.svg"), "");
    }

    #[test]
    fn the_clients_own_number_is_found_without_its_street() {
        insta::assert_snapshot!(shown("publish: ready\nclient: dunnage\n", "board-12-mill.svg"), @r#"
        jobs/2026/a.md, line 10: the name of this picture holds a house number (12 mill): it is in the address of the client dunnage.
            10 | ![The board](a/board-12-mill.svg)
               | ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
        Name the file after what it shows, board.svg say, and change the name here too. (private-word)

        1 error.
        "#);
    }

    #[test]
    fn a_cameras_own_name_and_a_count_are_no_house_number() {
        for picture in ["IMG_2041.svg", "2-gang.svg"] {
            assert_eq!(shown("publish: ready\nclient: dunnage\n", picture), "");
        }
    }

    #[test]
    fn names_of_what_a_picture_shows_are_left_alone() {
        for name in [
            "IMG_2041",
            "IMG_2041 2",
            "2-gang",
            "2-sockets",
            "10-way-board",
            "3-core-cable",
            "2026-03-12-board",
            "4-top-row",
            "1-board-close-up",
            "lane",
        ] {
            assert_eq!(street(&words(name)), None, "{name}");
        }
        for name in [
            "12-mill-lane",
            "IMG 7a Old Harbour Road",
            "5_ropewalk_buildings-board",
        ] {
            assert!(street(&words(name)).is_some(), "{name}");
        }
    }
}
