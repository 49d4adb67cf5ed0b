//! A dilatometer's table in a clay's file, or in a CSV file beside it.

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source};
use glost_chemistry::glass::{CurvePoint, CurveTrouble, DilatometerCurve};
use glost_chemistry::read::{CsvTable, Fields, Node, NumberRange, Value, number_of, parse_csv};

const CELSIUS: NumberRange = NumberRange {
    least: -50.0,
    most: 1500.0,
};
/// No clay shrinks or grows by more than this on heating below its firing, %.
const PERCENT: NumberRange = NumberRange { least: -5.0, most: 5.0 };
const HOW_TO_SAY: &str =
    "list it by rising temperature: `dilatometer: [{ c: 20, percent: 0 }, { c: 100, percent: 0.04 }, ...]`";

/// Reads the list in a clay's file.
pub(super) fn from_list(source: &Source, node: &Node) -> Result<DilatometerCurve, Diagnostic> {
    let Value::List(items) = &node.value else {
        return Err(
            Diagnostic::error("wrong-type", "`dilatometer` should be a list of points")
                .at(source, node.mark, node.width())
                .help(HOW_TO_SAY),
        );
    };
    let mut points = Vec::new();
    for item in items {
        let fields = Fields::new(source, item, "a point of `dilatometer`", &["c", "percent"])?;
        let read = |key: &str, range| -> Result<f64, Diagnostic> {
            Ok(number_of(
                source,
                fields.required(key, "a point of `dilatometer`", HOW_TO_SAY)?,
                key,
                range,
            )?
            .value)
        };
        points.push(CurvePoint {
            celsius: read("c", CELSIUS)?,
            percent: read("percent", PERCENT)?,
        });
    }
    curve(
        points,
        source,
        |index| items.get(index).map_or(node.mark, |item| item.mark),
        node.mark,
    )
}

/// Reads a table with the columns `c` and `percent`.
///
/// # Errors
/// A column that isn't there, a cell that is no number, temperatures that don't rise.
pub fn read_dilatometer_table(source: &Source) -> Result<DilatometerCurve, Diagnostic> {
    let table = parse_csv(source)?;
    let start = Mark { line: 1, column: 1 };
    let column = |name: &str| {
        let mut cells = table.head.iter();
        cells
            .position(|cell| cell.text.eq_ignore_ascii_case(name))
            .ok_or_else(|| {
                Diagnostic::error(
                    "missing-column",
                    format!("the dilatometer's table has no column `{name}`"),
                )
                .at(source, start, 1)
                .help("its first line is `c,percent`: temperature in deg C, change of length in per cent")
            })
    };
    let (celsius, percent) = (column("c")?, column("percent")?);
    let points = table
        .rows
        .iter()
        .map(|row| {
            Ok(CurvePoint {
                celsius: cell(&table, row, celsius, "c", CELSIUS)?,
                percent: cell(&table, row, percent, "percent", PERCENT)?,
            })
        })
        .collect::<Result<Vec<_>, Diagnostic>>()?;
    let mark = |index: usize| {
        table
            .rows
            .get(index)
            .and_then(|row| row.first())
            .map_or(start, |cell| cell.mark)
    };
    curve(points, source, mark, start)
}

fn cell(
    table: &CsvTable,
    row: &[glost_chemistry::read::Cell],
    column: usize,
    name: &str,
    range: NumberRange,
) -> Result<f64, Diagnostic> {
    let (text, mark) = row
        .get(column)
        .map_or((String::new(), Mark { line: 1, column: 1 }), |cell| {
            (cell.text.clone(), cell.mark)
        });
    let node = Node {
        value: Value::Text(text),
        mark,
    };
    Ok(number_of(&table.source, &node, name, range)?.value)
}

fn curve(
    points: Vec<CurvePoint>,
    source: &Source,
    mark: impl Fn(usize) -> Mark,
    whole: Mark,
) -> Result<DilatometerCurve, Diagnostic> {
    DilatometerCurve::new(points).map_err(|trouble| {
        let (message, mark) = match trouble {
            CurveTrouble::TooFew => ("a dilatometer's table needs at least two points", whole),
            CurveTrouble::NotRising(index) => ("this temperature isn't above the one before", mark(index)),
            CurveTrouble::NotFinite(index) => ("this point holds no number", mark(index)),
        };
        Diagnostic::error("odd-curve", message)
            .at(source, mark, 1)
            .help(HOW_TO_SAY)
    })
}
