//! Names as people type them.

/// A name for comparing: without case, runs of white space as one space.
pub fn folded(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn case_and_spacing_do_not_matter() {
        assert_eq!(folded("  Lamplight   CLEAR "), "lamplight clear");
        assert_eq!(folded("Émail"), "émail");
    }
}
