//! What a glaze costs: a kilogram, a litre, a square metre, a piece.

use std::ops::RangeInclusive;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Glaze;
use glost_chemistry::quantity::{Coverage, SquareMetres, parse_number, parse_percent};
use glost_core::workshop::cost::{CostOrder, Extent, GlazeCost, Layer, glaze_cost};
use serde::Serialize;

use crate::making::{AskedWater, no_ticket, water};
use crate::{Desk, Failure, Said, Words};

/// More pieces than this is a slip.
const MOST_PIECES: f64 = 1e7;
/// Dry glaze that can be on a square metre, kg.
const COVERAGES: RangeInclusive<f64> = 0.02..=10.0;
/// More than this, per cent, leaves nothing on the ware.
const MOST_LOSS_PERCENT: f64 = 95.0;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The glaze's name or file.
    pub glaze: String,
    /// How it goes on the ware.
    pub layer: Layer,
    /// How much ware, where that is asked.
    pub extent: Option<Extent>,
    /// How wet, instead of the glaze's own.
    pub water: Option<AskedWater>,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            glaze: words.required("glaze")?.to_owned(),
            layer: layer(words)?,
            extent: extent(words)?,
            water: AskedWater::from_words(words)?,
        })
    }

    fn tells_where(words: &Words) -> bool {
        layer(words).is_ok() && extent(words).is_ok()
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let found = desk.glaze(&self.glaze)?;
        let order = CostOrder {
            glaze: &found.glaze,
            water: water(self.water.as_ref(), &found)?,
            layer: self.layer,
            extent: self.extent,
            currency: found.settings.currency.as_deref(),
        };
        let cost = glaze_cost(&order).map_err(|why| no_ticket(&found, &why, &found.settings.scales))?;
        Ok(answer(&found.glaze, &self.glaze, cost))
    }
}

/// What a glaze costs. Amounts are the least where `unknown` names materials, null
/// where no price is known.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct Answer {
    /// The glaze.
    pub glaze: String,
    /// The currency of all amounts.
    pub currency: Option<String>,
    /// A kilogram of dry glaze.
    pub per_kg: Option<f64>,
    /// A kilogram of the base alone.
    pub base_per_kg: Option<f64>,
    /// A litre of slurry.
    pub per_litre: Option<f64>,
    /// A square metre, losses counted in.
    pub per_square_metre: Option<f64>,
    /// A piece, losses counted in.
    pub per_piece: Option<f64>,
    /// Whether a price is missing.
    pub at_least: bool,
    /// Materials whose price isn't known, or in another currency.
    pub unknown: Vec<String>,
    /// The material that costs most.
    pub dearest: Option<Dearest>,
    /// Each material, dearest first.
    pub lines: Vec<Line>,
    /// Dry glaze on a square metre, kg.
    pub coverage_kg_per_square_metre: Option<f64>,
    /// Dry glaze on a piece.
    pub piece_grams: Option<f64>,
    /// Lost, per cent of what is mixed.
    pub loss_percent: f64,
    /// The slurry's density, g/ml.
    pub density: f64,
    /// Dry glaze in a litre of slurry.
    pub dry_grams_per_litre: f64,
    /// All of it, where an area or pieces are asked.
    pub total: Option<Total>,
    /// What goes with the numbers.
    pub assumptions: Vec<Said>,
    /// The cost as it was worked out.
    #[serde(skip)]
    pub cost: GlazeCost,
    /// What the glaze was called by: a name or a file.
    #[serde(skip)]
    pub called: String,
    /// Whether anything comes on top of the base.
    #[serde(skip)]
    pub has_additions: bool,
    /// Whether every material's analysis is known, so that a cheaper recipe can be looked for.
    #[serde(skip)]
    pub is_known: bool,
}

/// The material that costs most.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Dearest {
    /// Its name.
    pub material: String,
    /// Its share of the known cost, 0 to 1.
    pub share: f64,
}

/// One material.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Line {
    /// Its name.
    pub material: String,
    /// Per cent of the dry glaze.
    pub percent_of_dry: f64,
    /// Its price per kilogram.
    pub price_per_kg: Option<f64>,
    /// What it costs in a kilogram of dry glaze.
    pub in_a_kg: Option<f64>,
    /// Its share of the known cost, 0 to 1.
    pub share: Option<f64>,
}

/// The whole of an area or of so many pieces.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Total {
    /// The area.
    pub square_metres: Option<f64>,
    /// Or the pieces.
    pub pieces: Option<f64>,
    /// Dry glaze to mix, losses counted in.
    pub dry_grams: f64,
    /// Slurry.
    pub volume_millilitres: f64,
    /// What it costs.
    pub amount: Option<f64>,
}

impl crate::Answer for Answer {
    /// No price is known.
    fn says_no(&self) -> bool {
        self.per_kg.is_none()
    }
}

fn answer(glaze: &Glaze, called: &str, cost: GlazeCost) -> Answer {
    let recipe = &cost.recipe;
    let grams = recipe.grams();
    let lines = recipe.lines.iter().map(|line| Line {
        material: line.material.clone(),
        percent_of_dry: 100.0 * line.grams / grams,
        price_per_kg: line.price_per_kg,
        in_a_kg: line.amount.map(|amount| 1000.0 * amount / grams),
        share: line
            .amount
            .zip(recipe.amount)
            .filter(|pair| pair.1 > 0.0)
            .map(|(amount, whole)| amount / whole),
    });
    let usual = cost.on_ware.assumptions.iter().copied().map(Said::Usual);
    let wetting = cost.assumptions.iter().cloned().map(Said::Wetting);
    let own = glaze.assumptions.iter().map(Said::from);
    let total = cost.total.as_ref().map(|total| Total {
        square_metres: match total.extent {
            Extent::Area(area) => Some(area.square_metres()),
            Extent::Pieces(_) => None,
        },
        pieces: match total.extent {
            Extent::Area(_) => None,
            Extent::Pieces(pieces) => Some(pieces),
        },
        dry_grams: total.dry_grams,
        volume_millilitres: total.volume_millilitres,
        amount: total.amount,
    });
    Answer {
        glaze: glaze.name.clone(),
        currency: recipe.currency.clone(),
        per_kg: cost.per_kg,
        base_per_kg: cost.base.per_kg(),
        per_litre: cost.per_litre,
        per_square_metre: cost.per_square_metre,
        per_piece: cost.per_piece,
        at_least: !recipe.is_whole(),
        unknown: recipe.unknown.iter().map(ToString::to_string).collect(),
        dearest: cost
            .dearest
            .clone()
            .map(|(material, share)| Dearest { material, share }),
        lines: lines.collect(),
        coverage_kg_per_square_metre: cost.on_ware.coverage_kg,
        piece_grams: cost.on_ware.piece_grams,
        loss_percent: cost.on_ware.loss_percent,
        density: cost.density,
        dry_grams_per_litre: cost.dry_grams_per_litre,
        total,
        assumptions: usual.chain(wetting).chain(own).collect(),
        called: called.to_owned(),
        has_additions: !glaze.additions.is_empty(),
        is_known: glaze.unknown_materials().is_empty(),
        cost,
    }
}

fn layer(words: &Words) -> Result<Layer, Diagnostic> {
    let coverage = words.read("coverage", Coverage::parse)?;
    if let (Some(coverage), Some(text)) = (coverage, words.text("coverage"))
        && !COVERAGES.contains(&coverage.kg_per_square_metre())
    {
        return Err(
            Diagnostic::error("bad-option", format!("--coverage: no glaze goes on at {text}"))
                .help("dry, 0.5 to 1 kg/m2 is usual: weigh a tile before and after"),
        );
    }
    let loss = words.read("loss", parse_percent)?;
    if let (Some(loss), Some(text)) = (loss, words.text("loss"))
        && loss > MOST_LOSS_PERCENT
    {
        return Err(
            Diagnostic::error("bad-option", format!("--loss: {text} leaves nothing on the ware"))
                .help("10 to 25 % is usual for dipping and cleaning"),
        );
    }
    Ok(Layer {
        coverage,
        piece: words.weight("per-piece")?,
        loss_percent: loss,
    })
}

fn extent(words: &Words) -> Result<Option<Extent>, Diagnostic> {
    if let (Some(area), Some(text)) = (words.read("area", SquareMetres::parse)?, words.text("area")) {
        if area.square_metres() <= 0.0 {
            return Err(Diagnostic::error("bad-option", format!("--area: `{text}` is nothing")));
        }
        return Ok(Some(Extent::Area(area)));
    }
    let (Some(count), Some(text)) = (words.read("pieces", parse_number)?, words.text("pieces")) else {
        return Ok(None);
    };
    let count = count.value;
    if !(1.0..=MOST_PIECES).contains(&count) || count.fract() != 0.0 {
        return Err(
            Diagnostic::error("bad-option", format!("--pieces: `{text}` is no number of pieces"))
                .help("a whole number, such as --pieces 120"),
        );
    }
    Ok(Some(Extent::Pieces(count)))
}
