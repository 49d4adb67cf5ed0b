use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::{GramsPerMillilitre, WaterPerKilo};
use glost_core::workshop::batches::BatchNumber;
use glost_core::workshop::scales::MOST_WEIGHINGS;
use glost_core::workshop::ticket::{BatchSize, Ticket, TicketOrder, ticket};
use glost_core::workshop::wetting::{NoTicket, WaterAim};
use glost_page::layout::Style;
use glost_page::number;
use glost_page::sheet::PageFormat;
use glost_page::weigh::WeighPage;
use glost_studio::{FoundGlaze, Workplace, create_new};

use crate::args::WeighOptions;
use crate::outcome::{Answer, Outcome};
use glost_desk::trouble;

pub(super) fn run(options: &WeighOptions, workplace: &Workplace, style: Style) -> Outcome {
    let dry = options
        .dry
        .as_deref()
        .map(|text| super::weight("dry", text))
        .transpose()?;
    let found = super::glaze(workplace, &options.glaze)?;
    let cup = found.settings.cup;
    let bucket = options
        .bucket
        .as_deref()
        .map(|text| super::volume("bucket", text, cup))
        .transpose()?;
    let size = match (dry, bucket) {
        (Some(dry), _) => BatchSize::Dry(dry),
        (None, Some(bucket)) => BatchSize::Bucket(bucket),
        (None, None) => return Err(Diagnostic::error("bad-call", "how much? say --dry or --bucket").into()),
    };
    let scales = super::scales(options.scales.as_deref(), found.settings.scales)?;
    let order = TicketOrder {
        glaze: &found.glaze,
        fluxes: &found.settings.fluxes,
        scales,
        size,
        water: water(options.density.as_deref(), options.water.as_deref(), &found)?,
        currency: found.settings.currency.as_deref(),
    };
    let made = ticket(&order).map_err(|why| no_ticket(&found, &why, &scales))?;
    if let (Some(_), Some(bucket)) = (dry, bucket)
        && made.volume_millilitres > bucket.millilitres()
    {
        return Err(too_small(&made, bucket.millilitres()).into());
    }
    let number = super::booking::number(options.batch.as_deref())?;
    let page = WeighPage {
        glaze: &found.glaze,
        ticket: &made,
        step_grams: scales.reads_to.grams(),
        up_to_grams: scales.up_to.map(|most| most.grams()),
        cup_millilitres: cup.millilitres(),
        batch: number.as_ref().map(BatchNumber::text),
        booked: None,
    };
    if !options.commit {
        let printed = print(options, &page)?;
        return Ok(Answer::yes(page.text(style) + printed.as_str(), page.json()));
    }
    if let Some(file) = &options.page {
        // What can't be printed is known before anything is booked.
        page.pages().file(PageFormat::of(file)?)?;
    }
    let booking = super::booking::book(options, workplace, &found, &page)?;
    let page = WeighPage {
        batch: Some(booking.number.text()),
        booked: Some(&booking),
        ..page
    };
    let printed = print(options, &page).map_err(|error| super::booking::booked_without_page(&booking, error))?;
    Ok(Answer::yes(page.text(style) + printed.as_str(), page.json()))
}

/// Writes the page to print where one is asked for; the line that says so.
fn print(options: &WeighOptions, page: &WeighPage<'_>) -> Result<String, Diagnostic> {
    let Some(file) = &options.page else {
        return Ok(String::new());
    };
    create_new(file, &page.pages().file(PageFormat::of(file)?)?)?;
    Ok(format!("Page: {}, to open in a browser and print.\n", file.display()))
}

/// How wet: the call, else the glaze.
pub(super) fn water(density: Option<&str>, water: Option<&str>, found: &FoundGlaze) -> Result<WaterAim, Diagnostic> {
    let about = &found.glaze.about;
    if let Some(text) = density {
        return Ok(WaterAim::Density(super::slurry_density("density", text)?));
    }
    if let Some(text) = water {
        let water = WaterPerKilo::parse(text, found.settings.cup).map_err(|bad| trouble::option("water", bad))?;
        if !(50.0..=20_000.0).contains(&water.millilitres_per_kg) {
            return Err(
                Diagnostic::error("bad-option", format!("--water: `{text}` makes no glaze"))
                    .help("most glazes take 0.6 to 1.5 l per kg of powder"),
            );
        }
        return Ok(WaterAim::PerKilo(water));
    }
    let density = about.density_grams_per_millilitre.and_then(GramsPerMillilitre::new);
    Ok(match (about.water, density) {
        (Some(water), _) => WaterAim::PerKilo(water),
        (None, Some(density)) => WaterAim::Density(density),
        (None, None) => WaterAim::Unsaid,
    })
}

pub(super) fn no_ticket(
    found: &FoundGlaze,
    why: &NoTicket,
    scales: &glost_core::workshop::scales::Scales,
) -> Diagnostic {
    let step = scales.reads_to.grams();
    let at_parts = |diagnostic: Diagnostic| diagnostic.at(&found.file.source, found.file.parts_mark, "parts".len());
    match why {
        NoTicket::LessThanAStep(grams) => Diagnostic::error(
            "batch-too-small",
            format!(
                "{} g of base is less than one step of the scales ({} g)",
                number::plain(*grams),
                number::plain(step)
            ),
        )
        .help("make a bigger batch, or name finer scales with --scales \"0.01 g to 100 g\""),
        NoTicket::TooMuch(grams) => Diagnostic::error(
            "batch-too-big",
            format!("{:.3e} kg of powder is more than a studio mixes", grams / 1000.0),
        )
        .help("is the unit right? the most is 10 000 kg"),
        NoTicket::TooManyWeighings(material) => {
            let most = scales.up_to.map_or(0.0, |most| most.grams());
            Diagnostic::error(
                "too-many-weighings",
                format!(
                    "{material} would take more than {MOST_WEIGHINGS} weighings on scales that carry {} g",
                    number::plain(most)
                ),
            )
            .help("make several smaller batches, or name other scales with --scales \"1 g to 15 kg\"")
        }
        NoTicket::Density(_, most) => Diagnostic::error(
            "density-out-of-reach",
            format!("{} can't be mixed to that density", found.glaze.name),
        )
        .help(format!(
            "between 1.0 (water) and {most:.2} g/ml for this powder; most glazes are 1.3 to 1.7"
        )),
        NoTicket::Locked(metal, material) => at_parts(Diagnostic::error(
            "locked",
            format!(
                "{} holds {metal}, from {material}: no ticket is made of it",
                found.glaze.name
            ),
        ))
        .help(format!(
            "recipes with {metal} are shown for arithmetic only (`glost unity`); match its chemistry without it"
        )),
        NoTicket::Nothing => at_parts(Diagnostic::error("nothing-to-weigh", "there is nothing in it to weigh"))
            .help("give its parts amounts above zero"),
    }
}

fn too_small(made: &Ticket, bucket: f64) -> Diagnostic {
    let powder = made.dry_grams / made.powder_density.value();
    let message = if powder > bucket {
        format!(
            "the powder alone fills {:.1} l, the bucket holds {:.1} l",
            powder / 1000.0,
            bucket / 1000.0
        )
    } else {
        format!(
            "that makes {:.1} l of slurry, the bucket holds {:.1} l",
            made.volume_millilitres / 1000.0,
            bucket / 1000.0
        )
    };
    let fits = made.base_grams * bucket / made.volume_millilitres;
    Diagnostic::error("bucket-too-small", message).help(format!(
        "the most base for this bucket is {} g: leave --dry out and say --bucket alone",
        number::plain(fits.floor())
    ))
}
