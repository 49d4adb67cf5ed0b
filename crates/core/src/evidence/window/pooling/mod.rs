//! Notes given to witnesses, and witnesses to families.

mod asked;
mod spoken;

use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::Arc;

use crate::evidence::notes::{Note, Story};
use glost_chemistry::glaze::Glaze;
use glost_chemistry::read::folded;

use asked::Place;

use super::belief::{GlazeBelief, glaze_belief};
use super::evidence::{Evidence, EvidenceLine, Notebook, Tested, WhyNot};
use super::gathered::Names;
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

/// What a note names, folded: a tile of a plan, or a glaze.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
enum Called {
    Tile(String),
    Glaze(String),
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
    lots: Vec<Arc<Lots>>,
}

/// A pool that every note was put into, without what it was asked about.
#[derive(Debug, Clone, Default)]
pub(super) struct Kept {
    spoken: HashMap<(Called, Option<String>), Result<Arc<Spoken>, WhyNot>>,
    families: Vec<Gathered>,
    /// By the base's name, folded; of a member whose difference nobody can tell by it too.
    by_base: HashMap<(String, Member), usize>,
    witnesses: Arc<Vec<Witness>>,
    by_member: HashMap<(usize, Member), usize>,
    unversioned: Vec<String>,
    tested: HashMap<(usize, Member), Vec<Tested>>,
    dunted: HashMap<(usize, Member), u64>,
    said: Vec<FitSaid>,
}

impl Kept {
    /// Glazes whose pieces were looked at.
    pub(super) fn witnesses(&self) -> &Arc<Vec<Witness>> {
        &self.witnesses
    }

    /// The families that they are of.
    pub(super) fn families(&self) -> Vec<Family> {
        self.families.iter().map(|gathered| gathered.family.clone()).collect()
    }

    /// What is said of it, whatever glaze is asked about, and of notes without a version.
    pub(super) fn said(&self) -> (&[FitSaid], Option<FitSaid>) {
        let unversioned = (!self.unversioned.is_empty()).then(|| FitSaid::Unversioned(self.unversioned.clone()));
        (&self.said, unversioned)
    }
}

/// What is spoken of, which is kept as long as the pool, and the lots that a note says of it.
type SaidOf<'a> = (*const Spoken, &'a [(String, String)]);

/// Everything gathered so far.
pub(super) struct Pool<'a> {
    book: &'a Notebook<'a>,
    names: &'a Names,
    asked: &'a Glaze,
    /// Its name folded.
    own_name: String,
    clay: &'a str,
    knowledge: &'a ClayKnowledge,
    kiln: Kiln,
    stories: &'a [Story<'a>],
    story_of: HashMap<usize, usize>,
    /// The lots that notes said or left to a recipe, with those they are: thousands share them.
    known_lots: HashMap<SaidOf<'a>, Arc<Lots>>,
    /// What is kept of it.
    kept: Cow<'a, Kept>,
}

/// Of which clay, and of what is known of it, notes are pooled for which firing.
#[derive(Debug, Clone)]
pub(super) struct Of<'a> {
    /// The clay's name folded.
    pub(super) clay: &'a str,
    pub(super) knowledge: &'a ClayKnowledge,
    pub(super) kiln: Kiln,
}

impl<'a> Pool<'a> {
    pub(super) fn new(
        (book, names): (&'a Notebook<'a>, &'a Names),
        asked: &'a Glaze,
        of: Of<'a>,
        stories: &'a [Story<'a>],
    ) -> Pool<'a> {
        let mut story_of = HashMap::new();
        for (index, story) in stories.iter().enumerate() {
            story_of.extend(story.looks.iter().map(|note| (note.line, index)));
        }
        let kept = Cow::Owned(Kept::default());
        Pool {
            stories,
            story_of,
            ..Pool::again((book, names), asked, of, kept)
        }
    }

    /// A pool as it was left, for a glaze that is asked about; no more notes come in.
    pub(super) fn again(
        (book, names): (&'a Notebook<'a>, &'a Names),
        asked: &'a Glaze,
        of: Of<'a>,
        kept: Cow<'a, Kept>,
    ) -> Pool<'a> {
        Pool {
            book,
            names,
            asked,
            own_name: folded(&asked.name),
            clay: of.clay,
            knowledge: of.knowledge,
            kiln: of.kiln,
            stories: &[],
            story_of: HashMap::new(),
            known_lots: HashMap::new(),
            kept,
        }
    }

    /// What is kept once every note is in.
    pub(super) fn gathered(self) -> Kept {
        self.kept.into_owned()
    }

    /// Today's recipe of a name that is folded. The asked one goes before one of the same name.
    fn glaze(&self, name: &str) -> Option<&'a Glaze> {
        if name == self.own_name {
            return Some(self.asked);
        }
        self.names.glaze(self.book, name)
    }

    fn tile(&self, code: &str) -> Option<&'a LadderTile> {
        self.names.tile(self.book, code)
    }

    fn kept(&mut self) -> &mut Kept {
        self.kept.to_mut()
    }

    fn say(&mut self, said: FitSaid) {
        if !self.kept.said.contains(&said) {
            self.kept().said.push(said);
        }
    }

    pub(super) fn line(&mut self, note: &'a Note) -> EvidenceLine {
        let name = note.glaze.as_ref().or(note.tile.as_ref());
        let (witness, why_not, lots) = match self.pool(note) {
            Ok((witness, lots)) => (Some(witness), None, lots),
            Err(why) => (None, Some(why), Arc::new(note.lots.clone())),
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
    fn pool(&mut self, note: &'a Note) -> Result<(usize, Arc<Lots>), WhyNot> {
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
        let said = (Arc::as_ptr(&spoken), note.lots.as_slice());
        let lots = self.known_lots.entry(said).or_insert_with(|| {
            let lots = lots_of(spoken.lots_from.as_ref(), &note.lots, spoken.step.as_ref());
            Arc::new(lots)
        });
        let lots = Arc::clone(lots);
        let lot = place_of(&mut self.kept().families[family].lots, &lots);
        let witness = self.witness(family, &spoken);
        Arc::make_mut(&mut self.kept().witnesses)[witness].looks.push(Look {
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
            let of_member = self.kept().tested.entry((family, member.clone())).or_default();
            of_member.push(tested);
        }
    }

    fn count_dunted(&mut self, note: &Note, family: usize, member: &Member) {
        if let Some(dunted) = note.dunted.filter(|dunted| *dunted > 0) {
            *self.kept().dunted.entry((family, member.clone())).or_default() += u64::from(dunted);
        }
    }

    fn as_thick_as_usual(&self, note: &Note) -> Result<(), WhyNot> {
        let (Some(own_mm), Some(glaze)) = (note.thickness_mm, &note.glaze) else {
            return Ok(());
        };
        match self.names.thickness_mm(&folded(glaze)) {
            Some(usual_mm) if (own_mm - usual_mm).abs() > THICKNESS_OFF * usual_mm => {
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
                // Of each note once.
                self.kept().said.push(FitSaid::NoAge(note.line));
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
        let name = (folded(&spoken.base), spoken.member.clone());
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
        let name = (folded(&spoken.base), Member::Base);
        if let Some(known) = self.kept.by_base.get(&name) {
            return *known;
        }
        let today = self.glaze(&name.0);
        let believed = match (today, &spoken.recipe) {
            (Some(glaze), _) => self.believed(glaze),
            (None, Some(then)) => self.believed(then),
            (None, None) => Believed::unknown(self.book.settings),
        };
        self.add_family(name, believed)
    }

    fn add_family(&mut self, name: (String, Member), believed: Believed) -> usize {
        self.kept().families.push(Gathered {
            expansion: (believed.known == Known::Computed).then_some(believed.belief.mean),
            family: Family {
                believed,
                slopes: Vec::new(),
            },
            slopes: Vec::new(),
            lots: Vec::new(),
        });
        let last = self.kept.families.len() - 1;
        self.kept().by_base.insert(name, last);
        last
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
            None if self.glaze(&folded(&spoken.base)).is_none() => at(None, 0.0),
            _ => None,
        }
    }

    fn slope(&mut self, family: usize, along: String, belief: Belief) -> usize {
        let known = self.kept.families[family]
            .slopes
            .iter()
            .position(|known| *known == along);
        known.unwrap_or_else(|| {
            let gathered = &mut self.kept().families[family];
            gathered.slopes.push(along);
            gathered.family.slopes.push(belief);
            gathered.slopes.len() - 1
        })
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
            // Of each witness once.
            let (glaze, version) = (spoken.base.clone(), version.clone());
            self.kept().said.push(FitSaid::Changed { glaze, version });
        }
        let believed = self.at_place(place, spoken.recipe.as_ref());
        Arc::make_mut(&mut self.kept().witnesses).push(Witness {
            glaze: spoken.base.clone(),
            version: spoken.version.clone(),
            step: spoken.step.clone(),
            believed,
            place,
            looks: Vec::new(),
        });
        let last = self.kept.witnesses.len() - 1;
        self.kept().by_member.insert(key, last);
        last
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
        let belief = glaze_belief(glaze, self.book.fluxes, self.book.settings);
        let recommended = self.recommended(glaze, &belief);
        for one in belief.said {
            self.say(one);
        }
        let Some((believed, said)) = recommended else {
            return belief.believed;
        };
        self.say(said);
        believed
    }

    /// What is believed of a powder of which nobody tells the expansion, where its maker
    /// recommends it for the clay.
    fn recommended(&self, glaze: &Glaze, belief: &GlazeBelief) -> Option<(Believed, FitSaid)> {
        let recommended = glaze.about.recommended_for.iter().any(|clay| folded(clay) == self.clay);
        if belief.believed.known != Known::Unknown || !recommended {
            return None;
        }
        let settings = self.book.settings;
        let line = settings.threshold_on(self.knowledge).mean;
        let below = settings.recommended_below;
        let said = FitSaid::Recommended {
            glaze: glaze.name.clone(),
            below,
        };
        let believed = Believed {
            belief: Belief::new(line - below.mean, below.sd),
            known: Known::Unknown,
        };
        Some((believed, said))
    }

    pub(super) fn finish(self, asked: Place, lots: Lots) -> Evidence {
        let mut kept = self.kept.into_owned();
        if let (_, Some(unversioned)) = kept.said() {
            kept.said.push(unversioned);
        }
        let Place {
            place,
            member,
            believed,
            ladder,
        } = asked;
        let lots = Arc::new(lots);
        let present_lot = place_of(&mut kept.families[place.family].lots, &lots);
        let key = (place.family, member);
        Evidence {
            own: kept.by_member.get(&key).copied(),
            kiln: self.kiln,
            families: kept.families.into_iter().map(|gathered| gathered.family).collect(),
            witnesses: kept.witnesses,
            place,
            believed,
            ladder,
            present_lot,
            present_lots: lots,
            lines: Arc::default(),
            tested: kept.tested.remove(&key).into_iter().flatten().collect(),
            dunted: kept.dunted.remove(&key).unwrap_or(0),
            contradictions: Vec::new(),
            said: kept.said,
        }
    }
}

fn member_of(step: Option<&Step>) -> Member {
    step.map_or(Member::Base, |step| {
        Member::Step(folded(&step.material), step.percent.to_bits())
    })
}
