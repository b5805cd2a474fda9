//! Who may ask and for what: hosts, origins and paths of requests. Pure; looks at no disk.

use percent_encoding::percent_decode_str;

/// Whether a request is addressed to this proof. A page elsewhere that had its own name point to this machine would
/// ask under that name.
pub fn is_own_host(host: &str, port: u16) -> bool {
    let (name, given) = match host.rsplit_once(':') {
        // The last colon of a bare `[::1]` parts no port from it.
        Some((name, given)) if !given.ends_with(']') => (name, given.parse().ok()),
        _ => (host, Some(80)),
    };
    given == Some(port)
        && ["127.0.0.1", "localhost", "[::1]"]
            .iter()
            .any(|own| name.eq_ignore_ascii_case(own))
}

/// Whether the page that asks is one of this proof's own.
pub fn is_own_origin(origin: &str, port: u16) -> bool {
    origin
        .strip_prefix("http://")
        .is_some_and(|host| is_own_host(host, port))
}

/// The names that a request's path is made of, each decoded once; the last is empty where the path ends in a slash.
/// `None` for what no pressed file can be called: an empty or hidden name, one that climbs (`.` and `..` are hidden
/// names too), a slash, backslash, colon or control character within a name, or bytes that are no text.
pub fn names(target: &str) -> Option<Vec<String>> {
    let path = target.split(['?', '#']).next().unwrap_or_default();
    let parts: Vec<&str> = path.strip_prefix('/')?.split('/').collect();
    let last = parts.len() - 1;
    parts
        .iter()
        .enumerate()
        .map(|(at, part)| {
            let name = percent_decode_str(part).decode_utf8().ok()?.into_owned();
            let forbidden = |c: char| matches!(c, '/' | '\\' | ':') || c.is_control();
            let fine = !name.starts_with('.')
                && !name.contains(forbidden)
                && (at == last || !name.is_empty());
            fine.then_some(name)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_this_machine_s_own_names_and_this_port_are_its_host() {
        for own in [
            "127.0.0.1:7671",
            "localhost:7671",
            "LocalHost:7671",
            "[::1]:7671",
        ] {
            assert!(is_own_host(own, 7671), "{own}");
        }
        for other in [
            "",
            "localhost",
            "localhost:7672",
            "localhost:",
            "localhost.example.com:7671",
            "example.com:7671",
            "127.0.0.1.example.com:7671",
            "127.0.0.2:7671",
            "user@localhost:7671",
            "localhost:7671:7671",
            "[::1]",
            "[::2]:7671",
        ] {
            assert!(!is_own_host(other, 7671), "{other}");
        }
        assert!(is_own_host("localhost", 80) && is_own_host("[::1]", 80));
    }

    #[test]
    fn only_its_own_pages_are_its_origin() {
        assert!(is_own_origin("http://127.0.0.1:7671", 7671));
        for other in [
            "null",
            "",
            "https://127.0.0.1:7671",
            "http://127.0.0.1:8000",
            "http://example.com",
            "file://",
        ] {
            assert!(!is_own_origin(other, 7671), "{other}");
        }
    }

    #[test]
    fn a_path_is_decoded_once_and_never_climbs() {
        let fine = |target: &str| names(target).map(|names| names.join("|"));
        assert_eq!(fine("/"), Some(String::new()));
        assert_eq!(fine("/site/a%20b/?x=../..#y"), Some("site|a b|".to_owned()));
        assert_eq!(fine("/site/%2525"), Some("site|%25".to_owned()));
        assert_eq!(fine("/site/%252e%252e/x"), Some("site|%2e%2e|x".to_owned()));
        for bad in [
            "",
            "site",
            "http://example.com/site/",
            "//site",
            "/site//a",
            "/site/../ledger",
            "/site/./a",
            "/site/%2e%2e/ledger",
            "/site/.%2e/ledger",
            "/site/%2e%2e%2fledger",
            "/site/..%5cledger",
            "/site\\..\\ledger",
            "/site/a%00.html",
            "/site/a%0d%0ab",
            "/site/c:/x",
            "/site/index.html::$DATA",
            "/site/.index.html.daywork-part",
            "/site/%ff",
            "/..",
        ] {
            assert_eq!(names(bad), None, "{bad}");
        }
    }
}
