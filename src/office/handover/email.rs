//! The paper as a plain email: the same words in the same order, 72 columns, what is grave first.

use std::fmt::Write as _;

use crate::office::words::stopped;

use super::done::small;
use super::paper::{Paper, to};
use super::{Subject, paper};

/// Columns of a line.
const WIDTH: usize = 72;

/// The email, headed by whom it goes to and its subject. An address stands there only where the reader is the client.
pub fn email(subject: Subject<'_>) -> String {
    let view = paper(subject);
    let mut out = Text(String::new());
    let address = subject
        .client()
        .filter(|_| subject.pays())
        .and_then(|client| client.email.as_ref())
        .map(|email| email.in_office().value.clone());
    out.line(&format!("To: {}", address.unwrap_or_else(|| to(subject))));
    let urgent = match view.first.is_empty() {
        true => "",
        false => "PLEASE READ: ",
    };
    out.line(&format!(
        "Subject: {urgent}{} (job {})",
        view.title, view.reference
    ));
    out.gap();
    if !view.first.is_empty() {
        out.text("", &view.first);
        out.gap();
    }
    let place = match view.place.as_str() {
        "" => String::new(),
        place => format!(" at {place}"),
    };
    let measured = match view.readings.is_empty() {
        true => "",
        false => " what was measured,",
    };
    out.text(
        "",
        &format!(
            "This is what was done{place}, what was found and who was told,{measured} and what stands behind it. \
             Attended {}; {} on site.",
            view.attended, view.on_site
        ),
    );
    body(&mut out, &view);
    out.0
}

fn body(out: &mut Text, view: &Paper) {
    out.head("What was done");
    for line in &view.done {
        out.text("- ", &format!("{}: {}", line.date, line.words));
    }
    out.head("What was found, and who was told");
    if view.findings.is_empty() {
        out.text("", "Nothing was written down as found.");
    }
    for finding in &view.findings {
        let code = match finding.meaning {
            "" => finding.code.to_owned(),
            meaning => format!("{}, {}", finding.code, meaning.to_lowercase()),
        };
        let words: Vec<&str> = [
            finding.what.as_str(),
            &finding.done,
            &finding.told,
            &finding.asks,
        ]
        .into_iter()
        .filter(|words| !words.is_empty())
        .collect();
        out.text("- ", &format!("{code}: {}", words.join(" ")));
    }
    if !view.readings.is_empty() {
        readings(out, view);
    }
    for (head, lines) in [("Materials", &view.materials), ("Plant", &view.plant)] {
        if !lines.is_empty() {
            out.head(head);
        }
        for line in lines {
            out.text("- ", &format!("{} {}", line.count, line.item));
        }
    }
    charged(out, view);
    if let Some(guarantee) = &view.guarantee {
        out.head("Guarantee");
        let not = match guarantee.not_in_it.as_str() {
            "" => String::new(),
            not => format!(" Not in it: {not}"),
        };
        out.text(
            "",
            &format!(
                "{}, from {} until the end of {}. It covers {}.{not}",
                guarantee.years,
                guarantee.from,
                guarantee.until,
                small(guarantee.covers)
            ),
        );
    }
    out.head("Caution");
    for line in &view.cautions {
        out.text("- ", line);
    }
    out.head("This is no certificate");
    out.text("", &view.no_certificate.join(" "));
    out.gap();
    let trader = &view.trader;
    for line in [
        &trader.name,
        &trader.trading_as,
        &trader.phone,
        &trader.email,
    ] {
        if !line.is_empty() {
            out.line(line);
        }
    }
}

fn readings(out: &mut Text, view: &Paper) {
    out.head("Readings, each held against its figure");
    for row in &view.readings {
        let circuit = match row.circuit.as_str() {
            "" => "Circuit not named",
            circuit => circuit,
        };
        let device = match row.device.as_str() {
            "" => String::new(),
            device => format!(", {device}"),
        };
        let found = if row.as_found { ", as found" } else { "" };
        out.line(&format!("{circuit}{device}{found}"));
        for held in &row.values {
            let unit = match held.unit.as_str() {
                "" => String::new(),
                unit => format!(" {unit}"),
            };
            let figure = match held.figure.as_str() {
                "" => String::new(),
                figure => format!(" ({figure})"),
            };
            let why = match held.verdict.as_str() {
                "not judged" => format!(": {}", held.why),
                _ => String::new(),
            };
            let again = if held.again {
                ", measured again since"
            } else {
                ""
            };
            out.text(
                "  ",
                &format!(
                    "{} {}{unit}{again}: {}{figure}{why}",
                    held.quantity, held.value, held.verdict
                ),
            );
        }
    }
    if !view.figures.is_empty() {
        out.text(
            "",
            &format!(
                "Within: inside the figure. Near: inside it, past four fifths of it; a cable warms in use and its reading \
                 rises. Outside: past it. A verdict compares one reading with one figure and says no more. Figures: {}.",
                view.figures
            ),
        );
    }
}

fn charged(out: &mut Text, view: &Paper) {
    let Some(table) = &view.charged else {
        if !view.uncharged.is_empty() {
            out.head("Charged");
            out.text("", view.uncharged);
        }
        return;
    };
    out.head("Charged");
    let mut row = |what: &str, quoted: &str, charged: &str| {
        // Without a quote there is no column of it.
        let quoted = if table.quoted { quoted } else { "" };
        let mut beside = what;
        if what.chars().count() >= BEFORE_AMOUNTS {
            out.text("", what);
            beside = "";
        }
        out.line(&format!(
            "{beside:<BEFORE_AMOUNTS$}{quoted:>13}{charged:>13}"
        ));
    };
    row(&format!("Amounts in {}", view.sign), "quoted", "charged");
    for line in table.lines.iter().chain([&table.total]) {
        row(&line.what, &line.quoted, &line.charged);
    }
    if !table.note.is_empty() {
        out.text("", &stopped(&table.note));
    }
}

/// The column of the words before two of amounts: what is longer has a line of its own above its amounts.
const BEFORE_AMOUNTS: usize = 44;

/// Lines of an email.
struct Text(String);

impl Text {
    fn line(&mut self, line: &str) {
        writeln!(self.0, "{}", line.trim_end()).expect("writing to a String");
    }

    fn gap(&mut self) {
        self.line("");
    }

    /// A heading with a gap before it.
    fn head(&mut self, words: &str) {
        self.gap();
        self.line(&words.to_uppercase());
    }

    /// A paragraph, what stands in front of it hanging out.
    fn text(&mut self, front: &str, words: &str) {
        let hang = " ".repeat(front.chars().count());
        let mut line = front.to_owned();
        let mut begun = false;
        for word in words.split_whitespace() {
            if begun && line.chars().count() + 1 + word.chars().count() > WIDTH {
                self.line(&line);
                line = hang.clone();
                begun = false;
            }
            if begun {
                line.push(' ');
            }
            line.push_str(word);
            begun = true;
        }
        self.line(&line);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_paragraph_hangs_under_its_mark_and_keeps_to_its_width() {
        let mut out = Text(String::new());
        out.text("- ", &"word ".repeat(30));
        let lines: Vec<&str> = out.0.lines().collect();
        assert!(
            lines.len() == 3 && lines[0].starts_with("- word"),
            "{lines:?}"
        );
        assert!(lines[1].starts_with("  word"));
        assert!(lines.iter().all(|line| line.chars().count() <= WIDTH));
    }
}
