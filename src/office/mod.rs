//! The office: the model turned into reports and pages that nobody else sees. Renders nothing and reads no file.

pub mod book;
pub mod hours;
