//! The tables of the answer: coefficients, how good the model is, the next tiles.

use glost_core::tiles::mixture::{Fitted, LogisticFit, NextTile, Term, Why};

use crate::layout::{Align, Table, indented, paragraph, width};

use glost_desk::results::Coefficients;

use crate::words::results::{ResultsPage, cut, share_words};

impl ResultsPage<'_> {
    pub(super) fn coefficient_table(&self) -> String {
        let Some(Coefficients {
            terms,
            values: coefficients,
            errors,
        }) = self.coefficients()
        else {
            return String::new();
        };
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Left]);
        let unit = if self.is_chance() { "log-odds" } else { &self.value };
        table.row(["", &cut(unit, 16), "+/-", ""]);
        for (place, term) in terms.iter().enumerate() {
            let error = errors.map_or_else(|| "-".to_owned(), |errors| self.fine(errors[place]));
            table.row([
                cut(&term.name(&self.short_names()), 32),
                self.fine(coefficients[place]),
                error,
                self.meaning(term, coefficients[place]),
            ]);
        }
        let longest = terms.iter().map(|term| term.ends.len()).max();
        let bends = match longest {
            Some(0 | 1) | None => "",
            Some(2) => " Bends are told against the straight line between the ends alone.",
            Some(_) => {
                " Bends are told against the straight line between the ends alone, those of three against their pairs."
            }
        };
        table.text() + paragraph(&format!("+/- is one standard error.{bends}"), 0).as_str()
    }

    /// What a coefficient says of a tile.
    pub(super) fn meaning(&self, term: &Term, coefficient: f64) -> String {
        let (parts, blend) = match term.ends.len() {
            1 => return "alone".to_owned(),
            2 => (4.0, "half and half"),
            _ => (27.0, "in equal parts"),
        };
        let bend = self.fine(coefficient / parts);
        let sign = if bend.starts_with('-') { "" } else { "+" };
        format!("{sign}{bend} {blend}")
    }

    pub(super) fn fit_sentences(&self) -> String {
        let fit = match &self.lesson.fitted {
            Ok(Fitted::Grades(fit)) => fit,
            Ok(Fitted::Chances(fit)) => return chance_sentences(fit),
            Err(_) => return "No model can be fitted to so few or so like tiles.\n".to_owned(),
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

    pub(super) fn next_table(&self) -> String {
        let next = &self.lesson.next;
        if next.is_empty() || self.ladder().is_some() {
            return String::new();
        }
        let expected = |tile: &NextTile| {
            let [value, low, high] = [tile.value, tile.low, tile.high].map(|value| self.number(self.on_scale(value)));
            format!("{value} ({low} to {high})")
        };
        let mut align: Vec<Align> = self.ends.iter().map(|_| Align::Right).collect();
        align.extend([Align::Right, Align::Left]);
        let mut table = Table::new(&align);
        let head = self.short_names().into_iter();
        table.row(head.chain(["expected".to_owned(), String::new()]));
        for tile in next {
            let shares = tile.shares.iter().map(|share| share_words(*share));
            table.row(shares.chain([expected(tile), self.because(tile)]));
        }
        let table = table.text();
        let fits = table.lines().all(|line| crate::layout::columns(line) <= width());
        let listed = || -> String {
            let line = |tile: &NextTile| {
                format!(
                    "{}: {}; {}",
                    self.blend(&tile.shares),
                    expected(tile),
                    self.because(tile)
                )
            };
            next.iter().map(|tile| indented("  ", &line(tile))).collect()
        };
        let lines = if fits { table } else { listed() };
        format!("\nNext tiles, the one that says most first:\n{lines}")
    }

    /// Why a tile is advised, for a person.
    pub(super) fn because(&self, tile: &NextTile) -> String {
        if let Some(waiting) = self.waits(&tile.shares) {
            return format!("{} of the plan: look at it", waiting.name);
        }
        let because = match tile.why {
            Some(Why::New) => "new",
            Some(Why::Again) => "the best made, again",
            Some(Why::Lowers) => "less may hold as well",
            Some(Why::Settles) => "settles what holds",
            Some(Why::Further) => "nothing so far is likely to hold",
            None => self.model_why(tile).word(),
        };
        because.to_owned()
    }
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
