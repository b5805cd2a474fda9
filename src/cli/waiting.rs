//! What is being done, on a terminal only, once it has taken long enough for someone to wonder.

use std::io::{self, IsTerminal as _};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::thread;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};

/// How long nobody wonders.
const SOON: Duration = Duration::from_millis(500);

/// Does some work whose length is not known beforehand; `words` say what it is.
pub fn at<T>(words: &'static str, work: impl FnOnce() -> T) -> T {
    if !io::stderr().is_terminal() {
        return work();
    }
    let (done, ended) = mpsc::channel::<()>();
    thread::scope(|scope| {
        scope.spawn(move || {
            if ended.recv_timeout(SOON) == Err(RecvTimeoutError::Timeout) {
                let shown = ProgressBar::new_spinner().with_message(words);
                let style = ProgressStyle::with_template("{spinner} {msg}, {elapsed}");
                shown.set_style(style.expect("a template that holds"));
                shown.enable_steady_tick(Duration::from_millis(200));
                // Nothing is ever sent: this waits until the sender goes.
                let _ = ended.recv();
                shown.finish_and_clear();
            }
        });
        let made = work();
        drop(done);
        made
    })
}
