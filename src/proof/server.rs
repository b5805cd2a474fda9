//! Answers browsers on this machine: pressed pages, this room's script, and the line on which open pages listen.
//!
//! Decides nothing about who may ask: that is `guard`. Each request has a thread of its own, and there are only so
//! many: one that is slow or never reads keeps nobody else waiting.

use std::io::{self, Read as _, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::Duration;

use tiny_http::{Header, Method, Request, Response, ResponseBox, Server, StatusCode};

use super::files::{self, There};
use super::guard;
use super::page::{self, CLIENT, CLIENT_PATH, EVENTS_PATH};
use super::state::{Next, State};

/// Requests answered at one time, and pages listening at one time. More are told to come again.
const ANSWERS_AT_ONCE: usize = 64;
const LISTENERS_AT_ONCE: usize = 32;
/// A line that has said nothing for so long says that it is alive; a page that has gone is noticed then.
const HEART_BEAT: Duration = Duration::from_secs(2);

const HTML: &str = "text/html; charset=utf-8";
const TEXT: &str = "text/plain; charset=utf-8";

/// Told with every answer: nothing is kept, guessed at, shown in another's page, or told to the places that links lead to.
const ALWAYS: [(&str, &str); 5] = [
    ("Cache-Control", "no-store"),
    ("X-Content-Type-Options", "nosniff"),
    ("Content-Security-Policy", "frame-ancestors 'self'"),
    ("Cross-Origin-Resource-Policy", "same-origin"),
    ("Referrer-Policy", "same-origin"),
];

/// What every answer needs.
struct Desk {
    state: Arc<State>,
    out: PathBuf,
    port: u16,
    answering: AtomicUsize,
    listening: AtomicUsize,
}

/// Begins to answer, on threads of its own, until the server is unblocked.
pub fn begin(server: &Arc<Server>, state: &Arc<State>, out: PathBuf, port: u16) {
    let desk = Arc::new(Desk {
        state: Arc::clone(state),
        out,
        port,
        answering: AtomicUsize::new(0),
        listening: AtomicUsize::new(0),
    });
    let server = Arc::clone(server);
    thread::spawn(move || {
        for request in server.incoming_requests() {
            let desk = Arc::clone(&desk);
            if desk.answering.fetch_add(1, Ordering::SeqCst) >= ANSWERS_AT_ONCE {
                desk.answering.fetch_sub(1, Ordering::SeqCst);
                // A page that has gone does not miss its answer.
                let _ = request.respond(plain(
                    503,
                    "Too many requests at once. Load the page again.\n",
                ));
                continue;
            }
            thread::spawn(move || answer(&desk, request));
        }
    });
}

fn answer(desk: &Desk, request: Request) {
    // A browser that has gone does not miss its answer.
    let _ = if path_of(&request) == EVENTS_PATH && may_ask(desk, &request).is_ok() {
        desk.answering.fetch_sub(1, Ordering::SeqCst);
        listen(desk, request)
    } else {
        let response = response(desk, &request);
        let sent = request.respond(response);
        desk.answering.fetch_sub(1, Ordering::SeqCst);
        sent
    };
}

fn response(desk: &Desk, request: &Request) -> ResponseBox {
    if let Err(refusal) = may_ask(desk, request) {
        return *refusal;
    }
    let telling = desk.state.now();
    if path_of(request) == CLIENT_PATH {
        return whole(
            200,
            "text/javascript; charset=utf-8",
            CLIENT.as_bytes().to_vec(),
        );
    }
    let Some(names) = guard::names(request.url()) else {
        return whole(404, HTML, page::missing(&telling));
    };
    if names == [""] {
        return whole(200, HTML, page::entry(&telling));
    }
    match files::find(&desk.out, &names) {
        There::Folder => moved(&format!("{}/", path_of(request))),
        There::File(mut file, path) => match content_type(&path) {
            // A page is read whole and gets the script; anything else goes out as it is read.
            HTML => {
                let mut bytes = Vec::new();
                match file.read_to_end(&mut bytes) {
                    Ok(_) => whole(200, HTML, page::served(bytes, &telling)),
                    Err(_) => whole(404, HTML, page::missing(&telling)),
                }
            }
            kind => with_headers(Response::from_file(file).boxed(), kind),
        },
        There::Nothing => whole(404, HTML, page::missing(&telling)),
    }
}

/// Whether a request is of a kind, for a host and from a page that are answered; else the refusal.
fn may_ask(desk: &Desk, request: &Request) -> Result<(), Box<ResponseBox>> {
    let refuse = |status, text| Err(Box::new(plain(status, text)));
    let hosts = values(request, "Host");
    if hosts.len() != 1 || !guard::is_own_host(hosts[0], desk.port) {
        return refuse(
            403,
            "Proof answers under this machine's own name only: see the address that it printed.\n",
        );
    }
    let origins = values(request, "Origin");
    if !origins
        .iter()
        .all(|origin| guard::is_own_origin(origin, desk.port))
    {
        return refuse(403, "Proof answers its own pages only.\n");
    }
    if !matches!(request.method(), Method::Get | Method::Head) {
        return refuse(405, "Proof shows pages and takes nothing.\n");
    }
    Ok(())
}

fn values<'r>(request: &'r Request, name: &'static str) -> Vec<&'r str> {
    request
        .headers()
        .iter()
        .filter(|header| header.field.equiv(name))
        .map(|header| header.value.as_str())
        .collect()
}

fn path_of(request: &Request) -> &str {
    request.url().split(['?', '#']).next().unwrap_or_default()
}

fn whole(status: u16, kind: &str, bytes: Vec<u8>) -> ResponseBox {
    let response = Response::from_data(bytes).with_status_code(StatusCode(status));
    with_headers(response.boxed(), kind)
}

fn plain(status: u16, text: &str) -> ResponseBox {
    let mut response = whole(status, TEXT, text.as_bytes().to_vec());
    if status == 405 {
        response.add_header(header("Allow", "GET, HEAD"));
    }
    response
}

fn moved(to: &str) -> ResponseBox {
    let mut response = plain(308, "");
    response.add_header(header("Location", to));
    response
}

fn with_headers(mut response: ResponseBox, kind: &str) -> ResponseBox {
    response.add_header(header("Content-Type", kind));
    for (name, value) in ALWAYS {
        response.add_header(header(name, value));
    }
    response
}

fn header(name: &str, value: &str) -> Header {
    Header::from_bytes(name, value).expect("the guard let no strange letters through")
}

/// Tells an open page each new telling, at once the first, until it has gone or proof ends.
fn listen(desk: &Desk, request: Request) -> io::Result<()> {
    if *request.method() == Method::Head {
        return request.respond(whole(200, "text/event-stream", Vec::new()));
    }
    let before = desk.listening.fetch_add(1, Ordering::SeqCst);
    let told = if before >= LISTENERS_AT_ONCE {
        request.respond(plain(503, "Too many open pages. Close some.\n"))
    } else {
        tell(&desk.state, &mut *request.into_writer())
    };
    desk.listening.fetch_sub(1, Ordering::SeqCst);
    told
}

fn tell(state: &State, page: &mut dyn Write) -> io::Result<()> {
    write!(
        page,
        "HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\nConnection: close\r\n"
    )?;
    for (name, value) in ALWAYS {
        write!(page, "{name}: {value}\r\n")?;
    }
    write!(page, "\r\nretry: 1000\n\n")?;
    page.flush()?;
    let mut known = None;
    loop {
        match state.next(known.as_ref(), HEART_BEAT) {
            Next::New(telling) => {
                let text = serde_json::to_string(&telling).expect("numbers and texts serialize");
                write!(page, "data: {text}\n\n")?;
                known = Some(telling);
            }
            Next::Quiet => write!(page, ": here\n\n")?,
            Next::Closed => return Ok(()),
        }
        page.flush()?;
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
