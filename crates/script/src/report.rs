//! What a `run` script puts out: sentences and tables.

/// A value in a table.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// Nothing there.
    Nothing,
    /// A number at full precision.
    Number(f64),
    /// A text.
    Text(String),
    /// Yes or no.
    YesNo(bool),
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReportColumn {
    /// Its name.
    pub name: String,
    /// The unit of its numbers.
    pub unit: Option<String>,
    /// Decimals to show; `None`: as many as tell the numbers apart.
    pub decimals: Option<usize>,
}

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub struct ReportTable {
    /// Its title.
    pub title: String,
    /// Its columns.
    pub columns: Vec<ReportColumn>,
    /// Its rows, each as long as there are columns.
    pub rows: Vec<Vec<Item>>,
}

/// All that a run put out.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Report {
    /// Its sentences, in order.
    pub said: Vec<String>,
    /// Its tables, in order.
    pub tables: Vec<ReportTable>,
}

impl Item {
    fn rank(&self) -> u8 {
        match self {
            Item::Nothing => 0,
            Item::Number(_) => 1,
            Item::YesNo(_) => 2,
            Item::Text(_) => 3,
        }
    }

    fn order(&self, other: &Item) -> std::cmp::Ordering {
        match (self, other) {
            (Item::Number(a), Item::Number(b)) => a.total_cmp(b),
            (Item::Text(a), Item::Text(b)) => a.cmp(b),
            (Item::YesNo(a), Item::YesNo(b)) => a.cmp(b),
            (a, b) => a.rank().cmp(&b.rank()),
        }
    }
}

impl ReportTable {
    /// Orders the rows by a column, the smallest or the largest first. Rows that
    /// have nothing there come first when the largest do: what is not known is
    /// the worst.
    pub(crate) fn sort(&mut self, column: usize, largest_first: bool) {
        self.rows.sort_by(|a, b| {
            let (Some(a), Some(b)) = (a.get(column), b.get(column)) else {
                return std::cmp::Ordering::Equal;
            };
            let nothing = (matches!(a, Item::Nothing), matches!(b, Item::Nothing));
            match nothing {
                (true, true) => std::cmp::Ordering::Equal,
                (true, false) => {
                    if largest_first {
                        std::cmp::Ordering::Less
                    } else {
                        std::cmp::Ordering::Greater
                    }
                }
                (false, true) => {
                    if largest_first {
                        std::cmp::Ordering::Greater
                    } else {
                        std::cmp::Ordering::Less
                    }
                }
                (false, false) if largest_first => b.order(a),
                (false, false) => a.order(b),
            }
        });
    }
}
