//! Materials mixed from others: the recipes of one layer worked out.
//!
//! A recipe may hold other mixes. How deep is bounded, each mix is worked out
//! once, and one that can't be is complained about once, however many use it.

use std::sync::Arc;

use crate::assumption::{Assumption, SheetAssumption};
use crate::diagnostic::{Diagnostic, MOST_COMPLAINTS, did_you_mean, nearest, none_called};
use crate::oxides::Oxide;
use crate::read::{Text, folded};

use super::entry::{Makeup, MaterialEntry};
use super::fired_yield::FiredYield;
use super::free_silica;
use super::kind::Kind;
use super::library::{Layer, Library, Material, unmixed};

/// How many mixes may stand inside each other.
const MOST_NESTED: usize = 24;

/// A clay mineral by its formula: alumina and silica alone, with the water of a
/// clay (kaolinite loses 14 %, halloysite up to 25 %).
fn is_clay_mineral(fired: &FiredYield) -> bool {
    let (alumina, silica) = (fired.oxides.get(Oxide::Al2O3), fired.oxides.get(Oxide::SiO2));
    let alone = alumina + silica >= 0.99 * fired.oxides.total();
    alone && alumina > 20.0 && silica > 20.0 && (10.0..=30.0).contains(&fired.loss_grams)
}

/// Works out the recipes among one layer's materials.
pub(super) struct Mixer<'a> {
    below: &'a Library,
    layer: &'a Layer,
    entries: &'a [MaterialEntry],
    done: Vec<Option<Settled>>,
    path: Vec<usize>,
    complaints: Vec<Diagnostic>,
}

/// This material can't be worked out, and why; the first like it is among the complaints.
#[derive(Debug, Clone)]
pub(super) struct Hopeless(pub Arc<Diagnostic>);

type Settled = Result<Arc<Material>, Hopeless>;

impl<'a> Mixer<'a> {
    /// For the entries of `layer`, over the materials `below`.
    pub fn new(below: &'a Library, layer: &'a Layer, entries: &'a [MaterialEntry]) -> Mixer<'a> {
        Mixer {
            below,
            layer,
            entries,
            done: vec![None; entries.len()],
            path: Vec::new(),
            complaints: Vec::new(),
        }
    }

    /// What went wrong.
    pub fn into_complaints(self) -> Vec<Diagnostic> {
        self.complaints
    }

    /// The material of this entry.
    pub fn settle(&mut self, index: usize) -> Settled {
        if let Some(done) = &self.done[index] {
            return done.clone();
        }
        let settled = self.work_out(index).map(Arc::new);
        self.done[index] = Some(settled.clone());
        settled
    }

    fn work_out(&mut self, index: usize) -> Result<Material, Hopeless> {
        let entries = self.entries;
        let mut material = unmixed(&entries[index]);
        match &entries[index].makeup {
            Makeup::Known(settled) => {
                material.fired = Some((**settled).clone());
                if material.kind == Kind::Textbook && is_clay_mineral(settled) {
                    material.raw_clay_fraction = 1.0;
                }
            }
            Makeup::Unknown => {}
            Makeup::Recipe { parts, fired } => {
                self.path.push(index);
                let found = self.parts(parts, index);
                self.path.pop();
                mix(&found?, *fired, &mut material);
            }
        }
        if let (Some(assumed), Some(fired)) = (&entries[index].assumed, &mut material.fired) {
            let assumed = SheetAssumption::Told(assumed.clone());
            fired.assumptions.push(Assumption::of_sheet(&material.name, assumed));
        }
        free_silica::inherit(&mut material, self.below);
        Ok(material)
    }

    fn parts(&mut self, parts: &[(Text, f64)], index: usize) -> Result<Vec<(Arc<Material>, f64)>, Hopeless> {
        parts
            .iter()
            .map(|(name, amount)| Ok((self.part(name, index)?, *amount)))
            .collect()
    }

    fn part(&mut self, name: &Text, index: usize) -> Settled {
        let broken = self.layer.broken(&folded(&name.text));
        if let Some(why) = broken.or_else(|| self.below.broken(&name.text)) {
            // Told already.
            return Err(Hopeless(Arc::new(why.clone())));
        }
        let below = self.below.find(&name.text);
        // A name of a lower material that this layer overrides means the one in this layer.
        let own = self
            .layer
            .index(&folded(&name.text))
            .or_else(|| self.layer.index(&folded(&below?.name)));
        match (own, below) {
            (Some(own), _) if self.path.contains(&own) => {
                let message = format!(
                    "the recipe of `{}` leads back to itself through `{}`",
                    self.entries[own].name.text, name.text
                );
                let error = Diagnostic::error("recipe-of-itself", message)
                    .help("take that part out, or give the material an analysis");
                self.refuse(error, name, index)
            }
            (Some(own), _) if self.path.len() >= MOST_NESTED && self.done[own].is_none() => {
                let message = format!("`{}` is a mix of mixes more than {MOST_NESTED} deep", name.text);
                let error =
                    Diagnostic::error("recipe-too-deep", message).help("write the recipe out in plain materials");
                self.refuse(error, name, index)
            }
            (Some(own), _) => self.settle(own),
            (None, Some(below)) => Ok(below.clone()),
            (None, None) => {
                let names = self.entries.iter().map(|entry| entry.name.text.as_str());
                let help = match self.complaints.len() {
                    // Looking for the nearest takes time; nobody sees the rest.
                    MOST_COMPLAINTS.. => None,
                    _ => nearest(&name.text, names)
                        .map(did_you_mean)
                        .or_else(|| self.below.suggestion(&name.text)),
                };
                let message = none_called("material", &name.text);
                self.refuse(
                    Diagnostic::error("unknown-material", message).maybe_help(help),
                    name,
                    index,
                )
            }
        }
    }

    fn refuse(&mut self, error: Diagnostic, name: &Text, index: usize) -> Settled {
        let source = &self.entries[index].source;
        // Finding the line takes time, too: of all the rest only what is wrong is kept.
        if self.complaints.len() >= MOST_COMPLAINTS {
            return Err(Hopeless(Arc::new(error)));
        }
        let error = error.at(source, name.mark, name.text.chars().count());
        self.complaints.push(error.clone());
        Err(Hopeless(Arc::new(error)))
    }
}

fn mix(parts: &[(Arc<Material>, f64)], fired: bool, material: &mut Material) {
    let total: f64 = parts.iter().map(|part| part.1).sum();
    for (part, amount) in parts {
        let share = amount / total;
        material.mixed_from.push((part.name.clone(), 100.0 * share));
        if *amount > 0.0 {
            material.toxic |= part.toxic;
            if !fired {
                material.soluble |= part.soluble;
                material.raw_clay_fraction += share * part.raw_clay_fraction;
            }
        }
    }
    let yields: Option<Vec<(&FiredYield, f64)>> = parts
        .iter()
        .filter(|part| part.1 > 0.0)
        .map(|(part, amount)| Some((part.fired.as_ref()?, *amount)))
        .collect();
    material.fired = yields.and_then(|yields| FiredYield::mixed(yields.into_iter(), fired));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Source;
    use crate::material::read_materials;
    use crate::oxides::Oxide;

    fn library(text: &str) -> (Library, Vec<Diagnostic>) {
        let (entries, mut complaints) = read_materials(&Source::from_text("m.yaml", text));
        let mut library = Library::default();
        complaints.extend(library.add_layer(entries, false));
        (library, complaints)
    }

    fn recipes(count: usize, of: impl Fn(usize) -> String) -> String {
        let entries =
            (0..count).map(|index| format!("  - {{ name: m{index}, source: own, recipe: {{ {} }} }}\n", of(index)));
        format!(
            "materials:\n  - {{ name: base, source: x, kind: frit, basis: fired, analysis: {{ SiO2: 60, CaO: 40 }}, tolerance: {{ SiO2: 0.5 }} }}\n{}",
            entries.collect::<String>()
        )
    }

    #[test]
    fn a_broken_recipe_is_complained_about_once_however_many_use_it() {
        let text = recipes(5, |index| match index {
            0 => "gone: 1".to_owned(),
            _ => format!("m{}: 1, base: 1", index - 1),
        });
        let codes: Vec<_> = library(&text).1.iter().map(|error| error.code).collect();
        assert_eq!(codes, ["unknown-material"]);
    }

    #[test]
    fn mixes_of_mixes_end_however_many_there_are() {
        let down = recipes(20_000, |index| {
            if index == 19_999 {
                "base: 1".to_owned()
            } else {
                format!("m{}: 1", index + 1)
            }
        });
        let complaints = library(&down).1;
        assert!(complaints.iter().all(|error| error.code == "recipe-too-deep"));
        assert!((1..=MOST_COMPLAINTS).contains(&complaints.len()));
        let circle = recipes(20_000, |index| format!("m{}: 1", (index + 1) % 20_000));
        assert!(!library(&circle).1.is_empty());
    }

    #[test]
    fn equal_tolerances_of_many_mixes_stay_one() {
        let doubling = recipes(40, |index| match index {
            0 | 1 => "base: 1".to_owned(),
            _ => format!("m{}: 1, m{}: 1", index - 1, index - 2),
        });
        let (library, complaints) = library(&doubling);
        assert_eq!(complaints, []);
        let tolerance = library
            .find("m2")
            .and_then(|mix| mix.fired.as_ref().map(|fired| fired.tolerance.clone()));
        // Both halves come from one sheet, so both are off together: still one deviation, undiminished.
        assert!(
            tolerance.is_some_and(|tolerance| matches!(tolerance.as_slice(), [only] if only.oxide == Oxide::SiO2 && (only.grams - 0.5).abs() < 1e-6))
        );
    }

    /// 30 % of either, and 10 to 30 % of loss: kaolinite and halloysite are clays, pyrophyllite
    /// (5.0 %) and mullite are not.
    #[test]
    fn a_clay_mineral_is_known_by_its_formula() {
        let is_clay = |formula: &str| {
            let text = format!("materials:\n  - {{ name: it, formula: {formula}, source: x }}\n");
            let (library, complaints) = library(&text);
            assert_eq!(complaints, []);
            library.find("it").map(|found| found.raw_clay_fraction)
        };
        for clay in ["Al2Si2O5(OH)4", "Al2Si2O5(OH)4·2H2O"] {
            assert_eq!(is_clay(clay), Some(1.0), "{clay}");
        }
        for none in [
            "Al2Si4O10(OH)2",
            "Al6Si2O13",
            "Al(OH)3",
            "SiO2",
            "Mg3Si2O5(OH)4",
            "KAl2AlSi3O10(OH)2",
            "Al2Si12O27·12H2O",
        ] {
            assert_eq!(is_clay(none), Some(0.0), "{none}");
        }
    }

    #[test]
    fn twenty_four_mixes_stand_inside_each_other_and_no_more() {
        let deep = |count: usize| {
            let text = recipes(count, |index| {
                if index + 1 == count {
                    "base: 1".to_owned()
                } else {
                    format!("m{}: 1", index + 1)
                }
            });
            library(&text).1.into_iter().map(|error| error.code).collect::<Vec<_>>()
        };
        assert_eq!(deep(24), [""; 0]);
        assert_eq!(deep(26).first(), Some(&"recipe-too-deep"));
    }

    #[test]
    fn a_mix_of_something_unknown_is_unknown_unless_there_is_none_of_it() {
        let text = "materials:
      - { name: silica, formula: SiO2, source: x }
      - { name: secret, kind: powder, analysis: unknown, toxic: true, source: x }
      - { name: with, recipe: { silica: 3, secret: 1 }, source: own }
      - { name: without, recipe: { silica: 3, secret: 0 }, source: own }
    ";
        let (library, complaints) = library(text);
        assert_eq!(complaints, []);
        let known = |name: &str| {
            library
                .find(name)
                .map(|found| (found.fired.is_some(), found.toxic, found.mixed_from.len()))
        };
        assert_eq!(
            (known("with"), known("without")),
            (Some((false, true, 2)), Some((true, false, 2)))
        );
        assert_eq!(library.find("with").map(|found| found.mixed_from[0].1), Some(75.0));
    }
}
