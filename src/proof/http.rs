//! As much of HTTP as a browser on the same machine needs: the head of a request, an answer, the end of the connection.
//!
//! Knows nothing of pages. A connection carries one request: what waits on one can never hold up another.

use std::io::{self, Read, Write as _};
use std::net::{Shutdown, TcpStream};
use std::time::Duration;

/// Longest head of a request; a browser's is a kilobyte or two.
const LONGEST_HEAD: usize = 16 * 1024;
const MOST_HEADERS: usize = 64;
/// A browser that neither sends nor takes anything for so long has gone.
const PATIENCE: Duration = Duration::from_secs(10);
/// How long and how much of what was sent besides the head is thrown away, so that the answer still arrives.
const REST_PATIENCE: Duration = Duration::from_millis(200);
const LONGEST_REST: u64 = 64 * 1024;

/// Told with every answer: nothing is kept, guessed at, shown in another's page, or told to the places that links lead to.
const ALWAYS: &str = "Cache-Control: no-store\r\n\
    X-Content-Type-Options: nosniff\r\n\
    Content-Security-Policy: frame-ancestors 'self'\r\n\
    Cross-Origin-Resource-Policy: same-origin\r\n\
    Referrer-Policy: same-origin\r\n\
    Connection: close\r\n";

/// The head of a request.
pub struct Request {
    /// `GET` and so on, as it was sent.
    pub method: String,
    target: String,
    headers: Vec<(String, String)>,
}

impl Request {
    /// What is asked for, without what stands after a question mark; not decoded.
    pub fn path(&self) -> &str {
        self.target.split(['?', '#']).next().unwrap_or_default()
    }

    /// The values of a header, its name in lower case, in order. One that is no text is an empty one.
    pub fn values(&self, name: &str) -> impl Iterator<Item = &str> {
        self.headers
            .iter()
            .filter(move |(other, _)| other.eq_ignore_ascii_case(name))
            .map(|(_, value)| value.as_str())
    }
}

/// Reads the head of a request.
///
/// # Errors
/// What comes is no such head, is too long or too slow, or the connection breaks.
pub fn read(mut connection: &TcpStream) -> io::Result<Request> {
    connection.set_read_timeout(Some(PATIENCE))?;
    connection.set_write_timeout(Some(PATIENCE))?;
    let mut head = Vec::new();
    let mut more = [0; 2048];
    loop {
        let length = connection.read(&mut more)?;
        head.extend_from_slice(&more[..length]);
        let mut headers = [httparse::EMPTY_HEADER; MOST_HEADERS];
        let mut parsed = httparse::Request::new(&mut headers);
        match parsed.parse(&head) {
            Ok(httparse::Status::Complete(_)) => {
                let text = |value: &[u8]| String::from_utf8(value.to_vec()).unwrap_or_default();
                return Ok(Request {
                    method: parsed.method.unwrap_or_default().to_owned(),
                    target: parsed.path.unwrap_or_default().to_owned(),
                    headers: parsed
                        .headers
                        .iter()
                        .map(|header| (header.name.to_owned(), text(header.value)))
                        .collect(),
                });
            }
            Ok(httparse::Status::Partial) if length > 0 && head.len() < LONGEST_HEAD => {}
            _ => return Err(io::ErrorKind::InvalidData.into()),
        }
    }
}

/// An answer.
pub struct Response {
    status: u16,
    headers: Vec<(&'static str, String)>,
    body: Box<dyn Read>,
}

impl Response {
    /// An answer of bytes at hand.
    pub fn new(status: u16, kind: &str, bytes: Vec<u8>) -> Self {
        let length = bytes.len().to_string();
        Response {
            status,
            ..Response::streamed(kind, Box::new(io::Cursor::new(bytes)))
        }
        .with("Content-Length", length)
    }

    /// An answer that lasts as long as its body does.
    pub fn streamed(kind: &str, body: Box<dyn Read>) -> Self {
        Response {
            status: 200,
            headers: vec![("Content-Type", kind.to_owned())],
            body,
        }
    }

    /// With one header more.
    pub fn with(mut self, name: &'static str, value: String) -> Self {
        self.headers.push((name, value));
        self
    }

    /// The head alone.
    pub fn without_body(self) -> Self {
        Response {
            body: Box::new(io::empty()),
            ..self
        }
    }

    /// Sends it. A body of no given length ends with the connection.
    ///
    /// # Errors
    /// The other end has gone or takes nothing.
    pub fn send(mut self, mut connection: &TcpStream) -> io::Result<()> {
        let mut head = format!(
            "HTTP/1.1 {} {}\r\n{ALWAYS}",
            self.status,
            reason(self.status)
        );
        for (name, value) in &self.headers {
            head.push_str(&format!("{name}: {value}\r\n"));
        }
        head.push_str("\r\n");
        connection.write_all(head.as_bytes())?;
        io::copy(&mut self.body, &mut connection)?;
        if self.status >= 400 {
            // A connection that is closed on unread bytes would take the refusal with it.
            connection.shutdown(Shutdown::Write)?;
            connection.set_read_timeout(Some(REST_PATIENCE))?;
            let _ = io::copy(&mut connection.take(LONGEST_REST), &mut io::sink());
        }
        Ok(())
    }
}

fn reason(status: u16) -> &'static str {
    match status {
        200 => "OK",
        308 => "Permanent Redirect",
        403 => "Forbidden",
        404 => "Not Found",
        405 => "Method Not Allowed",
        _ => "Service Unavailable",
    }
}
