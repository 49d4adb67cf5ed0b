//! Recipes from tables: a column a material, or a row a material.

use std::collections::HashMap;

use glost_chemistry::diagnostic::nearest;
use glost_chemistry::material::Library;
use glost_chemistry::read::folded;
use indexmap::IndexMap;

use super::amount::{CellAmount, cell_amount};
use super::cells::{Row, Table};
use super::draft::{At, Gathered, GlazeDraft, Open, RecipeLine};
use super::heading::{Heading, TakenAs};
use super::keys::glaze_value;
use super::sort::{Otherwise, PASS, Sorted};
use crate::intake::notebook::{SUM_EXACT, comes_on_top, inside_the_base, likely};

/// So many unknown columns are held against the names that are known; more are no slips.
const MOST_COMPARED: usize = 50;
/// So many unmarked colourants are tried in and out of the base.
const MOST_TRIED: usize = 10;

/// A table of recipes as it is read.
pub struct Recipes<'a> {
    /// The table.
    pub table: &'a Table,
    /// What its columns are.
    pub sorted: &'a Sorted,
    /// The materials that are known.
    pub library: &'a Library,
    /// Names to be taken otherwise.
    pub otherwise: &'a Otherwise,
    /// What is gathered.
    pub gathered: &'a mut Gathered,
    /// Materials that aren't known: where first, and in how many glazes.
    pub unknown: IndexMap<String, (At, String, Vec<String>)>,
}

impl Recipes<'_> {
    /// A row a glaze, its materials in columns.
    pub fn wide(mut self) {
        let mut pairs: IndexMap<String, (Vec<usize>, usize)> = IndexMap::new();
        let mut unknown: HashMap<usize, Vec<String>> = HashMap::new();
        for row in &self.table.rows {
            let Some(folded_name) = self.begun(row) else { continue };
            for (column, cell) in filled(row, self.sorted) {
                let (heading, taken) = &self.sorted.columns[column];
                match taken {
                    TakenAs::Part { material, addition } => {
                        let said = addition.then_some(true);
                        let twice = self.part(&folded_name, row, heading, cell, material, said);
                        if twice {
                            let columns = self.columns_of(material);
                            pairs.entry(material.clone()).or_insert((columns, 0)).1 += 1;
                        }
                    }
                    TakenAs::Unknown => {
                        // Words under a heading are no amount of anything.
                        let amount = cell_amount(cell, None);
                        if !matches!(amount, Ok(None)) {
                            unknown.entry(column).or_default().push(folded_name.clone());
                        }
                    }
                    _ => self.other(&folded_name, row, column, cell),
                }
            }
        }
        self.two_columns(pairs);
        self.unknown_columns(&unknown);
    }

    /// A row for each material of a glaze; the name may stand in the first alone.
    pub fn long(mut self) {
        let [material, amount, role] =
            [TakenAs::Ingredient, TakenAs::Amount, TakenAs::Role].map(|taken| self.sorted.column(&taken));
        let name = self.sorted.column(&TakenAs::Glaze);
        let mut last = String::new();
        let mut notes: HashMap<usize, usize> = HashMap::new();
        for row in &self.table.rows {
            let named = name.map_or("", |column| row.cell(column));
            // Merged cells leave blanks below the first.
            let name = if named.is_empty() {
                last.clone()
            } else {
                named.to_owned()
            };
            let at = self.at(row);
            if name.is_empty() {
                self.gathered.open.push(Open::NoName { at });
                continue;
            }
            last.clone_from(&name);
            let key = folded(&name);
            self.gathered
                .glazes
                .entry(key.clone())
                .or_insert_with(|| GlazeDraft::named(&name, at));
            let cell = |column: Option<usize>| column.map_or("", |column| row.cell(column));
            if let (Some(material), Some(amount)) = (material, amount)
                && !row.cell(material).is_empty()
            {
                let heading = self.sorted.columns[amount].0.clone();
                self.ingredient(
                    &key,
                    row,
                    row.cell(material),
                    row.cell(amount),
                    &heading,
                    is_addition(cell(role)),
                );
            } else if material.is_some() && !cell(amount).is_empty() {
                let text = cell(amount).to_owned();
                self.bad_cell(&key, row, "material", &text, "the amount has no material", None);
            }
            for (column, cell) in filled(row, self.sorted) {
                match self.sorted.columns[column].1 {
                    TakenAs::Unknown => *notes.entry(column).or_default() += 1,
                    _ => self.other(&key, row, column, cell),
                }
            }
        }
        self.unknown_materials();
        self.unknown_columns(&HashMap::new());
    }

    /// A row a glaze with its keys alone.
    pub fn keys(mut self) {
        for row in &self.table.rows {
            let column = self.sorted.column(&TakenAs::Glaze);
            let name = column.map_or("", |column| row.cell(column)).to_owned();
            let at = self.at(row);
            if name.is_empty() {
                self.gathered.open.push(Open::NoName { at });
                continue;
            }
            let key = folded(&name);
            self.gathered
                .glazes
                .entry(key.clone())
                .or_insert_with(|| GlazeDraft::named(&name, at));
            for (column, cell) in filled(row, self.sorted) {
                self.other(&key, row, column, cell);
            }
        }
        self.unknown_columns(&HashMap::new());
    }

    fn at(&self, row: &Row) -> At {
        At {
            file: self.table.file.clone(),
            line: row.line,
        }
    }

    /// Begins the glaze of a row; none where it has no name, or one that is taken.
    fn begun(&mut self, row: &Row) -> Option<String> {
        let column = self.sorted.column(&TakenAs::Glaze);
        let name = column.map_or("", |column| row.cell(column));
        let at = self.at(row);
        if name.is_empty() {
            self.gathered.open.push(Open::NoName { at });
            return None;
        }
        let key = folded(name);
        let taken = self
            .gathered
            .glazes
            .get(&key)
            .is_some_and(|glaze| !glaze.lines.is_empty());
        if taken {
            let name = name.to_owned();
            self.gathered.open.push(Open::TwoRows { at, name });
            return None;
        }
        self.gathered
            .glazes
            .entry(key.clone())
            .or_insert_with(|| GlazeDraft::named(name, at));
        Some(key)
    }

    /// Adds an amount; true where the glaze holds some of this material already.
    fn part(
        &mut self,
        glaze: &str,
        row: &Row,
        heading: &Heading,
        cell: &str,
        material: &str,
        addition: Option<bool>,
    ) -> bool {
        match cell_amount(cell, heading.unit.as_deref()) {
            Ok(None) => false,
            Ok(Some(amount)) => {
                let Some(draft) = self.gathered.glazes.get_mut(glaze) else {
                    return false;
                };
                add(draft, material, amount, addition)
            }
            Err(why) => {
                self.bad_cell(glaze, row, &heading.text, cell, &why.message, why.help);
                false
            }
        }
    }

    fn ingredient(&mut self, glaze: &str, row: &Row, named: &str, cell: &str, heading: &Heading, role: Option<bool>) {
        let instead = self
            .otherwise
            .get(&folded(named))
            .map_or(named, |instead| instead.as_str());
        if instead == PASS {
            return;
        }
        let (name, plus) = match instead.strip_prefix('+') {
            Some(rest) if self.library.find(instead).is_none() => (rest.trim(), Some(true)),
            _ => (instead, None),
        };
        if let Some(material) = self.library.find(name).map(|found| found.name.clone()) {
            self.part(glaze, row, heading, cell, &material, role.or(plus));
            return;
        }
        let at = self.at(row);
        let entry = self.unknown.entry(folded(name));
        let (_, _, glazes) = entry.or_insert_with(|| (at, name.to_owned(), Vec::new()));
        if glazes.last().is_none_or(|last| last != glaze) {
            glazes.push(glaze.to_owned());
        }
        if let Some(draft) = self.gathered.glazes.get_mut(glaze) {
            draft.wait_for(name);
        }
    }

    fn bad_cell(&mut self, glaze: &str, row: &Row, column: &str, text: &str, why: &str, help: Option<String>) {
        let at = self.at(row);
        if let Some(draft) = self.gathered.glazes.get_mut(glaze) {
            draft.wait_for(column);
        }
        self.gathered.open.push(Open::Cell {
            at,
            column: column.to_owned(),
            text: text.to_owned(),
            why: why.to_owned(),
            help,
        });
    }

    /// A cell that is no amount.
    fn other(&mut self, glaze: &str, row: &Row, column: usize, cell: &str) {
        let (heading, taken) = &self.sorted.columns[column];
        match taken {
            TakenAs::Key(key) => match glaze_value(key, cell, heading) {
                Ok(value) => {
                    if let Some(draft) = self.gathered.glazes.get_mut(glaze) {
                        draft.set(key, value);
                    }
                }
                Err(why) => {
                    let heading = heading.text.clone();
                    self.bad_cell(glaze, row, &heading, cell, &why.message, why.help);
                }
            },
            TakenAs::File => {
                if let Some(draft) = self.gathered.glazes.get_mut(glaze) {
                    draft.file.get_or_insert_with(|| cell.to_owned());
                }
            }
            _ => {}
        }
    }

    fn columns_of(&self, wanted: &str) -> Vec<usize> {
        let is = |taken: &TakenAs| matches!(taken, TakenAs::Part { material, .. } if material == wanted);
        let columns = self.sorted.columns.iter().enumerate();
        columns.filter(|(_, (_, taken))| is(taken)).map(|(at, _)| at).collect()
    }

    fn two_columns(&mut self, pairs: IndexMap<String, (Vec<usize>, usize)>) {
        for (material, (columns, glazes)) in pairs {
            self.gathered.open.push(Open::TwoColumns {
                file: self.table.file.clone(),
                columns: columns.iter().map(|at| self.table.headings[*at].clone()).collect(),
                material,
                glazes,
            });
        }
    }

    /// Asks about columns that aren't known; `amounts`: the glazes that hold a number there.
    fn unknown_columns(&mut self, amounts: &HashMap<usize, Vec<String>>) {
        let known: Vec<&str> = self
            .library
            .iter()
            .flat_map(|material| std::iter::once(&material.name).chain(&material.other_names))
            .map(String::as_str)
            .collect();
        let mut asked = 0;
        for (column, (heading, taken)) in self.sorted.columns.iter().enumerate() {
            if *taken != TakenAs::Unknown && *taken != TakenAs::Blank {
                continue;
            }
            let mut cells = self
                .table
                .rows
                .iter()
                .map(|row| row.cell(column))
                .filter(|cell| !cell.is_empty());
            let Some(example) = cells.next() else { continue };
            let glazes = amounts.get(&column);
            let words = |cell: &str| cell_amount(cell, None).is_err();
            // One slip among numbers is a slip; words are words.
            let amounts = glazes.is_some_and(|_| {
                let texts = self
                    .table
                    .rows
                    .iter()
                    .map(|row| row.cell(column))
                    .filter(|cell| words(cell))
                    .count();
                2 * texts < 1 + cells.clone().count()
            });
            asked += 1;
            let near = (asked <= MOST_COMPARED)
                .then(|| {
                    let near = || nearest(&heading.text, known.iter().copied()).map(str::to_owned);
                    likely(&heading.text, self.library).or_else(near)
                })
                .flatten();
            self.gathered.open.push(Open::Column {
                file: self.table.file.clone(),
                column: heading.text.clone(),
                cells: 1 + cells.count(),
                example: example.to_owned(),
                amounts,
                nearest: near,
            });
            for glaze in glazes.filter(|_| amounts).into_iter().flatten() {
                if let Some(draft) = self.gathered.glazes.get_mut(glaze) {
                    draft.wait_for(&heading.text);
                }
            }
        }
    }

    fn unknown_materials(&mut self) {
        for (index, (at, material, glazes)) in std::mem::take(&mut self.unknown).into_values().enumerate() {
            let names = || {
                let all = self.library.iter();
                all.flat_map(|known| std::iter::once(&known.name).chain(&known.other_names))
                    .map(String::as_str)
            };
            let near = (index < MOST_COMPARED)
                .then(|| {
                    let near = || nearest(&material, names()).map(str::to_owned);
                    likely(&material, self.library).or_else(near)
                })
                .flatten();
            self.gathered.open.push(Open::Material {
                nearest: near,
                at,
                material,
                glazes: glazes.len(),
            });
        }
    }
}

fn filled<'a>(row: &'a Row, sorted: &Sorted) -> impl Iterator<Item = (usize, &'a str)> {
    let columns = row.width().min(sorted.columns.len());
    (0..columns)
        .map(|at| (at, row.cell(at)))
        .filter(|(_, cell)| !cell.is_empty())
}

/// Adds an amount to a glaze; true where it holds some of this already.
fn add(draft: &mut GlazeDraft, material: &str, amount: CellAmount, addition: Option<bool>) -> bool {
    let same = |line: &&mut RecipeLine| line.material == material && line.addition == addition;
    if let Some(line) = draft.lines.iter_mut().find(same) {
        line.amount += amount.amount;
        line.weighed |= amount.weighed;
        line.text = if line.weighed {
            format!("{} g", line.amount)
        } else {
            line.amount.to_string()
        };
        return true;
    }
    draft.lines.push(RecipeLine {
        material: material.to_owned(),
        amount: amount.amount,
        text: amount.text,
        weighed: amount.weighed,
        addition,
    });
    false
}

/// What a role says; none where it says nothing.
fn is_addition(role: &str) -> Option<bool> {
    let role = role.trim().to_lowercase();
    let on_top = [
        "add", "+", "zusatz", "zugabe", "ajout", "colour", "color", "on top", "extra",
    ];
    let base = ["base", "part", "basis", "grund", "main"];
    if on_top.iter().any(|word| role.starts_with(word)) {
        Some(true)
    } else if base.iter().any(|word| role.starts_with(word)) {
        Some(false)
    } else {
        None
    }
}

/// Settles what comes on top of the base where nothing said so: colourants, opacifiers
/// and gums outside a base that is 100 without them, as on a notebook's page; and gives
/// weighed additions in per cent on the base.
pub fn settle(draft: &mut GlazeDraft, library: &Library) {
    let loose: Vec<usize> = (0..draft.lines.len())
        .filter(|at| {
            let line = &draft.lines[*at];
            line.addition.is_none() && library.find(&line.material).is_some_and(|found| comes_on_top(found))
        })
        .collect();
    let is_loose = |at: usize| loose.contains(&at);
    let fixed: f64 = (0..draft.lines.len())
        .filter(|at| draft.lines[*at].addition != Some(true) && !is_loose(*at))
        .map(|at| draft.lines[at].amount)
        .sum();
    let weighed = draft.lines.iter().any(|line| line.weighed);
    let said = draft.lines.iter().any(|line| line.addition.is_some());
    let amounts: Vec<f64> = loose
        .iter()
        .take(MOST_TRIED)
        .map(|at| draft.lines[*at].amount)
        .collect();
    let complete = !weighed && (fixed - 100.0).abs() <= SUM_EXACT;
    let inside = if fixed <= 0.0 || said && !complete {
        // Nothing else could be the base; or the table marks what comes on top.
        usize::MAX
    } else {
        inside_the_base(fixed, &amounts, weighed)
    };
    for (bit, at) in loose.iter().enumerate() {
        let line = &mut draft.lines[*at];
        let within = inside == usize::MAX || bit < MOST_TRIED && inside & (1 << bit) != 0;
        line.addition = Some(!within);
        if !within {
            draft.on_top.push(line.material.clone());
        }
    }
    let base_grams: f64 = draft
        .lines
        .iter()
        .filter(|line| line.addition != Some(true) && line.weighed)
        .map(|line| line.amount)
        .sum();
    for line in draft
        .lines
        .iter_mut()
        .filter(|line| line.addition == Some(true) && line.weighed)
    {
        if base_grams > 0.0 {
            line.amount *= 100.0 / base_grams;
            line.text = line.amount.to_string();
            line.weighed = false;
        }
    }
}
