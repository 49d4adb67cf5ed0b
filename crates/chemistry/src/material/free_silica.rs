//! Hazards of a bag whose own sheet is silent: those of the material below that has one of its
//! names, and crystalline silica where it is silica and little else.

use crate::oxides::Oxide;

use super::library::{Library, Material};

/// From this much SiO2 on, wt % as supplied, an unmelted powder is ground quartz unless its sheet
/// says amorphous: common practice, no source.
const SILICA_PERCENT: f64 = 95.0;

/// The shipped sheet of it.
const PURE: &str = "silica";

/// Why a material's crystalline silica is taken to be so, though its sheet doesn't say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FreeSilica {
    /// As that of the material of this name, which is called the same.
    LikeNamesake(String),
    /// All its silica: it is silica and little else.
    NearlyPure,
}

/// Gives `material` what it doesn't say of its hazards.
///
/// What its own sheet says stays: `free_silica: 0` is how a sheet says amorphous.
pub(super) fn inherit(material: &mut Material, below: &Library) {
    let mut names = std::iter::once(&material.name).chain(&material.other_names);
    let namesake = names.find_map(|name| below.find(name)).cloned();
    // A frit called after its mineral isn't it: what is melted holds no quartz and gives off little.
    let namesake = namesake.filter(|like| like.kind.already_melted() == material.kind.already_melted());
    if let Some(like) = &namesake {
        take_hazards(material, like);
        material.toxic |= like.toxic;
        material.soluble |= like.soluble;
    }
    if material.free_silica_percent.is_some() || material.kind.already_melted() {
        return;
    }
    let fired = material.fired.as_ref();
    let silica = fired.map_or(0.0, |fired| fired.oxides.get(Oxide::SiO2));
    if silica >= SILICA_PERCENT {
        material.free_silica_percent = Some(silica.min(100.0));
        material.free_silica_assumed = Some(FreeSilica::NearlyPure);
        if let Some(like) = below.find(PURE) {
            take_hazards(material, like);
        }
    } else if let Some((like, percent)) = namesake.and_then(|like| Some((like.name.clone(), like.free_silica_percent?)))
    {
        material.free_silica_percent = Some(percent);
        material.free_silica_assumed = Some(FreeSilica::LikeNamesake(like));
    }
}

/// The hazards of another, where its own sheet names none.
fn take_hazards(material: &mut Material, like: &Material) {
    if material.hazards.is_empty() && !like.hazards.is_empty() {
        material.hazards.clone_from(&like.hazards);
        material.hazards_of = Some(like.hazards_of.clone().unwrap_or_else(|| like.name.clone()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Source;
    use crate::material::read_materials;

    /// The last of these sheets, laid over a few shipped ones.
    fn own(sheet: &str) -> Material {
        let shipped = "materials:
  - { name: silica, formula: SiO2, other_names: [flint], free_silica: 100, hazards: [H372], source: x }
  - { name: kaolin, kind: clay, formula: Al2Si2O5(OH)4, free_silica: 2, source: x }
  - { name: barium carbonate, formula: BaCO3, hazards: [H302], source: x }
";
        let mut library = Library::default();
        for (text, shipped) in [(shipped, true), (sheet, false)] {
            let (entries, mut complaints) = read_materials(&Source::from_text("m.yaml", text));
            complaints.extend(library.add_layer(entries, shipped));
            assert_eq!(complaints, []);
        }
        let own = library
            .iter()
            .find(|material| !material.shipped)
            .map(|own| (**own).clone());
        own.unwrap_or_else(|| panic!("no own sheet"))
    }

    fn silica(sheet: &str) -> (Option<f64>, Option<FreeSilica>) {
        let own = own(&format!("materials:\n  - {{ {sheet}, source: my bag }}\n"));
        (own.free_silica_percent, own.free_silica_assumed)
    }

    #[test]
    fn a_bag_of_silica_stays_crystalline_whatever_it_is_called() {
        let pure = Some(FreeSilica::NearlyPure);
        assert_eq!(silica("name: silica, formula: SiO2"), (Some(100.0), pure.clone()));
        assert_eq!(
            silica("name: Quarzmehl, kind: mineral, formula: SiO2"),
            (Some(100.0), pure.clone())
        );
        let sheet = |silica: f64| {
            format!(
                "name: sand, kind: mineral, analysis: {{ SiO2: {silica}, Al2O3: {} }}, loss_on_ignition: 0.2, basis: as supplied",
                99.8 - silica
            )
        };
        assert_eq!(silica(&sheet(95.0)), (Some(95.0), pure));
        assert_eq!(silica(&sheet(94.9)), (None, None));
        assert_eq!(
            silica("name: fumed silica, formula: SiO2, free_silica: 0"),
            (Some(0.0), None)
        );
        assert_eq!(silica("name: crushed bottle, kind: glass, formula: SiO2"), (None, None));
    }

    #[test]
    fn a_bag_of_a_known_name_keeps_the_hazards_of_that_name() {
        let like = Some(FreeSilica::LikeNamesake("kaolin".to_owned()));
        let clay = "kind: clay, analysis: { SiO2: 47, Al2O3: 39 }, loss_on_ignition: 14, basis: as supplied";
        assert_eq!(silica(&format!("name: Kaolin, {clay}")), (Some(2.0), like.clone()));
        assert_eq!(
            silica(&format!("name: china clay, other_names: [kaolin], {clay}")),
            (Some(2.0), like)
        );
        assert_eq!(silica(&format!("name: fireclay, {clay}")), (None, None));
        let barium = |more: &str| {
            let own = own(&format!(
                "materials:\n  - {{ name: barium carbonate, formula: BaCO3, source: my bag{more} }}\n"
            ));
            let told: Vec<String> = own.hazards.iter().map(|hazard| hazard.text.clone()).collect();
            (told, own.hazards_of)
        };
        assert_eq!(
            barium(""),
            (vec!["H302".to_owned()], Some("barium carbonate".to_owned()))
        );
        assert_eq!(barium(", hazards: [H332]"), (vec!["H332".to_owned()], None));
    }
}
