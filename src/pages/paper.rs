//! Paper: a sheet filled in as one file that loads nothing, its style and its font inside it.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use serde::Serialize;
use tera::{Context, Value};

use super::sheets::Sheets;
use crate::diagnose::Diagnostic;

/// What stands in the style for the font's file.
const FONT: &str = "docket.woff2";

/// A paper without its style: what the leak gate looks at, since letters of a font spell anything.
///
/// # Errors
/// A sheet of the diary's own cannot be used.
pub fn bare(sheets: &Sheets, sheet: &str, view: &impl Serialize) -> Result<String, Diagnostic> {
    fill(sheets, sheet, view, "")
}

/// A paper, whole.
///
/// # Errors
/// A sheet of the diary's own cannot be used.
pub fn whole(sheets: &Sheets, sheet: &str, view: &impl Serialize) -> Result<String, Diagnostic> {
    fill(sheets, sheet, view, &style(sheets))
}

fn fill(
    sheets: &Sheets,
    sheet: &str,
    view: &impl Serialize,
    style: &str,
) -> Result<String, Diagnostic> {
    let mut context = Context::new();
    context.insert("page", view);
    context.insert("root", "");
    context.insert_value("style", Value::safe_string(style));
    sheets.render(sheet, &context)
}

/// The style of the site and that of paper, the font in it as text.
fn style(sheets: &Sheets) -> String {
    let asset = |name: &str| {
        sheets
            .asset(name)
            .expect("a test holds that every asset is embedded")
    };
    let font = format!(
        "data:font/woff2;base64,{}",
        STANDARD.encode(asset(FONT).as_ref())
    );
    let text = |name: &str| String::from_utf8_lossy(&asset(name)).into_owned();
    let style = format!("{}\n{}", text("docket.css"), text("paper/paper.css"));
    // A style cannot end the element that it stands in.
    style.replace(FONT, &font).replace("</", "<\\/")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_style_holds_its_font_and_loads_nothing() {
        let style = style(&Sheets::built_in());
        assert!(
            style.contains("url(\"data:font/woff2;base64,d09GMg"),
            "wOF2"
        );
        let urls: Vec<&str> = style
            .split("url(")
            .skip(1)
            .filter_map(|rest| rest.split(')').next())
            .filter(|url| !url.starts_with("\"data:") && !url.starts_with('#'))
            .collect();
        assert_eq!(urls, Vec::<&str>::new());
        assert!(!style.contains("@import") && !style.contains("</"));
    }
}
