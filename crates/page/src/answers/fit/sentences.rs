//! The answer in sentences.

use crate::words::age::age_words;
use glost_chemistry::glass::FIRED_GLAZE_PLUS_MINUS_90;
use glost_core::evidence::window::{Edge, Known, LADDER_PERCENT, OlderPieces, Step, Witness, Zone, step_of_name};

use super::FitPage;
use super::placed::named;

/// A clay that soaks up more than this, wt %, leaks where its glaze is crazed (common practice,
/// no source).
const LEAKS_FROM_PERCENT: f64 = 1.0;
use crate::number;
use crate::stress::stress_sentence;
use crate::words::fit::{odds, seen_words, step_words, use_words};

impl FitPage<'_> {
    /// The first line: what was seen comes before what is computed.
    pub(super) fn headline(&self) -> String {
        let answer = self.answer;
        let mut said = self.tests();
        if answer.evidence.dunted > 0 {
            said.push(format!(
                "Stop: {} cracked through. Give none of that batch away, and slow the cooling.",
                counted(answer.evidence.dunted, "piece")
            ));
        }
        said.extend(self.shivering());
        said.push(self.crazing());
        if answer.shiver.zone == Zone::Unsure {
            let (pieces, _) = answer.counted(Edge::Shiver);
            said.push(format!(
                "Shivering isn't ruled out: {} may.",
                odds(answer.shiver.chance, pieces)
            ));
        }
        said.join(" ")
    }

    /// Torture tests that its pieces failed.
    fn tests(&self) -> Vec<String> {
        let failed = self.answer.evidence.tested.iter().filter(|tested| tested.crazed > 0);
        failed
            .map(|tested| {
                let counts = match tested.pieces {
                    Some(pieces) => format!("{} of {pieces} pieces", tested.crazed),
                    None => counted(u64::from(tested.crazed), "piece"),
                };
                format!("{counts} crazed in {} (line {}).", tested.test, tested.line)
            })
            .collect()
    }

    fn shivering(&self) -> Option<String> {
        let answer = self.answer;
        if !matches!(answer.shiver.zone, Zone::Fails | Zone::Expected) {
            return None;
        }
        let (pieces, shivered) = answer.counted(Edge::Shiver);
        let counts = match pieces {
            0 => String::new(),
            _ => format!("{shivered} of {} shivered; ", counted(pieces, "piece")),
        };
        Some(format!(
            "Stop: expect shivering. {counts}{} will. Slivers of glaze are sharp: not for use.",
            starting(&odds(answer.shiver.chance, pieces), counts.is_empty())
        ))
    }

    fn crazing(&self) -> String {
        let answer = self.answer;
        let (pieces, _) = answer.counted(Edge::Craze);
        let crazed = answer.ever_failed(Edge::Craze);
        let seen = seen_words(answer);
        let chance = odds(answer.craze.chance, pieces);
        let chance = match self.none_of {
            Some(none_of) => format!(
                "that alone leaves room for under {:.0} % (95 % confidence, at that age); with the line still falling {chance} \
                 of a new batch may craze within three years",
                none_of.below_percent
            ),
            None => format!("{chance} of a new batch may craze within three years"),
        };
        let sentence = |lead: &str| format!("{lead}{seen}; {chance}.");
        match answer.craze.zone {
            Zone::Fails if answer.crackle_wanted => format!("Crackle, as wanted: {seen}."),
            Zone::Fails => format!("Crazes: {seen}."),
            Zone::Expected if pieces == 0 && answer.evidence.witnesses.is_empty() => {
                sentence("Expect crazing by the numbers alone: ")
            }
            Zone::Expected => sentence("Expect crazing: "),
            Zone::Unsure => sentence("Unsure: "),
            Zone::Held => sentence(&format!("Held, for {}: ", use_words(answer.usage))),
            Zone::SoFar if crazed > 0 => sentence("So far: "),
            Zone::SoFar => format!("{} {}", sentence("So far: "), self.held_takes()),
            Zone::Untried => format!("Inside your held line, not made yet: {}.", starting(&chance, false)),
        }
    }

    /// What is lacking before it is called held.
    fn held_takes(&self) -> String {
        let answer = self.answer;
        let takes = answer.window.settings.held_takes(answer.usage, &answer.window.clay);
        let batches = if takes.batches > 1 {
            format!(" of {} batches", takes.batches)
        } else {
            String::new()
        };
        format!(
            "Held, for {}, takes {} pieces{batches} to {}.",
            use_words(answer.usage),
            takes.pieces,
            age_words(takes.days)
        )
    }

    /// Where the glaze lies on this clay.
    pub(super) fn where_it_lies(&self) -> Vec<String> {
        let answer = self.answer;
        let mut said = Vec::new();
        let believed = answer.belief.believed;
        let comparing = self.comparing;
        match (&answer.expansion, believed.known) {
            (Some(expansion), Known::Computed) => {
                let glass = expansion.plus_minus_90;
                let (careful, very) = FIRED_GLAZE_PLUS_MINUS_90;
                let fired = if glass < careful {
                    format!("+/- {careful:.1} to {very:.1} as your fired glaze")
                } else {
                    format!("and no better than +/- {:.1} as your fired glaze", glass.max(very))
                };
                said.push(format!(
                    "{} comes to {:.2} x 1e-6/K by its composition ({}): +/- {comparing:.2} for comparing it with other \
                     glazes, +/- {glass:.1} as a glass of exactly this composition, {fired}.",
                    answer.glaze, believed.belief.mean, expansion.model
                ));
            }
            (_, Known::Printed) if answer.evidence.place.slope.is_some() => said.push(format!(
                "{} counts as {:.1} x 1e-6/K: what is printed on the bag, less what its addition takes off; +/- \
                 {comparing:.1} for comparing it with others.",
                answer.glaze, believed.belief.mean
            )),
            (_, Known::Printed) => said.push(format!(
                "{} has {:.1} x 1e-6/K printed on its bag, +/- {comparing:.1} for comparing it with others.",
                answer.glaze, believed.belief.mean
            )),
            _ => said.push(if answer.rests_on_counts() {
                "No analysis of this powder: this rests on your pieces alone.".to_owned()
            } else {
                format!(
                    "Nobody tells the expansion of {}: its own pieces say most about it.",
                    answer.glaze
                )
            }),
        }
        let (craze, shiver) = (answer.window.craze.band(), answer.window.shiver.band());
        said.push(format!(
            "On this clay ({}) glazes start to craze at {:.1} ({:.1} to {:.1}) by three years and to shiver below {:.1} \
             ({:.1} to {:.1}), in units of that model; 90 %.",
            answer.evidence.kiln.words(),
            craze.median,
            craze.low,
            craze.high,
            shiver.median,
            shiver.low,
            shiver.high
        ));
        if let Some(stress) = &answer.stress {
            said.push(format!(
                "By the clay's measured expansion this glaze is {}",
                stress_sentence(stress)
            ));
        }
        said.extend(self.line_today());
        said.extend(self.about_the_lot());
        said.extend(self.about_the_clay());
        said
    }

    /// Where the line stood when the oldest of its pieces were looked at.
    fn line_today(&self) -> Option<String> {
        let answer = self.answer;
        let days = answer.line_today_days()?;
        let band = answer.window.craze.band_at(days);
        Some(format!(
            "At the age of your oldest pieces ({}) the line stood at about {:.1}: it comes down as clay takes up water.",
            age_words(days),
            band.median
        ))
    }

    /// Its next pieces are of a lot that no look is of.
    fn about_the_lot(&self) -> Option<String> {
        let evidence = &self.answer.evidence;
        let own = self.answer.own()?;
        let looked = own.looks.iter().any(|look| look.lot == evidence.present_lot);
        let lots: Vec<String> = evidence
            .present_lots
            .iter()
            .map(|(material, lot)| match lot.as_str() {
                "" => material.clone(),
                lot => format!("{material} lot {lot}"),
            })
            .collect();
        (!looked && !lots.is_empty()).then(|| {
            format!(
                "Nobody looked at a piece of the lot in use now ({}): a new lot may differ, and is counted so.",
                lots.join(", ")
            )
        })
    }

    fn about_the_clay(&self) -> Option<String> {
        let window = &self.answer.window;
        match window.clay.absorption_percent {
            None => Some(
                "How much water this clay soaks up isn't known: crazing may come years later (weigh a bar dry, soaked \
                 and boiled: glost clay)."
                    .to_owned(),
            ),
            Some(percent) if !window.settings.is_dense(&window.clay) => Some(format!(
                "This clay soaks up {} %: crazing can come years later. Not for outdoors if any craze.",
                number::percent(percent)
            )),
            Some(percent) => Some(format!(
                "This clay soaks up {} %, which is tight: swelling with water is the lesser suspect if glazes craze late.",
                number::percent(percent)
            )),
        }
    }

    /// What to do next, a sentence a line.
    pub(super) fn what_to_do(&self) -> Vec<String> {
        let answer = self.answer;
        let mut said = Vec::new();
        let (pieces, _) = answer.counted(Edge::Craze);
        let crazed = answer.ever_failed(Edge::Craze);
        if answer.holds_lead() {
            said.push("It holds lead: shown for its arithmetic; no pieces and no tiles are proposed.".to_owned());
            return said;
        }
        if crazed > 0 && !answer.crackle_wanted {
            said.push(match answer.window.clay.absorption_percent {
                Some(percent) if percent <= LEAKS_FROM_PERCENT => {
                    "Crazed pieces are seconds, not tableware: they are weaker and stain.".to_owned()
                }
                _ => "Crazed pieces are seconds, not tableware: they leak, stain and are weaker.".to_owned(),
            });
        }
        if let Some(first) = answer.look_again.first() {
            let when = if first.overdue {
                format!("Look again now, it was due on {}", first.on)
            } else {
                format!("Look again on {}", first.on)
            };
            said.push(format!(
                "{when} (glost due): washable dye or marker wiped back, good light, a loupe."
            ));
        } else if pieces == 0 {
            said.push(format!(
                "Glaze five pieces and look at them from the kiln, at 30 and at 180 days: glost note \"{}\" --clay \"{}\" \
                 --age 30d --crazed 0/5. Pieces in the cupboard count too.",
                answer.glaze, answer.clay
            ));
        }
        said.extend(self.ladder());
        said
    }

    fn ladder(&self) -> Vec<String> {
        let answer = self.answer;
        let held_below = answer.window.settings.unsure_from(answer.usage);
        let mut said = Vec::new();
        if answer.shiver.chance >= held_below && answer.shiver.chance > answer.craze.chance {
            said.push(
                "Against shivering: less silica or more feldspar raises the expansion; thinner glaze helps too."
                    .to_owned(),
            );
            return said;
        }
        let crazed = answer.ever_failed(Edge::Craze);
        if (answer.craze.chance >= held_below || crazed > 0) && !answer.crackle_wanted {
            said.push(self.means());
        }
        if let Some(best) = answer.next.first().filter(|best| best.reduces_variance_by >= 0.01) {
            let off = format!("about {:.0} % off what isn't known", 100.0 * best.reduces_variance_by);
            let what = match (&best.older, &best.step) {
                (Some(older), _) => {
                    said.push(format!("{} {off}.", self.look_again_at(older)));
                    return said;
                }
                (None, Some(step)) => step_words(&answer.glaze, Some(step)),
                (None, None) => format!("another batch of {}", answer.glaze),
            };
            said.push(format!(
                "The tile that tells most about this clay: {what}; five pieces at 30 days take {off}."
            ));
        }
        said
    }

    /// Pieces that are there already and tell more than a new tile.
    fn look_again_at(&self, older: &OlderPieces) -> String {
        let evidence = &self.answer.evidence;
        let line = evidence.lines.iter().find(|known| known.line == older.line);
        let batch = line.and_then(|line| line.batch.as_deref());
        let of = evidence.witnesses.get(older.witness).map_or_else(String::new, named);
        let batch = batch.map_or(String::new(), |batch| format!(", batch {batch}"));
        let then = match older.then_days {
            days if days < 0.5 => "straight from the kiln".to_owned(),
            days => format!("at {}", age_words(days)),
        };
        format!(
            "What tells most about this clay is there already: look again at the {} of {of}{batch} (line {}), the last \
             look was {then}, they are {} old now; that takes",
            counted(u64::from(older.pieces), "piece"),
            older.line,
            age_words(older.now_days)
        )
    }

    /// What became of the steps of its ladders that were looked at, the least first.
    fn ladder_made(&self) -> Option<String> {
        let evidence = &self.answer.evidence;
        let of_family = |witness: &&Witness| witness.place.family == evidence.place.family;
        let mut steps: Vec<(&Step, bool)> = evidence
            .witnesses
            .iter()
            .filter(of_family)
            .filter(|witness| witness.counted(Edge::Craze).0 > 0)
            .filter_map(|witness| Some((witness.step.as_ref()?, witness.ever_failed(Edge::Craze) > 0)))
            .collect();
        steps.sort_by(|(one, _), (other, _)| {
            let materials = one.material.cmp(&other.material);
            materials.then(one.percent.total_cmp(&other.percent))
        });
        let told = |(step, crazed): &(&Step, bool)| {
            let word = if *crazed { "crazed" } else { "held so far" };
            format!("{} {word}", step_words("", Some(step)).trim_start())
        };
        let told: Vec<String> = steps.iter().map(told).collect();
        (!told.is_empty()).then(|| told.join(", "))
    }

    /// Means against crazing, in the order a potter would try.
    fn means(&self) -> String {
        let answer = self.answer;
        let steps: Vec<String> = LADDER_PERCENT.iter().map(|percent| number::plain(*percent)).collect();
        let steps = steps.join(", ");
        let known = match answer.belief.believed.known {
            Known::Computed => "",
            _ => ", though nobody tells what is in it",
        };
        let first = match answer.belief.believed.known {
            Known::Computed => "",
            _ => "a glaze that the clay's maker recommends for it; ",
        };
        if let Some(made) = self.ladder_made() {
            return format!(
                "Against crazing, in this order: {first}a hotter or longer glaze firing; a harder biscuit; a thinner coat; \
                 then the ladder you made: {made} (glost results PLAN --grade crazed says the least that holds)."
            );
        }
        // A step of a ladder goes on from its base.
        let base = step_of_name(&answer.glaze).map_or(answer.glaze.as_str(), |(base, _)| base);
        format!(
            "Against crazing, in this order: {first}a hotter or longer glaze firing; a harder biscuit; a thinner coat; then a \
             ladder of + {steps} % silica, which usually stops it{known}: glost blend series \"{}\" --add \"silica {steps} %\" \
             --save NAME; its tiles, noted, count here.",
            base
        )
    }
}

/// `1 piece`, `4 pieces`.
fn counted(count: u64, one: &str) -> String {
    if count == 1 {
        format!("1 {one}")
    } else {
        format!("{count} {one}s")
    }
}

/// The text with its first letter as at the start of a sentence, where it is one.
fn starting(text: &str, a_sentence: bool) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) if a_sentence => first.to_uppercase().chain(letters).collect(),
        _ => text.to_owned(),
    }
}
