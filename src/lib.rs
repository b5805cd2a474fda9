//! Daywork: an electrician's job logs, compiled into a public site and a private office book.
//!
//! Data flows down this list of rooms; a room uses only the rooms above it, and `diagnose`.

pub mod diagnose;

pub mod model;

pub mod diary;

pub mod trade;

pub mod rules;

pub mod numbers;

pub mod office;

pub mod public;

pub mod pages;

pub mod press;

pub mod proof;

pub mod jot;

pub mod cli;
