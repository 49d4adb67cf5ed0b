//! The stocks in a studio's own materials files, read anew and changed in place.

use std::path::PathBuf;
use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, Source, of_typed};
use glost_core::workshop::batches::{NewStock, StatedStock, StockMove, restated, restock, stated_stocks};

use crate::disk::Disk;
use crate::folder::{MATERIALS_FOLDER, StudioFolder, YAML};
use crate::save::Prepared;
use crate::text_file::read_bytes;

const BYTE_ORDER_MARK: &[u8] = b"\xEF\xBB\xBF";
/// What new texts are called until they stand in their place. Only who holds the
/// book of batches makes them, so what lies about of them is left over.
const TEMPORARY: &str = ".glost-stock-";

/// A materials file with the stocks it states.
#[derive(Debug)]
pub(crate) struct StockFile {
    disk: Arc<dyn Disk>,
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
    /// Its lot, where the file lists several.
    pub lot: Option<String>,
    /// Grams.
    pub grams: f64,
}

impl StockFile {
    fn read(folder: &StudioFolder, name: &str) -> Result<StockFile, Diagnostic> {
        let below = format!("{MATERIALS_FOLDER}/{name}");
        let (path, shown) = (folder.dir.join(&below), folder.shown(&below));
        let bytes = read_bytes(&*folder.disk, &path, &shown)?;
        let source = Source::from_bytes(&shown, &bytes)?;
        Ok(StockFile {
            disk: Arc::clone(&folder.disk),
            stocks: stated_stocks(&source)?,
            below,
            starts_with_mark: bytes.starts_with(BYTE_ORDER_MARK),
            source,
            path,
        })
    }

    /// Every materials file of a studio as it is now.
    pub fn all(folder: &StudioFolder) -> Result<Vec<StockFile>, Diagnostic> {
        let found = folder.files(MATERIALS_FOLDER, &YAML).into_iter();
        found
            // A folder that can't be listed is the one complaint in the list.
            .map(|file| {
                file.text
                    .and_then(|_| StockFile::read(folder, name_in_folder(&file.shown)))
            })
            .collect()
    }

    fn stated(&self, material: &str, lot: Option<&str>) -> Option<&StatedStock> {
        self.stocks.iter().find(|stock| stock.is_of(material, lot))
    }

    fn stated_for(&self, one: &StockMove) -> Option<&StatedStock> {
        self.stated(&one.material, one.lot.as_deref())
    }

    /// The file's new text, on disk beside it; `None` where no move is left to make.
    fn prepared(&self, moves: &[&StockMove]) -> Result<Option<Prepared>, Diagnostic> {
        let due: Vec<NewStock<'_>> = moves
            .iter()
            .filter(|one| self.stated_for(one).is_some_and(|stock| stock.text == one.before))
            .filter(|one| one.before != one.after)
            .map(|one| NewStock {
                material: &one.material,
                lot: one.lot.as_deref(),
                before: &one.before,
                after: &one.after,
            })
            .collect();
        if due.is_empty() {
            return Ok(None);
        }
        let text = restock(&self.source, &due)?;
        if self.disk.about(&self.path).is_ok_and(|file| file.is_read_only()) {
            let message = of_typed(&self.source.name, "is marked as not to be written");
            return Err(Diagnostic::error("cannot-write", message).help("allow writing to it, then try again"));
        }
        let mut bytes = Vec::with_capacity(text.len() + BYTE_ORDER_MARK.len());
        if self.starts_with_mark {
            bytes.extend_from_slice(BYTE_ORDER_MARK);
        }
        bytes.extend_from_slice(text.as_bytes());
        Prepared::new(&self.disk, &self.path, &bytes, TEMPORARY).map(Some)
    }
}

/// What these takings come to: each material's stock before and after. Materials
/// without a stated stock have none.
pub(crate) fn moves(files: &[StockFile], takes: &[Take]) -> Result<Vec<StockMove>, Diagnostic> {
    let mut moves = Vec::new();
    for take in takes.iter().filter(|take| take.grams != 0.0) {
        let found = files
            .iter()
            .find_map(|file| Some((file, file.stated(&take.material, take.lot.as_deref())?)));
        let Some((file, stock)) = found else { continue };
        let before_grams = stock.grams.grams();
        let taken_grams = take.grams.min(before_grams);
        let short = take.grams - taken_grams;
        let Some(after) = restated(&stock.text, before_grams - taken_grams) else {
            let message = format!("the stock of {} can't be counted on in `{}`", stock.whose(), stock.text);
            return Err(Diagnostic::error("stock-in-place", message)
                .at(&file.source, stock.mark, stock.text.chars().count())
                .help("write it as one weight: `stock: 12 kg`"));
        };
        moves.push(StockMove {
            file: file.below.clone(),
            material: stock.material.clone(),
            lot: stock.lot.clone(),
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
            lot: one.lot.clone(),
            grams: -one.taken_grams,
        })
        .collect();
    let mut back = moves(files, &takes)?;
    for one in &mut back {
        let untouched =
            |old: &&StockMove| (&old.material, &old.lot, &old.after) == (&one.material, &one.lot, &one.before);
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
        let text = &file.stated_for(one)?.text;
        Some(*text == one.before || *text == one.after)
    };
    moves.iter().filter(|one| shows(one) != Some(true)).collect()
}

/// Takes away what a kill left half-way. Only for who holds the book.
pub(crate) fn tidy(folder: &StudioFolder) {
    let materials = folder.dir.join(MATERIALS_FOLDER);
    // What can't be listed or taken away does no harm.
    for name in folder.disk.list(&materials).into_iter().flatten() {
        if name.to_string_lossy().starts_with(TEMPORARY) {
            let _ = folder.disk.remove(&materials.join(name));
        }
    }
}

/// A file's name, without the folders in front of it.
fn name_in_folder(shown: &str) -> &str {
    shown.rsplit(std::path::is_separator).next().unwrap_or(shown)
}
