//! The answer in sentences.

use glost_chemistry::glass::FIRED_GLAZE_PLUS_MINUS_90;
use glost_core::evidence::notes::age_words;
use glost_core::evidence::window::{Edge, Known, LADDER_PERCENT, Zone};
use glost_desk::fit::NoneOf;

use super::FitPage;
use crate::number::{self, chance};
use crate::stress::stress_sentence;

impl FitPage<'_> {
    /// The first line.
    pub(super) fn headline(&self) -> String {
        let answer = self.answer;
        let mut said = Vec::new();
        if answer.shiver.zone == Zone::Expected {
            let (pieces, shivered) = answer.counted(Edge::Shiver);
            let counts = match pieces {
                0 => String::new(),
                _ => format!("{shivered} of {pieces} pieces shivered so far; "),
            };
            said.push(format!(
                "Stop: expect shivering. {counts}{} that a piece does. Slivers of glaze are sharp: not for use.",
                starting(&chance(answer.shiver.chance), counts.is_empty())
            ));
        }
        said.push(self.crazing());
        if answer.shiver.zone == Zone::Unsure {
            said.push(format!("Shivering is unsure too: {}.", chance(answer.shiver.chance)));
        }
        said.join(" ")
    }

    fn crazing(&self) -> String {
        let answer = self.answer;
        let (pieces, crazed) = answer.counted(Edge::Craze);
        // Where the zone says it held so far, once is enough.
        let so_far = if answer.craze.zone == Zone::Held { "" } else { " so far" };
        let counts = match (pieces, crazed) {
            (0, _) => "no piece of it on this clay was looked at yet".to_owned(),
            (1, 0) => format!("its 1 piece hasn't crazed{so_far}"),
            (_, 0) => format!("none of {pieces} pieces crazed{so_far}"),
            _ => format!("{crazed} of {pieces} pieces crazed{so_far}"),
        };
        let zone = match answer.craze.zone {
            Zone::Held if crazed > 0 => "Mostly held so far: ".to_owned(),
            Zone::Held if pieces > 0 => "Held so far: ".to_owned(),
            Zone::Held => "What lies as high held so far: ".to_owned(),
            Zone::NotTestedThisFar if crazed > 0 => "Unsure. ".to_owned(),
            Zone::NotTestedThisFar => format!(
                "Unsure: nothing this high was tested for {}. ",
                age_words(answer.window.settings.tested_days)
            ),
            Zone::Unsure => "Unsure. ".to_owned(),
            Zone::Expected if answer.evidence.witnesses.is_empty() => {
                "Expect crazing by the numbers alone, untested: ".to_owned()
            }
            Zone::Expected => "Expect crazing: ".to_owned(),
        };
        let after_a_full_stop = matches!(answer.craze.zone, Zone::Unsure | Zone::NotTestedThisFar);
        let counts = starting(&counts, after_a_full_stop);
        format!(
            "{zone}{counts}; {} that a piece crazes within three years.",
            chance(answer.craze.chance)
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
            "On this clay ({}) glazes start to craze at {:.1} ({:.1} to {:.1}) and to shiver below {:.1} ({:.1} to {:.1}), \
             in units of that model; 90 %.",
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
        said.extend(self.about_the_clay());
        said
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
        let (pieces, crazed) = answer.counted(Edge::Craze);
        if answer.holds_lead() {
            said.push("It holds lead: shown for its arithmetic; no pieces and no tiles are proposed.".to_owned());
            return said;
        }
        if let Some(NoneOf { pieces, below_percent }) = self.none_of {
            said.push(format!(
                "What 0 of {pieces} shows: with 95 % confidence under about {below_percent:.0} % craze by that age."
            ));
        }
        if crazed > 0 {
            said.push("Crazed pieces are seconds, not tableware.".to_owned());
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
        let held_below = answer.window.settings.held_below;
        let mut said = Vec::new();
        if answer.shiver.chance >= held_below && answer.shiver.chance > answer.craze.chance {
            said.push(
                "Against shivering: less silica or more feldspar raises the expansion; thinner glaze helps too."
                    .to_owned(),
            );
            return said;
        }
        let (_, crazed) = answer.counted(Edge::Craze);
        let steps: Vec<String> = LADDER_PERCENT.iter().map(|percent| number::plain(*percent)).collect();
        let steps = steps.join(", ");
        if answer.craze.chance >= held_below || crazed > 0 {
            let known = match answer.belief.believed.known {
                Known::Computed => "",
                _ => ", though nobody tells what is in it",
            };
            said.push(format!(
                "Against crazing, a ladder of + {steps} % silica: more silica usually stops it{known}. glost blend series \
                 \"{}\" --add \"silica {steps} %\"",
                answer.glaze
            ));
        }
        if let Some(best) = answer.next.first().filter(|best| best.reduces_variance_by >= 0.01) {
            let what = if best.silica_percent > 0.0 {
                format!("{} + {} % silica", answer.glaze, number::plain(best.silica_percent))
            } else {
                format!("{} as it is", answer.glaze)
            };
            said.push(format!(
                "The tile that tells most about this clay: {what}; five pieces at 30 days take about {:.0} % off what \
                 isn't known (as variance).",
                100.0 * best.reduces_variance_by
            ));
        }
        said
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
