//! Lines gathered into jobs and visits: what begins a job, what joins which visit, what stays text.

use jiff::civil::Date;

use super::date::Days;
use super::form;
use super::heading;
use super::line::Line;
use super::meaning::{self, Meaning};
use super::note::{Left, LineRead, Note, NoteJob, Part};
use super::plain::PlainLine;
use super::time;
use super::vocabulary::Vocabulary;
use crate::model::VisitKind;

/// Reads lines, as typed or as split from speech, into a note.
pub fn gather(lines: &[Line], vocabulary: &Vocabulary, today: Date) -> Note {
    let mut gather = Gather {
        lines,
        vocabulary,
        today,
        days: Days { today, last: None },
        jobs: Vec::new(),
        read: Vec::new(),
        waiting: Vec::new(),
        kind: None,
        after_blank: false,
        below_mark: false,
        title_wanted: true,
        above: None,
        untold: Vec::new(),
    };
    for index in 0..lines.len() {
        gather.take(index);
    }
    gather.finish()
}

/// A note as far as it has been read.
pub(super) struct Gather<'a> {
    pub(super) lines: &'a [Line],
    pub(super) vocabulary: &'a Vocabulary,
    today: Date,
    pub(super) days: Days,
    pub(super) jobs: Vec<NoteJob>,
    pub(super) read: Vec<LineRead>,
    /// Lines before the first job that are no title: emoji, or what was quoted.
    pub(super) waiting: Vec<usize>,
    /// A kind of visit typed alone, before its visit.
    pub(super) kind: Option<VisitKind>,
    pub(super) after_blank: bool,
    pub(super) below_mark: bool,
    pub(super) title_wanted: bool,
    /// The line right above, if no word of it was read.
    pub(super) above: Option<usize>,
    /// Findings of the visit that nobody was told of, by their place in the job.
    pub(super) untold: Vec<usize>,
}

impl Gather<'_> {
    fn take(&mut self, index: usize) {
        let line = &self.lines[index];
        if let Some(day) = line.written.filter(|day| *day <= self.today) {
            // Whoever writes `today` means the day of the message.
            self.days = Days {
                today: day,
                last: Some(day),
            };
        }
        if line.is_blank() {
            self.after_blank = true;
            self.below_mark = false;
            self.above = None;
            return;
        }
        let after_blank = std::mem::take(&mut self.after_blank);
        if let Some((reference, rest)) = heading::reference(line) {
            self.take_reference(index, reference, rest.as_ref());
            return;
        }
        if let Some(title) = heading::title(line) {
            let wanted = title.is_empty();
            self.start_job();
            if wanted {
                self.note_line(index, vec![Part::NewJob]);
            } else {
                self.set_title(index, title);
            }
            self.title_wanted = wanted;
            return;
        }
        if let Some(client) = heading::client(line, self.vocabulary)
            && self.wants_a_client(after_blank)
        {
            if self.jobs.is_empty() {
                self.start_job();
            }
            self.job().client = Some(client.to_owned());
            self.note_line(index, vec![Part::Client(client.to_owned())]);
            return;
        }
        if index > 0 && form::times(&self.lines[index - 1], Some(line)).is_some() {
            let visit = self.ensure_visit();
            self.note_line(index, vec![Part::Visit(visit)]);
            return;
        }
        let first = self.title_wanted;
        let meaning = self.meaning(index);
        if first
            && meaning.is_unread()
            && (meaning::has_no_word(line) || meaning::is_about_pay(line))
        {
            if self.jobs.is_empty() {
                self.waiting.push(index);
            } else {
                self.note_line(index, Vec::new());
                self.keep(index);
            }
            return;
        }
        if let Meaning::Plain(plain) = &meaning
            && plain.is_date_alone()
            && (first || after_blank || self.mark_follows(index))
            && self.title_follows(index, first)
        {
            self.days.last = plain.date;
            let day = self.days.without_date();
            self.note_line_of(index, self.jobs.len(), vec![Part::Day(day)]);
            return;
        }
        let begins = first || after_blank && self.visit_follows(index);
        let a_title = if first {
            meaning.may_be_title()
        } else {
            meaning.is_unread()
        };
        if begins && a_title {
            if !first || self.jobs.is_empty() {
                self.start_job();
            }
            let title = line.in_words();
            self.set_title(index, title);
            return;
        }
        if self.jobs.is_empty() {
            self.start_job();
        }
        self.title_wanted = false;
        match meaning {
            Meaning::Plain(mut plain) if first => {
                let title = self.title_beside_visit(&mut plain, index);
                self.apply(index, Meaning::Plain(plain));
                if let Some(title) = title {
                    self.job().title = Some(title.clone());
                    if let Some(line) = self.read.last_mut() {
                        line.parts.insert(0, Part::Title(title));
                    }
                }
            }
            meaning => self.apply(index, meaning),
        }
    }

    /// Whether a client named here is that of the job: it has none yet, and is no log that is there already. Below a
    /// blank line it may be another job's that has had its visits.
    fn wants_a_client(&self, after_blank: bool) -> bool {
        self.jobs.last().is_none_or(|job| {
            let other = after_blank && !job.visits.is_empty();
            job.client.is_none() && job.reference.is_none() && !other
        })
    }

    /// The title of a job whose first line starts its visit: the words after the date, which are then read.
    fn title_beside_visit(&self, plain: &mut PlainLine, index: usize) -> Option<String> {
        let subject = plain.subject.take()?;
        if meaning::measures(&self.lines[index]) {
            return None;
        }
        plain.length = plain.length.or(subject.length);
        plain.whole |= subject.rest_is_read;
        Some(subject.text)
    }

    fn meaning(&self, index: usize) -> Meaning {
        let line = &self.lines[index];
        let next = self.lines.get(index + 1);
        let times = form::times(line, next).or_else(|| form::span(line));
        let line = times.as_ref().unwrap_or(line);
        meaning::of(line, next, self.vocabulary, self.days)
    }

    fn visit_follows(&self, index: usize) -> bool {
        self.lines.get(index + 1).is_some_and(|line| {
            !line.is_blank()
                && heading::reference(line).is_none()
                && self.meaning(index + 1).starts_visit()
        })
    }

    fn mark_follows(&self, index: usize) -> bool {
        self.lines.get(index + 1).is_some_and(|line| {
            heading::reference(line).is_some() || heading::title(line).is_some()
        })
    }

    /// Whether the line below a date is a title. At the head of a note a blank line may stand between.
    fn title_follows(&self, index: usize, first: bool) -> bool {
        let next = (index + 1..self.lines.len()).find(|at| !first || !self.lines[*at].is_blank());
        let Some(next) = next.filter(|at| !self.lines[*at].is_blank()) else {
            return false;
        };
        let marked = heading::reference(&self.lines[next]).is_some()
            || heading::title(&self.lines[next]).is_some();
        marked
            || first && self.meaning(next).may_be_title()
            || !first && self.meaning(next).is_unread() && self.visit_follows(next)
    }

    fn take_reference(&mut self, index: usize, reference: String, rest: Option<&Line>) {
        self.start_job();
        self.title_wanted = false;
        self.job().reference = Some(reference.clone());
        let part = Part::Reference(reference);
        let Some(rest) = rest else {
            self.note_line(index, vec![part]);
            return;
        };
        let meaning = meaning::of(rest, self.lines.get(index + 1), self.vocabulary, self.days);
        self.apply(index, meaning);
        if let Some(line) = self.read.last_mut() {
            line.parts.insert(0, part);
        }
        self.above = None;
    }

    fn start_job(&mut self) {
        self.end_job();
        self.jobs.push(NoteJob::default());
        self.kind = None;
        self.untold.clear();
        self.below_mark = false;
        self.above = None;
        for index in std::mem::take(&mut self.waiting) {
            self.note_line(index, Vec::new());
            self.keep(index);
        }
    }

    fn end_job(&mut self) {
        // A kind of visit with no visit after it has one all the same.
        if self.kind.is_some() {
            self.ensure_visit();
        }
        let day = self.days.without_date();
        if let Some(job) = self.jobs.last_mut() {
            job.day = Some(day);
        }
    }

    fn set_title(&mut self, index: usize, title: String) {
        self.title_wanted = false;
        self.job().title = Some(title.clone());
        self.note_line(index, vec![Part::Title(title)]);
    }

    pub(super) fn job(&mut self) -> &mut NoteJob {
        if self.jobs.is_empty() {
            self.jobs.push(NoteJob::default());
        }
        self.jobs.last_mut().expect("pushed where there was none")
    }

    pub(super) fn note_line(&mut self, index: usize, parts: Vec<Part>) {
        self.note_line_of(index, self.jobs.len().saturating_sub(1), parts);
    }

    fn note_line_of(&mut self, index: usize, job: usize, parts: Vec<Part>) {
        let line = &self.lines[index];
        self.read.push(LineRead {
            number: line.number,
            typed: line.typed.clone(),
            job,
            parts,
            kept: false,
        });
        self.above = None;
    }

    /// Keeps the line noted last as text, under its visit.
    pub(super) fn keep(&mut self, index: usize) {
        let line = &self.lines[index];
        let visit = self.job().visits.len().checked_sub(1);
        let left = Left {
            text: line.typed.clone(),
            line: line.number,
            visit,
            at: line.at.clone(),
        };
        self.job().left_over.push(left);
        if let Some(read) = self.read.last_mut() {
            read.kept = true;
        }
    }

    fn finish(mut self) -> Note {
        if !self.waiting.is_empty() {
            if self.jobs.is_empty() {
                self.start_job();
            } else {
                for index in std::mem::take(&mut self.waiting) {
                    self.note_line(index, Vec::new());
                    self.keep(index);
                }
            }
        }
        self.end_job();
        for visit in self.jobs.iter_mut().flat_map(|job| &mut job.visits) {
            visit.minutes = time::minutes_on_site(visit, &self.vocabulary.zone);
        }
        self.read.sort_by_key(|line| line.number);
        Note {
            today: self.today,
            jobs: self.jobs,
            lines: self.read,
        }
    }
}
