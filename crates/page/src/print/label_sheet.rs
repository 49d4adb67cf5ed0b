//! Labels on their sheets: each set into its place of a grid.

use glost_chemistry::diagnostic::Diagnostic;
use glost_core::workshop::label::LabelKind;
use glost_desk::label::{Ground, LabelGrid, OneLabel, Sheet, shipped_grids};
use serde::Serialize;
use serde_json::Value;

use super::label_face;
use crate::face::{Room, Set};
use crate::layout::indented;
use crate::paper::POINT_MM;
use crate::qr::{Code, LEAST_MODULE_MM};
use crate::sheet::{Pages, Setting};
use crate::svg::{Paint, Svg};
use crate::words::label::title;

/// No label has smaller type: 8 pt.
const LEAST_TYPE: f64 = 8.0 * POINT_MM;
/// Where it can be had, 9 pt: less is printed rather than read less well.
const EASY_TYPE: f64 = 9.0 * POINT_MM;
/// Its smallest type never grows beyond 15 pt.
const MOST_TYPE: f64 = 15.0 * POINT_MM;
/// Printers feed sheets to a millimetre or two: this much of a label stays free.
const INSET: f64 = 2.5;
/// Printers leave this much of the paper's edge white: common practice, no source.
const EDGE: f64 = 4.3;
/// A code takes no more of a label's width than this.
const MOST_CODE: f64 = 0.4;

/// Labels to print.
#[derive(Debug)]
pub(crate) struct LabelSheet<'a> {
    /// Each label.
    pub(crate) labels: &'a [OneLabel],
    /// How they lie on their sheets.
    pub(crate) sheet: &'a Sheet,
}

/// A label set into a place.
#[derive(Debug, Clone, PartialEq)]
struct Laid {
    set: Set,
    code: Option<(Code, f64)>,
    left_off: Vec<&'static str>,
    code_note: Option<String>,
}

/// Pages with what was left off them.
#[derive(Debug)]
pub(crate) struct Printed {
    /// The pages.
    pub(crate) pages: Pages,
    grid: String,
    labels: usize,
    smallest_type_pt: f64,
    left_off: Vec<String>,
    code_text: Option<String>,
    is_grid: bool,
}

#[derive(Serialize)]
struct PrintedJson<'a> {
    grid: &'a str,
    labels: usize,
    sheets: usize,
    smallest_type_pt: f64,
    left_off: &'a [String],
    code: Option<&'a str>,
}

impl LabelSheet<'_> {
    /// The pages.
    ///
    /// # Errors
    /// A label that doesn't fit its place; a sheet with no place left.
    pub(crate) fn print(&self) -> Result<Printed, Diagnostic> {
        let per_sheet = self.sheet.grid.per_sheet();
        if self.sheet.skip >= per_sheet {
            return Err(Diagnostic::error(
                "bad-option",
                format!(
                    "--skip: the sheet has {per_sheet} labels, {} of them used leaves none",
                    self.sheet.skip
                ),
            )
            .help("take a fresh sheet and leave --skip out; it counts the labels already used, row by row"));
        }
        let laid: Vec<Laid> = self
            .labels
            .iter()
            .map(|label| self.lay(label))
            .collect::<Result<_, _>>()?;
        let wanted: Vec<&Laid> = laid
            .iter()
            .flat_map(|one| std::iter::repeat_n(one, self.sheet.copies))
            .collect();
        let sheets = (self.sheet.skip + wanted.len()).div_ceil(per_sheet);
        let drawings = (0..sheets)
            .map(|sheet| self.draw_sheet(sheet * per_sheet, &wanted))
            .collect();
        let mut left_off: Vec<String> = Vec::new();
        for one in &laid {
            let off = one.left_off.iter().map(|word| (*word).to_owned());
            for word in off.chain(one.code_note.clone()) {
                if !left_off.contains(&word) {
                    left_off.push(word);
                }
            }
        }
        let smallest = laid.iter().map(|one| one.set.size).fold(MOST_TYPE, f64::min);
        Ok(Printed {
            pages: Pages {
                title: self.labels.first().map_or_else(String::new, title),
                setting: match self.sheet.grid.ground {
                    Ground::Labels(paper) => Setting::Exact(paper),
                    Ground::Plain => Setting::AnyPaper,
                },
                drawings,
            },
            grid: self.sheet.grid.to_string(),
            labels: wanted.len(),
            smallest_type_pt: smallest / POINT_MM,
            left_off,
            code_text: self
                .sheet
                .code_text
                .clone()
                .filter(|_| laid.iter().any(|one| one.code.is_some())),
            is_grid: self.sheet.grid.ground != Ground::Plain,
        })
    }

    fn draw_sheet(&self, first: usize, wanted: &[&Laid]) -> String {
        let (width, height) = self.sheet.grid.sheet_size();
        let mut svg = Svg::new(width, height);
        for place in 0..self.sheet.grid.per_sheet() {
            let Some(laid) = (first + place)
                .checked_sub(self.sheet.skip)
                .and_then(|index| wanted.get(index))
            else {
                continue;
            };
            let (x, y) = self.sheet.grid.place(place);
            if self.sheet.outlines || self.sheet.grid.ground == Ground::Plain {
                // Half the line inside the page at its edges.
                svg.rect(
                    x.max(0.1),
                    y.max(0.1),
                    self.sheet.grid.width.min(width - 0.1 - x.max(0.1)),
                    self.sheet.grid.height.min(height - 0.1 - y.max(0.1)),
                    Paint::outline(0.2),
                );
            }
            let (across, down) = insets(&self.sheet.grid);
            laid.set.draw(&mut svg, x + across, y + down);
            if let Some((code, side)) = &laid.code {
                code.draw(
                    &mut svg,
                    x + self.sheet.grid.width - across - side,
                    y + self.sheet.grid.height - down - side,
                    *side,
                );
            }
        }
        svg.finish()
    }

    /// The fullest choice that reads easily, else the fullest that can be read.
    fn lay(&self, label: &OneLabel) -> Result<Laid, Diagnostic> {
        let (width, height) = inner_size(&self.sheet.grid);
        let code = self.sheet.code_text.as_deref().map(|text| (Code::of(text), text.len()));
        let room = height.min(MOST_CODE * self.sheet.grid.width);
        let sides = code.as_ref().and_then(|(code, _)| Some(code.as_ref()?.sides_in(room)));
        // The largest code first, none last.
        let sides: Vec<f64> = sides.into_iter().flatten().chain([0.0]).collect();
        let faces = label_face::faces(label);
        for least in [EASY_TYPE, LEAST_TYPE] {
            for face in &faces {
                for &side in &sides {
                    let room = Room {
                        width,
                        height,
                        code: side,
                    };
                    let Some(set) = Set::largest(&face.pieces, room, least, MOST_TYPE) else {
                        continue;
                    };
                    let drawn = code.as_ref().filter(|_| side > 0.0).and_then(|(code, _)| code.clone());
                    return Ok(Laid {
                        code_note: code.as_ref().filter(|_| drawn.is_none()).map(code_note),
                        set,
                        code: drawn.map(|code| (code, side)),
                        left_off: face.left_off.clone(),
                    });
                }
            }
        }
        Err(self.does_not_fit(label))
    }

    fn does_not_fit(&self, label: &OneLabel) -> Diagnostic {
        let fits: Vec<String> = shipped_grids()
            .into_iter()
            .filter(|grid| {
                let (width, height) = inner_size(grid);
                let room = Room {
                    width,
                    height,
                    code: 0.0,
                };
                label_face::faces(label)
                    .last()
                    .is_some_and(|face| Set::largest(&face.pieces, room, LEAST_TYPE, MOST_TYPE).is_some())
            })
            .map(|grid| grid.size)
            .collect();
        let mut help = if fits.is_empty() {
            "leave --grid out and cut it from plain paper".to_owned()
        } else {
            format!(
                "it fits on {}; or leave --grid out and cut it from plain paper",
                fits.join(", ")
            )
        };
        if label.kind != LabelKind::Tile {
            help.push_str("; --kind tile says the least");
        }
        Diagnostic::error(
            "label-too-small",
            format!(
                "the {} label of {} doesn't fit on {} in type of {:.0} pt, however much is left off",
                label.kind.word(),
                title(label),
                self.sheet.grid.size,
                LEAST_TYPE / POINT_MM
            ),
        )
        .help(help)
    }
}

/// What stays free at the sides of a label, and above and below. Smaller ones can
/// spare less; at the edge of the paper no printer prints.
fn insets(grid: &LabelGrid) -> (f64, f64) {
    let inset = INSET.min(0.08 * grid.height);
    match grid.ground {
        Ground::Plain => (inset, inset),
        Ground::Labels(_) => (
            inset.max(EDGE - grid.left_over().0),
            inset.max(EDGE - grid.left_over().1),
        ),
    }
}

/// Width and height that a label's text has.
fn inner_size(grid: &LabelGrid) -> (f64, f64) {
    let (across, down) = insets(grid);
    (grid.width - 2.0 * across, grid.height - 2.0 * down)
}

fn code_note((code, length): &(Option<Code>, usize)) -> String {
    match code {
        Some(code) => format!(
            "the QR code of the recipe: at {LEAST_MODULE_MM} mm a square it takes {:.0} x {:.0} mm",
            code.least_side().ceil(),
            code.least_side().ceil()
        ),
        None => format!("the QR code of the recipe: {length} letters are more than one holds"),
    }
}

impl Printed {
    /// What was printed on what, and what was left off.
    pub(crate) fn json(&self) -> Value {
        let told = PrintedJson {
            grid: &self.grid,
            labels: self.labels,
            sheets: self.pages.drawings.len(),
            smallest_type_pt: self.smallest_type_pt,
            left_off: &self.left_off,
            code: self.code_text.as_deref(),
        };
        // Texts and finite numbers always have their JSON.
        serde_json::to_value(told).unwrap_or(Value::Null)
    }

    /// The same for a terminal.
    pub(crate) fn text(&self) -> String {
        let count = |number: usize, word: &str| match number {
            1 => format!("1 {word}"),
            more => format!("{more} {word}s"),
        };
        let mut text = indented(
            "Labels: ",
            &format!(
                "{}, {} on {}; smallest type {:.0} pt.",
                self.grid,
                count(self.labels, "label"),
                count(self.pages.drawings.len(), "page"),
                self.smallest_type_pt.floor()
            ),
        );
        if !self.left_off.is_empty() {
            text.push_str(&indented("Left off: ", &format!("{}.", self.left_off.join("; "))));
        }
        if self.is_grid {
            text.push_str(&indented(
                "Print: ",
                "at 100 %, not \"fit to page\", no margins, no headers; first on plain paper with --outlines, held against the sheet of labels.",
            ));
        }
        text
    }
}
