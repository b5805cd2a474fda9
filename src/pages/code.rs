//! Code blocks, coloured by classes. The classes are `c-` and a word of the grammar's scope (`c-keyword`,
//! `c-string`, `c-comment`); the theme gives them colours. Knows no diary.

use std::sync::LazyLock;

use pulldown_cmark_escape::escape_html;
use syntect::html::{ClassStyle, ClassedHTMLGenerator};
use syntect::parsing::SyntaxSet;
use syntect::util::LinesWithEndings;

/// The grammars take a moment to unpack, and most diaries hold no code.
static SYNTAXES: LazyLock<SyntaxSet> = LazyLock::new(SyntaxSet::load_defaults_newlines);

/// Code longer than this many bytes is shown plain: colouring it would hold up the press.
const LONGEST_COLOURED: usize = 64 * 1024;

/// A code block. `info` is what stands after its fence, `None` for an indented one; `text` is plain, and ends in
/// a line break unless it is empty. A language that the highlighter does not know gives plain text.
pub fn block(info: Option<&str>, text: &str) -> String {
    let language = info
        .and_then(|info| info.split_whitespace().next())
        .unwrap_or_default();
    // A block that is wider than the page is scrolled by keyboard only where it can be reached.
    let mut html = String::from("<pre tabindex=\"0\"><code");
    if !language.is_empty() {
        html.push_str(" class=\"language-");
        html.push_str(&escaped(language));
        html.push('"');
    }
    html.push('>');
    html.push_str(&coloured(language, text).unwrap_or_else(|| escaped(text)));
    html.push_str("</code></pre>\n");
    html
}

/// Text made fit for HTML, in an attribute as well as between tags.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + text.len() / 8);
    escape_html(&mut out, text).expect("writing to a String");
    out
}

fn coloured(language: &str, text: &str) -> Option<String> {
    if language.is_empty() || text.len() > LONGEST_COLOURED {
        return None;
    }
    let syntax = SYNTAXES.find_syntax_by_token(language)?;
    if syntax.name == SYNTAXES.find_syntax_plain_text().name {
        return None;
    }
    let style = ClassStyle::SpacedPrefixed { prefix: "c-" };
    let mut generator = ClassedHTMLGenerator::new_with_class_style(syntax, &SYNTAXES, style);
    for line in LinesWithEndings::from(text) {
        generator
            .parse_html_for_line_which_includes_newline(line)
            .ok()?;
    }
    Some(generator.finalize())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diary::markdown::{Fence, fence};

    #[test]
    fn a_known_language_is_coloured_by_classes_and_escaped() {
        let html = block(Some("python"), "x = 1 < 2  # <b>\n");
        assert!(html.starts_with(
            "<pre tabindex=\"0\"><code class=\"language-python\"><span class=\"c-source c-python\">"
        ));
        assert!(html.contains("&lt;b&gt;"));
        assert!(!html.contains("<b>"));
        assert!(!html.contains("style="));
    }

    #[test]
    fn an_unknown_language_or_none_is_plain_and_escaped() {
        assert_eq!(
            block(Some("no\"such x"), "a < \"b\"\n"),
            "<pre tabindex=\"0\"><code class=\"language-no&quot;such\">a &lt; &quot;b&quot;\n</code></pre>\n"
        );
        assert_eq!(
            block(Some("text"), "a\n"),
            "<pre tabindex=\"0\"><code class=\"language-text\">a\n</code></pre>\n"
        );
        assert_eq!(block(None, ""), "<pre tabindex=\"0\"><code></code></pre>\n");
    }

    #[test]
    fn no_language_is_near_to_a_word_of_ours() {
        for syntax in SYNTAXES.syntaxes() {
            for token in syntax.file_extensions.iter().chain([&syntax.name]) {
                assert_eq!(fence(token), Fence::Other, "{token}");
            }
        }
    }
}
