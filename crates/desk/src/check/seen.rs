//! What was seen of a glaze's pieces, told before its chemistry where a use is named in which
//! crazing or frost does harm.

use glost_chemistry::glaze::Use;
use glost_core::evidence::ware::{Clay, ClayReport, Standing, Suitability};
use glost_core::evidence::window::Edge;
use glost_studio::FoundGlaze;
use serde::{Serialize, Serializer};

use crate::clay::ClayWords;
use crate::fit;
use crate::pieces::Pieces;
use crate::{Desk, Failure, Said};

/// What was seen.
#[derive(Debug, Clone)]
pub enum Seen {
    /// No clay is named, and pieces are looked up by their clay.
    NoClay,
    /// On its clay.
    OnClay(Box<SeenOnClay>),
}

/// What was seen on a clay.
#[derive(Debug, Clone)]
pub struct SeenOnClay {
    /// As `glost fit` says.
    pub fit: fit::Answer,
    /// How much water the clay takes up, wt %, where that is known.
    pub absorption_percent: Option<f64>,
    /// How the clay does in frost, where the glaze goes outdoors.
    pub frost: Option<Suitability>,
}

/// The use in which crazing or frost does harm, where the call names one.
pub(super) fn told_for(usage: Option<Use>) -> Option<Use> {
    usage.filter(|usage| matches!(usage, Use::Tableware | Use::Outdoor))
}

impl Seen {
    /// Looks it up on the clay of the call, else the glaze's own.
    ///
    /// # Errors
    /// The call names a clay that nobody knows.
    pub(super) fn look_up(
        desk: &Desk,
        pieces: &Pieces,
        found: &FoundGlaze,
        usage: Use,
        clay: Option<&str>,
    ) -> Result<Seen, Failure> {
        let known = match (pieces.clay(clay, desk, &found.glaze), &found.glaze.about.clay) {
            (Ok(known), _) => known,
            // A clay that only the recipe names may have no file: nothing is known of it.
            (Err(_), Some(own)) if clay.is_none() => Clay {
                name: own.clone(),
                ..Clay::unnamed()
            },
            (Err(unknown), _) => return Err(unknown),
        };
        let report = ClayReport::of(&known, found.settings.scales.reads_to.grams());
        let mut uses = report.suitability.into_iter();
        let frost = match usage {
            Use::Outdoor => uses.find(|one| one.usage == Use::Outdoor),
            _ => None,
        };
        Ok(Seen::OnClay(Box::new(SeenOnClay {
            fit: fit::Question::about(pieces, found, &known, usage),
            absorption_percent: report.absorption.map(|(percent, _)| percent),
            frost,
        })))
    }

    /// Whether pieces were looked at, and what they say is no.
    pub fn says_no(&self) -> bool {
        let Seen::OnClay(seen) = self else { return false };
        let high_risk = |frost: &Suitability| frost.standing == Standing::HighRisk;
        let evidence = &seen.fit.fit.evidence;
        let looked_at = !evidence.witnesses.is_empty() || !evidence.tested.is_empty() || evidence.dunted > 0;
        (looked_at && seen.fit.fit.says_no()) || seen.frost.as_ref().is_some_and(high_risk)
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct FrostJson {
    standing: &'static str,
    why: Said,
    source: Said,
}

#[derive(Serialize, schemars::JsonSchema)]
struct SeenJson<'a> {
    clay: &'a str,
    firing: String,
    #[serde(rename = "use")]
    usage: &'static str,
    zone_craze: &'static str,
    zone_shiver: &'static str,
    p_craze: f64,
    p_shiver: f64,
    pieces: u64,
    crazed: u64,
    batches: usize,
    oldest_days: Option<f64>,
    failed_test: bool,
    dunted: u64,
    absorption: Option<f64>,
    frost: Option<FrostJson>,
    says_no: bool,
}

impl Serialize for Seen {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let Seen::OnClay(seen) = self else {
            return to.serialize_none();
        };
        let fit = &seen.fit.fit;
        let (pieces, crazed) = fit.counted(Edge::Craze);
        SeenJson {
            clay: &fit.clay,
            firing: fit.evidence.kiln.words(),
            usage: fit.usage.word(),
            zone_craze: fit.craze.zone.word(Edge::Craze),
            zone_shiver: fit.shiver.zone.word(Edge::Shiver),
            p_craze: fit.craze.chance,
            p_shiver: fit.shiver.chance,
            pieces,
            crazed,
            batches: fit.batches(Edge::Craze),
            oldest_days: fit.oldest_days(),
            failed_test: fit.evidence.failed_test(),
            dunted: fit.evidence.dunted,
            absorption: seen.absorption_percent,
            frost: seen.frost.as_ref().map(|frost| FrostJson {
                standing: frost.standing.words(),
                why: Said::Clay(ClayWords::Why(frost.why)),
                source: Said::Clay(ClayWords::SourceOf(frost.why)),
            }),
            says_no: self.says_no(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Seen: Option<SeenJson<'_>>);
