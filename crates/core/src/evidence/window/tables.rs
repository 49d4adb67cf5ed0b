//! What families say of an edge, worked once: several glazes asked about on one clay at one
//! firing share what its pieces teach.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use super::gathered::GatheredNotes;

/// ln of the chance of a family's looks at each fall of the line and each grid point.
pub(super) type Table = Vec<Vec<f64>>;

/// Tables kept at most: 170 kB each.
const MOST_TABLES: usize = 64;

/// Tables that were worked already, each under all that it hangs on. Copies share them.
#[derive(Debug, Clone, Default)]
pub struct LearntTables {
    known: Arc<Mutex<HashMap<Vec<u64>, Arc<Table>>>>,
    /// What was gathered for other glazes.
    pub(super) gathered: GatheredNotes,
}

impl LearntTables {
    /// The table of this key, worked out where it isn't known.
    pub(super) fn get(&self, key: Vec<u64>, work: impl FnOnce() -> Table) -> Arc<Table> {
        let known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(table) = known.get(&key) {
            return table.clone();
        }
        // Others may go on meanwhile; the same table twice is the same bits.
        drop(known);
        let table = Arc::new(work());
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if known.len() >= MOST_TABLES {
            known.clear();
        }
        known.insert(key, table.clone());
        table
    }

    /// How many tables are kept.
    pub fn count(&self) -> usize {
        self.known.lock().unwrap_or_else(PoisonError::into_inner).len()
    }
}
