use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_core::tiles::blend::{find_plan, plan_notes};
use glost_page::layout::Style;
use glost_page::plan::{PlanListPage, PlanPage};
use glost_page::sheet::PageFormat;
use glost_studio::{Workplace, create_new};

use crate::args::PlanOptions;
use crate::outcome::{Answer, Failure, Outcome};

pub(super) fn run(options: &PlanOptions, workplace: &Workplace, style: Style) -> Outcome {
    let (plans, complaints) = workplace.plans();
    let (notes, _) = workplace.notes()?;
    let Some(name) = &options.plan else {
        if !complaints.is_empty() {
            return Err(Failure::Wrong(complaints));
        }
        let plans: Vec<_> = plans.iter().map(|plan| plan_notes(&plans, plan, &notes)).collect();
        let page = PlanListPage { plans: &plans };
        return Ok(Answer::yes(page.text(), page.json()));
    };
    let plan = find_plan(&plans, name).map_err(|why| {
        // A plan that is there but can't be read says so itself.
        let file = format!("{name}.json");
        let own = complaints.into_iter().find(|complaint| {
            let place = complaint.place.as_ref();
            place.is_some_and(|place| place.file.to_lowercase().ends_with(&file.to_lowercase()))
        });
        own.unwrap_or(why)
    })?;
    let told = plan_notes(&plans, plan, &notes);
    let properties = told.properties();
    let show = match &options.show {
        None => None,
        Some(wanted) => Some(
            *properties
                .iter()
                .find(|known| known.eq_ignore_ascii_case(wanted))
                .ok_or_else(|| {
                    let error = Diagnostic::error(
                        "unknown-property",
                        format!("no tile of `{}` has a grade of `{wanted}`", plan.name),
                    );
                    let known = match properties.as_slice() {
                        [] => format!("note one first: glost note --tile {}/A1 --grade {wanted}=4", plan.name),
                        known => format!("graded so far: {}", known.join(", ")),
                    };
                    error
                        .help(known)
                        .maybe_help(suggestion(wanted, properties.iter().copied()))
                })?,
        ),
    };
    let page = PlanPage { told: &told, show };
    let mut text = page.text(style);
    if let Some(file) = &options.page {
        let format = PageFormat::of(file)?;
        create_new(file, &page.pages(format).file(format)?)?;
        text.push_str(&format!("Written to {}.\n", file.display()));
    }
    Ok(Answer::yes(text, page.json()))
}
