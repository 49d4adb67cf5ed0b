//! Which recipe a note is about, seen from today.

use std::collections::HashMap;
use std::sync::{Arc, OnceLock};

use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::Material;
use glost_chemistry::quantity::Date;
use glost_chemistry::read::folded;

use super::change::Change;
use super::note::Note;
use super::version::{Version, VersionMaterial};
use super::versions::Versions;

/// What the recipe of a note is to the recipe of today.
#[derive(Debug, Clone, PartialEq)]
pub enum RecipeStanding {
    /// The recipe of today.
    Today,
    /// An older one: what has changed since.
    Older(Vec<Change>),
    /// The note names no version, so the recipe of today is meant.
    Unsaid,
    /// The note names a version that nobody recorded.
    Unrecorded,
    /// The glaze has no file any more, or the note names none.
    NoRecipe,
}

/// The recipes of today, one a glaze; what each holds is worked out when it is first asked for.
#[derive(Debug, Clone, Default)]
pub struct TodaysRecipes {
    today: Option<Date>,
    recipes: Vec<(Arc<Glaze>, OnceLock<Box<Recipe>>)>,
    /// Where the first of each name stands, by the name folded.
    places: HashMap<String, usize>,
}

#[derive(Debug, Clone)]
struct Recipe {
    version: Version,
    /// Materials with several open lots, each lot as it would be weighed.
    open: Vec<VersionMaterial>,
}

impl TodaysRecipes {
    /// Of these glazes.
    pub fn of(glazes: impl IntoIterator<Item = Arc<Glaze>>, today: Date) -> TodaysRecipes {
        let mut recipes = TodaysRecipes {
            today: Some(today),
            ..TodaysRecipes::default()
        };
        for glaze in glazes {
            let place = recipes.recipes.len();
            recipes.places.entry(folded(&glaze.name)).or_insert(place);
            recipes.recipes.push((glaze, OnceLock::new()));
        }
        recipes
    }

    /// The recipe of a glaze.
    pub fn get(&self, glaze: &str) -> Option<&Version> {
        self.recipe(glaze).map(|recipe| &recipe.version)
    }

    fn recipe(&self, glaze: &str) -> Option<&Recipe> {
        let (glaze, recipe) = self.recipes.get(*self.places.get(&folded(glaze))?)?;
        let today = self.today?;
        let worked = recipe.get_or_init(|| {
            Box::new(Recipe {
                version: Version::of(glaze, "today", today),
                open: open_lots(glaze),
            })
        });
        Some(worked)
    }

    /// What the recipe of a note is to today's.
    pub fn standing(&self, note: &Note, versions: &Versions) -> RecipeStanding {
        let Some(glaze) = note.glaze.as_deref() else {
            return RecipeStanding::NoRecipe;
        };
        let recorded = note.version.as_deref().map(|version| versions.get(glaze, version));
        match (self.recipe(glaze), recorded) {
            (None, _) => RecipeStanding::NoRecipe,
            (Some(_), None) => RecipeStanding::Unsaid,
            (Some(_), Some(None)) => RecipeStanding::Unrecorded,
            (Some(today), Some(Some(version))) => {
                let changes = today.changes_since(version);
                if changes.is_empty() {
                    RecipeStanding::Today
                } else {
                    RecipeStanding::Older(changes)
                }
            }
        }
    }
}

/// Standings worked out once for each glaze and version, for many notes.
#[derive(Debug)]
pub struct Standings<'a> {
    recipes: &'a TodaysRecipes,
    versions: &'a Versions,
    known: HashMap<(Option<&'a str>, Option<&'a str>), RecipeStanding>,
}

impl<'a> Standings<'a> {
    /// Of these recipes and versions.
    pub fn of(recipes: &'a TodaysRecipes, versions: &'a Versions) -> Standings<'a> {
        Standings {
            recipes,
            versions,
            known: HashMap::new(),
        }
    }

    /// What the recipe of a note is to today's.
    pub fn standing(&mut self, note: &'a Note) -> &RecipeStanding {
        let named = (note.glaze.as_deref(), note.version.as_deref());
        let (recipes, versions) = (self.recipes, self.versions);
        self.known
            .entry(named)
            .or_insert_with(|| recipes.standing(note, versions))
    }
}

impl Recipe {
    /// What has changed since a version; a lot that stands open beside the one that is taken
    /// first, on the same sheet as then, is today's too.
    fn changes_since(&self, version: &Version) -> Vec<Change> {
        let mut changes = version.changes_to(&self.version);
        changes.retain(|change| match change {
            Change::Lot { material, .. } => !self.open.iter().any(|open| {
                let then = version
                    .materials
                    .iter()
                    .find(|then| folded(&then.name) == folded(material));
                folded(&open.name) == folded(material) && then.is_some_and(|then| then.is_same_lot(open))
            }),
            _ => true,
        });
        changes
    }
}

fn open_lots(glaze: &Glaze) -> Vec<VersionMaterial> {
    let held = glaze.portions().filter(|portion| portion.percent > 0.0);
    let of = |material: &Material| -> Vec<VersionMaterial> {
        let lots = material.open_lots.iter();
        lots.map(|lot| VersionMaterial::of(&material.out_of(lot))).collect()
    };
    held.flat_map(|portion| of(&portion.material)).collect()
}

/// Which version a note of a glaze belongs to.
#[derive(Debug, Clone, PartialEq)]
pub enum Belongs {
    /// To one that is recorded.
    To(Version),
    /// To one that has to be recorded first.
    ToNew(Version),
}

impl Belongs {
    /// The version.
    pub fn version(&self) -> &Version {
        match self {
            Belongs::To(version) | Belongs::ToNew(version) => version,
        }
    }
}

impl Versions {
    /// The version that a note of this glaze belongs to: the one `named`, else
    /// the one that the recipe is. A recipe that no record holds is a new version.
    ///
    /// # Errors
    /// `named` isn't recorded and the recipe is recorded under another name:
    /// that record.
    pub fn place(&self, glaze: &Glaze, named: Option<&str>, on: Date) -> Result<Belongs, Box<Version>> {
        let next = self.next_name(&glaze.name);
        let recipe = Version::of(glaze, named.unwrap_or(&next), on);
        if let Some(found) = named.and_then(|name| self.get(&glaze.name, name)) {
            return Ok(Belongs::To(found.clone()));
        }
        match (self.same_as(&recipe), named) {
            (Some(found), None) => Ok(Belongs::To(found.clone())),
            (Some(found), Some(_)) => Err(Box::new(found.clone())),
            (None, _) => Ok(Belongs::ToNew(recipe)),
        }
    }
}
