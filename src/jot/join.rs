//! What a line means, joined to the job and the visit that it belongs to.

use jiff::civil::Date;

use super::finding::{About, FindingLine, Telling};
use super::gather::Gather;
use super::meaning::{self, Meaning};
use super::measured::MeasuredLine;
use super::note::{Joined, NoteFinding, NoteReading, NoteTold, NoteVisit, Part, Value};
use super::plain::PlainLine;
use crate::model::VisitKind;

impl Gather<'_> {
    pub(super) fn apply(&mut self, index: usize, meaning: Meaning) {
        let unread = meaning::is_wholly_unread(&meaning) && !self.below_mark;
        let above = self.above;
        let mut parts = Vec::new();
        let whole = match meaning {
            Meaning::Finding(finding) => self.take_finding(finding, above, &mut parts),
            Meaning::Told(telling, about) => self.take_told(telling, about, &mut parts),
            Meaning::Measured(line) => self.take_measured(line, &mut parts),
            Meaning::Plain(plain) => self.take_plain(index, *plain, &mut parts),
        };
        let nothing = parts.is_empty();
        self.note_line(index, parts);
        if !whole {
            self.keep(index);
        }
        self.above = (unread && nothing).then_some(index);
    }

    /// The visit that a line belongs to; one is opened where there is none.
    pub(super) fn ensure_visit(&mut self) -> usize {
        if self.job().visits.is_empty() {
            let date = self.days.without_date();
            self.open_visit(date);
        }
        self.job().visits.len() - 1
    }

    fn open_visit(&mut self, date: Date) -> &mut NoteVisit {
        let kind = self.kind.take().unwrap_or(VisitKind::Planned);
        self.untold.clear();
        let job = self.job();
        job.visits.push(NoteVisit::new(date, kind));
        job.visits.last_mut().expect("pushed just now")
    }

    fn take_finding(
        &mut self,
        line: FindingLine,
        above: Option<usize>,
        parts: &mut Vec<Part>,
    ) -> bool {
        self.below_mark = false;
        let visit = self.ensure_visit();
        let on = self.job().visits[visit].date;
        let what = line
            .what
            .or_else(|| above.map(|index| self.take_line_above(index)));
        let job = self.job();
        job.findings.push(NoteFinding {
            what,
            code: line.code,
            done: line.done,
            told: line.told.map(|telling| telling.on(on)),
            visit,
        });
        let index = job.findings.len() - 1;
        let told = job.findings[index].told.is_some();
        parts.push(Part::Finding(index));
        if !told {
            self.untold.push(index);
        }
        !line.kept
    }

    /// The text of the line above, which is then no longer left over.
    fn take_line_above(&mut self, index: usize) -> String {
        let line = &self.lines[index];
        let job = self.job();
        if job
            .left_over
            .last()
            .is_some_and(|left| left.line == line.number)
        {
            job.left_over.pop();
        }
        if let Some(read) = self.read.last_mut() {
            read.kept = false;
            read.parts.push(Part::WhatOfFinding);
        }
        line.text.clone()
    }

    fn take_told(&mut self, telling: Telling, about: About, parts: &mut Vec<Part>) -> bool {
        let Some(visit) = self.job().visits.len().checked_sub(1) else {
            return false;
        };
        let on = self.job().visits[visit].date;
        let told = telling.on(on);
        let last = self.job().findings.len().checked_sub(1);
        let meant = match about {
            About::TheOneAbove => last.into_iter().collect(),
            About::All => std::mem::take(&mut self.untold),
        };
        let mut count = 0;
        for index in meant {
            let finding = &mut self.job().findings[index];
            if finding.told.is_none() {
                finding.told = Some(told.clone());
                count += 1;
            }
        }
        if self.untold.last() == last.as_ref() {
            self.untold.pop();
        }
        if count > 0 {
            self.below_mark = false;
            parts.push(Part::Told(told, count));
        }
        count > 0
    }

    fn take_measured(&mut self, line: MeasuredLine, parts: &mut Vec<Part>) -> bool {
        self.below_mark = false;
        let visit = self.ensure_visit();
        let of_the_origin =
            !line.values.is_empty() && line.values.iter().all(Value::is_of_the_origin);
        let circuit = line
            .circuit
            .or_else(|| of_the_origin.then(|| "origin".to_owned()));
        let job = self.job();
        let last = job
            .readings
            .last_mut()
            .filter(|reading| reading.visit == visit);
        let joins = last.filter(|reading| {
            let same_circuit = circuit.is_none() || of_the_origin && reading.circuit == circuit;
            same_circuit && reading.has_room_for(&line.values, line.device.is_some())
        });
        let values = line.values.clone();
        let joined = if joins.is_some() {
            Joined::TheOneAbove
        } else {
            Joined::Began
        };
        if let Some(reading) = joins {
            reading.values.extend(line.values);
            reading.device = reading.device.take().or(line.device);
        } else {
            job.readings.push(NoteReading {
                circuit,
                device: line.device,
                values: line.values,
                visit,
            });
        }
        parts.push(Part::Reading(job.readings.len() - 1, values, joined));
        line.whole
    }

    fn take_plain(&mut self, index: usize, plain: PlainLine, parts: &mut Vec<Part>) -> bool {
        let mut plain = plain;
        if self.below_mark {
            // `findings:` is the head of another list.
            let heads = self.lines[index].low.ends_with(':');
            if plain.starts_visit || plain.parking.is_some() || heads {
                self.below_mark = false;
            } else {
                plain = meaning::below_a_mark(&self.lines[index], self.vocabulary, self.days);
            }
        }
        let mut whole = plain.whole;
        if plain.starts_visit {
            self.take_visit(&plain, parts);
        } else if let Some(length) = plain.length {
            whole &= self.take_length(length, parts);
        }
        if let Some(kind) = plain.kind.filter(|_| !plain.starts_visit) {
            parts.push(Part::Kind(kind));
            match self.job().visits.last_mut() {
                Some(visit) => visit.kind = kind,
                None => self.kind = Some(kind),
            }
        }
        if plain.belongs_to_a_visit() {
            self.ensure_visit();
            whole &= self.take_odds(&plain, parts);
        }
        parts.extend(plain.materials.iter().cloned().map(Part::Material));
        self.job().materials.extend(plain.materials);
        if plain.materials_below {
            self.below_mark = true;
            parts.push(Part::MaterialsBelow);
        }
        whole
    }

    fn take_visit(&mut self, plain: &PlainLine, parts: &mut Vec<Part>) {
        self.days.last = plain.date.or(self.days.last);
        let date = self.days.without_date();
        // A range with no date joins a visit that has no times yet.
        let joins = plain.date.is_none()
            && self
                .job()
                .visits
                .last()
                .is_some_and(|visit| visit.clocks.is_none() && visit.length.is_none());
        let visit = if joins {
            self.job().visits.last_mut().expect("looked at just now")
        } else {
            self.open_visit(date)
        };
        visit.clocks = plain.clocks;
        visit.length = plain.length;
        if let Some(kind) = plain.kind {
            visit.kind = kind;
        }
        parts.push(Part::Visit(self.job().visits.len() - 1));
    }

    /// A length alone on a line joins a visit that has no times yet.
    fn take_length(&mut self, length: i64, parts: &mut Vec<Part>) -> bool {
        self.ensure_visit();
        let at = self.job().visits.len() - 1;
        let visit = &mut self.job().visits[at];
        let free = visit.clocks.is_none() && visit.length.is_none();
        if free {
            visit.length = Some(length);
            parts.push(Part::Visit(at));
        }
        free
    }

    /// Break, parking, trip and tasks of the visit; `false` where a trip is there already.
    fn take_odds(&mut self, plain: &PlainLine, parts: &mut Vec<Part>) -> bool {
        let Some(visit) = self.job().visits.last_mut() else {
            return false;
        };
        let mut whole = true;
        if let Some(rest) = plain.rest {
            visit.rest += rest;
            parts.push(Part::Break(rest));
        }
        if let Some(paid) = plain.parking {
            visit.parking = Some(visit.parking.map_or(paid, |before| before + paid));
            parts.push(Part::Parking(paid));
        }
        let second = plain.miles.is_some() && visit.miles.is_some()
            || plain.road.is_some() && visit.road.is_some();
        if second {
            whole = false;
        } else if plain.miles.is_some() || plain.road.is_some() {
            visit.miles = visit.miles.or(plain.miles);
            visit.road = visit.road.or(plain.road);
            parts.push(Part::Travel(plain.miles, plain.road));
        }
        visit.tasks.extend(plain.tasks.iter().cloned());
        parts.extend(plain.tasks.iter().cloned().map(Part::Task));
        whole
    }
}

impl Telling {
    fn on(self, on: Date) -> NoteTold {
        NoteTold {
            who: self.who,
            on,
            how: self.how,
        }
    }
}

impl NoteVisit {
    fn new(date: Date, kind: VisitKind) -> Self {
        NoteVisit {
            date,
            kind,
            clocks: None,
            length: None,
            rest: 0,
            minutes: None,
            tasks: Vec::new(),
            parking: None,
            miles: None,
            road: None,
        }
    }
}

impl NoteReading {
    /// Whether values can join this reading: none of them is here already, nor another device or test voltage.
    fn has_room_for(&self, values: &[Value], device: bool) -> bool {
        let volts = |values: &[Value]| {
            values.iter().find_map(|value| match value {
                Value::LiveToEarth(_, volts) | Value::LiveToLive(_, volts) => volts.clone(),
                _ => None,
            })
        };
        let taken = values
            .iter()
            .any(|new| self.values.iter().any(|old| old.same_quantity(new)));
        let same_volts = match (volts(&self.values), volts(values)) {
            (Some(here), Some(new)) => here == new,
            _ => true,
        };
        !taken && same_volts && !(device && self.device.is_some())
    }
}

#[cfg(test)]
mod tests {
    use crate::jot;
    use crate::jot::bench::settings;
    use crate::jot::vocabulary::Vocabulary;

    #[test]
    fn the_head_of_another_list_ends_that_of_materials() {
        let note = "Barn\n9-5\nmaterials:\n1 gland kit 5.40\nstill to do:\nbackfill trench\n";
        let today = jiff::civil::date(2026, 11, 25);
        let read = jot::read(note, &Vocabulary::new(&settings()), today);
        let job = &read.jobs[0];
        let items: Vec<&str> = job.materials.iter().map(|m| m.item.as_str()).collect();
        assert_eq!(items, ["gland kit"]);
        let left: Vec<&str> = job.left_over.iter().map(|l| l.text.as_str()).collect();
        assert_eq!(left, ["still to do:", "backfill trench"]);
    }
}
