//! What was typed, as a diagnostic repeats it.

/// Text from a diary, short enough for a sentence.
pub fn shorten(text: &str) -> String {
    const MOST: usize = 40;
    let mut line = text
        .split(['\n', '\r'])
        .next()
        .unwrap_or_default()
        .to_owned();
    if line.chars().count() > MOST {
        line = line.chars().take(MOST).chain(['…']).collect();
    }
    if line.is_empty() {
        "an empty value".to_owned()
    } else if line.contains(char::is_whitespace) {
        format!("“{line}”")
    } else {
        line
    }
}
