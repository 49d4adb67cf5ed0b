//! A grid of labels as the call names it: one that comes along, or one's own.

use glost_chemistry::diagnostic::{is_no, of_typed, under};
use glost_chemistry::quantity::{NumberTrouble, parse_fraction, parse_number};

use super::grid::{Ground, LabelGrid, shipped_grids};
use super::paper::Paper;

const INCH: f64 = 25.4;
/// The smallest label and the most of them on a sheet: beyond, it is a slip.
const SMALLEST_MM: f64 = 10.0;
const MOST_ON_A_SHEET: f64 = 500.0;
/// Sides off by less than this, both together, may be a slip of the pen.
const NEAR_MM: f64 = 15.0;
const OWN: &str = "say one of your own in full: \"63.5 x 38.1 mm, 3 across, 7 down, A4\", where needed with \"left 7.2 mm, top 15.1 mm, pitch 66 x 38.1 mm\" as measured on the sheet";

fn trouble(message: String, help: impl Into<String>) -> NumberTrouble {
    NumberTrouble {
        message,
        help: Some(help.into()),
    }
}

/// Reads `70 x 37 mm`, `70 x 37 mm, 24 a sheet`, or a grid of one's own:
/// `63.5 x 38.1 mm, 3 across, 7 down, A4, left 7.2 mm, top 15.1 mm, pitch 66 x 38.1 mm`.
/// What is left out of one's own lies in the middle, label beside label.
///
/// # Errors
/// No such grid; a length without its unit; labels that don't fit the sheet.
pub fn parse_grid(text: &str) -> Result<LabelGrid, NumberTrouble> {
    let parts = parts(text);
    let mut parts = parts.iter().map(|part| part.trim());
    let first = parts.next().unwrap_or("");
    let (width, height) = sides(first)?;
    let mut own = Own::default();
    for part in parts {
        own.read(part)?;
    }
    if own.is_own() {
        return own.grid(first, width, height);
    }
    let of_size = |grid: &&LabelGrid| {
        (grid.width - width).abs() < 0.06
            && (grid.height - height).abs() < 0.06
            && own.count.is_none_or(|count| count == grid.per_sheet())
            && own.paper.is_none_or(|paper| grid.ground == Ground::Labels(paper))
    };
    let shipped = shipped_grids();
    shipped.iter().find(of_size).cloned().ok_or_else(|| {
        let off = |grid: &&LabelGrid| (grid.width - width).abs() + (grid.height - height).abs();
        let nearest = shipped.iter().min_by(|one, other| off(one).total_cmp(&off(other)));
        let near = nearest.filter(|grid| off(grid) < NEAR_MM);
        let near = near.map_or_else(String::new, |grid| format!("did you mean \"{grid}\"? Or "));
        trouble(
            format!("no sheet of `{text}` comes along"),
            format!("{near}{OWN}; `--grid list` shows those that come along"),
        )
    })
}

/// The parts between commas; a comma between two digits is a decimal comma.
fn parts(text: &str) -> Vec<String> {
    let signs: Vec<char> = text.chars().collect();
    let digit = |index: Option<usize>| {
        index
            .and_then(|index| signs.get(index))
            .is_some_and(char::is_ascii_digit)
    };
    let mut parts = vec![String::new()];
    for (index, sign) in signs.iter().enumerate() {
        if *sign == ',' && !(digit(index.checked_sub(1)) && digit(Some(index + 1))) {
            parts.push(String::new());
        } else if let Some(part) = parts.last_mut() {
            part.push(*sign);
        }
    }
    parts
}

/// `70 x 37 mm`, `2 5/8 x 1 in`.
fn sides(text: &str) -> Result<(f64, f64), NumberTrouble> {
    let lower = text.to_lowercase();
    let (numbers, unit) = unit(&lower).ok_or_else(|| {
        trouble(
            of_typed(text, "has no unit"),
            "width x height with mm, cm or in: \"70 x 37 mm\", \"4 x 2 in\"; or --grid list",
        )
    })?;
    let sides: Vec<&str> = numbers.split(['x', '×']).map(str::trim).collect();
    let [width, height] = sides.as_slice() else {
        return Err(trouble(
            is_no(text, "width x height"),
            "such as \"70 x 37 mm\" or \"4 x 2 in\"; --grid list shows those that come along",
        ));
    };
    Ok((side(width)? * unit, side(height)? * unit))
}

fn length(text: &str) -> Result<f64, NumberTrouble> {
    let lower = text.to_lowercase();
    let (number, unit) =
        unit(&lower).ok_or_else(|| trouble(of_typed(text, "has no unit"), "a length with mm, cm or in: \"7.2 mm\""))?;
    Ok(parse_fraction(number)?.value * unit)
}

fn side(text: &str) -> Result<f64, NumberTrouble> {
    let value = parse_fraction(text)?.value;
    if value <= 0.0 {
        return Err(trouble(is_no(text, "side of a label"), "sides are above zero"));
    }
    Ok(value)
}

/// The numbers before a unit, and the unit in mm.
fn unit(text: &str) -> Option<(&str, f64)> {
    let units = [
        ("mm", 1.0),
        ("cm", 10.0),
        ("inches", INCH),
        ("inch", INCH),
        ("in", INCH),
        ("\"", INCH),
    ];
    units
        .iter()
        .find_map(|(name, size)| Some((text.strip_suffix(name)?.trim(), *size)))
}

/// What a call says after the size.
#[derive(Default)]
struct Own {
    count: Option<usize>,
    paper: Option<Paper>,
    across: Option<usize>,
    down: Option<usize>,
    left: Option<f64>,
    top: Option<f64>,
    pitch: Option<(f64, f64)>,
}

impl Own {
    fn read(&mut self, part: &str) -> Result<(), NumberTrouble> {
        let lower = part.to_lowercase();
        let words: Vec<&str> = lower.split_whitespace().collect();
        match words.as_slice() {
            ["a4"] => self.paper = Some(Paper::A4),
            ["letter"] => self.paper = Some(Paper::Letter),
            [count, "across"] => self.across = Some(whole(count)?),
            [count, "down"] => self.down = Some(whole(count)?),
            [count, "a", "sheet"] => self.count = Some(whole(count)?),
            [count, "a", "sheet", "a4"] => (self.count, self.paper) = (Some(whole(count)?), Some(Paper::A4)),
            [count, "a", "sheet", "letter"] => (self.count, self.paper) = (Some(whole(count)?), Some(Paper::Letter)),
            ["left", rest @ ..] => self.left = Some(length(&rest.join(" "))?),
            ["top", rest @ ..] => self.top = Some(length(&rest.join(" "))?),
            ["pitch", rest @ ..] => self.pitch = Some(sides(&rest.join(" "))?),
            _ => return Err(trouble(of_typed(part, "says nothing about a sheet of labels"), OWN)),
        }
        Ok(())
    }

    fn is_own(&self) -> bool {
        self.across.is_some()
            || self.down.is_some()
            || self.left.is_some()
            || self.top.is_some()
            || self.pitch.is_some()
    }

    fn grid(&self, size: &str, width: f64, height: f64) -> Result<LabelGrid, NumberTrouble> {
        let (Some(across), Some(down), Some(paper)) = (self.across, self.down, self.paper) else {
            return Err(trouble(
                under(size, "how many across and down, and on which paper?"),
                OWN,
            ));
        };
        if width.min(height) < SMALLEST_MM {
            return Err(trouble(
                format!("a label of `{size}` is too small to print on"),
                format!("each side is {SMALLEST_MM} mm or more"),
            ));
        }
        let (pitch_x, pitch_y) = self.pitch.unwrap_or((width, height));
        let grid = LabelGrid {
            size: size.to_owned(),
            ground: Ground::Labels(paper),
            across,
            down,
            width,
            height,
            left: 0.0,
            top: 0.0,
            pitch_x,
            pitch_y,
        }
        .moved_to(self.left, self.top);
        if let Some(fault) = grid.fault() {
            return Err(trouble(
                fault,
                "measure the sheet again: left, top, pitch; or leave them out for the middle",
            ));
        }
        if let Some(count) = self.count
            && count != grid.per_sheet()
        {
            return Err(trouble(
                format!("{across} across and {down} down are {}, not {count}", grid.per_sheet()),
                "which of them is right?",
            ));
        }
        Ok(grid)
    }
}

fn whole(text: &str) -> Result<usize, NumberTrouble> {
    let value = parse_number(text)?.value;
    if !(1.0..=MOST_ON_A_SHEET).contains(&value) || value.fract() != 0.0 {
        return Err(trouble(is_no(text, "number of labels"), "a whole number of 1 or more"));
    }
    Ok(value as usize)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grids_by_their_dimensions() {
        for text in [
            "70 x 37 mm",
            "7 x 3.7 cm",
            "70x37mm",
            "70 x 37 mm, 24 a sheet A4",
            "70 × 37 mm, A4",
        ] {
            assert_eq!(parse_grid(text).unwrap().per_sheet(), 24, "{text}");
        }
        for text in ["2 5/8 x 1 in", "66.7 x 25.4 mm", "2.625 x 1 inches", "66,7 x 25,4 mm"] {
            assert_eq!(parse_grid(text).unwrap().per_sheet(), 30, "{text}");
        }
    }

    #[test]
    fn a_grid_of_ones_own() {
        let grid = parse_grid("50 x 30 mm, 3 across, 8 down, A4, left 20 mm, top 1.5 cm, pitch 55 x 32 mm").unwrap();
        assert_eq!(grid.place(4), (75.0, 47.0));
        let middle = parse_grid("50 x 30 mm, 3 across, 8 down, Letter").unwrap();
        assert!((middle.left - (215.9 - 150.0) / 2.0).abs() < 1e-9);
    }

    #[test]
    fn slips_are_told() {
        for wrong in [
            "",
            "70",
            "70 x 37",
            "70 mm",
            "70 x 37 x 2 mm",
            "0 x 37 mm",
            "-70 x 37 mm",
            "nan x 37 mm",
            "70 x 37 mm, 23 a sheet",
            "70 x 37 mm, Letter",
            "71 x 37 mm",
            "70 x 37 mm, blue",
            "70 x 37 mm, 4 across, 8 down, A4",
            "70 x 37 mm, 3 across, 9 down, A4",
            "70 x 37 mm, 3 across",
            "70 x 37 mm, 3 across, 8 down, A4, pitch 60 x 37 mm",
            "70 x 37 mm, 3 across, 8 down, A4, 23 a sheet",
            "5 x 5 mm, 3 across, 8 down, A4",
            "70 x 37 mm, 0 across, 8 down, A4",
            "70 x 37 mm, 1.5 across, 8 down, A4",
            "70 x 37 mm, 3 across, 8 down, A4, left 5",
        ] {
            let bad = parse_grid(wrong).unwrap_err();
            assert!(bad.help.is_some() && !bad.message.is_empty(), "{wrong}");
        }
    }
}
