//! The error of each model, measured on glasses.

use std::sync::LazyLock;

use super::table::data_lines;

/// How far a model was off on a set of glasses: in 1e-6/K for an expansion, else in the
/// property's unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Accuracy {
    /// The model's name, or the property's.
    pub model: &'static str,
    /// On which glasses, and over which range.
    pub glasses: &'static str,
    /// How many.
    pub count: u32,
    /// Mean of predicted less measured.
    pub bias: f64,
    /// Mean of the absolute error.
    pub mean_absolute_error: f64,
    /// 90 % of the absolute errors are no greater.
    pub ninety_percent_within: f64,
}

static ROWS: LazyLock<Vec<Accuracy>> = LazyLock::new(|| {
    read_accuracy(
        include_str!("../../data/expansion/accuracy.csv"),
        "model,glasses,count,bias,mean_absolute_error,ninety_percent_within",
    )
});

/// The rows of a table of errors.
pub(super) fn read_accuracy(table: &'static str, header: &'static str) -> Vec<Accuracy> {
    let row = |line: &'static str| {
        let mut cells = line.split(',');
        Some(Accuracy {
            model: cells.next()?,
            glasses: cells.next()?,
            count: cells.next()?.parse().ok()?,
            bias: cells.next()?.parse().ok()?,
            mean_absolute_error: cells.next()?.parse().ok()?,
            ninety_percent_within: cells.next()?.parse().ok()?,
        })
    };
    data_lines(table, header).filter_map(row).collect()
}

/// The rows of one expansion model, in table order.
pub(super) fn accuracy_of(model: &'static str) -> impl Iterator<Item = &'static Accuracy> {
    ROWS.iter().filter(move |row| row.model == model)
}
