//! A planned job as the text of its log. It decides nothing: what it is given is what it writes.

use crate::plan::{Job, Line, to_five};
use crate::tables::{Ends, Tenure};

pub fn text_of(job: &Job) -> String {
    let mut out = String::from("---\n");
    let mut line = |text: String| {
        out.push_str(&text);
        out.push('\n');
    };
    line(format!("title: {}", plain(&job.title)));
    line(format!("ref: {}", job.reference));
    line(format!("location: {}", job.client.location));
    line(format!("client: {}", job.client.key));
    line(format!("place: {}", plain(&job.place)));
    if job.client.rented == Tenure::Rented {
        line("tenure: rented".to_owned());
    }
    if let Some(quote) = &job.quote {
        line(format!(
            "quoted: {{hours: {}, labour: {}, materials: {}, basis: {}}}",
            length(30 * quote.half_hours),
            hundredths(quote.labour),
            hundredths(quote.materials),
            plain(&quote.basis)
        ));
    }
    if let Some(charge) = &job.charge {
        let parking = if charge.parking > 0 {
            format!(", parking: {}", hundredths(charge.parking))
        } else {
            String::new()
        };
        line(format!(
            "charged: {{labour: {}, materials: {}{parking}, on: {}}}",
            hundredths(charge.labour),
            hundredths(charge.materials),
            charge.on
        ));
    }
    line("visits:".to_owned());
    for visit in &job.visits {
        line(format!("  - date: {}", visit.day));
        if visit.kind != "planned" {
            line(format!("    kind: {}", visit.kind));
        }
        line(format!("    from: {}", clock(visit.from)));
        line(format!("    to: {}", clock(visit.to)));
        if visit.rest > 0 {
            line(format!("    break: {}", length(visit.rest)));
        }
        let miles = job.client.miles;
        line(format!(
            "    travel: {{miles: {miles}, time: {}}}",
            length(to_five(6.0 + 2.6 * f64::from(miles)))
        ));
        if visit.parking > 0 {
            line(format!(
                "    parking: {}",
                hundredths(i64::from(visit.parking))
            ));
        }
        if let Some(note) = visit.note {
            line(format!("    note: {}", plain(note)));
        }
        if !visit.tasks.is_empty() {
            line("    tasks:".to_owned());
        }
        for task in &visit.tasks {
            let count = task
                .count
                .map_or(String::new(), |count| format!("count: {count}, "));
            line(format!(
                "      - {{task: {}, {count}time: {}}}",
                task.key,
                length(task.minutes)
            ));
        }
    }
    if let Some((found, room, seen, right)) = &job.finding {
        line("findings:".to_owned());
        line(format!("  - what: {}", plain(found.what)));
        line(format!("    where: {}", plain(room)));
        line(format!("    code: {}", found.code));
        line(format!("    done: {}", plain(found.done)));
        if found.ends == Ends::ThatDay && matches!(found.code, "C1" | "C2" | "FI") {
            line(format!("    put_right: {right}"));
        }
        line(format!("    visit: {seen}"));
        let how = if matches!(found.code, "C3" | "note") && job.reference.ends_with(['2', '6', '9'])
        {
            "in person"
        } else {
            job.client.in_writing
        };
        line(format!(
            "    told: {{who: {}, on: {seen}, how: {how}}}",
            job.client.role
        ));
    }
    if !job.readings.is_empty() {
        line("readings:".to_owned());
    }
    for reading in &job.readings {
        line(format!("  - {reading}"));
    }
    if !job.lines.is_empty() {
        line("materials:".to_owned());
    }
    for Line {
        item,
        unit,
        count,
        cost,
        charge,
    } in &job.lines
    {
        let unit = if unit.is_empty() {
            String::new()
        } else {
            format!("unit: {unit}, ")
        };
        line(format!(
            "  - {{item: {}, count: {count}, {unit}cost: {}, charge: {}{}}}",
            plain(item),
            hundredths(*cost),
            hundredths(*charge),
            came_back(job, item)
        ));
    }
    if let Some((what, labour, on)) = &job.extra {
        line("extras:".to_owned());
        line(format!(
            "  - {{what: {}, labour: {}, agreed: {{who: {}, on: {on}}}}}",
            plain(what),
            hundredths(*labour),
            job.client.role
        ));
    }
    if let Some((inspected, sent)) = &job.sent {
        line(format!("report: {{inspected: {inspected}, sent: {sent}}}"));
    }
    line("---".to_owned());
    line(String::new());
    line(job.body.join(" "));
    out
}

/// The days on which a reviewed fitting was gone back to: each free return to a downlight is for one driver.
fn came_back(job: &Job, item: &str) -> String {
    if item != "Lantick fire-rated downlight" {
        return String::new();
    }
    let days: Vec<String> = job
        .visits
        .iter()
        .filter(|visit| visit.kind == "guarantee")
        .filter(|visit| visit.tasks.iter().any(|task| task.key == "downlight"))
        .map(|visit| visit.day.to_string())
        .collect();
    if days.is_empty() {
        return String::new();
    }
    format!(", came_back: [{}]", days.join(", "))
}

/// A YAML scalar, in quotation marks where a flow list or mapping would read it otherwise.
pub fn plain(text: &str) -> String {
    let needs = text.contains([',', ':', '#', '{', '}', '[', ']', '"', '\\'])
        || text.starts_with(|first: char| !first.is_ascii_alphabetic());
    if needs {
        format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
    } else {
        text.to_owned()
    }
}

/// `2h`, `45m` or `2h15`, from minutes.
pub fn length(minutes: u32) -> String {
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes}m"),
        (hours, 0) => format!("{hours}h"),
        (hours, minutes) => format!("{hours}h{minutes:02}"),
    }
}

/// `08:15`, from minutes after midnight.
pub fn clock(minutes: u32) -> String {
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

/// `12.05`, from hundredths: pence, or hundredths of an ohm.
pub fn hundredths(amount: i64) -> String {
    format!("{}.{:02}", amount / 100, amount % 100)
}

pub fn in_words(count: u32) -> String {
    const WORDS: [&str; 21] = [
        "no",
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
        "thirteen",
        "fourteen",
        "fifteen",
        "sixteen",
        "seventeen",
        "eighteen",
        "nineteen",
        "twenty",
    ];
    match count {
        0..=20 => WORDS[count as usize].to_owned(),
        21..=29 => format!("twenty-{}", WORDS[count as usize - 20]),
        30 => "thirty".to_owned(),
        31..=39 => format!("thirty-{}", WORDS[count as usize - 30]),
        40 => "forty".to_owned(),
        41..=49 => format!("forty-{}", WORDS[count as usize - 40]),
        more => more.to_string(),
    }
}

pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

pub fn slug(title: &str) -> String {
    let words: Vec<String> = title
        .split(|letter: char| !letter.is_ascii_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    words.join("-")
}
