//! `glost results`.

use glost_core::mixture::{Best, Fitted, Goal, Lesson, LogisticFit, MixtureFit, NextTile, Outcomes, Term};
use serde_json::{Value, json};

use crate::layout::{Align, Style, Table, WIDTH, assumed, indented, paragraph};

/// What the tiles taught.
#[derive(Debug, Clone)]
pub struct ResultsPage<'a> {
    /// Names of the ends.
    pub ends: &'a [String],
    /// What was graded.
    pub value: &'a str,
    /// What is wanted of it.
    pub goal: Goal,
    /// The tiles.
    pub outcomes: &'a Outcomes,
    /// What they say.
    pub lesson: &'a Lesson,
    /// What was said about the reading.
    pub assumptions: &'a [String],
}

impl ResultsPage<'_> {
    /// The contract's JSON; shares come in the order of the ends.
    pub fn json(&self) -> Value {
        let best = &self.lesson.best;
        let (coefficients, errors) = self.coefficients();
        let terms = self.terms();
        let listed: Vec<Value> = terms
            .iter()
            .enumerate()
            .map(|(place, term)| {
                json!({
                    "term": term.name(self.ends),
                    "value": coefficients[place],
                    "standard_error": errors.map(|errors| errors[place]),
                })
            })
            .collect();
        let mut answer = json!({
            "model": self.model_name(),
            "result": self.value,
            "ends": self.ends,
            "tiles": self.tile_count(),
            "coefficients": listed,
        });
        let fields = match &self.lesson.fitted {
            Fitted::Grades(fit) => grades_json(fit),
            Fitted::Chances(fit) => json!({
                "r_squared": null,
                "deviance_explained": fit.deviance_explained,
                "leave_one_out_error": fit.leave_one_out,
            }),
        };
        let tried: Vec<Value> = self
            .lesson
            .tried
            .iter()
            .map(|tried| json!({"model": tried.model.name(), "leave_one_out_error": tried.left_out.as_ref().ok().copied().flatten()}))
            .collect();
        let rest = json!({
            "tried": tried,
            "best": best_json(best),
            "best_within_tiles": self.lesson.nearer.as_ref().map(best_json),
            "next": self.lesson.next.iter().map(|tile| json!({
                "shares": tile.shares,
                "value": tile.value,
                "low": tile.low,
                "high": tile.high,
                "gain": tile.gain,
                "why": self.why(tile),
            })).collect::<Vec<_>>(),
            "assumptions": self.assumptions,
        });
        for part in [fields, rest] {
            if let (Value::Object(answer), Value::Object(part)) = (&mut answer, part) {
                answer.extend(part);
            }
        }
        answer
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push('\n');
        for doubt in self.doubts() {
            text.push_str(&paragraph(&doubt, 0));
        }
        text.push('\n');
        text.push_str(&self.best_made());
        text.push('\n');
        text.push_str(&self.coefficient_table());
        text.push('\n');
        text.push_str(&self.fit_sentences());
        text.push_str(&self.next_table());
        text.push_str(&assumed(self.assumptions));
        text.push_str(&indented(
            "Test: ",
            "make the best blend again in another firing before you mix a bucket of it.",
        ));
        text
    }

    fn headline(&self) -> String {
        let best = &self.lesson.best;
        let value = self.value;
        let blend = self.blend(&best.shares);
        let said = self.said(best);
        let wanted = match (self.goal, self.is_chance()) {
            (Goal::Most, false) => format!("Most {value}"),
            (Goal::Least, false) => format!("Least {value}"),
            (Goal::Value(wanted), false) => format!("{} nearest {}", capital(value), self.number(wanted)),
            (Goal::Most, true) => format!("Yes for {value} most often"),
            (Goal::Least, true) => format!("Yes for {value} least often"),
            (Goal::Value(wanted), true) => {
                format!("Yes for {value} nearest {}{}", self.number(wanted), self.unit())
            }
        };
        let about = if blend.ends_with(ALONE) { "" } else { "about " };
        format!("{wanted} at {about}{blend}: {said}.")
    }

    /// A fitted result with its band.
    fn said(&self, best: &Best) -> String {
        let band = best.band.map_or_else(String::new, |(low, high)| {
            format!(" ({} to {})", self.number(low), self.number(high))
        });
        format!("{}{}{band}", self.number(best.value), self.unit())
    }

    /// What keeps the call from being sure.
    fn doubts(&self) -> Vec<String> {
        let best = &self.lesson.best;
        let mut doubts = Vec::new();
        if !best.reached {
            doubts.push(format!(
                "No blend of these ends reaches what is wanted, by the {} model; this comes nearest.",
                best.model.name()
            ));
        }
        match best.band {
            None => doubts.push(
                "No band and no errors: there are as many terms as tiles, and none to spare to judge them by. Make some again."
                    .to_owned(),
            ),
            Some((low, high)) if high - low >= self.range() => doubts.push(
                "The tiles can't tell yet: the band at the best blend is as wide as all the results. Make the next tiles first."
                    .to_owned(),
            ),
            Some(_) => {}
        }
        if !best.spanned {
            let nearer = self.lesson.nearer.as_ref().map_or_else(String::new, |nearer| {
                format!(
                    " Among the tiles: {}: {}.",
                    self.blend(&nearer.shares),
                    self.said(nearer)
                )
            });
            doubts.push(format!(
                "No tiles lie around that blend: it is read beyond them. Make a tile there before you trust it.{nearer}"
            ));
        }
        if let Fitted::Grades(fit) = &self.lesson.fitted
            && fit.model != best.model
        {
            doubts.push(format!(
                "A {} model predicts left-out tiles best, but so few tiles can't rule out a bend: the best blend and its band are from the {} model.",
                fit.model.name(),
                best.model.name()
            ));
        }
        doubts
    }

    fn best_made(&self) -> String {
        let place = self.lesson.best_made;
        let made = match self.outcomes {
            Outcomes::Grades(tiles) => tiles.get(place).map(|tile| (&tile.shares, self.number(tile.value))),
            Outcomes::Counts(tiles) => tiles
                .get(place)
                .map(|tile| (&tile.shares, format!("{} of {} yes", tile.yes, tile.of))),
        };
        made.map_or_else(String::new, |(shares, value)| {
            paragraph(&format!("Best tile made so far: {}: {value}.", self.blend(shares)), 0)
        })
    }

    fn coefficient_table(&self) -> String {
        let (coefficients, errors) = self.coefficients();
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Left]);
        let unit = if self.is_chance() { "log-odds" } else { self.value };
        table.row(["", &cut(unit, 16), "+/-", ""]);
        for (place, term) in self.terms().iter().enumerate() {
            let error = errors.map_or_else(|| "-".to_owned(), |errors| self.fine(errors[place]));
            table.row([
                cut(&term.name(self.ends), 32),
                self.fine(coefficients[place]),
                error,
                self.meaning(term, coefficients[place]),
            ]);
        }
        let longest = self.terms().iter().map(|term| term.ends.len()).max();
        let bends = match longest {
            Some(0 | 1) | None => "",
            Some(2) => " Bends are told against the straight line between the ends alone.",
            Some(_) => {
                " Bends are told against the straight line between the ends alone, those of three against their pairs."
            }
        };
        table.text() + &paragraph(&format!("+/- is one standard error.{bends}"), 0)
    }

    /// What a coefficient says of a tile.
    fn meaning(&self, term: &Term, coefficient: f64) -> String {
        let (parts, blend) = match term.ends.len() {
            1 => return "alone".to_owned(),
            2 => (4.0, "half and half"),
            _ => (27.0, "in equal parts"),
        };
        let bend = self.fine(coefficient / parts);
        let sign = if bend.starts_with('-') { "" } else { "+" };
        format!("{sign}{bend} {blend}")
    }

    fn fit_sentences(&self) -> String {
        let fit = match &self.lesson.fitted {
            Fitted::Grades(fit) => fit,
            Fitted::Chances(fit) => return chance_sentences(fit),
        };
        let mut sentences = vec![format!(
            "Model: {}, {} terms from {} tiles; it takes up {:.1} % of their spread.",
            fit.model.name(),
            fit.terms.len(),
            self.tile_count(),
            100.0 * fit.r_squared
        )];
        let tried: Vec<String> = self
            .lesson
            .tried
            .iter()
            .map(|tried| {
                let error = match &tried.left_out {
                    Ok(Some(error)) => self.fine(*error),
                    Ok(None) => "not to be told (a tile alone decides a term)".to_owned(),
                    Err(_) => "too few tiles".to_owned(),
                };
                format!("{} {error}", tried.model.name())
            })
            .collect();
        match (tried.as_slice(), fit.leave_one_out) {
            ([], None) => sentences.push("Left-out error: not to be told, a tile alone decides a term.".to_owned()),
            ([], Some(error)) => sentences.push(format!(
                "A tile left out is predicted to {} (root mean square).",
                self.fine(error)
            )),
            (tried, _) => sentences.push(format!(
                "Chosen by how near left-out tiles are predicted: {}.",
                tried.join(", ")
            )),
        }
        if let Some(deviation) = fit.residual_deviation() {
            sentences.push(format!("One tile lies {} about the model.", self.fine(deviation)));
        }
        if let Some(lack) = &fit.lack_of_fit {
            let again = format!("Tiles of one blend differ by {}", self.fine(lack.repeat_deviation));
            sentences.push(match lack.p {
                Some(p) if p < 0.05 => format!("{again}; the model misses more than that (p = {p:.3}): something bends that it can't follow, or something else changed."),
                Some(p) => format!("{again}; the model misses no more than that (p = {p:.2})."),
                None => format!("{again}."),
            });
        }
        paragraph(&sentences.join(" "), 0)
    }

    fn next_table(&self) -> String {
        let next = &self.lesson.next;
        if next.is_empty() {
            return String::new();
        }
        let expected = |tile: &NextTile| {
            let (low, high) = (self.number(tile.low), self.number(tile.high));
            format!("{} ({low} to {high})", self.number(tile.value))
        };
        let mut align: Vec<Align> = self.ends.iter().map(|_| Align::Right).collect();
        align.extend([Align::Right, Align::Left]);
        let mut table = Table::new(&align);
        let head = self.ends.iter().map(|end| cut(end, 12));
        table.row(head.chain(["expected".to_owned(), String::new()]));
        for tile in next {
            let shares = tile.shares.iter().map(|share| format!("{:.0} %", 100.0 * share));
            table.row(shares.chain([expected(tile), self.why(tile).to_owned()]));
        }
        let table = table.text();
        let fits = table.lines().all(|line| line.chars().count() <= WIDTH);
        let listed = || -> String {
            let line =
                |tile: &NextTile| format!("{}: {}; {}", self.blend(&tile.shares), expected(tile), self.why(tile));
            next.iter().map(|tile| indented("  ", &line(tile))).collect()
        };
        let lines = if fits { table } else { listed() };
        format!("\nNext tiles, the one that says most first:\n{lines}")
    }

    /// Why a tile is advised, in a few words.
    fn why(&self, tile: &NextTile) -> &'static str {
        let near = |shares: &[f64], most: f64| {
            let pairs = shares.iter().zip(&tile.shares);
            pairs.into_iter().all(|(one, other)| (one - other).abs() <= most)
        };
        let made = match self.outcomes {
            Outcomes::Grades(tiles) => tiles.iter().any(|made| near(&made.shares, 0.01)),
            Outcomes::Counts(tiles) => tiles.iter().any(|made| near(&made.shares, 0.01)),
        };
        let best = &self.lesson.best;
        let rival = match self.goal {
            Goal::Most => tile.high >= best.value,
            Goal::Least => tile.low <= best.value,
            Goal::Value(wanted) => (tile.low..=tile.high).contains(&wanted),
        };
        match (near(&best.shares, 0.1), rival, made) {
            (true, _, true) => "the best so far: again",
            (true, _, false) => "beside the best",
            (false, true, true) => "may yet be best: again",
            (false, true, false) => "may yet be best",
            (false, false, true) => "steadies the model: again",
            (false, false, false) => "steadies the model",
        }
    }

    fn coefficients(&self) -> (&[f64], Option<&[f64]>) {
        match &self.lesson.fitted {
            Fitted::Grades(fit) => (&fit.coefficients, fit.standard_errors.as_deref()),
            Fitted::Chances(fit) => (&fit.coefficients, Some(&fit.standard_errors)),
        }
    }

    fn terms(&self) -> &[Term] {
        match &self.lesson.fitted {
            Fitted::Grades(fit) => &fit.terms,
            Fitted::Chances(fit) => &fit.terms,
        }
    }

    fn model_name(&self) -> String {
        match &self.lesson.fitted {
            Fitted::Grades(fit) => fit.model.name().to_owned(),
            Fitted::Chances(fit) => fit.name(),
        }
    }

    fn is_chance(&self) -> bool {
        matches!(self.lesson.fitted, Fitted::Chances(_))
    }

    fn unit(&self) -> &'static str {
        if self.is_chance() { " % of tiles" } else { "" }
    }

    fn tile_count(&self) -> usize {
        match self.outcomes {
            Outcomes::Grades(tiles) => tiles.len(),
            Outcomes::Counts(tiles) => tiles.len(),
        }
    }

    /// How far the results range; a chance from 0 to 1.
    fn range(&self) -> f64 {
        match self.outcomes {
            Outcomes::Grades(tiles) => {
                let values = || tiles.iter().map(|tile| tile.value);
                values().fold(f64::NEG_INFINITY, f64::max) - values().fold(f64::INFINITY, f64::min)
            }
            Outcomes::Counts(_) => 0.95,
        }
    }

    /// Decimals that the results' range is worth: 1 for grades from 0 to 5.
    fn decimals(&self) -> usize {
        let decimals = (30.0 / self.range()).log10().ceil().clamp(0.0, 8.0);
        decimals as usize
    }

    /// A result; a chance in per cent.
    fn number(&self, value: f64) -> String {
        if self.is_chance() {
            return format!("{:.0}", 100.0 * value);
        }
        without_minus_zero(format!("{value:.*}", self.decimals()))
    }

    /// A result with one decimal more.
    fn fine(&self, value: f64) -> String {
        let decimals = if self.is_chance() { 2 } else { self.decimals() + 1 };
        without_minus_zero(format!("{value:.decimals$}"))
    }

    /// A blend in per cent of its ends, those that it holds.
    fn blend(&self, shares: &[f64]) -> String {
        let alone = shares.iter().zip(self.ends).find(|(share, _)| **share >= 0.995);
        if let Some((_, end)) = alone {
            return format!("{end}{ALONE}");
        }
        let held: Vec<String> = shares
            .iter()
            .zip(self.ends)
            .filter(|(share, _)| **share >= 0.005)
            .map(|(share, end)| format!("{:.0} % {end}", 100.0 * share))
            .collect();
        held.join(", ")
    }
}

/// What is said after an end that nothing is mixed with.
const ALONE: &str = " alone";

fn best_json(best: &Best) -> Value {
    json!({
        "shares": best.shares,
        "value": best.value,
        "low": best.band.map(|band| band.0),
        "high": best.band.map(|band| band.1),
        "model": best.model.name(),
        "within_tiles": best.spanned,
        "reached": best.reached,
    })
}

fn grades_json(fit: &MixtureFit) -> Value {
    json!({
        "r_squared": fit.r_squared,
        "leave_one_out_error": fit.leave_one_out,
        "residual_sum_of_squares": fit.residual_squares,
        "residual_degrees_of_freedom": fit.spare,
        "residual_deviation": fit.residual_deviation(),
        "lack_of_fit": fit.lack_of_fit.map(|lack| json!({
            "f": lack.f,
            "p": lack.p,
            "repeat_deviation": lack.repeat_deviation,
            "repeat_degrees_of_freedom": lack.repeats,
            "degrees_of_freedom": lack.misses,
        })),
    })
}

fn chance_sentences(fit: &LogisticFit) -> String {
    paragraph(
        &format!(
            "Model: {} on the log-odds of yes, held by a weak prior (an end's log-odds within about 5 of all tiles together); it takes up {:.0} % of the deviance. The chance given to a tile by the others misses by {:.2} (root mean square).",
            fit.name(),
            100.0 * fit.deviance_explained,
            fit.leave_one_out
        ),
        0,
    )
}

fn capital(word: &str) -> String {
    let mut signs = word.chars();
    signs
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(signs).collect())
}

fn cut(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.chars().take(most - 1).chain(['…']).collect()
}

fn without_minus_zero(text: String) -> String {
    if text.starts_with('-') && text.chars().all(|sign| matches!(sign, '-' | '0' | '.')) {
        return text[1..].to_owned();
    }
    text
}
