//! What a package says of itself, in `package.yaml`.

use glost_chemistry::diagnostic::{Diagnostic, Source, is_no, of_typed};
use glost_chemistry::read::{Fields, parse};

/// The version of the door to scripts that packages may need.
pub const API: &str = "1";
const KEYS: [&str; 7] = ["name", "version", "author", "licence", "needs", "api", "about"];
/// The longest name of a package.
const MOST_NAME: usize = 60;

/// A package's own words about itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Manifest {
    /// Its name, also that of its folder.
    pub name: String,
    /// Its version, as its author counts.
    pub version: String,
    /// Who made it.
    pub author: Option<String>,
    /// Under which licence it may be used.
    pub licence: Option<String>,
}

impl Manifest {
    /// Reads `package.yaml`.
    ///
    /// # Errors
    /// A key that is missing, unknown or can't be; a door that this Glost doesn't open.
    pub fn read(source: &Source) -> Result<Manifest, Diagnostic> {
        let root = parse(source)?;
        // It may lack a key that it needs, too: that is said of the file, this of its form.
        let fields = Fields::new(source, &root, "the form of package.yaml", &KEYS)?;
        let api = match fields.get("needs") {
            Some(node) => Fields::new(source, node, "`needs`", &["api"])?.text("api")?,
            None => fields.text("api")?,
        };
        if api.is_none() {
            fields.required("api", "package.yaml", "the door to scripts that it needs: `api: 1`")?;
        }
        if let Some(api) = api.filter(|api| api.text != API) {
            let message = format!("it needs door {} to scripts, this Glost opens door {API}", api.text);
            return Err(Diagnostic::error("package-api", message)
                .at(source, api.mark, api.text.chars().count())
                .help("a package for a later door needs a later Glost"));
        }
        let needed = |key: &str, help: &str| -> Result<glost_chemistry::read::Text, Diagnostic> {
            fields.required(key, "package.yaml", help)?;
            let text = fields.text(key)?;
            text.ok_or_else(|| Diagnostic::error("no-name", of_typed(key, "is empty")))
        };
        let name = needed("name", "such as `name: kiln-club`")?;
        if !is_name(&name.text) {
            let message = of_typed(&name.text, "can't name a package");
            return Err(Diagnostic::error("bad-name", message)
                .at(source, name.mark, name.text.chars().count())
                .help("small letters, digits and hyphens, such as kiln-club"));
        }
        let version = needed("version", "such as `version: 1.0`")?;
        if !version.text.starts_with(|sign: char| sign.is_ascii_digit()) {
            let message = is_no(&version.text, "version");
            return Err(Diagnostic::error("bad-version", message)
                .at(source, version.mark, version.text.chars().count())
                .help("it begins with a number, such as `version: 1.0`"));
        }
        Ok(Manifest {
            name: name.text,
            version: version.text,
            author: Some(needed("author", "who made it, `author: ...`")?.text),
            licence: Some(needed("licence", "under which it may be used, `licence: ...`")?.text),
        })
    }
}

/// Whether a text can name a package, and so a folder on every system.
pub(crate) fn is_name(text: &str) -> bool {
    let fits = |sign: char| sign.is_ascii_lowercase() || sign.is_ascii_digit() || sign == '-';
    !text.is_empty() && text.len() <= MOST_NAME && text.chars().all(fits) && !text.starts_with('-')
}
