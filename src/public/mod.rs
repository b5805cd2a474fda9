//! From the model to what readers may see: public views, and the leak gate behind them. Renders nothing.

pub mod view;
