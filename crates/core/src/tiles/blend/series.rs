//! One addition in steps, and ends written with their additions, as typed.

use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, none_called, of_typed, under};
use glost_chemistry::glaze::{Glaze, GlazeNotes, Portion};
use glost_chemistry::material::{Library, Material};
use glost_chemistry::quantity::parse_number;

use crate::evidence::window::add_to_name;

/// How steps between a least and a most lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spacing {
    /// Each step adds the same.
    Even,
    /// Each step multiplies by the same.
    Geometric,
    /// The steps themselves are named.
    Chosen,
}

/// An addition in steps: `silica 0..9 %`, `cobalt carbonate 0.25..2 % geometric`,
/// `kaolin 0, 3, 6, 9 %`.
#[derive(Debug, Clone)]
pub struct AdditionSteps {
    /// What is added.
    pub material: Arc<Material>,
    /// Least and most, or every step where they are chosen; per cent of the base.
    pub percents: Vec<f64>,
    /// How the steps lie.
    pub spacing: Spacing,
}

const HELP: &str =
    "write it such as \"silica 0..9 %\", \"cobalt carbonate 0.25..2 % geometric\" or \"kaolin 0, 3, 6, 9 %\"";

impl AdditionSteps {
    /// Reads what was typed.
    ///
    /// # Errors
    /// No such material, numbers that can't be read, fewer than two steps, steps
    /// that repeat, or a geometric series from nothing.
    pub fn parse(text: &str, library: &Library) -> Result<AdditionSteps, Diagnostic> {
        let wrong = |message: String| Diagnostic::error("bad-series", message).help(HELP);
        let (body, geometric) = match text.trim().strip_suffix("geometric") {
            Some(rest) => (rest.trim_end_matches([' ', ',']), true),
            None => (text.trim(), false),
        };
        let body = body.trim_end().trim_end_matches('%').trim_end();
        let Some((name, amounts)) = name_and_amounts(body, library) else {
            return Err(wrong(of_typed(text, "says no amounts")));
        };
        if name.is_empty() {
            return Err(wrong(of_typed(text, "says no material")));
        }
        let material = material(name, library)?;
        let (percents, is_range) = amounts_of(amounts).map_err(|message| wrong(under(text, message)))?;
        if percents.iter().any(|percent| !(0.0..=1000.0).contains(percent)) {
            return Err(wrong(under(text, "an addition lies between 0 and 1000 % of the base")));
        }
        let mut sorted = percents.clone();
        sorted.sort_by(f64::total_cmp);
        if sorted.windows(2).any(|pair| pair[0] == pair[1]) {
            return Err(wrong(of_typed(
                text,
                "names one step twice: those tiles would be the same",
            )));
        }
        if geometric && (!is_range || percents.first().is_none_or(|least| *least <= 0.0)) {
            return Err(wrong(under(
                text,
                "geometric steps multiply, so they go from one amount above 0 to another",
            )));
        }
        Ok(AdditionSteps {
            material,
            percents,
            spacing: match (is_range, geometric) {
                (true, true) => Spacing::Geometric,
                (true, false) => Spacing::Even,
                (false, _) => Spacing::Chosen,
            },
        })
    }
}

impl AdditionSteps {
    /// Every step in per cent of the base: so many of them between least and most,
    /// or those chosen.
    pub fn each(&self, steps: usize) -> Vec<f64> {
        let (Some(&first), Some(&last)) = (self.percents.first(), self.percents.last()) else {
            return Vec::new();
        };
        let steps = steps.min(super::MOST_TILES);
        let part = |step: usize| step as f64 / steps.saturating_sub(1).max(1) as f64;
        match self.spacing {
            Spacing::Chosen => self.percents.clone(),
            Spacing::Even => (0..steps)
                .map(|step| first * (1.0 - part(step)) + last * part(step))
                .collect(),
            Spacing::Geometric => (0..steps).map(|step| first * (last / first).powf(part(step))).collect(),
        }
    }
}

/// What stands before the amounts, and they. A name may end in a number (`frit 4 0..9`):
/// the longest one that is a material and leaves steps to read is meant.
fn name_and_amounts<'a>(body: &'a str, library: &Library) -> Option<(&'a str, &'a str)> {
    let number = |sign: char| sign.is_ascii_digit() || sign == '.';
    let first = body.find(number)?;
    let cut = |at: usize| (body[..at].trim(), body[at..].trim());
    let words = body.match_indices(char::is_whitespace).rev();
    let longest = words
        .filter(|(place, _)| *place > first)
        .map(|(place, _)| cut(place))
        .find(|(name, amounts)| {
            amounts.starts_with(number) && amounts_of(amounts).is_ok() && library.find(name).is_some()
        });
    Some(longest.unwrap_or_else(|| cut(first)))
}

/// The numbers, and whether they are a least and a most.
fn amounts_of(text: &str) -> Result<(Vec<f64>, bool), String> {
    let number = |text: &str| {
        parse_number(text.trim().trim_end_matches('%'))
            .map(|read| read.value)
            .map_err(|why| why.message)
    };
    for between in ["..", " to "] {
        if let Some((least, most)) = text.split_once(between) {
            return Ok((vec![number(least)?, number(most)?], true));
        }
    }
    if text.matches(',').count() > 1 && !text.contains(", ") {
        return Err("these commas could be decimal ones; put a space after each, or write 0/3/6/9".to_owned());
    }
    let pieces: Vec<&str> = if text.contains('/') {
        text.split('/').collect()
    } else if text.contains(", ") {
        text.split(", ").collect()
    } else {
        text.split_whitespace().collect()
    };
    let percents: Vec<f64> = pieces.into_iter().map(number).collect::<Result<_, _>>()?;
    if percents.len() < 2 {
        return Err("a series has at least two steps".to_owned());
    }
    Ok((percents, false))
}

fn material(name: &str, library: &Library) -> Result<Arc<Material>, Diagnostic> {
    library.find(name).cloned().ok_or_else(|| {
        Diagnostic::error("unknown-material", none_called("material", name)).help(
            library
                .suggestion(name)
                .unwrap_or_else(|| "`glost materials` lists what there is".to_owned()),
        )
    })
}

/// An end as typed: a name, and additions after plus signs.
#[derive(Debug, Clone, PartialEq)]
pub struct EndText {
    /// The glaze's or material's name.
    pub name: String,
    /// Additions as typed: per cent and the material's name.
    pub additions: Vec<(f64, String)>,
}

impl EndText {
    /// Reads `Lamplight clear + 3 % copper carbonate`; without a plus sign it is
    /// a name alone.
    ///
    /// # Errors
    /// An addition that can't be read.
    pub fn parse(text: &str) -> Result<EndText, Diagnostic> {
        let mut pieces = text.split(" + ");
        let name = pieces.next().unwrap_or("").trim().to_owned();
        let additions = pieces.map(|piece| addition(piece, text)).collect::<Result<_, _>>()?;
        Ok(EndText { name, additions })
    }

    /// The glaze with these additions on top of its own.
    ///
    /// # Errors
    /// No such material.
    pub fn onto(&self, mut glaze: Glaze, library: &Library) -> Result<Glaze, Diagnostic> {
        for (percent, name) in &self.additions {
            let material = material(name, library)?;
            let own = glaze
                .additions
                .iter_mut()
                .find(|own| own.material.name == material.name);
            add_to_name(&mut glaze.name, *percent, &material.name);
            match own {
                Some(own) => own.percent += percent,
                None => glaze.additions.push(Portion {
                    material,
                    percent: *percent,
                }),
            }
        }
        Ok(glaze)
    }
}

fn addition(piece: &str, text: &str) -> Result<(f64, String), Diagnostic> {
    let wrong = || {
        Diagnostic::error("bad-end", format!("`{text}`: `{}` is no addition", piece.trim()))
            .help("write it such as \"Lamplight clear + 3 % copper carbonate\"")
    };
    let piece = piece.trim();
    let is_amount = |sign: char| sign.is_ascii_digit() || matches!(sign, '.' | ',' | ' ' | '%');
    let (amount, name) = match piece.find(|sign| !is_amount(sign)) {
        Some(0) => {
            let start = piece.find(|sign: char| sign.is_ascii_digit()).ok_or_else(wrong)?;
            (&piece[start..], &piece[..start])
        }
        Some(end) => (&piece[..end], &piece[end..]),
        None => return Err(wrong()),
    };
    let percent = parse_number(amount.trim().trim_end_matches('%'))
        .map_err(|_| wrong())?
        .value;
    let name = name.trim();
    if !(percent > 0.0 && percent <= 1000.0) || name.is_empty() {
        return Err(wrong());
    }
    Ok((percent, name.to_owned()))
}

/// A material by itself as the end of a blend: 100 parts of it.
pub fn glaze_of(material: &Arc<Material>) -> Glaze {
    Glaze {
        name: material.name.clone(),
        base: vec![Portion {
            material: material.clone(),
            percent: 100.0,
        }],
        additions: Vec::new(),
        about: GlazeNotes::default(),
        assumptions: Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_chemistry::diagnostic::Source;
    use glost_chemistry::material::read_materials;

    #[test]
    fn steps_read_as_they_are_written() {
        assert_eq!(amounts_of("0..9"), Ok((vec![0.0, 9.0], true)));
        assert_eq!(amounts_of("0 to 9"), Ok((vec![0.0, 9.0], true)));
        assert_eq!(amounts_of("0/3/6/9"), Ok((vec![0.0, 3.0, 6.0, 9.0], false)));
        assert_eq!(amounts_of("0, 0,5, 1"), Ok((vec![0.0, 0.5, 1.0], false)));
        assert_eq!(amounts_of("0 3 6"), Ok((vec![0.0, 3.0, 6.0], false)));
        assert!(amounts_of("0,3,6,9").is_err());
        assert!(amounts_of("3").is_err());
    }

    #[test]
    fn a_material_may_end_in_a_number() {
        let text =
            "materials:\n  - { name: frit 4, formula: SiO2, source: x }\n  - { name: frit, formula: CaO, source: x }\n";
        let mut library = Library::default();
        library.add_layer(read_materials(&Source::from_text("m", text)).0, false);
        let read = |text: &str| {
            AdditionSteps::parse(text, &library)
                .map(|steps| (steps.material.name.clone(), steps.percents))
                .map_err(|why| why.message)
        };
        let frit_4 = |percents: &[f64]| Ok(("frit 4".to_owned(), percents.to_vec()));
        assert_eq!(read("frit 4 0..9 %"), frit_4(&[0.0, 9.0]));
        assert_eq!(read("frit 4 0, 3, 6 %"), frit_4(&[0.0, 3.0, 6.0]));
        assert_eq!(read("frit 4 2 to 8"), frit_4(&[2.0, 8.0]));
        assert_eq!(read("frit 0 4 8"), Ok(("frit".to_owned(), vec![0.0, 4.0, 8.0])));
        assert_eq!(read("frit 4 8"), Ok(("frit".to_owned(), vec![4.0, 8.0])));
    }

    #[test]
    fn an_end_carries_its_additions() {
        let end = EndText::parse("Lamplight clear + 3 % copper carbonate + rutile 0,5 %").ok();
        let additions = vec![(3.0, "copper carbonate".to_owned()), (0.5, "rutile".to_owned())];
        assert_eq!(
            end,
            Some(EndText {
                name: "Lamplight clear".to_owned(),
                additions
            })
        );
        assert!(EndText::parse("clear + copper").is_err());
        assert!(EndText::parse("clear + 3 %").is_err());
    }
}
