use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glaze::{Additions, Analysis, Glaze, Portion};
use glost_chemistry::quantity::parse_number;
use glost_chemistry::read::folded;
use glost_core::tiles::blend::{SavedPlan, SavedTile, blended, find_plan, plan_notes};
use glost_core::tiles::mixture::{
    BlendRecipe, EndsDiffer, Goal, MixtureModel, NoFit, NoLesson, Question, TileTable, ends_differ, join_ladders,
    learn, planned_tiles, read_tiles, recipe_at,
};
use glost_core::workshop::hazards::locked_metal;
use glost_core::workshop::scales::weigh_out;
use glost_page::layout::Style;
use glost_page::results::{BestRecipe, ResultsPage};
use glost_page::sheet::PageFormat;
use glost_studio::{Workplace, create_new};

use crate::args::{ModelOption, ResultsOptions};
use crate::outcome::{Answer, Failure, Outcome};

use super::results_lowering::{Lowering, age, lowering};

/// Tiles advised at most: more are a plan of their own.
const MOST_NEXT: usize = 30;

pub(super) fn run(options: &ResultsOptions, workplace: &Workplace, style: Style) -> Outcome {
    let dry = super::weight("dry", &options.dry)?;
    let format = options.page.as_deref().map(PageFormat::of).transpose()?;
    if options.next > MOST_NEXT {
        return Err(Diagnostic::error(
            "bad-option",
            format!(
                "--next: {} tiles at once are more than the {MOST_NEXT} advised",
                options.next
            ),
        )
        .help("for a whole plan: `glost blend`")
        .into());
    }
    let plans = plans(options, workplace)?;
    let table = table(options, workplace, &plans)?;
    let goal = match &options.goal {
        Some(text) => goal(text)?,
        None if table.counts_a_fault() => Goal::Least,
        None => Goal::Most,
    };
    let named = match options.model {
        ModelOption::Linear => Some(MixtureModel::Linear),
        ModelOption::Quadratic => Some(MixtureModel::Quadratic),
        ModelOption::SpecialCubic => Some(MixtureModel::SpecialCubic),
        ModelOption::Auto => None,
    };
    let tiles: Vec<&SavedTile> = plans.named().flat_map(|plan| &plan.tiles).collect();
    let lowering = lowering(options, workplace, &tiles, &table, goal)?;
    let question = Question {
        ends: table.ends.len(),
        model: named,
        goal,
        next: options.next,
        ladder: lowering.as_ref().map(|lowering| lowering.question(&table)),
    };
    let lesson = learn(&table.outcomes, &question).map_err(|why| no_lesson(&table, &why))?;
    let mut assumptions = table.assumptions.clone();
    let glaze = best_glaze(workplace, &plans, &table.ends, &lesson.best.shares, &mut assumptions);
    let recipe = glaze.and_then(|glaze| to_weigh(workplace, glaze, dry.grams(), &mut assumptions));
    let page = ResultsPage {
        ends: &table.ends,
        value: &table.value,
        goal,
        outcomes: &table.outcomes,
        names: &table.names,
        age: age(workplace, &table, &lesson),
        lowering: lowering.as_ref().map(Lowering::words),
        details: options.details,
        lesson: &lesson,
        recipe: recipe.as_ref(),
        assumptions: &assumptions,
    };
    let mut text = page.text(style);
    if let (Some(file), Some(format)) = (&options.page, format) {
        let pages = page.pages().ok_or_else(|| {
            Diagnostic::error(
                "no-map",
                format!("a map is drawn for two or three ends, not for {}", table.ends.len()),
            )
            .help("nothing was written; leave --page out")
        })?;
        create_new(file, &pages.file(format)?)?;
        text.push_str(&format!("Map: {}.\n", file.display()));
    }
    Ok(Answer::yes(text, page.json()))
}

/// The plans that are named, the first one first, then all others of the studio.
struct Plans {
    all: Vec<SavedPlan>,
    named: Vec<usize>,
}

impl Plans {
    fn named(&self) -> impl Iterator<Item = &SavedPlan> {
        self.named.iter().filter_map(|place| self.all.get(*place))
    }
}

fn plans(options: &ResultsOptions, workplace: &Workplace) -> Result<Plans, Failure> {
    let mut plans = Plans {
        all: Vec::new(),
        named: Vec::new(),
    };
    if options.plans.is_empty() {
        return Ok(plans);
    }
    let (all, complaints) = workplace.plans();
    for name in &options.plans {
        let Ok(plan) = find_plan(&all, name) else {
            // One that can't be read may be the one that is meant.
            let broken = complaints.iter().find(|why| {
                let file = why.place.as_ref().map(|place| place.file.to_lowercase());
                file.is_some_and(|file| file.ends_with(&format!("{}.json", name.to_lowercase())))
            });
            return Err(match (broken, find_plan(&all, name)) {
                (Some(why), _) => why.clone().into(),
                (None, Err(why)) => why.into(),
                (None, Ok(_)) => continue,
            });
        };
        let place = all.iter().position(|other| other.name == plan.name);
        plans.named.extend(place.filter(|place| !plans.named.contains(place)));
    }
    plans.all = all;
    let same_ends = |one: &SavedPlan, other: &SavedPlan| {
        let both = one.ends.iter().zip(&other.ends);
        one.ends.len() == other.ends.len() && both.into_iter().all(|(one, other)| folded(one) == folded(other))
    };
    let first = plans.named().next();
    if first.is_some_and(|first| plans.named().any(|other| !same_ends(first, other))) {
        // Ladders of one addition are one; other plans of different ends are refused later.
        join_ladders(&mut plans.all, &plans.named);
    }
    Ok(plans)
}

/// The graded tiles: of a table, or of plans and the notebook.
fn table(options: &ResultsOptions, workplace: &Workplace, plans: &Plans) -> Result<TileTable, Failure> {
    if let Some(file) = &options.data {
        let source = workplace.text(&file.to_string_lossy())?;
        let names: Vec<String> = options.shares.iter().map(|name| name.trim().to_owned()).collect();
        let value = options.value.as_deref().unwrap_or_default();
        return Ok(read_tiles(
            &source,
            &names,
            value.trim(),
            options.fired_together.as_deref().map(str::trim),
        )?);
    }
    let (notes, complaints) = workplace.notes()?;
    let noted: Vec<_> = plans.named().map(|plan| plan_notes(&plans.all, plan, &notes)).collect();
    let mut table = planned_tiles(&noted, options.grade.as_deref())?;
    let tiles: Vec<&SavedTile> = plans.named().flat_map(|plan| &plan.tiles).collect();
    if let EndsDiffer::Several(additions) = ends_differ(&tiles) {
        table.assumptions.push(format!(
            "{} rise together in this plan: which of them does it, its tiles can't tell",
            additions.join(" and ")
        ));
    }
    if !complaints.is_empty() {
        let lines = if complaints.len() == 1 { "line" } else { "lines" };
        table.assumptions.push(format!(
            "{} {lines} of the notebook could not be read in full: see `glost notes`",
            complaints.len()
        ));
    }
    Ok(table)
}

/// The best blend as a glaze: from the plans' tiles, else from glazes of the studio that
/// are called like the table's columns.
fn best_glaze(
    workplace: &Workplace,
    plans: &Plans,
    ends: &[String],
    shares: &[f64],
    assumptions: &mut Vec<String>,
) -> Option<Glaze> {
    const NAME: &str = "best blend";
    if plans.named.is_empty() {
        workplace.studio_dir()?;
        let glazes: Vec<Glaze> = ends
            .iter()
            .map(|end| workplace.glaze(end).ok().map(|found| found.glaze))
            .collect::<Option<_>>()?;
        assumptions.push("the ends are the studio's glazes of these names, as they are today".to_owned());
        return Some(blended(NAME, &glazes, shares));
    }
    let tiles: Vec<_> = plans.named().flat_map(|plan| &plan.tiles).collect();
    let recipe = recipe_at(&tiles, shares)?;
    let found = as_glaze(workplace, NAME, &recipe);
    if let Err(name) = &found {
        assumptions.push(format!("no recipe to weigh: no material is called {name} any more"));
    }
    found.ok()
}

/// A recipe with its materials found; else the name that isn't there.
fn as_glaze(workplace: &Workplace, name: &str, recipe: &BlendRecipe) -> Result<Glaze, String> {
    let portions = |lines: &[(String, f64)]| -> Result<Vec<Portion>, String> {
        let portion = |(name, percent): &(String, f64)| {
            let material = workplace.library().find(name).ok_or_else(|| name.clone())?;
            Ok(Portion {
                material: Arc::clone(material),
                percent: *percent,
            })
        };
        lines.iter().map(portion).collect()
    };
    Ok(Glaze {
        name: name.to_owned(),
        base: portions(&recipe.parts)?,
        additions: portions(&recipe.additions)?,
        about: Default::default(),
        assumptions: Vec::new(),
    })
}

/// The glaze to the studio's scales; nothing with lead or cadmium is weighed.
fn to_weigh(workplace: &Workplace, glaze: Glaze, dry_grams: f64, assumptions: &mut Vec<String>) -> Option<BestRecipe> {
    let settings = workplace.settings();
    let lines: Vec<_> = glaze
        .portions()
        .map(|portion| (&*portion.material, portion.percent))
        .collect();
    if let Some((metal, material)) = locked_metal(&lines) {
        assumptions.push(format!("no recipe to weigh: {material} holds {metal}"));
        return None;
    }
    let unity = Analysis::of(&glaze, &settings.fluxes, Additions::In)
        .ok()
        .and_then(|analysis| analysis.unity)
        .unwrap_or_default();
    let target = ChemistryDistance::new(&unity, &settings.fluxes);
    Some(BestRecipe {
        weighed: weigh_out(&glaze, &settings.fluxes, &target, dry_grams, &settings.scales),
        step_grams: settings.scales.reads_to.grams(),
        dry_grams,
        glaze,
    })
}

fn goal(text: &str) -> Result<Goal, Diagnostic> {
    match text.trim().to_lowercase().as_str() {
        "max" => Ok(Goal::Most),
        "min" | "least" => Ok(Goal::Least),
        number => parse_number(number).map(|read| Goal::Value(read.value)).map_err(|_| {
            Diagnostic::error("bad-option", format!("--goal: `{text}` is no goal"))
                .help("say max, least, or the value wanted, such as --goal 3.5")
        }),
    }
}

/// Why the tiles can't answer, and which would.
fn no_lesson(table: &TileTable, why: &NoLesson) -> Diagnostic {
    let value = &table.value;
    match why {
        NoLesson::NoTiles => Diagnostic::error("no-tiles", format!("no tile has a value for {value}"))
            .help("note what you see, tile by tile"),
        NoLesson::NoFit(model, NoFit::TooFew { blends, terms }) => {
            let blends = match blends {
                1 => "one blend".to_owned(),
                more => format!("{more} blends"),
            };
            Diagnostic::error(
                "too-few-tiles",
                format!(
                    "tiles of {blends} can't tell: the {} model of {} ends has {terms} terms",
                    model.name(),
                    table.ends.len()
                ),
            )
            .help(if *model == MixtureModel::Linear {
                "make a tile of each end alone, then of each two half and half"
            } else {
                "make more different blends (each end, each two half and half, all in equal parts), or ask for a simpler --model"
            })
        }
        NoLesson::NoFit(model, NoFit::CannotTell(tangles)) => {
            let name = |term: &glost_core::tiles::mixture::Term| term.name(&table.ends);
            let sentences: Vec<String> = tangles
                .iter()
                .take(3)
                .map(|tangle| match tangle.with.as_slice() {
                    [] => format!("no tile holds {}", name(&tangle.term).replace('*', " and ")),
                    with => {
                        let with: Vec<String> = with.iter().map(name).collect();
                        format!("{} can't be told from {}", name(&tangle.term), with.join(", "))
                    }
                })
                .collect();
            Diagnostic::error(
                "cannot-tell",
                format!("these tiles can't tell for a {} model: {}", model.name(), sentences.join("; ")),
            )
            .help("make tiles that vary those apart (each two half and half, all in equal parts), or ask for a simpler --model")
        }
        NoLesson::AllAlike(grade) => Diagnostic::error(
            "all-alike",
            format!("every tile has the same {value}, {grade}: there is nothing to tell blends apart by"),
        )
        .help("grade finer (half grades count), or try ends that lie further apart"),
        NoLesson::AllSaid(yes) => {
            let said = if *yes { "yes" } else { "no" };
            Diagnostic::error(
                "all-alike",
                format!("every tile says {said} for {value}: where it changes can't be told"),
            )
            .help("make tiles further out, until some say otherwise")
        }
        NoLesson::NoChance(wanted) => Diagnostic::error(
            "bad-option",
            format!("--goal: {wanted} is no chance: {value} is yes or no"),
        )
        .help("say max, least, or a share between 0 and 1, such as --goal 0.1"),
        NoLesson::NoSuchModel(model) if table.ends.len() < model.order() => Diagnostic::error(
            "bad-option",
            format!("--model: a {} model needs {} ends or more", model.name(), model.order()),
        )
        .help("with two ends, quadratic is the most that bends"),
        NoLesson::NoSuchModel(model) => Diagnostic::error(
            "bad-option",
            format!("--model: yes and no are not fitted by a {} model", model.name()),
        )
        .help("say linear, quadratic or auto"),
    }
}
