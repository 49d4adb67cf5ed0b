//! The unity formula: moles scaled so that the fluxes sum to 1 (Seger).

use crate::oxides::{Oxide, OxideMoles};

use super::iron::IronCount;

/// Which oxides count as fluxes, and how much of the iron does.
#[derive(Debug, Clone, PartialEq)]
pub struct FluxList {
    oxides: Vec<Oxide>,
    iron: IronCount,
}

impl Default for FluxList {
    fn default() -> Self {
        FluxList {
            oxides: Oxide::USUAL_FLUXES.to_vec(),
            iron: IronCount::FE2O3,
        }
    }
}

impl FluxList {
    /// A studio's own list; `None` where it is empty or names an oxide twice.
    pub fn new(oxides: Vec<Oxide>) -> Option<FluxList> {
        let repeated = oxides
            .iter()
            .enumerate()
            .any(|(index, oxide)| oxides[..index].contains(oxide));
        (!oxides.is_empty() && !repeated).then_some(FluxList {
            oxides,
            iron: IronCount::FE2O3,
        })
    }

    /// The same list with iron counted another way.
    #[must_use]
    pub fn with_iron(mut self, iron: IronCount) -> FluxList {
        self.iron = iron;
        self
    }

    /// How iron is counted.
    pub fn iron(&self) -> IronCount {
        self.iron
    }

    /// The oxides; iron that counts as FeO is not among them.
    pub fn oxides(&self) -> &[Oxide] {
        &self.oxides
    }

    /// Whether an oxide counts.
    pub fn contains(&self, oxide: Oxide) -> bool {
        self.weight(oxide) > 0.0
    }

    /// How many moles of flux a mole of the oxide counts for: 1, 0, or up to 2 for Fe2O3.
    pub fn weight(&self, oxide: Oxide) -> f64 {
        let own = if self.oxides.contains(&oxide) { 1.0 } else { 0.0 };
        match oxide {
            Oxide::Fe2O3 => own + 2.0 * self.iron.feo_share(),
            _ => own,
        }
    }

    /// Moles of FeO and of Fe2O3 in these amounts, as iron is counted.
    pub fn split_iron(&self, amounts: &OxideMoles) -> (f64, f64) {
        let (iron, share) = (amounts.get(Oxide::Fe2O3), self.iron.feo_share());
        (2.0 * share * iron, (1.0 - share) * iron)
    }

    /// Moles of flux.
    pub fn moles(&self, amounts: &OxideMoles) -> f64 {
        amounts.sum_of(&self.oxides) + 2.0 * self.iron.feo_share() * amounts.get(Oxide::Fe2O3)
    }

    /// The unity formula of these moles; `None` where there is no flux.
    pub fn unity(&self, amounts: &OxideMoles) -> Option<OxideMoles> {
        let flux = self.moles(amounts);
        (flux > 0.0).then(|| amounts.scaled(1.0 / flux))
    }
}

/// SiO2 : Al2O3 by moles; `None` without alumina.
pub fn silica_to_alumina(amounts: &OxideMoles) -> Option<f64> {
    let alumina = amounts.get(Oxide::Al2O3);
    (alumina > 0.0).then(|| amounts.get(Oxide::SiO2) / alumina)
}

/// (Li2O + Na2O + K2O) over all fluxes, 0 to 1; `None` where there is no flux.
pub fn alkali_share(amounts: &OxideMoles, fluxes: &FluxList) -> Option<f64> {
    let flux = fluxes.moles(amounts);
    (flux > 0.0).then(|| amounts.sum_of(&[Oxide::Li2O, Oxide::Na2O, Oxide::K2O]) / flux)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_three_alkalis_count_in_the_alkali_share() {
        for alkali in [Oxide::Li2O, Oxide::Na2O, Oxide::K2O] {
            let moles = OxideMoles::worked_out([(alkali, 0.3), (Oxide::CaO, 0.9), (Oxide::SiO2, 4.0)]);
            let share = alkali_share(&moles, &FluxList::default());
            assert!(
                share.is_some_and(|share| (share - 0.25).abs() < 1e-12),
                "{alkali:?}: {share:?}"
            );
        }
    }

    /// 0.3 KNaO, 0.7 CaO and 0.1 Fe2O3: two FeO each make the fluxes 1.2.
    #[test]
    fn iron_as_feo_is_two_moles_of_flux() {
        let Some(moles) = OxideMoles::new([
            (Oxide::K2O, 0.3),
            (Oxide::CaO, 0.7),
            (Oxide::Fe2O3, 0.1),
            (Oxide::SiO2, 3.6),
        ]) else {
            panic!("moles");
        };
        let silica = |fluxes: &FluxList| fluxes.unity(&moles).map(|unity| unity.get(Oxide::SiO2));
        let plain = FluxList::default();
        assert_eq!(silica(&plain), Some(3.6));
        let reduced = plain.clone().with_iron(IronCount::FEO);
        assert!(silica(&reduced).is_some_and(|silica| (silica - 3.0).abs() < 1e-12));
        assert_eq!(reduced.split_iron(&moles), (0.2, 0.0));
        assert_eq!(plain.split_iron(&moles), (0.0, 0.1));
        assert!(reduced.contains(Oxide::Fe2O3) && !plain.contains(Oxide::Fe2O3));
    }

    /// A celadon of 0.3 KNaO 0.7 CaO, 0.4 Al2O3, 3.8 SiO2: 3.8 / 0.4 = 9.5.
    #[test]
    fn silica_stands_to_alumina_as_their_moles_do() {
        let mut pairs = vec![(Oxide::K2O, 0.3), (Oxide::CaO, 0.7), (Oxide::SiO2, 3.8)];
        let moles = |pairs: &[(Oxide, f64)]| OxideMoles::worked_out(pairs.iter().copied());
        assert_eq!(silica_to_alumina(&moles(&pairs)), None);
        pairs.push((Oxide::Al2O3, 0.4));
        let ratio = silica_to_alumina(&moles(&pairs));
        assert!(ratio.is_some_and(|ratio| (ratio - 9.5).abs() < 1e-12), "{ratio:?}");
        assert_eq!(
            silica_to_alumina(&moles(&[(Oxide::Al2O3, 1.0), (Oxide::CaO, 1.0)])),
            Some(0.0)
        );
    }

    #[test]
    fn a_flux_list_names_each_oxide_once_and_only_its_own_count() {
        assert_eq!(FluxList::new(Vec::new()), None);
        assert_eq!(FluxList::new(vec![Oxide::CaO, Oxide::K2O, Oxide::CaO]), None);
        let own = FluxList::new(vec![Oxide::CaO, Oxide::K2O]).unwrap();
        assert_eq!(own.oxides(), [Oxide::CaO, Oxide::K2O]);
        assert!(own.contains(Oxide::CaO) && !own.contains(Oxide::MgO));
        let moles = OxideMoles::worked_out([
            (Oxide::CaO, 0.5),
            (Oxide::MgO, 0.5),
            (Oxide::SiO2, 2.0),
            (Oxide::Fe2O3, 0.2),
        ]);
        assert_eq!((own.moles(&moles), FluxList::default().moles(&moles)), (0.5, 1.0));
        let none = OxideMoles::worked_out([(Oxide::SiO2, 2.0)]);
        assert_eq!((own.unity(&none), alkali_share(&none, &own)), (None, None));
        // A quarter of 0.2 Fe2O3 as FeO: 0.05 Fe2O3 make 0.10 FeO, 0.15 Fe2O3 stay.
        let quarter = own.with_iron(IronCount::feo(0.25).unwrap());
        let (feo, fe2o3) = quarter.split_iron(&moles);
        assert!((feo - 0.10).abs() < 1e-12 && (fe2o3 - 0.15).abs() < 1e-12);
        assert!((quarter.moles(&moles) - 0.60).abs() < 1e-12);
        assert_eq!((quarter.weight(Oxide::Fe2O3), quarter.weight(Oxide::K2O)), (0.5, 1.0));
        // A studio that lists Fe2O3 itself: one mole for the oxide, and what is FeO on top.
        let listed = FluxList::new(vec![Oxide::Fe2O3]).unwrap().with_iron(IronCount::FEO);
        assert_eq!(listed.weight(Oxide::Fe2O3), 3.0);
        assert_eq!(quarter.iron(), IronCount::feo(0.25).unwrap());
    }
}
