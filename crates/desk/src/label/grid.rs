//! Sheets of labels: how many across and down, how large, how far apart.

use std::fmt;

use super::paper::{COMMON_HEIGHT_MM, COMMON_WIDTH_MM, Paper};

const INCH: f64 = 25.4;

/// What a grid is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ground {
    /// A sheet of labels, without margins of its own.
    Labels(Paper),
    /// Plain paper, A4 or Letter, to cut along lines.
    Plain,
}

/// A grid of labels; lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct LabelGrid {
    /// Its size in words, as `70 x 37 mm`.
    pub size: String,
    /// The paper.
    pub ground: Ground,
    /// Labels beside each other.
    pub across: usize,
    /// Labels below each other.
    pub down: usize,
    /// Width of a label.
    pub width: f64,
    /// Height of a label.
    pub height: f64,
    /// From the sheet's left edge to the first label.
    pub left: f64,
    /// From the sheet's upper edge to the first label.
    pub top: f64,
    /// From a label's left edge to the next one's.
    pub pitch_x: f64,
    /// From a label's upper edge to the next one's.
    pub pitch_y: f64,
}

impl LabelGrid {
    /// Labels on a sheet.
    pub fn per_sheet(&self) -> usize {
        self.across * self.down
    }

    /// Width and height of the drawing that holds a sheet.
    pub fn sheet_size(&self) -> (f64, f64) {
        match self.ground {
            Ground::Labels(paper) => (paper.width_mm(), paper.height_mm()),
            Ground::Plain => (COMMON_WIDTH_MM, COMMON_HEIGHT_MM),
        }
    }

    /// Upper left corner of a place, counted row by row from 0.
    pub fn place(&self, index: usize) -> (f64, f64) {
        let (row, column) = (index / self.across, index % self.across);
        (
            self.left + column as f64 * self.pitch_x,
            self.top + row as f64 * self.pitch_y,
        )
    }

    /// Labels of this size with gaps between them, in the middle of the sheet.
    fn centred(
        size: &str,
        ground: Ground,
        (across, down): (usize, usize),
        (width, height): (f64, f64),
        gap: f64,
    ) -> LabelGrid {
        let mut grid = LabelGrid {
            size: size.to_owned(),
            ground,
            across,
            down,
            width,
            height,
            left: 0.0,
            top: 0.0,
            pitch_x: width + gap,
            pitch_y: height,
        };
        grid.centre();
        grid
    }

    fn centre(&mut self) {
        let (sheet_width, sheet_height) = self.sheet_size();
        self.left = (sheet_width - self.span().0) / 2.0;
        self.top = (sheet_height - self.span().1) / 2.0;
    }

    /// Width and height of all labels together.
    fn span(&self) -> (f64, f64) {
        (
            self.across.saturating_sub(1) as f64 * self.pitch_x + self.width,
            self.down.saturating_sub(1) as f64 * self.pitch_y + self.height,
        )
    }

    /// The lesser margin of the sheet left or right, and above or below, in mm.
    pub fn left_over(&self) -> (f64, f64) {
        let (sheet_width, sheet_height) = self.sheet_size();
        let (span_width, span_height) = self.span();
        (
            self.left.min(sheet_width - self.left - span_width),
            self.top.min(sheet_height - self.top - span_height),
        )
    }

    /// What keeps the labels from lying on the sheet beside each other, if
    /// anything does.
    pub(crate) fn fault(&self) -> Option<String> {
        const SLACK: f64 = 0.05;
        let (sheet_width, sheet_height) = self.sheet_size();
        let (span_width, span_height) = self.span();
        let name = match self.ground {
            Ground::Labels(paper) => paper.name(),
            Ground::Plain => "the page",
        };
        if self.left < -SLACK || self.left + span_width > sheet_width + SLACK {
            return Some(format!(
                "{} across take {span_width:.1} mm from {:.1} mm on: {name} is {sheet_width:.1} mm wide",
                self.across, self.left
            ));
        }
        if self.top < -SLACK || self.top + span_height > sheet_height + SLACK {
            return Some(format!(
                "{} down take {span_height:.1} mm from {:.1} mm on: {name} is {sheet_height:.1} mm high",
                self.down, self.top
            ));
        }
        let close = (self.across > 1 && self.pitch_x < self.width - SLACK)
            || (self.down > 1 && self.pitch_y < self.height - SLACK);
        close.then(|| "the pitch is less than the label: they would lie on each other".to_owned())
    }

    /// Puts the grid where the call says; what it doesn't say stays in the middle.
    pub(crate) fn moved_to(mut self, left: Option<f64>, top: Option<f64>) -> LabelGrid {
        self.centre();
        self.left = left.unwrap_or(self.left);
        self.top = top.unwrap_or(self.top);
        self
    }
}

impl fmt::Display for LabelGrid {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.ground {
            Ground::Labels(paper) => write!(out, "{}, {} a sheet {}", self.size, self.per_sheet(), paper.name()),
            Ground::Plain => write!(out, "{}, {} a page to cut", self.size, self.per_sheet()),
        }
    }
}

/// The grids that come with Glost, by their dimensions: sizes that sheets of
/// labels are commonly sold in. Margins follow from the sheet's middle, gaps
/// between columns are 2.5 mm (A4) or as given (Letter): common practice.
pub fn shipped_grids() -> Vec<LabelGrid> {
    let a4 = Ground::Labels(Paper::A4);
    let letter = Ground::Labels(Paper::Letter);
    vec![
        LabelGrid::centred("105 x 148 mm", a4, (2, 2), (105.0, 148.0), 0.0),
        LabelGrid::centred("99.1 x 67.7 mm", a4, (2, 4), (99.1, 67.7), 2.5),
        LabelGrid::centred("70 x 37 mm", a4, (3, 8), (70.0, 37.0), 0.0),
        LabelGrid::centred("63.5 x 38.1 mm", a4, (3, 7), (63.5, 38.1), 2.5),
        LabelGrid::centred("38.1 x 21.2 mm", a4, (5, 13), (38.1, 21.2), 2.5),
        LabelGrid::centred(
            "4 x 3 1/3 in",
            letter,
            (2, 3),
            (4.0 * INCH, 10.0 / 3.0 * INCH),
            3.0 / 16.0 * INCH,
        ),
        LabelGrid::centred("4 x 2 in", letter, (2, 5), (4.0 * INCH, 2.0 * INCH), 3.0 / 16.0 * INCH),
        LabelGrid::centred("2 5/8 x 1 in", letter, (3, 10), (2.625 * INCH, INCH), INCH / 8.0),
    ]
}

/// Labels to cut from plain paper, A4 and Letter alike.
pub fn plain_grid(width: f64, height: f64) -> LabelGrid {
    let across = (COMMON_WIDTH_MM / width).floor().max(1.0) as usize;
    let down = (COMMON_HEIGHT_MM / height).floor().max(1.0) as usize;
    let size = format!("{width} x {height} mm");
    LabelGrid::centred(&size, Ground::Plain, (across, down), (width, height), 0.0).moved_to(Some(0.0), Some(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shipped_grids_lie_on_their_sheets() {
        for grid in shipped_grids() {
            assert_eq!(grid.fault(), None, "{grid}");
        }
        let counts: Vec<usize> = shipped_grids().iter().map(LabelGrid::per_sheet).collect();
        assert_eq!(counts, [4, 8, 24, 21, 65, 6, 10, 30]);
        assert_eq!(shipped_grids()[2].to_string(), "70 x 37 mm, 24 a sheet A4");
    }

    #[test]
    fn places_go_row_by_row() {
        let grid = &shipped_grids()[2];
        assert_eq!(grid.place(0), (0.0, 0.5));
        assert_eq!(grid.place(4), (70.0, 37.5));
    }

    #[test]
    fn plain_paper_serves_both_sizes() {
        let grid = plain_grid(93.0, 127.5);
        assert_eq!(grid.per_sheet(), 4);
        assert_eq!(grid.fault(), None);
        assert!(2.0 * crate::label::paper::MARGIN_MM + COMMON_HEIGHT_MM <= Paper::Letter.height_mm());
    }
}
