//! A recipe as the text of a glaze file.

use indexmap::IndexMap;
use serde::Serialize;

use super::iron::IronCount;
use super::recipe::{Glaze, Portion};
use super::usage::{Atmosphere, Use, Ware};

#[derive(Serialize)]
struct File<'a> {
    glaze: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    cone: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    peak: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    firing: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    atmosphere: Option<Atmosphere>,
    #[serde(skip_serializing_if = "Option::is_none")]
    iron: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    ware: Option<Ware>,
    parts: IndexMap<&'a str, f64>,
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    additions: IndexMap<&'a str, f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    clay: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none", rename = "use")]
    usage: Option<Use>,
    #[serde(skip_serializing_if = "Option::is_none")]
    water: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    density: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sieve: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    crackle: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    notes: Option<&'a str>,
}

/// The text of a glaze file for this recipe, amounts to `decimals` places.
///
/// # Errors
/// A name that YAML can't hold; none is known.
pub fn write_glaze(glaze: &Glaze, decimals: i32) -> Result<String, String> {
    let scale = 10f64.powi(decimals);
    let about = &glaze.about;
    let file = File {
        glaze: &glaze.name,
        cone: about.cone.as_deref(),
        peak: about.peak.map(|peak| format!("{} C", peak.celsius())),
        firing: about.firing.as_deref(),
        atmosphere: about.atmosphere,
        iron: about.iron.map(IronCount::words),
        ware: about.ware,
        parts: amounts(&glaze.base, scale),
        additions: amounts(&glaze.additions, scale),
        clay: about.clay.as_deref(),
        usage: about.usage,
        water: about.water.map(|water| format!("{} ml/kg", water.millilitres_per_kg)),
        density: about.density_grams_per_millilitre,
        sieve: about.sieve.as_deref(),
        crackle: about.crackle_wanted.then_some("wanted"),
        notes: about.notes.as_deref(),
    };
    serde_yaml::to_string(&file).map_err(|error| error.to_string())
}

fn amounts(portions: &[Portion], scale: f64) -> IndexMap<&str, f64> {
    portions
        .iter()
        .map(|portion| {
            (
                portion.material.name.as_str(),
                (portion.percent * scale).round() / scale,
            )
        })
        .filter(|(_, amount)| *amount > 0.0)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Source;
    use crate::glaze::read_glaze;
    use crate::material::{Library, read_materials};
    use crate::quantity::Millilitres;

    #[test]
    fn what_is_written_reads_the_same() {
        let text = "materials:\n  - { name: \"spar, lot 4\", formula: KAlSi3O8, source: x }\n  - { name: silica, formula: SiO2, source: x }\n";
        let mut library = Library::default();
        library.add_layer(read_materials(&Source::from_text("m", text)).0, false);
        let glaze = "glaze: \"04: a test\"\ncone: 04\nuse: tableware\nwater: 0.9 l/kg\nparts: { \"spar, lot 4\": 60, silica: 40 }\nadditions: { silica: 0.8 }\n";
        let read = |text: &str| {
            let file = read_glaze(&Source::from_text("g", text), Millilitres::METRIC_CUP);
            file.ok().and_then(|file| file.resolve(&library).ok())
        };
        let Some(first) = read(glaze) else { panic!("not read") };
        let written = write_glaze(&first, 3).unwrap_or_else(|why| panic!("{why:?}"));
        let Some(second) = read(&written) else {
            panic!("not read:\n{written}")
        };
        assert_eq!((&first.name, &first.about), (&second.name, &second.about));
        let list = |glaze: &Glaze| {
            glaze
                .portions()
                .map(|portion| (portion.material.name.clone(), portion.percent))
                .collect::<Vec<_>>()
        };
        assert_eq!(list(&first), list(&second));
    }

    /// A gram of tin in a ton of glaze is none on any scales, and `tin oxide: 0` says nothing.
    #[test]
    fn what_rounds_to_nothing_is_not_written() {
        let text = "materials:\n  - { name: silica, formula: SiO2, source: x }\n  - { name: tin oxide, formula: SnO2, source: x }\n";
        let mut library = Library::default();
        library.add_layer(read_materials(&Source::from_text("m", text)).0, false);
        let glaze = Source::from_text(
            "g",
            "glaze: A\nparts: { silica: 100 }\nadditions: { tin oxide: 0.0001 }\n",
        );
        let file = read_glaze(&glaze, Millilitres::METRIC_CUP).unwrap();
        let written = |decimals| write_glaze(&file.resolve(&library).unwrap(), decimals).unwrap();
        assert!(written(4).contains("tin oxide: 0.0001"), "{}", written(4));
        assert!(!written(3).contains("tin oxide"), "{}", written(3));
    }
}
