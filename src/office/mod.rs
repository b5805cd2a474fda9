//! The office: the model turned into reports and pages that nobody else sees. Renders nothing and reads no file.

mod bills;
pub mod book;
pub mod cover;
pub mod hours;
pub mod rates;
mod reckon;
mod words;
