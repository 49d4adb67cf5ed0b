//! Secrets: the way in, once, and the session that it becomes.

use std::sync::Mutex;
use std::sync::PoisonError;

use glost_chemistry::diagnostic::Diagnostic;

use super::visitor::Visitor;

/// A secret of 256 bits, in letters that an address can carry.
///
/// # Errors
/// The system gives no random numbers.
pub(crate) fn secret() -> Result<String, Diagnostic> {
    let mut bytes = [0_u8; 32];
    getrandom::fill(&mut bytes)
        .map_err(|why| Diagnostic::error("no-secret", format!("the system gives no random numbers: {why}")))?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

/// Whether two secrets are the same, in a time that doesn't tell where they differ.
pub(crate) fn same(one: &str, other: &str) -> bool {
    let differing = one.bytes().zip(other.bytes()).fold(0, |seen, (a, b)| seen | (a ^ b));
    one.len() == other.len() && differing == 0
}

/// A secret that opens the door one time.
#[derive(Debug)]
pub(crate) struct Once(Mutex<Option<String>>);

impl Once {
    pub(crate) fn new(secret: String) -> Once {
        Once(Mutex::new(Some(secret)))
    }

    /// Whether this is it, before it is spent.
    pub(crate) fn is(&self, said: &str) -> bool {
        let left = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        left.as_ref().is_some_and(|left| same(left, said))
    }

    /// Spends it: true for the first who has it.
    pub(crate) fn spend(&self, said: &str) -> bool {
        let mut left = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let is_it = left.as_ref().is_some_and(|left| same(left, said));
        if is_it {
            *left = None;
        }
        is_it
    }
}

/// What the forms of each visitor's pages carry, until the server ends.
#[derive(Debug)]
pub(crate) struct Tokens {
    owner: String,
    phone: String,
    class: String,
}

impl Tokens {
    pub(crate) fn new() -> Result<Tokens, Diagnostic> {
        Ok(Tokens {
            owner: secret()?,
            phone: secret()?,
            class: secret()?,
        })
    }

    pub(crate) fn of(&self, visitor: Visitor) -> &str {
        match visitor {
            Visitor::Owner => &self.owner,
            Visitor::Phone => &self.phone,
            Visitor::Class => &self.class,
        }
    }
}
