//! Labels as they are answered.

use glost_chemistry::glaze::Atmosphere;
use std::collections::BTreeMap;

use glost_chemistry::quantity::{Date, Millilitres, WaterPerKilo};
use glost_core::workshop::label::{Hazard, Label, LabelKind, Stamp, Wetness};
use serde::{Serialize, Serializer};

use super::grid::{Ground, LabelGrid};
use crate::{PageFile, Said, lab};

/// Labels, or the sheets that come along.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// The sheets of labels that come along.
    Grids(Vec<LabelGrid>),
    /// Labels.
    Labels(Box<Labels>),
}

impl crate::Answer for Answer {}

/// Labels of one glaze.
#[derive(Debug, Clone, PartialEq)]
pub struct Labels {
    /// Each label.
    pub labels: Vec<OneLabel>,
    /// What they are printed on, where that is asked.
    pub sheet: Option<Sheet>,
    /// The page to print.
    pub page: Option<PageFile>,
    /// The page instead of text.
    pub html: bool,
}

/// One label.
#[derive(Debug, Clone, PartialEq)]
pub struct OneLabel {
    /// What stands on it.
    pub label: Label,
    /// The studio's cup.
    pub cup: Millilitres,
    /// What it is stuck on.
    pub kind: LabelKind,
    /// What the call adds.
    pub stamp: Stamp,
    /// The latest laboratory's report, where one is kept.
    pub laboratory: Option<lab::Brief>,
}

/// How labels lie on their sheets.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// The grid.
    pub grid: LabelGrid,
    /// How many of each label.
    pub copies: usize,
    /// Places at the start of the first sheet that are used already.
    pub skip: usize,
    /// Cut lines around labels, on a sheet of labels too.
    pub outlines: bool,
    /// The recipe's short text for a code; `None` for none.
    pub code_text: Option<String>,
}

/// What a label says in words.
#[derive(Debug, Clone, PartialEq)]
pub enum Saying {
    /// Water for a kilo of powder, with the cup to tell it in.
    Water(WaterPerKilo, Millilitres),
    /// How wet it should be, where the recipe says.
    Density(Option<Wetness>),
    /// What harms.
    Hazard(Hazard),
    /// A metal that no batch is made of, and the material that brings it.
    Locked(&'static str, String),
    /// How powder meets water, and where neither may go.
    PowderIntoWater,
    /// Nothing here clears it for food.
    NotTested,
    /// It holds this metal: not for food, and no test changes that.
    NotForFood(&'static str),
    /// What no bottle may be without.
    NotADrink,
}

#[derive(Serialize)]
#[serde(rename_all = "snake_case")]
enum BareSaying<'a> {
    Water { millilitres_per_kg: f64 },
    Density(&'a Option<Wetness>),
    Hazard(&'a Hazard),
    Locked { metal: &'static str, material: &'a str },
    PowderIntoWater,
    NotTested,
    NotForFood(&'static str),
    NotADrink,
}

impl Serialize for Saying {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match self {
            Saying::Water(water, _) => BareSaying::Water {
                millilitres_per_kg: water.millilitres_per_kg,
            },
            Saying::Density(wetness) => BareSaying::Density(wetness),
            Saying::Hazard(hazard) => BareSaying::Hazard(hazard),
            Saying::Locked(metal, material) => BareSaying::Locked { metal, material },
            Saying::PowderIntoWater => BareSaying::PowderIntoWater,
            Saying::NotTested => BareSaying::NotTested,
            Saying::NotForFood(metal) => BareSaying::NotForFood(metal),
            Saying::NotADrink => BareSaying::NotADrink,
        }
        .serialize(to)
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct Metal {
    metal: &'static str,
    oxide_percent: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ContainerJson<'a> {
    what: &'a str,
    number: u32,
    of: u32,
}

#[derive(Serialize, schemars::JsonSchema)]
struct LabelJson<'a> {
    studio: &'a str,
    glaze: &'a str,
    kind: &'static str,
    version: &'a Option<String>,
    batch: &'a Option<String>,
    #[schemars(with = "Option<String>")]
    on: Option<Date>,
    tile: &'a Option<String>,
    by: &'a Option<String>,
    lots: BTreeMap<&'a str, &'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    container: Option<ContainerJson<'a>>,
    firing: Option<String>,
    atmosphere: Option<&'static str>,
    clay: &'a Option<String>,
    water: Option<Said>,
    density: Said,
    hazards: Vec<Said>,
    metals: Vec<Metal>,
    free_silica_percent: f64,
    unknown: &'a [String],
    food: Said,
    #[serde(skip_serializing_if = "Option::is_none")]
    laboratory: Option<&'a lab::Brief>,
    /// A bottle says so itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    drink: Option<Said>,
    /// The page to print, where it takes the place of the text.
    html: Option<&'a str>,
}

impl OneLabel {
    /// What is said of food where no laboratory speaks.
    pub fn food(&self) -> Saying {
        self.label
            .contents
            .locked()
            .map_or(Saying::NotTested, Saying::NotForFood)
    }
}

impl Serialize for OneLabel {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let (label, stamp) = (&self.label, &self.stamp);
        let contents = &label.contents;
        let metals = contents.metals.iter().map(|(metal, percent)| Metal {
            metal,
            oxide_percent: *percent,
        });
        let hazards = contents.hazards().into_iter();
        LabelJson {
            studio: &label.studio,
            glaze: &label.glaze,
            kind: self.kind.word(),
            version: &stamp.version,
            batch: &stamp.batch,
            on: stamp.day,
            tile: &stamp.code,
            by: &stamp.by,
            lots: stamp
                .lots
                .iter()
                .map(|(name, lot)| (name.as_str(), lot.as_str()))
                .collect(),
            container: stamp.container.as_ref().map(|container| ContainerJson {
                what: &container.what,
                number: container.number,
                of: container.of,
            }),
            firing: label.firing.as_ref().map(ToString::to_string),
            atmosphere: label.atmosphere.map(Atmosphere::word),
            clay: &label.clay,
            water: label.water.map(|water| Said::Label(Saying::Water(water, self.cup))),
            density: Said::Label(Saying::Density(label.wetness)),
            hazards: hazards.map(|hazard| Said::Label(Saying::Hazard(hazard))).collect(),
            metals: metals.collect(),
            free_silica_percent: contents.free_silica_percent,
            unknown: &contents.unknown,
            food: Said::Label(self.food()),
            laboratory: self.laboratory.as_ref(),
            drink: (self.kind == LabelKind::Bottle).then_some(Said::Label(Saying::NotADrink)),
            html: None,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(OneLabel: LabelJson<'_>);

#[derive(Serialize, schemars::JsonSchema)]
struct LabelsJson<'a> {
    #[serde(flatten)]
    first: Option<&'a OneLabel>,
    #[serde(skip_serializing_if = "Option::is_none")]
    tiles: Option<Vec<&'a str>>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct GridsJson<'a> {
    grids: Vec<GridJson<'a>>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct GridJson<'a> {
    size: &'a str,
    paper: &'static str,
    across: usize,
    down: usize,
    width_mm: f64,
    height_mm: f64,
    left_mm: f64,
    top_mm: f64,
    pitch_mm: [f64; 2],
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match self {
            Answer::Grids(grids) => GridsJson {
                grids: grids.iter().map(grid_json).collect(),
            }
            .serialize(to),
            Answer::Labels(labels) => {
                let codes: Vec<&str> = labels
                    .labels
                    .iter()
                    .filter_map(|one| one.stamp.code.as_deref())
                    .collect();
                LabelsJson {
                    first: labels.labels.first(),
                    tiles: (!codes.is_empty()).then_some(codes),
                }
                .serialize(to)
            }
        }
    }
}

crate::wire::written_as!(Answer: GridsJson<'_>, LabelsJson<'_>);

fn grid_json(grid: &LabelGrid) -> GridJson<'_> {
    GridJson {
        size: &grid.size,
        paper: match grid.ground {
            Ground::Labels(paper) => paper.name(),
            Ground::Plain => "any",
        },
        across: grid.across,
        down: grid.down,
        width_mm: grid.width,
        height_mm: grid.height,
        left_mm: grid.left,
        top_mm: grid.top,
        pitch_mm: [grid.pitch_x, grid.pitch_y],
    }
}
