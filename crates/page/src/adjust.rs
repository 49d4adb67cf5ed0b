//! `glost adjust`.

use glost_chemistry::glaze::{Glaze, Portion};
use glost_chemistry::oxides::OxideMoles;
use glost_core::recipes::adjust::{Binding, Miss, Unasked};
use glost_core::recipes::swap::Proposal;
use serde_json::{Value, json};

use crate::answers::proposal_json;
use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;
use crate::ways::FitWays;

/// What came of it.
#[derive(Debug, Clone)]
pub enum Outcome {
    /// A recipe that meets every aim.
    Possible {
        /// It.
        proposal: Box<Proposal>,
        /// Change or cost.
        objective: f64,
        /// Whether it is proven best.
        certified: bool,
        /// What holds it back.
        binding: Vec<Binding>,
        /// Oxides that move though no aim is about them.
        unasked: Vec<Unasked>,
    },
    /// None.
    Impossible {
        /// Aims that can't hold together.
        clash: Vec<String>,
        /// Further clashes.
        other_clashes: usize,
        /// The recipe that misses least.
        nearest: Option<Box<Proposal>>,
        /// What it misses.
        misses: Vec<Miss>,
        /// Whether the clash is proven.
        certified: bool,
    },
}

/// An adjustment of a glaze.
pub struct AdjustPage<'a> {
    /// What a clay's window asked, and the distinct ways to meet it.
    pub fit: Option<FitWays<'a>>,
    /// The old glaze.
    pub old: &'a Glaze,
    /// Its unity formula.
    pub old_unity: &'a OxideMoles,
    /// What came of it.
    pub shown: Outcome,
    /// Whether cost was made least.
    pub least_cost: bool,
    /// The studio's currency.
    pub currency: Option<String>,
    /// Grams of base in the weighed column.
    pub dry_grams: f64,
    /// The step of the scales in grams.
    pub step_grams: f64,
    /// The default model's expansion of a proposal, 1e-6/K.
    pub expansion: &'a dyn Fn(&Proposal) -> Option<f64>,
}

impl AdjustPage<'_> {
    /// Whether no recipe was found.
    pub fn says_no(&self) -> bool {
        matches!(self.shown, Outcome::Impossible { .. })
    }

    /// The contract's JSON.
    pub fn json(&self) -> Value {
        let mut answer = self.answer_json();
        if let (Some(fit), Value::Object(answer)) = (&self.fit, &mut answer) {
            let found = match &self.shown {
                Outcome::Possible { proposal, .. } => Some(&**proposal),
                Outcome::Impossible { .. } => None,
            };
            let (aim, ways) = fit.json(found, self.dry_grams);
            answer.insert("fit".to_owned(), aim);
            answer.insert("ways".to_owned(), ways);
        }
        answer
    }

    fn answer_json(&self) -> Value {
        match &self.shown {
            Outcome::Possible {
                proposal,
                objective,
                certified,
                binding,
                unasked,
            } => json!({
                "possible": true,
                "certified": certified,
                "proposal": proposal_json(proposal, self.dry_grams),
                "expansion": (self.expansion)(proposal),
                "objective": objective,
                "binding": binding.iter().map(|binding| json!({
                    "aim": binding.aim, "quantity": binding.quantity, "bound": binding.bound,
                    "price": binding.price, "per": binding.per,
                })).collect::<Vec<_>>(),
                "unasked": unasked.iter().map(|moved| json!({
                    "oxide": moved.oxide.formula(), "before": moved.before_moles, "after": moved.after_moles,
                })).collect::<Vec<_>>(),
                "clash": [],
                "nearest": null,
            }),
            Outcome::Impossible {
                clash,
                other_clashes,
                nearest,
                misses,
                certified,
            } => json!({
                "possible": false,
                "certified": certified,
                "proposal": null,
                "objective": null,
                "binding": [],
                "clash": clash,
                "other_clashes": other_clashes,
                "nearest": nearest.as_ref().map(|nearest| {
                    let mut value = proposal_json(nearest, self.dry_grams);
                    if let Value::Object(map) = &mut value {
                        map.insert("expansion".to_owned(), json!((self.expansion)(nearest)));
                        map.insert("misses".to_owned(), json!(misses.iter().map(|miss| json!({
                            "aim": miss.aim, "quantity": miss.quantity, "bound": miss.bound, "reached": miss.reached,
                        })).collect::<Vec<_>>()));
                    }
                    value
                }),
            }),
        }
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let (headline, proposal) = match &self.shown {
            Outcome::Possible {
                proposal,
                objective,
                certified,
                ..
            } => (self.possible(proposal, *objective, *certified), Some(proposal)),
            Outcome::Impossible {
                clash,
                other_clashes,
                nearest,
                ..
            } => {
                let more = match other_clashes {
                    0 => String::new(),
                    1 => " There is another clash besides.".to_owned(),
                    more => format!(" There are {more} other clashes besides."),
                };
                (
                    format!(
                        "Impossible: no recipe from these materials meets {}.{more}",
                        clash.join(" and ")
                    ),
                    nearest.as_ref(),
                )
            }
        };
        let mut text = style.bold(paragraph(&headline, 0).trim_end());
        text.push_str("\n\n");
        text.push_str(&self.unasked());
        if let Some(proposal) = proposal {
            if self.says_no() {
                text.push_str("The nearest recipe:\n");
            }
            text.push_str(&self.table(proposal));
            text.push('\n');
            text.push_str(&self.details(proposal));
        }
        if let Some(fit) = &self.fit {
            text.push_str(&fit.text(proposal.map(|proposal| &**proposal)));
        }
        text
    }

    fn possible(&self, proposal: &Proposal, objective: f64, certified: bool) -> String {
        let sure = if certified {
            "no recipe does it better"
        } else {
            "the best found; expansion is an estimate"
        };
        if self.least_cost {
            let currency = self.currency.as_deref().unwrap_or("of your currency");
            return format!(
                "{}: {objective:.2} {currency} per kg dry meets every aim ({sure}).",
                self.old.name
            );
        }
        if objective < 1e-9 {
            return format!("{} meets every aim as it is.", self.old.name);
        }
        let mut moved: Vec<(f64, String)> = proposal
            .glaze
            .portions()
            .map(|portion| {
                let name = &portion.material.name;
                let before = self
                    .old
                    .portions()
                    .find(|old| old.material.name == *name)
                    .map_or(0.0, |old| old.percent);
                (portion.percent - before, name.clone())
            })
            .filter(|(change, _)| change.abs() >= 0.05)
            .collect();
        moved.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()));
        let steps: Vec<String> = moved
            .iter()
            .take(3)
            .map(|(change, name)| format!("{name} {change:+.1}"))
            .collect();
        format!("{}: {} meets every aim ({sure}).", self.old.name, steps.join(", "))
    }

    /// What moves though nobody asked, before the table.
    fn unasked(&self) -> String {
        let Outcome::Possible { unasked, .. } = &self.shown else {
            return String::new();
        };
        if unasked.is_empty() {
            return String::new();
        }
        let moved: Vec<String> = unasked
            .iter()
            .map(|moved| crate::answers::swap::moved_words(moved.oxide, moved.before_moles, moved.after_moles))
            .collect();
        indented("Not asked, but moves: ", &format!("{}.", moved.join(", "))) + "\n"
    }

    fn table(&self, proposal: &Proposal) -> String {
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Right]);
        let batch = format!("{} g batch", number::grams(self.dry_grams, 1.0));
        table.row(["".to_owned(), "old".to_owned(), "new".to_owned(), batch]);
        for portion in &proposal.glaze.base {
            let name = &portion.material.name;
            let before = self
                .old
                .base
                .iter()
                .find(|old| old.material.name == *name)
                .map_or(0.0, |old| old.percent);
            if before == 0.0 && portion.percent < 1e-9 {
                continue;
            }
            let grams = proposal
                .weighed
                .base
                .iter()
                .find(|line| line.material == *name && line.grams > 0.0);
            let grams = grams.map_or_else(
                || "-".to_owned(),
                |line| format!("{} g", number::grams(line.grams, self.step_grams)),
            );
            let share = |percent: f64| {
                if percent < 1e-9 {
                    "-".to_owned()
                } else {
                    number::parts(percent)
                }
            };
            table.row([name.clone(), share(before), share(portion.percent), grams]);
        }
        self.additions(proposal, &mut table);
        table.text()
    }

    /// What comes on top, before and after.
    fn additions(&self, proposal: &Proposal, table: &mut Table) {
        let of = |portions: &[Portion], name: &str| {
            let same = portions.iter().find(|portion| portion.material.name == name);
            same.map_or(0.0, |portion| portion.percent)
        };
        let share = |percent: f64| {
            if percent < 1e-9 {
                "-".to_owned()
            } else {
                number::parts(percent)
            }
        };
        let mut names: Vec<&str> = Vec::new();
        for portion in self.old.additions.iter().chain(&proposal.glaze.additions) {
            if portion.percent > 1e-9 && !names.contains(&portion.material.name.as_str()) {
                names.push(&portion.material.name);
            }
        }
        for name in names {
            let mut lines = proposal.weighed.additions.iter();
            let line = lines.find(|line| line.material == name && line.grams > 0.0);
            let grams = line.map_or_else(
                || "-".to_owned(),
                |line| format!("{} g", number::grams(line.grams, self.step_grams)),
            );
            let (before, after) = (of(&self.old.additions, name), of(&proposal.glaze.additions, name));
            table.row([format!("+ {name}"), share(before), share(after), grams]);
        }
    }

    fn details(&self, proposal: &Proposal) -> String {
        let mut text = String::new();
        if let Outcome::Impossible { misses, .. } = &self.shown {
            for miss in misses
                .iter()
                .filter(|miss| number::unity(miss.reached) != number::unity(miss.bound))
            {
                let told = format!(
                    "{}: {} {} instead of {}; that bound would have to give way to there.",
                    miss.aim,
                    miss.quantity,
                    number::unity(miss.reached),
                    number::plain(miss.bound)
                );
                text.push_str(&indented("Misses: ", &told));
            }
        }
        let moved: Vec<String> = proposal
            .cannot_match
            .iter()
            .map(|oxide| {
                format!(
                    "{oxide} {} -> {}",
                    number::unity(self.old_unity.get(*oxide)),
                    number::unity(proposal.unity.get(*oxide))
                )
            })
            .collect();
        let moved = if moved.is_empty() {
            "nothing beyond its tolerance".to_owned()
        } else {
            moved.join(", ")
        };
        let expansion = (self.expansion)(proposal)
            .map(|value| format!("; expansion now about {value:.1} x 1e-6/K"))
            .unwrap_or_default();
        text.push_str(&indented("What moves: ", &format!("{moved}{expansion}.")));
        if let Outcome::Possible { binding, .. } = &self.shown {
            let unit = if self.least_cost { "of cost per kg" } else { "of change" };
            for binding in binding {
                let told = format!(
                    "{}: each {} given up would save {} {unit}.",
                    binding.aim,
                    binding.per,
                    number::distance(binding.price)
                );
                text.push_str(&indented("Held back by: ", &told));
            }
        }
        text.push_str(&crate::answers::ranges_text(proposal));
        text.push_str(&crate::answers::beside_the_chemistry(proposal));
        text.push_str(&assumed(&proposal.analysis.assumptions));
        text.push_str(&indented(
            "Test: ",
            "old and new on one tile set, with a three-step blend between them, on your own clay in your own firing.",
        ));
        text
    }
}
