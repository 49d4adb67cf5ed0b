//! The ruler as text: past glazes along the expansion, as wide as the terminal and at most 80
//! columns.

use super::placed::Scale;
use super::{FitPage, shortened};
use crate::layout::width;

/// Columns of the ruler itself at most; names stand left of it, counts right of it.
const COLUMNS: usize = 38;
const NAME_COLUMNS: usize = 21;
/// On a narrower terminal.
const NARROW_NAME_COLUMNS: usize = 16;
const LEAST_COLUMNS: usize = 12;
const REMARK_COLUMNS: usize = 18;

/// Columns for the ruler, and for the names before it; counts stand below where there is no
/// room beside.
fn columns() -> (usize, usize) {
    if is_wide() {
        return (COLUMNS, NAME_COLUMNS);
    }
    let rest = width().saturating_sub(NARROW_NAME_COLUMNS + 1);
    (rest.clamp(LEAST_COLUMNS, COLUMNS), NARROW_NAME_COLUMNS)
}

fn is_wide() -> bool {
    width() >= NAME_COLUMNS + 1 + COLUMNS + 2 + REMARK_COLUMNS
}

impl FitPage<'_> {
    /// The ruler with its legend; `None` where nothing can be placed.
    pub(super) fn ruler(&self) -> Option<String> {
        let scale = self.scale()?;
        let mut text = String::new();
        text.push_str(&line("1e-6/K", &axis_numbers(&scale), ""));
        text.push_str(&line("", &axis(&scale), ""));
        for glaze in &scale.placed {
            let mut row = vec![' '; columns().0];
            row[column(&scale, glaze.expansion)] = glaze.did.mark();
            text.push_str(&line(&glaze.name, &row, &glaze.remark));
        }
        if let Some(this) = scale.this {
            text.push_str(&line("this glaze", &span(&scale, this, ['(', '-', '*', ')']), ""));
        }
        let craze = span(&scale, scale.craze, ['[', '=', '|', ']']);
        text.push_str(&line("crazing starts", &craze, ""));
        if let Some(shiver) = scale.shiver {
            let shiver = span(&scale, shiver, ['[', '=', '|', ']']);
            text.push_str(&line("shivering below", &shiver, ""));
        }
        let mut legend =
            "o held, x crazed, s shivered; bands are 90 %, this glaze's for comparing it with others".to_owned();
        for words in scale.left_out() {
            legend.push_str(&format!("; {words}"));
        }
        text.push_str(&crate::layout::paragraph(&legend, 0));
        Some(text)
    }
}

fn line(name: &str, ruler: &[char], remark: &str) -> String {
    let (_, names) = columns();
    let name = shortened(name, names);
    let ruler: String = ruler.iter().collect();
    let remark = shortened(remark, REMARK_COLUMNS);
    if is_wide() {
        return format!("{}\n", format!("{name:names$} {ruler}  {remark}").trim_end());
    }
    let below = if remark.is_empty() {
        String::new()
    } else {
        format!("  {remark}\n")
    };
    format!("{}\n{below}", format!("{name:names$} {ruler}").trim_end())
}

/// The column of an expansion; what lies beyond stands at the end.
fn column(scale: &Scale, expansion: f64) -> usize {
    let along = (expansion - scale.low) / (scale.high - scale.low);
    ((columns().0 - 1) as f64 * along)
        .round()
        .clamp(0.0, (columns().0 - 1) as f64) as usize
}

fn span(scale: &Scale, (low, middle, high): (f64, f64, f64), signs: [char; 4]) -> Vec<char> {
    let mut row = vec![' '; columns().0];
    let (from, at, to) = (column(scale, low), column(scale, middle), column(scale, high));
    for sign in &mut row[from..=to] {
        *sign = signs[1];
    }
    row[from] = signs[0];
    row[to] = signs[3];
    row[at] = signs[2];
    row
}

/// Whole and half units that have a place, at least six columns apart.
fn ticks(scale: &Scale) -> impl Iterator<Item = f64> {
    let per_unit = (columns().0 - 1) as f64 / (scale.high - scale.low);
    let step = [0.5, 1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .find(|step| step * per_unit >= 6.0);
    let step = step.unwrap_or(20.0);
    let first = (scale.low / step).ceil();
    let count = ((scale.high / step).floor() - first).max(0.0) as usize + 1;
    (0..count).map(move |index| (first + index as f64) * step)
}

fn axis(scale: &Scale) -> Vec<char> {
    let mut row = vec!['-'; columns().0];
    for tick in ticks(scale) {
        row[column(scale, tick)] = '+';
    }
    row
}

fn axis_numbers(scale: &Scale) -> Vec<char> {
    let mut row = vec![' '; columns().0];
    for tick in ticks(scale) {
        let number: Vec<char> = format!("{tick:.1}").chars().collect();
        let start = column(scale, tick).saturating_sub(1).min(columns().0 - number.len());
        for (place, digit) in row[start..].iter_mut().zip(number) {
            *place = digit;
        }
    }
    row
}
