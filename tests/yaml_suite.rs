//! The YAML test suite's 402 cases through our reader: nothing panics or hangs, what must fail fails, and what is
//! valid either gives the suite's own events or is refused as a kind of YAML that a diary has no use for.
//!
//! Source: tests/suites/yaml.json (see tests/suites/README.md).

use std::time::{Duration, Instant};

use daywork::diagnose::Sources;
use daywork::diary::yaml::{Node, Value, parse};
use serde_json::Value as Json;

/// Refusals that are meant: the text is YAML, and a diary has no use for it.
const REFUSED: [&str; 3] = ["yaml-not-used", "duplicate-key", "yaml-too-big"];

fn cases() -> Vec<Json> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/suites/yaml.json");
    let text = std::fs::read_to_string(path).expect("the suite is in the project");
    serde_json::from_str(&text).expect("the suite is JSON")
}

fn name(case: &Json) -> String {
    let id = case["id"].as_str().expect("a case has an id");
    match case["n"].as_u64() {
        Some(n) if n > 0 => format!("{id}/{n:02}"),
        _ => id.to_owned(),
    }
}

/// The events of a tree, one a line, as the suite writes them; quotes of both kinds count as one.
fn events(node: &Node, out: &mut Vec<String>) {
    match &node.value {
        Value::Scalar { text, plain } => {
            out.push(format!("{}{text}", if *plain { "=" } else { "'" }))
        }
        Value::List(items) => {
            out.push("+SEQ".to_owned());
            items.iter().for_each(|item| events(item, out));
            out.push("-SEQ".to_owned());
        }
        Value::Map(entries) => {
            out.push("+MAP".to_owned());
            for (key, value) in entries {
                // A key does not keep whether it was quoted.
                out.push(format!("k{}", key.value));
                events(value, out);
            }
            out.push("-MAP".to_owned());
        }
    }
}

/// The suite's events in the same form; `None` where it has anything that our tree leaves out.
fn expected(tree: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    // For each open collection: whether it is a map, and whether its next scalar is a key.
    let mut open: Vec<(bool, bool)> = Vec::new();
    for line in tree.lines().map(str::trim_start) {
        let mut entry = |out: &mut Vec<String>, text: String, scalar: Option<&str>| {
            if let Some((true, key)) = open.last_mut() {
                if *key && let Some(scalar) = scalar {
                    out.push(format!("k{scalar}"));
                    *key = false;
                    return;
                }
                *key = true;
            }
            out.push(text);
        };
        if let Some(rest) = line.strip_prefix("=VAL ") {
            let (style, text) = rest.split_at(1);
            let text = unescape(text);
            let mark = if style == ":" { "=" } else { "'" };
            entry(&mut out, format!("{mark}{text}"), Some(&text));
        } else if line.starts_with("+SEQ") {
            entry(&mut out, "+SEQ".to_owned(), None);
            open.push((false, false));
        } else if line.starts_with("+MAP") {
            entry(&mut out, "+MAP".to_owned(), None);
            open.push((true, true));
        } else if line.starts_with("-SEQ") || line.starts_with("-MAP") {
            open.pop();
            out.push(line[..4].to_owned());
        }
    }
    out
}

fn unescape(text: &str) -> String {
    let mut out = String::new();
    let mut chars = text.chars();
    while let Some(c) = chars.next() {
        if c != '\\' {
            out.push(c);
            continue;
        }
        match chars.next() {
            Some('n') => out.push('\n'),
            Some('t') => out.push('\t'),
            Some('r') => out.push('\r'),
            Some('b') => out.push('\u{8}'),
            Some(other) => out.push(other),
            None => out.push('\\'),
        }
    }
    out
}

/// The suite writes some blanks visibly.
fn plain(yaml: &str) -> String {
    yaml.replace('␣', " ")
        .replace("————»", "\t")
        .replace("———»", "\t")
        .replace("——»", "\t")
        .replace("—»", "\t")
        .replace('»', "\t")
        .replace('⇔', "\u{feff}")
        .replace('↵', "")
        .replace('←', "\r")
        .replace("∎\n", "")
}

#[test]
fn every_case_of_the_suite_reads_fails_or_is_refused() {
    let (mut same, mut refused, mut failed) = (0, 0, 0);
    let mut wrong = Vec::new();
    for case in cases() {
        let name = name(&case);
        let yaml = plain(case["yaml"].as_str().expect("a case has its text"));
        let mut sources = Sources::default();
        let file = sources.add("case.yaml", yaml.as_str());
        let mut faults = Vec::new();
        let started = Instant::now();
        let node = parse(file, &yaml, 0..yaml.len(), &mut faults);
        assert!(
            started.elapsed() < Duration::from_secs(2),
            "{name} took too long"
        );
        for fault in &faults {
            let (start, end) = (fault.span.start as usize, fault.span.end as usize);
            assert!(
                start <= end && end <= yaml.len(),
                "{name}: a mark outside the text"
            );
            assert!(
                yaml.is_char_boundary(start) && yaml.is_char_boundary(end),
                "{name}: a mark inside a character"
            );
        }
        let must_fail = case["fail"].as_bool() == Some(true);
        if must_fail {
            failed += usize::from(!faults.is_empty());
            if faults.is_empty() {
                wrong.push(format!("{name} must fail and was read"));
            }
            continue;
        }
        if faults
            .iter()
            .any(|fault| REFUSED.contains(&fault.code.as_str()))
        {
            refused += 1;
            continue;
        }
        let Some(tree) = case["tree"].as_str() else {
            continue;
        };
        if !faults.is_empty() {
            wrong.push(format!(
                "{name} is valid and was not read: {}",
                faults[0].message
            ));
            continue;
        }
        let mut seen = Vec::new();
        if let Some(node) = &node {
            events(node, &mut seen);
        }
        if seen == expected(tree) {
            same += 1;
        } else {
            wrong.push(format!(
                "{name} reads otherwise:\n  {seen:?}\n  {:?}",
                expected(tree)
            ));
        }
    }
    println!(
        "YAML test suite: {same} read alike, {refused} refused on purpose, {failed} fail as they must"
    );
    assert!(
        wrong.is_empty(),
        "{} cases:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    assert!(
        same > 150 && refused > 50 && failed > 80,
        "the suite was not run whole"
    );
}
