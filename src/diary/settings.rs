//! `diary.yaml` into [`Settings`].

use std::collections::BTreeMap;

use jiff::tz::TimeZone;

use crate::diagnose::{Code, Span};
use crate::model::{
    Daywork, Minutes, Money, OwnFigures, PriceBookItem, Private, Rates, Settings, TaskType, Trader,
    Unit, Year,
};

use super::fields::{Fields, Reader};
use super::figures;
use super::job;
use super::keys::settings as keys;
use super::keys::{Key, log};
use super::shorten::shorten;
use super::visit::stand_in_zone;
use super::yaml::{Node, Value};

/// Settings where the diary gives none: enough to go on reading.
pub fn stand_in() -> Settings {
    Settings {
        title: String::new(),
        trader: Trader::default(),
        address: String::new(),
        language: "en-GB".to_owned(),
        timezone: stand_in_zone(),
        rates: Private::new(Rates {
            currency: "GBP".to_owned(),
            hour: Money::NOUGHT,
            day: Money::NOUGHT,
            day_length: Minutes::new(8 * 60),
            call_out: Money::NOUGHT,
            mile: Money::NOUGHT,
            markup_percent: 0.0,
            vat_percent: 0.0,
            daywork: Daywork::default(),
        }),
        years: Vec::new(),
        locations: BTreeMap::new(),
        tasks: BTreeMap::new(),
        materials: Vec::new(),
        guarantee_years: 0,
        guarantee_not_in_it: None,
        how_long: false,
        fewest_jobs: 5,
        keep_private: Vec::new(),
        figures: OwnFigures::default(),
    }
}

/// Reads `diary.yaml`. What cannot be read keeps its stand-in value, its fault told.
pub fn read(reader: &mut Reader<'_>, node: &Node) -> Settings {
    let mut settings = stand_in();
    let Some(fields) = reader.fields(node, "diary.yaml", keys::DIARY) else {
        return settings;
    };
    let start = Span {
        end: node.span.start,
        ..node.span
    };
    if let Some(title) = reader
        .required(
            &fields,
            "title",
            "diary.yaml",
            start,
            "Write title: and the name of the diary.",
        )
        .and_then(|node| reader.text(node))
    {
        settings.title = title.value;
    }
    if let Some(fields) = part(reader, &fields, "trader", keys::TRADER) {
        let mut text = |key: &str| {
            fields
                .get(key)
                .and_then(|node| reader.text(node))
                .map(|at| at.value)
                .unwrap_or_default()
        };
        settings.trader = Trader {
            name: text("name"),
            trading_as: text("trading_as"),
            phone: text("phone"),
            email: text("email"),
        };
    }
    read_site(reader, &fields, start, &mut settings);
    if let Some(fields) = part(reader, &fields, "rates", keys::RATES) {
        settings.rates = Private::new(read_rates(reader, &fields, settings.rates.in_office()));
    }
    if let Some(node) = fields.get("years") {
        let items = reader.list(
            node,
            "Write each year after a dash: - {from: 2025-04-06, pay: 34000}.",
        );
        let mut years: Vec<Year> = items
            .iter()
            .filter_map(|node| read_year(reader, node))
            .collect();
        years.sort_by_key(|year| year.from);
        settings.years = years.into_iter().map(Private::new).collect();
    }
    if let Some(node) = fields.get("locations") {
        for (key, node) in entries(reader, node, "locations", "rented-flat: Rented flat") {
            if let Some(name) = reader.text(node) {
                settings.locations.insert(key.0.to_owned(), name.value);
            }
        }
    }
    if let Some(node) = fields.get("tasks") {
        for ((key, span), node) in entries(
            reader,
            node,
            "tasks",
            "socket: {name: Change a socket outlet, unit: each}",
        ) {
            if let Some(task) = read_task(reader, key, span, node) {
                settings.tasks.insert(key.to_owned(), task);
            }
        }
    }
    if let Some(node) = fields.get("materials") {
        settings.materials = reader
            .list(
                node,
                "Write each after a dash: - {item: Junction box, unit: each, cost: 3.20}.",
            )
            .iter()
            .filter_map(|node| read_material(reader, node))
            .map(Private::new)
            .collect();
    }
    if let Some(fields) = part(reader, &fields, "guarantee", log::GUARANTEE) {
        if let Some(years) = fields
            .get("years")
            .and_then(|node| job::read_years(reader, node))
        {
            settings.guarantee_years = years.value;
        }
        settings.guarantee_not_in_it = fields
            .get("not_in_it")
            .and_then(|node| reader.text(node))
            .map(|at| at.value);
    }
    if let Some(fields) = part(reader, &fields, "public", keys::PUBLIC) {
        settings.how_long = fields
            .get("how_long")
            .and_then(|node| reader.truth(node))
            .unwrap_or_default();
        if let Some(fewest) = fields.get("fewest_jobs").and_then(|node| {
            reader.number(
                node,
                "the fewest jobs behind a public figure",
                keys::FEWEST,
                keys::MOST_FEWEST,
            )
        }) {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "checked to be within 3 to 1000"
            )]
            let fewest = fewest.value.ceil() as usize;
            settings.fewest_jobs = fewest;
        }
    }
    if let Some(node) = fields.get("keep_private") {
        settings.keep_private = reader.texts(node).into_iter().map(Private::new).collect();
    }
    if let Some(node) = fields.get("figures") {
        settings.figures = figures::read(reader, node);
    }
    settings
}

fn part<'t>(
    reader: &mut Reader<'_>,
    fields: &Fields<'t>,
    key: &str,
    keys: &[Key],
) -> Option<Fields<'t>> {
    let node = fields.get(key)?;
    reader.fields(node, key, keys)
}

/// A map whose keys are the diary's own: kebab-case words, so that they can be typed and stand in addresses.
fn entries<'t>(
    reader: &mut Reader<'_>,
    node: &'t Node,
    what: &str,
    like: &str,
) -> Vec<((&'t str, Span), &'t Node)> {
    let Value::Map(entries) = &node.value else {
        reader.error(
            Code::WrongShape,
            node.span,
            format!(
                "{what} are written as keys with values, and this is {}",
                node.shape()
            ),
            format!("Write {like}."),
        );
        return Vec::new();
    };
    let mut kept = Vec::new();
    for (key, node) in entries {
        let fits = !key.is_empty()
            && key
                .chars()
                .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
            && !key.starts_with('-');
        if fits {
            kept.push(((key.value.as_str(), key.span), node));
        } else {
            reader.error(
                Code::UnknownWord,
                key.span,
                format!("{} cannot be a key of {what}", shorten(key)),
                format!("Use small letters, figures and hyphens: {like}."),
            );
        }
    }
    kept
}

fn read_site(reader: &mut Reader<'_>, fields: &Fields<'_>, start: Span, settings: &mut Settings) {
    let Some(node) = reader.required(
        fields,
        "site",
        "diary.yaml",
        start,
        "Write site: {address: https://example.com, language: en-GB, timezone: Europe/London}.",
    ) else {
        return;
    };
    let Some(site) = reader.fields(node, "site", keys::SITE) else {
        return;
    };
    if let Some(address) = reader
        .required(
            &site,
            "address",
            "site",
            node.span,
            "Write where the site will stand: address: https://example.com.",
        )
        .and_then(|node| reader.text(node))
    {
        match read_address(&address) {
            Some(plain) => settings.address = plain,
            None => reader.error(
                Code::BadAddress,
                address.span,
                format!("{} is no address of a site", shorten(&address)),
                "Write https:// and the name: https://example.com, or https://example.com/diary.",
            ),
        }
    }
    if let Some(language) = site.get("language").and_then(|node| reader.text(node)) {
        let fits = !language.is_empty()
            && language.len() <= 35
            && language
                .chars()
                .all(|c| c.is_ascii_alphanumeric() || c == '-');
        if fits {
            settings.language = language.value;
        } else {
            reader.error(
                Code::UnknownWord,
                language.span,
                format!("{} is no language tag", shorten(&language)),
                "Write en-GB, or another tag such as cy.",
            );
        }
    }
    if let Some(zone) = site.get("timezone").and_then(|node| reader.text(node)) {
        match TimeZone::get(&zone) {
            Ok(found) => settings.timezone = found,
            Err(_) => reader.error(
                Code::BadTimezone,
                zone.span,
                format!("{} is no time zone", shorten(&zone)),
                "Write a continent and a city: Europe/London.",
            ),
        }
    }
}

/// `https://name[:port][/path]`, without a slash at its end; nothing that would break an attribute.
fn read_address(text: &str) -> Option<String> {
    let rest = text
        .strip_prefix("https://")
        .or_else(|| text.strip_prefix("http://"))?;
    let rest = rest.trim_end_matches('/');
    let fits = !rest.is_empty()
        && !rest.split('/').any(|part| part == "." || part == "..")
        && !rest.starts_with(['/', '.', ':'])
        && rest
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_' | ':' | '/' | '~'));
    let scheme = if text.starts_with("https://") {
        "https://"
    } else {
        "http://"
    };
    fits.then(|| format!("{scheme}{rest}"))
}

/// The percentage additions of daywork; what is not given or cannot be read is none.
fn read_daywork(reader: &mut Reader<'_>, rates: &Fields<'_>) -> Daywork {
    let Some(fields) = part(reader, rates, "daywork", keys::DAYWORK) else {
        return Daywork::default();
    };
    let mut percent = |key: &str| {
        let node = fields.get(key)?;
        let at = reader.number(node, "a percentage", 0.0, keys::MOST_PERCENT)?;
        Some(at.value)
    };
    Daywork {
        labour_percent: percent("labour_percent"),
        materials_percent: percent("materials_percent"),
        plant_percent: percent("plant_percent"),
    }
}

fn read_rates(reader: &mut Reader<'_>, fields: &Fields<'_>, stand_in: &Rates) -> Rates {
    let mut money = |key: &str| {
        fields
            .get(key)
            .and_then(|node| reader.money(node))
            .map_or(Money::NOUGHT, |at| at.value)
    };
    let (hour, day, call_out, mile) = (
        money("hour"),
        money("day"),
        money("call_out"),
        money("mile"),
    );
    let mut percent = |key: &str| {
        fields
            .get(key)
            .and_then(|node| reader.number(node, "a percentage", 0.0, keys::MOST_PERCENT))
            .map_or(0.0, |at| at.value)
    };
    let (markup_percent, vat_percent) = (percent("markup_percent"), percent("vat_percent"));
    for (key, percent) in [
        ("markup_percent", markup_percent),
        ("vat_percent", vat_percent),
    ] {
        if percent > 100.0 {
            reader.warning(
                Code::OddRate,
                fields
                    .get(key)
                    .map_or(fields.key_span(key), |node| node.span),
                format!("{percent} per cent is more than the whole again"),
                "Write what is put on, in per cent: 15 makes 115.00 of 100.00.",
            );
        }
    }
    if hour > Money::NOUGHT && hour < mile {
        reader.warning(
            Code::OddRate,
            fields
                .get("hour")
                .map_or(fields.key_span("hour"), |node| node.span),
            format!("an hour at {hour} is less than a mile at {mile}"),
            "Look at both: hour: 42.00, mile: 0.45.",
        );
    }
    let currency = fields.get("currency").and_then(|node| {
        let text = reader.text(node)?;
        let fits = text.len() == 3 && text.chars().all(|c| c.is_ascii_uppercase());
        if !fits {
            reader.error(
                Code::UnknownWord,
                text.span,
                format!("{} is no currency code", shorten(&text)),
                "Write its three letters: GBP.",
            );
        }
        fits.then_some(text.value)
    });
    let daywork = read_daywork(reader, fields);
    Rates {
        daywork,
        currency: currency.unwrap_or_else(|| stand_in.currency.clone()),
        hour,
        day,
        call_out,
        mile,
        markup_percent,
        vat_percent,
        day_length: fields
            .get("day_length")
            .and_then(|node| reader.length(node))
            .map_or(stand_in.day_length, |at| at.value),
    }
}

fn read_year(reader: &mut Reader<'_>, node: &Node) -> Option<Year> {
    let fields = reader.fields(node, "a year", keys::YEAR)?;
    let from = reader
        .required(
            &fields,
            "from",
            "this year",
            node.span,
            "Write its first day: from: 2025-04-06.",
        )
        .and_then(|node| reader.date(node));
    let mut money = |key: &str| {
        fields
            .get(key)
            .and_then(|node| reader.money(node))
            .map_or(Money::NOUGHT, |at| at.value)
    };
    let (pay, overheads) = (money("pay"), money("overheads"));
    if pay == Money::NOUGHT {
        reader.warning(
            Code::YearNoPay,
            fields.get("pay").map_or(node.span, |node| node.span),
            "this year is to pay nothing",
            "Write what you must take home from it: pay: 34000. What an hour has to earn is reckoned from that.",
        );
    }
    Some(Year {
        pay,
        overheads,
        weeks: fields
            .get("weeks")
            .and_then(|node| reader.number(node, "weeks of a year", 0.0, keys::MOST_WEEKS))
            .map_or(0.0, |at| at.value),
        admin: fields
            .get("admin")
            .and_then(|node| reader.length(node))
            .map_or(Minutes::NOUGHT, |at| at.value),
        from: from?.value,
    })
}

fn read_task(reader: &mut Reader<'_>, key: &str, span: Span, node: &Node) -> Option<TaskType> {
    let fields = reader.fields(node, "a task type", keys::TASK)?;
    let name = reader
        .required(
            &fields,
            "name",
            &format!("the task type {key}"),
            span,
            "Write what readers should see: name: Change a socket outlet.",
        )
        .and_then(|node| reader.text(node));
    let unit = fields.get("unit").and_then(|node| reader.text(node));
    Some(TaskType {
        name: name?.value,
        unit: unit.map_or(Unit::Each, |unit| Unit::from_word(&unit)),
        also: fields
            .get("also")
            .map_or_else(Vec::new, |node| reader.texts(node))
            .into_iter()
            .map(|at| at.value)
            .collect(),
        span,
    })
}

fn read_material(reader: &mut Reader<'_>, node: &Node) -> Option<PriceBookItem> {
    let fields = reader.fields(node, "a line of the price book", keys::MATERIAL)?;
    let item = reader
        .required(
            &fields,
            "item",
            "this line",
            node.span,
            "Write what it is: item: Junction box.",
        )
        .and_then(|node| reader.text(node));
    Some(PriceBookItem {
        unit: fields
            .get("unit")
            .and_then(|node| reader.text(node))
            .map(|at| at.value),
        cost: fields
            .get("cost")
            .and_then(|node| reader.money(node))
            .map(|at| at.value),
        also: fields
            .get("also")
            .map_or_else(Vec::new, |node| reader.texts(node))
            .into_iter()
            .map(|at| at.value)
            .collect(),
        item: item?.value,
    })
}
