//! A text set into a box: the largest type at which all of it fits, with a code
//! in the lower right corner where there is one.

use crate::svg::{Anchor, Svg, Weight, text_width, words};

/// From one line of type to the next, in sizes of the type: labels set close.
const LINE: f64 = 1.2;
/// From the top of a line to its letters' foot, in sizes of the type.
const FOOT: f64 = 0.94;
/// Between a text and the code.
const CLEAR_OF_CODE: f64 = 1.5;

/// A part of a label: its own line or lines.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Piece {
    pub(crate) text: String,
    pub(crate) weight: Weight,
    /// Its type, in sizes of the label's smallest.
    pub(crate) scale: f64,
}

impl Piece {
    pub(crate) fn plain(scale: f64, text: impl Into<String>) -> Piece {
        Piece {
            text: text.into(),
            weight: Weight::Regular,
            scale,
        }
    }

    pub(crate) fn bold(scale: f64, text: impl Into<String>) -> Piece {
        Piece {
            weight: Weight::Bold,
            ..Piece::plain(scale, text)
        }
    }

    fn line_height(&self, size: f64) -> f64 {
        if self.text.contains("__") {
            (LINE * size).max(BY_HAND_MM.min(2.0 * size))
        } else {
            LINE * size
        }
    }
}

/// Room for a pencil above a line to write on.
const BY_HAND_MM: f64 = 7.5;

/// A box to set in.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Room {
    pub(crate) width: f64,
    pub(crate) height: f64,
    /// The side of the code in its corner; 0 for none.
    pub(crate) code: f64,
}

impl Room {
    /// How wide a line may be that ends at `bottom`.
    fn width_at(&self, bottom: f64) -> f64 {
        if self.code > 0.0 && bottom > self.height - self.code {
            self.width - self.code - CLEAR_OF_CODE
        } else {
            self.width
        }
    }
}

#[derive(Debug, Clone, PartialEq)]
struct SetLine {
    foot: f64,
    size: f64,
    weight: Weight,
    text: String,
}

/// A text set into its box.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Set {
    /// The smallest type in it, in mm.
    pub(crate) size: f64,
    lines: Vec<SetLine>,
}

impl Set {
    /// The largest setting with its smallest type between `least` and `most` mm.
    pub(crate) fn largest(pieces: &[Piece], room: Room, least: f64, most: f64) -> Option<Set> {
        const STEP: f64 = 0.05;
        let steps = ((most - least) / STEP).ceil().max(0.0) as usize;
        (0..=steps)
            .map(|step| (most - step as f64 * STEP).max(least))
            .find_map(|size| Set::at(pieces, room, size))
    }

    fn at(pieces: &[Piece], room: Room, size: f64) -> Option<Set> {
        let mut lines = Vec::new();
        let mut y = 0.0;
        for (index, piece) in pieces.iter().enumerate() {
            if index > 0 {
                y += 0.32 * size;
            }
            // A long word in a name gets smaller type, not smaller than the rest.
            let scales = [1.0, 0.85, 0.7, 0.55]
                .iter()
                .map(|part| (piece.scale * part).max(1.0_f64.min(piece.scale)));
            let (set, below) = scales
                .filter_map(|scale| piece_lines(piece, room, scale * size, y))
                .next()?;
            lines.extend(set);
            y = below;
        }
        (y <= room.height + 1e-9).then_some(Set { size, lines })
    }

    /// Draws it from its upper left corner.
    pub(crate) fn draw(&self, svg: &mut Svg, x: f64, y: f64) {
        for line in &self.lines {
            svg.write(x, y + line.foot, line.size, Anchor::Start, line.weight, &line.text);
        }
    }
}

/// A piece from `y` on, and where it ends; `None` where a word is too wide or
/// the box too low.
fn piece_lines(piece: &Piece, room: Room, size: f64, mut y: f64) -> Option<(Vec<SetLine>, f64)> {
    let height = piece.line_height(size);
    let wide = |text: &str| text_width(text, size, piece.weight);
    let mut lines: Vec<SetLine> = Vec::new();
    let begin = |y: f64, word: &str, lines: &mut Vec<SetLine>| {
        lines.push(SetLine {
            foot: y + height - (LINE - FOOT) * size,
            size,
            weight: piece.weight,
            text: word.to_owned(),
        });
    };
    for word in &words(&piece.text) {
        let longer = lines.last().map(|line| format!("{} {word}", line.text));
        if let (Some(longer), Some(line)) = (longer, lines.last_mut())
            && wide(&longer) <= room.width_at(y)
        {
            line.text = longer;
            continue;
        }
        y += height;
        if wide(word) > room.width_at(y) || y > room.height + 1e-9 {
            return None;
        }
        begin(y - height, word, &mut lines);
    }
    Some((lines, y))
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROOM: Room = Room {
        width: 60.0,
        height: 30.0,
        code: 0.0,
    };

    fn pieces() -> Vec<Piece> {
        vec![
            Piece::bold(2.0, "Lamplight clear"),
            Piece::plain(1.0, "1 kg of powder to 5 3/4 cups (1.44 l), then weigh a jar"),
        ]
    }

    #[test]
    fn every_line_is_inside_its_box() {
        let room = Room { code: 18.0, ..ROOM };
        let set = Set::largest(&pieces(), room, 2.0, 6.0).unwrap();
        for line in &set.lines {
            assert!(text_width(&line.text, line.size, line.weight) <= room.width_at(line.foot));
            assert!(line.foot <= room.height);
        }
        let words: Vec<&str> = set.lines.iter().flat_map(|line| line.text.split(' ')).collect();
        assert_eq!(words.len(), 2 + 14);
    }

    #[test]
    fn more_room_means_larger_type() {
        let small = Set::largest(&pieces(), ROOM, 2.0, 6.0).unwrap();
        let large = Room {
            width: 100.0,
            height: 60.0,
            code: 0.0,
        };
        assert!(Set::largest(&pieces(), large, 2.0, 6.0).unwrap().size > small.size);
    }

    #[test]
    fn what_does_not_fit_is_not_set() {
        let tiny = Room {
            width: 10.0,
            height: 30.0,
            code: 0.0,
        };
        assert_eq!(Set::largest(&pieces(), tiny, 2.8, 6.0), None);
    }
}
