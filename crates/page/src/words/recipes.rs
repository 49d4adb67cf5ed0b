//! Words of unity formulas, conversions and what an event does to glazes.

use glost_chemistry::oxides::Oxide;
use glost_core::recipes::affected::NoNumbers;
use glost_core::recipes::convert::{CarbonateForm, NotSummed, Pure, Taken};
use glost_desk::affected::Happened;
use glost_desk::convert::Assumed;
use glost_desk::unity::UnitySaid;

use crate::number;

pub(super) const NO_FLUX_NO_CHANGE: &str =
    "no flux in this glaze: its unity formula is undefined, so no change of it is shown";

pub(super) fn happened(happened: &Happened) -> String {
    match happened {
        Happened::Gone(material) => format!("{material} is gone"),
        Happened::NewLot(materials) => format!("new lot of {}", materials.join(" and ")),
    }
}

pub(super) fn no_numbers(why: &NoNumbers) -> String {
    match why {
        NoNumbers::NoFlux => "it has no flux: no unity formula to hold".to_owned(),
        NoNumbers::Unknown(names) => format!("nobody tells what is in {}", names.join(" and ")),
        NoNumbers::NothingLeft => "nothing of it is left after firing".to_owned(),
        NoNumbers::NothingInItsPlace => "nothing is to be had in its place".to_owned(),
        NoNumbers::BeyondSolving => "its amounts are beyond what can be solved".to_owned(),
        NoNumbers::UnknownNewLot => "nobody tells what is in the new lot".to_owned(),
    }
}

pub(super) fn unity(said: &UnitySaid) -> String {
    match said {
        UnitySaid::IronAsFeo(percent) => format!(
            "{} % of the iron counts as FeO, a flux: two for each Fe2O3; mol % and wt % are as Fe2O3",
            number::percent(*percent)
        ),
        UnitySaid::IronAsFe2O3(iron) => format!(
            "Iron counts as Fe2O3, no flux. In reduction 30 to 90 % of it is FeO, which fluxes (from memory): with all of it as FeO, SiO2 would be {}, Al2O3 {}, FeO {}. `iron: FeO` or `iron: 60 % FeO` in the glaze's file counts it so.",
            number::unity(iron.silica),
            number::unity(iron.alumina),
            number::unity(iron.feo)
        ),
        UnitySaid::ChecksHangOnIron(iron) => format!(
            "what is said of the unity formula hangs on how iron is counted: here as Fe2O3, no flux. In reduction 30 to 90 % of it is FeO (from memory); with all of it so SiO2 would be {}, Al2O3 {}, FeO {}. Limits keep their author's count.",
            number::unity(iron.silica),
            number::unity(iron.alumina),
            number::unity(iron.feo)
        ),
        UnitySaid::OwnFluxes(oxides) => {
            let fluxes: Vec<&str> = oxides.iter().copied().map(Oxide::formula).collect();
            format!("counted as fluxes in this studio: {}", fluxes.join(", "))
        }
        UnitySaid::NoFlux => {
            "no flux in this glaze: its unity formula is undefined; weight and mole per cent stand".to_owned()
        }
    }
}

pub(super) fn conversion(assumed: &Assumed) -> String {
    match assumed {
        Assumed::ReadAs(typed, material) => format!("{typed} is read as {material}"),
        Assumed::Taken(Taken::Pure(pure)) => {
            let pure: Vec<String> = pure.iter().map(as_formula).collect();
            format!("pure and dry, as no bag quite is: {}", pure.join("; "))
        }
        Assumed::Taken(Taken::ByAnalysis(material, provenance)) => format!("{material} by its analysis ({provenance})"),
        Assumed::Taken(Taken::OfSheet(said)) => super::chemistry::assumption(said),
        Assumed::PercentOnBase => {
            "per cent on a base of 100, as an addition; inside the base count parts by weight, and the total moves"
                .to_owned()
        }
        Assumed::MoreThanBase => "more than 100 %: as a share of a base that can't be mixed".to_owned(),
    }
}

fn as_formula(pure: &Pure) -> String {
    let form = match pure.carbonate {
        Some(CarbonateForm::Basic) => ", the basic carbonate",
        Some(CarbonateForm::Plain) => ", the plain carbonate",
        None => "",
    };
    format!("{} as {}{form}", pure.material, pure.formula)
}

pub(super) fn not_summed(note: &NotSummed) -> String {
    let stand_in = "one stands in for the other mole for mole as a flux; surface and colour may move";
    match note {
        NotSummed::LikeForLike(oxide) => {
            format!("like for like in {oxide} once fired; strength in the glaze may still differ")
        }
        NotSummed::StrontiumForBarium => format!(
            "{stand_in}: barium's satin surface and its blues with copper may not come back. Strontium spares you \
             barium's poison in dust and bucket; a leach test is still a lab's (common practice, no source)"
        ),
        NotSummed::BariumForStrontium => format!(
            "{stand_in}. Barium compounds are poisonous in small amounts and may leach from a glaze: keep strontium \
             where you can, and have ware for food or drink tested by a lab (common practice, no source)"
        ),
        NotSummed::CarbonateIsFiner => {
            "a carbonate is mostly finer and spreads more evenly: fewer specks, softer edges (common practice, no source)"
                .to_owned()
        }
        NotSummed::OxideIsCoarser => {
            "an oxide is mostly coarser and may speck: sieve it finer, or grind it wet (common practice, no source)"
                .to_owned()
        }
        NotSummed::MoreGas => {
            "more gas leaves: look for pinholes, and rise slowly to 900 C (common practice, no source)".to_owned()
        }
        NotSummed::Dissolves(material) => format!(
            "{material} dissolves in the bucket: it wanders with the water and dries to the edges; gloves"
        ),
        NotSummed::Poisonous(material) => format!(
            "{material} is poisonous to handle: gloves, a fitted respirator, and its safety data sheet first"
        ),
        NotSummed::Fumes { material, hazard } => format!("{material}: {hazard}"),
    }
}
