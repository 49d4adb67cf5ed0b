//! A glaze: its recipe, what it is fired to, and its chemistry on demand.

use glost_chemistry::diagnostic::{none_called, of_typed};
use std::sync::{Arc, OnceLock};

use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glass::ExpansionModel;
use glost_chemistry::glaze::{Additions, Atmosphere, FiredChemistry, FluxList, Glaze, NoAnalysis, Use, Ware};
use glost_chemistry::oxides::{Oxide, OxideGrams};
use glost_core::evidence::ware::Clay;
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString};

use crate::bounds;
use crate::failure::Cause;
use crate::scene::{self, Scene};
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::{Trouble, trouble};

use super::materials::find;
use super::variations;
use super::{ClayValue, OxidesValue, PartsValue, no_such_name, or_nothing, text_or_nothing};

type Raised = Box<EvalAltResult>;

/// A glaze as scripts see it.
#[derive(Debug, Clone)]
pub(crate) struct GlazeValue(pub(super) Arc<Body>);

#[derive(Debug)]
pub(super) struct Body {
    pub(super) glaze: Arc<Glaze>,
    pub(super) fluxes: Arc<FluxList>,
    pub(super) clay: Option<Arc<Clay>>,
    pub(super) usage: Option<Use>,
    pub(super) students: bool,
    /// Why a swap proposes it, in its words.
    why: Option<String>,
    analysis: OnceLock<Result<Fired, NoAnalysis>>,
    known_oxides: OnceLock<OxidesValue>,
    batch: OnceLock<PartsValue>,
}

/// What is worked out once, for however many scripts look at it.
#[derive(Debug)]
struct Fired {
    chemistry: FiredChemistry,
    unity: Option<OxidesValue>,
    mole_percent: OnceLock<OxidesValue>,
    weight_percent: OnceLock<OxidesValue>,
}

impl GlazeValue {
    /// A glaze in a scene: on its clay, for its use.
    pub(crate) fn new(glaze: Arc<Glaze>, scene: &Scene) -> GlazeValue {
        GlazeValue::proposed(glaze, scene, None)
    }

    /// A glaze that a swap proposes, with why.
    pub(crate) fn proposed(glaze: Arc<Glaze>, scene: &Scene, why: Option<String>) -> GlazeValue {
        let own_clay = glaze.about.clay.as_deref();
        let own_clay = own_clay.and_then(|name| {
            let mut clays = scene.clays.iter();
            let filed = clays.find(|clay| clay.name.eq_ignore_ascii_case(name)).cloned();
            let noted = || scene.notebook.as_ref()?.noted_clay(name).map(Arc::new);
            filed.or_else(noted)
        });
        let usage = scene.usage.or(glaze.about.usage);
        GlazeValue(Arc::new(Body {
            usage,
            students: scene.students,
            why,
            glaze,
            fluxes: scene.fluxes.clone(),
            clay: scene.clay.clone().or(own_clay),
            analysis: OnceLock::new(),
            known_oxides: OnceLock::new(),
            batch: OnceLock::new(),
        }))
    }

    pub(crate) fn name(&self) -> &str {
        &self.0.glaze.name
    }

    pub(crate) fn recipe(&self) -> &Arc<Glaze> {
        &self.0.glaze
    }

    fn fired(&self) -> Result<&Fired, Raised> {
        let fired = self.0.analysis.get_or_init(|| {
            let chemistry = FiredChemistry::of(&self.0.glaze, &self.0.fluxes, Additions::In)?;
            let unity = chemistry
                .unity
                .as_ref()
                .map(|unity| OxidesValue::new(unity.as_slice(), &self.0.fluxes));
            Ok(Fired {
                chemistry,
                unity,
                mole_percent: OnceLock::new(),
                weight_percent: OnceLock::new(),
            })
        });
        fired.as_ref().map_err(unknown_analysis)
    }

    pub(crate) fn chemistry(&self) -> Result<&FiredChemistry, Raised> {
        Ok(&self.fired()?.chemistry)
    }

    pub(crate) fn unity(&self) -> Result<OxidesValue, Raised> {
        self.fired()?.unity.clone().ok_or_else(|| {
            Trouble::new(
                "no-flux",
                of_typed(self.name(), "has no flux, so it has no unity formula"),
            )
            .help("`glaze.mole_percent` and `glaze.weight_percent` still tell what is in it")
            .raise()
        })
    }

    /// Whether the analysis of everything in it is known.
    pub(crate) fn is_known(&self) -> bool {
        let mut portions = self.0.glaze.portions();
        !portions.any(|portion| portion.percent > 0.0 && portion.material.fired.is_none())
    }

    /// Whether there is any of these in what is known of it.
    pub(crate) fn holds_any(&self, oxides: &[Oxide]) -> bool {
        if oxides.is_empty() {
            return false;
        }
        let known = self.known_oxides();
        oxides.iter().any(|oxide| known.get(*oxide) > 0.0)
    }

    pub(super) fn mole_percent(&self) -> Result<&OxidesValue, Raised> {
        let fired = self.fired()?;
        let percent = || OxidesValue::new(fired.chemistry.mole_percent().as_slice(), &self.0.fluxes);
        Ok(fired.mole_percent.get_or_init(percent))
    }

    pub(super) fn weight_percent(&self) -> Result<&OxidesValue, Raised> {
        let fired = self.fired()?;
        let percent = || OxidesValue::new(fired.chemistry.weight_percent().as_slice(), &self.0.fluxes);
        Ok(fired.weight_percent.get_or_init(percent))
    }

    pub(super) fn known_oxides(&self) -> &OxidesValue {
        let work = || {
            let mut grams = OxideGrams::ZERO;
            for portion in self.0.glaze.portions() {
                if let Some(fired) = &portion.material.fired {
                    grams.add_scaled(portion.percent.max(0.0) / 100.0, &fired.oxides);
                }
            }
            OxidesValue::new(grams.as_slice(), &self.0.fluxes)
        };
        self.0.known_oxides.get_or_init(work)
    }

    pub(super) fn changed(&self, glaze: Glaze) -> GlazeValue {
        GlazeValue(Arc::new(Body {
            glaze: Arc::new(glaze),
            fluxes: self.0.fluxes.clone(),
            clay: self.0.clay.clone(),
            usage: self.0.usage,
            students: self.0.students,
            // The reason was given for the recipe as it was.
            why: None,
            analysis: OnceLock::new(),
            known_oxides: OnceLock::new(),
            batch: OnceLock::new(),
        }))
    }

    /// What others are measured against.
    pub(super) fn yardstick(&self) -> Result<ChemistryDistance, Raised> {
        match &self.chemistry()?.unity {
            Some(unity) => Ok(ChemistryDistance::new(unity, &self.0.fluxes)),
            None => Err(trouble("no-flux", "a glaze without flux can't be compared")),
        }
    }

    pub(super) fn distance(&self, other: &GlazeValue) -> Result<f64, Raised> {
        bounds::charge_or_end(50)?;
        let yardstick = self.yardstick()?;
        other.unity()?;
        Ok(yardstick.distance(&other.chemistry()?.moles))
    }
}

/// The error for chemistry that can't be told.
pub(crate) fn unknown_analysis(why: &NoAnalysis) -> Raised {
    match why {
        NoAnalysis::Unknown(names) => {
            let mut trouble = Trouble::new(
                "unknown-analysis",
                format!(
                    "nobody tells what is in {}, so its chemistry can't be checked",
                    names.join(", ")
                ),
            )
            .help("ask the supplier for an analysis; `glaze.known` asks whether there is one");
            trouble.cause = names.first().cloned().map(Cause::UnknownMaterial);
            trouble.raise()
        }
        NoAnalysis::NothingLeft => trouble("nothing-left", "nothing of this glaze is left after firing"),
    }
}

/// Every property and method of a glaze, for suggestions.
fn names() -> impl Iterator<Item = &'static str> {
    crate::reference::names_of(Sort::Glaze)
}

pub(super) fn register(shelf: &mut Shelf) {
    shelf.module.set_custom_type::<GlazeValue>(Sort::Glaze.words());
    about(shelf);
    recipe(shelf);
    chemistry(shelf);
    variations::register(shelf);
    shelf.silent(
        "index$get$",
        |_: &mut GlazeValue, name: &str| -> Result<Dynamic, Raised> { Err(no_such_name(Sort::Glaze, name, names())) },
    );
}

fn about(shelf: &mut Shelf) {
    shelf.add(
        Entry::property(Sort::Glaze, "name", Sort::Text, "Its name."),
        |glaze: &mut GlazeValue| ImmutableString::from(glaze.name()),
    );
    let mut text = |name: &'static str, about: &'static str, of: fn(&Body) -> Option<&str>| {
        shelf.add(
            Entry::property(Sort::Glaze, name, Sort::Text, about),
            move |glaze: &mut GlazeValue| text_or_nothing(of(&glaze.0)),
        );
    };
    text(
        "cone",
        "Its cone as a text, \"04\" or \"6\"; `()` where none is given.",
        |body| body.glaze.about.cone.as_deref(),
    );
    text(
        "atmosphere",
        "oxidation, reduction or neutral; `()` where it isn't given.",
        |body| body.glaze.about.atmosphere.map(Atmosphere::word),
    );
    text(
        "ware",
        "raw where ware and glaze are fired once, biscuit; `()` where it isn't given.",
        |body| body.glaze.about.ware.map(Ware::word),
    );
    text("firing", "The name of its firing; `()` where none is given.", |body| {
        body.glaze.about.firing.as_deref()
    });
    text("notes", "Free text; `()` where there is none.", |body| {
        body.glaze.about.notes.as_deref()
    });
    text(
        "why",
        "Why a swap proposes it, in its words, as `t.swap` gives it to a test; `()` where it doesn't say.",
        |body| body.why.as_deref(),
    );
    text(
        "use",
        "What it is for (tableware, wall tile, floor, outdoor, decorative), as asked or as its file says; `()` where nobody says.",
        |body| body.usage.map(Use::word),
    );
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "students",
            Sort::YesNo,
            "Whether students work in this studio (`students: yes` in studio.yaml).",
        ),
        |glaze: &mut GlazeValue| glaze.0.students,
    );
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "peak",
            Sort::Number,
            "Its peak temperature in degrees Celsius; `()` where none is given.",
        ),
        |glaze: &mut GlazeValue| or_nothing(glaze.0.glaze.about.peak.map(|peak| peak.celsius())),
    );
    shelf.add(
        Entry::property(Sort::Glaze, "has_clay", Sort::YesNo, "Whether its clay is known here."),
        |glaze: &mut GlazeValue| glaze.0.clay.is_some(),
    );
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "clay",
            Sort::Clay,
            "The clay it goes on; an error where that isn't known, see `has_clay`.",
        ),
        |glaze: &mut GlazeValue| -> Result<ClayValue, Raised> {
            let clay = glaze.0.clay.clone().ok_or_else(|| {
                Trouble::new("no-clay", format!("the clay of `{}` isn't known here", glaze.name()))
                    .help("name one with `--clay`, or in the glaze's file; `glaze.has_clay` asks")
                    .raise()
            })?;
            Ok(ClayValue(clay))
        },
    );
}

fn recipe(shelf: &mut Shelf) {
    let mut parts = |name: &'static str, about: &'static str, of: fn(&Body) -> PartsValue| {
        shelf.add(
            Entry::property(Sort::Glaze, name, Sort::Parts, about),
            move |glaze: &mut GlazeValue| of(&glaze.0),
        );
    };
    parts("parts", "The base: its lines sum to 100.", |body| {
        PartsValue::base(&body.glaze)
    });
    parts("additions", "What comes on top, in per cent of the base.", |body| {
        PartsValue::additions(&body.glaze)
    });
    parts("batch", "Base and additions, one after the other.", |body| {
        body.batch.get_or_init(|| PartsValue::batch(&body.glaze)).clone()
    });
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "known",
            Sort::YesNo,
            "Whether the analysis of everything in it is known.",
        ),
        |glaze: &mut GlazeValue| glaze.is_known(),
    );
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "unknown",
            Sort::List(&Sort::Text),
            "The materials in it whose analysis nobody tells.",
        ),
        |glaze: &mut GlazeValue| -> Array {
            let names = glaze.0.glaze.unknown_materials();
            names
                .into_iter()
                .map(|name| Dynamic::from(ImmutableString::from(name)))
                .collect()
        },
    );
    shelf.add(
        Entry::method(
            Sort::Glaze,
            "holds",
            "material",
            Sort::YesNo,
            "Whether a material is weighed into it.",
        )
        .example("glaze.holds(\"whiting\")"),
        |glaze: &mut GlazeValue, name: &str| -> Result<bool, Raised> { Ok(glaze.0.glaze.holds(&*find(name)?)) },
    );
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "raw_clay",
            Sort::Number,
            "Raw clay in wt % of the dry batch with its additions.",
        ),
        |glaze: &mut GlazeValue| glaze.0.glaze.raw_clay_percent(),
    );
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "fluorine",
            Sort::Number,
            "Fluorine in wt % of the dry batch with its additions: it leaves on firing, as hydrogen fluoride.",
        ),
        |glaze: &mut GlazeValue| glaze.0.glaze.fluorine_percent(),
    );
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "soluble",
            Sort::Number,
            "Soluble materials in wt % of the dry batch with its additions.",
        ),
        |glaze: &mut GlazeValue| glaze.0.glaze.soluble_percent(),
    );
}

fn chemistry(shelf: &mut Shelf) {
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "unity",
            Sort::Oxides,
            "Its unity formula: moles, the fluxes summing to 1.",
        ),
        |glaze: &mut GlazeValue| glaze.unity(),
    );
    shelf.add(
        Entry::property(Sort::Glaze, "mole_percent", Sort::Oxides, "The fired glaze in mol %."),
        |glaze: &mut GlazeValue| glaze.mole_percent().cloned(),
    );
    shelf.add(
        Entry::property(Sort::Glaze, "weight_percent", Sort::Oxides, "The fired glaze in wt %."),
        |glaze: &mut GlazeValue| glaze.weight_percent().cloned(),
    );
    shelf.add(
        Entry::property(Sort::Glaze, "known_oxides", Sort::Oxides, "Fired oxides in grams for 100 g of base with its additions, from what is known; what nobody tells is left out, see `unknown`."),
        |glaze: &mut GlazeValue| glaze.known_oxides().clone(),
    );
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "loss_on_ignition",
            Sort::Number,
            "Loss on ignition in wt % of the dry batch with its additions.",
        ),
        |glaze: &mut GlazeValue| -> Result<f64, Raised> { Ok(glaze.chemistry()?.loss_on_ignition_percent) },
    );
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "flux_moles",
            Sort::Number,
            "Moles of all fluxes together in 100 g of base with its additions.",
        ),
        |glaze: &mut GlazeValue| -> Result<f64, Raised> { Ok(glaze.0.fluxes.moles(&glaze.chemistry()?.moles)) },
    );
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "expansion",
            Sort::Number,
            "Its expansion by the default model, 1e-6/K over 20-400 C; `()` where the model has nothing to say.",
        )
        .example("glaze.expansion > 0"),
        |glaze: &mut GlazeValue| -> Result<Dynamic, Raised> {
            let moles = &glaze.chemistry()?.moles;
            Ok(or_nothing(ExpansionModel::default().value(moles)))
        },
    );
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "silica_to_alumina",
            Sort::Number,
            "SiO2:Al2O3 by moles; `()` without alumina.",
        ),
        |glaze: &mut GlazeValue| -> Result<Dynamic, Raised> { Ok(or_nothing(glaze.chemistry()?.silica_to_alumina)) },
    );
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "alkali_share",
            Sort::Number,
            "Li2O, Na2O and K2O as a share of all fluxes, 0 to 1; `()` without flux.",
        ),
        |glaze: &mut GlazeValue| -> Result<Dynamic, Raised> { Ok(or_nothing(glaze.chemistry()?.alkali_share)) },
    );
}

/// The glaze of this name in the scene.
pub(crate) fn find_glaze(name: &str) -> Result<GlazeValue, Raised> {
    let scene = scene::scene()?;
    let found = scene.glazes.iter().find(|glaze| glaze.name.eq_ignore_ascii_case(name));
    match found {
        Some(glaze) => Ok(GlazeValue::new(glaze.clone(), &scene)),
        None => Err(Trouble::new("unknown-glaze", none_called("glaze here", name))
            .maybe_help(glost_chemistry::diagnostic::suggestion(
                name,
                scene.glazes.iter().map(|glaze| glaze.name.as_str()),
            ))
            .raise()),
    }
}
