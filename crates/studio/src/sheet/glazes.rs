//! Rows of a table as glazes.

use std::borrow::Cow;
use std::sync::Arc;

use csv::ByteRecord;
use glost_chemistry::diagnostic::{Diagnostic, Mark, Place, Source, none_called, suggestion};
use glost_chemistry::glaze::{Glaze, GlazeNotes, OneOf, Portion};
use glost_chemistry::material::Library;
use glost_chemistry::quantity::Celsius;
use glost_chemistry::read::{Node, NumberRange, Value, number_of, unguarded};
use glost_chemistry::{Assumption, RecipeAssumption};

use super::columns::{Column, Holds, Told, columns, make_sense};
use super::rows::{Input, RowBlock, SheetRows};

/// Additions in per cent on the base.
const ADDITION: NumberRange = NumberRange {
    least: 0.0,
    most: 1000.0,
};

/// Complaints about longer rows don't show them, bytes.
const MOST_SHOWN_BYTES: usize = 4096;

/// A table of glazes: what its columns hold.
#[derive(Debug)]
pub struct GlazeSheet {
    shown: Arc<str>,
    columns: Vec<Column>,
}

/// A row of the table.
#[derive(Debug)]
pub struct SheetGlaze {
    /// The line it begins in, from 1.
    pub line: usize,
    /// The glaze's name as far as it is told.
    pub name: String,
    /// The glaze, or everything that is wrong with the row.
    pub glaze: Result<Glaze, Vec<Diagnostic>>,
}

/// Something wrong with one cell, its place to be added.
struct Fault {
    column: usize,
    error: Diagnostic,
}

impl GlazeSheet {
    /// Reads the headings of a table: one column is headed `glaze`, any of
    /// `cone`, `peak`, `firing`, `atmosphere`, `clay`, `use`, `notes` may be
    /// there, all others are materials of the base in parts by weight, or
    /// additions (`+ tin oxide`) in per cent on the base. `shown` is the
    /// table's name in complaints.
    ///
    /// # Errors
    /// No table, or headings that no row can be read with. A material that
    /// isn't known is no error until a row has some of it.
    pub fn open(
        input: Box<dyn std::io::Read + Send>,
        shown: &str,
        library: &Library,
    ) -> Result<(GlazeSheet, SheetRows), Vec<Diagnostic>> {
        let input: Input = input;
        let (headings, rows) = SheetRows::open(input, shown, make_sense).map_err(|error| vec![error])?;
        let sheet = GlazeSheet {
            shown: shown.into(),
            columns: columns(&headings, shown, library)?,
        };
        Ok((sheet, rows))
    }

    /// The table's name as shown.
    pub fn shown(&self) -> &str {
        &self.shown
    }

    /// The glazes of some rows; rows of blank cells are passed by.
    pub fn glazes<'a>(&'a self, block: &'a RowBlock) -> impl Iterator<Item = SheetGlaze> + 'a {
        block
            .rows()
            .filter_map(|(line, raw, record)| self.glaze(line, raw, record))
    }

    fn glaze(&self, line: usize, raw: &[u8], record: &ByteRecord) -> Option<SheetGlaze> {
        let mut reading = Reading::default();
        let mut blank = true;
        for (index, cell) in record.iter().enumerate() {
            let cell = cell.trim_ascii();
            if !cell.is_empty() {
                blank = false;
                reading.cell(index, self.columns.get(index), cell);
            }
        }
        if blank {
            return None;
        }
        if record.len() < self.columns.len() {
            let message = format!(
                "the row has {} cells, the headings are {}",
                record.len(),
                self.columns.len()
            );
            let error = Diagnostic::error("short-row", message);
            reading.fault(
                record.len() - 1,
                error.help("is the table cut off? Blank cells need their commas too"),
            );
        }
        let name = std::mem::take(&mut reading.name);
        let glaze = reading.finish(name.clone(), self.name_column());
        let glaze = glaze.map_err(|faults| {
            let raw = String::from_utf8_lossy(raw);
            let row = Source::from_text(&self.shown, &raw);
            let places = cell_places(&raw, record, &faults);
            let place = |(fault, (mark, width)): (Fault, (Mark, usize))| {
                // A row of pages and pages is told by its place alone, not shown each time.
                let mut error = if raw.len() > MOST_SHOWN_BYTES {
                    let mut error = fault.error;
                    error.place = Some(Box::new(Place {
                        file: self.shown.clone(),
                        mark,
                        width,
                        source_line: String::new(),
                    }));
                    error
                } else {
                    fault.error.at(&row, mark, width)
                };
                if let Some(place) = &mut error.place {
                    place.mark.line += line - 1;
                }
                error
            };
            faults.into_iter().zip(places).map(place).collect()
        });
        Some(SheetGlaze { line, name, glaze })
    }

    fn name_column(&self) -> usize {
        let is_name = |column: &Column| matches!(column.holds, Holds::Told(Told::Name));
        self.columns.iter().position(is_name).unwrap_or(0)
    }
}

/// A row as far as it is read.
#[derive(Default)]
struct Reading {
    name: String,
    base: Vec<Portion>,
    additions: Vec<Portion>,
    about: GlazeNotes,
    assumptions: Vec<Assumption>,
    faults: Vec<Fault>,
}

impl Reading {
    fn fault(&mut self, column: usize, error: Diagnostic) {
        self.faults.push(Fault { column, error });
    }

    fn cell(&mut self, index: usize, column: Option<&Column>, cell: &[u8]) {
        let Ok(text) = std::str::from_utf8(cell) else {
            let error = Diagnostic::error("not-utf8", "this cell isn't UTF-8 text");
            return self.fault(index, error.help("save the table again as CSV in UTF-8"));
        };
        let text = unguarded(text);
        let Some(column) = column else {
            let error = Diagnostic::error("no-heading", "this cell stands to the right of the last heading");
            return self.fault(
                index,
                error.help("is there a comma too many? A name with a comma needs quotes"),
            );
        };
        match &column.holds {
            Holds::Told(told) => self.told(index, *told, text),
            Holds::Material { material, addition } => {
                let range = if *addition { ADDITION } else { NumberRange::AMOUNT };
                let Some(percent) = self.amount(index, &column.heading, text, range) else {
                    return;
                };
                let portions = if *addition { &mut self.additions } else { &mut self.base };
                let earlier = |portion: &&mut Portion| column.twin && Arc::ptr_eq(&portion.material, material);
                match portions.iter_mut().find(earlier) {
                    Some(same) => {
                        same.percent += percent;
                        self.assumptions.push(Assumption::Recipe(RecipeAssumption::OtherName {
                            typed: column.heading.clone(),
                            material: material.name.clone(),
                        }));
                    }
                    None => portions.push(Portion {
                        material: material.clone(),
                        percent,
                    }),
                }
            }
            Holds::Unknown { name, help } => {
                // None of it is none of it, whatever it may be.
                if quick_number(text) != Some(0.0) {
                    let error = Diagnostic::error("unknown-material", none_called("material", name));
                    self.fault(index, error.help(help.clone()));
                }
            }
            Holds::Nothing => {
                let error = Diagnostic::error("no-heading", "this column has no heading");
                self.fault(index, error.help("head it with a material's name, or clear its cells"));
            }
        }
    }

    fn told(&mut self, index: usize, told: Told, text: &str) {
        let own = || Some(text.to_owned());
        let outcome = match told {
            Told::Name => {
                self.name = text.to_owned();
                Ok(())
            }
            Told::Cone => {
                self.about.cone = own();
                Ok(())
            }
            Told::Firing => {
                self.about.firing = own();
                Ok(())
            }
            Told::Clay => {
                self.about.clay = own();
                Ok(())
            }
            Told::Notes => {
                self.about.notes = own();
                Ok(())
            }
            Told::Atmosphere => one_of("atmosphere", text).map(|found| self.about.atmosphere = Some(found)),
            Told::Usage => one_of("use", text).map(|found| self.about.usage = Some(found)),
            Told::Peak => Celsius::parse(text)
                .map(|peak| self.about.peak = Some(peak))
                .map_err(|bad| {
                    Diagnostic::error("not-a-quantity", format!("`peak`: {}", bad.message)).maybe_help(bad.help)
                }),
        };
        if let Err(error) = outcome {
            self.fault(index, error);
        }
    }

    fn amount(&mut self, index: usize, heading: &str, text: &str, range: NumberRange) -> Option<f64> {
        if let Some(value) = quick_number(text).filter(|value| (range.least..=range.most).contains(value)) {
            return Some(value);
        }
        let mark = Mark { line: 1, column: 1 };
        let node = Node {
            value: Value::Text(text.to_owned()),
            mark,
        };
        match number_of(&Source::from_text("", text), &node, heading, range) {
            Ok(number) => {
                let comma = number.note.map(|comma| RecipeAssumption::DecimalComma {
                    of: heading.to_owned(),
                    comma,
                });
                self.assumptions.extend(comma.map(Assumption::Recipe));
                Some(number.value)
            }
            Err(error) => {
                self.fault(index, error);
                None
            }
        }
    }

    fn finish(mut self, name: String, name_column: usize) -> Result<Glaze, Vec<Fault>> {
        if name.is_empty() {
            let error = Diagnostic::error("no-name", "the glaze has no name");
            self.fault(name_column, error.help("write one into the column `glaze`"));
        }
        let total: f64 = self.base.iter().map(|portion| portion.percent).sum();
        if self.faults.is_empty() && !(100.0 / total).is_finite() {
            let error = Diagnostic::error("bad-amount", "the parts add up to nothing");
            self.fault(
                name_column,
                error.help("give at least one material an amount above zero"),
            );
        }
        if !self.faults.is_empty() {
            return Err(self.faults);
        }
        let scale = 100.0 / total;
        for portion in &mut self.base {
            portion.percent *= scale;
        }
        Ok(Glaze {
            name,
            base: self.base,
            additions: self.additions,
            about: self.about,
            assumptions: self.assumptions,
        })
    }
}

fn one_of<T: OneOf>(what: &str, text: &str) -> Result<T, Diagnostic> {
    T::of_word(text).ok_or_else(|| {
        Diagnostic::error("unknown-word", format!("`{text}` is not one of the words for `{what}`"))
            .maybe_help(suggestion(text, T::words()))
    })
}

/// A number of digits and at most one point, the most there is in a table;
/// whatever else may be a number is left to the careful reader.
fn quick_number(text: &str) -> Option<f64> {
    let plain = text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    if plain && text.len() <= 20 {
        text.parse().ok()
    } else {
        None
    }
}

/// Where the cells of these faults stand in their row, from line 1, and their widths; the
/// row is gone through once.
fn cell_places(raw: &str, record: &ByteRecord, faults: &[Fault]) -> Vec<(Mark, usize)> {
    let mut wanted: Vec<usize> = (0..faults.len()).collect();
    wanted.sort_by_key(|at| faults[*at].column);
    let mut places = vec![(Mark { line: 1, column: 1 }, 1); faults.len()];
    let mut walk = CellWalk::default();
    for at in wanted {
        places[at] = walk.to(raw, record, faults[at].column);
    }
    places
}

/// A row gone through cell by cell.
struct CellWalk {
    /// The next cell, and where it begins in bytes.
    index: usize,
    at: usize,
    /// The place of `counted` bytes.
    mark: Mark,
    counted: usize,
}

impl Default for CellWalk {
    fn default() -> CellWalk {
        CellWalk {
            index: 0,
            at: 0,
            mark: Mark { line: 1, column: 1 },
            counted: 0,
        }
    }
}

impl CellWalk {
    /// The place of a cell that isn't before the last one asked for, and its width.
    fn to(&mut self, raw: &str, record: &ByteRecord, column: usize) -> (Mark, usize) {
        // A row that is too short has no cell there.
        let cell = |index: usize| String::from_utf8_lossy(record.get(index).unwrap_or(b""));
        // The cells before it may be quoted: each is looked for behind the last.
        while self.index < column {
            let text: Cow<'_, str> = cell(self.index);
            let quoted = raw.get(self.at..).unwrap_or("").starts_with('"');
            let doubled = if quoted { text.matches('"').count() + 2 } else { 0 };
            self.at += text.len() + doubled + 1;
            self.index += 1;
        }
        let text: Cow<'_, str> = cell(column);
        let opening = usize::from(raw.get(self.at..).unwrap_or("").starts_with('"'));
        let shown = text.trim();
        let blanks = if shown.is_empty() {
            0
        } else {
            text.len() - text.trim_start().len()
        };
        (
            self.counted_to(raw, self.at + opening + blanks),
            shown.chars().count().max(1),
        )
    }

    fn counted_to(&mut self, raw: &str, at: usize) -> Mark {
        // A place between two signs of a letter is shown where the last one was.
        for sign in raw.get(self.counted..at.min(raw.len())).unwrap_or("").chars() {
            if sign == '\n' {
                self.mark = Mark {
                    line: self.mark.line + 1,
                    column: 1,
                };
            } else {
                self.mark.column += 1;
            }
            self.counted += sign.len_utf8();
        }
        self.mark
    }
}

#[cfg(test)]
mod tests {
    use glost_chemistry::glaze::Use;

    use super::*;
    use glost_chemistry::material::read_materials;

    const MATERIALS: &str = "materials:
  - { name: silica, other_names: [flint], formula: SiO2, source: x }
  - { name: whiting, formula: CaCO3, source: x }
  - { name: 'kaolin, lot 7', formula: Al2Si2O5(OH)4, source: x }
  - { name: tin oxide, formula: SnO2, source: x }
";

    fn library() -> Library {
        let (entries, _) = read_materials(&Source::from_text("m.yaml", MATERIALS));
        let mut library = Library::default();
        library.add_layer(entries, false);
        library
    }

    fn read(text: &str) -> Result<Vec<SheetGlaze>, Vec<Diagnostic>> {
        let input = Box::new(std::io::Cursor::new(text.as_bytes().to_vec()));
        let (sheet, mut rows) = GlazeSheet::open(input, "t.csv", &library())?;
        let mut found = Vec::new();
        while let Some(block) = rows.next_block(2) {
            found.extend(sheet.glazes(&block.map_err(|error| vec![error])?));
        }
        Ok(found)
    }

    fn recipe(row: &SheetGlaze) -> String {
        let Ok(glaze) = &row.glaze else {
            return format!("{:?}", row.glaze);
        };
        let lines = |portions: &[Portion]| {
            let each = portions
                .iter()
                .map(|portion| format!("{} {}", portion.material.name, portion.percent));
            each.collect::<Vec<_>>().join(", ")
        };
        format!("{}: {} + {}", glaze.name, lines(&glaze.base), lines(&glaze.additions))
    }

    #[test]
    fn a_row_is_a_glaze_of_a_base_of_100_and_additions() {
        let text = "Glaze,cone,use,silica,Whiting,\"kaolin, lot 7\",+ tin oxide\n\
            A,04,floor,3,1,,\n,,,,,,\n\"B, the 2nd\",6,,1,0,1,5.5\n";
        let found = read(text).unwrap();
        let told: Vec<String> = found.iter().map(recipe).collect();
        assert_eq!(
            told,
            [
                "A: silica 75, whiting 25 + ",
                "B, the 2nd: silica 50, whiting 0, kaolin, lot 7 50 + tin oxide 5.5"
            ]
        );
        let about = found[0].glaze.as_ref().map(|glaze| glaze.about.clone()).unwrap();
        assert_eq!(
            (about.cone.as_deref(), about.usage.map(Use::word)),
            (Some("04"), Some("floor"))
        );
        assert_eq!((found[0].line, found[1].line), (2, 4));
    }

    #[test]
    fn decimal_commas_and_other_names_are_read_and_said() {
        let found = read("glaze;silica;flint;whiting\nA;0,5;0.5;1\n").unwrap();
        assert_eq!(recipe(&found[0]), "A: silica 50, whiting 50 + ");
        let said = found[0].glaze.as_ref().map(|glaze| glaze.assumptions.len()).unwrap();
        assert_eq!(said, 2);
    }

    #[test]
    fn what_is_wrong_has_its_row_its_column_and_a_cure() {
        let found = read("glaze,silica,whitting,whiting,+ tin oxide\nA,1,0,1,\nB,1,2,x,\nC,1,,-2,2000\nD,,,0,\n,1,,,\nE,1,,,,9\nF,1\n").unwrap();
        let wrong = |index: usize| -> Vec<String> {
            let errors = found[index].glaze.as_ref().err().cloned().unwrap_or_default();
            let place = |error: &Diagnostic| {
                let place = error
                    .place
                    .as_ref()
                    .map(|place| (place.mark.line, place.mark.column))
                    .unwrap_or_default();
                format!("{}:{} {}", place.0, place.1, error.message)
            };
            errors.iter().map(place).collect()
        };
        assert_eq!(wrong(0), Vec::<String>::new());
        assert_eq!(
            wrong(1),
            [
                "3:5 no material is called `whitting`",
                "3:7 `whiting`: `x` is not a number"
            ]
        );
        let help = found[1].glaze.as_ref().err().and_then(|errors| errors[0].help.clone());
        assert_eq!(help.as_deref(), Some("did you mean `whiting`?"));
        assert_eq!(
            wrong(2),
            [
                "4:6 `whiting` can't be negative",
                "4:9 `+ tin oxide` can't be above 1000"
            ]
        );
        assert_eq!(wrong(3), ["5:1 the parts add up to nothing"]);
        assert_eq!(wrong(4), ["6:1 the glaze has no name"]);
        assert_eq!(wrong(5), ["7:8 this cell stands to the right of the last heading"]);
        assert_eq!(wrong(6), ["8:3 the row has 2 cells, the headings are 5"]);
    }

    #[test]
    fn headings_that_no_row_can_be_read_with_are_refused() {
        let codes = |text: &str| -> Vec<&str> {
            read(text)
                .err()
                .unwrap_or_default()
                .iter()
                .map(|error| error.code)
                .collect()
        };
        assert_eq!(codes(""), ["no-headings"]);
        assert_eq!(codes("glase,silica\nA,1\n"), ["no-name-column"]);
        assert_eq!(codes("glaze,silica, Silica\nA,1,1\n"), ["duplicate-column"]);
    }
}
