//! The head of a rate review and where its hours went: figures, bars and rows, each with the page of jobs behind it.
//! Reckons none of it: [`crate::office::rates`] does.

use serde::Serialize;

use crate::model::{Minutes, Money};
use crate::office::rates::{Part, cause_in_words};
use crate::office::words::{figure, whole};

use super::Book;
use super::earned_strips::pounds;
use super::figure::{FigureId, Of};

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

impl Book<'_> {
    pub(super) fn three(&self, review: usize) -> Vec<RateFigure> {
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

    pub(super) fn went(&self, review: usize) -> Vec<WentRow> {
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
                "Call-outs on no bill",
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

    pub(super) fn unpaid(&self, review: usize) -> Vec<UnpaidRow> {
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
}
