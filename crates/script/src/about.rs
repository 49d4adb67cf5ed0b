//! `ABOUT`: what a script says of itself, read without running it.

use glost_chemistry::diagnostic::{Diagnostic, Source, is_no, of_typed, suggestion};
use glost_chemistry::glaze::{Atmosphere, FluxList, OneOf, Use};
use glost_chemistry::oxides::Oxide;
use rhai::Position;

use crate::about_keys::{ABOUT_KEYS, names};
use crate::cones::ConeRange;
use crate::kinds::Kind;
use crate::language::number;
use crate::literal::{Literal, Shape};
use crate::only_with::{self, OnlyWith};
use crate::options::{OptionSpec, texts};
use crate::tables::TableSpec;
use crate::trouble::place;

/// The version of the door that this host opens.
pub const API: i64 = 1;

/// What a script says of itself.
#[derive(Debug, Clone, PartialEq)]
pub struct About {
    /// Its kind.
    pub kind: Kind,
    /// Its title.
    pub title: String,
    /// Where its numbers come from.
    pub source: String,
    /// Its version, as its author counts.
    pub version: Option<String>,
    /// Who wrote it.
    pub author: Option<String>,
    /// Under which licence.
    pub licence: Option<String>,
    /// What its text was made from.
    pub based_on: Option<String>,
    /// The uses it is for; empty for all.
    pub uses: Vec<Use>,
    /// The faults that it gives causes of; empty but for fault scripts.
    pub faults: Vec<String>,
    /// The cones it is for; `None` for all.
    pub cones: Option<ConeRange>,
    /// The atmospheres it is for; empty for all.
    pub atmospheres: Vec<Atmosphere>,
    /// What the author of limits counted as flux; the usual nine unless they say otherwise.
    pub fluxes: FluxList,
    /// What it is about; a glaze without any of it needs no run.
    pub only_with: OnlyWith,
    /// Whether it speaks only where pieces on the glaze's clay were looked at.
    pub needs_pieces: bool,
    /// Its options.
    pub options: Vec<OptionSpec>,
    /// The tables it reads.
    pub tables: Vec<TableSpec>,
}

/// What a script may need to have something to say.
const NEEDS: [&str; 1] = ["pieces"];
const EXAMPLE: &str = "const ABOUT = #{ api: 1, kind: \"check\", title: \"...\", source: \"...\" };";

struct Reader<'a> {
    source: &'a Source,
    entries: &'a [(String, Position, Literal)],
    whole: Position,
}

impl About {
    /// Reads the literal.
    pub(crate) fn read(literal: &Literal, source: &Source) -> Result<About, Diagnostic> {
        let Shape::Table(entries) = &literal.shape else {
            return Err(place(
                Diagnostic::error("bad-about", "`ABOUT` should be a table").help(format!("such as `{EXAMPLE}`")),
                source,
                literal.position,
            ));
        };
        let reader = Reader {
            source,
            entries,
            whole: literal.position,
        };
        reader.only_known_keys()?;
        reader.api()?;
        Ok(About {
            kind: reader.kind()?,
            title: reader.required_text("title")?,
            source: reader.text("source")?.unwrap_or_else(|| "no source given".to_owned()),
            version: reader.text("version")?,
            author: reader.text("author")?,
            licence: reader.text("licence")?,
            based_on: reader.text("based_on")?,
            uses: reader.each("uses", "use")?,
            faults: reader.faults()?,
            cones: reader.cones()?,
            atmospheres: reader.each("atmospheres", "atmosphere")?,
            fluxes: reader.fluxes()?,
            only_with: reader.only_with()?,
            needs_pieces: reader.needs_pieces()?,
            options: reader.options()?,
            tables: reader.tables()?,
        })
    }

    /// A library says nothing of itself but its comment.
    pub(crate) fn of_library(purpose: &str) -> About {
        let first = purpose.lines().next().filter(|line| !line.is_empty());
        About {
            kind: Kind::RUN,
            title: first.unwrap_or("A library").to_owned(),
            source: "no source given".to_owned(),
            version: None,
            author: None,
            licence: None,
            based_on: None,
            uses: Vec::new(),
            faults: Vec::new(),
            cones: None,
            atmospheres: Vec::new(),
            fluxes: FluxList::default(),
            only_with: OnlyWith::default(),
            needs_pieces: false,
            options: Vec::new(),
            tables: Vec::new(),
        }
    }

    /// The complaint about a script without one.
    pub(crate) fn missing(source: &Source) -> Diagnostic {
        Diagnostic::error(
            "no-about",
            "the script doesn't say what it is: there is no `const ABOUT`",
        )
        .at(source, glost_chemistry::diagnostic::Mark { line: 1, column: 1 }, 1)
        .help(format!("begin it with `{EXAMPLE}`"))
    }
}

impl Reader<'_> {
    fn get(&self, key: &str) -> Option<&Literal> {
        self.entries.iter().find(|entry| entry.0 == key).map(|entry| &entry.2)
    }

    fn fault(&self, at: Position, message: impl Into<String>, help: Option<String>) -> Diagnostic {
        place(
            Diagnostic::error("bad-about", message).maybe_help(help),
            self.source,
            at,
        )
    }

    fn only_known_keys(&self) -> Result<(), Diagnostic> {
        match self
            .entries
            .iter()
            .find(|entry| names(&ABOUT_KEYS).all(|key| key != entry.0))
        {
            None => Ok(()),
            Some((key, at, _)) => {
                let near = suggestion(key, names(&ABOUT_KEYS));
                Err(self.fault(*at, format!("`ABOUT` has no `{key}`"), near))
            }
        }
    }

    fn required(&self, key: &str) -> Result<&Literal, Diagnostic> {
        self.get(key).ok_or_else(|| {
            self.fault(
                self.whole,
                format!("`ABOUT` lacks `{key}`"),
                Some(format!("such as `{EXAMPLE}`")),
            )
        })
    }

    fn text(&self, key: &str) -> Result<Option<String>, Diagnostic> {
        self.get(key).map_or(Ok(None), |literal| {
            let text = literal.text();
            let text = text.filter(|text| !text.trim().is_empty());
            text.map(Some).ok_or_else(|| {
                if literal.text().is_some() {
                    let help = "say it in a few words, in quotes".to_owned();
                    return self.fault(literal.position, "this text is empty", Some(help));
                }
                self.fault(
                    literal.position,
                    of_typed(key, "should be a text"),
                    Some("put it in quotes".to_owned()),
                )
            })
        })
    }

    fn required_text(&self, key: &str) -> Result<String, Diagnostic> {
        self.required(key)?;
        // It is there: an empty text is one that was written so.
        Ok(self.text(key)?.unwrap_or_default())
    }

    fn api(&self) -> Result<(), Diagnostic> {
        let literal = self.required("api")?;
        match number(&literal.value()) {
            Some(version) if version == API as f64 => Ok(()),
            _ => Err(self.fault(
                literal.position,
                format!("this Glost opens door {API} to scripts, not this one"),
                Some(format!("`api: {API}`; a script for a later door needs a later Glost")),
            )),
        }
    }

    fn kind(&self) -> Result<Kind, Diagnostic> {
        let literal = self.required("kind")?;
        let word = literal.text().unwrap_or_default();
        Kind::from_word(&word).ok_or_else(|| {
            let words = Kind::words();
            self.fault(
                literal.position,
                is_no(&word, "kind of script"),
                suggestion(&word, words.iter().copied()).or_else(|| Some(format!("it is one of {}", words.join(", ")))),
            )
        })
    }

    fn cones(&self) -> Result<Option<ConeRange>, Diagnostic> {
        let Some(text) = self.text("cones")? else {
            return Ok(None);
        };
        ConeRange::parse(&text).map(Some).map_err(|trouble| {
            let at = self.get("cones").map_or(self.whole, |literal| literal.position);
            self.fault(at, format!("`cones`: {}", trouble.message), trouble.help)
        })
    }

    /// What a list's author counted as flux. Iron is none: no list that can be cited counts it.
    fn fluxes(&self) -> Result<FluxList, Diagnostic> {
        let Some(literal) = self.get("fluxes") else {
            return Ok(FluxList::default());
        };
        if self.kind()? != Kind::LIMITS {
            return Err(self.fault(literal.position, "`fluxes` goes with scripts of kind `limits`", None));
        }
        let known = Oxide::ALL.map(Oxide::formula);
        let named = self.words("fluxes", "oxide", &known)?;
        let oxides = named.iter().filter_map(|name| Oxide::from_formula(name)).collect();
        FluxList::new(oxides).ok_or_else(|| {
            let help = "such as `fluxes: [\"K2O\", \"Na2O\", \"CaO\", \"MgO\"]`";
            let message = "`fluxes` names no oxide, or one twice";
            self.fault(literal.position, message, Some(help.to_owned()))
        })
    }

    /// A list of things that files name by a word, too.
    fn each<T: OneOf>(&self, key: &str, noun: &str) -> Result<Vec<T>, Diagnostic> {
        let words = self.words(key, noun, &T::words())?;
        Ok(words.iter().filter_map(|word| T::of_word(word)).collect())
    }

    /// A list of words out of a few.
    fn words(&self, key: &str, noun: &str, known: &[&str]) -> Result<Vec<String>, Diagnostic> {
        let Some(literal) = self.get(key) else {
            return Ok(Vec::new());
        };
        let uses = texts(literal, self.source)?;
        if let Some(index) = uses.iter().position(|usage| !known.contains(&usage.as_str())) {
            let at = match &literal.shape {
                Shape::List(items) => items.get(index).map_or(literal.position, |item| item.position),
                _ => literal.position,
            };
            let message = format!("`{}` is no {noun} that Glost knows", uses[index]);
            return Err(self.fault(at, message, suggestion(&uses[index], known.iter().copied())));
        }
        Ok(uses)
    }

    /// What a fault script gives causes of; it has to say.
    fn faults(&self) -> Result<Vec<String>, Diagnostic> {
        let of_faults = self.kind()? == Kind::FAULT;
        match self.get("faults") {
            None if of_faults => {
                let help = "such as `faults: [\"pinholes\", \"blisters\"]`";
                Err(self.fault(
                    self.whole,
                    "`ABOUT` of a fault script lacks `faults`",
                    Some(help.to_owned()),
                ))
            }
            None => Ok(Vec::new()),
            Some(literal) if !of_faults => {
                Err(self.fault(literal.position, "`faults` goes with scripts of kind `fault`", None))
            }
            Some(literal) => texts(literal, self.source),
        }
    }

    fn only_with(&self) -> Result<OnlyWith, Diagnostic> {
        let named = self.words("only_with", "oxide", only_with::words())?;
        match self.get("only_with") {
            Some(literal) if self.kind()? != Kind::CHECK => {
                Err(self.fault(literal.position, "`only_with` goes with scripts of kind `check`", None))
            }
            _ => Ok(OnlyWith::of(&named)),
        }
    }

    fn needs_pieces(&self) -> Result<bool, Diagnostic> {
        let Some(literal) = self.get("needs") else {
            return Ok(false);
        };
        let needs = texts(literal, self.source)?;
        match needs.iter().find(|need| !NEEDS.contains(&need.as_str())) {
            None => Ok(!needs.is_empty()),
            Some(odd) => {
                let help = suggestion(odd, NEEDS).or_else(|| Some("`needs: [\"pieces\"]`".to_owned()));
                Err(self.fault(literal.position, format!("a script can't need `{odd}`"), help))
            }
        }
    }

    fn options(&self) -> Result<Vec<OptionSpec>, Diagnostic> {
        let Some(literal) = self.get("options") else {
            return Ok(Vec::new());
        };
        let Shape::Table(entries) = &literal.shape else {
            let help = "such as `options: #{ most: #{ value: 0.3, help: \"...\" } }`";
            return Err(self.fault(literal.position, "`options` should be a table", Some(help.to_owned())));
        };
        entries
            .iter()
            .map(|(name, _, spec)| OptionSpec::read(name, spec, self.source))
            .collect()
    }

    fn tables(&self) -> Result<Vec<TableSpec>, Diagnostic> {
        let Some(literal) = self.get("tables") else {
            return Ok(Vec::new());
        };
        if self.kind()? != Kind::RUN {
            let help = "only `glost run` hands tables over, by `--table name=FILE.csv` or from the script's package";
            let message = "`tables` goes with scripts of kind `run`";
            return Err(self.fault(literal.position, message, Some(help.to_owned())));
        }
        let Shape::Table(entries) = &literal.shape else {
            let help = "such as `tables: #{ invoices: [\"date\", \"material\", \"kg\"] }`";
            return Err(self.fault(literal.position, "`tables` should be a table", Some(help.to_owned())));
        };
        entries
            .iter()
            .map(|(name, _, columns)| TableSpec::read(name, columns, self.source))
            .collect()
    }
}
