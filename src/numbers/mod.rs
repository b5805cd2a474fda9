//! Pure statistics on slices of `f64`: sorted samples and their quantiles, an interval
//! for a median, a share or a rate, a trend over time, how long until a first event and how
//! many come by an age, and the model that prices a job from a record. Does not know of
//! diaries: jobs, types of task and locations are indices here. Reads no file: the unit of
//! an answer is the unit of what was put in.

pub mod back_test;
pub mod bootstrap;
mod draws;
mod equations;
mod fitted;
pub mod garwood;
pub mod kaplan_meier;
pub mod log_linear;
pub mod log_student;
pub mod mean_cumulative;
mod merging;
pub mod moderated;
pub mod normal;
mod points;
pub mod polygamma;
pub mod quantile;
pub mod record;
mod resampled;
pub mod score;
mod shape;
mod slopes;
mod spread;
mod steep;
pub mod trend;
pub mod wilson;
