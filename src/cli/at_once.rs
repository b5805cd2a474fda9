//! The pages of one log as soon as it is saved, with the diary as it was pressed around it: what proof shows before the
//! press that follows is done. Writes nothing.

use std::slice;

use jiff::civil::Date;

use crate::diagnose::{self, FileId};
use crate::diary::Read;
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

    /// The pages of one file whose text was read again since, for readers and in the office book, as far as they may be
    /// shown: path below `out/`, and bytes. What they say of the diary as a whole is as it was pressed.
    pub fn pages_of(&mut self, file: FileId, as_of: Date) -> Vec<(String, Vec<u8>)> {
        let Read {
            diary,
            sources,
            diagnostics,
        } = &mut self.read;
        let job = diary.jobs.iter().position(|job| job.file == file);
        let jobs = job.map_or(&[][..], |job| slice::from_ref(&diary.jobs[job]));
        let page = diary.pages.iter().find(|page| page.file == file);
        let pages = page.map_or(&[][..], slice::from_ref);
        diagnostics.extend(rules::check_each(diary, jobs, pages, as_of));
        if has_errors(diagnostics) {
            return Vec::new();
        }
        diagnose::put_in_order(diagnostics, sources);
        self.site_page(file, as_of)
            .into_iter()
            .chain(job.and_then(|job| self.office_page(job, as_of)))
            .collect()
    }

    fn site_page(&self, file: FileId, as_of: Date) -> Option<(String, Vec<u8>)> {
        let Read { diary, sources, .. } = &self.read;
        let gate = Gate::new(diary, sources);
        let hours = &self.reports.hours;
        let (link, views) = public::views_of_one(&self.views, diary, hours, as_of, &gate, file)?;
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

    fn office_page(&self, job: usize, as_of: Date) -> Option<(String, Vec<u8>)> {
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
        let output = pages::office::job_page(&book, &self.sheets, job);
        let bytes = (output.make)().ok()?;
        Some((Half::Office.path_of(&output.path), bytes))
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use jiff::civil::date;

    use super::super::press::once;
    use super::*;
    use crate::diary::{self, Kept};

    const SETTINGS: &str = "title: A diary\nsite: {address: https://example.com, timezone: Europe/London}\n\
        locations: {shop: Shop}\ntasks:\n  socket: {name: Change a socket, unit: each}\n";

    fn log(title: &str, reference: &str, rest: &str) -> String {
        format!(
            "---\ntitle: {title}\nref: {reference}\nlocation: shop\nvisits:\n  - {{date: 2026-03-02, time: 1h}}\n{rest}---\nWords.\n"
        )
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
        let day = date(2026, 11, 25);
        let mut kept = Kept::default();
        let press = |kept: &mut Kept| {
            let mut read = diary::read_again(root, kept).expect("it can be read");
            read.diagnostics.extend(rules::check(&read.diary, day));
            diagnose::put_in_order(&mut read.diagnostics, &read.sources);
            once(read, day, None, &out).unwrap_or_else(|_| panic!("it presses"))
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
            let file = diary::read_one(&mut pressed.read, &kept, root, path).expect(path);
            let made = pressed.pages_of(file, day);
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
        let day = date(2026, 11, 25);
        let mut kept = Kept::default();
        let read = diary::read_again(root, &mut kept).expect("it can be read");
        let mut pressed = once(read, day, None, &root.join("out"))
            .unwrap_or_else(|_| panic!("it presses"))
            .without_pages();

        let mut now = |text: &str| {
            fs::write(root.join("jobs/a.md"), text).expect("written");
            let file = diary::read_one(&mut pressed.read, &kept, root, "jobs/a.md");
            file.map(|file| pressed.pages_of(file, day))
        };
        let paths = |pages: Option<Vec<(String, Vec<u8>)>>| -> Option<Vec<String>> {
            pages.map(|pages| pages.into_iter().map(|(path, _)| path).collect())
        };
        let office = "office/jobs/2026-001.html".to_owned();
        let site = "site/write-ups/the-first-shop/index.html".to_owned();
        assert_eq!(paths(now(&whole)), Some(vec![site, office.clone()]));
        assert_eq!(
            paths(now(&format!("{whole}For Brannick Stores.\n"))),
            Some(vec![office])
        );
        assert_eq!(paths(now(&whole.replace("time: 1h", "time: ages"))), None);
        assert_eq!(paths(now(&whole.replace("2026-001", "2026-009"))), None);
        assert_eq!(paths(now("")), None);
        for other in ["diary.yaml", "clients.yaml", "jobs/new.md"] {
            assert!(diary::read_one(&mut pressed.read, &kept, root, other).is_none());
        }
    }
}
