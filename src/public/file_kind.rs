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
