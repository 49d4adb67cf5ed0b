//! Keys as they are typed behind `set`: `price=2 EUR/kg`, `analysis.SiO2=67.2`.

use glost_chemistry::diagnostic::{Diagnostic, of_typed, suggestion};
use glost_chemistry::glaze::GLAZE_KEYS;
use glost_chemistry::material::{LOT_KEYS, MATERIAL_KEYS};
use glost_chemistry::read::folded;
use glost_core::evidence::ware::CLAY_KEYS;
use glost_core::studio::SETTINGS_KEYS;

use super::found::OfWhat;

/// What is worked out of other things, and so is no key of a file.
const COMPUTED: [&str; 17] = [
    "unity",
    "silica_to_alumina",
    "sio2:al2o3",
    "alkali_share",
    "expansion",
    "loss_on_ignition",
    "cost",
    "price",
    "stock",
    "version",
    "distance",
    "melt",
    "stress",
    "zone",
    "batch",
    "formula_mass",
    "absorption",
];
/// Keys that hold a map of values.
const MAPS: [&str; 9] = [
    "parts",
    "additions",
    "recipe",
    "tolerance",
    "scales",
    "fit",
    "scripts",
    "shrinkage",
    "weighings",
];
/// The key of a material's open lots.
pub(super) const LOTS: &str = "lots";
/// Keys that are true or false.
const YES_OR_NO: [&str; 6] = ["buyable", "soluble", "toxic", "fired", "take_as_is", "measured"];
/// Keys that are in wt %.
const PERCENTS: [&str; 4] = ["absorption", "loss_on_ignition", "moisture", "free_silica"];
/// Keys that hold a list.
const LISTS: [&str; 6] = [
    "other_names",
    "hazards",
    "fumes",
    "recommended",
    "fluxes",
    "dilatometer",
];

/// A value to be set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Setting {
    /// The map it stands in, where it is one of several values: `analysis`.
    pub map: Option<String>,
    /// The open lot that it is of, where that is one of several.
    pub lot: Option<String>,
    /// Its key.
    pub key: String,
    /// Its text.
    pub text: String,
}

impl Setting {
    /// Reads `KEY=VALUE`, or `MAP.KEY=VALUE`.
    ///
    /// # Errors
    /// No `=`, no key, no value.
    pub fn parse(typed: &str) -> Result<Setting, Diagnostic> {
        let wrong = |message: String| {
            Diagnostic::error("bad-setting", message)
                .help("write KEY=VALUE, in quotes where a blank is in it: \"price=2.10 EUR/kg\"")
        };
        let Some((key, text)) = typed.split_once('=') else {
            return Err(wrong(of_typed(typed.trim(), "says no value: there is no `=` in it")));
        };
        let (key, text) = (key.trim(), text.trim());
        if key.is_empty() || text.is_empty() {
            let what = if key.is_empty() { "key" } else { "value" };
            return Err(wrong(format!("`{}` has no {what}", typed.trim())));
        }
        if text.chars().any(char::is_control) {
            return Err(wrong(format!("the value of `{key}` is not one line of plain text")));
        }
        if let Some((lot, key)) = of_a_lot(key) {
            return Ok(Setting {
                map: None,
                lot: Some(lot),
                key: plain(key),
                text: text.to_owned(),
            });
        }
        let map_of = key.split_once('.').filter(|(map, _)| {
            let map = plain(map);
            MAPS.contains(&map.as_str()) || map == "analysis"
        });
        let text = if PERCENTS.contains(&plain(key).as_str()) {
            without_percent(text)
        } else {
            text
        };
        Ok(match map_of {
            Some((map, key)) => Setting {
                map: Some(plain(map)),
                lot: None,
                key: key.trim().to_owned(),
                text: text.to_owned(),
            },
            // Scales are typed in one piece, and stand in the file in two.
            None if plain(key) == "scales" => Setting {
                map: Some(plain(key)),
                lot: None,
                key: plain(key),
                text: text.to_owned(),
            },
            None => {
                let key = plain(key);
                let text = if YES_OR_NO.contains(&key.as_str()) {
                    truth(text)
                } else {
                    text
                };
                Setting {
                    map: None,
                    lot: None,
                    text: text.to_owned(),
                    key,
                }
            }
        })
    }

    /// The key that a file has at its top: the map's where there is one.
    pub(super) fn top(&self) -> &str {
        match &self.lot {
            Some(_) => LOTS,
            None => self.map.as_deref().unwrap_or(&self.key),
        }
    }

    /// As it is typed before the `=`.
    pub fn shown(&self) -> String {
        match (&self.lot, &self.map) {
            (Some(lot), _) => format!("{LOTS}.{lot}.{}", self.key),
            (None, Some(map)) => format!("{map}.{}", self.key),
            (None, None) => self.key.clone(),
        }
    }

    /// Whether it stands in a file without quotes: true, false, an amount.
    pub(super) fn is_bare(&self) -> bool {
        let number = self.text.parse::<f64>().is_ok_and(f64::is_finite);
        let is_amount = self.map.as_deref().is_some_and(|map| map != "scripts") && number;
        is_amount || (YES_OR_NO.contains(&self.key.as_str()) && matches!(self.text.as_str(), "true" | "false"))
    }

    /// Whether something of this sort may have its key.
    pub fn fits(&self, of: OfWhat) -> bool {
        of.keys().contains(&self.top())
    }

    /// Whether it can be set at all.
    ///
    /// # Errors
    /// No such key, one that is worked out, a name, a list, a map.
    pub(super) fn check(&self, of: OfWhat) -> Result<(), Diagnostic> {
        let (key, what) = (self.top(), of.word());
        let known = of.keys();
        if !known.contains(&key) {
            return Err(unknown(key, of));
        }
        if self.lot.is_some() {
            return self.check_of_lot();
        }
        if self.map.is_some() {
            return Ok(());
        }
        if key == LOTS {
            return Err(several_values("each open lot has its own values"));
        }
        if of.name_keys().contains(&key) && of != OfWhat::Studio {
            return Err(
                Diagnostic::error("name-by-set", format!("a {what}'s name isn't set: others name it too"))
                    .help(format!("`glost rename OLD \"{}\"` changes it everywhere", self.text)),
            );
        }
        if key == "accepted" {
            return Err(Diagnostic::error(
                "several-values",
                "`accepted` is a list of findings, each with its reason",
            )
            .help("`glost check GLAZE --accept FINDING --because WHY` writes one"));
        }
        if MAPS.contains(&key) || (key == "analysis" && self.text != "unknown") {
            return Err(
                Diagnostic::error("several-values", of_typed(key, "holds several values"))
                    .help(format!("name one of them: {}", example_of(key))),
            );
        }
        if LISTS.contains(&key) && self.text.contains(',') {
            return Err(Diagnostic::error("several-values", of_typed(key, "is a list"))
                .help(format!("write it in the file: `{key}: [{}]`", self.text)));
        }
        Ok(())
    }
}

impl Setting {
    /// Whether it says of which lot it is: a material lists several.
    pub(super) fn of_one_lot(&self, first_lot: &str) -> Result<(), Diagnostic> {
        if self.lot.is_some() || self.map.is_some() {
            return Ok(());
        }
        let message = format!("it lists open lots, each with its own {}", self.key);
        Err(Diagnostic::error("several-values", message)
            .help(format!("say of which: \"lots.{first_lot}.{}={}\"", self.key, self.text)))
    }

    /// Whether a lot may have its key.
    fn check_of_lot(&self) -> Result<(), Diagnostic> {
        let key = self.key.as_str();
        if key == "analysis" || key == "tolerance" {
            return Err(several_values("a lot's `analysis` holds several values"));
        }
        if LOT_KEYS.contains(&key) {
            return Ok(());
        }
        Err(Diagnostic::error("unknown-key", format!("a lot has no `{key}`"))
            .help(suggestion(key, LOT_KEYS).unwrap_or_else(|| format!("it may have: {}", LOT_KEYS.join(", ")))))
    }
}

fn several_values(what: &str) -> Diagnostic {
    Diagnostic::error("several-values", what)
        .help("name the lot and one value: \"lots.K7.stock=3 kg\"; `glost add lot MATERIAL` opens a new one, an analysis is written in the file")
}

/// `lots.K7.stock`: the lot's name and its key.
fn of_a_lot(key: &str) -> Option<(String, &str)> {
    let (list, rest) = key.split_once('.')?;
    let (lot, key) = rest.rsplit_once('.')?;
    matches!(plain(list).as_str(), LOTS | "lot").then(|| (lot.trim().to_owned(), key))
}

/// True or false as files write it, whatever word was typed.
fn truth(text: &str) -> &str {
    match text.to_lowercase().as_str() {
        "yes" | "true" => "true",
        "no" | "false" => "false",
        _ => text,
    }
}

fn example_of(map: &str) -> String {
    let (key, value) = match map {
        "analysis" => ("SiO2", "67.2"),
        "tolerance" => ("SiO2", "0.5"),
        "scales" => ("reads_to", "0.1 g"),
        "weighings" => ("dry", "412.0 g"),
        "additions" => ("tin oxide", "4"),
        "fit" | "scripts" | "shrinkage" => ("NAME", "VALUE"),
        _ => ("silica", "26"),
    };
    format!("\"{map}.{key}={value}\"")
}

/// `1.8` of `1.8 %` and `1.8 wt %`: files give these keys in wt % without saying so.
fn without_percent(text: &str) -> &str {
    let bare = text.strip_suffix('%').map(str::trim_end);
    let bare = bare.map(|bare| bare.strip_suffix("wt").unwrap_or(bare).trim_end());
    bare.filter(|bare| !bare.is_empty()).unwrap_or(text)
}

/// A key without case, with `_` for blanks and hyphens.
fn plain(key: &str) -> String {
    folded(key).replace([' ', '-'], "_")
}

fn unknown(key: &str, of: OfWhat) -> Diagnostic {
    let what = of.word();
    if COMPUTED.contains(&key) && of != OfWhat::Studio {
        return Diagnostic::error(
            "computed-value",
            format!("`{key}` of a {what} is worked out, not written down"),
        )
        .help(match of {
            OfWhat::Glaze => "change what it rests on: the recipe (\"parts.silica=26\"), or a material's own price, stock or analysis",
            _ => "change what it rests on: the analysis (\"analysis.SiO2=67.2\"), or the weighed bars",
        });
    }
    let error = Diagnostic::error("unknown-key", format!("a {what} has no `{key}`"));
    let others = [OfWhat::Glaze, OfWhat::Material, OfWhat::Clay, OfWhat::Studio];
    let near = suggestion(key, of.keys().iter().copied());
    let whose = others.iter().find(|other| **other != of && other.keys().contains(&key));
    if key == "name" {
        return error.help("`glost rename OLD NEW` gives another name: files, recipes, plans and notebook follow");
    }
    error.help(match (near, whose) {
        (_, Some(other)) => format!("`{key}` belongs to a {}: name that instead", other.word()),
        (Some(near), None) => near,
        (None, None) => format!("it may have: {}", of.keys().join(", ")),
    })
}

impl OfWhat {
    /// The keys that its map may have, in their usual order.
    pub(super) fn keys(self) -> &'static [&'static str] {
        match self {
            OfWhat::Studio => &SETTINGS_KEYS,
            OfWhat::Glaze => &GLAZE_KEYS,
            OfWhat::Material => &MATERIAL_KEYS,
            OfWhat::Clay => &CLAY_KEYS,
        }
    }

    /// The keys that hold its name.
    pub(super) fn name_keys(self) -> &'static [&'static str] {
        match self {
            OfWhat::Studio => &["studio"],
            OfWhat::Glaze => &["glaze"],
            OfWhat::Material => &["name"],
            OfWhat::Clay => &["clay", "body"],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn settings_are_read_as_typed() {
        let read = |typed: &str| {
            Setting::parse(typed)
                .map(|set| (set.shown(), set.text))
                .map_err(|why| why.code)
        };
        let some = |key: &str, text: &str| Ok((key.to_owned(), text.to_owned()));
        assert_eq!(read("Price = 2,10 EUR/kg"), some("price", "2,10 EUR/kg"));
        assert_eq!(read("Loss on ignition=12"), some("loss_on_ignition", "12"));
        assert_eq!(read("analysis.SiO2=67.2"), some("analysis.SiO2", "67.2"));
        assert_eq!(read("notes=a = b"), some("notes", "a = b"));
        assert_eq!(read("absorption=1.8 %"), some("absorption", "1.8"));
        assert_eq!(read("Free silica=25 wt %"), some("free_silica", "25"));
        assert_eq!(read("notes=up 2 %"), some("notes", "up 2 %"));
        assert_eq!(read("Lots.K7.Stock=3 kg"), some("lots.K7.stock", "3 kg"));
        for wrong in ["price", "=2", "price=", "notes=a\nb"] {
            assert_eq!(read(wrong), Err("bad-setting"), "{wrong:?}");
        }
    }

    #[test]
    fn keys_that_cannot_be_set_say_why() {
        let code = |typed: &str, of| {
            Setting::parse(typed)
                .and_then(|set| set.check(of))
                .map_err(|why| why.code)
        };
        for (typed, of, wanted) in [
            ("price=2 EUR/kg", OfWhat::Material, Ok(())),
            ("prise=2 EUR/kg", OfWhat::Material, Err("unknown-key")),
            ("expansion=6e-6/K", OfWhat::Glaze, Err("computed-value")),
            ("cost=2", OfWhat::Glaze, Err("computed-value")),
            ("glaze=other", OfWhat::Glaze, Err("name-by-set")),
            ("parts=3", OfWhat::Glaze, Err("several-values")),
            ("analysis=unknown", OfWhat::Material, Ok(())),
            ("currency=EUR", OfWhat::Studio, Ok(())),
            ("lots.K7.stock=3 kg", OfWhat::Material, Ok(())),
            ("lots.K7.stok=3 kg", OfWhat::Material, Err("unknown-key")),
            ("lots.K7.analysis=unknown", OfWhat::Material, Err("several-values")),
            ("lots=K7", OfWhat::Material, Err("several-values")),
            ("lots.K7.stock=3 kg", OfWhat::Clay, Err("unknown-key")),
            ("currency=EUR", OfWhat::Clay, Err("unknown-key")),
        ] {
            assert_eq!(code(typed, of), wanted, "{typed}");
        }
    }

    /// Amounts, true and false stand without quotes; words that look like them don't.
    #[test]
    fn only_amounts_and_answers_stand_without_quotes() {
        for (typed, bare) in [
            ("parts.silica=26", true),
            ("parts.silica=much", false),
            ("parts.silica=nan", false),
            ("scripts.check/own-rule=2", false),
            ("cone=6", false),
            ("buyable=no", true),
            ("buyable=perhaps", false),
            ("notes=true", false),
        ] {
            let setting = Setting::parse(typed).unwrap_or_else(|why| panic!("{why:?}"));
            assert_eq!(setting.is_bare(), bare, "{typed}");
        }
    }

    #[test]
    fn a_key_fits_whoever_may_have_it() {
        let fit = |typed: &str| {
            let setting = Setting::parse(typed).unwrap_or_else(|why| panic!("{why:?}"));
            OfWhat::NAMED.map(|of| setting.fits(of))
        };
        assert_eq!(fit("parts.silica=26"), [true, false, false]);
        assert_eq!(fit("lots.K7.stock=3 kg"), [false, true, false]);
        assert_eq!(fit("weighings.dry=412 g"), [false, false, true]);
        assert_eq!(fit("notes=soft"), [true, true, true]);
    }

    #[test]
    fn whoever_names_a_map_is_shown_one_of_its_values() {
        for (key, of, example) in [
            ("parts", OfWhat::Glaze, "\"parts.silica=26\""),
            ("additions", OfWhat::Glaze, "\"additions.tin oxide=4\""),
            ("scripts", OfWhat::Studio, "\"scripts.NAME=VALUE\""),
            ("recipe", OfWhat::Material, "\"recipe.silica=26\""),
            ("analysis", OfWhat::Material, "\"analysis.SiO2=67.2\""),
            ("tolerance", OfWhat::Material, "\"tolerance.SiO2=0.5\""),
            ("shrinkage", OfWhat::Clay, "\"shrinkage.NAME=VALUE\""),
            ("weighings", OfWhat::Clay, "\"weighings.dry=412.0 g\""),
        ] {
            let typed = Setting::parse(&format!("{key}=3")).and_then(|setting| setting.check(of));
            let why = typed.err().unwrap_or_else(|| panic!("{key} is set"));
            assert_eq!(why.code, "several-values");
            assert_eq!(why.help, Some(format!("name one of them: {example}")));
            let shown = Setting::parse(example.trim_matches('"')).and_then(|setting| setting.check(of));
            assert_eq!(shown, Ok(()), "{example}");
        }
        assert_eq!(example_of("scales"), "\"scales.reads_to=0.1 g\"");
    }

    #[test]
    fn an_unknown_key_is_told_with_what_may_be_meant() {
        for (typed, of, told) in [
            ("unity=1", OfWhat::Glaze, "change what it rests on: the recipe"),
            ("unity=1", OfWhat::Material, "change what it rests on: the analysis"),
            ("unity=1", OfWhat::Clay, "change what it rests on: the analysis"),
            ("currency=EUR", OfWhat::Clay, "`currency` belongs to a studio"),
            ("parts.silica=26", OfWhat::Clay, "`parts` belongs to a glaze"),
            ("prise=2 EUR/kg", OfWhat::Material, "did you mean `price`"),
            ("zzzzzz=2", OfWhat::Material, "it may have: name, "),
            ("unity=1", OfWhat::Studio, "known here: studio, "),
            ("name=other", OfWhat::Glaze, "`glost rename OLD NEW`"),
        ] {
            let why = Setting::parse(typed).and_then(|setting| setting.check(of));
            let help = why.err().and_then(|why| why.help);
            assert!(
                help.as_ref().is_some_and(|help| help.starts_with(told)),
                "{typed} of {of:?}: {help:?}"
            );
        }
    }
}
