use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::material::Material;
use glost_core::intake::bag::{mend, read_label};
use glost_page::bag::{mended_json, mended_text};
use glost_page::layout::Style;
use glost_page::materials::{list_json, list_text, material_json, material_text};
use glost_studio::{Workplace, create_new};

use crate::args::MaterialsOptions;
use crate::outcome::{Answer, Outcome};

pub(super) fn run(options: &MaterialsOptions, workplace: &Workplace, style: Style) -> Outcome {
    let library = workplace.library();
    if let Some(words) = &options.label {
        let mended = mend(&read_label(words)?, library)?;
        if let Some(out) = &options.out {
            create_new(out, &mended.entry)?;
        }
        let written = options.out.as_ref().map(|out| out.display().to_string());
        return Ok(Answer::yes(
            mended_text(&mended, written.as_deref(), style),
            mended_json(&mended, written.as_deref()),
        ));
    }
    let Some(name) = &options.name else {
        let all: Vec<&Material> = library.iter().map(AsRef::as_ref).collect();
        return Ok(Answer::yes(list_text(&all, style), list_json(&all)));
    };
    let material = library.find(name).ok_or_else(|| {
        Diagnostic::error("unknown-material", format!("no material is called `{name}`"))
            .maybe_help(library.suggestion(name))
    })?;
    Ok(Answer::yes(material_text(material, style), material_json(material)))
}
