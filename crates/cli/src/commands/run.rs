use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_chemistry::read::parse_csv;
use glost_page::layout::Style;
use glost_page::run::{CellView, ColumnView, RunPage, TableView};
use glost_script::{GivenTable, Item, Kind, Report, Scene, Script};
use glost_studio::{Origin, Workplace};

use crate::args::{Format, RunOptions};
use crate::outcome::{Answer, Failure, Outcome};
use glost_desk::rulebook::Rulebook;

use super::pieces::Pieces;

pub(super) fn run(options: &RunOptions, format: Format, workplace: &Workplace, style: Style) -> Outcome {
    if let Some(notice) = workplace.notice() {
        crate::complain(&format!("{notice}\n"));
    }
    let scene = studio_scene(workplace)?;
    let book = Rulebook::open(workplace, workplace.settings())?;
    let script = book.script(workplace, &options.script)?;
    if script.about.kind != Kind::Run {
        return Err(wrong_kind(&script).into());
    }
    let settings = book.settings_of(&script, &options.set)?;
    let scene = book.with_limits(scene);
    let scene = Arc::new(Scene {
        tables: tables(options, workplace, &script, &scene)?,
        ..Scene::clone(&scene)
    });
    let (report, printed) = script.report(&scene, &settings)?;
    for line in &printed {
        crate::complain(&format!("{line}\n"));
    }
    let page = page(&script, report);
    let text = match format {
        Format::Csv => {
            for sentence in &page.said {
                crate::complain(&format!("{sentence}\n"));
            }
            page.csv()
        }
        _ => page.text(style),
    };
    Ok(Answer::yes(text, page.json()))
}

/// The whole studio for a script. Glazes and clays that can't be read are told
/// of on stderr and left out.
pub(super) fn studio_scene(workplace: &Workplace) -> Result<Arc<Scene>, Failure> {
    let (glazes, mut complaints) = workplace.all_glazes();
    let (clays, of_clays) = workplace.all_clays();
    complaints.extend(of_clays);
    if glazes.is_empty() && !complaints.is_empty() {
        return Err(complaints.into());
    }
    for complaint in &complaints {
        crate::complain(&glost_page::diagnostic::text(complaint));
    }
    let library = glazes.first().map_or(workplace.library(), |glaze| &glaze.library);
    let settings = glazes
        .first()
        .map_or(workplace.settings(), |glaze| &glaze.settings)
        .clone();
    Ok(Arc::new(Scene {
        library: library.clone(),
        fluxes: Arc::new(settings.fluxes.clone()),
        shipped_may_come: glazes.first().is_some_and(|glaze| glaze.origin == Origin::Shipped),
        glazes: glazes.into_iter().map(|found| Arc::new(found.glaze)).collect(),
        notebook: Some(Arc::new(Pieces::open(workplace)?.for_scripts(&settings))),
        clays: clays.into_iter().map(|found| Arc::new(found.clay)).collect(),
        studio: settings.name.clone(),
        currency: settings.currency.clone(),
        scales: settings.scales,
        ..Scene::default()
    }))
}

fn wrong_kind(script: &Script) -> Diagnostic {
    let word = script.about.kind.word();
    let message = format!(
        "`{}` is a script of kind `{word}`, `glost run` takes those of kind `run`",
        script.name
    );
    let help = match script.about.kind {
        Kind::Check | Kind::Limits => format!("glost check GLAZE --script {}", script.name),
        Kind::Swap => format!("glost swap GLAZE --out MATERIAL --script {}", script.name),
        _ => "`glost script list` shows what there is".to_owned(),
    };
    Diagnostic::error("wrong-script-kind", message).help(help)
}

/// The files behind `--table name=FILE.csv`, typed as the script declares.
fn tables(
    options: &RunOptions,
    workplace: &Workplace,
    script: &Script,
    scene: &Scene,
) -> Result<Vec<Arc<GivenTable>>, Failure> {
    let mut found: Vec<Arc<GivenTable>> = Vec::new();
    let mut names: Vec<&str> = Vec::new();
    for text in &options.table {
        let Some((name, path)) = text.split_once('=') else {
            return Err(
                Diagnostic::error("bad-option", format!("--table: `{text}` names no file"))
                    .help("write it such as --table invoices=invoices.csv")
                    .into(),
            );
        };
        let name = name.trim();
        let Some(spec) = script.about.tables.iter().find(|spec| spec.name == name) else {
            let message = format!("--table: `{}` reads no table `{name}`", script.name);
            let declared = script.about.tables.iter().map(|spec| spec.name.as_str());
            let help = suggestion(name, declared).unwrap_or_else(|| "it reads no tables at all".to_owned());
            return Err(Diagnostic::error("unknown-table", message).help(help).into());
        };
        if names.contains(&name) {
            return Err(Diagnostic::error("bad-option", format!("--table: `{name}` is given twice")).into());
        }
        names.push(name);
        let csv = parse_csv(&workplace.text(path.trim())?)?;
        found.push(Arc::new(spec.hand_over(&csv, scene)?));
    }
    Ok(found)
}

fn page(script: &Script, report: Report) -> RunPage {
    RunPage {
        script: script.name.clone(),
        title: script.about.title.clone(),
        source: script.about.source.clone(),
        said: report.said,
        tables: report
            .tables
            .into_iter()
            .map(|table| TableView {
                title: table.title,
                columns: table
                    .columns
                    .into_iter()
                    .map(|column| ColumnView {
                        name: column.name,
                        unit: column.unit,
                        decimals: column.decimals,
                    })
                    .collect(),
                rows: table
                    .rows
                    .into_iter()
                    .map(|row| row.into_iter().map(cell).collect())
                    .collect(),
            })
            .collect(),
    }
}

fn cell(item: Item) -> CellView {
    match item {
        Item::Nothing => CellView::Nothing,
        Item::Number(number) => CellView::Number(number),
        Item::Text(text) => CellView::Text(text),
        Item::YesNo(truth) => CellView::YesNo(truth),
    }
}
