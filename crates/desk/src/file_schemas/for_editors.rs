//! A studio's schemas as files beside it, and the line by which editors find them.

use super::StudioFile;

/// The folder of a studio that holds them.
const FOLDER: &str = ".schemas";

/// Files of a studio (path with `/`, text) with their schemas: each YAML file ends with
/// the line that editors look for, so that its own lines keep their numbers. `studio.yaml`
/// stays last.
pub(crate) fn with_schemas(files: &[(&str, &str)]) -> Vec<(String, String)> {
    let schemas = StudioFile::ALL.iter().map(|file| {
        (
            format!("{FOLDER}/{}.json", file.word()),
            format!("{:#}\n", file.schema()),
        )
    });
    let files = files.iter().map(|(path, text)| {
        let line = of_path(path).map_or_else(String::new, |file| {
            let up = "../".repeat(path.matches('/').count());
            format!("# yaml-language-server: $schema={up}{FOLDER}/{}.json\n", file.word())
        });
        ((*path).to_owned(), format!("{text}{line}"))
    });
    schemas.chain(files).collect()
}

/// What kind of file a path is.
fn of_path(path: &str) -> Option<StudioFile> {
    match path.split_once('/') {
        None if path == "studio.yaml" => Some(StudioFile::Studio),
        Some(("materials", _)) => Some(StudioFile::Material),
        Some(("glazes", _)) => Some(StudioFile::Glaze),
        Some(("clays", _)) => Some(StudioFile::Clay),
        _ => None,
    }
}
