use super::*;
use crate::workshop::bench::{glaze, near};
use glost_chemistry::quantity::{Coverage, Grams, GramsPerMillilitre, Millilitres, SquareMetres, WaterPerKilo};

fn order<'a>(glaze: &'a Glaze, extent: Option<Extent>) -> CostOrder<'a> {
    CostOrder {
        glaze,
        water: WaterAim::PerKilo(WaterPerKilo::parse("0.9 l/kg", Millilitres::METRIC_CUP).unwrap()),
        layer: Layer::default(),
        extent,
        currency: None,
    }
}

/// 60 silica (1 EUR/kg, 2.65 g/ml) and 40 whiting (0.50, 2.7) and 1 cobalt carbonate (60; its
/// grains count as 2.6): 0.14 EUR in 101 g, of it 0.06 cobalt.
#[test]
fn a_litre_costs_what_its_dry_glaze_costs() {
    let glaze = glaze("parts: { silica: 60, whiting: 40 }\nadditions: { cobalt carbonate: 1 }");
    let found = glaze_cost(&order(&glaze, None)).unwrap();
    let per_kg = 0.14 / 0.101;
    let per_gram = 0.9 + (60.0 / 2.65 + 40.0 / 2.7 + 1.0 / 2.6) / 101.0;
    near(found.per_kg.unwrap(), per_kg, "a kilogram");
    near(found.dry_grams_per_litre, 1000.0 / per_gram, "dry glaze in a litre");
    near(found.per_litre.unwrap(), per_kg / per_gram, "a litre");
    near(found.density, 1.9 / per_gram, "density");
    // 800 g on a square metre and 40 g on a mug, a fifth lost: 1000 and 50 g to mix.
    near(found.per_square_metre.unwrap(), per_kg, "a square metre");
    near(found.per_piece.unwrap(), 0.05 * per_kg, "a mug");
    // The base alone: 0.08 EUR in 100 g.
    near(found.base.per_kg().unwrap(), 0.8, "the base");
    let (name, share) = found.dearest.unwrap();
    assert!(name == "silica" || name == "cobalt carbonate");
    near(share, 0.06 / 0.14, "share");
    assert_eq!(
        found.assumptions,
        [Assumption::UsualGrains(vec!["cobalt carbonate".to_owned()])]
    );
    assert_eq!(found.total, None);
    let amounts: Vec<f64> = found.recipe.lines.iter().filter_map(|line| line.amount).collect();
    assert!(amounts.windows(2).all(|pair| pair[0] >= pair[1]), "{amounts:?}");
}

#[test]
fn an_area_or_so_many_pieces_cost_their_glaze() {
    let glaze = glaze("parts: { silica: 100 }");
    let area = Extent::Area(SquareMetres::new(4.0).unwrap());
    let found = glaze_cost(&order(&glaze, Some(area))).unwrap();
    let total = found.total.unwrap();
    near(total.dry_grams, 4000.0, "four square metres");
    near(total.amount.unwrap(), 4.0, "at 1 EUR/kg");
    near(total.volume_millilitres, 4000.0 * (0.9 + 1.0 / 2.65), "slurry");
    assert_eq!(found.per_piece, None);
    let pieces = Extent::Pieces(12.0);
    let layer = Layer {
        coverage: None,
        piece: Grams::new(30.0),
        loss_percent: Some(25.0),
    };
    let found = glaze_cost(&CostOrder {
        layer,
        ..order(&glaze, Some(pieces))
    })
    .unwrap();
    near(found.per_piece.unwrap(), 0.04, "30 g, a quarter of 40 lost");
    near(found.total.unwrap().dry_grams, 480.0, "twelve");
    assert_eq!(found.per_square_metre, None);
    assert_eq!(found.on_ware.assumptions, []);
}

#[test]
fn what_nobody_says_is_common_practice_and_told() {
    let on = |layer: &Layer, extent| OnWare::new(layer, extent).assumptions;
    let area = Some(Extent::Area(SquareMetres::new(1.0).unwrap()));
    use super::super::on_ware::Usual;
    assert_eq!(
        on(&Layer::default(), None),
        [Usual::Coverage, Usual::Piece, Usual::Loss]
    );
    assert_eq!(on(&Layer::default(), area), [Usual::Coverage, Usual::Loss]);
    assert_eq!(
        on(&Layer::default(), Some(Extent::Pieces(1.0))),
        [Usual::Piece, Usual::Loss]
    );
    let said = Layer {
        coverage: Coverage::new(0.5),
        piece: Grams::new(20.0),
        loss_percent: Some(0.0),
    };
    let said = OnWare::new(&said, area);
    assert_eq!(
        (
            said.assumptions.len(),
            said.grams_per_square_metre(),
            said.grams_per_piece()
        ),
        (0, Some(500.0), Some(20.0))
    );
}

#[test]
fn no_price_no_cost_and_no_glaze_of_lead() {
    let unpriced = glaze("parts: { feldspar: 100 }");
    let found = glaze_cost(&order(&unpriced, None)).unwrap();
    assert_eq!((found.per_kg, found.per_litre, found.dearest), (None, None, None));
    let lead = glaze("parts: { silica: 60, red lead: 40 }");
    assert_eq!(
        glaze_cost(&order(&lead, None)),
        Err(NoTicket::Locked("lead", "red lead".to_owned()))
    );
    let dense = CostOrder {
        water: WaterAim::Density(GramsPerMillilitre::new(2.4).unwrap()),
        ..order(&unpriced, None)
    };
    assert!(matches!(glaze_cost(&dense), Err(NoTicket::Density(1.0, _))));
}
