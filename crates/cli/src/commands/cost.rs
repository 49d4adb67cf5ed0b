use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::{Coverage, SquareMetres, parse_number, parse_percent};
use glost_core::workshop::cost::{CostOrder, Extent, Layer, glaze_cost};
use glost_page::cost::CostPage;
use glost_page::layout::Style;
use glost_studio::Workplace;

use crate::args::CostOptions;
use crate::outcome::{Answer, Outcome};
use glost_desk::trouble;

/// More pieces than this is a slip.
const MOST_PIECES: f64 = 1e7;

pub(super) fn run(options: &CostOptions, workplace: &Workplace, style: Style) -> Outcome {
    let layer = layer(options)?;
    let extent = extent(options)?;
    let found = super::glaze(workplace, &options.glaze)?;
    let order = CostOrder {
        glaze: &found.glaze,
        water: super::weigh::water(options.density.as_deref(), options.water.as_deref(), &found)?,
        layer,
        extent,
        currency: found.settings.currency.as_deref(),
    };
    let scales = &found.settings.scales;
    let cost = glaze_cost(&order).map_err(|why| super::weigh::no_ticket(&found, &why, scales))?;
    let page = CostPage {
        glaze: &found.glaze,
        called: &options.glaze,
        cost: &cost,
    };
    Ok(Answer {
        text: page.text(style),
        json: page.json(),
        says_no: cost.per_kg.is_none(),
    })
}

fn layer(options: &CostOptions) -> Result<Layer, Diagnostic> {
    let coverage = options.coverage.as_deref().map(|text| {
        let coverage = Coverage::parse(text).map_err(|bad| trouble::option("coverage", bad))?;
        if !(0.02..=10.0).contains(&coverage.kg_per_square_metre()) {
            return Err(
                Diagnostic::error("bad-option", format!("--coverage: no glaze goes on at {text}"))
                    .help("dry, 0.5 to 1 kg/m2 is usual: weigh a tile before and after"),
            );
        }
        Ok(coverage)
    });
    let loss = options.loss.as_deref().map(|text| {
        let loss = parse_percent(text).map_err(|bad| trouble::option("loss", bad))?;
        if loss > 95.0 {
            return Err(
                Diagnostic::error("bad-option", format!("--loss: {text} leaves nothing on the ware"))
                    .help("10 to 25 % is usual for dipping and cleaning"),
            );
        }
        Ok(loss)
    });
    let piece = options
        .per_piece
        .as_deref()
        .map(|text| super::weight("per-piece", text));
    Ok(Layer {
        coverage: coverage.transpose()?,
        piece: piece.transpose()?,
        loss_percent: loss.transpose()?,
    })
}

fn extent(options: &CostOptions) -> Result<Option<Extent>, Diagnostic> {
    if let Some(text) = &options.area {
        let area = SquareMetres::parse(text).map_err(|bad| trouble::option("area", bad))?;
        if area.square_metres() <= 0.0 {
            return Err(Diagnostic::error("bad-option", format!("--area: `{text}` is nothing")));
        }
        return Ok(Some(Extent::Area(area)));
    }
    let Some(text) = &options.pieces else { return Ok(None) };
    let count = parse_number(text).map_err(|bad| trouble::option("pieces", bad))?.value;
    if !(1.0..=MOST_PIECES).contains(&count) || count.fract() != 0.0 {
        return Err(
            Diagnostic::error("bad-option", format!("--pieces: `{text}` is no number of pieces"))
                .help("a whole number, such as --pieces 120"),
        );
    }
    Ok(Some(Extent::Pieces(count)))
}
