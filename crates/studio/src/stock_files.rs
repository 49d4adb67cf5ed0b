//! The stocks in a studio's own materials files, read anew and changed in place.

use std::fs;
use std::path::{Path, PathBuf};

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::read::folded;
use glost_core::workshop::batches::{NewStock, StatedStock, StockMove, restated, restock, stated_stocks};

use crate::folder::{MATERIALS_FOLDER, StudioFiles};
use crate::save::Prepared;
use crate::text_file::read_text;

const BYTE_ORDER_MARK: &[u8] = b"\xEF\xBB\xBF";
/// What new texts are called until they stand in their place. Only who holds the
/// book of batches makes them, so what lies about of them is left over.
const TEMPORARY: &str = ".glost-stock-";

/// A materials file with the stocks it states.
#[derive(Debug)]
pub(crate) struct StockFile {
    path: PathBuf,
    /// Below the studio's folder, with `/`.
    below: String,
    starts_with_mark: bool,
    source: Source,
    pub stocks: Vec<StatedStock>,
}

/// Grams to be taken off a material's stock; put back where below zero.
#[derive(Debug, Clone, PartialEq)]
pub struct Take {
    /// The material.
    pub material: String,
    /// Grams.
    pub grams: f64,
}

impl StockFile {
    fn read(dir: &Path, shown: &Path, name: &str) -> Result<StockFile, Diagnostic> {
        let path = dir.join(MATERIALS_FOLDER).join(name);
        let source = read_text(&path, &shown.join(MATERIALS_FOLDER).join(name).to_string_lossy())?;
        let bytes = fs::read(&path).unwrap_or_default();
        Ok(StockFile {
            stocks: stated_stocks(&source)?,
            below: format!("{MATERIALS_FOLDER}/{name}"),
            starts_with_mark: bytes.starts_with(BYTE_ORDER_MARK),
            source,
            path,
        })
    }

    /// Every materials file of a studio as it is now.
    pub fn all(dir: &Path, shown: &Path) -> Result<Vec<StockFile>, Diagnostic> {
        let files = StudioFiles::Folder {
            dir: dir.to_owned(),
            shown: shown.to_owned(),
        };
        let found = files.yaml_files(MATERIALS_FOLDER).into_iter();
        found
            .map(|file| {
                let name = Path::new(&file.shown).file_name();
                let name = name.map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
                // A folder that can't be listed is the one complaint in the list.
                file.text.and_then(|_| StockFile::read(dir, shown, &name))
            })
            .collect()
    }

    fn stated(&self, material: &str) -> Option<&StatedStock> {
        let wanted = folded(material);
        self.stocks.iter().find(|stock| folded(&stock.material) == wanted)
    }

    /// The file's new text, on disk beside it; `None` where no move is left to make.
    fn prepared(&self, moves: &[&StockMove]) -> Result<Option<Prepared>, Diagnostic> {
        let due: Vec<NewStock<'_>> = moves
            .iter()
            .filter(|one| self.stated(&one.material).is_some_and(|stock| stock.text == one.before))
            .filter(|one| one.before != one.after)
            .map(|one| NewStock {
                material: &one.material,
                before: &one.before,
                after: &one.after,
            })
            .collect();
        if due.is_empty() {
            return Ok(None);
        }
        let text = restock(&self.source, &due)?;
        if fs::metadata(&self.path).is_ok_and(|file| file.permissions().readonly()) {
            let message = format!("`{}` is marked as not to be written", self.source.name);
            return Err(Diagnostic::error("cannot-write", message).help("allow writing to it, then try again"));
        }
        let mut bytes = Vec::with_capacity(text.len() + BYTE_ORDER_MARK.len());
        if self.starts_with_mark {
            bytes.extend_from_slice(BYTE_ORDER_MARK);
        }
        bytes.extend_from_slice(text.as_bytes());
        Prepared::new(&self.path, &bytes, TEMPORARY).map(Some)
    }
}

/// What these takings come to: each material's stock before and after. Materials
/// without a stated stock have none.
pub(crate) fn moves(files: &[StockFile], takes: &[Take]) -> Result<Vec<StockMove>, Diagnostic> {
    let mut moves = Vec::new();
    for take in takes.iter().filter(|take| take.grams != 0.0) {
        let found = files
            .iter()
            .find_map(|file| file.stated(&take.material).map(|stock| (file, stock)));
        let Some((file, stock)) = found else { continue };
        let before_grams = stock.grams.grams();
        let taken_grams = take.grams.min(before_grams);
        let short = take.grams - taken_grams;
        let Some(after) = restated(&stock.text, before_grams - taken_grams) else {
            let message = format!(
                "the stock of {} can't be counted on in `{}`",
                stock.material, stock.text
            );
            return Err(Diagnostic::error("stock-in-place", message)
                .at(&file.source, stock.mark, stock.text.chars().count())
                .help("write it as one weight: `stock: 12 kg`"));
        };
        moves.push(StockMove {
            file: file.below.clone(),
            material: stock.material.clone(),
            before: stock.text.clone(),
            after,
            before_grams,
            taken_grams,
            // The stock's text is kept to half a milligram.
            short_grams: if short > 0.001 { short } else { 0.0 },
        });
    }
    Ok(moves)
}

/// The moves that put back what these took. A stock that nobody has touched since
/// gets its old text again, to the letter.
pub(crate) fn moves_back(files: &[StockFile], made: &[StockMove]) -> Result<Vec<StockMove>, Diagnostic> {
    let takes: Vec<Take> = made
        .iter()
        .map(|one| Take {
            material: one.material.clone(),
            grams: -one.taken_grams,
        })
        .collect();
    let mut back = moves(files, &takes)?;
    for one in &mut back {
        let untouched = |old: &&StockMove| old.material == one.material && old.after == one.before;
        if let Some(old) = made.iter().find(untouched) {
            one.after.clone_from(&old.before);
        }
    }
    Ok(back)
}

/// The new texts of all files that these moves change, on disk beside them.
pub(crate) fn prepare(files: &[StockFile], moves: &[StockMove]) -> Result<Vec<Prepared>, Diagnostic> {
    let mut prepared = Vec::new();
    for file in files {
        let own: Vec<&StockMove> = moves.iter().filter(|one| one.file == file.below).collect();
        prepared.extend(file.prepared(&own)?);
    }
    Ok(prepared)
}

/// The moves whose stock shows neither the text before nor the one after: somebody
/// has counted anew, or the file is gone.
pub(crate) fn overtaken<'a>(files: &[StockFile], moves: &'a [StockMove]) -> Vec<&'a StockMove> {
    let shows = |one: &StockMove| {
        let file = files.iter().find(|file| file.below == one.file)?;
        let text = &file.stated(&one.material)?.text;
        Some(*text == one.before || *text == one.after)
    };
    moves.iter().filter(|one| shows(one) != Some(true)).collect()
}

/// Takes away what a kill left half-way. Only for who holds the book.
pub(crate) fn tidy(dir: &Path) {
    let entries = fs::read_dir(dir.join(MATERIALS_FOLDER)).into_iter().flatten().flatten();
    for entry in entries {
        if entry.file_name().to_string_lossy().starts_with(TEMPORARY) {
            // What can't be taken away does no harm.
            let _ = fs::remove_file(entry.path());
        }
    }
}
