//! Whose text an answer of a script is.

use glost_core::rules::{Signature, Whose};

/// `check/alkali-balance, yours, 1a2b3c4d5e6f, alkali_most=0.2`
pub fn signed(signature: &Signature) -> String {
    let mut words = format!("{}, {}, {}", signature.script, signature.whose, signature.hash);
    if !signature.set.is_empty() {
        words.push_str(&format!(", {}", signature.set_words()));
    }
    words
}

/// The name alone of what comes with Glost and has nothing set; else as [`signed`].
pub fn signed_briefly(signature: &Signature) -> String {
    match signature.whose {
        Whose::Shipped if signature.set.is_empty() => signature.script.clone(),
        _ => format!("{} ({})", signature.script, short(signature)),
    }
}

fn short(signature: &Signature) -> String {
    let mut words = format!("{} {}", signature.whose, signature.hash);
    if !signature.set.is_empty() {
        words.push_str(&format!(", {}", signature.set_words()));
    }
    words
}
