//! What the open pages are told: which press the pages are of, and what is wrong. Knows no connection.

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
    /// What is wrong, as a terminal shows it; `None` while nothing is.
    pub trouble: Option<String>,
}

#[derive(Default)]
struct Inner {
    telling: Telling,
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
    /// A press is done that wrote or swept these paths.
    pub fn pressed(&self, changed: &[String]) {
        self.change(|inner| {
            let telling = &mut inner.telling;
            telling.trouble = None;
            if changed.is_empty() {
                return;
            }
            telling.press += 1;
            if changed.iter().any(|path| is_shown_by_pages(path)) {
                telling.assets = telling.press;
            }
        });
    }

    /// A press was stopped; the pages stay.
    pub fn trouble(&self, text: String) {
        self.change(|inner| inner.telling.trouble = Some(text));
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
        state.pressed(&["site/a.html".to_owned(), "site/docket.css".to_owned()]);
        state.trouble("no such key".to_owned());
        let told = state.now();
        assert_eq!((told.press, told.assets), (1, 1));
        assert_eq!(told.trouble.as_deref(), Some("no such key"));
        assert_eq!(state.next(Some(&told), AT_ONCE), Next::Quiet);

        state.pressed(&[]);
        let mended = Telling {
            press: 1,
            assets: 1,
            trouble: None,
        };
        assert_eq!(state.next(Some(&told), AT_ONCE), Next::New(mended));

        state.pressed(&["site/a.html".to_owned(), "site/feed.xml".to_owned()]);
        assert_eq!((state.now().press, state.now().assets), (2, 1));

        state.close();
        assert_eq!(state.next(None, AT_ONCE), Next::Closed);
    }
}
