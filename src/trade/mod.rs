//! What the trade has published: the cautions and the figures, each with its source; readings held against them, and
//! the days that papers and work have. Says of no circuit and of no installation that it is sound.

pub mod caution_words;
pub mod cautions;
pub mod conductors;
pub mod dates;
pub mod devices;
pub mod held;
pub mod judge;
pub mod limits;
mod measure;
pub mod ring;
pub mod tables;
mod taken;
mod trip;
mod verdict;

pub use held::Held;
pub use judge::{Judgement, judge_readings};
pub use limits::{Figures, Ground};
pub use ring::{WholeBoard, whole_board};
pub use taken::{measured, superseded};
pub use verdict::{Limit, Outcome, Quantity, Verdict};
