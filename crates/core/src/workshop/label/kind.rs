//! What a label is stuck on.

/// What a label is stuck on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LabelKind {
    /// A bucket of slurry.
    #[default]
    Bucket,
    /// A jar of slurry.
    Jar,
    /// A bag or tub of dry powder.
    Bag,
    /// A bottle of slurry: nobody may take it for a drink.
    Bottle,
    /// The back of a test tile, or its place on the board.
    Tile,
}

impl LabelKind {
    /// All of them.
    pub const ALL: [LabelKind; 5] = [
        LabelKind::Bucket,
        LabelKind::Jar,
        LabelKind::Bag,
        LabelKind::Bottle,
        LabelKind::Tile,
    ];

    /// Its word.
    pub const fn word(self) -> &'static str {
        match self {
            LabelKind::Bucket => "bucket",
            LabelKind::Jar => "jar",
            LabelKind::Bag => "bag",
            LabelKind::Bottle => "bottle",
            LabelKind::Tile => "tile",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::LabelKind;

    #[test]
    fn each_has_its_word() {
        let words = LabelKind::ALL.map(LabelKind::word);
        assert_eq!(words, ["bucket", "jar", "bag", "bottle", "tile"]);
    }
}
