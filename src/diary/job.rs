//! A job log's front matter into a [`Job`].

use crate::diagnose::{Code, FileId, Span, nearest};
use crate::model::{
    At, Body, Charged, Extra, Job, Material, Private, Publish, Quoted, Report, Settings, Tenure,
    page,
};

use super::came_back;
use super::fields::{Fields, Reader};
use super::film::{self, Beside, Order, Shelf};
use super::keys::log as keys;
use super::shorten::shorten;
use super::yaml::Node;
use super::{finding, reading, visit};

/// What a job is held against; `settings` is `None` where `diary.yaml` could not be read.
#[derive(Clone, Copy)]
pub struct Against<'a> {
    /// `diary.yaml`.
    pub settings: Option<&'a Settings>,
    /// The zone of clock times.
    pub zone: &'a jiff::tz::TimeZone,
    /// Captions files.
    pub shelf: &'a Shelf,
}

impl<'a> Against<'a> {
    /// Where a film of this log or page is named.
    pub fn beside(self, path: &'a str) -> Beside<'a> {
        Beside {
            path,
            shelf: self.shelf,
        }
    }
}

/// Reads a job log's front matter. `None` where what every job needs is missing or wrong; the rest is kept
/// without what could not be read.
pub fn read(
    reader: &mut Reader<'_>,
    file: FileId,
    path: &str,
    node: &Node,
    body: Body,
    against: Against<'_>,
) -> Option<Job> {
    let fields = reader.fields(node, "a job log", keys::JOB)?;
    let start = Span {
        end: node.span.start,
        ..node.span
    };
    let title = reader
        .required(
            &fields,
            "title",
            "this log",
            start,
            "Write title: and a few words that say what the job was.",
        )
        .and_then(|node| reader.text(node));
    let reference = reader
        .required(
            &fields,
            "ref",
            "this log",
            start,
            "Write ref: and the next free number, 2026-031 say.",
        )
        .and_then(|node| read_ref(reader, node));
    let mut visits: Vec<_> = match reader.required(
        &fields,
        "visits",
        "this log",
        start,
        "Write at least one visit with its date: visits: [{date: 2026-03-02, time: 2h}].",
    ) {
        None => Vec::new(),
        Some(node) => {
            let items = reader.list(node, "Write each visit after a dash: - date: 2026-03-02.");
            if items.is_empty() && matches!(&node.value, super::yaml::Value::List(_)) {
                reader.error(
                    Code::MissingKey,
                    node.span,
                    "this log has no visit",
                    "Write at least one with its date: - date: 2026-03-02.",
                );
            }
            items
                .iter()
                .filter_map(|node| visit::read(reader, node, against.zone, against.settings))
                .collect()
        }
    };
    visit::put_in_order(&mut visits);

    let text =
        |reader: &mut Reader<'_>, key: &str| fields.get(key).and_then(|node| reader.text(node));
    let location = text(reader, "location");
    check_location(
        reader,
        location.as_ref(),
        title.as_ref(),
        start,
        against.settings,
    );
    let (publish, publish_span) =
        read_publish(reader, &fields, title.as_ref().map_or(start, |t| t.span));
    let (guarantee_years, guarantee_not_in_it) = read_guarantee(reader, &fields);
    let job = Job {
        file,
        path: Private::new(path.to_owned()),
        slug: title
            .as_ref()
            .map(|title| page::slug(title))
            .unwrap_or_default(),
        location,
        client: text(reader, "client").map(Private::new),
        place: text(reader, "place").map(Private::new),
        tenure: fields
            .get("tenure")
            .and_then(|node| {
                reader.word(
                    node,
                    "tenure",
                    &[("rented", Tenure::Rented), ("owned", Tenure::Owned)],
                )
            })
            .map(|at| at.value),
        priced: text(reader, "priced").map(Private::new),
        quoted: fields
            .get("quoted")
            .and_then(|node| read_sum(reader, node, "a quote"))
            .map(Private::new),
        charged: fields
            .get("charged")
            .and_then(|node| read_sum(reader, node, "a charge"))
            .map(Private::new),
        uncharged: text(reader, "uncharged").map(Private::new),
        findings: items(
            reader,
            &fields,
            "findings",
            "- what: Circuit chart missing",
            finding::read,
        ),
        readings: items(
            reader,
            &fields,
            "readings",
            "- circuit: Ring, kitchen",
            reading::read,
        ),
        materials: items(
            reader,
            &fields,
            "materials",
            "- item: Junction box",
            read_material,
        ),
        plant: items(
            reader,
            &fields,
            "plant",
            "- {item: Tower, count: 2, unit: day, cost: 35.00}",
            read_material,
        )
        .into_iter()
        .map(Private::new)
        .collect(),
        extras: items(
            reader,
            &fields,
            "extras",
            "- what: label both outlets",
            read_extra,
        ),
        guarantee_years,
        guarantee_not_in_it,
        report: fields
            .get("report")
            .and_then(|node| read_report(reader, node))
            .map(Private::new),
        led_to: text(reader, "for").map(Private::new),
        publish,
        publish_span,
        subjects: fields
            .get("subjects")
            .map_or_else(Vec::new, |node| reader.texts(node)),
        series: text(reader, "series"),
        video: fields
            .get("video")
            .and_then(|node| film::read(reader, node, against.beside(path), Order::First)),
        was: fields
            .get("was")
            .map_or_else(Vec::new, |node| reader.texts(node)),
        coming: {
            let written = fields.get("coming");
            let mut coming = written.map_or_else(Vec::new, |node| reader.texts(node));
            coming.extend(page::promised(&body.links));
            coming
        },
        body,
        has_error: false,
        visits,
        title: title?,
        reference: Private::new(reference?),
    };
    finding_visits_exist(reader, &job);
    came_back::check(reader, &job);
    (!job.visits.is_empty()).then_some(job)
}

/// The items of a list key, each read by `read`.
fn items<T>(
    reader: &mut Reader<'_>,
    fields: &Fields<'_>,
    key: &str,
    like: &str,
    read: fn(&mut Reader<'_>, &Node) -> Option<T>,
) -> Vec<T> {
    let Some(node) = fields.get(key) else {
        return Vec::new();
    };
    reader
        .list(node, &format!("Write each after a dash: {like}."))
        .iter()
        .filter_map(|node| read(reader, node))
        .collect()
}

/// A ref is a file name too (its page in the office book), so it holds letters, figures and hyphens only.
fn read_ref(reader: &mut Reader<'_>, node: &Node) -> Option<At<String>> {
    let reference = reader.text(node)?;
    let fits = reference.len() <= 40
        && reference.starts_with(|c: char| c.is_ascii_alphanumeric())
        && reference
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || c == '-');
    if !fits {
        reader.error(
            Code::BadRef,
            reference.span,
            format!("{} cannot be a ref", shorten(&reference)),
            "Use letters, figures and hyphens only, 40 at most: 2026-031.",
        );
        return None;
    }
    Some(reference)
}

fn check_location(
    reader: &mut Reader<'_>,
    location: Option<&At<String>>,
    title: Option<&At<String>>,
    start: Span,
    settings: Option<&Settings>,
) {
    let Some(settings) = settings else { return };
    match location {
        None => reader.warning(
            Code::NoLocation,
            title.map_or(start, |title| title.span),
            "this log has no location type",
            "Write location: and one of those in diary.yaml; figures by location leave the job out until then.",
        ),
        Some(key) if !settings.locations.contains_key(&key.value) => {
            unknown_location(reader, key, settings);
        }
        Some(_) => {}
    }
}

/// Told of a location type that `diary.yaml` does not know.
pub fn unknown_location(reader: &mut Reader<'_>, key: &At<String>, settings: &Settings) {
    let help = match nearest(key, settings.locations.keys().map(String::as_str)) {
        Some(near) => format!("Write {near}, or add it to locations in diary.yaml."),
        None => "Add it to locations in diary.yaml, or use one that is there.".to_owned(),
    };
    reader.warning(
        Code::UnknownLocation,
        key.span,
        format!("diary.yaml knows no location type {}", shorten(key)),
        help,
    );
}

/// `publish`: a date, `ready`, or absent.
pub fn read_publish(
    reader: &mut Reader<'_>,
    fields: &Fields<'_>,
    otherwise: Span,
) -> (Publish, Span) {
    let Some(node) = fields.get("publish") else {
        return (Publish::Never, otherwise);
    };
    let Some(text) = reader.text(node) else {
        return (Publish::Never, node.span);
    };
    if text.value == "ready" {
        return (Publish::Ready, node.span);
    }
    if text.starts_with(|c: char| c.is_ascii_digit()) {
        let publish = reader
            .date(node)
            .map_or(Publish::Never, |date| Publish::On(date.value));
        return (publish, node.span);
    }
    reader.error(
        Code::UnknownWord,
        node.span,
        format!("{} is no way to publish", shorten(&text)),
        "Write ready, or the day from which readers may see it: 2026-03-20. Without publish it stays private.",
    );
    (Publish::Never, node.span)
}

fn read_guarantee(
    reader: &mut Reader<'_>,
    fields: &Fields<'_>,
) -> (Option<At<u32>>, Option<At<String>>) {
    let Some(fields) = fields
        .get("guarantee")
        .and_then(|node| reader.fields(node, "a guarantee", keys::GUARANTEE))
    else {
        return (None, None);
    };
    let years = fields
        .get("years")
        .and_then(|node| read_years(reader, node));
    let not_in_it = fields.get("not_in_it").and_then(|node| reader.text(node));
    (years, not_in_it)
}

/// Whole years of guarantee.
pub fn read_years(reader: &mut Reader<'_>, node: &Node) -> Option<At<u32>> {
    let years = reader.number(node, "years of guarantee", 0.0, keys::LONGEST_GUARANTEE)?;
    if years.value.fract() != 0.0 {
        reader.error(
            Code::BadNumber,
            years.span,
            format!("{} is not a whole number of years", years.value),
            "Write whole years: 6.",
        );
        return None;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "checked to be whole and within 0 to 50"
    )]
    Some(At::new(years.value as u32, years.span))
}

/// `quoted` and `charged` have the same parts.
fn read_sum(reader: &mut Reader<'_>, node: &Node, what: &str) -> Option<Charged> {
    let fields = reader.fields(node, what, keys::SUM)?;
    let mut money = |key: &str| fields.get(key).and_then(|node| reader.money(node));
    let (labour, materials, parking) = (money("labour"), money("materials"), money("parking"));
    Some(Quoted {
        hours: fields.get("hours").and_then(|node| reader.length(node)),
        labour,
        materials,
        parking,
        basis: fields.get("basis").and_then(|node| reader.text(node)),
        on: fields.get("on").and_then(|node| reader.date(node)),
        span: node.span,
    })
}

fn read_material(reader: &mut Reader<'_>, node: &Node) -> Option<Material> {
    let fields = reader.fields(node, "a material", keys::MATERIAL)?;
    let item = reader
        .required(
            &fields,
            "item",
            "this material",
            node.span,
            "Write what it is: item: Junction box.",
        )
        .and_then(|node| reader.text(node));
    let count = fields
        .get("count")
        .and_then(|node| reader.number(node, "a count", 0.0, keys::MOST));
    let for_all = fields.get("cost_for").and_then(|node| {
        reader.word(
            node,
            "way to say what a cost is for",
            &[("each", false), ("all", true)],
        )
    });
    let money = |reader: &mut Reader<'_>, key: &str| {
        fields
            .get(key)
            .and_then(|node| reader.money(node))
            .map(Private::new)
    };
    let came_back = fields.get("came_back").map(|node| {
        let help = "Write a day for each in brackets: [2026-04-15]; [] where none came back.";
        let days = reader.list(node, help).iter();
        Private::new(days.filter_map(|day| reader.date(day)).collect())
    });
    Some(Material {
        came_back,
        cost: money(reader, "cost"),
        charge: money(reader, "charge"),
        unit: fields
            .get("unit")
            .and_then(|node| reader.text(node))
            .map(|at| at.value),
        supplier: fields
            .get("supplier")
            .and_then(|node| reader.text(node))
            .map(Private::new),
        for_all: for_all.is_some_and(|at| at.value),
        counted: count.as_ref().map(|at| at.span),
        count: count.map_or(1.0, |at| at.value),
        item: item?,
    })
}

fn read_extra(reader: &mut Reader<'_>, node: &Node) -> Option<Private<Extra>> {
    let fields = reader.fields(node, "an extra", keys::EXTRA)?;
    let what = reader
        .required(
            &fields,
            "what",
            "this extra",
            node.span,
            "Write what was asked for: what: label both outlets.",
        )
        .and_then(|node| reader.text(node));
    let labour = fields.get("labour").and_then(|node| reader.money(node));
    let agreed = fields
        .get("agreed")
        .and_then(|node| reader.fields(node, "agreed", keys::AGREED));
    let (agreed_by, agreed_on) = agreed.map_or((None, None), |agreed| {
        (
            agreed.get("who").and_then(|node| reader.text(node)),
            agreed.get("on").and_then(|node| reader.date(node)),
        )
    });
    Some(Private::new(Extra {
        what: what?,
        labour,
        agreed_by,
        agreed_on,
    }))
}

fn read_report(reader: &mut Reader<'_>, node: &Node) -> Option<Report> {
    let fields = reader.fields(node, "a report", keys::REPORT)?;
    let mut date = |key: &str| fields.get(key).and_then(|node| reader.date(node));
    Some(Report {
        inspected: date("inspected"),
        due: date("due"),
        sent: date("sent"),
        span: node.span,
    })
}

/// A finding or reading that names the date of its visit names one that there was.
fn finding_visits_exist(reader: &mut Reader<'_>, job: &Job) {
    let named = job
        .findings
        .iter()
        .filter_map(|finding| finding.visit.as_ref())
        .chain(
            job.readings
                .iter()
                .filter_map(|reading| reading.visit.as_ref()),
        );
    for date in named {
        let date = date.in_office();
        if !visit::has_visit_on(&job.visits, date.value) {
            reader.error(
                Code::NoSuchVisit,
                date.span,
                format!("this log has no visit on {}", date.value),
                "Write the date of one of its visits.",
            );
        }
    }
}
