//! `prices/NAME.yaml` into a [`Price`]: the question and the answer that was given.

use crate::diagnose::{Code, FileId, Span};
use crate::model::price::{self, Given, GivenLine, Price, Question, Wanted};
use crate::model::{Money, Settings};

use super::fields::{Fields, Reader};
use super::job::unknown_location;
use super::keys::{log, price as keys};
use super::shorten::shorten;
use super::visit::unknown_task;
use super::yaml::Node;

/// Reads a price; `None` where it asks for no task.
pub fn read(
    reader: &mut Reader<'_>,
    file: FileId,
    name: &str,
    node: &Node,
    settings: Option<&Settings>,
) -> Option<Price> {
    let fields = reader.fields(node, "a price", keys::PRICE)?;
    let start = Span::file_start(file);
    let help = "Write what the job is made of: tasks: [{task: downlight, count: 6}].";
    let list = reader.required(&fields, "tasks", "this price", start, help)?;
    let items = reader.list(list, help);
    if items.is_empty() {
        reader.error(
            Code::MissingKey,
            list.span,
            "this price asks for no task",
            help,
        );
    }
    let tasks: Vec<Wanted> = items
        .iter()
        .filter_map(|node| wanted(reader, node, settings))
        .collect();
    if tasks.is_empty() {
        return None;
    }
    let money = |reader: &mut Reader<'_>, key: &str| {
        let node = fields.get(key)?;
        reader.money(node).map(|at| at.value)
    };
    let number = |reader: &mut Reader<'_>, key: &str, what, low, high| {
        let node = fields.get(key)?;
        reader.number(node, what, low, high).map(|at| at.value)
    };
    let text = |reader: &mut Reader<'_>, key: &str| {
        let node = fields.get(key)?;
        reader.text(node)
    };
    let location = text(reader, "location");
    if let (Some(location), Some(settings)) = (&location, settings)
        && !settings.locations.contains_key(&location.value)
    {
        unknown_location(reader, location, settings);
    }
    let visits = number(reader, "visits", "visits of a job", 1.0, keys::MOST_VISITS);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "from 1 to 1,000"
    )]
    let question = Question {
        tasks,
        location: location.map(|at| at.value),
        visits: visits.map(|visits| visits.round() as u32),
        materials: money(reader, "materials").unwrap_or_default(),
        parking: money(reader, "parking").unwrap_or_default(),
        miles: number(reader, "miles", "miles of a trip", 0.0, log::MOST_MILES).unwrap_or_default(),
        chance: number(reader, "chance", "a chance in a hundred", 1.0, 99.0),
    };
    Some(Price {
        file,
        name: name.to_owned(),
        title: text(reader, "title").map(|at| at.value).unwrap_or_default(),
        client: text(reader, "client"),
        question,
        answer: fields.get("answer").and_then(|node| answer(reader, node)),
    })
}

fn wanted(reader: &mut Reader<'_>, node: &Node, settings: Option<&Settings>) -> Option<Wanted> {
    let fields = reader.fields(node, "a task", keys::TASK)?;
    let help = "Write which: task: downlight.";
    let task = reader.required(&fields, "task", "this task", node.span, help)?;
    let task = reader.text(task)?;
    if let Some(settings) = settings
        && !settings.tasks.contains_key(&task.value)
    {
        unknown_task(reader, &task, settings);
    }
    let count = match fields.get("count") {
        Some(node) => {
            reader
                .number(node, "a count", keys::LEAST, keys::MOST)?
                .value
        }
        None => 1.0,
    };
    let guess = match fields.get("guess") {
        Some(node) => {
            let text = reader.text(node)?;
            let range = price::guess(&text);
            if range.is_none() {
                reader.error(
                    Code::BadLength,
                    text.span,
                    format!("{} is no range of lengths", shorten(&text)),
                    "Write the least and the most that it may take: guess: 2h..4h.",
                );
            }
            Some(range?)
        }
        None => None,
    };
    Some(Wanted {
        task: task.value,
        count,
        guess,
    })
}

fn answer(reader: &mut Reader<'_>, node: &Node) -> Option<Given> {
    let fields = reader.fields(node, "an answer", keys::ANSWER)?;
    let help = "daywork price writes the whole answer: ask again with --write.";
    let mut part = |key: &str| reader.required(&fields, key, "this answer", node.span, help);
    let (on, minutes, labour, lines, total) = (
        part("on"),
        part("minutes"),
        part("labour_minutes"),
        part("lines"),
        part("total"),
    );
    let on = reader.date(on?)?.value;
    let minutes = reader.fields(minutes?, "the minutes", keys::MINUTES)?;
    let mut quantiles = [0.0; 4];
    for (key, quantile) in keys::MINUTES.iter().map(|key| key.name).zip(&mut quantiles) {
        let figure = reader.required(&minutes, key, "the minutes", node.span, help)?;
        *quantile = reader.number(figure, "minutes", 0.0, keys::LONGEST)?.value;
    }
    let labour_minutes = reader.number(labour?, "minutes", 0.0, keys::LONGEST)?.value;
    let lines = reader
        .list(lines?, help)
        .iter()
        .map(|node| line(reader, node))
        .collect::<Option<Vec<GivenLine>>>()?;
    let total = reader.money(total?)?.value;
    let by_the_day: Option<Money> = match fields.get("by_the_day") {
        Some(node) => Some(reader.money(node)?.value),
        None => None,
    };
    let warnings = fields
        .get("warnings")
        .map_or_else(Vec::new, |node| reader.texts(node));
    Some(Given {
        on,
        minutes: quantiles,
        labour_minutes,
        lines,
        total,
        by_the_day,
        warnings: warnings.into_iter().map(|at| at.value).collect(),
    })
}

fn line(reader: &mut Reader<'_>, node: &Node) -> Option<GivenLine> {
    let fields: Fields<'_> = reader.fields(node, "a line", keys::LINE)?;
    let help = "daywork price writes the whole answer: ask again with --write.";
    let what = reader.required(&fields, "what", "this line", node.span, help)?;
    let amount = reader.required(&fields, "amount", "this line", node.span, help)?;
    Some(GivenLine {
        what: reader.text(what)?.value,
        amount: reader.money(amount)?.value,
        how: fields
            .get("how")
            .and_then(|node| reader.text(node))
            .map(|at| at.value)
            .unwrap_or_default(),
    })
}
