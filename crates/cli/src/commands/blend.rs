use std::path::Path;
use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_chemistry::glaze::Glaze;
use glost_chemistry::quantity::{GramsPerMillilitre, Millilitres, SlurryDensity, parse_number};
use glost_core::tiles::blend::{
    AdditionSteps, MOST_TILES, PlanOrder, Shape, Shares, Spacing, Syringe, check_codes, check_ends, codes, plan,
};
use glost_page::blend::{BlendPage, Saved, saved_words};
use glost_page::layout::Style;
use glost_page::sheet::PageFormat;
use glost_script::{Kind, Request, Scene, Script};
use glost_studio::{FoundEnd, Workplace, already_there, create_new};

use crate::args::BlendOptions;
use crate::clock::today;
use crate::outcome::{Answer, Failure, Outcome};
use glost_desk::rulebook::{Rulebook, scene};
use glost_desk::trouble;

/// Density in g/ml of a slurry where none is said.
const USUAL_DENSITY: f64 = 1.45;

/// Tiles of a line, steps of a side, where none are said.
const USUAL_STEPS: usize = 5;

pub(super) fn run(options: &BlendOptions, workplace: &Workplace, style: Style) -> Outcome {
    let dry = super::weight("dry", &options.dry)?;
    let density = options.density.as_deref().map(density).transpose()?;
    let ends: Vec<FoundEnd> = options
        .ends
        .iter()
        .map(|end| Ok(workplace.end(end)?))
        .collect::<Result<_, Failure>>()?;
    if let Some(notice) = workplace.notice() {
        crate::complain(&format!("{notice}\n"));
    }
    let Some(first) = ends.first() else {
        return Err(Diagnostic::error("bad-call", "a blend needs glazes at its ends").into());
    };
    let volume = options
        .volume
        .as_deref()
        .map(|text| volume(text, first.settings.cup))
        .transpose()?;
    let book = Rulebook::open(workplace, &first.settings)?;
    let scene = book.with_limits(scene(&first.library, &first.settings.fluxes, &first.origin, None, None));
    let design = design(options, workplace, &book, &scene, &ends)?;
    let scales = super::scales(options.scales.as_deref(), first.settings.scales)?;
    let order = PlanOrder {
        kind: options.kind.clone(),
        ends: design.ends,
        tiles: design.tiles,
        shape: design.shape,
        rows: design.rows,
        notes: design.notes,
        dry_grams: dry.grams(),
        volume_millilitres: volume.map(Millilitres::millilitres),
        slurry_grams_per_millilitre: density.unwrap_or(USUAL_DENSITY),
        syringe: syringe(options, volume)?,
        limits: options.limits.clone(),
        fluxes: &first.settings.fluxes,
        scales,
    };
    let students = students(options, order.tiles.len())?;
    let rules = book.rules(scene);
    let plan = plan(&order, Some(&rules.as_rules()))?;
    let page = BlendPage {
        plan: &plan,
        ends: &order.ends,
        dry_grams: dry.grams(),
        volume_millilitres: order.volume_millilitres,
        density: volume.map(|_| order.slurry_grams_per_millilitre),
        step_grams: scales.reads_to.grams(),
        students,
    };
    let mut text = page.text(style);
    text.push_str(&written(options, workplace, &page)?);
    Ok(Answer::yes(text, page.json()))
}

/// Writes what was asked for, and says where it is. What can't be written is
/// known before anything is.
fn written(options: &BlendOptions, workplace: &Workplace, page: &BlendPage<'_>) -> Result<String, Failure> {
    let name = options.save.as_deref().map(str::trim);
    let files: Vec<(&Path, String)> = [
        options.page.as_deref().map(|file| (file, page_text(file, name, page))),
        options.sheet.as_deref().map(|file| (file, Ok(page.result_sheet(name)))),
    ]
    .into_iter()
    .flatten()
    .map(|(file, text)| Ok((file, text?)))
    .collect::<Result<_, Diagnostic>>()?;
    for (file, _) in &files {
        if file.symlink_metadata().is_ok() {
            return Err(already_there(file).into());
        }
    }
    let mut said = String::new();
    if let Some(name) = name {
        let call = call_as_typed();
        let saved = Saved {
            name,
            on: today()?,
            call: &call,
        };
        let path = workplace.save_plan(name, &page.saved(&saved))?;
        said.push_str(&saved_words(&path, name, page));
    }
    for (file, text) in files {
        create_new(file, &text)?;
        said.push_str(&format!("Written to {}.\n", file.display()));
    }
    Ok(said)
}

fn page_text(file: &Path, name: Option<&str>, page: &BlendPage<'_>) -> Result<String, Diagnostic> {
    let format = PageFormat::of(file)?;
    page.pages(name, format).file(format)
}

/// The call, so that a saved plan says how it was made.
fn call_as_typed() -> String {
    let quoted = |word: String| {
        if word.is_empty() || word.contains(|sign: char| !(sign.is_ascii_alphanumeric() || "-_./=:".contains(sign))) {
            format!("\"{}\"", word.replace('"', "\\\""))
        } else {
            word
        }
    };
    let words: Vec<String> = std::env::args_os()
        .skip(1)
        .map(|word| quoted(word.to_string_lossy().into_owned()))
        .collect();
    format!("glost {}", words.join(" "))
}

fn syringe(options: &BlendOptions, volume: Option<Millilitres>) -> Result<Syringe, Diagnostic> {
    let syringe = options.syringe.as_deref().map(Syringe::parse).transpose()?;
    if syringe.is_some() && volume.is_none() {
        return Err(
            Diagnostic::error("bad-call", "--syringe measures slurry, and nothing is blended wet here")
                .help("say how much slurry a tile takes: --volume \"30 ml\""),
        );
    }
    let syringe = syringe.unwrap_or_default();
    if let Some(volume) = volume
        && volume.millilitres() < syringe.mark_millilitres
    {
        return Err(Diagnostic::error(
            "volume-below-mark",
            format!(
                "--volume: {} ml is less than one mark of the syringe ({} ml)",
                volume.millilitres(),
                syringe.mark_millilitres
            ),
        )
        .help("a 7 cm tile is dipped in 20 to 30 ml; or name a finer syringe: --syringe \"10 ml by 0.2 ml\""));
    }
    Ok(syringe)
}

fn students(options: &BlendOptions, tiles: usize) -> Result<Option<usize>, Diagnostic> {
    match options.students {
        Some(students) if students == 0 || students > tiles => Err(Diagnostic::error(
            "bad-option",
            format!("--students: {tiles} tiles can't be shared among {students}"),
        )
        .help("each student makes one tile at least; take more steps, or let them work in pairs")),
        students => Ok(students),
    }
}

/// What the script planned, with codes.
struct Design {
    ends: Vec<Glaze>,
    tiles: Vec<(String, Shares)>,
    shape: Shape,
    rows: Vec<usize>,
    notes: Vec<String>,
}

fn design(
    options: &BlendOptions,
    workplace: &Workplace,
    book: &Rulebook,
    scene: &Arc<Scene>,
    ends: &[FoundEnd],
) -> Result<Design, Failure> {
    let glazes: Vec<Arc<Glaze>> = ends.iter().map(|end| Arc::new(end.glaze.clone())).collect();
    let named: Vec<Glaze> = ends.iter().map(|end| end.glaze.clone()).collect();
    check_ends(&named)?;
    let script = script(options, workplace, book)?;
    let settings = book.settings_of(&script, &options.set)?;
    let planned = script.blend(&glazes, request(options, scene)?, scene, &settings)?;
    let count = planned.tiles().count();
    if count > MOST_TILES {
        return Err(too_many(count).into());
    }
    let ends: Vec<Glaze> = match &planned.ends {
        Some(own) => own.iter().map(|end| Glaze::clone(end)).collect(),
        None => named,
    };
    check_ends(&ends)?;
    let rows: Vec<usize> = planned.rows.iter().map(Vec::len).collect();
    let tiles: Vec<(String, Shares)> = planned
        .tiles()
        .zip(codes(&rows))
        .map(|(tile, code)| (tile.code.clone().unwrap_or(code), tile.shares.clone()))
        .collect();
    check_codes(tiles.iter().map(|tile| tile.0.as_str()))?;
    Ok(Design {
        ends,
        tiles,
        shape: planned.shape,
        rows,
        notes: planned.notes,
    })
}

fn request(options: &BlendOptions, scene: &Scene) -> Result<Request, Diagnostic> {
    for (asked, what) in [
        (options.steps, "steps"),
        (options.rows, "rows"),
        (options.columns, "columns"),
        (options.tiles, "tiles"),
    ] {
        if let Some(count) = asked.filter(|count| *count > MOST_TILES) {
            return Err(Diagnostic::error(
                "too-many-tiles",
                format!("--{what} {count} is more than one plan holds"),
            )
            .help(format!(
                "a plan has {MOST_TILES} tiles at most; 5 to 25 answer most questions"
            )));
        }
    }
    let add: Vec<AdditionSteps> = options
        .add
        .iter()
        .map(|text| {
            AdditionSteps::parse(text, &scene.library).map_err(|why| Diagnostic {
                message: format!("--add: {}", why.message),
                ..why
            })
        })
        .collect::<Result<_, _>>()?;
    for (steps, text) in add.iter().zip(&options.add) {
        let chosen = steps.percents.len();
        if steps.spacing == Spacing::Chosen && options.steps.is_some_and(|asked| asked != chosen) {
            return Err(Diagnostic::error(
                "bad-call",
                format!("--add names {chosen} steps (`{text}`), --steps another number"),
            )
            .help("leave --steps out, or name the least and the most: \"silica 0..9 %\""));
        }
    }
    let with = options
        .with
        .iter()
        .map(|name| super::material(&scene.library, "with", name))
        .collect::<Result<_, _>>()?;
    Ok(Request {
        with,
        tiles: options.tiles,
        limits: options.limits.clone(),
        within: options.within.clone(),
        steps: options.steps.unwrap_or(USUAL_STEPS),
        rows: options.rows,
        columns: options.columns,
        add,
        ..Request::default()
    })
}

fn too_many(count: usize) -> Diagnostic {
    Diagnostic::error("too-many-tiles", format!("that makes {count} tiles"))
        .help(format!("a plan has {MOST_TILES} tiles at most; take fewer steps"))
}

fn script(options: &BlendOptions, workplace: &Workplace, book: &Rulebook) -> Result<Arc<Script>, Failure> {
    if let Some(name) = &options.script {
        return Ok(book.script(workplace, name)?);
    }
    let name = format!("blend/{}", options.kind);
    if let Ok(script) = book.store.find(&name) {
        return Ok(script);
    }
    let designs: Vec<String> = book
        .store
        .of_kind(Kind::Blend)?
        .iter()
        .map(|script| script.name.trim_start_matches("blend/").to_owned())
        .collect();
    // A design that does not load says why; one that is not there, what is.
    let message = format!("no blend is called `{}`", options.kind);
    let mut error = Diagnostic::error("unknown-design", message)
        .maybe_help(suggestion(&options.kind, designs.iter().map(String::as_str)));
    if book.store.names().contains(&name.as_str())
        && let Err(why) = book.store.find(&name)
    {
        error = why;
    }
    Err(error.into())
}

fn volume(text: &str, cup: Millilitres) -> Result<Millilitres, Diagnostic> {
    let volume = Millilitres::parse(text, cup).map_err(|bad| trouble::option("volume", bad))?;
    if volume.millilitres() <= 0.0 {
        return Err(
            Diagnostic::error("bad-option", format!("--volume: `{text}` is nothing"))
                .help("a 7 cm tile is dipped in 20 to 30 ml: --volume \"30 ml\""),
        );
    }
    Ok(volume)
}

fn density(text: &str) -> Result<f64, Diagnostic> {
    let density = parse_number(text).map_err(|bad| trouble::option("density", bad))?.value;
    if GramsPerMillilitre::new(density).and_then(SlurryDensity::new).is_none() {
        return Err(
            Diagnostic::error("bad-option", format!("--density: {text} g/ml is no glaze slurry"))
                .help("between 1.05 and 2.2; most are 1.3 to 1.7, water is 1.0"),
        );
    }
    Ok(density)
}
