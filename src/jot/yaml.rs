//! Front matter as it is written: values, the flow form on one line, and the block form of a list's item.

/// A value to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Yaml {
    /// One value, quoted where it must be.
    Scalar(String),
    /// Keys with values, in order.
    Map(Vec<(&'static str, Yaml)>),
    /// A list.
    List(Vec<Yaml>),
}

/// Longest text that goes into front matter, in characters; the note has the whole of it.
const LONGEST: usize = 300;

impl Yaml {
    /// Text of a note: on one line, cut where no log would be as long, quoted where it must be.
    pub fn text(text: &str) -> Self {
        let mut short: String = text.chars().take(LONGEST).collect();
        if short.len() < text.len() {
            short.truncate(short.trim_end().len());
            short.push('\u{2026}');
        }
        Yaml::Scalar(if is_plain(&short) {
            short
        } else {
            quoted(&short)
        })
    }

    /// A value that needs no quotes: a date, a length, a number, a key.
    pub fn bare(value: impl std::fmt::Display) -> Self {
        Yaml::Scalar(value.to_string())
    }

    /// A number, without a point where it is whole.
    pub fn number(n: f64) -> Self {
        Yaml::Scalar(n.to_string())
    }

    /// On one line.
    pub fn flow(&self) -> String {
        match self {
            Yaml::Scalar(text) => text.clone(),
            Yaml::Map(entries) => {
                let parts: Vec<String> = entries
                    .iter()
                    .map(|(key, value)| format!("{key}: {}", value.flow()))
                    .collect();
                format!("{{{}}}", parts.join(", "))
            }
            Yaml::List(items) => {
                let parts: Vec<String> = items.iter().map(Yaml::flow).collect();
                format!("[{}]", parts.join(", "))
            }
        }
    }

    /// As an item of a block list: its lines, the first to stand behind the dash. A map has a line a key, and a list
    /// within it a line an item; everything deeper is on one line.
    pub fn item(&self) -> Vec<String> {
        let Yaml::Map(entries) = self else {
            return vec![self.flow()];
        };
        let mut lines = Vec::new();
        for (key, value) in entries {
            match value {
                Yaml::List(items) => {
                    lines.push(format!("{key}:"));
                    lines.extend(items.iter().map(|item| format!("  - {}", item.flow())));
                }
                _ => lines.push(format!("{key}: {}", value.flow())),
            }
        }
        lines
    }
}

/// Whether text may stand without quotes, in flow as in block form.
fn is_plain(text: &str) -> bool {
    let safe = |c: char| {
        c.is_alphanumeric()
            || matches!(c, ' ' | '-' | '.' | '/' | '(' | ')' | '+' | '\'' | '\u{a3}')
    };
    text.starts_with(char::is_alphanumeric)
        && !text.ends_with(' ')
        && text.chars().all(safe)
        && !matches!(
            text.to_lowercase().as_str(),
            "null" | "true" | "false" | "yes" | "no"
        )
}

/// Text in double quotes. What YAML would not take as it is, is escaped.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => {
                out.push('\\');
                out.push(c);
            }
            // Folded away before; the last guard of a file that must read.
            c if c.is_control()
                || matches!(
                    c,
                    '\u{feff}' | '\u{fffe}' | '\u{ffff}' | '\u{2028}' | '\u{2029}'
                ) =>
            {
                out.push_str(&format!("\\u{:04X}", u32::from(c)));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_quoted_only_where_it_must_be() {
        let flow = |text: &str| Yaml::text(text).flow();
        assert_eq!(
            flow("Sail loft - stair lights dead"),
            "Sail loft - stair lights dead"
        );
        assert_eq!(flow("12 Spindrift Terrace"), "12 Spindrift Terrace");
        assert_eq!(flow("a: b"), "\"a: b\"");
        assert_eq!(flow("one, two"), "\"one, two\"");
        assert_eq!(flow("say \"no\" \\"), "\"say \\\"no\\\" \\\\\"");
        assert_eq!(flow(">200"), "\">200\"");
        assert_eq!(flow("null"), "\"null\"");
        assert_eq!(flow(""), "\"\"");
        assert_eq!(flow(&"x".repeat(400)).chars().count(), 301 + 2);
    }
}
