//! What a served page gets that its file does not hold: the script that keeps it fresh, and leave to run it. And the
//! two pages of this room's own.

use super::state::Telling;

/// The script of an open page.
pub const CLIENT: &str = include_str!("../../content/proof/client.js");
/// Where a browser finds it.
pub const CLIENT_PATH: &str = "/proof/client.js";
/// Where the open pages listen.
pub const EVENTS_PATH: &str = "/proof/events";

/// What the two pages have in common.
const FRAME: &str = include_str!("../../content/proof/frame.html");
const ENTRY: &str = include_str!("../../content/proof/entry.html");
const MISSING: &str = include_str!("../../content/proof/missing.html");

/// The page that leads to both halves.
pub fn entry(telling: &Telling) -> Vec<u8> {
    own("Proof", ENTRY, telling)
}

/// The page for an address that leads nowhere. It too is told of presses: what it stands for may come.
pub fn missing(telling: &Telling) -> Vec<u8> {
    own("Not there: proof", MISSING, telling)
}

fn own(title: &str, main: &str, telling: &Telling) -> Vec<u8> {
    let html = FRAME.replace("{title}", title).replace("{main}", main);
    with_client(&html, telling).into_bytes()
}

/// A pressed page with the script in it. One that is no text goes out as it is.
pub fn served(bytes: Vec<u8>, telling: &Telling) -> Vec<u8> {
    match String::from_utf8(bytes) {
        Ok(html) => with_client(&html, telling).into_bytes(),
        Err(error) => error.into_bytes(),
    }
}

fn with_client(html: &str, telling: &Telling) -> String {
    let script = format!(
        "<script src=\"{CLIENT_PATH}\" data-press=\"{}\" data-assets=\"{}\" defer></script>\n",
        telling.press, telling.assets
    );
    let end = html.rfind("</body>").unwrap_or(html.len());
    let (before, after) = html.split_at(end);
    format!("{}{script}{after}", with_leave(before))
}

/// A page that says in its head what may run on it is given leave for this room's script and its listening besides.
fn with_leave(html: &str) -> String {
    const NAMED: &str = "http-equiv=\"Content-Security-Policy\" content=\"";
    let found = html
        .find(NAMED)
        .map(|at| at + NAMED.len())
        .and_then(|from| Some(from..from + html[from..].find('"')?));
    let Some(range) = found else {
        return html.to_owned();
    };
    let policy = html[range.clone()]
        .replace("&#x27;", "'")
        .replace("&#39;", "'");
    let (before, after) = (&html[..range.start], &html[range.end..]);
    format!("{before}{}{after}", widened(&policy))
}

/// A policy by which scripts and connections may come from the page's own origin too.
fn widened(policy: &str) -> String {
    let directives: Vec<(&str, &str)> = policy
        .split(';')
        .map(str::trim)
        .filter(|directive| !directive.is_empty())
        .map(|directive| directive.split_once(' ').unwrap_or((directive, "")))
        .collect();
    let given = |name: &str| directives.iter().find(|(other, _)| *other == name);
    let wider = |name: &str| {
        given(name)
            .or_else(|| given("default-src"))
            .map(|(_, from)| {
                let from: Vec<&str> = from
                    .split(' ')
                    .filter(|it| !matches!(*it, "'none'" | "'self'" | ""))
                    .collect();
                [&[name], from.as_slice(), &["'self'"]].concat().join(" ")
            })
    };
    const WIDER: [&str; 2] = ["script-src", "connect-src"];
    let kept = directives
        .iter()
        .filter(|(name, _)| !WIDER.contains(name))
        .map(|(name, from)| format!("{name} {from}").trim_end().to_owned());
    kept.chain(WIDER.into_iter().filter_map(wider))
        .collect::<Vec<_>>()
        .join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_script_goes_before_the_end_of_the_body_and_nothing_else_changes() {
        let telling = Telling {
            press: 3,
            assets: 1,
            ..Telling::default()
        };
        let script =
            "<script src=\"/proof/client.js\" data-press=\"3\" data-assets=\"1\" defer></script>\n";
        let page = "<body>\n<p>The text &lt;/body&gt;</p>\n</body>\n</html>\n";
        let served_page = served(page.as_bytes().to_vec(), &telling);
        assert_eq!(
            String::from_utf8(served_page).expect("text"),
            format!("<body>\n<p>The text &lt;/body&gt;</p>\n{script}</body>\n</html>\n")
        );
        let bare = served(b"<p>held\n".to_vec(), &telling);
        assert_eq!(bare, format!("<p>held\n{script}").into_bytes());
        assert_eq!(served(vec![0xff, 0xfe], &telling), [0xff, 0xfe]);
    }

    #[test]
    fn a_page_s_policy_gives_leave_for_the_script_and_keeps_the_rest() {
        assert_eq!(
            widened(
                "default-src 'none'; style-src 'sha256-x'; script-src 'sha256-y'; base-uri 'none'"
            ),
            "default-src 'none'; style-src 'sha256-x'; base-uri 'none'; script-src 'sha256-y' 'self'; connect-src 'self'"
        );
        assert_eq!(widened("img-src 'self'"), "img-src 'self'");
        let page = "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src &#x27;none&#x27;\"><p>";
        assert_eq!(
            with_leave(page),
            "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; script-src 'self'; connect-src 'self'\"><p>"
        );
    }
}
