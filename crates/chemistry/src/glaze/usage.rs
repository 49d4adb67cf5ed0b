//! What a glazed piece is for.

/// A use that a glaze or a clay may be meant for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Use {
    /// Plates, cups, bowls.
    Tableware,
    /// Tiles on a wall, indoors.
    WallTile,
    /// Tiles on a floor.
    Floor,
    /// Where it freezes and rains.
    Outdoor,
    /// Neither eaten from nor walked on.
    Decorative,
}

impl Use {
    /// All of them, in the order of [`USES`](super::USES).
    pub const ALL: [Use; 5] = [Use::Tableware, Use::WallTile, Use::Floor, Use::Outdoor, Use::Decorative];

    /// As files write it.
    pub const fn word(self) -> &'static str {
        match self {
            Use::Tableware => "tableware",
            Use::WallTile => "wall tile",
            Use::Floor => "floor",
            Use::Outdoor => "outdoor",
            Use::Decorative => "decorative",
        }
    }

    /// From a file's word, without case.
    pub fn from_word(word: &str) -> Option<Use> {
        let word = word.trim();
        Use::ALL
            .into_iter()
            .find(|usage| usage.word().eq_ignore_ascii_case(word))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_and_uses_are_one_list() {
        assert_eq!(Use::ALL.map(Use::word), super::super::USES);
        assert_eq!(Use::ALL.map(|usage| Use::from_word(usage.word())), Use::ALL.map(Some));
        assert_eq!(Use::from_word("sculpture"), None);
    }
}
