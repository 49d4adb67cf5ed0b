//! A whole studio as plain data.

use crate::evidence::ware::Clay;
use crate::evidence::window::{WindowSettings, read_window_settings};
use crate::rules::Level;
use crate::workshop::scales::Scales;
use glost_chemistry::diagnostic::{Diagnostic, Source, is_no, of_typed, suggestion};
use glost_chemistry::glaze::{FluxList, GlazeFile, IronCount, quantity, sieve_words};
use glost_chemistry::material::Library;
use glost_chemistry::oxides::Oxide;
use glost_chemistry::quantity::{Grams, Millilitres};
use glost_chemistry::read::{Fields, Key, Node, Text, Value, entries, parse, text_of};

/// What turns a script off in `studio.yaml`.
const OFF: &str = "off";
/// What leaves it as it is, to stand before a reason.
const ON: &str = "on";
/// Before the reason.
const BECAUSE: &str = "because ";
/// The option that says what a script's cautions weigh.
const LEVEL: &str = "level";

/// The keys that `studio.yaml` may have, in their usual order.
pub const SETTINGS_KEYS: [&str; 11] = [
    "studio", "students", "scales", "cup", "sieve", "currency", "fluxes", "iron", "fit", "scripts", "notes",
];

/// A value set for a script's option, as text with its place.
#[derive(Debug, Clone)]
pub struct OptionSetting {
    /// The script's name.
    pub script: Text,
    /// The option's name.
    pub option: Text,
    /// The value's text.
    pub value: Text,
}

/// What `studio.yaml` says.
#[derive(Debug, Clone)]
pub struct StudioSettings {
    /// Its file; `None` where there is none.
    pub source: Option<Source>,
    /// The studio's name.
    pub name: String,
    /// Whether students work there.
    pub students: bool,
    /// Its scales.
    pub scales: Scales,
    /// Its cup.
    pub cup: Millilitres,
    /// The sieve that it always uses, in its own words.
    pub sieve: Option<String>,
    /// Its currency.
    pub currency: Option<String>,
    /// Its flux list.
    pub fluxes: FluxList,
    /// Options of scripts that it sets.
    pub options: Vec<OptionSetting>,
    /// Scripts that it turned off.
    pub off: Vec<Text>,
    /// Why it has a script as it has it, by the script's name.
    pub reasons: Vec<(Text, String)>,
    /// What it believes about fit before any piece is looked at.
    pub fit: WindowSettings,
}

impl Default for StudioSettings {
    fn default() -> Self {
        StudioSettings {
            source: None,
            name: String::new(),
            students: false,
            scales: Scales::default(),
            cup: Millilitres::METRIC_CUP,
            sieve: None,
            currency: None,
            fluxes: FluxList::default(),
            options: Vec::new(),
            off: Vec::new(),
            reasons: Vec::new(),
            fit: WindowSettings::default(),
        }
    }
}

/// A studio: settings, materials, glazes, clays.
#[derive(Debug, Clone, Default)]
pub struct Studio {
    /// What `studio.yaml` says.
    pub settings: StudioSettings,
    /// All materials it can see, its own over the shipped ones.
    pub library: Library,
    /// Its glazes, in order of their file names.
    pub glazes: Vec<GlazeFile>,
    /// Its clays, in order of their file names.
    pub clays: Vec<Clay>,
}

/// Reads `studio.yaml`.
///
/// # Errors
/// The first thing in it that can't be used, with its place.
pub fn read_settings(source: &Source) -> Result<StudioSettings, Diagnostic> {
    let root = parse(source)?;
    let fields = Fields::new(source, &root, "studio.yaml", &SETTINGS_KEYS)?;
    fields.required(
        "studio",
        "studio.yaml",
        "start it with the studio's name: `studio: Ternholm Tiles`",
    )?;
    let mut settings = StudioSettings {
        source: Some(source.clone()),
        name: fields.text("studio")?.map(|text| text.text).unwrap_or_default(),
        students: fields.yes("students")?,
        currency: fields.text("currency")?.map(|text| text.text),
        ..StudioSettings::default()
    };
    if let Some(cup) = quantity(source, &fields, "cup", |text| {
        Millilitres::parse(text, Millilitres::METRIC_CUP)
    })? {
        if cup.millilitres() <= 0.0 {
            return Err(out_of_range(source, &fields, "cup", "must be above zero").help("a metric cup is 250 ml"));
        }
        settings.cup = cup;
    }
    settings.sieve = quantity(source, &fields, "sieve", sieve_words)?;
    if let Some(node) = fields.get("scales") {
        let inner = Fields::new(source, node, "`scales`", &["reads_to", "up_to"])?;
        inner.required("reads_to", "`scales`", "say what step they read to: `reads_to: 0.1 g`")?;
        let reads_to = quantity(source, &inner, "reads_to", Grams::parse)?;
        settings.scales = Scales {
            reads_to: reads_to.unwrap_or(settings.scales.reads_to),
            up_to: quantity(source, &inner, "up_to", Grams::parse)?,
        };
        let Scales { reads_to, up_to } = settings.scales;
        if reads_to.grams() <= 0.0 {
            return Err(out_of_range(source, &inner, "reads_to", "must be above zero")
                .help("write the step that the scales show, such as `reads_to: 0.1 g`"));
        }
        if up_to.is_some_and(|most| most.grams() < reads_to.grams()) {
            return Err(
                out_of_range(source, &inner, "up_to", "is less than one step of the scales")
                    .help("`reads_to` is the step they show, `up_to` the most they carry"),
            );
        }
    }
    if fields.get("fluxes").is_some() {
        settings.fluxes = fluxes(source, &fields)?;
    }
    if let Some(iron) = quantity(source, &fields, "iron", IronCount::parse)? {
        settings.fluxes = settings.fluxes.with_iron(iron);
    }
    if let Some(node) = fields.get("fit") {
        settings.fit = read_window_settings(source, node)?;
    }
    if let Some(node) = fields.get("scripts") {
        scripts(source, node, &mut settings)?;
    }
    Ok(settings)
}

/// What is set of scripts: `off`, `note, because REASON`, or a table of options.
fn scripts(source: &Source, node: &Node, settings: &mut StudioSettings) -> Result<(), Diagnostic> {
    let copy = |text: &Key| Text {
        text: text.text.clone(),
        mark: text.mark,
    };
    for (script, inner) in entries(source, node, "scripts")? {
        if let Value::Text(_) = &inner.value {
            let told = text_of(source, inner, &script.text)?;
            in_a_word(source, inner, copy(script), told, settings)?;
            continue;
        }
        for (option, value) in entries(source, inner, &script.text)? {
            let Value::Text(_) = &value.value else {
                let error = Diagnostic::error("wrong-type", of_typed(&option.text, "should be one value"));
                return Err(error.at(source, value.mark, 1));
            };
            let told = text_of(source, value, &option.text)?;
            if option.text == LEVEL && is_a_level(&told.text) {
                // Beside its options it says the same as it would alone.
                in_a_word(source, value, copy(script), told, settings)?;
                continue;
            }
            settings.options.push(OptionSetting {
                script: copy(script),
                option: copy(option),
                value: told,
            });
        }
    }
    Ok(())
}

/// Whether a script can be so: on, off, or its cautions weighed.
fn is_a_level(told: &str) -> bool {
    let word = told.split(',').next().unwrap_or("").trim();
    [ON, OFF].contains(&word) || Level::FOR_CAUTIONS.into_iter().any(|level| level.words() == word)
}

/// A script in a word, with or without a reason: `off, because the laboratory tests it`.
fn in_a_word(
    source: &Source,
    node: &Node,
    script: Text,
    told: Text,
    settings: &mut StudioSettings,
) -> Result<(), Diagnostic> {
    let (word, reason) = told.text.split_once(',').map_or_else(
        || (told.text.trim(), None),
        |(word, reason)| {
            let reason = reason.trim();
            (word.trim(), Some(reason.strip_prefix(BECAUSE).unwrap_or(reason).trim()))
        },
    );
    let level = Level::FOR_CAUTIONS.into_iter().find(|level| level.words() == word);
    let word = match (word, level) {
        (OFF, _) => {
            settings.off.push(script.clone());
            None
        }
        (ON, _) => None,
        (_, Some(level)) => Some(level.words()),
        (_, None) => {
            let message = format!(
                "`{}` is `off`, or has a table of options, not `{}`",
                script.text, told.text
            );
            let help = format!("{}: off, or {}: {{ level: note }}", script.text, script.text);
            return Err(Diagnostic::error("wrong-value", message)
                .at(source, node.mark, node.width())
                .help(help));
        }
    };
    settings.options.extend(word.map(|word| OptionSetting {
        script: script.clone(),
        option: Text {
            text: LEVEL.to_owned(),
            mark: told.mark,
        },
        value: Text {
            text: word.to_owned(),
            mark: told.mark,
        },
    }));
    let reason = reason.filter(|reason| !reason.is_empty());
    settings
        .reasons
        .extend(reason.map(|reason| (script, reason.to_owned())));
    Ok(())
}

fn out_of_range(source: &Source, fields: &Fields<'_>, key: &str, what: &str) -> Diagnostic {
    let error = Diagnostic::error("out-of-range", of_typed(key, what));
    match fields.get(key) {
        Some(node) => error.at(source, node.mark, node.width()),
        None => error,
    }
}

fn fluxes(source: &Source, fields: &Fields<'_>) -> Result<FluxList, Diagnostic> {
    let mut oxides = Vec::new();
    let mut iron = IronCount::FE2O3;
    for text in fields.texts("fluxes")? {
        // Iron is kept as Fe2O3: as a flux it is a way of counting it.
        if text.text == "FeO" {
            iron = IronCount::FEO;
            continue;
        }
        let oxide = Oxide::from_formula(&text.text).ok_or_else(|| {
            Diagnostic::error("unknown-oxide", is_no(&text.text, "oxide that Glost knows"))
                .at(source, text.mark, text.text.chars().count())
                .maybe_help(suggestion(&text.text, Oxide::ALL.map(Oxide::formula)))
        })?;
        if oxides.contains(&oxide) {
            return Err(Diagnostic::error("duplicate-key", of_typed(oxide, "is listed twice"))
                .at(source, text.mark, text.text.chars().count())
                .help("keep one of them"));
        }
        oxides.push(oxide);
    }
    let mark = fields
        .key_mark("fluxes")
        .unwrap_or(glost_chemistry::diagnostic::Mark { line: 1, column: 1 });
    FluxList::new(oxides).map(|list| list.with_iron(iron)).ok_or_else(|| {
        Diagnostic::error("empty-fluxes", "the list of fluxes is empty")
            .at(source, mark, "fluxes".len())
            .help("write `fluxes: [Na2O, K2O, CaO, ...]`, or take the line out for the usual nine")
    })
}
