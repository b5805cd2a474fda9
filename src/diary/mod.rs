//! A folder of texts read into the model, each file on its own, every error kept.
