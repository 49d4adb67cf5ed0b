//! A plan of test tiles between glazes.

mod design;
mod json;
mod save;

use std::path::PathBuf;
use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Glaze;
use glost_chemistry::quantity::{Grams, GramsPerMillilitre, Millilitres, SlurryDensity, parse_number};
use glost_core::rules::Signature;
use glost_core::tiles::blend::{BlendPlan, PlanOrder, Syringe, Way, additions_of_equal_totals, plan, same_base};
use glost_core::workshop::scales::{Scales, parse_scales};
use glost_studio::{FoundEnd, already_there, is_there};

use crate::by_hand::{self, Planned};
use crate::rulebook::{Rulebook, scene};
use crate::wire::Signed;
use crate::words::{bad_option, count};
use crate::{Desk, Failure, PageFile, Words};

/// Base for one tile, unless said.
pub const DRY: &str = "100 g";
/// What `--steps` says where no number follows: the sum is shown.
pub const BY_HAND: &str = "by hand";
/// Density in g/ml of a slurry where none is said.
const USUAL_DENSITY: f64 = 1.45;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The design.
    pub kind: String,
    /// Files, names or materials at the ends.
    pub ends: Vec<String>,
    /// How many tiles a line or series has; steps a side of a triangle.
    pub steps: Option<usize>,
    /// Rows of a grid.
    pub rows: Option<usize>,
    /// Columns of a grid.
    pub columns: Option<usize>,
    /// How many tiles to choose from a region's points.
    pub tiles: Option<usize>,
    /// Bounds on shares, as written.
    pub within: Vec<String>,
    /// Materials that may come into solved recipes.
    pub with: Vec<String>,
    /// What a series adds, as written: materials are looked up where the first end is.
    pub add: Vec<String>,
    /// A blend script instead of the one named after the design.
    pub script: Option<String>,
    /// Base for one tile.
    pub dry: Grams,
    /// Slurry for one tile, as written: the studio of the first end says what a cup is.
    pub volume: Option<String>,
    /// What slurry is measured with, as written: an end that isn't there is told first.
    pub syringe: Option<String>,
    /// Other scales than the studio's.
    pub scales: Option<Scales>,
    /// Name of limits to hold tiles against.
    pub limits: Option<String>,
    /// How many students share the tiles.
    pub students: Option<usize>,
    /// The name to keep the plan under.
    pub save: Option<String>,
    /// The call as it was made, for whoever reads the saved plan.
    pub call: String,
    /// Where map, sheets and labels go, as written: what can't be planned is told first.
    pub page: Option<String>,
    /// Where a blank result sheet goes.
    pub sheet: Option<PathBuf>,
    /// Density of the slurry, g/ml.
    pub slurry_grams_per_millilitre: Option<f64>,
    /// Options of the script, `name=value`.
    pub set: Vec<String>,
    /// Whether the sum is shown as one does it by hand.
    pub by_hand: bool,
}

impl crate::Question for Question {
    type Answer = Answer;

    /// `call` is the call as it was made.
    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            dry: words.or("dry", DRY).weight("dry")?,
            slurry_grams_per_millilitre: words.text("density").map(density).transpose()?,
            kind: words.required("kind")?.to_owned(),
            ends: words.list("ends").to_vec(),
            steps: steps(words)?,
            rows: words.count("rows")?,
            columns: words.count("columns")?,
            tiles: words.count("tiles")?,
            within: words.list("within").to_vec(),
            with: words.list("with").to_vec(),
            add: words.list("add").to_vec(),
            script: words.owned("script"),
            volume: words.owned("volume"),
            scales: words.read("scales", parse_scales)?,
            syringe: words.owned("syringe"),
            limits: words.owned("limits"),
            students: words.count("students")?,
            save: words.text("save").map(|name| name.trim().to_owned()),
            call: words.text("call").unwrap_or("").to_owned(),
            page: words.owned("page"),
            sheet: words.text("sheet").map(PathBuf::from),
            set: words.list("set").to_vec(),
            by_hand: words.flag("by-hand") || words.list("steps").iter().any(|said| said == BY_HAND),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let mut answer = self.planned(desk)?;
        answer.page = self.page.as_deref().map(PageFile::of).transpose()?;
        let files = answer.page.iter().map(|page| &page.path).chain(&self.sheet);
        if let Some(taken) = files.into_iter().find(|file| is_there(file)) {
            return Err(already_there(taken).into());
        }
        if let Some(name) = &self.save {
            let text = save::file(&answer, name, desk.today()?, &self.call)?;
            answer.saved_at = Some(desk.workplace().save_plan(name, &text)?);
        }
        Ok(answer)
    }

    /// A plan isn't kept before its pages are known to fit.
    fn rehearsal(&self) -> Option<Question> {
        let kept = self.save.is_some() && self.page.is_some();
        kept.then(|| Question {
            save: None,
            ..self.clone()
        })
    }
}

impl Question {
    fn planned(&self, desk: &Desk) -> Result<Answer, Failure> {
        let workplace = desk.workplace();
        let ends: Vec<FoundEnd> = self
            .ends
            .iter()
            .map(|end| Ok(workplace.end(end)?))
            .collect::<Result<_, Failure>>()?;
        desk.tell_where();
        let Some(first) = ends.first() else {
            return Err(Diagnostic::error("bad-call", "a blend needs glazes at its ends").into());
        };
        let volume = self
            .volume
            .as_deref()
            .map(|text| volume(text, first.settings.cup))
            .transpose()?;
        let book = Rulebook::open(workplace, &first.settings)?;
        let scene = book.with_limits(scene(&first.library, &first.settings, &first.origin, None, None));
        let design = design::design(self, desk, &book, &scene, &ends)?;
        let scales = self.scales.unwrap_or(first.settings.scales);
        // What the first end's own file says to mix to.
        let own_density = first.glaze.about.density_grams_per_millilitre;
        let order = PlanOrder {
            kind: self.kind.clone(),
            ends: design.ends,
            tiles: design.tiles,
            shape: design.shape,
            rows: design.rows,
            notes: design.notes,
            dry_grams: self.dry.grams(),
            volume_millilitres: volume.map(Millilitres::millilitres),
            slurry_grams_per_millilitre: self
                .slurry_grams_per_millilitre
                .or(own_density)
                .unwrap_or(USUAL_DENSITY),
            syringe: self.syringe(volume)?,
            limits: self.limits.clone(),
            fluxes: &first.settings.fluxes,
            scales,
        };
        self.students_fit(order.tiles.len())?;
        let printed = book.printed.clone();
        let rules = book.rules(scene);
        let plan = plan(&order, Some(&rules.as_rules()));
        desk.printed(printed.take());
        Ok(self.answer(plan?, order, design.signed))
    }

    fn answer(&self, plan: BlendPlan, order: PlanOrder<'_>, signed: Arc<Signature>) -> Answer {
        let wet = plan.way != Way::Dry;
        let tiles = plan.tiles.iter().filter(|_| wet);
        let name = self.save.clone();
        let steps = self.by_hand.then(|| {
            by_hand::of_plan(Planned {
                plan: &plan,
                ends: &order.ends,
                dry_grams: order.dry_grams,
                volume_millilitres: order.volume_millilitres,
                density: order.slurry_grams_per_millilitre,
            })
        });
        Answer {
            steps,
            equal_totals: tiles
                .map(|tile| additions_of_equal_totals(&order.ends, &tile.shares))
                .collect(),
            students: self.students.map(|students| shared(&plan, students)),
            density: order.volume_millilitres.map(|_| order.slurry_grams_per_millilitre),
            dry_grams: order.dry_grams,
            volume_millilitres: order.volume_millilitres,
            step_grams: order.scales.reads_to.grams(),
            ends: order.ends,
            plan,
            name,
            saved_at: None,
            page: None,
            sheet: self.sheet.clone(),
            signed: Signed(signed),
        }
    }

    fn syringe(&self, volume: Option<Millilitres>) -> Result<Syringe, Diagnostic> {
        let named = self.syringe.as_deref().map(Syringe::parse).transpose()?;
        if named.is_some() && volume.is_none() {
            return Err(
                Diagnostic::error("bad-call", "--syringe measures slurry, and nothing is blended wet here")
                    .help("say how much slurry a tile takes: --volume \"30 ml\""),
            );
        }
        let syringe = named.unwrap_or_else(Syringe::default);
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

    fn students_fit(&self, tiles: usize) -> Result<(), Diagnostic> {
        match self.students {
            Some(students) if students == 0 || students > tiles => Err(Diagnostic::error(
                "bad-option",
                format!("--students: {tiles} tiles can't be shared among {students}"),
            )
            .help("each student makes one tile at least; take more steps, or let them work in pairs")),
            _ => Ok(()),
        }
    }
}

/// A plan of test tiles.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The plan.
    pub plan: BlendPlan,
    /// The glazes at its ends.
    pub ends: Vec<Glaze>,
    /// Grams of base a tile.
    pub dry_grams: f64,
    /// Millilitres a tile, where blended wet.
    pub volume_millilitres: Option<f64>,
    /// Density to bring all ends to, g/ml, where they are blended by volume.
    pub density: Option<f64>,
    /// The step of the scales in grams.
    pub step_grams: f64,
    /// Codes for each student, where students share the tiles.
    pub students: Option<Vec<Vec<String>>>,
    /// Of each tile that is blended wet, its additions in per cent were the ends made to equal
    /// total dry weight.
    pub equal_totals: Vec<Vec<(String, f64)>>,
    /// The plan's name, where it is to be kept.
    pub name: Option<String>,
    /// Where it was kept.
    pub saved_at: Option<PathBuf>,
    /// Where map, sheets and labels go.
    pub page: Option<PageFile>,
    /// Where a blank result sheet goes.
    pub sheet: Option<PathBuf>,
    /// The design's very text.
    pub signed: Signed,
    /// The sum as one does it by hand, where it is asked for.
    pub steps: Option<Vec<by_hand::Line>>,
}

impl crate::Answer for Answer {}

impl Answer {
    /// An end whose base is that of all ends, and so of all tiles.
    pub fn one_base(&self) -> Option<&Glaze> {
        let (first, others) = self.ends.split_first()?;
        others.iter().all(|end| same_base(first, end)).then_some(first)
    }

    /// Whether slurries are blended.
    pub fn is_wet(&self) -> bool {
        self.plan.way != Way::Dry
    }
}

/// Codes for each student, neighbours together; the first ones take what is over.
fn shared(plan: &BlendPlan, students: usize) -> Vec<Vec<String>> {
    let count = plan.tiles.len();
    let students = students.clamp(1, count.max(1));
    let (each, over) = (count / students, count % students);
    let mut rest = plan.tiles.iter().map(|tile| tile.code.clone());
    (0..students)
        .map(|student| rest.by_ref().take(each + usize::from(student < over)).collect())
        .collect()
}

/// How many steps; the word without a number asks for something else.
fn steps(words: &Words) -> Result<Option<usize>, Diagnostic> {
    let said = words.list("steps").iter().rfind(|said| *said != BY_HAND);
    said.map(|said| count("steps", said)).transpose()
}

fn volume(text: &str, cup: Millilitres) -> Result<Millilitres, Diagnostic> {
    let volume = Millilitres::parse(text, cup).map_err(|bad| bad_option("volume", bad))?;
    if volume.millilitres() <= 0.0 {
        return Err(
            Diagnostic::error("bad-option", format!("--volume: `{text}` is nothing"))
                .help("a 7 cm tile is dipped in 20 to 30 ml: --volume \"30 ml\""),
        );
    }
    Ok(volume)
}

fn density(text: &str) -> Result<f64, Diagnostic> {
    let density = parse_number(text).map_err(|bad| bad_option("density", bad))?.value;
    if GramsPerMillilitre::new(density).and_then(SlurryDensity::new).is_none() {
        return Err(
            Diagnostic::error("bad-option", format!("--density: {text} g/ml is no glaze slurry"))
                .help("between 1.05 and 2.2; most are 1.3 to 1.7, water is 1.0"),
        );
    }
    Ok(density)
}
