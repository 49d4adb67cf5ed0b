//! Words of what recipes, sheets and models take for granted, and of what lies outside a
//! model's knowledge.

use glost_chemistry::oxides::Oxide;
use glost_chemistry::quantity::ConeAssumption;
use glost_chemistry::{Assumption, ModelAssumption, OutsideModel, RecipeAssumption, SheetAssumption};

/// What is taken for granted.
pub(crate) fn assumption(assumption: &Assumption) -> String {
    match assumption {
        Assumption::Recipe(assumed) => of_recipe(assumed),
        Assumption::Sheet { material, assumed } => format!("{material}: {}", of_sheet(assumed)),
        Assumption::Model(assumed) => of_model(assumed),
        Assumption::Recorded(words) => words.clone(),
    }
}

/// Several of them.
pub(crate) fn assumptions(assumptions: &[Assumption]) -> Vec<String> {
    assumptions.iter().map(assumption).collect()
}

fn of_recipe(assumed: &RecipeAssumption) -> String {
    match assumed {
        RecipeAssumption::DecimalComma { of, comma } => format!("{of}: {comma}"),
        RecipeAssumption::PartsAsWeights => "parts given as weights; only their shares count".to_owned(),
        RecipeAssumption::OtherName { typed, material } => {
            format!("`{typed}` is another name of {material} here; the two are added up")
        }
        RecipeAssumption::ByFormula(materials) => {
            format!("by formula, not by a supplier's sheet: {}", materials.join(", "))
        }
        RecipeAssumption::FromPackage { package, version } => {
            format!("the recipe came with the package {package} {version}")
        }
    }
}

fn of_sheet(assumed: &SheetAssumption) -> String {
    match assumed {
        SheetAssumption::Told(words) => words.clone(),
        SheetAssumption::DecimalComma(comma) => comma.to_string(),
        SheetAssumption::CountedAsNothing(lines) => format!("counted as nothing: {}", lines.join(", ")),
        SheetAssumption::Converted {
            printed,
            percent,
            oxide,
            oxide_percent,
        } => format!("{printed} {percent} % is counted as {oxide} {oxide_percent:.3} %"),
        SheetAssumption::FluorineLeaves => {
            "its fluorine is counted as leaving; some stays in the glass, and what that does isn't modelled".to_owned()
        }
        SheetAssumption::TakenAsItIs(sum) => format!("its analysis sums to {sum:.1} % and is taken as it is"),
        SheetAssumption::Odd(odd) => odd.to_string(),
        SheetAssumption::Gains(gain) => format!("gains {gain:.1} % on firing (a negative loss on ignition)"),
        SheetAssumption::LosesBesides { loss, stated } => {
            format!("loses {loss:.2} %, its stated {stated} % and the fluorine or oxygen that leaves besides")
        }
        SheetAssumption::LossOfVolatiles { loss, oxygen } => {
            let besides = if *oxygen {
                " and the oxygen taken up or given off"
            } else {
                ""
            };
            format!("loss on ignition {loss:.2} % from the volatile lines of its analysis{besides}")
        }
        SheetAssumption::LossByDifference(loss) => {
            format!("loss on ignition {loss:.1} % is a guess, 100 less the oxides on its sheet")
        }
        SheetAssumption::LossOfOxygen(loss) => {
            format!("loss on ignition {loss:.2} % from the oxygen that it gives off")
        }
        SheetAssumption::NoLoss => "no loss on ignition is stated; counted as 0".to_owned(),
    }
}

pub(crate) fn of_model(assumed: &ModelAssumption) -> String {
    match assumed {
        ModelAssumption::LeftOut { mole_percent, oxides } => format!(
            "{mole_percent:.2} mol % left out ({}: no figure in this model), the rest counted as the whole.",
            formulas(oxides)
        ),
        ModelAssumption::OpacifiersDissolved => {
            "ZrO2, SnO2 and TiO2 count as dissolved in the glass; what stays as crystals is not modelled.".to_owned()
        }
    }
}

/// In which way a composition lies outside, as a sentence.
pub(crate) fn outside_model(outside: &OutsideModel) -> String {
    match outside {
        OutsideModel::Oxide {
            oxide,
            mole_percent,
            low,
            high,
        } => format!("{oxide} is {mole_percent:.1} mol %, and the model was checked for {low} to {high}."),
        OutsideModel::FewFluxes { mole_percent, least } => {
            format!("The fluxes are {mole_percent:.1} mol % together: the model needs at least {least}.")
        }
        OutsideModel::FluxesBalanceAlumina { excess, least } => {
            format!("The fluxes only balance the alumina ({excess:.1} mol % over it): the model needs {least} more.")
        }
        OutsideModel::Unlike { leverage, most } => format!(
            "This mix of oxides is unlike the glasses behind the model (leverage {leverage:.0}, it warns above {most:.0})."
        ),
        OutsideModel::LeftOut {
            mole_percent,
            oxides,
            most,
        } => format!(
            "{mole_percent:.1} mol % is left out ({}: no figure in this model), the rest counted as the whole; \
             up to {most} would do.",
            formulas(oxides)
        ),
    }
}

/// All the ways, between semicolons and without their stops.
pub(crate) fn outside_in_a_line(outside: &[OutsideModel]) -> String {
    let each: Vec<String> = outside.iter().map(outside_model).collect();
    let each: Vec<&str> = each.iter().map(|way| way.trim_end_matches('.')).collect();
    each.join("; ")
}

/// What the end point of a cone takes for granted.
pub(crate) fn of_cone(assumed: &ConeAssumption) -> String {
    match assumed {
        ConeAssumption::FamilyUnsaid(cone) => format!(
            "of which family cone {} is isn't said: self-supporting is assumed (small and Seger cones of that number bend elsewhere)",
            cone.name()
        ),
        ConeAssumption::LargeBySelfSupporting(cone) => format!(
            "no figure for large cone {} at hand; that of the self-supporting one stands in (they differ by at most 5 C where both are listed)",
            cone.name()
        ),
        ConeAssumption::FromMemory(cone) => {
            format!("the figure for cone {} is from memory of a printed chart", cone.name())
        }
        ConeAssumption::NearestRate { asked, nearest } => format!(
            "no figure for {asked} C/h: that for {nearest} C/h is shown; slower heating bends a cone sooner, faster later"
        ),
        ConeAssumption::BetweenRates { low, high } => format!("between the figures for {low} and {high} C/h"),
    }
}

fn formulas(oxides: &[Oxide]) -> String {
    let formulas: Vec<&str> = oxides.iter().copied().map(Oxide::formula).collect();
    formulas.join(", ")
}
