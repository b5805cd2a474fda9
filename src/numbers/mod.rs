//! Pure statistics on slices of `f64`: sorted samples and their quantiles, an interval
//! for a median, a trend over time. Does not know of diaries, jobs or minutes, and reads
//! no file: the unit of an answer is the unit of what was put in.

pub mod bootstrap;
pub mod normal;
pub mod quantile;
mod resampled;
mod slopes;
pub mod trend;
