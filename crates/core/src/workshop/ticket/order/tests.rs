use super::*;
use crate::workshop::bench::{glaze, near};
use glost_chemistry::quantity::WaterPerKilo;

const CELADON: &str = "parts: { silica: 30, kaolin: 10, feldspar: 40, whiting: 20 }\nadditions: { red iron oxide: 2, cobalt carbonate: 1 }";

fn order<'a>(glaze: &'a Glaze, fluxes: &'a FluxList, grams: f64) -> TicketOrder<'a> {
    TicketOrder {
        glaze,
        fluxes,
        scales: Scales::default(),
        size: BatchSize::Dry(Grams::new(grams).unwrap()),
        water: WaterAim::PerKilo(WaterPerKilo::parse("0.9 l/kg", Millilitres::METRIC_CUP).unwrap()),
        currency: None,
    }
}

fn of(lines: &str, grams: f64) -> Result<Ticket, NoTicket> {
    ticket(&order(&glaze(lines), &FluxList::default(), grams))
}

/// 1 kg of base with 3 % on top in 0.9 l/kg: 1030 g into 927 ml, of it 618 first.
#[test]
fn a_ticket_weighs_big_ones_first_and_colours_last() {
    let found = of(CELADON, 1000.0).unwrap();
    let lines: Vec<_> = found
        .lines
        .iter()
        .map(|line| (line.material.name.as_str(), line.grams, line.running, line.is_addition))
        .collect();
    assert_eq!(
        lines,
        [
            ("feldspar", 400.0, 400.0, false),
            ("silica", 300.0, 700.0, false),
            ("whiting", 200.0, 900.0, false),
            ("kaolin", 100.0, 1000.0, false),
            ("cobalt carbonate", 10.0, 1010.0, true),
            ("red iron oxide", 20.0, 1030.0, true),
        ]
    );
    assert_eq!((found.base_grams, found.dry_grams), (1000.0, 1030.0));
    near(found.water_millilitres, 927.0, "water");
    near(found.first_water_millilitres, 618.0, "first water");
    let grain = 103.0 / (30.0 / 2.65 + 13.0 / 2.6 + 40.0 / 2.5 + 20.0 / 2.7);
    near(found.powder_density.value(), grain, "grains");
    let volume = |grain: f64| 927.0 + 1030.0 / grain;
    near(found.volume_millilitres, volume(grain), "slurry");
    near(found.density, 1957.0 / volume(grain), "density");
    near(found.density_between.0, 1957.0 / volume(grain - 0.1), "lighter grains");
    near(found.density_between.1, 1957.0 / volume(grain + 0.1), "heavier grains");
    // Whole tenths of a gram: nothing is rounded, nothing moves.
    let change = found.unity_change.unwrap();
    assert!(
        change.iter().all(|(_, by)| by.abs() < 1e-9) && change.len() >= 5,
        "{change:?}"
    );
    assert!(found.distance.is_some_and(|distance| distance < 1e-6));
    assert!(found.cannot_weigh.is_empty() && found.roughly.is_empty());
}

#[test]
fn poisons_come_together_and_before_plain_colours() {
    let found = of(
        "parts: { barium carbonate: 60, silica: 40 }\nadditions: { red iron oxide: 9, manganese dioxide: 3, tin oxide: 1 }",
        100.0,
    );
    let lines = found.unwrap().lines;
    let names: Vec<&str> = lines.iter().map(|line| line.material.name.as_str()).collect();
    assert_eq!(
        names,
        [
            "silica",
            "tin oxide",
            "barium carbonate",
            "manganese dioxide",
            "red iron oxide"
        ]
    );
}

#[test]
fn a_bucket_is_filled_to_what_was_asked() {
    let (glaze, fluxes) = (glaze(CELADON), FluxList::default());
    let five_litres = TicketOrder {
        size: BatchSize::Bucket(Millilitres::new(5000.0).unwrap()),
        ..order(&glaze, &fluxes, 1.0)
    };
    let found = ticket(&five_litres).unwrap();
    // To a tenth of a gram in each of six lines.
    assert!(
        (found.volume_millilitres - 5000.0).abs() < 1.0,
        "{}",
        found.volume_millilitres
    );
    assert!((found.dry_grams / found.base_grams - 1.03).abs() < 1e-3);
}

#[test]
fn a_material_in_base_and_on_top_is_weighed_once() {
    let found = of(
        "parts: { silica: 60, whiting: 40, kaolin: 0 }\nadditions: { silica: 10 }",
        200.0,
    )
    .unwrap();
    let lines: Vec<_> = found
        .lines
        .iter()
        .map(|line| (line.material.name.as_str(), line.grams, line.is_addition))
        .collect();
    assert_eq!(lines, [("silica", 140.0, false), ("whiting", 80.0, false)]);
    near(found.cost.amount.unwrap(), 0.14 + 0.04, "cost");
}

#[test]
fn neither_a_crumb_nor_a_lorry_is_weighed() {
    let none = |grams: f64| of("parts: { silica: 60, whiting: 40 }\nadditions: { kaolin: 100 }", grams).err();
    assert_eq!(none(0.09), Some(NoTicket::LessThanAStep(0.09)));
    assert_eq!(none(0.1), None);
    // Twice as much with what comes on top: 10 t are the most.
    assert_eq!(none(5e6), None);
    assert_eq!(none(5.1e6), Some(NoTicket::TooMuch(1.02e7)));
    let (glaze, fluxes) = (glaze("parts: { silica: 1 }"), FluxList::default());
    let scales = Scales {
        reads_to: Grams::TENTH,
        up_to: Grams::new(10.0),
    };
    let many = TicketOrder {
        scales,
        ..order(&glaze, &fluxes, 1000.0)
    };
    assert_eq!(
        ticket(&many).err(),
        Some(NoTicket::TooManyWeighings("silica".to_owned()))
    );
    let some = ticket(&TicketOrder {
        scales,
        ..order(&glaze, &fluxes, 25.0)
    })
    .unwrap();
    assert_eq!(some.lines[0].weighings, [8.4, 8.4, 8.2]);
}

/// Half of 0.1 g: 5 % of 1 g, 2 % of 2.5 g.
#[test]
fn weights_that_scales_show_badly_are_told() {
    let told = |percent: f64, base: f64| {
        let (cannot, roughly) = coarse(
            &glaze(&format!(
                "parts: {{ silica: 100 }}\nadditions: {{ tin oxide: {percent} }}"
            )),
            base,
            0.1,
        );
        (cannot.len(), roughly.len())
    };
    assert_eq!((told(1.0, 99.0), told(1.0, 100.0)), ((1, 0), (0, 1)));
    assert_eq!((told(1.0, 249.0), told(1.0, 250.0)), ((0, 1), (0, 0)));
    let (cannot, _) = coarse(
        &glaze("parts: { silica: 99.6, kaolin: 0.4 }\nadditions: { kaolin: 0.1 }"),
        100.0,
        0.1,
    );
    assert_eq!((cannot.len(), cannot[0].material.as_str()), (1, "kaolin"));
    near(cannot[0].grams, 0.5, "both together");
    near(cannot[0].error_percent, 10.0, "half a step of it");
    near(cannot[0].way_out.smallest_base_grams, 200.0, "1 g in 0.5 %");
}
