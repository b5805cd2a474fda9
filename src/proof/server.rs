//! Answers browsers on this machine: pressed pages, this room's script, and the line on which open pages listen.
//!
//! Decides nothing about who may ask: that is `guard`. Each request has a connection and a thread of its own, and there
//! are only so many: one that is slow or never reads keeps nobody else waiting.

use std::collections::VecDeque;
use std::io::{self, Read as _, Write};
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::Duration;

use super::files::{self, There};
use super::guard;
use super::http::{self, Request, Response};
use super::page::{self, CLIENT, CLIENT_PATH, EVENTS_PATH};
use super::state::{Next, State};

/// Requests answered at one time, and pages listening at one time. More are told to come again.
const ANSWERS_AT_ONCE: usize = 64;
const LISTENERS_AT_ONCE: usize = 32;
/// Refused connections held open: one that is closed before its request has come loses the answer.
const REFUSED_AT_ONCE: usize = 16;
/// A line that has said nothing for so long says that it is alive; a page that has gone is noticed then.
const HEART_BEAT: Duration = Duration::from_secs(2);

const HTML: &str = "text/html; charset=utf-8";
const TEXT: &str = "text/plain; charset=utf-8";
const SCRIPT: &str = "text/javascript; charset=utf-8";

/// What every answer needs.
struct Desk {
    state: Arc<State>,
    out: PathBuf,
    port: u16,
    answering: AtomicUsize,
    listening: AtomicUsize,
}

/// Begins to answer, on threads of its own, until the state is closed and one more connection comes.
pub fn begin(listener: TcpListener, state: &Arc<State>, out: PathBuf, port: u16) {
    let desk = Arc::new(Desk {
        state: Arc::clone(state),
        out,
        port,
        answering: AtomicUsize::new(0),
        listening: AtomicUsize::new(0),
    });
    thread::spawn(move || {
        let mut refused = VecDeque::new();
        for connection in listener.incoming() {
            if desk.state.is_closed() {
                return;
            }
            // A connection that broke before it was taken was nobody's.
            let Ok(connection) = connection else { continue };
            if let Some(place) = Place::take(&desk, |desk| &desk.answering, ANSWERS_AT_ONCE) {
                thread::spawn(move || answer(place, connection));
            } else {
                // This thread waits for nobody: the few bytes go at once or not at all.
                let refusal = plain(503, "Too many requests at once. Load the page again.\n");
                let _ = connection
                    .set_nonblocking(true)
                    .and_then(|()| refusal.send(&connection));
                refused.push_back(connection);
                if refused.len() > REFUSED_AT_ONCE {
                    refused.pop_front();
                }
            }
        }
    });
}

/// One of the places that are counted, given back when the value goes.
struct Place {
    desk: Arc<Desk>,
    counter: fn(&Desk) -> &AtomicUsize,
}

impl Place {
    /// `None` where all `most` of them are taken.
    fn take(desk: &Arc<Desk>, counter: fn(&Desk) -> &AtomicUsize, most: usize) -> Option<Self> {
        let place = Place {
            desk: Arc::clone(desk),
            counter,
        };
        let before = counter(desk).fetch_add(1, Ordering::SeqCst);
        (before < most).then_some(place)
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        (self.counter)(&self.desk).fetch_sub(1, Ordering::SeqCst);
    }
}

fn answer(place: Place, connection: TcpStream) {
    let desk = Arc::clone(&place.desk);
    // What cannot be read as a request has nobody to be told; a browser that has gone does not miss its answer.
    let _ = http::read(&connection).and_then(|request| {
        let listens = request.method == "GET" && request.path() == EVENTS_PATH;
        if !listens || may_ask(&desk, &request).is_err() {
            return response(&desk, &request).send(&connection);
        }
        drop(place);
        match Place::take(&desk, |desk| &desk.listening, LISTENERS_AT_ONCE) {
            Some(_place) => tell(&desk.state, &connection),
            None => plain(503, "Too many open pages. Close some.\n").send(&connection),
        }
    });
}

fn response(desk: &Desk, request: &Request) -> Response {
    if let Err(refusal) = may_ask(desk, request) {
        return *refusal;
    }
    let telling = desk.state.now();
    let missing = || Response::new(404, HTML, page::missing(&telling));
    let response = match request.path() {
        "/" => Response::new(200, HTML, page::entry(&telling)),
        CLIENT_PATH => Response::new(200, SCRIPT, CLIENT.as_bytes().to_vec()),
        EVENTS_PATH => Response::new(200, "text/event-stream", Vec::new()),
        path => match guard::names(path).map(|names| find(desk, &names)) {
            Some(There::AtOnce(page)) => Response::new(200, HTML, page::served(page, &telling)),
            Some(There::Folder) => plain(308, "").with("Location", format!("{path}/")),
            Some(There::File(mut file, real)) => match content_type(&real) {
                // A page is read whole and gets the script; anything else goes out as it is read.
                HTML => {
                    let mut bytes = Vec::new();
                    match file.read_to_end(&mut bytes) {
                        Ok(_) => Response::new(200, HTML, page::served(bytes, &telling)),
                        Err(_) => missing(),
                    }
                }
                kind => match file.metadata() {
                    Ok(known) => Response::streamed(kind, Box::new(file))
                        .with("Content-Length", known.len().to_string()),
                    Err(_) => missing(),
                },
            },
            Some(There::Nothing) | None => missing(),
        },
    };
    match request.method.as_str() {
        "HEAD" => response.without_body(),
        _ => response,
    }
}

/// What stands at a path: a page that is there ahead of its press, or what `out/` has.
fn find(desk: &Desk, names: &[String]) -> There {
    match desk.state.page_at_once(&files::path_of(names)) {
        Some(page) => There::AtOnce(page),
        None => files::find(&desk.out, names),
    }
}

/// Whether a request is of a kind, for a host and from a page that are answered; else the refusal.
fn may_ask(desk: &Desk, request: &Request) -> Result<(), Box<Response>> {
    let refuse = |status, text| Err(Box::new(plain(status, text)));
    let mut hosts = request.values("host");
    let own = hosts
        .next()
        .is_some_and(|host| guard::is_own_host(host, desk.port));
    if !own || hosts.next().is_some() {
        return refuse(
            403,
            "Proof answers under this machine's own name only: see the address that it printed.\n",
        );
    }
    if !request
        .values("origin")
        .all(|origin| guard::is_own_origin(origin, desk.port))
    {
        return refuse(403, "Proof answers its own pages only.\n");
    }
    if !matches!(request.method.as_str(), "GET" | "HEAD") {
        let refusal = plain(405, "Proof shows pages and takes nothing.\n");
        return Err(Box::new(refusal.with("Allow", "GET, HEAD".to_owned())));
    }
    Ok(())
}

fn plain(status: u16, text: &str) -> Response {
    Response::new(status, TEXT, text.as_bytes().to_vec())
}

/// Tells an open page each new telling, at once the first, until it has gone or proof ends.
fn tell(state: &State, mut page: &TcpStream) -> io::Result<()> {
    Response::streamed("text/event-stream", Box::new(&b"retry: 1000\n\n"[..])).send(page)?;
    let mut known = None;
    loop {
        match state.next(known.as_ref(), HEART_BEAT) {
            Next::New(telling) => {
                let text = serde_json::to_string(&telling).expect("numbers and texts serialize");
                page.write_all(format!("data: {text}\n\n").as_bytes())?;
                known = Some(telling);
            }
            Next::Quiet => page.write_all(b": here\n\n")?,
            Next::Closed => return Ok(()),
        }
    }
}

/// By a file's ending; bytes without a meaning where it is none of those that press writes.
fn content_type(path: &Path) -> &'static str {
    let ending = path.extension().and_then(|ending| ending.to_str());
    match ending.unwrap_or_default() {
        "html" => HTML,
        "css" => "text/css; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "json" => "application/json",
        "xml" => "application/xml",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "jpg" | "jpeg" => "image/jpeg",
        "webp" => "image/webp",
        "avif" => "image/avif",
        "gif" => "image/gif",
        "woff2" => "font/woff2",
        "mp4" => "video/mp4",
        "webm" => "video/webm",
        "vtt" => "text/vtt; charset=utf-8",
        "pdf" => "application/pdf",
        "ics" => "text/calendar; charset=utf-8",
        "csv" => "text/csv; charset=utf-8",
        "txt" | "md" | "eml" => TEXT,
        _ => "application/octet-stream",
    }
}
