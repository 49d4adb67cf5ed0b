//! Working scripts to start from, one for each kind.

use crate::kind::Kind;

/// A script of a kind under a name, with comments and tests; it passes them.
pub fn template(kind: Kind, name: &str) -> String {
    let text = match kind {
        Kind::Limits => include_str!("templates/limits.rhai"),
        Kind::Check => include_str!("templates/check.rhai"),
        Kind::Swap => include_str!("templates/swap.rhai"),
        Kind::Blend => include_str!("templates/blend.rhai"),
        Kind::Run => include_str!("templates/run.rhai"),
    };
    let last = name.rsplit('/').next().unwrap_or(name);
    let words = last.trim_end_matches(".rhai").replace(['-', '_'], " ");
    let mut signs = words.chars();
    let title: String = match signs.next() {
        Some(first) => first.to_uppercase().chain(signs).collect(),
        None => String::new(),
    };
    text.replace("{{name}}", name).replace("{{title}}", &title)
}
