//! A quote without its hours: nothing can be learned from it.
//!
//! Common practice, no source.

use crate::diagnose::{Code, Diagnostic};
use crate::model::{Job, Minutes, Private};

/// At most one warning for each job.
pub fn check(job: &Job, said: &mut Vec<Diagnostic>) {
    let Some(quoted) = job.quoted.as_ref().map(Private::in_office) else {
        return;
    };
    let (span, message) = match &quoted.hours {
        None => (quoted.span, "this quote has no hours"),
        Some(hours) if hours.value <= Minutes::NOUGHT => {
            (hours.span, "this quote is for no time at all")
        }
        Some(_) => return,
    };
    said.push(Diagnostic::warning(
        Code::QuoteNoHours,
        span,
        message,
        "Write the hours it was reckoned from: hours: 12h. Until then no report holds the job against its quote.",
    ));
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::told;

    fn job(quoted: &str) -> String {
        told(&format!(
            "quoted: {{{quoted}}}\nuncharged: test\nvisits: [{{date: 2026-05-01, time: 4h}}]\n"
        ))
    }

    #[test]
    fn a_quote_says_its_hours() {
        assert_eq!(job("hours: 4h, labour: 168.00"), "");
        insta::assert_snapshot!(job("labour: 168.00"), @r#"
        jobs/2026/a.md, line 5: warning: this quote has no hours.
            5 | quoted: {labour: 168.00}
              |         ^^^^^^^^^^^^^^^^
        Write the hours it was reckoned from: hours: 12h. Until then no report holds the
        job against its quote.                                          (quote-no-hours)

        1 warning.
        "#);
        assert!(job("hours: 0h").contains("for no time at all"));
    }
}
