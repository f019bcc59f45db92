//! The command as a person or another program meets it: exit codes, words on either stream, JSON, drawings, workings.

#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod compare;
mod drawings;
mod exits;
mod expression;
mod faults;
mod folder;
mod intake;
mod json;
mod least_edges;
mod measured;
mod outline;
mod prism;
mod process;
mod records;
mod recut;
mod seat;
mod shop;
mod surfaces;
mod to_order;
mod words;
mod workings;
