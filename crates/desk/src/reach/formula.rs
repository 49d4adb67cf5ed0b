//! A unity formula as it is typed: oxides and sums of oxides, in any scale.

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source, is_no, of_typed, suggestion};
use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glaze::FluxList;
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_chemistry::quantity::parse_number;
use glost_core::recipes::aims::{OxideSum, SumTerm};

/// Moles of one oxide that can be typed at most.
const MOST_MOLES: f64 = 1e6;

/// A unity formula as typed.
#[derive(Debug, Clone, PartialEq)]
pub struct UnityAsked {
    text: String,
    terms: Vec<(SumTerm, f64)>,
}

/// A sum of oxides that is asked for, whatever its split.
#[derive(Debug, Clone, PartialEq)]
pub struct SumAsked {
    /// `KNaO`, `R2O`, `RO`.
    pub term: SumTerm,
    /// What it sums.
    pub oxides: Vec<Oxide>,
    /// Moles of the unity formula.
    pub moles: f64,
}

/// What is to be met, at fluxes = 1.
pub(super) struct UnityTarget {
    pub distance: ChemistryDistance,
    /// Oxides that are not named.
    pub free: Vec<Oxide>,
    pub sums: Vec<SumAsked>,
}

impl UnityAsked {
    /// Reads `K2O 0.3, CaO 0.7, Al2O3 0.5, SiO2 4`; amounts may stand first, and
    /// `KNaO`, `R2O`, `RO` are sums.
    ///
    /// # Errors
    /// An amount or a name that can't be, one that is given twice.
    pub fn parse(text: &str) -> Result<UnityAsked, Diagnostic> {
        let mut terms: Vec<(SumTerm, f64)> = Vec::new();
        for part in parts(text) {
            let (name, amount) = name_and_amount(part).ok_or_else(|| {
                wrong(text, part, of_typed(part, "has no amount"))
                    .help("write it such as \"K2O 0.3, CaO 0.7, Al2O3 0.5, SiO2 4\"")
            })?;
            let names = || Oxide::ALL.map(Oxide::formula).into_iter().chain(SumTerm::NAMES);
            let term = SumTerm::parse(name).ok_or_else(|| {
                wrong(text, name, is_no(name, "oxide that Glost knows")).maybe_help(suggestion(name, names()))
            })?;
            let moles = parse_number(amount)
                .map_err(|bad| wrong(text, amount, bad.message).maybe_help(bad.help))?
                .value;
            if !(0.0..=MOST_MOLES).contains(&moles) {
                return Err(wrong(text, amount, format!("{moles} mol of {term} can't be")));
            }
            if terms.iter().any(|known| known.0 == term) {
                return Err(wrong(text, name, of_typed(term, "is given twice")));
            }
            terms.push((term, moles));
        }
        Ok(UnityAsked {
            text: text.to_owned(),
            terms,
        })
    }

    /// What is to be met, under a list of fluxes.
    pub(super) fn target(&self, fluxes: &FluxList) -> Result<UnityTarget, Diagnostic> {
        self.refuse_overlaps(fluxes)?;
        let of = |term: SumTerm| OxideSum::new(vec![term]).oxides(fluxes);
        let flux = |(term, moles): &(SumTerm, f64)| match term {
            SumTerm::Oxide(oxide) => fluxes.weight(*oxide) * moles,
            _ => *moles,
        };
        let flux: f64 = self.terms.iter().map(flux).sum();
        if flux <= 0.0 {
            return Err(wrong(&self.text, &self.text, "the target has no flux".to_owned())
                .help("give its fluxes too: K2O, Na2O, CaO, MgO ..., or KNaO, R2O, RO"));
        }
        let mut target = OxideMoles::ZERO;
        let (mut named, mut sums) = (Vec::new(), Vec::new());
        for &(term, moles) in &self.terms {
            let (oxides, moles) = (of(term), moles / flux);
            named.extend(oxides.iter().copied());
            match term {
                SumTerm::Oxide(oxide) => target = target.with(oxide, moles),
                _ => sums.push(SumAsked { term, oxides, moles }),
            }
        }
        let free: Vec<Oxide> = Oxide::ALL.into_iter().filter(|oxide| !named.contains(oxide)).collect();
        let mut distance = ChemistryDistance::new(&target, fluxes);
        for sum in &sums {
            distance = distance.with_sum(&sum.oxides, sum.moles);
        }
        Ok(UnityTarget {
            distance: distance.with_flux_sum(1.0).with_free(&free),
            free,
            sums,
        })
    }

    /// An oxide may be asked for once only: by itself or in one sum.
    fn refuse_overlaps(&self, fluxes: &FluxList) -> Result<(), Diagnostic> {
        let of = |term: SumTerm| OxideSum::new(vec![term]).oxides(fluxes);
        for (index, &(term, _)) in self.terms.iter().enumerate() {
            for &(before, _) in &self.terms[..index] {
                let both = of(term).into_iter().find(|oxide| of(before).contains(oxide));
                if let Some(both) = both {
                    let message = format!("`{before}` and `{term}` both count {both}");
                    return Err(
                        wrong(&self.text, &term.to_string(), message).help("give the sum, or its oxides one by one")
                    );
                }
            }
        }
        Ok(())
    }
}

/// The amounts with their names; blanks alone may stand between them.
fn parts(text: &str) -> Vec<&str> {
    if !text.contains([',', ';'])
        && let Some(pairs) = pairs(text)
    {
        return pairs;
    }
    // With semicolons between them, amounts may have decimal commas.
    let separators: &[char] = if text.contains(';') { &[';'] } else { &[','] };
    text.split(separators)
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .collect()
}

/// `0.3 K2O 0.7 CaO`, or the other way round, in twos; `None` for anything else.
fn pairs(text: &str) -> Option<Vec<&str>> {
    let mut words: Vec<(usize, usize)> = Vec::new();
    let mut at = 0;
    for word in text.split(' ') {
        if !word.is_empty() {
            words.push((at, at + word.len()));
        }
        at += word.len() + 1;
    }
    let is_number = |(from, to): (usize, usize)| parse_number(&text[from..to]).is_ok();
    let twos = words.chunks(2).map(|two| match two {
        [one, other] if is_number(*one) != is_number(*other) => Some(&text[one.0..other.1]),
        _ => None,
    });
    (words.len() > 2).then(|| twos.collect()).flatten()
}

/// `K2O 0.3`, `K2O: 0.3`, `0.3 K2O`, `0.3K2O`: the name and the amount.
fn name_and_amount(part: &str) -> Option<(&str, &str)> {
    if part.starts_with(|sign: char| sign.is_ascii_digit() || matches!(sign, '.' | '-' | '+')) {
        let at = part.find(|sign: char| sign.is_alphabetic())?;
        let (amount, name) = part.split_at(at);
        return Some((name.trim(), amount.trim()));
    }
    let (name, amount) = part.split_once([' ', ':', '='])?;
    Some((name.trim(), amount.trim().trim_start_matches([':', '=']).trim()))
}

/// What is wrong with a part of a formula as typed.
fn wrong(text: &str, part: &str, message: String) -> Diagnostic {
    let at = text.find(part).unwrap_or(0);
    let column = text.get(..at).unwrap_or("").chars().count() + 1;
    let source = Source::from_text("--unity", text);
    Diagnostic::error("bad-unity", message).at(&source, Mark { line: 1, column }, part.chars().count())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_stand_before_or_after_with_commas_or_without() {
        let read = |text: &str| {
            UnityAsked::parse(text)
                .map(|asked| asked.terms)
                .map_err(|why| why.message)
        };
        let wanted = read("K2O 0.3, CaO 0.7, SiO2 4");
        assert!(wanted.is_ok(), "{wanted:?}");
        for text in [
            "0.3 K2O, 0.7 CaO, 4 SiO2",
            "K2O 0.3 CaO 0.7 SiO2 4",
            "0.3 K2O 0.7 CaO 4 SiO2",
            "  0.3 K2O  0.7 CaO 4 SiO2 ",
            "K2O 0,3; CaO 0,7; SiO2 4",
            "K2O: 0.3, CaO: 0.7, SiO2: 4",
        ] {
            assert_eq!(read(text), wanted, "{text}");
        }
        for odd in ["K2O 0.3 CaO", "K2O CaO 0.3 0.7", "0.3 0.7 K2O CaO"] {
            assert!(read(odd).is_err(), "{odd}");
        }
    }
}
