//! A proof that runs for a test: what it prints, what it answers, what it tells an open page.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::{Ipv4Addr, TcpStream};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;

/// A busy machine is slow; one that has not told by then never will.
pub const PATIENCE: Duration = Duration::from_secs(120);

/// A proof at work, on a port of its own.
pub struct Proof {
    pub child: Child,
    pub port: u16,
    printed: BufReader<ChildStdout>,
}

impl Proof {
    /// Of a diary, on any free port.
    pub fn of(diary: &Path) -> Self {
        let mut child = Command::new(assert_cmd::cargo::cargo_bin!("daywork"))
            .args(["proof", "--port", "0", "--as-of", "2026-11-25", "--diary"])
            .arg(diary)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("it runs");
        let mut printed = BufReader::new(child.stdout.take().expect("it is piped"));
        let mut line = String::new();
        printed.read_line(&mut line).expect("it prints");
        let port = line
            .split("http://127.0.0.1:")
            .nth(1)
            .and_then(|rest| rest.split('/').next()?.parse().ok())
            .unwrap_or_else(|| panic!("no address in {line}"));
        Proof {
            child,
            port,
            printed,
        }
    }

    /// The next line printed that holds these words.
    pub fn line_with(&mut self, words: &str) -> String {
        loop {
            let mut line = String::new();
            let length = self.printed.read_line(&mut line).expect("it prints");
            assert!(length > 0, "it ended without printing {words}");
            if line.contains(words) {
                return line;
            }
        }
    }

    /// Presses Ctrl-C and gives the exit code.
    #[cfg(unix)]
    pub fn interrupt(&mut self) -> Option<i32> {
        let sent = Command::new("kill")
            .args(["-INT", &self.child.id().to_string()])
            .status();
        assert!(sent.expect("kill is there").success());
        self.child.wait().expect("it ends").code()
    }

    /// The status, head and body that a request gets.
    pub fn ask(&self, request: &str) -> (u16, String, String) {
        let mut line = TcpStream::connect((Ipv4Addr::LOCALHOST, self.port)).expect("it listens");
        line.set_read_timeout(Some(PATIENCE)).expect("a timeout");
        line.write_all(request.as_bytes()).expect("sent");
        let mut answer = Vec::new();
        line.read_to_end(&mut answer).expect("it answers");
        let answer = String::from_utf8_lossy(&answer).into_owned();
        let (head, body) = answer.split_once("\r\n\r\n").unwrap_or((&answer, ""));
        let status = head.split(' ').nth(1).and_then(|it| it.parse().ok());
        (status.unwrap_or_default(), head.to_owned(), body.to_owned())
    }

    /// What a path gives.
    pub fn get(&self, path: &str) -> (u16, String, String) {
        let host = format!("127.0.0.1:{}", self.port);
        self.ask(&format!(
            "GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"
        ))
    }

    /// Listens as an open page does.
    pub fn listen(&self) -> Line {
        let mut line = TcpStream::connect((Ipv4Addr::LOCALHOST, self.port)).expect("it listens");
        line.set_read_timeout(Some(PATIENCE)).expect("a timeout");
        let host = format!("localhost:{}", self.port);
        write!(line, "GET /proof/events HTTP/1.1\r\nHost: {host}\r\n\r\n").expect("sent");
        Line(BufReader::new(line))
    }

    /// Waits until the page at a path holds these words.
    pub fn shows(&self, path: &str, words: &str) {
        let mut line = self.listen();
        loop {
            let (_, _, body) = self.get(path);
            if body.contains(words) {
                return;
            }
            line.next();
        }
    }
}

impl Drop for Proof {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// An open page's line.
pub struct Line(pub BufReader<TcpStream>);

impl Line {
    /// The next telling.
    pub fn next(&mut self) -> Value {
        let began = Instant::now();
        loop {
            let mut line = String::new();
            let length = self.0.read_line(&mut line).expect("it tells");
            assert!(length > 0 && began.elapsed() < PATIENCE, "nothing was told");
            if let Some(told) = line.strip_prefix("data: ") {
                return serde_json::from_str(told).expect("JSON");
            }
        }
    }

    /// The first telling that is like this.
    pub fn until(&mut self, is: impl Fn(&Value) -> bool) -> Value {
        loop {
            let told = self.next();
            if is(&told) {
                return told;
            }
        }
    }

    /// The first line of the answer.
    pub fn status(&mut self) -> String {
        let mut line = String::new();
        self.0.read_line(&mut line).expect("it answers");
        line
    }
}
