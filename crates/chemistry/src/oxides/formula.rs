//! Reading chemical formulas as they are written on bags and in books.
//!
//! `KAlSi3O8`, `Al2Si2O5(OH)4`, `K2O·Al2O3·6SiO2`, `CaSO4.2H2O`, Unicode
//! subscripts, nested groups, decimals. A point between digits is a decimal
//! point (`Ni1.5Mg0.5SiO4`) unless what follows can only be a further part
//! (`CaSO4.2H2O`, `K2O.Al2O3.6SiO2`).

use crate::diagnostic::of_typed;
use indexmap::IndexMap;

use super::element::Element;

/// The longest formula that is read, in characters.
const MOST_CHARACTERS: usize = 300;
/// The deepest nesting of groups that is read.
const MOST_NESTED: usize = 16;
/// The largest count that is read.
const MOST_ATOMS: f64 = 1e6;

/// Atoms per formula unit, in the order in which the elements first appear.
#[derive(Debug, Clone, PartialEq)]
pub struct Formula {
    atoms: IndexMap<Element, f64>,
}

/// Why a formula could not be read, and where in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormulaError {
    /// Characters before the trouble.
    pub offset: usize,
    /// How many characters the trouble covers, at least 1.
    pub width: usize,
    /// What is wrong, one line.
    pub message: String,
    /// How to mend it.
    pub help: Option<String>,
}

impl Formula {
    /// Reads a formula.
    ///
    /// ```
    /// use glost_chemistry::oxides::Formula;
    ///
    /// assert!(Formula::parse("Al2Si2O5(OH)4").is_ok());
    /// let wrong = Formula::parse("CaCo3)").unwrap_err();
    /// assert_eq!(wrong.offset, 5);
    /// ```
    ///
    /// # Errors
    /// An unknown element, unbalanced brackets, a count of zero or a sign that
    /// has no place in a formula; the error says where.
    pub fn parse(text: &str) -> Result<Formula, FormulaError> {
        let mut reader = Reader::new(text)?;
        let mut atoms = IndexMap::new();
        reader.skip_spaces();
        loop {
            let factor = reader.number()?.unwrap_or(1.0);
            reader.skip_spaces();
            let before = reader.at;
            for (element, count) in reader.group(0)? {
                *atoms.entry(element).or_insert(0.0) += factor * count;
            }
            if reader.at == before {
                return Err(reader.unexpected());
            }
            reader.skip_spaces();
            if reader.peek().is_none() {
                return Ok(Formula { atoms });
            }
            if !reader.separator() {
                return Err(reader.unexpected());
            }
            reader.skip_spaces();
        }
    }

    /// The elements with their atoms per formula unit, as first written.
    pub fn atoms(&self) -> impl Iterator<Item = (Element, f64)> + '_ {
        self.atoms.iter().map(|(&element, &count)| (element, count))
    }

    /// Atoms of this element per formula unit; 0 where it is absent.
    pub fn atoms_of(&self, symbol: &str) -> f64 {
        Element::from_symbol(symbol)
            .and_then(|element| self.atoms.get(&element).copied())
            .unwrap_or(0.0)
    }

    /// Formula mass in g/mol.
    pub fn grams_per_mole(&self) -> f64 {
        self.atoms()
            .map(|(element, count)| count * element.grams_per_mole())
            .sum()
    }
}

struct Reader {
    signs: Vec<char>,
    at: usize,
}

impl Reader {
    fn new(text: &str) -> Result<Reader, FormulaError> {
        let signs: Vec<char> = text.chars().map(plain).collect();
        if signs.iter().all(|sign| sign.is_whitespace()) {
            return Err(error(
                0,
                1,
                "the formula is empty",
                Some("write one such as CaCO3".into()),
            ));
        }
        if signs.len() > MOST_CHARACTERS {
            let message = format!("the formula is longer than {MOST_CHARACTERS} characters");
            return Err(error(MOST_CHARACTERS, 1, message, None));
        }
        Ok(Reader { signs, at: 0 })
    }

    fn peek(&self) -> Option<char> {
        self.signs.get(self.at).copied()
    }

    fn skip_spaces(&mut self) {
        while self.peek().is_some_and(char::is_whitespace) {
            self.at += 1;
        }
    }

    fn separator(&mut self) -> bool {
        let found = matches!(self.peek(), Some('·' | '.' | '*' | '+'));
        if found {
            self.at += 1;
        }
        found
    }

    fn unexpected(&self) -> FormulaError {
        match self.peek() {
            None => error(
                self.at,
                1,
                "the formula stops too early",
                Some("after a point comes a further part: CaSO4·2H2O".into()),
            ),
            Some(')' | ']' | '}') => error(
                self.at,
                1,
                format!("this `{}` closes a group that was never opened", self.signs[self.at]),
                Some("take it out, or open the group before it".into()),
            ),
            Some(sign) if sign.is_lowercase() => error(
                self.at,
                1,
                of_typed(sign, "starts no element"),
                Some("an element starts with a capital letter: Si, not si".into()),
            ),
            Some(',') => error(
                self.at,
                1,
                "a comma can't be counted",
                Some("write how much of each, for example (OH)1.5F0.5 instead of (OH,F)2".into()),
            ),
            Some(sign) => error(self.at, 1, of_typed(sign, "has no place in a formula here"), None),
        }
    }

    /// Elements and bracketed groups up to a closing bracket, a separator or the end.
    fn group(&mut self, depth: usize) -> Result<Vec<(Element, f64)>, FormulaError> {
        let mut found = Vec::new();
        loop {
            match self.peek() {
                Some(opening @ ('(' | '[' | '{')) => {
                    if depth >= MOST_NESTED {
                        return Err(error(self.at, 1, "the brackets are nested too deeply", None));
                    }
                    found.extend(self.bracketed(opening, depth)?);
                }
                Some(sign) if sign.is_ascii_uppercase() => {
                    let element = self.element()?;
                    let count = self.count(element.symbol() == "O")?;
                    found.push((element, count));
                }
                Some(sign) if sign.is_whitespace() => self.skip_spaces(),
                _ => return Ok(found),
            }
        }
    }

    fn bracketed(&mut self, opening: char, depth: usize) -> Result<Vec<(Element, f64)>, FormulaError> {
        let opened_at = self.at;
        self.at += 1;
        let mut inner = Vec::new();
        loop {
            // A number before a part counts that part alone: (2CaO·3SiO2).
            let times = self.number()?.unwrap_or(1.0);
            let part = self.group(depth + 1)?.into_iter();
            inner.extend(part.map(|(element, count)| (element, times * count)));
            if !self.separator() {
                break;
            }
        }
        let closing = match opening {
            '(' => ')',
            '[' => ']',
            _ => '}',
        };
        match self.peek() {
            Some(sign) if sign == closing => self.at += 1,
            None => {
                return Err(error(
                    opened_at,
                    1,
                    format!("this `{opening}` is never closed"),
                    Some(format!("add the missing `{closing}`")),
                ));
            }
            Some(_) => return Err(self.unexpected()),
        }
        if inner.is_empty() {
            return Err(error(
                opened_at,
                self.at - opened_at,
                "there is nothing in these brackets",
                None,
            ));
        }
        let count = self.count(true)?;
        Ok(inner
            .into_iter()
            .map(|(element, atoms)| (element, atoms * count))
            .collect())
    }

    fn element(&mut self) -> Result<Element, FormulaError> {
        let start = self.at;
        let first = self.signs[start];
        let second = self.signs.get(start + 1).copied().filter(char::is_ascii_lowercase);
        let symbol: String = [Some(first), second].into_iter().flatten().collect();
        self.at += symbol.len();
        Element::from_symbol(&symbol).ok_or_else(|| {
            let help = match nearest_symbol(&symbol) {
                Some(near) => format!("did you mean {near}?"),
                None => "look for a slip; an element is written such as Si, Al or Ca".to_owned(),
            };
            error(
                start,
                symbol.len(),
                format!("{symbol} is no element that Glost knows"),
                Some(help),
            )
        })
    }

    /// A count after an element or group. `may_end_a_part`: after oxygen and
    /// after brackets a point usually starts a further part.
    fn count(&mut self, may_end_a_part: bool) -> Result<f64, FormulaError> {
        let start = self.at;
        let mut end = start;
        while self.signs.get(end).is_some_and(char::is_ascii_digit) {
            end += 1;
        }
        if end == start {
            return Ok(1.0);
        }
        if self.signs.get(end) == Some(&'.')
            && self.signs.get(end + 1).is_some_and(char::is_ascii_digit)
            && !self.point_separates(start, end, may_end_a_part)
        {
            end += 1;
            while self.signs.get(end).is_some_and(char::is_ascii_digit) {
                end += 1;
            }
        }
        self.at = end;
        self.counted(start, end)
    }

    /// Whether the point at `point` starts a further part rather than decimals.
    fn point_separates(&self, start: usize, point: usize, may_end_a_part: bool) -> bool {
        if self.signs[start] == '0' {
            return false;
        }
        let mut next = point + 1;
        while self
            .signs
            .get(next)
            .is_some_and(|sign| sign.is_ascii_digit() || *sign == '.')
        {
            next += 1;
        }
        let part: String = self.signs[next..]
            .iter()
            .take_while(|sign| !matches!(sign, '·' | '.' | '*' | ' '))
            .collect();
        part == "H2O"
            || (may_end_a_part
                && part.starts_with(|sign: char| sign.is_ascii_uppercase() || sign == '(')
                && part.contains('O'))
    }

    fn counted(&self, start: usize, end: usize) -> Result<f64, FormulaError> {
        let digits: String = self.signs[start..end].iter().collect();
        let bad =
            |message: String, help: Option<&str>| Err(error(start, end - start, message, help.map(str::to_owned)));
        if digits.len() > 1 && digits.starts_with('0') && !digits.starts_with("0.") {
            return bad(
                format!("a count can't start with a zero: {digits}"),
                Some("is the zero a letter O? Write SiO2, not Si02"),
            );
        }
        match digits.parse::<f64>() {
            Ok(0.0) => bad(
                "a count of zero".into(),
                Some("leave the element out, or is the zero a letter O?"),
            ),
            Ok(count) if count <= MOST_ATOMS => Ok(count),
            _ => bad(format!("{digits} is too large a count"), None),
        }
    }

    /// A multiplier before a part: `6`, `0.5`, `1/2`.
    fn number(&mut self) -> Result<Option<f64>, FormulaError> {
        let start = self.at;
        let mut end = start;
        while self
            .signs
            .get(end)
            .is_some_and(|sign| sign.is_ascii_digit() || *sign == '.')
        {
            end += 1;
        }
        if end == start {
            return Ok(None);
        }
        self.at = end;
        let whole = self.counted(start, end)?;
        if self.peek() != Some('/') {
            return Ok(Some(whole));
        }
        self.at += 1;
        let below = self.at;
        let divisor = self.count(false)?;
        if self.at == below {
            return Err(self.unexpected());
        }
        Ok(Some(whole / divisor))
    }
}

/// Subscripts become digits and the various middle points become one.
fn plain(sign: char) -> char {
    match sign {
        '₀'..='₉' => char::from_digit(u32::from(sign) - u32::from('₀'), 10).unwrap_or(sign),
        '•' | '∙' | '⋅' | '×' | '‧' | '・' => '·',
        _ => sign,
    }
}

fn nearest_symbol(symbol: &str) -> Option<&'static str> {
    let first = symbol.chars().next()?;
    Element::all()
        .map(Element::symbol)
        .filter(|known| known.starts_with(first))
        .min_by_key(|known| (strsim::levenshtein(known, symbol), known.len()))
}

fn error(offset: usize, width: usize, message: impl Into<String>, help: Option<String>) -> FormulaError {
    FormulaError {
        offset,
        width: width.max(1),
        message: message.into(),
        help,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mass(text: &str) -> f64 {
        Formula::parse(text).map_or(f64::NAN, |formula| formula.grams_per_mole())
    }

    #[test]
    fn the_same_mineral_written_four_ways_weighs_the_same() {
        let kaolinite = mass("Al2Si2O5(OH)4");
        for other in [
            "Al2O3·2SiO2·2H2O",
            "Al2O3.2SiO2.2H2O",
            "Al₂Si₂O₅(OH)₄",
            " Al2O3 * 2 SiO2 * 2 H2O ",
        ] {
            assert!((mass(other) - kaolinite).abs() < 1e-9, "{other}");
        }
    }

    #[test]
    fn a_point_is_a_decimal_or_a_new_part_as_a_reader_would_take_it() {
        let gypsum = mass("CaSO4") + 2.0 * mass("H2O");
        assert!((mass("CaSO4.2H2O") - gypsum).abs() < 1e-9);
        assert!((mass("CaSO4.0.5H2O") - mass("CaSO4·1/2H2O")).abs() < 1e-9);
        assert!((mass("MgCl2.6H2O") - mass("MgCl2") - 6.0 * mass("H2O")).abs() < 1e-9);
        let nickel_olivine = 1.5 * mass("Ni") + 0.5 * mass("Mg") + mass("SiO4");
        assert!((mass("Ni1.5Mg0.5SiO4") - nickel_olivine).abs() < 1e-9);
        assert!((mass("(OH)1.5F0.5") - 1.5 * mass("OH") - 0.5 * mass("F")).abs() < 1e-9);
        assert!((mass("K2O.Al2O3.6SiO2") - 2.0 * mass("KAlSi3O8")).abs() < 1e-9);
    }

    #[test]
    fn mistakes_are_placed_and_named() {
        let told = |text: &str| Formula::parse(text).err().map(|error| (error.offset, error.message));
        assert_eq!(told("Al2O3)").map(|told| told.0), Some(5));
        assert_eq!(told("XxO2"), Some((0, "Xx is no element that Glost knows".to_owned())));
        assert_eq!(told("Si02").map(|told| told.0), Some(2));
        assert_eq!(told("Al2(SiO4").map(|told| told.0), Some(3));
        for text in [
            "",
            "  ",
            "2",
            "()",
            "Al2O3..H2O",
            "sio2",
            "(OH,F)2",
            "Si0",
            "Si9999999",
            "CaSO4·",
            &"(".repeat(40),
        ] {
            assert!(Formula::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_multiplier_counts_inside_and_outside_brackets() {
        for (text, parts) in [
            ("CaO(2B2O3)3", vec![(1.0, "CaO"), (6.0, "B2O3")]),
            ("(3H2O)2", vec![(6.0, "H2O")]),
            ("2CaO·3SiO2", vec![(2.0, "CaO"), (3.0, "SiO2")]),
            ("(K2O·2SiO2)2", vec![(2.0, "K2O"), (4.0, "SiO2")]),
            ("[(K2O·2SiO2)2]1.5", vec![(3.0, "K2O"), (6.0, "SiO2")]),
            ("(2CaO·3SiO2)2", vec![(4.0, "CaO"), (6.0, "SiO2")]),
            ("{2Na2O*3B2O3}", vec![(2.0, "Na2O"), (3.0, "B2O3")]),
            ("CaSO4·3/2H2O", vec![(1.0, "CaSO4"), (1.5, "H2O")]),
            ("CaSO4 · 0.5 H2O", vec![(1.0, "CaSO4"), (0.5, "H2O")]),
            (
                "Al2(OH)5Cl·2.5H2O",
                vec![(1.0, "Al2"), (5.0, "OH"), (1.0, "Cl"), (2.5, "H2O")],
            ),
            ("2SiO2", vec![(2.0, "SiO2")]),
        ] {
            let wanted: f64 = parts.iter().map(|(count, part)| count * mass(part)).sum();
            assert!(
                (mass(text) - wanted).abs() < 1e-9,
                "{text}: {}, not {wanted}",
                mass(text)
            );
        }
        let formula = Formula::parse("Al2Si2O5(OH)4").unwrap();
        let atoms: Vec<_> = formula
            .atoms()
            .map(|(element, count)| (element.symbol(), count))
            .collect();
        assert_eq!(atoms, [("Al", 2.0), ("Si", 2.0), ("O", 9.0), ("H", 4.0)]);
        assert_eq!(
            (formula.atoms_of("O"), formula.atoms_of("Fe"), formula.atoms_of("Qq")),
            (9.0, 0.0, 0.0)
        );
    }

    #[test]
    fn what_is_read_has_bounds_and_mistakes_their_width() {
        let nested = |deep: usize| Formula::parse(&format!("{}SiO2{}", "(".repeat(deep), ")".repeat(deep)));
        assert!(nested(16).is_ok() && nested(17).is_err());
        assert!(
            Formula::parse(&"Si".repeat(150)).is_ok() && Formula::parse(&format!("{}O", "Si".repeat(150))).is_err()
        );
        assert!(Formula::parse("Si1000000").is_ok() && Formula::parse("Si1000001").is_err());
        let told = |text: &str| {
            Formula::parse(text)
                .map(|_| ())
                .map_err(|why| (why.offset, why.width))
                .unwrap_err()
        };
        assert_eq!(told("CaXxO3"), (2, 2));
        assert_eq!(told("Ca()O"), (2, 2));
        assert_eq!(told("CaC03"), (3, 2));
        assert_eq!(told("SiO20000000"), (3, 8));
        assert_eq!(
            (told("Si)"), told("CaSO4·1/H2O"), told("K2O·")),
            ((2, 1), (8, 1), (4, 1))
        );
        let help = |text: &str| {
            Formula::parse(text)
                .unwrap_err()
                .help
                .unwrap_or_else(|| "none".to_owned())
        };
        assert!(
            help("Qq").contains("look for a slip")
                && help("si").contains("capital")
                && help("Si0").contains("letter O")
        );
        assert_eq!(help("K2(SiO3"), "add the missing `)`");
        assert_eq!(help("K2[SiO3"), "add the missing `]`");
    }
}
