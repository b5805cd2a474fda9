//! The office: the model turned into reports and pages that nobody else sees. Renders nothing and reads no file.

pub mod book;
mod book_desk;
pub mod book_handbook;
mod book_hours;
mod book_job;
mod book_list;
mod book_money;
pub mod book_reckon;
mod book_seen;
mod book_sure;
mod book_task;
mod book_visits;
mod book_words;
pub mod hours;
