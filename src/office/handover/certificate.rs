//! A note for the certificate: comments on the existing installation in ready words, for the electrician to copy after
//! checking them. It goes to nobody by itself.

use crate::model::FindingCode;
use crate::office::book::readings;
use crate::office::words::wrap;

use super::Subject;
use super::found::{shown, what};

/// The note. Says plainly where the record has nothing to comment on.
pub fn note(subject: Subject<'_>) -> String {
    let mut paragraphs = vec![format!(
        "Comments on the existing installation, from the record of job {}. Check each against the job before it goes on \
         a certificate; codes and dates are as recorded.",
        subject.job.reference.in_office().value
    )];
    let subject_all = Subject {
        reader: super::For::Owner,
        ..subject
    };
    let mut comments = 0;
    for finding in shown(subject_all) {
        let code = match finding.code {
            FindingCode::Note => "Noted".to_owned(),
            code => format!("{} ({})", code.shown(), code.meaning().to_lowercase()),
        };
        let after = [
            super::found::seen(finding),
            super::found::dealt_with(finding),
        ]
        .join(" ");
        let open = match finding.put_right.is_none() && super::found::is_grave(finding.code) {
            true => " Not marked as put right when this was written.",
            false => "",
        };
        paragraphs.push(
            format!("{code}: {} {}{open}", what(finding), after.trim())
                .trim()
                .to_owned(),
        );
        comments += 1;
    }
    let rows = readings(subject.job, &subject.figures());
    for (row, held) in rows
        .iter()
        .flat_map(|row| row.values.iter().map(move |held| (row, held)))
        .filter(|(_, held)| !held.again)
    {
        let circuit = match row.circuit.as_str() {
            "" => "A circuit without a name",
            circuit => circuit,
        };
        let said = match held.verdict.as_str() {
            "within" | "as it should be" => continue,
            "not judged" if held.value == "LIM" => {
                format!(
                    "Limitation: {circuit}, {} could not be measured.",
                    held.quantity
                )
            }
            "not judged" => continue,
            _ => format!(
                "{circuit}: {} {} {}, {}.",
                held.quantity, held.value, held.unit, held.why
            )
            .replace(" ,", ","),
        };
        paragraphs.push(said);
        comments += 1;
    }
    if comments == 0 {
        paragraphs.push("The record holds nothing to comment on.".to_owned());
    }
    let mut text = String::new();
    for paragraph in paragraphs {
        for line in wrap(&paragraph) {
            text.push_str(&line);
            text.push('\n');
        }
        text.push('\n');
    }
    text.trim_end().to_owned() + "\n"
}
