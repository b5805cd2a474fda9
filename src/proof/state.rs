//! What the open pages are told: which press the pages are of, and what is wrong. Knows no connection.

use std::collections::BTreeMap;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use serde::Serialize;

/// Endings of files that a page shows but does not hold: a page that is the same text may look different after them.
const SHOWN_BY_PAGES: [&str; 12] = [
    "css", "js", "svg", "png", "jpg", "jpeg", "webp", "avif", "gif", "woff2", "mp4", "webm",
];

/// What the pages are told.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Telling {
    /// Counts the presses that changed something.
    pub press: u64,
    /// The press that last changed a style, a script or a picture.
    pub assets: u64,
    /// Where that press's change is best seen, as an address below the proof's own.
    pub look: String,
    /// What is wrong, as a terminal shows it; `None` while nothing is.
    pub trouble: Option<String>,
}

#[derive(Default)]
struct Inner {
    telling: Telling,
    /// Pages that stand in for those in `out/` until the press that follows: path below it, and bytes.
    at_once: BTreeMap<String, Vec<u8>>,
    closed: bool,
}

/// What the next telling came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Next {
    /// Something new.
    New(Telling),
    /// Nothing within the time.
    Quiet,
    /// There will be no more.
    Closed,
}

/// Written by the loop that presses, read by every open page.
#[derive(Default)]
pub struct State {
    inner: Mutex<Inner>,
    changed: Condvar,
}

impl State {
    /// A press is done that wrote or swept these paths; its change is best seen at `look`.
    pub fn pressed(&self, changed: &[String], look: String) {
        self.change(|inner| {
            let telling = &mut inner.telling;
            telling.trouble = None;
            let stood_in = !std::mem::take(&mut inner.at_once).is_empty();
            if changed.is_empty() && !stood_in {
                return;
            }
            telling.press += 1;
            telling.look = look;
            if changed.iter().any(|path| is_shown_by_pages(path)) {
                telling.assets = telling.press;
            }
        });
    }

    /// A press was stopped; the pages stay.
    pub fn trouble(&self, text: String) {
        self.change(|inner| {
            if !std::mem::take(&mut inner.at_once).is_empty() {
                inner.telling.press += 1;
            }
            inner.telling.trouble = Some(text);
        });
    }

    /// These pages are there before the press that writes them, and no others.
    pub fn show_at_once(&self, pages: Vec<(String, Vec<u8>)>) {
        self.change(|inner| {
            let pages = pages.into_iter().collect();
            if inner.at_once != pages {
                inner.at_once = pages;
                inner.telling.press += 1;
            }
        });
    }

    /// A page that is there before the press that writes it, by its path below `out/`.
    pub fn page_at_once(&self, path: &str) -> Option<Vec<u8>> {
        self.lock().at_once.get(path).cloned()
    }

    /// There will be no more presses.
    pub fn close(&self) {
        self.change(|inner| inner.closed = true);
    }

    /// Whether there will be no more.
    pub fn is_closed(&self) -> bool {
        self.lock().closed
    }

    /// As things stand.
    pub fn now(&self) -> Telling {
        self.lock().telling.clone()
    }

    /// Waits for what is not `known`, as long as `patience` lasts.
    pub fn next(&self, known: Option<&Telling>, patience: Duration) -> Next {
        let (inner, _) = self
            .changed
            .wait_timeout_while(self.lock(), patience, |inner| {
                !inner.closed && Some(&inner.telling) == known
            })
            .unwrap_or_else(PoisonError::into_inner);
        if inner.closed {
            Next::Closed
        } else if Some(&inner.telling) == known {
            Next::Quiet
        } else {
            Next::New(inner.telling.clone())
        }
    }

    fn change(&self, change: impl FnOnce(&mut Inner)) {
        change(&mut self.lock());
        self.changed.notify_all();
    }

    fn lock(&self) -> MutexGuard<'_, Inner> {
        self.inner.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// The search page asks for its own files; a card is shown by other sites alone.
fn is_shown_by_pages(path: &str) -> bool {
    let (folder, name) = path.rsplit_once('/').unwrap_or(("", path));
    let elsewhere = name == "card.png" || folder.ends_with("search");
    !elsewhere
        && name
            .rsplit_once('.')
            .is_some_and(|(_, ending)| SHOWN_BY_PAGES.contains(&ending))
}

#[cfg(test)]
mod tests {
    use super::*;

    const AT_ONCE: Duration = Duration::ZERO;

    #[test]
    fn trouble_stays_until_a_press_is_good_and_a_press_that_changed_nothing_counts_for_none() {
        let state = State::default();
        let pressed = |changed: &[&str], look: &str| {
            let changed: Vec<String> = changed.iter().map(|path| (*path).to_owned()).collect();
            state.pressed(&changed, look.to_owned());
        };
        pressed(&["site/a.html", "site/docket.css"], "site/a.html");
        state.trouble("no such key".to_owned());
        let told = state.now();
        assert_eq!((told.press, told.assets), (1, 1));
        assert_eq!(told.trouble.as_deref(), Some("no such key"));
        assert_eq!(state.next(Some(&told), AT_ONCE), Next::Quiet);

        pressed(&[], "");
        let mended = Telling {
            press: 1,
            assets: 1,
            look: "site/a.html".to_owned(),
            trouble: None,
        };
        assert_eq!(state.next(Some(&told), AT_ONCE), Next::New(mended));

        pressed(&["site/a.html", "site/feed.xml"], "");
        assert_eq!((state.now().press, state.now().assets), (2, 1));
        assert_eq!(state.now().look, "");

        // A page that is there ahead of its press stands in until then, or until it turns out that there is none.
        let page = || vec![("site/a.html".to_owned(), b"early".to_vec())];
        state.show_at_once(page());
        assert_eq!(state.now().press, 3);
        assert_eq!(
            state.page_at_once("site/a.html").as_deref(),
            Some(&b"early"[..])
        );
        assert_eq!(state.page_at_once("site/b.html"), None);
        pressed(&[], "");
        assert_eq!(
            (state.now().press, state.page_at_once("site/a.html")),
            (4, None)
        );
        state.show_at_once(page());
        state.trouble("no such key".to_owned());
        assert_eq!(
            (state.now().press, state.page_at_once("site/a.html")),
            (6, None)
        );
        state.show_at_once(Vec::new());
        assert_eq!(state.now().press, 6);
        // Saved again before any press had the folder, and taken back.
        state.show_at_once(page());
        state.show_at_once(page());
        assert_eq!(state.now().press, 7);
        state.show_at_once(Vec::new());
        assert_eq!(
            (state.now().press, state.page_at_once("site/a.html")),
            (8, None)
        );

        state.close();
        assert_eq!(state.next(None, AT_ONCE), Next::Closed);
    }
}
