//! Hours on site a quarter over the quote, or more, with no extras that somebody agreed to.
//!
//! The quarter is common practice, no source.

use crate::diagnose::{Code, Diagnostic};
use crate::model::{Job, Minutes, Visit, VisitKind};

/// At most one warning for each job. A free return is no part of what was quoted, so it does not count.
pub fn check(job: &Job, said: &mut Vec<Diagnostic>) {
    let Some(hours) = job
        .quoted
        .as_ref()
        .and_then(|quoted| quoted.in_office().hours.as_ref())
    else {
        return;
    };
    let on_site: Minutes = job
        .visits
        .iter()
        .filter(|visit| visit.kind != VisitKind::Guarantee)
        .map(Visit::minutes)
        .sum();
    let quoted = hours.value;
    // A quarter over: 4 parts of what was spent against 5 of what was quoted, so that nothing is rounded.
    if quoted.get() <= 0 || on_site.get() * 4 < quoted.get() * 5 {
        return;
    }
    if job
        .extras
        .iter()
        .any(|extra| extra.in_office().agreed_by.is_some())
    {
        return;
    }
    let message = format!("{on_site} were spent on site and {quoted} were quoted");
    said.push(match job.extras.first() {
        None => Diagnostic::warning(
            Code::HoursOverQuote,
            hours.span,
            format!("{message}, with no extras written down"),
            "If more was asked for, write extras: [{what: two more sockets, labour: 60.00, agreed: {who: owner, on: \
             2026-03-12}}]. If the quote was short, leave this: the next price will know.",
        ),
        Some(extra) => Diagnostic::warning(
            Code::HoursOverQuote,
            hours.span,
            format!("{message}, and no extra says who agreed to it"),
            "Write agreed: {who: owner, on: 2026-03-12} beside the extra.",
        )
        .also(extra.in_office().what.span, "the extra"),
    });
}

#[cfg(test)]
mod tests {
    use crate::rules::bench::told;

    fn job(time: &str, more: &str) -> String {
        told(&format!(
            "quoted: {{hours: 4h}}\nuncharged: test\nvisits: [{{date: 2026-05-01, time: {time}}}]\n{more}"
        ))
    }

    #[test]
    fn a_quarter_over_the_quote_is_said_and_less_is_not() {
        insta::assert_snapshot!(job("5h", ""), @r#"
        jobs/2026/a.md, line 5: warning: 5 h were spent on site and 4 h were quoted, with no extras written down.
            5 | quoted: {hours: 4h}
              |                 ^^
        If more was asked for, write extras: [{what: two more sockets, labour: 60.00,
        agreed: {who: owner, on: 2026-03-12}}]. If the quote was short, leave this: the
        next price will know.                                           (hours-over-quote)

        1 warning.
        "#);
        assert_eq!(job("4h59", ""), "");
    }

    #[test]
    fn agreed_extras_answer_for_the_hours_and_others_do_not() {
        let agreed =
            "extras: [{what: a socket, labour: 60.00, agreed: {who: owner, on: 2026-05-01}}]\n";
        assert_eq!(job("6h", agreed), "");
        insta::assert_snapshot!(job("6h", "extras: [{what: a socket, labour: 60.00}]\n"), @r#"
        jobs/2026/a.md, line 5: warning: 6 h were spent on site and 4 h were quoted, and no extra says who agreed to it.
            5 | quoted: {hours: 4h}
              |                 ^^
          line 8: the extra
            8 | extras: [{what: a socket, labour: 60.00}]
              |                 --------
        Write agreed: {who: owner, on: 2026-03-12} beside the extra.    (hours-over-quote)

        1 warning.
        "#);
    }

    #[test]
    fn a_free_return_is_no_part_of_the_quoted_hours() {
        assert_eq!(
            told(
                "quoted: {hours: 4h}
uncharged: test
visits: [{date: 2026-05-01, time: 4h}, {date: 2026-05-09, kind: guarantee, time: 3h}]
"
            ),
            ""
        );
    }
}
