//! The office: the model turned into reports and pages that nobody else sees. Renders nothing and reads no file.

pub mod back_test;
mod bills;
pub mod book;
pub mod cover;
pub mod dates;
pub mod export;
pub mod findings;
pub mod handover;
pub mod hours;
mod other_time;
pub mod price;
pub mod rates;
mod reckon;
mod record;
pub(crate) mod words;
