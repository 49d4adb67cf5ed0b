//! What the columns of a table of glazes hold, by their headings.

use std::collections::HashSet;
use std::sync::Arc;

use csv::ByteRecord;
use glost_chemistry::diagnostic::{Diagnostic, Mark, Place, did_you_mean, nearest, of_typed};
use glost_chemistry::material::{Library, Material};
use glost_chemistry::read::folded;

use crate::text_file::about_file;

/// What is told of a glaze beside its recipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Told {
    Name,
    Cone,
    Peak,
    Firing,
    Atmosphere,
    Clay,
    Usage,
    Notes,
}

/// Headings that are no materials.
const TOLD: [(&str, Told); 9] = [
    ("glaze", Told::Name),
    ("cone", Told::Cone),
    ("peak", Told::Peak),
    ("firing", Told::Firing),
    ("atmosphere", Told::Atmosphere),
    ("clay", Told::Clay),
    ("body", Told::Clay),
    ("use", Told::Usage),
    ("notes", Told::Notes),
];

/// What a column holds.
#[derive(Debug, Clone)]
pub(super) enum Holds {
    Told(Told),
    /// Parts of the base, or per cent on it.
    Material {
        material: Arc<Material>,
        addition: bool,
    },
    /// A material that isn't known; what to do about it.
    Unknown {
        name: String,
        help: String,
    },
    /// The heading is blank.
    Nothing,
}

/// A column.
#[derive(Debug, Clone)]
pub(super) struct Column {
    pub heading: String,
    pub holds: Holds,
    /// An earlier column holds the same material under another name.
    pub twin: bool,
}

/// Whether these headings are those of a table of glazes.
pub(super) fn make_sense(headings: &ByteRecord) -> bool {
    headings
        .iter()
        .any(|heading| is_name(&String::from_utf8_lossy(heading)))
}

fn is_name(heading: &str) -> bool {
    folded(heading) == "glaze"
}

/// Reads the headings.
///
/// # Errors
/// Everything about them that no row could be read with.
pub(super) fn columns(headings: &ByteRecord, shown: &str, library: &Library) -> Result<Vec<Column>, Vec<Diagnostic>> {
    let texts: Vec<String> = headings
        .iter()
        .map(|heading| String::from_utf8_lossy(heading).trim().to_owned())
        .collect();
    let line = texts.join(",");
    let mut complaints = Vec::new();
    let complaint = |index: usize, error: Diagnostic| {
        let before: usize = texts.iter().take(index).map(|text| text.chars().count() + 1).sum();
        let mut error = error;
        error.place = Some(Box::new(Place {
            file: shown.into(),
            mark: Mark {
                line: 1,
                column: before + 1,
            },
            width: texts.get(index).map_or(1, |text| text.chars().count()).max(1),
            source_line: line.clone(),
        }));
        error
    };
    if texts.iter().all(|text| text.is_empty()) {
        return Err(vec![
            about_file("no-headings", of_typed(shown, "holds no rows"), shown).help(EXAMPLE),
        ]);
    }
    let mut columns: Vec<Column> = Vec::new();
    // A table may have tens of thousands of columns: each is looked up once.
    let (mut seen, mut materials, mut unknown) = (HashSet::new(), HashSet::new(), 0);
    for (index, heading) in texts.iter().enumerate() {
        if !heading.is_empty() && !seen.insert(folded(heading)) {
            let error = Diagnostic::error("duplicate-column", format!("two columns are headed `{heading}`"));
            complaints.push(complaint(index, error.help("keep one of them, or add the two up")));
        }
        if heading.contains('\u{FFFD}') {
            let error = Diagnostic::error("not-utf8", "this heading isn't UTF-8 text");
            complaints.push(complaint(index, error.help("save the table again as CSV in UTF-8")));
        }
        let mut column = column(heading, library, unknown < MOST_COMPARED);
        match &column.holds {
            Holds::Material { material, addition } => {
                column.twin = !materials.insert((Arc::as_ptr(material), *addition));
            }
            Holds::Unknown { .. } => unknown += 1,
            Holds::Told(_) | Holds::Nothing => {}
        }
        columns.push(column);
    }
    if !columns
        .iter()
        .any(|column| matches!(column.holds, Holds::Told(Told::Name)))
    {
        let near = nearest("glaze", texts.iter().map(String::as_str));
        let index = texts.iter().position(|text| Some(text.as_str()) == near).unwrap_or(0);
        let error = Diagnostic::error("no-name-column", "no column is headed `glaze`");
        let help = match near {
            Some(near) => format!("is `{near}` meant? The column with the glazes' names is headed `glaze`"),
            None => EXAMPLE.to_owned(),
        };
        complaints.push(complaint(index, error.help(help)));
    }
    if complaints.is_empty() {
        Ok(columns)
    } else {
        Err(complaints)
    }
}

const EXAMPLE: &str = "head the columns `glaze`, then the materials, such as `glaze,cone,silica,whiting,+ tin oxide`";

/// So many unknown headings are held against the names that are known; more are no slips.
const MOST_COMPARED: usize = 100;

fn column(heading: &str, library: &Library, compare: bool) -> Column {
    let (addition, name) = match heading.strip_prefix('+') {
        Some(rest) => (true, rest.trim()),
        None => (false, heading),
    };
    let told = TOLD.iter().find(|told| !addition && folded(name) == told.0);
    let holds = if name.is_empty() {
        Holds::Nothing
    } else if let Some((_, told)) = told {
        Holds::Told(*told)
    } else if let Some(material) = library.find(name) {
        Holds::Material {
            material: material.clone(),
            addition,
        }
    } else {
        let near = || {
            let word = nearest(name, TOLD.map(|told| told.0)).map(did_you_mean);
            library.suggestion(name).or(word)
        };
        Holds::Unknown {
            name: name.to_owned(),
            help: compare
                .then(near)
                .flatten()
                .unwrap_or_else(|| "describe it in a file in materials/, or see `glost materials`".to_owned()),
        }
    };
    Column {
        heading: heading.to_owned(),
        holds,
        twin: false,
    }
}
