//! Figures in lists, and lists of lists: each is held by itself, under the case's key and its
//! place.

use super::{Run, Want, published, tolerance_of};
use serde_json::Value;

/// What the program gives under one key of a case.
pub(crate) enum Got {
    One(Option<f64>),
    List(Vec<Got>),
}

impl Got {
    /// One figure.
    pub(crate) fn one(figure: f64) -> Self {
        Self::One(Some(figure))
    }

    /// A list of figures.
    pub(crate) fn list(figures: impl IntoIterator<Item = f64>) -> Self {
        Self::List(figures.into_iter().map(Self::one).collect())
    }

    /// The figure at places such as `0.1`; `None` if there is none.
    fn at(&self, places: &str) -> Option<f64> {
        match (self, places.split_once('.')) {
            (Self::One(figure), None) if places.is_empty() => *figure,
            (Self::List(all), Some((place, rest))) => {
                all.get(place.parse::<usize>().ok()?)?.at(rest)
            }
            (Self::List(all), None) => all.get(places.parse::<usize>().ok()?)?.at(""),
            _ => None,
        }
    }
}

impl Run {
    /// Sets the figures beside `expected` and beside what was `published`; the case's other
    /// keys are named as not in this program, but for `words`, which hold no figures.
    pub(crate) fn hold_trees(&mut self, case: &Value, words: &[&str], ours: &[(&str, Got)]) {
        for (key, want) in case["expected"].as_object().into_iter().flatten() {
            match ours.iter().find(|(name, _)| name == key) {
                Some((_, got)) => self.hold_tree(case, key, key, got, want),
                None if words.contains(&key.as_str()) => {}
                None => self.not_here.push(key.clone()),
            }
        }
        for printed in published(case) {
            let whole = printed["key"].as_str().unwrap_or_default();
            let (key, places) = whole.split_once('.').unwrap_or((whole, ""));
            if let Some((_, got)) = ours.iter().find(|(name, _)| *name == key) {
                self.hold_printed(whole, got.at(places), printed);
            }
        }
    }

    fn hold_tree(&mut self, case: &Value, key: &str, name: &str, got: &Got, want: &Value) {
        match (got, want.as_array()) {
            (Got::One(figure), None) => self.hold(name, *figure, want, tolerance_of(case, key)),
            (Got::List(all), Some(wants)) => {
                if all.len() != wants.len() {
                    self.figures.push(super::Figure {
                        name: format!("{name}, how many"),
                        got: Some(all.len() as f64),
                        want: Want::exactly(wants.len() as f64),
                    });
                }
                for (place, (got, want)) in all.iter().zip(wants).enumerate() {
                    self.hold_tree(case, key, &format!("{name}.{place}"), got, want);
                }
            }
            // No interval at all stands for none of its ends.
            (Got::List(all), None) if want.is_null() && !all.is_empty() => {
                for (place, got) in all.iter().enumerate() {
                    self.hold_tree(case, key, &format!("{name}.{place}"), got, want);
                }
            }
            _ => self.not_here.push(format!("{name}: of another shape")),
        }
    }
}
