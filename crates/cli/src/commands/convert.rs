use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_core::recipes::convert::{NoConversion, convert};
use glost_core::workshop::slurry::{Dose, DoseAmount};
use glost_page::convert::ConvertPage;
use glost_page::layout::Style;
use glost_studio::Workplace;

use crate::args::ConvertOptions;
use crate::outcome::{Answer, Outcome};

pub(super) fn run(options: &ConvertOptions, workplace: &Workplace, style: Style) -> Outcome {
    let library = workplace.library();
    let dose = Dose::parse(&options.dose).map_err(|bad| {
        Diagnostic::error("bad-dose", bad.message)
            .help("say how much of what, in per cent or a weight: \"1 % cobalt oxide\", \"2.5 g red iron oxide\"")
    })?;
    let from = library.find(&dose.name).ok_or_else(|| {
        let source = Source::from_text("dose", &options.dose);
        let offset = options.dose.find(&dose.name).unwrap_or_default();
        let mark = glost_chemistry::diagnostic::Mark {
            line: 1,
            column: options.dose[..offset].chars().count() + 1,
        };
        Diagnostic::error("unknown-material", format!("no material is called `{}`", dose.name))
            .at(&source, mark, dose.name.chars().count())
            .help(
                library
                    .suggestion(&dose.name)
                    .unwrap_or_else(|| "`glost materials` lists what there is".to_owned()),
            )
    })?;
    let to = super::material(library, "to", &options.to)?;
    let (amount, in_percent) = match dose.amount {
        DoseAmount::Percent(percent) => (percent, true),
        DoseAmount::Weight(weight) => (weight.grams(), false),
    };
    let conversion = convert(library, from, &to, amount).map_err(|why| refused(&why, &options.to, &dose.name))?;
    let page = ConvertPage {
        conversion: &conversion,
        in_percent,
        typed: [&dose.name, &options.to],
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

fn refused(why: &NoConversion, to: &str, from: &str) -> Diagnostic {
    match why {
        NoConversion::Same(name) => Diagnostic::error(
            "same-material",
            format!("`{from}` and `{to}` are one material here, {name}"),
        )
        .help("name another form of the same metal"),
        NoConversion::UnknownAnalysis(name) => Diagnostic::error(
            "unknown-analysis",
            format!("nobody tells what is in `{name}`: how much of it would do can't be computed"),
        )
        .help("with an analysis from its maker in materials/ the sum follows; else find it by a line blend of tiles"),
        NoConversion::NothingLeft(name) => Diagnostic::error(
            "nothing-left",
            format!("nothing of `{name}` is left after firing: it brings no metal"),
        )
        .help("name a material that stays in the fire"),
        NoConversion::Locked(metal, name) => {
            Diagnostic::error("locked", format!("{name} holds {metal}: no dose is worked out"))
                .help(format!("recipes with {metal} are shown for arithmetic only"))
        }
        NoConversion::ManyOxides(name) => Diagnostic::error(
            "other-metal",
            format!("`{name}` brings many oxides, no one metal: one for one would change the glaze"),
        )
        .help("`glost swap GLAZE --out MATERIAL --with MATERIAL` works out the whole recipe anew"),
        NoConversion::OtherMetal {
            from: old,
            to: new,
            opacifiers: true,
            ..
        } => Diagnostic::error(
            "other-metal",
            format!("`{from}` brings {old}, `{to}` brings {new}: they don't share a metal"),
        )
        .help(
            "how much whitens as well is no sum, it hangs on grain and glaze: try it on tiles, \
             `glost blend line` between the two whites",
        ),
        NoConversion::OtherMetal {
            from: old,
            to: new,
            instead,
            ..
        } => Diagnostic::error(
            "other-metal",
            format!("`{from}` brings {old}, `{to}` brings {new}: they don't share a metal"),
        )
        .help(if instead.is_empty() {
            format!("no other material here is weighed in for {old}")
        } else {
            format!("for {old} there is: {}", instead.join(", "))
        }),
    }
}
