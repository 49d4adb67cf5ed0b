//! Pages of the bench in a browser: what stands on them, and in which words. Whoever
//! serves them asks the questions; here their answers become HTML.

pub mod amounts;
pub mod clocks;
pub mod fields;
mod html;
pub mod looking;
pub mod proposal;
mod prose;
pub mod rules;
mod said;
pub mod tables;
mod ticket;
pub mod trial;

pub use fields::Seal;
pub use html::{Exact, Html, InHtml, only_empty_places};
pub use prose::{COLUMNS, prose};
pub use said::for_page;
pub use ticket::{Asked, Ticket};

/// With a capital at its start.
pub fn capital(text: &str) -> String {
    let mut signs = text.chars();
    signs
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(signs).collect())
}

/// Text as part of an address.
pub fn in_address(text: &str) -> String {
    text.bytes()
        .map(|byte| match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'_' | b'.' => char::from(byte).to_string(),
            other => format!("%{other:02X}"),
        })
        .collect()
}
