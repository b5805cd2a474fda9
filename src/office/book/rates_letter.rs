//! A rate review as a letter with the answer first. Puts figures in their places; its sentences are in
//! [`super::rates_words`] and the figures are [`crate::office::rates`]'s.

use serde::Serialize;

use crate::model::{Minutes, Money};
use crate::office::rates::{
    Earned, Part, Rates, cause_in_words, change_in_words, quoted_against_taken,
};
use crate::office::reckon::an_hour;
use crate::office::words::{amount, counted, figure, percent_of, whole};

use super::Book;
use super::figure::{FigureId, FigureRow, Of, over_words, review_days};
use super::hours_letter::ENOUGH;
use super::rates_words::{Step, Words};

/// Quoted jobs named in the letter; the page behind the figure has them all.
const FURTHEST: usize = 5;

/// The letter.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct RatesLetter {
    /// Its own address: `rates.html`.
    pub link: String,
    /// `Rates, year to 5 April 2027`.
    pub title: String,
    /// The docket's serial: `Year to 5 April 2027`.
    pub serial: String,
    /// The answer: `The year came out £590.00 short`.
    pub headline: String,
    /// The rest of the answer.
    pub say: String,
    /// Needed, charged, earned; empty without a visit or a year.
    pub three: Vec<RateFigure>,
    /// What the hours say.
    pub went_say: String,
    /// Where the hours went; empty of none.
    pub went: Vec<WentRow>,
    /// Their sum.
    pub went_total: String,
    /// What is charged of it: `61 %`.
    pub billed: String,
    /// The rest: `39 %`.
    pub not_billed: String,
    /// Heads the part on task types.
    pub tasks_heading: &'static str,
    /// What it says.
    pub tasks_say: String,
    /// Task types that earned less than needed; all of them where no rate is known.
    pub tasks: EarnedChart,
    /// All task types.
    pub task_rows: Vec<EarnedRow>,
    /// What the location types say.
    pub locations_say: String,
    /// Location types.
    pub locations: EarnedChart,
    /// All location types.
    pub location_rows: Vec<EarnedRow>,
    /// What the quotes say.
    pub quotes_say: String,
    /// The quoted jobs' ratios; empty of none.
    pub quotes: Vec<f64>,
    /// The figures of the chart in a sentence.
    pub quotes_said: String,
    /// All quoted jobs.
    pub quotes_link: String,
    /// The furthest over, with the quote's basis.
    pub furthest: Vec<FigureRow>,
    /// Time that no bill pays.
    pub unpaid: Vec<UnpaidRow>,
    /// Its sums: visits, time, worth.
    pub unpaid_total: (usize, String, String),
    /// What one change would do.
    pub levers: Vec<LeverRow>,
    /// Heads what to do next: `Three things to do next`.
    pub steps_heading: String,
    /// What to do next, at most three.
    pub steps: Vec<Step>,
    /// How it was reckoned.
    pub how: String,
    /// Pages of the handbook on its figures: address and name.
    pub handbook: Vec<(String, String)>,
    /// Every review: address and days; empty where this is the only one.
    pub reviews: Vec<(String, String)>,
}

/// One of the three figures.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct RateFigure {
    /// `Needed`.
    pub label: &'static str,
    /// `£42.14`; `not known`.
    pub figure: String,
    /// `for each of 155 h 10 charged`.
    pub under: String,
    /// The jobs behind it; empty of none.
    pub link: String,
    /// Its bar in per cent, with a point; empty where it is not known.
    pub share: String,
    /// Where the rate needed stands on that bar; empty where it is not known.
    pub needed: String,
}

/// A part of the hours with its place in the bar.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct WentRow {
    /// `Charged`.
    pub what: &'static str,
    /// How it is filled: a class of the style.
    pub fill: &'static str,
    /// Where it begins, in per cent with a point.
    pub x: String,
    /// How wide it is.
    pub width: String,
    /// `155 h 10`.
    pub time: String,
    /// `61 %`.
    pub share: String,
    /// Who pays it: `the bill`.
    pub by: &'static str,
    /// The jobs behind it; empty of none.
    pub link: String,
}

/// What task types or location types earned, for the chart.
#[derive(Clone, Debug, Default, Serialize, PartialEq)]
pub struct EarnedChart {
    /// What heads the axis: `£`.
    pub sign: String,
    /// The rate needed; `None` where it is not known.
    pub needed: Option<f64>,
    /// `needed £42.14`.
    pub needed_words: String,
    /// The strips.
    pub strips: Vec<EarnedStrip>,
}

/// A strip of that chart.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct EarnedStrip {
    /// Name.
    pub name: String,
    /// The jobs behind it.
    pub link: String,
    /// `10 h 40, 9 jobs`; says when they are too few.
    pub count: String,
    /// `£46.85`.
    pub value: String,
    /// Earned an hour.
    pub rate: f64,
    /// The middle of its jobs, lower end; `None` with too few.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
    /// Each job's, where there are too few.
    pub singles: Vec<f64>,
    /// Its figures in a sentence.
    pub said: String,
}

/// A row of the table behind it.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct EarnedRow {
    /// Name.
    pub name: String,
    /// The jobs behind it.
    pub link: String,
    /// How many they are.
    pub n: usize,
    /// Whether they are too few to lean on.
    pub few: bool,
    /// Time on it.
    pub time: String,
    /// Earned an hour.
    pub rate: String,
    /// `42.00 to 48.40`; empty with too few jobs.
    pub middle: String,
    /// What it lacked; empty where it lacked nothing.
    pub short: String,
}

/// Time that no bill pays.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct UnpaidRow {
    /// `Follow-ups`.
    pub what: String,
    /// The jobs behind it.
    pub link: String,
    /// How many.
    pub jobs: usize,
    /// Visits.
    pub visits: usize,
    /// Time on site.
    pub time: String,
    /// At the hourly rate.
    pub worth: String,
}

/// What one change would do.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct LeverRow {
    /// `One more hour charged a week`.
    pub change: String,
    /// What it would bring.
    pub worth: String,
    /// Needed an hour with it; empty where it is not known.
    pub needed: String,
    /// Earned an hour with it.
    pub earned: String,
}

impl Book<'_> {
    /// How many rate reviews there are; [`Book::rates_letter`] takes a number below it, 0 the latest.
    pub fn review_count(&self) -> usize {
        self.reports.rates.len()
    }

    /// A rate review.
    pub fn rates_letter(&self, review: usize) -> RatesLetter {
        let rates = &self.reports.rates[review];
        let serial = review_days(rates);
        let words = Words::of(self, rates);
        let steps = words.steps();
        let short_tasks: Vec<usize> = match rates.needed_per_hour {
            Some(_) => (0..rates.tasks.len())
                .filter(|&number| rates.tasks[number].short.is_some())
                .collect(),
            None => (0..rates.tasks.len()).collect(),
        };
        let link_to = |of: Of| self.figure_link(FigureId { review, of });
        let strips = |numbers: &[usize], of: fn(usize) -> Of, all: &[Earned]| {
            let strips = numbers
                .iter()
                .map(|&number| self.earned_strip(&all[number], rates, link_to(of(number))));
            EarnedChart {
                sign: crate::office::words::currency_sign(self.currency()),
                needed: rates.needed_per_hour.map(pounds),
                needed_words: rates.needed_per_hour.map_or_else(String::new, |needed| {
                    format!("needed {}", self.money(needed))
                }),
                strips: strips.collect(),
            }
        };
        let rows = |of: fn(usize) -> Of, all: &[Earned]| {
            let rows = all.iter().enumerate();
            rows.map(|(number, earned)| earned_row(earned, link_to(of(number))))
                .collect()
        };
        let quotes = &rates.quotes;
        let locations: Vec<usize> = (0..rates.locations.len()).collect();
        RatesLetter {
            link: self.review_link(review),
            title: format!("Rates, {}", crate::office::words::lower_first(&serial)),
            headline: words.headline(),
            say: words.answer(),
            three: self.three(review),
            went_say: words.hours(),
            went: self.went(review),
            went_total: Minutes::new(whole(rates.minutes.all)).to_string(),
            billed: percent_words(rates.utilisation),
            not_billed: percent_words(rates.utilisation.map(|share| 1.0 - share)),
            tasks_heading: if rates.needed_per_hour.is_some() {
                "Work that earns less than it needs to"
            } else {
                "What each kind of work earned"
            },
            tasks_say: words.earned(&rates.tasks, "task type", "task types"),
            tasks: strips(&short_tasks, Of::Task, &rates.tasks),
            task_rows: rows(Of::Task, &rates.tasks),
            locations_say: words.earned(&rates.locations, "location type", "location types"),
            locations: strips(&locations, Of::Location, &rates.locations),
            location_rows: rows(Of::Location, &rates.locations),
            quotes_say: quotes
                .hours_ratio
                .map_or_else(String::new, |ratio| quoted_against_taken(quotes, ratio)),
            quotes: quotes.jobs.iter().map(|job| job.ratio).collect(),
            quotes_said: words.quotes_said(),
            quotes_link: link_to(Of::Quotes),
            furthest: quotes
                .jobs
                .iter()
                .filter(|job| job.took > job.quoted)
                .take(FURTHEST)
                .map(|job| {
                    let cells = vec![
                        Minutes::new(job.quoted).to_string(),
                        Minutes::new(job.took).to_string(),
                        over_words(job),
                    ];
                    self.figure_row(&job.reference, job.basis.clone(), cells)
                })
                .collect(),
            unpaid: self.unpaid(review),
            unpaid_total: (
                rates.unpaid.iter().map(|one| one.visits).sum(),
                Minutes::new(rates.unpaid.iter().map(|one| one.minutes).sum()).to_string(),
                figure(rates.unpaid.iter().map(|one| one.worth).sum()),
            ),
            levers: rates
                .levers
                .iter()
                .map(|lever| LeverRow {
                    change: change_in_words(lever.change).to_owned(),
                    worth: figure(lever.worth),
                    needed: lever.needed_per_hour.map_or_else(String::new, figure),
                    earned: lever.earned_per_hour.map_or_else(String::new, figure),
                })
                .collect(),
            steps_heading: match steps.len() {
                1 => "One thing to do next".to_owned(),
                2 => "Two things to do next".to_owned(),
                _ => "Three things to do next".to_owned(),
            },
            steps,
            how: words.how(),
            handbook: self.figures_explained(&[
                "needed",
                "charged",
                "earned",
                "utilisation",
                "short",
                "middle-of-its-jobs",
                "quoted-against-taken",
            ]),
            reviews: self.reviews(),
            serial,
        }
    }

    fn reviews(&self) -> Vec<(String, String)> {
        if self.review_count() < 2 {
            return Vec::new();
        }
        let reviews = self.reports.rates.iter().enumerate();
        reviews
            .map(|(number, rates)| (self.review_link(number), review_days(rates)))
            .collect()
    }

    /// An amount in a sentence.
    pub(super) fn money(&self, money: Money) -> String {
        amount(money, self.currency())
    }

    fn three(&self, review: usize) -> Vec<RateFigure> {
        let rates = &self.reports.rates[review];
        if rates.from.is_none() {
            return Vec::new();
        }
        let (charged, on_site) = (
            Minutes::new(rates.minutes.charged),
            Minutes::new(rates.minutes.on_site),
        );
        let all = [
            (
                "Needed",
                rates.needed_per_hour,
                format!("for each of {charged} charged"),
                Part::Charged,
            ),
            (
                "Charged",
                rates.charged_per_hour,
                "for the same hours".to_owned(),
                Part::Charged,
            ),
            (
                "Earned",
                rates.earned_per_hour,
                format!("for each of {on_site} on site, call-outs and returns with them"),
                Part::OnSite,
            ),
        ];
        let most = all
            .iter()
            .filter_map(|(_, rate, ..)| *rate)
            .map(pounds)
            .fold(0.0, f64::max);
        // The bars leave room past the greatest, so that the mark of the rate needed is seen.
        let full = most * 1.15;
        let place = |rate: Option<Money>| match rate {
            Some(rate) if full > 0.0 => format!("{:.2}", pounds(rate) * 100.0 / full),
            _ => String::new(),
        };
        let needed = place(rates.needed_per_hour);
        all.into_iter()
            .map(|(label, rate, under, part)| RateFigure {
                label,
                figure: rate.map_or_else(|| "not known".to_owned(), |rate| self.money(rate)),
                under: match (rate, label) {
                    (None, "Needed") if rates.pay.is_none() => {
                        "no year of diary.yaml says what it must bring".to_owned()
                    }
                    (None, "Earned") => "no time on site yet".to_owned(),
                    (None, _) => "no time charged yet".to_owned(),
                    _ => under,
                },
                link: self.figure_link(FigureId {
                    review,
                    of: Of::Part(part),
                }),
                share: place(rate),
                needed: needed.clone(),
            })
            .collect()
    }

    fn went(&self, review: usize) -> Vec<WentRow> {
        let rates = &self.reports.rates[review];
        let all = rates.minutes.all;
        let unpaid = |cause: Part| {
            let row = rates.unpaid.iter().find(|one| one.cause == cause.word());
            row.map_or(0, |row| row.minutes)
        };
        let minutes = &rates.minutes;
        let parts = [
            (
                "Charged",
                "bar",
                minutes.charged,
                "the bill",
                Some(Part::Charged),
            ),
            (
                "Call-outs, no bill",
                "hatch",
                minutes.call_outs_uncharged,
                "nobody",
                Some(Part::CallOuts),
            ),
            (
                "Follow-ups",
                "open",
                minutes.follow_ups,
                "nobody",
                Some(Part::FollowUps),
            ),
            (
                "Free returns",
                "open",
                minutes.free_returns,
                "nobody",
                Some(Part::FreeReturns),
            ),
            (
                "Not charged yet",
                "lines",
                unpaid(Part::NotChargedYet),
                "nobody so far",
                Some(Part::NotChargedYet),
            ),
            (
                "Not to be charged",
                "lines",
                unpaid(Part::NotToBeCharged),
                "nobody",
                Some(Part::NotToBeCharged),
            ),
            (
                "On the road",
                "soft",
                minutes.travel,
                "the rate",
                Some(Part::Travel),
            ),
            (
                "Evening paperwork",
                "dots",
                whole(minutes.admin),
                "the rate",
                None,
            ),
        ];
        let mut x = 0.0;
        parts
            .into_iter()
            .filter(|(_, _, part, ..)| *part > 0)
            .map(|(what, fill, part, by, behind)| {
                let width = Minutes::new(part).as_f64() * 100.0 / all;
                let row = WentRow {
                    what,
                    fill,
                    x: format!("{x:.2}"),
                    width: format!("{width:.2}"),
                    time: Minutes::new(part).to_string(),
                    share: format!("{} %", whole(width)),
                    by,
                    link: behind.map_or_else(String::new, |part| {
                        self.figure_link(FigureId {
                            review,
                            of: Of::Part(part),
                        })
                    }),
                };
                x += width;
                row
            })
            .collect()
    }

    fn unpaid(&self, review: usize) -> Vec<UnpaidRow> {
        let rates = &self.reports.rates[review];
        let part = |cause: &str| Part::ALL.into_iter().find(|part| part.word() == cause);
        rates
            .unpaid
            .iter()
            .map(|one| UnpaidRow {
                what: cause_in_words(one.cause).to_owned(),
                link: part(one.cause).map_or_else(String::new, |part| {
                    self.figure_link(FigureId {
                        review,
                        of: Of::Part(part),
                    })
                }),
                jobs: one.refs.len(),
                visits: one.visits,
                time: Minutes::new(one.minutes).to_string(),
                worth: figure(one.worth),
            })
            .collect()
    }

    fn earned_strip(&self, earned: &Earned, rates: &Rates, link: String) -> EarnedStrip {
        let rate = earned.earned_per_hour.unwrap_or_default();
        let few = earned.jobs < ENOUGH;
        let jobs = counted(earned.jobs, "job", "jobs");
        let time = Minutes::new(earned.minutes);
        let mut said = format!("Earned {} an hour", self.money(rate));
        if let Some(needed) = rates.needed_per_hour {
            said += &format!(" against {} needed", self.money(needed));
        }
        said += &format!(", over {time} on {jobs}");
        if let Some(short) = earned.short {
            said += &format!(": {} short", self.money(short));
        }
        said += &match &earned.middle {
            Some(middle) => format!(
                ". The middle of its jobs lies between {} and {}, nine times in ten.",
                self.money(middle.low),
                self.money(middle.high)
            ),
            None => ". Too few to lean on; each dot is a job.".to_owned(),
        };
        EarnedStrip {
            name: earned.name.clone(),
            link,
            count: if few {
                format!("{time}, {jobs}, too few yet")
            } else {
                format!("{time}, {jobs}")
            },
            value: self.money(rate),
            rate: pounds(rate),
            low: earned.middle.map(|middle| pounds(middle.low)),
            high: earned.middle.map(|middle| pounds(middle.high)),
            singles: if few {
                earned
                    .behind
                    .iter()
                    .filter_map(|one| an_hour(one.labour?, one.minutes))
                    .map(pounds)
                    .collect()
            } else {
                Vec::new()
            },
            said,
        }
    }
}

fn earned_row(earned: &Earned, link: String) -> EarnedRow {
    EarnedRow {
        name: earned.name.clone(),
        link,
        n: earned.jobs,
        few: earned.jobs < ENOUGH,
        time: Minutes::new(earned.minutes).to_string(),
        rate: earned.earned_per_hour.map_or_else(String::new, figure),
        middle: earned.middle.as_ref().map_or_else(String::new, |middle| {
            format!("{} to {}", figure(middle.low), figure(middle.high))
        }),
        short: earned.short.map_or_else(String::new, figure),
    }
}

/// A rate as a place on a chart.
#[expect(
    clippy::cast_precision_loss,
    reason = "pence of one hour, far below 2^52"
)]
fn pounds(money: Money) -> f64 {
    money.pence() as f64 / 100.0
}

fn percent_words(share: Option<f64>) -> String {
    share.map_or_else(String::new, |share| {
        format!("{} %", percent_of(whole(share * 1_000_000.0), 1_000_000))
    })
}
