//! From the model to what readers may see: public views, and the leak gate behind them. Renders nothing.
//!
//! Nothing private leaves by any other door. Of this room only `gate` and `words` may look inside a
//! [`Private`](crate::model::Private), to know what to look for.

pub mod anonymous;
mod build;
mod builder;
mod catalogue;
mod decode;
mod docket;
mod evidence;
mod file_kind;
mod fold;
pub mod gate;
mod gate_faults;
mod gate_others;
mod listed;
mod lists;
mod markup;
mod open_text;
mod owner;
pub mod photos;
mod prose;
mod timing;
pub mod view;
mod view_lists;
mod words;

pub use build::{frame_of, origins, views, views_of_one};
pub use file_kind::FileKind;
pub use gate::{Gate, Leak, PublicFile};
pub use gate_others::tell_others;
pub use owner::Owner;
