//! What may be asked of `out/` at any moment, whatever happened to the press that wrote it: every file whole, every link
//! led to a file, no private word. Looked at with plain means, none of them the program's own.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::path::Path;

use crate::common::tree;

/// What a file is called until it is whole.
const PART: &str = ".daywork-part";

/// A look over `out/` that remembers what it has looked at, by its bytes.
pub struct Looker {
    /// Words that no file of the site may hold, lower-cased.
    words: Vec<String>,
    /// The site's address, with its slash.
    address: String,
    /// Links of a text, found once.
    links: HashMap<blake3::Hash, Vec<String>>,
    /// Files of the site and the book that were seen to be whole and clean.
    fine: BTreeSet<(String, [u8; 32])>,
}

impl Looker {
    pub fn new(words: impl IntoIterator<Item = String>, address: &str) -> Self {
        let words = words.into_iter().map(|word| word.to_lowercase()).collect();
        Looker {
            words,
            address: address.to_owned(),
            links: HashMap::new(),
            fine: BTreeSet::new(),
        }
    }

    /// Everything that is wrong with `out/` as it stands, a line each; empty where nothing is.
    pub fn faults(&mut self, out: &Path) -> Vec<String> {
        let files = tree(out);
        let mut faults = Vec::new();
        for (path, bytes) in &files {
            if path.starts_with("ledger/") {
                continue;
            }
            let key = (path.clone(), *blake3::hash(bytes).as_bytes());
            if self.fine.contains(&key) {
                continue;
            }
            let mut of_file: Vec<String> = Vec::new();
            // A part is no page yet: hidden, of our own suffix, and linked by nothing (every link is followed below).
            if path.ends_with(PART) {
                let name = path.rsplit('/').next().unwrap_or_default();
                if !name.starts_with('.') {
                    of_file.push(format!("{path} is a part, and is not hidden"));
                }
            } else if let Some(fault) = broken(path, bytes) {
                of_file.push(format!("{path} is not whole: {fault}"));
            }
            if path.starts_with("site/") {
                let text = String::from_utf8_lossy(bytes).to_lowercase();
                for word in &self.words {
                    if text.contains(word) || path.to_lowercase().contains(word) {
                        of_file.push(format!("{path} holds {word}"));
                    }
                }
            }
            if of_file.is_empty() {
                self.fine.insert(key);
            }
            faults.extend(of_file);
        }
        faults.extend(self.lost(&files));
        faults
    }

    /// Links that lead to nothing.
    fn lost(&mut self, files: &BTreeMap<String, Vec<u8>>) -> Vec<String> {
        let mut lost = Vec::new();
        for (path, bytes) in files {
            let ending = path.rsplit('.').next().unwrap_or_default();
            if path.starts_with("ledger/") || !["html", "xml", "json", "txt"].contains(&ending) {
                continue;
            }
            let address = &self.address;
            // The handbook's examples are of a diary at the same address, and no links.
            let whole = Some(address).filter(|_| !path.starts_with("office/handbook/"));
            let links = self
                .links
                .entry(blake3::hash(bytes))
                .or_insert_with(|| links(&String::from_utf8_lossy(bytes), whole));
            for link in links.iter() {
                let target = target(path, link, address);
                if !files.contains_key(&target) {
                    lost.push(format!("{path} leads to {target}, which is not there"));
                }
            }
        }
        lost
    }
}

/// All of `out/` that hangs on the diary alone.
pub fn lasting(out: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = tree(out);
    // It holds the place of new pages: whether there were any is not the diary's to say.
    files.remove("ledger/to-come.html");
    files
}

/// Every link within the site or the book, as written: attributes of pages, and what stands at the site's address in any
/// text.
fn links(text: &str, address: Option<&String>) -> Vec<String> {
    let mut found = BTreeSet::new();
    for attribute in [
        " href=\"",
        " src=\"",
        " poster=\"",
        " action=\"",
        " srcset=\"",
    ] {
        let values = text.split(attribute).skip(1);
        for value in values.filter_map(|rest| rest.split('"').next()) {
            let several = if attribute == " srcset=\"" { "," } else { "\0" };
            for one in value.split(several) {
                let link = one.split_whitespace().next().unwrap_or_default();
                if !link.contains(':') && !link.starts_with('#') && !link.is_empty() {
                    found.insert(link.to_owned());
                }
            }
        }
    }
    if let Some(address) = address {
        for rest in text.split(address.as_str()).skip(1) {
            let ends = |c: char| c.is_whitespace() || "\"'<>)\\&".contains(c);
            let below = rest.split(ends).next().unwrap_or_default();
            found.insert(format!("{address}{below}"));
        }
    }
    found.into_iter().collect()
}

/// The file below `out/` that a link of a file leads to.
fn target(from: &str, link: &str, address: &str) -> String {
    let link = link.split(['#', '?']).next().unwrap_or_default();
    let (mut parts, link): (Vec<&str>, &str) = match link.strip_prefix(address) {
        Some(below) => (vec!["site"], below),
        None => {
            let mut parts: Vec<&str> = from.split('/').collect();
            parts.pop();
            (parts, link)
        }
    };
    let is_folder = link.is_empty() || link.ends_with('/') || link.ends_with("..");
    for part in link.split('/') {
        match part {
            "" | "." => {}
            ".." => drop(parts.pop()),
            part => parts.push(part),
        }
    }
    if is_folder {
        parts.push("index.html");
    }
    parts.join("/")
}

/// Why a file is not whole; `None` where it is.
fn broken(path: &str, bytes: &[u8]) -> Option<String> {
    let text = || String::from_utf8(bytes.to_vec()).map_err(|error| error.to_string());
    let ends = |end: &str| {
        let text = text()?;
        match text.trim_end().ends_with(end) {
            true => Ok(()),
            false => Err(format!("it does not end with {end}")),
        }
    };
    let name = path.rsplit('/').next().unwrap_or_default();
    let result: Result<(), String> = match name.rsplit('.').next().unwrap_or_default() {
        "html" => ends("</html>"),
        "ics" => ends("END:VCALENDAR"),
        "json" => serde_json::from_slice::<serde_json::Value>(bytes)
            .map(drop)
            .map_err(|error| error.to_string()),
        "xml" | "svg" => text().and_then(|text| xml(&text)),
        "jpg" | "png" => image::load_from_memory(bytes)
            .map(drop)
            .map_err(|error| error.to_string()),
        "css" => ends("}"),
        "js" => ends(";").or_else(|_| ends("}")).or_else(|_| ends(")")),
        "txt" | "woff2" | "vtt" => match bytes.is_empty() {
            true => Err("it is empty".to_owned()),
            false => Ok(()),
        },
        other => Err(format!("nobody has said what a whole {other} is")),
    };
    result.err()
}

/// Whether a text is one well-formed document, to its end.
fn xml(text: &str) -> Result<(), String> {
    use quick_xml::events::Event;
    let mut reader = quick_xml::Reader::from_str(text);
    let (mut depth, mut elements) = (0_i32, 0);
    loop {
        match reader.read_event().map_err(|error| error.to_string())? {
            Event::Start(_) => {
                depth += 1;
                elements += 1;
            }
            Event::Empty(_) => elements += 1,
            Event::End(_) => depth -= 1,
            Event::Eof if depth == 0 && elements > 0 => return Ok(()),
            Event::Eof => return Err(format!("it ends {depth} elements deep")),
            _ => {}
        }
    }
}

#[test]
fn what_is_spoilt_is_seen() {
    let page = b"<p><a href=\"b/\">b</a></html>";
    for (path, bytes, fault) in [
        (
            "site/a.html",
            &page[..],
            "site/a.html leads to site/b/index.html, which is not there",
        ),
        (
            "site/a.html",
            b"<p>a",
            "site/a.html is not whole: it does not end with </html>",
        ),
        (
            "site/feed.json",
            b"{\"a\":",
            "site/feed.json is not whole: EOF while parsing a value at line 1 column 5",
        ),
        (
            "site/feed.xml",
            b"<feed><a>",
            "site/feed.xml is not whole: it ends 2 elements deep",
        ),
        (
            "site/robots.txt",
            b"x https://example.com/c",
            "site/robots.txt leads to site/c, which is not there",
        ),
        ("site/wrayle.txt", b"x", "site/wrayle.txt holds wrayle"),
        ("site/a.txt", b"Mr WRAYLE", "site/a.txt holds wrayle"),
        (
            "office/a.html.daywork-part",
            b"",
            "office/a.html.daywork-part is a part, and is not hidden",
        ),
    ] {
        let out = tempfile::TempDir::new().expect("a temporary folder");
        crate::common::put(&out.path().join(path), bytes);
        let mut looker = Looker::new(["Wrayle".to_owned()], "https://example.com/");
        assert_eq!(looker.faults(out.path()), [fault]);
    }
    let cut = {
        let mut whole = std::io::Cursor::new(Vec::new());
        image::RgbImage::new(64, 64)
            .write_to(&mut whole, image::ImageFormat::Png)
            .expect("a picture");
        let whole = whole.into_inner();
        assert_eq!(broken("site/card.png", &whole), None);
        whole[..whole.len() / 2].to_vec()
    };
    assert!(broken("site/card.png", &cut).is_some());
}
