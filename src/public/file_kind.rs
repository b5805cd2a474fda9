//! What a file of the site is, by its name, and so how the leak gate reads it.

/// What a file of the site is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    /// A page.
    Html,
    /// A feed or the sitemap.
    Xml,
    /// Search data.
    Json,
    /// A drawing.
    Svg,
    /// Plain text.
    Text,
    /// A style sheet.
    Css,
    /// A script.
    Script,
    /// Fonts and photos: only the path is looked at.
    Other,
}

impl FileKind {
    /// By the end of a path; [`FileKind::Other`] where it is none that holds words.
    pub fn of_path(path: &str) -> Self {
        let end = path.rsplit_once('.').map_or("", |(_, end)| end);
        match end.to_ascii_lowercase().as_str() {
            "html" | "htm" => FileKind::Html,
            "xml" | "atom" => FileKind::Xml,
            "json" | "webmanifest" => FileKind::Json,
            "svg" => FileKind::Svg,
            "txt" | "md" => FileKind::Text,
            "css" => FileKind::Css,
            "js" | "mjs" => FileKind::Script,
            _ => FileKind::Other,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::FileKind;

    #[test]
    fn the_end_of_a_path_says_how_a_file_is_read() {
        for (path, kind) in [
            ("a/index.html", FileKind::Html),
            ("a.HTM", FileKind::Html),
            ("feed.atom", FileKind::Xml),
            ("map.xml", FileKind::Xml),
            ("a.json", FileKind::Json),
            ("site.webmanifest", FileKind::Json),
            ("figure-1.svg", FileKind::Svg),
            ("robots.txt", FileKind::Text),
            ("a.md", FileKind::Text),
            ("a.css", FileKind::Css),
            ("a.js", FileKind::Script),
            ("a.mjs", FileKind::Script),
            ("photo-1-800.jpg", FileKind::Other),
            ("CNAME", FileKind::Other),
        ] {
            assert_eq!(FileKind::of_path(path), kind, "{path}");
        }
    }
}
