//! Draws the jobs: who for, what, how long, on which days, what was found and what was charged. It writes nothing.

use std::collections::BTreeSet;

use crate::days::{Day, LAST_DAY};
use crate::dice::Dice;
use crate::money::{add_money, materials};
use crate::seen::{add_body, add_finding, add_readings};
use crate::tables::*;
use crate::text::{capital, in_words};
use crate::visits::{draw, free_returns, plan_visits, search_from};

pub struct Visit {
    pub day: Day,
    pub kind: &'static str,
    pub from: u32,
    pub to: u32,
    pub rest: u32,
    pub parking: u32,
    pub note: Option<&'static str>,
    pub tasks: Vec<Timed>,
}

impl Visit {
    /// Minutes on site.
    pub fn minutes(&self) -> u32 {
        self.to - self.from - self.rest
    }
}

#[derive(Clone)]
pub struct Timed {
    pub key: &'static str,
    /// `None` where the type is counted by the job, or where an earlier visit has the count.
    pub count: Option<u32>,
    pub minutes: u32,
}

pub struct Line {
    pub item: &'static str,
    pub unit: &'static str,
    pub count: u32,
    pub cost: i64,
    pub charge: i64,
}

pub struct Job {
    pub reference: String,
    pub title: String,
    pub recipe: &'static Recipe,
    pub client: &'static Client,
    pub place: String,
    pub year: i32,
    pub quote: Option<Quote>,
    pub charge: Option<Charge>,
    pub visits: Vec<Visit>,
    pub finding: Option<(&'static Found, String, Day, Day)>,
    pub readings: Vec<String>,
    pub lines: Vec<Line>,
    pub extra: Option<(&'static str, i64, Day)>,
    pub sent: Option<(Day, Day)>,
    pub body: Vec<&'static str>,
}

impl Job {
    /// The day of the last visit that is no free return.
    pub fn finished(&self) -> Day {
        self.visits
            .iter()
            .filter(|visit| visit.kind != "guarantee")
            .map(|visit| visit.day)
            .max()
            .expect("a job has a visit")
    }
}

pub struct Quote {
    pub half_hours: u32,
    pub labour: i64,
    pub materials: i64,
    pub basis: String,
}

pub struct Charge {
    pub labour: i64,
    pub materials: i64,
    pub parking: i64,
    pub on: Day,
}

/// Every log, in order of ref. `taken` holds the days that other logs use, and gains those of these; a ref in
/// `refs` is another log's, and its turn is passed over.
pub fn plan(taken: &mut BTreeSet<Day>, refs: &BTreeSet<String>) -> Vec<Job> {
    let mut deck: Vec<&'static Recipe> = RECIPES
        .iter()
        .flat_map(|recipe| std::iter::repeat_n(recipe, recipe.jobs))
        .collect();
    let mut dice = Dice::new(0x6a6f_6273);
    for last in (1..deck.len()).rev() {
        deck.swap(last, dice.below(last as u64 + 1) as usize);
    }
    let mut jobs: Vec<Job> = Vec::new();
    let mut titles = BTreeSet::new();
    let mut kinds = deck.into_iter().cycle();
    let months = std::iter::once((2023, 12))
        .chain((2024..=2026).flat_map(|year| (1..=12).map(move |month| (year, month))));
    for (year, month) in months.filter(|month| *month <= (LAST_DAY.0, LAST_DAY.1)) {
        for slot in 0..4 {
            let recipe = kinds.next().expect("the deck goes round");
            let reference = format!("{year}-{:03}", 5 * month - 4 + slot);
            if refs.contains(&reference) {
                continue;
            }
            let job = plan_job(recipe, reference, (year, month, slot), &mut titles, taken);
            jobs.push(job);
        }
    }
    free_returns(&mut jobs, taken);
    jobs
}

pub fn plan_job(
    recipe: &'static Recipe,
    reference: String,
    when: (i32, u32, u32),
    titles: &mut BTreeSet<String>,
    taken: &mut BTreeSet<Day>,
) -> Job {
    let (year, month, slot) = when;
    let mut dice = Dice::new(u64::from(month) + 100 * u64::from(slot) + 1000 * year as u64);
    let client = pick_client(recipe, &mut dice);
    let count = dice.between(recipe.count.0, recipe.count.1);
    let title = name_job(recipe, client, count, titles, &mut dice);
    let room = dice.pick(for_location(&ROOMS, client.location));
    let place = match dice.pick(client.places) {
        place if place.contains(',') => place.to_owned(),
        // A room of one word may stand before the address: the leak gate looks for parts of two words and more.
        place if !room.contains(' ') => format!("{}, {place}", capital(room)),
        place => place.to_owned(),
    };

    let mut wanted = vec![(recipe.task, count)];
    for (key, chance, low, high) in recipe.with {
        if dice.chance(*chance) {
            wanted.push((*key, dice.between(*low, *high)));
        }
    }
    let years = f64::from(year - 2024) + f64::from(month) / 12.0;
    let job_effect = (0.15 * dice.normal()).exp() * (-0.06 * years).exp();
    let bad_day = if dice.chance(3) { 3.0 } else { 1.0 };
    let mut timed = Vec::new();
    for (place_in_list, (key, count)) in wanted.iter().enumerate() {
        let bad_day = if place_in_list == 0 { bad_day } else { 1.0 };
        timed.push(draw(
            task_of(key),
            *count,
            client.location,
            job_effect * bad_day,
            &mut dice,
        ));
    }

    let first = search_from(year, month, slot, &mut dice);
    let visits = plan_visits(recipe, client, timed, first, taken, &mut dice);
    let lines = materials(recipe, count, year, &mut dice);
    let mut job = Job {
        reference,
        title,
        recipe,
        client,
        place,
        year,
        quote: None,
        charge: None,
        visits,
        finding: None,
        readings: Vec::new(),
        lines,
        extra: None,
        sent: None,
        body: Vec::new(),
    };
    add_finding(&mut job, room, &mut dice);
    add_readings(&mut job, room, &mut dice);
    add_money(&mut job, &wanted, &mut dice);
    if recipe.task == "condition-report" {
        let inspected = job
            .visits
            .iter()
            .filter(|visit| visit.kind == "planned")
            .map(|visit| visit.day)
            .max()
            .unwrap_or(job.finished());
        job.sent = Some((inspected, inspected.plus(dice.between(0, 4) as i64)));
    }
    add_body(&mut job, &mut dice);
    job
}

pub fn pick_client(recipe: &Recipe, dice: &mut Dice) -> &'static Client {
    let at: Vec<&Client> = CLIENTS
        .iter()
        .filter(|client| recipe.at.contains(&client.location))
        .collect();
    let mut left = dice.below(at.iter().map(|client| u64::from(client.share)).sum()) as u32;
    for client in &at {
        if left < client.share {
            return client;
        }
        left -= client.share;
    }
    unreachable!("the shares add up to what was drawn from")
}

/// A title that no other short log has.
pub fn name_job(
    recipe: &Recipe,
    client: &Client,
    count: u32,
    titles: &mut BTreeSet<String>,
    dice: &mut Dice,
) -> String {
    let patterns = if count == 1 { recipe.one } else { recipe.many };
    let rooms = match recipe.rooms {
        [] => for_location(&ROOMS, client.location),
        rooms => rooms,
    };
    let (pattern, room) = (
        dice.below(patterns.len() as u64) as usize,
        dice.below(rooms.len() as u64) as usize,
    );
    for step in 0..patterns.len() * rooms.len() {
        let room = rooms[(room + step) % rooms.len()];
        let pattern = patterns[(pattern + step / rooms.len()) % patterns.len()];
        let title = pattern
            .replace("{N}", &capital(&in_words(count)))
            .replace("{n}", &in_words(count))
            .replace("{room}", room);
        if titles.insert(title.clone()) {
            return title;
        }
    }
    unreachable!("there are more titles than jobs of a kind at one kind of place")
}

pub fn task_of(key: &str) -> &'static Task {
    TASKS
        .iter()
        .find(|task| task.key == key)
        .expect("recipes name only tasks of the table")
}

pub fn for_location(
    table: &'static [(&'static str, &'static [&'static str])],
    location: &str,
) -> &'static [&'static str] {
    table
        .iter()
        .find(|row| row.0 == location)
        .expect("every location has a row")
        .1
}

/// Minutes to the nearest five.
pub fn to_five(minutes: f64) -> u32 {
    5 * (minutes / 5.0).round() as u32
}
