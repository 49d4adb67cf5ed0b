//! Which rows contradict each other, none to spare.
//!
//! The certificate names a first set; the deletion filter (Chinneck & Dravnieks, *ORSA J.
//! Computing* 3, 157-168, 1991) then leaves rows out one group at a time for as long as the
//! rest has no point either.

use super::super::error::KernelError;
use super::{QpWorkspace, QuadraticProgram, Status};

impl QpWorkspace {
    /// A set of groups that no point satisfies together, but any of them left out lets one:
    /// group numbers, ascending. `None` if the programme has a point.
    ///
    /// `groups[i]` is the group of row `i`; rows without one, and the limits of variables,
    /// always hold. An empty set means that those contradict each other already.
    ///
    /// # Errors
    /// As [`QpWorkspace::solve`].
    pub fn conflict(
        &mut self,
        program: &QuadraticProgram,
        groups: &[Option<usize>],
    ) -> Result<Option<Vec<usize>>, KernelError> {
        program.check()?;
        let m = program.row_lower.len();
        if groups.len() != m {
            return Err(KernelError::Shape {
                what: "groups",
                expected: m,
                found: groups.len(),
            });
        }
        self.dual.factorise(program)?;
        if self.dual.run(program, None)? == Status::Optimal {
            return Ok(None);
        }
        let mut every: Vec<usize> = groups.iter().flatten().copied().collect();
        every.sort_unstable();
        every.dedup();
        let mut suspects = every.clone();
        self.keep_certified(groups, &mut suspects, 0);
        let found = self.filter(program, groups, suspects, true)?;
        if self.has_point(program, groups, &found)? {
            // the certificate lost a row to rounding: filter again without trusting it
            return self.filter(program, groups, every, false).map(Some);
        }
        Ok(Some(found))
    }

    /// Leaves out one group after the other where the rest still has no point.
    fn filter(
        &mut self,
        program: &QuadraticProgram,
        groups: &[Option<usize>],
        mut suspects: Vec<usize>,
        trusting: bool,
    ) -> Result<Vec<usize>, KernelError> {
        let mut needed = 0;
        while needed < suspects.len() {
            let group = suspects.remove(needed);
            if self.has_point(program, groups, &suspects)? {
                suspects.insert(needed, group);
                needed += 1;
            } else if trusting {
                self.keep_certified(groups, &mut suspects, needed);
            }
        }
        Ok(suspects)
    }

    /// Whether the rows of these groups, and those without a group, can hold together.
    fn has_point(
        &mut self,
        program: &QuadraticProgram,
        groups: &[Option<usize>],
        kept: &[usize],
    ) -> Result<bool, KernelError> {
        let mut enabled = std::mem::take(&mut self.enabled);
        enabled.clear();
        enabled.extend(groups.iter().map(|g| g.is_none_or(|g| kept.contains(&g))));
        let status = self.dual.run(program, Some(&enabled));
        self.enabled = enabled;
        Ok(status? == Status::Optimal)
    }

    /// Reduces the suspects after the first `needed` to the groups of the last certificate.
    fn keep_certified(&self, groups: &[Option<usize>], suspects: &mut Vec<usize>, needed: usize) {
        let certified = |group: usize| {
            let rows = self.dual.certificate.iter().filter_map(|(i, _)| groups.get(*i));
            rows.flatten().any(|g| *g == group)
        };
        let mut position = 0;
        suspects.retain(|group| {
            position += 1;
            position <= needed || certified(*group)
        });
    }
}
