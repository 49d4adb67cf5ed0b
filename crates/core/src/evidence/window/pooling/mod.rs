//! Notes given to witnesses, and witnesses to families.

mod asked;
mod spoken;

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use crate::evidence::notes::{Note, Story};
use glost_chemistry::glaze::Glaze;
use glost_chemistry::read::folded;

use asked::Place;

use super::belief::{GlazeBelief, glaze_belief};
use super::evidence::{Evidence, EvidenceLine, Notebook, Tested, WhyNot};
use super::kiln::Kiln;
use super::ladder::{LadderTile, Lowering};
use super::look::{Believed, Family, FamilyPlace, Known, Look, Step, Witness};
use super::lots::{Lots, lots_of, place_of};
use super::said::FitSaid;
use super::settings::{Belief, COMPUTED_SLOPE, ClayKnowledge};

/// A note this much thicker or thinner than the glaze's usual, as a share of it, is listed
/// and not pooled.
const THICKNESS_OFF: f64 = 0.5;

/// Which glaze of a family: the base, an older version of it, or a step of a ladder.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
enum Member {
    Base,
    Version(String),
    /// Material, folded, and per cent by its bits.
    Step(String, u64),
}

/// What a note speaks of.
#[derive(Debug, Clone)]
struct Spoken {
    /// The base's name as first written.
    base: String,
    member: Member,
    step: Option<Step>,
    version: Option<String>,
    /// The recipe of the member, where it is told.
    recipe: Option<Glaze>,
    /// The recipe whose lots count: the member's own, or a tile's.
    lots_from: Option<Glaze>,
}

/// A family while it is gathered.
#[derive(Debug, Clone)]
struct Gathered {
    family: Family,
    /// What its slopes are along, folded; versions by no material's name.
    slopes: Vec<String>,
    /// Of a base of which a recipe is told.
    expansion: Option<f64>,
    lots: Vec<Lots>,
}

/// A pool that every note was put into, without what it was asked about.
#[derive(Debug, Clone, Default)]
pub(super) struct Kept {
    /// Glazes that any note names, folded.
    noted: Arc<HashSet<String>>,
    spoken: HashMap<(String, Option<String>), Result<Arc<Spoken>, WhyNot>>,
    families: Vec<Gathered>,
    by_base: HashMap<String, usize>,
    witnesses: Vec<Witness>,
    by_member: HashMap<(usize, Member), usize>,
    unversioned: Vec<String>,
    tested: Vec<(usize, Member, Tested)>,
    dunted: Vec<(usize, Member, u64)>,
    said: Vec<FitSaid>,
}

impl Kept {
    /// Glazes whose pieces were looked at.
    pub(super) fn witnesses(&self) -> &[Witness] {
        &self.witnesses
    }
}

/// Everything gathered so far.
pub(super) struct Pool<'a> {
    book: &'a Notebook<'a>,
    asked: &'a Glaze,
    clay: &'a str,
    knowledge: &'a ClayKnowledge,
    kiln: Kiln,
    stories: &'a [Story<'a>],
    story_of: HashMap<usize, usize>,
    glazes: HashMap<String, &'a Glaze>,
    tiles: HashMap<String, &'a LadderTile>,
    thickness: HashMap<String, f64>,
    /// What is kept of it.
    kept: Kept,
}

impl<'a> Pool<'a> {
    pub(super) fn new(
        book: &'a Notebook<'a>,
        asked: &'a Glaze,
        clay: &'a str,
        knowledge: &'a ClayKnowledge,
        kiln: Kiln,
        stories: &'a [Story<'a>],
    ) -> Pool<'a> {
        let mut story_of = HashMap::new();
        for (index, story) in stories.iter().enumerate() {
            story_of.extend(story.looks.iter().map(|note| (note.line, index)));
        }
        let noted = book.notes.standing().filter_map(|note| note.glaze.as_deref());
        let kept = Kept {
            noted: Arc::new(noted.map(folded).collect()),
            ..Kept::default()
        };
        Pool {
            stories,
            story_of,
            thickness: usual_thickness(book),
            ..Pool::again(book, asked, clay, knowledge, kiln, kept)
        }
    }

    /// A pool as it was left, for a glaze that is asked about; no more notes come in.
    pub(super) fn again(
        book: &'a Notebook<'a>,
        asked: &'a Glaze,
        clay: &'a str,
        knowledge: &'a ClayKnowledge,
        kiln: Kiln,
        kept: Kept,
    ) -> Pool<'a> {
        // The asked recipe goes before one of the same name.
        let glazes = book.glazes.iter().map(|glaze| &**glaze).chain([asked]);
        Pool {
            book,
            asked,
            clay,
            knowledge,
            kiln,
            stories: &[],
            story_of: HashMap::new(),
            glazes: glazes.map(|glaze| (folded(&glaze.name), glaze)).collect(),
            tiles: book.ladders.iter().map(|tile| (folded(&tile.tile), tile)).collect(),
            thickness: HashMap::new(),
            kept,
        }
    }

    /// What is kept once every note is in.
    pub(super) fn gathered(self) -> Kept {
        self.kept
    }

    fn say(&mut self, said: FitSaid) {
        if !self.kept.said.contains(&said) {
            self.kept.said.push(said);
        }
    }

    pub(super) fn line(&mut self, note: &Note) -> EvidenceLine {
        let name = note.glaze.as_ref().or(note.tile.as_ref());
        let (witness, why_not, lots) = match self.pool(note) {
            Ok((witness, lots)) => (Some(witness), None, lots),
            Err(why) => (None, Some(why), note.lots.clone()),
        };
        EvidenceLine {
            line: note.line,
            on: note.on,
            glaze: name.cloned().unwrap_or_default(),
            version: note.version.clone(),
            kiln: Kiln::of_note(note),
            batch: note.batch.clone(),
            lots,
            age_days: note.age_days,
            pieces: note.pieces,
            crazed: note.crazed,
            shivered: note.shivered,
            witness,
            why_not,
        }
    }

    /// The witness that a note's look was given to, or why it is set aside.
    fn pool(&mut self, note: &Note) -> Result<(usize, Lots), WhyNot> {
        let kiln = Kiln::of_note(note);
        if !kiln.is(&self.kiln) {
            return Err(WhyNot::OtherFiring(kiln));
        }
        if let Some(over) = note.over() {
            return Err(WhyNot::Over(over.to_owned()));
        }
        let spoken = self.spoken_of(note)?;
        let family = self.family(&spoken);
        self.count_dunted(note, family, &spoken.member);
        if let Some(test) = note.test() {
            self.keep_test(note, test, family, &spoken.member);
            return Err(WhyNot::Tested(test.to_owned()));
        }
        if let Some(cause) = &note.cause {
            return Err(WhyNot::Cause(cause.clone()));
        }
        let Some(pieces) = note.pieces.filter(|pieces| *pieces > 0) else {
            return Err(WhyNot::NoPieces);
        };
        self.as_thick_as_usual(note)?;
        let age_days = self.age(note);
        let lots = lots_of(spoken.lots_from.as_ref(), &note.lots, spoken.step.as_ref());
        let lot = place_of(&mut self.kept.families[family].lots, lots.clone());
        let witness = self.witness(family, &spoken);
        self.kept.witnesses[witness].looks.push(Look {
            age_days,
            pieces,
            crazed: note.crazed,
            shivered: note.shivered,
            batch: Some(folded(&note.group())),
            lot,
            looked: note.looked,
            line: note.line,
            noted_on: note.on,
        });
        Ok((witness, lots))
    }

    fn keep_test(&mut self, note: &Note, test: &str, family: usize, member: &Member) {
        if let Some(crazed) = note.crazed {
            let tested = Tested {
                line: note.line,
                test: test.to_owned(),
                pieces: note.pieces,
                crazed,
            };
            self.kept.tested.push((family, member.clone(), tested));
        }
    }

    fn count_dunted(&mut self, note: &Note, family: usize, member: &Member) {
        if let Some(dunted) = note.dunted.filter(|dunted| *dunted > 0) {
            self.kept.dunted.push((family, member.clone(), u64::from(dunted)));
        }
    }

    fn as_thick_as_usual(&self, note: &Note) -> Result<(), WhyNot> {
        let name = note.glaze.as_deref().map(folded);
        let usual = name.and_then(|name| self.thickness.get(&name).copied());
        match (note.thickness_mm, usual) {
            (Some(own_mm), Some(usual_mm)) if (own_mm - usual_mm).abs() > THICKNESS_OFF * usual_mm => {
                Err(WhyNot::Thickness { own_mm, usual_mm })
            }
            _ => Ok(()),
        }
    }

    /// Days since the kiln: as noted, else from an earlier look at the same pieces.
    fn age(&mut self, note: &Note) -> f64 {
        if let Some(days) = note.age_days {
            return days;
        }
        let story = self.story_of.get(&note.line).and_then(|index| self.stories.get(*index));
        let fired = story.and_then(|story| story.looks.iter().filter_map(|look| look.fired_on()).min());
        let days = fired.map(|day| note.on.days_since(day)).filter(|days| *days >= 0);
        days.map_or_else(
            || {
                self.say(FitSaid::NoAge(note.line));
                0.0
            },
            |days| days as f64,
        )
    }

    fn believed_quietly(&self, glaze: &Glaze) -> Believed {
        glaze_belief(glaze, self.book.fluxes, self.book.settings).believed
    }

    /// The family of what is spoken of; a member whose difference from its base nobody can
    /// tell is a family of its own.
    fn family(&mut self, spoken: &Spoken) -> usize {
        let base = self.base_family(spoken);
        if self.place(base, spoken).is_some() {
            return base;
        }
        let name = format!("{}\u{0}{:?}", folded(&spoken.base), spoken.member);
        if let Some(known) = self.kept.by_base.get(&name) {
            return *known;
        }
        let believed = match &spoken.recipe {
            Some(recipe) => self.believed(recipe),
            None => Believed::unknown(self.book.settings),
        };
        // A powder with something else in it is no printed powder any more.
        let believed = if believed.known == Known::Computed {
            believed
        } else {
            Believed::unknown(self.book.settings)
        };
        self.add_family(name, believed)
    }

    fn base_family(&mut self, spoken: &Spoken) -> usize {
        let name = folded(&spoken.base);
        if let Some(known) = self.kept.by_base.get(&name) {
            return *known;
        }
        let today = self.glazes.get(&name).copied();
        let believed = match (today, &spoken.recipe) {
            (Some(glaze), _) => self.believed(glaze),
            (None, Some(then)) => self.believed(then),
            (None, None) => Believed::unknown(self.book.settings),
        };
        self.add_family(name, believed)
    }

    fn add_family(&mut self, name: String, believed: Believed) -> usize {
        self.kept.families.push(Gathered {
            expansion: (believed.known == Known::Computed).then_some(believed.belief.mean),
            family: Family {
                believed,
                slopes: Vec::new(),
            },
            slopes: Vec::new(),
            lots: Vec::new(),
        });
        self.kept.by_base.insert(name, self.kept.families.len() - 1);
        self.kept.families.len() - 1
    }

    /// Where a member stands in a family; `None` where nobody can tell how it differs.
    fn place(&mut self, family: usize, spoken: &Spoken) -> Option<FamilyPlace> {
        let at = |slope: Option<usize>, coordinate: f64| {
            Some(FamilyPlace {
                family,
                slope,
                coordinate,
            })
        };
        if spoken.member == Member::Base {
            return at(None, 0.0);
        }
        let base = self.kept.families.get(family)?.expansion;
        let own = spoken.recipe.as_ref().map(|recipe| self.believed_quietly(recipe));
        let computed = own
            .filter(|own| own.known == Known::Computed)
            .map(|own| own.belief.mean);
        if let (Some(base), Some(own)) = (base, computed) {
            let along = spoken
                .step
                .as_ref()
                .map_or(String::new(), |step| folded(&step.material));
            let slope = self.slope(family, along, COMPUTED_SLOPE);
            return at(Some(slope), own - base);
        }
        let known = self.kept.families.get(family)?.family.believed.known;
        match &spoken.step {
            Some(step) if known != Known::Computed => {
                let material = self.book.library.find(&step.material)?;
                let lowering = Lowering::of(material)?;
                let slope = self.slope(family, folded(&step.material), lowering.slope());
                at(Some(slope), -step.percent)
            }
            // An older version of a glaze of which no file is left.
            None if !self.glazes.contains_key(&folded(&spoken.base)) => at(None, 0.0),
            _ => None,
        }
    }

    fn slope(&mut self, family: usize, along: String, belief: Belief) -> usize {
        let gathered = &mut self.kept.families[family];
        match gathered.slopes.iter().position(|known| *known == along) {
            Some(known) => known,
            None => {
                gathered.slopes.push(along);
                gathered.family.slopes.push(belief);
                gathered.slopes.len() - 1
            }
        }
    }

    fn witness(&mut self, family: usize, spoken: &Spoken) -> usize {
        let key = (family, spoken.member.clone());
        if let Some(known) = self.kept.by_member.get(&key) {
            return *known;
        }
        let place = self.place(family, spoken).unwrap_or(FamilyPlace {
            family,
            slope: None,
            coordinate: 0.0,
        });
        if let Some(version) = &spoken.version {
            self.say(FitSaid::Changed {
                glaze: spoken.base.clone(),
                version: version.clone(),
            });
        }
        let believed = self.at_place(place, spoken.recipe.as_ref());
        self.kept.witnesses.push(Witness {
            glaze: spoken.base.clone(),
            version: spoken.version.clone(),
            step: spoken.step.clone(),
            believed,
            place,
            looks: Vec::new(),
        });
        self.kept.by_member.insert(key, self.kept.witnesses.len() - 1);
        self.kept.witnesses.len() - 1
    }

    /// What is believed of a member before its family is looked at.
    fn at_place(&self, place: FamilyPlace, recipe: Option<&Glaze>) -> Believed {
        let family = &self.kept.families[place.family].family;
        let Some(slope) = place.slope.and_then(|slope| family.slopes.get(slope)) else {
            return family.believed;
        };
        let own = recipe.map(|recipe| self.believed_quietly(recipe));
        if let Some(own) = own.filter(|own| own.known == Known::Computed) {
            return own;
        }
        let Belief { mean, sd } = family.believed.belief;
        Believed {
            belief: Belief::new(
                mean + slope.mean * place.coordinate,
                sd.hypot(slope.sd * place.coordinate),
            ),
            known: family.believed.known,
        }
    }

    /// What is believed of a glaze, and what goes with it said.
    fn believed(&mut self, glaze: &Glaze) -> Believed {
        let GlazeBelief { believed, said, .. } = glaze_belief(glaze, self.book.fluxes, self.book.settings);
        for one in said {
            self.say(one);
        }
        let recommended = glaze.about.recommended_for.iter().any(|clay| folded(clay) == self.clay);
        if believed.known == Known::Unknown && recommended {
            let settings = self.book.settings;
            let line = settings.threshold_on(self.knowledge).mean;
            let below = settings.recommended_below;
            self.say(FitSaid::Recommended {
                glaze: glaze.name.clone(),
                below,
            });
            return Believed {
                belief: Belief::new(line - below.mean, below.sd),
                known: Known::Unknown,
            };
        }
        believed
    }

    pub(super) fn finish(mut self, asked: Place, lots: Lots) -> Evidence {
        if !self.kept.unversioned.is_empty() {
            let unversioned = std::mem::take(&mut self.kept.unversioned);
            self.say(FitSaid::Unversioned(unversioned));
        }
        let Place {
            place,
            member,
            believed,
            ladder,
        } = asked;
        let present_lot = place_of(&mut self.kept.families[place.family].lots, lots.clone());
        let key = (place.family, member);
        let own_tests = self
            .kept
            .tested
            .into_iter()
            .filter(|(family, member, _)| (*family, member) == (key.0, &key.1));
        let own_dunted = self
            .kept
            .dunted
            .into_iter()
            .filter(|(family, member, _)| (*family, member) == (key.0, &key.1));
        Evidence {
            own: self.kept.by_member.get(&key).copied(),
            kiln: self.kiln,
            families: self.kept.families.into_iter().map(|gathered| gathered.family).collect(),
            witnesses: self.kept.witnesses,
            place,
            believed,
            ladder,
            present_lot,
            present_lots: lots,
            lines: Arc::default(),
            tested: own_tests.map(|(_, _, tested)| tested).collect(),
            dunted: own_dunted.map(|(_, _, count)| count).sum(),
            contradictions: Vec::new(),
            said: self.kept.said,
        }
    }
}

fn member_of(step: Option<&Step>) -> Member {
    step.map_or(Member::Base, |step| {
        Member::Step(folded(&step.material), step.percent.to_bits())
    })
}

/// The median thickness, mm, of each glaze over all its notes that tell one.
fn usual_thickness(book: &Notebook<'_>) -> HashMap<String, f64> {
    let mut told: HashMap<String, Vec<f64>> = HashMap::new();
    for note in book.notes.standing() {
        if let (Some(glaze), Some(mm)) = (&note.glaze, note.thickness_mm.filter(|mm| *mm > 0.0)) {
            told.entry(folded(glaze)).or_default().push(mm);
        }
    }
    told.into_iter()
        .filter_map(|(name, mut all)| {
            all.sort_by(f64::total_cmp);
            let upper = all.get(all.len() / 2)?;
            let lower = all.get((all.len() - 1) / 2)?;
            Some((name, 0.5 * (lower + upper)))
        })
        .collect()
}
