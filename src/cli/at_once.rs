//! The pages of a log as soon as it is saved, with the diary as it was pressed around it: what proof shows before the
//! press that follows is done. Writes nothing.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use jiff::civil::Date;

use crate::diagnose::{self, FileId};
use crate::diary::{self, Kept, Read};
use crate::office::book;
use crate::office::book::handbook::Handbook;
use crate::pages;
use crate::press::Half;
use crate::public::{self, FileKind, Gate, PublicFile};
use crate::rules;

use super::has_errors;
use super::press::Pressed;

impl Pressed {
    /// Lets go of all but what [`Pressed::pages_of`] needs.
    #[must_use]
    pub fn without_pages(self) -> Self {
        let views = public::frame_of(self.views);
        Pressed { views, ..self }
    }

    /// The pages of a few files that were saved since (their paths in the diary), for readers and in the office book, as
    /// far as they may be shown: path below `out/`, and bytes. All files are read before the first page is made, and none
    /// is made where one has to wait for the press: a private word may stand in any. What they say of the diary as a
    /// whole is as it was pressed.
    pub fn pages_of(
        &mut self,
        saved: &BTreeSet<PathBuf>,
        kept: &Kept,
        root: &Path,
        as_of: Date,
    ) -> Vec<(String, Vec<u8>)> {
        let files = diary::read_few(&mut self.read, kept, root, saved).unwrap_or_default();
        if files.is_empty() {
            return Vec::new();
        }
        let Read {
            diary,
            sources,
            diagnostics,
        } = &mut self.read;
        diagnostics.extend(rules::check_each(diary, as_of, &|file| {
            files.contains(&file)
        }));
        if has_errors(diagnostics) {
            return Vec::new();
        }
        diagnose::put_in_order(diagnostics, sources);
        let gate = Gate::new(diary, sources);
        let mut made: Vec<(String, Vec<u8>)> = files
            .iter()
            .filter_map(|file| self.site_page(*file, &gate, as_of))
            .collect();
        made.extend(self.office_pages(&files, as_of));
        made
    }

    fn site_page(&self, file: FileId, gate: &Gate, as_of: Date) -> Option<(String, Vec<u8>)> {
        let diary = &self.read.diary;
        let hours = &self.reports.hours;
        let (link, views) = public::views_of_one(&self.views, diary, hours, as_of, gate, file)?;
        let path = pages::file_of(&link);
        let outputs = pages::site::outputs(&views, &self.sheets, gate.digest());
        let output = outputs.iter().find(|output| output.path == path)?;
        let bytes = (output.make)().ok()?;
        let kind = FileKind::of_path(&path);
        let leaks = gate.check(&PublicFile {
            path: &path,
            kind,
            bytes: &bytes,
        });
        leaks.is_empty().then(|| (Half::Site.path_of(&path), bytes))
    }

    fn office_pages(&self, files: &[FileId], as_of: Date) -> Vec<(String, Vec<u8>)> {
        let read = &self.read;
        let handbook = Handbook::built_in();
        let book = book::book(
            &read.diary,
            &read.sources,
            self.reports.for_book(),
            &read.diagnostics,
            as_of,
            &handbook,
        );
        let jobs = read.diary.jobs.iter().enumerate();
        let saved = jobs.filter(|(_, job)| files.contains(&job.file));
        let page = |(number, _)| {
            let output = pages::office::job_page(&book, &self.sheets, number);
            let bytes = (output.make)().ok()?;
            Some((Half::Office.path_of(&output.path), bytes))
        };
        saved.filter_map(page).collect()
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use jiff::civil::date;

    use super::super::press::once;
    use super::*;

    const SETTINGS: &str = "title: A diary\nsite: {address: https://example.com, timezone: Europe/London}\n\
        locations: {shop: Shop}\ntasks:\n  socket: {name: Change a socket, unit: each}\n";

    fn log(title: &str, reference: &str, rest: &str) -> String {
        format!(
            "---\ntitle: {title}\nref: {reference}\nlocation: shop\nvisits:\n  - {{date: 2026-03-02, time: 1h}}\n{rest}---\nWords.\n"
        )
    }

    const DAY: Date = date(2026, 11, 25);

    /// Presses a diary without a look at the rules, and keeps what the pages of a save are made with.
    fn pressed(root: &Path, kept: &mut Kept) -> Pressed {
        let read = diary::read_again(root, kept).expect("it can be read");
        once(read, DAY, None, &root.join("out"))
            .unwrap_or_else(|_| panic!("it presses"))
            .without_pages()
    }

    fn saved(path: &str) -> BTreeSet<PathBuf> {
        BTreeSet::from([path.split('/').collect()])
    }

    #[test]
    fn the_pages_of_one_file_are_what_a_press_makes_of_it() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let root = folder.path();
        let public = "publish: 2026-03-09\nsubjects: [sockets]\n";
        let files = [
            ("diary.yaml", SETTINGS.to_owned()),
            ("about.md", "---\ntitle: About\npublish: 2026-03-01\n---\nWho writes.\n".to_owned()),
            ("jobs/a.md", log("The first shop", "2026-001", public)),
            ("jobs/b.md", log("Kept back", "2026-002", "")),
            ("jobs/c.md", log("The second shop", "2026-003", public)),
            (
                "guides/g.md",
                "---\ntitle: How it is done\npublish: 2026-03-09\nsubjects: [sockets]\n---\nSee [a job](../jobs/a.md).\n".to_owned(),
            ),
        ];
        for (path, text) in &files {
            let path = root.join(path);
            fs::create_dir_all(path.parent().expect("a folder")).expect("made");
            fs::write(path, text).expect("written");
        }
        let out = root.join("out");
        let mut kept = Kept::default();
        let press = |kept: &mut Kept| {
            let mut read = diary::read_again(root, kept).expect("it can be read");
            read.diagnostics.extend(rules::check(&read.diary, DAY));
            diagnose::put_in_order(&mut read.diagnostics, &read.sources);
            once(read, DAY, None, &out).unwrap_or_else(|_| panic!("it presses"))
        };
        let mut pressed = press(&mut kept).without_pages();

        let more = "\nMore words, and [the second](SECOND). Isolated and proved dead.\n";
        let expected = [
            ("about.md", vec!["site/about/index.html"]),
            (
                "jobs/a.md",
                vec![
                    "site/write-ups/the-first-shop/index.html",
                    "office/jobs/2026-001.html",
                ],
            ),
            ("jobs/b.md", vec!["office/jobs/2026-002.html"]),
            (
                "guides/g.md",
                vec!["site/how-tos/how-it-is-done/index.html"],
            ),
        ];
        for (path, pages) in expected {
            let text = fs::read_to_string(root.join(path)).expect("there");
            let second = if path.contains('/') {
                "../jobs/c.md"
            } else {
                "jobs/c.md"
            };
            fs::write(root.join(path), text + &more.replace("SECOND", second)).expect("written");
            let made = pressed.pages_of(&saved(path), &kept, root, DAY);
            let paths: Vec<&str> = made.iter().map(|(path, _)| path.as_str()).collect();
            assert_eq!(paths, pages);
            pressed = press(&mut kept).without_pages();
            for (page, bytes) in made {
                assert!(pressed.done.written.contains(&page), "{page}");
                assert!(
                    fs::read(out.join(&page)).expect("pressed") == bytes,
                    "{page}"
                );
            }
        }
    }

    #[test]
    fn a_page_that_may_not_go_out_is_not_made_at_once() {
        // What is no log, holds an error, or is another log than it was, waits for the press; and so does a public page
        // with a private word in it.
        let folder = tempfile::tempdir().expect("a temporary folder");
        let root = folder.path();
        fs::create_dir_all(root.join("jobs")).expect("made");
        fs::write(root.join("diary.yaml"), SETTINGS).expect("written");
        fs::write(
            root.join("clients.yaml"),
            "brannick: {name: Brannick Stores}\n",
        )
        .expect("written");
        let public = "publish: 2026-03-09\nclient: brannick\n";
        let whole = log("The first shop", "2026-001", public);
        fs::write(root.join("jobs/a.md"), &whole).expect("written");
        let mut kept = Kept::default();
        let mut pressed = pressed(root, &mut kept);

        let mut now = |text: &str| {
            fs::write(root.join("jobs/a.md"), text).expect("written");
            let made = pressed.pages_of(&saved("jobs/a.md"), &kept, root, DAY);
            made.into_iter()
                .map(|(path, _)| path)
                .collect::<Vec<String>>()
        };
        let office = "office/jobs/2026-001.html";
        let site = "site/write-ups/the-first-shop/index.html";
        assert_eq!(now(&whole), [site, office]);
        assert_eq!(now(&format!("{whole}For Brannick Stores.\n")), [office]);
        assert!(now(&whole.replace("time: 1h", "time: ages")).is_empty());
        assert!(now(&whole.replace("2026-001", "2026-009")).is_empty());
        // What a rule stops: a house number in the name of a picture.
        let picture = "![The board](12-harbour-terrace.jpg)";
        assert!(now(&format!("{whole}{picture}\n")).is_empty());
        assert!(now("").is_empty());
        for other in ["diary.yaml", "clients.yaml", "jobs/new.md"] {
            let made = pressed.pages_of(&saved(other), &kept, root, DAY);
            assert!(made.is_empty(), "{other}");
        }
    }

    #[test]
    fn a_page_is_made_of_its_own_file_whatever_was_read_since_the_press() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let root = folder.path();
        fs::create_dir_all(root.join("guides")).expect("made");
        let write = |path: &str, text: &str| fs::write(root.join(path), text).expect("written");
        let guide = |title: &str| {
            format!("---\ntitle: {title}\npublish: 2026-03-09\n---\nHow it is done.\n")
        };
        write("diary.yaml", SETTINGS);
        write("guides/b.md", &guide("The second"));
        write("guides/c.md", &guide("The third"));
        let mut kept = Kept::default();
        let mut pressed = pressed(root, &mut kept);
        // A press that an error stopped has read a file that comes before the others.
        write("guides/a.md", "---\ntitel: The first\n---\n");
        diary::read_again(root, &mut kept).expect("it can be read");
        fs::remove_file(root.join("guides/a.md")).expect("it is there");
        write("guides/b.md", &(guide("The second") + "More.\n"));
        let made = pressed.pages_of(&saved("guides/b.md"), &kept, root, DAY);
        let [(path, bytes)] = &made[..] else {
            panic!("one page")
        };
        assert_eq!(path, "site/how-tos/the-second/index.html");
        assert!(String::from_utf8_lossy(bytes).contains("More."));
        // It is not known what else that press would have brought.
        let with_it = BTreeSet::from(["guides/a.md", "guides/b.md"].map(PathBuf::from));
        assert!(pressed.pages_of(&with_it, &kept, root, DAY).is_empty());
    }

    /// What a log says, the other files saved with it, and the pages shown at once.
    type Save<'a> = (&'a str, &'a [(&'a str, &'a str)], &'a [&'a str]);

    #[test]
    fn what_is_saved_with_a_page_is_read_before_the_page_is_made() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let root = folder.path();
        fs::create_dir_all(root.join("jobs")).expect("made");
        let write = |path: &str, text: &str| fs::write(root.join(path), text).expect("written");
        let public = log("The first shop", "2026-001", "publish: 2026-03-09\n");
        let other = log("Kept back", "2026-002", "");
        let clients = "brannick: {name: Brannick Stores}\n";
        let site = "site/write-ups/the-first-shop/index.html";
        let first = "office/jobs/2026-001.html";
        let second = "office/jobs/2026-002.html";
        let told = format!("{other}\n```private\nThe key is under the blue pot.\n```\n");
        let taken = other.replace("Kept back", "The first shop");
        let taken = taken.replace("location", "publish: 2026-03-09\nlocation");
        let saves: [Save<'_>; 7] = [
            ("More.", &[], &[site, first]),
            (
                "More.",
                &[("jobs/a.md~", &public), ("jobs/b.jpg", "x")],
                &[site, first],
            ),
            ("More.", &[("jobs/b.md", &other)], &[site, first, second]),
            (
                "The key is under the blue pot.",
                &[("jobs/b.md", &told)],
                &[first, second],
            ),
            (
                "For Harrow Fittings.",
                &[("clients.yaml", "brannick: {name: Harrow Fittings}\n")],
                &[],
            ),
            ("More.", &[("jobs/b.md", &other.replace("1h", "ages"))], &[]),
            ("More.", &[("jobs/b.md", &taken)], &[first, second]),
        ];
        for (said, with_it, shown) in saves {
            write("diary.yaml", SETTINGS);
            write("clients.yaml", clients);
            write("jobs/a.md", &public);
            write("jobs/b.md", &other);
            let mut kept = Kept::default();
            let mut pressed = pressed(root, &mut kept);
            write("jobs/a.md", &format!("{public}{said}\n"));
            let mut changed = saved("jobs/a.md");
            for (path, text) in with_it {
                write(path, text);
                changed.extend(saved(path));
            }
            let made = pressed.pages_of(&changed, &kept, root, DAY);
            let mut paths: Vec<&str> = made.iter().map(|(path, _)| path.as_str()).collect();
            let mut shown = shown.to_vec();
            paths.sort_unstable();
            shown.sort_unstable();
            assert_eq!(paths, shown, "{said} {changed:?}");
        }
    }
}
