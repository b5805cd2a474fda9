//! What the trade has published: the cautions, each with its source. Judges nothing by itself and says of nothing
//! that it is safe.

pub mod cautions;
