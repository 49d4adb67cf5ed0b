//! What a package holds beside scripts, read before it comes in: a bad sheet or recipe that
//! got in would be found by whoever needs it next.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::read_glaze;
use glost_chemistry::material::{Library, shipped_library};
use glost_chemistry::quantity::Millilitres;
use glost_chemistry::read::parse_csv;

use super::Package;
use crate::bench::{add_package, glazes_of};

/// The materials that the tests of a package see: the shipped ones with its own over them.
pub fn library_of(package: &Package) -> Library {
    let mut library = shipped_library().clone();
    // What is wrong with its sheets is told where it comes in.
    let _ = add_package(&mut library, package);
    library
}

/// What is wrong with its sheets, recipes and tables, over the materials that are here.
pub(super) fn wrong_in(package: &Package, here: &Library, cup: Millilitres) -> Vec<Diagnostic> {
    let mut library = here.clone();
    let mut wrong = add_package(&mut library, package);
    for file in glazes_of(package) {
        let read = file.text.and_then(|source| read_glaze(&source, cup));
        match read.map(|glaze| glaze.resolve(&library)) {
            Ok(Ok(_)) => {}
            Ok(Err(complaints)) => wrong.extend(complaints),
            Err(why) => wrong.push(why),
        }
    }
    let tables = package.files.iter().filter(|file| file.path.ends_with(".csv"));
    wrong.extend(tables.filter_map(|file| parse_csv(&file.source(&package.manifest.name)).err()));
    wrong
}
