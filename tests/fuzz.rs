//! Texts that nobody would write: whatever is typed is read or refused in words, and what must hold of it holds. More of it
//! in `fuzz/README.md`.

mod common;
#[path = "../fuzz/driver.rs"]
mod driver;
#[path = "../fuzz/targets.rs"]
mod targets;
