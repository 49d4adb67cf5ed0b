//! What sort of thing a material is.

/// The sort of a material, as its file says it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// A ground rock or mineral: feldspar, silica, whiting, talc.
    Mineral,
    /// A raw clay: kaolin, ball clay, bentonite.
    Clay,
    /// A ground glass made for glazes.
    Frit,
    /// Any other ground glass.
    Glass,
    /// A made chemical: zinc oxide, barium carbonate.
    Chemical,
    /// A colouring oxide or carbonate.
    Colourant,
    /// A fired pigment.
    Stain,
    /// A gum or other organic addition that burns out.
    Gum,
    /// A pure substance by formula; nobody's bag.
    Textbook,
    /// A ready-made powder.
    Powder,
}

impl Kind {
    /// Every kind with the word used in files.
    pub const WORDS: [(&'static str, Kind); 10] = [
        ("mineral", Kind::Mineral),
        ("clay", Kind::Clay),
        ("frit", Kind::Frit),
        ("glass", Kind::Glass),
        ("chemical", Kind::Chemical),
        ("colourant", Kind::Colourant),
        ("stain", Kind::Stain),
        ("gum", Kind::Gum),
        ("textbook", Kind::Textbook),
        ("powder", Kind::Powder),
    ];

    /// The word used in files.
    pub fn word(self) -> &'static str {
        Kind::WORDS
            .iter()
            .find(|known| known.1 == self)
            .map_or("", |known| known.0)
    }

    /// The kind with this word.
    pub fn from_word(word: &str) -> Option<Kind> {
        Kind::WORDS.iter().find(|known| known.0 == word).map(|known| known.1)
    }

    /// Melted before it is bought: a fired analysis without a loss is complete.
    pub fn already_melted(self) -> bool {
        matches!(self, Kind::Frit | Kind::Glass | Kind::Stain)
    }
}
