//! How the tiles of a plan lie beside each other.

/// The shape of a plan's map.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Shape {
    /// One row from end to end.
    Line,
    /// A triangle: three ends at its corners.
    Triangle,
    /// Rows and columns.
    Grid,
    /// Triangles of the first three ends, one for each share of the fourth.
    Layers,
    /// No picture: tiles one after the other.
    #[default]
    List,
}

impl Shape {
    /// Every shape.
    pub const ALL: [Shape; 5] = [Shape::Line, Shape::Triangle, Shape::Grid, Shape::Layers, Shape::List];

    /// Its word, in scripts and in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Shape::Line => "line",
            Shape::Triangle => "triangle",
            Shape::Grid => "grid",
            Shape::Layers => "layers",
            Shape::List => "list",
        }
    }

    /// The shape of this word.
    pub fn from_word(word: &str) -> Option<Shape> {
        Shape::ALL.into_iter().find(|shape| shape.word() == word)
    }

    /// The shape of a plan that doesn't say: two ends make a line.
    pub fn usual(ends: usize) -> Shape {
        match ends {
            0..=2 => Shape::Line,
            3 => Shape::Triangle,
            _ => Shape::List,
        }
    }
}
