//! A weighing ticket by hand: shares to grams, water, volume, density.

use glost_chemistry::glaze::Glaze;
use glost_core::workshop::ticket::{BatchSize, Ticket, TicketOrder};
use glost_core::workshop::wetting::WaterAim;

use super::{Line, Step, Sum};

/// The sum of a ticket, from what was asked for.
pub(crate) fn of_ticket(order: &TicketOrder<'_>, ticket: &Ticket) -> Vec<Line> {
    let (glaze, powder) = (order.glaze, ticket.powder_density.value());
    let per_gram = water_per_gram(order.water, powder);
    let water_to_powder = per_gram.last().map_or(1.0, |line| line.value);
    let mut lines = per_gram;
    let base = match order.size {
        BatchSize::Dry(grams) => grams.grams(),
        BatchSize::Bucket(volume) => {
            let per_base = powder_per_base(glaze);
            let all = per_base.value;
            lines.push(per_base);
            let millilitres = Sum::plus([Sum::Number(water_to_powder), Sum::Number(1.0).over(powder)]);
            let fills = Line::between(
                Step::BaseOfBucket,
                Sum::Number(volume.millilitres()).over(millilitres).over(all),
            );
            let base = fills.value;
            lines.push(fills);
            base
        }
    };
    lines.extend(ticket.lines.iter().map(|line| {
        let name = &line.material.name;
        let own = glaze.portions().filter(|portion| portion.material.name == *name);
        let percents: Vec<f64> = own
            .map(|portion| portion.percent)
            .filter(|percent| *percent > 0.0)
            .collect();
        let step = Step::Material { material: name.clone() };
        Line::between(step, Sum::plus(percents).over(100.0).by(base)).taken(line.grams)
    }));
    let grams = ticket.lines.iter().map(|line| line.grams);
    let (dry, water) = (ticket.dry_grams, ticket.water_millilitres);
    lines.extend([
        Line::new(Step::AllPowder, Sum::plus(grams), dry),
        Line::new(Step::Water, Sum::times([water_to_powder, dry]), water),
        Line::new(
            Step::FirstWater,
            Sum::times([2.0, water]).over(3.0),
            ticket.first_water_millilitres,
        ),
        Line::new(
            Step::Volume,
            Sum::plus([Sum::Number(water), Sum::Number(dry).over(powder)]),
            ticket.volume_millilitres,
        ),
        Line::new(
            Step::Density,
            Sum::plus([water, dry]).over(ticket.volume_millilitres),
            ticket.density,
        ),
    ]);
    lines
}

/// Water to a gram of powder, where it isn't simply as much as powder.
fn water_per_gram(aim: WaterAim, powder: f64) -> Vec<Line> {
    match aim {
        WaterAim::PerKilo(water) => vec![Line::between(
            Step::WaterPerGram,
            Sum::Number(water.millilitres_per_kg).over(1000.0),
        )],
        WaterAim::Density(aim) => {
            let aim = aim.grams_per_millilitre();
            let sum = Sum::Number(1.0)
                .less(Sum::Number(aim).over(powder))
                .over(Sum::Number(aim).less(1.0));
            vec![Line::between(Step::WaterPerGramByDensity, sum)]
        }
        WaterAim::Unsaid => Vec::new(),
    }
}

/// Powder to a gram of base: 1 and what comes on top.
fn powder_per_base(glaze: &Glaze) -> Line {
    let percents: Vec<f64> = glaze
        .portions()
        .map(|portion| portion.percent)
        .filter(|percent| *percent > 0.0)
        .collect();
    Line::between(Step::PowderPerBase, Sum::plus(percents).over(100.0))
}
