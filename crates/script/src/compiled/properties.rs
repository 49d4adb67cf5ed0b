//! `value.name`: what the compiled walk reads of each sort of value.
//!
//! A name is looked up once, for every sort at once: what a variable holds is known only
//! when the script runs. Whatever isn't here is left to the engine.

use glost_chemistry::glaze::{Atmosphere, FluxList, Use, Ware};
use glost_chemistry::material::Material;
use glost_core::evidence::ware::Clay;

use crate::scene::Scene;
use crate::values::{Amount, Amounts, GlazeValue, peak_or_cone};

use super::value::{Constant, KEYS, Lines, List, Table, Value};

/// What a script looks at.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seen<'a> {
    pub(super) glaze: &'a GlazeValue,
    pub(super) scene: &'a Scene,
    pub(super) options: &'a [Constant],
}

/// `None` where the engine would have an error to tell.
type OfGlaze = for<'a> fn(&'a GlazeValue) -> Option<Value<'a>>;
type OfMaterial = for<'a> fn(&'a Material, &'a FluxList) -> Option<Value<'a>>;
type OfClay = for<'a> fn(&'a Clay) -> Value<'a>;

/// A new property of a glaze is a line here.
const OF_GLAZE: [(&str, OfGlaze); 27] = [
    ("name", |glaze| Some(Value::seen(glaze.name()))),
    ("cone", |glaze| {
        Some(Value::seen_or_nothing(glaze.glaze().about.cone.as_deref()))
    }),
    ("atmosphere", |glaze| {
        let atmosphere = glaze.glaze().about.atmosphere;
        Some(Value::seen_or_nothing(atmosphere.map(Atmosphere::word)))
    }),
    ("ware", |glaze| {
        Some(Value::seen_or_nothing(glaze.glaze().about.ware.map(Ware::word)))
    }),
    ("firing", |glaze| {
        Some(Value::seen_or_nothing(glaze.glaze().about.firing.as_deref()))
    }),
    ("notes", |glaze| {
        Some(Value::seen_or_nothing(glaze.glaze().about.notes.as_deref()))
    }),
    ("use", |glaze| {
        Some(Value::seen_or_nothing(glaze.usage().map(Use::word)))
    }),
    ("students", |glaze| Some(Value::Truth(glaze.students()))),
    ("peak", |glaze| {
        let peak = glaze.glaze().about.peak;
        Some(Value::number_or_nothing(peak.map(|peak| peak.celsius())))
    }),
    ("peak_or_cone", |glaze| {
        Some(Value::number_or_nothing(peak_or_cone(glaze.glaze())))
    }),
    ("has_clay", |glaze| Some(Value::Truth(glaze.own_clay().is_some()))),
    ("clay", |glaze| glaze.own_clay().map(|clay| Value::Clay(clay))),
    ("parts", |_| Some(Value::Lines(Lines::Base))),
    ("additions", |_| Some(Value::Lines(Lines::Additions))),
    ("batch", |_| Some(Value::Lines(Lines::Batch))),
    ("known", |glaze| Some(Value::Truth(glaze.is_known()))),
    ("unknown", |glaze| {
        Some(Value::List(List::Texts(glaze.glaze().unknown_materials())))
    }),
    ("raw_clay", |glaze| {
        Some(Value::Number(glaze.glaze().raw_clay_percent()))
    }),
    ("fluorine", |glaze| {
        Some(Value::Number(glaze.glaze().fluorine_percent()))
    }),
    ("soluble", |glaze| Some(Value::Number(glaze.glaze().soluble_percent()))),
    ("unity", |glaze| glaze.plain_unity().map(Value::Oxides)),
    ("mole_percent", |glaze| glaze.plain_mole_percent().map(Value::Oxides)),
    ("weight_percent", |glaze| {
        glaze.plain_weight_percent().map(Value::Oxides)
    }),
    ("known_oxides", |glaze| Some(Value::Oxides(glaze.plain_known_oxides()))),
    ("loss_on_ignition", |glaze| {
        Some(Value::Number(glaze.plain_chemistry()?.loss_on_ignition_percent))
    }),
    ("flux_moles", |glaze| glaze.plain_flux_moles().map(Value::Number)),
    ("expansion", |glaze| {
        glaze.plain_expansion().map(Value::number_or_nothing)
    }),
];

/// Ratios that a glaze has beside its oxides.
const RATIOS_OF_GLAZE: [(&str, OfGlaze); 2] = [
    ("silica_to_alumina", |glaze| {
        Some(Value::number_or_nothing(glaze.plain_chemistry()?.silica_to_alumina))
    }),
    ("alkali_share", |glaze| {
        Some(Value::number_or_nothing(glaze.plain_chemistry()?.alkali_share))
    }),
];

const OF_MATERIAL: [(&str, OfMaterial); 9] = [
    ("name", |material, _| Some(Value::seen(&material.name))),
    ("kind", |material, _| Some(Value::seen(material.kind.word()))),
    ("known", |material, _| Some(Value::Truth(material.fired.is_some()))),
    ("oxides", |material, fluxes| {
        let amounts = material.fired.as_ref()?.oxides.as_slice();
        Some(Value::Oxides(Amounts { amounts, fluxes }))
    }),
    ("loss_on_ignition", |material, _| {
        Some(Value::Number(material.fired.as_ref()?.loss_grams))
    }),
    ("raw_clay", |material, _| {
        Some(Value::Number(material.raw_clay_fraction))
    }),
    ("soluble", |material, _| Some(Value::Truth(material.soluble))),
    ("toxic", |material, _| Some(Value::Truth(material.toxic))),
    ("shipped", |material, _| Some(Value::Truth(material.shipped))),
];

const OF_CLAY: [(&str, OfClay); 4] = [
    ("name", |clay| Value::seen(&clay.name)),
    ("cone", |clay| Value::seen_or_nothing(clay.cone.as_deref())),
    ("use", |clay| Value::seen_or_nothing(clay.usage.map(Use::word))),
    ("absorption", |clay| Value::number_or_nothing(clay.absorption())),
];

/// What is read of a line of the recipe.
#[derive(Debug, Clone, Copy)]
enum OfLine {
    Name,
    Percent,
    IsAddition,
    Material,
}

const OF_LINE: [(&str, OfLine); 4] = [
    ("name", OfLine::Name),
    ("percent", OfLine::Percent),
    ("is_addition", OfLine::IsAddition),
    ("material", OfLine::Material),
];

const SILICA_TO_ALUMINA: &str = RATIOS_OF_GLAZE[0].0;
/// Of texts and lists.
const LENGTH: &str = "len";

/// A name, and what it means for each sort of value.
#[derive(Debug, Default)]
pub(super) struct Property {
    glaze: Option<OfGlaze>,
    oxides: Option<Amount>,
    is_ratio: bool,
    line: Option<OfLine>,
    material: Option<OfMaterial>,
    clay: Option<OfClay>,
    is_length: bool,
    option: Option<usize>,
    key: Option<usize>,
}

fn of<T: Copy>(known: &[(&str, T)], name: &str) -> Option<T> {
    known.iter().find(|known| known.0 == name).map(|known| known.1)
}

impl Property {
    /// `None` where no sort of value has it.
    pub(super) fn named(name: &str, options: &[String]) -> Option<Property> {
        let property = Property {
            glaze: of(&OF_GLAZE, name).or_else(|| of(&RATIOS_OF_GLAZE, name)),
            oxides: Amount::named(name),
            is_ratio: name == SILICA_TO_ALUMINA,
            line: of(&OF_LINE, name),
            material: of(&OF_MATERIAL, name),
            clay: of(&OF_CLAY, name),
            is_length: name == LENGTH,
            option: options.iter().position(|option| option == name),
            key: KEYS.iter().position(|key| *key == name),
        };
        let of_glaze = property.glaze.is_some() || property.oxides.is_some();
        let of_others = property.line.is_some() || property.material.is_some() || property.clay.is_some();
        let is_own = property.is_length || property.option.is_some() || property.key.is_some();
        (of_glaze || of_others || is_own).then_some(property)
    }

    /// What a value has by this name; `None` where the engine decides.
    pub(super) fn read<'a>(&self, owner: &Value<'a>, seen: Seen<'a>) -> Option<Value<'a>> {
        match owner {
            Value::Glaze => self.glaze?(seen.glaze),
            Value::Options => Some(seen.options.get(self.option?)?.value()),
            Value::Oxides(amounts) if self.is_ratio => Some(Value::number_or_nothing(amounts.silica_to_alumina())),
            Value::Oxides(amounts) => Some(Value::Number(amounts.of(self.oxides?))),
            Value::Line(portion, is_addition) => Some(match self.line? {
                OfLine::Name => Value::seen(&portion.material.name),
                OfLine::Percent => Value::Number(portion.percent),
                OfLine::IsAddition => Value::Truth(*is_addition),
                OfLine::Material => Value::Material(&portion.material),
            }),
            Value::Material(material) => self.material?(material, &seen.scene.fluxes),
            Value::Clay(clay) => Some(self.clay?(clay)),
            Value::Table(table) => self.of_table(table),
            Value::Text(text) if self.is_length => Some(Value::Whole(text.as_str().chars().count() as i64)),
            Value::List(list) if self.is_length => Some(Value::Whole(list.len() as i64)),
            _ => None,
        }
    }

    fn of_table<'a>(&self, table: &Table<'a>) -> Option<Value<'a>> {
        table.0[self.key?].clone()
    }
}

/// What stands in a table of a finding by a name.
pub(super) fn key(name: &str) -> Option<usize> {
    KEYS.iter().position(|key| *key == name)
}

/// Every name that is known, of amounts of oxides but some.
#[cfg(test)]
pub(super) fn names() -> impl Iterator<Item = &'static str> {
    let of_glaze = OF_GLAZE.iter().chain(&RATIOS_OF_GLAZE).map(|known| known.0);
    let of_material = OF_MATERIAL.iter().map(|known| known.0);
    let of_others = OF_CLAY.iter().map(|known| known.0).chain(OF_LINE.map(|known| known.0));
    let of_oxides = ["SiO2", "R2O", "KNaO", "RO", "flux", "total", LENGTH];
    of_glaze.chain(of_material).chain(of_others).chain(of_oxides)
}
