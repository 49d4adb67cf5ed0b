//! What to do where a powder crazes and nobody tells its recipe: ladders, each
//! with what it is known to do.

use glost_core::evidence::window::{FitAnswer, LADDER_PERCENT};
use serde_json::{Value, json};

use crate::layout::{Style, indented, paragraph};
use crate::number;

/// The ladders for a powder on a clay.
pub struct PowderLadders<'a> {
    /// What its pieces say.
    pub answer: &'a FitAnswer,
}

/// One series of tiles. What it does is common practice, no source.
struct Ladder {
    name: &'static str,
    steps: String,
    does: &'static str,
    besides: &'static str,
    command: Option<String>,
}

impl PowderLadders<'_> {
    fn ladders(&self) -> Vec<Ladder> {
        let glaze = &self.answer.glaze;
        let series = |material: &str, steps: &str| {
            Some(format!("glost blend series \"{glaze}\" --add \"{material} {steps} %\""))
        };
        let percents: Vec<String> = LADDER_PERCENT.iter().map(|percent| number::plain(*percent)).collect();
        let silica = percents.join(", ");
        vec![
            Ladder {
                name: "silica",
                steps: format!("powder + {silica} %"),
                does: "lowers the expansion: the first thing to try against crazing",
                besides: "melts later; too much goes dull; its dust scars lungs",
                command: series("silica", &silica),
            },
            Ladder {
                name: "kaolin",
                steps: "powder + 0, 2, 4, 6 %".to_owned(),
                does: "lowers the expansion a little, by alumina and silica both",
                besides: "stiffer and less glossy; much of it shrinks on the raw piece and crawls",
                command: series("kaolin", "0, 2, 4, 6"),
            },
            Ladder {
                name: "thickness",
                steps: "one, two and three dips of thinned glaze on one piece".to_owned(),
                does: "a thin coat crazes later than a thick one",
                besides: "less depth of colour; note the millimetres with --thickness",
                command: None,
            },
            Ladder {
                name: "firing",
                steps: "the usual peak, 10 C and 20 C hotter, and the usual with half an hour's soak".to_owned(),
                does: "takes more silica from body and glaze into the melt, and a harder biscuit swells less",
                besides: "another firing is another clay here: note it with --firing",
                command: None,
            },
            Ladder {
                name: "second powder",
                steps: "a line of four tiles to a powder that holds on this clay".to_owned(),
                does: "the blend's expansion lies between the two",
                besides: "two makers' powders may not melt alike; gloss and colour move",
                command: Some(format!("glost blend line \"{glaze}\" \"OTHER POWDER\" --steps 4")),
            },
        ]
    }

    /// As of the other adjustments: no recipe, ladders instead.
    pub fn json(&self) -> Value {
        let ladders: Vec<Value> = self
            .ladders()
            .into_iter()
            .map(|ladder| {
                json!({
                    "ladder": ladder.name, "steps": ladder.steps, "does": ladder.does,
                    "side_effects": [ladder.besides], "command": ladder.command,
                })
            })
            .collect();
        json!({
            "possible": false,
            "certified": false,
            "proposal": null,
            "objective": null,
            "binding": [],
            "clash": [],
            "nearest": null,
            "fit": {
                "clay": self.answer.clay,
                "p_craze_before": self.answer.craze.chance,
                "p_shiver_before": self.answer.shiver.chance,
                "assumptions": self.answer.assumptions,
            },
            "ways": [],
            "ladders": ladders,
        })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let answer = self.answer;
        let headline = format!(
            "No recipe to change: nobody tells what is in {}. Its pieces can still find the cure on {} ({} now).",
            answer.glaze,
            answer.clay,
            number::chance(answer.craze.chance)
        );
        let mut text = style.bold(paragraph(&headline, 0).trim_end());
        text.push_str("\n\n");
        for ladder in self.ladders() {
            text.push_str(&indented(
                &format!("{}: ", ladder.name),
                &format!("{}: {}. Besides: {}.", ladder.steps, ladder.does, ladder.besides),
            ));
            if let Some(command) = ladder.command {
                text.push_str(&format!("    {command}\n"));
            }
        }
        text.push_str(
            "\nWhat each does is common practice, no source. One change at a time, five pieces\n\
             a step, looked at after a day, 30 and 180 days: `glost note` keeps what you\n\
             see, `glost fit` learns from it.\n",
        );
        text
    }
}
