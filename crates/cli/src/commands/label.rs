use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::Date;
use glost_core::workshop::label::{Label, LabelKind, Stamp, parse_mark, short_text};
use glost_page::grid::LabelGrid;
use glost_page::grid_words::parse_grid;
use glost_page::label::LabelPage;
use glost_page::label_sheet::{LabelSheet, grids_json, grids_text};
use glost_page::layout::Style;
use glost_page::sheet::PageFormat;
use glost_studio::{Workplace, create_new};

use crate::args::{Common, LabelOptions};
use crate::outcome::{Answer, Failure, Outcome};
use glost_desk::booked::{Booked, booked};
use glost_desk::trouble;

pub(super) fn run(options: &LabelOptions, common: &Common, style: Style) -> Outcome {
    if options.grid.as_deref() == Some("list") {
        return Ok(Answer::yes(grids_text(), grids_json()));
    }
    let Some(glaze) = &options.glaze else {
        return Err(Diagnostic::error("bad-call", "a label of which glaze?")
            .help("name one: glost label \"Lamplight clear\" --grid \"70 x 37 mm\" --page labels.html")
            .into());
    };
    let kind = kind(options)?;
    let grid = grid(options, kind)?;
    let format = options.page.as_deref().map(PageFormat::of).transpose()?;
    let mut stamps = stamps(options)?;
    let workplace = super::open(common)?;
    let found = super::glaze(&workplace, glaze)?;
    from_the_book(&workplace, &found.glaze.name, &mut stamps);
    let label = Label::of(&found.glaze, &found.settings);
    let labels: Vec<LabelPage<'_>> = stamps
        .iter()
        .map(|stamp| LabelPage {
            label: &label,
            cup: found.settings.cup,
            kind,
            stamp,
        })
        .collect();
    let code = !options.no_code && kind != LabelKind::Tile;
    let mut text: String = labels
        .iter()
        .map(|page| page.text(style))
        .collect::<Vec<_>>()
        .join("\n");
    let mut json = labels.first().map(|page| page.json(None)).unwrap_or_default();
    if !options.tile.is_empty() {
        json["tiles"] = stamps.iter().map(|stamp| stamp.code.clone()).collect();
    }
    if options.page.is_none() && !options.html && options.grid.is_none() {
        return Ok(Answer::yes(text, json));
    }
    let sheet = LabelSheet {
        code_text: code
            .then(|| stamps.first().map(|stamp| short_text(&found.glaze, stamp)))
            .flatten(),
        labels,
        copies: usize::from(options.copies),
        skip: usize::from(options.skip),
        grid,
        outlines: options.outlines,
    };
    let printed = sheet.print()?;
    json["printed"] = printed.json();
    if let (Some(file), Some(format)) = (&options.page, format) {
        create_new(file, &printed.pages.file(format)?)?;
        text.push_str(&format!(
            "\nPage: {}, to open in a browser and print.\n",
            file.display()
        ));
    } else {
        text.push_str("\nNot printed: --page labels.html writes the page.\n");
    }
    text.push_str(&printed.text());
    if options.html {
        let html = printed.pages.html();
        json["html"] = html.clone().into();
        return Ok(Answer::yes(html, json));
    }
    Ok(Answer::yes(text, json))
}

fn kind(options: &LabelOptions) -> Result<LabelKind, Failure> {
    let kind = options.kind.of_label();
    if options.tile.is_empty() || kind == LabelKind::Tile {
        return Ok(kind);
    }
    if kind == LabelKind::Bucket {
        // What --kind is without a word: codes say that tiles are meant.
        return Ok(LabelKind::Tile);
    }
    Err(
        Diagnostic::error("bad-option", format!("--tile: a {} has no tile's code", kind.word()))
            .help("leave --kind out, or say --batch for what is in it")
            .into(),
    )
}

fn grid(options: &LabelOptions, kind: LabelKind) -> Result<LabelGrid, Diagnostic> {
    match &options.grid {
        None => Ok(LabelSheet::plain(kind)),
        Some(text) => parse_grid(text).map_err(|bad| trouble::option("grid", bad)),
    }
}

/// Day and version of a booked batch, where the call doesn't say others.
fn from_the_book(workplace: &Workplace, glaze: &str, stamps: &mut [Stamp]) {
    for stamp in stamps {
        let Some(number) = stamp.batch.clone() else { continue };
        match booked(workplace, &number, glaze) {
            Booked::Here(booking) => {
                stamp.day = stamp.day.or(Some(booking.on));
                stamp.version = stamp.version.take().or(booking.version);
            }
            Booked::Amiss(amiss) => crate::complain(&format!("{}\n", glost_page::words::amiss(&amiss))),
            Booked::NoBook => {}
        }
    }
}

/// One stamp for each label.
fn stamps(options: &LabelOptions) -> Result<Vec<Stamp>, Diagnostic> {
    let mark = |name: &str, text: &Option<String>| {
        text.as_deref()
            .map(|text| parse_mark(text).map_err(|bad| trouble::option(name, bad)))
            .transpose()
    };
    let day = options
        .on
        .as_deref()
        .map(|text| Date::parse(text).map_err(|bad| trouble::option("on", bad)));
    let common = Stamp {
        version: mark("version", &options.version)?,
        batch: mark("batch", &options.batch)?,
        day: day.transpose()?,
        code: None,
    };
    if options.tile.is_empty() {
        return Ok(vec![common]);
    }
    options
        .tile
        .iter()
        .map(|code| {
            Ok(Stamp {
                code: Some(parse_mark(code).map_err(|bad| trouble::option("tile", bad))?),
                ..common.clone()
            })
        })
        .collect()
}
