//! `ABOUT`: what a script says of itself, read without running it.

use glost_chemistry::diagnostic::{Diagnostic, Source, is_no, nearest, of_typed, suggestion};
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
use crate::reading::at_text;
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

/// What is wrong, gathered while the rest is read.
struct Faults(Vec<Diagnostic>);

impl Faults {
    fn note(&mut self, why: Diagnostic) {
        // One key may be asked for twice: what is wrong with it is told once.
        if !self.0.contains(&why) {
            self.0.push(why);
        }
    }

    fn of<T>(&mut self, read: Result<T, Diagnostic>) -> Option<T> {
        read.map_err(|why| self.note(why)).ok()
    }

    /// As [`Faults::of`]; what can't be read is empty, and the script doesn't load.
    fn or_empty<T: Default>(&mut self, read: Result<T, Diagnostic>) -> T {
        match read {
            Ok(value) => value,
            Err(why) => {
                self.note(why);
                T::default()
            }
        }
    }
}

struct Reader<'a> {
    source: &'a Source,
    entries: &'a [(String, Position, Literal)],
    whole: Position,
}

impl About {
    /// Reads the literal, and all that is wrong with it.
    pub(crate) fn read(literal: &Literal, source: &Source) -> (Option<About>, Vec<Diagnostic>) {
        let Shape::Table(entries) = &literal.shape else {
            let fault =
                Diagnostic::error("bad-about", "`ABOUT` should be a table").help(format!("such as `{EXAMPLE}`"));
            return (None, vec![place(fault, source, literal.position)]);
        };
        let reader = Reader {
            source,
            entries,
            whole: literal.position,
        };
        let mut faults = Faults(reader.unknown_keys());
        let is_said = |key: &str| !reader.is_misspelt(key);
        let _ = is_said("api").then(|| faults.of(reader.api()));
        let kind = is_said("kind").then(|| faults.of(reader.kind())).flatten();
        let title = if is_said("title") {
            faults.or_empty(reader.required_text("title"))
        } else {
            String::new()
        };
        let mut text = |key: &str| faults.of(reader.text(key)).flatten();
        let [source, version, author, licence, based_on] =
            ["source", "version", "author", "licence", "based_on"].map(&mut text);
        let about = About {
            kind: kind.unwrap_or(Kind::RUN),
            title,
            source: source.unwrap_or_else(|| "no source given".to_owned()),
            version,
            author,
            licence,
            based_on,
            uses: faults.or_empty(reader.each("uses", "use")),
            faults: faults.or_empty(reader.faults()),
            cones: faults.of(reader.cones()).flatten(),
            atmospheres: faults.or_empty(reader.each("atmospheres", "atmosphere")),
            fluxes: faults.or_empty(reader.fluxes()),
            only_with: faults.or_empty(reader.only_with()),
            needs_pieces: faults.or_empty(reader.needs_pieces()),
            options: reader.options(&mut faults),
            tables: reader.tables(&mut faults),
        };
        (kind.map(|_| about), faults.0)
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

    /// The complaint about `ABOUT` in other letters.
    pub(crate) fn miswritten(name: &str, source: &Source) -> Diagnostic {
        let message = "the script doesn't say what it is: `ABOUT` is written in capitals";
        let fault = Diagnostic::error("no-about", message).help("did you mean `ABOUT`?");
        at_text(fault, name, source)
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

    fn unknown_keys(&self) -> Vec<Diagnostic> {
        let unknown = self
            .entries
            .iter()
            .filter(|entry| names(&ABOUT_KEYS).all(|key| key != entry.0));
        let fault = |(key, at, _): &(String, Position, Literal)| {
            let near = suggestion(key, names(&ABOUT_KEYS));
            self.fault(*at, format!("`ABOUT` has no `{key}`"), near)
        };
        unknown.map(fault).collect()
    }

    /// Whether a key isn't there, and another is that looks like it: the mistake is told there.
    fn is_misspelt(&self, key: &str) -> bool {
        let unknown = self
            .entries
            .iter()
            .filter(|entry| names(&ABOUT_KEYS).all(|known| known != entry.0));
        let mut meant = unknown.filter_map(|entry| nearest(&entry.0, names(&ABOUT_KEYS)));
        self.get(key).is_none() && meant.any(|meant| meant == key)
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

    /// The declarations under a key, each read by itself.
    fn declared<T>(
        &self,
        (key, example): (&str, &str),
        faults: &mut Faults,
        read: impl Fn(&str, &Literal) -> Result<T, Diagnostic>,
    ) -> Vec<T> {
        let Some(literal) = self.get(key) else {
            return Vec::new();
        };
        let Shape::Table(entries) = &literal.shape else {
            let fault = self.fault(
                literal.position,
                of_typed(key, "should be a table"),
                Some(example.to_owned()),
            );
            faults.of::<()>(Err(fault));
            return Vec::new();
        };
        let read = entries.iter().map(|(name, _, spec)| read(name, spec));
        read.filter_map(|one| faults.of(one)).collect()
    }

    fn options(&self, faults: &mut Faults) -> Vec<OptionSpec> {
        let example = "such as `options: #{ most: #{ value: 0.3, help: \"...\" } }`";
        self.declared(("options", example), faults, |name, spec| {
            OptionSpec::read(name, spec, self.source)
        })
    }

    fn tables(&self, faults: &mut Faults) -> Vec<TableSpec> {
        if let (Some(literal), Ok(kind)) = (self.get("tables"), self.kind())
            && kind != Kind::RUN
        {
            let help = "only `glost run` hands tables over, by `--table name=FILE.csv` or from the script's package";
            let message = "`tables` goes with scripts of kind `run`";
            faults.of::<()>(Err(self.fault(literal.position, message, Some(help.to_owned()))));
            return Vec::new();
        }
        let example = "such as `tables: #{ invoices: [\"date\", \"material\", \"kg\"] }`";
        self.declared(("tables", example), faults, |name, columns| {
            TableSpec::read(name, columns, self.source)
        })
    }
}
