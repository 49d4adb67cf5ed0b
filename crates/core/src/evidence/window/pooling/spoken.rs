//! What a note speaks of: a glaze, a version of it, or a step of a ladder.

use std::sync::Arc;

use crate::evidence::notes::{Change, Note, Version};
use glost_chemistry::diagnostic::nearest;
use glost_chemistry::glaze::Glaze;
use glost_chemistry::read::folded;

use super::super::evidence::WhyNot;
use super::super::ladder::{step_of_name, with_step};
use super::super::look::{Known, Step};
use super::super::said::FitSaid;
use super::{Called, Member, Pool, Spoken, member_of};

impl Pool<'_> {
    /// What a note speaks of: looked up once for each name and version.
    pub(super) fn spoken_of(&mut self, note: &Note) -> Result<Arc<Spoken>, WhyNot> {
        let name = match (&note.glaze, &note.tile) {
            // A tile of a plan says more than the glaze it is noted under.
            (_, Some(tile)) if self.tile(&folded(tile)).is_some() => Called::Tile(folded(tile)),
            (Some(glaze), _) => Called::Glaze(folded(glaze)),
            (None, _) => return Err(WhyNot::UntoldTile),
        };
        let key = (name, note.version.as_deref().map(folded));
        if let Some(known) = self.kept.spoken.get(&key) {
            return known.clone();
        }
        let spoken = match (&key.0, &note.glaze) {
            (Called::Tile(tile), _) => self.of_tile(tile),
            (Called::Glaze(_), Some(glaze)) => self.of_glaze(glaze, note.version.as_deref()),
            (Called::Glaze(_), None) => Err(WhyNot::UntoldTile),
        };
        let spoken = spoken.map(Arc::new);
        self.kept().spoken.insert(key, spoken.clone());
        spoken
    }

    pub(super) fn of_tile(&mut self, code: &str) -> Result<Spoken, WhyNot> {
        let Some(tile) = self.tile(code) else {
            return Err(WhyNot::UntoldTile);
        };
        if let Some(own) = &tile.own {
            let recipe = own.glaze(&tile.tile, self.book.library).ok_or(WhyNot::UntoldTile)?;
            return Ok(Spoken {
                base: tile.tile.clone(),
                member: Member::Base,
                step: None,
                version: None,
                lots_from: Some(recipe.clone()),
                recipe: Some(recipe),
            });
        }
        let today = self.glaze(&folded(&tile.base)).cloned();
        let recipe = match (&today, &tile.step) {
            (Some(base), Some(step)) => with_step(base, step, self.book.library),
            (today, None) => today.clone(),
            (None, Some(_)) => None,
        };
        // Of which bag the tile was weighed, where the powder has another one by now.
        let lots_from = today.map(|mut glaze| {
            let was: Vec<_> = tile
                .materials
                .iter()
                .filter_map(|name| self.book.library.find(name).cloned())
                .collect();
            if let ([only], [weighed]) = (glaze.base.as_mut_slice(), was.as_slice()) {
                only.material = weighed.clone();
            }
            glaze
        });
        Ok(Spoken {
            base: tile.base.clone(),
            member: member_of(tile.step.as_ref()),
            step: tile.step.clone(),
            version: None,
            recipe,
            lots_from,
        })
    }

    pub(super) fn of_glaze(&mut self, name: &str, version: Option<&str>) -> Result<Spoken, WhyNot> {
        if let Some((base, step)) = self.step_of(name) {
            let base_glaze = self.glaze(&folded(&base)).cloned();
            let recipe = base_glaze
                .as_ref()
                .and_then(|glaze| with_step(glaze, &step, self.book.library));
            return Ok(Spoken {
                base,
                member: member_of(Some(&step)),
                step: Some(step),
                version: None,
                recipe,
                lots_from: base_glaze,
            });
        }
        let spoken = |recipe: Option<Glaze>, version: Option<String>| Spoken {
            base: recipe
                .as_ref()
                .map_or_else(|| name.to_owned(), |glaze| glaze.name.clone()),
            member: version
                .as_ref()
                .map_or(Member::Base, |version| Member::Version(folded(version))),
            step: None,
            version,
            lots_from: recipe.clone(),
            recipe,
        };
        let Some(today) = self.glaze(&folded(name)) else {
            let then = version.and_then(|version| self.book.versions.get(name, version));
            if then.is_none() {
                self.say_untold(name);
            }
            return Ok(spoken(then.map(Version::glaze), then.map(|then| then.version.clone())));
        };
        let Some(version) = version else {
            if !self.kept.unversioned.contains(&today.name) {
                self.kept().unversioned.push(today.name.clone());
            }
            return Ok(spoken(Some(today.clone()), None));
        };
        let Some(then) = self.book.versions.get(name, version) else {
            if self.book.versions.of(name).next().is_some() {
                return Err(WhyNot::UnrecordedVersion(version.to_owned()));
            }
            // Of each name and version once.
            let (glaze, version) = (today.name.clone(), version.to_owned());
            self.kept().said.push(FitSaid::NoVersions { glaze, version });
            return Ok(spoken(Some(today.clone()), None));
        };
        let mut found = spoken(Some(then.glaze()), Some(then.version.clone()));
        if self.only_lots_differ(then, today) {
            found.member = Member::Base;
            found.version = None;
            found.recipe = Some(today.clone());
        }
        Ok(found)
    }

    /// A name such as `bought clear + 3 % silica` whose beginning is a glaze that is known.
    pub(super) fn step_of(&self, name: &str) -> Option<(String, Step)> {
        let (base, step) = step_of_name(name)?;
        match self.glaze(&folded(base)) {
            Some(glaze) => Some((glaze.name.clone(), step)),
            None => self.names.is_noted(&folded(base)).then(|| (base.to_owned(), step)),
        }
    }

    fn say_untold(&mut self, name: &str) {
        // The asked glaze's own name is held against it in the end.
        let known = self.book.glazes.iter().map(|glaze| glaze.name.as_str());
        let near = nearest(name, known).map(str::to_owned);
        self.say(FitSaid::Untold {
            glaze: name.to_owned(),
            near,
        });
    }

    /// Whether a version is today's recipe but for the lots it was made of.
    fn only_lots_differ(&self, then: &Version, today: &Glaze) -> bool {
        let changes = then.changes_to(&Version::of(today, &then.version, then.on));
        if !changes.iter().all(Change::is_of_a_lot) {
            return false;
        }
        let expansion = |glaze: &Glaze| {
            let believed = self.believed_quietly(glaze);
            (believed.known == Known::Computed).then_some(believed.belief.mean)
        };
        match (expansion(&then.glaze()), expansion(today)) {
            (Some(then), Some(today)) => (then - today).abs() < 1e-9,
            _ => true,
        }
    }
}
