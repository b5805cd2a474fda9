//! How long each task takes, and on which days: minutes are drawn, parted over days, and put on free ones.

use std::collections::BTreeSet;

use crate::days::{Day, LAST_DAY, Suits, free_day, last_day};
use crate::dice::Dice;
use crate::plan::{Job, Timed, Visit, task_of, to_five};
use crate::tables::*;

/// Minutes of one task: usual for its usual count, then less than in proportion, then by what this job is like.
pub fn draw(task: &Task, count: u32, location: &str, effect: f64, dice: &mut Dice) -> Timed {
    let spread = (task.high / task.low).ln() / 3.29;
    let spread = (spread * spread - 0.15 * 0.15).max(0.01).sqrt();
    let unit = (task.usual * (spread * dice.normal()).exp()).clamp(task.low, task.high);
    let slow = if task.slower.contains(&location) {
        1.25
    } else {
        1.0
    };
    let minutes = unit * in_proportion(task, count) * slow * effect;
    let counted = (task.unit != Unit::Job).then_some(count);
    Timed {
        key: task.key,
        count: counted,
        minutes: to_five(minutes).max(5),
    }
}

/// What `count` units come to in units of usual length: an exponent of 0.85, and 1 each at the usual count.
pub fn in_proportion(task: &Task, count: u32) -> f64 {
    let usual_count = match task.unit {
        Unit::Each => 2.0,
        Unit::Circuit => 8.0,
        Unit::Metre => 20.0,
        Unit::Job => 1.0,
    };
    if count == 1 {
        1.0
    } else {
        usual_count * (f64::from(count) / usual_count).powf(0.85)
    }
}

pub fn search_from(year: i32, month: u32, slot: u32, dice: &mut Dice) -> Day {
    let step = if (year, month) == (LAST_DAY.0, LAST_DAY.1) {
        4
    } else {
        7
    };
    Day::of(year, month, 2 + step * slot + dice.between(0, 3))
}

/// The visits of a job, in order of day, on days that nobody has taken; the days are taken by it.
pub fn plan_visits(
    recipe: &Recipe,
    client: &Client,
    mut timed: Vec<Timed>,
    first: Day,
    taken: &mut BTreeSet<Day>,
    dice: &mut Dice,
) -> Vec<Visit> {
    let mut visits = Vec::new();
    let fault_first = recipe.task == "fault-finding" && dice.chance(recipe.chances.0);
    if fault_first
        || dice.chance(if recipe.task == "fault-finding" {
            0
        } else {
            recipe.chances.0
        })
    {
        let day = free_day(first, taken, Suits::Evening);
        let minutes = if fault_first {
            timed.remove(0).minutes
        } else {
            to_five((45.0 * (0.35 * dice.normal()).exp()).clamp(25.0, 110.0))
        };
        let from = 5 * dice.between(212, 238);
        let to = (from + minutes + 5 * dice.between(2, 4)).min(23 * 60 + 55);
        let minutes = minutes.min(to - from - 5);
        let tasks = vec![Timed {
            key: "fault-finding",
            count: None,
            minutes,
        }];
        visits.push(Visit {
            day,
            kind: "call-out",
            from,
            to,
            rest: 0,
            parking: 0,
            note: None,
            tasks,
        });
    } else if dice.chance(recipe.chances.1) {
        let day = free_day(first, taken, Suits::Weekday);
        let from = 5 * dice.between(180, 195);
        visits.push(Visit {
            day,
            kind: "survey",
            from,
            to: from + 5 * dice.between(6, 11),
            rest: 0,
            parking: 0,
            note: None,
            tasks: Vec::new(),
        });
    }
    let start = visits.last().map_or(first, |visit: &Visit| {
        visit.day.plus(dice.between(1, 4) as i64)
    });
    plan_days(client, timed, start, taken, dice, &mut visits);
    let last = visits.last().expect("a job has a visit").day;
    if dice.chance(11)
        && last.plus(18) < last_day()
        && visits.iter().any(|visit| visit.kind == "planned")
    {
        let day = free_day(last.plus(dice.between(3, 9) as i64), taken, Suits::Weekday);
        let from = 5 * dice.between(168, 198);
        let tested = visits
            .iter()
            .flat_map(|visit| &visit.tasks)
            .any(|task| task.key == TEST);
        let minutes = 5 * dice.between(4, 8);
        let tasks = if tested {
            Vec::new()
        } else {
            vec![Timed {
                key: TEST,
                count: None,
                minutes,
            }]
        };
        let note = Some(if tested {
            "the part that had not come"
        } else {
            "tests that could not be done on the day"
        });
        visits.push(Visit {
            day,
            kind: "follow-up",
            from,
            to: from + minutes + 5 * dice.between(2, 4),
            rest: 0,
            parking: 0,
            note,
            tasks,
        });
    }
    for visit in &mut visits {
        let two_hours = visit.minutes() <= 120;
        if client.parking > 0 && dice.chance(60) && visit.from < 17 * 60 {
            visit.parking = if two_hours { 250 } else { client.parking };
        }
    }
    visits
}

/// Puts the tasks on planned days, as many as they need.
pub fn plan_days(
    client: &Client,
    timed: Vec<Timed>,
    start: Day,
    taken: &mut BTreeSet<Day>,
    dice: &mut Dice,
    visits: &mut Vec<Visit>,
) {
    let total: u32 = timed.iter().map(|task| task.minutes).sum();
    let saturday = client.location == LET && total <= 295 && dice.chance(80);
    let room = if saturday { 300 } else { 420 };
    let mut left = timed;
    let mut from_day = start;
    while !left.is_empty() {
        let today = take_minutes(&mut left, room);
        let work: u32 = today.iter().map(|task| task.minutes).sum();
        let day = free_day(
            from_day,
            taken,
            if saturday {
                Suits::Saturday
            } else {
                Suits::Weekday
            },
        );
        from_day = day.plus(1);
        let other = if saturday {
            5 * dice.between(4, 9)
        } else {
            5 * dice.between(4, 10)
        };
        let rest = match work {
            0..=200 => 0,
            201..=270 => 15,
            271..=340 => {
                if saturday {
                    15
                } else {
                    30
                }
            }
            _ => 45,
        };
        let from = match () {
            () if saturday => 600 + 5 * dice.between(0, 2),
            () if client.location == SHOP && work < 150 && dice.chance(40) => {
                390 + 5 * dice.between(0, 3)
            }
            () if work < 180 && dice.chance(45) => 5 * dice.between(156, 168),
            () => 5 * dice.between(96, 105),
        };
        visits.push(Visit {
            day,
            kind: "planned",
            from,
            to: from + work + other + rest,
            rest,
            parking: 0,
            note: None,
            tasks: today,
        });
    }
}

/// Takes tasks off the front until `room` minutes are full, and parts the one that does not fit.
pub fn take_minutes(left: &mut Vec<Timed>, room: u32) -> Vec<Timed> {
    let mut today = Vec::new();
    let mut free = room;
    while let Some(task) = left.first().cloned() {
        if task.minutes <= free {
            free -= task.minutes;
            today.push(left.remove(0));
            continue;
        }
        // A stub of an hour is not worth unloading for twice: the task waits for a day of its own.
        if free < 90 && !today.is_empty() {
            break;
        }
        let now = match task.count {
            Some(count) if count > 1 => (count * free / task.minutes).clamp(1, count - 1),
            _ => 0,
        };
        let minutes = match task.count {
            Some(count) if count > 1 => (task.minutes * now / count / 5 * 5).clamp(5, free),
            _ => free,
        };
        let (here, later) = match task.count {
            Some(count) if count > 1 => (Some(now), Some(count - now)),
            // The count stands once: the day after carries minutes alone.
            count => (count, None),
        };
        today.push(Timed {
            key: task.key,
            count: here,
            minutes,
        });
        left[0] = Timed {
            key: task.key,
            count: later,
            minutes: task.minutes - minutes,
        };
        break;
    }
    today
}

/// Free returns months later, each a visit in the log of the job that it is about.
pub fn free_returns(jobs: &mut [Job], taken: &mut BTreeSet<Day>) {
    let mut dice = Dice::new(0x6761_7261);
    for (key, pass_over, note) in RETURNS {
        let latest: Day = (2026, 5, 1).into();
        let job = jobs
            .iter_mut()
            .filter(|job| job.recipe.task == key && job.year >= 2024 && job.finished() < latest)
            .nth(pass_over)
            .expect("the record holds enough jobs of each kind that is come back to");
        let since = job.visits.last().expect("a job has a visit").day;
        let day = free_day(
            since.plus(dice.between(35, 190) as i64),
            taken,
            Suits::Weekday,
        );
        let minutes = 5 * dice.between(4, 11);
        let from = 5 * dice.between(102, 186);
        let count = (task_of(key).unit != Unit::Job).then_some(1);
        let tasks = vec![Timed {
            key,
            count,
            minutes,
        }];
        job.visits.push(Visit {
            day,
            kind: "guarantee",
            from,
            to: from + minutes + 5 * dice.between(2, 4),
            rest: 0,
            parking: 0,
            note: Some(note),
            tasks,
        });
    }
}
