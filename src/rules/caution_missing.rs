//! A write-up or how-to that plainly deals with something dangerous and carries no caution about it.
//!
//! Which words call for which caution: `content/trade/caution_words.csv`. Pages that readers will not see are left
//! alone, and so are reviews and answers.

use crate::diagnose::{Code, Diagnostic, FileId, Span};
use crate::model::{Body, Job, Page, PageKind, Publish};
use crate::trade::caution_words::missing;

/// At most one warning for each caution, at the first words of the log that call for it.
pub fn check_job(job: &Job, said: &mut Vec<Diagnostic>) {
    if job.publish != Publish::Never {
        look(job.file, &job.body, "write-up", said);
    }
}

/// The same for a page.
pub fn check_page(page: &Page, said: &mut Vec<Diagnostic>) {
    if page.publish != Publish::Never && matches!(page.kind, PageKind::HowTo) {
        look(page.file, &page.body, "how-to", said);
    }
}

fn look(file: FileId, body: &Body, what: &str, said: &mut Vec<Diagnostic>) {
    for missing in missing(&body.open) {
        let start = body.start as usize;
        said.push(Diagnostic::warning(
            Code::CautionMissing,
            Span::new(file, start + missing.bytes.start, start + missing.bytes.end),
            format!(
                "this {what} deals with {} and has no caution about it",
                missing.need.about
            ),
            format!(
                "Add the standard one: a block that begins with ```caution and holds {}. One in words of your own \
                 will do as well.",
                missing.need.caution
            ),
        ));
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::{told_of, told_with_body};

    const PUBLIC: &str = "visits: [{date: 2026-11-12, time: 2h}]\npublish: 2026-11-20\n";

    #[test]
    fn a_write_up_without_its_caution_is_asked_for_it() {
        insta::assert_snapshot!(told_with_body(PUBLIC, "Locked off at the board.\n"), @r#"
        jobs/2026/a.md, line 9: warning: this write-up deals with isolation and has no caution about it.
            9 | Locked off at the board.
              | ^^^^^^^^^^
        Add the standard one: a block that begins with ```caution and holds prove-dead.
        One in words of your own will do as well.                       (caution-missing)

        1 warning.
        "#);
    }

    #[test]
    fn the_caution_by_name_is_enough() {
        assert_eq!(
            told_with_body(
                PUBLIC,
                "Locked off at the board.\n\n```caution\nprove-dead\n```\n"
            ),
            ""
        );
    }

    #[test]
    fn what_readers_will_not_see_is_left_alone() {
        assert_eq!(
            told_with_body(
                "visits: [{date: 2026-11-12, time: 2h}]\n",
                "Locked off at the board.\n"
            ),
            ""
        );
        assert_eq!(
            told_with_body(PUBLIC, "```private\nLocked off at the board.\n```\n"),
            ""
        );
    }

    #[test]
    fn a_how_to_is_asked_and_an_answer_is_not() {
        let text =
            "---\ntitle: Testing\npublish: 2026-11-20\n---\n\nThe insulation test comes first.\n";
        insta::assert_snapshot!(told_of(&[
            ("guides/testing.md", text),
            ("answers/testing.md", &text.replace("Testing", "Why test")),
        ]), @r#"
        guides/testing.md, line 6: warning: this how-to deals with insulation testing and has no caution about it.
            6 | The insulation test comes first.
              |     ^^^^^^^^^^^^^^^
        Add the standard one: a block that begins with ```caution and holds
        insulation-electronics. One in words of your own will do as well. (caution-missing)

        1 warning.
        "#);
    }
}
