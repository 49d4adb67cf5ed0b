//! core

pub mod solve;
